//! Where each declared torque lies between loose and yield: the sum, the rules that judge it and their wording. Knows joints as
//! declared, no step; where the relation does not hold it gives no verdict, and why.

use std::collections::BTreeMap;

use super::threads;
use super::{amounts, joined, rule};
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::Torque;
use crate::base::source::Span;
use crate::plan::model::{DriveKind, Fixing, FixingKind, Id, Joint, Plan, ThreadState};
use crate::reckon::amounts::{Megapascals, NewtonMetres, Newtons};
use crate::reckon::bearing::{Bearing, Head};
use crate::reckon::bolt_load::REUSED;
use crate::reckon::friction::{Friction, Surface};
use crate::reckon::strength::{Marking, PropertyClass, loads};
use crate::reckon::thread::{System, Thread};
use crate::reckon::torque::Screw;

rule!(
    TORQUE_TOO_HIGH,
    "torque-too-high",
    Fault,
    true,
    "A torque takes the fixing past yield, even with the most friction that is likely."
);
rule!(
    TORQUE_TOO_LOW,
    "torque-too-low",
    Doubt,
    true,
    "A torque leaves a joint that matters loose, even with the least friction that is likely."
);
rule!(
    TORQUE_UNUSUAL,
    "torque-unusual",
    Advice,
    true,
    "A torque is possible, and at the usual friction past yield or hardly more than loose."
);

/// Below this share of proof load a joint that matters counts as loose: half of what is recommended for joints that are taken apart
/// again (Shigley 8-31, 0.75). The half is common practice, no source.
pub const LOOSE: f64 = REUSED / 2.0;
/// Whole angle of a wheel bolt's cone. Common practice, no source.
const CONE: f64 = 60.0;
/// The strongest class in use: what a bolt without a mark is held to be before its torque is called too high.
const STRONGEST: PropertyClass = PropertyClass::C12_9;

/// The weakest class that carries anything in a vehicle: what a bolt without a mark is held to be before its torque is called too low. ISO 898-1
/// knows 4.6 and 4.8 too, for screws of no consequence; that they are left out is common practice, no source.
const WEAKEST: PropertyClass = PropertyClass::C5_6;
/// What a bolt of a vehicle mostly is. Common practice, no source.
const BOLT: PropertyClass = PropertyClass::C8_8;
/// A hub nut may be so much looser. Common practice, no source.
const OVER_SPLINES: f64 = 0.8;
/// Under this share of what the weakest takes at the usual friction a joint that matters is a slip. Common practice, no source.
const SLIP: f64 = 1.0 / 3.0;
/// Nothing is turned on by more, in degrees. Common practice, no source.
const WHOLE_TURN: f64 = 360.0;

/// Why a torque is not judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NoVerdict {
    /// The plan states none, or it is still to come.
    NoTorque,
    /// Nothing that it turns has a thread.
    NoThread,
    /// Such a thread cannot be reckoned.
    NoSuchThread,
    /// The mark is of no known class, or the class has no such size.
    NoSuchClass,
    /// A hose or pipe union: the nut squeezes a flare or a ring, and no bolt is pulled.
    Union,
    /// A plug or banjo without a class: what it squeezes is a washer that is to yield.
    Sealing,
}

/// How sure of the steel the sum is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Steel {
    Marked(Marking),
    /// No mark: only what even the strongest would not bear counts.
    Strongest,
    /// No mark, or one that nobody knows: only what leaves even the weakest loose counts.
    Weakest,
    /// A hollow nut or screw of a line: it bears less than a bolt of its size, and what stretches that is told.
    Union,
}

/// At one coefficient of friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// Coefficient of threads and seats.
    pub friction: f64,
    /// The pull that the torque leaves in it.
    pub preload: Newtons,
    /// Preload over proof load; over the load at the 0.2 % limit where the standard states no proof load.
    pub of_proof: f64,
    /// Pull and twist together over yield: above 1 the fixing stretches for good.
    pub of_yield: f64,
}

/// The sum of one joint's torque on one of its fixings.
#[derive(Debug, Clone, PartialEq)]
pub struct Sum {
    /// Size and pitch.
    pub thread: Thread,
    /// "M12 × 1.5".
    pub size: String,
    steel: Steel,
    /// As the plan writes it; empty where it writes none.
    pub mark: String,
    /// The range that is reckoned with.
    pub friction: Friction,
    /// The plan says what the threads are like.
    pub friction_said: bool,
    /// Seats of wheel bolts may be flat or cones: whether a torque is high is reckoned with what is kinder, whether it is low too.
    pub seat_unknown: bool,
    /// Least friction on a flat seat, at the lowest torque that the plan allows: the most that a low torque can leave.
    pub tight: At,
    /// Usual friction at the torque itself.
    pub usual: At,
    /// The same on a cone if it may be one.
    pub usual_seated: At,
    /// Most friction, on a cone if it may be one, at the highest torque that the plan allows.
    pub kind: At,
    /// 0.9 of yield at the usual friction: for comparison (VDI 2230).
    pub usual_torque: NewtonMetres,
    /// The same on a cone, where it may be one.
    pub cone_torque: Option<NewtonMetres>,
    /// The least pull that breaks it, without any twist.
    pub breaks_at: Newtons,
    yield_at: Megapascals,
    head: Head,
    /// As the plan writes it: a figure to compare is given in its unit.
    written: Torque,
}

impl At {
    /// The preload at which it yields under pull and twist, with this friction.
    #[must_use]
    pub fn yields_at(&self) -> Newtons {
        Newtons(self.preload.0 / self.of_yield)
    }

    /// Whether the sum still holds: past yield a bolt does not pull in proportion to its torque.
    fn holds(&self) -> bool {
        self.of_yield <= 1.0
    }
}

/// What comes of a sum, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Past yield, even with the most friction that is likely.
    TooHigh,
    /// Loose, even with the least friction that is likely.
    TooLow,
    /// Past yield at the usual friction.
    High,
    /// Hardly more than loose at the usual friction.
    Low,
    /// Between the two.
    Fits,
}

/// The sums of a joint's torque, one for each size of fixing.
///
/// # Errors
/// Why there is none.
pub fn sums(plan: &Plan, id: Id<Joint>) -> Result<Vec<Sum>, NoVerdict> {
    sums_with(plan, id, Steel::Strongest)
}

/// The same, with fixings without a mark held to be of this steel.
fn sums_with(plan: &Plan, id: Id<Joint>, unmarked: Steel) -> Result<Vec<Sum>, NoVerdict> {
    let joint = &plan.joints[id];
    let figure = joint.torque.as_ref().ok_or(NoVerdict::NoTorque)?;
    let torque = figure.value.torque.known().ok_or(NoVerdict::NoTorque)?;
    if joint.fixings.is_empty() {
        return Err(NoVerdict::NoThread);
    }
    if joint.kind.value.is_line() && unmarked != Steel::Union {
        return Err(NoVerdict::Union);
    }
    if !joint.opens.is_empty() && joint.fixings.iter().all(|fixing| fixing.class.is_none()) {
        return Err(NoVerdict::Sealing);
    }
    let band = figure.value.band;
    let asked = Asked {
        low: band.map_or(torque, |(low, _)| low).into(),
        torque: torque.into(),
        high: band.map_or(torque, |(_, high)| high).into(),
        written: torque,
        wheel: plan.on_a_wheel(joint),
        unmarked,
    };
    joint
        .fixings
        .iter()
        .map(|fixing| asked.sum(joint, fixing))
        .collect()
}

struct Asked {
    low: NewtonMetres,
    torque: NewtonMetres,
    high: NewtonMetres,
    written: Torque,
    wheel: bool,
    unmarked: Steel,
}

impl Asked {
    fn sum(&self, joint: &Joint, fixing: &Fixing) -> Result<Sum, NoVerdict> {
        let thread = threads::reckoned(&fixing.thread).ok_or(NoVerdict::NoSuchThread)?;
        let mark = fixing.class.as_ref().map_or("", |class| &*class.value);
        let steel = match mark {
            "" => self.unmarked,
            mark => match marking(fixing.what, mark, thread) {
                Some(marking) => Steel::Marked(marking),
                None if self.unmarked == Steel::Weakest => Steel::Weakest,
                None => return Err(NoVerdict::NoSuchClass),
            },
        };
        let marking = match steel {
            Steel::Marked(marking) => marking,
            Steel::Strongest => Marking::Class(STRONGEST),
            Steel::Weakest => Marking::Class(WEAKEST),
            Steel::Union => Marking::Class(BOLT),
        };
        let strength = marking
            .strength(thread.diameter())
            .map_err(|_| NoVerdict::NoSuchClass)?;
        let (friction, friction_said) = friction(joint);
        let head = if joint.drives.iter().any(|drive| drive.kind == DriveKind::Key) {
            Head::Cylinder
        } else {
            Head::Hexagon
        };
        let flat = Bearing::usual(thread, head);
        let cone = match self.wheel {
            true => flat.on_cone(CONE).map_err(|_| NoVerdict::NoSuchThread)?,
            false => flat,
        };
        let loads = loads(thread, strength);
        let proof = loads.proof.unwrap_or(loads.yield_at);
        let at = |coefficient: f64, bearing: Bearing, torque: NewtonMetres| -> Option<At> {
            let screw = Screw::new(thread, bearing, coefficient, coefficient).ok()?;
            let preload = screw.preload(torque).ok()?;
            Some(At {
                friction: coefficient,
                preload,
                of_proof: preload.0 / proof.0,
                of_yield: screw.share_of_yield(preload, strength.yield_at).ok()?,
            })
        };
        let sum = || {
            let usual = |seat: Bearing| {
                let screw = Screw::new(thread, seat, friction.usual(), friction.usual()).ok()?;
                screw.torque_at(0.9, strength.yield_at).ok()
            };
            Some(Sum {
                thread,
                size: threads::designation(&fixing.thread),
                steel,
                mark: mark.to_owned(),
                friction,
                friction_said,
                seat_unknown: self.wheel,
                tight: at(friction.low(), flat, self.low)?,
                usual: at(friction.usual(), flat, self.torque)?,
                usual_seated: at(friction.usual(), cone, self.torque)?,
                kind: at(friction.high(), cone, self.high)?,
                usual_torque: usual(flat)?,
                cone_torque: if self.wheel { usual(cone) } else { None },
                breaks_at: loads.tensile,
                yield_at: strength.yield_at,
                head,
                written: self.written,
            })
        };
        sum().ok_or(NoVerdict::NoSuchThread)
    }
}

/// What the mark of a bolt or nut means.
#[must_use]
pub fn marking(what: FixingKind, mark: &str, thread: Thread) -> Option<Marking> {
    match what {
        FixingKind::Nuts => Marking::of_nut(mark, thread.system()),
        _ => Marking::of_bolt(mark, thread.system()),
    }
    .ok()
}

/// What the plan says of friction, else the range of what it says of the threads; and whether it says anything.
fn friction(joint: &Joint) -> (Friction, bool) {
    let stated = joint
        .tightening
        .friction
        .and_then(|said| Friction::new(said.value.0, said.value.1).ok());
    if let Some(friction) = stated {
        return (friction, true);
    }
    match joint.tightening.threads.map(|said| said.value) {
        Some(ThreadState::Dry) => (Friction::of(Surface::Dry), true),
        Some(ThreadState::Oiled) => (Friction::of(Surface::Oiled), true),
        Some(ThreadState::Coated) => (Friction::of(Surface::Coated), true),
        None => (Friction::of(Surface::Unknown), false),
    }
}

/// Whether looseness of this joint matters, and its torque is what keeps it: it carries or wants a second check, and it is rigid.
fn matters(joint: &Joint) -> bool {
    let rigid = joint.rigid.map_or(!joint.kind.value.gives(), |said| said.value);
    let torque_is_all = joint
        .torque
        .as_ref()
        .is_none_or(|figure| figure.value.then.is_none());
    // Rubber gives; the bolt through its sleeve does not, and whoever checks it twice says that it matters.
    (rigid || joint.second_check.is_some())
        && torque_is_all
        && joint.opens.is_empty()
        && joint.kind.value.row().kept_by_torque
        && (joint.carries.is_some() || joint.second_check.is_some())
}

/// What comes of one of a joint's sums.
#[must_use]
pub fn verdict(joint: &Joint, sum: &Sum) -> Verdict {
    // A hub nut draws a bearing together over its splines, and its thread is larger than that needs; a pinch bolt holds by its pull alone.
    let hub_nut =
        joint.kind.value.slides() && joint.fixings.iter().all(|fixing| fixing.what == FixingKind::Nuts);
    let loose = if hub_nut { LOOSE * OVER_SPLINES } else { LOOSE };
    let marked = matches!(sum.steel, Steel::Marked(_));
    let matters = marked && matters(joint);
    if sum.kind.of_yield > 1.0 {
        Verdict::TooHigh
    } else if matters && sum.friction_said && sum.tight.of_proof < loose {
        Verdict::TooLow
    } else if marked && sum.usual_seated.of_yield > 1.0 {
        Verdict::High
    } else if matters && sum.usual.of_proof < loose {
        Verdict::Low
    } else {
        Verdict::Fits
    }
}

/// One cause: a torque statement that several joints share, by sides or `same as`, with what comes of it.
struct Cause {
    at: Span,
    verdict: Verdict,
    joints: Vec<Id<Joint>>,
    sum: Sum,
}

/// The sum of a fixing of no known class whose torque leaves even the weakest loose, where that matters.
fn loose_anyhow(plan: &Plan, id: Id<Joint>) -> Option<Sum> {
    let joint = &plan.joints[id];
    if !matters(joint) {
        return None;
    }
    let little = |sum: &Sum| {
        sum.steel == Steel::Weakest
            && NewtonMetres::from(sum.written).0 < SLIP * sum.usual_torque.0
            && sum.usual.of_proof < LOOSE
    };
    sums_with(plan, id, Steel::Weakest).ok()?.into_iter().find(little)
}

/// The sum of a line's union whose torque would stretch a whole bolt of its size.
fn union_too_high(plan: &Plan, id: Id<Joint>) -> Option<Sum> {
    if !plan.joints[id].kind.value.is_line() {
        return None;
    }
    let mut sums = sums_with(plan, id, Steel::Union).ok()?.into_iter();
    sums.find(|sum| sum.kind.of_yield > 1.0)
}

/// An angle by which nothing is turned on: none, or more than once round. Joints that share a statement are one finding.
fn turned_on(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut causes: BTreeMap<Span, Vec<Id<Joint>>> = BTreeMap::new();
    for (id, joint) in plan.joints.iter() {
        let angle = joint
            .torque
            .as_ref()
            .and_then(|said| Some((said.at, said.value.then?)));
        if let Some((at, _)) = angle.filter(|(_, angle)| {
            let degrees = angle.base();
            degrees <= 0.0 || degrees > WHOLE_TURN
        }) {
            causes.entry(at).or_default().push(id);
        }
    }
    for (at, joints) in causes {
        let names: Vec<String> = joints
            .iter()
            .map(|&id| format!("`{}`", plan.joints[id].head.name))
            .collect();
        let then = joints
            .first()
            .and_then(|&id| plan.joints[id].torque.as_ref()?.value.then);
        let Some(then) = then else { continue };
        let back = then.base() <= 0.0;
        let mut finding = Finding::new(
            &TORQUE_UNUSUAL,
            format!("{} would be turned on by {then}", joined(&names, "and")),
        )
        .at(
            at,
            if back {
                "nothing is turned on by that"
            } else {
                "more than a whole turn"
            },
        )
        .harm(if back {
            "It stays at its first torque, and works loose."
        } else {
            "It yields, and breaks under the wrench or later."
        })
        .mend("Look the angle up again; makers' books give 30 to 270 deg. Without one leave `then` out");
        finding.severity = Severity::Doubt;
        for id in joints {
            finding = finding.about(plan.joints[id].head.name.to_string());
        }
        findings.push(finding);
    }
}

/// Judges every declared torque.
pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    turned_on(plan, findings);
    let mut causes: BTreeMap<Span, Cause> = BTreeMap::new();
    for (id, joint) in plan.joints.iter() {
        let Some(figure) = &joint.torque else { continue };
        let worst = sums(plan, id)
            .unwrap_or_default()
            .into_iter()
            .map(|sum| (verdict(joint, &sum), sum))
            .min_by_key(|(verdict, _)| *verdict as u8)
            .filter(|(verdict, _)| *verdict != Verdict::Fits);
        let loose = || loose_anyhow(plan, id).map(|sum| (Verdict::Low, sum));
        let union = || union_too_high(plan, id).map(|sum| (Verdict::TooHigh, sum));
        let Some((verdict, sum)) = worst.or_else(loose).or_else(union) else {
            continue;
        };
        // Sides, and joints with `same as`, share a statement: one finding, as grave as the gravest of them.
        let cause = causes.entry(figure.at).or_insert(Cause {
            at: figure.at,
            verdict,
            joints: Vec::new(),
            sum: sum.clone(),
        });
        cause.joints.push(id);
        if (verdict as u8) < (cause.verdict as u8) {
            (cause.verdict, cause.sum) = (verdict, sum);
        }
    }
    findings.extend(causes.values().map(|cause| word(plan, cause)));
}

fn word(plan: &Plan, cause: &Cause) -> Finding {
    let sum = &cause.sum;
    let names: Vec<String> = cause
        .joints
        .iter()
        .map(|&id| format!("`{}`", plan.joints[id].head.name))
        .collect();
    let names = joined(&names, "and");
    let bolt = match sum.taken() {
        Some(class) => format!("{}, even of class {}", sum.size, class.mark()),
        None => sum.of_steel(),
    };
    let (rule, what) = match cause.verdict {
        Verdict::TooHigh if sum.breaks() => {
            (&TORQUE_TOO_HIGH, format!("the torque of {names} breaks {bolt}"))
        }
        Verdict::TooHigh => (
            &TORQUE_TOO_HIGH,
            format!("the torque of {names} stretches {bolt} for good"),
        ),
        Verdict::TooLow => (
            &TORQUE_TOO_LOW,
            format!("the torque of {names} leaves {bolt} loose"),
        ),
        Verdict::High => (
            &TORQUE_UNUSUAL,
            format!("the torque of {names} is high for {bolt}"),
        ),
        Verdict::Low | Verdict::Fits => (
            &TORQUE_UNUSUAL,
            format!("the torque of {names} is low for {bolt}"),
        ),
    };
    let high = matches!(cause.verdict, Verdict::TooHigh | Verdict::High);
    let mut finding = Finding::new(rule, what)
        .at(cause.at, sum.told(cause.verdict))
        .harm(if high {
            "It yields under the wrench or in the first bend of the road; the next one pulls its thread."
        } else {
            "It works loose, frets, and shears when it is wanted."
        })
        .mend(sum.mend());
    let second = |id: &Id<Joint>| plan.joints[*id].second_check.is_some();
    if cause.verdict == Verdict::TooLow && cause.joints.iter().any(second) {
        finding.severity = Severity::Fault;
    }
    // So little where something hangs on it, or two people look at it, is a slip of the pen rather than an opinion.
    let counts = |id: &Id<Joint>| {
        let joint = &plan.joints[*id];
        let figure = joint.torque.as_ref().and_then(|said| said.value.torque.known());
        let little = figure.is_some_and(|torque| torque.base() < sum.usual_torque.0 / 3.0);
        little && (joint.second_check.is_some() || joint.carries.is_some())
    };
    // What breaks at the friction that most threads have is more than an opinion.
    if cause.verdict == Verdict::High && sum.usual_seated.preload.0 > sum.breaks_at.0 {
        finding.severity = Severity::Doubt;
    }
    if cause.verdict == Verdict::Low && cause.joints.iter().any(counts) {
        finding.severity = Severity::Doubt;
    }
    for &id in &cause.joints {
        let head = &plan.joints[id].head;
        if head.at.source != cause.at.source
            || head.block.start > cause.at.start
            || head.block.end < cause.at.end
        {
            finding = finding.at(head.at, "takes its torque from there");
        }
        finding = finding.about(head.name.to_string());
    }
    finding
}

impl Sum {
    /// "M12 × 1.5 of class 10.9".
    fn of_steel(&self) -> String {
        match self.steel {
            Steel::Marked(Marking::Grade(_)) => format!("{} of grade {}", self.size, self.mark),
            Steel::Marked(_) => format!("{} of class {}", self.size, self.mark),
            Steel::Strongest | Steel::Weakest | Steel::Union => self.size.clone(),
        }
    }

    /// The class that it is taken to be of, where its own is not known.
    fn taken(&self) -> Option<PropertyClass> {
        match self.steel {
            Steel::Marked(_) => None,
            Steel::Strongest => Some(STRONGEST),
            Steel::Weakest => Some(WEAKEST),
            Steel::Union => Some(BOLT),
        }
    }

    /// The sum in one line: thread, class, friction, preload, share.
    fn told(&self, verdict: Verdict) -> String {
        let ground = if self.friction_said {
            ""
        } else {
            ", nothing being said of it"
        };
        let share = self.share_word();
        let ends = |low: &At, high: &At| match (low.holds(), high.holds()) {
            (true, true) => format!(
                "preload {} to {} kN, {} to {} % of {share}",
                kilonewtons(low.preload),
                kilonewtons(high.preload),
                percent(low.of_proof),
                percent(high.of_proof),
            ),
            (true, false) => format!(
                "preload {} kN, {} % of {share}, and up to {} kN, where it yields",
                kilonewtons(low.preload),
                percent(low.of_proof),
                kilonewtons(high.yields_at()),
            ),
            _ => format!(
                "it {} before: {} kN of preload belong to this torque at the least, and with its twist it yields at {} kN; a pull of {} kN \
                 alone breaks it",
                if self.breaks() { "breaks" } else { "yields" },
                kilonewtons(low.preload),
                kilonewtons(low.yields_at()),
                kilonewtons(self.breaks_at),
            ),
        };
        let seat = self.seat_words();
        let class = match (self.taken(), self.steel) {
            (Some(class), _) => format!("taken as class {}", class.mark()),
            (None, Steel::Marked(Marking::Grade(_))) => format!("grade {}", self.mark),
            // A class by its figures, or a stainless steel.
            (None, _) => format!("class {}", self.mark),
        };
        let from = format!(
            "{}, {class}, friction {:.2} to {:.2}{ground}{seat}: {}",
            self.size,
            self.friction.low(),
            self.friction.high(),
            ends(&self.kind, &self.tight),
        );
        match verdict {
            Verdict::TooHigh => from,
            Verdict::High => format!(
                "{from}; at the usual friction of {:.2} it yields before, at {} kN{}",
                self.usual.friction,
                kilonewtons(self.usual_seated.yields_at()),
                if self.seat_unknown { ", even on a cone" } else { "" },
            ),
            Verdict::TooLow => format!("{from}; under {} % counts as loose", percent(LOOSE)),
            Verdict::Low | Verdict::Fits => format!(
                "{from}; {} % at the usual friction of {:.2}, and under {} % counts as loose",
                percent(self.usual.of_proof),
                self.usual.friction,
                percent(LOOSE)
            ),
        }
    }

    /// Whether it breaks before the torque is reached, even with the most friction that is likely.
    fn breaks(&self) -> bool {
        self.kind.preload.0 > self.breaks_at.0
    }

    /// What its head is taken to turn on.
    fn seat_words(&self) -> &'static str {
        match (self.seat_unknown, self.thread.system(), self.head) {
            (true, ..) => ", on a cone or flat",
            (_, System::Metric, Head::Hexagon) => ", hexagon head on a medium hole",
            (_, System::Metric, Head::Cylinder) => ", socket head on a medium hole",
            (_, System::Unified, _) => ", head 1.45 d on a hole of 1.1 d",
        }
    }

    fn share_word(&self) -> &'static str {
        match self.steel {
            Steel::Marked(Marking::Stainless(_)) => "the 0.2 % limit",
            _ => "proof load",
        }
    }

    fn mend(&self) -> String {
        let class = match self.taken() {
            Some(_) => " Say the class of the fixing, so that it can be judged.",
            None => "",
        };
        let cone = self.cone_torque.map_or_else(String::new, |cone| {
            let cone = amounts::three_figures(self.written, cone.0);
            format!(" on a flat seat, {cone} on a cone of {CONE:.0} deg")
        });
        format!(
            "Look the figure up again, with its unit, thread and class. To compare: {:.0} % of yield at friction {:.2} is {}{cone}; the \
             maker's book has the last word.{class}",
            90.0,
            self.friction.usual(),
            amounts::three_figures(self.written, self.usual_torque.0),
        )
    }
}

fn kilonewtons(force: Newtons) -> String {
    match force.0 / 1000.0 {
        f if f < 20.0 => format!("{f:.1}"),
        f => format!("{f:.0}"),
    }
}

fn percent(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}
