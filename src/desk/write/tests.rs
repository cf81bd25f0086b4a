//! Sets of files: written whole, left alone, taken back.

use std::fs;
use std::path::Path;

use super::{RECORD, Rewrite, Sheet, Trouble, rewrite, write_all, write_new};

fn sheet(path: &str, bytes: &[u8]) -> Sheet {
    Sheet {
        path: path.to_owned(),
        bytes: bytes.to_owned(),
        word: String::new(),
    }
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("it is there")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

#[test]
fn printing_again_replaces_what_was_printed_and_leaves_nothing_else() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let to = around.path().join("a/output");
    for round in ["one", "two"] {
        let sheets = [
            sheet("b.pdf", round.as_bytes()),
            sheet("pictures/c.svg", round.as_bytes()),
        ];
        let written = write_all(&to, &sheets, &[]).expect("written");
        assert_eq!(written.at, [to.join("b.pdf"), to.join("pictures/c.svg")]);
        assert_eq!(
            fs::read_to_string(to.join("pictures/c.svg")).expect("there"),
            round
        );
    }
    assert_eq!(names(&to), [RECORD, "b.pdf", "pictures"]);
    assert_eq!(names(&to.join("pictures")), ["c.svg"]);
}

#[test]
fn what_an_earlier_print_left_in_a_folder_of_its_own_goes() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let to = around.path();
    let whole = ["p/pictures".to_owned()];
    let first = [
        sheet("p/pictures/1-old.svg", b"1"),
        sheet("p/pictures/2-mine.svg", b"1"),
        sheet("p/pictures/3-same.svg", b"1"),
        sheet("p/pictures-of-mine.svg", b"1"),
        sheet("q/pictures/1-old.svg", b"1"),
    ];
    assert_eq!(write_all(to, &first, &whole).expect("written").gone, 0);
    fs::write(to.join("p/pictures/2-mine.svg"), "by hand").expect("written");
    fs::write(to.join("p/pictures/note.txt"), "never printed").expect("written");
    let second = [sheet("p/pictures/3-same.svg", b"2")];
    assert_eq!(write_all(to, &second, &[]).expect("written").gone, 0);
    assert_eq!(write_all(to, &second, &whole).expect("written").gone, 1);
    assert_eq!(
        names(&to.join("p/pictures")),
        ["2-mine.svg", "3-same.svg", "note.txt"]
    );
    assert_eq!(names(&to.join("q/pictures")), ["1-old.svg"]);
    let record = fs::read_to_string(to.join(RECORD)).expect("there");
    assert!(!record.contains("p/pictures/1-old.svg"), "{record}");
    assert!(record.contains("p/pictures/2-mine.svg") && record.contains("p/pictures-of-mine.svg"));
    // A set that fails takes nothing away.
    let bad = [sheet("p/pictures/4.svg", b"2"), sheet("../5.svg", b"2")];
    assert!(write_all(to, &bad, &whole).is_err());
    assert!(to.join("p/pictures/3-same.svg").exists());
}

#[test]
fn what_was_changed_by_hand_stops_the_whole_set() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let to = around.path();
    write_all(to, &[sheet("a.md", b"1"), sheet("b.md", b"1")], &[]).expect("written");
    fs::write(to.join("b.md"), "mine").expect("written");
    let trouble = write_all(to, &[sheet("a.md", b"2"), sheet("b.md", b"2")], &[]).expect_err("refused");
    assert!(
        trouble
            .0
            .contains("b.md was not printed by this program, or was changed by hand")
    );
    assert_eq!(fs::read_to_string(to.join("a.md")).expect("there"), "1");
    assert_eq!(fs::read_to_string(to.join("b.md")).expect("there"), "mine");
    assert_eq!(names(to), [RECORD, "a.md", "b.md"]);

    fs::remove_file(to.join("b.md")).expect("removed");
    write_all(to, &[sheet("a.md", b"2"), sheet("b.md", b"2")], &[]).expect("nothing is in the way now");
    fs::write(to.join("c.md"), "never printed").expect("written");
    assert!(write_all(to, &[sheet("c.md", b"2")], &[]).is_err());
}

#[test]
fn a_set_that_fails_half_way_leaves_all_as_it_was() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let to = around.path().join("output");
    // The second name is longer than any disk takes.
    let long = "x".repeat(300);
    assert!(write_all(&to, &[sheet("a.md", b"1"), sheet(&long, b"1")], &[]).is_err());
    assert!(!to.exists(), "not even the folder");
    write_all(&to, &[sheet("a.md", b"1")], &[]).expect("written");
    let record = fs::read(to.join(RECORD)).expect("there");
    assert!(write_all(&to, &[sheet("a.md", b"2"), sheet(&long, b"1")], &[]).is_err());
    assert_eq!(fs::read(to.join("a.md")).expect("there"), b"1");
    assert_eq!(fs::read(to.join(RECORD)).expect("there"), record);
    assert_eq!(names(&to), [RECORD, "a.md"]);
}

#[test]
fn nothing_is_written_outside() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let to = around.path().join("output");
    for path in ["../a", "/a", "b/../../a", "", RECORD, "."] {
        assert!(write_all(&to, &[sheet(path, b"x")], &[]).is_err(), "{path}");
    }
    #[cfg(unix)]
    {
        fs::create_dir_all(around.path().join("elsewhere")).expect("made");
        fs::create_dir_all(&to).expect("made");
        std::os::unix::fs::symlink("../elsewhere", to.join("pictures")).expect("linked");
        assert!(write_all(&to, &[sheet("pictures/a.svg", b"x")], &[]).is_err());
        assert_eq!(names(&around.path().join("elsewhere")), [""; 0]);
    }
}

#[test]
fn a_new_file_never_takes_the_place_of_another() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let path = write_new(around.path(), "plan.boltplan", b"1").expect("written");
    assert!(write_new(around.path(), "plan.boltplan", b"2").is_err());
    assert_eq!(fs::read(path).expect("there"), b"1");
    assert_eq!(names(around.path()), ["plan.boltplan"]);
}

fn one(path: &Path, old: Option<&str>, new: &str) -> Rewrite {
    Rewrite {
        path: path.to_owned(),
        old: old.map(|text| text.as_bytes().to_vec()),
        new: new.as_bytes().to_vec(),
    }
}

#[test]
fn a_plan_is_written_anew_only_over_what_was_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let (a, b, c) = (
        folder.path().join("a"),
        folder.path().join("b"),
        folder.path().join("c"),
    );
    fs::write(&a, "one").expect("written");
    fs::write(&b, "two").expect("written");
    rewrite(&[one(&a, Some("one"), "ONE"), one(&c, None, "new")]).expect("all stand as they were read");
    assert_eq!(fs::read_to_string(&a).expect("there"), "ONE");
    assert_eq!(fs::read_to_string(&c).expect("there"), "new");
    // The second was changed meanwhile: neither is written, and nothing is left beside them.
    fs::write(&b, "two, by hand").expect("written");
    let Trouble(told) =
        rewrite(&[one(&a, Some("ONE"), "x"), one(&b, Some("two"), "y")]).expect_err("changed");
    assert!(told.contains("was changed while this was worked out"), "{told}");
    // So with one that came to be, and one that is gone.
    rewrite(&[one(&a, Some("ONE"), "x"), one(&c, None, "y")]).expect_err("it is there by now");
    fs::remove_file(&b).expect("gone");
    rewrite(&[one(&a, Some("ONE"), "x"), one(&b, Some("two, by hand"), "y")]).expect_err("it is gone");
    assert_eq!(fs::read_to_string(&a).expect("there"), "ONE");
    assert_eq!(fs::read_to_string(&c).expect("there"), "new");
    let left = fs::read_dir(folder.path()).expect("a folder").count();
    assert_eq!(left, 2, "no file that was prepared stays");
}
