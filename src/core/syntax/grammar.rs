//! Runs the pest grammar over a text and keeps what it finds as a [`Tree`]. The only file that touches pest: its
//! names and lifetimes end here.

use pest::Parser;
use rayon::prelude::*;

use super::tree::{Token, TokenKind, Tree};

/// What pest makes of the grammar; nothing of it goes out.
mod made {
    #[derive(pest_derive::Parser)]
    #[grammar = "../../grammar/boltplan.pest"]
    pub struct Boltplan;
}

use made::{Boltplan, Rule};

/// Least size of a piece that is read on its own; smaller ones cost more than they gain.
const PIECE: usize = 128 * 1024;

/// Reads a text. Total: every text has a tree.
#[must_use]
pub fn parse(text: &str) -> Tree {
    let pieces = split(text);
    let mut trees: Vec<Tree> = pieces
        .into_par_iter()
        .map(|(start, piece)| read(piece, start))
        .collect();
    let Some(rest) = (!trees.is_empty()).then(|| trees.split_off(1)) else {
        return Tree::default();
    };
    let mut whole = trees.pop().unwrap_or_default();
    for tree in rest {
        whole.append(tree);
    }
    whole.fit();
    whole
}

/// Cuts before lines at the left edge: nothing reaches over such a line.
fn split(text: &str) -> Vec<(u32, &str)> {
    let bytes = text.as_bytes();
    let mut pieces = Vec::new();
    let mut from = 0;
    while from < bytes.len() {
        let mut to = (from + PIECE).min(bytes.len());
        while to < bytes.len() {
            let edge = matches!(bytes.get(to), Some(b'a'..=b'z' | b'A'..=b'Z'));
            if edge && bytes.get(to - 1) == Some(&b'\n') {
                break;
            }
            to += 1;
        }
        // A cut lies before an ASCII letter, so between characters.
        let piece = text.get(from..to).unwrap_or_default();
        pieces.push((u32::try_from(from).unwrap_or(u32::MAX), piece));
        from = to;
    }
    pieces
}

fn read(piece: &str, offset: u32) -> Tree {
    let mut tree = Tree::default();
    // The grammar takes every text, which a property test holds; were it to refuse one, the whole piece would be
    // one odd statement, and be told as such.
    let Ok(pairs) = Boltplan::parse(Rule::sheet, piece) else {
        let end = offset + u32::try_from(piece.len()).unwrap_or(0);
        tree.push_statement(offset, end, true, false);
        tree.push_token(Token::new(TokenKind::Odd, offset, end));
        return tree;
    };
    for pair in pairs.flatten() {
        let span = pair.as_span();
        let start = offset + u32::try_from(span.start()).unwrap_or(u32::MAX);
        let end = offset + u32::try_from(span.end()).unwrap_or(u32::MAX);
        let kind = match pair.as_rule() {
            Rule::statement => {
                let before = span
                    .start()
                    .checked_sub(1)
                    .and_then(|at| piece.as_bytes().get(at));
                let at_edge = matches!(before, None | Some(b'\n'));
                let is_note = starts_note(span.as_str());
                tree.push_statement(start, end, at_edge, is_note && !at_edge);
                continue;
            }
            Rule::note => {
                tree.push_statement(start, end, false, true);
                continue;
            }
            Rule::text => TokenKind::Text,
            Rule::open_text => TokenKind::OpenText,
            Rule::date => TokenKind::Date,
            Rule::number => TokenKind::Number,
            Rule::give => TokenKind::Give,
            Rule::name => TokenKind::Name,
            Rule::comma => TokenKind::Comma,
            Rule::colon => TokenKind::Colon,
            Rule::open => TokenKind::Open,
            Rule::close => TokenKind::Close,
            Rule::word => TokenKind::Word,
            Rule::note_text => TokenKind::NoteText,
            Rule::odd => TokenKind::Odd,
            _ => continue,
        };
        tree.push_token(Token::new(kind, start, end));
    }
    tree
}

/// Whether a statement was read as a note; the grammar's own test, seen from its text.
fn starts_note(text: &str) -> bool {
    text.strip_prefix("note")
        .is_some_and(|rest| rest.starts_with([' ', '\t', '\u{a0}', '\u{2009}', '\u{202f}']))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::tree::Statement;

    fn shown(text: &str) -> Vec<Vec<String>> {
        let tree = parse(text);
        let say = |s: &Statement| -> Vec<String> {
            let note = s.is_note.then(|| "NOTE".to_owned());
            let tokens = tree.tokens(s).iter();
            note.into_iter()
                .chain(tokens.map(|t| text[t.start() as usize..t.end() as usize].to_owned()))
                .collect()
        };
        let strays = tree.strays().iter().map(say);
        strays
            .chain(
                tree.blocks()
                    .iter()
                    .flat_map(|&b| tree.statements(b).iter().map(say)),
            )
            .collect()
    }

    #[test]
    fn statements_and_semicolons() {
        let text = "joint a: b to c; torque 18 Nm # no; more\n  bolts 1 x M8x1.25,\n    # between\n\n   2 x 3/8-16\npart d \"x; # y\"\n";
        let got = shown(text);
        assert_eq!(got.len(), 4, "{got:#?}");
        assert_eq!(got[0], ["joint", "a", ":", "b", "to", "c"]);
        assert_eq!(got[1], ["torque", "18", "Nm"]);
        assert_eq!(got[2].len(), 9);
        assert_eq!(&got[2][..4], ["bolts", "1", "x", "M8x1.25"]);
        assert_eq!(got[2][5..], ["2", "x", "3/8", "-16"]);
        assert_eq!(got[3], ["part", "d", "\"x; # y\""]);
        assert_eq!(parse(text).blocks().len(), 2);
    }

    #[test]
    fn notes_take_deeper_lines() {
        let text =
            "step a\n  note one; two # three\n    four\n\n      five\n  undo b; note six; seven\n    eight\n";
        let got = shown(text);
        assert_eq!(got[1], ["NOTE", "one; two # three", "four", "five"]);
        assert_eq!(got[2], ["undo", "b"]);
        assert_eq!(got[3], ["NOTE", "six; seven"]);
        assert_eq!(got[4], ["eight"]);
    }

    #[test]
    fn odd_texts_have_trees() {
        for text in [
            "",
            "\n",
            "  x",
            "\"",
            "a\u{1}b",
            "\r\n \r\n",
            "note",
            "a,\nb",
            "  note\n\n\n",
            ";;;",
            "x;;y;",
            "ä ß\u{202e}",
        ] {
            let tree = parse(text);
            assert!(tree.blocks().len() <= 2, "{text:?}");
        }
        assert_eq!(shown("a b,\nc"), [vec!["a", "b", ","], vec!["c"]]);
    }
}
