//! Layout never changes what a text says: word for word, comment for comment, and the plan that is made of it. On all plans of the
//! project, on the pages' examples, and on texts that are put together or spoilt by chance.

use std::time::{Duration, Instant};

use crate::bad_input::plan_without_places;
use crate::bad_input::properties::text_of_atoms;
use crate::generate;
use crate::support::{compile_files, compile_text, fences, files, plan_files, root};
use boltfolio_core::base::source::{Source, SourceId};
use boltfolio_core::compile::Compilation;
use boltfolio_core::rules;
use boltfolio_core::syntax::grammar::parse;
use boltfolio_core::syntax::tidy::{edits, edits_in, tidied};
use boltfolio_core::syntax::tree::{Statement, TokenKind, Tree};
use proptest::prelude::{ProptestConfig, Strategy, any, prop, proptest};

const PLANS: &[&str] = &["ouzel-front", "lathe-move", "siskin-choices", "starter"];

/// A statement: the block that it is in, whether it is a note, and its words.
type Words = (usize, bool, Vec<(TokenKind, String)>);

fn words(text: &str) -> Vec<Words> {
    let tree: Tree = parse(text);
    let one = |block: usize, statement: &Statement| {
        let tokens = tree.tokens(statement).iter().map(|token| {
            let word = &text[token.start() as usize..token.end() as usize];
            // A comma goes on over line ends and comments.
            let word = if token.kind() == TokenKind::Comma {
                ","
            } else {
                word
            };
            (token.kind(), word.to_owned())
        });
        (block, statement.is_note, tokens.collect())
    };
    let strays = tree.strays().iter().map(|statement| one(0, statement));
    let blocks = tree.blocks().iter().enumerate();
    let rest = blocks.flat_map(|(nth, &block)| tree.statements(block).iter().map(move |s| (nth + 1, s)));
    strays
        .chain(rest.map(|(nth, statement)| one(nth, statement)))
        .collect()
}

/// All that is no space and no line end, in order: comments and semicolons are no words.
fn ink(text: &str) -> String {
    let blank = |c: char| matches!(c, ' ' | '\t' | '\n' | '\u{a0}' | '\u{2009}' | '\u{202f}');
    text.replace("\r\n", "\n")
        .chars()
        .filter(|&c| !blank(c))
        .collect()
}

#[track_caller]
fn holds(text: &str) -> String {
    let new = tidied(text);
    assert_eq!(words(&new), words(text), "{text:?} became {new:?}");
    assert_eq!(ink(&new), ink(text), "{text:?} became {new:?}");
    assert_eq!(tidied(&new), new, "twice is once: {text:?}");
    new
}

fn told(compilation: &Compilation) -> Vec<(&str, &str, &str)> {
    let findings = compilation.findings.iter();
    findings
        .map(|found| (found.rule.name, found.what.as_str(), found.mend.words.as_str()))
        .collect()
}

#[track_caller]
fn means_the_same(before: &[(String, String)]) {
    let after: Vec<(String, String)> = before
        .iter()
        .map(|(name, text)| (name.clone(), holds(text)))
        .collect();
    let (before, after) = (compile_files(before), compile_files(&after));
    assert_eq!(plan_without_places(&before), plan_without_places(&after));
    assert_eq!(told(&before), told(&after));
}

#[test]
fn the_projects_plans_are_tidy() {
    for plan in PLANS.iter().chain(&["our-workshop"]) {
        let all = plan_files(plan);
        for (path, text) in &all {
            assert_eq!(&tidied(text), text, "`boltfolio tidy {path}`");
        }
        means_the_same(&all);
    }
    let pages = ["README.md", "grammar/REFERENCE.md", "specs/ouzel-front/README.md"];
    for page in pages {
        let text = std::fs::read_to_string(root().join(page)).expect("the page");
        for fence in fences(&text) {
            assert_eq!(tidied(&fence), fence, "{page}");
        }
    }
}

#[test]
fn the_plans_on_the_rules_pages_are_tidy() {
    let mut seen = 0;
    for rule in rules::catalogue().iter().flat_map(|family| family.rules) {
        for (name, text) in fences(rule.page).iter().flat_map(|fence| files(fence)) {
            seen += 1;
            let new = holds(&text);
            // Characters that nobody sees are what one page is about.
            if rule.name != "hidden-characters" {
                assert_eq!(new, text, "{} of {}", name, rule.name);
            }
        }
    }
    assert!(seen > 200, "{seen} plans");
}

/// The same words with other gaps between them: the gaps of a text, each in the place of one that is written so.
fn spoilt(text: &str, gaps: &[usize]) -> String {
    let mut out = String::new();
    let mut turn = gaps.iter().cycle();
    let mut next = |all: &[&str]| {
        let turn = turn.next().expect("there are some");
        all[turn % all.len()].to_owned()
    };
    // Lines of a note keep their places to each other, and so do blank lines in it.
    let mut note: Option<usize> = None;
    for line in text.lines() {
        let body = line.trim_start_matches(' ');
        let depth = line.len() - body.len();
        if note.is_some_and(|word| depth > word || body.is_empty()) {
            let more = if body.is_empty() { "" } else { "    " };
            out.push_str(&format!("{more}{line}\n"));
            continue;
        }
        note = (depth > 0 && (body == "note" || body.starts_with("note "))).then_some(depth);
        if depth > 0 {
            out.push_str(&if note.is_some() {
                "      ".to_owned()
            } else {
                next(&[" ", "\t", "   ", "      "])
            });
        }
        let is_text = note.is_some() || body.starts_with('#');
        let mut quoted = false;
        for (at, c) in body.char_indices() {
            quoted ^= c == '"';
            match c {
                ' ' if !quoted && !is_text && !body[at..].starts_with(" #") => {
                    out.push_str(&next(&[" ", " ", "  ", "\t", "\u{a0}"]));
                }
                ';' if !quoted && !is_text => out.push_str(&next(&[";", " ;", ";;"]).replace(";;", ";")),
                _ => out.push(c),
            }
            if body[at..].starts_with(" #") && !quoted {
                out.push_str(&body[at + 1..]);
                break;
            }
        }
        if note.is_none() {
            out.push_str(&next(&["", "", " ", "\t "]));
        }
        out.push_str(&next(&["\n", "\n", "\r\n"]));
        if body.is_empty() {
            out.push_str(&next(&["", "\n", " \n\n"]));
        }
    }
    out
}

fn gaps() -> impl Strategy<Value = Vec<usize>> {
    prop::collection::vec(0usize..60, 20..60)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_whatsoever(text in any::<String>()) {
        holds(&text);
    }

    #[test]
    fn any_text_of_the_languages_pieces(text in text_of_atoms()) {
        holds(&text);
    }

    /// Where lines begin, end, go on and hold notes, in all their ways.
    #[test]
    fn any_text_of_signs(signs in prop::collection::vec(prop::sample::select(
        vec!["a", "note", ",", ";", "#", " ", " ", "\t", "\u{a0}", "\n", "\n", "\n  ", "\r", "\r\n", "\"", "(", ")", ":", "1", "-"]), 0..24)) {
        holds(&signs.concat());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// What a text of pieces means as a plan, or where it is none.
    #[test]
    fn texts_mean_what_they_meant(text in text_of_atoms()) {
        let (before, after) = (compile_text(&text), compile_text(&tidied(&text)));
        assert_eq!(plan_without_places(&before), plan_without_places(&after), "{text:?}");
        assert_eq!(told(&before), told(&after), "{text:?}");
    }

    /// Of some lines only: still the same words, and no line outside of their blocks changed.
    #[test]
    fn a_part_means_what_it_meant(text in text_of_atoms(), first in 0usize..20, more in 0usize..5) {
        let file = Source::new("a", text, false);
        let tree = parse(file.text());
        let mut new = file.text().to_owned();
        for edit in edits_in(SourceId(0), &file, &tree, first..=first + more).iter().rev() {
            new.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
        }
        assert_eq!(words(&new), words(file.text()), "{:?} became {new:?}", file.text());
        assert_eq!(ink(&new), ink(file.text()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    /// One layout: a plan whose spaces, line ends and indentation were spoilt is as it was.
    #[test]
    fn a_spoilt_plan_is_as_it_was(plan in prop::sample::select(PLANS.to_vec()), gaps in gaps()) {
        let all = plan_files(plan);
        for (path, text) in &all {
            let spoilt = spoilt(text, &gaps);
            assert_eq!(&tidied(&spoilt), text, "{path}");
        }
        means_the_same(&all.iter().map(|(path, text)| (path.clone(), spoilt(text, &gaps))).collect::<Vec<_>>());
    }
}

/// Each edit is a gap, and no two touch: an editor may take them one by one.
#[test]
fn edits_are_of_gaps_alone() {
    let text = spoilt(&plan_files("lathe-move")[0].1, &[0, 1, 2]);
    let text = text.replace(' ', "  ");
    let all = edits(SourceId(0), &text, &parse(&text));
    assert!(all.len() > 100, "{}", all.len());
    let mut from = 0;
    for edit in &all {
        assert!(edit.span.start >= from);
        from = edit.span.end;
        let old = &text[edit.span.start as usize..edit.span.end as usize];
        for piece in [old, &edit.text] {
            assert!(piece.chars().all(char::is_whitespace), "{piece:?}");
        }
    }
}

/// Ten times the text takes about ten times as long: the target, 10 MB in 2 s, is for the program as it is released.
#[test]
fn a_long_plan_is_laid_out_in_time() {
    let time = |bytes: usize| {
        let text = generate::plan(bytes).replace("\n  ", "\n\t\t");
        let begin = Instant::now();
        let new = tidied(&text);
        let took = begin.elapsed();
        assert_eq!(tidied(&new), new);
        took
    };
    let (short, long) = (time(200_000), time(2_000_000));
    assert!(long < short * 40 + Duration::from_secs(1), "{short:?}, {long:?}");
}
