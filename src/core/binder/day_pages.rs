//! A page for each day of work: who comes from when to when, the steps with their hours, what to lay out and to fetch on the way, where it may stop; and
//! for the evening what stays open, held and live, to be ticked off before the light goes out.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeSet;

use super::at_hand;
use super::binding::Binding;
use super::document::{Block, Dense, DenseItem, Line, Section, TableRow, text_of};
use super::figures::duration;
use super::step_title::step_title;
use super::tables::{cell, column, section, table, text, tick_row};
use super::words::{and_list, capital, counted, run, strong};
use crate::analysis::pace::Paces;
use crate::analysis::timetable::{self, AtWork, Eased, Timetable, Why};
use crate::analysis::timing;
use crate::analysis::today::Gear;
use crate::analysis::work_days::Wanted;
use crate::base::date::Date;
use crate::plan::mentions;
use crate::plan::model::{End, EnergyKind, Id, Person, Step, Supply, Way};
use crate::reckon::durations::Estimate;
use crate::reckon::pace::Job;
use crate::walk::after::After;
use crate::walk::state::{Holder, Opening};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// "14 March".
#[must_use]
pub fn short(day: Date) -> String {
    let month = MONTHS
        .get(usize::from(day.month).saturating_sub(1))
        .copied()
        .unwrap_or("");
    format!("{} {month}", day.day)
}

/// "Saturday 14 March 2026".
#[must_use]
pub fn named(day: Date) -> String {
    format!("{} {} {}", day.weekday().name(), short(day), day.year)
}

/// "9:05".
#[must_use]
pub fn clock(minute: u32) -> String {
    format!("{}:{:02}", minute / 60, minute % 60)
}

/// A day of work, for its page and for a calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayOfWork {
    pub day: Date,
    /// Minutes after midnight, from the first step to the last.
    pub from: u32,
    pub to: u32,
    pub who: Vec<Comes>,
    pub steps: Vec<AtWork>,
    /// Places to stop, with when they are reached.
    pub stops: Vec<(Id<Step>, u32)>,
}

/// Who comes, from when to when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Comes {
    pub person: Id<Person>,
    pub from: u32,
    pub to: u32,
    pub steps: Vec<Id<Step>>,
}

/// The days of the timetable.
#[must_use]
pub fn days(binding: &Binding<'_>, table: &Timetable) -> Vec<DayOfWork> {
    let all = table.days().into_iter();
    all.map(|day| {
        let steps: Vec<AtWork> = table.on(day).copied().collect();
        let mut who: Vec<Comes> = Vec::new();
        for at in &steps {
            for person in needed(binding, at.step) {
                match who.iter_mut().find(|comes| comes.person == person) {
                    Some(comes) => {
                        comes.from = comes.from.min(at.from);
                        comes.to = comes.to.max(at.to);
                        if !comes.steps.contains(&at.step) {
                            comes.steps.push(at.step);
                        }
                    }
                    None => who.push(Comes {
                        person,
                        from: at.from,
                        to: at.to,
                        steps: vec![at.step],
                    }),
                }
            }
        }
        who.sort_by_key(|comes| comes.person);
        let stop = |at: &&AtWork| {
            let step = &binding.plan.steps[at.step];
            at.bit.0 + 1 == at.bit.1 && step.may_stop().is_some()
        };
        DayOfWork {
            day,
            from: steps.iter().map(|at| at.from).min().unwrap_or(0),
            to: steps.iter().map(|at| at.to).max().unwrap_or(0),
            stops: steps.iter().filter(stop).map(|at| (at.step, at.to)).collect(),
            who,
            steps,
        }
    })
    .collect()
}

/// Everybody whom a step needs; everybody where it does not say.
fn needed(binding: &Binding<'_>, step: Id<Step>) -> BTreeSet<Id<Person>> {
    let own = &binding.plan.steps[step];
    if own.by.is_empty() {
        return binding.plan.people.ids().collect();
    }
    let named = own.acts().flat_map(|act| mentions::of(&act.does).people);
    let by = own.by.iter().map(|said| said.value);
    by.chain(own.calls.map(|said| said.value)).chain(named).collect()
}

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let Some(table) = binding.timetable() else {
        return Vec::new();
    };
    let all = days(binding, table);
    let count = all.len();
    all.iter()
        .enumerate()
        .flat_map(|(nth, day)| {
            let title = named(day.day);
            let key = format!("day/{}", day.day);
            section(&key, &title, page(binding, table, day, nth + 1, count))
        })
        .collect()
}

fn page(binding: &Binding<'_>, table: &Timetable, day: &DayOfWork, nth: usize, count: usize) -> Vec<Block> {
    let steps: Vec<Id<Step>> = unique(day.steps.iter().map(|at| at.step));
    let mut blocks = vec![Block::Text(who(binding, day, nth, count))];
    let rows: Vec<TableRow> = day.steps.iter().map(|at| row(binding, day, at)).collect();
    blocks.push(Block::Table(self::table(
        "",
        vec![
            column("From", 14),
            column("Step", 14),
            column("What", 0),
            column("Who", 38),
            column("Likely", 24),
        ],
        rows,
        // A long day still has its evening on the same page.
        if day.steps.len() > 12 { 6 } else { 7 },
    )));
    let mut lines: Vec<Line> = Vec::new();
    lines.extend(stop(binding, day));
    let facts: Vec<String> = at_hand::facts(binding, &steps)
        .iter()
        .map(|fact| text_of(fact))
        .collect();
    if !facts.is_empty() {
        lines.push(vec![strong("Lay out: "), run(format!("{}.", facts.join("; ")))]);
    }
    let fetched = fetched(binding, table, day, &steps);
    if !fetched.is_empty() {
        lines.push(vec![
            strong("On the way: "),
            run(format!("{}.", fetched.join("; "))),
        ]);
    }
    blocks.extend(lines.into_iter().map(Block::Text));
    let items = evening(binding, day);
    blocks.push(Block::Dense(Dense {
        title: "In the evening".to_owned(),
        columns: 2,
        items,
    }));
    blocks
}

fn unique(all: impl Iterator<Item = Id<Step>>) -> Vec<Id<Step>> {
    let mut steps = Vec::new();
    for step in all {
        if !steps.contains(&step) {
            steps.push(step);
        }
    }
    steps
}

/// "Day 2 of 9. Ada from 9:00 to 17:00, Tom from 10:30 to 12:00."
fn who(binding: &Binding<'_>, day: &DayOfWork, nth: usize, count: usize) -> Line {
    let who: Vec<String> = day
        .who
        .iter()
        .map(|comes| {
            format!(
                "{} from {} to {}",
                binding.person(comes.person),
                clock(comes.from),
                clock(comes.to)
            )
        })
        .collect();
    let who = if who.is_empty() {
        "nobody is named".to_owned()
    } else {
        and_list(&who)
    };
    vec![strong(format!("Day {nth} of {count}. ")), run(format!("{who}."))]
}

fn row(binding: &Binding<'_>, day: &DayOfWork, at: &AtWork) -> TableRow {
    let step = &binding.plan.steps[at.step];
    let mut title = vec![run(step_title(binding, step))];
    if at.bit.1 > 1 {
        title.push(run(format!(", part {} of {}", at.bit.0 + 1, at.bit.1)));
    }
    tick_row(
        vec![
            text(clock(at.from)),
            cell(vec![strong(binding.number(at.step))]),
            cell(title),
            text(binding.who(step)),
            text(duration(f64::from(at.to - at.from))),
        ],
        format!("day/{}/{}/{}", day.day, binding.step_key(at.step), at.bit.0 + 1),
    )
}

/// Where it may stop on this day, and where it has to go on to.
fn stop(binding: &Binding<'_>, day: &DayOfWork) -> Option<Line> {
    let last = day.steps.iter().max_by_key(|at| binding.place(at.step))?;
    if binding.plan.order.last() == Some(&last.step) {
        return Some(vec![strong("The work is done then.")]);
    }
    let (last, before) = day.stops.split_last()?;
    let said = |&(step, at): &(Id<Step>, u32)| format!("{} at about {}", binding.number(step), clock(at));
    let often = in_time(binding, day, *last).map_or_else(String::new, |often| format!(" ({often})"));
    let mut line = vec![
        strong("It may stop "),
        run(format!("after {}{often}", said(last))),
    ];
    if !before.is_empty() {
        let earlier: Vec<String> = before.iter().rev().map(said).collect();
        line.push(run(format!(
            "; if it goes slowly, after {}",
            super::words::or_list(&earlier)
        )));
    } else {
        line.push(run(", and nowhere before"));
    }
    line.push(run("."));
    Some(line)
}

/// How often the last place to stop is reached before the day ends, by the spread of the times and the pace that the log has taught.
fn in_time(binding: &Binding<'_>, day: &DayOfWork, (_, reached): (Id<Step>, u32)) -> Option<String> {
    let (_, shuts) = timetable::hours_of(binding.plan, day.day)?;
    let paces = Paces::of(binding.plan);
    let steps = unique(day.steps.iter().filter(|at| at.to <= reached).map(|at| at.step));
    let takes = |&step: &Id<Step>| {
        Some((
            timing::takes(binding.plan, step)?,
            paces.factor(binding.plan, step),
        ))
    };
    let pieces: Vec<(Estimate, f64)> = steps.iter().filter_map(takes).collect();
    let times: Vec<Estimate> = pieces.iter().map(|(piece, _)| *piece).collect();
    let job = Job::of(&times, paces.common)?;
    // The hours on the page are those of the pace that is logged.
    let factor = |own: f64| if paces.logged > 0 { own } else { 1.0 };
    let sum: f64 = pieces
        .iter()
        .map(|(piece, own)| piece.likely() * factor(*own))
        .sum();
    let (likely, most) = (
        f64::from(reached - day.from),
        f64::from(shuts.checked_sub(day.from)?),
    );
    if likely <= 0.0 {
        return None;
    }
    // What is done side by side takes no longer than the longer of the two.
    let chance = job.chance_within(most * sum / likely);
    let times = match (chance * 10.0).round() {
        times if times >= 10.0 => "nearly always".to_owned(),
        times if times < 1.0 => "hardly ever".to_owned(),
        times if times < 2.0 => "once in 10".to_owned(),
        times => format!("{times:.0} times in 10"),
    };
    Some(format!("{times} before {}", clock(shuts)))
}

/// What has to be bought, borrowed or fetched, and is needed on this day first.
fn fetched(binding: &Binding<'_>, table: &Timetable, day: &DayOfWork, steps: &[Id<Step>]) -> Vec<String> {
    let before: Vec<Id<Step>> = unique(table.steps.iter().filter(|at| at.day < day.day).map(|at| at.step));
    let plan = binding.plan;
    let way = |supply: &Supply| match supply.way.map(|said| said.value) {
        Some(Way::Borrow) => Some("borrow"),
        Some(Way::Hire) => Some("hire"),
        Some(Way::Buy) => Some("buy"),
        Some(Way::ToMake) | None => None,
    };
    let mut all: Vec<String> = Vec::new();
    let mut see = |name: &str, supply: &Supply| {
        let words = match (way(supply), supply.hired) {
            (Some(way), Some(hired)) => format!("{way} {name} (to {})", short(hired.value.1)),
            (Some(way), None) => format!("{way} {name}"),
            (None, _) => return,
        };
        if !all.contains(&words) {
            all.push(words);
        }
    };
    let needs = |steps: &[Id<Step>]| -> BTreeSet<Gear> {
        let each = steps.iter().flat_map(|&step| {
            let rigs = at_hand::rigs(binding, step).into_iter().map(Gear::Rig);
            let tools = at_hand::tools(binding, step).into_iter().map(Gear::Tool);
            let used = plan.steps[step].needs.iter().filter_map(|need| match need.value {
                crate::plan::model::Need::Consumable(used) => Some(Gear::Consumable(used)),
                crate::plan::model::Need::Tool(_) | crate::plan::model::Need::Rig(_) => None,
            });
            rigs.chain(tools).chain(used)
        });
        each.collect()
    };
    let had = needs(&before);
    for gear in needs(steps).difference(&had) {
        match *gear {
            Gear::Rig(id) => see(&binding.rig(id), &plan.rigs[id].supply),
            Gear::Tool(id) => see(
                &binding.inside(&plan.tools[id].head.called()),
                &plan.tools[id].supply,
            ),
            Gear::Consumable(id) => see(
                &binding.inside(&plan.consumables[id].head.called()),
                &plan.consumables[id].supply,
            ),
            Gear::Person(_) | Gear::Scale(_) | Gear::Part(_) => {}
        }
    }
    all
}

/// What is asked before the light goes out: how the machine stands by the walk, and what is asked every evening; common practice, no source.
fn evening(binding: &Binding<'_>, day: &DayOfWork) -> Vec<DenseItem> {
    let mut lines: Vec<String> = Vec::new();
    let last = day.steps.iter().max_by_key(|at| binding.place(at.step));
    let after = last.and_then(|at| binding.compilation.walk.after(binding.plan, at.step));
    if let Some(after) = &after {
        lines.extend(stands(binding, after));
        lines.extend(held(binding, after));
        lines.extend(live(binding, after));
        lines.extend(lines_shut(binding, after));
    }
    for words in [
        "Keys out, with whoever leaves last",
        "Nothing hot, no rags in a heap, lamp and chargers off",
        "Doors shut; nobody can lean on it",
        "Somebody was told how it stands",
    ] {
        lines.push(words.to_owned());
    }
    let proof = |nth: usize| format!("day/{}/evening/{nth}", day.day);
    let items = lines.into_iter().enumerate();
    items
        .map(|(nth, words)| DenseItem {
            text: vec![run(capital(&words))],
            right: None,
            proof: proof(nth + 1),
            done: false,
        })
        .collect()
}

fn stands(binding: &Binding<'_>, after: &After<'_>) -> Vec<String> {
    let under = |end: End| after.end_on(end).map(|rig| binding.rig(rig));
    match (under(End::Front), under(End::Rear)) {
        (None, None) => Vec::new(),
        (Some(front), Some(rear)) if front == rear => vec![format!("pushed: it stands firm on {front}")],
        (front, rear) => {
            let (front_axle, rear_axle) = binding.axles();
            let said = |which: &str, rig: Option<String>| {
                rig.map(|rig| format!("pushed: {} stands firm on {rig}", which.to_lowercase()))
            };
            let both = [said(front_axle, front), said(rear_axle, rear)];
            both.into_iter().flatten().collect()
        }
    }
}

fn held(binding: &Binding<'_>, after: &After<'_>) -> Vec<String> {
    let all = after.held().into_iter();
    all.filter_map(|(holder, parts)| {
        let Holder::Rig(rig) = holder else { return None };
        let first = parts.first()?;
        let more = match parts.len() {
            1 => String::new(),
            many => format!(" and {}", counted(many - 1, "more part", "more parts")),
        };
        let name = binding.inside(&binding.plan.parts[*first].head.called());
        let rest = if more.is_empty() { "rests" } else { "rest" };
        Some(format!("{name}{more} {rest} on {}", binding.rig(rig)))
    })
    .collect()
}

fn live(binding: &Binding<'_>, after: &After<'_>) -> Vec<String> {
    let live: BTreeSet<_> = after.live().collect();
    let mut all = Vec::new();
    let mut springs = 0;
    for (id, energy) in binding.plan.energies.iter() {
        let name = binding.inside(&energy.head.called());
        let kind = energy.kind.map(|said| said.value);
        match (kind, live.contains(&id)) {
            (Some(EnergyKind::Electric), false) => {
                all.push(format!("{name} is dead, and its ends lie apart"))
            }
            (Some(EnergyKind::Electric), true) => {
                all.push(format!("{name} is live: isolated, nothing charges"))
            }
            (Some(EnergyKind::Spring), true) => springs += 1,
            (
                Some(EnergyKind::Pressure | EnergyKind::Pyrotechnic | EnergyKind::Gravity | EnergyKind::Heat),
                true,
            ) => {
                all.push(format!("{name} is live: nobody touches it"));
            }
            _ => {}
        }
    }
    if springs > 0 {
        let are = if springs == 1 { "is" } else { "are" };
        all.push(format!(
            "{} {are} loaded, and what keeps each in is on",
            counted(springs, "spring", "springs")
        ));
    }
    all
}

fn lines_shut(binding: &Binding<'_>, after: &After<'_>) -> Vec<String> {
    let mut shut = 0;
    let mut all = Vec::new();
    for (id, opening) in after.openings() {
        match opening {
            Opening::Capped | Opening::Plugged | Opening::CappedAndPlugged | Opening::Clamped => shut += 1,
            Opening::Open if after.is_wet(id) => {
                let name = binding.inside(&binding.plan.joints[id].head.called());
                all.push(format!("{name} is open: shut it"));
            }
            Opening::Open | Opening::Shut => {}
        }
    }
    if shut > 0 {
        all.push(format!(
            "{} capped or clamped, and dry below",
            counted(shut, "line", "lines")
        ));
    }
    all
}

/// For the page of the job: how many days, from when to when, what no layout beats, and what has the end where it is.
#[must_use]
pub fn told(binding: &Binding<'_>) -> Line {
    let Some(table) = binding.timetable() else {
        return Line::new();
    };
    let days = table.days();
    let (Some(&first), Some(&last)) = (days.first(), days.last()) else {
        return Line::new();
    };
    let when = if first == last {
        format!("on {}", named(first))
    } else {
        format!("from {} to {}", named(first), named(last))
    };
    let mut line = vec![
        strong(format!(
            "{}: ",
            counted(days.len(), "day of work", "days of work")
        )),
        run(format!(
            "{when}, {} at about {}",
            "done",
            clock(table.ends.minute)
        )),
    ];
    if !table.is_best() {
        let least = if table.least.day == last {
            format!("{} that day", clock(table.least.minute))
        } else {
            named(table.least.day)
        };
        line.push(run(format!("; it cannot end before {least}")));
    }
    if let Some(why) = reason(binding, table) {
        line.push(run(format!("; {why}")));
    }
    if let Some(help) = binding.help() {
        line.push(run(format!(
            "; it would end on {} {}",
            named(help.ends.day),
            otherwise(binding, help.what)
        )));
    }
    if table.unsaid > 0 {
        let steps = counted(
            table.unsaid,
            "step without a time counts",
            "steps without a time count",
        );
        line.push(run(format!("; {steps} as nothing")));
    }
    line.push(run("."));
    line
}

/// "if Tam came on every day of work".
fn otherwise(binding: &Binding<'_>, what: Eased) -> String {
    match what {
        Eased::There(Wanted::Person(id)) => format!("if {} came on every day of work", binding.person(id)),
        Eased::There(wanted) => format!("if {} were there all the time", wanted_name(binding, wanted)),
        Eased::Another(wanted) => format!("with a second {}", bare(binding, wanted)),
        Eased::Here(gear) => format!("if {} were there already", gear_name(binding, gear)),
    }
}

fn wanted_name(binding: &Binding<'_>, what: Wanted) -> String {
    match what {
        Wanted::Person(id) => binding.person(id),
        Wanted::Rig(id) => binding.rig(id),
        Wanted::Tool(id) => binding.inside(&binding.plan.tools[id].head.called()),
        Wanted::Scale(id) => binding.inside(&binding.plan.scales[id].head.called()),
    }
}

/// Without its article: "a second lifting table".
fn bare(binding: &Binding<'_>, what: Wanted) -> String {
    let name = wanted_name(binding, what);
    name.strip_prefix("the ").map_or(name.clone(), str::to_owned)
}

/// Of what has the end where it is, what somebody could change: who is away, what is taken, what is still to come.
fn reason(binding: &Binding<'_>, table: &Timetable) -> Option<String> {
    let all = table.chain.iter().map(|&run| (run, table.why[run]));
    let wanted = |what: Wanted| wanted_name(binding, what);
    let words = all.filter_map(|(run, why)| {
        // Of the steps of the run the one that waits.
        let needs = |at: &&AtWork| match why {
            Why::Away(Wanted::Person(person)) | Why::Taken(Wanted::Person(person)) => {
                at.run == run && needed(binding, at.step).contains(&person)
            }
            _ => false,
        };
        let own = table.steps.iter().find(needs).map(|at| at.step);
        let step = binding.number(own.or(table.first_of(run))?);
        let what = match why {
            Why::Away(what) => format!("for {}", wanted(what)),
            Why::Taken(what) => format!("till {} is free", wanted(what)),
            Why::Came(gear) => format!("for {}", gear_name(binding, gear)),
            Why::Sets(before) => format!("till {} has set", binding.number(before)),
            Why::Begins | Why::Behind(_) | Why::NoRoom(_) => return None,
        };
        Some((step, what))
    });
    // Two that wait for one thing are said together.
    let mut all: Vec<(Vec<String>, String)> = Vec::new();
    for (step, what) in words {
        let few = all.len() < 2;
        match all.iter_mut().find(|(_, known)| *known == what) {
            Some((steps, _)) if steps.len() < 3 && !steps.contains(&step) => steps.push(step),
            Some(_) => {}
            None if few => all.push((vec![step], what)),
            None => {}
        }
    }
    let said = all.iter().map(|(steps, what)| {
        let wait = if steps.len() == 1 { "waits" } else { "wait" };
        format!("{} {wait} {what}", and_list(steps))
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| and_list(&said))
}

fn gear_name(binding: &Binding<'_>, gear: Gear) -> String {
    let plan = binding.plan;
    match gear {
        Gear::Person(id) => binding.person(id),
        Gear::Rig(id) => binding.rig(id),
        Gear::Tool(id) => binding.inside(&plan.tools[id].head.called()),
        Gear::Scale(id) => binding.inside(&plan.scales[id].head.called()),
        Gear::Consumable(id) => binding.inside(&plan.consumables[id].head.called()),
        Gear::Part(id) => binding.inside(&plan.parts[id].head.called()),
    }
}
