//! A plan that asks everything of a page at once, compiled and printed as anybody's, and its pages judged.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod judge;
#[path = "../support/stress.rs"]
mod stress;

use std::sync::Arc;

use boltfolio::base::date::Date;
use boltfolio::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio::base::source::Source;
use boltfolio::binder::document::{Block, Document};
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::compile;
use boltfolio::plan::model::{Paper, Sides};
use boltfolio::press;

use stress::Size;

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

fn bound(text: String, paper: Paper, sides: Sides) -> Document {
    let compilation = compile(vec![Source::new("stress.boltplan", text, false)], &Drawing);
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

/// Prints a plan of this size, and gives the document and all that is wrong with its pages.
fn judged(size: &Size, paper: Paper, sides: Sides) -> (Document, usize) {
    let document = bound(stress::plan(size), paper, sides);
    let (printed, pages) = match press::pdf_and_pages(&document) {
        Ok(both) => both,
        Err(error) => panic!("{}", error.to_string().chars().take(4000).collect::<String>()),
    };
    // To look at: BOLTFOLIO_KEEP=folder.
    if let Some(folder) = std::env::var_os("BOLTFOLIO_KEEP") {
        let name = format!("stress-{}-{paper:?}-{sides:?}.pdf", size.rows);
        std::fs::write(std::path::Path::new(&folder).join(name), &printed.pdf).expect("written");
    }
    let mut wrong = judge::judge(&document, &pages);
    let lost = judge::lost(&document, &pages);
    wrong.extend(lost.into_iter().map(|text| format!("{text:?} is on no page")));
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.iter().take(60).cloned().collect::<Vec<_>>().join("\n")
    );
    assert!(printed.missing_glyphs.is_empty(), "{:?}", printed.missing_glyphs);
    (document, printed.pages)
}

#[test]
fn everything_at_once_stands_whole_on_a4() {
    let (document, pages) = judged(&stress::MODERATE, Paper::A4, Sides::One);
    assert!(pages > 600, "{pages} pages");
    let acts: Vec<usize> = document
        .sections
        .iter()
        .flat_map(|section| &section.blocks)
        .filter_map(|block| match block {
            Block::Card(card) => Some(card.rows.len()),
            _ => None,
        })
        .collect();
    assert!(acts.iter().any(|rows| *rows > 400), "400 joints in one step");
    assert!(acts.len() > 600, "{} cards", acts.len());
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

/// 2,000 rows of the torque table and as many steps, twice: `cargo test --test stress -- --ignored`; `.ci/run` does it.
#[test]
#[ignore = "minutes"]
fn a_table_of_two_thousand_rows_stands_whole() {
    let (_, pages) = judged(&stress::HEAVY, Paper::Letter, Sides::Two);
    assert!(pages > 3000, "{pages} pages");
}
