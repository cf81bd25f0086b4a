//! The binder from plans as they are written: what a page says of them.

use super::document::{
    ActRow, Block, Card, CardRow, Cell, Document, Section, WeighCell, WeighingSheet, text_of,
};
use super::{Wanted, bind, sample};
use crate::base::finding::Severity;
use crate::base::picture::NoPictures;
use crate::base::source::Source;
use crate::compile::compile;

const PRELUDE: &str = r#"
plan p "Wren: seats"; for wren; crew mo, pip
vehicle wren "Wren 900, the blue one"; body shell; mass 700 kg quoted
person mo "Mo, owner"; lifts 25 kg
person pip "Pip"; lifts 25 kg
rig table "Lifting table, on loan"; lifts, holds; rated 350 kg; borrow
"#;

fn bound(text: &str) -> Document {
    let source = Source::new("p.boltplan", format!("{PRELUDE}{text}"), false);
    let compilation = compile(vec![source], &NoPictures);
    // The plans are scraps that need not hold together, but each has to be read as it is meant.
    let (of_the_work, _) = crate::rules::judge(
        &compilation.plan,
        Vec::new(),
        Some(&compilation.walk),
        &crate::analysis::Analysis::default(),
    );
    let unread: Vec<&str> = compilation
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Fault)
        .map(|finding| finding.what.as_str())
        .filter(|what| !of_the_work.iter().any(|finding| finding.what == *what))
        .collect();
    assert!(unread.is_empty(), "{unread:?}");
    let document = bind(&compilation, &Wanted::printed(sample::today()));
    super::tests::assert_no_key_twice(&document);
    document
}

fn section<'d>(document: &'d Document, key: &str) -> &'d Section {
    document
        .sections
        .iter()
        .find(|section| section.key == key)
        .unwrap_or_else(|| panic!("no section {key}"))
}

fn blocks(document: &Document) -> impl Iterator<Item = &Block> {
    document.sections.iter().flat_map(|section| &section.blocks)
}

fn card<'d>(document: &'d Document, number: &str) -> &'d Card {
    blocks(document)
        .find_map(|block| match block {
            Block::Card(card) if card.number == number => Some(card),
            _ => None,
        })
        .unwrap_or_else(|| panic!("no card {number}"))
}

fn acts(card: &Card) -> Vec<&ActRow> {
    card.rows
        .iter()
        .filter_map(|row| match row {
            CardRow::Act(act) => Some(act),
            _ => None,
        })
        .collect()
}

/// "Verb object" of each row.
fn said(card: &Card) -> Vec<String> {
    acts(card)
        .iter()
        .map(|act| format!("{} {}", act.verb, text_of(&act.object)))
        .collect()
}

fn facts(act: &ActRow) -> String {
    act.facts
        .iter()
        .map(|line| text_of(line))
        .collect::<Vec<_>>()
        .join("\n")
}

/// All cells of a section's tables, as text, a line a row.
fn list_text(section: &Section) -> String {
    let mut text = String::new();
    let mut open: Vec<&Block> = section.blocks.iter().rev().collect();
    while let Some(block) = open.pop() {
        match block {
            Block::Halves(left, right) => open.extend(right.iter().rev().chain(left.iter().rev())),
            Block::Dense(list) => {
                for item in &list.items {
                    let right = item.right.as_deref().unwrap_or_default();
                    text.push_str(&format!("{}: {} | {right}\n", list.title, text_of(&item.text)));
                }
            }
            _ => {}
        }
    }
    text
}

fn table_text(section: &Section) -> String {
    let mut text = String::new();
    for block in &section.blocks {
        let Block::Table(table) = block else { continue };
        text.push_str(&table.title);
        text.push('\n');
        for row in table.groups.iter().flat_map(|group| &group.rows) {
            let cells: Vec<String> = row
                .cells
                .iter()
                .map(|cell| match cell {
                    Cell::Line(line) => text_of(line),
                    Cell::Lines(lines) => lines
                        .iter()
                        .map(|line| text_of(line))
                        .collect::<Vec<_>>()
                        .join(" / "),
                    Cell::Torque(figure) => figure.both(),
                    _ => String::new(),
                })
                .collect();
            text.push_str(&cells.join(" | "));
            text.push('\n');
        }
    }
    text
}

#[test]
fn acts_in_the_words_of_the_plan() {
    let document = bound(
        r#"
part rack "Rack"; mass 9.8 kg weighed
joint rack-bolts: rack to shell; carries; bolts 4 x M10x1.25 class 8.8; head 16 mm, deep socket; torque 40 N m then 30 deg; order across; pattern 2 x 2; seen from "below"
joint tail: rack to shell; carries; pin; count 3
step out "Rack out"; by mo, pip; calls mo, stop word "stop"
  hold rack with table; undo 3 of rack-bolts; pin 1 of tail; undo rack-bolts, tail
  draw rack down 20 mm
  take off rack
  look "Mo sees daylight all round"
step in "Rack in"; by mo
  fit rack; start rack-bolts, tail; tighten rack-bolts; verify "Pip sees it"
"#,
    );
    let out = card(&document, "1");
    assert_eq!(
        said(out),
        [
            "Take the weight of the rack on the lifting table, 9.8 kg",
            "Undo the rack bolts, 3 of 4",
            "Pin the tail",
            "Undo the rack bolts",
            "Undo the tail",
            "Pull the rack down by 20 mm (0.79 in)",
            "Take off the rack",
            "Look: Mo sees daylight all round",
        ]
    );
    assert_eq!(
        text_of(&out.who_and_time),
        "Mo and Pip · Mo gives the word · stop word “stop”"
    );
    let rows = acts(out);
    let marks = |row: &ActRow| {
        row.marks
            .iter()
            .flat_map(|m| &m.groups)
            .flat_map(|g| g.rows.iter().flatten())
            .count()
    };
    assert_eq!(
        rows.iter().map(|row| marks(row)).collect::<Vec<_>>(),
        [0, 3, 2, 4, 3, 0, 0, 0]
    );
    let undo = rows.get(3).expect("a row");
    assert!(
        facts(undo).starts_with("4 bolts M10 × 1.25, 8.8 · deep socket 16 mm"),
        "{}",
        facts(undo)
    );
    assert_eq!(undo.torque, None, "nothing is tightened here");
    assert!(facts(undo).contains(" · back at 40 N·m"), "{}", facts(undo));
    let tighten = acts(card(&document, "2"))
        .into_iter()
        .find(|row| row.verb == "Tighten")
        .expect("a row");
    let torque = tighten.torque.as_ref().expect("a figure");
    assert_eq!(
        (torque.first.as_str(), torque.second.as_deref()),
        ("40 N·m", Some("29.5 lbf ft"))
    );
    assert!(
        facts(tighten).contains("then a further 30°"),
        "{}",
        facts(tighten)
    );
    let group = tighten
        .marks
        .iter()
        .flat_map(|marks| &marks.groups)
        .next()
        .expect("marks");
    assert_eq!(group.label.as_deref(), Some("from below"));
}

#[test]
fn inch_plans_lead_with_inches_and_american_words() {
    let text = r#"
part rack "Rack"
joint hose-end: rack to shell; pipe of oil; nuts 1 x M14x1.5; head 22 mm; torque 58 N m
fluid oil "Oil"; in rack; holds 1 l
step out "Out"; by mo; drain oil; undo hose-end; start hose-end; tighten hose-end; fill oil
"#;
    let source = Source::new(
        "p.boltplan",
        format!(
            "{}{text}",
            PRELUDE.replace("crew mo, pip", "crew mo, pip; units inch; spelling american")
        ),
        false,
    );
    let compilation = compile(vec![source], &NoPictures);
    let document = bind(&compilation, &Wanted::printed(sample::today()));
    assert_eq!(document.language, "en-US");
    let rows = acts(card(&document, "1"));
    let tighten = rows
        .iter()
        .find(|row| row.verb == "Start by hand, then tighten")
        .expect("one row for both acts");
    assert_eq!(tighten.also.len(), 1, "each act is proved");
    let torque = tighten.torque.as_ref().expect("a figure");
    assert_eq!(
        (torque.first.as_str(), torque.second.as_deref()),
        ("42.8 lbf ft", Some("58 N·m"))
    );
    assert!(facts(tighten).contains("wrench 22 mm"), "{}", facts(tighten));
}

#[test]
fn a_sheet_for_what_is_heavy_and_none_for_what_is_light() {
    let part = |mass: &str| {
        bound(&format!(
            r#"
part lid "Lid"{mass}
joint a: lid to shell; carries; bolts 2 x M6x1.0
joint b: lid to shell; plug
joint c: lid to shell; clip; hidden "Under the mat"
step off "Lid off"; by mo; hold lid with table; undo a, b, c; take off lid
"#
        ))
    };
    let sheets = |document: &Document| {
        blocks(document)
            .filter(|block| matches!(block, Block::BeforeItMoves(_)))
            .count()
    };
    assert_eq!(sheets(&part("; mass 1.2 kg weighed")), 0);
    assert_eq!(sheets(&part("; mass 12 kg weighed")), 1);
    let unknown = part("");
    assert_eq!(sheets(&unknown), 1, "an unknown mass counts as heavy");
    let take_off = acts(card(&unknown, "1")).into_iter().last().expect("a row");
    assert!(
        facts(take_off).contains("Sign the checklist first."),
        "{}",
        facts(take_off)
    );
}

#[test]
fn riders_go_along_and_only_the_cut_is_asked() {
    let document = bound(
        r#"
part engine "Engine"
part pump "Pump"
joint mounts: engine to shell; carries; bolts 4 x M12x1.75
joint strap-e: engine to shell; strap
joint pump-bolts: pump to engine; carries; bolts 3 x M8x1.25
joint pump-plug: pump to shell; plug
joint hose-p: pump to shell; hose of oil; push-on
fluid oil "Oil"; in pump; holds 1 l
step out "Out"; by mo; hold engine with table; drain oil; undo hose-p; plug hose-p; undo mounts, strap-e; lower engine
"#,
    );
    let sheet = blocks(&document)
        .find_map(|block| match block {
            Block::BeforeItMoves(sheet) => Some(sheet),
            _ => None,
        })
        .expect("a sheet");
    let mut rows: Vec<(String, &str)> = sheet
        .groups
        .iter()
        .flat_map(|(_, rows)| rows)
        .map(|row| {
            let joint = text_of(&row.joint);
            (
                joint.split(':').next().unwrap_or_default().to_owned(),
                row.state.as_str(),
            )
        })
        .collect();
    rows.sort_unstable();
    assert_eq!(
        rows,
        [
            ("Hose p".to_owned(), "plugged"),
            ("Mounts".to_owned(), "undone"),
            // Forgotten in the steps: the sheet asks for it all the same.
            ("Pump plug".to_owned(), "undone"),
            ("Strap e".to_owned(), "undone"),
        ]
    );
}

fn sheets(document: &Document) -> Vec<&WeighingSheet> {
    blocks(document)
        .filter_map(|block| match block {
            Block::WeighingSheet(sheet) => Some(sheet),
            _ => None,
        })
        .collect()
}

#[test]
fn blanks_have_the_digits_of_the_scale_and_never_the_figure() {
    let document = bound(
        r#"
part seat "Seat"; mass 15.0 kg quoted
part rail "Rail"; mass 2 kg estimated
scale hook "Hook"; capacity 100 kg; division 0.05 kg
step out "Out"; by mo; weigh seat with hook; weigh rail with hook
weigh-in day "On the day"; with hook; reads seat to come; tare sling 1.2 kg
"#,
    );
    let sheets = sheets(&document);
    let titles: Vec<&str> = sheets.iter().map(|sheet| sheet.title.as_str()).collect();
    assert_eq!(
        titles,
        [
            "On the day: hook, 100 kg in steps of 0.05 kg",
            "Weighed during the work: hook, 100 kg in steps of 0.05 kg"
        ]
    );
    let row = sheets
        .first()
        .and_then(|sheet| sheet.rows.first())
        .expect("a row");
    assert!(matches!(&row.reads, WeighCell::Blank { whole: 3, decimals: 2, unit } if unit == "kg"));
    let between = row.between.as_deref().expect("a range");
    assert_eq!(between, "12 to 18 kg");
    assert!(!between.contains("15"), "never the expected figure");
    let weigh = acts(card(&document, "1"));
    assert!(
        weigh
            .first()
            .is_some_and(|act| facts(act).contains("“On the day”, row 1"))
    );
    assert!(
        weigh
            .get(1)
            .is_some_and(|act| facts(act).contains("“Weighed during the work”"))
    );
}

#[test]
fn a_single_reading_is_written_where_it_is_read() {
    let document = bound(
        r#"
part seat "Seat"; mass 15.0 kg quoted
part rail "Rail"; mass 2 kg estimated
scale hook "Hook"; capacity 100 kg; division 0.1 kg
step out "Out"; by mo; weigh seat with hook; weigh rail with hook
weigh-in day "On the day"; with hook; reads seat to come
"#,
    );
    assert!(sheets(&document).is_empty(), "no sheet has it a second time");
    let weigh = acts(card(&document, "1"));
    assert_eq!(weigh.len(), 2);
    for (act, between) in weigh.into_iter().zip(["12 to 18 kg", "1.3 to 2.6 kg"]) {
        assert!(
            matches!(&act.reads, Some(WeighCell::Blank { whole: 3, decimals: 1, unit }) if unit == "kg"),
            "{act:?}"
        );
        let facts = facts(act);
        assert!(
            facts.contains(between) && facts.contains("tray or sling"),
            "{facts}"
        );
    }
}

#[test]
fn an_unknown_mass_is_named_and_never_summed() {
    let document = bound(
        r#"
part seat "Seat"; mass 15.0 kg quoted
part bucket "Bucket"; in place of seat; mass 6.4 kg weighed
part jar "Jar"
part lid "Lid"; in place of jar; mass 1 kg quoted
step out "Out"; by mo; take off seat; take off jar; fit bucket; fit lid
swap one "Seats"; comes off seat; goes on bucket
swap two "Jars"; comes off jar; goes on lid
"#,
    );
    let text = table_text(section(&document, "weights"));
    assert!(text.contains("Sum | 15.0 | 6.4 | 8.6"), "{text}");
    assert!(text.contains("Jar | not known"), "{text}");
    assert!(text.contains("Sum |  | 1.0 | "), "{text}");
    assert!(text.contains("All swaps |  |  | 8.6"), "{text}");
    let all: Vec<String> = section(&document, "weights")
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Text(line) => Some(text_of(line)),
            _ => None,
        })
        .collect();
    assert!(
        all.iter().any(|line| line.contains("Not known yet: jar.")),
        "{all:?}"
    );
}

#[test]
fn hardware_is_counted_over_all_joints() {
    let document = bound(
        r#"
part a; part b
"#
        .replace("part a; part b", "part arm-a\npart arm-b\njoint one: arm-a to shell; carries; nuts 4 x M10x1.25; torque 40 N m; renew\njoint two: arm-b to shell; carries; nuts 2 x M10x1.25; torque 40 N m; renew\njoint pins: arm-b to shell; nuts 1 x M12x1.25; torque 40 N m; renew \"split pin\"\njoint old: arm-a to shell; nuts 9 x M5x0.8; renew; gone\nstep s \"S\"; by mo; undo one, two, pins, old; start one, two, pins; tighten one, two, pins")
        .as_str(),
    );
    let text = list_text(section(&document, "get-ready"));
    assert!(text.contains("6 nuts M10 × 1.25: one and two | + 1"), "{text}");
    assert!(text.contains("1 split pin: pins | + 1"), "{text}");
    let hand = text_of(&card(&document, "1").at_hand);
    assert!(hand.contains("6 nuts M10 × 1.25, new"), "{hand}");
    assert!(hand.contains("1 split pin, new"), "{hand}");
    assert!(
        !text.contains("M5"),
        "what does not come back is not ordered: {text}"
    );
}

#[test]
fn what_is_closed_twice_is_ordered_twice() {
    let joint = "part arm\njoint one: arm to shell; carries; bolts 6 x M10x1.25; torque 40 N m; renew\n";
    let order = |acts: &str| {
        let document = bound(&format!("{joint}step s \"S\"; by mo; {acts}"));
        list_text(section(&document, "get-ready"))
    };
    let twice = order("undo one; start one; tighten one; undo one; start one; tighten one");
    assert!(twice.contains("12 bolts M10 × 1.25: one | + 2"), "{twice}");
    let by_twos = order("undo one; start 2 of one; start one; tighten one");
    assert!(by_twos.contains("6 bolts M10 × 1.25: one | + 1"), "{by_twos}");
}

#[test]
fn what_is_new_is_a_thing_or_a_remark_and_told_where_it_goes_in() {
    let document = bound(
        "part arm-a\npart arm-b\n\
         joint ball: arm-a to shell; taper; nuts 1 x M12x1.5; torque 40 N m; renew \"locking nut\"\n\
         joint ball-two: arm-b to shell; taper; nuts 1 x M12x1.5; torque 40 N m; renew \"locking nut\"\n\
         joint clips: arm-b to shell; clip; count 4; renew \"two spare\"\n\
         step s \"S\"; by mo; undo ball, ball-two, clips; press home clips; tighten ball, ball-two\n",
    );
    let text = list_text(section(&document, "get-ready"));
    assert!(text.contains("2 locking nuts M12 × 1.5: "), "{text}");
    assert!(text.contains("4 clips (two spare): "), "{text}");
    let card = card(&document, "1");
    let hand = text_of(&card.at_hand);
    assert!(hand.contains("2 locking nuts M12 × 1.5, new"), "{hand}");
    let facts: Vec<String> = card
        .rows
        .iter()
        .filter_map(|row| match row {
            CardRow::Act(act) if act.verb == "Tighten" => act.facts.first().map(|line| text_of(line)),
            _ => None,
        })
        .collect();
    assert!(
        facts.len() == 2 && facts.iter().all(|fact| fact.contains("new locking nut")),
        "{facts:?}"
    );
}

#[test]
fn names_are_short_where_nothing_is_lost() {
    let document = bound(
        r#"
part seat "Seat"; mass 15 kg quoted
tool small "Tray, small"; holds 1 l
tool large "Tray, large"; holds 9 l
fluid oil "Oil, thin"; holds 2 l
step a "A"; by mo, pip; hold seat with table; drain oil into large
"#,
    );
    assert_eq!(document.short, "Wren 900");
    assert_eq!(
        said(card(&document, "1")),
        [
            "Take the weight of the seat on the lifting table, 15 kg",
            "Drain the oil into the tray, large"
        ]
    );
}

#[test]
fn steps_that_follow_one_another_are_one_run() {
    let steps: String = (1..=5)
        .map(|n| format!("step s{n} \"S\"; by mo; caution c; look \"x\"\n"))
        .collect();
    let document = bound(&format!(
        "caution c \"C\"; signal caution; harm \"H\"; avoid \"A\"\n{steps}step s6 \"S\"; by mo; look \"x\"\nstep s7 \"S\"; by mo; caution c; look \"x\"\n"
    ));
    let text = table_text(section(&document, "read-first"));
    assert!(text.contains("1 to 5, 7"), "{text}");
}

#[test]
fn the_list_of_changes_names_what_is_new_and_what_is_gone() {
    let before = "part axle \"Steel axle\"; mass 74.5 kg quoted\n\
                  joint spring: axle to shell; carries; bolts 4 x M10x1.25\n\
                  joint strap: axle to shell; strap\njoint hose: axle to shell; hose\n\
                  step slack \"Slack\"; by mo; slacken spring\n";
    let lower =
        "step drop \"Drop it\"; by mo, pip; hold axle with table; undo spring, strap, hose; take off axle\n";
    let today = || Wanted::printed(sample::today());
    let bound_after = |text: &str, kept: &str| {
        let source = Source::new("p.boltplan", format!("{PRELUDE}{text}"), false);
        let wanted = Wanted {
            kept: super::kept::Kept::read(kept),
            ..today()
        };
        bind(&compile(vec![source], &NoPictures), &wanted)
    };
    let rows = |document: &Document| -> Vec<(String, Vec<String>)> {
        let page = section(document, "changes");
        let mut all = Vec::new();
        for block in &page.blocks {
            if let Block::Table(table) = block {
                for group in &table.groups {
                    let cells = group.rows.iter().map(|row| match row.cells.get(1) {
                        Some(Cell::Line(line)) => text_of(line),
                        _ => String::new(),
                    });
                    all.push((group.head.clone().unwrap_or_default(), cells.collect()));
                }
            }
        }
        all
    };
    let short = bound_after(before, "");
    let long = bound_after(&format!("{before}{lower}"), &short.kept.write());
    let changes = rows(&long);
    let list = |changes: &[(String, Vec<String>)], head: &str| -> Vec<String> {
        let found = changes.iter().find(|(known, _)| known.starts_with(head));
        found.map_or_else(Vec::new, |(_, rows)| rows.clone())
    };
    let new = list(&changes, "New");
    assert!(
        new.contains(&"Drop it".to_owned())
            && new.iter().any(|row| row.starts_with("Checklist: steel axle off")),
        "{changes:?}"
    );
    let back = rows(&bound_after(before, &long.kept.write()));
    let gone = list(&back, "Gone");
    for name in ["Drop it", "Checklist: steel axle off, 2"] {
        assert!(gone.contains(&name.to_owned()), "{back:?}");
    }
    assert!(gone.iter().all(|row| !row.contains('/')), "{gone:?}");
}

#[test]
fn a_page_whose_picture_changed_is_changed() {
    let document = bound("part axle; mass 74.5 kg quoted\nstep see \"See\"; by mo; look \"All well\"\n");
    let file = |bytes: &[u8]| crate::base::picture::PictureFile {
        key: "one.png".to_owned(),
        kind: crate::base::picture::PictureKind::Png,
        bytes: std::sync::Arc::from(bytes),
    };
    let shown = super::document::PictureUse {
        key: "one.png".to_owned(),
        caption: None,
        alt: "The axle".to_owned(),
        width: 100,
        drawn: None,
        proof: "p".to_owned(),
    };
    let mut sections = document.sections;
    sections.truncate(2);
    for section in &mut sections {
        section.blocks.push(Block::Picture(shown.clone()));
    }
    let print = |bytes: &[u8]| super::changes::print("now".to_owned(), &sections, &[file(bytes)]).pages;
    assert_eq!(print(b"one"), print(b"one"));
    assert_ne!(print(b"one"), print(b"two"));
}

#[test]
fn a_centre_ahead_of_the_front_axle_is_told_so() {
    use super::mass_balance::{along, length, length_within, sideways};
    use crate::plan::model::Units;
    assert_eq!(along(Units::Metric, -40.4, 3.0), "40 mm ahead of");
    assert_eq!(along(Units::Metric, 1120.2, 3.0), "1120 mm behind");
    assert_eq!(length(Units::Metric, -40.4, 3.0), "40 mm");
    // 1 in is 25.4 mm (NIST SP 811, B.8).
    assert_eq!(along(Units::Inch, 1120.2, 3.0), "44.1 in behind");
    assert_eq!(sideways(Units::Inch, -1.0, 3.0), "in the middle");
    assert_eq!(length_within(Units::Inch, 96.8, 56.0), "3.8 ± 2.2 in");
    assert_eq!(length_within(Units::Metric, 96.8, 56.0), "97 ± 56 mm");
    let place = |behind: f64| super::drawings::plan_view::Place { behind, right: 0.0 };
    let view = super::drawings::plan_view::View {
        front: "front axle",
        wheels: Vec::new(),
        supports: Vec::new(),
        dots: [120.0, -40.0]
            .into_iter()
            .zip(["0", "1"])
            .map(|(behind, mark)| super::drawings::plan_view::Dot {
                mark: mark.to_owned(),
                at: place(behind),
                within: place(10.0),
            })
            .collect(),
        nearest: None,
        when: "in step 1".to_owned(),
        vehicle: "machine",
        margin: None,
        units: Units::Metric,
    };
    let drawn = super::drawings::plan_view::draw(&view).expect("a centre");
    assert!(
        drawn.alt.contains("120 mm behind the front axle"),
        "{}",
        drawn.alt
    );
    assert!(drawn.alt.contains("40 mm ahead of it"), "{}", drawn.alt);
}
