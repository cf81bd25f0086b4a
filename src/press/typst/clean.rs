//! Makes any text fit to be printed: no control characters, no signs that turn the reading direction, no sign
//! without a glyph, long words in pieces, a figure and its unit in one. Must not know where the text stands.

use std::collections::BTreeSet;

use super::estimate;
use crate::base::letters::{self, is_unseen, turns_direction};

/// Stands for a character that no embedded font holds.
const NO_GLYPH: char = '\u{FFFD}';
/// A place where a line may end, without a sign.
const MAY_BREAK: char = '\u{200B}';
/// Holds a figure and its unit together.
///
/// The family's own thin one is a ninth of an em: at arm's length "58 N·m" would read as one word.
const HOLD: char = '\u{A0}';

/// Units that never part from their figure, longest first where one begins another.
const UNITS: &[&str] = &[
    "N·m", "Nm", "kN", "N", "kg", "g", "t", "lbf", "lb", "oz", "mm", "cm", "m", "km", "ft", "in", "min", "h",
    "s", "l", "ml", "kPa", "bar", "psi", "°C", "°F", "°", "%", "V", "A", "Ah", "W", "kW", "turns", "turn",
];

/// Cleans texts, and remembers what it could not print.
#[derive(Debug, Default)]
pub struct Cleaner {
    missing: BTreeSet<char>,
}

impl Cleaner {
    /// Characters met so far that no embedded font holds, in order.
    #[must_use]
    pub fn missing(&self) -> Vec<char> {
        self.missing.iter().copied().collect()
    }

    /// A text for a place of `width` mm in type of `size` points: figures keep their units, and words that are
    /// too long for the place may break.
    pub fn text(&mut self, text: &str, width: f64, size: f64) -> String {
        let fits = (width / (size * 0.3528 * 0.62)).floor().max(4.0);
        let clean = hold_units(&self.signs(text));
        // 40 is the design's limit for a word; a narrow place has a lower one. A word that fits by its letters is left whole, or nobody
        // finds it in the file.
        let fits_by_letters = |word: &str| estimate::width(word, size) <= width;
        break_words(&clean, (fits as usize).min(LONGEST), &fits_by_letters)
    }

    /// Only the signs: for words that are never shown as running text.
    pub fn signs(&mut self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for sign in text.chars() {
            match sign {
                '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' | '\u{85}' => out.push(' '),
                _ if turns_direction(sign) || is_unseen(sign) || sign.is_control() => {}
                _ if !letters::held(sign) => {
                    self.missing.insert(sign);
                    out.push(NO_GLYPH);
                }
                _ => out.push(sign),
            }
        }
        out
    }
}

/// Replaces the space between a figure and its unit, and inside "lbf ft", by one that does not part them.
fn hold_units(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out = String::with_capacity(text.len() + 8);
    let mut before: Option<&str> = None;
    for word in words {
        if let Some(last) = before {
            out.push(if hold_together(last, word) { HOLD } else { ' ' });
        }
        out.push_str(word);
        before = Some(word);
    }
    out
}

fn hold_together(left: &str, right: &str) -> bool {
    let bare = right.trim_end_matches(['.', ',', ';', ':', ')', '!', '?']);
    let figure_before = left.chars().next_back().is_some_and(|c| c.is_ascii_digit());
    let figure_after = right.chars().next().is_some_and(|c| c.is_ascii_digit());
    (figure_before && UNITS.contains(&bare))
        || (left == "lbf" && bare == "ft")
        || (figure_before && (right == "±" || right == "×"))
        || ((left == "±" || left == "×") && figure_after)
}

/// No word of more characters stays whole.
const LONGEST: usize = 40;

/// Lets a word of more than `longest` characters that does not fit break after every few of them.
fn break_words(text: &str, longest: usize, fits: &dyn Fn(&str) -> bool) -> String {
    let is_long = |word: &str| {
        let count = word.chars().count();
        count > LONGEST || (count > longest && !word.split(HOLD).all(fits))
    };
    if !text.split(' ').any(is_long) {
        return text.to_owned();
    }
    let piece = (longest / 3).clamp(2, 10);
    let mut out = String::with_capacity(text.len() * 2);
    for (at, word) in text.split(' ').enumerate() {
        if at > 0 {
            out.push(' ');
        }
        let long = is_long(word);
        for (place, sign) in word.chars().enumerate() {
            if long && place > 0 && place % piece == 0 {
                out.push(MAY_BREAK);
            }
            out.push(sign);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Cleaner, break_words, hold_units};

    #[test]
    fn figures_keep_their_units() {
        assert_eq!(hold_units("all at 30 N·m first"), "all at 30\u{A0}N·m first");
        assert_eq!(
            hold_units("58 N·m (43 lbf ft)"),
            "58\u{A0}N·m (43\u{A0}lbf\u{A0}ft)"
        );
        assert_eq!(hold_units("118 ± 6 kg."), "118\u{A0}±\u{A0}6\u{A0}kg.");
        assert_eq!(hold_units("two in hand"), "two in hand");
    }

    #[test]
    fn long_words_get_places_to_break() {
        let word = "W".repeat(300);
        let broken = break_words(&word, 40, &|_| false);
        assert!(broken.split('\u{200B}').all(|piece| piece.len() <= 10));
        assert_eq!(broken.replace('\u{200B}', ""), word);
        assert_eq!(
            break_words("short words stay", 40, &|_| false),
            "short words stay"
        );
        // Found by a search in the file: in a column of 18 mm "second" and "check" stand whole.
        let mut clean = Cleaner::default();
        assert_eq!(clean.text("second check", 16.0, 12.0), "second check");
        assert!(!clean.text("43 lbf ft", 20.0, 11.0).contains('\u{200B}'));
        assert!(
            clean
                .text("Gegenschraubenmutter", 14.0, 12.0)
                .contains('\u{200B}')
        );
    }

    #[test]
    fn unprintable_signs_are_dropped_or_named() {
        let mut cleaner = Cleaner::default();
        assert_eq!(cleaner.signs("20\u{202E} Nm\u{200F}\u{7}"), "20 Nm");
        assert_eq!(cleaner.signs("a\tb\u{FE0F}"), "a b");
        assert_eq!(cleaner.signs("🔧 é Ж 漢"), "\u{FFFD} é Ж \u{FFFD}");
        assert_eq!(cleaner.missing(), vec!['漢', '🔧']);
    }
}
