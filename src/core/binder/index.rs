//! The index: every part, assembly and fluid that a step touches, with its steps; these stand in order, so no page is named. Knows names
//! and steps.

use super::binding::Binding;
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
    let heading = Block::Heading {
        level: 2,
        text: "Index".to_owned(),
    };
    vec![heading, Block::Index(entries)]
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
