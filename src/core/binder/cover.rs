//! The cover: what the job is, where it stands, who signs for it. Knows no other page.

use super::binding::Binding;
use super::document::{Block, Cover, Line, Section};
use super::words::{run, sentence, strong};
use super::{cards, day_pages, job_lists, job_on_one_page, mass_account, read_first};
use crate::base::finding::Severity;
use crate::plan::model::Target;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let body = binding
        .plan
        .vehicle()
        .map_or_else(String::new, |id| binding.plan.vehicles[id].head.called());
    let picture = binding
        .about()
        .and_then(|about| about.figures.first())
        .and_then(|figure| cards::picture(binding, figure, "the cover", "picture/~cover".to_owned()));
    let cover = Cover {
        title: binding.plan.title(),
        body,
        rows: rows(binding),
        signatures: ["Written by", "Checked by"].map(str::to_owned).to_vec(),
        picture,
    };
    let mut blocks = vec![Block::Cover(cover)];
    if !binding.plan.order.is_empty() {
        blocks.extend(read_first::whom_to_call(binding));
        blocks.extend(read_first::left_to_others(binding));
    }
    vec![Section {
        alone: true,
        key: "cover".to_owned(),
        title: "Cover".to_owned(),
        stage_mark: None,
        titled: false,
        blocks,
    }]
}

fn rows(binding: &Binding<'_>) -> Vec<(String, Option<Line>)> {
    let mut rows: Vec<(String, Option<Line>)> = Vec::new();
    let mut add = |label: &str, line: Option<Line>| rows.push((label.to_owned(), line));
    if let Some(target) = target(binding) {
        add("Target", Some(target));
    }
    if let Some(minimum) = binding.about().and_then(|about| about.class_minimum) {
        add(
            "Class minimum",
            Some(vec![
                strong(binding.both_at_least(minimum.value)),
                run(mass_account::class_with(binding)),
            ]),
        );
    }
    if let Some(hours) = job_on_one_page::hours(binding, &binding.plan.order) {
        add("Time", Some(vec![strong(hours.text()), run(hours.note())]));
    }
    if let Some(about) = binding.about().filter(|about| !about.crew.is_empty()) {
        add("People", Some(vec![run(binding.people(&about.crew))]));
    }
    // An evening's job has no page of its own for these.
    if binding.is_small() {
        if let Some(off) = job_on_one_page::comes_off(binding) {
            add("Comes off", Some(off));
        }
        add("May stop", Some(job_lists::may_stop(binding)));
        let days = day_pages::told(binding);
        if !days.is_empty() {
            add("Days", Some(days));
        }
    }
    add("Findings", Some(findings(binding)));
    if binding.wanted.unchecked && binding.compilation.count(Severity::Fault) > 0 {
        add(
            "Printed",
            Some(vec![run("at the owner's wish, although faults stand")]),
        );
    }
    let procedure = binding.about().and_then(|about| about.procedure.as_ref());
    add(
        "Maker’s book used",
        procedure.map(|said| vec![run(sentence(&said.value))]),
    );
    rows
}

fn target(binding: &Binding<'_>) -> Option<Line> {
    Some(match binding.about()?.target?.value {
        Target::Save(mass) => vec![run("save "), strong(binding.both(mass))],
        Target::Reach(mass) => vec![run("come to "), strong(binding.both(mass))],
    })
}

/// "0 faults, 2 doubts, 1 advice; 3 accepted with a reason".
#[must_use]
pub fn findings(binding: &Binding<'_>) -> Line {
    let mut words = Vec::new();
    for severity in Severity::ALL {
        let count = binding.compilation.count(severity);
        if count > 0 || severity == Severity::Fault {
            words.push(severity.words(count));
        }
    }
    let accepted = binding.compilation.accepted.len();
    let accepted = match accepted {
        0 => String::new(),
        count => format!("; {count} accepted with a reason"),
    };
    vec![run(format!("{}{accepted}", words.join(", ")))]
}
