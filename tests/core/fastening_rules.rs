//! What the rules of fastening, tools and hazards say, and where they give no verdict. The pages of the rules hold one plan each; here
//! stand the sums that findings print, and the cases beside the one on the page.

use crate::support::{compile_text, told};
use boltfolio_core::base::finding::{Finding, Severity};
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::model::{DriveKind, Hazard};
use boltfolio_core::rules::signal_words::harm_of;
use boltfolio_core::rules::torques::{self, NoVerdict};

/// A plan around one joint, that is undone and closed.
fn joint(text: &str) -> Compilation {
    part_and_joint("rail", text)
}

fn part_and_joint(part: &str, text: &str) -> Compilation {
    compile_text(&format!(
        "plan rail-job \"Wren 900: rail\"\n  for wren; crew ada, bob\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson bob\n\
         fluid oil \"Oil\"; holds 4 l; in {part}\npart {part}; mass 3 kg quoted\njoint rail-bolts: {part} to shell; {text}\n\
         step rail-round \"Rail off and on\"\n  by ada, bob\n  drain oil\n  undo rail-bolts\n  start rail-bolts\n  tighten rail-bolts\n  fill oil\n  \
         verify rail-bolts \"At the figure\"\n"
    ))
}

fn only(compilation: &Compilation) -> &Finding {
    assert_eq!(compilation.findings.len(), 1, "{:?}", told(compilation));
    &compilation.findings[0]
}

fn clean(text: &str) {
    let compilation = joint(text);
    assert!(
        compilation.findings.is_empty(),
        "{text}: {:?}",
        told(&compilation)
    );
}

/// VDI 2230 table A1, M10 8.8 at 0.12, from memory: 48 N m at 0.9 of yield; proof load 33.7 kN (ISO 898-1).
#[test]
fn the_finding_prints_the_sum() {
    let compilation =
        joint("carries; bolts 4 x M10x1.5 class 8.8; head 16 mm; torque 150 N m; threads oiled");
    let finding = only(&compilation);
    assert_eq!(finding.rule.name, "torque-too-high");
    let sum = &finding.labels[0].words;
    for piece in [
        "M10 × 1.5",
        "class 8.8",
        "friction 0.08 to 0.16",
        "hexagon head on a medium hole",
        "kN of preload belong to this torque",
    ] {
        assert!(sum.contains(piece), "{piece}: {sum}");
    }
    assert!(finding.mend.words.contains("is 48."), "{}", finding.mend.words);
    assert!(finding.mend.words.contains("maker"), "{}", finding.mend.words);
}

/// ISO 898-1, tables 4 and 5: M12 of class 8.8 has a proof load of 48.9 kN and breaks at 67.4 kN. At 200 N m, however much friction, it has
/// broken; at 130 N m the sum is past yield and not past that; at 70 N m it holds.
#[test]
fn past_strength_no_share_of_it_is_told() {
    let at = |torque: &str| {
        joint(&format!(
            "carries; bolts 4 x M12x1.75 class 8.8; head 18 mm; torque {torque}; threads oiled"
        ))
    };
    let broken = at("250 N m");
    let finding = only(&broken);
    assert!(finding.what.contains("breaks M12 × 1.75"), "{}", finding.what);
    let sum = &finding.labels[0].words;
    assert!(
        sum.contains("it breaks before") && sum.contains("a pull of 67 kN alone breaks it"),
        "{sum}"
    );
    assert!(!sum.contains('%'), "{sum}");
    let stretched = at("130 N m");
    let finding = only(&stretched);
    assert!(finding.what.contains("stretches M12 × 1.75"), "{}", finding.what);
    assert!(
        finding.labels[0].words.contains("it yields before"),
        "{}",
        finding.labels[0].words
    );
    assert!(at("70 N m").findings.is_empty(), "{:?}", told(&at("70 N m")));
    // Past yield with the least friction alone: the end that holds has its share, the other its yield.
    let unusual = at("95 N m");
    let sum = &only(&unusual).labels[0].words;
    assert!(
        sum.contains("% of proof load, and up to") && sum.contains("where it yields"),
        "{sum}"
    );
}

/// What is written in pounds is compared in pounds. VDI 2230, table A1: M10 of class 8.8 at 0.12 takes 48 N m, 35.4 lbf ft (NIST SP 811: 1.355818).
#[test]
fn the_mend_compares_in_the_unit_that_was_written() {
    let written = |torque: &str| {
        let compilation = joint(&format!(
            "carries; bolts 4 x M10x1.5 class 8.8; head 16 mm; torque {torque}; threads oiled"
        ));
        only(&compilation).mend.words.clone()
    };
    assert!(
        written("110 lbf ft").contains("is 35.") && written("110 lbf ft").contains(" lbf ft;"),
        "{}",
        written("110 lbf ft")
    );
    assert!(written("150 N m").contains(" N·m;"), "{}", written("150 N m"));
}

#[test]
fn a_second_check_makes_it_graver() {
    let loose = "carries; bolts 4 x M12x1.5 class 10.9; head 18 mm; torque 30 N m; threads dry";
    let compilation = joint(loose);
    assert_eq!(
        (only(&compilation).rule.name, only(&compilation).severity),
        ("torque-too-low", Severity::Doubt)
    );
    let compilation = joint(&format!("{loose}; second check"));
    assert_eq!(only(&compilation).severity, Severity::Fault);
    // Without a word on the threads a slippery one might yet be tight.
    let compilation = joint(&loose.replace("; threads dry", ""));
    assert_eq!(
        (only(&compilation).rule.name, only(&compilation).severity),
        // Less than a third of the usual figure, where it carries, is more than an opinion.
        ("torque-unusual", Severity::Doubt)
    );
    // Of what neither carries nor is checked nothing is said.
    clean(&loose.replace("carries; ", ""));
}

#[test]
fn no_verdict_where_the_relation_does_not_hold() {
    let why = |text: &str| {
        let compilation = joint(text);
        let id = compilation.plan.joints.ids().next().expect("a joint");
        (torques::sums(&compilation.plan, id).err(), told(&compilation))
    };
    for (text, reason) in [
        (
            "hose of oil; nuts 1 x M16x1.5; head 22 mm; torque 50 N m",
            NoVerdict::Union,
        ),
        (
            "pipe of oil; nuts 1 x M10x1.0; head 11 mm; torque 18 N m",
            NoVerdict::Union,
        ),
        (
            "bolts 1 x M14x1.5; head 17 mm; torque 300 N m; opens oil",
            NoVerdict::Sealing,
        ),
        ("clip; torque 5 N m", NoVerdict::NoThread),
        (
            "carries; bolts 2 x M45x4.5 class 10.9; torque 10 N m",
            NoVerdict::NoSuchClass,
        ),
        (
            "carries; bolts 2 x M10x1.5 class 8.8; head 16 mm",
            NoVerdict::NoTorque,
        ),
    ] {
        assert_eq!(why(text), (Some(reason), Vec::new()), "{text}");
    }
    // A whole bolt M10 x 1 of 8.8 yields at 85 N m with a friction of 0.2 (VDI 2230, worked by hand): a hollow union before that.
    for text in [
        "hose of oil; nuts 1 x M16x1.5; head 22 mm; torque 500 N m",
        "pipe of oil; nuts 1 x M10x1.0; head 11 mm; torque 150 N m",
    ] {
        let (reason, told) = why(text);
        assert_eq!(reason, Some(NoVerdict::Union), "{text}");
        assert!(
            told.iter().any(|told| told.starts_with("torque-too-high ")),
            "{text}: {told:#?}"
        );
    }
}

/// A bolt without a class is held to be of 12.9 before it is called overtightened; with an angle behind, only the snug torque is judged.
#[test]
fn what_is_not_known_is_taken_kindly() {
    clean("carries; bolts 4 x M10x1.5; head 16 mm; torque 120 N m");
    let compilation = joint("carries; bolts 4 x M10x1.5; head 16 mm; torque 260 N m");
    assert!(
        only(&compilation).what.contains("even of class 12.9"),
        "{}",
        only(&compilation).what
    );
    clean(
        "carries; bolts 4 x M10x1.5 class 10.9; head 16 mm; torque 15 N m then 90 deg; renew; second check",
    );
}

/// A cone of 60 degrees doubles the head's friction: what a flat seat would not bear may be right there. Reference: VDI 2230-1, R13/1,
/// MA = FM (0.16 P + 0.58 d2 mu + Dkm/2 mu), the last term over sin 30 deg (statics of the wedge). For M12 x 1.5 of class 8.8 at 0.12: d2
/// 11.026 mm (ISO 724), Dkm 15.07 mm (ISO 4014, ISO 273), FM 45.5 kN at 0.9 of yield (table A1, from memory): 87 N m flat, and
/// 45.5 (0.24 + 0.767 + 1.808) = 128 N m on the cone, so that it yields at 142 N m. Its least tensile load is 70.5 kN (ISO 898-1, table 6);
/// 198 N m reach it.
#[test]
fn wheels_are_judged_on_flat_and_cone() {
    let figure = "carries; bolts 5 x M12x1.5 class 8.8; head 17 mm; torque 200 N m";
    let as_wheel = |torque: &str| part_and_joint("wheel-left", &figure.replace("200", torque));
    for sound in ["90", "110", "130", "140"] {
        let sound = as_wheel(sound);
        assert!(sound.findings.is_empty(), "{:?}", told(&sound));
    }
    for (torque, severity) in [
        ("145", Severity::Advice),
        ("160", Severity::Advice),
        ("195", Severity::Advice),
        ("205", Severity::Doubt),
    ] {
        let high = as_wheel(torque);
        let finding = only(&high);
        assert_eq!(
            (finding.rule.name, finding.severity),
            ("torque-unusual", severity),
            "{torque}"
        );
        let mend = &finding.mend.words;
        assert!(
            mend.contains("is 86.8 N·m on a flat seat, 128 N·m on a cone of 60 deg"),
            "{mend}"
        );
        assert!(finding.labels[0].words.contains("even on a cone"), "{torque}");
    }
    let stronger = part_and_joint("wheel-left", &figure.replace("8.8", "10.9").replace("200", "160"));
    assert!(stronger.findings.is_empty(), "{:?}", told(&stronger));
    assert_eq!(
        only(&joint(&figure.replace("17 mm", "18 mm"))).rule.name,
        "torque-too-high"
    );
    let grossly = part_and_joint("wheel-left", &figure.replace("200", "300"));
    assert!(
        only(&grossly).labels[0].words.contains("cone"),
        "{:?}",
        told(&grossly)
    );
}

/// The band that the plan allows is judged at its ends, stages and sides are one statement.
#[test]
fn bands_and_sides() {
    let compilation =
        joint("carries; bolts 4 x M10x1.5 class 8.8; head 16 mm; torque 45 N m (40 to 140); threads oiled");
    assert_eq!(only(&compilation).rule.name, "torque-too-high");
    let sided = compile_text(
        "plan p \"P\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\npart rail, each side; mass 3 kg quoted\n\
         joint bolts, each side: rail to shell; carries; bolts 4 x M10x1.5 class 8.8; head 15 mm; torque 150 N m in stages 50 N m, 150 N m\n\
         step round \"Round\"\n  by ada\n  undo both bolts\n  start both bolts\n  tighten both bolts\n",
    );
    let finding = only(&sided);
    assert_eq!(finding.about, ["bolts-left", "bolts-right"]);
}

/// ISO and old DIN heads both exist; what is in neither is told with what would fit.
#[test]
fn spanners_of_known_series() {
    for size in ["16 mm", "17 mm", "15 mm", "14 mm", "5/8 in"] {
        let text = format!("carries; bolts 4 x M10x1.5 class 8.8; head {size}; torque 45 N m");
        let compilation = joint(&text);
        assert_eq!(
            compilation.findings.is_empty(),
            size != "5/8 in",
            "{:?}",
            told(&compilation)
        );
    }
    let compilation = joint("carries; bolts 4 x M10x1.5 class 8.8; head 19 mm; torque 45 N m");
    let mend = &only(&compilation).mend.words;
    assert!(
        mend.contains("16 mm (ISO)") && mend.contains("17 mm (old DIN)"),
        "{mend}"
    );
    clean("carries; bolts 4 x 3/8-16 grade 5; head 9/16 in; torque 30 lbf ft");
    clean("carries; bolts 4 x 5/16-18 grade 5; head 13 mm; torque 17 lbf ft");
    let compilation = joint("carries; bolts 4 x 3/8-16 grade 5; head 14 mm; torque 30 lbf ft");
    assert!(
        only(&compilation).mend.words.contains("9/16 in"),
        "{}",
        only(&compilation).mend.words
    );
    let compilation = joint("carries; bolts 4 x M8x1.25 class 8.8; hexalobular T35; torque 22 N m");
    assert!(
        only(&compilation).mend.words.contains("ISO 10664"),
        "{}",
        only(&compilation).mend.words
    );
}

/// The house offers a caution for every hazard; each reads back, and its word fits its harm.
#[test]
fn house_cautions_read_and_fit() {
    for &(hazard, word) in Hazard::ALL {
        let house = &hazard.row().caution;
        let block = hazard.caution_block();
        let compilation = compile_text(&format!(
            "plan p \"P\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\npart rail; mass 1 kg quoted\n\
             joint clip: rail to shell; clip; carries\n{block}\nstep round \"Round\"\n  by ada\n  caution {}\n  undo clip\n  start clip\n",
            house.name
        ));
        assert!(
            compilation.findings.is_empty(),
            "{word}: {:?}",
            told(&compilation)
        );
        assert!(harm_of(house.harm).is_some(), "{word}");
    }
}

/// The mend of a missing caution can be pasted as it stands.
#[test]
fn a_missing_caution_is_offered_as_text() {
    let compilation = compile_text(
        "plan p \"P\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\npart tank; mass 9 kg quoted\n\
         joint straps: tank to shell; clip; carries\njoint hose: tank to shell; hose of petrol; push-on\nfluid petrol \"Petrol\"; holds 30 l\n\
         step round \"Round\"\n  by ada\n  time 10 min\n  drain petrol\n  undo hose\n  start hose\n  fill petrol\n",
    );
    let finding = only(&compilation);
    assert_eq!(
        (finding.rule.name, finding.severity),
        ("hazard-without-caution", Severity::Fault)
    );
    assert!(
        finding.mend.words.contains("caution house-fuel"),
        "{}",
        finding.mend.words
    );
    let mut text = compilation
        .sources
        .iter()
        .next()
        .map(|(_, source)| source.text().to_owned())
        .expect("the text");
    let mut edits = finding.mend.edits.clone();
    edits.sort_by_key(|edit| std::cmp::Reverse(edit.span.start));
    for edit in edits {
        text.replace_range(edit.span.start as usize..edit.span.end as usize, &edit.text);
    }
    let mended = compile_text(&text);
    assert!(mended.findings.is_empty(), "{text}\n{:?}", told(&mended));
}

/// A load that hangs, a raised vehicle, a charge: each is met by an act and by nothing else.
#[test]
fn hazards_that_acts_tell() {
    let plan = |acts: &str| {
        format!(
            "plan p \"P\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada; licensed for pyrotechnic\n\
             rig hoist \"Hoist\"; lifts; rated 500 kg\nrig jack \"Trolley jack\"; lifts; rated 1500 kg\nrig stands; holds; rated 3000 kg\n\
             part engine; mass 90 kg quoted\njoint mounts: engine to shell; carries\n\
             part sump; mass 4 kg quoted\njoint sump-bolts: sump to shell; carries; reach from below\n\
             part airbag \"Driver's airbag\"; mass 1 kg quoted\njoint airbag-clips: airbag to shell; clip; carries\n\
             step round \"Round\"\n  by ada\n  time 10 min\n{acts}"
        )
    };
    let met = |acts: &str| -> Vec<String> {
        let compilation = compile_text(&plan(acts));
        compilation
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "hazard-without-caution")
            .map(|finding| finding.what.clone())
            .collect()
    };
    let one = |hazard: &str| vec![format!("no caution against {hazard} before this act")];
    assert_eq!(
        met("  hold engine with hoist\n  undo mounts\n"),
        one("suspended-load")
    );
    assert_eq!(
        met("  hold engine with jack\n  undo mounts\n"),
        Vec::<String>::new()
    );
    assert_eq!(
        met("  raise wren front on jack; set wren front down on stands\n  undo sump-bolts; take off sump\n"),
        one("under-vehicle")
    );
    assert_eq!(met("  undo airbag-clips; take off airbag\n"), one("pyrotechnic"));
    assert_eq!(met("  undo mounts\n"), Vec::<String>::new());
}

/// The same of acts that move, tie, try or look at what hangs or what sits beneath, in a step of their own behind one that has its caution.
#[test]
fn hazards_are_met_again_by_whoever_goes_on() {
    let met = |before: &str, acts: &str| -> Vec<String> {
        let text = format!(
            "plan p \"P\"\n  for wren; crew ada\nvehicle wren \"Wren 900\"; body shell\nperson ada\n\
             rig hoist \"Hoist\"; lifts; rated 1500 kg\nrig crane \"Crane\"; lifts; rated 1500 kg\nrig jack \"Trolley jack\"; lifts; rated 1500 kg\n\
             rig stands; holds; rated 3000 kg\nrig trestles; holds; rated 3000 kg\n\
             part engine; mass 90 kg quoted\njoint mounts: engine to shell; carries\n\
             part sump; mass 4 kg quoted\njoint sump-bolts: sump to shell; carries; reach from below\n\
             part shaft; mass 6 kg quoted\njoint shaft-spline: shaft to sump; spline; engaged 40 mm; reach from below\n\
             caution heavy \"All of it\"; signal danger; harm \"Crushed.\"; avoid \"Stand clear.\"; against suspended-load, under-vehicle\n\
             step before \"Before\"\n  by ada\n  caution heavy\n{before}step round \"Round\"\n  by ada\n{acts}"
        );
        let found = compile_text(&text).findings;
        let told = found
            .iter()
            .filter(|finding| finding.rule.name == "hazard-without-caution");
        told.map(|finding| finding.what.clone()).collect()
    };
    let none = Vec::<String>::new();
    let one = |hazard: &str| vec![format!("no caution against {hazard} before this act")];
    let hung = "  hold engine with hoist\n  undo mounts; take off engine\n";
    assert_eq!(met(hung, "  set engine on trestles\n"), one("suspended-load"));
    assert_eq!(met(hung, "  look \"It hangs level\"\n"), none);
    let up = "  raise wren on jack; set wren down on stands\n";
    for act in [
        "touch sump with hoist",
        "tie up sump to shell",
        "verify sump-bolts \"Marked\"",
        "draw shaft down 10 mm",
        "move aside shaft",
    ] {
        assert_eq!(met(up, &format!("  {act}\n")), one("under-vehicle"), "{act}");
        assert_eq!(met("", &format!("  {act}\n")), none, "{act} on its wheels");
    }
    // Off, it lies on the bench, and nothing is over it.
    let off = format!("{up}  undo sump-bolts; take off sump\n");
    assert_eq!(met(&off, "  set sump on trestles\n"), none);
    // The vehicle itself, in a crane.
    assert_eq!(
        met("  raise wren on crane\n", "  set wren down on stands\n"),
        one("suspended-load")
    );
    assert_eq!(met("  raise wren on jack\n", "  set wren down on stands\n"), none);
}

/// Bits of twelve points are sized by the screw (triple square); the word for eight points once stood for both.
#[test]
fn a_size_by_the_screw_is_a_triple_square() {
    let kinds = |drive: &str| {
        let done = joint(&format!(
            "carries; bolts 4 x M8x1.25 class 8.8; {drive}; torque 22 N m"
        ));
        let joint = done.plan.joints.values().next().expect("a joint");
        joint.drives.iter().map(|drive| drive.kind).collect::<Vec<_>>()
    };
    assert_eq!(kinds("triple square M10"), [DriveKind::TripleSquare]);
    assert_eq!(kinds("double square M10"), [DriveKind::TripleSquare]);
    assert_eq!(kinds("double square 10"), [DriveKind::DoubleSquare]);
}

/// ISO 898-1, table 3: class 5.6 yields at 300 MPa, so that M10 at friction 0.12 takes 48 x 300 / 640 = 22.5 N m where 8.8 takes 48 (VDI 2230,
/// table A1, from memory); a third of it is 7.5. M12 of 5.6 takes 84 x 300 / 640 = 39 N m; a third is 13.
#[test]
fn what_leaves_even_the_weakest_loose_is_told_without_a_class() {
    let at = |thread: &str, torque: &str, more: &str| {
        joint(&format!(
            "{more}bolts 4 x {thread}; head 16 mm; torque {torque}; rigid"
        ))
    };
    for (thread, torque) in [("M10x1.5", "6.5 N m"), ("M12x1.75", "12 N m")] {
        let low = at(thread, torque, "carries; ");
        let finding = only(&low);
        assert_eq!(
            (finding.rule.name, finding.severity),
            ("torque-unusual", Severity::Doubt)
        );
        assert!(
            finding.what.contains("even of class 5.6"),
            "{}: {}",
            torque,
            finding.what
        );
        assert!(
            finding.mend.words.contains("Say the class"),
            "{}",
            finding.mend.words
        );
        assert_eq!(
            only(&at(thread, torque, "second check; ")).severity,
            Severity::Doubt
        );
    }
    for (thread, torque) in [
        ("M10x1.5", "8.5 N m"),
        ("M12x1.75", "15 N m"),
        ("M10x1.5", "45 N m"),
    ] {
        let sound = at(thread, torque, "carries; ");
        assert!(sound.findings.is_empty(), "{torque}: {:?}", told(&sound));
    }
    // Nothing hangs on it.
    let idle = at("M10x1.5", "6.5 N m", "");
    assert!(idle.findings.is_empty(), "{:?}", told(&idle));
    // A mark that nobody knows is told by itself, and the torque beside it.
    let odd = joint("carries; bolts 4 x M10x1.5 class 8.7; head 16 mm; torque 6.5 N m");
    let rules: Vec<&str> = odd.findings.iter().map(|finding| finding.rule.name).collect();
    assert!(rules.contains(&"torque-unusual"), "{rules:?}");
    let odd = joint("carries; bolts 4 x M10x1.5 class 8.7; head 16 mm; torque 45 N m");
    let rules: Vec<&str> = odd.findings.iter().map(|finding| finding.rule.name).collect();
    assert!(!rules.contains(&"torque-unusual"), "{rules:?}");
}

#[test]
fn nothing_is_turned_on_by_nothing_or_more_than_once_round() {
    let then = |angle: &str| {
        joint(&format!(
            "carries; bolts 4 x M10x1.5 class 10.9; head 16 mm; torque 40 N m then {angle}; renew"
        ))
    };
    for angle in ["0 deg", "900 deg", "-90 deg", "2 turns"] {
        let slip = then(angle);
        let finding = only(&slip);
        assert_eq!(
            (finding.rule.name, finding.severity),
            ("torque-unusual", Severity::Doubt),
            "{angle}"
        );
    }
    for angle in ["90 deg", "360 deg", "1 turn", "270 deg"] {
        let sound = then(angle);
        assert!(sound.findings.is_empty(), "{angle}: {:?}", told(&sound));
    }
}
