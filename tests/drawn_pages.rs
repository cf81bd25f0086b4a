//! The drawn pages of the demonstrations, printed: the job on one page, maps of joints, and pages that take the place of others.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

use std::path::Path;

use boltfolio::base::date::Date;
use boltfolio::base::picture::NoPictures;
use boltfolio::base::source::Source;
use boltfolio::binder::document::{Block, Document, PictureUse};
use boltfolio::binder::kept::Kept;
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::{Compilation, compile};
use boltfolio::plan::model::Paper;
use boltfolio::press;

fn sources(name: &str) -> Vec<Source> {
    fn walk(folder: &Path, shared: bool, into: &mut Vec<Source>) {
        let mut entries: Vec<_> = std::fs::read_dir(folder)
            .expect("a folder of specs")
            .map(|entry| entry.expect("an entry").path())
            .collect();
        entries.sort();
        for path in entries {
            if path.is_dir() {
                walk(&path, shared, into);
            } else if path.extension().is_some_and(|end| end == "boltplan") {
                let text = std::fs::read_to_string(&path).expect("a plan is text");
                // Their own pictures are not what is looked at here.
                let text: String = text
                    .lines()
                    .filter(|line| !line.trim_start().starts_with("figure "))
                    .flat_map(|line| [line, "\n"])
                    .collect();
                into.push(Source::new(path.to_string_lossy().into_owned(), text, shared));
            }
        }
    }
    let mut all = Vec::new();
    walk(&Path::new("specs").join(name), false, &mut all);
    walk(Path::new("specs/our-workshop"), true, &mut all);
    all
}

fn compiled(name: &str) -> Compilation {
    compile(sources(name), &NoPictures)
}

fn wanted(paper: Paper) -> Wanted {
    Wanted {
        paper: Some(paper),
        ..Wanted::printed(Date::read("2026-04-01").expect("a day"))
    }
}

fn used(document: &Document) -> Vec<(&PictureUse, String)> {
    let blocks = document.sections.iter().flat_map(|section| &section.blocks);
    blocks
        .flat_map(Block::pictures)
        .map(|used| {
            let file = document
                .pictures
                .iter()
                .find(|file| file.key == used.key)
                .expect("its file");
            (used, String::from_utf8(file.bytes.to_vec()).expect("text"))
        })
        .collect()
}

#[test]
fn the_job_stands_on_one_page() {
    for name in ["ouzel-front", "lathe-move"] {
        let done = compiled(name);
        for paper in [Paper::A4, Paper::Letter] {
            let printed = press::pdf(&bind(&done, &wanted(paper))).expect("printed");
            let own = |foot: &&String| foot.as_str() == "after Read first, before Get ready";
            assert_eq!(printed.feet.iter().filter(own).count(), 1, "{name} {paper:?}");
            let page = printed.page_of["done/stage/1"];
            assert_eq!(printed.page_of["done/stage/6"], page, "{name} {paper:?}");
        }
    }
}

/// Page ends, rows and messages together decide how many sheets lie in the shop: a change that costs some has to say so here.
#[test]
fn the_demonstration_needs_no_more_pages_than_it_did() {
    let document = bind(&compiled("ouzel-front"), &wanted(Paper::A4));
    let printed = press::pdf(&document).expect("printed");
    // Beside these each day of work has one page, and no more.
    let days = document.sections.iter().filter(|section| section.key.starts_with("day/"));
    assert!(printed.pages <= 68 + days.count(), "{}", printed.pages);
}

#[test]
fn a_message_stands_in_full_where_it_can_kill_and_else_once_a_stage() {
    let document = bind(&compiled("ouzel-front"), &wanted(Paper::A4));
    let blocks = || document.sections.iter().flat_map(|section| &section.blocks);
    let card = |number: &str| {
        blocks()
            .find_map(|block| match block {
                Block::Card(card) if card.number == number => Some(card),
                _ => None,
            })
            .expect("a card")
    };
    // A live spring is let go or taken up in each of these.
    for number in ["3.20", "3.21", "6.6", "6.7"] {
        let all: Vec<_> = card(number)
            .rows
            .iter()
            .filter_map(|row| match row {
                boltfolio::binder::document::CardRow::Message(message) => Some(message),
                _ => None,
            })
            .chain(&card(number).messages)
            .collect();
        let spring = all
            .iter()
            .find(|message| message.hazard.contains("coil spring"))
            .expect("told");
        assert!(!spring.again, "{number}");
        assert!(
            all.first().is_some_and(|first| first.hazard == spring.hazard),
            "{number}: it stands first"
        );
        assert!(
            all.iter()
                .any(|message| message.again && message.hazard.contains("raised vehicle")),
            "{number}"
        );
    }
    // Nothing is raised on this one: the line is enough, in the words that the plan has for it.
    let told = |number: &str| -> Vec<(bool, Vec<String>)> {
        let messages = card(number).messages.iter();
        let of_rows = card(number).rows.iter().filter_map(|row| match row {
            boltfolio::binder::document::CardRow::Message(message) => Some(message),
            _ => None,
        });
        messages
            .chain(of_rows)
            .filter(|message| message.hazard.starts_with("A raised vehicle"))
            .map(|message| (message.again, message.avoid.clone()))
            .collect()
    };
    assert_eq!(
        told("3.24"),
        [(true, vec!["Locks in, push, tell somebody.".to_owned()])]
    );
    assert!(
        told("3.12")
            .iter()
            .any(|(again, avoid)| !again && avoid.len() == 3),
        "where it first comes"
    );
}

#[test]
fn more_than_nine_stages_are_low_rows_on_two_pages() {
    let mut text =
        "plan p \"Wren: rounds\"; for wren; crew mo\nvehicle wren \"Wren 900\"; body shell\nperson mo\n"
            .to_owned();
    for nth in 1..=31 {
        text.push_str(&format!(
            "stage s{nth} \"Round {nth}, whose name is far too long for one line, or for two of them\"\n\
             step look-{nth} \"Look\"; by mo; look \"All well\"; time 20 min\n"
        ));
    }
    let done = compile(vec![Source::new("p.boltplan", text, false)], &NoPictures);
    let document = bind(&done, &wanted(Paper::Letter));
    let printed = press::pdf(&document).expect("printed");
    for nth in 1..=31 {
        assert!(
            printed.page_of.contains_key(&format!("done/stage/{nth}")),
            "{nth}"
        );
    }
    let blocks = document.sections.iter().flat_map(|section| &section.blocks);
    let rows: Vec<_> = blocks
        .filter_map(|block| match block {
            Block::Stages(list) => Some(&list.rows),
            _ => None,
        })
        .flatten()
        .collect();
    assert_eq!(rows.len(), 31);
    assert!(
        rows.iter()
            .all(|row| row.height < 12.0 && row.names.len() == 2 && row.names[1].ends_with('…'))
    );
}

#[test]
fn every_drawing_is_black_white_and_accent_and_says_what_it_shows() {
    for name in ["ouzel-front", "lathe-move"] {
        let document = bind(&compiled(name), &wanted(Paper::A4));
        let all = used(&document);
        assert!(all.iter().any(|(used, _)| used.key.contains("/map-")), "{name}");
        assert!(
            all.iter().any(|(used, _)| used.key.contains("/stages-")),
            "{name}"
        );
        for (used, svg) in all {
            let key = &used.key;
            assert!(key.starts_with("~drawn/"), "{key}");
            assert!(used.alt.len() > 30, "{key}: {}", used.alt);
            for name in ["fill=\"", "stroke=\""] {
                for colour in svg.split(name).skip(1).filter_map(|rest| rest.split('"').next()) {
                    assert!(
                        ["black", "white", "none", "#3A4A1C"].contains(&colour),
                        "{key}: {colour}"
                    );
                }
            }
            for width in svg
                .split("stroke-width=\"")
                .skip(1)
                .filter_map(|rest| rest.split('"').next())
            {
                assert!(width.parse::<f64>().expect("a width") >= 0.18, "{key}: {width}");
            }
            for size in svg
                .split("font-size=\"")
                .skip(1)
                .filter_map(|rest| rest.split('"').next())
            {
                assert!(size.parse::<f64>().expect("a size") >= 3.87, "{key}: {size}");
            }
            assert!(!svg.contains("NaN") && !svg.contains("rotate"), "{key}");
        }
    }
}

#[test]
fn a_map_has_every_joint_of_its_list() {
    let document = bind(&compiled("ouzel-front"), &wanted(Paper::A4));
    let sheets = document
        .sections
        .iter()
        .flat_map(|section| &section.blocks)
        .filter_map(|block| match block {
            Block::BeforeItMoves(sheet) => Some(sheet),
            _ => None,
        });
    let mut seen = 0;
    for sheet in sheets {
        let rows: Vec<_> = sheet.groups.iter().flat_map(|(_, rows)| rows).collect();
        let Some(map) = &sheet.map else {
            assert!(rows.len() < 4 || sheet.no_map.is_some(), "{}", sheet.title);
            continue;
        };
        seen += 1;
        let (_, svg) = used(&document)
            .into_iter()
            .find(|(used, _)| used.key == map.key)
            .expect("drawn");
        // A line a joint, and a broken one for each that hides.
        assert_eq!(
            svg.matches("stroke-width=\"0.7\"").count(),
            rows.len(),
            "{}",
            sheet.title
        );
        let hidden = |row: &&&boltfolio::binder::document::MoveRow| row.hidden;
        assert_eq!(
            svg.matches("stroke-dasharray").count(),
            rows.iter().filter(hidden).count()
        );
        for row in rows {
            let name = &row.joint[0].text;
            assert!(map.alt.contains(name.as_str()), "{name}: {}", map.alt);
        }
    }
    // Where a rig moves it: the bonnet, the bumper and the pipes have a line at their act.
    assert_eq!(seen, 1);
}

#[test]
fn changed_pages_have_the_numbers_and_the_content_of_the_whole() {
    let text = std::fs::read_to_string("specs/starter/starter.boltplan").expect("the starter");
    let compiled = |text: &str| {
        compile(
            vec![Source::new("p.boltplan", text.to_owned(), false)],
            &NoPictures,
        )
    };
    for sides in [
        boltfolio::plan::model::Sides::One,
        boltfolio::plan::model::Sides::Two,
    ] {
        let with = |kept: &str| Wanted {
            kept: Kept::read(kept),
            sides: Some(sides),
            ..wanted(Paper::A4)
        };
        let first = bind(&compiled(&text), &with(""));
        let changed = text.replace("time 25 min (20 to 60)", "time 35 min (20 to 60)");
        assert_ne!(changed, text);
        let second = bind(&compiled(&changed), &with(&first.kept.write()));
        assert!(second.changed.contains("step/seat-in"), "{:?}", second.changed);
        let whole = press::pdf(&second).expect("printed");
        let cut = press::changed(&second)
            .expect("printed")
            .expect("something changed");
        assert!(cut.pages < whole.pages, "{} of {}", cut.pages, whole.pages);
        let known = |text: &String| serde_json::from_str::<serde_json::Value>(text).expect("JSON");
        let pages: Vec<serde_json::Value> = cut.page_json.iter().map(known).collect();
        let numbers: Vec<u64> = pages.iter().filter_map(|page| page["number"].as_u64()).collect();
        for page in &pages {
            assert_eq!(page["total"].as_u64(), Some(whole.pages as u64));
        }
        assert_eq!(numbers.len(), cut.pages);
        for (key, page) in &cut.page_of {
            assert_eq!(numbers[page - 1], whole.page_of[key] as u64, "{key}");
        }
        // What stands on one of these pages in the whole stands there too: nothing is lost by taking the old page out.
        for (key, page) in &whole.page_of {
            if numbers.contains(&(*page as u64)) {
                assert!(cut.page_of.contains_key(key), "{key} on page {page}");
            }
        }
        // The feet are those of the whole.
        for (nth, number) in numbers.iter().enumerate() {
            let foot = whole.feet.get(*number as usize - 1).expect("a page of the whole");
            assert_eq!(cut.feet.get(nth), Some(foot));
        }
    }
    let again = bind(&compiled(&text), &wanted(Paper::A4));
    assert!(press::changed(&again).expect("nothing to print").is_none());
}
