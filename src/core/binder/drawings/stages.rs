//! Hours and kilograms on one list of stages: a bar for each stage on an axis of hours, and down the same rows the mass path with target
//! and class minimum. Names and ticks are the press's; their columns stay free. Knows figures, no plan.

use super::super::figures::decimal;
use super::Drawing;
use super::canvas::{Canvas, Side, wide};
use super::path_labels::{self, Label};

/// Where the names of the stages begin, mm.
pub const NAMES: f64 = 9.0;
/// Where the column of ticks begins, mm.
pub const TICKS: f64 = 167.0;
pub const WIDTH: f64 = super::super::sizes::LIVE;
/// Above the first row, mm.
pub const HEAD: f64 = 12.0;
/// One line below the last row, mm.
pub const FOOT_LINE: f64 = 5.0;
const HOURS: (f64, f64) = (56.0, 108.0);
pub const KILOGRAMS: (f64, f64) = (118.0, 163.0);
/// Height of a bar, mm.
const BAR: f64 = 5.0;
/// Width of the hatch on the forbidden side, mm.
const FORBIDDEN: f64 = 2.0;

/// The work of one stage on the axis, in minutes from the beginning.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    pub from: f64,
    pub to: f64,
    /// Where it has no time to spare.
    pub black: Vec<(f64, f64)>,
    /// Whether it has time to spare hangs on a step without a time.
    pub unknown: bool,
    /// "4 h 40".
    pub label: String,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// None where steps stand in no stage.
    pub number: Option<String>,
    /// mm
    pub height: f64,
    pub bar: Option<Bar>,
    /// On the vehicle when the stage is done, in the unit of the page.
    pub mass: f64,
}

/// What is to be said of masses, in the unit of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Masses {
    /// "Kilograms on the car".
    pub head: String,
    pub places: i32,
    pub first: f64,
    /// The least and the most after any stage of the plan.
    pub range: (f64, f64),
    pub target: Option<f64>,
    pub minimum: Option<f64>,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Stages {
    pub rows: Vec<Row>,
    /// Minutes from beginning to end; none where no step has a time.
    pub length: Option<f64>,
    pub masses: Option<Masses>,
    /// Not the first row of the whole list, not the last.
    pub begun: bool,
    pub unfinished: bool,
    /// What the drawing says, and what it shows.
    pub title: String,
    pub alt: String,
}

impl Stages {
    /// How high the drawing gets, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        HEAD + self.rows.iter().map(|row| row.height).sum::<f64>() + FOOT_LINE * foot_lines(self)
    }
}

/// From where to where the hours go.
#[must_use]
pub fn hours(masses: bool) -> (f64, f64) {
    (HOURS.0, if masses { HOURS.1 } else { KILOGRAMS.1 })
}

/// A straight axis between two places on the paper.
#[derive(Debug, Clone, Copy)]
pub struct Axis {
    place: (f64, f64),
    value: (f64, f64),
}

impl Axis {
    pub fn at(self, value: f64) -> f64 {
        let (low, high) = self.value;
        self.place.0 + (value - low) / (high - low) * (self.place.1 - self.place.0)
    }
}

/// The drawing of one list.
#[must_use]
pub fn draw(list: &Stages, key: &str) -> Drawing {
    let rows: f64 = list.rows.iter().map(|row| row.height).sum();
    let (top, bottom) = (HEAD, HEAD + rows);
    let mut canvas = Canvas::new(WIDTH, list.height());
    canvas.label((0.0, 3.0), Side::Right, "Stage", true);
    canvas.label((WIDTH, 3.0), Side::Left, "Done", true);
    let time = list.length.map(|length| time_axis(list, length));
    let mass = list.masses.as_ref().map(mass_axis);
    if let Some((axis, step, unit, word)) = time {
        canvas.label((axis.place.0, 3.0), Side::Right, word, true);
        let mut value = 0.0;
        while value <= axis.value.1 + 1e-6 {
            let x = axis.at(value);
            canvas.line((x, top - 1.2), (x, bottom), 0.18, "0.3 0.9");
            canvas.label((x, 8.5), Side::Middle, &decimal(value / unit, 0), false);
            value += step;
        }
    }
    if let (Some(masses), Some((axis, step))) = (&list.masses, mass) {
        canvas.label((KILOGRAMS.1 - 2.0, 3.0), Side::Left, &masses.head, true);
        let mut value = (axis.value.0 / step).ceil() * step;
        while value <= axis.value.1 {
            let x = axis.at(value);
            canvas.line((x, top - 1.2), (x, bottom), 0.18, "0.3 0.9");
            canvas.label((x, 8.5), Side::Middle, &decimal(value, 0), false);
            value += step;
        }
    }
    let mut y = top;
    canvas.line((0.0, y), (WIDTH, y), 0.7, "");
    for (nth, row) in list.rows.iter().enumerate() {
        if nth > 0 {
            canvas.line((0.0, y), (WIDTH, y), 0.25, "");
        }
        let middle = y + row.height / 2.0;
        if let Some(number) = &row.number {
            canvas.number((0.0, middle), number);
        }
        if let (Some(bar), Some((axis, ..))) = (&row.bar, time) {
            draw_bar(&mut canvas, bar, axis, middle);
        }
        y += row.height;
    }
    canvas.line((0.0, bottom), (WIDTH, bottom), 0.7, "");
    if let (Some(masses), Some((axis, _))) = (&list.masses, mass) {
        draw_masses(&mut canvas, list, masses, axis, (top, bottom));
    }
    if time.is_some() {
        for (nth, line) in legend(list).into_iter().enumerate() {
            let down = f64::from(u32::try_from(nth).unwrap_or(0));
            canvas.label(
                (HOURS.0, bottom + FOOT_LINE * (down + 0.6)),
                Side::Right,
                line,
                false,
            );
        }
    }
    canvas.done(key, list.title.clone(), list.alt.clone())
}

/// What the bars' areas mean, as far as they are used.
fn legend(list: &Stages) -> Vec<&'static str> {
    let bars = || list.rows.iter().filter_map(|row| row.bar.as_ref());
    let mut lines = vec!["black: no time to spare"];
    if bars().any(|bar| !bar.unknown && !all_black(bar)) {
        lines.push("white: time to spare");
    }
    if bars().any(|bar| bar.unknown) {
        lines.push("hatched: not known");
    }
    lines
}

fn all_black(bar: &Bar) -> bool {
    let black: f64 = bar.black.iter().map(|(from, to)| to - from).sum();
    black >= bar.to - bar.from - 1e-6
}

/// Lines below the last row: the legend, and target and minimum where these meet.
fn foot_lines(list: &Stages) -> f64 {
    let legend = if list.length.is_some() {
        legend(list).len()
    } else {
        0
    };
    let aims = list.masses.as_ref().map_or(0, |masses| {
        let (axis, _) = mass_axis(masses);
        let lines: Vec<usize> = aims(masses, axis).iter().map(|aim| aim.line + 1).collect();
        lines.into_iter().max().unwrap_or(0)
    });
    let most = legend.max(aims);
    f64::from(u32::try_from(most).unwrap_or(0)) + 0.4
}

/// The axis, the step between its figures, what one of its figures is in minutes, and its head.
fn time_axis(list: &Stages, length: f64) -> (Axis, f64, f64, &'static str) {
    let place = hours(list.masses.is_some());
    let most = ((place.1 - place.0) / 12.0).floor();
    let (unit, word, steps): (f64, _, &[f64]) = if length <= 120.0 {
        (1.0, "Minutes", &[5.0, 10.0, 15.0, 30.0, 60.0])
    } else {
        let steps = &[
            1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 20.0, 24.0, 32.0, 40.0, 48.0, 60.0, 80.0,
        ];
        (60.0, "Hours", steps)
    };
    let wanted = (length / unit).max(1.0);
    let fits = |step: f64| wanted / step <= most + 0.1;
    let mut step = steps.iter().copied().find(|step| fits(*step)).unwrap_or(100.0);
    while !fits(step) {
        step *= 2.0;
    }
    let axis = Axis {
        place,
        value: (0.0, wanted * unit),
    };
    (axis, step * unit, unit, word)
}

fn draw_bar(canvas: &mut Canvas, bar: &Bar, axis: Axis, middle: f64) {
    let (from, to) = (axis.at(bar.from), axis.at(bar.to));
    let to = to.max(from + 0.6);
    let top = middle - BAR / 2.0;
    if bar.unknown || !all_black(bar) {
        canvas.area(from, top, to - from, BAR, bar.unknown);
    }
    for (start, end) in &bar.black {
        let (start, end) = (axis.at(*start), axis.at(*end));
        canvas.black(start, top, (end - start).max(0.6), BAR);
    }
    let width = wide(&bar.label);
    let room = (axis.place.0 - 3.0, axis.place.1 + 5.0);
    if to + 1.4 + width <= room.1 {
        canvas.label((to + 1.4, middle), Side::Right, &bar.label, false);
    } else if from - 1.4 - width >= room.0 {
        canvas.label((from - 1.4, middle), Side::Left, &bar.label, false);
    } else {
        canvas.label((f64::midpoint(from, to), middle), Side::Middle, &bar.label, false);
    }
}

/// From the least to the greatest of all that is drawn, with room for the hatch and the line's end.
fn mass_axis(masses: &Masses) -> (Axis, f64) {
    let all = || {
        let ends = [masses.range.0, masses.range.1, masses.first];
        ends.into_iter().chain(masses.target).chain(masses.minimum)
    };
    let least = all().fold(f64::INFINITY, f64::min);
    let most = all().fold(f64::NEG_INFINITY, f64::max);
    let room = ((most - least) * 0.06).max(0.5);
    let value = (least - room, most + room);
    let places = (KILOGRAMS.1 - KILOGRAMS.0) / 11.0;
    let mut step = 1.0;
    // 1, 2, 5, 10, 20, 50 ...
    for factor in [2.0, 2.5, 2.0].into_iter().cycle().take(60) {
        if (value.1 - value.0) / step <= places {
            break;
        }
        step *= factor;
    }
    (
        Axis {
            place: KILOGRAMS,
            value,
        },
        step,
    )
}

/// A line that the path should reach, or keep over, with its words below the rows.
struct Aim {
    x: f64,
    text: String,
    side: Side,
    line: usize,
    bold: bool,
}

fn aims(masses: &Masses, axis: Axis) -> Vec<Aim> {
    let mut all: Vec<(f64, String, bool)> = Vec::new();
    if let Some(minimum) = masses.minimum {
        all.push((
            minimum,
            format!("minimum {}", decimal(minimum, masses.places)),
            true,
        ));
    }
    if let Some(target) = masses.target {
        all.push((
            target,
            format!("target {}", decimal(target, masses.places)),
            false,
        ));
    } else {
        // Right of all that is drawn, where its words would be.
        all.push((axis.value.1, "no target".to_owned(), true));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let several = all.len() > 1;
    let mut aims: Vec<Aim> = Vec::new();
    for (nth, (value, text, minimum)) in all.into_iter().enumerate() {
        let x = axis.at(value);
        let width = wide(&text);
        // The lesser to the left of its line, the greater to the right, as far as there is room.
        let left = several && nth == 0;
        let x_text = if left {
            x.max(KILOGRAMS.0 - 8.0 + width)
        } else {
            x.min(WIDTH - width)
        };
        let side = if left { Side::Left } else { Side::Right };
        let starts = if left { x_text - width } else { x_text };
        let meets = aims.iter().any(|other| {
            let ends = if other.side == Side::Left {
                other.x
            } else {
                other.x + wide(&other.text)
            };
            starts < ends + 1.0
        });
        aims.push(Aim {
            x: x_text,
            text,
            side,
            line: usize::from(meets),
            bold: !minimum,
        });
    }
    aims
}

fn draw_masses(canvas: &mut Canvas, list: &Stages, masses: &Masses, axis: Axis, (top, bottom): (f64, f64)) {
    if let Some(minimum) = masses.minimum {
        let x = axis.at(minimum);
        canvas.hatch(x - FORBIDDEN, top, FORBIDDEN, bottom - top);
        canvas.line((x, top), (x, bottom + 0.8), 0.35, "");
    }
    if let Some(target) = masses.target {
        let x = axis.at(target);
        canvas.line((x, top), (x, bottom + 0.8), 0.5, "2.2 1.1");
    }
    let start = if list.begun { top } else { top + 2.6 };
    let mut points = vec![(axis.at(masses.first), start)];
    let mut levels = Vec::new();
    let (mut y, mut before) = (top, masses.first);
    for row in &list.rows {
        let middle = y + row.height / 2.0;
        if (row.mass - before).abs() > 1e-9 {
            points.push((axis.at(before), middle));
            points.push((axis.at(row.mass), middle));
            levels.push(path_labels::Change {
                from: before,
                to: row.mass,
                y: middle,
            });
        }
        before = row.mass;
        y += row.height;
    }
    points.push((axis.at(before), bottom));
    canvas.path(&points);
    let ends = [
        (!list.begun).then(|| (axis.at(masses.first), start)),
        (!list.unfinished).then(|| (axis.at(before), bottom)),
    ];
    for end in ends.into_iter().flatten() {
        canvas.dot(end);
    }
    let frame = ((KILOGRAMS.0 - 6.0, top), (TICKS - 0.5, bottom));
    let labels: Vec<Label> = path_labels::place(
        &points,
        (masses.first, before),
        &levels,
        masses.places,
        frame,
        |mass| axis.at(mass),
    );
    for label in labels {
        canvas.label(label.at, label.side, &label.text, true);
    }
    for aim in aims(masses, axis) {
        let down = f64::from(u32::try_from(aim.line).unwrap_or(0));
        let at = (aim.x, bottom + FOOT_LINE * (down + 0.6));
        canvas.label(at, aim.side, &aim.text, aim.bold);
    }
}
