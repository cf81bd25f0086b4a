//! How often a search looked at a part, so that a test can see a walk that grows faster than its plan. Costs a load and a store.

use std::sync::atomic::{AtomicU64, Ordering};

#[derive(Debug, Default)]
pub struct Tally(AtomicU64);

impl Tally {
    /// Loses counts if several threads count at once; a walk is one thread.
    pub fn add(&self, more: usize) {
        let so_far = self.0.load(Ordering::Relaxed);
        self.0
            .store(so_far.saturating_add(more as u64), Ordering::Relaxed);
    }

    pub fn count(&self) -> u64 {
        self.0.load(Ordering::Relaxed)
    }
}

impl Clone for Tally {
    fn clone(&self) -> Self {
        Self(AtomicU64::new(self.count()))
    }
}
