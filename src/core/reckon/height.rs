//! The height of the centre from a weighing with one end raised. Loads in any one unit, lengths in any one. Suspension locked, tank
//! full or empty, brakes free, at three heights or more (ISO 10392, 6.2). Knows nothing of how it was weighed.

use super::unfit::{Unfit, not_negative, number, positive, within};
use crate::base::citation::Citation;

/// The method and its formula.
pub const ISO_10392: Citation = Citation {
    work: "ISO 10392:2011, Road vehicles, Determination of centre of gravity",
    place: "6.2, 6.5: axle lift method, formula with the tangent",
};

/// The form for wheels of two sizes.
pub const UNEQUAL_RADII: Citation = Citation {
    work: "W. F. Milliken, D. L. Milliken, Race Car Vehicle Dynamics (SAE, 1995)",
    place: "chapter 18",
};

/// The end that is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raised {
    /// The wheels of the front axle.
    Front,
    /// The wheels of the rear axle.
    Rear,
}

/// A vehicle standing level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// Between the axles.
    pub wheelbase: f64,
    /// What the front axle bears.
    pub front: f64,
    /// What the rear axle bears.
    pub rear: f64,
    /// Loaded radii.
    pub radius_front: f64,
    /// Of the rear wheels.
    pub radius_rear: f64,
}

/// One reading with an end raised: by how much, measured as the height of its wheels' middles over where they were, and what
/// the axle that stayed down bears then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lifted {
    /// Which wheels were up.
    pub end: Raised,
    /// By how much.
    pub by: f64,
    /// What the axle that stayed down bore.
    pub other_axle: f64,
}

impl Level {
    fn fit(self) -> Result<Level, Unfit> {
        positive("wheelbase", self.wheelbase)?;
        not_negative("front axle", self.front)?;
        not_negative("rear axle", self.rear)?;
        positive("weight", self.front + self.rear)?;
        not_negative("front radius", self.radius_front)?;
        not_negative("rear radius", self.radius_rear)?;
        Ok(self)
    }

    fn weight(self) -> f64 {
        self.front + self.rear
    }

    /// How far the centre lies behind the front axle, and ahead of the rear one.
    fn arms(self) -> (f64, f64) {
        let a = self.wheelbase * self.rear / self.weight();
        (a, self.wheelbase - a)
    }

    /// The height of the wheels' middles where the centre is.
    fn hubs(self) -> f64 {
        let (a, b) = self.arms();
        (self.radius_front * b + self.radius_rear * a) / self.wheelbase
    }
}

/// The tangent of the angle at which the vehicle stands: h/sqrt(L^2 - h^2).
///
/// # Errors
/// A wheelbase or height that is not more than nothing; a height that is not less than the wheelbase.
pub fn tangent(wheelbase: f64, by: f64) -> Result<f64, Unfit> {
    let (length, by) = (positive("wheelbase", wheelbase)?, positive("raised by", by)?);
    if by >= length {
        return Err(Unfit::Outside {
            what: "raised by",
            least: 0.0,
            most: length,
        });
    }
    Ok(by / (length * length - by * by).sqrt())
}

/// The height of the centre over the ground. ISO 10392 6.5: r + L (F' - F)/(W tan) for equal radii, where F' - F is what the axle that
/// stays down gained; with two radii the first term is their mean weighted by the centre's place: RF b/L + RR a/L (Milliken, 18).
///
/// # Errors
/// A figure that is no fit one; see [`tangent`]. A lower axle that bears more than the whole; a height under the ground or over
/// [`HIGHEST`].
pub fn of_centre(level: Level, lifted: Lifted) -> Result<f64, Unfit> {
    let height = implied(level, lifted)?;
    within("load of the lower axle", lifted.other_axle, 0.0, level.weight())?;
    within("height of the centre", height, 0.0, HIGHEST * level.wheelbase)
}

/// No centre lies higher than so many wheelbases. Common practice, no source.
pub const HIGHEST: f64 = 2.0;

/// The same sum without asking whether it can be: for saying what figures that cannot be come to.
///
/// # Errors
/// A figure that is no fit one; see [`tangent`].
pub fn implied(level: Level, lifted: Lifted) -> Result<f64, Unfit> {
    let level = level.fit()?;
    let tan = tangent(level.wheelbase, lifted.by)?;
    let was = match lifted.end {
        Raised::Front => level.rear,
        Raised::Rear => level.front,
    };
    let gained = not_negative("load of the lower axle", lifted.other_axle)? - was;
    Ok(level.hubs() + level.wheelbase * gained / (level.weight() * tan))
}

/// Its uncertainty from those of the readings, both of one axle's load, and of the height by which it was raised.
///
/// # Errors
/// As for [`implied`]; an uncertainty under nothing.
pub fn uncertainty(level: Level, lifted: Lifted, u_load: f64, u_by: f64) -> Result<f64, Unfit> {
    let over_hubs = implied(level, lifted)? - level.hubs();
    let tan = tangent(level.wheelbase, lifted.by)?;
    let of_loads =
        level.wheelbase * not_negative("u of a load", u_load)? * 2f64.sqrt() / (level.weight() * tan);
    // d ln tan / dh = L^2 / (h (L^2 - h^2)).
    let square = level.wheelbase * level.wheelbase;
    let steep = square / (lifted.by * (square - lifted.by * lifted.by));
    let of_height = over_hubs * steep * not_negative("u of the height", u_by)?;
    Ok(of_loads.hypot(of_height))
}

/// The load of the axle that stays down, from a known height: the same formula turned round, for plausible ranges and for tests.
///
/// # Errors
/// As for [`of_centre`].
pub fn load_when_lifted(level: Level, end: Raised, by: f64, height: f64) -> Result<f64, Unfit> {
    let level = level.fit()?;
    let tan = tangent(level.wheelbase, by)?;
    let was = match end {
        Raised::Front => level.rear,
        Raised::Rear => level.front,
    };
    let over = number("height", height)? - level.hubs();
    Ok(was + over * level.weight() * tan / level.wheelbase)
}

/// From several heights: the loads regressed on the tangent (ISO 10392, 6.5). The level reading is one point of the fit, and no line is
/// forced through it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regressed {
    /// The height that the line gives.
    pub height: f64,
    /// Of the height, from the scatter about the line; nothing with two readings.
    pub u: f64,
}

/// # Errors
/// Fewer than two lifted readings, or readings of both ends; a figure that is no fit one.
#[expect(clippy::cast_precision_loss, reason = "a count of readings is small")]
pub fn by_regression(level: Level, lifted: &[Lifted]) -> Result<Regressed, Unfit> {
    let level = level.fit()?;
    let (Some(first), true) = (lifted.first(), lifted.len() >= 2) else {
        return Err(Unfit::TooFew {
            what: "raised readings",
            least: 2,
        });
    };
    let was = match first.end {
        Raised::Front => level.rear,
        Raised::Rear => level.front,
    };
    let mut points = vec![(0.0, was)];
    for reading in lifted {
        if reading.end != first.end {
            return Err(Unfit::NotTabulated { what: "raised end" });
        }
        let load = not_negative("load of the lower axle", reading.other_axle)?;
        points.push((tangent(level.wheelbase, reading.by)?, load));
    }
    let n = points.len() as f64;
    let mean_x = points.iter().map(|(x, _)| x).sum::<f64>() / n;
    let mean_y = points.iter().map(|(_, y)| y).sum::<f64>() / n;
    let sxx: f64 = points.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
    let sxy: f64 = points.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
    let slope = sxy / positive("spread of the heights", sxx)?;
    let left: f64 = points
        .iter()
        .map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2))
        .sum();
    let u_slope = (left / (n - 2.0) / sxx).sqrt();
    let scale = level.wheelbase / level.weight();
    Ok(Regressed {
        height: level.hubs() + slope * scale,
        u: u_slope * scale,
    })
}
