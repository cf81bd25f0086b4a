//! Where each name is declared and where it is mentioned: what an editor jumps to, lists and renames. Knows places, and not what a
//! mention does.

use super::read::names::Want;
use super::scope::{Entity, Scope};
use crate::base::source::{SourceId, Span};

/// How a declared name came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Written out where it is declared.
    Written,
    /// One of a block for each side, end, corner or a count: what is written there is the stem.
    Side,
    /// The joint that a part says in its own block: what is written there is `fixed to`, and its name begins with the part's.
    InPart,
    /// A step that a stage derives: what is written there is the stage that it undoes.
    Derived,
}

/// One declared name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Declared {
    /// As the plan writes it, with its side: `shaft-left`.
    pub name: Box<str>,
    /// What it stands for.
    pub entity: Entity,
    /// The name on the header; all of one sided block have one place.
    pub at: Span,
    /// Where it is declared: the plan, a workshop folder, or by the house.
    pub origin: Origin,
}

/// One place that names something; of a name that stands for several there is one for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mention {
    /// The stretch that names it.
    pub at: Span,
    /// None where nothing is called so.
    pub entity: Option<Entity>,
    /// What the place takes.
    pub want: Want,
}

/// All names of one compilation, declared and mentioned, each list in the order of the texts.
#[derive(Debug, Clone, Default)]
pub struct Names {
    declared: Vec<Declared>,
    mentions: Vec<Mention>,
}

impl Names {
    pub(super) fn new(scope: &Scope, mut mentions: Vec<Mention>) -> Self {
        let mut declared = scope.declared();
        declared.sort_by(|a, b| (a.at, &a.name).cmp(&(b.at, &b.name)));
        // Blocks are read by kind, and a sided one once for each side.
        mentions.sort_by_key(|mention| mention.at);
        mentions.dedup();
        Self { declared, mentions }
    }

    /// In order of declaration.
    #[must_use]
    pub fn declared(&self) -> &[Declared] {
        &self.declared
    }

    /// In the order of the texts.
    #[must_use]
    pub fn mentions(&self) -> &[Mention] {
        &self.mentions
    }

    /// None for what has no name of its own, as the floor.
    #[must_use]
    pub fn of(&self, entity: Entity) -> Option<&Declared> {
        self.declared.iter().find(|known| known.entity == entity)
    }

    /// The one that is declared by this name; none where it is a sided block's.
    #[must_use]
    pub fn called(&self, name: &str) -> Option<&Declared> {
        self.declared.iter().find(|known| &*known.name == name)
    }

    /// What is declared by the name at this place: of a sided block all that it declares.
    pub fn declared_at(&self, source: SourceId, at: u32) -> impl Iterator<Item = &Declared> {
        self.declared
            .iter()
            .filter(move |known| known.origin != Origin::Derived && touches(known.at, source, at))
    }

    /// What is mentioned at this place.
    pub fn mentioned_at(&self, source: SourceId, at: u32) -> impl Iterator<Item = &Mention> {
        let from = self
            .mentions
            .partition_point(|mention| (mention.at.source, mention.at.end) < (source, at));
        let rest = self.mentions.iter().skip(from);
        rest.take_while(move |mention| mention.at.source == source && mention.at.start <= at)
            .filter(move |mention| touches(mention.at, source, at))
    }

    /// All places that mean it.
    pub fn mentions_of(&self, entity: Entity) -> impl Iterator<Item = &Mention> {
        self.mentions
            .iter()
            .filter(move |mention| mention.entity == Some(entity))
    }
}

/// A place right behind the last letter is at the name too: there a cursor stands that has just typed it.
fn touches(span: Span, source: SourceId, at: u32) -> bool {
    span.source == source && (span.start..=span.end).contains(&at)
}
