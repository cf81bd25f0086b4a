//! Acts as a plan's text has them: what a reader of such a line would make of it is the act again. For steps that the program
//! writes itself. Knows nothing of what an act does.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::model::{
    Bearer, Direction, Does, End, Extent, Fixings, Head, Id, Joint, Load, Measured, OpeningAct, Plan,
    Reading, Said, Seat, Thing, Tool,
};

struct Writer<'a> {
    plan: &'a Plan,
}

/// One act on one line, without its indentation.
#[must_use]
pub fn act(plan: &Plan, does: &Does) -> String {
    Writer { plan }.act(does)
}

fn names<'a>(heads: impl IntoIterator<Item = &'a Head>) -> String {
    let names: Vec<&str> = heads.into_iter().map(|head| &*head.name).collect();
    names.join(", ")
}

fn end(end: Option<Said<End>>) -> &'static str {
    match end.map(|said| said.value) {
        Some(End::Front) => " front",
        Some(End::Rear) => " rear",
        None => "",
    }
}

fn by<T: std::fmt::Display>(word: &str, value: Option<Said<T>>) -> String {
    value.map_or_else(String::new, |said| format!(" {word} {}", said.value))
}

impl Writer<'_> {
    fn head(&self, load: Load) -> &Head {
        match load {
            Load::Thing(Thing::Part(id)) => &self.plan.parts[id].head,
            Load::Thing(Thing::Assembly(id)) => &self.plan.assemblies[id].head,
            Load::Vehicle(id) => &self.plan.vehicles[id].head,
        }
    }

    fn loads(&self, loads: &[Said<Load>]) -> String {
        names(loads.iter().map(|said| self.head(said.value)))
    }

    fn things(&self, things: &[Said<Thing>]) -> String {
        names(things.iter().map(|said| self.head(Load::Thing(said.value))))
    }

    fn joints(&self, joints: &[Said<Id<Joint>>]) -> String {
        names(joints.iter().map(|said| &self.plan.joints[said.value].head))
    }

    fn fixings(&self, all: &[Fixings]) -> String {
        let one = |fixings: &Fixings| {
            let name = &self.plan.joints[fixings.joint.value].head.name;
            match fixings.count {
                Some(count) => format!("{} of {name}", count.value),
                None => name.to_string(),
            }
        };
        all.iter().map(one).collect::<Vec<_>>().join(", ")
    }

    fn with(&self, tool: Option<Said<Id<Tool>>>, word: &str) -> String {
        tool.map_or_else(String::new, |tool| {
            format!(" {word} {}", self.plan.tools[tool.value].head.name)
        })
    }

    fn seat(&self, seat: Seat) -> &str {
        match seat {
            Seat::Rig(rig) => &self.plan.rigs[rig].head.name,
            Seat::Thing(thing) => &self.head(Load::Thing(thing)).name,
        }
    }

    fn act(&self, does: &Does) -> String {
        match does {
            Does::Slacken(all) => format!("slacken {}", self.fixings(all)),
            Does::Undo(all) => format!("undo {}", self.fixings(all)),
            Does::Start(all) => format!("start {}", self.fixings(all)),
            Does::Tighten(all) => format!("tighten {}", self.fixings(all)),
            Does::Pin { fixings, with } => {
                format!("pin {}{}", self.fixings(&[*fixings]), self.with(*with, "with"))
            }
            Does::Break { joint, how } => {
                let how = how.as_ref().map_or_else(String::new, |how| format!(" \"{how}\""));
                format!("break {}{how}", self.joints(&[*joint]))
            }
            Does::Hold { things, by } => match by.value {
                Bearer::Rig(rig) => format!(
                    "hold {} with {}",
                    self.loads(things),
                    self.plan.rigs[rig].head.name
                ),
                Bearer::Person(person) => {
                    format!(
                        "hold {} by {}",
                        self.loads(things),
                        self.plan.people[person].head.name
                    )
                }
            },
            Does::Touch { things, with } => {
                format!(
                    "touch {} with {}",
                    self.loads(things),
                    self.plan.rigs[with.value].head.name
                )
            }
            Does::Release { things, from } => {
                let from = from.map_or_else(String::new, |from| match from.value {
                    Bearer::Rig(rig) => format!(" from {}", self.plan.rigs[rig].head.name),
                    Bearer::Person(person) => format!(" from {}", self.plan.people[person].head.name),
                });
                format!("release {}{from}", self.loads(things))
            }
            Does::TieUp { thing, to, limit } => {
                let limit = limit.map_or_else(String::new, |said| format!(", {}", said.value));
                format!(
                    "tie up {} to {}{limit}",
                    self.things(&[*thing]),
                    self.things(&[*to])
                )
            }
            Does::Untie(things) => format!("untie {}", self.things(things)),
            Does::Raise {
                things,
                end: which,
                on,
                at,
                to,
                by: up,
            } => {
                let on = on.map_or_else(String::new, |rig| {
                    format!(" on {}", self.plan.rigs[rig.value].head.name)
                });
                let at = at.map_or("", |at| match at.value {
                    End::Front => " at jacking front",
                    End::Rear => " at jacking rear",
                });
                let (to, up) = (by("to", *to), by("by", *up));
                format!("raise {}{}{on}{at}{to}{up}", self.loads(things), end(*which))
            }
            Does::Set {
                things,
                end: which,
                down,
                on,
            } => {
                let down = if down.is_some() { " down" } else { "" };
                format!(
                    "set {}{}{down} on {}",
                    self.loads(things),
                    end(*which),
                    self.seat(on.value)
                )
            }
            Does::Lower { things, by: down } => format!("lower {}{}", self.loads(things), by("by", *down)),
            Does::Tilt {
                things,
                about,
                by: far,
                back,
            } => {
                let back = if *back { " back" } else { "" };
                let about = about.map_or_else(String::new, |joint| {
                    format!(" about {}", self.plan.joints[joint.value].head.name)
                });
                let far = far.map_or_else(String::new, |far| match far.value {
                    Extent::Length(length) => format!(" by {length}"),
                    Extent::Angle(angle) => format!(" by {angle}"),
                });
                format!("tilt {}{back}{about}{far}", self.loads(things))
            }
            Does::Draw {
                things,
                direction,
                by,
            } => {
                let direction = match direction.value {
                    Direction::Forward => "forward",
                    Direction::Back => "back",
                    Direction::Left => "left",
                    Direction::Right => "right",
                    Direction::Up => "up",
                    Direction::Down => "down",
                };
                format!("draw {} {direction} {}", self.things(things), by.value)
            }
            Does::SlideHome(things) => format!("slide home {}", self.things(things)),
            Does::PressApart { joints, with } => {
                format!("press apart {}{}", self.joints(joints), self.with(*with, "with"))
            }
            Does::PressHome { joints, with } => {
                format!("press home {}{}", self.joints(joints), self.with(*with, "with"))
            }
            Does::MoveAside(things) => format!("move aside {}", self.things(things)),
            Does::MoveBack(things) => format!("move back {}", self.things(things)),
            Does::TakeOff(things) => format!("take off {}", self.things(things)),
            Does::Fit(things) => format!("fit {}", self.things(things)),
            Does::Try(things) => format!("try {}", self.things(things)),
            Does::Drain { fluids, into } => {
                let fluids = names(fluids.iter().map(|fluid| &self.plan.fluids[fluid.value].head));
                format!("drain {fluids}{}", self.with(*into, "into"))
            }
            Does::Fill { fluids, with } => {
                let fluids = names(fluids.iter().map(|fluid| &self.plan.fluids[fluid.value].head));
                format!("fill {fluids}{}", by("with", *with))
            }
            Does::Bleed(fluids) => {
                format!(
                    "bleed {}",
                    names(fluids.iter().map(|fluid| &self.plan.fluids[fluid.value].head))
                )
            }
            Does::Opening { act, joints, with } => {
                let act = match act {
                    OpeningAct::Clamp => "clamp",
                    OpeningAct::Cap => "cap",
                    OpeningAct::Plug => "plug",
                    OpeningAct::Unclamp => "unclamp",
                    OpeningAct::Uncap => "uncap",
                    OpeningAct::Unplug => "unplug",
                };
                format!("{act} {}{}", self.joints(joints), self.with(*with, "with"))
            }
            Does::Weigh { things, with } => {
                let with = with.map_or_else(String::new, |scale| {
                    format!(" with {}", self.plan.scales[scale.value].head.name)
                });
                format!("weigh {}{with}", self.loads(things))
            }
            Does::Measure { what, value } => {
                let value = value.map_or_else(String::new, |said| format!(" {}", measured(said.value)));
                format!("measure {}{value}", what.name)
            }
            Does::Photograph(all) => {
                let names: Vec<&str> = all.iter().map(|name| &*name.name).collect();
                format!("photograph {}", names.join(", "))
            }
            Does::Mark(joints) => format!("mark {}", self.joints(joints)),
            Does::Tag(joints) => format!("tag {}", self.joints(joints)),
            Does::Judge { part, keep_if } => {
                let keep = keep_if
                    .as_ref()
                    .map_or_else(String::new, |keep| format!(": keep if \"{keep}\", else renew"));
                format!("judge {}{keep}", self.plan.parts[part.value].head.name)
            }
            Does::Soak(joints) => format!("soak {}", self.joints(joints)),
            Does::Look(what) => format!("look \"{what}\""),
            Does::MakeUp(tools) => {
                format!(
                    "make up {}",
                    names(tools.iter().map(|tool| &self.plan.tools[tool.value].head))
                )
            }
            Does::Verify { joints, what } => {
                let what = what.as_ref().map(|what| format!("\"{what}\""));
                let named = (!joints.is_empty()).then(|| self.joints(joints));
                let rest: Vec<String> = named.into_iter().chain(what).collect();
                format!("verify {}", rest.join(" ")).trim_end().to_owned()
            }
        }
    }
}

fn measured(reading: Reading<Measured>) -> String {
    match reading {
        Reading::ToCome => "to come".to_owned(),
        Reading::Is(value) => match value {
            Measured::Length(value) => value.to_string(),
            Measured::Angle(value) => value.to_string(),
            Measured::Mass(value) => value.to_string(),
            Measured::Volume(value) => value.to_string(),
            Measured::Torque(value) => value.to_string(),
            Measured::Pressure(value) => value.to_string(),
        },
    }
}
