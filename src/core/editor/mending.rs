//! Mends that need no choice, applied one after the other: each as its finding offers it, and only where the plan is the better for it. What
//! is left says why.

use std::collections::{BTreeMap, BTreeSet};

use super::rename::with_edits;
use super::spot::Around;
use crate::base::finding::{Edit, Finding, Severity};
use crate::base::picture::Pictures;
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::compile::{Compilation, compile, compile_with_trees};
use crate::rules;
use crate::syntax::shapes::{BlockKind, Keyword};
use crate::syntax::tree::{TokenKind, Tree};

/// What came of it.
#[derive(Debug, Clone)]
pub struct Mended {
    /// Edits of the texts as they were, none over another.
    pub edits: Vec<Edit>,
    /// Findings that were mended, by rule and what they said.
    pub done: Vec<Finding>,
    /// The plan with the edits made.
    pub after: Compilation,
    /// Findings that are left, each with the reason.
    pub left: Vec<(Finding, Why)>,
}

/// Why a finding is left as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// Its mend is a decision, or a figure that only the owner has: no text is offered.
    NoText,
    /// More than one mend is offered.
    Several,
    /// Its text has places for what only the owner knows: a name, a figure, a reason.
    FillIn,
    /// Its text alone does not do it: where it goes, or what has to be done besides, is not known.
    NotAlone,
    /// It would take out an act, a caution or a second check.
    TakesOut(&'static str),
    /// It would write an acceptance.
    Accepts,
    /// It would bring this fault to light.
    Brings(String),
    /// The finding would still be there.
    Stays,
    /// It changes a file that is not the plan's own.
    Shared,
    /// Another mend changes the same place; it may be tried again after that.
    SamePlace,
}

impl Why {
    /// As a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Why::NoText => "its mend is yours to write".to_owned(),
            Why::Several => "more than one mend is offered".to_owned(),
            Why::FillIn => "its mend has to be filled in by you".to_owned(),
            Why::NotAlone => "its mend needs a place, or more than it says".to_owned(),
            Why::TakesOut(what) => format!("its mend takes out {what}"),
            Why::Accepts => "its mend is an acceptance, which needs your reason".to_owned(),
            Why::Brings(what) => format!("its mend would bring another fault: {what}"),
            Why::Stays => "its mend alone does not do it".to_owned(),
            Why::Shared => "its mend is in the workshop that several plans share".to_owned(),
            Why::SamePlace => "another mend changes the same place".to_owned(),
        }
    }
}

/// Most mends of one run: a plan has fewer, and each costs a compilation.
const MOST: usize = 1_000;

/// Applies what can be applied.
#[must_use]
pub fn mend(sources: &[Source], pictures: &dyn Pictures) -> Mended {
    let original = Sources::new(sources.to_vec());
    let (mut done, mut trees) = compile_with_trees(sources.to_vec(), pictures);
    let mut edits: Vec<Edit> = Vec::new();
    let mut mended: Vec<Finding> = Vec::new();
    let mut refused: BTreeMap<Said, Why> = BTreeMap::new();
    let mut tries = 0;
    'again: loop {
        for finding in &done.findings {
            if tries >= MOST || refused.contains_key(&said(finding)) {
                continue;
            }
            tries += 1;
            match tried(&done, &trees, finding, &edits, pictures) {
                Ok(better) => {
                    mended.push(finding.clone());
                    edits = better.edits;
                    done = better.done;
                    trees = better.trees;
                    // What was in the way of another mend may be gone.
                    refused.retain(|_, why| {
                        matches!(why, Why::NoText | Why::Several | Why::FillIn | Why::NotAlone)
                    });
                    continue 'again;
                }
                Err(why) => {
                    refused.insert(said(finding), why);
                }
            }
        }
        break;
    }
    let left = done
        .findings
        .iter()
        .map(|finding| {
            let why = refused.get(&said(finding)).cloned().unwrap_or(Why::NoText);
            (finding.clone(), why)
        })
        .collect();
    debug_assert_eq!(
        with_edits(&original, &edits)
            .iter()
            .map(Source::text)
            .collect::<Vec<_>>(),
        done.sources
            .iter()
            .map(|(_, source)| source.text())
            .collect::<Vec<_>>()
    );
    Mended {
        edits,
        done: mended,
        after: done,
        left,
    }
}

struct Better {
    edits: Vec<Edit>,
    done: Compilation,
    trees: Vec<Tree>,
}

type Said = (&'static str, String, Option<Span>);

fn said(finding: &Finding) -> Said {
    (finding.rule.name, finding.what.clone(), finding.place())
}

fn tried(
    done: &Compilation,
    trees: &[Tree],
    finding: &Finding,
    edits: &[Edit],
    pictures: &dyn Pictures,
) -> Result<Better, Why> {
    if finding.mend.edits.is_empty() {
        return Err(untyped(&finding.mend.words));
    }
    // "Say of it: gone; or declare a joint": what is told as a choice is one.
    if !finding.mend.others.is_empty() || finding.mend.words.contains("; or ") {
        return Err(Why::Several);
    }
    let shared = |edit: &Edit| done.sources.get(edit.span.source).is_none_or(Source::is_shared);
    if finding.mend.edits.iter().any(shared) {
        return Err(Why::Shared);
    }
    let edits = composed(edits, &finding.mend.edits).ok_or(Why::SamePlace)?;
    let (after, after_trees) = compile_with_trees(with_edits(&done.sources, &finding.mend.edits), pictures);
    let (had, has) = (Counts::of(done, trees), Counts::of(&after, &after_trees));
    if let Some(what) = had.lost(&has) {
        return Err(Why::TakesOut(what));
    }
    if has.accepts > had.accepts {
        return Err(Why::Accepts);
    }
    let (before, now) = (count(&done.findings), count(&after.findings));
    let own = (finding.rule.name, finding.what.as_str());
    if now.get(&own).copied().unwrap_or(0) >= before.get(&own).copied().unwrap_or(0) {
        return Err(Why::Stays);
    }
    // Steps that could not be walked before show what was wrong with them all the time.
    let counts = |other: &&Finding| {
        other.severity == Severity::Fault && (!done.unwalked || after.unwalked || is_of_text(other))
    };
    let new = after.findings.iter().filter(counts).find(|other| {
        let other = (other.rule.name, other.what.as_str());
        now.get(&other).copied().unwrap_or(0) > before.get(&other).copied().unwrap_or(0)
    });
    if let Some(new) = new {
        return Err(Why::Brings(new.what.clone()));
    }
    Ok(Better {
        edits,
        done: after,
        trees: after_trees,
    })
}

/// Why a mend that is told in words alone is not applied.
fn untyped(words: &str) -> Why {
    let shouted = |word: &str| word.len() > 2 && word.chars().all(|c| c.is_ascii_uppercase());
    let blank = words.contains("...")
        || words.contains("such as")
        || words.contains("\"what")
        || words.split(|c: char| !c.is_alphanumeric()).any(shouted);
    let several = [" or ", "; or", "Perhaps "]
        .iter()
        .any(|sign| words.contains(sign));
    if several {
        Why::Several
    } else if blank {
        Why::FillIn
    } else if words.contains(": ") {
        Why::NotAlone
    } else {
        Why::NoText
    }
}

fn count(findings: &[Finding]) -> BTreeMap<(&str, &str), usize> {
    let mut all = BTreeMap::new();
    for finding in findings {
        *all.entry((finding.rule.name, finding.what.as_str())).or_default() += 1;
    }
    all
}

fn is_of_text(finding: &Finding) -> bool {
    rules::catalogue()
        .iter()
        .filter(|family| matches!(family.name, "reading" | "names" | "accepting"))
        .any(|family| family.rules.iter().any(|rule| rule.name == finding.rule.name))
}

/// What no mend may take out of a plan, and what it may not put in.
#[derive(Default)]
struct Counts {
    acts: usize,
    /// Names that stand in acts.
    named: usize,
    /// Lines of steps that nobody can read: each may be an act.
    unread: usize,
    others: usize,
    cautions: usize,
    checks: usize,
    accepts: usize,
}

impl Counts {
    fn of(done: &Compilation, trees: &[Tree]) -> Self {
        let mut all = Self::default();
        for ((_, file), tree) in done.sources.iter().zip(trees) {
            for nth in 0..tree.blocks().len() {
                let Some(block) = Around::nth(file, tree, nth) else {
                    continue;
                };
                match block.kind {
                    Some(BlockKind::Accept) => all.accepts += 1,
                    Some(BlockKind::Caution) => all.cautions += 1,
                    _ => {}
                }
                for statement in block.body() {
                    let names = || {
                        let tokens = tree.tokens(statement).iter();
                        tokens.filter(|token| token.kind() == TokenKind::Name).count()
                    };
                    let shape = block.shape(statement).map(|(shape, _)| shape.keyword);
                    match shape {
                        Some(Keyword::CautionHere) => all.cautions += names() - 1,
                        Some(Keyword::SecondCheck) => all.checks += 1,
                        Some(keyword)
                            if super::fits::is_act(keyword) && block.kind == Some(BlockKind::Step) =>
                        {
                            all.acts += 1;
                            all.named += names();
                        }
                        None if block.kind == Some(BlockKind::Step) && !statement.is_note => all.unread += 1,
                        _ if block.kind == Some(BlockKind::Step) => all.others += 1,
                        _ => {}
                    }
                }
            }
        }
        all
    }

    fn lost(&self, after: &Self) -> Option<&'static str> {
        let gained = (after.acts + after.others).saturating_sub(self.acts + self.others);
        [
            (
                self.acts > after.acts || self.unread > after.unread + gained,
                "an act",
            ),
            (self.cautions > after.cautions, "a caution"),
            (self.checks > after.checks, "a second check"),
            (self.named > after.named, "a name of an act"),
        ]
        .into_iter()
        .find_map(|(lost, what)| lost.then_some(what))
    }
}

/// Edits of the first text that come to the same as these and then those, which are edits of the second; none where one of those lies in
/// what these wrote.
fn composed(first: &[Edit], then: &[Edit]) -> Option<Vec<Edit>> {
    let mut all = first.to_vec();
    for edit in then {
        all.push(Edit {
            span: original(first, edit.span)?,
            text: edit.text.clone(),
        });
    }
    all.sort_by_key(|edit| (edit.span.source, edit.span.start, edit.span.end));
    let apart = all.windows(2).all(|pair| match pair {
        [a, b] => {
            a.span.source != b.span.source
                || a.span.end < b.span.start
                || (a.span.end == b.span.start && a.span != b.span)
        }
        _ => true,
    });
    apart.then_some(all)
}

/// A stretch of the text after edits as it was before them.
fn original(edits: &[Edit], span: Span) -> Option<Span> {
    let mut shift: i64 = 0;
    let own = edits.iter().filter(|edit| edit.span.source == span.source);
    let mut own: Vec<&Edit> = own.collect();
    own.sort_by_key(|edit| (edit.span.start, edit.span.end));
    for edit in own {
        let from = i64::from(edit.span.start) + shift;
        let to = from + i64::try_from(edit.text.len()).ok()?;
        if i64::from(span.end) <= from {
            break;
        }
        if i64::from(span.start) < to {
            return None;
        }
        shift += to - from - i64::from(edit.span.end - edit.span.start);
    }
    let back = |at: u32| u32::try_from(i64::from(at) - shift).ok();
    Some(Span::new(span.source, back(span.start)?, back(span.end)?))
}

/// Mends of one rule in one file that do not touch each other: what an editor applies at once. Only findings with one mend.
#[must_use]
pub fn of_rule(done: &Compilation, rule: &str, source: SourceId) -> Vec<Edit> {
    let mut taken: BTreeSet<(SourceId, u32)> = BTreeSet::new();
    let mut all: Vec<Edit> = Vec::new();
    let here = |finding: &&Finding| {
        finding.rule.name == rule
            && finding.mend.others.is_empty()
            && finding.place().is_some_and(|place| place.source == source)
    };
    for finding in done.findings.iter().filter(here) {
        let free = |edit: &Edit| {
            let own = all.iter().filter(|other| other.span.source == edit.span.source);
            !taken.contains(&(edit.span.source, edit.span.start))
                && own
                    .into_iter()
                    .all(|other| other.span.end <= edit.span.start || edit.span.end <= other.span.start)
        };
        if finding.mend.edits.iter().all(free) {
            taken.extend(
                finding
                    .mend
                    .edits
                    .iter()
                    .map(|edit| (edit.span.source, edit.span.start)),
            );
            all.extend(finding.mend.edits.iter().cloned());
        }
    }
    all
}

/// The plan with edits made, compiled.
#[must_use]
pub fn applied(done: &Compilation, edits: &[Edit], pictures: &dyn Pictures) -> Compilation {
    compile(with_edits(&done.sources, edits), pictures)
}
