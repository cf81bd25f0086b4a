//! Of the family **totals**: what swaps say of each other, and optional ones that are begun already. Knows no masses and no money.

use super::rule;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{Id, Plan, Swap};
use crate::plan::swaps::Belonging;

rule!(
    SWAPS_AT_ODDS,
    "swaps-at-odds",
    Fault,
    true,
    "What swaps need and shut out cannot be kept: they need each other in a ring, or one that they shut out."
);
rule!(
    OPTIONAL_AND_BEGUN,
    "optional-and-begun",
    Advice,
    true,
    "A swap is optional, and the log says that it is begun."
);

pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    rings(plan, findings);
    if findings.iter().any(|finding| finding.rule == &SWAPS_AT_ODDS) {
        return;
    }
    shut_out(plan, findings);
    never_optional(plan, findings);
    begun(plan, findings);
}

const HARM: &str = "Whoever leaves one of them out finds out in the shop which others go with it.";

fn name(plan: &Plan, swap: Id<Swap>) -> &str {
    plan.swaps.get(swap).map_or("", |swap| &*swap.head.name)
}

/// With a swap all that it needs, each with the mention that brings it in.
fn needed(plan: &Plan, swap: Id<Swap>) -> Vec<(Id<Swap>, Span)> {
    let mut all: Vec<(Id<Swap>, Span)> = Vec::new();
    let mut open = vec![swap];
    while let Some(at) = open.pop() {
        for said in plan.swaps.get(at).into_iter().flat_map(|swap| &swap.needs) {
            if all.iter().all(|(known, _)| *known != said.value) {
                all.push((said.value, said.at));
                open.push(said.value);
            }
        }
    }
    all
}

/// Each ring once, told at its first swap.
fn rings(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut told: Vec<Id<Swap>> = Vec::new();
    for (id, swap) in plan.swaps.iter() {
        let all = needed(plan, id);
        let Some((_, back)) = all.iter().find(|(other, _)| *other == id).copied() else {
            continue;
        };
        let ring: Vec<Id<Swap>> = all
            .iter()
            .map(|(other, _)| *other)
            .filter(|other| needed(plan, *other).iter().any(|(on, _)| *on == id))
            .collect();
        if ring.iter().any(|other| told.contains(other)) {
            continue;
        }
        told.extend(&ring);
        let mut finding = match ring.as_slice() {
            [_] => Finding::new(&SWAPS_AT_ODDS, format!("`{}` needs itself", swap.head.name)),
            _ => {
                let others: Vec<String> = ring
                    .iter()
                    .filter(|other| **other != id)
                    .map(|other| format!("`{}`", name(plan, *other)))
                    .collect();
                Finding::new(
                    &SWAPS_AT_ODDS,
                    format!(
                        "`{}` needs {}, and is needed in turn: a ring",
                        swap.head.name,
                        super::joined(&others, "and")
                    ),
                )
            }
        };
        if let Some(said) = swap.needs.first() {
            finding = finding.at(said.at, "this needs");
        }
        if swap.needs.first().is_none_or(|said| said.at != back) {
            finding = finding.at(back, "and here it comes back");
        }
        for other in ring {
            finding = finding.about(name(plan, other));
        }
        findings.push(
            finding
                .harm(HARM)
                .mend("Make one swap of those that go only together, or take one `needs` out"),
        );
    }
}

fn shut_out(plan: &Plan, findings: &mut Vec<Finding>) {
    for (id, swap) in plan.swaps.iter() {
        let mut with: Vec<(Id<Swap>, Span)> = vec![(id, swap.head.at)];
        with.extend(needed(plan, id));
        for (one, at) in &with {
            let shut = plan.swaps.get(*one).into_iter().flat_map(|swap| &swap.not_with);
            for said in shut {
                let Some((_, needs)) = with.iter().find(|(other, _)| *other == said.value).copied() else {
                    continue;
                };
                // Told where it is said, not again for all that need such a swap.
                let own = *one == id || said.value == id || needs.source == at.source;
                let first = plan.swaps.iter().find(|(other, _)| {
                    let all = needed(plan, *other);
                    let has =
                        |wanted: Id<Swap>| *other == wanted || all.iter().any(|(known, _)| *known == wanted);
                    has(*one) && has(said.value)
                });
                if !own || first.is_some_and(|(other, _)| other != id) {
                    continue;
                }
                let what = if *one == said.value {
                    format!("`{}` shuts itself out", name(plan, *one))
                } else {
                    format!(
                        "`{}` cannot be done: with it go `{}` and `{}`, of which one shuts out the other",
                        swap.head.name,
                        name(plan, *one),
                        name(plan, said.value)
                    )
                };
                findings.push(
                    Finding::new(&SWAPS_AT_ODDS, what)
                        .at(said.at, "shut out here")
                        .at(needs, "and wanted here")
                        .harm(HARM)
                        .mend("Take out the `needs` or the `not with` that is not meant")
                        .about(&*swap.head.name),
                );
            }
        }
    }
    // Two that are both done.
    for (id, swap) in plan.swaps_done() {
        for said in &swap.not_with {
            let Some(other) = plan.swaps.get(said.value) else {
                continue;
            };
            if said.value == id || plan.left_out.swaps.contains(&said.value) {
                continue;
            }
            findings.push(
                Finding::new(
                    &SWAPS_AT_ODDS,
                    format!(
                        "`{}` and `{}` shut each other out, and the plan does both",
                        swap.head.name, other.head.name
                    ),
                )
                .at(said.at, "shut out here")
                .harm("The steps of one undo what the other needs.")
                .mend("Say of the one that is not to be done: `left out`; `boltfolio worth` compares them")
                .about(&*swap.head.name)
                .about(&*other.head.name),
            );
        }
        for said in &swap.needs {
            let Some(other) = plan.swaps.get(said.value) else {
                continue;
            };
            if !plan.left_out.swaps.contains(&said.value) {
                continue;
            }
            findings.push(
                Finding::new(
                    &SWAPS_AT_ODDS,
                    format!(
                        "`{}` needs `{}`, which is left out",
                        swap.head.name, other.head.name
                    ),
                )
                .at(said.at, "needed here")
                .at(other.left_out.unwrap_or(other.head.at), "and not done")
                .harm("What it stands on is not there.")
                .mend(format!(
                    "Say of `{}` too that it is `left out`, or take the other one in",
                    swap.head.name
                ))
                .about(&*swap.head.name),
            );
        }
    }
}

/// Optional ones that a swap needs which is done in any case.
fn never_optional(plan: &Plan, findings: &mut Vec<Finding>) {
    for (id, swap) in plan.swaps_done().filter(|(_, swap)| swap.optional.is_none()) {
        for (other, at) in needed(plan, id) {
            let Some(optional) = plan.swaps.get(other).and_then(|swap| swap.optional) else {
                continue;
            };
            let mut finding = Finding::new(
                &SWAPS_AT_ODDS,
                format!(
                    "`{}` is optional, and `{}`, which is not, needs it",
                    name(plan, other),
                    swap.head.name
                ),
            )
            .at(optional, "said to be optional")
            .at(at, "needed here")
            .harm("It counts as done in any case, and no choice is offered.")
            .mend("Take `optional` out, or say of the other one too that it is `optional`")
            .about(name(plan, other));
            finding.severity = Severity::Doubt;
            findings.push(finding);
        }
    }
}

fn begun(plan: &Plan, findings: &mut Vec<Finding>) {
    let may = |swap: &Swap| swap.optional.or(swap.left_out);
    if plan.swaps.values().all(|swap| may(swap).is_none()) || plan.logs.is_empty() {
        return;
    }
    let belonging = Belonging::of(plan);
    for (id, swap) in plan.swaps.iter() {
        let (Some(at), Some(&step)) = (may(swap), belonging.begun(plan, id).first()) else {
            continue;
        };
        let Some(step) = plan.steps.get(step) else {
            continue;
        };
        let half = if belonging.is_over(plan, id) {
            "done"
        } else {
            "half done"
        };
        let said = if swap.left_out.is_some() {
            "left out"
        } else {
            "optional"
        };
        let mut finding = Finding::new(
            &OPTIONAL_AND_BEGUN,
            format!("`{}` is {said}, and by the log it is {half}", swap.head.name),
        )
        .at(swap.left_out.unwrap_or(at), said)
        .at(step.head.at, "this step is over")
        .harm("It counts as chosen: what is done stays done, and no set leaves it out.")
        .mend(format!("Take `{said}` out"))
        .about(&*swap.head.name);
        if swap.left_out.is_some() {
            // The plan does what its owner says is not done.
            finding.severity = Severity::Doubt;
        }
        findings.push(finding);
    }
}
