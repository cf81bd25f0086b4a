//! Screw threads: which there are, and their diameters and stress area. Metric by ISO 261 and ISO 724, inch by ASME B1.1. Knows
//! neither steel nor torque.

use crate::base::digits;
use std::f64::consts::PI;

use super::amounts::{Asked, INCH, Millimetres, OutOfRange, SquareMillimetres, within};
use crate::base::citation::Citation;

/// Diameters and pitches of metric threads; basic dimensions in ISO 724. The table below is from memory, save where the tests name
/// a printed row.
pub const ISO_261: Citation = Citation {
    work: "ISO 261:1998, ISO general purpose metric screw threads, general plan",
    place: "table 2",
};
/// Stress area of metric threads.
pub const ISO_898_1_AREA: Citation = Citation {
    work: "ISO 898-1:2013, mechanical properties of fasteners, bolts, screws and studs",
    place: "clause 9.1, tables 4 to 7",
};
/// Sizes and stress area of inch threads. The table below is from memory, save where the tests name a printed row.
pub const ASME_B1_1: Citation = Citation {
    work: "ASME B1.1, unified inch screw threads",
    place: "table 1; stress area of appendix B",
};

/// Which system of threads; the two take their stress area from formulas that differ in the last places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum System {
    /// ISO metric, 60 degrees.
    Metric,
    /// Unified inch, 60 degrees.
    Unified,
}

/// One thread: nominal diameter and pitch. Made only with a pitch that leaves a core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    system: System,
    diameter: f64,
    pitch: f64,
}

impl Thread {
    /// A metric thread of this nominal diameter and pitch, whether or not the standard lists it: see [`listed_metric`].
    ///
    /// # Errors
    /// A diameter outside 1 to 300 mm (ISO 261), or a pitch outside 0.2 mm to a third of the diameter.
    pub fn metric(diameter: Millimetres, pitch: Millimetres) -> Result<Self, OutOfRange> {
        let diameter = within(Asked::Diameter, diameter.0, 1.0, 300.0)?;
        let pitch = within(Asked::Pitch, pitch.0, 0.2, diameter / 3.0)?;
        Ok(Self {
            system: System::Metric,
            diameter,
            pitch,
        })
    }

    /// The metric thread of this diameter with its coarse pitch, which a designation leaves out: `M10`.
    ///
    /// # Errors
    /// A diameter to which ISO 261 gives no coarse pitch.
    pub fn metric_coarse(diameter: Millimetres) -> Result<Self, OutOfRange> {
        let pitch = coarse_pitch(diameter).ok_or(OutOfRange {
            asked: Asked::Diameter,
            value: diameter.0,
            low: 1.6,
            high: 64.0,
        })?;
        Self::metric(diameter, pitch)
    }

    /// An inch thread: nominal diameter in inches, threads an inch.
    ///
    /// # Errors
    /// A diameter outside 0.06 to 6 in (ASME B1.1), or fewer threads than leave a core, or more than 80.
    pub fn unified(inches: f64, per_inch: u32) -> Result<Self, OutOfRange> {
        let inches = within(Asked::Diameter, inches, 0.06, 6.0)?;
        let per_inch = within(Asked::PerInch, f64::from(per_inch), 3.0 / inches, 80.0)?;
        Ok(Self {
            system: System::Unified,
            diameter: inches * INCH,
            pitch: INCH / per_inch,
        })
    }

    /// Metric or unified.
    #[must_use]
    pub fn system(self) -> System {
        self.system
    }

    /// Nominal diameter d.
    #[must_use]
    pub fn diameter(self) -> Millimetres {
        Millimetres(self.diameter)
    }

    /// Pitch P: what one turn advances.
    #[must_use]
    pub fn pitch(self) -> Millimetres {
        Millimetres(self.pitch)
    }

    /// Pitch diameter d2 = d - 0.649519 P (ISO 724; ASME B1.1 for inch threads, whose basic profile is the same).
    #[must_use]
    pub fn pitch_diameter(self) -> Millimetres {
        Millimetres(self.diameter - 0.649_519 * self.pitch)
    }

    /// Minor diameter of a bolt at the root of its rounded thread. Metric: d3 = d - 17/12 H = d - 1.226869 P (ISO 898-1 clause 9.1).
    /// Inch: d - 11/8 H = d - 1.190785 P, of the UNR thread (ASME B1.1, table 1). H is 0.866025 P.
    #[must_use]
    pub fn minor_diameter(self) -> Millimetres {
        let depth = match self.system {
            System::Metric => 1.226_869,
            System::Unified => 1.190_785,
        };
        Millimetres(self.diameter - depth * self.pitch)
    }

    /// Diameter of the stress area, which pull and twist are reckoned with. Metric: d0 = (d2 + d3) / 2 (VDI 2230-1). Inch: d - 0.9743/n,
    /// that of the tensile stress area (ASME B1.1, appendix B), for the source of the sum knows no inch threads.
    #[must_use]
    pub fn stress_diameter(self) -> Millimetres {
        match self.system {
            System::Metric => Millimetres(f64::midpoint(self.pitch_diameter().0, self.minor_diameter().0)),
            System::Unified => Millimetres(self.diameter - 0.9743 * self.pitch),
        }
    }

    /// Nominal stress area. Metric: As = pi/4 ((d2 + d3)/2)^2 (ISO 898-1 clause 9.1). Inch: At = pi/4 (d - 0.9743/n)^2
    /// (ASME B1.1).
    #[must_use]
    pub fn stress_area(self) -> SquareMillimetres {
        let across = self.stress_diameter().0;
        SquareMillimetres(PI / 4.0 * across * across)
    }

    /// The stress area as tables print it and as their loads are reckoned from it: three figures, in mm2 for metric threads and in
    /// in2 for inch ones, these to four decimals below 0.2 in2. Some tables print a last place less (0.0580 for 5/16-24, 0.1599 for
    /// 1/2-20): they cut it.
    #[must_use]
    pub fn tabled_stress_area(self) -> SquareMillimetres {
        let area = self.stress_area();
        match self.system {
            System::Metric => SquareMillimetres(three_figures(area.0)),
            System::Unified => {
                let inches = area.square_inches();
                let places: f64 = if inches < 0.2 { 1e4 } else { 1e3 };
                SquareMillimetres::of_square_inches((inches * places).round() / places)
            }
        }
    }
}

fn three_figures(value: f64) -> f64 {
    digits::rounded(value, digits::places_of_three(value))
}

/// What a standard says of a diameter with a pitch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Listed {
    /// The coarse pitch of that diameter.
    Coarse,
    /// A fine pitch of that diameter.
    Fine,
    /// Of the constant-pitch or special inch series, which unions, adjusters and plugs use.
    Special,
    /// The diameter is listed, with other pitches.
    OtherPitch,
    /// No thread of this diameter is listed.
    NoSuchSize,
    /// Larger than these tables go.
    Beyond,
}

impl Listed {
    /// Whether such a thread can be had.
    #[must_use]
    pub fn exists(self) -> bool {
        !matches!(self, Listed::OtherPitch | Listed::NoSuchSize)
    }
}

/// Diameter, coarse pitch or 0, fine pitches: ISO 261, M1.6 to M64.
type MetricRow = (f64, f64, &'static [f64]);
const METRIC: &[MetricRow] = &[
    (1.6, 0.35, &[0.2]),
    (1.8, 0.35, &[0.2]),
    (2.0, 0.4, &[0.25]),
    (2.2, 0.45, &[0.25]),
    (2.5, 0.45, &[0.35]),
    (3.0, 0.5, &[0.35]),
    (3.5, 0.6, &[0.35]),
    (4.0, 0.7, &[0.5]),
    (4.5, 0.75, &[0.5]),
    (5.0, 0.8, &[0.5]),
    (5.5, 0.0, &[0.5]),
    (6.0, 1.0, &[0.75]),
    (7.0, 1.0, &[0.75]),
    (8.0, 1.25, &[1.0, 0.75]),
    (9.0, 1.25, &[1.0, 0.75]),
    (10.0, 1.5, &[1.25, 1.0, 0.75]),
    (11.0, 1.5, &[1.0, 0.75]),
    (12.0, 1.75, &[1.5, 1.25, 1.0]),
    (14.0, 2.0, &[1.5, 1.25, 1.0]),
    (15.0, 0.0, &[1.5, 1.0]),
    (16.0, 2.0, &[1.5, 1.0]),
    (17.0, 0.0, &[1.5, 1.0]),
    (18.0, 2.5, &[2.0, 1.5, 1.0]),
    (20.0, 2.5, &[2.0, 1.5, 1.0]),
    (22.0, 2.5, &[2.0, 1.5, 1.0]),
    (24.0, 3.0, &[2.0, 1.5, 1.0]),
    (25.0, 0.0, &[2.0, 1.5, 1.0]),
    (26.0, 0.0, &[1.5]),
    (27.0, 3.0, &[2.0, 1.5, 1.0]),
    (28.0, 0.0, &[2.0, 1.5, 1.0]),
    (30.0, 3.5, &[3.0, 2.0, 1.5, 1.0]),
    (32.0, 0.0, &[2.0, 1.5]),
    (33.0, 3.5, &[3.0, 2.0, 1.5]),
    (35.0, 0.0, &[1.5]),
    (36.0, 4.0, &[3.0, 2.0, 1.5]),
    (38.0, 0.0, &[1.5]),
    (39.0, 4.0, &[3.0, 2.0, 1.5]),
    (40.0, 0.0, &[3.0, 2.0, 1.5]),
    (42.0, 4.5, &[4.0, 3.0, 2.0, 1.5]),
    (45.0, 4.5, &[4.0, 3.0, 2.0, 1.5]),
    (48.0, 5.0, &[4.0, 3.0, 2.0, 1.5]),
    (50.0, 0.0, &[3.0, 2.0, 1.5]),
    (52.0, 5.0, &[4.0, 3.0, 2.0, 1.5]),
    (55.0, 0.0, &[4.0, 3.0, 2.0, 1.5]),
    (56.0, 5.5, &[4.0, 3.0, 2.0, 1.5]),
    (58.0, 0.0, &[4.0, 3.0, 2.0, 1.5]),
    (60.0, 5.5, &[4.0, 3.0, 2.0, 1.5]),
    (62.0, 0.0, &[4.0, 3.0, 2.0, 1.5]),
    (64.0, 6.0, &[4.0, 3.0, 2.0, 1.5]),
];

/// Diameter in inches, threads an inch: coarse or 0, fine or 0, others in use (ASME B1.1: extra-fine, constant-pitch and special
/// series).
type UnifiedRow = (f64, u32, u32, &'static [u32]);
const UNIFIED: &[UnifiedRow] = &[
    (0.060, 0, 80, &[]),
    (0.073, 64, 72, &[]),
    (0.086, 56, 64, &[]),
    (0.099, 48, 56, &[]),
    (0.112, 40, 48, &[]),
    (0.125, 40, 44, &[]),
    (0.138, 32, 40, &[]),
    (0.164, 32, 36, &[]),
    (0.190, 24, 32, &[28, 36]),
    (0.216, 24, 28, &[32]),
    (0.25, 20, 28, &[24, 27, 32, 36]),
    (0.3125, 18, 24, &[20, 27, 28, 32]),
    (0.375, 16, 24, &[18, 20, 27, 28, 32]),
    (0.4375, 14, 20, &[16, 18, 24, 27, 28, 32]),
    (0.5, 13, 20, &[12, 14, 16, 18, 24, 27, 28, 32]),
    (0.5625, 12, 18, &[14, 16, 20, 24, 27, 28, 32]),
    (0.625, 11, 18, &[12, 14, 16, 20, 24, 27, 28, 32]),
    (0.6875, 0, 0, &[12, 16, 18, 20, 24, 28, 32]),
    (0.75, 10, 16, &[12, 14, 18, 20, 24, 28, 32]),
    (0.8125, 0, 0, &[12, 16, 18, 20, 28, 32]),
    (0.875, 9, 14, &[12, 16, 18, 20, 24, 27, 28, 32]),
    (0.9375, 0, 0, &[12, 16, 20, 28, 32]),
    (1.0, 8, 12, &[14, 16, 18, 20, 24, 27, 28, 32]),
    (1.0625, 0, 0, &[8, 12, 14, 16, 18, 20, 28]),
    (1.125, 7, 12, &[8, 16, 18, 20, 28]),
    (1.1875, 0, 0, &[8, 12, 16, 18, 20, 28]),
    (1.25, 7, 12, &[8, 16, 18, 20, 28]),
    (1.3125, 0, 0, &[8, 12, 16, 18, 20, 28]),
    (1.375, 6, 12, &[8, 16, 18, 20, 28]),
    (1.4375, 0, 0, &[6, 8, 12, 16, 18, 20, 28]),
    (1.5, 6, 12, &[8, 16, 18, 20, 28]),
];

/// Largest diameters of the two tables.
const METRIC_END: f64 = 64.0;
const UNIFIED_END: f64 = 1.5;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-4
}

fn metric_row(diameter: f64) -> Option<&'static MetricRow> {
    METRIC.iter().find(|row| same(row.0, diameter))
}

fn unified_row(inches: f64) -> Option<&'static UnifiedRow> {
    UNIFIED.iter().find(|row| same(row.0, inches))
}

/// The coarse pitch of a metric diameter, from M1.6 to M64.
#[must_use]
pub fn coarse_pitch(diameter: Millimetres) -> Option<Millimetres> {
    metric_row(diameter.0)
        .filter(|row| row.1 > 0.0)
        .map(|row| Millimetres(row.1))
}

/// The fine pitches of a metric diameter, coarsest first; empty where there are none.
pub fn fine_pitches(diameter: Millimetres) -> impl Iterator<Item = Millimetres> {
    metric_row(diameter.0)
        .into_iter()
        .flat_map(|row| row.2.iter().copied().map(Millimetres))
}

/// The coarse number of threads an inch, and the fine one, of an inch diameter.
#[must_use]
pub fn threads_an_inch(inches: f64) -> (Option<u32>, Option<u32>) {
    let some = |count: u32| (count > 0).then_some(count);
    unified_row(inches).map_or((None, None), |row| (some(row.1), some(row.2)))
}

/// What ISO 261 says of a metric thread.
#[must_use]
pub fn listed_metric(diameter: Millimetres, pitch: Millimetres) -> Listed {
    match metric_row(diameter.0) {
        Some(row) if same(row.1, pitch.0) => Listed::Coarse,
        Some(row) if row.2.iter().any(|&fine| same(fine, pitch.0)) => Listed::Fine,
        Some(_) => Listed::OtherPitch,
        None if diameter.0 <= METRIC_END => Listed::NoSuchSize,
        // ISO 261 goes on to M300 with pitches of 1.5 to 8 mm.
        None if diameter.0 <= 300.0 && (1.5..=8.0).contains(&pitch.0) => Listed::Beyond,
        None => Listed::NoSuchSize,
    }
}

/// What ASME B1.1 says of an inch thread.
#[must_use]
pub fn listed_unified(inches: f64, per_inch: u32) -> Listed {
    match unified_row(inches) {
        Some(row) if row.1 == per_inch => Listed::Coarse,
        Some(row) if row.2 == per_inch => Listed::Fine,
        Some(row) if row.3.contains(&per_inch) => Listed::Special,
        Some(_) => Listed::OtherPitch,
        None if inches <= UNIFIED_END => Listed::NoSuchSize,
        // ASME B1.1 goes on to 6 in with 4 to 20 threads an inch.
        None if inches <= 6.0 && (4..=20).contains(&per_inch) => Listed::Beyond,
        None => Listed::NoSuchSize,
    }
}

/// Pipe threads by nominal size in inches and threads an inch: taper and straight pipe threads of ASME B1.20.1, and of ISO 228 and
/// ISO 7. From memory.
const PIPE: &[(f64, &[u32])] = &[
    (0.125, &[27, 28]),
    (0.25, &[18, 19]),
    (0.375, &[18, 19]),
    (0.5, &[14]),
    (0.75, &[14]),
    (1.0, &[11]),
    (1.25, &[11]),
    (1.5, &[11]),
];

/// Whether it is a pipe thread, which unions and plugs have. Its nominal size is that of a pipe's bore and of nothing on the thread.
#[must_use]
pub fn listed_pipe(inches: f64, per_inch: u32) -> bool {
    PIPE.iter()
        .any(|(size, counts)| same(*size, inches) && counts.contains(&per_inch))
}

/// The listed metric diameters next to one that is not listed, smaller then larger.
#[must_use]
pub fn nearest_metric(diameter: Millimetres) -> [Option<Millimetres>; 2] {
    let coarse = || METRIC.iter().filter(|row| row.1 > 0.0).map(|row| row.0);
    [
        coarse().rfind(|&size| size < diameter.0).map(Millimetres),
        coarse().find(|&size| size > diameter.0).map(Millimetres),
    ]
}
