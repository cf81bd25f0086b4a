//! What a scale may be off by: class limits at verification and in service, and the uncertainty of one reading. Masses in kg; loads
//! in class tables as multiples of the scale interval. Knows nothing of who owns the scale.

use super::uncertainty::{combined, division, rectangular};
use super::unfit::{Unfit, not_negative, positive};
use crate::base::citation::Citation;

/// Maximum permissible errors of non-automatic weighing instruments.
pub const OIML_R76: Citation = Citation {
    work: "OIML R 76-1:2006, Non-automatic weighing instruments",
    place: "3.5.1 table 6 (initial verification), 3.5.2 (in service: twice as much), 3.6.1 (repeatability)",
};

/// The same in the United States.
pub const HANDBOOK_44: Citation = Citation {
    work: "NIST Handbook 44, section 2.20, Scales",
    place: "T.N.3, table 6, maintenance tolerances; acceptance tolerances are half of them",
};

/// An accuracy class of OIML R 76.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Special: the finest.
    I,
    /// High.
    II,
    /// Medium: usual in a workshop.
    III,
    /// Ordinary: the coarsest.
    IIII,
}

impl Class {
    /// Reads `I`, `II`, `III`, `IIII` or `IV`.
    #[must_use]
    pub fn read(text: &str) -> Option<Class> {
        Some(match text.trim() {
            "I" => Class::I,
            "II" => Class::II,
            "III" => Class::III,
            "IIII" | "IV" => Class::IIII,
            _ => return None,
        })
    }

    /// Loads, in intervals, up to which the error may be 0.5 e, 1 e and 1.5 e.
    fn limits(self) -> [f64; 3] {
        match self {
            Class::I => [50_000.0, 200_000.0, f64::INFINITY],
            Class::II => [5_000.0, 20_000.0, 100_000.0],
            Class::III => [500.0, 2_000.0, 10_000.0],
            Class::IIII => [50.0, 200.0, 1_000.0],
        }
    }
}

/// When the scale is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// New, or just verified.
    Verification,
    /// In use since it was verified: it may be off twice as far.
    InService,
}

/// The maximum permissible error in intervals, at a load of so many intervals. OIML R 76-1, table 6: class III 0.5 e to 500 e,
/// 1 e to 2000 e, 1.5 e to 10 000 e; twice that in service (3.5.2, from memory; classes I, II and IIII from memory too).
///
/// # Errors
/// A load under nothing, or more than the class has intervals.
pub fn permissible_error(class: Class, load: f64, when: When) -> Result<f64, Unfit> {
    let load = not_negative("load", load)?;
    let limits = class.limits();
    let error = limits
        .iter()
        .zip([0.5, 1.0, 1.5])
        .find(|(limit, _)| load <= **limit)
        .map(|(_, error)| error);
    match (error, when) {
        (Some(error), When::Verification) => Ok(error),
        (Some(error), When::InService) => Ok(2.0 * error),
        (None, _) => {
            let [.., most] = limits;
            Err(Unfit::Outside {
                what: "load",
                least: 0.0,
                most,
            })
        }
    }
}

/// The maintenance tolerance of Handbook 44 in divisions, at a load of so many divisions; the acceptance tolerance is half of it.
/// Class III: 1 d to 500 d, 2 d to 2000 d, 3 d to 4000 d, 5 d over that. The other classes are from memory.
///
/// # Errors
/// A load under nothing.
pub fn maintenance_tolerance(class: Class, load: f64) -> Result<f64, Unfit> {
    let load = not_negative("load", load)?;
    let limits = match class {
        Class::I => [50_000.0, 200_000.0, f64::INFINITY],
        Class::II => [5_000.0, 20_000.0, f64::INFINITY],
        Class::III => [500.0, 2_000.0, 4_000.0],
        Class::IIII => [50.0, 200.0, 400.0],
    };
    let within = limits
        .iter()
        .zip([1.0, 2.0, 3.0])
        .find(|(limit, _)| load <= **limit);
    Ok(within.map_or(5.0, |(_, tolerance)| tolerance))
}

/// # Errors
/// A load under nothing.
pub fn acceptance_tolerance(class: Class, load: f64) -> Result<f64, Unfit> {
    Ok(maintenance_tolerance(class, load)? / 2.0)
}

/// What is known of a scale. In kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The least step that it shows.
    pub division: f64,
    /// One standard deviation of repeated readings, where it is stated.
    pub repeatability: Option<f64>,
    /// Taken as III where nothing is stated.
    pub class: Option<Class>,
}

/// The uncertainty of one reading, in kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingError {
    /// Of this reading alone: its rounding, and how it repeats.
    pub own: f64,
    /// What the scale gives to all its readings alike, as a zero that is off by the class limit: adds plainly over readings, and a
    /// difference of two in one step of the class loses it. A factor that is off instead would leave in a difference its share of it:
    /// of 49 kg less 5 kg, 44/49 of the limit. Which of the two a scale has is not known; for sums this is the graver one.
    pub shared: f64,
}

impl Scale {
    /// What the class lets it be off by in service, in kg. Over the class's last interval the last limit grows with the load.
    ///
    /// # Errors
    /// A load under nothing, a division that is not more than nothing.
    pub fn limit(&self, load: f64) -> Result<f64, Unfit> {
        let d = positive("division", self.division)?;
        let class = self.class.unwrap_or(Class::III);
        let intervals = not_negative("load", load)? / d;
        let [.., most] = class.limits();
        let error = permissible_error(class, intervals.min(most), When::InService)?;
        Ok(error * d * (intervals / most).max(1.0))
    }

    /// Rounding d/sqrt(12) with the stated repeatability; where none is stated, with the class's in-service error instead (OIML R 76-1,
    /// 3.6.1: readings of one load may differ by the permissible error), taken as rectangular. A scale is never as good as its
    /// division.
    ///
    /// # Errors
    /// A load under nothing, a division or repeatability that is no fit one.
    pub fn reading(&self, load: f64) -> Result<ReadingError, Unfit> {
        let limit = rectangular(self.limit(load)?)?;
        let repeats = match self.repeatability {
            Some(stated) => not_negative("repeatability", stated)?,
            None => limit,
        };
        Ok(ReadingError {
            own: combined(&[division(self.division)?, repeats])?,
            shared: limit,
        })
    }
}
