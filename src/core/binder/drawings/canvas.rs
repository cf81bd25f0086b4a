//! The sheet that a drawing is put on: lines, paths, marks and labels in millimetres, black on white with the one accent. Knows no plan and no
//! message.

use std::fmt::Write;

use super::super::sizes::{T11, T16, whole};
use super::{Drawing, metrics};

/// The accent of figures and paths: sedge, 9.65 to 1 on white by WCAG 2.2, that of the pages.
const SEDGE: &str = "#3A4A1C";
/// 11 pt, in mm: drawing text.
pub const TEXT: f64 = T11.mm();

/// 16 pt, in mm.
pub const BIG: f64 = T16.mm();
/// Between the lines of a hatch, measured along its edge.
const HATCH: f64 = 1.4;

/// Collects the pieces of one drawing.
#[derive(Debug)]
pub struct Canvas {
    width: f64,
    height: f64,
    body: String,
}

/// Where a label stands to its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side {
    Right,
    Left,
    Middle,
}

impl Canvas {
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            body: String::new(),
        }
    }

    fn push(&mut self, piece: std::fmt::Arguments<'_>) {
        // Writing to a text cannot fail.
        let _ = self.body.write_fmt(piece);
        self.body.push('\n');
    }

    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, dashes: &str) {
        let dashes = if dashes.is_empty() {
            String::new()
        } else {
            format!(" stroke-dasharray=\"{dashes}\"")
        };
        self.push(format_args!(
            "<path d=\"M{} {} L{} {}\" fill=\"none\" stroke=\"black\" stroke-width=\"{width}\"{dashes}/>",
            n(from.0),
            n(from.1),
            n(to.0),
            n(to.1)
        ));
    }

    /// A path in the accent, with a white halo so that it stands off from what it crosses.
    pub fn path(&mut self, points: &[(f64, f64)]) {
        if points.len() < 2 {
            return;
        }
        let d = polyline(points);
        for (colour, width) in [("white", 2.2), (SEDGE, 1.1)] {
            self.push(format_args!(
                "<path d=\"{d}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-linejoin=\"round\"/>"
            ));
        }
    }

    pub fn polygon(&mut self, points: &[(f64, f64)], width: f64) {
        self.push(format_args!(
            "<path d=\"{}Z\" fill=\"none\" stroke=\"black\" stroke-width=\"{width}\"/>",
            polyline(points)
        ));
    }

    pub fn square(&mut self, middle: (f64, f64), side: f64, filled: bool) {
        let fill = if filled { "black" } else { "white" };
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\" stroke=\"black\" stroke-width=\"0.5\"/>",
            n(middle.0 - side / 2.0),
            n(middle.1 - side / 2.0),
            n(side),
            n(side)
        ));
    }

    pub fn rectangle(&mut self, middle: (f64, f64), width: f64, height: f64) {
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"black\" stroke-width=\"0.35\"/>",
            n(middle.0 - width / 2.0),
            n(middle.1 - height / 2.0),
            n(width),
            n(height)
        ));
    }

    pub fn ellipse(&mut self, middle: (f64, f64), half_width: f64, half_height: f64) {
        self.push(format_args!(
            "<ellipse cx=\"{}\" cy=\"{}\" rx=\"{}\" ry=\"{}\" fill=\"none\" stroke=\"black\" stroke-width=\"0.18\"/>",
            n(middle.0),
            n(middle.1),
            n(half_width),
            n(half_height)
        ));
    }

    /// A filled area.
    pub fn black(&mut self, left: f64, top: f64, width: f64, height: f64) {
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"black\" stroke=\"none\"/>",
            n(left),
            n(top),
            n(width),
            n(height)
        ));
    }

    /// An area with a rim inside its own edge, white or hatched at 45 degrees.
    pub fn area(&mut self, left: f64, top: f64, width: f64, height: f64, hatched: bool) {
        let (inner, rim) = (0.25, 0.5);
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"white\" stroke=\"black\" stroke-width=\"{rim}\"/>",
            n(left + inner),
            n(top + inner),
            n((width - rim).max(0.01)),
            n((height - rim).max(0.01))
        ));
        if hatched {
            self.hatch(left, top, width, height);
        }
    }

    /// Lines rising to the right at 45 degrees, as far apart as `HATCH`, cut off at the area's edge.
    pub fn hatch(&mut self, left: f64, top: f64, width: f64, height: f64) {
        let mut along = HATCH / 2.0;
        while along < width + height {
            let from = (left + (along - height).max(0.0), top + along.min(height));
            let to = (left + along.min(width), top + (along - width).max(0.0));
            self.line(from, to, 0.18, "");
            along += HATCH;
        }
    }

    /// A number in the accent, 16 pt, its middle at this height.
    pub fn number(&mut self, at: (f64, f64), text: &str) {
        self.push(format_args!(
            "<text x=\"{}\" y=\"{}\" font-size=\"{BIG}\" font-weight=\"700\" fill=\"{SEDGE}\" stroke=\"none\">{}</text>",
            n(at.0),
            n(at.1 + BIG * 0.35),
            escaped(text)
        ));
    }

    pub fn dot(&mut self, middle: (f64, f64)) {
        self.push(format_args!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"1.1\" fill=\"{SEDGE}\" stroke=\"white\" stroke-width=\"0.3\"/>",
            n(middle.0),
            n(middle.1)
        ));
    }

    /// Text on a white ground, its middle at this height.
    pub fn label(&mut self, at: (f64, f64), side: Side, text: &str, bold: bool) {
        let width = wide(text);
        let (anchor, left) = match side {
            Side::Right => ("start", at.0),
            Side::Left => ("end", at.0 - width),
            Side::Middle => ("middle", at.0 - width / 2.0),
        };
        self.push(format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"white\" stroke=\"none\"/>",
            n(left - 0.4),
            n(at.1 - TEXT / 2.0),
            n(width + 0.8),
            n(TEXT)
        ));
        let weight = if bold { " font-weight=\"600\"" } else { "" };
        self.push(format_args!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\" stroke=\"none\"{weight}>{}</text>",
            n(at.0),
            n(at.1 + TEXT * 0.35),
            escaped(text)
        ));
    }

    /// Under the key that belongs to this name.
    pub fn done(self, name: &str, title: String, alt: String) -> Drawing {
        let (width, height) = (n(self.width), n(self.height));
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}mm\" height=\"{height}mm\" \
             font-family=\"IBM Plex Sans\" font-size=\"{TEXT}\" fill=\"black\" role=\"img\">\n<title>{}</title>\n<desc>{}</desc>\n\
             <rect x=\"0\" y=\"0\" width=\"{width}\" height=\"{height}\" fill=\"white\"/>\n{}</svg>\n",
            escaped(&title),
            escaped(&alt),
            self.body
        );
        Drawing {
            key: super::key(name),
            svg,
            caption: title,
            alt,
            width: whole(self.width),
        }
    }
}

fn polyline(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (nth, (x, y)) in points.iter().enumerate() {
        let letter = if nth == 0 { "M" } else { "L" };
        let _ = write!(d, "{letter}{} {} ", n(*x), n(*y));
    }
    d.trim_end().to_owned()
}

/// Hundredths of a millimetre, without an idle zero behind.
fn n(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// How wide a text of drawings runs at most, in mm.
pub fn wide(text: &str) -> f64 {
    metrics::width(text, TEXT)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
