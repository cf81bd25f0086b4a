//! Acts by which things are borne: hold, touch, release, tie up, take off, fit and try. Knows nothing of joints beyond what still
//! ties a thing that is to leave.

use std::collections::BTreeSet;

use super::breaks::{Broken, Subject};
use super::cut::{Cut, Leave};
use super::loads::LoadChange;
use super::state::{Holder, Presence, Stand, Tie};
use super::walker::Walker;
use crate::base::quantity::Mass;
use crate::plan::model::{Bearer, Does, End, Id, Joint, Load, Part, Person, Rig, Said, Thing};

impl Walker<'_> {
    /// The parts of a list of things, and whether the vehicle itself is among them.
    pub fn parts_of_loads(&self, loads: &[Said<Load>]) -> (BTreeSet<Id<Part>>, bool) {
        let mut parts = BTreeSet::new();
        let mut vehicle = false;
        for load in loads {
            match load.value {
                Load::Thing(thing) => parts.extend(self.plan.parts_of(thing)),
                Load::Vehicle(_) => {
                    vehicle = true;
                    parts.extend(self.layout.body);
                }
            }
        }
        vehicle |= self.layout.body.is_some_and(|body| parts.contains(&body));
        (parts, vehicle)
    }

    pub fn parts_of_things(&self, things: &[Said<Thing>]) -> BTreeSet<Id<Part>> {
        things
            .iter()
            .flat_map(|thing| self.plan.parts_of(thing.value))
            .collect()
    }

    /// Those that are on; all of them if none is.
    fn those_on(&self, parts: BTreeSet<Id<Part>>) -> BTreeSet<Id<Part>> {
        let on: BTreeSet<Id<Part>> = parts
            .iter()
            .copied()
            .filter(|&part| !self.state.is_off(part))
            .collect();
        if on.is_empty() { parts } else { on }
    }

    pub fn hold(&mut self, things: &[Said<Load>], by: Said<Bearer>) {
        let (parts, _) = self.parts_of_loads(things);
        let parts = self.those_on(parts);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.below(&parts);
        match by.value {
            Bearer::Rig(rig) => self.hold_with(&parts, rig, false),
            Bearer::Person(person) => self.hold_by(things, &parts, person),
        }
    }

    pub fn hold_with(&mut self, parts: &BTreeSet<Id<Part>>, rig: Id<Rig>, touch: bool) {
        if self.in_use(rig, parts) {
            self.tell_rig_in_use(rig, parts);
        }
        let holder = Holder::Rig(rig);
        let already = |part: &Id<Part>| {
            let held = self.state.holds.get(&(*part, holder));
            held.is_some_and(|held| touch || !held.touch)
        };
        if !parts.is_empty() && parts.iter().all(already) {
            for &part in parts.iter().take(1) {
                self.tell_of(Broken::AlreadyDone, Subject::Part(part));
            }
            return;
        }
        let held = self.held(touch);
        for &part in parts {
            self.set_hold(part, holder, Some(held));
            self.set_part(part, |part| part.down = false);
        }
        self.enough_under(rig);
    }

    /// Tells what the rig has, and goes on as if that had been set down; `parts` stay on it.
    pub fn tell_rig_in_use(&mut self, rig: Id<Rig>, parts: &BTreeSet<Id<Part>>) {
        let mut told = self.broken(Broken::RigInUse).of(Subject::Rig(rig));
        let on: Vec<_> = self
            .state
            .on_rig(rig)
            .map(|(part, held)| (part, held.at))
            .collect();
        if let Some((part, at)) = on.first() {
            told.with.push(Subject::Part(*part));
            told.began = Some(*at);
            if self.state.is_off(*part) {
                told.apart.push(Subject::Part(*part));
            }
        } else {
            told.with.push(Subject::Vehicle);
        }
        self.tell(told);
        for (part, _) in on.into_iter().filter(|(part, _)| !parts.contains(part)) {
            self.mend_down(part, Holder::Rig(rig));
        }
    }

    /// Takes something from what has it, as a repair: it lies where it is safe.
    pub fn mend_down(&mut self, part: Id<Part>, holder: Holder) {
        self.set_hold(part, holder, None);
        if !self.state.is_off(part) {
            self.mute_what_falls(part);
        } else if !self.view().is_held(part) {
            self.set_part(part, |part| part.down = true);
        }
    }

    /// Who takes hold of the same things in the acts right behind this one.
    fn hold_too(&self, things: &[Said<Load>]) -> BTreeSet<Id<Person>> {
        let named = |things: &[Said<Load>]| things.iter().map(|thing| thing.value).collect::<Vec<_>>();
        let acts = self
            .step
            .into_iter()
            .flat_map(|step| self.plan.steps[step].acts());
        acts.skip_while(|act| act.at != self.act)
            .skip(1)
            .map_while(|act| match &act.does {
                Does::Hold { things: those, by } if named(those) == named(things) => match by.value {
                    Bearer::Person(person) => Some(person),
                    Bearer::Rig(_) => None,
                },
                // The row of holds ends here.
                _ => None,
            })
            .collect()
    }

    /// Told where the person has hands on something else, or is not there.
    fn asks_for_hands(&mut self, person: Id<Person>, parts: &BTreeSet<Id<Part>>) {
        self.hands_off_what_stands(person, parts);
        let mut steadies = self.steadied.iter();
        let steadies =
            steadies.find_map(|(who, part)| (*who == person && !parts.contains(part)).then_some(*part));
        // To take hold of the same again is no second thing.
        let mut held = self.state.held_by(Holder::Person(person));
        let has = held.find(|part| !parts.contains(part)).or(steadies);
        drop(held);
        if has.is_some() || !self.by().contains(&person) {
            let first = parts.first().map(|part| Subject::Part(*part));
            let mut told = self.broken(Broken::NobodyToHelp).of(Subject::Person(person));
            told.with.extend(first);
            told.with.extend(has.map(Subject::Part));
            self.tell(told);
        }
    }

    /// Who fitted and started something, and is wanted elsewhere, lets go of it: it hangs on what is in.
    fn hands_off_what_stands(&mut self, person: Id<Person>, wanted: &BTreeSet<Id<Part>>) {
        let holder = Holder::Person(person);
        let hands = super::support::But {
            hands: true,
            ..super::support::But::default()
        };
        let stands: Vec<Id<Part>> = self
            .state
            .held_by(holder)
            .filter(|part| !wanted.contains(part) && !self.state.is_off(*part))
            .filter(|&part| {
                // Something was put in by hand since.
                let mut tied = self.view().tied(part);
                tied.any(|(joint, _)| {
                    let new = self.layout.joints[joint].in_place_of.is_some();
                    self.state.joints[joint].was_out || new
                })
            })
            .filter(|&part| self.view().search_but(part, None, false, hands).is_ok())
            .collect();
        for &part in &stands {
            self.set_hold(part, holder, None);
        }
        self.hangs_by_one(stands);
    }

    fn hold_by(&mut self, things: &[Said<Load>], parts: &BTreeSet<Id<Part>>, person: Id<Person>) {
        self.asks_for_hands(person, parts);
        let holder = Holder::Person(person);
        let moved = self.with_all_above(self.view().moving(parts, true));
        // Who holds it already takes a share, and so does who takes hold of it next.
        let next = self.hold_too(things);
        let others: BTreeSet<Id<Person>> = parts
            .iter()
            .flat_map(|&part| self.state.holders(part))
            .filter_map(|(holder, _)| match holder {
                Holder::Person(other) => Some(other),
                _ => None,
            })
            .chain([person])
            .chain(next.iter().copied())
            .collect();
        if next.is_empty() {
            self.observe_at_once(LoadChange::Hands {
                named: parts.iter().copied().collect(),
                parts: moved.into_iter().collect(),
                people: others.into_iter().collect(),
            });
        }
        let held = self.held(false);
        for &part in parts {
            self.set_hold(part, holder, Some(held));
        }
    }

    /// A hand that keeps something from turning; it bears nothing, and is not free for anything else.
    pub fn steady(&mut self, things: &[Said<Load>], person: Id<Person>) {
        let (parts, _) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.below(&parts);
        self.asks_for_hands(person, &parts);
        self.steadied.extend(parts.into_iter().map(|part| (person, part)));
    }

    /// Hands that steady these are free again: all, or those of one bearer. Whether there were any.
    fn nobody_steadies_these(&mut self, parts: &BTreeSet<Id<Part>>, by: Option<Bearer>) -> bool {
        let free: Vec<(Id<Person>, Id<Part>)> = self
            .steadied
            .iter()
            .filter(|(who, part)| {
                parts.contains(part) && by.is_none_or(|by| matches!(by, Bearer::Person(own) if own == *who))
            })
            .copied()
            .collect();
        for one in &free {
            self.steadied.remove(one);
            // It is asked again what holds it.
            self.changed.push(one.1);
        }
        !free.is_empty()
    }

    pub fn touch_with(&mut self, things: &[Said<Load>], rig: Id<Rig>) {
        let (parts, _) = self.parts_of_loads(things);
        let parts = self.those_on(parts);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.hold_with(&parts, rig, true);
    }

    pub fn release(&mut self, things: &[Said<Load>], from: Option<Said<Bearer>>) {
        for thing in things {
            let (parts, _) = self.parts_of_loads(&[*thing]);
            self.at = thing.at;
            let wanted = from.map(|from| match from.value {
                Bearer::Rig(rig) => Holder::Rig(rig),
                Bearer::Person(person) => Holder::Person(person),
            });
            let holds: Vec<(Id<Part>, Holder)> = self
                .state
                .holds
                .keys()
                .copied()
                .filter(|(part, holder)| {
                    parts.contains(part)
                        && *holder != Holder::Repair
                        && wanted.is_none_or(|wanted| wanted == *holder)
                })
                .collect();
            let hands = self.nobody_steadies_these(&parts, from.map(|from| from.value));
            // That nothing had it follows from what was told: its spring let go for want of this hold.
            // Lowered from ride height, the rig had let go already.
            let let_hang = !parts.is_empty() && parts.iter().all(|part| self.let_hang.contains(part));
            if holds.is_empty() && !hands && !let_hang && !self.of_told_spring(&parts) {
                let mut told = self.broken(Broken::NotHeld);
                told.of.extend(parts.first().map(|part| Subject::Part(*part)));
                match wanted {
                    Some(Holder::Rig(rig)) => told.with.push(Subject::Rig(rig)),
                    Some(Holder::Person(person)) => told.with.push(Subject::Person(person)),
                    _ => {}
                }
                self.tell(told);
            }
            let let_go: Vec<Id<Part>> = holds.iter().map(|(part, _)| *part).collect();
            self.at_ride_height(&let_go.iter().copied().collect(), false);
            for (part, holder) in holds {
                self.set_hold(part, holder, None);
                if let Holder::Rig(rig) = holder {
                    self.springs_released(part, rig);
                }
                // What lay on something that holds goes on lying there.
                let lies = match holder {
                    Holder::Rig(rig) => self.plan.rigs[rig].holds.is_some(),
                    _ => true,
                };
                if lies && self.state.is_off(part) && !self.view().is_held(part) {
                    self.set_part(part, |part| part.down = true);
                }
            }
            self.hangs_by_one(let_go);
        }
        self.lids_fall();
    }

    pub fn tie_up(&mut self, thing: Said<Thing>, to: Said<Thing>, limit: Option<Said<Mass>>) {
        self.at = thing.at;
        let Some(&under) = self.plan.parts_of(to.value).first() else {
            return;
        };
        let parts = self.those_on(self.plan.parts_of(thing.value).into_iter().collect());
        for part in parts {
            if part != under && self.state.is_off(under) {
                self.tell_with(Broken::TiedToLoose, Subject::Part(part), Subject::Part(under));
            }
            if part != under {
                let tie = Tie {
                    to: under,
                    at: self.act,
                    bears: limit.map(|limit| limit.value.milligrams()),
                };
                self.set_tie(part, Some(tie));
                self.hands_away(part);
            }
        }
    }

    pub fn untie(&mut self, thing: Said<Thing>) {
        self.at = thing.at;
        let parts = self.plan.parts_of(thing.value);
        let tied: Vec<Id<Part>> = parts
            .iter()
            .copied()
            .filter(|part| self.state.ties.contains_key(part))
            .collect();
        let told = self.of_told_spring(&parts.iter().copied().collect());
        if tied.is_empty() && !told {
            for part in parts.into_iter().take(1) {
                self.tell_of(Broken::AlreadyDone, Subject::Part(part));
            }
        }
        for part in tied {
            self.set_tie(part, None);
        }
    }

    /// Handling a thing that is reached from below is work below the vehicle.
    fn below(&mut self, parts: &BTreeSet<Id<Part>>) {
        let low = parts.iter().find(|&&part| self.layout.parts[part].below);
        if let Some(&part) = low {
            self.jack(Subject::Part(part));
        }
    }

    /// Tells the joints that stay across a cut, and goes on as if they were out.
    pub fn mend_cut(&mut self, cut: &Cut, moved: &BTreeSet<Id<Part>>) {
        for &joint in &cut.joints {
            self.tell_of(Broken::StillJoined, Subject::Joint(joint));
        }
        for &part in &cut.ties {
            self.tell_of(Broken::StillJoined, Subject::Part(part));
            self.set_tie(part, None);
        }
        for &joint in &cut.joints {
            self.mend_out(joint);
        }
        // What stays and hung by such a joint alone is no second finding.
        let stay: Vec<Id<Part>> = cut
            .joints
            .iter()
            .flat_map(|&joint| self.layout.joints[joint].ends.into_iter().flatten())
            .filter(|end| !moved.contains(end))
            .collect();
        for part in stay {
            self.mute_what_falls(part);
        }
        for &part in &cut.rests {
            // A spring stays in its pan while the arm under it is moved.
            let pan = self.state.rests.get(&part).copied();
            if pan.is_some_and(|pan| self.in_one_spring(part, pan))
                && !self.state.is_off(part)
                && !moved.contains(&part)
            {
                continue;
            }
            self.set_rest(part, None);
            if self.state.is_off(part) && !self.view().is_held(part) {
                self.set_part(part, |part| part.down = true);
            }
        }
    }

    pub fn take_off(&mut self, things: &[Said<Thing>]) {
        let all = self.parts_of_things(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let parts: BTreeSet<Id<Part>> = all
            .iter()
            .copied()
            .filter(|&part| !self.state.is_off(part))
            .collect();
        if parts.is_empty() {
            if self.off_the_bench(&all) {
                return;
            }
            if let Some(&part) = all.first().filter(|&&part| !self.state.parts[part].mended) {
                let rule = if self.state.parts[part].was_off {
                    Broken::AlreadyDone
                } else {
                    Broken::NotOn
                };
                self.tell_of(rule, Subject::Part(part));
            }
            return;
        }
        for thing in things {
            let own = self.plan.parts_of(thing.value);
            let off = own.iter().all(|&part| self.state.is_off(part));
            if let Some(&part) = own.first().filter(|&&part| off && !self.state.parts[part].mended) {
                self.at = thing.at;
                self.tell_of(Broken::AlreadyDone, Subject::Part(part));
            }
        }
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.below(&parts);
        let moved = self.view().moving(&parts, true);
        let cut = self.view().cut(&moved, Leave::Whole, &[]);
        self.mend_cut(&cut, &moved);
        self.wheels_stay(&moved);
        let view = self.view();
        let held = moved
            .iter()
            .any(|&part| view.is_held(part) || self.rests_outside(part, &moved));
        let told = moved.iter().any(|&part| self.falls_already(part));
        if !held && !told && !self.layout.lighter(moved.iter().copied(), self.layout.by_hand) {
            let mut told = self.broken(Broken::WouldFall);
            told.of.extend(parts.iter().map(|part| Subject::Part(*part)));
            told.mass_unknown = !self.layout.mass(moved.iter().copied()).1;
            self.tell(told);
        }
        self.springs_out(&moved);
        self.go_off(&moved, false);
        self.clamps_leave(&moved);
    }

    /// Taken from what it was joined to on the bench: whether these were so.
    fn off_the_bench(&mut self, parts: &BTreeSet<Id<Part>>) -> bool {
        let silent = |part: &Id<Part>| self.state.parts[*part].mended;
        let parted_now = |part: &Id<Part>| {
            let mut joints = self.layout.parts[*part].joints.iter();
            joints.any(|joint| self.parted_in_step.contains(joint))
        };
        let lies = |part: &Id<Part>| {
            let state = &self.state.parts[*part];
            state.was_off && (!state.down || parted_now(part))
        };
        if parts.iter().any(silent) || !parts.iter().all(lies) {
            return false;
        }
        // What is light hangs on; but where nothing of the group would stay, nothing was taken from anything.
        let with_all = self.view().moving(parts, true);
        let moved = match with_all == self.view().bench_group(parts) {
            true => parts.clone(),
            false => with_all,
        };
        let still = self.view().cut(&moved, Leave::Whole, &[]);
        self.mend_cut(&still, &moved);
        // What a hoist has taken hold of in this step to lift it off hangs there now.
        let (plan, began) = (self.plan, self.step_began);
        let lifting = |holder: Holder, since: u32| match holder {
            Holder::Rig(rig) => plan.rigs[rig].lifts.is_some() && since > began,
            Holder::Person(_) | Holder::Repair => false,
        };
        let hangs = moved.iter().any(|&part| {
            self.state
                .holders(part)
                .any(|(holder, held)| lifting(holder, held.act))
        });
        for part in moved {
            let holders: Vec<Holder> = self
                .state
                .holders(part)
                .filter(|(holder, held)| !lifting(*holder, held.act))
                .map(|(holder, _)| holder)
                .collect();
            for holder in holders {
                self.set_hold(part, holder, None);
            }
            self.set_rest(part, None);
            self.set_part(part, |part| part.down = !hangs);
        }
        true
    }

    /// What all that these are joined to lies on the bench with: they are put together there, and go on with it.
    fn onto_the_bench(&mut self, group: &BTreeSet<Id<Part>>) -> bool {
        let view = self.view();
        let mut host = None;
        // What they are joined to in this step tells, where it tells; else all that they could be joined to.
        let joined = self.joined_in_step();
        let asked = |joint: &Id<Joint>| joined.contains(joint);
        let touches = |part: &Id<Part>| self.layout.parts[*part].joints.iter().any(asked);
        let told = group.iter().any(touches);
        for &part in group {
            // What lies where it lies by its weight has no joint to say so.
            let under = self.layout.parts[part].rests_on.into_iter();
            let line = under.flat_map(|under| self.layout.line_of_part(under));
            let lies = |under: Id<Part>| {
                self.state.is_off(under) && (view.has_rig(under) || self.state.parts[under].was_off)
            };
            if let Some(under) = line
                .filter(|under| !group.contains(under))
                .filter(|&under| lies(under))
                .last()
            {
                host = host.or(Some(under));
            }
            for joint in &self.layout.parts[part].joints {
                if told && !asked(joint) {
                    continue;
                }
                let joint = *joint;
                let facts = &self.layout.joints[joint];
                let Some(other) = facts.other(part).filter(|other| !group.contains(other)) else {
                    continue;
                };
                if view.is_body(other) || !self.state.is_off(other) {
                    return false;
                }
                let lies = view.has_rig(other) || self.state.parts[other].was_off;
                if facts.carries && lies && host.is_none() {
                    host = Some(other);
                }
            }
        }
        let Some(host) = host else { return false };
        for &part in group {
            if self.view().is_held(part) {
                continue;
            }
            self.set_part(part, |part| {
                (part.down, part.mended) = (false, false);
            });
            self.set_rest(part, Some(host));
        }
        true
    }

    /// The joints that acts of this step put together.
    fn joined_in_step(&self) -> BTreeSet<Id<Joint>> {
        let step = self.step.map(|step| &self.plan.steps[step]);
        let mut all = BTreeSet::new();
        for act in step.into_iter().flat_map(|step| step.acts()) {
            match &act.does {
                Does::Start(list) | Does::Join { all: list, .. } | Does::Tighten(list) => {
                    all.extend(list.iter().map(|one| one.joint.value));
                }
                Does::PressHome { joints, .. } => all.extend(joints.iter().map(|said| said.value)),
                // Nothing else puts two things together.
                _ => {}
            }
        }
        all
    }

    /// What lay on a bench since before this step is lifted off it by whoever fits it.
    fn off_its_bench(&mut self, group: &BTreeSet<Id<Part>>) {
        let by_hand = self.layout.lighter(group.iter().copied(), self.layout.by_hand);
        let held = |part: &Id<Part>| {
            let mut holders = self.state.holders(*part);
            holders.any(|(holder, _)| matches!(holder, Holder::Person(_)))
        };
        if !by_hand && !group.iter().any(held) {
            return;
        }
        for &part in group {
            let benches: Vec<Holder> = self
                .state
                .holders(part)
                .filter_map(|(holder, held)| match holder {
                    Holder::Rig(rig) => {
                        let declared = &self.plan.rigs[rig];
                        let bench = declared.lifts.is_none() && self.layout.borne[rig].is_none();
                        (bench && held.act <= self.step_began).then_some(holder)
                    }
                    Holder::Person(_) | Holder::Repair => None,
                })
                .collect();
            for holder in benches {
                self.set_hold(part, holder, None);
            }
        }
    }

    /// It lies on something that does not go along.
    pub fn rests_outside(&self, part: Id<Part>, moved: &BTreeSet<Id<Part>>) -> bool {
        let under = self.state.rests.get(&part);
        under.is_some_and(|under| !moved.contains(under))
    }

    /// Sets things off. What no rig has, and rests on nothing, was put down.
    pub fn go_off(&mut self, moved: &BTreeSet<Id<Part>>, mended: bool) {
        // Each on a rig or on what it lies on, with all that is still tied to it; the rest is put down.
        let mut kept: BTreeSet<Id<Part>> = moved
            .iter()
            .copied()
            .filter(|&part| self.view().has_rig(part) || self.rests_outside(part, moved))
            .collect();
        let mut open: Vec<Id<Part>> = kept.iter().copied().collect();
        while let Some(here) = open.pop() {
            for (_, other) in self.view().tied(here) {
                if moved.contains(&other) && kept.insert(other) {
                    open.push(other);
                }
            }
        }
        self.steadied.retain(|(_, part)| !moved.contains(part));
        if self.state.raised().next().is_some() {
            let from_below = |part: &Id<Part>| self.layout.parts[*part].below && kept.contains(part);
            let act = self.act_number;
            self.beneath
                .extend(moved.iter().copied().filter(from_below).map(|part| (part, act)));
        }
        for &part in moved {
            let kept = kept.contains(&part);
            self.set_part(part, |part| {
                part.presence = Presence::Off;
                part.was_off = true;
                part.aside = false;
                part.down = !kept;
                part.mended = mended;
            });
        }
    }

    /// What bears the wheels of an end that stands on them does not come off.
    fn wheels_stay(&mut self, moved: &BTreeSet<Id<Part>>) {
        for end in [End::Front, End::Rear] {
            let goes = self.layout.bears(end).iter().any(|part| moved.contains(part));
            if goes
                && self.state.stand(end) == Stand::Wheels
                && self.told_stands.insert(Broken::NoWheelsUnder)
            {
                self.tell_of(Broken::NoWheelsUnder, Subject::End(end));
            }
        }
    }

    pub fn fit(&mut self, things: &[Said<Thing>], trial: bool) {
        let all = self.parts_of_things(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let off: BTreeSet<Id<Part>> = all
            .iter()
            .copied()
            .filter(|&part| self.state.is_off(part))
            .collect();
        let presence = if trial { Presence::OnTrial } else { Presence::On };
        if off.is_empty() {
            let tried = all
                .iter()
                .any(|&part| self.state.parts[part].presence == Presence::OnTrial);
            let mended = all.iter().any(|&part| self.state.parts[part].mended);
            if let Some(&part) = all.first().filter(|_| !tried && !mended) {
                self.tell_of(Broken::AlreadyDone, Subject::Part(part));
            }
            for part in all {
                self.set_part(part, |part| {
                    // What was let pass on trial is asked again once it is on in earnest.
                    if part.presence == Presence::OnTrial && !trial {
                        part.mended = false;
                    }
                    part.presence = presence;
                });
            }
            return;
        }
        for thing in things {
            let own = self.plan.parts_of(thing.value);
            let on = own.iter().all(|&part| {
                let state = self.state.parts[part];
                state.presence == Presence::On && !state.mended
            });
            if let Some(&part) = own.first().filter(|_| on) {
                self.at = thing.at;
                self.tell_of(Broken::AlreadyDone, Subject::Part(part));
            }
        }
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let mut group = self.view().bench_group(&off);
        let springs = self.view().springs_on(&group).into_iter();
        group.extend(springs.filter(|&part| self.state.is_off(part) && self.goes_back(part)));
        for &part in &group {
            let old = self.layout.parts[part].in_place_of;
            if let Some(old) = old.filter(|&old| !self.state.is_off(old)) {
                let mut told = self.broken(Broken::StillOn).of(Subject::Part(old));
                told.with.push(Subject::Part(part));
                let tied = self.view().tied(old).map(|(joint, _)| Subject::Joint(joint));
                told.with.extend(tied);
                self.tell(told);
                self.mend_off(old);
            }
        }
        self.below(&off);
        let held = group.iter().any(|&part| self.view().is_held(part));
        let repaired = !held && !self.layout.lighter(group.iter().copied(), self.layout.by_hand);
        if repaired {
            let mut told = self.broken(Broken::NotHeld);
            told.of.extend(off.iter().map(|part| Subject::Part(*part)));
            told.mass_unknown = !self.layout.mass(group.iter().copied()).1;
            self.tell(told);
        }
        if !trial && self.onto_the_bench(&group) {
            self.springs_in(&group);
            return;
        }
        self.off_its_bench(&group);
        let hold = self.held(false);
        for &part in &group {
            self.set_part(part, |part| {
                part.presence = presence;
                part.down = false;
                part.mended = false;
            });
            self.set_rest(part, None);
            if repaired {
                self.set_hold(part, Holder::Repair, Some(hold));
            }
        }
        self.springs_in(&group);
        for part in group {
            let under = self.layout.parts[part]
                .rests_on
                .and_then(|under| self.there(under));
            if under.is_some() && presence == Presence::On {
                self.set_rest(part, under);
            }
        }
    }

    /// Sets a part off with its joints out, as a repair.
    pub fn mend_off(&mut self, part: Id<Part>) {
        let joints: Vec<_> = self.view().tied(part).map(|(joint, _)| joint).collect();
        for joint in joints {
            self.mend_out(joint);
        }
        self.set_tie(part, None);
        self.go_off(&BTreeSet::from([part]), true);
    }
}
