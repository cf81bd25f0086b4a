//! What keeps an energy that is held in by joints: a coil spring between arm and shell, a gas strut, a tensioned belt. Kept by one joint of
//! these that is closed, or by a rig that has a thing it is in; let down under control, it is spent. Knows nothing of forces: what a rig has
//! to bear stands in `rules/`.

use std::collections::{BTreeMap, BTreeSet};

use super::breaks::{Broken, Subject};
use super::state::Holder;
use super::walker::Walker;
use crate::plan::model::{Energy, Id, Joint, Need, Part, Rig};

/// What keeps one energy.
#[derive(Debug, Default, Clone)]
pub struct Keeping {
    pub joints: Vec<Id<Joint>>,
    pub parts: Vec<Id<Part>>,
    /// In millimetres; none where the plan does not say.
    pub free_at: Option<f64>,
}

/// A rig alone keeps an energy in: from this act on, until something else does or it is spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Borne {
    pub energy: Id<Energy>,
    pub rig: Id<Rig>,
    pub part: Id<Part>,
    pub step: Option<Id<crate::plan::model::Step>>,
    pub at: crate::base::source::Span,
}

/// What the walker keeps of energies that are held in, and what it told of them.
#[derive(Debug, Default)]
pub struct Springs {
    /// In the order in which rigs took them.
    pub borne: Vec<Borne>,
    /// Those that a rig alone keeps in, with the rig.
    borne_by: BTreeMap<Id<Energy>, Id<Rig>>,
    /// Of these, those that were pushed in again.
    rearmed: BTreeSet<Id<Energy>>,
    /// How far they were let down, in millimetres.
    let_out: BTreeMap<Id<Energy>, f64>,
    /// Those that were let down, and not pushed in again.
    hangs_free: BTreeSet<Id<Energy>>,
    told_free: BTreeSet<Id<Energy>>,
    told_loose: BTreeSet<Id<Energy>>,
    told_catch: BTreeSet<(Id<Energy>, Id<Rig>)>,
}

impl<'a> Walker<'a> {
    fn keeping(&self, energy: Id<Energy>) -> Option<&'a Keeping> {
        let mut all = self.layout.keeping.iter();
        all.find_map(|(id, keeping)| (*id == energy).then_some(keeping))
    }

    /// Asked after every act: is each live energy still kept by something?
    pub fn kept_in(&mut self) {
        let layout = self.layout;
        for (energy, keeping) in &layout.keeping {
            let energy = *energy;
            if self.state.safe[energy] {
                if self.sprung_again(energy) {
                    if self.springs.hangs_free.remove(&energy) && !self.compressed() {
                        self.tell_of(Broken::SpringNotPushedIn, Subject::Energy(energy));
                    }
                    self.set_safe(energy, false);
                }
                continue;
            }
            if self.is_kept(&keeping.joints) {
                self.springs.borne_by.remove(&energy);
                self.springs.rearmed.remove(&energy);
                continue;
            }
            if let Some((rig, part)) = self.rig_that_keeps(keeping) {
                let known = self.springs.borne_by.get(&energy) == Some(&rig);
                if !known {
                    self.springs.borne_by.insert(energy, rig);
                    self.springs.borne.push(Borne {
                        energy,
                        rig,
                        part,
                        step: self.step,
                        at: self.act,
                    });
                }
                self.second_catch(energy, keeping, rig);
                continue;
            }
            // Taken between the hooks of a compressor it is held by that, for as long as the step lasts.
            if self.compressed() {
                continue;
            }
            self.flies(energy);
        }
    }

    /// What a rig that only lifts keeps in is caught a second time: by a chain or strap, another rig, a compressor.
    fn second_catch(&mut self, energy: Id<Energy>, keeping: &Keeping, rig: Id<Rig>) {
        if self.plan.rigs[rig].holds.is_some() || self.compressed() {
            return;
        }
        let caught = keeping
            .parts
            .iter()
            .filter_map(|&part| self.there(part))
            .any(|part| {
                let other = |holder: Holder| matches!(holder, Holder::Rig(other) if other != rig);
                self.state.ties.contains_key(&part)
                    || self.state.holders(part).any(|(holder, _)| other(holder))
            });
        if !caught && self.springs.told_catch.insert((energy, rig)) {
            let told = self
                .broken(Broken::NoSecondCatch)
                .of(Subject::Energy(energy))
                .with(Subject::Rig(rig));
            self.tell(told);
        }
    }

    fn flies(&mut self, energy: Id<Energy>) {
        let keepers: Vec<Subject> = self
            .keeping(energy)
            .into_iter()
            .flat_map(|keeping| keeping.joints.iter().map(|&joint| Subject::Joint(joint)))
            .collect();
        let mut told = self.broken(Broken::SpringLoose).of(Subject::Energy(energy));
        // What it was held by up to this act, if a rig had it.
        told.with
            .extend(self.springs.borne_by.remove(&energy).map(Subject::Rig));
        told.with.extend(keepers);
        self.tell(told);
        self.springs.told_loose.insert(energy);
        self.springs.rearmed.remove(&energy);
        self.set_safe(energy, true);
    }

    /// A keeper that is closed, or what is in its place.
    pub fn is_kept(&self, keepers: &[Id<Joint>]) -> bool {
        keepers.iter().any(|&joint| {
            let heirs = &self.layout.joints[joint].replaced_by;
            self.view().ties(joint) || heirs.iter().any(|&heir| self.view().ties(heir))
        })
    }

    /// Itself while it is on, else what is in its place.
    pub fn there(&self, part: Id<Part>) -> Option<Id<Part>> {
        let heirs = self.layout.parts[part].replaced_by.iter().copied();
        std::iter::once(part)
            .chain(heirs)
            .find(|&part| !self.state.is_off(part))
    }

    fn has_a_rig(&self, energy: Id<Energy>) -> bool {
        let keeping = self.keeping(energy);
        keeping.is_some_and(|keeping| self.rig_that_keeps(keeping).is_some())
    }

    fn rig_that_keeps(&self, keeping: &Keeping) -> Option<(Id<Rig>, Id<Part>)> {
        keeping.parts.iter().find_map(|&part| {
            let part = self.there(part)?;
            self.state.holders(part).find_map(|(holder, held)| match holder {
                Holder::Rig(rig) if !held.touch => Some((rig, part)),
                Holder::Rig(_) | Holder::Person(_) | Holder::Repair => None,
            })
        })
    }

    fn compressed(&self) -> bool {
        let Some(step) = self.step else { return false };
        self.plan.steps[step].needs.iter().any(|need| match need.value {
            Need::Tool(tool) => self.plan.tools[tool].compresses.is_some(),
            Need::Rig(_) | Need::Consumable(_) => false,
        })
    }

    /// It was let out, all that it is in is on again, and a keeper is closed.
    fn sprung_again(&self, energy: Id<Energy>) -> bool {
        let Some(keeping) = self.keeping(energy) else {
            return false;
        };
        // What a step says it is safe after stays so until its joints are tied again; see `wake`.
        let said = self.plan.energies[energy].safe_after.is_some();
        !said && self.all_there(keeping) && self.is_kept(&keeping.joints)
    }

    fn all_there(&self, keeping: &Keeping) -> bool {
        keeping.parts.iter().all(|&part| self.there(part).is_some())
    }

    /// Things are let down, by so many millimetres or as far as they go: what pushed them is spent.
    pub fn springs_let_down(&mut self, parts: &BTreeSet<Id<Part>>, by: Option<f64>) {
        let layout = self.layout;
        for (energy, keeping) in &layout.keeping {
            let energy = *energy;
            let moved = keeping.parts.iter().any(|part| parts.contains(part));
            if self.state.safe[energy] || !moved || self.is_kept(&keeping.joints) {
                continue;
            }
            let far_enough = match (by, keeping.free_at) {
                (Some(by), Some(free)) => {
                    by + self.springs.let_out.get(&energy).copied().unwrap_or_default() >= free
                }
                _ => true,
            };
            if far_enough {
                if keeping.free_at.is_none() {
                    let told = self.broken(Broken::FreeNotSaid).of(Subject::Energy(energy));
                    if self.springs.told_free.insert(energy) {
                        self.tell(told);
                    }
                }
                self.springs.let_out.remove(&energy);
                self.springs.borne_by.remove(&energy);
                self.springs.hangs_free.insert(energy);
                self.set_safe(energy, true);
            } else if let Some(by) = by {
                *self.springs.let_out.entry(energy).or_default() += by;
            }
        }
    }

    /// Things are pushed up against what they were let down from: it is loaded again, if all that it is in is on.
    pub fn springs_loaded(&mut self, parts: &BTreeSet<Id<Part>>) {
        let layout = self.layout;
        for (energy, keeping) in &layout.keeping {
            let energy = *energy;
            let moved = keeping
                .parts
                .iter()
                .any(|&part| self.there(part).is_some_and(|part| parts.contains(&part)));
            if self.state.safe[energy] && moved && self.all_there(keeping) && !self.is_kept(&keeping.joints) {
                self.springs.rearmed.insert(energy);
                self.springs.hangs_free.remove(&energy);
                self.set_safe(energy, false);
            }
        }
    }

    /// A rig that lifts is let go of under what it keeps in: on the way out that lets it down; on the way back nothing has hold of it yet.
    pub fn springs_released(&mut self, part: Id<Part>, rig: Id<Rig>) {
        if self.plan.rigs[rig].lifts.is_none() {
            return;
        }
        let out: Vec<Id<Energy>> = self
            .springs
            .borne_by
            .iter()
            .filter(|(energy, by)| {
                **by == rig && !self.springs.rearmed.contains(energy) && !self.has_a_rig(**energy)
            })
            .map(|(energy, _)| *energy)
            .collect();
        for energy in out {
            // How far it comes down, nobody says.
            if self.springs.told_free.insert(energy) {
                self.tell_of(Broken::FreeNotSaid, Subject::Energy(energy));
            }
            self.springs_let_down(&BTreeSet::from([part]), None);
        }
    }

    /// Out of the machine, it pushes on nothing.
    pub fn springs_out(&mut self, parts: &BTreeSet<Id<Part>>) {
        if !self.compressed() {
            return;
        }
        let layout = self.layout;
        for (energy, keeping) in &layout.keeping {
            if keeping.parts.iter().any(|part| parts.contains(part)) && !self.is_kept(&keeping.joints) {
                self.set_safe(*energy, true);
            }
        }
    }

    /// What the fluids weigh that are wholly in these things, in milligrams.
    pub fn wet_in(&self, parts: &BTreeSet<Id<Part>>) -> i64 {
        let wet = self.layout.wet.iter();
        wet.filter(|(fluid, _)| self.state.fluids[*fluid].full)
            .filter_map(|(_, wet)| wet.as_ref())
            .filter(|wet| wet.inside.iter().all(|part| parts.contains(part)))
            .map(|wet| wet.mass)
            .sum()
    }

    /// Both belong to one energy that is held in: what moves the one takes the other along.
    pub fn in_one_spring(&self, one: Id<Part>, other: Id<Part>) -> bool {
        let mut all = self.layout.keeping.iter();
        all.any(|(_, keeping)| {
            let inside = |part: Id<Part>| {
                keeping
                    .parts
                    .iter()
                    .any(|&known| known == part || self.there(known) == Some(part))
            };
            inside(one) && inside(other)
        })
    }

    /// A thing of these is in an energy of which it was told that nothing keeps or catches it.
    pub fn of_told_spring(&self, parts: &BTreeSet<Id<Part>>) -> bool {
        let told = |energy: &Id<Energy>| {
            self.springs.told_loose.contains(energy)
                || self.springs.told_catch.iter().any(|(other, _)| other == energy)
        };
        let mut all = self.layout.keeping.iter();
        all.any(|(energy, keeping)| told(energy) && keeping.parts.iter().any(|part| parts.contains(part)))
    }
}
