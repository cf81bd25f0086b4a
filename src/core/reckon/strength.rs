//! Strength of bolts, screws, studs and nuts by class or grade: proof, yield and tensile stress by size, and the loads that a thread
//! bears at them. Knows no torque.

use super::amounts::{Asked, INCH, Megapascals, Millimetres, Newtons, OutOfRange, within};
use super::thread::{System, Thread};
use crate::base::citation::Citation;

/// Classes 4.6 to 12.9. Figures from memory, save the rows that the tests name.
pub const ISO_898_1: Citation = Citation {
    work: "ISO 898-1:2013, mechanical properties of fasteners, bolts, screws and studs",
    place: "table 3; loads in tables 4 to 7",
};
/// Classes of nuts. From memory.
pub const ISO_898_2: Citation = Citation {
    work: "ISO 898-2:2012, mechanical properties of fasteners, nuts",
    place: "clause 5, which bolt each class of nut mates with",
};
/// Austenitic stainless bolts. From memory.
pub const ISO_3506_1: Citation = Citation {
    work: "ISO 3506-1:2009, corrosion-resistant stainless steel fasteners, bolts, screws and studs",
    place: "table 2",
};
/// Inch grades.
pub const SAE_J429: Citation = Citation {
    work: "SAE J429, mechanical and material requirements for externally threaded fasteners",
    place: "table 1",
};

/// A property class of ISO 898-1, weakest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PropertyClass {
    /// Nominal 400 MPa, yield at 240.
    C4_6,
    /// Nominal 400 MPa, yield at 320.
    C4_8,
    /// Nominal 500 MPa, yield at 300.
    C5_6,
    /// Nominal 500 MPa, yield at 400.
    C5_8,
    /// Nominal 600 MPa, yield at 480.
    C6_8,
    /// Nominal 800 MPa, yield at 640.
    C8_8,
    /// Nominal 900 MPa, yield at 720.
    C9_8,
    /// Nominal 1000 MPa, yield at 900.
    C10_9,
    /// Nominal 1200 MPa, yield at 1080.
    C12_9,
}

/// The austenitic steels of ISO 3506-1, which share their strengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StainlessClass {
    /// Soft: tensile strength 500 MPa.
    S50,
    /// Cold worked: tensile strength 700 MPa.
    S70,
    /// Worked harder: tensile strength 800 MPa.
    S80,
}

/// A grade of SAE J429.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SaeGrade {
    /// No mark on the head.
    G1,
    /// No mark on the head, stronger up to 3/4 in.
    G2,
    /// Three lines on the head.
    G5,
    /// Six lines on the head.
    G8,
}

/// What a fixing is made of, as its head or face is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Marking {
    /// A bolt of ISO 898-1.
    Class(PropertyClass),
    /// A nut's class tells the strongest bolt that it goes with: 8 with 8.8, 10 with 10.9 (ISO 898-2).
    NutFor(PropertyClass),
    /// A bolt of ISO 3506-1.
    Stainless(StainlessClass),
    /// A bolt of SAE J429.
    Grade(SaeGrade),
}

/// Stresses of a material at one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Stress under proof load. ISO 3506-1 states none.
    pub proof: Option<Megapascals>,
    /// Lower yield stress, or 0.2 % proof stress.
    pub yield_at: Megapascals,
    /// Tensile strength, least.
    pub tensile: Megapascals,
}

/// What a thread bears at those stresses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads {
    /// Under proof load; none where the standard states none.
    pub proof: Option<Newtons>,
    /// At the 0.2 % limit, or at yield.
    pub yield_at: Newtons,
    /// Least, when it breaks.
    pub tensile: Newtons,
}

impl PropertyClass {
    /// Each class and its mark, weakest first.
    pub const ALL: &[(PropertyClass, &str)] = &[
        (PropertyClass::C4_6, "4.6"),
        (PropertyClass::C4_8, "4.8"),
        (PropertyClass::C5_6, "5.6"),
        (PropertyClass::C5_8, "5.8"),
        (PropertyClass::C6_8, "6.8"),
        (PropertyClass::C8_8, "8.8"),
        (PropertyClass::C9_8, "9.8"),
        (PropertyClass::C10_9, "10.9"),
        (PropertyClass::C12_9, "12.9"),
    ];

    /// Nominal tensile and yield strength, as the two figures of the mark say: a hundredth of the one, ten times the ratio.
    #[must_use]
    pub fn nominal(self) -> (Megapascals, Megapascals) {
        let (hundreds, tenths) = match self {
            PropertyClass::C4_6 => (4.0, 6.0),
            PropertyClass::C4_8 => (4.0, 8.0),
            PropertyClass::C5_6 => (5.0, 6.0),
            PropertyClass::C5_8 => (5.0, 8.0),
            PropertyClass::C6_8 => (6.0, 8.0),
            PropertyClass::C8_8 => (8.0, 8.0),
            PropertyClass::C9_8 => (9.0, 8.0),
            PropertyClass::C10_9 => (10.0, 9.0),
            PropertyClass::C12_9 => (12.0, 9.0),
        };
        let tensile = hundreds * 100.0;
        (Megapascals(tensile), Megapascals(tensile * tenths / 10.0))
    }

    /// As a head has it, and a plan writes it.
    #[must_use]
    pub fn mark(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(class, _)| *class == self)
            .map_or("", |(_, mark)| mark)
    }

    /// Least strengths of ISO 898-1 table 3 for this nominal diameter.
    ///
    /// # Errors
    /// A diameter outside 1.6 to 39 mm, or over 16 mm for class 9.8.
    pub fn strength(self, diameter: Millimetres) -> Result<Strength, OutOfRange> {
        let thickest = if self == PropertyClass::C9_8 { 16.0 } else { 39.0 };
        let diameter = within(Asked::Diameter, diameter.0, 1.6, thickest)?;
        let (proof, yield_at, tensile) = match self {
            PropertyClass::C4_6 => (225.0, 240.0, 400.0),
            PropertyClass::C4_8 => (310.0, 340.0, 420.0),
            PropertyClass::C5_6 => (280.0, 300.0, 500.0),
            PropertyClass::C5_8 => (380.0, 420.0, 520.0),
            PropertyClass::C6_8 => (440.0, 480.0, 600.0),
            PropertyClass::C8_8 if diameter <= 16.0 => (580.0, 640.0, 800.0),
            PropertyClass::C8_8 => (600.0, 660.0, 830.0),
            PropertyClass::C9_8 => (650.0, 720.0, 900.0),
            PropertyClass::C10_9 => (830.0, 940.0, 1040.0),
            PropertyClass::C12_9 => (970.0, 1100.0, 1220.0),
        };
        Ok(Strength {
            proof: Some(Megapascals(proof)),
            yield_at: Megapascals(yield_at),
            tensile: Megapascals(tensile),
        })
    }
}

impl StainlessClass {
    /// ISO 3506-1 table 2. No stress under proof load is stated there.
    ///
    /// # Errors
    /// A diameter outside 1.6 to 39 mm, or over 24 mm for classes 70 and 80.
    pub fn strength(self, diameter: Millimetres) -> Result<Strength, OutOfRange> {
        let (thickest, yield_at, tensile) = match self {
            StainlessClass::S50 => (39.0, 210.0, 500.0),
            StainlessClass::S70 => (24.0, 450.0, 700.0),
            StainlessClass::S80 => (24.0, 600.0, 800.0),
        };
        within(Asked::Diameter, diameter.0, 1.6, thickest)?;
        Ok(Strength {
            proof: None,
            yield_at: Megapascals(yield_at),
            tensile: Megapascals(tensile),
        })
    }
}

impl SaeGrade {
    /// SAE J429 table 1, 1/4 to 1 1/2 in.
    ///
    /// # Errors
    /// A diameter outside 1/4 to 1 1/2 in.
    pub fn strength(self, diameter: Millimetres) -> Result<Strength, OutOfRange> {
        let inches = within(Asked::Diameter, diameter.0 / INCH, 0.25 - 1e-9, 1.5 + 1e-9)?;
        let (proof, yield_at, tensile) = match self {
            SaeGrade::G1 => (33.0, 36.0, 60.0),
            SaeGrade::G2 if inches <= 0.75 => (55.0, 57.0, 74.0),
            SaeGrade::G2 => (33.0, 36.0, 60.0),
            SaeGrade::G5 if inches <= 1.0 => (85.0, 92.0, 120.0),
            SaeGrade::G5 => (74.0, 81.0, 105.0),
            SaeGrade::G8 => (120.0, 130.0, 150.0),
        };
        Ok(Strength {
            proof: Some(Megapascals::of_ksi(proof)),
            yield_at: Megapascals::of_ksi(yield_at),
            tensile: Megapascals::of_ksi(tensile),
        })
    }
}

/// A mark that is of no standard known here, or that does not belong on such a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnknownMark;

impl Marking {
    /// Reads a bolt's, screw's or stud's mark: `8.8`, `A2-70`, and `5` on an inch thread.
    ///
    /// # Errors
    /// A mark that no bolt of this system carries.
    pub fn of_bolt(mark: &str, system: System) -> Result<Self, UnknownMark> {
        if let Some((class, _)) = PropertyClass::ALL.iter().find(|(_, text)| *text == mark) {
            return Ok(Marking::Class(*class));
        }
        if let Some(class) = stainless(mark) {
            return Ok(Marking::Stainless(class));
        }
        match (system, mark) {
            (System::Unified, "1") => Ok(Marking::Grade(SaeGrade::G1)),
            (System::Unified, "2") => Ok(Marking::Grade(SaeGrade::G2)),
            (System::Unified, "5") => Ok(Marking::Grade(SaeGrade::G5)),
            (System::Unified, "8") => Ok(Marking::Grade(SaeGrade::G8)),
            _ => Err(UnknownMark),
        }
    }

    /// Reads a nut's mark: `8`, `10`, `A2-70`; on an inch thread a grade.
    ///
    /// # Errors
    /// A mark that no nut of this system carries.
    pub fn of_nut(mark: &str, system: System) -> Result<Self, UnknownMark> {
        if system == System::Unified {
            return Self::of_bolt(mark, system);
        }
        let class = match mark {
            "4" => PropertyClass::C4_8,
            "5" => PropertyClass::C5_8,
            "6" => PropertyClass::C6_8,
            "8" => PropertyClass::C8_8,
            "9" => PropertyClass::C9_8,
            "10" => PropertyClass::C10_9,
            "12" => PropertyClass::C12_9,
            // The class of the stud that the nut goes on is as good a ground.
            _ => return Self::of_bolt(mark, system),
        };
        Ok(Marking::NutFor(class))
    }

    /// Stresses at this size.
    ///
    /// # Errors
    /// A size for which the standard states none.
    pub fn strength(self, diameter: Millimetres) -> Result<Strength, OutOfRange> {
        match self {
            Marking::Class(class) | Marking::NutFor(class) => class.strength(diameter),
            Marking::Stainless(class) => class.strength(diameter),
            Marking::Grade(grade) => grade.strength(diameter),
        }
    }

    /// The standard that states its strengths.
    #[must_use]
    pub fn source(self) -> Citation {
        match self {
            Marking::Class(_) => ISO_898_1,
            Marking::NutFor(_) => ISO_898_2,
            Marking::Stainless(_) => ISO_3506_1,
            Marking::Grade(_) => SAE_J429,
        }
    }
}

fn stainless(mark: &str) -> Option<StainlessClass> {
    let (steel, class) = mark.split_once('-')?;
    if !matches!(steel, "A1" | "A2" | "A3" | "A4" | "A5") {
        return None;
    }
    match class {
        "50" => Some(StainlessClass::S50),
        "70" => Some(StainlessClass::S70),
        "80" => Some(StainlessClass::S80),
        _ => None,
    }
}

/// Loads at proof, yield and least tensile stress, from the area that the tables print: F = As S (ISO 898-1 tables 4 to 7, SAE J429).
/// The tables round some rows and cut others, so that they agree to one unit in the third figure.
#[must_use]
pub fn loads(thread: Thread, strength: Strength) -> Loads {
    let area = thread.tabled_stress_area().0;
    let load = |stress: Megapascals| Newtons(area * stress.0);
    Loads {
        proof: strength.proof.map(load),
        yield_at: load(strength.yield_at),
        tensile: load(strength.tensile),
    }
}
