//! Whether something is loaded while a card is worked: a hand that holds, what a rig has taken up and a joint has let go, what was just moved. Knows
//! how the machine stands where the card begins and the acts of the card in their order, and no page.

use std::collections::BTreeSet;

use crate::plan::model::{Bearer, Does, Fixings, Id, Joint, Load, Plan};
use crate::walk::after::{After, OnRigs};

/// What bears after the acts so far.
#[derive(Debug, Clone, Default)]
pub struct Loaded {
    /// What was taken up on this card, and by which rig or hand.
    held: Vec<(Bearer, Load)>,
    /// What rigs had when the card began.
    before: OnRigs,
    hands: bool,
    /// Joints that were let go, or are only started, while a rig bears for them.
    loose: BTreeSet<Id<Joint>>,
    /// What a rig has was moved or fitted, and nothing was tightened since.
    shifted: bool,
    moved: bool,
}

impl Loaded {
    /// As the machine stands where a card begins: rigs may bear from the card before.
    #[must_use]
    pub fn at(now: &After<'_>) -> Self {
        let before = now.on_rigs();
        Self {
            loose: before.loose.clone(),
            before,
            ..Self::default()
        }
    }

    /// Nobody turns a page now.
    #[must_use]
    pub fn is(&self) -> bool {
        self.shifted || !self.loose.is_empty() || self.hands || self.moved
    }

    /// What an act changes of it.
    pub fn after(&mut self, plan: &Plan, does: &Does) {
        // What was moved has come to rest with the act after.
        self.moved = false;
        match does {
            Does::Hold { things, by } => {
                self.hands |= matches!(by.value, Bearer::Person(_));
                let all = things.iter().map(|thing| (by.value, thing.value));
                self.held.extend(all);
            }
            Does::Release { things, from } => {
                let from = from.map(|said| said.value);
                let named = |load: Load| things.iter().any(|thing| thing.value == load);
                self.held
                    .retain(|&(bearer, load)| from.map_or(!named(load), |from| from != bearer));
                let freed = |bearer: Bearer| from.is_none_or(|from| from == bearer);
                if self.before.rigs.iter().any(|&rig| freed(Bearer::Rig(rig))) {
                    self.before.rigs.retain(|&rig| !freed(Bearer::Rig(rig)));
                }
                self.hands &= self.holds(|bearer| matches!(bearer, Bearer::Person(_)));
            }
            Does::Raise { things, .. } | Does::Lower { things, .. } | Does::Tilt { things, .. } => {
                self.moved = true;
                let on_rig = things.iter().any(|load| self.has(plan, load.value));
                self.shifted |= self.taken() || on_rig;
            }
            Does::Draw { things, .. } => {
                self.moved = true;
                let on_rig = things
                    .iter()
                    .any(|thing| self.has(plan, Load::Thing(thing.value)));
                self.shifted |= self.taken() || on_rig;
            }
            Does::Fit(_) | Does::Join { .. } => self.shifted |= self.taken(),
            Does::Undo(all) | Does::Slacken(all) => {
                self.lets_go(all.iter().map(|fixings| fixings.joint.value))
            }
            Does::PressApart { joints, .. } => self.lets_go(joints.iter().map(|joint| joint.value)),
            Does::Break { joint, .. } => self.lets_go([joint.value]),
            Does::Start(all) => {
                // What has nothing to tighten is home with it.
                let (tightened, home): (Vec<&Fixings>, Vec<&Fixings>) = all
                    .iter()
                    .partition(|fixings| plan.joints[fixings.joint.value].is_tightened());
                self.lets_go(tightened.iter().map(|fixings| fixings.joint.value));
                self.closed(plan, &home);
            }
            // Whoever held it carries it away.
            Does::TakeOff(_) => self.hands = false,
            Does::Tighten(all) => {
                self.closed(plan, &all.iter().collect::<Vec<_>>());
                // It is tight, and bears by itself.
                if self.loose.is_empty() {
                    (self.hands, self.shifted) = (false, false);
                }
            }
            // Nothing is taken up or let go by it.
            _ => {}
        }
        if !self.taken() && self.before.rigs.is_empty() {
            self.loose.clear();
            self.shifted = false;
        }
    }

    /// A rig has taken something up on this card.
    fn taken(&self) -> bool {
        self.holds(|bearer| matches!(bearer, Bearer::Rig(_)))
    }

    fn holds(&self, which: impl Fn(Bearer) -> bool) -> bool {
        self.held.iter().any(|&(bearer, _)| which(bearer))
    }

    /// A rig has it from before this card.
    fn has(&self, plan: &Plan, load: Load) -> bool {
        match load {
            Load::Thing(thing) => {
                let parts = plan.parts_of(thing);
                parts.iter().any(|part| self.before.parts.contains(part))
            }
            Load::Vehicle(_) => false,
        }
    }

    /// Of what rigs had before the card, only what ties that to the rest loads them.
    fn lets_go(&mut self, joints: impl IntoIterator<Item = Id<Joint>>) {
        let taken = self.taken();
        let loads = |joint: &Id<Joint>| taken || self.before.joints.contains(joint);
        self.loose.extend(joints.into_iter().filter(loads));
    }

    fn closed(&mut self, plan: &Plan, all: &[&Fixings]) {
        for fixings in all {
            let joint = fixings.joint.value;
            let whole = plan.joints[joint].fixing_count();
            if fixings.count.is_none_or(|count| count.value >= whole) {
                self.loose.remove(&joint);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Loaded;
    use crate::base::picture::NoPictures;
    use crate::base::source::Source;
    use crate::compile::compile;

    /// After each of these acts: whether nobody turns a page now.
    fn after_each(acts: &str) -> Vec<bool> {
        let text = format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"W\"; body shell\nperson ada\nrig jack; lifts; rated 500 kg
part arm; mass 5 kg quoted\npart lamp; mass 1 kg quoted\njoint ball: arm to shell; carries; bolts 1 x M12; torque 80 N m
joint eye: arm to shell; carries; bolts 2 x M12; torque 80 N m\njoint lamp-bolts: lamp to shell; carries; bolts 2 x M6; torque 8 N m\nstep work; by ada; {acts}\n"
        );
        let done = compile(
            vec![Source::new("plan.boltplan".to_owned(), text, false)],
            &NoPictures,
        );
        let step = *done.plan.order.last().expect("a step");
        let now = done
            .walk
            .before_act(&done.plan, step, 0)
            .expect("a step that is walked");
        let mut loaded = Loaded::at(&now);
        let acts = done.plan.steps[step].acts();
        acts.map(|act| {
            loaded.after(&done.plan, &act.does);
            loaded.is()
        })
        .collect()
    }

    #[test]
    fn one_of_two_joints_tight_leaves_the_other_loaded() {
        let acts = "hold arm with jack; undo ball, eye; start ball, eye; tighten ball; look \"So\"; tighten eye; release arm from jack";
        assert_eq!(after_each(acts), [false, true, true, true, true, false, false]);
        // A part of a joint's fixings is not the joint.
        let acts =
            "hold arm with jack; undo eye; start eye; tighten 1 of eye; tighten eye; release arm from jack";
        assert_eq!(after_each(acts), [false, true, true, true, false, false]);
    }

    #[test]
    fn a_rig_that_bears_from_the_card_before_is_loaded_on_this_one() {
        // Nothing was let go when the card began: the first joint of the arm loads the jack, one that the jack does not have does not.
        let acts = "hold arm with jack\nstep next; by ada; undo lamp-bolts; undo ball; look \"So\"";
        assert_eq!(after_each(acts), [false, true, true]);
        let acts = "hold arm with jack; undo ball\nstep next; by ada; look \"So\"; start ball; tighten ball; look \"So\"";
        assert_eq!(after_each(acts), [true, true, false, false]);
        // Let down from it, nothing is loaded any more.
        let acts = "hold arm with jack; undo ball\nstep next; by ada; look \"So\"; release arm from jack";
        assert_eq!(after_each(acts), [true, false]);
    }

    #[test]
    fn loaded_from_the_first_joint_that_is_let_go_to_the_last_that_is_tight() {
        let acts = "hold arm with jack; tie up arm to shell; undo ball; look \"It hangs\"; start ball; tighten ball; release arm from jack";
        assert_eq!(after_each(acts), [false, false, true, true, true, false, false]);
        // Nothing has it: nothing is loaded.
        assert_eq!(after_each("slacken ball; tighten ball"), [false, false]);
        // A hand that holds turns no page.
        assert_eq!(
            after_each("hold arm by ada; undo ball; take off arm"),
            [true, true, false]
        );
        // Moved by a rig, and let go.
        assert_eq!(
            after_each("hold arm with jack; lower arm by 20 mm; release arm from jack"),
            [false, true, false]
        );
    }
}
