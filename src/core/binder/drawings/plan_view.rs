//! The vehicle from above, front at the top, to scale: what it stands on, the polygon of that, and how the centre moves from stage to
//! stage, each with an ellipse of what it is known to. Knows places in mm, no plan.

use super::Drawing;
use super::canvas::{Canvas, Side, TEXT};
use crate::plan::model::Units;

/// A place on the ground, in mm: behind the front axle and right of the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    pub behind: f64,
    pub right: f64,
}

/// The centre after one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Dot {
    /// The stage's number; 0 for the state in which the job was found.
    pub mark: String,
    pub at: Place,
    /// What covers about 95 %, in mm along and across.
    pub within: Place,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Wheels or feet, for orientation.
    pub wheels: Vec<Place>,
    /// What it stands on when its margin is least, in order round it.
    pub supports: Vec<Place>,
    pub dots: Vec<Dot>,
    /// Where the margin is least, with its step: it may lie within a stage, where no dot is.
    pub nearest: Option<Dot>,
    /// "in step 3.4": when that is.
    pub when: String,
    /// "car" or "machine".
    pub vehicle: &'static str,
    /// "front axle": from where lengths are told.
    pub front: &'static str,
    /// The least margin, in mm.
    pub margin: Option<f64>,
    /// In which lengths are told.
    pub units: Units,
}

/// See [`super::key`].
pub const NAME: &str = "centre";

/// Half of what a page is wide: figures stand beside it.
const WIDTH: f64 = super::super::sizes::HALF;
const TALLEST: f64 = 125.0;
/// Room at its sides, mm.
const SIDES: f64 = 20.0;

/// The drawing; none without a centre.
#[must_use]
pub fn draw(view: &View) -> Option<Drawing> {
    let (first, last) = (view.dots.first()?, view.dots.last()?);
    let places = || {
        let dots = view.dots.iter().chain(&view.nearest).map(|dot| dot.at);
        view.wheels.iter().chain(&view.supports).copied().chain(dots)
    };
    let fold =
        |of: fn(Place) -> f64, pick: fn(f64, f64) -> f64, start: f64| places().map(of).fold(start, pick);
    let ahead = fold(|place| place.behind, f64::min, f64::INFINITY);
    let behind = fold(|place| place.behind, f64::max, f64::NEG_INFINITY);
    let wide = places().map(|place| place.right.abs()).fold(0.0, f64::max);
    // The largest of the usual scales that fits.
    let fits = |scale: f64| (behind - ahead) / scale + 34.0 <= TALLEST && 2.0 * wide / scale + SIDES <= WIDTH;
    let scale = [5.0, 10.0, 20.0, 25.0, 50.0, 100.0]
        .into_iter()
        .find(|scale| fits(*scale))
        .unwrap_or(200.0);
    let (top, middle) = (18.0, WIDTH / 2.0);
    let spot = |place: Place| (middle + place.right / scale, top + (place.behind - ahead) / scale);
    let height = top + (behind - ahead) / scale + 16.0;
    let mut canvas = Canvas::new(WIDTH, height.min(TALLEST + 20.0));
    canvas.label((middle, 5.0), Side::Middle, "front", false);
    canvas.line((middle, 8.0), (middle, height - 8.0), 0.18, "0.4 1.2");
    for wheel in &view.wheels {
        canvas.rectangle(spot(*wheel), 180.0 / scale, 600.0 / scale);
    }
    if view.supports.len() >= 3 {
        let corners: Vec<(f64, f64)> = view.supports.iter().map(|place| spot(*place)).collect();
        canvas.polygon(&corners, 0.5);
    }
    for support in &view.supports {
        canvas.square(spot(*support), 3.0, true);
    }
    for dot in &view.dots {
        canvas.ellipse(spot(dot.at), dot.within.right / scale, dot.within.behind / scale);
    }
    let path: Vec<(f64, f64)> = view.dots.iter().map(|dot| spot(dot.at)).collect();
    canvas.path(&path);
    // Where the centre stays, one label is for several stages: numbers that lie on each other would say nothing.
    let mut labels: Vec<((f64, f64), Vec<&str>)> = Vec::new();
    for dot in &view.dots {
        let at = spot(dot.at);
        canvas.dot(at);
        let near = labels
            .iter_mut()
            .find(|(other, _)| (other.1 - at.1).abs() < TEXT && (other.0 - at.0).abs() < 4.0 * TEXT);
        match near {
            Some((_, marks)) => marks.push(&dot.mark),
            None => labels.push((at, vec![&dot.mark])),
        }
    }
    if let Some(nearest) = &view.nearest {
        let at = spot(nearest.at);
        let within = nearest.within;
        canvas.ellipse(at, within.right / scale, within.behind / scale);
        canvas.square(at, 2.4, false);
        let taken = labels.iter().any(|(other, _)| (other.1 - at.1).abs() < TEXT);
        let (to, side) = if taken {
            (at.0 - 3.5, Side::Left)
        } else {
            (at.0 + 3.5, Side::Right)
        };
        canvas.label((to, at.1), side, &nearest.mark, true);
    }
    for (at, marks) in labels {
        canvas.label((at.0 + 3.5, at.1), Side::Right, &marks.join(" "), true);
    }
    canvas.label((4.0, height - 5.0), Side::Right, &format!("1:{scale}"), false);
    let mm = |value: f64| match view.units {
        Units::Metric => format!("{} mm", value.abs().round()),
        Units::Inch => format!("{:.1} in", value.abs() / 25.4),
    };
    let stands = format!("what the {} stands on", view.vehicle);
    let title = match view.margin {
        Some(margin) if margin > 0.0 => {
            format!(
                "The centre stays {} or more inside {stands}; nearest to its edge {}",
                mm(margin),
                view.when
            )
        }
        Some(margin) => format!("The centre lies {} outside {stands} {}", mm(margin), view.when),
        None => "How the centre moves".to_owned(),
    };
    let side = |right: f64| {
        let side = if right < 0.0 { "left" } else { "right" };
        format!("{} {side} of the middle", mm(right))
    };
    let along = |behind: f64| {
        let way = if behind < 0.0 { "ahead of" } else { "behind" };
        format!("{} {way}", mm(behind))
    };
    let supports = match view.supports.len() {
        0 => String::new(),
        count => format!(", with the {count} places that it stands on when that is nearest"),
    };
    let alt = format!(
        "The {} from above, front at the top{supports}. {title}. The centre lies {} the {} and {} before the work, and {} it and {} at \
         the end.",
        view.vehicle,
        along(first.at.behind),
        view.front,
        side(first.at.right),
        along(last.at.behind),
        side(last.at.right),
    );
    Some(canvas.done(NAME, title, alt))
}
