//! Any text as Markdown that shows exactly that text: nothing in it becomes markup. Must not know which part of
//! the binder it writes.

use crate::base::letters::turns_direction;
use crate::binder::document::{Inline, Line, Prose, Weight};

/// Deeper nesting is written as plain text.
const DEEPEST: usize = 12;

/// The text without what cannot be seen or turns the reading direction; breaks become spaces.
#[must_use]
pub fn signs(text: &str) -> String {
    text.chars()
        .map(|sign| {
            if matches!(sign, '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}') {
                ' '
            } else {
                sign
            }
        })
        .filter(|sign| !sign.is_control() && !turns_direction(*sign))
        .collect()
}

/// A text inside a line: markup signs get a backslash.
#[must_use]
pub fn inside(text: &str) -> String {
    let text = signs(text);
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = text.chars().peekable();
    while let Some(sign) = rest.next() {
        let entity = sign == '&'
            && rest
                .peek()
                .is_some_and(|next| next.is_ascii_alphanumeric() || *next == '#');
        if entity
            || matches!(
                sign,
                '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '$'
            )
        {
            out.push('\\');
        }
        out.push(sign);
    }
    out
}

/// Guards a line's first signs: a bullet, a number with a point, a rule, an underline of a heading.
#[must_use]
pub fn at_start(line: &str) -> String {
    let line = line.trim_start_matches([' ', '\u{A0}']);
    let figures = line.chars().take_while(char::is_ascii_digit).count();
    let after = line.get(figures..).and_then(|rest| rest.chars().next());
    if figures > 0 && matches!(after, Some('.' | ')')) {
        let (number, rest) = line.split_at(figures);
        return format!("{number}\\{rest}");
    }
    if matches!(line.chars().next(), Some('-' | '+' | '=' | ':')) {
        return format!("\\{line}");
    }
    line.to_owned()
}

/// A text that begins a line.
#[must_use]
pub fn start(text: &str) -> String {
    at_start(&inside(text))
}

/// Runs with their weights. A weight is left out where its stars would stand against a word and show.
#[must_use]
pub fn runs(line: &Line) -> String {
    let texts: Vec<String> = line.iter().map(|run| signs(&run.text)).collect();
    let mut out = String::new();
    for (at, (run, text)) in line.iter().zip(&texts).enumerate() {
        if run.weight == Weight::Regular {
            out.push_str(&inside(text));
            continue;
        }
        let before = texts
            .iter()
            .take(at)
            .rev()
            .find_map(|text| text.chars().next_back());
        let after = texts.iter().skip(at + 1).find_map(|text| text.chars().next());
        out.push_str(&marked(text, "**", before, after));
    }
    out
}

/// A whole text in bold.
#[must_use]
pub fn strong(text: &str) -> String {
    marked(&signs(text), "**", None, None)
}

fn marked(text: &str, stars: &str, before: Option<char>, after: Option<char>) -> String {
    wrapped(text, &inside(text.trim()), stars, before, after)
}

/// Puts stars around `shown`, the Markdown of `plain`, when they will be read as stars there.
fn wrapped(plain: &str, shown: &str, stars: &str, before: Option<char>, after: Option<char>) -> String {
    let core = plain.trim();
    let lead = plain.len() - plain.trim_start().len();
    let trail = plain.trim_end().len();
    let blank_before = plain.get(..lead).unwrap_or("");
    let blank_after = plain.get(trail.max(lead)..).unwrap_or("");
    let (Some(first), Some(last)) = (core.chars().next(), core.chars().next_back()) else {
        return plain.to_owned();
    };
    let word = |sign: Option<char>| sign.is_some_and(|sign| !sign.is_whitespace());
    // Two marked runs side by side would join their stars.
    let opens = !blank_before.is_empty() || !word(before) || (first.is_alphanumeric() && before != Some('*'));
    let closes = !blank_after.is_empty() || !word(after) || (last.is_alphanumeric() && after != Some('*'));
    if opens && closes {
        format!("{blank_before}{stars}{shown}{stars}{blank_after}")
    } else {
        format!("{blank_before}{shown}{blank_after}")
    }
}

/// The owner's prose as lines, without a blank line before or after.
#[must_use]
pub fn prose(parts: &[Prose], depth: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    // Two lists in a row would become one, so the second has another mark.
    let mut turn = false;
    let mut list_before = false;
    for part in parts {
        let is_list = matches!(part, Prose::List { .. });
        turn = is_list && list_before && !turn;
        list_before = is_list;
        let lines = match part {
            Prose::Paragraph(inner) => paragraph(&inlines(inner, 0)),
            // A heading of the owner's would stand among the binder's own.
            Prose::Heading(inner) => vec![wrapped(
                &plain(inner),
                &inside(plain(inner).trim()),
                "**",
                None,
                None,
            )],
            Prose::Verbatim(text) => fenced(text),
            Prose::Rule => vec!["* * *".to_owned()],
            Prose::Quote(_) | Prose::List { .. } if depth >= DEEPEST => vec!["…".to_owned()],
            Prose::Quote(inner) => prefixed(&prose(inner, depth + 1), "> ", "> "),
            Prose::List { ordered_from, items } => list(*ordered_from, items, depth, turn),
        };
        if !out.is_empty() {
            out.push(String::new());
        }
        out.extend(lines);
    }
    out
}

fn list(from: Option<u64>, items: &[Vec<Prose>], depth: usize, turn: bool) -> Vec<String> {
    let (bullet, point) = if turn { ("* ", ')') } else { ("- ", '.') };
    let mut out = Vec::new();
    for (item, at) in items.iter().zip(0u64..) {
        let mark = from.map_or_else(
            || bullet.to_owned(),
            |from| format!("{}{point} ", from.saturating_add(at).min(999_999_999)),
        );
        let mut lines = prose(item, depth + 1);
        if lines.is_empty() {
            lines.push(String::new());
        }
        out.extend(prefixed(&lines, &mark, &" ".repeat(mark.len())));
    }
    out
}

/// Lines with a mark before the first and its width before the others.
#[must_use]
pub fn prefixed(lines: &[String], first: &str, others: &str) -> Vec<String> {
    lines
        .iter()
        .enumerate()
        .map(|(at, line)| {
            format!("{}{line}", if at == 0 { first } else { others })
                .trim_end()
                .to_owned()
        })
        .collect()
}

fn paragraph(text: &str) -> Vec<String> {
    let lines: Vec<String> = text
        .lines()
        .map(at_start)
        .filter(|line| !line.is_empty())
        .collect();
    // A line break at a paragraph's end is none.
    let last = lines.len().saturating_sub(1);
    lines
        .into_iter()
        .enumerate()
        .map(|(at, line)| {
            if at == last {
                line.trim_end_matches('\u{1}').to_owned()
            } else {
                line
            }
        })
        .map(|line| line.replace('\u{1}', "\\"))
        .collect()
}

fn inlines(parts: &[Inline], depth: usize) -> String {
    if depth > DEEPEST {
        return inside(&plain(parts));
    }
    let mut out = String::new();
    for (at, part) in parts.iter().enumerate() {
        let before = parts
            .iter()
            .take(at)
            .rev()
            .find_map(|part| plain(std::slice::from_ref(part)).chars().next_back());
        let after = parts
            .iter()
            .skip(at + 1)
            .find_map(|part| plain(std::slice::from_ref(part)).chars().next());
        match part {
            Inline::Text(text) => out.push_str(&inside(text)),
            Inline::Verbatim(text) => out.push_str(&code(text)),
            Inline::Emphasis(inner) => {
                out.push_str(&wrapped(
                    &plain(inner),
                    inlines(inner, depth + 1).trim(),
                    "*",
                    before,
                    after,
                ));
            }
            Inline::Strong(inner) => {
                out.push_str(&wrapped(
                    &plain(inner),
                    inlines(inner, depth + 1).trim(),
                    "**",
                    before,
                    after,
                ));
            }
            Inline::Link { to, text } => out.push_str(&link(to, text, depth)),
            // A control sign stands for the backslash of a line break until the paragraph is whole.
            Inline::Break => out.push_str("\u{1}\n"),
        }
    }
    out
}

fn link(to: &str, text: &[Inline], depth: usize) -> String {
    let shown = inlines(text, depth + 1).replace("\u{1}\n", " ");
    let safe = ["https://", "http://", "mailto:"]
        .iter()
        .any(|scheme| to.starts_with(scheme));
    if !safe {
        return if to.is_empty() || plain(text) == to {
            shown
        } else {
            format!("{shown} ({})", inside(to))
        };
    }
    let target: String = to
        .chars()
        .map(|sign| match sign {
            '<' => "%3C".to_owned(),
            '>' => "%3E".to_owned(),
            '\\' => "%5C".to_owned(),
            '|' => "%7C".to_owned(),
            _ if sign.is_whitespace() || sign.is_control() => "%20".to_owned(),
            _ => sign.to_string(),
        })
        .collect();
    format!("[{shown}](<{target}>)")
}

fn plain(parts: &[Inline]) -> String {
    parts
        .iter()
        .map(|part| match part {
            Inline::Text(text) | Inline::Verbatim(text) => signs(text),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { text: inner, .. } => {
                plain(inner)
            }
            Inline::Break => " ".to_owned(),
        })
        .collect()
}

fn longest_run(text: &str, sign: char) -> usize {
    text.split(|other| other != sign)
        .map(|run| run.chars().count())
        .max()
        .unwrap_or(0)
}

fn code(text: &str) -> String {
    let text = signs(text);
    if text.trim().is_empty() {
        return text;
    }
    let fence = "`".repeat(longest_run(&text, '`') + 1);
    format!("{fence} {text} {fence}")
}

fn fenced(text: &str) -> Vec<String> {
    let fence = "`".repeat(longest_run(text, '`').max(2) + 1);
    let mut out = vec![fence.clone()];
    out.extend(text.lines().map(signs));
    out.push(fence);
    out
}

#[cfg(test)]
mod tests {
    use super::{inside, prose, runs, start};
    use crate::binder::document::{Inline, Prose, Run, Weight};

    #[test]
    fn markup_in_a_text_stays_text() {
        assert_eq!(
            inside("a*b_c [d](e) <b> | #1"),
            "a\\*b\\_c \\[d\\](e) \\<b\\> \\| \\#1"
        );
        assert_eq!(inside("AT&T &amp; 5 & 6"), "AT\\&T \\&amp; 5 & 6");
        assert_eq!(start("1. step"), "1\\. step");
        assert_eq!(start("- dash"), "\\- dash");
        assert_eq!(start("=== under"), "\\=== under");
        assert_eq!(inside("20\u{202E} Nm\u{7}\n2"), "20 Nm 2");
    }

    #[test]
    fn weights_keep_their_blanks_outside() {
        let run = |text: &str, weight| Run {
            text: text.to_owned(),
            weight,
        };
        let line = vec![
            run("sockets", Weight::Regular),
            run(" 15 ", Weight::Bold),
            run("and", Weight::Regular),
        ];
        assert_eq!(runs(&line), "sockets **15** and");
        let tight = vec![
            run("a", Weight::Regular),
            run("(b)", Weight::Bold),
            run("c", Weight::Regular),
        ];
        assert_eq!(runs(&tight), "a(b)c");
    }

    #[test]
    fn prose_keeps_its_shape() {
        let text = |text: &str| Inline::Text(text.to_owned());
        let parts = vec![
            Prose::Paragraph(vec![text("one"), Inline::Break, text("- two")]),
            Prose::List {
                ordered_from: Some(3),
                items: vec![vec![
                    Prose::Paragraph(vec![text("three")]),
                    Prose::Quote(vec![Prose::Paragraph(vec![text("said")])]),
                ]],
            },
        ];
        assert_eq!(
            prose(&parts, 0).join("\n"),
            "one\\\n\\- two\n\n3. three\n\n   > said"
        );
    }
}
