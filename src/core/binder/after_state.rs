//! What a step leaves behind, as the walk knows it: what is held by what, what is still slack, which lines stand
//! open. Three short lists for the card's foot; judges nothing, and leaves out what is empty.

use std::collections::BTreeSet;

use super::binding::Binding;
use crate::plan::model::{Id, Joint, Part, Step};
use crate::walk::after::After;
use crate::walk::state::{Holder, Opening};

/// Lines of one list, the last of which may tell how many more there are.
const LINES: usize = 6;

/// Heading and lines of the card's foot; empty where nothing is held, slack or open.
#[must_use]
pub fn after_state(binding: &Binding<'_>, step: Id<Step>) -> Vec<(String, Vec<String>)> {
    let Some(after) = binding.compilation.walk.after(binding.plan, step) else {
        return Vec::new();
    };
    // What is as it was before the step is not told again, unless the job may rest here for weeks.
    let walk = &binding.compilation.walk;
    let before = match binding.plan.order.iter().position(|&other| other == step) {
        Some(nth @ 1..) => walk.after_nth(binding.plan, nth - 1),
        _ => Some(walk.before(binding.plan)),
    };
    let rests = binding.plan.steps[step].safe_to_leave.is_some();
    let told = |mut now: Vec<Id<Joint>>, was: Option<Vec<Id<Joint>>>| -> Vec<String> {
        if !rests && let Some(was) = was {
            let was: BTreeSet<Id<Joint>> = was.into_iter().collect();
            now.retain(|id| !was.contains(id));
        }
        now.sort_by_key(|&id| rank(&binding.plan.joints[id]));
        now.into_iter()
            .map(|id| binding.inside(&binding.plan.joints[id].head.called()))
            .collect()
    };
    let held_by = |state: &After<'_>| -> Vec<String> {
        let all = state.held().into_iter();
        all.filter_map(|(holder, parts)| {
            let by = match holder {
                Holder::Rig(rig) => binding.rig(rig),
                Holder::Person(person) => binding.person(person),
                Holder::Repair => return None,
            };
            Some(format!("{} by {by}", binding.inside(&called(binding, &parts))))
        })
        .collect()
    };
    let mut held = held_by(&after);
    if !rests && before.as_ref().map(held_by).as_ref() == Some(&held) {
        held.clear();
    }
    let slack = told(
        after.slack().collect(),
        before.as_ref().map(|before| before.slack().collect()),
    );
    let open_in = |state: &After<'_>| open(binding, state);
    let open = told(open_in(&after), before.as_ref().map(open_in));
    [("Held", held), ("Still slack", slack), ("Open", open)]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .map(|(name, lines)| (name.to_owned(), short(lines)))
        .collect()
}

/// Lines that stand open on the machine: what is off altogether is nobody's drip, and a hole that was blanked is none.
fn open(binding: &Binding<'_>, state: &After<'_>) -> Vec<Id<Joint>> {
    let on = |id: Id<Joint>| {
        let joint = &binding.plan.joints[id];
        let mut ends = joint.ends.iter().flatten();
        joint.gone.is_none()
            && ends.any(|end| {
                let parts = binding.plan.parts_of(end.value);
                parts.iter().any(|&part| !state.is_off(part))
            })
    };
    state
        .openings()
        .filter(|(id, opening)| *opening == Opening::Open && on(*id))
        .map(|(id, _)| id)
        .collect()
}

/// What hurts most if it is forgotten comes first: a short list may leave out the rest.
fn rank(joint: &Joint) -> u8 {
    match (joint.second_check.is_some(), joint.carries.is_some()) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    }
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
