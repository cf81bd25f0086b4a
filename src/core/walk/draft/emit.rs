//! The acts of a draft, tried on the walk as they are written: what would swing or fall beside what comes off is held before the joint
//! that lets it.

use std::collections::BTreeSet;

use super::{Blocked, Draft, DraftStep, Node, What};
use crate::base::quantity::{Measures, Number, Quantity};
use crate::base::source::{SourceId, Span};
use crate::base::unit;
use crate::plan::model::{
    Act, Bearer, Direction, Does, End, Fixings, Id, Joint, Load, Need, OpeningAct, Part, Person, Plan, Rig,
    Said, Seat, Side, Step, StepLine, Thing, Tool,
};
use crate::walk::breaks::{Broken, Subject};
use crate::walk::cut::Leave;
use crate::walk::layout::Layout;
use crate::walk::state::{Holder, Stand, State};
use crate::walk::support::View;
use crate::walk::walker::Walker;

const NOWHERE: Span = Span {
    source: SourceId(0),
    start: 0,
    end: 0,
};

fn said<T>(value: T) -> Said<T> {
    Said::new(value, NOWHERE)
}

fn whole(joint: Id<Joint>) -> Fixings {
    Fixings {
        joint: said(joint),
        count: None,
    }
}

struct Emitter<'a> {
    plan: &'a Plan,
    layout: &'a Layout,
    state: State,
    draft: Draft,
    /// Rigs that stand below the vehicle.
    below: BTreeSet<Id<Rig>>,
    last_rig: Option<Id<Rig>>,
    /// Rigs that do not bear the vehicle.
    weak: &'a BTreeSet<Id<Rig>>,
}

pub(super) fn emit(
    plan: &Plan,
    layout: &Layout,
    state: State,
    nodes: &[Node],
    after: Option<Id<Step>>,
    weak: &BTreeSet<Id<Rig>>,
) -> Result<Draft, Blocked> {
    let mut emitter = Emitter {
        plan,
        layout,
        state,
        draft: Draft {
            after,
            ..Draft::default()
        },
        below: BTreeSet::new(),
        last_rig: None,
        weak,
    };
    emitter.drain(nodes);
    for (at, node) in nodes.iter().enumerate() {
        if let Some((end, joint)) = node.below {
            emitter.up(end, joint, nodes.get(at..).unwrap_or_default())?;
        }
        emitter.node(node)?;
    }
    Ok(emitter.draft)
}

impl Emitter<'_> {
    fn view(&self) -> View<'_> {
        View {
            layout: self.layout,
            state: &self.state,
            intact: None,
        }
    }

    /// Two of the crew: one holds, one undoes.
    fn crew(&self) -> Vec<Id<Person>> {
        let crew = self.plan.about.as_ref().map_or(&[][..], |about| &about.crew);
        crew.iter().take(2).map(|said| said.value).collect()
    }

    /// Walks acts from here; gives the state behind them, and what would be found by rule, things and number of the act.
    fn tried(
        &self,
        acts: &[Does],
        by: &[Id<Person>],
        needs: Option<Id<Tool>>,
    ) -> (State, Vec<(Broken, Vec<Subject>, usize)>) {
        let mut walker = Walker::from(self.plan, self.layout, self.state.clone());
        let lines = acts
            .iter()
            .zip(1u32..)
            .map(|(does, n)| {
                StepLine::Act(Act {
                    at: Span::new(SourceId(0), n, n),
                    does: does.clone(),
                })
            })
            .collect();
        walker.run_loose(&step_of(lines, by, needs));
        let found = walker
            .breaks
            .iter()
            .flatten()
            .map(|told| {
                let nth = (told.act.start as usize).saturating_sub(1);
                (told.rule, told.of.clone(), nth)
            })
            .collect();
        (walker.state, found)
    }

    fn push(&mut self, what: What, acts: Vec<Does>, unknown_way: bool) {
        self.push_with(what, acts, unknown_way, None);
    }

    fn push_with(&mut self, what: What, acts: Vec<Does>, unknown_way: bool, needs: Option<Id<Tool>>) {
        let by = self.crew();
        let (state, _) = self.tried(&acts, &by, needs);
        self.state = state;
        self.draft.steps.push(DraftStep {
            what,
            by,
            needs,
            acts,
            unknown_way,
        });
    }

    /// What moves for a node as things stand, and the joints that are to be undone.
    fn cut(&self, node: &Node) -> (BTreeSet<Id<Part>>, Vec<Id<Joint>>) {
        let still = node
            .parts
            .iter()
            .copied()
            .filter(|&part| !self.state.is_off(part));
        let moved = self.view().moving(&still.collect(), false);
        let cut = self.view().cut(&moved, Leave::Whole, &[]);
        let mut joints: Vec<Id<Joint>> = cut.joints.iter().chain(&cut.slides).copied().collect();
        joints.sort_unstable();
        (moved, joints)
    }

    /// Fluids that are drained before anything is opened; those that want bleeding are capped instead, a joint at a time.
    fn drain(&mut self, nodes: &[Node]) {
        let mut fluids = BTreeSet::new();
        for node in nodes {
            for joint in self.cut(node).1 {
                let wet = self.layout.joints[joint].fluids.iter().copied().filter(|&fluid| {
                    self.state.fluids[fluid].full && self.plan.fluids[fluid].needs_bleeding.is_none()
                });
                fluids.extend(wet);
            }
        }
        if !fluids.is_empty() {
            let fluids = fluids.into_iter().map(said).collect();
            self.push(What::Drain, vec![Does::Drain { fluids, into: None }], false);
        }
    }

    /// Gets an end of the vehicle up onto something that holds, and cracks big fixings while it still stands.
    fn up(&mut self, end: Option<End>, joint: Id<Joint>, rest: &[Node]) -> Result<(), Blocked> {
        let is_up = |wanted: End| match self.state.stand(wanted) {
            Stand::Rig { rig, .. } => self.plan.rigs[rig].holds.is_some(),
            Stand::Wheels => false,
        };
        let up = match end {
            Some(end) => is_up(end),
            None => is_up(End::Front) || is_up(End::Rear),
        };
        if up {
            return Ok(());
        }
        let Some(vehicle) = self.plan.vehicle() else {
            return Err(Blocked::NoRig(end, joint));
        };
        self.crack(rest);
        let some_say = self.plan.rigs.values().any(|rig| !rig.takes.is_empty());
        let takes = |rig: &crate::plan::model::Rig| {
            let here = |said: &Said<crate::plan::model::Takes>| {
                let places = said.value.ends;
                let all = places.iter().all(Option::is_none) || end.is_none();
                said.value.vehicle == vehicle && (all || places.contains(&end))
            };
            // Where some rig says that it takes the vehicle, one that says nothing does not.
            !rig.is_floor && (rig.takes.iter().any(here) || (rig.takes.is_empty() && !some_say))
        };
        let weak = self.weak;
        let rigs = || {
            let all = self.plan.rigs.iter();
            all.filter(|(id, rig)| takes(rig) && !weak.contains(id))
        };
        let free = |id: &Id<Rig>| self.state.on_rig(*id).next().is_none();
        let both = rigs().find(|(id, rig)| rig.lifts.is_some() && rig.holds.is_some() && free(id));
        let raise = |end: Option<Said<End>>, rig: Id<Rig>, place: bool| Does::Raise {
            things: vec![said(Load::Vehicle(vehicle))],
            end,
            on: Some(said(rig)),
            at: end.filter(|_| place),
            to: None,
            by: None,
            ride: None,
        };
        let acts = if let Some((rig, _)) = both {
            self.below.insert(rig);
            vec![raise(None, rig, false)]
        } else {
            let jack = rigs().find(|(id, rig)| rig.lifts.is_some() && free(id));
            let stands = rigs().find(|(_, rig)| rig.holds.is_some());
            let (Some((jack, _)), Some((stands, _))) = (jack, stands) else {
                return Err(Blocked::NoRig(end, joint));
            };
            self.below.extend([jack, stands]);
            let end = end.unwrap_or(End::Front);
            vec![
                raise(Some(said(end)), jack, self.has_place(end)),
                Does::Set {
                    things: vec![said(Load::Vehicle(vehicle))],
                    end: Some(said(end)),
                    down: Some(NOWHERE),
                    on: said(Seat::Rig(stands)),
                },
            ]
        };
        self.push(What::Raise, acts, false);
        Ok(())
    }

    fn has_place(&self, end: End) -> bool {
        let jacking = self.plan.vehicle().map(|id| self.plan.vehicles[id].jacking);
        jacking.is_some_and(|jacking| match end {
            End::Front => jacking.front.is_some(),
            End::Rear => jacking.rear.is_some(),
        })
    }

    /// Big fixings that a hand reaches now are slackened before the vehicle goes up.
    fn crack(&mut self, rest: &[Node]) {
        let limit = self.plan.house().big_torque_n_m();
        let mut all = Vec::new();
        for node in rest {
            for joint in self.cut(node).1 {
                let facts = &self.layout.joints[joint];
                let torque = self.plan.joints[joint].torque.as_ref();
                let known = torque.and_then(|said| said.value.torque.known());
                let big = known.is_some_and(|torque| torque.base() > limit);
                let reached =
                    facts.below.is_none() && facts.covered_by.iter().all(|&cover| self.state.is_off(cover));
                if big && reached && facts.threaded && self.state.joints[joint].tight > 0 {
                    all.push(whole(joint));
                }
            }
        }
        if !all.is_empty() {
            self.push(What::Crack, vec![Does::Slacken(all)], false);
        }
    }

    fn node(&mut self, node: &Node) -> Result<(), Blocked> {
        if node.parts.iter().all(|&part| self.state.is_off(part)) {
            return Ok(());
        }
        // What is on a rig would swing without it: off it comes, before what it hangs on moves.
        for (part, _) in self.guards(node, &self.cut(node).0) {
            self.comes_first(part, node);
        }
        let (mut moved, mut joints) = self.cut(node);
        let (mut acts, mut unknown_way) = self.acts(node, &moved, &joints)?;
        let by = self.crew();
        let mut needs = None;
        // Each round holds one more thing, or takes one off.
        for _ in 0..self.plan.parts.len() {
            let (_, mut found) = self.tried(&acts, &by, needs);
            let flies = |found: &[(Broken, Vec<Subject>, usize)]| {
                found
                    .iter()
                    .any(|(rule, ..)| matches!(rule, Broken::SpringLoose | Broken::NoSecondCatch))
            };
            if needs.is_none() && flies(&found) {
                needs = self.compressor().filter(|&tool| {
                    let (_, with) = self.tried(&acts, &by, Some(tool));
                    let helps = !flies(&with);
                    if helps {
                        found = with;
                    }
                    helps
                });
            }
            let loose = found.iter().find_map(|(rule, of, nth)| {
                let moves = matches!(rule, Broken::WouldSwing | Broken::WouldFall | Broken::HungByHose);
                let part = of.iter().find_map(|subject| match subject {
                    Subject::Part(part) if !moved.contains(part) => Some(*part),
                    _ => None,
                });
                moves.then_some((*rule, *nth)).zip(part)
            });
            let Some(((rule, nth), part)) = loose else { break };
            if rule != Broken::WouldSwing && self.comes_first(part, node) {
                (moved, joints) = self.cut(node);
                (acts, unknown_way) = self.acts(node, &moved, &joints)?;
                continue;
            }
            let Some(act) = self.keeps(part, &acts) else { break };
            acts.insert(nth.min(acts.len()), act);
        }
        self.draft.joints += joints.len();
        self.push_with(What::Off(node.thing), acts, unknown_way, needs);
        Ok(())
    }

    /// The first tool of the plan that takes the force of a spring.
    fn compressor(&self) -> Option<Id<Tool>> {
        let mut tools = self.plan.tools.iter();
        tools.find_map(|(id, tool)| tool.compresses.is_some().then_some(id))
    }

    /// What goes along with a node and is on a rig since its neighbours came off.
    fn guards(&self, node: &Node, moved: &BTreeSet<Id<Part>>) -> Vec<(Id<Part>, Id<Rig>)> {
        moved
            .iter()
            .filter(|part| !node.parts.contains(part))
            .flat_map(|&part| self.state.holders(part).map(move |(holder, _)| (part, holder)))
            .filter_map(|(part, holder)| match holder {
                Holder::Rig(rig) => Some((part, rig)),
                _ => None,
            })
            .collect()
    }

    /// Takes off something heavy that would fall beside what comes off, if it can come off before it.
    fn comes_first(&mut self, part: Id<Part>, node: &Node) -> bool {
        let parts = self.view().moving(&BTreeSet::from([part]), false);
        if self.layout.lighter(parts.iter().copied(), self.layout.by_hand) {
            return false;
        }
        let Ok(list) = super::nodes(self.plan, self.layout, &self.state, Thing::Part(part)) else {
            return false;
        };
        let touches = |other: &Node| other.parts.iter().any(|part| node.parts.contains(part));
        if list.iter().any(touches) {
            return false;
        }
        let list = super::order::order(list);
        let before = (self.state.clone(), self.below.clone(), self.last_rig);
        let (steps, joints) = (self.draft.steps.len(), self.draft.joints);
        for (at, other) in list.iter().enumerate() {
            let up = other.below.map_or(Ok(()), |(end, joint)| {
                self.up(end, joint, list.get(at..).unwrap_or_default())
            });
            if up.and_then(|()| self.node(other)).is_err() {
                // Half of it helps nobody.
                (self.state, self.below, self.last_rig) = before;
                self.draft.steps.truncate(steps);
                self.draft.joints = joints;
                return false;
            }
        }
        true
    }

    /// What keeps a part where it is while its neighbour comes off: tied to the body if it is light, else on a rig.
    fn keeps(&self, part: Id<Part>, acts: &[Does]) -> Option<Does> {
        let parts = self.view().moving(&BTreeSet::from([part]), false);
        let light = self.layout.lighter(parts.iter().copied(), self.layout.by_hand);
        let tied = |act: &Does| matches!(act, Does::TieUp { thing, .. } if thing.value == Thing::Part(part));
        if let (Some(body), true, false) = (self.layout.body, light, acts.iter().any(tied)) {
            // A strap for what one may lift by hand, since nothing heavier is tied up here.
            #[expect(clippy::cast_precision_loss, reason = "a few kilograms")]
            let limit = self.layout.by_hand as f64 / 1e6;
            return Some(Does::TieUp {
                thing: said(Thing::Part(part)),
                to: said(Thing::Part(body)),
                limit: quantity("kg", limit).map(said),
            });
        }
        let rig = self.rig_for(&BTreeSet::from([part]), acts)?;
        Some(Does::Hold {
            things: vec![said(Load::Thing(Thing::Part(part)))],
            by: said(Bearer::Rig(rig)),
        })
    }

    /// Flexible joints first, then rigid ones, then what holds, then those that carry.
    fn acts(
        &mut self,
        node: &Node,
        moved: &BTreeSet<Id<Part>>,
        joints: &[Id<Joint>],
    ) -> Result<(Vec<Does>, bool), Blocked> {
        let layout = self.layout;
        let thing = node.thing;
        let load = || vec![said(Load::Thing(thing))];
        let chosen = |wanted: &dyn Fn(&crate::walk::layout::JointFacts) -> bool| -> Vec<Id<Joint>> {
            joints
                .iter()
                .copied()
                .filter(|&joint| wanted(&layout.joints[joint]))
                .collect()
        };
        // A strap round a tank gives, and bears it.
        let soft = chosen(&|facts| !facts.rigid && !facts.carries);
        let first = chosen(&|facts| facts.rigid && !facts.carries);
        let last = chosen(&|facts| facts.carries);
        let sliding = chosen(&|facts| facts.slides);
        let pressed = chosen(&|facts| facts.pressed);
        let mut acts: Vec<Does> = soft
            .into_iter()
            .chain(first)
            .flat_map(|joint| self.undo(joint))
            .collect();
        let held = node.parts.iter().any(|&part| self.view().is_held(part));
        // What was held while its neighbours came off goes along now, and is let go by what held it.
        let guards = self.guards(node, moved);
        let light = layout.lighter(moved.iter().copied(), layout.by_hand);
        let mut holder = None;
        if held {
            let has = node.parts.iter().flat_map(|&part| self.state.holders(part));
            let rigs = has.filter_map(|(holder, _)| match holder {
                Holder::Rig(rig) => Some(Bearer::Rig(rig)),
                _ => None,
            });
            holder = rigs.into_iter().next();
        }
        if !held && (!light || !guards.is_empty()) {
            let Some(taken) = self.holder(moved, &acts) else {
                return Err(Blocked::NoHolder(moved.first().copied().unwrap_or(Id::new(0))));
            };
            holder = Some(taken);
            acts.push(Does::Hold {
                things: load(),
                by: said(taken),
            });
        }
        acts.extend(guards.into_iter().map(|(part, rig)| Does::Release {
            things: vec![said(Load::Thing(Thing::Part(part)))],
            from: Some(said(Bearer::Rig(rig))),
        }));
        acts.extend(last.into_iter().flat_map(|joint| self.undo(joint)));
        if !pressed.is_empty() {
            acts.push(Does::PressApart {
                joints: pressed.into_iter().map(said).collect(),
                with: None,
            });
        }
        let way = sliding.first().map(|&joint| self.way_out(joint));
        if let Some(way) = way {
            let far = sliding
                .iter()
                .map(|&joint| layout.joints[joint].engaged)
                .fold(20.0, f64::max);
            acts.extend(quantity("mm", far).map(|by| Does::Draw {
                things: vec![said(thing)],
                direction: said(way),
                by: said(by),
            }));
        }
        acts.push(Does::TakeOff(vec![said(thing)]));
        if let Some(Bearer::Rig(rig)) = holder {
            self.last_rig = Some(rig);
            acts.push(if self.plan.rigs[rig].lifts.is_some() {
                Does::Set {
                    things: load(),
                    end: None,
                    down: Some(NOWHERE),
                    on: said(Seat::Rig(Id::new(0))),
                }
            } else {
                Does::Release {
                    things: load(),
                    from: Some(said(Bearer::Rig(rig))),
                }
            });
        }
        Ok((acts, way.is_some()))
    }

    /// Undoes one joint; a full line is capped in the same breath.
    fn undo(&self, joint: Id<Joint>) -> Vec<Does> {
        let facts = &self.layout.joints[joint];
        let mut acts = Vec::new();
        if facts.fixed {
            acts.push(Does::Break {
                joint: said(joint),
                how: None,
            });
        } else if !(facts.slides || facts.pressed) || facts.threaded {
            acts.push(Does::Undo(vec![whole(joint)]));
        }
        if facts.fluids.iter().any(|&fluid| self.state.fluids[fluid].full) {
            acts.push(Does::Opening {
                act: OpeningAct::Cap,
                joints: vec![said(joint)],
                with: None,
            });
        }
        acts
    }

    /// Who or what takes these parts: the second person if they can, else the rig that was used last, else one that suits.
    fn holder(&self, moved: &BTreeSet<Id<Part>>, acts: &[Does]) -> Option<Bearer> {
        let crew = self.crew();
        let (mass, known) = self.layout.mass(moved.iter().copied());
        if let ([_, helper], true) = (crew.as_slice(), known) {
            let lifts = self.plan.people[*helper].lifts;
            let busy =
                |act: &Does| matches!(act, Does::Hold { by, .. } if by.value == Bearer::Person(*helper));
            if lifts.is_some_and(|said| mass <= said.value.milligrams()) && !acts.iter().any(busy) {
                return Some(Bearer::Person(*helper));
            }
        }
        self.rig_for(moved, acts).map(Bearer::Rig)
    }

    fn rig_for(&self, moved: &BTreeSet<Id<Part>>, acts: &[Does]) -> Option<Id<Rig>> {
        let (mass, known) = self.layout.mass(moved.iter().copied());
        let low = moved.iter().any(|&part| self.layout.parts[part].below);
        let used = |rig: Id<Rig>| {
            let holds = |act: &Does| matches!(act, Does::Hold { by, .. } if by.value == Bearer::Rig(rig));
            let under = self.state.raised().any(|(_, under)| under == rig);
            under
                || self.state.on_rig(rig).next().is_some()
                || self.below.contains(&rig)
                || acts.iter().any(holds)
        };
        let rated =
            |rig: &crate::plan::model::Rig| rig.rated.map_or(i64::MAX, |said| said.value.mass.milligrams());
        let all: Vec<(Id<Rig>, &crate::plan::model::Rig)> = self
            .plan
            .rigs
            .iter()
            .filter(|(id, rig)| {
                let bears = rig.lifts.is_some() || rig.holds.is_some();
                let own = rig.takes.is_empty() && rig.borne_by.is_none();
                !rig.is_floor && bears && own && !used(*id) && (!known || rated(rig) >= mass)
            })
            .collect();
        let last = all.iter().find(|(id, _)| Some(*id) == self.last_rig);
        let best = all.iter().min_by_key(|(id, rig)| {
            // From below something with a platform, from above something without.
            let wrong_side = rig.platform.is_some() != low;
            let rated = if known { rated(rig) } else { -rated(rig) };
            // One whose rating nobody states is the last that anything is hung on.
            (rig.lifts.is_none(), rig.rated.is_none(), wrong_side, rated, *id)
        });
        last.or(best).map(|(id, _)| *id)
    }

    /// The way that a slide comes out is not declared: the side where the joint is stands for it.
    fn way_out(&self, joint: Id<Joint>) -> Direction {
        match self.plan.joints[joint].place.map(|said| said.value) {
            Some(Side::Front) => Direction::Forward,
            Some(Side::Rear) => Direction::Back,
            Some(Side::Left) => Direction::Left,
            Some(Side::Right) => Direction::Right,
            Some(Side::Below) => Direction::Down,
            Some(Side::Inside) | None => Direction::Up,
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a figure of a few digits, to the next whole one"
)]
fn quantity<D: Measures>(symbol: &str, value: f64) -> Option<Quantity<D>> {
    let number = Number {
        mantissa: value.ceil() as i64,
        decimals: 0,
        denominator: 1,
    };
    Quantity::new(number, unit::find(symbol)?)
}

fn step_of(lines: Vec<StepLine>, by: &[Id<Person>], needs: Option<Id<Tool>>) -> Step {
    Step {
        head: crate::plan::model::Head {
            name: "".into(),
            at: NOWHERE,
            title: None,
            block: NOWHERE,
            notes: Vec::new(),
            was: None,
            shared: false,
        },
        stage: None,
        by: by.iter().copied().map(said).collect(),
        calls: None,
        stop_word: None,
        after: Vec::new(),
        instead_of: None,
        for_swaps: Vec::new(),
        derived: None,
        needs: needs.map(|tool| said(Need::Tool(tool))).into_iter().collect(),
        cautions: Vec::new(),
        time: None,
        safe_to_leave: None,
        safe_overnight: None,
        lines,
    }
}
