//! Words that people say for what the language calls otherwise. A statement that begins with one is answered with the language's own.
//! Knows no text.

use crate::syntax::shapes::BlockKind;

/// In which block, what is said, and what is written there.
pub const OTHER_WORDS: &[(BlockKind, &str, &str)] = &[
    (BlockKind::Step, "loosen", "`slacken`"),
    (
        BlockKind::Step,
        "remove",
        "`undo` for a joint, `take off` for a part",
    ),
    (BlockKind::Step, "disconnect", "`undo`"),
    (BlockKind::Step, "unbolt", "`undo`"),
    (BlockKind::Step, "unscrew", "`undo`"),
    (BlockKind::Step, "detach", "`undo`"),
    (BlockKind::Step, "connect", "`start`"),
    (BlockKind::Step, "attach", "`start`, then `tighten`"),
    (BlockKind::Step, "install", "`fit`, then `start` and `tighten`"),
    (BlockKind::Step, "refit", "`fit`"),
    (
        BlockKind::Step,
        "torque",
        "`tighten`: the figure stands on the joint",
    ),
    (BlockKind::Step, "jack", "`raise ... on RIG`"),
    (BlockKind::Step, "lift", "`raise ... on RIG`"),
    (BlockKind::Step, "support", "`hold ... with RIG`"),
    (BlockKind::Step, "check", "`look` or `verify`"),
    (BlockKind::Step, "inspect", "`look`"),
    (
        BlockKind::Step,
        "replace",
        "`take off` the old one, `fit` the new one",
    ),
    (BlockKind::Step, "refill", "`fill`"),
    (BlockKind::Step, "glue", "`bond`: the joint is `bonded`"),
    (BlockKind::Step, "sand", "`grind`"),
    (BlockKind::Step, "saw", "`cut` for a part, `break` for a joint"),
    (BlockKind::Step, "spray", "`paint`"),
    (BlockKind::Joint, "torx", "`hexalobular T40`"),
    (BlockKind::Joint, "allen", "`key 6 mm`"),
    (
        BlockKind::Joint,
        "hex",
        "`head 16 mm`, or `key 6 mm` for an inside hexagon",
    ),
    (
        BlockKind::Joint,
        "socket",
        "`head 16 mm`, or `key 6 mm` for an inside hexagon",
    ),
    (BlockKind::Joint, "philips", "`cross PH2`"),
    (BlockKind::Joint, "phillips", "`cross PH2`"),
    (BlockKind::Joint, "flat", "`slotted`"),
    (BlockKind::Joint, "bolt", "`bolts 2 x M10x1.25`"),
    (BlockKind::Joint, "rivets", "`riveted`, and how many: `count 24`"),
    (BlockKind::Joint, "rivet", "`riveted`, and how many: `count 24`"),
    (BlockKind::Joint, "clips", "`clip`, and how many: `count 4`"),
    (BlockKind::Joint, "pins", "`pin`, and how many: `count 2`"),
    (BlockKind::Joint, "glued", "`bonded`"),
    (BlockKind::Joint, "glue", "`bonded`"),
    (BlockKind::Joint, "weld", "`welded`"),
    (BlockKind::Joint, "connector", "`plug`"),
    (BlockKind::Joint, "wire", "`cable`"),
    (
        BlockKind::Joint,
        "washers",
        "them as a remark: `renew \"sealing washer\"`, or as a note",
    ),
    (
        BlockKind::Joint,
        "class",
        "`bolts 4 x M10x1.25 class 8.8`, where the fixings are counted",
    ),
    (
        BlockKind::Joint,
        "grade",
        "`bolts 4 x 3/8-16 grade 8`, where the fixings are counted",
    ),
    (
        BlockKind::Joint,
        "strength",
        "its class where the fixings are counted: `bolts 4 x M10x1.25 class 8.8`",
    ),
    (BlockKind::Joint, "cure", "`sets in 24 h`"),
    (BlockKind::Joint, "cures", "`sets in 24 h`"),
];

/// What is written for a word that is said.
#[must_use]
pub fn own_word(block: BlockKind, said: &str) -> Option<&'static str> {
    let mut rows = OTHER_WORDS.iter();
    rows.find(|(of, other, _)| *of == block && *other == said)
        .map(|(_, _, own)| *own)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::shapes::of_block;

    /// What the language itself says there is no other word for it.
    #[test]
    fn none_is_a_word_of_its_block() {
        for (block, said, _) in OTHER_WORDS {
            assert!(of_block(*block).all(|shape| shape.words != *said), "{said}");
        }
    }
}
