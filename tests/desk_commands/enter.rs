//! `enter`: files that are written whole or not at all, what is asked and said, and how it ends.

use std::fs;

use super::{err, left_out, out, plan, program, refused, run, run_with_input, said, starter, status, write};

const LOG: &str = "log seat-out; done 2026-03-14 by ada; took 35 min";

#[test]
fn what_was_done_is_written_and_twice_is_once() {
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    let entered = run(around.path(), &["enter", "ouzel", LOG, "reads seat 14.2 kg"]);
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    let told = out(&entered);
    for part in [
        "+log seat-out; done 2026-03-14 by ada; took 35 min",
        "New in the findings:",
        // 14.2 kg off and 6.4 kg on save 7.8 kg of 8 kg.
        "the swaps save 7.80",
        "Written: ouzel/plan.boltplan",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let wanted = starter().replace("reads seat to come", "reads seat 14.2 kg") + "\n" + LOG + "\n";
    assert_eq!(fs::read_to_string(&file).expect("it is there"), wanted);
    let again = run(around.path(), &["enter", "ouzel", LOG, "reads seat 14.2 kg"]);
    assert_eq!(status(&again), 0, "{}", err(&again));
    assert!(out(&again).contains("Nothing is changed"), "{}", out(&again));
    assert_eq!(fs::read_to_string(&file).expect("it is there"), wanted);
    let left: Vec<_> = fs::read_dir(around.path().join("ouzel"))
        .expect("a folder")
        .collect();
    assert_eq!(left.len(), 1, "nothing else lies there");
}

#[test]
fn a_file_or_standard_input_is_read_and_a_dry_run_writes_nothing() {
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    let text = format!("# Saturday\n{LOG}\n  found \"seat rail cracked\"\nreads seat 14.2 kg\n");
    let dry = run_with_input(
        around.path(),
        &["enter", "ouzel", "--from", "-", "--dry-run"],
        text.as_bytes(),
    );
    assert_eq!(status(&dry), 0, "{}", err(&dry));
    assert!(
        out(&dry).contains("+  found \"seat rail cracked\""),
        "{}",
        out(&dry)
    );
    assert_eq!(fs::read_to_string(&file).expect("there"), starter());
    // The file as it comes from a telephone: with a mark of the byte order, and its lines ended in two characters.
    write(
        &around.path().join("saturday.txt"),
        format!("\u{feff}{}", text.replace('\n', "\r\n")),
    );
    let entered = run(
        around.path(),
        &["enter", "ouzel", "--from", "saturday.txt", "--yes"],
    );
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    let whole = fs::read_to_string(&file).expect("there");
    let log = format!("\n# Saturday\n{LOG}\n  found \"seat rail cracked\"\n");
    assert_eq!(
        whole,
        starter().replace("reads seat to come", "reads seat 14.2 kg") + &log
    );
}

#[test]
fn all_of_it_or_nothing_is_entered() {
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    let told = refused(&run(around.path(), &["enter", "ouzel", LOG, "reads set 3 kg"]));
    assert!(
        told.contains("Entry 2: nothing of the plan is called `set`. Perhaps seat?"),
        "{told}"
    );
    let told = refused(&run(
        around.path(),
        &["enter", "ouzel", "log seat-out; done 2026-03-14 by eve"],
    ));
    assert!(
        told.contains("unknown-name") && told.contains("Nothing was written"),
        "{told}"
    );
    let told = refused(&run_with_input(
        around.path(),
        &["enter", "ouzel", "--from", "-"],
        b"log seat-out\n  found \"\xe4\"\n",
    ));
    assert!(told.contains("standard input:2 is not UTF-8"), "{told}");
    let told = refused(&run(around.path(), &["enter", "-", LOG]));
    assert!(told.contains("cannot be written to"), "{told}");
    let told = refused(&run(around.path(), &["enter", "ouzel", "--from", "none.txt"]));
    assert!(told.contains("none.txt cannot be read"), "{told}");
    assert_eq!(fs::read_to_string(&file).expect("there"), starter());
}

#[test]
fn a_plan_with_faults_takes_entries_and_one_that_is_no_text_does_not() {
    let around = plan(&super::faulty(1));
    let entered = run(around.path(), &["enter", "ouzel", LOG]);
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    // Its own fault is not new.
    let told = out(&entered);
    assert!(
        told.contains("advice log-gap") && !told.contains("fault "),
        "{told}"
    );
    let file = around.path().join("ouzel/plan.boltplan");
    write(&file, b"plan wren \"Wr\xe9n\"\n");
    let told = refused(&run(
        around.path(),
        &["enter", "ouzel", "accept log-gap because \"x\""],
    ));
    assert!(told.contains("no file of the plan can be read as text"), "{told}");
    assert_eq!(fs::read(&file).expect("there"), b"plan wren \"Wr\xe9n\"\n");
}

#[test]
fn what_an_entry_reveals_is_told_and_written() {
    let around = plan(&starter());
    let text = "log make-dead to seat-out; done 2090-03-14; broke 2 of seat-bolts; found \"thread pulled\"";
    let entered = run(around.path(), &["enter", "ouzel", text]);
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    assert!(
        out(&entered).contains("2090-03-14 has not come yet"),
        "{}",
        out(&entered)
    );
    // Five of four bolts cannot be: it is written all the same, and asked about.
    let entered = run(
        around.path(),
        &["enter", "ouzel", "log seat-out; lost 5 of seat-bolts"],
    );
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    assert!(out(&entered).contains("log-contradicts"), "{}", out(&entered));
    let whole = fs::read_to_string(around.path().join("ouzel/plan.boltplan")).expect("there");
    assert!(whole.contains("lost 5 of seat-bolts"), "{whole}");
}

#[test]
fn numbers_and_letters_of_a_print_are_understood() {
    let around = plan(&starter());
    let printed = run(
        around.path(),
        &["print", "ouzel", "--to", "paper", "--form", "markdown"],
    );
    assert_eq!(status(&printed), 0, "{}", err(&printed));
    // A step and an act are put in afterwards; the paper knows neither.
    let file = around.path().join("ouzel/plan.boltplan");
    let changed = starter()
        .replace(
            "step seat-out",
            "step covers \"Covers off\"; by ada; time 5 min; look \"Clips whole\"\nstep seat-out",
        )
        .replace(
            "  hold seat by tom; undo",
            "  look \"Belt out of the way\"\n  hold seat by tom; undo",
        );
    write(&file, &changed);
    // On paper 1.2 is `seat-out`: a photograph, b hold, c heater-plug, d seat-bolts.
    let entered = run(
        around.path(),
        &[
            "enter",
            "ouzel",
            "log 1.2; stopped 2026-03-14 at act c waiting for tom",
            "--binder",
            "paper",
        ],
    );
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    let whole = fs::read_to_string(&file).expect("there");
    assert_eq!(
        whole,
        changed + "\nlog seat-out; stopped 2026-03-14 at undo heater-plug waiting for tom\n"
    );
    let told = out(&entered).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("1.2 is `seat-out`, by the print in paper."),
        "{told}"
    );
    assert!(
        told.contains("Act c of `seat-out` is: undo heater-plug, by the print in paper."),
        "{told}"
    );
    // The machine then: the plug is parted, the bolts are not, and the seat is in a hand.
    let state = out(&run(around.path(), &["state", "ouzel", "--binder", "paper"]));
    for part in [
        "within step",
        "after: undo heater-plug",
        "Held         seat by tom",
        "Out          battery-earth, heater-plug\n",
    ] {
        assert!(state.contains(part), "{part}: {state}");
    }
}

#[test]
fn a_narrow_terminal_is_kept_to() {
    let around = plan(&starter());
    let mut narrow = program(around.path());
    narrow.env("COLUMNS", "60").args([
        "enter",
        "ouzel",
        "log 1.1 to 1.2; done 2026-03-14",
        "reads seat 14.2 kg",
    ]);
    let output = narrow.output().expect("the program starts");
    assert_eq!(status(&output), 0, "{}", err(&output));
    for line in out(&output).lines() {
        // Lines of the plan itself are shown whole.
        let own = line.starts_with(['+', '-', ' ']);
        assert!(own || line.chars().count() <= 60, "{line}");
    }
}

#[cfg(unix)]
#[test]
fn a_file_keeps_its_rights_and_its_link_and_one_that_may_only_be_read_is_left() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    let real = around.path().join("ouzel/kept.txt");
    fs::rename(&file, &real).expect("moved");
    symlink("kept.txt", &file).expect("linked");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).expect("set");
    let entered = run(around.path(), &["enter", "ouzel", LOG]);
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    assert!(
        fs::symlink_metadata(&file).expect("there").is_symlink(),
        "the link stays"
    );
    assert!(
        fs::read_to_string(&real)
            .expect("there")
            .ends_with(&format!("{LOG}\n"))
    );
    assert_eq!(
        fs::metadata(&real).expect("there").permissions().mode() & 0o777,
        0o640
    );
    fs::set_permissions(&real, fs::Permissions::from_mode(0o440)).expect("set");
    let shut = run(
        around.path(),
        &["enter", "ouzel", "log weigh-old; done 2026-03-15"],
    );
    assert_eq!(status(&shut), 2, "{}", out(&shut));
    assert!(said(&shut).contains("may only be read"), "{}", said(&shut));
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).expect("set");
    // A folder where nothing can be made: the file stays as it is.
    let folder = around.path().join("ouzel");
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).expect("set");
    if fs::write(folder.join("try"), "x").is_ok() {
        left_out("this user may write anywhere");
        return;
    }
    let before = fs::read(&real).expect("there");
    let shut = run(
        around.path(),
        &["enter", "ouzel", "log weigh-old; done 2026-03-15"],
    );
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).expect("set");
    assert_eq!(status(&shut), 2, "{}", out(&shut));
    assert_eq!(fs::read(&real).expect("there"), before);
}

#[test]
fn a_mark_of_the_byte_order_stays() {
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    write(&file, format!("\u{feff}{}", starter()));
    let entered = run(around.path(), &["enter", "ouzel", LOG]);
    assert_eq!(status(&entered), 0, "{}", err(&entered));
    assert_eq!(
        fs::read_to_string(&file).expect("there"),
        format!("\u{feff}{}\n{LOG}\n", starter())
    );
}

/// The program on a terminal, with these arguments and a line typed.
pub fn typed(folder: &std::path::Path, arguments: &str, line: &str) -> Option<String> {
    use std::io::Write;
    use std::process::{Command, Stdio};
    let program = env!("CARGO_BIN_EXE_boltfolio");
    let mut child = Command::new("script")
        .args(["-qec", &format!("'{program}' {arguments}"), "/dev/null"])
        .current_dir(folder)
        .env("TERM", "dumb")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .ok()?;
    // Kept open till the program has read it.
    let mut pipe = child.stdin.take()?;
    pipe.write_all(line.as_bytes()).ok()?;
    let output = child.wait_with_output().ok()?;
    drop(pipe);
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

#[test]
fn on_a_terminal_it_asks_before_it_writes() {
    let around = plan(&starter());
    let file = around.path().join("ouzel/plan.boltplan");
    let entry = format!("enter ouzel '{LOG}'");
    let Some(told) = typed(around.path(), &entry, "n\n") else {
        left_out("there is no `script` to make a terminal with");
        return;
    };
    assert!(
        told.contains("Write this? (y or n)") && told.contains("Nothing was written."),
        "{told}"
    );
    assert_eq!(fs::read_to_string(&file).expect("there"), starter());
    let told = typed(around.path(), &entry, "y\n").expect("it ran before");
    assert!(told.contains("Written: ouzel/plan.boltplan"), "{told}");
    assert!(
        fs::read_to_string(&file)
            .expect("there")
            .ends_with(&format!("{LOG}\n"))
    );
}
