//! Joint blocks.

use super::super::declare::{self, Declared};
use super::super::model::{
    Content, Drive, DriveKind, End, Fixing, FixingKind, Joint, JointKind, Pattern, Reach, ReachFrom, Reading,
    Said, Side, Text, ThreadState, TighteningOrder, TorqueFigure, Washers,
};
use super::super::plan_error::PlanError;
use super::super::scope::Entity;
use super::super::vocabulary::drives::Size;
use super::super::vocabulary::other_words::read_as;
use super::amounts::{choice, count, money, number, optional_text, paid, quantity, text, thread};
use super::block::{Read, Reader, expected, left_over};
use super::names::{Want, fluid, part, thing};
use crate::base::quantity::{Angle, Length, Torque};
use crate::base::source::Span;
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{self, BlockKind, Keyword as K, Often, Shape};
use crate::syntax::tree::TokenKind;

const CARRIES: &str = "carries";

impl<'a> Reader<'a> {
    /// Reads a joint block for this reader's side.
    pub fn joint(&mut self) -> Joint {
        let ends = self.ends();
        let mut joint = Joint::blank(self.head(), self.block.at);
        joint.ends = ends;
        self.statements(&mut |reader, shape, cursor| reader.joint_statement(&mut joint, shape, cursor));
        joint.head.notes = self.take_notes();
        // A first push makes room for four, and most joints have one row of fixings and one drive.
        joint.fixings.shrink_to_fit();
        joint.drives.shrink_to_fit();
        joint
    }

    /// The joint that a part says by `fixed to`, for this reader's side.
    pub fn fixed_joint(&mut self) -> Option<Joint> {
        let block = self.block;
        let fixed = block.fixed?;
        let mut head = self.head();
        let name = fixed.name(block.name);
        head.name = match &self.tag {
            None => name.into(),
            Some(tag) => format!("{name}-{}", tag.text).into(),
        };
        let mut cursor = block.cursor(fixed.statement);
        head.at = fixed.at;
        head.block = cursor.statement();
        head.title = None;
        let mut joint = Joint::blank(head, fixed.at);
        joint.in_part = Some(cursor.statement());
        let own = self.resolve(block.name, block.at, Want::Part);
        declare::eat_fixed_to(&mut cursor);
        let to = self.one_of(&mut cursor, Want::Thing, thing);
        let to = self.settle(to).flatten();
        joint.ends = own
            .and_then(|own| thing(own.value))
            .zip(to)
            .map(|(own, to)| [Said::new(own, block.at), to]);
        let mut made: Vec<(K, Span)> = Vec::new();
        for (shape, mut piece) in fixed_pieces(block) {
            let at = piece.statement();
            let before = made.iter().find(|(keyword, _)| *keyword == shape.keyword);
            if let Some(&(_, first)) = before
                && shape.often == Often::Once
            {
                let words = shape.words.to_owned();
                self.slip(PlanError::SaidTwice { at, first, words });
                continue;
            }
            // That it carries goes without saying, and may be said.
            if shape.keyword != K::Carries {
                made.push((shape.keyword, at));
            }
            let read = if shape.keyword == K::SameAs {
                let what = "no `same as` here: a joint that is like another has a block of its own";
                Err(expected(&piece, what, BlockKind::Joint.form()))
            } else {
                self.joint_statement(&mut joint, shape, &mut piece)
            };
            let read = read.and_then(|()| match piece.at_end() {
                true => Ok(()),
                false => {
                    let what = "a comma and the next statement of the joint";
                    Err(expected(
                        &piece,
                        &left_over(what, BlockKind::Joint, &piece),
                        shape.form,
                    ))
                }
            });
            self.settle(read);
        }
        joint.fixings.shrink_to_fit();
        joint.drives.shrink_to_fit();
        Some(joint)
    }

    /// The statement within the part: what it says is read for the joint, and only what keeps the joint from having a name is told here.
    pub fn part_is_fixed(&mut self, cursor: &mut Cursor<'a>, form: &str) -> Read<()> {
        let told = if self.block.fixed.is_some() || self.block.name.is_empty() {
            None
        } else if cursor.name().is_none() {
            Some(expected(
                cursor,
                "the thing that it is fixed to, by its name",
                form,
            ))
        } else if cursor.eat("by").is_none() {
            Some(expected(cursor, "`by` and what fixes it", form))
        } else {
            let what = "what fixes it, such as `bolts`, `nuts`, `screws`, `clip` or `press fit`; what bears nothing, as a plug or a hose, has a joint block of its own";
            Some(expected(cursor, what, form))
        };
        while cursor.take().is_some() {}
        told.map_or(Ok(()), Err)
    }

    fn ends(&mut self) -> Option<[Said<super::super::model::Thing>; 2]> {
        let form = BlockKind::Joint.form();
        let mut cursor = self.block.header()?;
        let read = (|| -> Read<_> {
            if cursor.eat_kind(TokenKind::Colon).is_none() {
                return Err(expected(&cursor, "a colon and the two things that it ties", form));
            }
            let from = self.one_of(&mut cursor, Want::Thing, thing)?;
            if cursor.eat("to").is_none() {
                return Err(expected(&cursor, "`to` and the other thing", form));
            }
            let to = self.one_of(&mut cursor, Want::Thing, thing)?;
            if !cursor.at_end() {
                return Err(expected(&cursor, "a semicolon before the first statement", form));
            }
            Ok(from.zip(to))
        })();
        let (from, to) = self.settle(read).flatten()?;
        Some([from, to])
    }

    fn joint_statement(
        &mut self,
        joint: &mut Joint,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let here = cursor.statement();
        let form = shape.form;
        if let Some(kind) = DriveKind::of(shape.keyword) {
            return drive(joint, kind, form, cursor);
        }
        match shape.keyword {
            K::Carries => joint.carries = Some(here),
            K::Rigid => joint.rigid = Some(Said::new(true, here)),
            K::Flexible => joint.rigid = Some(Said::new(false, here)),
            K::Of => self.content(joint, cursor)?,
            K::Opens => {
                let all = self.list_of(cursor, Want::Fluid, fluid)?;
                joint.opens.extend(all);
            }
            K::Bolts => self.rows_of_fixings(&mut joint.fixings, FixingKind::Bolts, form, cursor)?,
            K::Studs => self.rows_of_fixings(&mut joint.fixings, FixingKind::Studs, form, cursor)?,
            K::Nuts => self.rows_of_fixings(&mut joint.fixings, FixingKind::Nuts, form, cursor)?,
            K::Screws => self.rows_of_fixings(&mut joint.fixings, FixingKind::Screws, form, cursor)?,
            K::Count => joint.count = Some(count(cursor, form)?),
            K::Torque => joint.torque = Some(Box::new(torque(cursor, form)?)),
            K::Threads => {
                let all = [
                    (ThreadState::Dry, "dry"),
                    (ThreadState::Oiled, "oiled"),
                    (ThreadState::Coated, "coated"),
                ];
                joint.tightening.threads = Some(choice(cursor, &all, form)?);
            }
            K::Threadlock => {
                joint.tightening.threadlock = Some(Said::new(optional_text(cursor), here));
            }
            K::Washers => {
                let count = match cursor.kind() {
                    Some(TokenKind::Number) => Some(count(cursor, form)?.value),
                    _ => None,
                };
                let what = optional_text(cursor);
                if count.is_none() && what.is_none() && !cursor.at_end() {
                    return Err(expected(cursor, "how many, or which in quotes", form));
                }
                joint.tightening.washers = Some(Said::new(Washers { count, what }, here));
            }
            K::Friction => {
                let low = number(cursor, "the lowest coefficient", form)?;
                cursor
                    .eat("to")
                    .ok_or_else(|| expected(cursor, "`to` and the highest", form))?;
                let high = number(cursor, "the highest coefficient", form)?;
                let band = (low.value.value(), high.value.value());
                joint.tightening.friction = Some(Said::new(band, low.at.to(high.at)));
            }
            K::LeftHand => joint.tightening.left_hand = Some(here),
            K::Engagement => joint.tightening.engagement = Some(quantity(cursor, form)?),
            K::Order => {
                let all = [
                    (TighteningOrder::Across, "across"),
                    (TighteningOrder::Spiral, "spiral"),
                    (TighteningOrder::Along, "along"),
                ];
                joint.tightening.order = Some(choice(cursor, &all, form)?);
            }
            K::PatternOf => joint.tightening.pattern = Some(pattern(cursor, form)?),
            K::SeenFrom => joint.tightening.seen_from = Some(text(cursor, "from where, in quotes", form)?),
            K::WithWheelsDown | K::WithFeetDown => joint.with_wheels_down = Some(here),
            K::SetsIn => joint.sets_in = Some(super::amounts::time(cursor, form)?),
            K::SecondCheck => joint.second_check = Some(here),
            K::Hidden => joint.hidden = Some(text(cursor, "where it hides, in quotes", form)?),
            K::FullyOut => joint.fully_out = Some(Said::new(optional_text(cursor), here)),
            K::Renew => joint.renew = Some(Said::new(optional_text(cursor), here)),
            K::Gone => joint.gone = Some(Said::new(optional_text(cursor), here)),
            K::ReachFrom => joint.reach = Some(reach(cursor, form)?),
            K::CoveredBy => joint.covered_by = self.list_of(cursor, Want::Part, part)?,
            K::InPlaceOf => joint.in_place_of = self.one_of(cursor, Want::Joint, super::names::joint)?,
            K::Play => joint.play = Some(quantity(cursor, form)?),
            K::Engaged => joint.engaged = Some(quantity(cursor, form)?),
            K::PushOn => joint.push_on = Some(here),
            K::Was => joint.head.was = Some(self.was(cursor, form)?),
            K::PlaceAt => joint.place = Some(choice(cursor, Side::ALL, form)?),
            K::At => joint.at = Some(self.place(cursor)?),
            K::Cost => joint.price.get_or_insert_default().cost = Some(money(cursor, form)?),
            K::Bought => joint.price.get_or_insert_default().bought = Some(paid(cursor, form)?),
            keyword => {
                let kind = JointKind::of(keyword)
                    .ok_or_else(|| expected(cursor, "a statement of a joint block", form))?;
                joint.kind = Said::new(kind, here);
                // `hose of F`, `plug of supply` in one line.
                if cursor.eat("of").is_some() {
                    self.content(joint, cursor)?;
                }
            }
        }
        Ok(())
    }

    /// `hose of F; of E`: the fluid runs out where the joint is undone, and the energy is in it. Two fluids run out both; of two energies
    /// a joint has no room for the second.
    fn content(&mut self, joint: &mut Joint, cursor: &mut Cursor<'a>) -> Read<()> {
        let said = self.one_of(cursor, Want::Content, |entity| match entity {
            Entity::Fluid(id) => Some(Content::Fluid(id)),
            Entity::Energy(id) => Some(Content::Energy(id)),
            _ => None,
        })?;
        let Some(said) = said else { return Ok(()) };
        match (joint.of, said.value) {
            (Some(first), second) if first.value == second => {}
            (Some(first), Content::Energy(_)) if matches!(first.value, Content::Energy(_)) => {
                self.slip(PlanError::SaidTwice {
                    at: said.at,
                    first: first.at,
                    words: "of ENERGY".to_owned(),
                });
            }
            // Of what it is like in all else it may differ in its fluid.
            (Some(first), Content::Fluid(_))
                if self.is_inherited() && matches!(first.value, Content::Fluid(_)) => {}
            (Some(_), Content::Fluid(fluid)) => joint.opens.push(Said::new(fluid, said.at)),
            (first, Content::Energy(_) | Content::Fluid(_)) => {
                if let Some(Said {
                    value: Content::Fluid(fluid),
                    at,
                }) = first
                {
                    joint.opens.push(Said::new(fluid, at));
                }
                joint.of = Some(said);
            }
        }
        Ok(())
    }

    pub fn rows_of_fixings(
        &mut self,
        fixings: &mut Vec<Fixing>,
        what: FixingKind,
        form: &str,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        loop {
            let start = cursor.here();
            let count = count(cursor, form)?;
            if cursor.eat("x").is_none() {
                return Err(expected(cursor, "`x` and a thread, such as `2 x M10x1.25`", form));
            }
            let Some((word, at)) = cursor.glued() else {
                return Err(expected(cursor, "a thread, such as M10x1.25 or 3/8-16", form));
            };
            let Some(thread) = thread(word) else {
                return Err(Box::new(PlanError::Unreadable {
                    at,
                    expected: "a thread, such as M10x1.25, M10x1.25x45 or 3/8-16".to_owned(),
                    form: form.to_owned(),
                }));
            };
            let mut fixing = Fixing {
                what,
                count: count.value,
                thread,
                class: None,
                whereabouts: None,
                at: start,
            };
            loop {
                if cursor.eat("class").is_some() || cursor.eat("grade").is_some() {
                    let (class, at) = cursor
                        .glued()
                        .ok_or_else(|| expected(cursor, "a property class", form))?;
                    fixing.class = Some(Said::new(class.into(), at));
                } else if cursor.eat("at").is_some() {
                    fixing.whereabouts = Some(whereabouts(cursor));
                } else {
                    break;
                }
            }
            fixing.at = start.to(cursor.last());
            fixings.push(fixing);
            if !cursor.comma() {
                return Ok(());
            }
        }
    }
}

/// The statements of the joint that a part says by `fixed to`, each as if it stood in a block of its own; first that it carries, which
/// is said by saying it so. A comma ends one where the next word begins another.
pub fn fixed_pieces<'a>(block: &Declared<'a>) -> Vec<(&'static Shape, Cursor<'a>)> {
    let mut all = Vec::new();
    let Some(fixed) = block.fixed else { return all };
    let mut cursor = block.cursor(fixed.statement);
    if let Some((carries, _)) = shapes::find(BlockKind::Joint, CARRIES, |_| None) {
        let mut said = cursor.piece(2);
        said.skip(2);
        all.push((carries, said));
    }
    // The form was tried when the name was declared.
    while !cursor.at_end() && cursor.eat("by").is_none() {
        cursor.skip(1);
    }
    let begins = |cursor: &Cursor<'a>, at: usize| {
        let word = |n: usize| {
            (cursor.kind_ahead(at + n) != Some(TokenKind::Text)).then(|| cursor.peek_ahead(at + n))
        };
        let own = word(0).and_then(|first| shapes::find(BlockKind::Joint, first, word));
        own.or_else(|| read_as(BlockKind::Joint, word))
    };
    while !cursor.at_end() {
        let mut length = 0;
        while cursor.kind_ahead(length).is_some()
            && !(cursor.kind_ahead(length) == Some(TokenKind::Comma) && begins(&cursor, length + 1).is_some())
        {
            length += 1;
        }
        let mut piece = cursor.piece(length);
        if let Some((shape, used)) = begins(&cursor, 0) {
            piece.skip(used);
            all.push((shape, piece));
        }
        cursor.skip(length + 1);
    }
    all
}

/// `at the dowels`: words up to the next comma, or a text in quotes.
fn whereabouts(cursor: &mut Cursor<'_>) -> Text {
    if let Some(text) = optional_text(cursor) {
        return text;
    }
    let mut words: Vec<&str> = Vec::new();
    while matches!(cursor.kind(), Some(TokenKind::Name | TokenKind::Word)) && !cursor.sees("class") {
        words.extend(cursor.take().map(|(_, word, _)| word));
    }
    words.join(" ").into()
}

fn drive(joint: &mut Joint, kind: DriveKind, form: &str, cursor: &mut Cursor<'_>) -> Read<()> {
    let start = cursor.statement();
    let (size, across): (Text, Option<Length>) = match kind.row().size {
        Size::Across => {
            let across: Said<Length> = quantity(cursor, form)?;
            (across.value.to_string().into(), Some(across.value))
        }
        Size::NamedOrNone if cursor.at_end() || cursor.kind() == Some(TokenKind::Comma) => ("".into(), None),
        Size::Named | Size::NamedOrNone => {
            let (word, _) = cursor
                .glued()
                .ok_or_else(|| expected(cursor, "a size, such as T40", form))?;
            (word.into(), None)
        }
    };
    // Sizes by the screw are those of twelve points; earlier plans had but the one word.
    let kind = match kind {
        DriveKind::DoubleSquare if size.starts_with('M') => DriveKind::TripleSquare,
        kind => kind,
    };
    let mut with: Option<Text> = None;
    while cursor.comma() {
        let words = optional_text(cursor).unwrap_or_else(|| whereabouts(cursor));
        if words.is_empty() {
            return Err(expected(cursor, "what goes with it, such as `deep socket`", form));
        }
        with = Some(match with {
            Some(before) => format!("{before}, {words}").into(),
            None => words,
        });
    }
    joint.drives.push(Drive {
        kind,
        size,
        across,
        with,
        at: start,
    });
    Ok(())
}

pub fn torque(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<TorqueFigure>> {
    let start = cursor.here();
    let mut figure = TorqueFigure {
        torque: Reading::ToCome,
        band: None,
        then: None,
        in_stages: Vec::new(),
    };
    let what = "a torque between two figures is written as the figure to set and both in brackets";
    if let Some(slip) = super::amounts::bracketed::<crate::base::quantity::OfTorque>(cursor, what) {
        return Err(Box::new(slip));
    }
    if cursor.eat("to come").is_none() {
        let torque: Said<Torque> = quantity(cursor, form)?;
        figure.torque = Reading::Is(torque.value);
    }
    loop {
        if cursor.eat_kind(TokenKind::Open).is_some() {
            let low = bound(cursor, &figure, form)?;
            cursor
                .eat("to")
                .ok_or_else(|| expected(cursor, "`to` between lowest and highest", form))?;
            let high = bound(cursor, &figure, form)?;
            cursor
                .eat_kind(TokenKind::Close)
                .ok_or_else(|| expected(cursor, "a closing bracket", form))?;
            figure.band = Some((low, high));
        } else if cursor.eat("then").is_some() {
            let angle: Said<Angle> = quantity(cursor, form)?;
            figure.then = Some(angle.value);
        } else if cursor.eat("in stages").is_some() {
            loop {
                let stage: Said<Torque> = quantity(cursor, form)?;
                figure.in_stages.push(stage.value);
                if !cursor.comma() {
                    break;
                }
            }
        } else {
            return Ok(Said::new(figure, start.to(cursor.last())));
        }
    }
}

/// A bound of a torque band: with its own unit, or in the unit of the figure before the bracket.
fn bound(cursor: &mut Cursor<'_>, figure: &TorqueFigure, form: &str) -> Read<Torque> {
    let mut probe = cursor.clone();
    let bare = number(&mut probe, "a torque", form)?;
    let ends = probe.sees("to") || probe.kind() == Some(TokenKind::Close);
    if let (true, Some(torque)) = (ends, figure.torque.known())
        && let Some(torque) = Torque::new(bare.value, torque.unit())
    {
        *cursor = probe;
        return Ok(torque);
    }
    Ok(quantity::<crate::base::quantity::OfTorque>(cursor, form)?.value)
}

fn reach(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Reach>> {
    let all = [
        (ReachFrom::Below, "below"),
        (ReachFrom::Inside, "inside"),
        (ReachFrom::Above, "above"),
    ];
    let from = choice(cursor, &all, form)?;
    let end = match cursor.comma() {
        true => Some(choice(
            cursor,
            &[(End::Front, "front"), (End::Rear, "rear")],
            form,
        )?),
        false => None,
    };
    Ok(Said::new(
        Reach {
            from: from.value,
            end: end.map(|end| end.value),
        },
        from.at.to(cursor.last()),
    ))
}

fn pattern(cursor: &mut Cursor<'_>, form: &str) -> Read<Said<Pattern>> {
    if cursor.kind() == Some(TokenKind::Number) {
        let columns = count(cursor, form)?;
        cursor
            .eat("x")
            .ok_or_else(|| expected(cursor, "`x`, as in `2 x 2`", form))?;
        let rows = count(cursor, form)?;
        return Ok(Said::new(
            Pattern::Grid(columns.value, rows.value),
            columns.at.to(rows.at),
        ));
    }
    choice(
        cursor,
        &[(Pattern::Row, "row"), (Pattern::Circle, "circle")],
        form,
    )
}
