//! Of the family **totals**: readings against the scale that they are said to come from. Knows nothing of sums.

use super::amounts;
use super::totals::{BEYOND_SCALE, FINER_THAN_SCALE, name_of, names_of};
use crate::base::finding::Finding;
use crate::base::quantity::Mass;
use crate::base::source::Span;
use crate::plan::model::{Does, Load, Plan, Scale, WeighIn, Weighed};
use crate::weights::Weights;

/// One figure that was read: of what, where, and over how many scales of a set it may lie.
struct Read {
    called: String,
    at: Span,
    mass: Mass,
    over: f64,
}

pub(super) fn check(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    acts(weights, findings);
    for weigh_in in plan.weigh_ins.values() {
        let Some(with) = weigh_in.with else { continue };
        let scale = &plan.scales[with.value];
        for read in readings(plan, weigh_in) {
            beyond(scale, weigh_in, &read, findings);
            finer(scale, weigh_in, &read, findings);
        }
    }
}

/// What is to be weighed, by what is known of it before: it lies on the scale whole.
fn acts(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    for &id in &plan.order {
        let step = &plan.steps[id];
        for act in step.acts() {
            let Does::Weigh {
                things,
                with: Some(with),
            } = &act.does
            else {
                continue;
            };
            let scale = &plan.scales[with.value];
            let Some(capacity) = scale.capacity else { continue };
            for load in things {
                let (what, over) = match load.value {
                    Load::Thing(thing) => (Weighed::Thing(thing), 1.0),
                    Load::Vehicle(id) => (Weighed::Vehicle(id), 4.0),
                };
                let over = if capacity.value.each { over } else { 1.0 };
                let Some(estimate) = weights.of(what) else {
                    continue;
                };
                // A reading of its own is judged where it is written.
                if estimate.kg <= capacity.value.mass.base() * over + 1e-9
                    || weights.read_as_one(what).is_some()
                {
                    continue;
                }
                let each = if capacity.value.each { " each" } else { "" };
                let name = name_of(plan, what);
                findings.push(
                    Finding::new(
                        &BEYOND_SCALE,
                        format!(
                            "{name} weighs {} by what is known of it, and `{}` weighs up to {}{each}",
                            amounts::with_give(plan, &estimate),
                            scale.head.name,
                            capacity.value.mass
                        ),
                    )
                    .at(load.at, "more than the scale can weigh")
                    .at(capacity.at, "as this says")
                    .harm("Past its capacity a scale stops, lies or breaks, and what hangs on it comes down.")
                    .mend("Weigh it in parts, or name a scale that takes it: weigh THING with SCALE")
                    .about(name.trim_matches('`').to_owned())
                    .about(scale.head.name.to_string())
                    .about(step.head.name.to_string()),
                );
            }
        }
    }
}

fn readings(plan: &Plan, weigh_in: &WeighIn) -> Vec<Read> {
    let mut all = Vec::new();
    let mut add = |called: String, at: Span, mass: Option<Mass>, over: f64| {
        all.extend(mass.map(|mass| Read {
            called,
            at,
            mass,
            over,
        }));
    };
    for reads in &weigh_in.reads {
        let whole = reads
            .what
            .iter()
            .any(|said| matches!(said.value, Weighed::Vehicle(_)));
        let called = names_of(plan, &reads.what);
        add(
            called,
            reads.at,
            reads.mass.known(),
            if whole { 4.0 } else { 1.0 },
        );
    }
    if let Some(said) = weigh_in.corners {
        let names = ["front left", "front right", "rear left", "rear right"];
        for (mass, name) in said.value.all().into_iter().zip(names) {
            add(format!("the {name} wheel"), said.at, mass.known(), 1.0);
        }
    }
    if let Some(said) = weigh_in.axles {
        add(
            "the front axle".to_owned(),
            said.at,
            said.value.front.known(),
            2.0,
        );
        add("the rear axle".to_owned(), said.at, said.value.rear.known(), 2.0);
    }
    for tare in &weigh_in.tare {
        add(format!("the tare `{}`", tare.name), tare.at, Some(tare.mass), 1.0);
    }
    all
}

fn beyond(scale: &Scale, weigh_in: &WeighIn, read: &Read, findings: &mut Vec<Finding>) {
    let Some(capacity) = scale.capacity else { return };
    let over = if capacity.value.each { read.over } else { 1.0 };
    if read.mass.base() <= capacity.value.mass.base() * over + 1e-9 {
        return;
    }
    let each = if capacity.value.each { " each" } else { "" };
    findings.push(
        Finding::new(
            &BEYOND_SCALE,
            format!(
                "{} reads {}, and `{}` weighs up to {}{each}",
                read.called, read.mass, scale.head.name, capacity.value.mass
            ),
        )
        .at(read.at, "more than the scale can weigh")
        .at(capacity.at, "as this says")
        .harm("Past its capacity a scale stops, lies or breaks; what it shows there is no weight.")
        .mend("Look for a wrong digit, or name the scale that it was weighed with")
        .about(weigh_in.head.name.to_string())
        .about(scale.head.name.to_string()),
    );
}

/// Only of figures in the scale's own unit: one that was converted has steps of its own.
fn finer(scale: &Scale, weigh_in: &WeighIn, read: &Read, findings: &mut Vec<Finding>) {
    let Some(division) = scale.division else { return };
    if !amounts::same_unit(division.value, read.mass) {
        return;
    }
    let steps = read.mass.base() / division.value.base();
    if (steps - steps.round()).abs() < 1e-6 * steps.abs().max(1.0) {
        return;
    }
    findings.push(
        Finding::new(
            &FINER_THAN_SCALE,
            format!(
                "{} reads {}, and `{}` shows steps of {}",
                read.called, read.mass, scale.head.name, division.value
            ),
        )
        .at(read.at, "no such figure comes up on this scale")
        .at(division.at, "its step")
        .harm("It was read from another scale, reckoned, or guessed; its uncertainty is not the one that counts here.")
        .mend(match steps.round() {
            // So near nothing it shows nothing: another scale is wanted, not another figure.
            near if near < 1.0 => format!("Weigh it on a scale with finer steps than {}", division.value),
            near => format!(
                "Write what the scale showed: {}",
                amounts::like(division.value, near * division.value.base())
            ),
        })
        .about(weigh_in.head.name.to_string())
        .about(scale.head.name.to_string()),
    );
}
