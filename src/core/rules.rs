//! Floor 6: the rules, one file a family. A rule is one static and one function beside it; its page under
//! `specs/rules/` holds why, source, a plan that breaks it and the mend. Knows not where findings go.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use crate::analysis::Analysis;
use crate::base::finding::{Finding, Rule};
use crate::plan::model::{Accept, Plan};
use crate::plan::plan_error::PlanError;
use crate::walk::Walk;
use crate::walk::breaks::Broken;

pub mod accepting;
mod act_figures;
mod amounts;
mod body_work;
pub mod closing;
mod days;
pub mod fastening;
mod filling;
pub mod hazards;
pub mod licensed;
mod logs;
mod mends;
pub mod names;
mod odd_heads;
mod one_figure;
pub mod order;
pub mod order_acts;
mod order_records;
mod phrases;
mod plausible;
pub mod reading;
mod ready;
pub mod signal_words;
pub mod springs;
mod springs_unsaid;
pub mod support;
pub mod support_balance;
mod support_ends;
pub mod support_loads;
mod support_ties;
pub mod threads;
mod times;
pub mod tools;
pub mod torques;
pub mod totals;
pub mod totals_aims;
mod totals_choices;
mod totals_figures;
mod totals_money;
mod totals_raised;
mod totals_scales;
mod totals_state;
mod totals_sums;
mod totals_swaps;
mod totals_vehicle;
pub mod way_back;

/// Declares a rule once: its name, how grave it is, whether an owner may accept it, and its summary, which is its documentation too. The page is the file of
/// that name; a test holds severity and summary of page and static together.
macro_rules! rule {
    ($id:ident, $name:literal, $severity:ident, $acceptable:literal, $summary:literal) => {
        #[doc = $summary]
        pub static $id: crate::base::finding::Rule = crate::base::finding::Rule {
            name: $name,
            severity: crate::base::finding::Severity::$severity,
            summary: $summary,
            page: include_str!(concat!("../../../specs/rules/", $name, ".md")),
            acceptable: $acceptable,
        };
    };
}
pub(crate) use rule;

/// Rules that belong together.
#[derive(Debug)]
pub struct Family {
    /// The word for it in `why`.
    pub name: &'static str,
    /// What its rules have in common, in one line.
    pub about: &'static str,
    /// In the order of their file.
    pub rules: &'static [&'static Rule],
}

/// Every family, in the order in which they are told.
static FAMILIES: &[&Family] = &[
    &reading::FAMILY,
    &names::FAMILY,
    &order::FAMILY,
    &support::FAMILY,
    &springs::FAMILY,
    &closing::FAMILY,
    &fastening::FAMILY,
    &tools::FAMILY,
    &hazards::FAMILY,
    &totals::FAMILY,
    &times::FAMILY,
    &logs::FAMILY,
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
pub fn judge(
    plan: &Plan,
    slips: Vec<PlanError>,
    walk: Option<&Walk>,
    analysis: &Analysis,
) -> (Vec<Finding>, Vec<(Finding, Accept)>) {
    let mut findings: Vec<Finding> = slips.into_iter().filter_map(word).collect();
    order::check(plan, &mut findings);
    ready::earth_first(plan, &mut findings);
    ready::chocks(plan, &mut findings);
    filling::check(plan, &mut findings);
    one_figure::check(plan, &mut findings);
    fastening::check(plan, walk.is_some(), &mut findings);
    tools::check(plan, walk.is_some(), &mut findings);
    times::check(plan, &mut findings);
    totals_money::written(plan, &mut findings);
    totals_choices::check(plan, &mut findings);
    days::check(plan, walk, analysis, &mut findings);
    logs::check(plan, walk, &mut findings);
    hazards::check(plan, walk, &mut findings);
    let index = mends::Index::new(plan, analysis.work(plan));
    let breaks = walk.into_iter().flat_map(|walk| &walk.breaks);
    findings.extend(breaks.filter_map(|of| {
        let tell = phrases::Wording {
            plan,
            of,
            index: &index,
        };
        broken(tell).map(|finding| licensed::left_to_them(plan, of, tell.when_undone(finding)))
    }));
    if let Some(walk) = walk {
        totals::check(plan, walk, analysis, &mut findings);
        totals_money::check(plan, walk, analysis, &mut findings);
        springs::check(plan, walk, analysis, &mut findings);
        plausible::check(plan, analysis, &mut findings);
    }
    accepting::settle(plan, findings, walk.is_some())
}

/// The words for a break; none where only a pin or clip is to be new, which comes and goes by itself. One that nobody words does not
/// compile.
fn broken(tell: phrases::Wording<'_>) -> Option<Finding> {
    Some(match tell.of.rule {
        Broken::AlreadyDone => order_acts::already_done(tell),
        Broken::NotOn => order_acts::not_on(tell),
        Broken::StillOn => order_acts::still_on(tell),
        Broken::NotHeld => order_acts::not_held(tell),
        Broken::NotOff => order_acts::not_off(tell),
        Broken::OutOfReach => order_acts::out_of_reach(tell),
        Broken::UnderAJack => order_acts::under_a_jack(tell),
        Broken::StillFull => order_acts::still_full(tell),
        Broken::StillLive => order_acts::still_live(tell),
        Broken::StillJoined => order_acts::still_joined(tell),
        Broken::StillHeldElsewhere => order_acts::still_held_elsewhere(tell),
        Broken::DrawNotUndo => order_acts::draw_not_undo(tell),
        Broken::NotStarted => order_acts::not_started(tell),
        Broken::WrongRig => order_acts::wrong_rig(tell),
        Broken::RigInUse => order_acts::rig_in_use(tell),
        Broken::NoWheelsUnder => order_acts::no_wheels_under(tell),
        Broken::SpringLoose => springs::loose(tell),
        Broken::FreeNotSaid => springs::free_not_said(tell),
        Broken::SpringNotPushedIn => springs::not_pushed_in(tell),
        Broken::NoSecondCatch => springs::no_second_catch(tell),
        Broken::TooFewUnder => support::too_few_under(tell),
        Broken::TiedToLoose => support::tied_to_loose(tell),
        Broken::NotTiedToBody => support::not_tied_to_body(tell),
        Broken::NothingOpen => order_records::nothing_open(tell),
        Broken::TooLate => order_records::too_late(tell),
        Broken::FuelNearLive => ready::fuel_near_live(tell),
        Broken::NotReady => ready::not_ready(tell),
        Broken::StillBeneath => order_acts::still_beneath(tell),
        Broken::WeighedOnStands => ready::weighed_on_stands(tell),
        Broken::NothingToRenewWith => order_records::nothing_to_renew_with(tell),
        Broken::WouldFall => support::would_fall(tell),
        Broken::WouldSwing => support::would_swing(tell),
        Broken::HungByHose => support::hung_by_hose(tell),
        Broken::LeftOnPins => support::left_on_pins(tell),
        Broken::NobodyToHelp => support::nobody_to_help(tell),
        Broken::JointsNotDeclared => support::not_declared(tell),
        Broken::NotSafeToLeave => support::not_safe(tell),
        Broken::NeverRemade => closing::never_remade(tell),
        Broken::NoWayBack => way_back::no_way_back(tell),
        Broken::NeverTightened => closing::never_tightened(tell),
        Broken::WheelsNotDown => closing::wheels_not_down(tell),
        Broken::NeverRefitted => closing::never_refitted(tell),
        Broken::NeverTakenOff => closing::never_taken_off(tell),
        Broken::NeverReplaced => closing::never_replaced(tell),
        Broken::NeverRefilled => closing::never_refilled(tell),
        Broken::NeverBled => closing::never_bled(tell),
        Broken::LeftOpen => closing::left_open(tell),
        Broken::CapLeft => closing::cap_left(tell),
        Broken::StillHeld => closing::still_held(tell),
        Broken::LeftUp => closing::left_up(tell),
        Broken::NeverVerified => closing::never_verified(tell),
        Broken::TorqueToCome => closing::torque_to_come(tell),
        Broken::NeverJudged => closing::never_judged(tell),
        Broken::NeverWeighed => closing::never_weighed(tell),
        Broken::BigTorqueOnStands => fastening::big_torque(tell),
        Broken::WheelTurns => fastening::wheel_turns(tell),
        Broken::SparksByFuel => body_work::sparks_by_fuel(tell),
        Broken::DustIntoLine => body_work::dust_into_line(tell),
        Broken::SingleUseAgain => return fastening::single_use(tell),
    })
}

/// The words for a slip. Both families name every kind of slip, so that a new one does not compile until one of them words it.
fn word(slip: PlanError) -> Option<Finding> {
    reading::word(slip).or_else(names::word).ok()
}

/// A slip as the finding that it is.
#[must_use]
pub fn told(slip: PlanError) -> Option<Finding> {
    word(slip)
}

/// Words joined as a sentence does: "a, b or c".
pub(crate) fn joined(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}
