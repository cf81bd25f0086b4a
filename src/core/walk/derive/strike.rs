//! What written steps of a derived stage do themselves: the same act on the same name is not derived a second time. Knows the acts
//! of written steps; nothing of the order of those that are derived.

use std::collections::BTreeSet;

use super::back::Undoes;
use crate::plan::model::{Bearer, Does, Fluid, Id, Joint, Load, OpeningAct, Part, Plan, Rig, Step, Thing};

#[derive(Debug, Default)]
pub struct Written {
    pub started: BTreeSet<Id<Joint>>,
    pub tightened: BTreeSet<Id<Joint>>,
    pub pressed_home: BTreeSet<Id<Joint>>,
    pub verified: BTreeSet<Id<Joint>>,
    opened: BTreeSet<Id<Joint>>,
    pub fitted: BTreeSet<Id<Part>>,
    raised: BTreeSet<Id<Part>>,
    slid: BTreeSet<Id<Part>>,
    moved_back: BTreeSet<Id<Part>>,
    untied: BTreeSet<Id<Part>>,
    tied: BTreeSet<Id<Part>>,
    tilted_back: BTreeSet<Id<Part>>,
    raised_by: BTreeSet<Id<Part>>,
    released: BTreeSet<(Id<Part>, Option<Id<Rig>>)>,
    filled: BTreeSet<Id<Fluid>>,
    bled: BTreeSet<Id<Fluid>>,
}

fn parts<'a>(
    plan: &'a Plan,
    loads: impl IntoIterator<Item = Load> + 'a,
) -> impl Iterator<Item = Id<Part>> + 'a {
    loads.into_iter().flat_map(|load| match load {
        Load::Thing(thing) => plan.parts_of(thing),
        Load::Vehicle(_) => Vec::new(),
    })
}

impl Written {
    pub fn of(plan: &Plan, steps: &[Id<Step>]) -> Self {
        let mut all = Self::default();
        let written = steps.iter().map(|&step| &plan.steps[step]);
        for act in written.filter(|step| step.derived.is_none()).flat_map(Step::acts) {
            all.note(plan, &act.does);
        }
        all
    }

    fn note(&mut self, plan: &Plan, does: &Does) {
        let of = |things: &[crate::plan::model::Said<Thing>]| -> Vec<Id<Part>> {
            things
                .iter()
                .flat_map(|thing| plan.parts_of(thing.value))
                .collect()
        };
        match does {
            Does::Start(list) | Does::Join { all: list, .. } => {
                self.started.extend(list.iter().map(|one| one.joint.value))
            }
            Does::Tighten(list) => self.tightened.extend(list.iter().map(|one| one.joint.value)),
            Does::Wait(list) => self.tightened.extend(list.iter().map(|one| one.value)),
            Does::PressHome { joints, .. } => self.pressed_home.extend(joints.iter().map(|said| said.value)),
            Does::Verify { joints, .. } => self.verified.extend(joints.iter().map(|said| said.value)),
            Does::Opening {
                act: OpeningAct::Uncap | OpeningAct::Unplug | OpeningAct::Unclamp,
                joints,
                ..
            } => self.opened.extend(joints.iter().map(|said| said.value)),
            Does::Fit(things) => self.fitted.extend(of(things)),
            Does::SlideHome(things) => self.slid.extend(of(things)),
            Does::MoveBack(things) => self.moved_back.extend(of(things)),
            Does::Untie(things) => self.untied.extend(of(things)),
            Does::Raise {
                things, on: Some(_), ..
            } => {
                self.raised
                    .extend(parts(plan, things.iter().map(|said| said.value)));
            }
            Does::Raise { things, on: None, .. } => {
                self.raised_by
                    .extend(parts(plan, things.iter().map(|said| said.value)));
            }
            Does::Tilt {
                things, back: true, ..
            } => {
                self.tilted_back
                    .extend(parts(plan, things.iter().map(|said| said.value)));
            }
            Does::TieUp { thing, .. } => self.tied.extend(plan.parts_of(thing.value)),
            Does::Release { things, from } => {
                // From nobody named is from all; hands let go of nothing that a rig holds.
                let rig = match from.map(|said| said.value) {
                    None => None,
                    Some(Bearer::Rig(rig)) => Some(rig),
                    Some(_) => return,
                };
                let parts = parts(plan, things.iter().map(|said| said.value));
                self.released.extend(parts.map(|part| (part, rig)));
            }
            Does::Fill { fluids, .. } => self.filled.extend(fluids.iter().map(|said| said.value)),
            Does::Bleed(fluids) => self.bled.extend(fluids.iter().map(|said| said.value)),
            // It stands for nothing that would be derived.
            _ => {}
        }
    }

    /// Whether a written step does this.
    pub fn strikes(&self, plan: &Plan, does: &Undoes) -> bool {
        let all = |set: &BTreeSet<Id<Part>>, loads: &[Load]| {
            let mut parts = parts(plan, loads.iter().copied()).peekable();
            parts.peek().is_some() && parts.all(|part| set.contains(&part))
        };
        let thing = |set: &BTreeSet<Id<Part>>, thing: Thing| all(set, &[Load::Thing(thing)]);
        match does {
            Undoes::Start(joint) => self.started.contains(joint) || self.pressed_home.contains(joint),
            Undoes::Tighten(joint) => self.tightened.contains(joint),
            Undoes::PressHome(joint) => self.pressed_home.contains(joint),
            Undoes::Open { joint, .. } => self.opened.contains(joint),
            Undoes::Fit { parts, .. } => parts.iter().all(|part| self.fitted.contains(part)),
            Undoes::Raise { loads, .. } => all(&self.raised, loads),
            Undoes::Hold { loads, .. } => all(&self.fitted, loads),
            Undoes::RaiseBy { loads, .. } => all(&self.fitted, loads) || all(&self.raised_by, loads),
            Undoes::Tilt {
                loads, back: true, ..
            } => all(&self.tilted_back, loads),
            Undoes::TieUp { thing: moved, .. } => thing(&self.tied, *moved),
            Undoes::Release { loads, from } => {
                let mut parts = parts(plan, loads.iter().copied());
                parts.all(|part| {
                    self.released.contains(&(part, None)) || self.released.contains(&(part, Some(*from)))
                })
            }
            Undoes::SlideHome(moved) => thing(&self.slid, *moved),
            Undoes::MoveBack(moved) => thing(&self.moved_back, *moved),
            Undoes::Untie(moved) => thing(&self.untied, *moved),
            Undoes::Fill(fluid) => self.filled.contains(fluid),
            Undoes::Bleed(fluid) => self.bled.contains(fluid),
            _ => false,
        }
    }
}
