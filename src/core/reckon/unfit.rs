//! Why a formula does not hold for what it was given, and the few tests that all formulas share. Knows no formula.

/// A value outside the range of a formula. `what` is the name of the argument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unfit {
    /// No number, or an endless one.
    NoNumber {
        /// The argument, as the formula names it.
        what: &'static str,
    },
    /// It has to be more than nothing.
    NotPositive {
        /// The argument, as the formula names it.
        what: &'static str,
    },
    /// It has to be nothing or more.
    Negative {
        /// The argument, as the formula names it.
        what: &'static str,
    },
    /// It has to lie between these, both included.
    Outside {
        /// The argument, as the formula names it.
        what: &'static str,
        /// The least that it may be.
        least: f64,
        /// The most that it may be.
        most: f64,
    },
    /// Fewer values than the formula needs.
    TooFew {
        /// The argument, as the formula names it.
        what: &'static str,
        /// So many it needs.
        least: usize,
    },
    /// Supports that lie in one line, or all in one place, span no polygon.
    InALine,
    /// The centre lies outside of what bears it: it tips.
    Tips,
    /// The table has no entry for it.
    NotTabulated {
        /// The argument, as the formula names it.
        what: &'static str,
    },
}

/// The value itself, if it is a number.
///
/// # Errors
/// [`Unfit::NoNumber`].
pub fn number(what: &'static str, value: f64) -> Result<f64, Unfit> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Unfit::NoNumber { what })
    }
}

/// The value itself, if it is more than nothing.
///
/// # Errors
/// [`Unfit::NoNumber`], [`Unfit::NotPositive`].
pub fn positive(what: &'static str, value: f64) -> Result<f64, Unfit> {
    match number(what, value)? {
        value if value > 0.0 => Ok(value),
        _ => Err(Unfit::NotPositive { what }),
    }
}

/// The value itself, if it is nothing or more.
///
/// # Errors
/// [`Unfit::NoNumber`], [`Unfit::Negative`].
pub fn not_negative(what: &'static str, value: f64) -> Result<f64, Unfit> {
    match number(what, value)? {
        value if value >= 0.0 => Ok(value),
        _ => Err(Unfit::Negative { what }),
    }
}

/// The value itself, if it lies between two others.
///
/// # Errors
/// [`Unfit::NoNumber`], [`Unfit::Outside`].
pub fn within(what: &'static str, value: f64, least: f64, most: f64) -> Result<f64, Unfit> {
    match number(what, value)? {
        value if (least..=most).contains(&value) => Ok(value),
        _ => Err(Unfit::Outside { what, least, most }),
    }
}
