//! What was seen of blocks in a laying out: where each stands, how high it is, what lies between two of them, the body that pages have for them; and the
//! form in which page ends are planned. Must not know how they are chosen, nor what a block holds.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::engine::PageFound;

/// Height of a card's head in one line, with room for rounding.
pub const CONTINUED: f64 = 9.0;
/// Space between two blocks that were seen on different pages, and after those that leave more.
pub const BETWEEN: f64 = 3.0;
const AFTER_LIST: f64 = 5.0;
const AFTER_FORM: f64 = 8.0;

/// Pages are planned this much shorter than they are, so that none ends by itself before it is planned to.
pub const SPARE: f64 = 0.3;

/// How a block stands on its pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// It goes over to the next page with the block after it.
    Heading,
    /// A head and units, seen one by one: it goes over a page's end between units, where that is planned.
    Units,
    /// It is filled in at one place: on one page if it can be, however much that leaves white.
    Form,
    /// It should not break when it need not.
    List,
    /// It never breaks.
    Solid,
    /// It breaks anywhere.
    Flow,
    /// It closes what stands before it, and is on no page by itself.
    Close,
}

/// A block of a section, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    pub id: String,
    pub kind: Kind,
    /// Units that stay with the next one.
    pub leading: Vec<usize>,
    /// Units that stay with the one before, as long as a page holds them.
    pub tied: Vec<usize>,
    /// So many units stay with the head: a card's first act and all that stands above it.
    pub opening: usize,
    /// Height of what its later pages begin with, in mm, as long as that was not seen.
    pub again: f64,
    /// The first unit may break, so that the head stays where there is room for some of it.
    pub opens_loose: bool,
    /// Index of its section.
    pub section: usize,
    /// The section may begin on the page on which the one before it ends; else it starts one.
    pub joins: bool,
}

impl Seen {
    pub fn whole(&self) -> bool {
        matches!(self.kind, Kind::Units | Kind::Form | Kind::List)
    }

    /// Height of what its later pages begin with.
    pub fn again(&self, spans: &Spans) -> f64 {
        let seen = spans.at.get(&format!("{}/again", self.id));
        // The head in one line is as high everywhere.
        let on_one_page = seen.filter(|(start, end)| start.0 == end.0 && self.again > CONTINUED);
        on_one_page.map_or(self.again, |(start, end)| end.1 - start.1)
    }

    /// Heights of the head and of what stays with it, from those of its pieces.
    pub fn opening_high(&self, heights: &[f64]) -> f64 {
        heights.iter().take(1 + self.opening).sum()
    }
}

/// Where pages end, by block, and on which pages things stand then.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    pub break_before: Vec<String>,
    /// Units that start a page.
    pub cuts: BTreeMap<String, Vec<usize>>,
    /// The page that each block starts on.
    pub starts: BTreeMap<String, usize>,
    /// The page that each section starts on.
    pub sections: Vec<usize>,
    /// Sections that begin on the page of the one before.
    pub joined: Vec<usize>,
    /// How many pages there are.
    pub pages: usize,
}

/// The body's top and end on each page, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub top: f64,
    pub end: f64,
    /// Printed on both sides: an even page and the one after it lie open side by side.
    pub facing: bool,
}

/// Page from 1, and y in mm.
pub type Place = (usize, f64);
/// Start and end.
pub type Span = (Place, Place);

/// What was seen of the pages.
#[derive(Debug, Clone, Default)]
pub struct Spans {
    /// Start and end of each block, and of each head and unit of cards.
    pub at: BTreeMap<String, Span>,
    /// Blocks of which only what closes them was seen: it goes over to the next page with what follows.
    pub loose: BTreeSet<String>,
    /// Where the rows of each block stand, by their proof keys' signs and by signs of rows that have no key.
    pub rows: BTreeMap<String, Vec<Place>>,
}

/// Collects where blocks start and end.
#[must_use]
pub fn spans(pages: &[PageFound]) -> Spans {
    let mut starts = BTreeMap::new();
    let mut open: Option<&str> = None;
    let mut spans = Spans::default();
    for (page, number) in pages.iter().zip(1usize..) {
        for sign in &page.signs {
            let place = (number, sign.y);
            match sign.kind.as_str() {
                "s" => {
                    starts.entry(sign.name.clone()).or_insert(place);
                    open = Some(&sign.name);
                }
                "t" | "e" => {
                    if let Some(start) = starts.get(&sign.name)
                        && !spans.at.contains_key(&sign.name)
                    {
                        spans.at.insert(sign.name.clone(), (*start, place));
                        if sign.kind == "e" {
                            spans.loose.insert(sign.name.clone());
                        }
                    }
                    open = None;
                }
                "k" | "r" => {
                    if let Some(open) = open {
                        spans.rows.entry(open.to_owned()).or_default().push(place);
                    }
                }
                _ => {}
            }
        }
    }
    spans
}

/// The space between two sorts of block.
pub type Spaces = HashMap<(Kind, Kind), f64>;

/// The space between two blocks, at most.
pub fn space(between: &Spaces, before: &Seen, block: &Seen) -> f64 {
    let seen = between.get(&(before.kind, block.kind)).copied();
    seen.unwrap_or(match before.kind {
        Kind::Form => AFTER_FORM,
        Kind::List => AFTER_LIST,
        Kind::Heading | Kind::Units | Kind::Solid | Kind::Flow | Kind::Close => BETWEEN,
    })
}

/// The same, from where they were seen one after the other on a page.
pub fn spaces(blocks: &[Seen], spans: &Spans, body: Body) -> Spaces {
    let mut found = HashMap::new();
    for pair in blocks.windows(2) {
        let [one, two] = pair else { continue };
        let ends = pieces(one, spans, body).last().map(|(_, end)| *end);
        let starts = pieces(two, spans, body).first().map(|(start, _)| *start);
        if let (Some(end), Some(start)) = (ends, starts)
            && one.section == two.section
            && end.0 == start.0
        {
            // The most that was seen: what is planned to fit then fits.
            let space = found.entry((one.kind, two.kind)).or_insert(0.0);
            *space = f64::max(*space, start.1 - end.1);
        }
    }
    found
}

/// A block's spans: one, or its head and units.
pub fn pieces(block: &Seen, spans: &Spans, body: Body) -> Vec<Span> {
    if block.kind != Kind::Units {
        let span = spans.at.get(&block.id).copied();
        let loose = spans.loose.contains(&block.id);
        let span = span.map(|(start, end)| {
            let over = loose && end.0 > start.0 && end.1 < body.top + SPARE;
            (start, if over { (end.0 - 1, body.end - SPARE) } else { end })
        });
        return span.into_iter().collect();
    }
    let units = (0..).map_while(|unit| spans.at.get(&format!("{}/{unit}", block.id)));
    spans
        .at
        .get(&format!("{}/head", block.id))
        .into_iter()
        .chain(units)
        .copied()
        .collect()
}

/// Where the next thing would stand.
#[derive(Debug, Clone, Copy)]
pub struct Cursor {
    pub page: usize,
    pub y: f64,
}

impl Body {
    pub fn room(self) -> f64 {
        self.end - self.top
    }

    /// Whether the engine itself goes on here: no page end is planned within such a thing.
    pub fn holds(self, y: f64, high: f64) -> bool {
        y + high <= self.end + 1e-3
    }

    pub fn fits(self, y: f64, high: f64) -> bool {
        y + high <= self.end - SPARE
    }

    pub fn height(self, (start, end): &Span) -> f64 {
        if start.0 == end.0 {
            end.1 - start.1
        } else {
            (self.end - start.1) + self.room() * (end.0 - start.0 - 1) as f64 + (end.1 - self.top)
        }
    }

    /// Goes over as many pages as something so high needs.
    pub fn flow(self, now: &mut Cursor, high: f64) {
        now.y += high;
        while now.y > self.end {
            now.y -= self.room();
            now.page += 1;
        }
    }
}
