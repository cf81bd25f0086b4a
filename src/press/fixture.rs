//! A made-up binder for tests: every block, long and odd texts, a card of more than a page. Must not be used
//! outside tests.

use std::sync::Arc;

use crate::base::picture::{PictureFile, PictureKind};
use crate::binder::document::{
    ActRow, Align, BeforeItMoves, BigFigure, Block, Card, CardRow, Cell, Column, Cover, Document,
    ExplainedMark, Field, IndexEntry, Inline, Mark, MarkGroup, MarkMeaning, MarkShape, Marks, Message,
    MoveRow, PaperSize, PictureUse, Prose, Run, SecondCheck, Section, SignalWord, Table, TableGroup,
    TableRow, TickItem, TorqueShown, WeighCell, WeighRow, WeighingSheet, Weight, bold, plain,
};

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
        marks: None,
        write: Vec::new(),
        act_proof: format!("act/{step}/{letter}"),
        tick_proof: format!("tick/{step}/{letter}"),
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
        first: vec![
            tick("car on four stands", None, true),
            tick("axle strapped to table", None, true),
            tick("springs hung, pins slack", None, true),
        ],
        messages: Vec::new(),
        rows,
        second_check: None,
        after: Vec::new(),
        safe_to_leave: None,
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
    tighten.torque = Some(TorqueShown {
        first: "58 N·m".into(),
        second: Some("43 lbf ft".into()),
        applied: true,
    });
    let four = |key: &str, label: &str| {
        let mut made = group(key, Some(label), 4, 2, true);
        for (mark, number) in made.rows.iter_mut().flatten().zip([1, 3, 4, 2]) {
            mark.number = Some(number);
        }
        made
    };
    tighten.marks = Some(Marks {
        shape: MarkShape::Hexagon,
        groups: vec![four("bolt/d/l", "left"), four("bolt/d/r", "right")],
    });
    let mut by_hand = act(
        "bolt",
        "b",
        "Make by hand",
        "the U-bolts, left",
        &["4 nuts M10 × 1.25 · new · bag 14"],
    );
    by_hand.marks = Some(Marks {
        shape: MarkShape::Ring,
        groups: vec![group("bolt/b", None, 4, 4, false)],
    });
    let mut slack = act(
        "bolt",
        "e",
        "Slacken, leave in",
        "the shackle pins",
        &["2 bolts M12 × 1.5 · tightened in 6.2"],
    );
    slack.take_out = Some("Take right out. The pinch bolt sits in a groove.".into());
    slack.torque = Some(TorqueShown {
        first: "back at 84 N·m".into(),
        second: None,
        applied: false,
    });
    slack.marks = Some(Marks {
        shape: MarkShape::Ring,
        groups: vec![group("bolt/e", None, 2, 2, false)],
    });
    let mut wheel = act("bolt", "f", "Tighten", "the wheel nuts", &["socket 19"]);
    wheel.torque = Some(TorqueShown {
        first: "105 N·m".into(),
        second: Some("77 lbf ft".into()),
        applied: true,
    });
    let mut ring = group("bolt/f", Some("seen from outside"), 5, 5, true);
    ring.circle = true;
    wheel.marks = Some(Marks {
        shape: MarkShape::Hexagon,
        groups: vec![ring],
    });
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
            row.marks = Some(Marks {
                shape: MarkShape::Ring,
                groups: vec![group("long/d", Some("from above"), 40, 10, true)],
            });
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
            fixings: if at == 2 { 11 } else { at % 5 },
            proof: format!("move/{place}/{at}"),
        })
        .collect()
}

fn stage_two() -> Section {
    let mut section = section("stage/strip", "Stage 2 · Strip the rear", vec![
        Block::Card(long_card()),
        Block::BeforeItMoves(BeforeItMoves {
            title: "Before you lower the steel axle, 2.8".into(),
            held_by: vec![plain("lifting table (74.5 kg of 350 kg)"), plain("strap (74.5 kg of 500 kg)")],
            who: vec![plain("Ivo at the table's handle"), plain("helper at the left wheel")],
            groups: vec![
                ("front".into(), move_rows("front", 3)),
                ("rear".into(), move_rows("rear", 14)),
                ("below".into(), move_rows("below", 5)),
            ],
            claim: "Checked against the 14 joints that this plan declares; look for the one it does not know.".into(),
            blank_rows: 3,
            proof: "moves/lower".into(),
        }),
        Block::Card(card("lower", "2.8", "Lower the steel axle", vec![CardRow::Act(act("lower", "a", "Lower", "the axle", &[]))])),
    ]);
    section.stage_mark = Some(2);
    section.titled = false;
    section
}

fn section(key: &str, title: &str, blocks: Vec<Block>) -> Section {
    Section {
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

fn read_first() -> Section {
    let words = [
        (SignalWord::Danger, "Not avoided, it kills or maims."),
        (SignalWord::Warning, "Not avoided, it can kill or maim."),
        (SignalWord::Caution, "Not avoided, it can hurt."),
        (SignalWord::Notice, "Not avoided, a part is spoilt."),
    ];
    let panels = words
        .iter()
        .map(|(signal, hazard)| {
            Block::Message(message(
                *signal,
                hazard,
                &["Do what stands here."],
                &format!("message/first/{}", signal.word()),
            ))
        })
        .collect();
    let meaning = |mark, text: &str| MarkMeaning {
        mark,
        meaning: plain(text),
    };
    section(
        "read-first",
        "Read first",
        vec![
            Block::Halves(
                vec![
                    Block::Text(plain(
                        "Ring the letter when you begin, tick when done; a ringed letter without a tick is where you stopped.",
                    )),
                    Block::MarksExplained(vec![
                        meaning(ExplainedMark::Square, "an act done; a thing at hand"),
                        meaning(
                            ExplainedMark::Ring,
                            "one for each fixing: undone, slackened, or made by hand",
                        ),
                        meaning(
                            ExplainedMark::Hexagon,
                            "one for each fixing: tightened to the figure",
                        ),
                        meaning(ExplainedMark::Letter, "ring it when you begin"),
                    ]),
                ],
                panels,
            ),
            Block::Table(Table {
                title: "What can hurt you".into(),
                columns: vec![
                    column("Hazard", 84, Align::Left),
                    column("Word", 30, Align::Left),
                    column("Steps", 0, Align::Left),
                ],
                groups: vec![TableGroup {
                    head: None,
                    rows: vec![
                        row(
                            vec![
                                Cell::Line(plain("Axle rolls off the table")),
                                Cell::Signal(SignalWord::Warning),
                                Cell::Line(bold("2.8, 5.4")),
                            ],
                            None,
                        ),
                        row(
                            vec![
                                Cell::Line(plain("Road spring under load")),
                                Cell::Signal(SignalWord::Danger),
                                Cell::Line(bold("2.10")),
                            ],
                            None,
                        ),
                    ],
                }],
                row_height: 10,
            }),
            Block::Fields(vec![
                Field {
                    caption: "emergency number".into(),
                    unit: None,
                    width: 84,
                },
                Field {
                    caption: "extinguisher hangs at".into(),
                    unit: None,
                    width: 84,
                },
                Field {
                    caption: "who knows you are under a car".into(),
                    unit: None,
                    width: 84,
                },
            ]),
            Block::Signatures(vec!["read by all who work here".into()]),
        ],
    )
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

fn job() -> Section {
    let list = |title: &str, ticks: bool| Block::TickList {
        title: title.into(),
        items: (1..=4)
            .map(|at| tick(&format!("Ring spanner {at}, thin"), Some("borrow"), ticks))
            .collect(),
    };
    let figure = |figure: &str, word: &str| BigFigure {
        figure: figure.into(),
        word: word.into(),
        below: vec![
            "likely 18 to 31 h".into(),
            "target 857.5, chance 87 in 100".into(),
        ],
    };
    section(
        "job",
        "The job on one page",
        vec![
            Block::Text(plain(
                "62 steps in 7 stages. Ivo leads; the helper is needed for 5 steps: 2.7, 2.8, 5.3, 5.4, 6.1.",
            )),
            Block::Figures(vec![
                figure("22 h", ""),
                figure("57.4 kg", "off"),
                figure("0", "faults"),
            ]),
            Block::Picture(picture("panel", "picture/job", 174)),
            Block::Halves(
                vec![
                    list("What can hurt you", false),
                    list("Have before you start", true),
                ],
                vec![list("Heaviest lifts", false), list("Good places to stop", false)],
            ),
        ],
    )
}

fn torque_table() -> Section {
    let line = |stage: usize, at: usize| {
        row(
            vec![
                Cell::Lines(vec![bold(format!("{stage}.{at}")), plain("critical")]),
                Cell::Lines(vec![
                    plain("U-bolts, left and right"),
                    plain("dry, across, 30 N·m first"),
                ]),
                Cell::Line(plain("8 × M10 × 1.25, 10.9")),
                Cell::Line(bold("15")),
                Cell::Big("58 N·m".into()),
                Cell::Hexagon,
                Cell::Square,
            ],
            Some(format!("torque/{stage}/{at}")),
        )
    };
    let mut amounts = vec![
        row(
            vec![
                Cell::Line(plain("Steel axle")),
                Cell::Line(plain("−74.5")),
                Cell::Line(plain("0.5")),
                Cell::Dot,
            ],
            Some("mass/1".into()),
        ),
        row(
            vec![
                Cell::Line(plain("Light axle")),
                Cell::Line(plain("46")),
                Cell::Line(plain("1.25")),
                Cell::Empty,
            ],
            Some("mass/2".into()),
        ),
    ];
    amounts.push(TableRow {
        cells: vec![
            Cell::Line(bold("Sum")),
            Cell::Line(bold("−28.5")),
            Cell::Line(plain("1.4")),
            Cell::Write,
        ],
        total: true,
        proof: Some("mass/sum".into()),
    });
    section(
        "torque",
        "Going back together",
        vec![
            Block::Heading {
                level: 2,
                text: "Tightened and marked".into(),
            },
            Block::Table(Table {
                title: "Torque".into(),
                columns: vec![
                    column("Step", 16, Align::Left),
                    column("Joint", 50, Align::Left),
                    column("Fixings", 44, Align::Left),
                    column("Tool", 10, Align::Left),
                    column("Torque", 32, Align::Right),
                    column("", 11, Align::Right),
                    column("", 11, Align::Right),
                ],
                groups: (5..=6)
                    .map(|stage| TableGroup {
                        head: Some(format!("Stage {stage}, Back together")),
                        rows: (1..=16).map(|at| line(stage, at)).collect(),
                    })
                    .collect(),
                row_height: 10,
            }),
            Block::Table(Table {
                title: "Mass account".into(),
                columns: vec![
                    column("What", 60, Align::Left),
                    column("kg", 24, Align::Decimal),
                    column("±", 24, Align::Decimal),
                    column("", 0, Align::Left),
                ],
                groups: vec![TableGroup {
                    head: None,
                    rows: amounts,
                }],
                row_height: 8,
            }),
        ],
    )
}

fn weighing() -> Section {
    let blank = |whole| WeighCell::Blank {
        whole,
        decimals: 1,
        unit: "kg".into(),
    };
    let line = |at: usize, known: bool| WeighRow {
        what: plain(format!("Steel axle, drums on, lift {at}")),
        between: (!known).then(|| "65 to 85 kg".to_owned()),
        reads: if known {
            WeighCell::Known("74.5 kg".into())
        } else {
            blank(3)
        },
        tare: if known { WeighCell::Nothing } else { blank(2) },
        proof: format!("weigh/{at}"),
    };
    section(
        "weighing",
        "Weighing sheets",
        vec![
            Block::WeighingSheet(WeighingSheet {
                title: "Weighing, hanging scale, 100 kg in steps of 0.1 kg".into(),
                conditions: vec![
                    ("Floor".into(), Some("level, wheels free".into())),
                    ("Date".into(), None),
                ],
                rows: (1..=6).map(|at| line(at, at == 3)).collect(),
                corners: None,
                foot: vec![
                    ("Sum".into(), None),
                    ("Agree when within".into(), Some("0.4 kg".into())),
                ],
                proof: "sheet/parts".into(),
            }),
            Block::WeighingSheet(WeighingSheet {
                title: "Weighing, four pads, 500 kg each in steps of 0.5 kg".into(),
                conditions: vec![("Tyres".into(), Some("2.1 bar".into()))],
                rows: Vec::new(),
                corners: Some([blank(3), WeighCell::Known("231.5 kg".into()), blank(3), blank(3)]),
                foot: Vec::new(),
                proof: "sheet/corners".into(),
            }),
        ],
    )
}

fn index() -> Section {
    let names = [
        "axle, steel",
        "axle, light",
        "brake hose",
        "drum, left",
        "drum, right",
        "U-bolts, left",
        "U-bolts, right",
    ];
    section(
        "index",
        "Index",
        vec![Block::Index(
            names
                .iter()
                .map(|name| IndexEntry {
                    name: (*name).into(),
                    steps: vec![
                        ("2.10".into(), "step/long".into()),
                        ("5.4".into(), "step/bolt".into()),
                    ],
                })
                .collect(),
        )],
    )
}

/// Texts that would do harm if any of them were read as markup, or as code.
pub const HOSTILE: [&str; 26] = [
    "#import \"@preview/x:1.0.0\": *",
    "#panic(\"no\")",
    "]",
    "[#read(\"/etc/passwd\")]",
    "$x^2$",
    "$ sum $ \\",
    "\"quoted\" 'single'",
    "<label>",
    "@ref",
    "back\\slash \\n \\u{41}",
    "// not a comment",
    "/* nor this */",
    "`code` ```fence```",
    "*bold* _italic_ **b** __i__",
    "= Heading",
    "# Heading",
    "- list",
    "+ list",
    "1. list",
    "> quote",
    "| a | b |",
    "<script>alert(1)</script>",
    "&amp; &#65; &copy;",
    "[link](https://example.org) ![x](y)",
    "~~gone~~ --- --",
    "{{ data }} ${x} %s",
];

/// A binder whose every text is hostile.
pub fn hostile() -> Document {
    let mut blocks = Vec::new();
    for (text, at) in HOSTILE.iter().zip(1..) {
        let step = format!("h{at}");
        blocks.push(Block::Text(plain(*text)));
        blocks.push(Block::Heading {
            level: 2,
            text: (*text).into(),
        });
        blocks.push(Block::Prose(vec![Prose::Paragraph(vec![Inline::Text(
            (*text).into(),
        )])]));
        let mut row = act(&step, "a", text, text, &[text]);
        row.take_out = Some((*text).into());
        row.write = vec![Field {
            caption: (*text).into(),
            unit: None,
            width: 90,
        }];
        let mut made = card(&step, &format!("1.{at}"), text, vec![CardRow::Act(row)]);
        made.messages = vec![message(
            SignalWord::Caution,
            text,
            &[text],
            &format!("message/{step}"),
        )];
        made.at_hand = plain(*text);
        made.first = vec![tick(text, Some(text), true)];
        made.after = vec![((*text).into(), vec![(*text).into()])];
        blocks.push(Block::Card(made));
        blocks.push(Block::Table(Table {
            title: (*text).into(),
            columns: vec![column(text, 80, Align::Left), column("kg", 40, Align::Decimal)],
            groups: vec![TableGroup {
                head: Some((*text).into()),
                rows: vec![row_of_two(text)],
            }],
            row_height: 10,
        }));
    }
    let mut document = binder();
    document.title = HOSTILE.concat();
    document.sections = vec![Section {
        key: "hostile".into(),
        title: "#panic() = $x$ ] \"".into(),
        stage_mark: None,
        titled: true,
        blocks,
    }];
    document
}

/// A long sentence of words, and one word without end.
pub fn endless_texts() -> [String; 2] {
    let words: String = (0..400).map(|at| format!("word{at} ")).collect();
    [
        format!("{words}the end of many words is here, so nothing was lost"),
        format!("{}theendofonelongwordishere", "long".repeat(500)),
    ]
}

/// Every text of a card, table, list and sheet is longer than a page or wider than one.
pub fn endless() -> Document {
    let mut blocks = Vec::new();
    for (text, at) in endless_texts().iter().zip(1..) {
        let text = text.as_str();
        let step = format!("e{at}");
        let mut row = act(&step, "a", text, text, &[text]);
        row.take_out = Some(text.into());
        row.write = vec![Field {
            caption: "gap".into(),
            unit: None,
            width: 90,
        }];
        let mut made = card(
            &step,
            "1.1",
            LONG_TITLE,
            vec![
                CardRow::Message(message(
                    SignalWord::Danger,
                    text,
                    &[text, text],
                    &format!("message/{step}/b"),
                )),
                CardRow::Act(row),
                CardRow::Prose(vec![Prose::Paragraph(vec![Inline::Text(text.into())])]),
            ],
        );
        made.messages = vec![message(
            SignalWord::Warning,
            text,
            &[text],
            &format!("message/{step}/a"),
        )];
        made.at_hand = plain(text);
        made.first = vec![tick(text, Some(text), true)];
        made.second_check = Some(SecondCheck {
            lines: vec![text.into()],
            proof: format!("second/{step}"),
        });
        made.after = vec![(text.into(), vec![text.into()])];
        made.safe_to_leave = Some(text.into());
        blocks.extend([
            Block::Card(made),
            Block::TickList {
                title: text.into(),
                items: vec![tick(text, Some(text), true)],
            },
            Block::Halves(
                vec![Block::Text(plain(text))],
                vec![Block::TickList {
                    title: text.into(),
                    items: vec![tick("short", Some(text), false)],
                }],
            ),
            Block::Table(Table {
                title: text.into(),
                columns: vec![column("What", 80, Align::Left), column("kg", 20, Align::Right)],
                groups: vec![TableGroup {
                    head: Some("Group".into()),
                    rows: vec![row_of_two(text)],
                }],
                row_height: 10,
            }),
            Block::BeforeItMoves(BeforeItMoves {
                title: text.into(),
                held_by: vec![plain(text)],
                who: vec![plain(text)],
                groups: vec![(
                    "front".into(),
                    vec![MoveRow {
                        state: "undone".into(),
                        joint: plain(text),
                        fixings: 60,
                        proof: format!("move/{step}"),
                    }],
                )],
                claim: text.into(),
                blank_rows: 30,
                proof: format!("moves/{step}"),
            }),
        ]);
    }
    let mut document = binder();
    document.sections = vec![Section {
        key: "endless".into(),
        title: "Endless".into(),
        stage_mark: Some(1),
        titled: true,
        blocks,
    }];
    document
}

fn row_of_two(text: &str) -> TableRow {
    row(vec![Cell::Line(plain(text)), Cell::Line(plain(text))], None)
}

/// A text as it is seen once blanks run together.
pub fn visible(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
        not_proved: None,
        sections: vec![
            cover(),
            read_first(),
            job(),
            stage_two(),
            stage_five(),
            torque_table(),
            weighing(),
            index(),
        ],
        pictures: vec![drawing("panel")],
    }
}
