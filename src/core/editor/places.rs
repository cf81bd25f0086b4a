//! Where a name leads: its declaration, and all places that name the same.

use std::collections::BTreeSet;

use super::Desk;
use crate::base::source::{SourceId, Span};
use crate::plan::named::Origin;
use crate::plan::scope::Entity;

/// What stands at a byte: the name's place, and all that it stands for there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The stretch of the name.
    pub at: Span,
    /// Several where it names a sided block.
    pub entities: Vec<Entity>,
}

/// The name at a byte, mentioned or declared.
#[must_use]
pub fn found(desk: Desk<'_>, source: SourceId, at: u32) -> Option<Found> {
    let names = &desk.done.names;
    let mut all: Vec<(Span, Entity)> = names
        .mentioned_at(source, at)
        .filter_map(|mention| Some((mention.at, mention.entity?)))
        .collect();
    all.extend(
        names
            .declared_at(source, at)
            .map(|known| (known.at, known.entity)),
    );
    // Between two names that touch, the one that begins here.
    let place = all
        .iter()
        .map(|(place, _)| *place)
        .max_by_key(|place| place.start)?;
    let mut entities: Vec<Entity> = Vec::new();
    for (_, entity) in all.into_iter().filter(|(other, _)| *other == place) {
        if !entities.contains(&entity) {
            entities.push(entity);
        }
    }
    Some(Found { at: place, entities })
}

/// The declarations that a name leads to; of a step that a stage derives, the step that it undoes.
#[must_use]
pub fn declarations(desk: Desk<'_>, found: &Found) -> Vec<Span> {
    let mut all: BTreeSet<Span> = BTreeSet::new();
    for &entity in &found.entities {
        let Some(known) = desk.done.names.of(entity) else {
            continue;
        };
        let from = match (known.origin, entity) {
            (Origin::Derived, Entity::Step(step)) => desk.undone_by(step),
            _ => None,
        };
        all.insert(from.unwrap_or(known).at);
    }
    all.into_iter().collect()
}

/// All places that name one of these, in the order of the texts; the declarations among them where they are asked for.
#[must_use]
pub fn references(desk: Desk<'_>, found: &Found, declared: bool) -> Vec<Span> {
    let names = &desk.done.names;
    let mut all: BTreeSet<Span> = BTreeSet::new();
    for &entity in &found.entities {
        all.extend(names.mentions_of(entity).map(|mention| mention.at));
        if declared {
            let known = names.of(entity).filter(|known| known.origin != Origin::Derived);
            all.extend(known.map(|known| known.at));
        }
    }
    all.into_iter().collect()
}
