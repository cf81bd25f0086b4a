//! Who handles what: which steps name a thing, and what each act does to each joint, in the order of work.

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::mentions;
use crate::plan::model::{
    Assembly, Caution, Consumable, Does, Fluid, Id, Joint, Load, Need, Part, Plan, Rig, Scale, Step,
    StepLine, Thing, Tool,
};
use crate::plan::vocabulary::acts::OnJoints;

/// Steps by thing; each step once.
#[derive(Debug, Clone)]
pub struct Seen<T> {
    steps: BTreeMap<Id<T>, Vec<Id<Step>>>,
}

impl<T> Default for Seen<T> {
    fn default() -> Self {
        Self {
            steps: BTreeMap::new(),
        }
    }
}

impl<T> Seen<T> {
    /// Steps come in the order of work, so that one that is known stands last.
    fn note(&mut self, id: Id<T>, step: Id<Step>) {
        let steps = self.steps.entry(id).or_default();
        if steps.last() != Some(&step) {
            steps.push(step);
        }
    }

    /// In the order of work; empty where nothing uses it.
    #[must_use]
    pub fn steps(&self, id: Id<T>) -> &[Id<Step>] {
        self.steps.get(&id).map_or(&[], Vec::as_slice)
    }
}

/// An act on a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnJoint {
    /// Its place among all acts of the work.
    pub nth: usize,
    /// The joint's place among those that its line names.
    pub in_line: usize,
    /// The step that has the act.
    pub step: Id<Step>,
    /// What the act does to it.
    pub does: OnJoints,
    /// Of so many of its fixings.
    pub count: Option<u32>,
}

/// What the steps touch, thing by thing; made in one pass over all acts.
#[derive(Debug, Clone, Default)]
pub struct Work {
    on_joints: BTreeMap<Id<Joint>, Vec<OnJoint>>,
    /// Of the work so far.
    acts: usize,
    /// Named by any act.
    pub joints: Seen<Joint>,
    /// Slackened, undone, pinned, pressed apart or broken.
    pub loosened: Seen<Joint>,
    /// Put in by hand.
    pub started: Seen<Joint>,
    /// Pressed together.
    pub pressed_home: Seen<Joint>,
    /// To the figure.
    pub tightened: Seen<Joint>,
    /// Verified by name.
    pub verified: Seen<Joint>,
    /// Named by any act, alone or in an assembly.
    pub parts: Seen<Part>,
    /// Named by any act.
    pub assemblies: Seen<Assembly>,
    /// Named by an act or by `needs`.
    pub rigs: Seen<Rig>,
    /// Named by an act or by `needs`.
    pub tools: Seen<Tool>,
    /// Named by `needs`.
    pub consumables: Seen<Consumable>,
    /// Named by any act.
    pub fluids: Seen<Fluid>,
    /// Named by any act.
    pub scales: Seen<Scale>,
    /// Of a step, of its stage, or of what the step handles.
    pub cautions: Seen<Caution>,
    /// Joints that another one is in place of.
    replaced: BTreeSet<Id<Joint>>,
}

impl Work {
    /// Goes over all acts once.
    #[must_use]
    pub fn of(plan: &Plan) -> Work {
        let mut work = Work {
            replaced: plan
                .joints
                .values()
                .filter_map(|joint| joint.in_place_of.map(|said| said.value))
                .collect(),
            ..Work::default()
        };
        for &id in &plan.order {
            work.step(plan, id);
        }
        work
    }

    /// Another joint is in place of this one.
    #[must_use]
    pub fn is_replaced(&self, joint: Id<Joint>) -> bool {
        self.replaced.contains(&joint)
    }

    /// What the acts of the work do to a joint, in their order.
    #[must_use]
    pub fn on(&self, joint: Id<Joint>) -> &[OnJoint] {
        self.on_joints.get(&joint).map_or(&[], Vec::as_slice)
    }

    /// Joints that an act works on, in the order of their declaration.
    pub fn worked_on(&self) -> impl Iterator<Item = (Id<Joint>, &[OnJoint])> {
        self.on_joints
            .iter()
            .map(|(&joint, acts)| (joint, acts.as_slice()))
    }

    /// The act is the one by which a joint goes together again: `start`, or what comes first without one.
    #[must_use]
    pub fn puts_back(&self, joint: Id<Joint>, does: &Does) -> bool {
        match does.on_joints() {
            OnJoints::PutsIn => true,
            OnJoints::PressesHome => self.started.steps(joint).is_empty(),
            OnJoints::Tightens => !self.is_started_or_pressed(joint),
            OnJoints::Nothing
            | OnJoints::Loosens
            | OnJoints::PartsThem
            | OnJoints::StopsTheLine
            | OnJoints::ClearsTheLine
            | OnJoints::Checks => false,
        }
    }

    /// Some step puts it in before it is tightened.
    #[must_use]
    pub fn is_started_or_pressed(&self, joint: Id<Joint>) -> bool {
        !self.started.steps(joint).is_empty() || !self.pressed_home.steps(joint).is_empty()
    }

    fn step(&mut self, plan: &Plan, id: Id<Step>) {
        let step = &plan.steps[id];
        for need in &step.needs {
            match need.value {
                Need::Tool(tool) => self.tools.note(tool, id),
                Need::Rig(rig) => self.rigs.note(rig, id),
                Need::Consumable(consumable) => self.consumables.note(consumable, id),
            }
        }
        let of_stage = step
            .stage
            .into_iter()
            .flat_map(|stage| &plan.stages[stage].cautions);
        for caution in of_stage.chain(&step.cautions) {
            self.caution(plan, caution.value, id);
        }
        for line in &step.lines {
            match line {
                StepLine::Act(act) => {
                    let named = mentions::of(&act.does);
                    for &joint in &named.joints {
                        self.joints.note(joint, id);
                    }
                    for (in_line, (joint, count)) in act.does.joints().into_iter().enumerate() {
                        self.on_joints.entry(joint).or_default().push(OnJoint {
                            nth: self.acts,
                            in_line,
                            step: id,
                            does: act.does.on_joints(),
                            count,
                        });
                        self.joint(joint, act.does.on_joints(), id);
                    }
                    self.acts += 1;
                    named.loads.iter().for_each(|&load| self.load(plan, load, id));
                    named.rigs.iter().for_each(|&rig| self.rig(plan, rig, id));
                    named.tools.iter().for_each(|&tool| self.tools.note(tool, id));
                    named.fluids.iter().for_each(|&fluid| self.fluids.note(fluid, id));
                    named.scales.iter().for_each(|&scale| self.scales.note(scale, id));
                }
                StepLine::Caution(caution) => self.caution(plan, caution.value, id),
                StepLine::Note(_) | StepLine::Figure(_) => {}
            }
        }
    }

    fn joint(&mut self, joint: Id<Joint>, does: OnJoints, step: Id<Step>) {
        match does {
            OnJoints::Loosens | OnJoints::PartsThem => self.loosened.note(joint, step),
            OnJoints::PutsIn => self.started.note(joint, step),
            OnJoints::PressesHome => self.pressed_home.note(joint, step),
            OnJoints::Tightens => self.tightened.note(joint, step),
            OnJoints::Checks => self.verified.note(joint, step),
            OnJoints::Nothing | OnJoints::StopsTheLine | OnJoints::ClearsTheLine => {}
        }
    }

    fn load(&mut self, plan: &Plan, load: Load, step: Id<Step>) {
        let cautions = match load {
            Load::Thing(Thing::Part(part)) => {
                self.parts.note(part, step);
                &plan.parts[part].cautions
            }
            Load::Thing(Thing::Assembly(assembly)) => {
                self.assemblies.note(assembly, step);
                for &part in &plan.assemblies[assembly].parts {
                    self.parts.note(part, step);
                }
                &plan.assemblies[assembly].cautions
            }
            Load::Vehicle(_) => return,
        };
        for caution in cautions {
            self.caution(plan, caution.value, step);
        }
    }

    fn rig(&mut self, plan: &Plan, rig: Id<Rig>, step: Id<Step>) {
        self.rigs.note(rig, step);
        for caution in &plan.rigs[rig].cautions {
            self.caution(plan, caution.value, step);
        }
    }

    fn caution(&mut self, plan: &Plan, caution: Id<Caution>, step: Id<Step>) {
        if plan.fits_way(caution, step) {
            self.cautions.note(caution, step);
        }
    }
}
