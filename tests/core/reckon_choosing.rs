//! The choice of swaps as a search in whole numbers: published knapsacks, and every small one against going through all sets.

use boltfolio_core::reckon::choosing::{Choice, Chosen, Problem, Set, Shared, Unsearchable, Within, places};
use proptest::prelude::*;

const ANY: &dyn Fn(&Set) -> bool = &|_| true;

/// A knapsack of one constraint: weights stand as money.
fn knapsack(capacity: i64, weights: &[i64], profits: &[i64]) -> (i64, Vec<usize>) {
    let choices = weights
        .iter()
        .zip(profits)
        .map(|(&money, &worth)| Choice {
            worth,
            money,
            ..Choice::default()
        })
        .collect();
    let problem = Problem::new(choices, Vec::new()).expect("sound");
    let within = Within {
        money: Some(capacity),
        ..Within::default()
    };
    let found = problem.most(within, ANY);
    assert_eq!(found.at_most, None);
    let set = found.set.expect("the empty set at least");
    assert!(set.money <= capacity);
    (set.worth, places(set.chosen).collect())
}

/// J. Burkardt, "KNAPSACK_01: Data for the 01 Knapsack Problem", Florida State University, data sets P01 to P08 with their optimal
/// selections (people.sc.fsu.edu/~jburkardt/datasets/knapsack_01); figures from memory, each optimum is added up here from the published selection.
#[test]
fn published_knapsacks() {
    type Row = (i64, &'static [i64], &'static [i64], &'static [u8]);
    let rows: &[Row] = &[
        (
            165,
            &[23, 31, 29, 44, 53, 38, 63, 85, 89, 82],
            &[92, 57, 49, 68, 60, 43, 67, 84, 87, 72],
            &[1, 1, 1, 1, 0, 1, 0, 0, 0, 0],
        ),
        (26, &[12, 7, 11, 8, 9], &[24, 13, 23, 15, 16], &[0, 1, 1, 1, 0]),
        (
            190,
            &[56, 59, 80, 64, 75, 17],
            &[50, 50, 64, 46, 50, 5],
            &[1, 1, 0, 0, 1, 0],
        ),
        (
            50,
            &[31, 10, 20, 19, 4, 3, 6],
            &[70, 20, 39, 37, 7, 5, 10],
            &[1, 0, 0, 1, 0, 0, 0],
        ),
        (
            104,
            &[25, 35, 45, 5, 25, 3, 2, 2],
            &[350, 400, 450, 20, 70, 8, 5, 5],
            &[1, 0, 1, 1, 1, 0, 1, 1],
        ),
        (
            170,
            &[41, 50, 49, 59, 55, 57, 60],
            &[442, 525, 511, 593, 546, 564, 617],
            &[0, 1, 0, 1, 0, 0, 1],
        ),
        (
            750,
            &[70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120],
            &[
                135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240,
            ],
            &[1, 0, 1, 0, 1, 0, 1, 1, 1, 0, 0, 0, 0, 1, 1],
        ),
        (
            6_404_180,
            &[
                382_745, 799_601, 909_247, 729_069, 467_902, 44_328, 34_610, 698_150, 823_460, 903_959,
                853_665, 551_830, 610_856, 670_702, 488_960, 951_111, 323_046, 446_298, 931_161, 31_385,
                496_951, 264_724, 224_916, 169_684,
            ],
            &[
                825_594, 1_677_009, 1_676_628, 1_523_970, 943_972, 97_426, 69_666, 1_296_457, 1_679_693,
                1_902_996, 1_844_992, 1_049_289, 1_252_836, 1_319_836, 953_277, 2_067_538, 675_367, 853_655,
                1_826_027, 65_731, 901_489, 577_243, 466_257, 369_261,
            ],
            &[
                1, 1, 0, 1, 1, 1, 0, 0, 0, 1, 1, 0, 1, 0, 0, 1, 0, 0, 0, 0, 0, 1, 1, 1,
            ],
        ),
    ];
    // The optimum of the last is published as a figure too.
    let published = [309, 51, 150, 107, 900, 1735, 1458, 13_549_094];
    for ((capacity, weights, profits, selection), best) in rows.iter().zip(published) {
        let chosen = |figures: &[i64]| -> i64 {
            figures
                .iter()
                .zip(*selection)
                .map(|(figure, taken)| figure * i64::from(*taken))
                .sum()
        };
        assert_eq!(chosen(profits), best, "the published selection");
        assert!(chosen(weights) <= *capacity);
        let (worth, set) = knapsack(*capacity, weights, profits);
        assert_eq!(worth, best);
        let sum: i64 = set.iter().map(|&own| profits[own]).sum();
        assert_eq!(sum, best);
    }
}

/// Two constraints, worked out by hand: with 10 of money and 10 of time the two that fit together are worth 9; the best for money alone
/// takes too long.
#[test]
fn money_and_time_bind_together() {
    let choice = |worth, money, minutes| Choice {
        worth,
        money,
        minutes,
        ..Choice::default()
    };
    let problem = Problem::new(
        vec![
            choice(8, 2, 11),
            choice(5, 6, 4),
            choice(4, 4, 6),
            choice(3, 1, 1),
        ],
        Vec::new(),
    )
    .expect("sound");
    let set = |money, minutes| {
        let within = Within {
            money,
            minutes,
            worth: None,
        };
        problem.most(within, ANY).set.expect("a set")
    };
    assert_eq!(
        (set(Some(10), Some(10)).worth, set(Some(10), Some(10)).chosen),
        (9, 0b0110)
    );
    assert_eq!(set(Some(10), None).worth, 16);
    assert_eq!(set(Some(3), Some(10)).chosen, 0b1000);
    let least = problem.least_money(9, Within::default(), ANY).set.expect("a set");
    assert_eq!((least.chosen, least.money, least.minutes), (0b1001, 3, 12));
    let quick = problem.least_time(7, Within::default(), ANY).set.expect("a set");
    assert_eq!((quick.chosen, quick.minutes), (0b1010, 5));
}

/// A shared cost is paid once; what needs another brings it; what shuts another out goes without it.
#[test]
fn needs_exclusions_and_what_is_shared() {
    let choice = |worth, money, needs: &[usize], not_with: &[usize]| Choice {
        worth,
        money,
        minutes: 0,
        needs: needs.to_vec(),
        not_with: not_with.to_vec(),
    };
    let problem = Problem::new(
        vec![
            choice(5, 3, &[], &[]),
            choice(5, 3, &[], &[]),
            choice(9, 1, &[0], &[1]),
        ],
        vec![Shared {
            money: 10,
            minutes: 0,
            of: vec![0, 1],
        }],
    )
    .expect("sound");
    assert_eq!(problem.sum(0b011).money, 16);
    assert!(!problem.goes_together(0b110));
    assert!(!problem.goes_together(0b100));
    let (points, cut) = problem.frontier(Within::default(), ANY);
    assert!(!cut);
    let shown: Vec<(i64, i64, Chosen)> = points
        .iter()
        .map(|set| (set.money, set.worth, set.chosen))
        .collect();
    // 13 buys one of the two (5), 14 that and the third (14); both of the first are worth 10 and cost 16, so nobody wants them.
    assert_eq!(shown, [(0, 0, 0), (13, 5, 0b001), (14, 14, 0b101)]);
}

#[test]
fn figures_that_cannot_be() {
    let below = Choice {
        money: -1,
        ..Choice::default()
    };
    assert_eq!(
        Problem::new(vec![below], Vec::new()).err(),
        Some(Unsearchable::Figure)
    );
    let many = vec![Choice::default(); 129];
    assert_eq!(Problem::new(many, Vec::new()).err(), Some(Unsearchable::TooMany));
    let nothing = Problem::new(Vec::new(), Vec::new()).expect("sound");
    let set = nothing.most(Within::default(), ANY).set.expect("the empty one");
    assert_eq!((set.chosen, set.worth), (0, 0));
    let broke = Within {
        money: Some(-1),
        ..Within::default()
    };
    assert_eq!(nothing.most(broke, ANY).set, None);
}

/// A generated problem.
#[derive(Debug, Clone)]
struct Made {
    choices: Vec<Choice>,
    shared: Vec<Shared>,
    money: i64,
    minutes: i64,
    cap: i64,
    banned: Vec<Chosen>,
}

fn made(most: usize) -> impl Strategy<Value = Made> {
    (1..=most)
        .prop_flat_map(|count| {
            let one = (-2..30i64, 0..40i64, 0..40i64, 0..count, 0..8u8, 0..count, 0..8u8);
            let shared = (0..60i64, 0..60i64, proptest::collection::vec(0..count, 1..4));
            (
                proptest::collection::vec(one, count),
                proptest::collection::vec(shared, 0..4),
                0..400i64,
                0..400i64,
                10..400i64,
                proptest::collection::vec(0..(1u128 << count), 0..6),
            )
        })
        .prop_map(|(all, shared, money, minutes, cap, banned)| Made {
            choices: all
                .into_iter()
                .enumerate()
                .map(|(own, (worth, money, minutes, needs, is, not, shuts))| Choice {
                    worth,
                    money,
                    minutes,
                    needs: if is == 0 && needs != own {
                        vec![needs]
                    } else {
                        Vec::new()
                    },
                    not_with: if shuts == 0 && not != own {
                        vec![not]
                    } else {
                        Vec::new()
                    },
                })
                .collect(),
            shared: shared
                .into_iter()
                .map(|(money, minutes, of)| Shared { money, minutes, of })
                .collect(),
            money,
            minutes,
            cap,
            banned,
        })
}

/// Every set that keeps to all, by its definition.
fn every(made: &Made) -> Vec<Set> {
    let count = made.choices.len();
    let mut all = Vec::new();
    for chosen in 0..(1u128 << count) {
        let has = |own: usize| chosen >> own & 1 == 1;
        let together = (0..count).filter(|&own| has(own)).all(|own| {
            made.choices[own].needs.iter().all(|&other| has(other))
                && made.choices[own].not_with.iter().all(|&other| !has(other))
        });
        if !together || made.banned.contains(&chosen) {
            continue;
        }
        let mut set = Set {
            chosen,
            worth: 0,
            money: 0,
            minutes: 0,
        };
        for own in (0..count).filter(|&own| has(own)) {
            set.worth += made.choices[own].worth;
            set.money += made.choices[own].money;
            set.minutes += made.choices[own].minutes;
        }
        for shared in &made.shared {
            if shared.of.iter().any(|&own| has(own)) {
                set.money += shared.money;
                set.minutes += shared.minutes;
            }
        }
        if set.minutes <= made.minutes && set.worth <= made.cap {
            all.push(set);
        }
    }
    all
}

fn same_as_going_through_all(made: &Made) -> Result<(), TestCaseError> {
    let problem = Problem::new(made.choices.clone(), made.shared.clone()).expect("sound");
    let all = every(made);
    let allowed = |set: &Set| !made.banned.contains(&set.chosen);
    let within = Within {
        money: Some(made.money),
        minutes: Some(made.minutes),
        worth: Some(made.cap),
    };
    let figures = |set: Set| (set.worth, set.money, set.minutes);
    // The most for the money, then the cheapest, then the shortest.
    let best = all
        .iter()
        .filter(|set| set.money <= made.money)
        .map(|set| (set.worth, -set.money, -set.minutes))
        .max();
    let found = problem.most(within, &allowed).set;
    if let Some(found) = found {
        prop_assert!(problem.goes_together(found.chosen) && allowed(&found));
        prop_assert_eq!(problem.sum(found.chosen), found);
    }
    prop_assert_eq!(found.map(|set| (set.worth, -set.money, -set.minutes)), best);
    // The least money for each of some worths.
    let free = Within {
        money: None,
        ..within
    };
    for worth in [0, made.cap / 3, made.cap / 2] {
        let enough = || all.iter().filter(|set| set.worth >= worth);
        let least = enough().map(|set| (set.money, set.minutes)).min();
        let found = problem.least_money(worth, free, &allowed).set;
        prop_assert_eq!(found.map(|set| (set.money, set.minutes)), least);
        let quickest = enough().map(|set| (set.minutes, set.money)).min();
        let found = problem.least_time(worth, free, &allowed).set;
        prop_assert_eq!(found.map(|set| (set.minutes, set.money)), quickest);
    }
    // What each sum of money buys: the sets of which none is as good and cheaper.
    let (points, cut) = problem.frontier(free, &allowed);
    prop_assert!(!cut);
    let mut wanted: Vec<(i64, i64)> = Vec::new();
    let mut sums: Vec<i64> = all.iter().map(|set| set.money).collect();
    sums.sort_unstable();
    sums.dedup();
    for sum in sums {
        let most = all
            .iter()
            .filter(|set| set.money <= sum)
            .map(|set| set.worth)
            .max();
        if let Some(most) = most.filter(|most| wanted.last().is_none_or(|last| last.1 < *most)) {
            wanted.push((sum, most));
        }
    }
    let shown: Vec<(i64, i64)> = points.iter().map(|set| (set.money, set.worth)).collect();
    prop_assert_eq!(shown, wanted);
    for point in points {
        let short = problem.shortest(point.worth, &point, free, &allowed);
        let least = all
            .iter()
            .filter(|set| set.money <= point.money && set.worth >= point.worth)
            .map(|set| set.minutes)
            .min();
        prop_assert_eq!(Some(short.minutes), least, "{:?}", figures(short));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn small_ones_are_the_same_as_going_through_all(made in made(10)) {
        same_as_going_through_all(&made)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    #[test]
    fn up_to_eighteen_are_the_same_as_going_through_all(made in made(18)) {
        same_as_going_through_all(&made)?;
    }
}

/// Forty that are all alike: nothing but the bound tells that no other twenty are better.
#[test]
fn what_is_all_alike_does_not_take_for_ever() {
    let alike = Choice {
        worth: 1000,
        money: 1000,
        minutes: 60,
        ..Choice::default()
    };
    let problem = Problem::new(vec![alike; 40], Vec::new()).expect("sound");
    let within = Within {
        money: Some(20_500),
        ..Within::default()
    };
    let found = problem.most(within, ANY);
    assert_eq!(
        (found.set.map(|set| set.worth), found.at_most),
        (Some(20_000), None)
    );
    let (points, cut) = problem.frontier(Within::default(), ANY);
    assert_eq!((points.len(), cut), (41, false));
}
