//! Of the family **totals**: what the swaps list against what comes off and goes on for good as the job is walked. Knows nothing of
//! readings.

use std::collections::BTreeSet;

use super::{amounts, joined, rule};
use crate::analysis::account::{Account, Moment};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Id, Part, Plan, Said, Swap, Weighed};
use crate::walk::Walk;
use crate::weights::Weights;

rule!(
    SWAPS_AGAINST_WALK,
    "swaps-against-walk",
    Doubt,
    true,
    "What the swaps list is not what comes off and goes on for good, by more than the saving is known to."
);

/// Names that a finding tells on each side.
const NAMED: usize = 3;

/// Parts that the lists of one side lack, and parts that stand there and do not move.
#[derive(Default)]
struct Side {
    lacks: Vec<Id<Part>>,
    idle: Vec<Id<Part>>,
}

impl Side {
    fn of(moved: &[Id<Part>], listed: &BTreeSet<Id<Part>>) -> Side {
        let moved_set: BTreeSet<Id<Part>> = moved.iter().copied().collect();
        Side {
            lacks: moved
                .iter()
                .copied()
                .filter(|part| !listed.contains(part))
                .collect(),
            idle: listed
                .iter()
                .copied()
                .filter(|part| !moved_set.contains(part))
                .collect(),
        }
    }
}

pub(super) fn check(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let (Some(&last), false) = (plan.order.last(), plan.swaps_done().next().is_none()) else {
        return;
    };
    let Some(end) = walk.after(plan, last) else { return };
    let moment = Moment::between(weights, &walk.before(plan), &end);
    // What a plan declares and has no step for yet is a decision, not a slip.
    if moment.off_for_good.is_empty() && moment.on_new.is_empty() {
        return;
    }
    let listed = |of: &dyn Fn(&Swap) -> &[Said<Weighed>]| -> BTreeSet<Id<Part>> {
        let all = plan.swaps_done().map(|(_, swap)| swap).flat_map(of);
        all.flat_map(|said| parts_of(plan, said.value)).collect()
    };
    let off = Side::of(&moment.off_for_good, &listed(&|swap| &swap.comes_off));
    let on = Side::of(&moment.on_new, &listed(&|swap| &swap.goes_on));
    // What is away for a while is missed by other rules, and so is what never came off.
    let away: BTreeSet<Id<Part>> = moment.off_for_now.iter().copied().collect();
    let idle_off: Vec<Id<Part>> = off
        .idle
        .iter()
        .copied()
        .filter(|part| !away.contains(part))
        .collect();

    let sum = |parts: &[Id<Part>]| weights.sum(parts);
    let (more_off, more_on) = (sum(&off.lacks), sum(&on.lacks));
    let (less_off, less_on) = (sum(&idle_off), sum(&on.idle));
    let unknown = more_off.unknown + more_on.unknown;
    let difference = more_off.known.kg - more_on.known.kg - less_off.known.kg + less_on.known.kg;
    let saved = account.saved();
    let covers = saved
        .as_ref()
        .map_or(0.0, crate::reckon::mass::MassEstimate::expanded);
    let beyond = difference.abs() > covers + 1e-9;
    if !beyond && unknown == 0 {
        return;
    }
    let what = match &saved {
        Some(saved) if unknown == 0 => format!(
            "the swaps save {}, and by the steps it is {}",
            amounts::with_give(plan, saved),
            amounts::kg(plan, saved.kg + difference, saved.u())
        ),
        _ => "the swaps do not list all that comes off and goes on for good".to_owned(),
    };
    let mut finding = Finding::new(&SWAPS_AGAINST_WALK, what).harm(
        "The saving on the page is not what the scale will show: the target is judged by what the steps do.",
    );
    for (parts, what) in [
        (&off.lacks, "comes off for good, and no swap says so"),
        (&on.lacks, "goes on, and no swap says so"),
    ] {
        for &part in parts.iter().take(NAMED) {
            let head = &plan.parts[part].head;
            finding = finding.at(head.at, format!("`{}` {what}", head.name));
        }
    }
    for (parts, is_on, what) in [
        (&idle_off, false, "no step takes it off for good"),
        (&on.idle, true, "no step leaves it on at the end"),
    ] {
        for &part in parts.iter().take(NAMED) {
            if let Some(at) = entry(plan, part, is_on) {
                finding = finding.at(at, what);
            }
        }
    }
    finding = mend(plan, &off.lacks, &on.lacks, finding);
    let all = off.lacks.iter().chain(&on.lacks).chain(&idle_off).chain(&on.idle);
    for &part in all.take(2 * NAMED) {
        finding = finding.about(plan.parts[part].head.name.to_string());
    }
    findings.push(finding);
}

fn lists(swap: &Swap, is_on: bool) -> &[Said<Weighed>] {
    if is_on { &swap.goes_on } else { &swap.comes_off }
}

/// Where a part, or an assembly with it, stands in a list.
fn entry(plan: &Plan, part: Id<Part>, is_on: bool) -> Option<Span> {
    let mut all = plan.swaps_done().flat_map(|(_, swap)| lists(swap, is_on));
    all.find(|said| parts_of(plan, said.value).contains(&part))
        .map(|said| said.at)
}

fn parts_of(plan: &Plan, what: Weighed) -> Vec<Id<Part>> {
    match what {
        Weighed::Thing(thing) => plan.parts_of(thing),
        Weighed::Hardware(_) | Weighed::Vehicle(_) => Vec::new(),
    }
}

/// What is missing, written into the swap that it belongs to: that of the part whose place it takes or that takes its place, else the only one.
fn mend(plan: &Plan, off: &[Id<Part>], on: &[Id<Part>], mut finding: Finding) -> Finding {
    let mut words = Vec::new();
    for (&part, is_on) in off
        .iter()
        .map(|part| (part, false))
        .chain(on.iter().map(|part| (part, true)))
    {
        let name = &plan.parts[part].head.name;
        let said = if is_on { "goes on" } else { "comes off" };
        let Some(swap) = home(plan, part, is_on) else {
            words.push(format!("a swap with {said} {name}"));
            continue;
        };
        words.push(format!("in swap `{}`: {said} {name}", swap.head.name));
        let edit = match (lists(swap, is_on).last(), lists(swap, !is_on).last()) {
            (Some(last), _) => Some((last.at, format!(", {name}"))),
            (None, Some(last)) => Some((last.at, format!("; {said} {name}"))),
            (None, None) => None,
        };
        if let Some((at, text)) = edit {
            finding = finding.edit(Span::new(at.source, at.end, at.end), text);
        }
    }
    let words = match words.as_slice() {
        [] => "Take out of the swaps what does not move, or add the step that moves it".to_owned(),
        _ => format!("Write {}", joined(&words, "and")),
    };
    finding.mend(words)
}

fn home(plan: &Plan, part: Id<Part>, is_on: bool) -> Option<&Swap> {
    let other: Option<Id<Part>> = if is_on {
        plan.parts[part].in_place_of.map(|place| place.value.part)
    } else {
        let mut all = plan.parts.iter();
        all.find(|(_, new)| new.in_place_of.is_some_and(|place| place.value.part == part))
            .map(|(id, _)| id)
    };
    let with_other = other.and_then(|other| {
        let mut swaps = plan.swaps_done().map(|(_, swap)| swap);
        swaps.find(|swap| {
            let mut list = lists(swap, !is_on).iter();
            list.any(|said| parts_of(plan, said.value).contains(&other))
        })
    });
    let mut swaps = plan.swaps_done().map(|(_, swap)| swap);
    let only = swaps.next().filter(|_| swaps.next().is_none());
    with_other.or(only)
}
