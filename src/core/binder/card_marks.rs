//! Marks of fixings: they stand as the fixings stand, numbered in the tightening order where it matters. From
//! nine fixings on they stand in rows of five. Knows counts and patterns, no step.

use super::document::{Mark, MarkGroup, MarkShape, Marks, Proof};
use crate::plan::model::{Joint, Pattern, TighteningOrder};

/// More fixings than this no longer stand in their places.
pub const IN_PLACE: u32 = 8;
/// Marks side by side in the fixings' column.
const ABREAST: u32 = 5;

/// Where the marks of one joint stand, each with its number in the order or none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    pub rows: Vec<Vec<Option<u32>>>,
    pub circle: bool,
}

/// A ring for each fixing; nothing where the tick of the act is enough.
#[must_use]
pub fn rings(joint: &Joint, count: u32, key: &dyn Fn(u32) -> Proof) -> Option<Marks> {
    let tick_is_enough = count == 1 && joint.fixings.is_empty() && joint.kind.value.row().tick_is_enough;
    if tick_is_enough || count == 0 {
        return None;
    }
    // A part of the fixings has no pattern of its own.
    let whole = count == joint.fixing_count();
    let pattern = joint.tightening.pattern.map(|said| said.value).filter(|_| whole);
    let standing = stand(count, pattern, None);
    Some(marks(
        MarkShape::Ring,
        standing,
        label(joint).filter(|_| whole),
        key,
    ))
}

/// The same where one tick stands for both of a pair: a ring for each fixing, whatever it is.
#[must_use]
pub fn rings_of_pair(joint: &Joint, count: u32, key: &dyn Fn(u32) -> Proof) -> Option<Marks> {
    rings(joint, count, key)
        .or_else(|| (count > 0).then(|| marks(MarkShape::Ring, stand(count, None, None), None, key)))
}

/// A hexagon for each fixing, numbered where the joint says an order; none where nothing is turned.
#[must_use]
pub fn hexagons(joint: &Joint, count: u32, key: &dyn Fn(u32) -> Proof) -> Option<Marks> {
    if !joint.is_tightened() || count == 0 {
        return None;
    }
    let whole = count == joint.fixing_count();
    let pattern = joint.tightening.pattern.map(|said| said.value).filter(|_| whole);
    let order = joint.tightening.order.map(|said| said.value).filter(|_| whole);
    let standing = stand(count, pattern, order);
    Some(marks(
        MarkShape::Hexagon,
        standing,
        label(joint).filter(|_| whole),
        key,
    ))
}

fn marks(shape: MarkShape, standing: Standing, label: Option<String>, key: &dyn Fn(u32) -> Proof) -> Marks {
    let mut next = 0;
    let rows = standing
        .rows
        .into_iter()
        .map(|row| {
            row.into_iter()
                .map(|number| {
                    next += 1;
                    Mark {
                        number,
                        proof: key(next),
                    }
                })
                .collect()
        })
        .collect();
    let group = MarkGroup {
        side: None,
        label,
        rows,
        circle: standing.circle,
    };
    Marks {
        shape,
        groups: vec![group],
    }
}

/// "from below", "from the left".
#[must_use]
pub fn label(joint: &Joint) -> Option<String> {
    let seen = joint.tightening.seen_from.as_ref()?.value.trim();
    Some(match seen {
        "left" | "right" | "front" | "rear" => format!("from the {seen}"),
        _ if seen.starts_with("from ") => seen.to_owned(),
        _ => format!("from {seen}"),
    })
}

/// How fixings stand, and each one's number in the order: where there are too many for marks in their places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// 1 row on a circle.
    pub columns: u32,
    pub rows: u32,
    pub circle: bool,
    /// For each place, row by row, or round the circle from its top.
    pub numbers: Vec<u32>,
}

/// The layout of so many fixings in this pattern and order; none where they do not fill the pattern.
#[must_use]
pub fn layout(count: u32, pattern: Pattern, order: TighteningOrder) -> Option<Layout> {
    let (columns, rows, circle) = match pattern {
        Pattern::Grid(columns, rows) if columns.checked_mul(rows) == Some(count) => (columns, rows, false),
        Pattern::Grid(..) => return None,
        Pattern::Row => (count, 1, false),
        Pattern::Circle => (count, 1, true),
    };
    let numbers: Option<Vec<u32>> = numbered(columns, rows, circle, order).into_iter().collect();
    Some(Layout {
        columns,
        rows,
        circle,
        numbers: numbers?,
    })
}

/// The places and numbers of so many fixings.
#[must_use]
pub fn stand(count: u32, pattern: Option<Pattern>, order: Option<TighteningOrder>) -> Standing {
    let places = match pattern {
        Some(Pattern::Grid(columns, rows)) if columns.checked_mul(rows) == Some(count) => {
            Some((columns, rows, false))
        }
        Some(Pattern::Row) => Some((count, 1, false)),
        Some(Pattern::Circle) => Some((count, 1, true)),
        _ => None,
    };
    let numbers: Vec<Option<u32>> = match (places, order) {
        (_, None) => vec![None; count as usize],
        (None, Some(TighteningOrder::Along)) => (1..=count).map(Some).collect(),
        // Crosswise or from the middle means nothing where the plan does not say how they stand.
        (None, Some(_)) => vec![None; count as usize],
        (Some((columns, rows, circle)), Some(order)) => numbered(columns, rows, circle, order),
    };
    let (width, circle) = match places {
        _ if count > IN_PLACE => {
            let in_turn = order.filter(|_| places.is_some() || order == Some(TighteningOrder::Along));
            let numbers: Vec<_> = (1..=count).map(|n| in_turn.map(|_| n)).collect();
            return Standing {
                rows: in_rows(&numbers, ABREAST),
                circle: false,
            };
        }
        Some((columns, _, circle)) => (columns, circle),
        // Six stand as three and three, seven as four and three.
        None if count > ABREAST => (count.div_ceil(2), false),
        None => (ABREAST, false),
    };
    Standing {
        rows: in_rows(&numbers, width),
        circle,
    }
}

fn in_rows(numbers: &[Option<u32>], width: u32) -> Vec<Vec<Option<u32>>> {
    numbers
        .chunks(width.max(1) as usize)
        .map(<[Option<u32>]>::to_vec)
        .collect()
}

/// For each place, row by row, its number in the order.
fn numbered(columns: u32, rows: u32, circle: bool, order: TighteningOrder) -> Vec<Option<u32>> {
    let count = columns * rows;
    let sequence: Vec<u32> = match (order, circle) {
        (TighteningOrder::Along, _) | (TighteningOrder::Spiral, true) => (0..count).collect(),
        (TighteningOrder::Across, true) => star(count),
        (TighteningOrder::Across, false) if rows > 1 && columns > 1 => crosswise(count),
        (TighteningOrder::Across | TighteningOrder::Spiral, false) => outwards(columns, rows),
    };
    (0..count)
        .map(|place| {
            let at = sequence.iter().position(|&other| other == place)?;
            u32::try_from(at + 1).ok()
        })
        .collect()
}

/// Each fixing, then the one opposite; a middle one first.
fn crosswise(count: u32) -> Vec<u32> {
    let middle = (count % 2 == 1).then_some(count / 2);
    let pairs = (0..count / 2).flat_map(|place| [place, count - 1 - place]);
    middle.into_iter().chain(pairs).collect()
}

/// Round a circle: opposite, then to the widest gap that is left.
fn star(count: u32) -> Vec<u32> {
    if count % 2 == 1 {
        let stride = (count - 1) / 2;
        return (0..count).map(|n| n * stride.max(1) % count).collect();
    }
    let half = count / 2;
    let mut bases: Vec<u32> = Vec::new();
    while bases.len() < half as usize {
        let farthest = (0..half)
            .filter(|base| !bases.contains(base))
            .max_by_key(|&base| {
                let gap = bases.iter().map(|&used| {
                    let apart = base.abs_diff(used);
                    apart.min(half - apart)
                });
                (gap.min().unwrap_or(half), std::cmp::Reverse(base))
            });
        bases.extend(farthest);
    }
    bases.into_iter().flat_map(|base| [base, base + half]).collect()
}

/// From the middle outwards, clockwise among those as far out.
fn outwards(columns: u32, rows: u32) -> Vec<u32> {
    let mut places: Vec<(u64, u32, u32)> = (0..columns * rows)
        .map(|place| {
            let (column, row) = (place % columns, place / columns);
            // Twice the distance from the middle, squared, keeps to whole numbers.
            let across = i64::from(2 * column) - i64::from(columns - 1);
            let down = i64::from(2 * row) - i64::from(rows - 1);
            let far = (across * across + down * down).unsigned_abs();
            (far, quarter(across, down), place)
        })
        .collect();
    places.sort_unstable();
    places.into_iter().map(|(_, _, place)| place).collect()
}

/// Quarters clockwise from the upper left.
fn quarter(across: i64, down: i64) -> u32 {
    match (across < 0, down < 0 || (down == 0 && across < 0)) {
        (true, true) => 0,
        (false, true) => 1,
        (false, false) => 2,
        (true, false) => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(count: u32, pattern: Option<Pattern>, order: TighteningOrder) -> Vec<Vec<u32>> {
        stand(count, pattern, Some(order))
            .rows
            .iter()
            .map(|row| row.iter().map(|n| n.unwrap_or(0)).collect())
            .collect()
    }

    #[test]
    fn four_crosswise() {
        assert_eq!(
            numbers(4, Some(Pattern::Grid(2, 2)), TighteningOrder::Across),
            [[1, 3], [4, 2]]
        );
        assert_eq!(
            numbers(6, Some(Pattern::Grid(2, 3)), TighteningOrder::Across),
            [[1, 3], [5, 6], [4, 2]]
        );
    }

    #[test]
    fn circles_go_to_the_widest_gap() {
        let star = |count| numbers(count, Some(Pattern::Circle), TighteningOrder::Across);
        assert_eq!(star(5), [[1, 4, 2, 5, 3]]);
        assert_eq!(star(4), [[1, 3, 2, 4]]);
        assert_eq!(star(8), [[1, 5, 3, 7, 2, 6, 4, 8]]);
        for count in 1..=8 {
            let mut all: Vec<u32> = star(count).concat();
            all.sort_unstable();
            assert_eq!(
                all,
                (1..=count).collect::<Vec<_>>(),
                "each number once, of {count}"
            );
        }
        // No fixing of an even circle is followed by a neighbour when an opposite one is free.
        let six = star(6).concat();
        let opposite = |n: usize| (six.get(n).copied(), six.get(n + 3).copied());
        for n in 0..3 {
            let (Some(a), Some(b)) = opposite(n) else {
                panic!("six marks")
            };
            assert_eq!(a.abs_diff(b), 1);
        }
    }

    #[test]
    fn from_the_middle_outwards_and_in_line() {
        assert_eq!(
            numbers(5, Some(Pattern::Row), TighteningOrder::Spiral),
            [[4, 2, 1, 3, 5]]
        );
        assert_eq!(
            numbers(6, Some(Pattern::Grid(3, 2)), TighteningOrder::Spiral),
            [[3, 1, 4], [6, 2, 5]]
        );
        assert_eq!(numbers(3, None, TighteningOrder::Along), [[1, 2, 3]]);
    }

    #[test]
    fn nine_and_more_stand_in_rows_of_five() {
        let ten = stand(10, Some(Pattern::Grid(5, 2)), Some(TighteningOrder::Spiral));
        assert_eq!(ten.rows.iter().map(Vec::len).collect::<Vec<_>>(), [5, 5]);
        assert_eq!(
            ten.rows.last().and_then(|row| row.last().copied()),
            Some(Some(10))
        );
        let twelve = stand(12, Some(Pattern::Circle), None);
        assert_eq!(twelve.rows.iter().map(Vec::len).collect::<Vec<_>>(), [5, 5, 2]);
        assert!(!twelve.circle && twelve.rows.iter().flatten().all(Option::is_none));
    }

    #[test]
    fn no_number_without_a_known_place() {
        let four = stand(4, None, Some(TighteningOrder::Across));
        assert!(four.rows.iter().flatten().all(Option::is_none));
        let odd = stand(5, Some(Pattern::Grid(2, 2)), Some(TighteningOrder::Across));
        assert!(
            odd.rows.iter().flatten().all(Option::is_none),
            "a pattern that does not fit its count"
        );
    }
}
