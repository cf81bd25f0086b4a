//! Of the family **totals**: sums of money that cannot be, or are most likely slips, and the account against the budget. Knows nothing of
//! masses.

use std::collections::BTreeSet;

use super::totals::IMPOSSIBLE_FIGURE;
use super::{amounts, rule};
use crate::analysis::Analysis;
use crate::analysis::money::{self, Sums};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Head, Money, Plan, Rate, Said, Supply};
use crate::walk::Walk;

rule!(
    OVER_BUDGET,
    "over-budget",
    Doubt,
    true,
    "The job costs more than the budget, with all that old parts bring."
);
rule!(
    NO_RATE,
    "no-rate",
    Fault,
    true,
    "Sums stand in two currencies, and the plan gives no rate between them."
);
rule!(
    PRICE_UNLIKE_OTHERS,
    "price-unlike-others",
    Doubt,
    true,
    "A price is a hundred times what things of its kind cost in this plan."
);

/// A price so many times the middle one of its kind, and so many times the next dearest, is asked about. Common practice, no source.
const TIMES_THE_MIDDLE: i64 = 100;
const TIMES_THE_NEXT: i64 = 10;
/// Of so many others at least.
const FELLOWS: usize = 2;

/// Asked of the text alone.
pub(super) fn written(plan: &Plan, findings: &mut Vec<Finding>) {
    for (head, sum) in money::stated(plan) {
        findings.extend(impossible(plan, head, sum));
    }
    let rates = plan.about.as_ref().map_or(&[][..], |about| &about.rates);
    for rate in rates {
        let is_nothing = |sum: Said<Money>| sum.value.number.mantissa <= 0;
        let same = rate.of.value.currency == rate.is.value.currency;
        if !same && !is_nothing(rate.of) && !is_nothing(rate.is) {
            continue;
        }
        let what = if same {
            "a rate between a currency and itself"
        } else {
            "a rate of nothing or less"
        };
        findings.push(
            Finding::new(&IMPOSSIBLE_FIGURE, what)
                .at(rate.at, "what is it worth in the other currency?")
                .harm("Every sum in that currency comes out wrong.")
                .mend("Write what one is worth in the other: rate 1 EUR is 0.86 GBP"),
        );
    }
    contradicting(rates, findings);
    for (main, other, at, head) in money::without_rate(plan) {
        let (main, other) = (amounts::currency(main), amounts::currency(other));
        findings.push(
            Finding::new(
                &NO_RATE,
                format!("sums stand in {main} and in {other}, and no rate between them is given"),
            )
            .at(at, format!("in {other}; the account is in {main}"))
            .harm("They cannot be added up, and the account leaves this out.")
            .mend(format!("In the plan's block: `rate 1 {other} is ... {main}`"))
            .about(&*head.name),
        );
    }
}

/// A sum that nobody pays.
fn impossible(plan: &Plan, head: &Head, sum: Said<Money>) -> Option<Finding> {
    let is_budget = plan
        .about
        .as_ref()
        .and_then(|about| about.budget)
        .is_some_and(|budget| budget.at == sum.at);
    let shown = amounts::money_as_written(sum.value);
    let (why, mend) = if sum.value.number.mantissa < 0 {
        (
            "less than nothing",
            "Write it without the minus; what comes in is said by `sold for`",
        )
    } else if is_budget && sum.value.number.mantissa == 0 {
        (
            "a budget of nothing buys nothing",
            "Write what may be spent, or take the line out",
        )
    } else if money::hundredths(sum.value).is_none() {
        (
            "finer than a hundredth, or more than any sum",
            "Write it in whole hundredths: 12.50 GBP",
        )
    } else {
        return None;
    };
    Some(
        Finding::new(&IMPOSSIBLE_FIGURE, format!("`{}`: a sum of {shown}", head.name))
            .at(sum.at, why)
            .harm("The account, and what each swap costs, come out wrong.")
            .mend(mend)
            .about(&*head.name),
    )
}

/// Asked of the account.
pub(super) fn check(plan: &Plan, walk: &Walk, analysis: &Analysis, findings: &mut Vec<Finding>) {
    findings.extend(over_budget(plan, walk, analysis));
    let parts = plan.parts.values().map(|part| (&part.head, part.cost));
    unlike(plan, parts.collect(), findings);
    let used = plan.consumables.values().map(|used| (&used.head, &used.supply));
    let tools = plan.tools.values().map(|tool| (&tool.head, &tool.supply));
    let rigs = plan.rigs.values().map(|rig| (&rig.head, &rig.supply));
    let cost = |(head, supply): (_, &Supply)| (head, supply.cost);
    unlike(plan, used.chain(tools).chain(rigs).map(cost).collect(), findings);
    let joints = plan.joints.values();
    let joints = joints.map(|joint| (&joint.head, joint.price.as_ref().and_then(|price| price.cost)));
    unlike(plan, joints.collect(), findings);
}

fn over_budget(plan: &Plan, walk: &Walk, analysis: &Analysis) -> Option<Finding> {
    let said = plan.about.as_ref()?.budget?;
    let account = analysis.money(plan, walk);
    let (budget, currency) = (account.budget?, account.currency?);
    let sums = account.sums();
    let over = sums
        .net()
        .checked_sub(budget)
        .filter(|over| *over > 0 && budget > 0)?;
    let show = |cents: i64| amounts::money(cents, currency);
    let Sums {
        spent,
        to_spend,
        came_in,
        to_come_in,
        ..
    } = sums;
    let sold = came_in.saturating_add(to_come_in);
    let less = match sold {
        0 => String::new(),
        sold => format!(", less {} for what is sold", show(sold)),
    };
    Some(
        Finding::new(
            &OVER_BUDGET,
            format!(
                "the job costs {}{less}: {} over the budget",
                show(sums.cost()),
                show(over)
            ),
        )
        .at(
            said.at,
            format!("{} spent, {} still to spend", show(spent), show(to_spend)),
        )
        .harm("The money runs out with the car apart.")
        .mend("Leave a swap out (`boltfolio worth` tells which), or raise the budget")
        .about(plan.about.as_ref().map_or("", |about| &about.head.name)),
    )
}

fn unlike(plan: &Plan, prices: Vec<(&Head, Option<Said<Money>>)>, findings: &mut Vec<Finding>) {
    let rates = money::Rates::of(plan);
    let all: Vec<(&Head, Said<Money>, i64)> = prices
        .into_iter()
        .filter_map(|(head, price)| Some((head, price?)))
        .filter_map(|(head, price)| {
            let own = money::hundredths(price.value).filter(|cents| *cents > 0)?;
            Some((head, price, own))
        })
        .collect();
    let Some(first) = money::main_currency(plan).filter(|_| all.len() > FELLOWS) else {
        return;
    };
    let turned: Vec<(&Head, Said<Money>, i64)> = all
        .into_iter()
        .filter_map(|(head, price, cents)| {
            Some((head, price, rates.turn(cents, price.value.currency, first)?))
        })
        .collect();
    // What a block says for each side is said once.
    let mut turned = turned;
    let mut seen: BTreeSet<Span> = BTreeSet::new();
    turned.retain(|(_, price, _)| seen.insert(price.at));
    turned.sort_by_key(|(_, _, cents)| *cents);
    let sums: Vec<i64> = turned.iter().map(|(_, _, cents)| *cents).collect();
    // Where the prices leap, and most of them lie below.
    let Some((nth, next)) = leap(&sums) else { return };
    for (head, price, _) in turned.iter().skip(nth) {
        findings.push(
            Finding::new(
                &PRICE_UNLIKE_OTHERS,
                format!(
                    "`{}` costs {}, and the next dearest of its kind {}",
                    head.name,
                    amounts::money_as_written(price.value),
                    amounts::money(next, first)
                ),
            )
            .at(price.at, "two noughts too many, or another currency?")
            .harm("One slip makes nonsense of the account and of what is worth doing.")
            .mend("Check the figure and its currency")
            .about(&*head.name),
        );
    }
}

/// In rising sums the place from which on they are so many times the one before, and so many times the middle of those below; and the one before.
fn leap(sums: &[i64]) -> Option<(usize, i64)> {
    let pairs = sums.iter().zip(sums.iter().skip(1)).enumerate();
    let mut leaps = pairs.filter(|(nth, (below, above))| {
        let lower = nth + 1;
        // Half of those below, rounded down: the middle one.
        let middle = sums.get(nth / 2).copied().unwrap_or(**below);
        lower >= FELLOWS
            && lower > sums.len() - lower
            && **above >= below.saturating_mul(TIMES_THE_NEXT)
            && **above >= middle.saturating_mul(TIMES_THE_MIDDLE)
    });
    leaps.next().map(|(nth, (below, _))| (nth + 1, *below))
}

/// Two rates between the same two currencies, of which one says more than the other by a twentieth: one of them is old, or upside down.
fn contradicting(rates: &[Rate], findings: &mut Vec<Finding>) {
    /// What is bought and sold at two rates lies closer together. Common practice, no source.
    const APART: f64 = 0.05;
    #[expect(clippy::cast_precision_loss, reason = "a rate has a few figures")]
    let value = |money: Money| {
        let number = money.number;
        let tens = 10f64.powi(i32::from(number.decimals));
        number.mantissa as f64 / tens / number.denominator as f64
    };
    for (nth, one) in rates.iter().enumerate() {
        for other in rates.iter().skip(nth + 1) {
            let (a, b) = (one, other);
            let currencies = |rate: &Rate| (rate.of.value.currency, rate.is.value.currency);
            let worth = |rate: &Rate| value(rate.is.value) / value(rate.of.value);
            let against = match (currencies(a), currencies(b)) {
                (here, there) if here == there => worth(b),
                ((of, is), (is_too, of_too)) if of == of_too && is == is_too => 1.0 / worth(b),
                _ => continue,
            };
            let own = worth(a);
            if !(own > 0.0 && against > 0.0) || (own / against).ln().abs() <= APART {
                continue;
            }
            findings.push(
                Finding::new(
                    &IMPOSSIBLE_FIGURE,
                    "two rates between the same currencies contradict each other",
                )
                .at(other.at, "this one")
                .at(one.at, "and this one")
                .harm("Which of them a sum is turned by nobody sees; half of the account is wrong.")
                .mend("Leave one of the two: rate 1 EUR is 0.86 GBP says both ways"),
            );
        }
    }
}
