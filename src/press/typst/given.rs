//! What the template is given, in JSON: the document itself, what the press worked out of it, and where pages end. Must not know how any of it
//! is found out.

use std::collections::BTreeMap;

use serde::Serialize;

use super::facts::Facts;
use crate::binder::document::Document;

/// The whole data file.
#[derive(Debug, Clone, Serialize)]
pub struct File<'a> {
    /// Its texts are clean.
    pub book: &'a Document,
    pub facts: &'a Facts,
    pub plan: &'a Plan,
    /// What the press itself says.
    pub words: &'a BTreeMap<String, &'static str>,
}

/// Where pages end and what stands on them. It stands apart from the book, since it alone changes from pass to pass, and the engine keeps
/// what it has laid out of texts that stay the same.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Plan {
    /// Blocks that start a page, by id.
    pub break_before: Vec<String>,
    /// Cards that go over a page's end, by block id: the units that start a page, under the card's head in one line.
    pub cuts: BTreeMap<String, Vec<usize>>,
    /// What each page's head and foot say, in files of their own.
    #[serde(skip)]
    pub pages: Vec<PageKnown>,
    /// The page that each card starts on, by its proof key.
    pub starts: BTreeMap<String, usize>,
    /// Sections that the engine lays out as one run of pages, by index. They stay the same from pass to pass: what is laid out as another run is laid
    /// out anew.
    pub runs: Vec<Vec<usize>>,
    /// Sections that begin on the page on which the one before them ends; every other one starts a page.
    pub joined: Vec<usize>,
}

/// What a page's head and foot say that is known only when all pages are laid out.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PageKnown {
    /// At the left of the foot.
    pub foot: String,
    pub number: usize,
    pub total: usize,
    /// In the middle of the head: the section that the page begins in.
    pub head: String,
    /// The stages at the page's edge.
    pub marks: Vec<usize>,
}
