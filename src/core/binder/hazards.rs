//! The hazards of the whole job with the steps where they occur, gravest first. Knows cautions, no page.

use super::binding::{Binding, signal};
use crate::plan::model::{Caution, Id, Step};

#[derive(Debug)]
pub struct HazardUse {
    pub caution: Id<Caution>,
    pub whole_job: bool,
    /// In the order of work.
    pub steps: Vec<Id<Step>>,
}

/// Every caution that the plan uses; those of a shared workshop that it does not use are left out.
#[must_use]
pub fn all(binding: &Binding<'_>) -> Vec<HazardUse> {
    let of_plan = binding.about().map_or(&[][..], |about| about.cautions.as_slice());
    let mut hazards: Vec<HazardUse> = binding
        .plan
        .cautions
        .ids()
        .map(|caution| HazardUse {
            caution,
            whole_job: of_plan.iter().any(|said| said.value == caution),
            steps: binding.work.cautions.steps(caution).to_vec(),
        })
        .filter(|hazard| hazard.whole_job || !hazard.steps.is_empty())
        .collect();
    hazards.sort_by_key(|hazard| signal(&binding.plan.cautions[hazard.caution]) as u8);
    hazards
}
