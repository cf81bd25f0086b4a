//! The rule of the family **closing** on what a derived stage cannot work out: it is asked of the owner.

use super::phrases::Wording;
use super::rule;
use crate::base::finding::Finding;
use crate::plan::model::{Id, InPlaceOf, Part};
use crate::walk::breaks::Subject;

rule!(
    NO_WAY_BACK,
    "no-way-back",
    Doubt,
    true,
    "A stage that reverses others cannot work out how a thing or a joint goes back, and leaves it to the owner."
);

/// Words it.
pub(super) fn no_way_back(tell: Wording<'_>) -> Finding {
    let step = tell.of.step.map_or("", |step| &*tell.plan.steps[step].head.name);
    let finding = match tell.first() {
        Subject::Joint(_) => {
            let what = format!(
                "joint {} is destroyed here, and nothing is declared to close it again",
                tell.all()
            );
            tell.finding(&NO_WAY_BACK, what, "destroyed here")
                .harm("The refit has a hole where this joint was; its step is printed with a blank.")
                .mend("Say `renew` on the joint if new hardware closes it, or `gone` with what closes the hole, or declare a joint in place of it.")
        }
        _ => {
            let (what, mend) = if tell.parts_first().is_some_and(|part| goes_for_good(tell, part)) {
                (
                    format!(
                        "{} does not go back, and nothing says what becomes of {}",
                        tell.all(),
                        tell.list(&tell.of.with)
                    ),
                    format!(
                        "On {}: gone \"what closes the hole\". Or declare a joint in place of it.",
                        tell.list(&tell.of.with)
                    ),
                )
            } else {
                (
                    format!(
                        "{} is replaced, but {} is never parted, so that nobody can say how the new one gets there",
                        tell.all(),
                        tell.list(&tell.of.with)
                    ),
                    format!(
                        "Part {} on the bench, in the step where it comes off or after it.",
                        tell.list(&tell.of.with)
                    ),
                )
            };
            tell.finding(&NO_WAY_BACK, what, "no way back from here")
                .harm("The refit does not know what goes here; its step is printed with a blank.")
                .mend(format!("{mend} Or write the step yourself: instead of {step}"))
        }
    };
    finding.about(step.to_owned())
}

/// Nothing is in place of it.
fn goes_for_good(tell: Wording<'_>, part: Id<Part>) -> bool {
    let taken = |place: &InPlaceOf| place.part == part && !place.if_renewed;
    !tell.plan.parts.values().any(|other| {
        other
            .in_place_of
            .as_ref()
            .is_some_and(|place| taken(&place.value))
    })
}
