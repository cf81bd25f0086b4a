//! A part with one joint says it in its own block, by `fixed to`: the plan is the one that a joint block would make. The jobs are invented.

use crate::bad_input::plan_without_places;
use crate::support::{compile_text, is_clean, told};
use boltfolio_core::compile::Compilation;

const JOB: &str = "plan p \"Wren 900: seat\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
person tom; lifts 30 kg
fluid oil; holds 1 l; density 0.9 kg/l; in seat
SEAT
step off; by ada, tom; hold seat by tom; undo seat-bolts; take off seat
step on; by ada, tom; hold seat by tom; fit seat; start seat-bolts; tighten seat-bolts
";

fn job(seat: &str) -> String {
    JOB.replace("fluid oil; holds 1 l; density 0.9 kg/l; in seat\n", "")
        .replace("SEAT", seat)
}

fn whats(done: &Compilation) -> Vec<String> {
    done.findings
        .iter()
        .map(|found| format!("{}: {}", found.rule.name, found.what))
        .collect()
}

/// The same plan and the same findings, whichever way the joint is said. Where it stands is no part of that.
#[track_caller]
fn same(short: &str, long: &str) {
    let (one, other) = (compile_text(short), compile_text(long));
    assert_eq!(whats(&one), whats(&other), "{short}");
    let strip = |done: &Compilation| plan_without_places(done).replace("in_part: Some()", "in_part: None");
    assert_eq!(strip(&one), strip(&other));
}

#[test]
fn one_statement_is_one_joint() {
    same(
        &job(
            "part seat \"Seat\"; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25 class 8.8, head 16 mm, torque 45 N m",
        ),
        &job(
            "part seat \"Seat\"; mass 15 kg quoted\njoint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25 class 8.8; head 16 mm; torque 45 N m",
        ),
    );
    is_clean(&job(
        "part seat \"Seat\"; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25 class 8.8, head 16 mm, torque 45 N m",
    ));
}

#[test]
fn commas_that_are_of_a_statement_stay_in_it() {
    same(
        &job(
            "part seat; mass 15 kg quoted; fixed to shell by bolts 2 x M10x1.25 class 8.8, 2 x M8x1.25 class 8.8 at the dowels, head 16 mm, deep socket, torque 45 N m in stages 20 N m, 45 N m, reach from below, front, hidden \"The rear pair, torque it last\", second check, renew",
        ),
        &job(
            "part seat; mass 15 kg quoted\njoint seat-bolts: seat to shell; carries; bolts 2 x M10x1.25 class 8.8, 2 x M8x1.25 class 8.8 at the dowels; head 16 mm, deep socket; torque 45 N m in stages 20 N m, 45 N m; reach from below, front; hidden \"The rear pair, torque it last\"; second check; renew",
        ),
    );
}

#[test]
fn each_side_has_its_own() {
    let rest = "step off; by ada; hold seat-left by ada; undo seat-clip-left; take off seat-left; hold seat-right by ada; undo seat-clip-right; take off seat-right
step on; by ada; fit both seats; start both seat-clips\n";
    let head = &JOB[..JOB.find("fluid").expect("a fluid")];
    same(
        &format!("{head}part seat, each side; mass 5 kg quoted; fixed to shell by clip, count 4\n{rest}"),
        &format!(
            "{head}part seat, each side; mass 5 kg quoted\njoint seat-clip, each side: seat to shell; carries; clip; count 4\n{rest}"
        ),
    );
}

#[test]
fn it_lends_what_it_says() {
    let bucket = "part bucket; in place of seat; mass 6 kg quoted\njoint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts; torque 40 N m";
    let job = |seat: &str| {
        job(seat).replace(
            "fit seat; start seat-bolts; tighten seat-bolts",
            "fit bucket; start bucket-bolts; tighten bucket-bolts",
        )
    };
    same(
        &job(&format!(
            "part seat; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25 class 8.8, head 16 mm, torque 45 N m\n{bucket}"
        )),
        &job(&format!(
            "part seat; mass 15 kg quoted\njoint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25 class 8.8; head 16 mm; torque 45 N m\n{bucket}"
        )),
    );
    // A part is lent to parts: what it is fixed to stays its own.
    let lent = compile_text(&job(
        "part seat; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25\npart other; same as seat; rests on seat",
    ));
    assert!(lent.plan.joints.len() == 1, "{:#?}", told(&lent));
    let wrong = told(&compile_text(&job(
        "part seat; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25\npart other; same as seat-bolts",
    )));
    assert!(
        wrong
            .iter()
            .any(|told| told.contains("`seat-bolts` is a joint; expected a part")),
        "{wrong:#?}"
    );
}

#[track_caller]
fn tells(seat: &str, rule: &str, words: &[&str]) {
    let done = compile_text(&job(seat));
    let found = done.findings.iter().find(|found| found.rule.name == rule);
    let found = found.unwrap_or_else(|| panic!("{rule} is not told: {:#?}", told(&done)));
    let labels: Vec<&str> = found.labels.iter().map(|label| label.words.as_str()).collect();
    let whole = format!("{} | {} | {}", found.what, labels.join(" | "), found.mend.words);
    for word in words {
        assert!(whole.contains(word), "{word} is not said: {whole}");
    }
    // Where the joint has no name, what uses it is no second finding.
    assert!(
        !told(&done).iter().any(|told| told.contains("nothing is called")),
        "{:#?}",
        told(&done)
    );
}

#[test]
fn what_is_missing_or_wrong_is_told_once() {
    let part = |line: &str| format!("part seat; mass 15 kg quoted; {line}");
    tells(
        &part("fixed to shell"),
        "unreadable-line",
        &["expected `by` and what fixes it", "fixed to NAME by bolts"],
    );
    tells(
        &part("fixed to by bolts 4 x M8x1.25"),
        "unreadable-line",
        &["`by` and what fixes it"],
    );
    tells(
        &part("fixed to \"shell\" by bolts"),
        "unreadable-line",
        &["the thing that it is fixed to"],
    );
    tells(
        &part("fixed to shell by"),
        "unreadable-line",
        &["what fixes it, such as `bolts`"],
    );
    tells(
        &part("fixed to shell by plug"),
        "unreadable-line",
        &["`bolts`", "`clip`", "has a joint block of its own"],
    );
    tells(
        &part("fixed to shell by bolts"),
        "unreadable-line",
        &["a whole number"],
    );
    tells(
        &part("fixed to shell by bolts 4 x M10x1.25, torque 45"),
        "bare-number",
        &["45 of what?"],
    );
    tells(
        &part("fixed to shell by bolts 4 x M10x1.25, torque 45 N m 3"),
        "unreadable-line",
        &["a comma and the next statement of the joint"],
    );
    tells(
        &part("fixed to shell by bolts 4 x M10x1.25, same as other"),
        "unreadable-line",
        &["no `same as` here"],
    );
    tells(
        &part("fixed to shell by bolts 4 x M10x1.25, torque 45 N m, torque 50 N m"),
        "said-twice",
        &["`torque` is said twice"],
    );
    tells(
        &part("fixed to shell by bolts 4 x M10x1.25; fixed to shell by clip"),
        "said-twice",
        &[
            "`fixed to` is said twice",
            "a joint block of its own: joint NAME: A to B",
        ],
    );
    tells(
        &part("fixed to seat by bolts 4 x M10x1.25"),
        "joint-to-itself",
        &["seat-bolts"],
    );
    // Without a torque it is a question as of any other joint.
    // A plan where no joint has a torque is a sketch.
    let lamp = "part lamp; mass 1 kg quoted; fixed to shell by screws 2 x M6x1.0, torque 9 N m\n";
    let without = part("fixed to shell by bolts 4 x M10x1.25 class 8.8, head 16 mm");
    tells(&format!("{lamp}{without}"), "torque-missing", &["seat-bolts"]);
    let done = compile_text(&job(&part("fixed to shll by bolts 4 x M10x1.25")));
    let all = told(&done);
    assert!(
        all.iter().any(|told| told.contains("nothing is called `shll`")),
        "{all:#?}"
    );
    assert!(!all.iter().any(|told| told.contains("`seat-bolts`")), "{all:#?}");
}

#[test]
fn a_name_that_is_taken_says_what_to_do() {
    let seat = "part seat; mass 15 kg quoted; fixed to shell by bolts 4 x M10x1.25";
    let words = [
        "`seat-bolts` is declared twice",
        "`fixed to` in part `seat` makes a joint of this name",
        "take `fixed to` out",
    ];
    tells(
        &format!("{seat}\njoint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25"),
        "same-name-twice",
        &words,
    );
    tells(
        &format!("joint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25\n{seat}"),
        "same-name-twice",
        &words,
    );
    tells(&format!("{seat}\npart seat-bolts"), "same-name-twice", &words);
    let long = "a".repeat(60);
    let done = compile_text(&job(&format!(
        "{seat}\npart {long}; fixed to shell by bolts 4 x M10x1.25"
    )));
    assert!(
        told(&done).iter().any(|told| told.contains("is 66 letters long")),
        "{:#?}",
        told(&done)
    );
}

/// Mends that add a statement to the joint add it behind a comma.
#[test]
fn mends_go_behind_fixed_to() {
    let gone = "plan p; for wren; crew ada\nvehicle wren; body shell\nperson ada; lifts 30 kg
part seat; mass 5 kg quoted; afterwards for sale; fixed to shell by bolts 2 x M8x1.25 class 8.8, head 13 mm, torque 20 N m
step off; by ada; hold seat by ada; undo seat-bolts; take off seat\n";
    let done = compile_text(gone);
    assert!(
        done.findings.iter().any(|found| !found.mend.edits.is_empty()),
        "{:#?}",
        told(&done)
    );
    for finding in done
        .findings
        .iter()
        .filter(|finding| !finding.mend.edits.is_empty())
    {
        let mut text = gone.to_owned();
        for edit in finding.mend.edits.iter().rev() {
            text.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
        }
        let after = told(&compile_text(&text));
        assert!(
            !after
                .iter()
                .any(|told| told.contains("unreadable") || told.contains(finding.what.as_str())),
            "{text}\n{after:#?}"
        );
    }
}
