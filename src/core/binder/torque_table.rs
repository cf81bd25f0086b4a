//! The torque table: every figure that is applied, by stage, with a hexagon for each fixing, the mark, the second person's initials and the
//! look after the first run; and the figures of joints that no step tightens, so that none is lost. Knows joints and steps; how marks stand is told elsewhere.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Marks, TableGroup, TableRow};
use super::tables::{cell, column, grouped, right, tick_row};
use super::words::{capital, dotted, run, strong};
use super::{card_joints, card_marks, joint_words, proof};
use crate::plan::model::{Does, Fixings, Id, Joint, Step};

/// Over what is looked at again after the first run.
pub const AFTER: &str = "After";

/// The table of all that is tightened, for [`super::before_first_run`].
#[must_use]
pub fn table(binding: &Binding<'_>) -> Option<Block> {
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
            head: Some("Loosened, never torqued in this plan".to_owned()),
            rows: rest,
        });
    }
    if groups.is_empty() {
        return None;
    }
    let mut columns = vec![
        column("Step", 12),
        column("Joint", 0),
        right("Torque", 25),
        column("Tight", 37),
        column("Mark", 11),
        column("Second", 18),
        right(AFTER, 13),
    ];
    // What nobody else has to see wants no columns for it.
    let is_write = |row: &TableRow| matches!(row.cells.get(SECOND), Some(Cell::Write));
    if !groups.iter().flat_map(|group| &group.rows).any(is_write) {
        columns.truncate(SECOND);
        for row in groups.iter_mut().flat_map(|group| &mut group.rows) {
            row.cells.truncate(SECOND);
        }
    }
    Some(Block::Table(grouped("", columns, groups, 8)))
}

/// Place of the column for the second person's initials.
const SECOND: usize = 5;

fn of_step(binding: &Binding<'_>, step: Id<Step>) -> Vec<TableRow> {
    let name = binding.step_key(step);
    let mut rows = Vec::new();
    for act in binding.plan.steps[step].acts() {
        let Does::Tighten(all) = &act.does else {
            continue;
        };
        let turned: Vec<&Fixings> = all
            .iter()
            .filter(|fixings| binding.plan.joints[fixings.joint.value].is_tightened())
            .collect();
        for told in card_joints::by_pairs(&turned, |first, second| match second {
            Some(second) => pair(binding, first, second),
            None => Some(one(binding, first)),
        }) {
            let number = vec![strong(binding.number(step))];
            rows.push(row(binding, &told, number, name, rows.len() + 1));
        }
    }
    rows
}

/// One joint, or both of a pair that differ in nothing that the table tells.
struct Told {
    called: String,
    joints: Vec<(Id<Joint>, Option<u32>, Option<&'static str>)>,
    facts: Line,
}

fn one(binding: &Binding<'_>, fixings: &Fixings) -> Told {
    let id = fixings.joint.value;
    let count = fixings.count.map(|said| said.value);
    Told {
        called: capital(&binding.plan.joints[id].head.called()),
        joints: vec![(id, count, None)],
        facts: facts(binding, id, count),
    }
}

fn pair(binding: &Binding<'_>, left: &Fixings, right: &Fixings) -> Option<Told> {
    let [one, two] = [left, right].map(|fixings| &binding.plan.joints[fixings.joint.value]);
    let name = card_joints::pair_name(one, two)?;
    let figure = |joint: &Joint| joint_words::torque(binding, joint).map(|torque| torque.first);
    let told = |fixings: &Fixings| facts(binding, fixings.joint.value, fixings.count.map(|said| said.value));
    let alike = told(left) == told(right)
        && figure(one) == figure(two)
        && one.second_check.is_some() == two.second_check.is_some();
    alike.then(|| Told {
        called: format!("{}, left and right", capital(&name)),
        joints: [(left, "L"), (right, "R")]
            .map(|(fixings, side)| {
                (
                    fixings.joint.value,
                    fixings.count.map(|said| said.value),
                    Some(side),
                )
            })
            .to_vec(),
        facts: told(left),
    })
}

fn facts(binding: &Binding<'_>, id: Id<Joint>, count: Option<u32>) -> Line {
    let joint = &binding.plan.joints[id];
    let only = count.filter(|&count| count != joint.fixing_count());
    let mut facts = vec![
        joint_words::count_and_thread(joint, only),
        joint_words::new_hardware(joint),
    ];
    if joint.with_wheels_down.is_some() {
        facts.push(vec![run(joint_words::standing(binding))]);
    }
    facts.extend(joint_words::tightening(binding, joint));
    dotted(facts)
}

fn never_tightened(binding: &Binding<'_>) -> Vec<TableRow> {
    let mut rows = Vec::new();
    for (id, joint) in binding.plan.joints.iter() {
        let uses = binding.work;
        let replaced = binding.work.is_replaced(id);
        let wanted = joint.torque.is_some() && joint.gone.is_none() && !replaced;
        if wanted && uses.tightened.steps(id).is_empty() && !uses.loosened.steps(id).is_empty() {
            let told = Told {
                called: capital(&joint.head.called()),
                joints: vec![(id, None, None)],
                facts: facts(binding, id, None),
            };
            rows.push(row(binding, &told, Line::new(), "~no-step", rows.len() + 1));
        }
    }
    rows
}

fn row(binding: &Binding<'_>, told: &Told, number: Line, key: &str, nth: usize) -> TableRow {
    let mut lines = vec![vec![run(told.called.clone())], told.facts.clone()];
    lines.retain(|line| !line.is_empty());
    let mut marks: Option<Marks> = None;
    let mut from = 0;
    for &(id, count, side) in &told.joints {
        let joint = &binding.plan.joints[id];
        let count = count.unwrap_or_else(|| joint.fixing_count());
        let made = card_marks::hexagons(joint, count, &|mark| proof::torque_fixing(key, nth, mark + from));
        from += count;
        let Some(mut made) = made else { continue };
        for group in &mut made.groups {
            group.side = side;
            // Where one looks from stands on the card.
            group.label = None;
        }
        match &mut marks {
            Some(marks) => marks.groups.extend(made.groups),
            None => marks = Some(made),
        }
    }
    let first = told.joints.first().map(|(id, _, _)| &binding.plan.joints[*id]);
    let seen = first.is_some_and(|joint| joint.second_check.is_some());
    let again = seen && first.is_some_and(|joint| joint.torque.is_some());
    tick_row(
        vec![
            cell(number),
            Cell::Lines(lines),
            first.map_or(Cell::Empty, |joint| torque(binding, joint)),
            marks.map_or(Cell::Hexagon, Cell::Marks),
            Cell::Square,
            if seen { Cell::Write } else { Cell::Empty },
            if again { Cell::Square } else { Cell::Empty },
        ],
        proof::torque(key, nth),
    )
}

fn torque(binding: &Binding<'_>, joint: &Joint) -> Cell {
    match joint_words::torque(binding, joint) {
        Some(torque) => Cell::Torque(torque),
        None if joint_words::torque_to_come(joint) => Cell::Write,
        None => cell(vec![run("no figure in the plan")]),
    }
}
