//! Mirror of the resolved plan as a whole. Lists are in order of declaration, steps and stages in the order of work.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Context, Ref, base, names, refer, text};
use super::things::{Picture, Price, amount, pictures, price};
use super::{gear, joints, things, weighings, work};
use crate::plan::model::{About, List, Starts, Target, Units};

#[derive(Serialize)]
struct TargetOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    save_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<f64>,
}

/// How the job was found, where it was not on, tight and full.
#[derive(Serialize)]
struct StartOf<'a> {
    how: &'static str,
    #[serde(flatten)]
    what: Ref<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_l: Option<f64>,
}

#[derive(Serialize)]
struct HouseOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    hang_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    by_hand_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    heavy_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    big_torque_n_m: Option<f64>,
}

#[derive(Serialize)]
struct AboutOf<'a> {
    #[serde(flatten)]
    common: super::context::Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    target: Option<TargetOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    class_minimum_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    class_driver_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    class_fuel_l: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    front_axle_share: Option<f64>,
    crew: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    units_first: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    dated: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    workshop: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    procedure: Option<&'a str>,
    house: HouseOf,
    starts: Vec<StartOf<'a>>,
    cautions: Vec<&'a str>,
    pictures: Vec<Picture<'a>>,
    /// When there is work.
    works: Vec<WorksOf>,
    no_work: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    begins: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    finish_by: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    budget: Option<Price<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    rates: Vec<RateOf<'a>>,
}

/// Two sums that are worth the same.
#[derive(Serialize)]
struct RateOf<'a> {
    of: Price<'a>,
    is: Price<'a>,
}

/// Hours of some days.
#[derive(Serialize)]
struct WorksOf {
    minutes: f64,
    /// After midnight.
    #[serde(skip_serializing_if = "Option::is_none")]
    from_min: Option<u32>,
    on: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct PlanOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    about: Option<AboutOf<'a>>,
    /// The one that the plan is for.
    #[serde(skip_serializing_if = "Option::is_none")]
    vehicle: Option<&'a str>,
    vehicles: Vec<things::VehicleOf<'a>>,
    parts: Vec<things::PartOf<'a>>,
    assemblies: Vec<things::AssemblyOf<'a>>,
    joints: Vec<joints::JointOf<'a>>,
    fluids: Vec<things::FluidOf<'a>>,
    energies: Vec<things::EnergyOf<'a>>,
    cautions: Vec<things::CautionOf<'a>>,
    rigs: Vec<gear::RigOf<'a>>,
    tools: Vec<gear::ToolOf<'a>>,
    consumables: Vec<gear::ConsumableOf<'a>>,
    kits: Vec<gear::KitOf<'a>>,
    people: Vec<gear::PersonOf<'a>>,
    scales: Vec<gear::ScaleOf<'a>>,
    stages: Vec<work::StageOf<'a>>,
    steps: Vec<work::StepOf<'a>>,
    weigh_ins: Vec<weighings::WeighInOf<'a>>,
    swaps: Vec<weighings::SwapOf<'a>>,
    log: Vec<weighings::LogOf<'a>>,
}

fn start<'a>(context: &Context<'a>, start: &Starts) -> StartOf<'a> {
    let plan = context.plan;
    let (how, what, volume_l) = match start {
        Starts::Off(said) => ("off", context.thing(said.value), None),
        Starts::On(said) => ("on", context.thing(said.value), None),
        Starts::Out(said) => ("out", refer("joint", &plan.joints[said.value].head), None),
        Starts::Slack(said) => ("slack", refer("joint", &plan.joints[said.value].head), None),
        Starts::Drained(said) => ("drained", refer("fluid", &plan.fluids[said.value].head), None),
        Starts::Holds(said, volume) => (
            "holds",
            refer("fluid", &plan.fluids[said.value].head),
            Some(volume.base()),
        ),
    };
    StartOf { how, what, volume_l }
}

fn about<'a>(context: &Context<'a>, about: &'a About) -> AboutOf<'a> {
    let plan = context.plan;
    let house = about.house;
    AboutOf {
        common: context.common(&about.head),
        target: about.target.map(|said| match said.value {
            Target::Save(mass) => TargetOf {
                save_kg: Some(mass.base()),
                mass_kg: None,
            },
            Target::Reach(mass) => TargetOf {
                save_kg: None,
                mass_kg: Some(mass.base()),
            },
        }),
        class_minimum_kg: base(about.class_minimum),
        class_driver_kg: base(about.class_with.driver),
        class_fuel_l: base(about.class_with.fuel),
        front_axle_share: about.axle_split.map(|said| said.value.front()),
        crew: names(&about.crew, |id| &plan.people[id].head),
        units_first: about.units.map(|said| match said.value {
            Units::Metric => "metric",
            Units::Inch => "inch",
        }),
        dated: about.dated.map(|said| said.value.to_string()),
        workshop: text(about.workshop.as_ref()),
        procedure: text(about.procedure.as_ref()),
        house: HouseOf {
            hang_kg: base(house.hang),
            by_hand_kg: base(house.by_hand),
            heavy_kg: base(house.heavy),
            big_torque_n_m: base(house.big_torque),
        },
        starts: about.starts.iter().map(|line| start(context, line)).collect(),
        cautions: names(&about.cautions, |id| &plan.cautions[id].head),
        pictures: pictures(&about.figures),
        works: about
            .calendar
            .works
            .iter()
            .map(|works| WorksOf {
                minutes: works.hours.value.base(),
                from_min: works.from.map(|said| said.value),
                on: gear::days(&works.on),
            })
            .collect(),
        no_work: about
            .calendar
            .no_work
            .iter()
            .map(|said| said.value.to_string())
            .collect(),
        begins: about.calendar.begins.map(|said| said.value.to_string()),
        finish_by: about.calendar.finish_by.map(|said| said.value.to_string()),
        budget: price(about.budget.as_ref()),
        rates: about
            .rates
            .iter()
            .map(|rate| RateOf {
                of: amount(&rate.of.value),
                is: amount(&rate.is.value),
            })
            .collect(),
    }
}

pub(super) fn plan<'a>(context: &Context<'a>) -> PlanOf<'a> {
    let plan = context.plan;
    PlanOf {
        about: plan.about.as_deref().map(|block| about(context, block)),
        vehicle: plan.vehicle().map(|id| &*plan.vehicles[id].head.name),
        vehicles: each(context, &plan.vehicles, things::vehicle),
        parts: each(context, &plan.parts, things::part),
        assemblies: each(context, &plan.assemblies, things::assembly),
        joints: each(context, &plan.joints, joints::joint),
        fluids: each(context, &plan.fluids, things::fluid),
        energies: each(context, &plan.energies, things::energy),
        cautions: each(context, &plan.cautions, things::caution),
        rigs: each(context, &plan.rigs, gear::rig),
        tools: each(context, &plan.tools, gear::tool),
        consumables: each(context, &plan.consumables, gear::consumable),
        kits: each(context, &plan.kits, gear::kit),
        people: each(context, &plan.people, gear::person),
        scales: each(context, &plan.scales, gear::scale),
        stages: work::stages(context),
        steps: work::steps(context),
        weigh_ins: each(context, &plan.weigh_ins, weighings::weigh_in),
        swaps: each(context, &plan.swaps, weighings::swap),
        log: plan.logs.iter().map(|log| weighings::log(context, log)).collect(),
    }
}

fn each<'a, T, M>(
    context: &Context<'a>,
    list: &'a List<T>,
    mirror: impl Fn(&Context<'a>, &'a T) -> M,
) -> Vec<M> {
    list.values().map(|item| mirror(context, item)).collect()
}
