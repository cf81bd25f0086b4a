//! The machine as it is: what a scale, a spring, a fluid or a place contradicts is told, and what is right beside it is not. All plans are
//! invented; what is asked of them is common practice, no source, where no source stands beside it.

use crate::support::compile_text;

const HEAD: &str = "plan wren-job \"W\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; mass 700 kg quoted
  jacking front at 100 mm behind front axle, 400 mm left and right
  jacking rear at 2000 mm behind front axle, 400 mm left and right
person ada; lifts 30 kg
person tom; lifts 30 kg
";

fn told(text: &str) -> Vec<&'static str> {
    crate::support::rules_told(&format!("{HEAD}{text}"))
}

#[track_caller]
fn tells(rule: &str, text: &str) {
    crate::support::tells(rule, &format!("{HEAD}{text}"));
}

#[track_caller]
fn is_clean(text: &str) {
    crate::support::is_clean(&format!("{HEAD}{text}"));
}

const GEARBOX: &str = "joint bell: gearbox to shell; carries; bolts 4 x M10x1.5; torque 45 N m; head 17 mm
rig table; lifts, holds; rated 300 kg
scale hook; capacity 100 kg; division 0.1 kg
weigh-in came-off; dated 2026-03-14; with hook; reads gearbox 41.3 kg
";

#[test]
fn what_was_weighed_counts_in_the_walk() {
    let undone =
        "step off; by ada, tom; undo bell; take off gearbox; fit gearbox; start bell; tighten bell\n";
    tells(
        "would-fall",
        &format!("part gearbox; mass 4 kg estimated\n{GEARBOX}{undone}"),
    );
    let held = "step off; by ada, tom; hold gearbox with table; undo bell; take off gearbox; fit gearbox; start bell; tighten bell; release gearbox from table\n";
    is_clean(&format!("part gearbox; mass 38 kg estimated\n{GEARBOX}{held}"));
}

#[test]
fn two_readings_of_one_thing() {
    let seat = |second: &str| {
        format!(
            "part seat; mass 10 kg estimated; afterwards stays off\njoint rails: seat to shell; carries; bolts 4 x M8x1.25; torque 25 N m; head 13 mm; gone
scale hook; capacity 100 kg; division 0.1 kg
weigh-in one; dated 2026-03-14; with hook; reads seat 9.1 kg
weigh-in two; dated 2026-03-15; with hook; reads seat {second}
step off; by ada, tom; hold seat by tom; undo rails; take off seat\n"
        )
    };
    tells("weighed-otherwise", &seat("11.4 kg"));
    is_clean(&seat("9.2 kg"));
}

const TANK: &str = "part tank; mass 8 kg weighed
fluid petrol; holds 48 l; density 0.75 kg/l; in tank
tool can; holds 60 l
joint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint hose: tank to shell; hose of petrol; push-on; play 100 mm
";

#[test]
fn a_full_tank_weighs_what_is_in_it() {
    let off = "hold tank by ada; undo straps, hose; take off tank; fit tank; start straps; tighten straps; start hose";
    tells(
        "too-heavy-by-hand",
        &format!("{TANK}step off; by ada, tom; {off}\n"),
    );
    is_clean(&format!(
        "{TANK}step off; by ada, tom; drain petrol into can; {off}; fill petrol 48 l\n"
    ));
}

#[test]
fn nobody_closes_a_joint_beneath_what_hangs() {
    let back = |rig: &str| {
        format!(
            "rig lift; lifts, holds; rated 2000 kg\nrig {rig}; lifts; rated 300 kg
caution hung \"A load comes down\"; signal danger; harm \"Crushed.\"; avoid \"Nobody beneath.\"; against suspended-load, under-vehicle
part box; mass 35 kg weighed\njoint bell: box to shell; carries; bolts 6 x M10x1.5; torque 45 N m; head 16 mm; reach from below
step up; by ada, tom; caution hung; raise wren on lift
step round; by ada, tom; caution hung; hold box with {name}; start bell; tighten bell; release box from {name}
step down; by ada, tom; lower wren; set wren down on floor\n",
            name = rig.split(' ').next().unwrap_or_default()
        )
    };
    let off = |rig: &str| {
        let starts =
            format!("{HEAD}{}", back(rig)).replace("; for wren; crew", "; for wren; starts box off; crew");
        let done = compile_text(&starts.replace("start bell;", "fit box; start bell;"));
        let rules: Vec<&str> = done.findings.iter().map(|finding| finding.rule.name).collect();
        rules.contains(&"under-a-jack")
    };
    assert!(off("hoist \"Engine hoist\""));
    // A jack below it is what a gearbox goes back on.
    assert!(!off("box-jack \"Gearbox jack\""));
}

#[test]
fn what_is_filled_again_weighs_what_goes_in() {
    // Found with five litres, drained, and full before it is carried.
    let text = |fill: &str| {
        format!(
            "{TANK}step off; by ada, tom; drain petrol into can; {fill}hold tank by ada; clamp hose; undo straps, hose; take off tank; fit tank; start straps; tighten straps; start hose; unclamp hose{}\n",
            if fill.is_empty() { "; fill petrol 48 l" } else { "" }
        )
    };
    let found_with = |text: &str| {
        let text = format!("{HEAD}{text}").replace("; for wren; crew", "; for wren; starts petrol 5 l; crew");
        let done = compile_text(&text);
        let rules: Vec<&str> = done.findings.iter().map(|finding| finding.rule.name).collect();
        rules.contains(&"too-heavy-by-hand")
    };
    assert!(found_with(&text("fill petrol 48 l; ")));
    assert!(!found_with(&text("")));
}

#[test]
fn nothing_is_filled_into_what_lies_on_the_floor() {
    let off =
        "drain petrol into can; hold tank by ada; undo straps, hose; take off tank; set tank down on floor";
    let on = "hold tank by ada; fit tank; start straps; tighten straps; start hose";
    tells(
        "left-open",
        &format!(
            "{TANK}step off; by ada, tom; {off}\nstep on; by ada, tom; fill petrol 48 l\nstep more; by ada, tom; {on}\n"
        ),
    );
    is_clean(&format!(
        "{TANK}step off; by ada, tom; {off}\nstep on; by ada, tom; {on}; fill petrol 48 l\n"
    ));
}

#[test]
fn undone_and_drained_in_one_step() {
    let plug = "part sump; mass 4 kg quoted\njoint sump-bolts: sump to shell; carries; bolts 8 x M6x1.0; torque 9 N m; head 10 mm
part drain-plug; mass 0.1 kg quoted\njoint plug: drain-plug to sump; bolts 1 x M14x1.5; torque 30 N m; head 19 mm; opens oil; renew
fluid oil; holds 4 l; density 0.87 kg/l; in sump\ntool tray; holds 8 l\n";
    let back = "start plug; tighten plug; fill oil 4 l";
    is_clean(&format!(
        "{plug}step drain; by ada; undo plug; drain oil into tray; {back}\n"
    ));
    is_clean(&format!(
        "{plug}step drain; by ada; drain oil into tray; undo plug; {back}\n"
    ));
    tells(
        "still-full",
        &format!("{plug}step drain; by ada; undo plug\nstep close; by ada; {back}\n"),
    );
}

const SHAFT: &str = "part shaft; mass 3 kg quoted
joint yoke: shaft to shell; spline; carries; engaged 60 mm; opens oil
joint flange: shaft to shell; carries; bolts 4 x M8x1.25; torque 30 N m; head 13 mm
part box; mass 4 kg quoted\njoint box-bolts: box to shell; carries; bolts 4 x M8x1.25; torque 30 N m; head 13 mm
fluid oil; holds 2 l; density 0.87 kg/l; in box
";

#[test]
fn a_spline_that_opens_oil_is_plugged_and_the_plug_comes_out_before_it_goes_home() {
    let drawn = "hold shaft by ada; undo flange; draw shaft back 60 mm";
    tells(
        "still-full",
        &format!(
            "{SHAFT}step out; by ada, tom; {drawn}; take off shaft\nstep in; by ada, tom; hold shaft by ada; fit shaft; slide home shaft; start flange; tighten flange\n"
        ),
    );
    is_clean(&format!(
        "{SHAFT}step out; by ada, tom; {drawn}; plug yoke; take off shaft\nstep in; by ada, tom; hold shaft by ada; fit shaft; unplug yoke; slide home shaft; start flange; tighten flange\n"
    ));
}

#[test]
fn a_plug_is_not_carried_over_to_the_line_that_comes_in_its_place() {
    let line = "part pipe; mass 0.4 kg quoted; afterwards scrapped\npart pipe-new; in place of pipe; mass 0.4 kg quoted
fluid dot; holds 0.5 l; density 1.05 kg/l; in pipe; needs bleeding; against brake-fluid
joint old: pipe to shell; pipe of dot; nuts 1 x M10x1.0; torque 15 N m; head 11 mm
joint old-clip: pipe to shell; clip; carries
joint new: pipe-new to shell; in place of old; same as old
joint new-clip: pipe-new to shell; in place of old-clip; same as old-clip
";
    let work = |unplug: &str| {
        format!(
            "{line}step change; by ada; undo old; plug old; undo old-clip; take off pipe; fit pipe-new; start new-clip; {unplug}start new; tighten new; fill dot 0.5 l; bleed dot\n"
        )
    };
    tells("cap-left", &work(""));
    is_clean(&work("unplug old; "));
}

#[test]
fn what_takes_the_place_of_a_cover_covers() {
    let tray = |covers: &str| {
        format!(
            "part tray; mass 3 kg quoted; afterwards scrapped\npart tray-new; in place of tray; mass 2 kg quoted{covers}
joint screws: tray to shell; carries; screws 4 x M6x1.0; torque 6 N m
joint screws-new: tray-new to shell; in place of screws; same as screws
part pump; mass 1 kg quoted\njoint pump-bolts: pump to shell; carries; bolts 2 x M6x1.0; torque 9 N m; head 10 mm; covered by tray
step change; by ada; undo screws; take off tray; undo pump-bolts; take off pump
  fit tray-new; start screws-new; tighten screws-new
  fit pump; start pump-bolts; tighten pump-bolts\n"
        )
    };
    tells("out-of-reach", &tray(""));
    is_clean(&tray("; covers nothing"));
}

#[test]
fn an_end_is_raised_at_its_own_place() {
    let up = |at: &str| {
        format!(
            "rig jack; lifts; rated 900 kg\nrig stands; holds; rated 900 kg; count 2
caution under \"Car can drop\"; signal danger; harm \"Crushed. Death.\"; avoid \"Chocks in; push it.\"; against under-vehicle
step up; by ada, tom; caution under; raise wren rear on jack at jacking {at}; set wren rear down on stands; raise wren rear on jack; set wren rear down on floor\n"
        )
    };
    tells("wrong-rig", &up("front"));
    is_clean(&up("rear"));
}

#[test]
fn what_stands_by_its_weight_falls_of_nothing() {
    let battery = |rests: &str| {
        format!(
            "part tray; mass 1 kg quoted\njoint tray-bolts: tray to shell; carries; bolts 2 x M6x1.0; torque 9 N m; head 10 mm
part battery; mass 14 kg quoted{rests}\njoint clamp: battery to tray; carries; bolts 1 x M8x1.25; torque 10 N m; head 13 mm
step slack; by ada, tom; undo clamp; look \"No rust below\"; start clamp; tighten clamp\n"
        )
    };
    tells("would-fall", &battery(""));
    is_clean(&battery("; rests on tray"));
}

#[test]
fn what_rests_on_what_leaves_comes_down() {
    let text = "part tray; mass 1 kg quoted\njoint tray-bolts: tray to shell; carries; bolts 2 x M6x1.0; torque 9 N m; head 10 mm
part battery; mass 14 kg quoted; rests on tray
step off; by ada; undo tray-bolts; take off tray; fit tray; start tray-bolts; tighten tray-bolts\n";
    tells("would-fall", text);
}

#[test]
fn what_rests_on_a_load_is_a_load_from_the_first() {
    let tray = "part tray; mass 3 kg weighed\npart block; mass 20 kg weighed; rests on tray\njoint tray-bolts: tray to shell; carries; bolts 2 x M8x1.25; torque 22 N m; head 13 mm\n";
    let step = "step off; by ada, tom; hold tray with table; undo tray-bolts; start tray-bolts; tighten tray-bolts; release tray from table\n";
    let rated = |kg: u32| format!("rig table; lifts, holds; rated {kg} kg\n{tray}{step}");
    tells("over-rated", &rated(15));
    is_clean(&rated(60));
}

#[test]
fn a_frame_on_a_hose_falls_and_a_valve_hangs() {
    let thing = |kg: u32| {
        format!(
            "part thing; mass {kg} kg quoted\njoint bolts: thing to shell; carries; bolts 4 x M10x1.5; torque 45 N m; head 17 mm
fluid dot; holds 0.5 l; density 1.05 kg/l; in thing
joint line: thing to shell; hose of dot; nuts 1 x M10x1.0; torque 15 N m; head 11 mm; play 50 mm
step off; by ada, tom; undo bolts
step on; by ada, tom; start bolts; tighten bolts\n"
        )
    };
    tells("would-fall", &thing(60));
    tells("hung-by-hose", &thing(2));
}

#[test]
fn nothing_is_left_on_a_jack() {
    let text = |leave: &str| {
        format!(
            "part arm; mass 14 kg quoted\njoint pivot: arm to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 19 mm
joint strut: arm to shell; carries; bolts 1 x M12x1.75; torque 80 N m; head 19 mm
rig jack; lifts; rated 900 kg
step one; by ada, tom; hold arm with jack; undo strut{leave}
step two; by ada, tom; start strut; tighten strut; release arm from jack\n"
        )
    };
    tells("not-safe-to-leave", &text("; safe to leave"));
    is_clean(&text(""));
}

#[test]
fn a_hand_that_steadies_one_thing_holds_no_other() {
    let text = |second: &str| {
        format!(
            "part arm; mass 2 kg weighed\npart cover; mass 1 kg weighed\njoint pivot: arm to shell; carries; bolts 1 x M8x1.25; torque 22 N m; head 13 mm\njoint clips: cover to shell; clip; carries\nstep off; by ada, tom; steady arm by tom; {second}; undo pivot; take off arm; fit arm; start pivot; tighten pivot\n"
        )
    };
    tells("nobody-to-help", &text("hold cover by tom"));
    is_clean(&text("steady arm by tom"));
}

#[test]
fn a_hand_steadies_what_would_swing() {
    let door = |hand: &str| {
        format!(
            "part door; mass 24 kg quoted\njoint upper: door to shell; carries; bolts 2 x M8x1.25; torque 25 N m; head 13 mm
joint lower: door to shell; carries; bolts 2 x M8x1.25; torque 25 N m; head 13 mm
joint stay: door to shell; carries; bolts 1 x M8x1.25; torque 25 N m; head 13 mm
step stay-off; by ada, tom; {hand}undo stay; start stay; tighten stay\n"
        )
    };
    tells("would-swing", &door(""));
    is_clean(&door("steady door by tom; "));
    tells(
        "nobody-to-help",
        &door("steady door by tom; steady door by ada; "),
    );
}

#[test]
fn front_and_rear_exchanged_on_a_sheet() {
    let weighed = |second: &str| {
        format!(
            "part engine; mass 120 kg weighed; afterwards stays off; at 100 mm behind front axle, 0 mm left, 500 mm up
joint mounts: engine to shell; carries; bolts 3 x M10x1.5; torque 45 N m; head 17 mm; gone
rig hoist; lifts, holds; rated 500 kg
scale pads; capacity 400 kg each; division 0.5 kg
weigh-in before; dated 2026-03-07; with pads; axles 400 kg front, 300 kg rear
weigh-in after-all; dated 2026-03-14; with pads; axles {second}
step out; by ada, tom; hold engine with hoist; undo mounts; take off engine; set engine down on floor\n"
        )
    };
    let head = HEAD.replace(
        "mass 700 kg quoted\n",
        "mass 700 kg quoted; wheelbase 2000 mm; track 1300 mm front, 1300 mm rear\n",
    );
    let rules = |text: &str| -> Vec<String> {
        let done = compile_text(&format!("{head}{text}"));
        let all = done
            .findings
            .iter()
            .filter(|finding| finding.rule.name != "never-used");
        all.map(|finding| format!("{} {}", finding.rule.name, finding.harm))
            .collect()
    };
    // Statics by hand: 120 kg at 100 mm of 2000 mm take 114 kg off the front and 6 kg off the rear: 286 and 294 are left.
    assert_eq!(rules(&weighed("286 kg front, 294 kg rear")), Vec::<String>::new());
    let swapped = weighed("294 kg front, 286 kg rear");
    let told = rules(&swapped);
    assert!(
        told.iter()
            .any(|said| said.starts_with("corners-against-parts") && said.contains("after-all")),
        "{told:?}"
    );
}

#[test]
fn a_message_of_a_stage_holds_on_the_way_back() {
    let text = "rig jack; lifts; rated 900 kg\nrig stands; holds; rated 900 kg; count 2
part guard; mass 2 kg quoted\njoint guard-bolts: guard to shell; carries; bolts 2 x M6x1.0; torque 9 N m; head 10 mm; reach from below, front
caution under \"Car can drop\"; signal danger; harm \"Crushed. Death.\"; avoid \"Chocks in; push it.\"; against under-vehicle
stage out; caution under
step up; by ada, tom; raise wren front on jack; set wren front down on stands
step off; by ada, tom; undo guard-bolts; take off guard
stage back reverses out\n";
    is_clean(text);
}

#[test]
fn a_full_tank_on_a_rig_weighs_what_is_in_it() {
    let off = |kg: u32| {
        format!(
            "{TANK}rig board; lifts, holds; rated {kg} kg
step off; by ada, tom; hold tank with board; undo straps, hose; plug hose; take off tank
step on; by ada, tom; fit tank; start straps; tighten straps; unplug hose; start hose; release tank from board\n"
        )
    };
    // 8 kg and 48 l of 0.75 kg/l: 44 kg.
    tells("over-rated", &off(40));
    is_clean(&off(50));
}

#[test]
fn a_draft_is_asked_like_any_other_text() {
    let text = "rig lift; lifts, holds; rated 900 kg
part arm; mass 4 kg quoted\njoint pivot: arm to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 19 mm
joint ball: arm to shell; carries; bolts 1 x M12x1.75; torque 80 N m; head 19 mm
part lamp; mass 1 kg quoted\njoint screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m
energy coil; spring; in arm; held in by ball; force 2 kN; free at 100 mm
step look; by ada, tom; look \"Dry\"\n";
    let rules = |plan: &str, name: &str| -> Vec<&'static str> {
        let done = compile_text(plan);
        let part = done.plan.parts.iter().find(|(_, part)| *part.head.name == *name);
        let thing = boltfolio_core::plan::model::Thing::Part(part.expect("declared").0);
        let draft = boltfolio_core::walk::draft::draft(&done.plan, done.weights().table(), thing, None)
            .expect("a way");
        let found = boltfolio_core::compile::tried(&done, &draft.text(&done.plan, thing), draft.after)
            .expect("walked");
        found.iter().map(|finding| finding.rule.name).collect()
    };
    let plan = format!("{HEAD}{text}");
    let staged = plan.replace("step look", "stage strip\nstep look");
    let listed = staged.replace("; for wren; crew", "; stages strip; for wren; crew");
    let two = listed.replace("stages strip;", "stages strip, rest;")
        + "stage rest\nstep later; by ada, tom; look \"Dry\"\n";
    // What is safe after a step that is yet to come is live now.
    let later = two.replace("coil; spring;", "coil; spring; safe after later;");
    for plan in [plan, staged, listed, two, later] {
        let arm = rules(&plan, "arm");
        assert!(arm.contains(&"spring-loose"), "{arm:?} of\n{plan}");
        assert_eq!(rules(&plan, "lamp"), Vec::<&str>::new(), "{plan}");
    }
}

/// A vehicle that can be balanced: its centre from four corners, and where it stands.
const BALANCED: &str = "plan wren-job \"W\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; mass 800 kg quoted; wheelbase 2200 mm; track 1300 mm front, 1300 mm rear
  jacking front at 100 mm behind front axle, 400 mm left and right
  jacking rear at 2100 mm behind front axle, 400 mm left and right
scale pads; capacity 400 kg each; division 0.5 kg
weigh-in before; dated 2026-03-07; with pads; corners 200 kg, 200 kg front, 200 kg, 200 kg rear
person ada; lifts 30 kg
person tom; lifts 30 kg
";

/// Rules that a whole text is told of, without what is never used.
fn told_of(text: &str) -> Vec<&'static str> {
    let done = compile_text(text);
    let mut rules: Vec<&'static str> = done.findings.iter().map(|finding| finding.rule.name).collect();
    rules.retain(|rule| *rule != "never-used");
    rules
}

/// An arm with a spring on it that no energy declares; the arm goes nowhere, and nothing falls.
fn unsaid_spring(spring: &str, declared: &str, act: &str) -> String {
    format!(
        "part arm; mass 6 kg quoted\n{spring}\n{declared}
part damper; mass 2 kg quoted\npart drum; mass 5 kg quoted\npart tab; mass 0.1 kg quoted
joint seat: push to arm; clip; flexible; carries\njoint crown: push to shell; clip; flexible; carries
joint pivot: arm to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 19 mm
joint ball: arm to shell; carries; taper; nuts 1 x M12x1.25; torque 45 N m; head 19 mm
joint damper-eye: damper to arm; bolts 1 x M10x1.5; torque 45 N m; head 17 mm
joint damper-top: damper to shell; carries; nuts 1 x M10x1.5; torque 30 N m; head 17 mm
joint drum-bolts: drum to arm; carries; bolts 4 x M8x1.25; torque 20 N m; head 13 mm
joint tab-bolt: tab to arm; carries; bolts 1 x M6x1.0; torque 9 N m; head 10 mm
rig table; lifts, holds; rated 600 kg
step one; by ada, tom; hold arm with table; {act}; release arm from table\n"
    )
}

#[test]
fn a_spring_is_asked_about_where_what_it_pushes_against_is_let_go() {
    let ball = "slacken ball; press apart ball; press home ball; tighten ball";
    for spring in [
        "part push \"Coil spring\"; mass 3 kg quoted",
        "part push \"Coilover, front\"; mass 4 kg quoted",
        "part push \"Gas strut\"; mass 0.3 kg quoted",
        "part push \"Gas spring\"; mass 0.3 kg quoted",
        "part push \"Torsion bar\"; mass 5 kg quoted",
    ] {
        tells("keeper-not-said", &unsaid_spring(spring, "", ball));
    }
    let coil = "part push \"Coil spring\"; mass 3 kg quoted";
    tells(
        "keeper-not-said",
        &unsaid_spring(coil, "", "undo damper-eye; start damper-eye; tighten damper-eye"),
    );
    // What only hangs on the arm keeps nothing.
    is_clean(&unsaid_spring(
        coil,
        "",
        "hold drum by tom; undo drum-bolts; start drum-bolts; tighten drum-bolts; undo tab-bolt; start tab-bolt; tighten tab-bolt",
    ));
    // Slackened, a joint still ties.
    is_clean(&unsaid_spring(coil, "", "slacken pivot; tighten pivot"));
    let said = "energy coil; spring; in arm, push; held in by ball, damper-eye; force 0.5 kN; free at 100 mm";
    is_clean(&unsaid_spring(coil, said, ball));
    // An energy without keepers is asked the same.
    let safe = "energy coil; spring; in arm, push; force 0.5 kN";
    tells("keeper-not-said", &unsaid_spring(coil, safe, ball));
}

#[test]
fn what_belongs_to_a_spring_is_none() {
    let off = |part: &str| {
        format!(
            "part thing \"{part}\"; mass 1 kg quoted\njoint bolts: thing to shell; carries; bolts 2 x M8x1.25; torque 22 N m; head 13 mm
step off; by ada; undo bolts; take off thing; fit thing; start bolts; tighten bolts\n"
        )
    };
    for part in [
        "Spring pad",
        "Spring cup, left",
        "Spring plate",
        "Spring hub",
        "Seat of the spring",
    ] {
        is_clean(&off(part));
    }
    for part in ["Spring, left", "Leaf spring with its pads"] {
        tells("keeper-not-said", &off(part));
    }
}

/// Statics: a push of more than the whole lifts it wherever it acts. 7 kN are 714 kg of 700; 2 kN are 204 kg, and nobody can say; 0.6 kN are
/// 61 kg, less than a tenth.
#[test]
fn a_spring_is_held_against_the_whole_where_its_place_is_not_said() {
    let job = |force: &str, at: &str| {
        format!(
            "rig lift; lifts, holds; rated 900 kg\npart arm; mass 4 kg quoted{at}
joint pivot: arm to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 19 mm
joint ball: arm to shell; carries; bolts 1 x M12x1.75; torque 80 N m; head 19 mm
energy coil; spring; in arm; held in by ball{force}; free at 100 mm
step one; by ada, tom; hold arm with lift; undo ball; start ball; tighten ball; release arm from lift\n"
        )
    };
    let place = "; at 0 mm behind front axle, 500 mm left, 250 mm up";
    assert_eq!(told(&job("; force 7 kN", "")), ["spring-lifts-car"]);
    assert_eq!(told(&job("; force 2 kN", "")), ["spring-not-judged"]);
    // Nor can anybody while the centre and the places are not known.
    assert_eq!(told(&job("; force 2 kN", place)), ["spring-not-judged"]);
    is_clean(&job("; force 0.6 kN", ""));
    let balanced = |force: &str, at: &str| told_of(&format!("{BALANCED}{}", job(force, at)));
    assert_eq!(balanced("; force 2 kN", place), [""; 0]);
    assert_eq!(balanced("; force 2 kN", ""), ["spring-not-judged"]);
    assert_eq!(balanced("", place), ["force-not-said"]);
    // A compressor takes the force in its step.
    for job in [job("; force 2 kN", ""), job("", place)] {
        let job = job.replace("step one; by ada, tom;", "step one; by ada, tom; needs hooks;");
        assert_eq!(
            told_of(&format!("{BALANCED}tool hooks; compresses\n{job}")),
            [""; 0]
        );
    }
    // Its spring says it as well as the arm does.
    let coil = format!(
        "part push \"Coil\"; mass 3 kg quoted{place}\njoint seat: push to arm; clip; carries\n{}",
        job("; force 2 kN", "").replace("in arm;", "in arm, push;")
    );
    assert_eq!(told_of(&format!("{BALANCED}{coil}")), [""; 0]);
}

/// OSHA 29 CFR 1910.147 (d)(6): that it is dead is verified after it was isolated, by a plug or by a switch; before that a look says nothing.
#[test]
fn dead_is_proved_after_it_was_cut_off() {
    let supply = |acts: &str| {
        format!(
            "person esk; licensed for high-voltage, pyrotechnic\npart pack; mass 4 kg quoted\njoint pack-bolts: pack to shell; carries; bolts 4 x M6x1.0; torque 9 N m; head 10 mm
joint pack-plug: pack to shell; plug of traction\njoint pack-lead: pack to shell; cable of traction\njoint earth: pack to shell; strap of small
energy traction \"Traction supply, 400 V\"; electric; safe after dead\nenergy small \"12 V\"; electric; safe after dead
caution shock \"It kills\"; signal danger; harm \"Electric shock. Death.\"; avoid \"Locked off.\"; against high-voltage
step dead; by esk; caution shock; {acts}\nstep live; by esk; caution shock; start earth, pack-lead, pack-plug\n"
        )
    };
    for early in [
        "look \"Meter at nothing\"; undo pack-plug, pack-lead, earth",
        "undo earth; look \"Meter at nothing\"; undo pack-plug, pack-lead",
        "look \"Switch off\"; undo pack-plug; undo pack-lead, earth",
    ] {
        tells("not-proved-dead", &supply(early));
    }
    for sound in [
        "undo pack-plug, pack-lead, earth; look \"Meter at nothing\"",
        "look \"Switch off\"; undo pack-plug; look \"Meter at nothing\"; undo pack-lead, earth",
        "undo earth, pack-plug; verify \"Meter at nothing\"; undo pack-lead",
        "look \"Main switch off, key out\"; verify \"Start button tried: dead\"; undo pack-plug, pack-lead, earth",
    ] {
        is_clean(&supply(sound));
    }
    let bag = |acts: &str| {
        format!(
            "person esk; licensed for pyrotechnic\npart bag \"Airbag\"; mass 1 kg quoted\njoint bag-screws: bag to shell; carries; screws 2 x M6x1.0; torque 9 N m; key 5 mm
joint bag-plug: bag to shell; plug of charge\nenergy charge \"Charge\"; pyrotechnic; safe after dead
part battery; mass 4 kg quoted\njoint clamp: battery to shell; carries; bolts 1 x M8x1.25; torque 10 N m; head 13 mm\njoint earth: battery to shell; strap of supply
energy supply \"12 V supply\"; electric; safe after dead
caution goes-off \"It goes off\"; signal warning; harm \"Burns, broken bones.\"; avoid \"Nobody before it.\"; against pyrotechnic, battery
step dead; by esk; caution goes-off; {acts}; start bag-plug, earth\n"
        )
    };
    tells(
        "not-proved-dead",
        &bag("look \"Ten minutes by the clock\"; undo earth; undo bag-plug"),
    );
    is_clean(&bag(
        "undo earth; look \"Ten minutes by the clock\"; undo bag-plug",
    ));
}

#[test]
fn licensed_work_that_words_order() {
    let note = |title: &str, text: &str| {
        format!(
            "fluid cold \"Refrigerant\"; holds 0.6 l; in condenser\npart condenser; mass 4 kg quoted
joint condenser-bolts: condenser to shell; carries; bolts 4 x M6x1.0; torque 9 N m; head 10 mm
joint cold-line: condenser to shell; pipe of cold; nuts 1 x M16x1.5; torque 20 N m; head 22 mm
step one \"{title}\"; by ada; note {text}\n"
        )
    };
    for order in [
        "Take the refrigerant out first.",
        "Vent the refrigerant if nobody looks.",
        "Vent the refrigerant without a mask.",
        "Goggles on, let the refrigerant out.",
    ] {
        tells("licensed-work", &note("Condenser", order));
    }
    for order in [
        "Crack the line and wait.",
        "Let the gas out.",
        "Depressurise the circuit.",
    ] {
        tells("licensed-work", &note("Air conditioning aside", order));
        // Of a brake it says nothing of the kind.
        is_clean(&note("Brakes", order));
    }
    for remark in [
        "Do not open the line.",
        "If it hisses, shut the doors.",
        "Hang the refrigerant hoses aside, do not part them.",
        "Undo the clips of the refrigerant hoses.",
    ] {
        is_clean(&note("Air conditioning aside", remark));
    }
}

/// The finding of a rule, as what it says and its mend.
fn words_of(rule: &str, text: &str) -> (String, String) {
    let done = compile_text(&format!("{HEAD}{text}"));
    let found = done.findings.iter().find(|finding| finding.rule.name == rule);
    let found = found.unwrap_or_else(|| panic!("no {rule} in\n{text}"));
    (found.what.clone(), found.mend.words.clone())
}

#[test]
fn how_many_stands_it_takes_is_said() {
    let up = |count: u32, more: &str| {
        format!(
            "rig jack; lifts; rated 900 kg\nrig stands; holds; rated 900 kg; count {count}
part box; mass 30 kg quoted\njoint bell: box to shell; carries; bolts 4 x M10x1.5; torque 45 N m; head 17 mm
caution under \"Car can drop\"; signal danger; harm \"Crushed. Death.\"; avoid \"Chocks in; push it.\"; against under-vehicle
step up; by ada, tom; caution under; raise wren front on jack at jacking front; set wren front down on stands; raise wren rear on jack at jacking rear; set wren rear down on stands
  {more}
  raise wren rear on jack; set wren rear down on floor; raise wren front on jack; set wren front down on floor\n"
        )
    };
    let (what, mend) = words_of("too-few-under", &up(2, "look \"Level\""));
    assert!(what.contains("that takes 4"), "{what}");
    assert!(mend.contains("count 4") && mend.contains("2 more"), "{mend}");
    is_clean(&up(4, "look \"Level\""));
    let box_too = "hold box with stands; undo bell; start bell; tighten bell; release box from stands";
    let (what, mend) = words_of("too-few-under", &up(4, box_too));
    assert!(what.contains("that takes 5"), "{what}");
    assert!(mend.contains("count 5") && mend.contains("1 more"), "{mend}");
    is_clean(&up(5, box_too));
}

#[test]
fn a_second_catch_is_asked_for_what_the_jack_bears() {
    let job = |catch: &str| {
        format!(
            "rig jack; lifts; rated 900 kg\nrig prop; holds; rated 900 kg
part arm; mass 4 kg quoted\npart push \"Coil\"; mass 3 kg quoted\njoint seat: push to arm; clip; carries
joint pivot: arm to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 19 mm
joint ball: arm to shell; carries; bolts 1 x M12x1.75; torque 80 N m; head 19 mm
energy coil; spring; in arm, push; held in by ball; force 0.5 kN; free at 100 mm
step one; by ada, tom; hold arm with jack; {catch}undo ball; start ball; tighten ball; release arm from jack\n"
        )
    };
    let (what, mend) = words_of("no-second-catch", &job(""));
    assert!(what.starts_with("only `jack` bears `arm`"), "{what}");
    assert!(
        mend.contains("touch arm with ...") && mend.contains("tie up push to shell"),
        "{mend}"
    );
    // Each of the mends, as it is written.
    is_clean(&job("touch arm with prop; ").replace(
        "release arm from jack",
        "release arm from jack; release arm from prop",
    ));
    is_clean(
        &job("tie up push to shell, 60 kg; ")
            .replace("release arm from jack", "release arm from jack; untie push"),
    );
}

#[test]
fn a_strap_round_a_tank_bears_it() {
    let tank = |name: &str, more: &str| {
        format!(
            "part tank; mass 12 kg weighed\nenergy supply; electric; safe after dead
joint {name}: tank to shell; strap; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm{more}
joint filler: tank to shell; clip; carries\ncaution acid \"Acid\"; signal caution; harm \"Burns.\"; avoid \"Goggles on.\"; against battery
step dead; by ada; caution acid; look \"Off\"\nstep clip; by ada, tom; caution acid; undo filler; start filler
step off; by ada, tom; caution acid; hold tank by tom; undo {name}, filler; take off tank; fit tank; start {name}, filler; tighten {name}\n"
        )
    };
    is_clean(&tank("straps", ""));
    tells("takes-itself-back", &tank("earth-strap", ""));
    tells("takes-itself-back", &tank("straps", "; of supply"));
}

/// Two-part adhesives set in one to three days: common practice, no source.
#[test]
fn waiting_is_not_work() {
    let step = |act: &str, time: &str| {
        format!(
            "part glass; mass 2 kg quoted\njoint seam: glass to shell; bonded; carries; sets in {time}
caution sharp-edge \"Edges cut\"; signal caution; harm \"Cut hands.\"; avoid \"Gloves on.\"; against sharp, dust, solvent, fire
step cut-out; by ada, tom; caution sharp-edge; hold glass by tom; break seam \"Cut with wire\"; take off glass
step glue; by ada, tom; caution sharp-edge; hold glass by tom; fit glass; bond seam; {act}; time {time}\n"
        )
    };
    is_clean(&step("wait seam", "50 h"));
    is_clean(&step("wait seam", "7 d"));
    let work = |time: &str| format!("step look-over; by ada; look \"Dry\"; time {time}\n");
    tells("implausible", &work("50 h"));
    is_clean(&work("8 h"));
    tells("implausible", &step("wait seam", "50 d"));
}

#[test]
fn a_class_is_written_where_the_fixings_are_counted() {
    let seat = |fixings: &str| {
        format!(
            "part seat; mass 3 kg quoted\njoint rails: seat to shell; carries; {fixings}; torque 45 N m; head 16 mm
step one; by ada, tom; hold seat by tom; undo rails; take off seat; fit seat; start rails; tighten rails\n"
        )
    };
    for (apart, hint) in [
        ("bolts 4 x M10x1.5; class 8.8", "`bolts 4 x M10x1.25 class 8.8`"),
        ("bolts 4 x 3/8-16; grade 8", "`bolts 4 x 3/8-16 grade 8`"),
    ] {
        let (what, mend) = words_of("unreadable-line", &seat(apart));
        assert!(format!("{what} {mend}").contains(hint), "{what} {mend}");
        assert!(!what.contains("class minimum"), "{what}");
    }
    is_clean(&seat("bolts 4 x M10x1.5 class 8.8"));
}

#[test]
fn a_return_spring_is_free_when_one_of_its_hooks_is_off() {
    let job = |more: &str, steps: &str| {
        format!(
            "part drum; mass 5 kg quoted\njoint drum-screws: drum to shell; carries; screws 2 x M8x1.25; key 6 mm; torque 20 N m
part shoe, each side; mass 0.5 kg quoted\njoint pin, each side: shoe to shell; clip; carries
part puller \"Return spring\"; mass 0.1 kg quoted\njoint hook-l: puller to shoe-left; clip; carries\njoint hook-r: puller to shoe-right; clip{more}
tool pliers; compresses\nenergy pull; spring; in puller; held in by hook-l, hook-r; force 150 N; free at 30 mm\n{steps}\n"
        )
    };
    let on = "step on; by ada; needs pliers; fit puller; start hook-l, hook-r";
    is_clean(&job(
        "",
        &format!("step off; by ada; needs pliers; undo hook-l, hook-r; take off puller\n{on}"),
    ));
    let by_hand = format!(
        "step one; by ada; undo hook-l\nstep off; by ada; needs pliers; undo hook-r; take off puller\n{on}"
    );
    tells("spring-loose", &job("", &by_hand));
    // An arm on a pivot of its own is kept by each of two keepers.
    let arm = "part arm; mass 4 kg quoted\njoint pivot: arm to shell; carries; bolts 1 x M12x1.75; torque 80 N m; head 18 mm
part knuckle; mass 3 kg quoted\njoint ball: arm to knuckle; carries; bolts 1 x M12x1.75; torque 50 N m; head 18 mm
joint strut: knuckle to shell; carries; bolts 1 x M12x1.75; torque 50 N m; head 18 mm
part belt; mass 1 kg quoted\njoint loop: belt to arm; clip\njoint post: belt to shell; clip; carries
energy push; spring; in arm; held in by ball, loop; force 1 kN; free at 60 mm\n";
    is_clean(&format!(
        "{arm}step round; by ada; undo loop; start loop; undo ball; start ball; tighten ball\n"
    ));
}
