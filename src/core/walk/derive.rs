//! Stages that reverse others: the acts of their steps, worked out from the acts that they undo and from the machine's state at
//! each of these. What is worked out is walked afterwards like anything that was written. Words nothing.

mod acts;
mod arrange;
mod back;
mod inverse;
mod moved;
mod place;
mod strike;
mod who;

use std::collections::{BTreeMap, BTreeSet};

use super::breaks::Break;
use super::layout::Layout;
use super::state::State;
use super::walker::Walker;
use crate::plan::model::{Asked, Caution, Id, Plan, Said, Stage, Step, StepLine};
use crate::weights::Table as Masses;
use back::Back;

/// What a stage is derived from, beside the plan.
struct Ground<'a> {
    plan: &'a Plan,
    layout: &'a Layout,
    /// The machine when the stage begins.
    start: &'a State,
}

/// What undoes one step.
#[derive(Default)]
struct Undoing {
    backs: Vec<Back>,
    asked: BTreeSet<Asked>,
}

/// Fills the steps of every stage that reverses others; steps with nothing to do vanish. Gives what has to be asked of the owner.
pub fn derive(plan: &mut Plan, masses: &Masses) -> Vec<Break> {
    let mut breaks = Vec::new();
    let stages: Vec<Id<Stage>> = plan
        .stage_order
        .iter()
        .copied()
        .filter(|&stage| !plan.stages[stage].reverses.is_empty())
        .collect();
    for stage in stages {
        derive_stage(plan, masses, stage, &mut breaks);
        let empty = |plan: &Plan, step: Id<Step>| {
            let step = &plan.steps[step];
            let nothing = step
                .derived
                .as_ref()
                .is_some_and(|derived| derived.asked.is_empty());
            nothing && step.stage == Some(stage) && step.acts().next().is_none()
        };
        let vanished: BTreeSet<Id<Step>> = plan.steps.ids().filter(|&step| empty(plan, step)).collect();
        plan.order.retain(|step| !vanished.contains(step));
        plan.stages[stage].steps.retain(|step| !vanished.contains(step));
    }
    breaks
}

fn derive_stage(plan: &mut Plan, masses: &Masses, stage: Id<Stage>, breaks: &mut Vec<Break>) {
    let before: Vec<Id<Step>> = plan
        .order
        .iter()
        .copied()
        .take_while(|&step| plan.steps[step].stage != Some(stage))
        .collect();
    let layout = Layout::new(plan, masses);
    let mut walker = Walker::new(plan, &layout);
    walker.run_steps(&before);
    let Walker {
        state,
        kept,
        changes,
        act_changes,
        ..
    } = walker;
    let ground = Ground {
        plan,
        layout: &layout,
        start: &state,
    };
    let Some(first) = kept.first() else { return };
    let mut undoings = undoings(
        &ground,
        stage,
        &before,
        first.state.clone(),
        &changes,
        &act_changes,
        breaks,
    );
    let mut filled: Vec<(Id<Step>, Step)> = Vec::new();
    let steps = plan.stages[stage].steps.clone();
    let arranged = arrange::arrange(&ground, &steps, &mut undoings);
    for (id, acts) in arranged {
        let Some(derived) = &plan.steps[id].derived else {
            continue;
        };
        let from = &plan.steps[derived.from];
        let asked = undoings.get(&derived.from).map(|undoing| undoing.asked.clone());
        let mut step = plan.steps[id].clone();
        step.by.clone_from(&from.by);
        if acts.two_people && step.by.len() < 2 {
            step.by = two_people(plan, from);
        }
        step.calls.clone_from(&from.calls);
        step.stop_word.clone_from(&from.stop_word);
        step.needs.clone_from(&from.needs);
        step.cautions.clone_from(&from.cautions);
        step.cautions.retain(|said| plan.fits_way(said.value, id));
        if !plan.progress.skipped.contains_key(&id) {
            step.lines = lines(from, acts.acts);
        }
        step.lines
            .retain(|line| !matches!(line, StepLine::Caution(said) if !plan.fits_way(said.value, id)));
        if let Some(derived) = &mut step.derived {
            derived.asked = asked.into_iter().flatten().collect();
        }
        filled.push((id, step));
    }
    for (id, step) in filled {
        plan.steps[id] = step;
    }
    // What the stages that it undoes warn of is as true on the way back.
    let lent: Vec<Said<Id<Caution>>> = plan.stages[stage]
        .reverses
        .iter()
        .flat_map(|from| plan.stages[from.value].cautions.clone())
        .collect();
    for said in lent {
        let both_ways = plan.cautions[said.value].only.is_none();
        let cautions = &mut plan.stages[stage].cautions;
        if both_ways && cautions.iter().all(|own| own.value != said.value) {
            cautions.push(said);
        }
    }
}

/// Who works where a second person has to check: those of the step, and one more of the crew.
fn two_people(plan: &Plan, from: &Step) -> Vec<Said<Id<crate::plan::model::Person>>> {
    let crew = plan.about.as_ref().map_or(&[][..], |about| &about.crew);
    if from.by.is_empty() {
        return Vec::new();
    }
    let more = crew
        .iter()
        .find(|one| from.by.iter().all(|other| other.value != one.value));
    from.by.iter().chain(more).copied().collect()
}

/// What undoes each act of each step that the stage reverses, in the order of the acts.
#[allow(
    clippy::too_many_arguments,
    reason = "all that a walk left behind, and where to tell"
)]
fn undoings(
    ground: &Ground<'_>,
    stage: Id<Stage>,
    before: &[Id<Step>],
    mut state: State,
    changes: &[super::state::Change],
    act_changes: &[(usize, usize)],
    breaks: &mut Vec<Break>,
) -> BTreeMap<Id<Step>, Undoing> {
    let plan = ground.plan;
    let undone: BTreeSet<Id<Step>> = plan
        .steps
        .values()
        .filter(|step| step.stage == Some(stage))
        .filter_map(|step| step.derived.as_ref().map(|derived| derived.from))
        .collect();
    let mut all: BTreeMap<Id<Step>, Undoing> = BTreeMap::new();
    let mut inverse = inverse::Inverse::new(ground);
    let mut played = 0;
    let mut nth = 0;
    for &id in before {
        for act in plan.steps[id].acts() {
            let (begin, end) = act_changes.get(nth).copied().unwrap_or((played, played));
            nth += 1;
            for change in changes.get(played..begin).unwrap_or_default() {
                state.apply(change);
            }
            let made = changes.get(begin..end).unwrap_or_default();
            if undone.contains(&id) {
                let undoing = all.entry(id).or_default();
                inverse.act(id, act, &state, made, undoing, breaks);
            } else {
                inverse.passed(act);
            }
            for change in made {
                state.apply(change);
            }
            played = end.max(played);
        }
    }
    for closed in inverse.closed_again {
        for undoing in all.values_mut() {
            undoing.backs.retain(|back| back.number != closed);
        }
    }
    all
}

/// The lines of a derived step: each caution before what undoes the acts that it guarded, figures first.
fn lines(from: &Step, acts: Vec<crate::plan::model::Act>) -> Vec<StepLine> {
    let mut guards: BTreeMap<u32, Vec<StepLine>> = BTreeMap::new();
    let mut lines = Vec::new();
    let mut waiting = Vec::new();
    let mut acted = false;
    for line in &from.lines {
        match line {
            StepLine::Caution(_) if acted => waiting.push(line.clone()),
            StepLine::Caution(_) | StepLine::Figure(_) => lines.push(line.clone()),
            StepLine::Act(act) => {
                acted = true;
                if !waiting.is_empty() {
                    guards.entry(act.at.start).or_default().append(&mut waiting);
                }
            }
            StepLine::Note(_) => {}
        }
    }
    for act in acts {
        lines.extend(guards.remove(&act.at.start).into_iter().flatten());
        lines.push(StepLine::Act(act));
    }
    lines
}
