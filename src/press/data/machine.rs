//! Mirror of the walk: the machine as it was found, and what each step changed. Asks the walk, and works out nothing of its own.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::{Serialize, Serializer};

use super::context::{Context, Ref, fine, refer};
use super::things::parts;
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
        let mut before = machine(context, &context.compilation.walk.before(plan));
        to.collect_seq(plan.order.iter().enumerate().filter_map(|(nth, &step)| {
            let now = machine(context, &context.compilation.walk.after_nth(plan, nth)?);
            let told = now.after(&before, &plan.steps[step].head.name, context.number(step));
            before = now;
            Some(told)
        }))
    }
}

/// What a step changed. A list that stayed the same has no key; written whole, the lists of a long job would be far more than its plan.
#[derive(Serialize)]
struct AfterStep<'a> {
    step: &'a str,
    number: String,
    #[serde(skip_serializing_if = "Change::is_none")]
    off: Change<&'a str>,
    #[serde(skip_serializing_if = "Change::is_none")]
    out: Change<&'a str>,
    #[serde(skip_serializing_if = "Change::is_none")]
    slack: Change<&'a str>,
    #[serde(skip_serializing_if = "Change::is_none")]
    held: Change<HeldOf<'a>>,
    #[serde(skip_serializing_if = "Change::is_none")]
    tied_up: Change<TiedOf<'a>>,
    #[serde(skip_serializing_if = "Change::is_none")]
    open: Change<OpenOf<'a>>,
    #[serde(skip_serializing_if = "Change::is_none")]
    drained: Change<&'a str>,
    #[serde(skip_serializing_if = "Change::is_none")]
    live: Change<&'a str>,
    front: StandOf<'a>,
    rear: StandOf<'a>,
    safe_to_leave: bool,
    #[serde(skip_serializing_if = "Change::is_none")]
    unsafe_for: Change<Ref<'a>>,
}

/// What a list has now and had not before, and what it had and has no longer.
#[derive(Serialize)]
struct Change<T> {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    come: Vec<T>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    gone: Vec<T>,
}

impl<T: Copy + PartialEq> Change<T> {
    /// Lists are in the plan's order, and a step changes little of them: what both begin and end with is passed over.
    fn between(before: &[T], now: &[T]) -> Self {
        let both = before.iter().zip(now);
        let first = both.take_while(|(before, now)| before == now).count();
        let rest = before.len().min(now.len()) - first;
        let both = before.iter().rev().zip(now.iter().rev()).take(rest);
        let last = both.take_while(|(before, now)| before == now).count();
        let between = |list: &'_ [T]| -> Vec<T> {
            let many = list.len() - first - last;
            list.iter().skip(first).take(many).copied().collect()
        };
        let (before, now) = (between(before), between(now));
        Self {
            come: now.iter().filter(|one| !before.contains(one)).copied().collect(),
            gone: before.iter().filter(|one| !now.contains(one)).copied().collect(),
        }
    }
}

impl<T> Change<T> {
    fn is_none(&self) -> bool {
        self.come.is_empty() && self.gone.is_empty()
    }
}

#[derive(Serialize)]
struct HeldOf<'a> {
    by: Ref<'a>,
    parts: Vec<&'a str>,
}

impl<'a> HeldOf<'a> {
    fn change(before: &[HeldOf<'a>], now: &[HeldOf<'a>]) -> Change<HeldOf<'a>> {
        let parts = |list: &[HeldOf<'a>], by: Ref<'a>| {
            let found = list.iter().find(|held| held.by == by);
            found.map(|held| held.parts.clone()).unwrap_or_default()
        };
        let mut change = Change {
            come: Vec::new(),
            gone: Vec::new(),
        };
        let left = before
            .iter()
            .filter(|held| !now.iter().any(|other| other.by == held.by));
        for by in now.iter().chain(left).map(|held| held.by) {
            let of = Change::between(&parts(before, by), &parts(now, by));
            for (into, parts) in [(&mut change.come, of.come), (&mut change.gone, of.gone)] {
                if !parts.is_empty() {
                    into.push(HeldOf { by, parts });
                }
            }
        }
        change
    }
}

impl<'a> MachineOf<'a> {
    fn after(&self, before: &MachineOf<'a>, step: &'a str, number: String) -> AfterStep<'a> {
        AfterStep {
            step,
            number,
            off: Change::between(&before.off, &self.off),
            out: Change::between(&before.out, &self.out),
            slack: Change::between(&before.slack, &self.slack),
            held: HeldOf::change(&before.held, &self.held),
            tied_up: Change::between(&before.tied_up, &self.tied_up),
            open: Change::between(&before.open, &self.open),
            drained: Change::between(&before.drained, &self.drained),
            live: Change::between(&before.live, &self.live),
            front: self.front,
            rear: self.rear,
            safe_to_leave: self.safe_to_leave,
            unsafe_for: Change::between(&before.unsafe_for, &self.unsafe_for),
        }
    }
}

#[derive(Serialize, Clone, Copy, PartialEq)]
struct TiedOf<'a> {
    part: &'a str,
    to: &'a str,
}

#[derive(Serialize, Clone, Copy, PartialEq)]
struct OpenOf<'a> {
    joint: &'a str,
    how: &'static str,
    /// A fluid of the line is not drained.
    wet: bool,
}

#[derive(Serialize, Clone, Copy)]
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
            name: which.word(),
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
                    Opening::CappedAndPlugged => "capped and plugged",
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
