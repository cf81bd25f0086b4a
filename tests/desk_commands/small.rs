//! `new`, `why`, help, and command lines that make no sense.

use std::fs;
use std::process::Stdio;

use super::{err, out, plan, program, refused, run, said, status, write};

#[test]
fn a_new_plan_lints_clean_and_prints() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let output = run(around.path(), &["new", "my/car"]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(
        out(&output).starts_with("my/car/plan.boltplan\n"),
        "{}",
        out(&output)
    );
    let linted = run(around.path(), &["lint", "my/car", "--stop-at", "advice"]);
    assert_eq!(status(&linted), 0, "{}", out(&linted));
    let printed = run(around.path(), &["print", "my/car"]);
    assert_eq!(status(&printed), 0, "{}", err(&printed));
}

#[test]
fn new_leaves_plans_and_files_alone() {
    let around = plan("plan x\n");
    write(&around.path().join("file"), "mine");
    let said = refused(&run(around.path(), &["new", "ouzel"]));
    assert!(
        said.contains("ouzel has a plan already: ouzel/plan.boltplan."),
        "{said}"
    );
    let said = refused(&run(around.path(), &["new", "."]));
    assert!(said.contains("has a plan already"), "nested ones count: {said}");
    let said = refused(&run(around.path(), &["new", "file"]));
    assert!(
        said.contains("file is a file, and the plan needs a folder."),
        "{said}"
    );
    assert_eq!(
        fs::read(around.path().join("ouzel/plan.boltplan")).expect("there"),
        b"plan x\n"
    );
    assert_eq!(fs::read(around.path().join("file")).expect("there"), b"mine");
    write(&around.path().join("photos/a.txt"), "other things may lie there");
    assert_eq!(status(&run(around.path(), &["new", "photos"])), 0);
}

#[test]
fn why_lists_every_rule_and_shows_each_page() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let listed = run(around.path(), &["why"]);
    assert_eq!(status(&listed), 0);
    let rules: Vec<String> = out(&listed)
        .lines()
        .filter_map(|line| {
            line.strip_prefix("  ")?
                .split_once(" (")
                .map(|(name, _)| name.to_owned())
        })
        .filter(|name| !name.starts_with(' '))
        .collect();
    assert!(rules.contains(&"unknown-name".to_owned()), "{rules:?}");
    for rule in &rules {
        let page = run(around.path(), &["why", rule]);
        assert_eq!(status(&page), 0, "{rule}");
        assert!(out(&page).starts_with(&format!("{rule}: ")), "{}", out(&page));
        assert!(out(&page).lines().count() > 3, "{rule} has no page");
    }
}

#[test]
fn why_offers_near_names() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let said = refused(&run(around.path(), &["why", "unknwn-name"]));
    assert!(
        said.contains("There is no rule `unknwn-name`. Is it `unknown-name`"),
        "{said}"
    );
    assert!(!refused(&run(around.path(), &["why", "\u{1b}[31mxyz"])).contains('\u{1b}'));
}

#[test]
fn help_is_no_trouble_and_nonsense_is() {
    let around = tempfile::tempdir().expect("a temporary folder");
    for arguments in [
        &["--help"][..],
        &["lint", "--help"],
        &["help", "print"],
        &["--version"],
    ] {
        let output = run(around.path(), arguments);
        assert_eq!(status(&output), 0, "{arguments:?}");
        assert!(out(&output).contains("boltfolio"), "{}", out(&output));
    }
    for arguments in [
        &[][..],
        &["lint"],
        &["lint", "x", "--stop-at", "error"],
        &["print", "x", "--paper", "A5"],
        &["print", "x", "--dated", "2026-02-30"],
        &["print", "x", "--form", "pdf,word"],
        &["frob"],
    ] {
        let output = run(around.path(), arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        assert_eq!(out(&output), "", "{arguments:?}");
        assert!(!err(&output).is_empty(), "{arguments:?}");
    }
    let day = run(around.path(), &["print", "x", "--dated", "2026-02-30"]);
    assert!(said(&day).contains("such as 2026-03-14"), "{}", said(&day));
}

#[test]
fn help_into_a_closed_pipe_ends_quietly() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let mut child = program(around.path())
        .arg("--help")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!((status(&output), err(&output).as_str()), (0, ""));
}

#[cfg(target_os = "linux")]
#[test]
fn nobody_to_tell_is_no_panic() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("it is there");
    let output = program(around.path())
        .args(["lint", "gone"])
        .stderr(full)
        .output()
        .expect("it runs");
    assert_eq!(status(&output), 2);
}
