//! Slings: what a leg bears at its angle, which legs count, and how two hooks share. Loads in any one unit; angles in degrees from the
//! horizontal unless it is said otherwise: taking one for the other is the usual mistake. Knows nothing of what hangs.

use super::unfit::{Unfit, not_negative, number, positive, within};
use crate::base::citation::Citation;

/// The flattest leg without special approval.
pub const ASME_B30_9: Citation = Citation {
    work: "ASME B30.9, Slings; ASME B30.26, Rigging Hardware",
    place: "horizontal sling angle not under 30 degrees",
};

/// Working load factors of slings with several legs.
pub const EN_818_4: Citation = Citation {
    work: "EN 818-4, Chain slings; EN 1492, Textile slings",
    place: "mode factors, from memory",
};

/// How two hooks share.
pub const STATICS: Citation = Citation {
    work: "moments about one hook; any text on statics",
    place: "",
};

/// Degrees from the horizontal.
pub const FLATTEST: f64 = 30.0;

/// How much more than a leg that hangs straight a sloping leg bears: 1/sin of the angle from the horizontal, which is its length over
/// its height.
///
/// # Errors
/// An angle that is not more than 0 and at most 90 degrees.
pub fn tension_factor(from_horizontal: f64) -> Result<f64, Unfit> {
    Ok(1.0 / reduction_factor(from_horizontal)?)
}

/// What is left of a leg's rating at its angle: sin of the angle from the horizontal.
///
/// # Errors
/// As for [`tension_factor`].
pub fn reduction_factor(from_horizontal: f64) -> Result<f64, Unfit> {
    positive("angle", from_horizontal)?;
    Ok(within("angle", from_horizontal, 0.0, 90.0)?.to_radians().sin())
}

/// The angle of a leg from the horizontal, from its length and the height of the hook over where it is fastened.
///
/// # Errors
/// Lengths that are not more than nothing; a height over the length.
pub fn angle(length: f64, height: f64) -> Result<f64, Unfit> {
    let length = positive("length", length)?;
    positive("height", height)?;
    Ok((within("height", height, 0.0, length)? / length)
        .asin()
        .to_degrees())
}

/// Legs that may be counted on: of three or four under a rigid load only two, unless it is proved that all bear alike. General rigging
/// practice.
///
/// # Errors
/// No leg, or more than four.
pub fn legs_that_count(legs: u32, proved_alike: bool) -> Result<u32, Unfit> {
    match legs {
        1 | 2 => Ok(legs),
        3 | 4 if proved_alike => Ok(legs),
        3 | 4 => Ok(2),
        _ => Err(Unfit::NotTabulated { what: "legs" }),
    }
}

/// What one leg bears: W/(n sin), with the legs that count.
///
/// # Errors
/// A load under nothing; legs not from one to four; an angle under [`FLATTEST`] degrees or over 90.
pub fn leg_tension(load: f64, legs: u32, from_horizontal: f64, proved_alike: bool) -> Result<f64, Unfit> {
    let load = not_negative("load", load)?;
    let count = legs_that_count(legs, proved_alike)?;
    let angle = within("angle", from_horizontal, FLATTEST, 90.0)?;
    Ok(load * tension_factor(angle)? / f64::from(count))
}

/// What a sling may bear as a whole, as a multiple of the rating of one leg: EN 818-4, by its greatest angle from the vertical. One leg
/// 1; two legs 1.4 up to 45 degrees and 1 up to 60; three and four 2.1 and 1.5.
///
/// # Errors
/// Legs not from one to four; an angle not from 0 to 60 degrees from the vertical.
pub fn mode_factor(legs: u32, from_vertical: f64) -> Result<f64, Unfit> {
    let steep = within("angle from the vertical", from_vertical, 0.0, 60.0)? <= 45.0;
    match (legs, steep) {
        (1, _) => Ok(1.0),
        (2, true) => Ok(1.4),
        (2, false) => Ok(1.0),
        (3 | 4, true) => Ok(2.1),
        (3 | 4, false) => Ok(1.5),
        _ => Err(Unfit::NotTabulated { what: "legs" }),
    }
}

/// Two hooks that hang straight: each bears by the other's distance from the centre, F1 = W d2/(d1 + d2).
///
/// # Errors
/// A load or distance under nothing; both hooks in one place.
pub fn two_hooks(load: f64, to_first: f64, to_second: f64) -> Result<(f64, f64), Unfit> {
    let load = not_negative("load", load)?;
    let (d1, d2) = (
        not_negative("distance", to_first)?,
        not_negative("distance", to_second)?,
    );
    let apart = positive("distance of the hooks", d1 + d2)?;
    Ok((load * d2 / apart, load * d1 / apart))
}

/// The second hook's load when the thing is tilted by `tilt` degrees: W x1 cos t/((x1 + x2) cos t + y sin t), with the centre `x1` from
/// the first hook and `x2` from the second along the thing, and the second hook's place `y` higher than the first's across it.
///
/// # Errors
/// A load or a distance under nothing; a tilt of 90 degrees or more; hooks that stand over each other; a centre that the tilt brings past
/// the second hook, where the first would have to push.
pub fn tilted_second_hook(load: f64, x1: f64, x2: f64, y: f64, tilt: f64) -> Result<f64, Unfit> {
    let load = not_negative("load", load)?;
    let (sine, cosine) = within("tilt", tilt, -89.999, 89.999)?.to_radians().sin_cos();
    let (x1, x2) = (not_negative("distance", x1)?, not_negative("distance", x2)?);
    let to_second = x2 * cosine + number("height", y)? * sine;
    let apart = positive("distance of the hooks", x1 * cosine + to_second)?;
    if to_second < 0.0 {
        return Err(Unfit::Tips);
    }
    Ok(load * x1 * cosine / apart)
}
