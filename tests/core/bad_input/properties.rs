//! What holds for any text whatsoever: no panic, no byte lost, every label inside its source.

use boltfolio_core::base::source::Source;
use boltfolio_core::compile::Compilation;
use boltfolio_core::syntax::grammar;
use boltfolio_core::syntax::tree::{Statement, TokenKind, Tree};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop, prop_oneof, proptest};

use crate::support::{compile_files, compile_text, plan_files};

/// All statements of a tree in order.
fn statements(tree: &Tree) -> Vec<Statement> {
    let mut all = tree.strays().to_vec();
    for &block in tree.blocks() {
        all.extend_from_slice(tree.statements(block));
    }
    all
}

/// The first byte that no token holds, and that is no gap, semicolon, comment or line end either; `None` if none is lost.
fn lost(text: &str) -> Option<usize> {
    let tree = grammar::parse(text);
    let mut held: Vec<(usize, usize)> = Vec::new();
    for statement in statements(&tree) {
        let tokens = tree.tokens(&statement);
        let start = statement.start as usize;
        // The keyword of a note is no token.
        let is_note = tokens
            .first()
            .is_none_or(|token| token.kind() == TokenKind::NoteText);
        if is_note && text[start..].starts_with("note") {
            held.push((start, start + "note".len()));
        }
        held.extend(
            tokens
                .iter()
                .map(|token| (token.start() as usize, token.end() as usize)),
        );
    }
    let mut at = 0;
    for (start, end) in held {
        if start < at || end < start {
            return Some(start);
        }
        if let Some(byte) = strange(text, at, start) {
            return Some(byte);
        }
        at = end;
    }
    strange(text, at, text.len())
}

/// The first byte between two tokens that does not belong there.
fn strange(text: &str, from: usize, to: usize) -> Option<usize> {
    let mut at = from;
    while at < to {
        let rest = &text[at..to];
        let first = rest.chars().next().expect("not at the end");
        at += match first {
            ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}' | ';' | '\n' => first.len_utf8(),
            '\r' if rest.starts_with("\r\n") => 2,
            '#' if at == 0
                || text[..at].ends_with([' ', '\t', '\u{a0}', '\u{2009}', '\u{202f}', ';', '\n']) =>
            {
                let end = rest.find('\n').unwrap_or(rest.len());
                // The carriage return before a line end is no part of the comment.
                end - usize::from(rest[..end].ends_with('\r') && end < rest.len())
            }
            _ => return Some(at),
        };
    }
    None
}

/// The first label or edit that does not lie in its source, on character boundaries.
fn outside(compilation: &Compilation) -> Option<String> {
    let all = compilation
        .findings
        .iter()
        .chain(compilation.accepted.iter().map(|(finding, _)| finding));
    for finding in all {
        let labels = finding.labels.iter().map(|label| label.span);
        for span in labels.chain(finding.mend.edits.iter().map(|edit| edit.span)) {
            let inside = compilation
                .sources
                .get(span.source)
                .is_some_and(|source: &Source| {
                    span.start <= span.end
                        && source
                            .text()
                            .get(span.start as usize..span.end as usize)
                            .is_some()
                });
            if !inside {
                return Some(format!("{} at {span:?}: {}", finding.rule.name, finding.what));
            }
        }
    }
    None
}

/// Nothing panics, nothing is lost, nothing is marked outside; the gravest stands first, and where no step was walked the order is that of the text.
fn holds(text: &str) {
    assert_eq!(lost(text), None, "{text:?}");
    let compilation = compile_text(text);
    assert_eq!(outside(&compilation), None, "{text:?}");
    let places: Vec<_> = compilation
        .findings
        .iter()
        .filter(|finding| finding.about.is_empty())
        .map(|finding| (std::cmp::Reverse(finding.severity), finding.place()))
        .collect();
    assert!(places.is_sorted(), "{text:?}");
    let grades = compilation
        .findings
        .iter()
        .map(|finding| std::cmp::Reverse(finding.severity));
    assert!(grades.is_sorted(), "{text:?}");
}

fn atom() -> impl Strategy<Value = String> {
    let words: Vec<&str> = "\
note|note |note\n    |plan p|part a|part b-2, each side|joint j: a to b|step s|undo j|take off a|mass 5 kg|5 +- 1|(1 to 2)\
|1/2|2026-03-14|same as a|both a|accept never-used for a because \"x\"|assembly a; of a|stage t reverses t|\"|;|#|,|,\n  |:|(|)\
|\n|\n  |\n\t|\r\n|\r|  |\t|\u{a0}|\u{2009}|±|°|−5|Ä|ß|\u{202e}|\u{0}|\u{feff}|\u{2028}|🔩|M10x1.25|+-|/|.|-|'|§|[|]|<b>|> > >|- - -|*"
        .split('|')
        .collect();
    prop_oneof![
        8 => prop::sample::select(words).prop_map(str::to_owned),
        1 => any::<char>().prop_map(String::from),
        3 => Just(" ".to_owned()),
        3 => Just("\n".to_owned()),
    ]
}

pub(crate) fn text_of_atoms() -> impl Strategy<Value = String> {
    prop::collection::vec(atom(), 0..40).prop_map(|atoms| atoms.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_whatsoever(text in any::<String>()) {
        holds(&text);
    }

    #[test]
    fn any_text_of_the_languages_pieces(text in text_of_atoms()) {
        holds(&text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Pieces put into a demonstration plan, or put in place of what stands there.
    #[test]
    fn splices_of_the_demonstrations(
        plan in prop::sample::select(vec!["starter", "ouzel-front", "lathe-move"]),
        splices in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0usize..30, text_of_atoms()), 1..6),
    ) {
        let mut files = plan_files(plan);
        for (file, place, gone, put) in splices {
            let at = file.index(files.len());
            let text = &mut files[at].1;
            let boundary = |mut n: usize, text: &str| { while !text.is_char_boundary(n) { n -= 1; } n };
            let from = boundary(place.index(text.len() + 1), text);
            let to = boundary((from + gone).min(text.len()), text).max(from);
            text.replace_range(from..to, &put);
        }
        for (_, text) in &files {
            assert_eq!(lost(text), None);
        }
        assert_eq!(outside(&compile_files(&files)), None);
    }
}

#[test]
fn the_checks_of_this_file_can_fail() {
    assert_eq!(strange("ab", 0, 2), Some(0));
    assert_eq!(strange("  ; # x\n y", 0, 10), Some(9));
    assert_eq!(
        strange("a#b", 1, 3),
        Some(1),
        "a sign that touches a word begins no comment"
    );
    assert_eq!(strange("# x \r\n\r", 0, 7), Some(6));
    let mut compilation = compile_text("odd\n");
    assert_eq!(outside(&compilation), None);
    let finding = compilation.findings.first_mut().expect("an unknown block");
    finding.labels[0].span.end = 400;
    assert!(outside(&compilation).is_some());
}

#[test]
fn the_demonstrations_lose_nothing() {
    for name in ["starter", "ouzel-front", "lathe-move"] {
        for (path, text) in plan_files(name) {
            assert_eq!(lost(&text), None, "{path}");
            assert_eq!(lost(&text.replace('\n', "\r\n")), None, "{path}");
        }
    }
}
