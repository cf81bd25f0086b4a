//! Rigs, tools, consumables, the kit, people and scales.

use super::{Caution, End, Hazard, Head, Id, On, Part, Said, Text, Vehicle};
use crate::base::date::Date;
use crate::base::quantity::{Angle, Length, Mass, Time, Torque, Volume};
use crate::base::source::Span;

/// What lifts or holds.
#[derive(Debug, Clone)]
pub struct Rig {
    /// Name, title and notes.
    pub head: Head,
    /// The floor is a rig that holds and is always there.
    pub is_floor: bool,
    /// `lifts`: it can raise a load.
    pub lifts: Option<Span>,
    /// `holds`: it can keep one where it is.
    pub holds: Option<Span>,
    /// What it may bear.
    pub rated: Option<Said<Rating>>,
    /// Where it takes the vehicle.
    pub takes: Vec<Said<Takes>>,
    /// Length and width of what bears.
    pub platform: Option<Said<(Length, Length)>>,
    /// The thing that it stands on, where that is not the ground.
    pub borne_by: Option<Said<Id<Part>>>,
    /// How many pieces it has; 1 where it is not said.
    pub count: Option<Said<u32>>,
    /// What it weighs itself.
    pub mass: Option<Said<super::MassFigure>>,
    /// How high what it bears lies.
    pub height: Option<Said<Length>>,
    /// How high it can raise.
    pub raises_to: Option<Said<Length>>,
    /// Legs of a sling.
    pub legs: Option<Said<Legs>>,
    /// How it is come by.
    pub supply: Supply,
    /// What can hurt where it is used.
    pub cautions: Vec<Said<Id<Caution>>>,
}

/// What a rig or scale may bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// The most that it may take.
    pub mass: Mass,
    /// Each one of a set by itself, and not the set together.
    pub each: bool,
}

/// Where a rig meets the vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Takes {
    /// Which vehicle.
    pub vehicle: Id<Vehicle>,
    /// The ends that it meets, one or both.
    pub ends: [Option<End>; 2],
}

/// Legs of a sling, as one hangs a load by it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Legs {
    /// How many bear.
    pub count: u32,
    /// From the horizontal.
    pub angle: Option<Angle>,
}

/// How a tool, rig or part is come by.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Supply {
    /// Borrowed, hired, bought or made.
    pub way: Option<Said<Way>>,
    /// "From 12 mm brass bar".
    pub make_from: Option<Text>,
    /// What making it takes.
    pub time: Option<Said<Time>>,
    /// What it costs, once.
    pub cost: Option<Said<super::Money>>,
    /// What a day of hire costs.
    pub a_day: Option<Said<super::Money>>,
    /// What was paid for it, and when.
    pub bought: Option<Said<super::Paid>>,
    /// The first and the last day on which it is there.
    pub hired: Option<Said<(Date, Date)>>,
    /// The day on which it is there, where it is not yet.
    pub arrives: Option<Said<Date>>,
}

/// How something is come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// From somebody who wants it back.
    Borrow,
    /// By the day.
    Hire,
    /// For good.
    Buy,
    /// Made for the job.
    ToMake,
}

impl Supply {
    /// The plan says that it is made first.
    #[must_use]
    pub fn to_make(&self) -> bool {
        self.way.is_some_and(|way| way.value == Way::ToMake)
    }
}

/// Something in the hand, or a container.
#[derive(Debug, Clone)]
pub struct Tool {
    /// Name, title and notes.
    pub head: Head,
    /// Of what it turns or drives.
    pub size: Option<Said<Length>>,
    /// The least and the most torque that it can set.
    pub range: Option<Said<(Torque, Torque)>>,
    /// What a container takes.
    pub holds: Option<Said<Volume>>,
    /// It takes a spring's force while it is in or out.
    pub compresses: Option<Span>,
    /// How it is come by.
    pub supply: Supply,
}

/// What is used up.
#[derive(Debug, Clone)]
pub struct Consumable {
    /// Name, title and notes.
    pub head: Head,
    /// As written: `50 g`, `1 l`, `4`.
    pub amount: Option<Said<Text>>,
    /// How it is come by.
    pub supply: Supply,
}

/// The tools that the owner has.
#[derive(Debug, Clone)]
pub struct Kit {
    /// Name, title and notes.
    pub head: Head,
    /// Tools of the plan that lie in it.
    pub has: Vec<Said<Id<Tool>>>,
    /// Sizes across flats, in mm.
    pub sockets: Vec<Said<Length>>,
    /// Sizes across flats, in mm.
    pub spanners: Vec<Said<Length>>,
    /// Sizes across flats, in mm.
    pub keys: Vec<Said<Length>>,
    /// ISO 10664 sizes: `T30`.
    pub hexalobular: Vec<Said<Text>>,
}

/// Somebody who works.
#[derive(Debug, Clone)]
pub struct Person {
    /// Name, title and notes.
    pub head: Head,
    /// The most that this one holds; else what the house calls heavy.
    pub lifts: Option<Said<Mass>>,
    /// What they may do that needs a licence.
    pub licensed_for: Vec<Said<Hazard>>,
    /// When; nothing where there is always time as long as there is work.
    pub free: Vec<Said<On>>,
}

/// What weighs.
#[derive(Debug, Clone)]
pub struct Scale {
    /// Name, title and notes.
    pub head: Head,
    /// The most that it may bear.
    pub capacity: Option<Said<Rating>>,
    /// The least step that it shows.
    pub division: Option<Said<Mass>>,
    /// One standard deviation of repeated readings, where it is said.
    pub repeatability: Option<Said<Mass>>,
    /// OIML R 76 accuracy class: I, II, III or IIII.
    pub class: Option<Said<Text>>,
}
