//! What can be done today: which steps fit, in whose company, without which things, up to where; each figure worked out by hand. The job is
//! invented.

use crate::support::compile_text;
use boltfolio_core::analysis::today::{Gear, There};
use boltfolio_core::base::date::Date;
use boltfolio_core::binder::Wanted;
use boltfolio_core::binder::today_page::{Asked, lines};

const JOB: &str = "plan wren-job \"Wren 900: nose off\"; for wren; dated 2026-03-01; crew ada, tom; target save 1 kg
vehicle wren \"Wren 900\"; body shell; mass 900 kg quoted
person ada \"Ada\"; lifts 30 kg
person tom \"Tom\"; lifts 30 kg
tool puller \"Puller\"
tool wrench \"Torque wrench\"; range 5 N m to 50 N m
part grille \"Grille\"; mass 1 kg weighed
part bumper \"Bumper\"; mass 4 kg weighed; afterwards for sale
part lamp, each side \"Lamp\"; mass 1 kg weighed
part light-bumper \"Light bumper\"; in place of bumper; mass 2 kg weighed
joint grille-screws \"Grille screws\": grille to shell; carries; screws 4 x M6x1.0x20 class 8.8; torque 9 N m; head 10 mm
joint bumper-bolts \"Bumper bolts\": bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint lamp-clip, each side: lamp to shell; clip; carries
joint light-bolts: light-bumper to shell; in place of bumper-bolts; same as bumper-bolts
step grille-off \"Grille off\"; by ada; undo grille-screws; take off grille; time 20 min (10 to 30)
step bumper-off \"Bumper off\"; by ada, tom; needs puller; undo bumper-bolts; take off bumper; time 40 min (30 to 90); safe to leave
step lamps-off \"Lamps off\"; by ada; undo both lamp-clips; take off both lamps; time 10 min
step lamps-clean \"Lamps cleaned at the bench\"; by ada; clean both lamps; time 60 min (50 to 80); safe to leave
step lamps-on \"Lamps on\"; by ada; fit both lamps; start both lamp-clips; time 10 min
step bumper-on \"Bumper on\"; by ada; fit light-bumper; start light-bolts; tighten light-bolts; time 30 min
step grille-on \"Grille on\"; by ada; fit grille; start grille-screws; tighten grille-screws; time 20 min (15 to 40); safe to leave
";

fn page(text: &str, hours: Option<f64>, with: &[&str], without: &[&str]) -> String {
    let done = compile_text(text);
    assert!(!done.unwalked, "{text}");
    let plan = &done.plan;
    let named = |name: &&str| Gear::named(plan, name).expect("it has a name");
    let come: Vec<Gear> = with.iter().map(named).collect();
    let people = come.iter().filter_map(|gear| match gear {
        Gear::Person(person) => Some(*person),
        _ => None,
    });
    let mut there = There::with(plan, people);
    there.come = come.iter().copied().collect();
    there.without = without.iter().map(named).collect();
    let on = Date::read("2026-03-14").expect("a day");
    there.on = Some(on);
    let asked = Asked {
        hours,
        there,
        on,
        halt: plan.progress.halt,
    };
    let all = lines(&done, &Wanted::printed(on), &asked);
    all.into_iter().map(|(_, line)| line + "\n").collect()
}

#[track_caller]
fn says(page: &str, parts: &[&str]) {
    for part in parts {
        assert!(page.contains(part), "{part}\n{page}");
    }
}

#[test]
fn the_steps_that_fit_end_at_a_place_that_is_surely_reached() {
    // 20 + 40 + 10 = 70 min likely; 60 more would make 130 of 120. At worst the bumper is off after 30 + 90 = 120.
    let two = page(JOB, Some(120.0), &["tom"], &[]);
    says(
        &two,
        &[
            "Wren 900: nose off: 2026-03-14, Ada and Tom, 2 h",
            "0 of 7 steps done.",
            "1 grille-off, Grille off, by Ada: 20 min, at worst 30 min; likely done after 20 min",
            "2 bumper-off, Bumper off, by Ada and Tom: 40 min, at worst 1 h 30 min; likely done after 1 h; a place to stop",
            "3 lamps-off, Lamps off, by Ada: 10 min; likely done after 1 h 10 min",
            "then 4 lamps-clean, Lamps cleaned at the bench, likely 1 h: no longer fits",
            "Surely reached: 2 bumper-off, Bumper off, at worst after 2 h.",
            "Puller; sockets 10 mm and 13 mm",
            "Bags to fill: 1, 2",
        ],
    );
    assert!(!two.contains("Cannot go on"), "{two}");
    // A minute less, and it is likely but not sure.
    let less = page(JOB, Some(119.0), &["tom"], &[]);
    says(
        &less,
        &[
            "No place to stop is surely reached; the first is 2 bumper-off, Bumper off: likely after 1 h, at worst 2 h.",
        ],
    );
    let little = page(JOB, Some(10.0), &["tom"], &[]);
    says(
        &little,
        &[
            "No step fits into these hours",
            "then 1 grille-off",
            "No place to stop is reached; the first is 2 bumper-off",
        ],
    );
    let all = page(JOB, Some(600.0), &["tom"], &[]);
    // 30 + 90 + 10 + 80 + 10 + 30 + 40 = 290 min.
    says(
        &all,
        &[
            "The work is done then: likely after 3 h 10 min, at worst 4 h 50 min.",
            "Bags to open: 1, 2",
            "torque wrench",
        ],
    );
}

#[test]
fn without_hours_the_way_to_the_next_place_to_stop_is_told() {
    let text = page(JOB, None, &["tom"], &[]);
    says(
        &text,
        &[
            "for how many hours is not said: --hours 4",
            "The first place to stop is 2 bumper-off, Bumper off: likely after 1 h, at worst 2 h.",
        ],
    );
    assert!(!text.contains("lamps-off"), "{text}");
}

#[test]
fn what_is_not_there_keeps_its_steps_and_those_behind_them() {
    let alone = page(JOB, Some(240.0), &[], &[]);
    says(
        &alone,
        &[
            "2 bumper-off, Bumper off: waits for Tom; 5 steps after it",
            "No place to stop is reached: the next one, 2 bumper-off, Bumper off, cannot go on.",
        ],
    );
    let bare = page(JOB, Some(240.0), &["tom"], &["puller"]);
    says(
        &bare,
        &["2 bumper-off, Bumper off: needs puller, which is not there; 5 steps after it"],
    );
    // Nobody else reaches 22 N m; the clips of the lamps need no figure.
    let no_wrench = page(JOB, Some(240.0), &["tom"], &["wrench"]);
    says(
        &no_wrench,
        &[
            "6 bumper-on, Bumper on: needs torque wrench, which is not there",
            "5 lamps-on, Lamps on",
        ],
    );
    let no_part = page(JOB, Some(240.0), &["tom"], &["light-bumper"]);
    says(
        &no_part,
        &["6 bumper-on, Bumper on: needs light bumper, which is not there; 1 step after it"],
    );
    // At the bench, on lamps that are off, the work goes on while the vehicle waits.
    let log = "log grille-off, lamps-off; done 2026-03-07\n";
    let waits = page(&format!("{JOB}{log}"), Some(240.0), &[], &[]);
    says(
        &waits,
        &[
            "4 lamps-clean, Lamps cleaned at the bench, by Ada: 1 h",
            "waits for Tom",
        ],
    );
}

#[test]
fn what_the_log_waits_for_is_told_till_it_has_come() {
    let log = "log grille-off; done 2026-03-07\nlog bumper-off; stopped 2026-03-07 at undo bumper-bolts waiting for puller\n";
    let text = page(&format!("{JOB}{log}"), Some(240.0), &["tom"], &[]);
    says(
        &text,
        &[
            "1 of 7 steps done; the last is 1 grille-off, Grille off, on 2026-03-07.",
            "Stopped within 2 bumper-off, Bumper off, after: undo bumper-bolts.",
            "2 bumper-off, Bumper off: waits for puller, by the log of 2026-03-07; 5 steps after it",
        ],
    );
    // It has come: of its two acts one is left, 20 of 40 min, at worst 45 of 90.
    let text = page(&format!("{JOB}{log}"), Some(240.0), &["tom", "puller"], &[]);
    says(
        &text,
        &[
            "the rest of 2 bumper-off, Bumper off, by Ada and Tom: 20 min, at worst 45 min; likely done after 20 min",
        ],
    );
    let words = log.replace("waiting for puller", "waiting for \"a new bolt\"");
    let text = page(&format!("{JOB}{words}"), Some(240.0), &["tom"], &[]);
    says(&text, &["waits for a new bolt, by the log of 2026-03-07"]);
    // Done since: nothing waits.
    let text = page(
        &format!("{JOB}{words}log bumper-off; done 2026-03-08\n"),
        Some(240.0),
        &["tom"],
        &[],
    );
    assert!(!text.contains("waits for"), "{text}");
    // After a step: the next one waits.
    let after = "log grille-off; done 2026-03-07; stopped 2026-03-07 after grille-off waiting for tom\n";
    let text = page(&format!("{JOB}{after}"), Some(240.0), &[], &[]);
    says(
        &text,
        &["2 bumper-off, Bumper off: waits for Tom; waits for Tom, by the log of 2026-03-07"],
    );
}

#[test]
fn hours_and_kilograms_that_are_left() {
    // Means of a + 4 m + b: 20, 46.67, 10, 61.67, 10, 30, 22.5, in sum 200.8 min. Deviations are at least ln 1.2 of these: 3.65, 10, 1.82, 11.24, 1.82,
    // 5.47, 4.17, in quadrature 17.13, as a logarithm 0.0852; with the factor that they have in common, ln 1.25 = 0.2231, it is 0.2389. The middle is
    // 200.8 exp(-0.0852^2 / 2) = 200.1 min, and four of five lie within 1.2816 of it: times exp(0.3061), 147 to 272 min.
    let text = page(JOB, Some(120.0), &["tom"], &[]);
    says(
        &text,
        &[
            "7 steps, 3 h 20 min of work (2 h 27 min to 4 h 32 min, four jobs of five)",
            "4.0",
            "still to come off",
            "new, to go on",
        ],
    );
    // Bumper, grille and lamps are off: 3 kg go back, 2 kg are new.
    let text = page(
        &format!("{JOB}log grille-off to lamps-off; done 2026-03-07\n"),
        Some(120.0),
        &["tom"],
        &[],
    );
    says(
        &text,
        &["4 steps,", "3 ± 3 kg to go back; 2.0 ± 1.7 kg new, to go on"],
    );
    assert!(!text.contains("still to come off"), "{text}");
    let text = page(
        &format!("{JOB}log grille-off to grille-on; done 2026-03-07\n"),
        Some(120.0),
        &["tom"],
        &[],
    );
    says(&text, &["7 of 7 steps done", "The work is done."]);
    assert!(!text.contains("Left"), "{text}");
    let silent = JOB.replace("; time 10 min\nstep lamps-clean", "\nstep lamps-clean");
    let text = page(&silent, Some(240.0), &["tom"], &[]);
    says(
        &text,
        &[
            "3 lamps-off, Lamps off, by Ada: its time is not said",
            "; 1 step says no time",
        ],
    );
}

#[test]
fn a_step_with_a_fault_waits_for_its_mend() {
    let faulty = JOB.replace("undo both lamp-clips; take off both lamps", "take off both lamps");
    let text = page(&faulty, Some(240.0), &["tom"], &[]);
    says(
        &text,
        &[
            "3 lamps-off, Lamps off: a fault stands in it, still-joined: ",
            "step",
        ],
    );
}

/// What the days of the binder wait for is waited for here as well: a parcel of the week after, a hoist that is hired for another day.
#[test]
fn what_comes_later_is_not_there_today() {
    let late = JOB.replace(
        "part light-bumper \"Light bumper\"; in place of bumper; mass 2 kg weighed",
        "part light-bumper \"Light bumper\"; in place of bumper; mass 2 kg weighed; arrives 2026-03-20",
    );
    let waits = "6 bumper-on, Bumper on: waits for light bumper, which comes on 2026-03-20";
    says(&page(&late, Some(240.0), &["tom"], &[]), &[waits]);
    // It came before its day.
    let here = page(&late, Some(240.0), &["tom", "light-bumper"], &[]);
    assert!(!here.contains("waits for light bumper"), "{here}");
    let on_time = page(
        &late.replace("2026-03-20", "2026-03-14"),
        Some(240.0),
        &["tom"],
        &[],
    );
    assert!(!on_time.contains("waits for light bumper"), "{on_time}");
    let hired = |days: &str| {
        let text = JOB.replace(
            "tool puller \"Puller\"",
            &format!("tool puller \"Puller\"; hire {days}"),
        );
        page(&text, Some(240.0), &["tom"], &[])
    };
    says(
        &hired("2026-03-16 to 2026-03-17"),
        &["2 bumper-off, Bumper off: needs puller, which is hired from 2026-03-16 to 2026-03-17"],
    );
    assert!(!hired("2026-03-13 to 2026-03-14").contains("needs puller"));
}

/// One step is logged at twice what was planned, and what is left is taken at the pace that it teaches; worst times too, or "surely" would be no word.
#[test]
fn the_pace_of_the_log_is_that_of_today() {
    let text = page(
        &format!("{JOB}log grille-off; done 2026-03-07; took 40 min\n"),
        Some(240.0),
        &["tom"],
        &[],
    );
    assert!(
        text.contains("Times are at the pace of what is logged:"),
        "{text}"
    );
    // 40 and 90 min by the plan.
    assert!(
        !text.contains("Bumper off, by Ada and Tom: 40 min, at worst 1 h 30 min"),
        "{text}"
    );
    let plain = page(
        &format!("{JOB}log grille-off; done 2026-03-07\n"),
        Some(240.0),
        &["tom"],
        &[],
    );
    says(
        &plain,
        &["Bumper off, by Ada and Tom: 40 min, at worst 1 h 30 min"],
    );
}
