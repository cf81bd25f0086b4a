//! How the centre of what is on the vehicle moves through the work, and what it stands on meanwhile: one entry for each act that changes
//! either. Fed by the changes that the walk tells, so that nothing is summed again. Reckons by `reckon/`; knows no wording.

use std::collections::{BTreeMap, BTreeSet};

use super::account::{self, Account, Moment};
use super::balance::{self, Balance};
use super::vehicle_weighings;
use crate::base::source::Span;
use crate::plan::model::{End, Fluid, Id, Part, Plan, Rig, Step};
use crate::reckon::polygon::{Hull, Spot, hull};
use crate::reckon::shares;
use crate::reckon::tipping::{self, Stands};
use crate::walk::Walk;
use crate::walk::after::After;
use crate::walk::loads::{Delta, LoadChange, LoadEvent, ends};
use crate::walk::state::Stand;
use crate::weights::Weights;

/// A place in contact, and what is under it: a rig, or a wheel or foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// mm, behind the front axle and right of the middle.
    pub at: Spot,
    /// The end of the vehicle that it bears.
    pub end: End,
    /// None for a wheel or foot.
    pub rig: Option<Id<Rig>>,
}

/// The vehicle at one moment.
#[derive(Debug, Clone)]
pub struct Standing {
    /// None before the first act.
    pub step: Option<Id<Step>>,
    /// The whole act that brought it there; none before the first.
    pub act: Option<Span>,
    /// The word in that act that is meant.
    pub at: Option<Span>,
    /// How many changes of loads had come by then.
    pub loads: usize,
    /// kg, with the standard uncertainty.
    pub mass: (f64, f64),
    /// On the ground, in mm.
    pub centre: Spot,
    /// Standard uncertainty of the centre.
    pub u: Spot,
    /// Empty where the plan does not say where the places are.
    pub contacts: Vec<Contact>,
    /// None where there is no polygon, or nothing is known of it.
    pub stands: Option<Stands>,
    /// What front and rear stand on.
    pub stand: (Stand, Stand),
    /// Whether an end is off its wheels or feet.
    pub raised: bool,
    /// Parts and fluids that left or came with an unknown mass: left out.
    pub unknown: usize,
    /// The last of these, if it left or came at this act.
    pub newly_unknown: Option<Id<Part>>,
}

impl Standing {
    /// The centre, and four more that lie within what it is known to.
    fn centres(&self) -> impl Iterator<Item = Spot> {
        let corners = [(0.0, 0.0), (1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
        corners.into_iter().map(|(along, across)| {
            Spot::new(
                self.centre.behind + along * 2.0 * self.u.behind,
                self.centre.right + across * 2.0 * self.u.right,
            )
        })
    }

    /// The side over which it would go.
    #[must_use]
    pub fn side(&self) -> &'static str {
        self.stands.map_or("side", |stands| self.side_of(stands))
    }

    /// The side of this margin's edge.
    #[must_use]
    pub fn side_of(&self, stands: Stands) -> &'static str {
        let (a, b) = stands.margin.edge;
        let along = (a.behind - b.behind).abs();
        let across = (a.right - b.right).abs();
        let middle_behind = f64::midpoint(a.behind, b.behind);
        let middle_right = f64::midpoint(a.right, b.right);
        if across >= along {
            let all = self.contacts.iter().map(|contact| contact.at.behind);
            let mean = all.clone().sum::<f64>() / all.count().max(1) as f64;
            if middle_behind < mean { "front" } else { "rear" }
        } else if middle_right < 0.0 {
            "left"
        } else {
            "right"
        }
    }

    /// How far its centre lies inside what it stands on, in mm; less than nothing outside. Infinite where that is not known.
    #[must_use]
    pub fn inside(&self) -> f64 {
        self.stands.map_or(f64::INFINITY, |stands| stands.margin.inside)
    }

    /// What is left on its supports when a rig pushes from below with so many kg at its own place, known to so many mm, one standard deviation.
    /// All that tight joints hold goes up with it, so that the push may be more than any set of parts weighs.
    #[must_use]
    pub fn pushed(&self, kg: f64, at: Spot, u_at: f64) -> Option<Pushed> {
        let spots: Vec<Spot> = self.contacts.iter().map(|contact| contact.at).collect();
        let hull = hull(&spots).ok()?;
        let (centre, u) = tipping::pushed(self.mass.0, (self.centre, self.u), kg, (at, u_at)).ok()?;
        Some(Pushed {
            kg,
            centre,
            u,
            stands: tipping::stands(&hull, centre, u).ok()?,
            to_edge: tipping::push_to_edge(&hull, self.mass.0, self.centre, at).ok()?,
        })
    }

    /// The mass that it surely does not exceed, in kg.
    #[must_use]
    pub fn upper_mass(&self) -> f64 {
        self.mass.0 + 2.0 * self.mass.1
    }

    /// What each place bears by equal stiffness: at the centre, and at four more within what the centre and the mass are known to. Those
    /// at which it would tip are left out; none where it tips at the centre.
    #[must_use]
    pub fn share_cases(&self) -> Option<Vec<Vec<f64>>> {
        let spots: Vec<Spot> = self.contacts.iter().map(|contact| contact.at).collect();
        let loads = |centre| {
            let shares = shares::equal_stiffness(self.upper_mass(), centre, &spots);
            shares.ok().map(|shares| shares.loads)
        };
        let mut centres = self.centres();
        let mut all = vec![loads(centres.next()?)?];
        all.extend(centres.filter_map(loads));
        Some(all)
    }

    /// The most that each of four rigid places can come to bear, whatever the floor, and wherever within what is known the centre lies.
    #[must_use]
    pub fn rigid_most(&self) -> Option<Vec<f64>> {
        let spots: Vec<Spot> = self.contacts.iter().map(|contact| contact.at).collect();
        let [a, b, c, d] = spots.as_slice() else {
            return None;
        };
        let four = [*a, *b, *c, *d];
        let ranges = self
            .centres()
            .filter_map(|centre| shares::rigid_range(self.upper_mass(), centre, four).ok());
        ranges
            .map(|range| range.iter().map(|between| between.most).collect())
            .reduce(|most: Vec<f64>, next: Vec<f64>| {
                most.iter().zip(next).map(|(most, next)| most.max(next)).collect()
            })
    }
}

/// A vehicle that a rig pushes from below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pushed {
    /// The push.
    pub kg: f64,
    /// Of what is left, with its standard uncertainty.
    pub centre: Spot,
    /// Its standard uncertainty, in mm.
    pub u: Spot,
    /// How far that centre is inside what is left under it.
    pub stands: Stands,
    /// The push with which it stands on an edge, and other places bear nothing any more.
    pub to_edge: Option<f64>,
}

/// The places in contact; none where the plan does not say where they are.
#[must_use]
pub fn contacts(plan: &Plan, front: Stand, rear: Stand) -> Option<Vec<Contact>> {
    let vehicle = &plan.vehicles[plan.vehicle()?];
    let mut all = Vec::new();
    for (end, stand) in ends(front, rear) {
        match stand {
            Stand::Wheels => {
                let track = vehicle.track?.value;
                let (behind, half) = match end {
                    End::Front => (0.0, track.front.base() / 2.0),
                    End::Rear => (vehicle.wheelbase?.value.base(), track.rear.base() / 2.0),
                };
                for right in [-half, half] {
                    all.push(Contact {
                        at: Spot::new(behind, right),
                        end,
                        rig: None,
                    });
                }
            }
            Stand::Rig { rig, .. } => {
                let place = match end {
                    End::Front => vehicle.jacking.front,
                    End::Rear => vehicle.jacking.rear,
                }?
                .value;
                let both = [place.right, -place.right];
                let sides = if place.mirrored { 2 } else { 1 };
                for right in both.into_iter().take(sides) {
                    all.push(Contact {
                        at: Spot::new(place.behind, right),
                        end,
                        rig: Some(rig),
                    });
                }
            }
        }
    }
    Some(all)
}

/// What the vehicle weighs at one moment, and what its ends stand on: for where the centre or the places are not known.
#[derive(Debug, Clone, Copy)]
pub struct Borne {
    /// None before the first act.
    pub step: Option<Id<Step>>,
    /// The act that brought it there.
    pub at: Span,
    /// How many changes of loads had come by then.
    pub loads: usize,
    /// kg, with the standard uncertainty.
    pub mass: (f64, f64),
    /// What the front stands on, and the rear.
    pub stand: (Stand, Stand),
}

/// The walk of the centre, from the state in which the job was found. None where the first weighing does not tell the centre.
#[must_use]
pub fn standings(weights: &Weights<'_>, walk: &Walk) -> Option<Vec<Standing>> {
    let plan = weights.plan();
    let weighings = vehicle_weighings::all(plan);
    let first = balance::first_with_centre(plan, &weighings)?;
    let balance = Balance::from(weights, &weighings, first)?;
    let then = account::state_at(plan, walk, first.when?)?;
    Some(follow(balance, &then, weights, walk, Wanderer::standing))
}

/// The walk of the mass alone. None where nothing tells what the vehicle weighs.
#[must_use]
pub fn borne(weights: &Weights<'_>, walk: &Walk, account: &Account) -> Option<Vec<Borne>> {
    let first = account.first()?;
    let balance = Balance::of_mass(weights, &first.estimate)?;
    let then = account::state_at(weights.plan(), walk, first.when)?;
    Some(follow(balance, &then, weights, walk, |walker, event, _| {
        let event = event?;
        Some(Borne {
            step: event.step,
            at: event.at,
            loads: walker.loads,
            mass: walker.balance.mass(),
            stand: walker.stand,
        })
    }))
}

/// Takes every change in and asks after each what is to be kept of it. The balance is that of the state in which it was weighed.
fn follow<'a, T>(
    balance: Balance<'a>,
    first: &After<'_>,
    weights: &Weights<'a>,
    walk: &Walk,
    keep: impl Fn(&Wanderer<'a>, Option<&LoadEvent>, Option<Id<Part>>) -> Option<T>,
) -> Vec<T> {
    let plan = weights.plan();
    let found = walk.before(plan);
    let mut fluids_of: BTreeMap<Id<Part>, Vec<Id<Fluid>>> = BTreeMap::new();
    for fluid in plan.fluids.ids() {
        for &part in weights.inside(fluid) {
            fluids_of.entry(part).or_default().push(fluid);
        }
    }
    for (heir, part) in plan.parts.iter() {
        let old = part
            .in_place_of
            .and_then(|place| fluids_of.get(&place.value.part));
        if let Some(fluids) = old.cloned() {
            fluids_of.entry(heir).or_default().extend(fluids);
        }
    }
    let mut parts_of: BTreeMap<Id<Fluid>, Vec<Id<Part>>> = BTreeMap::new();
    for (part, fluids) in &fluids_of {
        for fluid in fluids {
            parts_of.entry(*fluid).or_default().push(*part);
        }
    }
    let mut walker = Wanderer {
        plan,
        was_on: plan.parts.ids().map(|id| !first.is_off(id)).collect(),
        was_aboard: account::aboard(weights, first),
        aboard: account::aboard(weights, &found),
        full: plan.fluids.ids().filter(|&id| found.is_full(id)).collect(),
        fluids_of,
        parts_of,
        off: plan.parts.ids().filter(|&id| found.is_off(id)).collect(),
        balance: balance.at(&Moment::between(weights, first, &found)),
        stand: (found.state().front, found.state().rear),
        contacts: Vec::new(),
        hull: None,
        loads: 0,
    };
    walker.stand_on();
    let mut all = Vec::new();
    all.extend(keep(&walker, None, None));
    for event in &walk.loads {
        walker.loads += 1;
        if let Some(unknown) = walker.take(event) {
            all.extend(keep(&walker, Some(event), unknown));
        }
    }
    all
}

struct Wanderer<'a> {
    plan: &'a Plan,
    /// Parts that the first weighing was made with.
    was_on: Vec<bool>,
    /// Fluids that it was made with, that are aboard now, and that are in whatever they are in.
    was_aboard: BTreeSet<Id<Fluid>>,
    aboard: BTreeSet<Id<Fluid>>,
    full: BTreeSet<Id<Fluid>>,
    fluids_of: BTreeMap<Id<Part>, Vec<Id<Fluid>>>,
    parts_of: BTreeMap<Id<Fluid>, Vec<Id<Part>>>,
    /// Parts that the vehicle does not bear now.
    off: BTreeSet<Id<Part>>,
    balance: Balance<'a>,
    stand: (Stand, Stand),
    contacts: Vec<Contact>,
    hull: Option<Hull>,
    loads: usize,
}

impl Wanderer<'_> {
    fn stand_on(&mut self) {
        let (front, rear) = self.stand;
        self.contacts = contacts(self.plan, front, rear).unwrap_or_default();
        let spots: Vec<Spot> = self.contacts.iter().map(|contact| contact.at).collect();
        self.hull = hull(&spots).ok();
    }

    /// Takes a change in. None where it does not concern the vehicle; else the part of unknown mass that it moved, if one did.
    fn take(&mut self, event: &LoadEvent) -> Option<Option<Id<Part>>> {
        match &event.change {
            LoadChange::Vehicle(Delta { leave, join }) => {
                let moved = || leave.iter().chain(join).copied();
                let known_before: Vec<Id<Part>> = moved()
                    .filter(|part| !self.balance.unknown.contains(part))
                    .collect();
                for &part in leave {
                    self.leave(part);
                    self.off.insert(part);
                }
                for &part in join {
                    self.come(part);
                    self.off.remove(&part);
                }
                let touched: BTreeSet<Id<Fluid>> = moved()
                    .filter_map(|part| self.fluids_of.get(&part))
                    .flatten()
                    .copied()
                    .collect();
                for fluid in touched {
                    self.fluid(fluid);
                }
                let unknown = known_before
                    .into_iter()
                    .find(|part| self.balance.unknown.contains(part));
                Some(unknown)
            }
            LoadChange::Stand { front, rear } => {
                self.stand = (*front, *rear);
                self.stand_on();
                Some(None)
            }
            LoadChange::Lies { part, on } => {
                let on_vehicle = !self.off.contains(part);
                if on_vehicle {
                    self.leave(*part);
                }
                self.balance.lay(*part, *on);
                if on_vehicle {
                    self.come(*part);
                }
                on_vehicle.then_some(None)
            }
            LoadChange::Fluid { fluid, full } => {
                if *full {
                    self.full.insert(*fluid);
                } else {
                    self.full.remove(fluid);
                }
                self.fluid(*fluid);
                Some(None)
            }
            LoadChange::Rig(_) | LoadChange::Hands { .. } | LoadChange::Tied { .. } => None,
        }
    }

    /// A fluid runs out or comes in, or what it is in leaves with it or comes.
    fn fluid(&mut self, fluid: Id<Fluid>) {
        let parts = self.parts_of.get(&fluid);
        let borne = parts.is_none_or(|parts| parts.iter().any(|part| !self.off.contains(part)));
        let aboard = borne && self.full.contains(&fluid);
        let weighed = self.was_aboard.contains(&fluid);
        match (aboard, self.aboard.contains(&fluid)) {
            (true, false) => {
                self.aboard.insert(fluid);
                self.balance.comes_in(fluid, weighed);
            }
            (false, true) => {
                self.aboard.remove(&fluid);
                self.balance.runs_out(fluid, weighed);
            }
            (true, true) | (false, false) => {}
        }
    }

    /// What the whole was weighed with and lies where it belongs leaves and comes back; all else is there anew.
    fn leave(&mut self, part: Id<Part>) {
        if self.was_on.get(part.index()) == Some(&true) && !self.balance.is_aside(part) {
            self.balance.leave(part);
        } else {
            self.balance.leave_again(part);
        }
    }

    fn come(&mut self, part: Id<Part>) {
        if self.was_on.get(part.index()) == Some(&true) && !self.balance.is_aside(part) {
            self.balance.come_back(part);
        } else {
            self.balance.come_new(part);
        }
    }

    fn standing(&self, event: Option<&LoadEvent>, newly_unknown: Option<Id<Part>>) -> Option<Standing> {
        let (centre, u) = self.balance.centre()?;
        Some(Standing {
            step: event.and_then(|event| event.step),
            act: event.map(|event| event.act),
            at: event.map(|event| event.at),
            loads: self.loads,
            mass: self.balance.mass(),
            centre,
            u,
            contacts: self.contacts.clone(),
            stands: self
                .hull
                .as_ref()
                .and_then(|hull| tipping::stands(hull, centre, u).ok()),
            stand: self.stand,
            raised: self.stand != (Stand::Wheels, Stand::Wheels),
            unknown: self.balance.unknown.len() + self.balance.unknown_fluids.len(),
            newly_unknown,
        })
    }
}
