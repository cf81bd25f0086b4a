//! Where the desk reaches the floors below: the catalogue of rules, a plan's workshop folder, and the binder
//! in each form. Everything else on this floor knows files and words only.

use super::command_line::Form;
use crate::base::date::Date;
use crate::base::finding::Rule;
use crate::compile::Compilation;
use crate::plan::model::{Paper, Sides};
use crate::rules;

/// Rules that belong together, under the family's name.
pub(super) fn families() -> Vec<(&'static str, Vec<&'static Rule>)> {
    let named = |family: &&'static rules::Family| (family.name, family.rules.to_vec());
    rules::catalogue().iter().map(named).collect()
}

/// How the binder is wanted.
pub(super) struct Wanted {
    pub(super) forms: Vec<Form>,
    pub(super) paper: Option<Paper>,
    pub(super) sides: Option<Sides>,
    pub(super) today: Date,
    pub(super) unchecked: bool,
}

/// One file to be written: where inside the output folder, what, and a word on it ("61 pages").
pub(super) struct Sheet {
    pub(super) path: String,
    pub(super) bytes: Vec<u8>,
    pub(super) word: String,
}

/// The binder of a compiled plan, as files. `name` is what they are called, without an ending.
///
/// # Errors
/// A sentence where the page engine refuses.
pub(super) fn printed(
    _compilation: &Compilation,
    _wanted: &Wanted,
    _name: &str,
) -> Result<Vec<Sheet>, String> {
    Err("This build has no page engine.".to_owned())
}
