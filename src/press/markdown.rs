//! The neutral document as Markdown (CommonMark with GFM's tables and task items): the same parts in the same
//! order as on paper, readable raw and rendered. A long one has contents and links, and a file for each stage, short enough for a telephone.
//! Must not know the page engine.

mod blocks;
mod card;
mod links;
mod table;
mod text;

use std::collections::BTreeMap;

use links::Links;

use crate::binder::document::{Document, PictureUse};

/// The folder beside the text in which the pictures lie.
pub const PICTURES: &str = "pictures";

/// The text that everything else is found from.
pub const INDEX: &str = "binder.md";

/// One Markdown text, and the files that it shows or leads to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MarkdownSet {
    pub text: String,
    /// Path beside the text, and bytes.
    pub files: Vec<(String, Vec<u8>)>,
}

/// Writes a document. Total: a picture that is not there leaves its description.
#[must_use]
pub fn write(document: &Document) -> MarkdownSet {
    let files = files(document);
    let links = Links::of(document);
    let blank = Page {
        lines: Vec::new(),
        files: files
            .iter()
            .map(|(key, name, _)| (key.clone(), name.clone()))
            .collect(),
        links: links.to_cards(),
    };
    let mut page = blank.clone();
    page.paragraph(format!("# {}", text::inside(&document.title)));
    let facts: Vec<String> = [&document.short, &document.revision, &document.date]
        .iter()
        .filter(|fact| !fact.is_empty())
        .map(|fact| text::inside(fact))
        .collect();
    page.paragraph(text::at_start(&facts.join(" · ")));
    if let Some(words) = &document.not_proved {
        page.paragraph(format!("> {}", text::strong(words)));
    }
    if links.is_long() {
        page.paragraph("## Contents".to_owned());
        page.lines(links.contents());
    }
    let mut stages = Vec::new();
    for (at, section) in document.sections.iter().enumerate() {
        let Some(file) = links.own_file(at) else {
            page.paragraph(format!("## {}", text::inside(&section.title)));
            for block in &section.blocks {
                page.block(block);
            }
            continue;
        };
        let mut stage = blank.clone();
        stage.paragraph(format!("# {}", text::inside(&section.title)));
        stage.paragraph(links.beside(at));
        if let Some(words) = &document.not_proved {
            stage.paragraph(format!("> {}", text::strong(words)));
        }
        for block in &section.blocks {
            stage.block(block);
        }
        stage.paragraph(links.beside(at));
        stages.push((file.to_owned(), stage.text().into_bytes()));
    }
    let pictures = files.into_iter().map(|(_, name, bytes)| (name, bytes));
    MarkdownSet {
        text: page.text(),
        files: stages.into_iter().chain(pictures).collect(),
    }
}

/// Pictures by key, file name and bytes; names are plain whatever the keys are.
fn files(document: &Document) -> Vec<(String, String, Vec<u8>)> {
    document
        .pictures
        .iter()
        .zip(1..)
        .map(|(picture, number)| {
            let stem = picture
                .key
                .rsplit('/')
                .next()
                .unwrap_or("")
                .split('.')
                .next()
                .unwrap_or("");
            let plain: String = stem
                .chars()
                .map(|sign| {
                    if sign.is_ascii_alphanumeric() {
                        sign.to_ascii_lowercase()
                    } else {
                        '-'
                    }
                })
                .take(40)
                .collect();
            let name = format!(
                "{PICTURES}/{number}-{}.{}",
                plain.trim_matches('-'),
                picture.kind.extension()
            );
            (picture.key.clone(), name, picture.bytes.to_vec())
        })
        .collect()
}

/// Lines as they are written, the files' names by picture, and where each step's card is by its number.
#[derive(Clone)]
struct Page {
    lines: Vec<String>,
    files: BTreeMap<String, String>,
    links: BTreeMap<String, String>,
}

impl Page {
    fn text(self) -> String {
        let mut text = self.lines.join("\n");
        text.push('\n');
        text
    }

    /// Lines with a blank one before.
    fn lines(&mut self, lines: Vec<String>) {
        if lines.is_empty() {
            return;
        }
        if !self.lines.is_empty() {
            self.lines.push(String::new());
        }
        self.lines.extend(lines);
    }

    fn paragraph(&mut self, line: String) {
        if !line.is_empty() {
            self.lines(vec![line]);
        }
    }

    fn picture(&mut self, used: &PictureUse) {
        let alt = text::inside(&used.alt);
        let shown = match self.files.get(&used.key) {
            Some(name) => format!("![{alt}]({name})"),
            None => format!("({alt})"),
        };
        self.paragraph(shown);
        if let Some(caption) = &used.caption {
            self.paragraph(text::start(caption));
        }
    }
}
