//! The pages of a binder on which something changed, each whole and with the number that it has in the whole, so that it takes the place of
//! the page that was printed before. Must not know how pages are laid out, only what stands on which.

use std::collections::{BTreeMap, BTreeSet};

use super::Printed;
use super::keys;
use crate::binder;
use crate::binder::document::{Document, Proof, Section, TakenFrom};

/// First and last page of a block.
type Span = (usize, usize);

/// The document cut down to those pages; none where nothing changed. `printed` is the whole document on paper.
#[must_use]
pub fn pages(document: &Document, printed: &Printed) -> Option<Document> {
    let spans: Vec<Vec<Option<Span>>> = document
        .sections
        .iter()
        .map(|section| spans(section, &printed.page_of))
        .collect();
    let mut taken: Vec<Vec<bool>> = document
        .sections
        .iter()
        .map(|section| {
            let told = section.key == "changes";
            let blocks = section.blocks.iter();
            blocks
                .map(|block| told || document.changed.contains(&binder::page(section, block)))
                .collect()
        })
        .collect();
    if document.changed.is_empty() {
        return None;
    }
    // What shares a page with something taken is taken too, and of a sheet printed on both sides both pages.
    loop {
        let pages = pages_of(&taken, &spans, document.two_sided);
        let mut grown = false;
        for (taken, spans) in taken.iter_mut().zip(&spans) {
            // A section without a single key is one piece.
            let any = taken.iter().any(|taken| *taken);
            for (block, span) in taken.iter_mut().zip(spans) {
                let wanted = span.map_or(any, |(from, to)| (from..=to).any(|page| pages.contains(&page)));
                grown |= wanted && !*block;
                *block |= wanted;
            }
        }
        if !grown {
            break;
        }
    }
    let mut cut = document.clone();
    cut.sections = document
        .sections
        .iter()
        .zip(&taken)
        .flat_map(|(section, taken)| runs(section, taken))
        .collect();
    cut.taken_from = Some(TakenFrom {
        page_of: printed.page_of.clone(),
        feet: printed.feet.clone(),
    });
    Some(cut)
}

fn pages_of(taken: &[Vec<bool>], spans: &[Vec<Option<Span>>], two_sided: bool) -> BTreeSet<usize> {
    let blocks = taken.iter().flatten().zip(spans.iter().flatten());
    let mut pages: BTreeSet<usize> = blocks
        .filter(|(taken, _)| **taken)
        .filter_map(|(_, span)| *span)
        .flat_map(|(from, to)| from..=to)
        .collect();
    if two_sided {
        let backs: Vec<usize> = pages
            .iter()
            .map(|page| if page % 2 == 1 { page + 1 } else { page - 1 })
            .collect();
        pages.extend(backs);
    }
    pages
}

/// The pages of each block by its keys; one without a key goes with the next that has one, else with the last before it.
fn spans(section: &Section, page_of: &BTreeMap<Proof, usize>) -> Vec<Option<Span>> {
    let own = section.blocks.iter().map(|block| {
        let keys = keys::of_block(section, block);
        let mut pages: Vec<usize> = keys
            .iter()
            .filter_map(|named| page_of.get(&named.key).copied())
            .collect();
        pages.sort_unstable();
        Some((*pages.first()?, *pages.last()?))
    });
    let mut spans: Vec<Option<Span>> = own.collect();
    let mut next = None;
    for span in spans.iter_mut().rev() {
        match span {
            Some((from, _)) => next = Some((*from, *from)),
            None => *span = next,
        }
    }
    let mut last = None;
    for span in &mut spans {
        match span {
            Some((_, to)) => last = Some((*to, *to)),
            None => *span = last,
        }
    }
    spans
}

/// The taken blocks of a section; where some between them are not taken, the rest begins a page as it did in the whole.
fn runs(section: &Section, taken: &[bool]) -> Vec<Section> {
    let mut runs: Vec<Section> = Vec::new();
    let mut open = false;
    for (nth, (block, taken)) in section.blocks.iter().zip(taken).enumerate() {
        if *taken && !open {
            let key = if nth == 0 {
                section.key.clone()
            } else {
                format!("{}/{}", section.key, runs.len() + 1)
            };
            runs.push(Section {
                alone: section.alone,
                key,
                titled: section.titled && nth == 0,
                blocks: Vec::new(),
                ..section.clone()
            });
        }
        open = *taken;
        if let Some(run) = runs.last_mut().filter(|_| *taken) {
            run.blocks.push(block.clone());
        }
    }
    runs
}
