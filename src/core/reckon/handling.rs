//! What one person, two or three may lift where nothing is known but where it is held: the filter of the British guidance and its rule
//! for teams. In kg. It advises and certifies nothing. Knows neither people nor parts.

use super::unfit::{Unfit, not_negative, within};
use crate::base::citation::Citation;

/// The guidance.
pub const HSE_L23: Citation = Citation {
    work: "HSE, L23 Manual Handling Operations Regulations, guidance; INDG143",
    place: "lifting and lowering risk filter, reductions, team handling; zones and team rule from memory",
};

/// How high the hands are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zone {
    /// Over the shoulders.
    OverShoulder,
    /// From the elbows to the shoulders.
    ElbowToShoulder,
    /// From the hanging knuckles to the elbows.
    KnuckleToElbow,
    /// From the knees to the knuckles.
    KneeToKnuckle,
    /// Under the knees.
    Floor,
}

/// How far from the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Hands close to the body.
    Close,
    /// Arms stretched out.
    AtArmsLength,
}

/// The two columns of the filter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lifter {
    /// The higher figures.
    Man,
    /// The lower figures.
    Woman,
}

/// The filter's figure in kg, for up to about thirty lifts an hour. Men close to the body: 10, 20, 25, 20, 10 from the top; at arm's
/// length half or a little more. Women: 7, 13, 16, 13, 7.
#[must_use]
pub fn filter(lifter: Lifter, zone: Zone, reach: Reach) -> f64 {
    let (close, far) = match (lifter, zone) {
        (Lifter::Man, Zone::OverShoulder | Zone::Floor) => (10.0, 5.0),
        (Lifter::Man, Zone::ElbowToShoulder | Zone::KneeToKnuckle) => (20.0, 10.0),
        (Lifter::Man, Zone::KnuckleToElbow) => (25.0, 15.0),
        (Lifter::Woman, Zone::OverShoulder | Zone::Floor) => (7.0, 3.0),
        (Lifter::Woman, Zone::ElbowToShoulder | Zone::KneeToKnuckle) => (13.0, 7.0),
        (Lifter::Woman, Zone::KnuckleToElbow) => (16.0, 10.0),
    };
    match reach {
        Reach::Close => close,
        Reach::AtArmsLength => far,
    }
}

/// How much is left at so many lifts a minute: 70 % at one or two, 50 % at five to eight, 20 % over twelve. What the guidance leaves
/// open in between takes the lower figure; under one a minute nothing is taken off (about thirty an hour).
///
/// # Errors
/// A rate under nothing.
pub fn left_by_rate(lifts_a_minute: f64) -> Result<f64, Unfit> {
    let rate = not_negative("lifts a minute", lifts_a_minute)?;
    Ok(if rate < 1.0 {
        1.0
    } else if rate <= 2.0 {
        0.7
    } else if rate <= 8.0 {
        0.5
    } else {
        0.2
    })
}

/// How much is left when the body is twisted: 90 % at 45 degrees, 80 % at 90; in between the lower one; nothing is taken off under 45.
///
/// # Errors
/// A twist not from 0 to 90 degrees.
pub fn left_by_twist(degrees: f64) -> Result<f64, Unfit> {
    let twist = within("twist", degrees, 0.0, 90.0)?;
    Ok(if twist < 45.0 {
        1.0
    } else if twist <= 45.0 {
        0.9
    } else {
        0.8
    })
}

/// What part of the sum of its members' own loads a team lifts: two of them two thirds, three a half.
///
/// # Errors
/// A team that is not of one, two or three.
pub fn team_share(people: u32) -> Result<f64, Unfit> {
    match people {
        1 => Ok(1.0),
        2 => Ok(2.0 / 3.0),
        3 => Ok(0.5),
        _ => Err(Unfit::NotTabulated { what: "people" }),
    }
}

/// What these people lift together, in kg, from what each lifts alone.
///
/// # Errors
/// A team that is not of one, two or three; a figure under nothing.
pub fn team(each: &[f64]) -> Result<f64, Unfit> {
    let people = u32::try_from(each.len()).unwrap_or(u32::MAX);
    let share = team_share(people)?;
    let mut sum = 0.0;
    for &lifts in each {
        sum += not_negative("lifts", lifts)?;
    }
    Ok(sum * share)
}
