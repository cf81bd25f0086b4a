//! Calendar dates as a plan writes them: `2026-03-14`, Gregorian, years 1900 to 2199.

use std::fmt;

/// A day. Ordered by time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Date {
    pub year: u16,
    pub month: u8,
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
        let known = (1900..2200).contains(&date.year)
            && (1..=12).contains(&date.month)
            && (1..=date.days_in_month()).contains(&date.day);
        known.then_some(date)
    }

    fn days_in_month(self) -> u8 {
        let leap =
            self.year.is_multiple_of(4) && (!self.year.is_multiple_of(100) || self.year.is_multiple_of(400));
        match self.month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => 31,
        }
    }
}

/// Days of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl Weekday {
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
        let years = u32::from(self.year) - 1900;
        // 1900 had no leap day; of those before this year each fourth had, and 2100.
        let before = u32::from(self.year) - 1;
        let leaps = before / 4 - before / 100 + before / 400 - (1899 / 4 - 1899 / 100 + 1899 / 400);
        let mut days = years * 365 + leaps;
        for month in 1..self.month {
            days += u32::from(Date { month, ..self }.days_in_month());
        }
        days + u32::from(self.day) - 1
    }

    /// The day at such a distance; the last of all where that is further than can be written.
    #[must_use]
    pub fn of_nth(nth: u32) -> Date {
        let first = |year: u16| Date {
            year,
            month: 1,
            day: 1,
        };
        // No year is longer than this, so that none is passed by.
        let mut year = u16::try_from(nth / 366).map_or(2199, |years| (1900 + years).min(2199));
        let mut rest = nth - first(year).nth();
        while year < 2199 {
            let days = first(year + 1).nth() - first(year).nth();
            if rest < days {
                break;
            }
            rest -= days;
            year += 1;
        }
        let mut month = 1;
        while month < 12 {
            let days = u32::from(Date { year, month, day: 1 }.days_in_month());
            if rest < days {
                break;
            }
            rest -= days;
            month += 1;
        }
        let last = Date { year, month, day: 1 }.days_in_month();
        let day = u8::try_from(rest + 1).unwrap_or(last).min(last);
        Date { year, month, day }
    }

    /// So many days later.
    #[must_use]
    pub fn plus(self, days: u32) -> Date {
        Date::of_nth(self.nth().saturating_add(days))
    }

    #[must_use]
    pub fn weekday(self) -> Weekday {
        let [monday, tuesday, wednesday, thursday, friday, saturday, sunday] = Weekday::ALL;
        match self.nth() % 7 {
            0 => monday,
            1 => tuesday,
            2 => wednesday,
            3 => thursday,
            4 => friday,
            5 => saturday,
            _ => sunday,
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
