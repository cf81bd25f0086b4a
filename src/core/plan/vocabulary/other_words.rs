//! Words that people say for what the language calls otherwise. Where a word means one statement and nothing else, it is read as that, and
//! never printed; where it may mean several, or wants more said, it is answered with the language's own. Knows no text.

use crate::syntax::shapes::{BlockKind, Shape, of_block};

/// In which block, what is said, and the statement that it is read as.
pub const READ_AS: &[(BlockKind, &str, &str)] = &[
    (BlockKind::Vehicle, "weight", "mass"),
    (BlockKind::Vehicle, "weighs", "mass"),
    (BlockKind::Machine, "weight", "mass"),
    (BlockKind::Machine, "weighs", "mass"),
    (BlockKind::Person, "can lift", "lifts"),
    (BlockKind::Rig, "weight", "mass"),
    (BlockKind::Rig, "weighs", "mass"),
    (BlockKind::Rig, "capacity", "rated"),
    (BlockKind::Rig, "price", "cost"),
    (BlockKind::Tool, "price", "cost"),
    (BlockKind::Consumable, "price", "cost"),
    (BlockKind::Part, "weight", "mass"),
    (BlockKind::Part, "weighs", "mass"),
    (BlockKind::Part, "price", "cost"),
    (BlockKind::Part, "costs", "cost"),
    (BlockKind::Part, "replaces", "in place of"),
    (BlockKind::Part, "bolted to", "fixed to"),
    (BlockKind::Part, "fastened to", "fixed to"),
    (BlockKind::Assembly, "weight", "mass"),
    (BlockKind::Assembly, "weighs", "mass"),
    (BlockKind::Joint, "bolt", "bolts"),
    (BlockKind::Joint, "stud", "studs"),
    (BlockKind::Joint, "nut", "nuts"),
    (BlockKind::Joint, "screw", "screws"),
    (BlockKind::Joint, "torx", "hexalobular"),
    (BlockKind::Joint, "six-lobe", "hexalobular"),
    (BlockKind::Joint, "allen key", "key"),
    (BlockKind::Joint, "allen", "key"),
    (BlockKind::Joint, "hex key", "key"),
    (BlockKind::Joint, "hexagon key", "key"),
    (BlockKind::Joint, "spanner", "head"),
    (BlockKind::Joint, "wrench", "head"),
    (BlockKind::Joint, "phillips", "cross"),
    (BlockKind::Joint, "philips", "cross"),
    (BlockKind::Joint, "cross-head", "cross"),
    (BlockKind::Joint, "flat blade", "slotted"),
    (BlockKind::Joint, "left hand thread", "left-hand thread"),
    (BlockKind::Joint, "washer", "washers"),
    (BlockKind::Joint, "thread lock", "threadlock"),
    (BlockKind::Joint, "threadlocker", "threadlock"),
    (BlockKind::Joint, "connector", "plug"),
    (BlockKind::Joint, "wire", "cable"),
    (BlockKind::Joint, "glued", "bonded"),
    (BlockKind::Joint, "weld", "welded"),
    (BlockKind::Joint, "price", "cost"),
    (BlockKind::Joint, "replaces", "in place of"),
    (BlockKind::Fluid, "volume", "holds"),
    (BlockKind::Fluid, "capacity", "holds"),
    (BlockKind::Step, "duration", "time"),
];

/// Where a mass comes from, in other words than the language's.
pub const ORIGINS_READ_AS: &[(&str, &str)] = &[
    ("guessed", "estimated"),
    ("guess", "estimated"),
    ("estimate", "estimated"),
    ("approx", "estimated"),
    ("measured", "weighed"),
];

/// The statement that begins with these words, read as the language's own, and how many words that are said for it.
#[must_use]
pub fn read_as<'a>(
    block: BlockKind,
    word: impl Fn(usize) -> Option<&'a str>,
) -> Option<(&'static Shape, usize)> {
    let said = |words: &str| {
        words
            .split(' ')
            .enumerate()
            .all(|(n, said)| word(n) == Some(said))
    };
    let fitting = READ_AS
        .iter()
        .filter(|(of, other, _)| *of == block && said(other));
    let (_, other, own) = fitting.max_by_key(|(_, other, _)| other.len())?;
    let shape = of_block(block).find(|shape| shape.words == *own)?;
    Some((shape, other.split(' ').count()))
}

/// In which block, what is said, and what is written there.
pub const OTHER_WORDS: &[(BlockKind, &str, &str)] = &[
    (BlockKind::Step, "loosen", "`slacken`"),
    (
        BlockKind::Step,
        "remove",
        "`undo` for a joint, `take off` for a part",
    ),
    (
        BlockKind::Step,
        "put",
        "`set THING on RIG`, or `fit` for a part that goes on",
    ),
    (
        BlockKind::Step,
        "bin",
        "`take off`, and in the part's block: afterwards scrapped",
    ),
    (BlockKind::Step, "unclip", "`undo`"),
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
    (
        BlockKind::Joint,
        "nyloc",
        "`nuts 2 x M8x1.25; renew \"locking nuts\"`",
    ),
    (
        BlockKind::Joint,
        "nylock",
        "`nuts 2 x M8x1.25; renew \"locking nuts\"`",
    ),
    (
        BlockKind::Joint,
        "allen-bolt",
        "`bolts 2 x M8x1.25`, and `key 6 mm` for what turns it",
    ),
    (
        BlockKind::Joint,
        "flat",
        "`slotted`, or `head 16 mm` for a spanner",
    ),
    (
        BlockKind::Part,
        "bolts",
        "`fixed to THING by bolts 4 x M10x1.25`, or a joint block",
    ),
    (
        BlockKind::Part,
        "torque",
        "it after `fixed to THING by bolts 4 x M10x1.25`, or in a joint block",
    ),
    (BlockKind::Joint, "rivets", "`riveted`, and how many: `count 24`"),
    (BlockKind::Joint, "rivet", "`riveted`, and how many: `count 24`"),
    (BlockKind::Joint, "clips", "`clip`, and how many: `count 4`"),
    (BlockKind::Joint, "pins", "`pin`, and how many: `count 2`"),
    (BlockKind::Joint, "glue", "`bonded`"),
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

    /// What the language itself says there is no other word for it.
    #[test]
    fn none_is_a_word_of_its_block() {
        for (block, said, _) in OTHER_WORDS.iter().chain(READ_AS) {
            assert!(of_block(*block).all(|shape| shape.words != *said), "{said}");
        }
    }

    #[test]
    fn each_is_read_as_one_statement() {
        for (block, said, own) in READ_AS {
            let words: Vec<&str> = said.split(' ').collect();
            let (shape, used) = read_as(*block, |n| words.get(n).copied()).expect("it is read");
            assert_eq!((shape.words, used), (*own, words.len()));
            assert!(
                own_word(*block, said).is_none(),
                "{said} is read, and answered too"
            );
        }
        assert!(read_as(BlockKind::Joint, |n| (n == 0).then_some("hex")).is_none());
    }
}
