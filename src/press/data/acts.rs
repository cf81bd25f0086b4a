//! An act as data: its verb, and all that it names, in the order of its line. What it does to the machine is the walk's business.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Context, Ref, refer};
use crate::plan::model::{Bearer, Does, Head, Workpiece};
use crate::plan::vocabulary::acts::{Slot, With};

/// A thing that an act names; for some of a joint's fixings how many.
#[derive(Serialize)]
pub(super) struct Named<'a> {
    #[serde(flatten)]
    what: Ref<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
}

struct Names<'c, 'a> {
    context: &'c Context<'a>,
    all: Vec<Named<'a>>,
}

impl<'a> Names<'_, 'a> {
    fn push(&mut self, what: Ref<'a>) {
        self.all.push(Named { what, count: None });
    }

    fn head(&mut self, kind: &'static str, head: &'a Head) {
        self.push(refer(kind, head));
    }

    fn piece(&mut self, slot: Slot<'a>) {
        let plan = self.context.plan;
        match slot {
            Slot::Fixings(all) => self.all.extend(all.iter().map(|fixings| Named {
                what: refer("joint", &plan.joints[fixings.joint.value].head),
                count: fixings.count.map(|said| said.value),
            })),
            Slot::Joints(all) => all
                .iter()
                .for_each(|said| self.head("joint", &plan.joints[said.value].head)),
            Slot::Loads(all) => all
                .iter()
                .for_each(|said| self.push(self.context.load(said.value))),
            Slot::Things(all) => all
                .iter()
                .for_each(|said| self.push(self.context.thing(said.value))),
            Slot::Fluids(all) => all
                .iter()
                .for_each(|said| self.head("fluid", &plan.fluids[said.value].head)),
            Slot::Tools(all) => all
                .iter()
                .for_each(|said| self.head("tool", &plan.tools[said.value].head)),
            Slot::Workpieces(all) => all.iter().for_each(|said| match said.value {
                Workpiece::Thing(thing) => self.push(self.context.thing(thing)),
                Workpiece::Joint(joint) => self.head("joint", &plan.joints[joint].head),
            }),
            Slot::Part(part) => self.head("part", &plan.parts[part.value].head),
            Slot::Names(kind, all) => all.iter().for_each(|name| {
                self.push(Ref {
                    kind,
                    name: &name.name,
                });
            }),
            Slot::With(_, with) => match with {
                With::Rig(id) => self.push(self.context.bearer(Bearer::Rig(id))),
                With::Person(id) => self.push(self.context.bearer(Bearer::Person(id))),
                With::Tool(id) => self.head("tool", &plan.tools[id].head),
                With::Scale(id) => self.head("scale", &plan.scales[id].head),
                With::Thing(thing) => self.push(self.context.thing(thing)),
                With::Joint(id) => self.head("joint", &plan.joints[id].head),
            },
            Slot::Word(_) | Slot::Figure(..) | Slot::Text(..) => {}
        }
    }
}

pub(super) fn names<'a>(context: &Context<'a>, does: &'a Does) -> Vec<Named<'a>> {
    let mut names = Names {
        context,
        all: Vec::new(),
    };
    does.slots(&mut |slot| names.piece(slot));
    names.all
}
