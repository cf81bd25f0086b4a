//! `today`: what can be done next in so many hours with those who are there. The page comes from the binder; here names are found, and it is fitted
//! to the terminal.

use super::command_line::Today;
use super::lint::compiled;
use super::numbers::kept;
use super::state::{perhaps, stopped_at, unwalked};
use super::surroundings::{Surroundings, today as the_day};
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::analysis::timetable::{hours_of, next_day};
use crate::analysis::today::{Gear, There};
use crate::analysis::work_days;
use crate::binder::Wanted;
use crate::binder::today_page::{Asked, lines};
use crate::plan::model::Plan;
use crate::press::terminal::{visible, wrapped};
use crate::rules::nearest;

pub(super) fn today(asked: &Today, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let done = done?;
    let compilation = done.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let plan = &compilation.plan;
    let on = asked.on.unwrap_or_else(the_day);
    // Without a word on who and how long it is the next day of the plan's own calendar.
    let by_calendar = if asked.hours.is_none() && asked.with.is_empty() {
        next_day(plan, on)
    } else {
        None
    };
    let on = by_calendar.unwrap_or(on);
    let wanted = Wanted {
        kept: kept(&asked.numbers.binder, plan, &done.name),
        ..Wanted::printed(on)
    };
    let mut there = there(plan, &asked.with, &asked.without)?;
    there.on = Some(on);
    let mut hours = asked.hours.map(|hours| hours.0);
    if let Some(day) = by_calendar {
        there.people.extend(
            plan.people
                .ids()
                .filter(|&person| work_days::comes(plan, person, day)),
        );
        for gear in &there.without {
            if let Gear::Person(person) = gear {
                there.people.remove(person);
            }
        }
        hours = hours_of(plan, day).map(|(opens, shuts)| f64::from(shuts - opens));
    }
    let asked = Asked {
        hours,
        there,
        on,
        halt: stopped_at(&compilation),
    };
    let columns = around.columns();
    let mut text = String::new();
    for (indent, line) in lines(&compilation, &wanted, &asked) {
        let shown = visible(&line);
        let room = columns.saturating_sub(indent + 2).max(16);
        for (nth, part) in wrapped(&shown, room, 0).iter().enumerate() {
            let space = if nth == 0 { indent } else { indent + 2 };
            text.push_str(&format!("{}{part}\n", " ".repeat(space)));
        }
    }
    talk::show(&text)
}

/// Who comes besides the first of the crew, what has come that was waited for, and what is not there.
fn there(plan: &Plan, with: &[String], without: &[String]) -> Result<There, Trouble> {
    let named = |name: &String| {
        let name = name.trim();
        Gear::named(plan, name).ok_or_else(|| {
            let near = nearest(name, Gear::all(plan).map(|(_, name)| name));
            Trouble::new(format!(
                "No person, rig, tool, scale, consumable or part of the plan is called {name}.{}",
                perhaps(&near)
            ))
        })
    };
    let come = with.iter().map(named).collect::<Result<Vec<Gear>, _>>()?;
    let people = come.iter().filter_map(|gear| match gear {
        Gear::Person(person) => Some(*person),
        Gear::Rig(_) | Gear::Tool(_) | Gear::Scale(_) | Gear::Consumable(_) | Gear::Part(_) => None,
    });
    let mut there = There::with(plan, people);
    there.come = come.iter().copied().collect();
    for gear in without.iter().map(named) {
        let gear = gear?;
        if let Gear::Person(person) = gear {
            there.people.remove(&person);
        }
        there.without.insert(gear);
    }
    Ok(there)
}
