//! What an act names: joints, things, rigs, tools, fluids, people. One list for all that ask where
//! something is used. Knows nothing of wording.

use super::model::{
    Bearer, Caution, Does, Fluid, Id, Joint, Load, Person, Plan, Rig, Said, Scale, Seat, Thing, Tool,
};

/// All that one act names, in the order written.
#[derive(Debug, Default)]
pub struct Mentions {
    pub joints: Vec<Id<Joint>>,
    pub loads: Vec<Load>,
    pub rigs: Vec<Id<Rig>>,
    pub tools: Vec<Id<Tool>>,
    pub fluids: Vec<Id<Fluid>>,
    pub scales: Vec<Id<Scale>>,
    pub people: Vec<Id<Person>>,
}

impl Mentions {
    fn loads(mut self, loads: &[Said<Load>]) -> Self {
        self.loads.extend(loads.iter().map(|said| said.value));
        self
    }

    fn things(mut self, things: &[Said<Thing>]) -> Self {
        self.loads
            .extend(things.iter().map(|said| Load::Thing(said.value)));
        self
    }

    fn joints(mut self, joints: &[Said<Id<Joint>>]) -> Self {
        self.joints.extend(joints.iter().map(|said| said.value));
        self
    }

    fn fluids(mut self, fluids: &[Said<Id<Fluid>>]) -> Self {
        self.fluids.extend(fluids.iter().map(|said| said.value));
        self
    }

    fn tool(mut self, tool: Option<Said<Id<Tool>>>) -> Self {
        self.tools.extend(tool.map(|said| said.value));
        self
    }

    fn rig(mut self, rig: Option<Said<Id<Rig>>>) -> Self {
        self.rigs.extend(rig.map(|said| said.value));
        self
    }

    fn bearer(mut self, bearer: Option<Said<Bearer>>) -> Self {
        match bearer.map(|said| said.value) {
            Some(Bearer::Rig(rig)) => self.rigs.push(rig),
            Some(Bearer::Person(person)) => self.people.push(person),
            None => {}
        }
        self
    }
}

#[must_use]
pub fn of(does: &Does) -> Mentions {
    let none = Mentions::default();
    match does {
        Does::Slacken(all) | Does::Undo(all) | Does::Start(all) | Does::Tighten(all) => Mentions {
            joints: all.iter().map(|fixings| fixings.joint.value).collect(),
            ..none
        },
        Does::Pin { fixings, with } => none.joints(&[fixings.joint]).tool(*with),
        Does::Break { joint, .. } => none.joints(&[*joint]),
        Does::Hold { things, by } => none.loads(things).bearer(Some(*by)),
        Does::Touch { things, with } => none.loads(things).rig(Some(*with)),
        Does::Release { things, from } => none.loads(things).bearer(*from),
        Does::TieUp { thing, to, .. } => none.things(&[*thing, *to]),
        Does::Untie(things)
        | Does::SlideHome(things)
        | Does::MoveAside(things)
        | Does::MoveBack(things)
        | Does::TakeOff(things)
        | Does::Fit(things)
        | Does::Try(things)
        | Does::Draw { things, .. } => none.things(things),
        Does::Raise { things, on, .. } => none.loads(things).rig(*on),
        Does::Set { things, on, .. } => match on.value {
            Seat::Rig(rig) => none.loads(things).rig(Some(Said::new(rig, on.at))),
            Seat::Thing(thing) => none.loads(things).things(&[Said::new(thing, on.at)]),
        },
        Does::Lower { things, .. } => none.loads(things),
        Does::Tilt { things, about, .. } => {
            let about: Vec<_> = about.iter().copied().collect();
            none.loads(things).joints(&about)
        }
        Does::PressApart { joints, with } | Does::PressHome { joints, with } => {
            none.joints(joints).tool(*with)
        }
        Does::Opening { joints, with, .. } => none.joints(joints).tool(*with),
        Does::Drain { fluids, into } => none.fluids(fluids).tool(*into),
        Does::Fill { fluids, .. } | Does::Bleed(fluids) => none.fluids(fluids),
        Does::Weigh { things, with } => Mentions {
            scales: with.iter().map(|said| said.value).collect(),
            ..none.loads(things)
        },
        Does::Mark(joints) | Does::Tag(joints) | Does::Soak(joints) | Does::Verify { joints, .. } => {
            none.joints(joints)
        }
        Does::Judge { part, .. } => none.things(&[Said::new(Thing::Part(part.value), part.at)]),
        Does::MakeUp(tools) => Mentions {
            tools: tools.iter().map(|said| said.value).collect(),
            ..none
        },
        Does::Measure { .. } | Does::Photograph(_) | Does::Look(_) => none,
    }
}

/// The cautions that rigs and things carry with them, of all that an act names.
#[must_use]
pub fn cautions(plan: &Plan, does: &Does) -> Vec<Id<Caution>> {
    let named = of(does);
    let of_rigs = named.rigs.iter().flat_map(|&rig| &plan.rigs[rig].cautions);
    let of_things = named.loads.iter().flat_map(|load| match load {
        Load::Thing(Thing::Part(part)) => plan.parts[*part].cautions.as_slice(),
        Load::Thing(Thing::Assembly(assembly)) => plan.assemblies[*assembly].cautions.as_slice(),
        Load::Vehicle(_) => &[],
    });
    of_rigs.chain(of_things).map(|said| said.value).collect()
}
