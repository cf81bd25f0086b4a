//! Steps that a stage has because it reverses others: their names and places, so that other blocks may name them before
//! anybody knows what they do. Knows nothing of acts.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeMap;

use super::declare::Declared;
use super::model::{Derived, EnergyKind, Head, Id, Plan, Stage, Step};
use super::plan_error::{PlanError, ReverseFault};
use super::scope::{Entity, Scope};
use crate::base::source::Span;
use crate::syntax::shapes::BlockKind;

/// What is added to the name of the step that is undone.
const SUFFIX: &str = "-back";

/// A step to be derived.
#[derive(Debug)]
pub struct Reversed {
    name: String,
    from: Id<Step>,
    stage: Id<Stage>,
    /// Where the stage says that it reverses.
    at: Span,
    /// The whole block of that stage.
    block: Span,
}

/// A stage that is named: its place in the list of blocks, itself, and the mention.
type Named = (usize, Id<Stage>, Span);

/// The stages that a stage's header says it reverses, each with its place in the list of blocks and its mention.
fn named(block: &Declared<'_>, scope: &Scope) -> Vec<Named> {
    let mut all = Vec::new();
    let Some(mut cursor) = block.header() else {
        return all;
    };
    if cursor.eat("reverses").is_none() {
        return all;
    }
    while let Some((name, at)) = cursor.name() {
        let stage = scope.entry(name).and_then(|entry| match entry.entity {
            Entity::Stage(stage) => Some(stage),
            _ => None,
        });
        if let (Some(stage), Some(place)) = (stage, scope.block_of(name)) {
            all.push((place, stage, at));
        }
        if !cursor.comma() {
            break;
        }
    }
    all
}

/// Declares a step for each step of each stage that is reversed, last first, in the order of the stages that reverse.
pub fn reversed(blocks: &[Declared<'_>], scope: &mut Scope, slips: &mut Vec<PlanError>) -> Vec<Reversed> {
    let mut all = Vec::new();
    let stages = || blocks.iter().filter(|block| block.kind == BlockKind::Stage);
    let reverses: BTreeMap<Id<Stage>, Vec<Named>> = stages()
        .map(|block| (Id::new(block.first), named(block, scope)))
        .filter(|(_, named)| !named.is_empty())
        .collect();
    if reverses.is_empty() {
        return all;
    }
    let written = blocks.iter().filter(|block| block.kind == BlockKind::Step);
    let mut next = written.map(|block| block.first + block.count).max().unwrap_or(0);
    let mut taken: BTreeMap<Id<Stage>, Span> = BTreeMap::new();
    for block in stages() {
        let stage = Id::new(block.first);
        for &(place, other, at) in reverses.get(&stage).into_iter().flatten().rev() {
            let why = if other == stage {
                Some(ReverseFault::Itself)
            } else if reverses.contains_key(&other) {
                Some(ReverseFault::Derived)
            } else {
                taken.get(&other).map(|&first| ReverseFault::Twice(first))
            };
            if let Some(why) = why {
                let name = blocks.get(place).map_or("", |other| other.name).to_owned();
                slips.push(PlanError::CannotReverse { at, name, why });
                continue;
            }
            taken.insert(other, at);
            for (name, from) in steps_of(blocks, place).into_iter().rev() {
                let name = format!("{name}{SUFFIX}");
                match scope.declare(&name, Entity::Step(Id::new(next)), at, usize::MAX) {
                    Ok(_) => {
                        next += 1;
                        all.push(Reversed {
                            name,
                            from,
                            stage,
                            at,
                            block: block.span(),
                        });
                    }
                    Err(earlier) => slips.push(PlanError::SameName {
                        first: at,
                        second: earlier.at,
                        first_is: "a step that this stage derives",
                        second_is: earlier.entity.words(),
                        in_part: scope.part_of(&name).map(str::to_owned),
                        name,
                    }),
                }
            }
        }
    }
    all
}

/// Names and ids of the steps below a stage's header.
fn steps_of(blocks: &[Declared<'_>], stage: usize) -> Vec<(String, Id<Step>)> {
    let Some(first) = blocks.get(stage) else {
        return Vec::new();
    };
    blocks
        .iter()
        .skip(stage + 1)
        .take_while(|block| block.kind != BlockKind::Stage && block.source == first.source)
        .filter(|block| block.kind == BlockKind::Step)
        .flat_map(|block| {
            let names: Vec<String> = match block.each {
                None => vec![block.name.to_owned()],
                Some(each) => {
                    let tags = each.tags();
                    tags.iter()
                        .map(|tag| format!("{}-{}", block.name, tag.text))
                        .collect()
                }
            };
            names
                .into_iter()
                .enumerate()
                .map(|(n, name)| (name, Id::new(block.place(n))))
                .collect::<Vec<_>>()
        })
        .collect()
}

/// The steps as the plan has them until their acts are worked out.
pub fn blank_steps(all: &[Reversed]) -> impl Iterator<Item = Step> + '_ {
    all.iter().map(|one| Step {
        head: Head {
            name: one.name.as_str().into(),
            at: one.at,
            title: None,
            block: one.block,
            notes: Vec::new(),
            was: None,
            shared: false,
        },
        stage: Some(one.stage),
        by: Vec::new(),
        calls: None,
        stop_word: None,
        after: Vec::new(),
        instead_of: None,
        for_swaps: Vec::new(),
        derived: Some(Derived {
            from: one.from,
            asked: Vec::new(),
        }),
        needs: Vec::new(),
        cautions: Vec::new(),
        time: None,
        safe_to_leave: None,
        safe_overnight: None,
        lines: Vec::new(),
    })
}

/// The order within a stage that reverses others: what is derived, written steps in the place of those that they stand for, all
/// others first unless they say `after`. Steps that an energy is safe after come last, since they make it live again.
pub fn order(
    plan: &mut Plan,
    written: &[Id<Step>],
    derived: &[Id<Step>],
    slips: &mut Vec<PlanError>,
) -> Vec<Id<Step>> {
    let from = |plan: &Plan, step: Id<Step>| plan.steps[step].derived.as_ref().map(|derived| derived.from);
    let mut order: Vec<Id<Step>> = derived.to_vec();
    let wakes: Vec<Id<Step>> = plan
        .energies
        .values()
        // A spring is in again where its keepers close, not when all else is done.
        .filter(|energy| energy.kind.is_none_or(|kind| kind.value != EnergyKind::Spring))
        .filter_map(|energy| energy.safe_after.map(|said| said.value))
        .collect();
    order.sort_by_key(|&step| from(plan, step).is_some_and(|from| wakes.contains(&from)));
    let mut stands_for: BTreeMap<Id<Step>, Id<Step>> = BTreeMap::new();
    let mut others = Vec::new();
    for &step in written {
        let Some(said) = plan.steps[step].instead_of else {
            others.push(step);
            continue;
        };
        let place = order
            .iter()
            .position(|&other| other == said.value || from(plan, other) == Some(said.value));
        match place {
            Some(place) => {
                if let Some(slot) = order.get_mut(place) {
                    stands_for.insert(*slot, step);
                    *slot = step;
                }
            }
            None => {
                slips.push(PlanError::CannotReverse {
                    at: said.at,
                    name: plan.steps[said.value].head.name.to_string(),
                    why: ReverseFault::NotHere,
                });
                others.push(step);
            }
        }
    }
    let ids: Vec<Id<Step>> = plan.steps.ids().collect();
    for id in ids {
        for after in &mut plan.steps[id].after {
            if let Some(&step) = stands_for.get(&after.value) {
                after.value = step;
            }
        }
    }
    let mut first = 0;
    let mut put_in: Vec<Id<Step>> = Vec::new();
    for step in others {
        let behind = plan.steps[step]
            .after
            .iter()
            .filter_map(|after| order.iter().position(|&other| other == after.value))
            .max();
        let place = match behind {
            None => {
                first += 1;
                first - 1
            }
            Some(mut place) => {
                place += 1;
                while order.get(place).is_some_and(|next| put_in.contains(next)) {
                    place += 1;
                }
                put_in.push(step);
                place
            }
        };
        order.insert(place.min(order.len()), step);
    }
    order
}
