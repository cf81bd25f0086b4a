//! What the press works out of a step card: which rows stay together, which of them have the room of an empty column, what stands in one line.
//! Must not know the other blocks, nor how a row is drawn.

use super::clean;
use super::estimate::{self, UNIT_LIMIT};
use super::given::{ActFacts, BlockFacts, CardFacts, Part, Run, Unit};
use super::pictures::Places;
use super::units::Units;
use crate::binder::document::{ActRow, Card, CardRow, Message, text_of};
use crate::binder::sizes::{
    COL_NUMBER, DONE_GAP, DONE_ON, DONE_TOOK, IN_CARD, IN_HEAD, LIVE, POINT, T11, T12, T14, T19,
};
use crate::press::words;

/// What the lines for who has done it leave of a card's head beside them.
const BESIDE_FIELDS: f64 = IN_HEAD - DONE_GAP - DONE_TOOK - DONE_GAP - DONE_ON;
/// A title of more characters is set smaller, or it would push the first act off its page.
pub const LONG_TITLE: usize = 120;
/// Head and first unit together, in mm: with a section's title above them still less than the lowest page holds.
const LEAD_LIMIT: f64 = 205.0;

/// Adds what a card is asked for.
pub fn card(of: &mut BlockFacts, card: &Card, pictures: &mut Places<'_>) {
    let beside = beside(card);
    of.long = card.title.chars().count() > LONG_TITLE;
    of.short_title = clean::head(&card.title, 130.0, T12);
    of.card = Some(CardFacts {
        number_pt: number_size(&clean::signs(&card.number)),
        short: head_width(card) <= if beside { IN_HEAD } else { BESIDE_FIELDS },
        beside,
        over: runs(&card.over.iter().collect::<Vec<_>>())
            .into_iter()
            .map(|(run, _)| run)
            .collect(),
    });
    of.over_high = card
        .over
        .iter()
        .map(|message| estimate::message(message, LIVE) - 1.9)
        .sum();
    (of.units, of.opening) = units(card, pictures);
}

/// Messages one after the other, with their heights at most; those in a line and of the same word share a frame.
fn runs(list: &[&Message]) -> Vec<(Run, f64)> {
    let alike = |one: &&Message, next: &&Message| one.again && next.again && one.signal == next.signal;
    let mut from = 0;
    list.chunk_by(alike)
        .map(|run| {
            let high: f64 = run.iter().map(|one| estimate::message(one, LIVE)).sum();
            let count = run.len();
            from += count;
            let run = Run {
                from: from - count,
                count,
                solid: high <= UNIT_LIMIT,
            };
            (run, high)
        })
        .collect()
}

fn units(card: &Card, pictures: &mut Places<'_>) -> (Vec<Unit>, usize) {
    let mut units = Units::default();
    if !card.first.is_empty() {
        let high = card.first.iter().map(|item| estimate::tick_item(item, 120.0));
        let short = card.first.iter().map(estimate::short_item).collect();
        units.wait(Part::First { short }, high.sum());
    }
    for (run, high) in runs(&card.messages.iter().collect::<Vec<_>>()) {
        units.wait(Part::Messages(run), high);
    }
    let mut opening = true;
    let mut at = 0;
    while let Some(row) = card.rows.get(at) {
        match row {
            CardRow::Message(_) => {
                let guards: Vec<&Message> = (card.rows.iter().skip(at))
                    .map_while(|row| match row {
                        CardRow::Message(message) => Some(message),
                        _ => None,
                    })
                    .collect();
                for (run, high) in runs(&guards) {
                    let from = at + run.from;
                    units.wait(Part::Guards(Run { from, ..run }), high);
                }
                at += guards.len();
                continue;
            }
            CardRow::Act(row) => {
                let act = act(row, std::mem::replace(&mut opening, false));
                units.close(Part::Act { at, act }, estimate::act(row), row.tied);
            }
            CardRow::Prose(prose) => {
                units.wait(Part::Prose { at }, estimate::prose(prose, IN_CARD) + 4.0);
            }
            CardRow::Picture(used) => {
                let high = pictures.place(used, IN_CARD, pictures.tallest * 0.6);
                let words = estimate::text(&used.alt, T11, IN_CARD);
                units.follow(Part::Picture { at }, high + words + 8.0);
            }
        }
        at += 1;
    }
    let mut tail = vec![(Part::ActsEnd, 1.0)];
    if let Some(check) = &card.second_check {
        let told = format!("{} {}", words::SECOND_CHECK, check.lines.join(" "));
        let long = estimate::text(&told, T12, 86.0) > 4.0 * T12.pitch;
        let high = if long {
            estimate::text(&told, T12, LIVE) + 12.0
        } else {
            estimate::text(&told, T12, 86.0)
        };
        tail.push((Part::Second { long }, high.max(12.0) + 6.0));
    }
    let high = estimate::text(&after(card), T12, 150.0) + 3.0;
    tail.push((Part::After, high));
    let title = if card.title.chars().count() > LONG_TITLE {
        estimate::text(&card.title, T14, 105.0)
    } else {
        estimate::text(&card.title, T19, 105.0)
    };
    let facts: f64 = said(card)
        .iter()
        .map(|line| estimate::text(line, T12, BESIDE_FIELDS).max(8.0))
        .sum();
    units.finish(tail, LEAD_LIMIT - (title + facts + 8.0).max(24.0))
}

/// Whether the lines for who has done it find room beside the title.
fn beside(card: &Card) -> bool {
    card.title.chars().count() <= LONG_TITLE && estimate::width(&card.title, T19) <= BESIDE_FIELDS
}

/// Who does it, for how long, and what it undoes; where; what is at hand: as far as there is such a line.
fn said(card: &Card) -> Vec<String> {
    let mut who = text_of(&card.who_and_time);
    if let Some(derived) = &card.derived {
        who.push_str(if who.is_empty() { "" } else { " · " });
        who.push_str(derived);
    }
    let mut all = vec![who, text_of(&card.place), text_of(&card.at_hand)];
    all.retain(|line| !line.is_empty());
    all
}

/// Width of who, where and what is at hand, one after the other, in mm.
fn head_width(card: &Card) -> f64 {
    let lines = said(card).into_iter();
    lines.map(|line| estimate::width(&line, T12) + 20.0).sum()
}

/// "Held: engine by the beam · Open: top hose", and whether it may stay so.
fn after(card: &Card) -> String {
    let named = card.after.iter();
    let named = named.map(|(name, lines)| format!("{name}: {}", lines.join(", ")));
    let all: Vec<String> = named.chain(card.safe_to_leave.clone()).collect();
    all.join(" · ")
}

fn act(row: &ActRow, opening: bool) -> ActFacts {
    let beside = estimate::writes_beside(row);
    ActFacts {
        opening,
        wide: row.marks.is_empty() && row.torque.is_none() && row.reads.is_none() && !beside,
        beside,
        says_itself: row.write.iter().all(|field| estimate::says_itself(row, field)),
        low: estimate::low(row),
        runs_on: estimate::runs_on(row),
        long: estimate::long_captions(&row.write),
    }
}

/// 28 points, or what lets a longer number stand in its column.
fn number_size(number: &str) -> u16 {
    let em: f64 = number
        .chars()
        .map(|sign| if sign == '.' { 0.31 } else { 0.62 })
        .sum();
    ((COL_NUMBER - 4.0) / (em.max(0.1) * POINT))
        .floor()
        .clamp(9.0, 28.0) as u16
}
