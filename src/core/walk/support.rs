//! What bears what: searches from a part towards the ground, stopping at the first anchor. Knows the state of this
//! moment only, and tells nothing; what a loss means is asked elsewhere.

use std::collections::BTreeSet;

use super::intact::Intact;
use super::layout::Layout;
use super::search::{Reached, Search};
use super::springs::Keeping;
use super::state::{Grade, Holder, Presence, State};
use crate::plan::model::{Id, Joint, Part, Rig};

/// The machine at one moment.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    pub layout: &'a Layout,
    pub state: &'a State,
    /// Which ways to the body are whole, where somebody keeps count of it.
    pub intact: Option<&'a Intact>,
}

/// What is taken away while a search asks what would still bear something.
#[derive(Clone, Copy, Debug, Default)]
pub struct But {
    pub rig: Option<Id<Rig>>,
    /// The body, with all that stands on the vehicle.
    pub body: bool,
    /// Whoever holds something by hand.
    pub hands: bool,
}

impl View<'_> {
    /// A joint ties unless it is out: its fixings, or for a slide or a pressed joint its parting.
    #[must_use]
    pub fn ties(self, joint: Id<Joint>) -> bool {
        let (facts, state) = (&self.layout.joints[joint], &self.state.joints[joint]);
        if state.broken || state.setting || facts.ends.is_none() {
            return false;
        }
        if facts.slides || facts.pressed {
            !state.parted
        } else {
            state.out < facts.fixings || state.pins.is_some()
        }
    }

    /// Joints that are closed, or what is in their place, keep an energy in.
    #[must_use]
    pub fn keeps(self, keeping: &Keeping) -> bool {
        keeping.holds(|joint| {
            let heirs = self.layout.line_of_joint(joint);
            heirs.into_iter().any(|heir| self.keeps_fast(heir))
        }) && self.paths_hold(keeping)
    }

    /// Parts that a joint ties to this one, with the joint.
    pub fn tied(self, part: Id<Part>) -> impl Iterator<Item = (Id<Joint>, Id<Part>)> {
        let joints = &self.layout.parts[part].joints;
        joints.iter().filter_map(move |&joint| {
            let other = self.layout.joints[joint].other(part)?;
            self.ties(joint).then_some((joint, other))
        })
    }

    #[must_use]
    pub fn is_body(self, part: Id<Part>) -> bool {
        self.layout.body == Some(part)
    }

    /// Whether this part is an anchor by itself, and else what could bear it.
    fn borne(self, part: Id<Part>, but: But, bearers: &mut Vec<Id<Part>>) -> bool {
        self.layout.looked.add(1);
        if self.is_body(part) {
            return !but.body;
        }
        let here = &self.state.parts[part];
        let off = here.presence == Presence::Off;
        if off && here.down {
            return true;
        }
        for (holder, _) in self.state.holders(part) {
            match holder {
                Holder::Rig(rig) if but.rig == Some(rig) => {}
                Holder::Rig(rig) => match self.layout.borne[rig] {
                    Some(bearer) => bearers.push(bearer),
                    None => return true,
                },
                Holder::Person(_) if but.hands => {}
                Holder::Person(_) | Holder::Repair => return true,
            }
        }
        let facts = &self.layout.parts[part];
        if facts.carried_anyhow && !off {
            let from_the_start = !here.was_off && facts.in_place_of.is_none();
            if from_the_start || facts.joints.is_empty() {
                return !but.body;
            }
            bearers.extend(self.tied(part).map(|(_, other)| other));
        }
        bearers.extend(self.state.rests.get(&part));
        bearers.extend(self.state.ties.get(&part).map(|tie| tie.to));
        for (joint, other) in self.tied(part) {
            // Off things that are tied together are one group on the bench, whatever ties them.
            let bench = off && self.state.is_off(other);
            if bench || self.layout.joints[joint].bears(part) {
                bearers.push(other);
            }
        }
        false
    }

    /// Whether the ground reaches this part, with another one, a rig or the body taken away. If not, everything that was searched: all of
    /// it is without support.
    ///
    /// # Errors
    /// The parts without support.
    pub fn search_but(
        self,
        part: Id<Part>,
        without: Option<Id<Part>>,
        blind: bool,
        but: But,
    ) -> Result<(), BTreeSet<Id<Part>>> {
        let all = self.layout.parts.len();
        let mut seen = Reached::default();
        seen.insert(part, all);
        let mut open = vec![part];
        let mut bearers = Vec::new();
        while let Some(here) = open.pop() {
            bearers.clear();
            if self.borne(here, but, &mut bearers) {
                return Ok(());
            }
            for &next in &bearers {
                if Some(next) == without {
                    continue;
                }
                let falls = self.state.parts[next]
                    .suppressed
                    .is_some_and(|suppressed| suppressed.grade == Grade::Falls);
                // What is told to fall counts as borne for all others.
                if (self.is_body(next) && !but.body) || (falls && !blind) {
                    return Ok(());
                }
                if seen.insert(next, all) {
                    open.push(next);
                }
            }
        }
        Err(seen.list.into_iter().collect())
    }

    /// Whether the ground reaches this part, with another one taken away.
    #[must_use]
    pub fn stands(self, part: Id<Part>, without: Option<Id<Part>>, blind: bool) -> bool {
        let whole = |intact: &Intact| intact.carries(self.layout, part, without);
        self.intact.is_some_and(whole) || Search::new(self, part, without, blind).finds_ground()
    }

    /// All that was searched, if the ground does not reach this part: all of it is without support.
    fn lost(self, part: Id<Part>) -> Option<BTreeSet<Id<Part>>> {
        let mut search = Search::new(self, part, None, false);
        (!search.finds_ground()).then(|| search.reached())
    }

    /// Everything that hangs on nothing.
    #[must_use]
    pub fn adrift(self) -> BTreeSet<Id<Part>> {
        let mut all = BTreeSet::new();
        for (part, _) in self.state.parts.iter() {
            if !all.contains(&part) && !self.stands(part, None, false) {
                all.extend(self.lost(part).into_iter().flatten());
            }
        }
        all
    }

    #[must_use]
    pub fn supported(self, part: Id<Part>) -> bool {
        self.stands(part, None, false)
    }

    /// Whether carrying joints alone lead from this part to the body.
    #[must_use]
    pub fn carried_by_body(self, part: Id<Part>) -> bool {
        let mut seen = BTreeSet::from([part]);
        let mut open = vec![part];
        while let Some(here) = open.pop() {
            for (joint, other) in self.tied(here) {
                if !self.layout.joints[joint].bears(here) {
                    continue;
                }
                if self.is_body(other) {
                    return true;
                }
                if seen.insert(other) {
                    open.push(other);
                }
            }
        }
        false
    }

    /// Whether all fixings of a joint are in, tight or not.
    fn is_whole(self, joint: Id<Joint>) -> bool {
        let state = &self.state.joints[joint];
        let whole = self.ties(joint) && state.out == 0 && state.pins.is_none() && state.drawn == 0.0;
        // What a repair took out was told.
        whole || state.mended
    }

    /// The joints that lack fixings, of the first thing on the way where nothing leads on to the body; none where a way is whole.
    #[must_use]
    pub fn loose_under(self, bearer: Id<Part>) -> Vec<Id<Joint>> {
        let all = self.layout.parts.len();
        let mut seen = Reached::default();
        seen.insert(bearer, all);
        let mut open = vec![bearer];
        let mut lacking: Vec<Id<Joint>> = Vec::new();
        let lies = |part: Id<Part>| self.state.rests.get(&part).copied();
        while let Some(here) = open.pop() {
            self.layout.looked.add(1);
            let facts = &self.layout.parts[here];
            // The body may stand on its feet by its weight alone.
            let under_body = self.layout.body.and_then(lies) == Some(here);
            let untouched = facts.carried_anyhow && !self.state.parts[here].was_off;
            if self.is_body(here) || under_body || untouched {
                return Vec::new();
            }
            let mut next: Vec<Id<Part>> = lies(here).into_iter().collect();
            let mut of_this: Vec<Id<Joint>> = Vec::new();
            for &joint in &facts.joints {
                let joined = &self.layout.joints[joint];
                let Some(other) = joined.other(here).filter(|other| !self.state.is_off(*other)) else {
                    continue;
                };
                if !(joined.carries || facts.carried_anyhow) {
                    continue;
                }
                if self.is_whole(joint) {
                    next.push(other);
                } else if self.wanted_here(joint) {
                    of_this.push(joint);
                }
            }
            if lacking.is_empty() {
                lacking = of_this;
            }
            open.extend(next.into_iter().filter(|&part| seen.insert(part, all)));
        }
        lacking
    }

    /// Neither given up nor replaced by another joint that ties.
    fn wanted_here(self, joint: Id<Joint>) -> bool {
        let facts = &self.layout.joints[joint];
        let heirs = self.layout.line_of_joint(joint);
        let tied = |heir: &Id<Joint>| *heir != joint && self.ties(*heir);
        let waits = facts.in_place_of.is_some_and(|old| self.ties(old));
        !facts.gone && !waits && !heirs.iter().any(tied)
    }

    /// All that falls when this part has no support: what bears it, and what it bears.
    #[must_use]
    pub fn falling(self, part: Id<Part>) -> Option<BTreeSet<Id<Part>>> {
        let mut all = self.lost(part)?;
        loop {
            let mut more = BTreeSet::new();
            let rests = self.state.rests.iter().map(|(on, under)| (*on, *under));
            let ties = self.state.ties.iter().map(|(hung, tie)| (*hung, tie.to));
            let borne = self.state.holds.keys().filter_map(|(held, holder)| match holder {
                Holder::Rig(rig) => Some((*held, self.layout.borne[*rig]?)),
                _ => None,
            });
            for (above, under) in rests.chain(ties).chain(borne) {
                if all.contains(&under)
                    && !all.contains(&above)
                    && let Some(lost) = self.lost(above)
                {
                    more.extend(lost);
                }
            }
            if more.is_empty() {
                return Some(all);
            }
            all.extend(more);
        }
    }

    /// What rests on this part, is tied up to it, or is on a rig that it bears.
    pub fn hung_on(self, part: Id<Part>) -> Vec<Id<Part>> {
        let rests = self.state.rests.iter().filter(|(_, under)| **under == part);
        let ties = self.state.ties.iter().filter(|(_, tie)| tie.to == part);
        let mut all: Vec<Id<Part>> = rests
            .map(|(on, _)| *on)
            .chain(ties.map(|(hung, _)| *hung))
            .collect();
        for (rig, bearer) in self.layout.borne.iter() {
            if *bearer == Some(part) {
                all.extend(self.state.on_rig(rig).map(|(held, _)| held));
            }
        }
        all
    }

    /// Supports of a part: joints, ties and rests that carry, and whose other end stands without it. Counted over
    /// `over`, or over all joints; no further than `enough`.
    #[must_use]
    pub fn degree(self, part: Id<Part>, over: Option<&[Id<Joint>]>, enough: u32) -> u32 {
        let counted = |joint: Id<Joint>| over.is_none_or(|over| over.contains(&joint));
        let ways = self.layout.parts[part].ways.iter();
        let joints = ways
            .filter(|&&joint| counted(joint) && self.layout.joints[joint].bears(part) && self.ties(joint))
            .filter_map(|&joint| self.layout.joints[joint].other(part));
        let rest = self.state.rests.get(&part).copied();
        let tie = self.state.ties.get(&part).map(|tie| tie.to);
        let mut count = 0;
        for other in joints.chain(rest).chain(tie) {
            if self.stands(other, Some(part), false) {
                count += 1;
                if count >= enough {
                    break;
                }
            }
        }
        count
    }

    #[must_use]
    pub fn has_rig(self, part: Id<Part>) -> bool {
        self.state
            .holders(part)
            .any(|(holder, _)| matches!(holder, Holder::Rig(_)))
    }

    #[must_use]
    pub fn is_held(self, part: Id<Part>) -> bool {
        self.state.holders(part).next().is_some()
    }

    /// The off things that are tied to this off thing, itself among them.
    #[must_use]
    pub fn bench_group(self, parts: &BTreeSet<Id<Part>>) -> BTreeSet<Id<Part>> {
        let mut all = parts.clone();
        let mut open: Vec<Id<Part>> = parts.iter().copied().collect();
        while let Some(here) = open.pop() {
            for (_, other) in self.tied(here) {
                if self.state.is_off(other) && all.insert(other) {
                    open.push(other);
                }
            }
            // A coil in its seat has no joint, and goes along.
            for (&on, _) in self.state.rests.iter().filter(|(_, under)| **under == here) {
                let own = self.layout.parts[on].rests_on.is_some();
                if own && self.state.is_off(on) && all.insert(on) {
                    open.push(on);
                }
            }
        }
        all
    }

    /// The island of this part: all that carrying joints lead to without passing the body; nothing if more joints than `most` would
    /// have to be looked at.
    #[must_use]
    pub fn island(self, part: Id<Part>, most: usize) -> Option<BTreeSet<Id<Part>>> {
        let mut all = BTreeSet::from([part]);
        let mut open = vec![part];
        let mut left = most;
        while let Some(here) = open.pop() {
            left = left.checked_sub(self.layout.parts[here].joints.len())?;
            for (joint, other) in self.tied(here) {
                if self.layout.joints[joint].carries && !self.is_body(other) && all.insert(other) {
                    open.push(other);
                }
            }
        }
        Some(all)
    }

    /// Whether a rig can move with these parts: it has one of them, or stands on one.
    #[must_use]
    pub fn rig_moves(self, rig: Id<Rig>, parts: &BTreeSet<Id<Part>>) -> bool {
        match self.layout.borne[rig] {
            Some(bearer) => parts.contains(&bearer),
            None => self.state.on_rig(rig).any(|(part, _)| parts.contains(&part)),
        }
    }
}
