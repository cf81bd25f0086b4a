//! Mirrors of what the work is done on: vehicle, parts, assemblies, fluids, energies, and the cautions about them.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Common, Context, Ref, base, names, text, texts};
use crate::base::quantity::Length;
use crate::plan::model::{
    Afterwards, Assembly, Caution, Energy, EnergyKind, Figure, Fluid, FrontRear, Going, Hazard, Id,
    MassFigure, Money, Origin, Paid, Part, Place, Said, Signal, Vehicle,
};

#[derive(Serialize)]
pub(super) struct MassOf<'a> {
    mass_kg: f64,
    /// One standard deviation.
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty_kg: Option<f64>,
    origin: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weighed_as: Option<&'a str>,
}

pub(super) fn mass(said: Option<&Said<MassFigure>>) -> Option<MassOf<'_>> {
    let figure = &said?.value;
    Some(MassOf {
        mass_kg: figure.mass.base(),
        uncertainty_kg: figure.give.map(|give| give.base()),
        origin: match figure.origin {
            Origin::Estimated => "estimated",
            Origin::Quoted => "quoted",
            Origin::Weighed => "weighed",
            Origin::Unsaid => "not said",
        },
        weighed_as: figure.state.as_deref(),
    })
}

#[derive(Serialize)]
pub(super) struct PlaceOf {
    behind_mm: f64,
    right_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    up_mm: Option<f64>,
    mirrored: bool,
}

pub(super) fn place(said: Option<Said<Place>>) -> Option<PlaceOf> {
    said.map(|said| PlaceOf {
        behind_mm: said.value.behind,
        // A place on the centre line may come as nothing with a sign.
        right_mm: said.value.right + 0.0,
        up_mm: said.value.up,
        mirrored: said.value.mirrored,
    })
}

#[derive(Serialize)]
pub(super) struct Price<'a> {
    amount: f64,
    currency: &'a str,
}

pub(super) fn price(said: Option<&Said<Money>>) -> Option<Price<'_>> {
    said.map(|said| amount(&said.value))
}

pub(super) fn amount(money: &Money) -> Price<'_> {
    Price {
        amount: money.number.value(),
        currency: money.currency(),
    }
}

/// What was paid, and when; without an amount it is what the plan says that it costs.
#[derive(Serialize)]
pub(super) struct PaidOf<'a> {
    on: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    paid: Option<Price<'a>>,
}

pub(super) fn paid(said: Option<&Said<Paid>>) -> Option<PaidOf<'_>> {
    said.map(|said| PaidOf {
        on: said.value.on.to_string(),
        paid: price(said.value.sum.as_ref()),
    })
}

#[derive(Serialize)]
pub(super) struct Picture<'a> {
    picture: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    caption: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shows: Option<&'a str>,
}

pub(super) fn picture(figure: &Figure) -> Picture<'_> {
    Picture {
        picture: &figure.file.value,
        caption: figure.caption.as_deref(),
        shows: figure.alt.as_deref(),
    }
}

pub(super) fn pictures(all: &[Figure]) -> Vec<Picture<'_>> {
    all.iter().map(picture).collect()
}

pub(super) fn afterwards(said: Option<Said<Afterwards>>) -> Option<&'static str> {
    said.map(|said| match said.value {
        Afterwards::GoesBack => "goes back",
        Afterwards::ForSale => "for sale",
        Afterwards::Scrapped => "scrapped",
        Afterwards::Stored => "stored",
        Afterwards::StaysOff => "stays off",
    })
}

pub(super) fn hazards(all: &[Said<Hazard>]) -> Vec<&'static str> {
    all.iter().map(|said| said.value.word()).collect()
}

/// One thing for each end, left out where the plan does not say it.
#[derive(Serialize)]
pub(super) struct Ends<T> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) front: Option<T>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) rear: Option<T>,
}

fn lengths(said: Option<Said<FrontRear<Length>>>) -> Ends<f64> {
    Ends {
        front: said.map(|said| said.value.front.base()),
        rear: said.map(|said| said.value.rear.base()),
    }
}

#[derive(Serialize)]
struct CentreHeightOf {
    height_mm: f64,
    assumed: bool,
}

#[derive(Serialize)]
pub(super) struct VehicleOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    machine: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    body: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<MassOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wheelbase_mm: Option<f64>,
    track_mm: Ends<f64>,
    wheel_radius_mm: Ends<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    centre_height: Option<CentreHeightOf>,
    jacking: Ends<PlaceOf>,
    borne_on: Ends<Ref<'a>>,
    pictures: Vec<Picture<'a>>,
}

pub(super) fn vehicle<'a>(context: &Context<'a>, vehicle: &'a Vehicle) -> VehicleOf<'a> {
    VehicleOf {
        common: context.common(&vehicle.head),
        machine: vehicle.is_machine,
        body: vehicle
            .body
            .map(|said| &*context.plan.parts[said.value].head.name),
        mass: mass(vehicle.mass.as_ref()),
        wheelbase_mm: base(vehicle.wheelbase),
        track_mm: lengths(vehicle.track),
        wheel_radius_mm: lengths(vehicle.wheel_radius),
        centre_height: vehicle.centre_height.map(|said| CentreHeightOf {
            height_mm: said.value.height.base(),
            assumed: said.value.assumed,
        }),
        jacking: Ends {
            front: place(vehicle.jacking.front),
            rear: place(vehicle.jacking.rear),
        },
        borne_on: Ends {
            front: vehicle.borne_on.front.map(|said| context.thing(said.value)),
            rear: vehicle.borne_on.rear.map(|said| context.thing(said.value)),
        },
        pictures: pictures(&vehicle.figures),
    }
}

#[derive(Serialize)]
struct InPlaceOfPart<'a> {
    part: &'a str,
    if_renewed: bool,
}

#[derive(Serialize)]
struct StandsOnJoints<'a> {
    need: u32,
    of: Vec<&'a str>,
}

#[derive(Serialize)]
pub(super) struct PartOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    body: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<MassOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<PlaceOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    afterwards: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    in_place_of: Option<InPlaceOfPart<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stands_on: Option<StandsOnJoints<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rests_on: Option<&'a str>,
    #[serde(skip_serializing_if = "is_false")]
    new: bool,
    #[serde(skip_serializing_if = "is_false")]
    covers_nothing: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    goes_to: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<Price<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bought: Option<PaidOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    arrives: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sold_for: Option<Price<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sold: Option<PaidOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    required_by: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
    holds: Vec<&'a str>,
    cautions: Vec<&'a str>,
    pictures: Vec<Picture<'a>>,
}

pub(super) fn part<'a>(context: &Context<'a>, part: &'a Part) -> PartOf<'a> {
    let plan = context.plan;
    PartOf {
        common: context.common(&part.head),
        body: part.is_body,
        mass: mass(part.mass.as_ref()),
        place: place(part.at),
        afterwards: afterwards(part.afterwards),
        in_place_of: part.in_place_of.map(|said| InPlaceOfPart {
            part: &plan.parts[said.value.part].head.name,
            if_renewed: said.value.if_renewed,
        }),
        stands_on: part.stands_on.as_ref().map(|said| StandsOnJoints {
            need: said.value.need,
            of: names(&said.value.of, |id| &plan.joints[id].head),
        }),
        rests_on: part.rests_on.map(|said| &*plan.parts[said.value].head.name),
        new: part.new.is_some(),
        covers_nothing: part.covers_nothing.is_some(),
        goes_to: text(part.goes_to.as_ref()),
        cost: price(part.cost.as_ref()),
        bought: paid(part.bought.as_ref()),
        sold: paid(part.sold.as_ref()),
        arrives: part.arrives.map(|said| said.value.to_string()),
        sold_for: price(part.sold_for.as_ref()),
        required_by: text(part.required_by.as_ref()),
        count: part.count.map(|said| said.value),
        holds: names(&part.holds, |id| &plan.fluids[id].head),
        cautions: names(&part.cautions, |id| &plan.cautions[id].head),
        pictures: pictures(&part.figures),
    }
}

#[derive(Serialize)]
pub(super) struct AssemblyOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    of: Vec<Ref<'a>>,
    parts: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass: Option<MassOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<PlaceOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    afterwards: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    goes_to: Option<&'a str>,
    cautions: Vec<&'a str>,
    pictures: Vec<Picture<'a>>,
}

pub(super) fn parts<'a>(context: &Context<'a>, ids: impl IntoIterator<Item = Id<Part>>) -> Vec<&'a str> {
    let plan = context.plan;
    ids.into_iter().map(|id| &*plan.parts[id].head.name).collect()
}

pub(super) fn assembly<'a>(context: &Context<'a>, assembly: &'a Assembly) -> AssemblyOf<'a> {
    AssemblyOf {
        common: context.common(&assembly.head),
        of: assembly.of.iter().map(|said| context.thing(said.value)).collect(),
        parts: parts(context, assembly.parts.iter().copied()),
        mass: mass(assembly.mass.as_ref()),
        place: place(assembly.at),
        afterwards: afterwards(assembly.afterwards),
        goes_to: text(assembly.goes_to.as_ref()),
        cautions: names(&assembly.cautions, |id| &context.plan.cautions[id].head),
        pictures: pictures(&assembly.figures),
    }
}

/// What is not so is left out.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks by reference")]
pub(super) fn is_false(said: &bool) -> bool {
    !said
}

#[derive(Serialize)]
pub(super) struct FluidOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holds_l: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    density_kg_per_l: Option<f64>,
    in_parts: Vec<&'a str>,
    needs_bleeding: bool,
    renew: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    gone: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    grade: Option<&'a str>,
    hazards: Vec<&'static str>,
}

pub(super) fn fluid<'a>(context: &Context<'a>, fluid: &'a Fluid) -> FluidOf<'a> {
    FluidOf {
        common: context.common(&fluid.head),
        holds_l: base(fluid.holds),
        density_kg_per_l: base(fluid.density),
        in_parts: parts(context, fluid.in_parts.iter().map(|said| said.value)),
        needs_bleeding: fluid.needs_bleeding.is_some(),
        renew: fluid.renew.is_some(),
        gone: fluid.gone.is_some(),
        grade: text(fluid.grade.as_ref()),
        hazards: hazards(&fluid.against),
    }
}

#[derive(Serialize)]
pub(super) struct EnergyOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    safe_after: Option<&'a str>,
    in_parts: Vec<&'a str>,
    hazards: Vec<&'static str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    held_in_by: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    force_n: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    free_at_mm: Option<f64>,
}

pub(super) fn energy<'a>(context: &Context<'a>, energy: &'a Energy) -> EnergyOf<'a> {
    EnergyOf {
        common: context.common(&energy.head),
        kind: energy.kind.map(|said| match said.value {
            EnergyKind::Electric => "electric",
            EnergyKind::Pressure => "pressure",
            EnergyKind::Spring => "spring",
            EnergyKind::Heat => "heat",
            EnergyKind::Gravity => "gravity",
            EnergyKind::Pyrotechnic => "pyrotechnic",
        }),
        safe_after: energy
            .safe_after
            .map(|said| &*context.plan.steps[said.value].head.name),
        in_parts: parts(context, energy.in_parts.iter().map(|said| said.value)),
        hazards: hazards(&energy.against),
        held_in_by: names(&energy.held_in_by, |id| &context.plan.joints[id].head),
        force_n: base(energy.force),
        free_at_mm: base(energy.free_at),
    }
}

#[derive(Serialize)]
pub(super) struct CautionOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    signal: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    harm: Option<&'a str>,
    avoid: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    in_short: Option<&'a str>,
    hazards: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    only_on_the_way: Option<&'static str>,
}

pub(super) fn caution<'a>(context: &Context<'a>, caution: &'a Caution) -> CautionOf<'a> {
    CautionOf {
        common: context.common(&caution.head),
        signal: caution.signal.map(|said| match said.value {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        }),
        harm: text(caution.harm.as_ref()),
        avoid: texts(&caution.avoid),
        in_short: text(caution.in_short.as_ref()),
        hazards: hazards(&caution.against),
        only_on_the_way: caution.only.map(|said| match said.value {
            Going::Out => "out",
            Going::Back => "back",
        }),
    }
}
