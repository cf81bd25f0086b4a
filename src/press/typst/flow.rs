//! Page ends of a section of cards: all of them chosen at once, so that few pages are needed, few cards go over a page's end, and none
//! does so where something is loaded. Judged from heights seen in a first laying out. Must not know the engine, nor what a card holds.

use super::breaks::{BETWEEN, Body, CONTINUED, Kind, Plan, SPARE, Seen, Spaces, Span, Spans, pieces};

/// What a page more costs, and by how much a card that goes over its end, or white paper, makes it worse.
const PAGE: f64 = 1.0;
const GOES_OVER: f64 = 0.4;
const WHITE: f64 = 0.5;
/// A page is not left with less on it than this share, but at the end of the section.
const FULL_ENOUGH: f64 = 0.62;
const TOO_WHITE: f64 = 0.8;
/// What is loaded stays on one page whatever that costs, if a page holds it.
const LOADED: f64 = 1000.0;
/// But from a left-hand page to the right-hand one beside it, where a page does not hold it.
const BESIDE: f64 = 1.2;

/// Rows that go onto one page together.
#[derive(Debug, Clone, Copy)]
struct Atom {
    high: f64,
    /// Space above it, but at a page's top.
    above: f64,
    /// A page that begins with it costs so much, and so much of its height.
    over: f64,
    again: f64,
    /// Its block, and its first unit where it does not begin the block.
    block: usize,
    unit: Option<usize>,
}

/// Plans the section's page ends into `plan`: how many pages it has, where it is one of cards that can be planned so. `before` pages stand
/// before it.
pub(super) fn of_cards(
    blocks: &[Seen],
    spans: &Spans,
    body: Body,
    between: &Spaces,
    plan: &mut Plan,
    before: usize,
) -> Option<usize> {
    let section = blocks.first()?.section;
    if !blocks.iter().any(|block| block.kind == Kind::Units) {
        return None;
    }
    let atoms = atoms(blocks, spans, body, between)?;
    let room = body.room() - SPARE;
    // Page 1 is a right-hand page.
    let begins = best(&atoms, room, body.facing, before.is_multiple_of(2))?;
    plan.sections.resize(section + 1, before + 1);
    let mut page = before;
    for (nth, atom) in atoms.iter().enumerate() {
        let Some(block) = blocks.get(atom.block) else {
            continue;
        };
        let new_page = begins.contains(&nth);
        page += usize::from(new_page);
        match atom.unit {
            Some(unit) if new_page => plan.cuts.entry(block.id.clone()).or_default().push(unit),
            Some(_) => {}
            None => {
                if new_page && nth > 0 {
                    plan.break_before.push(block.id.clone());
                }
                plan.starts.insert(block.id.clone(), page);
            }
        }
    }
    Some(page - before)
}

/// The section's rows in their order; none where one of them is higher than a page.
fn atoms(blocks: &[Seen], spans: &Spans, body: Body, between: &Spaces) -> Option<Vec<Atom>> {
    let room = body.room() - SPARE;
    let mut atoms: Vec<Atom> = Vec::new();
    let mut last: Option<(&Seen, Span)> = None;
    for (nth, block) in blocks.iter().enumerate() {
        let pieces = pieces(block, spans, body);
        let (Some(first), Some(end)) = (pieces.first().copied(), pieces.last().copied()) else {
            continue;
        };
        let above = match last {
            None => first.0.1 - body.top,
            Some((before, (_, (page, y)))) if page == first.0.0 => {
                (first.0.1 - y).max(0.0).min(between_of(between, before, block))
            }
            Some((before, _)) => between_of(between, before, block),
        };
        // A heading goes with what follows.
        let led = last.is_some_and(|(before, _)| before.kind == Kind::Heading);
        last = Some((block, end));
        let heights: Vec<f64> = pieces.iter().map(|piece| body.height(piece)).collect();
        let together = if block.kind == Kind::Units {
            (1 + block.opening).min(heights.len())
        } else {
            heights.len()
        };
        let head: f64 = heights.iter().take(together).sum();
        let begin = Atom {
            high: head,
            above,
            over: 0.0,
            again: 0.0,
            block: nth,
            unit: None,
        };
        if led {
            // Marked by its own block all the same, so that its page is known.
            atoms.push(Atom {
                over: LOADED,
                ..begin
            });
        } else {
            atoms.push(begin);
        }
        for (unit, high) in (together.saturating_sub(1)..).zip(heights.iter().skip(together)) {
            let held = block.tied.contains(&unit)
                || unit
                    .checked_sub(1)
                    .is_some_and(|before| block.leading.contains(&before));
            atoms.push(Atom {
                high: *high,
                above: 0.0,
                over: if held { LOADED } else { GOES_OVER },
                again: CONTINUED,
                block: nth,
                unit: Some(unit),
            });
        }
    }
    let fits = |(nth, atom): (usize, &Atom)| {
        let title = if nth == 0 { atom.above } else { 0.0 };
        atom.high + atom.again + title <= room
    };
    (!atoms.is_empty() && atoms.iter().enumerate().all(fits)).then_some(atoms)
}

fn between_of(between: &Spaces, before: &Seen, block: &Seen) -> f64 {
    between
        .get(&(before.kind, block.kind))
        .copied()
        .unwrap_or(BETWEEN)
}

/// What begins on a page, by whether the page is a right-hand one.
type Costs = [(f64, usize); 2];

/// Which rows begin a page, at the least cost; `right` tells whether the first page is a right-hand one.
fn best(atoms: &[Atom], room: f64, facing: bool, right: bool) -> Option<Vec<usize>> {
    // For each row: the least cost of all from it on, when it begins a page, and the row that begins the next page.
    let mut costs: Vec<Costs> = vec![[(0.0, atoms.len()); 2]; atoms.len() + 1];
    for from in (0..atoms.len()).rev() {
        let mut found: [Option<(f64, usize)>; 2] = [None; 2];
        let mut used = 0.0;
        for (nth, atom) in atoms.iter().enumerate().skip(from) {
            used += atom.high;
            used += if nth > from || nth == 0 {
                atom.above
            } else {
                atom.again
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
                    let thin = if full < FULL_ENOUGH { TOO_WHITE } else { 0.0 };
                    // From a left-hand page the eye goes to the right-hand one: nothing is turned.
                    let side_by_side = facing && !is_right && atom.over >= LOADED && atom.unit.is_some();
                    let over = if side_by_side { BESIDE } else { atom.over };
                    over + WHITE * white * white + thin
                });
                let cost = PAGE + over + rest;
                if found.is_none_or(|(least, _)| cost < least - 1e-9) {
                    *found = Some((cost, next));
                }
            }
        }
        let [left, right] = found;
        *costs.get_mut(from)? = [left?, right?];
    }
    let mut begins = Vec::new();
    let (mut at, mut is_right) = (0, right);
    while at < atoms.len() {
        begins.push(at);
        let here = costs.get(at)?;
        at = if is_right { here.last() } else { here.first() }?.1;
        is_right = !is_right;
    }
    Some(begins)
}

#[cfg(test)]
mod tests {
    use super::super::breaks::{Body, Kind, Plan, Seen, Spaces, Spans};
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
            });
        }
        let mut plan = Plan::default();
        let pages = of_cards(&seen, &spans, body, &Spaces::new(), &mut plan, before).expect("cards");
        (plan, pages)
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
