//! The acts of a step: what each handles, and with what. What an act does to the machine is the walk's
//! business.

use std::fmt;

use super::{End, Fluid, Id, Joint, Part, Person, Reading, Rig, Said, Scale, Text, Thing, Tool, Vehicle};
use crate::base::quantity::{Angle, Length, Mass, Time, Volume};
use crate::base::source::Span;
use crate::plan::vocabulary::acts::ActKind;

/// One statement of a step that does something. A statement on a list of joints is one act with several
/// targets; the walk takes these one after the other.
#[derive(Debug, Clone)]
pub struct Act {
    /// The whole statement.
    pub at: Span,
    pub does: Does,
}

/// A joint with the number of its fixings that are meant: `5 of bell-bolts`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixings {
    pub joint: Said<Id<Joint>>,
    pub count: Option<Said<u32>>,
}

/// A thing to be handled: a part or assembly, or the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Load {
    Thing(Thing),
    Vehicle(Id<Vehicle>),
}

/// What a thing is set on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seat {
    Rig(Id<Rig>),
    Thing(Thing),
}

/// What is worked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Workpiece {
    Thing(Thing),
    Joint(Id<Joint>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bearer {
    Rig(Id<Rig>),
    Person(Id<Person>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    Forward,
    Back,
    Left,
    Right,
    Up,
    Down,
}

impl Direction {
    pub const ALL: &[(Direction, &str)] = &[
        (Direction::Forward, "forward"),
        (Direction::Back, "back"),
        (Direction::Left, "left"),
        (Direction::Right, "right"),
        (Direction::Up, "up"),
        (Direction::Down, "down"),
    ];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Direction::Forward => "forward",
            Direction::Back => "back",
            Direction::Left => "left",
            Direction::Right => "right",
            Direction::Up => "up",
            Direction::Down => "down",
        }
    }
}

/// How far: by a length or by an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    Length(Length),
    Angle(Angle),
}

impl fmt::Display for Extent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Extent::Length(length) => length.fmt(f),
            Extent::Angle(angle) => angle.fmt(f),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OpeningAct {
    Clamp,
    Cap,
    Plug,
    Unclamp,
    Uncap,
    Unplug,
}

/// A free name: of a measured figure, a photograph or a marked place.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeName {
    pub name: Text,
    pub at: Span,
}

#[derive(Debug, Clone)]
pub enum Does {
    Slacken(Vec<Fixings>),
    Undo(Vec<Fixings>),
    Start(Vec<Fixings>),
    Tighten(Vec<Fixings>),
    /// `rivet J`: closed by an act of its own, as the kind of the joint has it.
    Join {
        by: ActKind,
        all: Vec<Fixings>,
    },
    /// `grind sill "back to bright metal"`: work on parts, on the body, or on a joint without closing it.
    Work {
        by: ActKind,
        on: Vec<Said<Workpiece>>,
        how: Option<Text>,
    },
    Pin {
        fixings: Fixings,
        with: Option<Said<Id<Tool>>>,
    },
    Break {
        joint: Said<Id<Joint>>,
        how: Option<Text>,
    },
    Hold {
        things: Vec<Said<Load>>,
        by: Said<Bearer>,
    },
    /// A hand that keeps it from turning, and bears nothing.
    Steady {
        things: Vec<Said<Load>>,
        by: Said<Id<Person>>,
    },
    Touch {
        things: Vec<Said<Load>>,
        with: Said<Id<Rig>>,
    },
    Release {
        things: Vec<Said<Load>>,
        from: Option<Said<Bearer>>,
    },
    TieUp {
        thing: Said<Thing>,
        to: Said<Thing>,
        limit: Option<Said<Mass>>,
    },
    Untie(Vec<Said<Thing>>),
    /// `raise A on R`, `raise A on R to ride height`, `raise V front on R at jacking front to H`, `raise A by d`.
    Raise {
        things: Vec<Said<Load>>,
        end: Option<Said<End>>,
        on: Option<Said<Id<Rig>>>,
        at: Option<Said<End>>,
        to: Option<Said<Length>>,
        by: Option<Said<Length>>,
        /// To where it stands when the vehicle stands on its wheels.
        ride: Option<Span>,
    },
    Set {
        things: Vec<Said<Load>>,
        end: Option<Said<End>>,
        down: Option<Span>,
        on: Said<Seat>,
    },
    Lower {
        things: Vec<Said<Load>>,
        by: Option<Said<Length>>,
    },
    Tilt {
        things: Vec<Said<Load>>,
        /// The joints that it turns on; none said is none.
        about: Vec<Said<Id<Joint>>>,
        by: Option<Said<Extent>>,
        /// To where it was before it was tilted.
        back: bool,
    },
    Draw {
        things: Vec<Said<Thing>>,
        direction: Said<Direction>,
        by: Said<Length>,
    },
    SlideHome(Vec<Said<Thing>>),
    PressApart {
        joints: Vec<Said<Id<Joint>>>,
        with: Option<Said<Id<Tool>>>,
    },
    PressHome {
        joints: Vec<Said<Id<Joint>>>,
        with: Option<Said<Id<Tool>>>,
    },
    MoveAside(Vec<Said<Thing>>),
    MoveBack(Vec<Said<Thing>>),
    TakeOff(Vec<Said<Thing>>),
    Fit(Vec<Said<Thing>>),
    Try(Vec<Said<Thing>>),
    Drain {
        fluids: Vec<Said<Id<Fluid>>>,
        into: Option<Said<Id<Tool>>>,
    },
    Fill {
        fluids: Vec<Said<Id<Fluid>>>,
        with: Option<Said<Volume>>,
    },
    Bleed(Vec<Said<Id<Fluid>>>),
    Opening {
        act: OpeningAct,
        joints: Vec<Said<Id<Joint>>>,
        with: Option<Said<Id<Tool>>>,
    },
    Weigh {
        things: Vec<Said<Load>>,
        with: Option<Said<Id<Scale>>>,
    },
    /// An engine, or whatever else runs, is started.
    Run(Vec<Said<Load>>),
    /// The vehicle goes on its own wheels.
    Drive(Vec<Said<Load>>),
    Measure {
        what: FreeName,
        value: Option<Said<Reading<Measured>>>,
    },
    Photograph(Vec<FreeName>),
    Mark(Vec<Said<Id<Joint>>>),
    Tag(Vec<Said<Id<Joint>>>),
    Judge {
        part: Said<Id<Part>>,
        keep_if: Option<Text>,
    },
    Soak(Vec<Said<Id<Joint>>>),
    /// Until these have set.
    Wait(Vec<Said<Id<Joint>>>),
    /// So long nobody does anything to what this is done for.
    WaitFor {
        time: Said<Time>,
        why: Option<Text>,
    },
    Look(Text),
    MakeUp(Vec<Said<Id<Tool>>>),
    Verify {
        joints: Vec<Said<Id<Joint>>>,
        what: Option<Text>,
    },
}

impl Does {
    /// The tool that the act says it is done with, or into.
    #[must_use]
    pub fn tool(&self) -> Option<Said<Id<Tool>>> {
        match self {
            Does::Pin { with, .. }
            | Does::PressApart { with, .. }
            | Does::PressHome { with, .. }
            | Does::Opening { with, .. }
            | Does::Drain { into: with, .. } => *with,
            // Its form has no tool.
            _ => None,
        }
    }
}

/// A measured figure of any kind, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    Length(Length),
    Angle(Angle),
    Mass(Mass),
    Volume(Volume),
    Torque(crate::base::quantity::Torque),
    Pressure(crate::base::quantity::Pressure),
}
