//! What changed since the print before, as a page; and the binder with nothing but that. Reads the finished sections, and knows no plan.

use std::collections::{BTreeMap, BTreeSet};

use super::document::{Block, Document, Section, TableGroup, TableRow};
use super::kept::{Kept, Print};
use super::tables::{column, grouped, section, text, tick_row};
use super::words::{capital, run};
use crate::base::picture::PictureFile;

/// Sections whose content follows from the others, or says when they were printed.
const NOT_ASKED: &[&str] = &["cover", "index", "changes"];

/// The key under which a block's content is kept: a card's own, else its section's.
#[must_use]
pub fn page(section: &Section, block: &Block) -> String {
    match block {
        Block::Card(card) => card.proof.clone(),
        Block::BeforeItMoves(sheet) => sheet.proof.clone(),
        _ => section.key.clone(),
    }
}

/// A short hash of the content of each page, and what the page is called. A picture counts by its bytes, for the same file may show
/// something else.
#[must_use]
pub fn print(words: String, sections: &[Section], pictures: &[PictureFile]) -> Print {
    let bytes: BTreeMap<&str, &PictureFile> = pictures
        .iter()
        .map(|picture| (picture.key.as_str(), picture))
        .collect();
    let mut content: BTreeMap<String, String> = BTreeMap::new();
    let mut called = BTreeMap::new();
    for section in sections
        .iter()
        .filter(|section| !NOT_ASKED.contains(&section.key.as_str()))
    {
        for block in &section.blocks {
            let page = page(section, block);
            called.insert(page.clone(), name(section, block));
            let text = content.entry(page).or_default();
            text.push_str(&format!("{block:?}"));
            for used in block.pictures() {
                if let Some(picture) = bytes.get(used.key.as_str()) {
                    text.push_str(&crate::compile::short_hash(&picture.bytes));
                }
            }
        }
    }
    Print {
        words,
        called,
        pages: content
            .into_iter()
            .map(|(page, text)| (page, crate::compile::short_hash(text.as_bytes())))
            .collect(),
    }
}

/// Number and title of a page, as the list of changes has it.
fn name(section: &Section, block: &Block) -> (String, String) {
    match block {
        Block::Card(card) => (card.number.clone(), card.title.clone()),
        Block::BeforeItMoves(sheet) => (String::new(), sheet.title.clone()),
        _ => (String::new(), section.title.clone()),
    }
}

/// The page that says what changed; none where nothing did, or where this is the first print.
#[must_use]
pub fn sections(kept: &Kept, sections: &[Section]) -> Vec<Section> {
    let Some(before) = &kept.before else {
        return Vec::new();
    };
    let (changed, gone) = kept.changed();
    let mut new = Vec::new();
    let mut other = Vec::new();
    let mut told: BTreeSet<String> = BTreeSet::new();
    for section in sections {
        for block in &section.blocks {
            let page = page(section, block);
            if !changed.contains(&page) || !told.insert(page.clone()) {
                continue;
            }
            let list = if before.pages.contains_key(&page) {
                &mut other
            } else {
                &mut new
            };
            list.push(told_row(&page, name(section, block)));
        }
    }
    let gone: Vec<TableRow> = gone
        .iter()
        .map(|page| {
            told_row(
                page,
                before
                    .called
                    .get(page)
                    .cloned()
                    .unwrap_or_else(|| guessed(kept, page)),
            )
        })
        .collect();
    let groups: Vec<TableGroup> = [
        ("New: put these in", new),
        ("Replace these pages", other),
        ("Gone: take these out", gone),
    ]
    .into_iter()
    .filter(|(_, rows)| !rows.is_empty())
    .map(|(head, rows)| TableGroup {
        head: Some(head.to_owned()),
        rows,
    })
    .collect();
    if groups.is_empty() {
        return Vec::new();
    }
    let blocks = vec![
        Block::Text(vec![run(format!(
            "Since the print of {}. Steps and bags keep the numbers that they had; what was put between others has a letter.",
            before.words
        ))]),
        Block::Table(grouped(
            "",
            vec![column("Step", 24), column("What", 0)],
            groups,
            9,
        )),
    ];
    section("changes", "What changed", blocks)
}

fn told_row(page: &str, (number, title): (String, String)) -> TableRow {
    tick_row(vec![text(number), text(title)], format!("changed/{page}"))
}

/// What a page is called that was printed before its name was kept.
fn guessed(kept: &Kept, page: &str) -> (String, String) {
    let (kind, name) = page.split_once('/').unwrap_or(("", page));
    let number = kept.steps.get(name).cloned().unwrap_or_default();
    let words = name.replace(['-', '/'], " ");
    match kind {
        "step" => (number, capital(&words)),
        "before" => (
            String::new(),
            format!(
                "Before it moves, {}",
                if number.is_empty() { words } else { number }
            ),
        ),
        _ => (String::new(), capital(&words)),
    }
}

/// The binder cut down to the pages that changed, with the page that says which; nothing where none did.
#[must_use]
pub fn only_changed(document: &Document) -> Option<Document> {
    let changed: &BTreeSet<String> = &document.changed;
    if changed.is_empty() {
        return None;
    }
    let mut cut = document.clone();
    for section in &mut cut.sections {
        if section.key == "changes" {
            continue;
        }
        let head = section.clone();
        let whole =
            changed.contains(&head.key) && !head.blocks.iter().any(|block| matches!(block, Block::Card(_)));
        section
            .blocks
            .retain(|block| whole || changed.contains(&page(&head, block)));
    }
    cut.sections.retain(|section| !section.blocks.is_empty());
    Some(cut)
}
