//! Where a page ends early: a card or list that fits on one page starts a new one rather than break, unless that
//! leaves more than a third of a page white. Judged from a first laying out. Must not know the engine, nor what a
//! block holds.

use std::collections::BTreeMap;

use super::engine::PageFound;

/// Height of a continued head, which a block needs on each further page.
const CONTINUED: f64 = 12.0;
/// Space between two blocks that were seen on different pages.
const BETWEEN: f64 = 8.0;
/// Nearer than this to the body's top a block counts as standing there.
const AT_TOP: f64 = 4.0;

/// A block of a section as the first pass laid it, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    pub id: String,
    /// It should not break when it need not.
    pub whole: bool,
    /// A heading: it goes over to the next page with the block after it.
    pub leads: bool,
    /// Index of its section: each starts a page.
    pub section: usize,
}

/// Where pages end, by block.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    pub break_before: Vec<String>,
    /// Blocks that will go over a page's end.
    pub running: Vec<String>,
}

/// The body's top and end on each page, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub top: f64,
    pub end: f64,
}

/// Start and end of each block: page from 1, and y in mm.
pub type Spans = BTreeMap<String, ((usize, f64), (usize, f64))>;

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
    let room = body.end - body.top;
    let mut plan = Plan::default();
    let mut y = body.top;
    let mut section = None;
    // End of the block before, as it was seen: what lies between it and this one is the space between them.
    let mut last_end: Option<(usize, f64)> = None;
    for (at, block) in blocks.iter().enumerate() {
        let Some((start, end)) = spans.get(&block.id) else {
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
        let high = if start.0 == end.0 {
            end.1 - start.1
        } else {
            (body.end - start.1) + room * (end.0 - start.0 - 1) as f64 + (end.1 - body.top)
        };
        // Seen to break, and not sent to a new page: it needs its head again, whatever the sums say.
        let broke = start.0 != end.0;
        if y + high <= body.end && !(broke && (y - start.1).abs() < AT_TOP) {
            y += high;
            continue;
        }
        if block.whole && body.end - y <= room / 3.0 && y > body.top + AT_TOP {
            let before = at
                .checked_sub(1)
                .and_then(|at| blocks.get(at))
                .filter(|before| before.leads && before.section == block.section);
            let first = before.unwrap_or(block);
            let led = spans
                .get(&first.id)
                .filter(|(led, _)| led.0 == start.0)
                .map_or(0.0, |(led, _)| start.1 - led.1);
            plan.break_before.push(first.id.clone());
            y = body.top + led.max(0.0);
        }
        if y + high <= body.end {
            y += high;
            continue;
        }
        plan.running.push(block.id.clone());
        if (y - start.1).abs() < AT_TOP && end.0 > start.0 {
            // It stood here in the pass before, so it ends where it ended.
            y = end.1;
        } else {
            let mut left = high - (body.end - y);
            while left > room - CONTINUED {
                left -= room - CONTINUED;
            }
            y = body.top + CONTINUED + left;
        }
    }
    plan
}

#[cfg(test)]
mod tests {
    use super::{Body, Plan, Seen, Spans, plan};

    const BODY: Body = Body {
        top: 20.0,
        end: 280.0,
    };

    fn seen(id: &str) -> Seen {
        Seen {
            id: id.to_owned(),
            whole: true,
            leads: false,
            section: 0,
        }
    }

    #[test]
    fn a_card_starts_a_page_rather_than_break() {
        let spans = Spans::from([
            ("a".to_owned(), ((1, 20.0), (1, 220.0))),
            ("b".to_owned(), ((1, 228.0), (2, 100.0))),
            ("c".to_owned(), ((2, 108.0), (2, 180.0))),
        ]);
        let planned = plan(&[seen("a"), seen("b"), seen("c")], &spans, BODY);
        assert_eq!(
            planned,
            Plan {
                break_before: vec!["b".to_owned()],
                running: vec![]
            }
        );
    }

    #[test]
    fn a_card_breaks_when_a_third_of_the_page_would_stay_white() {
        let spans = Spans::from([
            ("a".to_owned(), ((1, 20.0), (1, 150.0))),
            ("b".to_owned(), ((1, 158.0), (2, 100.0))),
        ]);
        let planned = plan(&[seen("a"), seen("b")], &spans, BODY);
        assert_eq!(
            planned,
            Plan {
                break_before: vec![],
                running: vec!["b".to_owned()]
            }
        );
    }

    #[test]
    fn a_card_of_two_pages_starts_where_it_stands_when_there_is_room() {
        let spans = Spans::from([("a".to_owned(), ((1, 20.0), (3, 30.0)))]);
        assert_eq!(plan(&[seen("a")], &spans, BODY).running, vec!["a".to_owned()]);
    }
}
