//! What makes a pressure, or heat, safe in the step that is named for it: one of its joints is opened, a fluid of it drained, or somebody proves it.
//! Knows nothing of what else that step does.

use std::collections::{BTreeMap, BTreeSet};

use super::layout::JointFacts;
use super::table::Table;
use super::walker::Walker;
use crate::plan::model::{Does, Energy, EnergyKind, Fluid, Id, Joint, Part, Plan};

/// What belongs to a pressure that is said to be safe after a step.
#[derive(Debug, Default, Clone)]
pub struct Pressure {
    /// Without the body, which everything goes to.
    parts: BTreeSet<Id<Part>>,
    fluids: BTreeSet<Id<Fluid>>,
    /// Some joint says that it is of it.
    named: bool,
}

impl Pressure {
    /// The plan says nothing of where it is.
    fn is_anywhere(&self) -> bool {
        self.parts.is_empty() && !self.named
    }

    /// It is let off where this joint is opened.
    fn is_behind(&self, id: Id<Energy>, joint: &JointFacts) -> bool {
        let end = |end: &Id<Part>| self.parts.contains(end);
        joint.energies.contains(&id)
            || joint.fluids.iter().any(|fluid| self.fluids.contains(fluid))
            // What carries a thing, or leads a current to it, lets nothing out of it.
            || (!joint.carries && !joint.lead && joint.ends.iter().flatten().any(end))
    }
}

/// Worked out once, in one pass over the joints.
pub fn table(
    plan: &Plan,
    joints: &Table<Joint, JointFacts>,
    inside: &Table<Fluid, Vec<Id<Part>>>,
    body: Option<Id<Part>>,
) -> BTreeMap<Id<Energy>, Pressure> {
    let mut all: BTreeMap<Id<Energy>, Pressure> = plan
        .energies
        .iter()
        .filter(|(_, energy)| energy.safe_after.is_some() && is_pressure(energy))
        .map(|(id, energy)| {
            let parts = energy.in_parts.iter().map(|said| said.value);
            let own = Pressure {
                parts: parts.filter(|&part| Some(part) != body).collect(),
                ..Pressure::default()
            };
            (id, own)
        })
        .collect();
    if all.is_empty() {
        return all;
    }
    let mut of_part: BTreeMap<Id<Part>, Vec<Id<Energy>>> = BTreeMap::new();
    for (&id, own) in &all {
        for &part in &own.parts {
            of_part.entry(part).or_default().push(id);
        }
    }
    for (fluid, parts) in inside.iter() {
        for energy in parts.iter().filter_map(|part| of_part.get(part)).flatten() {
            if let Some(own) = all.get_mut(energy) {
                own.fluids.insert(fluid);
            }
        }
    }
    for (_, joint) in joints.iter() {
        for energy in &joint.energies {
            if let Some(own) = all.get_mut(energy) {
                own.named = true;
                own.fluids.extend(&joint.fluids);
            }
        }
    }
    all
}

fn is_pressure(energy: &Energy) -> bool {
    energy
        .kind
        .is_some_and(|kind| matches!(kind.value, EnergyKind::Pressure | EnergyKind::Heat))
}

/// Of what somebody looks at where a pressure is gone, or heat.
const GONE: &[&str] = &[
    "pressure",
    "bar",
    "psi",
    "kpa",
    "gauge",
    "gauges",
    "empty",
    "drained",
    "bled",
    "vented",
    "hiss",
    "hisses",
    "stalls",
    "stalled",
    "stops",
    "comes",
    "flows",
    "drips",
    "soft",
    "limp",
    "cold",
    "cool",
    "cooled",
    "temperature",
    "degrees",
];

/// Of what somebody looks at where a supply is dead.
const DEAD: &[&str] = &[
    "volt",
    "volts",
    "voltage",
    "voltmeter",
    "v",
    "current",
    "amps",
    "ohms",
    "lamp",
    "light",
];

impl Walker<'_> {
    /// Whether the step that ends here makes it safe, with the joints that made it so: closed again, they make it live again.
    pub fn let_off(&self, id: Id<Energy>, parted: &[Id<Joint>]) -> Option<Vec<Id<Joint>>> {
        let own = self.layout.pressures.get(&id)?;
        let layout = self.layout;
        let belongs = |joint: &Id<Joint>| own.is_behind(id, &layout.joints[*joint]);
        let mut opened: Vec<Id<Joint>> = parted.iter().copied().filter(belongs).collect();
        opened.extend(self.cracked_in_step.iter().copied().filter(belongs));
        if !opened.is_empty() {
            return Some(opened);
        }
        let drained = self
            .drained
            .iter()
            .any(|fluid| own.is_anywhere() || own.fluids.contains(fluid));
        let anyhow = own.is_anywhere() && !parted.is_empty();
        (drained || anyhow || self.is_proved(id, own)).then(|| parted.to_vec())
    }

    /// Somebody looks, or verifies, and says what. In a step that makes a supply dead too, or looks at volts, the words have to be of this.
    fn is_proved(&self, id: Id<Energy>, own: &Pressure) -> bool {
        let Some(step) = self.step else { return false };
        let mut looks = String::new();
        for act in self.plan.steps[step].acts() {
            match &act.does {
                Does::Look(what) | Does::Verify { what: Some(what), .. } => {
                    looks.push(' ');
                    looks.push_str(what);
                }
                // Looks at nothing, or does not say at what.
                _ => {}
            }
        }
        let said = words(&looks);
        if said.is_empty() {
            return false;
        }
        let electric = |energy: &Id<Energy>| {
            let kind = self.plan.energies[*energy].kind;
            kind.is_some_and(|kind| kind.value == EnergyKind::Electric)
        };
        let another = self
            .layout
            .safe_after
            .get(&step)
            .into_iter()
            .flatten()
            .any(electric)
            || self
                .parted_in_step
                .iter()
                .any(|&joint| self.layout.joints[joint].lead)
            || said.iter().any(|word| DEAD.contains(&word.as_str()));
        if !another {
            return true;
        }
        let heads = std::iter::once(&self.plan.energies[id].head)
            .chain(own.fluids.iter().map(|&fluid| &self.plan.fluids[fluid].head));
        let names: BTreeSet<String> = heads
            .flat_map(|head| words(&format!("{} {}", head.name, head.title.as_deref().unwrap_or(""))))
            .filter(|word| word.chars().count() > 2)
            .collect();
        said.iter()
            .any(|word| GONE.contains(&word.as_str()) || names.contains(word))
    }
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}
