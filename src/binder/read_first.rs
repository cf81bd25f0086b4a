//! Read first: how to read a card, the marks, the signal words, what can hurt in this job and where, what is
//! left to others, and whom to call. Knows the hazards of the whole plan, and no single step.

use super::binding::{Binding, prose, signal};
use super::document::{Block, Cell, ExplainedMark, Field, MarkMeaning, Section, SignalWord, TableRow};
use super::tables::{cell, column, row, section, table, text};
use super::words::{and_list, run, semi, sentence, strong};
use super::{cards, hazards};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() {
        return Vec::new();
    }
    let mut blocks = about_the_job(binding);
    // What the paper is not comes before what it is; and it fills the page that the picture leaves open.
    blocks.extend(left_to_others(binding));
    blocks.push(Block::Halves(how_to_read(), words_and_calls()));
    blocks.extend(whole_job(binding));
    blocks.extend(hazard_table(binding));
    section("read-first", "Read first", blocks)
}

fn heading(text: &str) -> Block {
    Block::Heading {
        level: 2,
        text: text.to_owned(),
    }
}

/// The owner's words on the job, and the pictures of the vehicle.
fn about_the_job(binding: &Binding<'_>) -> Vec<Block> {
    let Some(about) = binding.about() else {
        return Vec::new();
    };
    let mut blocks = Vec::new();
    let mut notes = prose(&about.head.notes);
    let vehicle = binding.plan.vehicle().map(|id| &binding.plan.vehicles[id]);
    notes.extend(vehicle.into_iter().flat_map(|vehicle| prose(&vehicle.head.notes)));
    if !notes.is_empty() {
        blocks.push(Block::Prose(notes));
    }
    let rest = about.figures.iter().skip(1);
    let pictures = rest.chain(vehicle.into_iter().flat_map(|vehicle| &vehicle.figures));
    for (nth, figure) in pictures.enumerate() {
        let proof = format!("picture/~read-first/{}", nth + 1);
        blocks.extend(cards::picture(binding, figure, "the job", proof).map(Block::Picture));
    }
    blocks
}

fn how_to_read() -> Vec<Block> {
    let said = |mark, meaning: &str| MarkMeaning {
        mark,
        meaning: vec![run(meaning)],
    };
    vec![
        heading("How to read a card"),
        Block::MarksExplained(vec![
            said(
                ExplainedMark::Letter,
                "Ring the letter when you begin. A ringed letter without a tick is where you stopped.",
            ),
            said(
                ExplainedMark::Square,
                "Tick when it is done; on a fixing: marked with paint.",
            ),
            said(
                ExplainedMark::Ring,
                "One for each fixing: undone, slackened, or put in by hand. Round is loose.",
            ),
            said(
                ExplainedMark::Hexagon,
                "One for each fixing: tightened to the figure, in the order of the numbers. Six-sided is tight.",
            ),
        ]),
        Block::Text(vec![
            strong("Slacken, leave in"),
            run(" and "),
            strong("Take right out"),
            run(" are not the same thing. Read which one it says."),
        ]),
        Block::Text(vec![run(
            "A large figure is a torque to apply. A small one behind “back at” is for later.",
        )]),
        Block::Text(vec![
            strong("Mind"),
            run(": the stage's messages, told in full at its beginning."),
        ]),
        Block::Text(vec![run("Print on matt paper; a glossy sleeve glares.")]),
    ]
}

fn words_and_calls() -> Vec<Block> {
    let mut blocks = signal_words();
    blocks.push(heading("Whom to call"));
    blocks.push(Block::Fields(
        [
            ("emergency number", 70),
            ("where the fire extinguisher stands", 70),
            ("who knows that you are here, and until when", 70),
        ]
        .map(|(caption, width)| Field {
            caption: caption.to_owned(),
            unit: None,
            width,
        })
        .to_vec(),
    ));
    blocks
}

fn signal_words() -> Vec<Block> {
    let means = |word, meaning: &str| row(vec![Cell::Signal(word), text(meaning)]);
    let rows = vec![
        means(SignalWord::Danger, "will kill or maim if not avoided"),
        means(SignalWord::Warning, "could kill or maim if not avoided"),
        means(SignalWord::Caution, "could hurt if not avoided"),
        means(SignalWord::Notice, "hurts nobody; something breaks"),
    ];
    vec![
        heading("Signal words"),
        Block::Table(table(
            "",
            vec![column("Word", 32), column("What it says", 0)],
            rows,
            9,
        )),
        Block::Text(vec![run(
            "A message stands directly above the act that it guards. Read it, do it, then act.",
        )]),
    ]
}

/// Messages for the whole job, printed in full.
fn whole_job(binding: &Binding<'_>) -> Vec<Block> {
    let cautions = binding.about().map_or(&[][..], |about| about.cautions.as_slice());
    if cautions.is_empty() {
        return Vec::new();
    }
    let mut ids: Vec<_> = Vec::new();
    for caution in cautions {
        if !ids.contains(&caution.value) {
            ids.push(caution.value);
        }
    }
    ids.sort_by_key(|&id| signal(&binding.plan.cautions[id]) as u8);
    let mut blocks = vec![heading("For the whole job")];
    blocks.extend(
        ids.into_iter()
            .enumerate()
            .map(|(nth, id)| Block::Message(binding.message(id, format!("message/~whole-job/{}", nth + 1)))),
    );
    blocks
}

fn hazard_table(binding: &Binding<'_>) -> Vec<Block> {
    let rows: Vec<TableRow> = hazards::all(binding)
        .into_iter()
        .map(|hazard| {
            let steps = if hazard.whole_job {
                "the whole job".to_owned()
            } else {
                binding.numbers(&hazard.steps)
            };
            let caution = &binding.plan.cautions[hazard.caution];
            let mut lines = vec![vec![run(sentence(&caution.head.called()))]];
            lines.extend(caution.harm.as_ref().map(|harm| vec![run(sentence(&harm.value))]));
            row(vec![
                Cell::Lines(lines),
                Cell::Signal(signal(caution)),
                cell(vec![strong(steps)]),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(table(
        "What can hurt you, and where",
        vec![column("Hazard", 84), column("Word", 28), column("Steps", 62)],
        rows,
        9,
    ))]
}

fn left_to_others(binding: &Binding<'_>) -> Vec<Block> {
    let joints = binding.plan.joints.len();
    let mut blocks = vec![
        heading("What this binder does not do"),
        Block::Text(vec![
            semi("This binder advises; it replaces none of these. "),
            run(
                "The maker's procedure for your vehicle or machine comes first: where it differs, follow it. \
                 Local codes and road rules hold as they stand.",
            ),
        ]),
        Block::Text(vec![
            semi("Left to licensed trades: "),
            run(format!(
                "refrigerant; airbags and belt tensioners; {}; structural welding; high voltage and mains \
                 supplies; the inspection of lifts and lifting gear.",
                binding.words.say("pressurised gas")
            )),
        ]),
    ];
    let licensed: Vec<String> = binding
        .plan
        .people
        .iter()
        .filter(|(_, person)| !person.licensed_for.is_empty())
        .map(|(id, person)| {
            let hazards: Vec<String> = person
                .licensed_for
                .iter()
                .map(|said| match said.value.word() {
                    "pyrotechnic" => "airbags".to_owned(),
                    word => word.replace('-', " "),
                })
                .collect();
            format!(
                "{} holds {} {}",
                binding.person(id),
                binding.words.say("a licence for"),
                and_list(&hazards)
            )
        })
        .collect();
    if !licensed.is_empty() {
        blocks.push(Block::Text(vec![run(sentence(&licensed.join("; ")))]));
    }
    if joints > 0 {
        let joints = super::words::counted(joints, "joint", "joints");
        blocks.push(Block::Text(vec![
            semi(format!("Checked against the {joints} that this plan declares. ")),
            run("Look for the one it does not know, and write it here."),
        ]));
        blocks.push(Block::Fields(
            ["joint that the plan does not know", "another"]
                .map(|caption| Field {
                    caption: caption.to_owned(),
                    unit: None,
                    width: 84,
                })
                .to_vec(),
        ));
    }
    blocks
}
