//! The plan block.

use super::super::model::{
    About, AxleSplit, Calendar, ClassWith, End, House, Ink, Paper, Said, Sides, Spelling, Starts, Target,
    Text, Units,
};
use super::super::plan_error::PlanError;
use super::super::scope::Entity;
use super::amounts::{choice, money, quantity, rate, text};
use super::block::{Read, Reader, expected};
use super::days::works;
use super::names::{Want, caution, person, stage, thing, vehicle};
use super::weighings::date;
use crate::base::quantity::{Mass, Share, Volume};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{Keyword as K, Shape};
use crate::syntax::tree::TokenKind;

impl<'a> Reader<'a> {
    pub fn about(&mut self) -> About {
        let mut about = About {
            head: self.head(),
            vehicle: None,
            target: None,
            class_minimum: None,
            class_with: ClassWith::default(),
            axle_split: None,
            crew: Vec::new(),
            paper: None,
            sides: None,
            ink: None,
            units: None,
            spelling: None,
            language: None,
            dated: None,
            workshop: None,
            stages: None,
            procedure: None,
            house: House::default(),
            starts: Vec::new(),
            cautions: Vec::new(),
            figures: Vec::new(),
            calendar: Calendar::default(),
            budget: None,
            rates: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| reader.about_statement(&mut about, shape, cursor));
        about.head.notes = self.take_notes();
        about
    }

    fn about_statement(
        &mut self,
        about: &mut About,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let form = shape.form;
        let here = cursor.statement();
        match shape.keyword {
            K::For => about.vehicle = self.one_of(cursor, Want::Vehicle, vehicle)?,
            K::Target => {
                let save = choice(cursor, &[(true, "save"), (false, "mass")], form)?;
                let mass: Said<Mass> = quantity(cursor, form)?;
                let target = if save.value {
                    Target::Save(mass.value)
                } else {
                    Target::Reach(mass.value)
                };
                about.target = Some(Said::new(target, save.at.to(mass.at)));
            }
            K::ClassMinimum => {
                about.class_minimum = Some(quantity(cursor, form)?);
                about.class_with = class_with(cursor, form)?;
            }
            K::AxleSplit => {
                let share: Said<Share> = quantity(cursor, form)?;
                let end = choice(cursor, &[(End::Front, "front"), (End::Rear, "rear")], form)?;
                let split = AxleSplit {
                    share: share.value,
                    end: end.value,
                };
                about.axle_split = Some(Said::new(split, share.at.to(end.at)));
            }
            K::Crew => about.crew = self.list_of(cursor, Want::Person, person)?,
            K::Paper => {
                about.paper = Some(choice(
                    cursor,
                    &[(Paper::A4, "A4"), (Paper::Letter, "Letter")],
                    form,
                )?)
            }
            K::Sides => {
                about.sides = Some(choice(cursor, &[(Sides::One, "one"), (Sides::Two, "two")], form)?)
            }
            K::Ink => {
                let all = [
                    (Ink::Colour, "colour"),
                    (Ink::Colour, "color"),
                    (Ink::Black, "black"),
                ];
                about.ink = Some(choice(cursor, &all, form)?);
            }
            K::Units => {
                about.units = Some(choice(
                    cursor,
                    &[(Units::Metric, "metric"), (Units::Inch, "inch")],
                    form,
                )?)
            }
            K::Spelling => {
                let all = [(Spelling::British, "british"), (Spelling::American, "american")];
                about.spelling = Some(choice(cursor, &all, form)?);
            }
            K::Language => about.language = Some(language(cursor, form)?),
            K::Dated => about.dated = Some(date(cursor, form)?),
            K::Workshop => about.workshop = Some(text(cursor, "a folder, in quotes", form)?),
            K::Stages => {
                let stages = self.list_of(cursor, Want::Stage, stage)?;
                about.stages = Some(Said::new(stages, here));
            }
            K::Procedure => about.procedure = Some(text(cursor, "the procedure, in quotes", form)?),
            K::House => house(&mut about.house, cursor, form)?,
            K::Starts => loop {
                if let Some(starts) = self.starts(cursor, form)? {
                    about.starts.push(starts);
                }
                if !cursor.comma() {
                    break;
                }
            },
            K::Works => about.calendar.works.push(works(cursor, form)?),
            K::NoWorkOn => loop {
                about.calendar.no_work.push(date(cursor, form)?);
                if !cursor.comma() {
                    break;
                }
            },
            K::Begins => about.calendar.begins = Some(date(cursor, form)?),
            K::Budget => about.budget = Some(money(cursor, form)?),
            K::RateOf => about.rates.push(rate(cursor, form)?),
            K::FinishBy => about.calendar.finish_by = Some(date(cursor, form)?),
            K::CautionHere => about
                .cautions
                .extend(self.list_of(cursor, Want::Caution, caution)?),
            K::Figure => about.figures.push(self.figure(cursor)?),
            _ => return Err(expected(cursor, "a statement of a plan block", form)),
        }
        Ok(())
    }

    fn starts(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Starts>> {
        let Some(said) = self.one(cursor, Want::Startable)? else {
            // Its state still has to be stepped over.
            while !cursor.at_end() && cursor.kind() != Some(TokenKind::Comma) {
                cursor.skip(1);
            }
            return Ok(None);
        };
        let at = said.at;
        let wrong = |cursor: &Cursor<'_>, what: &str| Err(expected(cursor, what, form));
        match said.value {
            Entity::Joint(id) => match cursor.peek() {
                "out" => {
                    cursor.skip(1);
                    Ok(Some(Starts::Out(Said::new(id, at))))
                }
                "slack" => {
                    cursor.skip(1);
                    Ok(Some(Starts::Slack(Said::new(id, at))))
                }
                _ => wrong(cursor, "`out` or `slack` after a joint"),
            },
            Entity::Fluid(id) => {
                if cursor.eat("drained").is_some() {
                    return Ok(Some(Starts::Drained(Said::new(id, at))));
                }
                let volume: Said<Volume> = quantity(cursor, form)?;
                Ok(Some(Starts::Holds(Said::new(id, at), volume.value)))
            }
            entity => {
                let Some(thing) = thing(entity) else {
                    return Ok(None);
                };
                match cursor.peek() {
                    "off" => {
                        cursor.skip(1);
                        Ok(Some(Starts::Off(Said::new(thing, at))))
                    }
                    "on" => {
                        cursor.skip(1);
                        Ok(Some(Starts::On(Said::new(thing, at))))
                    }
                    _ => wrong(cursor, "`off` or `on` after a part"),
                }
            }
        }
    }
}

fn house(house: &mut House, cursor: &mut Cursor<'_>, form: &str) -> Read<()> {
    loop {
        if cursor.eat("hang").is_some() {
            house.hang = Some(quantity(cursor, form)?);
        } else if cursor.eat("by hand").is_some() {
            house.by_hand = Some(quantity(cursor, form)?);
        } else if cursor.eat("heavy").is_some() {
            house.heavy = Some(quantity(cursor, form)?);
        } else if cursor.eat("big torque").is_some() {
            house.big_torque = Some(quantity(cursor, form)?);
        } else {
            return Err(expected(
                cursor,
                "one of `hang`, `by hand`, `heavy`, `big torque`",
                form,
            ));
        }
        if !cursor.comma() {
            return Ok(());
        }
    }
}

/// A language tag of BCP 47: `en`, `en-GB`.
fn language(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Text>> {
    let start = cursor.clone();
    let Some((tag, at)) = cursor.glued() else {
        return Err(expected(cursor, "a language, such as en-GB", form));
    };
    let mut pieces = tag.split('-');
    let language = pieces
        .next()
        .is_some_and(|l| (2..=3).contains(&l.len()) && l.bytes().all(|b| b.is_ascii_lowercase()));
    let region = pieces
        .next()
        .is_none_or(|r| r.len() == 2 && r.bytes().all(|b| b.is_ascii_uppercase()));
    if language && region && pieces.next().is_none() {
        return Ok(Said::new(tag.into(), at));
    }
    *cursor = start;
    Err(Box::new(PlanError::Unreadable {
        at,
        expected: "a language, such as en-GB or en-US".to_owned(),
        form: form.to_owned(),
    }))
}

/// `with driver 75 kg, fuel 5 l`, each once.
fn class_with(cursor: &mut Cursor<'_>, form: &str) -> Read<ClassWith> {
    let mut with = ClassWith::default();
    if cursor.eat("with").is_none() {
        return Ok(with);
    }
    loop {
        let twice = |said: bool, cursor: &Cursor<'_>| match said {
            true => Err(expected(cursor, "one driver and one figure of fuel", form)),
            false => Ok(()),
        };
        if cursor.eat("driver").is_some() {
            twice(with.driver.is_some(), cursor)?;
            with.driver = Some(quantity(cursor, form)?);
        } else if cursor.eat("fuel").is_some() {
            twice(with.fuel.is_some(), cursor)?;
            with.fuel = Some(quantity(cursor, form)?);
        } else {
            return Err(expected(
                cursor,
                "`driver` and a mass, or `fuel` and a volume",
                form,
            ));
        }
        if !cursor.comma() {
            return Ok(with);
        }
    }
}
