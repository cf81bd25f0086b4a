//! Pictures and letters that cannot be printed, asked of the real program in a narrow terminal: each is told with its line, before
//! anything is written.

use std::path::Path;
use std::process::Stdio;

use super::{out, plan, program, run, said, status, write};

/// The starter with a figure in it, and the file beside it.
fn with_figure(name: &str, bytes: &[u8]) -> tempfile::TempDir {
    let text = super::starter().replace(
        "  photograph heater-wiring",
        &format!("  figure \"{name}\" \"The seat\" \"A seat on its rails\"\n  photograph heater-wiring"),
    );
    assert!(text.contains(name), "the starter photographs the wiring");
    let around = plan(&text);
    write(&around.path().join("ouzel").join(name), bytes);
    around
}

/// What `print` says of it at 50 columns, as one line; nothing may be written and no line may be wider, but those of the plan itself.
fn told(folder: &Path) -> String {
    let output = program(folder)
        .env("COLUMNS", "50")
        .args(["print", "ouzel", "--to", "out"])
        .stdin(Stdio::null())
        .output()
        .expect("the program starts");
    let said = String::from_utf8(output.stderr.clone()).expect("UTF-8");
    assert!(matches!(status(&output), 1 | 2), "{said}");
    assert!(!folder.join("out").exists(), "{said}");
    for line in said.lines() {
        assert!(line.chars().count() <= 50, "{line:?} in {said}");
    }
    for word in ["panicked", "LoadError", "Some(", "RUST_BACKTRACE"] {
        assert!(!said.contains(word), "{said}");
    }
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    image::DynamicImage::new_rgb8(width, height)
        .write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Png)
        .expect("packed");
    bytes
}

#[test]
fn what_no_page_can_show_is_told_with_its_line() {
    let svg = |inside: &str| {
        format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100\" height=\"50\">{inside}</svg>")
            .into_bytes()
    };
    let bomb = b"<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]><svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><text>&b;</text></svg>";
    let cut = png(400, 300);
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("cut.png", cut[..cut.len() / 2].to_vec(), "ends too early"),
        ("script.svg", svg("<script>a()</script>"), "it holds a script"),
        (
            "outside.svg",
            svg("<image href=\"https://a.example/b.png\"/>"),
            "something outside itself",
        ),
        ("bomb.svg", bomb.to_vec(), "declares entities"),
        (
            "deep.svg",
            svg(&format!("{}{}", "<g>".repeat(200_000), "</g>".repeat(200_000))),
            "nests or repeats",
        ),
        ("torn.svg", svg("<g>"), "no whole drawing"),
        (
            "letters.svg",
            svg("<text>\u{6F22}\u{5E9}</text>"),
            "no letter for \u{6F22} (U+6F22), \u{5E9} (U+05E9)",
        ),
        ("text.png", b"no picture at all".to_vec(), "no PNG, JPEG or SVG"),
    ];
    for (name, bytes, why) in cases {
        let around = with_figure(name, &bytes);
        let told = told(around.path());
        assert!(told.contains(why), "{name}: {told}");
        assert!(
            told.contains("missing-figure") && told.contains("plan.boltplan:"),
            "{name}: {told}"
        );
        assert!(told.contains("Nothing was printed"), "{name}: {told}");
    }
}

/// Damage that shows only when a photograph is unpacked, which is done for print alone.
#[test]
fn damage_inside_a_photograph_is_told_with_its_line() {
    let mut bytes = png(400, 300);
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x55;
    let around = with_figure("damaged.png", &bytes);
    let told = told(around.path());
    assert!(
        told.contains("damaged.png\" cannot be printed: it cannot be unpacked"),
        "{told}"
    );
    assert!(told.contains("ouzel/plan.boltplan:26: "), "{told}");
    assert!(told.ends_with("Nothing was printed."), "{told}");
}

#[test]
fn letters_that_paper_lacks_are_told_wherever_they_stand() {
    let starter = super::starter();
    let places = [
        ("Pipit 1100: a bucket seat", "Pipit 1100: \u{6F22}\u{5B57}"),
        ("Old seat out", "\u{5D4}\u{5DB}\u{5D9}\u{5E1}\u{5D0} out"),
        (
            "Seat out, onto the bench",
            "\u{627}\u{644}\u{645}\u{642}\u{639}\u{62F}",
        ),
        ("Out with the sprung seat", "\u{1F527} Out"),
        ("Goggles on", "\u{6F22}"),
        ("Seat right forward", "\u{6F22}"),
        ("Taped up", "\u{6F22}"),
        ("\"Ada\"", "\"\u{963F}\u{8FBE}\""),
    ];
    for (of, with) in places {
        assert!(starter.contains(of), "{of}");
        let around = plan(&starter.replace(of, with));
        let told = told(around.path());
        assert!(
            told.contains("letters-lacking") && told.contains("the binder has no letter for"),
            "{with}: {told}"
        );
    }
    // A comment is not printed, and a caption and the words for who cannot see a picture are texts like others.
    let around = plan(&format!("# \u{6F22}\u{5B57}\n{starter}"));
    assert_eq!(status(&run(around.path(), &["lint", "ouzel"])), 0);
    let figure = "  figure \"a.svg\" \"\u{6F22}\" \"\u{5B57}\"\n  photograph heater-wiring";
    let around = plan(&starter.replace("  photograph heater-wiring", figure));
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"/>";
    write(&around.path().join("ouzel/a.svg"), drawing);
    assert!(told(around.path()).contains("U+6F22), \u{5B57} (U+5B57)"));
    // Unchecked, every form is made all the same.
    let arguments = [
        "print",
        "ouzel",
        "--unchecked",
        "--to",
        "out",
        "--form",
        "pdf,markdown,labels,data",
    ];
    let output = run(around.path(), &arguments);
    assert_eq!(status(&output), 1, "{}", said(&output));
    assert!(
        said(&output).contains("the page shows a sign for a missing letter"),
        "{}",
        said(&output)
    );
    assert!(out(&output).contains("pipit-seat.pdf"), "{}", out(&output));
}

/// A name of a file is no text on paper: it may hold any letter.
#[test]
fn a_file_may_be_named_in_any_letters() {
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><rect width=\"5\" height=\"5\"/></svg>";
    let around = with_figure("\u{6F22} \u{5E9}.svg", drawing.as_bytes());
    let output = run(
        around.path(),
        &["print", "ouzel", "--to", "out", "--form", "pdf,markdown"],
    );
    assert_eq!(status(&output), 0, "{}", said(&output));
}

/// The same plan gives the same bytes, run after run, on one thread and on two.
#[test]
fn threads_and_repetition_change_no_byte() {
    let around = plan(&super::starter());
    let mut first = None;
    for turn in 0..10 {
        let to = format!("out-{turn}");
        let output = program(around.path())
            .env("RAYON_NUM_THREADS", if turn % 2 == 0 { "1" } else { "2" })
            .args([
                "print",
                "ouzel",
                "--dated",
                "2026-04-11",
                "--form",
                "pdf,markdown,labels,data",
                "--to",
                &to,
            ])
            .stdin(Stdio::null())
            .output()
            .expect("the program starts");
        assert_eq!(status(&output), 0, "{}", said(&output));
        let files = super::print::files(&around.path().join(&to));
        assert!(files.len() > 6, "{}", files.len());
        match &first {
            None => first = Some(files),
            Some(known) => assert!(*known == files, "turn {turn}"),
        }
    }
}
