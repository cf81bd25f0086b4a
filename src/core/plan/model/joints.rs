//! Joints: one connection between two things, with all that its page says of it.

use super::{
    DriveKind, Energy, Fluid, Head, Id, JointKind, Money, Paid, Part, Place, Reading, Said, Text, Thing,
};
use crate::base::quantity::{Angle, Length, Time, Torque};
use crate::base::source::Span;

#[derive(Debug, Clone)]
pub struct Joint {
    pub head: Head,
    /// Its two ends in the order written; missing where a name was unknown.
    pub ends: Option<[Said<Thing>; 2]>,
    /// A part says it, by `fixed to`: then there is no block, and the statement stands for it.
    pub in_part: Option<Span>,
    pub carries: Option<Span>,
    pub kind: Said<JointKind>,
    /// Against the habit of its kind.
    pub rigid: Option<Said<bool>>,
    /// `hose of steering-fluid`, `of supply`.
    pub of: Option<Said<Content>>,
    pub opens: Vec<Said<Id<Fluid>>>,
    pub fixings: Vec<Fixing>,
    /// `count 4`, where the fixings have no thread.
    pub count: Option<Said<u32>>,
    pub drives: Vec<Drive>,
    pub torque: Option<Box<Said<TorqueFigure>>>,
    pub with_wheels_down: Option<Span>,
    /// So long a bond sets, and bears nothing meanwhile.
    pub sets_in: Option<Said<Time>>,
    pub second_check: Option<Span>,
    pub hidden: Option<Said<Text>>,
    pub fully_out: Option<Said<Option<Text>>>,
    pub renew: Option<Said<Option<Text>>>,
    pub gone: Option<Said<Option<Text>>>,
    pub reach: Option<Said<Reach>>,
    pub covered_by: Vec<Said<Id<Part>>>,
    pub in_place_of: Option<Said<Id<Joint>>>,
    pub play: Option<Said<Length>>,
    pub engaged: Option<Said<Length>>,
    pub push_on: Option<Span>,
    pub place: Option<Said<Side>>,
    pub at: Option<Said<Place>>,
    pub tightening: Box<Tightening>,
    /// What its new fixings cost; most joints say nothing of it.
    pub price: Option<Box<FixingsPrice>>,
}

/// What the new fixings of a joint cost each time that it is closed with them, and what was paid for all of them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FixingsPrice {
    pub cost: Option<Said<Money>>,
    pub bought: Option<Said<Paid>>,
}

impl Joint {
    /// Number of fixings; 1 where nothing is stated.
    #[must_use]
    pub fn fixing_count(&self) -> u32 {
        let threaded: u32 = self.fixings.iter().map(|fixing| fixing.count).sum();
        match (threaded, &self.count) {
            (0, Some(count)) => count.value.max(1),
            (0, None) => 1,
            (n, _) => n,
        }
    }

    /// A strap round a tank or an exhaust, which bears it; not one that leads a current, though it may say that it carries.
    #[must_use]
    pub fn is_bearing_strap(&self) -> bool {
        const LEADS: &[&str] = &[
            "earth",
            "earthing",
            "ground",
            "grounding",
            "braid",
            "lead",
            "cable",
            "bonding",
        ];
        let title = self.head.title.as_deref().unwrap_or("");
        let text = format!("{} {title}", self.head.name).to_lowercase();
        self.kind.value == JointKind::Strap
            && self.carries.is_some()
            && !self.fixings.is_empty()
            && self.of.is_none()
            && !text
                .split(|c: char| !c.is_alphabetic())
                .any(|word| LEADS.contains(&word))
    }

    /// Whether there is something to turn: fixings with a thread, or a torque.
    #[must_use]
    pub fn is_tightened(&self) -> bool {
        self.push_on.is_none()
            && (!self.fixings.is_empty() || self.torque.is_some() || self.kind.value.is_line())
    }
}

/// What runs in, or makes live, a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Content {
    Fluid(Id<Fluid>),
    Energy(Id<Energy>),
}

/// One row of `bolts`: so many of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Fixing {
    pub what: FixingKind,
    pub count: u32,
    pub thread: Thread,
    pub class: Option<Said<Text>>,
    /// "at the dowels".
    pub whereabouts: Option<Text>,
    pub at: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FixingKind {
    Bolts,
    Studs,
    Nuts,
    Screws,
}

impl FixingKind {
    pub const ALL: &[(FixingKind, &str)] = &[
        (FixingKind::Bolts, "bolts"),
        (FixingKind::Studs, "studs"),
        (FixingKind::Nuts, "nuts"),
        (FixingKind::Screws, "screws"),
    ];

    /// "1 bolt", "2 bolts".
    #[must_use]
    pub fn words(self, count: u32) -> &'static str {
        let many = Self::ALL
            .iter()
            .find(|(kind, _)| *kind == self)
            .map_or("", |(_, word)| word);
        if count == 1 {
            many.strip_suffix('s').unwrap_or(many)
        } else {
            many
        }
    }
}

/// A thread's size as designated; whether such a thread exists is asked elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub enum Thread {
    /// Millimetres: ISO 261 designation `M10x1.25`, and the length if it is said.
    Metric {
        diameter: f64,
        pitch: Option<f64>,
        length: Option<f64>,
    },
    /// Unified: `3/8-16`, diameter in inches and threads an inch, length in inches.
    Unified {
        size: Text,
        diameter: f64,
        per_inch: Option<u32>,
        length: Option<f64>,
    },
}

/// A place for a tool on a fixing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    pub kind: DriveKind,
    /// As written: `16 mm`, `T40`, `PH2`.
    pub size: Text,
    /// For sizes that are lengths.
    pub across: Option<Length>,
    /// "deep socket", "crowfoot".
    pub with: Option<Text>,
    pub at: Span,
}

/// What the joint is tightened to.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueFigure {
    pub torque: Reading<Torque>,
    /// The band that the maker allows.
    pub band: Option<(Torque, Torque)>,
    /// Turned on by, after the torque.
    pub then: Option<Angle>,
    /// Rising figures; the last is the torque itself.
    pub in_stages: Vec<Torque>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reach {
    pub from: ReachFrom,
    pub end: Option<End>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReachFrom {
    Below,
    Inside,
    Above,
}

/// An end of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum End {
    Front,
    Rear,
}

impl End {
    pub const ALL: &[(End, &str)] = &[(End::Front, "front"), (End::Rear, "rear")];

    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            End::Front => "front",
            End::Rear => "rear",
        }
    }
}

/// Places of a walk round the vehicle, in walking order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    Front,
    Right,
    Rear,
    Left,
    Below,
    Inside,
}

impl Side {
    pub const ALL: &[(Side, &str)] = &[
        (Side::Front, "front"),
        (Side::Right, "right"),
        (Side::Rear, "rear"),
        (Side::Left, "left"),
        (Side::Below, "below"),
        (Side::Inside, "inside"),
    ];

    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(side, _)| *side == self)
            .map_or("", |(_, word)| word)
    }
}

/// What the tightening check wants to know.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tightening {
    pub threads: Option<Said<ThreadState>>,
    /// Coefficients, lowest and highest.
    pub friction: Option<Said<(f64, f64)>>,
    pub left_hand: Option<Span>,
    pub engagement: Option<Said<Length>>,
    pub order: Option<Said<TighteningOrder>>,
    pub pattern: Option<Said<Pattern>>,
    pub seen_from: Option<Said<Text>>,
    /// Which, where that is said.
    pub threadlock: Option<Said<Option<Text>>>,
    pub washers: Option<Said<Washers>>,
}

/// What lies under heads and nuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Washers {
    pub count: Option<u32>,
    pub what: Option<Text>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ThreadState {
    Dry,
    Oiled,
    Coated,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TighteningOrder {
    Across,
    Spiral,
    Along,
}

/// How the fixings stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Columns by rows.
    Grid(u32, u32),
    Row,
    Circle,
}
