//! Mirror of a joint: its ends, kind, fixings, drives, torque, flags, and what the tightening asks for.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Common, Context, Ref, Remark, base, fine, names, reading, refer, remark, text};
use super::things::parts;
use crate::plan::model::{
    Content, Drive, End, Fixing, FixingKind, Joint, Pattern, ReachFrom, Said, Thread, ThreadState,
    Tightening, TighteningOrder, TorqueFigure,
};

#[derive(Serialize)]
struct FixingOf<'a> {
    what: &'static str,
    count: u32,
    thread: ThreadOf,
    #[serde(skip_serializing_if = "Option::is_none")]
    class: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    whereabouts: Option<&'a str>,
}

#[derive(Serialize)]
struct ThreadOf {
    designation: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pitch_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    threads_per_inch: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_mm: Option<f64>,
}

/// As a plan writes it: `M10x1.25x45`, `3/8-16 x 1.5 in`.
pub(super) fn designation(thread: &Thread) -> String {
    match thread {
        Thread::Metric {
            diameter,
            pitch,
            length,
        } => {
            let mut text = format!("M{diameter}");
            for more in [pitch, length].into_iter().flatten() {
                text = format!("{text}x{more}");
            }
            text
        }
        Thread::Unified { size, length, .. } => match length {
            Some(length) => format!("{size} x {length} in"),
            None => size.to_string(),
        },
    }
}

fn thread(thread: &Thread) -> ThreadOf {
    let designation = designation(thread);
    match thread {
        Thread::Metric {
            diameter,
            pitch,
            length,
        } => ThreadOf {
            designation,
            diameter_mm: fine(*diameter),
            pitch_mm: pitch.and_then(fine),
            threads_per_inch: None,
            length_mm: length.and_then(fine),
        },
        Thread::Unified {
            diameter,
            per_inch,
            length,
            ..
        } => ThreadOf {
            designation,
            diameter_mm: fine(diameter * 25.4),
            pitch_mm: None,
            threads_per_inch: *per_inch,
            length_mm: length.and_then(|length| fine(length * 25.4)),
        },
    }
}

fn fixing(fixing: &Fixing) -> FixingOf<'_> {
    FixingOf {
        what: fixing_word(fixing.what),
        count: fixing.count,
        thread: thread(&fixing.thread),
        class: text(fixing.class.as_ref()),
        whereabouts: fixing.whereabouts.as_deref(),
    }
}

fn fixing_word(what: FixingKind) -> &'static str {
    what.words(2)
}

#[derive(Serialize)]
struct DriveOf<'a> {
    kind: &'static str,
    size: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    across_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    with: Option<&'a str>,
}

fn drive(drive: &Drive) -> DriveOf<'_> {
    DriveOf {
        kind: drive.kind.row().word,
        size: &drive.size,
        across_mm: drive.across.map(|across| across.base()),
        with: drive.with.as_deref(),
    }
}

#[derive(Serialize)]
struct TorqueOf {
    #[serde(skip_serializing_if = "Option::is_none")]
    torque_n_m: Option<f64>,
    to_come: bool,
    /// What the maker allows.
    #[serde(skip_serializing_if = "Option::is_none")]
    band_n_m: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    then_deg: Option<f64>,
    in_stages_n_m: Vec<f64>,
}

fn torque(figure: &TorqueFigure) -> TorqueOf {
    let (torque_n_m, to_come) = reading(Some(figure.torque));
    TorqueOf {
        torque_n_m,
        to_come,
        band_n_m: figure.band.map(|(low, high)| [low.base(), high.base()]),
        then_deg: figure.then.map(|angle| angle.base()),
        in_stages_n_m: figure.in_stages.iter().map(|torque| torque.base()).collect(),
    }
}

#[derive(Serialize)]
struct ReachOf {
    from: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    end: Option<&'static str>,
}

#[derive(Serialize)]
struct TighteningOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    threads: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    friction: Option<[f64; 2]>,
    left_hand: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    engagement_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    order: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pattern: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seen_from: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    threadlock: Option<Remark<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    washers: Option<WashersOf<'a>>,
}

#[derive(Serialize)]
struct WashersOf<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    what: Option<&'a str>,
}

pub(super) fn threads(said: Option<Said<ThreadState>>) -> Option<&'static str> {
    said.map(|said| match said.value {
        ThreadState::Dry => "dry",
        ThreadState::Oiled => "oiled",
        ThreadState::Coated => "coated",
    })
}

pub(super) fn order(said: Option<Said<TighteningOrder>>) -> Option<&'static str> {
    said.map(|said| match said.value {
        TighteningOrder::Across => "across",
        TighteningOrder::Spiral => "spiral",
        TighteningOrder::Along => "along",
    })
}

fn tightening(tightening: &Tightening) -> TighteningOf<'_> {
    TighteningOf {
        threads: threads(tightening.threads),
        friction: tightening
            .friction
            .and_then(|said| Some([fine(said.value.0)?, fine(said.value.1)?])),
        left_hand: tightening.left_hand.is_some(),
        engagement_mm: base(tightening.engagement),
        order: order(tightening.order),
        pattern: tightening.pattern.map(|said| match said.value {
            Pattern::Grid(columns, rows) => format!("{columns} x {rows}"),
            Pattern::Row => "row".to_owned(),
            Pattern::Circle => "circle".to_owned(),
        }),
        seen_from: text(tightening.seen_from.as_ref()),
        threadlock: remark(tightening.threadlock.as_ref()),
        washers: tightening.washers.as_ref().map(|said| WashersOf {
            count: said.value.count,
            what: said.value.what.as_deref(),
        }),
    }
}

#[derive(Serialize)]
pub(super) struct JointOf<'a> {
    #[serde(flatten)]
    common: Common<'a>,
    /// On the label of its bag.
    #[serde(skip_serializing_if = "Option::is_none")]
    bag: Option<usize>,
    /// None where a name was unknown.
    ends: Vec<Ref<'a>>,
    carries: bool,
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rigid: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    content: Option<Ref<'a>>,
    opens: Vec<&'a str>,
    fixing_count: u32,
    fixings: Vec<FixingOf<'a>>,
    drives: Vec<DriveOf<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    torque: Option<TorqueOf>,
    tightening: TighteningOf<'a>,
    with_wheels_down: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    sets_in_min: Option<f64>,
    second_check: bool,
    push_on: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    hidden: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fully_out: Option<Remark<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    renew: Option<Remark<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gone: Option<Remark<'a>>,
    /// What it was called on paper that is printed.
    #[serde(skip_serializing_if = "Option::is_none")]
    was: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reach: Option<ReachOf>,
    covered_by: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    in_place_of: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    play_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    engaged_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    side: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<super::things::PlaceOf>,
    /// Of its new fixings, each time that it is closed with them.
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<super::things::Price<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bought: Option<super::things::PaidOf<'a>>,
}

pub(super) fn joint<'a>(context: &Context<'a>, joint: &'a Joint) -> JointOf<'a> {
    let plan = context.plan;
    JointOf {
        common: context.common(&joint.head),
        bag: context.bag(&joint.head),
        ends: joint
            .ends
            .iter()
            .flatten()
            .map(|said| context.thing(said.value))
            .collect(),
        cost: joint
            .price
            .as_ref()
            .and_then(|fixings| super::things::price(fixings.cost.as_ref())),
        bought: joint
            .price
            .as_ref()
            .and_then(|fixings| super::things::paid(fixings.bought.as_ref())),
        carries: joint.carries.is_some(),
        kind: joint.kind.value.word(),
        rigid: joint.rigid.map(|said| said.value),
        content: joint.of.map(|said| match said.value {
            Content::Fluid(id) => refer("fluid", &plan.fluids[id].head),
            Content::Energy(id) => refer("energy", &plan.energies[id].head),
        }),
        opens: names(&joint.opens, |id| &plan.fluids[id].head),
        fixing_count: joint.fixing_count(),
        fixings: joint.fixings.iter().map(fixing).collect(),
        drives: joint.drives.iter().map(drive).collect(),
        torque: joint.torque.as_ref().map(|said| torque(&said.value)),
        tightening: tightening(&joint.tightening),
        with_wheels_down: joint.with_wheels_down.is_some(),
        sets_in_min: joint.sets_in.map(|said| said.value.base()),
        second_check: joint.second_check.is_some(),
        push_on: joint.push_on.is_some(),
        hidden: text(joint.hidden.as_ref()),
        fully_out: remark(joint.fully_out.as_ref()),
        renew: remark(joint.renew.as_ref()),
        gone: remark(joint.gone.as_ref()),
        was: joint.head.was.as_deref(),
        reach: joint.reach.map(|said| ReachOf {
            from: match said.value.from {
                ReachFrom::Below => "below",
                ReachFrom::Inside => "inside",
                ReachFrom::Above => "above",
            },
            end: said.value.end.map(End::word),
        }),
        covered_by: parts(context, joint.covered_by.iter().map(|said| said.value)),
        in_place_of: joint.in_place_of.map(|said| &*plan.joints[said.value].head.name),
        play_mm: base(joint.play),
        engaged_mm: base(joint.engaged),
        side: joint.place.map(|said| said.value.word()),
        place: super::things::place(joint.at),
    }
}
