//! The neutral document that `press/` turns into pages and Markdown. It says what is printed and what each
//! piece is; measures, fonts and marks are the press's. The template of the pages reads it as it stands, as JSON: a variant of an enum is
//! its `kind` and what is `of` it.
//!
//! Everything that a fitter must find on paper carries a [`Proof`] key; the press proves after laying out that each
//! key stands inside a page's margins.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use serde::Serialize;

pub use super::figures::Shown;
use super::kept::Kept;
use crate::base::date::Date;
use crate::base::picture::{PictureFile, PictureKind};
pub use crate::plan::prose::{Inline, Prose};

/// Names one thing that must be found on paper: `step/drop`, `act/drop/3`, `tick/drop/3`, `fixing/drop/3/2`.
/// Unique in a document.
pub type Proof = String;

/// A whole binder.
#[derive(Debug, Clone, Serialize)]
pub struct Document {
    /// The plan's title, bold at the left of each page's head.
    pub title: String,
    /// The body's or vehicle's name beside it.
    pub short: String,
    /// BCP 47, such as `en-GB`.
    pub language: String,
    /// What it is printed on.
    pub paper: PaperSize,
    /// Sheets are printed on both sides.
    pub two_sided: bool,
    /// Safety panels without colour.
    pub black_ink: bool,
    /// Short hash of the plan's text: "plan a3f9".
    pub revision: String,
    /// "dated 2026-03-07" or "printed 2026-11-25".
    pub date: String,
    /// The day in it.
    #[serde(skip)]
    pub day: Option<Date>,
    /// "NOT PROVED: 3 faults, page 2"; a black band on every page.
    pub not_proved: Option<String>,
    /// In the order of print.
    pub sections: Vec<Section>,
    /// Pages that changed since the print before, by the keys under which their content is kept.
    #[serde(skip)]
    pub changed: BTreeSet<String>,
    /// Where its pages stand in the whole that they were taken from; none where this is the whole.
    #[serde(skip)]
    pub taken_from: Option<TakenFrom>,
    /// What the next print has to know.
    #[serde(skip)]
    pub kept: Kept,
    /// Labels for bags, a document of their own.
    #[serde(skip)]
    pub labels: Vec<Label>,
    /// Pictures, and the drawings of all pages, by the key that [`PictureUse`] has.
    #[serde(skip)]
    pub pictures: Vec<PictureFile>,
}

/// The whole binder that some pages were taken from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenFrom {
    /// The page, from 1, that each proof key stands on there.
    pub page_of: BTreeMap<Proof, usize>,
    /// What stands at the left of each page's foot there; as many as it has pages.
    pub feet: Vec<String>,
}

/// The label of one bag of fixings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Label {
    /// "L" or "R" of one of a pair.
    pub side: Option<&'static str>,
    /// What is in it does not come back.
    pub leaves: bool,
    /// "12"; the step cards name it too.
    pub number: String,
    /// Its title, one line.
    pub joint: String,
    /// "4 bolts M8 × 1.25 × 55, 10.9"
    pub what: String,
    /// "Rack to subframe"
    pub from: String,
    /// "off 2.6 · on 5.4 · 58 N·m"
    pub way: String,
    /// What lies in the bag, to be drawn at true size; none where too little of it is known.
    pub drawn: Option<TrueSize>,
    /// Key by which the press proves that it is printed.
    pub proof: Proof,
}

/// A fixing as it lies on the bench, in mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrueSize {
    /// How it is drawn.
    pub shape: FixingShape,
    /// So many of them in the bag.
    pub count: u32,
    /// Diameter of its thread.
    pub thread: f64,
    /// None where the plan does not say.
    pub length: Option<f64>,
    /// Across flats, or of a cylinder head across; of a stud nothing.
    pub across: f64,
    /// Height of head.
    pub high: f64,
}

/// Outline of a fixing, seen from the side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FixingShape {
    /// Bolt or screw with a hexagon head.
    Hexagon,
    /// Screw with a round head and a socket in it.
    Cylinder,
    /// Thread at both ends, no head.
    Stud,
    /// A nut alone.
    Nut,
}

/// Papers that pages are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PaperSize {
    /// 210 mm by 297 mm, ISO 216.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// A part of the binder.
#[derive(Debug, Clone, Serialize)]
pub struct Section {
    /// Stable and unique: `cover`, `read-first`, `stage/strip`. File and anchor names are made of it.
    pub key: String,
    /// Middle of the page's head, a bookmark, and a heading in Markdown.
    pub title: String,
    /// Number in the accent block at the page's edge.
    pub stage_mark: Option<usize>,
    /// The title is drawn at the top of the section (24 pt); the cover draws its own.
    pub titled: bool,
    /// Nothing else stands on its pages; any other one may begin on the page on which the one before it ends.
    pub alone: bool,
    /// From top to bottom.
    pub blocks: Vec<Block>,
}

/// Text with weight. Adjoining runs need no spaces between them but those they hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Run {
    /// As printed; no markup in it.
    pub text: String,
    /// Of the type.
    pub weight: Weight,
}

/// How heavy type is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Weight {
    /// What is read.
    Regular,
    /// What stands out in a line.
    SemiBold,
    /// What is found first.
    Bold,
}

/// One paragraph or cell.
pub type Line = Vec<Run>;

/// A line of one run in regular type.
#[must_use]
pub fn plain(text: impl Into<String>) -> Line {
    vec![Run {
        text: text.into(),
        weight: Weight::Regular,
    }]
}

/// The same in bold.
#[must_use]
pub fn bold(text: impl Into<String>) -> Line {
    vec![Run {
        text: text.into(),
        weight: Weight::Bold,
    }]
}

/// The text of a line without its weights.
#[must_use]
pub fn text_of(line: &[Run]) -> String {
    line.iter().map(|run| run.text.as_str()).collect()
}

/// What stands below one another on pages.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Block {
    /// A heading inside a section; level 2 or 3 (the section's own title is 1).
    Heading {
        /// 2 or 3.
        level: u8,
        /// One line, if it can be.
        text: String,
    },
    /// The binder's own words, 12 pt.
    Text(Line),
    /// Owner's prose, 11 pt.
    Prose(Vec<Prose>),
    /// All of the first page.
    Cover(Cover),
    /// Three large figures under a title, each with up to two lines below.
    Figures(Vec<BigFigure>),
    /// One step.
    Card(Card),
    /// A safety message that stands by itself.
    Message(Message),
    /// Rows and columns with a head.
    Table(Table),
    /// Title and rows of something to tick off: at most a short text each.
    TickList {
        /// Above the rows; empty for none.
        title: String,
        /// From top to bottom.
        items: Vec<TickItem>,
    },
    /// Short things to tick off, in columns side by side.
    Dense(Dense),
    /// Hours and kilograms on one list of stages.
    Stages(StageList),
    /// What is asked before something heavy moves.
    BeforeItMoves(BeforeItMoves),
    /// Where readings of one weigh-in are written down.
    WeighingSheet(WeighingSheet),
    /// Lines to write on, each with a caption below it.
    Fields(Vec<Field>),
    /// Lines for signatures, 9 mm high: what is signed for, then name and date.
    Signatures(Vec<String>),
    /// Two columns, each [`sizes::HALF`](super::sizes::HALF) wide.
    Halves(Vec<Block>, Vec<Block>),
    /// A picture or drawing by key.
    Picture(PictureUse),
    /// Names with the steps that touch them.
    Index(Vec<IndexEntry>),
    /// Sample card with numbered notes, on "Read first".
    MarksExplained(Vec<MarkMeaning>),
}

impl Block {
    /// Every picture that it shows, in order.
    #[must_use]
    pub fn pictures(&self) -> Vec<&PictureUse> {
        match self {
            Block::Picture(picture) => vec![picture],
            Block::Stages(list) => vec![&list.drawing],
            Block::BeforeItMoves(list) => list.map.iter().collect(),
            Block::Cover(cover) => cover.picture.iter().collect(),
            Block::Card(card) => card
                .rows
                .iter()
                .filter_map(|row| match row {
                    CardRow::Picture(picture) => Some(picture),
                    CardRow::Act(_) | CardRow::Message(_) | CardRow::Prose(_) => None,
                })
                .collect(),
            Block::Halves(left, right) => left.iter().chain(right).flat_map(Block::pictures).collect(),
            _ => Vec::new(),
        }
    }
}

/// The first page.
#[derive(Debug, Clone, Serialize)]
pub struct Cover {
    /// The plan's title.
    pub title: String,
    /// The vehicle's title.
    pub body: String,
    /// Rows of label and value; a value of `None` is a line to write on.
    pub rows: Vec<(String, Option<Line>)>,
    /// What is signed for, "Checked by", a line each.
    pub signatures: Vec<String>,
    /// At most one, under the title.
    pub picture: Option<PictureUse>,
}

/// A figure with the word that says what it is.
#[derive(Debug, Clone, Serialize)]
pub struct BigFigure {
    /// "57.4 kg"
    pub figure: String,
    /// "off"
    pub word: String,
    /// Up to two lines.
    pub below: Vec<String>,
}

/// Stages one below the other, drawn, with a tick each. The drawing leaves the columns of names and ticks free.
#[derive(Debug, Clone, Serialize)]
pub struct StageList {
    /// Bars of hours and of kilograms.
    pub drawing: PictureUse,
    /// What stands beside the bars: names and ticks.
    pub rows: Vec<StageRow>,
    /// What the drawing and its rows say, in letters; has no key of its own, and is on no page.
    #[serde(skip)]
    pub table: Table,
}

/// One stage beside the drawing.
#[derive(Debug, Clone, Serialize)]
pub struct StageRow {
    /// The name, line by line.
    pub names: Vec<String>,
    /// It has no time to spare.
    pub strong: bool,
    /// From the drawing's top, mm.
    pub top: f64,
    /// mm
    pub height: f64,
    /// Key of its tick.
    pub proof: Proof,
}

/// A safety message: panel with the signal word, then hazard and harm, then what to do, an order a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Message {
    /// The word of the panel.
    pub signal: SignalWord,
    /// What can happen and what it does: one paragraph.
    pub hazard: String,
    /// What to do, an order each.
    pub avoid: Vec<String>,
    /// It stood in full before: one line, with what can happen and the orders in a few words.
    pub again: bool,
    /// Key by which the press proves that it is printed.
    pub proof: Proof,
}

/// Gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum SignalWord {
    /// Will kill or maim.
    Danger,
    /// Could kill or maim.
    Warning,
    /// Could hurt.
    Caution,
    /// Breaks things, hurts nobody.
    Notice,
}

impl SignalWord {
    /// As the panel has it, in capitals.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            SignalWord::Danger => "DANGER",
            SignalWord::Warning => "WARNING",
            SignalWord::Caution => "CAUTION",
            SignalWord::Notice => "NOTICE",
        }
    }
}

/// A step card.
#[derive(Debug, Clone, Serialize)]
pub struct Card {
    /// "2.8"
    pub number: String,
    /// What the step does, in the owner's words.
    pub title: String,
    /// For a derived step: "undoes 2.8".
    pub derived: Option<String>,
    /// "Mo and helper · **45 min** (30 to 80)"
    pub who_and_time: Line,
    /// "Where": the place at which all its acts are done; empty where they differ, and then it stands at the acts.
    pub place: Line,
    /// "At hand": tools, bags, new hardware.
    pub at_hand: Line,
    /// "First": what must be so before; at most three, a square each.
    pub first: Vec<TickItem>,
    /// Messages that guard the whole step; they stand directly above the first act, those in full before those in a line.
    pub messages: Vec<Message>,
    /// Acts, and what stands between them, in the order of work.
    pub rows: Vec<CardRow>,
    /// What is told again, in a line each, on a page that the card goes over to while something is loaded; no keys.
    pub over: Vec<Message>,
    /// What somebody else looks at when all is tight; none where nothing asks it.
    pub second_check: Option<SecondCheck>,
    /// Heading and value lines: "Held", "Still slack"; from the walk.
    pub after: Vec<(String, Vec<String>)>,
    /// "Safe to leave like this." or nothing.
    pub safe_to_leave: Option<String>,
    /// Letters of its acts as they were printed before.
    #[serde(skip)]
    pub letters: Letters,
    /// Key of the card's head.
    pub proof: Proof,
}

/// Of each letter of a card that words tell: those of the last act that is done when its row is ticked. Kept beside the binder and on no page, so
/// that it shows nothing of itself where a page is hashed.
#[derive(Clone, Default)]
pub struct Letters(pub Vec<(String, String)>);

impl std::fmt::Debug for Letters {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Letters")
    }
}

/// A row of a card.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
#[allow(
    clippy::large_enum_variant,
    reason = "most rows are acts, and a card has some twenty"
)]
pub enum CardRow {
    /// What is done, with its tick.
    Act(ActRow),
    /// Guards the act after it.
    Message(Message),
    /// The owner's note.
    Prose(Vec<Prose>),
    /// A picture where it is needed.
    Picture(PictureUse),
}

/// One act with its tick.
#[derive(Debug, Clone, Serialize)]
pub struct ActRow {
    /// "a", "b" ... "z", "aa".
    pub letter: String,
    /// Bold, first: "Undo", "Slacken, leave in".
    pub verb: String,
    /// What it is done to.
    pub object: Line,
    /// A 14 pt line of its own: "All the way out. The pinch bolt sits in a groove."
    pub take_out: Option<String>,
    /// 12 pt lines: count, thread, what is new; tool; place; hidden.
    pub facts: Vec<Line>,
    /// Applied here, 18 pt.
    pub torque: Option<Shown>,
    /// Rings, then hexagons where the row both starts and tightens.
    pub marks: Vec<Marks>,
    /// To write on, with caption and unit.
    pub write: Vec<Field>,
    /// What the scale reads, or boxes for it.
    pub reads: Option<WeighCell>,
    /// Hands, a jack or a spring are loaded: no page ends between the row before and this one.
    pub tied: bool,
    /// Key of the act's text.
    pub act_proof: Proof,
    /// Key of its square.
    pub tick_proof: Proof,
    /// Keys of a second act that is done in this row.
    pub also: Vec<Proof>,
}

/// One mark a fixing.
#[derive(Debug, Clone, Serialize)]
pub struct Marks {
    /// Rings, or hexagons.
    pub shape: MarkShape,
    /// One for each way of reaching them, or for each of a pair.
    pub groups: Vec<MarkGroup>,
}

/// What a mark says when it is ticked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MarkShape {
    /// Undone, slackened, or put in by hand.
    Ring,
    /// Tightened to the figure.
    Hexagon,
}

/// Marks of fixings that are reached alike.
#[derive(Debug, Clone, Serialize)]
pub struct MarkGroup {
    /// "L", "R": before the marks of one of a pair.
    pub side: Option<&'static str>,
    /// "left", "from below"; 9 pt under the marks.
    pub label: Option<String>,
    /// Rows of marks as the fixings stand; a mark may carry its number in the tightening order.
    pub rows: Vec<Vec<Mark>>,
    /// On a circle instead of in rows: the marks of all rows, from the top, clockwise.
    pub circle: bool,
}

/// One fixing, to be ticked.
#[derive(Debug, Clone, Serialize)]
pub struct Mark {
    /// Its place in the tightening order, from 1.
    pub number: Option<u32>,
    /// Key of the mark.
    pub proof: Proof,
}

/// What a second person sees for himself, with a tick and a place to sign.
#[derive(Debug, Clone, Serialize)]
pub struct SecondCheck {
    /// What is seen: "8 nuts at 58 N·m, 4 at 62 N·m."
    pub lines: Vec<String>,
    /// Key of its tick.
    pub proof: Proof,
}

/// What is asked before a lower, take off or raise: one row a joint.
#[derive(Debug, Clone, Serialize)]
pub struct BeforeItMoves {
    /// "Before you lower the steel axle, 2.8"
    pub title: String,
    /// At which act of the card behind it, and after which: "at act c of 3.26, when a and b are done".
    pub when: Vec<Line>,
    /// What has it while it moves: rigs and people.
    pub held_by: Vec<Line>,
    /// Who does it, who looks, who calls, and the word that stops it.
    pub who: Vec<Line>,
    /// What moves, and all that it is joined to.
    pub map: Option<PictureUse>,
    /// Why there is none, where that has to be said.
    pub no_map: Option<String>,
    /// Place ("front", "below") and its rows.
    pub groups: Vec<(String, Vec<MoveRow>)>,
    /// "Checked against the 14 joints that this plan declares; look for one it missed."
    pub claim: String,
    /// Empty rows for joints that the plan has missed.
    pub blank_rows: usize,
    /// Key of the sheet.
    pub proof: Proof,
}

/// A joint that has to be let go before something moves.
#[derive(Debug, Clone, Serialize)]
pub struct MoveRow {
    /// "undone", "slack", "capped", "out", "clear"
    pub state: String,
    /// Its title, and what is to be known of it.
    pub joint: Line,
    /// "hidden: behind the arch": in few words; the card has all of it.
    pub hidden: Option<String>,
    /// It stands right of what moves, where there is a map.
    pub right: bool,
    /// How many marks it has.
    pub fixings: u32,
    /// Key of its tick.
    pub proof: Proof,
}

/// Readings of one weigh-in.
#[derive(Debug, Clone, Serialize)]
pub struct WeighingSheet {
    /// "Weighing, hanging scale, 100 kg in steps of 0.1 kg"
    pub title: String,
    /// Date, state of the car, level floor: what makes it comparable.
    pub conditions: Vec<(String, Option<String>)>,
    /// One a reading.
    pub rows: Vec<WeighRow>,
    /// Readings laid as the wheels stand: front left, front right, rear left, rear right.
    pub corners: Option<[WeighCell; 4]>,
    /// Label and value below the rows: sum, given sum, "agree when within 0.4 kg".
    pub foot: Vec<(String, Option<String>)>,
    /// Key of the sheet.
    pub proof: Proof,
}

/// One reading of a weigh-in.
#[derive(Debug, Clone, Serialize)]
pub struct WeighRow {
    /// What lies on the scale.
    pub what: Line,
    /// A plausible range, only where the reading is a blank: "11 to 14 kg".
    pub between: Option<String>,
    /// As the scale shows it.
    pub reads: WeighCell,
    /// What hangs or lies there with it: sling, tray.
    pub tare: WeighCell,
    /// Key of the row.
    pub proof: Proof,
}

/// A reading, or boxes for one.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum WeighCell {
    /// The plan has it: "12.4 kg".
    Known(String),
    /// So many digit boxes before the point, so many after it, then the unit.
    Blank {
        /// Boxes before the point.
        whole: u8,
        /// Boxes behind it.
        decimals: u8,
        /// As printed behind the boxes.
        unit: String,
    },
    /// Nothing is read here.
    Nothing,
}

/// A table whose head repeats. Widths are in mm of what there is, [`sizes::LIVE`](super::sizes::LIVE) or in half a page
/// [`sizes::HALF`](super::sizes::HALF); 0 shares what is left.
#[derive(Debug, Clone, Serialize)]
pub struct Table {
    /// Level-3 heading kept with the table; empty for none.
    pub title: String,
    /// From left to right.
    pub columns: Vec<Column>,
    /// All rows, in groups.
    pub groups: Vec<TableGroup>,
    /// Least height of a row in mm.
    pub row_height: u8,
}

/// How one column is set.
#[derive(Debug, Clone, Serialize)]
pub struct Column {
    /// Empty for none.
    pub head: String,
    /// mm; 0 shares what is left.
    pub width: u16,
    /// How its cells stand.
    pub align: Align,
}

/// Where text stands in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// Words.
    Left,
    /// Whole numbers.
    Right,
    /// Figures aligned at the decimal point; the press pads with figure spaces.
    Decimal,
}

/// Rows under an own head within the table ("Stage 5, Back together"), repeated with the column heads.
#[derive(Debug, Clone, Serialize)]
pub struct TableGroup {
    /// None for rows that stand right under the table's head.
    pub head: Option<String>,
    /// From top to bottom.
    pub rows: Vec<TableRow>,
}

/// One row of a table.
#[derive(Debug, Clone, Serialize)]
pub struct TableRow {
    /// One a column; a single one is as wide as the table.
    pub cells: Vec<Cell>,
    /// Heavier rule above: sums.
    pub total: bool,
    /// Key of the row, where it is ticked or read.
    pub proof: Option<Proof>,
}

/// What stands where a row and a column meet.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Cell {
    /// Nothing, on purpose.
    Empty,
    /// 12 pt.
    Line(Line),
    /// A first line at 12 pt, further ones at 11 pt.
    Lines(Vec<Line>),
    /// A figure to apply, 16 pt bold, that of the other system below it.
    Torque(Shown),
    /// A square to tick.
    Square,
    /// A hexagon to tick: tightened.
    Hexagon,
    /// So many hexagons or rings.
    Marks(Marks),
    /// A filled dot: needed in this stage.
    Dot,
    /// A line to write on.
    Write,
    /// A word in the panel colours of its signal.
    Signal(SignalWord),
}

/// A line of a list, to be ticked.
#[derive(Debug, Clone, Serialize)]
pub struct TickItem {
    /// What has to be so.
    pub text: Line,
    /// At the right end, bold: "order", "table, 350 kg".
    pub right: Option<String>,
    /// A square stands before it.
    pub tick: bool,
}

/// A list in columns, read down the first, then down the next.
#[derive(Debug, Clone, Serialize)]
pub struct Dense {
    /// Above the columns.
    pub title: String,
    /// How many, side by side.
    pub columns: usize,
    /// In the order of reading.
    pub items: Vec<DenseItem>,
}

/// A short line of a list in columns.
#[derive(Clone, Serialize)]
pub struct DenseItem {
    /// What it is.
    pub text: Line,
    /// It is printed with its tick.
    pub done: bool,
    /// At the right end: what it costs, where it comes from.
    pub right: Option<String>,
    /// Key of its tick.
    pub proof: Proof,
}

/// What is not ticked reads as it did before there were ticks: a page is hashed by it.
impl std::fmt::Debug for DenseItem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut all = f.debug_struct("DenseItem");
        all.field("text", &self.text)
            .field("right", &self.right)
            .field("proof", &self.proof);
        if self.done {
            all.field("done", &self.done);
        }
        all.finish()
    }
}

/// A line to write on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Field {
    /// Below the line: what is written there.
    pub caption: String,
    /// At the line's end.
    pub unit: Option<String>,
    /// mm
    pub width: u16,
}

/// A name and where it is met.
#[derive(Debug, Clone, Serialize)]
pub struct IndexEntry {
    /// As the binder calls it.
    pub name: String,
    /// "3.2, 4.1 to 4.4"
    pub steps: String,
}

/// One row of the legend.
#[derive(Debug, Clone, Serialize)]
pub struct MarkMeaning {
    /// The mark as it is drawn.
    pub mark: ExplainedMark,
    /// What it asks for.
    pub meaning: Line,
}

/// Marks that the legend shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ExplainedMark {
    /// Done.
    Square,
    /// A fixing undone, slackened or put in by hand.
    Ring,
    /// A fixing tightened to the figure.
    Hexagon,
    /// A letter of an act, to be ringed by hand.
    Letter,
}

/// A picture as used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PictureUse {
    /// Under which the document has the picture.
    pub key: String,
    /// Below it.
    pub caption: Option<String>,
    /// Never empty.
    pub alt: String,
    /// mm; at most [`sizes::LIVE`](super::sizes::LIVE), in a card [`sizes::IN_CARD`](super::sizes::IN_CARD).
    pub width: u16,
    /// The drawing itself, where the program made it for this page; a picture of the plan's lies among the document's.
    #[serde(skip)]
    pub drawn: Option<Drawn>,
    /// Key by which the press proves that it is printed.
    pub proof: Proof,
}

impl PictureUse {
    /// What the program drew for it.
    #[must_use]
    pub fn file(&self) -> Option<PictureFile> {
        let Drawn(svg) = self.drawn.as_ref()?;
        Some(PictureFile {
            key: self.key.clone(),
            kind: PictureKind::Svg,
            bytes: Arc::from(svg.as_bytes()),
        })
    }
}

/// A drawing of the program's own, as SVG. Where a page is hashed it counts as a file does, by its bytes.
#[derive(Clone, PartialEq, Eq)]
pub struct Drawn(pub Arc<str>);

impl std::fmt::Debug for Drawn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Drawn")
    }
}
