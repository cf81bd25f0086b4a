//! Floor 2: formulas of the trade as pure functions on quantities: mass and its uncertainty, balance, lifting, handling, fastening, time.
//! Each names its source, its range and its units. Knows neither plans' text nor wording.

pub mod amounts;
pub mod axles;
pub mod ballast;
pub mod bearing;
pub mod bolt_load;
pub mod closing;
pub mod composite;
pub mod contrast;
pub mod corners;
pub mod durations;
pub mod fluids;
pub mod friction;
pub mod gap;
pub mod handling;
pub mod height;
pub mod laying;
pub mod laying_days;
pub mod laying_stock;
pub mod lifting_index;
pub mod mass;
pub mod network;
pub mod niosh;
pub mod normal;
pub mod polygon;
pub mod scales;
pub mod shares;
pub mod signal;
pub mod slings;
pub mod spanner;
pub mod strength;
pub mod thread;
pub mod tipping;
pub mod torque;
pub mod uncertainty;
pub mod unfit;
