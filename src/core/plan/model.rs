//! The resolved plan. Every declared thing has an id; every mention of a name keeps the place where it was
//! made, so that a finding can mark it.

use std::marker::PhantomData;
use std::{fmt, hash, ops};

use crate::base::date::Date;
use crate::base::source::Span;

pub mod acts;
pub mod joints;
pub mod plan;
pub mod rigs;
pub mod steps;
pub mod things;
pub mod weighings;

pub use acts::*;
pub use joints::*;
pub use plan::*;
pub use rigs::*;
pub use steps::*;
pub use things::*;
pub use weighings::*;

pub use super::vocabulary::drives::DriveKind;
pub use super::vocabulary::hazards::Hazard;
pub use super::vocabulary::joint_kinds::JointKind;

/// A place in one of the plan's lists. Ids of one kind are numbered in order of declaration.
pub struct Id<T> {
    index: u32,
    of: PhantomData<fn() -> T>,
}

impl<T> Id<T> {
    /// The nth of its kind, from 0.
    #[must_use]
    pub fn new(index: usize) -> Self {
        // A text has fewer than 2^32 bytes, so fewer declarations than that.
        Self {
            index: u32::try_from(index).unwrap_or(u32::MAX),
            of: PhantomData,
        }
    }

    /// From 0, in the plan's list of its kind.
    #[must_use]
    pub fn index(self) -> usize {
        self.index as usize
    }
}

impl<T> Clone for Id<T> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T> Copy for Id<T> {}
impl<T> PartialEq for Id<T> {
    fn eq(&self, other: &Self) -> bool {
        self.index == other.index
    }
}
impl<T> Eq for Id<T> {}
impl<T> PartialOrd for Id<T> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl<T> Ord for Id<T> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.index.cmp(&other.index)
    }
}
impl<T> hash::Hash for Id<T> {
    fn hash<H: hash::Hasher>(&self, state: &mut H) {
        self.index.hash(state);
    }
}
impl<T> fmt::Debug for Id<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{}", self.index)
    }
}

/// A list whose places are [`Id`]s. `list[id]` cannot miss: ids are only made with the list that they index.
#[derive(Debug, Clone)]
pub struct List<T> {
    all: Vec<T>,
}

impl<T> Default for List<T> {
    fn default() -> Self {
        Self { all: Vec::new() }
    }
}

impl<T> List<T> {
    /// Adds one at the end, and says its id.
    pub fn push(&mut self, item: T) -> Id<T> {
        self.all.push(item);
        Id::new(self.all.len() - 1)
    }

    /// How many are declared.
    #[must_use]
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// None is declared.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// In order of declaration, with ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (Id<T>, &T)> + ExactSizeIterator {
        self.all
            .iter()
            .enumerate()
            .map(|(index, item)| (Id::new(index), item))
    }

    /// In order of declaration.
    pub fn values(&self) -> std::slice::Iter<'_, T> {
        self.all.iter()
    }

    /// The same, to be changed.
    pub fn values_mut(&mut self) -> std::slice::IterMut<'_, T> {
        self.all.iter_mut()
    }

    /// All ids, in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = Id<T>> + use<T> {
        (0..self.all.len()).map(Id::new)
    }

    /// None for an id of another plan.
    #[must_use]
    pub fn get(&self, id: Id<T>) -> Option<&T> {
        self.all.get(id.index())
    }
}

impl<T> From<Vec<T>> for List<T> {
    fn from(all: Vec<T>) -> Self {
        Self { all }
    }
}

impl<T> ops::Index<Id<T>> for List<T> {
    type Output = T;
    #[expect(
        clippy::indexing_slicing,
        reason = "ids are only made together with their list"
    )]
    fn index(&self, id: Id<T>) -> &T {
        &self.all[id.index()]
    }
}

impl<T> ops::IndexMut<Id<T>> for List<T> {
    #[expect(
        clippy::indexing_slicing,
        reason = "ids are only made together with their list"
    )]
    fn index_mut(&mut self, id: Id<T>) -> &mut T {
        &mut self.all[id.index()]
    }
}

/// A value and the statement, or part of one, that said it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Said<T> {
    /// What is said.
    pub value: T,
    /// Where.
    pub at: Span,
}

impl<T> Said<T> {
    /// A value with the place that said it.
    pub fn new(value: T, at: Span) -> Self {
        Self { value, at }
    }
}

/// A text in quotes, or a title.
pub type Text = Box<str>;

/// A figure that may be still to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading<T> {
    /// `to come`: nobody has read it yet.
    ToCome,
    /// Read.
    Is(T),
}

impl<T: Copy> Reading<T> {
    /// None while it is to come.
    #[must_use]
    pub fn known(self) -> Option<T> {
        match self {
            Reading::ToCome => None,
            Reading::Is(value) => Some(value),
        }
    }
}

/// What every declared thing has.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// As the plan writes it, with its side: `shaft-left`.
    pub name: Text,
    /// Place of the name.
    pub at: Span,
    /// Its title; for one side of a sided block the side is in it ("Upright, left").
    pub title: Option<Text>,
    /// The whole block, header to last statement.
    pub block: Span,
    /// In the order written.
    pub notes: Vec<Note>,
    /// What it was called on paper that is printed; of steps and joints.
    pub was: Option<Text>,
    /// From a workshop that several plans share.
    pub shared: bool,
}

impl Head {
    /// The title, or where that says nothing the name with spaces for hyphens: what a page calls it.
    #[must_use]
    pub fn called(&self) -> String {
        match &self.title {
            Some(title) if title.chars().any(char::is_alphanumeric) => title.to_string(),
            _ => self.name.replace('-', " "),
        }
    }
}

/// CommonMark text of a `note`, its indentation taken off.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// CommonMark.
    pub text: Text,
    /// Where it begins.
    pub at: Span,
}

/// Where a reading, photograph or sheet belongs in time.
pub type Dated = Said<Date>;
