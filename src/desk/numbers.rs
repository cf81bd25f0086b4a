//! The numbers that steps have on paper: those of the print that lies in an output folder, else those that they would be printed with.

use std::collections::BTreeMap;
use std::path::Path;

use super::Trouble;
use super::state::perhaps;
use crate::binder::kept::Kept;
use crate::plan::model::{Id, Plan, Step};
use crate::rules::nearest;

/// Longest file of numbers that is read.
const LONGEST: u64 = 16 << 20;

/// What the print before left in the output folder; nothing where there is none that can be read. `name` is what the plan's files are
/// called where the plan has no name.
pub(super) fn kept(to: &Path, plan: &Plan, name: &str) -> Kept {
    let name = file_name(plan, name);
    let path = to.join(format!("{name}.numbers"));
    let short = std::fs::metadata(&path).is_ok_and(|about| about.is_file() && about.len() <= LONGEST);
    let text = if short {
        std::fs::read_to_string(&path).ok()
    } else {
        None
    };
    text.map_or_else(Kept::default, |text| Kept::read(&text).renamed(plan))
}

/// What the files of a plan's binder are called.
pub(super) fn file_name<'a>(plan: &'a Plan, name: &'a str) -> &'a str {
    plan.about.as_deref().map_or(name, |about| &about.head.name)
}

/// The step of this name, or of this number.
pub(super) fn step_named(
    plan: &Plan,
    numbers: &BTreeMap<Id<Step>, String>,
    name: &str,
) -> Result<Id<Step>, Trouble> {
    if name.trim().is_empty() {
        return Err(Trouble::new(
            "Nothing was given: write a step's name or number.".to_owned(),
        ));
    }
    let called = |step: &Id<Step>| plan.steps.get(*step).map_or("", |step| &*step.head.name);
    let found = plan
        .order
        .iter()
        .copied()
        .find(|step| called(step) == name || numbers.get(step).is_some_and(|number| number == name));
    found.ok_or_else(|| {
        let near = nearest(name, plan.order.iter().map(called));
        Trouble::new(format!("No step of the plan is called {name}.{}", perhaps(&near)))
    })
}
