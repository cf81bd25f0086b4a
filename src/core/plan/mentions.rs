//! What an act names: joints, things, rigs, tools, fluids, people. One list for all that ask where
//! something is used. Knows nothing of wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::model::{Caution, Does, Fluid, Id, Joint, Load, Person, Plan, Rig, Scale, Thing, Tool, Workpiece};
use super::vocabulary::acts::{Slot, With};

/// All that one act names, in the order written.
#[derive(Debug, Default)]
pub struct Mentions {
    /// Joints that it works on, is done at, or turns about.
    pub joints: Vec<Id<Joint>>,
    /// Parts, assemblies and the vehicle.
    pub loads: Vec<Load>,
    /// What it is put on, held by or lifted with.
    pub rigs: Vec<Id<Rig>>,
    /// What it is done with.
    pub tools: Vec<Id<Tool>>,
    /// What runs out or in.
    pub fluids: Vec<Id<Fluid>>,
    /// What it weighs with.
    pub scales: Vec<Id<Scale>>,
    /// Who holds or steadies.
    pub people: Vec<Id<Person>>,
}

/// Goes through an act's line, piece by piece.
#[must_use]
pub fn of(does: &Does) -> Mentions {
    let mut all = Mentions::default();
    does.slots(&mut |slot| all.take(slot));
    all
}

impl Mentions {
    fn take(&mut self, slot: Slot<'_>) {
        match slot {
            Slot::Fixings(all) => self.joints.extend(all.iter().map(|fixings| fixings.joint.value)),
            Slot::Joints(all) => self.joints.extend(all.iter().map(|said| said.value)),
            Slot::Loads(all) => self.loads.extend(all.iter().map(|said| said.value)),
            Slot::Things(all) => self.loads.extend(all.iter().map(|said| Load::Thing(said.value))),
            Slot::Fluids(all) => self.fluids.extend(all.iter().map(|said| said.value)),
            Slot::Tools(all) => self.tools.extend(all.iter().map(|said| said.value)),
            Slot::Workpieces(all) => {
                for said in all {
                    match said.value {
                        Workpiece::Thing(thing) => self.loads.push(Load::Thing(thing)),
                        Workpiece::Joint(joint) => self.joints.push(joint),
                    }
                }
            }
            Slot::Part(part) => self.loads.push(Load::Thing(Thing::Part(part.value))),
            Slot::With(_, with) => match with {
                With::Rig(rig) => self.rigs.push(rig),
                With::Person(person) => self.people.push(person),
                With::Tool(tool) => self.tools.push(tool),
                With::Scale(scale) => self.scales.push(scale),
                With::Thing(thing) => self.loads.push(Load::Thing(thing)),
                With::Joint(joint) => self.joints.push(joint),
            },
            Slot::Names(..) | Slot::Word(_) | Slot::Figure(..) | Slot::Text(..) => {}
        }
    }
}

/// The cautions that rigs and things carry with them, of all that an act names.
#[must_use]
pub fn cautions(plan: &Plan, does: &Does) -> Vec<Id<Caution>> {
    let named = of(does);
    let of_rigs = named.rigs.iter().flat_map(|&rig| &plan.rigs[rig].cautions);
    let of_things = named.loads.iter().flat_map(|load| match load {
        Load::Thing(Thing::Part(part)) => plan.parts[*part].cautions.as_slice(),
        Load::Thing(Thing::Assembly(assembly)) => plan.assemblies[*assembly].cautions.as_slice(),
        Load::Vehicle(_) => &[],
    });
    of_rigs.chain(of_things).map(|said| said.value).collect()
}
