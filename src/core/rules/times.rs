//! The family **time**: the hours that a plan states. When steps can be done is worked out elsewhere. Knows not where findings go.

use super::totals::IMPOSSIBLE_FIGURE;
use super::{Family, days, rule};
use crate::base::finding::Finding;
use crate::base::quantity::Time;
use crate::plan::model::{Plan, Said, TimeFigure};

rule!(
    ESTIMATE_OUT_OF_ORDER,
    "estimate-out-of-order",
    Fault,
    false,
    "Of a time with its bounds the first is not the shortest, or the last not the longest."
);

pub static FAMILY: Family = Family {
    name: "time",
    about: "the hours that are planned",
    rules: &[
        &ESTIMATE_OUT_OF_ORDER,
        &days::ENDS_LATE,
        &days::NO_PLACE_TO_STOP,
        &days::WAITS_IN_THE_DAY,
        &days::NEVER_THERE,
        &days::NO_DAYS_LEFT,
        &days::NOT_HIRED_THEN,
        &days::ARRIVES_LATE,
        &days::STANDS_TOO_LONG,
    ],
};

pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    let written = plan.steps.values().filter(|step| step.derived.is_none());
    let steps = written.map(|step| (&*step.head.name, step.time));
    let stages = plan.stages.values().map(|stage| (&*stage.head.name, stage.time));
    for (name, time) in steps.chain(stages) {
        if let Some(said) = time {
            findings.extend(one(name, said));
        }
    }
}

fn one(name: &str, said: Said<TimeFigure>) -> Option<Finding> {
    let TimeFigure { likely, spread } = said.value;
    let (best, worst) = spread.unwrap_or((likely, likely));
    if likely.base() <= 0.0 || best.base() < 0.0 {
        return Some(
            Finding::new(&IMPOSSIBLE_FIGURE, format!("`{name}`: a time of {likely}"))
                .at(said.at, "more than nothing")
                .harm("The hours of the whole job come out wrong.")
                .mend("Write how long it takes, or leave the line out")
                .about(name.to_owned()),
        );
    }
    if best.base() <= likely.base() && likely.base() <= worst.base() {
        return None;
    }
    let finding = Finding::new(
        &ESTIMATE_OUT_OF_ORDER,
        format!("`{name}`: {likely}, and between {best} and {worst}"),
    )
    .at(said.at, "likely, then in brackets the best and the worst")
    .harm("The hours of the stage and of the job, and how sure they are, come out wrong.")
    .about(name.to_owned());
    Some(match meant(likely, best, worst) {
        Some(text) => finding.mend(format!("Write: time {text}")).edit(said.at, text),
        None => finding.mend("Write the likely time, then the best and the worst: time 30 min (20 to 60)"),
    })
}

/// What was meant, if it can be seen: bounds the other way round, or bounds in minutes behind hours.
fn meant(likely: Time, best: Time, worst: Time) -> Option<String> {
    let in_order = |a: f64, b: f64, c: f64| a <= b && b <= c;
    if in_order(worst.base(), likely.base(), best.base()) {
        return Some(format!("{likely} ({worst} to {best})"));
    }
    let minutes = |bound: Time| bound.base() / 60.0;
    (in_order(minutes(best), likely.base(), minutes(worst)) && best.unit() == likely.unit()).then(|| {
        let bare = |bound: Time| bound.number().to_string();
        format!("{likely} ({} min to {} min)", bare(best), bare(worst))
    })
}
