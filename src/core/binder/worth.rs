//! "Is it worth it?" on paper: each swap a row, the answers, what money and weekends buy, every shown set, and the line of what money buys.
//! Knows the page, no search.

use super::binding::Binding;
use super::choices::Advice;
use super::document::{Block, Cell, Line, Section, TableRow};
use super::drawings::{Drawing, frontier};
use super::masses;
use super::tables::{cell, column, right, row, section, table, text};
use super::words::{run, strong};
use super::worth_words::{Told, time};
use crate::base::digits;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let Some(advice) = binding.advice() else {
        return Vec::new();
    };
    let told = Told::new(binding, advice);
    let mut blocks = vec![
        Block::Text(vec![run(told.given().join(" "))]),
        swaps(&told, advice),
    ];
    if let Some(why) = told.no_sets() {
        blocks.push(Block::Text(vec![strong(why)]));
        return section("worth", "Is it worth it?", blocks);
    }
    blocks.push(answers(&told));
    let (line, grid) = (picture(binding), grid(&told, advice));
    match (line, grid) {
        (Some(line), Some(grid)) => blocks.push(Block::Halves(vec![line], vec![grid])),
        (line, grid) => blocks.extend(line.into_iter().chain(grid)),
    }
    blocks.push(sets(&told));
    let mut words = told.frontier_stopped();
    words.extend(told.heads());
    words.extend(told.to_read());
    blocks.push(Block::Text(vec![run(words.join(" "))]));
    section("worth", "Is it worth it?", blocks)
}

fn swaps(told: &Told<'_, '_>, advice: &Advice) -> Block {
    let money = told.has_money();
    let unit = told.unit();
    let currency = told.currency();
    let mut columns = vec![
        column("", 8),
        column("Swap", 0),
        right(&format!("{unit} off"), 21),
    ];
    if money {
        columns.push(right(&currency, 18));
    }
    columns.push(right("Time", 24));
    if money {
        columns.push(right(&format!("{unit}/100"), 18));
    }
    columns.push(right(&format!("{unit}/h"), 12));
    let rows: Vec<TableRow> = advice
        .choices
        .rows
        .iter()
        .enumerate()
        .map(|(nth, of)| {
            let mut name: Vec<Line> = vec![vec![run(told.called(of.id))]];
            let beside = told.bound(of);
            if !beside.is_empty() {
                name.push(vec![run(super::words::sentence(&beside.join("; ")))]);
            }
            let saved = of
                .saved
                .as_ref()
                .map_or_else(|| "not known".to_owned(), |saved| told.saved(saved));
            let mut cells = vec![
                cell(vec![strong((nth + 1).to_string())]),
                Cell::Lines(name),
                text(saved),
            ];
            if money {
                cells.push(text(digits::sum(of.cents)));
            }
            cells.push(text(time(of.minutes)));
            if money {
                cells.push(text(told.rate(of, of.cents, 10_000).unwrap_or_default()));
            }
            cells.push(text(told.rate(of, of.minutes, 60).unwrap_or_default()));
            row(cells)
        })
        .collect();
    Block::Table(table("", columns, rows, 6))
}

fn answers(told: &Told<'_, '_>) -> Block {
    let rows = told
        .answers()
        .into_iter()
        .map(|answered| {
            let mut words: Vec<Line> = vec![vec![run(super::words::capital(&answered.words))]];
            words.extend(answered.more.into_iter().map(|more| vec![run(more)]));
            row(vec![
                text(answered.question),
                cell(vec![strong(answered.letter.unwrap_or_default())]),
                Cell::Lines(words),
            ])
        })
        .collect();
    let columns = vec![column("What for", 50), column("Set", 9), column("Do these", 0)];
    Block::Table(table("The best sets", columns, rows, 6))
}

fn grid(told: &Told<'_, '_>, advice: &Advice) -> Option<Block> {
    let grid = advice.grid.as_ref()?;
    let money = told.has_money();
    let mut columns = Vec::new();
    if money {
        columns.push(column("To spend", 24));
    }
    columns.extend(Told::weekends(grid).iter().map(|head| column(head, 0)));
    let rows = grid
        .rows
        .iter()
        .map(|(cents, cells)| {
            let mut all = Vec::new();
            if money {
                all.push(cell(vec![strong(told.money(*cents))]));
            }
            all.extend(cells.iter().map(|shown| text(told.cell(shown.as_ref()))));
            row(all)
        })
        .collect();
    let title = format!(
        "What {}weekends buy: set, {} off",
        if money { "money and " } else { "" },
        told.unit()
    );
    Some(Block::Table(table(&title, columns, rows, 6)))
}

fn sets(told: &Told<'_, '_>) -> Block {
    let money = told.has_money();
    let facts = || told.sets.iter().map(|shown| &shown.facts);
    let chance = facts().any(|facts| facts.chance.is_some());
    let class = facts().any(|facts| facts.over_minimum.is_some());
    let front = facts().any(|facts| facts.front.is_some());
    let mut columns = vec![
        column("Set", 9),
        column("Swaps", 0),
        right(&format!("{} off", told.unit()), 21),
    ];
    if chance {
        columns.push(right("Chance", 23));
    }
    if money {
        columns.push(right(&told.currency(), 19));
        columns.push(right("Back", 16));
    }
    columns.push(right("Time", 25));
    if class {
        columns.push(right("Over", 18));
    }
    if front {
        columns.push(right("Front", 16));
    }
    let rows = told
        .sets
        .iter()
        .map(|shown| {
            let facts = &shown.facts;
            let mut cells = vec![
                cell(vec![strong(told.letter(shown.set.chosen).unwrap_or_default())]),
                text(told.numbers(&shown.swaps)),
                text(
                    facts
                        .saved
                        .as_ref()
                        .map_or_else(String::new, |saved| told.saved(saved)),
                ),
            ];
            if chance {
                let chance = told.chance(shown).unwrap_or_default();
                cells.push(text(chance.trim_start_matches("about ")));
            }
            if money {
                cells.push(text(with_unknown(digits::sum(facts.cents), facts.unknown_prices)));
                cells.push(match facts.to_come_in {
                    0 => Cell::Empty,
                    sum => text(digits::sum(sum)),
                });
            }
            cells.push(text(with_unknown(time(facts.minutes), facts.unsaid)));
            if class {
                cells.push(text(told.over_class(shown).unwrap_or_default()));
            }
            if front {
                cells.push(text(told.front_share(shown).unwrap_or_default()));
            }
            row(cells)
        })
        .collect();
    Block::Table(table("The sets, with the rest of the job", columns, rows, 6))
}

/// "165 + ?": something of it is not known.
fn with_unknown(figure: String, unknown: usize) -> String {
    match unknown {
        0 => figure,
        _ => format!("{figure} + ?"),
    }
}

fn picture(binding: &Binding<'_>) -> Option<Block> {
    Some(Block::Picture(drawing(binding)?.shown_by_key()))
}

/// The line of what money buys; none where there is nothing to choose.
fn drawing(binding: &Binding<'_>) -> Option<Drawing> {
    let advice = binding.advice()?;
    let told = Told::new(binding, advice);
    let money = told.has_money();
    #[expect(clippy::cast_precision_loss, reason = "no job costs or takes 2^53")]
    let cost = |cents: i64, minutes: i64| match money {
        true => cents as f64 / 100.0,
        false => minutes as f64 / 60.0,
    };
    let points = advice
        .frontier
        .iter()
        .filter_map(|shown| {
            Some(frontier::Point {
                letter: told.letter(shown.set.chosen)?,
                cost: cost(shown.facts.cents, shown.facts.minutes),
                saved: masses::in_unit(binding, shown.facts.saved.as_ref()?.kg),
            })
        })
        .collect();
    let limit = match money {
        true => advice.cents.map(|cents| cost(cents, 0)),
        false => advice.minutes.map(|minutes| cost(0, minutes)),
    };
    let currency = binding.compilation.money().currency;
    frontier::draw(&frontier::Frontier {
        unit: told.unit(),
        of_cost: match currency {
            Some(letters) => String::from_utf8_lossy(&letters).into_owned(),
            None => "h".to_owned(),
        },
        points,
        target: advice.choices.wanted.map(|kg| masses::in_unit(binding, kg)),
        limit,
    })
}
