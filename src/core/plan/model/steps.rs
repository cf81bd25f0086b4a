//! Stages and steps.

use super::{
    Act, Caution, Consumable, Figure, Head, Id, Joint, Note, Part, Person, Rig, Said, Swap, Text, Tool,
};
use crate::base::quantity::Time;
use crate::base::source::Span;

/// A part of the job: steps in their order.
#[derive(Debug, Clone)]
pub struct Stage {
    /// Name, title and notes.
    pub head: Head,
    /// Derived from these stages, last first.
    pub reverses: Vec<Said<Id<Stage>>>,
    /// What hurts all over it.
    pub cautions: Vec<Said<Id<Caution>>>,
    /// Of its own, where its steps say none.
    pub time: Option<Said<TimeFigure>>,
    /// In the order of work.
    pub steps: Vec<Id<Step>>,
}

/// Acts that somebody does in one go.
#[derive(Debug, Clone)]
pub struct Step {
    /// Name, title and notes.
    pub head: Head,
    /// None in a plan whose steps stand before any stage.
    pub stage: Option<Id<Stage>>,
    /// Who does it, and who helps.
    pub by: Vec<Said<Id<Person>>>,
    /// Who calls the lift or the lower.
    pub calls: Option<Said<Id<Person>>>,
    /// The word that stops it.
    pub stop_word: Option<Said<Text>>,
    /// Steps that have to stand before it: asked, never sorted by.
    pub after: Vec<Said<Id<Step>>>,
    /// The step that would be worked out, and whose place it takes.
    pub instead_of: Option<Said<Id<Step>>>,
    /// The swaps that it is done for, where it says so.
    pub for_swaps: Vec<Said<Id<Swap>>>,
    /// For a step that nobody wrote: what it undoes.
    pub derived: Option<Derived>,
    /// Tools, rigs and what is used up.
    pub needs: Vec<Said<Need>>,
    /// What hurts while it is done.
    pub cautions: Vec<Said<Id<Caution>>>,
    /// How long it takes.
    pub time: Option<Said<TimeFigure>>,
    /// The job may stand like this for weeks.
    pub safe_to_leave: Option<Span>,
    /// It may stand like this till the next day of work, a week at most.
    pub safe_overnight: Option<Span>,
    /// Acts, notes, figures and cautions in the order of their lines.
    pub lines: Vec<StepLine>,
}

/// Where a derived step comes from.
#[derive(Debug, Clone)]
pub struct Derived {
    /// The step that it undoes.
    pub from: Id<Step>,
    /// What could not be worked out, and is left to the owner.
    pub asked: Vec<Asked>,
}

/// A thing or joint whose way back is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// Nothing says how it goes back.
    Part(Id<Part>),
    /// Nothing says how it is closed again.
    Joint(Id<Joint>),
}

impl Step {
    /// Where it says that a day of work may end behind it, for weeks or overnight.
    #[must_use]
    pub fn may_stop(&self) -> Option<Span> {
        self.safe_to_leave.or(self.safe_overnight)
    }

    /// The acts alone, in order.
    pub fn acts(&self) -> impl Iterator<Item = &Act> {
        self.lines.iter().filter_map(|line| match line {
            StepLine::Act(act) => Some(act),
            _ => None,
        })
    }
}

/// What stands in a step, in order.
#[derive(Debug, Clone)]
pub enum StepLine {
    /// What is done.
    Act(Act),
    /// The owner's words.
    Note(Note),
    /// A picture where it is needed.
    Figure(Figure),
    /// A caution guards the act that comes next; one before the first act guards the whole step.
    Caution(Said<Id<Caution>>),
}

/// What a step asks for beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Need {
    /// In the hand.
    Tool(Id<Tool>),
    /// Under the load.
    Rig(Id<Rig>),
    /// Used up.
    Consumable(Id<Consumable>),
}

/// A time: likely, and if said best and worst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeFigure {
    /// What it usually takes.
    pub likely: Time,
    /// Best and worst; none where only one figure is said.
    pub spread: Option<(Time, Time)>,
}
