//! Of the family **totals**: what the owner wants and what the class asks, against the account. Knows nothing of single readings.

use super::account::{self, Account, Entry};
use super::balance::Balance;
use super::totals::{STILL_ESTIMATED, TARGET_ALREADY_MET, TARGET_MISSED, UNDER_CLASS_MINIMUM, name_of};
use super::vehicle_weighings;
use super::weights::Weights;
use super::{amounts, joined};
use crate::base::finding::Finding;
use crate::plan::model::{Target, Thing, Weighed};
use crate::reckon::ballast;
use crate::reckon::mass::{Heft, Origin};
use crate::walk::Walk;

/// Estimates are told when what they may be off by is more than this share of what is wanted. Common practice, no source.
const MATTERS: f64 = 0.1;

pub(super) fn check(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let met = already_met(weights, account, findings);
    if !met {
        missed(weights, account, findings);
    }
    minimum(weights, account, walk, findings);
    estimates(weights, account, findings);
}

/// A mass that is to be reached, and is reached already.
fn already_met(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) -> bool {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return false };
    let Some((at, Target::Reach(mass))) = about.target.map(|said| (said.at, said.value)) else {
        return false;
    };
    let Some(first) = account
        .first
        .as_ref()
        .filter(|first| first.heft.kg <= mass.base())
    else {
        return false;
    };
    findings.push(
        Finding::new(
            &TARGET_ALREADY_MET,
            format!(
                "the target is {mass}, and the first weighing says {}",
                amounts::with_give(plan, &first.heft)
            ),
        )
        .at(at, "met before anything comes off")
        .harm("The mass path has nowhere to go, and a slip in the target would stay unseen.")
        .mend("Write the mass that is wanted, or what is to be saved: target save 20 kg")
        .about(about.head.name.to_string()),
    );
    true
}

fn missed(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let (Some(about), Some(aim)) = (&plan.about, account.aim(plan)) else {
        return;
    };
    let Some(target) = about.target.filter(|_| aim.chance < 0.5) else {
        return;
    };
    let short = aim.wanted - aim.saved.kg;
    findings.push(
        Finding::new(
            &TARGET_MISSED,
            format!(
                "the swaps save {} of the {} wanted",
                amounts::with_give(plan, &aim.saved),
                amounts::kg(plan, aim.wanted, aim.saved.u())
            ),
        )
        .at(
            target.at,
            format!("the chance that this is met is {}", amounts::chance(aim.chance)),
        )
        .harm("It shows on the last weighing, when everything is back together.")
        .mend(format!(
            "Find {} more, or write the target that the plan can reach",
            amounts::kg(plan, short.max(0.0), aim.saved.u())
        ))
        .about(about.head.name.to_string()),
    );
}

fn minimum(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let (Some(minimum), Some(end), Some((missing, sure))) =
        (about.class_minimum, account.end(), account.ballast(plan))
    else {
        return;
    };
    let place = ballast_place(weights, walk, sure).map_or_else(String::new, |behind| {
        let side = if behind < 0.0 { "ahead of" } else { "behind" };
        format!(
            ", its middle {} {side} the front axle, for the same split between the axles as before",
            amounts::mm(behind.abs())
        )
    });
    findings.push(
        Finding::new(
            &UNDER_CLASS_MINIMUM,
            format!(
                "at the end it weighs {}, and the class asks for {}",
                amounts::with_give(plan, &end),
                minimum.value
            ),
        )
        .at(
            minimum.at,
            format!("{} are missing", amounts::kg(plan, missing, end.u())),
        )
        .harm("A scrutineer sends it home, and the job was for nothing.")
        .mend(format!(
            "Carry {} of ballast to be sure{place}",
            amounts::kg(plan, sure, end.u())
        ))
        .about(about.head.name.to_string()),
    );
}

/// Where ballast has to sit so that the front axle has at the end the share that it had at the first weighing, in mm behind it.
#[must_use]
pub fn ballast_place(weights: &Weights<'_>, walk: &Walk, kg: f64) -> Option<f64> {
    let plan = weights.plan();
    let weighings = vehicle_weighings::all(plan);
    let level = weighings.iter().find(|weighing| weighing.raised.is_none())?;
    let share = level.axles?.front_share();
    let (moment, _) = account::after(weights, walk, None)?;
    let end = Balance::first(weights, &weighings)?.at(&moment);
    let (centre, _) = end.centre()?;
    let wheelbase = plan.vehicles[plan.vehicle()?].wheelbase?.value.base();
    let found = ballast::place(end.mass().0, centre.behind, wheelbase, kg, share).ok()?;
    Some(found.behind)
}

fn estimates(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let Some(target) = about.target else { return };
    let Some(saved) = account.saved() else { return };
    let wanted = match target.value {
        Target::Save(mass) => mass.base(),
        Target::Reach(_) => saved.kg,
    };
    let guessed = |entry: &&Entry| {
        let guess = entry
            .heft
            .as_ref()
            .is_some_and(|heft| heft.origin == Origin::Estimated);
        guess && !weights.will_be_weighed(entry.what) && !is_weighed_in_work(weights, entry.what)
    };
    let entries: Vec<&Entry> = account
        .swaps
        .iter()
        .flat_map(|swap| swap.off.iter().chain(&swap.on))
        .filter(guessed)
        .collect();
    let all = Heft::sum(entries.iter().filter_map(|entry| entry.heft.as_ref()));
    if all.expanded() <= MATTERS * wanted.abs() {
        return;
    }
    let mut finding = Finding::new(
        &STILL_ESTIMATED,
        format!(
            "{} of the saving {} an estimate that nobody is going to weigh",
            amounts::with_give(plan, &all),
            if entries.len() == 1 { "is" } else { "are" }
        ),
    );
    let mut names = Vec::new();
    for entry in &entries {
        let name = name_of(plan, entry.what);
        finding = finding
            .at(entry.at, "estimated")
            .about(name.trim_matches('`').to_owned());
        names.push(name);
    }
    findings.push(
        finding
            .harm("Whether the target is met is then a guess too.")
            .mend(format!(
                "Weigh {} when it is off: weigh it in a step, and a line `reads ... to come` in a weigh-in",
                joined(&names, "and")
            )),
    );
}

/// Whether a step weighs it.
fn is_weighed_in_work(weights: &Weights<'_>, what: Weighed) -> bool {
    use crate::plan::model::{Does, Load};
    let plan = weights.plan();
    let Weighed::Thing(thing) = what else { return false };
    let wanted = plan.parts_of(thing);
    let covers = |load: &Thing| {
        let of = plan.parts_of(*load);
        wanted.iter().all(|part| of.contains(part))
    };
    plan.order.iter().any(|&step| {
        plan.steps[step].acts().any(|act| match &act.does {
            Does::Weigh { things, .. } => things.iter().any(|load| match &load.value {
                Load::Thing(thing) => covers(thing),
                Load::Vehicle(_) => false,
            }),
            _ => false,
        })
    })
}
