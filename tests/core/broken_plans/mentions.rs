//! What an act names: the names of its list, each with its place in the text, and the others. Knows the acts of the language and
//! not what they do.

use std::collections::BTreeMap;

use boltfolio_core::base::source::Span;
use boltfolio_core::plan::model::{
    Act, Bearer, Does, Fixings, Head, Id, Joint, Load, Part, Plan, Said, Seat, Thing, Workpiece,
};

/// What one act names.
#[derive(Debug, Default)]
pub struct Named {
    /// Words of its list, in order, each with the names that it stands for: `both doors` is one word of two.
    pub list: Vec<(Span, Vec<String>)>,
    /// Every name, those of an assembly's parts too.
    pub all: Vec<String>,
    pub joints: Vec<Id<Joint>>,
    pub parts: Vec<Id<Part>>,
    /// The vehicle itself, or an end of it.
    pub vehicle: bool,
}

struct Reading<'a> {
    plan: &'a Plan,
    words: BTreeMap<(u32, u32), (Span, Vec<String>)>,
    named: Named,
}

impl Reading<'_> {
    fn word(&mut self, at: Span, name: &str) {
        let word = self.words.entry((at.start, at.end)).or_insert((at, Vec::new()));
        word.1.push(name.to_owned());
        self.also(name);
    }

    fn also(&mut self, name: &str) {
        self.named.all.push(name.to_owned());
    }

    fn head(&mut self, at: Option<Span>, head: &Head) {
        match at {
            Some(at) => self.word(at, &head.name),
            None => self.also(&head.name),
        }
    }

    fn joint(&mut self, at: Option<Span>, joint: Id<Joint>) {
        let plan = self.plan;
        self.named.joints.push(joint);
        self.head(at, &plan.joints[joint].head);
    }

    fn fixings(&mut self, list: &[Fixings]) {
        for one in list {
            let at = one.count.map_or(one.joint.at, |count| count.at.to(one.joint.at));
            self.joint(Some(at), one.joint.value);
        }
    }

    fn part(&mut self, at: Option<Span>, part: Id<Part>) {
        let plan = self.plan;
        self.named.parts.push(part);
        self.head(at, &plan.parts[part].head);
    }

    fn thing(&mut self, at: Option<Span>, thing: Thing) {
        let plan = self.plan;
        match thing {
            Thing::Part(part) => self.part(at, part),
            Thing::Assembly(set) => {
                self.head(at, &plan.assemblies[set].head);
                for &part in &plan.assemblies[set].parts {
                    self.part(None, part);
                }
            }
        }
    }

    fn load(&mut self, at: Option<Span>, load: Load) {
        let plan = self.plan;
        match load {
            Load::Thing(thing) => self.thing(at, thing),
            Load::Vehicle(vehicle) => {
                self.named.vehicle = true;
                self.head(at, &plan.vehicles[vehicle].head);
            }
        }
    }

    fn loads(&mut self, list: &[Said<Load>]) {
        for load in list {
            self.load(Some(load.at), load.value);
        }
    }

    fn things(&mut self, list: &[Said<Thing>]) {
        for thing in list {
            self.thing(Some(thing.at), thing.value);
        }
    }

    fn joints(&mut self, list: &[Said<Id<Joint>>]) {
        for joint in list {
            self.joint(Some(joint.at), joint.value);
        }
    }

    fn bearer(&mut self, bearer: Bearer) {
        let plan = self.plan;
        match bearer {
            Bearer::Rig(rig) => self.also(&plan.rigs[rig].head.name),
            Bearer::Person(person) => self.also(&plan.people[person].head.name),
        }
    }

    fn free(&mut self, name: &str, at: Option<Span>) {
        let joint = self
            .plan
            .joints
            .iter()
            .find(|(_, joint)| *joint.head.name == *name);
        match (joint, at) {
            (Some((joint, _)), at) => self.joint(at, joint),
            (None, Some(at)) => self.word(at, name),
            (None, None) => self.also(name),
        }
    }

    fn act(&mut self, act: &Act) {
        let plan = self.plan;
        match &act.does {
            Does::Slacken(list)
            | Does::Undo(list)
            | Does::Start(list)
            | Does::Join { all: list, .. }
            | Does::Tighten(list) => {
                self.fixings(list);
            }
            Does::Pin { fixings, .. } => self.joint(None, fixings.joint.value),
            Does::Break { joint, .. } => self.joint(None, joint.value),
            Does::Hold { things, by } => {
                self.loads(things);
                self.bearer(by.value);
            }
            Does::Steady { things, by } => {
                self.loads(things);
                self.bearer(Bearer::Person(by.value));
            }
            Does::Touch { things, with } => {
                self.loads(things);
                self.bearer(Bearer::Rig(with.value));
            }
            Does::Release { things, from } => {
                self.loads(things);
                if let Some(from) = from {
                    self.bearer(from.value);
                }
            }
            Does::TieUp { thing, to, .. } => {
                self.thing(None, thing.value);
                // What it is tied to stays what it is: it is named, and not handled.
                let to = match to.value {
                    Thing::Part(part) => &plan.parts[part].head,
                    Thing::Assembly(set) => &plan.assemblies[set].head,
                };
                self.also(&to.name);
            }
            Does::Untie(list)
            | Does::SlideHome(list)
            | Does::MoveAside(list)
            | Does::MoveBack(list)
            | Does::TakeOff(list)
            | Does::Fit(list)
            | Does::Try(list)
            | Does::Draw { things: list, .. } => self.things(list),
            Does::Raise { things, on, .. } => {
                self.loads(things);
                if let Some(on) = on {
                    self.bearer(Bearer::Rig(on.value));
                }
            }
            Does::Set { things, on, .. } => {
                self.loads(things);
                match on.value {
                    Seat::Rig(rig) => self.bearer(Bearer::Rig(rig)),
                    Seat::Thing(thing) => self.thing(None, thing),
                }
            }
            Does::Lower { things, .. } => self.loads(things),
            Does::Tilt { things, about, .. } => {
                self.loads(things);
                // No name to leave out: it turns on something.
                for about in about {
                    self.joint(None, about.value);
                }
            }
            Does::PressApart { joints, .. } | Does::PressHome { joints, .. } => self.joints(joints),
            Does::Opening { joints, .. } => self.joints(joints),
            // It names nothing.
            Does::WaitFor { .. } => {}
            Does::Mark(joints) | Does::Tag(joints) | Does::Soak(joints) | Does::Wait(joints) => {
                self.joints(joints)
            }
            Does::Drain { fluids, .. } | Does::Fill { fluids, .. } | Does::Bleed(fluids) => {
                for fluid in fluids {
                    self.head(Some(fluid.at), &plan.fluids[fluid.value].head);
                }
            }
            Does::Weigh { things, .. } | Does::Run(things) | Does::Drive(things) => self.loads(things),
            Does::Measure { what, .. } => self.free(&what.name, None),
            Does::Photograph(list) => {
                for what in list {
                    self.free(&what.name, Some(what.at));
                }
            }
            Does::Judge { part, .. } => self.part(None, part.value),
            Does::Work { on, .. } => {
                for piece in on {
                    match piece.value {
                        Workpiece::Thing(thing) => self.thing(Some(piece.at), thing),
                        Workpiece::Joint(joint) => self.joint(Some(piece.at), joint),
                    }
                }
            }
            Does::Look(_) => {}
            Does::MakeUp(tools) => {
                for tool in tools {
                    self.head(Some(tool.at), &plan.tools[tool.value].head);
                }
            }
            Does::Verify { joints, .. } => self.joints(joints),
        }
    }
}

pub fn named(plan: &Plan, act: &Act) -> Named {
    let mut reading = Reading {
        plan,
        words: BTreeMap::new(),
        named: Named::default(),
    };
    reading.act(act);
    let mut named = reading.named;
    named.list = reading.words.into_values().collect();
    named
}
