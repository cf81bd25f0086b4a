//! `state` and `draft`: what is asked about a plan, and names that it does not have.

use super::{err, out, plan, program, project, refused, run, run_with_input, said, starter, status};

#[test]
fn the_state_after_a_step_by_name_or_number() {
    let by_name = run(&project(), &["state", "specs/starter", "--after", "seat-out"]);
    assert_eq!(status(&by_name), 0, "{}", err(&by_name));
    let text = out(&by_name);
    assert!(text.contains("after step 1.2 seat-out"), "{text}");
    for row in [
        "Off          seat",
        "Held         seat by bench",
        "Stands on    wheels",
    ] {
        assert!(text.contains(row), "{text}");
    }
    assert!(!text.contains("Live"), "the supply is dead by then: {text}");
    let by_number = run(&project(), &["state", "specs/starter", "--after", "1.2"]);
    assert_eq!(out(&by_number), text);
    let found = out(&run(&project(), &["state", "specs/starter"]));
    assert!(
        found.contains("as it was found") && found.contains("Live         supply"),
        "{found}"
    );
}

#[test]
fn a_state_fits_a_narrow_terminal_and_counts_what_it_leaves_out() {
    let mut narrow = program(&project());
    narrow
        .env("COLUMNS", "40")
        .args(["state", "specs/ouzel-front", "--after", "frame-down"]);
    let output = narrow.output().expect("the program starts");
    let text = out(&output);
    assert!(text.lines().all(|line| line.chars().count() <= 40), "{text}");
    assert!(text.contains("more"), "{text}");
    let all = out(&run(
        &project(),
        &["state", "specs/ouzel-front", "--after", "frame-down", "--all"],
    ));
    assert!(!all.contains(" more"), "{all}");
}

#[test]
fn a_draft_pastes_back_without_a_finding() {
    let drafted = run(
        &project(),
        &[
            "draft",
            "specs/starter",
            "--off",
            "bucket",
            "--after",
            "make-live",
        ],
    );
    assert_eq!(status(&drafted), 0, "{}", err(&drafted));
    let text = out(&drafted);
    assert!(text.contains("step bucket-off \"Bucket seat off\""), "{text}");
    let pasted = format!("{}\n{text}", starter());
    let linted = run_with_input(
        &project(),
        &["lint", "-", "--stop-at", "advice"],
        pasted.as_bytes(),
    );
    // The seat was weighed and sold; what comes off again is the bucket alone.
    assert_eq!(status(&linted), 0, "{}\n{text}", out(&linted));
}

#[test]
fn a_draft_takes_several_things_off_and_puts_them_back_the_other_way_round() {
    let text = "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada; lifts 30 kg\nperson tom; lifts 30 kg
part cover; mass 1 kg quoted\njoint clips: cover to shell; clip; carries
part lamp; mass 1 kg quoted\njoint screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m; key 4 mm; covered by cover
part bulb; mass 0.1 kg quoted\njoint socket: bulb to lamp; clip; carries\n";
    let around = plan(text);
    let drafted = run(around.path(), &["draft", "ouzel", "--off", "lamp,cover, bulb"]);
    assert_eq!(status(&drafted), 0, "{}{}", out(&drafted), err(&drafted));
    let draft = out(&drafted);
    // The cover comes off before the lamp, and the lamp takes its bulb along or not: each thing once, and back in the other order.
    for part in ["cover", "lamp"] {
        let off = draft.matches(&format!("take off {part}\n")).count();
        assert_eq!(off, 1, "{part} in {draft}");
    }
    let order: Vec<&str> = draft.lines().filter(|line| line.starts_with("stage ")).collect();
    let backs: Vec<usize> = order
        .iter()
        .enumerate()
        .filter(|(_, line)| line.contains(" reverses "))
        .map(|(nth, _)| nth)
        .collect();
    assert_eq!(backs.len() * 2, order.len(), "{draft}");
    assert!(backs.iter().all(|nth| *nth >= order.len() / 2), "{draft}");
    let linted = run_with_input(&project(), &["lint", "-"], format!("{text}{draft}").as_bytes());
    assert_eq!(status(&linted), 0, "{}\n{draft}", out(&linted));
    let said = refused(&run(around.path(), &["draft", "ouzel", "--off", "lamp,nothing"]));
    assert!(said.contains("is called nothing"), "{said}");
}

/// A sump that is reached from below, on a car of 700 kg.
fn sump(rigs: &str) -> String {
    format!(
        "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell; mass 700 kg quoted
  jacking front at 100 mm behind front axle, 400 mm left and right
person ada; lifts 30 kg\nperson tom; lifts 30 kg
caution under; signal danger; harm \"Crushed. Death.\"; avoid \"Stands.\"; against under-vehicle
part sump; mass 3 kg quoted\njoint bolts: sump to shell; carries; bolts 8 x M6x1.0; torque 9 N m; head 10 mm; reach from below\n{rigs}"
    )
}

#[test]
fn a_draft_raises_the_vehicle_on_what_bears_it() {
    let table = "rig table; lifts, holds; rated 300 kg\n";
    let pair = "rig small; lifts; rated 2000 kg\nrig stands; holds; rated 3000 kg; count 2\n";
    let around = plan(&sump(&format!("{table}{pair}")));
    let drafted = run(around.path(), &["draft", "ouzel", "--off", "sump"]);
    assert_eq!(status(&drafted), 0, "{}", err(&drafted));
    let text = out(&drafted);
    assert!(
        text.contains("raise wren front on small") && text.contains("down on stands"),
        "{text}"
    );
    // A table that bears it comes first, as before.
    let strong = plan(&sump(&format!("{}{pair}", table.replace("300 kg", "1500 kg"))));
    let text = out(&run(strong.path(), &["draft", "ouzel", "--off", "sump"]));
    assert!(text.contains("raise wren on table"), "{text}");
    // Only where nothing bears it that is told.
    let none = plan(&sump(table));
    let output = run(none.path(), &["draft", "ouzel", "--off", "sump"]);
    assert_eq!(status(&output), 1, "{}", err(&output));
    assert!(
        said(&output).contains("`table` bears all of `wren`"),
        "{}",
        said(&output)
    );
}

#[test]
fn what_cannot_come_off_says_why() {
    let around = plan(
        "plan p \"P\"\n  for wren\nvehicle wren \"Wren\"; body shell\npart a \"A\"; mass 1 kg quoted\npart b \"B\"; mass 1 kg quoted\njoint a-clip: a to shell; clip; carries; covered by b\njoint b-clip: b to shell; clip; carries; covered by a\n",
    );
    let output = run(around.path(), &["draft", "ouzel", "--off", "a"]);
    assert_eq!(status(&output), 1, "{}", err(&output));
    assert_eq!(out(&output), "");
    let said = said(&output);
    assert!(
        said.contains("a waits for b, which covers its joint a-clip."),
        "{said}"
    );
    assert!(
        said.contains("b waits for a, which covers its joint b-clip."),
        "{said}"
    );
}

#[test]
fn names_that_are_not_there_are_refused_with_what_is_near() {
    let said = refused(&run(
        &project(),
        &["state", "specs/starter", "--after", "seat-oot"],
    ));
    assert!(
        said.contains("No step of the plan is called seat-oot. Perhaps seat-out?"),
        "{said}"
    );
    let said = refused(&run(&project(), &["draft", "specs/starter", "--off", "sea"]));
    assert!(said.contains("Perhaps seat?"), "{said}");
    let around = plan("plan p \"P\"\n  frobs\n");
    let said = refused(&run(around.path(), &["state", "ouzel"]));
    assert!(said.contains("boltfolio lint tells which."), "{said}");
}

#[test]
fn the_mass_account_on_a_terminal_wide_and_narrow() {
    let wide = run(&project(), &["masses", "specs/ouzel-front"]);
    assert_eq!(status(&wide), 0, "{}", err(&wide));
    for words in [
        "first weighing",
        "All of them",
        "save 55 kg",
        "class minimum",
        "front axle",
    ] {
        assert!(out(&wide).contains(words), "{words}: {}", out(&wide));
    }
    let mut narrow = program(&project());
    narrow
        .env("COLUMNS", "50")
        .args(["masses", "specs/ouzel-front", "--after", "frame-down"]);
    let text = out(&narrow.output().expect("the program starts"));
    assert!(text.lines().all(|line| line.chars().count() <= 50), "{text}");
    assert!(text.contains("after step 3.2"), "{text}");
}

#[test]
fn a_step_goes_by_the_number_that_it_has_on_paper() {
    let around = plan(&starter());
    let first = run(
        around.path(),
        &["print", "ouzel", "--to", "paper", "--form", "markdown"],
    );
    assert_eq!(status(&first), 0, "{}", err(&first));
    let text = starter().replace(
        "step weigh-old",
        "step look-below \"Look below the seat\"; by tom; look \"No rust\"\nstep weigh-old",
    );
    super::write(&around.path().join("ouzel/plan.boltplan"), &text);
    for command in ["state", "masses"] {
        let asked = |number: &str| {
            run(
                around.path(),
                &[command, "ouzel", "--binder", "paper", "--after", number],
            )
        };
        let by_name = asked("weigh-old");
        assert_eq!(status(&by_name), 0, "{}", err(&by_name));
        assert_eq!(out(&asked("1.3")), out(&by_name), "{command}");
        assert_eq!(status(&asked("1.2a")), 0, "{command}");
        // Without that paper it has the place among the lines.
        let unprinted = run(around.path(), &[command, "ouzel", "--after", "1.4"]);
        assert_eq!(status(&unprinted), 0, "{}", err(&unprinted));
    }
    let state = run(
        around.path(),
        &["state", "ouzel", "--binder", "paper", "--after", "weigh-old"],
    );
    assert!(
        out(&state).contains("after step 1.3 weigh-old"),
        "{}",
        out(&state)
    );
}

#[test]
fn masses_takes_no_option_that_does_nothing() {
    let output = run(&project(), &["masses", "specs/starter", "--all"]);
    assert_eq!(status(&output), 2);
    let help = out(&run(&project(), &["masses", "--help"]));
    assert!(help.contains("the last one that the log says is done"), "{help}");
}

#[test]
fn today_by_hours_people_and_things() {
    let text = out(&run(
        &project(),
        &[
            "today",
            "specs/starter",
            "--hours",
            "1 h",
            "--with",
            "tom",
            "--on",
            "2026-03-14",
        ],
    ));
    // 5 + 20 + 5 + 25 = 55 min, and 5 more are an hour; the seat is out at worst after 50.
    for part in [
        "2026-03-14, Ada and Tom, 1 h",
        "likely done after 1 h",
        "Surely reached: 1.2 seat-out, Seat out, onto the bench, at worst after 50 min.",
    ] {
        assert!(
            text.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(part),
            "{part}: {text}"
        );
    }
    let alone = out(&run(
        &project(),
        &["today", "specs/starter", "--on", "2026-03-14"],
    ));
    assert!(alone.contains("waits for Tom"), "{alone}");
    let told = refused(&run(&project(), &["today", "specs/starter", "--with", "tim"]));
    assert!(told.contains("is called tim. Perhaps tom?"), "{told}");
    let mut narrow = program(&project());
    narrow
        .env("COLUMNS", "60")
        .args(["today", "specs/ouzel-front", "--hours", "4", "--with", "tam"]);
    let output = narrow.output().expect("the program starts");
    for line in out(&output).lines() {
        assert!(line.chars().count() <= 60, "{line}");
    }
}
