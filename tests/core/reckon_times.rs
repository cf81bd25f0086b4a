//! Times of work against textbooks: three-point estimates and networks of activities. The source stands beside each check. What follows
//! what in the first network is from memory; its durations and results were seen.

use boltfolio_core::reckon::durations::{Chain, Estimate};
use boltfolio_core::reckon::network::{Activity, Network, network, on_every_path};
use boltfolio_core::reckon::pace::{Job, Pace, Took};
use boltfolio_core::reckon::unfit::Unfit;
use petgraph::graph::{DiGraph, NodeIndex};
use proptest::prelude::*;

fn near(found: f64, wanted: f64, within: f64, what: &str) {
    assert!((found - wanted).abs() <= within, "{what}: {found}, not {wanted}");
}

/// Letters with their durations and what they wait for.
fn lettered(list: &[(char, f64, &str)]) -> Vec<Activity> {
    let place = |letter: char| list.iter().position(|(other, ..)| *other == letter);
    list.iter()
        .map(|(_, takes, behind)| Activity {
            takes: *takes,
            behind: behind
                .chars()
                .map(|letter| place(letter).expect("listed"))
                .collect(),
        })
        .collect()
}

fn done(list: &[(char, f64, &str)]) -> Network {
    network(&lettered(list)).expect("a plain network")
}

/// Hillier and Lieberman, Introduction to Operations Research: the Reliable Construction Company.
const CONSTRUCTION: &[(char, f64, &str)] = &[
    ('A', 2.0, ""),
    ('B', 4.0, "A"),
    ('C', 10.0, "B"),
    ('D', 6.0, "C"),
    ('E', 4.0, "C"),
    ('F', 5.0, "E"),
    ('G', 7.0, "D"),
    ('H', 9.0, "EG"),
    ('I', 7.0, "C"),
    ('J', 8.0, "FI"),
    ('K', 4.0, "J"),
    ('L', 5.0, "J"),
    ('M', 2.0, "H"),
    ('N', 6.0, "KL"),
];

#[test]
fn the_construction_takes_44_weeks() {
    let found = done(CONSTRUCTION);
    near(found.length, 44.0, 1e-9, "weeks");
    let spare: Vec<(char, f64)> = CONSTRUCTION
        .iter()
        .zip(&found.times)
        .filter(|(_, times)| times.spare() > 0.0)
        .map(|((letter, ..), times)| (*letter, times.spare()))
        .collect();
    assert_eq!(
        spare,
        [
            ('D', 4.0),
            ('G', 4.0),
            ('H', 4.0),
            ('I', 2.0),
            ('K', 1.0),
            ('M', 4.0)
        ]
    );
    let without: String = CONSTRUCTION
        .iter()
        .zip(&found.times)
        .filter(|(_, times)| times.spare() == 0.0)
        .map(|((letter, ..), _)| *letter)
        .collect();
    assert_eq!(without, "ABCEFJLN");
}

#[test]
fn early_and_late_starts_of_the_filter() {
    // Heizer and Render, Operations Management: Milwaukee Paper Manufacturing.
    let found = done(&[
        ('A', 2.0, ""),
        ('B', 3.0, ""),
        ('C', 2.0, "A"),
        ('D', 4.0, "AB"),
        ('E', 4.0, "C"),
        ('F', 3.0, "C"),
        ('G', 5.0, "DE"),
        ('H', 2.0, "FG"),
    ]);
    near(found.length, 15.0, 1e-9, "weeks");
    let early: Vec<f64> = found.times.iter().map(|times| times.early_start).collect();
    let late: Vec<f64> = found.times.iter().map(|times| times.late_start).collect();
    assert_eq!(early, [0.0, 0.0, 2.0, 3.0, 4.0, 4.0, 8.0, 13.0]);
    assert_eq!(late, [0.0, 1.0, 2.0, 4.0, 4.0, 10.0, 8.0, 13.0]);
}

#[test]
fn activities_on_arrows() {
    // Taylor, Introduction to Management Science, chapter 8: 1-2, 1-3, 2-4, 3-4, 3-5, 4-5, 5-6.
    let found = done(&[
        ('a', 7.0, ""),
        ('b', 10.0, ""),
        ('c', 6.0, "a"),
        ('d', 5.0, "b"),
        ('e', 4.0, "b"),
        ('f', 3.0, "cd"),
        ('g', 2.0, "ef"),
    ]);
    near(found.length, 20.0, 1e-9, "length");
    for (at, spare) in [(0, 2.0), (2, 2.0), (4, 4.0)] {
        near(found.times[at].spare(), spare, 1e-9, "to spare");
    }
}

#[test]
fn expected_times() {
    // Slides on operations management; A to I.
    for ((best, likely, worst), expected) in [
        ((3.0, 6.0, 15.0), 7.0),
        ((2.0, 4.0, 14.0), 5.333),
        ((6.0, 12.0, 30.0), 14.0),
        ((2.0, 5.0, 8.0), 5.0),
        ((5.0, 11.0, 17.0), 11.0),
        ((3.0, 6.0, 15.0), 7.0),
        ((3.0, 9.0, 27.0), 11.0),
        ((1.0, 4.0, 7.0), 4.0),
        ((4.0, 19.0, 28.0), 18.0),
    ] {
        let estimate = Estimate::new(best, likely, worst).expect("in order");
        near(estimate.expected(), expected, 0.0005, "expected");
    }
}

#[test]
fn chains_of_guesses() {
    // Stevenson, Operations Management: three paths, their lengths and standard deviations.
    for (pieces, length, deviation) in [
        ([(5.0, 6.0, 7.0), (6.0, 8.0, 11.0), (5.0, 6.0, 9.0)], 20.5, 1.118),
        ([(9.0, 12.0, 15.0), (5.0, 6.0, 7.0), (2.0, 3.0, 7.0)], 21.5, 1.344),
        ([(8.0, 8.0, 11.0), (4.0, 4.0, 5.0), (5.0, 7.0, 8.0)], 19.5, 0.726),
    ] {
        let pieces: Vec<Estimate> = pieces
            .iter()
            .map(|(best, likely, worst)| Estimate::new(*best, *likely, *worst).expect("in order"))
            .collect();
        let chain = Chain::of(&pieces);
        near(chain.expected, length, 0.006, "length");
        near(chain.deviation, deviation, 0.001, "deviation");
        near(
            chain.chance_within(chain.expected).expect("a number"),
            0.5,
            1e-12,
            "even chance",
        );
        // The normal table: 0.9332 at z = 1.50, 0.9500 at z = 1.645.
        let late = chain.expected + 1.5 * chain.deviation;
        near(
            chain.chance_within(late).expect("a number"),
            0.9332,
            0.00005,
            "1.5",
        );
        let sure = chain.time_for(0.95).expect("a chance");
        near((sure - chain.expected) / chain.deviation, 1.645, 0.0005, "0.95");
    }
}

#[test]
fn what_makes_no_sense_is_refused() {
    assert!(matches!(Estimate::new(5.0, 4.0, 9.0), Err(Unfit::Outside { .. })));
    assert!(matches!(
        Estimate::new(-1.0, 4.0, 9.0),
        Err(Unfit::Negative { .. })
    ));
    assert!(matches!(
        Estimate::new(1.0, f64::NAN, 9.0),
        Err(Unfit::NoNumber { .. })
    ));
    let waits = |takes, behind: &[usize]| Activity {
        takes,
        behind: behind.to_vec(),
    };
    assert!(matches!(network(&[waits(1.0, &[0])]), Err(Unfit::Outside { .. })));
    assert!(matches!(
        network(&[waits(-1.0, &[])]),
        Err(Unfit::Negative { .. })
    ));
    assert_eq!(network(&[]).expect("nothing to do").length, 0.0);
    let sure = Chain::of(&[Estimate::new(3.0, 3.0, 3.0).expect("in order")]);
    assert_eq!(sure.chance_within(2.9), Ok(0.0));
    assert_eq!(sure.chance_within(3.0), Ok(1.0));
}

fn activities() -> impl Strategy<Value = Vec<Activity>> {
    proptest::collection::vec((0u32..50, proptest::collection::vec(0usize..40, 0..4)), 1..40).prop_map(
        |list| {
            list.into_iter()
                .enumerate()
                .map(|(at, (takes, behind))| Activity {
                    takes: f64::from(takes),
                    behind: behind.into_iter().filter(|&before| before < at).collect(),
                })
                .collect()
        },
    )
}

proptest! {
    #[test]
    fn as_long_as_the_longest_path(list in activities()) {
        // By petgraph: the shortest path of negative lengths, from a start before all to an end behind all.
        let mut graph: DiGraph<(), f64> = DiGraph::new();
        let nodes: Vec<NodeIndex> = list.iter().map(|_| graph.add_node(())).collect();
        let (start, end) = (graph.add_node(()), graph.add_node(()));
        for (at, activity) in list.iter().enumerate() {
            graph.add_edge(start, nodes[at], 0.0);
            graph.add_edge(nodes[at], end, -activity.takes);
            for &before in &activity.behind {
                graph.add_edge(nodes[before], nodes[at], -list[before].takes);
            }
        }
        let paths = petgraph::algo::bellman_ford(&graph, start).expect("no ring");
        let found = network(&list).expect("in order");
        prop_assert!((found.length + paths.distances[end.index()]).abs() < 1e-9);
        // A piece that is so much longer makes the whole longer as soon as its spare time is used up.
        for at in 0..list.len() {
            for more in [0.0, 1.0] {
                let mut longer = list.clone();
                longer[at].takes += found.times[at].spare() + more;
                let whole = network(&longer).expect("in order").length;
                prop_assert!((whole - found.length - more).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn what_is_on_every_path(list in activities()) {
        // By reachability, pair by pair.
        let count = list.len();
        let mut reach = vec![vec![false; count]; count];
        for (at, activity) in list.iter().enumerate() {
            for &before in &activity.behind {
                let further = reach[before].clone();
                for (own, theirs) in reach[at].iter_mut().zip(further) {
                    *own |= theirs;
                }
                reach[at][before] = true;
            }
        }
        let slow: Vec<bool> = (0..count)
            .map(|at| (0..count).all(|other| other == at || reach[at][other] || reach[other][at]))
            .collect();
        prop_assert_eq!(on_every_path(&list), slow);
    }
}

/// Quantiles of the standard normal: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 (1.645 and 1.282).
#[test]
fn before_anything_is_logged_the_common_factor_is_that_of_practice() {
    let sure = Estimate::new(600.0, 600.0, 600.0).expect("a time");
    // A hundred pieces alike: what each has by itself nearly cancels, and what is common does not.
    let job = Job::of(&[sure; 100], Pace::default()).expect("pieces");
    near(job.middle() / 60_000.0, 1.0, 0.001, "the middle");
    let factor = |z: f64| 1.25_f64.powf(z);
    near(
        job.time_for(0.95).expect("a chance") / 60_000.0,
        factor(1.645),
        0.01,
        "one in twenty is longer",
    );
    near(
        job.time_for(0.1).expect("a chance") / 60_000.0,
        factor(-1.282),
        0.01,
        "one in ten is shorter",
    );
}

/// Against the posterior integrated over a fine grid: prior times likelihood, with nothing of the closed form.
#[test]
fn what_is_logged_teaches_as_it_should() {
    let done = [
        Took {
            expected: 30.0,
            deviation: 4.0,
            took: 35.0,
        },
        Took {
            expected: 45.0,
            deviation: 15.0,
            took: 65.0,
        },
        Took {
            expected: 20.0,
            deviation: 9.0,
            took: 18.0,
        },
    ];
    let learnt = Pace::default().learn(&done).expect("times");
    let density = |common: f64| {
        let normal = |x: f64, mean: f64, deviation: f64| (-((x - mean) / deviation).powi(2) / 2.0).exp();
        done.iter().fold(normal(common, 0.0, 1.25_f64.ln()), |all, one| {
            let own = (1.0 + (one.deviation / one.expected).powi(2))
                .ln()
                .sqrt()
                .max(1.2_f64.ln());
            // The median of a piece whose mean is what is expected.
            let median = one.expected.ln() - own * own / 2.0;
            all * normal(one.took.ln(), median + common, own)
        })
    };
    let grid: Vec<f64> = (-20_000..20_000).map(|at| f64::from(at) * 1e-4).collect();
    let whole: f64 = grid.iter().map(|&x| density(x)).sum();
    let mean: f64 = grid.iter().map(|&x| x * density(x)).sum::<f64>() / whole;
    let variance: f64 = grid.iter().map(|&x| (x - mean).powi(2) * density(x)).sum::<f64>() / whole;
    near(learnt.mean, mean, 1e-6, "the mean");
    near(learnt.variance, variance, 1e-6, "the variance");
    assert!(learnt.variance < Pace::default().variance);
    assert!(
        Pace::default()
            .learn(&[Took {
                expected: 0.0,
                deviation: 0.0,
                took: 3.0
            }])
            .is_err()
    );
}

proptest! {
    /// A headline lies in its own range, whatever is logged.
    #[test]
    fn the_middle_lies_between_the_ends(pieces in prop::collection::vec((1.0_f64..60.0, 0.0_f64..60.0, 0.0_f64..90.0), 1..40), took in 5.0_f64..200.0) {
        let pieces: Vec<Estimate> = pieces
            .into_iter()
            .map(|(best, more, most)| Estimate::new(best, best + more, best + more + most).expect("in order"))
            .collect();
        let pace = Pace::default().learn(&[Took { expected: 60.0, deviation: 10.0, took }]).expect("times");
        let job = Job::of(&pieces, pace).expect("pieces");
        let (from, to) = (job.time_for(0.05).expect("a chance"), job.time_for(0.95).expect("a chance"));
        prop_assert!(from < job.middle() && job.middle() < to);
    }
}

/// The chance of a time is what the time of a chance asks for; by the table of the normal distribution (value from memory) one standard
/// deviation is 0.8413.
#[test]
fn how_often_it_is_done_in_time() {
    let sure = Estimate::new(600.0, 600.0, 600.0).expect("a time");
    let job = Job::of(&[sure; 100], Pace::default()).expect("pieces");
    near(
        job.chance_within(60_000.0 * 1.25),
        0.8413,
        0.005,
        "a quarter more time",
    );
    near(
        job.chance_within(60_000.0),
        0.5,
        0.005,
        "as much as it takes mostly",
    );
    for chance in [0.05, 0.3, 0.9] {
        let time = job.time_for(chance).expect("a chance");
        near(job.chance_within(time), chance, 1e-4, "there and back");
    }
    near(job.chance_within(0.0), 0.0, 1e-12, "no time at all");
}
