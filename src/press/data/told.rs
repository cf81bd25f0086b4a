//! Mirror of the findings, standing and accepted, with file and line. Knows none of their rules.

use serde::Serialize;

use super::context::{Context, Place};
use crate::base::finding::Finding;
use crate::plan::model::Accept;

#[derive(Serialize)]
struct Mark<'a> {
    #[serde(flatten)]
    place: Place<'a>,
    words: &'a str,
}

#[derive(Serialize)]
pub(super) struct FindingOf<'a> {
    rule: &'a str,
    severity: &'static str,
    what: &'a str,
    /// The first is the place of the finding.
    places: Vec<Mark<'a>>,
    harm: &'a str,
    mend: &'a str,
    about: &'a [String],
}

fn finding<'a>(context: &Context<'a>, finding: &'a Finding) -> FindingOf<'a> {
    let mark = |label: &'a crate::base::finding::Label| Mark {
        place: context.place(label.span),
        words: &label.words,
    };
    FindingOf {
        rule: finding.rule.name,
        severity: finding.severity.word(),
        what: &finding.what,
        places: finding.labels.iter().map(mark).collect(),
        harm: &finding.harm,
        mend: &finding.mend.words,
        about: &finding.about,
    }
}

#[derive(Serialize)]
pub(super) struct AcceptedOf<'a> {
    finding: FindingOf<'a>,
    because: &'a str,
    #[serde(flatten)]
    place: Place<'a>,
}

pub(super) fn standing<'a>(context: &Context<'a>) -> Vec<FindingOf<'a>> {
    let all = context.compilation.findings.iter();
    all.map(|one| finding(context, one)).collect()
}

pub(super) fn accepted<'a>(context: &Context<'a>) -> Vec<AcceptedOf<'a>> {
    let accepted = |(one, accept): &'a (Finding, Accept)| AcceptedOf {
        finding: finding(context, one),
        because: &accept.because,
        place: context.place(accept.at),
    };
    context.compilation.accepted.iter().map(accepted).collect()
}
