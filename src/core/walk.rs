//! Floor 4: the machine's state through the steps; what bears what, and what is tied to what. Knows masses only as added
//! milligrams, and words nothing: what it finds leaves here as [`breaks::Break`]s.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

mod act_holds;
mod act_joints;
mod act_moves;
mod acts;
pub mod after;
pub mod breaks;
mod closing;
mod cut;
mod derive;
pub mod draft;
pub mod hazards;
mod intact;
mod invariants;
pub(crate) mod layout;
pub mod loads;
mod pressures;
mod ready;
mod search;
mod spring_paths;
pub mod springs;
pub mod state;
mod support;
pub mod table;
mod tally;
mod walker;
mod ways;
mod work;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::plan::halts;
use crate::plan::model::{Act, Halt, Id, Part, Plan, Step};
use crate::weights::Table as Masses;
use after::After;
use breaks::Break;
pub use derive::derive;
use hazards::Met;
use layout::Layout;
use loads::LoadEvent;
use state::{Change, PartState, Presence, State};
use walker::{Kept, Walker};

/// A plan, walked: what was found, and the way back to the state after any step.
#[derive(Debug, Default, Clone)]
pub struct Walk {
    /// In the order in which they happen.
    pub breaks: Vec<Break>,
    /// Hazards that the acts met, in the same order.
    pub met: Vec<Met>,
    /// Springs that a rig alone keeps in, in the same order.
    pub springs: Vec<springs::Borne>,
    /// What bears what, and how that changes, in the same order.
    pub loads: Vec<LoadEvent>,
    /// How often a search looked at a part: a measure of the work that the walk was, the same on every run.
    pub looked: u64,
    layout: Layout,
    /// For each step of the plan, its place in the order of work.
    places: Vec<Option<usize>>,
    /// The state at the start, and after every so many changes.
    kept: Vec<Kept>,
    changes: Vec<Change>,
    /// For each step, the number of changes when it had ended.
    step_ends: Vec<usize>,
    /// For each act of all steps, the number of changes before and after it.
    act_changes: Vec<(usize, usize)>,
    /// For each step, how many acts the steps before it have.
    acts_before: Vec<usize>,
    recent: Recent,
}

/// The state that was asked for last: whoever goes through the steps asks for the next one.
#[derive(Debug, Default)]
struct Recent(Mutex<Asked>);

#[derive(Debug, Default)]
struct Asked {
    /// With the number of changes that led to it.
    last: Option<(usize, Arc<State>)>,
    /// Changes played to get from one state to another.
    played: u64,
}

impl Clone for Recent {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// Walks the steps in the order of work; each thing weighs what `masses` says of it.
#[must_use]
pub fn walk(plan: &Plan, masses: &Masses) -> Walk {
    let layout = Layout::new(plan, masses);
    let mut walker = Walker::new(plan, &layout);
    walker.run();
    let Walker {
        breaks,
        met,
        springs,
        kept,
        changes,
        step_ends,
        act_changes,
        observer,
        ..
    } = walker;
    let mut acts_before = Vec::with_capacity(plan.order.len());
    let mut acts = 0;
    for &step in &plan.order {
        acts_before.push(acts);
        acts += plan.steps[step].acts().count();
    }
    let mut places = vec![None; plan.steps.len()];
    for (nth, step) in plan.order.iter().enumerate() {
        places[step.index()] = Some(nth);
    }
    Walk {
        breaks: breaks.into_iter().flatten().collect(),
        met,
        springs: springs.borne,
        loads: observer.events,
        looked: layout.looked.count(),
        layout,
        places,
        kept,
        changes,
        step_ends,
        act_changes,
        acts_before,
        recent: Recent::default(),
    }
}

impl Walk {
    /// How many changes were played to show states: a measure of the work that asking for them was, the same on every run.
    #[must_use]
    pub fn played(&self) -> u64 {
        self.recent
            .0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .played
    }

    /// The machine as it was found.
    #[must_use]
    pub fn before<'a>(&'a self, plan: &'a Plan) -> After<'a> {
        let found = self.kept.first().map(|kept| kept.state.clone());
        After::new(plan, &self.layout, Arc::new(found.unwrap_or_default()))
    }

    /// The machine after a step; none for a step that is not in the order of work. Costs the changes since the nearest kept state.
    #[must_use]
    pub fn after<'a>(&'a self, plan: &'a Plan, step: Id<Step>) -> Option<After<'a>> {
        let nth = self.nth(step)?;
        self.after_nth(plan, nth)
    }

    /// The machine after the nth step of the work, from 0.
    #[must_use]
    pub fn after_nth<'a>(&'a self, plan: &'a Plan, nth: usize) -> Option<After<'a>> {
        let upto = *self.step_ends.get(nth)?;
        self.moment(plan, upto)
    }

    /// The machine before an act of a step; the act by its place among the step's acts, from 0.
    #[must_use]
    pub fn before_act<'a>(&'a self, plan: &'a Plan, step: Id<Step>, act: usize) -> Option<After<'a>> {
        let nth = self.nth(step)?;
        let (upto, _) = *self.act_changes.get(self.acts_before.get(nth)? + act)?;
        self.moment(plan, upto)
    }

    /// The machine in the midst of a step: behind so many of its acts, and so many names of the next one's list.
    #[must_use]
    pub fn midst<'a>(&'a self, plan: &'a Plan, halt: Halt) -> Option<After<'a>> {
        let nth = self.nth(halt.step)?;
        let first = *self.acts_before.get(nth)?;
        let upto = match halt.acts.checked_sub(1) {
            Some(last) => self.act_changes.get(first + last)?.1,
            None => nth
                .checked_sub(1)
                .map_or(Some(0), |before| self.step_ends.get(before).copied())?,
        };
        if halt.names == 0 {
            return self.moment(plan, upto);
        }
        let act = plan.steps[halt.step].acts().nth(halt.acts)?;
        let mut does = vec![act.does.first(halt.names)?];
        let mut from = upto;
        if let Some(start) = halts::started_with(plan, halt) {
            // Of the act before only what this one has tightened was done.
            from = self.act_changes.get(first + halt.acts - 1)?.0;
            does.insert(0, start);
        }
        let mut walker = Walker::from(plan, &self.layout, self.moment(plan, from)?.into_state());
        for does in does {
            walker.run_act(halt.step, nth, &Act { at: act.at, does });
        }
        Some(After::new(plan, &self.layout, Arc::new(walker.state)))
    }

    fn nth(&self, step: Id<Step>) -> Option<usize> {
        self.places.get(step.index()).copied().flatten()
    }

    /// The parts that a step took off or put on, of whatever act.
    pub fn moved(&self, nth: usize) -> impl Iterator<Item = Id<Part>> {
        let from = nth.checked_sub(1).and_then(|before| self.step_ends.get(before));
        let from = from.copied().unwrap_or(0);
        let upto = self.step_ends.get(nth).copied().unwrap_or(from);
        let mut first: BTreeMap<Id<Part>, (bool, bool)> = BTreeMap::new();
        for change in self.changes.get(from..upto).unwrap_or_default() {
            if let Change::Part(part, old, new) = change {
                let off = |state: &PartState| state.presence == Presence::Off;
                first.entry(*part).or_insert((off(old), off(new))).1 = off(new);
            }
        }
        first
            .into_iter()
            .filter_map(|(part, (before, after))| (before != after).then_some(part))
    }

    /// The state after so many changes: from the one that was asked for last, forwards or back, or from a kept one, whichever is nearer.
    fn moment<'a>(&'a self, plan: &'a Plan, upto: usize) -> Option<After<'a>> {
        let behind = self.kept.partition_point(|kept| kept.changes <= upto);
        let nearest = self.kept.get(behind.checked_sub(1)?)?;
        // Whoever panicked with it in hand left it whole or empty.
        let mut recent = self.recent.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (at, mut shared) = match recent.last.take() {
            Some((at, state)) if at.abs_diff(upto) <= upto - nearest.changes => (at, state),
            _ => (nearest.changes, Arc::new(nearest.state.clone())),
        };
        if at != upto {
            let state = Arc::make_mut(&mut shared);
            for change in self.changes.get(at..upto).unwrap_or_default() {
                state.apply(change);
            }
            for change in self.changes.get(upto..at).unwrap_or_default().iter().rev() {
                state.take_back(change);
            }
        }
        recent.played += at.abs_diff(upto) as u64;
        recent.last = Some((upto, Arc::clone(&shared)));
        Some(After::new(plan, &self.layout, shared))
    }
}
