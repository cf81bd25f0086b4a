//! Before the first run: one table of all that is tightened, with its second check and what is looked at again after the run; then fluids
//! back and caps away. Knows what the steps touched, and no single row of a card.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::document::{Block, Dense, DenseItem, Line, Section};
use super::tables::section;
use super::torque_table;
use super::words::{capital, run, strong};
use crate::base::quantity::Volume;
use crate::plan::model::{Afterwards, Does, Fluid, Id, Joint, OpeningAct, Part, Step};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let and = and(binding);
    let table = torque_table::table(binding);
    if table.is_none() && and.is_empty() {
        return Vec::new();
    }
    // No step is named: which of them starts the engine the plan does not say.
    let mut before = vec![strong("Do this before anything is started or driven.")];
    let again = |table: &Block| matches!(table, Block::Table(table) if table.columns.iter().any(|column| column.head == torque_table::AFTER));
    if table.as_ref().is_some_and(again) {
        before.push(run(
            " What has a square under “After” is looked at again after the first run.",
        ));
    }
    let mut blocks = vec![Block::Text(before)];
    blocks.extend(table);
    if !and.is_empty() {
        blocks.push(Block::Dense(Dense {
            title: "And".to_owned(),
            columns: 2,
            items: and,
        }));
    }
    blocks.push(Block::Signatures(vec![
        "All of the above checked. Ready to start.".to_owned(),
        "After the first run: nothing leaks, no paint mark broken.".to_owned(),
    ]));
    section("first-run", "Torque table, and before first start", blocks)
}

/// Fluids, then caps, each in the order of work.
fn and(binding: &Binding<'_>) -> Vec<DenseItem> {
    let lists = [("fluid", fluids(binding)), ("cap", closed(binding))];
    let mut items = Vec::new();
    for (key, mut rows) in lists {
        rows.sort_by_key(|(_, step)| step.map_or(usize::MAX, |step| binding.place(step)));
        let made = rows
            .into_iter()
            .zip(1..)
            .map(|((text, step), nth): (_, usize)| DenseItem {
                text,
                right: step.map(|step| binding.number(step)),
                proof: format!("first-run/{key}/{nth}"),
                done: false,
            });
        items.extend(made);
    }
    items
}

/// Fluids that the steps drained, filled or bled, or whose lines were opened.
fn fluids(binding: &Binding<'_>) -> Vec<(Line, Option<Id<Step>>)> {
    let plan = binding.plan;
    let mut touched: BTreeSet<Id<Fluid>> = BTreeSet::new();
    for step in plan.order.iter().map(|&id| &plan.steps[id]) {
        for act in step.acts() {
            touched.extend(super::mentions::of(&act.does).fluids);
        }
    }
    touched
        .into_iter()
        .filter(|&id| comes_back(binding, id))
        .map(|id| {
            let fluid = &plan.fluids[id];
            let mut line = vec![run(capital(&fluid.head.called()))];
            let volume = put_in(binding, id).or(fluid.holds.map(|holds| holds.value));
            if let Some(volume) = volume {
                line.push(run(": "));
                line.push(strong(binding.both(volume)));
            }
            if let Some(grade) = &fluid.grade {
                line.push(run(format!(", {}", grade.value)));
            }
            line.push(run(if fluid.needs_bleeding.is_some() {
                ", filled and bled"
            } else {
                ", filled to its mark"
            }));
            (line, last_step(binding, id))
        })
        .collect()
}

/// A fluid that is filled again, or whose parts do not all stay off.
fn comes_back(binding: &Binding<'_>, id: Id<Fluid>) -> bool {
    let plan = binding.plan;
    let filled = plan.order.iter().flat_map(|&step| plan.steps[step].acts()).any(
        |act| matches!(&act.does, Does::Fill { fluids, .. } if fluids.iter().any(|fluid| fluid.value == id)),
    );
    let parts = &plan.fluids[id].in_parts;
    let all_leave = !parts.is_empty() && parts.iter().all(|part| leaves(binding, part.value));
    filled || !all_leave
}

fn leaves(binding: &Binding<'_>, id: Id<Part>) -> bool {
    let afterwards = binding.plan.parts[id].afterwards.map(|said| said.value);
    let replaced = binding.plan.parts.values().any(|other| {
        other
            .in_place_of
            .is_some_and(|said| said.value.part == id && !said.value.if_renewed)
    });
    match afterwards {
        Some(Afterwards::GoesBack) => false,
        Some(_) => true,
        None => replaced,
    }
}

fn last_step(binding: &Binding<'_>, fluid: Id<Fluid>) -> Option<Id<Step>> {
    binding.work.fluids.steps(fluid).last().copied()
}

/// What was capped, plugged or clamped on the way.
fn closed(binding: &Binding<'_>) -> Vec<(Line, Option<Id<Step>>)> {
    let mut rows = Vec::new();
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            let Does::Opening { act, joints, .. } = &act.does else {
                continue;
            };
            let word = match act {
                OpeningAct::Cap => "cap off",
                OpeningAct::Plug => "plug out of",
                OpeningAct::Clamp => "clamp off",
                OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug => continue,
            };
            for joint in joints {
                let line = vec![run(format!(
                    "{} {}",
                    capital(word),
                    binding.the_joint(joint.value)
                ))];
                rows.push((
                    line,
                    Some(opened_again(binding, joint.value, step).unwrap_or(step)),
                ));
            }
        }
    }
    rows
}

/// The step after this one that takes the cap, plug or clamp away.
fn opened_again(binding: &Binding<'_>, joint: Id<Joint>, closed: Id<Step>) -> Option<Id<Step>> {
    let mut later = binding.plan.order.iter().skip_while(|&&step| step != closed);
    later
        .find(|&&step| {
            let mut acts = binding.plan.steps[step].acts();
            acts.any(|act| match &act.does {
                Does::Opening { act, joints, .. } => {
                    matches!(act, OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug)
                        && joints.iter().any(|said| said.value == joint)
                }
                // A line runs again by these alone.
                _ => false,
            })
        })
        .copied()
}

/// Litres that the last fill with a figure puts in.
fn put_in(binding: &Binding<'_>, id: Id<Fluid>) -> Option<Volume> {
    let mut steps = binding.plan.order.iter().rev();
    steps.find_map(|&step| {
        binding.plan.steps[step].acts().find_map(|act| match &act.does {
            Does::Fill {
                fluids,
                with: Some(with),
            } if fluids.iter().any(|fluid| fluid.value == id) => Some(with.value),
            // Nothing else puts a fluid in.
            _ => None,
        })
    })
}
