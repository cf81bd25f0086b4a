//! What a bolt bears besides its preload when the joint is pulled: stiffness, shares, stresses. Knows no torque.

use super::amounts::{Asked, Megapascals, Newtons, OutOfRange, SquareMillimetres, within};
use crate::base::citation::Citation;

/// Joints under tension.
pub const SHIGLEY_TENSION: Citation = Citation {
    work: "Shigley's Mechanical Engineering Design, 9th edition",
    place: "sections 8-7 to 8-9, equation 8-31",
};

/// Preload for joints that are taken apart again: 0.75 of proof load (Shigley 8-31); 0.90 for those that stay.
pub const REUSED: f64 = 0.75;
/// As [`REUSED`], for permanent joints.
pub const PERMANENT: f64 = 0.90;

/// A share of the proof load.
///
/// # Errors
/// A share outside 0 to 1, or a negative load.
pub fn preload_of_proof(share: f64, proof_load: Newtons) -> Result<Newtons, OutOfRange> {
    let share = within(Asked::Share, share, 0.0, 1.0)?;
    Ok(Newtons(share * within(Asked::Force, proof_load.0, 0.0, 1e9)?))
}

/// The share of an outer pull that the bolt takes: C = kb / (kb + km). Both stiffnesses in one unit. Holds while the joint does not part.
///
/// # Errors
/// A stiffness that is not above 0.
pub fn share_of_pull(bolt: f64, members: f64) -> Result<f64, OutOfRange> {
    let bolt = within(Asked::Stiffness, bolt, f64::MIN_POSITIVE, 1e15)?;
    let members = within(Asked::Stiffness, members, f64::MIN_POSITIVE, 1e15)?;
    Ok(bolt / (bolt + members))
}

/// Stress of a force on an area.
///
/// # Errors
/// An area that is not above 0, or a negative force.
pub fn stress(force: Newtons, area: SquareMillimetres) -> Result<Megapascals, OutOfRange> {
    let force = within(Asked::Force, force.0, 0.0, 1e9)?;
    let area = within(Asked::Bearing, area.0, 1e-6, 1e6)?;
    Ok(Megapascals(force / area))
}

/// What the bolt bears under an outer pull: Fb = C P + Fi. Holds while the joint does not part.
///
/// # Errors
/// A share outside 0 to 1, or a negative force.
pub fn bolt_load(share: f64, pull: Newtons, preload: Newtons) -> Result<Newtons, OutOfRange> {
    let share = within(Asked::Share, share, 0.0, 1.0)?;
    let pull = within(Asked::Force, pull.0, 0.0, 1e9)?;
    let preload = within(Asked::Force, preload.0, 0.0, 1e9)?;
    Ok(Newtons(share * pull + preload))
}

/// The outer pull at which the joint parts: P0 = Fi / (1 - C).
///
/// # Errors
/// A share outside 0 to 0.999, or a negative force.
pub fn parting_pull(share: f64, preload: Newtons) -> Result<Newtons, OutOfRange> {
    let share = within(Asked::Share, share, 0.0, 0.999)?;
    let preload = within(Asked::Force, preload.0, 0.0, 1e9)?;
    Ok(Newtons(preload / (1.0 - share)))
}
