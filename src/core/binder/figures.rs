//! Figures as the binder prints them: the plan's unit first, the other system's in brackets, rounded to what
//! the given figure carries. Rounding for print happens here and nowhere else in the binder. Knows no plan.

use serde::Serialize;

pub use crate::base::digits::{Side, decimal};
use crate::base::digits::{magnitude, rounded, three_figures};
use crate::base::quantity::{Angle, Measures, Number, Quantity};
use crate::base::unit::{self, Dimension};
use crate::plan::model::Units;

/// Coarser rounding than this share of the figure is not taken, however few digits were given: 8 psi are 0.55 bar, not 0.6. Torques and
/// limits have three figures.
const COARSEST: f64 = 0.05;

/// A figure in the plan's units, and in the other system's where that has a unit for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Shown {
    /// "58 N·m", in the plan's units.
    pub first: String,
    /// "43 lbf·ft"; none where the other system has no unit for it.
    pub second: Option<String>,
}

impl Shown {
    /// "58 N·m (43 lbf ft)".
    #[must_use]
    pub fn both(&self) -> String {
        match &self.second {
            Some(second) => format!("{} ({second})", self.first),
            None => self.first.clone(),
        }
    }
}

/// Each unit that has a counterpart: its symbol, whether it is metric, and the counterpart's symbol.
const COUNTERPARTS: &[(&str, bool, &str)] = &[
    ("kg", true, "lb"),
    ("g", true, "oz"),
    ("t", true, "lb"),
    ("lb", false, "kg"),
    ("oz", false, "g"),
    ("short ton", false, "kg"),
    ("long ton", false, "kg"),
    ("short cwt", false, "kg"),
    ("long cwt", false, "kg"),
    ("mm", true, "in"),
    ("cm", true, "in"),
    ("m", true, "ft"),
    ("in", false, "mm"),
    ("ft", false, "m"),
    ("N·m", true, "lbf ft"),
    ("lbf ft", false, "N·m"),
    ("lbf in", false, "N·m"),
    ("N", true, "lbf"),
    ("kN", true, "lbf"),
    ("lbf", false, "N"),
    ("l", true, "US qt"),
    ("ml", true, "US fl oz"),
    ("cc", true, "US fl oz"),
    ("US gal", false, "l"),
    ("US qt", false, "l"),
    ("US pt", false, "l"),
    ("US fl oz", false, "ml"),
    ("imp gal", false, "l"),
    ("imp pt", false, "l"),
    ("bar", true, "psi"),
    ("kPa", true, "psi"),
    ("MPa", true, "psi"),
    ("psi", false, "bar"),
];

/// The figure as written, and in the other system's unit; the plan's system stands first.
#[must_use]
pub fn shown<D: Measures>(quantity: Quantity<D>, units: Units) -> Shown {
    shown_on(Side::Nearest, quantity, units)
}

/// The same of a limit, which is converted to its safe side.
#[must_use]
pub fn shown_on<D: Measures>(side: Side, quantity: Quantity<D>, units: Units) -> Shown {
    let symbol = quantity.unit().unit().symbol;
    let written = quantity.to_string();
    // A kilogram-force metre is metric, but no wrench in the shop shows it.
    let known = COUNTERPARTS.iter().find(|(own, _, _)| *own == symbol);
    let Some((_, metric, other)) = known.or_else(|| fallback(symbol, units)) else {
        return Shown {
            first: written,
            second: None,
        };
    };
    let converted = in_unit(side, quantity, other);
    let written_first = *metric == (units == Units::Metric);
    if written_first && D::DIMENSION == Dimension::Volume {
        // Nobody pours litres by the quart: a second figure would only be read by mistake.
        return Shown {
            first: written,
            second: None,
        };
    }
    match (converted, written_first) {
        (None, _) => Shown {
            first: written,
            second: None,
        },
        (Some(converted), true) => Shown {
            first: written,
            second: Some(converted),
        },
        (Some(converted), false) => Shown {
            first: converted,
            second: Some(written),
        },
    }
}

fn fallback(symbol: &str, units: Units) -> Option<&'static (&'static str, bool, &'static str)> {
    const KGF: &[(&str, bool, &str)] = &[
        ("kgf m", false, "N·m"),
        ("kgf m", true, "lbf ft"),
        ("kgf", false, "N"),
        ("kgf", true, "lbf"),
    ];
    KGF.iter()
        .find(|(own, metric, _)| *own == symbol && *metric == (units == Units::Inch))
}

fn in_unit<D: Measures>(side: Side, quantity: Quantity<D>, symbol: &str) -> Option<String> {
    let value = value_in(quantity.base(), symbol, D::DIMENSION)?;
    if side != Side::Nearest || D::DIMENSION == Dimension::Torque {
        return Some(format!("{} {}", three_figures(side, value), symbol));
    }
    if let Some(places) = places_beside(quantity, value, symbol) {
        return Some(format!("{} {}", decimal(value, places), symbol));
    }
    Some(format!("{} {}", sensibly(value, quantity.number()), symbol))
}

/// Decimals where the general rule would mislead. Two ride heights 2 mm apart must not print 1 in apart: from
/// 100 mm up inches have one decimal, below two, a tenth and a hundredth being near a millimetre and its quarter.
/// A mass has at least three digits and no more decimals than the given one: 55 kg is 121 lb.
fn places_beside<D: Measures>(quantity: Quantity<D>, value: f64, symbol: &str) -> Option<i32> {
    const LONG: f64 = 100.0 / 25.4;
    let given = quantity.number();
    match (quantity.unit().unit().symbol, symbol) {
        ("mm", "in") => Some(if value.abs() >= LONG { 1 } else { 2 }),
        ("kg", "lb") | ("lb", "kg") if given.denominator == 1 && value != 0.0 => {
            let digits = significant(given).max(3);
            let places = digits - 1 - magnitude(value.abs());
            Some(places.clamp(0, i32::from(given.decimals)))
        }
        _ => None,
    }
}

/// A base value in the unit of that symbol; `None` where the unit measures something else.
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    reason = "the factors are exact far beyond what is printed"
)]
pub fn value_in(base: f64, symbol: &str, dimension: Dimension) -> Option<f64> {
    let unit = unit::find(symbol)?.unit();
    (unit.dimension == dimension).then(|| base * unit.den as f64 / unit.num as f64)
}

/// A converted value with no more digits than the given number carries: whole from 10 up, one decimal below,
/// two digits under 1. Digits beyond the given ones are kept only where leaving them out would shift the figure
/// by more than a twentieth.
#[must_use]
pub fn sensibly(value: f64, given: Number) -> String {
    let size = value.abs();
    if size == 0.0 || !size.is_finite() {
        return "0".to_owned();
    }
    let lead = magnitude(size);
    let finest = match lead {
        1.. => 0,
        0 => 1,
        below => 1 - below,
    };
    let carried = significant(given);
    let strict = (carried - 1 - lead).min(finest);
    let places = (strict..finest)
        .find(|&places| (rounded(size, places) - size).abs() <= COARSEST * size)
        .unwrap_or(finest);
    decimal(rounded(value, places), places)
}

/// Digits that a number was written with, leading zeros aside. A fraction is exact in the shop: three.
fn significant(number: Number) -> i32 {
    if number.denominator != 1 {
        return 3;
    }
    let size = number.mantissa.unsigned_abs();
    i32::try_from(size.checked_ilog10().unwrap_or(0) + 1).unwrap_or(1)
}

/// "30°": the sign of a degree stands at its figure; a turn is a word.
#[must_use]
pub fn angle(angle: Angle) -> String {
    angle.to_string().replace(" °", "°")
}

/// A length that a thread or a picture gives as a bare number: no zeros at its end.
#[must_use]
pub fn bare(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Best and worst beside a likely time: "(15 to 45)" in minutes, "(50 min to 2 h)" for longer ones.
#[must_use]
pub fn spread(likely: f64, best: f64, worst: f64) -> String {
    if likely < 60.0 && worst < 100.0 {
        format!("({best:.0} to {worst:.0})")
    } else {
        format!("({} to {})", duration(best), duration(worst))
    }
}

/// A sum of times, no finer than sums of guesses are: whole hours from ten hours up.
#[must_use]
pub fn long_duration(minutes: f64) -> String {
    if minutes < 600.0 {
        duration(minutes)
    } else {
        format!("{:.0} h", minutes / 60.0)
    }
}

/// "46 to 55 h": two such times, the unit once where both have the same.
#[must_use]
pub fn long_range(from: f64, to: f64) -> String {
    let (from, to) = (long_duration(from), long_duration(to));
    match (from.split_once(' '), to.split_once(' ')) {
        (Some((figure, unit)), Some((_, other))) if unit == other => format!("{figure} to {to}"),
        _ => format!("{from} to {to}"),
    }
}

/// "45 min", "1 h 10 min", "22 h".
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "minutes of a job, not negative"
)]
pub fn duration(minutes: f64) -> String {
    let whole = minutes.max(0.0).round() as u64;
    match (whole / 60, whole % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quantity::{Length, Mass, OfLength, OfMass, OfTorque, Torque};

    fn torque(number: &str, unit: &str) -> Torque {
        Quantity::<OfTorque>::new(
            Number::read(number).expect("a number"),
            unit::find(unit).expect("a unit"),
        )
        .expect("a torque")
    }

    fn plain(shown: &Shown) -> String {
        shown.both()
    }

    #[test]
    fn torque_in_both_units() {
        for (number, unit, metric, inch) in [
            ("58", "N m", "58 N·m (42.8 lbf ft)", "42.8 lbf ft (58 N·m)"),
            ("210", "N m", "210 N·m (155 lbf ft)", "155 lbf ft (210 N·m)"),
            ("9.5", "N m", "9.5 N·m (7.01 lbf ft)", "7.01 lbf ft (9.5 N·m)"),
            ("8", "N m", "8 N·m (5.90 lbf ft)", "5.90 lbf ft (8 N·m)"),
            ("25", "lbf ft", "33.9 N·m (25 lbf ft)", "25 lbf ft (33.9 N·m)"),
            ("8", "lbf ft", "10.8 N·m (8 lbf ft)", "8 lbf ft (10.8 N·m)"),
            ("90", "lbf ft", "122 N·m (90 lbf ft)", "90 lbf ft (122 N·m)"),
            ("12", "lbf ft", "16.3 N·m (12 lbf ft)", "12 lbf ft (16.3 N·m)"),
            ("90", "lbf in", "10.2 N·m (90 lbf in)", "90 lbf in (10.2 N·m)"),
            ("7", "kgf m", "68.6 N·m (7 kgf m)", "50.6 lbf ft (7 kgf m)"),
        ] {
            let given = torque(number, unit);
            assert_eq!(plain(&shown(given, Units::Metric)), metric);
            assert_eq!(plain(&shown(given, Units::Inch)), inch);
        }
    }

    /// NIST SP 811, B.8: 1 lb is 0.453 592 37 kg, 1 lbf ft 1.355 818 N m. 1000 lb are 453.59 kg, 700 lb 317.51, 1700 lb 771.11, 20 long cwt
    /// 1016.05, 28 lbf ft 37.96 N m, 33 lbf ft 44.74; 100 kg are 220.46 lb.
    #[test]
    fn limits_to_the_safe_side() {
        let mass = |n: &str, u: &str| -> Mass {
            Quantity::<OfMass>::new(Number::read(n).expect("n"), unit::find(u).expect("u")).expect("q")
        };
        let on = |side, quantity| shown_on(side, quantity, Units::Metric).first;
        assert_eq!(on(Side::Under, mass("1000", "lb")), "453 kg");
        assert_eq!(on(Side::Under, mass("700", "lb")), "317 kg");
        assert_eq!(on(Side::Under, mass("20", "long cwt")), "1010 kg");
        assert_eq!(on(Side::Over, mass("1700", "lb")), "772 kg");
        assert_eq!(on(Side::Under, mass("100", "kg")), "100 kg");
        assert_eq!(on(Side::Under, mass("100", "lb")), "45.3 kg");
        assert_eq!(
            shown_on(Side::Under, mass("25", "kg"), Units::Metric).both(),
            "25 kg (55 lb)"
        );
        let pounds = |side| shown_on(side, mass("100", "kg"), Units::Inch).first;
        assert_eq!(pounds(Side::Under), "220 lb");
        assert_eq!(pounds(Side::Over), "221 lb");
        let newton_metres = |side, n: &str| shown_on(side, torque(n, "lbf ft"), Units::Metric).first;
        assert_eq!(newton_metres(Side::Over, "28"), "38 N·m");
        assert_eq!(newton_metres(Side::Under, "33"), "44.7 N·m");
        // What comes out whole stays whole: 45.359237 kg are 100 lb.
        let exact = shown_on(Side::Under, mass("45.359237", "kg"), Units::Inch).first;
        assert_eq!(exact, "100 lb");
    }

    #[test]
    fn lengths_and_masses() {
        let length = |n: &str, u: &str| -> Length {
            Quantity::<OfLength>::new(Number::read(n).expect("n"), unit::find(u).expect("u")).expect("q")
        };
        assert_eq!(
            plain(&shown(length("9/16", "in"), Units::Metric)),
            "14 mm (9/16 in)"
        );
        assert_eq!(
            plain(&shown(length("412", "mm"), Units::Metric)),
            "412 mm (16.2 in)"
        );
        assert_eq!(
            plain(&shown(length("20", "mm"), Units::Metric)),
            "20 mm (0.79 in)"
        );
        assert_eq!(plain(&shown(length("3", "mm"), Units::Metric)), "3 mm (0.12 in)");
        for (mm, both) in [("622", "622 mm (24.5 in)"), ("624", "624 mm (24.6 in)")] {
            assert_eq!(plain(&shown(length(mm, "mm"), Units::Metric)), both);
        }
        let mass = |n: &str, u: &str| -> Mass {
            Quantity::<OfMass>::new(Number::read(n).expect("n"), unit::find(u).expect("u")).expect("q")
        };
        assert_eq!(
            plain(&shown(mass("63.4", "kg"), Units::Metric)),
            "63.4 kg (140 lb)"
        );
        assert_eq!(plain(&shown(mass("55", "kg"), Units::Metric)), "55 kg (121 lb)");
        assert_eq!(
            plain(&shown(mass("780", "kg"), Units::Metric)),
            "780 kg (1720 lb)"
        );
        assert_eq!(
            plain(&shown(mass("0.25", "kg"), Units::Metric)),
            "0.25 kg (0.55 lb)"
        );
        assert_eq!(plain(&shown(mass("1.2", "t"), Units::Metric)), "1.2 t (2600 lb)");
        assert_eq!(plain(&shown(mass("120", "lb"), Units::Metric)), "54 kg (120 lb)");
    }

    #[test]
    fn times_and_signs() {
        let plain = duration;
        assert_eq!(plain(45.0), "45 min");
        assert_eq!(plain(70.0), "1 h 10 min");
        assert_eq!(plain(1320.0), "22 h");
        assert_eq!(spread(45.0, 30.0, 80.0), "(30 to 80)");
        assert_eq!(spread(60.0, 45.0, 120.0), "(45 min to 2 h)");
        assert_eq!(long_duration(2899.0), "48 h");
        assert_eq!(long_duration(280.0), "4 h 40 min");
        assert_eq!(decimal(-0.04, 1), "0.0");
        assert_eq!(decimal(0.25, 1), "0.3");
        assert_eq!(decimal(-57.44, 1), "\u{2212}57.4");
        assert_eq!(bare(1.25), "1.25");
        assert_eq!(bare(90.0), "90");
    }
}
