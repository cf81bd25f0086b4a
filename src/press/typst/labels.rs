//! Labels for bags, as sheets in a common grid: 63.5 by 38.1 mm on A4, 66.7 by 25.4 mm on Letter. Must not know the binder's own
//! pages.

use serde::Serialize;

use super::clean::Cleaner;
use super::engine::{self, Laid};
use super::facts::{day, language};
use super::print::lengths_and_types;
use crate::binder::cut;
use crate::binder::document::{Document, Label, PaperSize};
use crate::press::{Labels, PressError, words};

const TEMPLATE: [&str; 3] = [
    include_str!("constants.typ"),
    "#let proof(k) = metadata((\"k\", k))\n",
    include_str!("labels.typ"),
];

/// Letters of a name, count or place that fit their two lines, in an 11 pt and a 9 pt column of 40 mm.
const JOINT: usize = 38;
const SMALL: usize = 52;
const SMALL_LETTER: usize = 30;
/// Of the machine's name, at the label's end.
const SHORT: usize = 9;

#[derive(Serialize)]
struct File {
    title: String,
    /// Whose bags they are: two jobs lie in one shop.
    machine: String,
    /// Its first word.
    short: String,
    /// Above the labels of each sheet.
    sheet: &'static str,
    goes_back: &'static str,
    stays_off: &'static str,
    rule: &'static str,
    lang: String,
    region: Option<String>,
    day: Option<(u16, u8, u8)>,
    paper: PaperSize,
    /// There is room for a fourth line.
    roomy: bool,
    /// Cut to their places.
    labels: Vec<Label>,
}

/// Prints the labels of a document; nothing where there is none.
///
/// # Errors
/// See [`PressError`].
pub fn print(document: &Document) -> Result<Option<Labels>, PressError> {
    if document.labels.is_empty() {
        return Ok(None);
    }
    let (laid, missing_glyphs) = lay(document)?;
    Ok(Some(Labels {
        pages: laid.pages.len(),
        pdf: laid.pdf().map_err(PressError::Engine)?,
        labels: document.labels.len(),
        missing_glyphs,
    }))
}

fn lay(document: &Document) -> Result<(Laid, Vec<char>), PressError> {
    let letter = document.paper == PaperSize::Letter;
    let mut clean = Cleaner::default();
    let mut labels = Vec::new();
    for label in &document.labels {
        let small = if letter { SMALL_LETTER } else { SMALL };
        labels.push(Label {
            number: clean.text(&label.number, 40.0, 38.0),
            joint: clean.text(&cut(without_side(label), JOINT), 40.0, 11.0),
            what: clean.text(&cut(&label.what, small), 40.0, 9.5),
            from: clean.text(&cut(&label.from, SMALL), 40.0, 9.0),
            way: clean.text(&cut(&label.way, JOINT), 58.0, 10.0),
            ..label.clone()
        });
    }
    let (lang, region) = language(&document.language);
    let file = File {
        title: clean.text(&document.title, 200.0, 11.0),
        machine: clean.text(&cut(&document.short, SMALL_LETTER), 60.0, 9.0),
        short: clean.text(
            &cut(document.short.split(' ').next().unwrap_or_default(), SHORT),
            16.0,
            8.0,
        ),
        sheet: words::TRUE_SIZE,
        goes_back: words::GOES_BACK,
        stays_off: words::STAYS_OFF,
        rule: words::FIFTY,
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
    let laid = engine::lay_out(&template, &json, &[], &[]);
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
    Ok((laid, clean.missing()))
}

/// The side stands beside the number.
fn without_side(label: &Label) -> &str {
    let ends = [", left", ", right"];
    let base = ends.iter().find_map(|end| label.joint.strip_suffix(end));
    base.filter(|_| label.side.is_some()).unwrap_or(&label.joint)
}

#[cfg(test)]
mod tests {
    use super::{cut, lay};
    use crate::binder::document::{FixingShape, Label, PaperSize, TrueSize};
    use crate::press::fixture;

    #[test]
    fn what_does_not_fit_is_cut_with_a_sign() {
        assert_eq!(cut("short", 5), "short");
        assert_eq!(cut("shorter", 5), "shor…");
    }

    fn of(drawn: TrueSize) -> Label {
        Label {
            side: None,
            leaves: false,
            number: "12".to_owned(),
            joint: "Rack bolts".to_owned(),
            what: "4 bolts".to_owned(),
            from: String::new(),
            way: "off 2.6 · on 5.4".to_owned(),
            drawn: Some(drawn),
            proof: "label/rack-bolts".to_owned(),
        }
    }

    /// Of the outlines of what is drawn.
    const LINE: f64 = 0.35;

    /// Widths and heights of what is drawn on the sheet, from the middle of one line to that of the other, in hundredths of a millimetre.
    fn drawn(of_label: Label) -> Vec<(i64, i64)> {
        let mut document = fixture::binder();
        document.paper = PaperSize::A4;
        document.labels = vec![of_label];
        let (laid, _) = lay(&document).expect("laid out");
        let pages = laid.with_ink().pages;
        let hundredths = |length: f64| ((length - LINE) * 100.0).round() as i64;
        pages
            .iter()
            .flat_map(|page| &page.ink)
            .filter(|ink| ink.what == "shape")
            .map(|ink| (hundredths(ink.right - ink.left), hundredths(ink.bottom - ink.top)))
            .collect()
    }

    /// An M10 bolt of 45 mm is 45 mm long, 10 mm thick, its head 16 mm across flats and 6.4 mm high (ISO 4014); a nut M8 is 13 mm across flats and
    /// 13 / cos 30° over its corners.
    #[test]
    fn a_bolt_is_drawn_as_long_as_it_is() {
        let bolt = TrueSize {
            shape: FixingShape::Hexagon,
            count: 4,
            thread: 10.0,
            length: Some(45.0),
            across: 16.0,
            high: 6.4,
        };
        let shapes = drawn(of(bolt.clone()));
        assert!(shapes.contains(&(4500, 1000)), "{shapes:?}");
        assert!(shapes.contains(&(640, 1600)), "{shapes:?}");
        let long = drawn(of(TrueSize {
            length: Some(90.0),
            ..bolt.clone()
        }));
        assert!(!long.iter().any(|(wide, _)| *wide == 9000), "broken: {long:?}");
        let nut = drawn(of(TrueSize {
            shape: FixingShape::Nut,
            count: 1,
            thread: 8.0,
            across: 13.0,
            ..bolt
        }));
        // Its corners' mitres stand out a little.
        let is_nut = |&(wide, high): &(i64, i64)| (1501..=1511).contains(&wide) && high == 1300;
        assert!(nut.iter().any(is_nut), "{nut:?}");
        // The rule that proves the scale ends where its line ends.
        assert!(nut.contains(&(5000 - 35, 0)), "{nut:?}");
    }
}
