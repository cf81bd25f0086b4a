//! Which hazards each act meets, by the state in which it finds the machine: what is live, what is full, what is raised, what hangs.
//! Knows no caution; whether there is one, and what it says, is asked elsewhere.

use super::breaks::Subject;
use super::layout::Layout;
use super::table::Table;
use super::walker::Walker;
use crate::base::source::Span;
use crate::plan::hazards;
use crate::plan::model::{
    Act, Bearer, Content, Does, Energy, EnergyKind, Fluid, Hazard, Id, Joint, Load, OpeningAct, Part, Plan,
    Rig, Scale, Side, Step, Thing, Workpiece,
};
use crate::plan::vocabulary::acts::ActKind;

/// A hazard, met by an act.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Met {
    /// What can hurt.
    pub hazard: Hazard,
    /// The step in whose midst it is met.
    pub step: Id<Step>,
    /// The whole act.
    pub act: Span,
    /// What it comes from.
    pub of: Subject,
    /// The act itself is work on what only licensed people may open, part or join.
    pub licensed: bool,
}

/// So many minutes after it ran, an exhaust can be touched with gloves. Common practice, no source.
const COOLS_IN: f64 = 30.0;

fn says_cold(what: &str) -> bool {
    let mut said = what.split(|c: char| !c.is_alphabetic());
    said.any(|word| matches!(word.to_lowercase().as_str(), "cold" | "cool" | "cooled"))
}

impl Walker<'_> {
    /// What the act meets, asked before it is done.
    pub fn meet(&mut self, act: &Act) {
        match &act.does {
            Does::Undo(all) | Does::Slacken(all) => {
                for fixings in all {
                    self.meet_parting(fixings.joint.value);
                    self.meet_below(fixings.joint.value);
                }
            }
            Does::Pin { fixings, .. } => {
                self.meet_parting(fixings.joint.value);
                self.meet_below(fixings.joint.value);
            }
            Does::Break { joint, .. } => {
                self.meet_parting(joint.value);
                self.meet_below(joint.value);
            }
            Does::PressApart { joints, .. } => {
                for joint in joints {
                    self.meet_parting(joint.value);
                    self.meet_below(joint.value);
                }
            }
            Does::Start(all) | Does::Join { all, .. } => {
                for fixings in all {
                    self.meet_joining(fixings.joint.value);
                    self.meet_below(fixings.joint.value);
                    self.meet_work(act.does.kind(), Subject::Joint(fixings.joint.value));
                }
            }
            Does::Tighten(all) => all
                .iter()
                .for_each(|fixings| self.meet_below(fixings.joint.value)),
            Does::Verify { joints, .. } => joints.iter().for_each(|joint| self.meet_below(joint.value)),
            Does::PressHome { joints, .. } => {
                for joint in joints {
                    self.meet_joining(joint.value);
                    self.meet_below(joint.value);
                }
            }
            Does::Opening { act, joints, .. } => {
                for joint in joints {
                    // What shuts a line lets nothing out of it.
                    if matches!(act, OpeningAct::Uncap | OpeningAct::Unplug) {
                        self.meet_line(joint.value);
                    }
                    self.meet_below(joint.value);
                }
            }
            Does::Drain { fluids, .. } => fluids.iter().for_each(|fluid| self.meet_fluid(fluid.value, true)),
            Does::Fill { fluids, .. } | Does::Bleed(fluids) => {
                fluids
                    .iter()
                    .for_each(|fluid| self.meet_fluid(fluid.value, false));
            }
            Does::Hold { things, by } => {
                if let Bearer::Rig(rig) = by.value {
                    self.meet_hung(rig, things.iter().map(|said| said.value));
                }
                self.meet_handled(things.iter().map(|said| said.value));
            }
            Does::Raise { things, on, by, .. } => {
                if let Some(rig) = on {
                    self.meet_hung(rig.value, things.iter().map(|said| said.value));
                }
                if by.is_some() {
                    self.meet_moved(things.iter().map(|said| said.value));
                }
                self.meet_raised(things.iter().map(|said| said.value));
            }
            Does::Lower { things, .. } | Does::Tilt { things, .. } => {
                self.meet_moved(things.iter().map(|said| said.value));
                self.meet_hanging(things.iter().map(|said| said.value));
            }
            Does::Release { things, .. } => self.meet_hanging(things.iter().map(|said| said.value)),
            Does::Set { things, .. } => {
                self.meet_hanging(things.iter().map(|said| said.value));
                self.meet_touched(things.iter().map(|said| said.value));
            }
            Does::Steady { things, .. } => self.meet_handled(things.iter().map(|said| said.value)),
            Does::Touch { things, .. } => self.meet_touched(things.iter().map(|said| said.value)),
            Does::Draw { things, .. } | Does::SlideHome(things) => {
                let loads = || things.iter().map(|said| Load::Thing(said.value));
                self.meet_moved(loads());
                self.meet_hanging(loads());
                self.meet_touched(loads());
            }
            Does::MoveAside(things) | Does::MoveBack(things) => {
                let loads = || things.iter().map(|said| Load::Thing(said.value));
                self.meet_hanging(loads());
                self.meet_touched(loads());
            }
            Does::TieUp { thing, .. } => self.meet_touched(std::iter::once(Load::Thing(thing.value))),
            Does::Untie(things) => self.meet_touched(things.iter().map(|said| Load::Thing(said.value))),
            Does::Judge { part, .. } => {
                self.meet_touched(std::iter::once(Load::Thing(Thing::Part(part.value))));
            }
            Does::TakeOff(things) => {
                let loads = || things.iter().map(|said| Load::Thing(said.value));
                self.meet_hanging(loads());
                self.meet_handled(loads());
                self.meet_parts(loads());
            }
            Does::Fit(things) | Does::Try(things) => {
                let loads = || things.iter().map(|said| Load::Thing(said.value));
                self.meet_handled(loads());
                self.meet_parts(loads());
            }
            Does::Work { by, on, .. } => {
                for piece in on {
                    let of = match piece.value {
                        Workpiece::Joint(joint) => {
                            self.meet_below(joint);
                            Subject::Joint(joint)
                        }
                        Workpiece::Thing(thing) => {
                            self.meet_touched(std::iter::once(Load::Thing(thing)));
                            self.plan
                                .parts_of(thing)
                                .first()
                                .map_or(Subject::Vehicle, |&part| Subject::Part(part))
                        }
                    };
                    self.meet_work(*by, of);
                }
            }
            // What burns fuel in a closed shop.
            Does::Run(_) => {
                self.met(Hazard::ExhaustGas, Subject::Vehicle, false);
                self.hot = true;
            }
            // Whoever drives sits in it.
            Does::Drive(_) => self.hot = true,
            // Whoever waits has no hand on it.
            Does::Wait(_) => {}
            Does::WaitFor { time, .. } => self.hot &= time.value.base() < COOLS_IN,
            Does::Soak(joints) | Does::Mark(joints) | Does::Tag(joints) => {
                joints.iter().for_each(|joint| self.meet_below(joint.value));
            }
            Does::Weigh {
                things,
                with: Some(scale),
            } => self.meet_weighed(scale.value, things.iter().map(|said| said.value)),
            // These name nothing that has a place, or handle nothing of the vehicle.
            Does::Weigh { with: None, .. } | Does::Measure { .. } | Does::Photograph(_) | Does::MakeUp(_) => {
            }
            Does::Look(what) => self.hot &= !says_cold(what),
        }
    }

    /// An engine ran, and nobody waited until its exhaust can be touched.
    fn meet_hot(&mut self, joint: Id<Joint>) {
        if !self.hot {
            return;
        }
        let ends = self.layout.joints[joint].ends.into_iter().flatten();
        let mut ends = ends.filter(|&end| hazards::gets_hot(&self.plan.parts[end]));
        if let Some(part) = ends.next() {
            self.met(Hazard::Hot, Subject::Part(part), false);
        }
    }

    /// An energy that this act made live again.
    pub fn meet_waking(&mut self, before: &[Id<Energy>]) {
        // What it is in lies on the bench, or is sold.
        let elsewhere = |energy: Id<Energy>| {
            let parts = &self.plan.energies[energy].in_parts;
            !parts.is_empty() && parts.iter().all(|said| self.there(said.value).is_none())
        };
        let here: Vec<Id<Energy>> = before
            .iter()
            .copied()
            .filter(|&energy| !elsewhere(energy))
            .collect();
        for energy in here {
            if !self.state.safe[energy] {
                for hazard in self.layout.energy_hazards[energy].clone() {
                    self.met(hazard, Subject::Energy(energy), false);
                }
            }
        }
    }

    /// Energies that are safe now.
    pub fn safe_now(&self) -> Vec<Id<Energy>> {
        self.state
            .safe
            .iter()
            .filter(|(_, safe)| **safe)
            .map(|(id, _)| id)
            .collect()
    }

    fn met(&mut self, hazard: Hazard, of: Subject, licensed: bool) {
        let Some(step) = self.step else { return };
        let met = Met {
            hazard,
            step,
            act: self.act,
            of,
            licensed: licensed && hazard.is_licensed(),
        };
        let told = self
            .met
            .iter()
            .rev()
            .take_while(|other| other.act == met.act && other.step == step)
            .any(|other| other.hazard == hazard && other.licensed == met.licensed);
        if !told {
            self.met.push(met);
        }
    }

    /// What the work itself can do to whoever does it.
    fn meet_work(&mut self, by: ActKind, of: Subject) {
        for &hazard in by.work().into_iter().flat_map(|work| work.meets) {
            self.met(hazard, of, true);
        }
    }

    /// What comes out of a joint, or is live in it, when it is parted.
    fn meet_parting(&mut self, joint: Id<Joint>) {
        if !self.view().ties(joint) {
            return;
        }
        // A spring in its clamps is as live on the bench.
        self.meet_keeper(joint);
        if self.both_off(joint) {
            return;
        }
        self.meet_line(joint);
        self.meet_hot(joint);
        for energy in self.layout.joints[joint].energies.clone() {
            let known = &self.plan.energies[energy];
            let makes_it_safe = known.safe_after.is_some_and(|said| Some(said.value) == self.step);
            let charge = known
                .kind
                .is_some_and(|said| said.value == EnergyKind::Pyrotechnic);
            if self.state.safe[energy] && !makes_it_safe && !charge {
                continue;
            }
            let licensed = self.is_of(joint, energy);
            for hazard in self.layout.energy_hazards[energy].clone() {
                self.met(hazard, Subject::Energy(energy), licensed);
            }
        }
        // After the charge itself, which is asked for more.
        self.meet_called(joint);
    }

    /// What the joint's own name or title betrays, "yellow plug of the airbag".
    fn meet_called(&mut self, joint: Id<Joint>) {
        for hazard in self.layout.joints[joint].hazards.clone() {
            self.met(hazard, Subject::Joint(joint), true);
        }
    }

    /// One of the joints that keep an energy in is parted or closed, or what is in its place.
    fn meet_keeper(&mut self, joint: Id<Joint>) {
        let layout = self.layout;
        for energy in &layout.joints[joint].keeps {
            if !self.state.safe[*energy] {
                for hazard in layout.energy_hazards[*energy].clone() {
                    self.met(hazard, Subject::Energy(*energy), false);
                }
            }
        }
    }

    /// A charge is as dangerous when it is joined as when it is parted; the rest is met when it wakes.
    fn meet_joining(&mut self, joint: Id<Joint>) {
        self.meet_keeper(joint);
        for energy in self.layout.joints[joint].energies.clone() {
            let known = &self.plan.energies[energy];
            if known
                .kind
                .is_some_and(|said| said.value == EnergyKind::Pyrotechnic)
                && self.is_of(joint, energy)
            {
                for hazard in self.layout.energy_hazards[energy].clone() {
                    self.met(hazard, Subject::Energy(energy), true);
                }
            }
        }
        self.meet_called(joint);
    }

    /// The joint itself says that it is of this energy, or it is the only kind that it could be of.
    fn is_of(&self, joint: Id<Joint>, energy: Id<Energy>) -> bool {
        let declared = &self.plan.joints[joint];
        match declared.of.map(|said| said.value) {
            Some(Content::Energy(of)) => of == energy,
            Some(Content::Fluid(_)) => false,
            None => declared.kind.value.is_lead() && !declared.is_bearing_strap(),
        }
    }

    fn meet_line(&mut self, joint: Id<Joint>) {
        if self.both_off(joint) {
            return;
        }
        for fluid in self.layout.joints[joint].fluids.clone() {
            let full = self.state.fluids[fluid].full;
            for hazard in self.layout.fluid_hazards[fluid].clone() {
                // What has run out neither scalds nor stings; vapour and gas stay.
                if full || hazard.row().stays_in_the_line {
                    self.met(hazard, Subject::Fluid(fluid), true);
                }
            }
        }
    }

    /// Drained, or filled and bled: fresh coolant is cold.
    fn meet_fluid(&mut self, fluid: Id<Fluid>, drained: bool) {
        for hazard in self.layout.fluid_hazards[fluid].clone() {
            if drained || hazard.row().in_fresh {
                self.met(hazard, Subject::Fluid(fluid), true);
            }
        }
    }

    /// A hand on a joint that is reached from below or sits below, under what is raised; or on a wheel, without which it falls further.
    fn meet_below(&mut self, joint: Id<Joint>) {
        let declared = &self.plan.joints[joint];
        let sits_below = declared.place.is_some_and(|said| said.value == Side::Below);
        let end = match self.layout.joints[joint].below {
            Some(end) => end,
            None if sits_below || self.plan.on_a_wheel(declared) => None,
            None => return,
        };
        let under = self
            .state
            .raised()
            .any(|(raised, _)| end.is_none_or(|end| end == raised));
        if under && !self.both_off(joint) {
            self.met(Hazard::UnderVehicle, Subject::Joint(joint), false);
        }
    }

    /// Hands on a part that sits below what is raised, or comes there.
    fn meet_handled(&mut self, loads: impl Iterator<Item = Load>) {
        let parts = self.parts(loads);
        self.meet_beneath(parts);
    }

    /// The same while it is on: elsewhere nothing is over it.
    fn meet_touched(&mut self, loads: impl Iterator<Item = Load>) {
        let mut parts = self.parts(loads);
        parts.retain(|&part| !self.state.is_off(part));
        self.meet_beneath(parts);
    }

    fn meet_beneath(&mut self, parts: Vec<Id<Part>>) {
        let raised = self.state.raised().next().is_some();
        let below = parts.into_iter().find(|&part| self.layout.parts[part].below);
        if let (true, Some(part)) = (raised, below) {
            self.met(Hazard::UnderVehicle, Subject::Part(part), false);
        }
    }

    fn meet_raised(&mut self, mut loads: impl Iterator<Item = Load>) {
        if loads.any(|load| matches!(load, Load::Vehicle(_))) {
            self.met(Hazard::UnderVehicle, Subject::Vehicle, false);
        }
    }

    /// Put on a rig that hangs it from above, heavier than a hand holds.
    fn meet_hung(&mut self, rig: Id<Rig>, loads: impl Iterator<Item = Load> + Clone) {
        if !self.layout.hangs[rig] {
            return;
        }
        let vehicle = loads.clone().any(|load| matches!(load, Load::Vehicle(_)));
        let parts = self.parts(loads);
        if vehicle || !self.layout.lighter(parts, self.layout.by_hand) {
            self.met(Hazard::SuspendedLoad, Subject::Rig(rig), false);
        }
    }

    /// Something heavy on a scale that it hangs from.
    fn meet_weighed(&mut self, scale: Id<Scale>, loads: impl Iterator<Item = Load>) {
        let parts = self.parts(loads);
        let heavy = !self
            .layout
            .lighter(parts.iter().copied(), self.layout.heavy.saturating_add(1));
        if let (true, true, Some(&part)) = (hazards::hangs(&self.plan.scales[scale]), heavy, parts.first()) {
            self.met(Hazard::SuspendedLoad, Subject::Part(part), false);
        }
    }

    /// Moved or let go while it hangs.
    fn meet_hanging(&mut self, loads: impl Iterator<Item = Load> + Clone) {
        let vehicle = loads.clone().any(|load| matches!(load, Load::Vehicle(_)));
        let hung = self.state.raised().find(|(_, rig)| self.layout.hangs[*rig]);
        if let Some((_, rig)) = hung.filter(|_| vehicle) {
            self.met(Hazard::SuspendedLoad, Subject::Rig(rig), false);
        }
        let parts = self.parts(loads);
        let rig = self
            .plan
            .rigs
            .ids()
            .filter(|&rig| self.layout.hangs[rig])
            .find(|&rig| {
                self.state
                    .on_rig(rig)
                    .any(|(part, held)| parts.contains(&part) && !held.touch)
            });
        if let Some(rig) = rig
            && !self.layout.lighter(parts, self.layout.by_hand)
        {
            self.met(Hazard::SuspendedLoad, Subject::Rig(rig), false);
        }
    }

    /// Moved against a spring that ties it.
    fn meet_moved(&mut self, loads: impl Iterator<Item = Load>) {
        for part in self.parts(loads) {
            let layout = self.layout;
            for energy in &layout.parts[part].springs {
                let Some(keeping) = layout.keeping.get(energy) else {
                    continue;
                };
                let mut inside = keeping.parts.iter();
                let loaded = !self.state.safe[*energy] && !self.is_kept(keeping);
                if loaded && inside.any(|&inside| self.there(inside) == Some(part)) {
                    for hazard in layout.energy_hazards[*energy].clone() {
                        self.met(hazard, Subject::Energy(*energy), false);
                    }
                }
            }
            let springs: Vec<Id<Energy>> = self.layout.parts[part]
                .joints
                .iter()
                .filter(|&&joint| self.view().ties(joint) && !self.both_off(joint))
                .flat_map(|&joint| self.layout.joints[joint].energies.iter().copied())
                .filter(|&energy| {
                    self.plan.energies[energy]
                        .kind
                        .is_some_and(|said| said.value == EnergyKind::Spring)
                })
                .collect();
            for energy in springs {
                self.met(Hazard::Spring, Subject::Energy(energy), false);
            }
        }
    }

    /// What hurts by itself, an airbag or belt tensioner, comes off or goes on. Of several things one tells it.
    fn meet_parts(&mut self, loads: impl Iterator<Item = Load>) {
        let mut told: Vec<Hazard> = Vec::new();
        for part in self.parts(loads) {
            for hazard in self.layout.parts[part].hazards.clone() {
                if !told.contains(&hazard) {
                    told.push(hazard);
                    self.met(hazard, Subject::Part(part), true);
                }
            }
        }
    }

    fn parts(&self, loads: impl Iterator<Item = Load>) -> Vec<Id<Part>> {
        loads
            .filter_map(|load| match load {
                Load::Thing(thing) => Some(self.plan.parts_of(thing)),
                Load::Vehicle(_) => None,
            })
            .flatten()
            .collect()
    }
}

/// Hazards of fluids and energies, and rigs that hang: worked out once.
pub fn table(plan: &Plan, layout: &mut Layout) {
    layout.fluid_hazards = Table::new(plan.fluids.values().map(hazards::of_fluid).collect());
    layout.energy_hazards = Table::new(plan.energies.values().map(hazards::of_energy).collect());
    layout.hangs = Table::new(plan.rigs.values().map(hazards::hangs_from_above).collect());
    for (id, part) in plan.parts.iter() {
        layout.parts[id].hazards = hazards::of_part(part).collect();
    }
    for (id, joint) in plan.joints.iter() {
        layout.joints[id].hazards = hazards::of_joint(joint).collect();
    }
}
