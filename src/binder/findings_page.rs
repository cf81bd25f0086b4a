//! What the compiler found, when faults stand: behind the cover, so that nobody works from the paper without
//! having read it. Knows findings as data; how they look on a terminal is no business of this page.

use super::binding::Binding;
use super::document::{Block, Section, TableGroup};
use super::tables::{cell, column, grouped, row, section};
use super::words::{run, semi, sentence, strong};
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
            run(
                "The plan does not hold together as it stands. Mend it at the lines named here and print again.",
            ),
        ]),
        Block::Table(grouped(
            "",
            vec![column("Where", 44), column("What", 0)],
            groups,
            9,
        )),
    ];
    section("findings", "What was found", blocks)
}

/// Place and rule; what, harm and mend.
#[must_use]
pub fn cells(binding: &Binding<'_>, finding: &Finding) -> Vec<super::document::Cell> {
    let place = finding
        .place()
        .map_or_else(String::new, |span| binding.compilation.sources.place(span));
    let mut lines = vec![vec![semi(sentence(&finding.what))]];
    if !finding.harm.is_empty() {
        lines.push(vec![run(sentence(&finding.harm))]);
    }
    if !finding.mend.words.is_empty() {
        lines.push(vec![strong("Mend: "), run(sentence(&finding.mend.words))]);
    }
    let mut place_lines = vec![vec![run(finding.rule.name)]];
    if !place.is_empty() {
        place_lines.insert(0, vec![run(place)]);
    }
    let place = match place_lines.as_slice() {
        [only] => cell(only.clone()),
        _ => super::document::Cell::Lines(place_lines),
    };
    vec![place, super::document::Cell::Lines(lines)]
}
