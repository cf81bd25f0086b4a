//! The walk itself: step by step and act by act, keeping every change that an act makes, so that any moment can be had
//! again. Knows the order of events; what one act means stands in the files beside this one.

use std::collections::{BTreeMap, BTreeSet};

use super::breaks::{Break, Broken, Moment, Subject};
use super::hazards::Met;
use super::intact::Intact;
use super::layout::Layout;
use super::loads::{LoadChange, Observer};
use super::springs::Springs;
use super::state::{Change, FluidState, Held, Holder, JointState, PartState, Stand, State, Tie};
use super::support::View;
use crate::base::source::Span;
use crate::plan::model::{
    Act, Does, End, Energy, EnergyKind, Fluid, Id, Joint, Need, Part, Person, Plan, Rig, Said, Step,
};

/// A whole state is kept whenever so many changes were made since the last, or as many as a state has cells: so all that are kept
/// take no more room than the changes, and playing forwards from the nearest costs no more than taking a copy of it.
const KEPT_EVERY: usize = 256;

/// A state, and how many changes led to it.
#[derive(Debug, Clone)]
pub struct Kept {
    pub changes: usize,
    pub state: State,
}

/// Something that has to be put right before a step ends.
#[derive(Debug, Clone)]
pub struct PendingFall {
    pub told: Break,
    pub parts: BTreeSet<Id<Part>>,
    /// It hangs by a lead, and may till the end of the step after this one.
    pub lead_since: Option<usize>,
}

/// How support may have been lost: a joint was parted, or a part lost what it had besides joints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loss {
    Joint([Id<Part>; 2]),
    Part(Id<Part>),
}

/// A line that was opened while it was full.
#[derive(Debug, Clone)]
pub struct OpenLine {
    pub told: Break,
    pub joint: Id<Joint>,
    pub fluid: Id<Fluid>,
}

pub struct Walker<'a> {
    pub plan: &'a Plan,
    pub layout: &'a Layout,
    pub state: State,
    pub breaks: Vec<Option<Break>>,
    pub changes: Vec<Change>,
    /// For each act, the number of changes before and after it.
    pub act_changes: Vec<(usize, usize)>,
    /// For each walked step, the number of changes when it had ended.
    pub step_ends: Vec<usize>,
    pub kept: Vec<Kept>,
    pub step: Option<Id<Step>>,
    /// Place of the step in the order of work.
    pub nth: usize,
    pub act: Span,
    /// The word of the act that is dealt with now.
    pub at: Span,
    pub act_number: u32,
    pub moment: Moment,
    /// Parts whose support this act may have changed.
    pub changed: Vec<Id<Part>>,
    /// Those of them that may have lost it.
    pub losses: Vec<Loss>,
    /// Something may have gained support.
    pub gained: bool,
    /// What hung on nothing from the start: told when it is first touched.
    pub adrift: BTreeSet<Id<Part>>,
    /// The same for the whole step.
    pub changed_in_step: BTreeSet<Id<Part>>,
    pub pending: Vec<PendingFall>,
    pub open_lines: Vec<OpenLine>,
    pub suppressed_before: Vec<Id<Part>>,
    pub parted_in_step: Vec<Id<Joint>>,
    /// This step let something down.
    pub let_down: bool,
    pub drained: BTreeSet<Id<Fluid>>,
    /// Joints that this step slackened.
    pub cracked_in_step: Vec<Id<Joint>>,
    /// The joints whose closing makes an energy live again.
    pub wakes: BTreeMap<Id<Energy>, Vec<Id<Joint>>>,
    /// Those that one of these made live again: parted again, they make it safe again.
    pub woken: BTreeMap<Id<Energy>, Vec<Id<Joint>>>,
    /// Causes that were told, and are not told again until they are gone.
    pub told_covers: BTreeSet<Id<Part>>,
    pub told_stands: BTreeSet<Broken>,
    /// What sparks and dust have been told of.
    pub told_around: BTreeSet<Subject>,
    pub told_busy: bool,
    pub told_near: BTreeSet<Id<Fluid>>,
    /// Charges that were told to be parted under a live supply.
    pub told_charges: BTreeSet<Id<Energy>>,
    /// The number of the last act before this step.
    pub step_began: u32,
    /// Who tightened a joint alone.
    pub tightened_by: BTreeMap<Id<Joint>, Vec<Id<Person>>>,
    pub weighed: BTreeSet<Subject>,
    /// Who works in a step that is in no plan, and what it needs.
    loose_by: Vec<Id<Person>>,
    pub loose_needs: Vec<Said<Need>>,
    /// Hazards that the acts met, in their order.
    pub met: Vec<Met>,
    pub springs: Springs,
    /// Who keeps a hand on what, till the step ends.
    pub steadied: BTreeSet<(Id<Person>, Id<Part>)>,
    /// What left a raised vehicle downwards and stands beneath it on its rig, with the number of the act.
    pub beneath: Vec<(Id<Part>, u32)>,
    /// An engine ran, and its exhaust has not cooled.
    pub hot: bool,
    /// What this step lowered from ride height.
    pub let_hang: BTreeSet<Id<Part>>,
    pub observer: Observer,
    intact: Intact,
    /// Joints by their names, made when it is first asked for.
    pub joint_names: Option<BTreeMap<&'a str, Id<Joint>>>,
}

impl<'a> Walker<'a> {
    pub fn new(plan: &'a Plan, layout: &'a Layout) -> Self {
        Self::from(plan, layout, State::found(plan, layout))
    }

    /// From a state that is not how the job was found.
    pub fn from(plan: &'a Plan, layout: &'a Layout, state: State) -> Self {
        let nowhere = Span::new(crate::base::source::SourceId(0), 0, 0);
        let intact = Intact::new(layout, &state);
        let adrift = View {
            layout,
            state: &state,
            intact: Some(&intact),
        }
        .adrift();
        Self {
            plan,
            layout,
            kept: vec![Kept {
                changes: 0,
                state: state.clone(),
            }],
            state,
            breaks: Vec::new(),
            changes: Vec::new(),
            act_changes: Vec::new(),
            step_ends: Vec::new(),
            step: None,
            nth: 0,
            act: nowhere,
            at: nowhere,
            act_number: 0,
            moment: Moment::Act,
            changed: Vec::new(),
            losses: Vec::new(),
            gained: false,
            adrift,
            changed_in_step: BTreeSet::new(),
            pending: Vec::new(),
            open_lines: Vec::new(),
            suppressed_before: Vec::new(),
            parted_in_step: Vec::new(),
            let_down: false,
            drained: BTreeSet::new(),
            cracked_in_step: Vec::new(),
            wakes: BTreeMap::new(),
            woken: BTreeMap::new(),
            told_covers: BTreeSet::new(),
            told_stands: BTreeSet::new(),
            told_around: BTreeSet::new(),
            told_busy: false,
            told_near: BTreeSet::new(),
            told_charges: BTreeSet::new(),
            step_began: 0,
            tightened_by: BTreeMap::new(),
            weighed: BTreeSet::new(),
            loose_by: Vec::new(),
            loose_needs: Vec::new(),
            met: Vec::new(),
            springs: Springs::default(),
            steadied: BTreeSet::new(),
            beneath: Vec::new(),
            let_hang: BTreeSet::new(),
            hot: false,
            observer: Observer::default(),
            intact,
            joint_names: None,
        }
    }

    pub fn view(&self) -> View<'_> {
        View {
            layout: self.layout,
            state: &self.state,
            intact: Some(&self.intact),
        }
    }

    /// Walks every step, then asks what has to be so at the end.
    pub fn run(&mut self) {
        let plan = self.plan;
        self.undeclared();
        self.apart_from_body();
        self.observe_start();
        self.run_steps(&plan.order);
        self.step = None;
        self.moment = Moment::PlanEnd;
        self.closing();
    }

    /// Walks a step that is in no plan, as a trial.
    pub fn run_loose(&mut self, step: &Step) {
        self.loose_by = step.by.iter().map(|said| said.value).collect();
        self.loose_needs.clone_from(&step.needs);
        for act in step.acts() {
            self.begin(act);
            self.perform(act);
            self.settle();
            self.kept_in();
        }
        self.end_of_step(step);
    }

    /// One act of a step, as far as it is given; what the step's end asks is not asked.
    pub fn run_act(&mut self, step: Id<Step>, nth: usize, act: &Act) {
        self.step = Some(step);
        self.nth = nth;
        self.begin(act);
        self.perform(act);
        self.settle();
    }

    /// Walks these steps and no further.
    pub fn run_steps(&mut self, order: &[Id<Step>]) {
        let plan = self.plan;
        for (nth, &id) in order.iter().enumerate() {
            let step = &plan.steps[id];
            self.step = Some(id);
            self.nth = nth;
            self.told_busy = false;
            self.step_began = self.act_number;
            for act in step.acts() {
                let before = self.changes.len();
                self.begin(act);
                self.meet(act);
                let safe = self.safe_now();
                self.perform(act);
                self.meet_waking(&safe);
                self.settle();
                self.kept_in();
                self.act_changes.push((before, self.changes.len()));
            }
            self.end_of_step(step);
            self.step_ends.push(self.changes.len());
            self.keep();
        }
    }

    fn keep(&mut self) {
        let cells = self.state.parts.len() + self.state.joints.len();
        let last = self.kept.last().map_or(0, |kept| kept.changes);
        if self.changes.len() - last >= cells.max(KEPT_EVERY) {
            self.kept.push(Kept {
                changes: self.changes.len(),
                state: self.state.clone(),
            });
        }
    }

    /// A heavy part that no joint carries is taken as carried by the body, and that is told once.
    fn undeclared(&mut self) {
        for (id, facts) in self.layout.parts.iter() {
            let heavy = facts.mass.is_some_and(|mass| mass > self.layout.heavy);
            if facts.carried_anyhow && heavy {
                let head = &self.plan.parts[id].head;
                let told = Break::new(
                    Broken::JointsNotDeclared,
                    Moment::PlanEnd,
                    None,
                    head.block,
                    head.at,
                );
                self.tell(told.of(Subject::Part(id)));
            }
        }
    }

    /// Things that no joint and no rest leads from to the body, told where they are declared.
    fn apart_from_body(&mut self) {
        let Some(body) = self.layout.body else { return };
        let mut reached: BTreeSet<Id<Part>> = BTreeSet::from([body]);
        let mut open = vec![body];
        let mut by_rests: BTreeMap<Id<Part>, Vec<Id<Part>>> = BTreeMap::new();
        for (part, facts) in self.layout.parts.iter() {
            if let Some(under) = facts.rests_on {
                by_rests.entry(part).or_default().push(under);
                by_rests.entry(under).or_default().push(part);
            }
        }
        let grow = |here: Id<Part>| -> Vec<Id<Part>> {
            let joints = self.layout.parts[here].joints.iter();
            let by_joints = joints.filter_map(|&joint| self.layout.joints[joint].other(here));
            let by_rests = by_rests.get(&here).into_iter().flatten().copied();
            by_joints.chain(by_rests).collect()
        };
        while let Some(here) = open.pop() {
            open.extend(grow(here).into_iter().filter(|&next| reached.insert(next)));
        }
        let mut told: BTreeSet<Id<Part>> = BTreeSet::new();
        for (id, facts) in self.layout.parts.iter() {
            // A part that names no joint at all is taken as the body's; see `undeclared`.
            let tied = !facts.joints.is_empty();
            if reached.contains(&id) || told.contains(&id) || !(tied || facts.is_new) {
                continue;
            }
            let mut group = BTreeSet::from([id]);
            let mut open = vec![id];
            while let Some(here) = open.pop() {
                open.extend(grow(here).into_iter().filter(|&next| group.insert(next)));
            }
            told.extend(&group);
            // What lay on the bench when the job began, and nobody fits, is no thing of the machine.
            let of_bench = |part: &Id<Part>| self.state.is_off(*part) && !self.layout.parts[*part].is_new;
            if group.iter().all(of_bench) {
                continue;
            }
            let mut parts: Vec<Id<Part>> = group.into_iter().collect();
            parts.sort_by_key(|&part| std::cmp::Reverse(self.layout.parts[part].mass));
            let Some(&first) = parts.first() else { continue };
            let head = &self.plan.parts[first].head;
            let mut found = Break::new(Broken::NotTiedToBody, Moment::PlanEnd, None, head.block, head.at);
            found.of.extend(parts.into_iter().map(Subject::Part));
            self.tell(found);
        }
    }

    fn begin(&mut self, act: &Act) {
        self.moment = Moment::Act;
        self.act = act.at;
        self.at = act.at;
        self.act_number += 1;
    }

    /// The persons who work in this step; the whole crew where it does not say.
    pub fn by(&self) -> Vec<Id<Person>> {
        if !self.loose_by.is_empty() {
            return self.loose_by.clone();
        }
        let step = self.step.map(|id| &self.plan.steps[id]);
        let named: Vec<Id<Person>> =
            step.map_or_else(Vec::new, |step| step.by.iter().map(|said| said.value).collect());
        if !named.is_empty() {
            return named;
        }
        self.plan.about.as_ref().map_or_else(Vec::new, |about| {
            about.crew.iter().map(|said| said.value).collect()
        })
    }

    /// A break at the word that is dealt with now.
    pub fn broken(&self, rule: Broken) -> Break {
        Break::new(rule, self.moment, self.step, self.act, self.at)
    }

    /// Reports a break. One rule at one act is one finding: what it is about joins the list. Gives its place in the list.
    pub fn tell(&mut self, told: Break) -> usize {
        let same = self.breaks.iter().enumerate().rev().take(64).find(|(_, other)| {
            other.as_ref().is_some_and(|other| {
                other.rule == told.rule
                    && other.act == told.act
                    && other.step == told.step
                    && other.moment == told.moment
                    && other.grave == told.grave
                    && other.began == told.began
            })
        });
        if let Some((place, _)) = same {
            if let Some(Some(other)) = self.breaks.get_mut(place) {
                for subject in told.of {
                    if !other.of.contains(&subject) {
                        other.of.push(subject);
                    }
                }
                other.apart.extend(told.apart);
                for subject in told.with {
                    if !other.with.contains(&subject) {
                        other.with.push(subject);
                    }
                }
            }
            return place;
        }
        self.breaks.push(Some(told));
        self.breaks.len() - 1
    }

    pub fn tell_of(&mut self, rule: Broken, of: Subject) {
        let told = self.broken(rule).of(of);
        self.tell(told);
    }

    pub fn tell_with(&mut self, rule: Broken, of: Subject, with: Subject) {
        let told = self.broken(rule).of(of).with(with);
        self.tell(told);
    }

    fn log(&mut self, change: Change) {
        self.state.apply(&change);
        self.changes.push(change);
    }

    /// What bears a part besides joints is another.
    fn shifted(&mut self, part: Id<Part>, from: bool, to: bool) {
        if from {
            self.losses.push(Loss::Part(part));
        }
        self.gained |= to;
    }

    fn touch(&mut self, part: Id<Part>) {
        self.changed.push(part);
        self.changed_in_step.insert(part);
        let layout = self.layout;
        self.springs_to_ask(&layout.parts[part].springs);
    }

    pub fn set_part(&mut self, id: Id<Part>, change: impl FnOnce(&mut PartState)) {
        let old = self.state.parts[id];
        let mut new = old;
        change(&mut new);
        if new != old {
            if new.presence != old.presence || new.aside != old.aside {
                self.told_covers.remove(&id);
            }
            if new.presence != old.presence || new.down != old.down {
                self.losses.push(Loss::Part(id));
                self.gained = true;
            }
            self.log(Change::Part(id, old, new));
            self.touch(id);
        }
    }

    pub fn set_joint(&mut self, id: Id<Joint>, change: impl FnOnce(&mut JointState)) {
        let old = self.state.joints[id];
        let mut new = old;
        change(&mut new);
        if new == old {
            return;
        }
        let tied = self.view().ties(id);
        self.log(Change::Joint(id, old, new));
        let ties = self.view().ties(id);
        let layout = self.layout;
        self.springs_to_ask(&layout.joints[id].keeps);
        self.springs_to_ask(&layout.joints[id].hangs);
        if tied != ties {
            self.intact.set(self.layout, id, ties);
        }
        if tied && !ties {
            self.parted_in_step.push(id);
            self.losses.extend(self.layout.joints[id].ends.map(Loss::Joint));
            self.asleep_again(id);
        }
        if !tied && ties {
            self.gained = true;
            self.wake(id);
        }
        for end in self.layout.joints[id].ends.into_iter().flatten() {
            self.touch(end);
        }
    }

    /// An energy is live again when the first of the joints that made it safe is tied again, or what replaces it.
    fn wake(&mut self, joint: Id<Joint>) {
        let old = self.layout.joints[joint].in_place_of;
        let woken: Vec<Id<Energy>> = self
            .wakes
            .iter()
            .filter(|(_, joints)| joints.contains(&joint) || old.is_some_and(|old| joints.contains(&old)))
            .map(|(energy, _)| *energy)
            .filter(|&energy| {
                // What it is in lies on the bench, or is sold.
                let parts = &self.plan.energies[energy].in_parts;
                let kind = self.plan.energies[energy].kind.map(|said| said.value);
                let here = |part: Id<Part>| match kind {
                    // A bucket in place of a seat has no airbag.
                    Some(EnergyKind::Pyrotechnic) => !self.state.is_off(part),
                    _ => self.there(part).is_some(),
                };
                parts.is_empty() || parts.iter().any(|said| here(said.value))
            })
            .collect();
        for energy in woken {
            self.set_safe(energy, false);
            self.woken_near_fuel(energy);
            if let Some(joints) = self.wakes.remove(&energy)
                && !self.layout.pressures.contains_key(&energy)
            {
                self.woken.insert(energy, joints);
            }
        }
    }

    /// Parted again where it was parted before, a supply is as dead as it was.
    fn asleep_again(&mut self, joint: Id<Joint>) {
        let same = |known: Id<Joint>| known == joint || self.layout.joints[joint].in_place_of == Some(known);
        let parted = |known: &Id<Joint>| {
            let line = self.layout.line_of_joint(*known);
            !line.into_iter().any(|joint| self.view().ties(joint))
        };
        let again: Vec<Id<Energy>> = self
            .woken
            .iter()
            .filter(|(energy, _)| self.needs_no_proof(**energy))
            .filter(|(_, joints)| joints.iter().any(|&known| same(known)) && joints.iter().all(parted))
            .map(|(energy, _)| *energy)
            .collect();
        for energy in again {
            self.set_safe(energy, true);
            if let Some(joints) = self.woken.remove(&energy) {
                self.wakes.insert(energy, joints);
            }
        }
    }

    /// Parting alone made it safe; or somebody looks in this step too, as in the one that it is said to be safe after.
    fn needs_no_proof(&self, energy: Id<Energy>) -> bool {
        let looks = |step: Id<Step>| {
            let mut acts = self.plan.steps[step].acts();
            acts.any(|act| matches!(act.does, Does::Look(_) | Does::Verify { .. }))
        };
        let first = self.plan.energies[energy].safe_after;
        first.is_none_or(|step| !looks(step.value)) || self.step.is_some_and(looks)
    }

    pub fn set_safe(&mut self, id: Id<Energy>, safe: bool) {
        let old = self.state.safe[id];
        if old != safe {
            self.log(Change::Safe(id, old, safe));
            self.springs_to_ask(&[id]);
        }
    }

    pub fn set_fluid(&mut self, id: Id<Fluid>, change: impl FnOnce(&mut FluidState)) {
        let old = self.state.fluids[id];
        let mut new = old;
        change(&mut new);
        if new != old {
            self.log(Change::Fluid(id, old, new));
        }
        if new.full != old.full {
            self.observe_at_once(LoadChange::Fluid {
                fluid: id,
                full: new.full,
            });
        }
    }

    pub fn set_hold(&mut self, part: Id<Part>, holder: Holder, held: Option<Held>) {
        let old = self.state.holds.get(&(part, holder)).copied();
        if old != held {
            self.shifted(part, old.is_some(), held.is_some());
            self.log(Change::Hold((part, holder), old, held));
            self.touch(part);
        }
    }

    /// A hold that this act makes.
    pub fn held(&self, touch: bool) -> Held {
        Held {
            touch,
            act: self.act_number,
            at: self.act,
        }
    }

    pub fn set_rest(&mut self, part: Id<Part>, under: Option<Id<Part>>) {
        let old = self.state.rests.get(&part).copied();
        if old != under {
            self.shifted(part, old.is_some(), under.is_some());
            self.log(Change::Rest(part, old, under));
            self.touch(part);
            self.observe_at_once(LoadChange::Lies { part, on: under });
        }
    }

    pub fn set_tie(&mut self, part: Id<Part>, tie: Option<Tie>) {
        let old = self.state.ties.get(&part).copied();
        if old != tie {
            self.shifted(part, old.is_some(), tie.is_some());
            self.log(Change::Tie(part, old, tie));
            self.touch(part);
        }
    }

    pub fn set_stand(&mut self, end: End, stand: Stand) {
        let old = self.state.stand(end);
        if old != stand {
            self.log(Change::Stand(end, old, stand));
            self.weight_shifts();
            self.told_stands.clear();
        }
    }

    /// Rigs that have these parts let go of them, but for `keep`.
    pub fn free(&mut self, parts: &BTreeSet<Id<Part>>, keep: Option<Id<Rig>>) {
        for &part in parts {
            let rigs: Vec<Holder> = self
                .state
                .holders(part)
                .map(|(holder, _)| holder)
                .filter(|holder| matches!(holder, Holder::Rig(rig) if Some(*rig) != keep))
                .collect();
            for holder in rigs {
                self.set_hold(part, holder, None);
            }
        }
    }

    /// Whether a rig that lifts has something else than `parts` that another act put on it.
    pub fn in_use(&self, rig: Id<Rig>, parts: &BTreeSet<Id<Part>>) -> bool {
        let lifts = self.plan.rigs[rig].lifts.is_some();
        let other = |act: u32| act != self.act_number;
        let bears = [End::Front, End::Rear].into_iter().any(|end| {
            matches!(self.state.stand(end), Stand::Rig { rig: under, act, .. } if under == rig && other(act))
        });
        lifts
            && (bears
                || self
                    .state
                    .on_rig(rig)
                    .any(|(part, held)| other(held.act) && !parts.contains(&part)))
    }
}
