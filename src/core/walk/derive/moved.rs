//! What undoes a move: back onto what bore a thing or an end of the vehicle before, slid home, fitted. Reads what bore it off the
//! state before the act.

use std::collections::BTreeSet;

use super::Undoing;
use super::back::Undoes;
use super::inverse::{Done, Inverse};
use crate::plan::model::{Asked, End, Fixings, Id, Load, Part, Rig, Said, Seat, Thing};
use crate::walk::breaks::{Break, Subject};
use crate::walk::state::{Change, Holder, Presence, Stand};

impl Inverse<'_> {
    /// Undoes a raise or a set: back onto what bore it before.
    pub fn moved(&self, things: &[Said<Load>], end: Option<End>, done: &Done<'_>) -> Vec<Undoes> {
        let vehicle = things.iter().find(|load| match load.value {
            Load::Vehicle(_) => true,
            Load::Thing(thing) => self
                .ground
                .layout
                .body
                .is_some_and(|body| self.ground.plan.parts_of(thing).contains(&body)),
        });
        match vehicle {
            Some(load) => self.ends_moved(load.value, end, done),
            None => self.things_moved(things, done).into_iter().collect(),
        }
    }

    /// Lowered right away from where it was: raised there again by the rig that lowered it.
    pub fn lowered(&self, things: &[Said<Load>], done: &Done<'_>) -> Option<Undoes> {
        let loads = self.loads(things);
        let parts = things.iter().flat_map(|load| match load.value {
            Load::Thing(thing) => self.ground.plan.parts_of(thing),
            Load::Vehicle(_) => Vec::new(),
        });
        let rig = parts
            .flat_map(|part| {
                done.state
                    .holders(part)
                    .map(|(holder, _)| holder)
                    .collect::<Vec<_>>()
            })
            .find_map(|holder| match holder {
                Holder::Rig(rig) if self.ground.plan.rigs[rig].lifts.is_some() => Some(rig),
                _ => None,
            });
        rig.filter(|_| !loads.is_empty())
            .map(|on| Undoes::Raise { loads, on })
    }

    fn ends_moved(&self, load: Load, end: Option<End>, done: &Done<'_>) -> Vec<Undoes> {
        let floor = self.ground.plan.rigs.iter().find(|(_, rig)| rig.is_floor);
        let mut all: Vec<Undoes> = Vec::new();
        for change in done.made {
            let Change::Stand(moved, old, new) = *change else {
                continue;
            };
            let from = match new {
                Stand::Wheels => None,
                Stand::Rig { rig, .. } => Some(rig),
            };
            // The whole vehicle at once, if both ends come from the same.
            let both = end.is_none() && done.state.front_and_rear_alike();
            let named = if both { None } else { Some(moved) };
            let undoes = match old {
                Stand::Wheels => floor.map(|(on, _)| Undoes::SetEnd {
                    load,
                    end: named,
                    on,
                    from,
                }),
                Stand::Rig { rig, height, .. } if self.ground.plan.rigs[rig].lifts.is_some() => {
                    let how = self.raised.get(&(named, height));
                    let how = how.or_else(|| self.raised.get(&(None, height)));
                    let how = how.filter(|(by, _, _)| *by == rig);
                    Some(Undoes::RaiseEnd {
                        load,
                        end: named,
                        on: rig,
                        at: how.and_then(|how| how.1),
                        to: how.and_then(|how| how.2),
                        from,
                    })
                }
                Stand::Rig { rig, .. } => Some(Undoes::SetEnd {
                    load,
                    end: named,
                    on: rig,
                    from,
                }),
            };
            all.extend(undoes);
            if both {
                break;
            }
        }
        all.reverse();
        all
    }

    fn things_moved(&self, things: &[Said<Load>], done: &Done<'_>) -> Option<Undoes> {
        let loads = self.loads(things);
        let named: BTreeSet<Id<Part>> = things
            .iter()
            .flat_map(|load| match load.value {
                Load::Thing(thing) => self.ground.plan.parts_of(thing),
                Load::Vehicle(_) => Vec::new(),
            })
            .collect();
        let first = *named.first()?;
        if loads.is_empty() {
            return None;
        }
        let rig = named.iter().find_map(|&part| {
            done.state.holders(part).find_map(|(holder, _)| match holder {
                Holder::Rig(rig) => Some(rig),
                _ => None,
            })
        });
        if let Some(rig) = rig {
            let lifts = self.ground.plan.rigs[rig].lifts.is_some();
            return Some(if lifts {
                Undoes::Raise { loads, on: rig }
            } else {
                Undoes::Set {
                    loads,
                    on: Seat::Rig(rig),
                }
            });
        }
        if let Some(under) = named.iter().find_map(|part| done.state.rests.get(part)) {
            return Some(Undoes::Set {
                loads,
                on: Seat::Thing(Thing::Part(*under)),
            });
        }
        let taken = done.made.iter().find_map(|change| match change {
            Change::Hold((_, Holder::Rig(rig)), _, Some(_)) => Some(*rig),
            _ => None,
        });
        // What lay on the floor goes back there; what its joints or hands had, the rig lets go.
        if done.state.parts[first].down {
            let lies_elsewhere =
                |change: &Change| matches!(change, Change::Hold((_, Holder::Rig(_)), ..) | Change::Rest(..));
            // Put down out of somebody's hands: on the way back they take hold of it when it is fitted.
            if !done.made.iter().any(lies_elsewhere) {
                return None;
            }
            let floor = self.ground.plan.rigs.iter().find(|(_, rig)| rig.is_floor)?;
            return Some(Undoes::Set {
                loads,
                on: Seat::Rig(floor.0),
            });
        }
        taken.map(|from| Undoes::Release { loads, from })
    }

    /// What drawing parted or moved is slid home; guides that let go are put in first.
    pub fn drawn(&self, thing: Thing, done: &Done<'_>) -> Vec<Undoes> {
        let mut all = Vec::new();
        for change in done.made {
            if let Change::Joint(joint, old, _) = change
                && old.pinned()
            {
                let stay = old.slack + old.started;
                all.push(Undoes::Pin {
                    fixings: Fixings {
                        joint: Said::new(*joint, done.at),
                        count: Some(Said::new(stay.max(1), done.at)),
                    },
                    with: old.pins.map(|tool| Said::new(tool, done.at)),
                });
            }
        }
        all.extend(self.thing(thing).into_iter().map(Undoes::SlideHome));
        all
    }

    /// What comes back where something was taken off.
    pub fn fitted(
        &mut self,
        things: &[Said<Thing>],
        done: &Done<'_>,
        undoing: &mut Undoing,
        breaks: &mut Vec<Break>,
    ) -> Vec<Undoes> {
        let off: BTreeSet<Id<Part>> = done
            .made
            .iter()
            .filter_map(|change| match change {
                Change::Part(part, old, new)
                    if old.presence != Presence::Off && new.presence == Presence::Off =>
                {
                    Some(*part)
                }
                _ => None,
            })
            .collect();
        let on: BTreeSet<Id<Rig>> = off
            .iter()
            .flat_map(|&part| done.state.holders(part))
            .filter_map(|(holder, _)| match holder {
                Holder::Rig(rig) => Some(rig),
                _ => None,
            })
            .collect();
        self.inside(&off, done, undoing, breaks);
        let fitted: Vec<Thing> = things.iter().flat_map(|thing| self.thing(thing.value)).collect();
        let parts: Vec<Id<Part>> = fitted
            .iter()
            .flat_map(|&thing| self.ground.plan.parts_of(thing))
            .collect();
        if fitted.is_empty() {
            return Vec::new();
        }
        vec![Undoes::Fit {
            things: fitted,
            parts,
            on: on.into_iter().collect(),
        }]
    }

    /// Parts that come off as one, of which one is replaced while its joints to the others were never parted: nobody says how the new
    /// one gets there.
    fn inside(
        &mut self,
        off: &BTreeSet<Id<Part>>,
        done: &Done<'_>,
        undoing: &mut Undoing,
        breaks: &mut Vec<Break>,
    ) {
        let layout = self.ground.layout;
        for &part in off {
            let Some(new) = self.part(part).filter(|&new| new != part) else {
                continue;
            };
            let stuck: Vec<Subject> = layout.parts[part]
                .joints
                .iter()
                .filter(|&&joint| {
                    let facts = &layout.joints[joint];
                    let other = facts.other(part).filter(|other| off.contains(other));
                    let ties_now = self.ground.start.joints[joint].all_tight();
                    other.is_some_and(|other| self.part(other) == Some(other)) && ties_now
                })
                .map(|&joint| Subject::Joint(joint))
                .collect();
            if !stuck.is_empty() && self.ground.start.is_off(new) {
                self.ask(Asked::Part(part), stuck, done, undoing, breaks);
            }
        }
    }
}
