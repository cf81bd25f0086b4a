//! The family **reading**: text that cannot be read as a plan. None of it is ever accepted.

use super::{Family, joined, rule};
use crate::base::finding::{Finding, Severity};
use crate::base::letters;
use crate::base::source::Span;
use crate::base::unit::{self, Dimension};
use crate::plan::plan_error::{NameFault, NoteFault, PlanError};
use crate::plan::read::block::{nearest as nearest_words, quoted};
use crate::syntax::shapes;

rule!(
    NOT_UTF_8,
    "not-utf-8",
    Fault,
    false,
    "A file is not UTF-8 text, and is left out whole."
);
rule!(
    HIDDEN_CHARACTERS,
    "hidden-characters",
    Fault,
    false,
    "The text holds characters that are not seen but change how it is read or printed."
);
rule!(
    LETTERS_LACKING,
    "letters-lacking",
    Fault,
    false,
    "A text holds letters that the binder's type does not have."
);
rule!(
    UNKNOWN_BLOCK,
    "unknown-block",
    Fault,
    false,
    "A line at the left edge opens no kind of block."
);
rule!(
    UNREADABLE_LINE,
    "unreadable-line",
    Fault,
    false,
    "A line does not have the form of any statement that may stand in its block."
);
rule!(
    LIST_CUT_SHORT,
    "list-cut-short",
    Fault,
    false,
    "A line ends in a comma, and the next line is not indented to go on with the list."
);
rule!(
    BARE_NUMBER,
    "bare-number",
    Fault,
    false,
    "A number stands without its unit."
);
rule!(
    WRONG_UNIT,
    "wrong-unit",
    Fault,
    false,
    "A unit is not known, or measures another kind of amount than is expected here."
);
rule!(
    SAID_TWICE,
    "said-twice",
    Fault,
    false,
    "A statement that may stand once in a block stands there twice."
);
rule!(
    NOTE_REFUSED,
    "note-refused",
    Fault,
    false,
    "A note holds raw HTML, or is nested more than eight deep."
);
rule!(
    BAD_NAME,
    "bad-name",
    Fault,
    false,
    "A name has capitals or signs in it, is longer than 64 letters, or is a word that joins the parts of a statement."
);
rule!(
    LEFT_UNSAID,
    "left-unsaid",
    Fault,
    false,
    "A block lacks the one statement without which it says nothing."
);
rule!(
    TWO_PLANS,
    "two-plans",
    Fault,
    false,
    "Two plan blocks stand in one folder."
);
rule!(
    NO_PLAN,
    "no-plan",
    Fault,
    false,
    "No plan block says what the job is and which vehicle or machine it is done on."
);
rule!(
    NO_STEPS,
    "no-steps",
    Doubt,
    true,
    "The plan has no steps, so that there is nothing to walk through."
);

/// On text that cannot be read as a plan.
pub static FAMILY: Family = Family {
    name: "reading",
    about: "text that cannot be read as a plan",
    rules: &[
        &NOT_UTF_8,
        &HIDDEN_CHARACTERS,
        &LETTERS_LACKING,
        &UNKNOWN_BLOCK,
        &UNREADABLE_LINE,
        &LIST_CUT_SHORT,
        &BARE_NUMBER,
        &WRONG_UNIT,
        &SAID_TWICE,
        &NOTE_REFUSED,
        &BAD_NAME,
        &LEFT_UNSAID,
        &TWO_PLANS,
        &NO_PLAN,
        &NO_STEPS,
    ],
};

/// Statements of a list that belongs on one line.
const JOINED: &[&str] = &[
    "after",
    "by",
    "covered by",
    "of",
    "in",
    "opens",
    "crew",
    "stages",
    "against",
    "licensed for",
    "stands on",
];

/// Statements of a block that are all named.
const FEW: usize = 7;

const SKIPPED: &str = "The line is left out: nothing that it says is checked or printed.";

/// Words a slip of this family; gives back one of another.
pub(super) fn word(slip: PlanError) -> Result<Finding, PlanError> {
    Ok(match slip {
        PlanError::NotText { at, byte } => Finding::new(
            &NOT_UTF_8,
            format!("this file is not UTF-8 text: byte 0x{byte:02X} stands where a character should begin or go on"),
        )
        .at(at, "readable up to here")
        .harm("The whole file is left out, so its parts, joints and steps are unknown to every check.")
        .mend(format!("{} Open it in an editor and save it as UTF-8.", if at.start == 0 && byte >= 0xfe {
            "It looks like UTF-16."
        } else {
            "It may be Latin-1 or Windows-1252."
        })),
        PlanError::HiddenCharacter { at, which, more } => {
            let also = if more > 0 { format!(", and {more} more on this line") } else { String::new() };
            Finding::new(&HIDDEN_CHARACTERS, format!("a hidden character, U+{:04X}{also}", u32::from(which)))
                .at(at, "it stands here, unseen")
                .harm("On paper it can turn \"20 N m\" into \"m N 02\", or hide a word.")
                .mend("Delete it and type the line again.")
                .edit(at, "")
        }
        PlanError::NoLetter { at, which } => {
            Finding::new(&LETTERS_LACKING, format!("the binder has no letter for {}", letters::named(&which)))
                .at(at, "cannot be printed")
                .harm("The page shows a sign for a missing letter, and the word is lost where it is read.")
                .mend("Write it in Latin, Greek or Cyrillic letters. Comments may hold any letter: they are not printed.")
        }
        PlanError::UnknownBlock { at, word } => unknown_block(at, &word),
        PlanError::Unreadable { at, expected, form } => {
            let finding = Finding::new(&UNREADABLE_LINE, format!("expected {expected}")).at(at, "not understood").harm(SKIPPED);
            if form.is_empty() { finding } else { finding.mend(format!("Its form: {form}")) }
        }
        PlanError::Misspelt { at, block, shape, words } => {
            let what = format!("expected a statement of {} block; perhaps `{}`", block.with_article(), shape.words);
            let finding = Finding::new(&UNREADABLE_LINE, what).at(at, "not understood").harm(SKIPPED);
            let finding = finding.mend(format!("Its form: {}", shape.form));
            let mut words = words.into_iter();
            let finding = words.next().into_iter().fold(finding, |finding, word| finding.edit(at, word));
            words.fold(finding, |finding, word| finding.or_edit(at, word))
        }
        PlanError::UnknownStatement { at, expected, block, near } => {
            let all: Vec<&str> = shapes::of_block(block).map(|shape| shape.words).collect();
            let finding = Finding::new(&UNREADABLE_LINE, format!("expected {expected}"))
                .at(at, "not understood")
                .harm(SKIPPED);
            if all.len() <= FEW {
                let words: Vec<String> = all.iter().map(|words| format!("`{words}`")).collect();
                return Ok(finding.mend(format!("What {} block says: {}.", block.with_article(), words.join(", "))));
            }
            finding.mend(format!(
                    "Did you mean {}? All that {} block says is in the language reference.",
                    quoted(&near, "or"),
                    block.with_article()
                ))
        }
        PlanError::NoBlock { at } => Finding::new(&UNREADABLE_LINE, "an indented line stands above the first block")
            .at(at, "belongs to nothing")
            .harm(SKIPPED)
            .mend("Begin a block at the left edge above it, or take the spaces off its front."),
        PlanError::OpenText { at } => Finding::new(&UNREADABLE_LINE, "this text has no closing quote on its line")
            .at(at, "opens here and never closes")
            .harm(SKIPPED)
            .mend("Close it with \" before the line ends; a longer text is a note.")
            .edit(at.after(), "\""),
        PlanError::ListCutShort { at } => Finding::new(&LIST_CUT_SHORT, "the list ends in a comma")
            .at(at, "promises one more; the next line is not indented, or there is none")
            .harm("A name may be lost: the last joint of the list is then never undone.")
            .mend("Indent the line that goes on with the list, or delete the comma.")
            .edit(at, ""),
        PlanError::BareNumber { at, number, wants } => {
            let first = format!("{number} {}", wants.usual().first().copied().unwrap_or_default());
            let harm = match wants {
                Dimension::Mass => "No unit is guessed: pounds read as kilograms more than double a load.",
                Dimension::Torque => "No unit is guessed: pound-feet read as newton metres leave a joint a quarter loose.",
                _ => "No unit is guessed, and the figure is left out.",
            };
            Finding::new(&BARE_NUMBER, format!("{number} of what? Wanted is {}, with its unit", wants.words()))
                .at(at, "no unit")
                .harm(harm)
                .mend(format!("{first}, say, if that is what was meant"))
                .edit(at, first)
        }
        PlanError::Otherwise { at, what, meant } => Finding::new(&UNREADABLE_LINE, what)
            .at(at, "not understood")
            .harm(SKIPPED)
            .mend(format!("Write: {meant}"))
            .edit(at, meant),
        PlanError::DecimalComma { at, meant } => {
            Finding::new(&UNREADABLE_LINE, format!("a comma stands between two figures: {meant} is written with a point"))
                .at(at, "read as two figures")
                .harm(SKIPPED)
                .mend(format!("{meant}; or, if these are two figures, each with its unit and a space after the comma"))
                .edit(at, meant)
        }
        PlanError::WrongUnit { at, unit, wants: Dimension::Mass, .. } if !unit::meanings(&unit).is_empty() => {
            let meanings = unit::meanings(&unit).iter();
            let all: Vec<String> = meanings.map(|(written, pounds)| format!("`{written}` ({pounds} lb)")).collect();
            let or_tonne = if unit == "cwt" { "" } else { "; a tonne, 1000 kg, is `t`" };
            Finding::new(&WRONG_UNIT, format!("`{unit}` alone is one mass in Britain and another in America"))
                .at(at, "which one?")
                .harm("Read the wrong way, a hoist takes an eighth more than its plate says. The figure is left out, so nothing is checked with it.")
                .mend(format!("Write {}{or_tonne}", joined(&all, "or")))
        }
        PlanError::WrongUnit { at, unit, wants, is } => {
            let what = match is {
                Some(is) => format!("{unit} is {}, and wanted is {}", is.words(), wants.words()),
                None if unit.is_empty() => format!("wanted is {}, with its unit", wants.words()),
                None => format!("no unit is written `{unit}`; wanted is {}", wants.words()),
            };
            let offers: Vec<String> = wants.usual().iter().map(|unit| (*unit).to_owned()).collect();
            Finding::new(&WRONG_UNIT, what)
                .at(at, "this unit")
                .harm("The figure is left out, so nothing is checked with it.")
                .mend(format!("Give it in {}; units are listed in the language reference, section 2.", joined(&offers, "or")))
        }
        PlanError::SaidTwice { at, first, words } if JOINED.contains(&words.as_str()) => {
            Finding::new(&SAID_TWICE, format!("`{words}` is said twice in this block"))
                .at(at, "the second time; left out")
                .at(first, "the first time")
                .harm("What the second line names is lost: a wait, a person, a joint.")
                .mend(format!("Put all on one line, with commas: {words} ONE, OTHER"))
        }
        PlanError::SaidTwice { at, first, words } if words == "fixed to" => {
            Finding::new(&SAID_TWICE, "`fixed to` is said twice in this block")
                .at(at, "the second time; left out")
                .at(first, "the first time")
                .harm("The second joint is never undone, and the part hangs on it when it is lifted.")
                .mend("A part with two joints has them outside of its block, each in a joint block of its own: joint NAME: A to B; carries; bolts ...")
        }
        PlanError::SaidTwice { at, first, words } if words == "of ENERGY" => {
            Finding::new(&SAID_TWICE, "this joint is said to be of two energies")
                .at(at, "the second one; left out")
                .at(first, "the first one")
                .harm("The one that is left out is taken to be no danger where the joint is parted.")
                .mend("Keep one here, and declare a joint of its own, between the same two things, for the other.")
        }
        PlanError::SaidTwice { at, first, words } => Finding::new(&SAID_TWICE, format!("`{words}` is said twice in this block"))
            .at(at, "the second time; left out")
            .at(first, "the first time")
            .harm("Each reader takes the one that he sees first.")
            .mend("Keep the right one.")
            .edit(at, ""),
        PlanError::NoteRefused { at, why } => {
            let (what, mend) = match why {
                NoteFault::Html => ("this note holds raw HTML", "Write it plainly: *emphasis*, **weight**, lists with `-`."),
                NoteFault::TooDeep => ("this note nests lists or quotations more than eight deep", "Write it flatter, or as several notes."),
            };
            Finding::new(&NOTE_REFUSED, what)
                .at(at, "not printed")
                .harm("The note is missing from the page.")
                .mend(mend)
        }
        PlanError::BadName { at, name, why } => bad_name(at, &name, &why),
        PlanError::Lacks { at, name, is, form, .. } => {
            let keyword = form.split(" \"").next().unwrap_or(form);
            Finding::new(&LEFT_UNSAID, format!("{is} `{name}` does not say `{keyword}`"))
                .at(at, "in this block")
                .harm("Without that it says nothing that a check or a page could use.")
                .mend(format!("Add a line such as: {form}"))
                .about(name)
        }
        PlanError::TwoPlans { first, second } => Finding::new(&TWO_PLANS, "a second plan stands in this folder")
            .at(second, "the second plan; its block is left out")
            .at(first, "the first plan")
            .harm("Steps of two jobs would be printed as one.")
            .mend("Give each plan a folder of its own, or name one file instead of the folder."),
        PlanError::NoPlan { at } => {
            let finding = Finding::new(&NO_PLAN, "no plan block says what the job is")
                .harm("There is no cover to print, and nobody knows what is to be reached.")
                .mend("Begin one: plan lamp-job \"Wren 900: lamp off and on\"; for wren");
            match at {
                Some(at) => finding.at(at, "blocks begin here, and none is a plan"),
                None => finding,
            }
        }
        PlanError::NoVehicle { at } => {
            let mut finding = Finding::new(&NO_PLAN, "the plan has no vehicle and no machine")
                .harm("Nothing stays where it is: nobody can say what would fall, and what the steps leave.")
                .mend("Declare it, with what everything is fixed to: vehicle wren \"Wren 900\"; body shell");
            // The steps are walked all the same, with all that they name.
            finding.severity = Severity::Doubt;
            match at {
                Some(at) => finding.at(at, "this plan"),
                None => finding,
            }
        }
        PlanError::NoSteps { at } => {
            let finding = Finding::new(&NO_STEPS, "the plan has no steps")
                .harm("Nothing can be proved of it, and no page says what to do first.")
                .mend("Add one: step make-safe \"Make the supply dead\"; undo battery-earth");
            match at {
                Some(at) => finding.at(at, "this plan"),
                None => finding,
            }
        }
        slip @ (PlanError::UnknownName { .. } | PlanError::SameName { .. } | PlanError::NeverUsed { .. } | PlanError::WrongKind { .. } | PlanError::ContainsItself { .. } | PlanError::RestsRound { .. } | PlanError::Overlap { .. } | PlanError::SidesOutOfStep { .. } | PlanError::SameAsRing { .. } | PlanError::StageNotListed { .. } | PlanError::StageListedTwice { .. } | PlanError::StepsWithoutStage { .. } | PlanError::NoStageOrder { .. } | PlanError::MissingFigure { .. } | PlanError::JointToItself { .. } | PlanError::CannotReverse { .. }) => return Err(slip),
    })
}

fn unknown_block(at: Span, word: &str) -> Finding {
    use crate::syntax::shapes::{BLOCKS, BlockKind};
    let near = BLOCKS
        .iter()
        .map(|(_, known, _)| (strsim::osa_distance(known, &word.to_lowercase()), *known))
        .filter(|(distance, _)| *distance <= 2)
        .min();
    let finding = Finding::new(&UNKNOWN_BLOCK, format!("`{word}` opens no kind of block"))
        .at(at, "a line at the left edge opens a block")
        .harm("The whole block is left out.");
    match near.and_then(|(_, known)| BlockKind::of_word(known).map(|kind| (known, kind))) {
        Some((known, kind)) => finding
            .mend(format!("Perhaps {known}: {}", kind.form()))
            .edit(at, known),
        None => {
            let near = nearest_words(word, BLOCKS.iter().map(|(_, word, _)| *word));
            finding.mend(format!(
                "Indent it if it belongs to the block above. Else did you mean {}? All kinds of block are in the language reference.",
                quoted(&near, "or")
            ))
        }
    }
}

fn bad_name(at: Span, name: &str, why: &NameFault) -> Finding {
    let (what, label) = match why {
        NameFault::Connecting => (
            format!("`{name}` joins the parts of a statement, so nothing can be called so"),
            "a name that a statement could not tell from its own words",
        ),
        NameFault::Form => (
            format!("`{name}` is no name: lower-case words with hyphens between them"),
            "not a name",
        ),
        NameFault::Long => (
            format!(
                "this name is {} letters long; a column holds 64",
                name.chars().count()
            ),
            "too long to be printed",
        ),
    };
    let mended: String = match why {
        NameFault::Connecting => format!("{name}-part"),
        NameFault::Form => {
            let lower: String = name
                .to_lowercase()
                .chars()
                .map(|c| if c.is_alphanumeric() { c } else { '-' })
                .collect();
            let lower = lower.trim_matches(|c: char| c == '-' || c.is_ascii_digit());
            if lower.is_empty() {
                "a-name".to_owned()
            } else {
                lower.to_owned()
            }
        }
        NameFault::Long => name
            .chars()
            .take(30)
            .collect::<String>()
            .trim_end_matches('-')
            .to_owned(),
    };
    Finding::new(&BAD_NAME, what)
        .at(at, label)
        .harm("Whatever names it cannot be understood, or not be printed.")
        .mend(format!("{mended}, say"))
        .edit(at, mended)
}
