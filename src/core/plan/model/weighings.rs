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
    /// Name, title and notes.
    pub head: Head,
    /// The day; none where the plan does not say.
    pub dated: Option<Dated>,
    /// The step when it was made: of the whole vehicle, what was off and on then.
    pub after: Option<Said<Id<Step>>>,
    /// The scale that was used.
    pub with: Option<Said<Id<Scale>>>,
    /// One a reading, in the order written.
    pub reads: Vec<Reads>,
    /// Slings and trays that were on it too.
    pub tare: Vec<Tare>,
    /// The sum of all, as it was written down.
    pub sum_given: Option<Said<Reading<Mass>>>,
    /// kg at each wheel.
    pub corners: Option<Said<Corners>>,
    /// kg on each axle.
    pub axles: Option<Said<FrontRear<Reading<Mass>>>>,
    /// This end was raised by so much, for the height of the centre.
    pub raised: Option<Said<(super::End, Length)>>,
    /// How much was in the tank; to come while nobody looked.
    pub fuel: Option<Said<Reading<Volume>>>,
    /// In it, out of it, or his mass.
    pub driver: Option<Said<Driver>>,
    /// Pressures, front and rear.
    pub tyres: Option<Said<FrontRear<Pressure>>>,
    /// How the floor was made level: "shop floor, shimmed".
    pub level: Option<Said<Text>>,
}

/// One reading, of one thing or several together.
#[derive(Debug, Clone)]
pub struct Reads {
    /// What lay on the scale together.
    pub what: Vec<Said<Weighed>>,
    /// To come while nobody has read it.
    pub mass: Reading<Mass>,
    /// What is stated about it, one standard deviation.
    pub give: Option<Mass>,
    /// "with two pad bolts", as the plan writes it.
    pub words: Option<Text>,
    /// Where the plan says it.
    pub at: Span,
}

/// What lies on a scale: things, joints' hardware, or the whole vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weighed {
    /// A part or an assembly.
    Thing(Thing),
    /// The fixings of a joint.
    Hardware(Id<Joint>),
    /// All of it.
    Vehicle(Id<super::Vehicle>),
}

/// What was on the scale besides what was weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct Tare {
    /// What it is.
    pub name: Text,
    /// Of it, once.
    pub mass: Mass,
    /// Where the plan says it.
    pub at: Span,
}

/// Four wheel readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners {
    /// kg on that wheel.
    pub front_left: Reading<Mass>,
    /// kg on that wheel.
    pub front_right: Reading<Mass>,
    /// kg on that wheel.
    pub rear_left: Reading<Mass>,
    /// kg on that wheel.
    pub rear_right: Reading<Mass>,
}

impl Corners {
    /// Front left, front right, rear left, rear right.
    #[must_use]
    pub fn all(&self) -> [Reading<Mass>; 4] {
        [self.front_left, self.front_right, self.rear_left, self.rear_right]
    }
}

/// Who sat in it while it stood on the scales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Driver {
    /// With the driver in.
    In,
    /// Nobody on the seat.
    Out,
    /// Somebody or something of this mass.
    Mass(Mass),
}

/// What comes off against what goes on.
#[derive(Debug, Clone)]
pub struct Swap {
    /// Name, title and notes.
    pub head: Head,
    /// What is away at the end.
    pub comes_off: Vec<Said<Weighed>>,
    /// What is there instead.
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
    /// The day on which all of it was done; none while it is not.
    pub done: Option<Dated>,
    /// Who did it.
    pub by: Vec<Said<Id<Person>>>,
    /// How long all of it took.
    pub took: Option<Said<Time>>,
    /// What somebody saw, in their words.
    pub found: Vec<Said<Text>>,
    /// Where it was left off, and what it waits for.
    pub stopped: Option<Said<Stopped>>,
    /// Why the steps were not done.
    pub skipped: Option<Said<Text>>,
    /// What was done in place of what the steps say.
    pub differently: Vec<Said<Text>>,
    /// Fixings that broke or were lost.
    pub spoilt: Vec<Spoilt>,
    /// Parts that were hurt.
    pub damaged: Vec<Damaged>,
    /// What went in in place of what the plan says.
    pub fitted: Vec<Fitted>,
    /// What was read while it was done; each stands in its weigh-in too.
    pub reads: Vec<Reads>,
    /// kg at each wheel, read then.
    pub corners: Option<Said<Corners>>,
    /// kg on each axle, read then.
    pub axles: Option<Said<FrontRear<Reading<Mass>>>>,
    /// What was measured; it stands in the step's act too.
    pub measured: Vec<MeasuredThen>,
    /// What the owner writes about it.
    pub notes: Vec<super::Note>,
    /// Where the block stands.
    pub at: Span,
}

/// One step, or all from one to another in the order of work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogSteps {
    /// The first of them.
    pub from: Said<Id<Step>>,
    /// None for one step alone.
    pub to: Option<Said<Id<Step>>>,
}

/// Fixings that broke or were lost, and have to be had new.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spoilt {
    /// Broken or gone.
    pub how: How,
    /// How many of them.
    pub count: Said<u32>,
    /// The joint that lost them.
    pub joint: Said<Id<Joint>>,
}

/// How a fixing was lost to the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It came apart.
    Broke,
    /// Not found again.
    Lost,
}

/// A part that was hurt, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct Damaged {
    /// What was hurt.
    pub part: Said<Id<Part>>,
    /// In their words.
    pub how: Option<Text>,
}

/// `measure toe 2 mm`, said when it was done.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredThen {
    /// What the figure is called.
    pub what: super::FreeName,
    /// To come while nobody has read it.
    pub value: Said<Reading<super::Measured>>,
}

/// What went into a joint in place of what the plan says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// What it is in.
    pub joint: Said<Id<Joint>>,
    /// What is in it now.
    pub fixings: Vec<Fixing>,
    /// What it is tightened to now.
    pub torque: Option<Box<Said<TorqueFigure>>>,
}

/// How far a step came, and why it went no further.
#[derive(Debug, Clone, PartialEq)]
pub struct Stopped {
    /// When it was left off.
    pub on: Dated,
    /// After which step, or at which act.
    pub place: StoppedAt,
    /// None where nothing is waited for.
    pub waiting_for: Option<Waiting>,
}

/// How far it came.
#[derive(Debug, Clone, PartialEq)]
pub enum StoppedAt {
    /// After that step.
    After(Said<Id<Step>>),
    /// The last act that was done, in its own words: `undo link-left`.
    Act(Said<Text>),
    /// The same by its letter on the card.
    Letter(Said<Text>),
}

/// What it waits for: a thing of the plan by its name, or in words.
#[derive(Debug, Clone, PartialEq)]
pub enum Waiting {
    /// Something that the plan declares.
    Named(Said<Text>),
    /// Something else.
    Words(Text),
}

/// So far a step came: this many of its acts are done, and of the next one this many names of its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Halt {
    /// The step that is not done.
    pub step: Id<Step>,
    /// Its acts that are.
    pub acts: usize,
    /// Names of the next one that are.
    pub names: usize,
}

/// A finding that the owner lets stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Accept {
    /// Its name.
    pub rule: Said<Text>,
    /// Names of what it stands for; empty for the whole plan.
    pub names: Vec<Said<Text>>,
    /// Why it stands, in the owner's words.
    pub because: Text,
    /// Where the block stands.
    pub at: Span,
}

/// How the job was found, beside "all on, all tight, all full".
#[derive(Debug, Clone, PartialEq)]
pub enum Starts {
    /// It lay beside the vehicle.
    Off(Said<Thing>),
    /// It was on already.
    On(Said<Thing>),
    /// Its fixings were out.
    Out(Said<Id<Joint>>),
    /// Its fixings were loose.
    Slack(Said<Id<Joint>>),
    /// There was nothing of it.
    Drained(Said<Id<super::Fluid>>),
    /// So much of it was in.
    Holds(Said<Id<super::Fluid>>, Volume),
}

/// Kept beside the plan so that a page can name a part by id.
pub type PartId = Id<Part>;
/// A time with its spread, where a log compares.
pub type Planned = TimeFigure;
