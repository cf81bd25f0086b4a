//! `tidy`: a plan's files in their one layout. Shows the difference or writes it, all files or none.

use std::path::Path;

use super::command_line::Tidy;
use super::folder::{self, ENDING};
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::write::{Rewrite, rewrite};
use super::{Outcome, Trouble};
use crate::base::source::{Source, SourceId};
use crate::enter::edits::{Edit, diff_of};
use crate::press::terminal::visible;
use crate::syntax::grammar::parse;
use crate::syntax::tidy::{edits, tidied};

pub(super) fn tidy(asked: &Tidy, around: &Surroundings) -> Result<Outcome, Trouble> {
    let is_input = asked.path == Path::new("-");
    let ends = asked.path.extension().is_some_and(|ending| ending == ENDING);
    if asked.path.is_file() && !ends {
        return Err(Trouble::new(format!(
            "{0} does not end in .{ENDING}, and other texts are laid out otherwise. Nothing was written. If it is a plan, \
             `boltfolio tidy - < {0}` shows it tidy.",
            asked.path.display()
        )));
    }
    let progress = Progress::new(around);
    progress.now(&format!("Reading {}", asked.path.display()));
    // The workshop's files are tidied for themselves.
    let files = folder::read(&asked.path, &|_| None);
    progress.done();
    let files = files?;
    let broken = files
        .sources
        .iter()
        .zip(&files.reached)
        .find(|(source, _)| source.broken().is_some());
    if let Some((source, reached)) = broken {
        return Err(Trouble::new(format!(
            "{reached}:{} is not UTF-8, and its letters cannot be told. Save the file as UTF-8. Nothing was written.",
            source.line_of(u32::MAX) + 1
        )));
    }
    let changed: Vec<(usize, &Source, String)> = files
        .sources
        .iter()
        .enumerate()
        .map(|(nth, source)| (nth, source, tidied(source.text())))
        .filter(|(_, source, new)| source.text() != new)
        .collect();
    if asked.dry_run {
        let mut shown = String::new();
        for (nth, source, _) in &changed {
            let called = files.reached.get(*nth).map_or(source.path(), String::as_str);
            shown.push_str(&difference(called, source));
        }
        talk::show(&shown)?;
        return Ok(if changed.is_empty() {
            Outcome::Clean
        } else {
            Outcome::Findings
        });
    }
    if is_input {
        let text: String = files
            .sources
            .iter()
            .map(|source| marked(source, &tidied(source.text())))
            .collect();
        return talk::show(&text);
    }
    let mut written = Vec::new();
    for (nth, source, new) in &changed {
        let Some(path) = files.disk.get(*nth).cloned().flatten() else {
            return Err(Trouble::new(
                "A file of the plan is not on this disk. Nothing was written.",
            ));
        };
        written.push(Rewrite {
            path,
            old: Some(marked(source, source.text()).into_bytes()),
            new: marked(source, new).into_bytes(),
        });
    }
    rewrite(&written)?;
    let names: Vec<String> = written
        .iter()
        .map(|one| visible(&one.path.to_string_lossy()))
        .collect();
    let said = match names.as_slice() {
        [] => "Tidy already; nothing changed.".to_owned(),
        names => format!("Tidied: {}", names.join(", ")),
    };
    talk::show(&format!("{said}\n"))
}

/// The text with the mark of the byte order that stood before it.
fn marked(source: &Source, text: &str) -> String {
    let mark = if source.is_marked() { "\u{feff}" } else { "" };
    format!("{mark}{text}")
}

/// By the path that leads there from where the command was given.
fn difference(called: &str, source: &Source) -> String {
    let edits: Vec<Edit> = edits(SourceId(0), source.text(), &parse(source.text()))
        .into_iter()
        .map(|edit| Edit::new(edit.span, edit.text))
        .collect();
    let named = Source::new(called, source.text(), false);
    let mut shown = String::new();
    for line in diff_of(&named, &edits.iter().collect::<Vec<_>>()).lines() {
        shown.push_str(&visible(line));
        shown.push('\n');
    }
    shown
}
