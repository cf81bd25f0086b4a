//! Laying work out over the published instances: how far from the best end, and how long it takes. The instances stay outside of the project, since no
//! licence came with them: `BOLTFOLIO_RCPSP=FOLDER cargo bench --bench laying`. Then the timetables of generated plans.

#![allow(
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a benchmark speaks on the terminal, and may stop at a mistake of its own"
)]

#[path = "support/psplib.rs"]
mod psplib;
#[path = "support/weekends.rs"]
mod weekends;

use std::path::Path;
use std::time::{Duration, Instant};

use boltfolio_core::analysis::runs;
use boltfolio_core::analysis::timetable::{self, Laying};
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::Source;
use boltfolio_core::compile::compile;
use boltfolio_core::reckon::laying;
use boltfolio_core::reckon::laying_stock::Stock;

const FROM: u32 = 1_000;

fn main() {
    match std::env::var_os("BOLTFOLIO_RCPSP") {
        Some(folder) => instances(Path::new(&folder)),
        None => println!("BOLTFOLIO_RCPSP names no folder: the published instances are not measured"),
    }
    for steps in [100, 300, 1_000] {
        timetable(steps);
    }
}

/// A plan laid out in days: the first layout, and the best of as many as its steps call for.
fn timetable(steps: usize) {
    let source = Source::new("plan.boltplan", weekends::plan(steps), false);
    let done = compile(vec![source], &NoPictures);
    assert!(!done.unwalked, "{:?}", done.findings);
    let takes = runs::likely(&done.plan);
    let begins = timetable::begins(&done.plan, None).expect("a day");
    let began = Instant::now();
    let laying = Laying::new(&done.plan, &done.walk, &takes, begins).expect("work");
    let made_runs = began.elapsed();
    let began = Instant::now();
    let first = laying.first().expect("it can be laid out");
    let first_took = began.elapsed();
    let began = Instant::now();
    let schedules = timetable::effort(steps);
    let best = laying.best_of(schedules).expect("as the first one");
    println!(
        "{steps:>5} steps: cut into runs in {:.1} ms, first layout {:.1} ms, ends {}; best of {schedules} {:.1} ms, ends {} {}; not before {} {}",
        made_runs.as_secs_f64() * 1e3,
        first_took.as_secs_f64() * 1e3,
        first.ends.day,
        began.elapsed().as_secs_f64() * 1e3,
        best.ends.day,
        best.ends.minute,
        best.least.day,
        best.least.minute
    );
}

fn instances(folder: &Path) {
    let all = psplib::all(folder, FROM);
    for schedules in [1, 100, 300, 1_000, 5_000] {
        let (mut over, mut worst, mut missed) = (0.0, 0.0_f64, 0);
        let mut slowest = Duration::ZERO;
        for instance in &all {
            let began = Instant::now();
            let mut ground = Stock::new(instance.there, &instance.draws, 2 * FROM).expect("stocks");
            // The longest chain, and what is taken of each kind over what there is of it.
            let earliest = laying::earliest(&instance.pieces, &ground).expect("room");
            let chain = earliest.iter().map(|placed| placed.ends).max().unwrap_or(0);
            let least = (0..4).fold(chain, |least, kind| {
                let taken = instance
                    .draws
                    .iter()
                    .map(|draws| draws.takes * u32::from(draws.of_each[kind]));
                least.max(FROM + taken.sum::<u32>().div_ceil(u32::from(instance.there[kind])))
            });
            let first = laying::first(&instance.pieces, &mut ground).expect("room");
            let laid = laying::search(&instance.pieces, &mut ground, first, schedules, least, true);
            slowest = slowest.max(began.elapsed());
            assert!(laid.made <= schedules, "{}: {} layouts", instance.name, laid.made);
            let ends = laid.cost.ends - u64::from(FROM);
            let best = u64::from(instance.best);
            assert!(
                ends >= best,
                "{}: {ends} is under the proved {best}",
                instance.name
            );
            #[expect(clippy::cast_precision_loss, reason = "ends are small")]
            let far = (ends - best) as f64 / best as f64 * 100.0;
            over += far;
            worst = worst.max(far);
            missed += u32::from(ends > best);
        }
        #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
        let mean = over / all.len() as f64;
        println!(
            "{schedules:>5} layouts: {mean:.3} % over the best in the mean of {}, {worst:.1} % at most, {missed} missed; the slowest {:.1} ms",
            all.len(),
            slowest.as_secs_f64() * 1e3
        );
    }
}
