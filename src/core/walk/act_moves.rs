//! Acts that move: raise, lower, set, tilt, draw, slide, move aside; of things, and of an end of the vehicle. Knows what moves
//! together and what has to be out before; weights only as added milligrams.

use std::collections::{BTreeMap, BTreeSet};

use super::breaks::{Broken, Subject};
use super::cut::Leave;
use super::springs::Down;
use super::state::{Holder, Stand};
use super::walker::Walker;
use crate::base::quantity::Length;
use crate::plan::model::{Direction, End, Extent, Id, Joint, Load, Part, Person, Rig, Said, Seat, Thing};

/// How far up: by so much, to so much, or to where it is when the vehicle stands on its wheels.
#[derive(Debug, Clone, Copy)]
pub struct Rise {
    pub by: Option<Length>,
    pub to: Option<Length>,
    pub ride: bool,
}

impl Walker<'_> {
    pub fn raise(
        &mut self,
        things: &[Said<Load>],
        end: Option<End>,
        on: Option<Said<Id<Rig>>>,
        at: Option<Said<End>>,
        Rise { by, to, ride }: Rise,
    ) {
        let (parts, vehicle) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let Some(on) = on else {
            if vehicle {
                self.raise_further(by, to);
                return;
            }
            self.shift(&parts, Leave::By(by.map(Length::base)), &[]);
            self.springs_loaded(&parts, by.map(Length::base));
            self.at_ride_height(&parts, ride);
            return;
        };
        let rig = on.value;
        if self.plan.rigs[rig].lifts.is_none() || (vehicle && !self.takes(rig, end)) {
            let what = if vehicle { Subject::Vehicle } else { first(&parts) };
            self.tell_with(Broken::WrongRig, Subject::Rig(rig), what);
        }
        // Pushed up at the other end's place, it is not this end that comes up.
        if let (true, Some(end), Some(at)) = (vehicle, end, at)
            && at.value != end
        {
            self.at = at.at;
            let told = self
                .broken(Broken::WrongRig)
                .of(Subject::Rig(rig))
                .with(Subject::End(end))
                .with(Subject::End(at.value));
            self.tell(told);
        }
        // The whole of it on one pair of points tips off them.
        if let (true, None, Some(at)) = (vehicle, end, at)
            && !self.is_machine()
        {
            self.at = at.at;
            let told = self
                .broken(Broken::WrongRig)
                .of(Subject::Rig(rig))
                .with(Subject::End(at.value));
            self.tell(told);
        }
        if vehicle {
            self.raise_vehicle(rig, end, to);
            return;
        }
        if self.in_use(rig, &parts) {
            self.tell_rig_in_use(rig, &parts);
        }
        if ride {
            // It stays where it is joined, and swings there as it does on the road.
            let held = self.held(false);
            for &part in &parts {
                self.set_hold(part, Holder::Rig(rig), Some(held));
            }
        } else {
            self.hand_over(&parts, Some(rig));
        }
        self.springs_loaded(&parts, by.map(Length::base));
        self.at_ride_height(&parts, ride);
    }

    pub fn at_ride_height(&mut self, parts: &BTreeSet<Id<Part>>, there: bool) {
        for &part in parts {
            if self.state.parts[part].at_ride_height != there {
                self.set_part(part, |part| part.at_ride_height = there);
            }
        }
    }

    fn is_machine(&self) -> bool {
        let vehicle = self.layout.vehicle;
        vehicle.is_none_or(|id| self.plan.vehicles[id].is_machine)
    }

    /// Whether a rig has a place at this end of the vehicle. A rig that says nothing of places takes it anywhere.
    fn takes(&self, rig: Id<Rig>, end: Option<End>) -> bool {
        let takes = &self.plan.rigs[rig].takes;
        takes.is_empty()
            || takes.iter().any(|said| {
                let places = said.value.ends;
                let none = places.iter().all(Option::is_none);
                // The whole of it is taken at both ends.
                let both = [End::Front, End::Rear].map(Some);
                let whole = self.is_machine() || both.iter().all(|end| places.contains(end));
                let here = if end.is_some() {
                    places.contains(&end)
                } else {
                    whole
                };
                Some(said.value.vehicle) == self.layout.vehicle && (none || here)
            })
    }

    fn ends(end: Option<End>) -> Vec<End> {
        end.map_or_else(|| vec![End::Front, End::Rear], |end| vec![end])
    }

    /// Up by so much with the rig that has it already.
    fn raise_further(&mut self, by: Option<Length>, to: Option<Length>) {
        let lifted: Vec<(End, Stand)> = [End::Front, End::Rear]
            .into_iter()
            .map(|end| (end, self.state.stand(end)))
            .filter(
                |(_, stand)| matches!(stand, Stand::Rig { rig, .. } if self.plan.rigs[*rig].lifts.is_some()),
            )
            .collect();
        if lifted.is_empty() {
            self.not_held(&self.layout.body.into_iter().collect());
            return;
        }
        self.move_vehicle(false);
        for (end, stand) in lifted {
            self.shift_height(end, stand, to.map(tenths), by.map(tenths));
        }
    }

    /// An end is so much higher than it was, or lower; where it was is known only if somebody said it.
    fn shift_height(&mut self, end: End, stand: Stand, to: Option<i64>, by: Option<i64>) {
        let Stand::Rig { rig, height, .. } = stand else {
            return;
        };
        let moved = height.zip(by).map(|(height, by)| height.saturating_add(by));
        let act = self.act_number;
        self.set_stand(
            end,
            Stand::Rig {
                rig,
                act,
                height: to.or(moved),
            },
        );
    }

    fn raise_vehicle(&mut self, rig: Id<Rig>, end: Option<End>, to: Option<Length>) {
        let ends = Self::ends(end);
        let height = to.map(tenths);
        // Raised further by the rig that has it is one thing, raised to where it is another.
        let there = |end: &End| matches!(self.state.stand(*end), Stand::Rig { rig: under, height: now, .. } if under == rig && now == height);
        if ends.iter().all(there) {
            self.tell_of(Broken::AlreadyDone, end.map_or(Subject::Vehicle, Subject::End));
            return;
        }
        let lifts = self.plan.rigs[rig].lifts.is_some();
        let other_end = [End::Front, End::Rear].into_iter().any(|other| {
            let under = matches!(self.state.stand(other), Stand::Rig { rig: under, .. } if under == rig);
            under && !ends.contains(&other)
        });
        let holds_something = self.state.on_rig(rig).next().is_some();
        if lifts && (other_end || holds_something) {
            self.tell_rig_in_use(rig, &BTreeSet::new());
        }
        let lower = |end: &End| match self.state.stand(*end) {
            Stand::Rig {
                height: Some(now), ..
            } => height.is_some_and(|height| height < now),
            Stand::Rig { height: None, .. } | Stand::Wheels => false,
        };
        if ends.iter().any(lower) {
            self.comes_down_on_it();
        }
        // Off its stands and no further, a wheel in a hand stays on its hub.
        let a_little = height.is_none() && ends.iter().all(|&end| self.state.stand(end) != Stand::Wheels);
        self.move_vehicle(a_little);
        for end in ends {
            let act = self.act_number;
            self.set_stand(end, Stand::Rig { rig, act, height });
        }
        self.enough_under(rig);
        if !lifts {
            // That it does not lift was told here, and goes on as if it did.
            self.told_stands.insert(Broken::NotHeld);
        }
    }

    /// The cut around the whole vehicle.
    fn move_vehicle(&mut self, a_little: bool) {
        let Some(body) = self.layout.body else { return };
        let itself = BTreeSet::from([body]);
        self.held_by_hand(a_little);
        self.let_go(&itself);
        let moved = self.view().moving_with_body(&itself);
        let cut = self.view().cut(&moved, Leave::Whole, &[]);
        self.mend_cut(&cut, &moved);
    }

    /// Nobody goes up with the vehicle, or stays beneath it, with something heavy in hands.
    fn held_by_hand(&mut self, a_little: bool) {
        let hands = super::support::But {
            hands: true,
            ..super::support::But::default()
        };
        let in_hands: Vec<(Id<Part>, Id<Person>)> = self
            .state
            .in_hands()
            .into_iter()
            .filter_map(|(part, holder)| match holder {
                Holder::Person(person) => Some((part, person)),
                Holder::Rig(_) | Holder::Repair => None,
            })
            .filter(|(part, _)| {
                !self
                    .layout
                    .lighter([*part], self.layout.by_hand.saturating_add(1))
            })
            .filter(|(part, _)| self.view().search_but(*part, None, false, hands).is_err())
            // That no wheel is bolted on is told as that.
            .filter(|(part, _)| !a_little || !self.plan.is_road_wheel(*part))
            .collect();
        let mut told: BTreeSet<Id<Part>> = BTreeSet::new();
        for (part, person) in in_hands {
            if told.insert(part) {
                self.tell_with(
                    Broken::StillHeldElsewhere,
                    Subject::Part(part),
                    Subject::Person(person),
                );
            }
        }
    }

    /// What left the vehicle downwards lies beneath it on its rig, until somebody says that it is out of the way.
    fn comes_down_on_it(&mut self) {
        let beneath = std::mem::take(&mut self.beneath);
        let on_rig = beneath.into_iter().find_map(|(part, act)| {
            let rig = self.state.holders(part).find_map(|(holder, held)| match holder {
                Holder::Rig(rig) if held.act < act => Some(rig),
                Holder::Rig(_) | Holder::Person(_) | Holder::Repair => None,
            })?;
            Some((part, rig))
        });
        if let Some((part, rig)) = on_rig {
            self.tell_with(Broken::StillBeneath, Subject::Part(part), Subject::Rig(rig));
        }
    }

    /// Something that a rig of the ground has stays behind, and all that is tied to it. Where that would tear joints of other
    /// things too, the rig was meant to let go before.
    fn let_go(&mut self, body: &BTreeSet<Id<Part>>) {
        let view = self.view();
        let cut = view.cut(&view.moving(body, true), Leave::Whole, &[]);
        let own = |joint: &Id<Joint>| {
            let ends = self.layout.joints[*joint].ends;
            ends.into_iter().flatten().any(|end| view.has_rig(end))
        };
        if cut.joints.iter().all(own) {
            return;
        }
        let held: Vec<(Id<Part>, Id<Rig>)> = self
            .state
            .holds
            .keys()
            .filter_map(|&(part, holder)| match holder {
                Holder::Rig(rig) if self.layout.borne[rig].is_none() => Some((part, rig)),
                _ => None,
            })
            .filter(|&(part, _)| !self.state.is_off(part) && !body.contains(&part))
            .collect();
        for (part, rig) in held {
            let holder = Holder::Rig(rig);
            let Some(held) = self.state.holds.get(&(part, holder)).copied() else {
                continue;
            };
            self.set_hold(part, holder, None);
            if self.view().carried_by_body(part) {
                self.tell_with(Broken::StillHeldElsewhere, Subject::Part(part), Subject::Rig(rig));
            } else {
                self.set_hold(part, holder, Some(held));
            }
        }
    }

    fn set_vehicle(&mut self, rig: Id<Rig>, end: Option<End>) {
        let declared = &self.plan.rigs[rig];
        if !declared.is_floor && (declared.holds.is_none() || !self.takes(rig, end)) {
            self.tell_with(Broken::WrongRig, Subject::Rig(rig), Subject::Vehicle);
        }
        let ends = Self::ends(end);
        let raised: Vec<End> = ends
            .iter()
            .copied()
            .filter(|&end| self.state.stand(end) != Stand::Wheels)
            .collect();
        if raised.is_empty() {
            // Nothing has lifted it: it stands already, or cannot be set on anything.
            let rule = if declared.is_floor {
                Broken::AlreadyDone
            } else {
                Broken::NotHeld
            };
            self.tell_of(rule, end.map_or(Subject::Vehicle, Subject::End));
        }
        // What stands on stands is lifted off them before it comes down on anything else.
        for &end in &raised {
            if let Stand::Rig { rig: under, .. } = self.state.stand(end)
                && self.plan.rigs[under].lifts.is_none()
                && under != rig
                && !self.told_stands.contains(&Broken::NotHeld)
            {
                self.tell_of(Broken::NotHeld, Subject::End(end));
            }
        }
        if declared.is_floor {
            self.comes_down_on_it();
        }
        self.move_vehicle(declared.is_floor);
        for end in ends {
            let act = self.act_number;
            if declared.is_floor {
                self.wheels_under(end);
                self.set_stand(end, Stand::Wheels);
            } else {
                self.set_stand(
                    end,
                    Stand::Rig {
                        rig,
                        act,
                        height: None,
                    },
                );
            }
        }
        self.enough_under(rig);
    }

    /// A rig of so many pieces that only holds bears as many places: two under each end of the vehicle, one under each set of things.
    pub fn enough_under(&mut self, rig: Id<Rig>) {
        let declared = &self.plan.rigs[rig];
        let Some(count) = declared
            .count
            .filter(|_| declared.lifts.is_none() && !declared.is_floor)
        else {
            return;
        };
        let ends: Vec<End> = self
            .state
            .raised()
            .filter(|(_, under)| *under == rig)
            .map(|(end, _)| end)
            .collect();
        // What bears the wheels or feet of an end stands on the places of that end.
        let bears = [End::Front, End::Rear].map(|end| self.layout.bears(end));
        let feet: BTreeSet<Id<Part>> = bears.into_iter().flatten().copied().collect();
        // Each by one of its parts.
        let mut sets: BTreeMap<u32, Id<Part>> = BTreeMap::new();
        for (part, held) in self.state.on_rig(rig) {
            if !feet.contains(&part) {
                sets.entry(held.act).or_insert(part);
            }
        }
        let wanted = 2 * ends.len() + sets.len();
        if ends.is_empty() || wanted <= count.value as usize {
            return;
        }
        let mut told = self.broken(Broken::TooFewUnder).of(Subject::Rig(rig));
        told.with.extend(ends.into_iter().map(Subject::End));
        told.with.extend(sets.into_values().map(Subject::Part));
        self.tell(told);
    }

    /// Set on the floor, an end stands on its wheels, so that what bears them has to be on, and all fixings in on a way from it to the
    /// body.
    fn wheels_under(&mut self, end: End) {
        let mut with: Vec<Subject> = Vec::new();
        // A machine stands on its feet by its weight, and is bolted to them where it stands.
        let machine = self
            .layout
            .vehicle
            .is_some_and(|id| self.plan.vehicles[id].is_machine);
        for &bearer in self.layout.bears(end) {
            let here = self.layout.line_of_part(bearer);
            match here.into_iter().find(|&part| !self.state.is_off(part)) {
                None => with.push(Subject::Part(bearer)),
                Some(_) if machine => {}
                Some(part) => {
                    let open = self.view().loose_under(part);
                    with.extend(open.into_iter().map(Subject::Joint));
                }
            }
        }
        if with.is_empty() {
            return;
        }
        let mut told = self.broken(Broken::NoWheelsUnder).of(Subject::End(end));
        told.with = with;
        self.tell(told);
    }

    pub fn set(&mut self, things: &[Said<Load>], end: Option<End>, on: Seat) {
        let (parts, vehicle) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.let_down = true;
        match (on, vehicle) {
            (Seat::Rig(rig), true) => self.set_vehicle(rig, end),
            (Seat::Rig(rig), false) if self.plan.rigs[rig].is_floor => {
                let on: BTreeSet<Id<Part>> = parts
                    .iter()
                    .copied()
                    .filter(|&part| !self.state.is_off(part))
                    .collect();
                if !on.is_empty() {
                    for &part in &on {
                        self.tell_of(Broken::NeverTakenOff, Subject::Part(part));
                    }
                    let moved = self.view().moving(&on, true);
                    let cut = self.view().cut(&moved, Leave::Whole, &[]);
                    for joint in cut.joints {
                        self.mend_out(joint);
                    }
                    self.springs_out(&moved);
                    self.go_off(&moved, true);
                }
                self.hand_over(&parts, None);
            }
            (Seat::Rig(rig), false) => {
                if self.in_use(rig, &parts) {
                    self.tell_rig_in_use(rig, &parts);
                }
                if self.plan.rigs[rig].lifts.is_none() {
                    self.each_lifted(things);
                }
                self.hand_over(&parts, Some(rig));
            }
            (Seat::Thing(under), _) => {
                let Some(&under) = self.plan.parts_of(under).first() else {
                    return;
                };
                self.each_lifted(things);
                self.hand_over(&parts, None);
                for &part in &parts {
                    self.set_rest(part, Some(under));
                    self.set_part(part, |part| part.down = false);
                }
            }
        }
    }

    /// They are set there one after the other.
    fn each_lifted(&mut self, things: &[Said<Load>]) {
        let first = self.at;
        for thing in things {
            let (parts, _) = self.parts_of_loads(std::slice::from_ref(thing));
            self.at = thing.at;
            self.lifted(&parts);
        }
        self.at = first;
    }

    /// Something heavy does not get from one place to another by itself: a rig that lifts has it, or hands.
    fn lifted(&mut self, parts: &BTreeSet<Id<Part>>) {
        let moved = self.view().moving(parts, true);
        let lifted = moved.iter().any(|&part| {
            self.state.holders(part).any(|(holder, _)| match holder {
                Holder::Rig(rig) => self.plan.rigs[rig].lifts.is_some(),
                Holder::Person(_) | Holder::Repair => true,
            })
        });
        let light = self
            .layout
            .lighter(moved.iter().copied(), self.layout.heavy.saturating_add(1));
        if !lifted && !light {
            self.not_held(parts);
        }
    }

    /// What had these things lets go, and a rig has them, or the floor.
    fn hand_over(&mut self, parts: &BTreeSet<Id<Part>>, to: Option<Id<Rig>>) {
        let moved = self.view().moving(parts, true);
        let cut = self.view().cut(&moved, Leave::Whole, &[]);
        self.mend_cut(&cut, &moved);
        let put_there: BTreeSet<u32> = parts
            .iter()
            .flat_map(|&part| self.state.holders(part).map(|(_, held)| held.act))
            .collect();
        self.free(if to.is_some() { parts } else { &moved }, to);
        self.off_their_bed(&moved, to, &put_there);
        for &part in &moved {
            if self.rests_outside(part, &moved) {
                self.set_rest(part, None);
            }
            if self.state.is_off(part) {
                self.hands_away(part);
                self.set_part(part, |part| part.down = to.is_none());
            }
        }
        if let Some(rig) = to {
            let held = self.held(false);
            for &part in parts {
                self.set_hold(part, Holder::Rig(rig), Some(held));
            }
        }
    }

    /// What is bolted to a thing that is lifted off a table or a bench, and was put there by the same act as that, leaves it with that.
    fn off_their_bed(&mut self, moved: &BTreeSet<Id<Part>>, to: Option<Id<Rig>>, put_there: &BTreeSet<u32>) {
        let beds: Vec<(Id<Part>, Holder)> = moved
            .iter()
            .filter(|&&part| self.state.is_off(part))
            .flat_map(|&part| {
                self.state
                    .holders(part)
                    .map(move |(holder, held)| (part, holder, held.act))
            })
            .filter(|(_, _, act)| put_there.contains(act))
            .map(|(part, holder, _)| (part, holder))
            .filter(|(_, holder)| match holder {
                Holder::Rig(rig) => {
                    let declared = &self.plan.rigs[*rig];
                    declared.holds.is_some()
                        && !self.layout.hangs[*rig]
                        && self.layout.borne[*rig].is_none()
                        && to != Some(*rig)
                }
                Holder::Person(_) | Holder::Repair => false,
            })
            .collect();
        for (part, holder) in beds {
            self.set_hold(part, holder, None);
        }
    }

    /// What was carried lies somewhere: whoever carried it has both hands free.
    pub fn hands_away(&mut self, part: Id<Part>) {
        self.steadied.retain(|(_, other)| *other != part);
        let hands: Vec<Holder> = self
            .state
            .holders(part)
            .map(|(holder, _)| holder)
            .filter(|holder| matches!(holder, Holder::Person(_)))
            .collect();
        for holder in hands {
            self.set_hold(part, holder, None);
        }
    }

    pub fn lower(&mut self, things: &[Said<Load>], by: Option<Length>) {
        let (parts, vehicle) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        self.let_down = true;
        let lifted = parts.iter().any(|&part| {
            self.state.holders(part).any(|(holder, _)| match holder {
                Holder::Rig(rig) => self.plan.rigs[rig].lifts.is_some(),
                Holder::Person(_) | Holder::Repair => true,
            })
        });
        let raised = vehicle
            && self
                .state
                .raised()
                .any(|(_, rig)| self.plan.rigs[rig].lifts.is_some());
        if !lifted && !raised {
            self.not_held(&parts);
        }
        if vehicle {
            self.comes_down_on_it();
            self.move_vehicle(false);
            for end in [End::Front, End::Rear] {
                let stand = self.state.stand(end);
                if matches!(stand, Stand::Rig { rig, .. } if self.plan.rigs[rig].lifts.is_some()) {
                    self.shift_height(end, stand, None, by.map(|by| -tenths(by)));
                }
            }
            return;
        }
        // Let down from ride height it hangs on its joints again, and the rig is free.
        let swings = parts.iter().all(|&part| self.state.parts[part].at_ride_height);
        if by.is_none() && !parts.is_empty() && swings {
            self.at_ride_height(&parts, false);
            self.free(&parts, None);
            self.let_hang.extend(&parts);
            self.springs_let_down(&parts, Down::Whole);
            return;
        }
        let leave = match by {
            Some(by) => Leave::By(Some(by.base())),
            None => Leave::Whole,
        };
        self.leave(&parts, leave, &[]);
        if by.is_none() {
            self.lid_shut(&parts);
        }
        let down = by.map_or(Down::Whole, |by| Down::By(by.base()));
        self.springs_let_down(&parts, down);
    }

    fn not_held(&mut self, parts: &BTreeSet<Id<Part>>) {
        if parts.iter().any(|&part| self.falls_already(part)) {
            return;
        }
        let mut told = self.broken(Broken::NotHeld);
        told.of.extend(parts.first().map(|part| Subject::Part(*part)));
        self.tell(told);
        let held = self.held(false);
        for &part in parts {
            self.set_hold(part, Holder::Repair, Some(held));
        }
    }

    /// A small move of things: held if they are not light, and no joint in the way.
    fn shift(&mut self, parts: &BTreeSet<Id<Part>>, leave: Leave, about: &[Id<Joint>]) {
        let moved = self.view().moving(parts, true);
        let held = moved.iter().any(|&part| self.view().is_held(part));
        if !held && !self.layout.lighter(moved.iter().copied(), self.layout.by_hand) {
            self.not_held(parts);
        }
        self.leave(parts, leave, about);
    }

    fn leave(&mut self, parts: &BTreeSet<Id<Part>>, leave: Leave, about: &[Id<Joint>]) {
        let moved = self.view().moving(parts, true);
        let cut = self.view().cut(&moved, leave, about);
        for &(part, rig) in &cut.holds {
            self.tell_with(Broken::StillHeldElsewhere, Subject::Part(part), Subject::Rig(rig));
            self.set_hold(part, Holder::Rig(rig), None);
        }
        self.mend_cut(&cut, &moved);
        self.at_ride_height(&moved, false);
        let Leave::Draw(by) = leave else { return };
        for joint in cut.slides {
            let facts = &self.layout.joints[joint];
            let (slides, engaged, total) = (facts.slides, facts.engaged, facts.fixings);
            self.set_joint(joint, |joint| {
                joint.mended = false;
                joint.drawn += by;
                if joint.drawn >= engaged {
                    joint.drawn = 0.0;
                    joint.was_out = true;
                    joint.parted = slides;
                    joint.tight = 0;
                    joint.slack = 0;
                    joint.started = 0;
                    joint.out = total;
                    joint.pins = None;
                }
            });
            if self.state.joints[joint].parted {
                self.let_go_of(joint);
            }
        }
    }

    pub fn tilt(&mut self, things: &[Said<Load>], about: &[Id<Joint>], by: Option<Extent>, back: bool) {
        let (parts, _) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let (by, down) = match by {
            Some(Extent::Length(length)) => (Some(length.base()), Down::By(length.base())),
            Some(Extent::Angle(_)) => (None, Down::Far),
            None => (None, Down::Whole),
        };
        self.shift(&parts, Leave::By(by), about);
        if back {
            self.springs_loaded(&parts, by);
        } else {
            self.springs_let_down(&parts, down);
        }
    }

    pub fn draw(&mut self, thing: Said<Thing>, _: Direction, by: Length) {
        self.at = thing.at;
        let parts = self.plan.parts_of(thing.value).into_iter().collect();
        self.shift(&parts, Leave::Draw(by.base()), &[]);
    }

    pub fn move_aside(&mut self, thing: Said<Thing>, aside: bool) {
        self.at = thing.at;
        let parts: BTreeSet<Id<Part>> = self.plan.parts_of(thing.value).into_iter().collect();
        if parts.iter().all(|&part| self.state.parts[part].aside == aside) {
            self.tell_of(Broken::AlreadyDone, first(&parts));
        }
        self.shift(&parts, Leave::Aside, &[]);
        for part in parts {
            self.set_part(part, |part| part.aside = aside);
        }
    }

    /// Engages the slides between a thing and what is there: all that are apart or drawn, but for those whose other thing is
    /// itself drawn back along another slide.
    pub fn slide_home(&mut self, thing: Said<Thing>) {
        self.at = thing.at;
        let parts: BTreeSet<Id<Part>> = self.plan.parts_of(thing.value).into_iter().collect();
        let moved = self.view().moving(&parts, true);
        let held = moved.iter().any(|&part| self.view().is_held(part));
        if !held && !self.layout.lighter(moved.iter().copied(), self.layout.by_hand) {
            self.not_held(&parts);
        }
        let mut home: Vec<Id<Joint>> = Vec::new();
        let mut slides = false;
        for &part in &parts {
            for &joint in &self.layout.parts[part].joints {
                let (facts, state) = (&self.layout.joints[joint], &self.state.joints[joint]);
                let Some(other) = facts.other(part).filter(|other| !parts.contains(other)) else {
                    continue;
                };
                let together = self.state.is_off(part) == self.state.is_off(other);
                if !facts.slides || !together {
                    continue;
                }
                slides = true;
                let drawn = |part: Id<Part>| {
                    let joints = &self.layout.parts[part].joints;
                    joints.iter().any(|&joint| self.state.joints[joint].drawn > 0.0)
                };
                if (state.parted || state.drawn > 0.0) && !(state.parted && drawn(other)) {
                    home.push(joint);
                }
            }
        }
        if home.is_empty() && slides {
            self.tell_of(Broken::AlreadyDone, first(&parts));
        }
        for joint in home {
            let facts = &self.layout.joints[joint];
            let (tightened, total) = (facts.tightened, facts.fixings);
            if self.state.joints[joint].opening.is_stopped() {
                self.tell_of(Broken::CapLeft, Subject::Joint(joint));
            }
            self.set_joint(joint, |joint| {
                joint.opening = joint.shut();
                joint.parted = false;
                joint.drawn = 0.0;
                joint.mended = false;
                if !tightened {
                    joint.tight = total;
                    joint.out = 0;
                }
            });
        }
    }
}

/// A height as a state keeps it: whole tenths of a millimetre, so that two of them compare exactly.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a written length has 15 digits at most"
)]
pub(super) fn tenths(length: Length) -> i64 {
    (length.base() * 10.0).round() as i64
}

fn first(parts: &BTreeSet<Id<Part>>) -> Subject {
    parts
        .first()
        .map_or(Subject::Vehicle, |part| Subject::Part(*part))
}
