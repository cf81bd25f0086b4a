//! One act that undoes another: on one joint, thing or end at a time, so that it can be moved, dropped or struck alone. Knows
//! nothing of where it will stand.

use crate::base::quantity::{Length, Mass};
use crate::base::source::Span;
use crate::plan::model::{
    Bearer, End, Extent, Fixings, Fluid, Id, Joint, Load, OpeningAct, Part, Rig, Said, Seat, Thing, Tool,
};

/// What undoes, and the act that it undoes.
#[derive(Debug, Clone)]
pub struct Back {
    /// The act that it undoes.
    pub at: Span,
    /// Counted over all acts that are undone; of one act all have one number.
    pub number: usize,
    pub does: Undoes,
}

#[derive(Debug, Clone)]
pub enum Undoes {
    Start(Id<Joint>),
    Tighten(Id<Joint>),
    PressHome(Id<Joint>),
    Pin {
        fixings: Fixings,
        with: Option<Said<Id<Tool>>>,
    },
    Open {
        act: OpeningAct,
        joint: Id<Joint>,
    },
    Fit {
        things: Vec<Thing>,
        parts: Vec<Id<Part>>,
        /// Rigs that had it when it came off.
        on: Vec<Id<Rig>>,
    },
    Hold {
        loads: Vec<Load>,
        by: Bearer,
        touch: bool,
    },
    Release {
        loads: Vec<Load>,
        from: Id<Rig>,
    },
    Raise {
        loads: Vec<Load>,
        on: Id<Rig>,
    },
    Set {
        loads: Vec<Load>,
        on: Seat,
    },
    /// An end of the vehicle, or the whole, and what it stood on before.
    RaiseEnd {
        load: Load,
        end: Option<End>,
        on: Id<Rig>,
        at: Option<End>,
        to: Option<Length>,
        /// What it stands on until then; `None` is its wheels.
        from: Option<Id<Rig>>,
    },
    SetEnd {
        load: Load,
        end: Option<End>,
        on: Id<Rig>,
        from: Option<Id<Rig>>,
    },
    RaiseBy {
        loads: Vec<Load>,
        by: Option<Length>,
    },
    LowerBy {
        loads: Vec<Load>,
        by: Option<Length>,
    },
    Tilt {
        loads: Vec<Load>,
        about: Vec<Said<Id<Joint>>>,
        by: Option<Said<Extent>>,
        back: bool,
    },
    SlideHome(Thing),
    MoveBack(Thing),
    MoveAside(Thing),
    Untie(Thing),
    TieUp {
        thing: Thing,
        to: Thing,
        limit: Option<Said<Mass>>,
    },
    Fill(Id<Fluid>),
    Bleed(Id<Fluid>),
}
