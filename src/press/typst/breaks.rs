//! Where a page ends early: a card or list that fits on one page starts a new one rather than break, unless that
//! leaves more than a third of a page white; a form does so always. Judged from a first laying out. Must not know the engine, nor what a
//! block holds.

use std::collections::BTreeMap;

use super::estimate::UNIT_LIMIT;
use super::flow;
use super::rows::Rows;
use super::stands::{
    BETWEEN, Body, Cursor, Kind, Place, Plan, SPARE, Seen, Spaces, Span, Spans, pieces, space, spaces,
};
use crate::binder::sizes::ABOVE_SECTION;

/// Nearer than this to the body's top a block counts as standing there.
const AT_TOP: f64 = 4.0;
/// Of an act that is higher than a page at least so much stands below its message.
const LED_LEAST: f64 = 40.0;
/// Plans the page ends of all sections from where blocks stood in the pass before.
#[must_use]
pub fn plan(blocks: &[Seen], spans: &Spans, body: Body) -> Plan {
    let mut plan = Plan::default();
    let mut now = Cursor { page: 0, y: body.top };
    let mut section = None;
    let between = spaces(blocks, spans, body);
    // What stood before this one, and where that ended: what lies between them is the space between them.
    let mut last: Option<(&Seen, Place)> = None;
    // Sections of cards are planned at once.
    let mut flowing = 0;
    for (at, block) in blocks.iter().enumerate() {
        if at < flowing {
            continue;
        }
        if section != Some(block.section) {
            let rest = blocks.get(at..).unwrap_or(&[]);
            let tail = tail(rest, spans, body, &between);
            let (many, end) = flow::of_cards(rest, spans, body, &between, &mut plan, now, tail);
            if many > 0 {
                flowing = at + many;
                section = rest.get(many - 1).map(|last| last.section);
                now = end;
                continue;
            }
        }
        // Where the section's first block stands, if that is below the end of the section before.
        let mut below = None;
        if section != Some(block.section) {
            section = Some(block.section);
            let title = title_high(block, spans).filter(|_| block.joins && now.page > 0);
            let own = blocks.get(at..).unwrap_or(&[]);
            let own = || own.iter().take_while(|other| other.section == block.section);
            below = title.and_then(|title| {
                let from = now.y + ABOVE_SECTION + title;
                let high = high_of(own(), spans, body, &between);
                // What fits on one page, a day's work, is not parted.
                let may_part = block.kind != Kind::Units && !body.fits(body.top + title, high);
                let here =
                    body.fits(from, high) || (may_part && begins_here(from, title, own(), spans, body));
                here.then_some(from)
            });
            match below {
                Some(_) => plan.joined.push(block.section),
                None => {
                    now.page += 1;
                    now.y = body.top;
                }
            }
            plan.sections.resize(block.section + 1, now.page);
            last = None;
        }
        let pieces = pieces(block, spans, body);
        let (Some((start, _)), Some((_, end))) = (pieces.first(), pieces.last()) else {
            continue;
        };
        let under_title = last.is_none();
        now.y = match last {
            None => below.unwrap_or(start.1),
            Some((before, (page, y))) => {
                now.y
                    + if page == start.0 {
                        (start.1 - y).max(0.0)
                    } else {
                        space(&between, before, block)
                    }
            }
        };
        last = Some((block, *end));
        let rows = spans
            .rows
            .get(&block.id)
            .filter(|_| matches!(block.kind, Kind::Form | Kind::List))
            .and_then(|rows| Rows::of((*start, *end), rows, body));
        let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
        let high: f64 = rows.as_ref().map_or_else(|| heights.iter().sum(), Rows::high);
        let next = blocks.get(at + 1).filter(|next| next.section == block.section);
        let closed = next.filter(|next| next.kind == Kind::Close && block.whole());
        let closing = closed.map_or(0.0, |next| {
            let own = self::pieces(next, spans, body);
            BETWEEN + own.iter().map(|piece| body.height(piece)).sum::<f64>()
        });
        if body.fits(now.y, high + closing) {
            plan.starts.insert(block.id.clone(), now.page);
            now.y += high;
            continue;
        }
        let white = body.end - now.y;
        let opening = block.opening_high(&heights);
        let least = if block.kind == Kind::List { 6.0 } else { 3.0 };
        let moves = white <= body.room() / least
            || (block.kind == Kind::Form && body.fits(body.top, high))
            || (closed.is_some() && body.fits(body.top, high + closing))
            // Whatever that leaves white: no message stands on another page than what it guards. A section's title is not left alone.
            || (block.kind == Kind::Units
                && !block.opens_loose
                && !under_title
                && !body.fits(now.y, opening)
                && body.fits(body.top, opening));
        if block.whole() && moves && now.y > body.top + AT_TOP {
            let before = at
                .checked_sub(1)
                .and_then(|at| blocks.get(at))
                .filter(|before| before.kind == Kind::Heading && before.section == block.section);
            let first = before.unwrap_or(block);
            let led = spans
                .at
                .get(&first.id)
                .filter(|(led, _)| before.is_some() && led.0 == start.0)
                .map_or(0.0, |(led, _)| start.1 - led.1);
            plan.break_before.push(first.id.clone());
            now.page += 1;
            now.y = body.top + led.max(0.0);
            plan.starts.insert(first.id.clone(), now.page);
        }
        plan.starts.insert(block.id.clone(), now.page);
        if body.fits(now.y, high) {
            now.y += high;
        } else if block.kind == Kind::Units {
            let (cuts, begins) = cut(&pieces, block, block.again(spans), &mut now, body);
            plan.starts.insert(block.id.clone(), begins);
            if !cuts.is_empty() {
                plan.cuts.insert(block.id.clone(), cuts);
            }
        } else if block.kind == Kind::Solid && high <= body.room() {
            now.page += 1;
            now.y = body.top + high;
            plan.starts.insert(block.id.clone(), now.page);
        } else if (now.y - start.1).abs() < AT_TOP && end.0 > start.0 {
            // It stood here in the pass before, so it ends where it ended: what breaks leaves some room at a page's end.
            now.page += end.0 - start.0;
            now.y = end.1;
        } else if let Some(rows) = rows {
            rows.flow(&mut now, body);
        } else {
            body.flow(&mut now, high);
        }
    }
    plan.pages = now.page;
    plan
}

/// Whether a section that is longer than what is left of a page begins there all the same: where much is left, and it ends a page earlier by it. What
/// breaks leaves some room at each page's end: so long as it was in the pass before it is.
fn begins_here<'a>(
    from: f64,
    title: f64,
    blocks: impl Iterator<Item = &'a Seen>,
    spans: &Spans,
    body: Body,
) -> bool {
    let left = body.end - from;
    let mut ends: Option<(Place, Place)> = None;
    for span in blocks.flat_map(|block| pieces(block, spans, body)) {
        ends = Some((ends.map_or(span.0, |(start, _)| start), span.1));
    }
    let Some((start, end)) = ends.filter(|_| left > body.room() / 3.0) else {
        return false;
    };
    let high = (end.0.saturating_sub(start.0)) as f64 * body.room() + end.1 - start.1;
    let pages = |high: f64| (high.max(0.0) / body.room()).ceil();
    pages(high - left + SPARE) < pages(high + title)
}

/// Height of all that follows the sections of cards and may stand on the page on which they end.
fn tail(blocks: &[Seen], spans: &Spans, body: Body, between: &Spaces) -> f64 {
    let mut sections = blocks
        .chunk_by(|one, next| one.section == next.section)
        .peekable();
    let of_cards = |own: &&[Seen]| own.iter().any(|block| block.kind == Kind::Units);
    while sections.next_if(of_cards).is_some() {}
    let mut all = 0.0;
    for own in sections {
        let Some(first) = own.first().filter(|first| first.joins) else {
            break;
        };
        let title = title_high(first, spans).unwrap_or(0.0) + ABOVE_SECTION;
        all += title + high_of(own.iter(), spans, body, between);
    }
    all
}

/// From the top of a section's title to its first block, where both were seen on one page.
fn title_high(first: &Seen, spans: &Spans) -> Option<f64> {
    let (title, _) = spans.at.get(&format!("title/{}", first.section))?;
    let at = match first.kind {
        Kind::Units => spans.at.get(&format!("{}/head", first.id)),
        _ => spans.at.get(&first.id),
    };
    at.filter(|(start, _)| start.0 == title.0)
        .map(|(start, _)| start.1 - title.1)
}

/// Height of all blocks of a section with what lies between them.
fn high_of<'a>(blocks: impl Iterator<Item = &'a Seen>, spans: &Spans, body: Body, between: &Spaces) -> f64 {
    let mut all = 0.0;
    let mut last: Option<(&Seen, Place)> = None;
    for block in blocks {
        let pieces = pieces(block, spans, body);
        let (Some((start, _)), Some((_, end))) = (pieces.first(), pieces.last()) else {
            continue;
        };
        all += match last {
            None => 0.0,
            Some((_, (page, y))) if page == start.0 => (start.1 - y).max(0.0),
            Some((before, _)) => space(between, before, block),
        };
        let rows = spans
            .rows
            .get(&block.id)
            .and_then(|rows| Rows::of((*start, *end), rows, body));
        let high = || pieces.iter().map(|piece| body.height(piece)).sum();
        all += rows.as_ref().map_or_else(high, Rows::high);
        last = Some((block, *end));
    }
    all
}

/// Sections that may stand on one page after the other, in the runs that the engine lays out at once.
#[must_use]
pub fn runs(blocks: &[Seen], sections: usize) -> Vec<Vec<usize>> {
    let mut runs: Vec<Vec<usize>> = Vec::new();
    let mut many = 0;
    for section in 0..sections {
        let own = blocks.iter().filter(|block| block.section == section);
        let joins = own.clone().next().is_some_and(|first| first.joins);
        match runs.last_mut() {
            Some(run) if joins && many <= flow::MOST_TOGETHER => run.push(section),
            _ => {
                runs.push(vec![section]);
                many = 0;
            }
        }
        many += own.count();
    }
    runs
}

/// Units that the engine put at a page's top where no end was planned: their pages would not say of which card they are.
pub(super) fn unsaid(
    blocks: &[Seen],
    spans: &Spans,
    body: Body,
    cuts: &BTreeMap<String, Vec<usize>>,
) -> Vec<(String, usize)> {
    let mut all = Vec::new();
    for block in blocks.iter().filter(|block| block.kind == Kind::Units) {
        let pieces = pieces(block, spans, body);
        let planned = cuts.get(&block.id);
        for (unit, pair) in pieces.windows(2).enumerate() {
            let [(_, before), (here, _)] = pair else { continue };
            // The head goes with the first of them.
            let over = unit > 0 && here.0 > before.0 && here.1 < body.top + AT_TOP;
            if over && planned.is_none_or(|planned| !planned.contains(&unit)) {
                all.push((block.id.clone(), unit));
            }
        }
    }
    all
}

/// Which units of a card or sheet start a page, when its head stands at the cursor, and the page on which it begins.
fn cut(pieces: &[Span], block: &Seen, again: f64, now: &mut Cursor, body: Body) -> (Vec<usize>, usize) {
    let leading = &block.leading;
    let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
    let mut cuts = Vec::new();
    // What is too high to stay together at least has its head with its first unit.
    let together = if body.fits(now.y, block.opening_high(&heights)) {
        1 + block.opening
    } else {
        2
    };
    let lead: f64 = heights.iter().take(together).sum();
    if !body.holds(now.y, lead) && lead <= body.room() && !block.opens_loose {
        now.page += 1;
        now.y = body.top;
    }
    let begins = now.page;
    body.flow(now, lead);
    for (unit, (high, (start, end))) in (together - 1..).zip(heights.iter().zip(pieces).skip(together)) {
        // A message and the act that it guards, or as much of that as a page then holds.
        let led = match heights.get(unit + 2) {
            Some(next) if leading.contains(&unit) => {
                let below = body.room() - again - SPARE - high;
                if *next <= below { *next } else { LED_LEAST }
            }
            _ => 0.0,
        };
        let follows = leading.contains(&(unit - 1));
        if body.fits(now.y, high + led) {
            now.y += high;
        } else if follows
            || (*high > UNIT_LIMIT.max(body.room() - again - SPARE) && body.end - now.y > LED_LEAST)
        {
            if (now.y - start.1).abs() < AT_TOP && end.0 > start.0 {
                now.page += end.0 - start.0;
                now.y = end.1;
            } else {
                body.flow(now, *high);
            }
        } else {
            cuts.push(unit);
            now.page += 1;
            now.y = body.top + again;
            body.flow(now, *high);
        }
    }
    (cuts, begins)
}

#[cfg(test)]
mod tests {
    use super::super::stands::{Body, CONTINUED, Kind, Plan, Seen, Spans};
    use super::plan;

    const BODY: Body = Body {
        top: 20.0,
        end: 280.0,
        facing: false,
    };

    fn seen(id: &str, card: bool) -> Seen {
        Seen {
            id: id.to_owned(),
            kind: if card { Kind::Units } else { Kind::List },
            leading: Vec::new(),
            tied: Vec::new(),
            opening: 1,
            again: CONTINUED,
            opens_loose: false,
            section: 0,
            joins: false,
        }
    }

    /// A piece, and page and height where it begins and ends.
    type Span<'a> = (&'a str, (usize, f64), (usize, f64));

    fn spans(list: &[Span<'_>]) -> Spans {
        Spans {
            at: list
                .iter()
                .map(|(id, start, end)| ((*id).to_owned(), (*start, *end)))
                .collect(),
            ..Spans::default()
        }
    }

    fn starts(planned: &Plan) -> Vec<(&str, usize)> {
        let starts = planned.starts.iter();
        starts.map(|(id, page)| (id.as_str(), *page)).collect()
    }

    #[test]
    fn a_list_starts_a_page_rather_than_break() {
        let spans = spans(&[
            ("a", (1, 20.0), (1, 240.0)),
            ("b", (1, 248.0), (2, 100.0)),
            ("c", (2, 108.0), (2, 180.0)),
        ]);
        let planned = plan(&["a", "b", "c"].map(|id| seen(id, false)), &spans, BODY);
        assert_eq!(planned.break_before, ["b"]);
        assert_eq!(starts(&planned), [("a", 1), ("b", 2), ("c", 2)]);
        assert_eq!((planned.sections, planned.pages), (vec![1], 2));
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
        assert!(planned.break_before.is_empty());
        assert_eq!(planned.cuts, [("b".to_owned(), vec![2])].into());
        assert_eq!((starts(&planned), planned.pages), (vec![("a", 1), ("b", 1)], 2));
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
        second.at.insert("a/2".to_owned(), ((2, 29.0), (2, 129.0)));
        second.at.insert("a/3".to_owned(), ((3, 29.0), (3, 184.0)));
        let planned = plan(&[seen("a", true)], &first, BODY);
        assert_eq!(planned, plan(&[seen("a", true)], &second, BODY));
        assert!(planned.break_before.is_empty());
        assert_eq!(planned.cuts, [("a".to_owned(), vec![1, 3])].into());
        assert_eq!(planned.pages, 3);
    }

    #[test]
    fn what_guards_the_first_act_stays_with_it_whatever_that_leaves_white() {
        let spans = spans(&[
            ("a", (1, 20.0), (1, 150.0)),
            ("b/head", (1, 158.0), (1, 178.0)),
            ("b/0", (1, 178.0), (1, 238.0)),
            ("b/1", (2, 20.0), (2, 90.0)),
            ("b/2", (2, 90.0), (2, 120.0)),
        ]);
        let mut card = seen("b", true);
        card.opening = 2;
        let planned = plan(&[seen("a", false), card.clone()], &spans, BODY);
        assert_eq!(
            planned.break_before,
            ["b"],
            "head, message, message and act are 150 mm of 260"
        );
        assert!(planned.cuts.is_empty());
        // Only one of them with the head: there is room for that below.
        card.opening = 1;
        assert!(
            plan(&[seen("a", false), card.clone()], &spans, BODY)
                .break_before
                .is_empty()
        );
        // Under a section's title it stays, for the title would stand alone.
        card.opening = 2;
        let mut below = spans;
        below.at.insert("b/head".to_owned(), ((1, 140.0), (1, 160.0)));
        assert!(plan(&[card], &below, BODY).break_before.is_empty());
    }

    #[test]
    fn a_list_is_as_high_as_its_rows_wherever_they_were_seen() {
        // Twelve rows of 20 mm under a head of 10: the eleventh was seen on the next page, under the head once more.
        let mut spans = spans(&[("a", (1, 50.0), (2, 70.0)), ("b", (2, 78.0), (2, 90.0))]);
        let rows = (0..10).map(|row| (1, 60.0 + 20.0 * f64::from(row)));
        let rows: Vec<(usize, f64)> = rows.chain([(2, 30.0), (2, 50.0)]).collect();
        spans.rows.insert("a".to_owned(), rows);
        let mut first = spans;
        // Alone on a page from its top it fits: 250 of 260 mm, so that it is moved there when little is left above it.
        first.at.insert("x".to_owned(), ((1, 20.0), (1, 240.0)));
        let planned = plan(&[seen("x", false), seen("a", false)], &first, BODY);
        assert_eq!((planned.break_before, planned.pages), (vec!["a".to_owned()], 2));
        // With room for more than a sixth of a page, it breaks after the rows that fit, and its head comes again.
        first.at.insert("x".to_owned(), ((1, 20.0), (1, 118.0)));
        let planned = plan(&[seen("x", false), seen("a", false)], &first, BODY);
        assert!(planned.break_before.is_empty(), "{planned:?}");
        assert_eq!(planned.pages, 2);
        // What never breaks goes over as a whole.
        let mut picture = seen("b", false);
        picture.kind = Kind::Solid;
        first.at.insert("b".to_owned(), ((2, 78.0), (2, 228.0)));
        let planned = plan(&[seen("x", false), seen("a", false), picture], &first, BODY);
        assert_eq!(starts(&planned), [("a", 1), ("b", 3), ("x", 1)]);
    }
}
