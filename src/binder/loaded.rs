//! Whether something is loaded while a card is worked: a hand that holds, what a rig has taken up and a joint has let go, what was just moved. Knows
//! the acts of one card in their order, and no page.

use crate::plan::model::{Bearer, Does};

/// What bears after the acts so far.
#[derive(Debug, Default)]
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
            Does::Undo(_) | Does::Slacken(_) | Does::PressApart { .. } | Does::Break { .. } => {
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
