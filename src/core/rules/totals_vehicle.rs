//! Of the family **totals**: weighings of the whole vehicle against each other, against what came off and went on between them, and
//! against what is needed to find its centre. Knows nothing of sums of other things.

use super::totals::{
    CENTRE_NOT_KNOWN, CORNERS_AGAINST_PARTS, UNLIKE_STATES, WEIGHED_OTHERWISE, WEIGHING_NOT_PLACED,
};
use super::{amounts, joined};
use crate::analysis::account::{self, Account, Moment};
use crate::analysis::balance::Balance;
use crate::analysis::vehicle_weighings::{self, Order, Unlike, Weighing, When};
use crate::base::date::Date;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::model::{Id, Part, Plan, Step, WeighIn};
use crate::reckon::closing;
use crate::reckon::mass::MassEstimate;
use crate::reckon::polygon::Spot;
use crate::walk::Walk;
use crate::weights::Weights;

pub(super) fn check(weights: &Weights<'_>, account: &Account, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    states(weights, walk, findings);
    measures(plan, findings);
    let weighings = vehicle_weighings::all(plan);
    not_placed(plan, &weighings, findings);
    placed_otherwise(plan, &weighings, findings);
    stated(weights, account, &weighings, findings);
    against_parts(weights, walk, &weighings, findings);
}

/// Weigh-ins of the vehicle, whether their figures are known or not, by date.
fn of_the_vehicle(plan: &Plan) -> Vec<Id<WeighIn>> {
    let mut ids: Vec<Id<WeighIn>> = plan
        .weigh_ins
        .ids()
        .filter(|&id| vehicle_weighings::place(plan, id).is_some())
        .collect();
    ids.sort_by_key(|&id| (plan.weigh_ins[id].dated.map(|said| said.value), id));
    ids
}

fn states(weights: &Weights<'_>, walk: &Walk, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let moments = vehicle_weighings::moments(plan);
    let when = |id: Id<WeighIn>| (id, moments.get(&id).copied());
    let ids = of_the_vehicle(plan);
    let Some(&first) = ids.iter().find(|&&id| plan.weigh_ins[id].raised.is_none()) else {
        return;
    };
    for &id in ids.iter().filter(|&&id| id != first) {
        let (a, b) = (&plan.weigh_ins[first], &plan.weigh_ins[id]);
        let unlike = account::unlike(weights, walk, when(first), when(id));
        if unlike.is_empty() {
            continue;
        }
        let words: Vec<String> = unlike
            .iter()
            .map(|of| {
                match of {
                    Unlike::Fuel => "fuel",
                    Unlike::Driver => "driver",
                    Unlike::Tyres => "tyre pressures",
                }
                .to_owned()
            })
            .collect();
        let (here, there) = (state_place(b, &unlike), state_place(a, &unlike));
        findings.push(
            Finding::new(
                &UNLIKE_STATES,
                format!(
                    "`{}` and `{}` are to be compared, and were not weighed alike: {}",
                    a.head.name,
                    b.head.name,
                    joined(&words, "and")
                ),
            )
            .at(here, "so it stands here")
            .at(there, "and so there")
            .harm("A tank of fuel or a driver weighs as much as the job saves, and shifts the corners; the comparison says nothing.")
            .mend("Weigh both in the same state, and write it in both")
            .about(b.head.name.to_string())
            .about(a.head.name.to_string()),
        );
    }
}

fn state_place(weigh_in: &WeighIn, unlike: &[Unlike]) -> Span {
    let place = match unlike.first() {
        Some(Unlike::Fuel) => weigh_in.fuel.map(|said| said.at),
        Some(Unlike::Driver) => weigh_in.driver.map(|said| said.at),
        Some(Unlike::Tyres) => weigh_in.tyres.map(|said| said.at),
        None => None,
    };
    place.unwrap_or(weigh_in.head.at)
}

/// What the centre cannot be found without.
fn measures(plan: &Plan, findings: &mut Vec<Finding>) {
    let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) else {
        return;
    };
    let mut lacks: Vec<&str> = Vec::new();
    let mut at = None;
    let mut levels = 0;
    let mut raised = None;
    for id in of_the_vehicle(plan) {
        let weigh_in = &plan.weigh_ins[id];
        let place = vehicle_weighings::place(plan, id);
        let wheels = weigh_in.corners.is_some() || weigh_in.axles.is_some();
        if !wheels {
            continue;
        }
        if weigh_in.raised.is_some() {
            raised = raised.or(place);
        } else {
            levels += 1;
        }
        at = at.or(place);
        if vehicle.wheelbase.is_none() {
            lacks.push("wheelbase");
        }
        if vehicle.track.is_none() && weigh_in.corners.is_some() {
            lacks.push("track");
        }
        if vehicle.wheel_radius.is_none() && weigh_in.raised.is_some() {
            lacks.push("wheel radius");
        }
    }
    lacks.sort_unstable();
    lacks.dedup();
    let name = vehicle.head.name.to_string();
    if let (false, Some(at)) = (lacks.is_empty(), at) {
        let words: Vec<String> = lacks.iter().map(|word| format!("`{word}`")).collect();
        findings.push(
            Finding::new(
                &CENTRE_NOT_KNOWN,
                format!("`{name}` is weighed, and lacks its {}", joined(&words, "and")),
            )
            .at(at, "these readings tell where the centre lies")
            .at(vehicle.head.at, "if this says where the wheels are")
            .harm("Nobody can say on the lift which way it would tip.")
            .mend(format!("Measure it, and write it in the block of `{name}`"))
            .about(name),
        );
        return;
    }
    if let (Some(at), 0) = (raised, levels) {
        findings.push(
            Finding::new(
                &CENTRE_NOT_KNOWN,
                format!("`{name}` was weighed with an end raised, and never level"),
            )
            .at(at, "the height comes from the difference to a level weighing")
            .harm("The height of the centre stays unknown.")
            .mend("Weigh its corners or axles level too, in the same state")
            .about(name),
        );
    }
}

/// What the plan states of the vehicle, against its first weighing.
fn stated(weights: &Weights<'_>, account: &Account, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) else {
        return;
    };
    let figure = vehicle.mass.as_ref();
    let first = vehicle_weighings::first_level(weighings);
    let (Some(figure), Some(first), Some(start)) = (figure, first, &account.start) else {
        return;
    };
    let Some(stated) = crate::weights::stated(&figure.value) else {
        return;
    };
    if start.differs(&stated) {
        let name = &vehicle.head.name;
        let and_before = if start.kg == first.total.kg {
            String::new()
        } else {
            format!(
                ", which makes {} as it was found",
                amounts::with_give(plan, start)
            )
        };
        findings.push(
            Finding::new(
                &WEIGHED_OTHERWISE,
                format!(
                    "`{name}`: weighed at {}{and_before}, and stated as {}",
                    amounts::with_give(plan, &first.total),
                    amounts::with_give(plan, &stated)
                ),
            )
            .at(first.at, "weighed here")
            .at(figure.at, "stated here")
            .harm(
                "One of them is of another state, or was read wrongly; the account starts from the weighing.",
            )
            .mend("Weigh it again, or write the weighing's sum in its block")
            .about(name.to_string())
            .about(plan.weigh_ins[first.id].head.name.to_string()),
        );
    }
}

/// Weighings of the whole that belong to no moment of the work: they would be left out of everything.
fn not_placed(plan: &Plan, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    for weighing in weighings.iter().filter(|weighing| weighing.raised.is_none()) {
        if weighing.when.is_some() {
            continue;
        }
        let weigh_in = &plan.weigh_ins[weighing.id];
        findings.push(
            Finding::new(
                &WEIGHING_NOT_PLACED,
                format!("nothing says when `{}` was weighed: what was off and on then is not known", weigh_in.head.name),
            )
            .at(weighing.at, "weighed here, and in no account")
            .harm("The scale has the last word, and nobody hears it: target and class minimum are judged without it.")
            .mend(format!(
                "Say in the block of `{}` after which step: after STEP; or log the steps that were done, with their dates",
                weigh_in.head.name
            ))
            .about(weigh_in.head.name.to_string()),
        );
    }
}

/// Weighings whose date says another moment of the work than their step.
fn placed_otherwise(plan: &Plan, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let order = Order::of(plan);
    let done = &plan.progress.done;
    let furthest = done
        .keys()
        .map(|&step| order.step(step))
        .filter(|&place| place < usize::MAX)
        .max();
    let mut before: Option<(&Weighing, Date)> = None;
    for weighing in weighings {
        let weigh_in = &plan.weigh_ins[weighing.id];
        let dated = weigh_in.dated.map(|said| said.value);
        let Some((when, step)) = weighing.when.and_then(|when| Some((when, when.step()?))) else {
            before = dated.map(|day| (weighing, day)).or(before);
            continue;
        };
        let is_named = weigh_in.after.is_some();
        let own = &plan.steps[step].head.name;
        // What is done when it is weighed, and what is not.
        let is_done = |other: Id<Step>| match when {
            When::Before(..) => order.step(other) < order.step(step),
            When::After(_) | When::AsFound => order.step(other) <= order.step(step),
        };
        let log_of = |step: Id<Step>| {
            plan.logs
                .iter()
                .find(|log| log.steps.contains(&step) && log.done.is_some())
        };
        let name = &weigh_in.head.name;
        let at_step = weigh_in.after.map_or(weighing.at, |said| said.at);
        let at_date = weigh_in.dated.map_or(weighing.at, |said| said.at);
        let told = |what: String, mend: String| {
            Finding::new(&WEIGHING_NOT_PLACED, what)
                .harm("What was off and on when it was weighed is then another thing than the account takes it for: the saving and the end come out wrong.")
                .mend(mend)
                .about(name.to_string())
        };
        let later = dated.and_then(|day| {
            let mut all = done
                .iter()
                .filter(|(other, done)| is_done(**other) && **done > day);
            all.next().map(|(other, done)| (day, *other, *done))
        });
        let earlier = dated.and_then(|day| {
            let past =
                |other: Id<Step>| order.step(other) > order.step(step) && order.step(other) < usize::MAX;
            let all = done.iter().filter(|(other, done)| past(**other) && **done < day);
            let last = all.max_by_key(|(other, _)| order.step(**other));
            last.map(|(other, done)| (day, *other, *done))
        });
        let finding = if let Some((day, other, done)) = later {
            let log = log_of(other).and_then(|log| Some(log.done?.at));
            let other = &plan.steps[other].head.name;
            let finding = told(
                format!(
                    "`{name}` was weighed on {day}, and `{other}`, which is done before it, only on {done}"
                ),
                format!(
                    "Put right the date of one of the two, or say which step it was weighed after: in `{name}`, after STEP"
                ),
            );
            Some(
                log.into_iter()
                    .fold(finding.at(at_date, "weighed on this day"), |finding, at| {
                        finding.at(at, "done on this")
                    }),
            )
        } else if let Some((day, other, done)) = earlier {
            let log = log_of(other).and_then(|log| Some(log.done?.at));
            let other = &plan.steps[other].head.name;
            let finding = told(
                format!(
                    "`{name}` belongs to `{own}`, and on its day, {day}, `{other}` was done already, on {done}"
                ),
                format!(
                    "Write in `{name}` the step after which it was weighed: after {other}; or put right the date of one of the two"
                ),
            );
            let finding = finding.at(at_step, "weighed when this was done");
            Some(log.into_iter().fold(finding, |finding, at| {
                finding.at(at, "and this is later in the work")
            }))
        } else if is_named && furthest.is_some_and(|furthest| order.step(step) > furthest) {
            Some(
                told(
                    format!("`{name}` was weighed after `{own}`, and the log does not say that this is done"),
                    format!(
                        "Log it: log {own}; done {}; or say after which step it was weighed",
                        dated.map_or_else(|| "DATE".to_owned(), |day| day.to_string())
                    ),
                )
                .at(at_step, "the log has not come so far"),
            )
        } else if let (Some((other, first)), Some(day)) = (before, dated)
            && first > day
        {
            let other = &plan.weigh_ins[other.id];
            Some(
                told(
                    format!(
                        "`{}` comes before `{name}` in the work, and was weighed after it: on {first} and {day}",
                        other.head.name
                    ),
                    "Put right the date of one of the two, or the step after which it was weighed: after STEP".to_owned(),
                )
                .at(at_date, "weighed on this day")
                .at(other.dated.map_or(other.head.at, |said| said.at), "and what is earlier in the work, on this")
                .about(other.head.name.to_string()),
            )
        } else {
            None
        };
        findings.extend(finding);
        before = dated.map(|day| (weighing, day)).or(before);
    }
}

/// Each weighing of the vehicle against the first one and what came off and went on since.
fn against_parts(weights: &Weights<'_>, walk: &Walk, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let Some(first) = vehicle_weighings::first_level(weighings) else {
        return;
    };
    for weighing in weighings.iter().filter(|weighing| weighing.id != first.id) {
        let (a, b) = (&plan.weigh_ins[first.id], &plan.weigh_ins[weighing.id]);
        let when = |weighing: &Weighing| (weighing.id, weighing.when);
        if !account::unlike(weights, walk, when(first), when(weighing)).is_empty() {
            continue;
        }
        let Some(moment) = between(weights, walk, first, weighing) else {
            continue;
        };
        let off = moment.off(weights);
        let Some(off) = off.whole() else { continue };
        let expected = first.total.minus(off);
        let Ok(error) = closing::of_masses(&weighing.total, &expected) else {
            continue;
        };
        if closing::closes(error) {
            centres(weights, weighings, first, weighing, &moment, findings);
            continue;
        }
        let difference = weighing.total.minus(&expected);
        let nothing = moment == Moment::default();
        let what = if nothing {
            format!(
                "`{}` and `{}` differ, and nothing came off between them: {} and {}",
                a.head.name,
                b.head.name,
                amounts::with_give(plan, &first.total),
                amounts::with_give(plan, &weighing.total)
            )
        } else {
            format!(
                "`{}` is {} {} than `{}` less what came off and more what went on",
                b.head.name,
                amounts::kg(plan, difference.kg.abs(), difference.u()),
                if difference.kg > 0.0 { "more" } else { "less" },
                a.head.name
            )
        };
        let mut finding = Finding::new(&CORNERS_AGAINST_PARTS, what)
            .at(
                weighing.at,
                format!("expected {}", amounts::with_give(plan, &expected)),
            )
            .at(first.at, "the weighing before")
            .harm(format!(
                "Something is on or off that the plan does not know, or a reading is wrong.{}",
                fitting(weights, &moment, &difference)
            ))
            .mend("Weigh again in the same state; then look for what was left off, or in")
            .about(b.head.name.to_string())
            .about(a.head.name.to_string());
        // When all is done, it is the result that is wrong, and no plan.
        let last = plan.order.last().copied();
        if last.is_some() && weighing.when.and_then(When::step) == last {
            finding.severity = Severity::Fault;
        }
        findings.push(finding);
    }
}

/// A way in which a sheet may have been filled in wrongly.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Misplaced {
    Ends,
    Sides,
    FrontSides,
    RearSides,
}

impl Misplaced {
    const ALL: [Misplaced; 4] = [
        Misplaced::Ends,
        Misplaced::Sides,
        Misplaced::FrontSides,
        Misplaced::RearSides,
    ];

    fn word(self) -> &'static str {
        match self {
            Misplaced::Ends => "front and rear are exchanged",
            Misplaced::Sides => "left and right are exchanged",
            Misplaced::FrontSides => "left and right of the front axle are exchanged",
            Misplaced::RearSides => "left and right of the rear axle are exchanged",
        }
    }

    /// The sheet as it was meant; none where it does not say so much.
    fn mended(self, weighing: &Weighing) -> Option<Weighing> {
        let mut meant = weighing.clone();
        if let Some(four) = &mut meant.corners {
            let was = *four;
            let front = (was.front_right, was.front_left);
            let rear = (was.rear_right, was.rear_left);
            match self {
                Misplaced::Ends => {
                    (four.front_left, four.front_right) = (was.rear_left, was.rear_right);
                    (four.rear_left, four.rear_right) = (was.front_left, was.front_right);
                }
                Misplaced::Sides => {
                    (four.front_left, four.front_right) = front;
                    (four.rear_left, four.rear_right) = rear;
                }
                Misplaced::FrontSides => (four.front_left, four.front_right) = front,
                Misplaced::RearSides => (four.rear_left, four.rear_right) = rear,
            }
            meant.axles = Some(four.axles());
            return Some(meant);
        }
        let axles = meant.axles.as_mut().filter(|_| self == Misplaced::Ends)?;
        (axles.front, axles.rear) = (axles.rear, axles.front);
        Some(meant)
    }
}

/// The whole agrees: does it lie where it should? What left and came has its place, so that the centre can be foretold, along and across.
fn centres(
    weights: &Weights<'_>,
    weighings: &[Weighing],
    first: &Weighing,
    weighing: &Weighing,
    moment: &Moment,
    findings: &mut Vec<Finding>,
) {
    let plan = weights.plan();
    let vehicle = plan.vehicle().map(|id| &plan.vehicles[id]);
    let wheelbase = vehicle.and_then(|vehicle| Some(vehicle.wheelbase?.value.base()));
    let (Some(wheelbase), None, Some(axles), Some(axles_u)) =
        (wheelbase, weighing.raised, weighing.axles, weighing.axles_u)
    else {
        return;
    };
    let foretold = |first: &Weighing| {
        let balance = Balance::from(weights, weighings, first)?.at(moment);
        let (at, u) = balance.centre()?;
        Some((at, u, balance.mass().0))
    };
    let (Some((at, u, mass)), Some(found)) = (foretold(first), vehicle_weighings::centre(plan, weighing))
    else {
        return;
    };
    // Of axles alone nobody knows the middle.
    let across = weighing.corners.is_some() && first.corners.is_some() && !found.middle_assumed;
    let fits = |expected: Spot, own: Spot| {
        let near =
            |a: f64, b: f64, u: f64, own: f64| (a - b).abs() <= 2.0 * u.hypot(own).max(f64::MIN_POSITIVE);
        let along = near(expected.behind, own.behind, u.behind, found.u.behind);
        (
            along,
            !across || near(expected.right, own.right, u.right, found.u.right),
        )
    };
    let (along, beside) = fits(at, found.at);
    if along && beside {
        return;
    }
    let (a, b) = (&plan.weigh_ins[first.id], &plan.weigh_ins[weighing.id]);
    let explains = |expected: Spot, own: Spot| fits(expected, own) == (true, true);
    let mut causes: Vec<String> = Vec::new();
    for slip in Misplaced::ALL {
        let here = slip
            .mended(weighing)
            .and_then(|meant| vehicle_weighings::centre(plan, &meant))
            .is_some_and(|meant| explains(at, meant.at));
        let before = || {
            let meant = slip.mended(first)?;
            let (at, _, _) = foretold(&meant)?;
            Some(explains(at, found.at))
        };
        let sheet = match (here, before()) {
            (true, _) => b,
            (false, Some(true)) => a,
            (false, Some(false) | None) => continue,
        };
        causes.push(format!("{} on the sheet `{}`", slip.word(), sheet.head.name));
    }
    causes.extend(misplaced(weights, moment, mass, (at, found.at), explains));
    let nothing = *moment == Moment::default();
    if nothing && beside && a.raised.is_none() && b.raised.is_none() {
        causes.push(
            "an end was raised for one of them, which says `raised rear 420 mm`, by how much".to_owned(),
        );
    }
    let cause = match causes.as_slice() {
        [] => String::new(),
        some => format!(
            " It would be explained if {}.",
            joined(some.get(..3).unwrap_or(some), "or if")
        ),
    };
    let to_kg = |mm: f64, length: f64| mass * mm / length;
    // The track in the middle between the two axles.
    let track = vehicle.and_then(|vehicle| vehicle.track).map_or(1.0, |said| {
        f64::midpoint(said.value.front.base(), said.value.rear.base())
    });
    let (side, bears, expected, u) = if along {
        let left = weighing
            .corners
            .map_or(0.0, |four| four.front_left + four.rear_left);
        let expected = left + to_kg(found.at.right - at.right, track);
        (
            "left side",
            left,
            expected,
            to_kg(u.right.hypot(found.u.right), track),
        )
    } else {
        let expected = axles.front + to_kg(found.at.behind - at.behind, wheelbase);
        (
            "front",
            axles.front,
            expected,
            to_kg(u.behind, wheelbase).hypot(axles_u.front),
        )
    };
    let off = bears - expected;
    let there = if along { "on the left" } else { "at the front" };
    let and_what = if nothing {
        ""
    } else {
        " and what came off and went on it"
    };
    findings.push(
        Finding::new(
            &CORNERS_AGAINST_PARTS,
            format!(
                "`{}`: the {side} bears {}, and by `{}`{and_what} would bear {}",
                b.head.name,
                amounts::kg(plan, bears, axles_u.front),
                a.head.name,
                amounts::kg(plan, expected, u)
            ),
        )
        .at(
            weighing.at,
            format!(
                "{} {} {there} than expected",
                amounts::kg(plan, off.abs(), u),
                if off > 0.0 { "more" } else { "less" }
            ),
        )
        .at(first.at, "the weighing before")
        .harm(format!(
            "The balance over the lift is reckoned from these: it tips the other way than the plan says.{cause}"
        ))
        .mend("Look at the sheets and at the places of what came off; then weigh again in the same state")
        .about(b.head.name.to_string())
        .about(a.head.name.to_string()),
    );
}

/// Places of what moved that would explain a centre if their point were put right, or their side.
fn misplaced(
    weights: &Weights<'_>,
    moment: &Moment,
    mass: f64,
    (expected, found): (Spot, Spot),
    explains: impl Fn(Spot, Spot) -> bool,
) -> Vec<String> {
    let plan = weights.plan();
    let off = moment.off_for_now.iter().chain(&moment.off_for_good);
    let all = off
        .map(|id| (id, -1.0))
        .chain(moment.on_new.iter().map(|id| (id, 1.0)));
    let mut causes = Vec::new();
    for (&id, sign) in all {
        let part = &plan.parts[id];
        let (Some(estimate), Some(place)) = (weights.part(id), part.at) else {
            continue;
        };
        let (behind, right) = (
            place.value.behind,
            if place.value.mirrored {
                0.0
            } else {
                place.value.right
            },
        );
        let moved = |behind_by: f64, right_by: f64| {
            Spot::new(
                expected.behind + sign * estimate.kg * behind_by / mass,
                expected.right + sign * estimate.kg * right_by / mass,
            )
        };
        let slips = [
            (
                moved(9.0 * behind, 0.0),
                "the decimal point of its place behind the front axle is wrong",
            ),
            (
                moved(-0.9 * behind, 0.0),
                "the decimal point of its place behind the front axle is wrong",
            ),
            (
                moved(-2.0 * behind, 0.0),
                "it sits on the other side of the front axle",
            ),
            (moved(0.0, -2.0 * right), "it sits on the other side"),
        ];
        let name = &part.head.name;
        let word = slips.into_iter().find(|(spot, _)| explains(*spot, found));
        causes.extend(word.map(|(_, word)| format!("of `{name}` {word}")));
    }
    causes
}

/// Parts that weigh about as much as the difference.
fn fitting(weights: &Weights<'_>, moment: &Moment, difference: &MassEstimate) -> String {
    let plan = weights.plan();
    let all = moment
        .off_for_now
        .iter()
        .chain(&moment.off_for_good)
        .chain(&moment.on_new);
    let mut near: Vec<(f64, Id<Part>)> = all
        .filter_map(|&id| {
            let estimate = weights.part(id)?;
            let off = (estimate.kg - difference.kg.abs()).abs();
            (off <= difference.expanded()).then_some((off, id))
        })
        .collect();
    near.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let names: Vec<String> = near
        .into_iter()
        .take(3)
        .map(|(_, id)| format!("`{}`", plan.parts[id].head.name))
        .collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" About as much weighs {}.", joined(&names, "or"))
    }
}

/// What changed on the vehicle between two weighings; none where the plan does not say when they were.
fn between(weights: &Weights<'_>, walk: &Walk, first: &Weighing, second: &Weighing) -> Option<Moment> {
    let plan = weights.plan();
    let (then, now) = (
        account::state_at(plan, walk, first.when?)?,
        account::state_at(plan, walk, second.when?)?,
    );
    Some(Moment::between(weights, &then, &now))
}
