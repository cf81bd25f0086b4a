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
    /// The kind of act, and all that it names.
    pub does: Does,
}

/// A joint with the number of its fixings that are meant: `5 of bell-bolts`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixings {
    /// The joint itself.
    pub joint: Said<Id<Joint>>,
    /// None for all of them.
    pub count: Option<Said<u32>>,
}

/// A thing to be handled: a part or assembly, or the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Load {
    /// A part or an assembly.
    Thing(Thing),
    /// All of it.
    Vehicle(Id<Vehicle>),
}

/// What a thing is set on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seat {
    /// A stand, table or the floor.
    Rig(Id<Rig>),
    /// A part or assembly that bears it.
    Thing(Thing),
}

/// What is worked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Workpiece {
    /// A part, an assembly or the body.
    Thing(Thing),
    /// A joint, at the place where it is.
    Joint(Id<Joint>),
}

/// Who or what takes a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bearer {
    /// A lift, stand, crane or strap.
    Rig(Id<Rig>),
    /// Hands.
    Person(Id<Person>),
}

/// Which way something is drawn, seen from the driver's seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Ahead.
    Forward,
    /// To the rear.
    Back,
    /// To the driver's left.
    Left,
    /// To the driver's right.
    Right,
    /// Off the ground.
    Up,
    /// To the ground.
    Down,
}

impl Direction {
    /// Each with the word that a plan writes.
    pub const ALL: &[(Direction, &str)] = &[
        (Direction::Forward, "forward"),
        (Direction::Back, "back"),
        (Direction::Left, "left"),
        (Direction::Right, "right"),
        (Direction::Up, "up"),
        (Direction::Down, "down"),
    ];

    /// As a plan writes it.
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
    /// Along its way.
    Length(Length),
    /// About an axis.
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

/// What is done to a line that is open, or is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OpeningAct {
    /// A clamp on a hose, which stops it.
    Clamp,
    /// A cap on an end.
    Cap,
    /// A plug in a port.
    Plug,
    /// The clamp comes off.
    Unclamp,
    /// The cap comes off.
    Uncap,
    /// The plug comes out.
    Unplug,
}

/// A free name: of a measured figure, a photograph or a marked place.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeName {
    /// As written.
    pub name: Text,
    /// Where.
    pub at: Span,
}

/// The acts, each with all that its line names.
#[derive(Debug, Clone)]
pub enum Does {
    /// `slacken J`: turned loose, left in.
    Slacken(Vec<Fixings>),
    /// `undo J`: taken out.
    Undo(Vec<Fixings>),
    /// `start J`: put in by hand.
    Start(Vec<Fixings>),
    /// `tighten J`: to the figure of the joint.
    Tighten(Vec<Fixings>),
    /// `rivet J`: closed by an act of its own, as the kind of the joint has it.
    Join {
        /// How it is closed.
        by: ActKind,
        /// The joints, with how many of their fixings.
        all: Vec<Fixings>,
    },
    /// `grind sill "back to bright metal"`: work on parts, on the body, or on a joint without closing it.
    Work {
        /// What kind of work.
        by: ActKind,
        /// What it is done to.
        on: Vec<Said<Workpiece>>,
        /// In the owner's words.
        how: Option<Text>,
    },
    /// `pin N of J with T`: so many stay in as guides, the others come out.
    Pin {
        /// The joint, and how many stay in.
        fixings: Fixings,
        /// What stands in for them; none for the fixings themselves.
        with: Option<Said<Id<Tool>>>,
    },
    /// `break J`: drilled, cut or ground; it does not come back.
    Break {
        /// What is broken.
        joint: Said<Id<Joint>>,
        /// In the owner's words: "drill out the rivets".
        how: Option<Text>,
    },
    /// `hold A by R`: its weight is on something from here on.
    Hold {
        /// What is held.
        things: Vec<Said<Load>>,
        /// Hands or a rig.
        by: Said<Bearer>,
    },
    /// A hand that keeps it from turning, and bears nothing.
    Steady {
        /// What is kept from turning.
        things: Vec<Said<Load>>,
        /// Whose hand.
        by: Said<Id<Person>>,
    },
    /// `touch A with R`: a rig is brought up to it, and bears nothing yet.
    Touch {
        /// What it touches.
        things: Vec<Said<Load>>,
        /// A jack, table or sling.
        with: Said<Id<Rig>>,
    },
    /// `release A from R`: what had it lets go.
    Release {
        /// What is let go.
        things: Vec<Said<Load>>,
        /// None for all that have it.
        from: Option<Said<Bearer>>,
    },
    /// `tie up A to B`: hung by a wire or strap, out of the way.
    TieUp {
        /// What hangs.
        thing: Said<Thing>,
        /// What it hangs from.
        to: Said<Thing>,
        /// What the wire or strap bears; none for as much as the house lets hang.
        limit: Option<Said<Mass>>,
    },
    /// `untie A`: the wire or strap comes off.
    Untie(Vec<Said<Thing>>),
    /// `raise A on R`, `raise A on R to ride height`, `raise V front on R at jacking front to H`, `raise A by d`.
    Raise {
        /// What goes up.
        things: Vec<Said<Load>>,
        /// One end of the vehicle alone.
        end: Option<Said<End>>,
        /// The lift that does it; none where one has it already.
        on: Option<Said<Id<Rig>>>,
        /// Which jacking point, where only one end is raised.
        at: Option<Said<End>>,
        /// Height over the ground.
        to: Option<Said<Length>>,
        /// How far from where it is.
        by: Option<Said<Length>>,
        /// To where it stands when the vehicle stands on its wheels.
        ride: Option<Span>,
    },
    /// `set A on S`: put down on something that stays.
    Set {
        /// What is put down.
        things: Vec<Said<Load>>,
        /// One end of the vehicle alone.
        end: Option<Said<End>>,
        /// `down`: it lies there, and cannot fall any more.
        down: Option<Span>,
        /// What it then stands on.
        on: Said<Seat>,
    },
    /// `lower A by 200 mm`: on what has it.
    Lower {
        /// What goes down.
        things: Vec<Said<Load>>,
        /// None where the way is not said.
        by: Option<Said<Length>>,
    },
    /// `tilt A about J`: turned on joints that stay.
    Tilt {
        /// What turns.
        things: Vec<Said<Load>>,
        /// The joints that it turns on; none said is none.
        about: Vec<Said<Id<Joint>>>,
        /// By an angle, or by a length at the far end.
        by: Option<Said<Extent>>,
        /// To where it was before it was tilted.
        back: bool,
    },
    /// `draw A back by 90 mm`: along its axis, out of what it sits in.
    Draw {
        /// What comes out.
        things: Vec<Said<Thing>>,
        /// Which way.
        direction: Said<Direction>,
        /// How far.
        by: Said<Length>,
    },
    /// `slide home A`: along its axis, to where it was.
    SlideHome(Vec<Said<Thing>>),
    /// `press apart J`: by force.
    PressApart {
        /// What comes apart.
        joints: Vec<Said<Id<Joint>>>,
        /// Puller or press.
        with: Option<Said<Id<Tool>>>,
    },
    /// `press home J`: by force, until it seats.
    PressHome {
        /// What goes together.
        joints: Vec<Said<Id<Joint>>>,
        /// Press or drift.
        with: Option<Said<Id<Tool>>>,
    },
    /// `move aside A`: out of the way, on its lines.
    MoveAside(Vec<Said<Thing>>),
    /// `move back A`: to where it was.
    MoveBack(Vec<Said<Thing>>),
    /// `take off A`: away from the vehicle.
    TakeOff(Vec<Said<Thing>>),
    /// `fit A`: onto the vehicle, to stay.
    Fit(Vec<Said<Thing>>),
    /// `try A`: offered up, to come off again.
    Try(Vec<Said<Thing>>),
    /// `drain F`: let out.
    Drain {
        /// What runs out.
        fluids: Vec<Said<Id<Fluid>>>,
        /// The container; none where it is not said.
        into: Option<Said<Id<Tool>>>,
    },
    /// `fill F 5 l`: filled in.
    Fill {
        /// What goes in.
        fluids: Vec<Said<Id<Fluid>>>,
        /// How much; none for as much as it holds.
        with: Option<Said<Volume>>,
    },
    /// `bleed F`: the air is let out of its line.
    Bleed(Vec<Said<Id<Fluid>>>),
    /// `cap J`, `clamp J`, `plug J` and what takes them off again.
    Opening {
        /// Which of them.
        act: OpeningAct,
        /// Where.
        joints: Vec<Said<Id<Joint>>>,
        /// The clamp, cap or plug.
        with: Option<Said<Id<Tool>>>,
    },
    /// `weigh A with S`: put on a scale, all of the list at once, and read.
    Weigh {
        /// What hangs or stands on it.
        things: Vec<Said<Load>>,
        /// None where the weigh-in says it.
        with: Option<Said<Id<Scale>>>,
    },
    /// An engine, or whatever else runs, is started.
    Run(Vec<Said<Load>>),
    /// The vehicle goes on its own wheels.
    Drive(Vec<Said<Load>>),
    /// `measure toe`: read, and written down.
    Measure {
        /// What the figure is called.
        what: FreeName,
        /// None where the plan says none.
        value: Option<Said<Reading<Measured>>>,
    },
    /// `photograph N`: by a name of its own, to look it up.
    Photograph(Vec<FreeName>),
    /// `mark J`: scribed or painted, so that it goes back as it was.
    Mark(Vec<Said<Id<Joint>>>),
    /// `tag J`: labelled, so that it goes back to the same place.
    Tag(Vec<Said<Id<Joint>>>),
    /// `judge P: keep if "...", else renew`: decided on the bench.
    Judge {
        /// What is looked at.
        part: Said<Id<Part>>,
        /// What it has to be like to be kept.
        keep_if: Option<Text>,
    },
    /// `soak J`: penetrating oil, and time for it.
    Soak(Vec<Said<Id<Joint>>>),
    /// Until these have set.
    Wait(Vec<Said<Id<Joint>>>),
    /// So long nobody does anything to what this is done for.
    WaitFor {
        /// How long.
        time: Said<Time>,
        /// In the owner's words: "paint dries".
        why: Option<Text>,
    },
    /// `look "..."`: something has to be seen to be so.
    Look(Text),
    /// `make up T`: a tool is made.
    MakeUp(Vec<Said<Id<Tool>>>),
    /// `verify J "..."`: looked at once more, and ticked.
    Verify {
        /// What is made sure of.
        joints: Vec<Said<Id<Joint>>>,
        /// In the owner's words.
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
    /// A distance.
    Length(Length),
    /// A twist or a slope.
    Angle(Angle),
    /// What a scale shows.
    Mass(Mass),
    /// A content.
    Volume(Volume),
    /// What a wrench shows.
    Torque(crate::base::quantity::Torque),
    /// What a gauge shows.
    Pressure(crate::base::quantity::Pressure),
}
