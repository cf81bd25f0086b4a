//! The family **order**, by the walk: acts whose turn it is not, since what they need is not so yet, or no longer. The walk finds
//! them; here they are worded.

use super::phrases::Wording;
use super::rule;
use crate::base::finding::{Finding, Severity};
use crate::plan::hazards;
use crate::plan::model::{Energy, EnergyKind, Fluid, Hazard, Id, Joint, JointKind, Part};
use crate::plan::vocabulary::joint_kinds::{Parting, Row};
use crate::walk::breaks::Subject;

rule!(
    ALREADY_DONE,
    "already-done",
    Doubt,
    true,
    "An act does what an earlier act has done already."
);
rule!(
    NOT_ON,
    "not-on",
    Fault,
    true,
    "An act needs something to be in its place, and it is off."
);
rule!(
    STILL_ON,
    "still-on",
    Fault,
    true,
    "A part or joint goes in while what it is in place of is still there."
);
rule!(
    NOT_HELD,
    "not-held",
    Fault,
    true,
    "Something is moved, fitted, lowered or let go that nothing has hold of."
);
rule!(
    NOT_OFF,
    "not-off",
    Fault,
    true,
    "Something is weighed by itself while it is still on, or joined to what is weighed by itself too."
);
rule!(
    OUT_OF_REACH,
    "out-of-reach",
    Fault,
    true,
    "A joint is worked on while something covers it, or while the vehicle stands too low for it."
);
rule!(
    UNDER_A_JACK,
    "under-a-jack",
    Fault,
    false,
    "Work from below, while an end of the vehicle is up on something that only lifts."
);
rule!(
    STILL_FULL,
    "still-full",
    Fault,
    true,
    "A line is opened while it is full, and is neither clamped nor closed before the step ends."
);
rule!(
    STILL_LIVE,
    "still-live",
    Fault,
    true,
    "A joint is parted while the energy in it is not made safe."
);
rule!(
    STILL_JOINED,
    "still-joined",
    Fault,
    true,
    "Something moves or leaves while a joint still ties it to what stays."
);
rule!(
    STILL_HELD_ELSEWHERE,
    "still-held-elsewhere",
    Fault,
    true,
    "Something is moved while a rig that cannot move with it still has it."
);
rule!(
    STILL_BENEATH,
    "still-beneath",
    Fault,
    true,
    "The vehicle comes down while what left it downwards stands beneath it."
);
rule!(
    DRAW_NOT_UNDO,
    "draw-not-undo",
    Doubt,
    true,
    "A slide or taper is undone or started like a bolt, though it is drawn, pressed or slid."
);
rule!(
    NOT_STARTED,
    "not-started",
    Fault,
    true,
    "A joint is tightened before all its fixings are started by hand."
);
rule!(
    WRONG_RIG,
    "wrong-rig",
    Fault,
    true,
    "A rig is asked for what it cannot do: to lift, to hold, or to take this end."
);
rule!(
    RIG_IN_USE,
    "rig-in-use",
    Fault,
    true,
    "A rig that lifts is given a second load before it was set down or released."
);
rule!(
    NO_WHEELS_UNDER,
    "no-wheels-under",
    Fault,
    true,
    "An end is set on the floor, or stands on it, while what bears its wheels or feet is off, or lacks fixings."
);
rule!(
    NOTHING_OPEN,
    "nothing-open",
    Doubt,
    true,
    "A line is capped or plugged that is closed, or clamped that is open."
);
rule!(
    TOO_LATE,
    "too-late",
    Doubt,
    true,
    "Something is marked, tagged or recorded after it was parted."
);
rule!(
    NOTHING_TO_RENEW_WITH,
    "nothing-to-renew-with",
    Doubt,
    true,
    "A part is judged, and nothing is declared that would take its place."
);

rule!(
    NOT_READY,
    "not-ready",
    Fault,
    true,
    "Something is run, driven or rolled before it is tight, filled and bled."
);
rule!(
    WEIGHED_ON_STANDS,
    "weighed-on-stands",
    Fault,
    true,
    "The vehicle is weighed while an end of it stands on something else than the scale."
);
rule!(
    EARTH_NOT_FIRST,
    "earth-not-first",
    Fault,
    true,
    "The live lead of a battery comes off before its earth, or the earth goes on before the live lead."
);

rule!(
    FUEL_NEAR_LIVE,
    "fuel-near-live",
    Doubt,
    true,
    "A line of fuel is opened, or stands open, while an electric supply is live."
);
rule!(
    FILLED_OTHERWISE,
    "filled-otherwise",
    Doubt,
    true,
    "More of a fluid goes in than there is room for, or less than a fifth of what came out."
);
rule!(
    NO_CHOCKS,
    "no-chocks",
    Doubt,
    true,
    "One end of a vehicle is raised, and nothing keeps the wheels of the other one from rolling."
);

pub(super) fn already_done(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &ALREADY_DONE,
            format!("already done: {}", tell.all()),
            "changes nothing",
        )
        .harm("Somebody looks for a bolt that is in the bag, or an earlier act was meant for another thing.")
        .mend("Take out this act, or the one before");
    tell.take_out(finding)
}

pub(super) fn not_on(tell: Wording<'_>) -> Finding {
    let part = tell.bare(tell.first());
    let finding = tell
        .finding(
            &NOT_ON,
            format!("{} {} not on", tell.all(), tell.form("is", "are")),
            "needs it in its place",
        )
        .harm("There is nothing to put a hand or a bolt to.");
    if tell.of.with.is_empty() {
        finding.mend(format!("Fit it first: fit {part}"))
    } else {
        let parts: Vec<Subject> = tell.of.parts().map(Subject::Part).collect();
        tell.write_before(finding, &format!("fit {}", tell.bare_list(&parts)))
    }
}

pub(super) fn still_on(tell: Wording<'_>) -> Finding {
    if tell.of.joints().next().is_some() {
        let finding = tell
            .finding(
                &STILL_ON,
                format!(
                    "{} {} not undone, where {} {} to go",
                    tell.all(),
                    tell.form("is", "are"),
                    tell.list(&tell.of.with),
                    if tell.of.with.len() > 1 { "are" } else { "is" },
                ),
                "its place is taken",
            )
            .harm("The new part is bolted on while the old one still hangs on it.");
        let parting: Vec<String> = tell.of.joints().map(|joint| part_joint(tell, joint)).collect();
        return tell.write_before(finding, &parting.join("; "));
    }
    let finding = tell
        .finding(
            &STILL_ON,
            format!("{} is still on where {} is to go", tell.all(), tell.other()),
            "its place is taken",
        )
        .harm("The new part does not go in, or goes in front of the old one.");
    let parting = tell.of.with.iter().filter_map(|subject| match subject {
        Subject::Joint(joint) => Some(part_joint(tell, *joint)),
        _ => None,
    });
    let acts: Vec<String> = parting.chain([format!("take off {}", tell.all_bare())]).collect();
    tell.write_before(finding, &acts.join("; "))
}

pub(super) fn not_held(tell: Wording<'_>) -> Finding {
    let first = tell.first();
    let finding = match tell.of.with.first() {
        Some(&rig) => tell.finding(
            &NOT_HELD,
            format!("{} is not holding {}", tell.name(rig), tell.all()),
            "there is nothing to let go",
        ),
        None => tell.finding(
            &NOT_HELD,
            format!("nothing has hold of {}", tell.all()),
            "has to be held here",
        ),
    };
    let finding = finding.harm(format!(
        "It is carried on goodwill, and drops where the work is tightest.{}",
        tell.unknown_mass()
    ));
    match first {
        Subject::End(_) | Subject::Vehicle => {
            let up = if tell.several() { Subject::Vehicle } else { first };
            match tell.lifter() {
                Some(rig) => tell.write_before(finding, &format!("raise {} on {rig}", tell.bare(up))),
                None => finding.mend(format!(
                    "Before this act: raise {} on a rig that lifts",
                    tell.bare(up)
                )),
            }
        }
        _ if !tell.of.with.is_empty() => tell.take_out(finding.mend("Take out this act")),
        _ => finding.mend(format!(
            "Before this act: hold {} with a rig, or by a person of this step",
            tell.all_bare()
        )),
    }
}

pub(super) fn not_off(tell: Wording<'_>) -> Finding {
    if !tell.of.with.is_empty() {
        let joints: Vec<Subject> = tell.of.with.clone();
        let finding = tell
            .finding(
                &NOT_OFF,
                format!(
                    "{} {} weighed while {} {} other things to it",
                    tell.all(),
                    tell.form("is", "are"),
                    tell.list(&joints),
                    if joints.len() > 1 {
                        "still tie"
                    } else {
                        "still ties"
                    },
                ),
                "hangs on the scale together with them",
            )
            .harm("One figure holds both, and the mass account counts one of them twice.");
        let parting: Vec<String> = joints
            .iter()
            .filter_map(|subject| match subject {
                Subject::Joint(joint) => Some(part_joint(tell, *joint)),
                _ => None,
            })
            .collect();
        return tell.write_before(finding, &parting.join("; "));
    }
    tell.finding(
        &NOT_OFF,
        format!("{} {} still on", tell.all(), tell.form("is", "are")),
        "cannot be weighed by itself",
    )
    .harm("The figure is guessed, or is that of something else.")
    .mend(format!("Before this act: take off {}", tell.all_bare()))
}

pub(super) fn out_of_reach(tell: Wording<'_>) -> Finding {
    match tell.of.with.first() {
        Some(&Subject::Part(cover)) => {
            let what = format!(
                "{} {} behind {}",
                tell.all(),
                tell.form("lies", "lie"),
                tell.other()
            );
            let part = &tell.plan.parts[cover].head;
            tell.finding(&OUT_OF_REACH, what, "no hand gets there")
                .at(part.at, "still on")
                .harm("The spanner does not go on; what covers it is bent out of the way.")
                .mend(format!("Before this act: take off {}", part.name))
        }
        other => {
            let end = other.map_or_else(|| "vehicle".to_owned(), |&end| tell.bare(end));
            tell.finding(
                &OUT_OF_REACH,
                format!(
                    "{} {} reached from below, and nothing is raised",
                    tell.all(),
                    tell.form("is", "are")
                ),
                "no hand gets there",
            )
            .harm("Somebody lies under a vehicle on its wheels, or lifts it with what is at hand.")
            .mend(format!(
                "Before this act: raise {end} on a rig that lifts, and set it down on one that holds"
            ))
        }
    }
}

pub(super) fn under_a_jack(tell: Wording<'_>) -> Finding {
    let end = tell
        .of
        .with
        .iter()
        .copied()
        .find(|subject| matches!(subject, Subject::End(_)));
    let end = end
        .or_else(|| {
            let mut with = tell.of.with.iter().copied();
            with.find(|subject| matches!(subject, Subject::Part(_)))
        })
        .map_or_else(|| "it".to_owned(), |end| tell.bare(end));
    let finding = tell
        .finding(
            &UNDER_A_JACK,
            format!("work below, while only {} has {end} up", tell.other()),
            "a hand or a body is under it here",
        )
        .harm("Jacks let go. Whoever is below is crushed.");
    match tell.stands() {
        Some(rig) => tell.write_before(finding, &format!("set {end} down on {rig}")),
        None => finding.mend(format!("Before this act: set {end} down on a rig that holds")),
    }
}

/// What the fluid does that runs out.
fn runs_out(tell: Wording<'_>) -> &'static str {
    let mut fluids = tell.of.with.iter().filter_map(|subject| match subject {
        Subject::Fluid(fluid) => Some(&tell.plan.fluids[*fluid]),
        _ => None,
    });
    let hazards = fluids.next().map(hazards::of_fluid).unwrap_or_default();
    if hazards.iter().any(|hazard| hazard.row().burns) {
        "It runs over hands and floor, and its vapour finds a lamp, a spark or a heater."
    } else if hazards.contains(&Hazard::Refrigerant) {
        "It comes out so cold that skin and eyes freeze, and to let it out is unlawful."
    } else {
        "It runs over hands, floor and brakes until somebody finds a plug."
    }
}

pub(super) fn still_full(tell: Wording<'_>) -> Finding {
    let fluid = tell.other_bare();
    if !tell.of.apart.is_empty() {
        let finding = tell
            .finding(
                &STILL_FULL,
                format!(
                    "the clamp on {} leaves with this, and {} is full",
                    tell.all(),
                    tell.other()
                ),
                "runs out from here on",
            )
            .harm(runs_out(tell));
        return tell.write_before(finding, &format!("cap {}", tell.all_bare()));
    }
    let finding = tell
        .finding(
            &STILL_FULL,
            format!(
                "{} {} opened, and {} is full",
                tell.all(),
                tell.form("is", "are"),
                tell.other()
            ),
            "runs out from here on",
        )
        .harm(runs_out(tell));
    match tell.closer() {
        Some(act) => tell.write_behind(finding, &act),
        None => tell.write_before(finding, &format!("drain {fluid}")),
    }
}

pub(super) fn still_live(tell: Wording<'_>) -> Finding {
    let energy = tell.of.with.iter().find_map(|subject| match subject {
        Subject::Energy(id) => Some(&tell.plan.energies[*id]),
        _ => None,
    });
    // It was parted while all was dead, and is joined too early or too late.
    let joined = !tell.of.apart.is_empty();
    let mild =
        !joined && tell.of.joints().next().is_some() && tell.of.joints().all(|joint| is_small(tell, joint));
    let mut finding = tell
        .finding(
            &STILL_LIVE,
            format!(
                "{} {} {} while {} is live",
                tell.all(),
                tell.form("is", "are"),
                if joined { "joined" } else { "parted" },
                tell.other()
            ),
            if joined { "joined here" } else { "parted here" },
        )
        .harm(if joined {
            "It fires into the face of whoever has the plug in hand."
        } else if mild {
            "A spark at the plug, a blown fuse; and what it feeds may start or fire."
        } else {
            "A spark, a shot of pressure, a spring in the face."
        });
    if mild {
        finding.severity = Severity::Doubt;
    }
    if joined {
        return finding.mend(format!(
            "Join {} before {} is back, and {} last of all",
            tell.all_bare(),
            tell.other_bare(),
            tell.other_bare()
        ));
    }
    let safe = energy.and_then(|energy| energy.safe_after);
    match safe {
        Some(step) => {
            let name = &tell.plan.steps[step.value].head.name;
            let finding = finding.at(
                step.at,
                "safe only after this step, which has to part, drain, let down or prove something",
            );
            let turn = |step| tell.plan.order.iter().position(|&other| other == step);
            let done = turn(step.value) < tell.of.step.and_then(turn);
            let kind = energy.and_then(|energy| energy.kind).map(|kind| kind.value);
            finding.mend(match kind {
                Some(EnergyKind::Pressure | EnergyKind::Heat) if done => format!(
                    "In step {name}: open a joint of it or drain it, or prove that it is gone: look \"No pressure at the gauge\""
                ),
                _ if done => format!("Part, drain or let down in step {name} what makes it safe"),
                _ => format!("Do step {name} before this one"),
            })
        }
        None => finding.mend("Say which step makes it safe: safe after STEP"),
    }
}

/// The plug of a consumer on a supply of low voltage, with nothing in it or by it that fires or burns.
fn is_small(tell: Wording<'_>, joint: Id<Joint>) -> bool {
    let plan = tell.plan;
    let declared = &plan.joints[joint];
    let mut energies = tell.of.with.iter().filter_map(|subject| match subject {
        Subject::Energy(id) => Some(&plan.energies[*id]),
        _ => None,
    });
    let low = |energy: &Energy| {
        energy.kind.is_some_and(|kind| kind.value == EnergyKind::Electric)
            && hazards::of_energy(energy) == [Hazard::Battery]
    };
    let harmless = |part: Id<Part>| {
        let known = &plan.parts[part];
        let burns = |fluid: &Fluid| {
            fluid.in_parts.iter().any(|said| said.value == part)
                && hazards::of_fluid(fluid).iter().any(|hazard| hazard.row().burns)
        };
        hazards::of_part(known).next().is_none()
            && !hazards::is_by_fuel(known)
            && !plan.fluids.values().any(burns)
    };
    let mut ends = declared
        .ends
        .iter()
        .flatten()
        .flat_map(|end| plan.parts_of(end.value));
    declared.kind.value == JointKind::Plug && energies.all(low) && ends.all(harmless)
}

pub(super) fn still_joined(tell: Wording<'_>) -> Finding {
    let joints: Vec<Subject> = tell.of.joints().map(Subject::Joint).collect();
    let finding = tell
        .finding(
            &STILL_JOINED,
            format!(
                "{} still {} what is to move",
                tell.all(),
                tell.form("ties", "tie")
            ),
            "moves here",
        )
        .harm("It tears, or it hangs by what was forgotten and swings.");
    if joints.is_empty() {
        tell.write_before(finding, &format!("untie {}", tell.all_bare()))
    } else {
        let parting: Vec<String> = tell.of.joints().map(|joint| part_joint(tell, joint)).collect();
        let acts = parting.join("; ");
        // Which of its things is drawn, and which way, the plan's owner knows.
        let slides = |joint| tell.plan.joints[joint].kind.value.slides();
        if tell.of.joints().any(slides) {
            return finding.mend(format!(
                "Before this act: {acts}; and draw one of the things of what slides along its axis"
            ));
        }
        tell.write_before(finding, &acts)
    }
}

/// How a joint is parted, as a statement.
fn part_joint(tell: Wording<'_>, joint: crate::plan::model::Id<crate::plan::model::Joint>) -> String {
    let declared = &tell.plan.joints[joint];
    let name = &declared.head.name;
    match declared.kind.value.row().parting {
        Parting::Pressed if !declared.fixings.is_empty() => format!("slacken {name}; press apart {name}"),
        Parting::Pressed => format!("press apart {name}"),
        Parting::Broken => format!("break {name} \"how it is cut\""),
        Parting::Undone | Parting::Drawn => format!("undo {name}"),
    }
}

pub(super) fn still_held_elsewhere(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &STILL_HELD_ELSEWHERE,
            format!("{} still {} {}", tell.other(), "has", tell.all()),
            "moves here",
        )
        .harm("The rig that cannot move is pulled over, or tears out what it holds.");
    if let Some(Subject::Person(_)) = tell.of.with.first() {
        let name = tell.all_bare();
        return finding
            .harm("Whoever holds it is lifted with it, or stands beneath what comes down, with both hands full.")
            .mend(format!(
                "Before this act: take off {name}, and set {name} down on floor; or close what holds it first"
            ));
    }
    tell.write_before(
        finding,
        &format!("release {} from {}", tell.all_bare(), tell.other_bare()),
    )
}

pub(super) fn still_beneath(tell: Wording<'_>) -> Finding {
    let name = tell.all_bare();
    tell.finding(
        &STILL_BENEATH,
        format!("{} stands on {} beneath the vehicle", tell.all(), tell.other()),
        "the vehicle comes down here",
    )
    .harm("It comes down on what stands there, tips off its lift, and onto whoever steadies it.")
    .mend(format!(
        "Before this act, when it is out from under: look \"{name} rolled clear\"; or set {name} down somewhere else"
    ))
}

pub(super) fn draw_not_undo(tell: Wording<'_>) -> Finding {
    let kind = tell
        .of
        .joints()
        .next()
        .map(|joint| tell.plan.joints[joint].kind.value.row());
    let names = tell.all_bare();
    let mend = match kind {
        Some(row) if row.parting == Parting::Pressed => {
            format!("press apart {names}; to put it back: press home {names}")
        }
        Some(row) if row.parting == Parting::Broken => format!(
            "break {names} \"how it is cut\"; to put it back: {} {names}",
            row.closed_by.word()
        ),
        Some(row) if row.parting == Parting::Undone => format!("{} {names}", row.closed_by.word()),
        _ => "draw one of its things along its axis; to put it back: slide home".to_owned(),
    };
    let finding = tell
        .finding(
            &DRAW_NOT_UNDO,
            not_like_this(tell, kind),
            "not parted or closed like this",
        )
        .harm("The binder says undo, and the fitter looks for what to turn.")
        .mend(mend);
    match tell.of.joints().next() {
        Some(joint) if kind.is_some_and(|row| row.parting != Parting::Drawn) => {
            let instead = match kind {
                Some(row) if tell.closes() => format!("{} {names}", row.closed_by.word()),
                _ => part_joint(tell, joint),
            };
            tell.rewrite(finding, &instead)
        }
        _ => finding,
    }
}

/// What it is, or is not, that the act takes it for.
fn not_like_this(tell: Wording<'_>, kind: Option<&Row>) -> String {
    let (all, form) = (tell.all(), tell.form("is", "are"));
    match kind {
        Some(row) if row.parting == Parting::Undone => format!("{all} {form} not pressed"),
        Some(row) if row.parting == Parting::Broken => format!("{all} {form} {}", row.word),
        _ => format!("{all} {form} no bolt"),
    }
}

pub(super) fn not_started(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NOT_STARTED,
            format!(
                "{} {} tightened before all of it is in",
                tell.all(),
                tell.form("is", "are")
            ),
            "tightened here",
        )
        .harm("A bolt run in by the wrench crosses its thread; one left out is found on the road.");
    tell.write_before(finding, &format!("start {}", tell.all_bare()))
}

pub(super) fn wrong_rig(tell: Wording<'_>) -> Finding {
    if let [Subject::End(at)] = tell.of.with.as_slice() {
        let here = at.word();
        return tell
            .finding(
                &WRONG_RIG,
                format!(
                    "all of it is raised, and {} stands at the {here} jacking places alone",
                    tell.name(tell.first())
                ),
                "the places of one end",
            )
            .harm("It tips off them, over the other end, as soon as its wheels leave the ground.")
            .mend(format!(
                "Name both, at jacking front, jacking rear; or the end that comes up: raise ... {here}"
            ));
    }
    if let [Subject::End(end), Subject::End(at)] = tell.of.with.as_slice() {
        let (end, at) = (end.word(), at.word());
        return tell
            .finding(
                &WRONG_RIG,
                format!(
                    "the {end} is raised, and {} stands at the {at}",
                    tell.name(tell.first())
                ),
                "the place of the other end",
            )
            .harm("The wrong end comes up, and rolls or slides off what the right one was to be set on.")
            .mend(format!(
                "Name the place of the end that comes up: at jacking {end}"
            ));
    }
    tell.finding(
        &WRONG_RIG,
        format!("{} cannot do this for {}", tell.name(tell.first()), tell.other()),
        "not the rig for it",
    )
    .harm("It is lifted with what is only made to hold, or left standing on what only lifts.")
    .mend("Name a rig that lifts, holds, or takes this end, as the act wants; or say so of this one")
}

pub(super) fn rig_in_use(tell: Wording<'_>) -> Finding {
    let rig = tell.bare(tell.first());
    let finding = tell
        .finding(
            &RIG_IN_USE,
            format!("{} still has {}", tell.name(tell.first()), tell.other()),
            "asked for again here",
        )
        .harm("One of the two is let go to take the other.");
    if tell.of.apart.is_empty() {
        finding.mend(format!(
            "Before this act: set {0} down, or release {0} from {rig}",
            tell.other_bare()
        ))
    } else {
        tell.write_before(finding, &format!("set {} down on floor", tell.other_bare()))
    }
}

pub(super) fn no_wheels_under(tell: Wording<'_>) -> Finding {
    let with = &tell.of.with;
    let joint = |subject: &&Subject| matches!(subject, Subject::Joint(_));
    let loose: Vec<Subject> = with.iter().filter(joint).copied().collect();
    let off: Vec<Subject> = with.iter().filter(|one| !joint(one)).copied().collect();
    if off.is_empty() && !loose.is_empty() {
        return tell
            .finding(
                &NO_WHEELS_UNDER,
                format!(
                    "{} would stand on what is not fixed: {} {} fixings",
                    tell.all(),
                    tell.list(&loose),
                    if loose.len() > 1 { "lack" } else { "lacks" },
                ),
                "comes down on what is loose",
            )
            .harm("The wheel tips out from under it, or shears what holds it, and it drops on its discs.")
            .mend(format!(
                "Before this act: start {}, every fixing",
                tell.bare_list(&loose)
            ));
    }
    let finding = tell.finding(
        &NO_WHEELS_UNDER,
        if tell.of.of.len() > 1 {
            format!("{} have no wheels or feet under them", tell.all())
        } else {
            format!("{} has no wheels or feet under it", tell.all())
        },
        "comes down on nothing",
    );
    let finding = finding.harm("It comes down on its discs, its sump or its cabinets.");
    if off.is_empty() {
        return finding.mend(format!(
            "Before this act: raise {} on a rig that lifts",
            tell.bare(tell.first())
        ));
    }
    let started = match loose.is_empty() {
        true => String::new(),
        false => format!("; start {}, every fixing", tell.bare_list(&loose)),
    };
    finding.mend(format!(
        "Before this act: fit {}, and close its joints{started}",
        tell.bare_list(&off)
    ))
}
