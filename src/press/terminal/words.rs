//! Text made safe and narrow for a terminal: control characters shown by number, lines broken at spaces.
//! Knows nothing of findings.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Characters that do something to a terminal or to the order of a line, or that nobody can see.
#[must_use]
pub fn unseen(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// One character as it may be printed: itself, four spaces for a tab, or its number, `<U+202E>`.
pub(super) fn push_visible(to: &mut String, character: char) {
    if character == '\t' {
        to.push_str("    ");
    } else if unseen(character) {
        to.push_str(&format!("<U+{:04X}>", u32::from(character)));
    } else {
        to.push(character);
    }
}

/// A text from a plan, a path or a system message, safe to print on one line.
#[must_use]
pub fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    text.chars()
        .for_each(|character| push_visible(&mut shown, character));
    shown
}

/// Columns that a character takes (Unicode Standard Annex 11).
#[must_use]
pub fn width_of(character: char) -> usize {
    character.width().unwrap_or(0)
}

/// Columns that a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    text.width()
}

/// At most so many columns, the last ones `more` where something was cut.
pub(super) fn clipped(text: &str, columns: usize, more: &str) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let room = columns.saturating_sub(width(more));
    let mut used = 0;
    let mut kept: String = text
        .chars()
        .take_while(|&character| {
            used += width_of(character);
            used <= room
        })
        .collect();
    kept.push_str(more);
    kept
}

/// At most so many columns of a text's end: what tells two long paths apart is mostly there.
pub(super) fn clipped_left(text: &str, columns: usize, more: &str) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let room = columns.saturating_sub(width(more));
    let mut used = 0;
    let mut kept: Vec<char> = text
        .chars()
        .rev()
        .take_while(|&character| {
            used += width_of(character);
            used <= room
        })
        .collect();
    kept.reverse();
    more.chars().chain(kept).collect()
}

/// Breaks a text at its spaces into lines of at most `columns`; a longer word is cut. The first line may
/// begin at `taken`, where something stands already. Never empty.
#[must_use]
pub fn wrapped(text: &str, columns: usize, taken: usize) -> Vec<String> {
    let stands = " ".repeat(taken);
    let options = textwrap::Options::new(columns.max(1))
        .initial_indent(&stands)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit);
    let mut lines: Vec<String> = textwrap::wrap(text, options)
        .into_iter()
        .map(|line| line.into_owned())
        .collect();
    match lines.first_mut() {
        Some(first) => *first = first.get(taken..).unwrap_or_default().to_owned(),
        None => lines.push(String::new()),
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{clipped, clipped_left, visible, width, wrapped};

    #[test]
    fn nothing_that_moves_the_cursor_gets_out() {
        let shown = visible("a\u{1b}[2Jb\u{202e}c\u{7f}\u{9b}\td");
        assert_eq!(shown, "a<U+001B>[2Jb<U+202E>c<U+007F><U+009B>    d");
    }

    #[test]
    fn lines_keep_to_their_width_and_lose_nothing() {
        let text = "The rack drops onto whoever undoes the last-but-one-of-the-very-long-named bolts";
        for columns in [7, 20, 40, 200] {
            let lines = wrapped(text, columns, 0);
            assert!(lines.iter().all(|line| width(line) <= columns), "{lines:?}");
            assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
        }
        assert_eq!(wrapped("one two", 7, 4), ["one", "two"]);
        assert_eq!(wrapped("", 7, 4), [""]);
    }

    #[test]
    fn what_is_cut_says_so() {
        assert_eq!(clipped("abcdef", 4, "…"), "abc…");
        assert_eq!(clipped_left("abcdef", 4, "…"), "…def");
        assert_eq!(clipped("abcd", 4, "…"), "abcd");
    }
}
