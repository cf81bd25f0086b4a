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
        /// The word.
        at: Span,
        /// As written.
        word: String,
    },
    /// A statement or header that does not have its form.
    Unreadable {
        /// From where it cannot be read on.
        at: Span,
        /// What would fit there, as a message says it.
        expected: String,
        /// The form that it should have.
        form: String,
    },
    /// A statement whose first word is none of its block's, and nearly one: the place of the word, and the statement.
    Misspelt {
        /// The word that is misspelt.
        at: Span,
        /// The block that it stands in.
        block: BlockKind,
        /// The statement that it nearly is.
        shape: &'static Shape,
        /// The words that are as near as its first one, that one first.
        words: Vec<&'static str>,
    },
    /// A statement whose first word is none of its block's.
    UnknownStatement {
        /// Its first word.
        at: Span,
        /// What would fit there, as a message says it.
        expected: String,
        /// The block that it stands in.
        block: BlockKind,
        /// Statements that it may have been meant for.
        near: Vec<&'static str>,
    },
    /// A file that is no text: its first wrong byte.
    NotText {
        /// Where that byte stands; an empty stretch.
        at: Span,
        /// As it is in the file.
        byte: u8,
    },
    /// An indented line above the first block.
    NoBlock {
        /// The line.
        at: Span,
    },
    /// A quote that its line does not close.
    OpenText {
        /// From the quote to the end of its line.
        at: Span,
    },
    /// A character that is not seen, and changes how the text is read or printed.
    HiddenCharacter {
        /// The first one.
        at: Span,
        /// Which it is.
        which: char,
        /// How many more its line has.
        more: usize,
    },
    /// Paper has no letter for these: the first one's place, and all of its line.
    NoLetter {
        /// The first one.
        at: Span,
        /// Each once.
        which: Vec<char>,
    },
    /// A line ends in a comma and nothing indented follows.
    ListCutShort {
        /// The comma.
        at: Span,
    },
    /// A number without a unit.
    BareNumber {
        /// Without what stands around it.
        at: Span,
        /// As written.
        number: String,
        /// What has to be said.
        wants: Dimension,
    },
    /// What is written otherwise, and how.
    Otherwise {
        /// What is written otherwise.
        at: Span,
        /// What it is, as a message says it.
        what: &'static str,
        /// What to write.
        meant: String,
    },
    /// `5,8 kg`: two figures, as it is read.
    DecimalComma {
        /// With its comma.
        at: Span,
        /// With a point.
        meant: String,
    },
    /// `is` where the unit is known and measures something else.
    WrongUnit {
        /// Behind its number.
        at: Span,
        /// As written.
        unit: String,
        /// What has to be said.
        wants: Dimension,
        /// None for a unit that is not known.
        is: Option<Dimension>,
    },
    /// A statement that may stand once stands twice, or two that cannot both be meant.
    SaidTwice {
        /// The second one, which is left out.
        at: Span,
        /// The first one.
        first: Span,
        /// Its words, as a message says them.
        words: String,
    },
    /// A note that cannot be printed.
    NoteRefused {
        /// From its first line to its last.
        at: Span,
        /// What is wrong with it.
        why: NoteFault,
    },
    /// A name that no name may be.
    BadName {
        /// Where the name stands.
        at: Span,
        /// As written.
        name: String,
        /// What is wrong with it.
        why: NameFault,
    },
    /// Two things by one name.
    SameName {
        /// As the header or the statement has it.
        name: String,
        /// Where it stands first.
        first: Span,
        /// Where it stands again.
        second: Span,
        /// What the first one is, as a message says it.
        first_is: &'static str,
        /// What the second one is.
        second_is: &'static str,
        /// The part whose `fixed to` makes one of the two.
        in_part: Option<String>,
    },
    /// A name that nothing declares.
    UnknownName {
        /// As written.
        name: String,
        /// Where it stands first.
        at: Span,
        /// Further places that use it.
        also: Vec<Span>,
        /// What kinds of thing would fit.
        want: Want,
        /// The same, as a message says it.
        wanted: &'static str,
        /// Declared names that look like it, nearest first.
        near: Vec<String>,
        /// Where the nearest one is declared.
        near_at: Option<Span>,
    },
    /// A name of something else than what would fit.
    WrongKind {
        /// As written.
        name: String,
        /// Where it stands.
        at: Span,
        /// What it is, as a message says it.
        is: &'static str,
        /// What would fit.
        wanted: &'static str,
        /// Where it is declared.
        declared: Span,
    },
    /// A block for each side names something that has other sides.
    SidesOutOfStep {
        /// Where the name stands.
        at: Span,
        /// As written.
        name: String,
        /// The sides of the block that names it, as a message says them.
        block_sides: &'static str,
        /// The sides of what it names.
        other_sides: &'static str,
    },
    /// Blocks that say `same as` of each other, in a ring.
    SameAsRing {
        /// Each once, with the place of the statement.
        names: Vec<(String, Span)>,
    },
    /// Assemblies that hold each other, in a ring.
    ContainsItself {
        /// Each once, with the place that names the next.
        names: Vec<(String, Span)>,
    },
    /// A part in two assemblies, neither of which lies inside the other.
    Overlap {
        /// As the plan calls it.
        part: String,
        /// One of the two, and where it says so.
        first: (String, Span),
        /// The assembly that is reported.
        second: (String, Span),
    },
    /// A joint of one thing with itself.
    JointToItself {
        /// As the plan calls it.
        joint: String,
        /// Where its ends are said.
        at: Span,
        /// What both ends are.
        thing: String,
        /// The assembly that has both, where one end is in the other.
        inside: Option<String>,
    },
    /// What rests on it, at last rests on it.
    RestsRound {
        /// Each once, with the place of the statement.
        names: Vec<(String, Span)>,
    },
    /// A stage that the plan's `stages` leaves out.
    StageNotListed {
        /// As the plan calls it.
        stage: String,
        /// Where it is declared.
        at: Span,
        /// The `stages` line.
        list: Option<Span>,
    },
    /// A stage that `stages` names twice.
    StageListedTwice {
        /// As the plan calls it.
        stage: String,
        /// Where it stands first.
        first: Span,
        /// Where it stands again.
        second: Span,
    },
    /// Some steps stand in stages, and some do not.
    StepsWithoutStage {
        /// The first that stands in none.
        at: Span,
        /// The first that stands in one.
        other: Span,
    },
    /// Steps in several files and no `stages` line.
    NoStageOrder {
        /// Each stage, as it is declared.
        at: Vec<Span>,
        /// The `plan` block.
        plan: Option<Span>,
        /// Their names.
        names: Vec<String>,
    },
    /// A picture that cannot be printed.
    MissingFigure {
        /// Where it is named.
        at: Span,
        /// Its path, as written.
        file: String,
        /// What is wrong with it.
        why: FigureFault,
    },
    /// Something declared that nothing mentions.
    NeverUsed {
        /// Its name.
        name: String,
        /// Where it is declared.
        at: Span,
        /// What it is, as a message says it.
        is: &'static str,
    },
    /// Two `plan` blocks in one folder.
    TwoPlans {
        /// The one that counts.
        first: Span,
        /// The other one.
        second: Span,
    },
    /// No `plan` block.
    NoPlan {
        /// The first block; none where there is none.
        at: Option<Span>,
    },
    /// A plan with steps, and nothing that they are done to.
    NoVehicle {
        /// The `plan` block; none where there is none.
        at: Option<Span>,
    },
    /// Nothing to walk through.
    NoSteps {
        /// The `plan` block; none where there is none.
        at: Option<Span>,
    },
    /// A stage that cannot be reversed, or a step that is not undone where something stands for it.
    CannotReverse {
        /// Where the name stands.
        at: Span,
        /// As written.
        name: String,
        /// What is wrong with it.
        why: ReverseFault,
    },
    /// A block lacks the statement that gives it meaning.
    Lacks {
        /// Its name.
        at: Span,
        /// The whole block.
        block: Span,
        /// As written.
        name: String,
        /// What it is, as a message says it.
        is: &'static str,
        /// The form of what is missing.
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

/// What is wrong with a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoteFault {
    /// Raw HTML.
    Html,
    /// Lists and quotations nested too deep.
    TooDeep,
}

/// What is wrong with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NameFault {
    /// One of the words that connect the parts of a statement.
    Connecting,
    /// Capitals, or characters that a name cannot have.
    Form,
    /// Longer than a page's column.
    Long,
}

/// Why a stage or a step cannot be undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReverseFault {
    /// It is to reverse itself.
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

/// What is wrong with a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FigureFault {
    /// There is no such file.
    Missing,
    /// It lies outside of the plan's folder.
    Outside,
    /// Why it cannot be printed, as a message says it.
    NotAPicture(String),
}
