//! Plans of any size for tests and benchmarks, built like the demonstration: parts with masses and places, joints on one
//! line, steps with acts, times and notes.

use std::fmt::Write;

/// How much of a plan is written before its rows.
const HEAD: &str = "\
plan gantry \"Tern 12: a gantry of many rows, taken down\"
  for tern
  target save 40 kg
  crew mo, pip
  dated 2026-03-07
vehicle tern \"Tern 12 gantry carrier\"
  body frame
  mass 4200 kg quoted
  wheelbase 3850 mm
  track 1840 mm front, 1910 mm rear
person mo \"Mo\"; lifts 25 kg
person pip \"Pip\"
rig table \"Lifting table\"; lifts, holds; rated 350 kg; platform 900 mm x 600 mm; height 720 mm
tool mirror \"Inspection mirror\"
scale hook \"Hanging scale\"; capacity 100 kg; division 0.1 kg
caution crush \"Fingers between arm and beam\"
  signal warning
  harm \"Broken fingers.\"
  avoid \"Table up before the last bolt.\", \"Hands off the joint faces.\"
  against crush
stage strip \"Take the rows down\"
";

/// One row of the gantry, some three kilobytes.
fn row(n: usize, out: &mut String) {
    let (mm, g, t) = (100 + n * 37 % 3700, 310 + n * 17 % 690, 72 + n % 7 * 6);
    let _infallible = write!(
        out,
        "\
# Row {n}, seen from the driver's seat.
part row-{n}-beam \"Beam of row {n}\"
  mass 31.{d} +- 0.8 kg estimated
  at {mm} mm behind front axle, 0 mm left, {g} mm up
  afterwards for sale
  goes to \"pallet by the door\"
  sold for 90 GBP
part row-{n}-arm, each side \"Arm of row {n}, pressed\"; mass 5.6 +- 0.2 kg estimated; at {mm} mm behind front axle, 480 mm outboard, 210 mm up; afterwards for sale; goes to \"pallet by the door\"
part row-{n}-bar \"Cross bar of row {n}, solid\"; mass 7.6 +- 0.2 kg estimated; at {mm} mm behind front axle, 0 mm left, 230 mm up
part row-{n}-cover \"Cover\"; mass 3.4 kg weighed as \"with its mud washed off\"; afterwards stored; goes to \"loft\"
part row-{n}-light-beam \"Light beam of row {n}\"
  in place of row-{n}-beam
  mass 14.2 +- 0.1 kg weighed as \"bare, painted\"
  cost 780 GBP
  note Welded by a coded welder to the drawing in the folder; the weld report is behind it. We do not weld on it.
assembly row-{n}-set \"Row {n} as it comes down\"
  of row-{n}-beam, both row-{n}-arms, row-{n}-bar
  mass 50.{d} kg estimated
joint row-{n}-beam-bolts: row-{n}-beam to frame; carries; bolts 4 x M12x1.5x70 class 10.9; head 18 mm; torque {t} N m in stages 20 N m, {t} N m; second check; renew; reach from below, front; pattern 2 x 2; order across; seen from \"below\"; place below; hidden \"The rear right one hides above the rod, and seizes: soak it the day before\"
joint row-{n}-pivot, each side: row-{n}-arm to row-{n}-beam; carries; bolts 2 x M12x1.5x90 class 10.9; head 18 mm; nut head 18 mm; torque 100 N m; with wheels down; second check; place below
joint row-{n}-clamp: row-{n}-bar to row-{n}-beam; carries; bolts 2 x M8x1.25x30 class 8.8; head 13 mm; torque 22 N m; place front
joint row-{n}-cover-bolts: row-{n}-cover to row-{n}-beam; carries; bolts 6 x M8x1.25x25 class 8.8; head 13 mm; torque 22 N m; place below
joint row-{n}-earth: row-{n}-beam to frame; strap; bolts 1 x M8x1.25x16 class 8.8; head 13 mm; torque 20 N m; place below; play 200 mm
joint row-{n}-light-bolts: row-{n}-light-beam to frame; in place of row-{n}-beam-bolts; same as row-{n}-beam-bolts; threads oiled; engagement 20 mm
step row-{n}-cover-off \"Cover of row {n} off\"
  by mo; needs mirror
  undo row-{n}-cover-bolts
  take off row-{n}-cover
  time 15 min (10 to 25)
step row-{n}-down \"Row {n} down on the table\"
  by mo, pip; calls mo, stop word \"hold\"
  after row-{n}-cover-off
  caution crush
  hold row-{n}-set with table
  undo row-{n}-earth, row-{n}-clamp, both row-{n}-pivots
  undo row-{n}-beam-bolts
  lower row-{n}-set
  take off row-{n}-set
  note
    Look along the beam with a mirror. **If it hangs, stop.**

    The left pad sticks more often than the right; a turn of the rod frees it.
  verify \"Table locked, nothing hangs by a wire\"
  time 45 min (30 to 90)
step row-{n}-up \"Light beam of row {n} up\"
  by mo, pip
  after row-{n}-down
  weigh row-{n}-set with hook
  fit row-{n}-light-beam
  start row-{n}-light-bolts
  tighten row-{n}-light-bolts
  time 40 min

",
        d = n % 10,
    );
}

/// A plan without a finding, of at least this many bytes and at most one row more.
#[must_use]
pub fn plan(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 8 * 1024);
    text.push_str(HEAD);
    let mut n = 1;
    while text.len() < bytes {
        row(n, &mut text);
        n += 1;
    }
    text
}
