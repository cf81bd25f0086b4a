//! Units and their exact factors.
//!
//! Each factor is a ratio of whole numbers derived from exact definitions: 1 lb = 0.45359237 kg, 1 in =
//! 25.4 mm, standard gravity 9.80665 m/s2, 1 US gal = 231 in3, 1 imp gal = 4.54609 l. Source:
//! [`NIST_SP_811`](super::citation::NIST_SP_811), Appendix B.8, and the definitions that it prints in bold.

use std::num::NonZeroU8;

/// What a quantity measures. The base unit, in which values are kept, is named beside each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// kg
    Mass,
    /// mm
    Length,
    /// N·m
    Torque,
    /// N
    Force,
    /// l
    Volume,
    /// kg/l
    Density,
    /// kPa
    Pressure,
    /// min
    Time,
    /// degree
    Angle,
    /// W
    Power,
    /// %
    Share,
}

impl Dimension {
    /// As a sentence says it: "wants a mass".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Dimension::Mass => "a mass",
            Dimension::Length => "a length",
            Dimension::Torque => "a torque",
            Dimension::Force => "a force",
            Dimension::Volume => "a volume",
            Dimension::Density => "a density",
            Dimension::Pressure => "a pressure",
            Dimension::Time => "a time",
            Dimension::Angle => "an angle",
            Dimension::Power => "a power",
            Dimension::Share => "a share",
        }
    }

    /// The units that a message offers first.
    #[must_use]
    pub fn usual(self) -> &'static [&'static str] {
        match self {
            Dimension::Mass => &["kg", "lb"],
            Dimension::Length => &["mm", "in"],
            Dimension::Torque => &["N m", "lbf ft"],
            Dimension::Force => &["N", "lbf"],
            Dimension::Volume => &["l", "US gal"],
            Dimension::Density => &["kg/l"],
            Dimension::Pressure => &["bar", "psi"],
            Dimension::Time => &["min", "h"],
            Dimension::Angle => &["deg"],
            Dimension::Power => &["kW"],
            Dimension::Share => &["%"],
        }
    }
}

/// A unit: how it is printed, what it measures, and how many base units it is, as `num / den`.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// As printed: `N·m`.
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units that it is, over `den`.
    pub num: i128,
    /// What `num` is divided by.
    pub den: i128,
    /// Every way a plan may write it, single spaces between words.
    pub spellings: &'static [&'static str],
}

const fn unit(
    symbol: &'static str,
    dimension: Dimension,
    num: i128,
    den: i128,
    spellings: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        dimension,
        num,
        den,
        spellings,
    }
}

// Whole-number forms of the exact definitions.
const LB: (i128, i128) = (45_359_237, 100_000_000); // kg
const LBF: (i128, i128) = (45_359_237 * 980_665, 10_000_000_000_000); // N
const FT_MM: (i128, i128) = (3048, 10);
const US_GAL: (i128, i128) = (3_785_411_784, 1_000_000_000); // l: 231 x 2.54^3 cm3
const IMP_GAL: (i128, i128) = (454_609, 100_000);

const KILOGRAM: Unit = unit("kg", Dimension::Mass, 1, 1, &["kg", "kgs", "kilo", "kilos"]);

/// Every unit that a plan may use. The place in this list is the unit's [`UnitId`].
pub static UNITS: &[Unit] = &[
    KILOGRAM,
    unit("g", Dimension::Mass, 1, 1000, &["g"]),
    unit("t", Dimension::Mass, 1000, 1, &["t", "tonne", "tonnes"]),
    unit("lb", Dimension::Mass, LB.0, LB.1, &["lb", "lbs"]),
    unit("oz", Dimension::Mass, LB.0, LB.1 * 16, &["oz"]),
    unit(
        "short ton",
        Dimension::Mass,
        LB.0 * 2000,
        LB.1,
        &["short ton", "short tons"],
    ),
    unit(
        "long ton",
        Dimension::Mass,
        LB.0 * 2240,
        LB.1,
        &["long ton", "long tons"],
    ),
    unit("short cwt", Dimension::Mass, LB.0 * 100, LB.1, &["short cwt"]),
    unit("long cwt", Dimension::Mass, LB.0 * 112, LB.1, &["long cwt"]),
    unit("mm", Dimension::Length, 1, 1, &["mm"]),
    unit("cm", Dimension::Length, 10, 1, &["cm"]),
    unit("m", Dimension::Length, 1000, 1, &["m"]),
    unit("in", Dimension::Length, 254, 10, &["in", "inch", "inches"]),
    unit("ft", Dimension::Length, FT_MM.0, FT_MM.1, &["ft"]),
    unit(
        "N·m",
        Dimension::Torque,
        1,
        1,
        &["N m", "Nm", "N·m", "N.m", "N⋅m"],
    ),
    unit("kgf m", Dimension::Torque, 980_665, 100_000, &["kgf m", "kgfm"]),
    unit(
        "lbf ft",
        Dimension::Torque,
        LBF.0 * FT_MM.0,
        LBF.1 * FT_MM.1 * 1000,
        &[
            "lbf ft", "lb ft", "ft lb", "ft lbf", "lbs ft", "ft lbs", "lbf-ft", "ft-lbf", "lb-ft", "ft-lb",
            "lbft",
        ],
    ),
    unit(
        "lbf in",
        Dimension::Torque,
        LBF.0 * 254,
        LBF.1 * 10 * 1000,
        &[
            "lbf in", "lb in", "in lb", "in lbf", "in lbs", "lbf-in", "in-lbf", "lb-in", "in-lb",
        ],
    ),
    unit("N", Dimension::Force, 1, 1, &["N"]),
    unit("kN", Dimension::Force, 1000, 1, &["kN"]),
    unit("lbf", Dimension::Force, LBF.0, LBF.1, &["lbf"]),
    unit("kgf", Dimension::Force, 980_665, 100_000, &["kgf"]),
    unit(
        "l",
        Dimension::Volume,
        1,
        1,
        &["l", "L", "litre", "litres", "liter", "liters"],
    ),
    unit("ml", Dimension::Volume, 1, 1000, &["ml", "mL"]),
    unit("cc", Dimension::Volume, 1, 1000, &["cc", "cm3"]),
    unit("US gal", Dimension::Volume, US_GAL.0, US_GAL.1, &["US gal"]),
    unit("US qt", Dimension::Volume, US_GAL.0, US_GAL.1 * 4, &["US qt"]),
    unit("US pt", Dimension::Volume, US_GAL.0, US_GAL.1 * 8, &["US pt"]),
    unit(
        "US fl oz",
        Dimension::Volume,
        US_GAL.0,
        US_GAL.1 * 128,
        &["US fl oz"],
    ),
    unit("imp gal", Dimension::Volume, IMP_GAL.0, IMP_GAL.1, &["imp gal"]),
    unit("imp pt", Dimension::Volume, IMP_GAL.0, IMP_GAL.1 * 8, &["imp pt"]),
    unit("kg/l", Dimension::Density, 1, 1, &["kg/l", "kg/L"]),
    unit("g/cc", Dimension::Density, 1, 1, &["g/cc", "g/cm3", "g/ml"]),
    unit("kg/m3", Dimension::Density, 1, 1000, &["kg/m3", "kg/m³"]),
    unit(
        "lb/US gal",
        Dimension::Density,
        LB.0 * US_GAL.1,
        LB.1 * US_GAL.0,
        &["lb/US gal"],
    ),
    unit("bar", Dimension::Pressure, 100, 1, &["bar"]),
    unit("kPa", Dimension::Pressure, 1, 1, &["kPa"]),
    unit("MPa", Dimension::Pressure, 1000, 1, &["MPa"]),
    // lbf / in2, in kPa: (N / mm2) x 1000.
    unit(
        "psi",
        Dimension::Pressure,
        LBF.0 * 100 * 1000,
        LBF.1 * 64_516,
        &["psi"],
    ),
    unit("min", Dimension::Time, 1, 1, &["min", "mins", "minutes"]),
    unit("h", Dimension::Time, 60, 1, &["h", "hours", "hour"]),
    unit("s", Dimension::Time, 1, 60, &["s", "sec"]),
    unit("d", Dimension::Time, 1440, 1, &["d", "days", "day"]),
    unit("°", Dimension::Angle, 1, 1, &["deg", "°", "degrees"]),
    unit("turn", Dimension::Angle, 360, 1, &["turn", "turns"]),
    unit("W", Dimension::Power, 1, 1, &["W"]),
    unit("kW", Dimension::Power, 1000, 1, &["kW"]),
    // Metric horsepower: 75 kgf m/s.
    unit("hp", Dimension::Power, 75 * 980_665, 100_000, &["hp"]),
    unit("%", Dimension::Share, 1, 1, &["%", "percent", "per cent"]),
];

/// A unit by its place in [`UNITS`], counted from 1, so that a quantity that is not said takes no more room than one that is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitId(NonZeroU8);

impl UnitId {
    fn at(place: u8) -> Option<UnitId> {
        place.checked_add(1).and_then(NonZeroU8::new).map(UnitId)
    }

    /// What there is to say of it.
    #[must_use]
    pub fn unit(self) -> &'static Unit {
        // Only `find` makes an id, from a place in the list.
        let place = usize::from(self.0.get()).saturating_sub(1);
        UNITS.get(place).unwrap_or(&KILOGRAM)
    }
}

/// The unit that is written so, words parted by one space; case counts (`M` is no `m`).
#[must_use]
pub fn find(spelling: &str) -> Option<UnitId> {
    // The common ones first: a plan is mostly millimetres, kilograms and newton metres.
    static COMMON: [(&str, u8); 6] = [
        ("mm", 9),
        ("kg", 0),
        ("N m", 14),
        ("min", 39),
        ("Nm", 14),
        ("l", 22),
    ];
    if let Some((_, place)) = COMMON.iter().find(|(text, _)| *text == spelling) {
        return UnitId::at(*place);
    }
    let place = UNITS.iter().position(|unit| unit.spellings.contains(&spelling))?;
    u8::try_from(place).ok().and_then(UnitId::at)
}

/// What a word that is a unit on both sides of the sea and not the same one may mean: what to write instead, with what it is in pounds.
/// Empty for any other word.
#[must_use]
pub fn meanings(word: &str) -> &'static [(&'static str, u32)] {
    match word {
        "ton" | "tons" => &[("short ton", 2000), ("long ton", 2240)],
        "cwt" => &[("short cwt", 100), ("long cwt", 112)],
        _ => &[],
    }
}

/// Whether a longer unit may begin with this word, so that the reader looks at the next one too.
#[must_use]
pub fn may_go_on(word: &str) -> bool {
    matches!(
        word,
        "N" | "kgf"
            | "lbf"
            | "lb"
            | "lbs"
            | "ft"
            | "in"
            | "US"
            | "US fl"
            | "imp"
            | "short"
            | "long"
            | "lb/US"
            | "per"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_twice_and_the_common_ones_are_right() {
        let mut seen = std::collections::BTreeSet::new();
        for unit in UNITS {
            for spelling in unit.spellings {
                assert!(seen.insert(*spelling), "{spelling} stands for two units");
                assert_eq!(find(spelling).map(UnitId::unit), Some(unit), "{spelling}");
                let mut words = spelling.split(' ').collect::<Vec<_>>();
                while words.pop().is_some() && !words.is_empty() {
                    assert!(may_go_on(&words.join(" ")), "{spelling} is never reached");
                }
            }
        }
    }
}
