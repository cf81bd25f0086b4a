//! The days of work as a file that calendars read: RFC 5545, times without a zone, for they are those of the shop's clock. Same days, same bytes.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeZone, Utc};
use icalendar::{CalendarDateTime, Component, EventLike, Property};

use crate::base::date::Date;
use crate::binder::day_events::{Calendar, Event};

/// The file's text; `stamped` is the day of printing.
#[must_use]
pub fn calendar(calendar: &Calendar, stamped: Date) -> String {
    let mut file = icalendar::Calendar::empty();
    file.append_property(Property::new("VERSION", "2.0"));
    file.append_property(Property::new("PRODID", "-//boltfolio//days of work//EN"));
    file.append_property(Property::new("CALSCALE", "GREGORIAN"));
    file.append_property(Property::new("METHOD", "PUBLISH"));
    file.name(&calendar.title);
    for event in &calendar.events {
        file.push(one(event, stamped));
    }
    file.to_string()
}

fn one(event: &Event, stamped: Date) -> icalendar::Event {
    let mut own = icalendar::Event::new();
    own.uid(&event.uid)
        .summary(&event.title)
        .description(&event.text)
        .starts(CalendarDateTime::Floating(moment(event.day, event.from)))
        .ends(CalendarDateTime::Floating(moment(event.day, event.to)));
    own.timestamp(Utc.from_utc_datetime(&moment(stamped, 0)));
    own.done()
}

/// The end of a day is the beginning of the next.
fn moment(day: Date, minute: u32) -> NaiveDateTime {
    let (day, minute) = match minute / 1_440 {
        0 => (day, minute),
        days => (day.plus(days), minute % 1_440),
    };
    let date = NaiveDate::from_ymd_opt(i32::from(day.year), u32::from(day.month), u32::from(day.day));
    let time = NaiveTime::from_hms_opt(minute / 60, minute % 60, 0);
    NaiveDateTime::new(date.unwrap_or_default(), time.unwrap_or_default())
}
