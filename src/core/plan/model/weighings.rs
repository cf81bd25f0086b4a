//! Weigh-ins, swaps, the log and accepted findings.

use super::{
    Dated, Fixing, FrontRear, Head, Id, Joint, Part, Person, Reading, Said, Scale, Step, Text, Thing,
    TimeFigure, TorqueFigure,
};
use crate::base::quantity::{Length, Mass, Pressure, Time, Volume};
use crate::base::source::Span;

/// A dated list of readings from one scale.
#[derive(Debug, Clone)]
pub struct WeighIn {
    pub head: Head,
    pub dated: Option<Dated>,
    /// The step when it was made: of the whole vehicle, what was off and on then.
    pub after: Option<Said<Id<Step>>>,
    pub with: Option<Said<Id<Scale>>>,
    pub reads: Vec<Reads>,
    pub tare: Vec<Tare>,
    pub sum_given: Option<Said<Reading<Mass>>>,
    pub corners: Option<Said<Corners>>,
    pub axles: Option<Said<FrontRear<Reading<Mass>>>>,
    /// This end was raised by so much, for the height of the centre.
    pub raised: Option<Said<(super::End, Length)>>,
    pub fuel: Option<Said<Reading<Volume>>>,
    pub driver: Option<Said<Driver>>,
    pub tyres: Option<Said<FrontRear<Pressure>>>,
    pub level: Option<Said<Text>>,
}

/// One reading, of one thing or several together.
#[derive(Debug, Clone)]
pub struct Reads {
    pub what: Vec<Said<Weighed>>,
    pub mass: Reading<Mass>,
    pub give: Option<Mass>,
    pub words: Option<Text>,
    pub at: Span,
}

/// What lies on a scale: things, joints' hardware, or the whole vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weighed {
    Thing(Thing),
    Hardware(Id<Joint>),
    Vehicle(Id<super::Vehicle>),
}

#[derive(Debug, Clone, PartialEq)]
pub struct Tare {
    pub name: Text,
    pub mass: Mass,
    pub at: Span,
}

/// Four wheel readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners {
    pub front_left: Reading<Mass>,
    pub front_right: Reading<Mass>,
    pub rear_left: Reading<Mass>,
    pub rear_right: Reading<Mass>,
}

impl Corners {
    #[must_use]
    pub fn all(&self) -> [Reading<Mass>; 4] {
        [self.front_left, self.front_right, self.rear_left, self.rear_right]
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Driver {
    In,
    Out,
    Mass(Mass),
}

/// What comes off against what goes on.
#[derive(Debug, Clone)]
pub struct Swap {
    pub head: Head,
    pub comes_off: Vec<Said<Weighed>>,
    pub goes_on: Vec<Said<Weighed>>,
    /// It may be left out.
    pub optional: Option<Span>,
    /// It is not done: the plan is taken as if it were not there.
    pub left_out: Option<Span>,
    /// Swaps without which it cannot be done.
    pub needs: Vec<Said<Id<Swap>>>,
    /// Swaps with which it cannot be done.
    pub not_with: Vec<Said<Id<Swap>>>,
}

/// What was done, when, by whom, how long it took, what was found.
#[derive(Debug, Clone)]
pub struct Log {
    /// As written, at least one.
    pub named: Vec<LogSteps>,
    /// All of them, each once, in the order of work.
    pub steps: Vec<Id<Step>>,
    pub done: Option<Dated>,
    pub by: Vec<Said<Id<Person>>>,
    pub took: Option<Said<Time>>,
    pub found: Vec<Said<Text>>,
    pub stopped: Option<Said<Stopped>>,
    /// Why the steps were not done.
    pub skipped: Option<Said<Text>>,
    /// What was done in place of what the steps say.
    pub differently: Vec<Said<Text>>,
    pub spoilt: Vec<Spoilt>,
    pub damaged: Vec<Damaged>,
    pub fitted: Vec<Fitted>,
    /// What was read while it was done; each stands in its weigh-in too.
    pub reads: Vec<Reads>,
    pub corners: Option<Said<Corners>>,
    pub axles: Option<Said<FrontRear<Reading<Mass>>>>,
    /// What was measured; it stands in the step's act too.
    pub measured: Vec<MeasuredThen>,
    pub notes: Vec<super::Note>,
    pub at: Span,
}

/// One step, or all from one to another in the order of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogSteps {
    pub from: Said<Id<Step>>,
    pub to: Option<Said<Id<Step>>>,
}

/// Fixings that broke or were lost, and have to be had new.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spoilt {
    pub how: How,
    pub count: Said<u32>,
    pub joint: Said<Id<Joint>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    Broke,
    Lost,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Damaged {
    pub part: Said<Id<Part>>,
    pub how: Option<Text>,
}

/// `measure toe 2 mm`, said when it was done.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredThen {
    pub what: super::FreeName,
    pub value: Said<Reading<super::Measured>>,
}

/// What went into a joint in place of what the plan says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    pub joint: Said<Id<Joint>>,
    pub fixings: Vec<Fixing>,
    pub torque: Option<Box<Said<TorqueFigure>>>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Stopped {
    pub on: Dated,
    pub place: StoppedAt,
    pub waiting_for: Option<Waiting>,
}

/// How far it came.
#[derive(Debug, Clone, PartialEq)]
pub enum StoppedAt {
    After(Said<Id<Step>>),
    /// The last act that was done, in its own words: `undo link-left`.
    Act(Said<Text>),
    /// The same by its letter on the card.
    Letter(Said<Text>),
}

/// What it waits for: a thing of the plan by its name, or in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Waiting {
    Named(Said<Text>),
    Words(Text),
}

/// So far a step came: this many of its acts are done, and of the next one this many names of its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Halt {
    pub step: Id<Step>,
    pub acts: usize,
    pub names: usize,
}

/// A finding that the owner lets stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Accept {
    pub rule: Said<Text>,
    /// Names of what it stands for; empty for the whole plan.
    pub names: Vec<Said<Text>>,
    pub because: Text,
    pub at: Span,
}

/// How the job was found, beside "all on, all tight, all full".
#[derive(Debug, Clone, PartialEq)]
pub enum Starts {
    Off(Said<Thing>),
    On(Said<Thing>),
    Out(Said<Id<Joint>>),
    Slack(Said<Id<Joint>>),
    Drained(Said<Id<super::Fluid>>),
    Holds(Said<Id<super::Fluid>>, Volume),
}

/// Kept beside the plan so that a page can name a part by id.
pub type PartId = Id<Part>;
/// A time with its spread, where a log compares.
pub type Planned = TimeFigure;
