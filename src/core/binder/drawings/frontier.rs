//! What money buys: for each sum the most that it takes off, as a line of steps with a letter at each set, and the target as a broken line.
//! Black on white, so that it reads without colour. Knows figures, no plan.

use super::super::figures::decimal;
use super::Drawing;
use super::canvas::{Canvas, Side, TEXT};

/// One set.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    pub letter: String,
    /// In money, or in hours.
    pub cost: f64,
    /// In the unit of the page.
    pub saved: f64,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Frontier {
    /// "kg".
    pub unit: &'static str,
    /// "GBP", "h".
    pub of_cost: String,
    /// The cheapest first.
    pub points: Vec<Point>,
    pub target: Option<f64>,
    /// What there is to spend.
    pub limit: Option<f64>,
}

/// See [`super::key`].
pub const NAME: &str = "worth";

/// Half of the page.
const WIDTH: f64 = super::super::sizes::HALF;
const LEFT: f64 = 11.0;
const RIGHT: f64 = 82.0;
const TOP: f64 = 9.0;
const BOTTOM: f64 = 44.0;

/// A step of an axis that a reader counts in: 1, 2 or 5 and noughts, some five of them.
fn step(most: f64) -> f64 {
    let ten = 10f64.powf((most / 5.0).max(1e-9).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .iter()
        .map(|times| times * ten)
        .find(|step| most / step <= 6.0)
        .unwrap_or(10.0 * ten)
}

/// The drawing; none where there are fewer than two sets.
#[must_use]
pub fn draw(frontier: &Frontier) -> Option<Drawing> {
    let points = &frontier.points;
    let (first, last) = (points.first()?, points.last()?);
    if points.len() < 2 {
        return None;
    }
    let most_cost = last.cost.max(1e-9) * 1.04;
    let low = points.iter().map(|point| point.saved).fold(0.0, f64::min);
    let tallest = points
        .iter()
        .map(|point| point.saved)
        .chain(frontier.target)
        .fold(0.0, f64::max);
    let high = (tallest * 1.1).max(low + 1.0);
    let x = |cost: f64| LEFT + cost / most_cost * (RIGHT - LEFT);
    let y = |saved: f64| BOTTOM - (saved - low) / (high - low) * (BOTTOM - TOP);
    let mut canvas = Canvas::new(WIDTH, BOTTOM + 12.0);
    canvas.line((LEFT, BOTTOM), (RIGHT, BOTTOM), 0.5, "");
    canvas.line((LEFT, TOP), (LEFT, BOTTOM), 0.5, "");
    let by = step(most_cost);
    let mut at = 0.0;
    while at <= most_cost {
        canvas.line((x(at), BOTTOM), (x(at), BOTTOM + 1.2), 0.35, "");
        canvas.label(
            (x(at), BOTTOM + 4.0),
            Side::Middle,
            &decimal(at, i32::from(by < 1.0)),
            false,
        );
        at += by;
    }
    let by = step(high - low);
    let mut at = (low / by).ceil() * by;
    while at <= high {
        canvas.line((LEFT - 1.2, y(at)), (LEFT, y(at)), 0.35, "");
        canvas.label(
            (LEFT - 2.0, y(at)),
            Side::Left,
            &decimal(at, i32::from(by < 1.0)),
            false,
        );
        at += by;
    }
    if let Some(target) = frontier.target {
        canvas.line((LEFT, y(target)), (RIGHT, y(target)), 0.35, "2 1.2");
        canvas.label((LEFT + 1.0, y(target) - TEXT * 0.6), Side::Right, "target", false);
    }
    if let Some(limit) = frontier.limit.filter(|limit| *limit > 0.0 && *limit < most_cost) {
        canvas.line((x(limit), TOP), (x(limit), BOTTOM), 0.35, "0.6 1.2");
        let side = if x(limit) > (LEFT + RIGHT) / 2.0 {
            Side::Left
        } else {
            Side::Right
        };
        canvas.label(
            (x(limit) + if side == Side::Left { 4.0 } else { -4.0 }, TOP - 3.0),
            side,
            "to spend",
            false,
        );
    }
    let mut path = vec![(x(first.cost), y(first.saved))];
    let mut before = first.saved;
    for point in points.iter().skip(1) {
        path.push((x(point.cost), y(before)));
        path.push((x(point.cost), y(point.saved)));
        before = point.saved;
    }
    path.push((RIGHT, y(before)));
    canvas.path(&path);
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for point in points {
        let dot = (x(point.cost), y(point.saved));
        canvas.dot(dot);
        let label = (dot.0 - 1.6, dot.1 - TEXT * 0.75);
        let near = |other: &(f64, f64)| (other.0 - label.0).abs() < TEXT && (other.1 - label.1).abs() < TEXT;
        // Where letters would stand on each other the table tells.
        if !taken.iter().any(near) {
            canvas.label(label, Side::Left, &point.letter, true);
            taken.push(label);
        }
    }
    let axis = format!("to spend, {}", frontier.of_cost);
    canvas.label((RIGHT, BOTTOM + 9.0), Side::Left, &axis, false);
    canvas.label(
        (0.0, TOP - 5.0),
        Side::Right,
        &format!("{} off", frontier.unit),
        false,
    );
    let figure = |point: &Point| {
        format!(
            "{} {} for {} {}",
            decimal(point.saved, 1),
            frontier.unit,
            decimal(point.cost, i32::from(point.cost.fract() > 0.005) * 2),
            frontier.of_cost
        )
    };
    let title = match frontier
        .target
        .and_then(|target| points.iter().find(|point| point.saved >= target))
    {
        Some(point) => format!("Set {} reaches the target: {}", point.letter, figure(point)),
        None => format!("At most {}", figure(last)),
    };
    let each: Vec<String> = points
        .iter()
        .map(|point| format!("{} {}", point.letter, figure(point)))
        .collect();
    let mut alt = format!("What each sum takes off at most: {}", each.join("; "));
    if let Some(target) = frontier.target {
        alt.push_str(&format!("; target {} {}", decimal(target, 1), frontier.unit));
    }
    alt.push('.');
    Some(canvas.done(NAME, title, alt))
}
