//! Work that is left to licensed trades, and energies that nobody proved dead. Who does it has to be said; how it is done is never
//! printed, here or anywhere. Knows steps and what the walk met, no caution.

use std::collections::BTreeSet;

use super::hazards::why;
use super::rule;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::hazards::{of_energy, of_fluid};
use crate::plan::model::{Content, Does, Energy, EnergyKind, Hazard, Id, Joint, Plan, Step, StepLine};
use crate::plan::prose;
use crate::walk::Walk;
use crate::walk::breaks::{Break, Subject};

rule!(
    LICENSED_WORK,
    "licensed-work",
    Fault,
    true,
    "Work that is left to licensed trades is in a step that names nobody who is licensed for it."
);
rule!(
    NOT_PROVED_DEAD,
    "not-proved-dead",
    Doubt,
    true,
    "A step is to make an energy safe that kills, and nobody looks or verifies that it is dead."
);

pub(super) fn check(plan: &Plan, walk: &Walk, findings: &mut Vec<Finding>) {
    let mut told: BTreeSet<(Hazard, Id<Step>)> = BTreeSet::new();
    for met in walk.met.iter().filter(|met| met.licensed) {
        if !has_licence(plan, met.step, met.hazard) && told.insert((met.hazard, met.step)) {
            findings.push(unlicensed(plan, met.step, met.hazard, met.act, why(plan, met)));
        }
    }
    for &id in &plan.order {
        in_prose(plan, id, &mut told, findings);
    }
    let opened: BTreeSet<Subject> = walk.met.iter().map(|met| met.of).collect();
    for (id, energy) in plan.energies.iter() {
        let Some(step) = energy.safe_after else { continue };
        let kills = of_energy(energy)
            .into_iter()
            .any(|hazard| hazard.row().proved_off);
        let proved = proved(plan, step.value, id);
        if kills && !proved && opened.contains(&Subject::Energy(id)) {
            findings.push(not_proved(plan, step.value, &energy.head.name, step.at));
        }
    }
}

/// Whether somebody looks or verifies in the step; before the first joint of the energy is opened, unless it is electric: a supply is
/// parted first and proved dead then.
fn proved(plan: &Plan, step: Id<Step>, id: Id<Energy>) -> bool {
    let electric = plan.energies[id]
        .kind
        .is_some_and(|said| said.value == EnergyKind::Electric);
    let of_it = |joint: Id<Joint>| {
        let of = plan.joints[joint].of.map(|said| said.value);
        of == Some(Content::Energy(id))
    };
    for act in plan.steps[step].acts() {
        match &act.does {
            Does::Verify { .. } | Does::Look(_) => return true,
            Does::Undo(all) | Does::Slacken(all)
                if !electric && all.iter().any(|fixings| of_it(fixings.joint.value)) =>
            {
                return false;
            }
            // It neither looks nor opens.
            _ => {}
        }
    }
    false
}

/// A mend that would write work on what only a licensed person touches into a step that has none: it is told in words, and not offered as text.
pub(super) fn left_to_them(plan: &Plan, of: &Break, mut finding: Finding) -> Finding {
    let hazards: Vec<Hazard> = of
        .joints()
        .flat_map(|joint| {
            let joint = &plan.joints[joint];
            let inside = match joint.of.map(|said| said.value) {
                Some(Content::Energy(energy)) => of_energy(&plan.energies[energy]),
                Some(Content::Fluid(fluid)) => of_fluid(&plan.fluids[fluid]),
                None => Vec::new(),
            };
            let opened = joint
                .opens
                .iter()
                .flat_map(|said| of_fluid(&plan.fluids[said.value]));
            inside.into_iter().chain(opened).collect::<Vec<_>>()
        })
        .filter(|hazard| hazard.is_licensed())
        .collect();
    let Some(&hazard) = hazards.first() else {
        return finding;
    };
    let within =
        |at: Span, block: Span| at.source == block.source && (block.start..=block.end).contains(&at.start);
    let by_anybody = finding
        .mend
        .edits
        .iter()
        .filter(|edit| !edit.text.is_empty())
        .any(|edit| {
            let mut steps = plan
                .order
                .iter()
                .filter(|&&step| plan.steps[step].derived.is_none());
            let step = steps.find(|&&step| within(edit.span, plan.steps[step].head.block));
            step.is_some_and(|&step| hazards.iter().any(|&hazard| !has_licence(plan, step, hazard)))
        });
    if by_anybody {
        finding.mend.edits.clear();
        finding.mend.words.push_str(&format!(
            " In a step of somebody who is licensed for {}",
            hazard.word()
        ));
    }
    finding
}

fn has_licence(plan: &Plan, step: Id<Step>, hazard: Hazard) -> bool {
    plan.steps[step].by.iter().any(|said| {
        plan.people[said.value]
            .licensed_for
            .iter()
            .any(|licence| licence.value == hazard)
    })
}

fn unlicensed(plan: &Plan, step: Id<Step>, hazard: Hazard, at: Span, label: String) -> Finding {
    let who: Vec<&str> = plan
        .people
        .values()
        .filter(|person| person.licensed_for.iter().any(|licence| licence.value == hazard))
        .map(|person| &*person.head.name)
        .collect();
    let head = &plan.steps[step].head;
    let mend = match who.first() {
        Some(person) => format!("Say in the step that {person} does it: by {person}"),
        None => format!(
            "Say who does it: by PERSON, and on that person: licensed for {}. Local codes say who may",
            hazard.word()
        ),
    };
    Finding::new(
        &LICENSED_WORK,
        format!("nobody in step `{}` is licensed for {}", head.name, hazard.word()),
    )
    .at(at, label)
    .at(head.at, "done by whom?")
    .harm("Somebody tries it who must not, and is hurt; in most countries it is against the law too.")
    .mend(mend)
    .about(head.name.to_string())
}

/// Words that turn an order into a warning, or into a remark on what is already so.
const NEGATIONS: &[&str] = &[
    "not", "never", "nobody", "no", "don", "without", "nothing", "licensed", "if",
];

fn in_prose(plan: &Plan, id: Id<Step>, told: &mut BTreeSet<(Hazard, Id<Step>)>, findings: &mut Vec<Finding>) {
    let step = &plan.steps[id];
    let mut texts: Vec<(String, Span)> = vec![(step.head.called(), step.head.at)];
    for line in &step.lines {
        match line {
            StepLine::Note(note) => texts.push((prose::words_of(&note.text), note.at)),
            StepLine::Act(act) => match &act.does {
                Does::Look(text) | Does::Verify { what: Some(text), .. } => {
                    texts.push((text.to_string(), act.at))
                }
                // No prose in it.
                _ => {}
            },
            _ => {}
        }
    }
    for (text, at) in texts {
        for sentence in text.split(['.', ';', ':', '!', '?', '\n']) {
            for hazard in Hazard::all().filter(|hazard| hazard.is_licensed()) {
                if ordered(sentence, hazard) && !has_licence(plan, id, hazard) && told.insert((hazard, id)) {
                    let label = format!("“{}”", sentence.trim());
                    let mut finding = unlicensed(plan, id, hazard, at, label);
                    finding.severity = Severity::Doubt;
                    findings.push(finding);
                }
            }
        }
    }
}

/// Whether a sentence orders licensed work.
fn ordered(sentence: &str, hazard: Hazard) -> bool {
    let lower = sentence.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '-')
        .filter(|word| !word.is_empty())
        .collect();
    if words.iter().any(|word| NEGATIONS.contains(word)) {
        return false;
    }
    let says = |phrase: &str| {
        let phrase: Vec<&str> = phrase.split(' ').collect();
        words
            .windows(phrase.len())
            .position(|window| window == phrase.as_slice())
    };
    hazard.row().licensed.as_ref().is_some_and(|work| {
        let thing = work
            .things
            .iter()
            .any(|thing| thing.is_empty() || says(thing).is_some());
        // As an order a verb begins its sentence, or follows "and", "then" or a comma's word.
        let verb = work.verbs.iter().any(|verb| {
            says(verb).is_some_and(|at| {
                at == 0
                    || matches!(
                        words.get(at - 1),
                        Some(&"and" | &"then" | &"to" | &"first" | &"now" | &"carefully")
                    )
            })
        });
        thing && verb
    })
}

fn not_proved(plan: &Plan, step: Id<Step>, energy: &str, at: Span) -> Finding {
    let head = &plan.steps[step].head;
    Finding::new(&NOT_PROVED_DEAD, format!("nobody proves that `{energy}` is dead"))
        .at(head.at, "has neither a look nor a verify")
        .at(at, "counts as safe after it")
        .harm("It was the wrong switch, or something was still stored in it.")
        .mend(format!(
            "In step {}: verify \"what shows that it is dead\"",
            head.name
        ))
        .about(energy.to_owned())
        .about(head.name.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_and_remarks() {
        assert!(ordered("Vent the refrigerant slowly", Hazard::Refrigerant));
        assert!(ordered(
            "Nuts off, then weld the bracket to the rail",
            Hazard::Welding
        ));
        assert!(ordered("Now unbolt the airbag", Hazard::Pyrotechnic));
        for remark in [
            "We do not weld on it",
            "Never open the refrigerant circuit",
            "That is a welder's job",
            "Keep clear of the pinch weld",
            "The airbag lamp lights and goes out",
            "Refrigerant was drawn off",
        ] {
            assert!(Hazard::all().all(|hazard| !ordered(remark, hazard)), "{remark}");
        }
    }
}
