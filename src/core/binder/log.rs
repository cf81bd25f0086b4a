//! The log: what was done and found, what findings the owner lets stand and why, and what is still open. Knows
//! what is written down; it judges nothing.

use super::binding::Binding;
use super::document::{Block, Cell, Line, Section, TableRow};
use super::figures::duration;
use super::tables::{cell, column, row, section, table, text};
use super::words::{and_list, quoted, run, semi, sentence, strong};
use super::{binding::prose, findings_page, index};
use crate::base::finding::Severity;
use crate::base::quantity::Mass;
use crate::plan::model::{How, Id, Joint, Log, Reading, StoppedAt, Weighed};

/// Rows to write on below what is already written down.
const BLANK_ROWS: usize = 1;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut blocks = Vec::new();
    blocks.extend(done(binding));
    blocks.extend(accepted(binding));
    blocks.extend(open(binding));
    blocks.extend(to_come(binding));
    if binding.is_small() {
        return section("log", "Log", blocks);
    }
    blocks.extend(index::blocks(binding));
    section("log", "Log and index", blocks)
}

fn done(binding: &Binding<'_>) -> Vec<Block> {
    let logs = &binding.plan.logs;
    if logs.is_empty() {
        return Vec::new();
    }
    let columns = vec![
        column("Step", 14),
        column("Done", 44),
        column("Took", 30),
        column("Planned", 30),
        column("Found", 0),
    ];
    let blank = std::iter::repeat_with(|| row(vec![Cell::Empty; columns.len()])).take(BLANK_ROWS);
    let rows = logs
        .iter()
        .map(|log| log_row(binding, log))
        .chain(blank)
        .collect();
    let mut blocks = vec![Block::Table(table("What was done", columns, rows, 8))];
    let notes: Vec<_> = logs.iter().flat_map(|log| prose(&log.notes)).collect();
    if !notes.is_empty() {
        blocks.push(Block::Prose(notes));
    }
    blocks
}

fn log_row(binding: &Binding<'_>, log: &Log) -> TableRow {
    let mut done: Vec<Line> = Vec::new();
    done.extend(log.done.map(|said| vec![run(said.value.to_string())]));
    if !log.by.is_empty() {
        done.push(vec![run(binding.people(&log.by))]);
    }
    let mut found: Vec<Line> = log
        .found
        .iter()
        .map(|said| vec![run(sentence(&said.value))])
        .collect();
    if let Some(stopped) = &log.stopped {
        let stopped = &stopped.value;
        let waiting = stopped
            .waiting_for
            .as_ref()
            .map(|waiting| format!(", waiting for {}", binding.awaited(waiting)));
        let place = match &stopped.place {
            StoppedAt::After(step) => format!("after {}", binding.number(step.value)),
            StoppedAt::Act(words) => format!("at {}", quoted(&words.value)),
            StoppedAt::Letter(letter) => format!("at act {}", letter.value),
        };
        found.push(vec![run(sentence(&format!(
            "stopped {} {place}{}",
            stopped.on.value,
            waiting.unwrap_or_default()
        )))]);
    }
    found.extend(
        log.skipped
            .iter()
            .map(|said| vec![run(sentence(&format!("left out: {}", said.value)))]),
    );
    found.extend(
        log.differently
            .iter()
            .map(|said| vec![run(sentence(&format!("done otherwise: {}", said.value)))]),
    );
    found.extend(
        spoilt(binding, log)
            .into_iter()
            .map(|text| vec![run(sentence(&text))]),
    );
    found.extend(
        read(binding, log)
            .into_iter()
            .map(|text| vec![run(sentence(&text))]),
    );
    let planned: f64 = log
        .steps
        .iter()
        .filter_map(|&step| Some(binding.plan.steps[step].time?.value.likely.base()))
        .sum();
    let lines = |lines: Vec<Line>| {
        if lines.is_empty() {
            Cell::Empty
        } else {
            Cell::Lines(lines)
        }
    };
    row(vec![
        cell(vec![strong(binding.numbers(&log.steps))]),
        lines(done),
        text(
            log.took
                .map_or_else(String::new, |took| duration(took.value.base())),
        ),
        text(if planned > 0.0 {
            duration(planned)
        } else {
            String::new()
        }),
        lines(found),
    ])
}

/// What was read and measured, a sentence each.
fn read(binding: &Binding<'_>, log: &Log) -> Vec<String> {
    let plan = binding.plan;
    let mut all: Vec<String> = Vec::new();
    for reads in &log.reads {
        let Some(mass) = reads.mass.known() else { continue };
        let things: Vec<String> = reads
            .what
            .iter()
            .map(|said| match said.value {
                Weighed::Thing(thing) => plan.called(thing),
                Weighed::Hardware(joint) => plan.joints[joint].head.called(),
                Weighed::Vehicle(vehicle) => plan.vehicles[vehicle].head.called(),
            })
            .map(|name| binding.inside(&name))
            .collect();
        let words = reads
            .words
            .as_ref()
            .map_or_else(String::new, |words| format!(", {words}"));
        all.push(format!("{}: {}{words}", and_list(&things), binding.one(mass)));
    }
    let kg = |reading: Reading<Mass>| {
        reading
            .known()
            .map_or_else(|| "to come".to_owned(), |mass| binding.one(mass))
    };
    if let Some(said) = log.corners {
        let all_four: Vec<String> = said.value.all().into_iter().map(kg).collect();
        all.push(format!(
            "corners {}, front left and right, rear left and right",
            all_four.join(", ")
        ));
    }
    if let Some(said) = log.axles {
        all.push(format!(
            "axles {} front, {} rear",
            kg(said.value.front),
            kg(said.value.rear)
        ));
    }
    for measured in &log.measured {
        all.push(format!("{}: {}", measured.what.name, measured.value.value));
    }
    all
}

/// What broke, was lost, was damaged, and what went in instead, a sentence each.
fn spoilt(binding: &Binding<'_>, log: &Log) -> Vec<String> {
    let plan = binding.plan;
    let joint = |id: Id<Joint>| binding.inside(&plan.joints[id].head.called());
    let mut all: Vec<String> = Vec::new();
    for spoilt in &log.spoilt {
        let word = match spoilt.how {
            How::Broke => "broken",
            How::Lost => "lost",
        };
        let order = if plan.joints[spoilt.joint.value].renew.is_some() {
            "all of them are renewed anyhow"
        } else {
            "on the order list"
        };
        all.push(format!(
            "{} of {} {word}: {order}",
            spoilt.count.value,
            joint(spoilt.joint.value)
        ));
    }
    for damaged in &log.damaged {
        let part = binding.inside(&plan.parts[damaged.part.value].head.called());
        let how = damaged
            .how
            .as_ref()
            .map_or_else(String::new, |how| format!(": {how}"));
        all.push(format!("{part} damaged{how}"));
    }
    for fitted in &log.fitted {
        let own = &plan.joints[fitted.joint.value];
        let mut what: Vec<String> = fitted
            .fixings
            .iter()
            .map(|fixing| {
                format!(
                    "{} {} {}",
                    fixing.count,
                    fixing.what.words(fixing.count),
                    super::joint_words::thread(&fixing.thread)
                )
            })
            .collect();
        if fitted.torque.is_some() {
            let figure = super::joint_words::torque(binding, own);
            what.extend(figure.map(|shown| shown.first));
        }
        all.push(format!(
            "{} has {} now",
            joint(fitted.joint.value),
            and_list(&what)
        ));
    }
    all
}

fn accepted(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .compilation
        .accepted
        .iter()
        .map(|(finding, accept)| {
            let names: Vec<&str> = accept.names.iter().map(|said| said.value.as_ref()).collect();
            let mut rule = vec![vec![run(finding.rule.name)]];
            if !names.is_empty() {
                rule.push(vec![run(format!("for {}", and_list(&names)))]);
            }
            row(vec![
                Cell::Lines(rule),
                Cell::Lines(vec![
                    vec![run(sentence(&quoted(&finding.what)))],
                    vec![
                        semi("Let stand because: "),
                        run(sentence(&quoted(&accept.because))),
                    ],
                    vec![run(binding.compilation.sources.place(accept.at))],
                ]),
            ])
        })
        .collect();
    let columns = vec![column("Rule", 58), column("What was found, and why it stands", 0)];
    (!rows.is_empty()).then(|| Block::Table(table("Accepted findings", columns, rows, 12)))
}

/// Doubts and advice that stand; faults have their own page.
fn open(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .compilation
        .findings
        .iter()
        .filter(|finding| finding.severity != Severity::Fault)
        .map(|finding| row(findings_page::cells(binding, finding)))
        .collect();
    let columns = vec![column("Rule", 44), column("What, and where", 0)];
    (!rows.is_empty()).then(|| Block::Table(table("Still open: doubts and advice", columns, rows, 9)))
}

/// Figures that the plan still waits for.
fn to_come(binding: &Binding<'_>) -> Option<Block> {
    let mut rows: Vec<TableRow> = Vec::new();
    let mut add = |what: String, where_from: String| {
        rows.push(row(vec![text(what), text(where_from), Cell::Write]));
    };
    for joint in binding.plan.joints.values() {
        if super::joint_words::torque_to_come(joint) {
            add(
                format!("Torque: {}", binding.inside(&joint.head.called())),
                "the maker's procedure".to_owned(),
            );
        }
    }
    let columns = vec![column("Figure", 0), column("From", 70), column("", 40)];
    (!rows.is_empty()).then(|| Block::Table(table("Figures to fill in", columns, rows, 12)))
}
