//! What the walk finds, as plain data: which rule, where, and which things of the plan it is about. Knows nothing of
//! wording; that stands in `rules/`.

use crate::base::source::Span;
use crate::plan::model::{End, Energy, Fluid, Id, Joint, Part, Person, Rig, Step, Tool, WeighIn};

/// The rule that an act or a moment broke.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Broken {
    // Order
    AlreadyDone,
    NotOn,
    StillOn,
    NotHeld,
    NotOff,
    OutOfReach,
    UnderAJack,
    StillFull,
    StillLive,
    StillJoined,
    StillHeldElsewhere,
    DrawNotUndo,
    NotStarted,
    WrongRig,
    RigInUse,
    NoWheelsUnder,
    SpringLoose,
    FreeNotSaid,
    SpringNotPushedIn,
    NoSecondCatch,
    TooFewUnder,
    TiedToLoose,
    NotTiedToBody,
    NothingOpen,
    TooLate,
    NothingToRenewWith,
    NotReady,
    FuelNearLive,
    WeighedOnStands,
    StillBeneath,
    // Support
    WouldFall,
    WouldSwing,
    HungByHose,
    LeftOnPins,
    NobodyToHelp,
    JointsNotDeclared,
    NotSafeToLeave,
    // Closing
    NeverRemade,
    NeverTightened,
    WheelsNotDown,
    NeverRefitted,
    NeverTakenOff,
    NeverReplaced,
    NeverRefilled,
    NeverBled,
    LeftOpen,
    CapLeft,
    StillHeld,
    LeftUp,
    NeverVerified,
    TorqueToCome,
    NeverJudged,
    NeverWeighed,
    NoWayBack,
    // Fastening
    BigTorqueOnStands,
    WheelTurns,
    SingleUseAgain,
    // Work
    SparksByFuel,
    DustIntoLine,
}

/// A thing of the plan that a break is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    Part(Id<Part>),
    Joint(Id<Joint>),
    Rig(Id<Rig>),
    Person(Id<Person>),
    Fluid(Id<Fluid>),
    Energy(Id<Energy>),
    Tool(Id<Tool>),
    Step(Id<Step>),
    WeighIn(Id<WeighIn>),
    End(End),
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
    pub rule: Broken,
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

    #[must_use]
    pub fn of(mut self, subject: Subject) -> Self {
        self.of.push(subject);
        self
    }

    #[must_use]
    pub fn with(mut self, subject: Subject) -> Self {
        self.with.push(subject);
        self
    }

    pub fn joints(&self) -> impl Iterator<Item = Id<Joint>> {
        self.of.iter().filter_map(|subject| match subject {
            Subject::Joint(id) => Some(*id),
            _ => None,
        })
    }

    pub fn parts(&self) -> impl Iterator<Item = Id<Part>> {
        self.of.iter().filter_map(|subject| match subject {
            Subject::Part(id) => Some(*id),
            _ => None,
        })
    }
}
