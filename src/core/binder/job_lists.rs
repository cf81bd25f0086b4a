//! The short lists of "The job on one page": what can hurt and what is heavy, each cut to so many rows, for the whole stands on other pages; how
//! much has to be there; and every place where the job may stop, which stands nowhere else. Knows nothing of hours.

use super::binding::Binding;
use super::document::{Block, Line, TickItem};
use super::masses::{self, ShownMass};
use super::words::{and_list, capital, counted, run, strong};
use super::{get_ready, hazards, order_list, rig_loads};
use crate::plan::model::{Bearer, Does, Id, Load, Said, Step, Thing};

fn list(title: &str, items: Vec<TickItem>) -> Option<Block> {
    (!items.is_empty()).then(|| Block::TickList {
        title: title.to_owned(),
        items,
    })
}

/// A title that says how much of all is shown, where that is not all.
fn shown(title: &str, rows: usize, all: usize) -> String {
    if all > rows {
        format!("{title}, {rows} of {all}")
    } else {
        title.to_owned()
    }
}

fn item(text: Line, right: impl Into<String>) -> TickItem {
    let right = right.into();
    TickItem {
        text,
        right: (!right.is_empty()).then_some(right),
        tick: false,
    }
}

/// Hazards, with the steps where they wait.
#[must_use]
pub fn hurt(binding: &Binding<'_>, rows: usize) -> Option<Block> {
    let all = hazards::all(binding);
    let title = shown("What can hurt you", rows, all.len());
    let items = all
        .into_iter()
        .take(rows)
        .map(|hazard| {
            let title = capital(&binding.plan.cautions[hazard.caution].head.called());
            let steps = match (hazard.whole_job, hazard.steps.len()) {
                (true, _) => "the whole job".to_owned(),
                (false, 0..=4) => binding.numbers(&hazard.steps),
                (false, more) => counted(more, "step", "steps"),
            };
            item(vec![run(title)], steps)
        })
        .collect();
    list(&title, items)
}

/// A known lift: what, how heavy, by what.
struct Lift {
    called: String,
    estimate: ShownMass,
    by: String,
}

/// What is heaviest, and what lifts it.
#[must_use]
pub fn lifts(binding: &Binding<'_>, rows: usize) -> Option<Block> {
    let mut lifts: Vec<Lift> = Vec::new();
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            for lift in of_act(binding, step, &act.does) {
                if lifts.iter().all(|known| known.called != lift.called) {
                    lifts.push(lift);
                }
            }
        }
    }
    lifts.sort_by(|a, b| b.estimate.kg.total_cmp(&a.estimate.kg));
    let items = lifts
        .into_iter()
        .take(rows)
        .map(|lift| {
            let text = vec![
                run(format!("{}, ", lift.called)),
                strong(masses::text(binding, lift.estimate)),
            ];
            item(text, lift.by)
        })
        .collect();
    list("Heaviest lifts", items)
}

fn of_act(binding: &Binding<'_>, step: Id<Step>, does: &Does) -> Vec<Lift> {
    let with_rig = |id: Id<crate::plan::model::Rig>| {
        let rig = &binding.plan.rigs[id];
        let rated = rig
            .rated
            .map(|said| format!(", {}", binding.at_most(said.value.mass)));
        format!("{}{}", binding.rig(id), rated.unwrap_or_default())
    };
    match does {
        Does::Hold { things, by } => {
            let by = match by.value {
                Bearer::Rig(rig) => with_rig(rig),
                Bearer::Person(person) => format!("by hand, {}", binding.person(person)),
            };
            lifted(binding, things, &by)
        }
        Does::Raise {
            things,
            on: Some(rig),
            end,
            ..
        } => {
            let whole = end.is_none() && binding.is_machine();
            let machine = things.iter().find(|load| matches!(load.value, Load::Vehicle(_)));
            match machine.filter(|_| whole) {
                // A car on its lift is no surprise; a machine in slings is the lift of the job.
                Some(load) => rig_loads::vehicle(binding, rig.value)
                    .map(|estimate| Lift {
                        called: format!("{}, with what is on it then", capital(&binding.the(load.value))),
                        estimate,
                        by: with_rig(rig.value),
                    })
                    .into_iter()
                    .collect(),
                None => lifted(binding, things, &with_rig(rig.value)),
            }
        }
        Does::TakeOff(things) | Does::Fit(things) => {
            let held = binding.plan.steps[step]
                .acts()
                .any(|act| matches!(&act.does, Does::Hold { .. } | Does::Raise { .. }));
            if held {
                return Vec::new();
            }
            let loads: Vec<Said<Load>> = things
                .iter()
                .map(|thing| Said::new(Load::Thing(thing.value), thing.at))
                .collect();
            let who = binding.who(&binding.plan.steps[step]);
            let by = if who.is_empty() {
                "by hand".to_owned()
            } else {
                format!("by hand, {who}")
            };
            lifted(binding, &loads, &by)
        }
        // Nobody lifts by it.
        _ => Vec::new(),
    }
}

fn lifted(binding: &Binding<'_>, things: &[Said<Load>], by: &str) -> Vec<Lift> {
    things
        .iter()
        .filter_map(|load| {
            let Load::Thing(thing) = load.value else {
                return None;
            };
            let body = matches!(thing, Thing::Part(part) if binding.plan.parts[part].is_body);
            let estimate = masses::of_load(binding, load.value).filter(|_| !body)?;
            Some(Lift {
                called: capital(&binding.plan.called(thing)),
                estimate,
                by: by.to_owned(),
            })
        })
        .collect()
}

/// How much has to be ordered, and how much borrowed or made: what, Get ready says.
#[must_use]
pub fn have(binding: &Binding<'_>) -> Line {
    let ordered = order_list::all(binding).len();
    let wanting = get_ready::wanting(binding).len();
    let told: Vec<String> = [
        (
            ordered,
            counted(ordered, "kind of hardware to order", "kinds of hardware to order"),
        ),
        (
            wanting,
            counted(
                wanting,
                "thing to make, borrow or buy",
                "things to make, borrow or buy",
            ),
        ),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(_, told)| told)
    .collect();
    if told.is_empty() {
        return Line::new();
    }
    vec![
        strong("Get these first: "),
        run(format!("{}, all in Get ready.", and_list(&told))),
    ]
}

/// The same without its heading: "after 1.2 seat out".
#[must_use]
pub fn may_stop(binding: &Binding<'_>) -> Line {
    let mut line = stops(binding);
    if line.is_empty() {
        return vec![run("nowhere before it is done")];
    }
    line.remove(0);
    if let Some(first) = line.first_mut() {
        first.text = first.text.trim_start().into();
    }
    line
}

/// All steps that say that the job may be left; where a stage has none, its last step if the walk finds nothing against it.
#[must_use]
pub fn stops(binding: &Binding<'_>) -> Line {
    let plan = binding.plan;
    let says = |step: &Id<Step>| plan.steps[*step].safe_to_leave.is_some();
    let safe = |step: &Id<Step>| {
        let after = binding.compilation.walk.after(plan, *step);
        after.is_some_and(|after| after.unsafe_to_leave().is_empty())
    };
    let stages = binding.stages();
    let ends = stages.iter().flat_map(|(_, steps)| {
        let said: Vec<Id<Step>> = steps.iter().copied().filter(says).collect();
        let last = steps.last().copied().filter(|step| said.is_empty() && safe(step));
        said.into_iter().chain(last)
    });
    // The end of the job is no place to stop.
    let all: Vec<Id<Step>> = ends.filter(|step| Some(step) != plan.order.last()).collect();
    if all.is_empty() {
        return Line::new();
    }
    let mut line = vec![strong("Good places to stop:")];
    for (nth, step) in all.into_iter().enumerate() {
        let title = binding.inside(&super::step_title::step_title(binding, &binding.plan.steps[step]));
        line.push(run(if nth == 0 { " after " } else { " · after " }));
        line.push(strong(binding.number(step)));
        line.push(run(format!(" {title}")));
    }
    line
}
