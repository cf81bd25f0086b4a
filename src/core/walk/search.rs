//! One search from a part towards the ground: what bears it, what bears that, and so on, the ways that lead soonest to the body
//! first, until something stands by itself. Two of them in turn tell what a parted joint left without support. Knows the state of
//! this moment only.

use std::collections::BTreeSet;

use super::intact::Intact;
use super::state::{Grade, Holder, Presence};
use super::support::View;
use crate::plan::model::{Id, Part};

/// So many parts are looked through; from there on each has a bit.
const FEW: usize = 24;

/// Parts that were reached, in order.
#[derive(Default)]
pub struct Reached {
    pub list: Vec<Id<Part>>,
    bits: Vec<u64>,
}

impl Reached {
    fn contains(&self, part: Id<Part>) -> bool {
        match self.bits.get(part.index() / 64) {
            Some(bits) => bits & (1 << (part.index() % 64)) != 0,
            None => self.list.contains(&part),
        }
    }

    /// Whether it is new; of so many parts in all.
    pub fn insert(&mut self, part: Id<Part>, all: usize) -> bool {
        if self.contains(part) {
            return false;
        }
        self.list.push(part);
        if self.list.len() == FEW {
            self.bits = vec![0; all / 64 + 1];
            for at in 0..FEW {
                self.set(self.list[at]);
            }
        } else if self.list.len() > FEW {
            self.set(part);
        }
        true
    }

    fn set(&mut self, part: Id<Part>) {
        if let Some(bits) = self.bits.get_mut(part.index() / 64) {
            *bits |= 1 << (part.index() % 64);
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// Not yet; there is more to look at.
    Nothing,
    Ground,
    /// Nothing, and there is no more to look at.
    NoGround,
}

pub struct Search<'a> {
    view: View<'a>,
    without: Option<Id<Part>>,
    /// What is told to fall counts for what it is, and not as borne.
    blind: bool,
    reached: Reached,
    /// Parts on the way, each with how much of it was looked at: itself first, then its joints.
    open: Vec<(Id<Part>, usize)>,
}

impl<'a> Search<'a> {
    pub fn new(view: View<'a>, part: Id<Part>, without: Option<Id<Part>>, blind: bool) -> Self {
        let mut reached = Reached::default();
        reached.insert(part, view.layout.parts.len());
        Self {
            view,
            without,
            blind,
            reached,
            open: vec![(part, 0)],
        }
    }

    /// Looks to the end: whether the ground was found.
    pub fn finds_ground(&mut self) -> bool {
        loop {
            match self.look() {
                Found::Nothing => {}
                found => return found == Found::Ground,
            }
        }
    }

    /// All that was reached.
    pub fn reached(&self) -> BTreeSet<Id<Part>> {
        self.reached.list.iter().copied().collect()
    }

    /// Looks at one thing more.
    pub fn look(&mut self) -> Found {
        let Some((here, nth)) = self.open.last_mut() else {
            return Found::NoGround;
        };
        let (here, now) = (*here, *nth);
        *nth += 1;
        let view = self.view;
        let Some(way) = now.checked_sub(1) else {
            return self.look_at(here);
        };
        let facts = &view.layout.parts[here];
        let Some(&joint) = facts.ways.get(way) else {
            self.open.pop();
            return Found::Nothing;
        };
        let Some(other) = view.layout.joints[joint].other(here) else {
            return Found::Nothing;
        };
        // Off things that are tied together are one group on the bench, whatever ties them; and what no joint carries is borne by
        // whatever ties it, once it was off.
        let off = view.state.is_off(here);
        let bears = view.layout.joints[joint].bears(here)
            || (facts.carried_anyhow && !off)
            || (off && view.state.is_off(other));
        if bears && view.ties(joint) {
            return self.reach(other);
        }
        Found::Nothing
    }

    /// What bears a part beside its joints.
    fn look_at(&mut self, here: Id<Part>) -> Found {
        let view = self.view;
        view.layout.looked.add(1);
        let whole = |intact: &Intact| intact.carries(view.layout, here, self.without);
        if view.is_body(here) || view.intact.is_some_and(whole) {
            return Found::Ground;
        }
        let state = &view.state.parts[here];
        let off = state.presence == Presence::Off;
        if off && state.down {
            return Found::Ground;
        }
        let facts = &view.layout.parts[here];
        if facts.carried_anyhow && !off {
            let from_the_start = !state.was_off && facts.in_place_of.is_none();
            if from_the_start || facts.joints.is_empty() {
                return Found::Ground;
            }
        }
        let mut bearers = Vec::new();
        for (holder, _) in view.state.holders(here) {
            match holder {
                Holder::Rig(rig) => match view.layout.borne[rig] {
                    Some(bearer) => bearers.push(bearer),
                    None => return Found::Ground,
                },
                Holder::Person(_) | Holder::Repair => return Found::Ground,
            }
        }
        bearers.extend(view.state.rests.get(&here));
        bearers.extend(view.state.ties.get(&here).map(|tie| tie.to));
        for bearer in bearers {
            if self.reach(bearer) == Found::Ground {
                return Found::Ground;
            }
        }
        Found::Nothing
    }

    fn reach(&mut self, next: Id<Part>) -> Found {
        if Some(next) == self.without {
            return Found::Nothing;
        }
        let falls = self.view.state.parts[next]
            .suppressed
            .is_some_and(|suppressed| suppressed.grade == Grade::Falls);
        // What is told to fall counts as borne for all others.
        if self.view.is_body(next) || (falls && !self.blind) {
            return Found::Ground;
        }
        if self.reached.insert(next, self.view.layout.parts.len()) {
            self.open.push((next, 0));
        }
        Found::Nothing
    }
}

impl View<'_> {
    /// Which ends of a joint that was just parted have lost their support; both stood before. Looks from both ends in turn, and no
    /// further than the smaller side: when that has no ground, the other side has all the ground that there was.
    pub fn split(self, ends: [Id<Part>; 2]) -> Vec<Id<Part>> {
        let [a, b] = ends;
        let (mut one, mut two) = (
            Search::new(self, a, None, false),
            Search::new(self, b, None, false),
        );
        let (mut first, mut second) = (Found::Nothing, Found::Nothing);
        loop {
            if first == Found::Nothing {
                first = one.look();
            }
            if second == Found::Nothing {
                second = two.look();
            }
            let lost = match [first, second] {
                [Found::NoGround, Found::NoGround] => vec![a, b],
                [Found::NoGround, _] => vec![a],
                [_, Found::NoGround] => vec![b],
                [Found::Ground, Found::Ground] => Vec::new(),
                [Found::Ground, Found::Nothing] if two.reached.contains(a) => Vec::new(),
                [Found::Nothing, Found::Ground] if one.reached.contains(b) => Vec::new(),
                // They are still one.
                [Found::Nothing, Found::Nothing] if one.reached.contains(b) && two.reached.contains(a) => {
                    Vec::new()
                }
                _ => continue,
            };
            return lost;
        }
    }
}
