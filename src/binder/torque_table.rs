//! The torque table: every figure that is applied, by stage, with two ticks; and the figures of joints that no
//! step tightens, so that none is lost. Knows joints and steps; how marks stand is told elsewhere.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Section, TableGroup, TableRow};
use super::tables::{cell, column, grouped, right, section, tick_row};
use super::words::{capital, dotted, run, semi, strong};
use super::{card_marks, joint_words, proof};
use crate::plan::model::{Does, Id, Joint, Step};

/// Place of the column of fixings.
const FIXINGS: usize = 2;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut groups: Vec<TableGroup> = Vec::new();
    for (stage, steps) in binding.stages() {
        let rows: Vec<TableRow> = steps.iter().flat_map(|&step| of_step(binding, step)).collect();
        if !rows.is_empty() {
            groups.push(TableGroup {
                head: stage.map(|_| binding.stage_title(stage)),
                rows,
            });
        }
    }
    let rest = never_tightened(binding);
    if !rest.is_empty() {
        groups.push(TableGroup {
            head: Some("Loosened, and tightened in no step of this plan".to_owned()),
            rows: rest,
        });
    }
    if groups.is_empty() {
        return Vec::new();
    }
    let mut columns = vec![
        column("Step", 16),
        column("Joint", 0),
        column("Fixings", 40),
        column("Tool", 17),
        right("Torque", 28),
        column("Tight", 13),
        column("Mark", 12),
    ];
    let rows = || groups.iter().flat_map(|group| &group.rows);
    let in_order = rows().any(|row| matches!(row.cells.get(FIXINGS), Some(Cell::Marks(_))));
    if !in_order {
        columns.remove(FIXINGS);
        for row in groups.iter_mut().flat_map(|group| &mut group.rows) {
            row.cells.remove(FIXINGS);
        }
    }
    section(
        "torque",
        "Torque table",
        vec![Block::Table(grouped("", columns, groups, 10))],
    )
}

fn of_step(binding: &Binding<'_>, step: Id<Step>) -> Vec<TableRow> {
    let name = binding.step_key(step);
    let mut rows = Vec::new();
    for act in binding.plan.steps[step].acts() {
        let Does::Tighten(all) = &act.does else {
            continue;
        };
        for fixings in all {
            let id = fixings.joint.value;
            if !binding.plan.joints[id].is_tightened() {
                continue;
            }
            let mut number = vec![vec![strong(binding.number(step))]];
            if binding.plan.joints[id].second_check.is_some() {
                number.push(vec![semi("second check")]);
            }
            let count = fixings.count.map(|said| said.value);
            rows.push(row(binding, id, count, number, name, rows.len() + 1));
        }
    }
    rows
}

fn never_tightened(binding: &Binding<'_>) -> Vec<TableRow> {
    let mut rows = Vec::new();
    for (id, joint) in binding.plan.joints.iter() {
        let uses = binding.work;
        let replaced = binding
            .plan
            .joints
            .values()
            .any(|other| other.in_place_of.is_some_and(|said| said.value == id));
        let wanted = joint.torque.is_some() && joint.gone.is_none() && !replaced;
        if wanted && uses.tightened.steps(id).is_empty() && !uses.loosened.steps(id).is_empty() {
            rows.push(row(binding, id, None, Vec::new(), "~no-step", rows.len() + 1));
        }
    }
    rows
}

fn row(
    binding: &Binding<'_>,
    id: Id<Joint>,
    count: Option<u32>,
    number: Vec<Line>,
    key: &str,
    nth: usize,
) -> TableRow {
    let joint = &binding.plan.joints[id];
    let only = count.filter(|&count| count != joint.fixing_count());
    let mut lines = vec![vec![run(capital(&joint.head.called()))]];
    lines.push(dotted(vec![
        joint_words::count_and_thread(joint, only),
        joint_words::new_hardware(joint),
    ]));
    if joint.with_wheels_down.is_some() {
        lines.push(vec![run(joint_words::standing(binding))]);
    }
    lines.extend(joint_words::tightening(binding, joint));
    lines.retain(|line| !line.is_empty());
    let marks = card_marks::hexagons(joint, only.unwrap_or_else(|| joint.fixing_count()), &|mark| {
        proof::torque_fixing(key, nth, mark)
    });
    // Where an order is to be kept each fixing has its hexagon; else one stands for the joint.
    let marks = marks.filter(|marks| {
        let mut all = marks.groups.iter().flat_map(|group| group.rows.iter().flatten());
        all.any(|mark| mark.number.is_some())
    });
    let tight = if marks.is_some() {
        Cell::Empty
    } else {
        Cell::Hexagon
    };
    let mut tools: Vec<Line> = super::drives::of_joint(joint)
        .into_iter()
        .map(|need| vec![strong(need.size)])
        .collect();
    tools.dedup();
    tick_row(
        vec![
            if number.is_empty() {
                Cell::Empty
            } else {
                Cell::Lines(number)
            },
            Cell::Lines(lines),
            marks.map_or(Cell::Empty, Cell::Marks),
            if tools.is_empty() {
                Cell::Empty
            } else {
                Cell::Lines(tools)
            },
            torque(binding, joint),
            tight,
            Cell::Square,
        ],
        proof::torque(key, nth),
    )
}

fn torque(binding: &Binding<'_>, joint: &Joint) -> Cell {
    match joint_words::torque(binding, joint, true) {
        Some(torque) => Cell::Big(match torque.second {
            Some(second) => format!("{} ({second})", torque.first),
            None => torque.first,
        }),
        None if joint_words::torque_to_come(joint) => Cell::Write,
        None => cell(vec![run("no figure in the plan")]),
    }
}
