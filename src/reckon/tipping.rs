//! How far something may tilt before it tips, and how far its centre lies from the edge over which it would. Lengths in any one unit,
//! angles in degrees. Knows nothing of loads.

use super::polygon::{Hull, Margin, Spot, within};
use super::unfit::{Unfit, not_negative, positive};
use crate::base::citation::Citation;

/// The static stability factor.
pub const NHTSA: Citation = Citation {
    work: "NHTSA, rollover resistance ratings",
    place: "static stability factor T/(2H)",
};

/// SSF = T/(2H), with the track and the height of the centre.
///
/// # Errors
/// A track or height that is not more than nothing.
pub fn stability_factor(track: f64, height: f64) -> Result<f64, Unfit> {
    Ok(positive("track", track)? / (2.0 * positive("height", height)?))
}

/// The tilt, in degrees, at which something tips whose centre lies `margin` inside the edge and `height` over it: atan(margin/height).
/// Nothing for a margin of nothing or less.
///
/// # Errors
/// A height that is not more than nothing; a margin that is no number.
pub fn tilt_to_tip(margin: f64, height: f64) -> Result<f64, Unfit> {
    let height = positive("height", height)?;
    super::unfit::number("margin", margin)?;
    Ok(margin.max(0.0).atan2(height).to_degrees())
}

/// Whether a centre stays inside by so much that its own uncertainty cannot bring it out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stands {
    pub margin: Margin,
    /// The expanded uncertainty of the centre across that edge: 2 u.
    pub covers: f64,
}

impl Stands {
    /// Inside, and further from the edge than the uncertainty covers.
    #[must_use]
    pub fn surely(self) -> bool {
        self.margin.inside > self.covers
    }

    /// What is left of the margin when the uncertainty is taken off.
    #[must_use]
    pub fn left(self) -> f64 {
        self.margin.inside - self.covers
    }

    /// Outside, or on the edge.
    #[must_use]
    pub fn tips(self) -> bool {
        self.margin.inside <= 0.0
    }
}

/// The margin of a centre with its standard uncertainties along and across the vehicle. Outside, of the nearest edge. Inside, of the edge
/// of which it is least sure: the one with the least distance left after twice the uncertainty across that edge. Which need not be the
/// nearest: a centre may be known well across one edge and badly across the other.
///
/// # Errors
/// A centre that is no number; an uncertainty under nothing.
pub fn stands(hull: &Hull, centre: Spot, u: Spot) -> Result<Stands, Unfit> {
    let u = Spot::new(not_negative("u", u.behind)?, not_negative("u", u.right)?);
    let covers = |(a, b): (Spot, Spot)| {
        let length = a.distance(b);
        // The direction across the edge.
        let (x, y) = ((b.right - a.right) / length, (b.behind - a.behind) / length);
        2.0 * (x * u.behind).hypot(y * u.right)
    };
    let nearest = hull.margin(centre)?;
    let nearest = Stands {
        margin: nearest,
        covers: covers(nearest.edge),
    };
    if nearest.tips() {
        return Ok(nearest);
    }
    let all = hull.edges().map(|edge| Stands {
        margin: Margin {
            inside: within(centre, edge.0, edge.1),
            edge,
        },
        covers: covers(edge),
    });
    Ok(all.fold(
        nearest,
        |least, next| {
            if next.left() < least.left() { next } else { least }
        },
    ))
}
