//! What the press works out of a document before it is laid out: which rows may break, what is too long for its usual type, how large a
//! picture may be, what stands together on a card. It goes to the template beside the document, block by block, and repeats nothing of it. Must not know
//! the engine, nor how a row is drawn.

use std::collections::BTreeMap;

use super::estimate::{self, ROW_LIMIT, UNIT_LIMIT};
use super::given::{BlockFacts, Facts, Heads, SectionFacts, Unit};
use super::pictures::{PictureFiles, Places};
use super::{cards, clean};
use crate::binder::document::{
    self, BeforeItMoves, Block, Document, Message, PaperSize, PictureUse, Section, TickItem, WeighingSheet,
    text_of,
};
use crate::binder::sizes::{HALF, LIVE, T9, T11, T12, T14};

/// A cover's title up to this length is set in the largest type.
const SHORT_TITLE: usize = 60;

/// Works all of it out. Every picture that the document uses must be in `files`.
#[must_use]
pub fn of(document: &Document, files: &PictureFiles) -> Facts {
    let short = if repeats_the_title(&document.title, &document.short) {
        ""
    } else {
        &document.short
    };
    let head_room = if short.is_empty() { 78.0 } else { 46.0 };
    let mut judge = Judge {
        level: 0,
        pictures: Places {
            files,
            tallest: match document.paper {
                PaperSize::A4 => 200.0,
                PaperSize::Letter => 185.0,
            },
            placed: BTreeMap::new(),
        },
    };
    let sections = document
        .sections
        .iter()
        .map(|section| judge.section(section, head_room))
        .collect();
    let (lang, region) = language(&document.language);
    Facts {
        lang,
        region,
        day: day(document),
        heads: Heads {
            title: clean::head(&document.title, 62.0, T11),
            short: clean::head(short, 34.0, T11),
            revision: clean::head(&document.revision, 40.0, T9),
            date: clean::head(&document.date, 40.0, T9),
            not_proved: document
                .not_proved
                .as_deref()
                .map(|words| clean::head(words, 168.0, T14)),
        },
        sections,
        pictures: judge.pictures.placed,
    }
}

/// "Ouzel 1600: light front end" begins with the name of "Ouzel 1600 coupé".
fn repeats_the_title(title: &str, short: &str) -> bool {
    let begins = title.split(':').next().unwrap_or(title).trim();
    !begins.is_empty() && (title.starts_with(short) || short.starts_with(begins))
}

/// Year, month and day that the document is of.
pub fn day(document: &Document) -> Option<(u16, u8, u8)> {
    document.day.map(|day| (day.year, day.month, day.day))
}

/// `en-GB` in the two parts that the engine takes; anything odd is English.
pub fn language(tag: &str) -> (String, Option<String>) {
    let mut parts = tag.split('-');
    let lang = parts
        .next()
        .map(str::to_ascii_lowercase)
        .filter(|lang| (2..=3).contains(&lang.len()) && lang.bytes().all(|byte| byte.is_ascii_lowercase()));
    let region = parts
        .map(str::to_ascii_uppercase)
        .find(|region| region.len() == 2 && region.bytes().all(|byte| byte.is_ascii_uppercase()));
    (lang.unwrap_or_else(|| "en".to_owned()), region)
}

struct Judge<'a> {
    /// Level of the last heading: the next may be one deeper at most.
    level: u8,
    pictures: Places<'a>,
}

impl Judge<'_> {
    fn section(&mut self, section: &Section, head_room: f64) -> SectionFacts {
        self.level = 1;
        SectionFacts {
            head: clean::head(&section.title, head_room, T11),
            long: section.title.chars().count() > cards::LONG_TITLE,
            blocks: section
                .blocks
                .iter()
                .map(|block| self.block(block, LIVE))
                .collect(),
        }
    }

    fn heading(&mut self, wanted: u8) -> u8 {
        self.level = wanted.clamp(2, self.level.saturating_add(1).max(2));
        self.level
    }

    fn picture(&mut self, used: &PictureUse, width: f64) {
        self.pictures.place(used, width, self.pictures.tallest);
    }

    fn block(&mut self, block: &Block, width: f64) -> BlockFacts {
        let mut of = BlockFacts {
            opening: 1,
            ..BlockFacts::default()
        };
        match block {
            Block::Heading { level, .. } => of.level = self.heading(*level),
            Block::Cover(cover) => {
                of.long = cover.title.chars().count() > SHORT_TITLE;
                if let Some(picture) = &cover.picture {
                    self.pictures.place(picture, LIVE, 90.0);
                }
            }
            Block::Card(card) => {
                of.level = self.heading(2);
                cards::card(&mut of, card, &mut self.pictures);
            }
            Block::Message(message) => of.loose = message_loose(message, width),
            Block::Table(table) => {
                of.level = if table.title.is_empty() {
                    0
                } else {
                    self.heading(3)
                };
                of.loose = table_loose(table, width);
            }
            Block::TickList { items, .. } => {
                of.loose = rows(items, |item| {
                    estimate::tick_item(item, (width - 40.0) / 2.0) > ROW_LIMIT
                });
                of.wide = rows(items, |item| right_is_wide(item, (width - 40.0) / 2.0));
            }
            Block::Dense(list) => dense(&mut of, list, width),
            Block::Stages(list) => self.picture(&list.drawing, LIVE),
            Block::BeforeItMoves(list) => {
                of.level = self.heading(2);
                if let Some(map) = &list.map {
                    self.picture(map, LIVE);
                }
                before_it_moves(&mut of, list);
            }
            Block::WeighingSheet(sheet) => {
                of.level = self.heading(2);
                of.loose = sheet_loose(sheet);
            }
            Block::Fields(list) => of.wide = estimate::long_captions(list),
            Block::Halves(left, right) => {
                of.halves =
                    [left, right].map(|half| half.iter().map(|inner| self.block(inner, HALF)).collect());
            }
            Block::Picture(picture) => self.picture(picture, width),
            Block::Text(_)
            | Block::Prose(_)
            | Block::Figures(_)
            | Block::Signatures(_)
            | Block::Index(_)
            | Block::MarksExplained(_) => {}
        }
        of
    }
}

/// The places of those rows of which this is true.
fn rows<'r, R: 'r>(all: impl IntoIterator<Item = &'r R>, is: impl Fn(&R) -> bool) -> Vec<usize> {
    let all = all.into_iter().enumerate();
    all.filter(|(_, row)| is(row)).map(|(at, _)| at).collect()
}

fn message_loose(message: &Message, width: f64) -> Vec<usize> {
    rows([message], |message| {
        estimate::message(message, width) > UNIT_LIMIT
    })
}

fn right_is_wide(item: &TickItem, half: f64) -> bool {
    let right = item.right.as_deref().unwrap_or("");
    estimate::width(right, T12) > half
}

fn table_loose(table: &document::Table, width: f64) -> Vec<usize> {
    let widths = clean::column_widths(table, width);
    rows(table.groups.iter().flat_map(|group| &group.rows), |row| {
        let across = row.cells.len() == 1 && widths.len() > 1;
        let cells = row.cells.iter().zip(&widths);
        let mut high = cells.map(|(cell, own)| estimate::cell(cell, if across { width } else { *own }));
        high.any(|high| high > ROW_LIMIT)
    })
}

fn dense(of: &mut BlockFacts, list: &document::Dense, width: f64) {
    let columns = list.columns.clamp(1, 4);
    let room = width / columns as f64 - 12.0;
    let heights: Vec<f64> = list.items.iter().map(|item| dense_high(item, room)).collect();
    of.ends = balanced(&heights, columns);
    of.wide = rows(&list.items, |item| clean::dense_is_wide(item, room));
    of.loose = rows(&list.items, |item| {
        let text_room = if clean::dense_is_wide(item, room) {
            room / 2.0
        } else {
            room
        };
        let right = item.right.as_deref().unwrap_or("");
        let high =
            estimate::line(&item.text, T11, text_room * 0.7) + estimate::text(right, T11, text_room * 0.7);
        high > ROW_LIMIT
    });
}

fn before_it_moves(of: &mut BlockFacts, list: &BeforeItMoves) {
    of.short_title = clean::head(&list.title, 150.0, T12);
    of.loose = rows(list.groups.iter().flat_map(|(_, rows)| rows), |row| {
        move_row(row) > ROW_LIMIT
    });
    let closing = 55.0 + estimate::text(&list.claim, T12, LIVE) + 11.0 * list.blank_rows as f64;
    let close = Unit::of(closing <= UNIT_LIMIT);
    // What a map is drawn for lies on one side of the paper: both columns of rows, and the close.
    if list.map.is_some() {
        of.units = vec![close.clone(), Unit { tied: true, ..close }];
        return;
    }
    for (_, rows) in &list.groups {
        let high: f64 = rows.iter().map(move_row).sum();
        of.units.push(Unit::of(high <= UNIT_LIMIT));
    }
    of.units.push(close);
}

/// Rows, and behind them the foot as one.
fn sheet_loose(sheet: &WeighingSheet) -> Vec<usize> {
    let mut loose = rows(&sheet.rows, |row| {
        estimate::line(&row.what, T12, 48.0) > ROW_LIMIT
    });
    let labels = sheet.foot.iter().map(|(label, _)| label);
    let foot: f64 = labels
        .map(|label| estimate::text(label, T12, 82.0).max(8.0) + 4.0)
        .sum();
    if foot > UNIT_LIMIT {
        loose.push(sheet.rows.len());
    }
    loose
}

/// Height of a row of "before it moves" at most, in mm.
fn move_row(row: &document::MoveRow) -> f64 {
    let rings = f64::from(row.fixings.div_ceil(5)) * 8.0;
    let hidden = row.hidden.as_deref();
    let joint = estimate::line(&row.joint, T12, 96.0)
        + hidden.map_or(0.0, |hidden| 0.3 + estimate::text(hidden, T11, 96.0));
    rings
        .max(joint)
        .max(estimate::text(&row.state, T14, 30.0))
        .max(7.0)
        + 3.5
}

/// Height of an item of a dense list about as it will be, in mm.
fn dense_high(item: &document::DenseItem, room: f64) -> f64 {
    let right = estimate::width(item.right.as_deref().unwrap_or(""), T11);
    let left = if right > room * 0.45 {
        room / 2.0
    } else {
        room - right
    };
    let lines = (estimate::width(&text_of(&item.text), T11) * 0.95 / left).ceil();
    lines.max(1.0) * 5.0 + 1.6
}

/// Where each of so many columns ends, so that the highest is as low as can be and what is read first stands first.
fn balanced(heights: &[f64], columns: usize) -> Vec<usize> {
    let ends = |most: f64| {
        let mut ends = Vec::new();
        let mut high = 0.0;
        for (at, own) in heights.iter().enumerate() {
            if high > 0.0 && high + own > most {
                ends.push(at);
                high = 0.0;
            }
            high += own;
        }
        ends.push(heights.len());
        ends
    };
    let all: f64 = heights.iter().sum();
    let least = heights.iter().copied().fold(all / columns as f64, f64::max);
    let mut most = least;
    while ends(most).len() > columns {
        most += 1.0;
    }
    let mut ends = ends(most);
    ends.resize(columns, heights.len());
    ends
}
