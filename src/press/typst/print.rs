//! From document to PDF: pictures first, then a draft that shows how high everything is, then the pages with
//! their ends planned, then the proof, then export. Must not know what a row looks like.

use std::collections::{BTreeMap, BTreeSet};

use crate::base::picture::PictureFile;
use crate::binder::document::{Block, Document, PaperSize};
use crate::press::keys::{self, Named};
use crate::press::typst::breaks::{self, Body, Seen};
use crate::press::typst::convert::{self, PictureFiles};
use crate::press::typst::engine::{self, Laid};
use crate::press::typst::mirror;
use crate::press::typst::proof::{self, Wrong};
use crate::press::{PressError, Printed};

const TEMPLATE: [&str; 6] = [
    "#let data = json(\"data.json\")\n",
    include_str!("constants.typ"),
    include_str!("marks.typ"),
    include_str!("blocks.typ"),
    include_str!("card.typ"),
    include_str!("binder.typ"),
];
/// Planned page ends settle in one or two passes; after this many they are good enough.
const MOST_PASSES: usize = 4;
/// Height of the NOT PROVED band with the space below it, in mm.
const BAND: f64 = 9.0;

/// The whole template: constant text.
#[must_use]
pub fn template() -> String {
    TEMPLATE.concat()
}

/// Prints a document.
///
/// # Errors
/// See [`PressError`].
pub fn print(document: &Document) -> Result<Printed, PressError> {
    let names = keys::keys(document);
    all_different(&names)?;
    let (files, pictures) = gather_pictures(document)?;
    let converted = convert::convert(document, &files);
    let mut data = converted.data;
    let template = template();

    let draft = laid(&template, &data, &pictures)?;
    let blocks = seen(document);
    let mut plan = breaks::plan(&blocks, &breaks::spans(&draft.1.pages), body(document));
    data.draft = false;
    let (data_json, done) = settle(
        &template,
        &mut data,
        &pictures,
        &blocks,
        &mut plan,
        body(document),
    )?;

    let named: BTreeMap<&str, &str> = names
        .iter()
        .map(|name| (name.key.as_str(), name.words.as_str()))
        .collect();
    let page_of = proof::prove(
        names.iter().map(|name| name.key.as_str()),
        &done.pages,
        document.two_sided,
    )
    .map_err(|wrong| PressError::Lost(wrong.iter().map(|one| in_words(one, &named)).collect()))?;
    Ok(Printed {
        pdf: done.pdf().map_err(PressError::Engine)?,
        pages: done.pages.len(),
        page_of,
        typst_source: template,
        data_json,
        missing_glyphs: converted.missing_glyphs,
    })
}

/// Lays out with the planned page ends, and again with better ones while the plan changes: a card that breaks is
/// measured exactly only once its repeating head is there.
fn settle(
    template: &str,
    data: &mut mirror::Data,
    pictures: &[(String, PictureFile)],
    blocks: &[Seen],
    plan: &mut breaks::Plan,
    body: Body,
) -> Result<(String, Laid), PressError> {
    let mut pass = 1;
    loop {
        apply(data, plan);
        let (json, done) = laid(template, data, pictures)?;
        let spans = breaks::spans(&done.pages);
        let mut better = breaks::plan(blocks, &spans, body);
        // Whatever the plan says: a block that was seen to break has to repeat its head.
        let broken = blocks
            .iter()
            .filter(|block| spans.get(&block.id).is_some_and(|(start, end)| start.0 != end.0));
        for block in broken {
            if !better.running.contains(&block.id) && !better.break_before.contains(&block.id) {
                better.running.push(block.id.clone());
            }
        }
        pass += 1;
        if better.same(plan) || pass > MOST_PASSES {
            return Ok((json, done));
        }
        *plan = better;
    }
}

fn laid(
    template: &str,
    data: &mirror::Data,
    pictures: &[(String, PictureFile)],
) -> Result<(String, Laid), PressError> {
    let json = serde_json::to_string(data).map_err(|error| PressError::Engine(vec![error.to_string()]))?;
    let laid = engine::lay_out(template, &json, pictures).map_err(PressError::Engine)?;
    Ok((json, laid))
}

fn apply(data: &mut mirror::Data, plan: &breaks::Plan) {
    let before: BTreeSet<&str> = plan.break_before.iter().map(String::as_str).collect();
    let running: BTreeSet<&str> = plan.running.iter().map(String::as_str).collect();
    for placed in data.sections.iter_mut().flat_map(|section| &mut section.blocks) {
        placed.break_before = before.contains(placed.id.as_str());
        if let mirror::Block::Card(card) = &mut placed.block {
            card.running = running.contains(placed.id.as_str());
        }
    }
}

fn seen(document: &Document) -> Vec<Seen> {
    let mut blocks = Vec::new();
    for (section, held) in document.sections.iter().enumerate() {
        for (place, block) in held.blocks.iter().enumerate() {
            blocks.push(Seen {
                id: format!("{section}/{place}"),
                whole: matches!(
                    block,
                    Block::Card(_) | Block::BeforeItMoves(_) | Block::WeighingSheet(_) | Block::Table(_)
                ),
                leads: matches!(block, Block::Heading { .. }),
                section,
            });
        }
    }
    blocks
}

fn body(document: &Document) -> Body {
    let band = if document.not_proved.is_some() { BAND } else { 0.0 };
    let end = match document.paper {
        PaperSize::A4 => 281.0,
        PaperSize::Letter => 263.0,
    };
    Body {
        top: 20.0 + band,
        end,
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

type Pictures = (PictureFiles, Vec<(String, PictureFile)>);

/// Gives each picture a plain file name and finds out whether it can be printed at all.
pub fn gather_pictures(document: &Document) -> Result<Pictures, PressError> {
    let held: BTreeMap<&str, &PictureFile> = document
        .pictures
        .iter()
        .map(|picture| (picture.key.as_str(), picture))
        .collect();
    let mut files = PictureFiles::new();
    let mut list = Vec::new();
    let mut broken = Vec::new();
    for used in keys::pictures(document) {
        if files.contains_key(&used.key) {
            continue;
        }
        match held.get(used.key.as_str()) {
            None => broken.push((used.key.clone(), "it is not there".to_owned())),
            Some(picture) => match engine::picture_size(picture) {
                Err(why) => broken.push((used.key.clone(), why)),
                Ok((width, height)) => {
                    let name = format!("pictures/{}.{}", files.len() + 1, picture.kind.extension());
                    files.insert(used.key.clone(), (name.clone(), height / width));
                    list.push((name, (*picture).clone()));
                }
            },
        }
    }
    if broken.is_empty() {
        Ok((files, list))
    } else {
        Err(PressError::Pictures(broken))
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
#[cfg(test)]
pub fn draft_data(document: &Document) -> String {
    let (files, _) = gather_pictures(document).unwrap();
    serde_json::to_string(&convert::convert(document, &files).data).unwrap()
}
