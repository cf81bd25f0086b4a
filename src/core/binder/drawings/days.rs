//! The days of the work, four weeks a row: which have hours, on which of them somebody comes and who, and what was done. Knows days, no plan.

use super::Drawing;
use super::canvas::{Canvas, Side, TEXT};

/// See [`super::key`].
pub const NAME: &str = "days";

/// What a day is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// It has no hours.
    Closed,
    /// It has hours, and nothing is done on it.
    Free,
    Work,
    /// Work that is in the log.
    Done,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Day {
    /// Of its month.
    pub number: u8,
    pub kind: Kind,
    /// Letters of who comes; more than two are counted.
    pub who: Vec<char>,
    /// For the alternative text: "Saturday 7 March".
    pub called: String,
}

/// Seven days from a Monday on, and what stands beside the first week of a row: "2 March".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Week {
    pub called: String,
    pub days: Vec<Day>,
}

const WIDTH: f64 = super::super::sizes::LIVE;
const LEFT: f64 = 24.0;
/// A day, and the gap between two weeks, mm.
const DAY: f64 = 5.15;
const GAP: f64 = 1.8;
/// So many weeks stand in a row.
pub const WEEKS: usize = 4;
/// Weekdays over the first row.
const HEAD: f64 = 5.5;
/// Letters, box and number of a row.
const ROW: f64 = 14.8;
/// More rows than this say less than the words beside them.
const ROWS: usize = 4;

/// How high the drawing of so many weeks is, mm; none where it is not drawn.
#[must_use]
pub fn high(weeks: usize) -> Option<f64> {
    let rows = weeks.div_ceil(WEEKS);
    let as_figure = f64::from(u32::try_from(rows).ok()?);
    (1..=ROWS).contains(&rows).then_some(HEAD + ROW * as_figure)
}

/// The drawing; none of no week, or of more than a page's strip shows.
#[must_use]
pub fn draw(weeks: &[Week], caption: &str) -> Option<Drawing> {
    let mut canvas = Canvas::new(WIDTH, high(weeks.len())?);
    let as_figure = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let x = |week: usize, day: usize| {
        let week = as_figure(week % WEEKS);
        LEFT + week * (7.0 * DAY + GAP) + as_figure(day) * DAY
    };
    for week in 0..weeks.len().min(WEEKS) {
        for (day, letter) in ["M", "T", "W", "T", "F", "S", "S"].into_iter().enumerate() {
            canvas.label(
                (x(week, day) + DAY / 2.0, HEAD / 2.0),
                Side::Middle,
                letter,
                false,
            );
        }
    }
    let mut told: Vec<String> = Vec::new();
    for (nth, week) in weeks.iter().enumerate() {
        let top = HEAD + as_figure(nth / WEEKS) * ROW;
        if nth % WEEKS == 0 {
            canvas.label((0.0, top + 7.0), Side::Right, &week.called, true);
        }
        for (place, day) in week.days.iter().enumerate() {
            let left = x(nth, place);
            let middle = left + DAY / 2.0;
            let (box_top, side) = (top + 4.6, DAY - 0.8);
            match day.kind {
                Kind::Closed => {
                    canvas.line(
                        (middle - 0.4, box_top + side / 2.0),
                        (middle + 0.4, box_top + side / 2.0),
                        0.35,
                        "",
                    );
                    continue;
                }
                Kind::Free => canvas.area(left + 0.4, box_top, side, side, false),
                Kind::Work => canvas.black(left + 0.4, box_top, side, side),
                Kind::Done => canvas.area(left + 0.4, box_top, side, side, true),
            }
            let letters: String = match day.who.as_slice() {
                [] => String::new(),
                [one] => one.to_string(),
                [one, two] => format!("{one}{two}"),
                more => more.len().to_string(),
            };
            if !letters.is_empty() {
                canvas.label((middle, top + 2.4), Side::Middle, &letters, true);
            }
            canvas.label(
                (middle, box_top + side + TEXT / 2.0 + 0.4),
                Side::Middle,
                &day.number.to_string(),
                false,
            );
            let what = match day.kind {
                Kind::Work => "work",
                Kind::Done => "done",
                Kind::Free | Kind::Closed => continue,
            };
            let who = match day.who.len() {
                0 => String::new(),
                1 => ", one comes".to_owned(),
                count => format!(", {count} come"),
            };
            told.push(format!("{}: {what}{who}", day.called));
        }
    }
    let alt = format!("The days of the work. {}.", told.join("; "));
    Some(canvas.done(NAME, caption.to_owned(), alt))
}
