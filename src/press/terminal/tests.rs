//! What a finding looks like, and what it must never do to a terminal.

use super::{Look, findings, width};
use crate::base::finding::{Finding, Rule, Severity};
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::compile::Compilation;

static WOULD_FALL: Rule = Rule {
    name: "would-fall",
    severity: Severity::Fault,
    summary: "",
    page: "",
    acceptable: true,
};

const WIDE: Look = Look {
    columns: 80,
    colour: false,
    plain_signs: false,
    most: 50,
};

fn span(sources: &[Source], source: u32, text: &str) -> Span {
    let at = sources
        .get(source as usize)
        .and_then(|source| source.text().find(text))
        .expect("the test's text holds it");
    let at = u32::try_from(at).expect("a small text");
    Span::new(
        SourceId(source),
        at,
        at + u32::try_from(text.len()).expect("small"),
    )
}

fn compiled(sources: Vec<Source>, findings: Vec<Finding>) -> Compilation {
    Compilation {
        sources: Sources::new(sources),
        findings,
        ..Compilation::default()
    }
}

fn two_files() -> Compilation {
    let strip = "stage strip \"Strip\"\nstep drop \"Rack off\"\n  undo rack-hose\n  undo rack-bolts\n  take off rack\n";
    let joints = "joint rack-bolts: rack to frame; carries\njoint rack-hose: rack to pump; hose of oil\n";
    let sources = vec![
        Source::new("ouzel/joints.boltplan", joints, false),
        Source::new("ouzel/strip.boltplan", strip, false),
    ];
    let finding = Finding::new(&WOULD_FALL, "Nothing holds the rack once its bolts are out")
        .at(span(&sources, 1, "undo rack-bolts"), "the last that carries it")
        .at(span(&sources, 0, "rack-bolts"), "carries the rack")
        .harm("It drops onto whoever undoes the second bolt.")
        .mend("`hold rack with table` before line 4");
    compiled(sources, vec![finding])
}

#[test]
fn a_finding_reads_from_what_to_mend_over_two_files() {
    let shown = findings(&[&two_files()], WIDE);
    let expected = "\
fault would-fall: Nothing holds the rack once its bolts are out
   ╭─[ouzel/strip.boltplan:4:3]
 3 │   undo rack-hose
 4 │   undo rack-bolts
   ·   ───────┬───────
   ·          ╰── the last that carries it
 5 │   take off rack
   ╰────
   ╭─[ouzel/joints.boltplan:1:7]
 1 │ joint rack-bolts: rack to frame; carries
   ·       ─────┬────
   ·            ╰── carries the rack
 2 │ joint rack-hose: rack to pump; hose of oil
   ╰────
  If left: It drops onto whoever undoes the second bolt.
  Fix: `hold rack with table` before line 4

`boltfolio why would-fall` explains the rule.
1 fault
";
    assert_eq!(shown, expected);
}

#[test]
fn colour_and_signs_are_as_the_look_says() {
    let plain = findings(
        &[&two_files()],
        Look {
            plain_signs: true,
            ..WIDE
        },
    );
    assert!(plain.is_ascii(), "{plain}");
    let coloured = findings(&[&two_files()], Look { colour: true, ..WIDE });
    assert!(coloured.contains("\u{1b}[1;31mfault would-fall:\u{1b}[0m"));
    assert!(!findings(&[&two_files()], WIDE).contains('\u{1b}'));
}

#[test]
fn every_line_keeps_to_a_narrow_terminal() {
    for columns in [30, 40, 57] {
        let shown = findings(&[&two_files()], Look { columns, ..WIDE });
        for line in shown.lines() {
            assert!(width(line) <= columns, "{columns}: {line:?}\n{shown}");
        }
        let together: String = shown.split_whitespace().collect();
        assert!(together.contains("whoeverundoesthesecondbolt."), "{shown}");
    }
}

#[test]
fn nothing_from_a_plan_moves_the_cursor_or_turns_the_text() {
    let text = "step x \"20 Nm\u{202e}\u{1b}[2J\r\u{7}\"\n";
    let sources = vec![Source::new("a\u{1b}b.boltplan", text, false)];
    let finding = Finding::new(&WOULD_FALL, "what \u{1b}[31m\u{2066}")
        .at(
            span(&sources, 0, "20 Nm\u{202e}\u{1b}[2J\r"),
            "label \u{202e}\n\u{1b}c",
        )
        .harm("harm \u{9b}2J")
        .mend("mend \u{1b}]0;x\u{7}")
        .edit(span(&sources, 0, "step"), "edit \u{1b}[0m");
    let shown = findings(&[&compiled(sources, vec![finding])], WIDE);
    let bad: Vec<char> = shown.chars().filter(|&c| c != '\n' && super::unseen(c)).collect();
    assert!(bad.is_empty(), "{bad:?}\n{shown}");
    assert!(shown.contains("20 Nm<U+202E><U+001B>[2J"), "{shown}");
}

#[test]
fn a_line_of_megabytes_is_clipped_around_its_mark() {
    let text = format!("{}needle{}\n", "é".repeat(2_000_000), "x".repeat(2_000_000));
    let sources = vec![Source::new("a.boltplan", text, false)];
    let finding = Finding::new(&WOULD_FALL, "there").at(span(&sources, 0, "needle"), "here it is");
    let shown = findings(&[&compiled(sources, vec![finding])], WIDE);
    assert!(shown.contains("needle"), "{shown}");
    assert!(shown.lines().all(|line| width(line) <= 80), "{shown}");
    assert!(
        shown.contains(" 1 │ …é") && shown.contains("xx…") && shown.contains(":1:2000001]"),
        "{shown}"
    );
}

#[test]
fn marks_at_every_place_of_a_small_text_are_drawn() {
    let text = "ab\tü\r\n\n漢字 z\nlast";
    let ends: Vec<u32> = (0..=text.len()).filter_map(|at| u32::try_from(at).ok()).collect();
    for &start in &ends {
        for &end in ends.iter().filter(|&&end| end >= start) {
            let sources = vec![Source::new("a.boltplan", text, false)];
            let finding = Finding::new(&WOULD_FALL, "w")
                .at(Span::new(SourceId(0), start, end), "first-mark")
                .at(Span::new(SourceId(0), end, end), "other-mark");
            let shown = findings(&[&compiled(sources, vec![finding])], WIDE);
            for words in ["first-mark", "other-mark"] {
                assert!(shown.contains(words), "{start}..{end}\n{shown}");
            }
        }
    }
}

#[test]
fn many_findings_are_capped_gravest_first_and_cost_little() {
    let text = "step a \"A\"\n".repeat(400_000);
    let sources = vec![Source::new("a.boltplan", text, false)];
    let mut list: Vec<Finding> = (0..5_000u32)
        .map(|n| {
            let mut finding = Finding::new(&WOULD_FALL, format!("n{n}"))
                .at(Span::new(SourceId(0), n * 880, n * 880 + 4), "");
            finding.severity = Severity::Advice;
            finding
        })
        .collect();
    if let Some(last) = list.last_mut() {
        last.severity = Severity::Fault;
    }
    let done = compiled(sources, list);
    let shown = findings(&[&done], WIDE);
    assert_eq!(shown.matches("would-fall: n").count(), 50);
    assert!(
        shown.contains("would-fall: n4999\n"),
        "the only fault is among those shown"
    );
    assert!(shown.contains("4950 more, none more serious; `--all` shows every one."));
    assert!(shown.ends_with("1 fault, 4999 advice\n"));
    let all = findings(
        &[&done],
        Look {
            most: usize::MAX,
            ..WIDE
        },
    );
    assert_eq!(all.matches("would-fall: n").count(), 5_000);
}

#[test]
fn edits_show_where_they_go_and_are_not_wrapped() {
    let text = "step seat-out \"Seat out\"\n  undo seat-bolts\n  look \"x\"\n";
    let sources = vec![
        Source::new("a.boltplan", text, false),
        Source::new("b.boltplan", "part x\n", false),
    ];
    let undo = span(&sources, 0, "undo seat-bolts");
    let finding = Finding::new(&WOULD_FALL, "Nothing bears the seat")
        .at(undo, "")
        .edit(undo, "hold seat by tom; undo seat-bolts")
        .edit(span(&sources, 0, "look \"x\""), "")
        .edit(span(&sources, 1, "part x").after(), "\nrig bench; holds");
    let shown = findings(&[&compiled(sources, vec![finding])], WIDE);
    for piece in [
        "  Write, for `undo seat-bolts` in line 2:\n      hold seat by tom; undo seat-bolts\n",
        "  Take out `look \"x\"` in line 3.\n",
        "  Write, at b.boltplan:1:\n      rig bench; holds\n",
    ] {
        assert!(shown.contains(piece), "{piece}\n{shown}");
    }
}
