//! Read first: how to read a card, the marks, the signal words, what can hurt in this job and where, what is
//! left to others, and whom to call. Knows the hazards of the whole plan, and no single step.

use super::binding::{Binding, prose, signal};
use super::cards;
use super::document::{
    Block, Cell, ExplainedMark, Field, MarkMeaning, PaperSize, PictureUse, Section, SignalWord, TableRow,
};
use super::hazards::{self, HazardUse};
use super::sizes::{HALF, whole};
use super::tables::{cell, column, row, section, table, text};
use super::words::{and_list, run, semi, sentence, strong};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() {
        return Vec::new();
    }
    let mut blocks = about_the_job(binding);
    blocks.push(Block::Halves(how_to_read(), signal_words()));
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
        let picture = cards::picture(binding, figure, "the job", proof);
        blocks.extend(picture.map(|picture| {
            let width = if binding.paper() == PaperSize::Letter {
                116
            } else {
                picture.width
            };
            Block::Picture(PictureUse {
                width: picture.width.min(width),
                ..picture
            })
        }));
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
    ]
}

/// For the cover: who is called, and where we are.
#[must_use]
pub fn whom_to_call(binding: &Binding<'_>) -> Vec<Block> {
    let mut blocks = vec![heading("Whom to call")];
    let crew = binding.about().map_or(&[][..], |about| about.crew.as_slice());
    let people = crew.iter().map(|said| {
        let lifts = binding.plan.people[said.value].lifts;
        let lifts = lifts.map_or_else(String::new, |lifts| {
            format!(", lifts {}", binding.both_at_most(lifts.value))
        });
        format!("{}{lifts}: telephone", binding.person(said.value))
    });
    let places = [
        "emergency number",
        "where we are: address, gate, key",
        "fire extinguisher, first aid, main switch",
        "who knows you are here; home by",
    ];
    let captions = places.into_iter().map(str::to_owned).chain(people);
    blocks.push(Block::Fields(
        captions
            .map(|caption| Field {
                caption,
                unit: None,
                width: whole(HALF),
            })
            .collect(),
    ));
    blocks
}

fn signal_words() -> Vec<Block> {
    let means = |word, meaning: &str| row(vec![Cell::Signal(word), text(meaning)]);
    let rows = vec![
        means(SignalWord::Danger, "will kill or badly hurt you"),
        means(SignalWord::Warning, "could kill or badly hurt you"),
        means(SignalWord::Caution, "could hurt you, less badly"),
        means(SignalWord::Notice, "damage only"),
    ];
    vec![
        heading("Signal words"),
        Block::Table(table(
            "",
            vec![column("Word", 27), column("What it says", 0)],
            rows,
            6,
        )),
        Block::Text(vec![run(
            "A message stands directly above the act that it is for. Read it, do it, then act.",
        )]),
        Block::Text(vec![
            strong("Slacken, leave in"),
            run(" and "),
            strong("All the way out"),
            run(" are not the same thing. Read which one it says."),
        ]),
        Block::Text(vec![run(
            "A large figure is a torque to apply. A small one behind “back at” is for later.",
        )]),
        Block::Text(vec![
            strong("A message in one line"),
            run(
                " stood in full before: DANGER and WARNING in this stage, CAUTION and NOTICE in this binder.",
            ),
        ]),
        Block::Text(vec![run("Print on matt paper; a glossy sleeve glares.")]),
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
    // A notice hurts nobody: it stands on its cards.
    let hurts = |hazard: &HazardUse| signal(&binding.plan.cautions[hazard.caution]) != SignalWord::Notice;
    let rows: Vec<TableRow> = hazards::all(binding)
        .into_iter()
        .filter(hurts)
        .map(|hazard| {
            let steps = if hazard.whole_job {
                "the whole job".to_owned()
            } else {
                binding.numbers(&hazard.steps)
            };
            let caution = &binding.plan.cautions[hazard.caution];
            row(vec![
                Cell::Signal(signal(caution)),
                text(sentence(&caution.head.called())),
                cell(vec![strong(steps)]),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(table(
        "What can hurt you, and where",
        vec![column("Word", 27), column("Hazard", 0), column("Steps", 68)],
        rows,
        6,
    ))]
}

/// For the cover too: what the paper is not comes before what it is.
#[must_use]
pub fn left_to_others(binding: &Binding<'_>) -> Vec<Block> {
    let joints = binding.plan.joints.len();
    let mut blocks = vec![
        heading("Limits of this binder"),
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
            run("Look for one it missed, and write it here."),
        ]));
        blocks.push(Block::Fields(
            ["joint that the plan does not know", "another"]
                .map(|caption| Field {
                    caption: caption.to_owned(),
                    unit: None,
                    width: whole(HALF),
                })
                .to_vec(),
        ));
    }
    blocks
}
