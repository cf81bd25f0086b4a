//! Before the first run: fluids back, caps away, second checks signed for, and what is looked at again after it.
//! Knows what the steps touched, and no single row of a card.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::document::{Block, Line, Section, TableRow};
use super::joint_words;
use super::tables::{cell, column, section, table, text, tick_row};
use super::words::{capital, run, strong};
use crate::base::quantity::Volume;
use crate::plan::model::{Afterwards, Does, Fluid, Id, Joint, OpeningAct, Part, Step};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let lists = [
        ("Fluids", "fluid", fluids(binding)),
        ("Caps, plugs and clamps away", "cap", closed(binding)),
        (
            "Second check: seen by another person",
            "second",
            second_checks(binding),
        ),
        ("Tightened as it stands", "standing", standing(binding)),
    ];
    let mut blocks: Vec<Block> = Vec::new();
    for (title, key, rows) in lists {
        blocks.extend(list(binding, title, key, rows));
    }
    let again = critical(binding);
    if blocks.is_empty() && again.is_empty() {
        return Vec::new();
    }
    blocks.splice(0..0, when(binding));
    blocks.push(Block::Signatures(vec![
        "Everything above seen. Ready for the first run.".to_owned(),
    ]));
    blocks.extend(list(
        binding,
        "After the first run: figures once more",
        "again",
        again,
    ));
    blocks.push(Block::Signatures(vec![
        "First run made, nothing leaks, nothing has moved.".to_owned(),
    ]));
    section("first-run", "Before the first run", blocks)
}

/// "Do this before step 7.15.": the first one after all that is tightened.
fn when(binding: &Binding<'_>) -> Option<Block> {
    let tightens = |step: &Id<Step>| {
        let mut acts = binding.plan.steps[*step].acts();
        acts.any(|act| matches!(act.does, Does::Tighten(_)))
    };
    let last = binding.plan.order.iter().rposition(tightens)?;
    let next = binding.plan.order.get(last + 1)?;
    Some(Block::Text(vec![strong(format!(
        "Do this before step {}.",
        binding.number(*next)
    ))]))
}

fn list(
    binding: &Binding<'_>,
    title: &str,
    key: &str,
    mut rows: Vec<(Line, Option<Id<Step>>)>,
) -> Option<Block> {
    if rows.is_empty() {
        return None;
    }
    rows.sort_by_key(|(_, step)| step.map_or(usize::MAX, |step| binding.place(step)));
    let columns = vec![
        column("What", 0),
        column("Step", 18),
        column("Date", 26),
        column("Initials", 20),
        column("", 10),
    ];
    let rows: Vec<TableRow> = rows
        .into_iter()
        .zip(1..)
        .map(|((what, step), nth): (_, usize)| {
            tick_row(
                vec![
                    cell(what),
                    text(step.map_or_else(String::new, |step| binding.number(step))),
                    super::document::Cell::Write,
                    super::document::Cell::Write,
                    super::document::Cell::Square,
                ],
                format!("first-run/{key}/{nth}"),
            )
        })
        .collect();
    Some(Block::Table(table(title, columns, rows, 12)))
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

/// Joints of this plan that go together, by a question.
fn tightened(binding: &Binding<'_>, wanted: fn(&Joint) -> bool) -> Vec<Id<Joint>> {
    binding
        .plan
        .joints
        .iter()
        .filter(|(id, joint)| wanted(joint) && !binding.work.tightened.steps(*id).is_empty())
        .map(|(id, _)| id)
        .collect()
}

fn rows_of(binding: &Binding<'_>, joints: Vec<Id<Joint>>) -> Vec<(Line, Option<Id<Step>>)> {
    joints
        .into_iter()
        .map(|id| {
            let joint = &binding.plan.joints[id];
            let mut line = vec![run(capital(&joint.head.called()))];
            if let Some(torque) = joint_words::torque(binding, joint, true) {
                line.push(run(": "));
                line.push(strong(torque.first));
            }
            (line, binding.work.tightened.steps(id).last().copied())
        })
        .collect()
}

fn second_checks(binding: &Binding<'_>) -> Vec<(Line, Option<Id<Step>>)> {
    rows_of(binding, tightened(binding, |joint| joint.second_check.is_some()))
}

fn standing(binding: &Binding<'_>) -> Vec<(Line, Option<Id<Step>>)> {
    rows_of(
        binding,
        tightened(binding, |joint| joint.with_wheels_down.is_some()),
    )
}

fn critical(binding: &Binding<'_>) -> Vec<(Line, Option<Id<Step>>)> {
    rows_of(
        binding,
        tightened(binding, |joint| {
            joint.second_check.is_some() && joint.torque.is_some()
        }),
    )
}
