//! Second reading: the statements of each block, names resolved and amounts typed. Blocks are read side by side; what
//! is wrong with a statement is noted and the statement skipped, and the rest of the block still counts.

pub mod acts;
pub mod amounts;
pub mod block;
pub mod days;
pub mod joints;
pub mod names;
pub mod plan;
pub mod rigs;
pub mod steps;
pub mod things;
pub mod weighings;
