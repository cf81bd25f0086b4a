//! The two tables of the data form: the mass account, and the torque table in the order of the binder's. Knows nothing of how cells are
//! written.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::context::{Context, fine, origin, text};
use super::csv::{Cell, table};
use super::joints::{designation, order, threads};
use crate::analysis::account::Entry;
use crate::analysis::work::OnJoint;
use crate::plan::model::{Fixing, Id, Joint, Step, Text};
use crate::plan::vocabulary::acts::OnJoints;
use crate::reckon::mass::MassEstimate;

/// Where in the row of a mass account a figure stands.
enum Column {
    Off,
    On,
    Saved,
}

fn figures(estimate: Option<&MassEstimate>, column: &Column) -> [Cell; 5] {
    let kg = || Cell::number(estimate.and_then(|estimate| fine(estimate.kg)));
    let [off, on, saved] = match column {
        Column::Off => [kg(), Cell::Empty, Cell::Empty],
        Column::On => [Cell::Empty, kg(), Cell::Empty],
        Column::Saved => [Cell::Empty, Cell::Empty, kg()],
    };
    [
        off,
        on,
        saved,
        Cell::number(estimate.and_then(|estimate| fine(estimate.expanded()))),
        Cell::text(estimate.map_or("not known", |estimate| origin(estimate.origin))),
    ]
}

/// A row for each thing of each swap, then what the swap saves, and last what all save whose masses are known.
pub(super) fn mass_account(context: &Context<'_>) -> Vec<u8> {
    const HEADS: &[&str] = &[
        "row",
        "swap",
        "name",
        "title",
        "off_kg",
        "on_kg",
        "saved_kg",
        "within_kg_95_percent",
        "origin",
    ];
    let account = context.compilation.account();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for swap in &account.swaps {
        let head = &context.plan.swaps[swap.id].head;
        let entry = |entry: &Entry, column: &Column| {
            let mut row = vec![
                Cell::text("thing"),
                Cell::text(&*head.name),
                Cell::text(context.weighed(entry.what).name),
                Cell::text(context.called(entry.what)),
            ];
            row.extend(figures(entry.estimate.as_ref(), column));
            row
        };
        rows.extend(swap.off.iter().map(|one| entry(one, &Column::Off)));
        rows.extend(swap.on.iter().map(|one| entry(one, &Column::On)));
        let mut sum = vec![
            Cell::text("swap"),
            Cell::text(&*head.name),
            Cell::Empty,
            Cell::text(head.called()),
        ];
        sum.extend(figures(swap.saved().as_ref(), &Column::Saved));
        rows.push(sum);
    }
    if let Some(saved) = account.saved() {
        let mut all = vec![Cell::text("all swaps"), Cell::Empty, Cell::Empty, Cell::Empty];
        all.extend(figures(Some(&saved), &Column::Saved));
        rows.push(all);
    }
    table(HEADS, &rows)
}

/// A row for each joint that is tightened, act by act; then those with a figure that the plan loosens and tightens nowhere.
pub(super) fn torques(context: &Context<'_>) -> Vec<u8> {
    const HEADS: &[&str] = &[
        "stage",
        "step",
        "step_name",
        "joint",
        "title",
        "count",
        "fixings",
        "tool",
        "torque_n_m",
        "torque_to_come",
        "least_n_m",
        "most_n_m",
        "rising_n_m",
        "then_deg",
        "threads",
        "left_hand",
        "order",
        "with_wheels_down",
        "second_check",
        "renew",
    ];
    let plan = context.plan;
    let mut rows = Vec::new();
    let work = context.compilation.work();
    let mut applied: Vec<(Id<Joint>, OnJoint)> = Vec::new();
    for (id, acts) in work.worked_on().filter(|(id, _)| plan.joints[*id].is_tightened()) {
        let tightened = acts.iter().filter(|on| on.does == OnJoints::Tightens);
        applied.extend(tightened.map(|on| (id, *on)));
    }
    applied.sort_by_key(|(_, on)| (on.nth, on.in_line));
    rows.extend(
        applied
            .into_iter()
            .map(|(id, on)| torque(context, Some(on.step), id, on.count)),
    );
    let replaced: BTreeSet<Id<Joint>> = plan
        .joints
        .values()
        .filter_map(|joint| joint.in_place_of.map(|said| said.value))
        .collect();
    for (id, joint) in plan.joints.iter() {
        let wanted = joint.torque.is_some() && joint.gone.is_none() && !replaced.contains(&id);
        if wanted && work.tightened.steps(id).is_empty() && !work.loosened.steps(id).is_empty() {
            rows.push(torque(context, None, id, None));
        }
    }
    table(HEADS, &rows)
}

fn torque(context: &Context<'_>, step: Option<Id<Step>>, id: Id<Joint>, count: Option<u32>) -> Vec<Cell> {
    let plan = context.plan;
    let joint = &plan.joints[id];
    let figure = joint.torque.as_ref().map(|said| &said.value);
    let known = figure.and_then(|figure| figure.torque.known());
    let band = figure.and_then(|figure| figure.band);
    let stage = step.and_then(|step| plan.steps[step].stage);
    let rising: Vec<String> = figure
        .map(|figure| figure.in_stages.iter().map(|torque| torque.base().to_string()))
        .into_iter()
        .flatten()
        .collect();
    vec![
        Cell::maybe(stage.map(|stage| &*plan.stages[stage].head.name)),
        Cell::maybe(step.map(|step| context.number(step))),
        Cell::maybe(step.map(|step| &*plan.steps[step].head.name)),
        Cell::text(&*joint.head.name),
        Cell::text(joint.head.called()),
        Cell::Number(f64::from(count.unwrap_or_else(|| joint.fixing_count()))),
        Cell::text(fixings(joint)),
        Cell::text(tools(joint)),
        Cell::number(known.map(|torque| torque.base())),
        Cell::yes(figure.is_some() && known.is_none()),
        Cell::number(band.map(|(least, _)| least.base())),
        Cell::number(band.map(|(_, most)| most.base())),
        Cell::text(rising.join(" then ")),
        Cell::number(figure.and_then(|figure| figure.then).map(|angle| angle.base())),
        Cell::maybe(threads(joint.tightening.threads)),
        Cell::yes(joint.tightening.left_hand.is_some()),
        Cell::maybe(order(joint.tightening.order)),
        Cell::yes(joint.with_wheels_down.is_some()),
        Cell::yes(joint.second_check.is_some()),
        Cell::text(renew(joint.renew.as_ref().map(|said| said.value.as_ref()))),
    ]
}

/// "bolts M10x1.25x45 class 10.9"; each with its count where there are several sizes: "4 bolts M8x30 + 2 bolts M8x45".
fn fixings(joint: &Joint) -> String {
    let several = joint.fixings.len() > 1;
    let row = |fixing: &Fixing| {
        let class = text(fixing.class.as_ref()).map_or_else(String::new, |class| format!(" class {class}"));
        let count = if several {
            format!("{} ", fixing.count)
        } else {
            String::new()
        };
        let what = fixing.what.words(fixing.count);
        format!("{count}{what} {}{class}", designation(&fixing.thread))
    };
    joint.fixings.iter().map(row).collect::<Vec<_>>().join(" + ")
}

/// "head 16 mm + nut head 17 mm".
fn tools(joint: &Joint) -> String {
    let all: Vec<String> = joint
        .drives
        .iter()
        .map(|drive| {
            format!("{} {}", drive.kind.row().word, drive.size)
                .trim_end()
                .to_owned()
        })
        .collect();
    all.join(" + ")
}

/// "yes", "no", or what.
fn renew(said: Option<Option<&Text>>) -> String {
    match said {
        None => "no".to_owned(),
        Some(None) => "yes".to_owned(),
        Some(Some(what)) => what.to_string(),
    }
}
