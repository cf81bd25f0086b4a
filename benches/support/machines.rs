//! Plans of any number of steps for the benchmark of the walk: machines stripped and built again, and the worst cases on purpose.
//! Each gives a plan's text; all but one of them walk without a finding.

use std::fmt::Write;

const HEAD: &str = "\
plan p \"A row of machines, stripped and built again\"; for wren; caution hung
vehicle wren \"Wren 900\"; body shell
rig hoist \"Hoist\"; lifts; rated 1000 kg
caution hung \"A hung load drops\"; signal warning; harm \"Crushed.\"; avoid \"Nobody beneath it.\"; against suspended-load
";

/// Parts of one machine of the row, its frame among them; each has two joints, and each two steps.
const PARTS: usize = 8;

/// A row of machines: a frame on three mounts, seven parts on it in a tree, each with a plug. Stripped one by one, and built again:
/// as many joints as steps.
pub fn machines(steps: usize) -> String {
    let mut text = String::from(HEAD);
    let rows = steps.div_ceil(2 * PARTS);
    for row in 0..rows {
        declare(row, &mut text);
    }
    for row in 0..rows {
        strip(row, &mut text);
    }
    for row in 0..rows {
        build(row, &mut text);
    }
    text
}

/// The same on a vehicle whose corners were weighed, each part with its place: its centre is followed through every act.
pub fn weighed(steps: usize) -> String {
    // Enough that the machines are a small part of it, or what the vehicle weighs would come to nothing.
    let corner = steps * 20;
    let vehicle = format!(
        "vehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm; track 1300 mm front, 1300 mm rear
scale pads \"Pads\"; capacity {} kg each; division 0.5 kg; repeatability 0.5 kg
weigh-in before \"Before\"; dated 2026-03-07; with pads; corners {corner} kg, {corner} kg front, {corner} kg, {corner} kg rear; fuel 10 l; driver out; tyres 1.8 bar front, 1.8 bar rear; level \"shimmed\"
",
        corner * 2
    );
    machines(steps)
        .replace("vehicle wren \"Wren 900\"; body shell\n", &vehicle)
        .replace(
            "kg estimated; goes",
            "kg estimated; at 900 mm behind front axle, 200 mm right, 400 mm up; goes",
        )
}

fn declare(row: usize, out: &mut String) {
    let _infallible = write!(
        out,
        "part m{row}-frame \"Frame of machine {row}\"; mass 31.5 +- 0.8 kg estimated; goes to \"pallet by the door\"\n\
         joint m{row}-mount, 1 to 3: m{row}-frame to shell; carries; bolts 2 x M12x1.5x70 class 10.9; head 18 mm; torque 105 N m\n"
    );
    for part in 1..PARTS {
        let under = match part {
            1..=3 => "frame".to_owned(),
            _ => format!("part-{}", part - 3),
        };
        let _infallible = write!(
            out,
            "part m{row}-part-{part} \"Part {part} of machine {row}\"; mass 2.4 +- 0.1 kg estimated; goes to \"crate {}\"\n\
             joint m{row}-bolts-{part}: m{row}-part-{part} to m{row}-{under}; carries; bolts 3 x M8x1.25x25 class 8.8; head 13 mm; torque 22 N m\n",
            row % 50
        );
        if part < PARTS - 1 {
            let _infallible = writeln!(
                out,
                "joint m{row}-plug-{part}: m{row}-part-{part} to shell; plug; play 150 mm"
            );
        }
    }
}

fn strip(row: usize, out: &mut String) {
    for part in (1..PARTS).rev() {
        let plug = match part {
            7 => String::new(),
            _ => format!("m{row}-plug-{part}, "),
        };
        let _infallible = writeln!(
            out,
            "step m{row}-off-{part} \"Part {part} of machine {row} off\"\n  undo {plug}m{row}-bolts-{part}\n  take off m{row}-part-{part}\n  time 15 min (10 to 25)"
        );
    }
    let _infallible = writeln!(
        out,
        "step m{row}-down \"Frame of machine {row} down\"\n  hold m{row}-frame with hoist\n  undo m{row}-mount-1, m{row}-mount-2, m{row}-mount-3\n  take off m{row}-frame\n  set m{row}-frame down on floor\n  time 45 min (30 to 90)"
    );
}

fn build(row: usize, out: &mut String) {
    let _infallible = writeln!(
        out,
        "step m{row}-up \"Frame of machine {row} up\"\n  hold m{row}-frame with hoist\n  fit m{row}-frame\n  start m{row}-mount-1, m{row}-mount-2, m{row}-mount-3\n  tighten m{row}-mount-1, m{row}-mount-2, m{row}-mount-3\n  release m{row}-frame from hoist\n  time 45 min (30 to 90)"
    );
    for part in 1..PARTS {
        let plug = match part {
            7 => String::new(),
            _ => format!("\n  start m{row}-plug-{part}"),
        };
        let _infallible = writeln!(
            out,
            "step m{row}-on-{part} \"Part {part} of machine {row} on\"\n  fit m{row}-part-{part}\n  start m{row}-bolts-{part}\n  tighten m{row}-bolts-{part}{plug}\n  time 20 min (15 to 30)"
        );
    }
}

fn parts(count: usize, out: &mut String) {
    for part in 1..=count {
        let _infallible = writeln!(out, "part p{part}; mass 0.4 kg quoted");
    }
}

/// One assembly of so many parts, each clipped to the body: taken by the hoist as one, undone one by one, off, and back.
pub fn one_assembly(count: usize) -> String {
    let mut text = String::from(HEAD);
    parts(count, &mut text);
    let mut of = String::from("assembly all-of-it; of p1");
    for part in 2..=count {
        let _infallible = write!(of, ", p{part}");
    }
    text.push_str(&of);
    text.push('\n');
    for part in 1..=count {
        let _infallible = writeln!(text, "joint j{part}: p{part} to shell; clip; carries");
    }
    text.push_str("step take \"Take it\"; hold all-of-it with hoist\n");
    for part in 1..=count {
        let _infallible = writeln!(text, "step u{part} \"U\"; undo j{part}");
    }
    text.push_str("step off \"Off\"; take off all-of-it; set all-of-it down on floor\n");
    text.push_str("step on \"On\"; hold all-of-it with hoist; fit all-of-it\n");
    for part in 1..=count {
        let _infallible = writeln!(text, "step s{part} \"S\"; start j{part}");
    }
    text.push_str("step let-go \"Let go\"; release all-of-it from hoist\n");
    text
}

fn chain(count: usize, out: &mut String) {
    parts(count, out);
    out.push_str("joint j1: p1 to shell; clip; carries\n");
    for part in 2..=count {
        let _infallible = writeln!(out, "joint j{part}: p{part} to p{}; clip; carries", part - 1);
    }
}

/// A chain whose far end the hoist has, undone from the body outwards: link by link falls into the hand, and is taken off.
pub fn chain_from_the_body(count: usize) -> String {
    let mut text = String::from(HEAD);
    chain(count, &mut text);
    let _infallible = writeln!(text, "step take \"Take it\"; hold p{count} with hoist; undo j1");
    for part in 2..=count {
        let _infallible = writeln!(text, "step u{part} \"U\"; undo j{part}; take off p{}", part - 1);
    }
    let _infallible = writeln!(
        text,
        "step down \"Down\"; take off p{count}; set p{count} down on floor"
    );
    for part in 1..=count {
        let _infallible = writeln!(text, "step s{part} \"S\"; fit p{part}; start j{part}");
    }
    text
}

/// The same chain with nothing that holds it: all of it falls at the first joint, and that is told once.
pub fn chain_that_falls(count: usize) -> String {
    let mut text = String::from(HEAD);
    chain(count, &mut text);
    for part in 1..=count {
        let _infallible = writeln!(text, "step u{part} \"U\"; undo j{part}");
    }
    text
}

/// The chain taken down from its far end, link by link, each held by the hoist, and hung up again.
pub fn chain_from_the_end(count: usize) -> String {
    let mut text = String::from(HEAD);
    chain(count, &mut text);
    for part in (1..=count).rev() {
        let _infallible = writeln!(
            text,
            "step u{part} \"U\"; hold p{part} with hoist; undo j{part}; take off p{part}; set p{part} down on floor"
        );
    }
    for part in 1..=count {
        let _infallible = writeln!(
            text,
            "step s{part} \"S\"; hold p{part} with hoist; fit p{part}; start j{part}; release p{part} from hoist"
        );
    }
    text
}

/// A hub on three mounts that bears so many parts: all off, and on again.
pub fn star(count: usize) -> String {
    let mut text = String::from(HEAD);
    text.push_str("part hub; mass 40 kg quoted\njoint mount, 1 to 3: hub to shell; clip; carries\n");
    parts(count, &mut text);
    for part in 1..=count {
        let _infallible = writeln!(text, "joint j{part}: p{part} to hub; clip; carries");
    }
    for part in 1..=count {
        let _infallible = writeln!(text, "step u{part} \"U\"; undo j{part}; take off p{part}");
    }
    for part in 1..=count {
        let _infallible = writeln!(text, "step s{part} \"S\"; fit p{part}; start j{part}");
    }
    text
}

/// So many parts, each joined to each other one, and the first to the body: one comes off.
pub fn clique(count: usize) -> String {
    let mut text = String::from(HEAD);
    parts(count, &mut text);
    text.push_str("joint base: p1 to shell; clip; carries\n");
    for part in 2..=count {
        for other in 1..part {
            let _infallible = writeln!(text, "joint j{other}-{part}: p{part} to p{other}; clip; carries");
        }
    }
    let undo: Vec<String> = (1..count).map(|other| format!("j{other}-{count}")).collect();
    let _infallible = writeln!(
        text,
        "step out \"O\"; undo {}; take off p{count}",
        undo.join(", ")
    );
    text
}

/// A row of arms, each on a spring that two joints keep in: let down on a jack and out, one after the other, and in again.
pub fn springs(count: usize) -> String {
    let mut text = String::from(HEAD);
    text.push_str(
        "tool hooks; compresses\ncaution flies \"A spring flies\"; signal danger; harm \"Death.\"; avoid \"Stand aside.\"; against spring\n",
    );
    for row in 0..count {
        let _infallible = write!(
            text,
            "part arm-{row}; mass 4 kg weighed\npart coil-{row}; mass 2 kg weighed; rests on arm-{row}\n\
             joint pivot-{row}: arm-{row} to shell; carries; bolts 2 x M12x1.75; torque 80 N m; head 18 mm\n\
             joint ball-{row}: arm-{row} to shell; carries; bolts 1 x M12x1.75; torque 50 N m; head 18 mm\n\
             joint link-{row}: arm-{row} to shell; bolts 1 x M10x1.5; torque 40 N m; head 16 mm\n\
             energy push-{row} \"Push {row}\"; spring; in arm-{row}, coil-{row}; held in by ball-{row}, link-{row}; force 2 kN; free at 100 mm\n"
        );
    }
    for row in 0..count {
        let _infallible = writeln!(
            text,
            "step out-{row} \"Coil {row} out\"; caution flies; needs hooks; hold arm-{row} with hoist; undo link-{row}; undo ball-{row}; tilt arm-{row} about pivot-{row} by 120 mm; take off coil-{row}"
        );
        let _infallible = writeln!(
            text,
            "step in-{row} \"Coil {row} in\"; caution flies; needs hooks; fit coil-{row}; tilt arm-{row} back about pivot-{row} by 120 mm; start ball-{row}, link-{row}; tighten ball-{row}, link-{row}; release arm-{row} from hoist"
        );
    }
    text
}

/// An assembly with so many joints at the body, and no step: what has to be worked out is how it comes off.
pub fn to_draft(joints: usize) -> String {
    let mut text = String::from(HEAD);
    let parts = joints / 2;
    text.push_str("part frame; mass 60 kg quoted\n");
    let mut of = String::from("assembly all-of-it; of frame");
    for part in 1..=parts {
        let _infallible = writeln!(
            text,
            "part p{part}; mass 0.4 kg quoted\njoint j{part}: p{part} to frame; clip; carries\njoint k{part}: p{part} to shell; plug"
        );
        let _infallible = write!(of, ", p{part}");
    }
    text.push_str("joint mount, 1 to 3: frame to shell; carries; bolts 2 x M12x1.5\n");
    text.push_str(&of);
    text.push_str("\nstep look-at-it \"Look\"; look \"At all of it\"\n");
    text
}
