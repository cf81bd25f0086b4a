//! Of the family **totals**: what a weighing says of the thing that stands on the scale, against the state that the work has left it in: its fuel, its
//! four corners beside each other, what is still in a thing that was weighed. Knows nothing of sums.

use std::collections::BTreeSet;

use super::filling::{self, Level};
use super::{amounts, rule};
use crate::analysis::vehicle_weighings::{self, Weighing, When};
use crate::base::finding::Finding;
use crate::plan::hazards;
use crate::plan::model::{Does, Fluid, Hazard, Id, Load, Part, Plan, Reads, WeighIn, Weighed};
use crate::reckon::corners::Corners;
use crate::walk::Walk;
use crate::weights::Weights;

rule!(
    FUEL_OTHERWISE,
    "fuel-otherwise",
    Doubt,
    true,
    "A weighing says how much fuel was aboard, and the work before it says otherwise."
);
rule!(
    CORNER_MISREAD,
    "corner-misread",
    Doubt,
    true,
    "Of four corners one does not go with the other three."
);
rule!(
    WEIGHED_FULL,
    "weighed-full",
    Doubt,
    true,
    "A thing is weighed with a fluid in it, and the reading is what it weighs without."
);

/// Litres and a share: less is alike, for a can is not emptied to the drop. Common practice, no source.
const ALIKE_LITRES: f64 = 1.0;
const ALIKE_SHARE: f64 = 0.2;

/// How far the left shares of front and rear may lie apart. On level pads a car with equal springs comes within 0.02, on a floor that is
/// out by 5 mm within 0.06. Common practice, no source.
const TWIST: f64 = 0.08;

pub(super) fn check(weights: &Weights<'_>, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    // What is still to be read says already what will be in it.
    for (id, when) in vehicle_weighings::moments(plan) {
        fuel(plan, id, when, findings);
    }
    for weighing in vehicle_weighings::all(plan) {
        corners(plan, &weighing, findings);
    }
    full(weights, walk, findings);
}

fn fuel(plan: &Plan, id: Id<WeighIn>, when: When, findings: &mut Vec<Finding>) {
    let sheet = &plan.weigh_ins[id];
    let Some(said) = sheet.fuel else { return };
    let Some(litres) = said.value.known() else { return };
    let mut aboard = 0.0;
    let mut names = Vec::new();
    for (id, fluid) in plan.fluids.iter() {
        if !hazards::of_fluid(fluid).contains(&Hazard::Fuel) {
            continue;
        }
        let Some(level) = filling::level_at(plan, id, when) else {
            return;
        };
        // What is in a tank that nobody has touched, nobody knows.
        let Level::Filled(in_it) = level else { return };
        aboard += in_it;
        names.push(format!("`{}`", fluid.head.name));
    }
    let differ = (litres.base() - aboard).abs();
    if names.is_empty() || differ <= ALIKE_LITRES.max(ALIKE_SHARE * aboard) {
        return;
    }
    let name = super::joined(&names, "and");
    let what = if aboard > 0.0 {
        format!("{name}: {aboard:.0} l went in before this weighing, and it says {litres}")
    } else {
        format!("{name} was drained before this weighing, and it says {litres}")
    };
    let step = match when {
        When::After(step) | When::Before(step, _) => Some(step),
        When::AsFound => None,
    };
    let mut finding = Finding::new(&FUEL_OTHERWISE, what)
        .at(said.at, "what was in it then")
        .harm("Fuel weighs as much as the job saves: the end comes out wrong by it, and the class minimum too.")
        .mend("Write what was in the tank on that day; or the step after which it was weighed: after STEP; or how much went in: fill FUEL 12 l")
        .about(sheet.head.name.to_string());
    if let Some(step) = step {
        finding = finding.at(plan.steps[step].head.at, "weighed at this step");
    }
    findings.push(finding);
}

fn corners(plan: &Plan, weighing: &Weighing, findings: &mut Vec<Finding>) {
    let (Some(four), None) = (weighing.corners, weighing.raised) else {
        return;
    };
    let Corners {
        front_left,
        front_right,
        rear_left,
        rear_right,
    } = four;
    let (front, rear) = (front_left + front_right, rear_left + rear_right);
    if [front_left, front_right, rear_left, rear_right]
        .into_iter()
        .any(|kg| kg <= 0.0)
    {
        return;
    }
    let (left_front, left_rear) = (front_left / front, rear_left / rear);
    if (left_front - left_rear).abs() <= TWIST {
        return;
    }
    let sheet = &plan.weigh_ins[weighing.id];
    let percent = |share: f64| (share * 100.0).round();
    // Of the axle that is farther from its middle either side may be the wrong one.
    let (end, [left, right], [by_left, by_right]) = if (left_front - 0.5).abs() >= (left_rear - 0.5).abs() {
        let fit = [
            front_right * rear_left / rear_right,
            front_left * rear_right / rear_left,
        ];
        ("front", [front_left, front_right], fit)
    } else {
        let fit = [
            rear_right * front_left / front_right,
            rear_left * front_right / front_left,
        ];
        ("rear", [rear_left, rear_right], fit)
    };
    let kg = |of: f64| amounts::kg(plan, of, 1.0);
    let hint = format!(
        " By the other three {end} left would be {} where {} was read, or {end} right {} where {} was.",
        kg(by_left),
        kg(left),
        kg(by_right),
        kg(right)
    );
    findings.push(
        Finding::new(
            &CORNER_MISREAD,
            format!(
                "`{}` has {} % of the front on the left, and {} % of the rear",
                sheet.head.name,
                percent(left_front),
                percent(left_rear)
            ),
        )
        .at(weighing.at, "one of these four does not go with the others")
        .harm(format!(
            "A misread pad moves the centre to one side, and the balance on the lift with it.{hint}"
        ))
        .mend("Read the four again: pads level, tyres off their edges, suspension bounced, nobody leaning in. If the car does sit so, accept it with the reason")
        .about(sheet.head.name.to_string()),
    );
}

/// Parts that an act weighs with a fluid in them.
fn full(weights: &Weights<'_>, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    if plan.fluids.ids().next().is_none() {
        return;
    }
    for &step in &plan.order {
        for (nth, act) in plan.steps[step].acts().enumerate() {
            let Does::Weigh { things, .. } = &act.does else {
                continue;
            };
            for load in things {
                let Load::Thing(thing) = load.value else { continue };
                let parts: BTreeSet<Id<Part>> = plan.parts_of(thing).into_iter().collect();
                let lies_in = |id: &Id<Fluid>| {
                    let inside = weights.inside(*id);
                    !inside.is_empty() && inside.iter().all(|part| parts.contains(part))
                };
                let within: Vec<Id<Fluid>> = plan.fluids.ids().filter(lies_in).collect();
                if within.is_empty() {
                    continue;
                }
                let Some(now) = walk.before_act(plan, step, nth) else {
                    continue;
                };
                for id in within.into_iter().filter(|&id| now.is_full(id)) {
                    of_one(weights, &parts, id, act.at, findings);
                }
            }
        }
    }
}

fn of_one(
    weights: &Weights<'_>,
    parts: &BTreeSet<Id<Part>>,
    id: Id<Fluid>,
    act: crate::base::source::Span,
    findings: &mut Vec<Finding>,
) {
    let plan = weights.plan();
    let Some(in_it) = weights.fluid(id) else { return };
    let these = |reads: &&Reads| {
        let read: BTreeSet<Id<Part>> = reads
            .what
            .iter()
            .filter_map(|said| match said.value {
                Weighed::Thing(thing) => Some(plan.parts_of(thing)),
                _ => None,
            })
            .flatten()
            .collect();
        read == *parts
    };
    let dry = parts.iter().map(|&part| stated(plan, part)).sum::<Option<f64>>();
    let Some(dry) = dry else { return };
    for sheet in plan.weigh_ins.values() {
        for reads in sheet.reads.iter().filter(these) {
            let Some(read) = reads.mass.known().map(|mass| mass.base()) else {
                continue;
            };
            // Nearer to the dry mass than to the full one, and less than half of what the fluid weighs above it.
            if in_it.kg < 1.0 || read >= dry + in_it.kg / 2.0 {
                continue;
            }
            let fluid = &plan.fluids[id].head.name;
            findings.push(
                Finding::new(
                    &WEIGHED_FULL,
                    format!(
                        "{} weighed with `{fluid}` in it, {}, and reads what it weighs without",
                        names(plan, parts),
                        amounts::kg(plan, in_it.kg, in_it.u())
                    ),
                )
                .at(act, "full, as the work leaves it")
                .at(reads.at, "read so")
                .harm("Either the fluid is still in it, and the reading is another thing's, or it ran out before and the plan does not say where.")
                .mend(format!("Before it comes off: drain {fluid} into TOOL; or weigh it again"))
                .about(sheet.head.name.to_string()),
            );
            return;
        }
    }
}

fn names(plan: &Plan, parts: &BTreeSet<Id<Part>>) -> String {
    let all: Vec<String> = parts
        .iter()
        .map(|&part| format!("`{}`", plan.parts[part].head.name))
        .collect();
    let are = if all.len() == 1 { "is" } else { "are" };
    format!("{} {are}", super::joined(&all, "and"))
}

fn stated(plan: &Plan, part: Id<Part>) -> Option<f64> {
    Some(plan.parts[part].mass.as_ref()?.value.mass.base())
}
