//! From document to PDF: pictures first, then the pages without planned ends, then with
//! their ends planned, then the proof, then export. Must not know what a row looks like.

use std::collections::{BTreeMap, BTreeSet};

use crate::base::picture::PictureFile;
use crate::binder::document::{Block, Document, Section, TakenFrom};
use crate::binder::sizes::{self, BAND, BODY_TOP, Type, body_end};
use crate::press::keys::{self, Named};
use crate::press::typst::engine::{self, Laid, PageFound};
use crate::press::typst::facts;
use crate::press::typst::feet::{self, Stop};
use crate::press::typst::given::{BlockFacts, Facts, File, PageKnown, Plan, Unit};
use crate::press::typst::proof::{self, Wrong};
use crate::press::typst::stands::{self, Body, Kind, Seen};
use crate::press::typst::{breaks, clean, pictures};
use crate::press::{PressError, Printed, words};

const TEMPLATE: [&str; 5] = [
    include_str!("constants.typ"),
    include_str!("marks.typ"),
    include_str!("blocks.typ"),
    include_str!("card.typ"),
    include_str!("binder.typ"),
];
/// Page ends mostly come out as planned in the second pass; those of this one are good enough.
const ENOUGH: usize = 6;
const MOST_PASSES: usize = 8;

/// The whole template: constant text.
#[must_use]
pub fn template() -> String {
    let file = "#let file = json(\"data.json\")\n#let (book, facts, plan, words) = file\n";
    file.to_owned() + &lengths_and_types() + &TEMPLATE.concat()
}

/// The sizes that the template shares with what is judged before it is laid out: `live` in millimetres, `type-12` as size and pitch.
pub(super) fn lengths_and_types() -> String {
    let mut text = String::new();
    for (name, length) in sizes::LENGTHS {
        let name = name.to_ascii_lowercase().replace('_', "-");
        text.push_str(&format!("#let {name} = {length}mm\n"));
    }
    for Type { points, pitch } in sizes::TYPES {
        text.push_str(&format!("#let type-{points} = ({points}pt, {pitch}mm)\n"));
    }
    text
}

/// A document laid out, not yet proved.
pub(super) struct Made {
    pub laid: Laid,
    pub feet: Vec<String>,
    pub data_json: String,
    pub page_json: Vec<String>,
    pub missing_glyphs: Vec<char>,
}

/// Prints a document.
///
/// # Errors
/// See [`PressError`].
pub fn print(document: &Document) -> Result<Printed, PressError> {
    print_and_show(document).map(|(printed, _)| printed)
}

/// As [`print`], with what stands on the pages.
///
/// # Errors
/// See [`PressError`].
pub fn print_and_show(document: &Document) -> Result<(Printed, Vec<PageFound>), PressError> {
    let names = keys::keys(document);
    all_different(&names)?;
    let made = make(document)?;
    let page_of = prove(document, &names, &made.laid)?;
    let printed = Printed {
        pdf: made.laid.pdf().map_err(PressError::Engine)?,
        pages: made.laid.pages.len(),
        page_of,
        feet: made.feet,
        typst_source: template(),
        data_json: made.data_json,
        page_json: made.page_json,
        missing_glyphs: made.missing_glyphs,
    };
    Ok((printed, made.laid.pages))
}

/// The engine alone on what was emitted; see [`crate::press::engine_alone`].
///
/// # Errors
/// See [`PressError`].
pub fn engine_alone(document: &Document, printed: &Printed) -> Result<Vec<u8>, PressError> {
    let (_, pictures) = pictures::gather(document)?;
    engine::forget();
    let laid = engine::lay_out(
        &printed.typst_source,
        &printed.data_json,
        &printed.page_json,
        &pictures,
    )
    .map_err(PressError::Engine)?;
    laid.pdf().map_err(PressError::Engine)
}

/// See [`crate::press::forget`].
pub fn forget() {
    engine::forget();
}

/// Lays a document out with its page ends planned.
pub(super) fn make(document: &Document) -> Result<Made, PressError> {
    let (files, pictures) = pictures::gather(document)?;
    let facts = facts::of(document, &files);
    let mut book = document.clone();
    let missing_glyphs = clean::document(&mut book);
    let settled = settle(document, &book, &facts, &pictures);
    engine::tidy();
    let (emitted, laid, plan) = settled?;
    Ok(Made {
        laid: laid.with_ink(),
        feet: plan.pages.into_iter().map(|page| page.foot).collect(),
        data_json: emitted.data,
        page_json: emitted.pages,
        missing_glyphs,
    })
}

fn prove(document: &Document, names: &[Named], laid: &Laid) -> Result<BTreeMap<String, usize>, PressError> {
    let named: BTreeMap<&str, &str> = names
        .iter()
        .map(|name| (name.key.as_str(), name.words.as_str()))
        .collect();
    proof::prove(
        names.iter().map(|name| name.key.as_str()),
        &laid.pages,
        document.two_sided,
    )
    .map_err(|wrong| PressError::Lost(wrong.iter().map(|one| in_words(one, &named)).collect()))
}

/// Lays out without planned page ends, then with them and with what the pages will then say about themselves, and again only where that
/// did not come out as foreseen. What stays the same from pass to pass the engine does not lay out again.
fn settle(
    document: &Document,
    book: &Document,
    facts: &Facts,
    pictures: &[(String, PictureFile)],
) -> Result<(Emitted, Laid, Plan), PressError> {
    let template = template();
    let (blocks, body, stops) = (seen(document, facts), body(document), feet::stops(document));
    let whole = document.taken_from.as_ref();
    let runs = breaks::runs(&blocks, document.sections.len());
    let mut plan = Plan {
        starts: guessed(&stops),
        joined: runs.iter().flat_map(|run| run.iter().skip(1)).copied().collect(),
        runs,
        ..Plan::default()
    };
    // From here on page ends stay as they are, but for heads that are missing.
    let mut kept = false;
    for pass in 1..=MOST_PASSES {
        let emitted =
            emit(book, facts, &plan).map_err(|error| PressError::Engine(vec![error.to_string()]))?;
        let laid = engine::lay_out(&template, &emitted.data, &emitted.pages, pictures)
            .map_err(PressError::Engine)?;
        let better = breaks::plan(&blocks, &stands::spans(&laid.pages), body);
        let mut true_now = known(document, facts, &stops, &laid.pages, whole, &plan);
        let came_out = (&true_now.pages, &true_now.starts) == (&plan.pages, &plan.starts);
        let same_ends = (&better.break_before, &better.cuts, &better.joined)
            == (&plan.break_before, &plan.cuts, &plan.joined);
        let last = kept || same_ends || pass >= ENOUGH;
        let unsaid = match last && pass < MOST_PASSES {
            true => breaks::unsaid(&blocks, &stands::spans(&laid.pages), body, &plan.cuts),
            false => Vec::new(),
        };
        if !unsaid.is_empty() {
            kept = true;
            for (block, unit) in unsaid {
                let cuts = plan.cuts.entry(block).or_default();
                cuts.push(unit);
                cuts.sort_unstable();
            }
        } else if came_out && last {
            return Ok((emitted, laid, plan));
        }
        // In the end page ends stay as they are; only what is said about the pages may still change.
        plan = if kept || same_ends || pass > ENOUGH {
            (true_now.break_before, true_now.cuts) = (plan.break_before, plan.cuts);
            true_now
        } else if whole.is_some() {
            (true_now.break_before, true_now.cuts) = (better.break_before, better.cuts);
            true_now.joined = better.joined;
            true_now
        } else {
            foreseen(document, facts, &stops, better, plan.runs)
        };
    }
    Err(PressError::Engine(vec!["page numbers do not settle".to_owned()]))
}

/// Pages of cards for the first pass, so that the index gets about as long as it will be.
fn guessed(stops: &[Stop]) -> BTreeMap<String, usize> {
    let cards = stops.iter().filter(|stop| stop.kind == "k");
    cards.map(|stop| stop.key.clone()).zip(10..).collect()
}

/// A pass's data as the engine reads them.
struct Emitted {
    data: String,
    pages: Vec<String>,
}

fn emit(book: &Document, facts: &Facts, plan: &Plan) -> serde_json::Result<Emitted> {
    let named = words::ALL.iter();
    let words = named.map(|(name, word)| (name.to_ascii_lowercase(), *word));
    Ok(Emitted {
        data: serde_json::to_string(&File {
            book,
            facts,
            plan,
            words: &words.collect(),
        })?,
        pages: plan
            .pages
            .iter()
            .map(serde_json::to_string)
            .collect::<serde_json::Result<_>>()?,
    })
}

/// The page of each stop that stands on one.
fn found<'a>(stops: &'a [Stop], pages: &[PageFound]) -> Vec<(&'a Stop, usize)> {
    let mut at: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for (page, number) in pages.iter().zip(1..) {
        for sign in &page.signs {
            at.entry((&sign.kind, &sign.name)).or_insert(number);
        }
    }
    stops
        .iter()
        .filter_map(|stop| Some((stop, *at.get(&(stop.kind, stop.key.as_str()))?)))
        .collect()
}

/// The plan of the next pass, with what its pages will say about themselves if all comes to stand as planned.
fn foreseen(
    document: &Document,
    facts: &Facts,
    stops: &[Stop],
    planned: stands::Plan,
    runs: Vec<Vec<usize>>,
) -> Plan {
    let page = |stop: &Stop| match &stop.block {
        Some(block) => planned.starts.get(block).copied(),
        None => planned.sections.get(stop.key.parse::<usize>().ok()?).copied(),
    };
    let placed: Vec<(&Stop, usize)> = stops
        .iter()
        .filter_map(|stop| Some((stop, page(stop)?)))
        .collect();
    Plan {
        pages: headed(
            told(&feet_of(&placed, planned.pages), 1..=planned.pages, planned.pages),
            document,
            facts,
            &planned.sections,
            &planned.joined,
        ),
        starts: starts(&placed),
        break_before: planned.break_before,
        cuts: planned.cuts,
        runs,
        joined: planned.joined,
    }
}

/// What the pages of a pass say about themselves.
fn known(
    document: &Document,
    facts: &Facts,
    stops: &[Stop],
    pages: &[PageFound],
    whole: Option<&TakenFrom>,
    plan: &Plan,
) -> Plan {
    let placed = found(stops, pages);
    let said = match whole {
        None => told(&feet_of(&placed, pages.len()), 1..=pages.len(), pages.len()),
        Some(whole) => {
            let numbers = numbers(pages, whole);
            let feet: Vec<String> = numbers
                .iter()
                .map(|number| {
                    whole
                        .feet
                        .get(number.saturating_sub(1))
                        .cloned()
                        .unwrap_or_default()
                })
                .collect();
            told(&feet, numbers, whole.feet.len())
        }
    };
    Plan {
        pages: headed(
            said,
            document,
            facts,
            &section_pages(document.sections.len(), pages),
            &plan.joined,
        ),
        starts: starts(&placed),
        runs: plan.runs.clone(),
        joined: plan.joined.clone(),
        ..Plan::default()
    }
}

/// The page on which each section begins.
fn section_pages(sections: usize, pages: &[PageFound]) -> Vec<usize> {
    let mut found = vec![0; sections];
    for (page, number) in pages.iter().zip(1..) {
        for sign in page.signs.iter().filter(|sign| sign.kind == "p") {
            let place = sign.name.parse::<usize>().ok();
            if let Some(found) = place
                .and_then(|at| found.get_mut(at))
                .filter(|found| **found == 0)
            {
                *found = number;
            }
        }
    }
    found
}

/// With the section that each page begins in, and the stages that stand on it.
fn headed(
    mut said: Vec<PageKnown>,
    document: &Document,
    facts: &Facts,
    begin: &[usize],
    joined: &[usize],
) -> Vec<PageKnown> {
    for (section, (held, shown)) in document.sections.iter().zip(&facts.sections).enumerate() {
        let from = begin.get(section).copied().unwrap_or(0);
        let to = match begin.get(section + 1).copied() {
            Some(next) if joined.contains(&(section + 1)) => next,
            Some(next) => next.saturating_sub(1),
            None => said.len(),
        };
        if from == 0 {
            continue;
        }
        for page in said.iter_mut().take(to).skip(from - 1) {
            if page.head.is_empty() {
                page.head.clone_from(&shown.head);
            }
            page.marks.extend(held.stage_mark);
        }
    }
    said
}

fn feet_of(placed: &[(&Stop, usize)], pages: usize) -> Vec<String> {
    let named: Vec<(Option<&str>, usize)> = placed
        .iter()
        .map(|(stop, page)| (stop.name.as_deref(), *page))
        .collect();
    feet::feet(&named, pages)
}

fn told(feet: &[String], numbers: impl IntoIterator<Item = usize>, total: usize) -> Vec<PageKnown> {
    feet.iter()
        .zip(numbers)
        .map(|(foot, number)| PageKnown {
            foot: foot.clone(),
            number,
            total,
            ..PageKnown::default()
        })
        .collect()
}

/// The page of each card, by its proof key.
fn starts(placed: &[(&Stop, usize)]) -> BTreeMap<String, usize> {
    placed
        .iter()
        .filter(|(stop, _)| stop.kind == "k")
        .map(|(stop, page)| (stop.key.clone(), *page))
        .collect()
}

/// The number that each page has in the whole that it was taken from: by a key that stands on it, else it follows the one before.
fn numbers(pages: &[PageFound], whole: &TakenFrom) -> Vec<usize> {
    let mut last = 0;
    pages
        .iter()
        .map(|page| {
            let keys = page.signs.iter().filter(|sign| sign.kind == "k");
            let known = keys
                .filter_map(|sign| whole.page_of.get(&sign.name).copied())
                .next();
            last = known.unwrap_or(last + 1);
            last
        })
        .collect()
}

/// Whether a section may stand on the page on which the one before it ends: where it was taken from a whole, if it does there.
fn joins(document: &Document, section: usize) -> bool {
    let before = section.checked_sub(1).and_then(|at| document.sections.get(at));
    let (Some(before), Some(own)) = (before, document.sections.get(section)) else {
        return false;
    };
    let of_cards = |section: &Section| section.blocks.iter().any(|block| matches!(block, Block::Card(_)));
    let on_one_page = document.taken_from.as_ref().is_none_or(|whole| {
        let pages = |section: &Section, block: Option<&Block>| {
            let keys = block.map_or_else(Vec::new, |block| keys::of_block(section, block));
            let pages = keys.iter().filter_map(|named| whole.page_of.get(&named.key));
            pages.copied().collect::<Vec<usize>>()
        };
        let ends = pages(before, before.blocks.last()).into_iter().max();
        let begins = pages(
            own,
            own.blocks
                .iter()
                .find(|block| !keys::of_block(own, block).is_empty()),
        );
        ends.is_some() && ends == begins.into_iter().min()
    });
    let may = (of_cards(before) && of_cards(own)) || !(before.alone || own.alone);
    may && on_one_page
}

fn seen(document: &Document, facts: &Facts) -> Vec<Seen> {
    let mut blocks = Vec::new();
    for (section, (held, shown)) in document.sections.iter().zip(&facts.sections).enumerate() {
        let joins = joins(document, section);
        for (place, (block, of)) in held.blocks.iter().zip(&shown.blocks).enumerate() {
            blocks.push(Seen {
                id: feet::block_id(section, place),
                kind: match block {
                    Block::Heading { .. } => Kind::Heading,
                    Block::Card(_) | Block::BeforeItMoves(_) => Kind::Units,
                    Block::WeighingSheet(_) => Kind::Form,
                    // In three columns a list is read across a page's end as well as else.
                    Block::Dense(list) if list.columns > 2 => Kind::Flow,
                    // What stands beside a drawing belongs to it.
                    Block::Halves(..) if !block.pictures().is_empty() => Kind::Form,
                    Block::Table(_) | Block::Halves(..) | Block::Dense(_) => Kind::List,
                    Block::Signatures(_) => Kind::Close,
                    Block::Message(_) | Block::Picture(_) | Block::Stages(_) => Kind::Solid,
                    _ => Kind::Flow,
                },
                leading: places(of, |unit| unit.leads),
                tied: places(of, |unit| unit.tied),
                opening: of.opening,
                opens_loose: of.units.first().is_some_and(|unit| !unit.solid),
                again: stands::CONTINUED + of.over_high,
                section,
                joins,
            });
        }
    }
    for run in breaks::runs(&blocks, document.sections.len()) {
        let first = run.first().copied();
        for block in blocks.iter_mut().filter(|block| Some(block.section) == first) {
            block.joins = false;
        }
    }
    blocks
}

/// The units of a block of which this is true.
fn places(of: &BlockFacts, is: impl Fn(&Unit) -> bool) -> Vec<usize> {
    let units = of.units.iter().enumerate();
    units.filter(|(_, unit)| is(unit)).map(|(at, _)| at).collect()
}

fn body(document: &Document) -> Body {
    let band = if document.not_proved.is_some() { BAND } else { 0.0 };
    Body {
        top: BODY_TOP + band,
        end: body_end(document.paper),
        facing: document.two_sided,
    }
}

fn all_different(names: &[Named]) -> Result<(), PressError> {
    let mut met = BTreeSet::new();
    let twice: Vec<String> = names
        .iter()
        .filter(|name| !met.insert(name.key.as_str()))
        .map(|name| {
            format!(
                "{}: its key {} is used twice in the document",
                name.words, name.key
            )
        })
        .collect();
    if twice.is_empty() {
        Ok(())
    } else {
        Err(PressError::Lost(twice))
    }
}

fn in_words(wrong: &Wrong, named: &BTreeMap<&str, &str>) -> String {
    let name = |key: &String| {
        named
            .get(key.as_str())
            .map_or_else(|| key.clone(), |words| (*words).to_owned())
    };
    match wrong {
        Wrong::Missing(key) => format!("{} is on no page", name(key)),
        Wrong::Twice(key, pages) => {
            let pages: Vec<String> = pages.iter().map(usize::to_string).collect();
            format!("{} stands more than once: pages {}", name(key), pages.join(", "))
        }
        Wrong::Outside(key, page) => format!("{} runs off page {page}", name(key)),
        Wrong::Ink(what, page) => format!("page {page}: {what} stands outside the margins"),
    }
}
