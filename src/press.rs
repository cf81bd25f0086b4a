//! Floor 9: what leaves the program: the neutral document as paper and as Markdown, findings for a terminal and for
//! other programs. Every decision about measures, type and marks is here, and none about wording beyond a few field
//! names. Knows no plan's text, no disk, no clock.

pub mod calendar;
mod changed;
pub mod data;
pub mod editor;
pub mod findings_json;
#[cfg(test)]
mod fixture;
pub mod keys;
pub mod markdown;
pub mod pictures;
pub mod shop;
pub mod terminal;
#[cfg(test)]
mod tests;
pub mod typst;
mod words;

use std::collections::BTreeMap;
use std::fmt;

use crate::binder::document::{Document, Proof};
pub use crate::press::markdown::MarkdownSet;
pub use crate::press::typst::{Ink, PageFound, Sign};

/// A binder on paper, and what it was made from.
#[derive(Debug, Clone)]
pub struct Printed {
    /// The bytes of the PDF: the same for the same document.
    pub pdf: Vec<u8>,
    pub pages: usize,
    /// The page, from 1, that each proof key stands on.
    pub page_of: BTreeMap<Proof, usize>,
    /// What stands at the left of each page's foot.
    pub feet: Vec<String>,
    /// The template, complete in itself but for `data.json` and the pictures beside it.
    pub typst_source: String,
    /// What the template reads as `data.json`.
    pub data_json: String,
    /// What each page's head and foot read: `page-1.json` and so on.
    pub page_json: Vec<String>,
    /// Characters of the document that no embedded font holds; they are printed as U+FFFD.
    pub missing_glyphs: Vec<char>,
}

/// Why nothing was printed. Nothing is ever printed with a part missing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PressError {
    /// Pictures that cannot be printed: key, and why.
    Pictures(Vec<(String, String)>),
    /// What should stand on paper and does not, or stands where nothing may: a sentence each.
    Lost(Vec<String>),
    /// The page engine's own words, a message each.
    Engine(Vec<String>),
}

impl fmt::Display for PressError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let list = |out: &mut fmt::Formatter<'_>, items: &[String]| {
            items.iter().try_for_each(|item| write!(out, "\n  {item}"))
        };
        match self {
            PressError::Pictures(pictures) => {
                write!(out, "pictures that cannot be printed:")?;
                pictures
                    .iter()
                    .try_for_each(|(key, why)| write!(out, "\n  {key}: {why}"))
            }
            PressError::Lost(lost) => {
                write!(out, "the pages would be incomplete, so none were made:")?;
                list(out, lost)
            }
            PressError::Engine(messages) => {
                write!(out, "the pages could not be laid out:")?;
                list(out, messages)
            }
        }
    }
}

impl std::error::Error for PressError {}

/// Prints a document: lays it out, proves that every key stands inside a page's margins, exports.
///
/// # Errors
/// A picture that cannot be printed, a part that would be lost, or what the page engine refuses.
pub fn pdf(document: &Document) -> Result<Printed, PressError> {
    crate::press::typst::print::print(document)
}

/// Prints the pages on which something changed, each as it stands in the whole binder and with the number that it has there; none where
/// nothing changed.
///
/// # Errors
/// See [`PressError`].
pub fn changed(document: &Document) -> Result<Option<Printed>, PressError> {
    if document.changed.is_empty() {
        return Ok(None);
    }
    let whole = pdf(document)?;
    changed::pages(document, &whole).map(|cut| pdf(&cut)).transpose()
}

/// As [`pdf`], and what stands where on each page: for judges of the pages, who need not read a PDF.
///
/// # Errors
/// See [`pdf`].
pub fn pdf_and_pages(document: &Document) -> Result<(Printed, Vec<PageFound>), PressError> {
    crate::press::typst::print::print_and_show(document)
}

/// Lays the emitted source out once more, from cold and without planning or proof, and exports it: what the page engine
/// alone takes, for benchmarks. Gives the bytes, which are those that were printed.
///
/// # Errors
/// See [`PressError`].
pub fn engine_alone(document: &Document, printed: &Printed) -> Result<Vec<u8>, PressError> {
    crate::press::typst::print::engine_alone(document, printed)
}

/// Drops all that the page engine kept from earlier documents, so that a measurement begins cold.
pub fn forget() {
    crate::press::typst::print::forget();
}

/// Sheets of labels.
#[derive(Debug, Clone)]
pub struct Labels {
    pub pdf: Vec<u8>,
    pub pages: usize,
    pub labels: usize,
    pub missing_glyphs: Vec<char>,
}

/// The labels for bags, a document of their own; nothing where no joint leaves loose fixings.
///
/// # Errors
/// What the page engine refuses.
pub fn labels(document: &Document) -> Result<Option<Labels>, PressError> {
    crate::press::typst::labels(document)
}

/// The same content in the same order as Markdown, with the files of its pictures.
#[must_use]
pub fn markdown(document: &Document) -> MarkdownSet {
    markdown::write(document)
}
