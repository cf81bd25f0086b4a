//! What has to be so after every act and at every step's end: nothing falls, nothing swings, what was owed is paid. One cause is
//! told once: what is told stays silent until it stands again. Knows not which act it follows.

use std::collections::BTreeSet;

use super::breaks::{Break, Broken, Moment, Subject};
use super::state::{Grade, Holder, Opening, Suppressed};
use super::walker::{Loss, PendingFall, Walker};
use crate::base::source::Span;
use crate::plan::model::{Does, EnergyKind, Id, Joint, Part, Step};

/// An island of more joints is not looked through for those whose number of supports is asked.
const LARGE: usize = 256;

/// A falling thing whose finding stands already, as that of a repair.
const TOLD_BEFORE: usize = usize::MAX;

impl Walker<'_> {
    /// After an act, or one name of its list.
    pub fn settle(&mut self) {
        if self.changed.is_empty() {
            self.observe(&[]);
            return;
        }
        let mut changed = std::mem::take(&mut self.changed);
        changed.sort_unstable();
        changed.dedup();
        // Whoever works on it has it in the open.
        let now = self.act_number;
        self.beneath
            .retain(|(part, act)| *act == now || changed.binary_search(part).is_err());
        let losses = std::mem::take(&mut self.losses);
        let gained = std::mem::take(&mut self.gained);
        self.unmute(if gained { &changed } else { &[] });
        self.after_losses(&losses, &changed);
        self.swings(&changed);
        self.observe(&changed);
        self.changed.clear();
        self.losses.clear();
        self.gained = false;
    }

    /// Tells what fell by these losses. What is in somebody's hand is looked at again with whatever changed about it.
    fn after_losses(&mut self, losses: &[Loss], changed: &[Id<Part>]) {
        let adrift = |part: &Id<Part>| self.adrift.contains(part);
        if let [Loss::Joint(ends)] = losses
            && ends.iter().all(|&end| !self.is_muted(end, Grade::Falls))
            && !ends.iter().any(adrift)
        {
            let lost = self.view().split(*ends);
            return self.falls(&lost, true);
        }
        let mut asked: Vec<Id<Part>> = Vec::new();
        for loss in losses {
            match loss {
                Loss::Joint(ends) => asked.extend(ends),
                Loss::Part(part) => asked.push(*part),
            }
        }
        let owed = |part: &Id<Part>| {
            self.pending
                .iter()
                .any(|pending_fall| pending_fall.parts.contains(part))
        };
        asked.extend(changed.iter().copied().filter(|part| owed(part) || adrift(part)));
        asked.sort_unstable();
        asked.dedup();
        self.falls(&asked, true);
    }

    /// Gives up the silence about what stands again. What fell can only stand again through what gained support.
    fn unmute(&mut self, gained: &[Id<Part>]) {
        let suppressed_before = std::mem::take(&mut self.suppressed_before);
        let mut still = Vec::new();
        for part in suppressed_before {
            let Some(suppressed) = self.state.parts[part].suppressed else {
                continue;
            };
            let stands = match suppressed.grade {
                Grade::Falls => continue,
                Grade::Swings => {
                    let steady = self.lacks(part).is_none() && self.by_one(part).is_none();
                    // What falls now takes the place of that.
                    self.state.is_off(part) || (steady && self.view().supported(part))
                }
                Grade::OnPins => self.state.is_off(part) || !self.on_pins(part),
            };
            if stands {
                self.set_part(part, |part| part.suppressed = None);
            } else {
                still.push(part);
            }
        }
        self.suppressed_before.extend(still);
        if self.state.fallen > 0 {
            self.stand_again(gained);
        }
        // Giving up a suppressed changes no support.
        self.changed.clear();
    }

    /// What fell and hangs on something that stands: on to the next, and the next.
    fn stand_again(&mut self, gained: &[Id<Part>]) {
        let mut open: Vec<Id<Part>> = gained
            .iter()
            .copied()
            .filter(|&part| self.view().stands(part, None, true))
            .collect();
        let mut seen: BTreeSet<Id<Part>> = open.iter().copied().collect();
        while let Some(here) = open.pop() {
            if self.is_muted(here, Grade::Falls) {
                self.set_part(here, |part| part.suppressed = None);
            }
            let mut next: Vec<Id<Part>> = self.view().tied(here).map(|(_, other)| other).collect();
            next.extend(self.view().hung_on(here));
            for part in next {
                let falls = self.is_muted(part, Grade::Falls);
                if falls && self.view().stands(part, None, true) && seen.insert(part) {
                    open.push(part);
                }
            }
        }
    }

    pub fn suppressed(&mut self, part: Id<Part>, told: usize, grade: Grade) {
        let changed = self.changed.len();
        let listed = self.state.parts[part]
            .suppressed
            .is_some_and(|suppressed| suppressed.grade != Grade::Falls);
        self.set_part(part, |part| part.suppressed = Some(Suppressed { told, grade }));
        if grade != Grade::Falls && !listed {
            self.suppressed_before.push(part);
        }
        self.changed.truncate(changed);
    }

    /// Suppresses what a repair left without support.
    pub fn mute_what_falls(&mut self, part: Id<Part>) {
        if self.is_muted(part, Grade::Falls) {
            return;
        }
        for part in self.view().falling(part).into_iter().flatten() {
            self.suppressed(part, TOLD_BEFORE, Grade::Falls);
        }
    }

    fn is_muted(&self, part: Id<Part>, grade: Grade) -> bool {
        self.state.parts[part]
            .suppressed
            .is_some_and(|suppressed| suppressed.grade >= grade)
    }

    /// Tells what lost its support. With `hands` something light may be held without a word till the step ends.
    fn falls(&mut self, changed: &[Id<Part>], hands: bool) {
        let mut done: BTreeSet<Id<Part>> = BTreeSet::new();
        for &part in changed {
            if done.contains(&part) || self.is_muted(part, Grade::Falls) {
                continue;
            }
            let Some(lost) = self.view().falling(part) else {
                self.adrift.remove(&part);
                continue;
            };
            done.extend(&lost);
            let owed = self
                .pending
                .iter()
                .any(|pending_fall| pending_fall.parts.is_superset(&lost));
            let light = self.layout.lighter(lost.iter().copied(), self.layout.by_hand);
            if owed && light && hands {
                continue;
            }
            let told = self.fall_of(&lost);
            if light && hands {
                self.pending.push(PendingFall {
                    told,
                    parts: lost,
                    lead_since: None,
                });
            } else {
                self.pending
                    .retain(|pending_fall| !pending_fall.parts.is_subset(&lost));
                self.tell_fall(told, &lost);
            }
        }
    }

    /// The finding of things that lost their support, the heaviest first.
    fn fall_of(&self, lost: &BTreeSet<Id<Part>>) -> Break {
        // More than a hand holds is no load for a hose: it falls, and tears it.
        let light = self
            .layout
            .lighter(lost.iter().copied(), self.layout.by_hand.saturating_add(1));
        let rule = if light && self.hangs_by(lost, |facts| facts.line) {
            Broken::HungByHose
        } else {
            Broken::WouldFall
        };
        let mut told = self.broken(rule);
        let mut parts: Vec<Id<Part>> = lost.iter().copied().collect();
        parts.sort_by_key(|&part| std::cmp::Reverse(self.layout.parts[part].mass.unwrap_or(i64::MAX)));
        told.mass_unknown = !self.layout.mass(parts.iter().copied()).1;
        told.of.extend(parts.into_iter().map(Subject::Part));
        for &part in lost {
            for (joint, other) in self.view().tied(part) {
                if !lost.contains(&other) && self.layout.joints[joint].line {
                    told.with.push(Subject::Joint(joint));
                }
            }
        }
        told
    }

    fn hangs_by(&self, lost: &BTreeSet<Id<Part>>, kind: impl Fn(&super::layout::JointFacts) -> bool) -> bool {
        lost.iter().any(|&part| {
            self.view()
                .tied(part)
                .any(|(joint, other)| !lost.contains(&other) && kind(&self.layout.joints[joint]))
        })
    }

    /// Tells a fall in place of the milder findings of the same things, and names where it began.
    fn tell_fall(&mut self, mut told: Break, lost: &BTreeSet<Id<Part>>) {
        for &part in lost {
            self.take_milder(part, Grade::Falls, &mut told);
        }
        let place = self.tell(told);
        for &part in lost {
            self.suppressed(part, place, Grade::Falls);
        }
    }

    fn take_milder(&mut self, part: Id<Part>, grade: Grade, told: &mut Break) {
        let Some(suppressed) = self.state.parts[part]
            .suppressed
            .filter(|suppressed| suppressed.grade < grade)
        else {
            return;
        };
        if let Some(milder) = self.breaks.get_mut(suppressed.told)
            && let Some(old) = milder
        {
            told.began.get_or_insert(old.began.unwrap_or(old.at));
            old.of.retain(|subject| *subject != Subject::Part(part));
            if old.parts().next().is_none() {
                *milder = None;
            }
        }
    }

    /// How many supports this part has, if that is too few.
    fn lacks(&self, part: Id<Part>) -> Option<u32> {
        let need = self.layout.parts[part].need.as_ref()?;
        let view = self.view();
        if self.state.is_off(part) {
            return None;
        }
        let degree = view.degree(part, need.over.as_deref(), need.count);
        if view.is_held(part) {
            return (need.over.is_none() && need.count > 2 && self.on_a_point(part, degree))
                .then_some(degree);
        }
        if degree >= need.count || need.leans.is_some_and(|own| !view.ties(own)) {
            return None;
        }
        let with_all_that_hangs_on_it = view.moving(&BTreeSet::from([part]), false);
        if with_all_that_hangs_on_it.iter().any(|&part| view.has_rig(part)) {
            return None;
        }
        // A hand keeps from turning what its owner could lift; where the plan says what it stands on, nothing less will do.
        let steadied = self.steadied.iter().filter(|(_, other)| *other == part);
        let strongest = steadied
            .map(|(who, _)| {
                let lifts = self.plan.people[*who].lifts;
                lifts.map_or(self.layout.heavy, |said| said.value.milligrams())
            })
            .max();
        if need.over.is_none()
            && strongest.is_some_and(|most| {
                let all = with_all_that_hangs_on_it.iter().copied();
                self.layout.lighter(all, most.saturating_add(1))
            })
        {
            return None;
        }
        let limit = if need.on_ball {
            self.layout.by_hand
        } else {
            self.layout.heavy
        };
        let light = self
            .layout
            .lighter(with_all_that_hangs_on_it, limit.saturating_add(1));
        (need.over.is_some() || !light).then_some(degree)
    }

    /// A jack beneath is one point, as a mount is: on one mount and a jack a thing of three tips, unless somebody keeps a hand on it. A hoist
    /// has it from above, and what holds has a bed under it.
    fn on_a_point(&self, part: Id<Part>, degree: u32) -> bool {
        let mut holders = self.state.holders(part);
        let jack = |holder: Holder| match holder {
            Holder::Rig(rig) => self.plan.rigs[rig].holds.is_none() && !self.layout.hangs[rig],
            Holder::Person(_) | Holder::Repair => false,
        };
        let only = match (holders.next(), holders.next()) {
            (Some((holder, _)), None) => jack(holder),
            _ => false,
        };
        let heavy = || !self.layout.lighter([part], self.layout.heavy.saturating_add(1));
        only && degree <= 1 && heavy() && !self.steadied.iter().any(|(_, other)| *other == part)
    }

    /// Parts on the islands of these whose number of supports is asked. Of a large island all that ever could be on it.
    fn standing_near(&self, changed: &[Id<Part>]) -> BTreeSet<Id<Part>> {
        let mut seen: BTreeSet<Id<Part>> = BTreeSet::new();
        let mut near: BTreeSet<Id<Part>> = BTreeSet::new();
        for &part in changed {
            let all = self.layout.stands_beside(part);
            if all.is_empty() || self.view().is_body(part) || seen.contains(&part) {
                continue;
            }
            match self.view().island(part, LARGE) {
                Some(island) => {
                    let stands = |part: &&Id<Part>| self.layout.parts[**part].need.is_some();
                    near.extend(island.iter().filter(stands));
                    seen.extend(island);
                }
                None => near.extend(all.iter()),
            }
        }
        near
    }

    fn swings(&mut self, changed: &[Id<Part>]) {
        if self.layout.stands.is_empty() {
            return;
        }
        let asked: Vec<Id<Part>> = self
            .standing_near(changed)
            .into_iter()
            .filter(|&part| !self.is_muted(part, Grade::Swings))
            .collect();
        for part in asked {
            if self.lacks(part).is_none() || !self.view().supported(part) {
                continue;
            }
            let mut told = self.broken(Broken::WouldSwing).of(Subject::Part(part));
            let need = self.layout.parts[part].need.as_ref();
            let jack = self.state.holders(part).find_map(|(holder, _)| match holder {
                Holder::Rig(rig) => Some(Subject::Rig(rig)),
                Holder::Person(_) | Holder::Repair => None,
            });
            let own = need.and_then(|need| need.leans).map(Subject::Joint);
            told.with.extend(jack.or(own));
            told.grave = self.layout.parts[part]
                .need
                .as_ref()
                .is_some_and(|need| need.over.is_some());
            told.mass_unknown = !told.grave && self.layout.parts[part].mass.is_none();
            let place = self.tell(told);
            self.suppressed(part, place, Grade::Swings);
        }
    }

    /// The joint by one fixing of which alone this heavy part hangs, with nothing that holds or steadies it.
    fn by_one(&self, part: Id<Part>) -> Option<Id<Joint>> {
        let view = self.view();
        if self.state.is_off(part) || view.is_body(part) || view.is_held(part) {
            return None;
        }
        let one = |joint: Id<Joint>| {
            let (facts, state) = (&self.layout.joints[joint], &self.state.joints[joint]);
            let plain = facts.threaded && facts.carries && !facts.slides && !facts.pressed;
            plain && facts.fixings > 1 && state.out + 1 == facts.fixings && state.pins.is_none()
        };
        let joints = &self.layout.parts[part].joints;
        let joint = joints.iter().copied().find(|&joint| one(joint))?;
        if self.steadied.iter().any(|(_, other)| *other == part) || view.degree(part, None, 2) != 1 {
            return None;
        }
        let other = self.layout.joints[joint].other(part)?;
        let hung = view.moving(&BTreeSet::from([part]), false);
        let light = self
            .layout
            .lighter(hung.iter().copied(), self.layout.heavy.saturating_add(1));
        (!light && !hung.iter().any(|&part| view.has_rig(part)) && view.stands(other, Some(part), false))
            .then_some(joint)
    }

    /// Tells those of these that hang by one fixing from now on.
    pub fn hangs_by_one(&mut self, parts: impl IntoIterator<Item = Id<Part>>) {
        for part in parts {
            if self.is_muted(part, Grade::Swings) {
                continue;
            }
            let Some(joint) = self.by_one(part) else { continue };
            let mut told = self.broken(Broken::WouldSwing).of(Subject::Part(part));
            told.with.push(Subject::Joint(joint));
            told.apart.push(Subject::Joint(joint));
            told.mass_unknown = self.layout.parts[part].mass.is_none();
            let place = self.tell(told);
            self.suppressed(part, place, Grade::Swings);
        }
    }

    /// Whether a heavy part stands on pins alone.
    fn on_pins(&self, part: Id<Part>) -> bool {
        let view = self.view();
        if self.state.is_off(part) || view.is_body(part) || view.has_rig(part) {
            return false;
        }
        let mut any = false;
        for (joint, other) in view.tied(part) {
            if self.layout.joints[joint].bears(part) && view.stands(other, Some(part), false) {
                if !self.state.joints[joint].pinned() {
                    return false;
                }
                any = true;
            }
        }
        any && !self.layout.lighter([part], self.layout.heavy.saturating_add(1))
    }

    /// Asks what a step has to leave behind, and lets go of what hands held.
    pub fn end_of_step(&mut self, step: &Step) {
        self.act = step.head.at;
        self.at = step.head.at;
        let left = step.may_stop();
        self.hands_let_go();
        self.nobody_steadies();
        self.lids_fall();
        self.debts_fall_due();
        self.lines_fall_due();
        self.moment = Moment::StepEnd;
        self.pins(step.head.at);
        if let Some(at) = left {
            self.left_standing(at);
            self.hot = false;
        }
        self.energies();
        self.changed_in_step.clear();
        self.parted_in_step.clear();
        self.let_down = false;
        self.let_hang.clear();
        self.drained.clear();
        self.cracked_in_step.clear();
    }

    fn hands_let_go(&mut self) {
        let hands: Vec<(Id<Part>, Holder, Span)> = self
            .state
            .in_hands()
            .into_iter()
            .filter_map(|(part, holder)| Some((part, holder, self.state.holds.get(&(part, holder))?.at)))
            .collect();
        if hands.is_empty() {
            return;
        }
        self.moment = Moment::StepEnd;
        for &(part, holder, _) in &hands {
            self.set_hold(part, holder, None);
        }
        self.changed.clear();
        let let_go: Vec<Id<Part>> = hands.iter().map(|(part, _, _)| *part).collect();
        self.losses.clear();
        self.unmute(&[]);
        for (part, holder, at) in hands {
            self.act = at;
            self.at = at;
            if holder == Holder::Repair {
                self.mute_what_falls(part);
                continue;
            }
            let lead = self.view().falling(part).filter(|lost| self.may_hang(lost));
            match lead {
                Some(parts) => {
                    let told = self.fall_of(&parts);
                    self.pending.push(PendingFall {
                        told,
                        parts,
                        lead_since: Some(self.nth),
                    });
                }
                None => self.falls(&[part], false),
            }
            self.swings(&[part]);
            self.hangs_by_one([part]);
        }
        self.observe(&let_go);
    }

    /// Something light hangs by a strap, plug or cable.
    fn may_hang(&self, lost: &BTreeSet<Id<Part>>) -> bool {
        self.layout
            .lighter(lost.iter().copied(), self.layout.hang.saturating_add(1))
            && self.hangs_by(lost, |facts| facts.lead)
            && !self.hangs_by(lost, |facts| facts.line)
    }

    /// Whoever kept a hand on something goes on to the next step.
    fn nobody_steadies(&mut self) {
        let steadied = std::mem::take(&mut self.steadied);
        let parts: BTreeSet<Id<Part>> = steadied.into_iter().map(|(_, part)| part).collect();
        if parts.is_empty() {
            return;
        }
        self.moment = Moment::StepEnd;
        for part in parts {
            self.swings(&[part]);
        }
        self.kept_in();
    }

    fn debts_fall_due(&mut self) {
        for mut pending_fall in std::mem::take(&mut self.pending) {
            let lost: BTreeSet<Id<Part>> = pending_fall
                .parts
                .iter()
                .copied()
                .filter(|&part| !self.is_muted(part, Grade::Falls) && !self.view().supported(part))
                .collect();
            if lost.is_empty() {
                continue;
            }
            pending_fall
                .told
                .of
                .retain(|subject| matches!(subject, Subject::Part(part) if lost.contains(part)));
            let since = pending_fall.lead_since.unwrap_or(self.nth);
            if since == self.nth && self.may_hang(&lost) {
                self.pending.push(PendingFall {
                    told: pending_fall.told,
                    parts: lost,
                    lead_since: Some(since),
                });
            } else {
                self.tell_fall(pending_fall.told, &lost);
            }
        }
    }

    fn lines_fall_due(&mut self) {
        for line in std::mem::take(&mut self.open_lines) {
            // What was drained only afterwards ran out of the open line first.
            if self.state.joints[line.joint].opening == Opening::Open {
                self.tell(line.told);
                self.set_fluid(line.fluid, |fluid| {
                    fluid.full = false;
                    fluid.mended = true;
                });
            }
        }
    }

    fn pins(&mut self, at: Span) {
        if self.state.pinned.is_empty() {
            return;
        }
        let asked: Vec<Id<Part>> = self.changed_in_step.iter().copied().collect();
        self.act = at;
        self.at = at;
        for part in asked {
            if self.is_muted(part, Grade::OnPins) || !self.on_pins(part) {
                continue;
            }
            let mut told = self.broken(Broken::LeftOnPins).of(Subject::Part(part));
            told.mass_unknown = self.layout.parts[part].mass.is_none();
            for (joint, _) in self.view().tied(part) {
                if self.state.joints[joint].pinned() {
                    told.with.push(Subject::Joint(joint));
                }
            }
            self.take_milder(part, Grade::OnPins, &mut told);
            let place = self.tell(told);
            self.suppressed(part, place, Grade::OnPins);
        }
    }

    /// The step says that the job may stand like this.
    fn left_standing(&mut self, at: Span) {
        self.act = at;
        self.at = at;
        let mut told = self.broken(Broken::NotSafeToLeave);
        for subject in self.unsafe_to_leave() {
            told = told.of(subject);
        }
        if told.of.is_empty() {
            return;
        }
        self.tell(told);
    }

    /// What keeps the job from being left as it stands.
    pub fn unsafe_to_leave(&self) -> Vec<Subject> {
        let mut all = super::after::unsafe_to_leave(self.plan, self.view());
        for pending_fall in &self.pending {
            all.extend(pending_fall.told.of.iter().take(1).copied());
        }
        all
    }

    /// A supply is dead already, and in this step somebody waits by the clock, or measures that nothing is left.
    fn waits_it_out(&self) -> bool {
        const WORDS: &[&str] = &[
            "minute",
            "minutes",
            "hour",
            "hours",
            "clock",
            "volt",
            "volts",
            "discharged",
        ];
        let Some(step) = self.step else { return false };
        let dead = self.plan.energies.iter().any(|(id, energy)| {
            self.state.safe[id] && energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric)
        });
        dead && self.plan.steps[step].acts().any(|act| match &act.does {
            Does::Look(what) | Does::Verify { what: Some(what), .. } => {
                let mut said = what.split(|c: char| !c.is_alphabetic());
                said.any(|word| WORDS.contains(&word.to_lowercase().as_str()))
            }
            // Nobody says what is waited for.
            _ => false,
        })
    }

    /// Energies that are safe from the end of this step on.
    fn energies(&mut self) {
        let said = self.step.and_then(|step| self.layout.safe_after.get(&step));
        for &id in said.into_iter().flatten() {
            let energy = &self.plan.energies[id];
            let hangs = energy.hangs();
            if let Some(keeping) = self.layout.keeping.get(&id) {
                // While a joint still keeps it in, no act that has nothing to do with it makes it safe; nor, once none does, does any but
                // those that let this one down or take it out.
                if self.is_kept(keeping) || (hangs && !self.compressed()) {
                    continue;
                }
            }
            let parted: Vec<_> = self
                .parted_in_step
                .iter()
                .copied()
                .filter(|&joint| !self.view().ties(joint))
                .collect();
            // A spring, or something that hangs, is let down, and no other joint's parting does it. A supply is parted, by a joint that need not
            // name it. Letting something down makes neither that nor a pressure safe.
            let own = |joint: &Id<Joint>| self.layout.joints[*joint].energies.contains(&id);
            if self.layout.pressures.contains_key(&id) {
                if let Some(by) = self.let_off(id, &parted) {
                    self.set_safe(id, true);
                    self.wakes.insert(id, by);
                }
                continue;
            }
            let safe = if hangs {
                self.let_down || parted.iter().any(own)
            } else {
                !parted.is_empty() || self.waits_it_out()
            };
            if safe {
                self.set_safe(id, true);
                self.wakes.insert(id, parted);
            }
        }
    }
}
