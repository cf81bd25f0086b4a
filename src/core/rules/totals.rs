//! The family **totals**: readings and their sums, parts against what they make up, the vehicle against its parts, target and class
//! minimum. All is judged with uncertainty. Knows not where findings go.

use super::{Family, act_figures, amounts, joined, plausible, rule, support_balance, support_loads};
use super::{
    totals_aims, totals_choices, totals_figures, totals_money, totals_raised, totals_scales, totals_state,
    totals_sums, totals_swaps, totals_vehicle,
};
use crate::analysis::Analysis;
use crate::analysis::account::Account;
use crate::base::finding::{Finding, Severity};
use crate::plan::model::{Id, Part, Plan, Said, Thing, Weighed};
use crate::reckon::mass::{MassEstimate, Total};
use crate::walk::Walk;
use crate::weights::Weights;

rule!(
    DOES_NOT_ADD_UP,
    "does-not-add-up",
    Fault,
    true,
    "Readings and the sum given with them differ by more than their uncertainty."
);
rule!(
    PARTS_AGAINST_ASSEMBLY,
    "parts-against-assembly",
    Doubt,
    true,
    "An assembly weighs something else than its parts together, beyond what both are known to."
);
rule!(
    SUMMED_TWICE,
    "summed-twice",
    Fault,
    true,
    "One thing is counted twice in a sum: by itself, or in an assembly."
);
rule!(
    BEYOND_SCALE,
    "beyond-scale",
    Fault,
    true,
    "A reading is more than the scale can weigh."
);
rule!(
    FINER_THAN_SCALE,
    "finer-than-scale",
    Doubt,
    true,
    "A reading has steps that the scale does not show."
);
rule!(
    WEIGHED_OTHERWISE,
    "weighed-otherwise",
    Doubt,
    true,
    "Two weighings of one thing differ by more than their uncertainty."
);
rule!(
    FAR_FROM_BELIEF,
    "far-from-belief",
    Doubt,
    true,
    "A reading lies so far from what was estimated or quoted that one of them is a slip."
);
rule!(
    CORNERS_AGAINST_PARTS,
    "corners-against-parts",
    Doubt,
    true,
    "The vehicle weighs something else than before, less what came off and more what went on, or bears it elsewhere."
);
rule!(
    WEIGHING_NOT_PLACED,
    "weighing-not-placed",
    Doubt,
    true,
    "A weighing of the whole vehicle belongs to no moment of the work, or to another by its date than by its step."
);
rule!(
    UNLIKE_STATES,
    "unlike-states",
    Doubt,
    true,
    "Two weighings of the vehicle are to be compared, and fuel, driver or tyre pressures are not alike."
);
rule!(
    CENTRE_NOT_KNOWN,
    "centre-not-known",
    Advice,
    true,
    "Wheels or axles are weighed, and the plan lacks a measure without which the centre cannot be found."
);
rule!(
    RAISED_WEIGHING,
    "raised-weighing",
    Fault,
    true,
    "A weighing with an end raised puts the centre where it cannot be, or elsewhere than the plan says."
);
rule!(
    TARGET_MISSED,
    "target-missed",
    Doubt,
    true,
    "By what is known, the target is more likely missed than met."
);
rule!(
    TARGET_ALREADY_MET,
    "target-already-met",
    Advice,
    true,
    "The target is met before anything comes off."
);
rule!(
    UNDER_CLASS_MINIMUM,
    "under-class-minimum",
    Doubt,
    true,
    "At the end the vehicle weighs less than its class allows."
);
rule!(
    TARGET_UNDER_MINIMUM,
    "target-under-minimum",
    Fault,
    true,
    "The mass that is to be reached is less than the class allows."
);
rule!(
    SPLIT_MISSED,
    "split-missed",
    Advice,
    true,
    "By what is known, the mass at the end is not split between the axles as asked for."
);
rule!(
    STILL_ESTIMATED,
    "still-estimated",
    Advice,
    true,
    "A good part of the saving rests on estimates that nobody is going to weigh."
);
rule!(
    IMPOSSIBLE_FIGURE,
    "impossible-figure",
    Fault,
    false,
    "A figure cannot be: a mass of nothing, a scale whose step is over its capacity, supports in one line."
);

/// On masses, their sums and what they add up to.
pub static FAMILY: Family = Family {
    name: "totals",
    about: "masses, their sums and what they add up to",
    rules: &[
        &DOES_NOT_ADD_UP,
        &PARTS_AGAINST_ASSEMBLY,
        &SUMMED_TWICE,
        &BEYOND_SCALE,
        &FINER_THAN_SCALE,
        &WEIGHED_OTHERWISE,
        &FAR_FROM_BELIEF,
        &CORNERS_AGAINST_PARTS,
        &WEIGHING_NOT_PLACED,
        &totals_swaps::SWAPS_AGAINST_WALK,
        &UNLIKE_STATES,
        &totals_state::FUEL_OTHERWISE,
        &totals_state::CORNER_MISREAD,
        &totals_state::WEIGHED_FULL,
        &CENTRE_NOT_KNOWN,
        &RAISED_WEIGHING,
        &TARGET_MISSED,
        &TARGET_ALREADY_MET,
        &UNDER_CLASS_MINIMUM,
        &TARGET_UNDER_MINIMUM,
        &SPLIT_MISSED,
        &STILL_ESTIMATED,
        &act_figures::MORE_THAN_IT_HOLDS,
        &IMPOSSIBLE_FIGURE,
        &totals_money::OVER_BUDGET,
        &totals_money::NO_RATE,
        &totals_money::PRICE_UNLIKE_OTHERS,
        &totals_choices::SWAPS_AT_ODDS,
        &totals_choices::OPTIONAL_AND_BEGUN,
        &plausible::IMPLAUSIBLE,
        &plausible::TAKES_ITSELF_BACK,
    ],
};

/// Asks all rules of this family. What cannot be is taken as not said, so that it makes nonsense of no sum; of what else is found then, only
/// the faults are told: that something is not known follows from the figure.
pub(super) fn check(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    act_figures::heights(plan, findings);
    act_figures::volumes(plan, findings);
    let impossible = totals_figures::check(plan);
    if impossible.is_empty() {
        sums(plan, walk, analysis, findings);
        return;
    }
    let mut rest = Vec::new();
    let possible = totals_figures::without(plan, &impossible);
    sums(&possible, walk, &Analysis::default(), &mut rest);
    findings.extend(impossible);
    findings.extend(
        rest.into_iter()
            .filter(|finding| finding.severity == Severity::Fault),
    );
}

fn sums(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let weights = analysis.weights(plan);
    let account = analysis.account(plan, walk);
    totals_sums::check(&weights, findings);
    totals_scales::check(&weights, findings);
    assemblies(&weights, findings);
    vehicle(&weights, account, walk, findings);
    twice_in_swaps(plan, findings);
    totals_vehicle::check(&weights, account, walk, findings);
    totals_raised::check(plan, analysis.weighings(plan), findings);
    totals_state::check(&weights, walk, findings);
    totals_swaps::check(&weights, account, walk, findings);
    totals_aims::check(&weights, account, walk, findings);
    // What bears what is asked of the same masses.
    support_loads::check(&weights, walk, findings);
    support_balance::check(plan, walk, analysis, findings);
}

/// What a finding calls something that lies on a scale: the plan's own name of it.
pub(super) fn name_of(plan: &Plan, what: Weighed) -> String {
    let name = match what {
        Weighed::Thing(Thing::Part(id)) => &plan.parts[id].head.name,
        Weighed::Thing(Thing::Assembly(id)) => &plan.assemblies[id].head.name,
        Weighed::Hardware(id) => &plan.joints[id].head.name,
        Weighed::Vehicle(id) => &plan.vehicles[id].head.name,
    };
    format!("`{name}`")
}

pub(super) fn names_of(plan: &Plan, what: &[Said<Weighed>]) -> String {
    let names: Vec<String> = what.iter().map(|said| name_of(plan, said.value)).collect();
    joined(&names, "and")
}

/// An assembly's own figure, by a reading or stated, against what its parts are known to weigh apart from it.
fn assemblies(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    for (id, assembly) in plan.assemblies.iter() {
        let what = Weighed::Thing(Thing::Assembly(id));
        let read = weights.read_as_one(what);
        let stated = assembly
            .mass
            .as_ref()
            .and_then(|said| crate::weights::stated(&said.value));
        let Some(own) = read.clone().or(stated) else {
            continue;
        };
        let each: Vec<Option<MassEstimate>> =
            assembly.parts.iter().map(|&part| apart(weights, part)).collect();
        let sum = Total::of(each.iter().map(Option::as_ref));
        let difference = own.minus(&sum.known);
        // With a part unknown the assembly may weigh more than the rest, but never less.
        let at_odds = difference.kg.abs() > difference.expanded() + 1e-9;
        if !at_odds || (sum.unknown > 0 && difference.kg > 0.0) || assembly.parts.is_empty() {
            continue;
        }
        let at = assembly.mass.as_ref().map_or(assembly.head.at, |said| said.at);
        let origin = if read.is_some() {
            "was weighed at"
        } else {
            "is said to weigh"
        };
        let name = &assembly.head.name;
        findings.push(
            Finding::new(
                &PARTS_AGAINST_ASSEMBLY,
                format!(
                    "`{name}` {origin} {}, and its parts come to {}",
                    amounts::with_give(plan, &own),
                    amounts::with_give(plan, &sum.known)
                ),
            )
            .at(at, "this figure and those of its parts cannot both be right")
            .harm("Whichever of them is wrong, the rig under it and the saving are reckoned from it.")
            .mend("Weigh it, or put right the part that is furthest from what it can be")
            .about(name.to_string()),
        );
    }
}

/// The vehicle's first known mass against the parts that were on it then: they weigh no more than the whole.
fn vehicle(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let (Some(first), Some(id)) = (account.first(), plan.vehicle()) else {
        return;
    };
    let Some(then) = crate::analysis::account::state_at(plan, walk, first.when) else {
        return;
    };
    let on: Vec<Id<Part>> = plan.parts.ids().filter(|&part| !then.is_off(part)).collect();
    let sum = weights.sum(&on).known;
    let over = sum.minus(&first.estimate);
    if over.kg <= over.expanded() + 1e-9 {
        return;
    }
    let head = &plan.vehicles[id].head;
    let weighed = on.iter().copied().filter(|&part| weights.part(part).is_some());
    let heaviest = weights
        .heaviest_first(weighed)
        .first()
        .map(|&part| &plan.parts[part].head);
    let at = plan.vehicles[id].mass.as_ref().map_or(head.at, |said| said.at);
    let mut finding = Finding::new(
        &PARTS_AGAINST_ASSEMBLY,
        format!(
            "`{}` weighs {}, and parts of it come to {}",
            head.name,
            amounts::with_give(plan, &first.estimate),
            amounts::with_give(plan, &sum)
        ),
    )
    .at(at, "the whole weighs less than its parts")
    .harm("Whichever of them is wrong, the rig under it and the saving are reckoned from it.")
    .mend("Check the decimal point or a wrong unit, beginning with the heaviest part")
    .about(head.name.to_string());
    if let Some(part) = heaviest {
        finding = finding
            .at(part.at, "the heaviest of them")
            .about(part.name.to_string());
    }
    findings.push(finding);
}

/// A part's mass, but for readings of several things.
fn apart(weights: &Weights<'_>, part: Id<Part>) -> Option<MassEstimate> {
    let what = Weighed::Thing(Thing::Part(part));
    weights.read_as_one(what).or_else(|| {
        let figure = weights.plan().parts[part].mass.as_ref()?;
        crate::weights::stated(&figure.value)
    })
}

/// What one entry of a list stands for, so that two entries can be seen to overlap.
pub(super) fn covers(plan: &Plan, what: Weighed) -> Vec<Weighed> {
    match what {
        Weighed::Thing(thing) => plan
            .parts_of(thing)
            .into_iter()
            .map(|part| Weighed::Thing(Thing::Part(part)))
            .collect(),
        other => vec![other],
    }
}

/// In the lists of all swaps, a thing that is there by itself and again.
fn twice_in_swaps(plan: &Plan, findings: &mut Vec<Finding>) {
    for off in [true, false] {
        let mut seen: Vec<(Weighed, Said<Weighed>)> = Vec::new();
        for (_, swap) in plan.swaps_done() {
            let list = if off { &swap.comes_off } else { &swap.goes_on };
            for said in list {
                let parts = covers(plan, said.value);
                let before = seen.iter().find(|(part, _)| parts.contains(part));
                if let Some((_, first)) = before {
                    let side = if off { "come off" } else { "go on" };
                    findings.push(twice(
                        plan,
                        *said,
                        *first,
                        &format!("is said to {side} twice"),
                        &swap.head.name,
                    ));
                } else {
                    seen.extend(parts.into_iter().map(|part| (part, *said)));
                }
            }
        }
    }
}

/// One thing, counted in two lines.
pub(super) fn twice(
    plan: &Plan,
    second: Said<Weighed>,
    first: Said<Weighed>,
    what: &str,
    list: &str,
) -> Finding {
    let (name, other) = (name_of(plan, second.value), name_of(plan, first.value));
    let what = if second.value == first.value {
        format!("{name} {what}")
    } else {
        format!("{name} {what}: it and {other} have parts in common")
    };
    Finding::new(&SUMMED_TWICE, what)
        .at(second.at, "counted here")
        .at(first.at, "and here already")
        .harm("The saving looks greater than the car will feel. To weigh a thing again is good practice; to add it twice is not.")
        .mend("Take it out of one of the two lists")
        .about(name.trim_matches('`').to_owned())
        .about(list.to_owned())
}
