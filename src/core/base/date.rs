//! Calendar dates as a plan writes them: `2026-03-14`, Gregorian, years 1900 to 2199.

use std::fmt;

use jiff::{SignedDuration, civil};

const FIRST: civil::Date = civil::date(1900, 1, 1);
const LAST: civil::Date = civil::date(2199, 12, 31);

/// A day. Ordered by time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Date {
    /// Of the Gregorian calendar, up to 2199.
    pub year: u16,
    /// From 1.
    pub month: u8,
    /// Of the month, from 1.
    pub day: u8,
}

impl Date {
    /// `None` where the text is no day of the calendar.
    #[must_use]
    pub fn read(text: &str) -> Option<Date> {
        let mut fields = text.split('-');
        let (year, month, day) = (fields.next()?, fields.next()?, fields.next()?);
        if fields.next().is_some() || (year.len(), month.len(), day.len()) != (4, 2, 2) {
            return None;
        }
        let date = Date {
            year: year.parse().ok()?,
            month: month.parse().ok()?,
            day: day.parse().ok()?,
        };
        let known = civil::Date::new(
            date.year.try_into().ok()?,
            date.month.try_into().ok()?,
            date.day.try_into().ok()?,
        );
        known
            .is_ok_and(|known| (FIRST..=LAST).contains(&known))
            .then_some(date)
    }

    /// A day that was made by hand and is none of the calendar counts as the last that can be written.
    fn civil(self) -> civil::Date {
        civil::Date::new(
            i16::try_from(self.year).unwrap_or(i16::MAX),
            i8_of(self.month),
            i8_of(self.day),
        )
        .unwrap_or(LAST)
    }
}

fn i8_of(number: u8) -> i8 {
    i8::try_from(number).unwrap_or(i8::MAX)
}

/// Days of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weekday {
    /// First day of the week, as ISO 8601 counts.
    Monday,
    /// Day 2.
    Tuesday,
    /// Day 3.
    Wednesday,
    /// Day 4.
    Thursday,
    /// Day 5.
    Friday,
    /// Day 6.
    Saturday,
    /// Day 7.
    Sunday,
}

impl Weekday {
    /// From Monday to Sunday.
    pub const ALL: [Weekday; 7] = [
        Weekday::Monday,
        Weekday::Tuesday,
        Weekday::Wednesday,
        Weekday::Thursday,
        Weekday::Friday,
        Weekday::Saturday,
        Weekday::Sunday,
    ];

    /// As a plan writes it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Weekday::Monday => "monday",
            Weekday::Tuesday => "tuesday",
            Weekday::Wednesday => "wednesday",
            Weekday::Thursday => "thursday",
            Weekday::Friday => "friday",
            Weekday::Saturday => "saturday",
            Weekday::Sunday => "sunday",
        }
    }

    /// As a page writes it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Weekday::Monday => "Monday",
            Weekday::Tuesday => "Tuesday",
            Weekday::Wednesday => "Wednesday",
            Weekday::Thursday => "Thursday",
            Weekday::Friday => "Friday",
            Weekday::Saturday => "Saturday",
            Weekday::Sunday => "Sunday",
        }
    }
}

impl Date {
    /// Days from the first one that can be written, 1900-01-01, a Monday.
    #[must_use]
    pub fn nth(self) -> u32 {
        let hours = self.civil().duration_since(FIRST).as_hours();
        u32::try_from(hours / 24).unwrap_or(0)
    }

    /// The day at such a distance; the last of all where that is further than can be written.
    #[must_use]
    pub fn of_nth(nth: u32) -> Date {
        let day = FIRST
            .saturating_add(SignedDuration::from_hours(i64::from(nth) * 24))
            .min(LAST);
        let number = |number: i8| number.unsigned_abs();
        Date {
            year: day.year().unsigned_abs(),
            month: number(day.month()),
            day: number(day.day()),
        }
    }

    /// So many days later.
    #[must_use]
    pub fn plus(self, days: u32) -> Date {
        Date::of_nth(self.nth().saturating_add(days))
    }

    /// The day of the week that it falls on.
    #[must_use]
    pub fn weekday(self) -> Weekday {
        match self.civil().weekday() {
            civil::Weekday::Monday => Weekday::Monday,
            civil::Weekday::Tuesday => Weekday::Tuesday,
            civil::Weekday::Wednesday => Weekday::Wednesday,
            civil::Weekday::Thursday => Weekday::Thursday,
            civil::Weekday::Friday => Weekday::Friday,
            civil::Weekday::Saturday => Weekday::Saturday,
            civil::Weekday::Sunday => Weekday::Sunday,
        }
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn only_days_of_the_calendar() {
        assert_eq!(
            Date::read("2026-03-14").map(|d| d.to_string()).as_deref(),
            Some("2026-03-14")
        );
        assert!(Date::read("2024-02-29").is_some());
        for wrong in [
            "2026-02-29",
            "2026-13-01",
            "2026-3-14",
            "26-03-14",
            "2026-03-14-1",
            "x",
        ] {
            assert_eq!(Date::read(wrong), None, "{wrong}");
        }
    }
}
