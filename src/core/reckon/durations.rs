//! How long work takes when each piece of it is guessed by three figures: best, likely, worst. Any one unit of time. Knows nothing of what
//! follows what.

use super::normal;
use super::unfit::{Unfit, not_negative, number, within};
use crate::base::citation::Citation;

/// The mean and the spread of a guess by three figures; cited from memory.
pub const THREE_POINT: Citation = Citation {
    work: "Malcolm, Roseboom, Clark and Fazar, Application of a technique for research and development program evaluation, Operations \
           Research 7(5), 1959",
    place: "expected time and variance of an activity",
};

/// A guess: best, likely and worst, none of them over the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    best: f64,
    likely: f64,
    worst: f64,
}

impl Estimate {
    /// # Errors
    /// A time under nothing or no number; figures out of their order.
    pub fn new(best: f64, likely: f64, worst: f64) -> Result<Self, Unfit> {
        let best = not_negative("best time", best)?;
        let worst = not_negative("worst time", worst)?;
        let likely = within("likely time", likely, best, worst)?;
        Ok(Self { best, likely, worst })
    }

    /// As short as it can be.
    #[must_use]
    pub fn best(self) -> f64 {
        self.best
    }

    /// As it usually is.
    #[must_use]
    pub fn likely(self) -> f64 {
        self.likely
    }

    /// As long as it can be.
    #[must_use]
    pub fn worst(self) -> f64 {
        self.worst
    }

    /// The mean: (a + 4 m + b) / 6.
    #[must_use]
    pub fn expected(self) -> f64 {
        (self.best + 4.0 * self.likely + self.worst) / 6.0
    }

    /// The standard deviation: (b - a) / 6.
    #[must_use]
    pub fn deviation(self) -> f64 {
        (self.worst - self.best) / 6.0
    }
}

/// Pieces of work done one after the other, taken as independent and their sum as normal, which holds for many pieces and not for two.
/// Where several chains of work run side by side the chance of the longest one alone is on the hopeful side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chain {
    /// The mean of the whole.
    pub expected: f64,
    /// Its standard deviation.
    pub deviation: f64,
}

impl Chain {
    /// All of them together.
    #[must_use]
    pub fn of(pieces: &[Estimate]) -> Self {
        let variance: f64 = pieces.iter().map(|piece| piece.deviation().powi(2)).sum();
        Self {
            expected: pieces.iter().map(|piece| piece.expected()).sum(),
            deviation: variance.sqrt(),
        }
    }

    /// The chance that it is done within this time, from 0 to 1.
    ///
    /// # Errors
    /// A time that is no number.
    pub fn chance_within(self, time: f64) -> Result<f64, Unfit> {
        let over = number("time", time)? - self.expected;
        Ok(if self.deviation > 0.0 {
            normal::below(over / self.deviation)
        } else {
            f64::from(u8::from(over >= 0.0))
        })
    }

    /// The time within which it is done with this chance.
    ///
    /// # Errors
    /// A chance that does not lie between 0 and 1, or is one of these.
    pub fn time_for(self, chance: f64) -> Result<f64, Unfit> {
        Ok(self.expected + normal::quantile(chance)? * self.deviation)
    }
}
