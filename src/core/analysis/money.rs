//! The money account: what is spent, what is still to be spent, what is to come in and what came in, in whole cents of one currency. Each sum
//! belongs to the swaps that want it, or to the job whatever is chosen, and to the stage that needs it first. A price that nobody says is
//! counted as unknown, and never as nothing. Reads plan and walk; knows no wording.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::timetable::Timetable;
use super::work::Work;
use crate::base::date::Date;
use crate::base::source::Span;
use crate::plan::drives;
use crate::plan::model::{
    Afterwards, Consumable, Head, Id, Joint, Money, Paid, Part, Plan, Rig, Said, Stage, Step, Supply, Swap,
    Tool, Way,
};
use crate::plan::swaps::Belonging;
use crate::plan::vocabulary::acts::OnJoints;
use crate::walk::Walk;

/// ISO 4217 letters.
pub type Currency = [u8; 3];

/// What money is paid for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum For {
    /// The part itself, bought, made or sold.
    Part(Id<Part>),
    /// New fixings of a joint.
    Joint(Id<Joint>),
    /// What is used up.
    Consumable(Id<Consumable>),
    /// A tool, bought or hired.
    Tool(Id<Tool>),
    /// A lift, stand or crane, bought or hired.
    Rig(Id<Rig>),
}

impl For {
    /// Its name and title.
    #[must_use]
    pub fn head(self, plan: &Plan) -> &Head {
        match self {
            For::Part(id) => &plan.parts[id].head,
            For::Joint(id) => &plan.joints[id].head,
            For::Consumable(id) => &plan.consumables[id].head,
            For::Tool(id) => &plan.tools[id].head,
            For::Rig(id) => &plan.rigs[id].head,
        }
    }
}

/// How it is come by, or goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// It stays with the owner.
    Buy,
    /// For so many days; none where neither the plan nor its days say.
    Hire(Option<u32>),
    /// Material for what is made.
    Make,
    /// What a borrowed thing costs.
    Borrow,
    /// Money that comes in for an old part.
    Sale,
}

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Paid, or paid for, on a day.
    Done(Date),
    /// Neither paid nor come in yet.
    ToCome,
    /// Bought only if an old part turns out to need it.
    Perhaps,
}

/// One sum.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The thing of the plan.
    pub what: For,
    /// Bought, hired, made, borrowed or sold.
    pub kind: Kind,
    /// Done, to come, or only perhaps.
    pub standing: Standing,
    /// A hire by the day whose days nobody says: it is taken as one.
    pub guessed_days: bool,
    /// In cents of the account's currency; none where no price is said, or no rate leads there.
    pub cents: Option<i64>,
    /// As it is written; none where it is reckoned, or not said.
    pub stated: Option<Said<Money>>,
    /// What was planned, where something else was paid: in cents.
    pub planned: Option<i64>,
    /// The swaps that want it; none where it is wanted in any case.
    pub swaps: BTreeSet<Id<Swap>>,
    /// Where it is needed first.
    pub stage: Option<Id<Stage>>,
}

/// Sums of some items, in cents.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Sums {
    /// Paid.
    pub spent: i64,
    /// To be paid yet.
    pub to_spend: i64,
    /// Had for old parts.
    pub came_in: i64,
    /// Still wanted for old parts.
    pub to_come_in: i64,
    /// What may come on top.
    pub perhaps: i64,
    /// How many prices of what is to be had are not known.
    pub unknown: usize,
}

impl Sums {
    fn add(&mut self, item: &Item) {
        let Some(cents) = item.cents else {
            self.unknown += usize::from(item.kind != Kind::Sale && item.standing == Standing::ToCome);
            return;
        };
        let slot = match (item.kind, item.standing) {
            (Kind::Sale, Standing::Done(_)) => &mut self.came_in,
            (Kind::Sale, _) => &mut self.to_come_in,
            (_, Standing::Done(_)) => &mut self.spent,
            (_, Standing::ToCome) => &mut self.to_spend,
            (_, Standing::Perhaps) => &mut self.perhaps,
        };
        *slot = slot.saturating_add(cents);
    }

    /// Of some items.
    pub fn of<'a>(items: impl Iterator<Item = &'a Item>) -> Self {
        let mut sums = Self::default();
        items.for_each(|item| sums.add(item));
        sums
    }

    /// All that is paid in the end, before anything comes in.
    #[must_use]
    pub fn cost(&self) -> i64 {
        self.spent.saturating_add(self.to_spend)
    }

    /// What the job costs in the end, with what came and is to come in.
    #[must_use]
    pub fn net(&self) -> i64 {
        self.cost()
            .saturating_sub(self.came_in)
            .saturating_sub(self.to_come_in)
    }
}

/// The account of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MoneyAccount {
    /// All sums are in it; none where no sum is said.
    pub currency: Option<Currency>,
    /// In cents; none where the plan has no budget.
    pub budget: Option<i64>,
    /// In order of the plan's lists: parts, joints, consumables, tools, rigs.
    pub items: Vec<Item>,
    /// Sums that no rate turns into the account's currency.
    pub foreign: Vec<Said<Money>>,
}

impl MoneyAccount {
    /// Works it out; `days` tell how long what is hired without dates is needed.
    #[must_use]
    pub fn of(plan: &Plan, walk: &Walk, work: &Work, days: Option<&Timetable>) -> Self {
        let Some(currency) = main_currency(plan) else {
            return Self::default();
        };
        let rates = Rates::of(plan);
        let belonging = Belonging::of(plan);
        let mut teller = Teller {
            plan,
            walk,
            work,
            days,
            belonging: &belonging,
            rates: &rates,
            currency,
            account: Self {
                currency: Some(currency),
                budget: None,
                items: Vec::new(),
                foreign: Vec::new(),
            },
        };
        let budget = plan.about.as_ref().and_then(|about| about.budget);
        teller.account.budget = budget.and_then(|budget| teller.cents(budget));
        teller.parts();
        teller.joints();
        teller.supplies();
        teller.account
    }

    /// All items together, in cents.
    #[must_use]
    pub fn sums(&self) -> Sums {
        Sums::of(self.items.iter())
    }

    /// What is left of the budget when all is paid; what old parts are still to bring is not in it.
    #[must_use]
    pub fn left(&self) -> Option<i64> {
        let sums = self.sums();
        Some(
            self.budget?
                .saturating_sub(sums.cost())
                .saturating_add(sums.came_in),
        )
    }

    /// What may still be spent: the budget less what is spent, and what came in.
    #[must_use]
    pub fn purse(&self) -> Option<i64> {
        let sums = self.sums();
        Some(
            self.budget?
                .saturating_sub(sums.spent)
                .saturating_add(sums.came_in),
        )
    }
}

/// In hundredths of the currency; none where it is written finer than that, or does not fit.
#[must_use]
pub fn hundredths(money: Money) -> Option<i64> {
    let number = money.number;
    let under = i128::from(number.denominator) * 10i128.checked_pow(u32::from(number.decimals))?;
    let over = i128::from(number.mantissa).checked_mul(100)?;
    (over % under == 0)
        .then(|| i64::try_from(over / under).ok())
        .flatten()
}

/// Every sum that the plan states, with the name of what it is of.
#[must_use]
pub fn stated(plan: &Plan) -> Vec<(&Head, Said<Money>)> {
    let mut all: Vec<(&Head, Said<Money>)> = Vec::new();
    let mut add = |head, sums: [Option<Said<Money>>; 3], paid: [Option<Said<Paid>>; 2]| {
        let paid = paid.into_iter().flatten().filter_map(|paid| paid.value.sum);
        all.extend(sums.into_iter().flatten().chain(paid).map(|sum| (head, sum)));
    };
    if let Some(about) = plan.about.as_deref() {
        add(&about.head, [about.budget, None, None], [None; 2]);
    }
    for part in plan.parts.values() {
        add(
            &part.head,
            [part.cost, part.sold_for, None],
            [part.bought, part.sold],
        );
    }
    for joint in plan.joints.values() {
        if let Some(price) = &joint.price {
            add(&joint.head, [price.cost, None, None], [price.bought, None]);
        }
    }
    let used = plan.consumables.values().map(|used| (&used.head, &used.supply));
    let tools = plan.tools.values().map(|tool| (&tool.head, &tool.supply));
    let rigs = plan.rigs.values().map(|rig| (&rig.head, &rig.supply));
    for (head, supply) in used.chain(tools).chain(rigs) {
        add(head, [supply.cost, supply.a_day, None], [supply.bought, None]);
    }
    all
}

/// That of the budget; else the one that most sums are in, of two alike the one that is said first.
#[must_use]
pub fn main_currency(plan: &Plan) -> Option<Currency> {
    if let Some(budget) = plan.about.as_ref().and_then(|about| about.budget) {
        return Some(budget.value.currency);
    }
    let mut counts: Vec<(Currency, usize)> = Vec::new();
    for (_, sum) in stated(plan) {
        match counts.iter_mut().find(|(known, _)| *known == sum.value.currency) {
            Some((_, count)) => *count += 1,
            None => counts.push((sum.value.currency, 1)),
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max()?;
    counts
        .iter()
        .find(|(_, count)| *count == most)
        .map(|(currency, _)| *currency)
}

/// What a sum is worth in another currency, by one rate or several in a row.
#[derive(Debug, Clone, Default)]
pub struct Rates {
    /// From, to, and how many of the one are how many of the other.
    all: Vec<(Currency, Currency, i128, i128)>,
}

impl Rates {
    /// The rates that the plan says, each both ways.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let rates = plan.about.as_ref().map_or(&[][..], |about| &about.rates);
        let mut all = Vec::new();
        for rate in rates {
            let (of, is) = (rate.of.value, rate.is.value);
            // Each in the least steps that both are written in.
            let whole = |one: Money, other: Money| {
                let (one, other) = (one.number, other.number);
                let ten = 10i128.checked_pow(u32::from(other.decimals))?;
                i128::from(one.mantissa)
                    .checked_mul(ten)?
                    .checked_mul(i128::from(other.denominator))
            };
            let (Some(from), Some(to)) = (whole(of, is), whole(is, of)) else {
                continue;
            };
            if from > 0 && to > 0 {
                all.push((of.currency, is.currency, from, to));
                all.push((is.currency, of.currency, to, from));
            }
        }
        Self { all }
    }

    /// Rounded to the nearest cent, half a cent up; none where no rate leads there.
    #[must_use]
    pub fn turn(&self, cents: i64, from: Currency, to: Currency) -> Option<i64> {
        let mut ways: BTreeMap<Currency, (i128, i128)> = BTreeMap::from([(from, (1, 1))]);
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            let (over, under) = ways.get(&at).copied()?;
            for &(one, other, gives, gets) in &self.all {
                if one != at || ways.contains_key(&other) {
                    continue;
                }
                let (Some(over), Some(under)) = (over.checked_mul(gets), under.checked_mul(gives)) else {
                    continue;
                };
                ways.insert(other, (over, under));
                open.insert(0, other);
            }
        }
        let (over, under) = ways.get(&to).copied()?;
        let twice = i128::from(cents).checked_mul(over)?.checked_mul(2)?;
        i64::try_from((twice + under).div_euclid(2 * under)).ok()
    }
}

struct Teller<'a> {
    plan: &'a Plan,
    walk: &'a Walk,
    work: &'a Work,
    days: Option<&'a Timetable>,
    belonging: &'a Belonging,
    rates: &'a Rates,
    currency: Currency,
    account: MoneyAccount,
}

impl Teller<'_> {
    /// In the account's currency.
    fn cents(&mut self, sum: Said<Money>) -> Option<i64> {
        let own = hundredths(sum.value)?;
        let turned = self.rates.turn(own, sum.value.currency, self.currency);
        if turned.is_none() {
            self.account.foreign.push(sum);
        }
        turned
    }

    /// The swaps for which these steps are done, if none of them is done in any case.
    fn swaps_of(&self, steps: &[Id<Step>]) -> BTreeSet<Id<Swap>> {
        let each: Option<Vec<_>> = steps.iter().map(|&step| self.belonging.of_step(step)).collect();
        each.into_iter().flatten().flatten().copied().collect()
    }

    fn stage_of(&self, steps: &[Id<Step>]) -> Option<Id<Stage>> {
        steps.first().and_then(|&step| self.plan.steps[step].stage)
    }

    #[allow(clippy::too_many_arguments, reason = "one row of the account")]
    fn add(
        &mut self,
        what: For,
        kind: Kind,
        price: Option<Said<Money>>,
        times: i64,
        paid: Option<Said<Paid>>,
        perhaps: bool,
        mut swaps: BTreeSet<Id<Swap>>,
        stage: Option<Id<Stage>>,
    ) {
        // A swap that is left out wants nothing; what it alone wanted is still to be told as its own.
        if swaps.iter().any(|swap| !self.plan.left_out.swaps.contains(swap)) {
            swaps.retain(|swap| !self.plan.left_out.swaps.contains(swap));
        }
        let planned = price.and_then(|price| self.cents(price)?.checked_mul(times));
        let sum = paid.and_then(|paid| paid.value.sum);
        let (cents, standing) = match (paid, sum) {
            (Some(paid), Some(sum)) => (self.cents(sum), Standing::Done(paid.value.on)),
            (Some(paid), None) => (planned, Standing::Done(paid.value.on)),
            (None, _) if perhaps => (planned, Standing::Perhaps),
            (None, _) => (planned, Standing::ToCome),
        };
        let planned = planned.filter(|planned| sum.is_some() && cents != Some(*planned));
        self.account.items.push(Item {
            what,
            kind,
            standing,
            guessed_days: kind == Kind::Hire(None) && times == 1 && cents.is_some() && self.by_the_day(what),
            cents,
            stated: sum.or(price.filter(|_| times == 1)),
            planned,
            swaps,
            stage,
        });
    }

    fn by_the_day(&self, what: For) -> bool {
        let supply = match what {
            For::Consumable(id) => &self.plan.consumables[id].supply,
            For::Tool(id) => &self.plan.tools[id].supply,
            For::Rig(id) => &self.plan.rigs[id].supply,
            For::Part(_) | For::Joint(_) => return false,
        };
        supply.a_day.is_some()
    }

    fn parts(&mut self) {
        let plan = self.plan;
        let damaged: BTreeSet<Id<Part>> = plan
            .logs
            .iter()
            .flat_map(|log| log.damaged.iter().map(|damaged| damaged.part.value))
            .collect();
        let end = super::account::now(plan, self.walk, None);
        let found = self.walk.before(plan);
        for (id, part) in plan.parts.iter() {
            let steps = self.work.parts.steps(id);
            let listed = self.belonging.of_part(id).cloned().unwrap_or_default();
            let goes_on = |swap: &Id<Swap>| {
                let mut all = plan.swaps[*swap].goes_on.iter();
                all.any(|said| self.covers(said.value, id))
            };
            let on_swap: BTreeSet<Id<Swap>> = listed.iter().copied().filter(goes_on).collect();
            let swaps = if on_swap.is_empty() {
                listed
            } else {
                on_swap.clone()
            };
            let if_renewed = part.in_place_of.is_some_and(|said| said.value.if_renewed);
            let is_new = part.in_place_of.is_some() || part.new.is_some() || !on_swap.is_empty();
            let left_out = plan.left_out.parts.contains(&id) && part.bought.is_none();
            let stage = self.stage_of(steps);
            if (is_new || part.bought.is_some() || (damaged.contains(&id) && part.cost.is_some()))
                && !left_out
            {
                let on_already = !found.is_off(id) && part.bought.is_none() && !damaged.contains(&id);
                if !on_already {
                    self.add(
                        For::Part(id),
                        Kind::Buy,
                        part.cost,
                        1,
                        part.bought,
                        if_renewed,
                        swaps.clone(),
                        stage,
                    );
                }
            }
            let goes = part.afterwards.map(|said| said.value);
            let is_sold = part.sold.is_some()
                || part.sold_for.is_some() && goes != Some(Afterwards::GoesBack) && end.is_off(id);
            if is_sold {
                self.add(
                    For::Part(id),
                    Kind::Sale,
                    part.sold_for,
                    1,
                    part.sold,
                    false,
                    swaps,
                    stage,
                );
            }
        }
    }

    fn covers(&self, what: crate::plan::model::Weighed, part: Id<Part>) -> bool {
        match what {
            crate::plan::model::Weighed::Thing(thing) => self.plan.parts_of(thing).contains(&part),
            crate::plan::model::Weighed::Hardware(_) | crate::plan::model::Weighed::Vehicle(_) => false,
        }
    }

    /// New fixings, as often as the joint is closed with them.
    fn joints(&mut self) {
        let plan = self.plan;
        for (id, joint) in plan.joints.iter() {
            let Some(price) = joint.price.as_deref().copied() else {
                continue;
            };
            let mut together = false;
            let mut times = 0i64;
            let mut steps = Vec::new();
            for on in self.work.on(id) {
                match on.does {
                    OnJoints::PutsIn | OnJoints::PressesHome => {
                        times += i64::from(!together);
                        together = true;
                        steps.push(on.step);
                    }
                    OnJoints::PartsThem => together = false,
                    OnJoints::Nothing
                    | OnJoints::Loosens
                    | OnJoints::Tightens
                    | OnJoints::StopsTheLine
                    | OnJoints::ClearsTheLine
                    | OnJoints::Checks => {}
                }
            }
            if times == 0 && price.bought.is_none() {
                continue;
            }
            let mut swaps = self.swaps_of(&steps);
            if swaps.is_empty() && joint.in_place_of.is_some() {
                // A step that is done in any case closes the old one where the new one is not wanted.
                swaps = self.belonging.of_joint(id).cloned().unwrap_or_default();
            }
            let stage = self.stage_of(&steps);
            self.add(
                For::Joint(id),
                Kind::Buy,
                price.cost,
                times.max(1),
                price.bought,
                false,
                swaps,
                stage,
            );
        }
    }

    fn supplies(&mut self) {
        let plan = self.plan;
        for (id, used) in plan.consumables.iter() {
            let steps = self.work.consumables.steps(id).to_vec();
            self.supply(For::Consumable(id), &used.supply, &steps, false);
        }
        for (id, tool) in plan.tools.iter() {
            let steps = self.work.tools.steps(id).to_vec();
            let there = drives::tool_in_kit(plan, id);
            self.supply(For::Tool(id), &tool.supply, &steps, there);
        }
        for (id, rig) in plan.rigs.iter() {
            let steps = self.work.rigs.steps(id).to_vec();
            self.supply(For::Rig(id), &rig.supply, &steps, false);
        }
    }

    fn supply(&mut self, what: For, supply: &Supply, steps: &[Id<Step>], there: bool) {
        let way = supply.way.map(|said| said.value);
        let priced = supply.cost.is_some() || supply.a_day.is_some();
        // What is at hand and says no price costs nothing.
        let wanted = priced || matches!(way, Some(Way::Buy | Way::Hire));
        if supply.bought.is_none() && (steps.is_empty() || there || !wanted) {
            return;
        }
        let swaps = self.swaps_of(steps);
        let stage = self.stage_of(steps);
        let days = self.days_of(supply, steps);
        let (kind, price, times) = match (way, supply.a_day) {
            (_, Some(a_day)) => {
                let times = i64::from(days.unwrap_or(1));
                (Kind::Hire(days), Some(a_day), times)
            }
            (Some(Way::Hire), None) => (Kind::Hire(days), supply.cost, 1),
            (Some(Way::ToMake), None) => (Kind::Make, supply.cost, 1),
            (Some(Way::Borrow), None) => (Kind::Borrow, supply.cost, 1),
            (Some(Way::Buy) | None, None) => (Kind::Buy, supply.cost, 1),
        };
        self.add(what, kind, price, times, supply.bought, false, swaps, stage);
    }

    /// From the first to the last day, both counted: as the plan says, else as the days of the work have it.
    fn days_of(&self, supply: &Supply, steps: &[Id<Step>]) -> Option<u32> {
        let (first, last) = match supply.hired {
            Some(said) => said.value,
            None => {
                let on = self.days?.steps.iter().filter(|at| steps.contains(&at.step));
                let days: Vec<Date> = on.map(|at| at.day).collect();
                (days.iter().min().copied()?, days.iter().max().copied()?)
            }
        };
        Some(last.nth().checked_sub(first.nth())? + 1)
    }
}

/// Whether something is hired by the day for days that the plan does not say.
#[must_use]
pub fn asks_for_days(plan: &Plan) -> bool {
    let used = plan.consumables.values().map(|used| &used.supply);
    let tools = plan.tools.values().map(|tool| &tool.supply);
    let rigs = plan.rigs.values().map(|rig| &rig.supply);
    let mut all = used.chain(tools).chain(rigs);
    all.any(|supply| supply.a_day.is_some() && supply.hired.is_none())
}

/// Where the plan names two currencies without a rate between them: a place in the account's currency, if any, and the first in the other.
#[must_use]
pub fn without_rate(plan: &Plan) -> Vec<(Currency, Currency, Span, &Head)> {
    let Some(main) = main_currency(plan) else {
        return Vec::new();
    };
    let rates = Rates::of(plan);
    let mut told: Vec<(Currency, Currency, Span, &Head)> = Vec::new();
    for (head, sum) in stated(plan) {
        let own = sum.value.currency;
        let known = told.iter().any(|(_, other, _, _)| *other == own);
        if own != main && !known && rates.turn(100, own, main).is_none() {
            told.push((main, own, sum.at, head));
        }
    }
    told
}
