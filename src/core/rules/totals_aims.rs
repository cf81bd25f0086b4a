//! Of the family **totals**: what the owner wants and what the class asks, against the account. Knows nothing of single readings.

use super::totals::{
    SPLIT_MISSED, STILL_ESTIMATED, TARGET_ALREADY_MET, TARGET_MISSED, TARGET_UNDER_MINIMUM,
    UNDER_CLASS_MINIMUM, name_of,
};
use super::{amounts, joined};
use crate::analysis::account::{Account, Entry};
use crate::analysis::balance::Balance;
use crate::analysis::vehicle_weighings;
use crate::base::finding::Finding;
use crate::plan::model::{End, Plan, Target, Thing, Weighed};
use crate::reckon::ballast;
use crate::reckon::mass::{MassEstimate, Origin};
use crate::walk::Walk;
use crate::weights::Weights;

/// Estimates are told when what they may be off by is more than this share of what is wanted. Common practice, no source.
const MATTERS: f64 = 0.1;

pub(super) fn check(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let met = already_met(weights, account, findings);
    if !met {
        missed(weights, account, findings);
    }
    minimum(weights, account, walk, findings);
    target_under(weights, account, findings);
    split(weights, account, walk, findings);
    estimates(weights, account, findings);
}

/// A mass that is to be reached, and is reached already.
fn already_met(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) -> bool {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return false };
    let Some((at, Target::Reach(mass))) = about.target.map(|said| (said.at, said.value)) else {
        return false;
    };
    let Some(start) = account.start.as_ref().filter(|start| start.kg <= mass.base()) else {
        return false;
    };
    findings.push(
        Finding::new(
            &TARGET_ALREADY_MET,
            format!(
                "the target is {mass}, and as it was found it weighs {}",
                amounts::with_give(plan, start)
            ),
        )
        .at(at, "met before anything comes off")
        .harm("The mass path has nowhere to go, and a slip in the target would stay unseen.")
        .mend("Write the mass to reach, or what is to be saved: target save 20 kg")
        .about(about.head.name.to_string()),
    );
    true
}

fn missed(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let Some(aim) = account.aim(plan) else {
        nothing_left(plan, findings);
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
                "{} {} of the {} wanted",
                by_what(plan, account),
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
            // Half a kilogram is not nothing.
            amounts::kg(
                plan,
                short.max(0.1),
                if short < 1.0 { 0.05 } else { aim.saved.u() }
            )
        ))
        .about(about.head.name.to_string()),
    );
}

/// All that would have saved something is left out.
fn nothing_left(plan: &Plan, findings: &mut Vec<Finding>) {
    let about = plan.about.as_ref();
    let target = about.and_then(|about| Some((about, about.target?)));
    let Some((about, target)) = target.filter(|_| !plan.left_out.swaps.is_empty()) else {
        return;
    };
    if let Target::Save(mass) = target.value
        && plan.swaps_done().next().is_none()
    {
        findings.push(
            Finding::new(
                &TARGET_MISSED,
                format!("nothing is left that saves any of the {mass} wanted"),
            )
            .at(target.at, "wanted")
            .harm("It shows on the last weighing, when everything is back together.")
            .mend("Leave fewer swaps out")
            .about(about.head.name.to_string()),
        );
    }
}

/// What the saving is known by.
fn by_what(plan: &Plan, account: &Account) -> String {
    match (account.last().and_then(|last| last.weigh_in), &account.ending) {
        (Some(sheet), _) => format!(
            "by `{}` and what is done after it, the job saves",
            plan.weigh_ins[sheet].head.name
        ),
        (None, Some(ending)) if !ending.by_swaps => "what comes off and goes on saves".to_owned(),
        (None, _) => "the swaps save".to_owned(),
    }
}

/// A mass to be reached that the class does not allow.
fn target_under(weights: &Weights<'_>, account: &Account, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let (Some(minimum), Some(target)) = (about.class_minimum, about.target) else {
        return;
    };
    let Target::Reach(mass) = target.value else { return };
    let there = mass.base() + account.class_has_more(plan);
    if there >= minimum.value.base() {
        return;
    }
    findings.push(
        Finding::new(
            &TARGET_UNDER_MINIMUM,
            format!(
                "the target of {mass} is {} under the class minimum of {}",
                amounts::kg(plan, minimum.value.base() - there, 0.0),
                minimum.value
            ),
        )
        .at(target.at, "wanted")
        .at(minimum.at, "and forbidden")
        .harm("A scrutineer sends it home, and the job was for nothing.")
        .mend("Aim at the minimum, or say what the class has in the car when it weighs: class minimum ... with driver 75 kg, fuel 5 l")
        .about(about.head.name.to_string()),
    );
}

fn minimum(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let (Some(minimum), Some(end), Some((missing, sure))) = (
        about.class_minimum,
        account.as_the_class_weighs(plan),
        account.ballast(plan),
    ) else {
        return;
    };
    let place = ballast_place(weights, account, walk, sure).map_or_else(String::new, |behind| {
        let side = if behind < 0.0 { "ahead of" } else { "behind" };
        let split = match about.axle_split {
            Some(said) => format!(
                "the split that is asked for, {} {}",
                said.value.share,
                said.value.end.word()
            ),
            None => "the same split between the axles as before".to_owned(),
        };
        format!(
            ", its middle {} {side} the front axle, for {split}",
            amounts::length(plan, behind.abs())
        )
    });
    findings.push(
        Finding::new(
            &UNDER_CLASS_MINIMUM,
            format!(
                "at the end it weighs {}{}, and the class asks for {}",
                amounts::with_give(plan, &end),
                match (about.class_with.driver, about.class_with.fuel) {
                    (None, None) => "",
                    (Some(_), None) => " with its driver",
                    (None, Some(_)) => " with the class’s fuel",
                    (Some(_), Some(_)) => " with its driver and the class’s fuel",
                },
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

/// The vehicle at the end: its mass in kg, how far its centre lies behind the front axle, what covers about 95 % of that, and the wheelbase, in mm.
struct AtEnd {
    kg: f64,
    behind: f64,
    covers: f64,
    wheelbase: f64,
}

fn at_end(weights: &Weights<'_>, account: &Account, walk: &Walk) -> Option<AtEnd> {
    let plan = weights.plan();
    let weighings = vehicle_weighings::all(plan);
    // With an unknown mass in it the centre is anybody's guess.
    let kg = account.end()?.kg;
    let end = Balance::after(weights, walk, &weighings, None)?;
    let (centre, u) = end.centre()?;
    Some(AtEnd {
        kg,
        behind: centre.behind,
        covers: 2.0 * u.behind,
        wheelbase: plan.vehicles[plan.vehicle()?].wheelbase?.value.base(),
    })
}

/// Where ballast has to sit so that the front axle has at the end the share that is wanted, else that which it had at the first weighing, in
/// mm behind it.
#[must_use]
pub fn ballast_place(weights: &Weights<'_>, account: &Account, walk: &Walk, kg: f64) -> Option<f64> {
    let plan = weights.plan();
    let wanted = plan.about.as_ref().and_then(|about| about.axle_split);
    let before = || {
        let weighings = vehicle_weighings::all(plan);
        let mut level = weighings.iter().filter(|weighing| weighing.raised.is_none());
        Some(level.find_map(|level| level.axles)?.front_share())
    };
    let share = wanted.map_or_else(before, |said| Some(said.value.front()))?;
    let end = at_end(weights, account, walk)?;
    let found = ballast::place(end.kg, end.behind, end.wheelbase, kg, share).ok()?;
    Some(found.behind)
}

/// The axles at the end against the split that is asked for, which is taken as met within half of its last digit.
fn split(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(about) = &plan.about else { return };
    let (Some(wanted), Some(end)) = (about.axle_split, at_end(weights, account, walk)) else {
        return;
    };
    let of = wanted.value.end;
    let share = |front: f64| match of {
        End::Front => front,
        End::Rear => 1.0 - front,
    };
    let have = share(1.0 - end.behind / end.wheelbase);
    let give = end.covers / end.wheelbase;
    let want = wanted.value.share.base() / 100.0;
    let near = wanted.value.share.last_place() / 200.0;
    if (have - want).abs() <= give + near {
        return;
    }
    let word = of.word();
    let mend = match more_at(&end, wanted.value.front()) {
        // What has to be carried for the class sits where it helps; that is told with it.
        Some(_) if account.ballast(plan).is_some() => "Put the ballast that the class asks for where it helps, or write the split that the plan can reach".to_owned(),
        Some((kg, axle)) => format!(
            "{} more over the {axle} axle would do it, or as much moved further; or write the split that the plan can reach",
            amounts::kg(plan, kg, 1.0)
        ),
        None => "Write the split that the plan can reach".to_owned(),
    };
    findings.push(
        Finding::new(
            &SPLIT_MISSED,
            format!(
                "at the end the {word} axle bears {:.1} ± {:.1} % of it, and {} are wanted",
                have * 100.0,
                (give * 100.0).max(0.1),
                wanted.value.share
            ),
        )
        .at(wanted.at, "wanted here")
        .harm("It will not turn in as planned, and springs and bars are chosen for another car.")
        .mend(mend)
        .about(about.head.name.to_string()),
    );
}

/// How much over which axle would bring the split about.
fn more_at(end: &AtEnd, front: f64) -> Option<(f64, &'static str)> {
    let (behind, axle) = if 1.0 - end.behind / end.wheelbase < front {
        (0.0, "front")
    } else {
        (end.wheelbase, "rear")
    };
    let found = ballast::mass_at(end.kg, end.behind, end.wheelbase, behind, front).ok()?;
    Some((found.kg, axle))
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
            .estimate
            .as_ref()
            .is_some_and(|estimate| estimate.origin == Origin::Estimated);
        guess && !weights.will_be_weighed(entry.what) && !is_weighed_in_work(weights, entry.what)
    };
    let entries: Vec<&Entry> = account
        .swaps
        .iter()
        .flat_map(|swap| swap.off.iter().chain(&swap.on))
        .filter(guessed)
        .collect();
    let all = MassEstimate::sum(entries.iter().filter_map(|entry| entry.estimate.as_ref()));
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
            // A scale reads by this alone.
            _ => false,
        })
    })
}
