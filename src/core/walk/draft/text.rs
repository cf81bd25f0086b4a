//! A draft as text of a plan: two stages to be pasted, the way off and the way back. Names that the plan has are not used again.

use std::collections::BTreeSet;

use super::{Draft, What};
use crate::plan::model::{Does, Plan, Thing};
use crate::plan::write;

/// Names that a plan has, and new ones beside them.
struct Names {
    taken: BTreeSet<String>,
}

impl Names {
    fn of(plan: &Plan) -> Self {
        let mut taken: BTreeSet<String> = BTreeSet::new();
        let mut take = |name: &str| {
            taken.insert(name.to_owned());
        };
        plan.parts.values().for_each(|one| take(&one.head.name));
        plan.assemblies.values().for_each(|one| take(&one.head.name));
        plan.joints.values().for_each(|one| take(&one.head.name));
        plan.fluids.values().for_each(|one| take(&one.head.name));
        plan.energies.values().for_each(|one| take(&one.head.name));
        plan.rigs.values().for_each(|one| take(&one.head.name));
        plan.tools.values().for_each(|one| take(&one.head.name));
        plan.consumables.values().for_each(|one| take(&one.head.name));
        plan.kits.values().for_each(|one| take(&one.head.name));
        plan.people.values().for_each(|one| take(&one.head.name));
        plan.scales.values().for_each(|one| take(&one.head.name));
        plan.cautions.values().for_each(|one| take(&one.head.name));
        plan.vehicles.values().for_each(|one| take(&one.head.name));
        plan.stages.values().for_each(|one| take(&one.head.name));
        plan.steps.values().for_each(|one| take(&one.head.name));
        plan.weigh_ins.values().for_each(|one| take(&one.head.name));
        plan.swaps.values().for_each(|one| take(&one.head.name));
        plan.about.iter().for_each(|about| take(&about.head.name));
        Self { taken }
    }

    /// The name, or the name with the first number behind it for which neither it nor the step that undoes it is taken.
    fn fresh(&mut self, wanted: &str) -> String {
        let mut name = wanted.to_owned();
        let mut n = 2;
        while self.taken.contains(&name) || self.taken.contains(&format!("{name}-back")) {
            name = format!("{wanted}-{n}");
            n += 1;
        }
        self.taken.insert(name.clone());
        self.taken.insert(format!("{name}-back"));
        name
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|first| first.to_uppercase().collect::<String>());
    first.unwrap_or_default() + chars.as_str()
}

impl Draft {
    /// The stages as text. The second one reverses the first, so that what is pasted leaves nothing open.
    #[must_use]
    pub fn text(&self, plan: &Plan, thing: Thing) -> String {
        let name = |thing: Thing| match thing {
            Thing::Part(id) => plan.parts[id].head.name.to_string(),
            Thing::Assembly(id) => plan.assemblies[id].head.name.to_string(),
        };
        let mut names = Names::of(plan);
        let called = capital(&plan.called(thing));
        let off = names.fresh(&format!("take-off-{}", name(thing)));
        let on = names.fresh(&format!("put-back-{}", name(thing)));
        let mut text = format!(
            "# Worked out from {} {} that the plan declares: look for the one that it does not know.\n",
            self.joints,
            if self.joints == 1 { "joint" } else { "joints" }
        );
        match self.after {
            Some(step) => text.push_str(&format!("# Goes after step {}.\n", plan.steps[step].head.name)),
            None => text.push_str("# Begins with the machine as it was found.\n"),
        }
        if plan.about.as_ref().is_some_and(|about| about.stages.is_some()) {
            text.push_str(&format!("# For the plan's list of stages: {off}, {on}\n"));
        }
        text.push_str(&format!("stage {off} \"{called} off\"\n"));
        for (nth, step) in self.steps.iter().enumerate() {
            let (wanted, title) = match step.what {
                What::Drain => (format!("drain-for-{}", name(thing)), "Drain".to_owned()),
                What::Crack => (
                    format!("crack-for-{}", name(thing)),
                    "Big fixings slackened on the ground".to_owned(),
                ),
                What::Raise => (
                    format!("up-for-{}", name(thing)),
                    "Up, and onto what holds".to_owned(),
                ),
                What::Off(thing) => (
                    format!("{}-off", name(thing)),
                    format!("{} off", capital(&plan.called(thing))),
                ),
            };
            text.push_str(&format!("step {} \"{title}\"\n", names.fresh(&wanted)));
            if !step.by.is_empty() {
                let by: Vec<&str> = step.by.iter().map(|&id| &*plan.people[id].head.name).collect();
                text.push_str(&format!("  by {}\n", by.join(", ")));
            }
            if let (0, Some(after)) = (nth, self.after) {
                text.push_str(&format!("  after {}\n", plan.steps[after].head.name));
            }
            if let Some(tool) = step.needs {
                text.push_str(&format!("  needs {}\n", plan.tools[tool].head.name));
                text.push_str(
                    "  note Whether it takes this spring is not declared: see, and put the right tool.\n",
                );
            }
            if step.unknown_way {
                text.push_str(
                    "  note Which way it slides out is not declared: see, and put the right word.\n",
                );
            }
            if step.acts.iter().any(|act| matches!(act, Does::PressApart { .. })) {
                text.push_str("  note What presses it apart is not declared: name the tool with it.\n");
            }
            for act in &step.acts {
                text.push_str(&format!("  {}\n", write::act(plan, act)));
            }
        }
        text.push_str(&format!("stage {on} \"{called} back on\" reverses {off}\n"));
        text
    }
}
