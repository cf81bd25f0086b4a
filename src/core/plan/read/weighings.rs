//! Weigh-in, swap, log and accept blocks.

use super::super::declare::CONNECTING;
use super::super::model::{
    Accept, Corners, Damaged, Driver, End, Fitted, FixingKind, FrontRear, How, Log, LogSteps, MeasuredThen,
    Reading, Reads, Said, Spoilt, Stopped, StoppedAt, Swap, Tare, Text, Waiting, WeighIn,
};
use super::super::plan_error::PlanError;
use super::acts::{free_name, measured};
use super::amounts::{
    choice, count, front_rear, mass_with_give, optional_text, quantity, reading, text, time,
};
use super::block::{Read, Reader, expected};
use super::joints::torque;
use super::names::{Want, joint, part, person, scale, step, swap as swap_named, weighed};
use crate::base::date::Date;
use crate::base::quantity::{Length, Mass, OfMass};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{self, BlockKind, Keyword as K, Shape};
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
            K::AxlesOf => weigh_in.axles = Some(axles(cursor, form)?),
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
            optional: None,
            left_out: None,
            needs: Vec::new(),
            not_with: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            match shape.keyword {
                K::ComesOff => swap
                    .comes_off
                    .extend(reader.list_of(cursor, Want::Weighed, weighed)?),
                K::GoesOn => swap
                    .goes_on
                    .extend(reader.list_of(cursor, Want::Weighed, weighed)?),
                K::Optional => swap.optional = Some(cursor.statement()),
                K::LeftOut => swap.left_out = Some(cursor.statement()),
                K::NeedsSwap => swap.needs.extend(reader.list_of(cursor, Want::Swap, swap_named)?),
                K::NotWith => swap
                    .not_with
                    .extend(reader.list_of(cursor, Want::Swap, swap_named)?),
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
            .log_steps(&mut header)
            .and_then(|named| match header.at_end() {
                true => Ok(named),
                false => Err(expected(
                    &header,
                    "a comma, `to`, the end of the header, or a semicolon",
                    form,
                )),
            });
        let named = self.settle(named).unwrap_or_default();
        let mut log = Log {
            named,
            steps: Vec::new(),
            done: None,
            by: Vec::new(),
            took: None,
            found: Vec::new(),
            stopped: None,
            skipped: None,
            differently: Vec::new(),
            spoilt: Vec::new(),
            damaged: Vec::new(),
            fitted: Vec::new(),
            reads: Vec::new(),
            corners: None,
            axles: None,
            measured: Vec::new(),
            notes: Vec::new(),
            at: self.block.span(),
        };
        // Read even where no step is known, so that its other mistakes are told in the same run.
        let known = !log.named.is_empty();
        self.statements(&mut |reader, shape, cursor| reader.log_statement(&mut log, shape, cursor));
        log.notes = self.take_notes();
        known.then_some(log)
    }

    /// `STEP, STEP to STEP`.
    fn log_steps(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<LogSteps>> {
        let mut all = Vec::new();
        loop {
            let from = self.one_of(cursor, Want::Step, step)?;
            let to = match cursor.eat("to") {
                Some(_) => self.one_of(cursor, Want::Step, step)?,
                None => None,
            };
            all.extend(from.map(|from| LogSteps { from, to }));
            if !cursor.comma() {
                return Ok(all);
            }
        }
    }

    fn log_statement(&mut self, log: &mut Log, shape: &'static Shape, cursor: &mut Cursor<'a>) -> Read<()> {
        let form = shape.form;
        match shape.keyword {
            K::Done => {
                log.done = Some(date(cursor, form)?);
                if cursor.eat("by").is_some() {
                    log.by = self.list_of(cursor, Want::Person, person)?;
                }
            }
            K::Took => log.took = Some(time(cursor, form)?),
            K::Found => log.found.push(text(cursor, "what was found, in quotes", form)?),
            K::Skipped => log.skipped = Some(text(cursor, "why it was not done, in quotes", form)?),
            K::Differently => log
                .differently
                .push(text(cursor, "what was done, in quotes", form)?),
            K::Broke => log.spoilt.extend(self.spoilt(How::Broke, cursor, form)?),
            K::Lost => log.spoilt.extend(self.spoilt(How::Lost, cursor, form)?),
            K::DamagedPart => {
                let part = self.one_of(cursor, Want::Part, part)?;
                let how = optional_text(cursor);
                log.damaged.extend(part.map(|part| Damaged { part, how }));
            }
            K::Fitted => log.fitted.extend(self.fitted(cursor, form)?),
            K::ReadsOf => {
                let reads = self.reads(cursor, form)?;
                log.reads.push(reads);
            }
            K::CornersOf => log.corners = Some(corners(cursor, form)?),
            K::AxlesOf => log.axles = Some(axles(cursor, form)?),
            K::Measure => {
                let what = free_name(cursor, form)?;
                let value = measured(cursor, form)?;
                log.measured.push(MeasuredThen { what, value });
            }
            K::Stopped => {
                let stopped = self.stopped(cursor, form)?;
                log.stopped = stopped.map(|stopped| Said::new(stopped, cursor.statement()));
            }
            _ => return Err(expected(cursor, "a statement of a log block", form)),
        }
        Ok(())
    }

    /// `2026-03-14 after STEP`, `2026-03-14 at undo link-left`, `2026-03-14 at act d`, each with `waiting for THING`.
    fn stopped(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Stopped>> {
        let on = date(cursor, form)?;
        let place = if cursor.eat("after").is_some() {
            self.one_of(cursor, Want::Step, step)?.map(StoppedAt::After)
        } else if cursor.eat("at").is_some() {
            let act = cursor.clone();
            let place = stopped_at(cursor, form)?;
            if let StoppedAt::Act(said) = &place {
                self.names_of_act(act, said.at.end);
            }
            Some(place)
        } else {
            return Err(expected(
                cursor,
                "`after` and a step, or `at` and the last act that was done",
                form,
            ));
        };
        let waiting_for = match cursor.eat("waiting for") {
            Some(_) => Some(self.waiting(cursor, form)?),
            None => None,
        };
        Ok(place.map(|place| Stopped {
            on,
            place,
            waiting_for,
        }))
    }

    /// An act is told here by its own words, the names in it among them.
    fn names_of_act(&mut self, mut act: Cursor<'a>, end: u32) {
        let probe = act.clone();
        let keyword = shapes::find(BlockKind::Step, act.peek(), |ahead| Some(probe.peek_ahead(ahead)));
        act.skip(keyword.map_or(0, |(_, words)| words));
        while let Some((kind, word, at)) = act.take().filter(|(_, _, at)| at.end <= end) {
            let scope = self.world.scope;
            let known = scope.entry(word).is_some() || scope.is_family(word);
            if kind == TokenKind::Name && known && !CONNECTING.contains(&word) {
                self.mention_known(word, at);
            }
        }
    }

    /// A thing of the plan, or words.
    fn waiting(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Waiting> {
        let Some((name, at)) = cursor.name() else {
            return Ok(Waiting::Words(
                text(cursor, "what for: a name of the plan, or words in quotes", form)?.value,
            ));
        };
        self.mention_known(name, at);
        match self.world.scope.entry(name) {
            Some(entry) => self.world.scope.mark(entry),
            None => {
                let slip = self.unknown(name, at, Want::Anything);
                self.slip(slip);
            }
        }
        Ok(Waiting::Named(Said::new(name.into(), at)))
    }

    /// `1 of JOINT`.
    fn spoilt(&mut self, how: How, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Spoilt>> {
        let count = count(cursor, form)?;
        if cursor.eat("of").is_none() {
            return Err(expected(cursor, "`of` and a joint", form));
        }
        let joint = self.one_of(cursor, Want::Joint, joint)?;
        Ok(joint.map(|joint| Spoilt { how, count, joint }))
    }

    /// `JOINT bolts 2 x M10x1.5x35`, `JOINT torque 40 N m`, or both.
    fn fitted(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Fitted>> {
        let joint = self.one_of(cursor, Want::Joint, joint)?;
        let mut fixings = Vec::new();
        let mut figure = None;
        loop {
            let kinds = FixingKind::ALL.iter();
            let mut kinds = kinds.filter(|(_, word)| cursor.eat(word).is_some());
            if let Some((kind, _)) = kinds.next() {
                self.rows_of_fixings(&mut fixings, *kind, form, cursor)?;
            } else if cursor.eat("torque").is_some() {
                figure = Some(Box::new(torque(cursor, form)?));
            } else if fixings.is_empty() && figure.is_none() {
                return Err(expected(
                    cursor,
                    "`bolts`, `studs`, `nuts`, `screws` or `torque`, and what went in",
                    form,
                ));
            } else {
                return Ok(joint.map(|joint| Fitted {
                    joint,
                    fixings,
                    torque: figure,
                }));
            }
        }
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
                self.mention_known(name, at);
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
            return Err(Box::new(PlanError::Unreadable {
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

/// `352.5 kg front, 337.5 kg rear`
fn axles(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<FrontRear<Reading<Mass>>>> {
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
    Ok(Said::new(both, front.at.to(rear.at)))
}

/// `act d`, or the act's own words up to `waiting for`.
fn stopped_at(cursor: &mut Cursor<'_>, form: &str) -> Read<StoppedAt> {
    let letter = cursor.kind_ahead(1) == Some(TokenKind::Name)
        && cursor.peek_ahead(1).chars().all(|c| c.is_ascii_lowercase())
        && matches!(cursor.kind_ahead(2), None | Some(TokenKind::Name));
    if cursor.sees("act") && letter && (cursor.kind_ahead(2).is_none() || cursor.peek_ahead(2) == "waiting") {
        cursor.skip(1);
        let letter = Text::from(cursor.peek());
        cursor.skip(1);
        return Ok(StoppedAt::Letter(Said::new(letter, cursor.last())));
    }
    let start = cursor.here();
    let mut words: Vec<&str> = Vec::new();
    while !cursor.at_end() && !cursor.sees("waiting for") {
        if cursor.kind() == Some(TokenKind::OpenText) {
            return Err(expected(cursor, "the end of the quotation", form));
        }
        words.extend(cursor.take().map(|(_, text, _)| text));
    }
    if words.is_empty() {
        return Err(expected(
            cursor,
            "the last act that was done, such as `undo link-left`, or its letter: `act d`",
            form,
        ));
    }
    let words = Text::from(words.join(" "));
    Ok(StoppedAt::Act(Said::new(words, start.to(cursor.last()))))
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
