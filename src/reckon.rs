//! Floor 3: formulas of the trade as pure functions on quantities: mass and its uncertainty, balance, lifting, handling, fastening.
//! Each names its source, its range and its units. Knows neither plans' text nor wording.

pub mod amounts;
pub mod bearing;
pub mod bolt_load;
pub mod contrast;
pub mod friction;
pub mod signal;
pub mod spanner;
pub mod strength;
pub mod thread;
pub mod torque;
