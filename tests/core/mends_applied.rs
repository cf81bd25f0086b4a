//! Mends are text that can be pasted: each edit that a finding offers is applied, and the plan compiled again. That finding is
//! gone, and no fault is new. On the broken example of each rule's page, and on breaks of the demonstration plans.

#[allow(dead_code, reason = "where a break is at home is asked by the harness alone")]
use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::broken_plans::breaks;
use crate::broken_plans::load::{self, Text, compiled};
use crate::support::{fences, files};
use boltfolio_core::base::finding::{Edit, Finding, Severity};
use boltfolio_core::compile::Compilation;
use boltfolio_core::rules;

/// Families whose pages show a plan that has one thing wrong.
const WALKED: &[&str] = &["order", "support", "closing", "accepting"];

/// Kinds of break that leave one thing undone; of the others one mend may show the next thing that is missing.
const SINGLE: &[&str] = &["act deleted", "name of a list deleted", "acts exchanged"];

/// Of the mends of such breaks, how many in a hundred bring no other fault to light.
const CLEAN: f64 = 98.0;

/// Each break of this many is mended; all of them with `BOLTFOLIO_ALL=1`.
const EACH: usize = 4;

fn mended(texts: &[Text], edits: &[Edit]) -> Vec<Text> {
    let mut texts = texts.to_vec();
    let mut edits = edits.to_vec();
    edits.sort_by_key(|edit| std::cmp::Reverse((edit.span.source, edit.span.start, edit.span.end)));
    for edit in edits {
        let text = &mut texts[edit.span.source.0 as usize].text;
        text.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
    }
    texts
}

/// Names and reading are told for themselves; here it is about the work.
fn of_the_walk(finding: &Finding) -> bool {
    let family = rules::catalogue()
        .iter()
        .find(|family| family.rules.iter().any(|rule| rule.name == finding.rule.name));
    family.is_some_and(|family| WALKED.contains(&family.name))
}

/// What a finding says, without its place: an edit moves what stands behind it.
fn says(finding: &Finding) -> (&'static str, String) {
    (finding.rule.name, finding.what.clone())
}

fn count(findings: &[Finding]) -> BTreeMap<(&'static str, String), usize> {
    let mut all = BTreeMap::new();
    for finding in findings {
        *all.entry(says(finding)).or_default() += 1;
    }
    all
}

/// What came of the mends of one plan.
#[derive(Default)]
struct Tried {
    mends: usize,
    /// Findings that were still there.
    left: Vec<String>,
    /// Mends that brought another fault to light.
    next: Vec<String>,
}

/// Applies the mend of each finding by itself.
fn tried(name: &str, texts: &[Text], broken: &Compilation) -> Tried {
    let before = count(&broken.findings);
    let mut all = Tried::default();
    let offers = |finding: &&Finding| !finding.mend.edits.is_empty();
    for finding in broken.findings.iter().filter(offers) {
        all.mends += 1;
        let after = compiled(&mended(texts, &finding.mend.edits));
        let left = count(&after.findings);
        let tell = |what: &str| {
            format!(
                "{name}: {what}\n    {:?}\n    {:?}",
                says(finding),
                finding.mend.edits
            )
        };
        if left.get(&says(finding)).copied().unwrap_or(0) >= before[&says(finding)] {
            all.left.push(tell("the finding is still there"));
        }
        // An act that is put back somewhere else may want the caution that guarded it: that is told rightly.
        let new = after.findings.iter().find(|other| {
            other.severity == Severity::Fault
                && !other.rule.name.contains("caution")
                && left[&says(other)] > before.get(&says(other)).copied().unwrap_or(0)
        });
        if let Some(new) = new {
            all.next.push(tell(&format!("a new fault {:?}", says(new))));
        }
    }
    all
}

#[test]
fn mends_of_the_rules_pages() {
    let mut wrong = Vec::new();
    let mut mended = Vec::new();
    let families = rules::catalogue().iter();
    for (family, rule) in families.flat_map(|family| family.rules.iter().map(move |rule| (family, rule))) {
        let Some(fence) = fences(rule.page).into_iter().next() else {
            continue;
        };
        let texts: Vec<Text> = files(&fence)
            .into_iter()
            .map(|(path, text)| Text {
                path,
                text,
                shared: false,
            })
            .collect();
        let tried = tried(rule.name, &texts, &compiled(&texts));
        if tried.mends > 0 {
            mended.push(rule.name);
        }
        wrong.extend(tried.left);
        // What could not be read may well hold mistakes of its own.
        if WALKED.contains(&family.name) {
            wrong.extend(tried.next);
        }
    }
    println!(
        "{} rules offer a mend on their page: {}",
        mended.len(),
        mended.join(", ")
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn mends_of_broken_plans() {
    let each = match std::env::var("BOLTFOLIO_ALL") {
        Ok(_) => 1,
        Err(_) => EACH,
    };
    let (mut single, mut others) = (Tried::default(), Tried::default());
    for plan in load::PLANS {
        let texts = load::texts(plan);
        let breaks: Vec<_> = breaks::all(&compiled(&texts)).into_iter().step_by(each).collect();
        let next = AtomicUsize::new(0);
        let done = Mutex::new(BTreeMap::new());
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        std::thread::scope(|scope| {
            for _ in 0..threads {
                scope.spawn(|| {
                    while let Some(broken) = breaks.get(next.fetch_add(1, Ordering::Relaxed)) {
                        let texts = broken.applied(&texts);
                        let name = format!("{plan} | {} | {}", broken.kind, broken.place);
                        let mut done_with = compiled(&texts);
                        done_with.findings.retain(of_the_walk);
                        let tried = tried(&name, &texts, &done_with);
                        let one_thing = SINGLE.iter().any(|kind| broken.kind.starts_with(kind));
                        done.lock()
                            .expect("no thread stops half way")
                            .insert(name, (one_thing, tried));
                    }
                });
            }
        });
        for (one_thing, tried) in done.into_inner().expect("no thread stops half way").into_values() {
            let into = if one_thing { &mut single } else { &mut others };
            into.mends += tried.mends;
            into.left.extend(tried.left);
            into.next.extend(tried.next);
        }
    }
    for (what, tried) in [("one act", &single), ("more", &others)] {
        println!(
            "breaks of {what}: {} mends applied, {} findings left, {} mends bring another fault to light",
            tried.mends,
            tried.left.len(),
            tried.next.len()
        );
    }
    println!("{}", single.next.join("\n"));
    let left = [&single.left[..], &others.left[..]].concat();
    assert!(left.is_empty(), "{}", left.join("\n"));
    let clean = 100.0 - single.next.len() as f64 * 100.0 / single.mends as f64;
    assert!(
        clean >= CLEAN,
        "only {clean:.1} of 100 mends bring no other fault"
    );
}
