//! The family **time**: whether the work fits the days. Faults stand where no layout could do better, reckoned with the best times of all steps; what
//! the first layout by likely times shows is doubted. Knows not where findings go.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::rule;
use super::totals::IMPOSSIBLE_FIGURE;
use crate::analysis::Analysis;
use crate::analysis::runs::likely;
use crate::analysis::timetable::{Laying, StandsTooLong, Stuck, Timetable, begins};
use crate::analysis::timing;
use crate::analysis::today::Gear;
use crate::analysis::work_days::{self, Wanted};
use crate::base::date::Date;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{About, Calendar, Head, Id, Person, Plan, Step};
use crate::reckon::durations::Estimate;
use crate::reckon::laying_days::DAY;
use crate::walk::Walk;

rule!(
    ENDS_LATE,
    "ends-late",
    Fault,
    true,
    "The work does not end by the day that the plan says."
);
rule!(
    NO_PLACE_TO_STOP,
    "no-place-to-stop",
    Fault,
    true,
    "Between two places where the work can stop lies more than a day of it."
);
rule!(
    WAITS_IN_THE_DAY,
    "waits-in-the-day",
    Fault,
    true,
    "Something has to set for longer than the day lasts, and before it the work cannot stop."
);
rule!(
    NEVER_THERE,
    "never-there",
    Fault,
    true,
    "A step needs people who are on no day there at the same time, or not for long enough."
);
rule!(
    NO_DAYS_LEFT,
    "no-days-left",
    Fault,
    true,
    "The calendar has no days, or has none left before the work is done."
);
rule!(
    NOT_HIRED_THEN,
    "not-hired-then",
    Fault,
    true,
    "What a step needs is hired for other days."
);
rule!(
    ARRIVES_LATE,
    "arrives-late",
    Doubt,
    true,
    "The work ends later, since something arrives after it is needed."
);
rule!(
    STANDS_TOO_LONG,
    "stands-too-long",
    Doubt,
    true,
    "Where the work may be left overnight it is left for more than a week."
);

pub(super) fn check(plan: &Plan, walk: Option<&Walk>, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let Some(about) = plan.about.as_deref() else {
        return;
    };
    let before = findings.len();
    written(plan, about, findings);
    let (Some(walk), Some(calendar)) = (walk, work_days::calendar(plan)) else {
        return;
    };
    let Some(begins) = begins(plan, None).filter(|_| findings.len() == before) else {
        return;
    };
    let takes = likely(plan);
    let Some(laying) = Laying::new(plan, walk, &takes, begins) else {
        return;
    };
    let best = |step: Id<Step>| timing::takes(plan, step).map(Estimate::best);
    let at_best = Laying::new(plan, walk, &best, begins);
    match analysis.first_timetable(plan, walk) {
        Some(Ok(table)) => {
            let proved = at_best.as_ref().and_then(|laying| laying.least().ok());
            findings.extend(ends_late(calendar, table, proved.map(|least| least.day)));
            for too_long in &table.too_long {
                findings.push(stands_too_long(plan, too_long));
            }
            arrives_late(plan, &laying, table, findings);
        }
        Some(Err(stuck)) => {
            let proved = at_best.is_some_and(|laying| laying.least().is_err());
            let mut finding = worded(plan, calendar, begins, stuck);
            if !proved {
                finding.severity = Severity::Doubt;
            }
            findings.push(finding);
        }
        None => {}
    }
}

/// What stands in the calendar, by itself.
fn written(plan: &Plan, about: &About, findings: &mut Vec<Finding>) {
    for works in &about.calendar.works {
        let minutes = works.hours.value.base();
        let opens = works.from.map_or(work_days::OPENS, |said| said.value);
        let (what, at, words) = if minutes <= 0.0 {
            (
                "a day of no hours".to_owned(),
                works.hours.at,
                "more than nothing",
            )
        } else if f64::from(opens) + minutes > f64::from(DAY) {
            let what = format!("{} from {} on is over midnight", works.hours.value, clock(opens));
            (what, works.at, "it has to end on the same day")
        } else {
            continue;
        };
        findings.push(
            Finding::new(&IMPOSSIBLE_FIGURE, what)
                .at(at, words)
                .harm("The days of the work come out wrong.")
                .mend("Write when work begins and how long it lasts: works 8 h from 9:00 on saturday"),
        );
    }
    let rigs = plan.rigs.values().map(|rig| (&rig.head, &rig.supply));
    let tools = plan.tools.values().map(|tool| (&tool.head, &tool.supply));
    let used = plan.consumables.values().map(|used| (&used.head, &used.supply));
    for (head, supply) in rigs.chain(tools).chain(used) {
        if let Some(hired) = supply.hired.filter(|said| said.value.1 < said.value.0) {
            let (from, to) = hired.value;
            findings.push(
                Finding::new(
                    &IMPOSSIBLE_FIGURE,
                    format!("`{}` is hired from {from} to {to}", head.name),
                )
                .at(hired.at, "goes back before it comes")
                .harm("The days of the work come out wrong.")
                .mend(format!("Write: hire {to} to {from}"))
                .edit(hired.at, format!("{to} to {from}"))
                .about(&*head.name),
            );
        }
    }
}

/// "9:05".
fn clock(minutes: u32) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// "Saturday 2026-03-14".
fn day(date: Date) -> String {
    format!("{} {date}", date.weekday().name())
}

/// "2 h 5 min".
fn time(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

fn ends_late(calendar: &Calendar, table: &Timetable, proved: Option<Date>) -> Option<Finding> {
    let by = calendar.finish_by.filter(|by| table.ends.day > by.value)?;
    let sure = proved.is_some_and(|least| least > by.value);
    let what = if sure {
        format!(
            "the work cannot end by {}: even if every step takes its best time, not before {}",
            by.value,
            day(proved.unwrap_or(table.least.day))
        )
    } else {
        let least = match table.least.day > by.value {
            true => format!(", and by the likely times not before {}", day(table.least.day)),
            false => String::new(),
        };
        format!("the work ends on {}{least}", day(table.ends.day))
    };
    let mut finding = Finding::new(&ENDS_LATE, what)
        .at(by.at, "it shall end by this day")
        .harm("The race, the sale or the hired place comes, and the car stands apart.")
        .mend("Add days or hands, take swaps out, begin earlier, or move the day");
    if !sure {
        finding.severity = Severity::Doubt;
    }
    Some(finding)
}

fn stands_too_long(plan: &Plan, of: &StandsTooLong) -> Finding {
    let (after, before) = (&plan.steps[of.after], &plan.steps[of.before]);
    let at = after.safe_overnight.unwrap_or(after.head.at);
    Finding::new(
        &STANDS_TOO_LONG,
        format!(
            "after `{}` the job stands from {} to {}: {} days",
            after.head.name,
            day(of.from),
            day(of.to),
            of.to.nth() - of.from.nth()
        ),
    )
    .at(at, "safe overnight, which holds for a week")
    .at(before.head.at, "here it goes on")
    .harm("A jack sinks, a sling creeps, somebody leans on it, over weeks in which nobody looks.")
    .mend("Make it stand so that it can: safe to leave; or find a day in between")
    .about(&*after.head.name)
}

fn arrives_late(plan: &Plan, laying: &Laying<'_>, table: &Timetable, findings: &mut Vec<Finding>) {
    let mut things: Vec<Gear> = laying
        .runs()
        .arrivals
        .iter()
        .map(|arrival| arrival.what)
        .collect();
    things.sort_unstable();
    things.dedup();
    for what in things {
        let Some((head, at)) = arriving(plan, what) else {
            continue;
        };
        let Ok(without) = laying.as_if_here(what).first() else {
            continue;
        };
        let later = table.ends.day.nth().saturating_sub(without.ends.day.nth());
        if later == 0 {
            continue;
        }
        let arrivals = laying
            .runs()
            .arrivals
            .iter()
            .filter(|arrival| arrival.what == what);
        let step = arrivals
            .filter_map(|arrival| without.steps.iter().find(|at| at.step == arrival.step))
            .min_by_key(|at| (at.day, at.from));
        let days = if later == 1 { "a day" } else { "days" };
        let count = if later == 1 {
            String::new()
        } else {
            format!("{later} ")
        };
        let mut finding = Finding::new(
            &ARRIVES_LATE,
            format!(
                "the work ends {count}{days} later, since `{}` is not there before",
                head.name
            ),
        )
        .at(at, "it arrives");
        if let Some(step) = step {
            finding = finding.at(
                plan.steps[step.step].head.at,
                format!("needed here, on {} if it were there", day(step.day)),
            );
        }
        findings.push(
            finding
                .harm("The car stands open and waits, and so does whoever came to help.")
                .mend("Order it sooner, or put work before it that does not need it")
                .about(&*head.name),
        );
    }
}

fn arriving(plan: &Plan, what: Gear) -> Option<(&Head, Span)> {
    let (head, said) = match what {
        Gear::Part(id) => (&plan.parts[id].head, plan.parts[id].arrives),
        Gear::Rig(id) => (&plan.rigs[id].head, plan.rigs[id].supply.arrives),
        Gear::Tool(id) => (&plan.tools[id].head, plan.tools[id].supply.arrives),
        Gear::Consumable(id) => (&plan.consumables[id].head, plan.consumables[id].supply.arrives),
        Gear::Person(_) | Gear::Scale(_) => return None,
    };
    Some((head, said?.at))
}

fn people(plan: &Plan, all: &[Id<Person>]) -> String {
    let names: Vec<String> = all
        .iter()
        .map(|&id| format!("`{}`", plan.people[id].head.name))
        .collect();
    super::joined(&names, "and")
}

fn worded(plan: &Plan, calendar: &Calendar, begins: Date, stuck: &Stuck) -> Finding {
    let step = |id: Id<Step>| &plan.steps[id];
    let first_works = calendar.works.first().map(|works| works.at);
    match stuck {
        Stuck::NoDays { minutes } => {
            let mut finding = Finding::new(
                &NO_DAYS_LEFT,
                format!(
                    "from {begins} on the calendar has not the days for {} of work",
                    time(*minutes)
                ),
            );
            if let Some(at) = first_works {
                finding = finding.at(at, "days of work");
            }
            finding
                .harm("Nobody can tell when it ends, and no page tells what to do on which day.")
                .mend("Say on which days there is work: works 8 h from 9:00 on saturday, sunday")
        }
        Stuck::TooLong {
            steps,
            minutes,
            longest,
        } => {
            let (Some(&first), Some(&last)) = (steps.first(), steps.last()) else {
                return Finding::new(&NO_PLACE_TO_STOP, "a stretch of work without steps");
            };
            let what = match steps.len() {
                1 => format!("`{}` takes {}", step(first).head.name, time(*minutes)),
                _ => format!(
                    "from `{}` to `{}` it is {} without a place to stop",
                    step(first).head.name,
                    step(last).head.name,
                    time(*minutes)
                ),
            };
            let finding = Finding::new(
                &NO_PLACE_TO_STOP,
                format!("{what}, and no day of work is longer than {}", time(*longest)),
            )
            .at(step(first).head.at, "it begins here");
            let finding = match steps.len() {
                1 => finding,
                _ => finding.at(step(last).head.at, "and ends here, before anybody can go home"),
            };
            finding
                .harm("Somebody goes home tired, with the machine on what only lifts, or works on at night.")
                .mend(
                    "Say of a step between them that it is safe to leave overnight, and make it so; or make the day longer; or cut a long \
                     step in two",
                )
                .about(&*step(first).head.name)
        }
        Stuck::WaitsWithin { steps, waits } => {
            let last = steps.last().copied().unwrap_or(*waits);
            Finding::new(
                &WAITS_IN_THE_DAY,
                format!(
                    "`{}` waits, and before `{}` is done nobody can go home",
                    step(*waits).head.name,
                    step(last).head.name
                ),
            )
            .at(step(*waits).head.at, "something has to set here")
            .at(step(last).head.at, "this is to be done on the same day")
            .harm("What has not set is loaded, or the machine stands as nobody may leave it.")
            .mend("End the step with the wait, say of it: safe to leave overnight; and go on in a step of its own")
            .about(&*step(*waits).head.name)
        }
        Stuck::NeverTogether {
            step: id,
            people: all,
        } => {
            let mut finding = Finding::new(
                &NEVER_THERE,
                match all.as_slice() {
                    [_] => format!(
                        "on no day on which `{}` can be done is {} there for long enough",
                        step(*id).head.name,
                        people(plan, all)
                    ),
                    _ => format!(
                        "on no day are {} there together for long enough",
                        people(plan, all)
                    ),
                },
            )
            .at(step(*id).head.at, "needs them");
            for &one in all {
                if let (Some(first), Some(last)) =
                    (plan.people[one].free.first(), plan.people[one].free.last())
                {
                    finding = finding.at(first.at.to(last.at), "is there on these days alone");
                }
            }
            finding
                .harm("The step is done by one where two are needed, or never.")
                .mend("Agree on a day: free saturday, 2026-03-22; or let somebody else do it: by PERSON")
                .about(&*step(*id).head.name)
        }
        Stuck::NotThen { step: id, what } => {
            let (head, at) = match *what {
                Wanted::Rig(rig) => (&plan.rigs[rig].head, plan.rigs[rig].supply.hired),
                Wanted::Tool(tool) => (&plan.tools[tool].head, plan.tools[tool].supply.hired),
                Wanted::Person(person) => (&plan.people[person].head, None),
                Wanted::Scale(scale) => (&plan.scales[scale].head, None),
            };
            let mut finding = Finding::new(
                &NOT_HIRED_THEN,
                format!(
                    "`{}` is not there when `{}` can be done",
                    head.name,
                    step(*id).head.name
                ),
            )
            .at(step(*id).head.at, "needs it");
            if let Some(at) = at {
                finding = finding.at(at.at, "it is there on these days alone");
            }
            finding
                .harm("The hire is paid for days on which nobody needs it, and the work stands.")
                .mend("Hire it for days on which the work has come so far")
                .about(&*head.name)
        }
    }
}
