//! How fast work goes against what was guessed: a factor that all of it has in common, and a spread that each piece has by itself. Pieces of one hand run
//! late together, so that a long job is no surer than a short one. All factors are log-normal.

use super::durations::Estimate;
use super::normal;
use super::unfit::{Unfit, positive};

/// What the common factor varies by before anything is known: one standard deviation is a factor of 1.25. Common practice, no source.
pub const COMMON: f64 = 1.25;
/// What a piece varies by itself at least, whatever was guessed: a factor of 1.2. Common practice, no source.
pub const OWN: f64 = 1.2;

/// The logarithm of a factor: its mean and its variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Of the logarithm of the factor.
    pub mean: f64,
    /// Of the same.
    pub variance: f64,
}

/// A piece that was done: what was expected of it with its own deviation, and what it took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Took {
    /// Minutes.
    pub expected: f64,
    /// Its own standard deviation, in minutes.
    pub deviation: f64,
    /// What it took, in minutes.
    pub took: f64,
}

impl Default for Pace {
    fn default() -> Self {
        Self {
            mean: 0.0,
            variance: COMMON.ln().powi(2),
        }
    }
}

/// The variance of the logarithm of what has this mean and deviation.
fn of_log(mean: f64, deviation: f64) -> f64 {
    (deviation / mean).powi(2).ln_1p()
}

impl Pace {
    /// What is known after pieces were done: the mean of a normal with a known variance, by a normal prior.
    ///
    /// # Errors
    /// A time that is nothing or no number.
    pub fn learn(self, done: &[Took]) -> Result<Self, Unfit> {
        let mut weight = 1.0 / self.variance;
        let mut sum = self.mean * weight;
        for one in done {
            let expected = positive("expected time", one.expected)?;
            let took = positive("time that it took", one.took)?;
            let own = of_log(expected, one.deviation).max(OWN.ln().powi(2));
            // What is expected is the mean of a piece, which lies over its median.
            sum += ((took / expected).ln() + own / 2.0) / own;
            weight += 1.0 / own;
        }
        Ok(Self {
            mean: sum / weight,
            variance: 1.0 / weight,
        })
    }

    /// The factor in the middle: half of all jobs go slower.
    #[must_use]
    pub fn factor(self) -> f64 {
        self.mean.exp()
    }
}

/// A job as a log-normal time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Job {
    mean: f64,
    variance: f64,
}

impl Job {
    /// Pieces one after the other, all at this pace; none where there are none.
    #[must_use]
    pub fn of(pieces: &[Estimate], pace: Pace) -> Option<Self> {
        let expected: f64 = pieces.iter().map(|piece| piece.expected()).sum();
        if expected <= 0.0 {
            return None;
        }
        let own = |piece: &Estimate| {
            let least = piece.expected() * OWN.ln();
            piece.deviation().max(least).powi(2)
        };
        let variance: f64 = pieces.iter().map(own).sum();
        let of_sum = of_log(expected, variance.sqrt());
        Some(Self {
            mean: expected.ln() - of_sum / 2.0 + pace.mean,
            variance: of_sum + pace.variance,
        })
    }

    /// The time that is as often too long as too short.
    #[must_use]
    pub fn middle(self) -> f64 {
        self.mean.exp()
    }

    /// The time within which it is done with this chance.
    ///
    /// # Errors
    /// A chance that does not lie between 0 and 1, or is one of these.
    pub fn time_for(self, chance: f64) -> Result<f64, Unfit> {
        Ok((self.mean + normal::quantile(chance)? * self.variance.sqrt()).exp())
    }

    /// The chance that it is done within this time.
    #[must_use]
    pub fn chance_within(self, time: f64) -> f64 {
        if time <= 0.0 {
            return 0.0;
        }
        normal::below((time.ln() - self.mean) / self.variance.sqrt())
    }
}
