//! The days of the work: plans whose days are worked out by hand beside them, and generated ones whose layout is judged by a checker that knows nothing
//! of how it is made. Days of the week are jiff's.

use std::collections::{BTreeMap, BTreeSet};

use crate::support::{compile_text, told};
use boltfolio_core::analysis::runs::likely;
use boltfolio_core::analysis::timetable::{AtWork, Eased, Laying, Moment, Timetable, Why, begins, effort};
use boltfolio_core::analysis::timing;
use boltfolio_core::analysis::timing::bound;
use boltfolio_core::analysis::today::Gear;
use boltfolio_core::analysis::work_days::Wanted;
use boltfolio_core::base::date::{Date, Weekday};
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::model::{Bearer, Does, Id, Person, Plan, Step};
use proptest::prelude::*;

const HEAD: &str = "vehicle wren \"Wren 900\"; body shell\nperson mo \"Mo\"\nperson pip \"Pip\"";

fn plan(calendar: &str, rest: &str) -> Compilation {
    let text = format!("plan p \"Wren: days\"; for wren; crew mo, pip; {calendar}\n{HEAD}\n{rest}");
    let done = compile_text(&text);
    assert!(!done.unwalked, "{:#?}", told(&done));
    done
}

fn laid(done: &Compilation) -> Timetable {
    let plan = &done.plan;
    let takes = likely(plan);
    let laying = Laying::new(plan, &done.walk, &takes, begins(plan, None).expect("a day")).expect("work");
    laying
        .best_of(effort(laying.steps()))
        .expect("it can be laid out")
}

/// "a 2026-03-07 9:00", a line a step.
fn shown(done: &Compilation, table: &Timetable) -> Vec<String> {
    let name = |step: Id<Step>| done.plan.steps[step].head.name.to_string();
    let clock = |minute: u32| format!("{}:{:02}", minute / 60, minute % 60);
    let of = |at: &AtWork| format!("{} {} {}-{}", name(at.step), at.day, clock(at.from), clock(at.to));
    table.steps.iter().map(of).collect()
}

fn moment(day: &str, hour: u32) -> Moment {
    Moment {
        day: Date::read(day).expect("a day"),
        minute: hour * 60,
    }
}

const WEEKENDS: &str = "works 8 h from 9:00 on saturday, sunday; begins 2026-03-07";

/// Saturday: five hours, and four more do not fit into what is left; Sunday: four and four.
#[test]
fn a_run_that_does_not_fit_waits_for_the_next_day() {
    let done = plan(
        WEEKENDS,
        "step a \"A\"; by mo; look \"x\"; time 5 h; safe to leave\nstep b \"B\"; by mo; look \"x\"; time 4 h; safe to leave\n\
         step c \"C\"; by mo; look \"x\"; time 4 h\n",
    );
    let table = laid(&done);
    let wanted = [
        "a 2026-03-07 9:00-14:00",
        "b 2026-03-08 9:00-13:00",
        "c 2026-03-08 13:00-17:00",
    ];
    assert_eq!(shown(&done, &table), wanted);
    assert_eq!(
        (table.ends, table.least),
        (moment("2026-03-08", 17), moment("2026-03-08", 17))
    );
    let step = |name: &str| {
        done.plan
            .steps
            .iter()
            .find(|(_, step)| &*step.head.name == name)
            .expect("it is there")
            .0
    };
    assert_eq!(
        table.why,
        [Why::Begins, Why::NoRoom(step("b")), Why::Behind(step("b"))]
    );
}

/// What cannot be left is done on one day: together nine hours would be too much for one, so that the second begins on the next.
#[test]
fn what_cannot_be_left_is_done_on_one_day() {
    let rest = |mark: &str| {
        format!(
            "step a \"A\"; by mo; look \"x\"; time 4 h; safe to leave\nstep b \"B\"; by mo; look \"x\"; time 3 h{mark}\n\
             step c \"C\"; by mo; look \"x\"; time 3 h\n"
        )
    };
    let table = |mark: &str| {
        let done = plan(WEEKENDS, &rest(mark));
        shown(&done, &laid(&done))
    };
    assert_eq!(
        table(""),
        [
            "a 2026-03-07 9:00-13:00",
            "b 2026-03-08 9:00-12:00",
            "c 2026-03-08 12:00-15:00"
        ]
    );
    assert_eq!(
        table("; safe to leave overnight"),
        [
            "a 2026-03-07 9:00-13:00",
            "b 2026-03-07 13:00-16:00",
            "c 2026-03-08 9:00-12:00"
        ]
    );
}

/// Pip comes on Sundays alone: what needs both waits for Sunday, and so does what comes after it.
#[test]
fn whoever_is_away_is_waited_for() {
    let done = compile_text(&format!(
        "plan p \"Wren: days\"; for wren; crew mo, pip; {WEEKENDS}\n{}; free sunday\n\
         step a \"A\"; by mo; look \"x\"; time 2 h; safe to leave\nstep b \"B\"; by mo, pip; look \"x\"; time 2 h; safe to leave\n\
         step c \"C\"; by mo; look \"x\"; time 1 h\n",
        HEAD
    ));
    let table = laid(&done);
    let wanted = [
        "a 2026-03-07 9:00-11:00",
        "b 2026-03-08 9:00-11:00",
        "c 2026-03-08 11:00-12:00",
    ];
    assert_eq!(shown(&done, &table), wanted);
    let pip = done
        .plan
        .people
        .iter()
        .find(|(_, person)| &*person.head.name == "pip")
        .expect("Pip")
        .0;
    assert_eq!(
        table.why[1],
        Why::Away(boltfolio_core::analysis::work_days::Wanted::Person(pip))
    );
}

/// A day after Saturday 15:00 is Sunday 15:00, and what touches what sets waits for that; a holiday is no day of work.
#[test]
fn what_sets_is_waited_for_by_the_clock() {
    let done = plan(
        &format!("{WEEKENDS}; no work on 2026-03-14"),
        "step a \"A\"; by mo; look \"x\"; wait 24 h \"epoxy\"; time 6 h; safe to leave\nstep b \"B\"; by mo; look \"x\"; time 3 h; safe to leave\n\
         step c \"C\"; by mo; look \"x\"; time 1 h\n",
    );
    let table = laid(&done);
    let wanted = [
        "a 2026-03-07 9:00-15:00",
        "b 2026-03-15 9:00-12:00",
        "c 2026-03-15 12:00-13:00",
    ];
    assert_eq!(shown(&done, &table), wanted);
}

/// The parcel comes on the Wednesday: its step waits for the Saturday after it; with a log the rest begins behind the last day of it.
#[test]
fn what_is_still_to_come_is_waited_for() {
    let rest = "part hook \"Tow hook\"; new; mass 1 kg quoted; arrives 2026-03-11\njoint hook-bolts: hook to shell; bolts 2 x M8x1.25; torque 20 N m\n\
                step a \"A\"; by mo; look \"x\"; time 2 h; safe to leave\n\
                step b \"B\"; by mo; fit hook; start hook-bolts; tighten hook-bolts; time 1 h\n";
    let done = plan(WEEKENDS, rest);
    let table = laid(&done);
    assert_eq!(
        shown(&done, &table),
        ["a 2026-03-07 9:00-11:00", "b 2026-03-14 9:00-10:00"]
    );
    assert!(matches!(table.why[1], Why::Came(_)));
    let done = plan(WEEKENDS, &format!("{rest}log a; done 2026-03-21\n"));
    assert_eq!(shown(&done, &laid(&done)), ["b 2026-03-22 9:00-10:00"]);
}

/// The bench and the vehicle side by side: two people, two things, the same hours.
#[test]
fn the_bench_goes_beside_the_vehicle() {
    let done = plan(
        WEEKENDS,
        "part hook \"Tow hook\"; new; mass 1 kg quoted\nstep a \"A\"; by mo; look \"x\"; time 2 h; safe to leave\n\
         step b \"B\"; by pip; clean hook; time 2 h; safe to leave\nstep c \"C\"; by mo; look \"x\"; time 1 h\n",
    );
    let wanted = [
        "a 2026-03-07 9:00-11:00",
        "b 2026-03-07 9:00-11:00",
        "c 2026-03-07 11:00-12:00",
    ];
    assert_eq!(shown(&done, &laid(&done)), wanted);
}

/// Where it may stand for a week only, what comes before is done later rather than that it stands for three.
#[test]
fn it_stands_no_longer_than_it_may() {
    let rest = |mark: &str| {
        format!(
            "part hook \"Tow hook\"; new; mass 1 kg quoted; arrives 2026-03-27\njoint hook-bolts: hook to shell; bolts 2 x M8x1.25; torque 20 N m\n\
             step a \"A\"; by mo; look \"x\"; time 2 h; {mark}\n\
             step b \"B\"; by mo; fit hook; start hook-bolts; tighten hook-bolts; time 1 h\n"
        )
    };
    let table = |mark: &str| {
        let done = plan(WEEKENDS, &rest(mark));
        let table = laid(&done);
        assert!(table.too_long.is_empty());
        shown(&done, &table)
    };
    assert_eq!(
        table("safe to leave"),
        ["a 2026-03-07 9:00-11:00", "b 2026-03-28 9:00-10:00"]
    );
    assert_eq!(
        table("safe to leave overnight"),
        ["a 2026-03-21 9:00-11:00", "b 2026-03-28 9:00-10:00"]
    );
}

/// Weekdays and distances of days, against jiff, over all years that can be written.
#[test]
fn days_are_those_of_the_calendar() {
    let first = jiff::civil::date(1900, 1, 1);
    let words = [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
    ];
    for nth in (0..109_572)
        .step_by(7)
        .chain(109_565..109_573)
        .chain(36_500..36_600)
    {
        let theirs = first.saturating_add(jiff::Span::new().days(i64::from(nth)));
        let own = Date::of_nth(nth);
        assert_eq!(own.to_string(), theirs.to_string());
        assert_eq!(own.nth(), nth);
        let weekday = usize::try_from(theirs.weekday().to_monday_zero_offset()).expect("a day");
        assert_eq!(own.weekday().word(), words[weekday]);
        assert_eq!(Weekday::ALL[weekday].word(), words[weekday]);
    }
}

// Generated plans.

#[derive(Debug, Clone)]
struct Made {
    bench: Option<usize>,
    who: u8,
    minutes: u32,
    /// 0 none, 1 overnight, 2 weeks, 3 overnight with a wait.
    stop: u8,
    wait: u32,
    mirror: bool,
    /// Behind the two before it, whatever they handle.
    after: bool,
}

fn made() -> impl Strategy<Value = Made> {
    (
        prop::option::weighted(0.3, 0_usize..3),
        1_u8..8,
        2_u32..18,
        prop_oneof![2 => Just(0_u8), 2 => Just(1), 2 => Just(2), 1 => Just(3)],
        1_u32..40,
        any::<bool>(),
        prop::bool::weighted(0.2),
    )
        .prop_map(|(bench, who, fives, stop, wait, mirror, after)| Made {
            bench,
            who,
            minutes: fives * 5,
            stop,
            wait,
            mirror,
            after,
        })
}

const PEOPLE: [&str; 3] = ["mo", "pip", "kit"];

fn text_of(all: &[Made]) -> String {
    let mut text = "plan p \"Wren: days\"; for wren; crew mo, pip, kit; works 8 h from 9:00 on saturday, sunday; works 5 h from 13:00 on friday; \
                    works 3 h from 10:00 on 2026-03-09; no work on 2026-03-15; begins 2026-03-06\n\
                    vehicle wren \"Wren 900\"; body shell\nperson mo \"Mo\"\nperson pip \"Pip\"; free saturday, sunday, 2026-03-09\nperson kit \"Kit\"; free sunday, friday\n\
                    tool mirror \"Mirror\"\npart hook \"Hook\"; new; mass 1 kg quoted\npart lid \"Lid\"; new; mass 1 kg quoted; arrives 2026-03-10\n\
                    part cup \"Cup\"; new; mass 1 kg quoted\n"
        .to_owned();
    let mut since = 0;
    for (nth, one) in all.iter().enumerate() {
        let who: Vec<&str> = (0..3)
            .filter(|bit| one.who >> bit & 1 == 1)
            .map(|bit| PEOPLE[bit])
            .collect();
        let act = one.bench.map_or("look \"x\"".to_owned(), |part| {
            format!("clean {}", ["hook", "lid", "cup"][part])
        });
        let after = match nth {
            2.. if one.after => format!("; after s{}, s{}", nth - 1, nth - 2),
            _ => String::new(),
        };
        let mirror = if one.mirror { "; needs mirror" } else { "" };
        // Not more in one go than the shortest day has.
        since += one.minutes;
        let forced = since > 90;
        let stop = match (one.stop, forced) {
            (0, true) | (2, _) => "; safe to leave".to_owned(),
            (0, false) => String::new(),
            (1, _) => "; safe to leave overnight".to_owned(),
            _ => format!("; wait {} h; safe to leave overnight", one.wait),
        };
        if !stop.is_empty() {
            since = 0;
        }
        text.push_str(&format!(
            "step s{nth} \"S\"; by {}; {act}{mirror}{after}; time {} min{stop}\n",
            who.join(", "),
            one.minutes
        ));
    }
    text
}

/// From when to when there is work, as the text above says it.
fn hours(day: jiff::civil::Date) -> Option<(u32, u32)> {
    use jiff::civil::Weekday as W;
    match (day.to_string().as_str(), day.weekday()) {
        ("2026-03-15", _) => None,
        ("2026-03-09", _) => Some((600, 780)),
        (_, W::Saturday | W::Sunday) => Some((540, 1020)),
        (_, W::Friday) => Some((780, 1080)),
        _ => None,
    }
}

fn comes(person: &str, day: jiff::civil::Date) -> bool {
    use jiff::civil::Weekday as W;
    match person {
        "mo" => true,
        "pip" => matches!(day.weekday(), W::Saturday | W::Sunday) || day.to_string() == "2026-03-09",
        _ => matches!(day.weekday(), W::Sunday | W::Friday),
    }
}

fn people_of(plan: &Plan, step: Id<Step>) -> BTreeSet<Id<Person>> {
    let mut all: BTreeSet<Id<Person>> = plan.steps[step].by.iter().map(|said| said.value).collect();
    for act in plan.steps[step].acts() {
        if let Does::Hold { by, .. } = &act.does
            && let Bearer::Person(person) = by.value
        {
            all.insert(person);
        }
    }
    all
}

fn check(done: &Compilation, table: &Timetable) {
    let plan = &done.plan;
    let day_of = |at: &AtWork| at.day.to_string().parse::<jiff::civil::Date>().expect("a day");
    let minute = |day: Date, minute: u32| u64::from(day.nth()) * 1_440 + u64::from(minute);
    let mut spans: BTreeMap<Id<Step>, (u64, u64, Date)> = BTreeMap::new();
    let mut busy: BTreeMap<String, Vec<(u64, u64)>> = BTreeMap::new();
    for at in &table.steps {
        assert_eq!(at.bit, (0, 1), "no step of these is cut");
        let (opens, shuts) = hours(day_of(at)).expect("a day of work");
        assert!(
            at.day >= table.begins && opens <= at.from && at.to <= shuts,
            "{at:?}"
        );
        let takes = timing::takes(plan, at.step).expect("a time").likely();
        assert_eq!(f64::from(at.to - at.from), takes);
        let span = (minute(at.day, at.from), minute(at.day, at.to));
        assert!(spans.insert(at.step, (span.0, span.1, at.day)).is_none(), "once");
        for person in people_of(plan, at.step) {
            let name = &plan.people[person].head.name;
            assert!(comes(name, day_of(at)), "{name} on {}", at.day);
            busy.entry(name.to_string()).or_default().push(span);
        }
        if !plan.steps[at.step].needs.is_empty() {
            busy.entry("mirror".to_owned()).or_default().push(span);
        }
        let lid = plan.steps[at.step].acts().any(|act| {
            boltfolio_core::plan::mentions::of(&act.does).loads.iter().any(|load| {
                matches!(load, boltfolio_core::plan::model::Load::Thing(thing) if plan.called(*thing) == "Lid")
            })
        });
        assert!(!lid || at.day >= Date::read("2026-03-10").expect("a day"));
    }
    assert_eq!(spans.len(), plan.order.len(), "every step");
    for (who, spans) in &mut busy {
        spans.sort_unstable();
        assert!(
            spans.windows(2).all(|pair| pair[0].1 <= pair[1].0),
            "{who} is at two things"
        );
    }
    let order = timing::to_lay_out(plan, &done.walk);
    let stop = |at: usize| plan.steps[plan.order[at]].safe_to_leave.is_some();
    let overnight = |at: usize| plan.steps[plan.order[at]].safe_overnight.is_some();
    for (at, before) in timing::bound(plan, &done.walk).iter().enumerate() {
        let own = spans[&plan.order[at]];
        for &earlier in before {
            let other = spans[&plan.order[earlier]];
            let waits = plan.steps[plan.order[earlier]]
                .acts()
                .find_map(|act| match &act.does {
                    Does::WaitFor { time, .. } => Some(time.value.base()),
                    _ => None,
                });
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours")]
            let waits = waits.unwrap_or(0.0) as u64;
            assert!(other.1 + waits <= own.0, "{} before {}", earlier, at);
            if !(earlier..at).any(|step| stop(step) || overnight(step)) {
                assert_eq!(other.2, own.2, "no place to stop between");
            }
        }
    }
    // At the vehicle nothing stands for more than a week where it may not, but where that is told.
    let vehicle: Vec<usize> = (0..order.len()).filter(|&at| order[at].at_vehicle).collect();
    for pair in vehicle.windows(2) {
        let (from, to) = (spans[&plan.order[pair[0]]].2, spans[&plan.order[pair[1]]].2);
        let long = to.nth() - from.nth() > 7 && !(pair[0]..pair[1]).any(stop);
        let told = table.too_long.iter().any(|gap| gap.from == from && gap.to == to);
        assert!(!long || told, "from {from} to {to}");
    }
    assert!(table.least <= table.ends);
    let last = table
        .steps
        .iter()
        .map(|at| (at.day, at.to))
        .max()
        .expect("a step");
    assert_eq!((table.ends.day, table.ends.minute), last);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_layout_can_be_done(all in prop::collection::vec(made(), 1..24)) {
        let done = compile_text(&text_of(&all));
        prop_assert!(!done.unwalked);
        let takes = likely(&done.plan);
        let laying = Laying::new(&done.plan, &done.walk, &takes, begins(&done.plan, None).expect("a day")).expect("work");
        let first = laying.first();
        // Days on which all three come are rare, and one that begins on a Friday may not fit: then there is a reason, and no layout.
        if let Ok(first) = first {
            check(&done, &first);
            let best = laying.best_of(200).expect("as the first one");
            check(&done, &best);
            prop_assert!(best.ends <= first.ends);
            prop_assert_eq!(best.least, first.least.min(best.ends));
            let again = laying.best_of(200).expect("as before");
            prop_assert_eq!(again, best);
        }
    }
}

/// Three hundred and a thousand steps on weekends: no longer than anybody waits for. Times are a hundred times what they take on a quiet machine with an
/// optimised program; the bench has the figures.
#[test]
fn many_steps_take_no_time() {
    let made = |count: usize| -> Vec<Made> {
        (0..count)
            .map(|nth| Made {
                bench: (nth % 5 == 3).then_some(nth % 3),
                who: [1, 3, 5, 2, 1, 7, 1][nth % 7],
                minutes: 20 + u32::try_from(nth % 9).expect("small") * 5,
                stop: [1, 0, 2, 0, 1][nth % 5],
                wait: 12,
                mirror: nth % 4 == 0,
                after: nth % 11 == 0,
            })
            .collect()
    };
    for count in [300, 1_000] {
        let done = compile_text(&text_of(&made(count)));
        let table = laid(&done);
        check(&done, &table);
        assert_eq!(table.made, effort(count));
    }
}

/// Pip comes on Sundays alone, so that the second step waits for Sunday: if Pip came on every day of work, it would be done at twelve on Saturday. A part
/// that comes on the second Sunday has the end where it is in the other plan; were it here, all would end on the first Sunday.
#[test]
fn the_one_change_that_helps_most() {
    let done = plan(
        "works 8 h from 9:00 on saturday, sunday; begins 2026-03-07",
        "step a \"A\"; by mo; look \"x\"; time 1 h; safe to leave\nstep b \"B\"; by pip; look \"x\"; time 2 h; safe to leave\n\
         step c \"C\"; by mo; look \"x\"; time 1 h\n",
    );
    let text = |rest: &str| {
        compile_text(&format!(
            "plan p \"Wren: days\"; for wren; crew mo, pip; {WEEKENDS}\n\
             vehicle wren \"Wren 900\"; body shell\nperson mo \"Mo\"\nperson pip \"Pip\"; free sunday\n{rest}"
        ))
    };
    let helps = |done: &Compilation| {
        let plan = &done.plan;
        let takes = likely(plan);
        let laying = Laying::new(plan, &done.walk, &takes, begins(plan, None).expect("a day")).expect("work");
        let table = laying.best_of(1_000).expect("it can be laid out");
        laying.helps(&table, 100)
    };
    // Nobody is away: no change helps by a day.
    assert_eq!(helps(&done), None);
    let steps = "step a \"A\"; by mo; look \"x\"; time 1 h; safe to leave\nstep b \"B\"; by mo, pip; look \"x\"; time 2 h; safe to leave\n";
    let away = text(steps);
    let pip = away.plan.people.ids().nth(1).expect("declared");
    let help = helps(&away).expect("it would end a day earlier");
    assert_eq!(help.what, Eased::There(Wanted::Person(pip)));
    assert_eq!(help.ends, moment("2026-03-07", 12));
    // A part on its way has more to say than Pip: with it here, all ends on the first Sunday.
    let part = "part lamp; mass 1 kg quoted; new; arrives 2026-03-15\njoint lamp-clip: lamp to shell; clip; carries\n\
                step d \"D\"; by mo, pip; fit lamp; start lamp-clip; time 1 h\n";
    let late = text(&format!("{steps}{part}"));
    let lamp = late
        .plan
        .parts
        .iter()
        .find(|(_, part)| &*part.head.name == "lamp")
        .expect("declared")
        .0;
    let help = helps(&late).expect("it would end a week earlier");
    assert_eq!(help.what, Eased::Here(Gear::Part(lamp)));
    assert_eq!(help.ends.day, Date::read("2026-03-08").expect("a day"));
}

/// What is made in the work is made before it is used, whoever does the one and the other; another tool binds nothing.
#[test]
fn a_cradle_is_made_before_it_is_used() {
    let behind = |made: &str| {
        let done = compile_text(&format!(
            "plan p \"P\"; for v; crew a, b\nvehicle v \"V\"; body shell\nperson a\nperson b\ntool cradle \"Cradle\"; to make \"Of oak\"\n\
             tool block \"Block\"; to make \"Of ash\"\nstep first \"F\"; by a; make up {made}\nstep second \"S\"; by b; needs cradle; look \"It fits\"\n"
        ));
        let behind = bound(&done.plan, &done.walk)
            .into_iter()
            .nth(1)
            .expect("two steps");
        behind.into_iter().collect::<Vec<usize>>()
    };
    assert_eq!(behind("cradle"), [0]);
    assert!(behind("block").is_empty());
}
