//! Wheels under what is set down, fixings counted one by one, hardware that is used once, and what hangs by too few: each with what has to be
//! told, and what stands beside it within the limit. All plans are invented; common practice, no source, where none stands beside it.

use crate::support::{compile_text, rules_told as told};

fn what(rule: &str, text: &str) -> String {
    let done = compile_text(text);
    let all = done.findings.iter().filter(|finding| finding.rule.name == rule);
    all.map(|finding| finding.what.clone())
        .collect::<Vec<_>>()
        .join("; ")
}

const CAR: &str = "plan wren-job \"W\"; for wren; crew ada, tom, kit
person ada; lifts 30 kg
person tom; lifts 30 kg
person kit; lifts 30 kg
rig jack; lifts; rated 1500 kg
rig stands; holds; rated 1500 kg; count 4
caution under \"Car can drop\"; signal danger; harm \"Crushed. Death.\"; avoid \"Chocks in; push it.\"; against under-vehicle
";
const WHEELS: &str = "part hub; mass 30 kg quoted
joint hub-bolts: hub to shell; carries; bolts 4 x M12x1.75; torque 80 N m; head 18 mm
part wheel, each side; mass 14 kg quoted
joint wheel-bolts, each side: wheel to hub; carries; bolts 4 x M12x1.5; torque 90 N m; head 17 mm; with wheels down
";
const OFF: &str = "step loose; by ada; slacken both wheel-bolts
step up; by ada, tom; caution under; raise wren front on jack; set wren front down on stands
step off; by ada, tom, kit; caution under; hold wheel-left by tom; undo wheel-bolts-left; take off wheel-left; set wheel-left down on floor
  hold wheel-right by tom; undo wheel-bolts-right; take off wheel-right; set wheel-right down on floor
";

fn wheels(bears: &str, on: &str, after: &str) -> String {
    format!(
        "{CAR}vehicle wren \"Wren 900\"; body shell; mass 800 kg quoted; wheels front on {bears}\n{WHEELS}{OFF}\
         step on; by ada, tom, kit; caution under; {on}; raise wren front on jack; set wren front down on floor; {after}\n"
    )
}

#[test]
fn a_car_is_lowered_onto_wheels_that_are_bolted_on() {
    let both = "hold wheel-left by tom; fit wheel-left; hold wheel-right by kit; fit wheel-right";
    for bears in ["wheel-left", "wheel-right", "hub"] {
        // Started by hand is enough: the torque is reached on the ground.
        let sound = wheels(
            bears,
            &format!("{both}; start both wheel-bolts"),
            "tighten both wheel-bolts",
        );
        assert_eq!(told(&sound), Vec::<&str>::new(), "{sound}");
        let none = wheels(bears, both, "start both wheel-bolts; tighten both wheel-bolts");
        assert_eq!(told(&none), ["no-wheels-under"], "{none}");
        let one = wheels(
            bears,
            &format!("{both}; start 1 of wheel-bolts-left; start wheel-bolts-right"),
            "start wheel-bolts-left; tighten both wheel-bolts",
        );
        assert_eq!(told(&one), ["no-wheels-under"], "{one}");
        let why = what("no-wheels-under", &one);
        assert!(
            why.contains("wheel-bolts-left") && !why.contains("wheel-bolts-right"),
            "{why}"
        );
        // One wheel lies on the floor yet, whichever the vehicle names.
        let half = wheels(
            bears,
            "hold wheel-left by tom; fit wheel-left; start wheel-bolts-left",
            "tighten wheel-bolts-left",
        );
        let all = told(&half);
        assert!(all.contains(&"no-wheels-under"), "{all:?} of {half}");
    }
}

#[test]
fn a_hub_that_hangs_by_nothing_bears_no_wheel() {
    let hub = |undone: &str, back: &str| {
        format!(
            "{CAR}vehicle wren \"Wren 900\"; body shell; mass 800 kg quoted; wheels front on wheel-left\n{WHEELS}\
             rig table; lifts, holds; rated 300 kg\n\
             step up; by ada, tom; caution under; raise wren front on jack; set wren front down on stands
step axle; by ada, tom; caution under; hold hub with table; undo {undone}
step down; by ada, tom; caution under; release hub; raise wren front on jack; set wren front down on floor
step back; by ada, tom; {back}; tighten hub-bolts\n"
        )
    };
    let all = told(&hub("3 of hub-bolts", "start hub-bolts"));
    assert!(all.contains(&"no-wheels-under"), "{all:?}");
    let sound = hub("1 of hub-bolts; start hub-bolts", "look \"All four in\"");
    let all = told(&sound);
    assert!(!all.contains(&"no-wheels-under"), "{all:?}");
}

#[test]
fn what_takes_the_place_of_a_wheel_stands_for_it() {
    let plan = |on: &str| {
        format!(
            "{CAR}vehicle wren \"Wren 900\"; body shell; mass 800 kg quoted; wheels front on hub\npart hub; mass 30 kg quoted
joint hub-bolts: hub to shell; carries; bolts 4 x M12x1.75; torque 80 N m; head 18 mm
part wheel; mass 14 kg quoted; afterwards scrapped
part wheel-new; in place of wheel; mass 11 kg quoted
joint wheel-bolts: wheel to hub; carries; bolts 4 x M12x1.5; torque 90 N m; head 17 mm; with wheels down
joint new-bolts: wheel-new to hub; in place of wheel-bolts; same as wheel-bolts
part wheel-arch; mass 1 kg quoted; afterwards scrapped\njoint arch-clips: wheel-arch to hub; carries; clip; count 4; gone
step loose; by ada; slacken wheel-bolts
step up; by ada, tom; caution under; raise wren front on jack; set wren front down on stands
step off; by ada, tom; caution under; hold wheel by tom; undo wheel-bolts; take off wheel; undo arch-clips; take off wheel-arch
step on; by ada, tom; caution under; hold wheel-new by tom; fit wheel-new; {on}; raise wren front on jack; set wren front down on floor
  start new-bolts; tighten new-bolts\n"
        )
    };
    let all = told(&plan("start new-bolts"));
    assert!(!all.contains(&"no-wheels-under"), "{all:?}");
    let all = told(&plan("look \"It is on\""));
    assert!(all.contains(&"no-wheels-under"), "{all:?}");
}

fn caliper(tightened: &str) -> String {
    format!(
        "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom
part caliper; mass 4 kg quoted
joint cal-bolts: caliper to shell; carries; bolts 4 x M10x1.25 class 10.9; torque 60 N m; head 16 mm; second check
step off; by ada, tom; hold caliper by tom; undo cal-bolts; take off caliper
step on; by ada, tom; hold caliper by tom; fit caliper; start cal-bolts; {tightened}\n"
    )
}

#[test]
fn so_many_tightened_are_not_all_tight() {
    for sound in [
        "tighten cal-bolts; verify cal-bolts",
        "tighten 4 of cal-bolts; verify cal-bolts",
        "tighten 1 of cal-bolts; tighten 3 of cal-bolts; verify cal-bolts",
        "tighten 3 of cal-bolts; tighten cal-bolts; verify cal-bolts",
    ] {
        assert_eq!(told(&caliper(sound)), Vec::<&str>::new(), "{sound}");
    }
    let one = caliper("tighten 1 of cal-bolts");
    assert_eq!(told(&one), ["never-tightened", "never-verified"], "{one}");
    // Whoever checks finds one of them loose, at the check itself and once.
    let three = caliper("tighten 3 of cal-bolts; verify cal-bolts");
    assert_eq!(told(&three), ["never-tightened"], "{three}");
    assert!(
        what("never-tightened", &three).contains("checked before it is tight"),
        "{three}"
    );
    let twice = caliper("tighten 1 of cal-bolts; tighten 2 of cal-bolts; verify cal-bolts");
    assert_eq!(told(&twice), ["never-tightened"], "{twice}");
}

#[test]
fn of_those_that_are_in_so_many_may_be_tight_and_the_others_out() {
    let some = |first: &str, then: &str| {
        format!(
            "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom
part bracket; mass 2 kg quoted
joint feet: bracket to shell; carries; bolts 4 x M8x1.25 class 8.8; torque 22 N m; head 13 mm
step off; by ada, tom; hold bracket by tom; undo feet; take off bracket
step on; by ada, tom; hold bracket by tom; fit bracket; {first}; {then}\n"
        )
    };
    let sound = some("start 2 of feet; tighten 2 of feet", "start feet; tighten feet");
    assert_eq!(told(&sound), Vec::<&str>::new(), "{sound}");
    let never = some("start 2 of feet; tighten 2 of feet", "look \"Straight\"");
    assert_eq!(told(&never), ["never-remade"], "{never}");
    let more = some("start 1 of feet; tighten 2 of feet", "start feet; tighten feet");
    assert!(told(&more).contains(&"not-started"), "{:?}", told(&more));
}

#[test]
fn a_washer_that_was_squeezed_once_is_used_up_and_a_pin_is_not() {
    let banjo = |renew: &str, between: &str| {
        format!(
            "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom
part arm; mass 2 kg quoted
joint ball: arm to shell; carries; bolts 1 x M10x1.25 class 8.8; torque 45 N m; head 16 mm; {renew}
step turn; by ada, tom; slacken ball; {between}tighten ball\n"
        )
    };
    let out = "undo ball; start ball; ";
    for used in [
        "renew",
        "renew \"bolt\"",
        "renew \"copper washers\"",
        "renew \"washers\"",
        "renew \"sealing ring\"",
        "renew \"split pin and washer\"",
        "renew \"once only\"",
    ] {
        let again = banjo(used, "");
        assert_eq!(told(&again), ["single-use-again"], "{again}");
        let new = banjo(used, out);
        let all = told(&new);
        assert!(!all.contains(&"single-use-again"), "{all:?} of {new}");
    }
    let text = what("single-use-again", &banjo("renew \"copper washers\"", ""));
    assert!(text.contains("copper washers"), "{text}");
    for comes_and_goes in [
        "renew \"split pin\"",
        "renew \"split pins, 3.2 mm\"",
        "renew \"locking wire\"",
        "renew \"snap ring\"",
        "renew \"spring clip\"",
    ] {
        let again = banjo(comes_and_goes, "");
        assert_eq!(told(&again), Vec::<&str>::new(), "{again}");
    }
}

/// An engine on its mounts and its gearbox, that loses the gearbox.
fn gearbox(mounts: &str, before: &str, after: &str) -> String {
    format!(
        "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom
rig gearbox-jack; lifts; rated 300 kg\nrig beam; holds; rated 300 kg; borne by shell
caution hangs \"It comes down\"; signal danger; harm \"Crushed.\"; avoid \"Stand clear.\"; against suspended-load
part engine; mass 120 kg quoted\npart box; mass 35 kg quoted\n{mounts}
joint bell: box to engine; carries; bolts 6 x M10x1.5; torque 45 N m; head 16 mm
joint tail: box to shell; carries; bolts 2 x M10x1.5; torque 45 N m; head 16 mm
step off; by ada, tom; caution hangs; {before}hold box with gearbox-jack; undo tail, bell; take off box; set box down on floor
step on; by ada, tom; caution hangs; hold box with gearbox-jack; fit box; start bell, tail; tighten bell, tail; release box{after}\n"
    )
}

#[test]
fn two_bolts_may_be_two_mounts_once_the_gearbox_is_out() {
    let mounts = |count: u32| {
        format!("joint mounts: engine to shell; carries; bolts {count} x M12x1.75; torque 80 N m; head 18 mm")
    };
    let hangs = gearbox(&mounts(2), "", "");
    assert_eq!(told(&hangs), ["would-swing"], "{hangs}");
    assert!(
        what("would-swing", &gearbox(&mounts(2), "", "")).contains("the 2 fixings of `mounts`"),
        "{}",
        what("would-swing", &gearbox(&mounts(2), "", ""))
    );
    // Held, it does not; nor does it on a flange or a bracket of more bolts.
    let held = gearbox(&mounts(2), "hold engine with beam; ", "; release engine");
    assert_eq!(told(&held), Vec::<&str>::new(), "{held}");
    let flange = gearbox(&mounts(4), "", "");
    assert_eq!(told(&flange), Vec::<&str>::new(), "{flange}");
    // An arm on its pivot is to turn: it is what hangs on it that is heavy.
    let arm = gearbox(&mounts(2), "", "").replace("part engine; mass 120 kg", "part engine; mass 4 kg");
    assert_eq!(told(&arm), Vec::<&str>::new(), "{arm}");
    // Let go before the box is back, it swings then.
    let early = gearbox(&mounts(2), "hold engine with beam; ", "")
        .replace("set box down on floor", "set box down on floor; release engine");
    assert_eq!(told(&early), ["would-swing"], "{early}");
}

#[test]
fn of_what_is_heavy_the_last_bolt_but_one_comes_out_when_something_has_it() {
    let box_off = |mass: u32, undone: &str| {
        format!(
            "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada; lifts 30 kg\nperson tom; lifts 30 kg
rig table; lifts, holds; rated 300 kg
part box; mass {mass} kg quoted
joint bolts: box to shell; carries; bolts 4 x M10x1.5; torque 45 N m; head 16 mm
step off; by ada, tom; {undone}; undo bolts; take off box; set box down on floor
step on; by ada, tom; hold box with table; fit box; start bolts; tighten bolts; release box\n"
        )
    };
    let late = box_off(32, "undo 3 of bolts; hold box with table");
    assert_eq!(told(&late), ["would-swing"], "{late}");
    assert!(
        what("would-swing", &late).contains("one fixing of `bolts`"),
        "{late}"
    );
    // Two across hold it until the table is there; and what is light hangs by one.
    let two = box_off(32, "undo 2 of bolts; hold box with table; undo 1 of bolts");
    assert_eq!(told(&two), Vec::<&str>::new(), "{two}");
    let light = box_off(12, "undo 3 of bolts; hold box by tom");
    assert_eq!(told(&light), Vec::<&str>::new(), "{light}");
    // It falls after that: one cause, told as the graver.
    let never = box_off(32, "undo 3 of bolts");
    assert_eq!(told(&never), ["would-fall"], "{never}");
}

#[test]
fn an_angle_is_turned_with_something_that_shows_it() {
    let head = |needs: &str, torque: &str| {
        format!(
            "plan wren-job \"W\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell\nperson ada\nperson tom
tool wrench \"Torque wrench\"; range 10 N m to 100 N m\ntool gauge \"Angle gauge\"\ntool rag \"Rag\"
part cover; mass 3 kg quoted
joint bolts: cover to shell; carries; bolts 4 x M8x1.25 class 10.9; torque {torque}; head 13 mm; renew
step round; by ada, tom; {needs}undo bolts; start bolts; tighten bolts\n"
        )
    };
    let stretched = "20 N m then 90 deg";
    let without = head("needs wrench; ", stretched);
    assert_eq!(told(&without), ["tool-not-listed"], "{without}");
    for (needs, torque) in [
        ("needs wrench, gauge; ", stretched),
        ("needs wrench; ", "25 N m"),
        // A step that lays no wrench ready leaves the tools to whoever works.
        ("", stretched),
        ("needs rag; ", stretched),
    ] {
        let sound = head(needs, torque);
        assert_eq!(told(&sound), Vec::<&str>::new(), "{sound}");
    }
}

#[test]
fn a_wheel_that_hangs_turns_with_the_wrench() {
    let off = |first: &str, torque: &str, work: &str| {
        let wheels = WHEELS.replace("90 N m", torque);
        format!(
            "{CAR}vehicle wren \"Wren 900\"; body shell; mass 800 kg quoted; wheels front on hub\n{wheels}\
             step off; by ada, tom, kit; caution under; {first}raise wren front on jack; set wren front down on stands; {work}
step on; by ada, tom, kit; caution under; hold wheel-left by tom; fit wheel-left; start wheel-bolts-left; raise wren front on jack; set wren front down on floor; tighten wheel-bolts-left\n"
        )
    };
    let work = "hold wheel-left by tom; undo wheel-bolts-left; take off wheel-left";
    assert_eq!(told(&off("", "90 N m", work)), ["wheel-turns"]);
    let slackened = off("slacken wheel-bolts-left; ", "90 N m", work);
    assert_eq!(told(&slackened), Vec::<&str>::new(), "{slackened}");
    // A foot on the brake, and what a hand on the tyre holds.
    let braked = off("", "90 N m", &format!("steady hub by kit; {work}"));
    assert_eq!(told(&braked), Vec::<&str>::new(), "{braked}");
    let little = off("", "20 N m", work);
    assert!(!told(&little).contains(&"wheel-turns"), "{:?}", told(&little));
    // The other end is up, and this one stands.
    let rear = off("", "90 N m", "look \"Up\"")
        .replace("front on jack", "rear on jack")
        .replace("front down", "rear down")
        .replace(
            "hold wheel-left by tom; fit wheel-left; start wheel-bolts-left; ",
            "slacken wheel-bolts-left; ",
        );
    let all = told(&rear);
    assert!(!all.contains(&"wheel-turns"), "{all:?} of {rear}");
    // Both in one step are one finding.
    let both = off(
        "",
        "90 N m",
        "slacken both wheel-bolts; hold wheel-left by tom; undo wheel-bolts-left; take off wheel-left",
    )
    .replace("tighten wheel-bolts-left", "tighten both wheel-bolts");
    let found = compile_text(&both);
    let turns = found
        .findings
        .iter()
        .filter(|finding| finding.rule.name == "wheel-turns");
    assert_eq!(turns.count(), 1, "{both}");
}

#[test]
fn a_machine_comes_down_on_its_feet_and_is_bolted_to_them_there() {
    let lathe = |down: &str| {
        format!(
            "plan marsh-job \"M\"; for marsh; crew ada, tom\nperson ada\nperson tom
machine marsh \"Marsh lathe\"; body bed; mass 500 kg quoted; feet front on cabinet; feet rear on cabinet
rig crane; lifts; rated 2000 kg\nrig table; lifts, holds; rated 200 kg\npart cabinet; mass 60 kg quoted
joint cabinet-bolts: cabinet to bed; carries; bolts 4 x M12x1.75; torque 60 N m; head 18 mm
caution hangs \"It comes down\"; signal danger; harm \"Crushed. Death.\"; avoid \"Stand clear.\"; against suspended-load, under-vehicle
step off; by ada, tom; caution hangs; raise marsh on crane; hold cabinet with table; undo cabinet-bolts; {down}
step on; by ada, tom; caution hangs; start cabinet-bolts; tighten cabinet-bolts\n"
        )
    };
    let all = told(&lathe("set marsh down on floor"));
    assert!(!all.contains(&"no-wheels-under"), "{all:?}");
    let all = told(&lathe("take off cabinet; set marsh down on floor"));
    assert!(all.contains(&"no-wheels-under"), "{all:?}");
}
