//! Each act of a step, given to what knows its meaning; and the small ones: fluids, openings, records, judging. A list is acted on
//! from left to right, but for those acts that take it as one set.

use std::collections::BTreeSet;

use super::act_moves::Rise;
use super::breaks::{Broken, Subject};
use super::cut::Leave;
use super::state::Opening;
use super::walker::Walker;
use crate::base::source::Span;
use crate::plan::hazards;
use crate::plan::model::{
    Act, Afterwards, Does, End, Fluid, FreeName, Id, Joint, Load, OpeningAct, Part, Said, Scale,
};

impl Walker<'_> {
    pub fn perform(&mut self, act: &Act) {
        match &act.does {
            Does::Slacken(list) => self.each(list, |walk, one| walk.slacken(one)),
            Does::Undo(list) => self.each(list, |walk, one| walk.undo(one, false)),
            Does::Start(list) | Does::Join { all: list, .. } => {
                let by = act.does.kind();
                self.each(list, |walk, one| walk.start(one, by));
                self.around(by);
            }
            Does::Tighten(list) => self.each(list, |walk, one| walk.tighten(one)),
            Does::Pin { fixings, with } => self.pin(fixings, with.map(|said| said.value)),
            Does::Break { joint, .. } => {
                let all = crate::plan::model::Fixings {
                    joint: *joint,
                    count: None,
                };
                self.undo(&all, true);
            }
            Does::Hold { things, by } => self.hold(things, *by),
            Does::Steady { things, by } => self.steady(things, by.value),
            Does::Touch { things, with } => self.touch_with(things, with.value),
            Does::Release { things, from } => self.release(things, *from),
            Does::TieUp { thing, to, limit } => self.tie_up(*thing, *to, *limit),
            Does::Untie(list) => self.each(list, |walk, one| walk.untie(*one)),
            Does::Raise {
                things,
                end,
                on,
                by,
                to,
                at,
                ride,
            } => self.raise(
                things,
                end.map(|said| said.value),
                *on,
                *at,
                Rise {
                    by: by.map(|said| said.value),
                    to: to.map(|said| said.value),
                    ride: ride.is_some(),
                },
            ),
            Does::Set { things, end, on, .. } => self.set(things, end.map(|said| said.value), on.value),
            Does::Lower { things, by } => self.lower(things, by.map(|said| said.value)),
            Does::Tilt {
                things,
                about,
                by,
                back,
            } => {
                // Tilted back, a spring is loaded again.
                self.let_down |= !back;
                self.tilt(
                    things,
                    &about.iter().map(|said| said.value).collect::<Vec<_>>(),
                    by.map(|said| said.value),
                    *back,
                );
            }
            Does::Draw {
                things,
                direction,
                by,
            } => self.each(things, |walk, one| walk.draw(*one, direction.value, by.value)),
            Does::SlideHome(list) => self.each(list, |walk, one| walk.slide_home(*one)),
            Does::PressApart { joints, .. } => {
                self.each(joints, |walk, one| walk.press_apart(one.value, one.at))
            }
            Does::PressHome { joints, .. } => {
                self.each(joints, |walk, one| walk.press_home(one.value, one.at))
            }
            Does::MoveAside(list) => self.each(list, |walk, one| walk.move_aside(*one, true)),
            Does::MoveBack(list) => self.each(list, |walk, one| walk.move_aside(*one, false)),
            Does::TakeOff(things) => self.take_off(things),
            Does::Fit(things) => self.fit(things, false),
            Does::Try(things) => self.fit(things, true),
            Does::Drain { fluids, .. } => self.each(fluids, |walk, one| walk.drain(*one)),
            Does::Fill { fluids, .. } => self.each(fluids, |walk, one| walk.fill(*one)),
            Does::Bleed(fluids) => self.each(fluids, |walk, one| walk.bleed(*one)),
            Does::Opening { act, joints, .. } => self.each(joints, |walk, one| walk.opening(*act, *one)),
            Does::Weigh { things, with, .. } => self.weigh(things, with.map(|said| said.value)),
            Does::Run(things) => self.run_it(things),
            Does::Drive(things) => self.drive(things),
            Does::Measure { what, .. } => self.name(what),
            Does::Photograph(names) => self.each(names, |walk, one| walk.name(one)),
            Does::Mark(list) | Does::Tag(list) => self.each(list, |walk, one| walk.record(one.value, one.at)),
            Does::Judge { part, .. } => self.judge(*part),
            Does::Verify { joints, what } => {
                self.verify(joints);
                self.out_of_the_way(what.as_deref().unwrap_or(""));
            }
            // Time does nothing that the walk could see.
            Does::WaitFor { .. } => {}
            Does::Wait(list) => self.each(list, |walk, one| walk.wait(one.value, one.at)),
            Does::Work { by, on, .. } => self.work(*by, on),
            Does::Look(what) => self.out_of_the_way(what),
            Does::Soak(_) | Does::MakeUp(_) => {}
        }
    }

    /// Somebody looks whether what came down is out from under the vehicle.
    fn out_of_the_way(&mut self, what: &str) {
        const WORDS: &[&str] = &["rolled", "wheeled", "pulled", "pushed", "clear", "away", "out"];
        let mut said = what.split(|c: char| !c.is_alphabetic());
        if !self.beneath.is_empty() && said.any(|word| WORDS.contains(&word.to_lowercase().as_str())) {
            self.beneath.clear();
        }
    }

    /// One after the other, with what has to be so asked after each.
    fn each<T>(&mut self, list: &[T], mut act: impl FnMut(&mut Self, &T)) {
        for one in list {
            act(self, one);
            self.settle();
        }
    }

    fn drain(&mut self, fluid: Said<Id<Fluid>>) {
        self.at = fluid.at;
        let state = self.state.fluids[fluid.value];
        if !state.full && !state.mended {
            self.tell_of(Broken::AlreadyDone, Subject::Fluid(fluid.value));
        }
        self.drained.insert(fluid.value);
        self.fluid_near_live(fluid.value, None);
        // Undone, and then drained into what stands below: so everybody does it.
        self.open_lines.retain(|line| line.fluid != fluid.value);
        self.set_fluid(fluid.value, |fluid| {
            fluid.full = false;
            fluid.mended = false;
        });
    }

    /// What is filled or bled runs out of a line that is not tight, of one whose thing is still off, and does not pass where a plug or
    /// clamp is in.
    fn lines_tight(&mut self, fluid: Said<Id<Fluid>>) {
        let open: Vec<Id<Joint>> = self.layout.lines[fluid.value]
            .iter()
            .copied()
            .filter(|&id| {
                let closed = self.state.joints[id].opening.is_closed();
                (self.both_on(id) && (self.wants_closing(id) || closed && self.view().ties(id)))
                    || self.waits_for_its_thing(id)
            })
            .collect();
        // Where something is in its place, that is what is to be joined.
        let heir_told = |joint: &Id<Joint>| {
            let mut heirs = self.layout.joints[*joint].replaced_by.iter();
            heirs.any(|heir| open.contains(heir))
        };
        let silent: Vec<Id<Joint>> = open.iter().copied().filter(heir_told).collect();
        for joint in open {
            if !silent.contains(&joint) {
                // Nobody joins again what is scrapped: what comes in its place is missing.
                let named = self.layout.line_of_joint(joint).last().copied().unwrap_or(joint);
                let mut told = self.broken(Broken::LeftOpen).of(Subject::Joint(named));
                told.with.push(Subject::Fluid(fluid.value));
                if self.state.joints[named].out > 0 || named != joint {
                    told.apart.push(Subject::Joint(named));
                }
                self.tell(told);
            }
            if !self.both_on(joint) {
                continue;
            }
            let total = self.layout.joints[joint].fixings;
            self.set_joint(joint, |joint| {
                *joint = super::state::JointState {
                    mended: true,
                    was_out: joint.was_out,
                    ..super::state::JointState::tight(total)
                }
            });
        }
    }

    /// One end of a line is on, and what its other end goes to is off and still to come: itself, or what is in its place.
    fn waits_for_its_thing(&self, joint: Id<Joint>) -> bool {
        let facts = &self.layout.joints[joint];
        let Some(ends) = facts.ends else { return false };
        if self.view().ties(joint) || self.both_on(joint) || self.both_off(joint) || facts.gone {
            return false;
        }
        // What was never on waits for another job, or for the old one to make room.
        let waits = |part: Id<Part>| {
            self.state.is_off(part) && self.state.parts[part].was_off && !self.state.parts[part].mended
        };
        let stays_off = |part: Id<Part>| {
            let declared = self.plan.parts[part].afterwards.map(|said| said.value);
            declared.is_some_and(|after| after != Afterwards::GoesBack)
        };
        let heirs_come = !facts.replaced_by.is_empty();
        !self.closed_by_heir(joint)
            && ends
                .into_iter()
                .any(|end| waits(end) && (heirs_come || !stays_off(end)))
    }

    /// What is in place of it is joined.
    pub fn closed_by_heir(&self, joint: Id<Joint>) -> bool {
        let heirs = &self.layout.joints[joint].replaced_by;
        heirs.iter().any(|&heir| self.view().ties(heir))
    }

    fn fill(&mut self, fluid: Said<Id<Fluid>>) {
        self.at = fluid.at;
        self.lines_tight(fluid);
        self.set_fluid(fluid.value, |fluid| {
            fluid.full = true;
            fluid.mended = false;
            fluid.bled = false;
        });
    }

    fn bleed(&mut self, fluid: Said<Id<Fluid>>) {
        self.at = fluid.at;
        let state = self.state.fluids[fluid.value];
        if !state.full && !state.mended {
            self.tell_of(Broken::NeverRefilled, Subject::Fluid(fluid.value));
        }
        self.lines_tight(fluid);
        self.pistons_stopped(fluid.value);
        self.set_fluid(fluid.value, |fluid| {
            fluid.full = true;
            fluid.bled = true;
        });
    }

    /// A joint between things that are on, whose own place is not taken by another joint, and which is not wholly tight.
    pub fn wants_closing(&self, joint: Id<Joint>) -> bool {
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        if state.all_tight() || state.mended || facts.ends.is_none() {
            return false;
        }
        let renewed = facts.replaced_by.iter().any(|&other| self.view().ties(other));
        let stays = facts
            .in_place_of
            .is_some_and(|old| !self.view().ties(joint) && self.view().ties(old));
        let gone = facts.gone && !self.view().ties(joint);
        !renewed && !stays && !gone
    }

    pub fn both_on(&self, joint: Id<Joint>) -> bool {
        self.layout.joints[joint]
            .ends
            .is_some_and(|ends| ends.into_iter().all(|end| !self.state.is_off(end)))
    }

    fn opening(&mut self, act: OpeningAct, joint: Said<Id<Joint>>) {
        self.at = joint.at;
        let joint = joint.value;
        let state = self.state.joints[joint];
        let ties = self.view().ties(joint);
        let clamped = state.clamped;
        let (wanted, to) = match act {
            OpeningAct::Clamp => (ties, Opening::Clamped),
            // A line has an end and a port, so that it may be capped and plugged, and opened again, in either order.
            OpeningAct::Cap => match state.opening {
                Opening::Plugged | Opening::CappedAndPlugged => (!ties, Opening::CappedAndPlugged),
                _ => (!ties, Opening::Capped),
            },
            OpeningAct::Plug => match state.opening {
                Opening::Capped | Opening::CappedAndPlugged => (!ties, Opening::CappedAndPlugged),
                _ => (!ties, Opening::Plugged),
            },
            // What is capped too stays so.
            OpeningAct::Unclamp if state.opening.is_stopped() => (clamped, state.opening),
            OpeningAct::Unclamp if ties || self.closed_by_heir(joint) => (clamped, Opening::Shut),
            OpeningAct::Unclamp => (clamped, Opening::Open),
            OpeningAct::Uncap if state.opening == Opening::CappedAndPlugged => (!ties, Opening::Plugged),
            OpeningAct::Unplug if state.opening == Opening::CappedAndPlugged => (!ties, Opening::Capped),
            // Whoever says cap for a plug, or plug for a cap, means the one that is in.
            OpeningAct::Uncap | OpeningAct::Unplug if clamped => (!ties, Opening::Clamped),
            OpeningAct::Uncap | OpeningAct::Unplug => (!ties, Opening::Open),
        };
        let closes = matches!(act, OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug);
        let twice = match act {
            OpeningAct::Uncap | OpeningAct::Unplug => !state.opening.is_closed(),
            OpeningAct::Clamp | OpeningAct::Unclamp | OpeningAct::Cap | OpeningAct::Plug => false,
        };
        if (!wanted || twice) && !state.mended {
            let rule = if closes {
                Broken::NothingOpen
            } else {
                Broken::AlreadyDone
            };
            self.tell_of(rule, Subject::Joint(joint));
            if !matches!(act, OpeningAct::Cap | OpeningAct::Plug) {
                return;
            }
            // As if it had been undone.
            self.mend_out(joint);
        }
        self.set_joint(joint, |joint| {
            joint.opening = to;
            joint.clamped = match act {
                OpeningAct::Clamp => true,
                OpeningAct::Unclamp => false,
                OpeningAct::Cap | OpeningAct::Uncap | OpeningAct::Plug | OpeningAct::Unplug => joint.clamped,
            };
            joint.stopped_twice |= to == Opening::CappedAndPlugged;
        });
        match act {
            OpeningAct::Uncap | OpeningAct::Unplug => self.uncapped(joint),
            OpeningAct::Unclamp if !ties => self.uncapped(joint),
            // It stays closed.
            _ => {}
        }
    }

    fn weigh(&mut self, things: &[Said<Load>], with: Option<Id<Scale>>) {
        // What a step gave that is logged as done stands in the plan; a reading to come is still to be taken.
        let done = &self.plan.progress.done;
        let past = self.step.is_some_and(|step| done.contains_key(&step));
        // A list hangs on the scale as one.
        let (together, _) = self.parts_of_loads(things);
        for load in things {
            self.at = load.at;
            match load.value {
                Load::Vehicle(_) if past => {}
                Load::Vehicle(_) => {
                    self.weighed.insert(Subject::Vehicle);
                    self.weighed_on_stands(with);
                    self.rolls();
                }
                Load::Thing(thing) => {
                    let parts = self.plan.parts_of(thing);
                    if !past {
                        self.weighed.extend(parts.iter().map(|part| Subject::Part(*part)));
                    }
                    self.weighed_together(&parts, &together);
                    let on = parts.iter().find(|&&part| {
                        let state = self.state.parts[part];
                        !self.state.is_off(part) && !state.mended && !self.view().is_body(part)
                    });
                    if let Some(&part) = on {
                        self.tell_of(Broken::NotOff, Subject::Part(part));
                        self.mend_taken_off(part);
                    }
                }
            }
        }
    }

    /// An end that stands on stands gives the scale the rest; but for a weighing that wants it raised.
    fn weighed_on_stands(&mut self, with: Option<Id<Scale>>) {
        let (plan, step) = (self.plan, self.step);
        let wanted = |end: End| {
            plan.weigh_ins.values().any(|weigh_in| {
                let here = weigh_in.after.is_none_or(|after| Some(after.value) == step);
                here && weigh_in.raised.is_some_and(|said| said.value.0 == end)
            })
        };
        let on: Vec<_> = self.state.raised().collect();
        let both = on.len() == 2;
        for (end, rig) in on {
            let lifts = self.plan.rigs[rig].lifts.is_some();
            // From a hook it hangs; what has it up may bear the scale.
            let hook = with.is_none_or(|scale| hazards::hangs(&plan.scales[scale]));
            // A weighing with one end raised says how the vehicle stands.
            let on_purpose = wanted(End::Front) || wanted(End::Rear);
            if (both && lifts && (hook || on_purpose)) || wanted(end) {
                continue;
            }
            self.tell_with(Broken::WeighedOnStands, Subject::End(end), Subject::Rig(rig));
        }
    }

    /// Where nothing but the act that takes it off is missing, the walk goes on as if it had been there.
    fn mend_taken_off(&mut self, part: Id<Part>) {
        let moved = self.view().moving(&BTreeSet::from([part]), true);
        let cut = self.view().cut(&moved, Leave::Whole, &[]);
        if cut.joints.is_empty() && cut.ties.is_empty() {
            self.go_off(&moved, true);
        }
    }

    /// On the bench too, what is weighed by itself has to be free of what is weighed by itself as well: else one figure holds
    /// both. What is never weighed goes with it, as a bush goes with its arm.
    fn weighed_together(&mut self, parts: &[Id<Part>], scale: &BTreeSet<Id<Part>>) {
        let mut tied = Vec::new();
        for &part in parts.iter().filter(|&&part| self.state.is_off(part)) {
            let others = self.view().tied(part).filter(|&(joint, other)| {
                let silent = self.state.joints[joint].mended || self.state.parts[other].mended;
                let own = self.layout.parts[other].weighed;
                own && !silent && self.state.is_off(other) && !scale.contains(&other)
            });
            tied.extend(others.map(|(joint, _)| (part, joint)));
        }
        for (part, joint) in tied {
            self.tell_with(Broken::NotOff, Subject::Part(part), Subject::Joint(joint));
            self.mend_out(joint);
        }
    }

    /// A photograph or measure that has a joint's name is of that joint.
    fn name(&mut self, what: &FreeName) {
        let plan = self.plan;
        let names = self.joint_names.get_or_insert_with(|| {
            let all = plan.joints.iter();
            all.map(|(id, joint)| (&*joint.head.name, id)).collect()
        });
        if let Some(&joint) = names.get(&*what.name) {
            self.record(joint, what.at);
        }
    }

    fn judge(&mut self, part: Said<Id<Part>>) {
        self.at = part.at;
        let renews = &self.layout.parts[part.value].replaced_by;
        if !renews.iter().any(|&new| self.layout.parts[new].if_renewed) {
            self.tell_of(Broken::NothingToRenewWith, Subject::Part(part.value));
        }
    }

    fn verify(&mut self, joints: &[Said<Id<Joint>>]) {
        let named: Vec<(Id<Joint>, Span)> = if joints.is_empty() {
            let of_step = self.step.map(|step| &self.plan.steps[step]);
            let tightened = of_step.into_iter().flat_map(|step| step.acts()).flat_map(|act| {
                let at = act.at;
                match &act.does {
                    Does::Tighten(list) | Does::Start(list) | Does::Join { all: list, .. } => {
                        list.iter().map(|one| (one.joint.value, at)).collect::<Vec<_>>()
                    }
                    // Nothing of it can be verified at the step's end.
                    _ => Vec::new(),
                }
            });
            tightened.collect()
        } else {
            joints.iter().map(|said| (said.value, said.at)).collect()
        };
        let by = self.by();
        for (joint, at) in named {
            if !joints.is_empty() {
                self.at = at;
            }
            let state = self.state.joints[joint];
            let checkable = self.view().ties(joint) || self.wants_closing(joint);
            if !joints.is_empty() && !state.all_tight() && !state.mended && checkable {
                // Whoever checks finds it loose. It is not told again at the end.
                self.tell_of(Broken::NeverTightened, Subject::Joint(joint));
                self.set_joint(joint, |joint| joint.mended = true);
            }
            if !state.unchecked {
                continue;
            }
            let alone = by.len() == 1 && self.tightened_by.get(&joint) == Some(&by);
            if alone {
                let mut told = self.broken(Broken::NobodyToHelp).of(Subject::Joint(joint));
                told.with.extend(by.iter().map(|&person| Subject::Person(person)));
                self.tell(told);
            }
            self.set_joint(joint, |joint| joint.unchecked = false);
        }
    }
}
