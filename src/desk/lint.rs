//! `lint`: reads plans, compiles them, shows what was found.

use std::collections::BTreeSet;

use super::command_line::{Lint, Shape};
use super::folder::{self, PlanFiles};
use super::mend::mend;
use super::pictures::FolderPictures;
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::base::finding::Severity;
use crate::compile::{self, Compilation, compile, workshop_named};
use crate::plan::model::{Id, Plan, Swap};
use crate::plan::swaps::{Belonging, with_dependants};
use crate::press::findings_json::{Checked, json, sarif};
use crate::press::terminal::findings;
use crate::rules::nearest;

/// A plan that was read and compiled.
pub(super) struct Compiled {
    pub(super) compilation: Compilation,
    pub(super) reached: Vec<String>,
    /// What its files may be called where the plan itself has no name.
    pub(super) name: String,
}

pub(super) fn lint(asked: &Lint, around: &Surroundings) -> Result<Outcome, Trouble> {
    if let Some(how) = asked.mend {
        return mend(asked, how, around);
    }
    let progress = Progress::new(around);
    let compiled = folder::each_plan(&asked.paths)
        .iter()
        .map(|path| {
            let mut done = compiled(path, &progress)?;
            let added = left_out(&mut done.compilation, &asked.without)?;
            Ok((done, added))
        })
        .collect::<Result<Vec<_>, _>>();
    progress.done();
    let (compiled, added): (Vec<Compiled>, Vec<Vec<String>>) = compiled?.into_iter().unzip();
    for added in added.iter().filter(|added| !added.is_empty()) {
        let (goes, need) = match added.as_slice() {
            [_] => ("goes", "needs"),
            _ => ("go", "need"),
        };
        let names = added.join(", ");
        talk::sentence(&format!("With it {goes} {names}, which {need} it."), around);
    }
    let text = match asked.findings {
        Shape::Text => {
            let all: Vec<&Compilation> = compiled.iter().map(|done| &done.compilation).collect();
            findings(&all, around.look(asked.all))
        }
        Shape::Json => json(&checked(&compiled)),
        Shape::Sarif => sarif(&checked(&compiled)),
    };
    talk::show(&text)?;
    Ok(outcome(
        compiled.iter().map(|done| &done.compilation),
        asked.stop_at.severity(),
    ))
}

/// Takes swaps out of a plan, and gives the names of those that go with them, since they need them.
fn left_out(done: &mut Compilation, names: &[String]) -> Result<Vec<String>, Trouble> {
    if names.is_empty() {
        return Ok(Vec::new());
    }
    let plan = &done.plan;
    if done.unwalked {
        return Err(super::state::unwalked());
    }
    let asked = swaps_named(plan, names)?;
    let belonging = Belonging::of(plan);
    let all = with_dependants(plan, &asked);
    for &swap in &all {
        let called = |swap: Id<Swap>| plan.swaps.get(swap).map_or("", |swap| &*swap.head.name);
        if let Some(&step) = belonging.begun(plan, swap).first() {
            let step = plan.steps.get(step).map_or("", |step| &*step.head.name);
            return Err(Trouble::new(format!(
                "{} cannot be left out: by the log its step {step} is over, and what is done stays done.",
                called(swap)
            )));
        }
    }
    let added = all.difference(&asked).filter_map(|swap| plan.swaps.get(*swap));
    let added = added.map(|swap| swap.head.name.to_string()).collect();
    let all: BTreeSet<Id<Swap>> = all.union(&plan.left_out.swaps).copied().collect();
    *done = compile::without(done, &all);
    Ok(added)
}

/// The swaps of these names.
pub(super) fn swaps_named(plan: &Plan, names: &[String]) -> Result<BTreeSet<Id<Swap>>, Trouble> {
    names
        .iter()
        .map(|name| {
            let name = name.trim();
            let found = plan.swaps.iter().find(|(_, swap)| &*swap.head.name == name);
            found.map(|(id, _)| id).ok_or_else(|| {
                let near = nearest(name, plan.swaps.values().map(|swap| &*swap.head.name));
                let none = if plan.swaps.is_empty() {
                    " It has no swaps."
                } else {
                    ""
                };
                Trouble::new(format!(
                    "No swap of the plan is called {name}.{none}{}",
                    super::state::perhaps(&near)
                ))
            })
        })
        .collect()
}

/// Reads and compiles one plan.
pub(super) fn compiled(path: &std::path::Path, progress: &Progress) -> Result<Compiled, Trouble> {
    progress.now(&format!("Reading {}", path.display()));
    let mut files = folder::read(path, &|sources| workshop_named(sources))?;
    let pictures = FolderPictures::new(&files);
    let sources = std::mem::take(&mut files.sources);
    progress.now(&format!("Checking {}", path.display()));
    let PlanFiles { reached, name, .. } = files;
    Ok(Compiled {
        compilation: compile(sources, &pictures),
        reached,
        name,
    })
}

fn checked(compiled: &[Compiled]) -> Vec<Checked<'_>> {
    compiled
        .iter()
        .map(|done| Checked {
            compilation: &done.compilation,
            reached: &done.reached,
        })
        .collect()
}

/// Whether findings stand at or above a severity.
pub(super) fn outcome<'a>(compilations: impl Iterator<Item = &'a Compilation>, least: Severity) -> Outcome {
    let stands = compilations
        .flat_map(|done| &done.findings)
        .any(|finding| finding.severity >= least);
    if stands { Outcome::Findings } else { Outcome::Clean }
}
