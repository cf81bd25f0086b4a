//! Floor 2: names resolved and amounts typed: bodies, things, joints, rigs, steps, weighings and logs, by id.
//! Knows nothing of the order of events, and words nothing: what is wrong with a plan's names leaves here as
//! [`slip::Slip`]s.

pub mod model;
pub mod slip;
