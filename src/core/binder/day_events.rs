//! The days of work as events: one a day for whoever leads, and one a day for each who helps, with their own hours and steps. Wording here; what a file
//! of them looks like is the press's business.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::Wanted;
use super::at_hand;
use super::binding::Binding;
use super::day_pages::{self, DayOfWork, clock};
use super::document::text_of;
use super::step_title::step_title;
use super::words::and_list;
use crate::base::date::Date;
use crate::compile::Compilation;
use crate::plan::model::{Id, Step};

/// Somebody's hours on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The same over prints: of one plan, one person and one day.
    pub uid: String,
    /// The day of the work.
    pub day: Date,
    /// Minutes after midnight.
    pub from: u32,
    /// Minutes after midnight, the last excluded.
    pub to: u32,
    /// What a calendar shows of it.
    pub title: String,
    /// Its steps, a line each.
    pub text: String,
    /// Names of all who come then.
    pub who: Vec<String>,
}

/// Events of all, and of each who helps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    /// The name of whoever it is for; none for the one of all.
    pub of: Option<String>,
    /// What a calendar program calls it.
    pub title: String,
    /// In order of time.
    pub events: Vec<Event>,
}

/// The calendars of the plan; none where it has no days.
#[must_use]
pub fn calendars(compilation: &Compilation, wanted: &Wanted) -> Vec<Calendar> {
    let binding = Binding::new(compilation, wanted);
    let Some(table) = binding.timetable() else {
        return Vec::new();
    };
    let days = day_pages::days(&binding, table);
    let plan_name = binding.about().map_or("plan", |about| &*about.head.name);
    let title = binding.plan.title();
    let all = Calendar {
        of: None,
        title: title.clone(),
        events: days.iter().map(|day| of_all(&binding, plan_name, day)).collect(),
    };
    let lead = binding
        .about()
        .and_then(|about| about.crew.first())
        .map(|said| said.value);
    let mut calendars = vec![all];
    for (id, person) in binding.plan.people.iter() {
        let comes = days.iter().filter_map(|day| {
            let own = day.who.iter().find(|comes| comes.person == id)?;
            Some((day, own))
        });
        let events: Vec<Event> = comes
            .map(|(day, own)| Event {
                uid: uid(plan_name, Some(&person.head.name), day.day),
                day: day.day,
                from: own.from,
                to: own.to,
                title: title.clone(),
                text: words(&binding, day, &own.steps),
                who: vec![binding.person(id)],
            })
            .collect();
        if Some(id) != lead && !events.is_empty() {
            calendars.push(Calendar {
                of: Some(person.head.name.to_string()),
                title: format!("{title}: {}", binding.person(id)),
                events,
            });
        }
    }
    calendars
}

fn uid(plan: &str, person: Option<&str>, day: Date) -> String {
    let person = person.map_or_else(String::new, |person| format!(".{person}"));
    format!("{day}.{plan}{person}@boltfolio")
}

fn of_all(binding: &Binding<'_>, plan: &str, day: &DayOfWork) -> Event {
    let mut steps: Vec<Id<Step>> = day.steps.iter().map(|at| at.step).collect();
    steps.dedup();
    Event {
        uid: uid(plan, None, day.day),
        day: day.day,
        from: day.from,
        to: day.to,
        title: binding.plan.title(),
        text: words(binding, day, &steps),
        who: day.who.iter().map(|comes| binding.person(comes.person)).collect(),
    }
}

/// Who comes, what is done at what hour, what to bring, and where it may stop.
fn words(binding: &Binding<'_>, day: &DayOfWork, steps: &[Id<Step>]) -> String {
    let mut lines: Vec<String> = Vec::new();
    let who: Vec<String> = day
        .who
        .iter()
        .map(|comes| {
            format!(
                "{} {} to {}",
                binding.person(comes.person),
                clock(comes.from),
                clock(comes.to)
            )
        })
        .collect();
    if !who.is_empty() {
        lines.push(format!("Who comes: {}.", and_list(&who)));
    }
    for at in day.steps.iter().filter(|at| steps.contains(&at.step)) {
        let title = step_title(binding, &binding.plan.steps[at.step]);
        lines.push(format!("{} {} {title}", clock(at.from), binding.number(at.step)));
    }
    let facts: Vec<String> = at_hand::facts(binding, steps)
        .iter()
        .map(|fact| text_of(fact))
        .collect();
    if !facts.is_empty() {
        lines.push(format!("Lay out: {}.", facts.join("; ")));
    }
    let stops: Vec<String> = day
        .stops
        .iter()
        .map(|&(step, at)| format!("{} at about {}", binding.number(step), clock(at)))
        .collect();
    if !stops.is_empty() {
        lines.push(format!("Places to stop: after {}.", and_list(&stops)));
    }
    lines.join("\n")
}
