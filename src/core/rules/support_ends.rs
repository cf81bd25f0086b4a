//! Of the family **support**: an end of the vehicle on a rig while the other stands on its wheels or feet, where the plan does not say where
//! all places are. What the end bears follows from the centre along the vehicle; without a centre from what an end bears at least and at most.

use std::collections::BTreeSet;

use super::amounts;
use super::support_balance::{HAIR, capacity, vehicle_name};
use super::support_loads::OVER_RATED;
use crate::analysis::centre_path::{Borne, Standing};
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{End, FrontRear, Id, Place, Plan, Rig, Said, Step};
use crate::walk::loads::ends;
use crate::walk::state::Stand;

/// The least and the most that one end of a vehicle bears of its mass. Common practice, no source.
const SHARES: (f64, f64) = (0.3, 0.7);

/// The rig under the one end that is not on its wheels.
fn one_end(stand: (Stand, Stand)) -> Option<(End, Id<Rig>)> {
    let mut on_rigs = ends(stand.0, stand.1)
        .into_iter()
        .filter_map(|(end, stand)| match stand {
            Stand::Rig { rig, .. } => Some((end, rig)),
            Stand::Wheels => None,
        });
    match (on_rigs.next(), on_rigs.next()) {
        (Some(one), None) => Some(one),
        _ => None,
    }
}

/// With the centre known: what a beam on two supports bears there.
pub(super) fn by_centre(
    plan: &Plan,
    all: &[Standing],
    told: &mut BTreeSet<Id<Rig>>,
    findings: &mut Vec<Finding>,
) {
    for standing in all.iter().filter(|standing| standing.share_cases().is_none()) {
        let Some((end, rig)) = one_end(standing.stand) else {
            continue;
        };
        let (Some(may), Some(bears)) = (capacity(&plan.rigs[rig]), at_end(plan, standing, end)) else {
            continue;
        };
        if bears > may + HAIR && told.insert(rig) {
            let what = format!(
                "`{}` bears {} of `{}`",
                plan.rigs[rig].head.name,
                amounts::kg(plan, bears, standing.mass.1),
                vehicle_name(plan)
            );
            findings.push(over(
                plan,
                rig,
                may,
                what,
                (standing.at, standing.step),
                Severity::Fault,
            ));
        }
    }
}

/// What an end bears at most, by the centre along the vehicle and within what that is known to.
fn at_end(plan: &Plan, standing: &Standing, end: End) -> Option<f64> {
    let vehicle = &plan.vehicles[plan.vehicle()?];
    let length = vehicle.wheelbase?.value.base();
    let jacking: FrontRear<Option<Said<Place>>> = vehicle.jacking;
    let place = |place: Option<Said<Place>>, axle: f64| place.map_or(axle, |place| place.value.behind);
    let (here, there, along) = match end {
        End::Front => (place(jacking.front, 0.0), length, -2.0 * standing.u.behind),
        End::Rear => (place(jacking.rear, length), 0.0, 2.0 * standing.u.behind),
    };
    let centre = standing.centre.behind + along;
    let share = (there - centre) / (there - here);
    (share.is_finite() && share > 0.0).then(|| share * standing.upper_mass())
}

/// With the mass alone known.
pub(super) fn by_mass(plan: &Plan, all: &[Borne], told: &mut BTreeSet<Id<Rig>>, findings: &mut Vec<Finding>) {
    // An advice keeps no later fault from being told.
    let mut advised: BTreeSet<Id<Rig>> = BTreeSet::new();
    for borne in all {
        let Some((_, rig)) = one_end(borne.stand) else {
            continue;
        };
        let Some(may) = capacity(&plan.rigs[rig]) else {
            continue;
        };
        let (least, most) = (SHARES.0 * borne.mass.0, SHARES.1 * borne.mass.0);
        if most <= may + HAIR || told.contains(&rig) {
            continue;
        }
        let name = &plan.rigs[rig].head.name;
        let vehicle = vehicle_name(plan);
        let whole = amounts::kg(plan, borne.mass.0, borne.mass.1);
        let (what, severity) = if least > may + HAIR {
            (
                format!("`{name}` bears an end of `{vehicle}`: of {whole} that is at least three tenths"),
                Severity::Fault,
            )
        } else {
            (
                format!("`{name}` bears an end of `{vehicle}`: of {whole} that may be seven tenths"),
                Severity::Advice,
            )
        };
        let new = if severity == Severity::Fault {
            told.insert(rig)
        } else {
            advised.insert(rig)
        };
        if new {
            findings.push(over(plan, rig, may, what, (Some(borne.at), borne.step), severity));
        }
    }
}

fn over(
    plan: &Plan,
    rig: Id<Rig>,
    may: f64,
    what: String,
    (at, step): (Option<Span>, Option<Id<Step>>),
    severity: Severity,
) -> Finding {
    let declared = &plan.rigs[rig];
    let mut finding = Finding::new(&OVER_RATED, what);
    finding.severity = severity;
    if let Some(at) = at {
        finding = finding.at(at, "from here on");
    }
    if let Some(rated) = declared.rated {
        finding = finding.at(rated.at, format!("rated for {}", amounts::kg(plan, may, 0.0)));
    }
    let mend = if severity == Severity::Advice {
        "Weigh the axles, and write them in a weigh-in; or take a rig that is rated for it"
    } else {
        "Take a rig that is rated for it"
    };
    finding = finding
        .harm("It creeps, bends or lets go, with somebody beneath.")
        .mend(mend)
        .about(declared.head.name.to_string())
        .about(vehicle_name(plan));
    match step {
        Some(step) => finding.about(plan.steps[step].head.name.to_string()),
        None => finding,
    }
}
