//! The acts of a step.

use super::super::model::{
    Bearer, Direction, Does, End, Extent, Fixings, FreeName, Id, Joint, Load, Measured, OpeningAct, Reading,
    Said, Thing, Workpiece,
};
use super::super::plan_error::PlanError;
use super::super::scope::Entity;
use super::super::vocabulary::acts::ActKind;
use super::amounts::{choice, count, number, optional_text, quantity, text, time};
use super::block::{Read, Reader, expected};
use super::names::{Want, fluid, joint, load, part, rig, scale, seat, thing, tool, workpiece};
use crate::base::quantity::{Angle, Length, Mass, Pressure, Quantity, Torque, Volume};
use crate::base::unit::Dimension;
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{Keyword as K, Shape};
use crate::syntax::tree::TokenKind;

impl<'a> Reader<'a> {
    /// Reads an act; `None` where a name was unknown, so that nothing is left to do.
    pub fn act(&mut self, shape: &'static Shape, cursor: &mut Cursor<'a>) -> Read<Option<Does>> {
        let form = shape.form;
        Ok(match shape.keyword {
            K::Slacken => some(self.fixings_list(cursor, form)?).map(Does::Slacken),
            K::Undo => some(self.fixings_list(cursor, form)?).map(Does::Undo),
            K::Start => some(self.fixings_list(cursor, form)?).map(Does::Start),
            K::Tighten => some(self.fixings_list(cursor, form)?).map(Does::Tighten),
            K::Pin => self.pin(cursor, form)?,
            K::Break => {
                let joint = self.one_of(cursor, Want::Joint, joint)?;
                let how = optional_text(cursor);
                joint.map(|joint| Does::Break { joint, how })
            }
            K::Hold => self.hold(cursor, form)?,
            K::Steady => {
                let things = self.loads(cursor)?;
                cursor
                    .eat("by")
                    .ok_or_else(|| expected(cursor, "`by` and a person", form))?;
                let by = self.one_of(cursor, Want::Person, super::names::person)?;
                some(things)
                    .zip(by)
                    .map(|(things, by)| Does::Steady { things, by })
            }
            K::Touch => {
                let things = self.loads(cursor)?;
                cursor
                    .eat("with")
                    .ok_or_else(|| expected(cursor, "`with` and a rig", form))?;
                let with = self.one_of(cursor, Want::Rig, rig)?;
                some(things)
                    .zip(with)
                    .map(|(things, with)| Does::Touch { things, with })
            }
            K::Release => {
                let things = self.loads(cursor)?;
                let from = match cursor.eat("from") {
                    Some(_) => self.one_of(cursor, Want::Bearer, bearer)?,
                    None => None,
                };
                some(things).map(|things| Does::Release { things, from })
            }
            K::TieUp => {
                let what = self.one_of(cursor, Want::Thing, thing)?;
                cursor
                    .eat("to")
                    .ok_or_else(|| expected(cursor, "`to` and what bears it", form))?;
                let to = self.one_of(cursor, Want::Thing, thing)?;
                let limit: Option<Said<Mass>> = match cursor.comma() {
                    true => Some(quantity(cursor, form)?),
                    false => None,
                };
                what.zip(to).map(|(thing, to)| Does::TieUp { thing, to, limit })
            }
            K::Untie => some(self.things(cursor)?).map(Does::Untie),
            K::Raise => self.raise(cursor, form)?,
            K::Set => self.set(cursor, form)?,
            K::Lower => {
                let things = self.loads(cursor)?;
                let by = self.by_length(cursor, form)?;
                some(things).map(|things| Does::Lower { things, by })
            }
            K::Tilt => {
                let things = self.loads(cursor)?;
                let back = cursor.eat("back").is_some();
                let about = match cursor.eat("about") {
                    Some(_) => self.joints(cursor)?,
                    None => Vec::new(),
                };
                let by = match cursor.eat("by") {
                    Some(_) => Some(extent(cursor, form)?),
                    None => None,
                };
                some(things).map(|things| Does::Tilt {
                    things,
                    about,
                    by,
                    back,
                })
            }
            K::Draw => {
                let things = self.things(cursor)?;
                let direction = choice(cursor, Direction::ALL, form)?;
                cursor.eat("by");
                let by = quantity(cursor, form)?;
                some(things).map(|things| Does::Draw {
                    things,
                    direction,
                    by,
                })
            }
            K::SlideHome => some(self.things(cursor)?).map(Does::SlideHome),
            K::Slide => {
                let things = self.things(cursor)?;
                cursor
                    .eat("home")
                    .ok_or_else(|| expected(cursor, "`home`", form))?;
                some(things).map(Does::SlideHome)
            }
            K::PressApart => {
                let joints = self.joints(cursor)?;
                let with = self.with_tool(cursor)?;
                some(joints).map(|joints| Does::PressApart { joints, with })
            }
            K::PressHome => {
                let joints = self.joints(cursor)?;
                let with = self.with_tool(cursor)?;
                some(joints).map(|joints| Does::PressHome { joints, with })
            }
            K::MoveAside => some(self.things(cursor)?).map(Does::MoveAside),
            K::MoveBack => some(self.things(cursor)?).map(Does::MoveBack),
            K::TakeOff => some(self.things(cursor)?).map(Does::TakeOff),
            K::Fit => some(self.things(cursor)?).map(Does::Fit),
            K::Try => some(self.things(cursor)?).map(Does::Try),
            K::Drain => {
                let fluids = self.list_of(cursor, Want::Fluid, fluid)?;
                let into = match cursor.eat("into") {
                    Some(_) => self.one_of(cursor, Want::Tool, tool)?,
                    None => None,
                };
                some(fluids).map(|fluids| Does::Drain { fluids, into })
            }
            K::Fill => {
                let fluids = self.list_of(cursor, Want::Fluid, fluid)?;
                cursor.eat("with");
                let with: Option<Said<Volume>> = match cursor.at_end() {
                    true => None,
                    false => Some(quantity(cursor, form)?),
                };
                some(fluids).map(|fluids| Does::Fill { fluids, with })
            }
            K::Bleed => some(self.list_of(cursor, Want::Fluid, fluid)?).map(Does::Bleed),
            K::Clamp => self.opening(OpeningAct::Clamp, cursor)?,
            K::Cap => self.opening(OpeningAct::Cap, cursor)?,
            K::Plug => self.opening(OpeningAct::Plug, cursor)?,
            K::Unclamp => self.opening(OpeningAct::Unclamp, cursor)?,
            K::Uncap => self.opening(OpeningAct::Uncap, cursor)?,
            K::Unplug => self.opening(OpeningAct::Unplug, cursor)?,
            K::Weigh => {
                let things = self.loads(cursor)?;
                let with = match cursor.eat("with") {
                    Some(_) => self.one_of(cursor, Want::Scale, scale)?,
                    None => None,
                };
                some(things).map(|things| Does::Weigh { things, with })
            }
            K::Run => some(self.loads(cursor)?).map(Does::Run),
            K::Drive => some(self.loads(cursor)?).map(Does::Drive),
            K::Measure => {
                let what = free_name(cursor, form)?;
                let value = match cursor.at_end() {
                    true => None,
                    false => Some(measured(cursor, form)?),
                };
                Some(Does::Measure { what, value })
            }
            K::Photograph => Some(Does::Photograph(free_names(cursor, form)?)),
            K::Mark => some(self.joints(cursor)?).map(Does::Mark),
            K::Tag => some(self.joints(cursor)?).map(Does::Tag),
            K::Judge => {
                let part = self.one_of(cursor, Want::Part, part)?;
                let mut keep_if = None;
                if cursor.eat_kind(TokenKind::Colon).is_some() {
                    cursor
                        .eat("keep if")
                        .ok_or_else(|| expected(cursor, "`keep if` and a condition", form))?;
                    keep_if = Some(text(cursor, "the condition, in quotes", form)?.value);
                    if cursor.comma() {
                        cursor
                            .eat("else renew")
                            .ok_or_else(|| expected(cursor, "`else renew`", form))?;
                    }
                }
                part.map(|part| Does::Judge { part, keep_if })
            }
            K::Wait if cursor.kind() == Some(TokenKind::Number) => Some(Does::WaitFor {
                time: time(cursor, form)?,
                why: optional_text(cursor),
            }),
            K::Wait => some(self.joints(cursor)?).map(Does::Wait),
            K::Soak => some(self.joints(cursor)?).map(Does::Soak),
            K::Look => Some(Does::Look(
                text(cursor, "what must be seen, in quotes", form)?.value,
            )),
            K::MakeUp => some(self.list_of(cursor, Want::Tool, tool)?).map(Does::MakeUp),
            K::Verify => {
                let joints = match cursor.at_end() || cursor.kind() == Some(TokenKind::Text) {
                    true => Vec::new(),
                    false => self.joints(cursor)?,
                };
                Some(Does::Verify {
                    joints,
                    what: optional_text(cursor),
                })
            }
            keyword => {
                let act = ActKind::of(keyword).ok_or_else(|| expected(cursor, "an act", form))?;
                match act.work() {
                    None => return Err(expected(cursor, "an act", form)),
                    Some(work) if !work.works => {
                        some(self.fixings_list(cursor, form)?).map(|all| Does::Join { by: act, all })
                    }
                    Some(work) => self.work(act, work.joins, cursor)?,
                }
            }
        })
    }

    fn things(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Said<Thing>>> {
        self.list_of(cursor, Want::Thing, thing)
    }

    fn loads(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Said<Load>>> {
        self.list_of(cursor, Want::Load, load)
    }

    fn joints(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Said<Id<Joint>>>> {
        self.list_of(cursor, Want::Joint, joint)
    }

    fn with_tool(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<Said<Id<super::super::model::Tool>>>> {
        match cursor.eat("with") {
            Some(_) => self.one_of(cursor, Want::Tool, tool),
            None => Ok(None),
        }
    }

    /// Joints, each perhaps with a count before it: `5 of bell-bolts, earth`.
    fn fixings_list(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Vec<Fixings>> {
        let mut all = Vec::with_capacity(1);
        loop {
            self.fixings_item(cursor, form, &mut all)?;
            if !cursor.comma() {
                all.shrink_to_fit();
                return Ok(all);
            }
            if cursor.at_end() {
                return Err(Box::new(PlanError::ListCutShort { at: cursor.last() }));
            }
        }
    }

    fn fixings_item(&mut self, cursor: &mut Cursor<'a>, form: &str, into: &mut Vec<Fixings>) -> Read<()> {
        let number = match cursor.kind() {
            Some(TokenKind::Number) => {
                let number = count(cursor, form)?;
                cursor
                    .eat("of")
                    .ok_or_else(|| expected(cursor, "`of` and a joint", form))?;
                Some(number)
            }
            _ => None,
        };
        let mut found = Vec::new();
        self.item(cursor, Want::Joint, &mut found)?;
        into.extend(found.into_iter().filter_map(|said| {
            joint(said.value).map(|id| Fixings {
                joint: Said::new(id, said.at),
                count: number,
            })
        }));
        Ok(())
    }

    /// Work on things and joints. An act that closes joints closes them where it names nothing else.
    fn work(&mut self, by: ActKind, joins: bool, cursor: &mut Cursor<'a>) -> Read<Option<Does>> {
        let on = self.list_of(cursor, Want::Workpiece, workpiece)?;
        let how = optional_text(cursor);
        let joints: Option<Vec<Fixings>> = on
            .iter()
            .map(|said| match said.value {
                Workpiece::Joint(joint) => Some(Fixings {
                    joint: Said::new(joint, said.at),
                    count: None,
                }),
                Workpiece::Thing(_) => None,
            })
            .collect();
        Ok(match joints.and_then(some) {
            Some(all) if joins && how.is_none() => Some(Does::Join { by, all }),
            // All else is work.
            _ => some(on).map(|on| Does::Work { by, on, how }),
        })
    }

    fn pin(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Does>> {
        let mut all = Vec::new();
        self.fixings_item(cursor, form, &mut all)?;
        let with = self.with_tool(cursor)?;
        Ok(all.first().copied().map(|fixings| Does::Pin { fixings, with }))
    }

    fn hold(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Does>> {
        let things = self.loads(cursor)?;
        let by = if cursor.eat("with").is_some() {
            self.one_of(cursor, Want::Rig, |entity| rig(entity).map(Bearer::Rig))?
        } else if cursor.eat("by").is_some() {
            self.one_of(cursor, Want::Person, |entity| {
                super::names::person(entity).map(Bearer::Person)
            })?
        } else {
            return Err(expected(cursor, "`with` and a rig, or `by` and a person", form));
        };
        Ok(some(things).zip(by).map(|(things, by)| Does::Hold { things, by }))
    }

    fn by_length(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Said<Length>>> {
        match cursor.eat("by") {
            Some(_) => Ok(Some(quantity(cursor, form)?)),
            None => Ok(None),
        }
    }

    fn raise(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Does>> {
        let things = self.loads(cursor)?;
        let end = end(cursor);
        let mut on = None;
        let (mut at, mut to, mut by, mut ride) = (None, None, None, None);
        let mut said = false;
        loop {
            if cursor.eat("on").is_some() {
                on = self.one_of(cursor, Want::Rig, rig)?;
            } else if cursor.eat("at").is_some() {
                cursor.eat("jacking");
                let first = choice(cursor, End::ALL, form)?;
                at = Some(first);
                // At both: the whole vehicle, wherever the rig takes it.
                if end.is_none() && cursor.comma() {
                    cursor.eat("jacking");
                    if choice::<End>(cursor, End::ALL, form)?.value == first.value {
                        return Err(expected(cursor, "the other end, or one end alone", form));
                    }
                    at = None;
                }
            } else if cursor.eat("to").is_some() {
                if let Some(word) = cursor.eat("ride height") {
                    if things.iter().any(|said| matches!(said.value, Load::Vehicle(_))) {
                        return Err(expected(
                            cursor,
                            "a thing that hangs from the vehicle: the vehicle itself is raised `to` a height",
                            form,
                        ));
                    }
                    ride = Some(word);
                } else {
                    to = Some(quantity(cursor, form)?);
                }
            } else if cursor.sees("by") {
                by = self.by_length(cursor, form)?;
            } else if !said {
                return Err(expected(cursor, "`on` and a rig, or `by` and a length", form));
            } else {
                break;
            }
            said = true;
        }
        Ok(some(things).map(|things| Does::Raise {
            things,
            end,
            on,
            at,
            to,
            by,
            ride,
        }))
    }

    fn set(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<Option<Does>> {
        let things = self.loads(cursor)?;
        let end = end(cursor);
        let down = cursor.eat("down");
        cursor
            .eat("on")
            .ok_or_else(|| expected(cursor, "`on` and a rig or a thing", form))?;
        let on = self.one_of(cursor, Want::Seat, seat)?;
        Ok(some(things).zip(on).map(|(things, on)| Does::Set {
            things,
            end,
            down,
            on,
        }))
    }

    fn opening(&mut self, act: OpeningAct, cursor: &mut Cursor<'a>) -> Read<Option<Does>> {
        let joints = self.joints(cursor)?;
        let with = self.with_tool(cursor)?;
        Ok(some(joints).map(|joints| Does::Opening { act, joints, with }))
    }
}

fn some<T>(list: Vec<T>) -> Option<Vec<T>> {
    (!list.is_empty()).then_some(list)
}

fn end(cursor: &mut Cursor<'_>) -> Option<Said<End>> {
    let front = cursor.eat("front").map(|at| Said::new(End::Front, at));
    front.or_else(|| cursor.eat("rear").map(|at| Said::new(End::Rear, at)))
}

fn bearer(entity: Entity) -> Option<Bearer> {
    rig(entity)
        .map(Bearer::Rig)
        .or_else(|| super::names::person(entity).map(Bearer::Person))
}

fn extent(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Extent>> {
    let mut probe = cursor.clone();
    if let Ok(angle) = quantity::<crate::base::quantity::OfAngle>(&mut probe, form) {
        *cursor = probe;
        let angle: Said<Angle> = angle;
        return Ok(Said::new(Extent::Angle(angle.value), angle.at));
    }
    let length: Said<Length> = quantity(cursor, form)?;
    Ok(Said::new(Extent::Length(length.value), length.at))
}

pub(super) fn free_name(cursor: &mut Cursor<'_>, form: &str) -> Read<FreeName> {
    match cursor.name() {
        Some((name, at)) => Ok(FreeName {
            name: name.into(),
            at,
        }),
        None => Err(expected(
            cursor,
            "a name for it, lower-case words with hyphens",
            form,
        )),
    }
}

fn free_names(cursor: &mut Cursor<'_>, form: &str) -> Read<Vec<FreeName>> {
    let mut all = vec![free_name(cursor, form)?];
    while cursor.comma() {
        all.push(free_name(cursor, form)?);
    }
    Ok(all)
}

/// A figure of any dimension that is measured on a machine.
pub(super) fn measured(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Reading<Measured>>> {
    if let Some(at) = cursor.eat("to come") {
        return Ok(Said::new(Reading::ToCome, at));
    }
    fn try_as<D: crate::base::quantity::Measures>(
        cursor: &mut Cursor<'_>,
        form: &str,
    ) -> Option<Said<Quantity<D>>> {
        let mut probe = cursor.clone();
        let read = quantity::<D>(&mut probe, form).ok()?;
        *cursor = probe;
        Some(read)
    }
    let start = cursor.here();
    let value = try_as(cursor, form)
        .map(|said: Said<Length>| Measured::Length(said.value))
        .or_else(|| try_as(cursor, form).map(|said: Said<Angle>| Measured::Angle(said.value)))
        .or_else(|| try_as(cursor, form).map(|said: Said<Mass>| Measured::Mass(said.value)))
        .or_else(|| try_as(cursor, form).map(|said: Said<Torque>| Measured::Torque(said.value)))
        .or_else(|| try_as(cursor, form).map(|said: Said<Volume>| Measured::Volume(said.value)))
        .or_else(|| try_as(cursor, form).map(|said: Said<Pressure>| Measured::Pressure(said.value)));
    match value {
        Some(value) => Ok(Said::new(Reading::Is(value), start.to(cursor.last()))),
        None => {
            let bare = number(cursor, "a figure with its unit, or `to come`", form)?;
            Err(Box::new(PlanError::BareNumber {
                at: bare.at,
                number: bare.value.to_string(),
                wants: Dimension::Length,
            }))
        }
    }
}
