//! What the template is given, in JSON: the document itself, what the press worked out of it, and where pages end. Must not know how any of it
//! is found out.

use std::collections::BTreeMap;

use serde::Serialize;

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

/// What the press worked out of the document; it repeats nothing of it.
#[derive(Debug, Clone, Serialize)]
pub struct Facts {
    pub lang: String,
    pub region: Option<String>,
    /// Year, month and day that the document is of, for the file's own particulars.
    pub day: Option<(u16, u8, u8)>,
    /// What heads and feet say of the document, cut to their places.
    pub heads: Heads,
    pub sections: Vec<SectionFacts>,
    /// By the key that proves each use.
    pub pictures: BTreeMap<String, PictureFacts>,
}

/// What each page's head and foot say of the document.
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
pub struct SectionFacts {
    /// The title cut to what the page's head holds.
    pub head: String,
    /// The title is too long for the largest type.
    pub long: bool,
    pub blocks: Vec<BlockFacts>,
}

/// Of a picture in its place.
#[derive(Debug, Clone, Serialize)]
pub struct PictureFacts {
    /// Name of the picture's file beside the data.
    pub file: String,
    /// mm
    pub width: f64,
    /// mm
    pub height: f64,
}

/// Of a block. Rows are counted through the block from 0.
#[derive(Debug, Clone, Default, Serialize)]
pub struct BlockFacts {
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
    pub card: Option<CardFacts>,
    /// Height of what a card's later pages begin with below its head, in mm.
    #[serde(skip)]
    pub over_high: f64,
    /// Of the blocks side by side in it.
    pub halves: [Vec<BlockFacts>; 2],
}

/// Of a card's head.
#[derive(Debug, Clone, Serialize)]
pub struct CardFacts {
    /// Size of the number in points: 28, or what lets a long one stand in its column.
    pub number_pt: u16,
    /// Who, where and what is at hand stand in one line.
    pub short: bool,
    /// The lines for who has done it stand beside the title; else beside who does it, where a long title would be in their way.
    pub beside: bool,
    /// The messages that each later page begins with, by how they share a frame.
    pub over: Vec<Run>,
}

/// Of an act.
#[derive(Debug, Clone, Default, Serialize)]
pub struct ActFacts {
    /// The first of its card: a heavier rule above.
    pub opening: bool,
    /// The column of fixings is empty, and the text has its room.
    pub wide: bool,
    /// Its line to write on stands in the column of fixings.
    pub beside: bool,
    /// Its own words say what is written there.
    pub says_itself: bool,
    /// It has one row of marks, and what is known stands below it, as wide as both.
    pub low: bool,
    /// What is known stands on the line of its words.
    pub runs_on: bool,
    /// Lines to write on whose caption stands above them.
    pub long: Vec<usize>,
}

/// What stays together, and goes to the next page with all its rows.
#[derive(Debug, Clone, Serialize)]
pub struct Unit {
    /// Surely lower than a page: may be kept whole.
    pub solid: bool,
    /// A message whose act is the next unit, both together being too high to be kept whole.
    pub leads: bool,
    /// Something is loaded: it stays with the unit before.
    #[serde(skip)]
    pub tied: bool,
    /// What of a card is in it.
    pub parts: Vec<Part>,
}

impl Unit {
    /// Nothing binds it to its neighbours.
    pub fn of(solid: bool) -> Unit {
        Unit {
            solid,
            leads: false,
            tied: false,
            parts: Vec::new(),
        }
    }
}

/// A piece of a card, by its place in it.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Part {
    /// What must be so before; which of it surely fits on one line.
    First {
        short: Vec<bool>,
    },
    /// Messages that guard the whole step.
    Messages(Run),
    /// Messages among the rows.
    Guards(Run),
    Act {
        at: usize,
        #[serde(flatten)]
        act: ActFacts,
    },
    Prose {
        at: usize,
    },
    Picture {
        at: usize,
    },
    ActsEnd,
    /// The lines to sign on stand below its words where these are long, not beside them.
    Second {
        long: bool,
    },
    /// What is so after.
    After,
}

/// Messages that share a frame.
#[derive(Debug, Clone, Serialize)]
pub struct Run {
    pub from: usize,
    pub count: usize,
    /// Surely lower than a page: may be kept whole.
    pub solid: bool,
}
