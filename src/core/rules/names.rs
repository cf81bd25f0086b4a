//! The family **names**: what names stand for, and whether they fit together.

use super::{Family, joined, rule};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::plan_error::{FigureFault, PlanError, ReverseFault};

rule!(
    UNKNOWN_NAME,
    "unknown-name",
    Fault,
    false,
    "A name is used that nothing in the plan declares; the nearest declared name is offered."
);
rule!(
    SAME_NAME_TWICE,
    "same-name-twice",
    Fault,
    false,
    "Two things in the plan carry the same name; the second one is reported."
);
rule!(
    NEVER_USED,
    "never-used",
    Advice,
    true,
    "Something is declared, and no step, joint, list or weighing ever mentions it."
);
rule!(
    WRONG_KIND,
    "wrong-kind",
    Fault,
    false,
    "A name stands for another kind of thing than this place takes."
);
rule!(
    RESTS_ROUND,
    "rests-round",
    Fault,
    false,
    "Things are said to rest on each other in a ring."
);
rule!(
    CONTAINS_ITSELF,
    "contains-itself",
    Fault,
    false,
    "An assembly holds itself, straight away or by way of assemblies inside it."
);
rule!(
    ASSEMBLIES_OVERLAP,
    "assemblies-overlap",
    Fault,
    false,
    "A part stands in two assemblies, and neither of them lies inside the other."
);
rule!(
    SIDES_OUT_OF_STEP,
    "sides-out-of-step",
    Fault,
    false,
    "A block for each side, end or corner names something whose sides do not match its own."
);
rule!(
    SAME_AS_RING,
    "same-as-ring",
    Fault,
    false,
    "Blocks say `same as` of each other in a ring, so that none of them says anything first."
);
rule!(
    STAGE_NOT_LISTED,
    "stage-not-listed",
    Fault,
    false,
    "Steps lie in several files, and the plan does not say the order of its stages, each once."
);
rule!(
    MISSING_FIGURE,
    "missing-figure",
    Fault,
    false,
    "A picture is not there, lies outside the plan's folder, or cannot be printed."
);
rule!(
    JOINT_TO_ITSELF,
    "joint-to-itself",
    Fault,
    false,
    "Both ends of a joint are one thing, or an assembly and a part of that assembly."
);

rule!(
    CANNOT_REVERSE,
    "cannot-reverse",
    Fault,
    false,
    "A stage reverses what it cannot, or a step stands instead of one that its stage does not undo."
);

/// On what names stand for, and whether they fit together.
pub static FAMILY: Family = Family {
    name: "names",
    about: "what names stand for, and whether they fit together",
    rules: &[
        &UNKNOWN_NAME,
        &SAME_NAME_TWICE,
        &NEVER_USED,
        &WRONG_KIND,
        &CONTAINS_ITSELF,
        &RESTS_ROUND,
        &ASSEMBLIES_OVERLAP,
        &SIDES_OUT_OF_STEP,
        &SAME_AS_RING,
        &STAGE_NOT_LISTED,
        &MISSING_FIGURE,
        &JOINT_TO_ITSELF,
        &CANNOT_REVERSE,
    ],
};

/// Words a slip of this family; gives back one of another.
pub(super) fn word(slip: PlanError) -> Result<Finding, PlanError> {
    Ok(match slip {
        PlanError::UnknownName {
            name,
            at,
            also,
            wanted,
            want: _,
            near,
            near_at,
        } => {
            let mut finding = Finding::new(&UNKNOWN_NAME, format!("nothing is called `{name}`"))
                .at(at, format!("expected {wanted}"))
                .harm("What it means cannot be checked, and a fitter has to guess.")
                .about(name);
            for place in also {
                finding = finding.at(place, "and here");
            }
            match near.first() {
                Some(first) => {
                    let quoted: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
                    let finding = match near_at {
                        Some(declared) => finding.at(declared, "something like it is declared here"),
                        None => finding,
                    };
                    let finding = finding
                        .mend(format!("Perhaps {}?", joined(&quoted, "or")))
                        .edit(at, first.clone());
                    let rest = near.iter().skip(1);
                    rest.fold(finding, |finding, other| finding.or_edit(at, other.clone()))
                }
                None if wanted == "a name" => finding.mend("Declare it, or correct it."),
                None => finding.mend(format!("Declare {wanted} of this name, or correct it.")),
            }
        }
        PlanError::SameName {
            name,
            first,
            second,
            first_is,
            second_is,
            in_part,
        } => Finding::new(&SAME_NAME_TWICE, format!("`{name}` is declared twice"))
            .at(second, format!("{second_is}; left out wherever the name is used"))
            .at(first, format!("already {first_is}"))
            .harm("A label with this name fits two things.")
            .mend(match in_part {
                Some(part) => format!(
                    "`fixed to` in part `{part}` makes a joint of this name. Keep one: take `fixed to` out of the part and give the joint a block \
                     that says all of it, or take the other away and say it behind `fixed to`, with commas."
                ),
                None => format!("Call the second one {name}-2, or by what it is."),
            })
            .about(name),
        PlanError::NeverUsed { name, at, is } => Finding::new(&NEVER_USED, format!("{is} `{name}` is never used"))
            .at(at, "declared here and mentioned nowhere else")
            .harm("A forgotten act, perhaps; or paper that asks for what nobody needs.")
            .mend("Use it in a step, delete it, or accept it with a reason.")
            .about(name),
        PlanError::WrongKind {
            name,
            at,
            is,
            wanted,
            declared,
        } => Finding::new(&WRONG_KIND, format!("`{name}` is {is}; expected {wanted}"))
            .at(at, format!("expected {wanted}"))
            .at(declared, format!("declared as {is}"))
            .harm("It is left out here, so nothing is done, held or checked by it.")
            .mend(format!("Name {wanted}."))
            .about(name),
        PlanError::ContainsItself { names } => {
            let first = names.first().map_or("", |(name, _)| name.as_str()).to_owned();
            let ring: Vec<&str> = names.iter().map(|(name, _)| name.as_str()).collect();
            let mut finding = Finding::new(
                &CONTAINS_ITSELF,
                format!("an assembly holds itself: {}", ring.join(", in ")),
            )
            .harm("It has no mass and no list of parts.")
            .mend("Take it out of one of these lists.")
            .about(first);
            for (name, at) in &names {
                finding = finding.at(*at, format!("{name} is named here"));
            }
            finding
        }
        PlanError::RestsRound { names } => {
            let first = names.first().map_or("", |(name, _)| name.as_str()).to_owned();
            let ring: Vec<String> = names.iter().map(|(name, _)| format!("`{name}`")).collect();
            let mut finding = Finding::new(
                &RESTS_ROUND,
                format!(
                    "{} rests on itself: {}",
                    ring.first().map_or("", String::as_str),
                    ring.join(" on ")
                ),
            )
            .harm("Nothing of it stands on the machine, so that nobody can say when it falls.")
            .mend("Say of one of them what it really stands on.")
            .about(first);
            for (name, at) in &names {
                finding = finding.at(*at, format!("`{name}` rests here"));
            }
            finding
        }
        PlanError::Overlap { part, first, second } => Finding::new(
            &ASSEMBLIES_OVERLAP,
            format!("`{part}` stands in two assemblies, {} and {}", first.0, second.0),
        )
        .at(second.1, format!("named again in {}", second.0))
        .at(first.1, format!("already in {}", first.0))
        .harm("It is counted twice in the mass account, and looked for on two shelves.")
        .mend("Leave it in one; an assembly may hold the other assembly whole.")
        .about(part),
        PlanError::SidesOutOfStep {
            at,
            name,
            block_sides,
            other_sides,
        } => Finding::new(
            &SIDES_OUT_OF_STEP,
            format!("this block is for {block_sides}, and `{name}` is declared for {other_sides}"),
        )
        .at(at, "no member of it steps along with this block")
        .harm("Left could be tied to nothing, or to the wrong side.")
        .mend(format!(
            "Declare both for {other_sides}, or name one: {name}-left, say."
        ))
        .about(name),
        PlanError::SameAsRing { names } => {
            let ring: Vec<&str> = names.iter().map(|(name, _)| name.as_str()).collect();
            let mut finding = Finding::new(
                &SAME_AS_RING,
                format!("`same as` goes round in a ring: {}", ring.join(", ")),
            )
            .harm("Their figures stand on no page at all.")
            .mend("Let one of them state its own.");
            for (name, at) in &names {
                finding = finding.at(*at, format!("{name} says so here"));
            }
            match names.first() {
                Some((name, _)) => finding.about(name.clone()),
                None => finding,
            }
        }
        PlanError::StageNotListed { stage, at, list } => {
            let finding = Finding::new(
                &STAGE_NOT_LISTED,
                format!("stage `{stage}` is missing in the list of stages"),
            )
            .at(at, "its place in the order of work is not said")
            .harm("Its steps are taken as last, which may be too late.")
            .about(stage.clone());
            match list {
                Some(list) => finding
                    .at(list, "the list")
                    .mend("Add it where it belongs.")
                    .edit(list.after(), format!(", {stage}")),
                None => finding.mend("Add it where it belongs."),
            }
        }
        PlanError::StageListedTwice { stage, first, second } => Finding::new(
            &STAGE_NOT_LISTED,
            format!("stage `{stage}` stands twice in the list of stages"),
        )
        .at(second, "the second time; left out")
        .at(first, "the first time")
        .harm("Nobody knows which place is meant.")
        .mend("Keep the right one.")
        .about(stage),
        PlanError::StepsWithoutStage { at, other } => Finding::new(
            &STAGE_NOT_LISTED,
            "steps stand before any stage, and there are others",
        )
        .at(at, "in no stage")
        .at(other, "other steps stand here")
        .harm("Their place in the order of work is not said; they are taken as first.")
        .mend("Put a stage above them: stage first \"First\""),
        PlanError::NoStageOrder { at, plan, names } => {
            let list = format!("stages {}", names.join(", "));
            let mut finding = Finding::new(
                &STAGE_NOT_LISTED,
                "stages lie in several files, and the plan does not say their order",
            )
            .harm("The order of files says nothing, so the order of work is not known.")
            .mend(format!("Add to the plan block, in the order of work: {list}"));
            for place in plan.iter().chain(at.iter()) {
                finding = finding.at(
                    *place,
                    if Some(*place) == plan {
                        "say it here"
                    } else {
                        "a stage"
                    },
                );
            }
            finding
        }
        PlanError::MissingFigure { at, file, why } => {
            let (what, mend) = match why {
                FigureFault::Missing => (
                    format!("there is no picture \"{file}\""),
                    "Its name is looked for beside the file that names it. Put it there, or correct the name.".to_owned(),
                ),
                FigureFault::Outside => (
                    format!("\"{file}\" lies outside the plan's folder"),
                    "Copy it into the plan's folder: nothing outside is read.".to_owned(),
                ),
                FigureFault::NotAPicture(why) => (
                    format!("\"{file}\" cannot be printed: {why}"),
                    "Save it anew as PNG, JPEG or plain SVG, or take the line out.".to_owned(),
                ),
            };
            Finding::new(&MISSING_FIGURE, what)
                .at(at, "named here")
                .harm("The page has a hole where the work was to be seen.")
                .mend(mend)
        }
        PlanError::JointToItself {
            joint,
            at,
            thing,
            inside,
        } => {
            let what = match &inside {
                Some(part) => format!("joint `{joint}` ties {thing} to what is inside it, {part}"),
                None => format!("joint `{joint}` ties {thing} to itself"),
            };
            Finding::new(&JOINT_TO_ITSELF, what)
                .at(at, "these two ends are one")
                .harm("What really holds it is not in the plan, and tears when it is lifted.")
                .mend("Name the other thing that it ties.")
                .about(joint)
        }
        PlanError::CannotReverse { at, name, why } => cannot_reverse(at, name, why),
        slip @ (PlanError::NotText { .. }
        | PlanError::HiddenCharacter { .. }
        | PlanError::NoLetter { .. }
        | PlanError::UnknownBlock { .. }
        | PlanError::Unreadable { .. }
        | PlanError::Misspelt { .. }
        | PlanError::UnknownStatement { .. }
        | PlanError::NoBlock { .. }
        | PlanError::OpenText { .. }
        | PlanError::ListCutShort { .. }
        | PlanError::BareNumber { .. }
        | PlanError::DecimalComma { .. }
        | PlanError::Otherwise { .. }
        | PlanError::WrongUnit { .. }
        | PlanError::SaidTwice { .. }
        | PlanError::NoteRefused { .. }
        | PlanError::BadName { .. }
        | PlanError::Lacks { .. }
        | PlanError::TwoPlans { .. }
        | PlanError::NoPlan { .. }
        | PlanError::NoVehicle { .. }
        | PlanError::NoSteps { .. }) => return Err(slip),
    })
}

fn cannot_reverse(at: Span, name: String, why: ReverseFault) -> Finding {
    let (what, here, mend) = match why {
        ReverseFault::Itself => (
            format!("stage `{name}` reverses itself"),
            "this is the stage itself",
            "Name the stages that it undoes; they come before it.",
        ),
        ReverseFault::Derived => (
            format!("stage `{name}` reverses other stages itself, so that it cannot be reversed"),
            "its steps are derived",
            "Write the steps of one of them, or reverse the stages that were written.",
        ),
        ReverseFault::Later => (
            format!("stage `{name}` comes later, so that there is nothing to undo yet"),
            "later in the order of work",
            "Put this stage behind it in the list of stages.",
        ),
        ReverseFault::Twice(_) => (
            format!("stage `{name}` is reversed already"),
            "the second time",
            "Keep one of them; a part goes back once.",
        ),
        ReverseFault::NotHere => (
            format!("step `{name}` is not undone in this stage, so that nothing can stand instead of it"),
            "no derived step here undoes it",
            "Name a step of a stage that this stage reverses, or take the line out.",
        ),
    };
    let finding = Finding::new(&CANNOT_REVERSE, what).at(at, here);
    let finding = match why {
        ReverseFault::Twice(first) => finding.at(first, "reversed here"),
        _ => finding,
    };
    finding
        .harm("Steps of the refit are missing on paper, and so are the joints that they close.")
        .mend(mend)
        .about(name)
}
