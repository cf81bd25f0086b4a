//! Where the desk reaches the floors below: the catalogue of rules, a plan's workshop folder, and the binder
//! in each form. Everything else on this floor knows files and words only.

use super::command_line::Form;
use crate::base::date::Date;
use crate::compile::Compilation;
use crate::plan::model::{Paper, Sides};

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

/// What came off the press.
#[derive(Default)]
pub(super) struct Printed {
    pub(super) sheets: Vec<Sheet>,
    /// Sentences that the owner should read.
    pub(super) notes: Vec<String>,
}

/// The binder of a compiled plan, as files: `NAME.pdf`, and the Markdown with its pictures in a folder `NAME`.
///
/// # Errors
/// A sentence where the page engine refuses.
pub(super) fn printed(_compilation: &Compilation, _wanted: &Wanted, _name: &str) -> Result<Printed, String> {
    Err("This build has no page engine.".to_owned())
}
