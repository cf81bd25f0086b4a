//! What changed since the print before, as a page; and the binder with nothing but that. Reads the finished sections, and knows no plan.

use std::collections::{BTreeMap, BTreeSet};

use super::document::{Block, Document, Section, TableGroup};
use super::kept::{Kept, Print};
use super::tables::{column, grouped, row, section, text};
use super::words::{capital, run};

/// Sections whose content follows from the others, or says when they were printed.
const NOT_ASKED: &[&str] = &["cover", "index", "changes"];

/// The key under which a block's content is kept: a card's own, else its section's.
fn page(section: &Section, block: &Block) -> String {
    match block {
        Block::Card(card) => card.proof.clone(),
        Block::BeforeItMoves(sheet) => sheet.proof.clone(),
        _ => section.key.clone(),
    }
}

/// A short hash of the content of each page.
#[must_use]
pub fn print(words: String, sections: &[Section]) -> Print {
    let mut content: BTreeMap<String, String> = BTreeMap::new();
    for section in sections
        .iter()
        .filter(|section| !NOT_ASKED.contains(&section.key.as_str()))
    {
        for block in &section.blocks {
            let text = content.entry(page(section, block)).or_default();
            text.push_str(&format!("{block:?}"));
        }
    }
    Print {
        words,
        pages: content
            .into_iter()
            .map(|(page, text)| (page, crate::compile::short_hash(&text)))
            .collect(),
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
    for section in sections {
        let mut whole = false;
        for block in &section.blocks {
            let page = page(section, block);
            if !changed.contains(&page) {
                continue;
            }
            match block {
                Block::Card(card) => {
                    let cells = vec![text(card.number.clone()), text(card.title.clone())];
                    let list = if before.pages.contains_key(&page) {
                        &mut other
                    } else {
                        &mut new
                    };
                    list.push(row(cells));
                }
                Block::BeforeItMoves(sheet) => other.push(row(vec![text(""), text(sheet.title.clone())])),
                _ => whole = true,
            }
        }
        if whole {
            other.push(row(vec![text(""), text(section.title.clone())]));
        }
    }
    let gone: Vec<_> = gone
        .iter()
        .filter_map(|page| page.strip_prefix("step/"))
        .map(|name| {
            let number = kept.steps.get(name).cloned().unwrap_or_default();
            row(vec![text(number), text(capital(&name.replace('-', " ")))])
        })
        .collect();
    let groups: Vec<TableGroup> = [
        ("New: put these in", new),
        ("Changed: take the old ones out", other),
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
