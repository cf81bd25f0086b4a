//! Lines, and what is in them: caps, plugs and clamps on a line that is replaced, air behind a union that was cracked, a fluid and an energy in
//! one joint, a pressure that is let off. All plans are invented; what is asked of them is common practice, no source.

use crate::support::compile_text;

const HEAD: &str = "plan wren-job \"W\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; mass 700 kg quoted
person ada; lifts 30 kg
person tom; lifts 30 kg
";

#[track_caller]
fn tells(rule: &str, text: &str) {
    crate::support::tells(rule, &format!("{HEAD}{text}"));
}

#[track_caller]
fn is_clean(text: &str) {
    crate::support::is_clean(&format!("{HEAD}{text}"));
}

/// A hose between a pipe and a slave cylinder, and the new one that takes its place.
const CLUTCH: &str = "fluid clutch-oil; holds 0.3 l; density 1.05 kg/l; in slave, pipe; needs bleeding
part slave; mass 1 kg quoted\npart pipe; mass 0.2 kg quoted
part old-hose; mass 0.2 kg quoted\npart new-hose; in place of old-hose; mass 0.2 kg quoted
joint slave-bolts: slave to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint pipe-clip: pipe to shell; clip; carries
joint upper: pipe to old-hose; pipe of clutch-oil; nuts 1 x M10x1.0; torque 14 N m; head 11 mm
joint lower: old-hose to slave; hose of clutch-oil; nuts 1 x M10x1.0; torque 14 N m; head 14 mm
joint new-upper: pipe to new-hose; in place of upper; same as upper
joint new-lower: new-hose to slave; in place of lower; same as lower
";

fn hose_changed(out: &str, back: &str) -> String {
    format!(
        "{CLUTCH}step out; by ada; {out}; take off old-hose
step back; by ada; fit new-hose; {back}
step bleed; by ada; bleed clutch-oil\n"
    )
}

const JOINED: &str = "start new-upper, new-lower; tighten new-upper, new-lower";

#[test]
fn a_cap_closes_what_stays_of_a_line_that_is_replaced() {
    let out = "undo upper; cap upper; undo lower; plug lower";
    is_clean(&hose_changed(
        out,
        &format!("uncap upper; unplug lower; {JOINED}"),
    ));
    tells("cap-left", &hose_changed(out, &format!("unplug lower; {JOINED}")));
    tells("cap-left", &hose_changed(out, &format!("uncap upper; {JOINED}")));
}

#[test]
fn of_cap_and_plug_one_leaves_with_the_old_hose() {
    let out = "undo upper; cap upper; plug upper; undo lower; plug lower; cap lower";
    is_clean(&hose_changed(
        out,
        &format!("uncap upper; unplug lower; {JOINED}"),
    ));
    is_clean(&hose_changed(
        out,
        &format!("uncap upper; unplug upper; unplug lower; uncap lower; {JOINED}"),
    ));
    tells("cap-left", &hose_changed(out, &format!("uncap upper; {JOINED}")));
}

#[test]
fn a_clamp_on_a_hose_leaves_with_it() {
    let clamped = "clamp upper; undo upper; undo lower; plug lower";
    tells(
        "still-full",
        &hose_changed(clamped, &format!("unplug lower; {JOINED}; unclamp upper")),
    );
    // As long as the hose stays on, it is closed.
    is_clean(&format!(
        "{CLUTCH}step round; by ada; clamp upper; undo upper; look \"Thread clean\"; start upper; tighten upper; unclamp upper; bleed clutch-oil
accept never-taken-off for old-hose because \"later\"\n"
    ));
}

#[test]
fn a_clamp_and_a_cap_come_away_in_either_order() {
    let tank = "fluid petrol; holds 40 l; density 0.75 kg/l; in tank; against fuel
part tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint line: tank to shell; hose of petrol; push-on\n";
    let round = |acts: &str| format!("{tank}step round; by ada; clamp line; undo line; cap line; {acts}\n");
    is_clean(&round(
        "unclamp line; look \"Hose whole\"; uncap line; start line",
    ));
    is_clean(&round("uncap line; start line; unclamp line"));
    tells("cap-left", &round("uncap line; start line"));
    tells(
        "still-full",
        &round("unclamp line; uncap line\nstep on; by ada; start line"),
    );
    tells(
        "already-done",
        &round("unclamp line; unclamp line; uncap line; start line"),
    );
    is_clean(&format!(
        "{tank}stage off\nstep out; by ada; clamp line; undo line; cap line\nstage on \"On again\" reverses off\n"
    ));
}

/// A filter between two hoses, which are no parts.
const FILTER: &str = "fluid petrol; holds 40 l; density 0.75 kg/l; in tank, filter; against fuel
part tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
part filter; mass 0.4 kg quoted\npart filter-new; in place of filter; mass 0.4 kg quoted
joint inlet: tank to filter; hose of petrol; push-on
joint outlet: filter to shell; hose of petrol; push-on
joint new-inlet: tank to filter-new; in place of inlet; same as inlet
joint new-outlet: filter-new to shell; in place of outlet; same as outlet
";

#[test]
fn a_clamp_on_a_hose_that_is_no_part_stays() {
    let job = |back: &str| {
        format!(
            "{FILTER}step out; by ada; clamp inlet, outlet; undo inlet, outlet; take off filter
step back; by ada; fit filter-new; {back}\n"
        )
    };
    is_clean(&job("start new-inlet, new-outlet; unclamp inlet, outlet"));
    // It is on the line that has the new filter in it.
    tells("cap-left", &job("start new-inlet, new-outlet; unclamp inlet"));
    // Taken off before the hose is on again.
    tells("still-full", &job("unclamp inlet"));
}

#[test]
fn a_rigid_pipe_is_not_clamped() {
    let round = |kind: &str| {
        format!(
            "fluid oil; holds 2 l; density 0.87 kg/l; in pump\npart pump; mass 3 kg quoted\npart ram; mass 4 kg quoted
joint pump-bolts: pump to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint ram-bolts: ram to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint line: ram to pump; {kind}; push-on
step round; by ada; clamp line; undo line; start line; unclamp line\n"
        )
    };
    tells("clamp-on-pipe", &round("pipe of oil"));
    tells("clamp-on-pipe", &round("hose of oil; rigid"));
    is_clean(&round("hose of oil"));
    is_clean(&round("pipe of oil; flexible"));
}

#[test]
fn a_union_that_was_cracked_draws_in_air() {
    let job = |last: &str| {
        format!(
            "{CLUTCH}step round; by ada; undo upper; cap upper; uncap upper; start upper; tighten upper
step bleed; by ada; bleed clutch-oil
step again; by ada; slacken lower; tighten lower{last}
accept never-taken-off for old-hose because \"later\"\n"
        )
    };
    tells("never-bled", &job(""));
    is_clean(&job("; bleed clutch-oil"));
    // A fluid that bleeds itself.
    is_clean(&job("").replace("; needs bleeding", ""));
}

#[test]
fn cap_and_plug_come_out_one_by_one() {
    let tank = "fluid petrol; holds 40 l; density 0.75 kg/l; in tank; against fuel\ntool can; holds 60 l
part tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
joint line: tank to shell; hose of petrol; push-on\n";
    let out = "step out; by ada, tom; drain petrol into can; undo line; cap line; plug line; hold tank by tom; undo straps; take off tank\n";
    is_clean(&format!(
        "{tank}stage off\n{out}stage on \"On again\" reverses off\n"
    ));
    let back = |acts: &str| {
        format!(
            "{tank}{out}step on; by ada, tom; hold tank by tom; fit tank; start straps; tighten straps; {acts}start line; fill petrol 40 l\n"
        )
    };
    is_clean(&back("unplug line; uncap line; "));
    tells("cap-left", &back("uncap line; "));
    tells("already-done", &back("uncap line; uncap line; unplug line; "));
}

#[test]
fn a_fluid_and_an_energy_are_in_one_joint() {
    let job = |of: &str, acts: &str| {
        format!(
            "fluid petrol; holds 40 l; density 0.75 kg/l; in tank; against fuel
energy rail; pressure; in filter; safe after let-off
part tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
part filter; mass 0.4 kg quoted\njoint clip: filter to shell; clip; carries
joint valve: filter to shell; hose{of}; push-on
joint line: tank to filter; hose{of}; push-on
{acts}\n"
        )
    };
    let let_off = "step let-off; by ada; look \"Nothing comes any more\"; undo valve; cap valve";
    let round = "step round; by ada; undo line; cap line; uncap line; start line; uncap valve; start valve";
    for of in [
        " of petrol; of rail",
        "; of rail; opens petrol",
        "; opens petrol; of rail",
    ] {
        is_clean(&job(of, &format!("{let_off}\n{round}")));
        // Full of petrol, whatever else is in it.
        tells(
            "still-full",
            &job(
                of,
                &format!("{let_off}\n{round}")
                    .replace("undo line; cap line", "undo line")
                    .replace("uncap line; ", "")
                    .replace("start line", "\nstep on; by ada; start line"),
            ),
        );
        // And under pressure, whatever else is in it.
        tells(
            "still-live",
            &job(
                of,
                &format!("step early; by ada; undo line; cap line\n{let_off}\n{round}")
                    .replace("round; by ada; undo line; cap line;", "round; by ada;"),
            ),
        );
    }
}

#[test]
fn of_two_energies_in_one_joint_one_is_refused() {
    let job = |of: &str| {
        format!(
            "energy supply; electric; safe after dead\nenergy charge; pyrotechnic; safe after dead
part battery; mass 9 kg quoted\njoint tray: battery to shell; carries; bolts 1 x M8x1.25; torque 10 N m; head 13 mm
joint earth: battery to shell; strap of supply; bolts 1 x M6x1.0; torque 5 N m; head 10 mm
part lamp; mass 1 kg quoted\njoint pins: lamp to shell; clip; carries
joint lead: lamp to shell; plug{of}
step dead; by ada; undo earth; verify \"No volts\"; undo lead; start lead; start earth; tighten earth\n"
        )
    };
    tells("said-twice", &job(" of supply; of charge"));
    is_clean(&job(" of supply; of supply"));
}

/// A filter under the pressure of the rail, and a battery.
fn rail(let_off: &str) -> String {
    format!(
        "fluid petrol; holds 40 l; density 0.75 kg/l; in tank, filter; against fuel
energy supply; electric; safe after dead\nenergy rail \"Pressure of the rail\"; pressure; in filter; safe after let-off
part tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
part battery; mass 9 kg quoted\njoint tray: battery to shell; carries; bolts 1 x M8x1.25; torque 10 N m; head 13 mm
joint earth: battery to shell; strap; bolts 1 x M6x1.0; torque 5 N m; head 10 mm
part filter; mass 0.4 kg quoted\njoint clip: filter to shell; clip; carries
part valve; mass 0.1 kg quoted\njoint valve-nut: valve to filter; bolts 1 x M8x1.0; torque 8 N m; head 12 mm
joint line: tank to filter; hose of petrol; of rail; push-on
{let_off}\nstep round; by ada; clamp line; undo line; look \"Seal whole\"; start line; unclamp line
"
    )
}

const EARTH_ON: &str = "step live; by ada; start earth; tighten earth\n";

#[test]
fn a_pressure_is_not_let_off_by_what_has_nothing_to_do_with_it() {
    let dead = format!(
        "{}{EARTH_ON}",
        rail("step dead; by ada; undo earth; verify \"No volts\"")
    )
    .replace("let-off", "dead");
    tells("still-live", &dead);
    // Nor is it by the clip that carries the filter, or by what is drained elsewhere.
    let clip = rail("step let-off; by ada; undo clip; start clip");
    tells(
        "still-live",
        &clip.replace("safe after dead", "safe after let-off"),
    );
    let oil = rail("step let-off; by ada; drain oil into pan").replace(
        "energy supply; electric; safe after dead",
        "fluid oil; holds 2 l; density 0.87 kg/l; in battery\ntool pan; holds 5 l",
    );
    tells("still-live", &oil);
}

#[test]
fn a_pressure_is_let_off_by_its_own_joint_or_proved_gone() {
    let whole = |let_off: &str| {
        is_clean(&format!(
            "{}{EARTH_ON}",
            rail(&format!(
                "{let_off}\nstep dead; by ada; undo earth; verify \"No volts\""
            ))
        ));
    };
    // In words alone: the engine ran until it was empty.
    whole("step let-off; by ada; verify \"Engine run until it stalls: nothing comes\"");
    whole("step let-off; by ada; look \"Gauge at nothing\"");
    // By a joint that does not name it, and goes to where it is; proved before that is opened.
    whole(
        "step let-off; by ada; look \"Gauge at nothing\"; undo valve-nut; start valve-nut; tighten valve-nut; look \"No hiss\"",
    );
    // With the supply in one step, in words of its own.
    let both = |words: &str| {
        format!(
            "{}{EARTH_ON}",
            rail(&format!("step dead; by ada; undo earth; verify \"{words}\""))
        )
        .replace("let-off", "dead")
    };
    is_clean(&both("No volts, and the rail is empty"));
    tells("still-live", &both("No volts, earth tied back"));
}

#[test]
fn a_verify_without_words_proves_no_pressure() {
    let job = rail("step let-off; by ada; verify earth\nstep dead; by ada; undo earth; verify \"No volts\"");
    tells("still-live", &format!("{job}{EARTH_ON}"));
}

#[test]
fn a_small_plug_is_a_doubt_and_a_cable_is_a_fault() {
    let severity = |part: &str, joint: &str| {
        let text = format!(
            "{HEAD}fluid petrol; holds 40 l; density 0.75 kg/l; in tank; against fuel
energy supply; electric; safe after dead\npart tank; mass 9 kg quoted\njoint straps: tank to shell; carries; bolts 2 x M8x1.25
part battery; mass 9 kg quoted\njoint tray: battery to shell; carries; bolts 1 x M8x1.25
joint earth: battery to shell; strap; bolts 1 x M6x1.0
part {part}; mass 1 kg quoted\njoint pins: {part} to shell; clip; carries\njoint lead: {part} to shell; {joint}
step off; by ada; undo lead\nstep dead; by ada; undo earth\n"
        );
        let done = compile_text(&text);
        let found = done
            .findings
            .iter()
            .find(|finding| finding.rule.name == "still-live");
        format!(
            "{:?}",
            found
                .unwrap_or_else(|| panic!("nothing told of\n{text}"))
                .severity
        )
    };
    assert_eq!(severity("lamp", "plug"), "Doubt");
    assert_eq!(severity("lamp", "cable of supply; nuts 1 x M8x1.25"), "Fault");
    assert_eq!(severity("fuel-pump", "plug"), "Fault");
    assert_eq!(severity("airbag", "plug"), "Fault");
}
