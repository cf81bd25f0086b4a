//! What a step leaves behind: what is held by what, what is still slack. That is the walk's knowledge; until it
//! reaches the binder nothing is printed rather than guessed. Knows no wording yet.

use super::binding::Binding;
use crate::plan::model::{Id, Step};

/// Heading and lines of the card's foot; empty where nothing is known.
#[must_use]
pub fn after_state(_binding: &Binding<'_>, _step: Id<Step>) -> Vec<(String, Vec<String>)> {
    Vec::new()
}
