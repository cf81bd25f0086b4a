//! Every block but the step card in Markdown. Must not know how a text is guarded, nor how a table is padded.

use super::card::{BLANK, field, marks_inline, tick_item};
use super::links::to_steps;
use super::table::table;
use super::{Page, text};
use crate::binder::document::{
    Align, BeforeItMoves, BigFigure, Block, Cell, Cover, DenseItem, ExplainedMark, IndexEntry, MarkMeaning,
    Table, TableRow, WeighCell, WeighingSheet, text_of,
};
use crate::press::words;
use std::collections::BTreeMap;

impl Page {
    pub(super) fn block(&mut self, block: &Block) {
        match block {
            Block::Heading { level, text: title } => {
                let marks = if *level <= 2 { "###" } else { "####" };
                self.paragraph(format!("{marks} {}", text::inside(title)));
            }
            Block::Text(line) => self.paragraph(text::at_start(&text::runs(line))),
            Block::Prose(prose) => self.lines(text::prose(prose, 0)),
            Block::Cover(cover) => self.cover(cover),
            Block::Figures(list) => self.lines(list.iter().map(figure).collect()),
            Block::Card(card) => self.card(card),
            Block::Message(message) => self.message(message),
            Block::Table(shown) => self.table(shown),
            Block::TickList { title, items } => {
                self.paragraph(text::strong(title));
                self.lines(items.iter().map(tick_item).collect());
            }
            Block::Dense(list) => {
                self.paragraph(text::strong(&list.title));
                let item = |item: &DenseItem| {
                    let shown = text::at_start(&text::runs(&item.text));
                    let tick = if item.done { "x" } else { " " };
                    match &item.right {
                        Some(right) => format!("- [{tick}] {shown} · {}", text::strong(right)),
                        None => format!("- [{tick}] {shown}"),
                    }
                };
                self.lines(list.items.iter().map(item).collect());
            }
            Block::Stages(list) => {
                self.table(&list.table);
                self.picture(&list.drawing);
            }
            Block::BeforeItMoves(list) => self.before_it_moves(list),
            Block::WeighingSheet(sheet) => self.weighing_sheet(sheet),
            Block::Fields(list) => self.lines(list.iter().map(|one| format!("- {}", field(one))).collect()),
            Block::Signatures(list) => self.signatures(list),
            Block::Halves(left, right) => {
                for inner in left.iter().chain(right) {
                    self.block(inner);
                }
            }
            Block::Picture(picture) => self.picture(picture),
            Block::Index(entries) => {
                let lines = entries
                    .iter()
                    .map(|entry| index_entry(entry, &self.links))
                    .collect();
                self.lines(lines);
            }
            Block::MarksExplained(list) => self.lines(list.iter().map(meaning).collect()),
        }
    }

    fn signatures(&mut self, list: &[String]) {
        let line = |what: &String| {
            format!(
                "- {}: {} {BLANK} {} {BLANK}",
                text::start(what),
                words::NAME,
                words::DATE
            )
        };
        self.lines(list.iter().map(line).collect());
    }

    fn cover(&mut self, cover: &Cover) {
        self.paragraph(text::strong(&cover.title));
        self.paragraph(text::start(&cover.body));
        if let Some(picture) = &cover.picture {
            self.picture(picture);
        }
        let rows = cover.rows.iter().map(|(label, value)| {
            let value = value.as_ref().map_or_else(|| BLANK.to_owned(), text::runs);
            format!("- {}: {value}", text::strong(label))
        });
        self.lines(rows.collect());
        self.signatures(&cover.signatures);
    }

    fn table(&mut self, shown: &Table) {
        if !shown.title.is_empty() {
            self.paragraph(format!("#### {}", text::inside(&shown.title)));
        }
        if shown.columns.is_empty() {
            return;
        }
        let heads: Vec<(String, Align)> = shown
            .columns
            .iter()
            .map(|column| (text::inside(&column.head), column.align))
            .collect();
        let mut rows = Vec::new();
        for group in &shown.groups {
            if let Some(head) = &group.head {
                rows.push(vec![text::strong(head)]);
            }
            rows.extend(group.rows.iter().map(|row| self.cells(shown, row)));
        }
        self.lines(table(&heads, &rows));
    }

    /// The cells of a row; in a column of steps each number leads to its card.
    fn cells(&self, shown: &Table, row: &TableRow) -> Vec<String> {
        let of_steps = |at: usize| {
            let head = shown.columns.get(at).map(|column| column.head.as_str());
            matches!(head, Some("Step" | "Steps"))
        };
        row.cells
            .iter()
            .enumerate()
            .map(|(at, shown)| match cell(shown) {
                written if of_steps(at) => to_steps(&written, &self.links),
                written => written,
            })
            .collect()
    }

    fn before_it_moves(&mut self, list: &BeforeItMoves) {
        self.paragraph(format!("### {}", text::inside(&list.title)));
        for (head, lines) in [
            (words::WHEN, &list.when),
            (words::HELD_BY, &list.held_by),
            (words::WHO, &list.who),
        ] {
            if !lines.is_empty() {
                let shown: Vec<String> = lines.iter().map(text::runs).collect();
                self.paragraph(format!("**{head}:** {}", shown.join("; ")));
            }
        }
        if let Some(map) = &list.map {
            self.picture(map);
        }
        self.paragraph(list.no_map.as_deref().map_or_else(String::new, text::start));
        self.paragraph(format!("**{}**", words::ONE_READS));
        for (place, rows) in &list.groups {
            self.paragraph(text::strong(place));
            let rows = rows.iter().map(|row| {
                let rings = "○".repeat(row.fixings as usize);
                let hidden = row
                    .hidden
                    .as_deref()
                    .map_or_else(String::new, |told| format!("; {}", text::inside(told)));
                format!(
                    "- [ ] {} {}{hidden} {rings}",
                    text::strong(&row.state),
                    text::runs(&row.joint)
                )
                .trim_end()
                .to_owned()
            });
            self.lines(rows.collect());
        }
        if list.blank_rows > 0 {
            self.paragraph(format!("**{}**", words::NOT_IN_PLAN));
            self.lines(vec![format!("- [ ] … {BLANK}"); list.blank_rows]);
        }
        self.paragraph(text::start(&list.claim));
        self.paragraph(format!(
            "**{}** {} {BLANK} {} {BLANK}",
            words::ALL_LOOKED_AT,
            words::READS,
            words::LOOKS
        ));
    }

    fn weighing_sheet(&mut self, sheet: &WeighingSheet) {
        self.paragraph(format!("### {}", text::inside(&sheet.title)));
        self.lines(pairs(&sheet.conditions));
        if !sheet.rows.is_empty() {
            let heads: Vec<(String, Align)> = [
                words::NUMBER,
                words::WHAT,
                words::BETWEEN,
                words::SCALE_READS,
                words::OF_IT,
            ]
            .iter()
            .map(|head| ((*head).to_owned(), Align::Left))
            .collect();
            let rows: Vec<Vec<String>> = sheet
                .rows
                .iter()
                .zip(1..)
                .map(|(row, number)| {
                    let between = row.between.as_deref().map_or_else(String::new, text::inside);
                    vec![
                        format!("{number}"),
                        text::runs(&row.what),
                        between,
                        reading(&row.reads),
                        reading(&row.tare),
                    ]
                })
                .collect();
            self.lines(table(&heads, &rows));
        }
        if let Some(corners) = &sheet.corners {
            let names = [
                words::FRONT_LEFT,
                words::FRONT_RIGHT,
                words::REAR_LEFT,
                words::REAR_RIGHT,
            ];
            let lines = names
                .iter()
                .zip(corners)
                .map(|(name, cell)| format!("- {name}: {}", reading(cell)));
            self.lines(lines.collect());
        }
        self.lines(pairs(&sheet.foot));
    }
}

fn pairs(list: &[(String, Option<String>)]) -> Vec<String> {
    list.iter()
        .map(|(label, value)| {
            let value = value.as_deref().map_or_else(|| BLANK.to_owned(), text::inside);
            format!("- {}: {value}", text::strong(label))
        })
        .collect()
}

fn figure(figure: &BigFigure) -> String {
    let below: Vec<String> = figure.below.iter().map(|line| text::inside(line)).collect();
    let word = if figure.word.is_empty() {
        String::new()
    } else {
        format!(" {}", text::inside(&figure.word))
    };
    let colon = if below.is_empty() { "" } else { ": " };
    format!(
        "- {}{word}{colon}{}",
        text::strong(&figure.figure),
        below.join("; ")
    )
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Line(line) => text::runs(line),
        Cell::Lines(lines) => {
            let mut shown = String::new();
            let mut before = String::new();
            for line in lines {
                if !shown.is_empty() {
                    let ended = before.trim_end().ends_with(['.', '!', '?']);
                    shown.push_str(if ended { " " } else { "; " });
                }
                shown.push_str(&text::runs(line));
                before = text_of(line);
            }
            shown
        }
        Cell::Torque(figure) => text::strong(&figure.both()),
        Cell::Square => "☐".to_owned(),
        Cell::Hexagon => "⬡".to_owned(),
        Cell::Marks(marks) => marks_inline(marks),
        Cell::Dot => "●".to_owned(),
        Cell::Write => BLANK.to_owned(),
        Cell::Signal(signal) => format!("**{}**", signal.word()),
    }
}

/// A reading, or as many boxes as the scale gives figures.
pub(super) fn reading(cell: &WeighCell) -> String {
    match cell {
        WeighCell::Known(shown) => text::strong(shown),
        WeighCell::Blank {
            whole,
            decimals,
            unit,
        } => {
            let point = if *decimals > 0 { "." } else { "" };
            let whole = "☐".repeat(usize::from(*whole));
            let decimals = "☐".repeat(usize::from(*decimals));
            format!("{whole}{point}{decimals} {}", text::inside(unit))
        }
        WeighCell::Nothing => String::new(),
    }
}

fn index_entry(entry: &IndexEntry, links: &BTreeMap<String, String>) -> String {
    let steps = to_steps(&text::strong(&entry.steps), links);
    format!("- {}: {steps}", text::start(&entry.name))
}

fn meaning(meaning: &MarkMeaning) -> String {
    let mark = match meaning.mark {
        ExplainedMark::Square => "☐",
        ExplainedMark::Ring => "○",
        ExplainedMark::Hexagon => "⬡",
        ExplainedMark::Letter => "(a)",
    };
    format!("- {mark} {}", text::runs(&meaning.meaning))
}
