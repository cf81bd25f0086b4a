//! Acts on joints: slacken, undo, start, tighten, pin, break, press. Each has a precondition, an effect, the rule that is
//! reported where the precondition fails, and a repair after which the walk goes on. Knows nothing of moves.

use std::collections::BTreeSet;

use super::breaks::{Broken, Subject};
use super::state::{Holder, JointState, Opening, Presence, Stand};
use super::walker::{OpenLine, Walker};
use crate::base::source::Span;
use crate::plan::model::{End, Energy, EnergyKind, Fixings, Fluid, Id, Joint, Part, Reading, Tool};
use crate::plan::vocabulary::acts::ActKind;

/// From so many newton metres on no hand on the tyre keeps a wheel from turning. Common practice, no source.
const TURNS_A_WHEEL: f64 = 50.0;

impl Walker<'_> {
    pub fn slacken(&mut self, fixings: &Fixings) {
        let joint = fixings.joint.value;
        self.at = fixings.joint.at;
        let state = self.state.joints[joint];
        if !self.view().ties(joint) || state.tight == 0 {
            self.already(joint);
            return;
        }
        if self.layout.joints[joint].fixed {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
            return;
        }
        self.reach(joint);
        self.big_torque(joint);
        self.wheel_turns(joint);
        let count = fixings
            .count
            .map_or(state.tight, |said| said.value.min(state.tight));
        self.set_joint(joint, |joint| {
            joint.tight -= count;
            joint.slack += count;
            joint.mended = false;
        });
        self.cracked_in_step.push(joint);
        // A union that is cracked draws in air.
        for &fluid in &self.layout.joints[joint].fluids {
            if self.state.fluids[fluid].full && !self.both_off(joint) {
                self.set_fluid(fluid, |fluid| fluid.bled = false);
            }
        }
    }

    pub fn undo(&mut self, fixings: &Fixings, breaks: bool) {
        let joint = fixings.joint.value;
        self.at = fixings.joint.at;
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        let slides = facts.slides || facts.pressed;
        if (slides && !facts.threaded || facts.fixed) && !breaks {
            if state.parted || state.broken || facts.fixed && state.out > 0 {
                self.already(joint);
                return;
            }
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
            self.mend_out(joint);
            return;
        }
        let all_out = state.out >= facts.fixings && state.pins.is_none();
        if all_out && !breaks || !self.view().ties(joint) {
            self.already(joint);
            return;
        }
        self.reach(joint);
        if state.tight > 0 {
            self.big_torque(joint);
            self.wheel_turns(joint);
        }
        self.live(joint);
        let total = facts.fixings;
        let wanted = fixings.count.map_or(total, |said| said.value);
        self.set_joint(joint, |joint| {
            joint.mended = false;
            let mut left = wanted;
            for count in [&mut joint.slack, &mut joint.started, &mut joint.tight] {
                let taken = left.min(*count);
                *count -= taken;
                left -= taken;
                joint.out += taken;
            }
            if joint.out >= total {
                joint.pins = None;
                joint.was_out = true;
            }
            if breaks {
                joint.broken = true;
                joint.was_out = true;
                joint.out = total;
                (joint.tight, joint.slack, joint.started) = (0, 0, 0);
                joint.parted = slides;
            }
        });
        if !self.view().ties(joint) {
            self.let_go_of(joint);
        } else if self.layout.joints[joint].fixings == self.state.joints[joint].out + 1 {
            self.hangs_by_one(self.layout.joints[joint].ends.into_iter().flatten());
        }
    }

    /// A joint ties no longer: what ran in it runs out, what stood on it comes down.
    pub fn let_go_of(&mut self, joint: Id<Joint>) {
        self.opened(joint);
        self.wheels_parted(joint);
        self.spring_parted(joint);
        self.on_a_jack(joint);
    }

    /// Nothing of an end is parted while only a jack has it; a wheel, or what else hangs on one thing alone, comes off to set the end down.
    fn on_a_jack(&mut self, joint: Id<Joint>) {
        let only_lifts = |end: End| match self.state.stand(end) {
            Stand::Rig { rig, .. } => {
                let declared = &self.plan.rigs[rig];
                (declared.holds.is_none() && !declared.is_floor).then_some((end, rig))
            }
            Stand::Wheels => None,
        };
        let mut sides = self.layout.joints[joint].sides.iter();
        let Some((end, rig)) = sides.find_map(|&end| only_lifts(end)) else {
            return;
        };
        if !self.both_off(joint) && self.told_stands.insert(Broken::UnderAJack) {
            let told = self
                .broken(Broken::UnderAJack)
                .of(Subject::Joint(joint))
                .with(Subject::Rig(rig))
                .with(Subject::End(end));
            self.tell(told);
        }
    }

    /// The joint that carried the wheels of an end that stands on them lets go.
    fn wheels_parted(&mut self, joint: Id<Joint>) {
        let facts = &self.layout.joints[joint];
        let (true, Some(ends)) = (facts.carries, facts.ends) else {
            return;
        };
        // Asked only while an end stands on wheels that something bears: the searches below go through the machine.
        let rolls = |end: End| !self.layout.bears(end).is_empty() && self.state.stand(end) == Stand::Wheels;
        if ![End::Front, End::Rear].into_iter().any(rolls) {
            return;
        }
        // What hangs on it no longer: the side from which nothing carries to the body any more.
        let view = self.view();
        let hangs = |end: Id<Part>| view.is_body(end) || view.carried_by_body(end);
        let [one, other] = ends;
        let loose = match (hangs(one), hangs(other)) {
            (true, false) => other,
            (false, true) => one,
            _ => return,
        };
        let Some(loose) = view.island(loose, usize::MAX) else {
            return;
        };
        for end in [End::Front, End::Rear] {
            if self.state.stand(end) != Stand::Wheels {
                continue;
            }
            let mut parts = self.layout.bears(end).iter();
            let parted = parts.any(|part| loose.contains(part) && !self.state.is_off(*part));
            if parted && self.told_stands.insert(Broken::NoWheelsUnder) {
                self.tell_of(Broken::NoWheelsUnder, Subject::End(end));
            }
        }
    }

    /// A line lets go: what it holds runs out, unless it was drained or clamped, or is closed before the step ends.
    pub fn opened(&mut self, joint: Id<Joint>) {
        let facts = &self.layout.joints[joint];
        if facts.fluids.is_empty() {
            return;
        }
        let clamped = self.state.joints[joint].clamped;
        let bench = self.both_off(joint);
        if !clamped {
            self.set_joint(joint, |joint| joint.opening = Opening::Open);
        }
        for &fluid in &facts.fluids {
            self.set_fluid(fluid, |fluid| fluid.bled = false);
            if !clamped && !bench && self.state.fluids[fluid].full {
                let told = self
                    .broken(Broken::StillFull)
                    .of(Subject::Joint(joint))
                    .with(Subject::Fluid(fluid));
                self.open_lines.push(OpenLine { told, joint, fluid });
            }
        }
    }

    /// A clamp that squeezed a hose leaves with it, and the end that stays is open.
    pub fn clamps_leave(&mut self, moved: &BTreeSet<Id<Part>>) {
        let layout = self.layout;
        for &part in moved {
            let facts = &layout.parts[part];
            for &joint in &facts.joints {
                let squeezed = facts.is_hose || (facts.is_line && layout.joints[joint].rigid);
                let state = self.state.joints[joint];
                if !squeezed || !state.clamped || self.view().ties(joint) || self.both_off(joint) {
                    continue;
                }
                // What is capped as well stays closed.
                let opens = state.opening == Opening::Clamped;
                self.set_joint(joint, |joint| {
                    joint.clamped = false;
                    if opens {
                        joint.opening = Opening::Open;
                    }
                });
                if !opens {
                    continue;
                }
                self.at = self.act;
                let from = self.open_lines.len();
                self.uncapped(joint);
                for line in self.open_lines.iter_mut().skip(from) {
                    line.told.apart.push(Subject::Joint(joint));
                }
            }
        }
    }

    /// An uncapped line may weep till this step ends.
    pub fn uncapped(&mut self, joint: Id<Joint>) {
        for &fluid in &self.layout.joints[joint].fluids {
            if self.state.fluids[fluid].full && !self.both_off(joint) {
                let told = self
                    .broken(Broken::StillFull)
                    .of(Subject::Joint(joint))
                    .with(Subject::Fluid(fluid));
                self.open_lines.push(OpenLine { told, joint, fluid });
            }
        }
    }

    /// Put in by hand, or closed by the act that its kind has for it.
    pub fn start(&mut self, fixings: &Fixings, by: ActKind) {
        let joint = fixings.joint.value;
        self.at = fixings.joint.at;
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        if facts.ends.is_none() {
            return;
        }
        if state.out == 0 && !state.parted && !state.broken {
            // Pressing a taper home leaves its nut on by hand; to say so again is no second time.
            if !(facts.pressed && state.started > 0) {
                self.already(joint);
            }
            return;
        }
        let kind = self.plan.joints[joint].kind.value.row();
        if (kind.closed_by != by) && (by != ActKind::Start || facts.fixed) {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
        }
        self.present(joint);
        self.place_taken(joint);
        if (facts.slides || facts.pressed) && state.parted {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
            self.set_joint(joint, |joint| {
                joint.parted = false;
                joint.drawn = 0.0;
            });
        }
        if state.opening.is_stopped() {
            self.tell_of(Broken::CapLeft, Subject::Joint(joint));
        }
        self.reach_for(joint, false);
        if !self.both_off(joint) {
            self.charge_near_live(joint, true);
        }
        let wanted = fixings.count.map_or(facts.fixings, |said| said.value);
        let (tightened, sets) = (facts.tightened, facts.sets);
        self.set_joint(joint, |joint| {
            let count = wanted.min(joint.out);
            joint.out -= count;
            joint.setting = sets && joint.out == 0;
            if tightened {
                joint.started += count;
            } else {
                joint.tight += count;
            }
            if joint.out == 0 {
                joint.opening = joint.shut();
                joint.stopped_twice = false;
            }
            // The tools that stood in for fixings are out now, and the fixings in.
            if joint.out == 0 && joint.pins.take().is_some() && tightened {
                joint.started += std::mem::take(&mut joint.slack);
            }
            joint.broken = false;
            joint.mended = false;
        });
        let Some(old) = self.layout.joints[joint].in_place_of else {
            return;
        };
        let opening = self.state.joints[old].opening;
        // A cap or plug closes what stays of a line that makes room, and is in the way of what goes there now. Where nothing
        // of it stays, it left with the line; and so did one of two, whichever it was.
        let one_came_out = self.state.joints[old].stopped_twice && opening != Opening::CappedAndPlugged;
        if opening.is_stopped() && !one_came_out && self.shares_a_thing(joint, old) {
            self.tell_of(Broken::CapLeft, Subject::Joint(old));
            self.set_joint(old, |old| old.opening = old.shut());
        }
        // What takes a line's place shuts it.
        if opening == Opening::Open && self.state.joints[joint].out == 0 {
            self.set_joint(old, |old| old.opening = Opening::Shut);
        }
    }

    /// Both go to one thing, the body counted.
    pub fn shares_a_thing(&self, one: Id<Joint>, other: Id<Joint>) -> bool {
        let ends = |joint: Id<Joint>| self.layout.joints[joint].ends.into_iter().flatten();
        ends(one).any(|end| ends(other).any(|there| there == end))
    }

    /// Time passes, and what was bonded has set.
    pub fn wait(&mut self, joint: Id<Joint>, at: Span) {
        self.at = at;
        if !self.state.joints[joint].setting {
            self.already(joint);
            return;
        }
        self.set_joint(joint, |joint| joint.setting = false);
    }

    pub fn tighten(&mut self, fixings: &Fixings) {
        let joint = fixings.joint.value;
        self.at = fixings.joint.at;
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        let Some(ends) = facts.ends else { return };
        let declared = &self.plan.joints[joint];
        let some = Self::some_of(fixings, &state);
        if facts.fixed {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
        } else if some.is_some() {
            // So many are in, whatever the others are.
        } else if state.out > 0 || state.parted || state.broken {
            let follows = ends.iter().any(|&end| self.falls_already(end));
            if !follows {
                self.tell_of(Broken::NotStarted, Subject::Joint(joint));
            }
            if !ends.iter().all(|&end| self.state.is_off(end)) {
                for end in ends {
                    self.mend_on(end);
                }
            }
        }
        if declared.with_wheels_down.is_some() {
            let hangs = !self.on_wheels() && !self.stands_as_on_wheels(joint);
            if hangs && self.told_stands.insert(Broken::WheelsNotDown) {
                self.tell_of(Broken::WheelsNotDown, Subject::Joint(joint));
            } else if hangs {
                self.join_told(Broken::WheelsNotDown, joint);
            }
        } else {
            self.reach_for(joint, false);
            self.big_torque(joint);
        }
        self.used_once(joint);
        let to_come = declared
            .torque
            .as_ref()
            .is_some_and(|torque| torque.value.torque == Reading::ToCome);
        if to_come {
            let mut told = self.broken(Broken::TorqueToCome).of(Subject::Joint(joint));
            told.grave = declared.second_check.is_some();
            self.tell(told);
        }
        // One that was checked while it was loose was told there.
        let checked_loose = state.mended && state.out == 0 && !state.all_tight();
        let checked = declared.second_check.is_some() && !checked_loose;
        let total = facts.fixings;
        self.set_joint(joint, |joint| {
            if let Some(mut left) = some {
                for count in [&mut joint.started, &mut joint.slack] {
                    let turned = left.min(*count);
                    *count -= turned;
                    left -= turned;
                    joint.tight += turned;
                }
                joint.mended = false;
                joint.unchecked = checked;
                return;
            }
            *joint = JointState {
                tight: total,
                slack: 0,
                started: 0,
                out: 0,
                parted: false,
                broken: false,
                pins: None,
                mended: false,
                unchecked: checked,
                opening: joint.shut(),
                stopped_twice: false,
                ..*joint
            };
        });
        let by = self.by();
        self.tightened_by.insert(joint, by);
    }

    /// How many are tightened of a joint whose other fixings stay as they are; nothing where it is all of them, or more than are in.
    fn some_of(fixings: &Fixings, state: &JointState) -> Option<u32> {
        let wanted = fixings.count?.value;
        let loose = state.started + state.slack;
        let whole = !state.parted && !state.broken && state.pins.is_none();
        let enough = wanted < loose || (state.out > 0 && wanted == loose);
        (whole && enough).then_some(wanted)
    }

    /// A big torque is cracked or reached on the wheels: a hard pull moves a vehicle that stands on anything else.
    fn big_torque(&mut self, joint: Id<Joint>) {
        let torque = self.plan.joints[joint].torque.as_ref();
        let big = torque
            .and_then(|figure| figure.value.torque.known())
            .is_some_and(|torque| torque.base() > self.layout.big_torque);
        let mut rigs: Vec<Subject> = self.state.raised().map(|(_, rig)| Subject::Rig(rig)).collect();
        rigs.dedup();
        if !big || rigs.is_empty() || self.both_off(joint) {
            return;
        }
        let mut told = self.broken(Broken::BigTorqueOnStands).of(Subject::Joint(joint));
        told.with = rigs;
        self.tell(told);
    }

    /// What holds a hanging wheel on is tight: the wheel turns with the wrench, unless somebody keeps it from turning. One bolt or nut in the
    /// middle is turned against its spindle.
    fn wheel_turns(&mut self, joint: Id<Joint>) {
        let (facts, declared) = (&self.layout.joints[joint], &self.plan.joints[joint]);
        let torque = declared
            .torque
            .as_ref()
            .and_then(|said| said.value.torque.known());
        let tight = torque.is_some_and(|torque| torque.base() >= TURNS_A_WHEEL);
        let Some(ends) = facts
            .ends
            .filter(|_| tight && facts.threaded && facts.fixings > 2)
        else {
            return;
        };
        let Some(wheel) = ends.into_iter().find(|&end| self.plan.is_road_wheel(end)) else {
            return;
        };
        let up = |end: End| self.state.stand(end) != Stand::Wheels;
        let hangs = match [End::Front, End::Rear]
            .into_iter()
            .find(|end| self.layout.bears(*end).contains(&wheel))
        {
            Some(end) => up(end),
            None => up(End::Front) && up(End::Rear),
        };
        let steadied = self.steadied.iter().any(|(_, part)| ends.contains(part));
        if !hangs || steadied || self.both_off(joint) {
            return;
        }
        if self.told_stands.insert(Broken::WheelTurns) {
            self.tell_with(Broken::WheelTurns, Subject::Joint(joint), Subject::Part(wheel));
        } else {
            self.join_told(Broken::WheelTurns, joint);
        }
    }

    /// Hardware that is used once was slackened, never came out, and is tightened again.
    fn used_once(&mut self, joint: Id<Joint>) {
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        let trial = facts
            .ends
            .into_iter()
            .flatten()
            .any(|end| self.state.parts[end].presence == Presence::OnTrial);
        let renew = self.plan.joints[joint].renew.is_some();
        if renew && facts.threaded && state.slack > 0 && !state.mended && !trial {
            self.tell_of(Broken::SingleUseAgain, Subject::Joint(joint));
        }
    }

    /// More of a cause that was told at this same act joins its list.
    fn join_told(&mut self, rule: Broken, joint: Id<Joint>) {
        let here = self.breaks.iter_mut().rev().take(8).flatten();
        for told in here {
            if told.rule == rule && told.act == self.act && !told.of.contains(&Subject::Joint(joint)) {
                told.of.push(Subject::Joint(joint));
            }
        }
    }

    pub fn pin(&mut self, fixings: &Fixings, with: Option<Id<Tool>>) {
        let joint = fixings.joint.value;
        self.at = fixings.joint.at;
        let guides = !self.view().ties(joint);
        if guides {
            // On the way back guides go in where nothing ties yet.
            self.present(joint);
        }
        self.reach(joint);
        if !guides {
            self.live(joint);
        }
        let total = self.layout.joints[joint].fixings;
        let stay = fixings.count.map_or(1, |said| said.value).min(total);
        self.set_joint(joint, |joint| {
            joint.tight = 0;
            joint.started = 0;
            joint.slack = stay;
            joint.out = total - stay;
            joint.pins = with;
            joint.mended = false;
        });
    }

    pub fn press_apart(&mut self, joint: Id<Joint>, at: Span) {
        self.at = at;
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        if !self.view().ties(joint) {
            self.already(joint);
            return;
        }
        self.reach(joint);
        self.live(joint);
        if !facts.pressed {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
        } else if facts.threaded && state.tight > 0 {
            // Its own nut or pinch bolt still holds it.
            self.tell_of(Broken::StillJoined, Subject::Joint(joint));
        }
        self.set_joint(joint, |joint| {
            *joint = JointState {
                was_out: true,
                opening: joint.opening,
                clamped: joint.clamped,
                unchecked: joint.unchecked,
                ..JointState::out(facts)
            }
        });
        self.let_go_of(joint);
    }

    pub fn press_home(&mut self, joint: Id<Joint>, at: Span) {
        self.at = at;
        let (facts, state) = (&self.layout.joints[joint], self.state.joints[joint]);
        if facts.ends.is_none() {
            return;
        }
        if self.view().ties(joint) && !state.parted {
            self.already(joint);
            return;
        }
        if !facts.pressed {
            self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
        }
        self.present(joint);
        self.place_taken(joint);
        self.reach_for(joint, false);
        let (total, tightened) = (facts.fixings, facts.tightened);
        self.set_joint(joint, |joint| {
            let fresh = JointState {
                was_out: joint.was_out,
                ..JointState::default()
            };
            *joint = if tightened {
                JointState {
                    started: total,
                    ..fresh
                }
            } else {
                JointState {
                    tight: total,
                    ..fresh
                }
            };
        });
    }

    /// `mark` and `tag`: what is parted already can no longer be recorded.
    pub fn record(&mut self, joint: Id<Joint>, at: Span) {
        self.at = at;
        let state = self.state.joints[joint];
        if state.was_out && !state.all_tight() && !state.mended {
            self.tell_of(Broken::TooLate, Subject::Joint(joint));
        }
    }

    pub fn already(&mut self, joint: Id<Joint>) {
        let facts = &self.layout.joints[joint];
        let Some(ends) = facts.ends else { return };
        let silent = ends.iter().any(|&end| {
            let state = self.state.parts[end];
            state.presence == Presence::OnTrial || state.mended
        });
        if !self.state.joints[joint].mended && !silent {
            self.tell_of(Broken::AlreadyDone, Subject::Joint(joint));
        }
    }

    pub fn falls_already(&self, part: Id<Part>) -> bool {
        self.state.parts[part]
            .suppressed
            .is_some_and(|suppressed| suppressed.grade == super::state::Grade::Falls)
    }

    pub fn both_off(&self, joint: Id<Joint>) -> bool {
        self.layout.joints[joint]
            .ends
            .is_some_and(|ends| ends.into_iter().all(|end| self.state.is_off(end)))
    }

    pub fn on_wheels(&self) -> bool {
        self.state.front == Stand::Wheels && self.state.rear == Stand::Wheels
    }

    /// One of its things, or one that is joined to it, was brought to ride height, and a rig has it there.
    fn stands_as_on_wheels(&self, joint: Id<Joint>) -> bool {
        let brought = |part: Id<Part>| {
            self.state.parts[part].at_ride_height
                && self
                    .state
                    .holders(part)
                    .any(|(holder, _)| matches!(holder, Holder::Rig(_)))
        };
        let ends = self.layout.joints[joint].ends.into_iter().flatten();
        let mut ends = ends.filter(|&end| !self.view().is_body(end));
        ends.any(|end| brought(end) || self.view().tied(end).any(|(_, other)| brought(other)))
    }

    /// Both things of a joint have to be there: both on, or both off on the bench.
    fn present(&mut self, joint: Id<Joint>) {
        let Some(ends) = self.layout.joints[joint].ends else {
            return;
        };
        if self.both_off(joint) {
            return;
        }
        // What a repair put on was told; so was what goes to it.
        let told = ends.iter().any(|&end| self.state.parts[end].mended);
        for end in ends {
            if self.state.is_off(end) {
                let follows = told || self.falls_already(end);
                if !follows {
                    self.tell_with(Broken::NotOn, Subject::Part(end), Subject::Joint(joint));
                }
                self.mend_on(end);
            } else if self.state.parts[end].presence == Presence::OnTrial {
                self.set_part(end, |part| part.mended = true);
            }
        }
    }

    /// Where a joint is in place of another at the same thing, that one has to be out.
    fn place_taken(&mut self, joint: Id<Joint>) {
        let facts = &self.layout.joints[joint];
        let Some(old) = facts.in_place_of.filter(|&old| self.view().ties(old)) else {
            return;
        };
        let ends = |joint: Id<Joint>| self.layout.joints[joint].ends.into_iter().flatten();
        let shared = ends(joint).any(|end| !self.view().is_body(end) && ends(old).any(|other| other == end));
        if shared {
            self.tell_with(Broken::StillOn, Subject::Joint(old), Subject::Joint(joint));
            self.mend_out(old);
        }
    }

    /// Sets a part on, with all that is tied to it on the bench, as a repair.
    pub fn mend_on(&mut self, part: Id<Part>) {
        if !self.state.is_off(part) {
            return;
        }
        let group = self.view().bench_group(&BTreeSet::from([part]));
        let held = self.held(false);
        for &part in &group {
            self.set_part(part, |part| {
                part.presence = Presence::On;
                part.down = false;
                part.mended = true;
            });
            self.set_hold(part, Holder::Repair, Some(held));
        }
    }

    /// Sets a joint out, as a repair.
    pub fn mend_out(&mut self, joint: Id<Joint>) {
        let facts = &self.layout.joints[joint];
        self.set_joint(joint, |joint| {
            *joint = JointState {
                was_out: true,
                mended: true,
                opening: joint.opening,
                clamped: joint.clamped,
                ..JointState::out(facts)
            }
        });
    }

    /// Whether a hand gets to a joint: nothing covers it, what is reached from below is raised, and not on a jack alone; and
    /// a hand is free for it.
    pub fn reach(&mut self, joint: Id<Joint>) {
        self.reach_for(joint, true);
    }

    /// Without `parts` it is closed: it bears, in a moment, what a jack below it alone has now. What hangs from a hoist nobody closes from beneath.
    fn reach_for(&mut self, joint: Id<Joint>, parts: bool) {
        self.free_hand(joint);
        if self.both_off(joint) {
            return;
        }
        let facts = &self.layout.joints[joint];
        for &cover in &facts.covered_by {
            let state = self.state.parts[cover];
            // What is moved aside is as good as off for a hand.
            if state.presence == Presence::Off || state.aside || state.mended {
                continue;
            }
            if self.told_covers.insert(cover) {
                self.tell_with(Broken::OutOfReach, Subject::Joint(joint), Subject::Part(cover));
                self.set_part(cover, |cover| cover.mended = true);
            } else {
                self.join_told(Broken::OutOfReach, joint);
            }
        }
        let Some(end) = facts.below else { return };
        let raised = self
            .state
            .raised()
            .any(|(raised, _)| end.is_none_or(|end| end == raised));
        if !raised {
            if self.told_stands.insert(Broken::OutOfReach) {
                let end = end.map_or(Subject::Vehicle, Subject::End);
                self.tell_with(Broken::OutOfReach, Subject::Joint(joint), end);
            } else {
                self.join_told(Broken::OutOfReach, joint);
            }
            return;
        }
        self.jack(Subject::Joint(joint));
        self.under_what_is_jacked(joint, parts);
    }

    /// Nobody works beneath a thing that only a jack has, either: what would come down without it, and the joint is of that.
    fn under_what_is_jacked(&mut self, joint: Id<Joint>, parts: bool) {
        let Some(ends) = self.layout.joints[joint].ends else {
            return;
        };
        let found = self.plan.rigs.iter().find_map(|(id, rig)| {
            let only_lifts = rig.lifts.is_some() && rig.holds.is_none() && self.layout.borne[id].is_none();
            if !only_lifts || !(parts || self.layout.hangs[id]) {
                return None;
            }
            let set: BTreeSet<Id<Part>> = self
                .state
                .on_rig(id)
                .filter(|(part, held)| !held.touch && !self.state.is_off(*part))
                .map(|(part, _)| part)
                .collect();
            let first = *set.first()?;
            let but = super::support::But {
                rig: Some(id),
                ..super::support::But::default()
            };
            let falls = self.view().search_but(first, None, false, but).is_err();
            let over = self.view().moving(&set, false);
            (falls && ends.iter().any(|end| over.contains(end))).then_some((id, first))
        });
        let Some((rig, part)) = found else { return };
        if self.told_stands.insert(Broken::UnderAJack) {
            let told = self
                .broken(Broken::UnderAJack)
                .of(Subject::Joint(joint))
                .with(Subject::Rig(rig))
                .with(Subject::Part(part));
            self.tell(told);
        }
    }

    /// Nobody works below a vehicle that only a jack has.
    pub fn jack(&mut self, of: Subject) {
        let only_lifted: Vec<(End, Id<crate::plan::model::Rig>)> = self
            .state
            .raised()
            .filter(|(_, rig)| {
                let rig = &self.plan.rigs[*rig];
                rig.holds.is_none() && !rig.is_floor
            })
            .collect();
        let Some(&(end, rig)) = only_lifted.first() else {
            return;
        };
        if self.told_stands.insert(Broken::UnderAJack) {
            let told = self
                .broken(Broken::UnderAJack)
                .of(of)
                .with(Subject::Rig(rig))
                .with(Subject::End(end));
            self.tell(told);
        }
    }

    /// Somebody of the step has to have a hand free for a joint.
    fn free_hand(&mut self, joint: Id<Joint>) {
        let by = self.by();
        if by.is_empty() || self.told_busy {
            return;
        }
        // A wheel is held on its hub with a foot while its bolts go in, by whoever puts them in.
        let ends = self.layout.joints[joint].ends.into_iter().flatten();
        let on_a_wheel = self.plan.on_a_wheel(&self.plan.joints[joint]);
        let wheel: Vec<Id<Part>> = ends.filter(|_| on_a_wheel).collect();
        let busy = |person| {
            let mut held = self.state.held_by(Holder::Person(person));
            held.any(|part| !wheel.contains(&part)) || self.steadied.iter().any(|(other, _)| *other == person)
        };
        if by.iter().all(|&person| busy(person)) {
            self.told_busy = true;
            let mut told = self.broken(Broken::NobodyToHelp).of(Subject::Joint(joint));
            told.with.extend(by.into_iter().map(Subject::Person));
            self.tell(told);
        }
    }

    /// A line of what burns is opened while something electric is live. Told once of each fluid.
    fn near_live(&mut self, joint: Id<Joint>, woken: Option<Id<Energy>>) {
        for &fluid in &self.layout.joints[joint].fluids {
            self.fluid_near_live(fluid, woken);
        }
    }

    /// What burns runs, or stands open, while something electric is live.
    pub fn fluid_near_live(&mut self, fluid: Id<Fluid>, woken: Option<Id<Energy>>) {
        let mut hazards = self.layout.fluid_hazards[fluid].iter();
        if !hazards.any(|hazard| hazard.row().burns) {
            return;
        }
        let live = self.plan.energies.iter().find(|(id, energy)| {
            let electric = energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric);
            let parts = &energy.in_parts;
            let aboard = parts.is_empty() || parts.iter().any(|said| self.there(said.value).is_some());
            electric && aboard && !self.state.safe[*id] && woken.is_none_or(|woken| woken == *id)
        });
        if let Some((energy, _)) = live
            && self.told_near.insert(fluid)
        {
            self.tell_with(
                Broken::FuelNearLive,
                Subject::Energy(energy),
                Subject::Fluid(fluid),
            );
        }
    }

    /// A charge is parted while the supply that can fire it is live. Told once of each charge.
    fn charge_near_live(&mut self, joint: Id<Joint>, joined: bool) {
        let kind = |energy: Id<Energy>| self.plan.energies[energy].kind.map(|said| said.value);
        let mut all = self.layout.joints[joint].energies.iter().copied();
        let Some(charge) = all.find(|&energy| kind(energy) == Some(EnergyKind::Pyrotechnic)) else {
            return;
        };
        let supply = self.plan.energies.iter().find(|(id, energy)| {
            let parts = &energy.in_parts;
            let aboard = parts.is_empty() || parts.iter().any(|said| self.there(said.value).is_some());
            // The step that makes it dead has parted something of it.
            let cut = energy
                .safe_after
                .is_some_and(|said| Some(said.value) == self.step)
                && self
                    .layout
                    .joints
                    .iter()
                    .any(|(joint, facts)| facts.energies.contains(id) && !self.view().ties(joint));
            kind(*id) == Some(EnergyKind::Electric) && aboard && !self.state.safe[*id] && !cut
        });
        if let Some((supply, _)) = supply
            && self.told_charges.insert(charge)
        {
            let mut told = self
                .broken(Broken::StillLive)
                .of(Subject::Joint(joint))
                .with(Subject::Energy(supply));
            told.apart.extend(joined.then_some(Subject::Joint(joint)));
            self.tell(told);
        }
    }

    /// A supply is live again while a line of fuel stands open.
    pub fn woken_near_fuel(&mut self, energy: Id<Energy>) {
        for fluid in self.plan.fluids.ids() {
            if let Some(joint) = self.open_line(fluid) {
                self.near_live(joint, Some(energy));
            }
        }
    }

    /// What makes a joint live has to be made safe before it is parted.
    fn live(&mut self, joint: Id<Joint>) {
        if self.both_off(joint) {
            return;
        }
        if self.layout.joints[joint].line {
            self.near_live(joint, None);
        }
        self.charge_near_live(joint, false);
        for &energy in &self.layout.joints[joint].energies {
            let after = self.plan.energies[energy].safe_after.map(|said| said.value);
            // The step that makes it safe may do its own acts.
            let again = self
                .woken
                .get(&energy)
                .is_some_and(|joints| joints.contains(&joint));
            if self.state.safe[energy] || again || (after.is_some() && after == self.step) {
                continue;
            }
            self.tell_with(Broken::StillLive, Subject::Joint(joint), Subject::Energy(energy));
            self.set_safe(energy, true);
        }
    }
}
