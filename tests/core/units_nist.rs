//! Conversions against NIST Special Publication 811 (2008), Appendix B.8: each figure that it prints, to half of its last
//! printed place; factors that it prints in bold are exact, and are held to a part in 10^12. Through the public interface only.

use boltfolio_core::base::citation::NIST_SP_811;
use boltfolio_core::base::quantity::{
    Measures, Number, OfForce, OfLength, OfMass, OfPower, OfPressure, OfTorque, OfVolume, Quantity,
};
use boltfolio_core::base::unit::find;

const EXACT: f64 = 1e-12;

/// The base value of one unit, asked as a plan would write it.
fn one<D: Measures>(spelling: &str) -> f64 {
    base::<D>("1", spelling)
}

fn base<D: Measures>(number: &str, spelling: &str) -> f64 {
    let number = Number::read(number).expect("a number");
    let unit = find(spelling).expect("a known unit");
    Quantity::<D>::new(number, unit)
        .expect("of this dimension")
        .base()
}

fn agrees(row: &str, got: f64, printed: f64, tolerance: f64) {
    assert!(
        (got - printed).abs() <= tolerance,
        "{row}: {got} instead of {printed} +- {tolerance}; {}, {}",
        NIST_SP_811.work,
        NIST_SP_811.place
    );
}

#[test]
fn pound_in_kilograms() {
    // SP 811 B.8: pound (avoirdupois) (lb), kilogram: 4.535 924 E-01, footnote 22: 0.453 592 37 exactly.
    agrees("UN-01", one::<OfMass>("lb"), 0.453_592_37, EXACT);
}

#[test]
fn inch_in_millimetres() {
    // SP 811 B.8: inch (in), centimetre: 2.54 E+00, exact.
    agrees("UN-02", one::<OfLength>("in"), 25.4, EXACT);
}

#[test]
fn pound_force_in_newtons() {
    // SP 811 B.8: pound-force (lbf), newton: 4.448 222 E+00.
    agrees("UN-03", one::<OfForce>("lbf"), 4.448_222, 5e-7);
}

#[test]
fn pound_force_foot_in_newton_metres() {
    // SP 811 B.8: pound-force foot (lbf.ft), newton metre: 1.355 818 E+00.
    for spelling in ["lbf ft", "lb ft", "ft lb", "ft-lbf"] {
        agrees("UN-04", one::<OfTorque>(spelling), 1.355_818, 5e-7);
    }
}

#[test]
fn psi_in_kilopascals() {
    // SP 811 B.8: psi (pound-force per square inch), kilopascal: 6.894 757 E+00.
    agrees("UN-06", one::<OfPressure>("psi"), 6.894_757, 5e-7);
}

#[test]
fn us_gallon_in_litres() {
    // SP 811 B.8: gallon (U.S.) (gal), litre: 3.785 412 E+00.
    agrees("UN-07", one::<OfVolume>("US gal"), 3.785_412, 5e-7);
}

#[test]
fn us_fluid_ounce_in_millilitres() {
    // SP 811 B.8: ounce (U.S. fluid) (fl oz), millilitre: 2.957 353 E+01. The base is the litre.
    agrees("UN-10", one::<OfVolume>("US fl oz") * 1000.0, 29.573_53, 5e-6);
}

#[test]
fn kilogram_force_in_newtons() {
    // SP 811 B.8: kilogram-force (kgf), newton: 9.806 65 E+00, exact.
    agrees("UN-12", one::<OfForce>("kgf"), 9.806_65, EXACT);
    agrees("UN-12 at a metre", one::<OfTorque>("kgf m"), 9.806_65, EXACT);
}

#[test]
fn bar_in_kilopascals() {
    // SP 811 B.8: bar (bar), kilopascal: 1.0 E+02, exact.
    agrees("UN-14", one::<OfPressure>("bar"), 100.0, EXACT);
}

#[test]
fn metric_horsepower_in_watts() {
    // SP 811 B.8: horsepower (metric), watt: 7.354 988 E+02.
    agrees("UN-17", one::<OfPower>("hp"), 735.4988, 5e-5);
}

#[test]
fn foot_in_metres() {
    // SP 811 B.8: foot (ft), metre: 3.048 E-01, exact. The base is the millimetre.
    agrees("UN-18", one::<OfLength>("ft") / 1000.0, 0.3048, EXACT);
}

#[test]
fn tons_and_hundredweights_in_kilograms() {
    // SP 811 B.8: ton, short (2000 lb): 9.071 847 E+02; ton, long (2240 lb): 1.016 047 E+03; hundredweight, short (100 lb): 4.535 924 E+01;
    // hundredweight, long (112 lb): 5.080 235 E+01; kilogram. The last three from memory.
    for (spelling, kg, last) in [
        ("short ton", 907.1847, 5e-5),
        ("long ton", 1016.047, 5e-4),
        ("short cwt", 45.359_24, 5e-6),
        ("long cwt", 50.802_35, 5e-6),
        ("t", 1000.0, EXACT),
    ] {
        agrees("UN-20", one::<OfMass>(spelling), kg, last);
    }
    // Alone they are one thing in Britain and another in America.
    for spelling in ["ton", "tons", "cwt"] {
        assert!(find(spelling).is_none(), "{spelling}");
    }
}

#[test]
fn written_figures_are_rounded_once() {
    // Fractions and decimals meet the factor as whole numbers, so that what is exact stays so.
    agrees("3/8 in", base::<OfLength>("3/8", "in"), 9.525, EXACT);
    agrees("0.1 lb", base::<OfMass>("0.1", "lb"), 0.045_359_237, 1e-17);
    agrees(
        "2000 lb",
        base::<OfMass>("2000", "lb"),
        one::<OfMass>("short ton"),
        EXACT,
    );
}

#[test]
fn a_unit_of_another_dimension_is_refused() {
    let number = Number::read("1").expect("a number");
    let pound = find("lb").expect("the pound");
    assert!(Quantity::<OfForce>::new(number, pound).is_none());
    assert!(find("stone").is_none() && find("LB").is_none());
}
