//! `new`, `why`, help, and command lines that make no sense.

use std::fs;
use std::process::Stdio;

use super::{err, out, plan, program, refused, run, run_with_input, said, status, write};

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

/// Each kind is small enough to be read in one go, is clean, prints, and names what hurts in its trade.
#[test]
fn each_kind_of_new_plan_lints_clean_and_prints() {
    let around = tempfile::tempdir().expect("a temporary folder");
    for (kind, hurts) in [
        ("car", "against pyrotechnic"),
        ("boat", "Petrol vapour lies in the bilge"),
        ("two-wheeler", "It falls off its stand"),
        ("machine", "against high-voltage"),
    ] {
        let output = run(around.path(), &["new", kind, "--kind", kind]);
        assert_eq!(status(&output), 0, "{}", err(&output));
        let text = fs::read_to_string(around.path().join(kind).join("plan.boltplan")).expect("written");
        assert!(text.lines().count() < 60, "{kind}: {}", text.lines().count());
        assert!(text.contains(hurts), "{kind}");
        let linted = run(around.path(), &["lint", kind, "--stop-at", "advice"]);
        assert_eq!(status(&linted), 0, "{kind}: {}", out(&linted));
        let laid_out = run(around.path(), &["tidy", kind, "--dry-run"]);
        assert_eq!(status(&laid_out), 0, "{kind}: {}", out(&laid_out));
        let printed = run(around.path(), &["print", kind, "--form", "markdown"]);
        assert_eq!(status(&printed), 0, "{kind}: {}", err(&printed));
    }
    let said = run(around.path(), &["new", "plain"]);
    assert_eq!(status(&said), 0, "{}", err(&said));
    let (car, plain) = ("car/plan.boltplan", "plain/plan.boltplan");
    assert_eq!(
        fs::read(around.path().join(car)).expect("there"),
        fs::read(around.path().join(plain)).expect("there"),
        "without a kind it is a car"
    );
}

#[test]
fn a_kind_that_is_not_known_says_what_there_is() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let said = refused(&run(around.path(), &["new", "kite", "--kind", "aeroplane"]));
    assert!(
        said.contains("`aeroplane` is none of what `--kind` takes: car, boat, two-wheeler, machine."),
        "{said}"
    );
    assert!(said.contains("Without it the plan is a car's"), "{said}");
    let said = refused(&run(
        around.path(),
        &["new", "kite", "--kind", "boat", "--from", "list.csv"],
    ));
    assert!(said.contains("exclude each other"), "{said}");
    assert!(!around.path().join("kite").exists(), "nothing was written");
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

#[test]
fn a_family_lists_its_rules_and_a_mend_marks_what_it_changes() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let family = run(around.path(), &["why", "support"]);
    assert_eq!(status(&family), 0);
    let text = out(&family);
    assert!(
        text.starts_with("support: ") && text.contains("  would-fall (fault)"),
        "{text}"
    );
    assert!(!text.contains("unknown-name"), "{text}");
    let page = out(&run(around.path(), &["why", "hung-by-hose"]));
    let mend = page.split("## The mend").nth(1).expect("a mend");
    assert!(
        mend.contains("  tie up caliper to shell, 6 kg  # changed\n"),
        "{mend}"
    );
    assert_eq!(mend.matches("# changed").count(), 2, "{mend}");
    assert!(
        !page
            .split("## The mend")
            .next()
            .expect("the rest")
            .contains("# changed")
    );
}

/// What is marked on a page can still be copied: with the marks it compiles as without.
#[test]
fn marked_mends_are_plans_still() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let listed = out(&run(around.path(), &["why"]));
    let rules = listed
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split_once(" ("))
        .map(|(name, _)| name);
    let mut marked = 0;
    for rule in rules.filter(|name| !name.starts_with(' ')).step_by(5) {
        let page = out(&run(around.path(), &["why", rule]));
        let Some(mend) = page
            .split("```boltplan\n")
            .nth(2)
            .and_then(|rest| rest.split("```").next())
        else {
            continue;
        };
        if mend.contains("# file: ") {
            continue;
        }
        marked += mend.matches("  # changed").count();
        let with = run_with_input(around.path(), &["lint", "-", "--all"], mend.as_bytes());
        let without = run_with_input(
            around.path(),
            &["lint", "-", "--all"],
            mend.replace("  # changed", "").as_bytes(),
        );
        let last = |output| out(output).lines().last().map(str::to_owned);
        assert_eq!(last(&with), last(&without), "{rule}: {}", out(&with));
    }
    assert!(marked > 10, "{marked}");
}

#[test]
fn arguments_that_make_no_sense_are_told_in_sentences() {
    let around = tempfile::tempdir().expect("a temporary folder");
    for (arguments, wanted) in [
        (&["lnit", "x"][..], "There is no command `lnit`. Is it `lint`?"),
        (
            &["lint"],
            "`boltfolio lint` wants <PATH>. `boltfolio lint --help` tells what it takes. Such as: boltfolio lint my-car",
        ),
        (
            &["lint", "--mned", "x"],
            "`boltfolio lint` has no `--mned`. Is it `--mend`?",
        ),
        (
            &["print", "x", "--form", "pfd"],
            "`pfd` is none of what `--form` takes: pdf, markdown, data, labels, calendar, page.",
        ),
        (
            &["lint", "x", "--mend", "--without", "y"],
            "`--mend` and `--without` exclude each other.",
        ),
        (
            &["today", "x", "--hours", "many"],
            "`many` cannot be read as `--hours`: hours are written such as",
        ),
        (
            &["print", "x", "--paper"],
            "`--paper` takes one of these: A4, Letter.",
        ),
        (&["state", "a", "b"], "`boltfolio state` takes no `b` here."),
    ] {
        let output = run(around.path(), arguments);
        let said = said(&output);
        assert_eq!((status(&output), out(&output).as_str()), (2, ""), "{said}");
        assert!(said.starts_with(wanted), "{arguments:?}: {said}");
        assert!(!said.contains("error:") && !said.contains("Usage:"), "{said}");
    }
}

#[test]
fn what_is_no_plan_is_named() {
    let around = plan(&super::starter());
    write(&around.path().join("paper.pdf"), b"%PDF-1.7\n\x80\x81");
    let said = refused(&run(around.path(), &["lint", "paper.pdf"]));
    assert!(said.starts_with("paper.pdf is a PDF: "), "{said}");
    let output = run_with_input(
        around.path(),
        &["lint", "-"],
        b"plan a \"A\"\nstep x \"X\"\n  look \"all well\"\n",
    );
    assert!(
        out(&output).starts_with("doubt no-plan: the plan has no vehicle and no machine"),
        "{}",
        out(&output)
    );
    assert_eq!(status(&output), 0);
    // A folder of plans is each of them to `lint`, and too many for `print`.
    write(&around.path().join("redpoll/plan.boltplan"), super::starter());
    let output = run(around.path(), &["lint", "."]);
    assert_eq!(
        out(&output),
        "10 steps walked, 10 joints, 4 messages: nothing to report\n"
    );
    let said = refused(&run(around.path(), &["print", "."]));
    assert!(
        said.contains("holds 2 plans, each in a folder of its own"),
        "{said}"
    );
}

/// The scripts and the page are read by those that they are for, where these are installed.
#[test]
fn shells_and_man_read_what_is_made_for_them() {
    let around = tempfile::tempdir().expect("a temporary folder");
    for (shell, arguments) in [
        ("bash", &["-n"][..]),
        ("zsh", &["-n"]),
        ("fish", &["--no-execute"]),
    ] {
        let script = run(around.path(), &["completions", shell]);
        assert_eq!(status(&script), 0);
        let text = out(&script);
        for word in ["lint", "mend", "editor"] {
            assert!(text.contains(word), "{shell}: {word}");
        }
        // Names of rules too, where the shell's script has room for what is no option.
        assert!(text.contains("unknown-name") || shell == "fish", "{shell}");
        let path = around.path().join(shell);
        write(&path, &text);
        match std::process::Command::new(shell)
            .args(arguments)
            .arg(&path)
            .output()
        {
            Ok(read) => assert!(
                read.status.success(),
                "{shell}: {}",
                String::from_utf8_lossy(&read.stderr)
            ),
            Err(_) => super::left_out(&format!("{shell} is not installed")),
        }
    }
    let page = out(&run(around.path(), &["manual"]));
    assert!(
        page.contains(".TH boltfolio 1") && page.contains("COMMAND LINT"),
        "{page}"
    );
    assert!(page.contains("boltfolio lint my\\-car"), "{page}");
    let path = around.path().join("boltfolio.1");
    write(&path, &page);
    match std::process::Command::new("man")
        .args(["--warnings", "-E", "UTF-8", "-l"])
        .arg(&path)
        .output()
    {
        Ok(read) => {
            let told = String::from_utf8_lossy(&read.stderr);
            assert!(read.status.success() && !told.contains("warning"), "{told}");
        }
        Err(_) => super::left_out("man is not installed"),
    }
}
