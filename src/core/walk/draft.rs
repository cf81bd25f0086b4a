//! Steps that take one thing off, worked out from what is declared: what covers its joints comes off first, what lets it hang is held, what
//! is reached from below is undone when the vehicle is up on something that holds. Which parts come off is the least where
//! only coverings count, since each covering has to go; what would fall beside them comes off too, and that choice is not searched.

mod emit;
mod order;
mod text;

use std::collections::{BTreeMap, BTreeSet};

use super::cut::Leave;
use super::layout::Layout;
use super::state::{Stand, State};
use super::support::View;
use super::walker::Walker;
use crate::plan::model::{Does, End, Id, Joint, Part, Person, Plan, Rig, Step, Thing, Tool};
use crate::weights::Table as Masses;

/// Steps that take a thing off, in order.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    /// The written step that they stand behind; none if they begin with the machine as it was found.
    pub after: Option<Id<Step>>,
    /// In the order of work.
    pub steps: Vec<DraftStep>,
    /// Joints that are undone and lines that are opened, over all steps.
    pub joints: usize,
}

/// One step of a draft.
#[derive(Debug, Clone)]
pub struct DraftStep {
    /// What it is for.
    pub what: What,
    /// Whom it needs.
    pub by: Vec<Id<Person>>,
    /// What takes the force of a spring on the way.
    pub needs: Option<Id<Tool>>,
    /// In the order of work.
    pub acts: Vec<Does>,
    /// Joints that slide out by a way that the plan does not say.
    pub unknown_way: bool,
}

/// What a step is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A fluid is let out.
    Drain,
    /// Tight fixings are loosened while the wheels are down.
    Crack,
    /// The vehicle goes up.
    Raise,
    /// This comes off.
    Off(Thing),
}

/// Why it cannot be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Blocked {
    /// It is off already.
    Off,
    /// It is the body, or bears the wheels that the vehicle stands on.
    Stays,
    /// Each part has a joint that the next one covers; the last is covered by the first.
    Ring(Vec<(Id<Part>, Id<Joint>)>),
    /// Nothing that is declared gets this end up and holds it there.
    NoRig(Option<End>, Id<Joint>),
    /// Nobody and nothing that is declared can take this.
    NoHolder(Id<Part>),
}

/// One thing that has to come off, and what has to be off before it.
#[derive(Debug)]
struct Node {
    parts: BTreeSet<Id<Part>>,
    /// What the step names: the thing that was asked for, or a part.
    thing: Thing,
    before: BTreeSet<usize>,
    below: Option<(Option<End>, Id<Joint>)>,
}

/// Works out how a thing comes off. `after` is the step behind which the work begins; without it, behind the steps that make safe what
/// is live on the way.
///
/// # Errors
/// What keeps it from coming off.
pub fn draft(plan: &Plan, masses: &Masses, thing: Thing, after: Option<Id<Step>>) -> Result<Draft, Blocked> {
    draft_without(plan, masses, thing, after, &BTreeSet::new())
}

/// The same; the vehicle is raised on none of these rigs, which turned out too weak for it.
///
/// # Errors
/// What keeps it from coming off.
pub fn draft_without(
    plan: &Plan,
    masses: &Masses,
    thing: Thing,
    after: Option<Id<Step>>,
    weak: &BTreeSet<Id<Rig>>,
) -> Result<Draft, Blocked> {
    let layout = Layout::new(plan, masses);
    let nodes = nodes(plan, &layout, &found(plan, &layout, after), thing)?;
    let after = after.or_else(|| safe_after(plan, &layout, &nodes));
    let state = found(plan, &layout, after);
    let nodes = order::order(order::nodes_again(plan, &layout, &state, thing, nodes)?);
    emit::emit(plan, &layout, state, &nodes, after, weak)
}

/// The machine after a step, or as it was found.
fn found(plan: &Plan, layout: &Layout, after: Option<Id<Step>>) -> State {
    let mut walker = Walker::new(plan, layout);
    if let Some(after) = after {
        let place = plan.order.iter().position(|&step| step == after);
        let steps = place.map_or(&[][..], |place| plan.order.get(..=place).unwrap_or_default());
        walker.run_steps(steps);
    }
    walker.state
}

/// The last of the steps that make safe what the joints on the way make live.
fn safe_after(plan: &Plan, layout: &Layout, nodes: &[Node]) -> Option<Id<Step>> {
    let joints = nodes
        .iter()
        .flat_map(|node| &node.parts)
        .flat_map(|&part| &layout.parts[part].joints);
    let steps = joints
        .flat_map(|&joint| &layout.joints[joint].energies)
        .filter_map(|&energy| plan.energies[energy].safe_after.map(|said| said.value));
    steps.max_by_key(|&step| plan.order.iter().position(|&other| other == step))
}

/// What has to come off, each after what it waits for.
fn nodes(plan: &Plan, layout: &Layout, state: &State, thing: Thing) -> Result<Vec<Node>, Blocked> {
    let parts: BTreeSet<Id<Part>> = plan
        .parts_of(thing)
        .into_iter()
        .filter(|&part| !state.is_off(part))
        .collect();
    if parts.is_empty() {
        return Err(Blocked::Off);
    }
    if layout.body.is_some_and(|body| parts.contains(&body)) {
        return Err(Blocked::Stays);
    }
    let mut search = Search {
        layout,
        state: state.clone(),
        nodes: Vec::new(),
        of: BTreeMap::new(),
        path: Vec::new(),
    };
    search.off(parts, thing)?;
    Ok(search.nodes)
}

/// A part, or an assembly of which this part is one, that waits for what covers its joint.
struct Waits {
    part: Id<Part>,
    joint: Id<Joint>,
    alone: bool,
}

struct Search<'a> {
    layout: &'a Layout,
    state: State,
    nodes: Vec<Node>,
    /// The node by which a part comes off.
    of: BTreeMap<Id<Part>, usize>,
    /// Parts that wait for what is looked at now, each with the joint that is covered.
    path: Vec<Waits>,
}

impl Search<'_> {
    fn view(&self) -> View<'_> {
        View {
            layout: self.layout,
            state: &self.state,
            intact: None,
        }
    }

    /// The end that stands on its wheels, if one of these parts bears them.
    fn stands_on(&self, moved: &BTreeSet<Id<Part>>) -> Option<End> {
        [End::Front, End::Rear]
            .into_iter()
            .filter(|end| self.state.stand(*end) == Stand::Wheels)
            .find(|end| self.layout.bears(*end).iter().any(|part| moved.contains(part)))
    }

    /// Takes parts off in thought, what covers them first.
    fn off(&mut self, parts: BTreeSet<Id<Part>>, thing: Thing) -> Result<(), Blocked> {
        let mut before: BTreeSet<usize> = BTreeSet::new();
        let joints = loop {
            let still: BTreeSet<Id<Part>> = parts
                .iter()
                .copied()
                .filter(|&part| !self.state.is_off(part))
                .collect();
            if still.is_empty() {
                return Ok(());
            }
            let moved = self.view().moving(&still, false);
            let cut = self.view().cut(&moved, Leave::Whole, &[]);
            let joints: Vec<Id<Joint>> = cut.joints.iter().chain(&cut.slides).copied().collect();
            let Some((joint, cover)) = joints.iter().find_map(|&joint| {
                let covers = &self.layout.joints[joint].covered_by;
                let there =
                    |cover: &&Id<Part>| !self.state.is_off(**cover) && !self.state.parts[**cover].aside;
                covers.iter().find(there).map(|&cover| (joint, cover))
            }) else {
                for &joint in &joints {
                    for cover in &self.layout.joints[joint].covered_by {
                        before.extend(self.of.get(cover));
                    }
                }
                break joints;
            };
            let ends = self.layout.joints[joint].ends.into_iter().flatten();
            let part = ends.into_iter().find(|end| moved.contains(end)).unwrap_or(cover);
            let alone = still.len() == 1;
            self.path.push(Waits {
                part: still.first().copied().filter(|_| alone).unwrap_or(part),
                joint,
                alone,
            });
            // Of an assembly the part that covers comes off first; a part that waits for itself never does.
            if let Some(from) = self
                .path
                .iter()
                .position(|waits| waits.alone && waits.part == cover)
            {
                let ring = self.path.split_off(from);
                return Err(Blocked::Ring(
                    ring.into_iter().map(|waits| (waits.part, waits.joint)).collect(),
                ));
            }
            self.off(BTreeSet::from([cover]), Thing::Part(cover))?;
            self.path.pop();
        };
        let still: BTreeSet<Id<Part>> = parts
            .into_iter()
            .filter(|&part| !self.state.is_off(part))
            .collect();
        let moved = self.view().moving(&still, false);
        let below = joints
            .iter()
            .find_map(|&joint| Some((self.layout.joints[joint].below?, joint)))
            .or_else(|| Some((Some(self.stands_on(&moved)?), joints.first().copied()?)));
        // What goes along comes off with it, and waits for nothing more.
        let number = self.nodes.len();
        for &part in &moved {
            self.of.insert(part, number);
        }
        for joint in joints {
            let facts = &self.layout.joints[joint];
            self.state.joints[joint] = super::state::JointState::out(facts);
        }
        for &part in &moved {
            let state = &mut self.state.parts[part];
            state.presence = super::state::Presence::Off;
            state.was_off = true;
            state.down = true;
        }
        self.nodes.push(Node {
            parts: still,
            thing,
            before,
            below,
        });
        Ok(())
    }
}
