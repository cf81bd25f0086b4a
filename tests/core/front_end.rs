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
