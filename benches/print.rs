//! Printing the demonstration as a whole process, against the page engine alone on the source that was emitted. Prints
//! medians, the ratio of each pair of runs, pages, bytes and peak memory; the same for as many steps again.
//!
//! `cargo bench --bench print`

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use boltfolio::base::date::Date;
use boltfolio::base::picture::NoPictures;
use boltfolio::base::source::Source;
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::compile;
use boltfolio::press;

const RUNS: usize = 7;

/// The starter with its refit repeated, so that it has so many steps.
fn plan_of(steps: usize) -> String {
    let mut text = String::from(
        "plan big \"A long job\"; for wren\nvehicle wren \"Wren 900\"; body shell\nperson ada \"Ada\"; lifts 20 kg\n",
    );
    for n in 0..steps {
        text.push_str(&format!(
            "part cover-{n} \"Cover {n}\"; mass 2 kg quoted\njoint cover-bolts-{n}: cover-{n} to shell; carries; bolts 4 x M8x1.25 class 8.8; head 13 mm; torque 22 N m\n\
             step round-{n} \"Cover {n} off and on\"; by ada; time 10 min (5 to 20); undo cover-bolts-{n}; take off cover-{n}; fit cover-{n}; start cover-bolts-{n}; tighten cover-bolts-{n}\n"
        ));
    }
    text
}

fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Peak resident memory of this process in MB.
fn peak() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok())
        .unwrap_or(f64::NAN)
        / 1024.0
}

fn main() {
    let started = Path::new("specs/ouzel-front").exists();
    assert!(started, "run it from the repository's root");
    let out = std::env::temp_dir().join("boltfolio-bench");
    let whole = || {
        let start = Instant::now();
        let done = Command::new(env!("CARGO_BIN_EXE_boltfolio"))
            .args(["print", "specs/ouzel-front", "--form", "pdf", "--to"])
            .arg(&out)
            .output();
        assert!(done.is_ok_and(|output| output.status.success()), "it prints");
        start.elapsed().as_secs_f64()
    };
    let times = median((0..RUNS).map(|_| whole()).collect());
    println!("print of the demonstration, whole process: {:.0} ms", times * 1e3);
    for steps in [60, 600, 2400] {
        let source = Source::new("big.boltplan", plan_of(steps), false);
        let start = Instant::now();
        let compilation = compile(vec![source], &NoPictures);
        let compiled = start.elapsed().as_secs_f64();
        let day = Date {
            year: 2026,
            month: 3,
            day: 7,
        };
        let document = bind(&compilation, &Wanted::printed(day));
        let Ok(printed) = press::pdf(&document) else {
            panic!("it prints")
        };
        let all = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let again = press::engine_alone(&document, &printed);
        let alone = start.elapsed().as_secs_f64();
        assert!(again.is_ok_and(|bytes| bytes == printed.pdf), "the same bytes");
        println!(
            "{steps} steps: compiled in {:.0} ms, printed in {:.0} ms ({:.2} times the engine alone), {} pages, {:.1} ms a page, {} bytes a page, peak {:.0} MB",
            compiled * 1e3,
            all * 1e3,
            all / alone,
            printed.pages,
            all * 1e3 / printed.pages as f64,
            printed.pdf.len() / printed.pages,
            peak(),
        );
    }
}
