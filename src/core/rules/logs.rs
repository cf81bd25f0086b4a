//! The family **log**: what the log says was done, against the order of the work, its dates, its hours and what a joint has. What stands in a log
//! is never refused for what it reveals; it is asked about. Knows not where findings go.

use std::collections::{BTreeMap, BTreeSet};

use super::{Family, phrases, rule};
use crate::analysis::timing;
use crate::base::date::Date;
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::halts;
use crate::plan::model::{
    Bearer, Does, Id, Log, Person, Plan, Reading, Reads, Step, StoppedAt, Thread, WeighIn,
};
use crate::plan::write;
use crate::walk::Walk;
use crate::walk::breaks::Subject;

rule!(
    LOG_CONTRADICTS,
    "log-contradicts",
    Doubt,
    true,
    "The log says what cannot be: days out of the order of the work, hours of another size, more broken than a joint has."
);
rule!(
    LOG_GAP,
    "log-gap",
    Advice,
    true,
    "Steps are logged as done, and one before them is neither done nor left out."
);

rule!(
    LETTER_IN_LOG,
    "letter-in-log",
    Doubt,
    true,
    "The log says by a card's letter where the work stopped; it means another act when the step changes."
);

rule!(
    STOPPED_UNSAFE,
    "stopped-unsafe",
    Doubt,
    true,
    "The log says that the work stopped where the machine cannot be left."
);

pub static FAMILY: Family = Family {
    name: "log",
    about: "what was done, against the plan",
    rules: &[&LOG_CONTRADICTS, &LOG_GAP, &LETTER_IN_LOG, &STOPPED_UNSAFE],
};

/// So many times the planned hours, or so small a part of them, is asked about. Common practice, no source.
const FAR_OFF: f64 = 10.0;

pub(super) fn check(plan: &Plan, walk: Option<&Walk>, findings: &mut Vec<Finding>) {
    if plan.logs.is_empty() {
        return;
    }
    for log in &plan.logs {
        named(plan, log, findings);
        hours(plan, log, findings);
        hands(plan, log, findings);
        joints(plan, log, findings);
        fitted(plan, log, findings);
        stopped_at(plan, log, findings);
        readings(plan, log, findings);
    }
    damaged(plan, findings);
    twice(plan, findings);
    days(plan, findings);
    gap(plan, findings);
    if let Some(walk) = walk {
        left_standing(plan, walk, findings);
    }
}

fn name(plan: &Plan, step: Id<Step>) -> &str {
    &plan.steps[step].head.name
}

/// Where the log of a step that is done says so.
fn place_of(plan: &Plan, step: Id<Step>) -> Option<Span> {
    let day = plan.progress.done.get(&step)?;
    let mut done = plan.logs.iter().filter(|log| log.steps.contains(&step));
    done.find_map(|log| log.done.filter(|said| said.value == *day))
        .map(|said| said.at)
}

fn told(what: String) -> Finding {
    Finding::new(&LOG_CONTRADICTS, what)
        .harm("The machine is taken to stand where it does not: what is off, open and live comes out wrong.")
}

/// Ranges that run backwards, and steps that are both done and left out.
fn named(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    let place = |step: Id<Step>| plan.order.iter().position(|&other| other == step);
    for named in &log.named {
        let Some(to) = named.to else { continue };
        if place(to.value) < place(named.from.value) {
            let (from, to_name) = (name(plan, named.from.value), name(plan, to.value));
            findings.push(
                told(format!(
                    "`{to_name}` comes before `{from}` in the order of the work"
                ))
                .at(named.from.at.to(to.at), "taken as all from the one to the other")
                .mend(format!(
                    "Write: log {to_name} to {from}; or a list: log {from}, {to_name}"
                ))
                .about(from.to_owned()),
            );
        }
    }
    if let (Some(done), Some(skipped)) = (log.done, &log.skipped) {
        let first = log.steps.first().map_or("", |&step| name(plan, step));
        findings.push(
            told(format!("`{first}` is done and left out"))
                .at(done.at, "done")
                .at(skipped.at, "left out; it counts as done")
                .mend("Leave one of the two out. What was done in another way: done differently \"...\"")
                .about(first.to_owned()),
        );
    }
}

/// A step cannot be done before one that comes before it in the order of work. The plan's own day says when its text was made, which may be after the
/// first of the work.
fn days(plan: &Plan, findings: &mut Vec<Finding>) {
    // The latest day so far, with its step.
    let mut latest: Option<(Date, Id<Step>)> = None;
    for &step in &plan.order {
        let Some(&day) = plan.progress.done.get(&step) else {
            continue;
        };
        let Some(at) = place_of(plan, step) else { continue };
        match latest {
            Some((last, other)) if day < last => {
                let own = name(plan, step);
                let mut finding = told(format!(
                    "`{own}` was done on {day}, and `{}`, which comes before it, on {last}",
                    name(plan, other)
                ))
                .at(at, "this day")
                .mend("Correct the one or the other; or, if it was done out of its order, move the step in the plan")
                .about(own.to_owned());
                if let Some(before) = place_of(plan, other) {
                    finding = finding.at(before, "and this one");
                }
                findings.push(finding);
            }
            _ => latest = Some((day, step)),
        }
    }
}

/// Hours of another size than the plan's.
fn hours(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    // What was stopped took a part of it.
    let Some(took) = log.took.filter(|_| log.done.is_some()) else {
        return;
    };
    let planned: Option<Vec<_>> = log.steps.iter().map(|&step| timing::takes(plan, step)).collect();
    let Some(planned) = planned else { return };
    let likely: f64 = planned.iter().map(|estimate| estimate.likely()).sum();
    let took_min = took.value.base();
    if likely <= 0.0 || (took_min <= likely * FAR_OFF && took_min * FAR_OFF >= likely) {
        return;
    }
    let first = log.steps.first().map_or("", |&step| name(plan, step));
    findings.push(
        told(format!("`{first}` took {}, and is planned for {} min", took.value, likely.round()))
            .at(took.at, "ten times what is planned, or a tenth of it")
            .mend("Correct it if hours and minutes were mixed up; else accept it: accept log-contradicts for STEP because \"...\"")
            .about(first.to_owned()),
    );
}

/// Fewer did it than hold something and turn something at once.
fn hands(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    if log.done.is_none() || log.by.is_empty() || !log.differently.is_empty() {
        return;
    }
    for &step in &log.steps {
        let mut held: Vec<Id<Person>> = Vec::new();
        let mut most = 0;
        for act in plan.steps[step].acts() {
            match &act.does {
                Does::Hold { by, .. } => {
                    if let Bearer::Person(person) = by.value {
                        held.push(person);
                    }
                }
                Does::Release { .. } | Does::Set { .. } => held.clear(),
                Does::Undo(_) | Does::Start(_) | Does::Tighten(_) | Does::Slacken(_) => {
                    let people: BTreeSet<Id<Person>> = held.iter().copied().collect();
                    most = most.max(people.len() + usize::from(!people.is_empty()));
                }
                // Nothing else needs a hand beside those that hold.
                _ => {}
            }
        }
        let wanted = most.min(plan.steps[step].by.len());
        if log.by.len() >= wanted {
            continue;
        }
        let own = name(plan, step);
        let who: Vec<String> = log
            .by
            .iter()
            .map(|said| format!("`{}`", plan.people[said.value].head.name))
            .collect();
        let at = log.by.first().map_or(log.at, |said| said.at);
        findings.push(
            told(format!(
                "`{own}` was done by {} alone, and {wanted} are at it at once",
                super::joined(&who, "and")
            ))
            .at(at, "did it")
            .at(plan.steps[step].head.at, "hold and turn at the same time")
            .mend(format!(
                "Write all who were there; or how it went without them: log {own}; done differently \"...\""
            ))
            .about(own.to_owned()),
        );
    }
}

/// A reading that two blanks wait for alike stands on a sheet of its own.
fn readings(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    for reads in &log.reads {
        let what = |other: &Reads| other.what.iter().map(|said| said.value).collect::<BTreeSet<_>>();
        let mut sheets = plan.weigh_ins.values();
        let apart =
            sheets.any(|sheet| sheet.head.at == log.at && sheet.reads.iter().any(|own| own.at == reads.at));
        let waiting: Vec<&WeighIn> = plan
            .weigh_ins
            .values()
            .filter(|sheet| {
                let mut all = sheet.reads.iter();
                all.any(|other| other.mass == Reading::ToCome && what(other) == what(reads))
            })
            .collect();
        let (true, [first, second, ..]) = (apart, waiting.as_slice()) else {
            continue;
        };
        let names = (&first.head.name, &second.head.name);
        findings.push(
            told(format!(
                "a reading of the log may be that of `{}` or of `{}`",
                names.0, names.1
            ))
            .at(reads.at, "it stands by itself now")
            .at(first.head.at, "waits for it")
            .at(second.head.at, "and so does this one")
            .mend(format!(
                "Write it into its sheet, or say in the sheet whose it is: after {}",
                log.steps.last().map_or("STEP", |&step| name(plan, step))
            ))
            .about(names.0.to_string()),
        );
    }
}

/// An act that the step does not have, and a letter, which tells none for sure.
fn stopped_at(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    let (Some(stopped), Some(&step)) = (&log.stopped, log.steps.last()) else {
        return;
    };
    let own = name(plan, step);
    let (words, at) = match &stopped.value.place {
        StoppedAt::After(_) => return,
        StoppedAt::Act(said) => (said.value.to_string(), said.at),
        StoppedAt::Letter(said) => {
            let letter = &said.value;
            findings.push(
                Finding::new(
                    &LETTER_IN_LOG,
                    format!("`{own}` was stopped at act {letter}, which is a letter on paper and no act of the plan"),
                )
                .at(said.at, "another act, when others are put in before it")
                .harm("The machine is taken to stand an act too far, or one too few.")
                .mend(format!(
                    "Write the act's own words, as in: stopped {} at undo JOINT. From the paper, `boltfolio enter` writes them for you: log {own}; \
                     stopped {} at act {letter}",
                    stopped.value.on.value, stopped.value.on.value
                ))
                .about(own.to_owned()),
            );
            return;
        }
    };
    if log.steps.len() > 1 {
        findings.push(
            told(format!(
                "`{own}` was stopped at an act, and its log is of several steps"
            ))
            .at(at, "an act of the last of them")
            .at(log.at, "this log")
            .mend(format!(
                "Write two logs: one of the steps that are done, and: log {own}; stopped {} at {words}",
                stopped.value.on.value
            ))
            .about(own.to_owned()),
        );
        return;
    }
    let found = halts::all_found(plan, step, &words);
    if found.len() == 1 {
        return;
    }
    let acts: Vec<String> = plan.steps[step]
        .acts()
        .map(|act| write::act(plan, &act.does))
        .collect();
    let (what, mend) = if found.is_empty() {
        let near = super::nearest(&words, acts.iter().map(String::as_str));
        let near = near.first().copied().or(acts.last().map(String::as_str));
        (
            format!("`{own}` was stopped at `{words}`, and has no such act"),
            near.map_or_else(String::new, |act| {
                format!(
                    "Write the last act that was done as the step has it: stopped {} at {act}",
                    stopped.value.on.value
                )
            }),
        )
    } else {
        (
            format!(
                "`{own}` was stopped at `{words}`, and has {} such acts",
                found.len()
            ),
            "Write an act beside it, and the rest in words: found \"...\"".to_owned(),
        )
    };
    findings.push(
        told(what)
            .at(at, "the last act that was done")
            .at(plan.steps[step].head.at, "this step")
            .mend(mend)
            .about(own.to_owned()),
    );
}

/// The work stands where the last log stopped; what then hangs on hands or a jack, is live or drips is told.
fn left_standing(plan: &Plan, walk: &Walk, findings: &mut Vec<Finding>) {
    let Some(log) = plan.progress.stopped.and_then(|nth| plan.logs.get(nth)) else {
        return;
    };
    let Some(stopped) = &log.stopped else { return };
    let now = match (&stopped.value.place, plan.progress.halt) {
        (StoppedAt::After(step), _) => walk.after(plan, step.value),
        (StoppedAt::Act(_), Some(halt)) => walk.midst(plan, halt),
        (StoppedAt::Act(_) | StoppedAt::Letter(_), _) => None,
    };
    let Some(now) = now else { return };
    let mut unsafe_now = now.unsafe_to_leave();
    unsafe_now.retain(|subject| !matches!(subject, Subject::Part(part) if now.is_light(*part)));
    if unsafe_now.is_empty() {
        return;
    }
    let all: Vec<String> = unsafe_now
        .iter()
        .map(|&subject| format!("`{}`", phrases::bare(plan, subject)))
        .collect();
    let own = log.steps.last().map_or("", |&step| name(plan, step));
    findings.push(
        Finding::new(
            &STOPPED_UNSAFE,
            format!("the work stopped where the machine cannot be left: see {}", super::joined(&all, "and")),
        )
        .at(stopped.at, "it stands like this now")
        .harm("Nobody holds it any more: it comes down on whoever walks in first, or drips till it is empty.")
        .mend(format!(
            "Set it down, prop it, tie it up or shut it before you go, and write that as acts of `{own}`; or correct the log if the work went on"
        ))
        .about(own.to_owned()),
    );
}

/// A step that two logs say was done, on two days.
fn twice(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut first: BTreeMap<Id<Step>, (Date, Span)> = BTreeMap::new();
    for log in &plan.logs {
        let Some(done) = log.done else { continue };
        for &step in &log.steps {
            let &mut (day, at) = first.entry(step).or_insert((done.value, done.at));
            if day == done.value {
                continue;
            }
            let own = name(plan, step);
            findings.push(
                told(format!("`{own}` was done on {day}, and again on {}", done.value))
                    .at(done.at, "done here")
                    .at(at, "and here")
                    .mend(format!(
                        "Take the wrong one out; if only a part of it was done on {day}: log {own}; stopped {day} at its last act"
                    ))
                    .about(own.to_owned()),
            );
        }
    }
}

/// More broken or lost than there are.
fn joints(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    for spoilt in &log.spoilt {
        let joint = &plan.joints[spoilt.joint.value];
        let has = joint.fixing_count();
        let fitted = plan.logs.iter().flat_map(|log| &log.fitted);
        // What it had before others went in is not known any more.
        let others = fitted
            .into_iter()
            .any(|fitted| fitted.joint.value == spoilt.joint.value && !fitted.fixings.is_empty());
        if spoilt.count.value > has && !others {
            let own = &joint.head.name;
            findings.push(
                told(format!("{} of `{own}`, which has {has}", spoilt.count.value))
                    .at(spoilt.count.at, "more than there are")
                    .at(joint.head.at, "declared here")
                    .mend(format!("Write how many of them: broke {has} of {own}"))
                    .about(own.to_string()),
            );
        }
    }
}

/// What went in has the thread and the number of what the hole was made for.
fn fitted(plan: &Plan, log: &Log, findings: &mut Vec<Finding>) {
    for fitted in &log.fitted {
        let joint = &plan.joints[fitted.joint.value];
        let declared = plan.progress.declared.get(&fitted.joint.value);
        let (Some(declared), new) = (declared, fitted.fixings.as_slice()) else {
            continue;
        };
        let ([new], [old]) = (new, declared.as_slice()) else {
            continue;
        };
        let size = |thread: &Thread| match *thread {
            Thread::Metric { diameter, pitch, .. } => Some((diameter, pitch)),
            Thread::Unified { .. } => None,
        };
        let differs = match (size(&new.thread), size(&old.thread)) {
            (Some((a, Some(p))), Some((b, Some(q)))) => (a - b).abs() > 1e-6 || (p - q).abs() > 1e-6,
            (Some((a, _)), Some((b, _))) => (a - b).abs() > 1e-6,
            // One in inches and one in millimetres.
            (Some(_), None) | (None, Some(_)) => true,
            (None, None) => false,
        };
        let own = &joint.head.name;
        let what = if differs {
            format!("`{own}` was fitted with another thread than its own")
        } else if new.count != old.count {
            format!("{} went into `{own}`, which has {}", new.count, old.count)
        } else {
            continue;
        };
        findings.push(
            told(what)
                .at(new.at, "went in")
                .at(old.at, "declared so")
                .mend("Look at the thread and count again; what is right now belongs into the joint too")
                .about(own.to_string()),
        );
    }
}

/// What was found damaged and fits again with nothing in its place.
fn damaged(plan: &Plan, findings: &mut Vec<Finding>) {
    for log in &plan.logs {
        for damaged in &log.damaged {
            let part = damaged.part.value;
            let heirs = plan
                .parts
                .values()
                .any(|other| other.in_place_of.is_some_and(|place| place.value.part == part));
            // It was found in these steps: what fitted it before them is no news.
            let place = |step: &Id<Step>| plan.order.iter().position(|other| other == step);
            let found = log.steps.iter().filter_map(place).max();
            let fits = |step: &&Id<Step>| {
                plan.progress.done.contains_key(*step)
                    && plan.steps[**step].acts().any(|act| match &act.does {
                        Does::Fit(things) => things
                            .iter()
                            .any(|said| plan.parts_of(said.value).contains(&part)),
                        // Nothing else puts it back.
                        _ => false,
                    })
            };
            let Some(step) = plan
                .order
                .iter()
                .skip(found.map_or(0, |found| found + 1))
                .find(fits)
                .filter(|_| !heirs)
            else {
                continue;
            };
            let own = &plan.parts[part].head.name;
            findings.push(
                told(format!("`{own}` was damaged, and `{}`, which fits it, is done", name(plan, *step)))
                    .at(damaged.part.at, "found damaged")
                    .at(plan.steps[*step].head.at, "goes on here")
                    .mend(format!(
                        "If a new one went on: log {}; done differently \"new {own}\"; and accept log-contradicts for {own}",
                        name(plan, *step)
                    ))
                    .about(own.to_string()),
            );
        }
    }
}

/// Steps before the last one that is done.
fn gap(plan: &Plan, findings: &mut Vec<Finding>) {
    let progress = &plan.progress;
    let Some(last) = plan
        .order
        .iter()
        .rposition(|step| progress.done.contains_key(step))
    else {
        return;
    };
    let open: Vec<Id<Step>> = plan
        .order
        .iter()
        .take(last)
        .copied()
        .filter(|step| !progress.done.contains_key(step) && !progress.skipped.contains_key(step))
        .collect();
    let (Some(&first), Some(&last)) = (open.first(), plan.order.get(last)) else {
        return;
    };
    let more = open.len() - 1;
    let more_words = if more == 0 {
        String::new()
    } else {
        format!(" and {more} more")
    };
    let own = name(plan, first);
    let mut finding = Finding::new(
        &LOG_GAP,
        format!(
            "`{own}`{more_words} {} not logged, and `{}`, which comes after, is done",
            if more == 0 { "is" } else { "are" },
            name(plan, last)
        ),
    )
    .at(plan.steps[first].head.at, "neither done nor left out");
    if let Some(at) = place_of(plan, last) {
        finding = finding.at(at, "taken as all done up to here");
    }
    findings.push(
        finding
            .harm("Whether it was done, nobody can tell in two months; the machine is taken as if it was.")
            .mend(format!(
                "Write it down: log {own}; done DATE; or that it was not done: log {own}; skipped \"why\""
            ))
            .about(own.to_owned()),
    );
}
