//! A list beside one of the plan's lists: a value for each of its ids. Knows neither plans nor machines.

use std::marker::PhantomData;
use std::ops;

use crate::plan::model::Id;

/// One `V` for each `K` of the plan.
#[derive(Debug)]
pub struct Table<K, V> {
    all: Vec<V>,
    of: PhantomData<fn() -> K>,
}

// By hand, since a derived one would ask `K` to be `Clone` too.
impl<K, V: Clone> Clone for Table<K, V> {
    fn clone(&self) -> Self {
        Self::new(self.all.clone())
    }
}

impl<K, V: PartialEq> PartialEq for Table<K, V> {
    fn eq(&self, other: &Self) -> bool {
        self.all == other.all
    }
}

impl<K, V> Default for Table<K, V> {
    fn default() -> Self {
        Self {
            all: Vec::new(),
            of: PhantomData,
        }
    }
}

impl<K, V> Table<K, V> {
    /// One for each, in order of declaration.
    pub fn new(all: Vec<V>) -> Self {
        Self { all, of: PhantomData }
    }

    /// In order of declaration, with ids.
    pub fn iter(&self) -> impl Iterator<Item = (Id<K>, &V)> {
        self.all
            .iter()
            .enumerate()
            .map(|(index, value)| (Id::new(index), value))
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
}

impl<K, V> ops::Index<Id<K>> for Table<K, V> {
    type Output = V;
    #[expect(
        clippy::indexing_slicing,
        reason = "a table is made as long as the list whose ids it takes"
    )]
    fn index(&self, id: Id<K>) -> &V {
        &self.all[id.index()]
    }
}

impl<K, V> ops::IndexMut<Id<K>> for Table<K, V> {
    #[expect(
        clippy::indexing_slicing,
        reason = "a table is made as long as the list whose ids it takes"
    )]
    fn index_mut(&mut self, id: Id<K>) -> &mut V {
        &mut self.all[id.index()]
    }
}
