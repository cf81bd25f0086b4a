//! What there is to choose between: for each optional swap what it saves, costs and takes by itself, what several share, and what the job
//! comes to whatever is chosen. All in whole grams, cents and minutes, ready for `reckon/choosing.rs`. Whether a set can be done is not asked
//! here: that is walked. Knows no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::account::{Account, SwapAccount};
use super::money::{Item, Kind, MoneyAccount, Standing, Sums};
use super::{timetable, today, work_days};
use crate::base::date::Date;
use crate::plan::model::{Id, Plan, Swap, Target};
use crate::plan::swaps::Belonging;
use crate::reckon::choosing::{Choice, Problem, Set, Shared, Unsearchable, places};
use crate::reckon::mass::MassEstimate;
use crate::reckon::normal;

/// Sure enough: nine times in ten.
pub const SURE: f64 = 0.9;

/// A weekend where the plan says no days: two days of eight hours. Common practice, no source.
pub const WEEKEND: i64 = 2 * 8 * 60;

/// Why a swap is not up for choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fixed {
    /// The plan does not say that it is optional.
    NotOptional,
    /// The log says that it is begun, or done.
    Begun,
    /// One that is done in any case needs it.
    Needed(Id<Swap>),
    /// One that is done in any case shuts it out, or what it needs.
    ShutOut(Id<Swap>),
}

/// A swap with what it comes to by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The swap in the plan.
    pub id: Id<Swap>,
    /// What it saves; none where a mass of it is unknown.
    pub saved: Option<MassEstimate>,
    /// Still to spend for it if it were done alone, in cents, what others would share with it included.
    pub cents: i64,
    /// Of that, what others share.
    pub shared_cents: i64,
    /// Likely work for it if it were done alone, shared work included.
    pub minutes: i64,
    /// Of that, what others share.
    pub shared_minutes: i64,
    /// Spent on it already.
    pub spent: i64,
    /// What its old parts are to bring.
    pub to_come_in: i64,
    /// Prices of it that are not known.
    pub unknown_prices: usize,
    /// Its steps whose time the plan does not say.
    pub unsaid: usize,
    /// None where it may be chosen or left out.
    pub fixed: Option<Fixed>,
    /// Swaps that have to be done with it.
    pub needs: Vec<Id<Swap>>,
    /// Swaps that cannot be done with it.
    pub not_with: Vec<Id<Swap>>,
    /// Those with which it shares work or a sum.
    pub shares_with: BTreeSet<Id<Swap>>,
}

/// By what sets are compared, beside what they save.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// In cents.
    Money,
    /// Where the plan says no sum at all.
    Time,
}

/// What there is to choose between.
#[derive(Debug, Clone)]
pub struct Choices {
    /// Money, else time.
    pub axis: Axis,
    /// All swaps of the plan, in its order.
    pub rows: Vec<Row>,
    /// Those that may be chosen, by their names: the nth is the nth choice of the problem.
    pub free: Vec<Id<Swap>>,
    /// What is searched, made of the rows.
    pub problem: Problem,
    /// Still to spend, and to do, whatever is chosen.
    pub base_cents: i64,
    /// Likely work that is left in any case.
    pub base_minutes: i64,
    /// Prices that are not known, and steps that say no time, of what is done in any case.
    pub base_unknown_prices: usize,
    /// Of that, steps whose time the plan does not say.
    pub base_unsaid: usize,
    /// Saved by all that is done in any case; none where nothing tells.
    pub base_saved: Option<MassEstimate>,
    /// What is to be saved in all, in kg.
    pub wanted: Option<f64>,
    /// The most that the free ones may save so that the class minimum is kept, in grams; under nothing where it is missed without any.
    pub cap: Option<i64>,
}

/// What the job saves without any free swap; nothing at all where no swap is left in it and nobody weighed the whole.
fn base_saved(base: &Account) -> Option<MassEstimate> {
    match &base.ending {
        // Where nothing moves for good, nothing is saved.
        Some(ending) => Some(ending.saved.clone().unwrap_or_else(MassEstimate::nothing)),
        None if base.swaps.is_empty() => Some(MassEstimate::nothing()),
        None => base.saved_for_sure(),
    }
}

/// What has to be saved in all, in kg.
fn wanted_in_all(plan: &Plan, base: &Account) -> Option<f64> {
    match plan.about.as_ref()?.target?.value {
        Target::Save(mass) => Some(mass.base()),
        Target::Reach(mass) => Some(base.start.as_ref()?.kg - mass.base()),
    }
}

/// The swaps that may be chosen or left out.
#[must_use]
pub fn free(plan: &Plan) -> BTreeSet<Id<Swap>> {
    let fixed = fixed(plan, &Belonging::of(plan));
    plan.swaps.ids().filter(|id| !fixed.contains_key(id)).collect()
}

/// The swaps that cannot be chosen, since one that is done in any case shuts them out.
#[must_use]
pub fn shut_out(plan: &Plan) -> BTreeSet<Id<Swap>> {
    let fixed = fixed(plan, &Belonging::of(plan));
    let out = |(id, why)| matches!(why, Fixed::ShutOut(_)).then_some(id);
    fixed.into_iter().filter_map(out).collect()
}

/// To the nearest gram.
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "no plan weighs 2^53 g")]
pub fn grams(kg: f64) -> i64 {
    (kg * 1000.0).round() as i64
}

#[expect(clippy::cast_possible_truncation, reason = "no job takes 2^53 min")]
fn whole(minutes: f64) -> i64 {
    minutes.round() as i64
}

impl Choices {
    /// From the plan with all its swaps, and its masses without any that may be chosen.
    ///
    /// # Errors
    /// More optional swaps than can be searched; figures that do not fit.
    pub fn of(
        plan: &Plan,
        account: &Account,
        money: &MoneyAccount,
        (base_plan, base): (&Plan, &Account),
    ) -> Result<Self, Unsearchable> {
        let belonging = Belonging::of(plan);
        let fixed = fixed(plan, &belonging);
        let axis = if money.currency.is_some() {
            Axis::Money
        } else {
            Axis::Time
        };
        let done = |swap: &Id<Swap>| !matches!(fixed.get(swap), None | Some(Fixed::ShutOut(_)));
        let mut free: Vec<Id<Swap>> = plan.swaps.ids().filter(|id| !fixed.contains_key(id)).collect();
        free.sort_by(|one, other| plan.swaps[*one].head.name.cmp(&plan.swaps[*other].head.name));
        let place: BTreeMap<Id<Swap>, usize> = free.iter().copied().zip(0..).collect();

        let mut costs = Costs::default();
        for item in money
            .items
            .iter()
            .filter(|item| item.standing == Standing::ToCome)
        {
            if item.kind == Kind::Sale || !wanted(&item.swaps, &fixed) {
                continue;
            }
            let unknown = item.cents.is_none();
            costs.add(&item.swaps, done, item.cents.unwrap_or(0), 0, unknown, false);
        }
        let none = BTreeSet::new();
        for &step in &plan.order {
            let swaps = belonging.of_step(step).unwrap_or(&none);
            let over = plan.progress.done.contains_key(&step) || plan.progress.skipped.contains_key(&step);
            if over || !wanted(swaps, &fixed) {
                continue;
            }
            let takes = today::takes_now(plan, step, plan.progress.halt);
            let minutes = takes.map_or(0, |takes| whole(takes.likely()));
            costs.add(swaps, done, 0, minutes, false, takes.is_none());
        }
        let saved: BTreeMap<Id<Swap>, Option<MassEstimate>> = account
            .swaps
            .iter()
            .map(|swap| (swap.id, SwapAccount::saved(swap)))
            .collect();
        let estimate = |id: Id<Swap>| saved.get(&id).cloned().flatten();

        let choices = free
            .iter()
            .map(|&id| {
                let own = costs.alone.get(&id).copied().unwrap_or_default();
                let swap = &plan.swaps[id];
                let at = |all: &[crate::plan::model::Said<Id<Swap>>]| {
                    all.iter()
                        .filter_map(|said| place.get(&said.value).copied())
                        .collect()
                };
                Choice {
                    worth: estimate(id).map_or(0, |estimate| grams(estimate.kg)),
                    money: if axis == Axis::Money {
                        own.cents
                    } else {
                        own.minutes
                    },
                    minutes: if axis == Axis::Money { own.minutes } else { 0 },
                    needs: at(&swap.needs),
                    not_with: at(&swap.not_with),
                }
            })
            .collect();
        let shared = costs
            .shared
            .iter()
            .map(|(swaps, cost)| Shared {
                money: if axis == Axis::Money {
                    cost.cents
                } else {
                    cost.minutes
                },
                minutes: if axis == Axis::Money { cost.minutes } else { 0 },
                of: swaps.iter().filter_map(|swap| place.get(swap).copied()).collect(),
            })
            .collect();
        let problem = Problem::new(choices, shared)?;

        let rows = plan
            .swaps
            .iter()
            .map(|(id, swap)| {
                let own = costs.alone.get(&id).copied().unwrap_or_default();
                let of_it = || costs.shared.iter().filter(|(swaps, _)| swaps.contains(&id));
                let shared = of_it().fold(Cost::default(), |sum, (_, cost)| sum.plus(cost));
                let items = money.items.iter().filter(|item| item.swaps.contains(&id));
                let sums = Sums::of(items);
                Row {
                    id,
                    saved: estimate(id),
                    cents: own.cents + shared.cents,
                    shared_cents: shared.cents,
                    minutes: own.minutes + shared.minutes,
                    shared_minutes: shared.minutes,
                    spent: sums.spent,
                    to_come_in: sums.to_come_in,
                    unknown_prices: own.unknown + shared.unknown,
                    unsaid: own.unsaid + shared.unsaid,
                    fixed: fixed.get(&id).cloned(),
                    needs: swap.needs.iter().map(|said| said.value).collect(),
                    not_with: swap.not_with.iter().map(|said| said.value).collect(),
                    shares_with: of_it()
                        .filter(|(_, cost)| cost.cents > 0 || cost.minutes > 0)
                        .flat_map(|(swaps, _)| swaps.iter().copied())
                        .filter(|other| *other != id)
                        .collect(),
                }
            })
            .collect();

        let minimum = plan.about.as_ref().and_then(|about| about.class_minimum);
        let cap = minimum.and_then(|minimum| {
            let end = base.as_the_class_weighs(base_plan)?;
            Some(grams(end.kg - minimum.value.base()))
        });
        Ok(Self {
            axis,
            rows,
            free,
            problem,
            base_cents: costs.base.cents,
            base_minutes: costs.base.minutes,
            base_unknown_prices: costs.base.unknown,
            base_unsaid: costs.base.unsaid,
            base_saved: base_saved(base),
            wanted: wanted_in_all(plan, base),
            cap,
        })
    }

    /// The swaps of a set.
    #[must_use]
    pub fn swaps(&self, set: &Set) -> Vec<Id<Swap>> {
        places(set.chosen)
            .filter_map(|place| self.free.get(place).copied())
            .collect()
    }

    /// The free swaps that are not in a set.
    #[must_use]
    pub fn left_out(&self, set: &Set) -> BTreeSet<Id<Swap>> {
        let all = self.free.iter().copied().zip(0..);
        all.filter(|(_, place)| !set.has(*place))
            .map(|(id, _)| id)
            .collect()
    }

    fn row(&self, id: Id<Swap>) -> Option<&Row> {
        self.rows.iter().find(|row| row.id == id)
    }

    /// What the whole job saves with a set, by the figures of the swaps; none where nothing tells what the rest saves.
    #[must_use]
    pub fn saved(&self, set: &Set) -> Option<MassEstimate> {
        let base = self.base_saved.as_ref()?;
        let own = self
            .swaps(set)
            .into_iter()
            .filter_map(|id| self.row(id)?.saved.as_ref());
        Some(own.fold(base.clone(), |sum, estimate| sum.plus(estimate)))
    }

    /// Grams that the free ones have to save so that the target is as likely met as not; none without a target.
    #[must_use]
    pub fn wanted_of_free(&self) -> Option<i64> {
        let (wanted, base) = (self.wanted?, self.base_saved.as_ref()?);
        Some(grams(wanted - base.kg))
    }

    /// What all swaps and the rest of the job save together, were they all to go together; none where one is not known.
    #[must_use]
    pub fn all_of_them(&self) -> Option<MassEstimate> {
        let each: Option<Vec<&MassEstimate>> = self.rows.iter().map(|row| row.saved.as_ref()).collect();
        Some(MassEstimate::sum(
            each?.into_iter().chain(self.base_saved.as_ref()),
        ))
    }

    /// Whether so much is less than the target.
    #[must_use]
    pub fn falls_short(&self, saved: &MassEstimate) -> bool {
        self.wanted.is_some_and(|wanted| saved.kg < wanted)
    }

    /// Whether the target is met with this chance or more: the mean less so many standard deviations reaches it.
    #[must_use]
    pub fn is_sure(&self, set: &Set, chance: f64) -> bool {
        let (Some(wanted), Some(saved), Ok(z)) = (self.wanted, self.saved(set), normal::quantile(chance))
        else {
            return false;
        };
        saved.kg - z * saved.u() >= wanted - 1e-9
    }

    /// Money and minutes of the whole job that are still to come, with a set.
    #[must_use]
    pub fn whole_job(&self, set: &Set) -> (i64, i64) {
        match self.axis {
            Axis::Money => (self.base_cents + set.money, self.base_minutes + set.minutes),
            Axis::Time => (self.base_cents, self.base_minutes + set.money),
        }
    }
}

/// Whether a cost counts at all: not where all that want it are shut out.
fn wanted(swaps: &BTreeSet<Id<Swap>>, fixed: &BTreeMap<Id<Swap>, Fixed>) -> bool {
    let out = |swap: &Id<Swap>| matches!(fixed.get(swap), Some(Fixed::ShutOut(_)));
    swaps.is_empty() || !swaps.iter().all(out)
}

#[derive(Debug, Clone, Copy, Default)]
struct Cost {
    cents: i64,
    minutes: i64,
    unknown: usize,
    unsaid: usize,
}

impl Cost {
    fn plus(self, other: &Cost) -> Cost {
        Cost {
            cents: self.cents + other.cents,
            minutes: self.minutes + other.minutes,
            unknown: self.unknown + other.unknown,
            unsaid: self.unsaid + other.unsaid,
        }
    }
}

#[derive(Debug, Default)]
struct Costs {
    base: Cost,
    alone: BTreeMap<Id<Swap>, Cost>,
    shared: BTreeMap<BTreeSet<Id<Swap>>, Cost>,
}

impl Costs {
    /// Of those that want it: of one that is done in any case it is part of the job.
    fn add(
        &mut self,
        swaps: &BTreeSet<Id<Swap>>,
        done: impl Fn(&Id<Swap>) -> bool,
        cents: i64,
        minutes: i64,
        unknown: bool,
        unsaid: bool,
    ) {
        let cost = Cost {
            cents,
            minutes,
            unknown: usize::from(unknown),
            unsaid: usize::from(unsaid),
        };
        // What a swap that is done in any case wants is told with it too.
        for swap in swaps.iter().filter(|swap| done(swap)) {
            let own = self.alone.entry(*swap).or_default();
            *own = own.plus(&cost);
        }
        if swaps.is_empty() || swaps.iter().any(&done) {
            self.base = self.base.plus(&cost);
            return;
        }
        let mut all = swaps.iter();
        let slot = match (all.next(), all.next()) {
            (Some(&only), None) => self.alone.entry(only).or_default(),
            _ => self.shared.entry(swaps.clone()).or_default(),
        };
        *slot = slot.plus(&cost);
    }
}

/// Swaps that are not up for choice, and why.
fn fixed(plan: &Plan, belonging: &Belonging) -> BTreeMap<Id<Swap>, Fixed> {
    let mut fixed: BTreeMap<Id<Swap>, Fixed> = BTreeMap::new();
    let mut open: Vec<Id<Swap>> = Vec::new();
    for (id, swap) in plan.swaps.iter() {
        let why = if swap.optional.is_none() && swap.left_out.is_none() {
            Fixed::NotOptional
        } else if !belonging.begun(plan, id).is_empty() {
            Fixed::Begun
        } else {
            continue;
        };
        fixed.insert(id, why);
        open.push(id);
    }
    while let Some(id) = open.pop() {
        for said in &plan.swaps[id].needs {
            if let std::collections::btree_map::Entry::Vacant(slot) = fixed.entry(said.value) {
                slot.insert(Fixed::Needed(id));
                open.push(said.value);
            }
        }
    }
    // What a fixed one shuts out, and all that needs such a one.
    let shut: Vec<(Id<Swap>, Id<Swap>)> = plan
        .swaps
        .iter()
        .flat_map(|(id, swap)| swap.not_with.iter().map(move |said| (id, said.value)))
        .flat_map(|(one, other)| [(one, other), (other, one)])
        .filter(|(by, _)| fixed.contains_key(by))
        .collect();
    let mut out: Vec<(Id<Swap>, Id<Swap>)> = shut;
    while let Some((by, id)) = out.pop() {
        if fixed.contains_key(&id) {
            continue;
        }
        fixed.insert(id, Fixed::ShutOut(by));
        let needing = plan
            .swaps
            .iter()
            .filter(|(_, swap)| swap.needs.iter().any(|said| said.value == id));
        out.extend(needing.map(|(other, _)| (by, other)));
    }
    fixed
}

/// Minutes of work by the plan's calendar from its beginning to a day, this day included; none without a calendar or a beginning.
#[must_use]
pub fn minutes_until(plan: &Plan, last: Date) -> Option<i64> {
    let calendar = work_days::calendar(plan)?;
    let begins = timetable::begins(plan, None)?;
    let days = begins.nth()..=last.nth().max(begins.nth().saturating_sub(1));
    let minutes = days.filter_map(|nth| work_days::hours(calendar, Date::of_nth(nth)));
    Some(
        minutes
            .map(|(opens, shuts)| i64::from(shuts.saturating_sub(opens)))
            .sum(),
    )
}

/// Minutes of work that are left by the day on which it has to end.
#[must_use]
pub fn minutes_left(plan: &Plan) -> Option<i64> {
    let by = plan.about.as_ref()?.calendar.finish_by?;
    minutes_until(plan, by.value)
}

/// Minutes of work of the first so many weeks that have any, by the plan's calendar; else weekends as is usual.
#[must_use]
pub fn minutes_of_weeks(plan: &Plan, weeks: usize) -> Vec<i64> {
    let usual = || (1..).map(|nth| nth * WEEKEND).take(weeks).collect();
    let (Some(calendar), Some(begins)) = (work_days::calendar(plan), timetable::begins(plan, None)) else {
        return usual();
    };
    let mut all: Vec<i64> = Vec::new();
    let (mut sum, mut of_week) = (0, 0);
    // A year without a day of work has none at all.
    for nth in (begins.nth()..).take(366) {
        let day = Date::of_nth(nth);
        if let Some((opens, shuts)) = work_days::hours(calendar, day) {
            of_week += i64::from(shuts.saturating_sub(opens));
        }
        if day.weekday() == crate::base::date::Weekday::Sunday && of_week > 0 {
            sum += of_week;
            of_week = 0;
            all.push(sum);
            if all.len() == weeks {
                return all;
            }
        }
    }
    if all.is_empty() { usual() } else { all }
}

/// What of an account belongs to a swap or to the job as a whole: each group once, the job first.
#[must_use]
pub fn by_swap(money: &MoneyAccount) -> Vec<(BTreeSet<Id<Swap>>, Vec<&Item>)> {
    let mut groups: BTreeMap<BTreeSet<Id<Swap>>, Vec<&Item>> = BTreeMap::new();
    for item in &money.items {
        groups.entry(item.swaps.clone()).or_default().push(item);
    }
    groups.into_iter().collect()
}
