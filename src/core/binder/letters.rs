//! The letters of a card, and which act is the last that is done when a row is ticked: kept beside the binder, so that a letter read off
//! the paper means the same act when others were put in before it.

use std::collections::BTreeMap;

use super::binding::Binding;
use super::document::{Block, Section};
use super::kept::Kept;
use super::{Wanted, cards};
use crate::base::date::Date;
use crate::compile::Compilation;
use crate::plan::halts;
use crate::plan::model::{Halt, Id, Step};

/// Why a letter means no act.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAct {
    /// The card has these letters.
    Letters(Vec<String>),
    /// The paper has these words for it, and the step no longer has the act.
    Gone(String),
    /// The step has the same act twice, so that no words mean this one alone.
    Twice,
}

impl NoAct {
    /// As a sentence; `print` is what the paper is called.
    #[must_use]
    pub fn told(&self, step: &str, print: &str) -> String {
        match self {
            NoAct::Letters(letters) => match (letters.first(), letters.last()) {
                (Some(first), Some(last)) => {
                    format!(
                        "the card of `{step}` has the letters {first} to {last}. Write one of these, or the act's own words."
                    )
                }
                _ => format!("the card of `{step}` has no letters. Write: stopped DATE after STEP"),
            },
            NoAct::Gone(words) => format!(
                "on {print} that letter of `{step}` is: {words}. The step has no such act any more. Write the words of the last act that was \
                 done."
            ),
            NoAct::Twice => format!(
                "`{step}` has that act twice, so that its words do not tell which. Write the words of an act beside it, and the rest in \
                 quotes: found \"...\""
            ),
        }
    }
}

/// The words of the last act that is done when this letter of the step's card is ticked: by the paper where that tells, else as the card would be
/// printed now.
///
/// # Errors
/// Where the letter means no act of the step.
pub fn words_of(done: &Compilation, kept: &Kept, step: Id<Step>, letter: &str) -> Result<String, NoAct> {
    let name = done.plan.steps.get(step).map_or("", |step| &*step.head.name);
    if let Some(letters) = kept.letters.get(name) {
        let Some((_, words)) = letters.iter().find(|(known, _)| known == letter) else {
            // One that no words tell is not kept.
            return Err(match halt_of(done, kept, step, letter) {
                Ok(_) => NoAct::Twice,
                Err(why) => why,
            });
        };
        return match halts::all_found(&done.plan, step, words).len() {
            0 => Err(NoAct::Gone(words.clone())),
            1 => Ok(words.clone()),
            _ => Err(NoAct::Twice),
        };
    }
    let halt = halt_of(done, kept, step, letter)?;
    halts::words(&done.plan, halt).ok_or(NoAct::Twice)
}

/// Where the machine stands when this letter is ticked, as the card would be printed now.
///
/// # Errors
/// Where the card has no such letter.
pub fn halt_of(done: &Compilation, kept: &Kept, step: Id<Step>, letter: &str) -> Result<Halt, NoAct> {
    let wanted = Wanted {
        kept: kept.clone(),
        ..Wanted::printed(Date {
            year: 2000,
            month: 1,
            day: 1,
        })
    };
    let binding = Binding::new(done, &wanted);
    let rows = cards::lettered(&binding, step);
    let found = rows.iter().find(|(known, ..)| known == letter);
    found
        .map(|&(_, act, names)| halt(&binding, step, act, names))
        .ok_or_else(|| NoAct::Letters(rows.into_iter().map(|(letter, ..)| letter).collect()))
}

fn halt(binding: &Binding<'_>, step: Id<Step>, act: usize, names: usize) -> Halt {
    let does = binding.plan.steps[step].acts().nth(act).map(|act| &act.does);
    let whole = does.is_none_or(|does| names >= does.listed() || does.first(names).is_none());
    Halt {
        step,
        acts: act + usize::from(whole),
        names: if whole { 0 } else { names },
    }
}

/// The letters of a step's rows, each with the words of the last act that is done then; one that no words tell is left out.
pub(super) fn words(
    binding: &Binding<'_>,
    step: Id<Step>,
    rows: &[(String, usize, usize)],
) -> Vec<(String, String)> {
    let told = rows.iter().filter_map(|(letter, act, names)| {
        let words = halts::words(binding.plan, halt(binding, step, *act, *names))?;
        Some((letter.clone(), words))
    });
    told.collect()
}

/// The letters of all cards, by the names of their steps.
pub(super) fn all(binding: &Binding<'_>, sections: &[Section]) -> BTreeMap<String, Vec<(String, String)>> {
    let cards = sections
        .iter()
        .flat_map(|section| &section.blocks)
        .filter_map(|block| match block {
            Block::Card(card) => Some((card.proof.as_str(), &card.letters.0)),
            _ => None,
        });
    let of_card: BTreeMap<&str, &Vec<(String, String)>> = cards.collect();
    let plan = binding.plan;
    let told = plan.order.iter().filter_map(|&step| {
        let letters = of_card.get(binding.card_proof(step).as_str())?;
        (!letters.is_empty()).then(|| (plan.steps[step].head.name.to_string(), (*letters).clone()))
    });
    told.collect()
}
