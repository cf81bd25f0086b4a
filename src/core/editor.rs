//! Floor 9: what an editor asks of a plan: what stands at a place, where a name leads, what fits there, which edits mend, rename and
//! tidy. Answers places and edits of texts; knows no protocol, no screen and no disk.

pub mod complete;
pub mod fits;
pub mod hover;
pub mod layout;
pub mod mending;
pub mod notes;
pub mod outline;
pub mod places;
pub mod rename;
pub(crate) mod spot;
pub mod standing;

use crate::base::source::{Source, SourceId};
use crate::compile::Compilation;
use crate::plan::model::{Head, Id, Plan, Step};
use crate::plan::named::Declared;
use crate::plan::scope::Entity;
use crate::syntax::tree::Tree;

/// A plan as it stands in the editor, and as it last could be walked.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'a> {
    /// The last whole compilation.
    pub done: &'a Compilation,
    /// The trees of its sources.
    pub trees: &'a [Tree],
    /// The last compilation whose steps were walked; that of now, unless the text has faults. What the machine is like at a step is asked
    /// of it.
    pub walked: Option<&'a Compilation>,
}

impl<'a> Desk<'a> {
    /// A file with its tree.
    #[must_use]
    pub fn file(self, source: SourceId) -> Option<(&'a Source, &'a Tree)> {
        self.done
            .sources
            .get(source)
            .zip(self.trees.get(source.0 as usize))
    }

    /// The step that a derived one undoes.
    #[must_use]
    pub fn undone_by(self, step: Id<Step>) -> Option<&'a Declared> {
        let derived = self.done.plan.steps.get(step)?.derived.as_ref()?;
        self.done.names.of(Entity::Step(derived.from))
    }
}

/// Name, title and block of whatever a name stands for.
#[must_use]
pub fn head(plan: &Plan, entity: Entity) -> Option<&Head> {
    Some(match entity {
        Entity::Plan => &plan.about.as_ref()?.head,
        Entity::Vehicle(id) => &plan.vehicles.get(id)?.head,
        Entity::Part(id) => &plan.parts.get(id)?.head,
        Entity::Assembly(id) => &plan.assemblies.get(id)?.head,
        Entity::Joint(id) => &plan.joints.get(id)?.head,
        Entity::Fluid(id) => &plan.fluids.get(id)?.head,
        Entity::Energy(id) => &plan.energies.get(id)?.head,
        Entity::Caution(id) => &plan.cautions.get(id)?.head,
        Entity::Rig(id) => &plan.rigs.get(id)?.head,
        Entity::Tool(id) => &plan.tools.get(id)?.head,
        Entity::Consumable(id) => &plan.consumables.get(id)?.head,
        Entity::Kit(id) => &plan.kits.get(id)?.head,
        Entity::Person(id) => &plan.people.get(id)?.head,
        Entity::Scale(id) => &plan.scales.get(id)?.head,
        Entity::Stage(id) => &plan.stages.get(id)?.head,
        Entity::Step(id) => &plan.steps.get(id)?.head,
        Entity::WeighIn(id) => &plan.weigh_ins.get(id)?.head,
        Entity::Swap(id) => &plan.swaps.get(id)?.head,
    })
}
