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

pub mod accepting;
pub mod account;
mod act_figures;
mod amounts;
pub mod balance;
pub mod closing;
pub mod fastening;
pub mod hazards;
pub mod licensed;
mod mends;
pub mod names;
mod odd_heads;
pub mod order;
pub mod order_acts;
mod order_records;
mod phrases;
pub mod reading;
pub mod signal_words;
pub mod support;
pub mod support_balance;
mod support_ends;
pub mod support_loads;
mod support_ties;
pub mod threads;
mod times;
pub mod timing;
pub mod tools;
pub mod torques;
pub mod totals;
pub mod totals_aims;
mod totals_figures;
mod totals_scales;
mod totals_sums;
mod totals_swaps;
mod totals_vehicle;
pub mod vehicle_weighings;
pub mod wander;
pub mod way_back;
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
    &fastening::FAMILY,
    &tools::FAMILY,
    &hazards::FAMILY,
    &totals::FAMILY,
    &times::FAMILY,
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
    let rules = FAMILIES.iter().flat_map(|family| family.rules.iter());
    nearest(name, rules.map(|rule| rule.name))
}

/// Of these names the three that look most like this one, nearest first.
#[must_use]
pub fn nearest<'a>(name: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut all: Vec<(usize, &str)> = names
        .map(|other| (strsim::osa_distance(name, other), other))
        .filter(|(distance, other)| *distance <= 3 || other.contains(name) || name.contains(other))
        .collect();
    all.sort_unstable();
    all.dedup();
    // What is much farther than the nearest is no guess, only noise.
    let nearest = all.first().map_or(0, |(distance, _)| *distance);
    all.retain(|(distance, _)| *distance <= nearest + 1);
    all.into_iter().take(3).map(|(_, name)| name).collect()
}

/// Everything that there is to say of a plan, and what of it the plan accepts. Without a `walk` the steps were not walked
/// through.
#[must_use]
pub fn judge(plan: &Plan, slips: Vec<Slip>, walk: Option<&Walk>) -> (Vec<Finding>, Vec<(Finding, Accept)>) {
    let mut findings: Vec<Finding> = slips.into_iter().map(word).collect();
    order::check(plan, &mut findings);
    fastening::check(plan, walk.is_some(), &mut findings);
    tools::check(plan, walk.is_some(), &mut findings);
    times::check(plan, &mut findings);
    hazards::check(plan, walk, &mut findings);
    let index = mends::Index::new(plan);
    let breaks = walk.into_iter().flat_map(|walk| &walk.breaks);
    findings.extend(breaks.filter_map(|of| {
        let tell = phrases::Telling {
            plan,
            of,
            index: &index,
        };
        order_acts::word(tell)
            .or_else(|| support::word(tell))
            .or_else(|| closing::word(tell))
            .or_else(|| fastening::word(tell))
            .map(|finding| tell.when_undone(finding))
    }));
    if let Some(walk) = walk {
        totals::check(plan, walk, &mut findings);
    }
    accepting::settle(plan, findings, walk.is_some())
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
