//! The order in which a stage does again what others undid: things held before they are fitted, all fixings of a step put in by hand
//! before any is tightened, tightenings that want the wheels down behind the act that sets them down, fluids behind their last
//! joint, second checks last. Knows not what undoes what.

use std::collections::{BTreeMap, BTreeSet};

use super::acts::{as_act, merge};
use super::back::{Back, Undoes};
use super::strike::Written;
use super::who::replacing;
use super::{Ground, Undoing};
use crate::base::source::Span;
use crate::plan::model::{
    Act, Bearer, Does, End, Fluid, Id, Joint, Load, OpeningAct, Part, Person, Rig, Said, Seat, Step, Thing,
};
use crate::walk::state::{Holder, Opening, Stand};
use crate::walk::support::View;

/// The acts of one derived step.
pub struct Arranged {
    pub acts: Vec<Act>,
    /// Somebody beside who tightened has to check.
    pub two_people: bool,
}

/// An act that is placed.
#[derive(Debug, Clone)]
pub struct Placed {
    pub at: Span,
    pub does: Undoes,
}

pub struct Arranger<'a> {
    pub ground: &'a Ground<'a>,
    pub written: Written,
    pub front: Option<Id<Rig>>,
    pub rear: Option<Id<Rig>>,
    pub holds: BTreeSet<(Id<Part>, Id<Rig>)>,
    pub on: BTreeSet<Id<Part>>,
    pub tied: BTreeSet<Id<Part>>,
    pub aside: BTreeSet<Id<Part>>,
    /// Caps and clamps by the joint whose closing they wait for.
    pub opens: BTreeMap<Id<Joint>, Vec<Placed>>,
    pub slid: BTreeSet<Thing>,
    /// Joints that some act closes, so that nobody has to think of them.
    pub thought_of: BTreeSet<Id<Joint>>,
    pub wait_for_wheels: Vec<Placed>,
    pub placed: Vec<Placed>,
    pub tighten: Vec<Placed>,
    pub release: Vec<Placed>,
    pub hands: Vec<Placed>,
    /// For each fluid the place of the last step that closes a joint of it.
    pub last_of: BTreeMap<Id<Fluid>, usize>,
    /// Fluids to be filled or bled, with the place of the step that would do it.
    pub wet: BTreeMap<Id<Fluid>, (usize, Span)>,
}

/// Arranges what undoes the steps of a stage. `steps` are all its steps, written ones among them, in their order.
pub fn arrange(
    ground: &Ground<'_>,
    steps: &[Id<Step>],
    undoings: &mut BTreeMap<Id<Step>, Undoing>,
) -> Vec<(Id<Step>, Arranged)> {
    let plan = ground.plan;
    let written = Written::of(plan, steps);
    let rig = |stand| match stand {
        Stand::Wheels => None,
        Stand::Rig { rig, .. } => Some(rig),
    };
    let state = ground.start;
    let holds = state.holds.keys().filter_map(|(part, holder)| match holder {
        Holder::Rig(rig) => Some((*part, *rig)),
        _ => None,
    });
    let mut arranger = Arranger {
        ground,
        front: rig(state.front),
        rear: rig(state.rear),
        holds: holds.collect(),
        on: plan.parts.ids().filter(|&part| !state.is_off(part)).collect(),
        tied: state.ties.keys().copied().collect(),
        aside: plan.parts.ids().filter(|&part| state.parts[part].aside).collect(),
        opens: BTreeMap::new(),
        slid: BTreeSet::new(),
        thought_of: written
            .started
            .iter()
            .chain(&written.tightened)
            .copied()
            .collect(),
        written,
        wait_for_wheels: Vec::new(),
        placed: Vec::new(),
        tighten: Vec::new(),
        release: Vec::new(),
        hands: Vec::new(),
        last_of: BTreeMap::new(),
        wet: BTreeMap::new(),
    };
    let mut lists: Vec<(Id<Step>, Vec<Back>)> = steps
        .iter()
        .map(|&step| {
            let from = plan.steps[step].derived.as_ref().map(|derived| derived.from);
            let undoing = from.and_then(|from| undoings.get_mut(&from));
            (
                step,
                undoing.map_or_else(Vec::new, |undoing| last_first(std::mem::take(&mut undoing.backs))),
            )
        })
        .collect();
    arranger.choose(&mut lists);
    let last_derived = lists
        .iter()
        .rposition(|(step, _)| plan.steps[*step].derived.is_some());
    let mut all: Vec<(Id<Step>, Vec<Placed>)> = Vec::new();
    for (place, (step, backs)) in lists.into_iter().enumerate() {
        if plan.steps[step].derived.is_none() {
            arranger.see(&plan.steps[step]);
            continue;
        }
        if arranger.on_wheels() {
            let waited = std::mem::take(&mut arranger.wait_for_wheels);
            arranger.placed.extend(waited);
        }
        for back in backs {
            arranger.place(back, place);
        }
        arranger.flush();
        if Some(place) == last_derived {
            let left = std::mem::take(&mut arranger.wait_for_wheels);
            arranger.placed.extend(left);
        }
        let mut placed = std::mem::take(&mut arranger.placed);
        arranger.closed_in(&placed, place);
        arranger.put_hands(&mut placed);
        all.push((step, placed));
        arranger.wet_places(place, &mut all);
    }
    all.into_iter()
        .map(|(step, placed)| (step, arranger.finish(placed)))
        .collect()
}

/// The acts of a step last first; what undoes one act stays in its order.
fn last_first(backs: Vec<Back>) -> Vec<Back> {
    let mut groups: Vec<Vec<Back>> = Vec::new();
    for back in backs {
        match groups.last_mut() {
            Some(group) if group.first().is_some_and(|first| first.at == back.at) => group.push(back),
            _ => groups.push(vec![back]),
        }
    }
    groups.into_iter().rev().flatten().collect()
}

impl Arranger<'_> {
    pub fn view(&self) -> View<'_> {
        View {
            layout: self.ground.layout,
            state: self.ground.start,
            intact: None,
        }
    }

    /// Leaves out what is done already or is written, puts a joint in once and tightens it once, and sets caps beside their joints.
    fn choose(&mut self, lists: &mut [(Id<Step>, Vec<Back>)]) {
        let mut first: BTreeSet<Id<Joint>> = BTreeSet::new();
        let mut last: BTreeMap<Id<Joint>, usize> = BTreeMap::new();
        for (_, backs) in &mut *lists {
            backs.retain(|back| {
                self.is_wanted(&back.does) && !self.written.strikes(self.ground.plan, &back.does)
            });
            backs.retain(|back| match back.does {
                Undoes::Start(joint) => first.insert(joint),
                _ => true,
            });
            for back in &*backs {
                if let Undoes::Tighten(joint) = back.does {
                    last.insert(joint, back.number);
                }
            }
        }
        self.thought_of
            .extend(first.iter().copied().chain(last.keys().copied()));
        for (_, backs) in &mut *lists {
            let mut kept = Vec::with_capacity(backs.len());
            for back in std::mem::take(backs) {
                match back.does {
                    Undoes::Tighten(joint) if last.get(&joint) != Some(&back.number) => {}
                    Undoes::Open { joint, .. } => {
                        let closing = replacing(self.ground, joint).unwrap_or(joint);
                        if first.contains(&closing) {
                            let placed = Placed {
                                at: back.at,
                                does: back.does,
                            };
                            self.opens.entry(closing).or_default().push(placed);
                        } else {
                            kept.push(back);
                        }
                    }
                    _ => kept.push(back),
                }
            }
            *backs = kept;
        }
    }

    /// Whether the machine, as the stage finds it, still wants this.
    pub fn is_wanted(&self, does: &Undoes) -> bool {
        let (layout, start) = (self.ground.layout, self.ground.start);
        match does {
            Undoes::Start(joint) => {
                let state = start.joints[*joint];
                !self.view().ties(*joint) || state.out > 0 || state.broken
            }
            Undoes::Tighten(joint) => {
                let on = layout.joints[*joint]
                    .ends
                    .into_iter()
                    .flatten()
                    .all(|end| !start.is_off(end));
                !(on && start.joints[*joint].all_tight())
            }
            Undoes::PressHome(joint) => start.joints[*joint].parted,
            Undoes::Open { act, joint } => {
                let opening = start.joints[*joint].opening;
                match act {
                    OpeningAct::Unclamp => start.joints[*joint].clamped,
                    OpeningAct::Uncap => matches!(opening, Opening::Capped | Opening::CappedAndPlugged),
                    OpeningAct::Unplug => matches!(opening, Opening::Plugged | Opening::CappedAndPlugged),
                    OpeningAct::Clamp | OpeningAct::Cap | OpeningAct::Plug => false,
                }
            }
            Undoes::Fit { parts, .. } => parts.iter().any(|&part| start.is_off(part)),
            Undoes::Raise { loads, .. } | Undoes::Hold { loads, .. } | Undoes::Set { loads, .. } => {
                !loads.is_empty()
            }
            Undoes::Fill(fluid) => !start.fluids[*fluid].full,
            Undoes::Bleed(fluid) => {
                let state = start.fluids[*fluid];
                (!state.bled || !state.full) && self.ground.plan.fluids[*fluid].needs_bleeding.is_some()
            }
            _ => true,
        }
    }

    pub fn on_wheels(&self) -> bool {
        self.front.is_none() && self.rear.is_none()
    }

    pub fn stands_on(&self, end: Option<End>, rig: Option<Id<Rig>>) -> bool {
        match end {
            Some(End::Front) => self.front == rig,
            Some(End::Rear) => self.rear == rig,
            None => self.front == rig && self.rear == rig,
        }
    }

    pub fn stand(&mut self, end: Option<End>, rig: Option<Id<Rig>>) {
        if end != Some(End::Rear) {
            self.front = rig;
        }
        if end != Some(End::Front) {
            self.rear = rig;
        }
    }

    pub fn parts(&self, loads: &[Load]) -> Vec<Id<Part>> {
        let plan = self.ground.plan;
        loads
            .iter()
            .flat_map(|load| match load {
                Load::Thing(thing) => plan.parts_of(*thing),
                Load::Vehicle(_) => self.ground.layout.body.into_iter().collect(),
            })
            .collect()
    }

    pub fn has(&mut self, parts: &[Id<Part>], rig: Option<Id<Rig>>, alone: bool) {
        if alone {
            self.holds.retain(|(part, _)| !parts.contains(part));
        }
        let rig = rig.filter(|&rig| !self.ground.plan.rigs[rig].is_floor);
        self.holds.extend(
            rig.into_iter()
                .flat_map(|rig| parts.iter().map(move |&part| (part, rig))),
        );
    }

    /// Follows what a written step of this stage moves and holds.
    fn see(&mut self, step: &Step) {
        let plan = self.ground.plan;
        let floor = |rig: Id<Rig>| (!plan.rigs[rig].is_floor).then_some(rig);
        let loads = |things: &[Said<Load>]| things.iter().map(|said| said.value).collect::<Vec<_>>();
        let vehicle =
            |things: &[Said<Load>]| things.iter().any(|said| matches!(said.value, Load::Vehicle(_)));
        for act in step.acts() {
            match &act.does {
                Does::Raise {
                    things,
                    end,
                    on: Some(on),
                    ..
                } if vehicle(things) => {
                    self.stand(end.map(|said| said.value), Some(on.value));
                }
                Does::Set { things, end, on, .. } if vehicle(things) => {
                    if let Seat::Rig(rig) = on.value {
                        self.stand(end.map(|said| said.value), floor(rig));
                    }
                }
                Does::Raise {
                    things, on: Some(on), ..
                } => {
                    let parts = self.parts(&loads(things));
                    self.has(&parts, Some(on.value), true);
                }
                Does::Set { things, on, .. } => {
                    let parts = self.parts(&loads(things));
                    let rig = match on.value {
                        Seat::Rig(rig) => Some(rig),
                        Seat::Thing(_) => None,
                    };
                    self.has(&parts, rig, true);
                }
                Does::Hold { things, by } => {
                    if let Bearer::Rig(rig) = by.value {
                        let parts = self.parts(&loads(things));
                        self.has(&parts, Some(rig), false);
                    }
                }
                Does::Release { things, from } => {
                    let parts = self.parts(&loads(things));
                    let rig = from.and_then(|from| match from.value {
                        Bearer::Rig(rig) => Some(rig),
                        Bearer::Person(_) => None,
                    });
                    self.holds
                        .retain(|(part, held)| !parts.contains(part) || rig.is_some_and(|rig| rig != *held));
                }
                Does::Fit(things) => {
                    self.on
                        .extend(things.iter().flat_map(|thing| plan.parts_of(thing.value)));
                }
                // Neither who holds nor what is on changes.
                _ => {}
            }
        }
    }

    /// The acts themselves: what undoes one act and is of one kind becomes one act; second checks last.
    fn finish(&self, placed: Vec<Placed>) -> Arranged {
        let checked: Vec<(Id<Joint>, Span)> = placed
            .iter()
            .filter_map(|one| match one.does {
                Undoes::Tighten(joint) => Some((joint, one.at)),
                _ => None,
            })
            .filter(|(joint, _)| self.ground.plan.joints[*joint].second_check.is_some())
            .filter(|(joint, _)| !self.written.verified.contains(joint))
            .collect();
        let mut acts: Vec<Act> = Vec::new();
        // What each person has in hand: with hands full nobody takes up the next thing.
        let mut in_hand: BTreeMap<Id<Person>, Vec<Said<Load>>> = BTreeMap::new();
        for one in placed {
            let Placed { at, does } = one;
            let does = as_act(self.ground.plan, does, at);
            if let Does::Hold { things, by } = &does
                && let Bearer::Person(person) = by.value
                && let Some(held) = in_hand.insert(person, things.clone())
            {
                acts.push(Act {
                    at,
                    does: Does::Release {
                        things: held,
                        from: Some(*by),
                    },
                });
            }
            let joined = acts
                .last_mut()
                .is_some_and(|last| last.at == at && merge(&mut last.does, &does));
            if !joined {
                acts.push(Act { at, does });
            }
        }
        let two_people = !checked.is_empty();
        if let Some(&(_, at)) = checked.last() {
            let joints = checked
                .into_iter()
                .map(|(joint, at)| Said::new(joint, at))
                .collect();
            acts.push(Act {
                at,
                does: Does::Verify { joints, what: None },
            });
        }
        Arranged { acts, two_people }
    }
}
