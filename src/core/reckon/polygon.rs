//! The polygon that supports span on the ground, and how far inside it a centre lies. Lengths in any one unit. Plain geometry. Knows
//! neither loads nor what stands there.

use super::unfit::{Unfit, number};

/// A place over the ground, in the plan's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Behind the front axle.
    pub behind: f64,
    /// Right of the middle.
    pub right: f64,
}

impl Spot {
    /// Behind the front axle, and right of the middle.
    #[must_use]
    pub fn new(behind: f64, right: f64) -> Spot {
        Spot { behind, right }
    }

    pub(super) fn fit(self) -> Result<Spot, Unfit> {
        number("place", self.behind)?;
        number("place", self.right)?;
        Ok(self)
    }

    /// As the crow flies.
    #[must_use]
    pub fn distance(self, other: Spot) -> f64 {
        (self.behind - other.behind).hypot(self.right - other.right)
    }
}

/// Twice the area of the triangle of three places, positive where they turn one way, negative the other way.
pub(super) fn turn(a: Spot, b: Spot, c: Spot) -> f64 {
    (b.behind - a.behind) * (c.right - a.right) - (b.right - a.right) * (c.behind - a.behind)
}

/// A convex polygon, its corners in order round it.
#[derive(Debug, Clone, PartialEq)]
pub struct Hull {
    corners: Vec<Spot>,
}

/// The smallest convex polygon round all supports. Corners that lie on an edge are left out.
///
/// # Errors
/// Fewer than three supports; supports in one line; a place that is no number.
pub fn hull(supports: &[Spot]) -> Result<Hull, Unfit> {
    if supports.len() < 3 {
        return Err(Unfit::TooFew {
            what: "supports",
            least: 3,
        });
    }
    let mut sorted = Vec::with_capacity(supports.len());
    for spot in supports {
        sorted.push(spot.fit()?);
    }
    sorted.sort_by(|a, b| a.behind.total_cmp(&b.behind).then(a.right.total_cmp(&b.right)));
    let size = sorted
        .iter()
        .flat_map(|spot| sorted.first().map(|first| spot.distance(*first)))
        .fold(0.0, f64::max);
    // Flatter than a millionth of its length it is a line.
    let flat = 1e-6 * size * size;
    let mut corners = half(sorted.iter().copied(), flat);
    corners.extend(half(sorted.iter().rev().copied(), flat));
    if corners.len() < 3 {
        return Err(Unfit::InALine);
    }
    Ok(Hull { corners })
}

/// One chain of the hull, without its last corner, which begins the other (Andrew's monotone chain).
fn half(spots: impl Iterator<Item = Spot>, flat: f64) -> Vec<Spot> {
    let mut chain: Vec<Spot> = Vec::new();
    for spot in spots {
        while let [.., a, b] = chain.as_slice()
            && turn(*a, *b, spot) <= flat
        {
            chain.pop();
        }
        chain.push(spot);
    }
    chain.pop();
    chain
}

/// How a place lies to the nearest edge of a hull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Its distance from the edge; under nothing outside.
    pub inside: f64,
    /// The ends of that edge: about it the load would tip.
    pub edge: (Spot, Spot),
}

impl Hull {
    /// In order round it.
    #[must_use]
    pub fn corners(&self) -> &[Spot] {
        &self.corners
    }

    /// Its edges, in order round it.
    pub fn edges(&self) -> impl Iterator<Item = (Spot, Spot)> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(next.copied())
    }

    /// The square of the unit of the places.
    #[must_use]
    pub fn area(&self) -> f64 {
        let Some(&first) = self.corners.first() else {
            return 0.0;
        };
        self.edges().map(|(a, b)| turn(first, a, b)).sum::<f64>() / 2.0
    }

    /// Whether a place lies inside or on the edge.
    #[must_use]
    pub fn contains(&self, spot: Spot) -> bool {
        self.edges().all(|(a, b)| turn(a, b, spot) >= 0.0)
    }

    /// The margin of a place: inside, the distance from the nearest edge's line; outside, that from the nearest place of the hull, with
    /// its sign turned.
    ///
    /// # Errors
    /// A place that is no number.
    pub fn margin(&self, spot: Spot) -> Result<Margin, Unfit> {
        spot.fit()?;
        let inside = self.contains(spot);
        let away = |(a, b)| {
            if inside {
                within(spot, a, b)
            } else {
                to_segment(spot, a, b)
            }
        };
        let distances = self.edges().map(|edge| (away(edge), edge));
        let nearest = distances.min_by(|(a, _), (b, _)| a.total_cmp(b));
        let (away, edge) = nearest.ok_or(Unfit::InALine)?;
        Ok(Margin {
            inside: if inside { away } else { -away },
            edge,
        })
    }
}

/// How far a place lies on the inner side of an edge's line.
pub(super) fn within(spot: Spot, a: Spot, b: Spot) -> f64 {
    turn(a, b, spot) / a.distance(b)
}

fn to_segment(spot: Spot, a: Spot, b: Spot) -> f64 {
    let along = Spot::new(b.behind - a.behind, b.right - a.right);
    let square = along.behind.powi(2) + along.right.powi(2);
    let dot = (spot.behind - a.behind) * along.behind + (spot.right - a.right) * along.right;
    let share = if square > 0.0 {
        (dot / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    spot.distance(Spot::new(
        a.behind + share * along.behind,
        a.right + share * along.right,
    ))
}
