//! What keeps an energy that is held in by joints: a coil spring between arm and shell, a gas strut, a tensioned belt. Kept by one joint of
//! these that is closed, or by a rig that has a thing it is in; let down under control, it is spent. Knows nothing of forces: what a rig has
//! to bear stands in `rules/`.

use std::collections::{BTreeMap, BTreeSet};

use super::breaks::{Broken, Subject};
use super::spring_paths::Paths;
use super::state::Holder;
use super::walker::Walker;
use crate::plan::model::{Energy, Id, Joint, Need, Part, Rig};

/// What keeps one energy.
#[derive(Debug, Default, Clone)]
pub struct Keeping {
    /// All joints that keep it in.
    pub joints: Vec<Id<Joint>>,
    /// Each of these keeps it by itself.
    pub ways: Vec<Way>,
    /// What it pushes on, or is.
    pub parts: Vec<Id<Part>>,
    /// In millimetres; none where the plan does not say.
    pub free_at: Option<f64>,
    /// The mass that weighs as much as it pushes, in milligrams; none where the plan does not say.
    pub pushes: Option<i64>,
    pub(super) paths: Paths,
}

/// Keepers one after the other, as the two eyes of a damper: it keeps while one of `near` is closed, and one of `far` if there are any.
#[derive(Debug, Default, Clone)]
pub struct Way {
    /// One of these has to be closed.
    pub near: Vec<Id<Joint>>,
    /// And one of these, where there are any.
    pub far: Vec<Id<Joint>>,
}

impl Keeping {
    /// One way is whole, by joints for which `closed` says so.
    #[must_use]
    pub fn holds(&self, closed: impl Fn(Id<Joint>) -> bool) -> bool {
        let one = |joints: &[Id<Joint>]| joints.iter().any(|&joint| closed(joint));
        self.ways
            .iter()
            .any(|way| one(&way.near) && (way.far.is_empty() || one(&way.far)))
    }
}

/// The parts that a joint ties; none where a name is not known.
pub type Ends = Option<[Id<Part>; 2]>;

/// The ways in which these joints, each with its ends, keep in what is in these parts. Joints to a part in which it is not, one from where it is and
/// one from elsewhere, are of use together alone.
#[must_use]
pub fn ways(joints: &[(Id<Joint>, Ends)], parts: &[Id<Part>], body: Option<Id<Part>>) -> Vec<Way> {
    let mut through: BTreeMap<Id<Part>, Way> = BTreeMap::new();
    for &(joint, ends) in joints {
        let Some([a, b]) = ends else { continue };
        for (middle, other) in [(a, b), (b, a)] {
            if Some(middle) == body || parts.contains(&middle) {
                continue;
            }
            let way = through.entry(middle).or_default();
            if parts.contains(&other) {
                way.near.push(joint);
            } else {
                way.far.push(joint);
            }
        }
    }
    let mut all: Vec<Way> = through
        .into_values()
        .filter(|way| !way.near.is_empty() && !way.far.is_empty())
        .collect();
    let in_a_row: BTreeSet<Id<Joint>> = all
        .iter()
        .flat_map(|way| way.near.iter().chain(&way.far))
        .copied()
        .collect();
    let alone = joints.iter().map(|(joint, _)| *joint);
    all.extend(alone.filter(|joint| !in_a_row.contains(joint)).map(|joint| Way {
        near: vec![joint],
        far: Vec::new(),
    }));
    all
}

/// A rig alone keeps an energy in from this act on, or no longer does: something else does, or it is spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Borne {
    /// The spring, or whatever else pushes.
    pub energy: Id<Energy>,
    /// None where no rig does any longer.
    pub by: Option<(Id<Rig>, Id<Part>)>,
    /// None for the machine as it was found.
    pub step: Option<Id<crate::plan::model::Step>>,
    /// The word that is meant.
    pub at: crate::base::source::Span,
    /// How many changes of loads came before it.
    pub loads: usize,
}

/// How far something was let down, in millimetres; none where that is not known.
type Fall = Option<f64>;

/// How far an act lets something down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Down {
    /// In millimetres.
    By(f64),
    /// By an angle, which says nothing of the length at the spring.
    Far,
    /// As far as it goes.
    Whole,
}

/// What pushes with no more than the weight of this, in milligrams, breaks no bones when a jack sinks: the gas strut of a lid, and no coil spring of a
/// car. Common practice, no source.
const WEAK: i64 = 50_000_000;

/// What is as good as back where it was, in millimetres.
const HAIR: f64 = 0.5;

/// What the walker keeps of energies that are held in, and what it told of them.
#[derive(Debug, Default)]
pub struct Springs {
    /// In the order of the work.
    pub borne: Vec<Borne>,
    /// Those that a rig alone keeps in, with the rig.
    borne_by: BTreeMap<Id<Energy>, Id<Rig>>,
    /// Of these, those that were pushed in again.
    rearmed: BTreeSet<Id<Energy>>,
    /// How far those were let down that are not back where they were.
    let_out: BTreeMap<Id<Energy>, Fall>,
    /// Those that were let down or taken out, and are not pushed in again.
    hangs_free: BTreeSet<Id<Energy>>,
    /// Those that were let out with their keepers closed, which give: a gas strut whose lid is open.
    extended: BTreeSet<Id<Energy>>,
    /// Those to be asked after this act; and those that are live and that no joint keeps, which are asked after every one.
    asked: BTreeSet<Id<Energy>>,
    unkept: BTreeSet<Id<Energy>>,
    /// Those that the weight of the vehicle alone keeps.
    on_wheels: BTreeSet<Id<Energy>>,
    told_free: BTreeSet<Id<Energy>>,
    told_loose: BTreeSet<Id<Energy>>,
    told_catch: BTreeSet<(Id<Energy>, Id<Rig>)>,
    /// Lids that somebody or a prop holds open while their strut is out, and that strut.
    open_lids: BTreeMap<Id<Part>, Id<Energy>>,
}

impl<'a> Walker<'a> {
    fn keeping(&self, energy: Id<Energy>) -> Option<&'a Keeping> {
        self.layout.keeping.get(&energy)
    }

    /// Energies that these are in, in order.
    fn in_these(&self, parts: &BTreeSet<Id<Part>>) -> Vec<(Id<Energy>, &'a Keeping)> {
        let layout = self.layout;
        if layout.keeping.is_empty() {
            return Vec::new();
        }
        let all = parts.iter().flat_map(|&part| &layout.parts[part].springs);
        let all: BTreeSet<Id<Energy>> = all.copied().collect();
        let keeping = |energy: Id<Energy>| Some((energy, layout.keeping.get(&energy)?));
        all.into_iter().filter_map(keeping).collect()
    }

    /// The vehicle stands on something else: what its weight kept is asked.
    pub fn weight_shifts(&mut self) {
        let all = std::mem::take(&mut self.springs.on_wheels);
        self.springs.asked.extend(all);
    }

    /// These are asked after this act, which may let them go.
    pub fn springs_to_ask(&mut self, energies: &[Id<Energy>]) {
        self.springs.asked.extend(energies);
    }

    /// Asked after every act, of all that it may have changed and all that no joint keeps: is each live energy still kept by something?
    pub fn kept_in(&mut self) {
        let mut asked = std::mem::take(&mut self.springs.asked);
        asked.append(&mut self.springs.unkept);
        self.layout.looked.add(asked.len());
        for energy in asked {
            let Some(keeping) = self.keeping(energy) else {
                continue;
            };
            if self.state.safe[energy] {
                if self.sprung_again(energy, keeping) {
                    self.not_pushed_in(energy);
                    self.set_safe(energy, false);
                }
                continue;
            }
            if self.is_kept(keeping) {
                self.not_pushed_in(energy);
                self.nothing_bears(energy);
                self.springs.rearmed.remove(&energy);
                continue;
            }
            // Asked again when a joint or thing of it changes, or what the vehicle stands on.
            if self.view().weight_keeps(keeping) {
                self.nothing_bears(energy);
                self.springs.on_wheels.insert(energy);
                continue;
            }
            self.springs.unkept.insert(energy);
            if let Some((rig, part)) = self.rig_that_keeps(keeping) {
                let known = self.springs.borne_by.get(&energy) == Some(&rig);
                if !known {
                    self.springs.borne_by.insert(energy, rig);
                    self.bears(energy, Some((rig, part)));
                }
                self.second_catch(energy, keeping, rig, part);
                continue;
            }
            // Taken between the hooks of a compressor it is held by that, for as long as the step lasts; and spent by it on the bench.
            if self.compressed() {
                if self.none_on(keeping) {
                    self.spent(energy);
                    self.springs.hangs_free.insert(energy);
                }
                continue;
            }
            // The strut of a lid that is held open has pushed as far as it goes.
            if let Some(lid) = self.held_open(keeping) {
                self.springs.open_lids.insert(lid, energy);
                self.springs.extended.insert(energy);
                self.spent(energy);
                continue;
            }
            self.flies(energy);
        }
    }

    /// What a weak spring pushes hangs on its own hinge, and is held up by a prop or by somebody: it is out as far as it goes.
    fn held_open(&self, keeping: &Keeping) -> Option<Id<Part>> {
        let weak = keeping.pushes.is_some_and(|pushes| pushes <= WEAK);
        let ends = || {
            let joints = keeping.joints.iter();
            let all = joints.flat_map(|&joint| self.layout.joints[joint].ends.into_iter().flatten());
            all.filter(|end| !keeping.parts.contains(end) && !self.view().is_body(*end))
        };
        let inside: BTreeSet<Id<Part>> = keeping.parts.iter().copied().collect();
        let keepers: BTreeSet<Id<Joint>> = keeping
            .joints
            .iter()
            .flat_map(|&joint| self.layout.line_of_joint(joint))
            .collect();
        let hinged = |end: Id<Part>| {
            let mut joints = self.layout.parts[end].joints.iter();
            joints.any(|&joint| {
                let other = self.layout.joints[joint].other(end);
                let tied = !keepers.contains(&joint) && self.view().ties(joint);
                tied && other.is_some_and(|other| self.view().hangs_without(other, &inside, &keepers))
            })
        };
        ends()
            .filter_map(|end| self.there(end))
            .find(|&end| weak && self.view().is_held(end) && hinged(end))
    }

    /// Lids that were held open while their struts came out, and that nothing holds any more: on their hinges they fall shut.
    pub fn lids_fall(&mut self) {
        let lids: Vec<(Id<Part>, Id<Energy>)> = self
            .springs
            .open_lids
            .iter()
            .map(|(lid, by)| (*lid, *by))
            .collect();
        for (lid, energy) in lids {
            let view = self.view();
            let steadied = self.steadied.iter().any(|(_, part)| *part == lid);
            if !self.state.is_off(lid)
                && (view.is_held(lid) || steadied || self.state.ties.contains_key(&lid))
            {
                continue;
            }
            let strut = |part: Id<Part>| self.layout.parts[part].springs.contains(&energy);
            let pushed = view.tied(lid).any(|(_, other)| strut(other));
            self.springs.open_lids.remove(&lid);
            if self.state.is_off(lid) || pushed {
                continue;
            }
            let mut told = self.broken(Broken::WouldSwing).of(Subject::Part(lid));
            told.with.push(Subject::Energy(energy));
            told.grave = true;
            self.tell(told);
        }
    }

    /// A lid that was let down lies where it shuts.
    pub fn lid_shut(&mut self, parts: &BTreeSet<Id<Part>>) {
        self.springs.open_lids.retain(|lid, _| !parts.contains(lid));
    }

    /// A keeper is closed: on a spring that was let down, and is neither pushed back nor between the hooks of a compressor.
    fn not_pushed_in(&mut self, energy: Id<Energy>) {
        let short = match self.springs.let_out.remove(&energy) {
            Some(Some(by)) => by > HAIR,
            Some(None) => true,
            None => false,
        };
        let free = self.springs.hangs_free.remove(&energy);
        if (short || free) && !self.compressed() {
            self.tell_of(Broken::SpringNotPushedIn, Subject::Energy(energy));
        }
    }

    fn bears(&mut self, energy: Id<Energy>, by: Option<(Id<Rig>, Id<Part>)>) {
        self.springs.borne.push(Borne {
            energy,
            by,
            step: self.step,
            at: self.act,
            loads: self.observer.events.len(),
        });
    }

    /// Gives the rig that bore it up to now.
    fn nothing_bears(&mut self, energy: Id<Energy>) -> Option<Id<Rig>> {
        let rig = self.springs.borne_by.remove(&energy)?;
        self.bears(energy, None);
        Some(rig)
    }

    /// It pushes on nothing from here on.
    fn spent(&mut self, energy: Id<Energy>) {
        self.nothing_bears(energy);
        self.springs.rearmed.remove(&energy);
        self.set_safe(energy, true);
    }

    /// What a rig that only lifts keeps in is caught a second time: by a chain or strap that bears it, to what does not go with it; another
    /// rig; a compressor.
    fn second_catch(&mut self, energy: Id<Energy>, keeping: &Keeping, rig: Id<Rig>, part: Id<Part>) {
        let weak = keeping.pushes.is_some_and(|pushes| pushes <= WEAK);
        if self.plan.rigs[rig].holds.is_some() || self.compressed() || weak {
            return;
        }
        let parts: Vec<Id<Part>> = keeping
            .parts
            .iter()
            .filter_map(|&part| self.there(part))
            .collect();
        let strong = |bears: Option<i64>| {
            let bears = bears.unwrap_or(self.layout.hang);
            keeping.pushes.is_none_or(|pushes| pushes <= bears)
        };
        let inside: BTreeSet<Id<Part>> = parts.iter().copied().collect();
        let keepers: BTreeSet<Id<Joint>> = keeping
            .joints
            .iter()
            .flat_map(|&joint| self.layout.line_of_joint(joint))
            .collect();
        let stays = |to: Id<Part>| !inside.contains(&to) && self.view().hangs_without(to, &inside, &keepers);
        let caught = parts.iter().any(|&part| {
            let other = |holder: Holder| {
                matches!(holder, Holder::Rig(other) if other != rig && self.plan.rigs[other].holds.is_some())
            };
            let tie = self.state.ties.get(&part);
            tie.is_some_and(|tie| stays(tie.to) && strong(tie.bears))
                || self.state.holders(part).any(|(holder, _)| other(holder))
        });
        if !caught && self.springs.told_catch.insert((energy, rig)) {
            let told = self
                .broken(Broken::NoSecondCatch)
                .of(Subject::Energy(energy))
                .with(Subject::Rig(rig))
                .with(Subject::Part(part));
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
        told.with.extend(self.nothing_bears(energy).map(Subject::Rig));
        told.with.extend(keepers);
        self.tell(told);
        self.springs.told_loose.insert(energy);
        self.springs.let_out.remove(&energy);
        self.spent(energy);
    }

    /// Something keeps it in: joints that are closed, or what is in their place.
    pub fn is_kept(&self, keeping: &Keeping) -> bool {
        self.view().keeps(keeping)
    }

    /// Itself while it is on, else what is in its place.
    pub fn there(&self, part: Id<Part>) -> Option<Id<Part>> {
        let mut line = self.layout.line_of_part(part).into_iter();
        line.find(|&part| !self.state.is_off(part))
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

    pub fn compressed(&self) -> bool {
        let needs = match self.step {
            Some(step) => &self.plan.steps[step].needs,
            None => &self.loose_needs,
        };
        needs.iter().any(|need| match need.value {
            Need::Tool(tool) => self.plan.tools[tool].compresses.is_some(),
            Need::Rig(_) | Need::Consumable(_) => false,
        })
    }

    /// It was let out, all that it is in is together again, and a keeper is closed.
    fn sprung_again(&self, energy: Id<Energy>, keeping: &Keeping) -> bool {
        // A supply or a pressure that is said to be safe after a step stays so until the joints of that are tied again; see `wake`.
        let declared = &self.plan.energies[energy];
        let said = declared.safe_after.is_some() && !declared.hangs();
        let free = self.springs.hangs_free.contains(&energy);
        !said
            && !self.springs.extended.contains(&energy)
            && (self.all_there(keeping) || (free && self.none_on(keeping)))
            && self.is_kept(keeping)
    }

    fn all_there(&self, keeping: &Keeping) -> bool {
        keeping.parts.iter().all(|&part| self.there(part).is_some())
    }

    /// All that it is in lies on the bench.
    fn none_on(&self, keeping: &Keeping) -> bool {
        keeping.parts.iter().all(|&part| self.there(part).is_none())
    }

    /// Things are let down, so far or as far as they go: what pushed them is spent.
    pub fn springs_let_down(&mut self, parts: &BTreeSet<Id<Part>>, by: Down) {
        for (energy, keeping) in self.in_these(parts) {
            let moved = keeping
                .parts
                .iter()
                .any(|&part| self.there(part).is_some_and(|part| parts.contains(&part)));
            if self.state.safe[energy] || !moved {
                continue;
            }
            if self.is_kept(keeping) {
                self.let_out_between_keepers(energy, keeping, by);
                continue;
            }
            let before = self.springs.let_out.get(&energy).copied().unwrap_or(Some(0.0));
            let after = match by {
                Down::By(by) => before.map(|before| before + by),
                Down::Far | Down::Whole => None,
            };
            self.springs.let_out.insert(energy, after);
            let (far_enough, known) = match (after, keeping.free_at) {
                (Some(after), Some(free)) => (after >= free, true),
                // All the way down it is free, whatever that is; by an angle nobody knows.
                (None, Some(_)) => (true, by == Down::Whole),
                (_, None) => (true, false),
            };
            if !far_enough {
                continue;
            }
            if !known && self.springs.told_free.insert(energy) {
                self.tell_of(Broken::FreeNotSaid, Subject::Energy(energy));
            }
            self.springs.hangs_free.insert(energy);
            self.spent(energy);
        }
    }

    /// Keepers that give let it push its thing as far as it goes.
    fn let_out_between_keepers(&mut self, energy: Id<Energy>, keeping: &Keeping, by: Down) {
        let gives = |joint: &Id<Joint>| !self.layout.joints[*joint].rigid;
        let enough = match (by, keeping.free_at) {
            (Down::By(by), Some(free)) => by >= free,
            (Down::Whole, Some(_)) => true,
            _ => false,
        };
        if enough && keeping.joints.iter().any(gives) {
            self.springs.extended.insert(energy);
            self.spent(energy);
        }
    }

    /// Things are pushed up against what they were let down from, so far or all the way; it is loaded again, if all that it is in is on.
    pub fn springs_loaded(&mut self, parts: &BTreeSet<Id<Part>>, by: Option<f64>) {
        for (energy, keeping) in self.in_these(parts) {
            let moved = keeping
                .parts
                .iter()
                .any(|&part| self.there(part).is_some_and(|part| parts.contains(&part)));
            if !moved || !self.all_there(keeping) {
                continue;
            }
            if self.springs.extended.remove(&energy) && self.is_kept(keeping) {
                self.set_safe(energy, false);
            }
            if self.is_kept(keeping) {
                continue;
            }
            // By how much it still hangs lower than it was: nothing where nobody knows how far it went, or comes.
            let left = match (self.springs.let_out.get(&energy), by) {
                (Some(Some(out)), Some(by)) => (out - by).max(0.0),
                _ => 0.0,
            };
            if left > HAIR {
                self.springs.let_out.insert(energy, Some(left));
            } else {
                self.springs.let_out.remove(&energy);
            }
            if self.state.safe[energy] && keeping.free_at.is_none_or(|free| left < free) {
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
            self.springs_let_down(&BTreeSet::from([part]), Down::Whole);
        }
    }

    /// Things leave the machine: whole, with what is in them; or out of a compressor; or torn out of what pushes on them.
    pub fn springs_out(&mut self, moved: &BTreeSet<Id<Part>>) {
        for (energy, keeping) in self.in_these(moved) {
            let there: Vec<Id<Part>> = keeping
                .parts
                .iter()
                .filter_map(|&part| self.there(part))
                .collect();
            if self.state.safe[energy] || !there.iter().any(|part| moved.contains(part)) {
                continue;
            }
            if self.compressed() {
                if !self.is_kept(keeping) {
                    self.springs.hangs_free.insert(energy);
                    self.springs.let_out.remove(&energy);
                    self.spent(energy);
                }
                continue;
            }
            let stays = |part: &Id<Part>| !moved.contains(part) && !self.view().is_body(*part);
            // Whole, and kept in by its own joints, it goes as it is.
            if !self.is_kept(keeping) || there.iter().any(stays) {
                self.flies(energy);
            }
        }
    }

    /// Things come on again, in a step that has a compressor: a spring among them is pushed in by that.
    pub fn springs_in(&mut self, parts: &BTreeSet<Id<Part>>) {
        if self.springs.hangs_free.is_empty() || !self.compressed() {
            return;
        }
        for (energy, keeping) in self.in_these(parts) {
            if keeping
                .parts
                .iter()
                .any(|&part| self.there(part).is_some_and(|part| parts.contains(&part)))
            {
                self.springs.hangs_free.remove(&energy);
                self.springs.let_out.remove(&energy);
            }
        }
    }

    /// Both belong to one energy that is held in: what moves the one takes the other along.
    pub fn in_one_spring(&self, one: Id<Part>, other: Id<Part>) -> bool {
        let springs = &self.layout.parts[other].springs;
        let mut own = self.layout.parts[one].springs.iter();
        own.any(|nth| springs.contains(nth))
    }

    /// A thing of these is in an energy of which it was told that nothing keeps or catches it.
    pub fn of_told_spring(&self, parts: &BTreeSet<Id<Part>>) -> bool {
        let told = |energy: &Id<Energy>| {
            self.springs.told_loose.contains(energy)
                || self.springs.told_catch.iter().any(|(other, _)| other == energy)
        };
        self.in_these(parts).iter().any(|(energy, _)| told(energy))
    }
}
