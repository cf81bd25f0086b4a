//! What an act asks for against what the plan declares: ties, scales, rigs, joints, fluids, swaps, and one end of the vehicle on a rig. Each case
//! stands beside one that lies just within its limit and must be silent. Limits are the plan's own; that an end bears from three to seven
//! tenths of a vehicle is common practice, no source; what a beam on two supports bears is statics (moments about the other support).

use crate::support::compile_text;

/// Rules that a plan of these lines is told of, but for those of things that it leaves unused or open.
fn found(plan: &str) -> Vec<String> {
    let done = compile_text(plan);
    let silent = [
        "never-used",
        "never-remade",
        "never-refitted",
        "never-tightened",
        "still-held",
        "left-up",
        "never-weighed",
        "cap-left",
        "hazard-without-caution",
        "joints-not-declared",
        "centre-not-known",
        "tool-not-listed",
        "never-refilled",
    ];
    done.findings
        .iter()
        .map(|finding| format!("{:?} {}", finding.severity, finding.rule.name))
        .filter(|told| silent.iter().all(|quiet| !told.ends_with(quiet)))
        .collect()
}

const WREN: &str = "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 900\"; body shell; mass 900 kg quoted\nperson ada; lifts 40 kg\nperson tom; lifts 40 kg\n";

#[track_caller]
fn one(lines: &str, rule: &str) {
    assert_eq!(found(&format!("{WREN}{lines}")), [rule], "{lines}");
}

#[track_caller]
fn none(lines: &str) {
    assert_eq!(found(&format!("{WREN}{lines}")), [""; 0], "{lines}");
}

#[test]
fn a_tie_bears_what_it_is_said_to_bear() {
    let job = |limit: &str| {
        format!(
            "part caliper; mass 4.0 kg weighed\njoint bolts: caliper to shell; carries; bolts 2 x M10x1.25\n\
             step a \"A\"; by ada, tom; tie up caliper to shell{limit}; undo bolts\n"
        )
    };
    one(&job(", 3 kg"), "Fault over-rated");
    one(&job(""), "Fault over-rated");
    none(&job(", 5 kg"));
}

#[test]
fn what_comes_to_hang_on_a_tie_later_counts_too() {
    let job = |limit: &str| {
        format!(
            "part hub; mass 9 kg weighed\npart caliper; mass 4 kg weighed\njoint bolts: caliper to hub; carries; bolts 2 x M10x1.25\n\
             joint hub-bolts: hub to shell; carries; bolts 4 x M12x1.5\n\
             step a \"A\"; by ada, tom; tie up caliper to shell, {limit}\nstep b \"B\"; by ada, tom; undo hub-bolts\n"
        )
    };
    one(&job("5 kg"), "Fault over-rated");
    none(&job("20 kg"));
}

#[test]
fn a_scale_weighs_up_to_its_capacity() {
    let job = |capacity: &str| {
        format!(
            "scale hook; capacity {capacity}; division 0.1 kg\nrig hoist; lifts; rated 500 kg\npart engine; mass 58 kg quoted\n\
             joint mounts: engine to shell; carries; bolts 3 x M12x1.5\n\
             step a \"A\"; by ada, tom; hold engine with hoist; undo mounts; take off engine; weigh engine with hook\n"
        )
    };
    one(&job("20 kg"), "Fault beyond-scale");
    none(&job("60 kg"));
    let pads = |capacity: &str| {
        format!(
            "scale pads; capacity {capacity}; division 0.5 kg\nstep a \"A\"; by ada; weigh wren with pads\n"
        )
    };
    one(&pads("150 kg each"), "Fault beyond-scale");
    none(&pads("300 kg each"));
}

#[test]
fn a_rig_goes_as_high_as_it_says() {
    let job = |height: &str| {
        format!(
            "rig lift; lifts, holds; rated 2600 kg; raises to 1900 mm\nstep a \"A\"; by ada; raise wren on lift to {height}\n"
        )
    };
    one(&job("5000 mm"), "Fault higher-than-rig");
    one(&job("-100 mm"), "Fault impossible-figure");
    one(&job("0 mm"), "Fault impossible-figure");
    none(&job("1900 mm"));
    none(&job("1.9 m"));
}

#[test]
fn ways_are_more_than_nothing() {
    let job = |act: &str| {
        format!(
            "rig hoist; lifts; rated 500 kg\npart box; mass 30 kg weighed\njoint bolts: box to shell; carries; bolts 4 x M8x1.25\n\
             step a \"A\"; by ada, tom; hold box with hoist; undo bolts; {act}\n"
        )
    };
    one(&job("lower box by -5 mm"), "Fault impossible-figure");
    one(&job("draw box back 0 mm"), "Fault impossible-figure");
    none(&job("lower box by 5 mm"));
}

#[test]
fn no_act_turns_more_fixings_than_there_are() {
    let job = |act: &str, fixings: &str| {
        format!(
            "part lamp; mass 1 kg weighed\njoint screws: lamp to shell; carries{fixings}\nstep a \"A\"; by ada; {act} screws\n"
        )
    };
    one(
        &job("slacken 7 of", "; bolts 3 x M6x1.0"),
        "Fault more-than-there-are",
    );
    one(
        &job("slacken 4 of", "; bolts 2 x M6x1.0; nuts 1 x M6x1.0"),
        "Fault more-than-there-are",
    );
    one(&job("slacken 2 of", ""), "Fault more-than-there-are");
    none(&job("slacken 3 of", "; bolts 3 x M6x1.0"));
    none(&job("slacken 1 of", ""));
}

#[test]
fn no_more_goes_in_than_there_is_room_for() {
    let job = |acts: &str, about: &str| {
        format!(
            "part tank; mass 4 kg weighed\njoint straps: tank to shell; carries; bolts 2 x M8x1.25\nfluid oil; holds 3.0 l; in tank\n\
             joint hose: tank to shell; hose of oil; push-on\ntool can; holds 10 l\nstep a \"A\"; by ada; {acts}\n{about}"
        )
    };
    one(
        &job("drain oil into can; fill oil 30 l", ""),
        "Fault more-than-it-holds",
    );
    one(
        &job("drain oil into can; fill oil 2 l; fill oil 2 l", ""),
        "Fault more-than-it-holds",
    );
    none(&job("drain oil into can; fill oil 3 l", ""));
    none(&job("drain oil into can; fill oil 2 l; fill oil 1 l", ""));
    // What an open hose loses nobody counts.
    none(&job(
        "drain oil into can; fill oil 2 l; undo hose; start hose; fill oil 2 l",
        "",
    ));
    let text = format!("{WREN}{}", job("look \"Level\"", ""))
        .replace("; crew ada, tom", "; crew ada, tom; starts oil 5 l");
    assert_eq!(found(&text), ["Fault more-than-it-holds"]);
}

#[test]
fn swaps_list_what_comes_and_goes() {
    let job = |swap: &str| {
        format!(
            "part seat; mass 14.0 kg weighed; afterwards for sale\npart bucket; in place of seat; mass 6.0 kg weighed\n\
             joint bolts: seat to shell; carries; bolts 4 x M8x1.25\njoint new-bolts: bucket to shell; carries; in place of bolts; bolts 4 x M8x1.25\n\
             step a \"A\"; by ada, tom; hold seat by tom; undo bolts; take off seat\n\
             step b \"B\"; by ada, tom; hold bucket by tom; fit bucket; start new-bolts; tighten new-bolts\n{swap}"
        )
    };
    one(&job("swap s \"S\"; comes off seat\n"), "Doubt swaps-against-walk");
    one(&job("swap s \"S\"; goes on bucket\n"), "Doubt swaps-against-walk");
    none(&job("swap s \"S\"; comes off seat; goes on bucket\n"));
    none(&job(""));
}

/// A 900 kg vehicle, 500 kg on its front axle: wheelbase 2 m, so the centre lies 889 mm behind the front axle. Jacked up 300 mm behind the
/// axle the jack bears 900 (2000 - 889) / (2000 - 300) = 588 kg, by moments about the rear axle.
#[test]
fn one_end_needs_no_track() {
    let job = |rated: &str, track: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell; wheelbase 2000 mm{track}; jacking front at 300 mm behind front axle, 400 mm left and right; \
             jacking rear at 1800 mm behind front axle, 400 mm left and right\nperson ada\n\
             scale pads; capacity 400 kg each; division 0.5 kg; repeatability 0.5 kg\n\
             weigh-in w \"W\"; with pads; corners 250 kg, 250 kg front, 200 kg, 200 kg rear\n\
             rig jack; lifts; rated {rated}\nstep a \"A\"; by ada; raise wren front on jack\n"
        )
    };
    for track in ["", "; track 1400 mm front, 1400 mm rear"] {
        assert_eq!(found(&job("570 kg", track)), ["Fault over-rated"], "{track}");
        assert_eq!(found(&job("610 kg", track)), [""; 0], "{track}");
    }
}

#[test]
fn without_a_centre_an_end_bears_three_to_seven_tenths() {
    let job = |rated: &str| {
        format!("rig jack; lifts; rated {rated}\nstep a \"A\"; by ada; raise wren front on jack\n")
    };
    one(&job("50 kg"), "Fault over-rated");
    one(&job("269 kg"), "Fault over-rated");
    one(&job("500 kg"), "Advice over-rated");
    none(&job("640 kg"));
}

#[test]
fn what_takes_a_lines_place_shuts_it() {
    let job = |close: &str| {
        format!(
            "part tank; mass 4 kg weighed\njoint straps: tank to shell; carries; bolts 2 x M8x1.25\npart pump; mass 1 kg weighed\n\
             joint pump-bolts: pump to shell; carries; bolts 2 x M8x1.25\nfluid oil; holds 3 l; in tank\n\
             joint old: tank to pump; hose of oil; push-on\njoint new: tank to pump; in place of old; hose of oil; push-on\ntool can; holds 10 l\n\
             step a \"A\"; by ada; drain oil into can; undo old\nstep b \"B\"; by ada; {close}fill oil 3 l; safe to leave\n"
        )
    };
    none(&job("start new; "));
    let open = found(&format!("{WREN}{}", job("")));
    assert_eq!(open, ["Fault left-open"]);
}

#[test]
fn wheels_stay_under_an_end_that_stands_on_them() {
    let job = |up: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 200\"; body shell; mass 200 kg quoted; wheels front on fork\n\
             person ada; lifts 40 kg\nperson tom; lifts 40 kg\nrig jack; lifts; rated 500 kg\nrig stands; holds; rated 500 kg\n\
             part fork; mass 12 kg weighed\njoint stem: fork to shell; carries; bolts 2 x M8x1.25\n\
             step a \"A\"; by ada, tom; {up}hold fork by tom; undo stem; take off fork\n"
        )
    };
    assert_eq!(found(&job("")), ["Fault no-wheels-under"]);
    assert_eq!(
        found(&job("raise wren front on jack; set wren front down on stands; ")),
        [""; 0]
    );
}

#[test]
fn times_are_in_order() {
    let job = |time: &str| {
        format!(
            "part lamp; mass 1 kg weighed\njoint screws: lamp to shell; carries; bolts 2 x M6x1.0\nstep a \"A\"; by ada; slacken screws; time {time}\n"
        )
    };
    for wrong in ["30 min (60 to 20)", "1 h (40 to 90)", "30 min (40 to 60)"] {
        one(&job(wrong), "Fault estimate-out-of-order");
    }
    for wrong in ["-5 min", "0 min"] {
        one(&job(wrong), "Fault impossible-figure");
    }
    for right in [
        "30 min (20 to 60)",
        "1 h (40 min to 90 min)",
        "30 min",
        "30 min (30 to 30)",
    ] {
        none(&job(right));
    }
}

#[test]
fn figures_that_cannot_be() {
    let job = |track: &str, torque: &str, repeats: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell; mass 900 kg quoted; wheelbase {track}\nperson ada\n\
             scale hook; capacity 50 kg; division 0.1 kg; repeatability {repeats}\n\
             part lamp; mass 1 kg weighed\njoint screws: lamp to shell; carries; bolts 2 x M6x1.0; torque {torque}\nstep a \"A\"; by ada; slacken screws\n"
        )
    };
    let quiet = |plan: &str| -> Vec<String> {
        let told = found(plan);
        told.into_iter()
            .filter(|told| !told.contains("torque-"))
            .collect()
    };
    assert_eq!(quiet(&job("2400 mm", "9 N m", "0.1 kg")), [""; 0]);
    assert_eq!(
        quiet(&job("9000 m", "9 N m", "0.1 kg")),
        ["Fault impossible-figure"]
    );
    assert_eq!(
        quiet(&job("2400 mm", "-45 N m", "0.1 kg")),
        ["Fault impossible-figure"]
    );
    assert_eq!(
        quiet(&job("2400 mm", "0 N m", "0.1 kg")),
        ["Fault impossible-figure"]
    );
    assert_eq!(
        quiet(&job("2400 mm", "9 N m", "60 kg")),
        ["Fault impossible-figure"]
    );
}

#[test]
fn the_whole_is_no_lighter_than_its_parts() {
    let job = |mass: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell; mass {mass} weighed\nperson ada\n\
             part engine; mass 120 kg weighed\njoint mounts: engine to shell; carries; bolts 4 x M12x1.5\nstep a \"A\"; by ada; slacken mounts\n"
        )
    };
    assert_eq!(found(&job("90 kg")), ["Doubt parts-against-assembly"]);
    assert_eq!(found(&job("900 kg")), [""; 0]);
}

#[test]
fn corners_and_a_stated_mass_are_of_one_vehicle() {
    let job = |mass: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell; mass {mass} quoted; wheelbase 2000 mm; track 1400 mm front, 1400 mm rear\nperson ada\n\
             scale pads; capacity 400 kg each; division 0.5 kg; repeatability 0.5 kg\n\
             weigh-in w \"W\"; with pads; corners 150 kg, 150 kg front, 145 kg, 145 kg rear\nstep a \"A\"; by ada; look \"Level\"\n"
        )
    };
    assert_eq!(found(&job("190 kg")), ["Doubt weighed-otherwise"]);
    assert_eq!(found(&job("600 kg")), [""; 0]);
}

#[test]
fn what_was_broken_comes_back_new() {
    let job = |renew: &str| {
        format!(
            "part lamp; mass 1 kg weighed\njoint screws: lamp to shell; carries; bolts 2 x M6x1.0{renew}\n\
             step a \"A\"; by ada; break screws \"drilled\"; take off lamp\nstep b \"B\"; by ada; fit lamp; start screws; tighten screws\n"
        )
    };
    one(&job(""), "Doubt broken-not-renewed");
    none(&job("; renew"));
}

#[test]
fn containers_hold_one_fluid_and_a_known_volume() {
    let job = |can: &str, second: &str| {
        format!(
            "part tank; mass 4 kg weighed\njoint straps: tank to shell; carries; bolts 2 x M8x1.25\nfluid oil; holds 3 l; in tank\nfluid water; holds 3 l; in tank\n\
             tool can{can}\ntool tub; holds 9 l\nstep a \"A\"; by ada; drain oil into can; drain water into {second}\n"
        )
    };
    none(&job("; holds 9 l", "tub"));
    one(&job("; holds 9 l", "can"), "Doubt fluids-mixed");
    one(&job("; holds 2 l", "tub"), "Doubt container-too-small");
    one(&job("", "tub"), "Advice container-too-small");
}

/// What never carried the wheels, as far as the plan tells, is not parted by a joint elsewhere.
#[test]
fn a_lamp_carries_no_wheels() {
    let job = |acts: &str| {
        format!(
            "plan p \"P\"; for wren; crew ada, tom\nvehicle wren \"Wren 200\"; body shell; mass 200 kg quoted; wheels front on wheel\nperson ada; lifts 40 kg\nperson tom; lifts 40 kg\n\
             part hub; mass 3 kg weighed\npart wheel; mass 9 kg weighed\npart lamp; mass 1 kg weighed\njoint bolts: wheel to hub; carries; bolts 4 x M12x1.5\n\
             joint knuckle: hub to shell; bolts 2 x M10x1.25\njoint screws: lamp to shell; carries; bolts 2 x M6x1.0\nstep a \"A\"; by ada, tom; {acts}\n"
        )
    };
    assert_eq!(found(&job("undo screws; take off lamp")), [""; 0]);
}

#[test]
fn nothing_is_no_figure_of_an_act() {
    let job = |acts: &str| {
        format!(
            "part tank; mass 1 kg weighed\njoint straps: tank to shell; carries; bolts 2 x M8x1.25\nfluid oil; holds 3 l; in tank\ntool can; holds 9 l\nstep a \"A\"; by ada; {acts}\n"
        )
    };
    one(
        &job("drain oil into can; fill oil -2 l"),
        "Fault impossible-figure",
    );
    one(&job("tie up tank to shell, -5 kg"), "Fault impossible-figure");
    one(&job("tie up tank to shell, 0 kg"), "Fault impossible-figure");
}

/// The finding says what is in hand, and the mend gets it out of there.
#[test]
fn hands_that_are_full_are_told_with_what() {
    let text = format!(
        "{WREN}part a; mass 9 kg weighed\npart b; mass 9 kg weighed\njoint ja: a to shell; carries; bolts 2 x M8x1.25\njoint jb: b to shell; carries; bolts 2 x M8x1.25\n\
         step s \"S\"; by ada, tom; hold a by tom; undo ja; take off a; hold b by tom; undo jb; take off b\n"
    );
    let done = compile_text(&text);
    let finding = done
        .findings
        .iter()
        .find(|finding| finding.rule.name == "nobody-to-help");
    let finding = finding.expect("tom has two things");
    assert_eq!(finding.what, "`tom` is not free to hold `b`: has `a` in hand");
    assert!(
        finding
            .mend
            .words
            .starts_with("Before this act: set a down on floor"),
        "{}",
        finding.mend.words
    );
    let mended = text.replace("take off a; hold b", "take off a; set a down on floor; hold b");
    assert_eq!(found(&mended), [""; 0]);
}

/// Bounds are common practice, no source; what lies just inside each of them is let be.
#[test]
fn what_no_road_vehicle_is_like() {
    let car = |statement: &str| {
        let lines = format!(
            "plan p \"P\"; for wren; crew ada\nvehicle wren \"Wren 900\"; body shell; wheelbase 2200 mm; track 1300 mm front, 1300 mm rear\n  {statement}\nperson ada; lifts 40 kg\n\
             step a \"A\"; by ada; look \"Dry\"\n"
        );
        found(&lines)
    };
    let advice = ["Advice implausible"];
    for slip in [
        "mass 90 kg quoted",
        "mass 8 t quoted",
        "height of centre 3.2 m",
        "height of centre 52 mm",
        "wheel radius 285 mm front, 28.5 mm rear",
        "wheel radius 2850 mm front, 285 mm rear",
        "wheel radius 285 mm front, 285 mm rear; height of centre 1200 mm",
        "jacking front at 520 mm behind front axle, 5600 mm left and right",
        "jacking front at 5200 mm behind front axle, 560 mm left and right",
        "jacking front at 1980 mm behind front axle, 560 mm left and right",
        "jacking rear at 198 mm behind front axle, 560 mm left and right",
        "jacking front at 520 mm behind front axle, 56 mm left and right",
        "jacking front at 520 mm behind front axle, -560 mm left and right",
        "jacking rear at 1980 mm behind front axle, 560 mm left",
    ] {
        let told = car(slip);
        assert_eq!(told, advice, "{slip}");
    }
    for sound in [
        "mass 450 kg quoted",
        "mass 3.5 t quoted",
        "height of centre 505 mm",
        "height of centre 1.1 m",
        "wheel radius 285 mm front, 300 mm rear; height of centre 800 mm",
        "wheel radius 540 mm front, 800 mm rear",
        "jacking front at 520 mm behind front axle, 560 mm left and right; jacking rear at 1980 mm behind front axle, 575 mm left and right",
        "jacking front at 150 mm ahead of front axle, 0 mm left",
        "jacking rear at 1000 mm behind front axle, 640 mm left and right",
    ] {
        assert_eq!(car(sound), [""; 0], "{sound}");
    }
    // Front and rear exchanged are one finding.
    assert_eq!(
        car(
            "jacking front at 1980 mm behind front axle, 560 mm left and right; jacking rear at 300 mm behind front axle, 560 mm left and right"
        ),
        ["Doubt takes-itself-back"]
    );
    let bike = "plan p \"P\"; for dab\nvehicle dab \"Dab 250 motorcycle\"; body frame; mass 140 kg quoted\nstep a \"A\"; look \"Dry\"\n";
    assert_eq!(found(bike), [""; 0]);
}
