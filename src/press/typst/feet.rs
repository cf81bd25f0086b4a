//! What a page's foot says of its neighbours: "Previous 5.3. Next 5.5", so that a loose page finds its place. Must
//! not know the engine, nor what a step is.

use super::clean;
use crate::binder::document::{Block, Document};
use crate::binder::sizes::T9;
use crate::press::words;

/// Something that pages are put in order by: a card, the sheet before a card, or a section without cards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// Kind and name of the sign that stands where it starts.
    pub kind: &'static str,
    pub key: String,
    /// Its block; none for a section.
    pub block: Option<String>,
    /// As the foot says it: "5.4", "Read first". A sheet has none: its page lies between cards.
    pub name: Option<String>,
}

/// A block's name on the pages: section and place in it, from 0.
#[must_use]
pub fn block_id(section: usize, place: usize) -> String {
    format!("{section}/{place}")
}

/// What the feet of pages go by: each card, and each section without cards.
#[must_use]
pub fn stops(document: &Document) -> Vec<Stop> {
    let mut stops = Vec::new();
    for (at, section) in document.sections.iter().enumerate() {
        let cards = (0..)
            .zip(&section.blocks)
            .filter_map(|(place, block)| match block {
                Block::Card(card) => Some(Stop {
                    kind: "k",
                    key: card.proof.clone(),
                    block: Some(block_id(at, place)),
                    name: Some(clean::signs(&card.number)),
                }),
                Block::BeforeItMoves(_) => Some(Stop {
                    kind: "s",
                    key: format!("{}/head", block_id(at, place)),
                    block: Some(block_id(at, place)),
                    name: None,
                }),
                _ => None,
            });
        let cards: Vec<Stop> = cards.collect();
        if cards.is_empty() {
            let name = clean::head(&section.title, 38.0, T9);
            stops.push(Stop {
                kind: "p",
                key: at.to_string(),
                block: None,
                name: Some(name),
            });
        }
        stops.extend(cards);
    }
    stops
}

/// The feet of all pages, from the stops' names and pages, both in order.
#[must_use]
pub fn feet(stops: &[(Option<&str>, usize)], pages: usize) -> Vec<String> {
    let mut first = 0;
    (1..=pages)
        .map(|page| {
            first += stops.iter().skip(first).take_while(|(_, at)| *at < page).count();
            let here = stops.iter().skip(first).take_while(|(_, at)| *at == page).count();
            // Where nothing starts, the page carries on with what started before it.
            let before = if here == 0 { first.saturating_sub(1) } else { first };
            let named = |stop: &(Option<&'_ str>, usize)| stop.0.map(str::to_owned);
            let after = stops.iter().take(before).rev().find_map(named);
            let next = stops.iter().skip(first + here).find_map(named);
            let after = after.map(|name| format!("{}{name}", words::AFTER_PAGE));
            let next = next.map(|name| format!("{}{name}", words::BEFORE_PAGE));
            after.into_iter().chain(next).collect::<Vec<_>>().join(". ")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::feet;

    #[test]
    fn a_loose_page_finds_its_place() {
        let stops = [("Cover", 1), ("5.3", 2), ("5.4", 3), ("5.5", 5), ("5.6", 5)];
        let stops = stops.map(|(name, page)| (Some(name), page));
        assert_eq!(
            feet(&stops, 6),
            [
                "Next 5.3",
                "Previous Cover. Next 5.4",
                "Previous 5.3. Next 5.5",
                "Previous 5.3. Next 5.5",
                "Previous 5.4",
                "Previous 5.5",
            ]
        );
        // The sheet of 5.4 fills pages 3 and 4.
        let stops = [(Some("5.3"), 2), (None, 3), (Some("5.4"), 5)];
        assert_eq!(
            feet(&stops, 5)[2..],
            ["Previous 5.3. Next 5.4", "Previous 5.3. Next 5.4", "Previous 5.3"]
        );
    }
}
