//! Weighings that are done, as rows of one table, and where those that are not are filled in. Knows readings and steps; a blank sheet is
//! made elsewhere.

use super::binding::Binding;
use super::document::{Line, TableRow, WeighCell, WeighingSheet};
use super::figures;
use super::tables::{cell, row, tick_row, total};
use super::weighing::{lies_on_the_scale, weighs_vehicle};
use super::words::{capital, dotted, run, strong};
use crate::analysis::vehicle_weighings;
use crate::plan::model::{Does, Id, Said, Step, WeighIn};

/// What was weighed, and the day.
#[must_use]
pub fn head(weigh_in: &WeighIn) -> String {
    let called = capital(&weigh_in.head.called());
    match weigh_in.dated {
        Some(day) => format!("{called}, {}", day.value),
        None => called,
    }
}

/// The rows of a sheet whose readings are all in: scale and conditions in one line, readings, shares of the corners, sums.
#[must_use]
pub fn rows(weigh_in: &WeighIn, sheet: WeighingSheet, scale: Option<String>) -> Vec<TableRow> {
    let mut rows = Vec::new();
    let dated = weigh_in.dated.map(|day| day.value.to_string());
    let known = sheet.conditions.into_iter();
    let known = known.filter(|(_, value)| *value != dated);
    let scale = scale.map(|scale| vec![run(capital(&scale))]);
    let conditions: Vec<Line> = scale
        .into_iter()
        .chain(known.filter_map(|(label, value)| Some(vec![run(format!("{label}: {}", value?))])))
        .collect();
    rows.push(tick_row(vec![cell(dotted(conditions))], sheet.proof));
    let only = match sheet.rows.as_slice() {
        [one] => match &one.reads {
            WeighCell::Known(read) => Some(read.clone()),
            WeighCell::Blank { .. } | WeighCell::Nothing => None,
        },
        _ => None,
    };
    for reading in sheet.rows {
        let text = match (&reading.reads, &reading.tare) {
            (WeighCell::Known(read), _) => read.clone(),
            (_, WeighCell::Known(tare)) => format!("\u{2212}{tare}"),
            _ => String::new(),
        };
        rows.push(tick_row(
            vec![cell(reading.what), cell(vec![strong(text)])],
            reading.proof,
        ));
    }
    if let Some([front_left, front_right, rear_left, rear_right]) = sheet.corners {
        let read = |cell: &WeighCell| match cell {
            WeighCell::Known(read) => read.clone(),
            WeighCell::Blank { .. } | WeighCell::Nothing => String::new(),
        };
        for (end, left, right) in [
            ("Front", &front_left, &front_right),
            ("Rear", &rear_left, &rear_right),
        ] {
            rows.push(row(vec![
                cell(vec![run(format!("{end}, left and right"))]),
                cell(vec![strong(format!("{} · {}", read(left), read(right)))]),
            ]));
        }
        rows.extend(shares(weigh_in).map(|shares| row(vec![cell(shares)])));
    }
    // A sum that is given too stands once, and that of one reading not at all.
    let mut sums: Vec<(String, String)> = Vec::new();
    for (label, value) in sheet.foot {
        let Some(value) = value else { continue };
        match sums.iter_mut().find(|(_, sum)| *sum == value) {
            Some((label, _)) => label.push_str(", as given"),
            None if only.as_ref() == Some(&value) => {}
            None => sums.push((label, value)),
        }
    }
    rows.extend(sums.into_iter().map(|(label, value)| {
        let value = cell(vec![strong(value)]);
        total(vec![cell(vec![run(label)]), value])
    }));
    rows
}

/// Front, left and cross in hundredths of the whole. Cross is front right and rear left.
fn shares(weigh_in: &WeighIn) -> Option<Line> {
    let known = weigh_in.corners?.value.all().map(|mass| mass.known());
    let [
        Some(front_left),
        Some(front_right),
        Some(rear_left),
        Some(rear_right),
    ] = known
    else {
        return None;
    };
    let [front_left, front_right, rear_left, rear_right] =
        [front_left, front_right, rear_left, rear_right].map(|mass| mass.base());
    let whole = front_left + front_right + rear_left + rear_right;
    if whole <= 0.0 {
        return None;
    }
    let share = |part: f64| strong(format!("{} %", figures::decimal(part / whole * 100.0, 1)));
    Some(vec![
        run("Front "),
        share(front_left + front_right),
        run(" · left "),
        share(front_left + rear_left),
        run(" · cross, front right and rear left, "),
        share(front_right + rear_left),
    ])
}

/// The step after which a sheet is filled in: the last that weighs what it lists, or of the vehicle the one in the sheet's place.
#[must_use]
pub fn filled_in_at(binding: &Binding<'_>, id: Id<WeighIn>) -> Option<Id<Step>> {
    let plan = binding.plan;
    let weigh_in = &plan.weigh_ins[id];
    if weighs_vehicle(weigh_in) {
        let mut moments = vehicle_weighings::moments(plan).into_iter();
        return moments.find(|(other, _)| *other == id)?.1.step();
    }
    plan.order.iter().rev().copied().find(|&step| {
        let mut acts = plan.steps[step].acts();
        acts.any(|act| match &act.does {
            Does::Weigh { things, .. } => things.iter().any(|load| {
                let what = lies_on_the_scale(load.value);
                let is = |said: &Said<_>| said.value == what;
                weigh_in.reads.iter().any(|reads| reads.what.iter().any(is))
            }),
            // Nothing else lies on a scale.
            _ => false,
        })
    })
}
