//! Where one act goes: at once, behind the fixings that are put in by hand, behind the wheels or the last joint of a fluid. Follows
//! what is held, fitted and raised meanwhile.

use std::collections::BTreeSet;

use super::arrange::{Arranger, Placed};
use super::back::{Back, Undoes};
use crate::base::source::Span;
use crate::plan::model::{Bearer, Id, Joint, Load, OpeningAct, Part, Rig, Seat, Step, Thing};

impl Arranger<'_> {
    fn put(&mut self, at: Span, does: Undoes) {
        self.placed.push(Placed { at, does });
    }

    /// What waits is done: first everything is tightened, then rigs let go.
    pub fn flush(&mut self) {
        let tighten = std::mem::take(&mut self.tighten);
        for placed in tighten {
            let joint = match placed.does {
                Undoes::Tighten(joint) => Some(joint),
                _ => None,
            };
            self.placed.push(placed);
            self.unclamp(joint);
        }
        let release = std::mem::take(&mut self.release);
        self.placed.extend(release);
    }

    /// A clamp goes when the joint that it was set for is tight.
    fn unclamp(&mut self, joint: Option<Id<Joint>>) {
        let clamps = joint.and_then(|joint| self.opens.remove(&joint));
        self.placed.extend(clamps.into_iter().flatten());
    }

    pub fn place(&mut self, back: Back, step: usize) {
        let Back { at, does, .. } = back;
        match does {
            Undoes::Start(joint) => self.start(at, joint),
            Undoes::Tighten(joint) => {
                let waits = self.ground.plan.joints[joint].with_wheels_down.is_some() && !self.on_wheels();
                let placed = Placed { at, does };
                if waits {
                    self.wait_for_wheels.push(placed);
                } else {
                    self.tighten.push(placed);
                }
            }
            Undoes::Fit { things, parts, on } => self.fit(at, things, parts, &on),
            Undoes::Release { ref loads, from } => {
                let parts = self.parts(loads);
                if parts.iter().any(|&part| self.holds.contains(&(part, from))) {
                    self.holds
                        .retain(|(part, rig)| *rig != from || !parts.contains(part));
                    self.release.push(Placed { at, does });
                }
            }
            Undoes::Hold {
                by: Bearer::Person(_),
                ..
            } => self.hands.push(Placed { at, does }),
            Undoes::Hold {
                ref loads,
                by: Bearer::Rig(rig),
                ..
            } => {
                let parts = self.parts(loads);
                self.free(rig);
                if !parts.iter().all(|&part| self.holds.contains(&(part, rig))) {
                    self.has(&parts, Some(rig), false);
                    self.put(at, does);
                }
            }
            Undoes::Raise { ref loads, on } => {
                let parts = self.parts(loads);
                self.flush();
                self.has(&parts, Some(on), true);
                self.put(at, does);
            }
            Undoes::Set { ref loads, on } => {
                let parts = self.parts(loads);
                self.flush();
                let rig = match on {
                    Seat::Rig(rig) => Some(rig),
                    Seat::Thing(_) => None,
                };
                self.has(&parts, rig, true);
                self.put(at, does);
            }
            Undoes::RaiseEnd { end, on, from, .. } => {
                self.flush();
                if self.stands_on(end, from) {
                    self.stand(end, Some(on));
                    self.put(at, does);
                }
            }
            Undoes::SetEnd { end, on, from, .. } => {
                self.flush();
                if self.stands_on(end, from) && from.is_some() {
                    let rig = (!self.ground.plan.rigs[on].is_floor).then_some(on);
                    self.stand(end, rig);
                    self.put(at, does);
                    if self.on_wheels() {
                        let waited = std::mem::take(&mut self.wait_for_wheels);
                        self.tighten.extend(waited);
                    }
                }
            }
            Undoes::RaiseBy { .. } | Undoes::LowerBy { .. } | Undoes::Tilt { .. } => {
                self.flush();
                self.put(at, does);
            }
            Undoes::SlideHome(thing) => {
                if self.slid.insert(thing) {
                    self.put(at, does);
                }
            }
            Undoes::Untie(thing) => {
                if self.turned(thing, false, |arranger| &mut arranger.tied) {
                    self.put(at, does);
                }
            }
            Undoes::TieUp { thing, .. } => {
                self.turned(thing, true, |arranger| &mut arranger.tied);
                self.put(at, does);
            }
            Undoes::MoveBack(thing) => {
                if self.turned(thing, false, |arranger| &mut arranger.aside) {
                    self.put(at, does);
                }
            }
            Undoes::MoveAside(thing) => {
                if self.turned(thing, true, |arranger| &mut arranger.aside) {
                    self.put(at, does);
                }
            }
            Undoes::Fill(fluid) | Undoes::Bleed(fluid) => {
                self.wet.entry(fluid).or_insert((step, at));
            }
            _ => self.put(at, does),
        }
    }

    /// Puts the parts of a thing into a set or takes them out; tells whether that changed it.
    fn turned(
        &mut self,
        thing: Thing,
        into: bool,
        set: impl Fn(&mut Self) -> &mut BTreeSet<Id<Part>>,
    ) -> bool {
        let parts = self.ground.plan.parts_of(thing);
        let set = set(self);
        let before = set.len();
        for part in parts {
            if into {
                set.insert(part);
            } else {
                set.remove(&part);
            }
        }
        set.len() != before
    }

    fn start(&mut self, at: Span, joint: Id<Joint>) {
        let opens = self.opens.remove(&joint).unwrap_or_default();
        let (clamps, caps): (Vec<Placed>, Vec<Placed>) = opens.into_iter().partition(|placed| {
            matches!(
                placed.does,
                Undoes::Open {
                    act: OpeningAct::Unclamp,
                    ..
                }
            )
        });
        self.placed.extend(caps);
        self.put(at, Undoes::Start(joint));
        let facts = &self.ground.layout.joints[joint];
        if facts.tightened || facts.sets {
            if !clamps.is_empty() {
                self.opens.insert(joint, clamps);
            }
        } else {
            self.placed.extend(clamps);
        }
    }

    /// A rig is let go of before it takes something else.
    fn free(&mut self, rig: Id<Rig>) {
        let waits = self
            .release
            .iter()
            .any(|placed| matches!(placed.does, Undoes::Release { from, .. } if from == rig));
        if waits {
            self.flush();
        }
    }

    fn fit(&mut self, at: Span, things: Vec<Thing>, parts: Vec<Id<Part>>, on: &[Id<Rig>]) {
        self.flush();
        let loads: Vec<Load> = things.iter().copied().map(Load::Thing).collect();
        let held = parts
            .iter()
            .any(|part| self.holds.iter().any(|(held, _)| held == part));
        // What a rig had when it came off, and what has been put away since, is taken up again.
        if let (false, Some(&rig)) = (held, on.first()) {
            self.has(&parts, Some(rig), false);
            let loads = loads.clone();
            let lifts = self.ground.plan.rigs[rig].lifts.is_some();
            self.put(
                at,
                if lifts {
                    Undoes::Raise { loads, on: rig }
                } else {
                    Undoes::Hold {
                        loads,
                        by: Bearer::Rig(rig),
                        touch: false,
                    }
                },
            );
        }
        self.on.extend(parts.iter().copied());
        self.put(
            at,
            Undoes::Fit {
                things,
                parts: parts.clone(),
                on: Vec::new(),
            },
        );
        for part in parts {
            if self.ground.layout.parts[part].in_place_of.is_some() {
                self.new_joints(at, part);
            }
        }
    }

    /// Joints of a new part in place of nothing are closed when both their things are on.
    fn new_joints(&mut self, at: Span, part: Id<Part>) {
        let layout = self.ground.layout;
        for &joint in &layout.parts[part].joints {
            let facts = &layout.joints[joint];
            let new = facts.in_place_of.is_none() && !facts.gone && facts.replaced_by.is_empty();
            let there = facts.other(part).is_some_and(|other| self.on.contains(&other));
            if new && there && self.thought_of.insert(joint) {
                if facts.pressed {
                    self.put(at, Undoes::PressHome(joint));
                }
                self.put(at, Undoes::Start(joint));
                if facts.tightened || facts.sets {
                    let number = 0;
                    let does = Undoes::Tighten(joint);
                    self.place(Back { at, number, does }, 0);
                }
            }
        }
    }

    pub fn closed_in(&mut self, placed: &[Placed], step: usize) {
        for one in placed {
            if let Undoes::Start(joint) | Undoes::Tighten(joint) = one.does {
                for &fluid in &self.ground.layout.joints[joint].fluids {
                    self.last_of.insert(fluid, step);
                    // Opened while it was full, it has air in it.
                    let state = self.ground.start.fluids[fluid];
                    let bleeds = self.ground.plan.fluids[fluid].needs_bleeding.is_some();
                    if !state.bled && bleeds && !self.written.strikes(self.ground.plan, &Undoes::Bleed(fluid))
                    {
                        self.wet.entry(fluid).or_insert((step, one.at));
                    }
                }
            }
        }
    }

    /// Fluids go in behind the last of their joints. Asked after each step: what waits for a later joint is moved along.
    pub fn wet_places(&self, step: usize, all: &mut [(Id<Step>, Vec<Placed>)]) {
        for (&fluid, &(own, at)) in &self.wet {
            let last = self.last_of.get(&fluid).copied().unwrap_or(own).max(own);
            if last != step {
                continue;
            }
            for (_, placed) in all.iter_mut() {
                placed.retain(
                    |one| !matches!(one.does, Undoes::Fill(other) | Undoes::Bleed(other) if other == fluid),
                );
            }
            let Some((_, placed)) = all.last_mut() else {
                continue;
            };
            for does in [Undoes::Fill(fluid), Undoes::Bleed(fluid)] {
                if self.is_wanted(&does) && !self.written.strikes(self.ground.plan, &does) {
                    placed.push(Placed { at, does });
                }
            }
        }
    }

    /// Hands are there before the thing that they hold is handled.
    pub fn put_hands(&mut self, placed: &mut Vec<Placed>) {
        for hand in std::mem::take(&mut self.hands) {
            let Undoes::Hold { loads, .. } = &hand.does else {
                continue;
            };
            let parts: BTreeSet<Id<Part>> = self.parts(loads).into_iter().collect();
            let place = placed.iter().position(|one| self.handles(&one.does, &parts));
            if let Some(place) = place {
                placed.insert(place, hand);
            }
        }
    }

    fn handles(&self, does: &Undoes, parts: &BTreeSet<Id<Part>>) -> bool {
        let plan = self.ground.plan;
        let any = |loads: &[Load]| self.parts(loads).iter().any(|part| parts.contains(part));
        match does {
            Undoes::Start(joint) | Undoes::PressHome(joint) => {
                let ends = self.ground.layout.joints[*joint].ends;
                ends.into_iter().flatten().any(|end| parts.contains(&end))
            }
            Undoes::Fit { parts: fitted, .. } => fitted.iter().any(|part| parts.contains(part)),
            Undoes::Raise { loads, .. } | Undoes::RaiseBy { loads, .. } | Undoes::Tilt { loads, .. } => {
                any(loads)
            }
            Undoes::SlideHome(thing) | Undoes::MoveBack(thing) | Undoes::Untie(thing) => {
                plan.parts_of(*thing).iter().any(|part| parts.contains(part))
            }
            _ => false,
        }
    }
}
