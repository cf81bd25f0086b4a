//! Which things an act can be done to at a moment of the work: after `undo` the joints that are closed then. For completion only: what is
//! wrong is found by the walk, and not here.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use super::Desk;
use super::spot::Around;
use crate::plan::model::{Id, Part, Plan, Step, Thing};
use crate::plan::scope::Entity;
use crate::syntax::shapes::{BlockKind, Keyword};
use crate::walk::after::After;
use crate::walk::state::Opening;
use crate::{compile::Compilation, plan::vocabulary::acts::ActKind};

/// The machine as it is at a place in a step.
#[derive(Debug, Clone)]
pub struct Moment<'a> {
    /// The plan's last whole compilation.
    pub walked: &'a Compilation,
    /// The machine when the acts above are done.
    pub after: After<'a>,
    /// The step in whose midst this is; none before the first one.
    pub step: Option<Id<Step>>,
}

/// Whether a statement of a step is an act.
#[must_use]
pub fn is_act(keyword: Keyword) -> bool {
    ActKind::of(keyword).is_some() || keyword == Keyword::Slide
}

/// The moment before the statement that a byte lies in. Of a step that was never walked yet, the moment behind the step before it.
#[must_use]
pub fn moment<'a>(desk: Desk<'a>, around: Around<'_>, at: u32) -> Option<Moment<'a>> {
    let walked = desk.walked?;
    if around.kind != Some(BlockKind::Step) {
        return None;
    }
    let mut nth = around.nth;
    let mut own = true;
    loop {
        let block = Around::nth(around.file, around.tree, nth)?;
        let step = (block.kind == Some(BlockKind::Step))
            .then(|| step_named(&walked.plan, block.name()))
            .flatten();
        if let Some(step) = step {
            let after = if own {
                let before = |statement: &crate::syntax::tree::Statement| statement.end < at;
                let acts = block
                    .body()
                    .iter()
                    .filter(|statement| before(statement))
                    .filter(|statement| {
                        block
                            .shape(statement)
                            .is_some_and(|(shape, _)| is_act(shape.keyword))
                    })
                    .count();
                walked
                    .walk
                    .before_act(&walked.plan, step, acts)
                    .filter(|_| {
                        walked
                            .plan
                            .steps
                            .get(step)
                            .is_some_and(|step| acts < step.acts().count())
                    })
                    .or_else(|| walked.walk.after(&walked.plan, step))
            } else {
                walked.walk.after(&walked.plan, step)
            };
            return after.map(|after| Moment {
                walked,
                after,
                step: Some(step),
            });
        }
        own = false;
        match nth.checked_sub(1) {
            Some(before) => nth = before,
            None => {
                return Some(Moment {
                    walked,
                    after: walked.walk.before(&walked.plan),
                    step: None,
                });
            }
        }
    }
}

/// The step of this name, or the first of the sided block of this name.
fn step_named(plan: &Plan, name: &str) -> Option<Id<Step>> {
    let is = |step: &Step| {
        let own = &*step.head.name;
        own == name
            || own
                .strip_prefix(name)
                .is_some_and(|rest| rest.starts_with('-') && step.derived.is_none())
    };
    let exact = plan.steps.iter().find(|(_, step)| &*step.head.name == name);
    exact
        .or_else(|| plan.steps.iter().find(|(_, step)| is(step)))
        .map(|(id, _)| id)
}

impl Moment<'_> {
    /// Whether this act can be done to what bears this name, as the machine is.
    #[must_use]
    pub fn fits(&self, keyword: Keyword, name: &str) -> bool {
        let Some(entity) = self.walked.names.called(name).map(|known| known.entity) else {
            // Declared since the last walk: nothing is known of it.
            return true;
        };
        let plan = &self.walked.plan;
        match entity {
            Entity::Joint(joint) => {
                let state = self.after.state().joints[joint];
                let ties = self.after.ties(joint);
                match keyword {
                    Keyword::Undo
                    | Keyword::Pin
                    | Keyword::Break
                    | Keyword::PressApart
                    | Keyword::Mark
                    | Keyword::Tag
                    | Keyword::Soak
                    | Keyword::Verify => ties,
                    Keyword::Slacken => ties && state.tight > 0,
                    Keyword::Tighten => ties && !state.all_tight(),
                    Keyword::Start | Keyword::Rivet | Keyword::Bond | Keyword::PressHome => {
                        !state.broken && (!ties || state.out > 0)
                    }
                    Keyword::Cap | Keyword::Plug => state.opening == Opening::Open,
                    Keyword::Uncap => {
                        matches!(state.opening, Opening::Capped | Opening::CappedAndPlugged)
                    }
                    Keyword::Unplug => {
                        matches!(state.opening, Opening::Plugged | Opening::CappedAndPlugged)
                    }
                    Keyword::Clamp => !state.clamped,
                    Keyword::Unclamp => state.clamped,
                    // Work, weighing and what else may name a joint may come at any time.
                    _ => true,
                }
            }
            Entity::Part(part) => self.thing(keyword, &[part]),
            Entity::Assembly(assembly) => self.thing(keyword, &plan.parts_of(Thing::Assembly(assembly))),
            Entity::Fluid(fluid) => match keyword {
                Keyword::Drain => self.after.is_full(fluid),
                Keyword::Fill => !self.after.is_full(fluid),
                // The others take it as it is.
                _ => true,
            },
            _ => true,
        }
    }

    fn thing(&self, keyword: Keyword, parts: &[Id<Part>]) -> bool {
        let off = |part: &Id<Part>| self.after.is_off(*part);
        match keyword {
            Keyword::TakeOff | Keyword::MoveAside => !parts.iter().all(off),
            Keyword::Fit | Keyword::Try => parts.iter().any(off),
            Keyword::Untie => {
                let mut tied = self.after.tied_up();
                tied.any(|(part, _)| parts.contains(&part))
            }
            Keyword::Release => {
                let held = self.after.held();
                held.iter()
                    .any(|(_, all)| all.iter().any(|part| parts.contains(part)))
            }
            // The others are done to what is on and to what is off.
            _ => true,
        }
    }
}
