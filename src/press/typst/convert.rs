//! From the neutral document to the data that the template reads: which rows stay together, which levels headings
//! have, how large a picture may be. Must not know the engine, nor how a row is drawn.

use std::collections::BTreeMap;

use crate::base::date::Date;
use crate::binder::document::{
    self, BeforeItMoves, Block, Document, IndexEntry, PaperSize, PictureUse, Section, Table, WeighingSheet,
};
use crate::press::typst::clean::Cleaner;
use crate::press::typst::feet::Stop;
use crate::press::typst::{cards, decimal, estimate, mirror, pieces};
use crate::press::words;

const LIVE: f64 = 174.0;
const HALF: f64 = 84.0;
/// Width of the text of a card's rows.
const IN_CARD: f64 = 156.0;
/// Rows of a group between two pauses.
const ROWS_A_PAUSE: usize = 9;
/// A cover's title up to this length is set in the largest type.
const SHORT_TITLE: usize = 60;

/// A picture's file name beside the data, and its height for each unit of width.
pub type PictureFiles = BTreeMap<String, (String, f64)>;

/// What a document becomes.
pub struct Converted {
    pub book: mirror::Book,
    pub missing_glyphs: Vec<char>,
}

/// Turns a document into the template's data. Every picture that it uses must be in `files`.
#[must_use]
pub fn convert(document: &Document, files: &PictureFiles) -> Converted {
    let tallest = match document.paper {
        PaperSize::A4 => 200.0,
        PaperSize::Letter => 185.0,
    };
    // A title that begins with the machine's name has said it; the stage's title gets the room.
    let short = if repeats_the_title(&document.title, &document.short) {
        ""
    } else {
        &document.short
    };
    let mut converter = Converter {
        clean: Cleaner::default(),
        level: 0,
        head_room: if short.is_empty() { 78.0 } else { 46.0 },
        files,
        tallest,
    };
    let sections = document
        .sections
        .iter()
        .enumerate()
        .map(|(at, section)| converter.section(at, section))
        .collect();
    let clean = &mut converter.clean;
    let (lang, region) = language(&document.language);
    let book = mirror::Book {
        title: clean.signs(&document.title),
        head_title: pieces::shortened(&clean.signs(&document.title), 62.0, 11.0),
        short: pieces::shortened(&clean.signs(short), 34.0, 11.0),
        lang,
        region,
        paper: match document.paper {
            PaperSize::A4 => "a4",
            PaperSize::Letter => "letter",
        },
        two_sided: document.two_sided,
        black_ink: document.black_ink,
        revision: pieces::shortened(&clean.signs(&document.revision), 40.0, 9.0),
        date: pieces::shortened(&clean.signs(&document.date), 40.0, 9.0),
        day: day(document),
        not_proved: document
            .not_proved
            .as_deref()
            .map(|words| pieces::shortened(&clean.signs(words), 168.0, 14.0)),
        words: own_words(),
        sections,
    };
    Converted {
        book,
        missing_glyphs: converter.clean.missing(),
    }
}

/// Year, month and day that the document is of.
pub(super) fn day(document: &Document) -> Option<(u16, u8, u8)> {
    let read = document.date.split(' ').find_map(Date::read);
    read.map(|day| (day.year, day.month, day.day))
}

/// A block's name on the pages: section and place in it, from 0.
#[must_use]
pub fn block_id(section: usize, place: usize) -> String {
    format!("{section}/{place}")
}

/// What the feet of pages go by: each card, and each section without cards.
#[must_use]
pub fn stops(document: &Document) -> Vec<Stop> {
    let mut clean = Cleaner::default();
    let mut stops = Vec::new();
    for (at, section) in document.sections.iter().enumerate() {
        let cards = (0..)
            .zip(&section.blocks)
            .filter_map(|(place, block)| match block {
                Block::Card(card) => Some(Stop {
                    kind: "k",
                    key: card.proof.clone(),
                    block: Some(block_id(at, place)),
                    name: Some(clean.signs(&card.number)),
                }),
                Block::BeforeItMoves(_) => Some(Stop {
                    kind: "s",
                    key: format!("{}/head", block_id(at, place)),
                    block: Some(block_id(at, place)),
                    name: None,
                }),
                _ => None,
            });
        let cards: Vec<Stop> = cards.collect();
        if cards.is_empty() {
            let name = pieces::shortened(&clean.signs(&section.title), 38.0, 9.0);
            stops.push(Stop {
                kind: "p",
                key: at.to_string(),
                block: None,
                name: Some(name),
            });
        }
        stops.extend(cards);
    }
    stops
}

struct Converter<'a> {
    /// Room for the section's title in the page's head, in millimetres.
    head_room: f64,
    clean: Cleaner,
    /// Level of the last heading: the next may be one deeper at most.
    level: u8,
    files: &'a PictureFiles,
    /// mm
    tallest: f64,
}

/// "Ouzel 1600: light front end" begins with the name of "Ouzel 1600 coupé".
fn repeats_the_title(title: &str, short: &str) -> bool {
    let begins = title.split(':').next().unwrap_or(title).trim();
    !begins.is_empty() && (title.starts_with(short) || short.starts_with(begins))
}

impl Converter<'_> {
    fn section(&mut self, at: usize, section: &Section) -> mirror::Section {
        self.level = 1;
        let title = self.clean.text(&section.title, LIVE, 24.0);
        let blocks = section
            .blocks
            .iter()
            .enumerate()
            .map(|(place, block)| mirror::Placed {
                id: block_id(at, place),
                block: self.block(block, LIVE),
            })
            .collect();
        mirror::Section {
            head: pieces::shortened(&self.clean.signs(&section.title), self.head_room, 11.0),
            title,
            mark: section.stage_mark,
            titled: section.titled,
            long: section.title.chars().count() > cards::LONG_TITLE,
            own_title: section
                .blocks
                .iter()
                .any(|block| matches!(block, Block::Cover(_))),
            blocks,
        }
    }

    fn heading(&mut self, wanted: u8) -> u8 {
        self.level = wanted.clamp(2, self.level.saturating_add(1).max(2));
        self.level
    }

    fn block(&mut self, block: &Block, width: f64) -> mirror::Block {
        match block {
            Block::Heading { level, text } => mirror::Block::Heading {
                level: self.heading(*level),
                text: self.clean.text(text, width, 16.0),
            },
            Block::Text(line) => mirror::Block::Text {
                runs: pieces::runs(&mut self.clean, line, width, 12.0),
            },
            Block::Prose(prose) => mirror::Block::Prose {
                children: pieces::prose(&mut self.clean, prose, width, 0),
            },
            Block::Cover(cover) => mirror::Block::Cover(self.cover(cover)),
            Block::Figures(list) => mirror::Block::Figures {
                list: list.iter().map(|figure| self.figure(figure)).collect(),
            },
            Block::Card(card) => {
                let level = self.heading(2);
                let card = cards::card(&mut self.clean, card, level, self.files, self.tallest);
                mirror::Block::Card(card)
            }
            Block::Message(message) => {
                mirror::Block::Message(pieces::message(&mut self.clean, message, width))
            }
            Block::Table(table) => mirror::Block::Table(self.table(table, width)),
            Block::TickList { title, items } => mirror::Block::TickList {
                title: self.clean.text(title, width, 14.0),
                ticks: items.iter().any(|item| item.tick),
                items: items
                    .iter()
                    .map(|item| pieces::tick_item(&mut self.clean, item, width - 40.0))
                    .collect(),
            },
            Block::Dense(list) => mirror::Block::Dense(self.dense(list, width)),
            Block::Stages(list) => mirror::Block::Stages(mirror::StageList {
                drawing: self.picture(&list.drawing, LIVE),
                rows: list
                    .rows
                    .iter()
                    .map(|row| mirror::StageRow {
                        names: row.names.iter().map(|name| self.clean.signs(name)).collect(),
                        strong: row.strong,
                        top: row.top,
                        height: row.height,
                        proof: row.proof.clone(),
                    })
                    .collect(),
            }),
            Block::BeforeItMoves(list) => mirror::Block::BeforeItMoves(self.before_it_moves(list)),
            Block::WeighingSheet(sheet) => mirror::Block::WeighingSheet(self.weighing_sheet(sheet)),
            Block::Fields(list) => mirror::Block::Fields {
                list: list
                    .iter()
                    .map(|field| pieces::field(&mut self.clean, field))
                    .collect(),
            },
            Block::Signatures(list) => mirror::Block::Signatures {
                list: list
                    .iter()
                    .map(|text| self.clean.text(text, 70.0, 12.0))
                    .collect(),
            },
            Block::Halves(left, right) => mirror::Block::Halves {
                left: left.iter().map(|inner| self.block(inner, HALF)).collect(),
                right: right.iter().map(|inner| self.block(inner, HALF)).collect(),
            },
            Block::Picture(picture) => mirror::Block::Picture(self.picture(picture, width)),
            Block::Index(entries) => mirror::Block::Index {
                groups: self.index(entries),
            },
            Block::MarksExplained(list) => mirror::Block::Meanings {
                list: list
                    .iter()
                    .map(|meaning| mirror::Meaning {
                        mark: pieces::explained(meaning.mark),
                        meaning: pieces::runs(&mut self.clean, &meaning.meaning, width - 18.0, 12.0),
                    })
                    .collect(),
            },
        }
    }

    fn dense(&mut self, list: &document::Dense, width: f64) -> mirror::Dense {
        let columns = list.columns.clamp(1, 4);
        let room = width / columns as f64 - 12.0;
        let clean = &mut self.clean;
        let title = clean.text(&list.title, width, 14.0);
        let heights: Vec<f64> = list.items.iter().map(|item| dense_high(item, room)).collect();
        let mut item = |item: &document::DenseItem| {
            let right = item.right.as_deref().unwrap_or("");
            let wide = estimate::width(right, 11.0) > room * 0.45;
            let text_room = if wide { room / 2.0 } else { room };
            let high = estimate::line(&item.text, 11.0, 5.0, text_room * 0.7)
                + estimate::text(right, 11.0, 5.0, text_room * 0.7);
            mirror::DenseItem {
                text: pieces::runs(clean, &item.text, text_room, 11.0),
                right: item
                    .right
                    .as_deref()
                    .map(|right| clean.text(right, room / 2.0, 11.0)),
                right_wide: wide,
                solid: high <= estimate::ROW_LIMIT,
                done: item.done,
                proof: item.proof.clone(),
            }
        };
        let mut from = 0;
        let columns = balanced(&heights, columns)
            .into_iter()
            .map(|to| {
                let own = list.items.get(from..to).unwrap_or(&[]);
                from = to;
                own.iter().map(&mut item).collect()
            })
            .collect();
        mirror::Dense { title, columns }
    }

    fn cover(&mut self, cover: &document::Cover) -> mirror::Cover {
        mirror::Cover {
            title: self.clean.text(&cover.title, IN_CARD, 36.0),
            long: cover.title.chars().count() > SHORT_TITLE,
            body: self.clean.text(&cover.body, IN_CARD, 19.0),
            rows: cover
                .rows
                .iter()
                .map(|(label, value)| {
                    let value = value
                        .as_ref()
                        .map(|line| pieces::runs(&mut self.clean, line, 110.0, 12.0));
                    (self.clean.text(label, 58.0, 12.0), value)
                })
                .collect(),
            signatures: cover
                .signatures
                .iter()
                .map(|text| self.clean.text(text, 70.0, 12.0))
                .collect(),
            picture: cover
                .picture
                .as_ref()
                .map(|picture| self.picture_within(picture, LIVE, 90.0)),
        }
    }

    fn figure(&mut self, figure: &document::BigFigure) -> mirror::Figure {
        mirror::Figure {
            figure: self.clean.text(&figure.figure, 46.0, 24.0),
            word: self.clean.text(&figure.word, 46.0, 14.0),
            below: figure
                .below
                .iter()
                .map(|line| self.clean.text(line, 46.0, 12.0))
                .collect(),
        }
    }

    fn table(&mut self, table: &Table, width: f64) -> mirror::Table {
        let widths = column_widths(table, width);
        let padded = decimal::padded(table);
        let table = padded.as_ref().unwrap_or(table);
        let clean = &mut self.clean;
        let groups = table
            .groups
            .iter()
            .map(|group| mirror::TableGroup {
                head: group.head.as_deref().map(|head| clean.text(head, width, 14.0)),
                rows: group
                    .rows
                    .iter()
                    .map(|row| {
                        let across = row.cells.len() == 1 && widths.len() > 1;
                        let sized = || {
                            let widths = widths.iter().copied();
                            row.cells
                                .iter()
                                .zip(widths.map(|own| if across { width } else { own }))
                        };
                        let highest = sized()
                            .map(|(cell, room)| estimate::cell(cell, room))
                            .fold(0.0, f64::max);
                        let mut cells: Vec<mirror::Cell> = sized()
                            .map(|(cell, room)| pieces::cell(clean, cell, room))
                            .collect();
                        if !across {
                            cells.resize(widths.len(), mirror::Cell::Empty);
                        }
                        mirror::TableRow {
                            cells,
                            across,
                            total: row.total,
                            solid: highest <= estimate::ROW_LIMIT,
                            proof: row.proof.clone(),
                        }
                    })
                    .collect(),
            })
            .collect();
        let columns = table
            .columns
            .iter()
            .zip(widths.iter().copied())
            .map(|(column, room)| mirror::Column {
                head: clean.text(&column.head, room, 12.0),
                width: column.width,
                align: pieces::align(column.align),
            })
            .collect();
        let title = clean.text(&table.title, width, 14.0);
        mirror::Table {
            level: if title.is_empty() { 0 } else { self.heading(3) },
            title,
            has_head: table.columns.iter().any(|column| !column.head.is_empty()),
            columns,
            groups,
            row_height: table.row_height.clamp(6, 60),
        }
    }

    fn before_it_moves(&mut self, list: &BeforeItMoves) -> mirror::BeforeItMoves {
        let level = self.heading(2);
        let map = list.map.as_ref().map(|map| self.picture(map, LIVE));
        let clean = &mut self.clean;
        let mut halves = Vec::new();
        if list.map.is_some() {
            for right in [false, true] {
                let mut side = Vec::new();
                for (place, rows) in &list.groups {
                    for row in rows.iter().filter(|row| row.right == right) {
                        side.push(mirror::HalfRow {
                            state: clean.text(&row.state, 16.0, 12.0),
                            joint: pieces::runs(clean, &row.joint, 43.0, 12.0),
                            place: clean.text(row.hidden.as_deref().unwrap_or(place), 43.0, 11.0),
                            fixings: row.fixings,
                            proof: row.proof.clone(),
                        });
                    }
                }
                halves.push(side);
            }
        }
        let mut groups = Vec::new();
        let grouped = if halves.is_empty() {
            list.groups.as_slice()
        } else {
            &[]
        };
        for (place, rows) in grouped {
            for (part, piece) in rows.chunks(ROWS_A_PAUSE).enumerate() {
                let head = clean.text(place, LIVE, 14.0);
                let high: f64 = piece.iter().map(move_row).sum();
                groups.push(mirror::MoveGroup {
                    head: if part == 0 {
                        head
                    } else {
                        format!("{head}{}", words::CONTINUED)
                    },
                    solid: high <= estimate::UNIT_LIMIT,
                    rows: piece
                        .iter()
                        .map(|row| mirror::MoveRow {
                            solid: move_row(row) <= estimate::ROW_LIMIT,
                            state: clean.text(&row.state, 30.0, 14.0),
                            joint: pieces::runs(clean, &row.joint, 96.0, 12.0),
                            hidden: row.hidden.as_deref().map(|told| clean.text(told, 96.0, 11.0)),
                            fixings: row.fixings,
                            proof: row.proof.clone(),
                        })
                        .collect(),
                });
            }
        }
        let closing = 55.0 + estimate::text(&list.claim, 12.0, 5.5, LIVE) + 11.0 * list.blank_rows as f64;
        mirror::BeforeItMoves {
            level,
            title: clean.text(&list.title, LIVE, 24.0),
            short_title: pieces::shortened(&clean.signs(&list.title), 150.0, 12.0),
            when: list
                .when
                .iter()
                .map(|line| pieces::runs(clean, line, 140.0, 12.0))
                .collect(),
            held_by: list
                .held_by
                .iter()
                .map(|line| pieces::runs(clean, line, 140.0, 12.0))
                .collect(),
            who: list
                .who
                .iter()
                .map(|line| pieces::runs(clean, line, 140.0, 12.0))
                .collect(),
            map,
            no_map: list.no_map.as_deref().map(|words| clean.text(words, LIVE, 12.0)),
            groups,
            halves,
            claim: clean.text(&list.claim, LIVE, 12.0),
            blank_rows: list.blank_rows,
            close_solid: closing <= estimate::UNIT_LIMIT,
            proof: list.proof.clone(),
        }
    }

    fn weighing_sheet(&mut self, sheet: &WeighingSheet) -> mirror::WeighingSheet {
        let level = self.heading(2);
        let clean = &mut self.clean;
        let foot: f64 = sheet
            .foot
            .iter()
            .map(|(label, _)| estimate::text(label, 12.0, 5.5, 82.0).max(8.0) + 4.0)
            .sum();
        let pairs = |clean: &mut Cleaner, list: &[(String, Option<String>)], width: f64| {
            list.iter()
                .map(|(label, value)| {
                    let value = value.as_deref().map(|text| clean.text(text, 100.0, 12.0));
                    (clean.text(label, width, 12.0), value)
                })
                .collect()
        };
        mirror::WeighingSheet {
            level,
            title: clean.text(&sheet.title, LIVE, 16.0),
            conditions: pairs(clean, &sheet.conditions, 54.0),
            rows: sheet
                .rows
                .iter()
                .map(|row| mirror::WeighRow {
                    solid: estimate::line(&row.what, 12.0, 5.5, 48.0) <= estimate::ROW_LIMIT,
                    what: pieces::runs(clean, &row.what, 48.0, 12.0),
                    between: row.between.as_deref().map(|text| clean.text(text, 25.0, 12.0)),
                    reads: pieces::reading(clean, &row.reads),
                    tare: pieces::reading(clean, &row.tare),
                    proof: row.proof.clone(),
                })
                .collect(),
            corners: sheet
                .corners
                .as_ref()
                .map(|cells| cells.each_ref().map(|cell| pieces::reading(clean, cell))),
            foot: pairs(clean, &sheet.foot, 82.0),
            foot_solid: foot <= estimate::UNIT_LIMIT,
            proof: sheet.proof.clone(),
        }
    }

    fn picture(&mut self, used: &PictureUse, width: f64) -> mirror::Picture {
        self.picture_within(used, width, self.tallest)
    }

    fn picture_within(&mut self, used: &PictureUse, width: f64, tallest: f64) -> mirror::Picture {
        cards::picture_within(self.files, &mut self.clean, used, width, tallest)
    }

    fn index(&mut self, entries: &[IndexEntry]) -> Vec<mirror::IndexGroup> {
        let mut groups: Vec<mirror::IndexGroup> = Vec::new();
        for entry in entries {
            let name = self.clean.text(&entry.name, 50.0, 11.0);
            let initial: String = name.chars().take(1).flat_map(char::to_uppercase).collect();
            let entry = mirror::IndexEntry {
                name,
                steps: self.clean.text(&entry.steps, 50.0, 11.0),
            };
            match groups.last_mut() {
                Some(last) if last.initial == initial => last.entries.push(entry),
                _ => groups.push(mirror::IndexGroup {
                    initial,
                    entries: vec![entry],
                }),
            }
        }
        groups
    }
}

/// Height of a row of "before it moves" at most, in mm.
fn move_row(row: &document::MoveRow) -> f64 {
    let rings = f64::from(row.fixings.div_ceil(5)) * 8.0;
    let hidden = row.hidden.as_deref();
    let joint = estimate::line(&row.joint, 12.0, 5.5, 96.0)
        + hidden.map_or(0.0, |hidden| 0.3 + estimate::text(hidden, 11.0, 5.0, 96.0));
    rings
        .max(joint)
        .max(estimate::text(&row.state, 14.0, 6.25, 30.0))
        .max(7.0)
        + 3.5
}

/// Columns that name no width share what the others leave.
fn column_widths(table: &Table, width: f64) -> Vec<f64> {
    let given: f64 = table.columns.iter().map(|column| f64::from(column.width)).sum();
    let open = table.columns.iter().filter(|column| column.width == 0).count();
    let share = ((width - given) / open.max(1) as f64).max(6.0);
    table
        .columns
        .iter()
        .map(|column| if column.width == 0 { share } else { f64::from(column.width) } - 2.5)
        .collect()
}

/// `en-GB` in the two parts that the engine takes; anything odd is English.
pub(super) fn language(tag: &str) -> (String, Option<String>) {
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

fn own_words() -> mirror::Words {
    mirror::Words {
        page: words::PAGE,
        of: words::OF,
        continued: words::CONTINUED,
        took: words::TOOK,
        min: words::MINUTES,
        done_on: words::DONE_ON,
        at_hand: words::AT_HAND,
        first: words::FIRST,
        place: words::WHERE,
        second_check: words::SECOND_CHECK,
        after: words::AFTER,
        signed: words::SIGNED,
        date: words::DATE,
        name: words::NAME,
        when: words::WHEN,
        held_by: words::HELD_BY,
        who: words::WHO,
        one_reads: words::ONE_READS,
        not_in_plan: words::NOT_IN_PLAN,
        all_looked_at: words::ALL_LOOKED_AT,
        reads: words::READS,
        looks: words::LOOKS,
        no: words::NUMBER,
        what: words::WHAT,
        between: words::BETWEEN,
        scale_reads: words::SCALE_READS,
        of_it: words::OF_IT,
        forward_up: words::FORWARD_UP,
        front_left: words::FRONT_LEFT,
        front_right: words::FRONT_RIGHT,
        rear_left: words::REAR_LEFT,
        rear_right: words::REAR_RIGHT,
    }
}

/// Height of an item of a dense list about as it will be, in mm.
fn dense_high(item: &document::DenseItem, room: f64) -> f64 {
    let right = estimate::width(item.right.as_deref().unwrap_or(""), 11.0);
    let left = if right > room * 0.45 {
        room / 2.0
    } else {
        room - right
    };
    let lines = (estimate::width(&document::text_of(&item.text), 11.0) * 0.95 / left).ceil();
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
