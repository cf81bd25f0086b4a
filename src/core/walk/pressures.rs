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

/// A line of a fluid that is in what is under pressure is under pressure too, whether its joint says so or not.
pub fn in_lines(all: &BTreeMap<Id<Energy>, Pressure>, joints: &mut Table<Joint, JointFacts>) {
    for (&energy, own) in all {
        let behind: Vec<Id<Joint>> = joints
            .iter()
            .filter(|(_, joint)| {
                joint.line
                    && !joint.energies.contains(&energy)
                    && joint.fluids.iter().any(|fluid| own.fluids.contains(fluid))
            })
            .map(|(id, _)| id)
            .collect();
        for joint in behind {
            joints[joint].energies.push(energy);
        }
    }
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
    "soft",
    "limp",
    "cold",
    "cool",
    "cooled",
    "temperature",
    "degrees",
];

/// Something is left: the word for it, or a figure over nothing in a unit of pressure.
fn is_left(text: &str, said: &[String]) -> bool {
    // "3,5bar" as "3.5 bar"; "lbf/in2" too.
    let units = ["bar", "psi", "kpa", "mpa", "lbf"];
    let mut lower = text.to_lowercase().replace(',', ".");
    for unit in units {
        lower = lower.replace(unit, &format!(" {unit}"));
    }
    let words: Vec<&str> = lower.split_whitespace().collect();
    let figure = words.windows(2).any(|pair| {
        let [figure, unit] = pair else { return false };
        figure.parse::<f64>().is_ok_and(|figure| figure > 0.0)
            && units.iter().any(|known| unit.starts_with(known))
    });
    // "Not relieved", "under pressure", "cold before the start".
    figure
        || said
            .iter()
            .any(|word| ["still", "not", "under", "before"].contains(&word.as_str()))
}

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

    /// Somebody looks, or verifies, and says that it is gone: in words for that, and none that say the contrary. That the boot is dry, or the volts
    /// are nothing, says nothing of a pressure.
    fn is_proved(&self, id: Id<Energy>, own: &Pressure) -> bool {
        let Some(step) = self.step else { return false };
        let heads = std::iter::once(&self.plan.energies[id].head)
            .chain(own.fluids.iter().map(|&fluid| &self.plan.fluids[fluid].head));
        let names: BTreeSet<String> = heads
            .flat_map(|head| words(&format!("{} {}", head.name, head.title.as_deref().unwrap_or(""))))
            .filter(|word| word.chars().count() > 2)
            .collect();
        self.plan.steps[step].acts().any(|act| match &act.does {
            Does::Look(what) | Does::Verify { what: Some(what), .. } => {
                let said = words(what);
                let has = |those: &[&str]| said.iter().any(|word| those.contains(&word.as_str()));
                let of_it = said.iter().any(|word| names.contains(word));
                !is_left(what, &said) && (has(GONE) || (of_it && has(&["no", "none", "nothing", "zero"])))
            }
            // Looks at nothing, or does not say at what.
            _ => false,
        })
    }
}

fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}
