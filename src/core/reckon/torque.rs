//! Tightening: torque and preload of a screw by the full relation, its share of yield, and the short form. Knows neither classes nor
//! what a plan says.

use std::f64::consts::PI;

use super::amounts::{Asked, Megapascals, Millimetres, NewtonMetres, Newtons, OutOfRange, within};
use super::bearing::Bearing;
use super::friction::coefficient;
use super::thread::Thread;
use crate::base::citation::Citation;

/// The full relation and the preload at a share of yield. Reproduces 31 rows of the tables of 2001 and 2003 within 0.35 % in force and
/// 0.65 % or one last digit in torque; the tables are cut, not rounded.
pub const VDI_2230: Citation = Citation {
    work: "VDI 2230-1, systematic calculation of highly stressed bolted joints",
    place: "equations R13 and R13/1",
};
/// The same relation as a test evaluates it.
pub const ISO_16047: Citation = Citation {
    work: "ISO 16047, fasteners, torque and clamp force testing",
    place: "clause 8",
};
/// Short form and screw equation.
pub const SHIGLEY: Citation = Citation {
    work: "Shigley's Mechanical Engineering Design, 9th edition",
    place: "equations 8-26 and 8-27",
};

/// Half of the flank angle of 60 degrees: 1 / cos 30.
const FLANK: f64 = 1.154_700_538_379_251_5;

/// A screw that is tightened: its thread, the ring that its head turns on, friction in both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screw {
    thread: Thread,
    bearing: Bearing,
    friction_thread: f64,
    friction_head: f64,
}

impl Screw {
    /// # Errors
    /// A coefficient outside 0 to 0.5.
    pub fn new(
        thread: Thread,
        bearing: Bearing,
        friction_thread: f64,
        friction_head: f64,
    ) -> Result<Self, OutOfRange> {
        Ok(Self {
            thread,
            bearing,
            friction_thread: coefficient(friction_thread)?,
            friction_head: coefficient(friction_head)?,
        })
    }

    /// Torque in N m for each newton of preload.
    fn per_newton(self) -> f64 {
        let pitch = self.thread.pitch().0 / (2.0 * PI);
        let thread = FLANK / 2.0 * self.thread.pitch_diameter().0 * self.friction_thread;
        let head = self.bearing.arm().0 * self.friction_head;
        (pitch + thread + head) / 1000.0
    }

    /// The torque that leaves this preload: MA = F (0.159 P + 0.577 d2 muG + Dkm/2 muK) (VDI 2230-1, R13/1; ISO 16047). Holds
    /// while the bolt does not yield, for a thread of 60 degrees without a prevailing torque.
    ///
    /// # Errors
    /// A force that is negative or no number.
    pub fn torque(self, preload: Newtons) -> Result<NewtonMetres, OutOfRange> {
        let preload = within(Asked::Force, preload.0, 0.0, 1e9)?;
        Ok(NewtonMetres(preload * self.per_newton()))
    }

    /// The preload that this torque leaves: the same relation, turned round.
    ///
    /// # Errors
    /// A torque that is negative or no number.
    pub fn preload(self, torque: NewtonMetres) -> Result<Newtons, OutOfRange> {
        let torque = within(Asked::Torque, torque.0, 0.0, 1e7)?;
        Ok(Newtons(torque / self.per_newton()))
    }

    /// What pull and twist together come to, over the pull alone: sqrt(1 + 3 (3/2 d2/d0 (P/(pi d2) + 1.155 muG))^2)
    /// (VDI 2230-1, R13).
    fn with_twist(self) -> f64 {
        let pitch_diameter = self.thread.pitch_diameter().0;
        let slope = self.thread.pitch().0 / (PI * pitch_diameter) + FLANK * self.friction_thread;
        let twist = 1.5 * pitch_diameter / self.thread.stress_diameter().0 * slope;
        (1.0 + 3.0 * twist * twist).sqrt()
    }

    /// The preload at which pull and twist use this share of yield: FM = A0 nu Rp0.2 / sqrt(...) (VDI 2230-1, R13), A0 being the
    /// area of d0. Tables take nu = 0.9. Holds for bolts with a full shank, M4 to M39 in the source.
    ///
    /// # Errors
    /// A share outside 0 to 1, or a stress that is not above 0.
    pub fn preload_at(self, share: f64, yield_at: Megapascals) -> Result<Newtons, OutOfRange> {
        let share = within(Asked::Share, share, 0.0, 1.0)?;
        let yield_at = within(Asked::Stress, yield_at.0, 1.0, 5000.0)?;
        Ok(Newtons(self.thread_area() * share * yield_at / self.with_twist()))
    }

    /// The torque at which pull and twist use this share of yield.
    ///
    /// # Errors
    /// As [`Screw::preload_at`].
    pub fn torque_at(self, share: f64, yield_at: Megapascals) -> Result<NewtonMetres, OutOfRange> {
        self.torque(self.preload_at(share, yield_at)?)
    }

    /// The share of yield that pull and twist use under this preload; above 1 the bolt stretches for good, and the figure is no more
    /// than a sign of it.
    ///
    /// # Errors
    /// A force that is negative, or a stress that is not above 0.
    pub fn share_of_yield(self, preload: Newtons, yield_at: Megapascals) -> Result<f64, OutOfRange> {
        let preload = within(Asked::Force, preload.0, 0.0, 1e9)?;
        let yield_at = within(Asked::Stress, yield_at.0, 1.0, 5000.0)?;
        Ok(preload * self.with_twist() / (self.thread_area() * yield_at))
    }

    /// A0 = pi/4 d0^2, of the unrounded diameters: each system's own stress area.
    fn thread_area(self) -> f64 {
        self.thread.stress_area().0
    }
}

/// The short form T = K F d (Shigley 8-27), for want of anything better: K holds all that is not known.
///
/// # Errors
/// A nut factor outside 0.05 to 0.6, a diameter that is not above 0, a negative force.
pub fn short_torque(
    nut_factor: f64,
    preload: Newtons,
    diameter: Millimetres,
) -> Result<NewtonMetres, OutOfRange> {
    let factor = within(Asked::NutFactor, nut_factor, 0.05, 0.6)?;
    let force = within(Asked::Force, preload.0, 0.0, 1e9)?;
    let diameter = within(Asked::Diameter, diameter.0, 0.5, 300.0)?;
    Ok(NewtonMetres(factor * force * diameter / 1000.0))
}

/// The short form, turned round.
///
/// # Errors
/// As [`short_torque`].
pub fn short_preload(
    nut_factor: f64,
    torque: NewtonMetres,
    diameter: Millimetres,
) -> Result<Newtons, OutOfRange> {
    let torque = within(Asked::Torque, torque.0, 0.0, 1e7)?;
    let one = short_torque(nut_factor, Newtons(1.0), diameter)?;
    Ok(Newtons(torque / one.0))
}

/// The nut factor of a screw: K = dm/2d (tan L + f sec a)/(1 - f tan L sec a) + 0.625 fc, with a collar of 1.25 d (Shigley 8-26).
/// dm is the pitch diameter, L the lead angle, a 30 degrees.
///
/// # Errors
/// A coefficient outside 0 to 0.5.
pub fn nut_factor_of(thread: Thread, friction_thread: f64, friction_collar: f64) -> Result<f64, OutOfRange> {
    let f = coefficient(friction_thread)?;
    let fc = coefficient(friction_collar)?;
    let mean = thread.pitch_diameter().0;
    let lead = thread.pitch().0 / (PI * mean);
    let screw = (lead + f * FLANK) / (1.0 - f * lead * FLANK);
    Ok(mean / (2.0 * thread.diameter().0) * screw + 0.625 * fc)
}

/// The least preload that a way of tightening leaves, if it never leaves more than the greatest: FM,min = FM,max / alphaA
/// (VDI 2230-1, table A8: 1.4 to 1.6 torque wrench with measured friction, 1.6 to 2.0 with estimated, 2.5 to 4 impact driver).
///
/// # Errors
/// A factor outside 1 to 4, or a negative force.
pub fn least_preload(greatest: Newtons, tightening_factor: f64) -> Result<Newtons, OutOfRange> {
    let force = within(Asked::Force, greatest.0, 0.0, 1e9)?;
    let factor = within(Asked::TighteningFactor, tightening_factor, 1.0, 4.0)?;
    Ok(Newtons(force / factor))
}
