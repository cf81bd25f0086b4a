//! The money account on paper: what it comes to, and each sum under the swap that wants it. Knows the page, no reckoning.

use super::binding::Binding;
use super::document::{Block, Cell, Section, TableGroup, TableRow};
use super::money_words::{Account, Group};
use super::tables::{cell, column, figures, grouped, row, section, text, total};
use super::words::{run, semi, strong};
use crate::analysis::money::{Item, Kind, Standing, Sums};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let Some(account) = Account::of(binding) else {
        return Vec::new();
    };
    if account.account.items.is_empty() {
        return Vec::new();
    }
    let mut groups: Vec<TableGroup> = account
        .by_swap()
        .iter()
        .map(|(group, items)| of_swap(&account, group, items))
        .collect();
    let all = account.account.sums();
    groups.push(TableGroup {
        head: None,
        rows: vec![sums(&account, "All of it", &all)],
    });
    let currency = account.currency();
    let columns = vec![
        column("What", 0),
        figures(&format!("Spent, {currency}"), 30),
        figures("To spend", 30),
        figures("Sold for", 30),
    ];
    let rows = account.rows();
    let told: Vec<String> = rows.iter().map(|(what, sum)| format!("{what}: {sum}.")).collect();
    let mut blocks = vec![
        Block::Text(vec![run(told.join(" "))]),
        Block::Table(grouped("", columns, groups, 6)),
    ];
    let beside = account.beside();
    if !beside.is_empty() {
        blocks.push(Block::Text(vec![run(beside.join(" "))]));
    }
    let stages = account.by_stage();
    if stages.len() > 1 {
        let words: Vec<String> = stages
            .iter()
            .map(|group| format!("{}: {}.", group.called, account.money(group.sums.cost())))
            .collect();
        blocks.push(Block::Text(vec![
            semi("By the stage that needs it first. "),
            run(words.join(" ")),
        ]));
    }
    section("money", "Money", blocks)
}

fn of_swap(account: &Account<'_, '_>, group: &Group, items: &[&Item]) -> TableGroup {
    let mut rows: Vec<TableRow> = items.iter().map(|item| of_item(account, item)).collect();
    if rows.len() > 1 {
        rows.push(sums(account, "Sum", &group.sums));
    }
    TableGroup {
        head: Some(group.called.clone()),
        rows,
    }
}

fn of_item(account: &Account<'_, '_>, item: &Item) -> TableRow {
    let standing = account.standing(item);
    let called = account.called(item);
    let what = match standing.as_str() {
        "" => called,
        standing => format!("{called}: {standing}"),
    };
    let figure = item.cents.map_or(Cell::Empty, |cents| text(account.figure(cents)));
    let mut cells = vec![text(what), Cell::Empty, Cell::Empty, Cell::Empty];
    let place = match (item.kind, item.standing) {
        (Kind::Sale, _) => 3,
        (_, Standing::Done(_)) => 1,
        (_, Standing::ToCome | Standing::Perhaps) => 2,
    };
    if let Some(slot) = cells.get_mut(place) {
        *slot = figure;
    }
    row(cells)
}

fn sums(account: &Account<'_, '_>, called: &str, sums: &Sums) -> TableRow {
    let figure = |cents: i64| match cents {
        0 => Cell::Empty,
        cents => cell(vec![strong(account.figure(cents))]),
    };
    total(vec![
        cell(vec![semi(called)]),
        figure(sums.spent),
        figure(sums.to_spend),
        figure(sums.came_in.saturating_add(sums.to_come_in)),
    ])
}
