//! Drives the program as its users do: command lines, files, pipes and terminals.

mod editor;
mod enter;
mod lint;
mod lint_files;
mod mend;
mod output;
mod pictures;
mod print;
mod questions;
mod readme;
mod rough;
mod saturdays;
mod small;
#[path = "../support/mod.rs"]
mod support;
mod tidy;
mod worth;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The program, in a folder, without what the surroundings of the test might say.
fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_boltfolio"));
    command.current_dir(folder);
    for name in [
        "COLUMNS",
        "NO_COLOR",
        "TERM",
        "LC_ALL",
        "LC_CTYPE",
        "LANG",
        "CLICOLOR",
        "CLICOLOR_FORCE",
    ] {
        command.env_remove(name);
    }
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    program(folder)
        .args(arguments)
        .stdin(Stdio::null())
        .output()
        .expect("the program starts")
}

fn run_with_input(folder: &Path, arguments: &[&str], input: &[u8]) -> Output {
    let mut child = program(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut pipe = child.stdin.take().expect("it was asked for");
    // The program may refuse early and close its end.
    let _ = pipe.write_all(input);
    drop(pipe);
    child.wait_with_output().expect("the program ends")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("what is printed is UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("what is printed is UTF-8")
}

/// Sentences as one line, so that where they are wrapped does not matter.
fn said(output: &Output) -> String {
    err(output).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

/// A refusal: exit 2, nothing on standard output, a sentence without a panic's words.
fn refused(output: &Output) -> String {
    let said = said(output);
    assert_eq!(status(output), 2, "{said}");
    assert_eq!(out(output), "", "{said}");
    assert!(said.ends_with(['.', '?']), "a whole sentence: {said}");
    for word in ["panicked", "os error", "RUST_BACKTRACE"] {
        assert!(!said.contains(word), "{said}");
    }
    said
}

fn project() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn starter() -> String {
    fs::read_to_string(project().join("specs/starter/starter.boltplan")).expect("the starter is there")
}

/// The starter with so many steps more, each with a line that is no statement of a step.
fn faulty(count: usize) -> String {
    let mut text = starter();
    for number in 0..count {
        text.push_str(&format!(
            "\nstep odd-{number} \"Odd step {number}\"; by ada; time 5 min; look \"Nothing loose\"\n  frobs the whole long way round, quickly\n"
        ));
    }
    text
}

/// A folder with one plan in `ouzel/`.
fn plan(text: &str) -> tempfile::TempDir {
    let around = tempfile::tempdir().expect("a temporary folder");
    write(&around.path().join("ouzel/plan.boltplan"), text);
    around
}

/// Copies of the project's own folders of plans, side by side.
fn plan_files_of(folders: &[&str]) -> tempfile::TempDir {
    fn copy(from: &Path, to: &Path) {
        for entry in fs::read_dir(from).expect("a folder") {
            let path = entry.expect("an entry").path();
            let to = to.join(path.file_name().expect("a name"));
            if path.is_dir() {
                copy(&path, &to);
            } else {
                write(&to, fs::read(&path).expect("a file"));
            }
        }
    }
    let around = tempfile::tempdir().expect("a temporary folder");
    for folder in folders {
        let name = Path::new(folder).file_name().expect("a name");
        copy(&project().join(folder), &around.path().join(name));
    }
    around
}

fn write(path: &Path, bytes: impl AsRef<[u8]>) {
    fs::create_dir_all(path.parent().expect("it lies in a folder")).expect("made");
    fs::write(path, bytes).expect("written");
}

/// Says why a test is left out, on a machine that does not allow it.
fn left_out(why: &str) {
    let _ = writeln!(std::io::stderr(), "left out: {why}");
}
