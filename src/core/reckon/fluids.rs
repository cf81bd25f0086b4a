//! Litres to kilograms, and what densities to expect. Knows nothing of what holds the fluid.

use super::unfit::{Unfit, not_negative, positive, within};
use crate::base::citation::Citation;

/// A usual range of densities, in kg/l.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// kg/l.
    pub least: f64,
    /// kg/l.
    pub most: f64,
    /// At this temperature, in degrees Celsius.
    pub celsius: f64,
    /// Where the two stand.
    pub source: Citation,
}

/// Diesel fuel.
pub const DIESEL: Range = Range {
    least: 0.820,
    most: 0.845,
    celsius: 15.0,
    source: Citation {
        work: "EN 590, Automotive fuels, Diesel",
        place: "density at 15 degrees Celsius",
    },
};

/// Petrol.
pub const PETROL: Range = Range {
    least: 0.720,
    most: 0.775,
    celsius: 15.0,
    source: Citation {
        work: "EN 228, Automotive fuels, Unleaded petrol",
        place: "density at 15 degrees Celsius",
    },
};

/// Brake fluid on glycol.
pub const BRAKE_FLUID: Range = Range {
    least: 1.05,
    most: 1.10,
    celsius: 20.0,
    source: Citation {
        work: "makers' data sheets of DOT 4 fluids",
        place: "from memory",
    },
};

/// Engine oil.
pub const ENGINE_OIL: Range = Range {
    least: 0.85,
    most: 0.89,
    celsius: 15.0,
    source: Citation {
        work: "makers' data sheets of engine oils",
        place: "from memory",
    },
};

/// Coolant of glycol and water, one to one.
pub const COOLANT: Range = Range {
    least: 1.06,
    most: 1.08,
    celsius: 20.0,
    source: Citation {
        work: "makers' data sheets of coolants mixed 1 to 1",
        place: "from memory",
    },
};

/// How a fuel's density falls with each degree, in kg/l. About right for diesel and petrol near 15 degrees; from memory.
pub const FUEL_SLOPE: f64 = -0.0007;

/// m = V rho: kilograms of so many litres.
///
/// # Errors
/// A volume under nothing; a density that is not more than nothing.
pub fn mass(litres: f64, density: f64) -> Result<f64, Unfit> {
    Ok(not_negative("volume", litres)? * positive("density", density)?)
}

/// The same with a density of which only the range is known: value and standard uncertainty, rectangular.
///
/// # Errors
/// As for [`mass`].
pub fn mass_within(litres: f64, range: Range) -> Result<(f64, f64), Unfit> {
    let middle = f64::midpoint(range.least, range.most);
    let half = (range.most - range.least) / 2.0;
    Ok((
        mass(litres, middle)?,
        not_negative("volume", litres)? * half / 3f64.sqrt(),
    ))
}

/// Specific gravity at 60 degrees Fahrenheit from API gravity: 141.5/(API + 131.5).
///
/// # Errors
/// A gravity of -131.5 or less.
pub fn specific_gravity(api: f64) -> Result<f64, Unfit> {
    Ok(141.5 / positive("API gravity + 131.5", api + 131.5)?)
}

/// API gravity from specific gravity.
///
/// # Errors
/// A specific gravity that is not more than nothing.
pub fn api_gravity(specific: f64) -> Result<f64, Unfit> {
    Ok(141.5 / positive("specific gravity", specific)? - 131.5)
}

/// A fuel's density at another temperature, from that at 15 degrees Celsius. See [`FUEL_SLOPE`].
///
/// # Errors
/// A density that is not more than nothing; a temperature under -30 or over 60 degrees.
pub fn fuel_density(at_15: f64, celsius: f64) -> Result<f64, Unfit> {
    let degrees = within("temperature", celsius, -30.0, 60.0)? - 15.0;
    Ok(positive("density", at_15)? + FUEL_SLOPE * degrees)
}
