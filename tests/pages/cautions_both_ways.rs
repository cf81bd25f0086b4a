//! Cautions whose words fit one way only: what the cards of the way out and of the way back print of them, and what then stands unguarded.
//! Meaning: grammar/REFERENCE.md, section 9; there is no outside source for it.

use crate::support::compile_text;
use boltfolio::base::date::Date;
use boltfolio::binder::document::{Block, Document, SignalWord};
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::Compilation;

const DAY: Date = Date {
    year: 2026,
    month: 3,
    day: 7,
};

fn job(low: &str, high: &str, named: &str) -> Compilation {
    compile_text(&format!(
        "plan wren-job \"Wren 900\"\n  for wren\n  crew ines, tam\nvehicle wren \"Wren 900\"; body shell\nperson ines; lifts 25 kg\nperson tam; lifts 25 kg\n\
         part tank \"Tank\"; mass 9 kg quoted; afterwards goes back\n\
         joint tank-straps: tank to shell; carries; bolts 2 x M8x1.25 class 8.8; torque 20 N m\n\
         joint fuel-hose: tank to shell; hose of petrol; push-on\n\
         fluid petrol \"Petrol\"; holds 40 l; in tank; against fuel\n\
         tool can \"Can\"; holds 60 l\n\
         caution low \"Vapour runs low\"; signal danger; harm \"Burns. Death.\"; avoid \"Drain it out of doors.\"; against fuel{low}\n\
         caution high \"Vapour rises from the can\"; signal danger; harm \"Burns. Death.\"; avoid \"Fill it out of doors.\"; against fuel{high}\n\
         stage strip \"Strip\"\nstep tank-out \"Tank out\"; by ines, tam; time 20 min\n  caution {named}\n  drain petrol into can\n  undo fuel-hose\n  hold tank by tam\n  undo tank-straps\n  take off tank\n\
         stage back \"Back\" reverses strip\n"
    ))
}

/// Step number and the hazards of its messages.
fn messages(document: &Document) -> Vec<(String, Vec<String>)> {
    let blocks = document.sections.iter().flat_map(|section| &section.blocks);
    blocks
        .filter_map(|block| match block {
            Block::Card(card) => {
                let told = card
                    .messages
                    .iter()
                    .filter(|message| message.signal == SignalWord::Danger);
                Some((
                    card.number.clone(),
                    told.map(|message| message.hazard.clone()).collect(),
                ))
            }
            _ => None,
        })
        .collect()
}

fn printed(done: &Compilation) -> Vec<Vec<String>> {
    let cards = messages(&bind(done, &Wanted::printed(DAY)));
    cards.into_iter().map(|(_, told)| told).collect()
}

fn unguarded(done: &Compilation) -> usize {
    let found = done.findings.iter();
    found
        .filter(|finding| finding.rule.name == "hazard-without-caution")
        .count()
}

#[test]
fn a_caution_without_a_way_holds_both_ways() {
    let done = job("", "", "low");
    let cards = printed(&done);
    assert_eq!(cards.len(), 2);
    assert!(
        cards
            .iter()
            .all(|told| told.len() == 1 && told[0].contains("Vapour runs low")),
        "{cards:?}"
    );
    assert_eq!(unguarded(&done), 0);
}

#[test]
fn each_way_has_its_own_words() {
    let done = job("; only on the way out", "; only on the way back", "low, high");
    let cards = printed(&done);
    assert_eq!(cards.len(), 2);
    assert!(
        cards[0].len() == 1 && cards[0][0].contains("runs low"),
        "{cards:?}"
    );
    assert!(
        cards[1].len() == 1 && cards[1][0].contains("from the can"),
        "{cards:?}"
    );
    assert_eq!(unguarded(&done), 0);
}

#[test]
fn what_holds_one_way_only_leaves_the_other_unguarded() {
    let done = job("; only on the way out", "", "low");
    assert_eq!(unguarded(&done), 1, "filled again on the way back");
    let done = job("; only on the way back", "", "low");
    assert_eq!(unguarded(&done), 1, "drained on the way out");
}

#[test]
fn the_hazards_table_names_the_steps_of_its_way_alone() {
    let done = job("; only on the way out", "; only on the way back", "low, high");
    let document = bind(&done, &Wanted::printed(DAY));
    let text = boltfolio::press::markdown(&document).text;
    let row = |what: &str| {
        let line = text
            .lines()
            .find(|line| line.starts_with('|') && line.contains(what));
        line.unwrap_or_else(|| panic!("{what} in no table")).to_owned()
    };
    assert!(
        row("runs low").contains("1.1") && !row("runs low").contains("2.1"),
        "{}",
        row("runs low")
    );
    assert!(row("from the can").contains("2.1") && !row("from the can").contains("1.1"));
}

#[test]
fn a_caution_that_no_step_of_its_way_names_is_told() {
    let told = |done: &Compilation| -> usize {
        let found = done.findings.iter();
        found
            .filter(|finding| finding.rule.name == "caution-never-printed")
            .count()
    };
    assert_eq!(
        told(&job(
            "; only on the way out",
            "; only on the way back",
            "low, high"
        )),
        0
    );
    let one_way = compile_text(
        "plan p \"P\"\n  for wren\n  crew ines\nvehicle wren \"Wren 900\"; body shell\nperson ines\n\
         caution high \"It rises\"; signal danger; harm \"Death.\"; avoid \"Keep clear.\"; against fuel; only on the way back\n\
         step look-over \"Look\"; by ines\n  caution high\n  look \"Level\"\n",
    );
    assert_eq!(told(&one_way), 1);
}
