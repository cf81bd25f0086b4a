//! Reading and resolving a generated plan of 10 MB, against `toml` reading the same matter in a text of the same size: the
//! ratio in one run, the peak of memory for a byte of text, then each part alone. `cargo bench --bench parse`.

#![allow(
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a benchmark speaks on the terminal, and may stop at a mistake of its own"
)]

#[path = "../tests/support/generate.rs"]
mod generate;
#[path = "support/generate_toml.rs"]
mod generate_toml;

use std::hint::black_box;
use std::process::Command;
use std::time::{Duration, Instant};

use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::{Source, Sources};
use boltfolio_core::plan::resolve::{Resolved, resolve};
use boltfolio_core::syntax::grammar;
use boltfolio_core::syntax::tree::Tree;
use divan::Bencher;
use divan::counter::BytesCount;

const SIZE: usize = 10_000_000;
const ROUNDS: usize = 9;
/// Asked of this program itself: compile one plan and tell what memory that took.
const PEAK: &str = "--peak-memory";

fn main() {
    if std::env::args().any(|word| word == PEAK) {
        return peak_memory();
    }
    ratio();
    if let Some(report) = std::env::current_exe()
        .ok()
        .and_then(|own| Command::new(own).arg(PEAK).output().ok())
    {
        print!("{}", String::from_utf8_lossy(&report.stdout));
    }
    divan::main();
}

fn sources(text: String) -> Sources {
    Sources::new(vec![Source::new("plan.boltplan", text, false)])
}

fn trees(sources: &Sources) -> Vec<Tree> {
    sources
        .iter()
        .map(|(_, source)| grammar::parse(source.text()))
        .collect()
}

fn resolved(sources: &Sources) -> Resolved {
    resolve(sources, &trees(sources), &NoPictures)
}

fn read_toml(text: &str) -> toml::Table {
    text.parse().expect("the generated text is TOML")
}

/// Both in turn, so that whatever else the machine does falls on both; the least of each is compared.
fn ratio() {
    let (plan, data) = (generate::plan(SIZE), generate_toml::text(SIZE));
    let (mut ours, mut theirs) = (Duration::MAX, Duration::MAX);
    let mut sums = [Duration::ZERO; 2];
    for _ in 0..ROUNDS {
        let text = plan.clone();
        let from = Instant::now();
        let sources = sources(text);
        let resolved = resolved(&sources);
        let took = from.elapsed();
        assert!(
            resolved.slips.is_empty(),
            "the generated plan is without a mistake"
        );
        ours = ours.min(took);
        sums[0] += took;
        drop((resolved, sources));

        let from = Instant::now();
        let table = black_box(read_toml(&data));
        let took = from.elapsed();
        theirs = theirs.min(took);
        sums[1] += took;
        drop(table);
    }
    println!(
        "{} MB: parse and resolve {ours:.1?}, toml {theirs:.1?}: ratio {:.2} of the least, {:.2} of the means, on {} threads",
        SIZE / 1_000_000,
        ours.as_secs_f64() / theirs.as_secs_f64(),
        sums[0].as_secs_f64() / sums[1].as_secs_f64(),
        std::thread::available_parallelism().map_or(1, usize::from),
    );
}

/// What the system says of this process; nothing where it does not say.
fn kilobytes(key: &str) -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with(key))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

fn peak_memory() {
    let text = generate::plan(SIZE);
    let bytes = text.len() as f64;
    let Some(before) = kilobytes("VmRSS:") else {
        println!("peak memory: not measured on this system");
        return;
    };
    let sources = sources(text);
    let resolved = resolved(&sources);
    let peak = kilobytes("VmHWM:").unwrap_or(before);
    let held = kilobytes("VmRSS:").unwrap_or(before);
    black_box((resolved, sources));
    // The text itself lay there before, so it is counted once more.
    let share = |after: f64| (after - before) * 1024.0 / bytes + 1.0;
    println!(
        "memory for a byte of text, the text included: {:.1} bytes at the peak, {:.1} held at the end",
        share(peak),
        share(held)
    );
}

#[divan::bench(sample_count = 10)]
fn parse(bencher: Bencher) {
    let sources = sources(generate::plan(SIZE));
    bencher
        .counter(BytesCount::new(SIZE))
        .bench_local(|| trees(&sources));
}

#[divan::bench(sample_count = 10)]
fn resolve_alone(bencher: Bencher) {
    let sources = sources(generate::plan(SIZE));
    let trees = trees(&sources);
    bencher
        .counter(BytesCount::new(SIZE))
        .bench_local(|| resolve(&sources, &trees, &NoPictures));
}

#[divan::bench(sample_count = 10)]
fn toml_alone(bencher: Bencher) {
    let text = generate_toml::text(SIZE);
    bencher
        .counter(BytesCount::new(SIZE))
        .bench_local(|| read_toml(&text));
}
