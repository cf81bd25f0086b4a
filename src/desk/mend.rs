//! `lint --mend`: applies the mends that need no choice. Shows the change first, asks where a person can answer, and writes all of a plan's
//! files or none. What is left says why.

use std::path::Path;

use super::command_line::{Lint, MendHow};
use super::enter::{agreed, paragraph, rewrites, say};
use super::folder;
use super::lint::outcome;
use super::pictures::FolderPictures;
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::write::rewrite;
use super::{Outcome, Trouble};
use crate::base::source::Sources;
use crate::compile::{Compilation, workshop_named};
use crate::editor::mending::{self, Why};
use crate::enter::edits::{Change, Edit};
use crate::press::terminal::visible;

/// Each plan by itself; findings that are left anywhere make the outcome.
pub(super) fn mend(asked: &Lint, how: MendHow, around: &Surroundings) -> Result<Outcome, Trouble> {
    let mut found = Outcome::Clean;
    for path in &folder::each_plan(&asked.paths) {
        if one(path, asked, how, around)? == Outcome::Findings {
            found = Outcome::Findings;
        }
    }
    Ok(found)
}

fn one(path: &Path, asked: &Lint, how: MendHow, around: &Surroundings) -> Result<Outcome, Trouble> {
    if path == Path::new("-") {
        return Err(Trouble::new(
            "What is read from standard input cannot be written to. Name the plan's folder or file.",
        ));
    }
    let progress = Progress::new(around);
    progress.now(&format!("Mending {}", path.display()));
    let files = folder::read(path, &|sources| workshop_named(sources));
    let files = files.inspect_err(|_| progress.done())?;
    let pictures = FolderPictures::new(&files);
    let mended = mending::mend(&files.sources, &pictures);
    progress.done();
    let left = outcome(std::iter::once(&mended.after), asked.stop_at.severity());

    let before = Compilation {
        sources: Sources::new(files.sources.clone()),
        ..Compilation::default()
    };
    let mut change = Change::default();
    let edits: Vec<Edit> = mended
        .edits
        .iter()
        .map(|edit| Edit::new(edit.span, edit.text.clone()))
        .collect();
    change.fill(&edits, "");
    let mut text = String::new();
    for line in change.diff(&before.sources).lines() {
        text.push_str(&visible(line));
        text.push('\n');
    }
    if !mended.done.is_empty() {
        text.push('\n');
        let head = match mended.done.len() {
            1 => "One finding is mended by this:".to_owned(),
            n => format!("{n} findings are mended by this:"),
        };
        paragraph(&mut text, &head, around);
        for finding in &mended.done {
            paragraph(
                &mut text,
                &format!("- {}: {}", finding.rule.name, finding.what),
                around,
            );
        }
    }
    if mended.left.is_empty() {
        paragraph(&mut text, "Nothing else is found.", around);
    } else {
        let head = match (mended.left.len(), mended.done.is_empty()) {
            (1, true) => "One finding, and it is left:".to_owned(),
            (n, true) => format!("{n} findings, and all are left:"),
            (1, false) => "One is left:".to_owned(),
            (n, false) => format!("{n} are left:"),
        };
        paragraph(&mut text, &head, around);
        for (finding, why) in told(&mended.left, around, asked.all) {
            let place = finding
                .place()
                .map(|at| mended.after.sources.place(at))
                .unwrap_or_default();
            let line = format!(
                "- {place} {}: {}; {}.",
                finding.rule.name,
                finding.what,
                why.words()
            );
            paragraph(&mut text, &line, around);
        }
    }
    talk::show(&text)?;
    if change.is_empty() {
        return Ok(left);
    }
    if how == MendHow::Ask {
        if !around.can_ask() {
            say(
                "Nothing was written: nobody can be asked here. `boltfolio lint --mend=all` writes without asking.",
                around,
            )?;
            return Ok(Outcome::Findings);
        }
        if !agreed()? {
            say("Nothing was written.", around)?;
            return Ok(Outcome::Findings);
        }
    }
    let written = rewrites(&change, &before, &files)?;
    rewrite(&written)?;
    let names: Vec<String> = written.iter().map(|one| one.path.display().to_string()).collect();
    say(&format!("Written: {}", names.join(", ")), around)?;
    Ok(left)
}

type Left<'a> = &'a (crate::base::finding::Finding, Why);

/// The first of many, as elsewhere.
fn told<'a>(
    left: &'a [(crate::base::finding::Finding, Why)],
    around: &Surroundings,
    all: bool,
) -> impl Iterator<Item = Left<'a>> {
    left.iter().take(around.look(all).most)
}
