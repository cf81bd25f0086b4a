//! Paper: the neutral document through the embedded page engine to PDF. Only `engine` knows the engine; `mirror`
//! is the data as the template reads it. Must not know plans, nor where files lie on a disk.

mod breaks;
mod cards;
mod clean;
mod convert;
mod decimal;
mod engine;
mod estimate;
mod feet;
mod flow;
mod labels;
mod mirror;
mod pieces;
pub mod print;
mod proof;
mod rows;
#[cfg(test)]
mod tests;
mod units;

pub use engine::{Ink, PageFound, Sign, readable_drawing};
pub use labels::print as labels;
