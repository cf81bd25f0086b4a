//! Rigs, tools, consumables, the kit, people and scales.

use super::{Caution, End, Hazard, Head, Id, On, Part, Said, Text, Vehicle};
use crate::base::date::Date;
use crate::base::quantity::{Angle, Length, Mass, Time, Torque, Volume};
use crate::base::source::Span;

/// What lifts or holds.
#[derive(Debug, Clone)]
pub struct Rig {
    pub head: Head,
    /// The floor is a rig that holds and is always there.
    pub is_floor: bool,
    pub lifts: Option<Span>,
    pub holds: Option<Span>,
    pub rated: Option<Said<Rating>>,
    pub takes: Vec<Said<Takes>>,
    pub platform: Option<Said<(Length, Length)>>,
    pub borne_by: Option<Said<Id<Part>>>,
    pub count: Option<Said<u32>>,
    pub mass: Option<Said<super::MassFigure>>,
    pub height: Option<Said<Length>>,
    pub raises_to: Option<Said<Length>>,
    pub legs: Option<Said<Legs>>,
    pub supply: Supply,
    pub cautions: Vec<Said<Id<Caution>>>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    pub mass: Mass,
    pub each: bool,
}

/// Where a rig meets the vehicle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Takes {
    pub vehicle: Id<Vehicle>,
    pub ends: [Option<End>; 2],
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Legs {
    pub count: u32,
    /// From the horizontal.
    pub angle: Option<Angle>,
}

/// How a tool, rig or part is come by.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Supply {
    pub way: Option<Said<Way>>,
    /// "From 12 mm brass bar".
    pub make_from: Option<Text>,
    pub time: Option<Said<Time>>,
    pub cost: Option<Said<super::Money>>,
    /// What a day of hire costs.
    pub a_day: Option<Said<super::Money>>,
    pub bought: Option<Said<super::Paid>>,
    /// The first and the last day on which it is there.
    pub hired: Option<Said<(Date, Date)>>,
    pub arrives: Option<Said<Date>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    Borrow,
    Hire,
    Buy,
    ToMake,
}

impl Supply {
    #[must_use]
    pub fn to_make(&self) -> bool {
        self.way.is_some_and(|way| way.value == Way::ToMake)
    }
}

#[derive(Debug, Clone)]
pub struct Tool {
    pub head: Head,
    pub size: Option<Said<Length>>,
    pub range: Option<Said<(Torque, Torque)>>,
    pub holds: Option<Said<Volume>>,
    /// It takes a spring's force while it is in or out.
    pub compresses: Option<Span>,
    pub supply: Supply,
}

#[derive(Debug, Clone)]
pub struct Consumable {
    pub head: Head,
    /// As written: `50 g`, `1 l`, `4`.
    pub amount: Option<Said<Text>>,
    pub supply: Supply,
}

/// The tools that the owner has.
#[derive(Debug, Clone)]
pub struct Kit {
    pub head: Head,
    pub has: Vec<Said<Id<Tool>>>,
    pub sockets: Vec<Said<Length>>,
    pub spanners: Vec<Said<Length>>,
    pub keys: Vec<Said<Length>>,
    /// ISO 10664 sizes: `T30`.
    pub hexalobular: Vec<Said<Text>>,
}

#[derive(Debug, Clone)]
pub struct Person {
    pub head: Head,
    pub lifts: Option<Said<Mass>>,
    pub licensed_for: Vec<Said<Hazard>>,
    /// When; nothing where there is always time as long as there is work.
    pub free: Vec<Said<On>>,
}

#[derive(Debug, Clone)]
pub struct Scale {
    pub head: Head,
    pub capacity: Option<Said<Rating>>,
    pub division: Option<Said<Mass>>,
    pub repeatability: Option<Said<Mass>>,
    /// OIML R 76 accuracy class: I, II, III or IIII.
    pub class: Option<Said<Text>>,
}
