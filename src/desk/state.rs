//! `state`: the machine now, or after a step, in one screen. Asks the walk, and says what it answers by the names that the plan uses.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::command_line::State;
use super::lint::compiled;
use super::numbers::{kept, step_named};
use super::surroundings::Surroundings;
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::binder::kept::Kept;
use crate::binder::letters;
use crate::compile::Compilation;
use crate::plan::halts;
use crate::plan::model::{End, Halt, Id, Joint, Part, Plan, Step, StoppedAt};
use crate::press::terminal::{visible, wrapped};
use crate::walk::after::After;
use crate::walk::breaks::Subject;
use crate::walk::state::{Holder, Opening};

/// Width of the column of words before the names.
const WORDS: usize = 13;

/// Names of one row, where not all are asked for.
const MOST: usize = 24;

pub(super) fn state(asked: &State, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let done = done?;
    let compilation = done.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let plan = &compilation.plan;
    let numbers = kept(&asked.numbers.binder, plan, &done.name).numbers(plan);
    let step = asked
        .after
        .as_deref()
        .map(|name| step_named(plan, &numbers, name))
        .transpose()?;
    let now = step.is_none() && !asked.found;
    let halt = stopped_at(&compilation).filter(|_| now);
    let by_log = plan.progress.last.filter(|_| now);
    let step = step.or(halt.map(|halt| halt.step)).or(by_log);
    let after = match (halt, step) {
        (Some(halt), _) => compilation.walk.midst(plan, halt),
        (None, Some(step)) => compilation.walk.after(plan, step),
        (None, None) => Some(compilation.walk.before(plan)),
    };
    let Some(after) = after else {
        return Err(Trouble::new("This step is not in the order of work."));
    };
    let most = if asked.all { usize::MAX } else { MOST };
    let numbered = step.map(|step| (step, numbers.get(&step).map_or("", String::as_str)));
    talk::show(&page(
        &compilation,
        &numbers,
        (numbered, by_log.is_some()),
        halt,
        &after,
        around.columns(),
        most,
    ))
}

/// Where the log says that a step was stopped: by the act's own words, or by a letter as its card would be printed now.
pub(super) fn stopped_at(done: &Compilation) -> Option<Halt> {
    let plan = &done.plan;
    if plan.progress.halt.is_some() {
        return plan.progress.halt;
    }
    let log = plan.logs.get(plan.progress.stopped?)?;
    match &log.stopped.as_ref()?.value.place {
        StoppedAt::Letter(letter) => {
            letters::halt_of(done, &Kept::default(), *log.steps.last()?, &letter.value).ok()
        }
        StoppedAt::After(_) | StoppedAt::Act(_) => None,
    }
}

/// "after: undo link-left".
pub(super) fn behind(plan: &Plan, halt: Halt) -> String {
    match halts::words(plan, halt) {
        Some(words) => format!("after: {words}"),
        None if halt.acts == 0 && halt.names == 0 => "before its first act".to_owned(),
        None => format!("after {} of its acts", halt.acts),
    }
}

/// What is said where the plan's text has to be mended first.
pub(super) fn unwalked() -> Trouble {
    Trouble::new(
        "The plan's text or names have faults, so that its steps cannot be walked through. boltfolio lint tells which.",
    )
}

/// " Perhaps a or b?"
pub(super) fn perhaps(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        _ => format!(" Perhaps {}?", names.join(" or ")),
    }
}

fn page(
    done: &Compilation,
    numbers: &BTreeMap<Id<Step>, String>,
    (step, by_log): (Option<(Id<Step>, &str)>, bool),
    halt: Option<Halt>,
    after: &After<'_>,
    columns: usize,
    most: usize,
) -> String {
    let plan = &done.plan;
    let head = match step {
        Some((step, number)) => {
            let known = &plan.steps[step];
            let title = known
                .head
                .title
                .as_ref()
                .map_or_else(String::new, |title| format!(", {title}"));
            let now = if by_log { "now, by the log, " } else { "" };
            let name = &known.head.name;
            match halt {
                Some(halt) => format!(
                    "{}: now, by the log, within step {number} {name}{title}, {}",
                    plan.title(),
                    behind(plan, halt)
                ),
                None => format!("{}: {now}after step {number} {name}{title}", plan.title()),
            }
        }
        None => format!("{}: as it was found", plan.title()),
    };
    let mut text = wrapped(&visible(&head), columns, 0).join("\n") + "\n\n";
    let place = step.map(|(step, _)| (step, halt.is_some()));
    for (words, names) in rows(plan, numbers, place, after) {
        if names.is_empty() {
            continue;
        }
        let more = names.len().saturating_sub(most);
        let mut line = names.into_iter().take(most).collect::<Vec<_>>().join(", ");
        if more > 0 {
            line.push_str(&format!(", and {more} more"));
        }
        let shown = wrapped(&visible(&line), columns.saturating_sub(WORDS).max(16), 0);
        for (nth, part) in shown.iter().enumerate() {
            let words = if nth == 0 { words } else { "" };
            text.push_str(&format!("{words:WORDS$}{part}\n"));
        }
    }
    text
}

fn rows<'a>(
    plan: &'a Plan,
    numbers: &BTreeMap<Id<Step>, String>,
    step: Option<(Id<Step>, bool)>,
    after: &After<'a>,
) -> Vec<(&'static str, Vec<String>)> {
    let joint = |id: Id<Joint>| plan.joints[id].head.name.to_string();
    let off: BTreeSet<Id<Part>> = after.taken_off().collect();
    let slack: Vec<Id<Joint>> = after.slack().collect();
    let out = after
        .out()
        .filter(|&id| !slack.contains(&id))
        .map(joint)
        .collect::<Vec<_>>();
    let held = after.held();
    let still: BTreeSet<Id<Joint>> = held
        .iter()
        .flat_map(|(_, parts)| after.still_joined(parts))
        .collect();
    let held_rows = held.iter().filter_map(|(holder, parts)| {
        let by = match holder {
            Holder::Rig(rig) => &plan.rigs[*rig].head.name,
            Holder::Person(person) => &plan.people[*person].head.name,
            Holder::Repair => return None,
        };
        Some(format!(
            "{} by {by}",
            things(plan, &parts.iter().copied().collect()).join(" with ")
        ))
    });
    let mut empty = 0;
    let mut lines: Vec<String> = Vec::new();
    for (id, opening) in after.openings() {
        let word = match opening {
            Opening::Open if after.is_wet(id) => "open and full",
            Opening::Open | Opening::Shut => {
                empty += 1;
                continue;
            }
            Opening::Capped => "capped",
            Opening::Plugged => "plugged",
            Opening::CappedAndPlugged => "capped and plugged",
            Opening::Clamped => "clamped",
        };
        lines.push(format!("{} {word}", joint(id)));
    }
    if empty > 0 {
        lines.push(format!("{empty} open and empty"));
    }
    let drained = plan
        .fluids
        .iter()
        .filter(|(id, _)| !after.is_full(*id))
        .map(|(_, fluid)| fluid.head.name.to_string());
    let live = after.live().map(|id| plan.energies[id].head.name.to_string());
    let tied = after
        .tied_up()
        .map(|(part, to)| format!("{} to {}", plan.parts[part].head.name, plan.parts[to].head.name));
    vec![
        ("Stands on", stands(plan, after)),
        ("Live", live.collect()),
        ("Held", held_rows.collect()),
        ("Tied up", tied.collect()),
        ("Lines", lines),
        ("Off", things(plan, &off)),
        ("Still joined", still.into_iter().map(joint).collect()),
        ("Slack", slack.into_iter().map(joint).collect()),
        ("Out", out),
        ("Drained", drained.collect()),
        (
            "To leave",
            vec![to_leave(plan, numbers, step, &after.unsafe_to_leave())],
        ),
    ]
}

fn stands(plan: &Plan, after: &After<'_>) -> Vec<String> {
    let Some(vehicle) = plan.vehicle() else {
        return Vec::new();
    };
    let own = if plan.vehicles[vehicle].is_machine {
        "feet"
    } else {
        "wheels"
    };
    let under = |end| {
        after
            .end_on(end)
            .map_or(own, |rig| &*plan.rigs[rig].head.name)
            .to_owned()
    };
    let (front, rear) = (under(End::Front), under(End::Rear));
    if front == rear {
        vec![front]
    } else {
        vec![format!("{front} in front"), format!("{rear} at the rear")]
    }
}

/// Names of parts, those of an assembly that is all among them by the assembly's name; the largest assembly wins.
fn things(plan: &Plan, parts: &BTreeSet<Id<Part>>) -> Vec<String> {
    let mut left = parts.clone();
    let mut whole: Vec<_> = plan
        .assemblies
        .values()
        .filter(|assembly| assembly.parts.len() > 1 && assembly.parts.iter().all(|part| parts.contains(part)))
        .collect();
    whole.sort_by_key(|assembly| std::cmp::Reverse(assembly.parts.len()));
    let mut names = Vec::new();
    for assembly in whole {
        if assembly.parts.iter().all(|part| left.contains(part)) {
            names.push(assembly.head.name.to_string());
            for part in &assembly.parts {
                left.remove(part);
            }
        }
    }
    names.extend(
        left.into_iter()
            .map(|part| plan.parts[part].head.name.to_string()),
    );
    names
}

/// Nothing is called safe but by its plan.
fn to_leave(
    plan: &Plan,
    numbers: &BTreeMap<Id<Step>, String>,
    step: Option<(Id<Step>, bool)>,
    unsafe_things: &[Subject],
) -> String {
    let within = step.is_some_and(|(_, within)| within);
    let step = step.map(|(step, _)| step);
    let names: Vec<String> = unsafe_things
        .iter()
        .map(|subject| match subject {
            Subject::Part(id) => plan.parts[*id].head.name.to_string(),
            Subject::Joint(id) => format!("{} open and full", plan.joints[*id].head.name),
            Subject::Energy(id) => format!("{} live, and no joint keeps it in", plan.energies[*id].head.name),
            Subject::End(End::Front) => "the front end is on a rig that only lifts".to_owned(),
            Subject::End(End::Rear) => "the rear end is on a rig that only lifts".to_owned(),
            Subject::Rig(_)
            | Subject::Person(_)
            | Subject::Fluid(_)
            | Subject::Tool(_)
            | Subject::Step(_)
            | Subject::WeighIn(_)
            | Subject::Vehicle => "something is in hands".to_owned(),
        })
        .collect();
    if !names.is_empty() {
        return format!("NOT to be left: {}", names.join(", "));
    }
    if !within && step.is_some_and(|step| plan.steps[step].may_stop().is_some()) {
        return "the plan calls this a place to stop".to_owned();
    }
    let behind = step.map_or(0, |step| {
        let place = plan.order.iter().position(|&other| other == step);
        place.map_or(plan.order.len(), |place| place + usize::from(!within))
    });
    let mut later = plan.order.iter().skip(behind);
    match later.find(|&&step| plan.steps[step].may_stop().is_some()) {
        Some(next) => format!(
            "not called safe; next place to stop: {} {}",
            numbers.get(next).map_or("", String::as_str),
            plan.steps[*next].head.name
        ),
        None if behind >= plan.order.len() => "the work is done".to_owned(),
        None => "not called safe, and no later step is".to_owned(),
    }
}
