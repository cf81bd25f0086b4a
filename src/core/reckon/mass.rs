//! What something weighs, as far as it is known: value, origin, uncertainty; sums and differences of these; the chance that a goal is
//! met. In kg, uncertainties as one standard deviation. What is unknown stays unknown. Knows neither plans nor how it is printed.

use super::normal;
use super::scales::{Class, ReadingError, Scale};
use super::uncertainty::{COVERAGE, rectangular};
use super::unfit::{Unfit, not_negative, number};

/// Where a figure comes from, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// A scale said it.
    Weighed,
    /// A book or a seller says so.
    Quoted,
    /// A guess.
    Estimated,
}

/// Half the width, as a share of the value, within which a quoted figure is taken to lie where nothing is stated. Common practice, no
/// source.
pub const QUOTED_WITHIN: f64 = 0.10;
/// The same of an estimated one. Common practice, no source.
pub const ESTIMATED_WITHIN: f64 = 0.20;

/// A mass that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct MassEstimate {
    /// kg; under nothing only as a difference.
    pub kg: f64,
    /// The part of the standard uncertainty that belongs to this figure alone.
    pub own: f64,
    /// The parts that came from scales: the scale's number, and its part with the sign that the figure has in a sum. Sorted by scale.
    pub shared: Vec<(usize, f64)>,
    /// Of a sum, the weakest of its parts.
    pub origin: Origin,
}

impl MassEstimate {
    /// A figure with its stated uncertainty.
    ///
    /// # Errors
    /// A value or an uncertainty that is no number; an uncertainty under nothing.
    pub fn stated(kg: f64, u: f64, origin: Origin) -> Result<MassEstimate, Unfit> {
        Ok(MassEstimate {
            kg: number("mass", kg)?,
            own: not_negative("uncertainty", u)?,
            shared: Vec::new(),
            origin,
        })
    }

    /// A figure whose uncertainty nobody states. A quoted or estimated one lies within its share of the value, rectangular; a weighed
    /// one is taken as read from a class III scale whose division is the last written place.
    ///
    /// # Errors
    /// A mass under nothing; a last place that is not more than nothing.
    pub fn unstated(kg: f64, last_place: f64, origin: Origin) -> Result<MassEstimate, Unfit> {
        let kg = not_negative("mass", kg)?;
        let u = match origin {
            Origin::Quoted => rectangular(kg * QUOTED_WITHIN)?,
            Origin::Estimated => rectangular(kg * ESTIMATED_WITHIN)?,
            Origin::Weighed => {
                let scale = Scale {
                    division: last_place,
                    repeatability: None,
                    class: Some(Class::III),
                };
                let error = scale.reading(kg)?;
                error.own.hypot(error.shared)
            }
        };
        MassEstimate::stated(kg, u, origin)
    }

    /// A reading of a scale, which has a number so that its readings are known to belong together.
    ///
    /// # Errors
    /// A value that is no number.
    pub fn read(kg: f64, error: ReadingError, scale: usize) -> Result<MassEstimate, Unfit> {
        Ok(MassEstimate {
            kg: number("mass", kg)?,
            own: not_negative("own part", error.own)?,
            shared: vec![(scale, not_negative("shared part", error.shared)?)],
            origin: Origin::Weighed,
        })
    }

    /// Nothing at all, known exactly.
    #[must_use]
    pub fn nothing() -> MassEstimate {
        MassEstimate {
            kg: 0.0,
            own: 0.0,
            shared: Vec::new(),
            origin: Origin::Weighed,
        }
    }

    /// The combined standard uncertainty.
    #[must_use]
    pub fn u(&self) -> f64 {
        self.shared
            .iter()
            .fold(self.own, |sum, (_, part)| sum.hypot(*part))
    }

    /// The uncertainty that covers about 95 %: 2 u.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        COVERAGE * self.u()
    }

    /// What one scale gave to both adds twice, as far as it is alike.
    #[must_use]
    pub fn plus(&self, other: &MassEstimate) -> MassEstimate {
        self.with(other, 1.0)
    }

    /// What one scale gave to both falls away as far as it is alike.
    #[must_use]
    pub fn minus(&self, other: &MassEstimate) -> MassEstimate {
        self.with(other, -1.0)
    }

    /// This figure and a multiple of another. What is shared with the same scale adds with its sign.
    fn with(&self, other: &MassEstimate, times: f64) -> MassEstimate {
        let mut shared = self.shared.clone();
        for &(scale, part) in &other.shared {
            match shared.binary_search_by_key(&scale, |(known, _)| *known) {
                Ok(place) => {
                    if let Some((_, sum)) = shared.get_mut(place) {
                        *sum += times * part;
                    }
                }
                Err(place) => shared.insert(place, (scale, times * part)),
            }
        }
        MassEstimate {
            kg: self.kg + times * other.kg,
            own: self.own.hypot(times * other.own),
            shared,
            origin: self.origin.max(other.origin),
        }
    }

    /// The sum of all.
    #[must_use]
    pub fn sum<'a>(all: impl IntoIterator<Item = &'a MassEstimate>) -> MassEstimate {
        all.into_iter()
            .fold(MassEstimate::nothing(), |sum, estimate| sum.plus(estimate))
    }

    /// The chance that the true value is at least this much, by the normal distribution about the figure.
    #[must_use]
    pub fn chance_of_at_least(&self, goal: f64) -> f64 {
        let u = self.u();
        if u > 0.0 {
            normal::below((self.kg - goal) / u)
        } else if self.kg >= goal {
            1.0
        } else {
            0.0
        }
    }

    /// The chance that the true value is at most this much.
    #[must_use]
    pub fn chance_of_at_most(&self, goal: f64) -> f64 {
        let turned = MassEstimate {
            kg: -self.kg,
            ..self.clone()
        };
        turned.chance_of_at_least(-goal)
    }

    /// Whether another figure differs by more than the uncertainty of the difference covers.
    #[must_use]
    pub fn differs(&self, other: &MassEstimate) -> bool {
        let difference = self.minus(other);
        difference.kg.abs() > difference.expanded()
    }
}

/// A sum of which some parts may be unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Total {
    /// Of those that are known.
    pub known: MassEstimate,
    /// How many are not.
    pub unknown: usize,
}

impl Total {
    /// Sums what is known and counts what is not.
    #[must_use]
    pub fn of<'a>(all: impl IntoIterator<Item = Option<&'a MassEstimate>>) -> Total {
        let mut total = Total {
            known: MassEstimate::nothing(),
            unknown: 0,
        };
        for estimate in all {
            match estimate {
                Some(estimate) => total.known = total.known.plus(estimate),
                None => total.unknown += 1,
            }
        }
        total
    }

    /// The sum, if every part of it is known.
    #[must_use]
    pub fn whole(&self) -> Option<&MassEstimate> {
        (self.unknown == 0).then_some(&self.known)
    }
}

/// A sum that parts are added to and taken from again, one at a time, those without a known mass counted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Running {
    kg: f64,
    square: f64,
    shared: Vec<(usize, f64)>,
    unknown: usize,
}

impl Running {
    /// Adds one; counts it where nothing is known.
    pub fn add(&mut self, estimate: Option<&MassEstimate>) {
        self.join(estimate, 1.0);
        self.unknown += usize::from(estimate.is_none());
    }

    /// Takes away what was added before.
    pub fn take_back(&mut self, estimate: Option<&MassEstimate>) {
        self.join(estimate, -1.0);
        self.unknown = self.unknown.saturating_sub(usize::from(estimate.is_none()));
    }

    fn join(&mut self, estimate: Option<&MassEstimate>, sign: f64) {
        let Some(estimate) = estimate else { return };
        self.kg += sign * estimate.kg;
        self.square = (self.square + sign * estimate.own * estimate.own).max(0.0);
        for &(scale, part) in &estimate.shared {
            match self.shared.iter_mut().find(|(known, _)| *known == scale) {
                Some((_, sum)) => *sum += sign * part,
                None => self.shared.push((scale, sign * part)),
            }
        }
    }

    /// So many were added of which nothing is known.
    #[must_use]
    pub fn unknown(&self) -> usize {
        self.unknown
    }

    /// The sum of what is known.
    #[must_use]
    pub fn known(&self) -> MassEstimate {
        let mut shared = self.shared.clone();
        shared.sort_unstable_by_key(|(scale, _)| *scale);
        MassEstimate {
            kg: self.kg,
            own: self.square.sqrt(),
            shared,
            origin: Origin::Weighed,
        }
    }

    /// What it covers at most: the known sum and twice its uncertainty, without making a figure of it.
    #[must_use]
    pub fn upper(&self) -> f64 {
        let shared: f64 = self.shared.iter().map(|(_, part)| part * part).sum();
        self.kg + COVERAGE * (self.square + shared).sqrt()
    }
}
