//! What Markdown must hold whatever a plan says: nothing of the owner's becomes markup, and every part is there.
//! Paper's own tests stand beside its engine.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use crate::binder::document::{Block, Document};
use crate::press::fixture::{self, HOSTILE};
use crate::press::{keys, markdown};

/// What a reader of the Markdown sees.
#[derive(Debug, Default, PartialEq)]
struct Read {
    headings: Vec<(HeadingLevel, String)>,
    tables: usize,
    tasks: usize,
    links: Vec<String>,
    html: usize,
    text: String,
}

fn read(text: &str) -> Read {
    let mut read = Read::default();
    let mut heading: Option<(HeadingLevel, String)> = None;
    for event in Parser::new_ext(
        text,
        Options::ENABLE_TABLES | Options::ENABLE_TASKLISTS | Options::ENABLE_STRIKETHROUGH,
    ) {
        match event {
            Event::Start(Tag::Heading { level, .. }) => heading = Some((level, String::new())),
            Event::End(TagEnd::Heading(_)) => read.headings.extend(heading.take()),
            Event::Start(Tag::Table(_)) => read.tables += 1,
            Event::Start(Tag::Link { dest_url, .. }) => read.links.push(dest_url.to_string()),
            Event::Html(_) | Event::InlineHtml(_) => read.html += 1,
            Event::TaskListMarker(_) => read.tasks += 1,
            Event::Text(text) | Event::Code(text) => {
                if let Some((_, shown)) = &mut heading {
                    shown.push_str(&text);
                }
                read.text.push_str(&text);
            }
            Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::TableCell) => read.text.push('\n'),
            _ => {}
        }
    }
    read
}

fn tasks(block: &Block) -> usize {
    match block {
        Block::Card(card) => {
            let acts = card
                .rows
                .iter()
                .filter(|row| matches!(row, crate::binder::document::CardRow::Act(_)))
                .count();
            acts + card.first.iter().filter(|item| item.tick).count()
        }
        Block::TickList { items, .. } => items.iter().filter(|item| item.tick).count(),
        Block::BeforeItMoves(list) => {
            list.groups.iter().map(|(_, rows)| rows.len()).sum::<usize>() + list.blank_rows
        }
        Block::Halves(left, right) => left.iter().chain(right).map(tasks).sum(),
        _ => 0,
    }
}

fn tables(block: &Block) -> usize {
    match block {
        Block::Table(_) => 1,
        Block::WeighingSheet(sheet) => usize::from(!sheet.rows.is_empty()),
        Block::Halves(left, right) => left.iter().chain(right).map(tables).sum(),
        _ => 0,
    }
}

fn headings(document: &Document) -> Vec<(HeadingLevel, String)> {
    let mut list = vec![(HeadingLevel::H1, document.title.clone())];
    for section in &document.sections {
        list.push((HeadingLevel::H2, section.title.clone()));
        for block in &section.blocks {
            match block {
                Block::Heading { level, text } => {
                    list.push((
                        if *level == 2 {
                            HeadingLevel::H3
                        } else {
                            HeadingLevel::H4
                        },
                        text.clone(),
                    ));
                }
                Block::Card(card) => list.push((HeadingLevel::H3, format!("{} {}", card.number, card.title))),
                Block::BeforeItMoves(moves) => list.push((HeadingLevel::H3, moves.title.clone())),
                Block::WeighingSheet(sheet) => list.push((HeadingLevel::H3, sheet.title.clone())),
                Block::Table(table) if !table.title.is_empty() => {
                    list.push((HeadingLevel::H4, table.title.clone()))
                }
                _ => {}
            }
        }
    }
    list
}

#[test]
fn markdown_holds_exactly_the_headings_tables_and_tasks_meant() {
    let document = fixture::binder();
    let set = markdown(&document);
    let read = read(&set.text);
    assert_eq!(read.headings, headings(&document));
    let blocks = || document.sections.iter().flat_map(|section| &section.blocks);
    assert_eq!(read.tasks, blocks().map(tasks).sum::<usize>());
    assert_eq!(read.tables, blocks().map(tables).sum::<usize>());
    assert_eq!(read.html, 0);
    assert_eq!(set.files.len(), 1);
    assert!(
        set.text.contains("](pictures/1-panel.svg)"),
        "the picture's file is shown"
    );
}

#[test]
fn hostile_texts_stay_texts_in_markdown() {
    let document = fixture::hostile();
    let read = read(&markdown(&document).text);
    let wanted: Vec<(HeadingLevel, String)> = headings(&document)
        .into_iter()
        .map(|(level, text)| (level, fixture::visible(&text)))
        .collect();
    assert_eq!(read.headings, wanted);
    let blocks = || document.sections.iter().flat_map(|section| &section.blocks);
    assert_eq!(read.tasks, blocks().map(tasks).sum::<usize>());
    assert_eq!(read.tables, blocks().map(tables).sum::<usize>());
    assert_eq!((read.html, read.links.len()), (0, 0));
    for text in HOSTILE {
        let shown = fixture::visible(text);
        assert!(read.text.contains(shown.trim()), "{text:?} is not shown as it is");
    }
}

#[test]
fn a_message_stands_directly_above_its_act_in_markdown() {
    let text = markdown(&fixture::binder()).text;
    let lines: Vec<&str> = text.lines().filter(|line| !line.is_empty()).collect();
    let caution = lines
        .iter()
        .position(|line| line.starts_with("> **CAUTION** Edge"))
        .expect("the message is written");
    assert_eq!(
        lines.get(caution + 1..caution + 4),
        Some(
            &[
                ">",
                "> - **Wear gloves.**",
                "- [ ] (d) **Tighten** the U-bolts, left then right"
            ][..]
        )
    );
}

#[test]
fn raw_tables_line_up() {
    let text = markdown(&fixture::binder()).text;
    let weighing: Vec<usize> = text
        .lines()
        .filter(|line| line.contains("Steel axle, drums on, lift"))
        .map(|line| line.chars().count())
        .collect();
    assert_eq!(weighing.len(), 6);
    assert!(
        weighing
            .iter()
            .all(|width| Some(width) == weighing.first() && *width < 100),
        "{weighing:?}"
    );
}

#[test]
fn every_key_has_words() {
    let names = keys::keys(&fixture::binder());
    let words = |key: &str| {
        names
            .iter()
            .find(|name| name.key == key)
            .map(|name| name.words.clone())
    };
    assert_eq!(words("act/bolt/d").as_deref(), Some("step 5.4, act d"));
    assert_eq!(
        words("fixing/long/d/40").as_deref(),
        Some("step 2.10, act d, fixing 40")
    );
    assert_eq!(words("message/bolt/1").as_deref(), Some("step 5.4, WARNING"));
    assert_eq!(words("torque/5/1").as_deref(), Some("Torque, row 1"));
}
