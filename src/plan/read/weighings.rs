//! Weigh-in, swap, log and accept blocks.

use super::super::model::{
    Accept, Corners, Driver, End, FrontRear, Log, Reading, Reads, Said, Stopped, Swap, Tare, Text, WeighIn,
};
use super::super::slip::Slip;
use super::amounts::{choice, front_rear, mass_with_give, quantity, reading, text, time};
use super::block::{Read, Reader, expected};
use super::names::{Want, person, scale, step, weighed};
use crate::base::date::Date;
use crate::base::quantity::{Length, Mass, OfMass};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{BlockKind, Keyword as K, Shape};
use crate::syntax::tree::TokenKind;

/// `2026-03-14`
pub fn date(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Date>> {
    match (cursor.kind() == Some(TokenKind::Date))
        .then(|| Date::read(cursor.peek()))
        .flatten()
    {
        Some(date) => {
            cursor.skip(1);
            Ok(Said::new(date, cursor.last()))
        }
        None => Err(expected(
            cursor,
            "a day of the calendar, such as 2026-03-14",
            form,
        )),
    }
}

impl<'a> Reader<'a> {
    pub fn weigh_in(&mut self) -> WeighIn {
        let mut weigh_in = WeighIn {
            head: self.head(),
            dated: None,
            after: None,
            with: None,
            reads: Vec::new(),
            tare: Vec::new(),
            sum_given: None,
            corners: None,
            axles: None,
            raised: None,
            fuel: None,
            driver: None,
            tyres: None,
            level: None,
        };
        self.statements(&mut |reader, shape, cursor| reader.weigh_in_statement(&mut weigh_in, shape, cursor));
        weigh_in.head.notes = self.take_notes();
        weigh_in
    }

    fn weigh_in_statement(
        &mut self,
        weigh_in: &mut WeighIn,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let form = shape.form;
        match shape.keyword {
            K::Dated => weigh_in.dated = Some(date(cursor, form)?),
            K::After => weigh_in.after = self.one_of(cursor, Want::Step, step)?,
            K::With => weigh_in.with = self.one_of(cursor, Want::Scale, scale)?,
            K::ReadsOf => {
                let reads = self.reads(cursor, form)?;
                weigh_in.reads.push(reads);
            }
            K::TareOf => {
                let (name, _) = cursor
                    .name()
                    .ok_or_else(|| expected(cursor, "a name for the tray or sling", form))?;
                let mass: Said<Mass> = quantity(cursor, form)?;
                weigh_in.tare.push(Tare {
                    name: name.into(),
                    mass: mass.value,
                    at: cursor.statement(),
                });
            }
            K::SumGiven => weigh_in.sum_given = Some(reading(cursor, form)?),
            K::CornersOf => weigh_in.corners = Some(corners(cursor, form)?),
            K::AxlesOf => {
                let front: Said<Reading<Mass>> = reading(cursor, form)?;
                cursor
                    .eat("front")
                    .ok_or_else(|| expected(cursor, "`front`", form))?;
                if !cursor.comma() {
                    return Err(expected(cursor, "a comma and the reading of the rear axle", form));
                }
                let rear: Said<Reading<Mass>> = reading(cursor, form)?;
                cursor
                    .eat("rear")
                    .ok_or_else(|| expected(cursor, "`rear`", form))?;
                let both = FrontRear {
                    front: front.value,
                    rear: rear.value,
                };
                weigh_in.axles = Some(Said::new(both, front.at.to(rear.at)));
            }
            K::Raised => {
                let end = choice(cursor, &[(End::Front, "front"), (End::Rear, "rear")], form)?;
                let by: Said<Length> = quantity(cursor, form)?;
                weigh_in.raised = Some(Said::new((end.value, by.value), end.at.to(by.at)));
            }
            K::FuelIn => weigh_in.fuel = Some(reading(cursor, form)?),
            K::DriverIn => {
                let words = [(Driver::In, "in"), (Driver::Out, "out")];
                weigh_in.driver = Some(match cursor.kind() {
                    Some(TokenKind::Number) => {
                        let mass: Said<Mass> = quantity(cursor, form)?;
                        Said::new(Driver::Mass(mass.value), mass.at)
                    }
                    _ => choice(cursor, &words, form)?,
                });
            }
            K::Tyres => weigh_in.tyres = Some(front_rear(cursor, form)?),
            K::Level => weigh_in.level = Some(text(cursor, "how, in quotes", form)?),
            _ => return Err(expected(cursor, "a statement of a weigh-in block", form)),
        }
        Ok(())
    }

    /// `reads A, B 31.9 kg "words"`, `reads A to come`
    fn reads(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Reads> {
        let at = cursor.statement();
        let mut found = Vec::new();
        loop {
            self.item(cursor, Want::Weighed, &mut found)?;
            if !cursor.comma() {
                break;
            }
        }
        let what = found
            .iter()
            .filter_map(|said| weighed(said.value).map(|value| Said::new(value, said.at)))
            .collect();
        let (mass, give) = match cursor.eat("to come") {
            Some(_) => (Reading::ToCome, None),
            None => {
                let (mass, give) = mass_with_give(cursor, form)?;
                (Reading::Is(mass.value), give)
            }
        };
        Ok(Reads {
            what,
            mass,
            give,
            words: super::amounts::optional_text(cursor),
            at,
        })
    }

    pub fn swap(&mut self) -> Swap {
        let mut swap = Swap {
            head: self.head(),
            comes_off: Vec::new(),
            goes_on: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            match shape.keyword {
                K::ComesOff => swap
                    .comes_off
                    .extend(reader.list_of(cursor, Want::Weighed, weighed)?),
                K::GoesOn => swap
                    .goes_on
                    .extend(reader.list_of(cursor, Want::Weighed, weighed)?),
                _ => return Err(expected(cursor, "a statement of a swap block", shape.form)),
            }
            Ok(())
        });
        swap.head.notes = self.take_notes();
        swap
    }

    /// `None` where the step is unknown.
    pub fn log(&mut self) -> Option<Log> {
        let mut header = self.block.header()?;
        let form = BlockKind::Log.form();
        let named = self
            .one_of(&mut header, Want::Step, step)
            .and_then(|step| match header.at_end() {
                true => Ok(step),
                false => Err(expected(&header, "the end of the header, or a semicolon", form)),
            });
        let step = self.settle(named).flatten();
        let mut log = step.map(|step| Log {
            step,
            done: None,
            by: Vec::new(),
            took: None,
            found: Vec::new(),
            stopped: None,
            notes: Vec::new(),
            at: self.block.span(),
        });
        self.statements(&mut |reader, shape, cursor| reader.log_statement(log.as_mut(), shape, cursor));
        let notes = self.take_notes();
        log.map(|log| Log { notes, ..log })
    }

    fn log_statement(
        &mut self,
        log: Option<&mut Log>,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let form = shape.form;
        // Read even where the step is unknown, so that its other mistakes are told in the same run.
        let mut nowhere = None;
        let mut by_nobody = Vec::new();
        let mut found_nothing = Vec::new();
        let (mut took, mut stopped) = (None, None);
        let (slots, by, found) = match log {
            Some(log) => (
                (&mut log.done, &mut log.took, &mut log.stopped),
                &mut log.by,
                &mut log.found,
            ),
            None => (
                (&mut nowhere, &mut took, &mut stopped),
                &mut by_nobody,
                &mut found_nothing,
            ),
        };
        match shape.keyword {
            K::Done => {
                *slots.0 = Some(date(cursor, form)?);
                if cursor.eat("by").is_some() {
                    *by = self.list_of(cursor, Want::Person, person)?;
                }
            }
            K::Took => *slots.1 = Some(time(cursor, form)?),
            K::Found => found.push(text(cursor, "what was found, in quotes", form)?),
            K::Stopped => {
                let on = date(cursor, form)?;
                cursor
                    .eat("after")
                    .ok_or_else(|| expected(cursor, "`after` and a step", form))?;
                let after = self.one_of(cursor, Want::Step, step)?;
                let waiting_for = match cursor.eat("waiting for") {
                    Some(_) => Some(text(cursor, "what for, in quotes", form)?.value),
                    None => None,
                };
                *slots.2 = after.map(|after| {
                    Said::new(
                        Stopped {
                            on,
                            after,
                            waiting_for,
                        },
                        cursor.statement(),
                    )
                });
            }
            _ => return Err(expected(cursor, "a statement of a log block", form)),
        }
        Ok(())
    }

    /// `accept RULE for NAME, NAME because "..."`. Whether there is such a rule is asked by the rules.
    pub fn accept(&mut self) -> Option<Accept> {
        let mut cursor = self.block.header()?;
        let read = self.accept_header(&mut cursor);
        let accept = self.settle(read);
        self.statements(&mut |_, shape, cursor| Err(expected(cursor, "nothing below `accept`", shape.form)));
        accept
    }

    fn accept_header(&mut self, cursor: &mut Cursor<'a>) -> Read<Accept> {
        let form = BlockKind::Accept.form();
        let at = cursor.statement();
        let (rule, rule_at) = cursor
            .name()
            .ok_or_else(|| expected(cursor, "the rule that is accepted", form))?;
        let mut names = Vec::new();
        if cursor.eat("for").is_some() {
            loop {
                let (name, at) = cursor
                    .name()
                    .ok_or_else(|| expected(cursor, "what it is accepted for", form))?;
                if self.world.scope.entry(name).is_none() && !self.world.scope.is_family(name) {
                    let slip = self.unknown(name, at, Want::Anything);
                    self.slip(slip);
                }
                names.push(Said::new(Text::from(name), at));
                if !cursor.comma() {
                    break;
                }
            }
        }
        cursor
            .eat("because")
            .ok_or_else(|| expected(cursor, "`because` and the reason", form))?;
        let because = text(cursor, "the reason, in quotes", form)?;
        if because.value.trim().is_empty() {
            return Err(Box::new(Slip::Unreadable {
                at: because.at,
                expected: "a reason that the binder can print".to_owned(),
                form: form.to_owned(),
            }));
        }
        if !cursor.at_end() {
            return Err(expected(cursor, "the end of the line", form));
        }
        Ok(Accept {
            rule: Said::new(rule.into(), rule_at),
            names,
            because: because.value,
            at,
        })
    }
}

/// `246.5 kg, 241.0 kg front, 198.0 kg, 203.5 kg rear`, or `to come` for all four.
fn corners(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Corners>> {
    let start = cursor.here();
    if cursor.sees("to come") && cursor.kind_ahead(2).is_none() {
        cursor.eat("to come");
        let blank = Reading::ToCome;
        let corners = Corners {
            front_left: blank,
            front_right: blank,
            rear_left: blank,
            rear_right: blank,
        };
        return Ok(Said::new(corners, start.to(cursor.last())));
    }
    fn pair(cursor: &mut Cursor<'_>, end: &str, form: &str) -> Read<(Reading<Mass>, Reading<Mass>)> {
        let left = reading::<OfMass>(cursor, form)?;
        if !cursor.comma() {
            return Err(expected(cursor, "a comma and the right wheel's reading", form));
        }
        let right = reading::<OfMass>(cursor, form)?;
        cursor
            .eat(end)
            .ok_or_else(|| expected(cursor, &format!("`{end}` after the pair"), form))?;
        Ok((left.value, right.value))
    }
    let (front_left, front_right) = pair(cursor, "front", form)?;
    if !cursor.comma() {
        return Err(expected(cursor, "a comma and the rear pair", form));
    }
    let (rear_left, rear_right) = pair(cursor, "rear", form)?;
    Ok(Said::new(
        Corners {
            front_left,
            front_right,
            rear_left,
            rear_right,
        },
        start.to(cursor.last()),
    ))
}
