//! Work that is left to licensed trades, and energies that nobody proved dead. Who does it has to be said; how it is done is never
//! printed, here or anywhere. Knows steps and what the walk met, no caution.

use std::collections::BTreeSet;

use super::hazards::why;
use super::rule;
use crate::base::finding::{Finding, Severity};
use crate::base::source::Span;
use crate::plan::hazards::{of_energy, of_fluid};
use crate::plan::mentions;
use crate::plan::model::{Content, Does, Energy, EnergyKind, Hazard, Id, Joint, Plan, Step, StepLine};
use crate::plan::prose;
use crate::plan::vocabulary::hazards::Licensed;
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
    by_the_log(plan, walk, findings);
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
        if kills && proved != Proof::Proved && opened.contains(&Subject::Energy(id)) {
            findings.push(not_proved(plan, step.value, &energy.head.name, step.at, proved));
        }
    }
}

/// Whether somebody proves in the step that it is dead, at a moment at which that says something: after the act that cuts a supply off, for
/// until then it is live; and of what is not electric before the first joint of it is opened, for an electric one is parted first.
fn proved(plan: &Plan, step: Id<Step>, id: Id<Energy>) -> Proof {
    let is_electric = |energy: Id<Energy>| {
        plan.energies[energy]
            .kind
            .is_some_and(|said| said.value == EnergyKind::Electric)
    };
    let electric = is_electric(id);
    let of = |joint: Id<Joint>| match plan.joints[joint].of.map(|said| said.value) {
        Some(Content::Energy(energy)) => Some(energy),
        Some(Content::Fluid(_)) | None => None,
    };
    let own = |joint: Id<Joint>| of(joint) == Some(id);
    let parted = |does: &Does| -> Vec<Id<Joint>> {
        match does {
            Does::Undo(all) => all.iter().map(|fixings| fixings.joint.value).collect(),
            // A union lets out what is behind it; a lead still has its current.
            Does::Slacken(all) if !electric => all.iter().map(|fixings| fixings.joint.value).collect(),
            Does::PressApart { joints, .. } => joints.iter().map(|said| said.value).collect(),
            Does::Break { joint, .. } => vec![joint.value],
            // Parts nothing.
            _ => Vec::new(),
        }
    };
    let acts = || plan.steps[step].acts();
    let by_its_own = electric && acts().flat_map(|act| parted(&act.does)).any(own);
    // The supply that it cuts off; a lead that does not say of which may be of any.
    let cuts_off = |joint: Id<Joint>| match of(joint) {
        Some(energy) if electric => (energy == id).then_some(Some(energy)),
        Some(energy) => is_electric(energy).then_some(Some(energy)),
        None => {
            let joint = &plan.joints[joint];
            let unsaid =
                joint.of.is_none() && joint.kind.value.row().live_unsaid && !joint.is_bearing_strap();
            (unsaid && !by_its_own).then_some(None)
        }
    };
    let mut looks = String::new();
    let mut proof = Proof::None;
    let mut cut: BTreeSet<Option<Id<Energy>>> = BTreeSet::new();
    for act in acts() {
        match &act.does {
            Does::Look(what) | Does::Verify { what: Some(what), .. } => {
                looks.push_str(what);
                looks.push(' ');
                proof = Proof::Proved;
            }
            Does::Verify { .. } => proof = Proof::Proved,
            // Looks at nothing.
            _ => {}
        }
        for joint in parted(&act.does) {
            if !electric && own(joint) {
                let later = acts().any(|act| matches!(act.does, Does::Look(_) | Does::Verify { .. }));
                return match proof {
                    Proof::None if later => Proof::TooLate,
                    proof => proof,
                };
            }
            // What else is parted of a supply may be parted because it was proved dead.
            if cuts_off(joint).is_some_and(|supply| cut.insert(supply))
                && proof == Proof::Proved
                && !by_a_switch(&looks)
            {
                proof = Proof::TooEarly;
            }
        }
    }
    // A gauge of the refrigerant proves no airbag dead.
    let own_parts = acts().flat_map(|act| parted(&act.does)).any(own);
    let energy = &plan.energies[id].head;
    let elsewhere = !electric
        && proof == Proof::Proved
        && cut.is_empty()
        && !own_parts
        && !looks.is_empty()
        && !speaks_of(&looks, &energy.name, energy.title.as_deref().unwrap_or(""));
    if elsewhere { Proof::Elsewhere } else { proof }
}

/// Whether what was looked at has a word of this thing, or says that something is dead, off or has waited.
fn speaks_of(looks: &str, name: &str, title: &str) -> bool {
    let own = Words::of(&format!("{name} {title}").replace('-', " "));
    let words = Words::of(looks);
    let stem = |word: &str| word.trim_end_matches('s').to_owned();
    let own: Vec<String> = own.0.iter().map(|word| stem(word)).collect();
    let dead = [
        "dead",
        "battery",
        "supply",
        "clock",
        "wait",
        "waited",
        "isolated",
        "isolator",
        "airbag",
        "charge",
        "squib",
        "yellow",
        "bag",
        "tensioner",
        "capacitor",
        "volt",
        "meter",
        "discharged",
    ];
    words
        .0
        .iter()
        .map(|word| stem(word))
        .any(|word| word.len() > 2 && (own.contains(&word) || dead.contains(&word.as_str())))
}

/// Whether what was looked at says that a switch cut it off, and that it was tried: then it is dead before anything is parted.
fn by_a_switch(looks: &str) -> bool {
    let words = Words::of(looks);
    let says = |all: &[&str]| words.0.iter().any(|word| all.contains(&word.as_str()));
    says(&[
        "isolator",
        "isolators",
        "isolated",
        "disconnector",
        "switch",
        "switched",
        "breaker",
        "breakers",
        "fuse",
        "fuses",
        "locked",
        "off",
    ]) && says(&[
        "dead",
        "tried",
        "tested",
        "measured",
        "meter",
        "voltmeter",
        "volt",
        "volts",
        "v",
    ])
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Proof {
    None,
    /// Only before it was cut off, and no switch had done that.
    TooEarly,
    /// Only after its first joint was opened.
    TooLate,
    /// Of something else.
    Elsewhere,
    Proved,
}

/// A mend that would write work on what only a licensed person touches into a step that has none: it is told in words, and not offered as text.
pub(super) fn left_to_them(plan: &Plan, of: &Break, mut finding: Finding) -> Finding {
    let hazards: Vec<Hazard> = of
        .joints()
        .flat_map(|joint| behind(plan, joint))
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

/// Who did it, as the log says, was licensed for what it was; where the log names nobody, the step's people were there.
fn by_the_log(plan: &Plan, walk: &Walk, findings: &mut Vec<Finding>) {
    let mut told: BTreeSet<(Hazard, Id<Step>)> = BTreeSet::new();
    for met in walk.met.iter().filter(|met| met.licensed) {
        for log in plan
            .logs
            .iter()
            .filter(|log| log.done.is_some() && log.steps.contains(&met.step))
        {
            let licensed = log.by.iter().any(|said| {
                let mut all = plan.people[said.value].licensed_for.iter();
                all.any(|licence| licence.value == met.hazard)
            });
            let (Some(first), false) = (log.by.first(), licensed) else {
                continue;
            };
            if !has_licence(plan, met.step, met.hazard) || !told.insert((met.hazard, met.step)) {
                continue;
            }
            let step = &plan.steps[met.step].head;
            findings.push(
                Finding::new(
                    &super::logs::LOG_CONTRADICTS,
                    format!(
                        "`{}` was done by `{}`, who is not licensed for {}",
                        step.name,
                        plan.people[first.value].head.name,
                        met.hazard.word()
                    ),
                )
                .at(first.at, "these did it")
                .at(met.act, "this act is for who is licensed")
                .harm("What is wrong in it shows when the charge fires, or the gas is out.")
                .mend("Have it looked at by who is licensed; or correct the names: a log for each step, with who did it")
                .about(step.name.to_string()),
            );
        }
    }
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

/// Words that turn an order into a warning, or into a remark on what is already so, where they stand before it: "vent it without a mask" is an
/// order, "never vent it" is none.
const NEGATIONS: &[&str] = &[
    "not", "never", "nobody", "no", "don", "without", "nothing", "if", "unless", "avoid",
];
/// The same wherever it stands.
const LEFT_TO: &[&str] = &["licensed", "licence", "license"];
/// What an order follows in its sentence, where it does not begin it.
const JOINS: &[&str] = &[
    "and",
    "then",
    "to",
    "first",
    "now",
    "carefully",
    "slowly",
    "gently",
];
/// What only carries a line or a lead: undone, it opens nothing.
const CARRIERS: &[&str] = &[
    "bracket", "brackets", "clip", "clips", "p-clip", "p-clips", "holder", "holders", "saddle", "saddles",
];
/// What may stand for a thing that was named before.
const STANDS_FOR: &[&str] = &["it", "them", "that", "this", "all"];

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
    let acts_on: BTreeSet<Hazard> = step
        .acts()
        .flat_map(|act| mentions::of(&act.does).joints)
        .flat_map(|joint| behind(plan, joint))
        .collect();
    for hazard in Hazard::all() {
        let Some(work) = &hazard.row().licensed else {
            continue;
        };
        if has_licence(plan, id, hazard) || told.contains(&(hazard, id)) {
            continue;
        }
        // "The line" is its line where the step is about it.
        let about = acts_on.contains(&hazard)
            || texts.iter().any(|(text, _)| {
                let words = Words::of(text);
                let mut all = work.things.iter().chain(work.about);
                all.any(|thing| !thing.is_empty() && words.find(thing, 0).is_some())
            });
        let ordered = texts.iter().find_map(|(text, at)| {
            let mut sentences = text.split(['.', ';', ':', '!', '?', '\n']);
            let sentence = sentences.find(|sentence| ordered(sentence, hazard, about))?;
            Some((sentence.trim(), *at))
        });
        if let Some((sentence, at)) = ordered {
            told.insert((hazard, id));
            let mut finding = unlicensed(plan, id, hazard, at, format!("“{sentence}”"));
            finding.severity = Severity::Doubt;
            findings.push(finding);
        }
    }
}

/// What is in a joint, or runs out of it.
fn behind(plan: &Plan, joint: Id<Joint>) -> Vec<Hazard> {
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
    inside.into_iter().chain(opened).collect()
}

/// A sentence in lower-case words; a comma is a word too.
struct Words(Vec<String>);

impl Words {
    fn of(text: &str) -> Self {
        let lower = text.to_lowercase().replace(',', " , ");
        let words = lower
            .split(|c: char| !c.is_alphanumeric() && c != '-' && c != ',')
            .filter(|word| !word.is_empty());
        Self(words.map(str::to_owned).collect())
    }

    fn at(&self, at: usize) -> Option<&str> {
        self.0.get(at).map(String::as_str)
    }

    /// Where these words stand, one after the other, from there on: the first, and the one after the last.
    fn find(&self, phrase: &str, from: usize) -> Option<(usize, usize)> {
        let phrase: Vec<&str> = phrase.split(' ').collect();
        let found = self
            .0
            .iter()
            .enumerate()
            .skip(from)
            .map(|(at, _)| at)
            .find(|&at| {
                let mut pairs = phrase.iter().enumerate();
                pairs.all(|(nth, word)| self.at(at + nth) == Some(*word))
            })?;
        Some((found, found + phrase.len()))
    }
}

/// Whether a sentence orders licensed work; "the line" counts where it is `about` it.
fn ordered(sentence: &str, hazard: Hazard, about: bool) -> bool {
    let words = Words::of(sentence);
    let left_to = |word: &String| LEFT_TO.contains(&word.as_str());
    let Some(work) = &hazard.row().licensed else {
        return false;
    };
    if words.0.iter().any(left_to) {
        return false;
    }
    work.verbs.iter().any(|verb| {
        let mut from = 0;
        while let Some((at, end)) = words.find(verb.split(" .. ").next().unwrap_or(verb), from) {
            from = at + 1;
            if orders(&words, at, end, verb, work, about) {
                return true;
            }
        }
        false
    })
}

/// Whether the verb at this place is an order on one of the things. "Take .. out" has them between its two words.
fn orders(words: &Words, at: usize, end: usize, verb: &str, work: &Licensed, about: bool) -> bool {
    let before = at.checked_sub(1).and_then(|before| words.at(before));
    let negated = |all: &[String]| all.iter().any(|word| NEGATIONS.contains(&word.as_str()));
    let (said, rest) = words.0.split_at_checked(end).unwrap_or((&words.0, &[]));
    let upto = rest
        .iter()
        .position(|word| matches!(word.as_str(), "," | "and" | "then"))
        .unwrap_or(rest.len());
    let (object, later) = rest.split_at_checked(upto).unwrap_or((rest, &[]));
    // "To open it is not our job" is a remark, whatever comes first.
    if negated(said) || (before == Some("to") && negated(rest)) {
        return false;
    }
    let begins = before.is_none_or(|word| word == "," || JOINS.contains(&word));
    if !begins {
        return false;
    }
    let any_thing = work.things.contains(&"");
    if !any_thing && object.iter().any(|word| CARRIERS.contains(&word.as_str())) {
        return false;
    }
    let says = |part: &[String], things: &[&str]| {
        let part = Words(part.to_vec());
        things
            .iter()
            .any(|thing| thing.is_empty() || part.find(thing, 0).is_some())
    };
    let vague: &[&str] = if about { work.vague } else { &[] };
    if let Some((_, particle)) = verb.split_once(" .. ") {
        // The thing itself stands between them: not its hose, out of a clip.
        let between = object
            .iter()
            .position(|word| word == particle)
            .and_then(|nth| object.split_at_checked(nth))
            .map_or(&[][..], |(thing, _)| thing);
        return work.things.iter().chain(vague).any(|thing| {
            let thing: Vec<&str> = thing.split(' ').collect();
            let skipped = between.len().checked_sub(thing.len());
            skipped.is_some_and(|skipped| between.iter().skip(skipped).eq(thing))
        });
    }
    if says(object, work.things) || says(object, vague) {
        return true;
    }
    // "Airbag first, then unplug it."
    let stands_for = object
        .first()
        .is_none_or(|word| STANDS_FOR.contains(&word.as_str()));
    stands_for
        && (says(said, work.things)
            || says(later, work.things)
            || (about && !object.is_empty() && says(said, vague)))
}

fn not_proved(plan: &Plan, step: Id<Step>, energy: &str, at: Span, proof: Proof) -> Finding {
    let head = &plan.steps[step].head;
    let early = proof == Proof::TooEarly;
    let what = match early {
        true => format!("`{energy}` is looked at before it is cut off, and not after that"),
        false if proof == Proof::TooLate => format!("`{energy}` is proved dead after it was parted"),
        false => format!("nobody proves that `{energy}` is dead"),
    };
    Finding::new(&NOT_PROVED_DEAD, what)
        .at(
            head.at,
            match proof {
                Proof::TooEarly => "looks first, and parts then",
                Proof::TooLate => "parts first, and looks then",
                Proof::Elsewhere => "looks at something else",
                Proof::None | Proof::Proved => "has neither a look nor a verify",
            },
        )
        .at(at, "counts as safe after it")
        .harm("It was the wrong switch, or something was still stored in it.")
        .mend(if early {
            format!(
                "In step {}, after what parts it: verify \"what shows that it is dead\". Or, where a switch cuts it off, say both before: verify \"Isolator off and locked; tried: dead\"",
                head.name
            )
        } else if proof == Proof::TooLate {
            format!("In step {}, before its first joint is parted: verify \"what shows that it is dead\"", head.name)
        } else {
            format!("In step {}: verify \"what shows that it is dead\"", head.name)
        })
        .about(energy.to_owned())
        .about(head.name.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_and_remarks() {
        for (order, hazard) in [
            ("Vent the refrigerant slowly", Hazard::Refrigerant),
            ("Nuts off, then weld the bracket to the rail", Hazard::Welding),
            ("Nuts off, weld the bracket", Hazard::Welding),
            ("Now unbolt the airbag", Hazard::Pyrotechnic),
            ("Airbag first, then unplug it", Hazard::Pyrotechnic),
            ("Vent the refrigerant if the bottle is full", Hazard::Refrigerant),
            ("Vent the refrigerant without hurry", Hazard::Refrigerant),
            ("Take the refrigerant out", Hazard::Refrigerant),
            ("Let the old refrigerant out", Hazard::Refrigerant),
            ("Goggles on, let the refrigerant out", Hazard::Refrigerant),
            ("Depressurise the refrigerant circuit", Hazard::Refrigerant),
            ("Crack the refrigerant union", Hazard::Refrigerant),
            ("Depressurise the gas tank", Hazard::Gas),
        ] {
            assert!(ordered(order, hazard, false), "{order}");
        }
        for order in [
            "Let the gas out",
            "Crack the line",
            "Depressurise the circuit",
            "Crack it and wait",
        ] {
            assert!(!ordered(order, Hazard::Refrigerant, false), "{order}");
        }
        for order in ["Let the gas out", "Crack the line", "Depressurise the circuit"] {
            assert!(ordered(order, Hazard::Refrigerant, true), "{order}");
        }
        for remark in [
            "We do not weld on it",
            "Never open the refrigerant circuit",
            "That is a welder's job",
            "Keep clear of the pinch weld",
            "The airbag lamp lights and goes out",
            "Refrigerant was drawn off",
            "Do not open the line",
            "Do not crack the line, let the gas out or open the circuit",
            "Without a licence nobody lets the refrigerant out",
            "If it hisses, shut the valve",
            "To open the refrigerant circuit is not our work",
            "Vent the refrigerant, but the licensed fitter alone",
            "Open the doors and keep clear of the refrigerant",
            "Take the compressor aside on its hoses",
            "Let the arm down",
            "Take the bolts out",
            "Take the refrigerant hose out of its clip",
            "Undo the bracket of the refrigerant hoses",
        ] {
            for hazard in Hazard::all() {
                assert!(!ordered(remark, hazard, true), "{remark}");
            }
        }
    }
}
