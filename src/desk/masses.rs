//! `masses`: the mass account on a terminal: what was weighed, what is off and on, each swap, the target, the wheels. The page comes from
//! the binder; here it is fitted to the terminal.

use super::command_line::Masses;
use super::lint::compiled;
use super::numbers::{kept, step_named};
use super::state::unwalked;
use super::surroundings::{Surroundings, today};
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::binder::{Wanted, masses_page};
use crate::press::terminal::{visible, wrapped};

pub(super) fn masses(asked: &Masses, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let done = done?;
    let compilation = done.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let kept = kept(&asked.numbers.binder, &compilation.plan, &done.name);
    let numbers = kept.numbers(&compilation.plan);
    let step = asked
        .after
        .as_deref()
        .map(|name| step_named(&compilation.plan, &numbers, name))
        .transpose()?;
    let wanted = Wanted {
        kept,
        ..Wanted::printed(today())
    };
    let columns = around.columns();
    let mut text = String::new();
    for line in masses_page::lines(&compilation, &wanted, step, columns) {
        for part in fitted(&line, columns) {
            text.push_str(&part);
            text.push('\n');
        }
    }
    talk::show(&text)
}

/// A line as it is where it fits; else in pieces that begin where its text does.
fn fitted(line: &str, columns: usize) -> Vec<String> {
    let shown = visible(line);
    if shown.chars().count() <= columns {
        return vec![shown.trim_end().to_owned()];
    }
    let indent = shown.chars().take_while(|c| *c == ' ').count().min(columns / 3);
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    let space = " ".repeat(indent);
    wrapped(&words, columns.saturating_sub(indent + 2).max(1), 0)
        .into_iter()
        .enumerate()
        .map(|(nth, part)| {
            if nth == 0 {
                format!("{space}{part}")
            } else {
                format!("{space}  {part}")
            }
        })
        .map(|part| part.chars().take(columns).collect())
        .collect()
}
