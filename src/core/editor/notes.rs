//! What an editor may write beside the text in pale letters: the number of a step, and what a scale read of a thing whose block says another
//! mass, or none.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::Desk;
use super::hover::shown;
use crate::base::source::SourceId;
use crate::plan::model::{Thing, Weighed};
use crate::plan::named::Origin;
use crate::plan::scope::Entity;

/// A word behind a byte.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Noted {
    /// Byte in the file, where the word begins.
    pub at: u32,
    /// With the space before it.
    pub text: String,
}

/// The words of a file, in its order.
#[must_use]
pub fn notes(desk: Desk<'_>, source: SourceId) -> Vec<Noted> {
    let plan = &desk.done.plan;
    let weights = desk.done.weights();
    let mut all: Vec<Noted> = Vec::new();
    let here = desk
        .done
        .names
        .declared()
        .iter()
        .filter(|known| known.at.source == source);
    for known in here.filter(|known| known.origin != Origin::Derived) {
        let text = match known.entity {
            Entity::Step(step) => Some(plan.step_number(step)),
            Entity::Part(part)
                if known.origin == Origin::Written
                    && (plan.parts[part].mass.is_none() || weights.is_read(part)) =>
            {
                weights.part(part).map(shown)
            }
            Entity::Assembly(assembly) => weights
                .of(Weighed::Thing(Thing::Assembly(assembly)))
                .map(|estimate| shown(&estimate)),
            _ => None,
        };
        // Sides of one block stand at one place, and each step of them has a number.
        match (text, all.last_mut()) {
            (Some(text), Some(last)) if last.at == known.at.end => last.text.push_str(&format!(", {text}")),
            (Some(text), _) => all.push(Noted {
                at: known.at.end,
                text,
            }),
            (None, _) => {}
        }
    }
    all
}
