//! Figures that are possible and most likely slips, and statements that take each other back. Cheap questions, each with its ground; knows
//! declarations and times, no state.

use std::collections::BTreeSet;

use super::totals::IMPOSSIBLE_FIGURE;
use super::{amounts, rule};
use crate::analysis::Analysis;
use crate::base::finding::Finding;
use crate::base::quantity::Length;
use crate::base::source::Span;
use crate::plan::model::{Afterwards, Does, End, Head, Plan, Said, Vehicle};
use crate::plan::vocabulary::acts::ActKind;

rule!(
    IMPLAUSIBLE,
    "implausible",
    Advice,
    true,
    "A figure is possible, and more likely a slip: a step of days, a place beside the vehicle, a track or a mass that no road vehicle has."
);
rule!(
    TAKES_ITSELF_BACK,
    "takes-itself-back",
    Doubt,
    true,
    "Two statements of one block cannot both be meant, and one of them is left out."
);

/// Millimetres of wheelbase and track between which road vehicles lie, with room on either side. Common practice, no source.
const WHEELBASES: (f64, f64) = (1200.0, 5000.0);
const TRACKS: (f64, f64) = (700.0, 2300.0);
/// How far anything stands out beyond the axles, and beyond half the track, in mm. Common practice, no source.
const OVERHANG: f64 = 2000.0;
const BESIDE: f64 = 700.0;
/// Nothing of a vehicle is higher, in mm; and nobody lifts a vehicle higher to work below it. Common practice, no source.
const HIGHEST: f64 = 3000.0;
const LIFTED: f64 = 2200.0;
/// Jacking places lie under the body: so far beyond half the track at most, so far from each other at least, and within this share of the
/// wheelbase from their own axle. In mm; common practice, no source.
const BESIDE_JACKED: f64 = 300.0;
const APART: f64 = 150.0;
const OWN_END: f64 = 0.75;
/// What a road vehicle that fits into a workshop weighs, in kg. Common practice, no source.
const MASSES: (f64, f64) = (200.0, 5000.0);
/// What weighs less than a car, and what more, by its name or title.
const LIGHTER: &[&str] = &[
    "motorcycle",
    "motorbike",
    "bike",
    "moped",
    "scooter",
    "kart",
    "quad",
    "trailer",
    "sidecar",
    "tricycle",
];
const HEAVIER: &[&str] = &[
    "lorry",
    "truck",
    "bus",
    "coach",
    "loader",
    "digger",
    "tractor",
    "harvester",
];
/// Radii of wheels from a kart's to a tractor's, in mm. Common practice, no source.
const RADII: (f64, f64) = (100.0, 1000.0);
/// The radius of a car's wheel where the plan states none, in mm. Common practice, no source.
const USUAL_RADIUS: f64 = 300.0;
/// The centre of mass lies above half of the wheels' radius and under twice their diameter. Common practice, no source.
const CENTRE: (f64, f64) = (0.5, 4.0);
/// A step is a piece of work of one day at most, in minutes; where something sets, dries or soaks it may be left for weeks. Common practice,
/// no source.
const DAY: f64 = 24.0 * 60.0;
const MONTH: f64 = 30.0 * DAY;

/// In kg; and a figure that is off by a place. Common practice, no source.
const STEEP: f64 = 0.4;
const WORTH_ASKING: f64 = 1.0;
const TENFOLD: f64 = 10.0;

pub(super) fn check(plan: &Plan, analysis: &Analysis, findings: &mut Vec<Finding>) {
    // Beside what cannot be at all, what is unlikely is no news.
    if findings
        .iter()
        .any(|finding| finding.rule.name == IMPOSSIBLE_FIGURE.name)
    {
        return;
    }
    if let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) {
        measures(vehicle, findings);
        weights_and_heights(vehicle, findings);
        jacking(vehicle, findings);
        places(plan, vehicle, findings);
    }
    springs(plan, analysis, findings);
    work(plan, findings);
    in_place(plan, analysis, findings);
    taken_back(plan, findings);
}

/// A spring that could carry several of the vehicle that it is in. At full droop a road spring pushes with a fifth of its car's weight, one on a bench
/// with less; twice the whole is a point that slipped. Common practice, no source.
fn springs(plan: &Plan, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let weighed = analysis.weighings(plan).iter().map(|weighing| weighing.total.kg);
    let stated = plan.vehicle().and_then(|id| analysis.weights(plan).vehicle(id));
    let whole = weighed
        .chain(stated.map(|estimate| estimate.kg))
        .fold(0.0, f64::max);
    if whole <= 0.0 {
        return;
    }
    for energy in plan.energies.values() {
        let Some(said) = energy.force else { continue };
        let name = &energy.head.name;
        if said.value.as_weight_of() > 2.0 * whole {
            findings.push(told(
                format!(
                    "`{name}` pushes with {}, which is more than twice what the vehicle weighs",
                    said.value
                ),
                said.at,
                "a decimal point or a unit is wrong",
                name,
            ));
        }
    }
}

fn told(what: String, at: Span, why: &str, about: &str) -> Finding {
    Finding::new(&IMPLAUSIBLE, what)
        .at(at, why.to_owned())
        .harm("Balance, hours or lifts are reckoned from it.")
        .mend("Look at the tape or the book again: is a figure or a decimal point wrong?")
        .about(about.to_owned())
}

fn measures(vehicle: &Vehicle, findings: &mut Vec<Finding>) {
    if vehicle.is_machine {
        return;
    }
    let name = &vehicle.head.name;
    let between = |length: Length, (least, most): (f64, f64)| (least..=most).contains(&length.base());
    if let Some(said) = vehicle.wheelbase.filter(|said| !between(said.value, WHEELBASES)) {
        findings.push(told(
            format!("`{name}` has a wheelbase of {}", said.value),
            said.at,
            "no road vehicle has",
            name,
        ));
    }
    if let Some(said) = vehicle.track {
        let both = [said.value.front, said.value.rear];
        if let Some(odd) = both.into_iter().find(|track| !between(*track, TRACKS)) {
            findings.push(told(
                format!("`{name}` has a track of {odd}"),
                said.at,
                "no road vehicle has",
                name,
            ));
        }
        if let Some(base) = vehicle
            .wheelbase
            .filter(|base| both.iter().any(|track| track.base() > base.value.base()))
        {
            findings.push(told(
                format!(
                    "`{name}` is wider between its wheels than it is long: {}",
                    base.value
                ),
                base.at,
                "shorter than its track",
                name,
            ));
        }
    }
    let (front, rear) = (vehicle.jacking.front.as_ref(), vehicle.jacking.rear.as_ref());
    if let (Some(front), Some(rear)) = (front, rear)
        && front.value.behind > rear.value.behind
    {
        findings.push(
            Finding::new(
                &TAKES_ITSELF_BACK,
                format!("the front jacking place of `{name}` lies behind the rear one"),
            )
            .at(front.at, "called front")
            .at(rear.at, "called rear")
            .harm("The wrong end comes up, or the car is set on what is not there.")
            .mend("Exchange the two, or measure again")
            .about(name.to_string()),
        );
    }
}

/// Its mass, its wheels, and how high its centre lies.
fn weights_and_heights(vehicle: &Vehicle, findings: &mut Vec<Finding>) {
    if vehicle.is_machine {
        return;
    }
    let name = &vehicle.head.name;
    let text = format!("{name} {}", vehicle.head.title.as_deref().unwrap_or("")).to_lowercase();
    let called = |words: &[&str]| {
        text.split(|c: char| !c.is_alphabetic())
            .any(|word| words.contains(&word))
    };
    let (least, most) = MASSES;
    if let Some(said) = &vehicle.mass {
        let kg = said.value.mass.base();
        let light = kg < least && !called(LIGHTER);
        // What contradicts it says more.
        let told_of = findings
            .iter()
            .any(|finding| finding.labels.iter().any(|label| label.span == said.at));
        if !told_of && (light || (kg > most && !called(HEAVIER))) {
            findings.push(told(
                format!("`{name}` weighs {}", said.value.mass),
                said.at,
                if light {
                    "no car is so light"
                } else {
                    "no car is so heavy"
                },
                name,
            ));
        }
    }
    let radii = vehicle
        .wheel_radius
        .map(|said| (said, [said.value.front.base(), said.value.rear.base()]));
    let (least, most) = RADII;
    if let Some((said, both)) = radii
        && both.iter().any(|radius| !(least..=most).contains(radius))
    {
        findings.push(told(
            format!(
                "`{name}` has wheels of {} and {} from hub to ground",
                said.value.front, said.value.rear
            ),
            said.at,
            "no vehicle has: millimetres are meant?",
            name,
        ));
        return;
    }
    let radius = radii.map_or(USUAL_RADIUS, |(_, [front, rear])| front.max(rear));
    let (low, high) = CENTRE;
    if let Some(said) = vehicle.centre_height {
        let height = said.value.height.base();
        if !(low * radius..=high * radius).contains(&height) {
            findings.push(told(
                format!(
                    "the centre of mass of `{name}` lies {} above the ground",
                    said.value.height
                ),
                said.at,
                if height > high * radius {
                    "higher than twice a wheel"
                } else {
                    "lower than half of a wheel's radius"
                },
                name,
            ));
        }
    }
}

/// Where it is lifted: under the body, at its own end, on both sides.
fn jacking(vehicle: &Vehicle, findings: &mut Vec<Finding>) {
    let name = &vehicle.head.name;
    let base = vehicle
        .wheelbase
        .map(|said| said.value.base())
        .filter(|base| !vehicle.is_machine && (WHEELBASES.0..=WHEELBASES.1).contains(base));
    let half = vehicle
        .track
        .filter(|_| !vehicle.is_machine)
        .map(|said| said.value.front.base().max(said.value.rear.base()) / 2.0);
    let ends = [
        (End::Front, vehicle.jacking.front),
        (End::Rear, vehicle.jacking.rear),
    ];
    // Told already, and most likely the same slip.
    let crossed = match ends {
        [(_, Some(front)), (_, Some(rear))] => front.value.behind > rear.value.behind,
        _ => false,
    };
    for (end, place) in ends {
        let Some(said) = place else { continue };
        let place = said.value;
        let end_word = end.word();
        let outside = base.is_some_and(|base| place.behind < -OVERHANG || place.behind > base + OVERHANG)
            || half.is_some_and(|half| place.right.abs() > half + BESIDE_JACKED);
        let other_end = base.filter(|_| !crossed).is_some_and(|base| match end {
            End::Front => place.behind > OWN_END * base,
            End::Rear => place.behind < (1.0 - OWN_END) * base,
        });
        let why = if outside {
            "outside of it: nothing is there to lift at"
        } else if other_end {
            "nearer to the other axle"
        } else if place.mirrored && place.right < 0.0 {
            "left is right of the middle there"
        } else if place.mirrored && 2.0 * place.right < APART && place.right > 0.0 {
            "so near to each other that it tips between them"
        } else if !place.mirrored && place.right.abs() > APART {
            "one side alone: left and right?"
        } else {
            continue;
        };
        findings.push(told(
            format!("the {end_word} jacking place of `{name}` is hardly where it is said to be"),
            said.at,
            why,
            name,
        ));
    }
}

fn places(plan: &Plan, vehicle: &Vehicle, findings: &mut Vec<Finding>) {
    let Some(base) = vehicle.wheelbase.map(|said| said.value.base()) else {
        return;
    };
    let half = vehicle
        .track
        .map(|said| said.value.front.base().max(said.value.rear.base()) / 2.0);
    for part in plan.parts.values() {
        let Some(said) = &part.at else { continue };
        let place = said.value;
        let along = place.behind < -OVERHANG || place.behind > base + OVERHANG;
        let across = half.is_some_and(|half| place.right.abs() > half + BESIDE);
        let high = place.up.is_some_and(|up| up > HIGHEST);
        if along || across || high {
            findings.push(told(
                format!("`{}` lies outside of `{}`", part.head.name, vehicle.head.name),
                said.at,
                if high {
                    "higher than any roof"
                } else if across {
                    "beside it"
                } else {
                    "ahead of it or behind it"
                },
                &part.head.name,
            ));
        }
    }
}

/// Acts in which time passes that nobody works.
fn waits(does: &Does) -> bool {
    match does {
        Does::Wait(_) | Does::WaitFor { .. } | Does::Soak(_) => true,
        Does::Join { by, .. } => *by == ActKind::Bond,
        Does::Work { by, .. } => matches!(by, ActKind::Seal | ActKind::Paint),
        // Ends when the hands do.
        _ => false,
    }
}

fn work(plan: &Plan, findings: &mut Vec<Finding>) {
    for &id in &plan.order {
        let step = &plan.steps[id];
        let waiting = step.acts().any(|act| waits(&act.does));
        if let Some(said) = &step.time
            && said.value.likely.base() > if waiting { MONTH } else { DAY }
        {
            findings.push(told(
                format!(
                    "`{}` takes {}: more than {}",
                    step.head.name,
                    said.value.likely,
                    if waiting { "a month" } else { "a day and a night" }
                ),
                said.at,
                if waiting {
                    "one step"
                } else {
                    "one step, and nothing in it sets, dries or soaks"
                },
                &step.head.name,
            ));
        }
        for act in step.acts().filter(|_| step.derived.is_none()) {
            let wheelbase = plan.vehicle().and_then(|id| plan.vehicles[id].wheelbase);
            if let (
                Does::Raise {
                    to: Some(to),
                    end: Some(_),
                    ..
                },
                Some(wheelbase),
            ) = (&act.does, wheelbase)
                && to.value.base() > STEEP * wheelbase.value.base()
            {
                findings.push(told(
                    format!(
                        "one end is raised to {}, with a wheelbase of {}",
                        to.value, wheelbase.value
                    ),
                    to.at,
                    "steeper than anything stays on stands",
                    &step.head.name,
                ));
            }
            if let Does::Raise { to: Some(to), on, .. } = &act.does
                && to.value.base() > LIFTED
                // What the rig itself cannot do is told as that.
                && on.is_none_or(|rig| plan.rigs[rig.value].raises_to.is_none())
            {
                findings.push(told(
                    format!("it is raised to {}", to.value),
                    to.at,
                    "higher than anybody reaches",
                    &step.head.name,
                ));
            }
        }
    }
}

/// What takes another thing's place weighs something like it: a tenth of it, or ten times as much, is a point that slipped. What weighs little
/// anyhow is left alone.
fn in_place(plan: &Plan, analysis: &Analysis, findings: &mut Vec<Finding>) {
    let weights = analysis.weights(plan);
    for (id, part) in plan.parts.iter() {
        let Some(place) = &part.in_place_of else { continue };
        let (Some(new), Some(old)) = (weights.part(id), weights.part(place.value.part)) else {
            continue;
        };
        let (light, heavy) = (new.kg.min(old.kg), new.kg.max(old.kg));
        // A pulley in the place of a compressor is another thing; a seat in the place of a seat is not.
        let other = &plan.parts[place.value.part].head;
        if heavy < WORTH_ASKING || light * TENFOLD > heavy || !share_a_word(&part.head, other) {
            continue;
        }
        let own = &part.head.name;
        findings.push(told(
            format!(
                "`{own}` weighs {}, and `{}`, in whose place it is, {}",
                amounts::kg(plan, new.kg, 0.001),
                plan.parts[place.value.part].head.name,
                amounts::kg(plan, old.kg, 0.001)
            ),
            part.mass.as_ref().map_or(part.head.at, |said| said.at),
            "not a tenth of the other, or over ten times as much",
            own,
        ));
    }
}

fn share_a_word(one: &Head, other: &Head) -> bool {
    let words = |head: &Head| -> BTreeSet<String> {
        let text = format!("{} {}", head.name, head.title.as_deref().unwrap_or("")).to_lowercase();
        let words = text.split(|c: char| !c.is_alphabetic());
        words
            .filter(|word| word.chars().count() > 3)
            .map(str::to_owned)
            .collect()
    };
    !words(one).is_disjoint(&words(other))
}

fn taken_back(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut tell = |what: String, one: Span, other: Span, harm: &str, mend: &str, about: &str| {
        findings.push(
            Finding::new(&TAKES_ITSELF_BACK, what)
                .at(one, "said here")
                .at(other, "and here")
                .harm(harm.to_owned())
                .mend(mend.to_owned())
                .about(about.to_owned()),
        );
    };
    for joint in plan.joints.values() {
        let kind = joint.kind;
        if let Some(carries) = joint
            .carries
            .filter(|_| kind.value.is_line() || kind.value.is_lead() && !joint.is_bearing_strap())
        {
            tell(
                format!(
                    "`{}` is a {}, and is said to carry: it bears nothing",
                    joint.head.name,
                    kind.value.row().word
                ),
                carries,
                kind.at,
                "What hangs by it tears it; a brake hose bursts later, on the road.",
                "Take out `carries`, and declare what really bears it",
                &joint.head.name,
            );
        }
    }
    for weigh_in in plan.weigh_ins.values() {
        let none = weigh_in.reads.is_empty() && weigh_in.corners.is_none() && weigh_in.axles.is_none();
        if let Some(given) = weigh_in.sum_given.filter(|_| none) {
            tell(
                format!("`{}` gives a sum of no readings", weigh_in.head.name),
                given.at,
                weigh_in.head.at,
                "It stands in the plan and is in no account.",
                "Write what was read: reads PART 12.4 kg",
                &weigh_in.head.name,
            );
        }
    }
    for part in plan.parts.values() {
        let Some(place) = &part.in_place_of else { continue };
        let old = &plan.parts[place.value.part];
        let back: Option<Said<Afterwards>> = old
            .afterwards
            .filter(|said| said.value == Afterwards::GoesBack && !place.value.if_renewed);
        if let Some(back) = back {
            tell(
                format!(
                    "`{}` goes back, and `{}` takes its place",
                    old.head.name, part.head.name
                ),
                back.at,
                place.at,
                "Both cannot be in one place: one of them is on the shelf when the other is wanted.",
                "Say of the old one where it ends, for sale or stored; or of the new one: if renewed",
                &old.head.name,
            );
        }
    }
}
