//! Days and hours of work.

use super::super::model::{On, Said, Works};
use super::amounts::time;
use super::block::{Read, expected};
use super::weighings::date;
use crate::base::date::Weekday;
use crate::syntax::cursor::Cursor;
use crate::syntax::tree::TokenKind;

/// `8 h from 9:00 on saturday, sunday`, `9 h on 2026-03-07`.
pub fn works(cursor: &mut Cursor<'_>, form: &str) -> Read<Works> {
    let at = cursor.statement();
    let hours = time(cursor, form)?;
    let from = match cursor.eat("from") {
        Some(_) => Some(clock(cursor, form)?),
        None => None,
    };
    if cursor.eat("on").is_none() {
        return Err(expected(
            cursor,
            "`on` and the days, such as saturday or 2026-03-07",
            form,
        ));
    }
    let on = days(cursor, form)?;
    Ok(Works { hours, from, on, at })
}

/// `saturday, 2026-03-22`.
pub fn days(cursor: &mut Cursor<'_>, form: &str) -> Read<Vec<Said<On>>> {
    let mut all = Vec::new();
    loop {
        let named = Weekday::ALL.iter().find(|weekday| cursor.sees(weekday.word()));
        all.push(match named {
            Some(&weekday) => {
                cursor.skip(1);
                Said::new(On::Each(weekday), cursor.last())
            }
            None if cursor.kind() == Some(TokenKind::Date) => {
                let day = date(cursor, form)?;
                Said::new(On::Day(day.value), day.at)
            }
            None => {
                return Err(expected(
                    cursor,
                    "a day of the week, such as saturday, or a day of the calendar, such as 2026-03-14",
                    form,
                ));
            }
        });
        if !cursor.comma() {
            return Ok(all);
        }
    }
}

/// `9:00`, in minutes after midnight.
fn clock<'a>(cursor: &mut Cursor<'a>, form: &str) -> Read<Said<u32>> {
    let start = cursor.clone();
    let wrong = |cursor: &mut Cursor<'a>| {
        *cursor = start.clone();
        Err(expected(cursor, "a time of the day, such as 9:00 or 13:30", form))
    };
    let figure = |cursor: &mut Cursor<'_>, most: u32| {
        let known = cursor.kind() == Some(TokenKind::Number);
        let value = cursor
            .peek()
            .parse::<u32>()
            .ok()
            .filter(|value| known && *value < most)?;
        cursor.skip(1);
        Some((value, cursor.last()))
    };
    let Some((hour, at)) = figure(cursor, 24) else {
        return wrong(cursor);
    };
    if cursor.eat_kind(TokenKind::Colon).is_none() || cursor.peek().len() != 2 {
        return wrong(cursor);
    }
    match figure(cursor, 60) {
        Some((minute, to)) => Ok(Said::new(hour * 60 + minute, at.to(to))),
        None => wrong(cursor),
    }
}
