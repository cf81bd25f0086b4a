//! What paper must hold whatever a plan says, read from the finished frames and the finished PDF.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::base::letters;
use crate::base::picture::{PictureFile, PictureKind};
use crate::binder::document::{Block, CardRow, Column, Document, PaperSize, Section, plain};
use crate::binder::sizes;
use crate::press::fixture::{self, HOSTILE};
use crate::press::typst::engine::{self, PageFound};
use crate::press::typst::print;
use crate::press::{PressError, keys, pdf};

fn pages(document: &Document) -> Vec<PageFound> {
    print::make(document)
        .expect("the binder can be laid out")
        .laid
        .pages
}

/// All words of a page without any blanks: lines may break anywhere.
fn letters(page: &PageFound) -> String {
    page.ink
        .iter()
        .filter(|ink| ink.points.is_some())
        .flat_map(|ink| ink.what.chars())
        .filter(|sign| !sign.is_whitespace() && *sign != '\u{200B}')
        .collect()
}

/// The page of this number, from 1.
fn page(pages: &[PageFound], number: usize) -> &PageFound {
    pages.get(number - 1).expect("there are so many pages")
}

fn variants() -> Vec<Document> {
    let mut letter = fixture::binder();
    letter.paper = PaperSize::Letter;
    letter.two_sided = true;
    letter.black_ink = true;
    letter.not_proved = Some("NOT PROVED: 3 faults, page 2".into());
    let mut two_sided = fixture::binder();
    two_sided.two_sided = true;
    vec![fixture::binder(), letter, two_sided]
}

#[test]
fn every_key_is_on_one_page_inside_the_margins() {
    for document in variants() {
        let printed = pdf(&document).expect("nothing is lost");
        let wanted: BTreeSet<String> = keys::keys(&document).into_iter().map(|name| name.key).collect();
        let found: BTreeSet<String> = printed.page_of.keys().cloned().collect();
        assert_eq!(found, wanted);
        assert!(
            printed
                .page_of
                .values()
                .all(|page| (1..=printed.pages).contains(page))
        );
        assert!(printed.missing_glyphs.is_empty(), "{:?}", printed.missing_glyphs);
    }
}

#[test]
fn no_type_is_smaller_than_nine_points() {
    for document in variants() {
        let sizes: BTreeSet<u32> = pages(&document)
            .iter()
            .flat_map(|page| &page.ink)
            .filter_map(|ink| ink.points)
            .map(|points| points.round() as u32)
            .collect();
        assert_eq!(sizes.first(), Some(&9), "{sizes:?}");
        // The number 2.10 is set smaller than 28 points, so that it stands in its column.
        assert!(
            sizes.is_subset(&BTreeSet::from([9, 11, 12, 14, 16, 18, 19, 22, 24, 28, 36])),
            "{sizes:?}"
        );
    }
}

#[test]
fn a_message_stands_above_its_act_on_the_same_page() {
    for document in variants() {
        let pages = pages(&document);
        let mut places: BTreeMap<&str, (usize, f64)> = BTreeMap::new();
        for (page, number) in pages.iter().zip(1..) {
            for sign in page.signs.iter().filter(|sign| sign.kind == "k") {
                places.insert(&sign.name, (number, sign.y));
            }
        }
        let place = |key: &str| *places.get(key).unwrap_or_else(|| panic!("{key} is on paper"));
        for (message, act) in [
            ("message/bolt/1", "act/bolt/a"),
            ("message/bolt/2", "act/bolt/d"),
            ("message/long/0", "act/long/a"),
            ("message/long/1", "act/long/j"),
        ] {
            assert_eq!(place(message).0, place(act).0, "{message}");
            assert!(place(message).1 < place(act).1, "{message}");
        }
        assert_eq!(
            place("second/bolt").0,
            place("act/bolt/g").0.max(place("second/bolt").0)
        );
    }
}

#[test]
fn a_card_over_two_pages_repeats_its_head_and_others_stay_whole() {
    let document = fixture::binder();
    let pages = pages(&document);
    let start = pages
        .iter()
        .position(|page| page.signs.iter().any(|sign| sign.name == "step/long"))
        .expect("it is there");
    assert!(!letters(page(&pages, start + 1)).contains("continued"));
    assert!(letters(page(&pages, start + 2)).contains(",continued"));
    let printed = pdf(&document).expect("nothing is lost");
    for step in ["strap", "fill", "clip", "lower"] {
        let acts: BTreeSet<usize> = printed
            .page_of
            .iter()
            .filter(|(key, _)| key.starts_with(&format!("act/{step}/")) || **key == format!("step/{step}"))
            .map(|(_, page)| *page)
            .collect();
        assert_eq!(acts.len(), 1, "{step} stands on one page");
    }
}

#[test]
fn feet_and_index_name_the_right_pages() {
    let document = fixture::binder();
    let printed = pdf(&document).expect("nothing is lost");
    let pages = pages(&document);
    let total = pages.len();
    for (page, number) in pages.iter().zip(1..) {
        assert!(
            letters(page).contains(&format!("page{number}of{total}")),
            "page {number}"
        );
    }
    let on = |key: &str| *printed.page_of.get(key).expect("every step is on a page");
    let bolt = on("step/bolt");
    let last = letters(pages.last().expect("there are pages"));
    assert!(last.contains("U-bolts,left2.10,5.4"), "{last}");
    assert!(letters(page(&pages, bolt)).contains("Previous2.8.Next5.5"));
    assert!(letters(page(&pages, 2)).contains("PreviousCover.NextThejobononepage"));
}

#[test]
fn hostile_texts_are_printed_as_they_are() {
    let document = fixture::hostile();
    let made = print::make(&document).expect("nothing is evaluated");
    let all: String = made.laid.pages.iter().map(letters).collect();
    for text in HOSTILE {
        let wanted: String = text.chars().filter(|sign| !sign.is_whitespace()).collect();
        assert!(
            all.matches(&wanted).count() >= 8,
            "{text:?} is not printed as it is"
        );
    }
    pdf(&document).expect("nothing is lost");
}

#[test]
fn the_template_is_constant_and_free_of_errors() {
    let one = pdf(&fixture::binder()).expect("nothing is lost");
    assert_eq!(one.typst_source, print::template());
    let errors: Vec<String> = typst_syntax::parse(&one.typst_source)
        .errors_and_warnings()
        .0
        .iter()
        .map(|error| error.message.to_string())
        .collect();
    assert_eq!(errors, Vec::<String>::new());
    serde_json::from_str::<serde_json::Value>(&one.data_json).expect("the data are JSON");
}

#[test]
fn the_template_goes_by_the_sizes_that_it_is_given() {
    let own = [
        include_str!("constants.typ"),
        include_str!("marks.typ"),
        include_str!("blocks.typ"),
        include_str!("card.typ"),
        include_str!("binder.typ"),
    ]
    .concat();
    let lengths = sizes::LENGTHS.iter();
    let names = lengths.map(|(name, _)| name.to_ascii_lowercase().replace('_', "-"));
    let types = sizes::TYPES.iter().map(|size| format!("type-{}", size.points));
    for name in names.chain(types) {
        let is_name = |sign: char| sign.is_ascii_alphanumeric() || sign == '-';
        assert!(
            own.split(|sign| !is_name(sign)).any(|word| word == name),
            "{name}: not asked for"
        );
        assert!(!own.contains(&format!("#let {name} ")), "{name}: said once more");
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let first = pdf(&fixture::binder()).expect("nothing is lost").pdf;
    pdf(&variants().remove(1)).expect("another in between");
    assert!(first == pdf(&fixture::binder()).expect("nothing is lost").pdf);
}

#[test]
fn the_pdf_is_tagged_titled_and_has_bookmarks() {
    let printed = pdf(&fixture::binder()).expect("nothing is lost");
    let file = lopdf::Document::load_mem(&printed.pdf).expect("it is a PDF");
    assert_eq!(file.get_pages().len(), printed.pages);
    let catalog = file.catalog().expect("it has a catalog");
    for entry in [
        &b"Lang"[..],
        b"MarkInfo",
        b"StructTreeRoot",
        b"Outlines",
        b"Metadata",
        b"ViewerPreferences",
    ] {
        assert!(catalog.has(entry), "{}", String::from_utf8_lossy(entry));
    }
    let xmp = catalog
        .get(b"Metadata")
        .and_then(lopdf::Object::as_reference)
        .and_then(|id| file.get_object(id))
        .and_then(lopdf::Object::as_stream)
        .expect("it has metadata");
    let xmp = String::from_utf8_lossy(&xmp.content).into_owned();
    for wanted in [
        "pdfuaid:part>1",
        "pdfaid:part>2",
        "Steel axle out, light axle in",
        "2026-03-07",
    ] {
        assert!(xmp.contains(wanted), "{wanted} in {xmp}");
    }
}

#[test]
fn a_day_is_not_needed() {
    let mut document = fixture::binder();
    document.day = None;
    pdf(&document).expect("it is printed without");
}

#[test]
fn what_no_font_holds_is_named() {
    let mut document = fixture::binder();
    document.sections = vec![Section {
        alone: true,
        key: "odd".into(),
        title: "Odd signs 漢".into(),
        stage_mark: None,
        titled: true,
        blocks: vec![
            Block::Text(plain("🔧 spanner \u{202E}20 Nm\u{202C}")),
            Block::Text(plain(format!("{}\u{7}\u{0}\u{FEFF}", "e\u{301}\u{200D}"))),
        ],
    }];
    let printed = pdf(&document).expect("odd signs are no reason to fail");
    assert_eq!(printed.missing_glyphs, vec!['漢', '🔧']);
    assert!(!printed.data_json.contains('\u{202E}'));
}

#[test]
fn the_table_of_letters_is_what_the_faces_hold() {
    let told =
        |sign: &char| !sign.is_control() && !letters::is_unseen(*sign) && !letters::turns_direction(*sign);
    let private = |sign: &char| matches!(*sign, '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..);
    let all = ('\u{20}'..=char::MAX).filter(told).filter(|sign| !private(sign));
    for sign in all {
        let line_end = matches!(sign, '\u{2028}' | '\u{2029}');
        assert_eq!(
            letters::held(sign),
            engine::covers(sign) && !line_end,
            "U+{:04X}",
            u32::from(sign)
        );
        if letters::held(sign) {
            let (known, found) = (letters::advance(sign), engine::advance(sign));
            assert!(
                (known - found).abs() < 1e-6,
                "{sign:?}: {known}, and the faces have {found}"
            );
        }
    }
}

#[test]
fn a_broken_picture_is_named() {
    let mut document = fixture::binder();
    document.pictures = vec![PictureFile {
        key: "panel".into(),
        kind: PictureKind::Png,
        bytes: Arc::from(&b"no picture"[..]),
    }];
    let Err(PressError::Pictures(broken)) = pdf(&document) else {
        panic!("it must be refused")
    };
    assert_eq!(broken.first().map(|(key, _)| key.as_str()), Some("panel"));
    document.pictures.clear();
    assert_eq!(
        pdf(&document).err(),
        Some(PressError::Pictures(vec![(
            "panel".into(),
            "it is not there".into()
        )]))
    );
}

#[test]
fn what_runs_off_the_page_is_an_error() {
    let mut document = fixture::binder();
    for section in &mut document.sections {
        for block in &mut section.blocks {
            if let Block::Table(table) = block {
                table.columns = table
                    .columns
                    .iter()
                    .map(|column| Column {
                        width: 90,
                        ..column.clone()
                    })
                    .collect();
            }
        }
    }
    let Err(PressError::Lost(lost)) = pdf(&document) else {
        panic!("it must be refused")
    };
    assert!(
        lost.iter()
            .any(|line| line.contains("stands outside the margins")),
        "{lost:?}"
    );
}

#[test]
fn a_key_used_twice_is_an_error() {
    let mut document = fixture::binder();
    for block in document
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.blocks)
    {
        if let Block::Card(card) = block {
            for row in &mut card.rows {
                if let CardRow::Act(act) = row {
                    act.tick_proof = "tick/same".into();
                }
            }
        }
    }
    let Err(PressError::Lost(lost)) = pdf(&document) else {
        panic!("it must be refused")
    };
    assert!(
        lost.iter()
            .any(|line| line.starts_with("step 2.10, act b, its tick")),
        "{lost:?}"
    );
}

#[test]
fn columns_and_marks_stand_where_the_design_says() {
    let pages = pages(&fixture::binder());
    let page = pages
        .iter()
        .find(|page| page.signs.iter().any(|sign| sign.name == "step/bolt"))
        .expect("it is there");
    let sign = |name: &str| {
        page.signs
            .iter()
            .find(|sign| sign.name == name)
            .unwrap_or_else(|| panic!("{name}"))
    };
    let near = |value: f64, wanted: f64| assert!((value - wanted).abs() < 0.06, "{value} is not {wanted}");
    near(sign("act/bolt/b").x, 36.0);
    near(sign("fixing/bolt/b/1").x, 142.0);
    near(sign("fixing/bolt/b/2").x, 142.0 + 5.0 + 1.4);
    near(sign("tick/bolt/b").x, 191.0);
    // The stage mark of stage 5.
    assert!(page.ink.iter().any(|ink| {
        (ink.left - 200.0).abs() < 0.06
            && (ink.right - 206.0).abs() < 0.06
            && (ink.top - 116.0).abs() < 0.06
            && (ink.bottom - 132.0).abs() < 0.06
    }));
    // The tick's square is 7 mm outside its stroke.
    let tick = sign("tick/bolt/b");
    assert!(page.ink.iter().any(|ink| {
        (ink.left - tick.x).abs() < 0.06
            && (ink.right - tick.x - 7.0).abs() < 0.06
            && (ink.top - tick.y).abs() < 0.06
            && (ink.bottom - tick.y - 7.0).abs() < 0.06
    }));
    assert!(page.ink.iter().all(|ink| ink.left >= 20.0));
}
#[test]
fn texts_of_any_length_are_printed_whole() {
    let document = fixture::endless();
    let printed = pdf(&document).expect("long texts break over pages");
    let made = print::make(&document).expect("it was laid out just now");
    let all: String = made.laid.pages.iter().map(letters).collect();
    assert!(printed.pages > 20, "{}", printed.pages);
    for (text, at_least) in fixture::endless_texts().iter().zip([8, 1]) {
        let wanted: String = text.chars().filter(|sign| !sign.is_whitespace()).collect();
        let end: String = wanted.chars().skip(wanted.chars().count() - 30).collect();
        assert!(all.matches(&end).count() >= at_least, "the end of {end} is lost");
    }
}

#[test]
fn prose_nested_without_end_is_flattened() {
    let mut nested = vec![crate::binder::document::Prose::Paragraph(vec![
        crate::binder::document::Inline::Text("innermost".into()),
    ])];
    for turn in 0..200 {
        nested = vec![if turn % 2 == 0 {
            crate::binder::document::Prose::Quote(nested)
        } else {
            crate::binder::document::Prose::List {
                ordered_from: None,
                items: vec![nested],
            }
        }];
    }
    let mut document = fixture::binder();
    document.sections = vec![Section {
        alone: true,
        key: "deep".into(),
        title: "Deep".into(),
        stage_mark: None,
        titled: true,
        blocks: vec![Block::Prose(nested)],
    }];
    assert!(
        pages(&document)
            .iter()
            .any(|page| letters(page).contains("innermost"))
    );
}

/// Two pixels wide, four high.
const TALL_PNG: &[u8] = &[
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 2, 0, 0, 0, 4, 8, 2, 0, 0, 0, 43,
    141, 121, 110, 0, 0, 0, 16, 73, 68, 65, 84, 120, 156, 99, 112, 104, 56, 0, 68, 12, 216, 40, 0, 164, 28,
    12, 1, 180, 110, 128, 28, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

#[test]
fn a_tall_picture_is_kept_on_its_page() {
    let mut document = fixture::binder();
    let bytes = Arc::from(TALL_PNG);
    document.pictures = vec![PictureFile {
        key: "panel".into(),
        kind: PictureKind::Png,
        bytes,
    }];
    pdf(&document).expect("a picture higher than the page is made smaller");
    let pictures: Vec<f64> = pages(&document)
        .iter()
        .flat_map(|page| &page.ink)
        .filter(|ink| ink.what == "picture")
        .map(|ink| (ink.bottom - ink.top).round())
        .collect();
    // In a card it takes no more than three fifths of what it may elsewhere.
    assert_eq!(pictures, vec![200.0, 120.0]);
}
