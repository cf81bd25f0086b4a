//! What the rows of the generated plan say, as TOML: one table for each block. Measured against, never read by the program.

use std::fmt::Write;

/// At least this many bytes and at most one row more.
#[must_use]
pub fn text(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 8 * 1024);
    let mut n = 1;
    while text.len() < bytes {
        row(n, &mut text);
        n += 1;
    }
    text
}

fn row(n: usize, out: &mut String) {
    let (mm, g, t) = (100 + n * 37 % 3700, 310 + n * 17 % 690, 22 + n % 7 * 12);
    let _infallible = write!(
        out,
        "\
# Row {n}, seen from the driver's seat.
[part.row-{n}-beam]
title = \"Beam of row {n}\"
mass = {{ kg = 31.{d}, give = 0.8, origin = \"estimated\" }}
at = {{ behind = {mm}, left = 0, up = {g} }}
afterwards = \"for sale\"
goes-to = \"pallet by the door\"
sold-for = \"90 GBP\"
[part.row-{n}-arm]
each = \"side\"
title = \"Arm of row {n}, pressed\"
mass = {{ kg = 5.6, give = 0.2, origin = \"estimated\" }}
at = {{ behind = {mm}, outboard = 480, up = 210 }}
afterwards = \"for sale\"
goes-to = \"pallet by the door\"
[part.row-{n}-bar]
title = \"Cross bar of row {n}, solid\"
mass = {{ kg = 7.6, give = 0.2, origin = \"estimated\" }}
at = {{ behind = {mm}, left = 0, up = 230 }}
[part.row-{n}-cover]
title = \"Cover\"
mass = {{ kg = 3.4, origin = \"weighed\", state = \"with its mud washed off\" }}
afterwards = \"stored\"
goes-to = \"loft\"
[part.row-{n}-light-beam]
title = \"Light beam of row {n}\"
in-place-of = \"row-{n}-beam\"
mass = {{ kg = 14.2, give = 0.1, origin = \"weighed\", state = \"bare, painted\" }}
cost = \"780 GBP\"
note = \"Welded by a coded welder to the drawing in the folder; the weld report is behind it. We do not weld on it.\"
[assembly.row-{n}-set]
title = \"Row {n} as it comes down\"
of = [\"row-{n}-beam\", \"row-{n}-arm-left\", \"row-{n}-arm-right\", \"row-{n}-bar\"]
mass = {{ kg = 50.{d}, origin = \"estimated\" }}
[joint.row-{n}-beam-bolts]
ends = [\"row-{n}-beam\", \"frame\"]
carries = true
bolts = {{ count = 4, thread = \"M12x1.5x70\", class = \"10.9\" }}
head = 18
torque = {{ to = {t}, stages = [20, {t}] }}
second-check = true
renew = true
reach = [\"below\", \"front\"]
pattern = [2, 2]
order = \"across\"
seen-from = \"below\"
place = \"below\"
hidden = \"The rear right one hides above the rod, and seizes: soak it the day before\"
[joint.row-{n}-pivot]
each = \"side\"
ends = [\"row-{n}-arm\", \"row-{n}-beam\"]
carries = true
bolts = {{ count = 2, thread = \"M12x1.5x90\", class = \"10.9\" }}
head = 18
nut-head = 18
torque = 100
wheels-down = true
second-check = true
place = \"below\"
[joint.row-{n}-clamp]
ends = [\"row-{n}-bar\", \"row-{n}-beam\"]
carries = true
bolts = {{ count = 2, thread = \"M8x1.25x30\", class = \"8.8\" }}
head = 13
torque = 22
place = \"front\"
[joint.row-{n}-cover-bolts]
ends = [\"row-{n}-cover\", \"row-{n}-beam\"]
carries = true
bolts = {{ count = 6, thread = \"M8x1.25x25\", class = \"8.8\" }}
head = 13
torque = 22
place = \"below\"
[joint.row-{n}-earth]
ends = [\"row-{n}-beam\", \"frame\"]
kind = \"strap\"
bolts = {{ count = 1, thread = \"M8x1.25x16\", class = \"8.8\" }}
head = 13
torque = 20
place = \"below\"
play = 200
[joint.row-{n}-light-bolts]
ends = [\"row-{n}-light-beam\", \"frame\"]
in-place-of = \"row-{n}-beam-bolts\"
same-as = \"row-{n}-beam-bolts\"
threads = \"oiled\"
engagement = 20
[step.row-{n}-cover-off]
title = \"Cover of row {n} off\"
by = [\"mo\"]
needs = [\"mirror\"]
acts = [[\"undo\", \"row-{n}-cover-bolts\"], [\"take off\", \"row-{n}-cover\"]]
time = {{ likely = 15, from = 10, to = 25 }}
[step.row-{n}-down]
title = \"Row {n} down on the table\"
by = [\"mo\", \"pip\"]
calls = \"mo\"
stop-word = \"hold\"
after = [\"row-{n}-cover-off\"]
caution = [\"crush\"]
acts = [[\"hold\", \"row-{n}-set\", \"table\"], [\"undo\", \"row-{n}-earth\", \"row-{n}-clamp\", \"row-{n}-pivot-left\", \"row-{n}-pivot-right\"], [\"undo\", \"row-{n}-beam-bolts\"], [\"lower\", \"row-{n}-set\"], [\"take off\", \"row-{n}-set\"]]
note = \"\"\"
Look along the beam with a mirror. **If it hangs, stop.**

The left pad sticks more often than the right; a turn of the rod frees it.\"\"\"
verify = \"Table locked, nothing hangs by a wire\"
time = {{ likely = 45, from = 30, to = 90 }}
[step.row-{n}-up]
title = \"Light beam of row {n} up\"
by = [\"mo\", \"pip\"]
after = [\"row-{n}-down\"]
acts = [[\"weigh\", \"row-{n}-set\", \"hook\"], [\"fit\", \"row-{n}-light-beam\"], [\"start\", \"row-{n}-light-bolts\"], [\"tighten\", \"row-{n}-light-bolts\"]]
time = {{ likely = 40 }}

",
        d = n % 10,
    );
}
