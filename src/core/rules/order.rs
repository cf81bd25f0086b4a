//! The family **order**: what the order of steps says without a walk through the machine. What the walk says of acts is
//! worded beside this file; neither knows where findings go.

use std::collections::BTreeMap;

use super::{Family, order_acts, rule};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Does, Id, Need, OpeningAct, Plan, Step, Tool};

rule!(
    ORDER_RING,
    "order-ring",
    Fault,
    true,
    "Steps wait for each other in a ring by `after`, so that none of them can be first."
);
rule!(
    BEFORE_ITS_TURN,
    "before-its-turn",
    Fault,
    true,
    "A step says `after` of a step that stands later in the order of work."
);
rule!(
    TOOL_NOT_MADE,
    "tool-not-made",
    Fault,
    true,
    "A step needs a tool that is still to be made, before any step has made it up."
);
rule!(
    CLAMP_ON_PIPE,
    "clamp-on-pipe",
    Doubt,
    true,
    "A clamp is put on a line that is a rigid pipe."
);

/// On what has to come before what.
pub static FAMILY: Family = Family {
    name: "order",
    about: "what has to come before what",
    rules: &[
        &ORDER_RING,
        &BEFORE_ITS_TURN,
        &TOOL_NOT_MADE,
        &CLAMP_ON_PIPE,
        &order_acts::ALREADY_DONE,
        &order_acts::NOT_ON,
        &order_acts::STILL_ON,
        &order_acts::NOT_HELD,
        &order_acts::NOT_OFF,
        &order_acts::OUT_OF_REACH,
        &order_acts::UNDER_A_JACK,
        &order_acts::STILL_FULL,
        &order_acts::STILL_LIVE,
        &order_acts::STILL_JOINED,
        &order_acts::STILL_HELD_ELSEWHERE,
        &order_acts::STILL_BENEATH,
        &order_acts::DRAW_NOT_UNDO,
        &order_acts::NOT_STARTED,
        &order_acts::WRONG_RIG,
        &order_acts::RIG_IN_USE,
        &order_acts::NO_WHEELS_UNDER,
        &order_acts::NOTHING_OPEN,
        &order_acts::TOO_LATE,
        &order_acts::NOTHING_TO_RENEW_WITH,
        &order_acts::NOT_READY,
        &order_acts::WEIGHED_ON_STANDS,
        &order_acts::EARTH_NOT_FIRST,
        &order_acts::FUEL_NEAR_LIVE,
        &order_acts::FILLED_OTHERWISE,
        &order_acts::NO_CHOCKS,
    ],
};

/// Asks all rules of this family.
pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    let place: BTreeMap<Id<Step>, usize> = plan
        .order
        .iter()
        .enumerate()
        .map(|(at, &step)| (step, at))
        .collect();
    let in_ring = rings(plan, findings);
    turns(plan, &place, &in_ring, findings);
    tools(plan, findings);
    clamps(plan, findings);
}

/// What squeezes a hose flattens a pipe. A pipe that goes to a thing that is called a hose is clamped on that.
fn clamps(plan: &Plan, findings: &mut Vec<Finding>) {
    for act in plan.steps.values().flat_map(Step::acts) {
        let Does::Opening {
            act: OpeningAct::Clamp,
            joints,
            ..
        } = &act.does
        else {
            continue;
        };
        for said in joints {
            let joint = &plan.joints[said.value];
            let gives = joint.rigid.map_or(joint.kind.value.gives(), |rigid| !rigid.value);
            let mut ends = joint
                .ends
                .iter()
                .flatten()
                .flat_map(|end| plan.parts_of(end.value));
            if !joint.kind.value.is_line() || gives || ends.any(|part| plan.parts[part].is_hose()) {
                continue;
            }
            let name = &joint.head.name;
            findings.push(
                Finding::new(&CLAMP_ON_PIPE, format!("`{name}` is clamped, and it is a rigid pipe"))
                    .at(said.at, "clamped here")
                    .at(joint.kind.at, "rigid")
                    .harm("The pipe is flattened or kinked, and does not close; later it cracks there.")
                    .mend(format!(
                        "Undo it, and close its end: cap {name}. If it is flexible where the clamp goes, say so on the joint: flexible"
                    ))
                    .about(name.to_string()),
            );
        }
    }
}

/// Rings of `after`, each told once. Gives the steps that lie in one, since their turn is no second finding.
fn rings(plan: &Plan, findings: &mut Vec<Finding>) -> Vec<bool> {
    #[derive(Clone, Copy, PartialEq)]
    enum State {
        New,
        Open,
        Done,
    }
    let mut state = vec![State::New; plan.steps.len()];
    let mut in_ring = vec![false; plan.steps.len()];
    for start in plan.steps.ids() {
        if state.get(start.index()) != Some(&State::New) {
            continue;
        }
        // A path of steps, each with how many of its `after` were followed; no recursion, for a plan may be long.
        let mut path: Vec<(Id<Step>, usize)> = vec![(start, 0)];
        set(&mut state, start, State::Open);
        while let Some((step, followed)) = path.last_mut() {
            let here = *step;
            let Some(next) = plan.steps[here].after.get(*followed) else {
                set(&mut state, here, State::Done);
                path.pop();
                continue;
            };
            *followed += 1;
            let to = next.value;
            match state.get(to.index()) {
                Some(State::New) => {
                    set(&mut state, to, State::Open);
                    path.push((to, 0));
                }
                Some(State::Open) => {
                    let from = path.iter().position(|(open, _)| *open == to).unwrap_or(0);
                    let ring: Vec<Id<Step>> = path.iter().skip(from).map(|(step, _)| *step).collect();
                    for &step in &ring {
                        set(&mut in_ring, step, true);
                    }
                    findings.push(ring_finding(plan, &ring));
                }
                _ => {}
            }
        }
    }
    in_ring
}

fn set<T>(list: &mut [T], at: Id<Step>, to: T) {
    if let Some(slot) = list.get_mut(at.index()) {
        *slot = to;
    }
}

fn ring_finding(plan: &Plan, ring: &[Id<Step>]) -> Finding {
    let names: Vec<&str> = ring.iter().map(|&step| &*plan.steps[step].head.name).collect();
    let mut finding = Finding::new(
        &ORDER_RING,
        match names.as_slice() {
            [alone] => format!("step `{alone}` waits for itself"),
            _ => format!("steps wait for each other in a ring: {}", names.join(", ")),
        },
    )
    .harm("No order of work fits, and one of these waits may be the one that keeps fingers out.")
    .mend("Take out the wait that is wrong.")
    .about(names.first().copied().unwrap_or(""));
    for (at, &step) in ring.iter().enumerate() {
        let next = ring.get((at + 1) % ring.len()).copied();
        let mention = plan.steps[step]
            .after
            .iter()
            .find(|after| Some(after.value) == next);
        if let Some(mention) = mention {
            finding = finding.at(mention.at, format!("{} waits here", plan.steps[step].head.name));
        }
    }
    finding
}

fn turns(plan: &Plan, place: &BTreeMap<Id<Step>, usize>, in_ring: &[bool], findings: &mut Vec<Finding>) {
    for &id in &plan.order {
        let step = &plan.steps[id];
        let ringed = |step: Id<Step>| in_ring.get(step.index()).copied().unwrap_or(false);
        for after in &step.after {
            let late = place.get(&after.value) >= place.get(&id);
            if !late || (ringed(id) && ringed(after.value)) {
                continue;
            }
            let other = &plan.steps[after.value].head;
            findings.push(
                Finding::new(
                    &BEFORE_ITS_TURN,
                    format!(
                        "step `{}` comes before `{}`, which it has to wait for",
                        step.head.name, other.name
                    ),
                )
                .at(after.at, "has to come after this step")
                .at(other.at, "which stands later")
                .harm("The binder prints them in this order, and so they are done.")
                .mend(format!(
                    "Move `{}` after `{}`, or take out the wait.",
                    step.head.name, other.name
                ))
                .about(step.head.name.to_string()),
            );
        }
    }
}

/// Tools that a step needs or uses before they are made up.
fn tools(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut made: Vec<Id<Tool>> = Vec::new();
    let mut told: Vec<Id<Tool>> = Vec::new();
    for &id in &plan.order {
        let step = &plan.steps[id];
        let first = step.acts().next().map(|act| act.at);
        let mut ask = |tool: Id<Tool>, at: Span, made: &[Id<Tool>]| {
            let wanted = &plan.tools[tool];
            if !wanted.supply.to_make() || made.contains(&tool) || told.contains(&tool) {
                return;
            }
            told.push(tool);
            let name = &wanted.head.name;
            let finding = Finding::new(&TOOL_NOT_MADE, format!("`{name}` is used before it is made up"))
                .at(at, "needed here")
                .at(wanted.head.at, "still to be made")
                .harm("The job stands still, perhaps with something hanging, until it is made.")
                .mend(format!("In an earlier step: make up {name}"))
                .about(name.to_string());
            findings.push(match first {
                Some(act) => finding.edit(
                    Span::new(act.source, act.start, act.start),
                    format!("make up {name}; "),
                ),
                None => finding,
            });
        };
        // A step may make up what it needs itself, so its needs are asked when its acts are known.
        let makes: Vec<Id<Tool>> = step
            .acts()
            .filter_map(|act| match &act.does {
                Does::MakeUp(tools) => Some(tools.iter().map(|tool| tool.value)),
                // No tool comes of it.
                _ => None,
            })
            .flatten()
            .collect();
        for need in &step.needs {
            if let Need::Tool(tool) = need.value
                && !makes.contains(&tool)
            {
                ask(tool, need.at, &made);
            }
        }
        for act in step.acts() {
            match &act.does {
                Does::MakeUp(tools) => made.extend(tools.iter().map(|tool| tool.value)),
                does => {
                    if let Some(tool) = does.tool() {
                        ask(tool.value, tool.at, &made);
                    }
                }
            }
        }
    }
}
