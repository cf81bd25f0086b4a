//! Slings, shared hooks and handling by people against published values, each with its source. Values marked "from memory" were known
//! rather than read.

use boltfolio_core::reckon::handling::{
    Lifter, Reach, Zone, filter, left_by_rate, left_by_twist, team, team_share,
};
use boltfolio_core::reckon::lifting_index::{Task, composite_index, lifting_index, line};
use boltfolio_core::reckon::niosh::{
    Coupling, Duration, Lift, Rounding, System, asymmetry_multiplier, distance_multiplier,
    frequency_multiplier, horizontal_from_width, horizontal_multiplier, recommended_limit, special_frequency,
    vertical_multiplier,
};
use boltfolio_core::reckon::slings;
use boltfolio_core::reckon::unfit::Unfit;
use proptest::prelude::{ProptestConfig, prop_assert, proptest};

fn near(is: f64, should: f64, give: f64) {
    assert!((is - should).abs() <= give, "{is} is not {should} within {give}");
}

fn ok<T>(result: Result<T, Unfit>) -> T {
    result.expect("fit values")
}

#[test]
fn factors_of_sloping_legs() {
    // A riggers' chart of load angle factors, degrees from the horizontal. It prints 1.104 and 1.555 at 65 and 40 degrees where 1/sin
    // rounds to 1.103 and 1.556.
    for (angle, tension, reduction) in [
        (90.0, 1.0, 1.0),
        (80.0, 1.015, 0.985),
        (75.0, 1.035, 0.966),
        (65.0, 1.104, 0.906),
        (60.0, 1.155, 0.866),
        (50.0, 1.305, 0.766),
        (40.0, 1.555, 0.643),
        (30.0, 2.0, 0.5),
    ] {
        near(ok(slings::tension_factor(angle)), tension, 0.0015);
        near(ok(slings::reduction_factor(angle)), reduction, 0.0006);
    }
    // ASME B30.9 and B30.26 as quoted: not flatter than 30 degrees.
    near(slings::FLATTEST, 30.0, 0.0);
    assert!(slings::leg_tension(1000.0, 2, 29.9, false).is_err());
    near(ok(slings::leg_tension(1000.0, 2, 30.0, false)), 1000.0, 1e-9);
    // General rigging practice (from memory): of three or four legs two count, unless it is proved that all bear.
    assert_eq!(slings::legs_that_count(4, false), Ok(2));
    assert_eq!(slings::legs_that_count(4, true), Ok(4));
    // EN 818-4 (from memory): 2.1 is 3 cos 45.
    near(
        ok(slings::mode_factor(4, 45.0)),
        3.0 * 45f64.to_radians().cos(),
        0.03,
    );
    // Length over height is the same factor.
    near(ok(slings::tension_factor(ok(slings::angle(2.0, 1.0)))), 2.0, 1e-9);
}

#[test]
fn two_hooks() {
    // Domson Digest, January 2005, figure 1: 10 000 lb, 5.9 ft and 3.8 ft.
    let (first, second) = ok(slings::two_hooks(10_000.0, 5.9, 3.8));
    near(first, 3918.0, 0.5);
    near(second, 6082.0, 0.5);
    near(
        ok(slings::tilted_second_hook(10_000.0, 5.9, 3.8, 2.0, 0.0)),
        6082.0,
        0.5,
    );
    assert!(slings::two_hooks(1.0, 0.0, 0.0).is_err());
    // Statics: between its hooks none bears more than the whole; past the second one the first would have to push.
    assert_eq!(ok(slings::tilted_second_hook(5.0, 2.0, 0.0, 0.0, 0.0)), 5.0);
    assert!(slings::tilted_second_hook(5.0, 2.0, -1.6, 0.0, 0.0).is_err());
    assert!(slings::tilted_second_hook(5.0, 2.0, 0.5, -1.0, 45.0).is_err());
}

/// 0 over 0 is no figure; nothing lifted within a limit is no risk, and what may not be lifted is an endless one.
#[test]
fn an_index_of_nothing() {
    assert!(lifting_index(0.0, 0.0).is_err());
    assert_eq!(lifting_index(0.0, 23.0), Ok(0.0));
    assert_eq!(lifting_index(1.0, 0.0), Ok(f64::INFINITY));
}

fn press_stock() -> Lift {
    // NIOSH 94-110, example 1, figure 6: supply reels, inches and pounds.
    Lift {
        system: System::Inch,
        horizontal: 23.0,
        vertical: 15.0,
        vertical_at_origin: 15.0,
        distance: 49.0,
        asymmetry: 0.0,
        frequency: 0.2,
        duration: Duration::Short,
        coupling: Coupling::Fair,
    }
}

#[test]
fn the_manuals_first_example() {
    let origin = press_stock();
    let limit = ok(recommended_limit(&origin, Rounding::AsPrinted));
    near(limit, 16.3, 0.05);
    near(ok(lifting_index(44.0, limit)), 2.7, 0.05);
    // At its destination (from memory).
    let destination = Lift {
        vertical: 64.0,
        ..origin
    };
    let limit = ok(recommended_limit(&destination, Rounding::AsPrinted));
    near(limit, 14.5, 0.05);
    near(ok(lifting_index(44.0, limit)), 3.0, 0.05);
}

#[test]
fn the_manuals_fourth_example() {
    // NIOSH 94-110, example 4, figure 14: rounding each multiplier to two places (page 29) matters.
    let origin = Lift {
        horizontal: 10.0,
        vertical: 22.0,
        vertical_at_origin: 22.0,
        distance: 37.0,
        frequency: 3.0,
        ..press_stock()
    };
    near(ok(recommended_limit(&origin, Rounding::TwoPlaces)), 34.9, 0.05);
    near(ok(recommended_limit(&origin, Rounding::Full)), 34.8, 0.05);
    let destination = Lift {
        horizontal: 20.0,
        vertical: 59.0,
        ..origin
    };
    let rounded = ok(recommended_limit(&destination, Rounding::TwoPlaces));
    near(rounded, 15.2, 0.05);
    near(ok(recommended_limit(&destination, Rounding::Full)), 15.3, 0.05);
    // From memory: 26 lb.
    near(ok(lifting_index(26.0, rounded)), 1.7, 0.05);
}

#[test]
fn multipliers_of_the_manual() {
    // NIOSH 94-110, 1.3.5.5: ten lifts a minute for eight of fifteen minutes.
    near(ok(special_frequency(10.0, 8.0)), 5.33, 0.005);
    // 1.3: metric constants.
    near(System::Metric.load_constant(), 23.0, 0.0);
    near(ok(horizontal_multiplier(System::Metric, 50.0)), 0.5, 1e-9);
    near(ok(vertical_multiplier(System::Metric, 75.0)), 1.0, 1e-9);
    near(ok(distance_multiplier(System::Metric, 25.0)), 1.0, 1e-9);
    near(ok(asymmetry_multiplier(90.0)), 0.712, 1e-9);
    // Table 5, low hands.
    for (f, values) in [(1.0, [0.94, 0.88, 0.75]), (6.0, [0.75, 0.50, 0.27])] {
        let durations = [Duration::Short, Duration::Moderate, Duration::Long];
        for (duration, value) in durations.into_iter().zip(values) {
            near(ok(frequency_multiplier(f, duration, false)), value, 0.0);
        }
    }
    // Page 7 and example 7: in between linearly.
    near(
        ok(frequency_multiplier(2.4, Duration::Short, false)),
        0.898,
        0.0006,
    );
    // Table 5, corners of it.
    near(ok(frequency_multiplier(9.0, Duration::Long, true)), 0.15, 0.0);
    near(ok(frequency_multiplier(9.0, Duration::Long, false)), 0.0, 0.0);
    near(ok(frequency_multiplier(15.0, Duration::Short, true)), 0.28, 0.0);
    near(ok(frequency_multiplier(15.1, Duration::Short, true)), 0.0, 0.0);
    near(ok(frequency_multiplier(0.0, Duration::Long, true)), 0.85, 0.0);
    // 1.3.1.1: hands at the sides of a box 40 cm deep.
    near(ok(horizontal_from_width(System::Metric, 40.0, 80.0)), 40.0, 1e-9);
    near(ok(horizontal_from_width(System::Metric, 40.0, 20.0)), 45.0, 1e-9);
    // Limits of 1.3.
    near(ok(horizontal_multiplier(System::Metric, 10.0)), 1.0, 0.0);
    near(ok(horizontal_multiplier(System::Metric, 63.1)), 0.0, 0.0);
    near(ok(vertical_multiplier(System::Metric, 175.1)), 0.0, 0.0);
    near(ok(distance_multiplier(System::Metric, 175.1)), 0.0, 0.0);
    near(ok(asymmetry_multiplier(135.1)), 0.0, 0.0);
}

#[test]
fn several_tasks_in_turn() {
    // NIOSH 94-110, 1.3.6: one task alone is its own composite; a second one that is never done adds next to nothing, and more of
    // it adds more.
    let first = Task {
        lift: press_stock(),
        average: 30.0,
        most: 44.0,
    };
    let alone = ok(composite_index(&[first], Duration::Short, Rounding::Full));
    near(alone, ok(line(&first, Rounding::Full)).index, 1e-12);
    let second = |frequency: f64| Task {
        lift: Lift {
            horizontal: 12.0,
            frequency,
            ..press_stock()
        },
        average: 10.0,
        most: 12.0,
    };
    let two = |frequency: f64| {
        ok(composite_index(
            &[second(frequency), first],
            Duration::Short,
            Rounding::Full,
        ))
    };
    assert!(alone < two(1.0) && two(1.0) < two(4.0));
    // By hand: FILI2 (1/FM(0.2 + 4) - 1/FM(0.2)).
    let free = ok(line(&second(4.0), Rounding::Full)).free_index;
    let fm = ok(frequency_multiplier(4.2, Duration::Short, false));
    near(two(4.0), alone + free * (1.0 / fm - 1.0), 1e-12);
    assert!(composite_index(&[], Duration::Short, Rounding::Full).is_err());
}

#[test]
fn guidance_for_hands() {
    // HSE L23 and INDG143, lifting and lowering filter (from memory): men, close and far.
    let zones = [
        (Zone::OverShoulder, 10.0, 5.0),
        (Zone::ElbowToShoulder, 20.0, 10.0),
        (Zone::KnuckleToElbow, 25.0, 15.0),
        (Zone::KneeToKnuckle, 20.0, 10.0),
        (Zone::Floor, 10.0, 5.0),
    ];
    for (zone, close, far) in zones {
        near(filter(Lifter::Man, zone, Reach::Close), close, 0.0);
        near(filter(Lifter::Man, zone, Reach::AtArmsLength), far, 0.0);
    }
    near(
        filter(Lifter::Woman, Zone::KnuckleToElbow, Reach::Close),
        16.0,
        0.0,
    );
    // The same: reductions in per cent.
    for (rate, less) in [(1.0, 30.0), (2.0, 30.0), (5.0, 50.0), (8.0, 50.0), (12.5, 80.0)] {
        near((1.0 - ok(left_by_rate(rate))) * 100.0, less, 1e-9);
    }
    near((1.0 - ok(left_by_twist(45.0))) * 100.0, 10.0, 1e-9);
    near((1.0 - ok(left_by_twist(90.0))) * 100.0, 20.0, 1e-9);
    // The same, teams (from memory).
    near(ok(team_share(2)), 0.6667, 0.0001);
    near(ok(team_share(3)), 0.5, 0.0001);
    near(ok(team(&[25.0, 25.0])), 33.3, 0.05);
    near(ok(team(&[25.0, 25.0, 25.0])), 37.5, 1e-9);
    assert!(team_share(4).is_err() && team(&[]).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn a_flatter_sling_pulls_harder(angle in 30.0f64..89.0, load in 1.0f64..5000.0) {
        let here = ok(slings::leg_tension(load, 2, angle, false));
        let flatter = slings::leg_tension(load, 2, angle - 0.5, false);
        prop_assert!(flatter.is_err() || flatter.is_ok_and(|flatter| flatter > here));
        prop_assert!(here >= load / 2.0);
    }

    #[test]
    fn hooks_bear_the_whole(load in 0.0f64..5000.0, a in 0.0f64..9.0, b in 0.1f64..9.0) {
        let (first, second) = ok(slings::two_hooks(load, a, b));
        prop_assert!((first + second - load).abs() < 1e-9 * (1.0 + load));
        prop_assert!((first * a - second * b).abs() < 1e-6 * (1.0 + load));
    }

    #[test]
    fn no_limit_is_over_its_constant(h in 0.0f64..90.0, v in 0.0f64..200.0, d in 0.0f64..200.0, a in 0.0f64..180.0, f in 0.0f64..20.0) {
        let lift = Lift {
            system: System::Metric, horizontal: h, vertical: v, vertical_at_origin: v, distance: d, asymmetry: a,
            frequency: f, duration: Duration::Moderate, coupling: Coupling::Poor,
        };
        let limit = ok(recommended_limit(&lift, Rounding::Full));
        prop_assert!((0.0..=23.0).contains(&limit));
    }
}
