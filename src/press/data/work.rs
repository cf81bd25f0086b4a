//! Mirrors of the work as it is planned: stages, and steps with their lines.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::acts::Named;
use super::context::{Common, Context, Place, Ref, names, refer, text};
use super::things::{Picture, picture};
use crate::plan::model::{Asked, Id, Need, Said, Stage, Step, StepLine, TimeFigure};
use crate::plan::write;

#[derive(Serialize)]
struct TimeOf {
    likely_min: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    best_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst_min: Option<f64>,
}

fn time(said: Option<Said<TimeFigure>>) -> Option<TimeOf> {
    said.map(|said| TimeOf {
        likely_min: said.value.likely.base(),
        best_min: said.value.spread.map(|(best, _)| best.base()),
        worst_min: said.value.spread.map(|(_, worst)| worst.base()),
    })
}

#[derive(Serialize)]
pub(super) struct StageOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    /// From 1, in the order of work.
    number: usize,
    reverses: Vec<&'a str>,
    cautions: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    time: Option<TimeOf>,
    steps: Vec<&'a str>,
}

/// Stages in the order of work.
pub(super) fn stages<'a>(context: &Context<'a>) -> Vec<StageOf<'a>> {
    let plan = context.plan;
    let stage = |(nth, &id): (usize, &Id<Stage>)| {
        let stage = &plan.stages[id];
        StageOf {
            common: context.common(&stage.head),
            number: nth + 1,
            reverses: names(&stage.reverses, |id| &plan.stages[id].head),
            cautions: names(&stage.cautions, |id| &plan.cautions[id].head),
            time: time(stage.time),
            steps: stage.steps.iter().map(|&id| &*plan.steps[id].head.name).collect(),
        }
    };
    plan.stage_order.iter().enumerate().map(stage).collect()
}

/// What stands in a step, in order.
#[derive(Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
enum LineOf<'a> {
    Act {
        verb: &'static str,
        text: String,
        names: Vec<Named<'a>>,
        #[serde(flatten)]
        place: Place<'a>,
    },
    Note {
        text: &'a str,
        #[serde(flatten)]
        place: Place<'a>,
    },
    Picture(Picture<'a>),
    Caution {
        name: &'a str,
    },
}

#[derive(Serialize)]
pub(super) struct StepOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    /// As on paper.
    number: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<&'a str>,
    by: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    calls: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stop_word: Option<&'a str>,
    after: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    instead_of: Option<&'a str>,
    /// What it was called on paper that is printed.
    #[serde(skip_serializing_if = "Option::is_none")]
    was: Option<&'a str>,
    /// The swaps that it says it is done for.
    #[serde(rename = "for", skip_serializing_if = "Vec::is_empty")]
    for_swaps: Vec<&'a str>,
    /// For a step that nobody wrote: the step that it undoes.
    #[serde(skip_serializing_if = "Option::is_none")]
    derived_from: Option<&'a str>,
    /// What could not be worked out of it.
    left_to_owner: Vec<Ref<'a>>,
    needs: Vec<Ref<'a>>,
    cautions: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    time: Option<TimeOf>,
    /// The plan says that it can be left after this step.
    said_safe_to_leave: bool,
    #[serde(skip_serializing_if = "super::things::is_false")]
    said_safe_overnight: bool,
    lines: Vec<LineOf<'a>>,
}

/// Steps in the order of work.
pub(super) fn steps<'a>(context: &Context<'a>) -> Vec<StepOf<'a>> {
    context.plan.order.iter().map(|&id| step(context, id)).collect()
}

fn step<'a>(context: &Context<'a>, id: Id<Step>) -> StepOf<'a> {
    let plan = context.plan;
    let step = &plan.steps[id];
    let step_name = |id: Id<Step>| &*plan.steps[id].head.name;
    let asked = step.derived.iter().flat_map(|derived| &derived.asked);
    StepOf {
        common: context.common(&step.head),
        number: context.number(id),
        stage: step.stage.map(|id| &*plan.stages[id].head.name),
        by: names(&step.by, |id| &plan.people[id].head),
        calls: step.calls.map(|said| &*plan.people[said.value].head.name),
        stop_word: text(step.stop_word.as_ref()),
        after: names(&step.after, |id| &plan.steps[id].head),
        was: step.head.was.as_deref(),
        instead_of: step.instead_of.map(|said| step_name(said.value)),
        for_swaps: names(&step.for_swaps, |id| &plan.swaps[id].head),
        derived_from: step.derived.as_ref().map(|derived| step_name(derived.from)),
        left_to_owner: asked
            .map(|asked| match *asked {
                Asked::Part(id) => refer("part", &plan.parts[id].head),
                Asked::Joint(id) => refer("joint", &plan.joints[id].head),
            })
            .collect(),
        needs: step
            .needs
            .iter()
            .map(|said| match said.value {
                Need::Tool(id) => refer("tool", &plan.tools[id].head),
                Need::Rig(id) => refer("rig", &plan.rigs[id].head),
                Need::Consumable(id) => refer("consumable", &plan.consumables[id].head),
            })
            .collect(),
        cautions: names(&step.cautions, |id| &plan.cautions[id].head),
        time: time(step.time),
        said_safe_to_leave: step.safe_to_leave.is_some(),
        said_safe_overnight: step.safe_overnight.is_some(),
        lines: step.lines.iter().map(|line| written(context, line)).collect(),
    }
}

fn written<'a>(context: &Context<'a>, line: &'a StepLine) -> LineOf<'a> {
    match line {
        StepLine::Act(act) => LineOf::Act {
            verb: act.does.kind().word(),
            text: write::act(context.plan, &act.does),
            names: super::acts::names(context, &act.does),
            place: context.place(act.at),
        },
        StepLine::Note(note) => LineOf::Note {
            text: &note.text,
            place: context.place(note.at),
        },
        StepLine::Figure(figure) => LineOf::Picture(picture(figure)),
        StepLine::Caution(said) => LineOf::Caution {
            name: &context.plan.cautions[said.value].head.name,
        },
    }
}
