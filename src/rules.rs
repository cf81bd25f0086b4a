//! Floor 4: the rules, one file a family. A rule is one static and one function beside it; its page under
//! `specs/rules/` holds why, source, a plan that breaks it and the mend. Knows not where findings go.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use crate::base::finding::{Finding, Rule};
use crate::plan::model::{Accept, Plan};
use crate::plan::slip::Slip;
use crate::walk::Walk;
use crate::walk::breaks::Break;

pub mod accepting;
pub mod account;
mod amounts;
pub mod balance;
pub mod closing;
pub mod names;
pub mod order;
pub mod order_acts;
mod phrases;
pub mod reading;
pub mod support;
pub mod support_balance;
pub mod support_loads;
pub mod totals;
pub mod totals_aims;
mod totals_figures;
mod totals_scales;
mod totals_sums;
mod totals_vehicle;
pub mod vehicle_weighings;
pub mod wander;
pub mod weights;

/// Declares a rule once: its name, how grave it is, whether an owner may accept it, and its summary. The page is the file of
/// that name; a test holds severity and summary of page and static together.
macro_rules! rule {
    ($id:ident, $name:literal, $severity:ident, $acceptable:literal, $summary:literal) => {
        pub static $id: crate::base::finding::Rule = crate::base::finding::Rule {
            name: $name,
            severity: crate::base::finding::Severity::$severity,
            summary: $summary,
            page: include_str!(concat!("../../specs/rules/", $name, ".md")),
            acceptable: $acceptable,
        };
    };
}
pub(crate) use rule;

/// Rules that belong together.
#[derive(Debug)]
pub struct Family {
    pub name: &'static str,
    pub about: &'static str,
    pub rules: &'static [&'static Rule],
}

/// Every family, in the order in which they are told.
static FAMILIES: &[&Family] = &[
    &reading::FAMILY,
    &names::FAMILY,
    &order::FAMILY,
    &support::FAMILY,
    &closing::FAMILY,
    &totals::FAMILY,
    &accepting::FAMILY,
];

/// All rules by family: what `why`, the documentation and the tests go by.
#[must_use]
pub fn catalogue() -> &'static [&'static Family] {
    FAMILIES
}

/// Names of rules that were given up, and what took their place. None so far.
pub const RETIRED: &[(&str, &str)] = &[];

/// The rule of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Rule> {
    FAMILIES
        .iter()
        .flat_map(|family| family.rules.iter())
        .copied()
        .find(|rule| rule.name == name)
}

/// The names of rules that look most like this one.
#[must_use]
pub fn near(name: &str) -> Vec<&'static str> {
    let mut all: Vec<(usize, &str)> = FAMILIES
        .iter()
        .flat_map(|family| family.rules.iter())
        .map(|rule| (strsim::osa_distance(name, rule.name), rule.name))
        .filter(|(distance, other)| *distance <= 3 || other.contains(name) || name.contains(other))
        .collect();
    all.sort_unstable();
    all.into_iter().take(3).map(|(_, name)| name).collect()
}

/// Everything that there is to say of a plan, and what of it the plan accepts. Without `breaks` the steps were not walked
/// through.
#[must_use]
pub fn judge(
    plan: &Plan,
    slips: Vec<Slip>,
    breaks: Option<&Vec<Break>>,
    walk: &Walk,
) -> (Vec<Finding>, Vec<(Finding, Accept)>) {
    let mut findings: Vec<Finding> = slips.into_iter().map(word).collect();
    order::check(plan, &mut findings);
    let walked = breaks.is_some();
    findings.extend(breaks.into_iter().flatten().filter_map(|of| {
        let tell = phrases::Telling { plan, of };
        order_acts::word(tell)
            .or_else(|| support::word(tell))
            .or_else(|| closing::word(tell))
    }));
    if walked {
        totals::check(plan, walk, &mut findings);
    }
    accepting::settle(plan, findings, walked)
}

fn word(slip: Slip) -> Finding {
    match reading::word(slip) {
        Ok(finding) => finding,
        Err(slip) => names::word(slip),
    }
}

/// Words joined as a sentence does: "a, b or c".
pub(crate) fn joined(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}
