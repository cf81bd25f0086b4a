//! Findings while a line is half typed. A text with a fault is not walked; what the last walk found stands on until the next one, at the
//! places to which it was moved since.

use std::collections::{BTreeMap, BTreeSet};

use crate::base::finding::{Finding, Label, Mend};
use crate::base::source::{Source, Sources, Span};
use crate::compile::Compilation;
use crate::rules;

/// What only a walk finds of a plan.
#[must_use]
pub fn of_the_walk(walked: &Compilation) -> Vec<Finding> {
    let (without, _) = rules::judge(&walked.plan, Vec::new(), None, &walked.analysis);
    let known: BTreeSet<(&str, &str)> = without
        .iter()
        .map(|finding| (finding.rule.name, finding.what.as_str()))
        .collect();
    let of_text = |finding: &Finding| {
        let mut families = rules::catalogue().iter();
        families.any(|family| {
            matches!(family.name, "reading" | "names" | "accepting")
                && family.rules.iter().any(|rule| rule.name == finding.rule.name)
        })
    };
    let found = walked.findings.iter();
    found
        .filter(|finding| !known.contains(&(finding.rule.name, finding.what.as_str())) && !of_text(finding))
        .cloned()
        .collect()
}

/// These findings of an earlier text at their places in a later one, without edits: those were for the text that was.
#[must_use]
pub fn moved(findings: &[Finding], then: &Sources, now: &Sources) -> Vec<Finding> {
    let mut by_path: BTreeMap<&str, (usize, &Source)> = BTreeMap::new();
    for (id, source) in now.iter() {
        by_path.insert(source.path(), (id.0 as usize, source));
    }
    let mut shifts: BTreeMap<u32, Option<Shift>> = BTreeMap::new();
    let mut shift = |span: Span| -> Option<Span> {
        let of = shifts.entry(span.source.0).or_insert_with(|| {
            let old = then.get(span.source)?;
            let (id, new) = by_path.get(old.path())?;
            Some(Shift::between(old.text(), new.text(), u32::try_from(*id).ok()?))
        });
        of.as_ref().map(|shift| shift.moved(span))
    };
    findings
        .iter()
        .filter_map(|finding| {
            let labels: Vec<Label> = finding
                .labels
                .iter()
                .filter_map(|label| {
                    Some(Label {
                        span: shift(label.span)?,
                        words: label.words.clone(),
                    })
                })
                .collect();
            // Its file is gone.
            if labels.is_empty() && !finding.labels.is_empty() {
                return None;
            }
            Some(Finding {
                labels,
                mend: Mend {
                    words: finding.mend.words.clone(),
                    ..Mend::default()
                },
                ..finding.clone()
            })
        })
        .collect()
}

/// One stretch of a text gave way to another.
struct Shift {
    source: u32,
    start: u32,
    old_end: u32,
    new_end: u32,
}

impl Shift {
    fn between(old: &str, new: &str, source: u32) -> Self {
        let same = |pair: &(u8, u8)| pair.0 == pair.1;
        let start = old.bytes().zip(new.bytes()).take_while(same).count();
        let most = old.len().min(new.len()) - start;
        let end = old
            .bytes()
            .rev()
            .zip(new.bytes().rev())
            .take(most)
            .take_while(same)
            .count();
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self {
            source,
            start: count(start),
            old_end: count(old.len() - end),
            new_end: count(new.len() - end),
        }
    }

    fn moved(&self, span: Span) -> Span {
        let one = |at: u32| {
            if at <= self.start {
                at
            } else if at >= self.old_end {
                at - self.old_end + self.new_end
            } else {
                at.min(self.new_end)
            }
        };
        Span::new(
            crate::base::source::SourceId(self.source),
            one(span.start),
            one(span.end),
        )
    }
}
