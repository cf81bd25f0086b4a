//! Bad input for the walk: machines that hang on nothing, rigs that have their hands full, names that stand for nothing or for two
//! things, stages that bite their tails; and any acts at all in any order. Each is told where it stands, and once.

use proptest::prelude::{ProptestConfig, Strategy, prop, prop_assert, prop_assert_eq, proptest};

use super::{lines, whats};
use crate::support::{compile_text, told};

const HEAD: &str = "\
plan p \"P\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 25 kg
person tom
rig jack; lifts; rated 1500 kg
rig stands; holds; rated 3000 kg
";

fn of(text: &str) -> boltfolio_core::compile::Compilation {
    compile_text(&format!("{HEAD}{text}"))
}

/// Findings by rule and line, without those on what is never used.
fn found(text: &str) -> Vec<(&'static str, usize)> {
    let all = lines(&of(text)).into_iter();
    all.filter(|(rule, _)| *rule != "never-used").collect()
}

#[test]
fn a_ring_of_joints_with_nothing_at_the_body() {
    let ring = "part a; mass 20 kg quoted
part b; mass 20 kg quoted
part c; mass 20 kg quoted
joint ab: a to b; clip; carries
joint bc: b to c; clip; carries
joint ca: c to a; clip; carries
step look \"Look\"; look \"It hangs on itself\"
";
    // Nothing is done to it, so nothing is lost; the first act on it tells all of it, and only that.
    assert_eq!(found(ring), [("not-tied-to-body", 7)]);
    let parted = format!("{ring}step part \"Part\"; undo ab; start ab; undo bc; start bc\n");
    let both = [("would-fall", 14), ("not-tied-to-body", 7)];
    assert_eq!(found(&parted), both, "{:#?}", told(&of(&parted)));
    let compilation = of(&parted);
    let all = whats(&compilation)
        .into_iter()
        .find(|what| what.contains("would fall"));
    assert_eq!(all, Some("`a`, `b` and `c` would fall"));
    // A rig that takes hold of it makes it stand.
    let held =
        format!("{ring}step part \"Part\"; hold a with stands; undo ab; start ab; release a from stands\n");
    assert_eq!(found(&held), both, "{:#?}", told(&of(&held)));
}

#[test]
fn only_what_is_light_is_let_to_be_taken_off_without_a_hold() {
    for (mass, light) in [(4, true), (12, false)] {
        let text = format!(
            "part a; mass {mass} kg quoted\njoint ab: a to shell; clip; carries\nstep off; by ada; undo ab\nstep on; start ab\n"
        );
        let compilation = of(&text);
        let fall = compilation
            .findings
            .iter()
            .find(|finding| finding.rule.name == "would-fall");
        let words = &fall.expect("it falls").mend.words;
        assert_eq!(words.contains("or take it off"), light, "{mass} kg: {words}");
    }
}

#[test]
fn a_thing_joined_to_itself_or_to_a_part_of_it() {
    let text = "part a; mass 1 kg quoted
part b; mass 1 kg quoted
assembly both-of-them; of a, b
joint aa: a to a; clip; carries
joint sa: both-of-them to a; clip; carries
step s \"S\"; undo aa, sa; take off a; fit a; start aa, sa
";
    assert_eq!(
        found(text),
        [("joint-to-itself", 10), ("joint-to-itself", 11)],
        "{:#?}",
        told(&of(text))
    );
}

#[test]
fn a_rig_that_has_its_hands_full() {
    let lamp = "part lamp; mass 8 kg quoted
part horn; mass 8 kg quoted
joint lamp-clip: lamp to shell; clip; carries
joint horn-clip: horn to shell; clip; carries
";
    let twice =
        format!("{lamp}step s \"S\"; hold lamp with jack; hold lamp with jack; release lamp from jack\n");
    assert_eq!(found(&twice), [("already-done", 11)], "{:#?}", told(&of(&twice)));
    let both =
        format!("{lamp}step s \"S\"; hold lamp with jack; hold horn with jack; release horn from jack\n");
    assert_eq!(found(&both), [("rig-in-use", 11)], "{:#?}", told(&of(&both)));
    let car = format!(
        "{lamp}step s \"S\"; hold lamp with jack; raise wren rear on jack; set wren rear down on floor\n"
    );
    assert_eq!(found(&car), [("rig-in-use", 11)], "{:#?}", told(&of(&car)));
    // What only holds has any number of things.
    let many = format!(
        "{lamp}step s \"S\"; hold lamp with stands; hold horn with stands; release lamp, horn from stands\n"
    );
    assert_eq!(found(&many), [], "{:#?}", told(&of(&many)));
    let hands = format!("{lamp}step s \"S\"; by ada; hold lamp by ada; hold horn by ada\n");
    assert_eq!(
        found(&hands),
        [("nobody-to-help", 11)],
        "{:#?}",
        told(&of(&hands))
    );
}

#[test]
fn acts_on_what_nobody_declared() {
    // Of another plan, or of none: each name once, and no walk through what is not the owner's plan.
    let text = "part lamp; mass 8 kg quoted
joint lamp-clip: lamp to shell; clip; carries
step s \"S\"; undo lamp-clip, door-hinge; take off door; hold bonnet with crane; drain cider
step t \"T\"; fit door; start door-hinge; undo lamp-clip
";
    assert_eq!(found(text), [("unknown-name", 9); 5], "{:#?}", told(&of(text)));
}

#[test]
fn two_steps_of_one_name() {
    let text = "part lamp; mass 1 kg quoted
joint lamp-clip: lamp to shell; clip; carries
step s \"S\"; undo lamp-clip
step s \"S again\"; start lamp-clip
step t \"T\"; after s; undo lamp-clip; start lamp-clip
";
    assert_eq!(found(text), [("same-name-twice", 10)], "{:#?}", told(&of(text)));
}

#[test]
fn a_step_that_waits_for_itself_and_two_for_each_other() {
    let text = "step a \"A\"; after a; look \"a\"\nstep b \"B\"; after c; look \"b\"\nstep c \"C\"; after b; look \"c\"\n";
    assert_eq!(
        found(text),
        [("order-ring", 7), ("order-ring", 8)],
        "{:#?}",
        told(&of(text))
    );
}

#[test]
fn stages_that_bite_their_tails() {
    let lamp = "part lamp; mass 1 kg quoted
joint lamp-clip: lamp to shell; clip; carries
";
    let own =
        format!("{lamp}stage off \"Off\" reverses off\nstep s \"S\"; undo lamp-clip; start lamp-clip\n");
    assert_eq!(found(&own), [("cannot-reverse", 9)], "{:#?}", told(&of(&own)));
    let two = format!(
        "{lamp}stage off \"Off\" reverses back\nstep s \"S\"; undo lamp-clip\nstage back \"Back\" reverses off\n"
    );
    let rules: Vec<&str> = found(&two).into_iter().map(|(rule, _)| rule).collect();
    assert!(
        !rules.is_empty() && rules.iter().all(|rule| *rule == "cannot-reverse"),
        "{:#?}",
        told(&of(&two))
    );
    // A wait for a step of a derived stage is compared like any other.
    let waits = format!(
        "{lamp}stage off \"Off\"\nstep s \"S\"; undo lamp-clip; take off lamp\nstage back \"Back\" reverses off\nstage after-all \"After all\"\nstep t \"T\"; after s-back; look \"It sits\"\n"
    );
    assert_eq!(found(&waits), [], "{:#?}", told(&of(&waits)));
    let early = format!(
        "{lamp}stage off \"Off\"\nstep r \"R\"; after s-back; look \"It sits\"\nstep s \"S\"; undo lamp-clip; take off lamp\nstage back \"Back\" reverses off\n"
    );
    assert_eq!(
        found(&early),
        [("before-its-turn", 10)],
        "{:#?}",
        told(&of(&early))
    );
}

#[test]
fn a_plan_without_a_vehicle_or_a_body() {
    for head in [
        "plan p \"P\"\n",
        "plan p \"P\"; for wren\nvehicle wren \"Wren 900\"\n",
    ] {
        let text = format!(
            "{head}part a; mass 9 kg quoted\npart b; mass 9 kg quoted\njoint ab: a to b; clip; carries\nrig jack; lifts\nstep s \"S\"; hold a with jack; undo ab; take off a; set a down on floor; fit a; start ab\n"
        );
        let compilation = compile_text(&text);
        let names: Vec<&str> = compilation
            .findings
            .iter()
            .map(|finding| finding.rule.name)
            .collect();
        // Whatever is told of it, it is told once.
        let mut once = names.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(names.len(), once.len(), "{:#?}", told(&compilation));
    }
}

/// Acts of every kind, on things that there are and on some that there are not.
fn act() -> impl Strategy<Value = String> {
    let words: Vec<&str> = "\
slacken J|undo J|undo 2 of J|undo 9 of J|start J|start 1 of J|tighten J|pin 1 of J|pin 1 of J with drift|break J \"x\"|hold A with R|hold A by P\
|touch A with R|release A from R|release A|tie up A to A|untie A|raise wren rear on R|raise wren on R|raise A on R|raise A by 5 mm|set A down on R\
|set A on A|set A down on floor|set wren down on floor|set wren front down on R|lower A|lower A by 5 mm|lower wren|tilt A by 5 deg|tilt A about J by 20 mm\
|draw A up 5 mm|draw A back 500 mm|slide home A|press apart J|press home J|move aside A|move back A|take off A|take off A, A|fit A|fit A, A|try A|drain F\
|fill F|bleed F|clamp J|cap J|plug J|uncap J|unplug J|unclamp J|weigh A|weigh wren|measure J|photograph J|mark J|tag J|soak J|look \"x\"|make up drift\
|judge A: keep if \"x\", else renew|verify J|verify \"x\"|safe to leave"
        .split('|')
        .collect();
    let things = [
        ('J', "ab|ac|bolts|hose|slide|taper|plug-c|k|lost"),
        ('A', "a|b|c|new-a|set-ab|shell|gone"),
        ('R', "jack|stands|table|beam|nowhere"),
        ('P', "ada|tom|nobody"),
        ('F', "oil|water|nothing"),
    ];
    (prop::sample::select(words), prop::collection::vec(0usize..9, 6)).prop_map(move |(form, picks)| {
        let mut picks = picks.into_iter().cycle();
        let mut out = String::new();
        let mut quoted = false;
        for word in form.split_inclusive([' ', ',', ':']) {
            let bare = word.trim_end_matches([' ', ',', ':']);
            quoted ^= bare.matches('"').count() == 1;
            let kind = things
                .iter()
                .find(|(letter, _)| !quoted && bare.len() == 1 && bare.starts_with(*letter));
            match kind {
                Some((_, names)) => {
                    let names: Vec<&str> = names.split('|').collect();
                    // The last name of each is of nothing, and is picked seldom.
                    let pick = picks.next().unwrap_or(0);
                    out.push_str(
                        names[if pick == 8 {
                            names.len() - 1
                        } else {
                            pick % (names.len() - 1)
                        }],
                    );
                    out.push_str(&word[bare.len()..]);
                }
                None => out.push_str(word),
            }
        }
        out
    })
}

const MACHINE: &str = "\
fluid oil; holds 1 l; in a
fluid water; holds 2 l; needs bleeding
energy supply; electric; safe after s0
energy pull; spring; safe after s1
part a; mass 20 kg quoted; stands on 2 of ab, bolts
part b; mass 4 kg quoted; afterwards for sale
part c; in place of b
part new-a; in place of a, if renewed; mass 3 kg quoted
assembly set-ab; of a, b
tool drift; to make \"From bar\"
rig table; lifts, holds; rated 300 kg
rig beam; holds; borne by shell
joint ab: a to b; carries; bolts 3 x M8x1.25; second check; with wheels down
joint ac: a to c; clip; carries; covered by b
joint bolts: a to shell; carries; bolts 4 x M10x1.5; reach from below, rear; torque 300 N m
joint hose: a to b; hose of oil; play 20 mm
joint slide: b to shell; spline; engaged 20 mm; carries
joint taper: c to shell; taper; carries; nuts 1 x M12x1.5; of pull
joint plug-c: c to a; plug
joint k: c to shell; in place of slide; clip; carries; opens water
";

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    /// Nothing panics, the same text tells the same, all places lie in the text, and a state can be had after each step.
    #[test]
    fn any_acts_in_any_order(steps in prop::collection::vec(prop::collection::vec(act(), 0..6), 0..8)) {
        let mut text = format!("{HEAD}{MACHINE}");
        for (nth, acts) in steps.iter().enumerate() {
            text.push_str(&format!("step s{nth} \"S\"\n"));
            for act in acts {
                text.push_str(&format!("  {act}\n"));
            }
        }
        let compilation = compile_text(&text);
        prop_assert_eq!(told(&compilation), told(&compile_text(&text)));
        for finding in &compilation.findings {
            for label in &finding.labels {
                let inside = compilation.sources.get(label.span.source).is_some_and(|source| {
                    source.text().get(label.span.start as usize..label.span.end as usize).is_some()
                });
                prop_assert!(inside, "{}: {:?}", finding.rule.name, label);
            }
        }
        for &step in &compilation.plan.order {
            let after = compilation.walk.after(&compilation.plan, step);
            prop_assert!(after.is_some(), "{}", text);
        }
    }
}
