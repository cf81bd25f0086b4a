//! What a step leaves behind, as the walk knows it: what is held by what, what is still slack, which lines stand
//! open. Three short lists for the card's foot; judges nothing, and leaves out what is empty.

use std::collections::BTreeSet;

use super::binding::Binding;
use super::words::capital;
use crate::plan::model::{Id, Joint, Part, Step};
use crate::walk::state::{Holder, Opening};

/// Lines of one list, the last of which may tell how many more there are.
const LINES: usize = 3;

/// Heading and lines of the card's foot; empty where nothing is held, slack or open.
#[must_use]
pub fn after_state(binding: &Binding<'_>, step: Id<Step>) -> Vec<(String, Vec<String>)> {
    let Some(after) = binding.compilation.walk.after(binding.plan, step) else {
        return Vec::new();
    };
    let held: Vec<String> = after
        .held()
        .into_iter()
        .filter_map(|(holder, parts)| {
            let by = match holder {
                Holder::Rig(rig) => binding.rig(rig),
                Holder::Person(person) => binding.person(person),
                Holder::Repair => return None,
            };
            Some(format!("{} by {by}", capital(&called(binding, &parts))))
        })
        .collect();
    let joint = |id: Id<Joint>| capital(&binding.plan.joints[id].head.called());
    let slack = after.slack().map(joint).collect();
    let open = after
        .openings()
        .filter(|(_, opening)| *opening == Opening::Open)
        .map(|(id, _)| joint(id))
        .collect();
    [("Held", held), ("Still slack", slack), ("Open", open)]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .map(|(name, lines)| (name.to_owned(), short(lines)))
        .collect()
}

/// The first of many, and how many are left.
fn short(mut lines: Vec<String>) -> Vec<String> {
    if lines.len() > LINES {
        let more = lines.len() - (LINES - 1);
        lines.truncate(LINES - 1);
        lines.push(format!("and {more} more"));
    }
    lines
}

/// The assembly that these parts are, else the first of them and how many go with it.
fn called(binding: &Binding<'_>, parts: &[Id<Part>]) -> String {
    let all: BTreeSet<Id<Part>> = parts.iter().copied().collect();
    let assembly = binding.plan.assemblies.values().find(|assembly| {
        assembly.parts.len() == all.len() && assembly.parts.iter().all(|part| all.contains(part))
    });
    if let Some(assembly) = assembly {
        return assembly.head.called();
    }
    let name = |id: &Id<Part>| binding.plan.parts[*id].head.called();
    match parts {
        [] => String::new(),
        [one] => name(one),
        [first, rest @ ..] => format!("{} and {} more", name(first), rest.len()),
    }
}
