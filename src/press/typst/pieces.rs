//! Small pieces of the document as the template reads them: runs, marks, fields, cells, the owner's prose. Must
//! not know which block they stand in, only how wide their place is.

use crate::binder::document::{
    Align, Cell, ExplainedMark, Field, Inline, Line, MarkGroup, MarkShape, Marks, Message, Prose, Shown,
    TickItem, WeighCell, Weight, text_of,
};
use crate::press::typst::clean::Cleaner;
use crate::press::typst::{estimate, mirror};

/// Marks in one group above which a page may end between its rows.
const LONG_GROUP: usize = 20;
/// More marks than this do not stand on a circle or in one row.
const MOST_IN_PATTERN: usize = 8;
const IN_A_ROW: usize = 5;
/// Deeper nesting than this is printed at this depth: the paper is not wide enough, and the engine has a limit.
const DEEPEST: usize = 8;

pub fn weight(weight: Weight) -> u16 {
    match weight {
        Weight::Regular => 400,
        Weight::SemiBold => 600,
        Weight::Bold => 700,
    }
}

pub fn runs(clean: &mut Cleaner, line: &Line, width: f64, size: f64) -> mirror::Runs {
    // A figure and its unit may stand in runs of different weight, so the whole line is cleaned at once and cut
    // again at the runs' borders by counting what each gave.
    let mut out: mirror::Runs = Vec::new();
    for run in line {
        let mut text = clean.text(&run.text, width, size);
        if let Some(last) = out.last_mut() {
            mend_seam(&mut last.t, &mut text);
        }
        out.push(mirror::Run {
            t: text,
            w: weight(run.weight),
        });
    }
    out
}

/// "**58** N·m": the space at the seam between two runs holds when figure and unit meet there.
fn mend_seam(left: &mut String, right: &mut String) {
    let figure = |text: &str| {
        text.trim_end()
            .chars()
            .next_back()
            .is_some_and(|sign| sign.is_ascii_digit())
    };
    let unit = |text: &str| {
        let word: String = text
            .trim_start()
            .chars()
            .take_while(|sign| !sign.is_whitespace())
            .collect();
        let bare = word.trim_end_matches([',', '.', ';', ')']);
        ["N·m", "kg", "mm", "min", "h", "l", "bar", "°C"].contains(&bare)
    };
    if figure(left) && unit(right) {
        if right.starts_with(' ') {
            right.replace_range(0..1, "\u{A0}");
        } else if left.ends_with(' ') {
            left.pop();
            left.push('\u{A0}');
        }
    }
}

pub fn marks(clean: &mut Cleaner, shown: &Marks) -> mirror::Marks {
    let shape = match shown.shape {
        MarkShape::Ring => "ring",
        MarkShape::Hexagon => "hexagon",
    };
    mirror::Marks {
        shape,
        groups: shown
            .groups
            .iter()
            .map(|group| mark_group(clean, group))
            .collect(),
    }
}

fn mark_group(clean: &mut Cleaner, group: &MarkGroup) -> mirror::MarkGroup {
    let count: usize = group.rows.iter().map(Vec::len).sum();
    let circle = group.circle && (3..=MOST_IN_PATTERN).contains(&count);
    let mut rows = Vec::new();
    for row in &group.rows {
        let cut = if circle || row.len() <= IN_A_ROW + 1 {
            row.len().max(1)
        } else {
            IN_A_ROW
        };
        for piece in row.chunks(cut) {
            rows.push(
                piece
                    .iter()
                    .map(|mark| mirror::Mark {
                        n: mark.number,
                        k: mark.proof.clone(),
                    })
                    .collect(),
            );
        }
    }
    mirror::MarkGroup {
        side: group.side,
        label: group.label.as_deref().map(|label| clean.text(label, 40.0, 9.0)),
        rows,
        circle,
        long: count > LONG_GROUP,
    }
}

pub fn message(clean: &mut Cleaner, message: &Message, width: f64) -> mirror::Message {
    mirror::Message {
        signal: message.signal.word(),
        hazard: clean.text(
            &message.hazard,
            (width - estimate::BESIDE_PANEL).max(width / 2.0),
            12.0,
        ),
        avoid: message
            .avoid
            .iter()
            .map(|order| clean.text(order, width - 24.0, 14.0))
            .collect(),
        again: message.again,
        also: Vec::new(),
        solid: estimate::message(message, width) <= estimate::UNIT_LIMIT,
        proof: message.proof.clone(),
    }
}

/// Messages one after the other, with their heights at most; those in a line and of the same word are one.
pub fn messages<'m>(
    clean: &mut Cleaner,
    list: impl IntoIterator<Item = &'m Message>,
    width: f64,
) -> Vec<(mirror::Message, f64)> {
    let mut all: Vec<(mirror::Message, f64)> = Vec::new();
    for one in list {
        let shown = message(clean, one, width);
        let high = estimate::message(one, width);
        match all.last_mut() {
            Some((before, sum)) if one.again && before.again && before.signal == shown.signal => {
                *sum += high;
                before.solid = *sum <= estimate::UNIT_LIMIT;
                before.also.push(mirror::Again {
                    hazard: shown.hazard,
                    avoid: shown.avoid,
                    proof: shown.proof,
                });
            }
            _ => all.push((shown, high)),
        }
    }
    all
}

pub fn torque(clean: &mut Cleaner, torque: &Shown) -> mirror::Torque {
    mirror::Torque {
        first: clean.text(&torque.first, 44.0, 18.0),
        second: torque
            .second
            .as_deref()
            .map(|second| clean.text(second, 40.0, 11.0)),
    }
}

pub fn field(clean: &mut Cleaner, field: &Field) -> mirror::Field {
    let width = f64::from(field.width);
    mirror::Field {
        long: estimate::width(&field.caption, 9.0) > width * 0.7,
        caption: clean.text(&field.caption, width * 0.7, 9.0),
        unit: field
            .unit
            .as_deref()
            .map(|unit| clean.text(unit, width * 0.3, 9.0)),
        width: field.width,
    }
}

pub fn tick_item(clean: &mut Cleaner, item: &TickItem, width: f64) -> mirror::TickItem {
    mirror::TickItem {
        text: runs(clean, &item.text, width, 12.0),
        right: item
            .right
            .as_deref()
            .map(|right| clean.text(right, width / 2.0, 12.0)),
        right_wide: item
            .right
            .as_deref()
            .is_some_and(|right| estimate::width(right, 12.0) > width / 2.0),
        short: estimate::width(&text_of(&item.text), 12.0)
            + estimate::width(item.right.as_deref().unwrap_or(""), 12.0)
            < 140.0,
        tick: item.tick,
        solid: estimate::tick_item(item, width / 2.0) <= estimate::ROW_LIMIT,
    }
}

pub fn reading(clean: &mut Cleaner, cell: &WeighCell) -> mirror::Reading {
    match cell {
        WeighCell::Known(text) => mirror::Reading::Known {
            text: clean.text(text, 38.0, 14.0),
        },
        WeighCell::Blank {
            whole,
            decimals,
            unit,
        } => mirror::Reading::Blank {
            whole: *whole,
            decimals: *decimals,
            unit: clean.signs(unit),
        },
        WeighCell::Nothing => mirror::Reading::Nothing,
    }
}

pub fn cell(clean: &mut Cleaner, cell: &Cell, width: f64) -> mirror::Cell {
    match cell {
        Cell::Empty => mirror::Cell::Empty,
        Cell::Line(line) => mirror::Cell::Line {
            runs: runs(clean, line, width, 12.0),
        },
        Cell::Lines(lines) => mirror::Cell::Lines {
            lines: lines.iter().map(|line| runs(clean, line, width, 12.0)).collect(),
        },
        Cell::Torque(figure) => mirror::Cell::Torque {
            first: clean.text(&figure.first, width, 16.0),
            second: figure
                .second
                .as_deref()
                .map(|second| clean.text(second, width, 16.0)),
        },
        Cell::Square => mirror::Cell::Square,
        Cell::Hexagon => mirror::Cell::Hexagon,
        Cell::Marks(shown) => mirror::Cell::Marks {
            marks: marks(clean, shown),
        },
        Cell::Dot => mirror::Cell::Dot,
        Cell::Write => mirror::Cell::Write,
        Cell::Signal(signal) => mirror::Cell::Signal {
            signal: signal.word(),
        },
    }
}

pub fn align(align: Align) -> &'static str {
    match align {
        Align::Left => "left",
        Align::Right | Align::Decimal => "right",
    }
}

pub fn explained(mark: ExplainedMark) -> &'static str {
    match mark {
        ExplainedMark::Square => "square",
        ExplainedMark::Ring => "ring",
        ExplainedMark::Hexagon => "hexagon",
        ExplainedMark::Letter => "letter",
    }
}

pub fn prose(clean: &mut Cleaner, parts: &[Prose], width: f64, depth: usize) -> Vec<mirror::Prose> {
    let room = width.max(20.0);
    let mut out = Vec::new();
    for part in parts {
        match part {
            Prose::Paragraph(inner) => out.push(mirror::Prose::Paragraph {
                children: inlines(clean, inner, room, 0),
            }),
            Prose::Heading(inner) => out.push(mirror::Prose::Heading {
                children: inlines(clean, inner, room, 0),
            }),
            Prose::Verbatim(text) => out.push(mirror::Prose::Verbatim {
                lines: text.lines().map(|line| verbatim(clean, line, room)).collect(),
            }),
            Prose::Rule => out.push(mirror::Prose::Rule),
            Prose::Quote(inner) if depth >= DEEPEST => out.extend(flat(clean, inner, room)),
            Prose::List { items, .. } if depth >= DEEPEST => {
                for item in items {
                    out.extend(flat(clean, item, room));
                }
            }
            Prose::Quote(inner) => out.push(mirror::Prose::Quote {
                children: prose(clean, inner, room - 5.0, depth + 1),
            }),
            Prose::List { ordered_from, items } => out.push(mirror::Prose::List {
                wide: ordered_from.is_some(),
                items: items
                    .iter()
                    .zip(0u64..)
                    .map(|(item, at)| mirror::ListItem {
                        mark: ordered_from.map(|from| format!("{}.", from.saturating_add(at))),
                        children: prose(clean, item, room - 9.0, depth + 1),
                    })
                    .collect(),
            }),
        }
    }
    out
}

/// What lies deeper than the paper is wide: all its paragraphs, one after another.
fn flat(clean: &mut Cleaner, parts: &[Prose], width: f64) -> Vec<mirror::Prose> {
    let mut waiting: Vec<&Prose> = parts.iter().rev().collect();
    let mut out = Vec::new();
    while let Some(part) = waiting.pop() {
        match part {
            Prose::Quote(inner) => waiting.extend(inner.iter().rev()),
            Prose::List { items, .. } => {
                waiting.extend(items.iter().rev().flat_map(|item| item.iter().rev()))
            }
            Prose::Paragraph(_) | Prose::Heading(_) | Prose::Verbatim(_) | Prose::Rule => {
                out.extend(prose(clean, std::slice::from_ref(part), width, DEEPEST));
            }
        }
    }
    out
}

/// Leading blanks mean something in verbatim text, so they are kept by ones that hold.
fn verbatim(clean: &mut Cleaner, line: &str, width: f64) -> String {
    let body = line.trim_start_matches([' ', '\t']);
    let blanks: usize = line
        .chars()
        .take_while(|sign| matches!(sign, ' ' | '\t'))
        .map(|sign| if sign == '\t' { 4 } else { 1 })
        .sum();
    format!(
        "{}{}",
        "\u{A0}".repeat(blanks.min(40)),
        clean.text(body, width, 11.0)
    )
}

fn inlines(clean: &mut Cleaner, parts: &[Inline], width: f64, depth: usize) -> Vec<mirror::Inline> {
    parts
        .iter()
        .map(|part| match part {
            Inline::Text(text) => mirror::Inline::Text {
                text: clean.text(text, width, 11.0),
            },
            Inline::Verbatim(text) => mirror::Inline::Verbatim {
                text: clean.text(text, width, 11.0),
            },
            Inline::Break => mirror::Inline::Break,
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { text: inner, .. }
                if depth >= DEEPEST =>
            {
                mirror::Inline::Text {
                    text: clean.text(&estimate::plain(inner), width, 11.0),
                }
            }
            Inline::Emphasis(inner) => mirror::Inline::Emphasis {
                children: inlines(clean, inner, width, depth + 1),
            },
            Inline::Strong(inner) => mirror::Inline::Strong {
                children: inlines(clean, inner, width, depth + 1),
            },
            Inline::Link { to, text } => link(clean, to, text, width, depth),
        })
        .collect()
}

/// On paper nobody follows a link, so its address stands behind it in brackets.
fn link(clean: &mut Cleaner, to: &str, text: &[Inline], width: f64, depth: usize) -> mirror::Inline {
    let mut children = inlines(clean, text, width, depth + 1);
    let shown = estimate::plain(text);
    let bare = to.trim_start_matches("mailto:");
    if bare != shown && !to.is_empty() {
        children.push(mirror::Inline::Text {
            text: format!(" ({})", clean.text(bare, width, 11.0)),
        });
    }
    let safe = ["https://", "http://", "mailto:"]
        .iter()
        .any(|scheme| to.starts_with(scheme));
    let target =
        (safe && to.len() < 2000 && to.bytes().all(|byte| byte.is_ascii_graphic())).then(|| to.to_owned());
    mirror::Inline::Link { to: target, children }
}

/// A text for one line of a head or foot `room` mm wide, cut at a word's end where one is near.
pub fn shortened(text: &str, room: f64, size: f64) -> String {
    if estimate::width(text, size) <= room {
        return text.to_owned();
    }
    let mut cut = String::new();
    let mut used = estimate::width("…", size);
    for sign in text.chars() {
        used += estimate::width(sign.encode_utf8(&mut [0; 4]), size);
        if used > room {
            break;
        }
        cut.push(sign);
    }
    let whole_words = cut
        .rfind(' ')
        .filter(|at| *at > cut.len() / 2)
        .and_then(|at| cut.get(..at));
    format!("{}…", whole_words.unwrap_or(&cut).trim_end())
}
