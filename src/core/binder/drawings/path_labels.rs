//! Where the figures of a stepped path stand: beside it, none on another, none on the path, none outside the frame. A figure that finds no
//! place is left out, but for the first and the last. Knows boxes and lines, no plan.

use super::super::figures::decimal;
use super::canvas::{Side, TEXT, wide};

/// A step of the path, at this height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    pub from: f64,
    pub to: f64,
    pub y: f64,
}

/// A figure, its middle at this height.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    pub at: (f64, f64),
    pub side: Side,
    pub text: String,
}

/// Left, top, right, bottom.
#[derive(Debug, Clone, Copy)]
struct Area(f64, f64, f64, f64);

impl Area {
    fn of(label: &Label, high: f64) -> Self {
        let width = wide(&label.text);
        let left = match label.side {
            Side::Right => label.at.0,
            Side::Left => label.at.0 - width,
            Side::Middle => label.at.0 - width / 2.0,
        };
        Self(
            left,
            label.at.1 - high / 2.0,
            left + width,
            label.at.1 + high / 2.0,
        )
    }

    fn meets(self, other: Self, apart: f64) -> bool {
        self.0 < other.2 + apart && other.0 < self.2 + apart && self.1 < other.3 && other.1 < self.3
    }
}

/// Corners of an area.
pub type Frame = ((f64, f64), (f64, f64));

/// Places first and last figure, then the changes and the levels between them, the greatest change first.
#[must_use]
pub fn place(
    points: &[(f64, f64)],
    (first, last): (f64, f64),
    changes: &[Change],
    places: i32,
    frame: Frame,
    at: impl Fn(f64) -> f64,
) -> Vec<Label> {
    let high = TEXT;
    let (Some(start), Some(end)) = (points.first().copied(), points.last().copied()) else {
        return Vec::new();
    };
    let path: Vec<Area> = points
        .windows(2)
        .filter_map(|pair| match pair {
            [(ax, ay), (bx, by)] => {
                let half = 1.1;
                Some(Area(
                    ax.min(*bx) - half,
                    ay.min(*by) - half,
                    ax.max(*bx) + half,
                    ay.max(*by) + half,
                ))
            }
            _ => None,
        })
        .collect();
    let mut placed: Vec<Label> = Vec::new();
    let free = |label: &Label, placed: &[Label]| {
        let own = Area::of(label, high);
        let inside =
            own.0 >= frame.0.0 && own.2 <= frame.1.0 && own.1 >= frame.0.1 - 0.1 && own.3 <= frame.1.1 + 0.1;
        inside
            && path.iter().all(|line| !own.meets(*line, 0.0))
            && placed.iter().all(|other| !own.meets(Area::of(other, high), 1.0))
    };
    let beside = |x: f64, y: f64, text: &str| {
        [(x - 1.6, Side::Left), (x + 1.6, Side::Right)].map(|(x, side)| Label {
            at: (x, y),
            side,
            text: text.to_owned(),
        })
    };
    // A path that goes on from another list begins at the rows' top: its figure stands in the first row all the same.
    let begins = start.1.max(frame.0.1 + high / 2.0 + 0.2);
    for (mass, (x, y)) in [
        (first, (start.0, begins)),
        (last, (end.0, end.1 - high / 2.0 - 0.6)),
    ] {
        let choices = beside(x, y, &decimal(mass, places));
        let chosen = choices
            .iter()
            .find(|label| free(label, &placed))
            .or(choices.first());
        placed.extend(chosen.cloned());
    }
    let mut order: Vec<(usize, &Change)> = changes.iter().enumerate().collect();
    order.sort_by(|a, b| {
        (b.1.to - b.1.from)
            .abs()
            .total_cmp(&(a.1.to - a.1.from).abs())
            .then(a.0.cmp(&b.0))
    });
    for (_, change) in &order {
        let figure = decimal((change.to - change.from).abs(), places);
        if figure.chars().all(|sign| matches!(sign, '0' | '.')) {
            continue;
        }
        let sign = if change.to < change.from { '−' } else { '+' };
        let text = format!("{sign}{figure}");
        let (from, to) = (at(change.from), at(change.to));
        let middle = f64::midpoint(from, to);
        let lift = high / 2.0 + 1.3;
        let mut choices = Vec::new();
        for y in [change.y - lift, change.y + lift] {
            choices.push(Label {
                at: (middle, y),
                side: Side::Middle,
                text: text.clone(),
            });
        }
        for x in [from.min(to), from.max(to)] {
            choices.extend(beside(x, change.y, &text));
            choices.extend(beside(x, change.y - lift, &text));
            choices.extend(beside(x, change.y + lift, &text));
        }
        let chosen = choices.into_iter().find(|label| free(label, &placed));
        placed.extend(chosen);
    }
    // The lowest level between beginning and end.
    let between = changes.iter().zip(changes.iter().skip(1));
    let lowest = between
        .map(|(change, next)| (change.to, f64::midpoint(change.y, next.y)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((mass, y)) = lowest {
        let choices = beside(at(mass), y, &decimal(mass, places));
        let chosen = choices.into_iter().rev().find(|label| free(label, &placed));
        placed.extend(chosen);
    }
    placed
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn figures_meet_neither_each_other_nor_the_path(
            masses in proptest::collection::vec(600.0f64..900.0, 2..12), row in 9.0f64..13.5
        ) {
            let at = |mass: f64| 118.0 + (mass - 590.0) / 320.0 * 45.0;
            let mut points = vec![(at(masses[0]), 2.6)];
            let mut changes = Vec::new();
            for (pair, nth) in masses.windows(2).zip(0u32..) {
                let y = row * (f64::from(nth) + 0.5);
                points.extend([(at(pair[0]), y), (at(pair[1]), y)]);
                changes.push(Change { from: pair[0], to: pair[1], y });
            }
            let bottom = row * (masses.len() - 1) as f64;
            points.push((at(masses[masses.len() - 1]), bottom));
            let frame = ((112.0, 0.0), (166.5, bottom));
            let ends = (masses[0], masses[masses.len() - 1]);
            let labels = place(&points, ends, &changes, 1, frame, at);
            prop_assert!(labels.len() >= 2);
            for (nth, label) in labels.iter().enumerate() {
                let own = Area::of(label, 3.88);
                for other in &labels[nth + 1..] {
                    prop_assert!(!own.meets(Area::of(other, 3.88), 0.5), "{label:?} {other:?}");
                }
                prop_assert!(own.0 >= 112.0 - 6.0 && own.2 <= 174.0, "{label:?}");
            }
        }
    }
}
