//! A plan without a finding can be printed, and one with faults too where that is asked for: the mends of all rule pages, what scales can be
//! like, and names that are not their own.

use crate::support::{compile_files, compile_text, fences, files, told};
use boltfolio::base::date::Date;
use boltfolio::base::finding::Severity;
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::Compilation;
use boltfolio::plan::model::Paper;
use boltfolio::{press, rules};

const STARTER: &str = include_str!("../../specs/starter/starter.boltplan");
const SCALE: &str = "scale hook \"Hanging scale\"; capacity 50 kg; division 0.1 kg";

/// Why it cannot be printed, if it cannot.
fn refused(done: &Compilation, paper: Paper) -> Option<String> {
    let document = bind(
        done,
        &Wanted {
            paper: Some(paper),
            to_do: false,
            unchecked: done.count(Severity::Fault) > 0,
            ..Wanted::printed(Date::read("2026-03-07").expect("a day"))
        },
    );
    let pages = press::pdf(&document).err();
    let labels = press::labels(&document).err();
    pages.or(labels).map(|error| error.to_string())
}

#[test]
fn the_mends_of_all_rule_pages() {
    let mut wrong = Vec::new();
    let mut printed = 0;
    for rule in rules::catalogue().iter().flat_map(|family| family.rules) {
        let Some(mend) = fences(rule.page).into_iter().nth(1) else {
            continue;
        };
        printed += 1;
        let paper = if printed % 2 == 0 {
            Paper::A4
        } else {
            Paper::Letter
        };
        if let Some(why) = refused(&compile_files(&files(&mend)), paper) {
            wrong.push(format!("{}: {why}", rule.name));
        }
    }
    assert!(printed > 100, "{printed}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Boxes for a reading are as many as the scale shows figures, and five or more once left the page.
#[test]
fn readings_of_any_scale() {
    assert!(STARTER.contains(SCALE));
    let of = |scale: &str| STARTER.replace(SCALE, &format!("scale hook \"Hanging scale\"{scale}"));
    let mut plans: Vec<String> = [
        "",
        "; division 0.1 kg",
        "; capacity 2000 kg",
        "; capacity 5000 kg; division 0.1 kg",
        "; capacity 50 kg; division 0.001 kg",
        "; capacity 1100 lb; division 0.1 lb",
        "; capacity 90000 kg; division 0.001 kg",
    ]
    .map(of)
    .to_vec();
    let dated = "dated 2026-04-11; with hook;";
    assert!(STARTER.contains(dated));
    plans.push(STARTER.replace(dated, "dated 2026-04-11;"));
    for heavy in [
        "capacity 3000 kg; division 0.5 kg",
        "capacity 1500 kg; division 0.001 kg",
    ] {
        plans.push(format!(
            "{STARTER}scale plate \"Plate\"; {heavy}\nweigh-in whole \"Whole\"; with plate; reads pipit to come\n\
             weigh-in ends \"Ends\"; with plate; axles to come front, to come rear\n"
        ));
    }
    for plan in &plans {
        let done = compile_text(plan);
        assert_eq!(done.count(Severity::Fault), 0, "{:?}", told(&done));
        for paper in [Paper::A4, Paper::Letter] {
            assert_eq!(refused(&done, paper), None, "{plan}");
        }
    }
}

#[test]
fn names_that_are_not_their_own_and_titles_that_say_nothing() {
    let lamp = |rest: &str| {
        format!("plan lamp-job \"Lamp\"; for wren\nvehicle wren \"Wren 900\"; body shell\n{rest}")
    };
    let mut plans = vec![
        lamp("step s \"One\"; look \"x\"\nstep s \"Two\"; look \"y\"\n"),
        lamp("step Seat-Out \"One\"; look \"x\"\nstep Seat-In \"Two\"; look \"y\"\n"),
        lamp(
            "caution hot \"Hot\"; signal warning; harm \"Burns.\"; avoid \"Wait.\"\nstage a \"A\"; caution hot\nstep s \"One\"; look \"x\"\n\
             stage a \"B\"; caution hot\nstep t \"Two\"; look \"y\"\n",
        ),
        "plan Pipit-Seat\nstep s \"One\"; look \"x\"\n".to_owned(),
    ];
    for title in ["", " ", "\u{200B}"] {
        plans.push(lamp("step s \"One\"; look \"x\"\n").replace("\"Lamp\"", &format!("\"{title}\"")));
    }
    for plan in &plans {
        assert_eq!(refused(&compile_text(plan), Paper::A4), None, "{plan}");
    }
}
