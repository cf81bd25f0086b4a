//! Whether something is loaded while a card is worked: a hand that holds, a rig that has taken something up, what was just moved. Knows the
//! acts of one card in their order, and no page.

use crate::plan::model::{Bearer, Does};

/// What bears after the acts so far.
#[derive(Debug, Default)]
pub struct Loaded {
    rigs: usize,
    hands: bool,
    moved: bool,
}

impl Loaded {
    #[must_use]
    pub fn is(&self) -> bool {
        self.rigs > 0 || self.hands || self.moved
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
                self.moved = true
            }
            // Whoever held it carries it away, or it is tight.
            Does::TakeOff(_) | Does::Tighten(_) => self.hands = false,
            // Nothing is taken up or let go by it.
            _ => {}
        }
    }
}
