//! A plan that asks everything of a page at once, compiled and printed as anybody's, and its pages judged.

mod judge;

use std::path::Path;
use std::sync::Arc;

use boltfolio::base::date::Date;
use boltfolio::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio::base::source::Source;
use boltfolio::binder::document::{Block, Document};
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::compile;
use boltfolio::plan::model::{Paper, Sides};
use boltfolio::press;

use crate::stress_plan as stress;
use crate::stress_plan::Size;
use crate::support::{plan_texts, sources_of};

struct Drawing;

impl Pictures for Drawing {
    fn find(&self, _from: &str, file: &str) -> PictureFound {
        PictureFound::Is(PictureFile {
            key: file.to_owned(),
            kind: PictureKind::Svg,
            bytes: Arc::from(stress::DRAWING.as_bytes()),
        })
    }
}

/// The demonstrations' own drawings.
struct Figures;

impl Pictures for Figures {
    fn find(&self, from: &str, file: &str) -> PictureFound {
        let path = Path::new(from).parent().expect("a folder").join(file);
        PictureFound::Is(PictureFile {
            key: path.to_string_lossy().into_owned(),
            kind: PictureKind::Svg,
            bytes: Arc::from(std::fs::read(&path).expect("a drawing of the demonstration")),
        })
    }
}

fn bound(sources: Vec<Source>, pictures: &dyn Pictures, paper: Paper, sides: Sides) -> Document {
    let compilation = compile(sources, pictures);
    let day = Date {
        year: 2026,
        month: 3,
        day: 7,
    };
    bind(
        &compilation,
        &Wanted {
            paper: Some(paper),
            sides: Some(sides),
            ..Wanted::printed(day)
        },
    )
}

/// Prints the stress plan of this size; nothing may be wrong with its pages.
fn judged(size: &Size, paper: Paper, sides: Sides) -> (Document, usize) {
    let plan = Source::new("stress.boltplan", stress::plan(size), false);
    let document = bound(vec![plan], &Drawing, paper, sides);
    let pages = stands_whole(&document, &format!("stress-{}-{paper:?}-{sides:?}", size.rows));
    (document, pages)
}

/// Nothing is wrong with its pages; gives how many there are.
fn stands_whole(document: &Document, name: &str) -> usize {
    let (printed, pages) = match press::pdf_and_pages(document) {
        Ok(both) => both,
        Err(error) => panic!("{}", error.to_string().chars().take(4000).collect::<String>()),
    };
    // To look at: BOLTFOLIO_KEEP=folder.
    if let Some(folder) = std::env::var_os("BOLTFOLIO_KEEP") {
        std::fs::write(Path::new(&folder).join(format!("{name}.pdf")), &printed.pdf).expect("written");
    }
    let mut wrong = judge::judge(document, &pages);
    let lost = judge::lost(document, &pages);
    wrong.extend(lost.into_iter().map(|text| format!("{text:?} is on no page")));
    assert!(
        wrong.is_empty(),
        "{name}: {} wrong:\n{}",
        wrong.len(),
        wrong.iter().take(60).cloned().collect::<Vec<_>>().join("\n")
    );
    assert!(printed.missing_glyphs.is_empty(), "{:?}", printed.missing_glyphs);
    printed.pages
}

/// Rows of its torque table, and acts of each card.
fn rows(document: &Document) -> (usize, Vec<usize>) {
    let (mut torques, mut acts) = (0, Vec::new());
    for section in &document.sections {
        for block in &section.blocks {
            match block {
                Block::Card(card) => acts.push(card.rows.len()),
                Block::Table(table) if section.key == "first-run" => {
                    torques += table.groups.iter().map(|group| group.rows.len()).sum::<usize>();
                }
                _ => {}
            }
        }
    }
    (torques, acts)
}

#[test]
fn everything_at_once_stands_whole_on_a4() {
    let (document, pages) = judged(&stress::MODERATE, Paper::A4, Sides::One);
    assert!(pages > 600, "{pages} pages");
    let (torques, acts) = rows(&document);
    assert!(acts.iter().any(|rows| *rows > 400), "400 joints in one step");
    assert!(acts.len() > 600, "{} cards", acts.len());
    assert!(torques > 300, "{torques} rows of torques");
}

#[test]
fn everything_at_once_stands_whole_on_either_paper_and_either_side() {
    for (paper, sides) in [
        (Paper::A4, Sides::Two),
        (Paper::Letter, Sides::One),
        (Paper::Letter, Sides::Two),
    ] {
        judged(&stress::SMALL, paper, sides);
    }
}

#[test]
fn a_table_of_two_thousand_rows_stands_whole() {
    let (document, pages) = judged(&stress::HEAVY, Paper::Letter, Sides::Two);
    assert!(pages > 3000, "{pages} pages");
    let (torques, acts) = rows(&document);
    assert!(torques > 2000, "{torques} rows of torques");
    assert!(acts.len() > 4000, "{} cards", acts.len());
}

#[test]
fn the_demonstrations_stand_whole_on_either_paper() {
    for name in ["starter", "lathe-move", "siskin-choices", "ouzel-front"] {
        for (paper, sides) in [(Paper::A4, Sides::One), (Paper::Letter, Sides::Two)] {
            let document = bound(sources_of(&plan_texts(name)), &Figures, paper, sides);
            stands_whole(&document, &format!("{name}-{paper:?}"));
        }
    }
}
