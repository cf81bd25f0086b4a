//! `print`: what is written, what is left alone, and what happens on a bad disk.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::{err, faulty, left_out, out, plan, refused, run, said, starter, status, write};

const DATED: &str = "2026-04-11";

/// Names and bytes of all files in a folder.
pub(super) fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let bytes = fs::read(&path).expect("readable");
                all.push((path.strip_prefix(folder).expect("inside").to_owned(), bytes));
            }
        }
    }
    all.sort();
    all
}

#[test]
fn a_clean_plan_is_printed_and_its_files_are_named() {
    let around = plan(&starter());
    let output = run(around.path(), &["print", "ouzel", "--dated", DATED]);
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(
        out(&output).starts_with("output/pipit-seat.pdf, "),
        "{}",
        out(&output)
    );
    let pdf = fs::read(around.path().join("output/pipit-seat.pdf")).expect("printed");
    assert!(pdf.starts_with(b"%PDF-"));
    assert_eq!(err(&output), "", "nobody watches, so nothing is said");
}

#[test]
fn both_forms_are_printed_and_the_same_bytes_each_time() {
    let around = plan(&starter());
    for to in ["one", "two", "two"] {
        let arguments = [
            "print",
            "ouzel",
            "--dated",
            DATED,
            "--form",
            "pdf,markdown",
            "--to",
            to,
            "--paper",
            "letter",
            "--sides",
            "two",
        ];
        let output = run(around.path(), &arguments);
        assert_eq!(status(&output), 0, "{}", err(&output));
    }
    let one = files(&around.path().join("one"));
    let names: Vec<String> = one.iter().map(|(path, _)| path.display().to_string()).collect();
    assert!(names.contains(&"pipit-seat.pdf".to_owned()), "{names:?}");
    assert!(names.contains(&"pipit-seat/binder.md".to_owned()), "{names:?}");
    assert_eq!(one, files(&around.path().join("two")));
}

#[test]
fn faults_stop_the_press_unless_it_is_told_otherwise() {
    let around = plan(&faulty(1));
    let output = run(around.path(), &["print", "ouzel"]);
    assert_eq!(status(&output), 1);
    assert_eq!(out(&output), "");
    assert!(
        said(&output).contains("Nothing was printed, since 1 fault stands."),
        "{}",
        said(&output)
    );
    assert!(err(&output).starts_with("fault "), "{}", err(&output));
    assert!(!around.path().join("output").exists());

    let output = run(around.path(), &["print", "ouzel", "--unchecked"]);
    assert_eq!(status(&output), 1, "a fault stands all the same");
    assert!(
        around.path().join("output/pipit-seat.pdf").is_file(),
        "{}",
        err(&output)
    );
}

#[test]
fn standard_input_prints_too() {
    let around = plan("");
    let output = super::run_with_input(
        around.path(),
        &["print", "-", "--dated", DATED],
        starter().as_bytes(),
    );
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(around.path().join("output/pipit-seat.pdf").is_file());
}

#[test]
fn what_was_changed_by_hand_is_left_alone() {
    let around = plan(&starter());
    let arguments = ["print", "ouzel", "--form", "pdf,markdown", "--dated", DATED];
    assert_eq!(status(&run(around.path(), &arguments)), 0);
    let page = around.path().join("output/pipit-seat/binder.md");
    let edited = fs::read_to_string(&page).expect("printed") + "\nAda was here.\n";
    fs::write(&page, &edited).expect("written");
    let before = files(&around.path().join("output"));
    let again = [
        "print",
        "ouzel",
        "--form",
        "pdf,markdown",
        "--dated",
        "2026-04-12",
    ];
    let said = refused(&run(around.path(), &again));
    assert!(
        said.contains("output/pipit-seat/binder.md was not printed by this program, or was changed by hand"),
        "{said}"
    );
    assert_eq!(
        files(&around.path().join("output")),
        before,
        "the PDF too is the old one"
    );

    fs::remove_file(&page).expect("removed");
    assert_eq!(
        status(&run(around.path(), &again)),
        0,
        "out of the way, it prints again"
    );
}

#[test]
fn a_file_in_place_of_the_output_folder_is_left_alone() {
    let around = plan(&starter());
    write(&around.path().join("output"), "mine");
    let said = refused(&run(around.path(), &["print", "ouzel"]));
    assert!(
        said.contains("output is a file, and a folder is needed there."),
        "{said}"
    );
    assert_eq!(fs::read(around.path().join("output")).expect("there"), b"mine");
    let said = refused(&run(around.path(), &["print", "ouzel", "--to", "output/deeper"]));
    assert!(said.contains("output"), "{said}");
}

/// A disk of its own, taken away at the end.
struct Disk(PathBuf);

impl Disk {
    fn mounted(at: &Path, options: &str) -> Option<Disk> {
        fs::create_dir_all(at).expect("made");
        let done = Command::new("mount")
            .args(["-t", "tmpfs", "-o", options, "tmpfs"])
            .arg(at)
            .output()
            .is_ok_and(|output| output.status.success());
        if !done {
            left_out("no disk may be mounted here");
        }
        done.then(|| Disk(at.to_owned()))
    }

    fn again(&self, options: &str) -> bool {
        Command::new("mount")
            .args(["-o", &format!("remount,{options}")])
            .arg(&self.0)
            .status()
            .is_ok_and(|status| status.success())
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
fn a_small_full_disk_keeps_nothing_half_written() {
    let around = plan(&starter());
    let to = around.path().join("small");
    let Some(_disk) = Disk::mounted(&to, "size=64k") else {
        return;
    };
    let filler = vec![b'x'; 40 << 10];
    write(&to.join("filler"), &filler);
    let said = refused(&run(
        around.path(),
        &["print", "ouzel", "--to", "small", "--form", "pdf,markdown"],
    ));
    assert!(said.contains("could not be written: the disk is full."), "{said}");
    assert_eq!(files(&to), [(PathBuf::from("filler"), filler)]);
}

#[test]
fn a_disk_that_fills_up_keeps_what_was_printed_before() {
    let around = plan(&starter());
    let to = around.path().join("output");
    let Some(_disk) = Disk::mounted(&to, "size=16m") else {
        return;
    };
    let arguments = ["print", "ouzel", "--form", "pdf,markdown", "--dated"];
    assert_eq!(
        status(&run(around.path(), &[&arguments[..], &[DATED]].concat())),
        0
    );
    let mut filler = fs::File::create(to.join("filler")).expect("made");
    while std::io::Write::write_all(&mut filler, &[0; 4096]).is_ok() {}
    let before = files(&to);
    let said = refused(&run(around.path(), &[&arguments[..], &["2026-04-12"]].concat()));
    assert!(said.contains("the disk is full"), "{said}");
    assert_eq!(files(&to), before);
}

#[test]
fn a_disk_that_may_only_be_read_is_said() {
    let around = plan(&starter());
    let to = around.path().join("output");
    let Some(disk) = Disk::mounted(&to, "size=1m") else {
        return;
    };
    if !disk.again("ro") {
        left_out("the disk could not be made read-only");
        return;
    }
    let said = refused(&run(around.path(), &["print", "ouzel"]));
    assert!(said.contains("the disk may only be read"), "{said}");
    let said = refused(&run(around.path(), &["print", "ouzel", "--to", "output/deeper"]));
    assert!(
        said.contains("output/deeper could not be made: the disk may only be read"),
        "{said}"
    );
}

#[test]
fn a_picture_from_outside_is_not_read() {
    let around = plan(&starter().replace(
        "  safe to leave\n",
        "  figure \"../secret.svg\" \"A drawing\" \"What it shows\"\n  safe to leave\n",
    ));
    write(
        &around.path().join("secret.svg"),
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"10\" height=\"10\"><text>topsecret</text></svg>",
    );
    let output = run(around.path(), &["lint", "ouzel", "--stop-at", "advice"]);
    assert_eq!(status(&output), 1, "{}", out(&output));
    assert!(out(&output).contains("secret.svg"), "{}", out(&output));
    let arguments = ["print", "ouzel", "--unchecked", "--form", "markdown"];
    run(around.path(), &arguments);
    for (path, bytes) in files(&around.path().join("output")) {
        assert!(
            !String::from_utf8_lossy(&bytes).contains("topsecret"),
            "{}",
            path.display()
        );
    }
}

#[test]
fn numbers_outlive_a_change_and_only_what_changed_is_printed() {
    let around = plan(&super::starter());
    let print = |more: &[&str]| {
        let arguments = [
            &[
                "print",
                "ouzel",
                "--to",
                "out",
                "--dated",
                "2026-04-11",
                "--form",
                "markdown",
            ][..],
            more,
        ]
        .concat();
        run(around.path(), &arguments)
    };
    let read = |path: &str| std::fs::read_to_string(around.path().join("out").join(path)).expect(path);
    let none = print(&["--changed"]);
    assert!(
        super::said(&none).contains("There is no print before this one")
            && !around.path().join("out/pipit-seat.numbers").exists(),
        "{}",
        err(&none)
    );
    let first = print(&[]);
    assert_eq!(status(&first), 0, "{}", err(&first));
    let numbers = read("pipit-seat.numbers");
    assert!(
        numbers.contains("step 1.2 seat-out") && numbers.contains("bag 1 battery-earth"),
        "{numbers}"
    );
    assert!(!read("pipit-seat/binder.md").contains("What changed"));
    let again = print(&["--changed"]);
    assert!(
        super::said(&again).contains("Nothing changed since the print before"),
        "{}",
        err(&again)
    );

    // A step between two others, and another torque.
    let text = super::starter()
        .replace(
            "step weigh-old",
            "step look-below \"Look below the seat\"; by tom; look \"No rust\"\nstep weigh-old",
        )
        .replace("torque 45 N m", "torque 47 N m");
    write(&around.path().join("ouzel/plan.boltplan"), &text);
    let second = print(&[]);
    assert_eq!(status(&second), 0, "{}", err(&second));
    let binder = read("pipit-seat/binder.md");
    assert!(binder.contains("### 1.2a Look below the seat"), "{binder}");
    assert!(binder.contains("### 1.3 What did it weigh?"), "{binder}");
    let changes = binder
        .split("## What changed")
        .nth(1)
        .and_then(|rest| rest.split("\n## ").next())
        .expect("the page");
    for row in ["1.2a", "2.1", "Torque"] {
        assert!(changes.contains(row), "{row}: {changes}");
    }
    assert!(!changes.contains("1.1"), "{changes}");
    let numbers = read("pipit-seat.numbers");
    assert!(
        numbers.contains("step 1.2a look-below") && numbers.contains("step 1.3 weigh-old"),
        "{numbers}"
    );

    let cut = print(&["--changed"]);
    assert_eq!(status(&cut), 0, "{}", err(&cut));
    let cut = read("pipit-seat-changed/binder.md");
    assert!(
        cut.contains("### 1.2a") && cut.contains("### 2.1") && !cut.contains("### 1.1 "),
        "{cut}"
    );
    // Once more: the same bytes, and the same news.
    let third = print(&[]);
    assert_eq!(status(&third), 0);
    assert_eq!(read("pipit-seat/binder.md"), binder);
}

#[test]
fn labels_are_printed_for_bags_and_cards_name_them() {
    let around = plan(&super::starter());
    let output = run(
        around.path(),
        &["print", "ouzel", "--form", "labels,markdown", "--to", "out"],
    );
    assert_eq!(status(&output), 0, "{}", err(&output));
    assert!(
        out(&output).contains("2 labels on 1 sheet, print at 100 %"),
        "{}",
        out(&output)
    );
    let binder = std::fs::read_to_string(around.path().join("out/pipit-seat/binder.md")).expect("there");
    assert!(binder.contains("bag\u{a0}**2**"), "{binder}");
    let pdf = std::fs::read(around.path().join("out/pipit-seat-labels.pdf")).expect("there");
    assert!(pdf.starts_with(b"%PDF"));
}

/// A JPEG of a camera's kind: an Exif block that turns it a quarter and names a place.
fn photograph() -> Vec<u8> {
    let image = image::RgbImage::from_fn(320, 160, |x, y| {
        image::Rgb([(x % 256) as u8, (y % 256) as u8, 90])
    });
    let mut plain = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut plain, 90)
        .encode_image(&image)
        .expect("packed");
    let mut exif: Vec<u8> =
        b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0".to_vec();
    exif.extend(b"51.4778 N, 0.0014 W");
    let (start, rest) = plain.split_at(2);
    let mut bytes = start.to_vec();
    bytes.extend([0xff, 0xe1]);
    bytes.extend(u16::try_from(exif.len() + 2).expect("short").to_be_bytes());
    bytes.extend(&exif);
    bytes.extend(rest);
    bytes
}

#[test]
fn what_a_camera_wrote_beside_a_photograph_reaches_no_page() {
    let text = super::starter().replace(
        "  photograph heater-wiring",
        "  figure \"seat.jpg\" \"The seat as it was\" \"A seat on its rails, from the door\"\n  photograph heater-wiring",
    );
    let around = plan(&text);
    let bytes = photograph();
    let place = b"51.4778";
    assert!(bytes.windows(place.len()).any(|part| part == place), "planted");
    std::fs::write(around.path().join("ouzel/seat.jpg"), &bytes).expect("written");
    let output = run(
        around.path(),
        &["print", "ouzel", "--to", "out", "--form", "pdf,markdown"],
    );
    assert_eq!(status(&output), 0, "{}", err(&output));
    let mut pictures = 0;
    for entry in std::fs::read_dir(around.path().join("out/pipit-seat/pictures")).expect("the folder") {
        let printed = std::fs::read(entry.expect("an entry").path()).expect("a file");
        pictures += usize::from(printed.starts_with(b"\xff\xd8"));
        assert!(!printed.windows(place.len()).any(|part| part == place));
    }
    assert_eq!(pictures, 1);
    let pdf = std::fs::read(around.path().join("out/pipit-seat.pdf")).expect("a PDF");
    assert!(
        pdf.windows(9).any(|part| part == b"DCTDecode"),
        "the photograph is in it"
    );
    assert!(!pdf.windows(place.len()).any(|part| part == place));
    // A photograph that was copied in part is told, with its line.
    std::fs::write(around.path().join("ouzel/seat.jpg"), &bytes[..bytes.len() / 2]).expect("written");
    let cut = run(around.path(), &["lint", "ouzel"]);
    assert!(
        out(&cut).contains("seat.jpg\" cannot be printed: it ends too early"),
        "{}",
        out(&cut)
    );
}

#[test]
fn data_is_written_beside_the_binder() {
    let around = plan(&super::starter());
    let output = run(
        around.path(),
        &["print", "ouzel", "--to", "out", "--form", "data"],
    );
    assert_eq!(status(&output), 0, "{}", err(&output));
    let read =
        |name: &str| std::fs::read_to_string(around.path().join("out/pipit-seat").join(name)).expect(name);
    assert!(read("plan.json").contains("\"bucket-bolts\""));
    assert!(
        read("torque-table.csv").contains("bucket-bolts")
            || read("torque-table.csv").contains("Bucket bolts")
    );
    assert!(read("mass-account.csv").lines().count() > 1);
}
