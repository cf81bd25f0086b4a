//! Mirrors of what is written down along the way: weigh-ins, swaps, and the log.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Common, Context, Place, Ref, base, names, reading, text, texts};
use super::things::Ends;
use crate::base::quantity::{Mass, Volume};
use crate::plan::model::{
    Driver, FrontRear, How, Log, Reading, Reads, StoppedAt, Swap, Tare, Waiting, WeighIn,
};

/// A mass that was read, or is still to come.
#[derive(Serialize)]
struct Read {
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<f64>,
    to_come: bool,
}

fn read(mass: Reading<Mass>) -> Read {
    let (mass_kg, to_come) = reading(Some(mass));
    Read { mass_kg, to_come }
}

#[derive(Serialize)]
struct ReadsOf<'a> {
    of: Vec<Ref<'a>>,
    #[serde(flatten)]
    read: Read,
    /// One standard deviation.
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<&'a str>,
    #[serde(flatten)]
    place: Place<'a>,
}

fn reads<'a>(context: &Context<'a>, reads: &'a Reads) -> ReadsOf<'a> {
    ReadsOf {
        of: reads
            .what
            .iter()
            .map(|said| context.weighed(said.value))
            .collect(),
        read: read(reads.mass),
        uncertainty_kg: reads.give.map(|give| give.base()),
        words: reads.words.as_deref(),
        place: context.place(reads.at),
    }
}

#[derive(Serialize)]
struct TareOf<'a> {
    name: &'a str,
    mass_kg: f64,
}

fn tare(tare: &Tare) -> TareOf<'_> {
    TareOf {
        name: &tare.name,
        mass_kg: tare.mass.base(),
    }
}

#[derive(Serialize)]
struct CornersOf {
    front_left: Read,
    front_right: Read,
    rear_left: Read,
    rear_right: Read,
}

#[derive(Serialize)]
struct RaisedOf {
    end: &'static str,
    by_mm: f64,
}

#[derive(Serialize)]
struct FuelOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_l: Option<f64>,
    to_come: bool,
}

fn fuel(volume: Reading<Volume>) -> FuelOf {
    let (volume_l, to_come) = reading(Some(volume));
    FuelOf { volume_l, to_come }
}

#[derive(Serialize)]
struct DriverOf {
    aboard: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct WeighInOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    dated: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    with: Option<&'a str>,
    reads: Vec<ReadsOf<'a>>,
    tare: Vec<TareOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sum_given: Option<Read>,
    #[serde(skip_serializing_if = "Option::is_none")]
    corners: Option<CornersOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    axles: Option<Ends<Read>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    raised: Option<RaisedOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fuel: Option<FuelOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    driver: Option<DriverOf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tyres_kpa: Option<Ends<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level: Option<&'a str>,
}

fn both<T, U>(both: FrontRear<T>, of: impl Fn(T) -> U) -> Ends<U> {
    Ends {
        front: Some(of(both.front)),
        rear: Some(of(both.rear)),
    }
}

pub(super) fn weigh_in<'a>(context: &Context<'a>, weigh_in: &'a WeighIn) -> WeighInOf<'a> {
    WeighInOf {
        common: context.common(&weigh_in.head),
        dated: weigh_in.dated.map(|said| said.value.to_string()),
        with: weigh_in
            .with
            .map(|said| &*context.plan.scales[said.value].head.name),
        reads: weigh_in.reads.iter().map(|line| reads(context, line)).collect(),
        tare: weigh_in.tare.iter().map(tare).collect(),
        sum_given: weigh_in.sum_given.map(|said| read(said.value)),
        corners: weigh_in.corners.map(|said| CornersOf {
            front_left: read(said.value.front_left),
            front_right: read(said.value.front_right),
            rear_left: read(said.value.rear_left),
            rear_right: read(said.value.rear_right),
        }),
        axles: weigh_in.axles.map(|said| both(said.value, read)),
        raised: weigh_in.raised.map(|said| RaisedOf {
            end: said.value.0.word(),
            by_mm: said.value.1.base(),
        }),
        fuel: weigh_in.fuel.map(|said| fuel(said.value)),
        driver: weigh_in.driver.map(|said| match said.value {
            Driver::In => DriverOf {
                aboard: true,
                mass_kg: None,
            },
            Driver::Out => DriverOf {
                aboard: false,
                mass_kg: None,
            },
            Driver::Mass(mass) => DriverOf {
                aboard: true,
                mass_kg: Some(mass.base()),
            },
        }),
        tyres_kpa: weigh_in
            .tyres
            .map(|said| both(said.value, |pressure| pressure.base())),
        level: text(weigh_in.level.as_ref()),
    }
}

#[derive(Serialize)]
pub(super) struct SwapOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    comes_off: Vec<Ref<'a>>,
    goes_on: Vec<Ref<'a>>,
    #[serde(skip_serializing_if = "super::things::is_false")]
    optional: bool,
    #[serde(skip_serializing_if = "super::things::is_false")]
    left_out: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    needs: Vec<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_with: Vec<&'a str>,
}

pub(super) fn swap<'a>(context: &Context<'a>, swap: &'a Swap) -> SwapOf<'a> {
    SwapOf {
        common: context.common(&swap.head),
        optional: swap.optional.is_some(),
        left_out: swap.left_out.is_some(),
        needs: names(&swap.needs, |id| &context.plan.swaps[id].head),
        not_with: names(&swap.not_with, |id| &context.plan.swaps[id].head),
        comes_off: swap
            .comes_off
            .iter()
            .map(|said| context.weighed(said.value))
            .collect(),
        goes_on: swap
            .goes_on
            .iter()
            .map(|said| context.weighed(said.value))
            .collect(),
    }
}

#[derive(Serialize)]
struct StoppedOf<'a> {
    dated: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    after: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_act: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_letter: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    waiting_for: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct LogOf<'a> {
    step: &'a str,
    steps: Vec<&'a str>,
    #[serde(flatten)]
    place: Place<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    done: Option<String>,
    by: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    took_min: Option<f64>,
    found: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stopped: Option<StoppedOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    skipped: Option<&'a str>,
    differently: Vec<&'a str>,
    spoilt: Vec<SpoiltOf<'a>>,
    damaged: Vec<DamagedOf<'a>>,
    fitted: Vec<&'a str>,
    measured: Vec<MeasuredOf<'a>>,
    notes: Vec<&'a str>,
}

#[derive(Serialize)]
struct MeasuredOf<'a> {
    name: &'a str,
    value: String,
}

#[derive(Serialize)]
struct SpoiltOf<'a> {
    how: &'static str,
    count: u32,
    joint: &'a str,
}

#[derive(Serialize)]
struct DamagedOf<'a> {
    part: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    how: Option<&'a str>,
}

pub(super) fn log<'a>(context: &Context<'a>, log: &'a Log) -> LogOf<'a> {
    let plan = context.plan;
    LogOf {
        step: log.steps.first().map_or("", |&step| &plan.steps[step].head.name),
        steps: log
            .steps
            .iter()
            .map(|&step| &*plan.steps[step].head.name)
            .collect(),
        place: context.place(log.at),
        done: log.done.map(|said| said.value.to_string()),
        by: names(&log.by, |id| &plan.people[id].head),
        took_min: base(log.took),
        found: texts(&log.found),
        stopped: log.stopped.as_ref().map(|said| StoppedOf {
            dated: said.value.on.value.to_string(),
            after: match &said.value.place {
                StoppedAt::After(step) => Some(&*plan.steps[step.value].head.name),
                StoppedAt::Act(_) | StoppedAt::Letter(_) => None,
            },
            at_act: match &said.value.place {
                StoppedAt::Act(words) => Some(&*words.value),
                StoppedAt::After(_) | StoppedAt::Letter(_) => None,
            },
            at_letter: match &said.value.place {
                StoppedAt::Letter(letter) => Some(&*letter.value),
                StoppedAt::After(_) | StoppedAt::Act(_) => None,
            },
            waiting_for: said.value.waiting_for.as_ref().map(|waiting| match waiting {
                Waiting::Named(name) => &*name.value,
                Waiting::Words(words) => &**words,
            }),
        }),
        skipped: log.skipped.as_ref().map(|said| &*said.value),
        differently: texts(&log.differently),
        spoilt: log
            .spoilt
            .iter()
            .map(|spoilt| SpoiltOf {
                how: match spoilt.how {
                    How::Broke => "broke",
                    How::Lost => "lost",
                },
                count: spoilt.count.value,
                joint: &plan.joints[spoilt.joint.value].head.name,
            })
            .collect(),
        damaged: log
            .damaged
            .iter()
            .map(|damaged| DamagedOf {
                part: &plan.parts[damaged.part.value].head.name,
                how: damaged.how.as_deref(),
            })
            .collect(),
        fitted: log
            .fitted
            .iter()
            .map(|fitted| &*plan.joints[fitted.joint.value].head.name)
            .collect(),
        measured: log
            .measured
            .iter()
            .map(|measured| MeasuredOf {
                name: &measured.what.name,
                value: measured.value.value.to_string(),
            })
            .collect(),
        notes: log.notes.iter().map(|note| &*note.text).collect(),
    }
}
