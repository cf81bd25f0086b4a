//! Rig, tool, consumable, kit, person and scale blocks.

use super::super::model::{
    Consumable, End, Kit, Legs, Person, Rating, Rig, Said, Scale, Supply, Takes, Text, Tool, Way,
};
use super::amounts::{count, mass_figure, money, optional_text, paid, quantity, time, two_lengths};
use super::block::{Read, Reader, expected};
use super::days::days;
use super::names::{Want, caution, part, tool, vehicle};
use super::things::hazards;
use super::weighings::date;
use crate::base::date::Date;
use crate::base::quantity::{Length, Mass, Torque};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{Keyword as K, Shape};
use crate::syntax::tree::TokenKind;

/// Statements on how a thing is come by; `false` where this is none of them.
fn supply(supply: &mut Supply, shape: &Shape, cursor: &mut Cursor<'_>) -> Read<bool> {
    let here = cursor.statement();
    match shape.keyword {
        K::Borrow => supply.way = Some(Said::new(Way::Borrow, here)),
        K::Hire => {
            supply.way = Some(Said::new(Way::Hire, here));
            hire(supply, cursor, shape.form)?;
        }
        K::Arrives => supply.arrives = Some(date(cursor, shape.form)?),
        K::Buy => supply.way = Some(Said::new(Way::Buy, here)),
        K::ToMake => {
            supply.way = Some(Said::new(Way::ToMake, here));
            supply.make_from = optional_text(cursor);
        }
        K::Time => supply.time = Some(time(cursor, shape.form)?),
        K::Cost => supply.cost = Some(money(cursor, shape.form)?),
        K::Bought => supply.bought = Some(paid(cursor, shape.form)?),
        _ => return Ok(false),
    }
    Ok(true)
}

/// `20 GBP a day`, `2026-03-14 to 2026-03-15`, or both with a comma between, each once.
fn hire(supply: &mut Supply, cursor: &mut Cursor<'_>, form: &str) -> Read<()> {
    if cursor.at_end() {
        return Ok(());
    }
    loop {
        if cursor.kind() == Some(TokenKind::Date) && supply.hired.is_none() {
            supply.hired = Some(hired(cursor, form)?);
        } else if supply.a_day.is_none() && cursor.kind() != Some(TokenKind::Date) {
            let sum = money(cursor, form)?;
            if cursor.eat("a day").is_none() {
                return Err(expected(
                    cursor,
                    "`a day` after what a day of hire costs; what all of it costs is said by `cost`",
                    form,
                ));
            }
            supply.a_day = Some(sum);
        } else {
            return Err(expected(
                cursor,
                "the days of hire and what a day costs, each once",
                form,
            ));
        }
        if !cursor.comma() {
            return Ok(());
        }
    }
}

/// `2026-03-14 to 2026-03-15`, or one day.
fn hired(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<(Date, Date)>> {
    let first = date(cursor, form)?;
    let last = match cursor.eat("to") {
        Some(_) => date(cursor, form)?,
        None => first,
    };
    Ok(Said::new((first.value, last.value), first.at.to(last.at)))
}

fn rating(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Rating>> {
    let mass: Said<Mass> = quantity(cursor, form)?;
    let each = cursor.eat("each").is_some();
    Ok(Said::new(
        Rating {
            mass: mass.value,
            each,
        },
        mass.at,
    ))
}

impl<'a> Reader<'a> {
    pub fn rig(&mut self) -> Rig {
        let mut rig = blank_rig(self.head());
        self.statements(&mut |reader, shape, cursor| reader.rig_statement(&mut rig, shape, cursor));
        rig.head.notes = self.take_notes();
        rig
    }

    fn rig_statement(&mut self, rig: &mut Rig, shape: &'static Shape, cursor: &mut Cursor<'a>) -> Read<()> {
        let form = shape.form;
        let here = cursor.statement();
        match shape.keyword {
            K::Lifts => {
                rig.lifts = Some(here);
                if cursor.comma() {
                    cursor
                        .eat("holds")
                        .ok_or_else(|| expected(cursor, "`holds` after the comma", form))?;
                    rig.holds = Some(here);
                }
            }
            K::Holds => {
                rig.holds = Some(here);
                if cursor.comma() {
                    cursor
                        .eat("lifts")
                        .ok_or_else(|| expected(cursor, "`lifts` after the comma", form))?;
                    rig.lifts = Some(here);
                }
            }
            K::Rated => rig.rated = Some(rating(cursor, form)?),
            K::Takes => {
                let vehicle = self.one_of(cursor, Want::Vehicle, vehicle)?;
                let mut ends = [None, None];
                cursor
                    .eat("at jacking")
                    .ok_or_else(|| expected(cursor, "`at jacking front` or `rear`", form))?;
                for slot in &mut ends {
                    let front = cursor.eat("front").map(|_| End::Front);
                    let end = front.or_else(|| cursor.eat("rear").map(|_| End::Rear));
                    *slot = Some(end.ok_or_else(|| expected(cursor, "`front` or `rear`", form))?);
                    if !cursor.comma() {
                        break;
                    }
                    cursor.eat("jacking");
                }
                rig.takes.extend(vehicle.map(|said| {
                    Said::new(
                        Takes {
                            vehicle: said.value,
                            ends,
                        },
                        here,
                    )
                }));
            }
            K::Platform => rig.platform = Some(two_lengths(cursor, form)?),
            K::BorneBy => rig.borne_by = self.one_of(cursor, Want::Part, part)?,
            K::Count => rig.count = Some(count(cursor, form)?),
            K::Mass => rig.mass = Some(mass_figure(cursor)?),
            K::Height => rig.height = Some(quantity(cursor, form)?),
            K::RaisesTo => rig.raises_to = Some(quantity(cursor, form)?),
            K::Legs => {
                let legs = count(cursor, form)?;
                let angle = match cursor.eat("at") {
                    Some(_) => Some(quantity(cursor, form)?.value),
                    None => None,
                };
                rig.legs = Some(Said::new(
                    Legs {
                        count: legs.value,
                        angle,
                    },
                    here,
                ));
            }
            K::CautionHere => rig.cautions.extend(self.list_of(cursor, Want::Caution, caution)?),
            _ if supply(&mut rig.supply, shape, cursor)? => {}
            _ => return Err(expected(cursor, "a statement of a rig block", form)),
        }
        Ok(())
    }

    pub fn tool(&mut self) -> Tool {
        let mut tool = Tool {
            head: self.head(),
            size: None,
            range: None,
            holds: None,
            compresses: None,
            supply: Supply::default(),
        };
        self.statements(&mut |_, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::Compresses => tool.compresses = Some(cursor.statement()),
                K::Size => tool.size = Some(quantity(cursor, form)?),
                K::Range => {
                    let low: Said<Torque> = quantity(cursor, form)?;
                    cursor
                        .eat("to")
                        .ok_or_else(|| expected(cursor, "`to` and the upper end", form))?;
                    let high: Said<Torque> = quantity(cursor, form)?;
                    tool.range = Some(Said::new((low.value, high.value), low.at.to(high.at)));
                }
                K::HoldsVolume => tool.holds = Some(quantity(cursor, form)?),
                _ if supply(&mut tool.supply, shape, cursor)? => {}
                _ => return Err(expected(cursor, "a statement of a tool block", form)),
            }
            Ok(())
        });
        tool.head.notes = self.take_notes();
        tool
    }

    pub fn consumable(&mut self) -> Consumable {
        let mut consumable = Consumable {
            head: self.head(),
            amount: None,
            supply: Supply::default(),
        };
        self.statements(&mut |_, shape, cursor| {
            match shape.keyword {
                K::Amount => {
                    let start = cursor.here();
                    let mut words = Vec::new();
                    while let Some((_, word, _)) = cursor.take() {
                        words.push(word.trim_matches(['"', '“', '”', '„']));
                    }
                    if words.is_empty() {
                        return Err(expected(cursor, "an amount, such as `50 g`", shape.form));
                    }
                    consumable.amount = Some(Said::new(words.join(" ").into(), start.to(cursor.last())));
                }
                _ if supply(&mut consumable.supply, shape, cursor)? => {}
                _ => return Err(expected(cursor, "a statement of a consumable block", shape.form)),
            }
            Ok(())
        });
        consumable.head.notes = self.take_notes();
        consumable
    }

    pub fn kit(&mut self) -> Kit {
        let mut kit = Kit {
            head: self.head(),
            has: Vec::new(),
            sockets: Vec::new(),
            spanners: Vec::new(),
            keys: Vec::new(),
            hexalobular: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::Has => kit.has.extend(reader.list_of(cursor, Want::Tool, tool)?),
                K::Sockets => lengths(&mut kit.sockets, cursor, form)?,
                K::Spanners => lengths(&mut kit.spanners, cursor, form)?,
                K::Keys => lengths(&mut kit.keys, cursor, form)?,
                K::HexalobularSizes => loop {
                    let size = cursor
                        .glued()
                        .ok_or_else(|| expected(cursor, "a size, such as T30", form))?;
                    kit.hexalobular.push(Said::new(Text::from(size.0), size.1));
                    if !cursor.comma() {
                        break;
                    }
                },
                _ => return Err(expected(cursor, "a statement of a kit block", form)),
            }
            Ok(())
        });
        kit.head.notes = self.take_notes();
        kit
    }

    pub fn person(&mut self) -> Person {
        let mut person = Person {
            head: self.head(),
            lifts: None,
            licensed_for: Vec::new(),
            free: Vec::new(),
        };
        self.statements(&mut |_, shape, cursor| {
            match shape.keyword {
                K::LiftsMass => person.lifts = Some(quantity(cursor, shape.form)?),
                K::FreeOn => person.free.extend(days(cursor, shape.form)?),
                K::LicensedFor => person.licensed_for = hazards(cursor, shape.form)?,
                _ => return Err(expected(cursor, "a statement of a person block", shape.form)),
            }
            Ok(())
        });
        person.head.notes = self.take_notes();
        person
    }

    pub fn scale(&mut self) -> Scale {
        let mut scale = Scale {
            head: self.head(),
            capacity: None,
            division: None,
            repeatability: None,
            class: None,
        };
        self.statements(&mut |_, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::Capacity => scale.capacity = Some(rating(cursor, form)?),
                K::Division => scale.division = Some(quantity(cursor, form)?),
                K::Repeatability => scale.repeatability = Some(quantity(cursor, form)?),
                K::ScaleClass => {
                    let all = [("I", "I"), ("II", "II"), ("III", "III"), ("IIII", "IIII")];
                    let class = super::amounts::choice(cursor, &all, form)?;
                    scale.class = Some(Said::new(class.value.into(), class.at));
                }
                _ => return Err(expected(cursor, "a statement of a scale block", form)),
            }
            Ok(())
        });
        scale.head.notes = self.take_notes();
        scale
    }
}

fn lengths(into: &mut Vec<Said<Length>>, cursor: &mut Cursor<'_>, form: &str) -> Read<()> {
    loop {
        into.push(quantity(cursor, form)?);
        if !cursor.comma() {
            return Ok(());
        }
    }
}

/// A rig of which nothing is said yet.
#[must_use]
pub fn blank_rig(head: super::super::model::Head) -> Rig {
    Rig {
        head,
        is_floor: false,
        lifts: None,
        holds: None,
        rated: None,
        takes: Vec::new(),
        platform: None,
        borne_by: None,
        count: None,
        mass: None,
        height: None,
        raises_to: None,
        legs: None,
        supply: Supply::default(),
        cautions: Vec::new(),
    }
}
