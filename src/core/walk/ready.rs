//! Before anything runs, drives or rolls: what carries it and what runs through its lines has to be as it will be at the end. Knows nothing of how
//! that is worded.

use std::collections::BTreeSet;

use super::breaks::{Broken, Subject};
use super::walker::Walker;
use crate::plan::hazards;
use crate::plan::model::{Energy, Fluid, Id, Joint, Load, Part, Said};

impl Walker<'_> {
    /// Driven: whatever bears or leads something is tight, what has to be bled is bled, and it stands on its wheels.
    pub fn drive(&mut self, things: &[Said<Load>]) {
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let mut open: Vec<Subject> = self.state.raised().map(|(end, _)| Subject::End(end)).collect();
        let bears = |joint: Id<Joint>| {
            let facts = &self.layout.joints[joint];
            facts.carries || facts.line || facts.slides || facts.pressed
        };
        open.extend(
            self.plan
                .joints
                .ids()
                .filter(|&joint| bears(joint) && self.is_loose(joint))
                .map(Subject::Joint),
        );
        open.extend(
            self.plan
                .fluids
                .ids()
                .filter(|&fluid| self.lacks_fluid(fluid, true))
                .map(Subject::Fluid),
        );
        // What is off hides its own loose joints: what holds a fluid's line, a wheel, or is checked twice.
        let weighty = |joint: Id<Joint>| {
            let declared = &self.plan.joints[joint];
            self.layout.joints[joint].line
                || declared.second_check.is_some()
                || self.plan.on_a_wheel(declared)
        };
        open.extend(self.missing(|part| {
            hazards::is_driven_with(&self.plan.parts[part])
                || self.layout.parts[part].joints.iter().any(|&joint| weighty(joint))
        }));
        self.not_ready(open);
    }

    /// Run: what is in it, and in what is bolted to it, is filled, and no line of that stands open. Of a whole vehicle, of all its fluids.
    pub fn run_it(&mut self, things: &[Said<Load>]) {
        let (parts, vehicle) = self.parts_of_loads(things);
        self.at = things.first().map_or(self.act, |thing| thing.at);
        let group: BTreeSet<Id<Part>> = if vehicle {
            BTreeSet::new()
        } else {
            self.view().moving(&parts, false)
        };
        let touches = |fluid: Id<Fluid>| {
            let lines = self.layout.lines[fluid].iter();
            let mut ends = lines.flat_map(|&joint| self.layout.joints[joint].ends.into_iter().flatten());
            vehicle
                || self.layout.inside[fluid].iter().any(|part| group.contains(part))
                || ends.any(|end| group.contains(&end))
        };
        let fluids: Vec<Id<Fluid>> = self.plan.fluids.ids().filter(|&fluid| touches(fluid)).collect();
        let mut open: BTreeSet<Subject> = BTreeSet::new();
        for &fluid in &fluids {
            if self.lacks_fluid(fluid, false) {
                open.insert(Subject::Fluid(fluid));
            }
            let loose = self.layout.lines[fluid]
                .iter()
                .filter(|&&joint| self.is_loose(joint));
            open.extend(loose.map(|&joint| Subject::Joint(joint)));
        }
        // An engine without its sump has no oil, whatever is said of it.
        let holds = |part: Id<Part>| {
            self.layout
                .inside
                .iter()
                .any(|(_, inside)| inside.contains(&part))
        };
        let beside = |part: Id<Part>| {
            let mut joints = self.layout.parts[part].joints.iter();
            vehicle
                || joints.any(|&joint| {
                    self.layout.joints[joint]
                        .other(part)
                        .is_some_and(|other| group.contains(&other))
                })
        };
        open.extend(self.missing(|part| holds(part) && beside(part)));
        open.extend(self.missing(|part| hazards::is_battery(&self.plan.parts[part])));
        // Nothing turns it over while a lead of the battery hangs loose.
        let leads = self.plan.joints.iter().filter(|(id, joint)| {
            let mut ends = self.layout.joints[*id].ends.into_iter().flatten();
            joint.kind.value.is_lead()
                && ends.any(|end| hazards::is_battery(&self.plan.parts[end]))
                && self.is_loose(*id)
        });
        open.extend(leads.map(|(id, _)| Subject::Joint(id)));
        self.not_ready(open.into_iter().collect());
        // Its pump fills the rail again.
        let rails: Vec<Id<Energy>> = self
            .plan
            .energies
            .iter()
            .filter(|(id, energy)| self.state.safe[*id] && hazards::is_fuel_pressure(energy))
            .map(|(id, _)| id)
            .collect();
        for rail in rails {
            self.set_safe(rail, false);
        }
    }

    /// Bled: the pedal pushes the pistons against what is there.
    pub fn pistons_stopped(&mut self, fluid: Id<Fluid>) {
        if !hazards::works_brakes(&self.plan.fluids[fluid]) {
            return;
        }
        let off = self.missing(|part| hazards::stops_a_piston(&self.plan.parts[part]));
        if off.is_empty() {
            return;
        }
        let mut told = self.broken(Broken::NotReady).with(Subject::Fluid(fluid));
        told.of = off;
        self.tell(told);
    }

    /// Rolled onto a scale: what its wheels hang on is tight.
    pub fn rolls(&mut self) {
        let wheels = self
            .plan
            .joints
            .iter()
            .filter(|(_, joint)| self.plan.on_a_wheel(joint));
        let loose = wheels.map(|(id, _)| id).filter(|&joint| self.is_loose(joint));
        let open: Vec<Subject> = loose.map(Subject::Joint).collect();
        self.not_ready(open);
    }

    /// Things of this kind that came off and go back, with nothing in their place.
    fn missing(&self, asked: impl Fn(Id<Part>) -> bool) -> Vec<Subject> {
        let parts = self.state.parts.iter();
        let came_off = |part: Id<Part>| {
            let old = self.layout.parts[part].in_place_of;
            self.state.parts[part].was_off || old.is_some_and(|old| self.state.parts[old].was_off)
        };
        parts
            .filter(|(part, state)| came_off(*part) && !state.mended && self.there(*part).is_none())
            .filter(|(part, _)| self.goes_back(*part) && asked(*part))
            .map(|(part, _)| Subject::Part(part))
            .collect()
    }

    /// Between things that are on, and not wholly tight.
    fn is_loose(&self, joint: Id<Joint>) -> bool {
        self.both_on(joint) && self.wants_closing(joint)
    }

    fn lacks_fluid(&self, fluid: Id<Fluid>, bled: bool) -> bool {
        let state = self.state.fluids[fluid];
        let unbled = bled && !state.bled && self.plan.fluids[fluid].needs_bleeding.is_some();
        !state.mended && (!state.full || unbled) && self.is_wanted(fluid)
    }

    /// Told in one; what is still so at the end is told there too.
    fn not_ready(&mut self, open: Vec<Subject>) {
        if open.is_empty() {
            return;
        }
        let mut told = self.broken(Broken::NotReady);
        let apart = |subject: &&Subject| match **subject {
            Subject::Joint(joint) => self.state.joints[joint].out > 0,
            Subject::Fluid(fluid) => !self.state.fluids[fluid].full,
            _ => false,
        };
        told.apart = open.iter().filter(apart).copied().collect();
        told.of = open;
        self.tell(told);
    }
}
