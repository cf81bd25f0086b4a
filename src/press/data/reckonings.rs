//! Mirror of the reckonings: what each part weighs, the mass account, the mass of the whole and the lie of its centre after each step.
//! Asks `rules/`, and adds up nothing of its own.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeMap;

use serde::Serialize;

use super::context::{Context, Reckoned, Ref, fine, reckoned};
use super::money::{self, MoneyOf, WorthOf};
use crate::analysis::account::{Entry, Reckoner, SwapAccount};
use crate::analysis::centre_path::Standing;
use crate::plan::model::{Id, Step};
use crate::reckon::mass::Total;
use crate::reckon::polygon::Spot;

#[derive(Serialize)]
pub(super) struct ReckoningsOf<'a> {
    parts: Vec<PartMass<'a>>,
    mass_account: AccountOf<'a>,
    mass_after: Vec<MassAfter<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    balance: Option<BalanceOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    money: Option<MoneyOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worth: Option<WorthOf<'a>>,
}

#[derive(Serialize)]
struct PartMass<'a> {
    part: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<Reckoned>,
    /// From a weigh-in, and not from what the part states.
    from_weigh_in: bool,
}

#[derive(Serialize)]
struct FirstOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<Reckoned>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weigh_in: Option<&'a str>,
}

#[derive(Serialize)]
struct EntryOf<'a> {
    of: Ref<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<Reckoned>,
}

#[derive(Serialize)]
struct TotalOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    known: Option<Reckoned>,
    unknown: usize,
}

fn total(total: &Total) -> TotalOf {
    TotalOf {
        known: reckoned(&total.known),
        unknown: total.unknown,
    }
}

#[derive(Serialize)]
struct SwapAccountOf<'a> {
    swap: &'a str,
    comes_off: Vec<EntryOf<'a>>,
    goes_on: Vec<EntryOf<'a>>,
    off: TotalOf,
    on: TotalOf,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<Reckoned>,
}

#[derive(Serialize)]
struct AimOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    to_save_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<Reckoned>,
    /// From 0 to 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    chance: Option<f64>,
}

#[derive(Serialize)]
struct BallastOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    missing_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    for_sure_kg: Option<f64>,
}

#[derive(Serialize)]
struct AccountOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    first: Option<FirstOf<'a>>,
    swaps: Vec<SwapAccountOf<'a>>,
    unknown: Vec<Ref<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    saved: Option<Reckoned>,
    #[serde(skip_serializing_if = "Option::is_none")]
    end: Option<Reckoned>,
    #[serde(skip_serializing_if = "Option::is_none")]
    aim: Option<AimOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ballast: Option<BallastOf>,
}

fn entries<'a>(context: &Context<'a>, entries: &[Entry]) -> Vec<EntryOf<'a>> {
    let entry = |entry: &Entry| EntryOf {
        of: context.weighed(entry.what),
        mass: entry.estimate.as_ref().and_then(reckoned),
    };
    entries.iter().map(entry).collect()
}

fn swap<'a>(context: &Context<'a>, swap: &SwapAccount) -> SwapAccountOf<'a> {
    SwapAccountOf {
        swap: &context.plan.swaps[swap.id].head.name,
        comes_off: entries(context, &swap.off),
        goes_on: entries(context, &swap.on),
        off: total(&swap.off_total()),
        on: total(&swap.on_total()),
        saved: swap.saved().as_ref().and_then(reckoned),
    }
}

fn mass_account<'a>(context: &Context<'a>) -> AccountOf<'a> {
    let plan = context.plan;
    let account = context.compilation.account();
    AccountOf {
        first: account.first().map(|first| FirstOf {
            mass: reckoned(&first.estimate),
            weigh_in: first.weigh_in.map(|id| &*plan.weigh_ins[id].head.name),
        }),
        swaps: account.swaps.iter().map(|one| swap(context, one)).collect(),
        unknown: account
            .unknown()
            .map(|entry| context.weighed(entry.what))
            .collect(),
        saved: account.saved().as_ref().and_then(reckoned),
        end: account.end().and_then(reckoned),
        aim: account.aim(plan).map(|aim| AimOf {
            to_save_kg: fine(aim.wanted),
            saved: reckoned(&aim.saved),
            chance: fine(aim.chance),
        }),
        ballast: account.ballast(plan).map(|(missing, sure)| BallastOf {
            missing_kg: fine(missing),
            for_sure_kg: fine(sure),
        }),
    }
}

#[derive(Serialize)]
struct MassAfter<'a> {
    step: &'a str,
    #[serde(flatten)]
    whole: TotalOf,
}

/// The mass after each step, from the weighing before it; nothing where there was no first weighing.
fn mass_after<'a>(context: &Context<'a>) -> Vec<MassAfter<'a>> {
    let plan = context.plan;
    let account = context.compilation.account();
    let reckoner = Reckoner::new(account, &context.weights, &context.compilation.walk);
    let of_step = |(nth, &step): (usize, &Id<Step>)| {
        let total = reckoner.after_nth(nth)?.total;
        Some(MassAfter {
            step: &plan.steps[step].head.name,
            whole: TotalOf {
                known: reckoned(&total.known),
                unknown: total.unknown,
            },
        })
    };
    plan.order.iter().enumerate().filter_map(of_step).collect()
}

/// Over the ground: behind the front axle and right of the middle.
#[derive(Serialize)]
struct SpotOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    behind_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    right_mm: Option<f64>,
}

fn spot(spot: Spot) -> SpotOf {
    SpotOf {
        behind_mm: fine(spot.behind),
        right_mm: fine(spot.right),
    }
}

#[derive(Serialize)]
struct ContactOf<'a> {
    end: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rig: Option<&'a str>,
    at: SpotOf,
    /// At worst, within what mass and centre are known to.
    #[serde(skip_serializing_if = "Option::is_none")]
    bears_at_most_kg: Option<f64>,
}

#[derive(Serialize)]
struct StandingOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty_kg: Option<f64>,
    centre: SpotOf,
    centre_uncertainty: SpotOf,
    contacts: Vec<ContactOf<'a>>,
    /// From the nearest edge between the contacts; under nothing where it tips.
    #[serde(skip_serializing_if = "Option::is_none")]
    inside_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inside_known_to_mm: Option<f64>,
    /// Parts that left or came with an unknown mass.
    unknown: usize,
}

#[derive(Serialize)]
struct BalanceAfter<'a> {
    step: &'a str,
    #[serde(flatten)]
    standing: StandingOf<'a>,
}

#[derive(Serialize)]
struct BalanceOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    found: Option<StandingOf<'a>>,
    /// Only steps that changed it.
    after: Vec<BalanceAfter<'a>>,
}

fn standing<'a>(context: &Context<'a>, standing: &Standing) -> StandingOf<'a> {
    let worst = standing.rigid_most().unwrap_or_default();
    let contact = |(nth, contact): (usize, &crate::analysis::centre_path::Contact)| ContactOf {
        end: contact.end.word(),
        rig: contact.rig.map(|id| &*context.plan.rigs[id].head.name),
        at: spot(contact.at),
        bears_at_most_kg: worst.get(nth).copied().and_then(fine),
    };
    StandingOf {
        mass_kg: fine(standing.mass.0),
        uncertainty_kg: fine(standing.mass.1),
        centre: spot(standing.centre),
        centre_uncertainty: spot(standing.u),
        contacts: standing.contacts.iter().enumerate().map(contact).collect(),
        inside_mm: standing.stands.and_then(|stands| fine(stands.margin.inside)),
        inside_known_to_mm: standing.stands.and_then(|stands| fine(stands.covers)),
        unknown: standing.unknown,
    }
}

/// The last standing of each step; none where no weighing tells the centre.
fn balance<'a>(context: &Context<'a>) -> Option<BalanceOf<'a>> {
    let plan = context.plan;
    let all = context.compilation.standings()?;
    let found = all.iter().find(|moment| moment.step.is_none());
    let last: BTreeMap<Id<Step>, &Standing> = all
        .iter()
        .filter_map(|moment| Some((moment.step?, moment)))
        .collect();
    let after = plan.order.iter().filter_map(|step| {
        Some(BalanceAfter {
            step: &plan.steps[*step].head.name,
            standing: standing(context, last.get(step)?),
        })
    });
    Some(BalanceOf {
        after: after.collect(),
        found: found.map(|moment| standing(context, moment)),
    })
}

pub(super) fn reckonings<'a>(context: &Context<'a>) -> ReckoningsOf<'a> {
    let parts = context.plan.parts.iter().map(|(id, part)| PartMass {
        part: &part.head.name,
        mass: context.weights.part(id).and_then(reckoned),
        from_weigh_in: context.weights.is_read(id),
    });
    ReckoningsOf {
        parts: parts.collect(),
        mass_account: mass_account(context),
        mass_after: mass_after(context),
        balance: balance(context),
        money: money::money(context),
        worth: money::worth(context),
    }
}
