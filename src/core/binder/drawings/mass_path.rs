//! The mass path: what is on the vehicle after each stage, as a stepped line from the first weighing to the end, with the target and the class
//! minimum as broken lines. Knows figures, no plan.

use super::super::figures::decimal;
use super::Drawing;
use super::canvas::{Canvas, Side, TEXT};

/// The vehicle after one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct After {
    /// The stage's number.
    pub mark: String,
    pub mass: f64,
}

/// What is drawn, in the unit of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    pub unit: &'static str,
    /// Decimals of the figures.
    pub places: i32,
    pub first: f64,
    pub after: Vec<After>,
    pub target: Option<f64>,
    pub minimum: Option<f64>,
}

/// See [`super::key`].
pub const NAME: &str = "mass-path";

const WIDTH: f64 = super::super::sizes::LIVE;
const LEFT: f64 = 24.0;
const RIGHT: f64 = 142.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 53.0;

/// The drawing; none where there is no stage.
#[must_use]
pub fn draw(path: &Path) -> Option<Drawing> {
    let last = path.after.last()?;
    let figure = |mass: f64| format!("{} {}", decimal(mass, path.places), path.unit);
    let all = || {
        path.after
            .iter()
            .map(|after| after.mass)
            .chain([path.first])
            .chain(path.target)
            .chain(path.minimum)
    };
    let (least, most) = (
        all().fold(f64::INFINITY, f64::min),
        all().fold(f64::NEG_INFINITY, f64::max),
    );
    let room = ((most - least) * 0.08).max(1.0);
    let (low, high) = (least - room, most + room);
    let y = |mass: f64| BOTTOM - (mass - low) / (high - low) * (BOTTOM - TOP);
    #[expect(clippy::cast_precision_loss, reason = "a plan has few stages")]
    let step = (RIGHT - LEFT) / (path.after.len() as f64 + 1.0);
    #[expect(clippy::cast_precision_loss, reason = "a plan has few stages")]
    let x = |nth: usize| LEFT + step * nth as f64;
    let mut canvas = Canvas::new(WIDTH, BOTTOM + 12.0);
    for (mass, called) in [(path.target, "target"), (path.minimum, "class minimum")] {
        if let Some(mass) = mass {
            canvas.line((LEFT, y(mass)), (RIGHT, y(mass)), 0.35, "2 1.2");
            canvas.label((RIGHT + 1.0, y(mass)), Side::Right, called, false);
            canvas.label(
                (LEFT - 1.0, y(mass)),
                Side::Left,
                &decimal(mass, path.places),
                false,
            );
        }
    }
    canvas.line((LEFT, BOTTOM), (RIGHT, BOTTOM), 0.5, "");
    let mut points = vec![(x(0), y(path.first))];
    let mut before = path.first;
    for (nth, after) in path.after.iter().enumerate() {
        points.push((x(nth + 1), y(before)));
        points.push((x(nth + 1), y(after.mass)));
        before = after.mass;
    }
    points.push((RIGHT, y(before)));
    canvas.path(&points);
    // A figure stands where the path moves, first and last always.
    canvas.label(
        (x(0) + step / 2.0, y(path.first) - TEXT * 0.8),
        Side::Middle,
        &decimal(path.first, path.places),
        true,
    );
    let mut said = path.first;
    for (nth, after) in path.after.iter().enumerate() {
        let at = x(nth + 1);
        canvas.line((at, BOTTOM), (at, BOTTOM + 1.2), 0.35, "");
        canvas.label((at + step / 2.0, BOTTOM + 4.0), Side::Middle, &after.mark, true);
        if decimal(after.mass, path.places) != decimal(said, path.places) {
            canvas.label(
                (at + step / 2.0, y(after.mass) - TEXT * 0.8),
                Side::Middle,
                &decimal(after.mass, path.places),
                true,
            );
            said = after.mass;
        }
    }
    canvas.label((LEFT, BOTTOM + 9.0), Side::Right, "after stage", false);
    canvas.label((LEFT - 1.0, TOP - 4.0), Side::Middle, path.unit, false);
    // The end is reached where the path moves for the last time, not where the work ends.
    let shown = |mass: f64| decimal(mass, path.places);
    let reached = path
        .after
        .iter()
        .rev()
        .take_while(|after| shown(after.mass) == shown(last.mass));
    let reached = reached.last().unwrap_or(last);
    let mut title = format!("{} is reached in stage {}", figure(last.mass), reached.mark);
    if let Some(target) = path.target {
        let tenth = 10f64.powi(path.places);
        let apart = ((last.mass * tenth).round() - (target * tenth).round()) / tenth;
        let side = if apart <= 0.0 { "under" } else { "over" };
        title = format!("{title}, {} {side} the target", figure(apart.abs()));
    }
    let mut alt = format!("The mass path: {} at the first weighing", figure(path.first));
    let mut said = path.first;
    for after in &path.after {
        if decimal(after.mass, path.places) != decimal(said, path.places) {
            alt.push_str(&format!(", {} after stage {}", figure(after.mass), after.mark));
            said = after.mass;
        }
    }
    for (mass, called) in [(path.target, "target"), (path.minimum, "class minimum")] {
        if let Some(mass) = mass {
            alt.push_str(&format!("; {called} {}", figure(mass)));
        }
    }
    alt.push('.');
    Some(canvas.done(NAME, title, alt))
}
