//! The family **accepting**: findings that the owner lets stand, with a reason, and those that nobody can.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::{Family, joined, rule};
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{Accept, Plan};

rule!(
    CANNOT_ACCEPT,
    "cannot-accept",
    Fault,
    false,
    "A finding is accepted that no reason can make right."
);
rule!(
    NOTHING_TO_ACCEPT,
    "nothing-to-accept",
    Advice,
    false,
    "A finding is accepted that is not there, or no longer."
);

/// On findings that the owner lets stand.
pub static FAMILY: Family = Family {
    name: "accepting",
    about: "findings that the owner lets stand",
    rules: &[&CANNOT_ACCEPT, &NOTHING_TO_ACCEPT],
};

/// Parts findings that stand from those that the plan accepts. The gravest stand first, then what comes first in the work.
pub(super) fn settle(
    plan: &Plan,
    mut findings: Vec<Finding>,
    walked: bool,
) -> (Vec<Finding>, Vec<(Finding, Accept)>) {
    let mut accepted = Vec::new();
    for accept in &plan.accepts {
        let name = &*accept.rule.value;
        let Some(rule) = super::find(name) else {
            findings.push(unknown_rule(accept));
            continue;
        };
        if !rule.acceptable {
            findings.push(
                Finding::new(&CANNOT_ACCEPT, format!("`{name}` cannot be accepted"))
                    .at(accept.at, "this acceptance is left out")
                    .harm("What cannot be read cannot be checked; and some things hurt, whatever the reason.")
                    .mend("Mend the finding itself.")
                    .about(name),
            );
            continue;
        }
        let covers = |finding: &Finding| {
            finding.rule.name == rule.name
                && (accept.names.is_empty()
                    || accept
                        .names
                        .iter()
                        .any(|name| finding.about.iter().any(|about| **about == *name.value)))
        };
        let (taken, left): (Vec<Finding>, Vec<Finding>) = findings.into_iter().partition(covers);
        findings = left;
        if taken.is_empty() && walked && plan.left_out.swaps.is_empty() {
            findings.push(
                Finding::new(&NOTHING_TO_ACCEPT, format!("there is no `{name}` here to accept"))
                    .at(accept.at, "accepts nothing")
                    .harm("It would hide the same finding when it comes back for another reason.")
                    .mend("Delete the line.")
                    .edit(accept.at, "")
                    .about(name),
            );
        }
        accepted.extend(taken.into_iter().map(|finding| (finding, accept.clone())));
    }
    // A name may be that of several steps: the first one stands for all.
    let mut turns: BTreeMap<&str, usize> = BTreeMap::new();
    for (nth, &step) in plan.order.iter().enumerate() {
        turns.entry(&plan.steps[step].head.name).or_insert(nth + 1);
    }
    findings.sort_by(|a, b| order(a, &turns).cmp(&order(b, &turns)));
    accepted.sort_by(|(a, _), (b, _)| order(a, &turns).cmp(&order(b, &turns)));
    (findings, accepted)
}

/// The gravest first; of one grade in the order of the work, what belongs to no step before it, and then as the text stands.
type Order<'a> = (Reverse<Severity>, usize, Option<Span>, &'static str, &'a str);

fn order<'a>(finding: &'a Finding, turns: &BTreeMap<&str, usize>) -> Order<'a> {
    let turn = finding
        .about
        .iter()
        .rev()
        .find_map(|about| turns.get(about.as_str()));
    (
        Reverse(finding.severity),
        turn.copied().unwrap_or_default(),
        finding.place(),
        finding.rule.name,
        &finding.what,
    )
}

fn unknown_rule(accept: &Accept) -> Finding {
    let near: Vec<String> = super::near(&accept.rule.value)
        .iter()
        .map(|name| format!("`{name}`"))
        .collect();
    let finding = Finding::new(
        &super::names::UNKNOWN_NAME,
        format!("there is no rule `{}`", accept.rule.value),
    )
    .at(accept.rule.at, "here stands the name of a rule")
    .harm("Nothing is accepted by this line.");
    if near.is_empty() {
        finding.mend("`boltfolio why` lists all rules.")
    } else {
        finding.mend(format!("Perhaps {}?", joined(&near, "or")))
    }
}
