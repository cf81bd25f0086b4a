//! Stages and steps.

use super::{Act, Caution, Consumable, Figure, Head, Id, Note, Person, Rig, Said, Text, Tool};
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
    pub needs: Vec<Said<Need>>,
    pub cautions: Vec<Said<Id<Caution>>>,
    pub time: Option<Said<TimeFigure>>,
    pub safe_to_leave: Option<Span>,
    /// Acts, notes, figures and cautions in the order of their lines.
    pub lines: Vec<StepLine>,
}

impl Step {
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
