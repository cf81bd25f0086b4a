//! The mass account: first weighing, what each swap takes off and puts on, what is off for now and what stays off, the state after a step
//! and at the end, target and class minimum. Reads plan and walk, reckons by `reckon/`; knows no wording.

use std::collections::BTreeSet;

use super::vehicle_weighings::{self, Order, Place, Unlike, Weighing, When};
use crate::base::quantity::Volume;
use crate::base::source::Span;
use crate::plan::model::{
    Afterwards, Driver, Fluid, Halt, Hazard, Id, Joint, Part, Plan, Said, Step, Swap, Target, WeighIn,
    Weighed,
};
use crate::reckon::ballast;
use crate::reckon::mass::{MassEstimate, Total};
use crate::walk::Walk;
use crate::walk::after::After;
use crate::weights::{self, Weights};

/// Of a fuel of which the plan says none, in kg/l: petrol at 15 °C, 0.72 to 0.775 by EN 228.
const FUEL_DENSITY: f64 = 0.75;

/// One thing of a swap.
#[derive(Debug, Clone)]
pub struct Entry {
    /// A part, an assembly, a joint's fixings or the vehicle.
    pub what: Weighed,
    /// Where the swap names it.
    pub at: Span,
    /// None where nothing tells its mass.
    pub estimate: Option<MassEstimate>,
}

/// What one swap takes off and puts on.
#[derive(Debug, Clone)]
pub struct SwapAccount {
    /// The swap in the plan.
    pub id: Id<Swap>,
    /// What its `comes off` lists.
    pub off: Vec<Entry>,
    /// What its `goes on` lists.
    pub on: Vec<Entry>,
}

impl SwapAccount {
    /// Sum of what comes off, with what of it nobody knows.
    #[must_use]
    pub fn off_total(&self) -> Total {
        Total::of(self.off.iter().map(|entry| entry.estimate.as_ref()))
    }

    /// Sum of what goes on, with what of it nobody knows.
    #[must_use]
    pub fn on_total(&self) -> Total {
        Total::of(self.on.iter().map(|entry| entry.estimate.as_ref()))
    }

    /// Off less on; none where a mass is unknown, or where it lists nothing.
    #[must_use]
    pub fn saved(&self) -> Option<MassEstimate> {
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
            .filter(|entry| entry.estimate.is_none())
    }
}

/// A known mass of the whole, from which others are reckoned.
#[derive(Debug, Clone)]
pub struct Known {
    /// The whole, in kg with its uncertainty.
    pub estimate: MassEstimate,
    /// The weigh-in that it is from; else the plan states it.
    pub weigh_in: Option<Id<WeighIn>>,
    /// The state that it holds for.
    pub when: When,
}

/// How the saving stands against the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Aim {
    /// What has to be saved, in kg; for a mass to be reached, what the vehicle as it was found has over it.
    pub wanted: f64,
    /// Expected to be saved.
    pub saved: MassEstimate,
    /// That the target is met, from 0 to 1.
    pub chance: f64,
}

/// What the job comes to: one and the same for findings, pages and data.
#[derive(Debug, Clone)]
pub struct Ending {
    /// At the end; what is unknown is counted.
    pub total: Total,
    /// What it is less than the vehicle as it was found.
    pub saved: Option<MassEstimate>,
    /// The known mass that it is reckoned from, and what changes after that.
    pub from: Known,
    /// What changed from `from` to the end.
    pub moment: Moment,
    /// No step moves anything for good: it is what the swaps say.
    pub by_swaps: bool,
}

/// The account of a plan.
#[derive(Debug, Clone)]
pub struct Account {
    /// The known masses of the whole in the order of the work: the first, and those weighed later in the same state, one a moment.
    pub known: Vec<Known>,
    /// The mass as the job was found: the first known one, and what came off before it was weighed.
    pub start: Option<MassEstimate>,
    /// None where no mass of the whole is known.
    pub ending: Option<Ending>,
    /// In the order of the plan.
    pub swaps: Vec<SwapAccount>,
}

impl Account {
    /// Adds up what the swaps list, and reckons the whole from the masses that are known of it.
    #[must_use]
    pub fn of(weights: &Weights<'_>, walk: &Walk) -> Self {
        let plan = weights.plan();
        let entries = |list: &[Said<Weighed>]| {
            list.iter()
                .map(|said| Entry {
                    what: said.value,
                    at: said.at,
                    estimate: weights.of(said.value),
                })
                .collect()
        };
        let weighings = vehicle_weighings::all(plan);
        let mut account = Self {
            known: known(weights, walk, &weighings),
            start: None,
            ending: None,
            swaps: plan
                .swaps_done()
                .map(|(id, swap)| SwapAccount {
                    id,
                    off: entries(&swap.comes_off),
                    on: entries(&swap.goes_on),
                })
                .collect(),
        };
        account.start = account.as_found(weights, walk);
        account.ending = account.ended(weights, walk);
        account
    }

    /// The first known mass of the whole.
    #[must_use]
    pub fn first(&self) -> Option<&Known> {
        self.known.first()
    }

    /// What was weighed last, if that was not the first.
    #[must_use]
    pub fn last(&self) -> Option<&Known> {
        self.known.get(1..)?.last()
    }

    fn as_found(&self, weights: &Weights<'_>, walk: &Walk) -> Option<MassEstimate> {
        let reckoner = Reckoner::new(self, weights, walk);
        let found = reckoner.reckon((0, 0), &walk.before(weights.plan()))?;
        found.total.whole().cloned()
    }

    fn ended(&self, weights: &Weights<'_>, walk: &Walk) -> Option<Ending> {
        let plan = weights.plan();
        let reckoner = Reckoner::new(self, weights, walk);
        let end = reckoner.at(None)?;
        let found = walk.before(plan);
        let whole_job = Moment::between(weights, &found, &now(plan, walk, None));
        let stays = whole_job.off_for_good.is_empty() && whole_job.on_new.is_empty();
        let (from, moment) = (end.from.clone(), end.moment.clone());
        if stays && self.known.len() == 1 && !self.swaps.is_empty() {
            let saved = self.saved_for_sure();
            let known = match &saved {
                Some(saved) => self.start.as_ref()?.minus(saved),
                None => self.start.clone()?,
            };
            return Some(Ending {
                total: Total {
                    known,
                    unknown: self.unknown().count(),
                },
                saved,
                from,
                moment,
                by_swaps: true,
            });
        }
        // Nothing is planned yet. Reckoned from one weighing, what it weighed falls away.
        let saved = if stays && self.known.len() == 1 && self.swaps.is_empty() {
            None
        } else if self.known.len() == 1 {
            whole_job.off(weights).whole().cloned()
        } else {
            let whole = end.total.whole();
            self.start
                .as_ref()
                .zip(whole)
                .map(|(start, end)| start.minus(end))
        };
        Some(Ending {
            total: end.total,
            saved,
            from,
            moment,
            by_swaps: false,
        })
    }

    /// Over the swaps whose masses are all known; none where there is no such swap.
    #[must_use]
    pub fn saved(&self) -> Option<MassEstimate> {
        let all: Vec<MassEstimate> = self.swaps.iter().filter_map(SwapAccount::saved).collect();
        (!all.is_empty()).then(|| MassEstimate::sum(&all))
    }

    /// Entries of all swaps whose mass is not known.
    pub fn unknown(&self) -> impl Iterator<Item = &Entry> {
        self.swaps.iter().flat_map(SwapAccount::unknown)
    }

    /// The saving, if every swap is known in full.
    #[must_use]
    pub fn saved_for_sure(&self) -> Option<MassEstimate> {
        self.unknown().next().is_none().then(|| self.saved()).flatten()
    }

    /// The mass at the end; none where it is not known.
    #[must_use]
    pub fn end(&self) -> Option<&MassEstimate> {
        self.ending.as_ref()?.total.whole()
    }

    /// How the target stands; none without one, or where a mass is unknown.
    #[must_use]
    pub fn aim(&self, plan: &Plan) -> Option<Aim> {
        let target = plan.about.as_ref()?.target?.value;
        // What is saved is known of the swaps even where nobody weighed the whole.
        let saved = match &self.ending {
            Some(ending) => ending.saved.clone()?,
            None => self.saved_for_sure()?,
        };
        match target {
            Target::Save(mass) => Some(Aim {
                wanted: mass.base(),
                chance: saved.chance_of_at_least(mass.base()),
                saved,
            }),
            Target::Reach(mass) => Some(Aim {
                wanted: self.start.as_ref()?.kg - mass.base(),
                chance: self.end()?.chance_of_at_most(mass.base()),
                saved,
            }),
        }
    }

    /// The end as the class weighs it: with its driver and its fuel in place of those of the weighing.
    #[must_use]
    pub fn as_the_class_weighs(&self, plan: &Plan) -> Option<MassEstimate> {
        let end = self.end()?;
        Some(end.plus(&MassEstimate {
            kg: self.class_has_more(plan),
            ..MassEstimate::nothing()
        }))
    }

    /// How much more is in it when the class weighs it than was in it on our scale, in kg.
    #[must_use]
    pub fn class_has_more(&self, plan: &Plan) -> f64 {
        let Some(with) = plan.about.as_ref().map(|about| about.class_with) else {
            return 0.0;
        };
        let sheet = self
            .ending
            .as_ref()
            .and_then(|ending| ending.from.weigh_in)
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
            let fuels: Vec<Id<Fluid>> = plan.fluids.ids().filter(|&id| burns(plan, id)).collect();
            let density = fuels
                .iter()
                .find_map(|&id| plan.fluids[id].density)
                .map_or(FUEL_DENSITY, |density| density.value.base());
            // What ran out after it was weighed is not in it at the end, and what was filled in is.
            let since = self.ending.as_ref().map(|ending| &ending.moment);
            let among = |list: fn(&Moment) -> &[Id<Fluid>]| {
                since.is_some_and(|since| list(since).iter().any(|id| fuels.contains(id)))
            };
            let gone = among(|moment| &moment.drained) || among(|moment| &moment.carried_off);
            let had = if gone {
                Some(0.0)
            } else if among(|moment| &moment.filled) {
                let volumes = fuels.iter().filter_map(|&id| runs_out(plan, id));
                Some(volumes.map(|volume| volume.base()).sum())
            } else {
                sheet.and_then(|sheet| Some(sheet.fuel?.value.known()?.base()))
            };
            had.map_or(0.0, |had| (fuel.value.base() - had) * density)
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

/// The weighings of the whole that can be told when they were made and are of the state of the first, one a moment: of the first moment the
/// first, else the last. Where there is none, what the plan states of the vehicle as it was found.
fn known(weights: &Weights<'_>, walk: &Walk, weighings: &[Weighing]) -> Vec<Known> {
    let plan = weights.plan();
    let Some(first) = vehicle_weighings::first_level(weighings) else {
        let stated = plan.vehicle().and_then(|id| weights.vehicle(id));
        let known = stated.map(|estimate| Known {
            estimate,
            weigh_in: None,
            when: When::AsFound,
        });
        return known.into_iter().collect();
    };
    let mut all: Vec<Known> = Vec::new();
    for weighing in comparable(weights, walk, weighings, first) {
        let Some(when) = weighing.when else { continue };
        let known = Known {
            estimate: weighing.total.clone(),
            weigh_in: Some(weighing.id),
            when,
        };
        let count = all.len();
        match all.last_mut() {
            Some(last) if last.when == when && count > 1 => *last = known,
            Some(last) if last.when == when => {}
            _ => all.push(known),
        }
    }
    all
}

/// The level weighings that can be told when they were made and say of nothing that it was otherwise than at the first.
pub fn comparable<'w>(
    weights: &'w Weights<'_>,
    walk: &'w Walk,
    weighings: &'w [Weighing],
    first: &'w Weighing,
) -> impl Iterator<Item = &'w Weighing> {
    weighings.iter().filter(move |weighing| {
        let (a, b) = ((first.id, first.when), (weighing.id, weighing.when));
        weighing.raised.is_none() && weighing.when.is_some() && unlike(weights, walk, a, b).is_empty()
    })
}

fn burns(plan: &Plan, fluid: Id<Fluid>) -> bool {
    crate::plan::hazards::of_fluid(&plan.fluids[fluid]).contains(&Hazard::Fuel)
}

/// What two sheets of the vehicle say differently; but for the fuel where the work between them drained it or filled it in.
#[must_use]
pub fn unlike(
    weights: &Weights<'_>,
    walk: &Walk,
    (a, then): (Id<WeighIn>, Option<When>),
    (b, now): (Id<WeighIn>, Option<When>),
) -> Vec<Unlike> {
    let plan = weights.plan();
    let mut all = vehicle_weighings::unlike(&plan.weigh_ins[a], &plan.weigh_ins[b]);
    let by_work = || {
        let moment = Moment::between(
            weights,
            &state_at(plan, walk, then?)?,
            &state_at(plan, walk, now?)?,
        );
        let mut moved = moment
            .drained
            .iter()
            .chain(&moment.carried_off)
            .chain(&moment.filled);
        Some(moved.any(|&fluid| crate::plan::hazards::of_fluid(&plan.fluids[fluid]).contains(&Hazard::Fuel)))
    };
    if all.contains(&Unlike::Fuel) && by_work() == Some(true) {
        all.retain(|unlike| *unlike != Unlike::Fuel);
    }
    all
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
    /// Away in what it is in, and aboard at the first weighing.
    pub carried_off: Vec<Id<Fluid>>,
    /// Aboard, and not so at the first weighing.
    pub filled: Vec<Id<Fluid>>,
    /// Fixings that the swaps list, and that are out or in since.
    pub hardware_off: Vec<Id<Joint>>,
    /// The same: those that are in.
    pub hardware_on: Vec<Id<Joint>>,
}

/// A fluid that is in, and that something of the vehicle holds: what takes the place of its tank has it too.
fn is_aboard(weights: &Weights<'_>, state: &After<'_>, fluid: Id<Fluid>) -> bool {
    let inside = weights.inside(fluid);
    let heir = |part: &Part| {
        part.in_place_of
            .is_some_and(|place| inside.contains(&place.value.part))
    };
    let parts = || weights.plan().parts.iter();
    state.is_full(fluid)
        && (inside.is_empty()
            || inside.iter().any(|&part| !state.is_off(part))
            || parts().any(|(id, part)| heir(part) && !state.is_off(id)))
}

/// The fluids that are aboard.
#[must_use]
pub fn aboard(weights: &Weights<'_>, state: &After<'_>) -> BTreeSet<Id<Fluid>> {
    let all = weights.plan().fluids.ids();
    all.filter(|&fluid| is_aboard(weights, state, fluid)).collect()
}

impl Moment {
    /// What changed between two moments.
    #[must_use]
    pub fn between(weights: &Weights<'_>, then: &After<'_>, now: &After<'_>) -> Self {
        let plan = weights.plan();
        let mut moment = Moment::default();
        for (id, part) in plan.parts.iter().filter(|(_, part)| !part.is_body) {
            match (then.is_off(id), now.is_off(id)) {
                (false, true) if comes_back(plan, id, part.afterwards.map(|said| said.value)) => {
                    moment.off_for_now.push(id);
                }
                (false, true) => moment.off_for_good.push(id),
                (true, false) => moment.on_new.push(id),
                (true, true) | (false, false) => {}
            }
        }
        for id in plan.fluids.ids() {
            match (is_aboard(weights, then, id), is_aboard(weights, now, id)) {
                (true, false) if now.is_full(id) => moment.carried_off.push(id),
                (true, false) => moment.drained.push(id),
                (false, true) => moment.filled.push(id),
                (true, true) | (false, false) => {}
            }
        }
        let swaps = plan.swaps_done();
        let hardware: BTreeSet<Id<Joint>> = swaps
            .flat_map(|(_, swap)| swap.comes_off.iter().chain(&swap.goes_on))
            .filter_map(|said| match said.value {
                Weighed::Hardware(joint) => Some(joint),
                Weighed::Thing(_) | Weighed::Vehicle(_) => None,
            })
            .collect();
        for joint in hardware {
            match (then.ties(joint), now.ties(joint)) {
                (true, false) => moment.hardware_off.push(joint),
                (false, true) => moment.hardware_on.push(joint),
                (true, true) | (false, false) => {}
            }
        }
        moment
    }

    /// How much more is off than on, and how many masses of it are unknown.
    #[must_use]
    pub fn off(&self, weights: &Weights<'_>) -> Total {
        let gone: Vec<Id<Part>> = self
            .off_for_now
            .iter()
            .chain(&self.off_for_good)
            .copied()
            .collect();
        let (gone, come) = (weights.sum(&gone), weights.sum(&self.on_new));
        let fluids = |ids: &[Id<Fluid>]| Total::of(ids.iter().map(|&id| weights.fluid(id)));
        let hardware = |ids: &[Id<Joint>]| {
            let each: Vec<Option<MassEstimate>> =
                ids.iter().map(|&id| weights.of(Weighed::Hardware(id))).collect();
            Total::of(each.iter().map(Option::as_ref))
        };
        let away = [
            gone,
            fluids(&self.drained),
            fluids(&self.carried_off),
            hardware(&self.hardware_off),
        ];
        let here = [come, fluids(&self.filled), hardware(&self.hardware_on)];
        let sum = |all: &[Total]| MassEstimate::sum(all.iter().map(|total| &total.known));
        Total {
            known: sum(&away).minus(&sum(&here)),
            unknown: away.iter().chain(&here).map(|total| total.unknown).sum(),
        }
    }
}

/// What runs out at most where a fluid is drained for the first time: what was found in it, else what it holds.
#[must_use]
pub fn runs_out(plan: &Plan, id: Id<Fluid>) -> Option<Volume> {
    weights::started_with(plan, id).or(plan.fluids[id].holds.map(|holds| holds.value))
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

/// The state at a moment; none for a step that is not in the order of work.
#[must_use]
pub fn state_at<'a>(plan: &'a Plan, walk: &'a Walk, when: When) -> Option<After<'a>> {
    match when {
        When::AsFound => Some(walk.before(plan)),
        When::After(step) => walk.after(plan, step),
        When::Before(step, act) => walk.before_act(plan, step, act),
    }
}

/// The state after a step, or at the end; where no work is, as it was found.
#[must_use]
pub fn now<'a>(plan: &'a Plan, walk: &'a Walk, step: Option<Id<Step>>) -> After<'a> {
    step.or(plan.order.last().copied())
        .and_then(|step| walk.after(plan, step))
        .unwrap_or_else(|| walk.before(plan))
}

/// Reckons the mass of any moment: from the known mass that is the nearest before it, else from the first one.
pub struct Reckoner<'a> {
    weights: &'a Weights<'a>,
    walk: &'a Walk,
    order: Order,
    known: Vec<(Place, &'a Known, After<'a>)>,
}

/// The whole at one moment.
#[derive(Debug, Clone)]
pub struct Reckoned {
    /// The known mass that is nearest in the work.
    pub from: Known,
    /// What changed since then.
    pub moment: Moment,
    /// What is unknown is counted.
    pub total: Total,
}

impl<'a> Reckoner<'a> {
    /// Made once for many moments: it walks to each known mass once.
    #[must_use]
    pub fn new(account: &'a Account, weights: &'a Weights<'a>, walk: &'a Walk) -> Self {
        let plan = weights.plan();
        let order = Order::of(plan);
        let known = account.known.iter();
        let known = known
            .filter_map(|known| Some((order.place(known.when), known, state_at(plan, walk, known.when)?)));
        Self {
            known: known.collect(),
            weights,
            walk,
            order,
        }
    }

    /// After a step, or at the end; none where nothing tells what the whole weighs.
    #[must_use]
    pub fn at(&self, step: Option<Id<Step>>) -> Option<Reckoned> {
        let place = step.map_or((usize::MAX, usize::MAX), |step| {
            self.order.place(When::After(step))
        });
        self.reckon(place, &now(self.weights.plan(), self.walk, step))
    }

    /// In the midst of a step, where the work stopped.
    #[must_use]
    pub fn midst(&self, halt: Halt) -> Option<Reckoned> {
        let place = self.order.place(When::Before(halt.step, halt.acts));
        self.reckon(place, &self.walk.midst(self.weights.plan(), halt)?)
    }

    /// After the nth step of the work, from 0.
    #[must_use]
    pub fn after_nth(&self, nth: usize) -> Option<Reckoned> {
        self.reckon(
            (nth + 1, usize::MAX),
            &self.walk.after_nth(self.weights.plan(), nth)?,
        )
    }

    fn reckon(&self, place: Place, now: &After<'_>) -> Option<Reckoned> {
        let before = self.known.iter().rev().find(|(known, _, _)| *known <= place);
        let (_, from, then) = before.or(self.known.first())?;
        let moment = Moment::between(self.weights, then, now);
        let off = moment.off(self.weights);
        Some(Reckoned {
            from: (*from).clone(),
            moment,
            total: Total {
                known: from.estimate.minus(&off.known),
                unknown: off.unknown,
            },
        })
    }
}
