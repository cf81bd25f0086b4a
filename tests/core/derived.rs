//! Stages that reverse others: each act's way back, what waits for what, what the owner writes himself, and that whatever is
//! derived from a clean strip walks clean. Meaning: grammar/REFERENCE.md, section 9; there is no outside source for it.

use crate::support::{compile_text, told};
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::write;

const WREN: &str = "\
plan wren-job \"Wren 900\"
  for wren
  crew ines, tam
vehicle wren \"Wren 900\"; body shell; mass 900 kg quoted; jacking front at 100 mm ahead of front axle, 500 mm left and right; jacking rear at 2400 mm behind front axle, 500 mm left and right
person ines \"Ines\"; lifts 25 kg
person tam \"Tam\"; lifts 25 kg
rig jack \"Jack\"; lifts; rated 1500 kg
rig stands \"Stands\"; holds; rated 3000 kg
rig hoist \"Hoist\"; lifts; rated 500 kg
rig table \"Table\"; lifts, holds; rated 500 kg
";

/// The wren with these things, a strip of these lines, and a stage that reverses it with these written steps.
fn job(things: &str, strip: &str, written: &str) -> Compilation {
    let text = format!(
        "{WREN}{things}\nstage strip \"Strip\"\n{strip}\nstage back \"Back together\" reverses strip\n{written}\n"
    );
    compile_text(&text)
}

/// Each step of the stage that reverses: its name, then its acts as a plan's text has them.
fn back(done: &Compilation) -> Vec<String> {
    let plan = &done.plan;
    let mut lines = Vec::new();
    for &id in &plan.order {
        let step = &plan.steps[id];
        if step
            .stage
            .is_some_and(|stage| !plan.stages[stage].reverses.is_empty())
        {
            lines.push(step.head.name.to_string());
            lines.extend(
                step.acts()
                    .map(|act| format!("  {}", write::act(plan, &act.does))),
            );
        }
    }
    lines
}

fn check(things: &str, strip: &str, written: &str, wanted: &[&str]) {
    let done = job(things, strip, written);
    // Things declared here for a case may well have no other use.
    let found: Vec<String> = told(&done)
        .into_iter()
        .filter(|line| !line.contains("never-used"))
        .collect();
    assert!(found.is_empty(), "{found:#?}\n{:#?}", back(&done));
    assert_eq!(back(&done), wanted, "{strip}");
}

const SEAT: &str = "\
part seat \"Seat\"; mass 14 kg quoted
joint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25; torque 25 N m
joint seat-plug: seat to shell; plug
";

#[test]
fn hands_hold_before_it_is_fitted_and_all_is_started_before_any_is_tightened() {
    check(
        SEAT,
        "step seat-out \"Seat out\"\n  by ines, tam\n  hold seat by tam\n  undo seat-plug, seat-bolts\n  take off seat\n",
        "",
        &[
            "seat-out-back",
            "  hold seat by tam",
            "  fit seat",
            "  start seat-bolts, seat-plug",
            "  tighten seat-bolts",
        ],
    );
}

/// The seat out by the hoist, and the way back of it.
const BY_HOIST: &str = "step seat-out \"Seat out\"\n  hold seat with hoist\n  undo seat-plug, seat-bolts\n  take off seat\n  set seat down on floor\n";
const BACK_BY_HOIST: [&str; 6] = [
    "seat-out-back",
    "  raise seat on hoist",
    "  fit seat",
    "  start seat-bolts, seat-plug",
    "  tighten seat-bolts",
    "  release seat from hoist",
];

#[test]
fn what_was_set_down_is_raised_by_what_had_it_and_let_go_when_it_is_tight() {
    check(SEAT, BY_HOIST, "", &BACK_BY_HOIST);
}

#[test]
fn hands_that_let_go_leave_it_to_the_hoist() {
    let wiped = ["wiped", "  hold seat by tam", "  release seat from tam"];
    check(
        SEAT,
        BY_HOIST,
        "step wiped \"Wiped\"; by tam\n  hold seat by tam\n  release seat from tam\n",
        &[&wiped[..], &BACK_BY_HOIST].concat(),
    );
}

#[test]
fn what_a_rig_let_go_on_the_floor_is_taken_up_again() {
    check(
        SEAT,
        "step seat-out \"Seat out\"\n  hold seat with table\n  undo seat-plug, seat-bolts\n  take off seat\n  release seat from table\n",
        "",
        &[
            "seat-out-back",
            "  raise seat on table",
            "  fit seat",
            "  start seat-bolts, seat-plug",
            "  tighten seat-bolts",
            "  release seat from table",
        ],
    );
}

#[test]
fn wheels_are_tightened_on_the_ground_behind_the_act_that_sets_them_down() {
    check(
        "part wheel \"Wheel\"; mass 12 kg quoted\njoint wheel-bolts: wheel to shell; carries; bolts 4 x M12x1.5; torque 100 N m; with wheels down\n",
        "step crack \"Crack the bolts\"\n  slacken wheel-bolts\nstep up \"Up\"\n  raise wren front on jack at jacking front to 400 mm\n  set wren front down on stands\nstep wheel-off \"Wheel off\"\n  by ines, tam\n  hold wheel by tam\n  undo wheel-bolts\n  take off wheel\n",
        "",
        &[
            "wheel-off-back",
            "  hold wheel by tam",
            "  fit wheel",
            "  start wheel-bolts",
            "up-back",
            "  raise wren front on jack at jacking front to 400 mm",
            "  set wren front down on floor",
            "crack-back",
            "  tighten wheel-bolts",
        ],
    );
}

#[test]
fn a_tightening_that_waits_for_the_wheels_takes_its_second_check_along() {
    check(
        "part arm \"Arm\"; mass 4 kg quoted\njoint arm-pivot: arm to shell; carries; bolts 1 x M12x1.5; torque 90 N m; with wheels down; second check\n",
        "step up \"Up\"\n  raise wren on jack\n  set wren down on stands\nstep arm-off \"Arm off\"\n  by ines\n  undo arm-pivot\n  take off arm\n",
        "",
        &[
            "arm-off-back",
            "  fit arm",
            "  start arm-pivot",
            "up-back",
            "  raise wren on jack",
            "  set wren down on floor",
            "  tighten arm-pivot",
            "  verify arm-pivot",
        ],
    );
}

#[test]
fn a_second_check_brings_a_second_person() {
    let done = job(
        "part arm \"Arm\"; mass 4 kg quoted\njoint arm-pivot: arm to shell; carries; bolts 1 x M12x1.5; torque 90 N m; second check\n",
        "step arm-off \"Arm off\"\n  by ines\n  undo arm-pivot\n  take off arm\n",
        "",
    );
    let step = &done.plan.steps[done.plan.order[1]];
    let by: Vec<&str> = step
        .by
        .iter()
        .map(|said| &*done.plan.people[said.value].head.name)
        .collect();
    assert_eq!(by, ["ines", "tam"]);
    let found: Vec<String> = told(&done)
        .into_iter()
        .filter(|line| !line.contains("never-used"))
        .collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn caps_come_off_before_the_joint_clamps_after_it_and_fluids_go_in_behind_their_last_joint() {
    check(
        "fluid brake-fluid \"Brake fluid\"; holds 0.5 l; needs bleeding\nfluid coolant \"Coolant\"; holds 5 l\npart caliper \"Caliper\"; mass 3 kg quoted\njoint caliper-bolts: caliper to shell; carries; bolts 2 x M10x1.25; torque 50 N m\njoint caliper-hose: caliper to shell; hose of brake-fluid\npart radiator \"Radiator\"; mass 4 kg quoted\njoint radiator-feet: radiator to shell; clip; carries\njoint radiator-hose: radiator to shell; hose of coolant; push-on\njoint heater-hose: radiator to shell; hose of coolant; push-on\n",
        "step drain-it \"Drain\"\n  drain coolant\nstep radiator-off \"Radiator off\"\n  undo radiator-hose, heater-hose\n  undo radiator-feet\n  take off radiator\nstep caliper-off \"Caliper off\"\n  undo caliper-hose; cap caliper-hose\n  undo caliper-bolts\n  take off caliper\n",
        "",
        &[
            "caliper-off-back",
            "  fit caliper",
            "  start caliper-bolts",
            "  uncap caliper-hose",
            "  start caliper-hose",
            "  tighten caliper-bolts",
            "  tighten caliper-hose",
            "  bleed brake-fluid",
            "radiator-off-back",
            "  fit radiator",
            "  start radiator-feet",
            "  start heater-hose, radiator-hose",
            "drain-it-back",
            "  fill coolant",
        ],
    );
}

#[test]
fn a_clamp_stays_until_the_joint_is_tight() {
    check(
        "fluid coolant \"Coolant\"; holds 5 l\npart heater \"Heater\"; mass 2 kg quoted\njoint heater-clip: heater to shell; clip; carries\njoint heater-hose: heater to shell; hose of coolant\n",
        "step heater-out \"Heater out\"\n  clamp heater-hose; undo heater-hose\n  undo heater-clip\n  take off heater\n",
        "",
        &[
            "heater-out-back",
            "  fit heater",
            "  start heater-clip",
            "  start heater-hose",
            "  tighten heater-hose",
            "  unclamp heater-hose",
        ],
    );
}

#[test]
fn what_was_drawn_lowered_tilted_moved_aside_or_tied_up_goes_the_other_way() {
    check(
        "part box \"Gearbox\"; mass 30 kg quoted\njoint box-bolts: box to shell; carries; bolts 4 x M10x1.5; torque 45 N m\njoint box-dowels: box to shell; dowel; engaged 12 mm\npart loom \"Loom\"; mass 1 kg quoted\njoint loom-clip: loom to shell; clip; carries\njoint loom-lead: loom to shell; cable; play 200 mm\npart caliper \"Caliper\"; mass 3 kg quoted\njoint caliper-bolts: caliper to shell; carries; bolts 2 x M10x1.25; torque 50 N m\n",
        "step loom-aside \"Loom aside\"\n  undo loom-clip\n  move aside loom\n  tie up loom to shell, 2 kg\nstep caliper-up \"Caliper tied up\"\n  undo caliper-bolts\n  tie up caliper to shell, 5 kg\nstep box-out \"Gearbox out\"\n  hold box with table\n  undo box-bolts\n  draw box back 20 mm\n  tilt box by 10 deg\n  lower box by 100 mm\n  take off box\n  set box down on floor\n",
        "",
        &[
            "box-out-back",
            "  raise box on table",
            "  fit box",
            "  raise box by 100 mm",
            "  tilt box back by 10 °",
            "  slide home box",
            "  start box-bolts",
            "  tighten box-bolts",
            "  release box from table",
            "caliper-up-back",
            "  untie caliper",
            "  start caliper-bolts",
            "  tighten caliper-bolts",
            "loom-aside-back",
            "  untie loom",
            "  move back loom",
            "  start loom-clip",
        ],
    );
}

#[test]
fn guides_go_in_before_it_slides_home_and_what_was_pressed_apart_is_pressed_home() {
    check(
        "tool guide-pins \"Guide pins\"\ntool ball-press \"Ball joint press\"\npart box \"Gearbox\"; mass 30 kg quoted\njoint box-bolts: box to shell; carries; bolts 4 x M10x1.5; torque 45 N m; engaged 10 mm\njoint box-dowels: box to shell; dowel; engaged 12 mm\npart arm \"Arm\"; mass 4 kg quoted\njoint arm-ball: arm to shell; taper; carries; bolts 1 x M12x1.5; torque 60 N m\n",
        "step box-out \"Gearbox out\"\n  hold box with table\n  pin 2 of box-bolts with guide-pins\n  draw box back 20 mm\n  take off box\n  set box down on floor\nstep arm-off \"Arm off\"\n  undo arm-ball\n  press apart arm-ball with ball-press\n  take off arm\n",
        "",
        &[
            "arm-off-back",
            "  fit arm",
            "  press home arm-ball",
            "  start arm-ball",
            "  tighten arm-ball",
            "box-out-back",
            "  raise box on table",
            "  fit box",
            "  pin 2 of box-bolts with guide-pins",
            "  slide home box",
            "  start box-bolts",
            "  tighten box-bolts",
            "  release box from table",
        ],
    );
}

#[test]
fn the_new_part_goes_on_by_its_own_joints_and_by_those_in_place_of_the_old() {
    check(
        "part seat \"Seat\"; mass 14 kg quoted; afterwards for sale\npart bucket \"Bucket seat\"; in place of seat; mass 6 kg quoted\njoint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25; torque 25 N m\njoint seat-plug: seat to shell; plug; gone \"Taped back\"\njoint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts\njoint bucket-strap: bucket to shell; strap\n",
        "step seat-out \"Seat out\"\n  by ines, tam\n  hold seat by tam\n  undo seat-plug, seat-bolts\n  take off seat\n",
        "",
        &[
            "seat-out-back",
            "  hold bucket by tam",
            "  fit bucket",
            "  start bucket-strap",
            "  start bucket-bolts",
            "  tighten bucket-bolts",
        ],
    );
}

#[test]
fn bench_work_is_reversed_before_the_whole_goes_back() {
    check(
        "part frame \"Frame\"; mass 20 kg quoted\npart rack \"Rack\"; mass 6 kg quoted; afterwards for sale\npart new-rack \"New rack\"; in place of rack; mass 4 kg quoted\nassembly front-end \"Front end\"; of frame, rack\njoint frame-bolts: frame to shell; carries; bolts 4 x M10x1.5; torque 45 N m\njoint rack-clamps: rack to frame; carries; bolts 2 x M8x1.25; torque 25 N m\njoint new-clamps: new-rack to frame; in place of rack-clamps; same as rack-clamps\n",
        "step front-out \"Front end out\"\n  hold front-end with table\n  undo frame-bolts\n  take off front-end\n  set front-end down on floor\nstep rack-off \"Rack off\"\n  undo rack-clamps\n",
        "",
        &[
            "rack-off-back",
            "  start new-clamps",
            "  tighten new-clamps",
            "front-out-back",
            "  raise frame, new-rack on table",
            "  fit frame, new-rack",
            "  start frame-bolts",
            "  tighten frame-bolts",
            "  release frame, new-rack from table",
        ],
    );
}

#[test]
fn an_energy_is_made_live_last_of_all() {
    check(
        "energy supply \"Supply\"; electric; safe after dead\npart battery \"Battery\"; mass 12 kg quoted\njoint clamp-down: battery to shell; carries; bolts 1 x M8x1.25; torque 15 N m\njoint earth: battery to shell; strap; bolts 1 x M6x1.0; torque 5 N m\npart lamp \"Lamp\"; mass 1 kg quoted\njoint lamp-clip: lamp to shell; clip; carries\njoint lamp-plug: lamp to shell; plug\n",
        "step lamp-loose \"Lamp loose\"\n  undo lamp-clip\n  tie up lamp to shell, 2 kg\nstep dead \"Dead\"\n  undo earth\nstep lamp-off \"Lamp off\"\n  undo lamp-plug\n  untie lamp\n  take off lamp\n",
        "",
        &[
            "lamp-off-back",
            "  fit lamp",
            "  tie up lamp to shell, 2 kg",
            "  start lamp-plug",
            "lamp-loose-back",
            "  untie lamp",
            "  start lamp-clip",
            "dead-back",
            "  start earth",
            "  tighten earth",
        ],
    );
}

#[test]
fn written_steps_stand_for_derived_ones_and_strike_what_they_do_themselves() {
    check(
        SEAT,
        "step plug-off \"Plug off\"\n  undo seat-plug\nstep seat-out \"Seat out\"\n  by ines, tam\n  hold seat by tam\n  undo seat-bolts\n  take off seat\n",
        "step seat-in \"Seat in, my way\"\n  by ines, tam\n  instead of seat-out\n  hold seat by ines\n  fit seat\n  start seat-bolts\n  tighten seat-bolts\nstep last-look \"Last look\"\n  after plug-off-back\n  look \"Belt free\"\nstep first-look \"First look\"\n  look \"Floor clean\"\n",
        &[
            "first-look",
            "  look \"Floor clean\"",
            "seat-in",
            "  hold seat by ines",
            "  fit seat",
            "  start seat-bolts",
            "  tighten seat-bolts",
            "plug-off-back",
            "  start seat-plug",
            "last-look",
            "  look \"Belt free\"",
        ],
    );
    check(
        SEAT,
        "step plug-off \"Plug off\"\n  undo seat-plug\nstep seat-out \"Seat out\"\n  by ines, tam\n  hold seat by tam\n  undo seat-bolts\n  take off seat\n",
        "step plug-on \"Plug on\"\n  after seat-out-back\n  start seat-plug\n",
        &[
            "seat-out-back",
            "  hold seat by tam",
            "  fit seat",
            "  start seat-bolts",
            "  tighten seat-bolts",
            "plug-on",
            "  start seat-plug",
        ],
    );
}

#[test]
fn what_was_closed_before_the_stage_begins_is_not_closed_twice() {
    let text = format!(
        "{WREN}{SEAT}\nstage strip \"Strip\"\nstep plug-off \"Plug off\"\n  undo seat-plug\nstep bolts \"Bolts\"\n  slacken seat-bolts\nstage between \"Between\"\nstep plug-on \"Plug on\"\n  start seat-plug\nstage back \"Back\" reverses strip\n"
    );
    let done = compile_text(&text);
    assert_eq!(
        back(&done),
        ["bolts-back", "  tighten seat-bolts"],
        "{:?}",
        told(&done)
    );
}

#[test]
fn a_finding_in_a_derived_step_names_what_it_undoes_and_what_to_write() {
    // The lead is covered by a lamp that a written step has put back already.
    let done = job(
        "part lamp \"Lamp\"; mass 1 kg quoted\njoint lamp-clip: lamp to shell; clip; carries\npart lead \"Lead\"; mass 1 kg quoted\njoint lead-clip: lead to shell; clip; carries; covered by lamp\n",
        "step lamp-off \"Lamp off\"\n  undo lamp-clip\n  take off lamp\nstep lead-off \"Lead off\"\n  undo lead-clip\n  take off lead\n",
        "step lamp-first \"Lamp first\"\n  fit lamp\n  start lamp-clip\n",
    );
    let found: Vec<_> = done
        .findings
        .iter()
        .filter(|finding| finding.rule.name == "out-of-reach")
        .collect();
    assert_eq!(found.len(), 1, "{:?}", told(&done));
    let finding = found[0];
    assert!(
        finding.what.starts_with("when stage `back` undoes this:"),
        "{}",
        finding.what
    );
    assert!(
        finding.mend.words.contains("instead of lead-off"),
        "{}",
        finding.mend.words
    );
    assert!(finding.mend.edits.is_empty());
    assert!(
        finding
            .labels
            .iter()
            .any(|label| label.words.contains("lead-off-back"))
    );
}

#[test]
fn what_has_no_way_back_is_asked_of_the_owner_once() {
    let done = job(
        "part seat \"Seat\"; mass 4 kg quoted; afterwards for sale\njoint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25\njoint seat-plug: seat to shell; plug\npart rail \"Rail\"; mass 2 kg quoted\njoint rail-rivets: rail to shell; carries; count 4\n",
        "step seat-out \"Seat out\"\n  undo seat-plug, seat-bolts\n  take off seat\nstep rail-out \"Rail out\"\n  break rail-rivets \"Drill them\"\n  take off rail\n",
        "",
    );
    let all = done.findings.iter().map(|finding| finding.rule.name);
    let found: Vec<&str> = all.filter(|rule| *rule != "never-used").collect();
    assert_eq!(found, ["no-way-back", "no-way-back"], "{:#?}", told(&done));
    let seat = told(&done).join("\n");
    assert!(seat.contains("becomes of `seat-bolts` and `seat-plug`"), "{seat}");
    let asked: Vec<(String, usize)> = done
        .plan
        .order
        .iter()
        .map(|&step| &done.plan.steps[step])
        .filter_map(|step| Some((step.head.name.to_string(), step.derived.as_ref()?.asked.len())))
        .collect();
    assert_eq!(
        asked,
        [("rail-out-back".to_owned(), 1), ("seat-out-back".to_owned(), 1)]
    );
}

#[test]
fn stages_that_cannot_be_reversed_are_told_with_their_place() {
    for (stages, what) in [
        (
            "stage strip \"S\" reverses strip\nstep one \"One\"\n  undo seat-plug\n  start seat-plug\n",
            "reverses itself",
        ),
        (
            "stage strip \"S\"\nstep one \"One\"\n  undo seat-plug\nstage back \"B\" reverses strip\nstage again \"A\" reverses back\n",
            "reverses other stages itself",
        ),
        (
            "stage strip \"S\"\nstep one \"One\"\n  undo seat-plug\nstage back \"B\" reverses strip\nstage again \"A\" reverses strip\n",
            "is reversed already",
        ),
        (
            "stage back \"B\" reverses strip\nstage strip \"S\"\nstep one \"One\"\n  undo seat-plug\n  start seat-plug\n",
            "comes later",
        ),
        (
            "stage strip \"S\"\nstep one \"One\"\n  undo seat-plug\nstage back \"B\" reverses strip\nstep other \"Other\"\n  instead of other\n  start seat-plug\n",
            "is not undone in this stage",
        ),
        (
            "stage strip \"S\"\nstep one \"One\"\n  undo seat-plug\nstep one-back \"Mine\"\n  look \"x\"\nstage back \"B\" reverses strip\n",
            "`one-back` is declared twice",
        ),
        (
            "stage strip \"S\"\nstep one \"One\"\n  undo seat-plug\nstage back \"B\" reverses strop\n",
            "nothing is called `strop`",
        ),
    ] {
        let done = compile_text(&format!("{WREN}{SEAT}{stages}"));
        let found = told(&done);
        assert!(found.iter().any(|line| line.contains(what)), "{what}: {found:#?}");
    }
}

#[test]
fn a_log_or_a_wait_may_name_a_derived_step() {
    let text = format!(
        "{WREN}{SEAT}\nstage strip \"Strip\"\nstep plug-off \"Plug off\"\n  undo seat-plug\nstage back \"Back\" reverses strip\nstage last \"Last\"\nstep look \"Look\"\n  after plug-off-back\n  look \"Plug home\"\nlog plug-off to plug-off-back\n  done 2026-04-02 by ines\n  took 5 min\n"
    );
    let done = compile_text(&text);
    let found: Vec<String> = told(&done)
        .into_iter()
        .filter(|line| !line.contains("never-used"))
        .collect();
    assert!(found.is_empty(), "{found:#?}");
    assert_eq!(done.plan.logs.len(), 1);
}

#[test]
fn a_stage_that_reverses_nothing_keeps_the_order_of_its_lines() {
    let done = compile_text(&format!(
        "{WREN}{SEAT}stage strip \"Strip\"\nstep one \"One\"\n  undo seat-plug\nstep two \"Two\"\n  after one\n  look \"x\"\nstep three \"Three\"\n  start seat-plug\n"
    ));
    let order: Vec<&str> = done
        .plan
        .order
        .iter()
        .map(|&step| &*done.plan.steps[step].head.name)
        .collect();
    assert_eq!(order, ["one", "two", "three"]);
}

/// One pair of hands for two things, one after the other: on the way back too.
#[test]
fn hands_let_go_before_they_take_the_next_thing() {
    check(
        "part a \"A\"; mass 9 kg quoted\npart b \"B\"; mass 9 kg quoted\njoint ja: a to shell; carries; bolts 2 x M8x1.25; torque 20 N m\njoint jb: b to shell; carries; bolts 2 x M8x1.25; torque 20 N m\n",
        "step both \"Both off\"\n  by ines, tam\n  hold a by tam\n  undo ja\n  take off a\n  set a on floor\n  hold b by tam\n  undo jb\n  take off b\n",
        "",
        &[
            "both-back",
            "  hold b by tam",
            "  fit b",
            "  start jb",
            "  tighten jb",
            "  release b from tam",
            "  hold a by tam",
            "  fit a",
            "  start ja",
            "  tighten ja",
        ],
    );
}

/// Put down out of somebody's hands: nobody sets it on the floor before he takes it up to fit it.
#[test]
fn what_was_put_down_by_hand_is_taken_up_by_hand() {
    check(
        SEAT,
        "step seat-out \"Seat out\"\n  by ines, tam\n  hold seat by tam\n  undo seat-plug, seat-bolts\n  take off seat\n  set seat on floor\n",
        "",
        &[
            "seat-out-back",
            "  hold seat by tam",
            "  fit seat",
            "  start seat-bolts, seat-plug",
            "  tighten seat-bolts",
        ],
    );
}
