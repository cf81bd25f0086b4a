//! `lint`: reads plans, compiles them, shows what was found.

use super::command_line::{Lint, Shape};
use super::folder::{self, PlanFiles};
use super::pictures::FolderPictures;
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::base::finding::Severity;
use crate::compile::{Compilation, compile, workshop_named};
use crate::press::findings_json::{Checked, json, sarif};
use crate::press::terminal::findings;

/// A plan that was read and compiled.
pub(super) struct Compiled {
    pub(super) compilation: Compilation,
    pub(super) reached: Vec<String>,
    /// What its files may be called where the plan itself has no name.
    pub(super) name: String,
}

pub(super) fn lint(asked: &Lint, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let compiled = asked
        .paths
        .iter()
        .map(|path| compiled(path, &progress))
        .collect::<Result<Vec<_>, _>>();
    progress.done();
    let compiled = compiled?;
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
