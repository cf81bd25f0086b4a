//! Sixty joints with torques of the kind that makers print. Common practice, no source: sizes, classes and figures are such as stand in
//! many books, and belong to no make.

use crate::support::{compile_text, told};

/// Carries or not, the fixings with their head, the torque and what else is said.
const JOINTS: &[&str] = &[
    // Running gear.
    "carries; bolts 2 x M12x1.5 class 10.9; head 18 mm; torque 110 N m; second check",
    "carries; bolts 2 x M14x1.5 class 10.9; head 21 mm; torque 190 N m; second check",
    "carries; bolts 4 x M12x1.5 class 10.9; head 19 mm; torque 100 N m",
    "carries; bolts 4 x M10x1.25 class 10.9; head 17 mm; torque 64 N m",
    "carries; nuts 1 x M12x1.25 class 8; head 17 mm; torque 50 N m; second check",
    "carries; nuts 1 x M14x1.5 class 8; head 22 mm; torque 85 N m; second check",
    "carries; nuts 1 x M10x1.25 class 8; head 14 mm; torque 38 N m",
    "carries; bolts 2 x M8x1.0 class 10.9; head 12 mm; torque 30 N m; second check",
    "carries; bolts 2 x M12x1.25 class 10.9; head 17 mm; torque 105 N m; second check",
    "carries; bolts 3 x M10x1.5 class 10.9; head 16 mm; torque 60 N m then 90 deg; renew; second check",
    "carries; nuts 1 x M22x1.5 class 8; head 32 mm; torque 200 N m then 45 deg; renew; second check",
    "carries; nuts 1 x M20x1.5 class 10; head 30 mm; torque 280 N m; renew; second check",
    "carries; bolts 2 x M10x1.5 class 8.8; head 16 mm; torque 45 N m",
    "carries; bolts 4 x M10x1.5 class 8.8; head 17 mm; torque 50 N m",
    "carries; bolts 1 x M14x2.0 class 10.9; head 21 mm; torque 170 N m; second check",
    // Engine and gearbox.
    "carries; bolts 8 x M10x1.5 class 8.8; head 16 mm; torque 43 N m",
    "carries; bolts 4 x M12x1.75 class 8.8; head 18 mm; torque 75 N m",
    "carries; bolts 2 x M12x1.75 class 10.9; head 18 mm; torque 110 N m",
    "carries; bolts 10 x M10x1.5 class 10.9; hexalobular T55; torque 40 N m then 90 deg; renew",
    "bolts 6 x M6x1.0 class 8.8; head 10 mm; torque 10 N m",
    "bolts 14 x M6x1.0 class 8.8; head 10 mm; torque 8 N m",
    "carries; bolts 3 x M8x1.25 class 8.8; head 13 mm; torque 23 N m",
    "carries; bolts 2 x M8x1.25 class 8.8; head 12 mm; torque 20 N m",
    "carries; nuts 8 x M8x1.25 class 8; head 13 mm; torque 20 N m",
    "carries; nuts 2 x M10x1.5 class 8; head 15 mm; torque 35 N m; renew",
    "bolts 8 x M6x1.0 class 10.9; hexalobular T30; torque 12 N m",
    "bolts 6 x M9x1.0 class 10.9; head 14 mm; torque 60 N m; renew; second check",
    "bolts 8 x M8x1.0 class 10.9; head 14 mm; torque 25 N m then 90 deg; renew; second check",
    "carries; bolts 1 x M12x1.5 class 10.9; head 19 mm; torque 120 N m",
    "carries; bolts 4 x M7x1.0 class 8.8; head 11 mm; torque 15 N m",
    "bolts 10 x M5x0.8 class 8.8; key 4 mm; torque 5 N m",
    "carries; bolts 3 x M8x1.25 class 10.9; head 13 mm; torque 33 N m",
    "bolts 1 x M14x1.5; head 19 mm; torque 30 N m; opens oil",
    "bolts 1 x M18x1.5; head 24 mm; torque 45 N m; opens oil",
    // Brakes and steering.
    "carries; bolts 2 x M10x1.25 class 10.9; head 17 mm; torque 75 N m; second check",
    "carries; bolts 2 x M12x1.5 class 10.9; head 18 mm; torque 120 N m; second check",
    "bolts 2 x M8x1.25 class 8.8; key 6 mm; torque 27 N m; second check",
    "carries; nuts 4 x M8x1.25 class 8; head 13 mm; torque 22 N m; second check",
    "nuts 1 x M14x1.5 class 8; head 21 mm; torque 50 N m; second check",
    "bolts 1 x M8x1.25 class 8.8; head 13 mm; torque 22 N m; renew; second check",
    // Body, seats, belts.
    "carries; bolts 4 x M8x1.25 class 8.8; head 13 mm; torque 24 N m",
    "carries; bolts 2 x 7/16-20 grade 5; head 5/8 in; torque 40 N m; second check",
    "carries; bolts 4 x M10x1.25 class 10.9; hexalobular T50; torque 40 N m; second check",
    "carries; bolts 3 x M8x1.25 class 10.9; head 13 mm; torque 30 N m",
    "carries; bolts 8 x M6x1.0 class 8.8; head 10 mm; torque 9 N m",
    "screws 6 x M5x0.8 class 4.8; cross PH2; torque 2.5 N m",
    "carries; bolts 2 x M10x1.5 class 8.8; head 17 mm; torque 42 N m",
    "strap; bolts 1 x M6x1.0; head 10 mm; torque 6 N m",
    "strap; bolts 1 x M8x1.25 class 8.8; head 13 mm; torque 15 N m",
    "carries; bolts 4 x M6x1.0 class A2-70; key 5 mm; torque 7 N m",
    "carries; bolts 4 x M8x1.25 class A4-80; key 6 mm; torque 20 N m",
    // Inch machines.
    "carries; bolts 4 x 3/8-16 grade 5; head 9/16 in; torque 30 lbf ft",
    "carries; bolts 4 x 1/2-13 grade 8; head 3/4 in; torque 100 lbf ft; second check",
    "carries; bolts 2 x 5/16-18 grade 5; head 1/2 in; torque 17 lbf ft",
    "carries; nuts 2 x 5/8-18 grade 8; head 15/16 in; torque 180 lbf ft; second check",
    "carries; bolts 6 x 1/4-20 grade 5; head 7/16 in; torque 8 lbf ft",
    // Wheels and unions.
    "carries; bolts 5 x M14x1.5 class 10.9; head 17 mm; torque 120 N m; second check",
    "carries; nuts 4 x M12x1.25 class 10; head 21 mm; torque 105 N m; second check",
    "hose of oil; nuts 1 x M16x1.5; head 19 mm; torque 30 N m",
    "pipe of oil; nuts 2 x M10x1.0; head 11 mm; torque 14 N m",
];

/// At most this many may be told of.
const FALSE_ALARMS: usize = 2;

#[test]
fn sixty_joints_of_makers() {
    assert_eq!(JOINTS.len(), 60);
    let mut text = String::from(
        "plan makers \"Wren 900\"\n  for wren\nvehicle wren \"Wren 900\"; body shell\nfluid oil \"Oil\"; holds 4 l\n",
    );
    for (nth, joint) in JOINTS.iter().enumerate() {
        let part = if (56..58).contains(&nth) { "wheel" } else { "part" };
        text.push_str(&format!("part {part}-{nth}; mass 2 kg quoted\n"));
        text.push_str(&format!("joint joint-{nth}: {part}-{nth} to shell; {joint}\n"));
    }
    text.push_str("step all-round \"All round\"\n");
    for nth in 0..JOINTS.len() {
        text.push_str(&format!("  look \"Joint {nth}\"\n  mark joint-{nth}\n"));
    }
    let compilation = compile_text(&text);
    let alarms: Vec<String> = told(&compilation)
        .into_iter()
        .filter(|told| !told.starts_with("never-used "))
        .collect();
    println!("false alarms on sixty joints: {alarms:#?}");
    assert!(alarms.len() <= FALSE_ALARMS, "{alarms:#?}");
}
