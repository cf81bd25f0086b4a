//! What `lint` does with files that are missing, broken, huge or elsewhere.

use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::time::{Duration, Instant};

use super::{faulty, out, plan, refused, run, starter, status, write};

#[test]
fn a_missing_path_is_named() {
    let around = plan("");
    let said = refused(&run(around.path(), &["lint", "redpoll"]));
    assert!(
        said.contains("redpoll cannot be read: there is no such file or folder."),
        "{said}"
    );
    let said = refused(&run(around.path(), &["lint", "ouzel/plan.boltplan/more"]));
    assert!(said.contains("a file stands where a folder should be"), "{said}");
}

#[test]
fn a_folder_without_plans_is_named_with_a_way_out() {
    let around = tempfile::tempdir().expect("a temporary folder");
    write(&around.path().join("empty/notes.txt"), "no plan");
    write(&around.path().join("empty/.hidden/a.boltplan"), "plan x\n");
    write(&around.path().join("empty/.b.boltplan"), "plan x\n");
    let said = refused(&run(around.path(), &["lint", "empty"]));
    assert!(said.contains("No file in empty ends in .boltplan"), "{said}");
    assert!(said.contains("`boltfolio new empty`"), "{said}");
}

#[test]
fn an_empty_plan_file_is_no_crash() {
    let around = plan("");
    let output = run(around.path(), &["lint", "ouzel"]);
    assert!(status(&output) < 2, "{}", out(&output));
}

#[test]
fn files_of_nested_folders_make_one_plan() {
    let around = tempfile::tempdir().expect("a temporary folder");
    let text = starter();
    let (head, steps) = text.split_at(text.find("stage strip").expect("it is there"));
    write(&around.path().join("ouzel/b/steps.boltplan"), steps);
    write(&around.path().join("ouzel/z.boltplan"), head);
    let output = run(around.path(), &["lint", "ouzel"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
}

#[test]
fn what_is_not_utf8_is_shown_by_line_and_byte() {
    let around = plan("");
    let mut bytes = starter().into_bytes();
    bytes.extend(b"\nperson x \"Ren\xe9\"\n");
    write(&around.path().join("ouzel/plan.boltplan"), &bytes);
    let output = run(around.path(), &["lint", "ouzel"]);
    let shown = out(&output);
    let line = starter().lines().count() + 2;
    assert_eq!(status(&output), 1, "{shown}");
    assert!(
        shown.contains(&format!("[ouzel/plan.boltplan:{line}:14]")),
        "{shown}"
    );
    assert!(shown.contains("0xE9") && shown.contains("UTF-8"), "{shown}");
    assert!(!shown.contains('\u{fffd}'), "nothing is guessed: {shown}");
    let printed = run(around.path(), &["print", "ouzel"]);
    assert_eq!(status(&printed), 1, "{}", super::err(&printed));

    let wide: Vec<u8> = "plan x\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    write(
        &around.path().join("ouzel/plan.boltplan"),
        [&[0xff, 0xfe][..], &wide].concat(),
    );
    let output = run(around.path(), &["lint", "ouzel"]);
    assert_eq!(status(&output), 1, "{}", out(&output));
    assert!(
        out(&output).contains("[ouzel/plan.boltplan:1:1]"),
        "{}",
        out(&output)
    );
}

#[test]
fn a_byte_order_mark_is_no_fault() {
    let around = plan(&format!("\u{feff}{}", starter()));
    let output = run(around.path(), &["lint", "ouzel"]);
    assert_eq!(status(&output), 0, "{}", out(&output));
}

#[test]
fn a_file_of_more_than_a_gibibyte_is_refused_at_once() {
    let around = plan(&starter());
    let file = File::create(around.path().join("ouzel/huge.boltplan")).expect("made");
    // Sparse: it takes no room on the disk.
    file.set_len((1 << 30) + 1).expect("sized");
    let began = Instant::now();
    let said = refused(&run(around.path(), &["lint", "ouzel"]));
    assert!(said.contains("ouzel/huge.boltplan is too large"), "{said}");
    assert!(began.elapsed() < Duration::from_secs(5));
}

#[test]
fn fifty_megabytes_are_checked() {
    let around = tempfile::tempdir().expect("a temporary folder");
    fs::create_dir(around.path().join("ouzel")).expect("made");
    let path = around.path().join("ouzel/plan.boltplan");
    let mut file = BufWriter::new(File::create(&path).expect("made"));
    file.write_all(starter().as_bytes()).expect("written");
    let mut size = 0;
    for number in 0.. {
        let lines = format!(
            "# Remark {number}: this line is as long as remarks in plans tend to be, and tells nothing new.\n\
             part spare-{number} \"Spare {number}\"; mass 0.2 kg quoted; afterwards stays off\n"
        );
        size += lines.len();
        file.write_all(lines.as_bytes()).expect("written");
        if size > 50 << 20 {
            break;
        }
    }
    file.write_all(b"part odd\n  frobs\n").expect("written");
    file.into_inner().expect("flushed");
    let began = Instant::now();
    let output = run(around.path(), &["lint", "ouzel"]);
    assert_eq!(status(&output), 1, "{}", super::err(&output));
    assert!(
        out(&output).contains("frobs"),
        "the only fault is among those shown"
    );
    assert!(out(&output).len() < 200_000);
    assert!(
        began.elapsed() < Duration::from_secs(120),
        "{:?}",
        began.elapsed()
    );
}

#[cfg(unix)]
mod links {
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn links_that_lead_round_or_away_are_not_followed() {
        let around = plan(&starter());
        let ouzel = around.path().join("ouzel");
        symlink("..", ouzel.join("up")).expect("linked");
        symlink(".", ouzel.join("round")).expect("linked");
        symlink("plan.boltplan", ouzel.join("again.boltplan")).expect("linked");
        let output = run(around.path(), &["lint", "ouzel"]);
        assert_eq!(status(&output), 0, "read once only: {}", out(&output));

        write(&around.path().join("other/rigs.boltplan"), "rig x; holds\n");
        symlink("../other/rigs.boltplan", ouzel.join("rigs.boltplan")).expect("linked");
        let said = refused(&run(around.path(), &["lint", "ouzel"]));
        assert!(said.contains("ouzel/rigs.boltplan is a link to"), "{said}");
        assert!(said.contains("outside the folder"), "{said}");
    }

    #[test]
    fn a_link_to_nothing_is_named() {
        let around = plan(&starter());
        symlink("gone", around.path().join("ouzel/rigs.boltplan")).expect("linked");
        let said = refused(&run(around.path(), &["lint", "ouzel"]));
        assert!(
            said.contains("ouzel/rigs.boltplan cannot be read: there is no such file"),
            "{said}"
        );
    }

    #[test]
    fn a_plan_folder_may_itself_be_a_link() {
        let around = plan(&faulty(1));
        symlink("ouzel", around.path().join("today")).expect("linked");
        let output = run(around.path(), &["lint", "today"]);
        assert_eq!(status(&output), 1, "{}", super::super::err(&output));
    }

    #[test]
    fn names_that_are_no_utf8_are_refused_and_pipes_passed_over() {
        use std::os::unix::ffi::OsStrExt;
        let around = plan(&starter());
        let made = std::process::Command::new("mkfifo")
            .arg(around.path().join("ouzel/pipe.boltplan"))
            .status();
        if made.is_ok_and(|status| status.success()) {
            let output = run(around.path(), &["lint", "ouzel"]);
            assert_eq!(status(&output), 0, "{}", out(&output));
        }
        let odd = std::ffi::OsStr::from_bytes(b"ouzel/a\xff.boltplan");
        write(&around.path().join(odd), "");
        let said = refused(&run(around.path(), &["lint", "ouzel"]));
        assert!(said.contains("is not UTF-8"), "{said}");
    }
}
