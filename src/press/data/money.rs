//! Mirrors of the money account, and of what there is to choose between. Asks `analysis/` and the binder's choices, and adds up nothing of its
//! own. All sums are in hundredths of the account's currency.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use serde::Serialize;

use super::context::{Context, Reckoned, Ref, fine, reckoned, refer};
use super::csv::{Cell, table};
use crate::analysis::money::{For, Item, Kind, Standing, Sums};
use crate::binder::choices::{Advice, Purse, Shown, advice};
use crate::plan::model::{Id, Plan, Swap};

#[derive(Serialize)]
struct SumsOf {
    spent_cents: i64,
    to_spend_cents: i64,
    came_in_cents: i64,
    to_come_in_cents: i64,
    /// What may come on top.
    perhaps_cents: i64,
    unknown_prices: usize,
}

fn sums(sums: &Sums) -> SumsOf {
    SumsOf {
        spent_cents: sums.spent,
        to_spend_cents: sums.to_spend,
        came_in_cents: sums.came_in,
        to_come_in_cents: sums.to_come_in,
        perhaps_cents: sums.perhaps,
        unknown_prices: sums.unknown,
    }
}

#[derive(Serialize)]
struct ItemOf<'a> {
    #[serde(flatten)]
    what: Ref<'a>,
    how: &'static str,
    standing: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    on: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cents: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    planned_cents: Option<i64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    days: Option<u32>,
    /// None where it is wanted in any case.
    swaps: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct MoneyOf<'a> {
    currency: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    budget_cents: Option<i64>,
    /// Of the budget, when all is paid; what is still to come in is not in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    left_cents: Option<i64>,
    sums: SumsOf,
    items: Vec<ItemOf<'a>>,
}

fn swap_names<'a>(plan: &'a Plan, swaps: &BTreeSet<Id<Swap>>) -> Vec<&'a str> {
    swaps.iter().map(|&id| &*plan.swaps[id].head.name).collect()
}

fn what(plan: &Plan, what: For) -> Ref<'_> {
    let kind = match what {
        For::Part(_) => "part",
        For::Joint(_) => "hardware",
        For::Consumable(_) => "consumable",
        For::Tool(_) => "tool",
        For::Rig(_) => "rig",
    };
    refer(kind, what.head(plan))
}

fn how(kind: Kind) -> &'static str {
    match kind {
        Kind::Buy => "buy",
        Kind::Hire(_) => "hire",
        Kind::Make => "to make",
        Kind::Borrow => "borrow",
        Kind::Sale => "sell",
    }
}

fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Done(_) => "done",
        Standing::ToCome => "to come",
        Standing::Perhaps => "perhaps",
    }
}

fn day(standing: Standing) -> Option<String> {
    match standing {
        Standing::Done(day) => Some(day.to_string()),
        Standing::ToCome | Standing::Perhaps => None,
    }
}

fn item<'a>(plan: &'a Plan, item: &Item) -> ItemOf<'a> {
    ItemOf {
        what: what(plan, item.what),
        how: how(item.kind),
        standing: standing(item.standing),
        on: day(item.standing),
        cents: item.cents,
        planned_cents: item.planned,
        days: match item.kind {
            Kind::Hire(days) => days,
            Kind::Buy | Kind::Make | Kind::Borrow | Kind::Sale => None,
        },
        swaps: swap_names(plan, &item.swaps),
        stage: item.stage.map(|id| &*plan.stages[id].head.name),
    }
}

/// None where the plan says no sum.
pub(super) fn money<'a>(context: &Context<'a>) -> Option<MoneyOf<'a>> {
    let account = context.compilation.money();
    Some(MoneyOf {
        currency: String::from_utf8_lossy(&account.currency?).into_owned(),
        budget_cents: account.budget,
        left_cents: account.left(),
        sums: sums(&account.sums()),
        items: account.items.iter().map(|one| item(context.plan, one)).collect(),
    })
}

/// A row for each sum of the account, then what all of it comes to.
pub(super) fn account(context: &Context<'_>) -> Option<Vec<u8>> {
    const HEADS: &[&str] = &[
        "row",
        "kind",
        "name",
        "title",
        "how",
        "standing",
        "date",
        "spent",
        "to_spend",
        "came_in",
        "to_come_in",
        "currency",
        "swaps",
        "stage",
    ];
    let all = context.compilation.money();
    let currency = String::from_utf8_lossy(&all.currency?).into_owned();
    let plan = context.plan;
    let amount = |cents: i64| {
        Cell::text(format!(
            "{}{}.{:02}",
            if cents < 0 { "-" } else { "" },
            cents.unsigned_abs() / 100,
            cents.unsigned_abs() % 100
        ))
    };
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for item in &all.items {
        let own = Sums::of(std::iter::once(item));
        let head = item.what.head(plan);
        let figure = |cents: i64| match item.cents {
            Some(_) if cents != 0 => amount(cents),
            _ => Cell::Empty,
        };
        rows.push(vec![
            Cell::text("item"),
            Cell::text(what(plan, item.what).kind),
            Cell::text(&*head.name),
            Cell::text(head.called()),
            Cell::text(how(item.kind)),
            Cell::text(standing(item.standing)),
            Cell::maybe(day(item.standing)),
            figure(own.spent),
            figure(own.to_spend.saturating_add(own.perhaps)),
            figure(own.came_in),
            figure(own.to_come_in),
            Cell::text(&currency),
            Cell::text(swap_names(plan, &item.swaps).join(" ")),
            Cell::maybe(item.stage.map(|id| plan.stages[id].head.name.to_string())),
        ]);
    }
    let sums = all.sums();
    let mut sum = vec![Cell::text("sum")];
    sum.extend(std::iter::repeat_n(Cell::Empty, 6));
    sum.extend([sums.spent, sums.to_spend, sums.came_in, sums.to_come_in].map(amount));
    sum.extend([Cell::text(&currency), Cell::Empty, Cell::Empty]);
    rows.push(sum);
    Some(table(HEADS, &rows))
}

#[derive(Serialize)]
struct SetOf<'a> {
    swaps: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<Reckoned>,
    /// That the target is met, from 0 to 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    chance: Option<f64>,
    to_spend_cents: i64,
    to_come_in_cents: i64,
    minutes: i64,
    #[serde(skip_serializing_if = "Option::is_none")]
    over_class_minimum_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    front_axle_share: Option<f64>,
}

#[derive(Serialize)]
struct SwapWorthOf<'a> {
    swap: &'a str,
    /// It may be chosen or left out.
    free: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<Reckoned>,
    to_spend_cents: i64,
    minutes: i64,
    unknown_prices: usize,
}

#[derive(Serialize)]
pub(super) struct WorthOf<'a> {
    swaps: Vec<SwapWorthOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least_for_target: Option<SetOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least_for_target_nine_in_ten: Option<SetOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    most: Option<SetOf<'a>>,
    frontier: Vec<SetOf<'a>>,
}

fn set<'a>(plan: &'a Plan, shown: &Shown) -> SetOf<'a> {
    let facts = &shown.facts;
    SetOf {
        swaps: shown.swaps.iter().map(|&id| &*plan.swaps[id].head.name).collect(),
        saved: facts.saved.as_ref().and_then(reckoned),
        chance: facts.chance.and_then(fine),
        to_spend_cents: facts.cents,
        to_come_in_cents: facts.to_come_in,
        minutes: facts.minutes,
        over_class_minimum_kg: facts.over_minimum.and_then(fine),
        front_axle_share: facts.front.and_then(|(share, _)| fine(share)),
    }
}

/// None where the plan has nothing to choose.
pub(super) fn worth<'a>(context: &Context<'a>) -> Option<WorthOf<'a>> {
    if context.compilation.unwalked {
        return None;
    }
    let found: Advice = advice(context.compilation, Purse::default())?.ok()?;
    let plan = context.plan;
    let of = |answer: &crate::binder::choices::Answer| answer.shown.as_ref().map(|shown| set(plan, shown));
    let [likely, sure] = found
        .target
        .as_ref()
        .map_or([None, None], |[likely, sure]| [of(likely), of(sure)]);
    Some(WorthOf {
        swaps: found
            .choices
            .rows
            .iter()
            .map(|row| SwapWorthOf {
                swap: &plan.swaps[row.id].head.name,
                free: row.fixed.is_none(),
                saved: row.saved.as_ref().and_then(reckoned),
                to_spend_cents: row.cents,
                minutes: row.minutes,
                unknown_prices: row.unknown_prices,
            })
            .collect(),
        least_for_target: likely,
        least_for_target_nine_in_ten: sure,
        most: of(&found.most),
        frontier: found.frontier.iter().map(|shown| set(plan, shown)).collect(),
    })
}
