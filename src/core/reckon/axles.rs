//! Axle loads and the place of the centre along the vehicle, and what adding, removing or shifting something does to it. Any one unit
//! of weight and any one of length. Plain statics. Knows nothing of sides or heights.

use super::unfit::{Unfit, not_negative, number, positive, within};
use crate::base::citation::Citation;

/// The rules of balance used for aircraft, which hold for anything that stands.
pub const FAA_BALANCE: Citation = Citation {
    work: "FAA-H-8083-1, Weight and Balance Handbook; FAA-H-8083-25, chapter on weight and balance",
    place: "moments about a datum; weight added, removed and shifted",
};

/// What the axles bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleLoads {
    /// On both front wheels together.
    pub front: f64,
    /// On both rear wheels together.
    pub rear: f64,
}

impl AxleLoads {
    /// The whole.
    #[must_use]
    pub fn total(self) -> f64 {
        self.front + self.rear
    }

    /// The front axle's share, from 0 to 1; no number where nothing is borne.
    #[must_use]
    pub fn front_share(self) -> f64 {
        self.front / self.total()
    }
}

/// Axle loads from the centre: front W b/L, rear W a/L, with the centre `a` behind the front axle.
///
/// # Errors
/// A weight under nothing; a wheelbase that is not more than nothing; a centre that does not lie between the axles, for then one axle
/// lifts.
pub fn loads(weight: f64, wheelbase: f64, behind_front: f64) -> Result<AxleLoads, Unfit> {
    let weight = not_negative("weight", weight)?;
    let length = positive("wheelbase", wheelbase)?;
    let a = within("centre behind the front axle", behind_front, 0.0, length)?;
    let rear = weight * a / length;
    Ok(AxleLoads {
        front: weight - rear,
        rear,
    })
}

/// How far the centre lies behind the front axle: a = L FR/W.
///
/// # Errors
/// A load under nothing, both nothing; a wheelbase that is not more than nothing.
pub fn centre(axles: AxleLoads, wheelbase: f64) -> Result<f64, Unfit> {
    not_negative("front axle", axles.front)?;
    let rear = not_negative("rear axle", axles.rear)?;
    Ok(positive("wheelbase", wheelbase)? * rear / positive("weight", axles.total())?)
}

/// The uncertainty of that place where both readings have independent uncertainties: from da/dFF = -a/W and da/dFR = (L - a)/W.
///
/// # Errors
/// As for [`centre`]; an uncertainty under nothing.
pub fn centre_uncertainty(axles: AxleLoads, u: AxleLoads, wheelbase: f64) -> Result<f64, Unfit> {
    let a = centre(axles, wheelbase)?;
    let weight = axles.total();
    let front = not_negative("u of the front axle", u.front)? * a / weight;
    let rear = not_negative("u of the rear axle", u.rear)? * (wheelbase - a) / weight;
    Ok(front.hypot(rear))
}

/// The centre of several weights `(weight, arm)`, arms with their sign from any datum: sum(w x)/sum(w). A weight under nothing is one
/// that is taken away.
///
/// # Errors
/// A figure that is no number; weights that do not come to more than nothing.
pub fn centre_of_moments(weights: &[(f64, f64)]) -> Result<f64, Unfit> {
    let (mut weight, mut moment) = (0.0, 0.0);
    for &(w, arm) in weights {
        weight += number("weight", w)?;
        moment += number("weight", w)? * number("arm", arm)?;
    }
    Ok(moment / positive("weight", weight)?)
}

/// The centre from one scale at `arm` from the datum, when the other support stands `datum` from it: D + R (arm)/W. It is how an
/// aircraft is weighed at its tail or nose wheel.
///
/// # Errors
/// A figure that is no number; a weight that is not more than nothing.
pub fn centre_from_one_end(reaction: f64, arm: f64, weight: f64, datum: f64) -> Result<f64, Unfit> {
    let moment = number("reaction", reaction)? * number("arm", arm)?;
    Ok(number("datum", datum)? + moment / positive("weight", weight)?)
}

/// How far the centre moves when `weight` is added at `distance` from the old centre: w d/(W + w). For one that is removed, give a
/// weight under nothing: then it moves away from the hole.
///
/// # Errors
/// A figure that is no number; nothing left.
pub fn moved_by_adding(old_weight: f64, weight: f64, distance: f64) -> Result<f64, Unfit> {
    let new = number("old weight", old_weight)? + number("weight", weight)?;
    Ok(weight * number("distance", distance)? / positive("new weight", new)?)
}

/// How far the centre moves when `weight` is shifted by `distance`: w d/W.
///
/// # Errors
/// A figure that is no number; a whole weight that is not more than nothing.
pub fn moved_by_shifting(whole: f64, weight: f64, distance: f64) -> Result<f64, Unfit> {
    let moment = number("weight", weight)? * number("distance", distance)?;
    Ok(moment / positive("whole", whole)?)
}

/// How far `weight` has to be shifted so that the centre moves by `wanted`: the same turned round.
///
/// # Errors
/// A figure that is no number; a weight that is not more than nothing.
pub fn shift_for(whole: f64, weight: f64, wanted: f64) -> Result<f64, Unfit> {
    Ok(number("whole", whole)? * number("wanted", wanted)? / positive("weight", weight)?)
}
