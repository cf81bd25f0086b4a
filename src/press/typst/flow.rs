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
    let begins = best(&atoms, room)?;
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

/// Which rows begin a page, at the least cost.
fn best(atoms: &[Atom], room: f64) -> Option<Vec<usize>> {
    // For each row: the least cost of all from it on, when it begins a page, and the row that begins the next page.
    let mut costs: Vec<(f64, usize)> = vec![(0.0, atoms.len()); atoms.len() + 1];
    for from in (0..atoms.len()).rev() {
        let mut found: Option<(f64, usize)> = None;
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
            let (rest, _) = costs.get(next).copied()?;
            let full = used / room;
            let white = 1.0 - full;
            let over = atoms.get(next).map_or(0.0, |atom| {
                let thin = if full < FULL_ENOUGH { TOO_WHITE } else { 0.0 };
                atom.over + WHITE * white * white + thin
            });
            let cost = PAGE + over + rest;
            if found.is_none_or(|(least, _)| cost < least - 1e-9) {
                found = Some((cost, next));
            }
        }
        *costs.get_mut(from)? = found?;
    }
    let mut begins = Vec::new();
    let mut at = 0;
    while at < atoms.len() {
        begins.push(at);
        at = costs.get(at)?.1;
    }
    Some(begins)
}
