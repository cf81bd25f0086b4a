//! Through what a spring pushes: from the things that it is in to the body, and to what bears the wheels. A joint of these paths lets it go as
//! surely as the one that the plan names. Looked up in the declared machine once, and in the state of the moment by searches that end at the body.

use std::collections::BTreeSet;

use super::breaks::{Broken, Subject};
use super::layout::Layout;
use super::springs::Keeping;
use super::state::{Holder, Stand};
use super::support::View;
use super::walker::Walker;
use crate::plan::model::{End, Energy, EnergyKind, Id, Joint, Part, Plan};

/// What the declared machine tells of one spring.
#[derive(Debug, Default, Clone)]
pub struct Paths {
    /// Keepers that tie a thing that it is in to another one.
    pub chains: Vec<Chain>,
    /// It pushes against the body: keepers lead to two other things at least. One that a single nut holds together, as a strut's, pushes against
    /// itself, and may leave whole.
    pub pushes_body: bool,
    /// It bears the wheels of this end, through the parts that these stand on.
    pub bears: Option<(End, Vec<Id<Part>>)>,
}

#[derive(Debug, Clone, Copy)]
pub struct Chain {
    pub joint: Id<Joint>,
    pub near: Id<Part>,
    pub far: Id<Part>,
    /// Without the keepers and what it is in, the one and the other hang on the body.
    pub near_holds: bool,
    pub far_holds: bool,
    /// It leads to the body itself and others do not, and nothing else does that is no keeper: what the thing turns on, which keeps in no spring by itself.
    pub pivot: bool,
}

/// Looks from a part along joints, never through `around`. Whether it comes to the body, and all that it came to.
fn look(
    layout: &Layout,
    from: &[Id<Part>],
    around: &BTreeSet<Id<Part>>,
    tied: impl Fn(Id<Joint>) -> bool,
    ends_at: impl Fn(Id<Part>) -> bool,
) -> (bool, BTreeSet<Id<Part>>) {
    let mut all: BTreeSet<Id<Part>> = from.iter().copied().collect();
    let mut open: Vec<Id<Part>> = from.to_vec();
    while let Some(here) = open.pop() {
        layout.looked.add(1);
        if ends_at(here) {
            return (true, all);
        }
        for &joint in &layout.parts[here].joints {
            let facts = &layout.joints[joint];
            let Some(other) = facts.other(here) else { continue };
            let stiff = facts.rigid && !facts.line && !facts.lead;
            if stiff && tied(joint) && !around.contains(&other) && all.insert(other) {
                open.push(other);
            }
        }
    }
    (false, all)
}

impl Paths {
    /// What the declared machine tells of a spring, and the joints that it hangs on.
    pub fn of(
        plan: &Plan,
        layout: &Layout,
        energy: Id<Energy>,
        keeping: &Keeping,
    ) -> (Self, BTreeSet<Id<Joint>>) {
        let mut paths = Paths::default();
        let spring = plan.energies[energy]
            .kind
            .is_some_and(|kind| kind.value == EnergyKind::Spring);
        if !spring {
            return (paths, BTreeSet::new());
        }
        let parts: BTreeSet<Id<Part>> = keeping.parts.iter().copied().collect();
        let keepers: BTreeSet<Id<Joint>> = keeping.joints.iter().copied().collect();
        let body = |part: Id<Part>| layout.body == Some(part);
        let mut near: BTreeSet<Id<Part>> = BTreeSet::new();
        for &joint in &keeping.joints {
            let Some([a, b]) = layout.joints[joint].ends else {
                continue;
            };
            let (own, far) = match (parts.contains(&a), parts.contains(&b)) {
                (true, false) => (a, b),
                (false, true) => (b, a),
                _ => continue,
            };
            let mut others = parts.clone();
            others.remove(&own);
            // What is to come in place of something is not there yet.
            let to_come = |joint: Id<Joint>| {
                let facts = &layout.joints[joint];
                let comes = |end: Id<Part>| layout.parts[end].in_place_of.is_some();
                facts.in_place_of.is_some() || facts.ends.into_iter().flatten().any(comes)
            };
            let open = |joint: Id<Joint>| !keepers.contains(&joint) && !to_come(joint);
            let (near_holds, by_near) = look(layout, &[own], &others, open, body);
            let (far_holds, by_far) = look(layout, &[far], &parts, open, body);
            near.extend(by_near);
            near.extend(by_far);
            paths.chains.push(Chain {
                joint,
                near: own,
                far,
                near_holds,
                far_holds,
                pivot: false,
            });
        }
        let others = paths.chains.iter().any(|chain| !body(chain.far));
        for chain in &mut paths.chains {
            chain.pivot = others && body(chain.far) && !chain.near_holds;
            chain.near_holds |= chain.pivot;
        }
        let far: BTreeSet<Id<Part>> = paths.chains.iter().map(|chain| chain.far).collect();
        paths.pushes_body = far.len() > 1;
        paths.bears = bears(plan, layout, &parts);
        near.extend(&parts);
        near.retain(|part| !body(*part));
        let joints = near.iter().flat_map(|&part| &layout.parts[part].joints);
        (paths, joints.copied().collect())
    }
}

/// The end whose wheels hang on these parts, if they lead to the body as well.
fn bears(plan: &Plan, layout: &Layout, parts: &BTreeSet<Id<Part>>) -> Option<(End, Vec<Id<Part>>)> {
    let borne_on = plan.vehicles[layout.vehicle?].borne_on;
    for (end, bearer) in [(End::Front, borne_on.front), (End::Rear, borne_on.rear)] {
        let Some(bearer) = bearer else { continue };
        let wheels = plan.parts_of(bearer.value);
        let body: BTreeSet<Id<Part>> = layout.body.into_iter().collect();
        let from: Vec<Id<Part>> = parts.iter().copied().collect();
        let (_, reached) = look(layout, &from, &body, |_| true, |_| false);
        let wheels: Vec<Id<Part>> = wheels.into_iter().filter(|part| reached.contains(part)).collect();
        if wheels.is_empty() || wheels.iter().any(|wheel| parts.contains(wheel)) {
            continue;
        }
        let (_, side) = look(
            layout,
            &wheels,
            &body.union(parts).copied().collect(),
            |_| true,
            |_| false,
        );
        let at_body = |part| layout.body == Some(part);
        if look(layout, &from, &side, |_| true, at_body).0 {
            return Some((end, wheels));
        }
    }
    None
}

impl View<'_> {
    /// A joint that is closed as a keeper: a taper whose nut is off holds by luck.
    pub fn keeps_fast(self, joint: Id<Joint>) -> bool {
        let (facts, state) = (&self.layout.joints[joint], &self.state.joints[joint]);
        let fast = !facts.threaded || facts.fixings == 0 || state.out < facts.fixings || state.pins.is_some();
        self.ties(joint) && fast
    }

    /// Whether a part hangs on the body, or on a rig of the ground, without these.
    pub(super) fn hangs_without(
        self,
        part: Id<Part>,
        around: &BTreeSet<Id<Part>>,
        but: &BTreeSet<Id<Joint>>,
    ) -> bool {
        let tied = |joint: Id<Joint>| !but.contains(&joint) && self.ties(joint);
        let ground = |part: Id<Part>| {
            let mut holders = self.state.holders(part);
            self.is_body(part)
                || holders.any(|(holder, _)| match holder {
                    Holder::Rig(rig) => self.layout.borne[rig].is_none(),
                    Holder::Repair => true,
                    Holder::Person(_) => false,
                })
        };
        look(self.layout, &[part], around, tied, ground).0
    }

    /// The things that a spring is in, or what is in their place, as far as they are on.
    pub(super) fn in_spring(self, keeping: &Keeping) -> BTreeSet<Id<Part>> {
        let lines = keeping.parts.iter().map(|&part| self.layout.line_of_part(part));
        lines
            .filter_map(|line| line.into_iter().find(|&part| !self.state.is_off(part)))
            .collect()
    }

    /// What a keeper ties has to hang on something itself, and so has what the spring sits in.
    pub fn paths_hold(self, keeping: &Keeping) -> bool {
        let paths = &keeping.paths;
        if !paths.pushes_body {
            return true;
        }
        let inside = self.in_spring(keeping);
        let pivot = |joint: &&Id<Joint>| {
            paths
                .chains
                .iter()
                .any(|chain| chain.pivot && chain.joint == **joint)
        };
        let keepers: BTreeSet<Id<Joint>> = keeping
            .joints
            .iter()
            .filter(|joint| !pivot(joint))
            .flat_map(|&joint| self.layout.line_of_joint(joint))
            .collect();
        let near_holds = |chain: &Chain| {
            let own = self.layout.line_of_part(chain.near);
            let Some(near) = own.into_iter().find(|part| inside.contains(part)) else {
                return true;
            };
            let mut others = inside.clone();
            others.remove(&near);
            self.hangs_without(near, &others, &keepers)
        };
        let far_holds = |chain: &Chain| {
            let mut closed = self.layout.line_of_joint(chain.joint).into_iter();
            let Some(joint) = closed.find(|&joint| self.keeps_fast(joint)) else {
                return false;
            };
            let ends = self.layout.joints[joint].ends.into_iter().flatten();
            let mut far = ends.filter(|end| !inside.contains(end));
            !chain.far_holds || far.all(|far| self.hangs_without(far, &inside, &keepers))
        };
        let mut asked = paths.chains.iter().filter(|chain| chain.near_holds);
        let mut keep = paths.chains.iter().filter(|chain| !chain.pivot);
        asked.all(near_holds) && keep.any(far_holds)
    }

    /// A spring between the body and wheels that stand on the ground is kept in by the car's own weight.
    pub(super) fn weight_keeps(self, keeping: &Keeping) -> bool {
        let bears = keeping.paths.bears.as_ref();
        bears.is_some_and(|(end, _)| self.state.stand(*end) == Stand::Wheels) && self.drops(keeping).is_none()
    }

    /// The end that stands on its wheels by a spring whose path to them or to the body is parted.
    fn drops(self, keeping: &Keeping) -> Option<End> {
        let (end, wheels) = keeping.paths.bears.as_ref()?;
        if self.state.stand(*end) != Stand::Wheels {
            return None;
        }
        let inside = self.in_spring(keeping);
        let from: Vec<Id<Part>> = inside.iter().copied().collect();
        let tied = |joint: Id<Joint>| self.ties(joint);
        let body: BTreeSet<Id<Part>> = self.layout.body.into_iter().collect();
        let (_, reached) = look(self.layout, &from, &body, tied, |_| false);
        let wheels: Vec<Id<Part>> = wheels
            .iter()
            .copied()
            .filter(|&wheel| !self.state.is_off(wheel))
            .collect();
        let borne = wheels.iter().any(|wheel| reached.contains(wheel));
        let around: BTreeSet<Id<Part>> = body.union(&inside).copied().collect();
        let (_, side) = look(self.layout, &wheels, &around, tied, |_| false);
        let at_body = |part| self.is_body(part);
        let hangs = look(self.layout, &from, &side, tied, at_body).0;
        let bears = borne && hangs;
        (!from.is_empty() && !bears).then_some(*end)
    }
}

impl Walker<'_> {
    /// A joint was parted: does an end still stand on its wheels that a live spring bore through it?
    pub fn spring_parted(&mut self, joint: Id<Joint>) {
        let layout = self.layout;
        for energy in &layout.joints[joint].hangs {
            let Some(keeping) = layout.keeping.get(energy) else {
                continue;
            };
            if self.state.safe[*energy] || self.told_stands.contains(&Broken::NoWheelsUnder) {
                continue;
            }
            if let Some(end) = self.view().drops(keeping) {
                self.told_stands.insert(Broken::NoWheelsUnder);
                let told = self
                    .broken(Broken::NoWheelsUnder)
                    .of(Subject::End(end))
                    .with(Subject::Joint(joint));
                self.tell(told);
            }
        }
    }
}
