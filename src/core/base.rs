//! Floor 0: what every other floor speaks with. Source text and places in it, findings as plain data, and
//! quantities with exact conversions. Knows nothing of plans, and nothing of disks.

pub mod citation;
pub mod date;
pub mod digits;
pub mod finding;
pub mod letters;
pub mod picture;
pub mod quantity;
pub mod source;
pub mod unit;
