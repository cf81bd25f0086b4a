//! Which steps use what, in the order of work: for the index, the lists of tools and the table of hazards.
//! Knows nothing of wording.

use std::collections::BTreeMap;

use super::mentions;
use crate::plan::model::{
    Assembly, Caution, Consumable, Does, Fluid, Id, Joint, Load, Need, Part, Plan, Rig, Scale, Step,
    StepLine, Thing, Tool,
};

/// Steps by thing; each step once.
#[derive(Debug)]
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
    fn note(&mut self, id: Id<T>, step: Id<Step>) {
        let steps = self.steps.entry(id).or_default();
        if !steps.contains(&step) {
            steps.push(step);
        }
    }

    /// In the order of work; empty where nothing uses it.
    #[must_use]
    pub fn steps(&self, id: Id<T>) -> &[Id<Step>] {
        self.steps.get(&id).map_or(&[], Vec::as_slice)
    }
}

#[derive(Debug, Default)]
pub struct Uses {
    pub joints: Seen<Joint>,
    /// Slackened, undone, pinned, pressed apart or broken.
    pub loosened: Seen<Joint>,
    pub started: Seen<Joint>,
    pub pressed_home: Seen<Joint>,
    pub tightened: Seen<Joint>,
    /// Verified by name.
    pub verified: Seen<Joint>,
    pub parts: Seen<Part>,
    pub assemblies: Seen<Assembly>,
    pub rigs: Seen<Rig>,
    pub tools: Seen<Tool>,
    pub consumables: Seen<Consumable>,
    pub fluids: Seen<Fluid>,
    pub scales: Seen<Scale>,
    pub cautions: Seen<Caution>,
}

impl Uses {
    #[must_use]
    pub fn of(plan: &Plan) -> Uses {
        let mut uses = Uses::default();
        for &id in &plan.order {
            uses.step(plan, id);
        }
        uses
    }

    /// The act is the one by which a joint goes together again: `start`, or what comes first without one.
    #[must_use]
    pub fn puts_back(&self, joint: Id<Joint>, does: &Does) -> bool {
        match does {
            Does::Start(_) | Does::Join { .. } => true,
            Does::PressHome { .. } => self.started.steps(joint).is_empty(),
            Does::Tighten(_) => !self.is_started_or_pressed(joint),
            _ => false,
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
                    named
                        .joints
                        .iter()
                        .for_each(|&joint| self.joint(joint, &act.does, id));
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

    fn joint(&mut self, joint: Id<Joint>, does: &Does, step: Id<Step>) {
        self.joints.note(joint, step);
        match does {
            Does::Slacken(_)
            | Does::Undo(_)
            | Does::Pin { .. }
            | Does::Break { .. }
            | Does::PressApart { .. } => {
                self.loosened.note(joint, step);
            }
            Does::Start(_) | Does::Join { .. } => self.started.note(joint, step),
            Does::PressHome { .. } => self.pressed_home.note(joint, step),
            Does::Tighten(_) => self.tightened.note(joint, step),
            Does::Verify { .. } => self.verified.note(joint, step),
            _ => {}
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
