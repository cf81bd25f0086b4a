//! Whether something is loaded while a card is worked: a hand that holds, what a rig has taken up and a joint has let go, what was just moved. Knows
//! the acts of one card in their order, and no page.

use crate::plan::model::{Bearer, Does};

/// What bears after the acts so far.
#[derive(Debug, Clone, Copy, Default)]
pub struct Loaded {
    rigs: usize,
    /// What a rig has is on it: something that bore it was parted, or it was moved against it.
    live: bool,
    hands: bool,
    moved: bool,
}

impl Loaded {
    /// Nobody turns a page now.
    #[must_use]
    pub fn is(&self) -> bool {
        self.live || self.hands || self.moved
    }

    /// What an act changes of it.
    pub fn after(&mut self, does: &Does) {
        // What was moved has come to rest with the act after.
        self.moved = false;
        match does {
            Does::Hold { by, .. } => match by.value {
                Bearer::Rig(_) => self.rigs += 1,
                Bearer::Person(_) => self.hands = true,
            },
            Does::Release { from, .. } => match from.map(|said| said.value) {
                Some(Bearer::Person(_)) => self.hands = false,
                Some(Bearer::Rig(_)) | None => self.rigs = self.rigs.saturating_sub(1),
            },
            Does::Raise { .. } | Does::Lower { .. } | Does::Draw { .. } | Does::Tilt { .. } => {
                self.moved = true;
                self.live = self.rigs > 0;
            }
            Does::Fit(_)
            | Does::Start(_)
            | Does::Join { .. }
            | Does::Undo(_)
            | Does::Slacken(_)
            | Does::PressApart { .. }
            | Does::Break { .. } => {
                self.live = self.rigs > 0;
            }
            // Whoever held it carries it away.
            Does::TakeOff(_) => self.hands = false,
            // It is tight, and bears by itself.
            Does::Tighten(_) => (self.hands, self.live) = (false, false),
            // Nothing is taken up or let go by it.
            _ => {}
        }
        self.live &= self.rigs > 0;
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
part arm; mass 5 kg quoted\njoint ball: arm to shell; carries; bolts 1 x M12; torque 80 N m\nstep work; by ada; {acts}\n"
        );
        let done = compile(
            vec![Source::new("plan.boltplan".to_owned(), text, false)],
            &NoPictures,
        );
        let mut loaded = Loaded::default();
        let step = done.plan.order.first().expect("a step");
        let acts = done.plan.steps[*step].acts();
        acts.map(|act| {
            loaded.after(&act.does);
            loaded.is()
        })
        .collect()
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
