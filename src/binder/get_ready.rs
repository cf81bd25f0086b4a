//! Get ready: hand tools by size and stage, rigs with their ratings, containers, consumables, hardware to order,
//! new parts, people. What is not in the kit says how it is come by. Knows lists, and no single act's wording.

use std::collections::BTreeMap;

use super::binding::Binding;
use super::document::{Block, Cell, Column, Line, Section, TableRow};
use super::drives::DriveNeed;
use super::figures::duration;
use super::masses;
use super::tables::{cell, column, right, section, table, text, tick_row};
use super::words::{and_list, capital, run, sentence, strong};
use super::{at_hand, fixings_from, order_list, rig_loads};
use crate::plan::drives;
use crate::plan::model::{Does, Head, Id, Load, Rig, Step, Supply, Tool, Way};

/// Stages that get a cell each; with more of them the row names their numbers.
const STAGE_CELLS: usize = 9;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() {
        return Vec::new();
    }
    let tables = [
        sizes(binding),
        tools(binding),
        rigs(binding),
        scales(binding),
        containers(binding),
        consumables(binding),
        hardware(binding),
        fixings_from::without_a_bag(binding),
        parts(binding),
        people(binding),
    ];
    let blocks = tables.into_iter().flatten().collect();
    section("get-ready", "Get ready", blocks)
}

/// The stage columns: a cell each, or one for all.
fn stage_columns(binding: &Binding<'_>) -> Vec<Column> {
    let stages = binding.plan.stage_order.len();
    match stages {
        0 | 1 => Vec::new(),
        2..=STAGE_CELLS => (1..=stages).map(|nth| column(&nth.to_string(), 6)).collect(),
        _ => vec![column("Stages", 30)],
    }
}

fn stage_cells(binding: &Binding<'_>, steps: &[Id<Step>]) -> Vec<Cell> {
    let used: Vec<bool> = binding
        .plan
        .stage_order
        .iter()
        .map(|&stage| {
            steps
                .iter()
                .any(|&step| binding.plan.steps[step].stage == Some(stage))
        })
        .collect();
    match used.len() {
        0 | 1 => Vec::new(),
        2..=STAGE_CELLS => used
            .into_iter()
            .map(|used| if used { Cell::Dot } else { Cell::Empty })
            .collect(),
        _ => {
            let numbers: Vec<String> = used
                .iter()
                .zip(1..)
                .filter(|(used, _)| **used)
                .map(|(_, number): (_, usize)| number.to_string())
                .collect();
            vec![text(numbers.join(", "))]
        }
    }
}

/// One table of things to lay out: a tick, the thing, its size, its stages, how it is come by.
fn things(binding: &Binding<'_>, title: &str, size_head: &str, rows: Vec<TableRow>) -> Option<Block> {
    if rows.is_empty() {
        return None;
    }
    let mut columns = vec![column("", 8), column("Thing", 0), column(size_head, 24)];
    columns.extend(stage_columns(binding));
    columns.push(column("How", 36));
    Some(Block::Table(table(title, columns, rows, 9)))
}

fn thing_row(
    binding: &Binding<'_>,
    name: Vec<Line>,
    size: Line,
    steps: &[Id<Step>],
    how: Cell,
    key: String,
) -> TableRow {
    let mut cells = vec![Cell::Square, Cell::Lines(name), cell(size)];
    cells.extend(stage_cells(binding, steps));
    cells.push(how);
    tick_row(cells, key)
}

/// Sockets, spanners, keys and bits that the joints want.
fn sizes(binding: &Binding<'_>) -> Option<Block> {
    let rows = size_needs(binding)
        .into_iter()
        .zip(1..)
        .map(|((need, steps), nth): (_, usize)| {
            let (one, _) = need.family.words(binding);
            let name = if need.with.is_empty() {
                capital(one)
            } else if need.with.ends_with(one) && !need.with.starts_with("or ") {
                capital(&need.with)
            } else {
                format!("{}, {}", capital(one), need.with)
            };
            let how = match drives::in_kit(binding.plan, &need) {
                Some(true) => text("have"),
                Some(false) => cell(vec![strong("not in the kit")]),
                None => Cell::Write,
            };
            thing_row(
                binding,
                vec![vec![run(name)]],
                vec![strong(need.size)],
                &steps,
                how,
                format!("ready/size/{nth}"),
            )
        })
        .collect();
    things(binding, "Sockets, spanners, keys, bits", "Size", rows)
}

fn size_needs(binding: &Binding<'_>) -> BTreeMap<DriveNeed, Vec<Id<Step>>> {
    let mut needs: BTreeMap<DriveNeed, Vec<Id<Step>>> = BTreeMap::new();
    for &step in &binding.plan.order {
        for need in drives::of_step(binding.plan, step) {
            needs.entry(need).or_default().push(step);
        }
    }
    needs
}

/// Tools that steps need, and for how long: each with its steps.
fn tool_steps(binding: &Binding<'_>) -> BTreeMap<Id<Tool>, Vec<Id<Step>>> {
    let mut steps: BTreeMap<Id<Tool>, Vec<Id<Step>>> = BTreeMap::new();
    for &step in &binding.plan.order {
        for tool in at_hand::tools(binding, step) {
            steps.entry(tool).or_default().push(step);
        }
    }
    steps
}

fn tools(binding: &Binding<'_>) -> Option<Block> {
    let rows = tool_steps(binding)
        .into_iter()
        .map(|(id, steps)| {
            let tool = &binding.plan.tools[id];
            let mut size = Vec::new();
            // The square of a drive is called by its inches everywhere.
            size.extend(tool.size.map(|size| size.value.to_string()));
            size.extend(tool.range.map(|range| {
                format!(
                    "{} to {}",
                    binding.at_least(range.value.0),
                    binding.at_most(range.value.1)
                )
            }));
            size.extend(tool.holds.map(|holds| binding.one(holds.value)));
            thing_row(
                binding,
                named(&tool.head, &tool.supply),
                vec![strong(size.join(", "))],
                &steps,
                tool_how(binding, id),
                format!("ready/tool/{}", tool.head.name),
            )
        })
        .collect();
    things(binding, "Tools", "Size", rows)
}

fn tool_how(binding: &Binding<'_>, id: Id<Tool>) -> Cell {
    match how(&binding.plan.tools[id].supply) {
        Some(line) => cell(line),
        None if drives::tool_in_kit(binding.plan, id) => text("have"),
        None if binding.plan.kits.is_empty() => Cell::Write,
        None => cell(vec![strong("not in the kit")]),
    }
}

/// The thing, and below it what it is made from.
fn named(head: &Head, supply: &Supply) -> Vec<Line> {
    let mut lines = vec![vec![run(capital(&head.called()))]];
    lines.extend(supply.make_from.as_ref().map(|from| vec![run(sentence(from))]));
    lines
}

/// How a thing that is not at hand is come by.
fn how(supply: &Supply) -> Option<Line> {
    let way = supply.way?.value;
    let mut line = vec![strong(way_word(way))];
    if let Some(time) = supply.time {
        line.push(run(format!(", {}", duration(time.value.base()))));
    }
    Some(line)
}

fn way_word(way: Way) -> &'static str {
    match way {
        Way::Borrow => "borrow",
        Way::Hire => "hire",
        Way::Buy => "buy",
        Way::ToMake => "make",
    }
}

/// What is needed and is not at hand, with how it is come by: for the list of what to have before the start.
#[must_use]
pub fn wanting(binding: &Binding<'_>) -> Vec<(String, String)> {
    let mut wanting = Vec::new();
    for id in tool_steps(binding).into_keys() {
        let tool = &binding.plan.tools[id];
        let called = capital(&tool.head.called());
        match tool.supply.way {
            Some(way) => wanting.push((called, with_time(way.value, &tool.supply))),
            None if !drives::tool_in_kit(binding.plan, id) && !binding.plan.kits.is_empty() => {
                wanting.push((called, "not in the kit".to_owned()));
            }
            None => {}
        }
    }
    for (id, rig) in binding.plan.rigs.iter() {
        if let Some(way) = rig.supply.way.filter(|_| !binding.work.rigs.steps(id).is_empty()) {
            wanting.push((capital(&rig.head.called()), with_time(way.value, &rig.supply)));
        }
    }
    for need in size_needs(binding).into_keys() {
        if drives::in_kit(binding.plan, &need) == Some(false) {
            let (one, _) = need.family.words(binding);
            wanting.push((
                format!("{} {}", capital(one), need.size),
                "not in the kit".to_owned(),
            ));
        }
    }
    wanting
}

fn with_time(way: Way, supply: &Supply) -> String {
    match supply.time {
        Some(time) => format!("{}, {}", way_word(way), duration(time.value.base())),
        None => way_word(way).to_owned(),
    }
}

fn rigs(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .plan
        .rigs
        .iter()
        .filter(|(id, rig)| !rig.is_floor && !binding.work.rigs.steps(*id).is_empty())
        .map(|(id, rig)| {
            let mut name = vec![vec![run(capital(&rig.head.called()))]];
            name.extend(
                rig.head
                    .notes
                    .iter()
                    .map(|note| vec![run(crate::plan::prose::words_of(&note.text))]),
            );
            let rated = rig.rated.map_or_else(
                || vec![run("read its plate")],
                |said| {
                    let each = if said.value.each { " each" } else { "" };
                    vec![strong(format!("{}{each}", binding.at_most(said.value.mass)))]
                },
            );
            let need = heaviest(binding, id);
            let does = match (rig.lifts.is_some(), rig.holds.is_some()) {
                (true, true) => "lifts, holds",
                (true, false) => "lifts only: nobody beneath",
                (false, true) => "holds",
                (false, false) => "",
            };
            let come_by = how(&rig.supply).unwrap_or_else(|| vec![run("have")]);
            tick_row(
                vec![
                    Cell::Square,
                    Cell::Lines(name),
                    text(does),
                    cell(rated),
                    Cell::Lines(need),
                    cell(come_by),
                ],
                format!("ready/rig/{}", rig.head.name),
            )
        })
        .collect();
    let columns = vec![
        column("", 8),
        column("Rig", 0),
        column("What for", 30),
        right("Rated", 26),
        right("Heaviest load", 28),
        column("How", 24),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("Rigs", columns, rows, 9)))
}

fn scales(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .plan
        .scales
        .iter()
        .filter(|(id, _)| !binding.work.scales.steps(*id).is_empty())
        .map(|(id, scale)| {
            let capacity = scale.capacity.map(|said| {
                let each = if said.value.each { " each" } else { "" };
                format!("{}{each}", said.value.mass)
            });
            let division = scale.division.map(|said| said.value.to_string());
            tick_row(
                vec![
                    Cell::Square,
                    text(capital(&scale.head.called())),
                    text(capacity.unwrap_or_default()),
                    text(division.unwrap_or_default()),
                    text(binding.numbers(binding.work.scales.steps(id))),
                ],
                format!("ready/scale/{}", scale.head.name),
            )
        })
        .collect();
    let columns = vec![
        column("", 8),
        column("Scale", 0),
        column("Up to", 34),
        column("In steps of", 30),
        column("Steps", 40),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("Scales", columns, rows, 9)))
}

/// The most that a rig bears, in lines: alone, with what it shares, and that a spring pushes too.
fn heaviest(binding: &Binding<'_>, rig: Id<Rig>) -> Vec<Line> {
    let most = rig_loads::most(binding, rig);
    let given = worst_need(binding, rig);
    let alone = match most {
        Some(most) => most.alone.filter(|_| given.is_some()),
        None => given,
    };
    let known = match (alone, given) {
        (Some(alone), Some(given)) if given.kg > alone.kg => Some(given),
        _ => alone,
    };
    let mut lines = vec![match known {
        Some(heft) => vec![run(masses::text(binding, heft))],
        None => vec![run("not known")],
    }];
    let above = known.map_or(0.0, |heft| heft.kg);
    if let Some(shared) = most
        .and_then(|most| most.shared)
        .filter(|shared| shared.kg > above)
    {
        lines.push(vec![run(format!(
            "shared: up to {}",
            masses::text(binding, shared)
        ))]);
    }
    if most.is_some_and(|most| most.spring) {
        lines.push(vec![strong("and a spring’s force")]);
    }
    lines
}

/// The heaviest thing of known mass that a rig is given; `None` where one of them is unknown, for then the worst
/// is unknown too.
fn worst_need(binding: &Binding<'_>, rig: Id<Rig>) -> Option<masses::Heft> {
    let mut worst: Option<masses::Heft> = None;
    let mut takes_vehicle = false;
    for &step in binding.work.rigs.steps(rig) {
        for act in binding.plan.steps[step].acts() {
            let things = match &act.does {
                Does::Hold { things, .. } | Does::Raise { things, .. } | Does::Set { things, .. } => things,
                // A rig takes on no weight by it.
                _ => continue,
            };
            if !super::mentions::of(&act.does).rigs.contains(&rig) {
                continue;
            }
            if things.iter().any(|load| matches!(load.value, Load::Vehicle(_))) {
                takes_vehicle = true;
                continue;
            }
            let load = masses::of_loads(binding, things)?;
            if worst.is_none_or(|worst| load.kg > worst.kg) {
                worst = Some(load);
            }
        }
    }
    if takes_vehicle {
        let vehicle = rig_loads::vehicle(binding, rig)?;
        return Some(worst.filter(|worst| worst.kg > vehicle.kg).unwrap_or(vehicle));
    }
    worst
}

fn containers(binding: &Binding<'_>) -> Option<Block> {
    let mut rows = Vec::new();
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            let Does::Drain { fluids, into } = &act.does else {
                continue;
            };
            for fluid in fluids {
                let known = &binding.plan.fluids[fluid.value];
                let runs_out = binding
                    .runs_out(fluid.value, step)
                    .map_or_else(|| "not said".to_owned(), |volume| binding.both(volume));
                let (called, holds) = match into {
                    Some(tool) => {
                        let tool = &binding.plan.tools[tool.value];
                        let holds = tool
                            .holds
                            .map_or_else(String::new, |holds| binding.both(holds.value));
                        (text(capital(&tool.head.called())), holds)
                    }
                    None => (Cell::Write, String::new()),
                };
                rows.push(tick_row(
                    vec![
                        Cell::Square,
                        called,
                        text(holds),
                        text(capital(&known.head.called())),
                        text(runs_out),
                        text(binding.number(step)),
                    ],
                    format!("ready/container/{}", rows.len() + 1),
                ));
            }
        }
    }
    let columns = vec![
        column("", 8),
        column("Container", 0),
        column("Holds", 34),
        column("For", 36),
        column("Up to", 34),
        column("Step", 14),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("Containers", columns, rows, 9)))
}

fn consumables(binding: &Binding<'_>) -> Option<Block> {
    let rows = binding
        .plan
        .consumables
        .iter()
        .filter(|(id, _)| !binding.work.consumables.steps(*id).is_empty())
        .map(|(id, consumable)| {
            let amount = consumable.amount.as_ref().map(|said| said.value.to_string());
            thing_row(
                binding,
                vec![vec![run(capital(&consumable.head.called()))]],
                vec![strong(amount.unwrap_or_default())],
                binding.work.consumables.steps(id),
                how(&consumable.supply).map_or(Cell::Write, cell),
                format!("ready/consumable/{}", consumable.head.name),
            )
        })
        .collect();
    things(binding, "Used up", "Amount", rows)
}

fn hardware(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = order_list::all(binding)
        .into_iter()
        .zip(1..)
        .map(|(order, nth): (_, usize)| {
            tick_row(
                vec![
                    Cell::Square,
                    Cell::Big(order.count.to_string()),
                    text(capital(&order.what)),
                    text(and_list(&order.joints)),
                    text(format!("and {}", order_list::spares(order.count))),
                ],
                format!("ready/order/{nth}"),
            )
        })
        .collect();
    let columns = vec![
        column("", 8),
        right("Count", 18),
        column("New", 0),
        column("For", 66),
        column("Spare", 16),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("Order: hardware that is used once", columns, rows, 9)))
}

/// Parts that come new in place of others.
fn parts(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .plan
        .parts
        .values()
        .filter_map(|part| part.in_place_of.map(|said| (part, said.value)))
        .map(|(part, instead)| {
            let mut name = vec![vec![run(capital(&part.head.called()))]];
            if let Some(rule) = &part.required_by {
                name.push(vec![run(format!("required by {}", rule.value))]);
            }
            let old = binding.inside(&binding.plan.parts[instead.part].head.called());
            let when = if instead.if_renewed {
                ", if that is worn"
            } else {
                ""
            };
            let cost = part
                .cost
                .map(|said| format!("{} {}", said.value.number, said.value.currency()));
            tick_row(
                vec![
                    Cell::Square,
                    Cell::Lines(name),
                    text(format!("{old}{when}")),
                    text(cost.unwrap_or_default()),
                ],
                format!("ready/part/{}", part.head.name),
            )
        })
        .collect();
    let columns = vec![
        column("", 8),
        column("Part", 0),
        column("In place of", 62),
        right("Cost", 26),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("Parts that go on", columns, rows, 9)))
}

fn people(binding: &Binding<'_>) -> Option<Block> {
    let crew = binding.about().map_or(&[][..], |about| about.crew.as_slice());
    let rows: Vec<TableRow> = crew
        .iter()
        .map(|said| {
            let person = &binding.plan.people[said.value];
            let steps = binding
                .plan
                .order
                .iter()
                .filter(|&&step| {
                    binding.plan.steps[step]
                        .by
                        .iter()
                        .any(|by| by.value == said.value)
                })
                .count();
            let lifts = person.lifts.map(|lifts| binding.both_at_most(lifts.value));
            super::tables::row(vec![
                text(binding.person(said.value)),
                text(lifts.unwrap_or_default()),
                text(if steps == 0 {
                    String::new()
                } else {
                    steps.to_string()
                }),
                Cell::Write,
            ])
        })
        .collect();
    let columns = vec![
        column("Who", 0),
        column("Lifts up to", 40),
        column("Steps", 20),
        column("Telephone", 60),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("People", columns, rows, 9)))
}
