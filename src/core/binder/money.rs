//! The money account on paper: what it comes to, and a row for each swap with the sums that it is made of. Knows the page, no reckoning.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Section, TableRow};
use super::money_words::{Account, Group};
use super::tables::{cell, column, figures, row, section, table, total};
use super::words::{run, semi, strong};
use crate::analysis::money::{Item, Sums};
use crate::base::digits;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let Some(account) = Account::of(binding) else {
        return Vec::new();
    };
    if account.account.items.is_empty() {
        return Vec::new();
    }
    let groups = account.by_swap();
    let mut rows: Vec<TableRow> = groups
        .iter()
        .map(|(group, items)| of_swap(&account, group, items))
        .collect();
    if rows.len() > 1 {
        let all = account.account.sums();
        let mut cells = vec![cell(vec![semi("All of it")])];
        cells.extend(sums(&all));
        rows.push(total(cells));
    }
    let currency = account.currency();
    let columns = vec![
        column("What for", 0),
        figures(&format!("Spent, {currency}"), 22),
        figures("To spend", 22),
        figures("Sold for", 22),
    ];
    let mut told: Vec<String> = account
        .rows()
        .iter()
        .map(|(what, sum)| format!("{what}: {sum}."))
        .collect();
    told.extend(account.beside());
    let mut blocks = vec![
        Block::Text(vec![run(told.join(" "))]),
        Block::Table(table("", columns, rows, 6)),
    ];
    let stages: Vec<Group> = account
        .by_stage()
        .into_iter()
        .filter(|group| group.sums.cost() > 0)
        .collect();
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

fn of_swap(account: &Account<'_, '_>, group: &Group, items: &[&Item]) -> TableRow {
    let each: Vec<String> = items.iter().map(|item| of_item(account, item)).collect();
    let mut cells = vec![Cell::Lines(vec![
        vec![strong(group.called.clone())],
        vec![run(each.join("; "))] as Line,
    ])];
    cells.extend(sums(&group.sums));
    row(cells)
}

/// "Bucket seat with frame 249", "Rear silencer 295, bought 2026-04-18".
fn of_item(account: &Account<'_, '_>, item: &Item) -> String {
    let sum = item
        .cents
        .map_or_else(String::new, |cents| format!(" {}", digits::sum(cents)));
    let standing = match account.standing(item) {
        standing if standing.is_empty() => String::new(),
        standing => format!(", {standing}"),
    };
    format!("{}{sum}{standing}", account.called(item))
}

fn sums(sums: &Sums) -> [Cell; 3] {
    let figure = |cents: i64| match cents {
        0 => Cell::Empty,
        cents => cell(vec![strong(digits::sum(cents))]),
    };
    [
        figure(sums.spent),
        figure(sums.to_spend),
        figure(sums.came_in.saturating_add(sums.to_come_in)),
    ]
}
