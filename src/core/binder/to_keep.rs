//! The page to keep: what the work came to, beside what it was meant to come to. Knows sums and readings, and no step.

use super::binding::Binding;
use super::document::{Block, Cell, Section, TableRow};
use super::figures::{decimal, long_range};
use super::tables::{cell, column, row, section, table, text};
use super::words::{counted, strong};
use super::{job_on_one_page, mass_account, masses};
use crate::base::quantity::Mass;
use crate::plan::model::{Corners, Reading};

/// Height of a row with room for a figure by hand, in mm.
const ROW: u8 = 9;

/// None for a job of an afternoon: its figures stand on the card.
#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() || binding.is_small() {
        return Vec::new();
    }
    let mut blocks = Vec::new();
    let corners = corners(binding);
    if !corners.is_empty() {
        let unit = masses::unit(binding);
        let columns = vec![
            column(&format!("On the scales, {unit}"), 0),
            column("Before", 45),
            column("After", 45),
        ];
        blocks.push(Block::Table(table("", columns, corners, ROW)));
    }
    let columns = vec![column("", 0), column("Planned", 65), column("In truth", 65)];
    blocks.push(Block::Table(table("", columns, totals(binding), ROW)));
    blocks.push(Block::Signatures(vec!["Done, tried and handed over.".to_owned()]));
    // It is taken out of the binder, and nothing of the job goes with it.
    let mut own = section("to-keep", "The page to keep", blocks);
    for section in &mut own {
        section.alone = true;
    }
    own
}

/// The four corners of the first weighing and of the last, the sum, and how they lie.
fn corners(binding: &Binding<'_>) -> Vec<TableRow> {
    let mut all = binding
        .plan
        .weigh_ins
        .values()
        .filter_map(|weigh_in| weigh_in.corners.map(|said| said.value));
    let Some(first) = all.next() else {
        return Vec::new();
    };
    let last = all.next_back();
    let (front, rear) = if binding.is_machine() {
        ("Front end", "Rear end")
    } else {
        ("Front", "Rear")
    };
    let reading = |reading: Reading<Mass>| match reading {
        Reading::Is(mass) => cell(vec![strong(binding.one(mass))]),
        Reading::ToCome => Cell::Write,
    };
    let mut rows: Vec<TableRow> = Vec::new();
    let names = [
        format!("{front} left"),
        format!("{front} right"),
        format!("{rear} left"),
        format!("{rear} right"),
    ];
    let after = last.map(|last| last.all());
    for (at, (name, before)) in names.into_iter().zip(first.all()).enumerate() {
        let after = after.and_then(|after| after.get(at).copied());
        rows.push(row(vec![
            text(name),
            reading(before),
            after.map_or(Cell::Write, reading),
        ]));
    }
    let shown = |corners: Option<Corners>, of: fn([f64; 4]) -> String| match corners.and_then(known) {
        Some(all) => cell(vec![strong(of(all))]),
        None => Cell::Write,
    };
    type Share = fn([f64; 4]) -> String;
    let shares: [(&str, Share); 3] = [
        ("Front", |[fl, fr, rl, rr]| share(fl + fr, fl + fr + rl + rr)),
        ("Left", |[fl, fr, rl, rr]| share(fl + rl, fl + fr + rl + rr)),
        ("Cross, front right and rear left", |[fl, fr, rl, rr]| {
            share(fr + rl, fl + fr + rl + rr)
        }),
    ];
    for (name, of) in shares {
        rows.push(row(vec![text(name), shown(Some(first), of), shown(last, of)]));
    }
    rows
}

fn known(corners: Corners) -> Option<[f64; 4]> {
    let all = corners.all().map(Reading::known);
    let [Some(a), Some(b), Some(c), Some(d)] = all else {
        return None;
    };
    let all = [a, b, c, d].map(|mass| mass.base());
    (all.iter().sum::<f64>() > 0.0).then_some(all)
}

fn share(part: f64, whole: f64) -> String {
    format!("{} %", decimal(part / whole * 100.0, 1))
}

/// Weight, hours, and what is left on the bench.
fn totals(binding: &Binding<'_>) -> Vec<TableRow> {
    let mut rows = Vec::new();
    let mut add = |name: String, planned: Option<String>| {
        let planned = planned.map_or(Cell::Empty, |planned| cell(vec![strong(planned)]));
        rows.push(row(vec![text(name), planned, Cell::Write]));
    };
    let account = mass_account::account(binding);
    if let Some(aim) = account.aim(binding.plan) {
        let judged = mass_account::judged(binding, &aim);
        add(
            "Saved in all".to_owned(),
            Some(masses::with_give(binding, judged)),
        );
    }
    for swap in &account.swaps {
        if let Some(saved) = mass_account::saved_of(binding, swap) {
            let called = &binding.plan.swaps[swap.id].head.called();
            add(
                super::words::capital(called),
                Some(masses::with_give(binding, saved)),
            );
        }
    }
    if let Some(hours) = job_on_one_page::hours(binding, &binding.plan.order) {
        let planned = if hours.best < hours.worst {
            long_range(hours.best, hours.worst)
        } else {
            hours.text()
        };
        add("Hours".to_owned(), Some(planned));
    }
    let money = super::money_words::Account::of(binding);
    add(
        "Money".to_owned(),
        money.map(|account| {
            let net = account.money(account.account.sums().net());
            format!("{net} planned, old parts sold")
        }),
    );
    let leaving = binding
        .bags
        .all()
        .filter(|(joint, _)| {
            let joint = &binding.plan.joints[*joint];
            joint.gone.is_some() || joint.renew.is_some()
        })
        .count();
    add("Bags left over".to_owned(), Some(counted(leaving, "bag", "bags")));
    add("Bolts left over, and from where".to_owned(), Some("0".to_owned()));
    rows
}
