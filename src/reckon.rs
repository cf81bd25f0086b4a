//! Floor 3: formulas of the trade as pure functions on quantities: mass and its uncertainty, balance, lifting, handling, fastening.
//! Each names its source, its range and its units. Knows neither plans' text nor wording.

pub mod axles;
pub mod ballast;
pub mod closing;
pub mod composite;
pub mod corners;
pub mod fluids;
pub mod gap;
pub mod handling;
pub mod height;
pub mod lifting_index;
pub mod mass;
pub mod niosh;
pub mod normal;
pub mod polygon;
pub mod scales;
pub mod shares;
pub mod slings;
pub mod tipping;
pub mod uncertainty;
pub mod unfit;
