//! A front end and a cabin: what bears an engine, what lifts a car, what fires a charge, what is run, driven and weighed too early; each wrong
//! plan beside a sound one. The car is invented; what is asked of it is common practice, no source, where no source stands beside it.

use crate::support::{is_clean, tells, tells_not};

const CAR: &str = "plan wren-job \"W\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; mass 700 kg quoted
person ada; lifts 25 kg
person tom; lifts 25 kg
person esk; licensed for pyrotechnic
rig table; lifts, holds; rated 300 kg
rig lift; lifts, holds; rated 2500 kg
rig bench; holds; rated 100 kg
tool jar; holds 30 l
";

fn car(rest: &str) -> String {
    format!("{CAR}{rest}")
}

fn says(plan: &str, rule: &str) {
    tells(rule, plan);
}

fn says_not(plan: &str, rule: &str) {
    tells_not(rule, plan);
}

/// An engine on three mounts, with an exhaust on its flange that hangs so.
fn engine(hangers: &str, acts: &str) -> String {
    car(&format!(
        "part engine; mass 120 kg quoted
part exhaust; mass 14 kg quoted
joint left-mount: engine to shell; carries; bolts 1 x M12x1.5; torque 60 N m
joint right-mount: engine to shell; carries; bolts 1 x M12x1.5; torque 60 N m
joint rear-mount: engine to shell; carries; bolts 1 x M12x1.5; torque 60 N m
joint flange: exhaust to engine; carries; nuts 3 x M10x1.5; torque 40 N m
joint hangers: exhaust to shell; carries; {hangers}
step round; by ada, tom; {acts}
"
    ))
}

#[test]
fn an_exhaust_on_its_rubbers_is_no_mount() {
    let one = "undo left-mount; start left-mount; tighten left-mount";
    says(&engine("clip; count 3", one), "would-swing");
    is_clean(&engine(
        "clip; count 3",
        &format!("hold engine with table; {one}; release engine from table"),
    ));
    let all = "undo left-mount, right-mount, rear-mount; start left-mount, right-mount, rear-mount; tighten left-mount, right-mount, rear-mount";
    says(&engine("clip; count 3", all), "would-fall");
    // A bracket of its own is one.
    says_not(&engine("bolts 4 x M10x1.5; torque 40 N m", one), "would-swing");
    // The exhaust itself hangs on its flange as before.
    says_not(
        &engine("clip; count 3", "undo hangers; start hangers"),
        "would-fall",
    );
}

#[test]
fn a_car_is_not_lifted_whole_by_one_end() {
    let plan = |at: &str| {
        let places = "mass 700 kg quoted
  jacking front at 100 mm behind front axle, 400 mm left and right
  jacking rear at 2000 mm behind front axle, 400 mm left and right
";
        let up = format!("step up; by ada; raise wren on lift {at}; set wren down on floor\n");
        car(&up).replace("mass 700 kg quoted\n", places)
    };
    says(&plan("at jacking front"), "wrong-rig");
    says(&plan("at jacking rear"), "wrong-rig");
    says_not(&plan("at jacking front, jacking rear"), "wrong-rig");
    says_not(&plan(""), "wrong-rig");
}

#[test]
fn a_charge_is_parted_under_a_dead_supply() {
    let plan = |steps: &str| {
        car(&format!(
            "part bag \"Airbag\"; mass 1 kg quoted
part battery; mass 4 kg quoted
joint bag-plug: bag to shell; plug of charge
joint earth: battery to shell; strap of supply
energy charge \"Charge\"; pyrotechnic; safe after bags-safe
energy supply \"12 V supply\"; electric; safe after dead
caution goes-off \"It goes off\"; signal warning; harm \"Burns.\"; avoid \"Nobody before it.\"; against pyrotechnic, battery
{steps}"
        ))
    };
    let dead = "step dead; by ada; caution goes-off; undo earth; verify \"Meter on the terminals: dead\"\n";
    let bags = "step bags-safe; by esk; caution goes-off; look \"Ten minutes by the clock\"; undo bag-plug\n";
    let rule = "still-live";
    says_not(&plan(&format!("{dead}{bags}")), rule);
    says(&plan(&format!("{bags}{dead}")), rule);
}

#[test]
fn an_earth_is_first_whether_or_not_the_supply_says_where_it_is() {
    let plan = |order: &str| {
        car(&format!(
            "part battery; mass 14 kg quoted
part loom; mass 5 kg quoted
joint earth-lead: battery to shell; strap of supply
joint live-lead: battery to loom; cable of supply
energy supply \"12 V supply\"; electric; safe after dead
caution zap \"Battery\"; signal warning; harm \"Burns.\"; avoid \"Rings off.\"; against battery
step dead; by ada; caution zap; undo {order}; verify \"Meter on the terminals: dead\"
"
        ))
    };
    says(&plan("live-lead, earth-lead"), "earth-not-first");
    says_not(&plan("earth-lead, live-lead"), "earth-not-first");
}

#[test]
fn an_engine_is_run_with_its_battery_and_fills_its_rail() {
    let battery = |before: &str, after: &str| {
        car(&format!(
            "part engine; mass 90 kg quoted
part battery; mass 14 kg quoted
part small-battery; in place of battery; mass 4 kg quoted
joint engine-bolts: engine to shell; carries; bolts 4 x M12x1.5; torque 85 N m
joint clamp: battery to shell; carries; bolts 1 x M8x1.25; torque 10 N m
joint new-clamp: small-battery to shell; in place of clamp; same as clamp
step out; by ada; undo clamp; take off battery
step back; by ada; {before}run engine{after}
"
        ))
    };
    let fit = "fit small-battery; start new-clamp; tighten new-clamp";
    says(&battery("", &format!("; {fit}")), "not-ready");
    says_not(&battery(&format!("{fit}; "), ""), "not-ready");
    // Emptied, and run once more before it is opened.
    let rail = |again: &str| {
        car(&format!(
            "part engine; mass 90 kg quoted
joint engine-bolts: engine to shell; carries; bolts 4 x M12x1.5; torque 85 N m
joint feed: engine to shell; hose of rail; push-on
energy rail \"Fuel rail\"; pressure; safe after relief
caution sprays \"It sprays\"; signal warning; harm \"Burns.\"; avoid \"A rag over it.\"; against pressure, fuel
step relief; by ada; caution sprays; verify \"Engine run until it stalls: rail empty\"
step open; by ada; caution sprays; {again}undo feed; start feed
"
        ))
    };
    says(&rail("run engine; "), "still-live");
    says_not(&rail(""), "still-live");
}

#[test]
fn who_drives_sits_and_steers() {
    let plan = |part: &str, before: &str, after: &str| {
        car(&format!(
            "part old-{part}; mass 9 kg quoted; afterwards scrapped
part new-{part}; in place of old-{part}; mass 4 kg quoted
joint old-bolts: old-{part} to shell; carries; bolts 4 x M8x1.25; torque 18 N m
joint new-bolts: new-{part} to shell; in place of old-bolts; same as old-bolts
step out; by ada, tom; hold old-{part} by tom; undo old-bolts; take off old-{part}
step back; by ada, tom; {before}drive wren{after}
"
        ))
    };
    for part in ["seat", "steering-wheel"] {
        let fit = format!("fit new-{part}; start new-bolts; tighten new-bolts");
        says(&plan(part, "", &format!("; {fit}")), "not-ready");
        says_not(&plan(part, &format!("{fit}; "), ""), "not-ready");
    }
    // A rear bench is left at home.
    for part in ["ashtray", "rear-seat", "bonnet-strut"] {
        let fit = format!("fit new-{part}; start new-bolts; tighten new-bolts");
        says_not(&plan(part, "", &format!("; {fit}")), "not-ready");
    }
}

#[test]
fn pads_are_under_the_wheels() {
    let plan = |scale: &str, up: &str| {
        car(&format!(
            "scale {scale}; capacity 2000 kg; division 0.5 kg
step up; by ada; {up}weigh wren with {scale}
"
        ))
    };
    says(&plan("pads", "raise wren on lift; "), "weighed-on-stands");
    says_not(&plan("pads", ""), "weighed-on-stands");
    // From the hook it hangs.
    says_not(&plan("crane-scale", "raise wren on lift; "), "weighed-on-stands");
}

#[test]
fn fuel_goes_into_what_takes_the_place_of_the_tank() {
    let plan = |fluid: &str, fill: &str| {
        car(&format!(
            "part tank; mass 9 kg quoted; afterwards scrapped
part cell; in place of tank; mass 6 kg quoted
fluid {fluid}; holds 20 l; density 0.75 kg/l; in tank
joint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 18 N m
joint cell-bolts: cell to shell; in place of straps; same as straps
caution burns \"It burns\"; signal warning; harm \"Burns.\"; avoid \"No flame.\"; against fuel, glycol
step out; by ada, tom; caution burns; drain {fluid} into jar; undo straps; take off tank
step back; by ada, tom; caution burns; fit cell; start cell-bolts; tighten cell-bolts{fill}
"
        ))
    };
    says(&plan("petrol", ""), "never-refilled");
    says_not(&plan("petrol", "; fill petrol 9 l"), "never-refilled");
    says_not(&plan("water", ""), "never-refilled");
}

#[test]
fn what_is_gone_for_good_is_not_asked_for() {
    let plan = |gone: &str| {
        car(&format!(
            "part heater; mass 4 kg quoted
fluid coolant; holds 6 l; in heater{gone}
caution sweet \"Sweet\"; signal caution; harm \"A dog drinks it.\"; avoid \"Cover it.\"; against glycol
joint heater-bolts: heater to shell; carries; bolts 2 x M8x1.25; torque 18 N m
joint drain-cock: heater to shell; pipe of coolant; nuts 1 x M10x1; torque 14 N m
step out; by ada; caution sweet; undo drain-cock; drain coolant into jar; start drain-cock; tighten drain-cock
"
        ))
    };
    says(&plan(""), "never-refilled");
    says_not(
        &plan("; gone \"the car goes without a heater\""),
        "never-refilled",
    );
}

/// A damper and its coil, put together on the bench a step before they are fitted.
#[test]
fn a_coil_in_its_seat_goes_along_with_its_damper() {
    let plan = |coil: &str| {
        car(&format!(
            "tool clamps; compresses
part damper; mass 4 kg quoted
part short; in place of damper; mass 3 kg quoted
part coil; mass 2 kg quoted; rests on damper
joint foot: damper to shell; carries; bolts 2 x M12x1.5; torque 85 N m
joint short-foot: short to shell; in place of foot; same as foot
step out; by ada, tom; hold damper by tom; undo foot; take off damper, coil
step build; by ada; needs clamps; set short down on bench; {coil}
step back; by ada, tom; hold short by tom; fit short; start short-foot; tighten short-foot
"
        ))
    };
    says_not(&plan("fit coil"), "never-refitted");
    says(&plan("look \"Seat clean\""), "never-refitted");
}

#[test]
fn two_hands_lift_a_rack_off_the_bench() {
    let plan = |hold: &str| {
        car(&format!(
            "part rack; mass 7 kg quoted
part rod; mass 1 kg quoted
joint rack-bolts: rack to shell; carries; bolts 2 x M10x1.5; torque 45 N m
joint rod-inner: rod to rack; carries; bolts 1 x M14x1.5; torque 70 N m
step out; by ada, tom; hold rack by tom; undo rack-bolts; take off rack
step build; by ada; set rack down on bench; undo rod-inner; start rod-inner; tighten rod-inner
step back; by ada, tom; {hold}fit rack; start rack-bolts; tighten rack-bolts
"
        ))
    };
    says_not(&plan("hold rack by tom; "), "still-held");
}

#[test]
fn another_trades_gauge_proves_no_charge_dead() {
    let plan = |look: &str| {
        car(&format!(
            "part bag \"Airbag\"; mass 1 kg quoted
joint bag-plug: bag to shell; plug of charge
energy charge \"Igniter\"; pyrotechnic; safe after proof
caution goes-off \"It goes off\"; signal warning; harm \"Burns.\"; avoid \"Nobody before it.\"; against pyrotechnic
step proof; by esk; caution goes-off; verify \"{look}\"
step open; by esk; caution goes-off; undo bag-plug; start bag-plug
"
        ))
    };
    says(&plan("Gauge stays at nought for ten minutes"), "not-proved-dead");
    says_not(&plan("Ten minutes by the clock"), "not-proved-dead");
    says_not(&plan("Igniter: tester reads nothing"), "not-proved-dead");
}

/// A strut corner: the upright stands on its ball joint and is held up by the strut.
fn corner(before: &str, after: &str) -> String {
    car(&format!(
        "part arm; mass 4 kg quoted
part upright; mass 9 kg quoted
part disc; mass 6 kg quoted
part strut; mass 7 kg quoted
joint pivots: arm to shell; carries; bolts 2 x M12x1.5; torque 60 N m
joint ball: upright to arm; carries; taper; nuts 1 x M12x1.5; torque 60 N m
joint pinch: strut to upright; carries; bolts 2 x M12x1.5; torque 60 N m
joint top: strut to shell; carries; nuts 3 x M8x1.25; torque 20 N m
joint disc-screw: disc to upright; carries; bolts 1 x M8x1.25; torque 20 N m
step out; by ada, tom; {before}hold strut by tom; undo pinch; undo top; take off strut
step back; by ada, tom; hold strut by tom; fit strut; start top; start pinch; tighten top, pinch{after}
"
    ))
}

#[test]
fn an_upright_turns_over_on_its_ball_joint() {
    says(&corner("", ""), "would-swing");
    is_clean(&corner("tie up upright to shell, 20 kg; ", "; untie upright"));
    // The arm beneath stays: its pivots are two.
    says_not(
        &corner("hold upright with table; ", "; release upright from table"),
        "would-swing",
    );
}

#[test]
fn on_one_mount_and_a_jack_an_engine_tips() {
    let acts = |rig: &str, steady: &str, out: &str| {
        engine(
            "clip; count 3",
            &format!("hold engine with {rig}; {steady}undo {out}; start {out}; tighten {out}; release engine from {rig}"),
        )
        .replace("rig lift;", "rig jack; lifts; rated 500 kg\nrig lift;")
    };
    let two = "left-mount, right-mount";
    says(&acts("jack", "", two), "would-swing");
    is_clean(&acts("jack", "steady engine by tom; ", two));
    // A bed beneath, or one mount at a time.
    is_clean(&acts("table", "", two));
    is_clean(&acts("jack", "", "left-mount"));
}

#[test]
fn where_the_log_stopped_somebody_has_to_hold_it() {
    let plan = |stopped: &str| {
        car(&format!(
            "part seat; mass 15 kg quoted
joint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25; torque 45 N m
step seat-round; by ada, tom; hold seat by tom; undo seat-bolts; take off seat; fit seat; start seat-bolts; tighten seat-bolts
log seat-round; stopped 2026-03-14 at {stopped}
"
        ))
    };
    let rule = "stopped-unsafe";
    says(&plan("undo seat-bolts"), rule);
    says_not(&plan("tighten seat-bolts"), rule);
}

#[test]
fn fuel_on_the_sheet_is_fuel_in_the_tank() {
    let plan = |fill: &str, sheet: &str| {
        car(&format!(
            "scale pads; capacity 500 kg; division 0.5 kg
part tank; mass 6 kg quoted
joint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m
fluid petrol; holds 40 l; density 0.75 kg/l; in tank
caution fire \"Fuel burns\"; signal danger; harm \"Death.\"; avoid \"No flame.\"; against fuel
tool can; holds 40 l
step empty; by ada; caution fire; drain petrol into can{fill}
step on-pads; by ada; weigh wren with pads
step full; by ada; caution fire; fill petrol 30 l
weigh-in dry; dated 2026-03-09; after on-pads; with pads; corners 162 kg, 163 kg front, 168 kg, 166 kg rear; fuel {sheet} l
"
        ))
        .replace("; mass 700 kg quoted", "")
    };
    let rule = "fuel-otherwise";
    says(&plan("", "12"), rule);
    says_not(&plan("", "0.5"), rule);
    says(&plan("; fill petrol 12 l", "20"), rule);
    says_not(&plan("; fill petrol 12 l", "12"), rule);
}

#[test]
fn three_corners_tell_the_fourth() {
    let plan = |corner: &str| {
        car(&format!(
            "scale pads; capacity 500 kg; division 0.5 kg
step on-pads; by ada; weigh wren with pads
weigh-in one; dated 2026-03-09; after on-pads; with pads; corners {corner} kg, 171 kg front, 176 kg, 174 kg rear
"
        ))
        .replace("; mass 700 kg quoted", "")
    };
    let rule = "corner-misread";
    says(&plan("270"), rule);
    says(&plan("100"), rule);
    // A driver's side that is heavier, and a floor that is not quite level.
    says_not(&plan("190"), rule);
}

#[test]
fn a_full_tank_does_not_weigh_what_an_empty_one_does() {
    let plan = |drain: &str, fill: &str, reads: &str| {
        car(&format!(
            "scale hook; capacity 50 kg; division 0.1 kg
part tank; mass 6 kg quoted
joint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m
fluid petrol; holds 20 l; density 0.75 kg/l; in tank
caution fire \"Fuel burns\"; signal danger; harm \"Death.\"; avoid \"No flame.\"; against fuel
step round; by ada, tom; caution fire; {drain}hold tank with table; undo straps; take off tank; weigh tank with hook; fit tank; start straps; tighten straps; release tank from table{fill}
weigh-in off; dated 2026-03-09; with hook; reads tank {reads} kg
"
        ))
    };
    let rule = "weighed-full";
    says(&plan("", "", "6.1"), rule);
    says_not(
        &plan("drain petrol into jar; ", "; fill petrol 20 l", "6.1"),
        rule,
    );
    says_not(&plan("", "", "21.1"), rule);
}

#[test]
fn the_earth_goes_on_after_the_last_plug() {
    let plan = |back: &str| {
        car(&format!(
            "part battery; mass 12 kg quoted
part bag; mass 1 kg quoted
joint tray: battery to shell; clip; carries
joint earth-lead: battery to shell; strap; of supply; bolts 1 x M8x1.25; torque 9 N m
joint bag-clip: bag to shell; clip; carries
joint lamp-plug: bag to shell; plug; of supply
joint bag-plug: bag to shell; plug of charge
energy supply; electric; safe after dead
energy charge; pyrotechnic; safe after dead
caution zap \"Battery\"; signal warning; harm \"Burns.\"; avoid \"Rings off.\"; against battery, pyrotechnic
step dead; by esk; caution zap; undo earth-lead; verify \"0 V, ten minutes by the clock\"
step out; by esk; caution zap; undo lamp-plug; undo bag-plug; undo bag-clip; take off bag
step back; by esk; caution zap; fit bag; start bag-clip; {back}
"
        ))
    };
    let (earth, lamp, charge) = (
        "start earth-lead; tighten earth-lead",
        "start lamp-plug",
        "start bag-plug",
    );
    is_clean(&plan(&format!("{lamp}; {charge}; {earth}")));
    says(&plan(&format!("{charge}; {earth}; {lamp}")), "earth-not-first");
    says(&plan(&format!("{lamp}; {earth}; {charge}")), "still-live");
}

#[test]
fn a_fuel_line_is_not_left_open_for_weeks() {
    let plan = |fluid: &str, shut: &str, open: &str| {
        car(&format!(
            "part pump; mass 1 kg quoted
joint pump-bolts: pump to shell; carries; bolts 2 x M8x1.25; torque 20 N m
joint feed: pump to shell; hose of {fluid}
fluid {fluid}; holds 20 l
caution beware \"Beware\"; signal danger; harm \"Death.\"; avoid \"No flame, no spark.\", \"Gloves.\"; against fuel, glycol
step off; by ada; caution beware; drain {fluid} into jar; undo feed; {shut}undo pump-bolts; take off pump; safe to leave
step on; by ada; caution beware; fit pump; start pump-bolts; tighten pump-bolts; {open}start feed; fill {fluid} 10 l
"
        ))
    };
    let rule = "not-safe-to-leave";
    says(&plan("petrol", "", ""), rule);
    says_not(
        &plan("petrol", "cap feed; plug feed; ", "uncap feed; unplug feed; "),
        rule,
    );
    // Drained, a hose of the radiator gapes for weeks, and hurts nobody.
    says_not(&plan("coolant", "", ""), rule);
}
