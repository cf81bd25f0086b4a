//! `worth`, `money` and `lint --without`: what is asked about swaps and money, and what cannot be answered.

use super::{err, out, program, project, refused, run, run_with_input, status};

const SISKIN: &str = "specs/siskin-choices";

#[test]
fn what_do_i_do_with_five_hundred_and_two_weekends() {
    let asked = run(
        &project(),
        &["worth", SISKIN, "--spend", "500 GBP", "--hours", "12 h"],
    );
    assert_eq!(status(&asked), 0, "{}", err(&asked));
    let text = out(&asked);
    for part in [
        "500 GBP to spend.",
        "12 h of work.",
        "Target: save 35 kg.",
        "Most kg off for 500 GBP in 12 h:",
        "set H: sprung seat for a bucket (2); lead battery for a small one (4);",
        "2 weekends, 12 h",
        "500 GBP",
        "H 38.1",
        "over the class minimum",
        "front axle",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    // The same every time, and in a narrow terminal.
    let again = out(&run(
        &project(),
        &["worth", SISKIN, "--spend", "500", "--hours", "12"],
    ));
    assert_eq!(again, text);
    let mut narrow = program(&project());
    narrow.env("COLUMNS", "60").args(["worth", SISKIN]);
    let output = narrow.output().expect("the program starts");
    for line in out(&output).lines() {
        assert!(line.chars().count() <= 60, "{line}");
    }
    // In another currency, by the plan's rate: 581.40 EUR are 500 GBP.
    let euros = out(&run(
        &project(),
        &["worth", SISKIN, "--spend", "581.40 eur", "--hours", "12"],
    ));
    assert_eq!(euros, text);
}

#[test]
fn what_worth_cannot_answer() {
    for (spend, sentence) in [
        ("much", "a sum is written such as 500"),
        ("-5", "a sum is written such as 500"),
        ("5 POUNDS", "a sum is written such as 500"),
        ("5.001", "a sum is written such as 500"),
    ] {
        let asked = run(&project(), &["worth", SISKIN, &format!("--spend={spend}")]);
        assert_eq!(status(&asked), 2);
        assert!(err(&asked).contains(sentence), "{spend}: {}", err(&asked));
    }
    let told = refused(&run(&project(), &["worth", SISKIN, "--spend", "5 USD"]));
    assert!(told.contains("it gives no rate for USD"), "{told}");
    let told = refused(&run(&project(), &["worth", "specs/starter"]));
    assert!(told.contains("No swap of the plan is optional"), "{told}");
    let told = refused(&run_with_input(
        &project(),
        &["worth", "-"],
        b"plan p \"P\"\nstep s \"S\"; undo nothing\n",
    ));
    assert!(told.contains("lint tells which"), "{told}");
}

#[test]
fn the_account_on_a_terminal() {
    let asked = run(&project(), &["money", SISKIN]);
    assert_eq!(status(&asked), 0, "{}", err(&asked));
    let text = out(&asked);
    for part in [
        "950 GBP",
        "295 GBP",
        "679.96 GBP",
        "[x] Rear silencer, thin-walled",
        "[ ] Battery, small",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let mut narrow = program(&project());
    narrow.env("COLUMNS", "50").args(["money", SISKIN]);
    for line in out(&narrow.output().expect("the program starts")).lines() {
        assert!(line.chars().count() <= 50, "{line}");
    }
    let told = refused(&run(&project(), &["money", "specs/starter"]));
    assert!(told.contains("The plan gives no sum of money."), "{told}");
}

#[test]
fn linted_without_some_swaps() {
    for swaps in [
        "glass-swap",
        "battery-swap,spare-swap",
        "deadening-swap",
        "exhaust-swap, glass-swap",
    ] {
        let linted = run(&project(), &["lint", SISKIN, "--without", swaps]);
        assert_eq!(status(&linted), 0, "{}{}", out(&linted), err(&linted));
    }
    let linted = run(&project(), &["lint", SISKIN, "--without", "seat-swap"]);
    assert_eq!(status(&linted), 0, "{}", out(&linted));
    assert!(
        err(&linted).contains("With it goes deadening-swap, which needs it."),
        "{}",
        err(&linted)
    );
    let told = refused(&run(&project(), &["lint", SISKIN, "--without", "glas-swap"]));
    assert!(
        told.contains("No swap of the plan is called glas-swap. Perhaps glass-swap?"),
        "{told}"
    );
    // None of the demonstration's swaps can be left out as its plan stands: they go together.
    for swap in [
        "frame-for-frame",
        "arms-for-arms",
        "rack-for-rack",
        "gas-for-idler",
    ] {
        let linted = run(&project(), &["lint", "specs/ouzel-front", "--without", swap]);
        assert_eq!(status(&linted), 1, "{}", out(&linted));
    }
    let begun = "plan wren-lamp \"Wren 900: lamp\"; for wren
vehicle wren \"Wren 900\"; body shell
person ada \"Ada\"
part lamp \"Lamp\"; mass 1 kg quoted
part led \"LED\"; in place of lamp; mass 0.4 kg quoted
joint lamp-screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint led-screws: led to shell; in place of lamp-screws; same as lamp-screws
swap lighter-lamp \"Lamp\"; comes off lamp; goes on led; optional
step lamp-off \"Lamp off\"; undo lamp-screws; take off lamp
step led-on \"LED on\"; fit led; start led-screws; tighten led-screws
log lamp-off; done 2026-03-02 by ada
";
    let told = refused(&run_with_input(
        &project(),
        &["lint", "-", "--without", "lighter-lamp"],
        begun.as_bytes(),
    ));
    assert!(
        told.contains("lighter-lamp cannot be left out: by the log its step lamp-off is over"),
        "{told}"
    );
}
