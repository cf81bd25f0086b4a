//! The binder's voice: small words, lists, sentences, and the few words whose spelling differs. Knows no plan.

use super::document::{Line, Run, Weight};
use crate::plan::model::Spelling;

/// British and American forms of the binder's own words. The owner's text is never touched.
const SPELLINGS: &[(&str, &str)] = &[
    ("spanner", "wrench"),
    ("tyre pressures", "tire pressures"),
    ("a licence for", "a license for"),
    ("pressurised gas", "pressurized gas"),
];

/// How the binder spells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Words {
    pub spelling: Spelling,
}

impl Words {
    /// The language where the plan says only how it spells.
    #[must_use]
    pub fn language(self) -> &'static str {
        match self.spelling {
            Spelling::British => "en-GB",
            Spelling::American => "en-US",
        }
    }

    /// A word of the binder in the plan's spelling; it is given in the British one.
    #[must_use]
    pub fn say(self, british: &'static str) -> &'static str {
        if self.spelling == Spelling::British {
            return british;
        }
        SPELLINGS
            .iter()
            .find(|(own, _)| *own == british)
            .map_or(british, |(_, american)| american)
    }
}

/// "a", "a and b", "a, b and c".
#[must_use]
pub fn and_list<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", head.join(", "), last.as_ref())
        }
    }
}

/// "a", "a or b", "a, b or c".
#[must_use]
pub fn or_list<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", head.join(", "), last.as_ref())
        }
    }
}

/// First letter large.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

/// First letter small, as a name stands inside a sentence; "U-bolts", "TRW box" and "12 V supply" stay.
#[must_use]
pub fn inside(text: &str) -> String {
    let mut chars = text.chars();
    let Some(first) = chars.next() else {
        return String::new();
    };
    let plain_word = chars.clone().next().is_some_and(|second| second.is_lowercase())
        && !text
            .split(' ')
            .next()
            .unwrap_or("")
            .chars()
            .skip(1)
            .any(char::is_uppercase);
    if plain_word {
        first.to_lowercase().chain(chars).collect()
    } else {
        text.to_owned()
    }
}

/// Capital letter and full stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let text = capital(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?', '…']) {
        text
    } else {
        format!("{text}.")
    }
}

/// Names as paper shows them: “frame-bolts”, where a terminal sets them between backticks.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut opens = true;
    text.chars()
        .map(|sign| match sign {
            '`' => {
                opens = !opens;
                if opens { '”' } else { '“' }
            }
            other => other,
        })
        .collect()
}

/// Cut to so many characters, with a mark where something is left away.
#[must_use]
pub fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// "1 step", "3 steps".
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {many}")
    }
}

/// "a" ... "z", "aa", "ab" ...; the first row is number 1.
#[must_use]
pub fn letter(number: usize) -> String {
    let mut rest = number;
    let mut letters = Vec::new();
    while rest > 0 {
        let place = (rest - 1) % 26;
        letters.push(char::from(b'a' + u8::try_from(place).unwrap_or(0)));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[must_use]
pub fn run(text: impl Into<String>) -> Run {
    weighted(text, Weight::Regular)
}

#[must_use]
pub fn strong(text: impl Into<String>) -> Run {
    weighted(text, Weight::Bold)
}

#[must_use]
pub fn semi(text: impl Into<String>) -> Run {
    weighted(text, Weight::SemiBold)
}

fn weighted(text: impl Into<String>, weight: Weight) -> Run {
    Run {
        text: text.into(),
        weight,
    }
}

/// Facts in one row, parted by a raised dot; empty ones are left out.
#[must_use]
pub fn dotted(facts: Vec<Line>) -> Line {
    let mut row = Line::new();
    for fact in facts.into_iter().filter(|fact| !fact.is_empty()) {
        if !row.is_empty() {
            row.push(run(" · "));
        }
        row.extend(fact);
    }
    row
}

/// "about 92 %"; never nothing and never all.
#[must_use]
pub fn chance(chance: f64) -> String {
    let percent = (chance * 100.0).round();
    if percent < 1.0 {
        "under 1 %".to_owned()
    } else if percent > 99.0 {
        "over 99 %".to_owned()
    } else {
        format!("about {percent} %")
    }
}

/// On a terminal: padded to so many characters.
#[must_use]
pub fn padded(text: &str, width: usize) -> String {
    let count = text.chars().count();
    format!("{text}{}", " ".repeat(width.saturating_sub(count)))
}

/// The same with the text at the right.
#[must_use]
pub fn right(text: &str, width: usize) -> String {
    let count = text.chars().count();
    format!("{}{text}", " ".repeat(width.saturating_sub(count)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        let all: Vec<String> = [1, 2, 26, 27, 28, 52, 53].iter().map(|&n| letter(n)).collect();
        assert_eq!(all, ["a", "b", "z", "aa", "ab", "az", "ba"]);
    }

    #[test]
    fn names_inside_a_sentence() {
        for (title, within) in [
            ("Cast axle beam", "cast axle beam"),
            ("U-bolts, left", "U-bolts, left"),
            ("ABS pump", "ABS pump"),
            ("12 V supply", "12 V supply"),
            ("McPine strut", "McPine strut"),
            ("", ""),
        ] {
            assert_eq!(inside(title), within);
        }
        assert_eq!(sentence("leave it"), "Leave it.");
        assert_eq!(sentence("Why?"), "Why?");
        assert_eq!(quoted("undo `a` before `b`"), "undo “a” before “b”");
    }

    #[test]
    fn spellings_differ_only_where_they_must() {
        let words = |spelling| Words { spelling };
        assert_eq!(words(Spelling::American).say("spanner"), "wrench");
        assert_eq!(words(Spelling::British).say("spanner"), "spanner");
        assert_eq!(words(Spelling::American).say("socket"), "socket");
        for (british, american) in SPELLINGS {
            assert_ne!(british, american, "a row that says nothing");
        }
    }

    #[test]
    fn lists() {
        assert_eq!(and_list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(and_list(&["a"]), "a");
        let row = dotted(vec![vec![run("a")], Vec::new(), vec![strong("b")]]);
        assert_eq!(super::super::document::text_of(&row), "a · b");
    }
}
