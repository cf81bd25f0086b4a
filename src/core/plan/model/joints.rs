//! Joints: one connection between two things, with all that its page says of it.

use super::{
    DriveKind, Energy, Fluid, Head, Id, JointKind, Money, Paid, Part, Place, Reading, Said, Text, Thing,
};
use crate::base::quantity::{Angle, Length, Time, Torque};
use crate::base::source::Span;

/// What ties two things together, and all that holds, seals or runs through it.
#[derive(Debug, Clone)]
pub struct Joint {
    /// Name, title and notes.
    pub head: Head,
    /// Its two ends in the order written; missing where a name was unknown.
    pub ends: Option<[Said<Thing>; 2]>,
    /// A part says it, by `fixed to`: then there is no block, and the statement stands for it.
    pub in_part: Option<Span>,
    /// `carries`: weight goes through it.
    pub carries: Option<Span>,
    /// Bolted, where it says nothing else.
    pub kind: Said<JointKind>,
    /// Against the habit of its kind.
    pub rigid: Option<Said<bool>>,
    /// `hose of steering-fluid`, `of supply`.
    pub of: Option<Said<Content>>,
    /// Fluids that run out when it is undone.
    pub opens: Vec<Said<Id<Fluid>>>,
    /// `bolts 4 M8x1.25x55`, a row each.
    pub fixings: Vec<Fixing>,
    /// `count 4`, where the fixings have no thread.
    pub count: Option<Said<u32>>,
    /// Where a tool goes, in the order written.
    pub drives: Vec<Drive>,
    /// `torque 58 N m`, with its band and stages.
    pub torque: Option<Box<Said<TorqueFigure>>>,
    /// `with wheels down`: tightened only when the vehicle stands on its wheels.
    pub with_wheels_down: Option<Span>,
    /// So long a bond sets, and bears nothing meanwhile.
    pub sets_in: Option<Said<Time>>,
    /// `second check`: somebody else looks at it.
    pub second_check: Option<Span>,
    /// What the fitter does not see: "The left one turns behind the air box".
    pub hidden: Option<Said<Text>>,
    /// `fully out`: slack is not enough; in words, why.
    pub fully_out: Option<Said<Option<Text>>>,
    /// `renew`: new each time; in words, what.
    pub renew: Option<Said<Option<Text>>>,
    /// `gone`: nothing takes its place; in words, why.
    pub gone: Option<Said<Option<Text>>>,
    /// From where a hand gets at it, and at which end.
    pub reach: Option<Said<Reach>>,
    /// Parts that have to be off first.
    pub covered_by: Vec<Said<Id<Part>>>,
    /// The joint that it replaces.
    pub in_place_of: Option<Said<Id<Joint>>>,
    /// How far a flexible one gives before it tears.
    pub play: Option<Said<Length>>,
    /// How deep a slide sits, along its axis.
    pub engaged: Option<Said<Length>>,
    /// `push-on`: a line with nothing to tighten.
    pub push_on: Option<Span>,
    /// Where the sheets list it.
    pub place: Option<Said<Side>>,
    /// Its place on the vehicle, in mm.
    pub at: Option<Said<Place>>,
    /// What the tightening check needs; nothing where the plan says nothing.
    pub tightening: Box<Tightening>,
    /// What its new fixings cost; most joints say nothing of it.
    pub price: Option<Box<FixingsPrice>>,
}

impl Joint {
    /// A joint that says nothing yet, its kind at this place.
    #[must_use]
    pub fn blank(head: Head, at: Span) -> Joint {
        Joint {
            head,
            ends: None,
            in_part: None,
            carries: None,
            kind: Said::new(JointKind::Bolted, at),
            rigid: None,
            of: None,
            opens: Vec::new(),
            fixings: Vec::new(),
            count: None,
            drives: Vec::new(),
            torque: None,
            with_wheels_down: None,
            sets_in: None,
            second_check: None,
            hidden: None,
            fully_out: None,
            renew: None,
            gone: None,
            reach: None,
            covered_by: Vec::new(),
            in_place_of: None,
            play: None,
            engaged: None,
            push_on: None,
            place: None,
            at: None,
            tightening: Box::default(),
            price: None,
        }
    }
}

/// What the new fixings of a joint cost each time that it is closed with them, and what was paid for all of them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FixingsPrice {
    /// For one time that it is closed, in the plan's money.
    pub cost: Option<Said<Money>>,
    /// What was paid for all of them, and when.
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
    /// It is a line of it.
    Fluid(Id<Fluid>),
    /// It is live by it.
    Energy(Id<Energy>),
}

/// One row of `bolts`: so many of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Fixing {
    /// Bolts, studs, nuts or screws.
    pub what: FixingKind,
    /// So many of this row.
    pub count: u32,
    /// Size and pitch, and the length where it is said.
    pub thread: Thread,
    /// `10.9`, `A2-70`; none where the plan does not say.
    pub class: Option<Said<Text>>,
    /// "at the dowels".
    pub whereabouts: Option<Text>,
    /// Where the row says it.
    pub at: Span,
}

/// What is turned, and how a row is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FixingKind {
    /// Thread and a head; the nut is another row, or none.
    Bolts,
    /// Thread at both ends, no head.
    Studs,
    /// On a stud, or behind a bolt.
    Nuts,
    /// Into the part itself, no nut.
    Screws,
}

impl FixingKind {
    /// Each with the word that a plan writes.
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
        /// Nominal, mm.
        diameter: f64,
        /// mm; none for the coarse one.
        pitch: Option<f64>,
        /// mm under the head.
        length: Option<f64>,
    },
    /// Unified: `3/8-16`, diameter in inches and threads an inch, length in inches.
    Unified {
        /// As written: `3/8`, `No. 10`.
        size: Text,
        /// Nominal, in.
        diameter: f64,
        /// Threads an inch; none for the coarse one.
        per_inch: Option<u32>,
        /// in, under the head.
        length: Option<f64>,
    },
}

/// A place for a tool on a fixing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// Head, key, nut or what else.
    pub kind: DriveKind,
    /// As written: `16 mm`, `T40`, `PH2`.
    pub size: Text,
    /// For sizes that are lengths.
    pub across: Option<Length>,
    /// "deep socket", "crowfoot".
    pub with: Option<Text>,
    /// Where the plan says it.
    pub at: Span,
}

/// What the joint is tightened to.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueFigure {
    /// To come where nobody has the figure yet.
    pub torque: Reading<Torque>,
    /// The band that the maker allows.
    pub band: Option<(Torque, Torque)>,
    /// Turned on by, after the torque.
    pub then: Option<Angle>,
    /// Rising figures; the last is the torque itself.
    pub in_stages: Vec<Torque>,
}

/// From where a hand gets at a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reach {
    /// Below, inside or above.
    pub from: ReachFrom,
    /// None for any end.
    pub end: Option<End>,
}

/// Where somebody is when he gets at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReachFrom {
    /// Under the vehicle.
    Below,
    /// In the vehicle.
    Inside,
    /// Over the vehicle.
    Above,
}

/// An end of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum End {
    /// Where the vehicle goes first.
    Front,
    /// Where it goes last.
    Rear,
}

impl End {
    /// Each with the word that a plan writes.
    pub const ALL: &[(End, &str)] = &[(End::Front, "front"), (End::Rear, "rear")];

    /// As a plan writes it.
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
    /// Ahead of it.
    Front,
    /// On the driver's right.
    Right,
    /// Behind it.
    Rear,
    /// On the driver's left.
    Left,
    /// Under it.
    Below,
    /// In it.
    Inside,
}

impl Side {
    /// Each with the word that a plan writes.
    pub const ALL: &[(Side, &str)] = &[
        (Side::Front, "front"),
        (Side::Right, "right"),
        (Side::Rear, "rear"),
        (Side::Left, "left"),
        (Side::Below, "below"),
        (Side::Inside, "inside"),
    ];

    /// As a plan writes it.
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
    /// Dry, oiled or coated.
    pub threads: Option<Said<ThreadState>>,
    /// Coefficients, lowest and highest.
    pub friction: Option<Said<(f64, f64)>>,
    /// `left-hand thread`: it tightens the other way.
    pub left_hand: Option<Span>,
    /// How deep the thread is in, as the plan says it.
    pub engagement: Option<Said<Length>>,
    /// Which fixing after which.
    pub order: Option<Said<TighteningOrder>>,
    /// How the fixings stand.
    pub pattern: Option<Said<Pattern>>,
    /// From where that is, in the owner's words.
    pub seen_from: Option<Said<Text>>,
    /// Which, where that is said.
    pub threadlock: Option<Said<Option<Text>>>,
    /// None where the plan does not say.
    pub washers: Option<Said<Washers>>,
}

/// What lies under heads and nuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Washers {
    /// How many; none where the plan does not say.
    pub count: Option<u32>,
    /// "plain", "spring"; none where the plan does not say.
    pub what: Option<Text>,
}

/// What the threads are like, for the torque that is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ThreadState {
    /// Bare steel, no oil.
    Dry,
    /// With oil or grease.
    Oiled,
    /// With a coating of the maker's.
    Coated,
}

/// In what order fixings are tightened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TighteningOrder {
    /// Each time the one on the other side.
    Across,
    /// From the middle outwards.
    Spiral,
    /// One after the other.
    Along,
}

/// How the fixings stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Columns by rows.
    Grid(u32, u32),
    /// In a line.
    Row,
    /// Round a middle.
    Circle,
}
