//! One layout for every text: spaces, indentation and line ends, and nothing else. What is printed on paper, what names and figures say, the
//! order of lines and every comment stay. Knows tokens and gaps, not what they mean.
//!
//! A text is ink and gaps. Each gap is laid out by the ink on both sides of it, so that what changes is a list of edits that never touch.

use std::ops::RangeInclusive;

use super::grammar::parse;
use super::tree::{Statement, Token, TokenKind, Tree};
use crate::base::finding::Edit;
use crate::base::source::{Source, SourceId, Span};

/// Of a statement and of a comment below a header.
const INDENT: &str = "  ";

/// Of a list that goes on in the next line, and of the lines of a note.
const DEEPER: &str = "    ";

/// Begins a line that two spaces would turn into a part of the one above it, or into a note of several lines.
const HARD_SPACE: &str = "\u{a0}";

/// The whole text in its layout. Twice is once.
#[must_use]
pub fn tidied(text: &str) -> String {
    let mut whole = String::with_capacity(text.len() + 1);
    let mut from = 0;
    for edit in edits(SourceId(0), text, &parse(text)) {
        whole.push_str(text.get(from..edit.span.start as usize).unwrap_or_default());
        whole.push_str(&edit.text);
        from = edit.span.end as usize;
    }
    whole.push_str(text.get(from..).unwrap_or_default());
    whole
}

/// The gaps that are laid out otherwise, in order. `tree` is the tree of `text`.
#[must_use]
pub fn edits(source: SourceId, text: &str, tree: &Tree) -> Vec<Edit> {
    let mut layout = Layout {
        source,
        text,
        edits: Vec::new(),
        end: 0,
        before: Ink::Nothing,
        open_comma: false,
        as_remark: false,
        tail: 0,
    };
    let blocks = tree.blocks().iter().flat_map(|&block| tree.statements(block));
    for statement in tree.strays().iter().chain(blocks) {
        layout.between(statement.start as usize);
        if let Some(lines) = note_lines(tree, statement) {
            layout.note(statement.start as usize, lines);
        } else {
            layout.statement(tree.tokens(statement));
        }
    }
    layout.between(text.len());
    layout.close();
    layout.edits
}

/// Of these, what lies in the blocks that some lines belong to, for an editor that asks for a part. Lines count from 0; whole blocks are
/// laid out, since a line moved by itself could become part of the note above it.
#[must_use]
pub fn edits_in(source: SourceId, file: &Source, tree: &Tree, lines: RangeInclusive<usize>) -> Vec<Edit> {
    let (first, _) = file.line_range(*lines.start());
    let (_, last) = file.line_range(*lines.end().max(lines.start()));
    let heads = || {
        let headers = tree
            .blocks()
            .iter()
            .filter_map(|&block| tree.statements(block).first());
        headers.map(|header| header.start)
    };
    let from = heads().take_while(|&start| start <= first).last().unwrap_or(0);
    let to = heads().find(|&start| start > last).unwrap_or(u32::MAX);
    let mut all = edits(source, file.text(), tree);
    all.retain(|edit| from <= edit.span.start && edit.span.end <= to);
    all
}

/// The lines of a note: its keyword is no token.
fn note_lines<'a>(tree: &'a Tree, statement: &Statement) -> Option<&'a [Token]> {
    let tokens = tree.tokens(statement);
    let text = tokens
        .first()
        .is_some_and(|token| token.kind() == TokenKind::NoteText);
    (statement.is_note || text).then_some(tokens)
}

/// What stands between two gaps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ink {
    /// Before the first.
    Nothing,
    Semicolon,
    Comment,
    /// The word `note` that opens one.
    Note,
    /// A line of a note below its first, indented so much deeper than the least of them.
    NoteLine(usize),
    /// The first token of a statement.
    First,
    /// A further one, and how it stands apart from the one before.
    Further(Apart),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Apart {
    Never,
    /// If it does already.
    AsItIs,
    Always,
}

struct Layout<'a> {
    source: SourceId,
    text: &'a str,
    edits: Vec<Edit>,
    /// Behind the last ink.
    end: usize,
    before: Ink,
    /// The last token was a comma: what is indented in the next line goes on with it.
    open_comma: bool,
    /// A sign touches it that would be a comment if the next line went on: so it is till this line ends.
    as_remark: bool,
    /// Up to here the last comma reaches, with the comments and line ends that it goes on over.
    tail: usize,
}

impl Layout<'_> {
    fn slice(&self, start: usize, end: usize) -> &str {
        self.text.get(start..end).unwrap_or_default()
    }

    /// Semicolons and comments up to a place that begins a statement.
    fn between(&mut self, to: usize) {
        let mut at = self.end;
        while at < to {
            match self.text.as_bytes().get(at) {
                Some(b';') => {
                    self.put(at, at + 1, Ink::Semicolon);
                    at += 1;
                }
                Some(b'#') => {
                    let rest = self.slice(at, to);
                    let ends = rest.find('\n').unwrap_or(rest.len());
                    let line = rest.get(..ends).unwrap_or(rest);
                    // Of a line end of two signs the first is no part of the comment.
                    let line = line
                        .strip_suffix('\r')
                        .filter(|_| ends < rest.len())
                        .unwrap_or(line);
                    let inked = line.trim_end_matches(is_blank).len();
                    at += line.len();
                    self.put(at - line.len(), at - line.len() + inked, Ink::Comment);
                }
                _ => at += 1,
            }
        }
    }

    fn statement(&mut self, tokens: &[Token]) {
        for (nth, token) in tokens.iter().enumerate() {
            let (start, end) = (token.start() as usize, token.end() as usize);
            let ink = match nth.checked_sub(1).and_then(|before| tokens.get(before)) {
                None => Ink::First,
                Some(before) => Ink::Further(self.apart(tokens, nth, *before, *token)),
            };
            if token.kind() == TokenKind::Comma {
                self.put(start, start + 1, ink);
                self.open_comma = true;
                self.as_remark |= self.text.get(end..).is_some_and(|rest| rest.starts_with('#'));
                // Over a line of hard spaces nothing goes on.
                let goes_on = nth + 1 < tokens.len() || self.text.as_bytes().get(end) == Some(&b';');
                self.tail = if goes_on { end } else { 0 };
                self.between(end);
            } else {
                self.put(start, end, ink);
            }
        }
    }

    /// Commas and colons touch what stands before them, brackets what they hold. What is one word without a gap stays one.
    fn apart(&self, tokens: &[Token], nth: usize, before: Token, token: Token) -> Apart {
        let number = |token: Option<&Token>| token.is_some_and(|token| token.kind() == TokenKind::Number);
        let at = |nth: Option<usize>| nth.and_then(|nth| tokens.get(nth));
        let parts = |kind| matches!(kind, TokenKind::Comma | TokenKind::Colon);
        // `5,8 kg` and `9:00` are read by their gaps.
        if parts(token.kind()) {
            let figures = number(Some(&before)) && number(tokens.get(nth + 1));
            return if figures { Apart::AsItIs } else { Apart::Never };
        }
        if parts(before.kind()) {
            let figures = number(at(nth.checked_sub(2))) && number(Some(&token));
            let remark = self
                .slice(token.start() as usize, token.end() as usize)
                .starts_with('#');
            return if figures || remark {
                Apart::AsItIs
            } else {
                Apart::Always
            };
        }
        match (before.kind(), token.kind()) {
            (_, TokenKind::Close) | (TokenKind::Open, _) => Apart::Never,
            // Behind a gap the word would open a note.
            (_, TokenKind::Open) if self.slice(before.start() as usize, before.end() as usize) == "note" => {
                Apart::AsItIs
            }
            (_, TokenKind::Open) => Apart::Always,
            _ => Apart::AsItIs,
        }
    }

    fn note(&mut self, start: usize, lines: &[Token]) {
        let word = start + "note".len();
        self.put(start, word, Ink::Note);
        // Characters before a line's text; none where it stands beside the word.
        let depth = |token: &Token| {
            let before = self.slice(word, token.start() as usize);
            let line = before.rfind('\n')?;
            Some(before.get(line + 1..).unwrap_or_default().chars().count())
        };
        let depths: Vec<Option<usize>> = lines.iter().map(depth).collect();
        let least = depths.iter().flatten().min().copied().unwrap_or(0);
        for (token, depth) in lines.iter().zip(depths) {
            let ink = depth.map_or(Ink::Further(Apart::Always), |depth| Ink::NoteLine(depth - least));
            self.put(token.start() as usize, token.end() as usize, ink);
        }
    }

    /// Lays out the gap before this ink.
    fn put(&mut self, start: usize, end: usize, ink: Ink) {
        let gap = self.slice(self.end, start);
        let lines = gap.bytes().filter(|&byte| byte == b'\n').count();
        let new = if lines == 0 && self.before != Ink::Nothing {
            let apart = match ink {
                Ink::Semicolon => false,
                Ink::Further(Apart::Never) => false,
                Ink::Further(Apart::AsItIs) => !gap.is_empty(),
                _ => true,
            };
            if apart { " ".to_owned() } else { String::new() }
        } else {
            let own = gap
                .rfind('\n')
                .map_or(gap, |at| gap.get(at + 1..).unwrap_or_default());
            let mut new = match ink {
                // At the very beginning it would be the mark of the byte order.
                _ if self.before == Ink::Nothing
                    && lines > 0
                    && self.slice(start, end).starts_with('\u{feff}') =>
                {
                    "\n".to_owned()
                }
                _ if self.before == Ink::Nothing => String::new(),
                Ink::NoteLine(_) => self.line_ends(lines),
                _ => self.line_ends(lines.min(2)),
            };
            if let Ink::NoteLine(deeper) = ink {
                new.push_str(DEEPER);
                new.extend(std::iter::repeat_n(' ', deeper));
            } else if !own.is_empty() {
                new.push_str(self.indent(own, start, ink));
            }
            new
        };
        self.lay(start, new);
        self.end = end;
        self.before = ink;
        self.as_remark &= lines == 0;
        self.open_comma &= self.as_remark || ink == Ink::Comment;
    }

    /// How a line begins that did not begin at the left edge.
    fn indent(&self, own: &str, start: usize, ink: Ink) -> &'static str {
        // Whether the last comma reaches to this line.
        let goes_on = start.saturating_sub(own.len()) < self.tail;
        let is_hard = own.chars().any(|c| !matches!(c, ' ' | '\t'));
        let says_note = self
            .text
            .get(start..)
            .is_some_and(|rest| rest.starts_with("note"));
        match ink {
            Ink::Further(_) => DEEPER,
            Ink::Comment if start < self.tail => DEEPER,
            Ink::Comment => INDENT,
            Ink::Semicolon if goes_on => DEEPER,
            _ if self.open_comma || (is_hard && says_note) => HARD_SPACE,
            _ => INDENT,
        }
    }

    /// A carriage return that ends no line must not come to stand before the end of one.
    fn line_ends(&self, count: usize) -> String {
        let bare = self.slice(0, self.end).ends_with('\r');
        let first = if bare { "\r" } else { "" };
        format!("{first}{}", "\n".repeat(count))
    }

    /// The last line ends like any other, and none is blank behind it.
    fn close(&mut self) {
        let new = match self.before {
            Ink::Nothing => String::new(),
            _ => self.line_ends(1),
        };
        self.lay(self.text.len(), new);
    }

    /// What stands from the last ink to this place is to be so.
    fn lay(&mut self, to: usize, new: String) {
        if self.slice(self.end, to) != new {
            // Fewer than 2^32 bytes: a larger file is refused before it is read.
            let at = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
            self.edits.push(Edit {
                span: Span::new(self.source, at(self.end), at(to)),
                text: new,
            });
        }
    }
}

/// What the grammar takes for a gap.
fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{a0}' | '\u{2009}' | '\u{202f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is(text: &str, laid_out: &str) {
        assert_eq!(tidied(text), laid_out, "{text:?}");
        assert_eq!(tidied(laid_out), laid_out, "twice is once");
    }

    #[test]
    fn spaces_and_indentation() {
        is(
            "part   a \"A\" ;mass 5 kg\t;\tnew\n      cost 3 GBP   # paid  \n\tgoes to \"x  y\"",
            "part a \"A\"; mass 5 kg; new\n  cost 3 GBP # paid\n  goes to \"x  y\"\n",
        );
        is(
            "joint a:b to c ;\u{a0}torque 5\u{202f}N m(4 to 6 )\n",
            "joint a: b to c; torque 5 N m (4 to 6)\n",
        );
        is("a b ,c,d\n", "a b, c, d\n");
    }

    #[test]
    fn figures_keep_the_comma_and_the_colon_between_them() {
        for text in [
            "part a; mass 5,8 kg\n",
            "plan p; works 8 h from 9:00 on sunday\n",
            "a 5 , 8 kg\n",
        ] {
            is(text, text);
        }
    }

    #[test]
    fn blank_lines_and_line_ends() {
        is(
            "\n\n\npart a\r\n\r\n\r\n\r\npart b\r\n  new\r\n   \r\n\r\n",
            "part a\n\npart b\n  new\n",
        );
        is("", "");
        is(" \n\t\n", "");
        is("# only\n\n\n# words", "# only\n\n# words\n");
    }

    #[test]
    fn comments_keep_the_edge_that_they_stood_at() {
        is(
            "#  one\npart a\n      # two\n# three\n",
            "#  one\npart a\n  # two\n# three\n",
        );
    }

    #[test]
    fn lists_that_go_on_stand_deeper() {
        is(
            "kit k\n  has a,   # one\n\n\n         # two\n b,c,\n# three\n\td\n   keys 5 mm\n",
            "kit k\n  has a, # one\n\n    # two\n    b, c,\n# three\n    d\n  keys 5 mm\n",
        );
    }

    #[test]
    fn notes_keep_their_lines() {
        is(
            "step a\n\tnote   One  two;  # three  \n\t\t- four\n\n\n\t\t    five\n\tundo b; note  six \n        undo c\n",
            "step a\n  note One  two;  # three  \n    - four\n\n\n        five\n  undo b; note six \n  undo c\n",
        );
        is(
            "step a\n   note\n      x\n     y\n",
            "step a\n  note\n     x\n    y\n",
        );
    }

    /// Two spaces would join these to the line above, or make a note of them that goes on.
    #[test]
    fn hard_spaces_that_part_lines_go_on_parting_them() {
        is("a b,\n\u{a0} c\n", "a b,\n\u{a0}c\n");
        is("a,#b; c\n\u{a0} d\n", "a,#b; c\n\u{a0}d\n");
        is("a b\n\u{a0}\u{a0}c\n", "a b\n  c\n");
        is("a b\n \u{a0}note\n", "a b\n\u{a0}note\n");
    }

    #[test]
    fn a_part_is_laid_out_by_whole_blocks() {
        let text = "part  a\n    new\npart  b\n      note x\n\n    new\npart  c\n";
        let file = Source::new("a", text, false);
        let tree = parse(text);
        let mut lines = text.to_owned();
        for edit in edits_in(SourceId(0), &file, &tree, 3..=3).iter().rev() {
            lines.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
        }
        assert_eq!(lines, "part  a\n    new\npart b\n  note x\n\n  new\npart  c\n");
        assert_eq!(
            edits_in(SourceId(0), &file, &tree, 0..=9),
            edits(SourceId(0), text, &tree)
        );
    }
}
