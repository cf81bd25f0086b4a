//! The family **fastening**: two joints that should say the same, and say it otherwise: one number in two units, one hole with two threads. Knows
//! declared joints, no step.

use std::collections::BTreeMap;

use super::rule;
use super::threads::designation;
use crate::base::finding::Finding;
use crate::base::unit::UnitId;
use crate::plan::model::{Fixing, Id, Joint, Part, Plan, Reading, Thread};

rule!(
    OTHER_UNIT,
    "other-unit",
    Doubt,
    true,
    "Fixings of one size and class have torques of one number in two units."
);
rule!(
    OTHER_THREAD,
    "other-thread",
    Doubt,
    true,
    "A joint takes the place of another in the same hole, with a thread of another pitch, a thinner one, or half as many."
);

pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    units(plan, findings);
    threads(plan, findings);
}

/// The number of a torque as it is written, with the joints that have it, by unit.
fn units(plan: &Plan, findings: &mut Vec<Finding>) {
    type Alike = (String, String, String);
    let mut all: BTreeMap<Alike, BTreeMap<UnitId, Id<Joint>>> = BTreeMap::new();
    for (id, joint) in plan.joints.iter() {
        let (Some(figure), [fixing]) = (&joint.torque, joint.fixings.as_slice()) else {
            continue;
        };
        let Reading::Is(torque) = figure.value.torque else {
            continue;
        };
        // Of no class they may be of different steel, and both right.
        let Some(class) = fixing.class.as_ref().map(|class| class.value.to_string()) else {
            continue;
        };
        let number = torque.number();
        let key = (
            of_no_length(fixing),
            class,
            format!("{}/{}/{}", number.mantissa, number.decimals, number.denominator),
        );
        all.entry(key).or_default().entry(torque.unit()).or_insert(id);
    }
    for by_unit in all.values().filter(|by_unit| by_unit.len() > 1) {
        let mut joints: Vec<&Joint> = by_unit.values().map(|&id| &plan.joints[id]).collect();
        joints.sort_by_key(|joint| joint.head.at.start);
        let [one, .., other] = joints.as_slice() else {
            continue;
        };
        let (Some(first), Some(second)) = (&one.torque, &other.torque) else {
            continue;
        };
        let (Reading::Is(a), Reading::Is(b)) = (first.value.torque, second.value.torque) else {
            continue;
        };
        findings.push(
            Finding::new(
                &OTHER_UNIT,
                format!("`{}` has {a}, and `{}`, with the same fixings, {b}", one.head.name, other.head.name),
            )
            .at(first.at, "this unit")
            .at(second.at, "and this one: a slip?")
            .harm("A pound-foot is 1.36 newton metres: what is read in the wrong one is overtightened by a third, or a quarter loose.")
            .mend("Look up in which unit the maker gives it")
            .about(one.head.name.to_string())
            .about(other.head.name.to_string()),
        );
    }
}

fn of_no_length(fixing: &Fixing) -> String {
    let mut thread = fixing.thread.clone();
    match &mut thread {
        Thread::Metric { length, .. } | Thread::Unified { length, .. } => *length = None,
    }
    designation(&thread)
}

/// What goes into the hole of another one, in a part that stays.
fn threads(plan: &Plan, findings: &mut Vec<Finding>) {
    for joint in plan.joints.values() {
        let Some(place) = joint.in_place_of else { continue };
        let old = &plan.joints[place.value];
        let ends = |joint: &Joint| -> Vec<Id<Part>> {
            let ends = joint.ends.iter().flatten();
            ends.flat_map(|end| plan.parts_of(end.value)).collect()
        };
        let shares = ends(joint).iter().any(|end| ends(old).contains(end));
        if shares {
            weaker(joint, old, findings);
        }
        let (Some((new, at)), Some((was, was_at))) = (pitch(joint), pitch(old)) else {
            continue;
        };
        let same_size = (new.0 - was.0).abs() < 1e-6;
        if !shares || !same_size || (new.1 - was.1).abs() < 1e-6 {
            continue;
        }
        findings.push(
            Finding::new(
                &OTHER_THREAD,
                format!(
                    "`{}` has M{} x {}, and `{}`, in whose place it is, M{} x {}",
                    joint.head.name, new.0, new.1, old.head.name, was.0, was.1
                ),
            )
            .at(at, "this pitch")
            .at(was_at, "and this one, in the same part")
            .harm("It goes in by two turns and strips the thread of the part that stays.")
            .mend("Measure the pitch; if the new part brings its own nut, accept it")
            .about(joint.head.name.to_string()),
        );
    }
}

/// Thinner fixings than before in the holes of what stays, or half as many, where they carry.
fn weaker(joint: &Joint, old: &Joint, findings: &mut Vec<Finding>) {
    let (true, [new], [was]) = (
        joint.carries.is_some() && old.carries.is_some(),
        joint.fixings.as_slice(),
        old.fixings.as_slice(),
    ) else {
        return;
    };
    let (Thread::Metric { diameter, .. }, Thread::Metric { diameter: before, .. }) =
        (&new.thread, &was.thread)
    else {
        return;
    };
    let thinner = diameter + 1e-6 < *before;
    if !thinner && new.count * 2 > was.count {
        return;
    }
    let of = |fixing: &Fixing| format!("{} x {}", fixing.count, designation(&fixing.thread));
    findings.push(
        Finding::new(
            &OTHER_THREAD,
            format!(
                "`{}` has {}, and `{}`, in whose place it is, {}",
                joint.head.name,
                of(new),
                old.head.name,
                of(was)
            ),
        )
        .at(new.at, "what goes in")
        .at(was.at, "what came out of the same part")
        .harm("A thinner bolt lies loose in the old hole, and fewer or thinner ones pull harder each: they stretch, and work loose.")
        .mend(format!(
            "Look at the holes again. If sleeves fill them and the new part weighs so little: accept other-thread for {} because \"...\"",
            joint.head.name
        ))
        .about(joint.head.name.to_string()),
    );
}

/// Diameter and pitch of the one kind of fixing that a joint has, both said, in mm.
fn pitch(joint: &Joint) -> Option<((f64, f64), crate::base::source::Span)> {
    let [fixing] = joint.fixings.as_slice() else {
        return None;
    };
    match fixing.thread {
        Thread::Metric {
            diameter,
            pitch: Some(pitch),
            ..
        } => Some(((diameter, pitch), fixing.at)),
        Thread::Metric { .. } | Thread::Unified { .. } => None,
    }
}
