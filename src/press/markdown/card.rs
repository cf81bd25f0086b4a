//! A step card in Markdown: acts are task items, safety messages stand directly above the act that they guard.
//! Must not know the other blocks.

use super::{Page, text};
use crate::binder::document::{
    ActRow, Card, CardRow, Field, MarkGroup, MarkShape, Marks, Message, Shown, TickItem,
};
use crate::press::words;

/// A place to write on.
pub const BLANK: &str = "________";

impl Page {
    pub(super) fn card(&mut self, card: &Card) {
        self.paragraph(format!(
            "### {} {}",
            text::inside(&card.number),
            text::inside(&card.title)
        ));
        let mut facts: Vec<String> = card.derived.iter().map(|derived| text::inside(derived)).collect();
        if !card.who_and_time.is_empty() {
            facts.push(text::runs(&card.who_and_time));
        }
        facts.push(format!("{} {BLANK} {}", words::TOOK, words::MINUTES));
        facts.push(format!("{} {BLANK}", words::DONE_ON));
        self.paragraph(text::at_start(&facts.join(" · ")));
        if !card.place.is_empty() {
            self.paragraph(format!("**{}:** {}", words::WHERE, text::runs(&card.place)));
        }
        if !card.at_hand.is_empty() {
            self.paragraph(format!("**{}:** {}", words::AT_HAND, text::runs(&card.at_hand)));
        }
        if !card.first.is_empty() {
            self.paragraph(format!("**{}:**", words::FIRST));
            // Another bullet, or this list and the acts' would become one.
            let items = card
                .first
                .iter()
                .map(|item| tick_item(item).replacen('-', "*", 1));
            self.lines(items.collect());
        }
        for message in &card.messages {
            self.message(message);
        }
        let mut open = Vec::new();
        for row in &card.rows {
            match row {
                CardRow::Act(row) => open.extend(act(row)),
                CardRow::Message(message) => {
                    self.lines(std::mem::take(&mut open));
                    self.message(message);
                }
                CardRow::Prose(prose) => {
                    self.lines(std::mem::take(&mut open));
                    self.lines(text::prose(prose, 0));
                }
                CardRow::Picture(picture) => {
                    self.lines(std::mem::take(&mut open));
                    self.picture(picture);
                }
            }
        }
        self.lines(open);
        if let Some(check) = &card.second_check {
            let seen: Vec<String> = check.lines.iter().map(|line| text::inside(line)).collect();
            self.paragraph(format!(
                "**{}:** {} {} {BLANK} {} {BLANK}",
                words::SECOND_CHECK,
                seen.join(" "),
                words::SIGNED,
                words::DATE
            ));
        }
        if !card.after.is_empty() {
            self.paragraph(format!("**{}:**", words::AFTER));
            let items = card.after.iter().map(|(name, lines)| {
                let lines: Vec<String> = lines.iter().map(|line| text::inside(line)).collect();
                format!("- {}: {}", text::strong(name), lines.join("; "))
            });
            self.lines(items.collect());
        }
        if let Some(safe) = &card.safe_to_leave {
            self.paragraph(text::strong(safe));
        }
    }

    pub(super) fn message(&mut self, message: &Message) {
        if message.again {
            let orders: Vec<String> = message.avoid.iter().map(|order| text::inside(order)).collect();
            let told = text::strong(&message.hazard);
            let word = message.signal.word();
            self.lines(vec![match orders.as_slice() {
                [] => format!("> **{word}** {told}"),
                all => format!("> **{word}** {told}: {}", all.join(" ")),
            }]);
            return;
        }
        let mut lines = vec![format!(
            "> **{}** {}",
            message.signal.word(),
            text::inside(&message.hazard)
        )];
        if !message.avoid.is_empty() {
            lines.push(">".to_owned());
            lines.extend(
                message
                    .avoid
                    .iter()
                    .map(|order| format!("> - {}", text::strong(order))),
            );
        }
        self.lines(lines);
    }
}

fn act(row: &ActRow) -> Vec<String> {
    let object = text::runs(&row.object);
    let mut lines = vec![
        format!(
            "- [ ] ({}) {} {object}",
            text::inside(&row.letter),
            text::strong(&row.verb)
        )
        .trim_end()
        .to_owned(),
    ];
    let mut below = Vec::new();
    below.extend(row.take_out.iter().map(|out| text::strong(out)));
    below.extend(row.torque.iter().map(torque));
    below.extend(row.facts.iter().map(|fact| text::at_start(&text::runs(fact))));
    below.extend(
        row.marks
            .iter()
            .flat_map(|marks| marks.groups.iter().map(|group| mark_group(marks, group))),
    );
    below.extend(row.reads.as_ref().map(super::blocks::reading));
    below.extend(row.write.iter().map(field));
    lines.extend(
        below
            .into_iter()
            .filter(|line| !line.is_empty())
            .map(|line| format!("  - {line}")),
    );
    lines
}

fn torque(torque: &Shown) -> String {
    let first = text::strong(&torque.first);
    match &torque.second {
        Some(second) => format!("{first} ({})", text::inside(second)),
        None => first,
    }
}

/// "left: ○○○○", or "⬡1 ⬡3 / ⬡4 ⬡2" when the order matters.
fn mark_group(marks: &Marks, group: &MarkGroup) -> String {
    let sign = match marks.shape {
        MarkShape::Ring => "○",
        MarkShape::Hexagon => "⬡",
    };
    let rows: Vec<String> = group
        .rows
        .iter()
        .map(|row| {
            let numbered = row.iter().any(|mark| mark.number.is_some());
            let shown: Vec<String> = row
                .iter()
                .map(|mark| {
                    mark.number
                        .map_or_else(|| sign.to_owned(), |number| format!("{sign}{number}"))
                })
                .collect();
            shown.join(if numbered { " " } else { "" })
        })
        .collect();
    let shown = rows.join(if group.circle { " " } else { " / " });
    let shown = group
        .side
        .map_or_else(|| shown.clone(), |side| format!("{side} {shown}"));
    group.label.as_deref().map_or_else(
        || shown.clone(),
        |label| format!("{}: {shown}", text::start(label)),
    )
}

/// All marks on one line, for a table's cell.
pub fn marks_inline(marks: &Marks) -> String {
    let groups: Vec<String> = marks
        .groups
        .iter()
        .map(|group| mark_group(marks, group))
        .collect();
    groups.join("; ")
}

pub fn field(field: &Field) -> String {
    let unit = field
        .unit
        .as_deref()
        .map_or_else(String::new, |unit| format!(" {}", text::inside(unit)));
    let caption = text::start(&field.caption);
    let caption = if caption.is_empty() {
        "…".to_owned()
    } else {
        caption
    };
    format!("{caption}: {BLANK}{unit}")
}

pub fn tick_item(item: &TickItem) -> String {
    let mark = if item.tick { "- [ ] " } else { "- " };
    let shown = text::at_start(&text::runs(&item.text));
    match &item.right {
        Some(right) => format!("{mark}{shown} · {}", text::strong(right)),
        None => format!("{mark}{shown}"),
    }
}
