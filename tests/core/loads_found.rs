//! Small plans about rigs and balance, and what is found in each: loads alone and shared, legs, platforms, what stands on lift and
//! stands.

use crate::support::{compile_text, told};
use boltfolio_core::analysis::centre_path::standings;
use boltfolio_core::base::finding::Severity;
use boltfolio_core::weights::Weights;

const CAR: &str = "plan p \"P\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm; track 1300 mm front, 1300 mm rear
  jacking front at 300 mm behind front axle, 500 mm left and right
  jacking rear at 2000 mm behind front axle, 500 mm left and right
person ada; lifts 30 kg
person tom; lifts 30 kg
scale pads; capacity 450 kg each; division 0.5 kg; repeatability 0.5 kg
weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear
part engine; mass 120 +- 1 kg weighed; at 0 mm behind front axle, 0 mm left, 500 mm up; afterwards stored
joint mounts: engine to shell; carries; bolts 4 x M12x1.75; torque 80 N m; gone
";

const LOADS: [&str; 6] = [
    "over-rated",
    "off-platform",
    "off-balance",
    "arm-overloaded",
    "flat-sling",
    "mass-unknown",
];

/// Severity, rule and words of what is found of loads.
fn found(plan: &str) -> Vec<(Severity, String, String)> {
    let compilation = compile_text(&format!("{CAR}{plan}"));
    let unread: Vec<String> = told(&compilation)
        .into_iter()
        .filter(|text| text.starts_with("unreadable") || text.starts_with("unknown-name"))
        .collect();
    assert!(unread.is_empty(), "{unread:?}");
    compilation
        .findings
        .iter()
        .filter(|finding| LOADS.contains(&finding.rule.name))
        .map(|finding| {
            (
                finding.severity,
                finding.rule.name.to_owned(),
                finding.what.clone(),
            )
        })
        .collect()
}

fn rules(plan: &str) -> Vec<String> {
    found(plan)
        .into_iter()
        .map(|(severity, rule, _)| format!("{} {rule}", severity.word()))
        .collect()
}

const OUT: &str = "step out \"Out\"; by ada, tom; hold engine with hoist; undo mounts; take off engine; set engine down on floor\n";

#[test]
fn alone_is_a_fault_and_shared_is_advice() {
    let hoist = |rated: u32| format!("rig hoist; lifts; rated {rated} kg\n");
    assert_eq!(rules(&format!("{}{OUT}", hoist(200))), Vec::<String>::new());
    assert_eq!(rules(&format!("{}{OUT}", hoist(100))), ["fault over-rated"]);
    // Held, and never let go of what else bears it: it may come to this, and no more can be said.
    let only = "step by-it \"By it\"; hold engine with hoist; release engine from hoist\n";
    assert_eq!(rules(&format!("{}{only}", hoist(100))), ["advice over-rated"]);
    // Twice the uncertainty of the mass on top: 120 + 2 kg.
    assert_eq!(rules(&format!("{}{OUT}", hoist(123))), Vec::<String>::new());
    assert_eq!(rules(&format!("{}{OUT}", hoist(121))), ["fault over-rated"]);
}

#[test]
fn a_touching_rig_bears_once_a_joint_lets_go() {
    let touch = "rig hoist; lifts; rated 100 kg\nstep by-it \"By it\"; touch engine with hoist; release engine from hoist\n";
    assert_eq!(rules(touch), Vec::<String>::new());
    let loose = "rig hoist; lifts; rated 100 kg\nstep out \"Out\"; touch engine with hoist; undo mounts; take off engine; set engine down on floor\n";
    assert_eq!(rules(loose), ["fault over-rated"]);
}

#[test]
fn legs_that_are_rated_each_bear_by_their_angle() {
    let sling = |legs: u32, angle: u32| {
        format!("rig hoist; lifts; rated 100 kg each; count {legs}; legs {legs} at {angle} deg\n{OUT}")
    };
    // 122 kg on two legs at 60 degrees: 70 kg each; at 35 degrees 106 kg.
    assert_eq!(rules(&sling(2, 60)), Vec::<String>::new());
    assert_eq!(rules(&sling(2, 35)), ["fault over-rated"]);
    // Of four legs two count.
    assert_eq!(rules(&sling(4, 35)), ["fault over-rated"]);
    assert_eq!(rules(&sling(2, 29)), ["fault flat-sling"]);
}

#[test]
fn legs_need_no_count_and_an_angle() {
    // 122 kg on four legs rated 70 kg each, of which two count: 61 kg each if they hang straight, 122 kg each at 30 degrees.
    let sling = |legs: &str| format!("rig hoist; lifts; rated 70 kg each; legs {legs}\n{OUT}");
    assert_eq!(rules(&sling("4 at 90 deg")), Vec::<String>::new());
    assert_eq!(rules(&sling("4")), ["advice over-rated"]);
    assert_eq!(rules(&sling("1")), ["fault over-rated"]);
    let words = found(&sling("2")).remove(0).2;
    assert!(
        words.starts_with("a leg of `hoist` may pull with up to 12"),
        "{words}"
    );
}

const UP: &str =
    "step up \"Up\"; raise wren on lift to 1700 mm\nstep down \"Down\"; set wren down on floor\n";

#[test]
fn the_whole_vehicle_needs_no_centre_to_be_too_much() {
    let lift = |rated: u32| format!("rig lift; lifts, holds; rated {rated} kg\n{UP}");
    // Nothing but the mass: 850 kg quoted, so up to 850 + 98 kg (a tenth, rectangular, doubled).
    let bare = |plan: &str| {
        let car = "plan p \"P\"; for wren\nvehicle wren \"Wren 900\"; body shell; mass 850 kg quoted\n";
        let compilation = compile_text(&format!("{car}{plan}"));
        let found = compilation.findings.iter();
        found
            .filter(|finding| LOADS.contains(&finding.rule.name))
            .map(|finding| format!("{} {}", finding.severity.word(), finding.rule.name))
            .collect::<Vec<_>>()
    };
    assert_eq!(bare(&lift(1000)), Vec::<String>::new());
    assert_eq!(bare(&lift(900)), ["fault over-rated"]);
    assert_eq!(bare(&lift(700)), ["fault over-rated"]);
    // Two rigs, an end each: together they are rated for less.
    let two = |front: u32, rear: u32| {
        format!(
            "rig jack; lifts; rated {front} kg\nrig ramp; lifts; rated {rear} kg
step up \"Up\"; raise wren front on jack; raise wren rear on ramp\nstep down \"Down\"; set wren down on floor\n"
        )
    };
    assert_eq!(bare(&two(650, 650)), Vec::<String>::new());
    // One end may bear seven tenths; common practice, no source.
    assert_eq!(bare(&two(500, 650)), ["advice over-rated"]);
    assert_eq!(bare(&two(500, 500)), ["advice over-rated"]);
    assert_eq!(bare(&two(400, 400)), ["fault over-rated", "advice over-rated"]);
    // With corners, but no jacking places, and with both: told once.
    let no_places = |plan: &str| {
        let car = CAR
            .lines()
            .filter(|line| !line.contains("jacking"))
            .collect::<Vec<_>>()
            .join("\n");
        let compilation = compile_text(&format!("{car}\n{plan}"));
        let over = compilation
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "over-rated");
        over.count()
    };
    assert_eq!(no_places(&lift(700)), 1);
    assert_eq!(no_places(&lift(900)), 0);
    assert_eq!(rules(&lift(700)), ["fault over-rated"]);
}

#[test]
fn a_vehicle_in_slings_is_borne_by_its_legs() {
    let crane = |rated: u32, legs: &str| {
        format!(
            "rig crane; lifts; rated {rated} kg each; legs {legs}\n{}",
            UP.replace("lift", "crane")
        )
    };
    // 850 kg on two of four legs at 60 degrees: 491 kg each.
    assert_eq!(rules(&crane(550, "4 at 60 deg")), Vec::<String>::new());
    assert_eq!(rules(&crane(450, "4 at 60 deg")), ["fault over-rated"]);
}

#[test]
fn one_rating_for_a_set_is_shared_over_all_of_it() {
    // Two of the set are under the front, at 258 kg each; on a floor that is not flat one of them bears up to 517 kg.
    let stands = |rated: u32, count: u32| {
        format!(
            "rig jack; lifts; rated 1500 kg\nrig stands; holds; rated {rated} kg; count {count}
step up \"Up\"; raise wren front on jack; set wren front down on stands\nstep down \"Down\"; raise wren front on jack; set wren front down on floor\n"
        )
    };
    assert_eq!(rules(&stands(2200, 4)), Vec::<String>::new());
    assert_eq!(rules(&stands(1200, 4)), ["advice arm-overloaded"]);
    assert_eq!(rules(&stands(900, 4)), ["fault arm-overloaded"]);
    assert_eq!(rules(&stands(900, 2)), ["advice arm-overloaded"]);
}

#[test]
fn a_fluid_that_runs_out_moves_the_centre() {
    let plan = "part tank; mass 8 kg quoted; at 2100 mm behind front axle, 0 mm left, 400 mm up
joint tank-straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m
fluid petrol; holds 40 l; density 0.75 kg/l; in tank
tool churn; holds 50 l
step out \"Out\"; drain petrol into churn
step in \"In\"; fill petrol 40 l\n";
    let compilation = compile_text(&format!("{CAR}{plan}"));
    let weights = Weights::new(&compilation.plan);
    let all = standings(&weights, &compilation.walk).expect("corners and measures");
    let [first, out, back] = all.as_slice() else {
        panic!("{all:?}")
    };
    // By moments: 30 kg of petrol leave at 2100 mm.
    assert!((out.mass.0 - 820.0).abs() < 1e-9);
    assert!(
        (out.centre.behind - (2300.0 * 400.0 - 30.0 * 2100.0) / 820.0).abs() < 1e-3,
        "{out:?}"
    );
    assert!(out.u.behind > first.u.behind);
    assert!((back.centre.behind - first.centre.behind).abs() < 1e-9 && (back.mass.0 - 850.0).abs() < 1e-9);
}

#[test]
fn what_lies_in_the_boot_weighs_there() {
    let plan = "part boot; at 2900 mm behind front axle, 0 mm left, 500 mm up
joint boot-weld: boot to shell; rigid; carries
part wheel; mass 15 kg quoted; at 0 mm behind front axle, 650 mm right, 300 mm up
joint wheel-bolts: wheel to shell; carries; bolts 4 x M12x1.5; torque 90 N m
step off \"Off\"; by ada; hold wheel by ada; undo wheel-bolts; take off wheel; set wheel on boot
step on \"On\"; by ada; hold wheel by ada; fit wheel; start wheel-bolts; tighten wheel-bolts\n";
    let compilation = compile_text(&format!("{CAR}{plan}"));
    let weights = Weights::new(&compilation.plan);
    let all = standings(&weights, &compilation.walk).expect("corners and measures");
    // Hands that steady what the bolts still carry take nothing of it: all weighs 850 kg until it is off, and again in the boot.
    let mut masses: Vec<i64> = all
        .iter()
        .map(|standing| standing.mass.0.round() as i64)
        .collect();
    masses.dedup();
    let (in_boot, back) = (&all[2], all.last().expect("an end"));
    assert_eq!(masses, [850, 835, 850, 835, 850]);
    // By moments: 15 kg from the front axle to 2900 mm, and from 650 mm right to the middle.
    let behind = (2300.0 * 400.0 + 15.0 * 2900.0) / 850.0;
    assert!((in_boot.centre.behind - behind).abs() < 1e-3, "{in_boot:?}");
    assert!((in_boot.centre.right - all[0].centre.right + 15.0 * 650.0 / 850.0).abs() < 1e-3);
    assert!(
        (back.centre.behind - 2300.0 * 400.0 / 850.0).abs() < 1e-3,
        "{back:?}"
    );
}

#[test]
fn two_lift_two_thirds_of_what_both_lift() {
    // HSE L23, team handling, from memory: two thirds of the sum of 30 and 30 kg are 40 kg.
    let carried = |mass: u32, hold: &str| {
        let plan = format!(
            "part box; mass {mass} kg weighed; afterwards stored
joint box-bolts: box to shell; carries; bolts 2 x M8x1.25; torque 20 N m; gone
step off \"Off\"; by ada, tom; {hold}; undo box-bolts; take off box\n"
        );
        let compilation = compile_text(&format!("{CAR}{plan}"));
        let found = compilation.findings.iter();
        found
            .filter(|finding| finding.rule.name == "too-heavy-by-hand")
            .map(|finding| finding.severity.word())
            .collect::<Vec<_>>()
    };
    let both = "hold box by ada; hold box by tom";
    assert_eq!(carried(25, "hold box by ada"), Vec::<&str>::new());
    assert_eq!(carried(35, "hold box by ada"), ["fault"]);
    assert_eq!(carried(35, both), Vec::<&str>::new());
    assert_eq!(carried(45, both), ["advice"]);
    assert_eq!(carried(65, both), ["fault"]);
}

#[test]
fn an_unknown_mass_is_told_and_never_nothing() {
    let plan = OUT.replace("engine", "box").replace("mounts", "box-bolts");
    let box_part = |mass: &str| {
        format!(
            "rig hoist; lifts; rated 200 kg\npart box{mass}; afterwards stored\njoint box-bolts: box to shell; carries; bolts 4 x M8x1.25; torque 24 N m; gone\n{plan}"
        )
    };
    assert_eq!(rules(&box_part("")), ["advice mass-unknown"]);
    assert_eq!(rules(&box_part("; mass 20 kg estimated")), Vec::<String>::new());
    // An assembly's own mass stands in for parts without one.
    let set = format!("{}assembly boxes; of box; mass 20 kg estimated\n", box_part(""));
    assert_eq!(rules(&set), Vec::<String>::new());
}

#[test]
fn what_stands_on_the_vehicle_stays_on_it() {
    // A beam on the shell bears the engine: the centre does not move, and a lift below bears it all the same.
    let beam = "rig lift; lifts, holds; rated 2600 kg\nrig beam; holds; borne by shell; rated 300 kg
step up \"Up\"; raise wren on lift to 1700 mm
step hang \"Hang it\"; hold engine with beam; undo mounts
step back \"Back\"; start mounts; tighten mounts; release engine from beam
step down \"Down\"; set wren down on floor\n";
    let compilation = compile_text(&format!("{CAR}{beam}"));
    let weights = Weights::new(&compilation.plan);
    let all = standings(&weights, &compilation.walk).expect("corners and measures");
    assert!(all.iter().all(|standing| (standing.mass.0 - 850.0).abs() < 1e-9));
    assert_eq!(rules(beam), Vec::<String>::new());
}

#[test]
fn the_centre_moves_with_what_leaves() {
    let compilation = compile_text(&format!("{CAR}rig hoist; lifts; rated 300 kg\n{OUT}"));
    let weights = Weights::new(&compilation.plan);
    let all = standings(&weights, &compilation.walk).expect("corners and measures");
    let (first, last) = (all.first().expect("a start"), all.last().expect("an end"));
    // By moments: 850 kg at 2300 * 400/850, less 120 kg at the front axle.
    assert!((first.centre.behind - 2300.0 * 400.0 / 850.0).abs() < 1e-3);
    assert!(
        (last.centre.behind - 2300.0 * 400.0 / 730.0).abs() < 1e-3,
        "{last:?}"
    );
    assert!((last.mass.0 - 730.0).abs() < 1e-9);
    assert!(last.stands.expect("wheels").margin.inside > 600.0);
}

#[test]
fn inside_but_within_doubt_is_a_doubt() {
    let up = "rig lift; lifts, holds; rated 2600 kg\nstep up \"Up\"; raise wren on lift to 1700 mm\nstep down \"Down\"; set wren down on floor\n";
    let at = |rear: u32| {
        let text = format!("{CAR}{up}").replace("2000 mm behind", &format!("{rear} mm behind"));
        let compilation = compile_text(&text);
        compilation
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "off-balance")
            .map(|finding| format!("{}: {}", finding.severity.word(), finding.what))
            .collect::<Vec<_>>()
    };
    // The centre lies 1082 mm behind the front axle, known to about 3 mm.
    assert_eq!(at(1200), Vec::<String>::new());
    let doubt = at(1084);
    assert!(
        doubt.len() == 1
            && doubt
                .iter()
                .all(|text| text.starts_with("doubt: `wren` may tip to the rear")),
        "{doubt:?}"
    );
    let fault = at(1000);
    assert!(
        fault.len() == 1
            && fault
                .iter()
                .all(|text| text.starts_with("fault: `wren` tips to the rear")),
        "{fault:?}"
    );
}

#[test]
fn places_bear_by_the_centre() {
    let up = |rated: u32| {
        format!(
            "rig lift; lifts, holds; rated {rated} kg\nstep up \"Up\"; raise wren on lift to 1700 mm\nstep down \"Down\"; set wren down on floor\n"
        )
    };
    // 850 kg, the centre 782 mm of 1700 behind the front places: 230 kg on each of the front ones; on a floor that is not flat one of
    // them may bear all of the front axle's.
    assert_eq!(rules(&up(2000)), Vec::<String>::new());
    assert_eq!(rules(&up(1200)), ["advice arm-overloaded"]);
    assert_eq!(rules(&up(900)), ["fault arm-overloaded"]);
    assert_eq!(rules(&up(840)), ["fault over-rated"]);
}

#[test]
fn one_end_on_a_jack_bears_its_share() {
    let jack = |rated: u32| {
        format!(
            "rig jack; lifts; rated {rated} kg\nrig stands; holds; rated 2000 kg; count 2\nstep up \"Up\"; raise wren rear on jack\nstep down \"Down\"; set wren rear down on floor\n"
        )
    };
    // 850 kg, the centre 1082 mm of 2000 behind the front wheels: 460 kg on the jack.
    assert_eq!(rules(&jack(500)), Vec::<String>::new());
    assert_eq!(rules(&jack(450)), ["fault over-rated"]);
}

/// What cannot be is one fault, and hides no other: a tray that weighs nothing once silenced every load.
#[test]
fn an_impossible_figure_hides_no_overload() {
    let hoist = |rated: u32| format!("part tray; mass 0 kg\nrig hoist; lifts; rated {rated} kg\n{OUT}");
    let all = |plan: String| {
        let done = compile_text(&format!("{CAR}{plan}"));
        let faults = done
            .findings
            .iter()
            .filter(|finding| finding.severity == Severity::Fault);
        faults.map(|finding| finding.rule.name).collect::<Vec<_>>()
    };
    assert_eq!(all(hoist(100)), ["impossible-figure", "over-rated"]);
    assert_eq!(all(hoist(200)), ["impossible-figure"]);
    // Nor does it count for anything itself: a hoist that may bear nothing is one fault, not two.
    let nothing = format!("rig hoist; lifts; rated 0 kg\n{OUT}");
    assert_eq!(all(nothing), ["impossible-figure"]);
}
