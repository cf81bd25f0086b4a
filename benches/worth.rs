//! Choosing among generated swaps with needs, exclusions and shared work: the best set for money and hours, the least money for a worth,
//! and all that money buys. `cargo bench --bench worth`.

#![allow(clippy::print_stdout, reason = "a benchmark speaks on the terminal")]

use std::time::Instant;

use boltfolio_core::reckon::choosing::{Choice, Problem, Set, Shared, Within};

/// A generator of numbers that is the same everywhere: Marsaglia's xorshift, 64 bits.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }

    fn between(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.below(u64::try_from(high - low).unwrap_or(1))).unwrap_or(0)
    }
}

/// Grams, cents and minutes as swaps of a car have them.
fn problem(count: usize, seed: u64) -> Problem {
    let mut numbers = Numbers(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let choices = (0..count)
        .map(|own| {
            let worth = numbers.between(200, 15_000);
            let one_in = |numbers: &mut Numbers, share: u64| numbers.below(share) == 0 && own > 0;
            let other = |numbers: &mut Numbers| {
                usize::try_from(numbers.below(u64::try_from(own).unwrap_or(1).max(1))).unwrap_or(0)
            };
            let needs = if one_in(&mut numbers, 5) {
                vec![other(&mut numbers)]
            } else {
                Vec::new()
            };
            let not_with = if one_in(&mut numbers, 8) {
                vec![other(&mut numbers)]
            } else {
                Vec::new()
            };
            Choice {
                worth,
                money: numbers.between(0, 60_000),
                minutes: numbers.between(10, 600),
                needs,
                not_with,
            }
        })
        .collect();
    let shared = (0..count / 6)
        .map(|_| Shared {
            money: numbers.between(0, 10_000),
            minutes: numbers.between(0, 240),
            of: (0..3)
                .map(|_| usize::try_from(numbers.below(u64::try_from(count).unwrap_or(1))).unwrap_or(0))
                .collect(),
        })
        .collect();
    Problem::new(choices, shared).unwrap_or_else(|why| unreachable!("{why:?}"))
}

fn main() {
    let any: &dyn Fn(&Set) -> bool = &|_| true;
    for count in [18, 40, 60] {
        for seed in 1..=4 {
            let problem = problem(count, seed);
            let whole = problem.sum(u128::MAX >> (128 - count));
            let within = Within {
                money: Some(whole.money / 3),
                minutes: Some(whole.minutes / 3),
                worth: None,
            };
            let began = Instant::now();
            let best = problem.most(within, any);
            let most = began.elapsed();
            let worth = best.set.map_or(0, |set| set.worth * 2 / 3);
            let began = Instant::now();
            let least = problem.least_money(
                worth,
                Within {
                    money: None,
                    ..within
                },
                any,
            );
            let money = began.elapsed();
            let began = Instant::now();
            let (points, cut) = problem.frontier(
                Within {
                    money: None,
                    ..within
                },
                any,
            );
            let frontier = began.elapsed();
            println!(
                "{count} swaps, seed {seed}: best {:.2} ms{}, least money {:.2} ms{}, frontier {} points {:.1} ms{}",
                most.as_secs_f64() * 1e3,
                if best.at_most.is_some() { " (cut)" } else { "" },
                money.as_secs_f64() * 1e3,
                if least.at_most.is_some() { " (cut)" } else { "" },
                points.len(),
                frontier.as_secs_f64() * 1e3,
                if cut { " (cut)" } else { "" },
            );
        }
    }
}
