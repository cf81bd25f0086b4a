//! Page ends of sections of cards: all of them chosen at once, so that few pages are needed, few cards go over a page's end, and none
//! does so where something is loaded. Judged from heights seen in a first laying out. Must not know the engine, nor what a card holds.

use crate::binder::sizes::ABOVE_SECTION;

use super::stands::{Body, Cursor, Kind, Plan, SPARE, Seen, Spaces, Span, Spans, pieces, space};

/// What a page more costs, and by how much a card that goes over its end, or white paper, makes it worse.
const PAGE: f64 = 1.0;
const GOES_OVER: f64 = 0.45;
const WHITE: f64 = 0.5;
/// A page is not left with less on it than this share, but at the end of the section.
const FULL_ENOUGH: f64 = 0.62;
const TOO_WHITE: f64 = 0.2;
/// What is loaded stays on one page whatever that costs, if a page holds it.
const LOADED: f64 = 1000.0;
/// But from a left-hand page to the right-hand one beside it, where a page does not hold it.
const BESIDE: f64 = 1.2;

/// A stage that begins in mid-page, where it might begin one for the same.
const IN_MID_PAGE: f64 = 0.12;
/// A stage's messages on another page than its first card.
const APART: f64 = 3.0;
/// After so many blocks a section starts a page, whatever that leaves white: what is on one run of pages the engine holds at once.
pub(super) const MOST_TOGETHER: usize = 200;

/// Rows that go onto one page together.
#[derive(Debug, Clone, Copy)]
struct Atom {
    high: f64,
    /// Space above it, but at a page's top.
    above: f64,
    /// A page that begins with it costs so much, and so much of its height.
    over: f64,
    again: f64,
    /// It begins a section.
    opens: bool,
    /// Its block, and its first unit where it does not begin the block.
    block: usize,
    unit: Option<usize>,
}

/// Plans the page ends of the sections of cards that these blocks begin with into `plan`: so many blocks are planned, and there they end;
/// none where the first section is not one of cards that can be planned so. `before` is where what stands before it ends, and `tail`
/// how high what follows is, where that may stand on the page on which they end.
pub(super) fn of_cards(
    blocks: &[Seen],
    spans: &Spans,
    body: Body,
    between: &Spaces,
    plan: &mut Plan,
    before: Cursor,
    tail: f64,
) -> (usize, Cursor) {
    let mut all: Vec<Atom> = Vec::new();
    let mut many = 0;
    for own in blocks.chunk_by(|one, next| one.section == next.section) {
        let joins = own.first().is_some_and(|first| first.joins);
        let of_cards = own.iter().any(|block| block.kind == Kind::Units);
        if !of_cards || (many > 0 && !joins) {
            break;
        }
        let Some(atoms) = atoms(own, many, spans, body, between) else {
            break;
        };
        all.extend(atoms);
        many += own.len();
    }
    let room = body.room() - SPARE;
    // Page 1 is a right-hand page.
    let right = before.page.is_multiple_of(2);
    let own = best(&all, room, body.facing, right, 0.0).filter(|_| many > 0);
    let shared = match blocks.first() {
        Some(first) if first.joins && before.page > 0 => {
            best(&all, room, body.facing, !right, before.y - body.top)
        }
        _ => None,
    };
    let Some((cost, begins)) = own else {
        return (0, before);
    };
    // On a page that is there already.
    let with_tail = |begins: &[usize], y: f64| {
        let end = end_of(&all, begins, body, y);
        if tail > 0.0 && end + ABOVE_SECTION + tail > body.end {
            PAGE
        } else {
            0.0
        }
    };
    let (begins, shares) = match shared {
        Some((other, shared))
            if other - PAGE + IN_MID_PAGE + with_tail(&shared, before.y) < cost + with_tail(&begins, 0.0) =>
        {
            (shared, true)
        }
        _ => (begins, false),
    };
    let mut now = before;
    for (nth, atom) in all.iter().enumerate() {
        let Some(block) = blocks.get(atom.block) else {
            continue;
        };
        let new_page = begins.contains(&nth) && !(shares && nth == 0);
        if new_page {
            now.page += 1;
            now.y = body.top + atom.again + atom.high;
        } else {
            now.y += atom.above + atom.high;
        }
        let page = now.page;
        if atom.opens {
            plan.sections.resize(block.section + 1, page);
            if !new_page {
                plan.joined.push(block.section);
            }
        }
        match atom.unit {
            Some(unit) if new_page => plan.cuts.entry(block.id.clone()).or_default().push(unit),
            Some(_) => {}
            None => {
                if new_page && !atom.opens {
                    plan.break_before.push(block.id.clone());
                }
                plan.starts.insert(block.id.clone(), page);
            }
        }
    }
    (many, now)
}

/// Where the last of the rows ends on its page; the first page is there already where `there` is more than nothing.
fn end_of(atoms: &[Atom], begins: &[usize], body: Body, there: f64) -> f64 {
    let mut y = there;
    for (nth, atom) in atoms.iter().enumerate() {
        if begins.contains(&nth) && !(nth == 0 && there > 0.0) {
            y = body.top + atom.again + atom.high;
        } else {
            y += atom.above + atom.high;
        }
    }
    y
}

/// A section's rows in their order, its first block being the `from`th; none where one of them is higher than a page.
fn atoms(blocks: &[Seen], from: usize, spans: &Spans, body: Body, between: &Spaces) -> Option<Vec<Atom>> {
    let room = body.room() - SPARE;
    let mut atoms: Vec<Atom> = Vec::new();
    let mut last: Option<(&Seen, Span)> = None;
    let mut met_card = false;
    for (nth, block) in (from..).zip(blocks) {
        let pieces = pieces(block, spans, body);
        let (Some(first), Some(end)) = (pieces.first().copied(), pieces.last().copied()) else {
            continue;
        };
        let above = match last {
            None => ABOVE_SECTION,
            Some((before, (_, (page, y)))) if page == first.0.0 => {
                (first.0.1 - y).max(0.0).min(space(between, before, block))
            }
            Some((before, _)) => space(between, before, block),
        };
        // The section's title, with the space below it.
        let title = match last {
            None => spans
                .at
                .get(&format!("title/{}", block.section))
                .filter(|(title, _)| title.0 == first.0.0)
                .map_or(first.0.1 - body.top, |(title, _)| first.0.1 - title.1),
            Some(_) => 0.0,
        };
        let over = match last {
            // A heading goes with what follows, and what a stage says of all its cards with the first of them.
            Some((before, _)) if before.kind == Kind::Heading => LOADED,
            Some(_) if !met_card => APART,
            _ => 0.0,
        };
        let opens = last.is_none();
        met_card |= block.kind == Kind::Units;
        last = Some((block, end));
        let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
        let together = if block.kind == Kind::Units {
            (1 + block.opening).min(heights.len())
        } else {
            heights.len()
        };
        let head: f64 = heights.iter().take(together).sum();
        atoms.push(Atom {
            high: title.max(0.0) + head,
            above,
            over,
            again: 0.0,
            opens,
            block: nth,
            unit: None,
        });
        for (unit, high) in (together.saturating_sub(1)..).zip(heights.iter().skip(together)) {
            let held = block.tied.contains(&unit)
                || unit
                    .checked_sub(1)
                    .is_some_and(|before| block.leading.contains(&before));
            atoms.push(Atom {
                high: *high,
                above: 0.0,
                over: if held { LOADED } else { GOES_OVER },
                again: block.again(spans),
                opens: false,
                block: nth,
                unit: Some(unit),
            });
        }
    }
    let fits = |atom: &Atom| atom.high + atom.again <= room;
    (!atoms.is_empty() && atoms.iter().all(fits)).then_some(atoms)
}

/// What begins on a page, by whether the page is a right-hand one.
type Costs = [(f64, usize); 2];

/// Which rows begin a page, at the least cost; `right` tells whether the first page is a right-hand one, and `there` how much of it is taken.
fn best(atoms: &[Atom], room: f64, facing: bool, right: bool, there: f64) -> Option<(f64, Vec<usize>)> {
    // For each row: the least cost of all from it on, when it begins a page, and the row that begins the next page.
    let mut costs: Vec<Costs> = vec![[(0.0, atoms.len()); 2]; atoms.len() + 1];
    for from in (0..atoms.len()).rev() {
        let mut found: [Option<(f64, usize)>; 2] = [None; 2];
        let shared = from == 0 && there > 0.0;
        let mut used = if shared { there } else { 0.0 };
        let mut within = 0.0;
        for (nth, atom) in atoms.iter().enumerate().skip(from) {
            used += atom.high;
            used += if nth > from || shared {
                atom.above
            } else {
                atom.again
            };
            within += if nth > from && atom.opens {
                IN_MID_PAGE
            } else {
                0.0
            };
            if used > room {
                break;
            }
            let next = nth + 1;
            let full = used / room;
            let white = 1.0 - full;
            for (is_right, found) in [false, true].into_iter().zip(&mut found) {
                let after = costs.get(next)?;
                let (rest, _) = if is_right { after.first() } else { after.last() }?;
                let over = atoms.get(next).map_or(0.0, |atom| {
                    let thin = if full < FULL_ENOUGH && !atom.opens {
                        TOO_WHITE
                    } else {
                        0.0
                    };
                    // From a left-hand page the eye goes to the right-hand one: nothing is turned.
                    let side_by_side = facing && !is_right && atom.over >= LOADED && atom.unit.is_some();
                    let over = if side_by_side { BESIDE } else { atom.over };
                    over + WHITE * white * white + thin
                });
                let cost = PAGE + over + within + rest;
                if found.is_none_or(|(least, _)| cost < least - 1e-9) {
                    *found = Some((cost, next));
                }
            }
        }
        let [left, right] = found;
        *costs.get_mut(from)? = [left?, right?];
    }
    let first = costs.first()?;
    let cost = if right { first.last() } else { first.first() }?.0;
    let mut begins = Vec::new();
    let (mut at, mut is_right) = (0, right);
    while at < atoms.len() {
        begins.push(at);
        let here = costs.get(at)?;
        at = if is_right { here.last() } else { here.first() }?.1;
        is_right = !is_right;
    }
    Some((cost, begins))
}

#[cfg(test)]
mod tests {
    use super::super::stands::{Body, Cursor, Kind, Plan, Seen, Spaces, Spans};
    use super::of_cards;

    const BODY: Body = Body {
        top: 20.0,
        end: 280.0,
        facing: false,
    };

    /// Cards one below the other as on an endless page, each of a head of 20 mm and units of these heights; `tied` by card and unit.
    fn planned(cards: &[&[f64]], tied: &[(usize, usize)], body: Body, before: usize) -> (Plan, usize) {
        let (mut page, mut y) = (1, body.top);
        let mut spans = Spans::default();
        let mut seen = Vec::new();
        for (nth, units) in cards.iter().enumerate() {
            let id = format!("0/{nth}");
            let heads = std::iter::once(("head".to_owned(), 20.0));
            let units = units
                .iter()
                .enumerate()
                .map(|(unit, high)| (unit.to_string(), *high));
            for (piece, high) in heads.chain(units) {
                if y + high > body.end {
                    (page, y) = (page + 1, body.top);
                }
                spans
                    .at
                    .insert(format!("{id}/{piece}"), ((page, y), (page, y + high)));
                y += high;
            }
            seen.push(Seen {
                id,
                kind: Kind::Units,
                leading: Vec::new(),
                tied: tied
                    .iter()
                    .filter(|(card, _)| *card == nth)
                    .map(|(_, unit)| *unit)
                    .collect(),
                opening: 1,
                opens_loose: false,
                section: 0,
                joins: false,
                again: super::super::stands::CONTINUED,
            });
        }
        let mut plan = Plan::default();
        let from = Cursor {
            page: before,
            y: body.top,
        };
        let (many, end) = of_cards(&seen, &spans, body, &Spaces::new(), &mut plan, from, 0.0);
        assert_eq!(many, seen.len(), "cards");
        (plan, end.page - before)
    }

    #[test]
    fn cards_follow_each_other_and_break_where_that_saves_a_page() {
        // Two cards of 80 mm and one of 90 fill a page of 260; nothing is broken.
        let (plan, pages) = planned(&[&[60.0], &[60.0], &[60.0]], &[], BODY, 0);
        assert!(
            plan.cuts.is_empty() && plan.break_before.is_empty() && pages == 1,
            "{plan:?}"
        );
        // Three cards of 180 mm: three pages whole, two where one goes over a page's end.
        let card: &[f64] = &[40.0, 40.0, 40.0, 40.0];
        let (plan, pages) = planned(&[card, card, card], &[], BODY, 0);
        assert_eq!(pages, 3, "{plan:?}");
        let low: &[f64] = &[30.0, 30.0, 30.0, 30.0];
        let (plan, pages) = planned(&[low, low, low], &[], BODY, 0);
        assert_eq!((pages, plan.cuts.len()), (2, 1), "{plan:?}");
    }

    #[test]
    fn no_page_ends_where_something_is_loaded() {
        let low: &[f64] = &[30.0, 30.0, 30.0, 30.0];
        let free = planned(&[low, low, low], &[], BODY, 0).0;
        let (card, units) = free.cuts.iter().next().expect("one goes over");
        // The unit before which it was cut is loaded: the page ends elsewhere, and nowhere among what is tied.
        let nth: usize = card.trim_start_matches("0/").parse().expect("a number");
        let tied: Vec<(usize, usize)> = (1..4).map(|unit| (nth, unit)).collect();
        let bound = planned(&[low, low, low], &tied, BODY, 0).0;
        assert!(!bound.cuts.contains_key(card), "{units:?}: {bound:?}");
    }

    #[test]
    fn what_no_page_holds_lies_open_on_two() {
        let long: &[f64] = &[90.0, 90.0, 90.0, 90.0];
        let tied: Vec<(usize, usize)> = (1..4).map(|unit| (1, unit)).collect();
        let both = Body { facing: true, ..BODY };
        for before in [0, 1] {
            let (plan, _) = planned(&[&[30.0], long], &tied, both, before);
            let starts = plan.starts.get("0/1").expect("it stands somewhere");
            assert_eq!(starts % 2, 0, "on a left-hand page: {plan:?}");
        }
    }
}
