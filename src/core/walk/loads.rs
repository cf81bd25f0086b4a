//! What bears how much, as the walk goes on: which parts the vehicle bears alone, what its ends stand on, and what would fall if a rig were
//! taken away. Kept up to date by what each act changed, and told as a list of changes, so that nobody has to add up anything again.
//! Knows sets of parts, neither masses nor wording.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::state::{Grade, Holder, Stand};
use super::support::{But, View};
use super::walker::Walker;
use crate::base::source::Span;
use crate::plan::model::{End, Fluid, Id, Part, Person, Rig, Step};

/// One change of what bears what, at one act.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadEvent {
    /// None for the machine as it was found.
    pub step: Option<Id<Step>>,
    /// The whole act, and the word in it that is meant.
    pub act: Span,
    /// The word in it that is meant.
    pub at: Span,
    /// What bears less, and what bears more.
    pub change: LoadChange,
}

/// What a load change does.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadChange {
    /// Parts that would no longer lose their support if the vehicle were taken away, and parts that now would.
    Vehicle(Delta),
    /// What the ends of the vehicle stand on from here on.
    Stand {
        /// On its wheels, or on a rig.
        front: Stand,
        /// On its wheels, or on a rig.
        rear: Stand,
    },
    /// What a rig bears from here on.
    Rig(RigChange),
    /// People have hold of parts: of these, and with them of all that goes along and stands on it.
    Hands {
        /// Those that the act names.
        named: Vec<Id<Part>>,
        /// These, and all that goes along and stands on them.
        parts: Vec<Id<Part>>,
        /// Who has hold of them.
        people: Vec<Id<Person>>,
    },
    /// What a tie has to bear from here on, by the act that tied it: what was tied up, and all that goes with it.
    Tied {
        /// The act that tied it.
        tie: Span,
        /// What it has to bear.
        parts: Vec<Id<Part>>,
    },
    /// A part lies on another one from here on, or on none.
    Lies {
        /// What lies there.
        part: Id<Part>,
        /// None where it does not lie any longer.
        on: Option<Id<Part>>,
    },
    /// A fluid runs out, or is in again.
    Fluid {
        /// What it weighs, its parts weigh more or less.
        fluid: Id<Fluid>,
        /// It is in again.
        full: bool,
    },
}

/// Parts that leave a set, and parts that join it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Delta {
    /// What is borne no longer.
    pub leave: Vec<Id<Part>>,
    /// What is borne from here on.
    pub join: Vec<Id<Part>>,
}

impl Delta {
    /// Nothing leaves, and nothing joins.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.leave.is_empty() && self.join.is_empty()
    }
}

/// What one rig bears from here on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RigChange {
    /// Of a set of pieces all together.
    pub rig: Id<Rig>,
    /// All that would lose its support if this rig alone were taken away.
    pub alone: Delta,
    /// What it may bear a share of: all that carrying joints tie to what it holds.
    pub share: Delta,
    /// What it was put under by this act, where it was.
    pub placed: Vec<Id<Part>>,
}

/// What one held part brings upon its rig; each list sorted.
#[derive(Debug, Clone, Default)]
struct Brought {
    alone: Rc<Vec<Id<Part>>>,
    share: Rc<Vec<Id<Part>>>,
}

/// What an act changed, as it was.
#[derive(Debug, Default)]
struct Before {
    rigs: Vec<(Id<Rig>, Id<Part>)>,
    /// What the parts leant on.
    below: Vec<Id<Part>>,
}

/// Parts that a rig has or had, with what each brings upon it now.
type Bringing = Vec<(Id<Part>, Option<Brought>)>;

/// How often each part of a set was brought, so that the last one to go takes it away.
type Counts = BTreeMap<Id<Part>, u32>;

#[derive(Debug, Default)]
struct OnRig {
    brought: BTreeMap<Id<Part>, Brought>,
    alone: Counts,
    share: Counts,
}

/// What the walker keeps to see changes.
#[derive(Debug, Default)]
pub struct Observer {
    /// Parts that the vehicle does not bear alone.
    off_vehicle: Vec<bool>,
    stand: (Stand, Stand),
    /// As last seen: which rigs have a part, and what it lies on or hangs from; and the same turned round.
    rigs: BTreeMap<Id<Part>, Vec<Id<Rig>>>,
    leans: BTreeMap<Id<Part>, Vec<Id<Part>>>,
    above: BTreeMap<Id<Part>, BTreeSet<Id<Part>>>,
    loads: BTreeMap<Id<Rig>, OnRig>,
    /// What each tie was last seen to bear.
    tied: BTreeMap<Span, Vec<Id<Part>>>,
    /// For each part the number of the search that saw it last.
    seen: Vec<u32>,
    search: u32,
    /// Nothing was held and nothing leant on anything when it was last looked at.
    quiet: bool,
    /// In the order of the acts.
    pub events: Vec<LoadEvent>,
}

impl Observer {
    /// Whether this search sees the part for the first time.
    fn see(&mut self, part: Id<Part>) -> bool {
        match self.seen.get_mut(part.index()) {
            Some(seen) if *seen != self.search => {
                *seen = self.search;
                true
            }
            _ => false,
        }
    }

    fn is_off_vehicle(&self, part: Id<Part>) -> bool {
        self.off_vehicle.get(part.index()) == Some(&true)
    }

    fn set_off_vehicle(&mut self, part: Id<Part>, off: bool) {
        if let Some(place) = self.off_vehicle.get_mut(part.index()) {
            *place = off;
        }
    }
}

/// What is in the first of two sorted lists alone.
fn only_in(these: &[Id<Part>], those: &[Id<Part>]) -> impl Iterator<Item = Id<Part>> {
    let mut those = those.iter().peekable();
    these.iter().copied().filter(move |part| {
        while those.next_if(|other| *other < part).is_some() {}
        those.peek() != Some(&part)
    })
}

/// One bringer brings the new list and the old one no longer, both sorted.
fn count(counts: &mut Counts, old: &[Id<Part>], new: &[Id<Part>], delta: &mut Delta) {
    for part in only_in(old, new) {
        let now = counts.entry(part).or_default();
        *now = now.saturating_sub(1);
        if *now == 0 {
            counts.remove(&part);
            delta.leave.push(part);
        }
    }
    for part in only_in(new, old) {
        let now = counts.entry(part).or_default();
        *now += 1;
        if *now == 1 {
            delta.join.push(part);
        }
    }
}

/// What left and came back within one act did not move.
fn settle(delta: &mut Delta) {
    delta.leave.sort_unstable();
    delta.join.sort_unstable();
    let stays: BTreeSet<Id<Part>> = delta
        .leave
        .iter()
        .copied()
        .filter(|part| delta.join.binary_search(part).is_ok())
        .collect();
    if !stays.is_empty() {
        delta.leave.retain(|part| !stays.contains(part));
        delta.join.retain(|part| !stays.contains(part));
    }
}

impl Walker<'_> {
    /// Before the first act.
    pub fn observe_start(&mut self) {
        let parts: Vec<Id<Part>> = self.layout.parts.iter().map(|(id, _)| id).collect();
        self.observer.seen = vec![0; parts.len()];
        self.observer.off_vehicle = vec![false; parts.len()];
        // What rests on something from the first is a load like any other.
        let before = self.refresh(&parts);
        for island in self.islands(&parts, before.below) {
            let off = self.is_borne_elsewhere(&island);
            for part in island {
                self.observer.set_off_vehicle(part, off);
            }
        }
        self.observer.stand = (self.state.front, self.state.rear);
    }

    /// After an act, or one name of its list: looks at what it changed, and at nothing else.
    pub fn observe(&mut self, changed: &[Id<Part>]) {
        // A trial, or a walk for the sake of its last state: nobody asks for the loads.
        if self.observer.seen.is_empty() {
            return;
        }
        if !changed.is_empty() {
            let before = self.refresh(changed);
            let islands = self.islands(changed, before.below);
            self.observe_vehicle(&islands);
            self.observe_rigs(&islands, &before.rigs);
            self.observe_ties(changed, &islands);
        }
        let stand = (self.state.front, self.state.rear);
        if stand != self.observer.stand {
            self.observer.stand = stand;
            self.push_event(LoadChange::Stand {
                front: stand.0,
                rear: stand.1,
            });
        }
    }

    /// These, and what leans on them, as it was last seen.
    pub fn with_all_above(&self, mut parts: BTreeSet<Id<Part>>) -> BTreeSet<Id<Part>> {
        let mut open: Vec<Id<Part>> = parts.iter().copied().collect();
        while let Some(here) = open.pop() {
            for &above in self.observer.above.get(&here).into_iter().flatten() {
                if parts.insert(above) {
                    open.push(above);
                }
            }
        }
        parts
    }

    /// What is no change of parts, as it happens.
    pub fn observe_at_once(&mut self, change: LoadChange) {
        if !self.observer.seen.is_empty() {
            self.push_event(change);
        }
    }

    fn push_event(&mut self, change: LoadChange) {
        let event = LoadEvent {
            step: self.step,
            act: self.act,
            at: self.at,
            change,
        };
        self.observer.events.push(event);
    }

    /// Something has or had this part, or it leans or leant on something.
    fn leans_or_is_held(&self, part: Id<Part>) -> bool {
        let (state, observer) = (&self.state, &self.observer);
        state.holders(part).next().is_some()
            || (self.layout.parts[part].carried_anyhow && state.parts[part].was_off)
            || state.rests.contains_key(&part)
            || state.ties.contains_key(&part)
            || observer.rigs.contains_key(&part)
            || observer.leans.contains_key(&part)
    }

    /// Sees anew which rigs have these parts and what they lean on. Gives what it was before.
    fn refresh(&mut self, changed: &[Id<Part>]) -> Before {
        let mut before = Before::default();
        for &part in changed {
            if !self.leans_or_is_held(part) {
                continue;
            }
            let mut rigs = Vec::new();
            let mut leans: Vec<Id<Part>> = Vec::new();
            for (holder, _) in self.state.holders(part) {
                if let Holder::Rig(rig) = holder {
                    rigs.push(rig);
                    leans.extend(self.layout.borne[rig]);
                }
            }
            leans.extend(self.state.rests.get(&part));
            leans.extend(self.state.ties.get(&part).map(|tie| tie.to));
            let (here, facts) = (&self.state.parts[part], &self.layout.parts[part]);
            if facts.carried_anyhow && here.was_off && !self.state.is_off(part) {
                leans.extend(self.view().tied(part).map(|(_, other)| other));
            }
            let observer = &mut self.observer;
            let old = if rigs.is_empty() {
                observer.rigs.remove(&part)
            } else {
                observer.rigs.insert(part, rigs)
            };
            before
                .rigs
                .extend(old.into_iter().flatten().map(|rig| (rig, part)));
            for under in observer.leans.remove(&part).into_iter().flatten() {
                before.below.push(under);
                if let Some(above) = observer.above.get_mut(&under) {
                    above.remove(&part);
                }
            }
            for &under in &leans {
                observer.above.entry(under).or_default().insert(part);
            }
            if !leans.is_empty() {
                observer.leans.insert(part, leans);
            }
        }
        before
    }

    /// Whether a part would lose its support if the vehicle were taken away. Hands steady what the vehicle carries as well, and take none of
    /// it; what it no longer carries, they have.
    fn on_vehicle(&self, part: Id<Part>) -> bool {
        let stands = |body: bool, hands: bool| {
            let but = But {
                body,
                hands,
                ..But::default()
            };
            self.view().search_but(part, None, true, but).is_ok()
        };
        !stands(true, true) && (stands(false, true) || !stands(true, false))
    }

    /// The parts whose support or load may have changed, by islands: all that bears each other with what changed, what leans on that, and
    /// what that leans on or leant on.
    /// While nothing leans on anything, what is on needs no search.
    fn islands(&mut self, changed: &[Id<Part>], below: Vec<Id<Part>>) -> Vec<Vec<Id<Part>>> {
        let quiet = self.state.holds.is_empty()
            && self.state.rests.is_empty()
            && self.state.ties.is_empty()
            && self.observer.loads.is_empty();
        // The act that ended the last hold is looked at in full.
        let was_quiet = std::mem::replace(&mut self.observer.quiet, quiet);
        if quiet && was_quiet {
            return changed.iter().map(|&part| vec![part]).collect();
        }
        self.observer.search += 1;
        let mut islands = Vec::new();
        let mut roots: Vec<Id<Part>> = changed.iter().copied().chain(below).collect();
        while let Some(root) = roots.pop() {
            if self.view().is_body(root) || !self.observer.see(root) {
                continue;
            }
            let mut island = vec![root];
            let mut next = 0;
            while let Some(&here) = island.get(next) {
                next += 1;
                roots.extend(self.observer.above.get(&here).into_iter().flatten());
                roots.extend(self.observer.leans.get(&here).into_iter().flatten());
                let off = self.state.is_off(here);
                let view = View {
                    layout: self.layout,
                    state: &self.state,
                    intact: None,
                };
                for (joint, other) in view.tied(here) {
                    let bears = self.layout.joints[joint].carries || (off && self.state.is_off(other));
                    if bears && !view.is_body(other) && self.observer.see(other) {
                        island.push(other);
                    }
                }
            }
            self.layout.looked.add(island.len());
            island.sort_unstable();
            islands.push(island);
        }
        islands
    }

    /// Whether an island has hold of the ground by itself: none where that hangs on what it leans on, or on whose hands have it.
    fn grounded(&self, island: &[Id<Part>]) -> Option<bool> {
        let mut leans = false;
        for &part in island {
            let here = &self.state.parts[part];
            let held = self.state.holders(part).any(|(holder, _)| match holder {
                Holder::Rig(rig) => self.layout.borne[rig].is_none(),
                Holder::Person(_) => false,
                Holder::Repair => true,
            });
            if held || (here.down && self.state.is_off(part)) {
                return Some(true);
            }
            let by_hand = |(holder, _)| matches!(holder, Holder::Person(_));
            leans |= self.observer.leans.contains_key(&part) || self.state.holders(part).any(by_hand);
        }
        (!leans).then_some(false)
    }

    /// Whether an island, which is borne by one thing throughout, would keep its support if the vehicle were taken away.
    fn is_borne_elsewhere(&self, island: &[Id<Part>]) -> bool {
        let asked = || !island.first().is_some_and(|&first| self.on_vehicle(first));
        self.grounded(island).unwrap_or_else(asked)
    }

    fn observe_vehicle(&mut self, islands: &[Vec<Id<Part>>]) {
        let mut delta = Delta::default();
        for island in islands {
            let off = self.is_borne_elsewhere(island);
            for &part in island {
                if self.view().is_body(part) || self.observer.is_off_vehicle(part) == off {
                    continue;
                }
                self.observer.set_off_vehicle(part, off);
                if off {
                    delta.leave.push(part);
                } else {
                    delta.join.push(part);
                }
            }
        }
        if !delta.is_empty() {
            self.push_event(LoadChange::Vehicle(delta));
        }
    }

    /// Rigs that have something of these islands, or had it a moment ago.
    fn observe_rigs(&mut self, islands: &[Vec<Id<Part>>], before: &[(Id<Rig>, Id<Part>)]) {
        if before.is_empty() && self.observer.rigs.is_empty() {
            return;
        }
        // For each rig the parts that it has or had, with what these bring upon it now.
        let mut sets: BTreeMap<Id<Rig>, Bringing> = BTreeMap::new();
        for &(rig, part) in before {
            let has = self
                .observer
                .rigs
                .get(&part)
                .is_some_and(|rigs| rigs.contains(&rig));
            if !has {
                sets.entry(rig).or_default().push((part, None));
            }
        }
        for island in islands {
            let mut here: Vec<(Id<Rig>, Id<Part>)> = Vec::new();
            for &part in island {
                let rigs = self.observer.rigs.get(&part).into_iter().flatten();
                here.extend(rigs.map(|&rig| (rig, part)));
            }
            here.sort_unstable();
            let mut brought: Option<(Id<Rig>, Brought)> = None;
            for (rig, part) in here {
                let same = brought
                    .as_ref()
                    .filter(|(of, _)| *of == rig)
                    .map(|(_, brought)| brought.clone());
                let new = same.unwrap_or_else(|| self.brought(rig, part, island));
                brought = Some((rig, new.clone()));
                let touch = self
                    .state
                    .holds
                    .get(&(part, Holder::Rig(rig)))
                    .is_some_and(|held| held.touch);
                // A rig that only touches takes no share of what others bear.
                let new = if touch {
                    Brought {
                        share: Rc::clone(&new.alone),
                        ..new
                    }
                } else {
                    new
                };
                sets.entry(rig).or_default().push((part, Some(new)));
            }
        }
        for (rig, parts) in sets {
            self.observe_rig(rig, parts);
        }
    }

    /// What these parts bring upon their rig now, against what they brought before.
    fn observe_rig(&mut self, rig: Id<Rig>, parts: Bringing) {
        let (mut alone, mut share) = (Delta::default(), Delta::default());
        let mut placed: BTreeSet<Id<Part>> = BTreeSet::new();
        let load = self.observer.loads.entry(rig).or_default();
        let nothing = Brought::default();
        for (part, new) in parts {
            let held = self.state.holds.get(&(part, Holder::Rig(rig)));
            if held.is_some_and(|held| held.act == self.act_number) {
                placed.insert(part);
            }
            let old = match new.clone() {
                Some(new) => load.brought.insert(part, new),
                None => load.brought.remove(&part),
            };
            // Mostly nothing changed, or a part or two of many.
            let (old, new) = (old.as_ref().unwrap_or(&nothing), new.as_ref().unwrap_or(&nothing));
            count(&mut load.alone, &old.alone, &new.alone, &mut alone);
            count(&mut load.share, &old.share, &new.share, &mut share);
        }
        if load.brought.is_empty() {
            self.observer.loads.remove(&rig);
        }
        settle(&mut alone);
        settle(&mut share);
        let has_platform = self.plan.rigs[rig].platform.is_some();
        if !placed.is_empty() && has_platform {
            placed = self.view().moving(&placed, false);
        }
        if !alone.is_empty() || !share.is_empty() || !placed.is_empty() {
            self.push_event(LoadChange::Rig(RigChange {
                rig,
                alone,
                share,
                placed: placed.into_iter().collect(),
            }));
        }
    }

    /// What the parts of an island bring upon a rig that has one of them: the same for all of it.
    fn brought(&self, rig: Id<Rig>, part: Id<Part>, island: &[Id<Part>]) -> Brought {
        let alone = Rc::new(self.alone(rig, part));
        let share = if alone.is_empty() {
            Rc::new(island.to_vec())
        } else {
            let all: BTreeSet<Id<Part>> = island.iter().chain(alone.iter()).copied().collect();
            Rc::new(all.into_iter().collect())
        };
        Brought { alone, share }
    }

    /// What hangs on each tie near to what changed.
    fn observe_ties(&mut self, changed: &[Id<Part>], islands: &[Vec<Id<Part>>]) {
        if self.state.ties.is_empty() {
            self.observer.tied.clear();
            return;
        }
        let mut ties: BTreeMap<Span, BTreeSet<Id<Part>>> = BTreeMap::new();
        for (&part, tie) in &self.state.ties {
            ties.entry(tie.at).or_default().insert(part);
        }
        self.observer.tied.retain(|at, _| ties.contains_key(at));
        for (tie, hung) in ties {
            let near = |part: &Id<Part>| {
                changed.contains(part) || islands.iter().any(|all| all.binary_search(part).is_ok())
            };
            if !hung.iter().any(near) {
                continue;
            }
            let parts: Vec<Id<Part>> = self.view().moving(&hung, true).into_iter().collect();
            if self.observer.tied.get(&tie) != Some(&parts) {
                self.observer.tied.insert(tie, parts.clone());
                self.push_event(LoadChange::Tied { tie, parts });
            }
        }
    }

    /// What falls with a part if its rig is taken away; nothing where something else bears it.
    fn alone(&self, rig: Id<Rig>, part: Id<Part>) -> Vec<Id<Part>> {
        let view = self.view();
        let but = But {
            rig: Some(rig),
            ..But::default()
        };
        let Err(mut all) = view.search_but(part, None, false, but) else {
            return Vec::new();
        };
        let mut open: Vec<Id<Part>> = all.iter().copied().collect();
        while let Some(part) = open.pop() {
            for &above in self.observer.above.get(&part).into_iter().flatten() {
                if all.contains(&above) {
                    continue;
                }
                if let Err(lost) = view.search_but(above, None, false, but) {
                    for part in lost {
                        if all.insert(part) {
                            open.push(part);
                        }
                    }
                }
            }
        }
        // What was told to fall is no load of anything.
        let falls = |part: &Id<Part>| {
            let suppressed = self.state.parts[*part].suppressed;
            suppressed.is_some_and(|suppressed| suppressed.grade == Grade::Falls)
        };
        all.into_iter().filter(|part| !falls(part)).collect()
    }
}

/// The end of the vehicle and the rig under it, for both ends.
#[must_use]
pub fn ends(front: Stand, rear: Stand) -> [(End, Stand); 2] {
    [(End::Front, front), (End::Rear, rear)]
}
