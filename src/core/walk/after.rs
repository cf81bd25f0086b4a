//! Questions about the machine at one moment: what is off, what holds what, what is still joined, whether it can be left.
//! For whoever shows the state; knows nothing of how it came about, and changes nothing.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::breaks::Subject;
use super::layout::Layout;
use super::state::{Holder, Opening, Presence, Stand, State};
use super::support::{But, View};
use crate::plan::model::{End, Energy, Fluid, Hazard, Id, Joint, Part, Plan, Rig};

/// What rigs have of the machine, and what ties it to the rest.
#[derive(Debug, Clone, Default)]
pub struct OnRigs {
    /// Rigs that have something.
    pub rigs: BTreeSet<Id<Rig>>,
    /// What they have.
    pub parts: BTreeSet<Id<Part>>,
    /// Rigid joints between that and the rest.
    pub joints: BTreeSet<Id<Joint>>,
    /// Of these, what is not tight, and has to be.
    pub loose: BTreeSet<Id<Joint>>,
}

/// The machine after a step.
#[derive(Debug, Clone)]
pub struct After<'a> {
    plan: &'a Plan,
    layout: &'a Layout,
    /// Shared with the walk, which copies it only when it goes on while somebody still looks.
    state: Arc<State>,
}

impl<'a> After<'a> {
    pub(super) fn new(plan: &'a Plan, layout: &'a Layout, state: Arc<State>) -> Self {
        Self { plan, layout, state }
    }

    pub(super) fn into_state(self) -> State {
        Arc::unwrap_or_clone(self.state)
    }

    fn view(&self) -> View<'_> {
        View {
            layout: self.layout,
            state: &self.state,
            intact: None,
        }
    }

    /// Everything about the machine at that moment.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The part is not on the machine.
    #[must_use]
    pub fn is_off(&self, part: Id<Part>) -> bool {
        self.state.is_off(part)
    }

    /// Parts that are off, and were not waiting from the start to be fitted.
    pub fn taken_off(&self) -> impl Iterator<Item = Id<Part>> {
        self.state
            .parts
            .iter()
            .filter(|(_, part)| part.presence == Presence::Off && part.was_off)
            .map(|(id, _)| id)
    }

    /// Joints that tie, but are not wholly tight.
    pub fn slack(&self) -> impl Iterator<Item = Id<Joint>> {
        self.state
            .joints
            .iter()
            .filter(|(id, joint)| self.view().ties(*id) && !joint.all_tight())
            .map(|(id, _)| id)
    }

    /// Joints that were undone and are out.
    pub fn out(&self) -> impl Iterator<Item = Id<Joint>> {
        self.state
            .joints
            .iter()
            .filter(|(id, joint)| joint.was_out && !self.view().ties(*id))
            .map(|(id, _)| id)
    }

    /// Who and what has parts, with the parts, each rig and person once.
    #[must_use]
    pub fn held(&self) -> Vec<(Holder, Vec<Id<Part>>)> {
        let mut all: std::collections::BTreeMap<Holder, Vec<Id<Part>>> = std::collections::BTreeMap::new();
        for (part, holder) in self.state.holds.keys() {
            all.entry(*holder).or_default().push(*part);
        }
        all.into_iter().collect()
    }

    /// Stiff joints between what rigs have and what they do not, on both sides of which the parts are on: the rigs bear what these let go.
    #[must_use]
    pub fn on_rigs(&self) -> OnRigs {
        let mut all = OnRigs::default();
        let mut sets: std::collections::BTreeMap<Id<Rig>, BTreeSet<Id<Part>>> =
            std::collections::BTreeMap::new();
        for ((part, holder), held) in &self.state.holds {
            if let Holder::Rig(rig) = holder
                && !held.touch
                && !self.is_off(*part)
            {
                sets.entry(*rig).or_default().insert(*part);
            }
        }
        for (rig, parts) in sets {
            let moved = self.view().moving(&parts, false);
            for &part in &moved {
                for &joint in &self.layout.parts[part].joints {
                    let facts = &self.layout.joints[joint];
                    let crosses = facts
                        .other(part)
                        .is_some_and(|other| !moved.contains(&other) && !self.is_off(other));
                    if !crosses || !facts.rigid {
                        continue;
                    }
                    all.joints.insert(joint);
                    if !self.state.joints[joint].all_tight() && !self.is_past(joint) {
                        all.loose.insert(joint);
                    }
                }
            }
            all.rigs.insert(rig);
            all.parts.extend(moved);
        }
        all
    }

    /// Out, and not to be tight again here: it does not come back, or its place is another's, now or still.
    fn is_past(&self, joint: Id<Joint>) -> bool {
        let facts = &self.layout.joints[joint];
        let is_out = |joint: Id<Joint>| {
            let state = &self.state.joints[joint];
            state.broken || state.parted || (state.out > 0 && state.tight + state.slack + state.started == 0)
        };
        let another = || {
            facts
                .in_place_of
                .into_iter()
                .chain(facts.replaced_by.iter().copied())
        };
        is_out(joint) && (facts.gone || another().any(|other| !is_out(other)))
    }

    /// Parts that are tied up, with what they hang from.
    pub fn tied_up(&self) -> impl Iterator<Item = (Id<Part>, Id<Part>)> {
        self.state.ties.iter().map(|(part, tie)| (*part, tie.to))
    }

    /// Energies that are not made safe by then.
    pub fn live(&self) -> impl Iterator<Item = Id<Energy>> {
        self.state
            .safe
            .iter()
            .filter(|(_, safe)| !**safe)
            .map(|(id, _)| id)
    }

    /// Nothing of it is out.
    #[must_use]
    pub fn is_full(&self, fluid: Id<Fluid>) -> bool {
        self.state.fluids[fluid].full
    }

    /// Some fluid of this joint's line is not drained.
    #[must_use]
    pub fn is_wet(&self, joint: Id<Joint>) -> bool {
        self.layout.joints[joint]
            .fluids
            .iter()
            .any(|&fluid| self.is_full(fluid))
    }

    /// Lines that are not shut, with how they are.
    pub fn openings(&self) -> impl Iterator<Item = (Id<Joint>, Opening)> {
        self.state
            .joints
            .iter()
            .filter(|(_, joint)| joint.opening != Opening::Shut)
            .map(|(id, joint)| (id, joint.opening))
    }

    /// The rig under an end of the vehicle; none while it stands on its wheels or feet.
    #[must_use]
    pub fn end_on(&self, end: End) -> Option<Id<Rig>> {
        match self.state.stand(end) {
            Stand::Wheels => None,
            Stand::Rig { rig, .. } => Some(rig),
        }
    }

    /// Joints that still tie these parts, and what goes with them, to the rest.
    #[must_use]
    pub fn still_joined(&self, parts: &[Id<Part>]) -> Vec<Id<Joint>> {
        let parts: BTreeSet<Id<Part>> = parts.iter().copied().collect();
        let moved = self.view().moving(&parts, true);
        let cut = self.view().cut(&moved, super::cut::Leave::Whole, &[]);
        cut.joints
    }

    /// What moves with these parts; with the whole vehicle, if the body is among them.
    #[must_use]
    pub fn moving(&self, parts: &BTreeSet<Id<Part>>) -> BTreeSet<Id<Part>> {
        let on: BTreeSet<Id<Part>> = parts.iter().copied().filter(|&part| !self.is_off(part)).collect();
        if self.layout.body.is_some_and(|body| on.contains(&body)) {
            self.view().moving_with_body(&on)
        } else {
            self.view().moving(&on, true)
        }
    }

    /// Whether a line is capped, plugged or clamped, or open.
    #[must_use]
    pub fn opening(&self, joint: Id<Joint>) -> Opening {
        self.state.joints[joint].opening
    }

    /// It ties its two things: closed, slack or started.
    #[must_use]
    pub fn ties(&self, joint: Id<Joint>) -> bool {
        self.view().ties(joint)
    }

    /// It hangs, lies or is held somehow: nothing of it falls.
    #[must_use]
    pub fn supported(&self, part: Id<Part>) -> bool {
        self.view().stands(part, None, true)
    }

    /// It lies in a hand without a word: what is laid aside when somebody goes.
    #[must_use]
    pub fn is_light(&self, part: Id<Part>) -> bool {
        self.layout.lighter([part], self.layout.by_hand.saturating_add(1))
    }

    /// What keeps the job from being left like this for weeks; empty if it can be.
    #[must_use]
    pub fn unsafe_to_leave(&self) -> Vec<Subject> {
        let mut all = unsafe_to_leave(self.plan, self.view());
        let falls = self
            .state
            .parts
            .iter()
            .filter(|(id, _)| !self.supported(*id))
            .map(|(id, _)| Subject::Part(id));
        all.extend(falls);
        all.dedup();
        all
    }
}

/// Joints with nothing tight in them by which alone something heavy hangs. A wheel keeps on its bolts.
fn hangs_slack<'v>(plan: &'v Plan, view: View<'v>) -> impl Iterator<Item = Id<Joint>> + 'v {
    let hung = move |part: Id<Part>, joint: Id<Joint>| {
        let facts = &view.layout.joints[joint];
        let with_all_on_it = view.moving(&BTreeSet::from([part]), false);
        let heavy = !view
            .layout
            .lighter(with_all_on_it, view.layout.heavy.saturating_add(1));
        let on = !view.is_body(part) && !view.state.is_off(part) && facts.bears(part);
        let fast = |other: Id<Joint>, end: Id<Part>| {
            !view.state.slack.contains(&other)
                && view.layout.joints[other].bears(part)
                && view.stands(end, Some(part), true)
        };
        heavy
            && on
            && !view.has_rig(part)
            && !view.state.rests.contains_key(&part)
            && !view.tied(part).any(|(other, end)| fast(other, end))
    };
    let threaded = view.state.slack.iter().copied();
    threaded.filter(move |&joint| {
        let facts = &view.layout.joints[joint];
        let ends = facts.ends.into_iter().flatten();
        facts.carries
            && facts.threaded
            && view.ties(joint)
            && !plan.on_a_wheel(&plan.joints[joint])
            && ends.into_iter().any(|part| hung(part, joint))
    })
}

/// Lines of this one are not left open for weeks, even empty. Common practice, no source.
fn is_kept_shut(plan: &Plan, view: View<'_>, fluid: Id<Fluid>) -> bool {
    let hazards = &view.layout.fluid_hazards[fluid];
    let damp = plan.fluids[fluid].needs_bleeding.is_some() && hazards.contains(&Hazard::BrakeFluid);
    damp || hazards.contains(&Hazard::Fuel)
}

/// Raised ends and heavy things on rigs that only lift or in hands, and open lines that are full or have to be kept shut.
pub(super) fn unsafe_to_leave(plan: &Plan, view: View<'_>) -> Vec<Subject> {
    let only_lifts = |rig: Id<Rig>| plan.rigs[rig].holds.is_none() && !plan.rigs[rig].is_floor;
    let mut all = Vec::new();
    for (end, rig) in view.state.raised() {
        if only_lifts(rig) {
            all.push(Subject::End(end));
        }
    }
    let mut sets: std::collections::BTreeMap<Holder, Vec<Id<Part>>> = std::collections::BTreeMap::new();
    for ((part, holder), held) in &view.state.holds {
        let counts = match holder {
            Holder::Rig(rig) => only_lifts(*rig),
            // A hand on what bears itself may go.
            Holder::Person(_) => {
                let hands = But {
                    hands: true,
                    ..But::default()
                };
                view.search_but(*part, None, false, hands).is_err()
            }
            Holder::Repair => false,
        };
        if counts && !held.touch {
            sets.entry(*holder).or_default().push(*part);
        }
    }
    for parts in sets.into_values() {
        if !view
            .layout
            .lighter(parts.iter().copied(), view.layout.by_hand.saturating_add(1))
        {
            all.extend(parts.first().map(|part| Subject::Part(*part)));
        }
    }
    for (energy, keeping) in &view.layout.keeping {
        if !view.state.safe[*energy] && !view.keeps(keeping) {
            all.push(Subject::Energy(*energy));
        }
    }
    all.extend(hangs_slack(plan, view).map(Subject::Joint));
    for &id in &view.state.open {
        // Empty too, a fuel line breathes out what burns, and a brake line takes in damp and dirt.
        let asks = |fluid: &Id<Fluid>| {
            let stays = view.layout.joints[id]
                .ends
                .is_some_and(|ends| ends.iter().any(|&end| !view.state.is_off(end)));
            let inside = &view.layout.inside[*fluid];
            // When the tank is out, so is what breathes.
            let there = inside.is_empty() || inside.iter().any(|&part| !view.state.is_off(part));
            view.state.fluids[*fluid].full || (stays && there && is_kept_shut(plan, view, *fluid))
        };
        if view.layout.joints[id].fluids.iter().any(asks) {
            let on = |heir: &Id<Joint>| {
                let ends = view.layout.joints[*heir].ends.into_iter().flatten();
                ends.into_iter().all(|end| !view.state.is_off(end))
            };
            // What has come in its place, where that is on already, is what stands open.
            let heirs = view.layout.line_of_joint(id);
            let named = heirs.into_iter().rev().find(on).unwrap_or(id);
            if !all.contains(&Subject::Joint(named)) {
                all.push(Subject::Joint(named));
            }
        }
    }
    all
}
