//! Every declared name, and what it stands for. Made once from the headers of all files; afterwards only asked.

use std::sync::atomic::{AtomicBool, Ordering};

use rustc_hash::FxHashMap;

use super::model::{
    Assembly, Caution, Consumable, Energy, Fluid, Id, Joint, Kit, Part, Person, Rig, Scale, Stage, Step,
    Swap, Tool, Vehicle, WeighIn,
};
use super::named::{Declared, Origin};
use crate::base::source::Span;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Entity {
    /// The `plan` block, which has a name too.
    Plan,
    /// The vehicle or machine.
    Vehicle(Id<Vehicle>),
    /// The body too.
    Part(Id<Part>),
    /// A named set of parts.
    Assembly(Id<Assembly>),
    /// What ties parts.
    Joint(Id<Joint>),
    /// What runs out.
    Fluid(Id<Fluid>),
    /// What has to be made safe.
    Energy(Id<Energy>),
    /// What can hurt.
    Caution(Id<Caution>),
    /// The floor too.
    Rig(Id<Rig>),
    /// In the hand, or a container.
    Tool(Id<Tool>),
    /// Used up.
    Consumable(Id<Consumable>),
    /// Tools that the owner has.
    Kit(Id<Kit>),
    /// Somebody who works.
    Person(Id<Person>),
    /// What weighs.
    Scale(Id<Scale>),
    /// Part of the job.
    Stage(Id<Stage>),
    /// Done in one go.
    Step(Id<Step>),
    /// A list of readings.
    WeighIn(Id<WeighIn>),
    /// What comes off for what goes on.
    Swap(Id<Swap>),
}

impl Entity {
    /// As a sentence says it: "it is a joint".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Entity::Plan => "the plan",
            Entity::Vehicle(_) => "the vehicle",
            Entity::Part(_) => "a part",
            Entity::Assembly(_) => "an assembly",
            Entity::Joint(_) => "a joint",
            Entity::Fluid(_) => "a fluid",
            Entity::Energy(_) => "an energy",
            Entity::Caution(_) => "a caution",
            Entity::Rig(_) => "a rig",
            Entity::Tool(_) => "a tool",
            Entity::Consumable(_) => "a consumable",
            Entity::Kit(_) => "a kit",
            Entity::Person(_) => "a person",
            Entity::Scale(_) => "a scale",
            Entity::Stage(_) => "a stage",
            Entity::Step(_) => "a step",
            Entity::WeighIn(_) => "a weigh-in",
            Entity::Swap(_) => "a swap",
        }
    }
}

/// How a block is said for several things at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Each {
    /// Left and right.
    Side,
    /// Front and rear.
    End,
    /// Left and right at both ends.
    Corner,
    /// From, to.
    Count(u32, u32),
}

impl Each {
    /// As a message says it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Each::Side => "each side",
            Each::End => "each end",
            Each::Corner => "each corner",
            Each::Count(..) => "a count",
        }
    }

    /// The tags of its members, in order.
    #[must_use]
    pub fn tags(self) -> Vec<Tag> {
        let word = |left, text: &str| Tag {
            text: text.into(),
            left,
        };
        match self {
            Each::Side => vec![word(Some(true), "left"), word(Some(false), "right")],
            Each::End => vec![word(None, "front"), word(None, "rear")],
            Each::Corner => vec![
                word(Some(true), "front-left"),
                word(Some(false), "front-right"),
                word(Some(true), "rear-left"),
                word(Some(false), "rear-right"),
            ],
            Each::Count(from, to) => (from..=to).map(|n| word(None, &n.to_string())).collect(),
        }
    }
}

/// One member of a sided block: what is added to its name, and on which hand it lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// "left", "front-left", "3".
    pub text: Box<str>,
    /// None where it lies on neither hand.
    pub left: Option<bool>,
}

impl Tag {
    /// As a title ends: "left", "front left", "3".
    #[must_use]
    pub fn spoken(&self) -> String {
        self.text.replace('-', " ")
    }
}

/// What a name stands for, and where it is declared.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// What kind of thing, and which of its kind.
    pub entity: Entity,
    /// Where it is declared.
    pub at: Span,
    serial: usize,
}

/// All that one sided block declares.
#[derive(Debug, Clone)]
pub struct Family {
    /// How it is said.
    pub each: Each,
    /// One for each side or number, in their order.
    pub members: Vec<Entry>,
    /// Place of the block among all declared blocks.
    pub block: usize,
}

/// The result of asking for a name.
#[derive(Debug, Clone)]
pub enum Answer {
    /// A single thing.
    One(Entry),
    /// It names a sided block, and the place does not say which of its members.
    Several(Each),
    /// Nothing is declared by this name.
    Unknown,
}

/// All names of one compilation.
#[derive(Debug, Default)]
pub struct Scope {
    names: FxHashMap<Box<str>, Entry>,
    families: FxHashMap<Box<str>, Family>,
    /// Places of blocks by name, for `same as`.
    used: Vec<AtomicBool>,
    /// Names on headers that were refused: what uses them is no second finding.
    refused: rustc_hash::FxHashSet<Box<str>>,
    by_block: FxHashMap<Box<str>, usize>,
    /// Joints that a part says, each with the part's name.
    in_parts: FxHashMap<Box<str>, Box<str>>,
}

impl Scope {
    /// Declares a name; gives back the earlier entry where there is one, and keeps that.
    pub fn declare(&mut self, name: &str, entity: Entity, at: Span, block: usize) -> Result<Entry, Entry> {
        if let Some(&earlier) = self.names.get(name) {
            return Err(earlier);
        }
        let entry = Entry {
            entity,
            at,
            serial: self.used.len(),
        };
        self.used.push(AtomicBool::new(false));
        self.names.insert(name.into(), entry);
        self.by_block.insert(name.into(), block);
        Ok(entry)
    }

    /// Declares a sided block by its name, which stands for all its members.
    pub fn declare_family(&mut self, name: &str, each: Each, members: Vec<Entry>, block: usize) {
        self.by_block.insert(name.into(), block);
        self.families.insert(name.into(), Family { each, members, block });
    }

    /// What a name stands for in a block for this tag's side. Counts as a use.
    #[must_use]
    pub fn ask(&self, name: &str, tag: Option<&Tag>) -> Answer {
        if let Some(&entry) = self.names.get(name) {
            self.mark(entry);
            return Answer::One(entry);
        }
        let Some(family) = self.families.get(name) else {
            return Answer::Unknown;
        };
        let Some(tag) = tag else {
            return Answer::Several(family.each);
        };
        let last = tag.text.rsplit('-').next().unwrap_or("");
        let first = tag.text.split('-').next().unwrap_or("");
        for suffix in [&*tag.text, last, first] {
            if let Some(&entry) = self.names.get(format!("{name}-{suffix}").as_str()) {
                self.mark(entry);
                return Answer::One(entry);
            }
        }
        Answer::Several(family.each)
    }

    /// A joint that a part says by `fixed to`.
    pub fn say_in_part(&mut self, joint: &str, part: &str) {
        self.in_parts.insert(joint.into(), part.into());
    }

    /// The part that says a joint by `fixed to`.
    #[must_use]
    pub fn part_of(&self, joint: &str) -> Option<&str> {
        self.in_parts.get(joint).map(|part| &**part)
    }

    /// A name that no name may be; what uses it is told nothing more.
    pub fn refuse(&mut self, name: &str) {
        self.refused.insert(name.to_lowercase().into());
    }

    /// A header with this name was refused.
    #[must_use]
    pub fn is_refused(&self, name: &str) -> bool {
        self.refused.contains(name)
    }

    /// Members of a sided block by its name, or by its plural: `both shafts`.
    #[must_use]
    pub fn family(&self, name: &str) -> Option<&Family> {
        let stems = [
            Some(name.to_owned()),
            name.strip_suffix('s').map(str::to_owned),
            name.strip_suffix("es").map(str::to_owned),
            name.strip_suffix("ies").map(|stem| format!("{stem}y")),
        ];
        let family = stems
            .into_iter()
            .flatten()
            .find_map(|stem| self.families.get(stem.as_str()))?;
        for &member in &family.members {
            self.mark(member);
        }
        Some(family)
    }

    /// Members of the sided block of just this name; none is used by this.
    #[must_use]
    pub fn members(&self, name: &str) -> &[Entry] {
        self.families
            .get(name)
            .map_or(&[], |family| family.members.as_slice())
    }

    /// Several things are declared by it, and it stands for one of them only with a side.
    #[must_use]
    pub fn is_family(&self, name: &str) -> bool {
        self.families.contains_key(name)
    }

    /// The block that declares a name, for `same as`.
    #[must_use]
    pub fn block_of(&self, name: &str) -> Option<usize> {
        self.by_block.get(name).copied()
    }

    /// What it stands for; not counted as a use.
    #[must_use]
    pub fn entry(&self, name: &str) -> Option<Entry> {
        self.names.get(name).copied()
    }

    /// Counts as a use.
    pub fn mark(&self, entry: Entry) {
        if let Some(used) = self.used.get(entry.serial) {
            used.store(true, Ordering::Relaxed);
        }
    }

    /// Something names it.
    #[must_use]
    pub fn is_used(&self, entry: Entry) -> bool {
        self.used
            .get(entry.serial)
            .is_some_and(|used| used.load(Ordering::Relaxed))
    }

    /// All declared names but the floor's, in no order.
    #[must_use]
    pub fn declared(&self) -> Vec<Declared> {
        let sided: rustc_hash::FxHashSet<usize> = self
            .families
            .values()
            .flat_map(|family| family.members.iter().map(|member| member.serial))
            .collect();
        let of = |name: &str, entry: &Entry| {
            let block = self.by_block.get(name).copied()?;
            let origin = match (block, entry.entity) {
                // No block declares these.
                (usize::MAX, Entity::Step(_)) => Origin::Derived,
                (usize::MAX, _) => return None,
                _ if self.part_of(name).is_some() => Origin::InPart,
                _ if sided.contains(&entry.serial) => Origin::Side,
                _ => Origin::Written,
            };
            Some(Declared {
                name: name.into(),
                entity: entry.entity,
                at: entry.at,
                origin,
            })
        };
        self.names
            .iter()
            .filter_map(|(name, entry)| of(name, entry))
            .collect()
    }

    /// The declared names that look most like this one, nearest first, at most three.
    #[must_use]
    pub fn near(&self, name: &str, fits: impl Fn(Entity) -> bool) -> Vec<(String, Option<Span>)> {
        let limit = (name.chars().count() / 3).clamp(1, 4);
        let close = |other: &str| {
            let apart = other.len().abs_diff(name.len());
            (apart <= limit + 1 && !opposed(name, other))
                .then(|| strsim::osa_distance(name, other))
                .filter(|&d| d <= limit)
        };
        let single = self
            .names
            .iter()
            .filter(|(_, entry)| fits(entry.entity))
            .filter_map(|(other, entry)| {
                close(other).map(|distance| (distance, other.to_string(), Some(entry.at)))
            });
        let family = self.families.iter().filter_map(|(other, family)| {
            let first = family.members.first().filter(|entry| fits(entry.entity))?;
            close(other).map(|distance| (distance, format!("both {other}"), Some(first.at)))
        });
        // Sorted whole, since the maps have no order of their own.
        let mut all: Vec<_> = single.chain(family).collect();
        all.sort_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1)));
        // What is much farther than the nearest is no guess, only noise.
        let nearest = all.first().map_or(0, |(distance, ..)| *distance);
        all.retain(|(distance, ..)| *distance <= nearest + 1);
        all.into_iter()
            .take(3)
            .map(|(_, other, at)| (other, at))
            .collect()
    }
}

/// Words that turn a name into its contrary: to offer one for the other would send a fitter the wrong way.
const OPPOSED: &[(&str, &str)] = &[
    ("on", "off"),
    ("in", "out"),
    ("left", "right"),
    ("front", "rear"),
    ("old", "new"),
    ("up", "down"),
    ("upper", "lower"),
    ("inner", "outer"),
    ("before", "after"),
    ("fit", "strip"),
];

/// Whether two names differ by contrary words only.
fn opposed(one: &str, other: &str) -> bool {
    let (ones, others): (Vec<&str>, Vec<&str>) = (one.split('-').collect(), other.split('-').collect());
    let contrary = |a: &str, b: &str| OPPOSED.iter().any(|&(x, y)| (a, b) == (x, y) || (a, b) == (y, x));
    ones.len() == others.len()
        && ones.iter().zip(&others).any(|(a, b)| contrary(a, b))
        && ones.iter().zip(&others).all(|(a, b)| a == b || contrary(a, b))
}

#[cfg(test)]
mod tests {
    use super::opposed;

    #[test]
    fn contraries_are_never_offered_for_each_other() {
        assert!(opposed("grille-on", "grille-off"));
        assert!(opposed("mount-left", "mount-right"));
        assert!(!opposed("rack-hose", "rack-hoze"));
        assert!(!opposed("grille-on", "grille-on"));
    }
}
