//! A job as it is lived with: three days of work entered into the demonstration, and after each what its owner asks. Every figure is worked
//! out by hand beside it.

use std::fs;
use std::path::Path;

use super::{err, out, plan_files_of, run, status, write};

/// What was said, in one line.
fn told(folder: &Path, arguments: &[&str]) -> String {
    let output = run(folder, arguments);
    assert_eq!(
        status(&output),
        0,
        "{arguments:?}: {}{}",
        out(&output),
        err(&output)
    );
    out(&output).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

#[test]
fn three_days_of_work() {
    let around = plan_files_of(&["specs/ouzel-front", "specs/our-workshop"]);
    let folder = around.path();
    let ask = |arguments: &[&str]| {
        let mut all = arguments.to_vec();
        all.extend(["--binder", "paper"]);
        told(folder, &all)
    };
    told(
        folder,
        &["print", "ouzel-front", "--to", "paper", "--form", "markdown"],
    );

    // Saturday: five steps, and a sixth half. On its card a and b are the marks of the frame bolts.
    ask(&[
        "enter",
        "ouzel-front",
        "log 1.3 to 1.7; done 2026-03-07 by ines, tam; took 4 h 10 min",
        "log 1.8; stopped 2026-03-07 at act b waiting for paint-pen",
    ]);
    has(
        &ask(&["state", "ouzel-front"]),
        &[
            "within step 1.8 mark-what-was",
            "after: mark frame-bolts-rear",
            "Stands on lift",
            "next place to stop: 1.9 down-again",
        ],
    );
    let today = ask(&[
        "today",
        "ouzel-front",
        "--hours",
        "4",
        "--with",
        "tam",
        "--on",
        "2026-03-08",
    ]);
    // Two steps were logged before, five are now: 7 of 102.
    has(
        &today,
        &[
            "7 of 102 steps done",
            "1.8 mark-what-was, Mark what shows where it sat: waits for paint pen",
            "by the log of 2026-03-07",
        ],
    );
    // The pen has come: of five acts three are left, 15 of 25 min; lowered at worst 24 + 15 min. The first day took 18 % more than planned, and so
    // is taken what is left: 17.7 and 28.3 min, 39 times 1.18 = 46 min.
    let today = ask(&[
        "today",
        "ouzel-front",
        "--hours",
        "4",
        "--with",
        "tam,paint-pen",
        "--on",
        "2026-03-08",
    ]);
    has(
        &today,
        &[
            "the rest of 1.8 mark-what-was, Mark what shows where it sat, by Ines: 18 min, at worst 28 min",
            "Surely reached: 1.9 down-again, Down on its wheels, at worst after 46 min.",
        ],
    );

    // Sunday: the rest, a blank on its line, and rust, for which three steps are put in before the car comes down.
    ask(&[
        "enter",
        "ouzel-front",
        "log 1.8; done 2026-03-08 by ines; measure rod-end-threads-left 11 mm; found \"Sill rusted through\"",
        "measure toe-left 2 mm",
    ]);
    let stage = folder.join("ouzel-front/stages/1-weigh-and-raise.boltplan");
    let text = fs::read_to_string(&stage).expect("there");
    assert!(text.contains("measure toe-left 2 mm\n"), "{text}");
    let rust = "step rust-cut \"Rust cut out\"; by tam; time 60 min (40 to 120); look \"Bright metal all round the hole\"\n\
        step rust-patch \"Patch tried\"; by tam; time 45 min; look \"It lies flat all round\"\n\
        step rust-shut \"Hole taped over\"; by tam; time 20 min; look \"Tape holds\"\n";
    write(
        &stage,
        text.replace("step down-again", &format!("{rust}step down-again")),
    );
    let today = ask(&[
        "today",
        "ouzel-front",
        "--hours",
        "2",
        "--with",
        "tam",
        "--on",
        "2026-03-14",
    ]);
    // 60 and 45 min by the plan, 105 of 120; at the pace that is logged 71 and 53, and that is too long.
    has(
        &today,
        &[
            "8 of 105 steps done",
            "1.8a rust-cut, Rust cut out, by Tam: 1 h 11 min, at worst 2 h 21 min; likely done after 1 h 11 min",
            "then 1.8b rust-patch, Patch tried, likely 53 min: no longer fits",
        ],
    );

    // Saturday after: by names, since the paper does not know them, and by numbers what it knows. The bonnet weighs more than was thought.
    ask(&[
        "enter",
        "ouzel-front",
        "log rust-cut to down-again; done 2026-03-13 by ines, tam",
        "log 2.1 to 2.8; done 2026-03-14 by ines, tam, odo; broke 1 of bonnet-hinges; reads bonnet 16.1 kg",
    ]);
    // 12 + 8 are over; 16.1 + 1.2 + 6.8 = 24.1 kg are off.
    has(
        &ask(&["today", "ouzel-front", "--with", "tam"]),
        &["20 of 105 steps done; the last is 2.8 bumper-off, Bumper skin off, on 2026-03-14."],
    );
    has(
        &ask(&["masses", "ouzel-front"]),
        &[
            "off for now −24.1",
            "Bonnet; Grille; Bumper skin",
            "after step 2.8 865",
        ],
    );
    told(
        folder,
        &["print", "ouzel-front", "--to", "paper", "--form", "markdown"],
    );
    let read = |name: &str| fs::read_to_string(folder.join("paper/ouzel-front").join(name)).expect("printed");
    has(
        &read("binder.md"),
        &["**1** bolt M8 × 1.25 × 20, 8.8", "Sill rusted through"],
    );
    has(&read("stage-1-weigh-and-raise.md"), &["### 1.8a Rust cut out"]);

    // All of it entered again changes nothing.
    let again = ask(&[
        "enter",
        "ouzel-front",
        "log rust-cut to down-again; done 2026-03-13 by ines, tam",
        "log 2.1 to 2.8; done 2026-03-14 by ines, tam, odo; broke 1 of bonnet-hinges; reads bonnet 16.1 kg",
        "measure toe-left 2 mm",
    ]);
    has(&again, &["Nothing is changed: all of it stands there already."]);
}
