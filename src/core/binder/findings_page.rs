//! What the compiler found, when faults stand: behind the cover, so that nobody works from the paper without
//! having read it. Knows findings as data; how they look on a terminal is no business of this page.

use super::binding::Binding;
use super::document::{Block, Section, TableGroup};
use super::tables::{cell, column, grouped, row, section};
use super::words::{quoted, run, semi, sentence, strong};
use crate::base::finding::{Finding, Severity};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let faults = binding.compilation.count(Severity::Fault);
    if faults == 0 {
        return Vec::new();
    }
    let groups = Severity::ALL
        .into_iter()
        .filter_map(|severity| {
            let rows: Vec<_> = binding
                .compilation
                .findings
                .iter()
                .filter(|finding| finding.severity == severity)
                .map(|finding| row(cells(binding, finding)))
                .collect();
            let count = rows.len();
            (count > 0).then(|| TableGroup {
                head: Some(super::words::capital(&severity.words(count))),
                rows,
            })
        })
        .collect();
    let blocks = vec![
        Block::Text(vec![
            strong("Do not work from this binder. "),
            run("The plan has faults. Mend it at the lines named here and print again."),
        ]),
        Block::Table(grouped(
            "",
            vec![column("Rule", 44), column("What, and where", 0)],
            groups,
            9,
        )),
    ];
    section("findings", "What was found", blocks)
}

/// The rule; then what, harm, mend and place, each on a line of its own.
#[must_use]
pub fn cells(binding: &Binding<'_>, finding: &Finding) -> Vec<super::document::Cell> {
    let mut lines = vec![vec![semi(sentence(&quoted(&finding.what)))]];
    if !finding.harm.is_empty() {
        lines.push(vec![run(sentence(&quoted(&finding.harm)))]);
    }
    if !finding.mend.words.is_empty() {
        lines.push(vec![strong("Fix: "), run(sentence(&quoted(&finding.mend.words)))]);
    }
    // A path is longer than a narrow column: it has the wide one, where nothing cuts it.
    lines.extend(
        finding
            .place()
            .map(|span| vec![run(binding.compilation.sources.place(span))]),
    );
    vec![
        cell(vec![run(finding.rule.name)]),
        super::document::Cell::Lines(lines),
    ]
}
