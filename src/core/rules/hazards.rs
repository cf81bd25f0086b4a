//! The family **hazards**: what the work meets, whether a caution says so in time, and whether its word fits the harm. What is met the
//! walk tells; licensed work is judged in the file beside this one. Knows not where findings go.

use std::collections::{BTreeMap, BTreeSet};

use super::{Family, body_work, licensed, rule, signal_words};
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::mentions;
use crate::plan::model::{Caution, Hazard, Id, Plan, Said, Step, StepLine};
use crate::walk::Walk;
use crate::walk::breaks::Subject;
use crate::walk::hazards::Met;

rule!(
    HAZARD_WITHOUT_CAUTION,
    "hazard-without-caution",
    Fault,
    true,
    "An act meets something that can hurt, and no caution against it stands before the act."
);
rule!(
    CAUTION_AFTER_ACT,
    "caution-after-act",
    Fault,
    true,
    "A caution stands behind the act that it is against."
);
rule!(
    CAUTION_NEVER_PRINTED,
    "caution-never-printed",
    Fault,
    true,
    "A caution that holds one way only is named by no step that goes that way."
);

/// On what can hurt, said before the hand goes there.
pub static FAMILY: Family = Family {
    name: "hazards",
    about: "what can hurt, said before the hand goes there",
    rules: &[
        &HAZARD_WITHOUT_CAUTION,
        &CAUTION_AFTER_ACT,
        &CAUTION_NEVER_PRINTED,
        &signal_words::SIGNAL_AGAINST_HARM,
        &licensed::LICENSED_WORK,
        &licensed::NOT_PROVED_DEAD,
        &body_work::SPARKS_BY_FUEL,
        &body_work::DUST_INTO_LINE,
    ],
};

/// Places that one finding marks.
const MARKS: usize = 6;

/// Asks all rules of this family; what the acts meet is known only of a plan that was walked.
pub(super) fn check(plan: &Plan, walk: Option<&Walk>, findings: &mut Vec<Finding>) {
    signal_words::check(plan, findings);
    let Some(walk) = walk else { return };
    licensed::check(plan, walk, findings);
    never_printed(plan, findings);
    let late = idle_cautions(plan, findings);
    // No caution declared and no time planned: a sketch, not yet a job.
    if plan.cautions.is_empty() && plan.steps.values().all(|step| step.time.is_none()) {
        return;
    }
    without(plan, &walk.met, &late, findings);
}

fn is_against(plan: &Plan, caution: Id<Caution>, hazard: Hazard) -> bool {
    let wanted = hazard.row().guarded_by;
    plan.cautions[caution]
        .against
        .iter()
        .any(|said| wanted.contains(&said.value))
}

/// Where a caution stands to an act.
enum Guard {
    Before,
    /// In the same step, behind the act.
    After(Said<Id<Caution>>),
    None,
}

fn guard(plan: &Plan, met: &Met) -> Guard {
    let step = &plan.steps[met.step];
    let fits =
        |caution: Id<Caution>| is_against(plan, caution, met.hazard) && plan.fits_way(caution, met.step);
    let of_job = plan.about.iter().flat_map(|about| &about.cautions);
    let of_stage = step
        .stage
        .into_iter()
        .flat_map(|stage| &plan.stages[stage].cautions);
    if of_job.chain(of_stage).any(|said| fits(said.value)) {
        return Guard::Before;
    }
    let mut behind = false;
    for line in &step.lines {
        match line {
            StepLine::Caution(said) if fits(said.value) => {
                return if behind {
                    Guard::After(*said)
                } else {
                    Guard::Before
                };
            }
            // What rigs and things carry with them is printed before the act that names them.
            StepLine::Act(act) if !behind => {
                let mut carried = mentions::cautions(plan, &act.does).into_iter();
                if carried.any(fits) {
                    return Guard::Before;
                }
                behind = act.at == met.act;
            }
            _ => {}
        }
    }
    Guard::None
}

/// Cautions behind the last act of their step: they guard nothing. Gives their places.
fn idle_cautions(plan: &Plan, findings: &mut Vec<Finding>) -> BTreeSet<Span> {
    let mut late = BTreeSet::new();
    for &id in &plan.order {
        let step = &plan.steps[id];
        let last = step
            .lines
            .iter()
            .rposition(|line| matches!(line, StepLine::Act(_)));
        let Some(last) = last else { continue };
        for line in step.lines.iter().skip(last + 1) {
            let StepLine::Caution(said) = line else { continue };
            if !late.insert(said.at) {
                continue;
            }
            let act = match step.lines.get(last) {
                Some(StepLine::Act(act)) => act.at,
                _ => step.head.at,
            };
            findings.push(after(plan, id, *said, act, "no act comes after it"));
        }
    }
    late
}

fn after(plan: &Plan, step: Id<Step>, said: Said<Id<Caution>>, act: Span, why: &str) -> Finding {
    let name = &plan.cautions[said.value].head.name;
    let before = Span::new(act.source, act.start, act.start);
    Finding::new(
        &CAUTION_AFTER_ACT,
        format!("caution `{name}` stands behind the act that it is against"),
    )
    .at(said.at, why)
    .at(act, "the act")
    .harm("It is read when the hand has been there already.")
    .mend(format!("Before the act: caution {name}"))
    .edit(before, format!("caution {name}; "))
    .about(name.to_string())
    .about(plan.steps[step].head.name.to_string())
}

/// What is met unguarded: told once for a hazard that no caution in use is against, else once for each step.
fn without(plan: &Plan, all: &[Met], late: &BTreeSet<Span>, findings: &mut Vec<Finding>) {
    let in_use = in_use(plan);
    let mut alone: BTreeMap<Hazard, Vec<Met>> = BTreeMap::new();
    let mut told: BTreeSet<(Hazard, Id<Step>)> = BTreeSet::new();
    let mut told_late: BTreeSet<Span> = late.clone();
    for met in all {
        // What guards the first act of a step that meets a hazard guards the others; so each is asked once a step.
        if !told.insert((met.hazard, met.step)) {
            continue;
        }
        match guard(plan, met) {
            Guard::Before => {}
            Guard::After(said) => {
                if told_late.insert(said.at) {
                    findings.push(after(plan, met.step, said, met.act, why(plan, met).as_str()));
                }
            }
            Guard::None
                if in_use
                    .iter()
                    .any(|&caution| is_against(plan, caution, met.hazard)) =>
            {
                findings.push(unguarded(plan, std::slice::from_ref(met)));
            }
            Guard::None => alone.entry(met.hazard).or_default().push(*met),
        }
    }
    findings.extend(alone.values().map(|met| unguarded(plan, met)));
}

/// Cautions of one way that only steps of the other name: they would be on no page.
fn never_printed(plan: &Plan, findings: &mut Vec<Finding>) {
    if plan.cautions.values().all(|caution| caution.only.is_none()) {
        return;
    }
    let mut printed: BTreeSet<Id<Caution>> = BTreeSet::new();
    for &id in &plan.order {
        let step = &plan.steps[id];
        let of_lines = step.lines.iter().filter_map(|line| match line {
            StepLine::Caution(said) => Some(said.value),
            _ => None,
        });
        let of_stage = step.stage.iter().flat_map(|&stage| &plan.stages[stage].cautions);
        let mut named: Vec<Id<Caution>> = of_lines.collect();
        named.extend(of_stage.chain(&step.cautions).map(|said| said.value));
        named.extend(step.acts().flat_map(|act| mentions::cautions(plan, &act.does)));
        printed.extend(named.into_iter().filter(|&caution| plan.fits_way(caution, id)));
    }
    let mut used = in_use(plan);
    // What only steps name that are not done is not needed.
    for &id in &plan.left_out.steps {
        used.retain(|caution| plan.steps[id].cautions.iter().all(|said| said.value != *caution));
    }
    for (id, caution) in plan.cautions.iter() {
        let Some(only) = caution
            .only
            .filter(|_| used.contains(&id) && !printed.contains(&id))
        else {
            continue;
        };
        let name = &caution.head.name;
        findings.push(
            Finding::new(
                &CAUTION_NEVER_PRINTED,
                format!("caution `{name}` is named by no step that goes its way"),
            )
            .at(only.at, "this way alone")
            .harm("It stands in the plan and on no page: whoever should be warned is not.")
            .mend("Name it in a step of that way, or take this line out")
            .about(name.to_string()),
        );
    }
}

/// Cautions that some step, stage, rig or thing names.
fn in_use(plan: &Plan) -> BTreeSet<Id<Caution>> {
    let of_steps = plan.steps.values().flat_map(|step| &step.cautions);
    let of_stages = plan.stages.values().flat_map(|stage| &stage.cautions);
    let of_rigs = plan.rigs.values().flat_map(|rig| &rig.cautions);
    let of_parts = plan.parts.values().flat_map(|part| &part.cautions);
    let of_assemblies = plan.assemblies.values().flat_map(|assembly| &assembly.cautions);
    of_steps
        .chain(of_stages)
        .chain(of_rigs)
        .chain(of_parts)
        .chain(of_assemblies)
        .map(|said| said.value)
        .collect()
}

fn unguarded(plan: &Plan, all: &[Met]) -> Finding {
    let Some(first) = all.first() else {
        return Finding::new(&HAZARD_WITHOUT_CAUTION, "");
    };
    let hazard = first.hazard;
    let undoing = match plan.steps[first.step].stage {
        Some(stage) if all.len() == 1 && plan.steps[first.step].derived.is_some() => {
            format!("when stage `{}` undoes this: ", plan.stages[stage].head.name)
        }
        _ => String::new(),
    };
    let mut finding = Finding::new(
        &HAZARD_WITHOUT_CAUTION,
        match all.len() {
            1 => format!("{undoing}no caution against {} before this act", hazard.word()),
            steps => format!("no caution against {}, in {steps} steps", hazard.word()),
        },
    )
    .harm(hazard.row().unwarned);
    for met in all.iter().take(MARKS) {
        finding = finding.at(met.act, why(plan, met));
    }
    for met in all {
        finding = finding.about(plan.steps[met.step].head.name.to_string());
    }
    if hazard.row().mild {
        finding.severity = Severity::Doubt;
    }
    mend(plan, finding, all, hazard)
}

/// A caution that the plan or its workshop has already; else the house's text, to be pasted.
fn mend(plan: &Plan, finding: Finding, all: &[Met], hazard: Hazard) -> Finding {
    // One that is written for this above all: not the message of another danger that mentions it too.
    let known = plan
        .cautions
        .iter()
        .filter(|(id, _)| is_against(plan, *id, hazard))
        .min_by_key(|(_, caution)| {
            let named = caution.against.iter().position(|said| said.value == hazard);
            (named.is_none(), caution.against.len(), named)
        });
    let (name, block) = match known {
        Some((_, caution)) => (caution.head.name.to_string(), None),
        None => (hazard.row().caution.name.to_owned(), Some(hazard.caution_block())),
    };
    let mut finding = match &block {
        None => match all.first().map(|met| &plan.steps[met.step]) {
            Some(step) if step.derived.is_some() && all.len() == 1 => {
                let stage = step.stage.map_or("", |stage| &plan.stages[stage].head.name);
                return finding.mend(format!("In the block of stage `{stage}`: caution {name}"));
            }
            _ => finding.mend(format!("Before this act: caution {name}")),
        },
        Some(_) => finding.mend(format!(
            "Paste this house caution, make its words your own, and write before the act: caution {name}"
        )),
    };
    let end = match (&plan.about, plan.order.last()) {
        (Some(about), _) => Some(about.head.block.after()),
        (None, Some(&last)) => Some(plan.steps[last].head.block.after()),
        (None, None) => None,
    };
    if let (Some(block), Some(end)) = (block, end) {
        finding = finding.edit(end, format!("\n\n{block}\n"));
    }
    for met in all {
        let before = Span::new(met.act.source, met.act.start, met.act.start);
        finding = finding.edit(before, format!("caution {name}; "));
    }
    finding
}

/// Why the act meets it.
pub(super) fn why(plan: &Plan, met: &Met) -> String {
    match met.of {
        Subject::Fluid(id) => format!("`{}` is in it", plan.fluids[id].head.name),
        Subject::Energy(id) => format!("`{}` is in it", plan.energies[id].head.name),
        Subject::Joint(id) if met.hazard != Hazard::UnderVehicle => {
            format!("work on `{}`", plan.joints[id].head.name)
        }
        Subject::Joint(id) => format!(
            "`{}` is reached from below, and the vehicle is up",
            plan.joints[id].head.name
        ),
        Subject::Part(id) if met.hazard == Hazard::UnderVehicle => {
            format!("`{}` sits below, and the vehicle is up", plan.parts[id].head.name)
        }
        Subject::Part(id) if met.hazard == Hazard::SuspendedLoad => {
            format!("`{}` hangs from the scale", plan.parts[id].head.name)
        }
        Subject::Part(id) if met.hazard == Hazard::Pyrotechnic => {
            format!("a charge is in `{}`", plan.parts[id].head.name)
        }
        Subject::Part(id) => format!("work on `{}`", plan.parts[id].head.name),
        Subject::Rig(id) => format!("it hangs on `{}`", plan.rigs[id].head.name),
        // The vehicle alone is left.
        _ => {
            let runs = met.hazard == Hazard::ExhaustGas;
            if runs {
                "an engine runs here"
            } else {
                "the vehicle goes up here"
            }
            .to_owned()
        }
    }
}
