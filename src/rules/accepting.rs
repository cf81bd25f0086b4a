//! The family **accepting**: findings that the owner lets stand, with a reason, and those that nobody can.

use super::{Family, joined, rule};
use crate::base::finding::Finding;
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

pub static FAMILY: Family = Family {
    name: "accepting",
    about: "findings that the owner lets stand",
    rules: &[&CANNOT_ACCEPT, &NOTHING_TO_ACCEPT],
};

/// Parts findings that stand from those that the plan accepts. Both lists are in order of their places.
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
        if taken.is_empty() && walked {
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
    findings.sort_by(|a, b| order(a).cmp(&order(b)));
    accepted.sort_by(|(a, _), (b, _)| order(a).cmp(&order(b)));
    (findings, accepted)
}

fn order(finding: &Finding) -> (Option<crate::base::source::Span>, &'static str, &str) {
    (finding.place(), finding.rule.name, &finding.what)
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
