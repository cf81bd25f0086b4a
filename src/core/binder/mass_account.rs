//! The mass account on paper: what comes off and what goes on, swap by swap, with what each figure is known to. The account itself is
//! reckoned in `analysis/account.rs`. A swap with an unknown mass has no saving: the unknown is named instead.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Section, TableGroup, TableRow};
use super::figures;
use super::mass_balance;
use super::masses::{self, ShownMass};
use super::tables::{cell, column, figures as figure_column, grouped, row, section, text, total};
use super::weighing;
use super::words::{and_list, capital, run, semi, sentence, strong};
use crate::analysis::account::{self, Account, Aim, Entry, Known, Moment, SwapAccount};
use crate::plan::model::{Driver, Id, Target, WeighIn};
use crate::reckon::mass;

#[must_use]
pub fn account<'a>(binding: &Binding<'a>) -> &'a Account {
    binding.compilation.account()
}

/// Names of what has no known mass, each once.
#[must_use]
pub fn unknown(binding: &Binding<'_>, account: &Account) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for entry in account.unknown() {
        let name = weighing::name_of(binding, entry.what);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// To the one decimal that the account prints.
fn column_figure(binding: &Binding<'_>, estimate: &mass::MassEstimate) -> ShownMass {
    ShownMass {
        kg: estimate.kg,
        within: estimate.expanded(),
        last: 0.1 / masses::in_unit(binding, 1.0),
    }
}

/// The sum of a column, which is rounded when it is printed and not before; none where a mass is unknown or nothing stands in it.
#[must_use]
pub fn sum_of(entries: &[Entry]) -> Option<f64> {
    let all: Option<Vec<f64>> = entries
        .iter()
        .map(|entry| Some(entry.estimate.as_ref()?.kg))
        .collect();
    all.filter(|all| !all.is_empty()).map(|all| all.iter().sum())
}

/// What a swap saves.
#[must_use]
pub fn saved_of(binding: &Binding<'_>, swap: &SwapAccount) -> Option<ShownMass> {
    Some(column_figure(binding, &swap.saved()?))
}

/// What all swaps save whose masses are known.
#[must_use]
pub fn saved(binding: &Binding<'_>, account: &Account) -> Option<ShownMass> {
    Some(column_figure(binding, &account.saved()?))
}

/// What the target is judged by.
#[must_use]
pub fn judged(binding: &Binding<'_>, aim: &Aim) -> ShownMass {
    column_figure(binding, &aim.saved)
}

/// What the figures rest on where the plan says nothing, a sentence each.
#[must_use]
pub fn taken_for_granted(binding: &Binding<'_>) -> Vec<String> {
    let percent = |share: f64| figures::decimal(share * 100.0, 0);
    let mut all = vec![
        "± covers about 95 %, two standard deviations; +- in a plan is one.".to_owned(),
        format!(
            "Where the plan says none, a quoted mass is taken within {} %, an estimated one within {} %.",
            percent(mass::QUOTED_WITHIN),
            percent(mass::ESTIMATED_WITHIN)
        ),
    ];
    if binding.plan.scales.values().any(|scale| scale.class.is_none()) {
        all.push("A scale of no stated class is taken as class III.".to_owned());
    }
    all.extend(in_no_swap(binding));
    all
}

/// Why what is left at the end is not what was found less what the swaps save.
fn in_no_swap(binding: &Binding<'_>) -> Option<String> {
    let all = account(binding);
    let (start, saved, end) = (all.start.as_ref()?, all.saved()?, all.end()?);
    let rest = start.kg - saved.kg - end.kg;
    if all.swaps.is_empty() || rest.abs() < 0.05 {
        return None;
    }
    let (plan, walk) = (binding.plan, &binding.compilation.walk);
    let job = Moment::between(
        &binding.weights,
        &walk.before(plan),
        &account::now(plan, walk, None),
    );
    let drained: Vec<String> = job.drained.iter().map(|&id| binding.fluid(id)).collect();
    let drained = match drained.as_slice() {
        [] => String::new(),
        some => format!(", with {} drained", and_list(some)),
    };
    let weighed = all.last().and_then(|last| weighed_last(binding, last));
    Some(format!(
        "At the end it weighs {} {} than by the swaps alone{}: that is in no swap{drained}.",
        masses::tenth(binding, rest.abs()),
        if rest > 0.0 { "less" } else { "more" },
        weighed.map_or_else(String::new, |words| format!(", {words}"))
    ))
}

/// "by the weighing “The car again” after step 3.4": what has the last word on what is expected.
#[must_use]
pub fn weighed_last(binding: &Binding<'_>, last: &Known) -> Option<String> {
    let sheet = &binding.plan.weigh_ins[last.weigh_in?];
    Some(format!(
        "by the weighing “{}” {}",
        capital(&sheet.head.called()),
        mass_balance::made(binding, last.when)
    ))
}

/// "780 kg with driver 75 kg, fuel 5 l": what the class asks for, and with what in the vehicle; none where it asks for nothing.
#[must_use]
pub fn class_minimum(binding: &Binding<'_>) -> Option<String> {
    let minimum = binding.about()?.class_minimum?;
    Some(format!(
        "{}{}",
        binding.both_at_least(minimum.value),
        class_with(binding)
    ))
}

/// " with driver 75 kg, fuel 5 l"; nothing where the class says nothing of it.
#[must_use]
pub fn class_with(binding: &Binding<'_>) -> String {
    let Some(with) = binding.about().map(|about| about.class_with) else {
        return String::new();
    };
    let driver = with
        .driver
        .map(|said| format!("driver {}", binding.one(said.value)));
    let fuel = with.fuel.map(|said| format!("fuel {}", binding.one(said.value)));
    let all: Vec<String> = driver.into_iter().chain(fuel).collect();
    match all.as_slice() {
        [] => String::new(),
        some => format!(" with {}", some.join(", ")),
    }
}

/// ", with the driver": what was in the vehicle on the scale beyond itself; nothing where nobody sat in it.
#[must_use]
pub fn weighed_with(binding: &Binding<'_>, weigh_in: Option<Id<WeighIn>>) -> String {
    let driver = weigh_in.and_then(|id| binding.plan.weigh_ins[id].driver);
    match driver.map(|said| said.value) {
        Some(Driver::In) => ", with the driver".to_owned(),
        Some(Driver::Mass(mass)) => format!(", with driver {}", binding.one(mass)),
        Some(Driver::Out) | None => String::new(),
    }
}

/// Whether the printed rows, added up by hand, come to something else than the printed sum.
fn rows_add_otherwise(binding: &Binding<'_>, account: &Account) -> bool {
    let shown = |kg: f64| (masses::in_unit(binding, kg) * 10.0).round();
    let differs = |parts: &[f64]| {
        let rows: f64 = parts.iter().map(|kg| shown(*kg)).sum();
        (rows - shown(parts.iter().sum())).abs() > 0.5
    };
    let kgs = |entries: &[Entry]| -> Vec<f64> {
        let known = entries.iter().filter_map(|entry| entry.estimate.as_ref());
        known.map(|estimate| estimate.kg).collect()
    };
    let swaps = &account.swaps;
    let saved: Vec<f64> = swaps
        .iter()
        .filter_map(SwapAccount::saved)
        .map(|estimate| estimate.kg)
        .collect();
    let of_one = |swap: &SwapAccount| {
        let (off, on) = (kgs(&swap.off), kgs(&swap.on));
        let both = [off.iter().sum::<f64>(), -on.iter().sum::<f64>()];
        differs(&off) || differs(&on) || differs(&both)
    };
    differs(&saved) || swaps.iter().any(of_one)
}

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let account = account(binding);
    if account.swaps.is_empty() {
        return Vec::new();
    }
    let mut groups: Vec<TableGroup> = account.swaps.iter().map(|swap| group(binding, swap)).collect();
    if account.swaps.len() > 1
        && let Some(saved) = saved(binding, account)
    {
        groups.push(TableGroup {
            head: None,
            rows: vec![total(vec![
                cell(vec![strong("All swaps")]),
                Cell::Empty,
                Cell::Empty,
                cell(vec![strong(masses::figure(binding, saved))]),
                give(binding, Some(saved)),
            ])],
        });
    }
    let unit = masses::unit(binding);
    let columns = vec![
        column("What", 0),
        figure_column(&format!("off, {unit}"), 24),
        figure_column(&format!("on, {unit}"), 24),
        figure_column(&format!("saved, {unit}"), 24),
        figure_column("±", 24),
    ];
    // What it comes to stands first: behind the table it would go over to a page of its own.
    let mut blocks = Vec::new();
    let mut head = reached(binding, account);
    head.extend(aim(binding));
    if !head.is_empty() {
        blocks.push(Block::Text(head));
    }
    blocks.push(Block::Table(grouped("", columns, groups, 6)));
    let mut told = taken_for_granted(binding);
    if rows_add_otherwise(binding, account) {
        told.insert(
            0,
            "Each figure is rounded by itself, the sums last: rows added up by hand may differ in the last place."
                .to_owned(),
        );
    }
    blocks.push(Block::Text(vec![run(told.join(" "))]));
    let unknown = unknown(binding, account);
    if !unknown.is_empty() {
        blocks.push(Block::Text(vec![
            semi("Not known yet: "),
            run(format!("{}. ", and_list(&unknown))),
            run("Their swaps have no saving, and the sum leaves them out."),
        ]));
    }
    section("mass", "Mass account", blocks)
}

fn group(binding: &Binding<'_>, swap: &SwapAccount) -> TableGroup {
    let mut rows: Vec<TableRow> = Vec::new();
    for (entries, is_on) in [(&swap.off, false), (&swap.on, true)] {
        for entry in entries {
            let estimate = entry
                .estimate
                .as_ref()
                .map(|estimate| column_figure(binding, estimate));
            let figure = match estimate {
                Some(estimate) => text(masses::figure(binding, estimate)),
                None => text("not known"),
            };
            let (off, on) = if is_on {
                (Cell::Empty, figure)
            } else {
                (figure, Cell::Empty)
            };
            rows.push(row(vec![
                text(capital(&weighing::name_of(binding, entry.what))),
                off,
                on,
                Cell::Empty,
                give(binding, estimate),
            ]));
        }
    }
    let sum = |entries: &[Entry]| {
        sum_of(entries).map_or(Cell::Empty, |kg| {
            let value = masses::in_unit(binding, kg);
            text(figures::decimal(value, 1))
        })
    };
    let saved = saved_of(binding, swap);
    rows.push(total(vec![
        cell(vec![semi("Sum")]),
        sum(&swap.off),
        sum(&swap.on),
        match saved {
            Some(saved) => cell(vec![strong(masses::figure(binding, saved))]),
            None => Cell::Empty,
        },
        give(binding, saved),
    ]));
    TableGroup {
        head: Some(capital(&binding.plan.swaps[swap.id].head.called())),
        rows,
    }
}

/// What covers about 95 %, to the same decimal, never less than one of it.
fn give(binding: &Binding<'_>, estimate: Option<ShownMass>) -> Cell {
    let Some(within) = estimate
        .map(|estimate| estimate.within)
        .filter(|within| *within > 0.0)
    else {
        return Cell::Empty;
    };
    let value = masses::in_unit(binding, within).max(0.1);
    text(figures::decimal(value, 1))
}

/// "56.4 ± 2.0 kg of the 55 kg wanted."
fn reached(binding: &Binding<'_>, account: &Account) -> Line {
    let wanted = match binding.about().and_then(|about| about.target) {
        Some(said) => match said.value {
            Target::Save(mass) => mass,
            Target::Reach(_) => return Line::new(),
        },
        None => return Line::new(),
    };
    // What is judged is what stands here; where a mass is unknown, what the known swaps save.
    let aim = account.aim(binding.plan);
    let saving = aim.as_ref().map(|aim| judged(binding, aim));
    saving
        .or_else(|| saved(binding, account))
        .map_or_else(Line::new, |saved| {
            let chance = aim.map_or_else(String::new, |aim| {
                format!(
                    "The chance that it is met: {}. ",
                    super::words::chance(aim.chance)
                )
            });
            let by = account.last().and_then(|last| weighed_last(binding, last));
            let by = by.map_or_else(String::new, |by| format!("{} ", sentence(&by)));
            vec![
                strong(format!(
                    "{} of the {} wanted. ",
                    masses::with_give(binding, saved),
                    binding.one(wanted)
                )),
                run(format!("{by}{chance}")),
            ]
        })
}

/// Target and class minimum, beside what is known.
fn aim(binding: &Binding<'_>) -> Line {
    let Some(about) = binding.about() else {
        return Line::new();
    };
    let target = about.target.map(|said| match said.value {
        Target::Save(mass) => format!("target: save {}", binding.both(mass)),
        Target::Reach(mass) => format!("target: come to {}", binding.both(mass)),
    });
    let minimum = about.class_minimum.map(|said| {
        format!(
            "the rules forbid going under {}{}",
            binding.both_at_least(said.value),
            class_with(binding)
        )
    });
    let split = about.axle_split.map(|said| {
        let end = said.value.end.word();
        format!("wanted between the axles: {} {end}", said.value.share)
    });
    target
        .into_iter()
        .chain(minimum)
        .chain(split)
        .map(|words| run(format!("{} ", sentence(&words))))
        .collect()
}
