//! Which steps and things belong to which swap, and a plan as it were if some swaps were not done: their steps go, their new parts stay off,
//! and what the steps of other swaps say of them is said of the old parts. Knows no walk, no money and no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::mentions;
use super::model::{
    Act, Afterwards, Does, Fixings, Id, Joint, Load, Part, Plan, Reading, Said, Seat, Step, StepLine, Swap,
    Thing, Weighed, Workpiece,
};

/// The swaps of a thing; several where two swaps have it.
type Owners = BTreeSet<Id<Swap>>;

/// Who owns what.
#[derive(Debug, Clone, Default)]
pub struct Belonging {
    parts: BTreeMap<Id<Part>, Owners>,
    joints: BTreeMap<Id<Joint>, Owners>,
    /// Joints that a step works on after which something is safe: they are opened and closed whatever is chosen.
    making_safe: BTreeSet<Id<Joint>>,
    /// Steps that are done for swaps alone; every other one is done whatever is chosen.
    steps: BTreeMap<Id<Step>, Owners>,
}

fn parts_of(plan: &Plan, what: Weighed) -> Vec<Id<Part>> {
    match what {
        Weighed::Thing(thing) => plan.parts_of(thing),
        Weighed::Hardware(_) | Weighed::Vehicle(_) => Vec::new(),
    }
}

fn hardware_of(what: Weighed) -> Option<Id<Joint>> {
    match what {
        Weighed::Hardware(joint) => Some(joint),
        Weighed::Thing(_) | Weighed::Vehicle(_) => None,
    }
}

impl Belonging {
    /// Goes over the lists of all swaps, and over what comes in place of what they list.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let mut all = Self::default();
        for (id, swap) in plan.swaps.iter() {
            for said in swap.comes_off.iter().chain(&swap.goes_on) {
                for part in parts_of(plan, said.value) {
                    all.parts.entry(part).or_default().insert(id);
                }
                if let Some(joint) = hardware_of(said.value) {
                    all.joints.entry(joint).or_default().insert(id);
                }
            }
        }
        // What comes in place of a swap's part, and what a swap's new part is in place of, is of that swap though no list names it.
        for _ in 0..2 {
            for (id, part) in plan.parts.iter() {
                let Some(old) = part.in_place_of.map(|said| said.value.part) else {
                    continue;
                };
                let (of_new, of_old) = (all.parts.get(&id).cloned(), all.parts.get(&old).cloned());
                if let (None, Some(owners)) = (&of_new, &of_old) {
                    all.parts.insert(id, owners.clone());
                }
                if let (Some(owners), None) = (&of_new, &of_old) {
                    all.parts.insert(old, owners.clone());
                }
            }
        }
        for (id, joint) in plan.joints.iter() {
            let ends = joint.ends.iter().flatten();
            let of_ends: Owners = ends
                .flat_map(|end| plan.parts_of(end.value))
                .filter_map(|part| all.parts.get(&part))
                .flatten()
                .copied()
                .collect();
            if !of_ends.is_empty() {
                all.joints.entry(id).or_default().extend(of_ends);
            }
        }
        let safe = plan.energies.values().filter_map(|energy| energy.safe_after);
        all.making_safe = safe
            .flat_map(|said| plan.steps[said.value].acts())
            .flat_map(|act| mentions::of(&act.does).joints)
            .collect();
        let steps: Vec<(Id<Step>, Owners)> = plan
            .steps
            .ids()
            .map(|step| (step, all.owners_of_step(plan, step)))
            .filter(|(_, owners)| !owners.is_empty())
            .collect();
        all.steps = steps.into_iter().collect();
        all
    }

    fn owners_of_step(&self, plan: &Plan, id: Id<Step>) -> Owners {
        let step = &plan.steps[id];
        let said = |step: &Step| -> Owners { step.for_swaps.iter().map(|said| said.value).collect() };
        if !step.for_swaps.is_empty() {
            return said(step);
        }
        if let Some(derived) = &step.derived {
            return self.owners_of_step(plan, derived.from);
        }
        // What it makes safe is safe for all.
        let makes_safe = plan
            .energies
            .values()
            .any(|energy| energy.safe_after.is_some_and(|after| after.value == id));
        if makes_safe {
            return Owners::new();
        }
        let mut owners = Owners::new();
        for act in step.acts() {
            let named = mentions::of(&act.does);
            if !named.fluids.is_empty() {
                return Owners::new();
            }
            for load in named.loads {
                let Load::Thing(thing) = load else {
                    return Owners::new();
                };
                for part in plan.parts_of(thing) {
                    match self.parts.get(&part) {
                        Some(of) => owners.extend(of),
                        None if plan.parts[part].is_body => {}
                        None => return Owners::new(),
                    }
                }
            }
            for joint in named.joints {
                let old = plan.joints[joint].in_place_of.map(|said| said.value);
                if self.making_safe.contains(&joint) || old.is_some_and(|old| self.making_safe.contains(&old))
                {
                    return Owners::new();
                }
                match self.joints.get(&joint) {
                    Some(of) => owners.extend(of),
                    None => return Owners::new(),
                }
            }
        }
        owners
    }

    /// The swaps that a step is done for, and for nothing else; none where it is done in any case.
    #[must_use]
    pub fn of_step(&self, step: Id<Step>) -> Option<&BTreeSet<Id<Swap>>> {
        self.steps.get(&step)
    }

    /// The swaps that a part is of.
    #[must_use]
    pub fn of_part(&self, part: Id<Part>) -> Option<&BTreeSet<Id<Swap>>> {
        self.parts.get(&part)
    }

    /// The swaps that a joint is of.
    #[must_use]
    pub fn of_joint(&self, joint: Id<Joint>) -> Option<&BTreeSet<Id<Swap>>> {
        self.joints.get(&joint)
    }

    /// The steps for a swap that the log says are done, left out, or stopped at: what it has begun with.
    #[must_use]
    pub fn begun(&self, plan: &Plan, swap: Id<Swap>) -> Vec<Id<Step>> {
        let progress = &plan.progress;
        let at = progress.halt.map(|halt| halt.step);
        let own = plan.order.iter().copied();
        own.filter(|step| self.steps.get(step).is_some_and(|of| of.contains(&swap)))
            .filter(|step| {
                progress.done.contains_key(step) || progress.skipped.contains_key(step) || at == Some(*step)
            })
            .collect()
    }

    /// Whether the log says that every step for a swap is over.
    #[must_use]
    pub fn is_over(&self, plan: &Plan, swap: Id<Swap>) -> bool {
        let mut own = plan
            .order
            .iter()
            .filter(|step| self.steps.get(step).is_some_and(|of| of.contains(&swap)))
            .peekable();
        own.peek().is_some()
            && own
                .all(|step| plan.progress.done.contains_key(step) || plan.progress.skipped.contains_key(step))
    }
}

/// The swaps that the plan says are left out, but for those that the log says are begun.
#[must_use]
pub fn said_left_out(plan: &Plan) -> BTreeSet<Id<Swap>> {
    if plan.swaps.values().all(|swap| swap.left_out.is_none()) {
        return BTreeSet::new();
    }
    let belonging = Belonging::of(plan);
    let said = plan.swaps.iter().filter(|(_, swap)| swap.left_out.is_some());
    said.map(|(id, _)| id)
        .filter(|&id| belonging.begun(plan, id).is_empty())
        .collect()
}

/// With some swaps all that need one of them.
#[must_use]
pub fn with_dependants(plan: &Plan, swaps: &BTreeSet<Id<Swap>>) -> BTreeSet<Id<Swap>> {
    let mut all = swaps.clone();
    loop {
        let more: Vec<Id<Swap>> = plan
            .swaps
            .iter()
            .filter(|(id, swap)| !all.contains(id) && swap.needs.iter().any(|said| all.contains(&said.value)))
            .map(|(id, _)| id)
            .collect();
        if more.is_empty() {
            return all;
        }
        all.extend(more);
    }
}

/// The plan as if these swaps were not done. What is worked out from the plan's steps has to be worked out after it.
pub fn leave_out(plan: &mut Plan, swaps: &BTreeSet<Id<Swap>>) {
    if swaps.is_empty() {
        return;
    }
    let belonging = Belonging::of(plan);
    let is_out = |owners: &Owners| !owners.is_empty() && owners.is_subset(swaps);
    let parts: BTreeSet<Id<Part>> = belonging
        .parts
        .iter()
        .filter(|(_, owners)| is_out(owners))
        .map(|(&part, _)| part)
        .collect();
    let news: BTreeSet<Id<Part>> = parts
        .iter()
        .copied()
        .filter(|&part| plan.parts[part].in_place_of.is_some() || plan.parts[part].new.is_some())
        .collect();
    let swapped = Instead::of(plan, &belonging, &news, swaps);
    let gone: BTreeSet<Id<Step>> = belonging
        .steps
        .iter()
        .filter(|(_, owners)| is_out(owners))
        .map(|(&step, _)| step)
        .collect();
    put_back_derived(plan, &gone);
    plan.order.retain(|step| !gone.contains(step));
    let stages: Vec<_> = plan.stages.ids().collect();
    for stage in stages {
        plan.stages[stage].steps.retain(|step| !gone.contains(step));
    }
    let steps: Vec<Id<Step>> = plan.steps.ids().collect();
    for id in steps {
        let step = &mut plan.steps[id];
        step.after.retain(|said| !gone.contains(&said.value));
        if step.instead_of.is_some_and(|said| gone.contains(&said.value)) {
            step.instead_of = None;
        }
        let lines = std::mem::take(&mut step.lines);
        let kept = lines.into_iter().filter_map(|line| match line {
            StepLine::Act(act) => swapped.act(plan, act).map(StepLine::Act),
            other => Some(other),
        });
        let kept: Vec<StepLine> = kept.collect();
        plan.steps[id].lines = kept;
    }
    for &part in &parts {
        let at = plan.parts[part].head.at;
        let part_of = &mut plan.parts[part];
        if news.contains(&part) {
            // It lies on the shelf, and takes nobody's place.
            part_of.in_place_of = None;
            part_of.new.get_or_insert(at);
            part_of.afterwards = Some(Said::new(Afterwards::Stored, at));
        } else {
            part_of.afterwards = None;
        }
    }
    let joints: Vec<Id<Joint>> = plan.joints.ids().collect();
    for id in joints {
        if swapped.joints.contains_key(&id) {
            let joint = &plan.joints[id];
            let mut ends = joint.ends.iter().flatten();
            let of_new = ends.any(|end| plan.parts_of(end.value).iter().any(|part| news.contains(part)));
            let at = joint.head.at;
            let joint = &mut plan.joints[id];
            joint.in_place_of = None;
            if of_new {
                // Its part lies on the shelf, and nobody waits for it.
                joint.gone.get_or_insert(Said::new(None, at));
            } else {
                // Between things that are on it would tie them from the start.
                joint.ends = None;
            }
        } else if belonging.joints.get(&id).is_some_and(is_out) {
            plan.joints[id].gone = None;
        }
    }
    for id in plan.weigh_ins.ids().collect::<Vec<_>>() {
        let mut reads = std::mem::take(&mut plan.weigh_ins[id].reads);
        reads.retain(|reads| {
            let of_it = |said: &Said<Weighed>| {
                hardware_of(said.value).is_some_and(|joint| belonging.joints.get(&joint).is_some_and(is_out))
                    || parts_of(plan, said.value).iter().any(|part| parts.contains(part))
            };
            !(matches!(reads.mass, Reading::ToCome) && reads.what.iter().any(of_it))
        });
        plan.weigh_ins[id].reads = reads;
    }
    plan.left_out.swaps.clone_from(swaps);
    plan.left_out.parts = news;
    plan.left_out.steps = gone;
}

/// Where a written step stood for a derived one and goes, the derived one is back, unless it goes too.
fn put_back_derived(plan: &mut Plan, gone: &BTreeSet<Id<Step>>) {
    for &step in gone {
        let Some(said) = plan.steps[step].instead_of else {
            continue;
        };
        let stage = plan.steps[step].stage;
        let derived = plan.steps.iter().find(|(id, other)| {
            let from = other.derived.as_ref().map(|derived| derived.from);
            from.is_some() && other.stage == stage && (*id == said.value || from == Some(said.value))
        });
        let Some(derived) = derived.map(|(id, _)| id).filter(|id| !gone.contains(id)) else {
            continue;
        };
        let place = |list: &mut Vec<Id<Step>>| {
            if let Some(slot) = list.iter_mut().find(|slot| **slot == step) {
                *slot = derived;
            }
        };
        place(&mut plan.order);
        if let Some(stage) = stage {
            place(&mut plan.stages[stage].steps);
        }
    }
}

/// What stands for what where a swap is left out; for nothing where a new thing takes nobody's place.
struct Instead {
    parts: BTreeMap<Id<Part>, Option<Id<Part>>>,
    joints: BTreeMap<Id<Joint>, Option<Id<Joint>>>,
}

impl Instead {
    fn of(plan: &Plan, belonging: &Belonging, news: &BTreeSet<Id<Part>>, swaps: &BTreeSet<Id<Swap>>) -> Self {
        let parts = news
            .iter()
            .map(|&part| (part, plan.parts[part].in_place_of.map(|said| said.value.part)))
            .collect();
        let listed = |id: Id<Joint>| {
            let mut lists = swaps.iter().flat_map(|&swap| &plan.swaps[swap].goes_on);
            lists.any(|said| hardware_of(said.value) == Some(id))
        };
        let is_new = |id: Id<Joint>, joint: &Joint| {
            let mut ends = joint.ends.iter().flatten();
            let on_new = ends.any(|end| plan.parts_of(end.value).iter().any(|part| news.contains(part)));
            let of_it = belonging
                .joints
                .get(&id)
                .is_some_and(|owners| !owners.is_empty() && owners.is_subset(swaps));
            on_new || listed(id) || (of_it && joint.in_place_of.is_some())
        };
        let joints = plan
            .joints
            .iter()
            .filter(|(id, joint)| is_new(*id, joint))
            .map(|(id, joint)| (id, joint.in_place_of.map(|said| said.value)))
            .collect();
        Self { parts, joints }
    }

    fn joint(&self, joint: Id<Joint>) -> Option<Id<Joint>> {
        self.joints.get(&joint).copied().unwrap_or(Some(joint))
    }

    /// What stands for a thing: itself, or of an assembly with new parts those that these are in place of.
    fn things(&self, plan: &Plan, thing: Thing) -> Vec<Thing> {
        let parts = plan.parts_of(thing);
        if parts.iter().all(|part| !self.parts.contains_key(part)) {
            return vec![thing];
        }
        parts
            .iter()
            .filter_map(|part| self.parts.get(part).copied().unwrap_or(Some(*part)))
            .map(Thing::Part)
            .collect()
    }

    fn said_joints(&self, all: &mut Vec<Said<Id<Joint>>>) {
        all.retain_mut(|said| {
            let other = self.joint(said.value);
            said.value = other.unwrap_or(said.value);
            other.is_some()
        });
        once(all, |said| said.value);
    }

    fn fixings(&self, all: &mut Vec<Fixings>) {
        all.retain_mut(|fixings| {
            let other = self.joint(fixings.joint.value);
            if other.is_some_and(|other| other != fixings.joint.value) {
                // So many of the new ones say nothing of the old.
                fixings.count = None;
            }
            fixings.joint.value = other.unwrap_or(fixings.joint.value);
            other.is_some()
        });
        once(all, |fixings| fixings.joint.value);
    }

    fn said_things(&self, plan: &Plan, all: &mut Vec<Said<Thing>>) {
        *all = all
            .iter()
            .flat_map(|said| {
                let things = self.things(plan, said.value).into_iter();
                things.map(|thing| Said::new(thing, said.at))
            })
            .collect();
        once(all, |said| said.value);
    }

    fn loads(&self, plan: &Plan, all: &mut Vec<Said<Load>>) {
        *all = all
            .iter()
            .flat_map(|said| match said.value {
                Load::Thing(thing) => self
                    .things(plan, thing)
                    .into_iter()
                    .map(|thing| Said::new(Load::Thing(thing), said.at))
                    .collect(),
                Load::Vehicle(_) => vec![*said],
            })
            .collect();
        let mut seen = Vec::new();
        all.retain(|said| {
            let new = !seen.contains(&said.value);
            seen.push(said.value);
            new
        });
    }

    fn thing(&self, plan: &Plan, said: &mut Said<Thing>) -> bool {
        let first = self.things(plan, said.value).first().copied();
        said.value = first.unwrap_or(said.value);
        first.is_some()
    }

    /// The act as it is without what was left out; none where nothing is left of it.
    fn act(&self, plan: &Plan, mut act: Act) -> Option<Act> {
        let left = match &mut act.does {
            Does::Slacken(all)
            | Does::Undo(all)
            | Does::Start(all)
            | Does::Tighten(all)
            | Does::Join { all, .. } => {
                self.fixings(all);
                !all.is_empty()
            }
            Does::Work { on, .. } => {
                on.retain_mut(|said| match said.value {
                    Workpiece::Thing(thing) => {
                        let first = self.things(plan, thing).first().copied();
                        said.value = Workpiece::Thing(first.unwrap_or(thing));
                        // Work on a new part is no work on the old one.
                        first == Some(thing)
                    }
                    Workpiece::Joint(joint) => self.joint(joint) == Some(joint),
                });
                !on.is_empty()
            }
            Does::Pin { fixings, .. } => {
                let mut one = vec![*fixings];
                self.fixings(&mut one);
                one.first().copied().is_some_and(|one| {
                    *fixings = one;
                    one.count.is_some()
                })
            }
            Does::Break { joint, .. } => self.joint(joint.value) == Some(joint.value),
            Does::Hold { things, .. }
            | Does::Steady { things, .. }
            | Does::Touch { things, .. }
            | Does::Release { things, .. }
            | Does::Raise { things, .. }
            | Does::Lower { things, .. }
            | Does::Weigh { things, .. }
            | Does::Run(things)
            | Does::Drive(things) => {
                self.loads(plan, things);
                !things.is_empty()
            }
            Does::Set { things, on, .. } => {
                self.loads(plan, things);
                let seat = match &mut on.value {
                    Seat::Rig(_) => true,
                    Seat::Thing(thing) => {
                        let first = self.things(plan, *thing).first().copied();
                        *thing = first.unwrap_or(*thing);
                        first.is_some()
                    }
                };
                seat && !things.is_empty()
            }
            Does::Tilt { things, about, .. } => {
                self.loads(plan, things);
                self.said_joints(about);
                !things.is_empty()
            }
            Does::TieUp { thing, to, .. } => self.thing(plan, thing) && self.thing(plan, to),
            Does::Untie(all)
            | Does::SlideHome(all)
            | Does::MoveAside(all)
            | Does::MoveBack(all)
            | Does::TakeOff(all)
            | Does::Fit(all)
            | Does::Try(all)
            | Does::Draw { things: all, .. } => {
                self.said_things(plan, all);
                !all.is_empty()
            }
            Does::PressApart { joints, .. }
            | Does::PressHome { joints, .. }
            | Does::Opening { joints, .. }
            | Does::Mark(joints)
            | Does::Tag(joints)
            | Does::Soak(joints)
            | Does::Wait(joints) => {
                self.said_joints(joints);
                !joints.is_empty()
            }
            Does::Verify { joints, .. } => {
                let named = !joints.is_empty();
                self.said_joints(joints);
                !named || !joints.is_empty()
            }
            Does::Judge { part, .. } => self
                .parts
                .get(&part.value)
                .is_none_or(|old| old.is_some_and(|old| old == part.value)),
            Does::Drain { .. }
            | Does::Fill { .. }
            | Does::Bleed(_)
            | Does::Measure { .. }
            | Does::Photograph(_)
            | Does::WaitFor { .. }
            | Does::Look(_)
            | Does::MakeUp(_) => true,
        };
        left.then_some(act)
    }
}

/// Each once: two new things may be in place of one.
fn once<T, K: Ord>(all: &mut Vec<T>, key: impl Fn(&T) -> K) {
    let mut seen = BTreeSet::new();
    all.retain(|one| seen.insert(key(one)));
}
