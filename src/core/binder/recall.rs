//! What was recorded on the way down (marks, tags, photographs, measured figures) and is wanted again on the
//! way back. Knows where and by which name it was recorded, and no page.

use std::collections::BTreeMap;

use super::figures;
use crate::plan::model::{Does, Id, Joint, Measured, Plan, Reading, Step, Units};

/// Something recorded by name.
#[derive(Debug)]
pub struct Record {
    pub name: String,
    pub step: Id<Step>,
    pub kind: RecordKind,
}

#[derive(Debug, PartialEq, Eq)]
pub enum RecordKind {
    Photograph,
    /// The figure, or nothing while it stands on paper alone.
    Measured(Option<String>),
}

#[derive(Debug, Default)]
pub struct Recalls {
    marked: BTreeMap<Id<Joint>, Vec<Id<Step>>>,
    tagged: BTreeMap<Id<Joint>, Vec<Id<Step>>>,
    named: Vec<Record>,
}

impl Recalls {
    #[must_use]
    pub fn of(plan: &Plan, units: Units) -> Recalls {
        let mut recalls = Recalls::default();
        for &step in &plan.order {
            for act in plan.steps[step].acts() {
                recalls.note(&act.does, step, units);
            }
        }
        recalls
    }

    fn note(&mut self, does: &Does, step: Id<Step>, units: Units) {
        match does {
            Does::Mark(joints) => {
                for joint in joints {
                    self.marked.entry(joint.value).or_default().push(step);
                }
            }
            Does::Tag(joints) => {
                for joint in joints {
                    self.tagged.entry(joint.value).or_default().push(step);
                }
            }
            Does::Photograph(names) => self.named.extend(names.iter().map(|name| Record {
                name: name.name.to_string(),
                step,
                kind: RecordKind::Photograph,
            })),
            Does::Measure { what, value } => self.named.push(Record {
                name: what.name.to_string(),
                step,
                kind: RecordKind::Measured(match value.map(|said| said.value) {
                    Some(Reading::Is(measured)) => Some(figure(measured, units)),
                    Some(Reading::ToCome) | None => None,
                }),
            }),
            // Nothing is recorded by it.
            _ => {}
        }
    }

    /// Steps in which the joint was marked.
    #[must_use]
    pub fn marked(&self, joint: Id<Joint>) -> &[Id<Step>] {
        self.marked.get(&joint).map_or(&[], Vec::as_slice)
    }

    #[must_use]
    pub fn tagged(&self, joint: Id<Joint>) -> &[Id<Step>] {
        self.tagged.get(&joint).map_or(&[], Vec::as_slice)
    }

    /// Records whose name belongs to one of these names.
    pub fn named<'a>(&'a self, names: &'a [&'a str]) -> impl Iterator<Item = &'a Record> {
        self.named
            .iter()
            .filter(move |record| names.iter().any(|name| belongs(&record.name, name)))
    }
}

/// The same name, or one goes on from the other behind a hyphen: `rack-lines` belongs to `rack`.
fn belongs(record: &str, name: &str) -> bool {
    let goes_on = |long: &str, short: &str| {
        long.strip_prefix(short)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    };
    goes_on(record, name) || goes_on(name, record)
}

/// A measured figure in both units.
#[must_use]
pub fn figure(measured: Measured, units: Units) -> String {
    match measured {
        Measured::Length(length) => figures::shown(length, units).both(),
        Measured::Angle(angle) => figures::angle(angle),
        Measured::Mass(mass) => figures::shown(mass, units).both(),
        Measured::Volume(volume) => figures::shown(volume, units).both(),
        Measured::Torque(torque) => figures::shown(torque, units).both(),
        Measured::Pressure(pressure) => figures::shown(pressure, units).both(),
    }
}

#[cfg(test)]
mod tests {
    use super::belongs;

    #[test]
    fn names_belong_by_whole_words() {
        assert!(belongs("toe", "toe"));
        assert!(belongs("rack-lines", "rack"));
        assert!(belongs("rack", "rack-hose"));
        assert!(!belongs("rack", "racket"));
        assert!(!belongs("toe", "heel"));
    }
}
