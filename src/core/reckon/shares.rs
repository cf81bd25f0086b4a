//! What each support bears of a load whose centre is known: three supports exactly, more by a stated assumption, and the range that
//! rigid supports leave open. Loads in any one unit, lengths in any one. Knows nothing of what the supports are.

use super::polygon::{Hull, Spot, hull, turn};
use super::unfit::{Unfit, not_negative};

/// Loads of supports, in the order in which these were given.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// What each bears, in the order given.
    pub loads: Vec<f64>,
    /// Supports that bear nothing, since the load lifts off them.
    pub lifted: Vec<usize>,
}

/// Three supports bear by barycentric weights; nothing is assumed. Any text on statics.
///
/// # Errors
/// A load under nothing; supports in one line; a centre outside of them, where it tips.
pub fn three(load: f64, centre: Spot, supports: [Spot; 3]) -> Result<[f64; 3], Unfit> {
    let shares = balanced(load, centre, supports)?;
    // A hair under nothing on an edge is nothing.
    let hair = -1e-9 * load;
    if shares.iter().any(|share| *share < hair) {
        return Err(Unfit::Tips);
    }
    Ok(shares.map(|share| share.max(0.0)))
}

/// The same without asking whether it tips: a support under nothing would have to pull.
///
/// # Errors
/// A load under nothing; supports in one line.
pub fn balanced(load: f64, centre: Spot, supports: [Spot; 3]) -> Result<[f64; 3], Unfit> {
    let load = not_negative("load", load)?;
    centre.fit()?;
    hull(&supports)?;
    let [a, b, c] = supports;
    let whole = turn(a, b, c);
    Ok([turn(b, c, centre), turn(c, a, centre), turn(a, b, centre)].map(|twice| load * twice / whole))
}

/// Three or more supports of equal stiffness under a load that does not bend: F = c0 + c1 x + c2 y, the solution with the least sum of
/// squares. A support that would have to pull lifts off: it is left out and the rest solved again, until none pulls and none that
/// lifted would be pressed on. Near an edge that can leave too few: then every choice of those that bear is tried.
///
/// # Errors
/// A load under nothing; fewer than three supports; supports in one line; a centre outside of them, where it tips. More than
/// [`MOST_TRIED`] supports with the centre so near an edge.
pub fn equal_stiffness(load: f64, centre: Spot, supports: &[Spot]) -> Result<Shares, Unfit> {
    let load = not_negative("load", load)?;
    let round = hull(supports)?;
    if !nearly_inside(&round, centre)? {
        return Err(Unfit::Tips);
    }
    let hair = 1e-9 * load;
    let mut bears = vec![true; supports.len()];
    let mut most_rounds = 4 * supports.len() + 4;
    loop {
        let Ok(plane) = plane(load, centre, supports, &bears) else {
            return by_trial(load, centre, supports);
        };
        let loads: Vec<f64> = supports.iter().map(|spot| plane.at(*spot)).collect();
        let all = || loads.iter().copied().zip(bears.iter().copied()).enumerate();
        let pulls = all()
            .filter(|(_, (load, bears))| *bears && *load < -hair)
            .min_by(|(_, (a, _)), (_, (b, _))| a.total_cmp(b));
        let pressed = all()
            .filter(|(_, (load, bears))| !*bears && *load > hair)
            .max_by(|(_, (a, _)), (_, (b, _))| a.total_cmp(b));
        let Some((change, _)) = pulls.or(pressed) else {
            return Ok(borne(&loads, &bears));
        };
        if most_rounds == 0 {
            return by_trial(load, centre, supports);
        }
        most_rounds -= 1;
        if let Some(bears) = bears.get_mut(change) {
            *bears = !*bears;
        }
    }
}

fn borne(loads: &[f64], bears: &[bool]) -> Shares {
    let kept = loads.iter().zip(bears);
    Shares {
        loads: kept
            .map(|(load, bears)| if *bears { load.max(0.0) } else { 0.0 })
            .collect(),
        lifted: bears
            .iter()
            .enumerate()
            .filter(|(_, bears)| !**bears)
            .map(|(at, _)| at)
            .collect(),
    }
}

/// Of more supports not every choice is tried.
pub const MOST_TRIED: usize = 12;

/// Every choice of three or more that bear, the one in which least is wrong: none of them pulls and none of the others is pressed on in
/// the one that is right, and there is only one, for a sum of squares has one least place.
fn by_trial(load: f64, centre: Spot, supports: &[Spot]) -> Result<Shares, Unfit> {
    if supports.len() > MOST_TRIED {
        return Err(Unfit::Outside {
            what: "supports",
            least: 3.0,
            #[expect(clippy::cast_precision_loss, reason = "a dozen supports")]
            most: MOST_TRIED as f64,
        });
    }
    let choices = (0_u32..1 << supports.len()).filter(|choice| choice.count_ones() >= 3);
    let tried = choices.filter_map(|choice| {
        let bears: Vec<bool> = (0..supports.len()).map(|at| choice >> at & 1 == 1).collect();
        let plane = plane(load, centre, supports, &bears).ok()?;
        let loads: Vec<f64> = supports.iter().map(|spot| plane.at(*spot)).collect();
        let wrong = loads
            .iter()
            .zip(&bears)
            .map(|(load, bears)| if *bears { -load } else { *load })
            .fold(0.0, f64::max);
        Some((wrong, loads, bears))
    });
    let (wrong, loads, bears) = tried
        .min_by(|(a, ..), (b, ..)| a.total_cmp(b))
        .ok_or(Unfit::InALine)?;
    // What is wrong by more than digits is no answer.
    if wrong > 1e-6 * load {
        return Err(Unfit::Tips);
    }
    Ok(borne(&loads, &bears))
}

/// The loads of equal stiffness before anything lifts off; under nothing a support would have to pull. For a rectangle it is
/// W/4 (1 +- 2x/a +- 2y/b).
///
/// # Errors
/// A load under nothing; fewer than three supports, or all in one line.
pub fn without_lift_off(load: f64, centre: Spot, supports: &[Spot]) -> Result<Vec<f64>, Unfit> {
    let load = not_negative("load", load)?;
    hull(supports)?;
    let plane = plane(load, centre.fit()?, supports, &vec![true; supports.len()])?;
    Ok(supports.iter().map(|spot| plane.at(*spot)).collect())
}

fn nearly_inside(round: &Hull, centre: Spot) -> Result<bool, Unfit> {
    Ok(round.margin(centre)?.inside >= -1e-9 * round.area().sqrt())
}

/// Loads as a plane over the ground, about a middle so that large coordinates cost no digits.
struct Plane {
    middle: Spot,
    c: [f64; 3],
}

impl Plane {
    fn at(&self, spot: Spot) -> f64 {
        let [level, along, across] = self.c;
        level + along * (spot.behind - self.middle.behind) + across * (spot.right - self.middle.right)
    }
}

#[expect(clippy::cast_precision_loss, reason = "a dozen supports")]
fn plane(load: f64, centre: Spot, supports: &[Spot], bears: &[bool]) -> Result<Plane, Unfit> {
    let those = || {
        supports
            .iter()
            .zip(bears)
            .filter(|(_, bears)| **bears)
            .map(|(spot, _)| *spot)
    };
    let n = those().count() as f64;
    if n < 3.0 {
        return Err(Unfit::Tips);
    }
    let middle = Spot::new(
        those().map(|spot| spot.behind).sum::<f64>() / n,
        those().map(|spot| spot.right).sum::<f64>() / n,
    );
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for spot in those() {
        let (x, y) = (spot.behind - middle.behind, spot.right - middle.right);
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    // About the middle the first sums are nothing, so that the level is the mean.
    let (x, y) = (centre.behind - middle.behind, centre.right - middle.right);
    let det = xx * yy - xy * xy;
    if det <= 1e-12 * (xx + yy).powi(2) {
        return Err(Unfit::InALine);
    }
    Ok(Plane {
        middle,
        c: [
            load / n,
            load * (x * yy - y * xy) / det,
            load * (y * xx - x * xy) / det,
        ],
    })
}

/// The least and most that a support can bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// Where the others bear all they can.
    pub least: f64,
    /// Where the others bear as little as they can.
    pub most: f64,
}

/// Four rigid supports: which of them bear is open by one number, so each load is a range, whose ends are the solutions on three of
/// them that do not pull. No assumption on stiffness: what a floor that is not flat can do at worst.
///
/// # Errors
/// A load under nothing; a centre outside of the supports; no three of them that are not in a line.
pub fn rigid_range(load: f64, centre: Spot, supports: [Spot; 4]) -> Result<[Between; 4], Unfit> {
    not_negative("load", load)?;
    if !nearly_inside(&hull(&supports)?, centre)? {
        return Err(Unfit::Tips);
    }
    let mut ranges = [Between {
        least: f64::INFINITY,
        most: f64::NEG_INFINITY,
    }; 4];
    let mut any = false;
    for left_out in 0..4 {
        let on: Vec<(usize, Spot)> = supports
            .into_iter()
            .enumerate()
            .filter(|(at, _)| *at != left_out)
            .collect();
        let [a, b, c] = on.as_slice() else { continue };
        let Ok(three) = three(load, centre, [a.1, b.1, c.1]) else {
            continue;
        };
        any = true;
        let mut loads = [0.0; 4];
        for ((at, _), share) in on.iter().zip(three) {
            if let Some(place) = loads.get_mut(*at) {
                *place = share;
            }
        }
        for (range, load) in ranges.iter_mut().zip(loads) {
            range.least = range.least.min(load);
            range.most = range.most.max(load);
        }
    }
    if any { Ok(ranges) } else { Err(Unfit::InALine) }
}

/// The rule for four stands: either diagonal pair may have to carry all, so each stand must bear its part of the whole on its own
/// diagonal. The four are given in order round the load. Common practice, no source.
///
/// # Errors
/// A load under nothing; two stands of a diagonal in one place.
pub fn diagonals(load: f64, centre: Spot, round: [Spot; 4]) -> Result<[f64; 4], Unfit> {
    let load = not_negative("load", load)?;
    centre.fit()?;
    let [a, b, c, d] = round;
    let along = |from: Spot, to: Spot| {
        let (x, y) = (to.behind - from.behind, to.right - from.right);
        let square = x * x + y * y;
        if square <= 0.0 || !square.is_finite() {
            return Err(Unfit::InALine);
        }
        let share = ((centre.behind - from.behind) * x + (centre.right - from.right) * y) / square;
        Ok(share.clamp(0.0, 1.0))
    };
    let (first, second) = (along(a, c)?, along(b, d)?);
    Ok([
        load * (1.0 - first),
        load * (1.0 - second),
        load * first,
        load * second,
    ])
}
