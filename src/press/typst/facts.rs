//! What the press works out of a document before it is laid out: which rows may break, what is too long for its usual type, how large a
//! picture may be, what stands together on a card. It goes to the template beside the document, block by block, and repeats nothing of it. Must not know
//! the engine, nor how a row is drawn.

use std::collections::BTreeMap;

use serde::Serialize;

use super::clean::Cleaner;
use super::estimate::{self, ROW_LIMIT, UNIT_LIMIT};
use super::units::Unit;
use super::{cards, clean};
use crate::base::date::Date;
use crate::binder::document::{
    self, BeforeItMoves, Block, Document, Field, Message, PaperSize, PictureUse, Section, TickItem,
    WeighingSheet, text_of,
};
use crate::binder::sizes::{HALF, LIVE, T9, T11, T12, T14, Type};

/// A cover's title up to this length is set in the largest type.
const SHORT_TITLE: usize = 60;
/// A title of more characters is set smaller, or it would push the first act off its page.
pub const LONG_TITLE: usize = 120;

/// A picture's file name beside the data, and its height for each unit of width.
pub type PictureFiles = BTreeMap<String, (String, f64)>;

#[derive(Debug, Clone, Serialize)]
pub struct Facts {
    pub lang: String,
    pub region: Option<String>,
    /// Year, month and day that the document is of, for the file's own particulars.
    pub day: Option<(u16, u8, u8)>,
    /// What heads and feet say of the document, cut to their places.
    pub heads: Heads,
    pub sections: Vec<Parts>,
    /// By the key that proves each use.
    pub pictures: BTreeMap<String, Placed>,
}

#[derive(Debug, Clone, Serialize)]
pub struct Heads {
    pub title: String,
    /// Empty where the title begins with it: then the stage's title gets the room.
    pub short: String,
    pub revision: String,
    pub date: String,
    pub not_proved: Option<String>,
}

/// Of a section.
#[derive(Debug, Clone, Serialize)]
pub struct Parts {
    /// The title cut to what the page's head holds.
    pub head: String,
    /// The title is too long for the largest type.
    pub long: bool,
    pub blocks: Vec<Of>,
}

/// Of a picture in its place.
#[derive(Debug, Clone, Serialize)]
pub struct Placed {
    /// Name of the picture's file beside the data.
    pub file: String,
    /// mm
    pub width: f64,
    /// mm
    pub height: f64,
}

/// Of a block. Rows are counted through the block from 0.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Of {
    /// Of its heading.
    pub level: u8,
    /// The title is too long for its usual type.
    pub long: bool,
    /// The title for the one line of a continued head.
    pub short_title: String,
    /// Rows that might get higher than is kept whole: they may break.
    pub loose: Vec<usize>,
    /// Rows whose right end takes half of their room; lines to write on whose caption stands above them.
    pub wide: Vec<usize>,
    /// Where the columns of a list end.
    pub ends: Vec<usize>,
    /// What of a card or a sheet stays together.
    pub units: Vec<Unit>,
    /// So many units stay with the head.
    #[serde(skip)]
    pub opening: usize,
    /// Of a card.
    pub card: Option<cards::Head>,
    /// Height of what a card's later pages begin with below its head, in mm.
    #[serde(skip)]
    pub over_high: f64,
    /// Of the blocks side by side in it.
    pub halves: [Vec<Of>; 2],
}

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
        pictures: Pictures {
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
            title: head(&document.title, 62.0, T11),
            short: head(short, 34.0, T11),
            revision: head(&document.revision, 40.0, T9),
            date: head(&document.date, 40.0, T9),
            not_proved: document
                .not_proved
                .as_deref()
                .map(|words| head(words, 168.0, T14)),
        },
        sections,
        pictures: judge.pictures.placed,
    }
}

/// A text for one line of a head or foot `room` mm wide, cut at a word's end where one is near.
pub fn head(text: &str, room: f64, size: Type) -> String {
    estimate::shortened(&signs(text), room, size)
}

/// A text without the signs that are not printed.
pub fn signs(text: &str) -> String {
    Cleaner::default().signs(text)
}

/// "Ouzel 1600: light front end" begins with the name of "Ouzel 1600 coupé".
fn repeats_the_title(title: &str, short: &str) -> bool {
    let begins = title.split(':').next().unwrap_or(title).trim();
    !begins.is_empty() && (title.starts_with(short) || short.starts_with(begins))
}

/// Year, month and day that the document is of.
pub fn day(document: &Document) -> Option<(u16, u8, u8)> {
    let read = document.date.split(' ').find_map(Date::read);
    read.map(|day| (day.year, day.month, day.day))
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

/// Gives each use of a picture its size.
pub struct Pictures<'a> {
    files: &'a PictureFiles,
    /// mm
    pub tallest: f64,
    placed: BTreeMap<String, Placed>,
}

impl Pictures<'_> {
    /// No wider and no higher than its place, in mm; gives its height.
    pub fn place(&mut self, used: &PictureUse, width: f64, tallest: f64) -> f64 {
        // A picture that nobody handed over is found out before this, by its key.
        let (file, ratio) = self.files.get(&used.key).cloned().unwrap_or((String::new(), 1.0));
        let width = f64::from(used.width).clamp(10.0, width).min(tallest / ratio);
        let height = width * ratio;
        let placed = Placed { file, width, height };
        self.placed.insert(used.proof.clone(), placed);
        height
    }
}

struct Judge<'a> {
    /// Level of the last heading: the next may be one deeper at most.
    level: u8,
    pictures: Pictures<'a>,
}

impl Judge<'_> {
    fn section(&mut self, section: &Section, head_room: f64) -> Parts {
        self.level = 1;
        Parts {
            head: head(&section.title, head_room, T11),
            long: section.title.chars().count() > LONG_TITLE,
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

    fn block(&mut self, block: &Block, width: f64) -> Of {
        let mut of = Of {
            opening: 1,
            ..Of::default()
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
            Block::Fields(list) => of.wide = long_captions(list),
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

/// Lines to write on whose caption is too long to stand on the line itself.
pub fn long_captions(fields: &[Field]) -> Vec<usize> {
    rows(fields, |field| {
        estimate::width(&field.caption, T9) > f64::from(field.width) * 0.7
    })
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

fn dense(of: &mut Of, list: &document::Dense, width: f64) {
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

fn before_it_moves(of: &mut Of, list: &BeforeItMoves) {
    of.short_title = head(&list.title, 150.0, T12);
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
