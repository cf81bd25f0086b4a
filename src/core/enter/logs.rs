//! Where a log goes: into the log of the same steps where that says the same day, else behind the last log. Its text stays as it was given, but
//! for the paper's numbers and letters, which become names and the act's own words.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::edits::{self, Inserted};
use super::given::Given;
use super::tokens::{Words, words};
use super::{Desk, Entered, Refused, Standing};
use crate::base::source::{Source, SourceId, Span};
use crate::binder::letters;
use crate::plan::model::{Id, Log, Step};
use crate::syntax::shapes::{BlockKind, Often, of_block};
use crate::syntax::tree::{Block, Statement, TokenKind, Tree};

/// Statements of which a log has one, and which say when it was: two that differ are two logs.
const WHEN: &[&str] = &["done", "stopped", "skipped"];

/// A piece of what was given, and what stands there instead.
type Changed = (u32, u32, String);

/// The steps of a header, where all are known; and its numbers as names.
type Named = (Option<BTreeSet<Id<Step>>>, Vec<Changed>);

impl Desk<'_> {
    pub(super) fn log(&self, given: &Given<'_>, block: Block, entered: &mut Entered) -> Result<(), Refused> {
        let Some((header, body)) = given.tree.statements(block).split_first() else {
            return Ok(());
        };
        let head = given.words(header);
        let (steps, mut changed) = self.steps(given, header, &head, entered)?;
        for statement in body.iter().filter(|statement| !statement.is_note) {
            let own = given.words(statement);
            if own.begins("stopped") {
                changed.extend(self.stopped(given, statement, &own, steps.as_ref(), entered)?);
            }
        }
        let changed_text = |from: u32, to: u32| with_changes(given, from, to, &changed);
        let told: Vec<(String, &Statement)> = body
            .iter()
            .map(|statement| (key_of(&changed_text(statement.start, statement.end)), statement))
            .collect();

        let others = steps.as_ref().map_or_else(Vec::new, |steps| self.logs_of(steps));
        let there: BTreeSet<String> = others.iter().flat_map(|log| log.keys()).collect();
        let missing: Vec<&(String, &Statement)> =
            told.iter().filter(|(key, _)| !there.contains(key)).collect();
        let first = others.first().map(|log| self.place(log.at()));
        if let Some(place) = first.filter(|_| missing.is_empty()) {
            let shown = given.slice(header.start, header.end);
            entered
                .said
                .push(format!("`{}` stands there already, at {place}.", shown.trim()));
            return Ok(());
        }
        // In one that says the same day, or where no day is said, and only lines that go there by themselves.
        let same_time = |log: &OneLog<'_>| {
            let known = log.keys();
            told.iter().all(|(key, _)| {
                let word = key.split(' ').next().unwrap_or_default();
                let when = WHEN.contains(&word) && !key.starts_with("done differently");
                !when || known.contains(key) || !log.says_when()
            }) && missing.iter().all(|(key, _)| !log.says_once(key))
        };
        let bare = missing.iter().all(|(_, statement)| !statement.is_note);
        let mut same = others.iter().filter(|log| same_time(log));
        if let (Some(log), None, true) = (same.next(), same.next(), bare) {
            let place = self.place(log.at());
            let comments = given.comments(block);
            if !comments.is_empty() {
                entered.said.push(format!(
                    "What is a comment of the entry stays there, for its lines go into the log at {place}: {}",
                    comments.join(" ")
                ));
            }
            let count = told.len() - missing.len();
            if count > 0 {
                let (lines, stand) = if count == 1 {
                    ("line", "stands")
                } else {
                    ("lines", "stand")
                };
                entered.said.push(format!(
                    "{count} {lines} of it {stand} there already, at {place}."
                ));
            }
            for (_, statement) in missing {
                let text = changed_text(statement.start, statement.end);
                self.add_line(log.file, log.source, log.tree, log.block, &text, entered)
                    .map_err(|why| format!("{}: {why}", given.place(statement)))?;
            }
            return Ok(());
        }
        let (from, to) = given.block_range(block);
        let text = changed_text(from, to);
        let text = text.trim_matches(['\r', '\n']);
        if entered.change.adds(text) {
            entered
                .said
                .push(format!("`{}` is given twice.", super::first_line(text)));
            return Ok(());
        }
        match self.last_log() {
            Some(last) => {
                let at = edits::behind(last.file, last.tree.span(last.source, last.block));
                entered
                    .change
                    .insert(Inserted::block(last.source, last.file, at, text, false));
            }
            None => self.at_the_end(text, entered)?,
        }
        Ok(())
    }

    /// The steps that a header names, where all are known; and its numbers as names.
    fn steps(
        &self,
        given: &Given<'_>,
        header: &Statement,
        head: &Words<'_>,
        entered: &mut Entered,
    ) -> Result<Named, Refused> {
        let mut changed = Vec::new();
        let mut named: Vec<(Option<Id<Step>>, bool)> = Vec::new();
        let mut to = false;
        let mut at = 1;
        while at < head.all.len() {
            let end = head.glued_end(at);
            let word = head.glued(at);
            match head.kind(at) {
                Some(TokenKind::Comma) => {}
                Some(TokenKind::Number) => {
                    let (step, name) = self.step_numbered(given, header, &word, entered)?;
                    changed.extend(changed_at(head, at, end, &name));
                    named.push((Some(step), std::mem::take(&mut to)));
                }
                _ if word == "to" => to = true,
                _ => named.push((self.step_named(&word), std::mem::take(&mut to))),
            }
            at = end;
        }
        Ok((self.range(&named), changed))
    }

    /// All of them, ranges filled in; none where one is unknown.
    fn range(&self, named: &[(Option<Id<Step>>, bool)]) -> Option<BTreeSet<Id<Step>>> {
        let place = |step: Id<Step>| self.plan.order.iter().position(|&other| other == step);
        let mut all = BTreeSet::new();
        let mut last: Option<Id<Step>> = None;
        for &(step, to) in named {
            let step = step?;
            all.insert(step);
            if to {
                let (from, to) = (place(last?)?, place(step)?);
                let between = self.plan.order.get(from.min(to)..=from.max(to));
                all.extend(between.unwrap_or_default().iter().copied());
            }
            last = Some(step);
        }
        (!all.is_empty()).then_some(all)
    }

    fn step_named(&self, name: &str) -> Option<Id<Step>> {
        let steps = self.plan.steps.iter();
        let mut found = steps.filter(|(_, step)| &*step.head.name == name);
        found.next().map(|(id, _)| id)
    }

    /// The step that a number on paper means, and its name.
    fn step_numbered(
        &self,
        given: &Given<'_>,
        statement: &Statement,
        number: &str,
        entered: &mut Entered,
    ) -> Result<(Id<Step>, String), Refused> {
        let mut found = self
            .numbers
            .iter()
            .filter(|(_, known)| known.as_str() == number)
            .map(|(&step, _)| step);
        let place = given.place(statement);
        match (found.next(), found.next()) {
            (Some(step), None) => {
                let name = self.plan.steps[step].head.name.to_string();
                let kept = &self.paper.kept.steps;
                let by = if kept.is_empty() {
                    format!("as the plan stands today, for {}", self.paper.called)
                } else if kept.contains_key(&name) {
                    format!("by {}", self.paper.called)
                } else {
                    format!("as the plan stands today: {} does not have it", self.paper.called)
                };
                let said = format!("{number} is `{name}`, {by}.");
                if !entered.said.contains(&said) {
                    entered.said.push(said);
                }
                Ok((step, name))
            }
            (Some(one), Some(other)) => {
                let name = |step: Id<Step>| &self.plan.steps[step].head.name;
                Err(format!(
                    "{place}: {number} may be `{}` or `{}`. Write the step's name.",
                    name(one),
                    name(other)
                ))
            }
            (None, _) => {
                let mut gone = self.paper.kept.steps.iter().filter(|(_, known)| *known == number);
                Err(match gone.next() {
                    Some((name, _)) => format!(
                        "{place}: {number} is `{name}` by {}, and the plan has no such step any more. Write the name that it has now.",
                        self.paper.called
                    ),
                    None if self.paper.kept.steps.is_empty() => format!(
                        "{place}: no step of the plan has the number {number} today, and {}. Write the step's name, or name the folder of \
                         your print with --binder.",
                        self.paper.called
                    ),
                    None => format!(
                        "{place}: no step has the number {number} by {}. Write the step's name.",
                        self.paper.called
                    ),
                })
            }
        }
    }

    /// `after 3.20` with the step's name, `at act d` with the act's own words.
    fn stopped(
        &self,
        given: &Given<'_>,
        statement: &Statement,
        own: &Words<'_>,
        steps: Option<&BTreeSet<Id<Step>>>,
        entered: &mut Entered,
    ) -> Result<Vec<Changed>, Refused> {
        let Some(word) = own.all.iter().position(|word| matches!(word.1, "after" | "at")) else {
            return Ok(Vec::new());
        };
        let end = own.glued_end(word + 1);
        if own.text(word) == "after" {
            if own.kind(word + 1) != Some(TokenKind::Number) {
                return Ok(Vec::new());
            }
            let number = own.glued(word + 1);
            let (_, name) = self.step_numbered(given, statement, &number, entered)?;
            return Ok(changed_at(own, word + 1, end, &name).into_iter().collect());
        }
        if own.text(word + 1) != "act" {
            return Ok(Vec::new());
        }
        let letter = own.glued(word + 2);
        let end = own.glued_end(word + 2);
        let mut one = steps.into_iter().flatten();
        let (Some(&step), None) = (one.next(), one.next()) else {
            return Ok(Vec::new());
        };
        let place = given.place(statement);
        let name = &self.plan.steps[step].head.name;
        let words = letters::words_of(self.done, self.paper.kept, step, &letter)
            .map_err(|why| format!("{place}: {}", why.told(name, self.paper.called)))?;
        let by = if self.paper.kept.letters.contains_key(&**name) {
            format!("by {}", self.paper.called)
        } else {
            "as its card would be printed today".to_owned()
        };
        entered
            .said
            .push(format!("Act {letter} of `{name}` is: {words}, {by}."));
        Ok(changed_at(own, word + 1, end, &words).into_iter().collect())
    }

    /// The logs of exactly these steps.
    fn logs_of(&self, steps: &BTreeSet<Id<Step>>) -> Vec<OneLog<'_>> {
        let of_steps = |log: &&Log| log.steps.iter().copied().collect::<BTreeSet<_>>() == *steps;
        let logs: Vec<&Log> = self.plan.logs.iter().filter(of_steps).collect();
        if logs.is_empty() {
            return Vec::new();
        }
        self.blocks()
            .filter(|(source, _, tree, block)| {
                let at = tree.span(*source, *block);
                logs.iter()
                    .any(|log| log.at.source == at.source && log.at.start == at.start)
            })
            .map(|(source, file, tree, block)| OneLog {
                source,
                file,
                tree,
                block,
            })
            .collect()
    }

    /// The log of the last day, of several the one that stands last.
    fn last_log(&self) -> Option<OneLog<'_>> {
        let mut last: Option<(String, OneLog<'_>)> = None;
        for (source, file, tree, block) in self.blocks() {
            let Some((header, body)) = tree.statements(block).split_first() else {
                continue;
            };
            if words(source, file.text(), tree, header).text(0) != BlockKind::Log.word() {
                continue;
            }
            let dates = body.iter().flat_map(|statement| {
                let own = words(source, file.text(), tree, statement);
                let dates = own.all.into_iter().filter(|word| word.0 == TokenKind::Date);
                dates.map(|word| word.1.to_owned()).take(1)
            });
            let day = dates.max().unwrap_or_default();
            if last.as_ref().is_none_or(|(known, _)| *known <= day) {
                let log = OneLog {
                    source,
                    file,
                    tree,
                    block,
                };
                last = Some((day, log));
            }
        }
        last.map(|(_, log)| log)
    }
}

/// A log of the plan.
struct OneLog<'a> {
    source: SourceId,
    file: &'a Source,
    tree: &'a Tree,
    block: Block,
}

impl OneLog<'_> {
    fn at(&self) -> Span {
        self.tree.span(self.source, self.block)
    }

    fn body(&self) -> impl Iterator<Item = Standing<'_>> {
        let below = self.tree.statements(self.block).get(1..).unwrap_or_default();
        below.iter().map(|statement| Standing {
            source: self.source,
            file: self.file,
            tree: self.tree,
            block: self.block,
            statement,
        })
    }

    fn keys(&self) -> Vec<String> {
        self.body()
            .map(|standing| {
                let statement = standing.statement;
                key_of(self.file.slice(statement.start, statement.end))
            })
            .collect()
    }

    /// Whether it says when it was.
    fn says_when(&self) -> bool {
        let when = |standing: Standing<'_>| {
            let own = standing.words();
            WHEN.iter().any(|word| own.begins(word)) && !own.begins("done differently")
        };
        self.body().any(when)
    }

    /// Whether it has a statement of which there may be one, and this is another.
    fn says_once(&self, key: &str) -> bool {
        let words: Vec<&str> = key.split(' ').collect();
        let begins = |keyword: &str| {
            keyword
                .split(' ')
                .enumerate()
                .all(|(at, word)| words.get(at) == Some(&word))
        };
        let shape = of_block(BlockKind::Log)
            .filter(|shape| begins(shape.words))
            .max_by_key(|shape| shape.words.len());
        shape
            .filter(|shape| shape.often == Often::Once)
            .is_some_and(|shape| self.body().any(|standing| standing.words().begins(shape.words)))
    }
}

/// A statement by its words alone; where gaps and comments stand counts for nothing.
fn key_of(text: &str) -> String {
    let whole = format!("log\n {text}");
    let tree = crate::syntax::grammar::parse(&whole);
    let below = tree.blocks().first().map(|&block| tree.statements(block));
    let statement = below.and_then(|statements| statements.get(1));
    statement.map_or_else(
        || text.trim().to_owned(),
        |statement| {
            let own = words(SourceId(0), &whole, &tree, statement);
            let texts: Vec<&str> = own.all.iter().map(|word| word.1.trim()).collect();
            let note = if statement.is_note { "note " } else { "" };
            format!("{note}{}", texts.join(" "))
        },
    )
}

fn changed_at(own: &Words<'_>, from: usize, to: usize, text: &str) -> Option<Changed> {
    let (first, last) = (own.all.get(from)?, own.all.get(to.checked_sub(1)?)?);
    Some((first.2.start, last.2.end, text.to_owned()))
}

/// A stretch of what was given, its changes made.
fn with_changes(given: &Given<'_>, from: u32, to: u32, changed: &[Changed]) -> String {
    let mut text = String::new();
    let mut at = from;
    for (start, end, new) in changed
        .iter()
        .filter(|(start, end, _)| *start >= from && *end <= to)
    {
        text.push_str(given.slice(at, *start));
        text.push_str(new);
        at = *end;
    }
    text.push_str(given.slice(at, to));
    text
}
