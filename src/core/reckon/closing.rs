//! The closing test: a whole that was weighed, against the sum of its parts. Knows nothing of what was weighed.

use super::mass::MassEstimate;
use super::unfit::{Unfit, not_negative, number, positive};
use crate::base::citation::Citation;

/// The normalised error and its limit.
pub const ISO_13528: Citation = Citation {
    work: "ISO 13528, Statistical methods for use in proficiency testing; ISO/IEC 17043",
    place: "9.7; B.4.1.1",
};

/// A normalised error of this size or less is good.
pub const LIMIT: f64 = 1.0;

/// En = (whole - parts) / sqrt(U_whole^2 + U_parts^2). Both expanded uncertainties have the same factor, usually 2; all four are in
/// the same unit. The two values are taken as independent.
///
/// # Errors
/// A value that is no number; an uncertainty under nothing; both uncertainties nothing.
pub fn normalised_error(whole: f64, u_whole: f64, parts: f64, u_parts: f64) -> Result<f64, Unfit> {
    let u = not_negative("U of the whole", u_whole)?.hypot(not_negative("U of the parts", u_parts)?);
    Ok((number("whole", whole)? - number("parts", parts)?) / positive("U", u)?)
}

/// The same of two masses; what one scale gave to both counts only as far as it differs.
///
/// # Errors
/// A difference without uncertainty.
pub fn of_masses(whole: &MassEstimate, parts: &MassEstimate) -> Result<f64, Unfit> {
    let difference = whole.minus(parts);
    Ok(difference.kg / positive("U", difference.expanded())?)
}

/// Whether it is good: |En| <= 1.
#[must_use]
pub fn closes(normalised: f64) -> bool {
    normalised.abs() <= LIMIT
}
