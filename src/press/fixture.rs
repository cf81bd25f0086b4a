//! A made-up binder for tests: every block, long and odd texts, a card of more than a page. Must not be used
//! outside tests.

use std::sync::Arc;

use crate::base::date::Date;
use crate::base::picture::{PictureFile, PictureKind};
use crate::binder::document::{
    ActRow, Align, BeforeItMoves, Block, Card, CardRow, Cell, Column, Cover, Document, Field, Inline,
    Letters, Mark, MarkGroup, MarkShape, Marks, Message, MoveRow, PaperSize, PictureUse, Prose, Run,
    SecondCheck, Section, Shown, SignalWord, TableRow, TickItem, Weight, plain,
};
use crate::binder::kept::Kept;

mod odd;
mod pages;

pub use odd::{HOSTILE, endless, endless_texts, hostile, visible};

pub const LONG_TITLE: &str = "Take the tubular rear axle with its springs, dampers, brake drums, brake pipes, handbrake \
    linkage and the anti-roll bar out from under the car in one piece without bending either of the two brake pipes";

pub fn run(text: &str, weight: Weight) -> Run {
    Run {
        text: text.to_owned(),
        weight,
    }
}

fn mixed(parts: &[(&str, bool)]) -> Vec<Run> {
    parts
        .iter()
        .map(|(text, strong)| run(text, if *strong { Weight::Bold } else { Weight::Regular }))
        .collect()
}

pub fn message(signal: SignalWord, hazard: &str, avoid: &[&str], proof: &str) -> Message {
    Message {
        signal,
        hazard: hazard.to_owned(),
        avoid: avoid.iter().map(|order| (*order).to_owned()).collect(),
        again: false,
        proof: proof.to_owned(),
    }
}

fn tick(text: &str, right: Option<&str>, tick: bool) -> TickItem {
    TickItem {
        text: plain(text),
        right: right.map(str::to_owned),
        tick,
    }
}

/// `count` marks in rows of `across`, numbered when asked.
pub fn group(key: &str, label: Option<&str>, count: usize, across: usize, numbered: bool) -> MarkGroup {
    let marks: Vec<Mark> = (1..=count)
        .map(|at| Mark {
            number: numbered.then_some(at as u32),
            proof: format!("fixing/{key}/{at}"),
        })
        .collect();
    MarkGroup {
        side: None,
        label: label.map(str::to_owned),
        rows: marks.chunks(across).map(<[Mark]>::to_vec).collect(),
        circle: false,
    }
}

pub fn act(step: &str, letter: &str, verb: &str, object: &str, facts: &[&str]) -> ActRow {
    ActRow {
        letter: letter.to_owned(),
        verb: verb.to_owned(),
        object: plain(object),
        take_out: None,
        facts: facts.iter().map(|fact| plain(*fact)).collect(),
        torque: None,
        marks: Vec::new(),
        write: Vec::new(),
        reads: None,
        tied: false,
        act_proof: format!("act/{step}/{letter}"),
        tick_proof: format!("tick/{step}/{letter}"),
        also: Vec::new(),
    }
}

pub fn card(step: &str, number: &str, title: &str, rows: Vec<CardRow>) -> Card {
    Card {
        number: number.to_owned(),
        title: title.to_owned(),
        derived: None,
        who_and_time: mixed(&[
            ("Ivo and helper · ", false),
            ("45 min", true),
            (" (30 to 80)", false),
        ]),
        at_hand: mixed(&[
            ("lifting table · torque wrench 20 to 100 N·m · sockets ", false),
            ("15", true),
            (" and ", false),
            ("14", true),
            (" · paint pen · bags 14, 15, 17 · ", false),
            ("8", true),
            (" new nuts M10", false),
        ]),
        place: plain("underneath, from below"),
        first: vec![
            tick("car on four stands", None, true),
            tick("axle strapped to table", None, true),
            tick("springs hung, pins slack", None, true),
        ],
        messages: Vec::new(),
        rows,
        over: Vec::new(),
        second_check: None,
        after: Vec::new(),
        safe_to_leave: None,
        letters: Letters::default(),
        proof: format!("step/{step}"),
    }
}

fn bolt_up() -> Card {
    let mut tighten = act(
        "bolt",
        "d",
        "Tighten",
        "the U-bolts, left then right",
        &[
            "socket 15 · threads dry",
            "all at 30 N·m first, then to the figure",
        ],
    );
    tighten.torque = Some(Shown {
        first: "58 N·m".into(),
        second: Some("43 lbf ft".into()),
    });
    let four = |key: &str, label: &str| {
        let mut made = group(key, Some(label), 4, 2, true);
        for (mark, number) in made.rows.iter_mut().flatten().zip([1, 3, 4, 2]) {
            mark.number = Some(number);
        }
        made
    };
    tighten.marks = vec![Marks {
        shape: MarkShape::Hexagon,
        groups: vec![four("bolt/d/l", "left"), four("bolt/d/r", "right")],
    }];
    let mut by_hand = act(
        "bolt",
        "b",
        "Make by hand",
        "the U-bolts, left",
        &["4 nuts M10 × 1.25 · new · bag 14"],
    );
    by_hand.marks = vec![Marks {
        shape: MarkShape::Ring,
        groups: vec![group("bolt/b", None, 4, 4, false)],
    }];
    let mut slack = act(
        "bolt",
        "e",
        "Slacken, leave in",
        "the shackle pins",
        &["2 bolts M12 × 1.5 · tightened in 6.2"],
    );
    slack.take_out = Some("All the way out. The pinch bolt sits in a groove.".into());
    slack.facts.push(plain("back at 84 N·m"));
    slack.marks = vec![Marks {
        shape: MarkShape::Ring,
        groups: vec![group("bolt/e", None, 2, 2, false)],
    }];
    let mut wheel = act("bolt", "f", "Tighten", "the wheel nuts", &["socket 19"]);
    wheel.torque = Some(Shown {
        first: "105 N·m".into(),
        second: Some("77 lbf ft".into()),
    });
    let mut ring = group("bolt/f", Some("seen from outside"), 5, 5, true);
    ring.circle = true;
    wheel.marks = vec![Marks {
        shape: MarkShape::Hexagon,
        groups: vec![ring],
    }];
    let mut measure = act("bolt", "g", "Measure", "the gap at the bump stop", &[]);
    measure.write = vec![
        Field {
            caption: "left".into(),
            unit: Some("mm".into()),
            width: 40,
        },
        Field {
            caption: "right".into(),
            unit: Some("mm".into()),
            width: 40,
        },
    ];
    let mut made = card(
        "bolt",
        "5.4",
        "Raise the axle and bolt it up",
        vec![
            CardRow::Act(act(
                "bolt",
                "a",
                "Raise",
                "the axle until both spring pads seat",
                &["Look: brake hose and handbrake cable lie free."],
            )),
            CardRow::Act(by_hand),
            CardRow::Message(message(
                SignalWord::Caution,
                "Edge is sharp. Cut fingers.",
                &["Wear gloves."],
                "message/bolt/2",
            )),
            CardRow::Act(tighten),
            CardRow::Act(slack),
            CardRow::Act(wheel),
            CardRow::Act(measure),
            CardRow::Prose(prose()),
        ],
    );
    made.messages = vec![message(
        SignalWord::Warning,
        "The axle can roll off the table. Hands and feet crushed.",
        &[
            "Leave the strap on until all eight nuts are on by hand.",
            "Nobody under the car while the table moves.",
        ],
        "message/bolt/1",
    )];
    made.messages.push(Message {
        again: true,
        ..message(
            SignalWord::Danger,
            "The car can come down",
            &["Locks in, push, tell."],
            "message/bolt/3",
        )
    });
    made.second_check = Some(SecondCheck {
        lines: vec![
            "8 nuts at 58 N·m, 4 at 62 N·m.".into(),
            "All twelve marked.".into(),
        ],
        proof: "second/bolt".into(),
    });
    made.after = vec![
        ("Held".into(), vec!["axle on its springs".into()]),
        ("Still slack".into(), vec!["shackle pins, two: 6.2".into()]),
        ("Least loaded stand".into(), vec!["rear left, 118 ± 6 kg".into()]),
    ];
    made.safe_to_leave = Some("Safe to leave like this.".into());
    made
}

/// Forty fixings in one act and more acts than a page holds.
fn long_card() -> Card {
    let mut rows = Vec::new();
    for at in 0..18u8 {
        let letter = char::from(b'a' + at).to_string();
        let mut row = act(
            "long",
            &letter,
            "Undo",
            "the floor panel's screws, one side of the tunnel",
            &[
                "screwdriver, cross · bag 21",
                "Hidden: two under the carpet's edge.",
            ],
        );
        if at == 3 {
            row.marks = vec![Marks {
                shape: MarkShape::Ring,
                groups: vec![group("long/d", Some("from above"), 40, 10, true)],
            }];
        }
        if at == 5 {
            row.object = plain("W".repeat(300));
            row.facts.push(plain("x".repeat(300)));
        }
        rows.push(CardRow::Act(row));
        if at == 8 {
            rows.push(CardRow::Message(message(
                SignalWord::Notice,
                "The seam's sealant tears. Water gets in.",
                &["Cut it with the blade before you pull."],
                "message/long/1",
            )));
        }
        if at == 10 {
            rows.push(CardRow::Picture(picture("panel", "picture/long", 100)));
        }
    }
    let mut made = card("long", "2.10", LONG_TITLE, rows);
    made.derived = Some("undoes 5.4".into());
    made.messages = vec![message(
        SignalWord::Danger,
        "A wound spring holds the load of the car and can fly out. Death or serious injury.",
        &[
            "Keep both clamps on until the spring is free.",
            "Stand to the side, never in line with it.",
        ],
        "message/long/0",
    )];
    made
}

pub fn picture(key: &str, proof: &str, width: u16) -> PictureUse {
    PictureUse {
        key: key.to_owned(),
        caption: Some("Screws of the left floor panel, from above".into()),
        alt: "A rectangle with screws along its edge".into(),
        width,
        drawn: None,
        proof: proof.to_owned(),
    }
}

pub fn prose() -> Vec<Prose> {
    let text = |text: &str| Inline::Text(text.to_owned());
    vec![
        Prose::Paragraph(vec![
            text("Torque from the maker's "),
            Inline::Link {
                to: "https://example.org/manual".into(),
                text: vec![text("workshop manual")],
            },
            text(", page 112. "),
            Inline::Strong(vec![text("Ask before you use another.")]),
            text(" "),
            Inline::Emphasis(vec![text("Left as found.")]),
        ]),
        Prose::List {
            ordered_from: None,
            items: vec![
                vec![Prose::Paragraph(vec![
                    text("grease the pins"),
                    Inline::Break,
                    text("thinly"),
                ])],
                vec![
                    Prose::Paragraph(vec![text("hang the hose clear")]),
                    Prose::List {
                        ordered_from: Some(3),
                        items: vec![
                            vec![Prose::Paragraph(vec![text("with wire")])],
                            vec![Prose::Paragraph(vec![text("never by its own weight")])],
                        ],
                    },
                ],
            ],
        },
        Prose::Quote(vec![Prose::Paragraph(vec![text(
            "It was tight when it came in.",
        )])]),
        Prose::Verbatim("gap  0.4 mm\n  gap  0.6 mm".into()),
        Prose::Rule,
    ]
}

fn stage_five() -> Section {
    let mut section = section(
        "stage/back",
        "Stage 5 · Back together",
        vec![Block::Card(bolt_up())],
    );
    section.stage_mark = Some(5);
    section.titled = false;
    let short = |step: &str, number: &str, title: &str| {
        Block::Card(card(
            step,
            number,
            title,
            vec![
                CardRow::Act(act(
                    step,
                    "a",
                    "Connect",
                    "the earth strap to the body",
                    &["spanner 10"],
                )),
                CardRow::Act(act(
                    step,
                    "b",
                    "Fill",
                    "the brake reservoir",
                    &["0.4 l of fluid, DOT 4"],
                )),
            ],
        ))
    };
    section.blocks.extend([
        short("strap", "5.5", "Connect the earth strap"),
        short("fill", "5.6", "Fill the reservoir"),
        short("clip", "5.7", "Clip the pipes to the axle"),
    ]);
    section
}

fn move_rows(place: &str, count: usize) -> Vec<MoveRow> {
    let states = ["undone", "slack", "capped", "out", "clear"];
    states
        .iter()
        .cycle()
        .take(count)
        .zip(1..)
        .map(|(state, at)| MoveRow {
            state: (*state).to_owned(),
            joint: plain(format!("joint {at} at the {place}")),
            hidden: (at % 4 == 1).then(|| "behind the arch".to_owned()),
            right: false,
            fixings: if at == 2 { 11 } else { at % 5 },
            proof: format!("move/{place}/{at}"),
        })
        .collect()
}

fn stage_two() -> Section {
    let mut rear = move_rows("rear", 14);
    let rear_more = rear.split_off(9);
    let mut section = section(
        "stage/strip",
        "Stage 2 · Strip the rear",
        vec![
            Block::Card(long_card()),
            Block::BeforeItMoves(BeforeItMoves {
                title: "Before you lower the steel axle, 2.8".into(),
                when: vec![plain("at act d of 2.8, when a to c are done")],
                held_by: vec![
                    plain("lifting table (74.5 kg of 350 kg)"),
                    plain("strap (74.5 kg of 500 kg)"),
                ],
                who: vec![
                    plain("Ivo at the table's handle"),
                    plain("helper at the left wheel"),
                ],
                map: None,
                no_map: None,
                groups: vec![
                    ("front".into(), move_rows("front", 3)),
                    // With a pause, as the binder makes them.
                    ("rear".into(), rear),
                    ("rear, continued".into(), rear_more),
                    ("below".into(), move_rows("below", 5)),
                ],
                claim: "Checked against the 14 joints that this plan declares; look for one it missed."
                    .into(),
                blank_rows: 3,
                proof: "moves/lower".into(),
            }),
            Block::Card(card(
                "lower",
                "2.8",
                "Lower the steel axle",
                vec![CardRow::Act(act("lower", "a", "Lower", "the axle", &[]))],
            )),
        ],
    );
    section.stage_mark = Some(2);
    section.titled = false;
    section
}

fn section(key: &str, title: &str, blocks: Vec<Block>) -> Section {
    Section {
        alone: true,
        key: key.into(),
        title: title.into(),
        stage_mark: None,
        titled: true,
        blocks,
    }
}

fn cover() -> Section {
    let mut section = section(
        "cover",
        "Cover",
        vec![Block::Cover(Cover {
            title: "Steel axle out, light axle in".into(),
            body: "Dunlin 1500, estate".into(),
            rows: vec![
                ("Target".into(), Some(plain("815 kg; stands at 855.1 ± 4.2 kg"))),
                (
                    "Hours".into(),
                    Some(mixed(&[("22 h", true), (" (18 to 31 h)", false)])),
                ),
                ("People".into(), Some(plain("Ivo leads, one helper"))),
                ("Findings".into(), Some(plain("0 faults, 2 doubts, 2 accepted"))),
                ("Maker's procedure consulted".into(), None),
            ],
            signatures: vec!["planned by".into(), "read by".into(), "released by".into()],
            picture: None,
        })],
    );
    section.titled = false;
    section
}

fn column(head: &str, width: u16, align: Align) -> Column {
    Column {
        head: head.into(),
        width,
        align,
    }
}

fn row(cells: Vec<Cell>, proof: Option<String>) -> TableRow {
    TableRow {
        cells,
        total: false,
        proof,
    }
}

/// A small drawing.
pub fn drawing(key: &str) -> PictureFile {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='200' height='80' viewBox='0 0 200 80'>\
        <rect x='2' y='2' width='196' height='76' fill='none' stroke='black'/>\
        <text x='20' y='44' font-family='IBM Plex Sans' font-size='16'>front</text></svg>";
    PictureFile {
        key: key.into(),
        kind: PictureKind::Svg,
        bytes: Arc::from(svg.as_bytes()),
    }
}

/// The whole binder, A4, one-sided, in colour.
pub fn binder() -> Document {
    Document {
        title: "Steel axle out, light axle in".into(),
        short: "Dunlin 1500".into(),
        language: "en-GB".into(),
        paper: PaperSize::A4,
        two_sided: false,
        black_ink: false,
        revision: "plan a3f9".into(),
        date: "dated 2026-03-07".into(),
        day: Date::read("2026-03-07"),
        not_proved: None,
        changed: std::collections::BTreeSet::new(),
        taken_from: None,
        kept: Kept::default(),
        labels: Vec::new(),
        sections: vec![
            cover(),
            pages::read_first(),
            pages::job(),
            stage_two(),
            stage_five(),
            pages::torque_table(),
            pages::weighing(),
            pages::index(),
        ],
        pictures: vec![drawing("panel")],
    }
}
