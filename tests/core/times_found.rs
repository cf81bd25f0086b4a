//! Which steps have time to spare: worked out from who does what to which thing, and told on "The job on one page".

use boltfolio_core::analysis::timing::{self, Timing};
use boltfolio_core::base::date::Date;
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::Source;
use boltfolio_core::binder::document::Cell;
use boltfolio_core::binder::document::{Block, Document, StageList, Table, text_of};
use boltfolio_core::binder::{Wanted, bind};
use boltfolio_core::compile::{Compilation, compile};

/// A door comes off, and its glass with it; the glass is taken out on the floor by one, while the other has the tank down.
const PLAN: &str = r#"plan p "Wren: door and tank"; for wren; crew mo, pip; target save 40 kg; class minimum 640 kg
vehicle wren "Wren 900"; body shell; mass 700.0 kg weighed; wheelbase 2100 mm
person mo "Mo, owner"; lifts 25 kg
person pip "Pip"; lifts 25 kg
rig table "Lifting table"; lifts, holds; rated 350 kg
part door "Door"; mass 26.0 kg weighed; afterwards stays off
part glass "Glass"; mass 6.0 kg weighed; afterwards stays off
part tank "Tank"; mass 22.5 kg weighed; afterwards stays off
part cell "Fuel cell"; in place of tank; mass 9.5 kg weighed
joint door-bolts: door to shell; carries; bolts 4 x M8x1.25; gone
joint glass-bolts: glass to door; carries; bolts 4 x M6x1; gone
joint tank-bolts: tank to shell; carries; bolts 4 x M8x1.25
joint cell-bolts: cell to shell; in place of tank-bolts; carries; bolts 4 x M8x1.25
stage out "Door out"
step door-out "Door"; by mo, pip; hold door with table; undo door-bolts; take off door; set door down on floor; time 90 min (60 to 180)
stage bench "Glass out of the door"
step glass-off "Glass off"; by pip; undo glass-bolts; time 2 h (1 h to 4 h)
stage tank-out "Tank"
step tank-down "Tank down"; by mo; hold tank with table; undo tank-bolts; take off tank; set tank down on floor; time 170 min (1 h to 4 h)
stage in "Cell in"
step cell-in "Cell in"; by mo, pip; hold cell with table; fit cell; start cell-bolts; tighten cell-bolts; release cell; time 60 min
"#;

fn compiled(text: &str) -> Compilation {
    let done = compile(vec![Source::new("p.boltplan", text, false)], &NoPictures);
    assert!(!done.unwalked, "{:?}", done.findings);
    done
}

fn timed(text: &str) -> Timing {
    let done = compiled(text);
    timing::timing(&done.plan, &done.walk).expect("steps")
}

fn spare(text: &str) -> Vec<Option<f64>> {
    timed(text).steps.iter().map(|timed| timed.spare).collect()
}

fn bound(text: &str) -> Document {
    let today = Date::read("2026-03-07").expect("a day");
    bind(&compiled(text), &Wanted::printed(today))
}

fn list(document: &Document) -> &StageList {
    let all = document.sections.iter().flat_map(|section| &section.blocks);
    let mut lists = all.filter_map(|block| match block {
        Block::Stages(list) => Some(list),
        _ => None,
    });
    lists.next().expect("the list of stages")
}

fn words(document: &Document) -> String {
    let page = document
        .sections
        .iter()
        .find(|section| section.key == "one-page")
        .expect("the page");
    page.blocks
        .iter()
        .map(|block| match block {
            Block::Text(line) => text_of(line) + "\n",
            Block::Figures(all) => all
                .iter()
                .map(|one| format!("{} {}: {}\n", one.figure, one.word, one.below.join("; ")))
                .collect(),
            _ => String::new(),
        })
        .collect()
}

fn cells(table: &Table) -> Vec<Vec<String>> {
    let rows = table.groups.iter().flat_map(|group| &group.rows);
    rows.map(|row| {
        let cells = row.cells.iter().map(|cell| match cell {
            Cell::Line(line) => text_of(line),
            _ => String::new(),
        });
        cells.collect()
    })
    .collect()
}

#[test]
fn work_at_the_bench_can_wait() {
    // By hand: 90 min, then 120 beside 170, then 60.
    let found = timed(PLAN);
    assert_eq!(found.length, 320.0);
    assert_eq!(spare(PLAN), [Some(0.0), Some(50.0), Some(0.0), Some(0.0)]);
    let at: Vec<(f64, f64)> = found
        .steps
        .iter()
        .map(|timed| (timed.starts, timed.ends))
        .collect();
    assert_eq!(at, [(0.0, 90.0), (90.0, 210.0), (90.0, 260.0), (260.0, 320.0)]);
}

#[test]
fn what_is_shared_waits() {
    let none = [Some(0.0); 4];
    // The same person, both people, nobody named, the same rig, a turn that the plan states.
    for (one, other) in [
        ("\"Glass off\"; by pip;", "\"Glass off\"; by mo;"),
        ("\"Tank down\"; by mo;", "\"Tank down\"; by mo, pip;"),
        ("\"Glass off\"; by pip;", "\"Glass off\";"),
        ("\"Glass off\"; by pip;", "\"Glass off\"; by pip; needs table;"),
        ("\"Tank down\"; by mo;", "\"Tank down\"; by mo; after glass-off;"),
    ] {
        let text = PLAN.replace(one, other);
        assert_ne!(text, PLAN);
        assert_eq!(spare(&text), none, "{other}");
        assert_eq!(timed(&text).length, 440.0, "{other}");
    }
    // At the car nothing runs side by side, whoever does it: the walk proved one order alone.
    let text = PLAN.replace(
        "step glass-off \"Glass off\"; by pip; undo glass-bolts;",
        "step glass-off \"Look\"; by pip; look \"No rust\";",
    );
    assert_eq!(spare(&text), none);
}

#[test]
fn a_step_without_a_time_leaves_open_what_hangs_on_it() {
    let text = PLAN.replace("; time 90 min (60 to 180)", "");
    let found = timed(&text);
    assert_eq!(found.unsaid, 1);
    // Door and cell come before or behind all else, however long they take.
    assert_eq!(spare(&text), [Some(0.0), None, None, Some(0.0)]);
    let document = bound(&text);
    assert!(words(&document).contains("1 step without a time: the hours are longer than drawn."));
    let rows = cells(&list(&document).table);
    assert_eq!(rows[1][3], "time to spare not known");
    // The time of a stage is shared out where its steps say none.
    let text = text.replace("stage out \"Door out\"", "stage out \"Door out\"; time 90 min");
    assert_eq!(timed(&text).length, 320.0);
    assert_eq!(timed(&text).unsaid, 0);
}

#[test]
fn the_page_says_what_is_drawn() {
    let document = bound(PLAN);
    let said = words(&document);
    assert!(said.contains("5 h 20 min from beginning to end"), "{said}");
    let list = list(&document);
    let rows = cells(&list.table);
    assert_eq!(
        rows[0],
        ["1", "Door out", "1 h 30", "no time to spare", "668.0", ""]
    );
    assert_eq!(
        rows[1],
        [
            "2",
            "Glass out of the door",
            "2 h",
            "50 min to spare",
            "668.0",
            ""
        ]
    );
    assert_eq!(rows[2][4], "645.5");
    assert_eq!(rows[3][4], "655.0");
    assert_eq!(
        list.drawing.caption.as_deref(),
        Some("5 h 20 min from beginning to end; 655.0 kg at the end, 5.0 kg under the target of 660.0 kg")
    );
    for part in [
        "2, Glass out of the door: 2 h of work between 1 h 30 min and 3 h 30 min, 50 min to spare; 668.0 kg after it.",
        "700.0 kg at the first weighing.",
        "Target 660.0 kg.",
        "Class minimum 640.0 kg.",
    ] {
        assert!(list.drawing.alt.contains(part), "{part}: {}", list.drawing.alt);
    }
    let strong: Vec<bool> = list.rows.iter().map(|row| row.strong).collect();
    assert_eq!(strong, [true, false, true, true]);
    let file = document
        .pictures
        .iter()
        .find(|file| file.key == list.drawing.key)
        .expect("drawn");
    let svg = String::from_utf8(file.bytes.to_vec()).expect("text");
    for part in [
        "black: no time to spare",
        "white: time to spare",
        "target 660.0",
        "minimum 640.0",
        ">Hours<",
        ">Kilograms on the car<",
    ] {
        assert!(svg.contains(part), "{part}: {svg}");
    }
    // The path stands where its figures are: 45 mm for what lies between least and most, with a little room at both ends.
    assert_eq!(svg.matches("stroke-dasharray=\"2.2 1.1\"").count(), 1);
}

#[test]
fn what_is_not_known_gives_way_and_says_so() {
    let no_times: String = PLAN
        .lines()
        .map(|line| line.split("; time ").next().unwrap_or(line).to_owned() + "\n")
        .collect();
    let document = bound(&no_times);
    assert!(words(&document).contains("No step says how long it takes: there are no hours here."));
    assert_eq!(cells(&list(&document).table)[0], ["1", "Door out", "668.0", ""]);
    let document = bound(&PLAN.replace("; mass 22.5 kg weighed", ""));
    assert!(
        words(&document).contains("1 mass is not known: there are no kilograms here."),
        "{}",
        words(&document)
    );
    assert_eq!(
        cells(&list(&document).table)[0],
        ["1", "Door out", "1 h 30", "no time to spare", ""]
    );
    let document = bound(&PLAN.replace("; mass 700.0 kg weighed", ""));
    assert!(words(&document).contains("The mass of the car is not known: there are no kilograms here."));
    let document = bound(&PLAN.replace("; target save 40 kg", ""));
    let key = &list(&document).drawing.key;
    let file = document
        .pictures
        .iter()
        .find(|file| file.key == *key)
        .expect("drawn");
    assert!(String::from_utf8_lossy(&file.bytes).contains(">no target<"));
}
