//! `enter`: what was done, read and found goes into the plan's own files. Shows the change and what it brings to light, asks where somebody
//! can answer, and writes all of it or nothing.

use std::io::{BufRead, Read, Write};
use std::path::{Path, PathBuf};

use super::command_line::Enter;
use super::folder::{self, PlanFiles};
use super::numbers::kept;
use super::pictures::FolderPictures;
use super::surroundings::{Surroundings, today};
use super::talk::{self, Progress, reason};
use super::write::{Rewrite, rewrite};
use super::{Outcome, Trouble};
use crate::base::finding::Severity;
use crate::base::source::SourceId;
use crate::compile::{Compilation, compile, compile_with_trees, workshop_named};
use crate::enter::edits::Change;
use crate::enter::{Entry, Paper, enter as worked_out, news};
use crate::press::terminal::{findings, visible, wrapped};

/// Longest text that is entered at once.
const LONGEST: u64 = 16 << 20;

pub(super) fn enter(asked: &Enter, around: &Surroundings) -> Result<Outcome, Trouble> {
    if asked.path == Path::new("-") {
        return Err(Trouble::new(
            "What is read from standard input cannot be written to. Name the plan's folder or file.",
        ));
    }
    let entries = entries(asked)?;
    let progress = Progress::new(around);
    progress.now(&format!("Reading {}", asked.path.display()));
    let files = folder::read(&asked.path, &|sources| workshop_named(sources));
    let mut files = files.inspect_err(|_| progress.done())?;
    let pictures = FolderPictures::new(&files);
    let (before, trees) = compile_with_trees(std::mem::take(&mut files.sources), &pictures);
    let kept = kept(&asked.numbers.binder, &before.plan, &files.name);
    let called = if kept.steps.is_empty() {
        format!("no print lies in {}", asked.numbers.binder.display())
    } else {
        format!("the print in {}", asked.numbers.binder.display())
    };
    let paper = Paper {
        kept: &kept,
        called: &called,
    };
    let entered = worked_out(&before, &trees, &entries, paper);
    let entered = entered.map_err(|why| {
        progress.done();
        Trouble::new(format!("{}\nNothing was written.", sentence_of(&why)))
    })?;
    let change = &entered.change;
    let after = compile(change.sources(&before.sources), &pictures);
    progress.done();

    let new = news::new_findings(&before, &after);
    let unread = news::unread(&new);
    if !unread.is_empty() {
        talk::aside(&findings(
            &[&news::only(&after, unread)],
            around.error_look(asked.all),
        ));
        return Err(Trouble::new(
            "Nothing was written. The lines are numbered as they would stand in the plan.",
        ));
    }
    let mut text = String::new();
    for sentence in entered
        .said
        .iter()
        .map(|said| sentence_of(said))
        .chain(in_future(&after, &before))
    {
        paragraph(&mut text, &sentence, around);
    }
    if change.is_empty() {
        paragraph(
            &mut text,
            "Nothing is changed: all of it stands there already.",
            around,
        );
        return talk::show(&text);
    }
    for line in change.diff(&before.sources).lines() {
        text.push_str(&visible(line));
        text.push('\n');
    }
    text.push('\n');
    let gone = news::new_findings(&after, &before);
    let outcome = if new.iter().any(|finding| finding.severity == Severity::Fault) {
        Outcome::Findings
    } else {
        Outcome::Clean
    };
    if new.is_empty() {
        paragraph(&mut text, "Nothing new is found.", around);
    } else {
        paragraph(&mut text, "New in the findings:", around);
        text.push_str(&findings(&[&news::only(&after, new)], around.look(asked.all)));
    }
    for finding in gone {
        let told = format!("No longer found: {}: {}", finding.rule.name, finding.what);
        paragraph(&mut text, &told, around);
    }
    talk::show(&text)?;
    if asked.dry_run {
        say("Nothing was written: --dry-run only shows.", around)?;
        return Ok(outcome);
    }
    if !asked.yes && around.can_ask() && !agreed()? {
        say("Nothing was written.", around)?;
        return Ok(Outcome::Clean);
    }
    let written = rewrites(change, &before, &files)?;
    rewrite(&written)?;
    let names: Vec<String> = written.iter().map(|one| one.path.display().to_string()).collect();
    say(&format!("Written: {}", names.join(", ")), around)?;
    Ok(outcome)
}

pub(super) fn say(sentence: &str, around: &Surroundings) -> Result<Outcome, Trouble> {
    let mut text = String::new();
    paragraph(&mut text, sentence, around);
    talk::show(&text)
}

pub(super) fn paragraph(text: &mut String, sentence: &str, around: &Surroundings) {
    for line in wrapped(&visible(sentence), around.columns(), 0) {
        text.push_str(&line);
        text.push('\n');
    }
}

/// Ended as a sentence is, but for what is to be typed.
fn sentence_of(text: &str) -> String {
    let ended = text.ends_with(['.', '?', '"']);
    let command = text.rsplit_once(": ").is_some_and(|(_, last)| last.contains(';'));
    if ended || command {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// The arguments, then the files, each in their order.
fn entries(asked: &Enter) -> Result<Vec<Entry>, Trouble> {
    let several = asked.blocks.len() > 1;
    let mut all: Vec<Entry> = asked
        .blocks
        .iter()
        .enumerate()
        .map(|(nth, text)| Entry {
            text: text.clone(),
            called: if several {
                format!("Entry {}", nth + 1)
            } else {
                "The entry".to_owned()
            },
        })
        .collect();
    for path in &asked.from {
        let (bytes, called) = if path == Path::new("-") {
            (
                bytes_of(&mut std::io::stdin().lock(), "standard input")?,
                "standard input".to_owned(),
            )
        } else {
            let called = path.display().to_string();
            let mut file = std::fs::File::open(path)
                .map_err(|error| Trouble::new(format!("{called} cannot be read: {}.", reason(&error))))?;
            (bytes_of(&mut file, &called)?, called)
        };
        let text = String::from_utf8(bytes).map_err(|error| {
            let good = error.utf8_error().valid_up_to();
            let line = error.as_bytes().iter().take(good).filter(|byte| **byte == b'\n').count() + 1;
            Trouble::new(format!(
                "{called}:{line} is not UTF-8, and its letters cannot be told. Save the file as UTF-8. Nothing was written."
            ))
        })?;
        let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned();
        all.push(Entry { text, called });
    }
    Ok(all)
}

fn bytes_of(from: &mut dyn Read, called: &str) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    from.take(LONGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Trouble::new(format!("{called} cannot be read: {}.", reason(&error))))?;
    if bytes.len() as u64 > LONGEST {
        return Err(Trouble::new(format!(
            "{called} is too large: 16 MiB are entered at once. Is it what was done? Nothing was written."
        )));
    }
    Ok(bytes)
}

/// A day that has not come yet, of what the entry says was done.
fn in_future(after: &Compilation, before: &Compilation) -> Vec<String> {
    let now = today();
    let days = |done: &Compilation| -> Vec<_> {
        let logs = done.plan.logs.iter();
        logs.filter_map(|log| log.done).map(|said| said.value).collect()
    };
    let known = days(before);
    let mut future: Vec<_> = days(after)
        .into_iter()
        .filter(|day| *day > now && !known.contains(day))
        .collect();
    future.sort_unstable();
    future.dedup();
    future
        .into_iter()
        .map(|day| format!("{day} has not come yet: today is {now}. Correct the day if it is mistyped."))
        .collect()
}

/// Whether the person at the terminal says yes.
pub(super) fn agreed() -> Result<bool, Trouble> {
    let told = |error: std::io::Error| Trouble::new(format!("No answer can be read: {}.", reason(&error)));
    let mut out = std::io::stdout().lock();
    out.write_all(b"Write this? (y or n) ")
        .and_then(|()| out.flush())
        .map_err(told)?;
    let mut answer = String::new();
    std::io::stdin().lock().read_line(&mut answer).map_err(told)?;
    let answer = answer.trim().to_lowercase();
    Ok(answer == "y" || answer == "yes")
}

/// Each file with what it held when it was read; a mark of the byte order that stood there stays.
pub(super) fn rewrites(
    change: &Change,
    before: &Compilation,
    files: &PlanFiles,
) -> Result<Vec<Rewrite>, Trouble> {
    let mut all = Vec::new();
    for (id, text) in change.texts(&before.sources) {
        let Some((path, source)) = disk_of(files, id).zip(before.sources.get(id)) else {
            return Err(Trouble::new(
                "A file of the plan is not on this disk. Nothing was written.",
            ));
        };
        let mark = std::fs::read(&path).is_ok_and(|bytes| bytes.starts_with(MARK));
        let marked = |text: &str| {
            let mut bytes = if mark { MARK.to_vec() } else { Vec::new() };
            bytes.extend_from_slice(text.as_bytes());
            bytes
        };
        all.push(Rewrite {
            old: Some(marked(source.text())),
            new: marked(&text),
            path,
        });
    }
    if let Some((shown, text)) = change.new_file() {
        // Beside a file of the plan, whose place on the disk is known.
        let folder = |path: &str| {
            path.rsplit_once('/')
                .map_or(String::new(), |(folder, _)| folder.to_owned())
        };
        let beside = before
            .sources
            .iter()
            .find(|(id, source)| folder(source.path()) == folder(shown) && disk_of(files, *id).is_some());
        let place = beside.and_then(|(id, _)| disk_of(files, id));
        let Some(place) = place.as_deref().and_then(Path::parent) else {
            return Err(Trouble::new(
                "The plan's folder is not on this disk. Nothing was written.",
            ));
        };
        all.push(Rewrite {
            path: place.join(crate::enter::LOG_FILE),
            old: None,
            new: text.as_bytes().to_vec(),
        });
    }
    Ok(all)
}

/// The mark of the byte order that some editors put first.
const MARK: &[u8] = "\u{feff}".as_bytes();

fn disk_of(files: &PlanFiles, id: SourceId) -> Option<PathBuf> {
    files.disk.get(id.0 as usize).cloned().flatten()
}
