//! How high a piece of a page can get at most, judged from its text before it is laid out. Always on the high
//! side: a piece may only be kept whole when it surely fits on a page, since the engine drops what does not.
//! Must not know how pieces are drawn, beyond their sizes of type.

use crate::base::letters;
use crate::binder::document::{
    ActRow, Cell, Field, Inline, Line, MarkGroup, Marks, Message, Prose, TickItem, text_of,
};
use crate::binder::sizes::{
    COL_FIX, PANEL_BESIDE, PANEL_LINE, POINT, T9, T11, T12, T14, T16, T18, Type, WORDS_ROOM, WORDS_ROOM_WIDE,
};

/// Rows that may get higher than this many mm are allowed to break. A third of the lowest page.
pub const ROW_LIMIT: f64 = 80.0;
/// Rows that stay together, such as head, messages and first act: with the card's head still less than the lowest
/// page holds, which is 234.
pub const UNIT_LIMIT: f64 = 180.0;

/// A figure to apply: its lines are set further apart than others of that size.
const TORQUE: Type = Type { pitch: 7.5, ..T18 };
/// What a message's panel takes of its width, with frame and space, in mm.
pub const BESIDE_PANEL: f64 = PANEL_BESIDE + 12.0;

/// Width of a text on one line in mm, as if all of it were bold.
pub fn width(text: &str, size: Type) -> f64 {
    width_at(text, size.points)
}

/// The same by points.
pub fn width_at(text: &str, points: f64) -> f64 {
    letters::width(text, points * POINT)
}

/// A text for one line `room` mm wide, cut at a word's end where one is near.
pub fn shortened(text: &str, room: f64, size: Type) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let mut cut = String::new();
    let mut used = width("…", size);
    for sign in text.chars() {
        used += width(sign.encode_utf8(&mut [0; 4]), size);
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

/// Height of a text in mm.
pub fn text(text: &str, size: Type, room: f64) -> f64 {
    let longest = text.split(' ').map(|word| width(word, size)).fold(0.0, f64::max);
    // A line ends where the next word does not fit, so it may stay empty by as much as the longest word.
    let used = (room - longest).max(room * 0.5);
    (width(text, size) / used).ceil().max(1.0) * size.pitch
}

pub fn line(line: &Line, size: Type, width: f64) -> f64 {
    text(&text_of(line), size, width)
}

pub fn message(message: &Message, width: f64) -> f64 {
    if message.again {
        let told = format!("{}: {}", message.hazard, message.avoid.join(" "));
        return text(&told, T12, width - PANEL_LINE - 8.0) + 4.5;
    }
    let room = width - 24.0;
    let avoid: f64 = message
        .avoid
        .iter()
        .map(|order| text(order, T14, room) + 1.0)
        .sum();
    // Beside the panel, or below it.
    let hazard = |room: f64| text(&message.hazard, T12, room);
    12.0 + (8.5 + hazard(room)).max(hazard(width - BESIDE_PANEL)) + avoid
}

pub fn marks(marks: &Marks) -> f64 {
    marks
        .groups
        .iter()
        .map(|group| {
            let count: usize = group.rows.iter().map(Vec::len).sum();
            let label = group
                .label
                .as_deref()
                .map_or(0.0, |label| text(label, T9, 40.0) + 1.0);
            let drawn = if group.circle && count <= 8 {
                34.0
            } else {
                (rows_of(group.rows.iter().map(Vec::len)) as f64) * 7.6
            };
            drawn + label + 2.0
        })
        .sum()
}

/// Rows of marks after long rows were cut to five.
fn rows_of(rows: impl Iterator<Item = usize>) -> usize {
    rows.map(|marks| if marks > 6 { marks.div_ceil(5) } else { 1 })
        .sum()
}

/// Room of an act's text in mm: that of the fixings too where there are none, and no figure to apply.
pub fn act_room(act: &ActRow) -> f64 {
    if act.marks.is_empty() && act.torque.is_none() && act.reads.is_none() && !writes_beside(act) {
        WORDS_ROOM_WIDE
    } else {
        WORDS_ROOM
    }
}

/// Whether the act's only line to write on stands in the column of fixings.
pub fn writes_beside(act: &ActRow) -> bool {
    act.marks.is_empty()
        && act.torque.is_none()
        && act.reads.is_none()
        && matches!(act.write.as_slice(), [one] if f64::from(one.width) <= COL_FIX && (says_itself(act, one) || width(&one.caption, T9) < 30.0))
}

/// Lines to write on whose caption is too long to stand on the line itself.
pub fn long_captions(fields: &[Field]) -> Vec<usize> {
    let long = |field: &Field| width(&field.caption, T9) > f64::from(field.width) * 0.7;
    let fields = fields.iter().enumerate();
    fields
        .filter(|(_, field)| long(field))
        .map(|(at, _)| at)
        .collect()
}

/// Whether the act's own words say what is written on the line.
pub fn says_itself(act: &ActRow, field: &Field) -> bool {
    text_of(&act.object).trim() == field.caption.trim()
}

/// Whether the act's fixings are one row of marks without a word below it.
pub fn low(act: &ActRow) -> bool {
    let groups = act.marks.iter().flat_map(|marks| &marks.groups);
    let one_row = |group: &MarkGroup| group.label.is_none() && !group.circle && group.rows.len() == 1;
    let few: usize = act
        .marks
        .iter()
        .flat_map(|marks| &marks.groups)
        .flat_map(|group| group.rows.iter().map(Vec::len))
        .sum();
    let mut groups = groups;
    let paired = groups.clone().any(|group| group.side.is_some());
    let most = if paired { 4 } else { 6 };
    act.torque.is_none() && act.marks.len() == 1 && few <= most && groups.all(one_row)
}

/// Room of the lines below an act.
pub fn facts_room(act: &ActRow) -> f64 {
    if low(act) { WORDS_ROOM_WIDE } else { act_room(act) }
}

/// Whether all that is known of an act surely stands on the line of its words: "Take off the bonnet, 14.6 kg   Put it: on the rack".
pub fn runs_on(act: &ActRow) -> bool {
    let [fact] = act.facts.as_slice() else {
        return false;
    };
    let words = format!("{} {}", act.verb, text_of(&act.object));
    let long = width(&words, T14) + 6.0 + width(&text_of(fact), T12);
    act.take_out.is_none() && act.write.is_empty() && long <= act_room(act)
}

pub fn act(act: &ActRow) -> f64 {
    let head = format!("{} {}", act.verb, text_of(&act.object));
    let room = act_room(act);
    let mut left = text(&head, T14, room);
    left += act
        .take_out
        .as_deref()
        .map_or(0.0, |out| text(out, T14, room) + 1.0);
    left += act
        .facts
        .iter()
        .map(|fact| line(fact, T12, facts_room(act)) + 1.0)
        .sum::<f64>();
    left += 12.0 * act.write.len() as f64;
    let mut right = act.torque.as_ref().map_or(0.0, |torque| {
        let second = torque.second.as_deref().unwrap_or("");
        text(&format!("{} ({second})", torque.first), TORQUE, COL_FIX) + 2.0
    });
    right += act.marks.iter().map(marks).sum::<f64>();
    right += if act.reads.is_some() { 11.0 } else { 0.0 };
    left.max(right).max(7.0) + 5.0
}

pub fn tick_item(item: &TickItem, width: f64) -> f64 {
    let right = item.right.as_deref().unwrap_or("");
    line(&item.text, T12, width) + text(right, T12, width) + 3.0
}

/// Whether it surely fits on one line of a card.
pub fn short_item(item: &TickItem) -> bool {
    width(&text_of(&item.text), T12) + width(item.right.as_deref().unwrap_or(""), T12) < 140.0
}

pub fn cell(cell: &Cell, width: f64) -> f64 {
    match cell {
        Cell::Line(runs) => line(runs, T12, width),
        Cell::Lines(lines) => lines.iter().map(|runs| line(runs, T12, width) + 1.0).sum(),
        Cell::Torque(figure) => text(&figure.both(), T16, width),
        Cell::Marks(shown) => marks(shown),
        Cell::Empty | Cell::Square | Cell::Hexagon | Cell::Dot | Cell::Write | Cell::Signal(_) => 9.0,
    }
}

pub fn prose(parts: &[Prose], width: f64) -> f64 {
    let room = width.max(20.0);
    parts
        .iter()
        .map(|part| {
            3.0 + match part {
                Prose::Paragraph(inlines) | Prose::Heading(inlines) => {
                    text(&plain(inlines), T11, room) + breaks(inlines) * T11.pitch
                }
                Prose::Verbatim(lines) => lines.lines().map(|shown| text(shown, T11, room)).sum(),
                Prose::Quote(inner) => prose(inner, room - 6.0),
                Prose::List { items, .. } => items.iter().map(|item| prose(item, room - 10.0) + 2.0).sum(),
                Prose::Rule => 5.0,
            }
        })
        .sum()
}

/// The text of the owner's words without their weights.
pub fn plain(inlines: &[Inline]) -> String {
    inlines
        .iter()
        .map(|inline| match inline {
            Inline::Text(shown) | Inline::Verbatim(shown) => shown.clone(),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { text: inner, .. } => {
                plain(inner)
            }
            Inline::Break => " ".to_owned(),
        })
        .collect()
}

fn breaks(inlines: &[Inline]) -> f64 {
    inlines
        .iter()
        .filter(|inline| matches!(inline, Inline::Break))
        .count() as f64
}
