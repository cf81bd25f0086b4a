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
