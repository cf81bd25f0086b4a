//! What a step is called on paper: its title, and for a derived step, which has none, what it does first of all. Knows nothing of
//! cards.

use super::binding::Binding;
use super::words::{and_list, capital};
use crate::plan::model::{Does, End, Load, Said, Seat, Step, Thing};

/// More things than these are counted.
const NAMED: usize = 2;

#[must_use]
pub fn step_title(binding: &Binding<'_>, step: &Step) -> String {
    let title = match (&step.derived, &step.head.title) {
        (Some(_), None) => derived(binding, step),
        _ => step.head.called(),
    };
    capital(&title)
}

fn derived(binding: &Binding<'_>, step: &Step) -> String {
    let acts = || step.acts().map(|act| &act.does);
    let fitted: Vec<Said<Thing>> = acts()
        .filter_map(|does| match does {
            Does::Fit(things) => Some(things.as_slice()),
            // The title tells what is fitted, if anything is.
            _ => None,
        })
        .flatten()
        .copied()
        .collect();
    if !fitted.is_empty() {
        let names: Vec<String> = fitted
            .iter()
            .map(|thing| binding.the(Load::Thing(thing.value)))
            .collect();
        return format!("Fit {}", some(&names));
    }
    let moved = acts().filter_map(|does| match does {
        Does::Set { things, end, on, .. } => match (things.first()?.value, on.value) {
            (Load::Vehicle(_), Seat::Rig(rig)) => {
                let end = end_of(end.map(|said| said.value));
                let place = binding.the_rig(rig);
                Some(format!(
                    "Set {}{end} down on {place}",
                    binding.the(things.first()?.value)
                ))
            }
            _ => None,
        },
        // Else what moves.
        _ => None,
    });
    if let Some(last) = moved.last() {
        return last;
    }
    let fluids: Vec<String> = acts()
        .filter_map(|does| match does {
            Does::Fill { fluids, .. } => Some(fluids),
            // Else what is filled.
            _ => None,
        })
        .flatten()
        .map(|fluid| {
            format!(
                "the {}",
                binding.inside(&binding.plan.fluids[fluid.value].head.called())
            )
        })
        .collect();
    if !fluids.is_empty() {
        return format!("Fill {}", some(&fluids));
    }
    for (verb, started) in [("Put back", true), ("Tighten", false)] {
        let joints: Vec<String> = acts()
            .filter_map(|does| match does {
                Does::Start(all) | Does::Join { all, .. } if started => Some(all),
                Does::Tighten(all) if !started => Some(all),
                // Else what is closed.
                _ => None,
            })
            .flatten()
            .map(|fixings| binding.the_joint(fixings.joint.value))
            .collect();
        if !joints.is_empty() {
            return format!("{verb} {}", some(&joints));
        }
    }
    let undone = step
        .derived
        .as_ref()
        .map(|derived| &binding.plan.steps[derived.from]);
    undone.map_or_else(
        || step.head.called(),
        |from| format!("After \u{2018}{}\u{2019}", from.head.called()),
    )
}

fn end_of(end: Option<End>) -> &'static str {
    match end {
        Some(End::Front) => "\u{2019}s front",
        Some(End::Rear) => "\u{2019}s rear",
        None => "",
    }
}

/// The first names, and how many more there are.
fn some(names: &[String]) -> String {
    if names.len() <= NAMED {
        return and_list(names);
    }
    let (first, rest) = names.split_at(NAMED.min(names.len()));
    format!("{} and {} more", first.join(", "), rest.len())
}
