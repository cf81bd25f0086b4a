//! The family **fastening**: torques, threads, spanners, hardware that is used once. Torques and threads are judged in files beside this
//! one; here stand the list, what is missing, and what the walk finds of single-use hardware and hard pulls. Knows not where findings go.

use std::collections::{BTreeMap, BTreeSet};

use super::phrases::Wording;
use super::{Family, act_figures, joined, rule, threads, torques};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model::{Does, FixingKind, Joint, Plan, Text, TorqueFigure};
use crate::reckon::friction::Friction;
use crate::walk::breaks::Subject;

rule!(
    TORQUE_MISSING,
    "torque-missing",
    Doubt,
    true,
    "A joint that carries, or wants a second check, is closed without a torque, though the plan gives torques elsewhere."
);
rule!(
    NOTHING_TO_TURN,
    "nothing-to-turn",
    Doubt,
    true,
    "A torque is given for a joint that has nothing to turn."
);
rule!(
    TORQUE_AT_ODDS,
    "torque-at-odds",
    Doubt,
    true,
    "A torque lies outside its own band, or its stages do not rise to it."
);
rule!(
    NO_SUCH_FRICTION,
    "no-such-friction",
    Doubt,
    true,
    "A friction is stated that no screw has, or its higher figure first; it is left out of the sum."
);
rule!(
    SINGLE_USE_AGAIN,
    "single-use-again",
    Fault,
    true,
    "Fixings or washers that are to be new each time are tightened again without having come out."
);
rule!(
    BIG_TORQUE_ON_STANDS,
    "big-torque-on-stands",
    Advice,
    true,
    "A big torque is cracked or reached while an end of the vehicle is up."
);

rule!(
    WHEEL_TURNS,
    "wheel-turns",
    Advice,
    true,
    "Tight wheel fixings are loosened while the wheel hangs, and nothing is said to keep it from turning."
);

/// On torque, thread, spanner, and what is used once.
pub static FAMILY: Family = Family {
    name: "fastening",
    about: "torque, thread, spanner, and what is used once",
    rules: &[
        &torques::TORQUE_TOO_HIGH,
        &torques::TORQUE_TOO_LOW,
        &torques::TORQUE_UNUSUAL,
        &TORQUE_MISSING,
        &NOTHING_TO_TURN,
        &TORQUE_AT_ODDS,
        &NO_SUCH_FRICTION,
        &threads::UNKNOWN_THREAD,
        &threads::UNKNOWN_CLASS,
        &threads::WRONG_SPANNER,
        &threads::THREAD_NOT_ENGAGED,
        &super::one_figure::OTHER_UNIT,
        &super::one_figure::OTHER_THREAD,
        &act_figures::MORE_THAN_THERE_ARE,
        &act_figures::BROKEN_NOT_RENEWED,
        &SINGLE_USE_AGAIN,
        &BIG_TORQUE_ON_STANDS,
        &WHEEL_TURNS,
    ],
};

/// Asks all rules that need no walk. What is missing is asked only of a plan whose text is whole.
pub(super) fn check(plan: &Plan, whole: bool, findings: &mut Vec<Finding>) {
    act_figures::fixings(plan, findings);
    act_figures::broken(plan, findings);
    torques::check(plan, findings);
    threads::check(plan, findings);
    nothing_to_turn(plan, findings);
    figures(plan, findings);
    if whole {
        missing(plan, findings);
    }
}

pub(super) fn big_torque(tell: Wording<'_>) -> Finding {
    let torques: Vec<String> = tell
        .of
        .joints()
        .filter_map(|joint| tell.plan.joints[joint].torque.as_ref()?.value.torque.known())
        .map(|torque| torque.to_string())
        .collect();
    tell.finding(
        &BIG_TORQUE_ON_STANDS,
        format!(
            "{} {} {} with the vehicle up on {}",
            tell.all(),
            tell.form("is turned at", "are turned at"),
            joined(&torques, "and"),
            tell.other()
        ),
        "a hard pull here",
    )
    .harm("Whoever hangs on the bar pulls the vehicle off what it stands on.")
    .mend("Slacken it a quarter turn while the vehicle stands on its wheels, and give it the figure there: with wheels down")
}

pub(super) fn wheel_turns(tell: Wording<'_>) -> Finding {
    let wheels = tell.list(&tell.of.with);
    let turn = if tell.of.with.len() > 1 { "turn" } else { "turns" };
    tell.finding(
        &WHEEL_TURNS,
        format!(
            "{} {} loosened while {wheels} {turn} freely",
            tell.all(),
            tell.form("is", "are")
        ),
        "tight until here, and the wheel hangs",
    )
    .harm("The wheel turns with the wrench; whoever wedges it with a foot or a bar pulls the vehicle off what it stands on.")
    .mend(format!(
        "Before the act that raises it: slacken {}; or here, with a foot on the brake: steady {} by somebody of the step",
        tell.all_bare(),
        tell.other_bare(),
    ))
}

pub(super) fn single_use(tell: Wording<'_>) -> Option<Finding> {
    let used_up: Vec<(Subject, Option<&Text>)> = tell
        .of
        .joints()
        .filter_map(|joint| Some((joint, used_up(&tell.plan.joints[joint])?)))
        .map(|(joint, what)| (Subject::Joint(joint), what))
        .collect();
    let again: Vec<Subject> = used_up.iter().map(|(joint, _)| *joint).collect();
    let (_, first) = *used_up.first()?;
    let names = tell.bare_list(&again);
    let (with, harm) = match first {
        None => (
            "old fixings".to_owned(),
            "A bolt that was stretched, or a nut that has locked once, does not hold a second time.",
        ),
        Some(what) => (
            format!("what is to be new: {what}"),
            "What was squeezed, locked or set once does not seal or hold a second time.",
        ),
    };
    let finding = tell
        .finding(
            &SINGLE_USE_AGAIN,
            format!("{} would be tightened with {with}", tell.list(&again)),
            "tightened again, and never taken out",
        )
        .harm(harm);
    Some(tell.write_before(finding, &format!("undo {names}; start {names}")))
}

/// What of a joint that is renewed does no duty twice under its fixings: nothing where it is a pin or a clip alone, which comes and goes
/// by itself; `None` where it is the fixings themselves.
fn used_up(joint: &Joint) -> Option<Option<&Text>> {
    // What a fixing squeezes, whatever else the text names.
    const SQUEEZED: &[&str] = &[
        "washer", "washers", "gasket", "gaskets", "seal", "seals", "crush", "olive", "olives", "sealing",
        "tab", "tabs",
    ];
    // A remark names nothing but the fixings: "once only".
    const REMARKS: &[&str] = &["once", "only", "always", "never", "again"];
    let said = joint.renew.as_ref()?;
    let Some(what) = &said.value else {
        return Some(None);
    };
    if joint.fixings.iter().any(|fixing| names_fixing(what, fixing.what)) {
        return Some(None);
    }
    let text = what.to_lowercase();
    let has = |those: &[&str]| {
        text.split(|c: char| !c.is_alphabetic())
            .any(|word| those.contains(&word))
    };
    if has(SQUEEZED) {
        return Some(Some(what));
    }
    has(REMARKS).then_some(None)
}

/// Torques on what has neither thread nor union.
fn nothing_to_turn(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut told: BTreeSet<Span> = BTreeSet::new();
    for joint in plan.joints.values() {
        let Some(figure) = &joint.torque else { continue };
        let turns = !joint.fixings.is_empty() || joint.kind.value.row().turns && joint.push_on.is_none();
        if turns || !told.insert(figure.at) {
            continue;
        }
        let name = &joint.head.name;
        findings.push(
            Finding::new(
                &NOTHING_TO_TURN,
                format!("`{name}` has a torque, and nothing that a wrench could turn"),
            )
            .at(figure.at, "turns what?")
            .at(joint.kind.at, "and so has no thread")
            .harm("The fitter looks for a bolt, and leaves the one that this figure was meant for.")
            .mend("Say its fixings, such as `bolts 1 x M8x1.25 class 8.8`, or take the torque out")
            .about(name.to_string()),
        );
    }
}

/// Figures of one joint that do not go together.
fn figures(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut told: BTreeSet<Span> = BTreeSet::new();
    for joint in plan.joints.values() {
        let name = joint.head.name.to_string();
        if let Some(figure) = &joint.torque
            && let Some(why) = at_odds(&figure.value)
            && told.insert(figure.at)
        {
            findings.push(
                Finding::new(
                    &TORQUE_AT_ODDS,
                    format!("the torque of `{name}` is at odds with itself"),
                )
                .at(figure.at, why)
                .harm("One of the figures is a slip, and the wrench is set to the other.")
                .mend("Look the figure up again, with its band and its stages")
                .about(name.clone()),
            );
        }
        if let Some(said) = joint.tightening.friction
            && Friction::new(said.value.0, said.value.1).is_err()
            && told.insert(said.at)
        {
            findings.push(
                Finding::new(
                    &NO_SUCH_FRICTION,
                    format!("`{name}` has a friction that no screw has"),
                )
                .at(said.at, "0.04 to 0.5, the lower figure first")
                .harm("Its torque is judged as if nothing were known of its threads.")
                .mend("Write the range of the coefficient, such as friction 0.10 to 0.14")
                .about(name),
            );
        }
    }
}

/// Why a torque is at odds with what stands behind it.
fn at_odds(figure: &TorqueFigure) -> Option<String> {
    let torque = figure.torque.known()?;
    if let Some((low, high)) = figure.band
        && !(low.base() <= torque.base() && torque.base() <= high.base())
    {
        return Some(format!("{torque} is not between {low} and {high}"));
    }
    let stages = &figure.in_stages;
    let falls = stages
        .iter()
        .zip(stages.iter().skip(1))
        .find(|(one, next)| one.base() >= next.base());
    if let Some((one, next)) = falls {
        return Some(format!("{next} comes after {one}"));
    }
    let last = stages.last()?;
    ((last.base() - torque.base()).abs() > 1e-9)
        .then(|| format!("its last stage is {last}, and not {torque}"))
}

/// Joints that matter, are closed in this plan, and have no torque. A plan without any torque is a sketch, and is left alone.
fn missing(plan: &Plan, findings: &mut Vec<Finding>) {
    if plan.joints.values().all(|joint| joint.torque.is_none()) {
        return;
    }
    let mut told: BTreeMap<Span, usize> = BTreeMap::new();
    for &step in &plan.order {
        for act in plan.steps[step].acts() {
            let Does::Tighten(all) = &act.does else {
                continue;
            };
            for fixings in all {
                let joint = &plan.joints[fixings.joint.value];
                let matters = joint.carries.is_some() || joint.second_check.is_some();
                if matters && joint.torque.is_none() && !joint.fixings.is_empty() {
                    ask_for_torque(joint, fixings.joint.at, &mut told, findings);
                }
            }
        }
    }
}

fn ask_for_torque(joint: &Joint, here: Span, told: &mut BTreeMap<Span, usize>, findings: &mut Vec<Finding>) {
    let name = joint.head.name.to_string();
    // The sides of a block are one finding.
    if let Some(finding) = told.get(&joint.head.at).and_then(|&nth| findings.get_mut(nth)) {
        if !finding.about.contains(&name) {
            finding.about.push(name);
        }
        return;
    }
    told.insert(joint.head.at, findings.len());
    findings.push(
        Finding::new(&TORQUE_MISSING, format!("`{name}` is tightened to no figure"))
            .at(here, "to what torque?")
            .at(joint.head.at, "says none")
            .harm("One pulls by feel what another has to trust.")
            .mend("Look the figure up in the maker's book and write it here. Until then: torque to come")
            .about(name),
    );
}

/// "locking nuts M12x1.5" names nuts; "split pins" does not.
fn names_fixing(what: &str, kind: FixingKind) -> bool {
    what.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .any(|word| word == kind.words(1) || word == kind.words(2))
}
