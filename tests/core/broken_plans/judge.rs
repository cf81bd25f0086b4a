//! What the compiler says to each break: whether it is noticed, and whether at its place; the table of shares; and the list of
//! those that are just as good. Knows not how a break was made.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use boltfolio_core::base::finding::Finding;
use boltfolio_core::compile::Compilation;

use super::breaks::Break;
use super::load::{Text, compiled};

/// A break and what was said to it.
#[derive(Debug)]
pub struct Judged {
    pub plan: &'static str,
    pub kind: String,
    pub place: String,
    /// One of the findings stands at, or names, the place of the break.
    pub placed: bool,
    /// The findings; none if it went unnoticed.
    pub said: Vec<String>,
}

impl Judged {
    pub fn is_noticed(&self) -> bool {
        !self.said.is_empty()
    }

    /// As the list of those that are just as good names it.
    pub fn key(&self) -> String {
        format!("{} | {} | {}", self.plan, self.kind, self.place)
    }
}

/// Judges all breaks of a plan, on as many threads as there are.
pub fn all(plan: &'static str, texts: &[Text], breaks: Vec<Break>) -> Vec<Judged> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new(Vec::new());
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(broken) = breaks.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let one = one(plan, texts, broken);
                    done.lock().expect("no thread stops half way").push(one);
                }
            });
        }
    });
    let mut all = done.into_inner().expect("no thread stops half way");
    all.sort_by(|a, b| (&a.kind, &a.place).cmp(&(&b.kind, &b.place)));
    all
}

fn one(plan: &'static str, texts: &[Text], broken: &Break) -> Judged {
    let done = compiled(&broken.applied(texts));
    Judged {
        plan,
        kind: broken.kind.clone(),
        place: broken.place.clone(),
        placed: done
            .findings
            .iter()
            .any(|finding| at_place(&done, finding, broken)),
        said: done
            .findings
            .iter()
            .map(|finding| format!("{}: {}", finding.rule.name, finding.what))
            .collect(),
    }
}

/// Whether a finding marks a step of the break, or is about something that the break handled.
fn at_place(done: &Compilation, finding: &Finding, broken: &Break) -> bool {
    let marks_step = finding.labels.iter().any(|label| {
        done.plan.steps.values().any(|step| {
            let block = step.head.block;
            broken.steps.iter().any(|name| **name == *step.head.name)
                && block.source == label.span.source
                && block.start <= label.span.start
                && label.span.end <= block.end
        })
    });
    let names = finding.about.iter().any(|about| {
        // An end of the vehicle is told as `ouzel front`.
        let first = about.split(' ').next().unwrap_or(about);
        broken.names.contains(about) || broken.names.contains(first)
    });
    let says = finding
        .what
        .split('`')
        .skip(1)
        .step_by(2)
        .any(|name| broken.names.contains(name));
    marks_step || names || says
}

/// Shares by kind.
pub fn table(all: &[Judged]) -> String {
    #[derive(Default)]
    struct Row {
        breaks: usize,
        noticed: usize,
        placed: usize,
        findings: usize,
    }
    let mut rows: BTreeMap<(usize, &str), Row> = BTreeMap::new();
    for one in all {
        for key in [(0, one.kind.as_str()), (1, one.plan), (2, "all")] {
            let row = rows.entry(key).or_default();
            row.breaks += 1;
            row.noticed += usize::from(one.is_noticed());
            row.placed += usize::from(one.placed);
            row.findings += one.said.len();
        }
    }
    let mut out = format!(
        "{:<45} {:>6} {:>7} {:>6} {:>9} {:>13}\n",
        "kind", "breaks", "noticed", "share", "at place", "findings each"
    );
    for ((_, name), row) in rows {
        let share = |part: usize, whole: usize| match whole {
            0 => "-".to_owned(),
            _ => format!("{:.1}%", part as f64 * 100.0 / whole as f64),
        };
        let each = row.findings as f64 / row.noticed.max(1) as f64;
        let _infallible = writeln!(
            out,
            "{name:<45} {:>6} {:>7} {:>6} {:>9} {each:>13.2}",
            row.breaks,
            row.noticed,
            share(row.noticed, row.breaks),
            share(row.placed, row.noticed),
        );
    }
    out
}

/// Breaks that leave a plan just as good, each with the reason.
#[derive(Debug, Default)]
pub struct Listed {
    reasons: BTreeMap<String, String>,
}

impl Listed {
    /// A line that begins with `because ` gives the reason of the indented lines below it; `#` begins a remark.
    pub fn read(text: &str) -> Self {
        let mut reason = String::new();
        let mut reasons = BTreeMap::new();
        for line in text
            .lines()
            .filter(|line| !line.trim().is_empty() && !line.starts_with('#'))
        {
            match line.strip_prefix("because ") {
                Some(new) => reason = new.trim().to_owned(),
                None => {
                    assert!(line.starts_with("  "), "neither a reason nor a break: {line}");
                    assert!(!reason.is_empty(), "no reason: {line}");
                    let before = reasons.insert(line.trim().to_owned(), reason.clone());
                    assert!(before.is_none(), "listed twice: {line}");
                }
            }
        }
        Self { reasons }
    }

    /// What is wrong with the list: it may only shrink.
    pub fn against(&self, all: &[Judged]) -> String {
        let mut out = String::new();
        let known: BTreeMap<String, &Judged> = all.iter().map(|one| (one.key(), one)).collect();
        let silent: BTreeSet<&String> = known
            .iter()
            .filter(|(_, one)| !one.is_noticed())
            .map(|(key, _)| key)
            .collect();
        let unlisted: Vec<&&String> = silent
            .iter()
            .filter(|key| !self.reasons.contains_key(**key))
            .collect();
        if !unlisted.is_empty() {
            out.push_str("Not noticed, and not listed as just as good:\n");
            for key in unlisted {
                let _infallible = writeln!(out, "  {key}");
            }
        }
        let stale: Vec<&String> = self.reasons.keys().filter(|key| !silent.contains(key)).collect();
        if !stale.is_empty() {
            out.push_str("Listed as just as good, and noticed or no longer there; take it out:\n");
            for key in stale {
                let said = known.get(key).map_or("no such break", |one| &one.said[0]);
                let _infallible = writeln!(out, "  {key}\n      {said}");
            }
        }
        out
    }
}
