//! What is wrong with a plan's text, names and amounts, as data. `rules/names.rs` words each of them.

use super::read::names::Want;
use crate::base::source::Span;
use crate::base::unit::Dimension;
use crate::syntax::shapes::{BlockKind, Shape};

/// One thing wrong, before it is worded.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanError {
    /// A line that opens no kind of block.
    UnknownBlock {
        at: Span,
        word: String,
    },
    /// A statement or header that does not have its form.
    Unreadable {
        at: Span,
        expected: String,
        form: String,
    },
    /// A statement whose first word is none of its block's, and nearly one: the place of the word, and the statement.
    Misspelt {
        at: Span,
        block: BlockKind,
        shape: &'static Shape,
        /// The words that are as near as its first one, that one first.
        words: Vec<&'static str>,
    },
    /// A statement whose first word is none of its block's.
    UnknownStatement {
        at: Span,
        expected: String,
        block: BlockKind,
        /// Statements that it may have been meant for.
        near: Vec<&'static str>,
    },
    /// A file that is no text: its first wrong byte.
    NotText {
        at: Span,
        byte: u8,
    },
    /// An indented line above the first block.
    NoBlock {
        at: Span,
    },
    /// A quote that its line does not close.
    OpenText {
        at: Span,
    },
    HiddenCharacter {
        at: Span,
        which: char,
        more: usize,
    },
    /// Paper has no letter for these: the first one's place, and all of its line.
    NoLetter {
        at: Span,
        which: Vec<char>,
    },
    /// A line ends in a comma and nothing indented follows.
    ListCutShort {
        at: Span,
    },
    BareNumber {
        at: Span,
        number: String,
        wants: Dimension,
    },
    /// What is written otherwise, and how.
    Otherwise {
        at: Span,
        what: &'static str,
        meant: String,
    },
    /// `5,8 kg`: two figures, as it is read.
    DecimalComma {
        at: Span,
        meant: String,
    },
    /// `is` where the unit is known and measures something else.
    WrongUnit {
        at: Span,
        unit: String,
        wants: Dimension,
        is: Option<Dimension>,
    },
    SaidTwice {
        at: Span,
        first: Span,
        words: String,
    },
    NoteRefused {
        at: Span,
        why: NoteFault,
    },
    BadName {
        at: Span,
        name: String,
        why: NameFault,
    },
    SameName {
        name: String,
        first: Span,
        second: Span,
        first_is: &'static str,
        second_is: &'static str,
        /// The part whose `fixed to` makes one of the two.
        in_part: Option<String>,
    },
    UnknownName {
        name: String,
        at: Span,
        /// Further places that use it.
        also: Vec<Span>,
        want: Want,
        wanted: &'static str,
        near: Vec<String>,
        near_at: Option<Span>,
    },
    WrongKind {
        name: String,
        at: Span,
        is: &'static str,
        wanted: &'static str,
        declared: Span,
    },
    SidesOutOfStep {
        at: Span,
        name: String,
        block_sides: &'static str,
        other_sides: &'static str,
    },
    SameAsRing {
        names: Vec<(String, Span)>,
    },
    ContainsItself {
        names: Vec<(String, Span)>,
    },
    Overlap {
        part: String,
        first: (String, Span),
        second: (String, Span),
    },
    JointToItself {
        joint: String,
        at: Span,
        thing: String,
        inside: Option<String>,
    },
    /// What rests on it, at last rests on it.
    RestsRound {
        names: Vec<(String, Span)>,
    },
    StageNotListed {
        stage: String,
        at: Span,
        list: Option<Span>,
    },
    StageListedTwice {
        stage: String,
        first: Span,
        second: Span,
    },
    StepsWithoutStage {
        at: Span,
        other: Span,
    },
    /// Steps in several files and no `stages` line.
    NoStageOrder {
        at: Vec<Span>,
        plan: Option<Span>,
        names: Vec<String>,
    },
    MissingFigure {
        at: Span,
        file: String,
        why: FigureFault,
    },
    NeverUsed {
        name: String,
        at: Span,
        is: &'static str,
    },
    TwoPlans {
        first: Span,
        second: Span,
    },
    NoPlan {
        at: Option<Span>,
    },
    /// A plan with steps, and nothing that they are done to.
    NoVehicle {
        at: Option<Span>,
    },
    NoSteps {
        at: Option<Span>,
    },
    /// A stage that cannot be reversed, or a step that is not undone where something stands for it.
    CannotReverse {
        at: Span,
        name: String,
        why: ReverseFault,
    },
    /// A block lacks the statement that gives it meaning.
    Lacks {
        at: Span,
        block: Span,
        name: String,
        is: &'static str,
        form: &'static str,
    },
}

impl PlanError {
    /// Whether a statement or block was left out that may have mentioned a name.
    #[must_use]
    pub fn loses_a_mention(&self) -> bool {
        matches!(
            self,
            PlanError::UnknownBlock { .. }
                | PlanError::Unreadable { .. }
                | PlanError::Misspelt { .. }
                | PlanError::UnknownStatement { .. }
                | PlanError::NoBlock { .. }
                | PlanError::OpenText { .. }
                | PlanError::ListCutShort { .. }
                | PlanError::BareNumber { .. }
                | PlanError::DecimalComma { .. }
                | PlanError::Otherwise { .. }
                | PlanError::WrongUnit { .. }
                | PlanError::SaidTwice { .. }
                | PlanError::BadName { .. }
                | PlanError::UnknownName { .. }
                | PlanError::HiddenCharacter { .. }
        )
    }

    /// Whether the plan is not what its owner wrote, so that a walk through it would tell of things that only follow.
    #[must_use]
    pub fn stops_the_walk(&self) -> bool {
        !matches!(
            self,
            PlanError::NeverUsed { .. }
                | PlanError::NoSteps { .. }
                | PlanError::NoVehicle { .. }
                | PlanError::NoPlan { .. }
                | PlanError::TwoPlans { .. }
                | PlanError::MissingFigure { .. }
                | PlanError::NoteRefused { .. }
                | PlanError::NoLetter { .. }
                | PlanError::Lacks { .. }
        )
    }

    /// Where it is shown.
    #[must_use]
    pub fn place(&self) -> Option<Span> {
        match self {
            PlanError::UnknownBlock { at, .. }
            | PlanError::Unreadable { at, .. }
            | PlanError::Misspelt { at, .. }
            | PlanError::UnknownStatement { at, .. }
            | PlanError::NoBlock { at }
            | PlanError::NotText { at, .. }
            | PlanError::OpenText { at }
            | PlanError::HiddenCharacter { at, .. }
            | PlanError::NoLetter { at, .. }
            | PlanError::ListCutShort { at }
            | PlanError::BareNumber { at, .. }
            | PlanError::DecimalComma { at, .. }
            | PlanError::Otherwise { at, .. }
            | PlanError::WrongUnit { at, .. }
            | PlanError::SaidTwice { at, .. }
            | PlanError::NoteRefused { at, .. }
            | PlanError::BadName { at, .. }
            | PlanError::UnknownName { at, .. }
            | PlanError::WrongKind { at, .. }
            | PlanError::SidesOutOfStep { at, .. }
            | PlanError::JointToItself { at, .. }
            | PlanError::StageNotListed { at, .. }
            | PlanError::StepsWithoutStage { at, .. }
            | PlanError::MissingFigure { at, .. }
            | PlanError::NeverUsed { at, .. }
            | PlanError::CannotReverse { at, .. }
            | PlanError::Lacks { at, .. } => Some(*at),
            PlanError::SameName { second, .. }
            | PlanError::StageListedTwice { second, .. }
            | PlanError::TwoPlans { second, .. } => Some(*second),
            PlanError::Overlap { second, .. } => Some(second.1),
            PlanError::SameAsRing { names }
            | PlanError::ContainsItself { names }
            | PlanError::RestsRound { names } => names.first().map(|(_, at)| *at),
            PlanError::NoStageOrder { at, .. } => at.first().copied(),
            PlanError::NoPlan { at } | PlanError::NoSteps { at } | PlanError::NoVehicle { at } => *at,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoteFault {
    Html,
    TooDeep,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameFault {
    /// One of the words that connect the parts of a statement.
    Connecting,
    /// Capitals, or characters that a name cannot have.
    Form,
    /// Longer than a page's column.
    Long,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReverseFault {
    Itself,
    /// It is derived itself.
    Derived,
    /// It comes later in the order of work.
    Later,
    /// Another stage reverses it, as said here.
    Twice(Span),
    /// The stage of the step that stands for it does not undo it.
    NotHere,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FigureFault {
    Missing,
    Outside,
    NotAPicture(String),
}
