//! What has to be so when the last step is done: everything that was opened is closed, everything is where it belongs. Knows
//! the state of that moment, and not which act left it so.

use std::collections::BTreeSet;

use super::breaks::{Break, Broken, Subject};
use super::state::{Holder, Opening};
use super::walker::Walker;
use crate::base::source::Span;
use crate::plan::model::{Afterwards, Asked, Fluid, Id, Joint, Part, Reading, WeighIn, Weighed};

impl Walker<'_> {
    pub fn closing(&mut self) {
        let silent = self.places();
        self.joints_closed(&silent);
        self.fluids_closed();
        self.rigs_free();
        self.ends_down();
        self.weighings();
        self.judgements();
    }

    fn at_end(&mut self, rule: Broken, block: Span, at: Span, of: Subject) {
        let step = None;
        let told = Break::new(rule, self.moment, step, block, at).of(of);
        self.tell(told);
    }

    fn is_on(&self, part: Id<Part>) -> bool {
        !self.state.is_off(part)
    }

    /// A part that another one is in place of, and which has made room for it.
    fn made_room(&self, part: Id<Part>) -> bool {
        let facts = &self.layout.parts[part];
        facts
            .replaced_by
            .iter()
            .any(|&new| !self.layout.parts[new].if_renewed || self.is_on(new))
    }

    /// Where a part has to be at the end.
    pub fn goes_back(&self, part: Id<Part>) -> bool {
        let declared = self.plan.parts[part].afterwards.map(|said| said.value);
        let stays = declared.is_none_or(|after| after == Afterwards::GoesBack);
        stays && !self.made_room(part)
    }

    /// Parts that are not where they belong. Gives those whose joints are no second finding.
    fn places(&mut self) -> BTreeSet<Id<Part>> {
        let mut silent = BTreeSet::new();
        for (id, part) in self.plan.parts.iter().filter(|(_, part)| !part.is_body) {
            let facts = &self.layout.parts[id];
            let state = self.state.parts[id];
            // A thing is never closed again by what a repair did to it.
            let silenced = state.mended || state.suppressed.is_some();
            let here = (part.head.block, part.head.at);
            if let Some(old) = facts.in_place_of {
                let waits = facts.if_renewed || self.is_on(old);
                if !self.is_on(id) && !waits {
                    silent.insert(id);
                    if !silenced {
                        self.at_end(Broken::NeverRefitted, here.0, here.1, Subject::Part(id));
                    }
                }
            }
            let back = self.goes_back(id);
            let waits_for_another = facts.in_place_of.is_some();
            if self.is_on(id) && !back && !silenced {
                self.at_end(Broken::NeverTakenOff, here.0, here.1, Subject::Part(id));
            }
            if !self.is_on(id) && back && !waits_for_another {
                silent.insert(id);
                if !silenced {
                    self.at_end(Broken::NeverRefitted, here.0, here.1, Subject::Part(id));
                }
            }
        }
        silent
    }

    fn joints_closed(&mut self, silent: &BTreeSet<Id<Part>>) {
        for (id, joint) in self.plan.joints.iter() {
            let facts = &self.layout.joints[id];
            let Some(ends) = facts.ends else { continue };
            if ends.iter().any(|end| silent.contains(end)) {
                continue;
            }
            let state = self.state.joints[id];
            let (block, at) = (joint.head.block, joint.head.at);
            let subject = Subject::Joint(id);
            // A clamp on a hose that goes to the new thing now.
            if state.opening == Opening::Clamped && !self.view().ties(id) && !state.mended {
                let heirs = &facts.replaced_by;
                if heirs
                    .iter()
                    .any(|&heir| self.view().ties(heir) && self.shares_a_thing(heir, id))
                {
                    self.at_end(Broken::CapLeft, block, at, subject);
                }
            }
            if self.both_on(id) {
                let trial = ends
                    .iter()
                    .any(|&end| self.state.parts[end].presence == super::state::Presence::OnTrial);
                if self.wants_closing(id) && !trial {
                    let open = state.out > 0 || state.parted || state.drawn > 0.0 || state.broken;
                    let rule = if open {
                        Broken::NeverRemade
                    } else {
                        Broken::NeverTightened
                    };
                    self.at_end(rule, block, at, subject);
                }
                if state.opening.is_closed() && !facts.gone && !state.mended && self.view().ties(id)
                    || state.pins.is_some()
                {
                    self.at_end(Broken::CapLeft, block, at, subject);
                }
                if state.unchecked && self.view().ties(id) && !state.mended {
                    self.at_end(Broken::NeverVerified, block, at, subject);
                }
            } else if self.lost(id) && !self.is_asked(id) {
                self.at_end(Broken::NeverReplaced, block, at, subject);
            }
        }
    }

    /// A joint of a part that is gone, with nothing in its place.
    fn lost(&self, joint: Id<Joint>) -> bool {
        let facts = &self.layout.joints[joint];
        let Some(ends) = facts.ends else { return false };
        let gone = |part: Id<Part>| {
            let facts = &self.layout.parts[part];
            let kept_out = facts.in_place_of.is_some() && !self.state.parts[part].was_off;
            !self.is_on(part) && !kept_out && !self.goes_back(part)
        };
        ends.into_iter().any(gone)
            && !facts.gone
            && facts.replaced_by.is_empty()
            && !self.state.joints[joint].mended
    }

    /// The owner is asked already how this joint, or a thing of it, goes back.
    fn is_asked(&self, joint: Id<Joint>) -> bool {
        let ends = self.layout.joints[joint].ends;
        let asked = |asked: &Asked| match *asked {
            Asked::Joint(other) => other == joint,
            Asked::Part(part) => ends.is_some_and(|ends| ends.contains(&part)),
        };
        let mut derived = self.plan.steps.values().filter_map(|step| step.derived.as_ref());
        derived.any(|derived| derived.asked.iter().any(asked))
    }

    fn fluids_closed(&mut self) {
        for (id, fluid) in self.plan.fluids.iter() {
            let state = self.state.fluids[id];
            if state.mended || !self.is_wanted(id) {
                continue;
            }
            let (block, at) = (fluid.head.block, fluid.head.at);
            if !state.full {
                self.at_end(Broken::NeverRefilled, block, at, Subject::Fluid(id));
            } else if !state.bled && fluid.needs_bleeding.is_some() {
                self.at_end(Broken::NeverBled, block, at, Subject::Fluid(id));
            }
        }
    }

    /// Something that holds this fluid is on. Where the plan does not say what holds it, a joint of it says so.
    pub fn is_wanted(&self, fluid: Id<Fluid>) -> bool {
        if self.plan.fluids[fluid].gone.is_some() {
            return false;
        }
        let holds = &self.layout.inside[fluid];
        if !holds.is_empty() {
            // What is on and should be off is told of itself.
            let wanted = |&part: &Id<Part>| self.is_on(part) && self.goes_back(part);
            // A cell in place of the tank is filled; a rack without power steering is not.
            let burns = self.layout.fluid_hazards[fluid]
                .iter()
                .any(|hazard| hazard.row().burns);
            let heirs = |part: Id<Part>| self.layout.line_of_part(part).iter().any(wanted);
            return holds.iter().any(|part| wanted(part) || (burns && heirs(*part)));
        }
        let joints = &self.layout.lines[fluid];
        joints.is_empty() || joints.iter().any(|&id| self.both_on(id))
    }

    fn rigs_free(&mut self) {
        let left: Vec<(Id<Part>, Holder, Span)> = self
            .state
            .holds
            .iter()
            .map(|((part, holder), held)| (*part, *holder, held.at))
            .collect();
        for (part, holder, at) in left {
            let Holder::Rig(rig) = holder else { continue };
            let declared = &self.plan.rigs[rig];
            // What is off may lie on a bench for good, but it does not hang.
            let lies = self.state.is_off(part) && declared.holds.is_some();
            if !lies {
                let told = Break::new(Broken::StillHeld, self.moment, None, at, at)
                    .of(Subject::Part(part))
                    .with(Subject::Rig(rig));
                self.tell(told);
            }
        }
        let ties: Vec<(Id<Part>, Span)> = self
            .state
            .ties
            .iter()
            .map(|(part, tie)| (*part, tie.at))
            .collect();
        for (part, at) in ties {
            self.at_end(Broken::CapLeft, at, at, Subject::Part(part));
        }
    }

    fn ends_down(&mut self) {
        let raised: Vec<_> = self.state.raised().collect();
        let Some(vehicle) = self.layout.vehicle else {
            return;
        };
        let head = &self.plan.vehicles[vehicle].head;
        for (end, rig) in raised {
            let told = Break::new(Broken::LeftUp, self.moment, None, head.block, head.at)
                .of(Subject::End(end))
                .with(Subject::Rig(rig));
            self.tell(told);
        }
    }

    /// What waits to take a worn part's place needs somebody who judges that one.
    fn judgements(&mut self) {
        let judged: BTreeSet<Id<Part>> = self
            .plan
            .steps
            .values()
            .flat_map(|step| step.acts())
            .filter_map(|act| match &act.does {
                crate::plan::model::Does::Judge { part, .. } => Some(part.value),
                // Nothing else decides on a part.
                _ => None,
            })
            .collect();
        for (id, part) in self.plan.parts.iter() {
            let facts = &self.layout.parts[id];
            if let Some(old) = facts.in_place_of.filter(|_| facts.if_renewed)
                && !judged.contains(&old)
            {
                let told = Break::new(
                    Broken::NeverJudged,
                    self.moment,
                    None,
                    part.head.block,
                    part.head.at,
                )
                .of(Subject::Part(id))
                .with(Subject::Part(old));
                self.tell(told);
            }
        }
    }

    /// Readings that are to come need a step that weighs.
    fn weighings(&mut self) {
        for (id, weigh_in) in self.plan.weigh_ins.iter() {
            let whole = weigh_in
                .corners
                .as_ref()
                .is_some_and(|said| said.value.all().contains(&Reading::ToCome))
                || weigh_in
                    .axles
                    .as_ref()
                    .is_some_and(|said| [said.value.front, said.value.rear].contains(&Reading::ToCome));
            if whole && !self.weighed.contains(&Subject::Vehicle) {
                let at = weigh_in
                    .corners
                    .as_ref()
                    .map(|said| said.at)
                    .or(weigh_in.axles.as_ref().map(|said| said.at))
                    .unwrap_or(weigh_in.head.at);
                self.never_weighed(id, at, Subject::Vehicle);
            }
            for reads in weigh_in
                .reads
                .iter()
                .filter(|reads| reads.mass == Reading::ToCome)
            {
                for what in &reads.what {
                    let missing = match what.value {
                        Weighed::Thing(thing) => self
                            .plan
                            .parts_of(thing)
                            .into_iter()
                            .map(Subject::Part)
                            .find(|part| !self.weighed.contains(part)),
                        Weighed::Vehicle(_) => {
                            Some(Subject::Vehicle).filter(|whole| !self.weighed.contains(whole))
                        }
                        Weighed::Hardware(_) => None,
                    };
                    if let Some(missing) = missing {
                        self.never_weighed(id, reads.at, missing);
                    }
                }
            }
        }
    }

    fn never_weighed(&mut self, id: Id<WeighIn>, at: Span, what: Subject) {
        let told = Break::new(Broken::NeverWeighed, self.moment, None, at, at)
            .of(what)
            .with(Subject::WeighIn(id));
        self.tell(told);
    }
}
