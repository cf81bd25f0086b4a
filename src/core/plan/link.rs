//! What shows only when all blocks are read: the order of work, what assemblies hold, rings, joints without sense,
//! names that nothing uses.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::declare::Declared;
use super::logged;
use super::model::{
    Assembly, Fitted, Id, Log, Part, Plan, Progress, Stage, Step, StepLine, StoppedAt, Thing,
};
use super::plan_error::{PlanError, ReverseFault};
use super::resolve::Resolved;
use super::reversed;
use super::scope::Scope;
use crate::base::source::Span;
use crate::syntax::shapes::BlockKind;

/// Completes a plan whose blocks are read.
pub fn link(resolved: &mut Resolved, scope: &Scope, blocks: &[Declared<'_>], plans: &[Span]) {
    let Resolved { plan, slips, .. } = resolved;
    match plans {
        [] => slips.push(PlanError::NoPlan {
            at: first_place(blocks),
        }),
        [first, others @ ..] => {
            slips.extend(others.iter().map(|&second| PlanError::TwoPlans {
                first: *first,
                second,
            }));
        }
    }
    same_as_rings(scope, blocks, slips);
    assemblies(plan, slips);
    order_of_work(plan, blocks, slips);
    joints(plan, slips);
    rests(plan, slips);
    lacking(plan, slips);
    if plan.steps.is_empty() && !plans.is_empty() {
        slips.push(PlanError::NoSteps {
            at: plans.first().copied(),
        });
    }
    if plan.vehicles.is_empty() && !plan.steps.is_empty() && !plans.is_empty() {
        slips.push(PlanError::NoVehicle {
            at: plans.first().copied(),
        });
    }
    never_used(plan, scope, slips);
}

fn first_place(blocks: &[Declared<'_>]) -> Option<Span> {
    blocks.first().map(|block| block.at)
}

/// Rings of `same as`, each told once, at its first block.
fn same_as_rings(scope: &Scope, blocks: &[Declared<'_>], slips: &mut Vec<PlanError>) {
    let lends: Vec<Option<(usize, Span)>> = blocks
        .iter()
        .map(|block| {
            block.body().iter().find_map(|statement| {
                let mut cursor = block.cursor(statement);
                cursor.eat("same as")?;
                let (name, at) = cursor.name()?;
                Some((scope.block_of(name)?, at))
            })
        })
        .collect();
    let mut settled = vec![false; blocks.len()];
    for start in 0..blocks.len() {
        let mut path: Vec<usize> = Vec::new();
        let mut at = start;
        loop {
            if settled.get(at).copied().unwrap_or(true) {
                break;
            }
            if let Some(from) = path.iter().position(|&seen| seen == at) {
                let ring = path.get(from..).unwrap_or_default();
                let names = ring
                    .iter()
                    .filter_map(|&place| {
                        let (_, mention) = lends.get(place).copied().flatten()?;
                        Some((blocks.get(place)?.name.to_owned(), mention))
                    })
                    .collect();
                slips.push(PlanError::SameAsRing { names });
                break;
            }
            path.push(at);
            match lends.get(at).copied().flatten() {
                Some((next, _)) => at = next,
                None => break,
            }
        }
        for place in path {
            if let Some(flag) = settled.get_mut(place) {
                *flag = true;
            }
        }
    }
}

/// Flattens assemblies into parts; tells rings and overlaps.
fn assemblies(plan: &mut Plan, slips: &mut Vec<PlanError>) {
    #[derive(Clone, Copy, PartialEq)]
    enum State {
        New,
        Open,
        Done,
    }
    fn visit(
        plan: &mut Plan,
        id: Id<Assembly>,
        state: &mut [State],
        path: &mut Vec<(Id<Assembly>, Span)>,
        slips: &mut Vec<PlanError>,
    ) {
        let set = |state: &mut [State], to: State| {
            if let Some(slot) = state.get_mut(id.index()) {
                *slot = to;
            }
        };
        set(state, State::Open);
        let of = plan.assemblies[id].of.clone();
        let mut parts: Vec<Id<Part>> = Vec::new();
        for member in of {
            match member.value {
                Thing::Part(part) => parts.push(part),
                Thing::Assembly(inner) => {
                    match state.get(inner.index()).copied().unwrap_or(State::Done) {
                        State::Open => {
                            let from = path.iter().position(|(open, _)| *open == inner).unwrap_or(0);
                            let mut names: Vec<(String, Span)> = path
                                .iter()
                                .skip(from + 1)
                                .map(|(open, at)| (plan.assemblies[*open].head.name.to_string(), *at))
                                .collect();
                            names.push((plan.assemblies[inner].head.name.to_string(), member.at));
                            slips.push(PlanError::ContainsItself { names });
                            continue;
                        }
                        State::New => {
                            path.push((inner, member.at));
                            // Nesting is as deep as the owner writes it; a path of thousands would be a plan of thousands.
                            if path.len() < 1000 {
                                visit(plan, inner, state, path, slips);
                            }
                            path.pop();
                        }
                        State::Done => {}
                    }
                    parts.extend(plan.assemblies[inner].parts.iter().copied());
                }
            }
        }
        let mut seen = BTreeSet::new();
        parts.retain(|part| seen.insert(*part));
        plan.assemblies[id].parts = parts;
        set(state, State::Done);
    }
    let mut state = vec![State::New; plan.assemblies.len()];
    let ids: Vec<_> = plan.assemblies.ids().collect();
    for &id in &ids {
        if state.get(id.index()) == Some(&State::New) {
            let at = plan.assemblies[id].head.at;
            visit(plan, id, &mut state, &mut vec![(id, at)], slips);
        }
    }
    overlaps(plan, slips);
}

/// Each part or assembly may be named directly by one assembly only: then two assemblies either nest or share nothing.
fn overlaps(plan: &Plan, slips: &mut Vec<PlanError>) {
    let mut owner: std::collections::BTreeMap<Thing, (Id<Assembly>, Span)> =
        std::collections::BTreeMap::new();
    for (id, assembly) in plan.assemblies.iter() {
        for member in &assembly.of {
            match owner.get(&member.value) {
                None => {
                    owner.insert(member.value, (id, member.at));
                }
                Some(&(first, first_at)) => {
                    let name = match member.value {
                        Thing::Part(part) => plan.parts[part].head.name.to_string(),
                        Thing::Assembly(inner) => plan.assemblies[inner].head.name.to_string(),
                    };
                    slips.push(PlanError::Overlap {
                        part: name,
                        first: (plan.assemblies[first].head.name.to_string(), first_at),
                        second: (assembly.head.name.to_string(), member.at),
                    });
                }
            }
        }
    }
}

/// Puts the steps into their stages and the stages in their order.
fn order_of_work(plan: &mut Plan, blocks: &[Declared<'_>], slips: &mut Vec<PlanError>) {
    let mut stage: Option<Id<Stage>> = None;
    let mut file = None;
    let mut loose: Option<Span> = None;
    let mut files_with_steps: Vec<Span> = Vec::new();
    let mut in_stage = vec![Vec::new(); plan.stages.len()];
    let mut without: Vec<Id<Step>> = Vec::new();
    for block in blocks {
        if file != Some(block.source) {
            file = Some(block.source);
            stage = None;
        }
        match block.kind {
            BlockKind::Stage => stage = Some(Id::new(block.first)),
            BlockKind::Step => {
                if files_with_steps
                    .last()
                    .is_none_or(|last| last.source != block.source)
                {
                    files_with_steps.push(block.at);
                }
                for offset in 0..block.count {
                    let step = Id::new(block.place(offset));
                    match stage {
                        Some(stage) => {
                            plan.steps[step].stage = Some(stage);
                            if let Some(steps) = in_stage.get_mut(stage.index()) {
                                steps.push(step);
                            }
                        }
                        None => {
                            loose = loose.or(Some(block.at));
                            without.push(step);
                        }
                    }
                }
            }
            _ => {}
        }
    }
    for (id, steps) in plan.stages.ids().collect::<Vec<_>>().into_iter().zip(in_stage) {
        plan.stages[id].steps = steps;
    }
    let staged = plan
        .steps
        .values()
        .find(|step| step.stage.is_some())
        .map(|step| step.head.at);
    if let (Some(at), Some(other)) = (loose, staged.or_else(|| files_with_steps.get(1).copied())) {
        slips.push(PlanError::StepsWithoutStage { at, other });
    }
    let stage_files: BTreeSet<_> = plan.stages.values().map(|stage| stage.head.at.source).collect();
    let listed = plan.about.as_ref().and_then(|about| about.stages.clone());
    plan.stage_order = match &listed {
        Some(list) => {
            let mut order: Vec<Id<Stage>> = Vec::new();
            let mut places: Vec<Span> = Vec::new();
            for said in &list.value {
                match order.iter().position(|&stage| stage == said.value) {
                    Some(earlier) => slips.push(PlanError::StageListedTwice {
                        stage: plan.stages[said.value].head.name.to_string(),
                        first: places.get(earlier).copied().unwrap_or(said.at),
                        second: said.at,
                    }),
                    None => {
                        order.push(said.value);
                        places.push(said.at);
                    }
                }
            }
            for (id, stage) in plan.stages.iter() {
                if !order.contains(&id) {
                    let name = stage.head.name.to_string();
                    slips.push(PlanError::StageNotListed {
                        stage: name,
                        at: stage.head.at,
                        list: Some(list.at),
                    });
                    order.push(id);
                }
            }
            order
        }
        None => {
            if stage_files.len() > 1 {
                slips.push(PlanError::NoStageOrder {
                    at: plan.stages.values().map(|stage| stage.head.at).collect(),
                    plan: plan.about.as_ref().map(|about| about.head.at),
                    names: plan
                        .stages
                        .values()
                        .map(|stage| stage.head.name.to_string())
                        .collect(),
                });
            }
            plan.stages.ids().collect()
        }
    };
    derived_steps(plan, slips);
    let mut order = without;
    for &stage in &plan.stage_order {
        order.extend(plan.stages[stage].steps.iter().copied());
    }
    plan.order = order;
    steps_of_logs(plan);
    logged::settle(plan);
}

/// Each log has its steps in the order of work; of a list that runs backwards those between are meant, and a rule tells it.
fn steps_of_logs(plan: &mut Plan) {
    if plan.logs.is_empty() {
        return;
    }
    let mut places = vec![usize::MAX; plan.steps.len()];
    for (nth, step) in plan.order.iter().enumerate() {
        if let Some(place) = places.get_mut(step.index()) {
            *place = nth;
        }
    }
    let place = |step: Id<Step>| places.get(step.index()).copied().unwrap_or(usize::MAX);
    for log in &mut plan.logs {
        let mut steps: BTreeSet<(usize, Id<Step>)> = BTreeSet::new();
        for named in &log.named {
            let from = named.from.value;
            steps.insert((place(from), from));
            let Some(to) = named.to.map(|said| said.value) else {
                continue;
            };
            steps.insert((place(to), to));
            let (first, last) = (place(from).min(place(to)), place(from).max(place(to)));
            let between = plan.order.get(first..=last).unwrap_or_default();
            steps.extend(between.iter().map(|&step| (place(step), step)));
        }
        log.steps = steps.into_iter().map(|(_, step)| step).collect();
    }
    let mut progress = Progress::default();
    let mut by_day: Vec<(usize, &Log)> = plan.logs.iter().enumerate().collect();
    by_day.sort_by_key(|(_, log)| {
        log.done
            .or(log.stopped.as_ref().map(|said| said.value.on))
            .map(|on| on.value)
    });
    let mut fitted: Vec<Fitted> = Vec::new();
    let mut midst: Option<(Id<Step>, usize)> = None;
    for (nth, log) in by_day {
        let stopped = log.stopped.as_ref();
        let at_act = stopped.is_some_and(|said| !matches!(said.value.place, StoppedAt::After(_)));
        if at_act && let Some(&last) = log.steps.last() {
            midst = Some((last, nth));
        }
        for &step in &log.steps {
            if log.done.is_some() && midst.is_some_and(|(other, _)| other == step) {
                midst = None;
            }
            if let Some(done) = log.done {
                progress.done.insert(step, done.value);
                progress.skipped.remove(&step);
            } else if let Some(skipped) = &log.skipped
                && !progress.done.contains_key(&step)
            {
                progress.skipped.insert(step, skipped.at);
            }
        }
        fitted.extend(log.fitted.iter().cloned());
    }
    // What is left out is not done, and undone by nothing.
    for &step in progress.skipped.keys() {
        plan.steps[step]
            .lines
            .retain(|line| !matches!(line, StepLine::Act(_)));
    }
    let stopped = plan.logs.iter().filter_map(|log| log.stopped.as_ref());
    let stopped = stopped.filter_map(|said| match &said.value.place {
        StoppedAt::After(step) => Some(step.value),
        StoppedAt::Act(_) | StoppedAt::Letter(_) => None,
    });
    let done = progress.done.keys().copied().chain(stopped);
    progress.last = done
        .filter(|&step| place(step) < usize::MAX)
        .max_by_key(|&step| place(step));
    // Work behind a step that was stopped says that this one is over.
    let behind = |step: Id<Step>| progress.last.is_none_or(|last| place(last) < place(step));
    progress.stopped = midst.filter(|(step, _)| behind(*step)).map(|(_, log)| log);
    plan.progress = progress;
    // What went in counts from here on, for the torque table, the labels and the way back.
    for fitted in fitted {
        let joint = &mut plan.joints[fitted.joint.value];
        if !fitted.fixings.is_empty() {
            let declared = plan.progress.declared.entry(fitted.joint.value);
            declared.or_insert_with(|| joint.fixings.clone());
            joint.fixings = fitted.fixings;
        }
        if fitted.torque.is_some() {
            joint.torque = fitted.torque;
        }
    }
}

/// Puts derived steps into their stages, last done first. Only a stage that comes before can be reversed.
fn derived_steps(plan: &mut Plan, slips: &mut Vec<PlanError>) {
    let place = |plan: &Plan, stage| plan.stage_order.iter().position(|&other| other == stage);
    let done = |plan: &Plan, step: Id<Step>| {
        let from = plan.steps[step].derived.as_ref()?.from;
        let stage = plan.steps[from].stage?;
        let within = plan.stages[stage].steps.iter().position(|&other| other == from);
        Some((place(plan, stage), within))
    };
    for id in plan.stages.ids().collect::<Vec<_>>() {
        let reverses = plan.stages[id].reverses.clone();
        for said in reverses.iter().filter(|said| said.value != id) {
            if place(plan, said.value) > place(plan, id) {
                slips.push(PlanError::CannotReverse {
                    at: said.at,
                    name: plan.stages[said.value].head.name.to_string(),
                    why: ReverseFault::Later,
                });
            }
        }
        let mut derived: Vec<Id<Step>> = plan
            .steps
            .iter()
            .filter(|(_, step)| step.derived.is_some() && step.stage == Some(id))
            .map(|(step, _)| step)
            .filter(|&step| done(plan, step).is_some_and(|(stage, _)| stage < place(plan, id)))
            .collect();
        derived.sort_by_key(|&step| std::cmp::Reverse(done(plan, step)));
        let stands_for = |plan: &Plan, step: Id<Step>| plan.steps[step].instead_of.is_some();
        if reverses.is_empty() && !plan.stages[id].steps.iter().any(|&step| stands_for(plan, step)) {
            continue;
        }
        let written = std::mem::take(&mut plan.stages[id].steps);
        plan.stages[id].steps = reversed::order(plan, &written, &derived, slips);
    }
}

fn joints(plan: &Plan, slips: &mut Vec<PlanError>) {
    for joint in plan.joints.values() {
        let Some([from, to]) = &joint.ends else { continue };
        let parts = [plan.parts_of(from.value), plan.parts_of(to.value)];
        let [near, far] = &parts;
        let shared = near.iter().find(|part| far.contains(part));
        if let Some(&part) = shared {
            let inside = (from.value != to.value).then(|| plan.parts[part].head.name.to_string());
            let thing = match from.value {
                Thing::Part(id) => plan.parts[id].head.name.to_string(),
                Thing::Assembly(id) => plan.assemblies[id].head.name.to_string(),
            };
            slips.push(PlanError::JointToItself {
                joint: joint.head.name.to_string(),
                at: from.at.to(to.at),
                thing,
                inside,
            });
        }
    }
}

/// Things that rest on each other in a ring: taken as resting on nothing.
fn rests(plan: &mut Plan, slips: &mut Vec<PlanError>) {
    let under: Vec<Option<Id<Part>>> = plan
        .parts
        .values()
        .map(|part| part.rests_on.map(|said| said.value))
        .collect();
    let mut told: BTreeSet<Id<Part>> = BTreeSet::new();
    for start in plan.parts.ids().collect::<Vec<_>>() {
        let mut ring = vec![start];
        while let Some(next) = ring.last().and_then(|last| *under.get(last.index())?) {
            if next == start || ring.contains(&next) || ring.len() > under.len() {
                break;
            }
            ring.push(next);
        }
        let closes = ring.last().and_then(|last| *under.get(last.index())?) == Some(start);
        if !closes || ring.iter().any(|part| told.contains(part)) {
            continue;
        }
        told.extend(&ring);
        let name = |id: Id<Part>| plan.parts[id].head.name.to_string();
        let names = ring
            .iter()
            .filter_map(|&id| Some((name(id), plan.parts[id].rests_on?.at)))
            .collect();
        slips.push(PlanError::RestsRound { names });
    }
    for part in told {
        plan.parts[part].rests_on = None;
    }
}

/// Statements without which a block says nothing.
fn lacking(plan: &Plan, slips: &mut Vec<PlanError>) {
    let mut lacks = |head: &super::model::Head, is: &'static str, form: &'static str| {
        slips.push(PlanError::Lacks {
            at: head.at,
            block: head.block,
            name: head.name.to_string(),
            is,
            form,
        });
    };
    for caution in plan.cautions.values() {
        if caution.signal.is_none() {
            lacks(&caution.head, "caution", "signal warning");
        }
        if caution.avoid.is_empty() {
            lacks(&caution.head, "caution", "avoid \"what to do\"");
        }
        if caution.harm.is_none() {
            lacks(&caution.head, "caution", "harm \"what it does to you\"");
        }
    }
    for energy in plan.energies.values().filter(|energy| energy.kind.is_none()) {
        lacks(&energy.head, "energy", "electric");
    }
    for rig in plan
        .rigs
        .values()
        .filter(|rig| rig.lifts.is_none() && rig.holds.is_none())
    {
        lacks(&rig.head, "rig", "lifts, holds");
    }
    for assembly in plan.assemblies.values().filter(|assembly| assembly.of.is_empty()) {
        lacks(&assembly.head, "assembly", "of PART, PART");
    }
    for vehicle in plan.vehicles.values().filter(|vehicle| vehicle.body.is_none()) {
        lacks(&vehicle.head, "vehicle", "body shell");
    }
}

/// Names that nothing mentions. What belongs to a shared workshop is there for other plans too.
fn never_used(plan: &Plan, scope: &Scope, slips: &mut Vec<PlanError>) {
    let mut tell = |head: &super::model::Head, is: &'static str, counts: bool| {
        let used = scope.entry(&head.name).is_none_or(|entry| scope.is_used(entry));
        if !used && !head.shared && counts {
            slips.push(PlanError::NeverUsed {
                name: head.name.to_string(),
                at: head.at,
                is,
            });
        }
    };
    let only_vehicle = plan.vehicles.len() == 1;
    plan.vehicles
        .values()
        .for_each(|vehicle| tell(&vehicle.head, "vehicle", !only_vehicle));
    plan.parts
        .values()
        .for_each(|part| tell(&part.head, "part", !part.is_body && part.in_place_of.is_none()));
    plan.assemblies
        .values()
        .for_each(|assembly| tell(&assembly.head, "assembly", true));
    plan.fluids
        .values()
        .for_each(|fluid| tell(&fluid.head, "fluid", true));
    plan.energies.values().for_each(|energy| {
        tell(
            &energy.head,
            "energy",
            energy.safe_after.is_none() && energy.held_in_by.is_empty(),
        )
    });
    plan.cautions
        .values()
        .for_each(|caution| tell(&caution.head, "caution", true));
    plan.rigs
        .values()
        .for_each(|rig| tell(&rig.head, "rig", !rig.is_floor));
    plan.tools
        .values()
        .for_each(|tool| tell(&tool.head, "tool", true));
    plan.consumables
        .values()
        .for_each(|consumable| tell(&consumable.head, "consumable", true));
    plan.people
        .values()
        .for_each(|person| tell(&person.head, "person", true));
    plan.scales
        .values()
        .for_each(|scale| tell(&scale.head, "scale", true));
}
