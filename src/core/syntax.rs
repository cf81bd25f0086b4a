//! Floor 1: text to tree, every byte kept. The only user of pest. Knows which statements there are and how
//! they are spelt, but not what a name means.

pub(crate) mod cursor;
pub mod grammar;
pub mod hidden;
pub mod shapes;
pub mod tidy;
pub mod tree;
