//! The days of the demonstration as a calendar file, read back by another program's parser.

use std::collections::BTreeMap;

use crate::support::{compile_files, plan_files};
use boltfolio::base::date::Date;
use boltfolio::binder::Wanted;
use boltfolio::binder::day_events::{Calendar, calendars};
use boltfolio::press::calendar::calendar;
use calcard::icalendar::{ICalendar, ICalendarComponentType, ICalendarProperty, ICalendarValue};

fn day(text: &str) -> Date {
    Date::read(text).expect("a day")
}

fn of(printed: &str) -> Vec<Calendar> {
    let done = compile_files(&plan_files("ouzel-front"));
    calendars(&done, &Wanted::printed(day(printed)))
}

/// Each event by its identity: when it begins and ends, its title and its text.
fn read(text: &str) -> BTreeMap<String, [String; 4]> {
    let file = ICalendar::parse(text).expect("a calendar");
    let mut events = BTreeMap::new();
    for component in &file.components {
        if component.component_type != ICalendarComponentType::VEvent {
            continue;
        }
        let value = |property: ICalendarProperty| {
            let entry = component
                .entries
                .iter()
                .find(|entry| entry.name == property)
                .expect("the property");
            match entry.values.first().expect("a value") {
                ICalendarValue::Text(text) => text.clone(),
                ICalendarValue::PartialDateTime(time) => {
                    assert!(
                        time.tz_hour.is_none() || property == ICalendarProperty::Dtstamp,
                        "the shop's own clock"
                    );
                    format!(
                        "{:04}-{:02}-{:02} {:02}:{:02}",
                        time.year.unwrap_or(0),
                        time.month.unwrap_or(0),
                        time.day.unwrap_or(0),
                        time.hour.unwrap_or(99),
                        time.minute.unwrap_or(99)
                    )
                }
                other => panic!("{other:?}"),
            }
        };
        let own = [
            value(ICalendarProperty::Dtstart),
            value(ICalendarProperty::Dtend),
            value(ICalendarProperty::Summary),
            value(ICalendarProperty::Description),
        ];
        let _stamp = value(ICalendarProperty::Dtstamp);
        assert!(
            events.insert(value(ICalendarProperty::Uid), own).is_none(),
            "an identity is one event's"
        );
    }
    events
}

#[test]
fn another_parser_reads_what_was_meant() {
    let all = of("2026-03-06");
    let people: Vec<Option<&str>> = all.iter().map(|calendar| calendar.of.as_deref()).collect();
    assert_eq!(people, [None, Some("tam"), Some("odo")]);
    for calendar_of in &all {
        let text = calendar(calendar_of, day("2026-03-06"));
        // RFC 5545, 3.1: lines end in CR and LF, and none is longer than 75 octets.
        assert!(
            text.split("\r\n")
                .all(|line| line.len() <= 75 && !line.contains(['\r', '\n'])),
            "{text}"
        );
        let read = read(&text);
        assert_eq!(read.len(), calendar_of.events.len());
        for event in &calendar_of.events {
            let [from, to, title, words] = &read[&event.uid];
            let clock = |minute: u32| format!("{} {:02}:{:02}", event.day, minute / 60, minute % 60);
            assert_eq!((from, to), (&clock(event.from), &clock(event.to)));
            assert_eq!((title, words), (&event.title, &event.text));
            assert!(words.contains("Who comes: "), "{words}");
        }
    }
    let odo = &all[2];
    assert_eq!(
        odo.events.len(),
        2,
        "one day to open the circuit, one to join the plug"
    );
}

/// A helper who has it on a telephone gets the same events again, not further ones.
#[test]
fn the_same_events_on_every_print() {
    let [first, later] = ["2026-03-06", "2026-03-20"].map(of);
    assert_eq!(first, later);
    let text = |all: &[Calendar], on: &str| all.iter().map(|one| calendar(one, day(on))).collect::<String>();
    assert_eq!(text(&first, "2026-03-06"), text(&later, "2026-03-06"));
}

#[test]
fn no_days_no_calendar() {
    let done = compile_files(&plan_files("lathe-move"));
    assert!(calendars(&done, &Wanted::printed(day("2026-03-06"))).is_empty());
}
