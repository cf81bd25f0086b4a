//! The normal distribution and Student's t, as far as chances and coverage factors need them. Knows nothing of masses.

use super::unfit::{Unfit, within};
use crate::base::citation::Citation;

/// Coverage factors from effective degrees of freedom.
pub const GUM_G3: Citation = Citation {
    work: "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
    place: "annex G.3, G.4, table G.2",
};

/// The chance that a standard normal value is at most `z`. Absolute error under 1e-14.
///
/// By the series of the integral near the middle and the continued fraction of Mills' ratio in the tails (Abramowitz and
/// Stegun, 26.2.11 and 26.2.14).
#[must_use]
pub fn below(z: f64) -> f64 {
    if z.is_nan() {
        return f64::NAN;
    }
    let size = z.abs();
    let tail = if size > 38.0 {
        0.0
    } else if size < 3.0 {
        let mut term = size;
        let mut sum = size;
        let mut odd = 1.0;
        while term > sum * 1e-17 {
            odd += 2.0;
            term *= size * size / odd;
            sum += term;
        }
        0.5 - density(size) * sum
    } else {
        let mut ratio = size + 100.0;
        for n in (1..100).rev() {
            ratio = size + f64::from(n) / ratio;
        }
        density(size) / ratio
    };
    if z < 0.0 { tail } else { 1.0 - tail }
}

fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// The value that a standard normal one stays under with this chance.
///
/// # Errors
/// A chance that does not lie between 0 and 1, or is one of these.
pub fn quantile(chance: f64) -> Result<f64, Unfit> {
    within("chance", chance, f64::MIN_POSITIVE, 1.0 - f64::EPSILON)?;
    Ok(halve(-40.0, 40.0, |z| below(z) < chance))
}

/// The chance that Student's t with this many degrees of freedom lies between `-t` and `t`: the finite series of Abramowitz and
/// Stegun, 26.7.3 and 26.7.4; over 100,000 degrees the normal distribution. 0 degrees give no number.
#[must_use]
pub fn student_between(t: f64, freedom: u32) -> f64 {
    if freedom == 0 {
        return f64::NAN;
    }
    if freedom > 100_000 {
        return 1.0 - 2.0 * below(-t.abs());
    }
    let angle = (t.abs() / f64::from(freedom).sqrt()).atan();
    let (sine, cosine) = angle.sin_cos();
    let odd = freedom % 2 == 1;
    // Each term is the one before, times the next two powers of the cosine and the next fraction.
    let (mut term, mut sum) = if odd { (cosine, 0.0) } else { (1.0, 1.0) };
    let mut n = if odd { 1 } else { 2 };
    while n < freedom {
        if odd {
            sum += term;
            term *= cosine * cosine * f64::from(n + 1) / f64::from(n + 2);
        } else {
            term *= cosine * cosine * f64::from(n - 1) / f64::from(n);
            sum += term;
        }
        n += 2;
    }
    if odd {
        (angle + sine * sum) * std::f64::consts::FRAC_2_PI
    } else {
        sine * sum
    }
}

/// The factor by which a standard uncertainty is multiplied so that the interval covers with this chance: Student's t for `freedom`
/// effective degrees, which JCGM 100 G.4.1 cuts down to a whole number. 2.00 for 0.9545 and endless freedom.
///
/// # Errors
/// A chance not between 0 and 1 less a thousand-millionth, beyond which the digits do not reach; less than one degree of freedom.
pub fn coverage_factor(chance: f64, freedom: f64) -> Result<f64, Unfit> {
    within("chance", chance, f64::MIN_POSITIVE, 1.0 - 1e-9)?;
    if freedom.is_nan() || freedom < 1.0 {
        return Err(Unfit::NotPositive { what: "freedom" });
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "cut down on purpose, and over nothing"
    )]
    let freedom = freedom.min(1e6).floor() as u32;
    // One degree wants the greatest factor, 6.4e8 for the greatest chance.
    Ok(halve(0.0, 1e9, |t| student_between(t, freedom) < chance))
}

/// The place between two others where a rising test turns false.
fn halve(mut low: f64, mut high: f64, under: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if under(middle) {
            low = middle;
        } else {
            high = middle;
        }
        if high - low <= 1e-12 * high.abs().max(1e-3) {
            break;
        }
    }
    f64::midpoint(low, high)
}
