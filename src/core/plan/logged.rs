//! What was read and measured while a step was done, as its log says it: into the blank of the weigh-in or of the act that waits for it; a
//! reading for which none waits is a weigh-in of its own.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::model::{
    Dated, Does, Head, Id, Load, Log, Plan, Reading, Reads, Said, Scale, Step, StepLine, WeighIn, Weighed,
};

/// Takes every reading of the logs to its place.
pub fn settle(plan: &mut Plan) {
    let logs = std::mem::take(&mut plan.logs);
    for log in &logs {
        let Some(&step) = log.steps.last() else { continue };
        let when = When {
            day: log.done.or(log.stopped.as_ref().map(|said| said.value.on)),
            step,
        };
        let mut own = Vec::new();
        for reads in log.reads.iter().filter(|reads| reads.mass != Reading::ToCome) {
            match blank_of(plan, &when, reads) {
                Some((sheet, nth)) => fill(plan, sheet, nth, reads),
                None => own.push(reads.clone()),
            }
        }
        let mut corners = log.corners;
        let mut axles = log.axles;
        let whole = |sheet: &WeighIn| {
            let blank = |readings: &[Reading<_>]| readings.iter().all(|reading| *reading == Reading::ToCome);
            let corners = sheet.corners.is_some_and(|said| blank(&said.value.all()));
            let axles = sheet
                .axles
                .is_some_and(|said| blank(&[said.value.front, said.value.rear]));
            corners || axles
        };
        if (corners.is_some() || axles.is_some())
            && let Some(sheet) = nearest(plan, &when, None, whole)
        {
            let sheet = plan.weigh_ins.values_mut().nth(sheet.index());
            if let Some(sheet) = sheet {
                sheet.corners = corners.take().or(sheet.corners);
                sheet.axles = axles.take().or(sheet.axles);
            }
        }
        if !own.is_empty() || corners.is_some() || axles.is_some() {
            let sheet = WeighIn {
                reads: own,
                corners,
                axles,
                ..sheet_of(plan, log, &when)
            };
            plan.weigh_ins.push(sheet);
        }
        for measured in &log.measured {
            measure(plan, &log.steps, measured);
        }
    }
    plan.logs = logs;
}

/// When a log's readings were taken.
struct When {
    day: Option<Dated>,
    step: Id<Step>,
}

/// The blank for the same things; of several the one of the day, of the step, on the scale that the step weighs with.
fn blank_of(plan: &Plan, when: &When, reads: &Reads) -> Option<(Id<WeighIn>, usize)> {
    let what = |reads: &Reads| reads.what.iter().map(|said| said.value).collect::<BTreeSet<_>>();
    let wanted = what(reads);
    let place = |sheet: &WeighIn| {
        let mut all = sheet.reads.iter();
        all.position(|other| other.mass == Reading::ToCome && what(other) == wanted)
    };
    let scale = scale_of(plan, when.step, &wanted);
    let sheet = nearest(plan, when, scale, |sheet| place(sheet).is_some())?;
    Some((sheet, place(&plan.weigh_ins[sheet])?))
}

/// Of the sheets that would do the one that fits best; none where two fit alike.
fn nearest(
    plan: &Plan,
    when: &When,
    scale: Option<Id<Scale>>,
    would_do: impl Fn(&WeighIn) -> bool,
) -> Option<Id<WeighIn>> {
    let fits = |sheet: &WeighIn| {
        let after = sheet.after.is_some_and(|said| said.value == when.step);
        let day = sheet.dated.map(|said| said.value);
        let day = day.is_some() && day == when.day.map(|said| said.value);
        let scale = scale.is_some() && scale == sheet.with.map(|said| said.value);
        (after, day, scale)
    };
    let all: Vec<_> = plan
        .weigh_ins
        .iter()
        .filter(|(_, sheet)| would_do(sheet))
        .map(|(id, sheet)| (fits(sheet), id))
        .collect();
    let best = all.iter().map(|(fit, _)| *fit).max()?;
    let mut best = all.iter().filter(|(fit, _)| *fit == best);
    match (best.next(), best.next()) {
        (Some(&(_, id)), None) => Some(id),
        _ => None,
    }
}

fn fill(plan: &mut Plan, sheet: Id<WeighIn>, nth: usize, reads: &Reads) {
    let sheet = plan.weigh_ins.values_mut().nth(sheet.index());
    let Some(blank) = sheet.and_then(|sheet| sheet.reads.get_mut(nth)) else {
        return;
    };
    blank.mass = reads.mass;
    blank.give = reads.give;
    blank.at = reads.at;
    // Words of both stay.
    blank.words = match (blank.words.take(), &reads.words) {
        (Some(own), Some(more)) if own != *more => Some(format!("{own}; {more}").into()),
        (own, more) => own.or_else(|| more.clone()),
    };
}

/// The scale that the step weighs these things with.
fn scale_of(plan: &Plan, step: Id<Step>, wanted: &BTreeSet<Weighed>) -> Option<Id<Scale>> {
    plan.steps[step].acts().find_map(|act| {
        let Does::Weigh { things, with } = &act.does else {
            return None;
        };
        let weighs = things.iter().any(|load| {
            wanted.contains(&match load.value {
                Load::Thing(thing) => Weighed::Thing(thing),
                Load::Vehicle(vehicle) => Weighed::Vehicle(vehicle),
            })
        });
        with.filter(|_| weighs).map(|said| said.value)
    })
}

/// A sheet with nothing on it, of the step's day and scale.
fn sheet_of(plan: &Plan, log: &Log, when: &When) -> WeighIn {
    let step = &plan.steps[when.step];
    let with = step.acts().find_map(|act| match &act.does {
        Does::Weigh { with, .. } => *with,
        // Nothing else is done with a scale.
        _ => None,
    });
    let name = format!("log-{}", step.head.name);
    let count = plan
        .weigh_ins
        .values()
        .filter(|sheet| sheet.head.name.starts_with(&name))
        .count();
    WeighIn {
        head: Head {
            name: match count {
                0 => name.into(),
                more => format!("{name}-{}", more + 1).into(),
            },
            at: log.at,
            title: Some(format!("Read while it was done: {}", step.head.called()).into()),
            block: log.at,
            notes: Vec::new(),
            was: None,
            shared: false,
        },
        dated: when.day,
        after: Some(Said::new(when.step, log.at)),
        with,
        reads: Vec::new(),
        tare: Vec::new(),
        sum_given: None,
        corners: None,
        axles: None,
        raised: None,
        fuel: None,
        driver: None,
        tyres: None,
        level: None,
    }
}

/// Into the act that measures it; what no act of the log's steps measures is printed with the log.
fn measure(plan: &mut Plan, steps: &[Id<Step>], measured: &super::model::MeasuredThen) {
    for &step in steps {
        for line in &mut plan.steps[step].lines {
            let StepLine::Act(act) = line else { continue };
            if let Does::Measure { what, value } = &mut act.does
                && what.name == measured.what.name
                && value.is_none_or(|said| said.value == Reading::ToCome)
            {
                *value = Some(measured.value);
                return;
            }
        }
    }
}
