//! `tidy`: files written whole or not at all, what is shown, and how it ends.

use std::fs;

use super::{
    err, left_out, out, plan, program, project, refused, run, run_with_input, starter, status, write,
};

/// The starter, spoilt.
fn spoilt() -> String {
    starter()
        .replace("\n  ", "\r\n\t ")
        .replace("; by ada", " ;  by ada")
        .replace("\n\n", "\n\n \n\n")
}

#[test]
fn a_folder_is_tidied_and_twice_is_once() {
    let around = plan(&spoilt());
    let file = around.path().join("ouzel/plan.boltplan");
    write(
        &around.path().join("ouzel/more/words.boltplan"),
        "# As it should be.\n",
    );
    write(&around.path().join("ouzel/notes.txt"), "a   b");
    let done = run(around.path(), &["tidy", "ouzel"]);
    assert_eq!(status(&done), 0, "{}", err(&done));
    assert_eq!(out(&done), "Tidied: ouzel/plan.boltplan\n");
    assert_eq!(fs::read_to_string(&file).expect("it is there"), starter());
    let again = run(around.path(), &["tidy", "ouzel"]);
    assert_eq!(
        (status(&again), out(&again).as_str()),
        (0, "Tidy already; nothing changed.\n")
    );
    let text = fs::read_to_string(around.path().join("ouzel/notes.txt")).expect("it is there");
    assert_eq!(text, "a   b");
}

#[test]
fn a_dry_run_shows_the_difference_and_writes_nothing() {
    let text = starter().replace("  safe to leave", "      safe to leave\n\n\n");
    let around = plan(&text);
    let file = around.path().join("ouzel/plan.boltplan");
    let dry = run(around.path(), &["tidy", "ouzel", "--dry-run"]);
    assert_eq!(status(&dry), 1, "{}", err(&dry));
    let shown = out(&dry);
    assert!(
        shown.starts_with("--- ouzel/plan.boltplan\n+++ ouzel/plan.boltplan\n@@ -"),
        "{shown}"
    );
    assert!(shown.contains("\n-      safe to leave\n"), "{shown}");
    assert!(shown.contains("\n+  safe to leave\n"), "{shown}");
    // One blank line of three stays.
    assert_eq!(shown.matches("\n-").count(), 3, "{shown}");
    assert_eq!(fs::read_to_string(&file).expect("it is there"), text);
    run(around.path(), &["tidy", "ouzel"]);
    let clean = run(around.path(), &["tidy", "ouzel", "--dry-run"]);
    assert_eq!((status(&clean), out(&clean).as_str()), (0, ""));
    // The whole file is one hunk, too long to be compared line by line.
    let long: String = (0..3000).map(|n| format!("part p-{n}\n     new\n")).collect();
    write(&file, &long);
    let dry = run(around.path(), &["tidy", "ouzel", "--dry-run"]);
    assert_eq!(status(&dry), 1, "{}", err(&dry));
    assert!(out(&dry).contains("+  new"), "{}", out(&dry));
}

#[test]
fn standard_input_goes_to_standard_output() {
    let tidied = run_with_input(&project(), &["tidy", "-"], spoilt().as_bytes());
    assert_eq!((status(&tidied), out(&tidied)), (0, starter()));
    let shown = run_with_input(&project(), &["tidy", "-", "--dry-run"], spoilt().as_bytes());
    assert_eq!(status(&shown), 1);
    assert!(out(&shown).starts_with("--- standard input\n"), "{}", out(&shown));
    // What no plan says is laid out too: the text is not judged.
    let odd = run_with_input(&project(), &["tidy", "-"], b"frobs   the\n      lamp \"half");
    assert_eq!(
        (status(&odd), out(&odd).as_str()),
        (0, "frobs the\n  lamp \"half\n")
    );
    let nothing = run_with_input(&project(), &["tidy", "-"], b"");
    assert_eq!((status(&nothing), out(&nothing).as_str()), (0, ""));
}

#[test]
fn the_mark_of_the_byte_order_stays() {
    let around = plan(&format!("\u{feff}{}", spoilt()));
    let file = around.path().join("ouzel/plan.boltplan");
    let done = run(around.path(), &["tidy", "ouzel/plan.boltplan"]);
    assert_eq!(status(&done), 0, "{}", err(&done));
    assert_eq!(
        fs::read_to_string(&file).expect("it is there"),
        format!("\u{feff}{}", starter())
    );
}

#[test]
fn what_cannot_be_read_is_told_and_nothing_is_written() {
    let around = plan(&spoilt());
    let file = around.path().join("ouzel/plan.boltplan");
    write(&around.path().join("ouzel/z.boltplan"), b"part a\npart \xe9\n");
    let said = refused(&run(around.path(), &["tidy", "ouzel"]));
    assert!(said.contains("ouzel/z.boltplan:2 is not UTF-8"), "{said}");
    assert_eq!(fs::read_to_string(&file).expect("it is there"), spoilt());
    let said = refused(&run(around.path(), &["tidy", "nowhere"]));
    assert!(
        said.contains("nowhere cannot be read: there is no such file"),
        "{said}"
    );
    write(&around.path().join("README.md"), "# A page\n\n    code\n");
    let said = refused(&run(around.path(), &["tidy", "README.md"]));
    assert!(said.contains("README.md does not end in .boltplan"), "{said}");
    let text = fs::read_to_string(around.path().join("README.md")).expect("it is there");
    assert!(text.contains("    code"), "{text}");
}

#[test]
fn a_workshop_is_left_alone_and_need_not_be_there() {
    let text = starter().replace("  for pipit", "  workshop   \"../nowhere\"\n  for pipit");
    let around = plan(&text);
    let done = run(around.path(), &["tidy", "ouzel"]);
    assert_eq!(status(&done), 0, "{}", err(&done));
    let text = fs::read_to_string(around.path().join("ouzel/plan.boltplan")).expect("it is there");
    assert!(text.contains("\n  workshop \"../nowhere\"\n"), "{text}");
}

#[cfg(unix)]
#[test]
fn all_files_or_none() {
    use std::os::unix::fs::PermissionsExt;
    let around = plan(&spoilt());
    let locked = around.path().join("ouzel/z.boltplan");
    write(&locked, "part  a\n");
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o444)).expect("set");
    let output = program(around.path())
        .args(["tidy", "ouzel"])
        .output()
        .expect("it starts");
    if status(&output) == 0 {
        left_out("files that may only be read: this user may write them all the same");
        return;
    }
    let said = refused(&output);
    assert!(
        said.contains("z.boltplan may only be read. Nothing was written."),
        "{said}"
    );
    let file = around.path().join("ouzel/plan.boltplan");
    assert_eq!(fs::read_to_string(file).expect("it is there"), spoilt());
}
