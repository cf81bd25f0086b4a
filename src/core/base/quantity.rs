//! Quantities: a value in its base unit, together with the figure and unit that the owner wrote, so that paper
//! shows what was written and sums use what it means.

use std::fmt;
use std::marker::PhantomData;

use super::unit::{Dimension, UnitId};

/// Ties a quantity's type to its dimension.
pub trait Measures: Copy + fmt::Debug + PartialEq {
    /// What a value of this type measures.
    const DIMENSION: Dimension;
}

macro_rules! dimensions {
    ($($(#[$doc:meta])* $alias:ident, $kind:ident;)*) => { $(
        #[doc(hidden)]
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub struct $kind;
        impl Measures for $kind { const DIMENSION: Dimension = Dimension::$alias; }
        $(#[$doc])*
        pub type $alias = Quantity<$kind>;
    )* };
}

dimensions! {
    /// In kilograms.
    Mass, OfMass;
    /// In millimetres.
    Length, OfLength;
    /// In newton metres.
    Torque, OfTorque;
    /// In newtons.
    Force, OfForce;
    /// In litres.
    Volume, OfVolume;
    /// In kilograms a litre.
    Density, OfDensity;
    /// In kilopascals.
    Pressure, OfPressure;
    /// In minutes.
    Time, OfTime;
    /// In degrees.
    Angle, OfAngle;
    /// In watts.
    Power, OfPower;
    /// In per cent.
    Share, OfShare;
}

/// A number as it was written: `mantissa / 10^decimals / denominator`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Number {
    /// All its digits, as one number.
    pub mantissa: i64,
    /// How many of these stand behind the point.
    pub decimals: u8,
    /// 1 unless it was written as a fraction.
    pub denominator: u16,
}

impl Number {
    /// Reads `5`, `63.4`, `-3`, `3/8`. `None` for what is no number, or has more digits than any workshop needs.
    #[must_use]
    pub fn read(text: &str) -> Option<Number> {
        let (text, sign) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (rest, -1),
            None => (text, 1),
        };
        let (whole, denominator) = match text.split_once('/') {
            Some((over, under)) => (over, under.parse::<u16>().ok().filter(|&n| n > 0)?),
            None => (text, 1),
        };
        let (digits, decimals) = match whole.split_once('.') {
            Some((int, frac)) if denominator == 1 && !int.is_empty() && !frac.is_empty() => {
                (format!("{int}{frac}"), frac.len())
            }
            Some(_) => return None,
            None => (whole.to_owned(), 0),
        };
        let plain = !digits.is_empty() && digits.len() <= 15 && digits.bytes().all(|b| b.is_ascii_digit());
        let mantissa = plain.then(|| digits.parse::<i64>().ok()).flatten()?;
        Some(Number {
            mantissa: sign * mantissa,
            decimals: u8::try_from(decimals).ok()?,
            denominator,
        })
    }

    /// A whole number and a fraction behind it: `1 1/2`.
    #[must_use]
    pub fn with_fraction(self, fraction: Number) -> Option<Number> {
        if self.decimals > 0 || self.denominator != 1 || fraction.denominator == 1 || self.mantissa < 0 {
            return None;
        }
        let whole = self.mantissa.checked_mul(i64::from(fraction.denominator))?;
        Some(Number {
            mantissa: whole.checked_add(fraction.mantissa)?,
            ..fraction
        })
    }

    /// The nearest `f64`.
    #[must_use]
    pub fn value(self) -> f64 {
        self.scaled(1, 1)
    }

    /// This number times `num / den`, with one rounding at the end where the products fit.
    #[expect(clippy::cast_precision_loss, reason = "the one intended rounding")]
    fn scaled(self, num: i128, den: i128) -> f64 {
        let ten = 10i128.pow(u32::from(self.decimals.min(15)));
        let over = i128::from(self.mantissa).checked_mul(num);
        let under = (ten * i128::from(self.denominator)).checked_mul(den);
        match (over, under) {
            (Some(over), Some(under)) => {
                let common = gcd(over.unsigned_abs(), under.unsigned_abs()).max(1);
                let common = i128::try_from(common).unwrap_or(1);
                (over / common) as f64 / (under / common) as f64
            }
            _ => self.mantissa as f64 / ten as f64 / f64::from(self.denominator) * (num as f64 / den as f64),
        }
    }

    #[expect(clippy::cast_possible_truncation, reason = "a number has 15 digits at most")]
    fn to_a_thousandth(value: f64) -> Self {
        Self {
            mantissa: (value * 1000.0).round() as i64,
            decimals: 3,
            denominator: 1,
        }
    }

    /// None where one of them is a fraction and the other another, or the digits are too many.
    fn plus(self, other: Self) -> Option<Self> {
        if self.denominator != other.denominator {
            return None;
        }
        let decimals = self.decimals.max(other.decimals);
        let to = |number: Self| {
            let ten = 10i64.checked_pow(u32::from(decimals - number.decimals))?;
            number.mantissa.checked_mul(ten)
        };
        Some(Self {
            mantissa: to(self)?.checked_add(to(other)?)?,
            decimals,
            denominator: self.denominator,
        })
    }

    /// The written steps of the last place: 63.4 is written to 0.1.
    #[must_use]
    pub fn last_place(self) -> f64 {
        10f64.powi(-i32::from(self.decimals)) / f64::from(self.denominator)
    }
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.mantissa < 0 { "−" } else { "" };
        let size = self.mantissa.unsigned_abs();
        if self.denominator > 1 {
            let under = u64::from(self.denominator);
            return match (size / under, size % under) {
                (whole, 0) => write!(f, "{sign}{whole}"),
                (0, rest) => write!(f, "{sign}{rest}/{under}"),
                (whole, rest) => write!(f, "{sign}{whole} {rest}/{under}"),
            };
        }
        let ten = 10u64.pow(u32::from(self.decimals.min(15)));
        match self.decimals {
            0 => write!(f, "{sign}{size}"),
            d => write!(
                f,
                "{sign}{}.{:0width$}",
                size / ten,
                size % ten,
                width = usize::from(d)
            ),
        }
    }
}

fn gcd(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// A value of one dimension, and how it was written. The number's parts lie beside the unit, which makes a third less of it:
/// a plan may hold a hundred thousand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity<D> {
    base: f64,
    mantissa: i64,
    denominator: u16,
    decimals: u8,
    unit: UnitId,
    of: PhantomData<D>,
}

/// Standard gravity, in m/s2: ISO 80000-3, item 3-9.2 (conventional value).
const G: f64 = 9.806_65;

impl Force {
    /// The mass, in kg, that weighs so much.
    #[must_use]
    pub fn as_weight_of(self) -> f64 {
        self.base() / G
    }
}

impl<D: Measures> Quantity<D> {
    /// `None` where the unit measures something else.
    #[must_use]
    pub fn new(number: Number, unit: UnitId) -> Option<Self> {
        let known = unit.unit();
        (known.dimension == D::DIMENSION).then(|| Self {
            base: number.scaled(known.num, known.den),
            mantissa: number.mantissa,
            denominator: number.denominator,
            decimals: number.decimals,
            unit,
            of: PhantomData,
        })
    }

    /// The value in the dimension's base unit; see the alias.
    #[must_use]
    pub fn base(self) -> f64 {
        self.base
    }

    /// In the unit as written, not in base units.
    #[must_use]
    pub fn number(self) -> Number {
        Number {
            mantissa: self.mantissa,
            decimals: self.decimals,
            denominator: self.denominator,
        }
    }

    /// The unit as written.
    #[must_use]
    pub fn unit(self) -> UnitId {
        self.unit
    }

    /// The last written place, in base units.
    #[must_use]
    pub fn last_place(self) -> f64 {
        let unit = self.unit.unit();
        Number {
            mantissa: 1,
            ..self.number()
        }
        .scaled(unit.num, unit.den)
        .abs()
    }

    /// The sum of two, in the finer of their units and with the finer of their places: `1 h` and `20 min` are 80 min.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        let (coarse, fine) = if self.of_unit() < other.of_unit() {
            (other, self)
        } else {
            (self, other)
        };
        let base = self.base + other.base;
        let number = coarse
            .number_in(fine.unit)
            .and_then(|number| number.plus(fine.number()))
            .unwrap_or_else(|| Number::to_a_thousandth(base / fine.of_unit()));
        Self {
            base,
            mantissa: number.mantissa,
            denominator: number.denominator,
            decimals: number.decimals,
            ..fine
        }
    }

    fn of_unit(self) -> f64 {
        let one = Number {
            mantissa: 1,
            decimals: 0,
            denominator: 1,
        };
        one.scaled(self.unit.unit().num, self.unit.unit().den)
    }

    /// The same number in a unit that goes into this one without a rest; none where it does not, or in digits that are too many.
    fn number_in(self, unit: UnitId) -> Option<Number> {
        let (from, to) = (self.unit.unit(), unit.unit());
        let over = from.num.checked_mul(to.den)?;
        let under = from.den.checked_mul(to.num)?;
        if over % under != 0 {
            return None;
        }
        let mantissa = i128::from(self.mantissa).checked_mul(over / under)?;
        let parts = i128::from(self.denominator);
        let whole = mantissa % parts == 0;
        Some(Number {
            mantissa: i64::try_from(if whole { mantissa / parts } else { mantissa }).ok()?,
            denominator: if whole { 1 } else { self.denominator },
            decimals: self.decimals,
        })
    }
}

impl Mass {
    /// To the nearest milligram, for sums that must not drift.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a number has 15 digits at most, so this fits"
    )]
    pub fn milligrams(self) -> i64 {
        (self.base * 1e6).round() as i64
    }
}

impl<D: Measures> fmt::Display for Quantity<D> {
    /// As it was written, with the printed symbol of its unit.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.unit.unit().symbol)
    }
}

#[cfg(test)]
mod tests {
    use super::super::unit::find;
    use super::*;

    fn base<D: Measures>(number: &str, unit: &str) -> f64 {
        let number = Number::read(number).expect("a number");
        Quantity::<D>::new(number, find(unit).expect("a unit"))
            .expect("of this dimension")
            .base()
    }

    #[test]
    fn a_sum_is_printed_in_its_finer_unit() {
        let time = |number: &str, unit: &str| {
            let number = Number::read(number).expect("a number");
            Quantity::<OfTime>::new(number, find(unit).expect("a unit")).expect("a time")
        };
        for (one, other, shown, minutes) in [
            (("1", "h"), ("20", "min"), "80 min", 80.0),
            (("20", "min"), ("1", "h"), "80 min", 80.0),
            (("1/2", "h"), ("5", "min"), "35 min", 35.0),
            (("1.5", "h"), ("20", "min"), "110.0 min", 110.0),
            (("2", "d"), ("3", "h"), "51 h", 3060.0),
            (("1/7", "h"), ("1", "min"), "9.571 min", 60.0 / 7.0 + 1.0),
        ] {
            let sum = time(one.0, one.1).plus(time(other.0, other.1));
            assert_eq!(sum.to_string(), shown);
            assert!((sum.base() - minutes).abs() < 1e-9, "{shown}: {}", sum.base());
        }
    }

    #[test]
    fn numbers_as_written() {
        for (text, shown, value) in [
            ("63.40", "63.40", 63.4),
            ("3/8", "3/8", 0.375),
            ("-2", "−2", -2.0),
            ("12", "12", 12.0),
        ] {
            let number = Number::read(text).expect(text);
            assert_eq!(number.to_string(), shown);
            assert!((number.value() - value).abs() < 1e-15);
        }
        let mixed = Number::read("1")
            .and_then(|n| n.with_fraction(Number::read("1/2")?))
            .expect("mixed");
        assert_eq!((mixed.to_string(), mixed.value()), ("1 1/2".to_owned(), 1.5));
        for wrong in ["", ".5", "5.", "1/0", "1e3", "1.5/2", "12345678901234567", "x"] {
            assert_eq!(Number::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn exact_where_the_definition_is() {
        assert_eq!(base::<OfMass>("1", "lb"), 0.453_592_37);
        assert_eq!(base::<OfLength>("3/8", "in"), 9.525);
        assert_eq!(base::<OfForce>("1", "kgf"), 9.806_65);
        assert_eq!(base::<OfPressure>("1", "bar"), 100.0);
    }
}
