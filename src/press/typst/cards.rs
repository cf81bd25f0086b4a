//! Step cards as the template reads them, and pictures in them. Must not know the other blocks, nor how a row is
//! drawn.

use crate::binder::document::{self, Card, CardRow, Line, PictureUse, Run, Weight, plain, text_of};
use crate::press::typst::clean::Cleaner;
use crate::press::typst::convert::PictureFiles;
use crate::press::typst::{estimate, mirror, pieces, units};
use crate::press::words;

/// Live width in mm.
const LIVE: f64 = 174.0;
/// Width of the text of a card's rows.
const IN_CARD: f64 = 156.0;
/// Width of what a card's head says.
const IN_HEAD: f64 = 153.0;
/// Of that, what the lines for who has done it leave beside them.
const BESIDE_FIELDS: f64 = 89.0;
/// A title of more characters is set smaller, or it would push the first act off its page.
pub const LONG_TITLE: usize = 120;
/// Head and first unit together, in mm: with a section's title above them still less than the lowest page holds.
const LEAD_LIMIT: f64 = 205.0;

/// A card under a heading of this level; no picture in it gets higher than `tallest` mm.
pub fn card(clean: &mut Cleaner, card: &Card, level: u8, files: &PictureFiles, tallest: f64) -> mirror::Card {
    let number = clean.signs(&card.number);
    let (units, opening) = card_units(clean, card, files, tallest);
    let beside = beside(card);
    mirror::Card {
        level,
        number_pt: number_size(&number),
        number,
        short_title: pieces::shortened(&clean.signs(&card.title), 130.0, 12.0),
        title: clean.text(&card.title, IN_HEAD, 19.0),
        long: card.title.chars().count() > LONG_TITLE,
        who: pieces::runs(clean, &who(card), IN_HEAD, 12.0),
        place: pieces::runs(clean, &card.place, IN_HEAD - 18.0, 12.0),
        at_hand: pieces::runs(clean, &card.at_hand, IN_HEAD - 18.0, 12.0),
        short: head_width(card) <= if beside { IN_HEAD } else { BESIDE_FIELDS },
        beside,
        units,
        over: pieces::messages(clean, &card.over, LIVE)
            .into_iter()
            .map(|(message, _)| message)
            .collect(),
        over_high: card
            .over
            .iter()
            .map(|message| estimate::message(message, LIVE) - 1.9)
            .sum(),
        opening,
        proof: card.proof.clone(),
    }
}

fn card_units(
    clean: &mut Cleaner,
    card: &Card,
    files: &PictureFiles,
    tallest: f64,
) -> (Vec<mirror::Unit>, usize) {
    let mut units = units::Units::default();
    if !card.first.is_empty() {
        let high: f64 = card
            .first
            .iter()
            .map(|item| estimate::tick_item(item, 120.0))
            .sum();
        let first = card
            .first
            .iter()
            .map(|item| pieces::tick_item(clean, item, 140.0))
            .collect();
        units.wait(mirror::Part::Intro { first }, high);
    }
    for (message, high) in pieces::messages(clean, &card.messages, LIVE) {
        units.wait(mirror::Part::Message(message), high);
    }
    let mut opening = true;
    let mut rows = card.rows.iter().peekable();
    while let Some(row) = rows.next() {
        match row {
            CardRow::Message(message) => {
                let mut run = vec![message];
                while let Some(CardRow::Message(next)) = rows.peek() {
                    run.push(next);
                    rows.next();
                }
                for (message, high) in pieces::messages(clean, run, LIVE) {
                    units.wait(mirror::Part::Message(message), high);
                }
            }
            CardRow::Act(row) => {
                let act = act(clean, row, std::mem::replace(&mut opening, false));
                units.close(mirror::Part::Act(Box::new(act)), estimate::act(row), row.tied);
            }
            CardRow::Prose(prose) => {
                let part = mirror::Part::Prose {
                    children: pieces::prose(clean, prose, IN_CARD, 0),
                };
                units.wait(part, estimate::prose(prose, IN_CARD) + 4.0);
            }
            CardRow::Picture(used) => {
                let picture = picture_within(files, clean, used, IN_CARD, tallest * 0.6);
                let high =
                    picture.height.unwrap_or(0.0) + estimate::text(&used.alt, 11.0, 5.0, IN_CARD) + 8.0;
                units.follow(mirror::Part::Picture(picture), high);
            }
        }
    }
    let mut tail = vec![(mirror::Part::ActsEnd, 1.0)];
    if let Some(check) = &card.second_check {
        let told = format!("{} {}", words::SECOND_CHECK, check.lines.join(" "));
        let long = estimate::text(&told, 12.0, 5.5, 86.0) > 4.0 * 5.5;
        let high = if long {
            estimate::text(&told, 12.0, 5.5, LIVE) + 12.0
        } else {
            estimate::text(&told, 12.0, 5.5, 86.0)
        };
        let lines = check
            .lines
            .iter()
            .map(|line| clean.text(line, 86.0, 12.0))
            .collect();
        tail.push((
            mirror::Part::Second {
                lines,
                long,
                proof: check.proof.clone(),
            },
            high.max(12.0) + 6.0,
        ));
    }
    let after = after(card);
    let high = estimate::line(&after, 12.0, 5.5, 150.0) + 3.0;
    let after = pieces::runs(clean, &after, 150.0, 12.0);
    tail.push((mirror::Part::Foot { after }, high));
    let title = if card.title.chars().count() > LONG_TITLE {
        estimate::text(&card.title, 14.0, 6.25, 105.0)
    } else {
        estimate::text(&card.title, 19.0, 8.5, 105.0)
    };
    let facts = [&who(card), &card.place, &card.at_hand];
    let facts: f64 = facts
        .iter()
        .filter(|line| !line.is_empty())
        .map(|line| estimate::line(line, 12.0, 5.5, BESIDE_FIELDS).max(8.0))
        .sum();
    units.finish(tail, LEAD_LIMIT - (title + facts + 8.0).max(24.0))
}

/// Whether the lines for who has done it find room beside the title.
fn beside(card: &Card) -> bool {
    card.title.chars().count() <= LONG_TITLE && estimate::width(&card.title, 19.0) <= BESIDE_FIELDS
}

/// Who does it, for how long, and what it undoes.
fn who(card: &Card) -> Line {
    let mut line = card.who_and_time.clone();
    if let Some(derived) = &card.derived {
        let between = if line.is_empty() { "" } else { " · " };
        line.extend(plain(format!("{between}{derived}")));
    }
    line
}

/// Width of who, where and what is at hand, one after the other, in mm.
fn head_width(card: &Card) -> f64 {
    let lines = [&who(card), &card.place, &card.at_hand];
    lines
        .iter()
        .filter(|line| !line.is_empty())
        .map(|line| estimate::width(&text_of(line), 12.0) + 20.0)
        .sum()
}

/// "Held: engine by the beam · Open: top hose", and whether it may stay so.
fn after(card: &Card) -> Line {
    let bold = |text: &str| Run {
        text: text.to_owned(),
        weight: Weight::SemiBold,
    };
    let mut line = Line::new();
    for (name, lines) in &card.after {
        if !line.is_empty() {
            line.extend(plain(" · "));
        }
        line.push(bold(&format!("{name}: ")));
        line.extend(plain(lines.join(", ")));
    }
    if let Some(safe) = &card.safe_to_leave {
        if !line.is_empty() {
            line.extend(plain(" · "));
        }
        line.push(bold(safe));
    }
    line
}

fn act(clean: &mut Cleaner, row: &document::ActRow, opening: bool) -> mirror::Act {
    let room = estimate::act_room(row);
    mirror::Act {
        opening,
        letter: clean.signs(&row.letter),
        verb: clean.text(&row.verb, room, 14.0),
        object: pieces::runs(clean, &row.object, room, 14.0),
        take_out: row.take_out.as_deref().map(|text| clean.text(text, room, 14.0)),
        facts: row
            .facts
            .iter()
            .map(|fact| pieces::runs(clean, fact, estimate::facts_room(row), 12.0))
            .collect(),
        torque: row.torque.as_ref().map(|torque| pieces::torque(clean, torque)),
        marks: row
            .marks
            .iter()
            .map(|marks| pieces::marks(clean, marks))
            .collect(),
        wide: row.marks.is_empty()
            && row.torque.is_none()
            && row.reads.is_none()
            && !estimate::writes_beside(row),
        beside: estimate::writes_beside(row),
        low: estimate::low(row),
        runs_on: estimate::runs_on(row),
        write: row
            .write
            .iter()
            .map(|field| {
                let mut shown = pieces::field(clean, field);
                if estimate::writes_beside(row) && estimate::says_itself(row, field) {
                    shown.caption.clear();
                }
                shown
            })
            .collect(),
        reads: row
            .reads
            .as_ref()
            .map_or(mirror::Reading::Nothing, |cell| pieces::reading(clean, cell)),
        act_proof: row.act_proof.clone(),
        tick_proof: row.tick_proof.clone(),
        also: row.also.clone(),
    }
}

/// A picture no wider and no higher than its place, in mm.
pub fn picture_within(
    files: &PictureFiles,
    clean: &mut Cleaner,
    used: &PictureUse,
    width: f64,
    tallest: f64,
) -> mirror::Picture {
    // A picture that nobody handed over is found out before this, by its key.
    let (file, ratio) = files.get(&used.key).cloned().unwrap_or((String::new(), 1.0));
    let wide = f64::from(used.width).clamp(10.0, width).min(tallest / ratio);
    mirror::Picture {
        file,
        alt: clean.signs(&used.alt),
        caption: used.caption.as_deref().map(|text| clean.text(text, width, 11.0)),
        width: wide,
        height: Some(wide * ratio),
        proof: used.proof.clone(),
    }
}

/// 28 points, or what lets a longer number stand in the 17 mm of its column.
fn number_size(number: &str) -> u16 {
    let em: f64 = number
        .chars()
        .map(|sign| if sign == '.' { 0.31 } else { 0.62 })
        .sum();
    (17.0 / (em.max(0.1) * 0.3528)).floor().clamp(9.0, 28.0) as u16
}
