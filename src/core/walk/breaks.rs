//! What the walk finds, as plain data: which rule, where, and which things of the plan it is about. Knows nothing of
//! wording; that stands in `rules/`.

use crate::base::source::Span;
use crate::plan::model::{End, Energy, Fluid, Id, Joint, Part, Person, Rig, Step, Tool, WeighIn};

/// The rule that an act or a moment broke.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Broken {
    // Order
    /// An act does what an earlier one has done.
    AlreadyDone,
    /// An act needs something in its place, and it is off.
    NotOn,
    /// Something goes in while what it is in place of is there.
    StillOn,
    /// Something is moved that nothing has hold of.
    NotHeld,
    /// Something is weighed by itself while it is still on.
    NotOff,
    /// A joint is worked on while something covers it, or the vehicle stands too low.
    OutOfReach,
    /// Somebody works under what only a jack has.
    UnderAJack,
    /// A line is opened while it is full.
    StillFull,
    /// A joint is parted while its energy is not safe.
    StillLive,
    /// Something moves while a joint ties it to what stays.
    StillJoined,
    /// Something is moved while a rig that cannot move with it has it.
    StillHeldElsewhere,
    /// A slide is undone like a bolt.
    DrawNotUndo,
    /// A joint is tightened before all its fixings are started.
    NotStarted,
    /// A rig is asked for what it cannot do.
    WrongRig,
    /// A rig that lifts is given a second load.
    RigInUse,
    /// An end is set down whose wheels or feet are not there.
    NoWheelsUnder,
    /// The last keeper of a live spring is parted, and nothing has hold of it.
    SpringLoose,
    /// A spring is let down, and how far it goes is not said.
    FreeNotSaid,
    /// A joint that keeps a spring in is closed, and nothing pushed it in.
    SpringNotPushedIn,
    /// A rig that only lifts is all that keeps a live spring in.
    NoSecondCatch,
    /// A rig of several pieces bears more places than it has pieces.
    TooFewUnder,
    /// Something is tied up to a thing that is off.
    TiedToLoose,
    /// Nothing leads from a thing to the body.
    NotTiedToBody,
    /// A line is capped that is closed, or clamped that is open.
    NothingOpen,
    /// Something is marked or recorded after it was parted.
    TooLate,
    /// A part is judged, and nothing would take its place.
    NothingToRenewWith,
    /// Something is run, driven or rolled before it is ready.
    NotReady,
    /// A line of fuel stands open while a supply is live.
    FuelNearLive,
    /// The vehicle is weighed while an end of it stands on a rig.
    WeighedOnStands,
    /// The vehicle comes down while something stands beneath it.
    StillBeneath,
    // Support
    /// Something loses the last thing that bears it.
    WouldFall,
    /// Something heavy is left on fewer supports than it needs.
    WouldSwing,
    /// Something hangs by its hose or pipe.
    HungByHose,
    /// Something heavy ends a step on pins or loose fixings.
    LeftOnPins,
    /// An act needs somebody whom the step does not have.
    NobodyToHelp,
    /// No joint of a heavy part is said to carry.
    JointsNotDeclared,
    /// The job may stand like this, and something hangs or is open.
    NotSafeToLeave,
    // Closing
    /// A joint is out at the end, between things that are on.
    NeverRemade,
    /// A joint is only slack or started at the end.
    NeverTightened,
    /// A joint is tightened with wheels down while an end is up.
    WheelsNotDown,
    /// A part that goes back is off at the end.
    NeverRefitted,
    /// A part that does not stay is on at the end.
    NeverTakenOff,
    /// A joint of a part that is gone has nothing in its place.
    NeverReplaced,
    /// A fluid that was drained is not filled again.
    NeverRefilled,
    /// A fluid that needs bleeding was opened, and is not bled.
    NeverBled,
    /// A fluid is filled or bled while a joint of it is not tight.
    LeftOpen,
    /// A cap, plug, clamp, pin or tie is left in its place.
    CapLeft,
    /// A rig has something when the work is done.
    StillHeld,
    /// The vehicle is not back on its wheels or feet.
    LeftUp,
    /// A joint that asks for it was never checked.
    NeverVerified,
    /// A joint is tightened whose torque is still to come.
    TorqueToCome,
    /// A part waits in case another is renewed, and nobody judges that one.
    NeverJudged,
    /// A reading is to come, and nothing weighs it.
    NeverWeighed,
    /// A stage that reverses others cannot work out how something goes back.
    NoWayBack,
    // Fastening
    /// A big torque is cracked or reached while an end is up.
    BigTorqueOnStands,
    /// Wheel fixings are loosened while the wheel hangs free.
    WheelTurns,
    /// What is new each time is closed again without having come out.
    SingleUseAgain,
    // Work
    /// Something sparks while fuel is near.
    SparksByFuel,
    /// Something sheds dust while a line stands open.
    DustIntoLine,
}

/// A thing of the plan that a break is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A part or the body.
    Part(Id<Part>),
    /// What ties two things, or ought to.
    Joint(Id<Joint>),
    /// What has something.
    Rig(Id<Rig>),
    /// Who is meant.
    Person(Id<Person>),
    /// What runs out or in.
    Fluid(Id<Fluid>),
    /// What is live, or pushes.
    Energy(Id<Energy>),
    /// What is in the hand, or left in a joint.
    Tool(Id<Tool>),
    /// A step as a whole.
    Step(Id<Step>),
    /// The list of readings.
    WeighIn(Id<WeighIn>),
    /// An end of the vehicle.
    End(End),
    /// The vehicle or machine.
    Vehicle,
}

/// When it was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    /// At this act.
    Act,
    /// At the end of this step.
    StepEnd,
    /// At the end of the plan, or at a declaration.
    PlanEnd,
}

/// One break: one rule, at one act or moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Break {
    /// Which rule.
    pub rule: Broken,
    /// When it was looked at.
    pub moment: Moment,
    /// None at the plan's end.
    pub step: Option<Id<Step>>,
    /// The whole act; at the plan's end the declaration.
    pub act: Span,
    /// The word in it that is meant.
    pub at: Span,
    /// What it is about, the most important first.
    pub of: Vec<Subject>,
    /// What it has to do with: the parts that a joint goes to, the parts in the way.
    pub with: Vec<Subject>,
    /// Of all these, what was off or out at that moment, where the mend asks for it.
    pub apart: Vec<Subject>,
    /// Where it began, if that is another place.
    pub began: Option<Span>,
    /// Graver than its rule usually is.
    pub grave: bool,
    /// A mass is not known, and was taken as heavy.
    pub mass_unknown: bool,
}

impl Break {
    /// About nothing yet: `of` and `with` say what.
    #[must_use]
    pub fn new(rule: Broken, moment: Moment, step: Option<Id<Step>>, act: Span, at: Span) -> Self {
        Self {
            rule,
            moment,
            step,
            act,
            at,
            of: Vec::new(),
            with: Vec::new(),
            apart: Vec::new(),
            began: None,
            grave: false,
            mass_unknown: false,
        }
    }

    /// Adds what it is about.
    #[must_use]
    pub fn of(mut self, subject: Subject) -> Self {
        self.of.push(subject);
        self
    }

    /// Adds what else it has to do with.
    #[must_use]
    pub fn with(mut self, subject: Subject) -> Self {
        self.with.push(subject);
        self
    }

    /// Joints that it is about.
    pub fn joints(&self) -> impl Iterator<Item = Id<Joint>> {
        self.of.iter().filter_map(|subject| match subject {
            Subject::Joint(id) => Some(*id),
            _ => None,
        })
    }

    /// Parts that it is about.
    pub fn parts(&self) -> impl Iterator<Item = Id<Part>> {
        self.of.iter().filter_map(|subject| match subject {
            Subject::Part(id) => Some(*id),
            _ => None,
        })
    }
}
