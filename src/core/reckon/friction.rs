//! Coefficients of friction of threads and heads, as ranges by what is known of the surface; nut factors of the short torque form.
//! Knows no thread.

use super::amounts::{Asked, OutOfRange, within};
use crate::base::citation::Citation;

/// Friction classes. From memory: B 0.08 to 0.16, C 0.14 to 0.24.
pub const VDI_2230_FRICTION: Citation = Citation {
    work: "VDI 2230-1, systematic calculation of highly stressed bolted joints",
    place: "table A5, friction classes",
};
/// Window of friction to which coated fixings are made. From memory: 0.09 to 0.14.
pub const VDA_235_101: Citation = Citation {
    work: "VDA 235-101, coefficients of friction of mechanical fasteners",
    place: "friction window",
};
/// Nut factors. 0.30, 0.20, 0.18 and 0.16.
pub const SHIGLEY_NUT_FACTORS: Citation = Citation {
    work: "Shigley's Mechanical Engineering Design, 9th edition",
    place: "table 8-15",
};

/// What is known of thread and head when the wrench goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Nothing: bright, plated, dry or oiled, as it came.
    Unknown,
    /// Clean and without oil.
    Dry,
    /// Oiled, greased, or with a lubricant of the maker's.
    Oiled,
    /// Coated so that friction falls in the window of the trade.
    Coated,
}

/// A range of the coefficient of friction, thread and head alike. `low` gives the most preload for a torque, `high` the least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    low: f64,
    usual: f64,
    high: f64,
}

/// Least and greatest coefficients for which a screw is reckoned here: below, it undoes itself; above, it seizes (friction class E of
/// VDI 2230 begins at 0.30 and has no upper end).
const LEAST: f64 = 0.04;
const GREATEST: f64 = 0.5;

impl Friction {
    /// A range as a plan states it; its middle counts as usual.
    ///
    /// # Errors
    /// A bound outside 0.04 to 0.5, or the higher one first.
    pub fn new(low: f64, high: f64) -> Result<Self, OutOfRange> {
        let low = within(Asked::Friction, low, LEAST, GREATEST)?;
        let high = within(Asked::Friction, high, low, GREATEST)?;
        Ok(Self {
            low,
            usual: f64::midpoint(low, high),
            high,
        })
    }

    /// The range for a surface: classes B and C of VDI 2230 table A5 together where nothing is known, C dry, B oiled, the window of
    /// VDA 235-101 coated; usual values from the same sources.
    #[must_use]
    pub fn of(surface: Surface) -> Self {
        let (low, usual, high) = match surface {
            Surface::Unknown => (0.08, 0.12, 0.24),
            Surface::Dry => (0.14, 0.16, 0.24),
            Surface::Oiled => (0.08, 0.12, 0.16),
            Surface::Coated => (0.09, 0.12, 0.14),
        };
        Self { low, usual, high }
    }

    /// The tight end: least friction, most preload.
    #[must_use]
    pub fn low(self) -> f64 {
        self.low
    }

    /// What is reckoned with where nothing is said.
    #[must_use]
    pub fn usual(self) -> f64 {
        self.usual
    }

    /// The kind end: most friction, least preload.
    #[must_use]
    pub fn high(self) -> f64 {
        self.high
    }
}

/// Surfaces of the short form T = K F d.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NutSurface {
    /// Not plated, black finish.
    Black,
    /// Plated with zinc.
    Zinc,
    /// Oiled or greased.
    Lubricated,
    /// Plated with cadmium.
    Cadmium,
}

/// The nut factor K of the short form, Shigley table 8-15. A mean over sizes and makes, good to a third either way.
#[must_use]
pub fn nut_factor(surface: NutSurface) -> f64 {
    match surface {
        NutSurface::Black => 0.30,
        NutSurface::Zinc => 0.20,
        NutSurface::Lubricated => 0.18,
        NutSurface::Cadmium => 0.16,
    }
}

/// One coefficient, checked.
///
/// # Errors
/// A value outside 0 to 0.5; without friction at all a screw can still be reckoned, if not used.
pub fn coefficient(value: f64) -> Result<f64, OutOfRange> {
    within(Asked::Friction, value, 0.0, GREATEST)
}
