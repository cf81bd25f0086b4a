//! The walk and the judging of generated plans of 1,000, 10,000 and 100,000 steps with as many joints, against `toml` reading a
//! text of the same size twice; how the time grows; the worst cases on purpose; the peak of memory. `cargo bench --bench walk`.

#![allow(
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a benchmark speaks on the terminal, and may stop at a mistake of its own"
)]

#[path = "support/generate_toml.rs"]
mod generate_toml;
#[path = "support/machines.rs"]
mod machines;

use std::hint::black_box;
use std::process::Command;
use std::time::{Duration, Instant};

use boltfolio_core::analysis::Analysis;
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::{Source, Sources};
use boltfolio_core::compile::compile;
use boltfolio_core::plan::model::{Plan, Thing};
use boltfolio_core::plan::plan_error::PlanError;
use boltfolio_core::plan::resolve::resolve;
use boltfolio_core::rules::{self, support_balance, support_loads};
use boltfolio_core::syntax::grammar;
use boltfolio_core::walk::draft::draft;
use boltfolio_core::walk::walk;
use boltfolio_core::weights::{Table as Masses, Weights};

const STEPS: [usize; 3] = [1_000, 10_000, 100_000];
const WORST: [usize; 3] = [2_000, 10_000, 50_000];
/// What grows as the square is five times five as long at the next size: more than this nobody waits for, nor for what memory it takes.
const LONG: Duration = Duration::from_secs(60);
/// Asked of this program itself: walk one plan of so many steps and tell what memory that took.
const PEAK: &str = "--peak-memory";

fn main() {
    let words: Vec<String> = std::env::args().collect();
    if let Some(at) = words.iter().position(|word| word == PEAK) {
        return peak_memory(
            words
                .get(at + 1)
                .and_then(|steps| steps.parse().ok())
                .unwrap_or(1_000),
        );
    }
    machines();
    masses();
    worst();
    cliques();
    drafts();
    for steps in STEPS {
        let report = std::env::current_exe()
            .ok()
            .and_then(|own| Command::new(own).args([PEAK, &steps.to_string()]).output().ok());
        if let Some(report) = report {
            print!("{}", String::from_utf8_lossy(&report.stdout));
        }
    }
}

fn read(text: &str) -> Plan {
    let sources = Sources::new(vec![Source::new("plan.boltplan", text.to_owned(), false)]);
    let trees: Vec<_> = sources
        .iter()
        .map(|(_, source)| grammar::parse(source.text()))
        .collect();
    let resolved = resolve(&sources, &trees, &NoPictures);
    let unread = resolved
        .slips
        .iter()
        .find(|slip| !matches!(slip, PlanError::NeverUsed { .. }));
    assert!(unread.is_none(), "the text is without a mistake: {unread:?}");
    resolved.plan
}

/// The least of several times, fewer the longer one takes.
fn least(mut work: impl FnMut()) -> Duration {
    let mut least = Duration::MAX;
    for _ in 0..5 {
        let from = Instant::now();
        work();
        least = least.min(from.elapsed());
        if least > Duration::from_secs(2) {
            break;
        }
    }
    least
}

/// Walk, and judging of what it found.
fn took(plan: &Plan) -> [Duration; 2] {
    let walked = walk(plan, &Masses::of(plan));
    let walk = least(|| drop(black_box(walk(plan, &Masses::of(plan)))));
    let judge = least(|| {
        let (told, _) = rules::judge(plan, Vec::new(), Some(&walked), &Analysis::default());
        let first = told.first().map(|finding| &finding.what);
        assert!(first.is_none(), "a plan without a finding: {first:?}");
    });
    [walk, judge]
}

/// By which power of the size the time grows, between two sizes.
fn power(small: (usize, Duration), large: (usize, Duration)) -> f64 {
    let times = large.1.as_secs_f64() / small.1.as_secs_f64();
    times.ln() / (large.0 as f64 / small.0 as f64).ln()
}

fn machines() {
    println!("Machines in a row, stripped and built again:");
    let mut last = None;
    for steps in STEPS {
        let text = machines::machines(steps);
        let plan = read(&text);
        let [walk, judge] = took(&plan);
        let both = walk + judge;
        let data = generate_toml::text(text.len());
        let toml = least(|| {
            drop(black_box(
                data.parse::<toml::Table>().expect("the generated text is TOML"),
            ))
        });
        let grown = last.map_or(String::new(), |last| {
            format!(", grows by n^{:.2}", power(last, (steps, both)))
        });
        println!(
            "{steps:>7} steps, {} joints, {:.1} MB: walk {:.1?}, judge {:.1?}{grown}; toml reads as much twice in {:.1?}: ratio {:.2}",
            plan.joints.len(),
            text.len() as f64 / 1e6,
            walk,
            judge,
            toml * 2,
            both.as_secs_f64() / (toml * 2).as_secs_f64()
        );
        last = Some((steps, both));
    }
}

/// What following masses, loads and the centre costs over the walk alone, on machines with places and a vehicle that was weighed.
fn masses() {
    println!("Masses, loads and the centre after every act:");
    for steps in STEPS {
        let plan = read(&machines::weighed(steps));
        let walked = walk(&plan, &Masses::of(&plan));
        let alone = least(|| drop(black_box(walk(&plan, &Masses::of(&plan)))));
        let more = least(|| {
            let weights = Weights::new(&plan);
            let mut findings = Vec::new();
            support_loads::check(&weights, &walked, &mut findings);
            support_balance::check(&plan, &walked, &Analysis::default(), &mut findings);
            assert!(
                findings.is_empty(),
                "a plan without a finding: {:?}",
                findings.first()
            );
        });
        println!(
            "{steps:>7} steps: walk {alone:.1?}, masses and balance {more:.1?} over {} changes: both {:.2} times the walk alone",
            walked.loads.len(),
            (alone + more).as_secs_f64() / alone.as_secs_f64()
        );
    }
}

fn worst() {
    type Case = (&'static str, fn(usize) -> String);
    let cases: [Case; 6] = [
        (
            "One assembly of n parts, undone one by one",
            machines::one_assembly,
        ),
        (
            "A chain of n, held at its end, undone from the body outwards",
            machines::chain_from_the_body,
        ),
        (
            "A chain of n, held by nothing, undone from the body outwards",
            machines::chain_that_falls,
        ),
        (
            "A chain of n, taken down from its end",
            machines::chain_from_the_end,
        ),
        ("A star of n on one hub", machines::star),
        ("A row of n springs", machines::springs),
    ];
    for (what, text) in cases {
        println!("{what}:");
        let mut last: Option<(usize, Duration)> = None;
        for count in WORST {
            let plan = read(&text(count));
            let from = Instant::now();
            let walked = walk(&plan, &Masses::of(&plan));
            let took = from.elapsed();
            let grown = last.map_or(String::new(), |last| {
                format!(", grows by n^{:.2}", power(last, (count, took)))
            });
            println!(
                "{count:>7}: walk {took:.1?}, {} breaks{grown}",
                walked.breaks.len()
            );
            last = Some((count, took));
            if took * 25 > LONG {
                break;
            }
        }
    }
}

/// Every part joined to every other one: the work is asked by joint.
fn cliques() {
    println!("n parts, each joined to each other:");
    let mut last: Option<(usize, Duration)> = None;
    for parts in [80, 160, 320] {
        let plan = read(&machines::clique(parts));
        let joints = plan.joints.len();
        let took = least(|| drop(black_box(walk(&plan, &Masses::of(&plan)))));
        let grown = last.map_or(String::new(), |last| {
            format!(", grows by joints^{:.2}", power(last, (joints, took)))
        });
        println!("{parts:>7} parts, {joints} joints: walk {took:.1?}{grown}");
        last = Some((joints, took));
    }
}

/// Working out how an assembly comes off, against linting the plan that declares it.
fn drafts() {
    let text = machines::to_draft(2_000);
    let source = || vec![Source::new("plan.boltplan", text.clone(), false)];
    let plan = compile(source(), &NoPictures).plan;
    let all = plan
        .assemblies
        .ids()
        .next()
        .map(Thing::Assembly)
        .expect("an assembly");
    let lint = least(|| drop(black_box(compile(source(), &NoPictures))));
    let took = least(|| {
        let draft = draft(&plan, &Masses::of(&plan), all, None).expect("it comes off");
        black_box(draft.text(&plan, all));
    });
    println!(
        "An assembly of {} joints drafted in {took:.1?}; linted five times in {:.1?}: ratio {:.2}",
        plan.joints.len(),
        lint * 5,
        took.as_secs_f64() / (lint * 5).as_secs_f64()
    );
}

/// What the system says of this process; nothing where it does not say.
fn kilobytes(key: &str) -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with(key))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

fn peak_memory(steps: usize) {
    let plan = read(&machines::machines(steps));
    let Some(before) = kilobytes("VmRSS:") else {
        println!("peak memory: not measured on this system");
        return;
    };
    let walked = walk(&plan, &Masses::of(&plan));
    let after = kilobytes("VmRSS:").unwrap_or(before);
    black_box((walked, plan));
    println!(
        "{steps:>7} steps: the walk holds {:.1} MB, {:.0} bytes a step; the plan itself {:.1} MB",
        (after - before) / 1024.0,
        (after - before) * 1024.0 / steps as f64,
        before / 1024.0
    );
}
