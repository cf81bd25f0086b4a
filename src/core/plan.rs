//! Floor 2: names resolved and amounts typed: bodies, things, joints, rigs, steps, weighings and logs, by id.
//! Knows nothing of the order of events, and words nothing: what is wrong with a plan's names leaves here as
//! [`plan_error::PlanError`]s.

pub mod declare;
pub mod drives;
pub mod halts;
pub mod hazards;
pub mod link;
pub mod logged;
pub mod mentions;
pub mod model;
pub mod named;
pub mod plan_error;
pub mod prose;
pub(crate) mod read;
pub mod resolve;
pub mod reversed;
pub mod scope;
pub mod swaps;
pub mod vocabulary;
pub mod write;
