//! Which joints are out and which parts are off, step by step, as far as the sheets before a move need it. It
//! follows the plan's words and judges nothing: whether an act may be done is the walk's question.

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::model::{
    Bearer, Does, Fixings, Id, Joint, Load, OpeningAct, Part, Person, Plan, Rig, Said, Seat, Starts, Thing,
};

#[derive(Debug, Clone, Default)]
pub struct Standing {
    off: BTreeSet<Id<Part>>,
    /// Fixings that are out.
    out: BTreeMap<Id<Joint>, u32>,
    closed: BTreeMap<Id<Joint>, OpeningAct>,
    held: BTreeMap<Id<Part>, Id<Rig>>,
    in_hands: BTreeMap<Id<Part>, Id<Person>>,
}

impl Standing {
    #[must_use]
    pub fn at_start(plan: &Plan) -> Standing {
        let mut standing = Standing::default();
        standing.off.extend(
            plan.parts
                .iter()
                .filter(|(_, part)| part.in_place_of.is_some())
                .map(|(id, _)| id),
        );
        let starts = plan.about.iter().flat_map(|about| &about.starts);
        for start in starts {
            match start {
                Starts::Off(thing) => standing.off.extend(plan.parts_of(thing.value)),
                Starts::On(thing) => plan.parts_of(thing.value).iter().for_each(|part| {
                    standing.off.remove(part);
                }),
                Starts::Out(joint) => standing.all_out(plan, joint.value),
                Starts::Slack(_) | Starts::Drained(_) | Starts::Holds(..) => {}
            }
        }
        standing
    }

    #[must_use]
    pub fn is_off(&self, part: Id<Part>) -> bool {
        self.off.contains(&part)
    }

    #[must_use]
    pub fn is_out(&self, plan: &Plan, joint: Id<Joint>) -> bool {
        self.out
            .get(&joint)
            .is_some_and(|&out| out >= plan.joints[joint].fixing_count())
    }

    /// Capped, plugged or clamped.
    #[must_use]
    pub fn closed(&self, joint: Id<Joint>) -> Option<OpeningAct> {
        self.closed.get(&joint).copied()
    }

    #[must_use]
    pub fn held_by(&self, part: Id<Part>) -> Option<Id<Rig>> {
        self.held.get(&part).copied()
    }

    #[must_use]
    pub fn in_hands_of(&self, part: Id<Part>) -> Option<Id<Person>> {
        self.in_hands.get(&part).copied()
    }

    fn all_out(&mut self, plan: &Plan, joint: Id<Joint>) {
        self.out.insert(joint, plan.joints[joint].fixing_count());
    }

    fn turn_out(&mut self, plan: &Plan, fixings: &Fixings) {
        let joint = fixings.joint.value;
        let all = plan.joints[joint].fixing_count();
        let out = self.out.get(&joint).copied().unwrap_or(0);
        let more = fixings.count.map_or(all, |said| said.value);
        self.out.insert(joint, out.saturating_add(more).min(all));
    }

    fn hold(&mut self, plan: &Plan, loads: &[Said<Load>], rig: Id<Rig>) {
        for part in parts_of(plan, loads) {
            self.in_hands.remove(&part);
            if plan.rigs[rig].is_floor {
                self.held.remove(&part);
            } else {
                self.held.insert(part, rig);
            }
        }
    }

    /// Follows one act.
    pub fn take(&mut self, plan: &Plan, does: &Does) {
        match does {
            Does::Undo(all) => all.iter().for_each(|fixings| self.turn_out(plan, fixings)),
            Does::Start(all) | Does::Tighten(all) => all.iter().for_each(|fixings| {
                self.out.remove(&fixings.joint.value);
            }),
            Does::Pin { fixings, .. } => {
                let all = plan.joints[fixings.joint.value].fixing_count();
                let stay = fixings.count.map_or(1, |said| said.value);
                self.out.insert(fixings.joint.value, all.saturating_sub(stay));
            }
            Does::Break { joint, .. } => self.all_out(plan, joint.value),
            Does::PressApart { joints, .. } => {
                joints.iter().for_each(|joint| self.all_out(plan, joint.value));
            }
            Does::PressHome { joints, .. } => joints.iter().for_each(|joint| {
                self.out.remove(&joint.value);
            }),
            Does::Draw { things, by, .. } => {
                for joint in sliding_at(plan, things) {
                    let engaged = plan.joints[joint].engaged;
                    if engaged.is_none_or(|engaged| by.value.base() >= engaged.value.base()) {
                        self.all_out(plan, joint);
                    }
                }
            }
            Does::SlideHome(things) => sliding_at(plan, things).iter().for_each(|joint| {
                self.out.remove(joint);
            }),
            Does::Opening { act, joints, .. } => {
                for joint in joints {
                    match act {
                        OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug => {
                            self.closed.insert(joint.value, *act);
                        }
                        OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug => {
                            self.closed.remove(&joint.value);
                        }
                    }
                }
            }
            Does::TakeOff(things) => {
                for part in things.iter().flat_map(|thing| plan.parts_of(thing.value)) {
                    self.off.insert(part);
                    self.in_hands.remove(&part);
                }
            }
            Does::Fit(things) | Does::Try(things) => {
                for part in things.iter().flat_map(|thing| plan.parts_of(thing.value)) {
                    self.off.remove(&part);
                }
            }
            Does::Hold { things, by } => match by.value {
                Bearer::Rig(rig) => self.hold(plan, things, rig),
                Bearer::Person(person) => self
                    .in_hands
                    .extend(parts_of(plan, things).into_iter().map(|part| (part, person))),
            },
            Does::Raise {
                things,
                on: Some(rig),
                ..
            } => self.hold(plan, things, rig.value),
            Does::Set { things, on, .. } => match on.value {
                Seat::Rig(rig) => self.hold(plan, things, rig),
                Seat::Thing(_) => self.release(plan, things),
            },
            Does::Release { things, .. } => self.release(plan, things),
            _ => {}
        }
    }

    fn release(&mut self, plan: &Plan, things: &[Said<Load>]) {
        for part in parts_of(plan, things) {
            self.held.remove(&part);
            self.in_hands.remove(&part);
        }
    }
}

/// The parts of what an act handles; the vehicle is no part.
#[must_use]
pub fn parts_of(plan: &Plan, loads: &[Said<Load>]) -> Vec<Id<Part>> {
    loads
        .iter()
        .flat_map(|load| match load.value {
            Load::Thing(thing) => plan.parts_of(thing),
            Load::Vehicle(_) => Vec::new(),
        })
        .collect()
}

fn sliding_at(plan: &Plan, things: &[Said<Thing>]) -> Vec<Id<Joint>> {
    let parts: BTreeSet<Id<Part>> = things
        .iter()
        .flat_map(|thing| plan.parts_of(thing.value))
        .collect();
    plan.joints
        .iter()
        .filter(|(_, joint)| joint.kind.value.slides())
        .filter(|(_, joint)| {
            joint.ends.is_some_and(|ends| {
                let inside = ends.map(|end| plan.parts_of(end.value).iter().any(|part| parts.contains(part)));
                inside.iter().filter(|&&is| is).count() == 1
            })
        })
        .map(|(id, _)| id)
        .collect()
}
