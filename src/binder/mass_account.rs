//! The mass account: what comes off and what goes on, swap by swap. A swap with an unknown mass has no saving:
//! the unknown is named instead. Knows sums of known masses; uncertainty beyond what is stated is reckoned
//! elsewhere.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Section, TableGroup, TableRow};
use super::figures;
use super::masses::{self, Heft};
use super::tables::{cell, column, figures as figure_column, grouped, row, section, text, total};
use super::weighing;
use super::words::{and_list, capital, run, semi, sentence, strong};
use crate::plan::model::{Said, Target, Weighed};

/// One thing of a swap.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub called: String,
    pub heft: Option<Heft>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct SwapAccount {
    pub title: String,
    pub off: Vec<Entry>,
    pub on: Vec<Entry>,
}

impl SwapAccount {
    fn sum(entries: &[Entry]) -> Option<Heft> {
        let all: Option<Vec<Heft>> = entries.iter().map(|entry| entry.heft).collect();
        all.filter(|all| !all.is_empty()).map(|all| Heft::sum(&all))
    }

    /// What comes off less what goes on; `None` where a mass is unknown.
    #[must_use]
    pub fn saved(&self) -> Option<Heft> {
        let negated = |heft: Heft| Heft { kg: -heft.kg, ..heft };
        let mut all = Vec::new();
        for (entries, is_on) in [(&self.off, false), (&self.on, true)] {
            if !entries.is_empty() {
                let sum = Self::sum(entries)?;
                all.push(if is_on { negated(sum) } else { sum });
            }
        }
        (!all.is_empty()).then(|| Heft::sum(&all))
    }

    fn unknown(&self) -> impl Iterator<Item = &str> {
        self.off
            .iter()
            .chain(&self.on)
            .filter(|entry| entry.heft.is_none())
            .map(|entry| entry.called.as_str())
    }
}

#[derive(Debug, Clone, Default, PartialEq)]
pub struct Account {
    pub swaps: Vec<SwapAccount>,
}

impl Account {
    /// Over the swaps whose masses are all known; `None` where there is no such swap.
    #[must_use]
    pub fn saved(&self) -> Option<Heft> {
        let all: Vec<Heft> = self.swaps.iter().filter_map(SwapAccount::saved).collect();
        (!all.is_empty()).then(|| Heft::sum(&all))
    }

    /// Names of what has no known mass, each once.
    #[must_use]
    pub fn unknown(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.swaps.iter().flat_map(SwapAccount::unknown) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

#[must_use]
pub fn account(binding: &Binding<'_>) -> Account {
    let entries = |what: &[Said<Weighed>]| -> Vec<Entry> {
        what.iter()
            .map(|said| Entry {
                called: weighing::name_of(binding, said.value),
                heft: masses::of(binding, said.value).map(|heft| printed(binding, heft)),
            })
            .collect()
    };
    let swaps = binding.plan.swaps.values().map(|swap| SwapAccount {
        title: capital(&swap.head.called()),
        off: entries(&swap.comes_off),
        on: entries(&swap.goes_on),
    });
    Account {
        swaps: swaps.collect(),
    }
}

/// Rounded to the one decimal that the account prints, so that a reader who adds the column finds the sum.
fn printed(binding: &Binding<'_>, heft: Heft) -> Heft {
    let one_kg = masses::in_unit(binding, 1.0);
    Heft {
        kg: (heft.kg * one_kg * 10.0).round() / 10.0 / one_kg,
        last: 0.1 / one_kg,
        ..heft
    }
}

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let account = account(binding);
    if account.swaps.is_empty() {
        return Vec::new();
    }
    let mut groups: Vec<TableGroup> = account.swaps.iter().map(|swap| group(binding, swap)).collect();
    if account.swaps.len() > 1
        && let Some(saved) = account.saved()
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
    let mut blocks = vec![Block::Table(grouped("", columns, groups, 7))];
    let unknown = account.unknown();
    if !unknown.is_empty() {
        blocks.push(Block::Text(vec![
            semi("Not known yet: "),
            run(format!("{}. ", and_list(&unknown))),
            run("Their swaps have no saving, and the sum leaves them out."),
        ]));
    }
    // One short paragraph: it stays on the table's page where lines of their own would go over.
    let mut foot = reached(binding, &account);
    foot.extend(aim(binding));
    if !foot.is_empty() {
        blocks.push(Block::Text(foot));
    }
    section("mass", "Mass account", blocks)
}

fn group(binding: &Binding<'_>, swap: &SwapAccount) -> TableGroup {
    let mut rows: Vec<TableRow> = Vec::new();
    for (entries, is_on) in [(&swap.off, false), (&swap.on, true)] {
        for entry in entries {
            let figure = match entry.heft {
                Some(heft) => text(masses::figure(binding, heft)),
                None => text("not known"),
            };
            let (off, on) = if is_on {
                (Cell::Empty, figure)
            } else {
                (figure, Cell::Empty)
            };
            rows.push(row(vec![
                text(capital(&entry.called)),
                off,
                on,
                Cell::Empty,
                give(binding, entry.heft),
            ]));
        }
    }
    let sum_of = |entries: &[Entry]| {
        SwapAccount::sum(entries).map_or(Cell::Empty, |heft| text(masses::figure(binding, heft)))
    };
    let saved = swap.saved();
    rows.push(total(vec![
        cell(vec![semi("Sum")]),
        sum_of(&swap.off),
        sum_of(&swap.on),
        match saved {
            Some(saved) => cell(vec![strong(masses::figure(binding, saved))]),
            None => Cell::Empty,
        },
        give(binding, saved),
    ]));
    TableGroup {
        head: Some(swap.title.clone()),
        rows,
    }
}

/// The stated uncertainty to the same decimal, never less than one of it.
fn give(binding: &Binding<'_>, heft: Option<Heft>) -> Cell {
    let Some(give) = heft.and_then(|heft| heft.give).filter(|give| *give > 0.0) else {
        return Cell::Empty;
    };
    let value = masses::in_unit(binding, give).max(0.1);
    text(figures::decimal(value, 1))
}

/// "56.4 kg of the 55 kg wanted."
fn reached(binding: &Binding<'_>, account: &Account) -> Line {
    let wanted = match binding.about().and_then(|about| about.target) {
        Some(said) => match said.value {
            Target::Save(mass) => mass,
            Target::Reach(_) => return Line::new(),
        },
        None => return Line::new(),
    };
    account.saved().map_or_else(Line::new, |saved| {
        vec![strong(format!(
            "{} of the {} wanted. ",
            masses::text(binding, saved),
            binding.one(wanted)
        ))]
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
    let minimum = about
        .class_minimum
        .map(|said| format!("the rules forbid going under {}", binding.both(said.value)));
    target
        .into_iter()
        .chain(minimum)
        .map(|words| run(format!("{} ", sentence(&words))))
        .collect()
}
