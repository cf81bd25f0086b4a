//! Mirror of the walk: the machine as it was found, and after each step. Asks the walk, and works out nothing of its own.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::{Serialize, Serializer};

use super::context::{Context, Ref, fine, refer};
use super::things::{end, parts};
use crate::plan::model::{End, Head, Id, Joint};
use crate::walk::after::After;
use crate::walk::breaks::Subject;
use crate::walk::state::{Holder, Opening, Stand};

#[derive(Serialize)]
pub(super) struct WalkOf<'c, 'a> {
    /// Whether what the walk found is among the findings; not where the text has faults.
    checked: bool,
    found: MachineOf<'a>,
    after: AfterSteps<'c, 'a>,
}

/// Made one by one as they are written: together they are far more than the plan.
struct AfterSteps<'c, 'a>(&'c Context<'a>);

impl Serialize for AfterSteps<'_, '_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let context = self.0;
        let plan = context.plan;
        to.collect_seq(plan.order.iter().enumerate().filter_map(|(nth, &step)| {
            Some(AfterStep {
                step: &plan.steps[step].head.name,
                number: context.number(step),
                machine: machine(context, &context.compilation.walk.after_nth(plan, nth)?),
            })
        }))
    }
}

#[derive(Serialize)]
struct AfterStep<'a> {
    step: &'a str,
    number: String,
    #[serde(flatten)]
    machine: MachineOf<'a>,
}

#[derive(Serialize)]
struct HeldOf<'a> {
    by: Ref<'a>,
    parts: Vec<&'a str>,
}

#[derive(Serialize)]
struct TiedOf<'a> {
    part: &'a str,
    to: &'a str,
}

#[derive(Serialize)]
struct OpenOf<'a> {
    joint: &'a str,
    how: &'static str,
    /// A fluid of the line is not drained.
    wet: bool,
}

#[derive(Serialize)]
struct StandOf<'a> {
    on: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rig: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    height_mm: Option<f64>,
}

#[derive(Serialize)]
struct MachineOf<'a> {
    off: Vec<&'a str>,
    out: Vec<&'a str>,
    slack: Vec<&'a str>,
    held: Vec<HeldOf<'a>>,
    tied_up: Vec<TiedOf<'a>>,
    open: Vec<OpenOf<'a>>,
    drained: Vec<&'a str>,
    live: Vec<&'a str>,
    front: StandOf<'a>,
    rear: StandOf<'a>,
    safe_to_leave: bool,
    /// What keeps it from being left.
    unsafe_for: Vec<Ref<'a>>,
}

/// What keeps the job from being left, by name.
fn subject<'a>(context: &Context<'a>, subject: Subject) -> Option<Ref<'a>> {
    let plan = context.plan;
    let of = |kind, head: &'a Head| Some(refer(kind, head));
    match subject {
        Subject::Part(id) => of("part", &plan.parts[id].head),
        Subject::Joint(id) => of("joint", &plan.joints[id].head),
        Subject::Rig(id) => of("rig", &plan.rigs[id].head),
        Subject::Person(id) => of("person", &plan.people[id].head),
        Subject::Fluid(id) => of("fluid", &plan.fluids[id].head),
        Subject::Energy(id) => of("energy", &plan.energies[id].head),
        Subject::Tool(id) => of("tool", &plan.tools[id].head),
        Subject::Step(id) => of("step", &plan.steps[id].head),
        Subject::WeighIn(id) => of("weigh-in", &plan.weigh_ins[id].head),
        Subject::End(which) => Some(Ref {
            kind: "end",
            name: end(which),
        }),
        Subject::Vehicle => of("vehicle", &plan.vehicles[plan.vehicle()?].head),
    }
}

fn stand<'a>(context: &Context<'a>, after: &After<'_>, which: End) -> StandOf<'a> {
    match after.state().stand(which) {
        Stand::Wheels => StandOf {
            on: "wheels or feet",
            rig: None,
            height_mm: None,
        },
        Stand::Rig { rig, height, .. } => StandOf {
            on: "rig",
            rig: Some(&context.plan.rigs[rig].head.name),
            // Kept in tenths.
            height_mm: height
                .and_then(|tenths| i32::try_from(tenths).ok())
                .and_then(|tenths| fine(f64::from(tenths) / 10.0)),
        },
    }
}

fn machine<'a>(context: &Context<'a>, after: &After<'_>) -> MachineOf<'a> {
    let plan = context.plan;
    let joints = |ids: &mut dyn Iterator<Item = Id<Joint>>| -> Vec<&'a str> {
        ids.map(|id| &*plan.joints[id].head.name).collect()
    };
    let held = after.held().into_iter().filter_map(|(holder, held)| {
        let by = match holder {
            Holder::Rig(id) => refer("rig", &plan.rigs[id].head),
            Holder::Person(id) => refer("person", &plan.people[id].head),
            // A stand-in of the walk's, so that one fault is told once; nobody in the shop holds it.
            Holder::Repair => return None,
        };
        Some(HeldOf {
            by,
            parts: parts(context, held),
        })
    });
    let keeps = after.unsafe_to_leave();
    MachineOf {
        off: parts(context, after.taken_off()),
        out: joints(&mut after.out()),
        slack: joints(&mut after.slack()),
        held: held.collect(),
        tied_up: after
            .tied_up()
            .map(|(part, to)| TiedOf {
                part: &plan.parts[part].head.name,
                to: &plan.parts[to].head.name,
            })
            .collect(),
        open: after
            .openings()
            .map(|(joint, opening)| OpenOf {
                joint: &plan.joints[joint].head.name,
                how: match opening {
                    Opening::Shut => "shut",
                    Opening::Clamped => "clamped",
                    Opening::Open => "open",
                    Opening::Capped => "capped",
                    Opening::Plugged => "plugged",
                },
                wet: after.is_wet(joint),
            })
            .collect(),
        drained: plan
            .fluids
            .iter()
            .filter(|(id, _)| !after.is_full(*id))
            .map(|(_, fluid)| &*fluid.head.name)
            .collect(),
        live: after.live().map(|id| &*plan.energies[id].head.name).collect(),
        front: stand(context, after, End::Front),
        rear: stand(context, after, End::Rear),
        safe_to_leave: keeps.is_empty(),
        unsafe_for: keeps.into_iter().filter_map(|of| subject(context, of)).collect(),
    }
}

/// None where nothing was walked.
pub(super) fn walk<'c, 'a>(context: &'c Context<'a>) -> Option<WalkOf<'c, 'a>> {
    let (compilation, plan) = (context.compilation, context.plan);
    (!plan.order.is_empty()).then(|| WalkOf {
        checked: !compilation.unwalked,
        found: machine(context, &compilation.walk.before(plan)),
        after: AfterSteps(context),
    })
}
