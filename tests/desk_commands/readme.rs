//! What the README shows is true: its plans compile clean, its starter is the starter, its finding is what comes back, its
//! links lead somewhere.

use std::path::Path;

use crate::support::{compile_text, fences, told};

const README: &str = include_str!("../../README.md");
const STARTER: &str = include_str!("../../specs/starter/starter.boltplan");

#[test]
fn its_plans_are_clean_and_the_starter_is_the_starter() {
    let plans = fences(README);
    assert_eq!(plans.len(), 2);
    for plan in &plans {
        let compilation = compile_text(plan);
        assert!(compilation.findings.is_empty(), "{:#?}", told(&compilation));
        assert!(!compilation.plan.steps.is_empty());
    }
    assert_eq!(
        plans.first().map(|plan| plan.lines().count()),
        Some(10),
        "a plan in ten lines"
    );
    assert_eq!(plans.last().map(String::as_str), Some(STARTER));
}

/// What `lint -` says of a text, as the README shows it.
fn linted(text: &str) -> String {
    let mut lint = std::process::Command::new(env!("CARGO_BIN_EXE_boltfolio"))
        .args(["lint", "-"])
        .env("NO_COLOR", "1")
        .env("LANG", "C.UTF-8")
        .env("COLUMNS", "96")
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    std::io::Write::write_all(&mut lint.stdin.take().expect("piped"), text.as_bytes()).expect("it reads");
    let output = lint.wait_with_output().expect("it ends");
    String::from_utf8(output.stdout).expect("text")
}

#[test]
fn its_finding_is_what_comes_back() {
    let broken = STARTER.replace("undo heater-plug, seat-bolts", "undo heater-plg, seat-bolts");
    assert_ne!(broken, STARTER);
    let said = linted(&broken);
    assert!(
        README.contains(&said),
        "the README shows something else than:\n{said}"
    );
}

/// The order that tips the demonstration, as its own page shows it: the step is put where the page says, and the first finding is the page's.
#[test]
fn the_order_that_tips_the_demonstration() {
    let page = include_str!("../../specs/ouzel-front/README.md");
    let [step] = fences(page).try_into().expect("one step");
    let folder = tempfile::tempdir().expect("a folder");
    let put = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name.strip_prefix("specs/").expect("in specs"));
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(path, bytes).expect("written");
    };
    for (name, text) in crate::support::plan_files("ouzel-front") {
        let before = "step spring-left-down";
        put(&name, text.replace(before, &format!("{step}{before}")).as_bytes());
    }
    for figure in std::fs::read_dir("specs/ouzel-front/figures").expect("figures") {
        let path = figure.expect("a file").path();
        put(&path.to_string_lossy(), &std::fs::read(&path).expect("a picture"));
    }
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_boltfolio"))
        .args(["lint", "ouzel-front"])
        .current_dir(folder.path())
        .env("NO_COLOR", "1")
        .env("LANG", "C.UTF-8")
        .env("COLUMNS", "96")
        .output()
        .expect("the program starts");
    let said = String::from_utf8(output.stdout).expect("text");
    let finding = said.split("\n\n").next().expect("a finding");
    assert!(
        finding.starts_with("fault off-balance: `ouzel` tips to the rear"),
        "{said}"
    );
    for shown in [page, README] {
        assert!(shown.contains(finding), "something else is shown than:\n{said}");
    }
}

#[test]
fn its_links_lead_somewhere() {
    let mut rest = README;
    let mut seen = 0;
    while let Some(at) = rest.find("](") {
        rest = &rest[at + 2..];
        let to = &rest[..rest.find(')').expect("a closing bracket")];
        assert!(Path::new(to).exists(), "{to} is not there");
        seen += 1;
    }
    assert!(seen >= 10, "{seen} links");
}

#[test]
fn it_opens_with_the_job_and_two_commands() {
    let mut parts = README.split("\n\n");
    assert_eq!(parts.next(), Some("# boltfolio"));
    assert!(parts.next().is_some_and(|job| job.starts_with("You are turning")));
    let commands = README
        .split("```sh\n")
        .nth(1)
        .and_then(|fence| fence.split("```").next());
    assert_eq!(
        commands,
        Some("cargo run -- print specs/ouzel-front\ncargo test\n")
    );
}
