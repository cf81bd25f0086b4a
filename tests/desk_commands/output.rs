//! `output/` holds what the main demonstration prints, to the byte. `BOLTFOLIO_UPDATE=1` writes it anew: read what changed
//! before it is committed.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

fn print_to(folder: &Path) {
    let output = Command::new(env!("CARGO_BIN_EXE_boltfolio"))
        .args(["print", "specs/ouzel-front", "--form", "pdf,markdown", "--to"])
        .arg(folder)
        .output()
        .expect("the program starts");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

/// Every file below a folder by its path in it, but the pages that the README shows: these are pictures of the PDF.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(&here).expect("a folder") {
            let path = entry.expect("an entry").path();
            let inside = path.strip_prefix(folder).expect("below it").to_owned();
            if inside.starts_with("pages") {
                continue;
            }
            if path.is_dir() {
                open.push(path);
            } else {
                all.insert(inside, std::fs::read(&path).expect("a file"));
            }
        }
    }
    all
}

#[test]
fn output_is_what_the_demonstration_prints() {
    let kept = Path::new("output");
    if std::env::var_os("BOLTFOLIO_UPDATE").is_some() {
        // Printed as for the first time: what changed since is no part of the demonstration.
        let _ = std::fs::remove_file(kept.join("ouzel-front.numbers"));
        print_to(kept);
    }
    let fresh = tempfile::tempdir().expect("a temporary folder");
    print_to(fresh.path());
    let (kept, fresh) = (files(kept), files(fresh.path()));
    let names = |files: &BTreeMap<PathBuf, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&kept), names(&fresh), "run it with BOLTFOLIO_UPDATE=1");
    for (name, bytes) in &fresh {
        assert!(
            kept.get(name) == Some(bytes),
            "{} is stale: run it with BOLTFOLIO_UPDATE=1",
            name.display()
        );
    }
    assert!(fresh.len() >= 3, "a PDF, its Markdown and their pictures");
}
