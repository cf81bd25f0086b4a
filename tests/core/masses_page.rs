//! The page of masses as plain lines, and the drawings of mass path and wandering centre, for the demonstration.

use boltfolio_core::base::date::Date;
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::binder::document::{Block, Document};
use boltfolio_core::binder::{Wanted, bind, masses_page};
use boltfolio_core::compile::{Compilation, compile};

use crate::support::{plan_texts, sources_of};

fn compiled(name: &str) -> Compilation {
    compile(sources_of(&plan_texts(name)), &NoPictures)
}

fn wanted() -> Wanted {
    Wanted::printed(Date::read("2026-04-01").expect("a day"))
}

#[test]
fn the_page_of_the_demonstration() {
    let done = compiled("ouzel-front");
    let page = masses_page::lines(&done, &wanted(), None, 80).join("\n");
    // The path: what the strip takes off, drawn, and in figures alone where there is no room.
    assert!(
        page.contains("Strip the front                  713    −146  +--------------------+"),
        "{page}"
    );
    let narrow = masses_page::lines(&done, &wanted(), None, 50).join("\n");
    assert!(narrow.contains("713    −146\n"), "{narrow}");
    for part in [
        "first weighing                          889 ± 3 kg",
        "target                                  save 55 kg",
        "57.2 ± 2.5 kg are saved; the chance that it is met: about 96 %",
        "class minimum                               780 kg",
        "All of them",
        "right front and left rear, of the whole",
        "± 3 mm",
        // Rounded last: 19.41 + 7.40 + 13.06 + 16.555 are 56.425, and the rows add up to 56.5.
        "56.4    2.5",
        "± covers about 95 %, two standard deviations; +- in a plan is one.",
        "quoted mass is taken within 10 %, an estimated one within 20 %.",
        "A place is taken as known within 25 mm",
        // ISO 10392, 6.5: 13.5 kg gained of 889 kg, raised 420 mm of 2480 mm: 285 + 2480 x 13.5/(889 x 0.1718). A pad repeats to 0.5 kg and shows
        // 0.5 kg, u 0.52 kg; two an axle, level and raised: 2 x 2480 x 2 x 0.52/(889 x 0.1718) = 34 mm.
        "Height of the centre at the first weighing: 504 ± 34 mm, by the weighing with an end raised.",
        // 889 - 56.425 - 831.79 kg.
        "At the end it weighs 0.8 kg less than by the swaps alone: that is in no swap",
    ] {
        assert!(page.contains(part), "{part} in\n{page}");
    }
    // After a step that has much off, it says what is off for now and what stays off.
    let (step, _) = done
        .plan
        .steps
        .iter()
        .find(|(_, step)| &*step.head.name == "frame-down")
        .expect("a step of the demonstration");
    let lines = masses_page::lines(&done, &wanted(), Some(step), 80);
    let page = lines.join("\n");
    for part in ["off for now", "off, and stays off", "after step 3.26", "drained"] {
        assert!(page.contains(part), "{part} in\n{page}");
    }
    assert!(lines.iter().all(|line| line.chars().count() <= 110), "{page}");
    assert_eq!(lines, masses_page::lines(&done, &wanted(), Some(step), 80));
}

fn drawings(document: &Document) -> Vec<(String, String, String)> {
    let section = document
        .sections
        .iter()
        .find(|section| section.key == "weights")
        .expect("mass and balance");
    section
        .blocks
        .iter()
        .flat_map(Block::pictures)
        .filter_map(|used| {
            let file = document.pictures.iter().find(|file| file.key == used.key)?;
            let svg = String::from_utf8(file.bytes.to_vec()).expect("text");
            Some((used.key.clone(), svg, used.alt.clone()))
        })
        .collect()
}

#[test]
fn drawings_say_what_they_show() {
    for name in ["ouzel-front", "lathe-move"] {
        let done = compiled(name);
        let document = bind(&done, &wanted());
        let all = drawings(&document);
        assert_eq!(all.len(), 2, "{name}");
        for (key, svg, alt) in all {
            assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>\n"), "{key}");
            assert!(svg.contains("<title>") && svg.contains("<desc>"), "{key}");
            assert!(
                alt.len() > 60 && alt.contains(if key.contains("path") { "kg" } else { "mm" }),
                "{alt}"
            );
            // Nothing but black, white and the accent; no text over the edge.
            for piece in svg.split("fill=\"").skip(1) {
                let colour = piece.split('"').next().expect("a value");
                assert!(
                    ["black", "white", "none", "#3A4A1C"].contains(&colour),
                    "{key}: {colour}"
                );
            }
            for text in svg.split("<text ").skip(1) {
                let x: f64 = value(text, "x=\"");
                let letters = text
                    .split('>')
                    .nth(1)
                    .expect("a text")
                    .split('<')
                    .next()
                    .expect("a text");
                let width = letters.chars().count() as f64 * 3.88 * 0.56;
                let (left, right) = if text.contains("\"start\"") {
                    (x, x + width)
                } else if text.contains("\"end\"") {
                    (x - width, x)
                } else {
                    (x - width / 2.0, x + width / 2.0)
                };
                assert!(
                    left >= 0.0 && right <= 174.0,
                    "{key}: {letters} from {left} to {right}"
                );
            }
            assert_eq!(svg.matches('<').count(), svg.matches('>').count(), "{key}");
        }
    }
}

fn value(text: &str, name: &str) -> f64 {
    let from = text.find(name).expect("the attribute") + name.len();
    text[from..]
        .split('"')
        .next()
        .expect("a value")
        .parse()
        .expect("a number")
}

#[test]
fn the_path_ends_where_the_account_does() {
    let done = compiled("ouzel-front");
    let document = bind(&done, &wanted());
    let (_, svg, alt) = &drawings(&document)[0];
    assert!(
        svg.contains("<title>832 kg is reached in stage 7, 2 kg under the target</title>"),
        "{svg}"
    );
    assert!(
        alt.starts_with("The mass path: 889 kg at the first weighing"),
        "{alt}"
    );
    assert!(
        alt.contains("target 834 kg") && alt.contains("class minimum 780 kg"),
        "{alt}"
    );
}
