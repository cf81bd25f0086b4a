//! The ring on which a head or nut turns: from its outer diameter to the edge of the hole, and on a cone. Knows sizes, no torque.

use super::amounts::{Asked, Millimetres, OutOfRange, within};
use super::thread::{System, Thread};
use crate::base::citation::Citation;

/// Least bearing diameter of a hexagon head. M5 to M24 reproduce the tables of VDI 2230; the rest from memory.
pub const ISO_4014: Citation = Citation {
    work: "ISO 4014, hexagon head bolts, product grades A and B",
    place: "table 1, dw",
};
/// Least bearing diameter of a socket head cap screw. From memory. M18, M22 and M27 are in DIN 912 alone; M3.5 is in neither: common
/// practice, no source.
pub const ISO_4762: Citation = Citation {
    work: "ISO 4762, and DIN 912 for M18, M22 and M27: hexagon socket head cap screws",
    place: "table 1, dw",
};
/// Clearance holes, medium series. M5 to M24 reproduce the tables of VDI 2230; the rest from memory.
pub const ISO_273: Citation = Citation {
    work: "ISO 273, clearance holes for bolts and screws",
    place: "medium series",
};

/// Kinds of head by what they bear on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Head {
    /// Hexagon head or nut.
    Hexagon,
    /// Cylinder head with a socket.
    Cylinder,
}

/// A bearing ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    outer: f64,
    hole: f64,
    /// Sine of half the angle of a conical seat; 1 where it is flat.
    wedge: f64,
}

/// Size, dw of ISO 4014, dw of ISO 4762 or DIN 912, dh of ISO 273 medium.
type Row = (f64, f64, f64, f64);
const ROWS: &[Row] = &[
    (3.0, 4.57, 5.07, 3.4),
    (3.5, 5.07, 5.57, 3.9),
    (4.0, 5.88, 6.53, 4.5),
    (5.0, 6.88, 8.03, 5.5),
    (6.0, 8.88, 9.38, 6.6),
    (8.0, 11.63, 12.33, 9.0),
    (10.0, 14.63, 15.33, 11.0),
    (12.0, 16.63, 17.23, 13.5),
    (14.0, 19.64, 20.17, 15.5),
    (16.0, 22.49, 23.17, 17.5),
    (18.0, 25.34, 25.87, 20.0),
    (20.0, 28.19, 28.87, 22.0),
    (22.0, 31.71, 31.81, 24.0),
    (24.0, 33.61, 34.81, 26.0),
    (27.0, 38.0, 38.61, 30.0),
    (30.0, 42.75, 43.61, 33.0),
];

impl Bearing {
    /// A flat ring from the edge of the hole to the outer diameter of the face.
    ///
    /// # Errors
    /// An outer diameter that is not wider than the hole, or over 200 mm.
    pub fn flat(outer: Millimetres, hole: Millimetres) -> Result<Self, OutOfRange> {
        let hole = within(Asked::Bearing, hole.0, 0.5, 200.0)?;
        let outer = within(Asked::Bearing, outer.0, hole + 1e-6, 200.0)?;
        Ok(Self {
            outer,
            hole,
            wedge: 1.0,
        })
    }

    /// The usual ring of a thread: ISO 4014 or ISO 4762 on a hole of ISO 273 medium where the size is listed. Between and outside
    /// the rows, and for inch threads, a ring from 1.1 d to 1.45 d. Listed hexagon heads have that outer diameter within a tenth, socket
    /// heads from M6 on; smaller socket heads are wider: 1.69 d at M3, 1.61 d at M5. A flange head bears further out than any of them.
    #[must_use]
    pub fn usual(thread: Thread, head: Head) -> Self {
        let d = thread.diameter().0;
        let metric = thread.system() == System::Metric;
        let row = ROWS.iter().find(|row| metric && (row.0 - d).abs() < 1e-6);
        let (outer, hole) = match (row, head) {
            (Some(row), Head::Hexagon) => (row.1, row.3),
            (Some(row), Head::Cylinder) => (row.2, row.3),
            (None, _) => (1.45 * d, 1.1 * d),
        };
        Self {
            outer,
            hole,
            wedge: 1.0,
        }
    }

    /// The same ring on a cone of this whole angle, as wheel bolts have: the seat presses harder than the bolt pulls, by one over the
    /// sine of half the angle (statics of a wedge).
    ///
    /// # Errors
    /// An angle outside 30 to 180 degrees.
    pub fn on_cone(self, degrees: f64) -> Result<Self, OutOfRange> {
        let degrees = within(Asked::Bearing, degrees, 30.0, 180.0)?;
        Ok(Self {
            wedge: (degrees / 2.0).to_radians().sin(),
            ..self
        })
    }

    /// Mean diameter, Dkm = (dw + dh) / 2 (VDI 2230-1).
    #[must_use]
    pub fn mean_diameter(self) -> Millimetres {
        Millimetres(f64::midpoint(self.outer, self.hole))
    }

    /// Arm of the friction under the head, mm for a coefficient of 1: half of Dkm, over the sine on a cone.
    #[must_use]
    pub fn arm(self) -> Millimetres {
        Millimetres(self.mean_diameter().0 / 2.0 / self.wedge)
    }
}
