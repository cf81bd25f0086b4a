//! `new DIR --from LIST.csv`: a rough plan from a list as spreadsheets save it, and what is said of lists that cannot be read. The lists are
//! invented.

use std::fs;

use super::support::{compile_text, told};
use super::{err, out, plan, refused, run, run_with_input, said, status, write};
use boltfolio::base::finding::Severity;
use boltfolio::compile::Compilation;
use boltfolio::syntax::tidy::tidied;

/// The plan that a list makes.
fn made(list: &str) -> (String, Compilation) {
    let around = tempfile::tempdir().expect("a folder");
    write(&around.path().join("list.csv"), list);
    let done = run(around.path(), &["new", "my-car", "--from", "list.csv"]);
    assert_eq!(status(&done), 0, "{list}: {}", err(&done));
    assert_eq!(out(&done), "my-car/plan.boltplan\n");
    let text = fs::read_to_string(around.path().join("my-car/plan.boltplan")).expect("written");
    assert_eq!(tidied(&text), text, "it is tidy");
    let done = compile_text(&text);
    (text, done)
}

/// Questions, and no fault.
#[track_caller]
fn asks(list: &str) -> String {
    let (text, done) = made(list);
    assert!(
        done.findings.iter().all(|found| found.severity < Severity::Fault),
        "{text}\n{:#?}",
        told(&done)
    );
    assert!(!done.unwalked, "{text}");
    text
}

#[test]
fn a_list_becomes_a_plan_that_asks() {
    let text = asks(
        "Name,Mass (kg),Cost GBP,Place,Off or on\nDriver's seat,15.2,,shelf 2,off\nBucket seat,6.4,249,,on\nDoor card left,,,,\n\"Carpet, rear\",7,,bin,off\n",
    );
    for line in [
        "plan my-car \"my-car\"",
        "part drivers-seat \"Driver's seat\"; mass 15.2 kg; afterwards stays off; goes to \"shelf 2\"",
        "part bucket-seat \"Bucket seat\"; mass 6.4 kg; cost 249 GBP; new",
        "part door-card-left \"Door card left\"",
        "part carpet-rear \"Carpet, rear\"; mass 7 kg; afterwards stays off; goes to \"bin\"",
        "joint door-card-left-fixings: door-card-left to shell; carries; torque to come",
        "stage together \"Back together\" reverses strip",
        "  reads door-card-left to come",
        "  comes off drivers-seat, carpet-rear",
        "  goes on bucket-seat",
    ] {
        assert!(text.lines().any(|other| other == line), "{line}\n{text}");
    }
    assert_eq!(text.matches("\nstep ").count(), 4, "{text}");
    let (text, done) = made("name;mass kg\nSeat;15\nLamp;\n");
    // Nothing of it is proved as long as the torques are to come: they are asked for.
    let rules: Vec<&str> = done.findings.iter().map(|found| found.rule.name).collect();
    assert!(rules.contains(&"torque-to-come"), "{rules:?}\n{text}");
    assert!(
        done.findings.iter().all(|found| found.severity < Severity::Fault),
        "{:#?}",
        told(&done)
    );
}

/// The load constant of the NIOSH lifting equation (1991) is 23 kg: what is heavier is nobody's to hold.
#[test]
fn what_is_heavy_is_held_by_a_rig() {
    let text =
        asks("name;mass kg;off or on\nEngine;142;\nGearbox;38;off\nNew box;31;on\nSeat;23;\nBonnet;55 lb;\n");
    for (part, by) in [
        ("engine", "with hoist"),
        ("gearbox", "with hoist"),
        ("new-box", "with hoist"),
        ("bonnet", "with hoist"),
        ("seat", "by helper"),
    ] {
        assert!(text.contains(&format!("hold {part} {by};")), "{part}: {text}");
    }
    assert!(!asks("name;mass kg\nSeat;23\n").contains("hoist"));
}

#[test]
fn lists_as_spreadsheets_save_them() {
    for list in [
        "name;mass kg\nSeat;12,5\n",
        "\u{feff}Part\tWeight (kg)\r\nSeat\t12,5\r\n",
        "sep=;\nitem;weight\nSeat;12.5 kg\n",
        "\n name , Mass [kg] \n Seat ,\"12,5\"\n\n",
        "name;kg;colour\nSeat;12,5;red\n",
        "name;mass\n\"Seat\";\"12,5kg\"\n",
    ] {
        let text = asks(list);
        assert!(
            text.contains("part seat \"Seat\"; mass 12.5 kg\n"),
            "{list:?}\n{text}"
        );
    }
    for (cell, mass) in [
        ("1.234,5", "1234.5 kg"),
        ("1,234.5", "1234.5 kg"),
        ("0,125", "0.125 kg"),
        ("1 200", "1200 kg"),
        ("27 lbs", "27 lb"),
        ("450 g", "450 g"),
    ] {
        let text = asks(&format!("name;mass kg\nSeat;{cell}\n"));
        assert!(text.contains(&format!("mass {mass}\n")), "{cell}: {text}");
    }
    for (head, cell, cost) in [
        ("price", "£30", "30 GBP"),
        ("cost (EUR)", "1.200,50", "1200.50 EUR"),
        ("cost £", "30", "30 GBP"),
        ("cost", "12 usd", "12 USD"),
    ] {
        let text = asks(&format!("name;{head};mass kg\nSeat;{cell};5\n"));
        assert!(text.contains(&format!("cost {cost}\n")), "{head} {cell}: {text}");
    }
    // What is not known is asked, and nothing weighs nothing.
    for cell in ["", "?", "0", "to come", "n/a"] {
        assert!(
            asks(&format!("name;mass kg\nSeat;{cell}\n")).contains("reads seat to come"),
            "{cell}"
        );
    }
}

#[test]
fn names_that_the_language_keeps_for_itself() {
    let text = asks("name\nShell\nFront\n2 in 1\nDoor (left)\nÖl-Wanne\nfloor\nowner\nmy car\n");
    for name in [
        "part-shell",
        "part-front",
        "part-2-in-1",
        "door-left",
        "öl-wanne",
        "part-floor",
        "part-owner",
        "my-car",
    ] {
        assert!(text.contains(&format!("part {name} ")), "{name}: {text}");
    }
    let text = asks(&format!("name\n{}\nWheel 15\" alloy\n", "Long ".repeat(30)));
    assert!(text.contains("\"Wheel 15” alloy\""), "{text}");
}

#[track_caller]
fn refuses(list: impl AsRef<[u8]>, words: &[&str]) {
    let around = tempfile::tempdir().expect("a folder");
    write(&around.path().join("list.csv"), list);
    let told = refused(&run(around.path(), &["new", "my-car", "--from", "list.csv"]));
    for word in words.iter().chain(&["Nothing was written."]) {
        assert!(told.contains(word), "{word}: {told}");
    }
    assert!(!around.path().join("my-car").exists());
}

#[test]
fn bad_lists_get_a_sentence_with_the_line() {
    refuses("", &["list.csv is empty"]);
    refuses("\n\n  \n", &["list.csv is empty"]);
    refuses("name;mass kg\n", &["no row below them"]);
    refuses(
        "colour;mass kg\nred;5\n",
        &[
            "list.csv:1 has no head that says where names stand",
            "colour, mass kg",
        ],
    );
    refuses(
        "name;mass kg;weight\nSeat;5;5\n",
        &["list.csv:1 has two heads for one thing"],
    );
    refuses(
        "name;mass kg\nSeat;5\n\nLamp;1\nseat;6\n",
        &["list.csv:5 has \"seat\", which line 2 has already"],
    );
    refuses(
        "name;mass kg\nSeat;5\nLamp;-1,5\n",
        &["list.csv:3 has \"-1,5\"", "less than nothing"],
    );
    refuses(
        "name;mass kg\nSeat;heavy\n",
        &["list.csv:2 has \"heavy\", where a figure is expected"],
    );
    refuses(
        "name;mass\nSeat;5\n",
        &["list.csv:2 has \"5\" and no unit", "mass kg or mass lb"],
    );
    refuses("name;mass\nSeat;5 stone\n", &["\"stone\" is no unit of mass"]);
    refuses(
        "name;mass kg\nSeat;1,234\n",
        &["1.234 to some and 1234 to others"],
    );
    refuses("name;cost\nSeat;$5\n", &["no currency that is one alone"]);
    refuses(
        "name;off or on\nSeat;sideways\n",
        &["list.csv:2 says \"sideways\""],
    );
    refuses("name;mass kg\n;5\n", &["list.csv:2 has no name"]);
    refuses(
        "name,mass kg\nSeat, left,5,6\n",
        &["list.csv:2 has more cells than there are heads"],
    );
    refuses(
        "name;mass kg\n\"Seat;5\nLamp;1\n",
        &["list.csv:2 has a cell that goes over several lines"],
    );
    refuses(
        "name\nSe\u{202e}at\n",
        &["list.csv:2 has what the binder cannot print"],
    );
    refuses("name\n座席\n", &["list.csv:2 has what the binder cannot print"]);
    refuses(b"name\nSeat\nT\xfcr\n", &["list.csv:3 is not UTF-8", "CSV UTF-8"]);
}

#[test]
fn files_that_are_not_there_and_folders_with_a_plan() {
    let around = plan("# here\n");
    let told = refused(&run(around.path(), &["new", "my-car", "--from", "nowhere.csv"]));
    assert!(
        told.contains("nowhere.csv cannot be read: there is no such file"),
        "{told}"
    );
    write(&around.path().join("list.csv"), "name\nSeat\n");
    let told = refused(&run(around.path(), &["new", "ouzel", "--from", "list.csv"]));
    assert!(told.contains("has a plan already"), "{told}");
    let done = run_with_input(
        around.path(),
        &["new", "my-car", "--from", "-"],
        b"name;mass kg\nSeat;5\n",
    );
    assert_eq!(status(&done), 0, "{}", err(&done));
    assert!(
        said(&done)
            .starts_with("1 part, its joint with its torque to come, and the steps. Every part has a mass."),
        "{}",
        said(&done)
    );
}

#[test]
fn ten_thousand_rows() {
    let rows: String = (1..=10_000).map(|n| format!("Part {n};{n},5\n")).collect();
    let around = tempfile::tempdir().expect("a folder");
    write(&around.path().join("list.csv"), format!("name;mass kg\n{rows}"));
    let done = run(around.path(), &["new", "my-car", "--from", "list.csv"]);
    assert_eq!(status(&done), 0, "{}", err(&done));
    assert!(said(&done).starts_with("10000 parts"), "{}", said(&done));
    let text = fs::read_to_string(around.path().join("my-car/plan.boltplan")).expect("written");
    assert!(text.contains("part part-10000 \"Part 10000\"; mass 10000.5 kg\n"));
}
