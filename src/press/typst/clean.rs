//! Makes any text fit to be printed: no control characters, no signs that turn the reading direction, no sign
//! without a glyph, long words in pieces, a figure and its unit in one. Knows the place of every text of the document; must not know how it is drawn.

use std::collections::BTreeSet;

use super::{decimal, estimate};
use crate::base::letters::{self, is_unseen, turns_direction};
use crate::binder::document::{
    ActRow, BeforeItMoves, Block, Card, CardRow, Cell, DenseItem, Document, Field, Inline, Line, Marks,
    Message, PictureUse, Prose, Table, TickItem, WeighCell, WeighingSheet,
};
use crate::binder::sizes::{
    COL_FIX, COL_MARK, HALF, IN_CARD, IN_HEAD, LIVE, POINT, T9, T11, T12, T14, T16, T18, T19, T24, T36, Type,
};

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
        let fits = (width / (size * POINT * 0.62)).floor().max(4.0);
        let clean = hold_units(&self.signs(text));
        // 40 is the design's limit for a word; a narrow place has a lower one. A word that fits by its letters is left whole, or nobody
        // finds it in the file.
        let fits_by_letters = |word: &str| estimate::width_at(word, size) <= width;
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

/// Deeper nesting than this is printed at this depth: the paper is not wide enough, and the engine has a limit.
const DEEPEST: usize = 8;

/// Makes every text of a document fit for its place, in mm, and its size of type, in points: what is printed is told its place here and nowhere
/// else. Gives the characters that no embedded font holds, in order.
pub fn document(document: &mut Document) -> Vec<char> {
    let mut clean = Cleaner::default();
    for text in [
        &mut document.title,
        &mut document.short,
        &mut document.revision,
        &mut document.date,
    ] {
        clean.sign(text);
    }
    if let Some(words) = &mut document.not_proved {
        clean.sign(words);
    }
    for section in &mut document.sections {
        clean.fit(&mut section.title, LIVE, T24);
        for block in &mut section.blocks {
            clean.block(block, LIVE);
        }
    }
    clean.missing()
}

impl Cleaner {
    fn sign(&mut self, text: &mut String) {
        *text = self.signs(text);
    }

    fn fit(&mut self, text: &mut String, width: f64, size: Type) {
        *text = self.text(text, width, size.points);
    }

    fn fit_some(&mut self, text: &mut Option<String>, width: f64, size: Type) {
        if let Some(text) = text {
            self.fit(text, width, size);
        }
    }

    fn fit_all<'t>(&mut self, all: impl IntoIterator<Item = &'t mut String>, width: f64, size: Type) {
        for text in all {
            self.fit(text, width, size);
        }
    }

    /// A figure and its unit may stand in runs of different weight.
    fn line(&mut self, line: &mut Line, width: f64, size: Type) {
        let mut before: Option<&mut String> = None;
        for run in line {
            self.fit(&mut run.text, width, size);
            if let Some(before) = before {
                mend_seam(before, &mut run.text);
            }
            before = Some(&mut run.text);
        }
    }

    fn lines<'t>(&mut self, all: impl IntoIterator<Item = &'t mut Line>, width: f64, size: Type) {
        for line in all {
            self.line(line, width, size);
        }
    }

    fn block(&mut self, block: &mut Block, width: f64) {
        match block {
            Block::Heading { text, .. } => self.fit(text, width, T16),
            Block::Text(line) => self.line(line, width, T12),
            Block::Prose(prose) => self.prose(prose, width, 0),
            Block::Cover(cover) => {
                self.fit(&mut cover.title, IN_CARD, T36);
                self.fit(&mut cover.body, IN_CARD, T19);
                for (label, value) in &mut cover.rows {
                    self.fit(label, 58.0, T12);
                    self.lines(value, 110.0, T12);
                }
                self.fit_all(&mut cover.signatures, 70.0, T12);
                if let Some(picture) = &mut cover.picture {
                    self.picture(picture, LIVE);
                }
            }
            Block::Figures(list) => {
                for figure in list {
                    self.fit(&mut figure.figure, 46.0, T24);
                    self.fit(&mut figure.word, 46.0, T14);
                    self.fit_all(&mut figure.below, 46.0, T12);
                }
            }
            Block::Card(card) => self.card(card),
            Block::Message(message) => self.message(message, width),
            Block::Table(table) => self.table(table, width),
            Block::TickList { title, items } => {
                self.fit(title, width, T14);
                for item in items {
                    self.tick_item(item, width - 40.0);
                }
            }
            Block::Dense(list) => {
                let room = width / list.columns.clamp(1, 4) as f64 - 12.0;
                self.fit(&mut list.title, width, T14);
                for item in &mut list.items {
                    let own = if dense_is_wide(item, room) {
                        room / 2.0
                    } else {
                        room
                    };
                    self.line(&mut item.text, own, T11);
                    self.fit_some(&mut item.right, room / 2.0, T11);
                }
            }
            Block::Stages(list) => {
                self.picture(&mut list.drawing, LIVE);
                // The drawing has cut them to its column.
                for name in list.rows.iter_mut().flat_map(|row| &mut row.names) {
                    self.sign(name);
                }
            }
            Block::BeforeItMoves(list) => self.before_it_moves(list),
            Block::WeighingSheet(sheet) => self.weighing_sheet(sheet),
            Block::Fields(list) => self.fields(list),
            Block::Signatures(list) => self.fit_all(list, 70.0, T12),
            Block::Halves(left, right) => {
                for inner in left.iter_mut().chain(right) {
                    self.block(inner, HALF);
                }
            }
            Block::Picture(picture) => self.picture(picture, width),
            Block::Index(entries) => {
                for entry in entries {
                    self.fit(&mut entry.name, 50.0, T11);
                    self.fit(&mut entry.steps, 50.0, T11);
                }
            }
            Block::MarksExplained(list) => {
                for mark in list {
                    self.line(&mut mark.meaning, width - COL_MARK, T12);
                }
            }
        }
    }

    fn card(&mut self, card: &mut Card) {
        self.sign(&mut card.number);
        self.fit(&mut card.title, IN_HEAD, T19);
        self.fit_some(&mut card.derived, IN_HEAD, T12);
        self.line(&mut card.who_and_time, IN_HEAD, T12);
        self.line(&mut card.place, IN_HEAD - 18.0, T12);
        self.line(&mut card.at_hand, IN_HEAD - 18.0, T12);
        for item in &mut card.first {
            self.tick_item(item, 140.0);
        }
        for message in card.messages.iter_mut().chain(&mut card.over) {
            self.message(message, LIVE);
        }
        for row in &mut card.rows {
            match row {
                CardRow::Act(act) => self.act(act),
                CardRow::Message(message) => self.message(message, LIVE),
                CardRow::Prose(prose) => self.prose(prose, IN_CARD, 0),
                CardRow::Picture(picture) => self.picture(picture, IN_CARD),
            }
        }
        if let Some(check) = &mut card.second_check {
            self.fit_all(&mut check.lines, 86.0, T12);
        }
        for (name, lines) in &mut card.after {
            self.fit(name, 150.0, T12);
            self.fit_all(lines, 150.0, T12);
        }
        self.fit_some(&mut card.safe_to_leave, 150.0, T12);
    }

    fn act(&mut self, act: &mut ActRow) {
        let (room, facts_room) = (estimate::act_room(act), estimate::facts_room(act));
        self.sign(&mut act.letter);
        self.fit(&mut act.verb, room, T14);
        self.line(&mut act.object, room, T14);
        self.fit_some(&mut act.take_out, room, T14);
        self.lines(&mut act.facts, facts_room, T12);
        if let Some(torque) = &mut act.torque {
            self.fit(&mut torque.first, COL_FIX, T18);
            self.fit_some(&mut torque.second, 40.0, T11);
        }
        for marks in &mut act.marks {
            self.marks(marks);
        }
        self.fields(&mut act.write);
        if let Some(reads) = &mut act.reads {
            self.reading(reads);
        }
    }

    fn message(&mut self, message: &mut Message, width: f64) {
        let beside_panel = (width - estimate::BESIDE_PANEL).max(width / 2.0);
        self.fit(&mut message.hazard, beside_panel, T12);
        self.fit_all(&mut message.avoid, width - 24.0, T14);
    }

    fn table(&mut self, table: &mut Table, width: f64) {
        let widths = column_widths(table, width);
        decimal::pad(table);
        self.fit(&mut table.title, width, T14);
        for (column, room) in table.columns.iter_mut().zip(&widths) {
            self.fit(&mut column.head, *room, T12);
        }
        for group in &mut table.groups {
            self.fit_some(&mut group.head, width, T14);
            for row in &mut group.rows {
                let across = row.cells.len() == 1 && widths.len() > 1;
                for (cell, room) in row.cells.iter_mut().zip(&widths) {
                    self.cell(cell, if across { width } else { *room });
                }
            }
        }
    }

    fn cell(&mut self, cell: &mut Cell, width: f64) {
        match cell {
            Cell::Line(line) => self.line(line, width, T12),
            Cell::Lines(lines) => self.lines(lines, width, T12),
            Cell::Torque(torque) => {
                self.fit(&mut torque.first, width, T16);
                self.fit_some(&mut torque.second, width, T11);
            }
            Cell::Marks(marks) => self.marks(marks),
            Cell::Empty | Cell::Square | Cell::Hexagon | Cell::Dot | Cell::Write | Cell::Signal(_) => {}
        }
    }

    fn marks(&mut self, marks: &mut Marks) {
        for group in &mut marks.groups {
            self.fit_some(&mut group.label, 40.0, T9);
        }
    }

    fn fields(&mut self, fields: &mut [Field]) {
        for field in fields {
            let width = f64::from(field.width);
            self.fit(&mut field.caption, width * 0.7, T9);
            self.fit_some(&mut field.unit, width * 0.3, T9);
        }
    }

    fn tick_item(&mut self, item: &mut TickItem, width: f64) {
        self.line(&mut item.text, width, T12);
        self.fit_some(&mut item.right, width / 2.0, T12);
    }

    fn reading(&mut self, cell: &mut WeighCell) {
        match cell {
            WeighCell::Known(text) => self.fit(text, 38.0, T14),
            WeighCell::Blank { unit, .. } => self.sign(unit),
            WeighCell::Nothing => {}
        }
    }

    fn picture(&mut self, picture: &mut PictureUse, width: f64) {
        self.sign(&mut picture.alt);
        self.fit_some(&mut picture.caption, width, T11);
    }

    fn before_it_moves(&mut self, list: &mut BeforeItMoves) {
        self.fit(&mut list.title, LIVE, T24);
        self.lines(&mut list.when, 140.0, T12);
        self.lines(&mut list.held_by, 140.0, T12);
        self.lines(&mut list.who, 140.0, T12);
        self.fit_some(&mut list.no_map, LIVE, T12);
        self.fit(&mut list.claim, LIVE, T12);
        // With a map rows stand left and right as on it, each with its place below.
        let (state, joint, place) = match list.map {
            Some(_) => ((19.0, T12), 41.0, (41.0, T11)),
            None => ((30.0, T14), 96.0, (LIVE, T14)),
        };
        for (head, rows) in &mut list.groups {
            self.fit(head, place.0, place.1);
            for row in rows {
                self.fit(&mut row.state, state.0, state.1);
                self.line(&mut row.joint, joint, T12);
                self.fit_some(&mut row.hidden, joint, T11);
            }
        }
        if let Some(map) = &mut list.map {
            self.picture(map, LIVE);
        }
    }

    fn weighing_sheet(&mut self, sheet: &mut WeighingSheet) {
        self.fit(&mut sheet.title, LIVE, T16);
        for (pairs, width) in [(&mut sheet.conditions, 54.0), (&mut sheet.foot, 82.0)] {
            for (label, value) in pairs {
                self.fit(label, width, T12);
                self.fit_some(value, 100.0, T12);
            }
        }
        for row in &mut sheet.rows {
            self.line(&mut row.what, 48.0, T12);
            self.fit_some(&mut row.between, 25.0, T12);
            self.reading(&mut row.reads);
            self.reading(&mut row.tare);
        }
        for cell in sheet.corners.iter_mut().flatten() {
            self.reading(cell);
        }
    }

    fn prose(&mut self, parts: &mut Vec<Prose>, width: f64, depth: usize) {
        if depth >= DEEPEST {
            flatten(parts);
        }
        let room = width.max(20.0);
        for part in parts {
            match part {
                Prose::Paragraph(inner) | Prose::Heading(inner) => self.inlines(inner, room, 0),
                Prose::Verbatim(text) => {
                    let lines: Vec<String> = text.lines().map(|line| self.verbatim(line, room)).collect();
                    *text = lines.join("\n");
                }
                Prose::Rule => {}
                Prose::Quote(inner) => self.prose(inner, room - 5.0, depth + 1),
                Prose::List { items, .. } => {
                    for item in items {
                        self.prose(item, room - 9.0, depth + 1);
                    }
                }
            }
        }
    }

    /// Leading blanks mean something in verbatim text, so they are kept by ones that hold.
    fn verbatim(&mut self, line: &str, width: f64) -> String {
        let body = line.trim_start_matches([' ', '\t']);
        let blanks: usize = line
            .chars()
            .take_while(|sign| matches!(sign, ' ' | '\t'))
            .map(|sign| if sign == '\t' { 4 } else { 1 })
            .sum();
        let held = HOLD.to_string().repeat(blanks.min(40));
        held + &self.text(body, width, T11.points)
    }

    fn inlines(&mut self, parts: &mut [Inline], width: f64, depth: usize) {
        for part in parts {
            if depth >= DEEPEST
                && let Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { text: inner, .. } =
                    part
            {
                *part = Inline::Text(estimate::plain(inner));
            }
            match part {
                Inline::Text(text) | Inline::Verbatim(text) => self.fit(text, width, T11),
                Inline::Break => {}
                Inline::Emphasis(inner) | Inline::Strong(inner) => self.inlines(inner, width, depth + 1),
                Inline::Link { to, text } => self.link(to, text, width, depth),
            }
        }
    }

    /// On paper nobody follows a link, so its address stands behind it in brackets.
    fn link(&mut self, to: &mut String, text: &mut Vec<Inline>, width: f64, depth: usize) {
        let bare = to.trim_start_matches("mailto:");
        let address = (bare != estimate::plain(text) && !to.is_empty())
            .then(|| Inline::Text(format!(" ({})", self.text(bare, width, T11.points))));
        self.inlines(text, width, depth + 1);
        text.extend(address);
        let safe = ["https://", "http://", "mailto:"]
            .iter()
            .any(|scheme| to.starts_with(scheme));
        if !safe || to.len() >= 2000 || !to.bytes().all(|byte| byte.is_ascii_graphic()) {
            to.clear();
        }
    }
}

/// What lies deeper than the paper is wide: all its paragraphs, one after another.
fn flatten(parts: &mut Vec<Prose>) {
    let mut waiting: Vec<Prose> = std::mem::take(parts);
    waiting.reverse();
    while let Some(part) = waiting.pop() {
        match part {
            Prose::Quote(inner) => waiting.extend(inner.into_iter().rev()),
            Prose::List { items, .. } => {
                waiting.extend(items.into_iter().rev().flat_map(|item| item.into_iter().rev()))
            }
            Prose::Paragraph(_) | Prose::Heading(_) | Prose::Verbatim(_) | Prose::Rule => parts.push(part),
        }
    }
}

/// Whether the right end of an item in columns takes half of its room.
pub fn dense_is_wide(item: &DenseItem, room: f64) -> bool {
    estimate::width(item.right.as_deref().unwrap_or(""), T11) > room * 0.45
}

/// Columns that name no width share what the others leave.
pub fn column_widths(table: &Table, width: f64) -> Vec<f64> {
    let given: f64 = table.columns.iter().map(|column| f64::from(column.width)).sum();
    let open = table.columns.iter().filter(|column| column.width == 0).count();
    let share = ((width - given) / open.max(1) as f64).max(6.0);
    table
        .columns
        .iter()
        .map(|column| if column.width == 0 { share } else { f64::from(column.width) } - 2.5)
        .collect()
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

/// A text for one line of a head or foot `room` mm wide, cut at a word's end where one is near.
pub fn head(text: &str, room: f64, size: Type) -> String {
    estimate::shortened(&signs(text), room, size)
}

/// A text without the signs that are not printed.
pub fn signs(text: &str) -> String {
    Cleaner::default().signs(text)
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
