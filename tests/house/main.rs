//! The repository's rules, as tests: floors, one door for each outside crate, file sizes, what may stand at the top.
//! The checkers are functions on text in `code.rs`, tried there on bad samples, so that each is known to be able to fail.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod code;
mod colours;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use code::{Code, FLOORS};

/// Each outside crate and the files that may name it; a row that ends in `/` stands for all files of a folder. A crate that is in
/// `Cargo.toml` and not here has no door, and is refused.
const DOORS: &[(&str, &[&str])] = &[
    ("base64", &["src/press/shop/blocks.rs"]),
    ("blake3", &["src/core/compile.rs", "src/desk/write.rs"]),
    ("chrono", &["src/press/calendar.rs"]),
    ("clap", &["src/desk/command_line.rs"]),
    ("clap_complete", &["src/desk/shell.rs"]),
    ("clap_mangen", &["src/desk/shell.rs"]),
    ("csv", &["src/desk/list.rs"]),
    ("icalendar", &["src/press/calendar.rs"]),
    ("image", &["src/press/pictures.rs"]),
    ("jiff", &["src/core/base/date.rs", "src/desk/surroundings.rs"]),
    ("maud", &["src/press/shop.rs", "src/press/shop/blocks.rs"]),
    ("miette", &["src/press/terminal.rs"]),
    ("pest", &["src/core/syntax/grammar.rs"]),
    ("pest_derive", &["src/core/syntax/grammar.rs"]),
    ("pulldown_cmark", &["src/core/plan/prose.rs"]),
    (
        "rayon",
        &["src/core/plan/resolve.rs", "src/core/syntax/grammar.rs"],
    ),
    ("rustc_hash", &["src/core/plan/", "src/core/syntax/shapes.rs"]),
    (
        "serde",
        // What goes to a template or a file as it stands says so where it is declared.
        &[
            "src/press/",
            "src/core/binder/document.rs",
            "src/core/binder/figures.rs",
            "src/core/plan/prose.rs",
        ],
    ),
    ("serde_json", &["src/press/"]),
    // Distances between words: a function on two texts that every floor which suggests a name may ask.
    (
        "strsim",
        &[
            "src/desk/why.rs",
            "src/core/plan/read/block.rs",
            "src/core/plan/scope.rs",
            "src/core/rules.rs",
            "src/core/rules/reading.rs",
        ],
    ),
    ("tempfile", &["src/desk/write.rs"]),
    ("terminal_size", &["src/desk/surroundings.rs"]),
    ("textwrap", &["src/press/terminal/words.rs"]),
    ("typst", &["src/press/typst/engine.rs"]),
    ("typst_layout", &["src/press/typst/engine.rs"]),
    ("typst_pdf", &["src/press/typst/engine.rs"]),
    ("typst_syntax", &["src/press/typst/engine.rs"]),
    ("unicode_properties", &[]),
    ("unicode_width", &["src/press/terminal/words.rs"]),
    ("walkdir", &["src/desk/folder.rs", "src/desk/starter.rs"]),
];

/// What may stand at the top of the repository, besides files whose name begins with a dot.
const TOP: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE-APACHE",
    "LICENSE-MIT",
    "README.md",
    "benches",
    "clippy.toml",
    "deny.toml",
    "fuzz",
    "grammar",
    "output",
    "rustfmt.toml",
    "specs",
    "src",
    "tests",
];

const LONGEST_FILE: usize = 1_000;

/// Path from the root with `/`, and text, of every Rust file under these folders.
fn rust_files(roots: &[&str]) -> Vec<(String, String)> {
    fn walk(folder: &Path, into: &mut Vec<(String, String)>) {
        let Ok(entries) = std::fs::read_dir(folder) else {
            return;
        };
        for entry in entries {
            let path = entry.expect("an entry of the folder").path();
            if path.is_dir() {
                walk(&path, into);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let text = std::fs::read_to_string(&path).expect("a Rust file is text");
                into.push((path.to_string_lossy().replace('\\', "/"), text));
            }
        }
    }
    let mut all = Vec::new();
    for root in roots {
        walk(Path::new(root), &mut all);
    }
    all.sort();
    all
}

fn sources() -> Vec<(String, String)> {
    let all = rust_files(&["src"]);
    assert!(all.len() > 40, "only {} files: run from the root", all.len());
    all
}

fn complain(wrong: &[String]) {
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn imports_point_down() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        wrong.extend(Code::climbs(&path, &text));
    }
    complain(&wrong);
}

#[test]
fn every_room_has_a_floor_and_every_floor_a_duty() {
    for facade in ["src/lib.rs", "src/core/lib.rs"] {
        let facade = std::fs::read_to_string(facade).expect("the facade");
        for room in code::rooms_of(&facade) {
            assert!(
                FLOORS.iter().any(|(known, _)| *known == room),
                "{room} has no floor"
            );
        }
    }
    for (path, _) in sources() {
        assert!(code::room(&path).is_some(), "{path} belongs to no room");
    }
}

#[test]
fn each_outside_crate_has_one_door() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        // What tests alone use goes through no door; dependencies of the program do so in tests too.
        let named = Code::without_tests(&text).crates();
        for (krate, doors) in DOORS {
            let open = doors
                .iter()
                .any(|door| *door == path || (door.ends_with('/') && path.starts_with(door)));
            if !open && !code::is_test_file(&path) && named.contains(*krate) {
                wrong.push(format!("{path} names {krate}, which only {doors:?} may"));
            }
        }
    }
    complain(&wrong);
}

#[test]
fn each_dependency_has_a_door() {
    let declared: BTreeSet<String> = ["Cargo.toml", "src/core/Cargo.toml"]
        .iter()
        .flat_map(|path| code::dependencies(&std::fs::read_to_string(path).expect("the manifest")))
        // The program's own crates are floors, and no doors.
        .filter(|name| name != "boltfolio_core")
        .collect();
    assert!(declared.len() > 5, "{declared:?}");
    let known: BTreeSet<String> = DOORS.iter().map(|(name, _)| (*name).to_owned()).collect();
    let homeless: Vec<&String> = declared.difference(&known).collect();
    assert!(homeless.is_empty(), "no door for {homeless:?}");
    let gone: Vec<&String> = known.difference(&declared).collect();
    assert!(gone.is_empty(), "doors for crates that are gone: {gone:?}");
}

#[test]
fn no_file_is_long() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files(&["src", "tests", "benches", "fuzz/fuzz_targets"]) {
        let lines = text.lines().count();
        if lines > LONGEST_FILE {
            wrong.push(format!("{path} has {lines} lines; {LONGEST_FILE} is the most"));
        }
    }
    complain(&wrong);
}

#[test]
fn every_file_says_its_duty() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files(&["src", "tests", "benches"]) {
        // Three lines that hand over to the desk need no preface.
        if path != "src/main.rs" && !text.starts_with("//! ") {
            wrong.push(format!("{path} does not begin with its duty"));
        }
    }
    complain(&wrong);
}

#[test]
fn nothing_gives_up_slices_or_prints_below_the_desk() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        if code::is_test_file(&path) || path.starts_with("src/desk") || path == "src/main.rs" {
            continue;
        }
        let code = Code::without_tests(&text);
        wrong.extend(code.giving_up(&path));
        wrong.extend(code.slices(&path));
    }
    complain(&wrong);
}

#[test]
fn nothing_is_left_for_later() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        wrong.extend(code::left_for_later(&text).map(|what| format!("{path}: {what}")));
    }
    complain(&wrong);
}

#[test]
fn who_sorts_by_what_stands_in_rows_leaves_nothing_out_unsaid() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        // The rows themselves answer for what is none of them.
        if code::is_test_file(&path) || path.starts_with("src/core/plan/vocabulary/") {
            continue;
        }
        let open = code::open_arms(&text);
        wrong.extend(
            open.iter()
                .map(|line| format!("{path}:{line}: `_ =>` and no word why")),
        );
    }
    complain(&wrong);
}

#[test]
fn only_the_agreed_entries_stand_at_the_top() {
    let listed = Command::new("git").arg("ls-files").output();
    let entries: BTreeSet<String> = match listed {
        Ok(output) if output.status.success() && !output.stdout.is_empty() => {
            let text = String::from_utf8(output.stdout).expect("git quotes what is not text");
            text.lines()
                .filter_map(|line| line.split('/').next())
                .map(str::to_owned)
                .collect()
        }
        // Unpacked from an archive: what lies there, but for the build's own folder.
        _ => std::fs::read_dir(".")
            .expect("the root")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|name| name != "target")
            .collect(),
    };
    assert!(entries.contains("src"), "{entries:?}");
    complain(&code::strangers(entries.iter().map(String::as_str), TOP));
}
