//! Every rule has its page; its broken example yields that finding and no other, in the words that stand there, the mended one none.

use crate::support::{compile_files, fences, files, told};
use boltfolio::press::terminal::{self, Look};
use boltfolio::rules;

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

/// As a terminal of 80 columns shows what is found in a page's broken plan.
fn shown(page: &str) -> Option<String> {
    let broken = compile_files(&files(fences(page).first()?));
    let look = Look {
        columns: 80,
        colour: false,
        plain_signs: false,
        most: 50,
    };
    let text = terminal::findings(&[&broken], look);
    // What stands under any finding is no part of this one.
    let found = text.split("\n`boltfolio why").next().unwrap_or(&text);
    let lines: Vec<&str> = found.trim_end().lines().map(str::trim_end).collect();
    Some(lines.join("\n"))
}

const HEAD: &str = "## What it says\n```text\n";
const MEND: &str = "## The mend\n";

/// The page with these words in their place: between the broken plan and the mend.
fn saying(page: &str, words: &str) -> String {
    let (before, mend) = page.split_once(MEND).expect("a mend");
    let before = before.split(HEAD).next().unwrap_or(before);
    format!("{before}{HEAD}{words}\n```\n\n{MEND}{mend}")
}

/// `BOLTFOLIO_UPDATE=1` writes the words anew: read them in the diff before it is committed.
#[test]
fn pages_show_what_a_terminal_shows() {
    let mut stale = Vec::new();
    for rule in rules::catalogue().iter().flat_map(|family| family.rules) {
        let path = format!("specs/rules/{}.md", rule.name);
        let page = std::fs::read_to_string(&path).expect("its page");
        let Some(words) = shown(&page) else { continue };
        let wanted = saying(&page, &words);
        if page == wanted {
            continue;
        }
        if std::env::var_os("BOLTFOLIO_UPDATE").is_some() {
            std::fs::write(&path, wanted).expect("written");
        } else {
            stale.push(format!("{path} does not show:\n{words}\n"));
        }
    }
    assert!(
        stale.is_empty(),
        "{}\nrun it with BOLTFOLIO_UPDATE=1, and read the diff",
        stale.join("\n")
    );
}
