//! The document as the template reads it, in JSON: the only place of the press that knows how names are spelled
//! there. Texts are clean and lengths are judged by the time they stand here. Must not know how either is done.

use std::collections::BTreeMap;

use serde::Serialize;

/// The whole data file.
#[derive(Debug, Clone, Serialize)]
pub struct File<'a> {
    pub book: &'a Book,
    pub plan: &'a Plan,
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

/// The document.
#[derive(Debug, Clone, Serialize)]
pub struct Book {
    pub title: String,
    pub head_title: String,
    pub short: String,
    pub lang: String,
    pub region: Option<String>,
    /// `a4` or `letter`.
    pub paper: &'static str,
    pub two_sided: bool,
    pub black_ink: bool,
    pub revision: String,
    pub date: String,
    /// Year, month and day in `date`, for the file's own particulars.
    pub day: Option<(u16, u8, u8)>,
    pub not_proved: Option<String>,
    pub words: Words,
    pub sections: Vec<Section>,
}

/// What the press itself says.
#[derive(Debug, Clone, Serialize)]
pub struct Words {
    pub page: &'static str,
    pub of: &'static str,
    pub continued: &'static str,
    pub took: &'static str,
    pub min: &'static str,
    pub done_on: &'static str,
    pub at_hand: &'static str,
    pub first: &'static str,
    pub place: &'static str,
    pub second_check: &'static str,
    pub after: &'static str,
    pub signed: &'static str,
    pub date: &'static str,
    pub name: &'static str,
    pub when: &'static str,
    pub held_by: &'static str,
    pub who: &'static str,
    pub one_reads: &'static str,
    pub not_in_plan: &'static str,
    pub all_looked_at: &'static str,
    pub reads: &'static str,
    pub looks: &'static str,
    pub no: &'static str,
    pub what: &'static str,
    pub between: &'static str,
    pub scale_reads: &'static str,
    pub of_it: &'static str,
    pub forward_up: &'static str,
    pub front_left: &'static str,
    pub front_right: &'static str,
    pub rear_left: &'static str,
    pub rear_right: &'static str,
}

#[derive(Debug, Clone, Serialize)]
pub struct Section {
    pub title: String,
    /// The title cut to what the page's head holds.
    pub head: String,
    pub mark: Option<usize>,
    pub titled: bool,
    /// The title is too long for the largest type.
    pub long: bool,
    /// A cover: it sets the level-1 heading itself.
    pub own_title: bool,
    pub blocks: Vec<Placed>,
}

/// A block at the section's top level.
#[derive(Debug, Clone, Serialize)]
pub struct Placed {
    pub id: String,
    #[serde(flatten)]
    pub block: Block,
}

#[derive(Debug, Clone, Serialize)]
pub struct Run {
    pub t: String,
    pub w: u16,
}

pub type Runs = Vec<Run>;

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    Heading {
        level: u8,
        text: String,
    },
    Text {
        runs: Runs,
    },
    Prose {
        children: Vec<Prose>,
    },
    Cover(Cover),
    Figures {
        list: Vec<Figure>,
    },
    Card(Card),
    Message(Message),
    Table(Table),
    TickList {
        title: String,
        ticks: bool,
        items: Vec<TickItem>,
    },
    Dense(Dense),
    Stages(StageList),
    BeforeItMoves(BeforeItMoves),
    WeighingSheet(WeighingSheet),
    Fields {
        list: Vec<Field>,
    },
    Signatures {
        list: Vec<String>,
    },
    Halves {
        left: Vec<Block>,
        right: Vec<Block>,
    },
    Picture(Picture),
    Index {
        groups: Vec<IndexGroup>,
    },
    Meanings {
        list: Vec<Meaning>,
    },
}

#[derive(Debug, Clone, Serialize)]
pub struct Cover {
    pub title: String,
    /// Too long for the largest type.
    pub long: bool,
    pub body: String,
    pub rows: Vec<(String, Option<Runs>)>,
    pub signatures: Vec<String>,
    pub picture: Option<Picture>,
}

#[derive(Debug, Clone, Serialize)]
pub struct Figure {
    pub figure: String,
    pub word: String,
    pub below: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct Message {
    pub signal: &'static str,
    pub hazard: String,
    pub avoid: Vec<String>,
    /// One line: it stood in full before.
    pub again: bool,
    /// Those of the same word that follow it in one line each: all of them in one frame.
    pub also: Vec<Again>,
    /// Surely lower than a page: may be kept whole.
    pub solid: bool,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct Again {
    pub hazard: String,
    pub avoid: Vec<String>,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct Card {
    pub level: u8,
    pub number: String,
    /// Size of the number in points: 28, or what lets a long one stand in its column.
    pub number_pt: u16,
    pub title: String,
    /// The title is too long for the usual type.
    pub long: bool,
    /// For the one line of a continued head.
    pub short_title: String,
    pub who: Runs,
    pub place: Runs,
    pub at_hand: Runs,
    /// Who, where and what is at hand stand in one line.
    pub short: bool,
    /// The lines for who has done it stand beside the title; else beside who does it, where a long title would be in their way.
    pub beside: bool,
    pub units: Vec<Unit>,
    /// What each later page begins with, below the card's head.
    pub over: Vec<Message>,
    /// Height of that, in mm.
    #[serde(skip)]
    pub over_high: f64,
    /// So many units are the first act and all that stands above it.
    #[serde(skip)]
    pub opening: usize,
    pub proof: String,
}

/// Rows of a card that stay together.
#[derive(Debug, Clone, Serialize)]
pub struct Unit {
    /// Surely lower than a page: may be kept whole.
    pub solid: bool,
    /// A message whose act is the next unit, both together being too high to be kept whole.
    pub leads: bool,
    /// Something is loaded: it stays with the unit before.
    #[serde(skip)]
    pub tied: bool,
    pub parts: Vec<Part>,
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Part {
    Intro {
        first: Vec<TickItem>,
    },
    Message(Message),
    Act(Box<Act>),
    Prose {
        children: Vec<Prose>,
    },
    Picture(Picture),
    ActsEnd,
    Second {
        lines: Vec<String>,
        /// The lines to sign on stand below its words, not beside them.
        long: bool,
        proof: String,
    },
    /// What is so after.
    Foot {
        after: Runs,
    },
}

#[derive(Debug, Clone, Serialize)]
pub struct Act {
    /// The first act of its card: a heavier rule above.
    pub opening: bool,
    pub letter: String,
    pub verb: String,
    pub object: Runs,
    pub take_out: Option<String>,
    pub facts: Vec<Runs>,
    pub torque: Option<Torque>,
    pub marks: Vec<Marks>,
    /// The column of fixings is empty, and the text has its room.
    pub wide: bool,
    /// Its line to write on stands in the column of fixings.
    pub beside: bool,
    /// It has one row of marks, and what is known stands below it, as wide as both.
    pub low: bool,
    /// What is known stands on the line of its words.
    pub runs_on: bool,
    pub write: Vec<Field>,
    pub reads: Reading,
    pub act_proof: String,
    pub tick_proof: String,
    pub also: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct Torque {
    pub first: String,
    pub second: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct Marks {
    /// `ring` or `hexagon`.
    pub shape: &'static str,
    pub groups: Vec<MarkGroup>,
}

#[derive(Debug, Clone, Serialize)]
pub struct MarkGroup {
    pub side: Option<&'static str>,
    pub label: Option<String>,
    pub rows: Vec<Vec<Mark>>,
    pub circle: bool,
    /// So many that a page may end inside it.
    pub long: bool,
}

#[derive(Debug, Clone, Serialize)]
pub struct Mark {
    pub n: Option<u32>,
    pub k: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct StageList {
    pub drawing: Picture,
    pub rows: Vec<StageRow>,
}

#[derive(Debug, Clone, Serialize)]
pub struct StageRow {
    pub names: Vec<String>,
    pub strong: bool,
    /// mm, from the drawing's top.
    pub top: f64,
    pub height: f64,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct BeforeItMoves {
    pub level: u8,
    pub title: String,
    /// For the one line of a continued head.
    pub short_title: String,
    pub when: Vec<Runs>,
    pub held_by: Vec<Runs>,
    pub who: Vec<Runs>,
    pub map: Option<Picture>,
    pub no_map: Option<String>,
    pub groups: Vec<MoveGroup>,
    /// Left and right of what moves, as on the map; then there are no groups.
    pub halves: Vec<Vec<HalfRow>>,
    pub claim: String,
    pub blank_rows: usize,
    pub close_solid: bool,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct MoveGroup {
    pub head: String,
    pub solid: bool,
    pub rows: Vec<MoveRow>,
}

#[derive(Debug, Clone, Serialize)]
pub struct MoveRow {
    pub solid: bool,
    pub state: String,
    pub joint: Runs,
    pub hidden: Option<String>,
    pub fixings: u32,
    pub proof: String,
}

/// A row in half of the page's width: its place stands below it.
#[derive(Debug, Clone, Serialize)]
pub struct HalfRow {
    pub state: String,
    pub joint: Runs,
    /// Where it hides, else where it is.
    pub place: String,
    pub fixings: u32,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct WeighingSheet {
    pub level: u8,
    pub title: String,
    pub conditions: Vec<(String, Option<String>)>,
    pub rows: Vec<WeighRow>,
    pub corners: Option<[Reading; 4]>,
    pub foot: Vec<(String, Option<String>)>,
    /// Surely lower than a page: may be kept whole.
    pub foot_solid: bool,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct WeighRow {
    pub solid: bool,
    pub what: Runs,
    pub between: Option<String>,
    pub reads: Reading,
    pub tare: Reading,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Reading {
    Known { text: String },
    Blank { whole: u8, decimals: u8, unit: String },
    Nothing,
}

#[derive(Debug, Clone, Serialize)]
pub struct Table {
    pub level: u8,
    pub title: String,
    pub has_head: bool,
    pub columns: Vec<Column>,
    pub groups: Vec<TableGroup>,
    pub row_height: u8,
}

#[derive(Debug, Clone, Serialize)]
pub struct Column {
    pub head: String,
    pub width: u16,
    /// `left` or `right`.
    pub align: &'static str,
}

#[derive(Debug, Clone, Serialize)]
pub struct TableGroup {
    pub head: Option<String>,
    pub rows: Vec<TableRow>,
}

#[derive(Debug, Clone, Serialize)]
pub struct TableRow {
    pub cells: Vec<Cell>,
    /// One cell as wide as the table.
    pub across: bool,
    pub total: bool,
    pub solid: bool,
    pub proof: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Cell {
    Empty,
    Line { runs: Runs },
    Lines { lines: Vec<Runs> },
    Torque { first: String, second: Option<String> },
    Square,
    Hexagon,
    Marks { marks: Marks },
    Dot,
    Write,
    Signal { signal: &'static str },
}

#[derive(Debug, Clone, Serialize)]
pub struct TickItem {
    pub text: Runs,
    pub right: Option<String>,
    /// So long that it takes half of the room.
    pub right_wide: bool,
    /// It surely fits on one line of a card.
    pub short: bool,
    pub tick: bool,
    pub solid: bool,
}

#[derive(Debug, Clone, Serialize)]
pub struct Dense {
    pub title: String,
    pub columns: Vec<Vec<DenseItem>>,
}

#[derive(Debug, Clone, Serialize)]
pub struct DenseItem {
    pub text: Runs,
    pub done: bool,
    pub right: Option<String>,
    pub right_wide: bool,
    pub solid: bool,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct Field {
    pub caption: String,
    /// Too long to stand on the line itself.
    pub long: bool,
    pub unit: Option<String>,
    pub width: u16,
}

#[derive(Debug, Clone, Serialize)]
pub struct IndexGroup {
    pub initial: String,
    pub entries: Vec<IndexEntry>,
}

#[derive(Debug, Clone, Serialize)]
pub struct IndexEntry {
    pub name: String,
    pub steps: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct Meaning {
    pub mark: &'static str,
    pub meaning: Runs,
}

#[derive(Debug, Clone, Serialize)]
pub struct Picture {
    /// Name of the picture's file beside the data.
    pub file: String,
    pub alt: String,
    pub caption: Option<String>,
    /// mm
    pub width: f64,
    /// mm
    pub height: Option<f64>,
    pub proof: String,
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Prose {
    Paragraph { children: Vec<Inline> },
    Heading { children: Vec<Inline> },
    Verbatim { lines: Vec<String> },
    Quote { children: Vec<Prose> },
    List { wide: bool, items: Vec<ListItem> },
    Rule,
}

#[derive(Debug, Clone, Serialize)]
pub struct ListItem {
    /// "3." for a numbered list.
    pub mark: Option<String>,
    pub children: Vec<Prose>,
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Inline {
    Text {
        text: String,
    },
    Verbatim {
        text: String,
    },
    Emphasis {
        children: Vec<Inline>,
    },
    Strong {
        children: Vec<Inline>,
    },
    Link {
        to: Option<String>,
        children: Vec<Inline>,
    },
    Break,
}
