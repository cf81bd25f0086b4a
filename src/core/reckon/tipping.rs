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
    /// How far inside it lies, and where.
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

/// The push from below, at one place under a load, with which what is left of it on its supports comes to stand on their edge: F = W t/(1 + t), t
/// the least d(c)/(d(p) - d(c)) over all edges, with the distances d of centre and place inside of each (statics of a rigid body). None
/// where no push there does that, or where it is outside already.
///
/// # Errors
/// A load under nothing; a place that is no number.
pub fn push_to_edge(hull: &Hull, load: f64, centre: Spot, at: Spot) -> Result<Option<f64>, Unfit> {
    let load = not_negative("load", load)?;
    let (centre, at) = (centre.fit()?, at.fit()?);
    if !hull.contains(centre) {
        return Ok(None);
    }
    let all = hull.edges().filter_map(|(a, b)| {
        let (here, there) = (within(centre, a, b), within(at, a, b));
        (there > here).then(|| here / (there - here))
    });
    Ok(all.min_by(f64::total_cmp).map(|t| load * t / (1.0 + t)))
}

/// Where the centre of what is left of a load lies when it is pushed from below at one place: (W c - F p)/(W - F) (statics), with the standard
/// uncertainties of centre and place.
///
/// # Errors
/// A push that is not less than the load, or under nothing.
pub fn pushed(load: f64, centre: (Spot, Spot), push: f64, at: (Spot, f64)) -> Result<(Spot, Spot), Unfit> {
    let push = not_negative("push", push)?;
    let left = positive("what is left", load - push)?;
    let ((centre, u), (at, u_at)) = (centre, at);
    let moved = |c: f64, p: f64| (load * c - push * p) / left;
    let known = |u: f64| (load * u / left).hypot(push * u_at / left);
    Ok((
        Spot::new(moved(centre.behind, at.behind), moved(centre.right, at.right)),
        Spot::new(known(u.behind), known(u.right)),
    ))
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
