//! Ballast: how much brings a vehicle up to its class minimum, and where it has to sit for a wanted split between the axles. Masses in
//! kg, lengths in any one unit. Plain statics. Knows nothing of rules of a class beyond their minimum.

use super::mass::MassEstimate;
use super::unfit::{Unfit, not_negative, positive, within};

/// Mass that is wanted, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ballast {
    /// So many kilograms.
    pub kg: f64,
    /// How far behind the front axle its centre has to lie; under nothing is ahead of it.
    pub behind: f64,
}

/// How much is missing to a minimum: nothing where the figure reaches it.
///
/// # Errors
/// A minimum that is no number or under nothing.
pub fn missing(vehicle: &MassEstimate, minimum: f64) -> Result<f64, Unfit> {
    Ok((not_negative("minimum", minimum)? - vehicle.kg).max(0.0))
}

/// How much has to be carried so that the vehicle is not under the minimum with about 98 % certainty: what is missing, and 2 u on
/// top.
///
/// # Errors
/// A minimum that is no number or under nothing.
pub fn missing_for_sure(vehicle: &MassEstimate, minimum: f64) -> Result<f64, Unfit> {
    Ok((not_negative("minimum", minimum)? - vehicle.kg + vehicle.expanded()).max(0.0))
}

/// Where ballast of this mass has to sit so that the front axle bears `front_share` of the whole afterwards: moments about the front
/// axle, W a + b x = (W + b)(1 - f) L.
///
/// # Errors
/// A mass or length that is not more than nothing; a share not between 0 and 1; a centre not between the axles. The place itself may
/// come out ahead of the front axle or behind the rear one: then the mass does not do it alone.
pub fn place(
    weight: f64,
    centre_behind: f64,
    wheelbase: f64,
    kg: f64,
    front_share: f64,
) -> Result<Ballast, Unfit> {
    let weight = positive("weight", weight)?;
    let length = positive("wheelbase", wheelbase)?;
    let a = within("centre behind the front axle", centre_behind, 0.0, length)?;
    let kg = positive("ballast", kg)?;
    let share = within("front share", front_share, 0.0, 1.0)?;
    let behind = ((weight + kg) * (1.0 - share) * length - weight * a) / kg;
    Ok(Ballast { kg, behind })
}

/// How much ballast at a given place brings the front axle to `front_share`: the same turned round.
///
/// # Errors
/// As for [`place`]; a place at which no amount does it.
pub fn mass_at(
    weight: f64,
    centre_behind: f64,
    wheelbase: f64,
    behind: f64,
    front_share: f64,
) -> Result<Ballast, Unfit> {
    let weight = positive("weight", weight)?;
    let length = positive("wheelbase", wheelbase)?;
    let a = within("centre behind the front axle", centre_behind, 0.0, length)?;
    let wanted = (1.0 - within("front share", front_share, 0.0, 1.0)?) * length;
    let kg = weight * (wanted - a) / (behind - wanted);
    if !kg.is_finite() || kg < 0.0 {
        return Err(Unfit::Outside {
            what: "place of the ballast",
            least: if wanted > a { wanted } else { f64::NEG_INFINITY },
            most: if wanted > a { f64::INFINITY } else { wanted },
        });
    }
    Ok(Ballast { kg, behind })
}
