//! The family **order**: how much of a fluid goes in, against how much came out and how much it holds. Knows volumes as they are written, no state.

use super::order_acts::FILLED_OTHERWISE;
use crate::analysis::vehicle_weighings::When;
use crate::base::finding::Finding;
use crate::base::quantity::Volume;
use crate::base::source::Span;
use crate::plan::model::{Act, Does, Fluid, Id, Plan};
use crate::weights;

/// Less than this share of what it holds is a point that slipped, for a gearbox keeps half of its oil and a tank takes what one buys; and more than
/// that one is too much. Common practice, no source.
const SHORT: f64 = 0.2;
const OVER: f64 = 1.1;

/// What is known of a fluid's amount.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Level {
    /// As it was found.
    Full,
    /// Drained, and so much filled since, in litres.
    Filled(f64),
    /// A line of it was opened: some ran out.
    Unknown,
}

pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    for (id, fluid) in plan.fluids.iter() {
        let Some(holds) = fluid.holds.map(|said| said.value) else {
            continue;
        };
        // Another tank in the place of the old one holds what it holds; another radiator leaves the water of the engine.
        let replaced = |part| {
            plan.parts
                .values()
                .any(|other| other.in_place_of.is_some_and(|place| place.value.part == part))
        };
        let inside = plan.insides();
        let inside = inside.get(id.index()).map_or(&[][..], |inside| inside.as_slice());
        let other = !inside.is_empty() && inside.iter().all(|&part| replaced(part));
        of_one(plan, id, holds, other, findings);
    }
}

fn of_one(plan: &Plan, id: Id<Fluid>, holds: Volume, other: bool, findings: &mut Vec<Finding>) {
    let most = holds.base();
    let found = weights::started_with(plan, id).map_or(most, Volume::base);
    let mut level = Level::Full;
    let mut last: Option<(Span, Volume)> = None;
    for act in plan.order.iter().flat_map(|&step| plan.steps[step].acts()) {
        if opens(plan, act, id) && level == Level::Full {
            level = Level::Unknown;
        }
        match &act.does {
            Does::Drain { fluids, .. } if fluids.iter().any(|said| said.value == id) => {
                short(plan, id, level, last.take(), found.min(most), other, findings);
                level = Level::Filled(0.0);
            }
            Does::Fill {
                fluids,
                with: Some(with),
            } if fluids.iter().any(|said| said.value == id) => {
                let goes_in = with.value.base();
                if goes_in <= 0.0 {
                    continue;
                }
                // More than it holds is told as that, at once and in sum.
                let never_drained = level == Level::Full && goes_in <= most * OVER;
                if !other && never_drained && found + goes_in > most * OVER {
                    findings.push(over(plan, id, with.at, with.value, holds));
                }
                if let Level::Filled(so_far) = level {
                    level = Level::Filled(so_far + goes_in);
                    last = Some((with.at, with.value));
                }
            }
            // No other act says how much goes in or out.
            _ => {}
        }
    }
    short(plan, id, level, last, found.min(most), other, findings);
}

/// What is known of its amount at a moment of the work; none where the moment is no act of it.
pub(super) fn level_at(plan: &Plan, id: Id<Fluid>, when: When) -> Option<Level> {
    let mut level = Level::Full;
    let (until, acts) = match when {
        When::AsFound => return Some(level),
        When::After(step) => (step, usize::MAX),
        When::Before(step, act) => (step, act),
    };
    for &step in &plan.order {
        let last = step == until;
        let most = if last { acts } else { usize::MAX };
        for act in plan.steps[step].acts().take(most) {
            if opens(plan, act, id) && level == Level::Full {
                level = Level::Unknown;
            }
            match &act.does {
                Does::Drain { fluids, .. } if fluids.iter().any(|said| said.value == id) => {
                    level = Level::Filled(0.0);
                }
                Does::Fill { fluids, with } if fluids.iter().any(|said| said.value == id) => {
                    level = match (level, with) {
                        (Level::Filled(so_far), Some(with)) => Level::Filled(so_far + with.value.base()),
                        (Level::Filled(_) | Level::Full | Level::Unknown, _) => Level::Unknown,
                    };
                }
                // No other act says how much goes in or out.
                _ => {}
            }
        }
        if last {
            return Some(level);
        }
    }
    None
}

/// A joint of its lines is parted.
fn opens(plan: &Plan, act: &Act, id: Id<Fluid>) -> bool {
    let Does::Undo(list) = &act.does else { return false };
    list.iter().any(|said| {
        let joint = &plan.joints[said.joint.value];
        let of = joint
            .of
            .is_some_and(|of| matches!(of.value, crate::plan::model::Content::Fluid(fluid) if fluid == id));
        of || joint.opens.iter().any(|opened| opened.value == id)
    })
}

fn short(
    plan: &Plan,
    id: Id<Fluid>,
    level: Level,
    last: Option<(Span, Volume)>,
    wanted: f64,
    other: bool,
    findings: &mut Vec<Finding>,
) {
    let (Level::Filled(in_it), Some((at, with))) = (level, last) else {
        return;
    };
    if other || in_it >= wanted * SHORT {
        return;
    }
    let name = &plan.fluids[id].head.name;
    findings.push(
        Finding::new(
            &FILLED_OTHERWISE,
            format!("`{name}` was drained, and {with} goes in; it was {wanted:.2} l"),
        )
        .at(at, "less than a fifth of it")
        .harm("It runs dry: a bearing seizes, or the pedal finds air.")
        .mend("Look at the point and the unit; what is filled later says so too: fill it in two acts")
        .about(name.to_string()),
    );
}

fn over(plan: &Plan, id: Id<Fluid>, at: Span, with: Volume, holds: Volume) -> Finding {
    let name = &plan.fluids[id].head.name;
    let mut finding = Finding::new(
        &FILLED_OTHERWISE,
        format!("{with} of `{name}` goes in, and there is room for {holds} in all, and it was never drained"),
    )
    .at(at, "more than it takes");
    if let Some(said) = plan.fluids[id].holds {
        finding = finding.at(said.at, "it holds so much");
    }
    finding
        .harm("It runs over, or foams, and pushes its seals out.")
        .mend(format!(
            "Before this act: drain {name} into a tool that holds {holds}"
        ))
        .about(name.to_string())
}
