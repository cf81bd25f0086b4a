//! What was weighed, when, and what is then expected: one end of the job for findings, pages and data; weighings tied to their moment; sheets
//! filled in wrongly; readings split otherwise; fluids that leave in their tanks. Plans are invented; statics are done by hand beside each
//! figure, and what is asked is common practice, no source.

use crate::support::compile_text;
use boltfolio::base::date::Date;
use boltfolio::base::finding::Finding;
use boltfolio::binder::{Wanted, bind, masses_page};
use boltfolio::compile::Compilation;
use boltfolio::press::markdown;

const HEAD: &str = "plan p \"P\"; for wren; crew ada, tom; dated 2026-03-01ABOUT
vehicle wren \"Wren 900\"; body shell; wheelbase 2000 mm; track 1300 mm front, 1300 mm rear; wheel radius 280 mm front, 280 mm rearCAR
person ada; lifts 30 kg
person tom; lifts 30 kg
scale pads; capacity 450 kg each; division 0.5 kg; repeatability 0.5 kg
scale hook; capacity 100 kg; division 0.1 kg; repeatability 0.1 kg
";

/// 14 kg come off at 1200 mm and 350 mm right, 12 kg at 2200 mm in the middle, 6.4 kg go on where the first sat.
const JOB: &str =
    "part seat; mass 14.0 +- 0.1 kg weighed; at 1200 mm behind front axle, 350 mm right, 400 mm up; afterwards for sale
part bucket; in place of seat; mass 6.4 +- 0.1 kg weighed
part spare; mass 12.0 +- 0.2 kg weighed; at 2200 mm behind front axle, 0 mm left, 500 mm up; afterwards stays off
joint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25; torque 24 N m; head 13 mm
joint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts
joint spare-bolt: spare to shell; carries; bolts 1 x M8x1.25; torque 24 N m; gone; head 13 mm
step seat-out \"Seat out\"; by ada, tom; hold seat by tom; undo seat-bolts; take off seat
step spare-out \"Spare out\"; by ada, tom; hold spare by tom; undo spare-bolt; take off spare
step bucket-in \"Bucket in\"; by ada, tom; hold bucket by tom; fit bucket; start bucket-bolts; tighten bucket-bolts
swap seats; comes off seat, spare; goes on bucket
";
/// As it was found.
const BEFORE: &str = "weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear\n";

fn compiled(about: &str, text: &str) -> Compilation {
    let head = HEAD.replace("ABOUT", about).replace("CAR", "");
    compile_text(&format!("{head}{text}"))
}

/// What is told, with its rule, without what is never used.
fn said(compilation: &Compilation) -> Vec<String> {
    let words = |finding: &Finding| {
        format!(
            "{} {}: {} / {} / {}",
            finding.severity.word(),
            finding.rule.name,
            finding.what,
            finding.harm,
            finding.mend.words
        )
    };
    let all = compilation.findings.iter();
    all.filter(|finding| !["never-used", "no-steps"].contains(&finding.rule.name))
        .map(words)
        .collect()
}

fn told(text: &str) -> Vec<String> {
    said(&compiled("", text))
}

fn silent(text: &str) {
    let all = told(text);
    assert!(all.is_empty(), "{all:#?}\n{text}");
}

/// Some finding of this rule says all of this.
fn tells(text: &str, rule: &str, words: &[&str]) {
    let all = told(text);
    let has = |one: &String| {
        one.split(':').next().is_some_and(|head| head.ends_with(rule))
            && words.iter().all(|word| one.contains(word))
    };
    assert!(
        all.iter().any(has),
        "{rule} with {words:?} is not among {all:#?}\n{text}"
    );
}

fn wanted() -> Wanted {
    Wanted::printed(Date::read("2026-04-01").expect("a day"))
}

fn page(done: &Compilation) -> String {
    masses_page::lines(done, &wanted(), None, 80).join("\n")
}

fn paper(done: &Compilation) -> String {
    markdown(&bind(done, &wanted())).text
}

/// By hand: 850 kg, less 14 and 12, more 6.4, are 830.4; weighed in the middle at 822.5 for 824, 828.9 are left at the end.
#[test]
fn one_end_for_findings_and_pages() {
    for (about, mid, end, saved) in [
        ("; target save 18 kg", "", 830.4, 19.6),
        (
            "; target save 18 kg",
            "weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners 224.5 kg, 220.5 kg front, 190.5 kg, 187.0 kg rear\n",
            828.9,
            21.1,
        ),
        (
            "; target save 18 kg",
            "weigh-in last; dated 2026-03-09; after bucket-in; with pads; corners 225.0 kg, 223.0 kg front, 192.0 kg, 190.0 kg rear\n",
            830.0,
            20.0,
        ),
    ] {
        let done = compiled(about, &format!("{JOB}{BEFORE}{mid}"));
        assert_eq!(said(&done), Vec::<String>::new(), "{mid}");
        let account = done.account();
        let found = account.end().expect("all known");
        assert!((found.kg - end).abs() < 1e-6, "{found:?} {mid}");
        let aim = account.aim(&done.plan).expect("a target");
        assert!((aim.saved.kg - saved).abs() < 1e-6, "{aim:?}");
        // What was meant for a mass has the same chance as what was meant for a saving.
        let reach = compiled("; target mass 832 kg", &format!("{JOB}{BEFORE}{mid}"));
        let other = reach.account().aim(&reach.plan).expect("a target");
        assert!((other.wanted - 18.0).abs() < 1e-6);
        let page = page(&done);
        let at_end = format!("at the end                              {end:.0} ± ");
        assert!(page.contains(&at_end), "{at_end} in {page}");
        assert!(page.contains(&format!("{saved:.1} ± ")), "{page}");
        assert_eq!(page.contains("last weighing"), !mid.is_empty(), "{page}");
        let paper = paper(&done);
        assert!(paper.contains(&format!("{saved:.1} ± ")), "{mid}");
    }
}

/// Fixings that a swap lists and a scale read leave once: 0.6 kg less at the end, and none where they were out when the whole was weighed.
#[test]
fn fixings_leave_once() {
    let job = JOB.replace("comes off seat, spare;", "comes off seat, spare, seat-bolts;");
    let bolts = "weigh-in bolts; dated 2026-03-07; with hook; reads seat-bolts 0.6 kg\n";
    let end = |more: &str| {
        let done = compiled("", &format!("{job}{bolts}{BEFORE}{more}"));
        assert_eq!(said(&done), Vec::<String>::new());
        done.account().end().expect("known").kg
    };
    assert!((end("") - 829.8).abs() < 1e-6);
    let mid = "weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners 225.0 kg, 220.5 kg front, 191.0 kg, 187.0 kg rear\n";
    assert!((end(mid) - 829.9).abs() < 1e-6);
}

#[test]
fn what_was_unknown_and_weighed_away_is_known_at_the_end() {
    let job = JOB.replace("mass 12.0 +- 0.2 kg weighed; ", "");
    let mid = "weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners 225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg rear\n";
    let done = compiled("; class minimum 700 kg", &format!("{job}{BEFORE}{mid}"));
    assert!((done.account().end().expect("weighed").kg - 830.4).abs() < 1e-6);
    let none = compiled("; class minimum 700 kg", &format!("{job}{BEFORE}"));
    assert!(none.account().end().is_none());
}

/// The first in the work is the first weighing, wherever it stands in the text; what was found is that and what came off before.
#[test]
fn the_first_weighing_is_the_first_in_the_work() {
    let mid = "weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners 225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg rear\n";
    let done = compiled("", &format!("{mid}{JOB}{BEFORE}"));
    assert_eq!(said(&done), Vec::<String>::new());
    let first = done
        .account()
        .first()
        .and_then(|first| first.weigh_in)
        .expect("weighed");
    assert_eq!(&*done.plan.weigh_ins[first].head.name, "before");
    // Weighed in the middle alone: 824 and what came off before it, 26, are 850.
    let alone = compiled("", &format!("{mid}{JOB}"));
    assert_eq!(said(&alone), Vec::<String>::new());
    assert!((alone.account().start.as_ref().expect("gone back").kg - 850.0).abs() < 1e-6);
    assert!((alone.account().end().expect("known").kg - 830.4).abs() < 1e-6);
    let page = page(&alone);
    for part in [
        "mid, after step 2",
        "as it was found                         850 ± ",
    ] {
        assert!(page.contains(part), "{part} in {page}");
    }
    // A mass that the plan states is of what was found, too.
    let stated = |mass: &str| {
        let head = HEAD
            .replace("ABOUT", "")
            .replace("CAR", &format!("; mass {mass} quoted"));
        said(&compile_text(&format!("{head}{mid}{JOB}")))
    };
    assert_eq!(stated("850 +- 2 kg"), Vec::<String>::new());
    assert!(
        stated("820 +- 2 kg")
            .iter()
            .any(|one| one.contains("which makes 850"))
    );
}

#[test]
fn undated_sheets_have_no_place_among_dated_ones() {
    let last = "weigh-in last; with pads; corners 225.0 kg, 223.0 kg front, 192.0 kg, 190.0 kg rear\n";
    // Of two the first is before the work and the last after it; one without a date between others is asked about.
    silent(&format!(
        "{JOB}{}{last}",
        BEFORE.replace("dated 2026-03-07; ", "")
    ));
    tells(
        &format!("{JOB}{BEFORE}{last}"),
        "weighing-not-placed",
        &["`last`", "after STEP"],
    );
    silent(&format!(
        "{JOB}{BEFORE}{}",
        last.replace("with pads", "after bucket-in; with pads")
    ));
}

#[test]
fn two_on_one_day_are_not_mixed_up() {
    let mid = |after: &str| {
        format!(
            "weigh-in mid; dated 2026-03-07{after}; with pads; corners 225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg rear\n"
        )
    };
    silent(&format!("{JOB}{BEFORE}{}", mid("; after spare-out")));
    silent(&format!("{}{JOB}{BEFORE}", mid("; after spare-out")));
    let log = "log seat-out; done 2026-03-07\nlog spare-out; done 2026-03-07\n";
    silent(&format!("{JOB}{BEFORE}{}{log}", mid("; after spare-out")));
    // Steps were done that day, and nothing says which of the two was before them.
    tells(
        &format!("{JOB}{BEFORE}{}{log}", mid("")),
        "weighing-not-placed",
        &["`mid`"],
    );
}

#[test]
fn date_and_step_agree() {
    let mid = |day: &str| {
        format!(
            "weigh-in mid; dated {day}; after spare-out; with pads; corners 225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg rear\n"
        )
    };
    let log = "log seat-out; done 2026-03-08\nlog spare-out; done 2026-03-10\n";
    let all =
        "log seat-out; done 2026-03-08\nlog spare-out; done 2026-03-10\nlog bucket-in; done 2026-03-12\n";
    silent(&format!("{JOB}{BEFORE}{}{log}", mid("2026-03-10")));
    silent(&format!("{JOB}{BEFORE}{}{all}", mid("2026-03-12")));
    tells(
        &format!("{JOB}{BEFORE}{}{log}", mid("2026-03-09")),
        "weighing-not-placed",
        &[
            "`mid` was weighed on 2026-03-09",
            "`spare-out`",
            "only on 2026-03-10",
        ],
    );
    tells(
        &format!("{JOB}{BEFORE}{}{all}", mid("2026-03-14")),
        "weighing-not-placed",
        &["`bucket-in` was done already", "after bucket-in"],
    );
    tells(
        &format!(
            "{JOB}{BEFORE}{}log seat-out; done 2026-03-08\n",
            mid("2026-03-10")
        ),
        "weighing-not-placed",
        &[
            "the log does not say that this is done",
            "log spare-out; done 2026-03-10",
        ],
    );
    // Without a log the dates of the weighings are asked alone.
    let reversed = format!(
        "{JOB}{BEFORE}{}weigh-in early; dated 2026-03-11; after seat-out; with pads; corners 224.0 kg, 220.5 kg front, 198.0 kg, 193.5 kg rear\n",
        mid("2026-03-10")
    );
    tells(
        &reversed,
        "weighing-not-placed",
        &["`early` comes before `mid` in the work"],
    );
}

/// By moments about the front axle and the middle: 400 x 2000 - 14 x 1200 - 12 x 2200 leave 378.4 kg at the rear of 824, 445.6 in front; 14 x 350
/// on the track of 1300 are 7.5 kg less on the right than on the left: 415.8 and 408.2.
#[test]
fn columns_of_a_sheet_that_are_exchanged() {
    let weighed = |corners: &str| {
        format!(
            "{JOB}{BEFORE}weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners {corners} rear\n"
        )
    };
    silent(&weighed("225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg"));
    let uneven = "weigh-in before; dated 2026-03-07; with pads; corners 240.0 kg, 210.0 kg front, 215.0 kg, 185.0 kg rear\n";
    let from_uneven = |corners: &str| {
        format!(
            "{JOB}{uneven}weigh-in mid; dated 2026-03-09; after spare-out; with pads; corners {corners} rear\n"
        )
    };
    // 60 kg more on the left, and 7.5 more by what came off on the right: 445.8 and 378.2.
    silent(&from_uneven("237.5 kg, 208.0 kg front, 208.5 kg, 170.0 kg"));
    for (corners, cause) in [
        (
            "208.0 kg, 237.5 kg front, 170.0 kg, 208.5 kg",
            "left and right are exchanged on the sheet `mid`",
        ),
        (
            "208.0 kg, 237.5 kg front, 208.5 kg, 170.0 kg",
            "left and right of the front axle are exchanged on the sheet `mid`",
        ),
        (
            "237.5 kg, 208.0 kg front, 170.0 kg, 208.5 kg",
            "left and right of the rear axle are exchanged on the sheet `mid`",
        ),
    ] {
        tells(
            &from_uneven(corners),
            "corners-against-parts",
            &["left side", cause],
        );
    }
    tells(
        &from_uneven("208.5 kg, 170.0 kg front, 237.5 kg, 208.0 kg"),
        "corners-against-parts",
        &[
            "the front bears",
            "front and rear are exchanged on the sheet `mid`",
        ],
    );
    // Not the sheet but a place: 12000 mm for 1200 are 14 x 10800/2000 = 76 kg more in front.
    let slipped = from_uneven("237.5 kg, 208.0 kg front, 208.5 kg, 170.0 kg")
        .replace("at 1200 mm behind", "at 12000 mm behind");
    tells(
        &slipped,
        "corners-against-parts",
        &["of `seat` the decimal point of its place"],
    );
}

/// An end that stood on boxes and a sheet that does not say so.
#[test]
fn an_end_that_was_raised_is_asked_for_its_height() {
    let again = |axles: &str| {
        format!(
            "part lamp; mass 1 kg quoted\n{BEFORE}weigh-in up; dated 2026-03-07; with pads; axles {axles}\n"
        )
    };
    silent(&again("450.0 kg front, 400.0 kg rear"));
    tells(
        &again("465.0 kg front, 385.0 kg rear"),
        "corners-against-parts",
        &["an end was raised", "raised rear 420 mm"],
    );
    // Said, with a point that slipped, and no height in the plan to compare: 280 + 2000 x 15/(850 x 0.02) = 2045 mm up.
    let raised = |by: &str| {
        format!(
            "part lamp; mass 1 kg quoted\n{BEFORE}weigh-in up; dated 2026-03-07; with pads; raised rear {by}; axles 465.0 kg front, 385.0 kg rear\n"
        )
    };
    silent(&raised("400 mm"));
    tells(
        &raised("40 mm"),
        "raised-weighing",
        &[
            "states no height",
            "it was raised 400 mm",
            "height of centre 500 mm",
        ],
    );
}

#[test]
fn readings_split_otherwise_are_compared() {
    let parts =
        "part rail; mass 6 kg quoted\npart pad-set; mass 14 kg quoted\npart cover; mass 3 kg quoted\n";
    let two = |a: &str, b: &str| {
        format!(
            "{parts}weigh-in one; dated 2026-03-07; with hook; {a}\nweigh-in two; dated 2026-03-08; with hook; {b}\n"
        )
    };
    silent(&two(
        "reads rail, pad-set 20.0 kg",
        "reads rail 6.2 kg; reads pad-set 13.9 kg",
    ));
    silent(&two("reads rail, pad-set 20.0 kg", "reads rail 6.2 kg"));
    silent(&two(
        "reads rail, pad-set 20.0 kg; reads cover 3.0 kg",
        "reads rail 6.2 kg; reads pad-set, cover 16.9 kg",
    ));
    tells(
        &two(
            "reads rail, pad-set 20.0 kg",
            "reads rail 6.2 kg; reads pad-set 15.0 kg",
        ),
        "weighed-otherwise",
        &["`rail` and `pad-set`", "read at 21.2", "20.0"],
    );
    tells(
        &two(
            "reads rail, pad-set 20.0 kg; reads cover 3.0 kg",
            "reads rail 6.2 kg; reads pad-set, cover 18.0 kg",
        ),
        "weighed-otherwise",
        &[
            "`rail`, `pad-set` and `cover`",
            "when they lay on the scale otherwise",
        ],
    );
    tells(
        &two("reads rail, pad-set 14.0 kg", "reads pad-set 14.9 kg"),
        "weighed-otherwise",
        &["`pad-set`: read at 14.9", "with more on the scale"],
    );
    tells(
        &two("reads rail, pad-set 20.0 kg", "reads pad-set, cover 17.0 kg"),
        "weighed-otherwise",
        &["advice", "cannot be compared"],
    );
    let three = format!(
        "{}weigh-in three; dated 2026-03-09; with hook; reads pad-set 15.0 kg\n",
        two("reads rail, pad-set 20.0 kg", "reads rail 6.2 kg")
    );
    tells(&three, "weighed-otherwise", &["21.2", "20.0"]);
    // What was read alone has that, and the other the rest: 20.0 - 6.2.
    let done = compiled("", &two("reads rail, pad-set 20.0 kg", "reads rail 6.2 kg"));
    let pads = done
        .plan
        .parts
        .iter()
        .find(|(_, part)| &*part.head.name == "pad-set")
        .expect("a part")
        .0;
    assert!((done.weights().part(pads).expect("read").kg - 13.8).abs() < 1e-9);
}

/// 8 kg and 48 l of 0.75 kg/l, 36 kg, on a rig and off the vehicle, however the plan says what the fluid is in.
#[test]
fn a_tank_leaves_with_what_is_in_it() {
    for (tank, fluid) in [("", "; in tank"), ("; holds petrol", "")] {
        let job = format!(
            "part tank; mass 8.0 kg weighed; afterwards stays off{tank}
part valve; mass 1 kg quoted
fluid petrol; holds 48 l; density 0.75 kg/l{fluid}
joint straps: tank to shell; carries; strap; bolts 2 x M8x1.25; torque 20 N m; head 13 mm; gone
joint valve-bolts: valve to shell; carries; bolts 2 x M6x1.0; torque 9 N m; head 10 mm
joint hose: tank to valve; hose of petrol; push-on; gone
rig board; lifts, holds; rated 60 kg
step off; by ada, tom; hold tank with board; undo straps, hose; plug hose; take off tank
"
        );
        let after = |corners: &str| {
            format!(
                "{job}{BEFORE}weigh-in last; dated 2026-03-09; after off; with pads; corners {corners} rear\n"
            )
        };
        let text = after("214.0 kg, 214.0 kg front, 189.0 kg, 189.0 kg");
        let done = compiled("", &text);
        let all: Vec<String> = said(&done)
            .into_iter()
            .filter(|one| one.contains("corners-against"))
            .collect();
        assert!(all.is_empty(), "{all:#?}");
        let end = compiled("", &format!("{job}{BEFORE}"));
        assert!(
            (end.account().end().expect("known").kg - 806.0).abs() < 1e-6,
            "{tank}{fluid}"
        );
        // The balance over the wheels says the same as the account.
        let last = end.standings().expect("corners").last().expect("a moment");
        assert!((last.mass.0 - 806.0).abs() < 1e-6, "{}", last.mass.0);
        let paper = paper(&end);
        assert!(paper.contains("44 kg") || paper.contains("44.0 kg"), "{paper}");
        let dry = after("222.0 kg, 222.0 kg front, 199.0 kg, 199.0 kg");
        tells(&dry, "corners-against-parts", &["`last`"]);
    }
}

/// 12 l of 0.75 kg/l run out between the two: 9 kg, and no other state that would forbid to compare them.
#[test]
fn fuel_that_the_work_drained_is_no_other_state() {
    let job = |corner: &str, drain: &str| {
        format!(
            "part tank; mass 8.0 kg weighed; holds petrol\nfluid petrol; holds 40 l; density 0.75 kg/l; against fuel\ntool can; holds 45 l
joint hose: tank to shell; hose of petrol; push-on\njoint straps: tank to shell; carries; strap; bolts 2 x M8x1.25; torque 20 N m; head 13 mm
step dry; by ada; {drain}
weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear; fuel 12 l
weigh-in after; dated 2026-03-09; after dry; with pads; corners 222.5 kg, 222.5 kg front, 198.0 kg, {corner} kg rear; fuel 0 l\n"
        )
    };
    let rules = |text: &str| -> Vec<&'static str> {
        let done = compiled("; starts petrol 12 l", text);
        let all = done.findings.iter().map(|finding| finding.rule.name);
        all.filter(|name| ["unlike-states", "corners-against-parts"].contains(name))
            .collect()
    };
    let drain = "drain petrol into can";
    // Drained after the last weighing: the class's 5 l are all missing, not 7 l too many; 841 and 3.75 kg.
    let text = job("198.0", drain);
    let before = text.lines().filter(|line| !line.starts_with("weigh-in after"));
    let done = compiled(
        "; starts petrol 12 l; class minimum 700 kg with fuel 5 l",
        &before.collect::<Vec<_>>().join("\n"),
    );
    let end = done.account().as_the_class_weighs(&done.plan).expect("weighed");
    assert!((end.kg - 844.75).abs() < 1e-6, "{}", end.kg);
    assert_eq!(rules(&job("198.0", drain)), Vec::<&str>::new());
    assert_eq!(rules(&job("207.0", drain)), ["corners-against-parts"]);
    assert_eq!(rules(&job("198.0", "look \"Nothing drips\"")), ["unlike-states"]);
}

#[test]
fn what_the_class_has_in_the_vehicle_is_printed() {
    let done = compiled(
        "; class minimum 900 kg with driver 75 kg, fuel 5 l",
        &format!(
            "{JOB}{}",
            BEFORE.replace("; with pads", "; with pads; driver out")
        ),
    );
    let page = page(&done);
    assert!(page.contains("with driver 75 kg, fuel 5 l: "), "{page}");
    let printed = paper(&done);
    assert!(
        printed.contains("900 kg (1985 lb) with driver 75 kg, fuel 5 l")
            || printed.contains("with driver 75 kg, fuel 5 l"),
        "{printed}"
    );
    let sat = compiled(
        "",
        &format!(
            "{JOB}{}",
            BEFORE.replace("; with pads", "; with pads; driver 70 kg")
        ),
    );
    assert!(
        self::page(&sat).contains("before, with driver 70 kg"),
        "{}",
        self::page(&sat)
    );
}

/// Where the last weighing is not the end, no page says that it is.
#[test]
fn a_weighing_in_the_middle_is_called_so() {
    let mid = "weigh-in mid \"Half way\"; dated 2026-03-09; after spare-out; with pads; corners 225.0 kg, 221.0 kg front, 191.0 kg, 187.0 kg rear\n";
    let done = compiled("; target save 18 kg", &format!("{JOB}{BEFORE}{mid}"));
    let words = paper(&done);
    assert!(words.contains("Last weighing, after step 2"), "{words}");
    assert!(
        words.contains("By the weighing “Half way” after step 2"),
        "{words}"
    );
    assert!(!words.contains("after step 2, at the end"), "{words}");
    let last = mid.replace("after spare-out", "after bucket-in").replace(
        "221.0 kg front, 191.0 kg, 187.0 kg",
        "223.0 kg front, 192.0 kg, 190.0 kg",
    );
    let done = compiled("; target save 18 kg", &format!("{JOB}{BEFORE}{last}"));
    assert!(paper(&done).contains("after step 3, at the end"));
}

/// Absurd figures end as findings, never as a panic.
#[test]
fn figures_beyond_all_measure() {
    let big = "999999999999999999999999";
    for text in [
        format!(
            "part a; mass {big} t quoted\npart b; mass {big} t quoted\nassembly ab; of a, b\n{JOB}{BEFORE}swap s; comes off ab\n"
        ),
        format!(
            "{JOB}weigh-in before; with pads; corners {big} kg, {big} kg front, {big} kg, {big} kg rear\n"
        ),
        format!(
            "part tank; mass 8 kg quoted; holds oil\nfluid oil; holds {big} l; density 0.9 kg/l\n{JOB}{BEFORE}"
        ),
        format!("{JOB}{BEFORE}weigh-in w; with hook; reads seat, spare {big} kg; reads seat {big} kg\n"),
    ] {
        let done = compiled("; target save 18 kg; class minimum 600 kg", &text);
        let _ = (page(&done), paper(&done));
    }
}
