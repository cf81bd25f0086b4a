//! The neutral document as Markdown (CommonMark with GFM's tables and task items): the same parts in the same
//! order as on paper, readable raw and rendered. Must not know the page engine.

mod blocks;
mod card;
mod table;
mod text;

use std::collections::BTreeMap;

use crate::binder::document::{Document, PictureUse};

/// The folder beside the text in which the pictures lie.
pub const PICTURES: &str = "pictures";

/// One Markdown text and the files that it shows.
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
    let mut page = Page {
        lines: Vec::new(),
        files: files
            .iter()
            .map(|(key, name, _)| (key.clone(), name.clone()))
            .collect(),
    };
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
    for section in &document.sections {
        page.paragraph(format!("## {}", text::inside(&section.title)));
        for block in &section.blocks {
            page.block(block);
        }
    }
    let mut text = page.lines.join("\n");
    text.push('\n');
    MarkdownSet {
        text,
        files: files.into_iter().map(|(_, name, bytes)| (name, bytes)).collect(),
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

/// Lines as they are written, and the files' names by picture.
struct Page {
    lines: Vec<String>,
    files: BTreeMap<String, String>,
}

impl Page {
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
