//! The index: every part, assembly and fluid that a step touches, with its steps; these stand in order, so no page is named. Knows names
//! and steps.

use super::binding::Binding;
use super::card_joints;
use super::document::{Block, IndexEntry};
use super::words::capital;
use crate::plan::model::{Id, Part, Step, Thing};

/// Stands at the end of the log.
#[must_use]
pub fn blocks(binding: &Binding<'_>) -> Vec<Block> {
    let mut entries = entries(binding);
    entries.sort_by_cached_key(|entry| (entry.name.to_lowercase(), entry.name.clone()));
    if entries.is_empty() {
        return Vec::new();
    }
    let entries = card_joints::by_pairs(&entries, |one, next| match next {
        Some(next) => both_sides(one, next),
        None => Some(one.clone()),
    });
    let heading = Block::Heading {
        level: 2,
        text: "Index".to_owned(),
    };
    vec![heading, Block::Index(entries)]
}

/// Left and right of one thing in one entry.
fn both_sides(left: &IndexEntry, right: &IndexEntry) -> Option<IndexEntry> {
    let base = left.name.strip_suffix(", left")?;
    if right.name.strip_suffix(", right") != Some(base) {
        return None;
    }
    Some(if left.steps == right.steps {
        IndexEntry {
            name: format!("{base}, left and right"),
            steps: left.steps.clone(),
        }
    } else {
        IndexEntry {
            name: base.to_owned(),
            steps: format!("left {}; right {}", left.steps, right.steps),
        }
    })
}

/// Steps that handle a part, and those that part it from what it is fastened to or fasten it again: on the bench nothing else names it.
fn of_part(binding: &Binding<'_>, id: Id<Part>) -> Vec<Id<Step>> {
    let uses = binding.work;
    let fastened = binding.plan.joints.iter().filter(|(_, joint)| {
        let first = joint.ends.map(|[first, _]| first.value);
        joint.carries.is_some() && first == Some(Thing::Part(id))
    });
    let mut steps: Vec<Id<Step>> = uses.parts.steps(id).to_vec();
    for (joint, _) in fastened {
        steps.extend(uses.loosened.steps(joint));
        steps.extend(uses.started.steps(joint));
    }
    steps.sort_by_key(|&step| binding.place(step));
    steps.dedup();
    steps
}

fn entries(binding: &Binding<'_>) -> Vec<IndexEntry> {
    let (plan, uses) = (binding.plan, binding.work);
    let mut entries: Vec<(String, Vec<Id<Step>>)> = Vec::new();
    let mut add = |called: String, steps: &[Id<Step>]| {
        if steps.is_empty() {
            return;
        }
        let name = capital(&called);
        // Two things may be called alike: one entry then, with the steps of both.
        match entries.iter_mut().find(|(known, _)| *known == name) {
            Some((_, known)) => known.extend(steps),
            None => entries.push((name, steps.to_vec())),
        }
    };
    for (id, part) in plan.parts.iter().filter(|(_, part)| !part.is_body) {
        add(part.head.called(), &of_part(binding, id));
    }
    for (id, assembly) in plan.assemblies.iter() {
        add(assembly.head.called(), uses.assemblies.steps(id));
    }
    for (id, fluid) in plan.fluids.iter() {
        add(fluid.head.called(), uses.fluids.steps(id));
    }
    entries
        .into_iter()
        .map(|(name, mut steps)| {
            steps.sort_by_key(|&step| binding.place(step));
            steps.dedup();
            IndexEntry {
                name,
                steps: binding.numbers(&steps),
            }
        })
        .collect()
}
