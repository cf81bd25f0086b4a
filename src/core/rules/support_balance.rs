//! Of the family **support**: whether what is left on the vehicle stands on its lift, stands or wheels, and what each place bears. Asked after
//! every act that changes the mass on it or what it stands on. Knows nothing of other rigs.

use std::collections::BTreeSet;

use super::support_loads::{MASS_UNKNOWN, leg_pull, rated_legs, whole_rating};
use super::{amounts, joined, rule, support_ends};
use crate::analysis::Analysis;
use crate::analysis::centre_path::{Borne, Standing};
use crate::base::finding::{Finding, Severity};
use crate::plan::model::{Id, Part, Plan, Rig};
use crate::reckon::tipping::Stands;
use crate::walk::Walk;
use crate::walk::loads::{LoadChange, ends};
use crate::walk::state::Stand;

rule!(
    OFF_BALANCE,
    "off-balance",
    Fault,
    true,
    "The centre of what is on the vehicle lies outside of what it stands on, or within doubt of it."
);
rule!(
    ARM_OVERLOADED,
    "arm-overloaded",
    Fault,
    true,
    "One arm or stand bears more than its part of the rating."
);

/// How the vehicle stands after every act, and what each place under it bears.
pub fn check(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let all = analysis.standings(plan, walk).unwrap_or_default();
    balance(plan, all, findings);
    let mut told = places(plan, all, findings);
    support_ends::by_centre(plan, all, &mut told, findings);
    unknown(plan, all, findings);
    // Where the shares could not be reckoned, the whole is still too much for too little.
    let blind = |standing: &Standing| standing.raised && standing.share_cases().is_none();
    if all.is_empty() || all.iter().any(blind) {
        let borne = analysis.borne(plan, walk);
        whole(plan, walk, borne, !all.is_empty(), &told, findings);
    }
}

/// The whole vehicle on rigs that together are rated for less: that needs neither a centre nor places.
fn whole(
    plan: &Plan,
    walk: &Walk,
    all: Option<&[Borne]>,
    centre_known: bool,
    told: &BTreeSet<Id<Rig>>,
    findings: &mut Vec<Finding>,
) {
    let mut told: BTreeSet<Id<Rig>> = told.clone();
    let Some(all) = all else {
        findings.extend(nobody_knows(plan, walk));
        return;
    };
    if !centre_known {
        support_ends::by_mass(plan, all, &mut told, findings);
    }
    for borne in all {
        let rigs: BTreeSet<Id<Rig>> = ends(borne.stand.0, borne.stand.1)
            .into_iter()
            .filter_map(|(_, stand)| match stand {
                Stand::Rig { rig, .. } => Some(rig),
                Stand::Wheels => None,
            })
            .collect();
        let on_wheels = [borne.stand.0, borne.stand.1].contains(&Stand::Wheels);
        if on_wheels || rigs.iter().any(|rig| told.contains(rig)) {
            continue;
        }
        let rated: Option<Vec<f64>> = rigs.iter().map(|&rig| capacity(&plan.rigs[rig])).collect();
        let Some(rated) = rated.map(|rated| rated.iter().sum::<f64>()) else {
            continue;
        };
        let upper = borne.mass.0 + 2.0 * borne.mass.1;
        if upper <= rated + HAIR {
            continue;
        }
        let names: Vec<String> = rigs
            .iter()
            .map(|&rig| format!("`{}`", plan.rigs[rig].head.name))
            .collect();
        let bear = if names.len() == 1 { "bears" } else { "bear" };
        let mut finding = Finding::new(
            &super::support_loads::OVER_RATED,
            format!(
                "{} {bear} all of `{}`, up to {}",
                joined(&names, "and"),
                vehicle_name(plan),
                amounts::kg(plan, upper, borne.mass.1)
            ),
        )
        .at(borne.at, "from here on");
        for &rig in &rigs {
            if let Some(rated) = plan.rigs[rig].rated {
                let words = format!(
                    "rated for {}",
                    amounts::kg(plan, capacity(&plan.rigs[rig]).unwrap_or(0.0), 0.0)
                );
                finding = finding.at(rated.at, words);
            }
            finding = finding.about(plan.rigs[rig].head.name.to_string());
        }
        finding = finding
            .harm("It creeps, bends or lets go, with somebody beneath.")
            .mend("Take a rig that is rated for it")
            .about(vehicle_name(plan));
        if let Some(step) = borne.step {
            finding = finding.about(plan.steps[step].head.name.to_string());
        }
        findings.push(finding);
        told.extend(rigs);
    }
}

/// A vehicle of unknown mass, all of it on rigs of which at least one has a rating: told once.
fn nobody_knows(plan: &Plan, walk: &Walk) -> Option<Finding> {
    let vehicle = &plan.vehicles[plan.vehicle()?];
    let rated = |stand: Stand| match stand {
        Stand::Rig { rig, .. } => plan.rigs[rig].rated.map(|rated| (rig, rated)),
        Stand::Wheels => None,
    };
    let (event, (rig, rated)) = walk.loads.iter().find_map(|event| match event.change {
        LoadChange::Stand { front, rear } if ![front, rear].contains(&Stand::Wheels) => {
            Some((event, rated(front).or_else(|| rated(rear))?))
        }
        _ => None,
    })?;
    let name = &vehicle.head.name;
    let mut finding = Finding::new(
        &MASS_UNKNOWN,
        format!(
            "weight of `{name}` unknown, and `{}` bears it",
            plan.rigs[rig].head.name
        ),
    )
    .at(event.at, "borne from here on")
    .at(rated.at, "so much it may bear")
    .harm("Whether the rig is rated for it cannot be said, nor whether it stands.")
    .mend(format!(
        "Give the {} a mass: mass 900 kg quoted; or weigh its corners",
        if vehicle.is_machine { "machine" } else { "vehicle" }
    ))
    .about(name.to_string())
    .about(plan.rigs[rig].head.name.to_string());
    if let Some(step) = event.step {
        finding = finding.about(plan.steps[step].head.name.to_string());
    }
    Some(finding)
}

/// What a rig bears at most, in kg: its rating, or what its legs lift at their angle before one of them pulls more than it may.
pub(super) fn capacity(rig: &Rig) -> Option<f64> {
    let rated = rig.rated?.value;
    Some(match rated_legs(rig) {
        Some(legs) => rated.mass.base() / leg_pull(legs.value, 1.0),
        None => whole_rating(rig, rated),
    })
}

/// Under this many kg nothing is told, since it is rounding.
pub(super) const HAIR: f64 = 1e-6;

pub(super) fn vehicle_name(plan: &Plan) -> String {
    plan.vehicle()
        .map_or_else(String::new, |id| plan.vehicles[id].head.name.to_string())
}

fn about(finding: Finding, plan: &Plan, standing: &Standing) -> Finding {
    let finding = finding.about(vehicle_name(plan));
    match standing.step {
        Some(step) => finding.about(plan.steps[step].head.name.to_string()),
        None => finding,
    }
}

/// Stretches of acts over which it does not surely stand; each is told where it begins, with the act at which the margin is least.
fn balance(plan: &Plan, all: &[Standing], findings: &mut Vec<Finding>) {
    let bad = |standing: &Standing| standing.raised && standing.stands.is_some_and(|stands| !stands.surely());
    let margin = |standing: &Standing| standing.stands.map_or(f64::INFINITY, Stands::left);
    let mut rest = all;
    while let Some(from) = rest.iter().position(bad) {
        let stretch = rest.get(from..).unwrap_or_default();
        let length = stretch
            .iter()
            .position(|standing| !bad(standing))
            .unwrap_or(stretch.len());
        let (stretch, after) = stretch.split_at_checked(length).unwrap_or((stretch, &[]));
        rest = after;
        let least = stretch.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)));
        let (Some(first), Some(least)) = (stretch.first(), least) else {
            continue;
        };
        findings.push(off_balance(plan, first, least));
    }
}

fn off_balance(plan: &Plan, first: &Standing, least: &Standing) -> Finding {
    let name = vehicle_name(plan);
    let inside = least.stands.map_or(0.0, |stands| stands.margin.inside);
    let covers = least.stands.map_or(0.0, |stands| stands.covers);
    let tips = inside <= 0.0;
    let side = least.side();
    let what = if tips {
        format!(
            "`{name}` tips to the {side}: its centre lies {} outside of what it stands on",
            amounts::length(plan, -inside)
        )
    } else {
        format!(
            "`{name}` may tip to the {side}: its centre lies {} inside, and is known to ± {}",
            amounts::length(plan, inside),
            amounts::length(plan, covers)
        )
    };
    let mut finding = Finding::new(&OFF_BALANCE, what);
    let on_it = |standing: &Standing| amounts::kg(plan, standing.mass.0, standing.mass.1);
    if let Some(at) = first.at {
        finding = finding.at(at, format!("it begins here, with {} on it", on_it(first)));
    }
    if let Some(at) = least.at.filter(|_| least.at != first.at) {
        finding = finding.at(at, format!("here its centre is furthest: {} on it", on_it(least)));
    }
    let left_out = if least.unknown > 0 {
        " Masses that are not known are left out."
    } else {
        ""
    };
    finding = finding
        .harm(format!("It comes off its lift or stands, onto whoever is beneath.{left_out}"))
        .mend("Support that end too before this act, or take the weight off in another order, so that the centre stays between");
    if !tips {
        finding.severity = Severity::Doubt;
    }
    about(finding, plan, first)
}

/// Each place under the vehicle against its part of the rating, and all places of a rig against the whole of it.
fn places(plan: &Plan, all: &[Standing], findings: &mut Vec<Finding>) -> BTreeSet<Id<Rig>> {
    let mut ever: BTreeSet<Id<Rig>> = BTreeSet::new();
    let mut told: BTreeSet<Id<Rig>> = BTreeSet::new();
    let mut advised: BTreeSet<Id<Rig>> = BTreeSet::new();
    for standing in all.iter().filter(|standing| standing.raised) {
        let mut rigs: Vec<Id<Rig>> = standing
            .contacts
            .iter()
            .filter_map(|contact| contact.rig)
            .collect();
        rigs.sort_unstable();
        rigs.dedup();
        told.retain(|rig| rigs.contains(rig));
        advised.retain(|rig| rigs.contains(rig));
        if rigs.is_empty() {
            continue;
        }
        let Some(cases) = standing.share_cases() else {
            continue;
        };
        for rig in rigs {
            let declared = &plan.rigs[rig];
            let (Some(rated), Some(whole)) = (declared.rated, capacity(declared)) else {
                continue;
            };
            let of = |shares: &[f64]| -> Vec<f64> {
                let pairs = standing.contacts.iter().zip(shares);
                pairs
                    .filter(|(contact, _)| contact.rig == Some(rig))
                    .map(|(_, share)| *share)
                    .collect()
            };
            let mine: Vec<Vec<f64>> = cases.iter().map(|shares| of(shares)).collect();
            #[expect(clippy::cast_precision_loss, reason = "a handful of places")]
            let count = mine.first().map_or(1.0, |mine| mine.len() as f64);
            // Of four stands with one rating for all of them, two bear half of it.
            let pieces = declared.count.map_or(1, |said| said.value);
            let count = count.max(f64::from(pieces));
            let each = if rated.value.each {
                rated.value.mass.base()
            } else {
                whole / count
            };
            let worst = mine.iter().flatten().copied().fold(0.0, f64::max);
            let sum = mine
                .iter()
                .map(|mine| mine.iter().sum::<f64>())
                .fold(0.0, f64::max);
            if sum > whole + HAIR && told.insert(rig) {
                ever.insert(rig);
                findings.push(over(plan, standing, rig, sum, whole));
                continue;
            }
            // Slings find their own level under the hook; their legs are asked elsewhere. And one jack under one end is one piece, wherever it
            // meets the vehicle.
            let both_ends = mine.first().is_some_and(|mine| mine.len() > 2);
            if declared.legs.is_some() || (pieces < 2 && !both_ends) {
                continue;
            }
            if worst > each && told.insert(rig) {
                findings.push(arm(plan, standing, rig, worst, each, Severity::Fault));
            }
            let rigid = standing.rigid_most().map(|most| of(&most));
            let most = rigid.into_iter().flatten().fold(0.0, f64::max);
            if worst <= each && most > each && advised.insert(rig) {
                findings.push(arm(plan, standing, rig, most, each, Severity::Advice));
            }
        }
    }
    ever
}

fn over(plan: &Plan, standing: &Standing, rig: Id<Rig>, sum: f64, whole: f64) -> Finding {
    let declared = &plan.rigs[rig];
    let mut finding = Finding::new(
        &super::support_loads::OVER_RATED,
        format!(
            "`{}` bears {} of `{}`",
            declared.head.name,
            amounts::kg(plan, sum, standing.mass.1),
            vehicle_name(plan)
        ),
    );
    if let Some(at) = standing.at {
        finding = finding.at(at, "from here on");
    }
    if let Some(rated) = declared.rated {
        finding = finding.at(rated.at, format!("rated for {}", amounts::kg(plan, whole, 0.0)));
    }
    let finding = finding
        .harm("It creeps, bends or lets go, with somebody beneath.")
        .mend("Take a rig that is rated for it")
        .about(declared.head.name.to_string());
    about(finding, plan, standing)
}

fn arm(plan: &Plan, standing: &Standing, rig: Id<Rig>, share: f64, each: f64, severity: Severity) -> Finding {
    let declared = &plan.rigs[rig];
    let how = if severity == Severity::Fault {
        "bears up to"
    } else {
        "may bear up to"
    };
    let mut finding = Finding::new(
        &ARM_OVERLOADED,
        format!(
            "one place of `{}` {how} {}, and its part is {}",
            declared.head.name,
            amounts::kg(plan, share, standing.mass.1),
            amounts::kg(plan, each, 0.0)
        ),
    );
    if let Some(at) = standing.at {
        finding = finding.at(at, "from here on");
    }
    if let Some(rated) = declared.rated {
        finding = finding.at(
            rated.at,
            "a rating is shared out over the places that it stands on",
        );
    }
    finding.severity = severity;
    let harm = if severity == Severity::Fault {
        "One arm bends, or one stand goes through, while the others bear little."
    } else {
        "On a floor that is not flat one diagonal may bear all of it."
    };
    let finding = finding
        .harm(harm)
        .mend("Move the places nearer to the centre, take a rig that is rated for it, or take weight off before")
        .about(declared.head.name.to_string());
    about(finding, plan, standing)
}

/// A part of unknown mass that leaves or comes while the vehicle is raised: from there on the balance leaves it out.
fn unknown(plan: &Plan, all: &[Standing], findings: &mut Vec<Finding>) {
    let mut told: BTreeSet<Id<Part>> = BTreeSet::new();
    for standing in all
        .iter()
        .filter(|standing| standing.raised && standing.stands.is_some())
    {
        let Some(part) = standing.newly_unknown.filter(|part| told.insert(*part)) else {
            continue;
        };
        let name = &plan.parts[part].head.name;
        let mut finding = Finding::new(
            &MASS_UNKNOWN,
            format!("`{name}` leaves the raised vehicle or comes to it, and its weight is unknown"),
        );
        if let Some(at) = standing.at {
            finding = finding.at(at, "from here on the balance leaves it out");
        }
        let finding = finding
            .harm("How far the centre moves cannot be said.")
            .mend("Give it a mass: mass 20 kg estimated")
            .about(name.to_string());
        findings.push(about(finding, plan, standing));
    }
}
