//! Plain amounts whose type is their unit, and the one error of this floor: a value for which a formula does not hold.
//! Knows how no amount was written.

use std::fmt;

use crate::base::quantity;

macro_rules! amounts {
    ($($(#[$doc:meta])* $name:ident;)*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);
    )* };
}

amounts! {
    /// A force in newtons.
    Newtons;
    /// A torque in newton metres.
    NewtonMetres;
    /// A stress in megapascals, which are newtons a square millimetre.
    Megapascals;
    /// A length in millimetres.
    Millimetres;
    /// An area in square millimetres.
    SquareMillimetres;
}

/// Newtons of one pound-force: 0.453 592 37 kg times 9.806 65 m/s2, exact (NIST SP 811, B.8).
const POUND_FORCE: f64 = 0.453_592_37 * 9.806_65;
/// Millimetres of one inch, exact.
pub const INCH: f64 = 25.4;

impl Newtons {
    /// lbf; exactly, from the pound-force.
    #[must_use]
    pub fn of_pounds_force(pounds: f64) -> Self {
        Self(pounds * POUND_FORCE)
    }

    /// In lbf.
    #[must_use]
    pub fn pounds_force(self) -> f64 {
        self.0 / POUND_FORCE
    }
}

impl NewtonMetres {
    /// lbf·ft; exactly.
    #[must_use]
    pub fn of_pound_force_feet(pound_feet: f64) -> Self {
        Self(pound_feet * POUND_FORCE * 12.0 * INCH / 1000.0)
    }

    /// In lbf·ft.
    #[must_use]
    pub fn pound_force_feet(self) -> f64 {
        self.0 * 1000.0 / (POUND_FORCE * 12.0 * INCH)
    }
}

impl Megapascals {
    /// From thousands of pounds-force a square inch.
    #[must_use]
    pub fn of_ksi(ksi: f64) -> Self {
        Self(ksi * 1000.0 * POUND_FORCE / (INCH * INCH))
    }

    /// In ksi, thousands of pounds-force a square inch.
    #[must_use]
    pub fn ksi(self) -> f64 {
        self.0 * INCH * INCH / (1000.0 * POUND_FORCE)
    }
}

impl Millimetres {
    /// Exactly: an inch is 25.4 mm.
    #[must_use]
    pub fn of_inches(inches: f64) -> Self {
        Self(inches * INCH)
    }
}

impl SquareMillimetres {
    /// Exactly.
    #[must_use]
    pub fn of_square_inches(inches: f64) -> Self {
        Self(inches * INCH * INCH)
    }

    /// In in².
    #[must_use]
    pub fn square_inches(self) -> f64 {
        self.0 / (INCH * INCH)
    }
}

impl From<quantity::Torque> for NewtonMetres {
    fn from(written: quantity::Torque) -> Self {
        Self(written.base())
    }
}

impl From<quantity::Force> for Newtons {
    fn from(written: quantity::Force) -> Self {
        Self(written.base())
    }
}

impl From<quantity::Length> for Millimetres {
    fn from(written: quantity::Length) -> Self {
        Self(written.base())
    }
}

/// What a formula of this floor asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Asked {
    /// Nominal diameter of a thread, mm.
    Diameter,
    /// Pitch of a thread, mm.
    Pitch,
    /// Threads an inch.
    PerInch,
    /// Coefficient of friction.
    Friction,
    /// Nut factor of the short form.
    NutFactor,
    /// Tightening factor, greatest preload over least.
    TighteningFactor,
    /// Share of yield or of proof, 0 to 1.
    Share,
    /// Torque, N m.
    Torque,
    /// Force, N.
    Force,
    /// Stress, MPa.
    Stress,
    /// Stiffness, any one unit.
    Stiffness,
    /// Bearing face of a head, mm.
    Bearing,
}

/// A value for which a formula or table does not hold, and the range for which it does, bounds included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// What the formula asked for.
    pub asked: Asked,
    /// What it was given, in that unit.
    pub value: f64,
    /// The least that it holds for.
    pub low: f64,
    /// The most.
    pub high: f64,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} {} is not within {} to {}",
            self.asked, self.value, self.low, self.high
        )
    }
}

impl std::error::Error for OutOfRange {}

/// The value, if it is a number and lies within these bounds.
///
/// # Errors
/// The value with its bounds.
pub fn within(asked: Asked, value: f64, low: f64, high: f64) -> Result<f64, OutOfRange> {
    // Written so that no-number fails too.
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(OutOfRange {
            asked,
            value,
            low,
            high,
        })
    }
}
