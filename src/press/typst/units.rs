//! Which rows of a card stay together: head, message and first act; message and its act; last act, second check
//! and what is so after. Must not know how a row looks, only how high it gets at most.

use super::estimate::{ROW_LIMIT, UNIT_LIMIT};
use super::given::{Part, Unit};

type Sized = (Part, f64);

/// Room that a first unit is given in mm, however high its card's head gets.
const FIRST_LEAST: f64 = 60.0;

/// An act with all that waited for it.
struct Closed {
    parts: Vec<Sized>,
    /// It stays with what stands before it.
    tied: bool,
}

/// Gathers parts in order and closes a unit with each act.
#[derive(Default)]
pub struct Units {
    closed: Vec<Closed>,
    waiting: Vec<Sized>,
}

impl Units {
    /// A part that stays with the act after it.
    pub fn wait(&mut self, part: Part, high: f64) {
        self.waiting.push((part, high));
    }

    /// An act: with all that waited for it.
    pub fn close(&mut self, part: Part, high: f64, tied: bool) {
        self.waiting.push((part, high));
        let parts = std::mem::take(&mut self.waiting);
        self.closed.push(Closed { parts, tied });
    }

    /// A part that stays with the act before it.
    pub fn follow(&mut self, part: Part, high: f64) {
        match self.closed.last_mut() {
            Some(last) if self.waiting.is_empty() => last.parts.push((part, high)),
            _ => self.waiting.push((part, high)),
        }
    }

    /// The card's units, and how many of them are the first act with all above it; `tail` stays with the last act. Under the card's head
    /// there is room for so many mm of the first unit.
    pub fn finish(mut self, tail: Vec<Sized>, below_head: f64) -> (Vec<Unit>, usize) {
        if !self.waiting.is_empty() {
            let parts = std::mem::take(&mut self.waiting);
            self.closed.push(Closed { parts, tied: false });
        }
        let tail_high: f64 = total(&tail);
        let last_high = self.closed.last().map_or(0.0, |last| total(&last.parts));
        match self.closed.last_mut() {
            Some(last) if last_high + tail_high <= UNIT_LIMIT => last.parts.extend(tail),
            _ => self.closed.push(Closed {
                parts: tail,
                tied: false,
            }),
        }
        let first = below_head.clamp(FIRST_LEAST, UNIT_LIMIT);
        // Rather than a message on another page than its card's head, the picture below the act goes to the next.
        if let Some(opening) = self.closed.first_mut()
            && total(&opening.parts) > first
            && let Some(act) = opening
                .parts
                .iter()
                .position(|(part, _)| matches!(part, Part::Act { .. }))
        {
            let parts = opening.parts.split_off(act + 1);
            if !parts.is_empty() {
                self.closed.insert(1, Closed { parts, tied: false });
            }
        }
        let limits = std::iter::once(first).chain(std::iter::repeat(UNIT_LIMIT));
        let closed = self.closed.into_iter().zip(limits);
        let units: Vec<Vec<Unit>> = closed
            .map(|(closed, limit)| {
                let mut units = settled(closed.parts, limit);
                if let Some(first) = units.first_mut() {
                    first.tied = closed.tied;
                }
                units
            })
            .collect();
        let opening = units.first().map_or(0, Vec::len);
        (units.into_iter().flatten().collect(), opening)
    }
}

fn total(parts: &[Sized]) -> f64 {
    parts.iter().map(|(_, high)| high).sum()
}

struct Piece {
    high: f64,
    /// One message alone, whose act would not go on a page with it by what both may need at most.
    leads: bool,
    parts: Vec<Part>,
}

/// One unit when it surely fits on a page; otherwise its parts in the largest pieces that do.
fn settled(parts: Vec<Sized>, limit: f64) -> Vec<Unit> {
    if total(&parts) <= limit {
        let solid = parts
            .iter()
            .all(|(part, high)| *high <= ROW_LIMIT || matches!(part, Part::Picture { .. }));
        return vec![Unit {
            parts: parts.into_iter().map(|(part, _)| part).collect(),
            ..Unit::of(solid)
        }];
    }
    // From the end, so that the message next to the act stays with it.
    let mut pieces: Vec<Piece> = Vec::new();
    for (part, high) in parts.into_iter().rev() {
        let message = matches!(part, Part::Messages(_) | Part::Guards(_));
        let leads = message
            && matches!(pieces.last(), Some(Piece { parts, .. }) if matches!(parts.as_slice(), [.., Part::Act { .. }]));
        match pieces.last_mut() {
            Some(piece) if piece.high + high <= limit && !piece.leads => {
                piece.high += high;
                piece.parts.push(part);
            }
            _ => pieces.push(Piece {
                high,
                leads,
                parts: vec![part],
            }),
        }
    }
    pieces
        .into_iter()
        .rev()
        .map(|mut piece| {
            piece.parts.reverse();
            Unit {
                leads: piece.leads,
                parts: piece.parts,
                ..Unit::of(piece.high <= limit)
            }
        })
        .collect()
}
