//! Of the family **totals**: weighings of the whole vehicle against each other, against what came off and went on between them, and
//! against what is needed to find its centre. Knows nothing of sums of other things.

use super::totals::{
    CENTRE_NOT_KNOWN, CORNERS_AGAINST_PARTS, UNLIKE_STATES, WEIGHED_OTHERWISE, WEIGHING_NOT_PLACED,
};
use super::{amounts, joined};
use crate::analysis::account::{self, Moment};
use crate::analysis::balance::Balance;
use crate::analysis::vehicle_weighings::{self, Unlike, Weighing, When};
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{Id, Part, Plan, WeighIn};
use crate::reckon::closing;
use crate::reckon::mass::Heft;
use crate::walk::Walk;
use crate::weights::Weights;

pub(super) fn check(weights: &Weights<'_>, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    states(plan, findings);
    measures(plan, findings);
    let weighings = vehicle_weighings::all(plan);
    not_placed(plan, &weighings, findings);
    stated(weights, &weighings, findings);
    against_parts(weights, walk, &weighings, findings);
}

/// Weigh-ins of the vehicle, whether their figures are known or not, by date.
fn of_the_vehicle(plan: &Plan) -> Vec<Id<WeighIn>> {
    let mut ids: Vec<Id<WeighIn>> = plan
        .weigh_ins
        .ids()
        .filter(|&id| vehicle_weighings::place(plan, id).is_some())
        .collect();
    ids.sort_by_key(|&id| (plan.weigh_ins[id].dated.map(|said| said.value), id));
    ids
}

fn states(plan: &Plan, findings: &mut Vec<Finding>) {
    let ids = of_the_vehicle(plan);
    let Some(&first) = ids.iter().find(|&&id| plan.weigh_ins[id].raised.is_none()) else {
        return;
    };
    for &id in ids.iter().filter(|&&id| id != first) {
        let (a, b) = (&plan.weigh_ins[first], &plan.weigh_ins[id]);
        let unlike = vehicle_weighings::unlike(a, b);
        if unlike.is_empty() {
            continue;
        }
        let words: Vec<String> = unlike
            .iter()
            .map(|of| {
                match of {
                    Unlike::Fuel => "fuel",
                    Unlike::Driver => "driver",
                    Unlike::Tyres => "tyre pressures",
                }
                .to_owned()
            })
            .collect();
        let (here, there) = (state_place(b, &unlike), state_place(a, &unlike));
        findings.push(
            Finding::new(
                &UNLIKE_STATES,
                format!(
                    "`{}` and `{}` are to be compared, and were not weighed alike: {}",
                    a.head.name,
                    b.head.name,
                    joined(&words, "and")
                ),
            )
            .at(here, "so it stands here")
            .at(there, "and so there")
            .harm("A tank of fuel or a driver weighs as much as the job saves, and shifts the corners; the comparison says nothing.")
            .mend("Weigh both in the same state, and write it in both")
            .about(b.head.name.to_string())
            .about(a.head.name.to_string()),
        );
    }
}

fn state_place(weigh_in: &WeighIn, unlike: &[Unlike]) -> Span {
    let place = match unlike.first() {
        Some(Unlike::Fuel) => weigh_in.fuel.map(|said| said.at),
        Some(Unlike::Driver) => weigh_in.driver.map(|said| said.at),
        Some(Unlike::Tyres) => weigh_in.tyres.map(|said| said.at),
        None => None,
    };
    place.unwrap_or(weigh_in.head.at)
}

/// What the centre cannot be found without.
fn measures(plan: &Plan, findings: &mut Vec<Finding>) {
    let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) else {
        return;
    };
    let mut lacks: Vec<&str> = Vec::new();
    let mut at = None;
    let mut levels = 0;
    let mut raised = None;
    for id in of_the_vehicle(plan) {
        let weigh_in = &plan.weigh_ins[id];
        let place = vehicle_weighings::place(plan, id);
        let wheels = weigh_in.corners.is_some() || weigh_in.axles.is_some();
        if !wheels {
            continue;
        }
        if weigh_in.raised.is_some() {
            raised = raised.or(place);
        } else {
            levels += 1;
        }
        at = at.or(place);
        if vehicle.wheelbase.is_none() {
            lacks.push("wheelbase");
        }
        if vehicle.track.is_none() && weigh_in.corners.is_some() {
            lacks.push("track");
        }
        if vehicle.wheel_radius.is_none() && weigh_in.raised.is_some() {
            lacks.push("wheel radius");
        }
    }
    lacks.sort_unstable();
    lacks.dedup();
    let name = vehicle.head.name.to_string();
    if let (false, Some(at)) = (lacks.is_empty(), at) {
        let words: Vec<String> = lacks.iter().map(|word| format!("`{word}`")).collect();
        findings.push(
            Finding::new(
                &CENTRE_NOT_KNOWN,
                format!("`{name}` is weighed, and lacks its {}", joined(&words, "and")),
            )
            .at(at, "these readings tell where the centre lies")
            .at(vehicle.head.at, "if this says where the wheels are")
            .harm("Nobody can say on the lift which way it would tip.")
            .mend(format!("Measure it, and write it in the block of `{name}`"))
            .about(name),
        );
        return;
    }
    if let (Some(at), 0) = (raised, levels) {
        findings.push(
            Finding::new(
                &CENTRE_NOT_KNOWN,
                format!("`{name}` was weighed with an end raised, and never level"),
            )
            .at(at, "the height comes from the difference to a level weighing")
            .harm("The height of the centre stays unknown.")
            .mend("Weigh its corners or axles level too, in the same state")
            .about(name),
        );
    }
}

/// What the plan states of the vehicle, against its first weighing.
fn stated(weights: &Weights<'_>, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) else {
        return;
    };
    let figure = vehicle.mass.as_ref();
    let first = weighings.iter().find(|weighing| weighing.raised.is_none());
    let (Some(figure), Some(first)) = (figure, first) else {
        return;
    };
    let Some(stated) = crate::weights::stated(&figure.value) else {
        return;
    };
    if first.total.differs(&stated) {
        let name = &vehicle.head.name;
        findings.push(
            Finding::new(
                &WEIGHED_OTHERWISE,
                format!(
                    "`{name}`: weighed at {}, and stated as {}",
                    amounts::with_give(plan, &first.total),
                    amounts::with_give(plan, &stated)
                ),
            )
            .at(first.at, "weighed here")
            .at(figure.at, "stated here")
            .harm(
                "One of them is of another state, or was read wrongly; the account starts from the weighing.",
            )
            .mend("Weigh it again, or write the weighing's sum in its block")
            .about(name.to_string())
            .about(plan.weigh_ins[first.id].head.name.to_string()),
        );
    }
}

/// Weighings of the whole that belong to no moment of the work: they would be left out of everything.
fn not_placed(plan: &Plan, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    for weighing in weighings.iter().filter(|weighing| weighing.raised.is_none()) {
        if vehicle_weighings::when(plan, weighing.id).is_some() {
            continue;
        }
        let weigh_in = &plan.weigh_ins[weighing.id];
        findings.push(
            Finding::new(
                &WEIGHING_NOT_PLACED,
                format!("nothing says when `{}` was weighed: what was off and on then is not known", weigh_in.head.name),
            )
            .at(weighing.at, "weighed here, and in no account")
            .harm("The scale has the last word, and nobody hears it: target and class minimum are judged without it.")
            .mend(format!(
                "Say in the block of `{}` after which step: after STEP; or log the steps that were done, with their dates",
                weigh_in.head.name
            ))
            .about(weigh_in.head.name.to_string()),
        );
    }
}

/// Each weighing of the vehicle against the first one and what came off and went on since.
fn against_parts(weights: &Weights<'_>, walk: &Walk, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(first) = weighings.iter().find(|weighing| weighing.raised.is_none()) else {
        return;
    };
    for weighing in weighings.iter().filter(|weighing| weighing.id != first.id) {
        let (a, b) = (&plan.weigh_ins[first.id], &plan.weigh_ins[weighing.id]);
        if !vehicle_weighings::unlike(a, b).is_empty() {
            continue;
        }
        let Some(moment) = between(plan, walk, first.id, weighing.id) else {
            continue;
        };
        let off = moment.off(weights);
        let Some(off) = off.whole() else { continue };
        let expected = first.total.minus(off);
        let Ok(error) = closing::of_masses(&weighing.total, &expected) else {
            continue;
        };
        if closing::closes(error) {
            ends(weights, weighings, first, weighing, &moment, findings);
            continue;
        }
        let difference = weighing.total.minus(&expected);
        let nothing = moment == Moment::default();
        let what = if nothing {
            format!(
                "`{}` and `{}` differ, and nothing came off between them: {} and {}",
                a.head.name,
                b.head.name,
                amounts::with_give(plan, &first.total),
                amounts::with_give(plan, &weighing.total)
            )
        } else {
            format!(
                "`{}` is {} {} than `{}` less what came off and more what went on",
                b.head.name,
                amounts::kg(plan, difference.kg.abs(), difference.u()),
                if difference.kg > 0.0 { "more" } else { "less" },
                a.head.name
            )
        };
        let mut finding = Finding::new(&CORNERS_AGAINST_PARTS, what)
            .at(
                weighing.at,
                format!("expected {}", amounts::with_give(plan, &expected)),
            )
            .at(first.at, "the weighing before")
            .harm(format!(
                "Something is on or off that the plan does not know, or a reading is wrong.{}",
                fitting(weights, &moment, &difference)
            ))
            .mend("Weigh again in the same state; then look for what was left off, or in")
            .about(b.head.name.to_string())
            .about(a.head.name.to_string());
        // When all is done, it is the result that is wrong, and no plan.
        let at_end = vehicle_weighings::when(plan, weighing.id);
        if at_end == plan.order.last().map(|step| When::After(*step)) {
            finding.severity = Severity::Fault;
        }
        findings.push(finding);
    }
}

/// The whole agrees: does each axle? What left and came has its place, so that the share of each can be foretold.
fn ends(
    weights: &Weights<'_>,
    weighings: &[Weighing],
    first: &Weighing,
    weighing: &Weighing,
    moment: &Moment,
    findings: &mut Vec<Finding>,
) {
    let plan = weights.plan();
    let wheelbase = plan
        .vehicle()
        .and_then(|id| plan.vehicles[id].wheelbase)
        .map(|said| said.value.base());
    let (Some(wheelbase), None, Some(axles), Some(axles_u)) =
        (wheelbase, weighing.raised, weighing.axles, weighing.axles_u)
    else {
        return;
    };
    let Some(balance) = Balance::first(weights, weighings).map(|balance| balance.at(moment)) else {
        return;
    };
    let Some((centre, u)) = balance.centre() else {
        return;
    };
    let (mass, _) = balance.mass();
    let expected = mass * (1.0 - centre.behind / wheelbase);
    let u = (mass * u.behind / wheelbase).hypot(axles_u.front);
    let off = axles.front - expected;
    if off.abs() <= 2.0 * u.max(f64::MIN_POSITIVE) {
        return;
    }
    let (a, b) = (&plan.weigh_ins[first.id], &plan.weigh_ins[weighing.id]);
    // The two ends written in each other's place, in this weighing or in the first.
    let swapped_here = (axles.rear - expected).abs() <= 2.0 * u;
    let before = first.axles.map(|axles| {
        let turned = wheelbase * axles.front / (axles.front + axles.rear).max(f64::MIN_POSITIVE);
        let was = wheelbase - turned;
        mass * (1.0 - (centre.behind + turned - was) / wheelbase)
    });
    let swapped_before = before.is_some_and(|expected| (axles.front - expected).abs() <= 2.0 * u);
    let cause = match (swapped_here, swapped_before) {
        (true, _) => format!(
            " It would be explained if front and rear are exchanged on the sheet `{}`.",
            b.head.name
        ),
        (false, true) => format!(
            " It would be explained if front and rear are exchanged on the sheet `{}`.",
            a.head.name
        ),
        (false, false) => String::new(),
    };
    findings.push(
        Finding::new(
            &CORNERS_AGAINST_PARTS,
            format!(
                "`{}`: the front bears {}, and by `{}` and what came off and went on it would bear {}",
                b.head.name,
                amounts::kg(plan, axles.front, axles_u.front),
                a.head.name,
                amounts::kg(plan, expected, u)
            ),
        )
        .at(weighing.at, format!("{} {} at the front than expected", amounts::kg(plan, off.abs(), u), if off > 0.0 { "more" } else { "less" }))
        .at(first.at, "the weighing before")
        .harm(format!(
            "The balance over the lift is reckoned from these: it tips the other way than the plan says.{cause}"
        ))
        .mend("Look at the sheets and at the places of what came off; then weigh again in the same state")
        .about(b.head.name.to_string())
        .about(a.head.name.to_string()),
    );
}

/// Parts that weigh about as much as the difference.
fn fitting(weights: &Weights<'_>, moment: &Moment, difference: &Heft) -> String {
    let plan = weights.plan();
    let all = moment
        .off_for_now
        .iter()
        .chain(&moment.off_for_good)
        .chain(&moment.on_new);
    let mut near: Vec<(f64, Id<Part>)> = all
        .filter_map(|&id| {
            let heft = weights.part(id)?;
            let off = (heft.kg - difference.kg.abs()).abs();
            (off <= difference.expanded()).then_some((off, id))
        })
        .collect();
    near.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let names: Vec<String> = near
        .into_iter()
        .take(3)
        .map(|(_, id)| format!("`{}`", plan.parts[id].head.name))
        .collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" About as much weighs {}.", joined(&names, "or"))
    }
}

/// What changed on the vehicle between two weighings; none where the plan does not say when the second was.
fn between(plan: &Plan, walk: &Walk, first: Id<WeighIn>, second: Id<WeighIn>) -> Option<Moment> {
    let dated = |id: Id<WeighIn>| plan.weigh_ins[id].dated.map(|said| said.value);
    let same_day = dated(first).is_some() && dated(first) == dated(second);
    if same_day {
        return Some(Moment::default());
    }
    let (then, now) = (
        account::state_at(plan, walk, first)?,
        account::state_at(plan, walk, second)?,
    );
    Some(Moment::between(plan, &then, &now))
}
