//! The index: every part, joint, rig, tool and fluid that a step touches, with its steps. The press adds the
//! pages. Knows names and steps.

use super::binding::Binding;
use super::document::{Block, IndexEntry, Section};
use super::tables::section;
use super::words::capital;
use crate::plan::model::{Id, Part, Step, Thing};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut entries = entries(binding);
    entries.sort_by_cached_key(|entry| (entry.name.to_lowercase(), entry.name.clone()));
    let blocks = if entries.is_empty() {
        Vec::new()
    } else {
        vec![Block::Index(entries)]
    };
    section("index", "Index", blocks)
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
    let mut entries: Vec<IndexEntry> = Vec::new();
    let mut add = |called: String, steps: &[Id<Step>]| {
        if steps.is_empty() {
            return;
        }
        let name = capital(&called);
        let steps: Vec<(String, String)> = steps
            .iter()
            .map(|&step| (binding.number(step), binding.card_proof(step)))
            .collect();
        // Two things may be called alike: one entry then, with the steps of both.
        match entries.iter_mut().find(|entry| entry.name == name) {
            Some(entry) => {
                for step in steps {
                    if !entry.steps.contains(&step) {
                        entry.steps.push(step);
                    }
                }
            }
            None => entries.push(IndexEntry { name, steps }),
        }
    };
    for (id, part) in plan.parts.iter().filter(|(_, part)| !part.is_body) {
        add(part.head.called(), &of_part(binding, id));
    }
    for (id, assembly) in plan.assemblies.iter() {
        add(assembly.head.called(), uses.assemblies.steps(id));
    }
    for (id, joint) in plan.joints.iter() {
        add(joint.head.called(), uses.joints.steps(id));
    }
    for (id, rig) in plan.rigs.iter().filter(|(_, rig)| !rig.is_floor) {
        add(rig.head.called(), uses.rigs.steps(id));
    }
    for (id, tool) in plan.tools.iter() {
        add(tool.head.called(), uses.tools.steps(id));
    }
    for (id, fluid) in plan.fluids.iter() {
        add(fluid.head.called(), uses.fluids.steps(id));
    }
    entries
}
