//! What undoes one act: by what the act says and by what it changed. Knows one act at a time; the order in which it all is done
//! again is made in `arrange.rs`.

use std::collections::{BTreeMap, BTreeSet};

use super::back::{Back, Undoes};
use super::who::{back_part, back_thing, replacing};
use super::{Ground, Undoing};
use crate::base::source::Span;
use crate::plan::model::{
    Act, Asked, Bearer, Does, End, Fluid, Id, Joint, Load, OpeningAct, Part, Rig, Said, Step, Thing,
};
use crate::walk::act_moves::tenths;
use crate::walk::breaks::{Break, Broken, Moment, Subject};
use crate::walk::state::{Change, Holder, State};

/// How an end was last raised: by which rig, at which place, and to what height.
type Raised = (Id<Rig>, Option<End>, Option<crate::base::quantity::Length>);

pub struct Inverse<'a> {
    pub ground: &'a Ground<'a>,
    next: usize,
    /// What undoes the acts on a joint that are still open.
    open: BTreeMap<Id<Joint>, Vec<usize>>,
    /// Numbers of what a later act has closed already.
    pub closed_again: BTreeSet<usize>,
    /// By the end and the height in tenths of a millimetre.
    pub raised: BTreeMap<(Option<End>, Option<i64>), Raised>,
    asked: BTreeSet<Asked>,
}

/// One act, the state before it and what it changed.
pub struct Done<'s> {
    pub step: Id<Step>,
    pub at: Span,
    pub state: &'s State,
    pub made: &'s [Change],
}

impl<'a> Inverse<'a> {
    pub fn new(ground: &'a Ground<'a>) -> Self {
        Self {
            ground,
            next: 0,
            open: BTreeMap::new(),
            closed_again: BTreeSet::new(),
            raised: BTreeMap::new(),
            asked: BTreeSet::new(),
        }
    }

    /// Notes an act of a step that is not undone.
    pub fn passed(&mut self, act: &Act) {
        if let Does::Raise {
            end,
            on: Some(on),
            at,
            to,
            ..
        } = &act.does
        {
            let how = (on.value, at.map(|said| said.value), to.map(|said| said.value));
            let height = to.map(|said| tenths(said.value));
            self.raised.insert((end.map(|said| said.value), height), how);
        }
    }

    /// What undoes this act, in the order in which it is to be done.
    pub fn act(
        &mut self,
        step: Id<Step>,
        act: &Act,
        state: &State,
        made: &[Change],
        undoing: &mut Undoing,
        breaks: &mut Vec<Break>,
    ) {
        let done = Done {
            step,
            at: act.at,
            state,
            made,
        };
        let mut all: Vec<Undoes> = Vec::new();
        match &act.does {
            Does::Slacken(list) => {
                for one in list.iter().rev() {
                    all.extend(
                        self.closes(one.joint.value, &done, undoing, breaks)
                            .map(Undoes::Tighten),
                    );
                }
            }
            Does::Undo(list) => {
                for one in list.iter().rev() {
                    let joint = self.closes(one.joint.value, &done, undoing, breaks);
                    all.extend(joint.into_iter().flat_map(|joint| self.closing(joint)));
                }
            }
            Does::Break { joint, .. } => {
                let joint = self.closes(joint.value, &done, undoing, breaks);
                all.extend(joint.into_iter().flat_map(|joint| self.closing(joint)));
            }
            Does::Pin { fixings, .. } => {
                let joint = self.closes(fixings.joint.value, &done, undoing, breaks);
                all.extend(joint.into_iter().flat_map(|joint| self.closing(joint)));
            }
            Does::Start(list) | Does::Join { all: list, .. } | Does::Tighten(list) => {
                list.iter().for_each(|one| self.closed(one.joint.value))
            }
            Does::PressApart { joints, .. } => {
                for joint in joints.iter().rev() {
                    let joint = self.closes(joint.value, &done, undoing, breaks);
                    all.extend(joint.map(Undoes::PressHome));
                }
            }
            Does::PressHome { joints, .. } => joints.iter().for_each(|joint| self.closed(joint.value)),
            Does::Hold { things, by } => all.extend(self.held(things, by.value, &done)),
            Does::Touch { things, with } => all.extend(self.held(things, Bearer::Rig(with.value), &done)),
            // What turns on the way out need not turn on the way back: whoever wants a hand there writes it.
            Does::Steady { .. } => {}
            Does::Release { .. } => all.extend(self.let_go(&done)),
            Does::TieUp { thing, .. } => all.extend(self.thing(thing.value).into_iter().map(Undoes::Untie)),
            Does::Untie(things) => {
                for thing in things.iter().rev() {
                    let parts = self.ground.plan.parts_of(thing.value);
                    let tie = parts.iter().find_map(|part| state.ties.get(part));
                    if let Some(tie) = tie {
                        let steps = self.ground.plan.steps.iter();
                        let mut acts = steps.flat_map(|(_, step)| step.acts());
                        let tied = acts.find_map(|act| match &act.does {
                            Does::TieUp { to, limit, .. } if act.at == tie.at => Some((to.value, *limit)),
                            // A strap comes by this alone.
                            _ => None,
                        });
                        let (to, limit) = tied.unwrap_or((Thing::Part(tie.to), None));
                        let thing = self.thing(thing.value);
                        all.extend(thing.into_iter().map(|thing| Undoes::TieUp { thing, to, limit }));
                    }
                }
            }
            Does::Raise {
                things, on: None, by, ..
            } => all.push(Undoes::LowerBy {
                loads: self.loads(things),
                by: by.map(|said| said.value),
            }),
            Does::Raise {
                things,
                end,
                on: Some(_),
                ..
            } => {
                self.passed(act);
                all.extend(self.moved(things, end.map(|said| said.value), &done));
            }
            Does::Set { things, end, .. } => {
                all.extend(self.moved(things, end.map(|said| said.value), &done))
            }
            Does::Lower { things, by: Some(by) } => all.push(Undoes::RaiseBy {
                loads: self.loads(things),
                by: Some(by.value),
            }),
            Does::Lower { things, by: None } => all.extend(self.lowered(things, &done)),
            Does::Tilt {
                things,
                about,
                by,
                back,
            } => all.push(Undoes::Tilt {
                loads: self.loads(things),
                about: about
                    .iter()
                    .map(|said| Said::new(self.turns_on(said.value, things), said.at))
                    .collect(),
                by: *by,
                back: !back,
            }),
            Does::Draw { things, .. } => {
                for thing in things.iter().rev() {
                    all.extend(self.drawn(thing.value, &done));
                }
            }
            Does::MoveAside(things) => {
                for thing in things.iter().rev() {
                    all.extend(self.thing(thing.value).into_iter().map(Undoes::MoveBack));
                }
            }
            Does::MoveBack(things) => {
                for thing in things.iter().rev() {
                    all.extend(self.thing(thing.value).into_iter().map(Undoes::MoveAside));
                }
            }
            Does::TakeOff(things) => all.extend(self.fitted(things, &done, undoing, breaks)),
            Does::Drain { fluids, .. } => {
                let gone = |fluid: Id<Fluid>| self.ground.plan.fluids[fluid].gone.is_some();
                for fluid in fluids.iter().rev().filter(|said| !gone(said.value)) {
                    all.push(Undoes::Fill(fluid.value));
                    all.push(Undoes::Bleed(fluid.value));
                }
            }
            Does::Opening { act, joints, .. } => {
                for joint in joints.iter().rev() {
                    let back = match act {
                        OpeningAct::Clamp => OpeningAct::Unclamp,
                        OpeningAct::Cap => OpeningAct::Uncap,
                        OpeningAct::Plug => OpeningAct::Unplug,
                        OpeningAct::Unclamp | OpeningAct::Uncap | OpeningAct::Unplug => continue,
                    };
                    all.push(Undoes::Open {
                        act: back,
                        joint: joint.value,
                    });
                }
            }
            // What is put together while stripping stays so, and what is worked on; what is recorded is recalled in print.
            Does::SlideHome(_)
            | Does::Fit(_)
            | Does::Try(_)
            | Does::Fill { .. }
            | Does::Bleed(_)
            | Does::Weigh { .. }
            | Does::Run(_)
            | Does::Drive(_)
            | Does::Measure { .. }
            | Does::Photograph(_)
            | Does::Mark(_)
            | Does::Tag(_)
            | Does::Judge { .. }
            | Does::Soak(_)
            | Does::Look(_)
            | Does::MakeUp(_)
            | Does::Wait(_)
            | Does::WaitFor { .. }
            | Does::Work { .. }
            | Does::Verify { .. } => {}
        }
        for does in all {
            let number = self.next;
            self.next += 1;
            if let Undoes::Start(joint) | Undoes::Tighten(joint) | Undoes::PressHome(joint) = does {
                self.open.entry(joint).or_default().push(number);
            }
            undoing.backs.push(Back {
                at: act.at,
                number,
                does,
            });
        }
    }

    /// A joint was closed while stripping: what was to undo the acts before is done.
    fn closed(&mut self, joint: Id<Joint>) {
        self.closed_again
            .extend(self.open.remove(&joint).into_iter().flatten());
    }

    /// Put in by hand, and tight where it has something to tighten.
    fn closing(&self, joint: Id<Joint>) -> Vec<Undoes> {
        let facts = &self.ground.layout.joints[joint];
        let tightened = facts.tightened || facts.sets;
        let tight = tightened.then_some(Undoes::Tighten(joint));
        std::iter::once(Undoes::Start(joint)).chain(tight).collect()
    }

    /// The part that stands in a part's place at the end; none if nothing goes back.
    pub fn part(&self, part: Id<Part>) -> Option<Id<Part>> {
        back_part(self.ground, part)
    }

    /// The joint that is closed for one that was parted; none if nothing is.
    fn closes(
        &mut self,
        joint: Id<Joint>,
        done: &Done<'_>,
        undoing: &mut Undoing,
        breaks: &mut Vec<Break>,
    ) -> Option<Id<Joint>> {
        let facts = &self.ground.layout.joints[joint];
        let ends = facts.ends?;
        let new = replacing(self.ground, joint);
        if new.is_some() || facts.gone {
            return new;
        }
        let stays: Vec<bool> = ends.iter().map(|&end| self.part(end) == Some(end)).collect();
        if stays.iter().all(|&stays| stays) {
            let broken = matches!(
                done.made.iter().rev().find_map(|change| match change {
                    Change::Joint(id, _, new) if *id == joint => Some(new.broken),
                    _ => None,
                }),
                Some(true)
            );
            if broken && self.ground.plan.joints[joint].renew.is_none() && !facts.fixed {
                // Closed by what the owner says: asked for, and done.
                self.ask(Asked::Joint(joint), Vec::new(), done, undoing, breaks);
            }
            return Some(joint);
        }
        if stays.iter().any(|&stays| stays) {
            let gone = ends.into_iter().find(|&end| self.part(end) != Some(end))?;
            self.ask(
                Asked::Part(gone),
                vec![Subject::Joint(joint)],
                done,
                undoing,
                breaks,
            );
        }
        None
    }

    /// Asks the owner, once for each thing; further joints join the list.
    pub fn ask(
        &mut self,
        what: Asked,
        with: Vec<Subject>,
        done: &Done<'_>,
        undoing: &mut Undoing,
        breaks: &mut Vec<Break>,
    ) {
        undoing.asked.insert(what);
        let of = match what {
            Asked::Part(part) => Subject::Part(part),
            Asked::Joint(joint) => Subject::Joint(joint),
        };
        if self.asked.insert(what) {
            let mut told =
                Break::new(Broken::NoWayBack, Moment::Act, Some(done.step), done.at, done.at).of(of);
            told.with = with;
            breaks.push(told);
        } else if let Some(told) = breaks.iter_mut().find(|told| told.of.contains(&of)) {
            for subject in with {
                if !told.with.contains(&subject) {
                    told.with.push(subject);
                }
            }
        }
    }

    /// A thing as it goes back: itself where all of it does, else what of it does or takes its place.
    pub fn thing(&self, thing: Thing) -> Vec<Thing> {
        back_thing(self.ground, thing)
    }

    pub fn loads(&self, loads: &[Said<Load>]) -> Vec<Load> {
        loads.iter().flat_map(|load| self.load(load.value)).collect()
    }

    pub fn load(&self, load: Load) -> Vec<Load> {
        match load {
            Load::Thing(thing) => self.thing(thing).into_iter().map(Load::Thing).collect(),
            Load::Vehicle(_) => vec![load],
        }
    }

    fn held(&self, things: &[Said<Load>], by: Bearer, done: &Done<'_>) -> Option<Undoes> {
        let loads = self.loads(things);
        if loads.is_empty() {
            return None;
        }
        match by {
            Bearer::Rig(rig) => {
                let taken = done.made.iter().any(
                    |change| matches!(change, Change::Hold((_, Holder::Rig(other)), _, Some(_)) if *other == rig),
                );
                taken.then_some(Undoes::Release { loads, from: rig })
            }
            Bearer::Person(_) => Some(Undoes::Hold {
                loads,
                by,
                touch: false,
            }),
        }
    }

    /// Holds by rigs that an act ended, each rig's parts together.
    fn let_go(&self, done: &Done<'_>) -> Vec<Undoes> {
        let mut all: BTreeMap<(Id<Rig>, bool, bool), Vec<Load>> = BTreeMap::new();
        for change in done.made {
            if let Change::Hold((part, Holder::Rig(rig)), Some(held), None) = change {
                let off = done.state.is_off(*part);
                let loads = self.load(Load::Thing(Thing::Part(*part)));
                all.entry((*rig, held.touch, off)).or_default().extend(loads);
            }
        }
        all.into_iter()
            .filter(|(_, loads)| !loads.is_empty())
            .map(|((rig, touch, off), loads)| {
                if off && self.ground.plan.rigs[rig].lifts.is_some() {
                    Undoes::Raise { loads, on: rig }
                } else {
                    Undoes::Hold {
                        loads,
                        by: Bearer::Rig(rig),
                        touch,
                    }
                }
            })
            .collect()
    }

    /// The joint that a thing turns about on the way back: where another thing takes its place, the joint that comes with that.
    fn turns_on(&self, joint: Id<Joint>, things: &[Said<Load>]) -> Id<Joint> {
        let layout = self.ground.layout;
        let came: Vec<Id<Part>> = self
            .loads(things)
            .into_iter()
            .filter_map(|load| match load {
                Load::Thing(thing) => Some(self.ground.plan.parts_of(thing)),
                Load::Vehicle(_) => None,
            })
            .flatten()
            .collect();
        let of_these = |joint: Id<Joint>| {
            let ends = layout.joints[joint].ends;
            ends.into_iter().flatten().any(|end| came.contains(&end))
        };
        let mut heirs = layout.joints[joint].replaced_by.iter().copied();
        match of_these(joint) {
            true => joint,
            false => heirs.find(|&heir| of_these(heir)).unwrap_or(joint),
        }
    }
}
