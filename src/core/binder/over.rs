//! Steps that are over, by the log: their cards say so at the top, or are left to a line each where only what is to do is wanted; and a page of theirs on which
//! no act changed is not printed anew. Knows cards only as blocks.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them, and blocks by their places"
)]

use std::collections::BTreeMap;

use super::binding::Binding;
use super::document::{Block, Line, Section, TableRow};
use super::figures::duration;
use super::kept::{Kept, Print};
use super::tables::{cell, column, row, table, text};
use super::words::{run, strong};
use crate::plan::model::{Id, Step};

/// The steps that are over, by the proof keys of their cards.
fn over(binding: &Binding<'_>) -> BTreeMap<String, Id<Step>> {
    let progress = &binding.plan.progress;
    let all = progress.done.keys().chain(progress.skipped.keys());
    all.map(|&step| (binding.card_proof(step), step)).collect()
}

/// Pages of steps that are over stay as they were printed, unless an act of them changed since.
pub fn stay_as_printed(binding: &Binding<'_>, before: &Kept, now: &Kept, print: &mut Print) {
    for (card, step) in over(binding) {
        let name = &*binding.plan.steps[step].head.name;
        let key = binding.step_key(step);
        if before.letters.get(name) != now.letters.get(name) {
            continue;
        }
        for page in [card, format!("before/{key}")] {
            if let (Some(own), Some(was)) = (print.pages.get_mut(&page), before.now.pages.get(&page)) {
                own.clone_from(was);
            }
        }
    }
}

/// Says on each card of a step that is over when it was done; or leaves it to a line.
pub fn settle(binding: &Binding<'_>, sections: &mut [Section]) {
    let over = over(binding);
    if over.is_empty() {
        return;
    }
    for section in sections {
        let mut rows: Vec<TableRow> = Vec::new();
        let mut gone: Vec<bool> = vec![false; section.blocks.len()];
        let mut sheet: Option<usize> = None;
        for (at, block) in section.blocks.iter_mut().enumerate() {
            match block {
                // It stands before the card that it belongs to.
                Block::BeforeItMoves(_) => sheet = Some(at),
                Block::Card(card) => {
                    if let Some(&step) = over.get(&card.proof) {
                        let said = when(binding, step);
                        if binding.wanted.to_do {
                            rows.push(row(vec![
                                cell(vec![strong(card.number.clone())]),
                                text(card.title.clone()),
                                cell(said),
                            ]));
                            gone[at] = true;
                            if let Some(sheet) = sheet {
                                gone[sheet] = true;
                            }
                        } else {
                            let mut line = said;
                            if !card.who_and_time.is_empty() {
                                line.push(run(" · "));
                            }
                            line.append(&mut card.who_and_time);
                            card.who_and_time = line;
                        }
                    }
                    sheet = None;
                }
                _ => sheet = None,
            }
        }
        if rows.is_empty() {
            continue;
        }
        let mut left = gone.iter();
        section.blocks.retain(|_| left.next() != Some(&true));
        let columns = vec![column("Step", 14), column("What", 0), column("Over", 60)];
        section
            .blocks
            .insert(0, Block::Table(table("Over, by the log", columns, rows, 7)));
    }
}

/// "Done 2026-03-14, took 35 min", "Left out".
fn when(binding: &Binding<'_>, step: Id<Step>) -> Line {
    let progress = &binding.plan.progress;
    let Some(day) = progress.done.get(&step) else {
        return vec![strong("Left out")];
    };
    let mut line = vec![strong(format!("Done {day}"))];
    let mut logs = binding
        .plan
        .logs
        .iter()
        .filter(|log| log.steps.as_slice() == [step]);
    if let Some(took) = logs.find_map(|log| log.took) {
        line.push(run(format!(", took {}", duration(took.value.base()))));
    }
    line
}
