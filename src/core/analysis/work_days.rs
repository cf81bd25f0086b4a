//! The days on which there is work, and who and what is there at which hours of them. Knows nothing of steps, and no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use crate::base::date::Date;
use crate::plan::model::{Calendar, Id, On, Person, Plan, Rig, Said, Scale, Tool};
use crate::reckon::laying_days::{DAY, Hours, Open};

/// When work begins where the plan does not say: 9 o'clock; common practice, no source.
pub const OPENS: u32 = 9 * 60;

/// Whoever or whatever one step at a time can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wanted {
    /// Somebody of the crew.
    Person(Id<Person>),
    /// A lift, stand or crane.
    Rig(Id<Rig>),
    /// A hand tool or a container.
    Tool(Id<Tool>),
    /// What weighs.
    Scale(Id<Scale>),
}

/// The plan's calendar; none where it does not say when there is work.
#[must_use]
pub fn calendar(plan: &Plan) -> Option<&Calendar> {
    let calendar = &plan.about.as_ref()?.calendar;
    (!calendar.works.is_empty()).then_some(calendar)
}

/// From when to when there is work on a day, in minutes after midnight: what names the day goes before what names its weekday, and of two alike the
/// later one holds.
#[must_use]
pub fn hours(calendar: &Calendar, day: Date) -> Option<(u32, u32)> {
    if calendar.no_work.iter().any(|said| said.value == day) {
        return None;
    }
    let weekly = |said: &Said<On>| matches!(said.value, On::Each(_));
    let of = |wanted: bool| {
        let mut works = calendar.works.iter().rev();
        works.find(|works| {
            let mut on = works.on.iter();
            on.any(|said| weekly(said) == wanted && said.value.is(day))
        })
    };
    let works = of(false).or_else(|| of(true))?;
    let said = calendar.works.iter().find_map(|works| works.from);
    let opens = works.from.or(said).map_or(OPENS, |said| said.value);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "rounded, and not more than a day"
    )]
    let length = works.hours.value.base().round().clamp(0.0, f64::from(DAY)) as u32;
    (length > 0).then_some((opens, (opens + length).min(DAY)))
}

/// Whether somebody comes on a day of work.
#[must_use]
pub fn comes(plan: &Plan, person: Id<Person>, day: Date) -> bool {
    let free = &plan.people[person].free;
    free.is_empty() || free.iter().any(|said| said.value.is(day))
}

/// Whether a thing is there on a day, as far as it is hired.
#[must_use]
pub fn there(plan: &Plan, wanted: Wanted, day: Date) -> bool {
    let hired = match wanted {
        Wanted::Person(person) => return comes(plan, person, day),
        Wanted::Rig(rig) => plan.rigs[rig].supply.hired,
        Wanted::Tool(tool) => plan.tools[tool].supply.hired,
        Wanted::Scale(_) => None,
    };
    hired.is_none_or(|said| said.value.0 <= day && day <= said.value.1)
}

/// The days of work from one day on, so many days of the calendar long; day nought is `nought`. Of days that are only supposed (`as_weekly`) the days of
/// the week alone count.
pub fn open(
    plan: &Plan,
    calendar: &Calendar,
    wanted: &[Wanted],
    nought: Date,
    days: std::ops::Range<u32>,
    begins: u32,
) -> Vec<Open> {
    let plain = Calendar {
        works: calendar
            .works
            .iter()
            .filter(|works| works.on.iter().any(|on| matches!(on.value, On::Each(_))))
            .cloned()
            .collect(),
        ..Calendar::default()
    };
    let mut all = Vec::new();
    for nth in days {
        let day = nought.plus(nth);
        // Before the beginning there is nothing: such days only give room to lay out backwards.
        let supposed = nth < begins;
        let hours = if supposed {
            hours(&plain, day).or(Some((OPENS, OPENS + 8 * 60)))
        } else {
            hours(calendar, day)
        };
        let Some((opens, shuts)) = hours else { continue };
        let shop = Hours::between(opens, shuts);
        if shop.is_never() {
            continue;
        }
        let mut free = vec![shop];
        free.extend(wanted.iter().map(|&wanted| {
            if supposed || there(plan, wanted, day) {
                shop
            } else {
                Hours::default()
            }
        }));
        all.push(Open { day: nth, free });
    }
    all
}
