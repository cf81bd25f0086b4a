//! Where a page ends early: a card or list that fits on one page starts a new one rather than break, unless that
//! leaves more than a third of a page white. Judged from a first laying out. Must not know the engine, nor what a
//! block holds.

use std::collections::BTreeMap;

use super::engine::PageFound;
use super::estimate::UNIT_LIMIT;

/// Height of a card's head in one line, with room for rounding.
const CONTINUED: f64 = 9.0;
/// Space between two blocks that were seen on different pages.
const BETWEEN: f64 = 8.0;
/// Nearer than this to the body's top a block counts as standing there.
const AT_TOP: f64 = 4.0;
/// Of an act that is higher than a page at least so much stands below its message.
const LED_LEAST: f64 = 40.0;
/// Pages are planned this much shorter than they are, so that none ends by itself before it is planned to.
const SPARE: f64 = 0.3;

/// A block of a section, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    pub id: String,
    /// It should not break when it need not.
    pub whole: bool,
    /// A heading: it goes over to the next page with the block after it.
    pub leads: bool,
    /// A card: its head and its units were seen one by one.
    pub card: bool,
    /// Units of a card that stay with the next one.
    pub leading: Vec<usize>,
    /// Index of its section: each starts a page.
    pub section: usize,
}

/// Where pages end, by block.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    pub break_before: Vec<String>,
    /// Units of cards that start a page.
    pub cuts: BTreeMap<String, Vec<usize>>,
}

/// The body's top and end on each page, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub top: f64,
    pub end: f64,
}

/// Start and end: page from 1, and y in mm.
pub type Span = ((usize, f64), (usize, f64));
/// Start and end of each block, and of each head and unit of cards.
pub type Spans = BTreeMap<String, Span>;

/// Collects where blocks start and end.
#[must_use]
pub fn spans(pages: &[PageFound]) -> Spans {
    let mut starts = BTreeMap::new();
    let mut spans = Spans::new();
    for (page, number) in pages.iter().zip(1usize..) {
        for sign in &page.signs {
            match sign.kind.as_str() {
                "s" => {
                    starts.entry(sign.name.clone()).or_insert((number, sign.y));
                }
                "e" => {
                    if let Some(start) = starts.get(&sign.name) {
                        spans.insert(sign.name.clone(), (*start, (number, sign.y)));
                    }
                }
                _ => {}
            }
        }
    }
    spans
}

/// Plans the page ends of all sections from where blocks stood in the pass before.
#[must_use]
pub fn plan(blocks: &[Seen], spans: &Spans, body: Body) -> Plan {
    let mut plan = Plan::default();
    let mut y = body.top;
    let mut section = None;
    // End of the block before, as it was seen: what lies between it and this one is the space between them.
    let mut last_end: Option<(usize, f64)> = None;
    for (at, block) in blocks.iter().enumerate() {
        let pieces = pieces(block, spans);
        let (Some((start, _)), Some((_, end))) = (pieces.first(), pieces.last()) else {
            continue;
        };
        if section != Some(block.section) {
            section = Some(block.section);
            y = start.1;
            last_end = None;
        }
        y += match last_end {
            Some(last) if last.0 == start.0 => (start.1 - last.1).max(0.0),
            Some(_) => BETWEEN,
            None => 0.0,
        };
        last_end = Some(*end);
        let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
        let high: f64 = heights.iter().sum();
        if body.fits(y, high) {
            y += high;
            continue;
        }
        if block.whole && body.end - y <= body.room() / 3.0 && y > body.top + AT_TOP {
            let before = at
                .checked_sub(1)
                .and_then(|at| blocks.get(at))
                .filter(|before| before.leads && before.section == block.section);
            let first = before.unwrap_or(block);
            let led = spans
                .get(&first.id)
                .filter(|(led, _)| before.is_some() && led.0 == start.0)
                .map_or(0.0, |(led, _)| start.1 - led.1);
            plan.break_before.push(first.id.clone());
            y = body.top + led.max(0.0);
        }
        if body.fits(y, high) {
            y += high;
        } else if block.card {
            let (cuts, end) = cut(&pieces, &block.leading, y, body);
            y = end;
            if !cuts.is_empty() {
                plan.cuts.insert(block.id.clone(), cuts);
            }
        } else if (y - start.1).abs() < AT_TOP && end.0 > start.0 {
            // It stood here in the pass before, so it ends where it ended: what breaks leaves some room at a page's end.
            y = end.1;
        } else {
            y = body.flow(y, high);
        }
    }
    plan
}

/// A block's spans: one, or a card's head and units.
fn pieces(block: &Seen, spans: &Spans) -> Vec<Span> {
    if !block.card {
        return spans.get(&block.id).copied().into_iter().collect();
    }
    let units = (0..).map_while(|unit| spans.get(&format!("{}/{unit}", block.id)));
    spans
        .get(&format!("{}/head", block.id))
        .into_iter()
        .chain(units)
        .copied()
        .collect()
}

/// Which units of a card start a page, when its head stands at `y`, and where the card ends.
fn cut(pieces: &[Span], leading: &[usize], mut y: f64, body: Body) -> (Vec<usize>, f64) {
    let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
    let mut cuts = Vec::new();
    // The head never stands alone: it goes over to the next page with the first unit.
    let lead: f64 = heights.iter().take(2).sum();
    if !body.fits(y, lead) && lead <= body.room() {
        y = body.top;
    }
    y = body.flow(y, lead);
    for (unit, (high, (start, end))) in (1..).zip(heights.iter().zip(pieces).skip(2)) {
        // A message and the act that it guards, or as much of that as a page then holds.
        let led = match heights.get(unit + 2) {
            Some(next) if leading.contains(&unit) => {
                let below = body.room() - CONTINUED - SPARE - high;
                if *next <= below { *next } else { LED_LEAST }
            }
            _ => 0.0,
        };
        let follows = leading.contains(&(unit - 1));
        if body.fits(y, high + led) {
            y += high;
        } else if *high > UNIT_LIMIT || follows {
            let stood = (y - start.1).abs() < AT_TOP && end.0 > start.0;
            y = if stood { end.1 } else { body.flow(y, *high) };
        } else {
            cuts.push(unit);
            y = body.flow(body.top + CONTINUED, *high);
        }
    }
    (cuts, y)
}

impl Body {
    fn room(self) -> f64 {
        self.end - self.top
    }

    fn fits(self, y: f64, high: f64) -> bool {
        y + high <= self.end - SPARE
    }

    fn height(self, (start, end): &Span) -> f64 {
        if start.0 == end.0 {
            end.1 - start.1
        } else {
            (self.end - start.1) + self.room() * (end.0 - start.0 - 1) as f64 + (end.1 - self.top)
        }
    }

    /// Where something ends that starts at `y` and goes over as many pages as it needs.
    fn flow(self, y: f64, high: f64) -> f64 {
        let mut end = y + high;
        while end > self.end {
            end -= self.room();
        }
        end
    }
}

#[cfg(test)]
mod tests {
    use super::{Body, Plan, Seen, Spans, plan};

    const BODY: Body = Body {
        top: 20.0,
        end: 280.0,
    };

    fn seen(id: &str, card: bool) -> Seen {
        Seen {
            id: id.to_owned(),
            whole: true,
            leads: false,
            card,
            leading: Vec::new(),
            section: 0,
        }
    }

    /// A piece, and page and height where it begins and ends.
    type Span<'a> = (&'a str, (usize, f64), (usize, f64));

    fn spans(list: &[Span<'_>]) -> Spans {
        list.iter()
            .map(|(id, start, end)| ((*id).to_owned(), (*start, *end)))
            .collect()
    }

    #[test]
    fn a_list_starts_a_page_rather_than_break() {
        let spans = spans(&[
            ("a", (1, 20.0), (1, 220.0)),
            ("b", (1, 228.0), (2, 100.0)),
            ("c", (2, 108.0), (2, 180.0)),
        ]);
        let planned = plan(&["a", "b", "c"].map(|id| seen(id, false)), &spans, BODY);
        assert_eq!(planned.break_before, ["b"]);
    }

    #[test]
    fn a_card_breaks_between_units_when_a_third_of_the_page_would_stay_white() {
        let spans = spans(&[
            ("a", (1, 20.0), (1, 150.0)),
            ("b/head", (1, 158.0), (1, 176.0)),
            ("b/0", (1, 176.0), (1, 216.0)),
            ("b/1", (1, 216.0), (1, 256.0)),
            ("b/2", (2, 20.0), (2, 60.0)),
        ]);
        let planned = plan(&[seen("a", false), seen("b", true)], &spans, BODY);
        assert_eq!(
            planned,
            Plan {
                break_before: vec![],
                cuts: [("b".to_owned(), vec![2])].into()
            }
        );
    }

    #[test]
    fn the_same_heights_give_the_same_plan_wherever_they_were_seen() {
        let first = spans(&[
            ("a/head", (1, 20.0), (1, 40.0)),
            ("a/0", (1, 40.0), (1, 140.0)),
            ("a/1", (1, 140.0), (1, 240.0)),
            ("a/2", (2, 20.0), (2, 120.0)),
            ("a/3", (2, 120.0), (2, 275.0)),
        ]);
        let mut second = first.clone();
        second.insert("a/2".to_owned(), ((2, 29.0), (2, 129.0)));
        second.insert("a/3".to_owned(), ((3, 29.0), (3, 184.0)));
        let wanted = Plan {
            break_before: vec![],
            cuts: [("a".to_owned(), vec![2, 3])].into(),
        };
        assert_eq!(
            plan(&[seen("a", true)], &first, BODY),
            plan(&[seen("a", true)], &second, BODY)
        );
        assert_eq!(plan(&[seen("a", true)], &first, BODY), wanted);
    }
}
