//! Standard uncertainties and how they combine (JCGM 100). Any unit, as long as all values of one call are in the same; the
//! results are in it too. Knows nothing of what was measured.

use super::unfit::{Unfit, not_negative, number, positive, within};
use crate::base::citation::Citation;

/// The guide itself.
pub const GUM: Citation = Citation {
    work: "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
    place: "4.3, 5.1, 5.2, 6.2, F.2.2.1, G.4",
};

/// The factor from a standard uncertainty to one that covers about 95 % (JCGM 100, 6.2, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// Of a reading with this division: the true value lies anywhere within half a division, so d/sqrt(12). JCGM 100, F.2.2.1.
///
/// # Errors
/// A division that is not more than nothing.
pub fn division(d: f64) -> Result<f64, Unfit> {
    Ok(positive("division", d)? / 12f64.sqrt())
}

/// Of a value that lies anywhere within `a` of the middle: a/sqrt(3). JCGM 100, 4.3.7.
///
/// # Errors
/// A half width under nothing.
pub fn rectangular(half_width: f64) -> Result<f64, Unfit> {
    Ok(not_negative("half width", half_width)? / 3f64.sqrt())
}

/// Of a value within `a` of the middle, and rather near it: a/sqrt(6). JCGM 100, 4.3.9.
///
/// # Errors
/// A half width under nothing.
pub fn triangular(half_width: f64) -> Result<f64, Unfit> {
    Ok(not_negative("half width", half_width)? / 6f64.sqrt())
}

/// From a stated one and the factor that it was multiplied by. JCGM 100, 4.3.3.
///
/// # Errors
/// An uncertainty under nothing; a factor that is not more than nothing.
pub fn from_expanded(expanded: f64, factor: f64) -> Result<f64, Unfit> {
    Ok(not_negative("expanded", expanded)? / positive("factor", factor)?)
}

/// Of independent parts: the root of the sum of squares. JCGM 100, 5.1.2, with all sensitivities 1.
///
/// # Errors
/// A part that is no number.
pub fn combined(parts: &[f64]) -> Result<f64, Unfit> {
    let mut sum = 0.0;
    for &part in parts {
        let part = number("part", part)?;
        sum += part * part;
    }
    Ok(sum.sqrt())
}

/// Of parts that all correlate with the same coefficient `r`, as readings of one scale with a factor that is off do (r = 1: they add
/// plainly). JCGM 100, 5.2.2.
///
/// # Errors
/// A part that is no number; a coefficient not between 0 and 1.
pub fn correlated(parts: &[f64], r: f64) -> Result<f64, Unfit> {
    within("correlation", r, 0.0, 1.0)?;
    let squares = combined(parts)?.powi(2);
    let plain: f64 = parts.iter().sum();
    // The double sum over different pairs is the square of the sum less the squares.
    Ok((squares + r * (plain * plain - squares)).max(0.0).sqrt())
}

/// Of a sum whose every term has an own part and one that a single scale gave to all: own parts in quadrature, shared parts plainly
/// and with their signs, so that a difference of two readings of one scale loses most of it. JCGM 100, 5.2.2, note 1.
///
/// # Errors
/// A part that is no number.
pub fn with_shared(own: &[f64], shared: &[f64]) -> Result<f64, Unfit> {
    for &part in shared {
        number("shared part", part)?;
    }
    combined(&[combined(own)?, shared.iter().sum()])
}

/// Of a reading from which a tare was taken, when zero, tare and reading each were rounded to the division: d/sqrt(12) that many
/// times, in quadrature.
///
/// # Errors
/// A division that is not more than nothing.
pub fn with_tare(d: f64, readings: u32) -> Result<f64, Unfit> {
    Ok(division(d)? * f64::from(readings).sqrt())
}

/// The expanded uncertainty U = k u. JCGM 100, 6.2.1.
///
/// # Errors
/// An uncertainty under nothing; a factor that is not more than nothing.
pub fn expanded(u: f64, factor: f64) -> Result<f64, Unfit> {
    Ok(not_negative("uncertainty", u)? * positive("factor", factor)?)
}

/// How much of the variance each part makes, from 0 to 1.
///
/// # Errors
/// A part that is no number; parts that are all nothing.
pub fn variance_shares(parts: &[f64]) -> Result<Vec<f64>, Unfit> {
    let whole = positive("combined", combined(parts)?)?.powi(2);
    Ok(parts.iter().map(|part| part * part / whole).collect())
}

/// Repeated readings of one thing: their mean, the spread of one reading, and the uncertainty of the mean. JCGM 100, 4.2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeats {
    /// Of all readings.
    pub mean: f64,
    /// The experimental standard deviation of one reading.
    pub spread: f64,
    /// That of the mean.
    pub u: f64,
    /// Degrees of freedom: one less than there are readings.
    pub freedom: f64,
}

/// # Errors
/// Fewer than two readings, or one that is no number.
#[expect(clippy::cast_precision_loss, reason = "a count of readings is small")]
pub fn repeats(readings: &[f64]) -> Result<Repeats, Unfit> {
    if readings.len() < 2 {
        return Err(Unfit::TooFew {
            what: "readings",
            least: 2,
        });
    }
    for &reading in readings {
        number("reading", reading)?;
    }
    let n = readings.len() as f64;
    let mean = readings.iter().sum::<f64>() / n;
    let squares: f64 = readings.iter().map(|reading| (reading - mean).powi(2)).sum();
    let spread = (squares / (n - 1.0)).sqrt();
    Ok(Repeats {
        mean,
        spread,
        u: spread / n.sqrt(),
        freedom: n - 1.0,
    })
}

/// Effective degrees of freedom of parts `(u, degrees)` after Welch and Satterthwaite; endless degrees of a part are
/// `f64::INFINITY`. JCGM 100, G.4.1, formula G.2b.
///
/// # Errors
/// A part under nothing; degrees that are not more than nothing; parts that are all nothing.
pub fn effective_freedom(parts: &[(f64, f64)]) -> Result<f64, Unfit> {
    let mut under = 0.0;
    let mut squares = 0.0;
    for &(u, freedom) in parts {
        let u = not_negative("part", u)?;
        if freedom.is_nan() || freedom <= 0.0 {
            return Err(Unfit::NotPositive { what: "freedom" });
        }
        under += u.powi(4) / freedom;
        squares += u * u;
    }
    positive("combined", squares)?;
    Ok(if under > 0.0 {
        squares * squares / under
    } else {
        f64::INFINITY
    })
}

/// Degrees of freedom of an uncertainty that is itself known only to this share of it: 8 for a quarter. JCGM 100, G.4.2, formula G.3.
///
/// # Errors
/// A share that is not more than nothing.
pub fn freedom_of_judgement(relative: f64) -> Result<f64, Unfit> {
    Ok(0.5 / positive("relative", relative)?.powi(2))
}

/// Decimals that a value with this uncertainty deserves: as many as show the uncertainty to one digit, or to two where the first is a
/// 1. JCGM 100, 7.2.6, asks for two digits at most. Under nothing: tens, hundreds. `None` where there is no uncertainty.
#[must_use]
pub fn decimals(u: f64) -> Option<i32> {
    if !u.is_finite() || u <= 0.0 {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "a power of ten is small")]
    let lead = u.log10().floor() as i32;
    // 0.0299 prints as 0.030, 0.0951 as 0.10: rounding may lengthen it.
    let first = u / 10f64.powi(lead);
    let (lead, first) = if first >= 9.5 {
        (lead + 1, 1.0)
    } else {
        (lead, first)
    };
    Some(if first < 1.95 { 1 - lead } else { -lead })
}
