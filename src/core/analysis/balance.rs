//! Where the centre of what is on the vehicle lies, kept up to date as parts leave and come. A part without a place of its own sits at its
//! assembly's, or where the one sat that it replaces; a fluid sits in the middle of the parts that it fills. What has no place could be
//! anywhere along the vehicle, which widens what is known of the centre. Reckons by `reckon/`; knows neither steps nor wording.

use std::collections::{BTreeMap, BTreeSet};

use super::account::{self, Moment};
use super::vehicle_weighings::{self, Centre, Order, Weighing, When, centre};
use crate::plan::model::{Fluid, Id, Part, Place, Plan, Step, Thing};
use crate::reckon::composite::{Composite, Placed, Point};
use crate::reckon::mass::MassEstimate;
use crate::reckon::polygon::Spot;
use crate::walk::Walk;
use crate::weights::Weights;

/// How exactly a place of a plan is known, in mm: a tape laid in a workshop, within 25 mm, rectangular. Common practice, no source.
pub const PLACE_WITHIN: f64 = 25.0;
/// The same for a part that has only its assembly's place, or that of what it replaces.
const BORROWED_WITHIN: f64 = 100.0;
/// How long a vehicle is taken to be where a part may be anywhere, in mm, if no wheelbase is stated.
const LENGTH: f64 = 2500.0;

/// The first level weighing of which it is known when it was made, and that tells the centre.
#[must_use]
pub fn first_with_centre<'w>(plan: &Plan, weighings: &'w [Weighing]) -> Option<&'w Weighing> {
    weighings
        .iter()
        .find(|level| level.when.is_some() && centre(plan, level).is_some())
}

/// Where a part sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seat {
    /// The plan says it.
    Own(Point),
    /// Its assembly's, or that of what it replaces.
    Borrowed(Point),
    /// Nobody says it.
    Unknown,
}

/// Where each part sits, as far as the plan tells.
#[must_use]
pub fn seats(plan: &Plan) -> Vec<Seat> {
    let mut of_assembly: Vec<Option<Point>> = vec![None; plan.parts.len()];
    for assembly in plan.assemblies.values() {
        let Some(place) = assembly.at else { continue };
        for part in &assembly.parts {
            if let Some(seat) = of_assembly.get_mut(part.index()) {
                seat.get_or_insert(point(place.value));
            }
        }
    }
    let seat = |(id, part): (Id<Part>, &crate::plan::model::Part)| {
        if let Some(place) = part.at {
            return Seat::Own(point(place.value));
        }
        let replaced = || Some(point(plan.parts[part.in_place_of?.value.part].at?.value));
        let borrowed = of_assembly.get(id.index()).copied().flatten().or_else(replaced);
        borrowed.map_or(Seat::Unknown, Seat::Borrowed)
    };
    plan.parts.iter().map(seat).collect()
}

impl Seat {
    /// Where, and to how many mm, one standard deviation; none where it is not known.
    #[must_use]
    pub fn place(self) -> Option<(Point, f64)> {
        match self {
            Seat::Own(at) => Some((at, PLACE_WITHIN / 3f64.sqrt())),
            Seat::Borrowed(at) => Some((at, BORROWED_WITHIN / 3f64.sqrt())),
            Seat::Unknown => None,
        }
    }
}

/// Where a thing sits, and to how many mm that is known, one standard deviation; none where it is not.
#[must_use]
pub fn place_of(plan: &Plan, thing: Thing) -> Option<(Point, f64)> {
    match thing {
        Thing::Part(part) => seats(plan).get(part.index())?.place(),
        Thing::Assembly(id) => Seat::Own(point(plan.assemblies[id].at?.value)).place(),
    }
}

fn point(place: Place) -> Point {
    Point {
        behind: place.behind,
        // A place and its mirror image have their middle on the centre line.
        right: if place.mirrored { 0.0 } else { place.right },
        up: place.up.unwrap_or_default(),
    }
}

/// What is on the vehicle, as sums.
#[derive(Debug, Clone)]
pub struct Balance<'a> {
    weights: &'a Weights<'a>,
    seats: Vec<Seat>,
    /// Where parts lie that lie on others, and not where they belong.
    lies: BTreeMap<Id<Part>, Seat>,
    sums: Composite,
    /// Parts that left or came and whose mass is not known: the sums leave them out.
    pub unknown: BTreeSet<Id<Part>>,
    /// The same of fluids.
    pub unknown_fluids: BTreeSet<Id<Fluid>>,
    /// Parts that left or came and whose place is not known: taken as anywhere along the vehicle.
    pub unplaced: BTreeSet<Id<Part>>,
    middle: Point,
    anywhere: f64,
    has_height: bool,
}

impl<'a> Balance<'a> {
    /// From a weighing of the whole and its centre.
    #[must_use]
    pub fn new(
        weights: &'a Weights<'a>,
        whole: &MassEstimate,
        centre: Centre,
        height: Option<f64>,
    ) -> Option<Self> {
        let plan = weights.plan();
        let at = Point {
            behind: centre.at.behind,
            right: centre.at.right,
            up: height.unwrap_or_default(),
        };
        let mut sums = Composite::default();
        let placed = Placed {
            kg: whole.kg,
            u: whole.u(),
            at,
            u_at: Point {
                behind: centre.u.behind,
                right: centre.u.right,
                up: 0.0,
            },
        };
        sums.add(placed).ok()?;
        let vehicle = plan.vehicle()?;
        let length = plan.vehicles[vehicle]
            .wheelbase
            .map_or(LENGTH, |said| said.value.base());
        Some(Self {
            weights,
            seats: seats(plan),
            lies: BTreeMap::new(),
            sums,
            unknown: BTreeSet::new(),
            unknown_fluids: BTreeSet::new(),
            unplaced: BTreeSet::new(),
            middle: at,
            anywhere: length / 12f64.sqrt(),
            has_height: height.is_some(),
        })
    }

    /// Of the mass alone: its centre means nothing.
    #[must_use]
    pub fn of_mass(weights: &'a Weights<'a>, whole: &MassEstimate) -> Option<Self> {
        let nowhere = Spot::new(0.0, 0.0);
        let centre = Centre {
            at: nowhere,
            u: nowhere,
            middle_assumed: true,
        };
        Self::new(weights, whole, centre, None)
    }

    /// From a weighing of the plan's vehicle with all wheels down.
    #[must_use]
    pub fn from(weights: &'a Weights<'a>, weighings: &[Weighing], level: &Weighing) -> Option<Self> {
        let plan = weights.plan();
        let centre = vehicle_weighings::centre(plan, level)?;
        let height = vehicle_weighings::height_at(plan, weighings, level).map(|height| height.over_ground);
        Self::new(weights, &level.total, centre, height)
    }

    /// From the first weighing that tells the centre.
    #[must_use]
    pub fn first(weights: &'a Weights<'a>, weighings: &[Weighing]) -> Option<Self> {
        Self::from(weights, weighings, first_with_centre(weights.plan(), weighings)?)
    }

    /// After a step, or at the end: from the weighing with a centre that is the nearest before it, else from the first one.
    #[must_use]
    pub fn after(
        weights: &'a Weights<'a>,
        walk: &Walk,
        weighings: &[Weighing],
        step: Option<Id<Step>>,
    ) -> Option<Self> {
        let plan = weights.plan();
        let order = Order::of(plan);
        let place = step.map_or((usize::MAX, usize::MAX), |step| order.place(When::After(step)));
        let first = first_with_centre(plan, weighings)?;
        let with_centre = account::comparable(weights, walk, weighings, first)
            .filter(|level| centre(plan, level).is_some());
        let before = with_centre.filter(|level| level.when.is_some_and(|when| order.place(when) <= place));
        let level = before.last().unwrap_or(first);
        let then = account::state_at(plan, walk, level.when?)?;
        let moment = Moment::between(weights, &then, &account::now(plan, walk, step));
        Some(Self::from(weights, weighings, level)?.at(&moment))
    }

    /// The same at another moment.
    #[must_use]
    pub fn at(mut self, moment: &Moment) -> Self {
        for &id in moment.off_for_now.iter().chain(&moment.off_for_good) {
            self.leave(id);
        }
        for &id in &moment.on_new {
            self.come_new(id);
        }
        for &id in moment.drained.iter().chain(&moment.carried_off) {
            self.runs_out(id, true);
        }
        for &id in &moment.filled {
            self.comes_in(id, false);
        }
        self
    }

    fn placed_fluid(&self, id: Id<Fluid>) -> Option<Placed> {
        let estimate = self.weights.fluid(id)?;
        let inside = self.weights.inside(id).iter();
        let filled: Vec<Point> = inside
            .filter_map(|part| Some(self.seats.get(part.index())?.place()?.0))
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "a handful of parts")]
        let count = filled.len() as f64;
        let mean = |axis: fn(&Point) -> f64| filled.iter().map(axis).sum::<f64>() / count;
        let (at, within) = if filled.is_empty() {
            (self.middle, self.anywhere)
        } else {
            let at = Point {
                behind: mean(|at| at.behind),
                right: mean(|at| at.right),
                up: mean(|at| at.up),
            };
            // How it is shared out between them is not known: it may be all in the furthest.
            let reach = filled.iter().map(|place| {
                let (x, y) = (place.behind - at.behind, place.right - at.right);
                x.hypot(y)
            });
            (at, (reach.fold(BORROWED_WITHIN, f64::max)) / 3f64.sqrt())
        };
        Some(Placed {
            kg: estimate.kg,
            u: estimate.u(),
            at,
            u_at: Point::all(within),
        })
    }

    /// A fluid runs out; `weighed` if the whole was weighed with it.
    pub fn runs_out(&mut self, id: Id<Fluid>, weighed: bool) {
        match self.placed_fluid(id) {
            // What is no number was refused when the plan was read.
            Some(placed) if weighed => drop(self.sums.remove(placed)),
            Some(placed) => drop(self.sums.take_back(placed)),
            None => toggle(&mut self.unknown_fluids, id),
        }
    }

    /// A fluid is in again; `weighed` if the whole was weighed with it.
    pub fn comes_in(&mut self, id: Id<Fluid>, weighed: bool) {
        match self.placed_fluid(id) {
            Some(placed) if weighed => drop(self.sums.put_back(placed)),
            Some(placed) => drop(self.sums.add(placed)),
            None => toggle(&mut self.unknown_fluids, id),
        }
    }

    fn seat(&self, id: Id<Part>) -> Seat {
        let own = || self.seats.get(id.index()).copied();
        self.lies.get(&id).copied().or_else(own).unwrap_or(Seat::Unknown)
    }

    /// Whether a part lies elsewhere than it belongs.
    #[must_use]
    pub fn is_aside(&self, id: Id<Part>) -> bool {
        self.lies.contains_key(&id)
    }

    /// A part that is in none of the sums lies on another one from here on, or on none.
    pub fn lay(&mut self, id: Id<Part>, on: Option<Id<Part>>) {
        match on {
            Some(under) => {
                let there = self.seat(under).place();
                let seat = there.map_or(Seat::Unknown, |(at, _)| Seat::Borrowed(at));
                self.lies.insert(id, seat);
            }
            None => drop(self.lies.remove(&id)),
        }
    }

    fn placed(&self, id: Id<Part>) -> Option<Placed> {
        let estimate = self.weights.part(id)?;
        let seat = self.seat(id);
        let (at, within) = seat.place().unwrap_or((self.middle, self.anywhere));
        Some(Placed {
            kg: estimate.kg,
            u: estimate.u(),
            at,
            u_at: Point::all(within),
        })
    }

    fn join(&mut self, id: Id<Part>, act: impl FnOnce(&mut Composite, Placed)) {
        match self.placed(id) {
            Some(placed) => {
                act(&mut self.sums, placed);
                if self.seat(id) == Seat::Unknown {
                    toggle(&mut self.unplaced, id);
                }
            }
            None => toggle(&mut self.unknown, id),
        }
    }

    /// A part that the whole was weighed with leaves.
    pub fn leave(&mut self, id: Id<Part>) {
        self.join(id, |sums, placed| {
            // What is no number was refused when the plan was read.
            let _ = sums.remove(placed);
        });
    }

    /// A part that left is back.
    pub fn come_back(&mut self, id: Id<Part>) {
        self.join(id, |sums, placed| {
            let _ = sums.put_back(placed);
        });
    }

    /// A part comes that was not there when the whole was weighed.
    pub fn come_new(&mut self, id: Id<Part>) {
        self.join(id, |sums, placed| {
            let _ = sums.add(placed);
        });
    }

    /// Such a part leaves again.
    pub fn leave_again(&mut self, id: Id<Part>) {
        self.join(id, |sums, placed| {
            let _ = sums.take_back(placed);
        });
    }

    /// kg, with the standard uncertainty.
    #[must_use]
    pub fn mass(&self) -> (f64, f64) {
        (self.sums.mass(), self.sums.u())
    }

    /// The centre over the ground with its standard uncertainty, in mm; none where nothing is left.
    #[must_use]
    pub fn centre(&self) -> Option<(Spot, Spot)> {
        let at = self.sums.centre().ok()?;
        let u = self.sums.centre_uncertainty().ok()?;
        Some((Spot::new(at.behind, at.right), Spot::new(u.behind, u.right)))
    }

    /// The height of the centre, in mm, as far as heights are known.
    #[must_use]
    pub fn height(&self) -> Option<f64> {
        self.has_height
            .then_some(self.sums.centre().ok()?.up)
            .filter(|up| *up > 0.0)
    }
}

/// In the set if it was not, and out of it if it was.
fn toggle<T: Ord + Copy>(set: &mut BTreeSet<T>, id: T) {
    if !set.remove(&id) {
        set.insert(id);
    }
}
