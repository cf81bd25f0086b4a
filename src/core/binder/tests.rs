//! The binder as a whole, from a small plan: what must be on paper is there, once, and in the right place.

use std::collections::BTreeSet;

use super::document::{Block, Card, CardRow, Cell, Document, MarkShape, Marks, Section, Table, text_of};
use super::{Wanted, bind, sample};
use crate::base::date::Date;
use crate::base::finding::{Finding, Rule, Severity};
use crate::compile::Compilation;
use crate::plan::model::{Paper, Sides};

fn compilation() -> Compilation {
    let plan = sample::plan();
    Compilation {
        walk: crate::walk::walk(&plan, &crate::weights::Table::of(&plan)),
        plan,
        ..Compilation::default()
    }
}

fn printed() -> Document {
    bind(&compilation(), &Wanted::printed(sample::today()))
}

/// The same job with so many more steps that it is none of an evening.
fn printed_long() -> Document {
    let mut plan = sample::plan();
    let stage = plan.stages.ids().next().expect("a stage");
    for nth in 0..9 {
        let step = plan
            .steps
            .push(sample::step(&format!("look-{nth}"), "Look", stage, Vec::new()));
        plan.order.push(step);
    }
    let compilation = Compilation {
        walk: crate::walk::walk(&plan, &crate::weights::Table::of(&plan)),
        plan,
        ..Compilation::default()
    };
    bind(&compilation, &Wanted::printed(sample::today()))
}

fn section<'d>(document: &'d Document, key: &str) -> &'d Section {
    document
        .sections
        .iter()
        .find(|section| section.key == key)
        .unwrap_or_else(|| panic!("no section {key}"))
}

fn card<'d>(document: &'d Document, number: &str) -> &'d Card {
    document
        .sections
        .iter()
        .flat_map(|section| &section.blocks)
        .find_map(|block| match block {
            Block::Card(card) if card.number == number => Some(card),
            _ => None,
        })
        .unwrap_or_else(|| panic!("no card {number}"))
}

/// Every proof key of a document, in order.
fn proofs(document: &Document) -> Vec<String> {
    let mut all = Vec::new();
    for block in document.sections.iter().flat_map(|section| &section.blocks) {
        of_block(block, &mut all);
    }
    all
}

fn of_block(block: &Block, into: &mut Vec<String>) {
    match block {
        Block::Card(card) => of_card(card, into),
        Block::Message(message) => into.push(message.proof.clone()),
        Block::Table(table) => of_table(table, into),
        Block::BeforeItMoves(sheet) => {
            into.push(sheet.proof.clone());
            into.extend(
                sheet
                    .groups
                    .iter()
                    .flat_map(|(_, rows)| rows)
                    .map(|row| row.proof.clone()),
            );
        }
        Block::WeighingSheet(sheet) => {
            into.push(sheet.proof.clone());
            into.extend(sheet.rows.iter().map(|row| row.proof.clone()));
        }
        Block::Halves(left, right) => left.iter().chain(right).for_each(|inner| of_block(inner, into)),
        Block::Picture(picture) => into.push(picture.proof.clone()),
        Block::Dense(list) => into.extend(list.items.iter().map(|item| item.proof.clone())),
        Block::Stages(list) => {
            into.push(list.drawing.proof.clone());
            into.extend(list.rows.iter().map(|row| row.proof.clone()));
        }
        Block::Cover(cover) => into.extend(cover.picture.iter().map(|picture| picture.proof.clone())),
        _ => {}
    }
}

fn of_table(table: &Table, into: &mut Vec<String>) {
    for row in table.groups.iter().flat_map(|group| &group.rows) {
        into.extend(row.proof.clone());
        for cell in &row.cells {
            if let Cell::Marks(marks) = cell {
                of_marks(marks, into);
            }
        }
    }
}

fn of_marks(marks: &Marks, into: &mut Vec<String>) {
    let all = marks.groups.iter().flat_map(|group| group.rows.iter().flatten());
    into.extend(all.map(|mark| mark.proof.clone()));
}

fn of_card(card: &Card, into: &mut Vec<String>) {
    into.push(card.proof.clone());
    into.extend(card.messages.iter().map(|message| message.proof.clone()));
    into.extend(card.second_check.iter().map(|check| check.proof.clone()));
    for row in &card.rows {
        match row {
            CardRow::Act(act) => {
                into.extend([act.act_proof.clone(), act.tick_proof.clone()]);
                into.extend(act.also.iter().cloned());
                act.marks.iter().for_each(|marks| of_marks(marks, into));
            }
            CardRow::Message(message) => into.push(message.proof.clone()),
            CardRow::Picture(picture) => into.push(picture.proof.clone()),
            CardRow::Prose(_) => {}
        }
    }
}

static FAULT: Rule = Rule {
    name: "would-fall",
    severity: Severity::Fault,
    summary: "",
    page: "",
    acceptable: true,
};

#[test]
fn no_key_stands_for_two_things() {
    let document = printed();
    assert!(proofs(&document).len() > 40);
    assert_no_key_twice(&document);
    // Names that the binder's own keys might be taken for.
    let mut compilation = compilation();
    let names = ["whole-job", "read-first", "no-step"];
    let ids: Vec<_> = compilation.plan.steps.ids().collect();
    for (id, name) in ids.into_iter().zip(names) {
        compilation.plan.steps[id].head.name = name.into();
    }
    assert_no_key_twice(&bind(&compilation, &Wanted::printed(sample::today())));
}

pub(super) fn assert_no_key_twice(document: &Document) {
    let mut seen = BTreeSet::new();
    for proof in proofs(document) {
        assert!(!seen.contains(&proof), "{proof} stands twice");
        seen.insert(proof);
    }
    let mut keys = BTreeSet::new();
    for section in &document.sections {
        assert!(keys.insert(&section.key), "{} stands twice", section.key);
    }
}

#[test]
fn every_act_and_fixing_has_its_mark() {
    let document = printed();
    let all: BTreeSet<String> = proofs(&document).into_iter().collect();
    // Two joints of two and four fixings, started and tightened.
    for key in [
        "act/up/1",
        "tick/up/5",
        "fixing/up/2/4",
        "fixing/up/3/2",
        "fixing/up/4/4",
        "fixing/up/5/2",
    ] {
        assert!(all.contains(key), "{key} is not on paper");
    }
    assert!(!all.contains("fixing/up/5/3"));
    // An earth strap and a plug are one thing each: their tick is enough.
    assert!(!all.contains("fixing/free/4/1") && !all.contains("fixing/free/5/1"));
}

#[test]
fn parts_stand_in_their_order_and_empty_ones_are_left_out() {
    let keys = |document: Document| -> Vec<String> {
        let sections = document.sections.into_iter();
        sections.map(|section| section.key).collect()
    };
    let short = keys(printed());
    assert_eq!(
        short,
        [
            "cover",
            "read-first",
            "get-ready",
            "stage/strip",
            "stage/back",
            "first-run"
        ]
    );
    // What an evening's job comes to stands on its cover.
    let mut long = keys(printed_long());
    long.retain(|key| !key.starts_with("stage/"));
    long.truncate(5);
    assert_eq!(
        long,
        ["cover", "read-first", "one-page", "get-ready", "first-run"]
    );
    let empty = bind(&Compilation::default(), &Wanted::printed(sample::today()));
    let keys: Vec<&str> = empty
        .sections
        .iter()
        .map(|section| section.key.as_str())
        .collect();
    assert_eq!(keys, ["cover"]);
}

#[test]
fn loosening_and_tightening_are_told_apart() {
    let document = printed();
    let rows = |number| -> Vec<_> {
        card(&document, number)
            .rows
            .iter()
            .filter_map(|row| match row {
                CardRow::Act(act) => Some(act.clone()),
                _ => None,
            })
            .collect()
    };
    let free = rows("1.1");
    let verbs: Vec<&str> = free.iter().map(|row| row.verb.as_str()).collect();
    assert_eq!(
        verbs,
        ["Measure", "Mark", "Slacken, leave in", "Undo", "Undo", "Undo"]
    );
    let letters: String = free.iter().map(|row| row.letter.as_str()).collect();
    assert_eq!(letters, "abcdef");
    let pads = free.last().expect("the last act");
    assert_eq!(
        pads.take_out.as_deref(),
        Some("All the way out. The pinch bolt sits in a groove.")
    );
    assert_eq!(pads.torque, None, "nothing is tightened here");
    let up = rows("2.1");
    let shapes: Vec<_> = up
        .iter()
        .map(|row| row.marks.first().map(|marks| marks.shape))
        .collect();
    assert_eq!(
        shapes,
        [
            None,
            Some(MarkShape::Ring),
            Some(MarkShape::Ring),
            Some(MarkShape::Hexagon),
            Some(MarkShape::Hexagon)
        ]
    );
    let applied: Vec<_> = up.iter().filter_map(|row| row.torque.as_ref()).collect();
    assert_eq!(applied.len(), 2);
    // New bolts are told where they go in; the mark is recalled there.
    let facts = |nth: usize| -> String {
        let row = up.get(nth).expect("a row");
        row.facts
            .iter()
            .map(|line| text_of(line))
            .collect::<Vec<_>>()
            .join("\n")
    };
    assert!(facts(1).starts_with("4 bolts M10 × 1.25 · new"), "{}", facts(1));
    assert!(facts(2).contains("to the mark made in 1.1"), "{}", facts(2));
}

#[test]
fn messages_stand_above_what_they_guard() {
    let document = printed();
    let drop = card(&document, "1.2");
    let [of_stage] = drop.messages.as_slice() else {
        panic!("the stage's message alone: {:?}", drop.messages)
    };
    assert!(of_stage.again, "it is told again in a line");
    assert_eq!(of_stage.avoid, ["Stand clear."]);
    let strip = section(&document, "stage/strip");
    let first = strip
        .blocks
        .iter()
        .position(|block| matches!(block, Block::Message(_)));
    let card_at = strip
        .blocks
        .iter()
        .position(|block| matches!(block, Block::Card(_)));
    assert!(
        first.is_some() && first < card_at,
        "and stands in full above the stage's first card"
    );
    let at = drop
        .rows
        .iter()
        .position(|row| matches!(row, CardRow::Message(_)));
    let at = at.expect("the step's own message");
    assert_eq!(at, 1, "behind the hold");
    match drop.rows.get(at + 1) {
        Some(CardRow::Act(act)) => assert_eq!(act.verb, "Undo"),
        other => panic!("{other:?} stands below the message"),
    }
    assert!(card(&document, "2.1").messages.is_empty());
}

#[test]
fn the_round_stands_before_the_step_that_moves() {
    let document = printed();
    let strip = section(&document, "stage/strip");
    let at = strip
        .blocks
        .iter()
        .position(|block| matches!(block, Block::BeforeItMoves(_)));
    let at = at.expect("a sheet");
    let Some(Block::BeforeItMoves(sheet)) = strip.blocks.get(at) else {
        panic!("a sheet")
    };
    assert!(matches!(strip.blocks.get(at + 1), Some(Block::Card(card)) if card.number == "1.2"));
    assert_eq!(sheet.title, "Checklist: steel axle down, 1.2");
    let states: Vec<(String, &str)> = sheet
        .groups
        .iter()
        .flat_map(|(_, rows)| rows)
        .map(|row| (text_of(&row.joint), row.state.as_str()))
        .collect();
    assert_eq!(states.len(), 4, "{states:?}");
    // The hidden one comes first.
    assert!(
        states
            .first()
            .is_some_and(|(joint, _)| joint.starts_with("Pivot bolts"))
    );
    assert!(
        states
            .iter()
            .any(|(joint, state)| joint.starts_with("Pads") && *state == "out")
    );
    assert!(sheet.claim.contains("4 joints") && sheet.blank_rows > 0);
    let sheets = document.sections.iter().flat_map(|section| &section.blocks);
    assert_eq!(
        sheets
            .filter(|block| matches!(block, Block::BeforeItMoves(_)))
            .count(),
        1
    );
}

#[test]
fn faults_put_a_band_on_every_page_and_their_own_page_second() {
    let mut compilation = compilation();
    compilation
        .findings
        .push(Finding::new(&FAULT, "the axle would fall"));
    let document = bind(&compilation, &Wanted::printed(sample::today()));
    assert_eq!(
        document.not_proved.as_deref(),
        Some("NOT PROVED: 1 fault, page 2")
    );
    assert_eq!(
        document.sections.get(1).map(|section| section.key.as_str()),
        Some("findings")
    );
    assert_eq!(printed().not_proved, None);
}

#[test]
fn date_paper_and_sides() {
    let mut compilation = compilation();
    assert_eq!(printed().date, "printed 2026-11-25");
    let about = compilation.plan.about.as_mut().expect("a plan block");
    about.dated = Some(sample::said(Date::read("2026-03-07").expect("a day")));
    about.paper = Some(sample::said(Paper::Letter));
    let wanted = Wanted {
        sides: Some(Sides::Two),
        ..Wanted::printed(sample::today())
    };
    let document = bind(&compilation, &wanted);
    assert_eq!(document.date, "dated 2026-03-07");
    assert!(document.two_sided);
    assert_eq!(document.paper, super::document::PaperSize::Letter);
    let wanted = Wanted {
        paper: Some(Paper::A4),
        ..wanted
    };
    assert_eq!(bind(&compilation, &wanted).paper, super::document::PaperSize::A4);
}

#[test]
fn never_says_that_refitting_is_the_reverse() {
    let all = format!("{:?}", printed()).to_lowercase();
    assert!(!all.contains("reverse of"), "each step is written out");
}

#[test]
fn the_parts_are_registered_once() {
    let names: BTreeSet<&str> = super::parts::PARTS.iter().map(|part| part.name).collect();
    assert_eq!(names.len(), super::parts::PARTS.len());
}

/// The hashes by which a later print sees what changed. Where this fails although no page reads otherwise, the blocks took another form: raise
/// `FORM` in `kept.rs`, so that no owner is told to change every page, and write the new hash here.
#[test]
fn the_form_of_what_is_hashed_is_known() {
    let document = printed_long();
    let text = document.kept.write();
    let hashes: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("now "))
        .collect();
    assert!(hashes.len() > 8, "{hashes:?}");
    let all = crate::compile::short_hash(hashes.join("\n").as_bytes());
    assert_eq!(all, "f79a0ade");
}
