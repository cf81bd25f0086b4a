//! Which spanner, key or bit fits a size: across flats by series, socket keys, hexalobular sockets. Look-up tables; nothing here can be
//! reckoned. Knows neither joints nor kits.

use super::amounts::{INCH, Millimetres};
use crate::base::citation::Citation;

/// Across flats of hexagon heads and nuts.
pub const ISO_272: Citation = Citation {
    work: "ISO 272:1982, hexagon products, widths across flats; ISO 4014, 4017, 4032",
    place: "table 1",
};
/// Across flats before ISO 272; only M10, M12, M14 and M22 differ.
pub const DIN_931: Citation = Citation {
    work: "DIN 931, 933, 934 as they were before ISO 272",
    place: "size s",
};
/// Flange bolts with a small head. From memory.
pub const ISO_4162: Citation = Citation {
    work: "ISO 4162, hexagon bolts with flange, small series",
    place: "table 1",
};
/// Flange bolts of the older series. From memory.
pub const DIN_6921: Citation = Citation {
    work: "DIN 6921, hexagon flange bolts, edition of 1983",
    place: "size s",
};
/// Small heads of Japanese make. From memory; hearsay that many makers confirm.
pub const JIS_B_1180: Citation = Citation {
    work: "JIS B 1180, hexagon head bolts, small series",
    place: "annex",
};
/// Large heads of structural bolting. From memory.
pub const ISO_7411: Citation = Citation {
    work: "ISO 7411 and EN 14399, structural bolts, large width across flats",
    place: "table 1",
};
/// Socket keys. M18, M22, M27 and M33 are in DIN 912 alone, from memory.
pub const ISO_4762: Citation = Citation {
    work: "ISO 4762:2004, and DIN 912 for M18, M22, M27 and M33: hexagon socket head cap screws",
    place: "table 1, s nominal",
};
/// Keys of flat, countersunk and headless screws. From memory.
pub const OTHER_SOCKETS: Citation = Citation {
    work: "DIN 7984 (low head); ISO 10642 and ISO 7380 (countersunk, button); ISO 4026 (set screws)",
    place: "s nominal",
};
/// Hexalobular sockets. From memory. Size 27 is not in the standard: makers sell it, common practice, no source.
pub const ISO_10664: Citation = Citation {
    work: "ISO 10664, hexalobular internal driving feature; screws in ISO 14579",
    place: "table 1, size A; ISO 14579 table 1",
};
/// Inch heads, nuts and keys. From memory.
pub const ASME_B18: Citation = Citation {
    work: "ASME B18.2.1 and B18.2.2 (hexagon), B18.3 (socket), B18.6.3 (machine screw nuts)",
    place: "width across flats, basic",
};

/// Series of metric hexagon heads and nuts. They are kept apart: a size of one is no size of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HexSeries {
    /// ISO 272: what is sold today.
    Iso,
    /// DIN 931, the older one: wider at some sizes.
    OldDin,
    /// ISO 4162, with a flange, small series.
    SmallFlange,
    /// DIN 6921 of 1983, with a flange.
    OldFlange,
    /// JIS B 1180, small series.
    SmallJapanese,
    /// ISO 7411 and EN 14399, large heads of structural bolting.
    Structural,
}

/// Series of inch hexagon heads and nuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum InchSeries {
    /// Heads of cap screws, ASME B18.2.1.
    CapScrew,
    /// Nuts, ASME B18.2.2.
    Nut,
    /// The heavy series of both.
    Heavy,
}

/// Series of metric hexagon sockets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum KeySeries {
    /// Cap screws, ISO 4762.
    CapScrew,
    /// Cap screws with a low head, DIN 7984.
    LowHead,
    /// Countersunk and button heads, ISO 10642 and ISO 7380.
    Countersunk,
    /// Screws without a head, ISO 4026.
    SetScrew,
}

type Table = &'static [(f64, f64)];

const HEX_ISO: Table = &[
    (1.6, 3.2),
    (2.0, 4.0),
    (2.5, 5.0),
    (3.0, 5.5),
    (3.5, 6.0),
    (4.0, 7.0),
    (5.0, 8.0),
    (6.0, 10.0),
    (7.0, 11.0),
    (8.0, 13.0),
    (10.0, 16.0),
    (12.0, 18.0),
    (14.0, 21.0),
    (16.0, 24.0),
    (18.0, 27.0),
    (20.0, 30.0),
    (22.0, 34.0),
    (24.0, 36.0),
    (27.0, 41.0),
    (30.0, 46.0),
    (33.0, 50.0),
    (36.0, 55.0),
    (39.0, 60.0),
];
/// Where the old series differs from ISO 272.
const HEX_OLD_DIN: Table = &[(10.0, 17.0), (12.0, 19.0), (14.0, 22.0), (22.0, 32.0)];
const HEX_SMALL_FLANGE: Table = &[
    (5.0, 7.0),
    (6.0, 8.0),
    (8.0, 10.0),
    (10.0, 13.0),
    (12.0, 15.0),
    (14.0, 18.0),
    (16.0, 21.0),
];
const HEX_OLD_FLANGE: Table = &[
    (5.0, 8.0),
    (6.0, 10.0),
    (8.0, 13.0),
    (10.0, 15.0),
    (12.0, 16.0),
    (14.0, 18.0),
    (16.0, 21.0),
    (20.0, 27.0),
];
const HEX_SMALL_JAPANESE: Table = &[
    (8.0, 12.0),
    (10.0, 14.0),
    (12.0, 17.0),
    (14.0, 19.0),
    (16.0, 22.0),
    (18.0, 24.0),
    (20.0, 27.0),
    (22.0, 30.0),
    (24.0, 32.0),
];
const HEX_STRUCTURAL: Table = &[
    (12.0, 22.0),
    (16.0, 27.0),
    (20.0, 32.0),
    (22.0, 36.0),
    (24.0, 41.0),
    (27.0, 46.0),
    (30.0, 50.0),
    (36.0, 60.0),
];

const KEY_CAP: Table = &[
    (1.6, 1.5),
    (2.0, 1.5),
    (2.5, 2.0),
    (3.0, 2.5),
    (4.0, 3.0),
    (5.0, 4.0),
    (6.0, 5.0),
    (8.0, 6.0),
    (10.0, 8.0),
    (12.0, 10.0),
    (14.0, 12.0),
    (16.0, 14.0),
    (18.0, 14.0),
    (20.0, 17.0),
    (22.0, 17.0),
    (24.0, 19.0),
    (27.0, 19.0),
    (30.0, 22.0),
    (33.0, 24.0),
    (36.0, 27.0),
];
const KEY_LOW: Table = &[
    (3.0, 2.0),
    (4.0, 2.5),
    (5.0, 3.0),
    (6.0, 4.0),
    (8.0, 5.0),
    (10.0, 7.0),
    (12.0, 8.0),
    (14.0, 10.0),
    (16.0, 12.0),
    (18.0, 12.0),
    (20.0, 14.0),
    (24.0, 17.0),
];
const KEY_COUNTERSUNK: Table = &[
    (3.0, 2.0),
    (4.0, 2.5),
    (5.0, 3.0),
    (6.0, 4.0),
    (8.0, 5.0),
    (10.0, 6.0),
    (12.0, 8.0),
    (14.0, 10.0),
    (16.0, 10.0),
    (20.0, 12.0),
];
const KEY_SET: Table = &[
    (3.0, 1.5),
    (4.0, 2.0),
    (5.0, 2.5),
    (6.0, 3.0),
    (8.0, 4.0),
    (10.0, 5.0),
    (12.0, 6.0),
    (16.0, 8.0),
    (20.0, 10.0),
    (24.0, 12.0),
];

const INCH_CAP: Table = &[
    (0.25, 7.0 / 16.0),
    (0.3125, 0.5),
    (0.375, 9.0 / 16.0),
    (0.4375, 5.0 / 8.0),
    (0.5, 0.75),
    (0.5625, 13.0 / 16.0),
    (0.625, 15.0 / 16.0),
    (0.75, 1.125),
    (0.875, 21.0 / 16.0),
    (1.0, 1.5),
    (1.125, 27.0 / 16.0),
    (1.25, 1.875),
    (1.375, 33.0 / 16.0),
    (1.5, 2.25),
];
const INCH_NUT: Table = &[
    (0.138, 0.3125),
    (0.164, 11.0 / 32.0),
    (0.190, 0.375),
    (0.216, 7.0 / 16.0),
    (0.25, 7.0 / 16.0),
    (0.3125, 0.5),
    (0.375, 9.0 / 16.0),
    (0.4375, 11.0 / 16.0),
    (0.5, 0.75),
    (0.5625, 0.875),
    (0.625, 15.0 / 16.0),
    (0.75, 1.125),
    (0.875, 21.0 / 16.0),
    (1.0, 1.5),
    (1.125, 27.0 / 16.0),
    (1.25, 1.875),
    (1.375, 33.0 / 16.0),
    (1.5, 2.25),
];
const INCH_HEAVY: Table = &[
    (0.25, 0.5),
    (0.3125, 9.0 / 16.0),
    (0.375, 11.0 / 16.0),
    (0.4375, 0.75),
    (0.5, 0.875),
    (0.5625, 15.0 / 16.0),
    (0.625, 17.0 / 16.0),
    (0.75, 1.25),
    (0.875, 23.0 / 16.0),
    (1.0, 1.625),
];
const INCH_KEY: Table = &[
    (0.112, 3.0 / 32.0),
    (0.138, 7.0 / 64.0),
    (0.164, 9.0 / 64.0),
    (0.190, 5.0 / 32.0),
    (0.25, 3.0 / 16.0),
    (0.3125, 0.25),
    (0.375, 5.0 / 16.0),
    (0.4375, 0.375),
    (0.5, 0.375),
    (0.5625, 7.0 / 16.0),
    (0.625, 0.5),
    (0.75, 0.625),
    (0.875, 0.75),
    (1.0, 0.75),
];

/// Button and flat countersunk heads, then set screws.
const INCH_KEY_BUTTON: Table = &[
    (0.164, 3.0 / 32.0),
    (0.190, 0.125),
    (0.25, 5.0 / 32.0),
    (0.3125, 3.0 / 16.0),
    (0.375, 7.0 / 32.0),
    (0.5, 5.0 / 16.0),
    (0.625, 0.375),
];
const INCH_KEY_SET: Table = &[
    (0.164, 5.0 / 64.0),
    (0.190, 3.0 / 32.0),
    (0.25, 0.125),
    (0.3125, 5.0 / 32.0),
    (0.375, 3.0 / 16.0),
    (0.4375, 7.0 / 32.0),
    (0.5, 0.25),
    (0.625, 5.0 / 16.0),
    (0.75, 0.375),
];

/// Size number and outer width A in mm.
const HEXALOBULAR: &[(u32, f64)] = &[
    (6, 1.75),
    (8, 2.4),
    (10, 2.8),
    (15, 3.35),
    (20, 3.95),
    (25, 4.5),
    (27, 5.07),
    (30, 5.6),
    (40, 6.75),
    (45, 7.93),
    (50, 8.95),
    (55, 11.35),
    (60, 13.45),
    (70, 15.7),
    (80, 17.75),
    (90, 20.2),
    (100, 22.4),
];
/// Screw size and size number of ISO 14579.
const HEXALOBULAR_CAP: &[(f64, u32)] = &[
    (2.0, 6),
    (2.5, 8),
    (3.0, 10),
    (3.5, 15),
    (4.0, 20),
    (5.0, 25),
    (6.0, 30),
    (8.0, 45),
    (10.0, 50),
    (12.0, 55),
    (14.0, 60),
    (16.0, 70),
    (18.0, 80),
    (20.0, 90),
];

fn look_up(table: Table, size: f64) -> Option<f64> {
    table
        .iter()
        .find(|(known, _)| (known - size).abs() < 1e-4)
        .map(|(_, across)| *across)
}

impl HexSeries {
    /// The usual one first.
    pub const ALL: [HexSeries; 6] = [
        HexSeries::Iso,
        HexSeries::OldDin,
        HexSeries::SmallFlange,
        HexSeries::OldFlange,
        HexSeries::SmallJapanese,
        HexSeries::Structural,
    ];

    /// Width across flats of this series for a thread diameter; none where the series has no such size.
    #[must_use]
    pub fn across(self, diameter: Millimetres) -> Option<Millimetres> {
        let table = match self {
            HexSeries::Iso => HEX_ISO,
            HexSeries::OldDin => {
                return look_up(HEX_OLD_DIN, diameter.0)
                    .or_else(|| look_up(HEX_ISO, diameter.0))
                    .map(Millimetres);
            }
            HexSeries::SmallFlange => HEX_SMALL_FLANGE,
            HexSeries::OldFlange => HEX_OLD_FLANGE,
            HexSeries::SmallJapanese => HEX_SMALL_JAPANESE,
            HexSeries::Structural => HEX_STRUCTURAL,
        };
        look_up(table, diameter.0).map(Millimetres)
    }

    /// Where its sizes stand.
    #[must_use]
    pub fn source(self) -> Citation {
        match self {
            HexSeries::Iso => ISO_272,
            HexSeries::OldDin => DIN_931,
            HexSeries::SmallFlange => ISO_4162,
            HexSeries::OldFlange => DIN_6921,
            HexSeries::SmallJapanese => JIS_B_1180,
            HexSeries::Structural => ISO_7411,
        }
    }
}

impl InchSeries {
    /// The usual one first.
    pub const ALL: [InchSeries; 3] = [InchSeries::CapScrew, InchSeries::Nut, InchSeries::Heavy];

    /// Width across flats in inches for a thread diameter in inches.
    #[must_use]
    pub fn across(self, inches: f64) -> Option<f64> {
        let table = match self {
            InchSeries::CapScrew => INCH_CAP,
            InchSeries::Nut => INCH_NUT,
            InchSeries::Heavy => INCH_HEAVY,
        };
        look_up(table, inches)
    }
}

impl KeySeries {
    /// The usual one first.
    pub const ALL: [KeySeries; 4] = [
        KeySeries::CapScrew,
        KeySeries::LowHead,
        KeySeries::Countersunk,
        KeySeries::SetScrew,
    ];

    /// Key size for a thread diameter. Two sizes may share a key: M16 and M18 both take 14 mm.
    #[must_use]
    pub fn key(self, diameter: Millimetres) -> Option<Millimetres> {
        let table = match self {
            KeySeries::CapScrew => KEY_CAP,
            KeySeries::LowHead => KEY_LOW,
            KeySeries::Countersunk => KEY_COUNTERSUNK,
            KeySeries::SetScrew => KEY_SET,
        };
        look_up(table, diameter.0).map(Millimetres)
    }
}

/// Key of an inch socket head cap screw, inches.
#[must_use]
pub fn inch_key(inches: f64) -> Option<f64> {
    look_up(INCH_KEY, inches)
}

/// Keys of all inch socket screws of this diameter: cap, button or countersunk, set screw; inches.
pub fn inch_keys(inches: f64) -> impl Iterator<Item = f64> {
    [INCH_KEY, INCH_KEY_BUTTON, INCH_KEY_SET]
        .into_iter()
        .filter_map(move |table| look_up(table, inches))
}

/// Outer width A of a hexalobular size; none for a number that ISO 10664 does not have.
#[must_use]
pub fn hexalobular(number: u32) -> Option<Millimetres> {
    HEXALOBULAR
        .iter()
        .find(|(known, _)| *known == number)
        .map(|(_, across)| Millimetres(*across))
}

/// The hexalobular size of a cap screw by ISO 14579.
#[must_use]
pub fn hexalobular_of(diameter: Millimetres) -> Option<u32> {
    HEXALOBULAR_CAP
        .iter()
        .find(|(known, _)| (known - diameter.0).abs() < 1e-4)
        .map(|(_, number)| *number)
}

/// How many sizes of ISO 10664 lie between two, both known.
#[must_use]
pub fn hexalobular_apart(one: u32, other: u32) -> Option<usize> {
    let place = |number| HEXALOBULAR.iter().position(|(known, _)| *known == number);
    Some(place(one)?.abs_diff(place(other)?))
}

/// Whether a spanner of this nominal size goes on a head of that size and turns it: the same, or, between inch and metric sizes, not
/// narrower by more than 0.06 mm nor wider by more than one part in forty. Common practice, no source: 19 mm on 3/4 in, 13 mm on 1/2 in.
#[must_use]
pub fn goes_on(spanner: Millimetres, head: Millimetres) -> bool {
    (spanner.0 - head.0).abs() < 0.01 || (head.0 - 0.06..=head.0 * 1.025).contains(&spanner.0)
}

/// Millimetres of a size in inches.
#[must_use]
pub fn inch_size(inches: f64) -> Millimetres {
    Millimetres(inches * INCH)
}
