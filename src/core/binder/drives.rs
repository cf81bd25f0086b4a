//! What the hand tools that come in sizes are called. Which of them the joints want stands in `plan/drives.rs`.

use super::binding::Binding;
pub use crate::plan::drives::{DriveNeed, Family};

impl Family {
    /// One of it and several: "socket", "sockets".
    #[must_use]
    pub fn words(self, binding: &Binding<'_>) -> (&'static str, String) {
        let one = binding.words.say(self.word());
        let many = if one.ends_with("ch") {
            format!("{one}es")
        } else {
            format!("{one}s")
        };
        (one, many)
    }
}
