//! Amounts within statements: quantities with their units, masses with origin, times with a spread, money, threads,
//! places.

use super::super::model::{
    FrontRear, MassFigure, Money, Origin, Paid, Place, Rate, Reading, Said, Text, Thread, TimeFigure,
};
use super::super::plan_error::PlanError;
use super::super::vocabulary::other_words::ORIGINS_READ_AS;
use super::block::{Read, Reader, expected, nearest, quoted};
use super::weighings::date;
use crate::base::quantity::{Length, Mass, Measures, Number, Quantity, Time};
use crate::base::source::Span;
use crate::base::unit::{self, Dimension, UnitId};
use crate::syntax::cursor::Cursor;
use crate::syntax::tree::TokenKind;

/// A number that stands without a unit: `2 of`, `count 4`, `0.10 to 0.14`.
pub fn number(cursor: &mut Cursor<'_>, what: &str, form: &str) -> Read<Said<Number>> {
    let at = cursor.here();
    let number = (cursor.kind() == Some(TokenKind::Number))
        .then(|| Number::read(cursor.peek()))
        .flatten();
    match number {
        Some(number) => {
            cursor.skip(1);
            let fraction = (cursor.kind() == Some(TokenKind::Number))
                .then(|| Number::read(cursor.peek()))
                .flatten();
            if let Some(mixed) = fraction.and_then(|fraction| number.with_fraction(fraction)) {
                cursor.skip(1);
                return Ok(Said::new(mixed, at.to(cursor.last())));
            }
            Ok(Said::new(number, at))
        }
        None => Err(expected(cursor, what, form)),
    }
}

/// A whole number of things, from 1 to 10,000.
pub fn count(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<u32>> {
    let at = cursor.here();
    let value = cursor
        .peek()
        .parse::<u32>()
        .ok()
        .filter(|n| (1..=10_000).contains(n));
    match value.filter(|_| cursor.kind() == Some(TokenKind::Number)) {
        Some(value) => {
            cursor.skip(1);
            Ok(Said::new(value, at))
        }
        None => Err(expected(cursor, "a whole number, 1 or more", form)),
    }
}

/// The unit that stands next, the longest that fits.
fn unit(cursor: &mut Cursor<'_>) -> Option<UnitId> {
    let wordy = |kind| matches!(kind, Some(TokenKind::Name | TokenKind::Word));
    if !wordy(cursor.kind()) {
        return None;
    }
    let first = cursor.peek();
    let mut best = unit::find(first).map(|id| (id, 1));
    if unit::may_go_on(first) && wordy(cursor.kind_ahead(1)) {
        let mut text = first.to_owned();
        let mut words = 1;
        while unit::may_go_on(&text) && wordy(cursor.kind_ahead(words)) {
            text.push(' ');
            text.push_str(cursor.peek_ahead(words));
            words += 1;
            if let Some(id) = unit::find(&text) {
                best = Some((id, words));
            }
        }
    }
    let (id, words) = best?;
    cursor.skip(words);
    Some(id)
}

/// Words that may follow a number although they are no unit: then the unit was forgotten, not misspelt.
fn is_joining(word: &str) -> bool {
    super::super::declare::CONNECTING.contains(&word)
        || matches!(
            word,
            "estimated"
                | "quoted"
                | "weighed"
                | "left"
                | "right"
                | "up"
                | "behind"
                | "ahead"
                | "then"
                | "x"
                | "each"
                | "assumed"
                | "outboard"
                | "class"
        )
}

/// A quantity of this dimension.
pub fn quantity<D: Measures>(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Quantity<D>>> {
    let what = D::DIMENSION.words();
    let number = number(cursor, what, form)?;
    let at = number.at;
    let Some(id) = unit(cursor) else {
        if let Some(slip) = decimal_comma(cursor, number.value, at) {
            return Err(Box::new(slip));
        }
        let bare = PlanError::BareNumber {
            at,
            number: number.value.to_string(),
            wants: D::DIMENSION,
        };
        if !unit::meanings(cursor.peek()).is_empty() {
            let unit = cursor.peek().to_owned();
            cursor.skip(1);
            return Err(Box::new(PlanError::WrongUnit {
                at: at.to(cursor.last()),
                unit,
                wants: D::DIMENSION,
                is: None,
            }));
        }
        let wordy = matches!(cursor.kind(), Some(TokenKind::Name | TokenKind::Word));
        if !wordy || is_joining(cursor.peek()) {
            return Err(Box::new(bare));
        }
        let (unit, unit_at) = cursor
            .glued()
            .map_or((String::new(), at), |(word, at)| (word.to_owned(), at));
        return Err(Box::new(PlanError::WrongUnit {
            at: at.to(unit_at),
            unit,
            wants: D::DIMENSION,
            is: None,
        }));
    };
    let at = at.to(cursor.last());
    match Quantity::new(number.value, id) {
        Some(quantity) => Ok(Said::new(quantity, at)),
        None => Err(Box::new(PlanError::WrongUnit {
            at,
            unit: id.unit().symbol.to_owned(),
            wants: D::DIMENSION,
            is: Some(id.unit().dimension),
        })),
    }
}

/// A comma between two figures without a space is a decimal mark of another language.
fn decimal_comma(cursor: &Cursor<'_>, before: Number, at: Span) -> Option<PlanError> {
    let mut probe = cursor.clone();
    let comma = probe.here();
    if comma.start != at.end || !probe.comma() {
        return None;
    }
    let next = probe.here();
    let digits = probe.peek();
    let figure = probe.kind() == Some(TokenKind::Number) && digits.bytes().all(|byte| byte.is_ascii_digit());
    (figure && next.start == comma.end).then(|| PlanError::DecimalComma {
        at: at.to(next),
        meant: format!("{before}.{digits}"),
    })
}

/// A quantity, or `to come`.
pub fn reading<D: Measures>(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Reading<Quantity<D>>>> {
    if let Some(at) = cursor.eat("to come") {
        return Ok(Said::new(Reading::ToCome, at));
    }
    let said = quantity(cursor, form)?;
    Ok(Said::new(Reading::Is(said.value), said.at))
}

/// `10 to 12 kg`, `10 kg to 12 kg`: the two figures, the unit, and where it stands. `between` words may stand between.
fn range<D: Measures>(cursor: &Cursor<'_>) -> Option<(Number, Number, String, Span)> {
    let mut probe = cursor.clone();
    let low = number(&mut probe, "", "").ok()?;
    unit(&mut probe);
    if probe.eat("to").is_none() {
        let dash = (probe.kind() == Some(TokenKind::Number)).then(|| probe.peek())?;
        dash.strip_prefix(['-', '−'])?;
    }
    let high = number(&mut probe, "", "").ok()?;
    let unit = unit(&mut probe).filter(|id| id.unit().dimension == D::DIMENSION)?;
    let at = low.at.to(probe.last());
    let positive = Number {
        mantissa: high.value.mantissa.abs(),
        ..high.value
    };
    let ordered = low.value.value() < positive.value();
    ordered.then(|| (low.value, positive, unit.unit().symbol.to_owned(), at))
}

/// Half way between two figures, with a digit more where that is wanted.
fn middle(low: Number, high: Number) -> String {
    let decimals = usize::from(low.decimals.max(high.decimals));
    let middle = f64::midpoint(low.value(), high.value());
    let digits = format!("{middle:.0$}", decimals + 1);
    digits
        .strip_suffix(".0")
        .or_else(|| digits.strip_suffix('0').filter(|_| decimals > 0))
        .unwrap_or(&digits)
        .to_owned()
}

/// A range of masses is no figure. As likely anywhere in it as elsewhere, its standard deviation is half its width over the root of
/// three: JCGM 100:2008, 4.3.7.
fn mass_range(cursor: &Cursor<'_>) -> Option<PlanError> {
    let (low, high, unit, at) = range::<crate::base::quantity::OfMass>(cursor)?;
    let deviation = (high.value() - low.value()) / 2.0 / 3.0_f64.sqrt();
    let decimals = usize::from(low.decimals.max(high.decimals)) + 1;
    Some(PlanError::Otherwise {
        at,
        what: "a mass between two figures is written as the middle and one standard deviation",
        meant: format!("{} +- {deviation:.decimals$} {unit}", middle(low, high)),
    })
}

/// A torque, or a time, between two figures is written as a likely one and both in brackets.
pub fn bracketed<D: Measures>(cursor: &Cursor<'_>, what: &'static str) -> Option<PlanError> {
    let (low, high, unit, at) = range::<D>(cursor)?;
    let meant = format!("{} {unit} ({low} to {high})", middle(low, high));
    Some(PlanError::Otherwise { at, what, meant })
}

/// A mass with what follows `+-`: `63.4 +- 0.2 kg`, `63.4 kg +- 200 g`.
pub fn mass_with_give(cursor: &mut Cursor<'_>, form: &str) -> Read<(Said<Mass>, Option<Mass>)> {
    if let Some(slip) = mass_range(cursor) {
        return Err(Box::new(slip));
    }
    let mut probe = cursor.clone();
    let first = number(&mut probe, Dimension::Mass.words(), form)?;
    if probe.eat_kind(TokenKind::Give).is_some() {
        let give: Said<Mass> = quantity(&mut probe, form)?;
        let mass = Quantity::new(first.value, give.value.unit());
        // The unit behind the uncertainty is that of both.
        if let Some(mass) = mass {
            *cursor = probe;
            return Ok((Said::new(mass, first.at.to(give.at)), Some(give.value)));
        }
    }
    let mass: Said<Mass> = quantity(cursor, form)?;
    if cursor.eat_kind(TokenKind::Give).is_some() {
        let give: Said<Mass> = quantity(cursor, form)?;
        return Ok((Said::new(mass.value, mass.at.to(give.at)), Some(give.value)));
    }
    Ok((mass, None))
}

/// `31.5 kg estimated`, `14.2 +- 0.1 kg weighed as "bare"`.
pub fn mass_figure(cursor: &mut Cursor<'_>) -> Read<Said<MassFigure>> {
    let form = "mass 31.5 kg estimated";
    let (mass, give) = mass_with_give(cursor, form)?;
    let said = cursor.peek();
    let origin = match ORIGINS_READ_AS
        .iter()
        .find(|(other, _)| *other == said)
        .map_or(said, |(_, own)| own)
    {
        "estimated" => Origin::Estimated,
        "quoted" => Origin::Quoted,
        "weighed" => Origin::Weighed,
        _ => Origin::Unsaid,
    };
    if origin != Origin::Unsaid {
        cursor.skip(1);
    }
    let state = match cursor.eat("as") {
        Some(_) => {
            // `weighed as weighed "bare, painted"` is said too; the word in between says nothing new.
            if cursor.kind() == Some(TokenKind::Name) {
                cursor.skip(1);
            }
            Some(text(cursor, "the state in quotes", form)?.value)
        }
        None => None,
    };
    Ok(Said::new(
        MassFigure {
            mass: mass.value,
            give,
            origin,
            state,
        },
        mass.at,
    ))
}

pub fn text(cursor: &mut Cursor<'_>, what: &str, form: &str) -> Read<Said<Text>> {
    match cursor.text() {
        Some((text, at)) => Ok(Said::new(text.into(), at)),
        None => Err(expected(cursor, what, form)),
    }
}

pub fn optional_text(cursor: &mut Cursor<'_>) -> Option<Text> {
    cursor.text().map(|(text, _)| text.into())
}

/// `1h30`, as it is read aloud; `1h30min` too.
fn hours_and_minutes(cursor: &mut Cursor<'_>) -> Option<Said<Time>> {
    let mut probe = cursor.clone();
    let (kind, hours, at) = probe.take()?;
    let (_, word, end) = probe.take().filter(|(kind, ..)| *kind == TokenKind::Name)?;
    let minutes = word.strip_prefix('h')?;
    let minutes = minutes
        .strip_suffix("min")
        .or_else(|| minutes.strip_suffix('m'))
        .unwrap_or(minutes);
    let touching = kind == TokenKind::Number && end.start == at.end && minutes.len() == 2;
    let minutes = Number::read(minutes).filter(|minutes| touching && minutes.value() < 60.0)?;
    let hours = Quantity::new(Number::read(hours)?, unit::find("h")?)?;
    let minutes = Quantity::new(minutes, unit::find("min")?)?;
    *cursor = probe;
    Some(Said::new(hours.plus(minutes), at.to(end)))
}

/// `1:30` is an hour of the day.
fn clock_time(cursor: &Cursor<'_>) -> Option<PlanError> {
    let mut probe = cursor.clone();
    let (kind, hours, at) = probe.take()?;
    probe.eat_kind(TokenKind::Colon)?;
    let (next, minutes, end) = probe.take()?;
    let figures = kind == TokenKind::Number && next == TokenKind::Number && minutes.len() == 2;
    let at = probe.eat("h").map_or(at.to(end), |unit| at.to(unit));
    figures.then(|| PlanError::Otherwise {
        at,
        what: "a colon stands in an hour of the day; a time that something takes has units",
        meant: format!("{hours} h {minutes} min"),
    })
}

/// A time, of one unit or of several: `1 h 20 min`.
pub fn time(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Time>> {
    if let Some(said) = hours_and_minutes(cursor) {
        return Ok(said);
    }
    if let Some(slip) = clock_time(cursor) {
        return Err(Box::new(slip));
    }
    let mut whole: Said<Time> = quantity(cursor, form)?;
    while cursor.kind() == Some(TokenKind::Number) {
        let next: Said<Time> = quantity(cursor, form)?;
        whole = Said::new(whole.value.plus(next.value), whole.at.to(next.at));
    }
    Ok(whole)
}

/// `30 min (20 to 60)`, `1 h 20 min (1 h to 2 h)`.
pub fn time_figure(cursor: &mut Cursor<'_>) -> Read<Said<TimeFigure>> {
    let form = "time 30 min (20 to 60)";
    let what = "a time between two figures is written as the likely one and both in brackets";
    if let Some(slip) = bracketed::<crate::base::quantity::OfTime>(cursor, what) {
        return Err(Box::new(slip));
    }
    let likely = time(cursor, form)?;
    if cursor.eat_kind(TokenKind::Open).is_none() {
        return Ok(Said::new(
            TimeFigure {
                likely: likely.value,
                spread: None,
            },
            likely.at,
        ));
    }
    let bound = |cursor: &mut Cursor<'_>| -> Read<Time> {
        let mut probe = cursor.clone();
        let bare = number(&mut probe, "a time", form)?;
        let unit_follows = matches!(probe.kind(), Some(TokenKind::Name)) && probe.peek() != "to";
        if unit_follows {
            return Ok(time(cursor, form)?.value);
        }
        *cursor = probe;
        // A bare bound is in the unit of the likely figure.
        Quantity::new(bare.value, likely.value.unit()).ok_or_else(|| expected(cursor, "a time", form))
    };
    let best = bound(cursor)?;
    cursor
        .eat("to")
        .ok_or_else(|| expected(cursor, "`to` between best and worst", form))?;
    let worst = bound(cursor)?;
    let Some(close) = cursor.eat_kind(TokenKind::Close) else {
        return Err(expected(cursor, "a closing bracket", form));
    };
    // A bare best bound before a worst one with its own unit is in that unit: `(20 to 60 min)`.
    Ok(Said::new(
        TimeFigure {
            likely: likely.value,
            spread: Some((best, worst)),
        },
        likely.at.to(close),
    ))
}

/// `240 GBP`: three capital letters.
pub fn money(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Money>> {
    let number = number(cursor, "a sum of money", form)?;
    let letters = <[u8; 3]>::try_from(cursor.peek().as_bytes()).ok();
    match letters.filter(|letters| letters.iter().all(u8::is_ascii_uppercase)) {
        Some(currency) => {
            cursor.skip(1);
            Ok(Said::new(
                Money {
                    number: number.value,
                    currency,
                },
                number.at.to(cursor.last()),
            ))
        }
        None => Err(expected(
            cursor,
            "a currency of three capital letters, such as GBP",
            form,
        )),
    }
}

/// `2026-03-01 410 GBP`; the sum may be left out where the thing says its price.
pub fn paid(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Paid>> {
    let on = date(cursor, form)?;
    let sum = match cursor.at_end() {
        true => None,
        false => Some(money(cursor, form)?),
    };
    let paid = Paid { on: on.value, sum };
    Ok(Said::new(paid, on.at.to(cursor.last())))
}

/// `1 EUR is 0.86 GBP`.
pub fn rate(cursor: &mut Cursor<'_>, form: &str) -> Read<Rate> {
    let at = cursor.statement();
    let of = money(cursor, form)?;
    cursor
        .eat("is")
        .ok_or_else(|| expected(cursor, "`is` and what that is worth in the other currency", form))?;
    let is = money(cursor, form)?;
    Ok(Rate { of, is, at })
}

/// `900 mm x 600 mm`
pub fn two_lengths(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<(Length, Length)>> {
    let one: Said<Length> = quantity(cursor, form)?;
    cursor
        .eat("x")
        .ok_or_else(|| expected(cursor, "`x` between the two lengths", form))?;
    let other: Said<Length> = quantity(cursor, form)?;
    Ok(Said::new((one.value, other.value), one.at.to(other.at)))
}

/// `1420 mm front, 1415 mm rear`; one figure without a word is for both.
pub fn front_rear<D: Measures>(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<FrontRear<Quantity<D>>>> {
    let front: Said<Quantity<D>> = quantity(cursor, form)?;
    if cursor.at_end() {
        return Ok(Said::new(
            FrontRear {
                front: front.value,
                rear: front.value,
            },
            front.at,
        ));
    }
    cursor
        .eat("front")
        .ok_or_else(|| expected(cursor, "`front`", form))?;
    if !cursor.comma() {
        return Err(expected(cursor, "a comma and the figure for the rear", form));
    }
    let rear: Said<Quantity<D>> = quantity(cursor, form)?;
    cursor
        .eat("rear")
        .ok_or_else(|| expected(cursor, "`rear`", form))?;
    Ok(Said::new(
        FrontRear {
            front: front.value,
            rear: rear.value,
        },
        front.at.to(rear.at),
    ))
}

/// A thread as designated: `M10x1.25`, `M10x1.25x45`, `3/8-16`, `3/8-16x1.5`.
pub fn thread(word: &str) -> Option<Thread> {
    if let Some(metric) = word.strip_prefix('M') {
        let mut sizes = metric
            .split('x')
            .map(|size| size.parse::<f64>().ok().filter(|&n| n > 0.0));
        let diameter = sizes.next()??;
        let pitch = match sizes.next() {
            Some(pitch) => Some(pitch?),
            None => None,
        };
        let length = match sizes.next() {
            Some(length) => Some(length?),
            None => None,
        };
        return sizes.next().is_none().then_some(Thread::Metric {
            diameter,
            pitch,
            length,
        });
    }
    let (size, length) = match word.split_once('x') {
        Some((size, length)) => (size, Some(inches(length)?)),
        None => (word, None),
    };
    let (diameter, per_inch) = match size.split_once('-') {
        Some((diameter, threads)) => (diameter, Some(threads.parse::<u32>().ok().filter(|&n| n > 0)?)),
        None => (size, None),
    };
    let inch = match diameter
        .strip_prefix("No.")
        .or_else(|| diameter.strip_prefix('#'))
    {
        // ASME B1.1: numbered sizes are 0.060 in + 0.013 in for each number.
        Some(number) => 0.060 + 0.013 * f64::from(number.trim().parse::<u8>().ok()?),
        None => inches(diameter)?,
    };
    Some(Thread::Unified {
        size: size.into(),
        diameter: inch,
        per_inch,
        length,
    })
}

fn inches(text: &str) -> Option<f64> {
    let number = Number::read(text)?;
    (number.mantissa > 0).then(|| number.value())
}

impl<'a> Reader<'a> {
    /// `420 mm behind front axle, 150 mm left, 310 mm up`
    pub fn place(&mut self, cursor: &mut Cursor<'a>) -> Read<Said<Place>> {
        let form = "at 420 mm behind front axle, 150 mm left, 310 mm up";
        let start = cursor.here();
        let mut behind = None;
        let mut right = None;
        let mut up = None;
        let mut mirrored = false;
        loop {
            let length: Said<Length> = quantity(cursor, form)?;
            let mm = length.value.base();
            let side = |left: bool| if left { -mm } else { mm };
            let (slot, value) = if cursor.eat("behind front axle").is_some() {
                (&mut behind, mm)
            } else if cursor.eat("ahead of front axle").is_some() {
                (&mut behind, -mm)
            } else if cursor.eat("left and right").is_some() {
                mirrored = true;
                (&mut right, mm)
            } else if cursor.eat("left").is_some() {
                (&mut right, side(true))
            } else if cursor.eat("right").is_some() {
                (&mut right, side(false))
            } else if cursor.eat("outboard").is_some() {
                let Some(left) = self.tag.as_ref().and_then(|tag| tag.left) else {
                    return Err(Box::new(PlanError::Unreadable {
                        at: cursor.last(),
                        expected: "`left` or `right`: only a block for each side or corner has an outboard"
                            .to_owned(),
                        form: form.to_owned(),
                    }));
                };
                (&mut right, side(left))
            } else if cursor.eat("up").is_some() {
                (&mut up, mm)
            } else {
                let what = "a direction: ahead of front axle, behind front axle, left, right, outboard or up";
                return Err(expected(cursor, what, form));
            };
            if slot.replace(value).is_some() {
                return Err(Box::new(PlanError::Unreadable {
                    at: length.at.to(cursor.last()),
                    expected: "each direction once".to_owned(),
                    form: form.to_owned(),
                }));
            }
            if !cursor.comma() {
                break;
            }
        }
        let at = start.to(cursor.last());
        let place = Place {
            behind: behind.unwrap_or(0.0),
            right: right.unwrap_or(0.0),
            up,
            mirrored,
        };
        Ok(Said::new(place, at))
    }
}

/// Words of a choice that are all named.
const MOST_NAMED: usize = 7;

/// One of some words; each with what it stands for.
pub fn choice<T: Copy>(cursor: &mut Cursor<'_>, all: &[(T, &str)], form: &str) -> Read<Said<T>> {
    // The longest fitting one: `press fit` before `press`.
    let fitting = all
        .iter()
        .filter(|(_, word)| cursor.sees(word))
        .max_by_key(|(_, word)| word.len());
    match fitting {
        Some(&(value, word)) => {
            let at = cursor.eat(word).unwrap_or_else(|| cursor.here());
            Ok(Said::new(value, at))
        }
        None => {
            let words: Vec<&str> = all.iter().map(|(_, word)| *word).collect();
            // Of many only those that it may have been.
            let what = if words.len() > MOST_NAMED {
                let near = nearest(cursor.peek(), words.iter().copied());
                format!("one of {} words, such as {}", words.len(), quoted(&near, "or"))
            } else {
                format!(
                    "one of {}",
                    words
                        .iter()
                        .map(|word| format!("`{word}`"))
                        .collect::<Vec<_>>()
                        .join(", ")
                )
            };
            Err(expected(cursor, &what, form))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn threads_as_designated() {
        assert_eq!(
            thread("M10x1.25"),
            Some(Thread::Metric {
                diameter: 10.0,
                pitch: Some(1.25),
                length: None
            })
        );
        assert_eq!(
            thread("M16x2.0x90"),
            Some(Thread::Metric {
                diameter: 16.0,
                pitch: Some(2.0),
                length: Some(90.0)
            })
        );
        assert!(matches!(
            thread("9/16-18"),
            Some(Thread::Unified {
                per_inch: Some(18),
                ..
            })
        ));
        assert!(matches!(
            thread("1/4-20x1.5"),
            Some(Thread::Unified { length: Some(_), .. })
        ));
        for wrong in ["M", "Mx1", "M10x", "M10x1x1x1", "x", "0-18", "3/8-0", "M0x1"] {
            assert_eq!(thread(wrong), None, "{wrong}");
        }
    }
}
