//! What every mirror of the data form asks: names, places in the files, figures fit for JSON. Knows no table and no layout.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::BTreeMap;

use serde::Serialize;

use crate::base::quantity::{Measures, Quantity};
use crate::base::source::Span;
use crate::binder::document::Document;
use crate::compile::Compilation;
use crate::plan::model::{Bearer, Head, Id, Load, Plan, Reading, Said, Step, Text, Thing, Weighed};
use crate::reckon::mass::{MassEstimate, Origin};
use crate::weights::Weights;

/// A compilation on its way to data, with the numbers that its binder carries.
pub(super) struct Context<'a> {
    pub(super) compilation: &'a Compilation,
    pub(super) plan: &'a Plan,
    pub(super) weights: Weights<'a>,
    numbers: BTreeMap<Id<Step>, String>,
    bags: BTreeMap<String, usize>,
}

/// A named thing of the plan.
#[derive(Debug, Serialize, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ref<'a> {
    pub(super) kind: &'static str,
    pub(super) name: &'a str,
}

/// File and line, from 1.
#[derive(Serialize, Clone, Copy)]
pub(super) struct Place<'a> {
    pub(super) file: &'a str,
    pub(super) line: usize,
}

/// What every declared thing has.
#[derive(Serialize)]
pub(super) struct Common<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(flatten)]
    place: Place<'a>,
    shared: bool,
    notes: Vec<&'a str>,
}

/// Said without a word, or with words: `true` or a text.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum Remark<'a> {
    Said(bool),
    Words(&'a str),
}

/// A mass as it was reckoned.
#[derive(Serialize)]
pub(super) struct Reckoned {
    mass_kg: f64,
    /// One standard deviation.
    uncertainty_kg: f64,
    origin: &'static str,
}

impl<'a> Context<'a> {
    pub(super) fn new(compilation: &'a Compilation, document: &Document) -> Self {
        let plan = &compilation.plan;
        Self {
            compilation,
            plan,
            weights: compilation.weights(),
            numbers: document.kept.numbers(plan),
            bags: document.kept.bags.clone(),
        }
    }

    /// As it stands on paper: "2.8".
    pub(super) fn number(&self, step: Id<Step>) -> String {
        let known = self.numbers.get(&step);
        known.cloned().unwrap_or_else(|| self.plan.step_number(step))
    }

    /// The number of the bag that a joint's hardware goes into.
    pub(super) fn bag(&self, joint: &Head) -> Option<usize> {
        self.bags.get(&*joint.name).copied()
    }

    pub(super) fn place(&self, span: Span) -> Place<'a> {
        self.compilation
            .sources
            .get(span.source)
            .map_or(Place { file: "", line: 1 }, |source| Place {
                file: source.path(),
                line: source.line_of(span.start) + 1,
            })
    }

    pub(super) fn common(&self, head: &'a Head) -> Common<'a> {
        Common {
            name: &head.name,
            title: head.title.as_deref(),
            place: self.place(head.at),
            shared: head.shared,
            notes: head.notes.iter().map(|note| &*note.text).collect(),
        }
    }

    pub(super) fn thing(&self, thing: Thing) -> Ref<'a> {
        match thing {
            Thing::Part(id) => refer("part", &self.plan.parts[id].head),
            Thing::Assembly(id) => refer("assembly", &self.plan.assemblies[id].head),
        }
    }

    pub(super) fn load(&self, load: Load) -> Ref<'a> {
        match load {
            Load::Thing(thing) => self.thing(thing),
            Load::Vehicle(id) => refer("vehicle", &self.plan.vehicles[id].head),
        }
    }

    pub(super) fn bearer(&self, bearer: Bearer) -> Ref<'a> {
        match bearer {
            Bearer::Rig(id) => refer("rig", &self.plan.rigs[id].head),
            Bearer::Person(id) => refer("person", &self.plan.people[id].head),
        }
    }

    pub(super) fn weighed(&self, weighed: Weighed) -> Ref<'a> {
        match weighed {
            Weighed::Thing(thing) => self.thing(thing),
            Weighed::Hardware(id) => refer("hardware", &self.plan.joints[id].head),
            Weighed::Vehicle(id) => refer("vehicle", &self.plan.vehicles[id].head),
        }
    }

    /// The title of what lies on a scale.
    pub(super) fn called(&self, weighed: Weighed) -> String {
        match weighed {
            Weighed::Thing(thing) => self.plan.called(thing),
            Weighed::Hardware(id) => self.plan.joints[id].head.called(),
            Weighed::Vehicle(id) => self.plan.vehicles[id].head.called(),
        }
    }
}

pub(super) fn refer<'a>(kind: &'static str, head: &'a Head) -> Ref<'a> {
    Ref {
        kind,
        name: &head.name,
    }
}

/// Names out of a list of mentions.
pub(super) fn names<'a, T>(all: &[Said<Id<T>>], head: impl Fn(Id<T>) -> &'a Head) -> Vec<&'a str> {
    all.iter().map(|said| &*head(said.value).name).collect()
}

pub(super) fn text(said: Option<&Said<Text>>) -> Option<&str> {
    said.map(|said| &*said.value)
}

pub(super) fn texts(all: &[Said<Text>]) -> Vec<&str> {
    all.iter().map(|said| &*said.value).collect()
}

pub(super) fn remark(said: Option<&Said<Option<Text>>>) -> Option<Remark<'_>> {
    said.map(|said| match &said.value {
        Some(words) => Remark::Words(words),
        None => Remark::Said(true),
    })
}

/// In base units.
pub(super) fn base<D: Measures>(said: Option<Said<Quantity<D>>>) -> Option<f64> {
    said.map(|said| said.value.base())
}

/// A figure, and whether the plan says that it is still to come.
pub(super) fn reading<D: Measures>(reading: Option<Reading<Quantity<D>>>) -> (Option<f64>, bool) {
    match reading {
        Some(Reading::Is(value)) => (Some(value.base()), false),
        Some(Reading::ToCome) => (None, true),
        None => (None, false),
    }
}

/// To the millionth, so that the last bit of a root is no news; none for what is no number.
pub(super) fn fine(value: f64) -> Option<f64> {
    let fine = (value * 1e6).round() / 1e6;
    // No nothing with a sign.
    fine.is_finite().then_some(fine + 0.0)
}

pub(super) fn reckoned(estimate: &MassEstimate) -> Option<Reckoned> {
    Some(Reckoned {
        mass_kg: fine(estimate.kg)?,
        uncertainty_kg: fine(estimate.u())?,
        origin: origin(estimate.origin),
    })
}

pub(super) fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Weighed => "weighed",
        Origin::Quoted => "quoted",
        Origin::Estimated => "estimated",
    }
}
