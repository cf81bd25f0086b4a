//! The weighings of the whole vehicle, and where its centre lies by them. Reads the plan, reckons by `reckon/`; knows nothing of what is off
//! or on, nor wording.

use std::collections::{BTreeMap, BTreeSet};

use crate::base::date::Date;
use crate::base::quantity::{Mass, Pressure};
use crate::base::source::Span;
use crate::plan::model::{
    Does, Driver, End, FrontRear, Id, Load, Plan, Reading, Step, Vehicle, WeighIn, Weighed,
};
use crate::reckon::axles::{self, AxleLoads};
use crate::reckon::corners::{self, Corners, Stance};
use crate::reckon::height::{self, Level, Lifted, Raised};
use crate::reckon::mass::MassEstimate;
use crate::reckon::polygon::Spot;
use crate::reckon::scales;
use crate::weights;

/// One complete weighing of the vehicle.
#[derive(Debug, Clone)]
pub struct Weighing {
    /// The weigh-in that says it.
    pub id: Id<WeighIn>,
    /// The whole, in kg.
    pub total: MassEstimate,
    /// kg at each wheel; none where axles alone were weighed.
    pub corners: Option<Corners>,
    /// Uncertainties of the four, each alone.
    pub corners_u: Option<Corners>,
    /// kg on each axle.
    pub axles: Option<AxleLoads>,
    /// Standard uncertainties of the two, in kg.
    pub axles_u: Option<AxleLoads>,
    /// The same without what a scale gives to all its readings: that falls away between two weighings on the same scales.
    pub axles_own: Option<AxleLoads>,
    /// The end that was raised, and by how much, in mm.
    pub raised: Option<(End, f64)>,
    /// None where nothing tells it.
    pub when: Option<When>,
    /// Where its figures stand.
    pub at: Span,
}

/// A centre over the ground with its standard uncertainty, in mm; and how it was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Centre {
    /// Behind the front axle and right of the middle.
    pub at: Spot,
    /// Along and across.
    pub u: Spot,
    /// From axles only: the middle is assumed across the vehicle.
    pub middle_assumed: bool,
}

/// How far off the middle a vehicle of which only axles were weighed may be, as a share of its track: rectangular. Common practice,
/// no source.
const OFF_MIDDLE: f64 = 0.05;
/// A track, in mm, where none is stated and only a share of it is wanted.
const TRACK: f64 = 1400.0;

/// All readings of a weigh-in that are of the vehicle: places, and whether it has such at all.
#[must_use]
pub fn place(plan: &Plan, id: Id<WeighIn>) -> Option<Span> {
    let weigh_in = &plan.weigh_ins[id];
    let whole = weigh_in
        .reads
        .iter()
        .find(|reads| matches!(reads.what.as_slice(), [only] if matches!(only.value, Weighed::Vehicle(_))))
        .map(|reads| reads.at);
    let corners = weigh_in.corners.as_ref().map(|said| said.at);
    corners.or(weigh_in.axles.map(|said| said.at)).or(whole)
}

/// The complete weighings of the vehicle in the order of the work, and at one moment by date and then in the order of the plan; last those of
/// which nothing tells when they were made.
#[must_use]
pub fn all(plan: &Plan) -> Vec<Weighing> {
    let when = moments(plan);
    let order = Order::of(plan);
    let mut all: Vec<Weighing> = plan
        .weigh_ins
        .ids()
        .filter_map(|id| one(plan, id, when.get(&id).copied()))
        .collect();
    all.sort_by_key(|weighing| {
        let place = weighing.when.map(|when| order.place(when));
        let dated = plan.weigh_ins[weighing.id].dated.map(|said| said.value);
        (place.is_none(), place, dated, weighing.id)
    });
    all
}

/// The first weighing with all wheels down of which it is known when it was made.
#[must_use]
pub fn first_level(weighings: &[Weighing]) -> Option<&Weighing> {
    weighings
        .iter()
        .find(|weighing| weighing.raised.is_none() && weighing.when.is_some())
}

fn one(plan: &Plan, id: Id<WeighIn>, when: Option<When>) -> Option<Weighing> {
    let weigh_in = &plan.weigh_ins[id];
    let at = place(plan, id)?;
    let with = weigh_in.with.map(|said| said.value);
    let read = |mass: Reading<_>| weights::reading(plan, mass.known()?, None, with);
    let raised = weigh_in.raised.map(|said| (said.value.0, said.value.1.base()));
    let mut weighing = Weighing {
        id,
        total: MassEstimate::nothing(),
        corners: None,
        corners_u: None,
        axles: None,
        axles_u: None,
        axles_own: None,
        raised,
        when,
        at,
    };
    if let Some(said) = weigh_in.corners {
        let four: Vec<MassEstimate> = said.value.all().into_iter().map(read).collect::<Option<_>>()?;
        let [a, b, c, d] = four.as_slice() else {
            return None;
        };
        let corners = |of: fn(&MassEstimate) -> f64| Corners {
            front_left: of(a),
            front_right: of(b),
            rear_left: of(c),
            rear_right: of(d),
        };
        weighing.corners = Some(corners(|estimate| estimate.kg));
        // Four pads are four scales: for the sum it is graver that they err alike, for the centre that they do not.
        let of: fn(&MassEstimate) -> f64 = if pads(plan, id) {
            MassEstimate::u
        } else {
            |estimate| estimate.own
        };
        weighing.corners_u = Some(corners(of));
        weighing.axles = weighing.corners.map(Corners::axles);
        weighing.axles_u = Some(AxleLoads {
            front: of(a).hypot(of(b)),
            rear: of(c).hypot(of(d)),
        });
        weighing.axles_own = Some(AxleLoads {
            front: a.own.hypot(b.own),
            rear: c.own.hypot(d.own),
        });
        weighing.total = MassEstimate::sum(&four);
        return Some(weighing);
    }
    if let Some(said) = weigh_in.axles {
        let both = [said.value.front, said.value.rear];
        let both: Vec<MassEstimate> = both
            .into_iter()
            .map(|mass| axle(plan, id, mass))
            .collect::<Option<_>>()?;
        let [front, rear] = both.as_slice() else {
            return None;
        };
        weighing.axles = Some(AxleLoads {
            front: front.kg,
            rear: rear.kg,
        });
        // What two pads give alike to an axle is twice what each does; on their own it is less by the root of two.
        let of = |estimate: &MassEstimate| match estimate.shared.as_slice() {
            [(_, shared)] if pads(plan, id) => estimate.own.hypot(shared / 2f64.sqrt()),
            _ => estimate.own,
        };
        weighing.axles_u = Some(AxleLoads {
            front: of(front),
            rear: of(rear),
        });
        weighing.axles_own = Some(AxleLoads {
            front: front.own,
            rear: rear.own,
        });
        weighing.total = MassEstimate::sum(&both);
        return Some(weighing);
    }
    let reads = weigh_in
        .reads
        .iter()
        .find(|reads| matches!(reads.what.as_slice(), [only] if matches!(only.value, Weighed::Vehicle(_))))?;
    weighing.total = weights::of_reads(plan, weigh_in, reads)?;
    Some(weighing)
}

/// Whether it was weighed on a set of scales, each with a capacity of its own.
fn pads(plan: &Plan, id: Id<WeighIn>) -> bool {
    let with = plan.weigh_ins[id]
        .with
        .and_then(|said| plan.scales[said.value].capacity);
    with.is_some_and(|capacity| capacity.value.each)
}

/// An axle on pads is two readings of half of it; on one scale it is one.
fn axle(plan: &Plan, id: Id<WeighIn>, mass: Reading<Mass>) -> Option<MassEstimate> {
    let with = plan.weigh_ins[id].with.map(|said| said.value);
    let mass = mass.known()?;
    let pads = with.filter(|_| pads(plan, id));
    let Some(scale) = pads.and_then(|id| weights::scale(plan, id)) else {
        return weights::reading(plan, mass, None, with);
    };
    let half = scale.reading(mass.base() / 2.0).ok()?;
    let error = scales::ReadingError {
        own: half.own * 2f64.sqrt(),
        shared: half.shared * 2.0,
    };
    MassEstimate::read(mass.base(), error, with?.index()).ok()
}

/// Where the wheels or feet stand, if the plan says wheelbase and track.
#[must_use]
pub fn stance(plan: &Plan, vehicle: Id<Vehicle>) -> Option<Stance> {
    let vehicle = &plan.vehicles[vehicle];
    let track = vehicle.track?.value;
    Some(Stance {
        wheelbase: vehicle.wheelbase?.value.base(),
        track_front: track.front.base(),
        track_rear: track.rear.base(),
    })
}

/// The centre by one weighing with all wheels level.
#[must_use]
pub fn centre(plan: &Plan, weighing: &Weighing) -> Option<Centre> {
    if weighing.raised.is_some() {
        return None;
    }
    let vehicle = plan.vehicle()?;
    // Without a track the wheels still tell the axles.
    if let (Some(four), Some(u), Some(stance)) = (weighing.corners, weighing.corners_u, stance(plan, vehicle))
    {
        return Some(Centre {
            at: corners::centre(four, stance).ok()?,
            u: corners::centre_uncertainty(four, u, stance).ok()?,
            middle_assumed: false,
        });
    }
    let (both, u) = (weighing.axles?, weighing.axles_u?);
    let wheelbase = plan.vehicles[vehicle].wheelbase?.value.base();
    let behind = axles::centre(both, wheelbase).ok()?;
    let track = plan.vehicles[vehicle]
        .track
        .map_or(TRACK, |said| said.value.front.base().min(said.value.rear.base()));
    Some(Centre {
        at: Spot::new(behind, 0.0),
        u: Spot::new(
            axles::centre_uncertainty(both, u, wheelbase).ok()?,
            track * OFF_MIDDLE / 3f64.sqrt(),
        ),
        middle_assumed: true,
    })
}

/// A height of the centre, in mm, with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Height {
    /// mm over the ground.
    pub over_ground: f64,
    /// Standard uncertainty, in mm.
    pub u: f64,
    /// Weighed, stated or assumed.
    pub from: HeightFrom,
}

/// Who tells the height of the centre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeightFrom {
    /// This weighing with an end raised.
    Weighing(Id<WeighIn>),
    /// The plan says it.
    Stated,
    /// The plan says that it is assumed.
    Assumed,
}

/// To what the lift of an end can be measured in a workshop, in mm: rectangular. Common practice, no source.
const LIFT_WITHIN: f64 = 2.0;
/// Within which share a stated height is taken to lie, and an assumed one. Common practice, no source.
pub const STATED_WITHIN: f64 = 0.05;
/// The same of a height that the plan says is assumed. Common practice, no source.
pub const ASSUMED_WITHIN: f64 = 0.15;

/// The height of the centre as it was weighed first: by a weighing with an end raised in the same state, else what the plan says.
#[must_use]
pub fn height(plan: &Plan, weighings: &[Weighing]) -> Option<Height> {
    let mut level = weighings.iter().filter(|weighing| weighing.raised.is_none());
    match first_level(weighings).or(level.next()) {
        Some(first) => height_at(plan, weighings, first),
        None => stated_height(&plan.vehicles[plan.vehicle()?]),
    }
}

/// The same of a weighing with all wheels down; what the plan says is of the vehicle as it was found.
#[must_use]
pub fn height_at(plan: &Plan, weighings: &[Weighing], level: &Weighing) -> Option<Height> {
    let raised = weighings.iter().filter(|weighing| weighing.raised.is_some());
    let mut own =
        raised.filter(|raised| level_of(weighings, raised).is_some_and(|own| own.when == level.when));
    let first = first_level(weighings).is_none_or(|first| first.when == level.when);
    let stated = || stated_height(&plan.vehicles[plan.vehicle()?]).filter(|_| first);
    own.find_map(|raised| by_weighing(plan, level, raised))
        .or_else(stated)
}

/// The weighing with all wheels down that one with an end raised belongs to: that of the same moment; the first one where nothing tells the
/// moment.
#[must_use]
pub fn level_of<'a>(weighings: &'a [Weighing], raised: &Weighing) -> Option<&'a Weighing> {
    let mut level = weighings
        .iter()
        .filter(|weighing| weighing.raised.is_none() && weighing.axles.is_some());
    match raised.when {
        Some(_) => level.find(|level| level.when == raised.when),
        None => level.next(),
    }
}

/// The height that the plan says, to what it is taken to be known.
#[must_use]
pub fn stated_height(vehicle: &Vehicle) -> Option<Height> {
    let said = vehicle.centre_height?.value;
    let (share, from) = if said.assumed {
        (ASSUMED_WITHIN, HeightFrom::Assumed)
    } else {
        (STATED_WITHIN, HeightFrom::Stated)
    };
    let over_ground = said.height.base();
    Some(Height {
        over_ground,
        u: over_ground * share / 3f64.sqrt(),
        from,
    })
}

/// What a level weighing and one with an end raised are reckoned from, and the standard uncertainty of the height in mm; none where a figure
/// or a measure is wanting.
#[must_use]
pub fn raised(plan: &Plan, level: &Weighing, raised: &Weighing) -> Option<(Level, Lifted, f64)> {
    let vehicle = &plan.vehicles[plan.vehicle()?];
    let radius = vehicle.wheel_radius?.value;
    let (both, lifted) = (level.axles?, raised.axles?);
    let (end, by) = raised.raised?;
    let level_car = Level {
        wheelbase: vehicle.wheelbase?.value.base(),
        front: both.front,
        rear: both.rear,
        radius_front: radius.front.base(),
        radius_rear: radius.rear.base(),
    };
    let (end, other_axle) = match end {
        End::Front => (Raised::Front, lifted.rear),
        End::Rear => (Raised::Rear, lifted.front),
    };
    let lifted = Lifted { end, by, other_axle };
    Some((level_car, lifted, u_of_height(level_car, lifted, raised)?))
}

/// The standard uncertainty of the height by such a lift, in mm, with the readings of this weighing.
#[must_use]
pub fn u_of_height(level: Level, lifted: Lifted, raised: &Weighing) -> Option<f64> {
    let u = match lifted.end {
        Raised::Front => raised.axles_own?.rear,
        Raised::Rear => raised.axles_own?.front,
    };
    height::uncertainty(level, lifted, u, LIFT_WITHIN / 3f64.sqrt()).ok()
}

fn by_weighing(plan: &Plan, level: &Weighing, with: &Weighing) -> Option<Height> {
    let (level, lifted, u) = raised(plan, level, with)?;
    Some(Height {
        over_ground: height::of_centre(level, lifted).ok()?,
        u,
        from: HeightFrom::Weighing(with.id),
    })
}

/// A way in which two weighings of the vehicle are not alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unlike {
    /// More is in the tank of one.
    Fuel,
    /// The driver sits in one of them.
    Driver,
    /// Pressures differ.
    Tyres,
}

/// Half a litre of fuel, in litres, and a tenth of a bar, in kPa: less is alike. Common practice, no source.
const FUEL_ALIKE: f64 = 0.5;
const TYRES_ALIKE: f64 = 10.0;

/// What both weigh-ins say, and say differently.
#[must_use]
pub fn unlike(a: &WeighIn, b: &WeighIn) -> Vec<Unlike> {
    let mut all = Vec::new();
    let fuel = |weigh_in: &WeighIn| Some(weigh_in.fuel?.value.known()?.base());
    if fuel(a)
        .zip(fuel(b))
        .is_some_and(|(a, b)| (a - b).abs() > FUEL_ALIKE)
    {
        all.push(Unlike::Fuel);
    }
    let driver = |weigh_in: &WeighIn| weigh_in.driver.map(|said| said.value);
    let alike = |a: Driver, b: Driver| match (a, b) {
        (Driver::Mass(a), Driver::Mass(b)) => (a.base() - b.base()).abs() < 1.0,
        (Driver::Mass(_), Driver::In) | (Driver::In, Driver::Mass(_)) => true,
        (a, b) => a == b,
    };
    if driver(a).zip(driver(b)).is_some_and(|(a, b)| !alike(a, b)) {
        all.push(Unlike::Driver);
    }
    let tyres = |weigh_in: &WeighIn| weigh_in.tyres.map(|said| said.value);
    let close = |a: FrontRear<Pressure>, b: FrontRear<Pressure>| {
        let near = |a: Pressure, b: Pressure| (a.base() - b.base()).abs() <= TYRES_ALIKE;
        near(a.front, b.front) && near(a.rear, b.rear)
    };
    if tyres(a).zip(tyres(b)).is_some_and(|(a, b)| !close(a, b)) {
        all.push(Unlike::Tyres);
    }
    all
}

/// When a weighing was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Before any work.
    AsFound,
    /// With this step done, before the next one.
    After(Id<Step>),
    /// Before this act of the step, from 0: the one that weighs.
    Before(Id<Step>, usize),
}

impl When {
    /// The step that it is in or after.
    #[must_use]
    pub fn step(self) -> Option<Id<Step>> {
        match self {
            When::AsFound => None,
            When::After(step) | When::Before(step, _) => Some(step),
        }
    }
}

/// A place in the order of work: the step from 1, and its act; what was found is before all.
pub type Place = (usize, usize);

/// Where each step stands in the order of work.
#[derive(Debug, Clone, Default)]
pub struct Order {
    places: Vec<usize>,
}

impl Order {
    /// Numbers the steps in the order of work.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let mut places = vec![usize::MAX; plan.steps.len()];
        for (nth, step) in plan.order.iter().enumerate() {
            if let Some(place) = places.get_mut(step.index()) {
                *place = nth + 1;
            }
        }
        Self { places }
    }

    /// From 1; the highest number there is for a step that nobody does.
    #[must_use]
    pub fn step(&self, step: Id<Step>) -> usize {
        self.places.get(step.index()).copied().unwrap_or(usize::MAX)
    }

    /// Step and act; the two compare as the work goes.
    #[must_use]
    pub fn place(&self, when: When) -> Place {
        match when {
            When::AsFound => (0, 0),
            When::After(step) => (self.step(step), usize::MAX),
            When::Before(step, act) => (self.step(step), act),
        }
    }
}

/// The moments that the weigh-ins of the vehicle belong to: the step that one names; else the act that weighs, where there is one for each;
/// else what the log says was done before its date; else by their dates, the first before the work and the last after it. What nothing tells
/// is left out.
#[must_use]
pub fn moments(plan: &Plan) -> BTreeMap<Id<WeighIn>, When> {
    let dated = |id: Id<WeighIn>| plan.weigh_ins[id].dated.map(|said| said.value);
    let mut sheets: Vec<Id<WeighIn>> = plan
        .weigh_ins
        .ids()
        .filter(|&id| place(plan, id).is_some())
        .collect();
    let first_written = sheets
        .iter()
        .copied()
        .find(|&id| plan.weigh_ins[id].raised.is_none());
    // Of one day, what does not say its step comes before what does.
    sheets.sort_by_key(|&id| (dated(id), plan.weigh_ins[id].after.is_some(), id));
    let mut found: BTreeMap<Id<WeighIn>, When> = sheets
        .iter()
        .filter_map(|&id| Some((id, When::After(plan.weigh_ins[id].after?.value))))
        .collect();
    let named: BTreeSet<Id<Step>> = found.values().filter_map(|when| when.step()).collect();
    let is_level = |id: &Id<WeighIn>| plan.weigh_ins[*id].raised.is_none();
    let free: Vec<Id<WeighIn>> = sheets
        .iter()
        .copied()
        .filter(|id| !found.contains_key(id))
        .collect();
    let level: Vec<Id<WeighIn>> = free.iter().copied().filter(is_level).collect();
    let mut acts = acts(plan);
    acts.retain(|act| !named.contains(&act.step));
    for sheets in [&level, &free] {
        if acts.len() == sheets.len() {
            let own = acts.iter().map(|act| When::Before(act.step, act.nth));
            found.extend(sheets.iter().copied().zip(own));
            break;
        }
    }
    let done = &plan.progress.done;
    let order = Order::of(plan);
    // Done before a day: a weighing of the day on which the first step was done was made before it, unless it says otherwise.
    let by_log = |day: Date| {
        let before = done
            .iter()
            .filter(|(step, done)| **done < day && order.step(**step) < usize::MAX);
        let last = before.max_by_key(|(step, _)| order.step(**step));
        last.map_or(When::AsFound, |(step, _)| When::After(*step))
    };
    let worked_on = |day: Date| done.values().any(|done| *done == day);
    // Where some have a date, one without has no place among them, but for the one that stands first.
    let all: Vec<Id<WeighIn>> = sheets.iter().copied().filter(is_level).collect();
    let undated = all.iter().all(|&id| dated(id).is_none());
    let ranked: Vec<Id<WeighIn>> = all
        .iter()
        .copied()
        .filter(|&id| undated || dated(id).is_some() || Some(id) == first_written)
        .collect();
    for &id in &level {
        if found.contains_key(&id) {
            continue;
        }
        let before: Vec<Id<WeighIn>> = ranked.iter().copied().take_while(|&other| other != id).collect();
        let day = dated(id);
        let same_day = before
            .iter()
            .filter(|&&other| day.is_some() && dated(other) == day);
        let same_moment = same_day
            .clone()
            .all(|other| found.get(other) == Some(&When::AsFound));
        let twice = same_day.count() > 0;
        let when = match day {
            Some(day) if !done.is_empty() => (!(twice && worked_on(day))).then(|| by_log(day)),
            _ if !ranked.contains(&id) => None,
            _ if before.is_empty() => Some(When::AsFound),
            // Twice on one day, and no work is said to lie between: the same moment.
            Some(_) if twice => same_moment.then_some(When::AsFound),
            // One without a date that stands after one that names its step: nothing says which was first.
            None if before.iter().any(|&other| plan.weigh_ins[other].after.is_some()) => None,
            _ if ranked.last() == Some(&id) && acts.is_empty() => {
                plan.order.last().map(|step| When::After(*step))
            }
            _ => None,
        };
        found.extend(when.map(|when| (id, when)));
    }
    // One with an end raised belongs to those with all wheels down of its day; else to what was done by then.
    for &id in free.iter().filter(|id| !is_level(id)) {
        let Some(day) = dated(id).filter(|_| !found.contains_key(&id)) else {
            continue;
        };
        let mut same_day = all.iter().filter(|&&other| dated(other) == Some(day));
        let when = match same_day.next() {
            Some(level) => found.get(level).copied().filter(|when| {
                let mut rest = same_day;
                rest.all(|other| found.get(other) == Some(when))
            }),
            None if !done.is_empty() => Some(by_log(day)),
            None => None,
        };
        found.extend(when.map(|when| (id, when)));
    }
    found
}

/// An act that weighs the vehicle.
#[derive(Debug, Clone, Copy)]
pub struct WeighingAct {
    /// The step in the plan.
    pub step: Id<Step>,
    /// Among the acts of its step, from 0.
    pub nth: usize,
}

/// The acts that weigh the vehicle, in the order of work.
fn acts(plan: &Plan) -> Vec<WeighingAct> {
    let mut all = Vec::new();
    for &step in &plan.order {
        for (nth, act) in plan.steps[step].acts().enumerate() {
            if let Does::Weigh { things, .. } = &act.does
                && things.iter().any(|load| matches!(load.value, Load::Vehicle(_)))
            {
                all.push(WeighingAct { step, nth });
            }
        }
    }
    all
}
