//! Mirrors of what the work is done with: rigs, tools, consumables, the owner's kit, people and scales.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Common, Context, base, names, text, texts};
use super::things::{MassOf, PaidOf, Price, hazards, mass, paid, price};
use crate::base::quantity::Length;
use crate::plan::model::{Consumable, End, Kit, On, Person, Rating, Rig, Said, Scale, Supply, Tool, Way};

#[derive(Serialize)]
struct RatingOf {
    mass_kg: f64,
    each: bool,
}

fn rating(said: Option<Said<Rating>>) -> Option<RatingOf> {
    said.map(|said| RatingOf {
        mass_kg: said.value.mass.base(),
        each: said.value.each,
    })
}

/// How it is come by.
#[derive(Serialize)]
struct SupplyOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    way: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    make_from: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    time_min: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Price<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hire_a_day: Option<Price<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bought: Option<PaidOf<'a>>,
    /// The first and the last day.
    #[serde(skip_serializing_if = "Option::is_none")]
    hired: Option<[String; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    arrives: Option<String>,
}

/// Days as a plan writes them: of the week by name, of the calendar by date.
pub(super) fn days(all: &[Said<On>]) -> Vec<String> {
    let day = |on: On| match on {
        On::Each(weekday) => weekday.word().to_owned(),
        On::Day(day) => day.to_string(),
    };
    all.iter().map(|said| day(said.value)).collect()
}

fn supply(supply: &Supply) -> SupplyOf<'_> {
    SupplyOf {
        way: supply.way.map(|said| match said.value {
            Way::Borrow => "borrow",
            Way::Hire => "hire",
            Way::Buy => "buy",
            Way::ToMake => "to make",
        }),
        make_from: supply.make_from.as_deref(),
        time_min: base(supply.time),
        cost: price(supply.cost.as_ref()),
        hire_a_day: price(supply.a_day.as_ref()),
        bought: paid(supply.bought.as_ref()),
        hired: supply
            .hired
            .map(|said| [said.value.0.to_string(), said.value.1.to_string()]),
        arrives: supply.arrives.map(|said| said.value.to_string()),
    }
}

#[derive(Serialize)]
struct TakesOf<'a> {
    vehicle: &'a str,
    ends: Vec<&'static str>,
}

#[derive(Serialize)]
struct LegsOf {
    count: u32,
    /// From the horizontal.
    #[serde(skip_serializing_if = "Option::is_none")]
    angle_deg: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct RigOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    floor: bool,
    lifts: bool,
    holds: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    rated: Option<RatingOf>,
    takes: Vec<TakesOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    platform_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    borne_by: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<MassOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    height_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    raises_to_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    legs: Option<LegsOf>,
    supply: SupplyOf<'a>,
    cautions: Vec<&'a str>,
}

pub(super) fn rig<'a>(context: &Context<'a>, rig: &'a Rig) -> RigOf<'a> {
    let plan = context.plan;
    RigOf {
        common: context.common(&rig.head),
        floor: rig.is_floor,
        lifts: rig.lifts.is_some(),
        holds: rig.holds.is_some(),
        rated: rating(rig.rated),
        takes: rig
            .takes
            .iter()
            .map(|said| TakesOf {
                vehicle: &plan.vehicles[said.value.vehicle].head.name,
                ends: said.value.ends.into_iter().flatten().map(End::word).collect(),
            })
            .collect(),
        platform_mm: rig
            .platform
            .map(|said| [said.value.0.base(), said.value.1.base()]),
        borne_by: rig.borne_by.map(|said| &*plan.parts[said.value].head.name),
        count: rig.count.map(|said| said.value),
        mass: mass(rig.mass.as_ref()),
        height_mm: base(rig.height),
        raises_to_mm: base(rig.raises_to),
        legs: rig.legs.map(|said| LegsOf {
            count: said.value.count,
            angle_deg: said.value.angle.map(|angle| angle.base()),
        }),
        supply: supply(&rig.supply),
        cautions: names(&rig.cautions, |id| &plan.cautions[id].head),
    }
}

#[derive(Serialize)]
pub(super) struct ToolOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    size_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    range_n_m: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holds_l: Option<f64>,
    #[serde(skip_serializing_if = "super::things::is_false")]
    compresses: bool,
    supply: SupplyOf<'a>,
}

pub(super) fn tool<'a>(context: &Context<'a>, tool: &'a Tool) -> ToolOf<'a> {
    ToolOf {
        common: context.common(&tool.head),
        size_mm: base(tool.size),
        range_n_m: tool.range.map(|said| [said.value.0.base(), said.value.1.base()]),
        holds_l: base(tool.holds),
        compresses: tool.compresses.is_some(),
        supply: supply(&tool.supply),
    }
}

#[derive(Serialize)]
pub(super) struct ConsumableOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    /// As written.
    #[serde(skip_serializing_if = "Option::is_none")]
    amount: Option<&'a str>,
    supply: SupplyOf<'a>,
}

pub(super) fn consumable<'a>(context: &Context<'a>, consumable: &'a Consumable) -> ConsumableOf<'a> {
    ConsumableOf {
        common: context.common(&consumable.head),
        amount: text(consumable.amount.as_ref()),
        supply: supply(&consumable.supply),
    }
}

#[derive(Serialize)]
pub(super) struct KitOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    has: Vec<&'a str>,
    sockets_mm: Vec<f64>,
    spanners_mm: Vec<f64>,
    keys_mm: Vec<f64>,
    hexalobular: Vec<&'a str>,
}

pub(super) fn kit<'a>(context: &Context<'a>, kit: &'a Kit) -> KitOf<'a> {
    let sizes = |all: &[Said<Length>]| all.iter().map(|said| said.value.base()).collect();
    KitOf {
        common: context.common(&kit.head),
        has: names(&kit.has, |id| &context.plan.tools[id].head),
        sockets_mm: sizes(&kit.sockets),
        spanners_mm: sizes(&kit.spanners),
        keys_mm: sizes(&kit.keys),
        hexalobular: texts(&kit.hexalobular),
    }
}

#[derive(Serialize)]
pub(super) struct PersonOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lifts_kg: Option<f64>,
    licensed_for: Vec<&'static str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    free: Vec<String>,
}

pub(super) fn person<'a>(context: &Context<'a>, person: &'a Person) -> PersonOf<'a> {
    PersonOf {
        common: context.common(&person.head),
        lifts_kg: base(person.lifts),
        licensed_for: hazards(&person.licensed_for),
        free: days(&person.free),
    }
}

#[derive(Serialize)]
pub(super) struct ScaleOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    capacity: Option<RatingOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    division_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    repeatability_kg: Option<f64>,
    /// OIML R 76.
    #[serde(skip_serializing_if = "Option::is_none")]
    class: Option<&'a str>,
}

pub(super) fn scale<'a>(context: &Context<'a>, scale: &'a Scale) -> ScaleOf<'a> {
    ScaleOf {
        common: context.common(&scale.head),
        capacity: rating(scale.capacity),
        division_kg: base(scale.division),
        repeatability_kg: base(scale.repeatability),
        class: text(scale.class.as_ref()),
    }
}
