//! Floor 3: the machine's state through the steps; what bears what, and what is tied to what. Knows masses only as added
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
mod invariants;
pub mod layout;
pub mod loads;
pub mod state;
mod support;
pub mod table;
mod walker;

use crate::plan::model::{Id, Plan, Step};
use after::After;
use breaks::Break;
use layout::Layout;
use loads::LoadEvent;
use state::{Change, State};
use walker::{KEPT_EVERY, Walker};

/// A plan, walked: what was found, and the way back to the state after any step.
#[derive(Debug, Default, Clone)]
pub struct Walk {
    /// In the order in which they happen.
    pub breaks: Vec<Break>,
    /// What bears what, and how that changes, in the same order.
    pub loads: Vec<LoadEvent>,
    layout: Layout,
    order: Vec<Id<Step>>,
    /// The state at the start, and after every so many steps.
    kept: Vec<State>,
    changes: Vec<Change>,
    /// For each step, the number of changes when it had ended.
    step_ends: Vec<usize>,
}

/// Walks the steps in the order of work.
#[must_use]
pub fn walk(plan: &Plan) -> Walk {
    let layout = Layout::new(plan);
    let mut walker = Walker::new(plan, &layout);
    walker.run();
    let Walker {
        breaks,
        kept,
        changes,
        step_ends,
        observer,
        ..
    } = walker;
    Walk {
        breaks: breaks.into_iter().flatten().collect(),
        loads: observer.events,
        layout,
        order: plan.order.clone(),
        kept,
        changes,
        step_ends,
    }
}

impl Walk {
    /// The machine as it was found.
    #[must_use]
    pub fn before<'a>(&'a self, plan: &'a Plan) -> After<'a> {
        After::new(plan, &self.layout, self.kept.first().cloned().unwrap_or_default())
    }

    /// The machine after a step; none for a step that is not in the order of work. Costs the changes since the nearest kept state.
    #[must_use]
    pub fn after<'a>(&'a self, plan: &'a Plan, step: Id<Step>) -> Option<After<'a>> {
        let nth = self.order.iter().position(|&other| other == step)?;
        self.after_nth(plan, nth)
    }

    /// The machine after the nth step of the work, from 0.
    #[must_use]
    pub fn after_nth<'a>(&'a self, plan: &'a Plan, nth: usize) -> Option<After<'a>> {
        let upto = *self.step_ends.get(nth)?;
        let nearest = (nth + 1) / KEPT_EVERY;
        let mut state = self.kept.get(nearest)?.clone();
        let from = match nearest * KEPT_EVERY {
            0 => 0,
            steps => *self.step_ends.get(steps - 1)?,
        };
        for change in self.changes.get(from..upto)? {
            state.apply(change);
        }
        Some(After::new(plan, &self.layout, state))
    }
}
