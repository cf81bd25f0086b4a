//! Centres, axle loads, supports and tipping against published values, each with its source; support shares against a plain linear
//! solve; properties that hold for any vehicle. Values marked "from memory" were known rather than read.

use boltfolio_core::reckon::axles::{self, AxleLoads};
use boltfolio_core::reckon::composite::{Axis, Composite, Placed, Point, inertia};
use boltfolio_core::reckon::corners::{self, Corners, Cross, Stance};
use boltfolio_core::reckon::height::{self, Level, Lifted, Raised};
use boltfolio_core::reckon::mass::{MassEstimate, Origin};
use boltfolio_core::reckon::polygon::{Spot, hull};
use boltfolio_core::reckon::unfit::Unfit;
use boltfolio_core::reckon::{ballast, shares, tipping};
use proptest::prelude::{ProptestConfig, Strategy, prop_assert, prop_assume, proptest};

fn near(is: f64, should: f64, give: f64) {
    assert!((is - should).abs() <= give, "{is} is not {should} within {give}");
}

fn ok<T>(result: Result<T, Unfit>) -> T {
    result.expect("fit values")
}

#[test]
fn axle_loads_and_centres() {
    // Halliday and Resnick, problem on statics: 961 kg, 3.27 m, centre 0.615 m behind the front axle, g = 9.81; N a wheel.
    let loads = ok(axles::loads(961.0 * 9.81, 3.27, 0.615));
    near(loads.front / 2.0, 3830.0, 5.0);
    near(loads.rear / 2.0, 887.0, 0.5);
    // NCERT Physics XI, exercise 7.9: 1800 kg, 1.8 m, 1.05 m, g = 9.8.
    let loads = ok(axles::loads(1800.0 * 9.8, 1.8, 1.05));
    near(loads.front / 2.0, 3675.0, 0.5);
    near(loads.rear / 2.0, 5145.0, 0.5);
    // School problem on statics: 4500 N and 3500 N, 2.4 m.
    let loads = AxleLoads {
        front: 4500.0,
        rear: 3500.0,
    };
    let centre = ok(axles::centre(loads, 2.4));
    near(centre, 1.05, 0.005);
    near(2.4 - centre, 1.35, 0.005);
}

#[test]
fn moments_about_a_datum() {
    // FAA-H-8083-1: nose wheel 340 lb at 78 in ahead of the main wheels, 2006 lb in all.
    near(
        ok(axles::centre_of_moments(&[(340.0, -78.0), (1666.0, 0.0)])),
        -13.2,
        0.05,
    );
    near(
        ok(axles::centre_from_one_end(340.0, -78.0, 2006.0, 0.0)),
        -13.2,
        0.05,
    );
    // FAA-H-8083-1A, chapter 3 (from memory): tail 67 lb, 222 in, 1218 lb, main wheels 7.5 in aft of the datum.
    near(
        ok(axles::centre_from_one_end(67.0, 222.0, 1218.0, 7.5)),
        19.7,
        0.05,
    );
    // FAA-H-8083-25 (from memory): 6100 lb at 78.0; 100 lb removed at 150.
    let moved = ok(axles::moved_by_adding(6100.0, -100.0, 150.0 - 78.0));
    near(moved, -1.2, 0.05);
    near(78.0 + moved, 76.8, 0.05);
    let left = ok(axles::centre_of_moments(&[(6100.0, 78.0), (-100.0, 150.0)]));
    near(left, 78.0 + moved, 1e-9);
    let shifted = ok(axles::moved_by_shifting(6000.0, 100.0, 60.0));
    near(ok(axles::shift_for(6000.0, 100.0, shifted)), 60.0, 1e-9);
}

fn level() -> Level {
    // Wheelbase 2.5 m, weight 1200, centre 1.1 m behind the front axle, radii 0.30 m.
    let loads = ok(axles::loads(1200.0, 2.5, 1.1));
    Level {
        wheelbase: 2.5,
        front: loads.front,
        rear: loads.rear,
        radius_front: 0.30,
        radius_rear: 0.30,
    }
}

/// The front load of a vehicle whose rear wheels are raised, by moments about the middle of its rear wheels: no formula of the
/// library.
fn front_load_by_statics(level: Level, by: f64, centre_height: f64) -> f64 {
    let weight = level.front + level.rear;
    let tilt = (by / level.wheelbase).asin();
    let ahead_of_rear = level.wheelbase * level.front / weight;
    let over_hubs = centre_height - level.radius_rear;
    weight * (ahead_of_rear * tilt.cos() + over_hubs * tilt.sin()) / (level.wheelbase * tilt.cos())
}

#[test]
fn height_from_a_raised_axle() {
    // Two published forms of the same statics agree on a height of 0.52 m, rear raised by 0.6 m: a body builders' guide, chapter 3.5,
    // and ISO 10392 with the tangent.
    let level = level();
    let front = front_load_by_statics(level, 0.6, 0.52);
    let lifted = Lifted {
        end: Raised::Rear,
        by: 0.6,
        other_axle: front,
    };
    near(ok(height::of_centre(level, lifted)), 0.52, 1e-9);
    let gained = front - level.front;
    let by_guide = 0.30 + 2.5 * gained / (1200.0 * 0.6) * (2.5f64.powi(2) - 0.6f64.powi(2)).sqrt();
    near(by_guide, 0.52, 1e-9);
    // Milliken, chapter 18, for two radii, with both alike.
    let tan = ok(height::tangent(2.5, 0.6));
    let (a, b) = (1.1, 1.4);
    let unequal = 0.30 * b / 2.5 + 0.30 * a / 2.5 + (front * 2.5 - 1200.0 * b) / (1200.0 * tan);
    near(unequal, 0.52, 1e-9);
    near(
        ok(height::load_when_lifted(level, Raised::Rear, 0.6, 0.52)),
        front,
        1e-9,
    );
}

#[test]
fn a_raised_front_is_the_same_turned_round() {
    let level = level();
    let turned = Level {
        front: level.rear,
        rear: level.front,
        ..level
    };
    for by in [0.2, 0.4, 0.6] {
        let front = front_load_by_statics(level, by, 0.52);
        let rear_raised = Lifted {
            end: Raised::Rear,
            by,
            other_axle: front,
        };
        let front_raised = Lifted {
            end: Raised::Front,
            ..rear_raised
        };
        near(ok(height::of_centre(level, rear_raised)), 0.52, 1e-9);
        near(ok(height::of_centre(turned, front_raised)), 0.52, 1e-9);
    }
    let readings: Vec<Lifted> = [0.2, 0.4, 0.6]
        .map(|by| Lifted {
            end: Raised::Rear,
            by,
            other_axle: front_load_by_statics(level, by, 0.52),
        })
        .to_vec();
    let found = ok(height::by_regression(level, &readings));
    near(found.height, 0.52, 1e-9);
    near(found.u, 0.0, 1e-6);
}

#[test]
fn heights_that_cannot_be() {
    let level = level();
    let lifted = Lifted {
        end: Raised::Rear,
        by: 0.0,
        other_axle: 700.0,
    };
    assert!(height::of_centre(level, lifted).is_err());
    assert!(height::of_centre(level, Lifted { by: 2.5, ..lifted }).is_err());
    assert!(
        height::of_centre(
            Level {
                wheelbase: 0.0,
                ..level
            },
            Lifted { by: 0.5, ..lifted }
        )
        .is_err()
    );
    // A kilogram on 1200 at a tangent of 0.25 is about 12 mm.
    let u = ok(height::uncertainty(level, Lifted { by: 0.6, ..lifted }, 1.0, 0.0));
    near(
        u,
        2.5 * 2f64.sqrt() / (1200.0 * ok(height::tangent(2.5, 0.6))),
        1e-12,
    );
}

#[test]
fn two_masses() {
    // Any text on statics: 3 kg at 0 and 1 kg at 4 m; the centre at 1 m, the moment of inertia about it 12, and by mu d^2 too.
    let place = |behind: f64| Point {
        behind,
        ..Point::default()
    };
    let masses = [(3.0, place(0.0)), (1.0, place(4.0))];
    let mut sum = Composite::default();
    for (kg, at) in masses {
        ok(sum.add(Placed {
            kg,
            u: 0.0,
            at,
            u_at: Point::all(0.0),
        }));
    }
    near(ok(sum.centre()).behind, 1.0, 1e-9);
    near(ok(inertia(&masses, Axis::Upright)), 12.0, 1e-9);
    near(3.0 * 1.0 / 4.0 * 16.0, 12.0, 1e-9);
}

#[test]
fn corners_of_a_car() {
    // Made up, and reckoned by hand: 500 front, 400 rear, 459 left, 441 right; 51 % left on both axles.
    let car = Corners {
        front_left: 255.0,
        front_right: 245.0,
        rear_left: 204.0,
        rear_right: 196.0,
    };
    let stance = Stance {
        wheelbase: 2250.0,
        track_front: 1400.0,
        track_rear: 1400.0,
    };
    let centre = ok(corners::centre(car, stance));
    near(centre.behind, 1000.0, 1e-9);
    near(centre.right, 700.0 * (441.0 - 459.0) / 900.0, 1e-9);
    near(ok(car.left_share()), 459.0 / 900.0, 1e-12);
    near(ok(car.front_share()), 500.0 / 900.0, 1e-12);
    // The two definitions of cross weight make up the whole between them.
    near(
        ok(car.cross_share(Cross::RightFrontLeftRear)),
        449.0 / 900.0,
        1e-12,
    );
    near(
        ok(car.cross_share(Cross::LeftFrontRightRear)),
        451.0 / 900.0,
        1e-12,
    );
    let back = ok(corners::loads(900.0, centre, stance));
    for (is, was) in back.all().iter().zip(car.all()) {
        near(*is, was, 1e-9);
    }
    assert!(
        corners::centre(
            Corners {
                front_left: -1.0,
                ..car
            },
            stance
        )
        .is_err()
    );
    assert!(
        corners::centre(
            car,
            Stance {
                wheelbase: 0.0,
                ..stance
            }
        )
        .is_err()
    );
}

#[test]
fn ballast_for_a_split() {
    let car = ok(MassEstimate::stated(760.0, 0.5, Origin::Weighed));
    near(ok(ballast::missing(&car, 780.0)), 20.0, 1e-12);
    near(ok(ballast::missing_for_sure(&car, 780.0)), 21.0, 1e-12);
    near(ok(ballast::missing(&car, 700.0)), 0.0, 0.0);
    // By moments: 760 kg at 1000 of 2480 mm, 20 kg, and half of 780 kg on each axle.
    let found = ok(ballast::place(760.0, 1000.0, 2480.0, 20.0, 0.5));
    near(760.0 * 1000.0 + 20.0 * found.behind, 780.0 * 1240.0, 1e-6);
    let back = ok(ballast::mass_at(760.0, 1000.0, 2480.0, found.behind, 0.5));
    near(back.kg, 20.0, 1e-9);
    // No mass ahead of the front axle makes the tail heavier.
    assert!(ballast::mass_at(760.0, 1000.0, 2480.0, -500.0, 0.5).is_err());
}

fn spots<const N: usize>(of: [(f64, f64); N]) -> [Spot; N] {
    of.map(|(behind, right)| Spot::new(behind, right))
}

#[test]
fn four_supports_of_equal_stiffness() {
    // A worked example of an engineering forum (400254), second method, P/n +- M x/sum(x^2): piers at the corners of 6 ft by 4 ft, 100 t
    // at 2 ft and 1 ft.
    let piers = spots([(3.0, 2.0), (3.0, -2.0), (-3.0, -2.0), (-3.0, 2.0)]);
    let loads = ok(shares::without_lift_off(100.0, Spot::new(2.0, 1.0), &piers));
    for (load, printed) in loads.iter().zip([54.0, 29.0, -4.0, 21.0]) {
        near(*load, printed, 0.5);
    }
    // One would have to pull: it lifts, and the other three bear by their barycentric weights.
    let solved = ok(shares::equal_stiffness(100.0, Spot::new(2.0, 1.0), &piers));
    assert_eq!(solved.lifted, [2]);
    let three = ok(shares::three(
        100.0,
        Spot::new(2.0, 1.0),
        [piers[0], piers[1], piers[3]],
    ));
    near(solved.loads[0], three[0], 1e-9);
    near(solved.loads[1], three[1], 1e-9);
    near(solved.loads[3], three[2], 1e-9);
    near(solved.loads[2], 0.0, 0.0);
    // The kern of a rectangle (any text on foundations, from memory): on |x|/a + |y|/b = 1/2 one support bears just nothing.
    let edge = ok(shares::without_lift_off(1.0, Spot::new(1.5, 1.0), &piers));
    near(edge.iter().copied().fold(f64::INFINITY, f64::min), 0.0, 1e-9);
}

/// Statics, moments about the rear edge: 800 kg at 900 mm on pads at 0 and 2000 mm; a push at 100 mm empties the front ones with
/// 800 x 1100/1900 = 463.2 kg, and 300 kg leave the centre at (800 x 900 - 300 x 100)/500 = 1380 mm.
#[test]
fn a_push_from_below() {
    let pads = spots([(0.0, -500.0), (0.0, 500.0), (2000.0, 500.0), (2000.0, -500.0)]);
    let around = ok(hull(&pads));
    let (centre, at) = (Spot::new(900.0, 0.0), Spot::new(100.0, 0.0));
    let most = ok(tipping::push_to_edge(&around, 800.0, centre, at)).expect("an edge");
    near(most, 463.158, 0.001);
    let u = (centre, Spot::new(2.0, 3.0));
    let (left, known) = ok(tipping::pushed(800.0, u, 300.0, (at, 14.0)));
    near(left.behind, 1380.0, 1e-9);
    near(
        known.behind,
        (800.0 * 2.0_f64 / 500.0).hypot(300.0 * 14.0 / 500.0),
        1e-9,
    );
    let (edge, _) = ok(tipping::pushed(800.0, u, most, (at, 14.0)));
    near(edge.behind, 2000.0, 1e-6);
    // Sideways it goes the other way; from under the centre it tips never, and what is outside stands on no edge.
    let beside = ok(tipping::push_to_edge(
        &around,
        800.0,
        centre,
        Spot::new(900.0, 400.0),
    ))
    .expect("an edge");
    near(beside, 800.0 * 500.0 / 900.0, 1e-6);
    assert_eq!(ok(tipping::push_to_edge(&around, 800.0, centre, centre)), None);
    assert_eq!(
        ok(tipping::push_to_edge(&around, 800.0, Spot::new(-1.0, 0.0), at)),
        None
    );
    assert!(tipping::pushed(800.0, u, 800.0, (at, 14.0)).is_err());
}

/// Near an edge leaving out one at a time leaves too few. Statics: a centre inside is borne, here 27 mm inside, on three of four; a
/// centre outside tips.
#[test]
fn supports_near_an_edge() {
    let supports = spots([(451.5, -123.4), (797.3, -795.4), (118.4, 116.2), (1564.5, 967.0)]);
    let centre = Spot::new(718.9, -644.5);
    near(ok(ok(hull(&supports)).margin(centre)).inside, 27.0, 0.5);
    let solved = ok(shares::equal_stiffness(100.0, centre, &supports));
    assert_eq!(solved.lifted, [3]);
    let exact = ok(shares::three(
        100.0,
        centre,
        [supports[0], supports[1], supports[2]],
    ));
    for (share, exact) in solved.loads.iter().zip(exact) {
        near(*share, exact, 1e-6);
    }
    let outside = Spot::new(690.0, -661.0);
    assert!(ok(ok(hull(&supports)).margin(outside)).inside < 0.0);
    assert_eq!(
        shares::equal_stiffness(100.0, outside, &supports).map(|solved| solved.lifted),
        Err(Unfit::Tips)
    );
}

#[test]
fn three_supports_exactly() {
    // Three moment equations (from memory): (0,0), (4,0), (0,3), 120 at (1,1).
    let supports = spots([(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)]);
    let exact = ok(shares::three(120.0, Spot::new(1.0, 1.0), supports));
    let stiff = ok(shares::equal_stiffness(120.0, Spot::new(1.0, 1.0), &supports));
    for ((exact, stiff), printed) in exact.iter().zip(&stiff.loads).zip([50.0, 30.0, 40.0]) {
        near(*exact, printed, 1e-9);
        near(*stiff, printed, 1e-9);
    }
    assert_eq!(
        shares::three(120.0, Spot::new(5.0, 5.0), supports),
        Err(Unfit::Tips)
    );
    let line = spots([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]);
    assert_eq!(shares::three(1.0, Spot::new(1.0, 1.0), line), Err(Unfit::InALine));
    assert!(matches!(hull(&line[..2]), Err(Unfit::TooFew { .. })));
}

#[test]
fn a_lift_with_four_arms() {
    // An article on lift capacity: 9000 lb, 3000 front and 6000 rear, two arms an axle: 3000 lb on the worst arm, over 2500.
    let axles = AxleLoads {
        front: 3000.0,
        rear: 6000.0,
    };
    let centre = ok(axles::centre(axles, 100.0));
    let arms = spots([(0.0, -30.0), (0.0, 30.0), (100.0, 30.0), (100.0, -30.0)]);
    let loads = ok(shares::equal_stiffness(9000.0, Spot::new(centre, 0.0), &arms)).loads;
    let worst = loads.iter().copied().fold(0.0, f64::max);
    near(worst, 3000.0, 0.5);
    assert!(worst > 10_000.0 / 4.0);
    // Rigid arms on a floor that is not flat can do worse: one rear arm bears what its diagonal leaves it.
    let range = ok(shares::rigid_range(9000.0, Spot::new(centre, 0.0), arms));
    near(range[2].most, 4500.0, 1e-6);
    near(range[0].least, 0.0, 1e-6);
    let diagonal = ok(shares::diagonals(9000.0, Spot::new(50.0, 0.0), arms));
    for load in diagonal {
        near(load, 4500.0, 1e-6);
    }
}

#[test]
fn tilting() {
    // NHTSA: SSF = T/(2H); the angle at which it tips on a flat road is its arc tangent.
    for (track, degrees) in [(2.0, 45.0), (3.0, 56.3)] {
        let factor = ok(tipping::stability_factor(track, 1.0));
        near(ok(tipping::tilt_to_tip(factor, 1.0)), degrees, 0.05);
    }
    let square = ok(hull(&spots([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])));
    near(ok(square.margin(Spot::new(0.5, 1.0))).inside, 0.5, 1e-12);
    near(ok(square.margin(Spot::new(5.0, 6.0))).inside, -5.0, 1e-12);
    near(square.area(), 4.0, 1e-12);
    let stands = ok(tipping::stands(&square, Spot::new(0.5, 1.0), Spot::new(0.2, 0.1)));
    near(stands.covers, 0.4, 1e-12);
    assert!(stands.surely() && !stands.tips());
    // Known well across the near edge, and badly across the far ones: those count.
    let aside = ok(tipping::stands(&square, Spot::new(0.5, 1.0), Spot::new(0.1, 0.6)));
    near(aside.margin.inside, 1.0, 1e-12);
    near(aside.covers, 1.2, 1e-12);
    assert!(!aside.surely() && !aside.tips());
    let unsure = ok(tipping::stands(&square, Spot::new(0.5, 1.0), Spot::new(0.3, 0.0)));
    assert!(!unsure.surely() && !unsure.tips());
}

/// Solves a square system by Gauss with the greatest pivot; `None` where it has no single answer.
fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = rows.len();
    for at in 0..n {
        let pivot = (at..n).max_by(|&a, &b| rows[a][at].abs().total_cmp(&rows[b][at].abs()))?;
        rows.swap(at, pivot);
        if rows[at][at].abs() < 1e-9 {
            return None;
        }
        for row in at + 1..n {
            let by = rows[row][at] / rows[at][at];
            let (above, below) = rows.split_at_mut(row);
            for (value, over) in below[0].iter_mut().zip(&above[at]).skip(at) {
                *value -= by * over;
            }
        }
    }
    let mut answer = vec![0.0; n];
    for at in (0..n).rev() {
        let known: f64 = (at + 1..n).map(|column| rows[at][column] * answer[column]).sum();
        answer[at] = (rows[at][n] - known) / rows[at][at];
    }
    Some(answer)
}

#[test]
fn a_centre_against_monte_carlo() {
    // A car that was weighed whole, and two parts taken from it: what the centre scatters by, with normal errors and a fixed seed
    // (SplitMix64, Box and Muller).
    let place = |behind: f64, right: f64| Point {
        behind,
        right,
        up: 500.0,
    };
    let whole = Placed {
        kg: 889.0,
        u: 1.2,
        at: place(1120.0, -4.0),
        u_at: Point::all(3.0),
    };
    let parts = [
        Placed {
            kg: 118.0,
            u: 6.8,
            at: place(-20.0, -20.0),
            u_at: Point::all(15.0),
        },
        Placed {
            kg: 31.5,
            u: 0.8,
            at: place(60.0, 300.0),
            u_at: Point::all(15.0),
        },
    ];
    let mut sum = Composite::default();
    ok(sum.add(whole));
    for part in parts {
        ok(sum.remove(part));
    }
    let u = ok(sum.centre_uncertainty());
    let mut state = 7u64;
    let mut even = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut normal = || (-2.0 * (1.0 - even()).ln()).sqrt() * (2.0 * std::f64::consts::PI * even()).cos();
    let mut all = Vec::new();
    for _ in 0..100_000 {
        let (mut mass, mut along) = (0.0, 0.0);
        for (sign, placed) in [(1.0, whole), (-1.0, parts[0]), (-1.0, parts[1])] {
            let kg = sign * (placed.kg + normal() * placed.u);
            mass += kg;
            along += kg * (placed.at.behind + normal() * placed.u_at.behind);
        }
        all.push(along / mass);
    }
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let square = all.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / all.len() as f64;
    let found = square.sqrt();
    assert!(
        (u.behind / found - 1.0).abs() < 0.02,
        "{} against {found}",
        u.behind
    );
}

fn places() -> impl Strategy<Value = Vec<(f64, f64)>> {
    proptest::collection::vec((-2000.0f64..2000.0, -1000.0f64..1000.0), 3..9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn shares_agree_with_a_linear_solve(places in places(), weights in proptest::collection::vec(0.01f64..1.0, 9)) {
        let supports: Vec<Spot> = places.iter().map(|(x, y)| Spot::new(*x, *y)).collect();
        prop_assume!(hull(&supports).is_ok_and(|hull| hull.area() > 1e4));
        // A centre inside: some mean of the supports.
        let sum: f64 = weights.iter().take(places.len()).sum();
        let mean = |of: fn(&(f64, f64)) -> f64| {
            places.iter().zip(&weights).map(|(place, weight)| of(place) * weight).sum::<f64>() / sum
        };
        let centre = Spot::new(mean(|place| place.0), mean(|place| place.1));
        let load = 1000.0;
        // Least squares under balance: the normal equations of c0 + c1 x + c2 y.
        let power = |a: u32, b: u32| places.iter().map(|(x, y)| x.powi(a as i32) * y.powi(b as i32)).sum::<f64>();
        let rows = vec![
            vec![power(0, 0), power(1, 0), power(0, 1), load],
            vec![power(1, 0), power(2, 0), power(1, 1), load * centre.behind],
            vec![power(0, 1), power(1, 1), power(0, 2), load * centre.right],
        ];
        let c = solve(rows).expect("supports that span a polygon");
        let loads = ok(shares::without_lift_off(load, centre, &supports));
        for ((x, y), share) in places.iter().zip(&loads) {
            prop_assert!((c[0] + c[1] * x + c[2] * y - share).abs() < 1e-6 * load);
        }
        // With lift-off: nothing pulls, all is borne, and the moments balance.
        let solved = ok(shares::equal_stiffness(load, centre, &supports));
        prop_assert!(solved.loads.iter().all(|share| *share >= 0.0));
        let whole: f64 = solved.loads.iter().sum();
        prop_assert!((whole - load).abs() < 1e-6 * load);
        let moment: f64 = solved.loads.iter().zip(&places).map(|(share, (x, _))| share * x).sum();
        prop_assert!((moment - load * centre.behind).abs() < 1e-3 * load);
        // The least sum of squares: what bears lies on a plane, and what lifted lies under it (the conditions of Kuhn and Tucker).
        let on: Vec<usize> = (0..supports.len()).filter(|at| !solved.lifted.contains(at)).collect();
        let those: Vec<Spot> = on.iter().map(|at| supports[*at]).collect();
        if let Ok(again) = shares::without_lift_off(load, centre, &those) {
            for (at, share) in on.iter().zip(again) {
                prop_assert!((solved.loads[*at] - share).abs() < 1e-5 * load);
            }
        }
        if let [a, b, c] = supports.as_slice() {
            let exact = ok(shares::three(load, centre, [*a, *b, *c]));
            for (exact, share) in exact.iter().zip(&solved.loads) {
                prop_assert!((exact - share).abs() < 1e-6 * load);
            }
        }
        if let [a, b, c, d] = supports.as_slice()
            && let Ok(range) = shares::rigid_range(load, centre, [*a, *b, *c, *d])
        {
            for (range, share) in range.iter().zip(&solved.loads) {
                prop_assert!(range.least - 1e-6 <= *share && *share <= range.most + 1e-6);
            }
        }
    }

    /// A centre a hair inside an edge of any supports is borne, and the moments balance (statics).
    #[test]
    fn what_lies_inside_is_borne(places in places(), along in 0.05f64..0.95, share in 1e-6f64..0.02) {
        let supports: Vec<Spot> = places.iter().map(|(x, y)| Spot::new(*x, *y)).collect();
        let Ok(hull) = hull(&supports) else { return Ok(()) };
        prop_assume!(hull.area() > 1e4);
        let (a, b) = hull.edges().next().expect("an edge");
        let corners = hull.corners();
        let far = corners.iter().find(|corner| **corner != a && **corner != b).expect("a third corner");
        let at = |of: fn(&Spot) -> f64| (of(&a) * along + of(&b) * (1.0 - along)) * (1.0 - share) + of(far) * share;
        let centre = Spot::new(at(|spot| spot.behind), at(|spot| spot.right));
        let solved = ok(shares::equal_stiffness(1000.0, centre, &supports));
        let moment: f64 = solved.loads.iter().zip(&places).map(|(load, (_, y))| load * y).sum();
        prop_assert!((moment - 1000.0 * centre.right).abs() < 1.0);
        prop_assert!((solved.loads.iter().sum::<f64>() - 1000.0).abs() < 1e-3);
    }

    #[test]
    fn a_mean_of_corners_lies_inside(places in places(), weights in proptest::collection::vec(0.05f64..1.0, 9), out in 1.1f64..3.0) {
        let supports: Vec<Spot> = places.iter().map(|(x, y)| Spot::new(*x, *y)).collect();
        let Ok(hull) = hull(&supports) else { return Ok(()) };
        prop_assume!(hull.area() > 1e4);
        let sum: f64 = weights.iter().take(places.len()).sum();
        let x = places.iter().zip(&weights).map(|((x, _), w)| x * w).sum::<f64>() / sum;
        let y = places.iter().zip(&weights).map(|((_, y), w)| y * w).sum::<f64>() / sum;
        let inside = ok(hull.margin(Spot::new(x, y)));
        prop_assert!(inside.inside > -1e-6);
        // Beyond a corner, seen from inside, it is outside.
        let corner = hull.corners()[0];
        let beyond = Spot::new(x + (corner.behind - x) * out, y + (corner.right - y) * out);
        prop_assert!(!hull.contains(beyond));
        prop_assert!(ok(hull.margin(beyond)).inside < 0.0);
    }

    #[test]
    fn moving_the_origin_moves_the_centre(masses in proptest::collection::vec((0.1f64..300.0, -3000.0f64..3000.0, -900.0f64..900.0, 0.0f64..2000.0), 1..10), by in -5000.0f64..5000.0) {
        let by = by.round();
        let build = |by: f64, turned: bool| {
            let mut sum = Composite::default();
            let mut all = masses.clone();
            if turned {
                all.reverse();
            }
            for (kg, behind, right, up) in all {
                let at = Point { behind: behind.round() + by, right, up };
                ok(sum.add(Placed { kg, u: 0.02 * kg, at, u_at: Point::all(5.0) }));
            }
            sum
        };
        let (here, there) = (build(0.0, false), build(by, false));
        let (a, b) = (ok(here.centre()), ok(there.centre()));
        prop_assert!((b.behind - a.behind - by).abs() < 1e-6 && (b.right - a.right).abs() < 1e-9);
        let (u, v) = (ok(here.centre_uncertainty()), ok(there.centre_uncertainty()));
        prop_assert!((u.behind - v.behind).abs() < 1e-3 * (1.0 + u.behind));
        // The order is irrelevant, to the last digit.
        prop_assert!(ok(build(0.0, true).centre()) == a);
        // What is added and taken back leaves nothing.
        let mut again = here;
        let extra = Placed { kg: 77.7, u: 1.0, at: Point { behind: 123.4, right: 5.0, up: 6.0 }, u_at: Point::all(3.0) };
        ok(again.add(extra));
        ok(again.take_back(extra));
        prop_assert!(ok(again.centre()) == a);
    }

    #[test]
    fn a_symmetric_car_has_equal_sides(front in 50.0f64..900.0, rear in 50.0f64..900.0, track in 900.0f64..2000.0) {
        let stance = Stance { wheelbase: 2400.0, track_front: track, track_rear: track + 40.0 };
        let car = Corners { front_left: front / 2.0, front_right: front / 2.0, rear_left: rear / 2.0, rear_right: rear / 2.0 };
        prop_assert!((ok(car.left_share()) - 0.5).abs() < 1e-12);
        prop_assert!(ok(corners::centre(car, stance)).right.abs() < 1e-9);
        prop_assert!((ok(car.cross_share(Cross::RightFrontLeftRear)) - 0.5).abs() < 1e-12);
        // Inches and millimetres agree.
        let inch = Stance { wheelbase: 2400.0 / 25.4, track_front: track / 25.4, track_rear: (track + 40.0) / 25.4 };
        let there = ok(corners::centre(car, inch)).behind * 25.4;
        prop_assert!((there - ok(corners::centre(car, stance)).behind).abs() < 1e-9);
        let back = ok(corners::loads(front + rear, ok(corners::centre(car, stance)), stance));
        prop_assert!((back.total() - front - rear).abs() < 1e-9);
        prop_assert!((back.front_left - car.front_left).abs() < 1e-9);
    }

    #[test]
    fn nothing_panics(values in proptest::collection::vec(proptest::num::f64::ANY, 8)) {
        let [a, b, c, d, e, f, g, h] = values.as_slice() else { return Ok(()) };
        let four = [Spot::new(*a, *b), Spot::new(*c, *d), Spot::new(*e, *f), Spot::new(*g, *h)];
        let _ = shares::equal_stiffness(*a, four[0], &four);
        let _ = shares::rigid_range(*b, four[1], four);
        let _ = shares::diagonals(*c, four[2], four);
        let _ = hull(&four).map(|hull| hull.margin(four[3]));
        let _ = axles::loads(*a, *b, *c);
        let _ = corners::loads(*a, four[0], Stance { wheelbase: *b, track_front: *c, track_rear: *d });
        let _ = height::tangent(*a, *b);
        let mut sum = Composite::default();
        let _ = sum.add(Placed { kg: *a, u: *b, at: Point { behind: *c, right: *d, up: *e }, u_at: Point::all(*f) });
        let _ = sum.centre_uncertainty();
    }
}
