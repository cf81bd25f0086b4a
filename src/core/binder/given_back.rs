//! What a card that is ticked on a screen gives back: for each row the words of the last act that is done then, what is read or measured
//! there, and how long there is to wait. Knows the language that a log is written in, and no screen.

use std::collections::BTreeMap;

use super::binding::Binding;
use super::document::{Proof, WeighCell};
use super::{Wanted, cards, letters, weighing};
use crate::compile::{Compilation, short_hash};
use crate::plan::model::{Does, Id, Load, Measured, Said, Scale, Step, Thing};
use crate::plan::write;

/// NIST SP 811 (2008), appendix B.8.
const KG_A_POUND: f64 = 0.453_592_37;

/// Of a whole plan.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenBack {
    /// The plan's name: what is kept on a phone is kept under it.
    pub plan: String,
    /// Everyone of the plan.
    pub people: Vec<Named>,
    /// In the order of work.
    pub steps: Vec<OfStep>,
}

/// A name of the plan's text, and what a page calls it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// As the plan writes it.
    pub name: String,
    /// In the words of the page.
    pub called: String,
}

/// Of the card of one step.
#[derive(Debug, Clone, PartialEq)]
pub struct OfStep {
    /// Key of its head.
    pub card: Proof,
    /// The step's, as the plan writes it.
    pub name: String,
    /// Hash of its acts as a plan writes them: what was ticked on an older page is taken over where that is the same.
    pub acts: String,
    /// The day on which the log has it done.
    pub done: Option<String>,
    /// Who does it, by name.
    pub by: Vec<String>,
    /// In the order of the card.
    pub rows: Vec<OfRow>,
    /// Joints that it touches, whose fixings may break or be lost.
    pub joints: Vec<Named>,
    /// Parts that it names, which may be found damaged.
    pub parts: Vec<Named>,
}

/// Of one row of a card.
#[derive(Debug, Clone, PartialEq)]
pub struct OfRow {
    /// As the card prints it: "a".
    pub letter: String,
    /// For `stopped DATE at WORDS`; none where no words tell this act alone.
    pub words: Option<String>,
    /// What the act asks to be read or measured.
    pub blanks: Vec<Blank>,
    /// Minutes that the act waits.
    pub wait: Option<f64>,
}

/// Something to read or to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// What stands before the figure in a log: `reads seat`, `measure toe`.
    pub writes: String,
    /// In the words of the page.
    pub called: String,
    /// The units that it may have, the usual one first.
    pub units: Vec<&'static str>,
    /// About what it should be, in the first of the units.
    pub range: Option<(f64, f64)>,
}

/// What the cards of a plan give back.
#[must_use]
pub fn given_back(compilation: &Compilation, wanted: &Wanted) -> GivenBack {
    let binding = Binding::new(compilation, wanted);
    let plan = binding.plan;
    GivenBack {
        plan: binding
            .about()
            .map_or_else(String::new, |about| about.head.name.to_string()),
        people: plan
            .people
            .values()
            .map(|person| Named {
                name: person.head.name.to_string(),
                called: person.head.called(),
            })
            .collect(),
        steps: plan.order.iter().map(|&step| of_step(&binding, step)).collect(),
    }
}

fn of_step(binding: &Binding<'_>, id: Id<Step>) -> OfStep {
    let plan = binding.plan;
    let step = &plan.steps[id];
    let lettered = cards::lettered(binding, id);
    let words: BTreeMap<String, String> = letters::words(binding, id, &lettered).into_iter().collect();
    let acts: Vec<&Does> = step.acts().map(|act| &act.does).collect();
    let mut next = 0;
    let rows = lettered
        .iter()
        .map(|(letter, act, _)| {
            // The acts that are done with this row and were not with the one before it.
            let own = acts.get(next..=*act).unwrap_or_default();
            next = next.max(act + 1);
            OfRow {
                letter: letter.clone(),
                words: words.get(letter).cloned(),
                blanks: own.iter().flat_map(|does| blanks(binding, does)).collect(),
                wait: own.iter().find_map(|does| match does {
                    Does::WaitFor { time, .. } => Some(time.value.base()),
                    // Nothing else has a clock.
                    _ => None,
                }),
            }
        })
        .collect();
    let mut joints = Vec::new();
    let mut parts = Vec::new();
    for does in &acts {
        let named = super::mentions::of(does);
        for joint in named.joints {
            let head = &plan.joints[joint].head;
            push(&mut joints, &head.name, head.called());
        }
        for load in named.loads {
            if let Load::Thing(Thing::Part(part)) = load {
                let head = &plan.parts[part].head;
                push(&mut parts, &head.name, head.called());
            }
        }
    }
    let written: Vec<String> = acts.iter().map(|does| write::act(plan, does)).collect();
    OfStep {
        card: binding.card_proof(id),
        name: step.head.name.to_string(),
        acts: short_hash(written.join("\n").as_bytes()),
        done: plan
            .logs
            .iter()
            .filter(|log| log.steps.contains(&id))
            .find_map(|log| log.done)
            .map(|said| said.value.to_string()),
        by: step
            .by
            .iter()
            .map(|said| plan.people[said.value].head.name.to_string())
            .collect(),
        rows,
        joints,
        parts,
    }
}

fn push(list: &mut Vec<Named>, name: &str, called: String) {
    if !list.iter().any(|known| known.name == name) {
        list.push(Named {
            name: name.to_owned(),
            called,
        });
    }
}

fn blanks(binding: &Binding<'_>, does: &Does) -> Vec<Blank> {
    match does {
        Does::Weigh { things, with } => weighed(binding, things, *with).into_iter().collect(),
        Does::Measure { what, value } => vec![Blank {
            writes: write::act(
                binding.plan,
                &Does::Measure {
                    what: what.clone(),
                    value: None,
                },
            ),
            called: what.name.replace('-', " "),
            units: units(value.and_then(|said| said.value.known())),
            range: None,
        }],
        // Nothing else has a figure that a log gives back.
        _ => Vec::new(),
    }
}

/// The unit that the plan has it in first, then the others that a figure may have.
fn units(value: Option<Measured>) -> Vec<&'static str> {
    let own = value.map(|value| match value {
        Measured::Length(figure) => figure.unit().unit().symbol,
        Measured::Angle(figure) => figure.unit().unit().symbol,
        Measured::Mass(figure) => figure.unit().unit().symbol,
        Measured::Volume(figure) => figure.unit().unit().symbol,
        Measured::Torque(figure) => figure.unit().unit().symbol,
        Measured::Pressure(figure) => figure.unit().unit().symbol,
    });
    let kinds: [&[&str]; 6] = [
        &["mm", "cm", "in"],
        &["°"],
        &["kg", "lb"],
        &["l", "ml"],
        &["N·m", "lbf ft"],
        &["bar", "kPa", "psi"],
    ];
    // A figure is of the kind that the plan has it in; of none that it does not say.
    let of_kind = |own: &&str| kinds.into_iter().find(|kind| kind.contains(own));
    let fitting: Vec<&'static str> = match own.as_ref().and_then(of_kind) {
        Some(kind) => kind.to_vec(),
        None => kinds.concat(),
    };
    let others = fitting.into_iter().filter(|unit| Some(*unit) != own);
    own.into_iter().chain(others).collect()
}

/// One reading of what lies on the scale together. The vehicle itself is read at its corners, on a sheet.
fn weighed(binding: &Binding<'_>, things: &[Said<Load>], with: Option<Said<Id<Scale>>>) -> Option<Blank> {
    let named: Vec<Named> = things
        .iter()
        .map(|load| match load.value {
            Load::Thing(thing) => Some(Named {
                name: name_of(binding, thing),
                called: binding.plan.called(thing),
            }),
            Load::Vehicle(_) => None,
        })
        .collect::<Option<_>>()?;
    let (cell, _) = weighing::at_the_act(binding, things, with)?;
    let WeighCell::Blank { unit, .. } = cell else {
        return None;
    };
    let list = |each: fn(&Named) -> &str| named.iter().map(each).collect::<Vec<_>>().join(", ");
    let (first, other) = if unit == "lb" { ("lb", "kg") } else { ("kg", "lb") };
    Some(Blank {
        writes: format!("reads {}", list(|named| &named.name)),
        called: list(|named| &named.called),
        units: vec![first, other],
        range: weighing::range(binding, things).map(|(low, high)| {
            let in_first = |kg: f64| if first == "lb" { kg / KG_A_POUND } else { kg };
            (in_first(low), in_first(high))
        }),
    })
}

fn name_of(binding: &Binding<'_>, thing: Thing) -> String {
    match thing {
        Thing::Part(id) => binding.plan.parts[id].head.name.to_string(),
        Thing::Assembly(id) => binding.plan.assemblies[id].head.name.to_string(),
    }
}
