//! The days of the work as a strip on "The job on one page": weeks from the first day of the log or the work to the last. Knows the timetable, no step.

use super::binding::Binding;
use super::day_pages::{self, named, short};
use super::drawings::Drawing;
use super::drawings::days::{self, Day, Kind, Week};
use super::words::counted;
use crate::analysis::timetable;
use crate::base::date::{Date, Weekday};

/// The drawing; none where the plan has no days, or more weeks than it shows.
#[must_use]
pub fn drawing(binding: &Binding<'_>) -> Option<Drawing> {
    let weeks = weeks(binding)?;
    let caption = caption(binding, &weeks)?;
    days::draw(&weeks, &caption)
}

/// How high it is with its caption, mm; nothing where there is none.
#[must_use]
pub fn high(binding: &Binding<'_>) -> f64 {
    let high = weeks(binding).and_then(|weeks| days::high(weeks.len()));
    high.map_or(0.0, |high| high + 9.0)
}

fn weeks(binding: &Binding<'_>) -> Option<Vec<Week>> {
    let table = binding.timetable()?;
    let all = day_pages::days(binding, table);
    let done: Vec<Date> = binding
        .plan
        .logs
        .iter()
        .filter_map(|log| Some(log.done?.value))
        .collect();
    let first = all.iter().map(|day| day.day).chain(done.iter().copied()).min()?;
    let last = all.iter().map(|day| day.day).max()?;
    let from = |first: Date| {
        let mut monday = (0..7).map(|back| Date::of_nth(first.nth().saturating_sub(back)));
        let monday = monday.find(|day| day.weekday() == Weekday::Monday)?;
        let count = usize::try_from((last.nth() - monday.nth()) / 7 + 1).ok()?;
        Some((monday, count))
    };
    let (mut monday, mut count) = from(first)?;
    // Weeks that are over make room for those that are left.
    if count > days::WEEKS {
        (monday, count) = from(all.iter().map(|day| day.day).min()?)?;
    }
    // What is not drawn need not be made.
    days::high(count)?;
    let letter = |person| binding.person(person).chars().next();
    let day = |date: Date| {
        let works = all.iter().find(|day| day.day == date);
        let kind = match works {
            Some(_) => Kind::Work,
            None if done.contains(&date) => Kind::Done,
            None if timetable::hours_of(binding.plan, date).is_some() && date >= first && date <= last => {
                Kind::Free
            }
            None => Kind::Closed,
        };
        let who = works.map_or(&[][..], |day| day.who.as_slice());
        Day {
            number: date.day,
            kind,
            who: who.iter().filter_map(|comes| letter(comes.person)).collect(),
            called: named(date),
        }
    };
    let weeks = (0..count).map(|nth| {
        let start = monday.plus(u32::try_from(nth).unwrap_or(0) * 7);
        Week {
            called: short(start),
            days: (0..7).map(|later| day(start.plus(later))).collect(),
        }
    });
    Some(weeks.collect())
}

/// "7 days of work, black, and 2 free ones, white; letters: who comes".
fn caption(binding: &Binding<'_>, weeks: &[Week]) -> Option<String> {
    let count = |kind: Kind| {
        let days = weeks.iter().flat_map(|week| &week.days);
        days.filter(|day| day.kind == kind).count()
    };
    let table = binding.timetable()?;
    let mut caption = format!(
        "Done on {}: {} (black)",
        named(table.ends.day),
        counted(count(Kind::Work), "day of work", "days of work")
    );
    let free = count(Kind::Free);
    if free > 0 {
        caption = format!(
            "{caption}, {} between them (white)",
            counted(free, "free day", "free days")
        );
    }
    let done = count(Kind::Done);
    if done > 0 {
        caption = format!("{caption}, {} done (hatched)", counted(done, "day", "days"));
    }
    let several = weeks
        .iter()
        .flat_map(|week| &week.days)
        .any(|day| day.who.len() > 1);
    if several {
        caption.push_str("; the letters say who comes");
    }
    // Weeks behind the end are counted, not drawn: the page has no room for white.
    if let Some(by) = binding.about().and_then(|about| about.calendar.finish_by)
        && by.value >= table.ends.day
    {
        let behind = (table.ends.day.nth() + 1)..=by.value.nth();
        let open = |nth: &u32| timetable::hours_of(binding.plan, Date::of_nth(*nth)).is_some();
        let spare = counted(behind.filter(open).count(), "day of work", "days of work");
        caption = format!("{caption}; {spare} to spare before {}", short(by.value));
    }
    Some(caption)
}
