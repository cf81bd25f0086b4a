//! The centre of many masses, kept as sums that are added to and taken from, so that any order gives the same and nothing drifts.
//! Masses in kg, places in mm in the plan's axes (behind the front axle, right, up). Knows nothing of parts.

use super::unfit::{Unfit, number, positive};

/// A place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Of the front axle, mm.
    pub behind: f64,
    /// Of the middle, mm.
    pub right: f64,
    /// Over the ground, mm.
    pub up: f64,
}

/// A mass at a place, with standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Its mass.
    pub kg: f64,
    /// Of the mass, in kg.
    pub u: f64,
    /// Where it is.
    pub at: Point,
    /// Of the place, in mm, along each axis.
    pub u_at: Point,
}

/// Exact sums: milligrams, and milligrams times micrometres. What was added and taken away again leaves nothing behind. The sums of
/// squares that give uncertainties are plain numbers.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Composite {
    mass: i128,
    moment: [i128; 3],
    /// Sum of u^2; of u^2 x; of u^2 x^2, for each axis.
    spread: f64,
    spread_arm: [f64; 3],
    spread_square: [f64; 3],
    /// Sum of (m u_at)^2, for each axis.
    place: [f64; 3],
}

const PER_KG: f64 = 1e6;
const PER_MM: f64 = 1e3;
/// No workshop has masses of over 1e9 kg or places over 1e9 mm; these keep whole numbers whole.
const MOST: f64 = 1e9;

#[expect(clippy::cast_possible_truncation, reason = "cut to a range that fits")]
fn whole(value: f64, per: f64) -> i128 {
    (value.clamp(-MOST, MOST) * per).round() as i128
}

#[expect(clippy::cast_precision_loss, reason = "the one intended rounding")]
fn part(value: i128, per: f64) -> f64 {
    value as f64 / per
}

impl Point {
    /// The same along all three axes.
    #[must_use]
    pub fn all(value: f64) -> Point {
        Point {
            behind: value,
            right: value,
            up: value,
        }
    }

    fn axes(self) -> [f64; 3] {
        [self.behind, self.right, self.up]
    }
}

impl Composite {
    /// Adds a mass. Its uncertainty joins those of the others, taken as independent.
    ///
    /// # Errors
    /// A figure that is no number.
    pub fn add(&mut self, placed: Placed) -> Result<(), Unfit> {
        self.join(placed, 1, 1.0)
    }

    /// Takes away a mass that was added before, with its uncertainty: as if it had never been there.
    ///
    /// # Errors
    /// A figure that is no number.
    pub fn take_back(&mut self, placed: Placed) -> Result<(), Unfit> {
        self.join(placed, -1, -1.0)
    }

    /// Takes a part from a whole that was weighed with it: the mass goes, and its own uncertainty comes on top.
    ///
    /// # Errors
    /// A figure that is no number.
    pub fn remove(&mut self, placed: Placed) -> Result<(), Unfit> {
        self.join(placed, -1, 1.0)
    }

    /// Undoes a [`Composite::remove`]: the part is back in the whole that was weighed with it.
    ///
    /// # Errors
    /// A figure that is no number.
    pub fn put_back(&mut self, placed: Placed) -> Result<(), Unfit> {
        self.join(placed, 1, -1.0)
    }

    fn join(&mut self, placed: Placed, sign: i128, spread: f64) -> Result<(), Unfit> {
        let kg = number("mass", placed.kg)?;
        let u = number("u of the mass", placed.u)?;
        let axes = placed.at.axes();
        for axis in axes {
            number("place", axis)?;
        }
        let u_at = placed.u_at.axes();
        for u in u_at {
            number("u of the place", u)?;
        }
        let mass = whole(kg, PER_KG);
        self.mass += sign * mass;
        let sums = self
            .moment
            .iter_mut()
            .zip(&mut self.spread_arm)
            .zip(&mut self.spread_square)
            .zip(&mut self.place)
            .zip(axes.into_iter().zip(u_at));
        for ((((moment, arm), square), place), (axis, u_axis)) in sums {
            *moment += sign * mass * whole(axis, PER_MM);
            *arm += spread * u * u * axis;
            *square += spread * u * u * axis * axis;
            *place += spread * (kg * u_axis).powi(2);
        }
        self.spread += spread * u * u;
        Ok(())
    }

    /// Both together.
    #[must_use]
    pub fn plus(&self, other: &Composite) -> Composite {
        let mut sum = *self;
        sum.mass += other.mass;
        sum.spread += other.spread;
        for (mine, theirs) in sum.moment.iter_mut().zip(other.moment) {
            *mine += theirs;
        }
        for (mine, theirs) in sum.spread_arm.iter_mut().zip(other.spread_arm) {
            *mine += theirs;
        }
        for (mine, theirs) in sum.spread_square.iter_mut().zip(other.spread_square) {
            *mine += theirs;
        }
        for (mine, theirs) in sum.place.iter_mut().zip(other.place) {
            *mine += theirs;
        }
        sum
    }

    /// kg
    #[must_use]
    pub fn mass(&self) -> f64 {
        part(self.mass, PER_KG)
    }

    /// The standard uncertainty of the whole mass, in kg.
    #[must_use]
    pub fn u(&self) -> f64 {
        self.spread.max(0.0).sqrt()
    }

    /// Where the centre lies, in mm.
    ///
    /// # Errors
    /// Nothing there, or more taken away than there was.
    pub fn centre(&self) -> Result<Point, Unfit> {
        let mass = positive("mass", self.mass())?;
        let [behind, right, up] = self.moment.map(|moment| part(moment, PER_KG * PER_MM) / mass);
        Ok(Point { behind, right, up })
    }

    /// The standard uncertainty of the centre in each direction, in mm: each mass moves it by (x - centre)/M for each kilogram that it
    /// is off, each place by m/M for each millimetre.
    ///
    /// # Errors
    /// As for [`Composite::centre`].
    pub fn centre_uncertainty(&self) -> Result<Point, Unfit> {
        let middle = self.centre()?.axes();
        let mass = self.mass();
        let mut all = [0.0; 3];
        let sums = self
            .spread_arm
            .iter()
            .zip(&self.spread_square)
            .zip(&self.place)
            .zip(middle);
        for (out, (((arm, square), place), centre)) in all.iter_mut().zip(sums) {
            let variance = square - 2.0 * centre * arm + centre * centre * self.spread + place;
            *out = variance.max(0.0).sqrt() / mass;
        }
        let [behind, right, up] = all;
        Ok(Point { behind, right, up })
    }
}

/// The moment of inertia of point masses `(kg, place)` about the axis through their centre that points along one coordinate, in
/// kg times the square of the places' unit: sum(m d^2), d across that axis (parallel axis theorem; any text on statics).
///
/// # Errors
/// A figure that is no number; masses that do not come to more than nothing.
pub fn inertia(masses: &[(f64, Point)], about: Axis) -> Result<f64, Unfit> {
    let across = |point: Point| match about {
        Axis::Lengthwise => [point.right, point.up],
        Axis::Sideways => [point.behind, point.up],
        Axis::Upright => [point.behind, point.right],
    };
    let mut mass = 0.0;
    let mut first = [0.0; 2];
    for &(kg, at) in masses {
        mass += number("mass", kg)?;
        for (sum, arm) in first.iter_mut().zip(across(at)) {
            *sum += kg * number("place", arm)?;
        }
    }
    let mass = positive("mass", mass)?;
    let middle = first.map(|sum| sum / mass);
    Ok(masses
        .iter()
        .map(|&(kg, at)| {
            let square: f64 = across(at)
                .iter()
                .zip(middle)
                .map(|(arm, centre)| (arm - centre).powi(2))
                .sum();
            kg * square
        })
        .sum())
}

/// An axis through the centre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Fore and aft.
    Lengthwise,
    /// Left and right.
    Sideways,
    /// Up and down.
    Upright,
}
