//! `lint`: exit status, formats, pipes and terminals.

use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

use super::{
    err, faulty, left_out, out, plan, program, project, refused, run, run_with_input, starter, status, write,
};

#[test]
fn a_clean_plan_ends_with_nothing_and_status_0() {
    let around = plan(&starter());
    let output = run(around.path(), &["lint", "ouzel"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
    assert_eq!(
        out(&output),
        "5 steps walked, 5 joints, 2 messages: nothing to report\n"
    );
    assert_eq!(err(&output), "");
}

#[test]
fn a_fault_ends_with_status_1_and_counts() {
    let around = plan(&faulty(1));
    let output = run(around.path(), &["lint", "ouzel"]);
    let text = out(&output);
    assert_eq!(status(&output), 1, "{text}");
    assert!(text.starts_with("fault "), "{text}");
    assert!(text.contains("[ouzel/plan.boltplan:"), "{text}");
    assert!(text.contains("frobs"), "{text}");
    assert!(
        text.lines()
            .last()
            .is_some_and(|line| line.starts_with("1 fault")),
        "{text}"
    );
    assert_eq!(err(&output), "");
}

#[test]
fn the_status_follows_what_is_asked_for() {
    let never_used = format!("{}\ntool mirror \"Mirror\"\n", starter());
    let no_time = starter().replace("; time 5 min", "");
    let no_caution = starter().replace("caution spark; ", "");
    for text in [starter(), never_used, no_time, no_caution, faulty(2)] {
        let around = plan(&text);
        for (least, counted) in [
            ("fault", &["fault"][..]),
            ("doubt", &["fault", "doubt"]),
            ("advice", &["fault", "doubt", "advice"]),
        ] {
            let output = run(
                around.path(),
                &["lint", "ouzel", "--findings", "json", "--stop-at", least],
            );
            let value: Value = serde_json::from_slice(&output.stdout).expect("JSON");
            let stands: u64 = counted
                .iter()
                .filter_map(|severity| value["counts"][severity].as_u64())
                .sum();
            assert_eq!(
                status(&output),
                i32::from(stands > 0),
                "{least}: {}",
                value["counts"]
            );
        }
    }
}

#[test]
fn several_paths_are_several_plans() {
    let around = plan(&starter());
    write(&around.path().join("redpoll/plan.boltplan"), faulty(1));
    let output = run(around.path(), &["lint", "ouzel", "redpoll"]);
    assert_eq!(status(&output), 1);
    assert!(
        out(&output).contains("[redpoll/plan.boltplan:"),
        "{}",
        out(&output)
    );
    assert!(!out(&output).contains("same-name-twice"), "{}", out(&output));
}

#[test]
fn standard_input_is_one_file() {
    let around = plan(&faulty(1));
    let clean = run_with_input(around.path(), &["lint", "-"], starter().as_bytes());
    assert_eq!(status(&clean), 0, "{}", out(&clean));
    let piped = run_with_input(around.path(), &["lint", "-"], faulty(1).as_bytes());
    let read = run(around.path(), &["lint", "ouzel/plan.boltplan"]);
    assert_eq!(status(&piped), 1);
    assert_eq!(out(&piped).replace("standard input", "plan.boltplan"), out(&read));
    let bad = run_with_input(around.path(), &["lint", "-"], b"plan x\n\xff");
    assert_eq!(status(&bad), 1);
    assert!(
        out(&bad).contains("0xFF") && out(&bad).contains("[standard input:2:1]"),
        "{}",
        out(&bad)
    );
}

#[test]
fn json_and_sarif_name_files_as_they_are_reached() {
    let around = plan(&faulty(1));
    let elsewhere = around.path().join("elsewhere");
    std::fs::create_dir(&elsewhere).expect("made");
    let output = run(&elsewhere, &["lint", "../ouzel", "--findings", "json"]);
    let value: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let path = value["findings"][0]["places"][0]["path"]
        .as_str()
        .expect("a path");
    assert!(elsewhere.join(path).is_file(), "{path}");
    let output = run(&elsewhere, &["lint", "../ouzel", "--findings", "sarif"]);
    assert_eq!(status(&output), 1);
    let value: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let result = &value["runs"][0]["results"][0];
    let place = &result["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "../ouzel/plan.boltplan");
    let lines = faulty(1);
    let line = lines
        .lines()
        .position(|line| line.contains("frobs"))
        .expect("it is there")
        + 1;
    assert_eq!(place["region"]["startLine"], line);
    assert_eq!(result["level"], "error");
}

#[test]
fn the_same_plan_reads_the_same_from_everywhere() {
    let around = plan(&faulty(3));
    let here = run(around.path(), &["lint", "ouzel"]);
    for (folder, path) in [("ouzel", "."), ("ouzel", "../ouzel/"), (".", "./ouzel")] {
        let there = run(&around.path().join(folder), &["lint", path]);
        assert_eq!(out(&there), out(&here), "{path}");
    }
}

#[test]
fn fifty_are_shown_and_the_rest_is_counted() {
    let around = plan(&faulty(70));
    let some = out(&run(around.path(), &["lint", "ouzel"]));
    assert_eq!(some.matches("\nfault ").count() + 1, 50, "{some}");
    assert!(
        some.contains("20 more, none more serious; `--all` shows every one."),
        "{some}"
    );
    let all = out(&run(around.path(), &["lint", "ouzel", "--all"]));
    assert_eq!(all.matches("\nfault ").count() + 1, 70);
    for text in [some, all] {
        assert!(text.ends_with("70 faults\n"), "{text}");
    }
}

#[test]
fn forty_columns_hold_every_line() {
    let around = plan(&faulty(3));
    let output = program(around.path())
        .args(["lint", "ouzel"])
        .env("COLUMNS", "40")
        .output()
        .expect("it runs");
    assert_eq!(status(&output), 1);
    for line in out(&output).lines().filter(|line| !line.starts_with("      ")) {
        assert!(line.chars().count() <= 40, "{line:?}");
    }
}

#[test]
fn a_locale_without_box_signs_gets_plain_ones() {
    let around = plan(&faulty(1));
    let output = program(around.path())
        .args(["lint", "ouzel"])
        .env("LC_ALL", "C")
        .output()
        .expect("it runs");
    assert!(
        out(&output).contains(",-[ouzel/plan.boltplan:"),
        "{}",
        out(&output)
    );
    assert!(!out(&output).contains('│'));
}

#[test]
fn control_characters_of_a_plan_never_reach_the_terminal() {
    let text = format!(
        "{}\npart odd \"Odd\"\n  frobs \u{1b}[2J\u{202e}\u{9b}31m\u{7}\n",
        starter()
    );
    let around = plan(&text);
    for shape in ["text", "json", "sarif"] {
        let output = run(around.path(), &["lint", "ouzel", "--findings", shape]);
        let shown = out(&output);
        assert_eq!(status(&output), 1, "{shown}");
        assert!(
            shape != "text" || shown.contains("frobs <U+001B>[2J<U+202E>"),
            "{shown}"
        );
        assert!(
            !shown.contains(['\u{1b}', '\u{202e}', '\u{9b}', '\u{7}']),
            "{shape}: {shown:?}"
        );
    }
}

#[test]
fn a_reader_that_goes_away_ends_it_quietly() {
    let around = plan(&faulty(2_000));
    for shape in ["text", "json"] {
        let mut child = program(around.path())
            .args(["lint", "ouzel", "--all", "--findings", shape])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut first = [0; 10];
        let mut pipe = child.stdout.take().expect("it was asked for");
        pipe.read_exact(&mut first).expect("it writes");
        drop(pipe);
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(err(&output), "", "{shape}");
        assert_eq!(status(&output), 1, "{shape}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_said() {
    let around = plan(&faulty(1));
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("it is there");
    let output = program(around.path())
        .args(["lint", "ouzel"])
        .stdout(full)
        .output()
        .expect("it runs");
    assert!(refused(&output).contains("could not be written to standard output"));
}

/// Runs a command line on a terminal of its own, so many columns wide, and returns what that shows.
fn on_a_terminal(folder: &Path, columns: u16, environment: &str, arguments: &str) -> Option<(i32, String)> {
    let line = format!(
        "stty cols {columns} rows 24; {environment} {} {arguments}; s=$?; echo; echo status $s",
        env!("CARGO_BIN_EXE_boltfolio")
    );
    let output = Command::new("script")
        .args(["-qec", &line, "/dev/null"])
        .current_dir(folder)
        .env("TERM", "xterm")
        .env_remove("NO_COLOR")
        .env_remove("COLUMNS")
        .env("LC_ALL", "C.UTF-8")
        .stdin(Stdio::null())
        .output()
        .ok()?;
    let shown = String::from_utf8(output.stdout).ok()?.replace("\r\n", "\n");
    let (text, code) = shown.trim_end().rsplit_once("status ")?;
    Some((code.parse().ok()?, text.to_owned()))
}

/// A text without the sequences that colour it.
fn uncoloured(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        plain.push_str(before);
        rest = after
            .split_once(|c: char| c.is_ascii_alphabetic())
            .map_or("", |(_, rest)| rest);
    }
    plain + rest
}

#[test]
fn a_terminal_gets_colour_its_width_and_progress_unless_refused() {
    let around = plan(&faulty(1));
    let Some((code, coloured)) = on_a_terminal(around.path(), 40, "", "lint ouzel") else {
        left_out("there is no `script` to make a terminal with");
        return;
    };
    assert_eq!(code, 1, "{coloured}");
    assert!(coloured.contains("\u{1b}[1;31mfault "), "{coloured:?}");
    assert!(coloured.contains("Checking ouzel"), "progress: {coloured:?}");
    let lines = uncoloured(&coloured);
    for line in lines.lines().filter(|line| !line.starts_with("      ")) {
        let shown = line.rsplit('\r').next().unwrap_or_default();
        assert!(shown.chars().count() <= 40, "{shown:?}");
    }
    let (_, plain) = on_a_terminal(around.path(), 80, "NO_COLOR=1", "lint ouzel").expect("it ran before");
    assert!(
        !plain.contains("\u{1b}[1;31m") && !plain.contains("\u{1b}[36m"),
        "{plain:?}"
    );
    let (_, dumb) = on_a_terminal(around.path(), 80, "TERM=dumb", "lint ouzel").expect("it ran before");
    assert!(!dumb.contains('\u{1b}'), "{dumb:?}");
    let (_, help) = on_a_terminal(around.path(), 80, "NO_COLOR=1", "lint --help").expect("it ran before");
    assert!(!help.contains('\u{1b}'), "{help:?}");
}

#[test]
fn the_workshop_that_a_plan_names_is_read_too() {
    let text = starter()
        .replace(
            "target save 8 kg;",
            "target save 8 kg; workshop \"../our-workshop\";",
        )
        .replace("rig bench \"Workbench\"; holds; rated 150 kg\n", "");
    let around = plan(&text);
    let missing = run(around.path(), &["lint", "ouzel"]);
    let said = refused(&missing);
    assert!(
        said.contains("ouzel/plan.boltplan:4: the workshop folder `../our-workshop` cannot be read"),
        "{said}"
    );
    write(
        &around.path().join("our-workshop/rigs.boltplan"),
        "rig bench \"Workbench\"; holds; rated 150 kg\nrig spare \"Never used, and shared\"; holds; rated 1 kg\n",
    );
    let output = run(around.path(), &["lint", "ouzel", "--stop-at", "advice"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
    write(
        &around.path().join("our-workshop/bad.boltplan"),
        "rig odd\n  frobs\n",
    );
    let output = run(around.path(), &["lint", "ouzel"]);
    assert!(
        out(&output).contains("[../our-workshop/bad.boltplan:2:"),
        "{}",
        out(&output)
    );
    let json = run(around.path(), &["lint", "ouzel", "--findings", "json"]);
    assert!(
        out(&json).contains("\"our-workshop/bad.boltplan\""),
        "{}",
        out(&json)
    );
}

#[test]
fn the_projects_own_plans_are_found_by_folder() {
    let output = run(&project(), &["lint", "specs/starter"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
}

/// What other trades' plans say to begin with has to be whole: nothing found, not even advice, and laid out.
#[test]
fn the_plans_of_other_trades_are_clean_and_tidy() {
    for folder in ["specs/boat-engine", "specs/two-wheeler"] {
        let output = run(&project(), &["lint", folder, "--stop-at", "advice"]);
        assert_eq!(status(&output), 0, "{folder}: {}", out(&output));
        let output = run(&project(), &["tidy", folder, "--dry-run"]);
        assert_eq!(status(&output), 0, "{folder}: {}", out(&output));
    }
}
