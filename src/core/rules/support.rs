//! The family **support**: what falls, swings, hangs or is left on too little. The walk finds it; here it is worded.

use super::phrases::Wording;
use super::{Family, act_figures, rule, support_balance, support_loads};
use crate::base::finding::Finding;
use crate::plan::model::{Id, Part, Thing};
use crate::walk::breaks::Subject;

rule!(
    WOULD_FALL,
    "would-fall",
    Fault,
    true,
    "Something loses the last thing that bears it, and nobody and nothing has hold of it."
);
rule!(
    WOULD_SWING,
    "would-swing",
    Doubt,
    true,
    "Something heavy is left on fewer supports than it needs, and no rig or hand steadies it."
);
rule!(
    HUNG_BY_HOSE,
    "hung-by-hose",
    Fault,
    false,
    "Something is left hanging by its hose or pipe."
);
rule!(
    LEFT_ON_PINS,
    "left-on-pins",
    Fault,
    true,
    "A step ends with something heavy on pins or loose fixings alone."
);
rule!(
    NOBODY_TO_HELP,
    "nobody-to-help",
    Fault,
    true,
    "An act needs a person, or a second one, whom the step does not have."
);
rule!(
    TOO_HEAVY_BY_HAND,
    "too-heavy-by-hand",
    Fault,
    true,
    "A person is to hold more than that person lifts."
);
rule!(
    JOINTS_NOT_DECLARED,
    "joints-not-declared",
    Advice,
    true,
    "No joint is said to carry a heavy part, so that it is taken as carried by the body."
);
rule!(
    NOT_SAFE_TO_LEAVE,
    "not-safe-to-leave",
    Fault,
    true,
    "A step says that the job may stand like this, and something hangs, is held by hand, or is open."
);

rule!(
    TOO_FEW_UNDER,
    "too-few-under",
    Fault,
    false,
    "A rig of so many pieces is to bear more places than it has pieces."
);
rule!(
    TIED_TO_LOOSE,
    "tied-to-loose",
    Fault,
    false,
    "Something is tied up to a thing that is off the machine."
);
rule!(
    NOT_TIED_TO_BODY,
    "not-tied-to-body",
    Doubt,
    true,
    "No joint and nothing that it rests on leads from a thing to the body."
);

/// On what bears what, while it comes apart.
pub static FAMILY: Family = Family {
    name: "support",
    about: "what bears what, while it comes apart",
    rules: &[
        &WOULD_FALL,
        &WOULD_SWING,
        &HUNG_BY_HOSE,
        &LEFT_ON_PINS,
        &NOBODY_TO_HELP,
        &TOO_HEAVY_BY_HAND,
        &JOINTS_NOT_DECLARED,
        &NOT_SAFE_TO_LEAVE,
        &TOO_FEW_UNDER,
        &TIED_TO_LOOSE,
        &NOT_TIED_TO_BODY,
        &support_loads::OVER_RATED,
        &support_loads::OFF_PLATFORM,
        &support_balance::OFF_BALANCE,
        &support_balance::ARM_OVERLOADED,
        &support_loads::FLAT_SLING,
        &support_loads::MASS_UNKNOWN,
        &act_figures::HIGHER_THAN_RIG,
    ],
};

pub(super) fn too_few_under(tell: Wording<'_>) -> Finding {
    let rig = tell.bare(tell.first());
    let pieces = match tell.first() {
        Subject::Rig(id) => tell.plan.rigs[id].count.map(|said| (said.value, said.at)),
        _ => None,
    };
    let count = pieces.map_or(0, |(count, _)| count);
    let needed: u32 = tell
        .of
        .with
        .iter()
        .map(|subject| match subject {
            Subject::End(_) => 2,
            // One of a set of things.
            _ => 1,
        })
        .sum();
    let more = needed.saturating_sub(count);
    let finding = tell.finding(
        &TOO_FEW_UNDER,
        format!(
            "{} has {count} {}, and is to be under {}: that takes {needed}",
            tell.name(tell.first()),
            if count == 1 { "piece" } else { "pieces" },
            tell.list(&tell.of.with)
        ),
        "two under each end, one under each thing",
    );
    let finding = match pieces {
        Some((_, at)) => finding.at(at, "so many there are"),
        None => finding,
    };
    finding
        .harm("What stands on one point tips; what is said to stand there and does not, falls.")
        .mend(format!(
            "Borrow or hire {more} more and give {} a block of {} own; or, if there are {needed}: count {needed} in the block of {rig}",
            if more == 1 { "it" } else { "them" },
            if more == 1 { "its" } else { "their" },
        ))
}

pub(super) fn tied_to_loose(tell: Wording<'_>) -> Finding {
    tell.finding(
        &TIED_TO_LOOSE,
        format!(
            "{} is tied up to {}, which is off",
            tell.name(tell.first()),
            tell.other()
        ),
        "hangs from what is not on the machine",
    )
    .harm("The strap pulls along what lies loose, and both come down.")
    .mend(format!(
        "Tie it to something that stays: tie up {} to {}",
        tell.bare(tell.first()),
        tell.body()
    ))
}

pub(super) fn not_tied_to_body(tell: Wording<'_>) -> Finding {
    let body = tell.body();
    let first = tell.bare(tell.first());
    let all: Vec<Subject> = tell.of.parts().map(Subject::Part).collect();
    tell.finding(
        &NOT_TIED_TO_BODY,
        format!(
            "nothing ties {} to `{body}`",
            tell.list(&all),
        ),
        "declared here",
    )
    .harm("It would leave with whatever it is joined to, or lie there loose, without a word from this program.")
    .mend(format!(
        "Declare what holds it: joint ...: {first} to {body}; carries. Or what it stands on: rests on ... in the block of {first}"
    ))
}

pub(super) fn would_fall(tell: Wording<'_>) -> Finding {
    let parts: Vec<Subject> = tell.of.parts().map(Subject::Part).collect();
    let what = if tell.at_step_end() {
        format!(
            "{} would fall when the step ends and hands let go",
            tell.list(&parts)
        )
    } else {
        format!("{} would fall", tell.list(&parts))
    };
    let here = if tell.at_step_end() {
        "held by hand only till the step ends"
    } else {
        "from here on nothing bears it"
    };
    let first = tell.bare(tell.first());
    let finding = tell.finding(&WOULD_FALL, what, here).harm(format!(
        "It drops on feet or hands, or tears what it still hangs by.{}",
        tell.unknown_mass()
    ));
    if tell.at_step_end() {
        let act = format!("take off {first}");
        finding.mend(format!("In the same step: {act}; or hold it with a rig"))
    } else {
        // Only what is light may be held without a word till the step ends.
        let light = if tell.light(tell.of.parts()) {
            "; or take it off, tie it up or set it down in this step"
        } else {
            ""
        };
        finding.mend(format!(
            "Before this act: hold {first} with a rig, or by a person of this step{light}"
        ))
    }
}

pub(super) fn would_swing(tell: Wording<'_>) -> Finding {
    let part = tell.parts_first();
    let need = part.and_then(|part| tell.plan.parts[part].stands_on.as_ref());
    let what = match need {
        Some(need) => format!(
            "{} stands on fewer than the {} supports that the plan asks for",
            tell.all(),
            need.value.need
        ),
        None => match tell.of.with.as_slice() {
            [strut @ Subject::Energy(_)] => format!(
                "{} falls shut: {} is out, and nothing else holds it up",
                tell.all(),
                tell.name(*strut)
            ),
            [jack @ Subject::Rig(_)] => format!(
                "{} may tip off {}: it stands there on one point, and hangs on one support at most",
                tell.all(),
                tell.name(*jack)
            ),
            [joint] if tell.of.of.len() == 1 => {
                let fixings = match joint {
                    // Of a joint that is partly out one is left.
                    Subject::Joint(_) if tell.of.apart.contains(joint) => "one fixing".to_owned(),
                    Subject::Joint(id) => match tell.plan.joints[*id].fixing_count() {
                        1 => "one fixing".to_owned(),
                        count => format!("the {count} fixings"),
                    },
                    // Only joints bear here.
                    _ => "what is left".to_owned(),
                };
                format!(
                    "{} may swing: it hangs by {fixings} of {} alone",
                    tell.all(),
                    tell.name(*joint)
                )
            }
            _ => format!("{} would swing: it hangs on two supports or fewer", tell.all()),
        },
    };
    let lid = matches!(tell.of.with.as_slice(), [Subject::Energy(_)]);
    let here = if lid {
        "from here on it is on its hinges alone"
    } else {
        "from here on it can turn about what is left"
    };
    let finding = tell.finding(&WOULD_SWING, what, here);
    if lid {
        let name = tell.bare(tell.first());
        return finding
            .harm("It comes down on a head, or on the fingers under its edge.")
            .mend(format!(
                "Before it: lower {name}; or leave it on its prop until the strut is back"
            ));
    }
    let finding = match need {
        Some(need) => finding.at(need.at, "so many it has to stand on"),
        None => finding,
    };
    let first = tell.bare(tell.first());
    finding
        .harm(format!(
            "It tips towards whoever undoes the next bolt, and bends what is left.{}",
            tell.unknown_mass()
        ))
        .mend(match tell.of.with.as_slice() {
            [Subject::Rig(_)] => format!(
                "Before this act: steady {first} by PERSON; or hold {first} with what holds, or hangs it from above"
            ),
            [Subject::Joint(_)] => format!(
                "Before this act: tie up {first} to something that stays; or steady {first} by PERSON; or hold {first} with a rig"
            ),
            _ => {
                let enough = tell.bracket().map_or_else(String::new, |bracket| {
                    format!("; or, if {bracket} alone bears it, say so on it: stands on 1 of {bracket}")
                });
                format!("Before this act: hold {first} with a rig, or touch it with one{enough}")
            }
        })
}

impl Wording<'_> {
    /// A joint of three fixings or more between this thing and the body: a bracket that may bear it by itself.
    fn bracket(self) -> Option<String> {
        let part = self.parts_first()?;
        let is = |thing: Thing, wanted: &dyn Fn(Id<Part>) -> bool| {
            self.plan.parts_of(thing).into_iter().any(wanted)
        };
        let joint = self.plan.joints.values().find(|joint| {
            let ends = joint.ends.as_ref().map(|[a, b]| [a.value, b.value]);
            ends.is_some_and(|ends| {
                ends.iter().any(|&end| is(end, &|other| other == part))
                    && ends
                        .iter()
                        .any(|&end| is(end, &|other| self.plan.parts[other].is_body))
            }) && joint.carries.is_some()
                && joint.fixing_count() >= 3
        })?;
        Some(joint.head.name.to_string())
    }
}

pub(super) fn hung_by_hose(tell: Wording<'_>) -> Finding {
    let lines: Vec<Subject> = tell.of.with.clone();
    let parts: Vec<Subject> = tell.of.parts().map(Subject::Part).collect();
    let what = format!("{} would hang by {}", tell.list(&parts), tell.list(&lines));
    let first = tell.bare(tell.first());
    let finding = tell.finding(&HUNG_BY_HOSE, what, "from here on nothing else bears it")
        .harm("A hose that carries weight tears inside, where nobody sees it; a brake hose then bursts on the road.")
        .mend(format!(
            "In this step, straight after it: tie up {first} to something that stays; or hold it"
        ));
    let body = tell.plan.parts.values().find(|part| part.is_body);
    let untied = tell.parts_first().is_some_and(|part| tell.is_untied(part));
    match body {
        Some(body) if untied && !tell.at_step_end() => {
            let act = format!("; tie up {first} to {}", body.head.name);
            finding.edit(tell.of.act.after(), act)
        }
        _ => finding,
    }
}

pub(super) fn left_on_pins(tell: Wording<'_>) -> Finding {
    let what = format!(
        "{} is left on pins or loose fixings when the step ends",
        tell.all()
    );
    tell.finding(&LEFT_ON_PINS, what, "this step ends so")
        .harm(format!(
            "Pins are guides; they walk out of their holes while nobody looks.{}",
            tell.unknown_mass()
        ))
        .mend(format!(
            "In this step: hold {} with a rig, or start the other fixings",
            tell.bare(tell.first())
        ))
}

pub(super) fn nobody_to_help(tell: Wording<'_>) -> Finding {
    let first = tell.first();
    let finding = match first {
        Subject::Person(_) => {
            let (has, mend) = match tell.of.with.get(1) {
                Some(&held) => (
                    format!(": has {} in hand", tell.name(held)),
                    format!(
                        "Before this act: set {} down on floor, if it is off; else hold one of the two by somebody else, or with a rig",
                        tell.bare(held)
                    ),
                ),
                None => (
                    String::new(),
                    format!(
                        "Name somebody in the step: by {}; or hold it with a rig",
                        tell.bare(first)
                    ),
                ),
            };
            tell.finding(
                &NOBODY_TO_HELP,
                format!("{} is not free to hold {}{has}", tell.name(first), tell.other()),
                "asks for this person",
            )
            .harm("Nobody has hold of it when the last bolt is out.")
            .mend(mend)
        }
        _ => tell
            .finding(
                &NOBODY_TO_HELP,
                format!("nobody is free for {}", tell.all()),
                "everybody of this step has hands full, or did it alone",
            )
            .harm("Somebody lets go to fetch the spanner, or checks only their own work.")
            .mend("Add a second person to the step, after by"),
    };
    tell.call_in(finding)
}

pub(super) fn not_declared(tell: Wording<'_>) -> Finding {
    tell.finding(
        &JOINTS_NOT_DECLARED,
        format!("no joint is said to carry {}", tell.all()),
        "taken as carried by the body until it is taken off",
    )
    .harm("Whatever it stands on can be undone without a word from this program.")
    .mend("Declare its joints, and say of those that bear its weight: carries")
}

pub(super) fn not_safe(tell: Wording<'_>) -> Finding {
    tell.finding(
        &NOT_SAFE_TO_LEAVE,
        format!("the job cannot be left like this: see {}", tell.all()),
        "says that it can",
    )
    .harm("A jack sinks, a sling creeps, an open line drips, over weeks in which nobody looks.")
    .mend(
        "Set it down on something that holds, or close it, before the step ends; or take out: safe to leave",
    )
}
