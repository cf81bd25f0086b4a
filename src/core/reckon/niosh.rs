//! The revised NIOSH lifting equation for one task: multipliers, tables and the recommended weight limit. Metric figures in cm and kg, inch
//! figures in in and lb: the constants of the two are no exact conversions of each other, so a task stays in one of them. It holds
//! for two-handed smooth lifting, standing, on a floor that grips (section 1.2); it advises and certifies nothing.

use super::unfit::{Unfit, not_negative, positive};
use crate::base::citation::Citation;

/// The manual, which is in the public domain.
pub const NIOSH_94_110: Citation = Citation {
    work: "DHHS (NIOSH) Publication 94-110, Applications Manual for the Revised NIOSH Lifting Equation (1994, rev. 2021)",
    place: "1.3, tables 1 to 7",
};

/// The units of a task, and with them the constants of the equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// cm and kg
    Metric,
    /// in and lb
    Inch,
}

/// How well the hands hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coupling {
    /// Handles, or hands that go right round it.
    Good,
    /// A hold, and not a handle.
    Fair,
    /// No hold at all.
    Poor,
}

/// How long the work goes on, with the rest that each wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duration {
    /// Up to one hour.
    Short,
    /// Up to two hours.
    Moderate,
    /// Up to eight hours.
    Long,
}

/// One lift, looked at where it begins or where it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// What all lengths and weights of it are in.
    pub system: System,
    /// Of the hands from the middle between the ankles.
    pub horizontal: f64,
    /// Of the hands over the floor, at the point that is looked at.
    pub vertical: f64,
    /// The same where the lift begins: it picks the column of the frequency table.
    pub vertical_at_origin: f64,
    /// Between beginning and end, upwards or downwards.
    pub distance: f64,
    /// Degrees from straight ahead.
    pub asymmetry: f64,
    /// Lifts a minute.
    pub frequency: f64,
    /// How long the work goes on.
    pub duration: Duration,
    /// How well the hands hold it.
    pub coupling: Coupling,
}

/// How multipliers are rounded before they are multiplied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// As they come out of the formulas.
    Full,
    /// To two places, as the manual's examples do (page 29).
    TwoPlaces,
    /// To two places, and with the three figures that its tables print otherwise: HM .46 at 22 in, .44 at 23 in, DM .86 at
    /// 130 cm.
    AsPrinted,
}

/// What the load constant is multiplied by, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Multipliers {
    /// HM, from the distance of the hands.
    pub horizontal: f64,
    /// VM, from their height.
    pub vertical: f64,
    /// DM, from how far they go.
    pub distance: f64,
    /// AM, from how far the body turns.
    pub asymmetry: f64,
    /// FM, from how often and how long.
    pub frequency: f64,
    /// CM, from the hold.
    pub coupling: f64,
}

impl Multipliers {
    /// All six: what the load constant is multiplied by.
    #[must_use]
    pub fn product(&self) -> f64 {
        self.without_frequency() * self.frequency
    }

    /// The five that are of the task itself.
    #[must_use]
    pub fn without_frequency(&self) -> f64 {
        self.horizontal * self.vertical * self.distance * self.asymmetry * self.coupling
    }
}

impl System {
    /// The load constant: 23 kg, 51 lb.
    #[must_use]
    pub fn load_constant(self) -> f64 {
        self.of(23.0, 51.0)
    }

    pub(super) fn of(self, metric: f64, inch: f64) -> f64 {
        match self {
            System::Metric => metric,
            System::Inch => inch,
        }
    }

    /// 75 cm, 30 in: hands at knuckle height.
    fn knuckles(self) -> f64 {
        self.of(75.0, 30.0)
    }
}

impl Duration {
    fn column(self) -> usize {
        match self {
            Duration::Short => 0,
            Duration::Moderate => 1,
            Duration::Long => 2,
        }
    }
}

/// HM = 25/H (10/H); 1 nearer than 25 cm (10 in), 0 beyond 63 cm (25 in).
///
/// # Errors
/// A distance under nothing.
pub fn horizontal_multiplier(system: System, horizontal: f64) -> Result<f64, Unfit> {
    let near = system.of(25.0, 10.0);
    let h = not_negative("horizontal", horizontal)?.max(near);
    Ok(if h > system.of(63.0, 25.0) { 0.0 } else { near / h })
}

/// VM = 1 - .003 |V - 75| (1 - .0075 |V - 30|); 0 over 175 cm (70 in).
///
/// # Errors
/// A height under nothing.
pub fn vertical_multiplier(system: System, vertical: f64) -> Result<f64, Unfit> {
    let v = not_negative("vertical", vertical)?;
    Ok(if v > system.of(175.0, 70.0) {
        0.0
    } else {
        1.0 - system.of(0.003, 0.0075) * (v - system.knuckles()).abs()
    })
}

/// DM = .82 + 4.5/D (.82 + 1.8/D); 1 under 25 cm (10 in), 0 over 175 cm (70 in).
///
/// # Errors
/// A distance under nothing.
pub fn distance_multiplier(system: System, distance: f64) -> Result<f64, Unfit> {
    let d = not_negative("distance", distance)?.max(system.of(25.0, 10.0));
    Ok(if d > system.of(175.0, 70.0) {
        0.0
    } else {
        0.82 + system.of(4.5, 1.8) / d
    })
}

/// AM = 1 - .0032 A; 0 over 135 degrees.
///
/// # Errors
/// An angle under nothing.
pub fn asymmetry_multiplier(degrees: f64) -> Result<f64, Unfit> {
    let a = not_negative("asymmetry", degrees)?;
    Ok(if a > 135.0 { 0.0 } else { 1.0 - 0.0032 * a })
}

/// Table 5: lifts a minute; then low and high hands for an hour, two hours and eight hours.
const FREQUENCY: [(f64, [[f64; 2]; 3]); 17] = [
    (0.2, [[1.00, 1.00], [0.95, 0.95], [0.85, 0.85]]),
    (0.5, [[0.97, 0.97], [0.92, 0.92], [0.81, 0.81]]),
    (1.0, [[0.94, 0.94], [0.88, 0.88], [0.75, 0.75]]),
    (2.0, [[0.91, 0.91], [0.84, 0.84], [0.65, 0.65]]),
    (3.0, [[0.88, 0.88], [0.79, 0.79], [0.55, 0.55]]),
    (4.0, [[0.84, 0.84], [0.72, 0.72], [0.45, 0.45]]),
    (5.0, [[0.80, 0.80], [0.60, 0.60], [0.35, 0.35]]),
    (6.0, [[0.75, 0.75], [0.50, 0.50], [0.27, 0.27]]),
    (7.0, [[0.70, 0.70], [0.42, 0.42], [0.22, 0.22]]),
    (8.0, [[0.60, 0.60], [0.35, 0.35], [0.18, 0.18]]),
    (9.0, [[0.52, 0.52], [0.30, 0.30], [0.00, 0.15]]),
    (10.0, [[0.45, 0.45], [0.26, 0.26], [0.00, 0.13]]),
    (11.0, [[0.41, 0.41], [0.00, 0.23], [0.00, 0.00]]),
    (12.0, [[0.37, 0.37], [0.00, 0.21], [0.00, 0.00]]),
    (13.0, [[0.00, 0.34], [0.00, 0.00], [0.00, 0.00]]),
    (14.0, [[0.00, 0.31], [0.00, 0.00], [0.00, 0.00]]),
    (15.0, [[0.00, 0.28], [0.00, 0.00], [0.00, 0.00]]),
];

/// Table 5, in between linearly (page 7); 0.2 for whatever is rarer; 0 over 15 a minute. `high`: hands at 75 cm (30 in) or over where
/// the lift begins.
///
/// # Errors
/// A frequency under nothing.
pub fn frequency_multiplier(frequency: f64, duration: Duration, high: bool) -> Result<f64, Unfit> {
    let f = not_negative("frequency", frequency)?.max(0.2);
    let of = |row: &[[f64; 2]; 3]| {
        row.get(duration.column())
            .map_or(0.0, |[low, over]| if high { *over } else { *low })
    };
    let above = FREQUENCY.partition_point(|(at, _)| *at < f);
    let Some((next, row)) = FREQUENCY.get(above) else {
        return Ok(0.0);
    };
    let next_value = of(row);
    let before = above.checked_sub(1).and_then(|before| FREQUENCY.get(before));
    Ok(match before {
        Some((at, row)) => {
            let value = of(row);
            value + (next_value - value) * (f - at) / (next - at)
        }
        None => next_value,
    })
}

/// Table 7; the height is that of the point that is looked at.
///
/// # Errors
/// A height under nothing.
pub fn coupling_multiplier(system: System, coupling: Coupling, vertical: f64) -> Result<f64, Unfit> {
    let high = not_negative("vertical", vertical)? >= system.knuckles();
    Ok(match (coupling, high) {
        (Coupling::Good, _) | (Coupling::Fair, true) => 1.0,
        (Coupling::Fair, false) => 0.95,
        (Coupling::Poor, _) => 0.90,
    })
}

/// All six.
///
/// # Errors
/// A measure under nothing or no number.
pub fn multipliers(lift: &Lift, rounding: Rounding) -> Result<Multipliers, Unfit> {
    let system = lift.system;
    let high = not_negative("vertical at origin", lift.vertical_at_origin)? >= system.knuckles();
    let exact = Multipliers {
        horizontal: horizontal_multiplier(system, lift.horizontal)?,
        vertical: vertical_multiplier(system, lift.vertical)?,
        distance: distance_multiplier(system, lift.distance)?,
        asymmetry: asymmetry_multiplier(lift.asymmetry)?,
        frequency: frequency_multiplier(lift.frequency, lift.duration, high)?,
        coupling: coupling_multiplier(system, lift.coupling, lift.vertical)?,
    };
    if rounding == Rounding::Full {
        return Ok(exact);
    }
    // Half is rounded up, and 0.745 is a half however it is stored.
    let two = |value: f64| (value * 100.0 + 0.5 + 1e-9).floor() / 100.0;
    let mut rounded = Multipliers {
        horizontal: two(exact.horizontal),
        vertical: two(exact.vertical),
        distance: two(exact.distance),
        asymmetry: two(exact.asymmetry),
        frequency: two(exact.frequency),
        coupling: exact.coupling,
    };
    if rounding == Rounding::AsPrinted {
        let is = |value: f64, printed: f64| (value - printed).abs() < 1e-9;
        match system {
            System::Inch if is(lift.horizontal, 22.0) => rounded.horizontal = 0.46,
            System::Inch if is(lift.horizontal, 23.0) => rounded.horizontal = 0.44,
            System::Metric if is(lift.distance, 130.0) => rounded.distance = 0.86,
            _ => {}
        }
    }
    Ok(rounded)
}

/// RWL = LC HM VM DM AM FM CM, in kg or lb.
///
/// # Errors
/// A measure under nothing or no number.
pub fn recommended_limit(lift: &Lift, rounding: Rounding) -> Result<f64, Unfit> {
    Ok(lift.system.load_constant() * multipliers(lift, rounding)?.product())
}

/// The horizontal distance of hands that hold a box by its sides, `width` deep: 20 + W/2 cm with hands at 25 cm or over, else 25 + W/2
/// (8 + W/2 in at 10 in or over, else 10 + W/2). Section 1.3.1.1.
///
/// # Errors
/// A width or height under nothing.
pub fn horizontal_from_width(system: System, width: f64, vertical: f64) -> Result<f64, Unfit> {
    let low = not_negative("vertical", vertical)? < system.of(25.0, 10.0);
    let before = if low {
        system.of(25.0, 10.0)
    } else {
        system.of(20.0, 8.0)
    };
    Ok(before + not_negative("width", width)? / 2.0)
}

/// Work that goes on for less than fifteen minutes at a time: lifts a minute, times the minutes worked of fifteen (section 1.3.5.5).
///
/// # Errors
/// A rate under nothing; minutes not over nothing and up to fifteen.
pub fn special_frequency(lifts_a_minute: f64, minutes_of_fifteen: f64) -> Result<f64, Unfit> {
    positive("minutes", minutes_of_fifteen)?;
    let minutes = super::unfit::within("minutes", minutes_of_fifteen, 0.0, 15.0)?;
    Ok(not_negative("lifts a minute", lifts_a_minute)? * minutes / 15.0)
}
