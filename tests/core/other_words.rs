//! What people type for what the language calls otherwise: where it means one thing it is read as that, and never told nor printed; where it
//! may mean several, the answer says what to write. And of many words only those that fit are named.

use crate::bad_input::plan_without_places;
use crate::support::{compile_text, told};
use boltfolio_core::compile::Compilation;
use boltfolio_core::syntax::tidy::tidied;

const JOB: &str = "plan p \"Wren 900: seat\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
person tom; lifts 30 kg
part seat \"Seat\"; PART
joint seat-bolts: seat to shell; carries; JOINT
step off \"Seat off\"; by ada, tom; STEP; hold seat by tom; undo seat-bolts; take off seat
step on \"Seat on\"; by ada, tom; hold seat by tom; fit seat; start seat-bolts; tighten seat-bolts
";

fn job(part: &str, joint: &str, step: &str) -> String {
    JOB.replace("PART", part)
        .replace("JOINT", joint)
        .replace("STEP", step)
}

const PART: &str = "mass 15 kg estimated";
const JOINT: &str = "bolts 4 x M10x1.25 class 8.8; head 16 mm; torque 45 N m";
const STEP: &str = "time 20 min";

fn with(part: &str, joint: &str, step: &str) -> Compilation {
    compile_text(&job(part, joint, step))
}

/// Two ways to write a plan: nothing is told of either, and the plan is the same.
#[track_caller]
fn same(said: &Compilation, own: &Compilation) {
    assert_eq!(told(said), told(own));
    assert!(
        !told(own).iter().any(|told| told.contains("unreadable")),
        "{:#?}",
        told(own)
    );
    assert_eq!(plan_without_places(said), plan_without_places(own));
}

#[test]
fn words_that_mean_one_thing_are_read() {
    for (said, own) in [
        ("weight 15 kg guessed", "mass 15 kg estimated"),
        (
            "weighs 15 kg approx; price 30 GBP",
            "mass 15 kg estimated; cost 30 GBP",
        ),
        ("mass 15 kg measured", "mass 15 kg weighed"),
    ] {
        same(&with(said, JOINT, STEP), &with(own, JOINT, STEP));
    }
    for (said, own) in [
        (
            "bolts 4 x M10x1.25 class 8.8; torx T40; torque 45 N m",
            "bolts 4 x M10x1.25 class 8.8; hexalobular T40; torque 45 N m",
        ),
        ("bolt 1 x M10x1.25; allen 8 mm", "bolts 1 x M10x1.25; key 8 mm"),
        ("screw 1 x M6x1.0; hex key 5 mm", "screws 1 x M6x1.0; key 5 mm"),
        ("screws 2 x M6x1.0; phillips PH2", "screws 2 x M6x1.0; cross PH2"),
        ("nuts 2 x M8x1.25; spanner 13 mm", "nuts 2 x M8x1.25; head 13 mm"),
        (
            "bolts 2 x M8x1.25; left hand thread; thread lock \"medium\"; washer 2",
            "bolts 2 x M8x1.25; left-hand thread; threadlock \"medium\"; washers 2",
        ),
    ] {
        same(&with(PART, said, STEP), &with(PART, own, STEP));
    }
    same(
        &with(PART, JOINT, "duration 1h30"),
        &with(PART, JOINT, "time 1 h 30 min"),
    );
    same(
        &with(PART, JOINT, "time 2h05min"),
        &with(PART, JOINT, "time 2 h 5 min"),
    );
    // In one statement of the part as in a block of the joint.
    let short = |words: &str| {
        compile_text(
            &job(&format!("mass 15 kg estimated; {words}"), JOINT, STEP)
                .replace("joint seat-bolts: seat to shell; carries; ", "# "),
        )
    };
    same(
        &short("bolted to shell by bolt 1 x M10x1.25, torx T40, threadlock"),
        &short("fixed to shell by bolts 1 x M10x1.25, hexalobular T40, threadlock"),
    );
}

#[test]
fn curly_quotes_are_quotes() {
    let straight = job(PART, &format!("{JOINT}; hidden \"He said “look”\""), STEP);
    for (open, close) in [('“', '”'), ('“', '“'), ('„', '“'), ('“', '"'), ('"', '”')] {
        let curly = straight
            .replace("\"Seat off\"", &format!("{open}Seat off{close}"))
            .replace("\"Seat\"", &format!("{open}Seat{close}"));
        assert_ne!(curly, straight);
        same(&compile_text(&curly), &compile_text(&straight));
        assert_eq!(tidied(&curly), curly);
    }
    // One that never closes is told as such, and the mend closes it.
    let open = straight.replace("\"Seat off\"", "“Seat off");
    let all = told(&compile_text(&open));
    assert!(
        all.iter().any(|told| told.contains("no closing quote")),
        "{all:#?}"
    );
}

/// One that closes otherwise than it opened, and runs into the next text: the mend makes two of them.
#[test]
fn a_text_that_closes_otherwise_is_closed_where_it_was_meant() {
    for (own, said) in [
        (
            "part seat \"Seat\"; mass 15 kg estimated",
            "part seat \"Seat”; mass 15 kg estimated; goes to \"shelf\"",
        ),
        ("hidden \"Below\"", "hidden \"Below”; fully out \"It jams\""),
    ] {
        let text = job(PART, &format!("{JOINT}; hidden \"Below\""), STEP).replace(own, said);
        let done = compile_text(&text);
        let found = done
            .findings
            .iter()
            .find(|found| found.what.contains("closes with a curly one"));
        let edit = &found.unwrap_or_else(|| panic!("{:#?}", told(&done))).mend.edits[0];
        let mut mended = text.clone();
        mended.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
        assert_eq!(mended, text.replace('”', "\""));
        let all = told(&compile_text(&mended));
        assert!(!all.iter().any(|told| told.contains("unreadable")), "{all:#?}");
    }
}

#[test]
fn what_may_mean_several_things_is_answered() {
    for (joint, words) in [
        (
            "bolts 2 x M8x1.25; socket 13 mm",
            "for `socket` write `head 16 mm`, or `key 6 mm`",
        ),
        (
            "bolts 2 x M8x1.25; hex 13 mm",
            "for `hex` write `head 16 mm`, or `key 6 mm`",
        ),
        (
            "nuts 2 x M8x1.25 nyloc",
            "for `nyloc` write `nuts 2 x M8x1.25; renew \"locking nuts\"`",
        ),
        ("nyloc 2 x M8x1.25", "for `nyloc` write"),
        ("washers plain", "how many, or which in quotes"),
    ] {
        let all = told(&with(PART, joint, STEP));
        assert!(all.iter().any(|told| told.contains(words)), "{joint}: {all:#?}");
    }
}

/// The mend of a range, as text to be taken over.
#[track_caller]
fn meant(done: &Compilation, wanted: &str) {
    let edits: Vec<&str> = done
        .findings
        .iter()
        .flat_map(|found| found.mend.edits.iter().map(|edit| edit.text.as_str()))
        .collect();
    assert!(edits.contains(&wanted), "{edits:?} of {:#?}", told(done));
}

#[test]
fn a_range_is_told_with_what_it_comes_to() {
    // JCGM 100:2008, 4.3.7: half the width over the root of three; 2 kg wide is 0.577 kg.
    meant(&with("mass 10 to 12 kg", JOINT, STEP), "11 +- 0.6 kg");
    meant(&with("mass 10-13 kg estimated", JOINT, STEP), "11.5 +- 0.9 kg");
    meant(&with("mass 10.0 kg to 10.5 kg", JOINT, STEP), "10.25 +- 0.14 kg");
    meant(
        &with(PART, "bolts 2 x M8x1.25; torque 20 to 24 N m", STEP),
        "22 N·m (20 to 24)",
    );
    meant(&with(PART, JOINT, "time 10 to 20 min"), "15 min (10 to 20)");
    meant(&with(PART, JOINT, "time 1:30"), "1 h 30 min");
    // Taken over, each is read.
    let mended = told(&with(
        "mass 11 +- 0.6 kg estimated",
        "bolts 2 x M8x1.25 class 8.8; head 13 mm; torque 22 N m (20 to 24)",
        "time 15 min (10 to 20)",
    ));
    assert!(mended.is_empty(), "{mended:#?}");
    // What only looks like one.
    let all = told(&with("mass 12 to 10 kg", JOINT, STEP));
    assert!(all.iter().any(|told| told.contains("12 of what?")), "{all:#?}");
}

fn mends(done: &Compilation) -> Vec<String> {
    done.findings
        .iter()
        .map(|found| format!("{} {}", found.what, found.mend.words))
        .collect()
}

#[test]
fn of_many_words_those_that_fit_are_named() {
    // What stands behind a word says which statements it may be: a figure, a text, a name, nothing.
    for (part, joint, step, words) in [
        (PART, "torq 45 N m", STEP, "`torque`"),
        (PART, "frobnicate 45 N m", STEP, "Did you mean `"),
        (PART, JOINT, "wiggle seat", "`weigh`"),
        ("colour \"red\"", JOINT, STEP, "`goes to`"),
    ] {
        let all = mends(&with(part, joint, step));
        let one = all
            .iter()
            .find(|told| told.contains("statement of"))
            .unwrap_or_else(|| panic!("{all:#?}"));
        assert!(one.contains(words), "{words}: {one}");
        assert!(one.matches('`').count() <= 2 * 6, "no list of all words: {one}");
    }
    let all = mends(&compile_text(&format!("{}\nfrob seat\n", job(PART, JOINT, STEP))));
    let one = all
        .iter()
        .find(|told| told.contains("opens no kind of block"))
        .expect("told");
    assert_eq!(one.matches('`').count(), 2 * 6, "{one}");
    let all = mends(&compile_text(&format!(
        "{}caution c; signal danger; harm \"x\"; avoid \"y\"; against fule\n",
        job(PART, JOINT, STEP)
    )));
    let one = all
        .iter()
        .find(|told| told.contains("21 words, such as `fuel`"))
        .unwrap_or_else(|| panic!("{all:#?}"));
    assert!(one.matches('`').count() <= 2 * 6, "{one}");
}
