//! The family **closing**: what was opened and is not closed, what was moved and is not where it belongs. The walk finds it;
//! here it is worded.

use super::phrases::Wording;
use super::{Family, rule, way_back};
use crate::base::finding::Finding;
use crate::plan::model::Afterwards;
use crate::walk::breaks::{Moment, Subject};

rule!(
    NEVER_REMADE,
    "never-remade",
    Fault,
    true,
    "A joint is still out at the end, between things that are both on."
);
rule!(
    NEVER_TIGHTENED,
    "never-tightened",
    Fault,
    true,
    "A joint is only slack or started at the end, or when it is checked."
);
rule!(
    WHEELS_NOT_DOWN,
    "wheels-not-down",
    Fault,
    true,
    "A joint that is tightened with wheels down is tightened while an end is up."
);
rule!(
    NEVER_REFITTED,
    "never-refitted",
    Fault,
    true,
    "A part that goes back, or goes in place of another, is off at the end."
);
rule!(
    NEVER_TAKEN_OFF,
    "never-taken-off",
    Fault,
    true,
    "A part that does not stay is on at the end, or is set on the floor while it is on."
);
rule!(
    NEVER_REPLACED,
    "never-replaced",
    Fault,
    true,
    "A joint of a part that is gone has no joint in its place, and does not say that it is gone."
);
rule!(
    NEVER_REFILLED,
    "never-refilled",
    Fault,
    true,
    "A fluid that was drained is not filled again."
);
rule!(
    NEVER_BLED,
    "never-bled",
    Fault,
    true,
    "A fluid that needs bleeding was opened, and is not bled."
);
rule!(
    LEFT_OPEN,
    "left-open",
    Fault,
    true,
    "A fluid is filled or bled while a joint of it is not tight."
);
rule!(
    CAP_LEFT,
    "cap-left",
    Fault,
    true,
    "A cap, plug, clamp, pin or tie is left in its place."
);
rule!(
    STILL_HELD,
    "still-held",
    Fault,
    true,
    "A rig still has something when the work is done."
);
rule!(
    LEFT_UP,
    "left-up",
    Fault,
    true,
    "The vehicle is not back on its wheels or feet when the work is done."
);
rule!(
    NEVER_VERIFIED,
    "never-verified",
    Fault,
    true,
    "A joint that asks for a second check was tightened, and nobody checked it."
);
rule!(
    TORQUE_TO_COME,
    "torque-to-come",
    Doubt,
    true,
    "A joint is tightened whose torque is still to come."
);
rule!(
    NEVER_JUDGED,
    "never-judged",
    Doubt,
    true,
    "A part waits in case another has to be renewed, and no step judges that one."
);
rule!(
    NEVER_WEIGHED,
    "never-weighed",
    Doubt,
    true,
    "A reading is still to come, and no step that is still to be done weighs it."
);

/// On what has to be closed, and back where it belongs, at the end.
pub static FAMILY: Family = Family {
    name: "closing",
    about: "what has to be closed, and back where it belongs, at the end",
    rules: &[
        &NEVER_REMADE,
        &NEVER_TIGHTENED,
        &WHEELS_NOT_DOWN,
        &NEVER_REFITTED,
        &NEVER_TAKEN_OFF,
        &NEVER_REPLACED,
        &NEVER_REFILLED,
        &NEVER_BLED,
        &LEFT_OPEN,
        &CAP_LEFT,
        &STILL_HELD,
        &LEFT_UP,
        &NEVER_VERIFIED,
        &TORQUE_TO_COME,
        &NEVER_JUDGED,
        &NEVER_WEIGHED,
        &way_back::NO_WAY_BACK,
    ],
};

pub(super) fn never_remade(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NEVER_REMADE,
            format!(
                "{} {} still out when the work is done",
                tell.all(),
                tell.form("is", "are")
            ),
            "undone, and never closed again",
        )
        .harm("It is found missing on the road.");
    let names = tell.all_bare();
    let joint = tell.of.joints().next().map(|joint| &tell.plan.joints[joint]);
    let act = match joint {
        Some(joint) if joint.kind.value.slides() => {
            let acts: Vec<String> = tell
                .of
                .joints()
                .filter_map(|joint| tell.sliding_home(joint))
                .collect();
            return tell.write_when_brought(finding, &acts.join("; "));
        }
        Some(joint) => {
            let first = joint.kind.value.row().closed_by.word();
            if joint.is_tightened() {
                format!("{first} {names}; tighten {names}")
            } else {
                format!("{first} {names}")
            }
        }
        None => format!("start {names}"),
    };
    tell.write_when_brought(finding, &act)
}

pub(super) fn never_tightened(tell: Wording<'_>) -> Finding {
    if tell.of.moment == Moment::Act {
        let finding = tell
            .finding(
                &NEVER_TIGHTENED,
                format!(
                    "{} {} checked before {} tight",
                    tell.all(),
                    tell.form("is", "are"),
                    tell.form("it is", "they are")
                ),
                "checked here",
            )
            .harm("It is ticked as checked, and then somebody works on it alone, or nobody does.");
        return tell.behind_tightened(finding.mend("Check it when it is tight"));
    }
    let sets = tell
        .of
        .joints()
        .any(|joint| tell.plan.joints[joint].sets_in.is_some());
    if sets {
        let finding = tell
            .finding(
                &NEVER_TIGHTENED,
                format!(
                    "nobody waits until {} {} set",
                    tell.all(),
                    tell.form("has", "have")
                ),
                "bonded, and never waited for",
            )
            .harm("It is loaded while the bond is soft, creeps, and lets go later.");
        return tell.write_when_in(finding, &format!("wait {}", tell.all_bare()), false);
    }
    let finding = tell
        .finding(
            &NEVER_TIGHTENED,
            format!(
                "{} {} only in by hand when the work is done",
                tell.all(),
                tell.form("is", "are")
            ),
            "never tightened",
        )
        .harm("It works loose within the first miles.");
    tell.write_when_in(finding, &format!("tighten {}", tell.all_bare()), false)
}

pub(super) fn wheels_not_down(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &WHEELS_NOT_DOWN,
            format!(
                "{} {} tightened while the wheels hang",
                tell.all(),
                tell.form("is", "are")
            ),
            "tightened here",
        )
        .harm(match tell.of.joints().any(|joint| tell.plan.on_a_wheel(&tell.plan.joints[joint])) {
            true => "The wheel turns with the wrench: the figure is not reached, and the pull rocks the vehicle on what it stands on.",
            false => "Its rubber is twisted as soon as the vehicle stands, and tears within the year.",
        })
        .mend("Move this act after the step that sets the vehicle down on the floor, or bring what hangs to where it stands then: raise ... on a rig to ride height");
    tell.when_down(finding)
}

pub(super) fn never_refitted(tell: Wording<'_>) -> Finding {
    let part = tell.of.parts().next();
    let replaces = part.is_some_and(|part| tell.plan.parts[part].in_place_of.is_some());
    let finding = tell.finding(
        &NEVER_REFITTED,
        format!(
            "{} {} off when the work is done",
            tell.all(),
            tell.form("is", "are")
        ),
        if replaces {
            "to go in, and never fitted"
        } else {
            "to go back, and never fitted"
        },
    );
    let name = tell.all_bare();
    let finding = finding.harm("There is a part left over on the bench, and nobody knows from where.");
    let back = part
        .filter(|_| !tell.several())
        .and_then(|part| tell.back_in(part));
    if replaces {
        finding.mend(format!("Before the job ends: fit {name}, and close its joints"))
    } else if let Some(acts) = back {
        tell.write_last(finding, &acts).mend(format!(
            "Before the job ends: {acts}; or say of it: afterwards stored"
        ))
    } else {
        finding.mend(format!(
            "Before the job ends: fit {name}, and close its joints; or say of it: afterwards stored"
        ))
    }
}

pub(super) fn never_taken_off(tell: Wording<'_>) -> Finding {
    if tell.of.moment == Moment::Act {
        return tell
            .finding(
                &NEVER_TAKEN_OFF,
                format!(
                    "{} {} set on the floor, and not off",
                    tell.all(),
                    tell.form("is", "are")
                ),
                "set down here",
            )
            .harm("Whatever is still tied to it is pulled down with it.")
            .mend(format!("Before this act: take off {}", tell.all_bare()))
            .edit(tell.before(), format!("take off {}; ", tell.all_bare()));
    }
    tell.finding(
        &NEVER_TAKEN_OFF,
        format!(
            "{} {} on when the work is done",
            tell.all(),
            tell.form("is", "are")
        ),
        "not to stay on",
    )
    .harm("The saving that the plan promises is not there.")
    .mend(format!(
        "take off {}; or change what its line says of afterwards",
        tell.all_bare()
    ))
}

pub(super) fn never_replaced(tell: Wording<'_>) -> Finding {
    let name = tell.all_bare();
    let mut finding = tell
        .finding(
            &NEVER_REPLACED,
            format!("nothing takes the place of {}", tell.all()),
            "its part is gone for good",
        )
        .harm("A plug without its socket, or a hole that nobody has closed.")
        .mend(format!(
            "Say of it: gone \"what closes the hole\"; or declare a joint that is in place of {name}"
        ));
    let mut blocks: Vec<_> = tell
        .of
        .joints()
        .map(|joint| tell.plan.joints[joint].head.block)
        .collect();
    blocks.dedup();
    for block in blocks {
        finding = finding.edit(block.after(), tell.plan.more_of_joint(block, "gone"));
    }
    finding
}

pub(super) fn never_refilled(tell: Wording<'_>) -> Finding {
    let here = if tell.of.moment == Moment::Act {
        "bled here, and empty"
    } else {
        "drained, and never filled"
    };
    let finding = tell
        .finding(
            &NEVER_REFILLED,
            format!("{} {} empty", tell.all(), tell.form("is", "are")),
            here,
        )
        .harm("It runs dry: seized, boiled over, or without brakes.");
    let act = format!("fill {}", tell.all_bare());
    if tell.of.moment == Moment::Act {
        return tell.write_before(finding, &act);
    }
    let bleeds = tell.of.of.iter().any(|subject| match subject {
        Subject::Fluid(id) => tell.plan.fluids[*id].needs_bleeding.is_some(),
        _ => false,
    });
    let finding = if bleeds {
        tell.write_last(finding, &format!("{act}; bleed {}", tell.all_bare()))
    } else {
        tell.write_last(finding, &act)
    };
    let words = format!(
        "{}. Where it stays out for good: gone, in its block",
        finding.mend.words
    );
    finding.mend(words)
}

pub(super) fn never_bled(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NEVER_BLED,
            format!("{} {} not bled", tell.all(), tell.form("is", "are")),
            "opened or filled, and never bled",
        )
        .harm("Air in it: the pedal goes to the floor, or the engine boils.");
    tell.write_last(finding, &format!("bleed {}", tell.all_bare()))
}

pub(super) fn left_open(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &LEFT_OPEN,
            format!(
                "{} is filled while {} {} not tight",
                tell.other(),
                tell.all(),
                tell.form("is", "are")
            ),
            "filled here",
        )
        .harm("It runs out below as fast as it is filled above.");
    let acts: Vec<String> = tell
        .of
        .joints()
        .map(|joint| match tell.of.apart.contains(&Subject::Joint(joint)) {
            true => tell.closing(joint),
            false => format!("tighten {}", tell.plan.joints[joint].head.name),
        })
        .collect();
    // The thing that brings a new joint may not be there yet.
    let new: Vec<Subject> = tell
        .of
        .joints()
        .filter(|&joint| tell.of.apart.contains(&Subject::Joint(joint)))
        .filter(|&joint| tell.plan.joints[joint].in_place_of.is_some())
        .flat_map(|joint| tell.plan.joints[joint].ends.iter().flatten())
        .flat_map(|end| tell.plan.parts_of(end.value))
        .filter(|&part| tell.plan.parts[part].in_place_of.is_some())
        .map(Subject::Part)
        .collect();
    if let Some(&first) = new.first() {
        return finding.mend(format!(
            "Before this act: {}; and before that fit {}, if it is still off; or fill in a later step",
            acts.join("; "),
            tell.bare(first)
        ));
    }
    tell.write_before(finding, &acts.join("; "))
}

pub(super) fn cap_left(tell: Wording<'_>) -> Finding {
    let name = tell.all_bare();
    if tell.of.parts().next().is_some() {
        let finding = tell
            .finding(
                &CAP_LEFT,
                format!(
                    "{} {} still tied up when the work is done",
                    tell.all(),
                    tell.form("is", "are")
                ),
                "tied up here",
            )
            .harm("The wire rattles, chafes, or holds back what has to move.");
        return tell.write_last(finding, &format!("untie {name}"));
    }
    let finding = tell
        .finding(
            &CAP_LEFT,
            format!(
                "{} {} a cap, plug, clamp or pin",
                tell.all(),
                tell.form("still has", "still have")
            ),
            "left in place",
        )
        .harm("Nothing flows, and the engine or the brake finds out first.")
        .mend(format!(
            "Before it is closed: uncap {name}, or unplug, or unclamp it"
        ));
    let openers: Option<Vec<String>> = tell.of.joints().map(|joint| tell.opener(joint)).collect();
    match openers {
        Some(acts) if tell.of.moment == Moment::Act => tell.write_before(finding, &acts.join("; ")),
        // Only a clamp can come away from a line that is closed.
        Some(acts) if acts.iter().all(|act| act.starts_with("unclamp")) => {
            tell.write_last(finding, &acts.join("; "))
        }
        _ => finding,
    }
}

pub(super) fn still_held(tell: Wording<'_>) -> Finding {
    let parts: Vec<Subject> = tell.of.parts().map(Subject::Part).collect();
    let finding = tell
        .finding(
            &STILL_HELD,
            format!(
                "{} still has {} when the work is done",
                tell.other(),
                tell.list(&parts)
            ),
            "never released",
        )
        .harm("The vehicle drives off with a hook in it.");
    tell.write_last(
        finding,
        &format!("release {} from {}", tell.bare_list(&parts), tell.other_bare()),
    )
}

pub(super) fn left_up(tell: Wording<'_>) -> Finding {
    let vehicle = tell.bare(Subject::Vehicle);
    let finding = tell
        .finding(
            &LEFT_UP,
            format!(
                "{} {} still up when the work is done",
                tell.all(),
                tell.form("is", "are")
            ),
            "never set down",
        )
        .harm("It stands on a rig that the next job needs, and nobody has tried its wheels.");
    let up = if tell.several() {
        vehicle
    } else {
        tell.bare(tell.first())
    };
    let lifts = |subject: &Subject| match subject {
        Subject::Rig(rig) => tell.plan.rigs[*rig].lifts.is_some(),
        _ => true,
    };
    let down = format!("set {up} down on floor");
    if tell.of.with.iter().all(lifts) {
        return tell.write_last(finding, &down);
    }
    // It comes off what only holds when something lifts it.
    match tell.lifter() {
        Some(rig) => tell.write_last(finding, &format!("raise {up} on {rig}; {down}")),
        None => finding.mend(format!(
            "Before the job ends: raise {up} on a rig that lifts; {down}"
        )),
    }
}

pub(super) fn never_judged(tell: Wording<'_>) -> Finding {
    let old = tell.other_bare();
    let finding = tell
        .finding(
            &NEVER_JUDGED,
            format!(
                "{} {} in case {} has to be renewed, and no step inspects it",
                tell.all(),
                tell.form("waits", "wait"),
                tell.other()
            ),
            "if renewed, it says",
        )
        .harm("It was bought for nothing, or the worn part goes back in unseen.");
    finding.mend(format!(
        "Where it can be seen: judge {old}: keep if \"what has to be so\", else renew"
    ))
}

pub(super) fn never_verified(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NEVER_VERIFIED,
            format!("nobody checked {} a second time", tell.all()),
            "asks for a second check",
        )
        .harm("The one bolt that must not be loose was seen by one pair of eyes.");
    tell.write_when_in(finding, &format!("verify {}", tell.all_bare()), true)
}

pub(super) fn torque_to_come(tell: Wording<'_>) -> Finding {
    tell.finding(
        &TORQUE_TO_COME,
        format!(
            "{} {} tightened to a figure that is to come",
            tell.all(),
            tell.form("is", "are")
        ),
        "tightened here",
    )
    .harm("At the vehicle, somebody guesses.")
    .mend("Write the maker's figure where the joint says: torque to come")
}

pub(super) fn never_weighed(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NEVER_WEIGHED,
            format!("no step that is still to be done weighs {}", tell.all()),
            "this reading is to come",
        )
        .harm("The figure is never had, and the mass account stays a guess.");
    let act = format!("weigh {}", tell.all_bare());
    // At the end of the work only what does not go back can hang on a scale.
    let can = tell.of.of.iter().all(|subject| match subject {
        Subject::Part(part) => {
            let after = tell.plan.parts[*part].afterwards.map(|said| said.value);
            after.is_some_and(|after| after != Afterwards::GoesBack)
        }
        _ => true,
    });
    let words = format!("Before the job ends: {act}; or, if it was weighed, write the reading here");
    if can {
        tell.write_last(finding, &act).mend(words)
    } else {
        finding.mend(words)
    }
}
