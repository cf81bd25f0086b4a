//! `lint --mend`: what is applied, what is asked, what is left and why.

use std::fs;

use super::{err, out, plan, plan_files_of, refused, run, run_with_input, starter, status, write};

/// A starter with a name mistyped, and with one finding that nobody but its owner can mend.
fn broken() -> String {
    starter()
        .replacen("undo heater-plug, seat-bolts", "undo heater-plg, seat-bolts", 1)
        .replacen(
            "part battery \"Battery\"",
            "tool mirror \"Mirror\"\npart battery \"Battery\"",
            1,
        )
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn where_nobody_can_be_asked_the_change_is_shown_and_nothing_written() {
    let around = plan(&broken());
    let output = run(around.path(), &["lint", "ouzel", "--mend"]);
    let text = out(&output);
    assert_eq!(status(&output), 1, "{text}{}", err(&output));
    assert!(
        text.starts_with("--- ouzel/plan.boltplan\n+++ ouzel/plan.boltplan\n"),
        "{text}"
    );
    assert!(
        text.contains("-  hold seat by tom; undo heater-plg, seat-bolts"),
        "{text}"
    );
    assert!(
        text.contains("+  hold seat by tom; undo heater-plug, seat-bolts"),
        "{text}"
    );
    let said = flat(&text);
    assert!(
        said.contains("One finding is mended by this: - unknown-name: nothing is called `heater-plg`"),
        "{said}"
    );
    assert!(
        said.contains("never-used: tool `mirror` is never used; more than one mend is offered."),
        "{said}"
    );
    assert!(said.ends_with("Nothing was written: nobody can be asked here. `boltfolio lint --mend=all` writes without asking."), "{said}");
    let now = fs::read_to_string(around.path().join("ouzel/plan.boltplan")).expect("there");
    assert_eq!(now, broken());
}

#[test]
fn all_writes_each_file_whole_and_twice_is_once() {
    let around = plan(&broken());
    let path = around.path().join("ouzel/plan.boltplan");
    // Line ends and a mark of the byte order stay as they were.
    write(&path, format!("\u{feff}{}", broken().replace('\n', "\r\n")));
    let output = run(around.path(), &["lint", "ouzel", "--mend=all"]);
    assert_eq!(status(&output), 0, "{}{}", out(&output), err(&output));
    assert!(
        out(&output).contains("Written: ouzel/plan.boltplan"),
        "{}",
        out(&output)
    );
    let mended = fs::read_to_string(&path).expect("there");
    let wanted = broken()
        .replacen("heater-plg", "heater-plug", 1)
        .replace('\n', "\r\n");
    assert_eq!(mended, format!("\u{feff}{wanted}"));
    let again = run(around.path(), &["lint", "ouzel", "--mend=all"]);
    assert!(!out(&again).contains("Written"), "{}", out(&again));
    assert_eq!(fs::read_to_string(&path).expect("there"), mended);
}

#[test]
fn a_clean_plan_has_nothing_to_mend() {
    let around = plan(&starter());
    let output = run(around.path(), &["lint", "ouzel", "--mend"]);
    assert_eq!(
        (status(&output), out(&output).as_str()),
        (0, "Nothing else is found.\n")
    );
}

#[test]
fn a_file_that_is_not_there_and_standard_input_are_refused() {
    let around = plan(&starter());
    assert!(
        refused(&run(around.path(), &["lint", "nowhere", "--mend=all"])).contains("nowhere cannot be read")
    );
    let output = run_with_input(around.path(), &["lint", "-", "--mend=all"], broken().as_bytes());
    assert!(refused(&output).contains("cannot be written to"));
}

/// In a plan of several files each mend goes into its own, and the workshop that others share is left alone.
#[test]
fn each_mend_goes_into_its_own_file() {
    let around = plan_files_of(&["specs/ouzel-front", "specs/our-workshop"]);
    let folder = around.path().join("ouzel-front");
    let mut touched = Vec::new();
    for (file, from, to) in [
        (
            "stages/3-strip-front.boltplan",
            "undo damper-eye-left",
            "undo damper-eye-lfet",
        ),
        ("stages/7-wheels-down.boltplan", "  time ", "  tiime "),
        ("stages/1-weigh-and-raise.boltplan", "  by ines", "  by inse"),
    ] {
        let path = folder.join(file);
        let text = fs::read_to_string(&path).expect("there");
        let broken = text.replacen(from, to, 1);
        if broken != text {
            touched.push((path.clone(), text));
        }
        fs::write(&path, broken).expect("written");
    }
    let workshop = around.path().join("our-workshop/tools.boltplan");
    let shared = fs::read_to_string(&workshop).expect("there");
    let output = run(around.path(), &["lint", "ouzel-front", "--mend=all"]);
    for (path, text) in &touched {
        let now = fs::read_to_string(path).expect("there");
        assert!(now == *text, "{path:?}: {}", out(&output));
    }
    assert_eq!(fs::read_to_string(&workshop).expect("there"), shared);
}

#[test]
fn on_a_terminal_it_asks_before_it_writes() {
    let around = plan(&broken());
    let file = around.path().join("ouzel/plan.boltplan");
    let Some(told) = super::enter::typed(around.path(), "lint ouzel --mend", "n\n") else {
        super::left_out("there is no `script` to make a terminal with");
        return;
    };
    assert!(
        told.contains("Write this? (y or n)") && told.contains("Nothing was written."),
        "{told}"
    );
    assert_eq!(fs::read_to_string(&file).expect("there"), broken());
    let told = super::enter::typed(around.path(), "lint ouzel --mend", "y\n").expect("it ran before");
    assert!(told.contains("Written: ouzel/plan.boltplan"), "{told}");
    assert_eq!(
        fs::read_to_string(&file).expect("there"),
        broken().replacen("heater-plg", "heater-plug", 1)
    );
}
