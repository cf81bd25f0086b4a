//! An act as data: its verb, and all that it names, in the order of its line. What it does to the machine is the walk's business.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use serde::Serialize;

use super::context::{Context, Ref, refer};
use crate::plan::model::{
    Does, Fixings, FreeName, Head, Id, Joint, Load, OpeningAct, Said, Seat, Thing, Tool,
};

/// A thing that an act names; for some of a joint's fixings how many.
#[derive(Serialize)]
pub(super) struct Named<'a> {
    #[serde(flatten)]
    what: Ref<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
}

/// As a plan writes it.
pub(super) fn verb(does: &Does) -> &'static str {
    match does {
        Does::Slacken(_) => "slacken",
        Does::Undo(_) => "undo",
        Does::Start(_) => "start",
        Does::Tighten(_) => "tighten",
        Does::Pin { .. } => "pin",
        Does::Break { .. } => "break",
        Does::Hold { .. } => "hold",
        Does::Touch { .. } => "touch",
        Does::Release { .. } => "release",
        Does::TieUp { .. } => "tie up",
        Does::Untie(_) => "untie",
        Does::Raise { .. } => "raise",
        Does::Set { .. } => "set",
        Does::Lower { .. } => "lower",
        Does::Tilt { .. } => "tilt",
        Does::Draw { .. } => "draw",
        Does::SlideHome(_) => "slide home",
        Does::PressApart { .. } => "press apart",
        Does::PressHome { .. } => "press home",
        Does::MoveAside(_) => "move aside",
        Does::MoveBack(_) => "move back",
        Does::TakeOff(_) => "take off",
        Does::Fit(_) => "fit",
        Does::Try(_) => "try",
        Does::Drain { .. } => "drain",
        Does::Fill { .. } => "fill",
        Does::Bleed(_) => "bleed",
        Does::Opening { act, .. } => match act {
            OpeningAct::Clamp => "clamp",
            OpeningAct::Cap => "cap",
            OpeningAct::Plug => "plug",
            OpeningAct::Unclamp => "unclamp",
            OpeningAct::Uncap => "uncap",
            OpeningAct::Unplug => "unplug",
        },
        Does::Weigh { .. } => "weigh",
        Does::Measure { .. } => "measure",
        Does::Photograph(_) => "photograph",
        Does::Mark(_) => "mark",
        Does::Tag(_) => "tag",
        Does::Judge { .. } => "judge",
        Does::Soak(_) => "soak",
        Does::Look(_) => "look",
        Does::MakeUp(_) => "make up",
        Does::Verify { .. } => "verify",
    }
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

    fn fixings(&mut self, all: &[Fixings]) {
        for fixings in all {
            self.all.push(Named {
                what: refer("joint", &self.context.plan.joints[fixings.joint.value].head),
                count: fixings.count.map(|said| said.value),
            });
        }
    }

    fn joints(&mut self, all: &[Said<Id<Joint>>]) {
        for said in all {
            self.head("joint", &self.context.plan.joints[said.value].head);
        }
    }

    fn loads(&mut self, all: &[Said<Load>]) {
        for said in all {
            self.push(self.context.load(said.value));
        }
    }

    fn things(&mut self, all: &[Said<Thing>]) {
        for said in all {
            self.push(self.context.thing(said.value));
        }
    }

    fn tool(&mut self, tool: Option<Said<Id<Tool>>>) {
        if let Some(said) = tool {
            self.head("tool", &self.context.plan.tools[said.value].head);
        }
    }

    fn free(&mut self, kind: &'static str, all: impl IntoIterator<Item = &'a FreeName>) {
        for name in all {
            self.push(Ref {
                kind,
                name: &name.name,
            });
        }
    }

    fn act(&mut self, does: &'a Does) {
        let plan = self.context.plan;
        match does {
            Does::Slacken(all) | Does::Undo(all) | Does::Start(all) | Does::Tighten(all) => self.fixings(all),
            Does::Pin { fixings, with } => {
                self.fixings(&[*fixings]);
                self.tool(*with);
            }
            Does::Break { joint, .. } => self.joints(&[*joint]),
            Does::Hold { things, by } => {
                self.loads(things);
                self.push(self.context.bearer(by.value));
            }
            Does::Touch { things, with } => {
                self.loads(things);
                self.head("rig", &plan.rigs[with.value].head);
            }
            Does::Release { things, from } => {
                self.loads(things);
                if let Some(said) = from {
                    self.push(self.context.bearer(said.value));
                }
            }
            Does::TieUp { thing, to, .. } => self.things(&[*thing, *to]),
            Does::Raise { things, on, .. } => {
                self.loads(things);
                if let Some(said) = on {
                    self.head("rig", &plan.rigs[said.value].head);
                }
            }
            Does::Set { things, on, .. } => {
                self.loads(things);
                match on.value {
                    Seat::Rig(id) => self.head("rig", &plan.rigs[id].head),
                    Seat::Thing(thing) => self.push(self.context.thing(thing)),
                }
            }
            Does::Lower { things, .. } => self.loads(things),
            Does::Tilt { things, about, .. } => {
                self.loads(things);
                self.joints(about.as_slice());
            }
            Does::Draw { things, .. }
            | Does::Untie(things)
            | Does::SlideHome(things)
            | Does::MoveAside(things)
            | Does::MoveBack(things)
            | Does::TakeOff(things)
            | Does::Fit(things)
            | Does::Try(things) => self.things(things),
            Does::PressApart { joints, with }
            | Does::PressHome { joints, with }
            | Does::Opening { joints, with, .. } => {
                self.joints(joints);
                self.tool(*with);
            }
            Does::Drain { fluids, .. } | Does::Fill { fluids, .. } | Does::Bleed(fluids) => {
                for said in fluids {
                    self.head("fluid", &plan.fluids[said.value].head);
                }
                self.tool(does.tool());
            }
            Does::Weigh { things, with } => {
                self.loads(things);
                if let Some(said) = with {
                    self.head("scale", &plan.scales[said.value].head);
                }
            }
            Does::Measure { what, .. } => self.free("measurement", [what]),
            Does::Photograph(all) => self.free("photograph", all),
            Does::Mark(joints) | Does::Tag(joints) | Does::Soak(joints) | Does::Verify { joints, .. } => {
                self.joints(joints);
            }
            Does::Judge { part, .. } => self.head("part", &plan.parts[part.value].head),
            Does::Look(_) => {}
            Does::MakeUp(tools) => {
                for said in tools {
                    self.head("tool", &plan.tools[said.value].head);
                }
            }
        }
    }
}

pub(super) fn names<'a>(context: &Context<'a>, does: &'a Does) -> Vec<Named<'a>> {
    let mut names = Names {
        context,
        all: Vec::new(),
    };
    names.act(does);
    names.all
}
