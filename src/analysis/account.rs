//! The mass account: first weighing, what each swap takes off and puts on, what is off for now and what stays off, the state after a step
//! and at the end, target and class minimum. Reads plan and walk, reckons by `reckon/`; knows no wording.

use super::vehicle_weighings::{self, Weighing, When};
use crate::base::quantity::Volume;
use crate::base::source::Span;
use crate::plan::model::{
    Afterwards, Driver, Fluid, Hazard, Id, Part, Plan, Said, Starts, Step, Swap, Target, WeighIn, Weighed,
};
use crate::reckon::ballast;
use crate::reckon::mass::{Heft, Total};
use crate::walk::Walk;
use crate::walk::after::After;
use crate::weights::Weights;

/// Of a fuel of which the plan says none, in kg/l: petrol at 15 °C, 0.72 to 0.775 by EN 228.
const FUEL_DENSITY: f64 = 0.75;

/// One thing of a swap.
#[derive(Debug, Clone)]
pub struct Entry {
    pub what: Weighed,
    pub at: Span,
    pub heft: Option<Heft>,
}

/// What one swap takes off and puts on.
#[derive(Debug, Clone)]
pub struct SwapAccount {
    pub id: Id<Swap>,
    pub off: Vec<Entry>,
    pub on: Vec<Entry>,
}

impl SwapAccount {
    #[must_use]
    pub fn off_total(&self) -> Total {
        Total::of(self.off.iter().map(|entry| entry.heft.as_ref()))
    }

    #[must_use]
    pub fn on_total(&self) -> Total {
        Total::of(self.on.iter().map(|entry| entry.heft.as_ref()))
    }

    /// Off less on; none where a mass is unknown, or where it lists nothing.
    #[must_use]
    pub fn saved(&self) -> Option<Heft> {
        if self.off.is_empty() && self.on.is_empty() {
            return None;
        }
        let (off, on) = (self.off_total(), self.on_total());
        Some(off.whole()?.minus(on.whole()?))
    }

    /// Entries without a known mass.
    pub fn unknown(&self) -> impl Iterator<Item = &Entry> {
        self.off
            .iter()
            .chain(&self.on)
            .filter(|entry| entry.heft.is_none())
    }
}

/// The first known mass of the whole.
#[derive(Debug, Clone)]
pub struct First {
    pub heft: Heft,
    /// The weigh-in that it is from; else the plan states it.
    pub weigh_in: Option<Id<WeighIn>>,
}

/// How the saving stands against the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Aim {
    /// What has to be saved, in kg; for a mass to be reached, what the first mass has over it.
    pub wanted: f64,
    /// Expected to be saved.
    pub saved: Heft,
    /// That the target is met, from 0 to 1.
    pub chance: f64,
}

/// What the last weighing of the whole says of the end.
#[derive(Debug, Clone)]
pub struct Last {
    pub weigh_in: Id<WeighIn>,
    pub end: Heft,
}

/// The account of a plan.
#[derive(Debug, Clone)]
pub struct Account {
    pub first: Option<First>,
    /// A later weighing of the whole has the last word.
    pub last: Option<Last>,
    pub swaps: Vec<SwapAccount>,
}

impl Account {
    #[must_use]
    pub fn of(weights: &Weights<'_>, walk: &Walk) -> Self {
        let plan = weights.plan();
        let entries = |list: &[Said<Weighed>]| {
            list.iter()
                .map(|said| Entry {
                    what: said.value,
                    at: said.at,
                    heft: weights.of(said.value),
                })
                .collect()
        };
        let weighings = vehicle_weighings::all(plan);
        Self {
            first: first(weights, &weighings),
            last: by_the_last(weights, walk, &weighings),
            swaps: plan
                .swaps
                .iter()
                .map(|(id, swap)| SwapAccount {
                    id,
                    off: entries(&swap.comes_off),
                    on: entries(&swap.goes_on),
                })
                .collect(),
        }
    }

    /// Over the swaps whose masses are all known; none where there is no such swap.
    #[must_use]
    pub fn saved(&self) -> Option<Heft> {
        let all: Vec<Heft> = self.swaps.iter().filter_map(SwapAccount::saved).collect();
        (!all.is_empty()).then(|| Heft::sum(&all))
    }

    /// Entries of all swaps whose mass is not known.
    pub fn unknown(&self) -> impl Iterator<Item = &Entry> {
        self.swaps.iter().flat_map(SwapAccount::unknown)
    }

    /// The saving, if every swap is known in full.
    #[must_use]
    pub fn saved_for_sure(&self) -> Option<Heft> {
        self.unknown().next().is_none().then(|| self.saved()).flatten()
    }

    /// The mass at the end: by the last weighing, else by the swaps.
    #[must_use]
    pub fn end(&self) -> Option<Heft> {
        if let Some(last) = &self.last {
            return Some(last.end.clone());
        }
        Some(self.first.as_ref()?.heft.minus(&self.saved_for_sure()?))
    }

    /// How the target stands; none without one, or where a mass is unknown.
    #[must_use]
    pub fn aim(&self, plan: &Plan) -> Option<Aim> {
        let weighed = self
            .last
            .as_ref()
            .zip(self.first.as_ref())
            .map(|(last, first)| first.heft.minus(&last.end));
        let saved = match weighed {
            Some(saved) => saved,
            None => self.saved_for_sure()?,
        };
        match plan.about.as_ref()?.target?.value {
            Target::Save(mass) => Some(Aim {
                wanted: mass.base(),
                chance: saved.chance_of_at_least(mass.base()),
                saved,
            }),
            Target::Reach(mass) => {
                let first = &self.first.as_ref()?.heft;
                let end = match &self.last {
                    Some(last) => last.end.clone(),
                    None => first.minus(&saved),
                };
                Some(Aim {
                    wanted: first.kg - mass.base(),
                    chance: end.chance_of_at_most(mass.base()),
                    saved,
                })
            }
        }
    }

    /// The end as the class weighs it: with its driver and its fuel in place of those of the weighing.
    #[must_use]
    pub fn as_the_class_weighs(&self, plan: &Plan) -> Option<Heft> {
        let end = self.end()?;
        Some(end.plus(&Heft {
            kg: self.class_has_more(plan),
            ..Heft::nothing()
        }))
    }

    /// How much more is in it when the class weighs it than was in it on our scale, in kg.
    #[must_use]
    pub fn class_has_more(&self, plan: &Plan) -> f64 {
        let Some(with) = plan.about.as_ref().map(|about| about.class_with) else {
            return 0.0;
        };
        let sheet = self
            .last
            .as_ref()
            .map(|last| last.weigh_in)
            .or(self.first.as_ref().and_then(|first| first.weigh_in))
            .map(|id| &plan.weigh_ins[id]);
        let driver = with.driver.map_or(0.0, |driver| {
            let had = match sheet.and_then(|sheet| sheet.driver).map(|said| said.value) {
                Some(Driver::Mass(mass)) => mass.base(),
                // Somebody sat in it, whose mass nobody says: taken as the class's own.
                Some(Driver::In) => driver.value.base(),
                Some(Driver::Out) | None => 0.0,
            };
            driver.value.base() - had
        });
        let fuel = with.fuel.map_or(0.0, |fuel| {
            let had = sheet.and_then(|sheet| sheet.fuel?.value.known());
            let burns = |fluid: &&Fluid| crate::plan::hazards::of_fluid(fluid).contains(&Hazard::Fuel);
            let density = plan
                .fluids
                .values()
                .find(burns)
                .and_then(|fluid| fluid.density)
                .map_or(FUEL_DENSITY, |density| density.value.base());
            had.map_or(0.0, |had| (fuel.value.base() - had.base()) * density)
        });
        driver + fuel
    }

    /// How much ballast the class minimum asks for at the end: what is missing, and what makes it sure. None where it is reached, where
    /// there is none, or where the end is not known.
    #[must_use]
    pub fn ballast(&self, plan: &Plan) -> Option<(f64, f64)> {
        let minimum = plan.about.as_ref()?.class_minimum?.value.base();
        let end = self.as_the_class_weighs(plan)?;
        let missing = ballast::missing(&end, minimum).ok()?;
        let sure = ballast::missing_for_sure(&end, minimum).ok()?;
        (missing > 0.0).then_some((missing, sure))
    }
}

/// The first weighing of the whole, else the mass that the plan states of the vehicle.
#[must_use]
pub fn first(weights: &Weights<'_>, weighings: &[Weighing]) -> Option<First> {
    if let Some(weighing) = weighings
        .iter()
        .find(|weighing| weighing.raised.is_none())
        .or(weighings.first())
    {
        return Some(First {
            heft: weighing.total.clone(),
            weigh_in: Some(weighing.id),
        });
    }
    let vehicle = weights.plan().vehicle()?;
    Some(First {
        heft: weights.vehicle(vehicle)?,
        weigh_in: None,
    })
}

/// Where the masses are at one moment, beside the first weighing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Moment {
    /// Off, and to come back.
    pub off_for_now: Vec<Id<Part>>,
    /// Off, and to stay off.
    pub off_for_good: Vec<Id<Part>>,
    /// On, and not there at the first weighing.
    pub on_new: Vec<Id<Part>>,
    /// Out, and in at the first weighing.
    pub drained: Vec<Id<Fluid>>,
    /// In, and out at the first weighing.
    pub filled: Vec<Id<Fluid>>,
}

impl Moment {
    /// What changed between two moments.
    #[must_use]
    pub fn between(plan: &Plan, then: &After<'_>, now: &After<'_>) -> Self {
        let mut moment = Moment::default();
        for (id, part) in plan.parts.iter().filter(|(_, part)| !part.is_body) {
            match (then.is_off(id), now.is_off(id)) {
                (false, true) if comes_back(plan, id, part.afterwards.map(|said| said.value)) => {
                    moment.off_for_now.push(id);
                }
                (false, true) => moment.off_for_good.push(id),
                (true, false) => moment.on_new.push(id),
                _ => {}
            }
        }
        for id in plan.fluids.ids() {
            match (then.is_full(id), now.is_full(id)) {
                (true, false) => moment.drained.push(id),
                (false, true) => moment.filled.push(id),
                _ => {}
            }
        }
        moment
    }

    /// How much more is off than on, and how many masses of it are unknown.
    #[must_use]
    pub fn off(&self, weights: &Weights<'_>) -> Total {
        let plan = weights.plan();
        let gone: Vec<Id<Part>> = self
            .off_for_now
            .iter()
            .chain(&self.off_for_good)
            .copied()
            .collect();
        let (gone, come) = (weights.sum(&gone), weights.sum(&self.on_new));
        let fluids = |ids: &[Id<Fluid>]| -> Vec<Option<Heft>> {
            ids.iter()
                .map(|&id| weights.fluid(id, started_with(plan, id).map(|volume| volume.base())))
                .collect()
        };
        let (out, back) = (fluids(&self.drained), fluids(&self.filled));
        let (out, back) = (
            Total::of(out.iter().map(Option::as_ref)),
            Total::of(back.iter().map(Option::as_ref)),
        );
        Total {
            known: gone.known.plus(&out.known).minus(&come.known).minus(&back.known),
            unknown: gone.unknown + out.unknown + come.unknown + back.unknown,
        }
    }
}

/// What the job was found with of a fluid, where the plan says so.
#[must_use]
pub fn started_with(plan: &Plan, id: Id<Fluid>) -> Option<Volume> {
    plan.about.as_ref()?.starts.iter().find_map(|start| match start {
        Starts::Holds(fluid, volume) if fluid.value == id => Some(*volume),
        _ => None,
    })
}

/// What runs out at most where a fluid is drained for the first time: what was found in it, else what it holds.
#[must_use]
pub fn runs_out(plan: &Plan, id: Id<Fluid>) -> Option<Volume> {
    started_with(plan, id).or(plan.fluids[id].holds.map(|holds| holds.value))
}

/// A part comes back unless the plan says that it does not, or that another one takes its place for certain.
fn comes_back(plan: &Plan, id: Id<Part>, afterwards: Option<Afterwards>) -> bool {
    match afterwards {
        Some(Afterwards::GoesBack) => true,
        Some(_) => false,
        None => !plan.parts.values().any(|part| {
            part.in_place_of
                .is_some_and(|place| place.value.part == id && !place.value.if_renewed)
        }),
    }
}

/// The state in which the vehicle was weighed first, as far as anything tells it; else that in which the job was found.
#[must_use]
pub fn first_state<'a>(plan: &'a Plan, walk: &'a Walk) -> After<'a> {
    let mut level: Vec<Id<WeighIn>> = plan
        .weigh_ins
        .iter()
        .filter(|(id, weigh_in)| weigh_in.raised.is_none() && vehicle_weighings::place(plan, *id).is_some())
        .map(|(id, _)| id)
        .collect();
    level.sort_by_key(|&id| (plan.weigh_ins[id].dated.map(|said| said.value), id));
    level
        .first()
        .and_then(|&id| state_at(plan, walk, id))
        .unwrap_or_else(|| walk.before(plan))
}

/// The state in which a weighing of the vehicle was made; none where nothing tells it.
#[must_use]
pub fn state_at<'a>(plan: &'a Plan, walk: &'a Walk, id: Id<WeighIn>) -> Option<After<'a>> {
    match vehicle_weighings::when(plan, id)? {
        When::AsFound => Some(walk.before(plan)),
        When::After(step) => walk.after(plan, step),
    }
}

/// What the whole will weigh at the end by the last weighing of it: that, less what still comes off, more what still goes on. None where it
/// was weighed once, in another state than at first, or at a moment that nothing tells.
fn by_the_last(weights: &Weights<'_>, walk: &Walk, weighings: &[Weighing]) -> Option<Last> {
    let plan = weights.plan();
    let mut level = weighings.iter().filter(|weighing| weighing.raised.is_none());
    let first = level.next()?;
    let last = level.next_back()?;
    if !vehicle_weighings::unlike(&plan.weigh_ins[first.id], &plan.weigh_ins[last.id]).is_empty() {
        return None;
    }
    let then = state_at(plan, walk, last.id)?;
    let end = walk.after(plan, *plan.order.last()?)?;
    let still = Moment::between(plan, &then, &end).off(weights);
    Some(Last {
        weigh_in: last.id,
        end: last.total.minus(still.whole()?),
    })
}

/// The mass of the whole after a step, or at the end: the first weighing, less what is off since, and more what has come. None where there
/// was no first weighing; what is unknown is counted.
#[must_use]
pub fn after(weights: &Weights<'_>, walk: &Walk, step: Option<Id<Step>>) -> Option<(Moment, Total)> {
    let plan = weights.plan();
    let first = first(weights, &vehicle_weighings::all(plan))?;
    let then = first_state(plan, walk);
    let last = plan.order.last().copied();
    let now = step
        .or(last)
        .and_then(|step| walk.after(plan, step))
        .unwrap_or_else(|| walk.before(plan));
    let moment = Moment::between(plan, &then, &now);
    let off = moment.off(weights);
    Some((
        moment,
        Total {
            known: first.heft.minus(&off.known),
            unknown: off.unknown,
        },
    ))
}
