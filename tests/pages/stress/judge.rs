//! Judges the finished pages of a binder by what a reader asks of them. Its measures are its own, from 11-PAGES as a person reads
//! it, not the press's. Must not know how a page is made.

use std::collections::BTreeMap;

use boltfolio::binder::document::{
    Block, Card, CardRow, Document, Message, PaperSize, Section, Table, text_of,
};
use boltfolio::press::{Ink, PageFound};

/// Nothing is printed nearer to the bound edge than this, in mm.
const HOLES: f64 = 20.0;
/// What stands below this is body, and above the page's head.
const BODY_TOP: f64 = 19.0;
/// Boxes that share less than this, in mm, only touch.
const TOUCH: f64 = 0.4;

/// All that is wrong with the pages, a sentence each.
pub fn judge(document: &Document, pages: &[PageFound]) -> Vec<String> {
    let mut wrong = Vec::new();
    let texts = heads(document);
    for (page, number) in pages.iter().zip(1..) {
        let mirrored = document.two_sided && number % 2 == 0;
        edges(page, number, mirrored, &mut wrong);
        over_each_other(page, number, &mut wrong);
        let lines = lines(&body(document, page));
        match lines.last() {
            None => wrong.push(format!("page {number} is empty")),
            Some((last, points))
                if texts
                    .iter()
                    .any(|(head, size)| size == points && head.ends_with(last.as_str())) =>
            {
                wrong.push(format!("page {number} ends with the heading {last:?}"));
            }
            Some(_) => {}
        }
    }
    // Below the band across the page, where there is one.
    let top = BODY_TOP + if document.not_proved.is_some() { 9.0 } else { 0.0 };
    let on = Places::of(pages, top);
    for (page, number) in pages.iter().zip(1..) {
        let act = page
            .signs
            .iter()
            .find(|sign| sign.name.starts_with("act/") && sign.y < top + 5.0);
        if let Some(sign) = act {
            wrong.push(format!(
                "page {number} begins with {}, and does not say of which step",
                sign.name
            ));
        }
    }
    for (at, section) in document.sections.iter().enumerate() {
        blocks(document, section, at, pages, &on, &mut wrong);
    }
    wrong
}

/// Where keys and blocks stand: page from 1, and y; and where a page's body begins.
struct Places(BTreeMap<(String, String), (usize, f64)>, f64);

impl Places {
    fn of(pages: &[PageFound], top: f64) -> Places {
        let mut all = BTreeMap::new();
        for (page, number) in pages.iter().zip(1..) {
            for sign in &page.signs {
                all.entry((sign.kind.clone(), sign.name.clone()))
                    .or_insert((number, sign.y));
            }
        }
        Places(all, top)
    }

    fn key(&self, key: &str) -> (usize, f64) {
        *self
            .0
            .get(&("k".to_owned(), key.to_owned()))
            .unwrap_or_else(|| panic!("{key} is on no page"))
    }

    fn block(&self, id: &str) -> (usize, usize) {
        let at = |kind: &str| {
            let place = self.0.get(&(kind.to_owned(), id.to_owned()));
            *place.unwrap_or_else(|| panic!("block {id} is on no page"))
        };
        let (first, last) = (at("s"), at("e"));
        // What only closes a block may go over to the next page with what follows.
        let over = last.0 > first.0 && last.1 < self.1 + 5.0;
        (first.0, last.0 - usize::from(over))
    }
}

pub fn letters(text: &str) -> String {
    text.chars()
        .filter(|sign| !sign.is_whitespace() && !"\u{200b}\u{a0}".contains(*sign))
        .collect()
}

fn body<'a>(document: &Document, page: &'a PageFound) -> Vec<&'a Ink> {
    let end = match document.paper {
        PaperSize::A4 => 282.0,
        PaperSize::Letter => 264.0,
    };
    let mut inks: Vec<&Ink> = page
        .ink
        .iter()
        .filter(|ink| ink.top > BODY_TOP && ink.bottom < end && !outside(page, ink))
        .collect();
    if document.not_proved.is_some() {
        inks.retain(|ink| ink.top > BODY_TOP + 8.0);
    }
    inks
}

/// The stage mark stands beside the live width, which ends so far from the outer edge: 24 mm at the bound edge and 174 mm of it, on either paper.
fn outside(page: &PageFound, ink: &Ink) -> bool {
    let outer = page.width - 24.0 - 174.0;
    ink.right < outer || ink.left > page.width - outer
}

/// Letters and size of each line, from top to bottom. What is written into boxes and beside them on the same height is one line.
fn lines(inks: &[&Ink]) -> Vec<(String, u32)> {
    let mut texts: Vec<&Ink> = inks.iter().filter(|ink| ink.points.is_some()).copied().collect();
    texts.sort_by(|a, b| a.bottom.total_cmp(&b.bottom).then(a.left.total_cmp(&b.left)));
    let mut lines: Vec<(String, u32, f64)> = Vec::new();
    for ink in texts {
        let points = ink.points.unwrap_or_default().round() as u32;
        match lines.last_mut() {
            Some((line, _, bottom)) if (ink.bottom - *bottom).abs() < 1.0 => {
                line.push_str(&letters(&ink.what))
            }
            _ => lines.push((letters(&ink.what), points, ink.bottom)),
        }
    }
    lines
        .into_iter()
        .map(|(line, points, _)| (line, points))
        .collect()
}

fn edges(page: &PageFound, number: usize, mirrored: bool, wrong: &mut Vec<String>) {
    for ink in &page.ink {
        let (inner, outer) = if mirrored {
            (page.width - ink.right, ink.left)
        } else {
            (ink.left, page.width - ink.right)
        };
        if inner < HOLES || outer < 3.5 || ink.top < 9.0 || ink.bottom > page.height - 8.0 {
            wrong.push(format!("page {number}: {:?} runs into an edge", ink.what));
            return;
        }
    }
}

fn shared(a: &Ink, b: &Ink) -> (f64, f64) {
    (
        a.right.min(b.right) - a.left.max(b.left),
        a.bottom.min(b.bottom) - a.top.max(b.top),
    )
}

fn inside(a: &Ink, b: &Ink) -> bool {
    a.left > b.left - 0.3 && a.right < b.right + 0.3 && a.top > b.top - 0.3 && a.bottom < b.bottom + 0.3
}

/// Text over text, and text across the edge of a mark or a picture.
fn over_each_other(page: &PageFound, number: usize, wrong: &mut Vec<String>) {
    let mut inks: Vec<&Ink> = page.ink.iter().collect();
    inks.sort_by(|a, b| a.top.total_cmp(&b.top));
    for (at, upper) in inks.iter().enumerate() {
        for lower in inks
            .iter()
            .skip(at + 1)
            .take_while(|lower| lower.top < upper.bottom)
        {
            let (text, other) = match (upper.points, lower.points) {
                (Some(_), _) => (upper, lower),
                (None, Some(_)) => (lower, upper),
                (None, None) => continue,
            };
            let small = other.right - other.left < 30.0 && other.bottom - other.top < 60.0;
            let solid = other.points.is_some() || other.what == "picture" || small;
            let (wide, high) = shared(text, other);
            if solid && wide > TOUCH && high > TOUCH && !(other.points.is_none() && inside(text, other)) {
                let (x, y) = (text.left, text.top);
                wrong.push(format!(
                    "page {number}: {:?} at {x:.1}, {y:.1} stands over {:?}",
                    text.what, other.what
                ));
                return;
            }
        }
    }
}

/// Headings by their letters and size of type.
fn heads(document: &Document) -> Vec<(String, u32)> {
    let mut all = Vec::new();
    let mut add = |text: &str, points: u32| {
        if !text.is_empty() {
            all.push((letters(text), points));
        }
    };
    for section in &document.sections {
        if section.titled {
            add(&section.title, 24);
            add(&section.title, 16);
        }
        let inner = section.blocks.iter().flat_map(|block| match block {
            Block::Halves(left, right) => left.iter().chain(right).collect::<Vec<_>>(),
            other => vec![other],
        });
        for block in inner {
            match block {
                Block::Heading { level, text } => add(text, if *level == 2 { 16 } else { 14 }),
                Block::Table(table) => {
                    add(&table.title, 14);
                    add(&table.title, 16);
                    // The number of a stage stands over its column, and at the end of many a line.
                    for column in table.columns.iter().filter(|column| column.head.len() > 2) {
                        add(&column.head, 12);
                    }
                    for group in &table.groups {
                        add(group.head.as_deref().unwrap_or_default(), 14);
                    }
                }
                Block::TickList { title, .. } => add(title, 14),
                Block::BeforeItMoves(sheet) => {
                    add(&sheet.title, 24);
                    for (head, _) in &sheet.groups {
                        add(head, 14);
                    }
                }
                Block::WeighingSheet(sheet) => add(&sheet.title, 16),
                Block::Card(card) => add(&card.title, 19),
                _ => {}
            }
        }
    }
    all
}

fn blocks(
    document: &Document,
    section: &Section,
    at: usize,
    pages: &[PageFound],
    on: &Places,
    wrong: &mut Vec<String>,
) {
    for (nth, block) in section.blocks.iter().enumerate() {
        match block {
            Block::Card(held) => card(document, held, pages, on, wrong),
            Block::Message(held) => message(document, held, pages, on, wrong),
            Block::Table(held) => {
                let (first, last) = on.block(&format!("{at}/{nth}"));
                for number in first + 1..=last {
                    table_again(document, held, &pages[number - 1], number, wrong);
                }
            }
            _ => {}
        }
    }
}

/// A table that goes over a page's end has its head at the top of the next one.
fn table_again(document: &Document, table: &Table, page: &PageFound, number: usize, wrong: &mut Vec<String>) {
    let rows_end = body(document, page);
    let top: String = lines(&rows_end)
        .iter()
        .take(4)
        .map(|(line, _)| line.as_str())
        .collect();
    for column in table.columns.iter().filter(|column| !column.head.is_empty()) {
        let head = letters(&column.head);
        if !top.contains(&head) && head.len() < 12 {
            wrong.push(format!(
                "page {number}: {:?} goes on without its head {head:?}",
                table.title
            ));
            return;
        }
    }
}

/// All that a message says stands on one page.
fn message(
    document: &Document,
    message: &Message,
    pages: &[PageFound],
    on: &Places,
    wrong: &mut Vec<String>,
) {
    let (number, _) = on.key(&message.proof);
    let page: String = body(document, &pages[number - 1])
        .iter()
        .filter(|ink| ink.points.is_some())
        .map(|ink| letters(&ink.what))
        .collect();
    for text in message.avoid.iter().chain([&message.hazard]) {
        if !page.contains(&letters(text)) {
            wrong.push(format!(
                "page {number}: message {} is not whole there",
                message.proof
            ));
            return;
        }
    }
}

/// The last message above an act stands on its page, and none behind it.
fn card(document: &Document, card: &Card, pages: &[PageFound], on: &Places, wrong: &mut Vec<String>) {
    let first = card.rows.iter().find_map(|row| match row {
        CardRow::Act(act) => Some(&act.act_proof),
        CardRow::Message(held) => Some(&held.proof),
        CardRow::Prose(_) | CardRow::Picture(_) => None,
    });
    let first = card.messages.first().map(|held| &held.proof).or(first);
    // A head of endless names takes a page by itself.
    let usual = text_of(&card.who_and_time).len() + text_of(&card.at_hand).len() + card.title.len() < 300;
    if let Some(key) = first.filter(|_| usual && !matches!(card.rows.first(), Some(CardRow::Prose(_)))) {
        let (head, below) = (on.key(&card.proof).0, on.key(key).0);
        if head != below {
            wrong.push(format!("the head of {} is alone on page {head}", card.proof));
        }
    }
    opening(card, usual, on, wrong);
    let mut last: Option<&Message> = None;
    for held in &card.messages {
        message(document, held, pages, on, wrong);
        last = Some(held);
    }
    for row in &card.rows {
        match row {
            CardRow::Message(held) => {
                message(document, held, pages, on, wrong);
                last = Some(held);
            }
            CardRow::Act(act) => {
                if let Some(held) = last.take() {
                    let ((page, y), (there, below)) = (on.key(&held.proof), on.key(&act.act_proof));
                    if page != there || y > below {
                        wrong.push(format!(
                            "{} on page {page} is apart from {} on {there}",
                            held.proof, act.act_proof
                        ));
                    }
                }
            }
            CardRow::Prose(_) | CardRow::Picture(_) => {}
        }
    }
}

/// Head, messages and first act stand on one page: three short messages go on any, and a plan with more is told to split its step.
fn opening(card: &Card, usual: bool, on: &Places, wrong: &mut Vec<String>) {
    let act = card.rows.iter().position(|row| matches!(row, CardRow::Act(_)));
    let Some((act, CardRow::Act(row))) = act.and_then(|at| Some((at, card.rows.get(at)?))) else {
        return;
    };
    let among = card.rows.iter().take(act).filter_map(|row| match row {
        CardRow::Message(held) => Some(held),
        _ => None,
    });
    let above: Vec<&Message> = card.messages.iter().chain(among).collect();
    let long = |held: &&Message| held.hazard.len() + held.avoid.iter().map(String::len).sum::<usize>() > 300;
    if !usual || above.len() > 3 || above.iter().any(long) {
        return;
    }
    let page = on.key(&card.proof).0;
    let keys = above.iter().map(|held| &held.proof).chain([&row.act_proof]);
    for key in keys.filter(|key| on.key(key).0 != page) {
        wrong.push(format!(
            "{key} is not on page {page}, where {} begins",
            card.proof
        ));
    }
}

/// What a binder says, by its own texts: the beginning and the end of each must be on paper.
pub fn said(document: &Document) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for section in &document.sections {
        if section.titled {
            all.push(section.title.clone());
        }
        for block in &section.blocks {
            match block {
                Block::Heading { text, .. } => all.push(text.clone()),
                Block::Text(line) => all.push(text_of(line)),
                Block::Message(held) => {
                    all.push(held.hazard.clone());
                    all.extend(held.avoid.iter().cloned());
                }
                Block::Card(card) => {
                    all.push(card.title.clone());
                    all.push(text_of(&card.who_and_time));
                    all.push(text_of(&card.at_hand));
                    for row in &card.rows {
                        match row {
                            CardRow::Act(act) => {
                                all.push(text_of(&act.object));
                                all.extend(act.take_out.clone());
                                all.extend(act.facts.iter().map(|fact| text_of(fact)));
                            }
                            CardRow::Picture(picture) => all.extend(picture.caption.clone()),
                            _ => {}
                        }
                    }
                }
                _ => {}
            }
        }
    }
    all
}

/// Texts whose beginning or end is on no page.
pub fn lost(document: &Document, pages: &[PageFound]) -> Vec<String> {
    let paper: String = pages
        .iter()
        .flat_map(|page| body(document, page))
        .filter(|ink| ink.points.is_some())
        .map(|ink| letters(&ink.what))
        .collect();
    said(document)
        .into_iter()
        .filter(|text| {
            let all: Vec<char> = letters(text).chars().collect();
            let few = all.len().min(24);
            let (start, end): (String, String) = (
                all[..few].iter().collect(),
                all[all.len() - few..].iter().collect(),
            );
            !paper.contains(&start) || !paper.contains(&end)
        })
        .collect()
}
