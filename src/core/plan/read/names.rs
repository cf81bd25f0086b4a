//! Names within statements: single ones and lists, for the side that the block is read for.

use super::super::model::{Id, Joint, Load, Part, Said, Seat, Thing, Weighed, Workpiece};
use super::super::plan_error::PlanError;
use super::super::scope::{Answer, Entity, Entry};
use super::block::{Read, Reader, expected};
use crate::base::source::Span;
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{self, BlockKind};
use crate::syntax::tree::TokenKind;

/// What kinds of thing a place takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Want {
    Anything,
    Vehicle,
    Part,
    /// A part or an assembly.
    Thing,
    /// A part, an assembly or the vehicle.
    Load,
    Joint,
    Fluid,
    Energy,
    Content,
    Caution,
    Rig,
    Tool,
    Need,
    Person,
    Scale,
    Stage,
    Step,
    Seat,
    Bearer,
    Weighed,
    Startable,
    Swap,
    Workpiece,
}

impl Want {
    /// As a sentence says it: "wanted is a joint".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Want::Anything => "a name",
            Want::Vehicle => "the vehicle",
            Want::Part => "a part",
            Want::Thing => "a part or an assembly",
            Want::Load => "a part, an assembly or the vehicle",
            Want::Joint => "a joint",
            Want::Fluid => "a fluid",
            Want::Energy => "an energy",
            Want::Content => "a fluid or an energy",
            Want::Caution => "a caution",
            Want::Rig => "a rig",
            Want::Tool => "a tool",
            Want::Need => "a tool, a rig or a consumable",
            Want::Person => "a person",
            Want::Scale => "a scale",
            Want::Stage => "a stage",
            Want::Step => "a step",
            Want::Seat => "a rig, a part or an assembly",
            Want::Bearer => "a rig or a person",
            Want::Weighed => "a part, an assembly, a joint or the vehicle",
            Want::Startable => "a part, an assembly, a joint or a fluid",
            Want::Swap => "a swap",
            Want::Workpiece => "a part, an assembly or a joint",
        }
    }

    #[must_use]
    pub fn takes(self, entity: Entity) -> bool {
        use Entity as E;
        match self {
            Want::Anything => true,
            Want::Vehicle => matches!(entity, E::Vehicle(_)),
            Want::Part => matches!(entity, E::Part(_)),
            Want::Thing => matches!(entity, E::Part(_) | E::Assembly(_)),
            Want::Load => matches!(entity, E::Part(_) | E::Assembly(_) | E::Vehicle(_)),
            Want::Joint => matches!(entity, E::Joint(_)),
            Want::Fluid => matches!(entity, E::Fluid(_)),
            Want::Energy => matches!(entity, E::Energy(_)),
            Want::Content => matches!(entity, E::Fluid(_) | E::Energy(_)),
            Want::Caution => matches!(entity, E::Caution(_)),
            Want::Rig => matches!(entity, E::Rig(_)),
            Want::Tool => matches!(entity, E::Tool(_)),
            Want::Need => matches!(entity, E::Tool(_) | E::Rig(_) | E::Consumable(_)),
            Want::Person => matches!(entity, E::Person(_)),
            Want::Scale => matches!(entity, E::Scale(_)),
            Want::Stage => matches!(entity, E::Stage(_)),
            Want::Step => matches!(entity, E::Step(_)),
            Want::Seat => matches!(entity, E::Rig(_) | E::Part(_) | E::Assembly(_)),
            Want::Bearer => matches!(entity, E::Rig(_) | E::Person(_)),
            Want::Weighed => matches!(entity, E::Part(_) | E::Assembly(_) | E::Joint(_) | E::Vehicle(_)),
            Want::Swap => matches!(entity, E::Swap(_)),
            Want::Workpiece => matches!(entity, E::Part(_) | E::Assembly(_) | E::Joint(_)),
            Want::Startable => matches!(entity, E::Part(_) | E::Assembly(_) | E::Joint(_) | E::Fluid(_)),
        }
    }
}

/// What a block of this kind declares, as a sentence says it.
#[must_use]
pub fn kind_words(kind: BlockKind) -> &'static str {
    match kind {
        BlockKind::Plan => "the plan",
        BlockKind::Vehicle | BlockKind::Machine => "the vehicle",
        BlockKind::Person => "a person",
        BlockKind::Scale => "a scale",
        BlockKind::Rig => "a rig",
        BlockKind::Tool => "a tool",
        BlockKind::Consumable => "a consumable",
        BlockKind::Kit => "a kit",
        BlockKind::Part | BlockKind::Parts => "a part",
        BlockKind::Assembly => "an assembly",
        BlockKind::Joint => "a joint",
        BlockKind::Fluid => "a fluid",
        BlockKind::Energy => "an energy",
        BlockKind::Caution => "a caution",
        BlockKind::Stage => "a stage",
        BlockKind::Step => "a step",
        BlockKind::WeighIn => "a weigh-in",
        BlockKind::Swap => "a swap",
        BlockKind::Log => "a log",
        BlockKind::Accept => "an acceptance",
    }
}

impl<'a> Reader<'a> {
    /// A name that nothing declares. What looks like it is found when all blocks are read.
    #[must_use]
    pub fn unknown(&self, name: &str, at: Span, want: Want) -> PlanError {
        PlanError::UnknownName {
            name: name.to_owned(),
            at,
            also: Vec::new(),
            want,
            wanted: want.words(),
            near_at: None,
            near: Vec::new(),
        }
    }

    /// One name; `None` where it is unknown or of another kind, which is noted, and the statement goes on.
    pub fn one(&mut self, cursor: &mut Cursor<'a>, want: Want) -> Read<Option<Said<Entity>>> {
        let form = format!("{} by its name", want.words());
        let Some((name, at)) = cursor.name() else {
            if let Some((word, at)) = cursor.clone().glued()
                && cursor.kind() == Some(TokenKind::Word)
                && word.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
            {
                cursor.glued();
                let name = word.to_lowercase().replace('_', "-");
                self.mention(at, None, want);
                if !self.world.scope.is_refused(&name) {
                    let slip = self.unknown(&name, at, want);
                    self.slip(slip);
                }
                return Ok(None);
            }
            return Err(expected(cursor, &form, ""));
        };
        Ok(self.resolve(name, at, want))
    }

    /// What a name stands for in a block for this side.
    pub fn resolve(&mut self, name: &str, at: Span, want: Want) -> Option<Said<Entity>> {
        match self.world.scope.ask(name, self.tag.as_ref()) {
            Answer::One(entry) => {
                self.mention(at, Some(entry.entity), want);
                self.fits(name, entry, at, want)
            }
            Answer::Several(each) => {
                for member in self.world.scope.members(name) {
                    self.mention(at, Some(member.entity), want);
                }
                let block_sides = self.block.each.map(super::super::scope::Each::words);
                let slip = match block_sides {
                    Some(block_sides) => PlanError::SidesOutOfStep {
                        at,
                        name: name.to_owned(),
                        block_sides,
                        other_sides: each.words(),
                    },
                    None => {
                        let tags = each.tags();
                        let all = if tags.len() == 2 { "both" } else { "all" };
                        let mut near: Vec<String> = vec![format!("{all} {name}")];
                        near.extend(tags.iter().take(2).map(|tag| format!("{name}-{}", tag.text)));
                        let near_at = self
                            .world
                            .scope
                            .family(name)
                            .and_then(|f| f.members.first())
                            .map(|e| e.at);
                        PlanError::UnknownName {
                            name: name.to_owned(),
                            at,
                            also: Vec::new(),
                            want,
                            wanted: want.words(),
                            near,
                            near_at,
                        }
                    }
                };
                self.slip(slip);
                None
            }
            // Told at the header that was refused.
            Answer::Unknown if self.world.scope.is_refused(name) => {
                self.mention(at, None, want);
                None
            }
            Answer::Unknown => {
                self.mention(at, None, want);
                let slip = self.unknown(name, at, want);
                self.slip(slip);
                None
            }
        }
    }

    fn fits(&mut self, name: &str, entry: Entry, at: Span, want: Want) -> Option<Said<Entity>> {
        if want.takes(entry.entity) {
            return Some(Said::new(entry.entity, at));
        }
        self.slip(PlanError::WrongKind {
            name: name.to_owned(),
            at,
            is: entry.entity.words(),
            wanted: want.words(),
            declared: entry.at,
        });
        None
    }

    /// One item of a list: a name, or `both NAMES`, or `all NAMES`.
    pub fn item(&mut self, cursor: &mut Cursor<'a>, want: Want, into: &mut Vec<Said<Entity>>) -> Read<()> {
        let many = cursor.eat("both").or_else(|| cursor.eat("all"));
        let Some(many) = many else {
            into.extend(self.one(cursor, want)?);
            return Ok(());
        };
        let (name, at) = cursor
            .name()
            .ok_or_else(|| expected(cursor, "a name after `both` or `all`", ""))?;
        let named = at;
        let at = many.to(at);
        let Some(family) = self.world.scope.family(name) else {
            self.mention(named, None, want);
            self.slip(PlanError::UnknownName {
                name: name.to_owned(),
                at,
                also: Vec::new(),
                wanted: "something declared for each side, end, corner or a count",
                want,
                near_at: None,
                near: Vec::new(),
            });
            return Ok(());
        };
        for &entry in &family.members {
            self.mention(named, Some(entry.entity), want);
            into.extend(self.fits(name, entry, at, want));
        }
        Ok(())
    }

    /// Names with commas between them.
    pub fn list(&mut self, cursor: &mut Cursor<'a>, want: Want) -> Read<Vec<Said<Entity>>> {
        // Most lists have one item.
        let mut all = Vec::with_capacity(1);
        loop {
            self.item(cursor, want, &mut all)?;
            if !cursor.comma() {
                all.shrink_to_fit();
                return Ok(all);
            }
            if cursor.at_end() || self.runs_into_a_statement(cursor) {
                return Err(Box::new(PlanError::ListCutShort { at: cursor.last() }));
            }
        }
    }

    /// Whether the comma just taken ends its line, and the next line is a statement of its own: a comma too many.
    fn runs_into_a_statement(&self, cursor: &Cursor<'a>) -> bool {
        let comma = cursor.last();
        let first = cursor.peek();
        self.block.file.slice(comma.start, comma.end).contains('\n')
            && self.world.scope.entry(first).is_none()
            && shapes::find(self.block.kind, first, |ahead| Some(cursor.peek_ahead(ahead))).is_some()
    }

    /// A list, each entity turned to what the caller keeps.
    pub fn list_of<T>(
        &mut self,
        cursor: &mut Cursor<'a>,
        want: Want,
        pick: impl Fn(Entity) -> Option<T>,
    ) -> Read<Vec<Said<T>>> {
        let all = self.list(cursor, want)?;
        let mut picked: Vec<Said<T>> = all
            .into_iter()
            .filter_map(|said| pick(said.value).map(|value| Said::new(value, said.at)))
            .collect();
        picked.shrink_to_fit();
        Ok(picked)
    }

    /// One name, turned to what the caller keeps.
    pub fn one_of<T>(
        &mut self,
        cursor: &mut Cursor<'a>,
        want: Want,
        pick: impl Fn(Entity) -> Option<T>,
    ) -> Read<Option<Said<T>>> {
        let said = self.one(cursor, want)?;
        Ok(said.and_then(|said| pick(said.value).map(|value| Said::new(value, said.at))))
    }
}

#[must_use]
pub fn workpiece(entity: Entity) -> Option<Workpiece> {
    joint(entity)
        .map(Workpiece::Joint)
        .or_else(|| thing(entity).map(Workpiece::Thing))
}

#[must_use]
pub fn thing(entity: Entity) -> Option<Thing> {
    match entity {
        Entity::Part(id) => Some(Thing::Part(id)),
        Entity::Assembly(id) => Some(Thing::Assembly(id)),
        _ => None,
    }
}

#[must_use]
pub fn load(entity: Entity) -> Option<Load> {
    match entity {
        Entity::Vehicle(id) => Some(Load::Vehicle(id)),
        other => thing(other).map(Load::Thing),
    }
}

#[must_use]
pub fn seat(entity: Entity) -> Option<Seat> {
    match entity {
        Entity::Rig(id) => Some(Seat::Rig(id)),
        other => thing(other).map(Seat::Thing),
    }
}

#[must_use]
pub fn weighed(entity: Entity) -> Option<Weighed> {
    match entity {
        Entity::Joint(id) => Some(Weighed::Hardware(id)),
        Entity::Vehicle(id) => Some(Weighed::Vehicle(id)),
        other => thing(other).map(Weighed::Thing),
    }
}

macro_rules! picks {
    ($($name:ident, $variant:ident, $of:ty;)*) => { $(
        #[must_use]
        pub fn $name(entity: Entity) -> Option<Id<$of>> {
            match entity {
                Entity::$variant(id) => Some(id),
                _ => None,
            }
        }
    )* };
}

picks! {
    vehicle, Vehicle, super::super::model::Vehicle;
    part, Part, Part;
    joint, Joint, Joint;
    fluid, Fluid, super::super::model::Fluid;
    caution, Caution, super::super::model::Caution;
    rig, Rig, super::super::model::Rig;
    tool, Tool, super::super::model::Tool;
    person, Person, super::super::model::Person;
    scale, Scale, super::super::model::Scale;
    stage, Stage, super::super::model::Stage;
    step, Step, super::super::model::Step;
    swap, Swap, super::super::model::Swap;
}
