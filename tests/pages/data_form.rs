//! The data form of the plans in `specs/`: the tables read back by a reader of RFC 4180, and JSON and tables against what the binder
//! prints. The JSON against its schema is asked of an outside validator in `.ci/run`.

use crate::generate;

use crate::support::{compile_files, compile_text, fences, plan_files};
use boltfolio::base::date::Date;
use boltfolio::binder::document::{Block, Cell, Document, Table, text_of};
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::Compilation;
use boltfolio::plan::model::{Hazard, JointKind};
use boltfolio::press::data::{SCHEMA_VERSION, data};
use serde_json::{Value, json};

const SCHEMA: &str = include_str!("../../grammar/data.schema.json");
const PLANS: &[&str] = &["ouzel-front", "lathe-move", "siskin-choices", "starter"];
const JSON: &str = "plan.json";
const MASSES: &str = "mass-account.csv";
const TORQUES: &str = "torque-table.csv";
const MONEY: &str = "money-account.csv";

fn bound(compilation: &Compilation) -> Document {
    bind(
        compilation,
        &Wanted::printed(Date::read("2026-11-25").expect("a day")),
    )
}

fn file(compilation: &Compilation, name: &str) -> Vec<u8> {
    let set = data(compilation, &bound(compilation));
    let names: Vec<&str> = set.files.iter().map(|(name, _)| name.as_str()).collect();
    let mut wanted = vec![JSON, MASSES, TORQUES];
    // The account is there where the plan says a sum.
    wanted.extend(compilation.money().currency.map(|_| MONEY));
    assert_eq!(names, wanted);
    let found = set.files.into_iter().find(|(known, _)| known == name);
    found.expect("one of the three").1
}

fn json_of(compilation: &Compilation) -> Value {
    serde_json::from_slice(&file(compilation, JSON)).expect("JSON")
}

fn spec(folder: &str) -> Compilation {
    compile_files(&plan_files(folder))
}

/// Rows by the head of their column.
fn rows(bytes: &[u8]) -> Vec<Vec<(String, String)>> {
    let mut reader = csv::Reader::from_reader(bytes);
    let heads = reader.headers().expect("a header row").clone();
    let row = |record: Result<csv::StringRecord, csv::Error>| {
        let record = record.expect("as many cells as heads");
        let both = heads.iter().zip(record.iter());
        both.map(|(head, cell)| (head.to_owned(), cell.to_owned()))
            .collect()
    };
    reader.records().map(row).collect()
}

fn column(rows: &[Vec<(String, String)>], head: &str) -> Vec<String> {
    let cell = |row: &Vec<(String, String)>| {
        row.iter()
            .find(|(known, _)| known == head)
            .expect("a column")
            .1
            .clone()
    };
    rows.iter().map(cell).collect()
}

#[test]
fn the_schema_is_one_and_closed() {
    fn closed(value: &Value, wrong: &mut Vec<String>) {
        match value {
            Value::Object(object) => {
                let is_object = object.get("type") == Some(&json!("object"));
                if is_object && object.get("additionalProperties") != Some(&json!(false)) {
                    wrong.push(value.to_string());
                }
                object.values().for_each(|inner| closed(inner, wrong));
            }
            Value::Array(all) => all.iter().for_each(|inner| closed(inner, wrong)),
            _ => {}
        }
    }
    let schema: Value = serde_json::from_str(SCHEMA).expect("JSON");
    assert_eq!(
        schema["properties"]["schema_version"]["const"],
        json!(SCHEMA_VERSION)
    );
    let mut wrong = Vec::new();
    closed(&schema, &mut wrong);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// One of every statement that there is; nothing at all; text that cannot be read; many rows.
#[test]
fn whatever_is_compiled_becomes_data_without_a_null() {
    let all = [
        compile_text(&fences(include_str!("../../grammar/REFERENCE.md")).concat()),
        Compilation::default(),
        compile_text("step"),
        compile_text(
            "plan p \"P\"; for nobody; target save kg\njoint a: b to c; torque to come\nstep s; undo a, 3 of a; lower q",
        ),
        compile_text(&generate::plan(40_000)),
    ];
    for compilation in &all {
        let json = json_of(compilation);
        assert!(
            !json.to_string().contains("null"),
            "no figure and no name is null"
        );
    }
    for plan in PLANS {
        let steps = json_of(&spec(plan))["plan"]["steps"]
            .as_array()
            .map_or(0, Vec::len);
        assert!(steps > 0, "{plan}");
    }
}

#[test]
fn same_plan_same_bytes() {
    for plan in PLANS {
        let (one, other) = (spec(plan), spec(plan));
        assert_eq!(data(&one, &bound(&one)), data(&other, &bound(&other)), "{plan}");
    }
}

/// Against the text of `specs/starter`, read by eye.
#[test]
fn it_says_what_the_plan_says() {
    let json = json_of(&spec("starter"));
    let named = |list: &str, name: &str| {
        let all = json["plan"][list].as_array().expect("a list");
        all.iter()
            .find(|item| item["name"] == json!(name))
            .expect("declared")
            .clone()
    };
    let bolts = named("joints", "bucket-bolts");
    assert_eq!(bolts["torque"]["torque_n_m"], json!(45.0));
    assert_eq!(bolts["fixing_count"], json!(4));
    assert_eq!(bolts["renew"], json!(true));
    assert_eq!(bolts["in_place_of"], json!("seat-bolts"));
    assert_eq!(
        named("parts", "seat")["mass"],
        json!({"mass_kg": 15.0, "origin": "quoted"})
    );
    let after = |step: &str| {
        let all = json["walk"]["after"].as_array().expect("steps");
        all.iter()
            .find(|state| state["step"] == json!(step))
            .expect("walked")
            .clone()
    };
    assert_eq!(json["walk"]["found"]["live"], json!(["supply", "charges"]));
    assert_eq!(after("make-dead")["live"], json!({"gone": ["supply", "charges"]}));
    assert_eq!(after("seat-out")["off"], json!({"come": ["seat"]}));
    assert_eq!(
        after("seat-out")["held"],
        json!({"come": [{"by": {"kind": "rig", "name": "bench"}, "parts": ["seat"]}]})
    );
    assert_eq!(after("make-live")["live"], json!({"come": ["supply"]}));
    assert_eq!(after("weigh-old").get("live"), None);
    // 15 kg off, 6.4 kg on.
    assert_eq!(json["reckonings"]["mass_account"]["saved"]["mass_kg"], json!(8.6));
}

/// A list as it stood, with what came and went.
fn changed(list: &mut Vec<Value>, change: &Value) {
    let of = |key: &str| change[key].as_array().cloned().unwrap_or_default();
    let (come, gone) = (of("come"), of("gone"));
    assert!(come.iter().all(|one| !list.contains(one)), "{come:?} came again");
    assert!(
        gone.iter().all(|one| list.contains(one)),
        "{gone:?} was not there"
    );
    list.retain(|one| !gone.contains(one));
    list.extend(come);
}

/// Told step by step, the changes lead to the states that the walk itself knows; and to a size that grows with the plan alone.
#[test]
fn changes_add_up_to_the_machine_after_each_step() {
    for (folder, steps) in [("ouzel-front", 60), ("lathe-move", 10)] {
        let compilation = compile_files(&plan_files(folder));
        let json = json_of(&compilation);
        let plan = &compilation.plan;
        let list = |key: &str| json["walk"]["found"][key].as_array().cloned().expect("a list");
        let (mut off, mut out, mut slack) = (list("off"), list("out"), list("slack"));
        let all = json["walk"]["after"].as_array().expect("steps");
        assert!(
            all.len() >= steps && all.len() == plan.order.len(),
            "{}",
            all.len()
        );
        let mut ever = (0, 0);
        for (nth, step) in all.iter().enumerate() {
            changed(&mut off, &step["off"]);
            changed(&mut out, &step["out"]);
            changed(&mut slack, &step["slack"]);
            let after = compilation.walk.after_nth(plan, nth).expect("walked");
            let mut known: Vec<Value> = after
                .taken_off()
                .map(|id| json!(&*plan.parts[id].head.name))
                .collect();
            let mut undone: Vec<Value> = after.out().map(|id| json!(&*plan.joints[id].head.name)).collect();
            let mut loose: Vec<Value> = after
                .slack()
                .map(|id| json!(&*plan.joints[id].head.name))
                .collect();
            ever = (ever.0.max(known.len()), ever.1.max(undone.len()));
            for both in [
                (&mut known, &mut off),
                (&mut undone, &mut out),
                (&mut loose, &mut slack),
            ] {
                both.0.sort_by_key(Value::to_string);
                both.1.sort_by_key(Value::to_string);
                assert_eq!(both.0, both.1, "after step {nth}");
            }
        }
        assert!(ever.0 > 3 && ever.1 > 3, "{ever:?}");
    }
}

#[test]
fn the_json_grows_with_the_plan_and_no_faster() {
    let size = |steps: usize| json_of(&compile_text(&round(steps))).to_string().len();
    let (short, long) = (size(150), size(600));
    assert!(
        long < short * 44 / 10,
        "{short} bytes at 150 steps, {long} at 600"
    );
}

/// Covers that all come off and stay off.
fn round(steps: usize) -> String {
    let mut text = String::from(
        "plan big \"Big\"; for wren\nvehicle wren \"Wren 900\"; body shell\nperson ada \"Ada\"; lifts 20 kg\n",
    );
    for n in 0..steps {
        text.push_str(&format!(
            "part cover-{n} \"Cover {n}\"; mass 2 kg quoted\njoint clips-{n}: cover-{n} to shell; clip; carries; count 4\nstep off-{n} \"Cover {n} off\"; by ada; undo clips-{n}; take off cover-{n}\n"
        ));
    }
    text
}

const INCHES: &str = r#"
plan p "Wren: seats"; for wren
vehicle wren "Wren 900"; body shell; mass 1500 lb quoted
part seat "=HYPERLINK(1,2)"; mass 22 lb weighed
part light "@light"; in place of seat; mass 5 kg weighed
part rail "-rail; old, =1"
joint seat-bolts "+Seat bolts": seat to shell; carries; bolts 4 x 3/8-16; torque 33 lbf ft
swap seats "=Seats"; comes off seat; goes on light
swap rails "Rails"; comes off rail
step out "Out"; undo seat-bolts; take off seat
"#;

/// 1 lb = 0.453 592 37 kg; 1 lbf ft = 1.355 817 948 N m (NIST SP 811, appendix B.8: 1.355 818); 3/8 in = 9.525 mm.
#[test]
fn figures_are_in_base_units() {
    let compilation = compile_text(INCHES);
    let json = json_of(&compilation);
    let part = &json["plan"]["parts"];
    let seat = part
        .as_array()
        .expect("parts")
        .iter()
        .find(|part| part["name"] == json!("seat"));
    let kg = seat.expect("the seat")["mass"]["mass_kg"]
        .as_f64()
        .expect("a number");
    assert!((kg - 22.0 * 0.453_592_37).abs() < 1e-12, "{kg}");
    let joint = &json["plan"]["joints"][0];
    let torque = joint["torque"]["torque_n_m"].as_f64().expect("a number");
    assert!((torque - 33.0 * 1.355_817_948).abs() < 1e-6, "{torque}");
    assert_eq!(joint["fixings"][0]["thread"]["diameter_mm"], json!(9.525));
}

#[test]
fn no_title_runs_in_a_spreadsheet_and_unknown_is_not_nothing() {
    let compilation = compile_text(INCHES);
    let masses = rows(&file(&compilation, MASSES));
    let titles = column(&masses, "title");
    assert_eq!(
        titles,
        [
            "'=HYPERLINK(1,2)",
            "'@light",
            "'=Seats",
            "'-rail; old, =1",
            "Rails",
            ""
        ]
    );
    assert_eq!(column(&masses, "off_kg"), ["9.979032", "", "", "", "", ""]);
    assert_eq!(
        column(&masses, "saved_kg"),
        ["", "", "4.979032", "", "", "4.979032"]
    );
    assert_eq!(column(&masses, "origin")[3], "not known");
    let torques = rows(&file(&compilation, TORQUES));
    assert_eq!(column(&torques, "title"), ["'+Seat bolts"]);
    assert_eq!(column(&torques, "step"), [""], "loosened, and tightened nowhere");
}

#[test]
fn each_swap_adds_up() {
    let masses = rows(&file(&spec("ouzel-front"), MASSES));
    let number = |text: &String| text.parse::<f64>().ok();
    let (kinds, swaps) = (column(&masses, "row"), column(&masses, "swap"));
    let figure = |head: &str| column(&masses, head).iter().map(number).collect::<Vec<_>>();
    let (off, on, saved) = (figure("off_kg"), figure("on_kg"), figure("saved_kg"));
    let mut all = 0.0;
    let mut sums = 0;
    for at in (0..kinds.len()).filter(|&at| kinds[at] == "swap") {
        let things = (0..kinds.len()).filter(|&other| kinds[other] == "thing" && swaps[other] == swaps[at]);
        let sum: f64 = things
            .map(|at| off[at].unwrap_or(0.0) - on[at].unwrap_or(0.0))
            .sum();
        let told = saved[at].expect("all masses of this plan are known");
        assert!((sum - told).abs() < 1e-5, "{}: {sum} and {told}", swaps[at]);
        all += told;
        sums += 1;
    }
    assert_eq!(sums, 4);
    let last = saved[kinds.len() - 1].expect("the sum of all");
    assert!((all - last).abs() < 1e-5 && kinds[kinds.len() - 1] == "all swaps");
}

fn torque_tables(document: &Document) -> impl Iterator<Item = &Table> {
    let blocks = document
        .sections
        .iter()
        .filter(|section| section.key == "first-run");
    blocks
        .flat_map(|section| &section.blocks)
        .filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
}

fn first_line(cell: &Cell) -> String {
    match cell {
        Cell::Lines(lines) => lines.first().map_or_else(String::new, |line| text_of(line)),
        Cell::Line(line) => text_of(line),
        Cell::Torque(figure) => figure.both(),
        _ => String::new(),
    }
}

/// Row by row: the step's number, the joint, the figure.
#[test]
fn the_torque_table_has_the_rows_of_the_binder() {
    let mut seen = 0;
    for plan in PLANS {
        let compilation = spec(plan);
        let document = bound(&compilation);
        // A row for both of a pair stands for two.
        let paper: Vec<(String, String, String)> = torque_tables(&document)
            .flat_map(|table| table.groups.iter().flat_map(|group| &group.rows))
            .flat_map(|row| {
                let cells = &row.cells;
                let torque = first_line(&cells[2]);
                let figure = torque.split(' ').next().unwrap_or_default().to_owned();
                let called = first_line(&cells[1]).to_lowercase();
                let all = match called.strip_suffix(", left and right") {
                    Some(pair) => vec![format!("{pair} left"), format!("{pair} right")],
                    None => vec![called],
                };
                let step = first_line(&cells[0]);
                all.into_iter()
                    .map(move |called| (step.clone(), called, figure.clone()))
            })
            .collect();
        let table = rows(&file(&compilation, TORQUES));
        let titles = column(&table, "title").into_iter().map(|title| {
            title
                .to_lowercase()
                .replace(", left", " left")
                .replace(", right", " right")
        });
        let torques = column(&table, "torque_n_m").into_iter();
        let told: Vec<(String, String, String)> = column(&table, "step")
            .into_iter()
            .zip(titles)
            .zip(torques)
            .map(|((step, title), torque)| (step, title, torque))
            .collect();
        assert_eq!(paper.len(), told.len(), "{plan}");
        for (paper, told) in paper.iter().zip(&told) {
            let on_paper = paper.1.replace(", left", " left").replace(", right", " right");
            assert_eq!((&paper.0, &on_paper), (&told.0, &told.1), "{plan}");
            let (printed, written) = (paper.2.parse::<f64>(), told.2.parse::<f64>());
            assert_eq!(printed.ok(), written.ok(), "{plan}: {}", told.1);
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen}");
}

/// The words that the schema lets through are those of the vocabulary, no more and no fewer.
#[test]
fn the_schema_knows_the_vocabulary() {
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../grammar/data.schema.json")).expect("JSON");
    fn lists(value: &serde_json::Value, into: &mut Vec<Vec<String>>) {
        if let Some(words) = value.get("enum").and_then(|list| list.as_array()) {
            into.push(
                words
                    .iter()
                    .filter_map(|word| word.as_str().map(str::to_owned))
                    .collect(),
            );
        }
        match value {
            serde_json::Value::Object(all) => all.values().for_each(|value| lists(value, into)),
            serde_json::Value::Array(all) => all.iter().for_each(|value| lists(value, into)),
            _ => {}
        }
    }
    let mut all = Vec::new();
    lists(&schema, &mut all);
    let holds = |words: Vec<&str>| {
        assert!(all.iter().any(|list| *list == words), "no such list: {words:?}");
    };
    holds(Hazard::all().map(Hazard::word).collect());
    holds(JointKind::ALL.iter().map(|kind| kind.word()).collect());
}
