//! Labels for bags, as sheets in a common grid: 63.5 by 38.1 mm on A4, 66.7 by 25.4 mm on Letter. Must not know the binder's own
//! pages.

use std::fmt::Write;
use std::sync::Arc;

use fast_qr::ECL;
use fast_qr::qr::QRBuilder;
use serde::Serialize;

use super::clean::Cleaner;
use super::engine;
use super::facts::{day, language};
use super::print::lengths_and_types;
use crate::base::picture::{PictureFile, PictureKind};
use crate::binder::cut;
use crate::binder::document::{Document, Label, PaperSize};
use crate::press::{Labels, PressError};

const TEMPLATE: [&str; 3] = [
    include_str!("constants.typ"),
    "#let proof(k) = metadata((\"k\", k))\n",
    include_str!("labels.typ"),
];

/// White modules on each side of a code, as its standard asks (ISO/IEC 18004).
const QUIET: usize = 4;

/// Letters of a name, count or place that fit their two lines, in an 11 pt and a 9 pt column of 40 mm.
const JOINT: usize = 38;
const SMALL: usize = 52;
const SMALL_LETTER: usize = 30;
/// Of the machine's name, below the code.
const SHORT: usize = 18;

#[derive(Serialize)]
struct File {
    title: String,
    /// Whose bags they are: two jobs lie in one shop.
    short: String,
    lang: String,
    region: Option<String>,
    day: Option<(u16, u8, u8)>,
    paper: PaperSize,
    /// There is room for a fourth line.
    roomy: bool,
    labels: Vec<One>,
}

#[derive(Serialize)]
struct One {
    /// Cut to its places.
    #[serde(flatten)]
    label: Label,
    /// Of its code.
    picture: String,
}

/// Prints the labels of a document; nothing where there is none.
///
/// # Errors
/// See [`PressError`].
pub fn print(document: &Document) -> Result<Option<Labels>, PressError> {
    if document.labels.is_empty() {
        return Ok(None);
    }
    let letter = document.paper == PaperSize::Letter;
    let mut clean = Cleaner::default();
    let mut pictures = Vec::new();
    let mut labels = Vec::new();
    for (label, nth) in document.labels.iter().zip(1..) {
        let picture = format!("pictures/{nth}.svg");
        let drawn = code(&label.code).ok_or_else(|| {
            PressError::Engine(vec![format!(
                "the code of bag {} has too long a text",
                label.number
            )])
        })?;
        pictures.push((
            picture.clone(),
            PictureFile {
                key: picture.clone(),
                kind: PictureKind::Svg,
                bytes: Arc::from(drawn.into_bytes()),
            },
        ));
        let small = if letter { SMALL_LETTER } else { SMALL };
        labels.push(One {
            label: Label {
                number: clean.text(&label.number, 40.0, 44.0),
                joint: clean.text(&cut(&label.joint, JOINT), 40.0, 11.0),
                what: clean.text(&cut(&label.what, small), 40.0, 9.0),
                from: clean.text(&cut(&label.from, SMALL), 40.0, 9.0),
                way: clean.text(&cut(&label.way, JOINT), 58.0, 11.0),
                ..label.clone()
            },
            picture,
        });
    }
    let (lang, region) = language(&document.language);
    let file = File {
        title: clean.text(&document.title, 200.0, 11.0),
        short: clean.text(&cut(&document.short, SHORT), 16.0, 9.0),
        lang,
        region,
        day: day(document),
        paper: document.paper,
        roomy: !letter,
        labels,
    };
    let json = serde_json::to_string(&file).map_err(|error| PressError::Engine(vec![error.to_string()]))?;
    let data = "#let file = json(\"data.json\")\n";
    let template = data.to_owned() + &lengths_and_types() + &TEMPLATE.concat();
    let laid = engine::lay_out(&template, &json, &[], &pictures);
    engine::tidy();
    let laid = laid.map_err(PressError::Engine)?;
    let found = laid
        .pages
        .iter()
        .flat_map(|page| &page.signs)
        .filter(|sign| sign.kind == "k")
        .count();
    if found != document.labels.len() {
        return Err(PressError::Lost(vec![format!(
            "{} labels of {} stand on the sheets",
            found,
            document.labels.len()
        )]));
    }
    Ok(Some(Labels {
        pages: laid.pages.len(),
        pdf: laid.pdf().map_err(PressError::Engine)?,
        labels: document.labels.len(),
        missing_glyphs: clean.missing(),
    }))
}

/// A text as a code, drawn; nothing if it is too long for one.
fn code(text: &str) -> Option<String> {
    let made = QRBuilder::new(text).ecl(ECL::M).build().ok()?;
    let side = made.size + 2 * QUIET;
    let mut path = String::new();
    for (y, row) in (0..made.size).map(|y| (y, &made[y])) {
        for (x, module) in row.iter().take(made.size).enumerate() {
            if module.value() {
                let _ = write!(path, "M{} {}h1v1h-1z", x + QUIET, y + QUIET);
            }
        }
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" width=\"{side}\" height=\"{side}\"><rect width=\"{side}\" \
         height=\"{side}\" fill=\"#fff\"/><path d=\"{path}\" fill=\"#000\"/></svg>"
    ))
}

#[cfg(test)]
mod tests {
    use super::{code, cut};

    /// Squares of the drawing that are black.
    fn black(svg: &str) -> Vec<(usize, usize)> {
        let path = svg.split("d=\"").nth(1).and_then(|rest| rest.split('"').next());
        let squares = path.expect("a path").split('M').filter(|part| !part.is_empty());
        squares
            .map(|square| {
                let place = square.split('h').next().expect("a place");
                let (x, y) = place.split_once(' ').expect("two figures");
                (x.parse().expect("x"), y.parse().expect("y"))
            })
            .collect()
    }

    /// That a reader of another make reads each code off the printed sheet is asked in `.ci/run`.
    #[test]
    fn a_code_has_its_white_around_it_and_its_three_corners() {
        let longest = "bag 123 the-long-name-of-a-joint-cut-where off 3.25 on 6.14 xx";
        assert_eq!(longest.len(), 62);
        let svg = code(longest).expect("drawn");
        // Version 4 of ISO/IEC 18004: 33 modules, and 4 white ones on each side; on 16 mm each is 0.39 mm wide.
        assert!(svg.contains("viewBox=\"0 0 41 41\""));
        let black = black(&svg);
        assert!(
            black
                .iter()
                .all(|&(x, y)| (4..37).contains(&x) && (4..37).contains(&y))
        );
        // A finder pattern: a ring of 7 by 7 around a core of 3 by 3, in three corners (clause 6.3.3).
        for (left, top) in [(4, 4), (30, 4), (4, 30)] {
            for (x, y) in (0..7).flat_map(|x| (0..7).map(move |y| (x, y))) {
                let ring = x == 0 || x == 6 || y == 0 || y == 6;
                let core = (2..5).contains(&x) && (2..5).contains(&y);
                assert_eq!(
                    black.contains(&(left + x, top + y)),
                    ring || core,
                    "{left} {top} {x} {y}"
                );
            }
        }
        assert_ne!(code("bag 1 seat-bolts off 1.2"), code("bag 2 seat-bolts off 1.2"));
        assert!(code(&"x".repeat(5000)).is_none());
    }

    #[test]
    fn what_does_not_fit_is_cut_with_a_sign() {
        assert_eq!(cut("short", 5), "short");
        assert_eq!(cut("shorter", 5), "shor…");
    }
}
