//! The one head that differs from all others of its thread size. ISO and old DIN sizes, flange heads and small heads all exist, but one
//! among many of another series is mostly a slip of the pen. Knows declared drives, no step.

use std::collections::{BTreeMap, BTreeSet};

use super::threads::WRONG_SPANNER;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{DriveKind, Joint, Plan, Thread};

/// So many statements have to agree before one that does not is told. Common practice, no source.
const AGREEING: usize = 4;

/// Thread diameter and width across flats in hundredths of a millimetre.
type Size = i64;

/// Tells the one statement that differs, where at least four agree; `told` are places that are told already.
pub(super) fn check(plan: &Plan, told: &BTreeMap<Span, usize>, findings: &mut Vec<Finding>) {
    let mut heads: BTreeMap<Size, BTreeMap<Size, BTreeMap<Span, &Joint>>> = BTreeMap::new();
    // Bolts of wheels have a series of their own, and count as a second of their kind.
    let mut of_wheels: BTreeSet<(Size, Size)> = BTreeSet::new();
    for joint in plan.joints.values().filter(|joint| plan.on_a_wheel(joint)) {
        for fixing in &joint.fixings {
            if let Thread::Metric { diameter, .. } = fixing.thread {
                let across = joint.drives.iter().filter_map(|drive| drive.across);
                of_wheels.extend(across.map(|across| (hundredths(diameter), hundredths(across.base()))));
            }
        }
    }
    for joint in plan.joints.values() {
        let Some(diameter) = diameter(plan, joint) else {
            continue;
        };
        for drive in &joint.drives {
            if let (DriveKind::Head | DriveKind::NutHead, Some(across)) = (drive.kind, drive.across) {
                heads
                    .entry(diameter)
                    .or_default()
                    .entry(hundredths(across.base()))
                    .or_default()
                    .insert(drive.at, joint);
            }
        }
    }
    for (diameter, sizes) in heads {
        let Some((usual, many)) = sizes.iter().max_by_key(|(_, places)| places.len()) else {
            continue;
        };
        let others: Vec<(&Size, &Span, &&Joint)> = sizes
            .iter()
            .filter(|(size, _)| *size != usual)
            .flat_map(|(size, places)| places.iter().map(move |(at, joint)| (size, at, joint)))
            .collect();
        let on_wheels = |size: Size| of_wheels.contains(&(diameter, size));
        if let ([(size, at, joint)], true) = (others.as_slice(), many.len() >= AGREEING)
            && !told.contains_key(at)
            && !on_wheels(**size)
        {
            findings.push(odd(joint, **at, diameter, **size, *usual, many.len()));
        }
    }
}

/// The one diameter of a joint's metric fixings, where its head can be judged.
fn diameter(plan: &Plan, joint: &Joint) -> Option<Size> {
    let line = joint.kind.value.is_line();
    if line || !joint.opens.is_empty() || plan.on_a_wheel(joint) {
        return None;
    }
    let mut all = joint.fixings.iter().map(|fixing| match fixing.thread {
        Thread::Metric { diameter, .. } => Some(hundredths(diameter)),
        Thread::Unified { .. } => None,
    });
    let first = all.next()??;
    all.all(|other| other == Some(first)).then_some(first)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a bolt is no thicker than a house"
)]
fn hundredths(length: f64) -> Size {
    (length * 100.0).round() as Size
}

fn odd(joint: &Joint, at: Span, diameter: Size, size: Size, usual: Size, many: usize) -> Finding {
    let mm = |hundredths: Size| {
        if hundredths % 100 == 0 {
            format!("{}", hundredths / 100)
        } else {
            format!("{}.{:02}", hundredths / 100, hundredths % 100)
        }
    };
    let name = &joint.head.name;
    let mut finding = Finding::new(
        &WRONG_SPANNER,
        format!(
            "`{name}` is the one M{} head of {} mm: the other {many} have {} mm",
            mm(diameter),
            mm(size),
            mm(usual)
        ),
    )
    .at(at, "another series of heads, or a slip")
    .harm("The fitter lies below with the wrong socket.")
    .mend(format!(
        "Measure it; if it is so, accept it: accept wrong-spanner for {name} because \"measured\""
    ))
    .about(name.to_string());
    finding.severity = Severity::Advice;
    finding
}
