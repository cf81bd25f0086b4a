//! The binder as one page for a telephone: a file that needs no network, no server and no program but a browser. The same document in the
//! same order as on paper; a card a screen, and what is ticked, read and found is kept in the browser and given back as a log in the plan's
//! own language. Without script it reads as a binder. Must not know the page engine.

mod blocks;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde::Serialize;

use crate::base::letters::{all_held, is_unseen, turns_direction};
use crate::binder::document::{Block, Document, Section};
use crate::binder::given_back::{GivenBack, Named};
use blocks::Shown;

const STYLE: &str = include_str!("shop/page.css");
const SCRIPT: &str = include_str!("shop/page.js");
/// Base64 of the SHA-256 of the two: the only style and script that a browser lets run in the page.
const STYLE_HASH: &str = "jTm6fPgpX6rkCnwVRQP8JBOylRY8+sJ0Ly5hkVccJgY=";
const SCRIPT_HASH: &str = "EBMlzgir6vvnwdlK8bOvJ5JUbFur5lkjy1tvRpNxAec=";

/// What the script reads of the plan.
#[derive(Serialize)]
struct Facts<'a> {
    plan: &'a str,
    revision: &'a str,
    /// Rows of characters that paper shows.
    letters: Vec<(u32, u32)>,
    people: Vec<[&'a str; 2]>,
    steps: Vec<StepFacts<'a>>,
}

#[derive(Serialize)]
struct StepFacts<'a> {
    card: &'a str,
    name: &'a str,
    acts: &'a str,
    logged: bool,
    by: &'a [String],
    rows: Vec<RowFacts<'a>>,
    joints: Vec<[&'a str; 2]>,
    parts: Vec<[&'a str; 2]>,
}

#[derive(Serialize)]
struct RowFacts<'a> {
    letter: &'a str,
    words: Option<&'a str>,
}

/// The page as a file. The same document gives the same bytes.
#[must_use]
pub fn page(document: &Document, given: &GivenBack) -> Vec<u8> {
    let shown = Shown::new(document, given);
    let screens = screens(document);
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{SCRIPT_HASH}'; style-src 'sha256-{STYLE_HASH}'; img-src data:; base-uri 'none'; form-action 'none'"
    );
    let markup = html! {
        (DOCTYPE)
        html lang=(document.language) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (document.title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header.top {
                    h1 { (document.title) }
                    p { (document.short) @if !document.short.is_empty() { " · " } (document.revision) " · " (document.date) }
                    @if let Some(words) = &document.not_proved { p.not-proved { (words) } }
                    noscript { p.band { "Script is switched off in this browser: the page reads as a binder, and nothing that is ticked is kept." } }
                    p.band #told role="status" hidden {}
                }
                main #work { @for screen in &screens { (shown.screen(screen)) } }
                nav.thumb aria-label="Cards" hidden {
                    button #back type="button" { "Back" }
                    button #find type="button" { "Find" }
                    button #give type="button" { "Give back" }
                    button #next type="button" { "Next" }
                }
                (dialogs())
                script type="application/json" #facts { (PreEscaped(island(document, given))) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    // Nothing unseen, and nothing that turns the reading direction, gets out of a plan's text.
    let seen =
        |sign: &char| *sign == '\n' || !(sign.is_control() || is_unseen(*sign) || turns_direction(*sign));
    markup
        .into_string()
        .chars()
        .filter(seen)
        .collect::<String>()
        .into_bytes()
}

/// What is on the glass at once: a section, or of a section of cards one card with what belongs to it.
pub(super) struct Screen<'a> {
    section: &'a Section,
    /// It begins its section.
    first: bool,
    blocks: Vec<&'a Block>,
}

fn screens(document: &Document) -> Vec<Screen<'_>> {
    let mut screens = Vec::new();
    for section in &document.sections {
        let mut blocks: Vec<&Block> = Vec::new();
        let mut first = true;
        let mut had_card = false;
        for block in &section.blocks {
            // What is looked over before a card belongs to it; what is filled in after it, too.
            let opens = matches!(
                block,
                Block::Card(_) | Block::BeforeItMoves(_) | Block::Message(_)
            );
            if had_card && opens {
                screens.push(Screen {
                    section,
                    first,
                    blocks: std::mem::take(&mut blocks),
                });
                first = false;
                had_card = false;
            }
            had_card |= matches!(block, Block::Card(_));
            blocks.push(block);
        }
        if !blocks.is_empty() {
            screens.push(Screen {
                section,
                first,
                blocks,
            });
        }
    }
    screens
}

fn dialogs() -> Markup {
    html! {
        dialog #finder aria-labelledby="finder-title" {
            h2 #finder-title { "Find a card" }
            label for="sought" { "Number, bag or thing" }
            input #sought type="search" autocomplete="off";
            ol #found-list {}
            button type="button" data-close="" { "Close" }
        }
        dialog #asked aria-labelledby="asked-title" {
            h2 #asked-title {}
            label for="why" { "Why" }
            input #why type="text" autocomplete="off";
            div.two { button #no type="button" { "No, leave it" } button #yes type="button" { "Yes" } }
        }
        dialog #given aria-labelledby="given-title" {
            h2 #given-title { "Give back" }
            p { "Take this text to the desk, as a file or pasted: " code { "boltfolio enter FOLDER --from FILE" } ". Giving it back twice changes nothing." }
            label for="given-text" { "What was done" }
            textarea #given-text readonly rows="12" {}
            div.two {
                button #copy type="button" { "Copy" }
                button #save type="button" { "Save as a file" }
                button #share type="button" hidden { "Share" }
                button type="button" data-close="" { "Close" }
            }
            p #given-told role="status" {}
        }
    }
}

/// The facts as JSON that can stand in a page: nothing in them ends the element or begins another.
fn island(document: &Document, given: &GivenBack) -> String {
    let facts = Facts {
        plan: &given.plan,
        revision: &document.revision,
        letters: all_held(),
        people: named(&given.people),
        steps: given
            .steps
            .iter()
            .map(|step| StepFacts {
                card: &step.card,
                name: &step.name,
                acts: &step.acts,
                logged: step.done.is_some(),
                by: &step.by,
                rows: step
                    .rows
                    .iter()
                    .map(|row| RowFacts {
                        letter: &row.letter,
                        words: row.words.as_deref(),
                    })
                    .collect(),
                joints: named(&step.joints),
                parts: named(&step.parts),
            })
            .collect(),
    };
    // These are strings and lists: there is nothing that JSON cannot hold.
    let text = serde_json::to_string(&facts).unwrap_or_default();
    let mut safe = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                safe.push_str(&format!("\\u{:04x}", u32::from(sign)));
            }
            _ => safe.push(sign),
        }
    }
    safe
}

fn named(list: &[Named]) -> Vec<[&str; 2]> {
    list.iter()
        .map(|named| [named.name.as_str(), named.called.as_str()])
        .collect()
}
