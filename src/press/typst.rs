//! Paper: the neutral document through the embedded page engine to PDF. Only `engine` knows the engine; `given`
//! is the data as the template reads it. Must not know plans, nor where files lie on a disk.

mod breaks;
mod cards;
mod clean;
mod decimal;
mod engine;
mod estimate;
mod facts;
mod feet;
mod flow;
mod given;
mod labels;
mod pictures;
pub mod print;
mod proof;
mod rows;
mod stands;
#[cfg(test)]
mod tests;
mod units;

pub use engine::{Ink, PageFound, Sign, readable_drawing};
pub use labels::print as labels;
