//! Stages and steps.

use super::{
    Act, Caution, Consumable, Figure, Head, Id, Joint, Note, Part, Person, Rig, Said, Swap, Text, Tool,
};
use crate::base::quantity::Time;
use crate::base::source::Span;

#[derive(Debug, Clone)]
pub struct Stage {
    pub head: Head,
    /// Derived from these stages, last first.
    pub reverses: Vec<Said<Id<Stage>>>,
    pub cautions: Vec<Said<Id<Caution>>>,
    pub time: Option<Said<TimeFigure>>,
    pub steps: Vec<Id<Step>>,
}

#[derive(Debug, Clone)]
pub struct Step {
    pub head: Head,
    /// None in a plan whose steps stand before any stage.
    pub stage: Option<Id<Stage>>,
    pub by: Vec<Said<Id<Person>>>,
    pub calls: Option<Said<Id<Person>>>,
    pub stop_word: Option<Said<Text>>,
    pub after: Vec<Said<Id<Step>>>,
    pub instead_of: Option<Said<Id<Step>>>,
    /// The swaps that it is done for, where it says so.
    pub for_swaps: Vec<Said<Id<Swap>>>,
    /// For a step that nobody wrote: what it undoes.
    pub derived: Option<Derived>,
    pub needs: Vec<Said<Need>>,
    pub cautions: Vec<Said<Id<Caution>>>,
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
    Part(Id<Part>),
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
    Act(Act),
    Note(Note),
    Figure(Figure),
    /// A caution guards the act that comes next; one before the first act guards the whole step.
    Caution(Said<Id<Caution>>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Need {
    Tool(Id<Tool>),
    Rig(Id<Rig>),
    Consumable(Id<Consumable>),
}

/// A time: likely, and if said best and worst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeFigure {
    pub likely: Time,
    pub spread: Option<(Time, Time)>,
}
