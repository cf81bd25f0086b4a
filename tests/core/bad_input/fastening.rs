//! Fastening, tools and hazards: what does not exist, does not belong, is said twice, or is hidden in prose.

use super::lines;
use crate::support::{compile_text, told};
use boltfolio_core::compile::Compilation;

/// A plan around one joint line and the acts of one step.
fn job(joint: &str, more: &str, acts: &str) -> Compilation {
    compile_text(&format!(
        "plan rail-job \"Wren 900: rail\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\n\
         part rail; mass 3 kg quoted\njoint rail-bolts: rail to shell; {joint}\n{more}step rail-round \"Rail off and on\"\n  by ada\n{acts}"
    ))
}

const ROUND: &str = "  undo rail-bolts\n  start rail-bolts\n  tighten rail-bolts\n";

fn rules(compilation: &Compilation) -> Vec<&'static str> {
    lines(compilation).into_iter().map(|(rule, _)| rule).collect()
}

#[test]
fn threads_and_pitches_that_do_not_exist() {
    for (thread, what) in [
        ("M13x1.75", "M12 or M14"),
        ("M10x1.75", "M10x1.5"),
        ("M10x9", "M10x1.5"),
        ("M999x9", ""),
        ("M8x0.01", "M8x1.25"),
        ("M13", "M12 or M14"),
        ("7/19-16", ""),
        ("3/8-22", "3/8-16 or 3/8-24"),
        ("3/8-4000000000", "3/8-16"),
        ("9999-1", ""),
        ("M123456789012345", ""),
    ] {
        let compilation = job(&format!("bolts 4 x {thread} class 8.8; torque 20 N m"), "", ROUND);
        assert_eq!(
            rules(&compilation),
            ["unknown-thread"],
            "{thread}: {:?}",
            told(&compilation)
        );
        assert!(
            compilation.findings[0].mend.words.contains(what),
            "{}",
            compilation.findings[0].mend.words
        );
    }
    // Threads beyond the table, and pipe threads of a line, are left alone.
    let beyond = job("bolts 4 x M72x6.0; torque 20 N m", "", ROUND);
    assert_eq!(rules(&beyond), [""; 0], "{:?}", told(&beyond));
}

#[test]
fn classes_that_do_not_belong() {
    for (fixing, found) in [
        ("bolts 4 x M8x1.25 class A2-70", false),
        ("bolts 4 x M8x1.25 class A4-80", false),
        ("bolts 4 x M8x1.25 class A2", true),
        ("bolts 4 x M8x1.25 class 70", true),
        ("bolts 4 x M8x1.25 class 8", true),
        ("bolts 4 x M8x1.25 grade 5", true),
        ("bolts 4 x M8x1.25 class 9.9", true),
        ("nuts 4 x M8x1.25 class 8", false),
        ("nuts 4 x M8x1.25 class 10.9", false),
        ("nuts 4 x M8x1.25 class 7", true),
        ("bolts 4 x 3/8-16 grade 5", false),
        ("bolts 4 x 3/8-16 grade 6", true),
        ("bolts 4 x 3/8-16 class 8.8", false),
    ] {
        let compilation = job(
            fixing,
            "",
            "  undo rail-bolts\n  start rail-bolts\n  tighten rail-bolts\n",
        );
        let expected: &[&str] = if found { &["unknown-class"] } else { &[] };
        assert_eq!(
            rules(&compilation),
            expected,
            "{fixing}: {:?}",
            told(&compilation)
        );
    }
    // A class that its standard does not make so thick: no verdict, and no finding.
    let thick = job("bolts 4 x M42x4.5 class 10.9; torque 9000 N m", "", ROUND);
    assert_eq!(rules(&thick), [""; 0], "{:?}", told(&thick));
}

#[test]
fn a_torque_on_what_only_rests() {
    for kind in [
        "pin",
        "plug",
        "press fit",
        "dowel; engaged 10 mm",
        "spigot; engaged 10 mm",
    ] {
        let compilation = job(
            &format!("{kind}; torque 20 N m"),
            "",
            "  look \"It is there\"\n  mark rail-bolts\n",
        );
        assert_eq!(
            rules(&compilation),
            ["nothing-to-turn"],
            "{kind}: {:?}",
            told(&compilation)
        );
    }
}

#[test]
fn figures_that_no_joint_has() {
    // No fixing, a drive without a size, a friction the wrong way round, a torque of nothing, an angle alone.
    for (joint, rule) in [
        ("bolts 0 x M8x1.25", "unreadable-line"),
        ("bolts 4 x M8x1.25; head", "unreadable-line"),
        ("bolts 4 x M8x1.25; key", "unreadable-line"),
        ("bolts 4 x M8x1.25; hexalobular", "unreadable-line"),
        ("bolts 4 x M8x1.25; head 13", "bare-number"),
        ("bolts 4 x M8x1.25; torque then 90 deg", "unreadable-line"),
    ] {
        let compilation = job(joint, "", ROUND);
        assert!(
            rules(&compilation).contains(&rule),
            "{joint}: {:?}",
            told(&compilation)
        );
    }
    for (joint, rule) in [
        (
            "bolts 4 x M8x1.25 class 8.8; torque 20 N m; friction 0.14 to 0.10",
            "no-such-friction",
        ),
        (
            "bolts 4 x M8x1.25 class 8.8; torque 20 N m; friction 0.0 to 9.9",
            "no-such-friction",
        ),
        (
            "bolts 4 x M8x1.25 class 8.8; torque 20 N m (30 to 10)",
            "torque-at-odds",
        ),
        (
            "bolts 4 x M8x1.25 class 8.8; torque 20 N m in stages 15 N m, 10 N m, 20 N m",
            "torque-at-odds",
        ),
        (
            "bolts 4 x M8x1.25 class 8.8; torque 20 N m in stages 5 N m, 22 N m",
            "torque-at-odds",
        ),
    ] {
        let compilation = job(joint, "", ROUND);
        assert_eq!(rules(&compilation), [rule], "{joint}: {:?}", told(&compilation));
    }
    for joint in [
        "bolts 4 x M8x1.25 class 8.8; torque 0 N m",
        "bolts 4 x M8x1.25 class 8.8; torque 20 N m in stages 90 N m, 1 N m",
        "bolts 10000 x M8x1.25 class 8.8; torque 99999999 N m; head 0 mm",
        "bolts 4 x M8x1.25 class 8.8; engagement 0 mm; torque 20 N m",
        "hexalobular T99999999999; bolts 4 x M8x1.25",
        "hexalobular É; bolts 4 x M8x1.25",
    ] {
        // Whatever is told, nothing panics.
        let _ = told(&job(joint, "", ROUND));
    }
}

#[test]
fn a_kit_that_says_things_twice() {
    let twice = "kit board; has mirror, mirror; sockets 16 mm, 16 mm, 13 mm; spanners 13 mm; keys 5 mm, 5 mm; hexalobular T30, T30\ntool mirror\n";
    let one = job(
        "bolts 4 x M8x1.25 class 8.8; head 13 mm; nut head 13 mm; torque 22 N m",
        twice,
        ROUND,
    );
    assert_eq!(rules(&one), [""; 0], "{:?}", told(&one));
    // One size said twice is not two of it: head and nut want two.
    let two = job(
        "bolts 4 x M10x1.5 class 8.8; head 16 mm; nut head 16 mm; torque 45 N m",
        twice,
        ROUND,
    );
    assert_eq!(rules(&two), ["not-in-kit"], "{:?}", told(&two));
    assert!(
        two.findings[0].what.contains("two of 16 mm"),
        "{}",
        two.findings[0].what
    );
}

#[test]
fn a_caution_with_an_unknown_word() {
    let caution =
        "caution odd \"Odd\"; signal attention; harm \"Cut hands.\"; avoid \"Gloves on.\"; against sharp\n";
    let compilation = job(
        "bolts 4 x M8x1.25",
        caution,
        "  caution odd\n  undo rail-bolts\n  start rail-bolts\n",
    );
    assert!(
        rules(&compilation).contains(&"unreadable-line"),
        "{:?}",
        told(&compilation)
    );
    let caution =
        "caution odd \"Odd\"; signal caution; harm \"Cut hands.\"; avoid \"Gloves on.\"; against bad-luck\n";
    let compilation = job(
        "bolts 4 x M8x1.25",
        caution,
        "  caution odd\n  undo rail-bolts\n  start rail-bolts\n",
    );
    assert!(
        rules(&compilation).contains(&"unreadable-line"),
        "{:?}",
        told(&compilation)
    );
}

#[test]
fn licensed_work_hidden_in_prose() {
    for prose in [
        "note Vent the refrigerant through the low port.",
        "note Rail first. Then unbolt the airbag and lay it on the seat.",
        "look \"Weld the bracket to the sill\"",
        "note\n    Disconnect the high-voltage traction battery.",
    ] {
        let compilation = job(
            "bolts 4 x M8x1.25",
            "",
            &format!("  {prose}\n  undo rail-bolts\n  start rail-bolts\n  tighten rail-bolts\n"),
        );
        assert_eq!(
            rules(&compilation),
            ["licensed-work"],
            "{prose}: {:?}",
            told(&compilation)
        );
        // It says who is wanted, and nothing of how.
        let finding = &compilation.findings[0];
        let said = format!("{} {}", finding.mend.words, finding.harm);
        assert!(
            ["valve", "wait", "port", "plug", "first"]
                .iter()
                .all(|how| !said.contains(how)),
            "{said}"
        );
    }
    for remark in [
        "note Do not vent the refrigerant.",
        "note Odo's firm recovered the refrigerant last week.",
        "look \"The airbag lamp goes out\"",
        "note That is a job for a coded welder.",
    ] {
        let compilation = job(
            "bolts 4 x M8x1.25",
            "",
            &format!("  {remark}\n  undo rail-bolts\n  start rail-bolts\n  tighten rail-bolts\n"),
        );
        assert_eq!(rules(&compilation), [""; 0], "{remark}: {:?}", told(&compilation));
    }
}
