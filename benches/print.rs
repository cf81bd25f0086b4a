//! Printing the demonstration as a whole process; then the demonstration once and several times over, in all forms, against the page engine
//! alone on the source that was emitted. Prints medians of pairs of runs, pages, bytes and peak memory.
//!
//! `cargo bench --bench print`; with `--profile dev` the engine is not compiled again, and only the ratios count.

#![allow(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::path::Path;
use std::process::Command;
use std::sync::Arc;
use std::time::Instant;

use boltfolio::base::date::Date;
use boltfolio::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use boltfolio::base::source::Source;
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::compile;
use boltfolio::press;

#[path = "support/longer.rs"]
mod longer;

const RUNS: usize = 7;
const PAIRS: usize = 3;

/// The demonstration's drawings.
struct Figures;

impl Pictures for Figures {
    fn find(&self, _from: &str, file: &str) -> PictureFound {
        let name = file.rsplit('/').next().unwrap_or(file);
        match std::fs::read(Path::new("specs/ouzel-front/figures").join(name)) {
            Err(_) => PictureFound::Missing,
            Ok(bytes) => PictureFound::Is(PictureFile {
                key: name.to_owned(),
                kind: PictureKind::Svg,
                bytes: Arc::from(bytes),
            }),
        }
    }
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
    let day = Date {
        year: 2026,
        month: 3,
        day: 7,
    };
    for rounds in [1, 6] {
        let sources = || {
            let texts = longer::longer(rounds).into_iter();
            texts
                .map(|(path, text)| Source::new(path.clone(), text, path.contains("our-workshop")))
                .collect::<Vec<Source>>()
        };
        let (mut all, mut alone, mut ratios) = (Vec::new(), Vec::new(), Vec::new());
        let mut told = String::new();
        let before = peak();
        for _ in 0..PAIRS {
            let read = sources();
            press::forget();
            let start = Instant::now();
            let compilation = compile(read, &Figures);
            let compiled = start.elapsed().as_secs_f64();
            let document = bind(&compilation, &Wanted::printed(day));
            let bound = start.elapsed().as_secs_f64() - compiled;
            let Ok(printed) = press::pdf(&document) else {
                panic!("it prints")
            };
            let paper = start.elapsed().as_secs_f64();
            let most = peak();
            let labels = press::labels(&document);
            let text = press::markdown(&document).text.len();
            let data = press::data::data(&compilation, &document);
            let whole = start.elapsed().as_secs_f64();
            let start = Instant::now();
            let again = press::engine_alone(&document, &printed);
            let engine = start.elapsed().as_secs_f64();
            assert!(again.is_ok_and(|bytes| bytes == printed.pdf), "the same bytes");
            let pages = printed.pages as f64;
            all.push(whole * 1e3 / pages);
            alone.push(engine * 1e3 / pages);
            ratios.push((paper - compiled - bound) / engine);
            if told.is_empty() {
                let json = data.files.first().map_or(0, |(_, bytes)| bytes.len());
                told = format!(
                    "{} steps, {} pages, {} findings; compiled in {:.0} ms, bound in {:.0} ms; PDF {:.1} kB a page, Markdown {} kB, data {} kB, {} labels; {:.2} MB a page beyond the {before:.0} MB at the start",
                    compilation.plan.order.len(),
                    printed.pages,
                    compilation.findings.len(),
                    compiled * 1e3,
                    bound * 1e3,
                    printed.pdf.len() as f64 / pages / 1e3,
                    text / 1000,
                    json / 1000,
                    labels.ok().flatten().map_or(0, |sheets| sheets.labels),
                    (most - before) / pages,
                );
            }
        }
        println!("{told}");
        println!(
            "  all forms {:.2} ms a page, the engine alone {:.2}; PDF {:.2} times the engine alone (medians of {PAIRS})",
            median(all),
            median(alone),
            median(ratios)
        );
    }
    for steps in [600, 2400] {
        let compilation = compile(
            vec![Source::new("big.boltplan", longer::covers(steps), false)],
            &Figures,
        );
        let document = bind(&compilation, &Wanted::printed(day));
        let data = press::data::data(&compilation, &document);
        let json = data.files.first().map_or(0, |(_, bytes)| bytes.len());
        println!("data of {steps} steps: {} kB", json / 1000);
    }
}
