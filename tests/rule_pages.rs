//! Every rule has its page; its broken example yields that finding and no other, the mended one none.

mod support;

use boltfolio::rules;
use support::{compile_files, fences, files, told};

#[test]
fn pages_agree_with_their_rules() {
    let mut names = std::collections::BTreeSet::new();
    for family in rules::catalogue() {
        for rule in family.rules {
            assert!(names.insert(rule.name), "{} is declared twice", rule.name);
            let mut lines = rule.page.lines().filter(|line| !line.is_empty());
            assert_eq!(lines.next(), Some(format!("# {}", rule.name).as_str()));
            assert_eq!(
                lines.next(),
                Some(rule.severity.word()),
                "{}: severity",
                rule.name
            );
            assert_eq!(lines.next(), Some(rule.summary), "{}: summary", rule.name);
            for part in ["## What it guards against", "## Source"] {
                assert!(rule.page.contains(part), "{}: {part}", rule.name);
            }
        }
    }
    for entry in std::fs::read_dir("specs/rules").expect("the folder of pages") {
        let path = entry.expect("an entry").path();
        let stem = path
            .file_stem()
            .and_then(|stem| stem.to_str())
            .expect("a name")
            .to_owned();
        let retired = rules::RETIRED.iter().any(|(name, _)| **name == *stem);
        assert!(
            names.contains(stem.as_str()) || retired,
            "{} is the page of no rule",
            path.display()
        );
    }
}

#[test]
fn broken_examples_are_found_and_mended_ones_are_clean() {
    let mut wrong = Vec::new();
    for rule in rules::catalogue().iter().flat_map(|family| family.rules) {
        let examples = fences(rule.page);
        if rule.page.contains("no example:") {
            assert!(examples.is_empty(), "{}", rule.name);
            continue;
        }
        assert_eq!(examples.len(), 2, "{}: a broken and a mended example", rule.name);
        let broken = compile_files(&files(&examples[0]));
        let found: Vec<&str> = broken.findings.iter().map(|finding| finding.rule.name).collect();
        if found != [rule.name] {
            wrong.push(format!("{} breaks into {:#?}", rule.name, told(&broken)));
        }
        let mended = compile_files(&files(&examples[1]));
        if !mended.findings.is_empty() {
            wrong.push(format!("{} mended: {:#?}", rule.name, told(&mended)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
