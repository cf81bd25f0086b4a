//! Both formats, read back with a reader of our own choosing.

use serde_json::Value;

use super::{Checked, json, sarif};
use crate::base::finding::{Finding, Rule, Severity};
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::compile::Compilation;
use crate::plan::model::{Accept, Said};

static LEFT_OPEN: Rule = Rule {
    name: "left-open",
    severity: Severity::Doubt,
    summary: "A line stays open",
    page: "# left-open\n",
    acceptable: true,
};
static WOULD_FALL: Rule = Rule {
    name: "would-fall",
    severity: Severity::Fault,
    summary: "",
    page: "",
    acceptable: true,
};

fn sample() -> Compilation {
    let text = "step ü \"x\"\n  undo a\u{202e}b\n";
    let here = Span::new(SourceId(0), 5, 7);
    let there = Span::new(SourceId(0), 14, 18);
    let accept = Accept {
        rule: Said::new("left-open".into(), here),
        names: Vec::new(),
        because: "It is empty".into(),
        at: here,
    };
    Compilation {
        sources: Sources::new(vec![Source::new("ouzel/a b.boltplan", text, false)]),
        findings: vec![
            Finding::new(&WOULD_FALL, "falls \u{202e}\u{1b}")
                .at(there, "here")
                .at(here, "")
                .harm("hurts")
                .mend("hold it")
                .edit(there.after(), "hold a\n"),
        ],
        accepted: vec![(Finding::new(&LEFT_OPEN, "open").about("hose"), accept)],
        ..Compilation::default()
    }
}

fn read(text: &str) -> Value {
    serde_json::from_str(text).expect("the output is JSON")
}

#[test]
fn json_says_all_that_a_finding_says() {
    let done = sample();
    let reached = ["specs/ouzel/a b.boltplan".to_owned()];
    let text = json(&[Checked {
        compilation: &done,
        reached: &reached,
    }]);
    assert!(!text.contains(['\u{202e}', '\u{1b}']), "{text}");
    let value = read(&text);
    assert_eq!(
        value["counts"],
        serde_json::json!({"fault": 1, "doubt": 0, "advice": 0, "accepted": 1})
    );
    assert_eq!(
        value["findings"][0],
        serde_json::json!({
            "rule": "would-fall", "severity": "fault", "what": "falls \u{202e}\u{1b}",
            "places": [
                {"path": "specs/ouzel/a b.boltplan", "line": 2, "column": 3, "end_line": 2, "end_column": 7, "words": "here"},
                {"path": "specs/ouzel/a b.boltplan", "line": 1, "column": 6, "end_line": 1, "end_column": 7, "words": ""},
            ],
            "harm": "hurts",
            "mend": {"words": "hold it", "edits": [
                {"path": "specs/ouzel/a b.boltplan", "line": 2, "column": 7, "end_line": 2, "end_column": 7, "text": "hold a\n"},
            ]},
            "about": [],
        })
    );
    assert_eq!(value["findings"][1]["accepted"], "It is empty");
    assert_eq!(value["findings"][1]["about"][0], "hose");
}

#[test]
fn sarif_has_levels_places_fixes_and_suppressions() {
    let done = sample();
    let reached = ["specs/ouzel/a b.boltplan".to_owned()];
    let value = read(&sarif(&[Checked {
        compilation: &done,
        reached: &reached,
    }]));
    assert_eq!(value["version"], "2.1.0");
    let run = &value["runs"][0];
    let ids: Vec<&str> = run["tool"]["driver"]["rules"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|rule| rule["id"].as_str())
        .collect();
    assert_eq!(ids, ["left-open", "would-fall"]);
    let fall = &run["results"][0];
    assert_eq!((&fall["level"], &fall["ruleIndex"]), (&"error".into(), &1.into()));
    assert_eq!(fall["locations"].as_array().map(Vec::len), Some(1));
    let place = &fall["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "specs/ouzel/a%20b.boltplan");
    assert_eq!(place["region"]["startLine"], 2);
    assert_eq!(fall["relatedLocations"].as_array().map(Vec::len), Some(1));
    let replacement = &fall["fixes"][0]["artifactChanges"][0]["replacements"][0];
    assert_eq!(replacement["insertedContent"]["text"], "hold a\n");
    let open = &run["results"][1];
    assert_eq!(open["level"], "warning");
    assert_eq!(open["suppressions"][0]["justification"], "It is empty");
}

#[test]
fn nothing_found_is_still_a_whole_report() {
    let done = Compilation::default();
    let checked = [Checked {
        compilation: &done,
        reached: &[],
    }];
    assert_eq!(read(&json(&checked))["findings"], serde_json::json!([]));
    assert_eq!(
        read(&sarif(&checked))["runs"][0]["results"],
        serde_json::json!([])
    );
}

#[test]
fn columns_on_one_endless_line_are_counted_once() {
    let text = "é;".repeat(1_000_000);
    let findings = (0..100_000u32)
        .map(|n| Finding::new(&WOULD_FALL, "x").at(Span::new(SourceId(0), n * 30, n * 30 + 2), ""))
        .collect();
    let done = Compilation {
        sources: Sources::new(vec![Source::new("a", text, false)]),
        findings,
        ..Compilation::default()
    };
    let value = read(&json(&[Checked {
        compilation: &done,
        reached: &[],
    }]));
    assert_eq!(value["findings"][99_999]["places"][0]["column"], 99_999 * 20 + 1);
}
