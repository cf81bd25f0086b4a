//! What was done flows back into the plan: the log in lists and ranges, what broke, what went in instead, what was left out; and where the
//! machine stands by it. The job is invented.

use crate::support::compile_text;
use boltfolio::base::date::Date;
use boltfolio::binder::{Wanted, bind};
use boltfolio::press::markdown;

const JOB: &str = "plan wren-job \"Wren 900: nose off\"; for wren; dated 2026-03-01; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
person tom; lifts 30 kg
part grille \"Grille\"; mass 1 kg weighed
part bumper \"Bumper\"; mass 4 kg weighed
part lamp \"Lamp\"; mass 1 kg weighed
joint grille-screws \"Screws of the grille\": grille to shell; carries; screws 4 x M6x1.0x20 class 8.8; torque 9 N m; head 10 mm
joint bumper-bolts \"Bolts of the bumper\": bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint lamp-clip: lamp to shell; clip; carries
step grille-off \"Grille off\"; by ada; undo grille-screws; take off grille; time 20 min
step bumper-off \"Bumper off\"; by ada; undo bumper-bolts; take off bumper; time 40 min
step lamp-off \"Lamp off\"; by ada; undo lamp-clip; take off lamp; time 10 min
step lamp-on \"Lamp on\"; by ada; fit lamp; start lamp-clip; time 10 min
step bumper-on \"Bumper on\"; by ada; fit bumper; start bumper-bolts; tighten bumper-bolts; time 30 min
step grille-on \"Grille on\"; by ada; fit grille; start grille-screws; tighten grille-screws; time 20 min
";

#[track_caller]
fn tells(rule: &str, log: &str) {
    crate::support::tells(rule, &format!("{JOB}{log}"));
}

#[track_caller]
fn is_clean(log: &str) {
    crate::support::is_clean(&format!("{JOB}{log}"));
}

fn binder(log: &str) -> String {
    let done = compile_text(&format!("{JOB}{log}"));
    let day = Date::read("2026-04-10").expect("a day");
    markdown(&bind(&done, &Wanted::printed(day))).text
}

#[test]
fn a_log_of_several_steps_is_read_in_the_order_of_work() {
    let text =
        format!("{JOB}log lamp-off, grille-off to bumper-off; done 2026-03-07 by ada; took 1 h 10 min\n");
    let done = compile_text(&text);
    let names: Vec<&str> = done.plan.logs[0]
        .steps
        .iter()
        .map(|&step| &*done.plan.steps[step].head.name)
        .collect();
    assert_eq!(names, ["grille-off", "bumper-off", "lamp-off"]);
    let last = done.plan.progress.last.expect("three are done");
    assert_eq!(&*done.plan.steps[last].head.name, "lamp-off");
    is_clean("log lamp-off, grille-off to bumper-off; done 2026-03-07 by ada; took 1 h 10 min\n");
    tells("log-contradicts", "log lamp-off to grille-off; done 2026-03-07\n");
    tells("unknown-name", "log grille-off to nose-off; done 2026-03-07\n");
    tells("unreadable-line", "log grille-off bumper-off; done 2026-03-07\n");
}

#[test]
fn days_and_hours_are_held_against_the_plan() {
    is_clean("log grille-off; done 2026-03-07\nlog bumper-off; done 2026-03-07\n");
    is_clean("log grille-off; done 2026-03-07\nlog bumper-off; done 2026-03-14\n");
    tells(
        "log-contradicts",
        "log grille-off; done 2026-03-14\nlog bumper-off; done 2026-03-07\n",
    );
    // The plan's own day says when its text was made.
    is_clean("log grille-off; done 2026-02-28\n");
    // 20 min are planned: 200 are ten times that, and told only beyond.
    is_clean("log grille-off; done 2026-03-07; took 200 min\n");
    tells("log-contradicts", "log grille-off; done 2026-03-07; took 20 h\n");
    tells("log-contradicts", "log grille-off; done 2026-03-07; took 1 min\n");
    tells(
        "log-contradicts",
        "log grille-off; done 2026-03-07; skipped \"rusted\"\n",
    );
    tells("log-gap", "log bumper-off; done 2026-03-07\n");
}

#[test]
fn what_broke_is_on_the_order_list_till_others_went_in() {
    let hardware = |log: &str| {
        let text = binder(log);
        let start = text.find("use-once fixings").expect("a list of what to order");
        let rows = text.get(start..).unwrap_or_default().lines();
        rows.take(8).collect::<Vec<_>>().join("\n").to_lowercase()
    };
    let plain = binder("log grille-off; done 2026-03-07\n");
    assert!(
        !plain.contains("use-once fixings"),
        "nothing is renewed in this job"
    );
    let broke = hardware(
        "log grille-off, bumper-off; done 2026-03-07; broke 1 of bumper-bolts; damaged grille \"cracked\"\n",
    );
    assert!(broke.contains("**1** bolt m8 × 1.25 × 25, 8.8"), "{broke}");
    assert!(broke.contains("damaged in the work"), "{broke}");
    // A bolt to spare, and no second grille.
    let spare = |what: &str| {
        broke
            .lines()
            .any(|line| line.contains(what) && line.contains("+ 1"))
    };
    assert!(spare("bolt m8") && !spare("grille"), "{broke}");
    // The card that puts it back says that the bag holds one fewer.
    let card = binder("log grille-off, bumper-off; done 2026-03-07; broke 1 of bumper-bolts\n");
    assert!(card.contains("**1 of them new**"), "{card}");
    assert!(!plain.contains("of them new"), "{plain}");
    let lost = hardware("log grille-off, bumper-off; done 2026-03-07; lost 2 of bumper-bolts\n");
    assert!(lost.contains("**2** bolts m8 × 1.25 × 25, 8.8"), "{lost}");
    let fitted = binder(
        "log grille-off, bumper-off; done 2026-03-07; broke 1 of bumper-bolts; fitted bumper-bolts bolts 2 x M10x1.5x30 class 8.8 torque 44 N m\n",
    );
    assert!(
        !fitted.contains("M8 × 1.25"),
        "the old size stands nowhere any more"
    );
    assert!(
        fitted.contains("M10 × 1.5") && fitted.contains("44 N"),
        "{fitted}"
    );
    tells(
        "log-contradicts",
        "log grille-off, bumper-off; done 2026-03-07; broke 3 of bumper-bolts\n",
    );
    tells(
        "unreadable-line",
        "log grille-off; done 2026-03-07; fitted bumper-bolts\n",
    );
    tells(
        "unreadable-line",
        "log grille-off; done 2026-03-07; broke bumper-bolts\n",
    );
}

#[test]
fn what_went_in_is_judged_like_any_other() {
    // ISO 898-1: M6 of 8.8 takes 10 N m and not 44.
    tells(
        "torque-too-high",
        "log grille-off; done 2026-03-07; fitted grille-screws torque 44 N m\n",
    );
}

#[test]
fn what_was_left_out_was_not_done() {
    // The bumper stays on, so that it cannot be fitted.
    let left = "log grille-off; done 2026-03-07\nlog bumper-off; skipped \"no time\"\nlog lamp-off; done 2026-03-08\n";
    tells("already-done", left);
    is_clean(&format!("{left}log bumper-on; skipped \"it stayed on\"\n"));
    let text = binder(&format!("{left}log bumper-on; skipped \"it stayed on\"\n"));
    assert!(text.contains("Left out: it stayed on"), "{text}");
}

/// What is out, in hands and off where the log says that the work stopped.
fn stands(log: &str) -> (Vec<String>, Vec<String>, Vec<String>) {
    let text = format!("{PAIR}{log}");
    let done = compile_text(&text);
    assert!(!done.unwalked, "{text}");
    let halt = done
        .plan
        .progress
        .halt
        .unwrap_or_else(|| panic!("it stopped within a step: {log}"));
    let after = done.walk.midst(&done.plan, halt).expect("a moment of the work");
    let joints = after
        .out()
        .map(|id| done.plan.joints[id].head.name.to_string())
        .collect();
    let held = after.held().into_iter().flat_map(|(_, parts)| parts);
    let held = held.map(|id| done.plan.parts[id].head.name.to_string()).collect();
    let off = after
        .taken_off()
        .map(|id| done.plan.parts[id].head.name.to_string())
        .collect();
    (joints, held, off)
}

const PAIR: &str = "plan wren-job \"Wren 900: bumper off\"; for wren; dated 2026-03-01; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
person tom; lifts 30 kg
part bumper \"Bumper\"; mass 4 kg weighed
part lamp \"Lamp\"; mass 1 kg weighed
joint bolts-left: bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint bolts-right: bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint lamp-plug: lamp to bumper; plug
joint lamp-clip: lamp to bumper; clip; carries
step off \"Bumper off\"; by ada, tom
  hold bumper by tom
  undo lamp-plug, bolts-left, bolts-right
  take off bumper
step on \"Bumper on\"; by ada, tom
  hold bumper by tom
  fit bumper; start bolts-left, bolts-right, lamp-plug; tighten bolts-left, bolts-right
";

#[test]
fn the_machine_stands_in_the_midst_of_a_step_behind_the_act_that_the_log_names() {
    let all = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    let at = |words: &str| stands(&format!("log off; stopped 2026-03-07 at {words}\n"));
    assert_eq!(at("hold bumper by tom"), (all(&[]), all(&["bumper"]), all(&[])));
    // Of a list of three the first, the first two, and all.
    assert_eq!(
        at("undo lamp-plug"),
        (all(&["lamp-plug"]), all(&["bumper"]), all(&[]))
    );
    assert_eq!(
        at("undo lamp-plug, bolts-left"),
        (all(&["bolts-left", "lamp-plug"]), all(&["bumper"]), all(&[]))
    );
    assert_eq!(
        at("undo bolts-right waiting for tom"),
        (
            all(&["bolts-left", "bolts-right", "lamp-plug"]),
            all(&["bumper"]),
            all(&[])
        )
    );
    // Taken off it is in the hands that held it; its lamp goes with it.
    let (_, _, off) = at("take off bumper");
    assert_eq!(off, ["bumper", "lamp"]);
    // An act that is put in before it moves nothing.
    let text = format!("{PAIR}log off; stopped 2026-03-07 at undo lamp-plug\n").replace(
        "  hold bumper by tom\n  undo",
        "  look \"Lamp cold\"\n  hold bumper by tom\n  undo",
    );
    let done = compile_text(&text);
    assert_eq!(
        done.plan.progress.halt.map(|halt| (halt.acts, halt.names)),
        Some((2, 1))
    );
}

#[test]
fn of_two_joints_that_are_each_done_to_the_end_the_second_is_out_while_the_first_is_tight() {
    let text = "plan wren-job \"Wren 900\"; for wren; crew ada
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
part cover; mass 1 kg weighed
part lid; mass 1 kg weighed
joint cover-bolts: cover to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint lid-bolts: lid to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
step off; by ada; undo cover-bolts, lid-bolts; take off cover; take off lid
step on; by ada; fit cover; fit lid; start cover-bolts, lid-bolts; tighten cover-bolts, lid-bolts
log off; done 2026-03-07
";
    let ties = |at: &str| {
        let done = compile_text(&format!("{text}log on; stopped 2026-03-08 at {at}\n"));
        let halt = done.plan.progress.halt.expect("within the step");
        let after = done.walk.midst(&done.plan, halt).expect("a moment");
        done.plan
            .joints
            .iter()
            .map(|(id, _)| after.ties(id))
            .collect::<Vec<_>>()
    };
    // On the card both acts are one row a joint; the first row ends with its torque.
    assert_eq!(ties("tighten cover-bolts"), [true, false]);
    assert_eq!(ties("start lid-bolts"), [true, true]);
    assert_eq!(ties("tighten lid-bolts"), [true, true]);
}

#[test]
fn a_step_that_was_stopped_is_over_when_it_is_done_later() {
    let halt = |log: &str| compile_text(&format!("{PAIR}{log}")).plan.progress.halt;
    let stopped = "log off; stopped 2026-03-07 at undo bolts-left\n";
    assert!(halt(stopped).is_some());
    assert!(halt(&format!("{stopped}log off; done 2026-03-14\n")).is_none());
    // The later of two counts, wherever it stands.
    let later = format!("log off; stopped 2026-03-14 at undo bolts-right\n{stopped}");
    assert_eq!(halt(&later).map(|halt| (halt.acts, halt.names)), Some((2, 0)));
    // Stopped again after it was done once: the work stands there.
    assert!(halt(&format!("log off; done 2026-03-01\n{stopped}")).is_none());
    // A step behind it is done, so that it is over.
    assert!(halt(&format!("{stopped}log on; done 2026-03-14\n")).is_none());
}

#[test]
fn where_the_work_stopped_is_asked_about_where_it_cannot_be() {
    let tells = |rule: &str, log: &str| crate::support::tells(rule, &format!("{PAIR}{log}"));
    crate::support::is_clean(&format!(
        "{PAIR}log off; stopped 2026-03-07 at undo bolts-left waiting for \"a socket\"\n"
    ));
    tells(
        "log-contradicts",
        "log off; stopped 2026-03-07 at undo lamp-clip\n",
    );
    tells(
        "log-contradicts",
        "log off, on; stopped 2026-03-07 at undo bolts-left\n",
    );
    tells("letter-in-log", "log off; stopped 2026-03-07 at act b\n");
    tells(
        "unknown-name",
        "log off; stopped 2026-03-07 at undo bolts-left waiting for socket\n",
    );
    tells("unreadable-line", "log off; stopped 2026-03-07 at\n");
    tells("unreadable-line", "log off; stopped 2026-03-07\n");
    let text = markdown(&bind(
        &compile_text(&format!(
            "{PAIR}log off; stopped 2026-03-07 at undo bolts-left waiting for lamp\n"
        )),
        &Wanted::printed(Date::read("2026-04-10").expect("a day")),
    ))
    .text;
    assert!(
        text.contains("Stopped 2026-03-07 at undo bolts-left, waiting for lamp"),
        "{text}"
    );
}

#[test]
fn a_letter_of_a_card_is_the_last_act_that_its_row_ends() {
    let done = compile_text(PAIR);
    let kept = boltfolio::binder::kept::Kept::default();
    let words = |step: &str, letter: &str| {
        let mut steps = done.plan.steps.iter();
        let (id, _) = steps
            .find(|(_, known)| &*known.head.name == step)
            .expect("a step");
        boltfolio::binder::letters::words_of(&done, &kept, id, letter).ok()
    };
    // a hold, b plug, c both bolts in one row, d take off.
    for (letter, act) in [
        ("a", "hold bumper"),
        ("b", "undo lamp-plug"),
        ("c", "undo bolts-right"),
        ("d", "take off bumper"),
    ] {
        assert_eq!(words("off", letter).as_deref(), Some(act), "{letter}");
    }
    assert_eq!(words("off", "e"), None);
    // What is kept beside the binder is the same.
    let document = bind(&done, &Wanted::printed(Date::read("2026-04-10").expect("a day")));
    let again = boltfolio::binder::kept::Kept::read(&document.kept.write());
    assert_eq!(again, document.kept);
    let kept: Vec<&str> = again.letters["off"]
        .iter()
        .map(|(_, words)| words.as_str())
        .collect();
    assert_eq!(
        kept,
        [
            "hold bumper",
            "undo lamp-plug",
            "undo bolts-right",
            "take off bumper"
        ]
    );
}

const WEIGHED: &str = "plan wren-job \"Wren 900: bumper off\"; for wren; dated 2026-03-01; crew ada, tom
vehicle wren \"Wren 900\"; body shell; mass 900 kg quoted; wheelbase 2400 mm; track 1300 mm front, 1300 mm rear
person ada; lifts 30 kg
scale hook \"Hanging scale\"; capacity 50 kg; division 0.1 kg
scale pads \"Wheel pads\"; capacity 450 kg each; division 0.5 kg
part bumper \"Bumper\"; mass 4 kg estimated; afterwards goes back
joint bolts: bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
step stand \"On the pads\"; by ada; weigh wren with pads
step off \"Bumper off\"; by ada; measure gap to come; undo bolts; take off bumper; weigh bumper with hook
step on \"Bumper on\"; by ada; fit bumper; start bolts; tighten bolts
weigh-in pieces \"The pieces\"; with hook; reads bumper to come \"with its foam\"
weigh-in before \"Before\"; with pads; after stand; corners to come
";

#[test]
fn what_is_read_while_a_step_is_done_stands_in_the_sheet_that_waits_for_it() {
    use boltfolio::plan::model::{Does, Reading};
    let done = |log: &str| compile_text(&format!("{WEIGHED}{log}"));
    let read = done(
        "log off; done 2026-03-07; reads bumper 4.2 kg; measure gap 4.5 mm\nlog stand; done 2026-03-07; corners 220 kg, 221 kg front, 229.5 kg, 230 kg rear\n",
    );
    let names: Vec<&str> = read
        .plan
        .weigh_ins
        .values()
        .map(|sheet| &*sheet.head.name)
        .collect();
    assert_eq!(names, ["pieces", "before"], "no sheet more");
    let sheets: Vec<_> = read.plan.weigh_ins.values().collect();
    let mass = sheets[0].reads[0].mass.known().expect("it was read");
    assert!((mass.base() - 4.2).abs() < 1e-9, "{mass}");
    assert_eq!(sheets[0].reads[0].words.as_deref(), Some("with its foam"));
    // 220 + 221 + 229.5 + 230 = 900.5.
    let all = sheets[1].corners.expect("four corners").value.all();
    let sum: f64 = all
        .iter()
        .filter_map(|reading| reading.known())
        .map(|mass| mass.base())
        .sum();
    assert!((sum - 900.5).abs() < 1e-9, "{sum}");
    let measured = read
        .plan
        .steps
        .values()
        .flat_map(|step| step.acts())
        .find_map(|act| match &act.does {
            Does::Measure { value, .. } => value.map(|said| said.value),
            _ => None,
        });
    assert!(matches!(measured, Some(Reading::Is(_))), "{measured:?}");
    let text = markdown(&bind(
        &read,
        &Wanted::printed(Date::read("2026-04-10").expect("a day")),
    ))
    .text;
    for part in [
        "Bumper: 4.2 kg",
        "Gap: 4.5 mm",
        "Corners 220 kg, 221 kg, 229.5 kg, 230 kg",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    // What nothing waits for is a weighing of its own, of that day, after that step, on that scale.
    let own = done("log off; done 2026-03-07; reads bolts 0.1 kg\n");
    let sheet = own.plan.weigh_ins.values().last().expect("a third");
    assert_eq!(&*sheet.head.name, "log-off");
    assert_eq!(
        sheet.dated.map(|said| said.value.to_string()).as_deref(),
        Some("2026-03-07")
    );
    assert!(sheet.with.is_some() && sheet.after.is_some());
    crate::support::tells(
        "unreadable-line",
        &format!("{WEIGHED}log off; done 2026-03-07; reads bumper\n"),
    );
    crate::support::tells(
        "unknown-name",
        &format!("{WEIGHED}log off; done 2026-03-07; reads bumpr 4 kg\n"),
    );
}

#[test]
fn a_reading_that_two_sheets_wait_for_goes_to_the_one_that_says_the_step_the_day_or_the_scale() {
    let second = "weigh-in again \"Again\"; reads bumper to come\n";
    let filled = |more: &str, log: &str| {
        let done = compile_text(&format!("{WEIGHED}{more}{log}"));
        let sheets = done.plan.weigh_ins.values();
        let read = sheets.filter(|sheet| sheet.reads.iter().any(|reads| reads.mass.known().is_some()));
        read.map(|sheet| sheet.head.name.to_string()).collect::<Vec<_>>()
    };
    let log = "log off; done 2026-03-07; reads bumper 4.2 kg\n";
    // The step weighs with the hook, and so does the first.
    assert_eq!(filled(second, log), ["pieces"]);
    let of_day = second.replace("\"; reads", "\"; dated 2026-03-07; reads");
    assert_eq!(filled(&of_day, log), ["again"]);
    let of_step = second.replace("\"; reads", "\"; after off; reads");
    assert_eq!(filled(&of_step, log), ["again"]);
    let alike = second.replace("\"; reads", "\"; with hook; reads");
    assert_eq!(filled(&alike, log), ["log-off"]);
    crate::support::tells("log-contradicts", &format!("{WEIGHED}{alike}{log}"));
}
