//! What an entry brings to light: findings that were not there before, those that are gone, and what of the entry cannot be read.

use std::collections::BTreeMap;

use crate::base::finding::{Finding, Severity};
use crate::compile::Compilation;
use crate::rules;

/// Findings of `after` that `before` does not have, each as often as it is new. A place that only moved makes none new.
#[must_use]
pub fn new_findings(before: &Compilation, after: &Compilation) -> Vec<Finding> {
    let mut known: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for finding in &before.findings {
        *known
            .entry((finding.rule.name, finding.what.as_str()))
            .or_default() += 1;
    }
    let mut new = Vec::new();
    for finding in &after.findings {
        match known.get_mut(&(finding.rule.name, finding.what.as_str())) {
            Some(count) if *count > 0 => *count -= 1,
            _ => new.push(finding.clone()),
        }
    }
    new
}

/// Those of them for which an entry is refused: its text cannot be read, or names nothing.
#[must_use]
pub fn unread(new: &[Finding]) -> Vec<Finding> {
    let of_text: Vec<&str> = rules::catalogue()
        .iter()
        .filter(|family| matches!(family.name, "reading" | "names" | "accepting"))
        .flat_map(|family| family.rules.iter().map(|rule| rule.name))
        .collect();
    new.iter()
        .filter(|finding| finding.severity == Severity::Fault && of_text.contains(&finding.rule.name))
        .cloned()
        .collect()
}

/// A compilation that tells of these findings alone.
#[must_use]
pub fn only(done: &Compilation, findings: Vec<Finding>) -> Compilation {
    Compilation {
        sources: done.sources.clone(),
        unwalked: false,
        findings,
        ..Compilation::default()
    }
}
