//! The data form: plan, walk, reckonings and findings as one JSON file, mass account and torque table as comma-separated values. The
//! JSON is described by `grammar/data.schema.json`, which is written by hand: it says what a key means to a reader, lists the words of the vocabulary and refuses
//! unknown keys, and what is derived from these structs would follow every slip in them; a test holds it against what is written. Mirrors that live here alone, so that the program may change without breaking a
//! reader. Knows no plan's text beyond places in it, no disk, no clock.
//!
//! Figures are in the base units of [`crate::base::quantity`], named in the keys: `mass_kg`, `length_mm`, `torque_n_m`. What the plan
//! does not say, or nobody knows, has no key: it is never nothing.

mod acts;
mod context;
mod csv;
mod gear;
mod joints;
mod lines;
mod machine;
mod money;
mod plan;
mod reckonings;
mod tables;
mod things;
mod told;
mod weighings;
mod work;

use serde::Serialize;

use crate::binder::document::Document;
use crate::compile::Compilation;
use context::Context;

/// Goes up when a reader of the JSON would have to change.
pub const SCHEMA_VERSION: u32 = 2;

/// The files of the data form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DataSet {
    /// Name inside the form's folder, and content.
    pub files: Vec<(String, Vec<u8>)>,
}

#[derive(Serialize)]
struct Program {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct Whole<'c, 'a> {
    schema_version: u32,
    program: Program,
    title: &'a str,
    language: &'a str,
    /// As on every page of the binder.
    revision: &'a str,
    date: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    not_proved: Option<&'a str>,
    plan: plan::PlanOf<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    walk: Option<machine::WalkOf<'c, 'a>>,
    reckonings: reckonings::ReckoningsOf<'a>,
    findings: Vec<told::FindingOf<'a>>,
    accepted: Vec<told::AcceptedOf<'a>>,
}

/// `plan.json`, `mass-account.csv`, `torque-table.csv` and, where the plan says a sum, `money-account.csv` of a plan; numbers of steps and bags are those of its binder.
#[must_use]
pub fn data(compilation: &Compilation, document: &Document) -> DataSet {
    let context = Context::new(compilation, document);
    let whole = Whole {
        schema_version: SCHEMA_VERSION,
        program: Program {
            name: "boltfolio",
            version: env!("CARGO_PKG_VERSION"),
        },
        title: &document.title,
        language: &document.language,
        revision: &document.revision,
        date: &document.date,
        not_proved: document.not_proved.as_deref(),
        plan: plan::plan(&context),
        walk: machine::walk(&context),
        reckonings: reckonings::reckonings(&context),
        findings: told::standing(&context),
        accepted: told::accepted(&context),
    };
    let mut files = vec![
        ("plan.json".to_owned(), lines::written(&whole)),
        ("mass-account.csv".to_owned(), tables::mass_account(&context)),
        ("torque-table.csv".to_owned(), tables::torques(&context)),
    ];
    files.extend(money::account(&context).map(|bytes| ("money-account.csv".to_owned(), bytes)));
    DataSet { files }
}
