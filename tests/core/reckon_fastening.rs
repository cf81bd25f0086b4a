//! Threads, strengths, torque, spanners, signal words and contrast against published figures, through the public interface only.
//! The source stands beside each row; "from memory" says that the figure was known and not read. Tolerances are those of the printed
//! places: the standards cut some rows and round others. Torque is in `tightening.rs`, words and colours in `signals.rs`.

mod signals;
mod tightening;

use boltfolio_core::reckon::amounts::{Asked, Megapascals, Millimetres, NewtonMetres, Newtons};
use boltfolio_core::reckon::bearing::{Bearing, Head};
use boltfolio_core::reckon::bolt_load;
use boltfolio_core::reckon::friction::Friction;
use boltfolio_core::reckon::spanner::{self, HexSeries, InchSeries, KeySeries};
use boltfolio_core::reckon::strength::{Marking, PropertyClass, SaeGrade, StainlessClass, loads};
use boltfolio_core::reckon::thread::{self, Listed, System, Thread};
use boltfolio_core::reckon::torque::{self, Screw};

#[track_caller]
pub fn agrees(row: &str, got: f64, printed: f64, tolerance: f64) {
    assert!(
        (got - printed).abs() <= tolerance * (1.0 + 1e-9),
        "{row}: {got} instead of {printed} +- {tolerance}"
    );
}

pub fn metric(diameter: f64, pitch: f64) -> Thread {
    Thread::metric(Millimetres(diameter), Millimetres(pitch)).expect("a thread")
}

pub fn inch(diameter: f64, per_inch: u32) -> Thread {
    Thread::unified(diameter, per_inch).expect("a thread")
}

pub const CLASSES: [PropertyClass; 3] = [PropertyClass::C8_8, PropertyClass::C10_9, PropertyClass::C12_9];

/// ISO 898-1:2013, tables 4 to 7: As,nom; Fm,min and Fp of 8.8, 10.9, 12.9, each with the unit of its third figure.
#[test]
fn stress_areas_and_loads_of_coarse_threads() {
    type Row = (f64, f64, f64, [f64; 3], [f64; 3], [f64; 7]);
    let rows: &[Row] = &[
        // FS-C5
        (
            5.0,
            0.8,
            14.2,
            [11350.0, 14800.0, 17300.0],
            [8230.0, 11800.0, 13800.0],
            [0.05, 100.0, 100.0, 100.0, 10.0, 100.0, 100.0],
        ),
        // FS-C6
        (
            6.0,
            1.0,
            20.1,
            [16100.0, 20900.0, 24500.0],
            [11600.0, 16700.0, 19500.0],
            [0.05, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0],
        ),
        // FS-C10
        (
            10.0,
            1.5,
            58.0,
            [46400.0, 60300.0, 70800.0],
            [33700.0, 48100.0, 56300.0],
            [0.05, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0],
        ),
        // FS-C12
        (
            12.0,
            1.75,
            84.3,
            [67400.0, 87700.0, 103_000.0],
            [48900.0, 70000.0, 81800.0],
            [0.05, 100.0, 100.0, 1001.0, 100.0, 100.0, 100.0],
        ),
        // FS-C16
        (
            16.0,
            2.0,
            157.0,
            [125_000.0, 163_000.0, 192_000.0],
            [91000.0, 130_000.0, 152_000.0],
            [0.5, 1001.0, 1001.0, 1001.0, 100.0, 1001.0, 1001.0],
        ),
        // FS-C20
        (
            20.0,
            2.5,
            245.0,
            [203_000.0, 255_000.0, 299_000.0],
            [147_000.0, 203_000.0, 238_000.0],
            [0.5, 1001.0, 1001.0, 1001.0, 1001.0, 1001.0, 1001.0],
        ),
        // FS-C24
        (
            24.0,
            3.0,
            353.0,
            [293_000.0, 367_000.0, 431_000.0],
            [212_000.0, 293_000.0, 342_000.0],
            [0.5, 1001.0, 1001.0, 1001.0, 1001.0, 1001.0, 1001.0],
        ),
    ];
    for &(diameter, pitch, area, tensile, proof, tolerances) in rows {
        let thread = metric(diameter, pitch);
        assert_eq!(
            thread,
            Thread::metric_coarse(Millimetres(diameter)).expect("a coarse pitch")
        );
        let row = format!("M{diameter}");
        agrees(&row, thread.stress_area().0, area, tolerances[0]);
        agrees(&row, thread.tabled_stress_area().0, area, 1e-9);
        for (nth, class) in CLASSES.into_iter().enumerate() {
            let strength = class.strength(thread.diameter()).expect("in the table");
            let loads = loads(thread, strength);
            let row = format!("{row} {}", class.mark());
            agrees(&row, loads.tensile.0, tensile[nth], tolerances[nth + 1]);
            let of_proof = loads.proof.expect("ISO 898-1 states it");
            agrees(&row, of_proof.0, proof[nth], tolerances[nth + 4]);
        }
    }
}

/// ISO 898-1, tables 6 and 7, from memory: FS-F8x1 to FS-F22x1.5.
#[test]
fn stress_areas_of_fine_threads() {
    for (diameter, pitch, area, tolerance) in [
        (8.0, 1.0, 39.2, 0.05),
        (10.0, 1.0, 64.5, 0.05),
        (12.0, 1.25, 92.1, 0.05),
        (14.0, 1.5, 125.0, 0.5),
        (18.0, 1.5, 216.0, 0.5),
        (22.0, 1.5, 333.0, 0.5),
    ] {
        agrees(
            &format!("M{diameter}x{pitch}"),
            metric(diameter, pitch).stress_area().0,
            area,
            tolerance,
        );
    }
}

/// SAE J429 table 1; areas of ASME B1.1: FS-UN1/4-20 to FS-UN7/8-9. Loads in pounds-force, rounded to 50 or 100.
#[test]
fn inch_threads_and_grades() {
    type Row = (f64, u32, f64, [f64; 4], [f64; 5]);
    let rows: &[Row] = &[
        (
            0.25,
            20,
            0.0318,
            [2700.0, 3800.0, 3800.0, 4750.0],
            [6e-5, 50.0, 50.0, 50.0, 50.0],
        ),
        (
            0.375,
            16,
            0.0775,
            [6600.0, 9300.0, 9300.0, 11600.0],
            [6e-5, 50.0, 50.0, 50.0, 100.0],
        ),
        (
            0.625,
            11,
            0.226,
            [19200.0, 27100.0, 27100.0, 33900.0],
            [5e-4, 100.0, 100.0, 100.0, 100.0],
        ),
        (
            0.875,
            9,
            0.462,
            [39300.0, 55400.0, 55400.0, 69300.0],
            [5e-4, 100.0, 100.0, 100.0, 100.0],
        ),
    ];
    for &(diameter, per_inch, area, printed, tolerances) in rows {
        let thread = inch(diameter, per_inch);
        let row = format!("{diameter}-{per_inch}");
        agrees(&row, thread.stress_area().square_inches(), area, tolerances[0]);
        agrees(&row, thread.tabled_stress_area().square_inches(), area, 1e-9);
        let load = |grade: SaeGrade| loads(thread, grade.strength(thread.diameter()).expect("in the table"));
        let (five, eight) = (load(SaeGrade::G5), load(SaeGrade::G8));
        let got = [five.proof, Some(five.tensile), eight.proof, Some(eight.tensile)];
        for ((got, printed), tolerance) in got.into_iter().zip(printed).zip(&tolerances[1..]) {
            agrees(&row, got.expect("stated").pounds_force(), printed, *tolerance);
        }
    }
    // ASME B1.1, from memory: 3/4-16 has 0.373 in2, 1/2-13 0.1419 in2.
    agrees(
        "3/4-16",
        inch(0.75, 16).stress_area().square_inches(),
        0.373,
        5e-4,
    );
    agrees(
        "1/2-13",
        inch(0.5, 13).stress_area().square_inches(),
        0.1419,
        6e-5,
    );
}

/// ISO 898-1 designation: FS-CLS. The least values, 800 or 830, 1040, 1220 and 640 or 660, 940, 1100, from a maker's table.
#[test]
fn what_the_class_mark_says() {
    for (class, tensile, yield_at, least) in [
        (PropertyClass::C8_8, 800.0, 640.0, [800.0, 640.0]),
        (PropertyClass::C10_9, 1000.0, 900.0, [1040.0, 940.0]),
        (PropertyClass::C12_9, 1200.0, 1080.0, [1220.0, 1100.0]),
    ] {
        assert_eq!(
            class.nominal(),
            (Megapascals(tensile), Megapascals(yield_at)),
            "{}",
            class.mark()
        );
        let strength = class.strength(Millimetres(10.0)).expect("in the table");
        assert_eq!([strength.tensile.0, strength.yield_at.0], least);
    }
    let thick = PropertyClass::C8_8
        .strength(Millimetres(20.0))
        .expect("in the table");
    assert_eq!([thick.tensile.0, thick.yield_at.0], [830.0, 660.0]);
    // ISO 3506-1, from memory: A2-70 has 700 and 450 MPa, A4-80 has 800 and 600.
    let marked = |mark| {
        let marking = Marking::of_bolt(mark, System::Metric).expect(mark);
        let strength = marking.strength(Millimetres(8.0)).expect("in the table");
        [strength.tensile.0, strength.yield_at.0]
    };
    assert_eq!(
        [marked("A2-70"), marked("A4-80")],
        [[700.0, 450.0], [800.0, 600.0]]
    );
    // ISO 898-2, from memory: a nut of class 10 goes with bolts to 10.9.
    assert_eq!(
        Marking::of_nut("10", System::Metric),
        Ok(Marking::NutFor(PropertyClass::C10_9))
    );
    assert!(Marking::of_bolt("10", System::Metric).is_err());
    assert!(
        Marking::of_bolt("5", System::Metric).is_err(),
        "a grade on a metric bolt"
    );
    assert!(Marking::of_bolt("A2-75", System::Metric).is_err());
}

/// ISO 272 with ISO 4014, 4017, 4032 (FS-AF-ISO1); old DIN 931, 933, 934 (FS-AF-DIN1); ISO 4762 (FS-KEY1).
#[test]
fn spanners_and_keys() {
    for (size, across) in [
        (5.0, 8.0),
        (6.0, 10.0),
        (8.0, 13.0),
        (10.0, 16.0),
        (12.0, 18.0),
        (16.0, 24.0),
        (20.0, 30.0),
        (24.0, 36.0),
    ] {
        assert_eq!(
            HexSeries::Iso.across(Millimetres(size)),
            Some(Millimetres(across))
        );
    }
    for (size, across) in [(10.0, 17.0), (12.0, 19.0), (14.0, 22.0), (22.0, 32.0)] {
        assert_eq!(
            HexSeries::OldDin.across(Millimetres(size)),
            Some(Millimetres(across))
        );
    }
    for (size, key) in [
        (4.0, 3.0),
        (5.0, 4.0),
        (6.0, 5.0),
        (8.0, 6.0),
        (10.0, 8.0),
        (12.0, 10.0),
    ] {
        assert_eq!(KeySeries::CapScrew.key(Millimetres(size)), Some(Millimetres(key)));
    }
    // ISO 4762, from the paper: M18 and M22 share the key of the next size down.
    for (size, key) in [(16.0, 14.0), (18.0, 14.0), (20.0, 17.0), (22.0, 17.0)] {
        assert_eq!(KeySeries::CapScrew.key(Millimetres(size)), Some(Millimetres(key)));
    }
    // From memory: small Japanese heads, M8 12, M10 14, M12 17; ASME B18.2.1, 3/8 9/16, 1/2 3/4; ISO 14579, M6 T30, M10 T50;
    // ISO 10664, T30 5.6 mm, and no T35.
    for (size, across) in [(8.0, 12.0), (10.0, 14.0), (12.0, 17.0)] {
        assert_eq!(
            HexSeries::SmallJapanese.across(Millimetres(size)),
            Some(Millimetres(across))
        );
    }
    assert_eq!(InchSeries::CapScrew.across(0.375), Some(9.0 / 16.0));
    assert_eq!(InchSeries::CapScrew.across(0.5), Some(0.75));
    assert_eq!(spanner::hexalobular_of(Millimetres(6.0)), Some(30));
    assert_eq!(spanner::hexalobular_of(Millimetres(10.0)), Some(50));
    assert_eq!(spanner::hexalobular(30), Some(Millimetres(5.6)));
    assert_eq!(spanner::hexalobular(35), None);
}

/// The two series agree everywhere but at four sizes, and there neither answers with the other's size.
#[test]
fn iso_and_old_din_do_not_mix() {
    let differ = [10.0, 12.0, 14.0, 22.0];
    for size in [
        3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0, 27.0, 30.0, 33.0, 36.0,
        39.0,
    ] {
        let iso = HexSeries::Iso.across(Millimetres(size)).expect("a size");
        let old = HexSeries::OldDin.across(Millimetres(size)).expect("a size");
        assert_eq!(iso != old, differ.contains(&size), "M{size}");
    }
    for size in differ {
        let iso = HexSeries::Iso.across(Millimetres(size)).expect("a size");
        let old = HexSeries::OldDin.across(Millimetres(size)).expect("a size");
        assert!(
            !spanner::goes_on(iso, old) && !spanner::goes_on(old, iso),
            "M{size}"
        );
    }
    assert!(
        spanner::goes_on(Millimetres(13.0), spanner::inch_size(0.5)),
        "13 mm goes on 1/2 in"
    );
    assert!(
        !spanner::goes_on(Millimetres(14.0), spanner::inch_size(9.0 / 16.0)),
        "14 mm does not go on 9/16 in"
    );
}

/// ISO 261 and ASME B1.1, from memory: which threads there are.
#[test]
fn threads_that_exist() {
    let listed = |d, p| thread::listed_metric(Millimetres(d), Millimetres(p));
    for (d, p) in [
        (3.0, 0.5),
        (5.0, 0.8),
        (8.0, 1.25),
        (12.0, 1.75),
        (24.0, 3.0),
        (30.0, 3.5),
    ] {
        assert_eq!(listed(d, p), Listed::Coarse, "M{d}x{p}");
    }
    for (d, p) in [
        (8.0, 1.0),
        (10.0, 1.25),
        (12.0, 1.5),
        (14.0, 1.5),
        (22.0, 1.5),
        (30.0, 2.0),
    ] {
        assert_eq!(listed(d, p), Listed::Fine, "M{d}x{p}");
    }
    for (d, p) in [(10.0, 1.75), (8.0, 1.5), (12.0, 2.0), (6.0, 1.25), (24.0, 2.5)] {
        assert_eq!(listed(d, p), Listed::OtherPitch, "M{d}x{p}");
    }
    for (d, p) in [(13.0, 1.5), (19.0, 2.0), (2.7, 0.45), (1000.0, 3.0)] {
        assert_eq!(listed(d, p), Listed::NoSuchSize, "M{d}x{p}");
    }
    for (d, n, what) in [
        (0.19, 24, Listed::Coarse),
        (0.19, 32, Listed::Fine),
        (0.25, 20, Listed::Coarse),
        (0.25, 28, Listed::Fine),
        (0.375, 16, Listed::Coarse),
        (0.4375, 20, Listed::Fine),
        (0.5625, 18, Listed::Fine),
        (1.0, 8, Listed::Coarse),
        (1.0, 12, Listed::Fine),
        (1.0, 14, Listed::Special),
        (0.375, 22, Listed::OtherPitch),
        (0.4, 16, Listed::NoSuchSize),
    ] {
        assert_eq!(thread::listed_unified(d, n), what, "{d}-{n}");
    }
    assert_eq!(thread::coarse_pitch(Millimetres(10.0)), Some(Millimetres(1.5)));
    assert_eq!(thread::threads_an_inch(0.5), (Some(13), Some(20)));
}

/// What lies outside a formula's range is an error that names it, never a figure.
#[test]
fn out_of_range_is_an_error() {
    let asked = |error: boltfolio_core::reckon::amounts::OutOfRange| error.asked;
    let thread = metric(10.0, 1.5);
    let flat = Bearing::usual(thread, Head::Hexagon);
    for pitch in [0.0, -1.0, 4.0, f64::NAN, f64::INFINITY] {
        let wrong = Thread::metric(Millimetres(10.0), Millimetres(pitch));
        assert_eq!(wrong.map_err(asked), Err(Asked::Pitch), "{pitch}");
    }
    assert!(Thread::metric(Millimetres(f64::NAN), Millimetres(1.0)).is_err());
    assert!(Thread::metric_coarse(Millimetres(13.0)).is_err());
    assert!(Thread::unified(0.25, 0).is_err() && Thread::unified(0.25, 5).is_err());
    for friction in [-0.1, 0.9, f64::NAN] {
        let wrong = Screw::new(thread, flat, friction, 0.12);
        assert_eq!(wrong.map_err(asked), Err(Asked::Friction), "{friction}");
    }
    assert!(Friction::new(0.14, 0.10).is_err() && Friction::new(0.01, 0.1).is_err());
    let screw = Screw::new(thread, flat, 0.12, 0.12).expect("a screw");
    assert!(screw.torque(Newtons(-1.0)).is_err());
    assert!(screw.preload(NewtonMetres(f64::NAN)).is_err());
    assert!(screw.preload_at(1.2, Megapascals(640.0)).is_err());
    assert!(screw.share_of_yield(Newtons(1.0), Megapascals(0.0)).is_err());
    assert!(PropertyClass::C8_8.strength(Millimetres(42.0)).is_err());
    assert!(PropertyClass::C9_8.strength(Millimetres(20.0)).is_err());
    assert!(StainlessClass::S80.strength(Millimetres(27.0)).is_err());
    assert!(SaeGrade::G5.strength(spanner::inch_size(0.19)).is_err());
    assert!(SaeGrade::G8.strength(spanner::inch_size(0.25)).is_ok());
    assert!(torque::least_preload(Newtons(1.0), 0.5).is_err());
    assert!(bolt_load::share_of_pull(0.0, 1.0).is_err());
    assert!(flat.on_cone(10.0).is_err());
    assert!(Bearing::flat(Millimetres(9.0), Millimetres(11.0)).is_err());
}
