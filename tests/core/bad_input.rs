//! Bad input through the compiler, without a disk: whatever a text holds, it is told where it stands, and nothing panics.

mod fastening;
use crate::generate;
pub(crate) mod properties;
mod walk;

use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::support::{compile_files, compile_text, told, told_of_text};
use boltfolio_core::base::finding::Severity;
use boltfolio_core::base::picture::{NoPictures, PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio_core::base::source::Source;
use boltfolio_core::compile::{Compilation, compile};

/// A small job without a finding; `{}` stands for more lines of its step.
const WREN: &str = "\
plan lamp-job \"Wren 900: lamp off and on\"
  for wren
vehicle wren \"Wren 900\"; body shell
part lamp \"Lamp\"; mass 1 kg weighed
joint lamp-clip: lamp to shell; clip; carries
step lamp-round \"Lamp off and on\"
  undo lamp-clip
{}  start lamp-clip
";

fn wren(lines: &str) -> String {
    WREN.replace("{}", lines)
}

/// Rules and lines of the findings, from 1.
fn lines(compilation: &Compilation) -> Vec<(&'static str, usize)> {
    compilation
        .findings
        .iter()
        .map(|finding| {
            let line = finding.place().map_or(0, |at| {
                let source = compilation.sources.get(at.source).expect("a known source");
                source.line_of(at.start) + 1
            });
            (finding.rule.name, line)
        })
        .collect()
}

fn whats(compilation: &Compilation) -> Vec<&str> {
    compilation
        .findings
        .iter()
        .map(|finding| finding.what.as_str())
        .collect()
}

/// The plan as data, without the places in the text that it came from.
pub(crate) fn plan_without_places(compilation: &Compilation) -> String {
    let shown = format!("{:?}", compilation.plan);
    let mut out = String::new();
    // A place is printed as `0:12..34`.
    for piece in shown.split_inclusive(|c: char| !(c.is_ascii_digit() || c == ':' || c == '.')) {
        let word = piece.trim_end_matches(|c: char| !(c.is_ascii_digit() || c == ':' || c == '.'));
        match word.contains("..") && word.contains(':') {
            true => out.push_str(&piece[word.len()..]),
            false => out.push_str(piece),
        }
    }
    out
}

#[test]
fn the_small_job_is_clean() {
    let compilation = compile_text(&wren(""));
    assert!(told(&compilation).is_empty(), "{:#?}", told(&compilation));
    assert_eq!(compilation.plan.steps.len(), 1);
}

#[test]
fn a_byte_order_mark_changes_nothing() {
    let plain = compile_text(&wren("  lower lamp by 5\n"));
    let marked = compile_text(&format!("\u{feff}{}", wren("  lower lamp by 5\n")));
    assert_eq!(lines(&plain), [("bare-number", 8)]);
    assert_eq!(
        format!("{:?}", plain.findings),
        format!("{:?}", marked.findings),
        "findings"
    );
    assert_eq!(
        format!("{:?}", plain.plan),
        format!("{:?}", marked.plan),
        "plan and places"
    );
    // In the middle of a text it is a hidden character.
    let inside = compile_text(&wren("  look \"a\u{feff}b\"\n"));
    assert_eq!(lines(&inside), [("hidden-characters", 8)]);
}

#[test]
fn line_ends_of_either_kind_give_the_same_plan_and_findings() {
    let text = format!(
        "{}  note\n    One.\n\n    Two, *set off*.\n  undo nothing,\n    lamp-clip\n  lower lamp by 5\nstrange line\n",
        wren("")
    );
    let unix = compile_text(&text);
    let dos = compile_text(&text.replace('\n', "\r\n"));
    assert_eq!(unix.findings.len(), 3, "{:#?}", told(&unix));
    assert_eq!(told(&unix), told(&dos));
    assert_eq!(plan_without_places(&unix), plan_without_places(&dos));
    assert!(plan_without_places(&unix).contains("One.\\n\\nTwo, *set off*."));
}

#[test]
fn a_carriage_return_that_ends_no_line_is_told() {
    assert_eq!(
        lines(&compile_text(&wren("  look \"a\rb\"\n"))),
        [("hidden-characters", 8)]
    );
}

#[test]
fn tabs_are_gaps() {
    let spaced = compile_text(&wren("  take off lamp\n  lower lamp by 5\n"));
    let text = wren("  take off lamp\n  lower lamp by 5\n")
        .replace("  ", "\t")
        .replace("take off lamp", "take\toff\t lamp");
    let tabbed = compile_text(&text);
    assert_eq!(told(&spaced), told(&tabbed));
    assert_eq!(plan_without_places(&spaced), plan_without_places(&tabbed));
}

#[test]
fn a_word_that_a_block_does_not_know_is_answered_with_those_that_it_does() {
    let compilation = compile_text("swap s \"Wheels\"\n  off wheel\n");
    let mut findings = compilation.findings.iter();
    let finding = findings.find(|finding| finding.rule.name == "unreadable-line");
    let words = &finding.expect("it is not understood").mend.words;
    assert_eq!(
        words,
        "What a swap block says: `comes off`, `goes on`, `optional`, `left out`, `needs`, `not with`."
    );
}

#[test]
fn a_block_of_no_kind() {
    let compilation = compile_text(&format!(
        "{}prat lamp-2 \"Other lamp\"\n  mass 1 kg\nXyz\n42\n",
        wren("")
    ));
    assert_eq!(
        lines(&compilation),
        [("unknown-block", 9), ("unknown-block", 11), ("unknown-block", 12)]
    );
    let mend = &compilation.findings[0].mend;
    assert_eq!(mend.edits[0].text, "part", "the nearest kind is offered");
}

#[test]
fn a_line_may_begin_with_a_semicolon() {
    let compilation = compile_text(&wren("  ; take off lamp;;\n;;\n"));
    assert!(told_of_text(&compilation).is_empty(), "{:#?}", told(&compilation));
    let plain = compile_text(&wren("  take off lamp\n"));
    assert_eq!(plan_without_places(&compilation), plan_without_places(&plain));
}

#[test]
fn bare_numbers_and_unknown_units() {
    let text = wren("  lower lamp by 5\n  lower lamp by 5 furlong\n  lower lamp by 5 kg\n")
        .replace("mass 1 kg weighed", "mass 1 weighed");
    let compilation = compile_text(&text);
    assert_eq!(
        lines(&compilation),
        [
            ("bare-number", 4),
            ("bare-number", 8),
            ("wrong-unit", 9),
            ("wrong-unit", 10)
        ],
        "{:#?}",
        told(&compilation)
    );
    let unknown = compile_text(&wren("").replace("1 kg weighed", "1 stone weighed"));
    assert_eq!(lines(&unknown), [("wrong-unit", 4)]);
    assert!(whats(&unknown)[0].contains("stone"), "{:?}", whats(&unknown));
}

/// NIST SP 811, B.8: ton, long and short; hundredweight, long and short. Which is meant nobody can guess.
#[test]
fn tons_and_hundredweights_say_which() {
    for (written, offered) in [
        (
            "ton",
            "Write `short ton` (2000 lb) or `long ton` (2240 lb); a tonne, 1000 kg, is `t`",
        ),
        ("tons", "`long ton` (2240 lb)"),
        ("cwt", "Write `short cwt` (100 lb) or `long cwt` (112 lb)"),
    ] {
        let compilation = compile_text(&wren("").replace("1 kg weighed", &format!("1 {written} weighed")));
        assert_eq!(lines(&compilation), [("wrong-unit", 4)], "{written}");
        assert!(
            whats(&compilation)[0].contains("America"),
            "{:?}",
            whats(&compilation)
        );
        let mend = &compilation.findings[0].mend.words;
        assert!(mend.contains(offered), "{mend}");
    }
    for written in ["short ton", "long tons", "short cwt", "long cwt", "t", "tonne"] {
        let compilation = compile_text(&wren("").replace("1 kg weighed", &format!("0.01 {written} weighed")));
        assert!(
            told_of_text(&compilation).is_empty(),
            "{written}: {:#?}",
            told(&compilation)
        );
    }
}

#[test]
fn two_hundred_mistakes_in_one_file() {
    let mut text = wren("");
    let mut planted = Vec::new();
    for n in 0..200 {
        let (line, rule) = match n % 5 {
            0 => (format!("  undo lost-{n}\n"), "unknown-name"),
            1 => ("  lover lamp\n".to_owned(), "unreadable-line"),
            2 => (format!("  lower lamp by {n}\n"), "bare-number"),
            3 => ("  lower lamp by 5 kg\n".to_owned(), "wrong-unit"),
            _ => (format!("Nonsense {n}\nstep s{n}\n"), "unknown-block"),
        };
        planted.push((rule, text.lines().count() + 1));
        text.push_str(&line);
    }
    let compilation = compile_text(&text);
    assert_eq!(planted.len(), 200);
    assert_eq!(lines(&compilation), planted);
}

#[test]
fn a_name_for_two_things() {
    let compilation = compile_text(&format!(
        "{}tool lamp \"Inspection lamp\"\nstep other\n  needs lamp\n",
        wren("")
    ));
    let twice = &compilation.findings[0];
    assert_eq!(twice.rule.name, "same-name-twice");
    let places: Vec<String> = twice
        .labels
        .iter()
        .map(|label| compilation.sources.place(label.span))
        .collect();
    assert_eq!(places, ["plan.boltplan:9", "plan.boltplan:4"]);
    assert!(
        lines(&compilation).contains(&("wrong-kind", 11)),
        "{:#?}",
        told(&compilation)
    );
}

#[test]
fn a_ring_of_assemblies() {
    let ring = "assembly a; of b, lamp\nassembly b; of c\nassembly c; of a\n";
    let compilation = compile_text(&format!("{}{ring}step s; take off a\n", wren("")));
    let rings: Vec<_> = compilation
        .findings
        .iter()
        .filter(|finding| finding.rule.name == "contains-itself")
        .collect();
    assert_eq!(rings.len(), 1, "{:#?}", told(&compilation));
    assert_eq!(rings[0].labels.len(), 3, "one for each assembly of the ring");
    let own = compile_text(&format!("{}assembly a; of a\nstep s; take off a\n", wren("")));
    assert!(lines(&own).contains(&("contains-itself", 9)));
}

/// Knows three names: one picture, one outside, one that is none.
struct Shelf;

impl Pictures for Shelf {
    fn find(&self, from: &str, file: &str) -> PictureFound {
        assert_eq!(from, "plan.boltplan");
        match file {
            "lamp.svg" => PictureFound::Is(PictureFile {
                key: "lamp.svg".to_owned(),
                kind: PictureKind::Svg,
                bytes: Arc::from(*b"<svg/>"),
            }),
            "../lamp.svg" => PictureFound::Outside,
            "lamp.txt" => PictureFound::NotAPicture("it is 3 bytes long and no PNG, JPEG or SVG".to_owned()),
            _ => PictureFound::Missing,
        }
    }
}

#[test]
fn pictures_missing_outside_and_none() {
    let lines_of_step = "  figure \"lamp.svg\" \"c\" \"d\"\n  figure \"gone.svg\" \"c\" \"d\"\n  figure \"../lamp.svg\" \"c\" \"d\"\n  figure \"lamp.txt\" \"c\" \"d\"\n";
    let source = Source::new("plan.boltplan", wren(lines_of_step), false);
    let compilation = compile(vec![source], &Shelf);
    assert_eq!(
        lines(&compilation),
        [
            ("missing-figure", 9),
            ("missing-figure", 10),
            ("missing-figure", 11)
        ],
        "{:#?}",
        told(&compilation)
    );
    let told = told(&compilation);
    assert!(
        told[0].contains("gone.svg") && told[2].contains("3 bytes"),
        "{told:#?}"
    );
    assert_ne!(whats(&compilation)[0], whats(&compilation)[1], "each says why");
    assert_eq!(compilation.pictures.keys().collect::<Vec<_>>(), ["lamp.svg"]);
}

#[test]
fn characters_that_are_not_seen() {
    for which in [
        '\u{202e}', '\u{2066}', '\u{200f}', '\u{61c}', '\u{0}', '\u{1b}', '\u{7f}', '\u{85}', '\u{2028}',
    ] {
        let compilation = compile_text(&wren(&format!("  lower lamp by 20 {which}mm\n")));
        assert_eq!(
            lines(&compilation),
            [("hidden-characters", 8)],
            "U+{:04X}",
            u32::from(which)
        );
    }
    // One finding a line, however many there are; other lines keep theirs.
    let compilation = compile_text(&wren("  note a\u{202e}b\u{202c}c\u{7}\n  lower lamp by 5\n"));
    assert_eq!(
        lines(&compilation),
        [("hidden-characters", 8), ("bare-number", 9)]
    );
    assert!(
        whats(&compilation)[0].contains("2 more"),
        "{:?}",
        whats(&compilation)
    );
}

#[test]
fn a_word_of_three_hundred_characters() {
    for letter in ["a", "é", "ß"] {
        let long = letter.repeat(300);
        let compilation = compile_text(&format!(
            "{}part {long} \"x\"\nstep s; take off {long}\n",
            wren("")
        ));
        assert_eq!(
            lines(&compilation),
            [("bad-name", 9)],
            "{:#?}",
            told(&compilation)
        );
        let text =
            wren(&format!("  note {long}\n  look \"{long}\"\n")).replace("\"Lamp\"", &format!("\"{long}\""));
        let compilation = compile_text(&text);
        assert!(told(&compilation).is_empty(), "{:#?}", told(&compilation));
        assert_eq!(
            compilation
                .plan
                .parts
                .values()
                .find(|part| &*part.head.name == "lamp")
                .and_then(|part| part.head.title.as_deref()),
            Some(long.as_str())
        );
    }
    // Where a keyword or a unit should stand it is told, and so it is as a mention of nothing.
    let long = "x".repeat(300);
    let compilation = compile_text(&format!(
        "{}{long}\nstep s\n  {long}\n  lower lamp by 5 {long}\n  undo {long}\n",
        wren("")
    ));
    assert_eq!(
        lines(&compilation),
        [
            ("unknown-block", 9),
            ("unreadable-line", 11),
            ("wrong-unit", 12),
            ("unknown-name", 13)
        ],
        "{:#?}",
        told(&compilation)
    );
}

#[test]
fn nesting_forty_deep() {
    for note in [
        format!("{}x", ">".repeat(40)),
        format!("{}x", "- ".repeat(40)),
        format!("{}x", "1. ".repeat(40)),
    ] {
        let compilation = compile_text(&wren(&format!("  note {note}\n")));
        assert_eq!(lines(&compilation), [("note-refused", 8)], "{note}");
    }
    let mut text = wren("");
    text.push_str("assembly n0; of lamp\n");
    for n in 1..=40 {
        text.push_str(&format!("assembly n{n}; of n{}\n", n - 1));
    }
    text.push_str("step all-off; take off n40\n");
    let compilation = compile_text(&text);
    assert!(told_of_text(&compilation).is_empty(), "{:#?}", told(&compilation));
    let outer = compilation
        .plan
        .assemblies
        .values()
        .last()
        .expect("the outermost");
    assert_eq!((&*outer.head.name, outer.parts.len()), ("n40", 1));
    let brackets = compile_text(&wren(&format!("  lower lamp {}5 mm\n", "(".repeat(400))));
    assert_eq!(lines(&brackets), [("unreadable-line", 8)]);
}

#[test]
fn nothing_two_plans_and_no_steps() {
    for text in ["", "\n", "   \n\t\n", "# only a remark"] {
        let compilation = compile_text(text);
        assert_eq!(lines(&compilation), [("no-plan", 0)], "{text:?}");
        assert_eq!(compilation.count(Severity::Fault), 1);
    }
    assert_eq!(lines(&compile_files(&[])), [("no-plan", 0)]);
    let files = [
        ("a.boltplan".to_owned(), wren("")),
        ("b.boltplan".to_owned(), "plan other \"Another\"\n".to_owned()),
    ];
    let two = compile_files(&files);
    assert_eq!(lines(&two), [("two-plans", 1)]);
    assert_eq!(two.findings[0].labels.len(), 2);
    let text = wren("");
    let stepless = text.split("step ").next().expect("what stands before");
    let compilation = compile_text(&format!("{stepless}swap s; comes off lamp, lamp-clip\n"));
    assert_eq!(
        lines(&compilation),
        [("no-steps", 1)],
        "{:#?}",
        told(&compilation)
    );
}

#[test]
fn what_is_not_utf_8() {
    let mut bytes = wren("  look \"20 ").into_bytes();
    bytes.push(0xb0);
    bytes.extend_from_slice(b"\"\n");
    let broken = Source::from_bytes("rest.boltplan", bytes, false);
    let compilation = compile(
        vec![Source::new("plan.boltplan", wren(""), false), broken],
        &NoPictures,
    );
    assert_eq!(
        lines(&compilation),
        [("not-utf-8", 9)],
        "{:#?}",
        told(&compilation)
    );
    assert!(whats(&compilation)[0].contains("0xB0"));
    for bytes in [vec![0xff, 0xfe, b'p', 0], vec![0xc3], vec![0xed, 0xa0, 0x80]] {
        let compilation = compile(vec![Source::from_bytes("x.boltplan", bytes, false)], &NoPictures);
        assert_eq!(lines(&compilation), [("not-utf-8", 1)]);
    }
}

#[test]
fn the_same_input_gives_the_same_findings() {
    let mut text = generate::plan(200 * 1024);
    text.push_str("step last\n  undo row-1-beem\n  lower row-2-set by 5\nodd\n");
    let print = |text: &str| {
        let compilation = compile_text(text);
        assert_eq!(compilation.findings.len(), 3, "{:#?}", told(&compilation));
        format!("{:?} {:?}", compilation.findings, compilation.plan)
    };
    assert!(print(&text) == print(&text));
}

/// Megabytes that the development profile reads in the time that a test may take; the benchmark reads more.
const LARGE: usize = 5 * 1024 * 1024;

fn within(seconds: u64, what: &str, work: impl FnOnce()) {
    let from = Instant::now();
    work();
    let took = from.elapsed();
    assert!(took < Duration::from_secs(seconds), "{what} took {took:?}");
}

#[test]
fn a_large_plan() {
    let text = generate::plan(LARGE);
    within(60, "a large plan", || {
        let compilation = compile_text(&text);
        assert!(
            told_of_text(&compilation).is_empty(),
            "{:?}",
            told(&compilation).first()
        );
        assert!(compilation.plan.joints.len() > 5000);
    });
}

#[test]
fn large_junk() {
    // Words and signs in a fixed disorder, no line of them a statement.
    let mut seed = 0x2545_f491_u32;
    let mut text = String::with_capacity(LARGE);
    let atoms = [
        "part",
        "zzz",
        "\"",
        ";",
        "\n",
        "\n  ",
        "5",
        "kg",
        "(",
        ",",
        "#",
        "note",
        "\u{202e}",
        "é",
        "joint a: b",
        "step ",
    ];
    while text.len() < LARGE {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        text.push_str(atoms[(seed >> 16) as usize % atoms.len()]);
        text.push(' ');
    }
    within(60, "junk", || {
        let compilation = compile_text(&text);
        assert!(compilation.findings.len() > 10_000);
    });
    // One line without an end, and one quote that never closes.
    for text in [
        "x ".repeat(LARGE / 2),
        format!("\"{}", "x".repeat(LARGE)),
        "(".repeat(LARGE / 4),
    ] {
        within(60, "one line", || {
            assert!(!compile_text(&text).findings.is_empty());
        });
    }
}

#[test]
fn a_decimal_comma_is_answered_with_a_point() {
    let one = |mass: &str| {
        let done = compile_text(&format!("part lamp \"Lamp\"; mass {mass} quoted\n"));
        let mut findings = done.findings.iter();
        let finding =
            findings.find(|finding| ["unreadable-line", "bare-number"].contains(&finding.rule.name));
        finding.map(|finding| {
            let edits = finding.mend.edits.iter().map(|edit| edit.text.clone());
            (finding.rule.name, edits.collect::<Vec<_>>())
        })
    };
    assert_eq!(one("5,8 kg"), Some(("unreadable-line", vec!["5.8".to_owned()])));
    assert_eq!(one("5.8 kg"), None);
    // With a space behind it a comma parts two figures.
    assert_eq!(one("5, 8 kg").map(|found| found.0), Some("bare-number"));
}

#[test]
fn a_rig_takes_one_end_or_both() {
    let one = |places: &str| {
        let text = format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren\"; body shell\nperson ada\nrig lift; lifts, holds\n\
             step a \"A\"; by ada; raise wren on lift at {places}\nstep b \"B\"; by ada; set wren down on floor\n"
        );
        told(&compile_text(&text))
            .iter()
            .any(|line| line.starts_with("unreadable-line"))
    };
    assert!(!one("jacking front, jacking rear"));
    assert!(!one("jacking rear, front"));
    assert!(one("jacking front, jacking front"));
    assert!(one("jacking front, jacking"));
}
