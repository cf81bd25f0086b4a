//! How fast the work has gone so far, by the log: for all, and for each person of whom enough is logged. Knows no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeMap;

use super::timing;
use crate::plan::model::{Does, Id, Person, Plan, Step};
use crate::reckon::durations::{Chain, Estimate};
use crate::reckon::pace::{Pace, Took};

/// So many jobs of somebody have to be logged before they tell more of this one than of all. Common practice, no source.
const ENOUGH: usize = 5;

/// What hands were busy for: a log may count what a step waits, or leave it out, and what lies nearer to the plan was meant.
fn hands(plan: &Plan, steps: &[Id<Step>], took: f64, expected: f64) -> f64 {
    let waits = steps.iter().flat_map(|&step| plan.steps[step].acts());
    let waits: f64 = waits
        .filter_map(|act| match &act.does {
            Does::WaitFor { time, .. } => Some(time.value.base()),
            // Nothing else has a clock of its own.
            _ => None,
        })
        .sum();
    let without = took - waits;
    let off = |time: f64| (time / expected).ln().abs();
    if without > 0.0 && off(without) < off(took) {
        without
    } else {
        took
    }
}

/// What the log tells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Paces {
    /// Of all who work together.
    pub common: Pace,
    /// Jobs that say what they took.
    pub logged: usize,
    people: BTreeMap<Id<Person>, Pace>,
}

impl Paces {
    /// What the log took, against the times that the plan gave.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let mut done: Vec<(Took, Vec<Id<Person>>)> = Vec::new();
        for log in &plan.logs {
            let Some(took) = log.took else { continue };
            let pieces: Option<Vec<Estimate>> =
                log.steps.iter().map(|&step| timing::takes(plan, step)).collect();
            let Some(pieces) = pieces else { continue };
            let chain = Chain::of(&pieces);
            if chain.expected <= 0.0 || took.value.base() <= 0.0 {
                continue;
            }
            let by = match log.by.is_empty() {
                false => log.by.iter().map(|said| said.value).collect(),
                true => log
                    .steps
                    .iter()
                    .flat_map(|&step| plan.steps[step].by.iter().map(|said| said.value))
                    .collect(),
            };
            let one = Took {
                expected: chain.expected,
                deviation: chain.deviation,
                took: hands(plan, &log.steps, took.value.base(), chain.expected),
            };
            done.push((one, by));
        }
        let all: Vec<Took> = done.iter().map(|(took, _)| *took).collect();
        let common = Pace::default().learn(&all).unwrap_or_default();
        let people = plan.people.ids().filter_map(|person| {
            let own: Vec<Took> = done
                .iter()
                .filter(|(_, by)| by.contains(&person))
                .map(|(took, _)| *took)
                .collect();
            let enough = own.len() >= ENOUGH;
            Some((person, Pace::default().learn(&own).ok().filter(|_| enough)?))
        });
        Self {
            people: people.collect(),
            logged: done.len(),
            common,
        }
    }

    /// By what the times of a step are multiplied: the mean of those who do it, as far as enough of them is logged.
    #[must_use]
    pub fn factor(&self, plan: &Plan, step: Id<Step>) -> f64 {
        let by = &plan.steps[step].by;
        let pace = |person: &Id<Person>| self.people.get(person).map_or(self.common.mean, |pace| pace.mean);
        if by.is_empty() {
            return self.common.factor();
        }
        let sum: f64 = by.iter().map(|said| pace(&said.value)).sum();
        #[expect(clippy::cast_precision_loss, reason = "a step has few people")]
        let mean = sum / by.len() as f64;
        mean.exp()
    }
}
