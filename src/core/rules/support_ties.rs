//! Of the family **support**: what hangs on a strap, wire or hook, against what that may bear. Asked where it is tied, and after every act
//! that lets more hang on it.

use std::collections::BTreeMap;

use super::amounts;
use super::support_loads::{OVER_RATED, names};
use super::totals::name_of;
use crate::base::finding::Finding;
use crate::base::quantity::Mass;
use crate::base::source::Span;
use crate::plan::model::{Does, Id, Part, Plan, Said, Thing, Weighed};
use crate::walk::loads::LoadEvent;
use crate::weights::Weights;

/// What an act ties up, and what its strap, wire or hook may bear.
#[derive(Debug, Clone, Copy)]
struct Tied {
    thing: Thing,
    limit: Option<Said<Mass>>,
    told: bool,
}

/// All acts that tie something up, by their places.
#[derive(Debug, Default)]
pub(super) struct Ties(BTreeMap<Span, Tied>);

impl Ties {
    pub(super) fn of(plan: &Plan) -> Self {
        let acts = plan.steps.values().flat_map(|step| step.acts());
        let ties = acts.filter_map(|act| match &act.does {
            Does::TieUp { thing, limit, .. } => Some((
                act.at,
                Tied {
                    thing: thing.value,
                    limit: *limit,
                    told: false,
                },
            )),
            // A strap comes by this alone.
            _ => None,
        });
        Ties(ties.collect())
    }

    /// What hangs on a tie against what it may bear; told once for each.
    pub(super) fn judge(
        &mut self,
        weights: &Weights<'_>,
        event: &LoadEvent,
        tie: Span,
        parts: &[Id<Part>],
    ) -> Option<Finding> {
        let plan = weights.plan();
        let tied = self.0.get_mut(&tie).filter(|tied| !tied.told)?;
        let hung = weights.sum(parts);
        let limit = match tied.limit {
            Some(limit) => limit.value.base(),
            None => plan.house().hang_kg(),
        };
        let most = hung.known.kg + hung.known.expanded();
        // A limit of nothing is no limit, and told as such.
        if most <= limit + 1e-9 || limit <= 0.0 {
            return None;
        }
        tied.told = true;
        let parts = weights.heaviest_first(parts.iter().copied());
        let name = name_of(plan, Weighed::Thing(tied.thing));
        let bare = name.trim_matches('`');
        let bears = amounts::kg(plan, limit, 0.0);
        let (at, words) = match tied.limit {
            Some(limit) => (limit.at, "what it may bear".to_owned()),
            None => (tie, format!("no limit is stated here, so it is {bears}")),
        };
        let mut finding = Finding::new(
            &OVER_RATED,
            format!(
                "{name} is tied up with what bears {bears}, and {} hang on it: {}",
                amounts::with_give(plan, &hung.known),
                names(plan, &parts)
            ),
        )
        .at(event.at, "from here on it bears all of this")
        .at(at, words)
        .harm("Wire cuts in, a hook opens, and it drops on its hose or on a hand.")
        .mend(format!(
            "A strap or hook that bears it, with its limit: tie up {bare} to THING, {}; or a rig",
            amounts::kg(plan, most.ceil(), 0.5)
        ))
        .about(bare.to_owned());
        for &part in parts.iter().take(3) {
            finding = finding.about(plan.parts[part].head.name.to_string());
        }
        if let Some(step) = event.step {
            finding = finding.about(plan.steps[step].head.name.to_string());
        }
        Some(finding)
    }
}
