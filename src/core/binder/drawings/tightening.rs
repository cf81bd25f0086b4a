//! The order in which many fixings are tightened, drawn as they stand: from nine fixings, where marks no longer stand in their places, up
//! to twenty. Knows patterns and numbers, no step.

use std::f64::consts::TAU;
use std::fmt::Write;

use super::super::card_marks::{self, Layout};
use super::super::sizes::{T11, T12};
use super::super::words::capital;
use super::Drawing;
use crate::plan::model::{Joint, TighteningOrder};

/// More fixings than this are a drawing of the maker's.
const MOST: u32 = 20;
/// Between neighbours, mm; less where a row is long.
const APART: f64 = 15.0;
/// Width of the card's text, mm.
const WIDTH: f64 = super::super::sizes::IN_CARD;
/// Free paper round the drawing, mm.
const MARGIN: f64 = 3.0;
/// Height of the figures, mm: 12 pt, and 11 pt in a long row.
const FIGURE: f64 = T12.mm();
const SMALL_FIGURE: f64 = T11.mm();

/// The drawing of one joint; none where its marks stand in their places, or the plan does not say how they stand and in which order.
#[must_use]
pub fn of_joint(joint: &Joint) -> Option<Drawing> {
    let count = joint.fixing_count();
    let pattern = joint.tightening.pattern?.value;
    let order = joint.tightening.order?.value;
    if !(card_marks::IN_PLACE + 1..=MOST).contains(&count) || !joint.is_tightened() {
        return None;
    }
    let layout = card_marks::layout(count, pattern, order)?;
    let seen = card_marks::label(joint).map_or_else(String::new, |from| format!(", seen {from}"));
    let how = match order {
        TighteningOrder::Across => "across",
        TighteningOrder::Spiral => "from the middle outwards",
        TighteningOrder::Along => "along",
    };
    let called = capital(&joint.head.called());
    let (svg, width) = draw(&layout);
    Some(Drawing {
        key: super::key(&format!("tightening-{}", joint.head.name)),
        svg,
        caption: format!("{called}: 1 to {count} in this order, {how}{seen}"),
        alt: alt(&layout, &seen),
        width,
    })
}

/// In words, for who cannot see it.
fn alt(layout: &Layout, seen: &str) -> String {
    let count = layout.numbers.len();
    let stand = match (layout.circle, layout.rows) {
        (true, _) => "on a circle, clockwise from the top".to_owned(),
        (false, 1) => "in a row, from the left".to_owned(),
        (false, rows) => format!(
            "in {rows} rows of {}, row by row from the upper left",
            layout.columns
        ),
    };
    let numbers: Vec<String> = layout.numbers.iter().map(u32::to_string).collect();
    format!("{count} fixings {stand}{seen}: numbers {}", numbers.join(", "))
}

/// The drawing, and its width in whole millimetres.
fn draw(layout: &Layout) -> (String, u16) {
    let places = if layout.circle {
        on_circle(layout.numbers.len())
    } else {
        in_rows(layout)
    };
    let apart = if layout.circle {
        APART
    } else {
        spacing(layout.columns)
    };
    let radius = (apart * 0.44).min(5.2);
    let figure = if radius < 4.5 { SMALL_FIGURE } else { FIGURE };
    let edge = radius + MARGIN;
    let far = |axis: fn(&(f64, f64)) -> f64| places.iter().map(axis).fold(0.0, f64::max);
    let (width, height) = (
        far(|place| place.0) + 2.0 * edge,
        far(|place| place.1) + 2.0 * edge,
    );
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.1} {1:.1}\" width=\"{0:.1}mm\" height=\"{1:.1}mm\" \
         font-family=\"IBM Plex Sans\" font-size=\"{figure}\" fill=\"black\">\n  <rect x=\"0\" y=\"0\" width=\"{0:.1}\" height=\"{1:.1}\" \
         fill=\"white\" stroke=\"none\"/>\n",
        width, height
    );
    for ((x, y), number) in places.iter().zip(&layout.numbers) {
        let (x, y) = (x + edge, y + edge);
        // Writing into a text cannot fail.
        let _ = writeln!(
            svg,
            "  <path d=\"{}\" fill=\"white\" stroke=\"black\" stroke-width=\"0.7\"/>\n  <text x=\"{x:.1}\" y=\"{:.1}\" \
             text-anchor=\"middle\" stroke=\"none\">{number}</text>",
            hexagon(x, y, radius),
            y + figure * 0.35,
        );
    }
    svg.push_str("</svg>\n");
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "no wider than a page"
    )]
    let whole = width.ceil().min(WIDTH) as u16;
    (svg, whole)
}

/// Between neighbours of a row.
fn spacing(columns: u32) -> f64 {
    let gaps = f64::from(columns.saturating_sub(1).max(1));
    ((WIDTH - 2.0 * MARGIN - 9.0) / gaps).min(APART)
}

fn in_rows(layout: &Layout) -> Vec<(f64, f64)> {
    let apart = spacing(layout.columns);
    (0..layout.rows)
        .flat_map(|row| {
            (0..layout.columns).map(move |column| (f64::from(column) * apart, f64::from(row) * APART))
        })
        .collect()
}

/// Clockwise from the top, neighbours as far apart as in a row.
fn on_circle(count: usize) -> Vec<(f64, f64)> {
    #[expect(clippy::cast_precision_loss, reason = "twenty at most")]
    let step = TAU / count.max(1) as f64;
    let radius = APART / 2.0 / (step / 2.0).sin().max(0.05);
    (0..count)
        .map(|nth| {
            #[expect(clippy::cast_precision_loss, reason = "twenty at most")]
            let turn = step * nth as f64;
            (radius + radius * turn.sin(), radius - radius * turn.cos())
        })
        .collect()
}

/// A hexagon that stands on a corner: six-sided is tight, as on the cards.
fn hexagon(x: f64, y: f64, radius: f64) -> String {
    let mut path = String::new();
    for corner in 0..6u32 {
        let turn = TAU / 6.0 * f64::from(corner);
        let letter = if corner == 0 { 'M' } else { 'L' };
        let _ = write!(
            path,
            "{letter}{:.2} {:.2} ",
            x + radius * turn.sin(),
            y - radius * turn.cos()
        );
    }
    path.push('Z');
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::model::Pattern;

    fn drawn(count: u32, pattern: Pattern, order: TighteningOrder) -> (String, u16) {
        draw(&card_marks::layout(count, pattern, order).expect("a pattern that it fills"))
    }

    #[test]
    fn each_fixing_stands_once_and_inside() {
        for (count, pattern) in [
            (10, Pattern::Grid(5, 2)),
            (14, Pattern::Grid(2, 7)),
            (20, Pattern::Row),
            (9, Pattern::Circle),
            (20, Pattern::Circle),
        ] {
            for order in [
                TighteningOrder::Across,
                TighteningOrder::Spiral,
                TighteningOrder::Along,
            ] {
                let (svg, width) = drawn(count, pattern, order);
                assert!(width <= 156, "{width}");
                for number in 1..=count {
                    assert_eq!(svg.matches(&format!(">{number}</text>")).count(), 1, "{number}");
                }
                assert!(
                    !svg.contains("NaN") && !svg.contains(" -") && !svg.contains("\"-"),
                    "{svg}"
                );
            }
        }
    }

    #[test]
    fn the_card_shows_it_behind_the_act() {
        let text = "plan head-job \"Wren 900: head\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\n\
                    part head \"Cylinder head\"; mass 4 kg quoted\n\
                    joint head-bolts \"Head bolts\": head to shell; carries; bolts 10 x M10x1.25 class 10.9; head 16 mm; torque 65 N m; pattern 5 x 2; order spiral\n\
                    step round \"Round\"\n  by ada\n  undo head-bolts\n  start head-bolts\n  tighten head-bolts\n";
        let source = crate::base::source::Source::new("p.boltplan", text, false);
        let compilation = crate::compile::compile(vec![source], &crate::base::picture::NoPictures);
        assert!(compilation.findings.is_empty(), "{:?}", compilation.findings);
        let today = crate::base::date::Date::read("2026-03-07").expect("a date");
        let document = crate::binder::bind(&compilation, &crate::binder::Wanted::printed(today));
        let key = "~drawn/tightening-head-bolts.svg";
        assert_eq!(
            document
                .pictures
                .iter()
                .filter(|picture| picture.key == key)
                .count(),
            1
        );
        let cards = document
            .sections
            .iter()
            .flat_map(|section| &section.blocks)
            .filter_map(|block| match block {
                crate::binder::document::Block::Card(card) => Some(card),
                _ => None,
            });
        let shown = cards.flat_map(|card| &card.rows).filter(|row| {
            matches!(row, crate::binder::document::CardRow::Picture(picture) if picture.key == key && !picture.alt.is_empty())
        });
        assert_eq!(shown.count(), 1);
    }

    #[test]
    fn a_head_of_ten_goes_from_the_middle() {
        // Common practice, no source: the bolts of a cylinder head from the middle outwards.
        let layout = card_marks::layout(10, Pattern::Grid(5, 2), TighteningOrder::Spiral).expect("ten");
        assert_eq!(
            layout
                .numbers
                .iter()
                .position(|&number| number == 1)
                .map(|at| at % 5),
            Some(2)
        );
        assert!(alt(&layout, "").starts_with("10 fixings in 2 rows of 5"));
        assert_eq!(
            card_marks::layout(11, Pattern::Grid(5, 2), TighteningOrder::Along),
            None
        );
    }
}
