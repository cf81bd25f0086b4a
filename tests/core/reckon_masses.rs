//! Masses and their uncertainties against published values, each with its source; sums against a Monte Carlo run with a fixed
//! seed. Values marked "from memory" were known rather than read.

use boltfolio_core::base::quantity::{Density, Mass, Number};
use boltfolio_core::base::unit::find;
use boltfolio_core::reckon::mass::{MassEstimate, Origin, Total};
use boltfolio_core::reckon::scales::{
    Class, Scale, When, acceptance_tolerance, maintenance_tolerance, permissible_error,
};
use boltfolio_core::reckon::unfit::Unfit;
use boltfolio_core::reckon::{closing, fluids, normal, uncertainty};
use proptest::prelude::{ProptestConfig, Strategy, prop_assert, proptest};

fn near(is: f64, should: f64, give: f64) {
    assert!((is - should).abs() <= give, "{is} is not {should} within {give}");
}

fn ok<T>(result: Result<T, Unfit>) -> T {
    result.expect("fit values")
}

fn quantity(number: &str, unit: &str) -> (Number, boltfolio_core::base::unit::UnitId) {
    (
        Number::read(number).expect("a number"),
        find(unit).expect("a unit"),
    )
}

#[test]
fn steps_and_half_widths() {
    // JCGM 100:2008, F.2.2.1: a digital step of 1 has u = 0.29.
    near(ok(uncertainty::division(1.0)), 0.29, 0.005);
    // JCGM 100:2008, 4.3.7, example 1 (from memory): within 0.40e-6 of 16.52e-6.
    near(ok(uncertainty::rectangular(0.40)), 0.23, 0.005);
    // JCGM 100:2008, 4.3.3 (from memory): 240 ug at three standard deviations.
    near(ok(uncertainty::from_expanded(240.0, 3.0)), 80.0, 0.5);
    near(ok(uncertainty::from_expanded(240.0, 3.0)) / 1.0, 80.0, 0.5);
    // JCGM 100:2008, 4.3.9: triangular, a/sqrt(6).
    near(ok(uncertainty::triangular(1.0)), 0.408_248, 1e-6);
}

#[test]
fn a_ten_kilogram_weight() {
    // EA-4/02, example S2: U = 45 mg at k = 2; drift 15, eccentricity 10 and buoyancy 10 mg rectangular; repeatability 25 mg/sqrt(3).
    let repeat = 14.2;
    let parts = [
        ok(uncertainty::from_expanded(45.0, 2.0)),
        ok(uncertainty::rectangular(15.0)),
        ok(uncertainty::rectangular(10.0)),
        ok(uncertainty::rectangular(10.0)),
        repeat,
    ];
    near(parts[0], 22.5, 0.05);
    near(parts[1], 8.66, 0.005);
    near(parts[2], 5.77, 0.005);
    near(parts[3], 5.77, 0.005);
    let u = ok(uncertainty::combined(&parts));
    near(u, 29.1, 0.05);
    near(ok(uncertainty::expanded(u, 2.0)), 58.0, 0.5);
    // The same example's budget of variances, in per cent.
    let shares = ok(uncertainty::variance_shares(&parts));
    let printed = [59.6, 8.8, 3.9, 3.9, 23.7];
    for (share, printed) in shares.iter().zip(printed) {
        near(share * 100.0, printed, 0.1);
    }
}

#[test]
fn gauge_and_string() {
    // JCGM 100:2008, H.1: end gauge, components in nm.
    let parts = [25.0, 5.8, 3.9, 6.7, 2.9, 16.6];
    near(ok(uncertainty::combined(&parts)), 32.0, 0.5);
    // The same, H.1.6 (from memory): degrees of freedom 18, 24, 5, 8, 2 (judged to 50 %) and 2 give 16.
    let freedom = [
        (25.0, 18.0),
        (5.8, 24.0),
        (3.9, 5.0),
        (6.7, 8.0),
        (2.9, 50.0),
        (16.6, 2.0),
    ];
    near(ok(uncertainty::effective_freedom(&freedom)), 16.0, 1.0);
    // NPL Good Practice Guide 11, chapter 9 (from memory): a string, in mm. The guide rounds each part to one place before it combines
    // them; unrounded they come to 6.34, which it would print as 6.3.
    let string = [
        ok(uncertainty::from_expanded(5.0, 2.0)),
        ok(uncertainty::rectangular(0.5)),
        ok(uncertainty::rectangular(10.0)),
        0.7,
    ]
    .map(|part| (part * 10.0).round() / 10.0);
    let u = ok(uncertainty::combined(&string));
    near(u, 6.4, 0.05);
    near(ok(uncertainty::expanded(u, 2.0)), 12.8, 0.1);
}

#[test]
fn coverage_factors() {
    // JCGM 100:2008, table G.2 (from memory): t for 95.45 % and 95 %.
    for (freedom, at_9545, at_95) in [
        (1.0, 13.97, 12.71),
        (2.0, 4.53, 4.30),
        (3.0, 3.31, 3.18),
        (4.0, 2.87, 2.78),
        (5.0, 2.65, 2.57),
        (10.0, 2.28, 2.23),
        (20.0, 2.13, 2.09),
        (50.0, 2.05, 2.01),
        (f64::INFINITY, 2.00, 1.96),
    ] {
        near(ok(normal::coverage_factor(0.9545, freedom)), at_9545, 0.0051);
        near(ok(normal::coverage_factor(0.95, freedom)), at_95, 0.0051);
    }
    // JCGM 100:2008, G.4.2: judged to a quarter, eight degrees.
    near(ok(uncertainty::freedom_of_judgement(0.25)), 8.0, 1e-12);
    // H.1.6 (from memory): t for 99 % and 16 degrees is 2.92.
    near(ok(normal::coverage_factor(0.99, 16.0)), 2.92, 0.005);
    // One degree is Cauchy's distribution, t = tan(pi p / 2) (any text): far out too.
    for chance in [0.9, 0.999, 0.999_999_9] {
        let exact = (std::f64::consts::FRAC_PI_2 * chance).tan();
        near(ok(normal::coverage_factor(chance, 1.0)) / exact, 1.0, 1e-8);
    }
    assert!(normal::coverage_factor(1.0 - 1e-12, 1.0).is_err());
    assert!(normal::student_between(1.0, 0).is_nan() && normal::student_between(1.0, 1) > 0.0);
}

#[test]
fn the_normal_distribution() {
    // Abramowitz and Stegun, table 26.1.
    for (z, below) in [
        (0.0, 0.5),
        (1.0, 0.841_344_746_068_543),
        (2.0, 0.977_249_868_051_821),
        (3.0, 0.998_650_101_968_370),
        (4.0, 0.999_968_328_758_167),
    ] {
        near(normal::below(z), below, 1e-13);
        near(normal::below(-z), 1.0 - below, 1e-13);
    }
    // Table 26.2: the tail at 10 is 7.6199e-24.
    near(normal::below(-10.0) / 7.619_853e-24, 1.0, 1e-5);
    near(ok(normal::quantile(0.975)), 1.959_963_984_540, 1e-9);
}

#[test]
fn class_limits() {
    // OIML R 76-1:2006, table 6, class III, in intervals; twice that in service (3.5.2, from memory).
    for (load, error) in [
        (500.0, 0.5),
        (501.0, 1.0),
        (2000.0, 1.0),
        (2001.0, 1.5),
        (10_000.0, 1.5),
    ] {
        near(
            ok(permissible_error(Class::III, load, When::Verification)),
            error,
            1e-9,
        );
        near(
            ok(permissible_error(Class::III, load, When::InService)),
            2.0 * error,
            1e-9,
        );
    }
    assert!(permissible_error(Class::III, 10_001.0, When::Verification).is_err());
    // NIST Handbook 44, 2.20, T.N.3, table 6, class III, in divisions.
    for (load, maintenance) in [(500.0, 1.0), (1000.0, 2.0), (3000.0, 3.0), (5000.0, 5.0)] {
        near(ok(maintenance_tolerance(Class::III, load)), maintenance, 1e-9);
        near(
            ok(acceptance_tolerance(Class::III, load)),
            maintenance / 2.0,
            1e-9,
        );
    }
    assert_eq!(Class::read("III"), Some(Class::III));
    assert_eq!(Class::read("V"), None);
}

#[test]
fn a_scale_is_never_as_good_as_its_division() {
    let pads = Scale {
        division: 0.5,
        repeatability: None,
        class: None,
    };
    // 246.5 kg are 493 intervals of 0.5 kg: 0.5 e, twice that in service, rectangular.
    let limit = 0.5 / 3f64.sqrt();
    let read = ok(pads.reading(246.5));
    near(read.own, limit.hypot(0.5 / 12f64.sqrt()), 1e-12);
    near(read.shared, limit, 1e-12);
    let stated = Scale {
        repeatability: Some(0.2),
        ..pads
    };
    near(
        ok(stated.reading(246.5)).own,
        0.2f64.hypot(0.5 / 12f64.sqrt()),
        1e-12,
    );
    assert!(
        Scale {
            division: 0.0,
            ..pads
        }
        .reading(1.0)
        .is_err()
    );
    assert!(pads.reading(f64::NAN).is_err());
}

#[test]
fn the_closing_test() {
    // NIST Dataplot, EN SCORE after ISO 13528, data GEAR.DAT (partly from memory): four laboratories against 1.
    for (x, score) in [(1.006, 0.393), (0.996, -0.262), (0.998, -0.131), (1.000, 0.0)] {
        near(
            ok(closing::normalised_error(x, 0.00869, 1.0, 0.01256)),
            score,
            0.0006,
        );
    }
    // ISO/IEC 17043, B.4.1.1: satisfactory up to 1.
    assert!(closing::closes(1.0) && closing::closes(-1.0) && !closing::closes(1.001));
    assert!(closing::normalised_error(1.0, 0.0, 1.0, 0.0).is_err());
}

/// What is said of the shared part: 49 kg less 5 kg on one hanging scale of 0.1 kg, both in one step of the class (OIML R 76-1, table 6),
/// lose it wholly; 60 kg are in the next step and keep the difference of the two limits.
#[test]
fn a_difference_within_a_step_of_the_class() {
    let hook = Scale {
        division: 0.1,
        repeatability: Some(0.1),
        class: Some(Class::III),
    };
    let read = |kg| ok(MassEstimate::read(kg, ok(hook.reading(kg)), 0));
    let own = ok(hook.reading(5.0)).own;
    near(read(49.0).minus(&read(5.0)).u(), own * 2f64.sqrt(), 1e-12);
    let step = (0.2 - 0.1) / 3f64.sqrt();
    near(
        read(60.0).minus(&read(5.0)).u(),
        (2.0 * own * own + step * step).sqrt(),
        1e-12,
    );
}

#[test]
fn one_scale_for_both_cancels() {
    let pads = Scale {
        division: 0.5,
        repeatability: Some(0.5),
        class: Some(Class::III),
    };
    let error = ok(pads.reading(889.0));
    let before = ok(MassEstimate::read(889.0, error, 0));
    let after = ok(MassEstimate::read(834.0, error, 0));
    let saved = before.minus(&after);
    near(saved.kg, 55.0, 1e-9);
    near(saved.u(), error.own * 2f64.sqrt(), 1e-12);
    // Another scale's factor is another's.
    let other = ok(MassEstimate::read(834.0, error, 1));
    near(
        before.minus(&other).u(),
        (2.0 * error.own.powi(2) + 2.0 * error.shared.powi(2)).sqrt(),
        1e-12,
    );
    // Ten parts on one scale: what is shared grows with the count, what is own with its root (JCGM 100, 5.2.2, note 1).
    let parts: Vec<MassEstimate> = (0..10).map(|_| ok(MassEstimate::read(10.0, error, 0))).collect();
    let sum = MassEstimate::sum(&parts);
    near(
        sum.u(),
        (10.0 * error.own.powi(2) + 100.0 * error.shared.powi(2)).sqrt(),
        1e-9,
    );
    near(
        ok(uncertainty::with_shared(&[error.own; 10], &[error.shared; 10])),
        sum.u(),
        1e-9,
    );
    near(ok(uncertainty::correlated(&[0.1; 9], 1.0)), 0.9, 1e-12);
    near(ok(uncertainty::correlated(&[0.1; 9], 0.0)), 0.3, 1e-12);
}

#[test]
fn unknown_is_never_nothing() {
    let one = ok(MassEstimate::stated(5.0, 0.1, Origin::Weighed));
    let total = Total::of([Some(&one), None, Some(&one)]);
    assert_eq!(total.unknown, 1);
    assert!(total.whole().is_none());
    near(total.known.kg, 10.0, 1e-12);
    assert!(Total::of([Some(&one)]).whole().is_some());
    assert_eq!(
        one.plus(&ok(MassEstimate::unstated(3.0, 1.0, Origin::Estimated)))
            .origin,
        Origin::Estimated
    );
}

#[test]
fn the_chance_of_a_goal() {
    let saved = ok(MassEstimate::stated(56.0, 1.0, Origin::Weighed));
    // Abramowitz and Stegun, table 26.1, at 1 and at -2.
    near(saved.chance_of_at_least(55.0), 0.841_344_746, 1e-9);
    near(saved.chance_of_at_least(58.0), 0.022_750_132, 1e-9);
    near(saved.chance_of_at_most(55.0), 1.0 - 0.841_344_746, 1e-9);
    let exact = ok(MassEstimate::stated(55.0, 0.0, Origin::Weighed));
    near(exact.chance_of_at_least(55.0), 1.0, 0.0);
    near(exact.chance_of_at_least(55.1), 0.0, 0.0);
}

#[test]
fn digits_that_an_uncertainty_deserves() {
    // JCGM 100:2008, 7.2.6: at most two digits.
    for (u, decimals) in [
        (0.35, 1),
        (0.14, 2),
        (0.0951, 2),
        (3.1, 0),
        (12.0, 0),
        (48.0, -1),
        (0.0299, 2),
    ] {
        assert_eq!(uncertainty::decimals(u), Some(decimals), "{u}");
    }
    assert_eq!(uncertainty::decimals(0.0), None);
}

#[test]
fn fluids_by_volume() {
    // EN 590 and EN 228 (the second from memory), kg/m3 at 15 degrees.
    near(fluids::DIESEL.least * 1000.0, 820.0, 1e-9);
    near(fluids::DIESEL.most * 1000.0, 845.0, 1e-9);
    near(fluids::PETROL.least * 1000.0, 720.0, 1e-9);
    near(fluids::PETROL.most * 1000.0, 775.0, 1e-9);
    near(ok(fluids::mass(50.0, fluids::DIESEL.least)), 41.0, 1e-9);
    near(ok(fluids::mass(50.0, fluids::DIESEL.most)), 42.25, 1e-9);
    // API formula: 35 degrees are 0.85.
    near(ok(fluids::specific_gravity(35.0)), 0.85, 0.0005);
    near(
        ok(fluids::api_gravity(ok(fluids::specific_gravity(35.0)))),
        35.0,
        1e-9,
    );
    // FAA-H-8083-1 (from memory): avgas 6, oil 7.5, water 8.35 lb a US gallon.
    for (pounds, density, give) in [
        ("6", 0.719, 0.0005),
        ("7.5", 0.899, 0.0005),
        ("8.35", 1.0005, 0.0006),
    ] {
        let (number, unit) = quantity(pounds, "lb/US gal");
        near(
            Density::new(number, unit).expect("a density").base(),
            density,
            give,
        );
    }
    assert!(fluids::mass(-1.0, 0.8).is_err() && fluids::mass(1.0, 0.0).is_err());
    near(ok(fluids::fuel_density(0.75, 25.0)), 0.743, 1e-9);
}

/// A small generator: SplitMix64 (Steele, Lea, Flood 2014), and sums of it for normal values.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Within one of nothing.
    fn even(&mut self) -> f64 {
        2.0 * self.next() - 1.0
    }

    /// Box and Muller.
    fn normal(&mut self) -> f64 {
        let (a, b) = (1.0 - self.next(), self.next());
        (-2.0 * a.ln()).sqrt() * (2.0 * std::f64::consts::PI * b).cos()
    }
}

#[test]
fn a_list_against_monte_carlo() {
    // Eight parts on a hook that is off by a factor, two on a counter, one estimated: what the sum scatters by.
    let hook = Scale {
        division: 0.1,
        repeatability: Some(0.1),
        class: Some(Class::III),
    };
    let counter = Scale {
        division: 0.005,
        repeatability: Some(0.005),
        class: Some(Class::III),
    };
    let hooked = [31.5, 14.6, 6.8, 30.8, 3.4, 11.2, 7.6, 9.8];
    let counted = [6.14, 1.29];
    let guess = 5.0;
    let mut all: Vec<MassEstimate> = Vec::new();
    for kg in hooked {
        all.push(ok(MassEstimate::read(kg, ok(hook.reading(kg)), 0)));
    }
    for kg in counted {
        all.push(ok(MassEstimate::read(kg, ok(counter.reading(kg)), 1)));
    }
    all.push(ok(MassEstimate::unstated(guess, 1.0, Origin::Estimated)));
    let u = MassEstimate::sum(&all).u();

    let mut chance = Chance(20_260_314);
    let runs = 200_000;
    let (mut sum, mut square) = (0.0, 0.0);
    for _ in 0..runs {
        let mut off = 0.0;
        let sides = [(hook, &hooked[..]), (counter, &counted[..])];
        for (scale, readings) in sides {
            let factor = chance.even();
            for &kg in readings {
                off += factor * ok(scale.limit(kg));
                off += chance.normal() * scale.repeatability.expect("stated");
                off += chance.even() * scale.division / 2.0;
            }
        }
        off += chance.even() * guess * 0.2;
        sum += off;
        square += off * off;
    }
    let n = f64::from(runs);
    let found = (square / n - (sum / n).powi(2)).sqrt();
    assert!((u / found - 1.0).abs() < 0.02, "{u} against {found}");
}

fn kilograms() -> impl Strategy<Value = Vec<(f64, f64, usize)>> {
    proptest::collection::vec((0.1f64..200.0, 0.001f64..2.0, 0usize..3), 1..12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn the_order_of_parts_is_irrelevant(parts in kilograms()) {
        let read = |(kg, u, scale): &(f64, f64, usize)| {
            let error = boltfolio_core::reckon::scales::ReadingError { own: *u, shared: *u / 2.0 };
            ok(MassEstimate::read(*kg, error, *scale))
        };
        let there: Vec<MassEstimate> = parts.iter().map(read).collect();
        let back: Vec<MassEstimate> = parts.iter().rev().map(read).collect();
        let (one, other) = (MassEstimate::sum(&there), MassEstimate::sum(&back));
        prop_assert!((one.kg - other.kg).abs() < 1e-9 && (one.u() - other.u()).abs() < 1e-9);
        // A sum less itself leaves nothing of what is shared.
        prop_assert!(one.minus(&other).shared.iter().all(|(_, part)| part.abs() < 1e-9));
    }

    #[test]
    fn halving_a_division_halves_its_u(d in 1e-6f64..1e3) {
        let (whole, half) = (ok(uncertainty::division(d)), ok(uncertainty::division(d / 2.0)));
        prop_assert!((whole - 2.0 * half).abs() <= 1e-12 * whole);
    }

    #[test]
    fn pounds_and_kilograms_agree(mantissa in 1i64..2_000_000) {
        let number = Number { mantissa, decimals: 2, denominator: 1 };
        let pounds = Mass::new(number, find("lb").expect("a unit")).expect("a mass").base();
        let there = ok(MassEstimate::stated(pounds, 0.1, Origin::Quoted));
        prop_assert!((there.kg / 0.453_592_37 - number.value()).abs() <= 1e-9 * number.value());
    }

    #[test]
    fn a_chance_is_a_chance(kg in -1e3f64..1e3, u in 0.0f64..1e2, goal in -1e3f64..1e3) {
        let estimate = ok(MassEstimate::stated(kg, u, Origin::Quoted));
        let (least, most) = (estimate.chance_of_at_least(goal), estimate.chance_of_at_most(goal));
        prop_assert!((0.0..=1.0).contains(&least) && (0.0..=1.0).contains(&most));
        prop_assert!(u == 0.0 || (least + most - 1.0).abs() < 1e-12);
    }
}
