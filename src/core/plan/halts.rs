//! How far a step came: the last act that was done, by its own words, found among the acts as they stand now; and the words that find it
//! again. Knows no letters of a card.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::model::{Does, Fixings, Halt, Id, Plan, Said, Step, StoppedAt};
use super::vocabulary::acts::Slot;
use super::write;
use crate::base::source::SourceId;
use crate::syntax::cursor::Cursor;
use crate::syntax::grammar;

/// Works out where the log says that the work stopped, when all acts are known.
pub fn settle(plan: &mut Plan) {
    let Some(log) = plan.progress.stopped.and_then(|nth| plan.logs.get(nth)) else {
        return;
    };
    let (Some(stopped), Some(&step)) = (&log.stopped, log.steps.last()) else {
        return;
    };
    plan.progress.halt = match &stopped.value.place {
        StoppedAt::Act(words) => found(plan, step, &words.value),
        StoppedAt::After(_) | StoppedAt::Letter(_) => None,
    };
}

/// The place behind the act that these words mean; of several the first.
#[must_use]
pub fn found(plan: &Plan, step: Id<Step>, words: &str) -> Option<Halt> {
    all_found(plan, step, words).into_iter().next()
}

/// Every place that they may mean.
#[must_use]
pub fn all_found(plan: &Plan, step: Id<Step>, words: &str) -> Vec<Halt> {
    let said = tokens(words);
    let mut all = Vec::new();
    // An act is written with its verb first: of any other no words are read.
    let begins = |verb: &str| {
        let mut own = said.iter();
        verb.split(' ')
            .all(|word| own.next().is_some_and(|own| own == word))
    };
    let acts = plan.steps[step].acts().enumerate();
    for (nth, act) in acts.filter(|(_, act)| begins(act.does.kind().word())) {
        let behind = |names: usize| {
            let whole = names >= act.does.listed() || act.does.first(names).is_none();
            Halt {
                step,
                acts: nth + usize::from(whole),
                names: if whole { 0 } else { names },
            }
        };
        if plain(&tokens(&write::act(plan, &act.does))) == plain(&said) {
            all.push(behind(usize::MAX));
            continue;
        }
        let verb = tokens(act.does.kind().word());
        let Some(rest) = said.strip_prefix(verb.as_slice()) else {
            continue;
        };
        let names = listed(plan, &act.does);
        // One name of the list, or its first ones.
        let told: Vec<&str> = names_of(rest);
        let each = match rest {
            [word, name] if word == "both" || word == "all" => {
                names.iter().rposition(|other| is_one_of(other, name))
            }
            _ => None,
        };
        let last = match told.as_slice() {
            [] => each,
            [one] => names.iter().position(|name| name == one),
            several => names
                .iter()
                .zip(several)
                .all(|(name, other)| name == other)
                .then(|| several.len() - 1)
                .filter(|last| *last < names.len()),
        };
        all.extend(last.map(|last| behind(last + 1)));
    }
    all
}

/// `gas-upper-left` is one of both `gas-uppers`.
fn is_one_of(name: &str, each: &str) -> bool {
    let stems = [Some(each), each.strip_suffix('s'), each.strip_suffix("es")];
    let mut stems = stems.into_iter().flatten();
    stems.any(|stem| {
        name.strip_prefix(stem)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    })
}

/// Words that mean this place and no other: as few as will do. None where the step has the same act twice.
#[must_use]
pub fn words(plan: &Plan, halt: Halt) -> Option<String> {
    let nth = if halt.names == 0 {
        halt.acts.checked_sub(1)?
    } else {
        halt.acts
    };
    let act = plan.steps[halt.step].acts().nth(nth)?;
    let names = listed(plan, &act.does);
    let verb = act.does.kind().word();
    let count = if halt.names == 0 { names.len() } else { halt.names };
    let by_last = count
        .checked_sub(1)
        .and_then(|last| names.get(last))
        .map(|name| format!("{verb} {name}"));
    let by_all = names
        .get(..count)
        .filter(|names| !names.is_empty())
        .map(|names| format!("{verb} {}", names.join(", ")));
    let whole = (halt.names == 0).then(|| write::act(plan, &act.does));
    [by_last, by_all, whole]
        .into_iter()
        .flatten()
        .find(|words| all_found(plan, halt.step, words) == [halt])
}

/// Whether joints that are started and then tightened are each done to the end before the next: they are, where both lists are the same and no
/// two of them are on one thing.
#[must_use]
pub fn one_by_one(plan: &Plan, started: &[Fixings], tightened: &[Fixings]) -> bool {
    let same = started.len() == tightened.len()
        && started.iter().all(|one| {
            let count = |fixings: &Fixings| fixings.count.map(|said| said.value);
            let mut others = tightened.iter();
            others.any(|two| one.joint.value == two.joint.value && count(one) == count(two))
        });
    let mut things = BTreeSet::new();
    same && started.iter().all(|fixings| {
        let joint = &plan.joints[fixings.joint.value];
        let ends = joint.ends.iter().flatten();
        let parts = ends.flat_map(|end| plan.parts_of(end.value));
        let apart = parts
            .filter(|&part| !plan.parts[part].is_body)
            .all(|part| things.insert(part));
        joint.is_tightened() && (apart || started.len() == 1)
    })
}

/// The start that belongs to the tighten at which the work stopped, as far as it was done, where each joint is done to the end before the next.
#[must_use]
pub fn started_with(plan: &Plan, halt: Halt) -> Option<Does> {
    let mut acts = plan.steps[halt.step].acts().skip(halt.acts.checked_sub(1)?);
    let (start, tighten) = (acts.next()?, acts.next()?);
    let (Does::Start(all), Does::Tighten(then)) = (&start.does, &tighten.does) else {
        return None;
    };
    if halt.names == 0 || !one_by_one(plan, all, then) {
        return None;
    }
    let done: Vec<Fixings> = all
        .iter()
        .filter(|one| {
            then.iter()
                .take(halt.names)
                .any(|two| two.joint.value == one.joint.value)
        })
        .copied()
        .collect();
    Some(Does::Start(done))
}

/// The names of an act's list, as it has them.
fn listed(plan: &Plan, does: &Does) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    does.slots(&mut |slot| match slot {
        Slot::Fixings(list) => all.extend(
            list.iter()
                .map(|one| plan.joints[one.joint.value].head.name.to_string()),
        ),
        Slot::Joints(_)
        | Slot::Loads(_)
        | Slot::Things(_)
        | Slot::Fluids(_)
        | Slot::Tools(_)
        | Slot::Workpieces(_)
        | Slot::Part(_)
        | Slot::Names(..) => {
            let text = write::piece(plan, slot);
            all.extend(
                text.trim()
                    .split(", ")
                    .filter(|name| !name.is_empty())
                    .map(str::to_owned),
            );
        }
        // These say how, and are on no list.
        Slot::With(..) | Slot::Word(_) | Slot::Figure(..) | Slot::Text(..) => {}
    });
    all
}

/// Names with commas between them, `2 of` left out; nothing where anything else stands there.
fn names_of(rest: &[String]) -> Vec<&str> {
    let mut all = Vec::new();
    let mut rest = rest;
    loop {
        if let [count, of, behind @ ..] = rest
            && of == "of"
            && count.chars().all(|c| c.is_ascii_digit())
        {
            rest = behind;
        }
        match rest {
            [name] => {
                all.push(name.as_str());
                return all;
            }
            [name, comma, behind @ ..] if comma == "," => {
                all.push(name.as_str());
                rest = behind;
            }
            _ => return Vec::new(),
        }
    }
}

/// `fill oil with 2 l` is `fill oil 2 l`.
fn plain(tokens: &[String]) -> Vec<&str> {
    tokens
        .iter()
        .map(String::as_str)
        .filter(|word| *word != "with")
        .collect()
}

fn tokens(words: &str) -> Vec<String> {
    let text = format!("step\n {words}");
    let tree = grammar::parse(&text);
    let Some(statement) = tree
        .blocks()
        .first()
        .and_then(|&block| tree.statements(block).get(1))
    else {
        return Vec::new();
    };
    let mut cursor = Cursor::new(SourceId(0), &text, &tree, statement);
    let mut all = Vec::new();
    while let Some((_, text, _)) = cursor.take() {
        all.push(text.trim().to_owned());
    }
    all
}

impl Does {
    /// The act on the first names of its list alone; none for an act that takes its list as one.
    #[must_use]
    pub fn first(&self, count: usize) -> Option<Does> {
        fn cut<T: Clone>(list: &[T], count: usize) -> Vec<T> {
            list.iter().take(count).cloned().collect()
        }
        let fixings = |list: &[Fixings]| cut(list, count);
        let joints = |list: &[Said<Id<super::model::Joint>>]| cut(list, count);
        let things = |list: &[Said<super::model::Thing>]| cut(list, count);
        Some(match self {
            Does::Slacken(all) => Does::Slacken(fixings(all)),
            Does::Undo(all) => Does::Undo(fixings(all)),
            Does::Start(all) => Does::Start(fixings(all)),
            Does::Tighten(all) => Does::Tighten(fixings(all)),
            Does::Join { by, all } => Does::Join {
                by: *by,
                all: fixings(all),
            },
            Does::Work { by, on, how } => Does::Work {
                by: *by,
                on: cut(on, count),
                how: how.clone(),
            },
            Does::Untie(all) => Does::Untie(things(all)),
            Does::SlideHome(all) => Does::SlideHome(things(all)),
            Does::MoveAside(all) => Does::MoveAside(things(all)),
            Does::MoveBack(all) => Does::MoveBack(things(all)),
            Does::PressApart { joints: all, with } => Does::PressApart {
                joints: joints(all),
                with: *with,
            },
            Does::PressHome { joints: all, with } => Does::PressHome {
                joints: joints(all),
                with: *with,
            },
            Does::Opening {
                act,
                joints: all,
                with,
            } => Does::Opening {
                act: *act,
                joints: joints(all),
                with: *with,
            },
            Does::Photograph(all) => Does::Photograph(cut(all, count)),
            Does::Mark(all) => Does::Mark(joints(all)),
            Does::Tag(all) => Does::Tag(joints(all)),
            Does::Soak(all) => Does::Soak(joints(all)),
            Does::Wait(all) => Does::Wait(joints(all)),
            Does::MakeUp(all) => Does::MakeUp(cut(all, count)),
            // These take their list as one, or have one row on the card for all of it.
            Does::Pin { .. }
            | Does::Break { .. }
            | Does::Hold { .. }
            | Does::Steady { .. }
            | Does::Touch { .. }
            | Does::Release { .. }
            | Does::TieUp { .. }
            | Does::Raise { .. }
            | Does::Set { .. }
            | Does::Lower { .. }
            | Does::Tilt { .. }
            | Does::Draw { .. }
            | Does::TakeOff(_)
            | Does::Fit(_)
            | Does::Try(_)
            | Does::Drain { .. }
            | Does::Fill { .. }
            | Does::Bleed(_)
            | Does::Weigh { .. }
            | Does::Run(_)
            | Does::Drive(_)
            | Does::Measure { .. }
            | Does::Judge { .. }
            | Does::WaitFor { .. }
            | Does::Look(_)
            | Does::Verify { .. } => return None,
        })
    }
}
