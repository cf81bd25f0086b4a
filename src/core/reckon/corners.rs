//! Four wheel readings: centre, shares and cross weight; and wheel loads from a centre by a stated assumption. Loads in any one unit,
//! lengths in any one. The axes are the plan's: behind the front axle, and right of the middle. Plain statics.

use super::axles;
use super::polygon::Spot;
use super::unfit::{Unfit, not_negative, positive, within};

/// What the four wheels bear, or the uncertainties of these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners {
    /// On the left front wheel.
    pub front_left: f64,
    /// On the right front wheel.
    pub front_right: f64,
    /// On the left rear wheel.
    pub rear_left: f64,
    /// On the right rear wheel.
    pub rear_right: f64,
}

/// Where the wheels stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Between the axles.
    pub wheelbase: f64,
    /// Between the front wheels.
    pub track_front: f64,
    /// Between the rear wheels.
    pub track_rear: f64,
}

/// Which diagonal the cross weight is of: the sources differ, so it is always said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cross {
    /// (right front + left rear) / whole: most texts on racing.
    RightFrontLeftRear,
    /// (left front + right rear) / whole.
    LeftFrontRightRear,
}

impl Corners {
    /// Front left, front right, rear left, rear right.
    #[must_use]
    pub fn all(self) -> [f64; 4] {
        [self.front_left, self.front_right, self.rear_left, self.rear_right]
    }

    /// The whole.
    #[must_use]
    pub fn total(self) -> f64 {
        self.all().iter().sum()
    }

    /// Each axle by itself.
    #[must_use]
    pub fn axles(self) -> axles::AxleLoads {
        axles::AxleLoads {
            front: self.front_left + self.front_right,
            rear: self.rear_left + self.rear_right,
        }
    }

    /// The whole, once all four are found fit.
    ///
    /// # Errors
    /// A load that is no number or under nothing; all nothing.
    pub fn weight(self) -> Result<f64, Unfit> {
        for load in self.all() {
            not_negative("corner", load)?;
        }
        positive("weight", self.total())
    }

    /// Share of the left wheels, from 0 to 1.
    ///
    /// # Errors
    /// See [`Corners::weight`].
    pub fn left_share(self) -> Result<f64, Unfit> {
        Ok((self.front_left + self.rear_left) / self.weight()?)
    }

    /// Share of the front wheels, from 0 to 1.
    ///
    /// # Errors
    /// See [`Corners::weight`].
    pub fn front_share(self) -> Result<f64, Unfit> {
        Ok((self.front_left + self.front_right) / self.weight()?)
    }

    /// Share of one diagonal, from 0 to 1.
    ///
    /// # Errors
    /// See [`Corners::weight`].
    pub fn cross_share(self, of: Cross) -> Result<f64, Unfit> {
        let diagonal = match of {
            Cross::RightFrontLeftRear => self.front_right + self.rear_left,
            Cross::LeftFrontRightRear => self.front_left + self.rear_right,
        };
        Ok(diagonal / self.weight()?)
    }
}

impl Stance {
    fn fit(self) -> Result<Stance, Unfit> {
        positive("wheelbase", self.wheelbase)?;
        positive("front track", self.track_front)?;
        positive("rear track", self.track_rear)?;
        Ok(self)
    }

    /// Where the wheels stand: front left, front right, rear left, rear right.
    #[must_use]
    pub fn wheels(self) -> [Spot; 4] {
        let spot = |behind: f64, right: f64| Spot { behind, right };
        let (front, rear) = (self.track_front / 2.0, self.track_rear / 2.0);
        [
            spot(0.0, -front),
            spot(0.0, front),
            spot(self.wheelbase, -rear),
            spot(self.wheelbase, rear),
        ]
    }
}

/// The centre over the ground: sum(w x)/W and sum(w y)/W, each wheel with its own half track. With equal tracks the second is
/// (t/2)(right - left)/W.
///
/// # Errors
/// See [`Corners::weight`]; a wheelbase or track that is not more than nothing.
pub fn centre(corners: Corners, stance: Stance) -> Result<Spot, Unfit> {
    let weight = corners.weight()?;
    let wheels = stance.fit()?.wheels();
    let (mut behind, mut right) = (0.0, 0.0);
    for (load, wheel) in corners.all().into_iter().zip(wheels) {
        behind += load * wheel.behind;
        right += load * wheel.right;
    }
    Ok(Spot {
        behind: behind / weight,
        right: right / weight,
    })
}

/// The uncertainty of that centre in both directions, from those of the four readings, taken as independent: a wheel at x moves the
/// centre by (x - centre)/W for each unit. A factor that all four scales are off by moves it not at all.
///
/// # Errors
/// As for [`centre`]; an uncertainty under nothing.
pub fn centre_uncertainty(corners: Corners, u: Corners, stance: Stance) -> Result<Spot, Unfit> {
    let middle = centre(corners, stance)?;
    let weight = corners.weight()?;
    let (mut behind, mut right) = (0.0f64, 0.0f64);
    for (u, wheel) in u.all().into_iter().zip(stance.wheels()) {
        let u = not_negative("u of a corner", u)? / weight;
        behind = behind.hypot(u * (wheel.behind - middle.behind));
        right = right.hypot(u * (wheel.right - middle.right));
    }
    Ok(Spot { behind, right })
}

/// Wheel loads from the whole and its centre. Four wheels leave one thing open; the assumption is that both axles have the same
/// share left and right in terms of their own half tracks, as a car has whose springs were set for no twist: front right =
/// (front/2)(1 + y/(track_front/2)).
///
/// # Errors
/// A weight under nothing; a stance that is no fit one; a centre outside of the wheels.
pub fn loads(weight: f64, middle: Spot, stance: Stance) -> Result<Corners, Unfit> {
    let stance = stance.fit()?;
    let axles = axles::loads(weight, stance.wheelbase, middle.behind)?;
    let narrow = stance.track_front.min(stance.track_rear) / 2.0;
    let right = within("centre right of the middle", middle.right, -narrow, narrow)?;
    let pair = |load: f64, track: f64| {
        let out = load * right / track;
        (load / 2.0 - out, load / 2.0 + out)
    };
    let (front_left, front_right) = pair(axles.front, stance.track_front);
    let (rear_left, rear_right) = pair(axles.rear, stance.track_rear);
    Ok(Corners {
        front_left,
        front_right,
        rear_left,
        rear_right,
    })
}
