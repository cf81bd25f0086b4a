//! What bears how much, as the walk goes on: which parts the vehicle bears alone, what its ends stand on, and what would fall if a rig were
//! taken away. Kept up to date by what each act changed, and told as a list of changes, so that nobody has to add up anything again.
//! Knows sets of parts, neither masses nor wording.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::state::{Grade, Holder, Stand};
use super::support::But;
use super::walker::Walker;
use crate::base::source::Span;
use crate::plan::model::{End, Id, Part, Rig, Step};

/// One change of what bears what, at one act.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadEvent {
    pub step: Option<Id<Step>>,
    /// The whole act, and the word in it that is meant.
    pub act: Span,
    pub at: Span,
    pub change: LoadChange,
}

#[derive(Debug, Clone, PartialEq)]
pub enum LoadChange {
    /// Parts that would no longer lose their support if the vehicle were taken away, and parts that now would.
    Vehicle(Delta),
    /// What the ends of the vehicle stand on from here on.
    Stand { front: Stand, rear: Stand },
    /// What a rig bears from here on.
    Rig(RigChange),
}

/// Parts that leave a set, and parts that join it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Delta {
    pub leave: Vec<Id<Part>>,
    pub join: Vec<Id<Part>>,
}

impl Delta {
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.leave.is_empty() && self.join.is_empty()
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RigChange {
    pub rig: Id<Rig>,
    /// All that would lose its support if this rig alone were taken away.
    pub alone: Delta,
    /// What it may bear a share of: all that carrying joints tie to what it holds.
    pub share: Delta,
    /// What it was put under by this act, where it was.
    pub placed: Vec<Id<Part>>,
}

/// What one held part brings upon its rig.
#[derive(Debug, Clone, Default)]
struct Brought {
    alone: Rc<Vec<Id<Part>>>,
    share: Rc<Vec<Id<Part>>>,
}

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
    off_vehicle: BTreeSet<Id<Part>>,
    stand: (Stand, Stand),
    /// As last seen: which rigs have a part, and what it lies on or hangs from; and the same turned round.
    rigs: BTreeMap<Id<Part>, Vec<Id<Rig>>>,
    leans: BTreeMap<Id<Part>, Vec<Id<Part>>>,
    above: BTreeMap<Id<Part>, BTreeSet<Id<Part>>>,
    loads: BTreeMap<Id<Rig>, OnRig>,
    pub events: Vec<LoadEvent>,
}

fn count(counts: &mut Counts, parts: &[Id<Part>], more: bool, delta: &mut Delta) {
    for &part in parts {
        let now = counts.entry(part).or_default();
        if more {
            *now += 1;
            if *now == 1 {
                delta.join.push(part);
            }
        } else {
            *now = now.saturating_sub(1);
            if *now == 0 {
                counts.remove(&part);
                delta.leave.push(part);
            }
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
        for part in parts {
            if !self.on_vehicle(part) {
                self.observer.off_vehicle.insert(part);
            }
        }
        self.observer.stand = (self.state.front, self.state.rear);
    }

    /// After an act, or one name of its list: looks at what it changed, and at nothing else.
    pub fn observe(&mut self, changed: &[Id<Part>]) {
        if !changed.is_empty() {
            let before = self.refresh(changed);
            let near = self.near(changed);
            self.observe_vehicle(changed, &near);
            self.observe_rigs(&near, before);
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

    fn push_event(&mut self, change: LoadChange) {
        let event = LoadEvent {
            step: self.step,
            act: self.act,
            at: self.at,
            change,
        };
        self.observer.events.push(event);
    }

    /// Sees anew which rigs have these parts and what they lean on. Gives the rigs that had them.
    fn refresh(&mut self, changed: &[Id<Part>]) -> BTreeSet<(Id<Rig>, Id<Part>)> {
        let mut before = BTreeSet::new();
        for &part in changed {
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
            let observer = &mut self.observer;
            let old = if rigs.is_empty() {
                observer.rigs.remove(&part)
            } else {
                observer.rigs.insert(part, rigs)
            };
            before.extend(old.into_iter().flatten().map(|rig| (rig, part)));
            for under in observer.leans.remove(&part).into_iter().flatten() {
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

    /// Nothing has hold of anything, and nothing lies on anything.
    fn nothing_leans(&self) -> bool {
        self.state.holds.is_empty() && self.state.rests.is_empty() && self.observer.loads.is_empty()
    }

    /// Whether a part would lose its support if the vehicle were taken away.
    fn on_vehicle(&self, part: Id<Part>) -> bool {
        let but = But {
            body: true,
            ..But::default()
        };
        if self.nothing_leans() && !self.state.is_off(part) {
            return true;
        }
        self.view().search_but(part, None, true, but).is_err()
    }

    /// The parts whose support may have changed: all that carrying joints tie to what changed, and what lies on or hangs from these.
    fn near(&self, changed: &[Id<Part>]) -> BTreeSet<Id<Part>> {
        if self.nothing_leans() {
            return changed.iter().copied().collect();
        }
        let view = self.view();
        let mut near: BTreeSet<Id<Part>> = BTreeSet::new();
        let mut open: Vec<Id<Part>> = changed.to_vec();
        while let Some(part) = open.pop() {
            if view.is_body(part) || near.contains(&part) {
                continue;
            }
            let mut group = view.island(part);
            group.extend(view.bench_group(&BTreeSet::from([part])));
            for part in group {
                if near.insert(part) {
                    open.extend(self.observer.above.get(&part).into_iter().flatten());
                }
            }
        }
        near
    }

    fn observe_vehicle(&mut self, changed: &[Id<Part>], near: &BTreeSet<Id<Part>>) {
        // What changed tells for its island; only where that turned round are the others asked too.
        let turned = |walker: &Self, part: Id<Part>| {
            !walker.view().is_body(part)
                && walker.on_vehicle(part) == walker.observer.off_vehicle.contains(&part)
        };
        if !changed.iter().any(|&part| turned(self, part)) {
            return;
        }
        let mut delta = Delta::default();
        for &part in near {
            if !turned(self, part) {
                continue;
            }
            if self.observer.off_vehicle.remove(&part) {
                delta.join.push(part);
            } else {
                self.observer.off_vehicle.insert(part);
                delta.leave.push(part);
            }
        }
        if !delta.is_empty() {
            self.push_event(LoadChange::Vehicle(delta));
        }
    }

    /// Rigs that have something near, or had it a moment ago.
    fn observe_rigs(&mut self, near: &BTreeSet<Id<Part>>, before: BTreeSet<(Id<Rig>, Id<Part>)>) {
        let mut asked = before;
        for &part in near {
            let rigs = self.observer.rigs.get(&part);
            asked.extend(rigs.into_iter().flatten().map(|&rig| (rig, part)));
        }
        let mut sets: BTreeMap<Id<Rig>, Vec<Id<Part>>> = BTreeMap::new();
        for (rig, part) in asked {
            sets.entry(rig).or_default().push(part);
        }
        for (rig, parts) in sets {
            self.observe_rig(rig, &parts);
        }
    }

    /// What these parts bring upon their rig now, against what they brought before.
    fn observe_rig(&mut self, rig: Id<Rig>, parts: &[Id<Part>]) {
        let (mut alone, mut share) = (Delta::default(), Delta::default());
        let mut placed: BTreeSet<Id<Part>> = BTreeSet::new();
        let mut seen: Vec<Brought> = Vec::new();
        let mut new: Vec<(Id<Part>, Option<Brought>)> = Vec::new();
        for &part in parts {
            let held = self.state.holds.get(&(part, Holder::Rig(rig))).copied();
            let Some(held) = held.filter(|_| !self.view().is_body(part)) else {
                new.push((part, None));
                continue;
            };
            if held.act == self.act_number {
                placed.insert(part);
            }
            new.push((part, Some(self.brought(rig, part, held.touch, &mut seen))));
        }
        let load = self.observer.loads.entry(rig).or_default();
        for (part, brought) in new {
            let old = match brought.clone() {
                Some(brought) => load.brought.insert(part, brought),
                None => load.brought.remove(&part),
            };
            if let Some(old) = old {
                count(&mut load.alone, &old.alone, false, &mut alone);
                count(&mut load.share, &old.share, false, &mut share);
            }
            if let Some(brought) = brought {
                count(&mut load.alone, &brought.alone, true, &mut alone);
                count(&mut load.share, &brought.share, true, &mut share);
            }
        }
        if load.brought.is_empty() {
            self.observer.loads.remove(&rig);
        }
        settle(&mut alone);
        settle(&mut share);
        if !placed.is_empty() {
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

    /// Parts of one island bring the same, which is found once.
    fn brought(&self, rig: Id<Rig>, part: Id<Part>, touch: bool, seen: &mut Vec<Brought>) -> Brought {
        let view = self.view();
        let alike = |of: fn(&Brought) -> &Rc<Vec<Id<Part>>>, seen: &[Brought]| {
            seen.iter()
                .map(of)
                .find(|set| set.binary_search(&part).is_ok())
                .map(Rc::clone)
        };
        let alone = alike(|brought| &brought.alone, seen).unwrap_or_else(|| Rc::new(self.alone(rig, part)));
        // A rig that only touches takes no share of what others bear.
        let share = if touch {
            Rc::clone(&alone)
        } else {
            alike(|brought| &brought.share, seen).unwrap_or_else(|| {
                let mut island = view.island(part);
                island.extend(alone.iter());
                Rc::new(island.into_iter().collect())
            })
        };
        let brought = Brought { alone, share };
        seen.push(brought.clone());
        brought
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
            let mute = self.state.parts[*part].mute;
            mute.is_some_and(|mute| mute.grade == Grade::Falls)
        };
        all.into_iter().filter(|part| !falls(part)).collect()
    }
}

/// The end of the vehicle and the rig under it, for both ends.
#[must_use]
pub fn ends(front: Stand, rear: Stand) -> [(End, Stand); 2] {
    [(End::Front, front), (End::Rear, rear)]
}
