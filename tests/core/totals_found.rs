//! Small plans about masses, and what is found in each: bad figures, sums and their slips, the account and the target.

use crate::support::{compile_text, told};
use boltfolio_core::analysis::account::{Account, Reckoner};
use boltfolio_core::analysis::{balance, vehicle_weighings};
use boltfolio_core::plan::model::{Thing, Weighed};
use boltfolio_core::weights::Weights;

const CAR: &str = "plan p \"P\"; for wren; crew ada, tom
vehicle wren \"Wren 900\"; body shell; wheelbase 2300 mm; track 1300 mm front, 1300 mm rear; wheel radius 280 mm front, 280 mm rear
person ada; lifts 30 kg
person tom; lifts 30 kg
scale hook; capacity 100 kg; division 0.1 kg; repeatability 0.1 kg
scale pads; capacity 450 kg each; division 0.5 kg; repeatability 0.5 kg
";

/// Rules of the family totals that are found, in their order, with what is said.
fn found(plan: &str) -> Vec<(String, String)> {
    let compilation = compile_text(&format!("{CAR}{plan}"));
    let unread: Vec<String> = told(&compilation)
        .into_iter()
        .filter(|text| text.starts_with("unreadable") || text.starts_with("unknown"))
        .collect();
    assert!(unread.is_empty(), "{unread:?}");
    let family = boltfolio_core::rules::catalogue()
        .iter()
        .find(|family| family.name == "totals")
        .expect("the family");
    compilation
        .findings
        .iter()
        .filter(|finding| family.rules.iter().any(|rule| rule.name == finding.rule.name))
        .map(|finding| {
            (
                finding.rule.name.to_owned(),
                format!("{} / {} / {}", finding.what, finding.harm, finding.mend.words),
            )
        })
        .collect()
}

fn names(plan: &str) -> Vec<String> {
    found(plan).into_iter().map(|(name, _)| name).collect()
}

/// What is said of the first finding.
fn words(plan: &str) -> String {
    found(plan)
        .into_iter()
        .next()
        .map_or_else(String::new, |(_, words)| words)
}

#[test]
fn figures_that_cannot_be() {
    for bad in [
        "part seat; mass -3 kg quoted",
        "part seat; mass 0 kg quoted",
        "part seat; mass 400 t quoted",
        "part seat; mass 3 +- 9 kg quoted",
        "scale old; capacity 5 kg; division 10 kg",
        "scale old; capacity 5 kg; division 0 kg",
        "rig table; holds; rated 0 kg",
        "rig table; holds; rated 300 kg; platform 0 mm x 600 mm",
        "rig sling; lifts; rated 300 kg; legs 2 at 0 deg",
        "rig sling; lifts; rated 300 kg; legs 2 at 95 deg",
        "fluid oil; holds 3 l; density 900 kg/l",
        "weigh-in w; with pads; raised rear 0 mm; axles 500 kg front, 400 kg rear",
        "weigh-in w; with pads; raised rear 2300 mm; axles 500 kg front, 400 kg rear",
        "weigh-in w; with pads; corners 0 kg, 0 kg front, 0 kg, 0 kg rear",
        "weigh-in w; with pads; corners -5 kg, 200 kg front, 200 kg, 200 kg rear",
        "weigh-in w; with hook; reads shell 0 kg",
    ] {
        assert_eq!(names(&format!("{bad}\n")), ["impossible-figure"], "{bad}");
    }
    let line = CAR.replace(
        "wheelbase 2300 mm",
        "wheelbase 2300 mm; jacking front at 200 mm behind front axle, 0 mm left; jacking rear at 2000 mm behind front axle, 0 mm left",
    );
    let compilation = compile_text(&line);
    let said = told(&compilation);
    assert!(
        said.iter().any(|text| text.contains("lie in one line")),
        "three supports in a line: {said:?}"
    );
}

#[test]
fn tons_and_pounds_add_up() {
    // Short tons and pounds of one list, exactly (NIST SP 811, B.8): 0.05 ton are 100 lb.
    let list = |sum: &str| {
        format!(
            "part a\npart b\nweigh-in w; with hook; reads a 0.05 short ton; reads b 10 lb; sum given {sum}\n"
        )
    };
    assert_eq!(names(&list("110 lb")), Vec::<String>::new());
    assert_eq!(names(&list("49.9 kg")), Vec::<String>::new());
    assert_eq!(names(&list("53.4 kg")), ["does-not-add-up"]);
}

/// Two pads of 0.5 kg an axle, level and raised, and 2 mm rectangular in 40: u = hypot(2300 x 1.04/(850 x 0.01739), 2333/40 x 1.155) = 175 mm.
/// ISO 10392:2011, 6.5: h = r + L (F' - F)/(W tan). Raised 400 mm of 2300 mm, 15 kg gained of 850 kg: 280 + 2300 x 15/(850 x 0.17661) = 510 mm.
#[test]
fn a_raised_weighing_is_asked_whether_it_can_be() {
    let raised = |stated: &str, raised: &str, axles: &str| {
        let car = if stated.is_empty() {
            String::new()
        } else {
            format!("vehicle: height of centre {stated}")
        };
        let plan = format!(
            "part lamp; mass 1 kg quoted\nweigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear\n\
             weigh-in up; dated 2026-03-07; with pads; raised {raised}; axles {axles}\n"
        );
        let text = match car.strip_prefix("vehicle: ") {
            Some(height) => {
                format!("{CAR}{plan}").replace("280 mm rear\n", &format!("280 mm rear; {height}\n"))
            }
            None => format!("{CAR}{plan}"),
        };
        compile_text(&text)
            .findings
            .into_iter()
            .filter(|finding| finding.rule.name == "raised-weighing")
            .map(|finding| {
                format!(
                    "{} {} / {}",
                    finding.severity.word(),
                    finding.what,
                    finding.mend.words
                )
            })
            .collect::<Vec<_>>()
    };
    let good = "465.0 kg front, 385.0 kg rear";
    // Within: as it is, stated nearly so, assumed further off.
    for stated in ["", "505 mm", "560 mm assumed"] {
        assert_eq!(
            raised(stated, "rear 400 mm", good),
            Vec::<String>::new(),
            "{stated}"
        );
    }
    for (stated, lift, axles, what, mend) in [
        (
            "505 mm",
            "rear 40 mm",
            good,
            "fault `up` puts the centre 2610 ± 350 mm up",
            "it was raised 400 mm: a misplaced point",
        ),
        (
            "505 mm",
            "rear 40 cm",
            "385.0 kg front, 465.0 kg rear",
            "under the ground",
            "the two axle figures are swapped",
        ),
        (
            "505 mm",
            "front 400 mm",
            good,
            "fault `up` puts the centre 50 ± ",
            "the rear was raised",
        ),
        (
            "",
            "rear 18 mm",
            good,
            "over twice the wheelbase",
            "it was raised 180 mm",
        ),
        (
            "",
            "rear 400 mm",
            "865.0 kg front, 5.0 kg rear",
            "the front axle bears 865.0 kg, and the whole weighs 850",
            "measure the lift",
        ),
        (
            "420 mm",
            "rear 400 mm",
            good,
            "doubt `up` puts the centre 510 ± ",
            "Measure the lift",
        ),
    ] {
        let said = raised(stated, lift, axles);
        let all = said.join("\n");
        assert_eq!(said.len(), 1, "{lift}: {said:?}");
        assert!(all.contains(what), "{what}: {all}");
        assert!(all.to_lowercase().contains(&mend.to_lowercase()), "{mend}: {all}");
    }
}

#[test]
fn nothing_simple_explains_it() {
    let list = "part a\npart b\nweigh-in w; with hook; reads a 31.9 kg; reads b 9.8 kg; sum given 57.3 kg\n";
    assert!(
        words(list).contains("Nothing simple explains it"),
        "{}",
        words(list)
    );
    // A reading left out, and its twin: the list names it.
    let left_out = list.replace("57.3", "31.9");
    assert!(
        words(&left_out).contains("`b` was left out of the sum"),
        "{}",
        words(&left_out)
    );
    let twice = list.replace("57.3", "51.5");
    assert!(words(&twice).contains("`b` was added twice"), "{}", words(&twice));
    let away = list.replace("57.3", "22.1");
    assert!(words(&away).contains("`b` was taken away"), "{}", words(&away));
    let swapped = list.replace("57.3", "47.1");
    assert!(
        words(&swapped).contains("two digits of the sum given are swapped, 41.7 kg for 47.1 kg"),
        "{}",
        words(&swapped)
    );
}

#[test]
fn tare_is_taken_once_from_the_sum() {
    let list = |sum: &str| {
        format!(
            "part a\npart b\nweigh-in w; with hook; reads a 31.9 kg; reads b 9.8 kg; tare sling 1.2 kg; sum given {sum}\n"
        )
    };
    assert_eq!(names(&list("40.5 kg")), Vec::<String>::new());
    assert!(words(&list("41.7 kg")).contains("the tare of 1.2 kg was not taken away"));
    assert!(
        words(&list("39.3 kg")).contains("from each reading") || words(&list("39.3 kg")).contains("twice")
    );
}

#[test]
fn what_is_unknown_is_not_judged() {
    let list = "part a\npart b\nweigh-in w; with hook; reads a 31.9 kg; reads b to come; sum given 99 kg\n";
    assert_eq!(names(list), Vec::<String>::new());
    // An assembly may weigh more than those of its parts that are known, but never less.
    let set = |mass: &str| {
        format!("part a; mass 31.9 kg weighed\npart b\nassembly both-of-them; of a, b; mass {mass} weighed\n")
    };
    assert_eq!(names(&set("60 kg")), Vec::<String>::new());
    assert_eq!(names(&set("20 kg")), ["parts-against-assembly"]);
}

#[test]
fn weighed_again_is_good_practice() {
    let list = |sum: &str| {
        format!(
            "part a\npart b\nweigh-in w; with hook; reads a 31.9 kg; reads a 31.8 kg; reads b 9.8 kg; sum given {sum}\n"
        )
    };
    assert_eq!(names(&list("41.7 kg")), Vec::<String>::new());
    assert_eq!(names(&list("73.5 kg")), ["summed-twice"]);
    assert_eq!(names(&list("61.0 kg")), ["does-not-add-up"]);
}

#[test]
fn two_first_weighings_that_contradict() {
    let two = |rear: &str| {
        format!(
            "weigh-in one; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear
weigh-in two; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, {rear} kg rear\n"
        )
    };
    assert_eq!(
        names(&two("201.5")),
        Vec::<String>::new(),
        "within what the pads repeat to"
    );
    assert_eq!(names(&two("206.0")), ["corners-against-parts"]);
}

#[test]
fn an_axle_is_its_two_wheels() {
    let both = |front: &str| {
        format!(
            "weigh-in one; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear; axles {front} kg front, 400.0 kg rear\n"
        )
    };
    assert_eq!(names(&both("450.5")), Vec::<String>::new());
    assert_eq!(names(&both("460.0")), ["does-not-add-up"]);
}

#[test]
fn corners_on_pads_each() {
    let read = |front: &str, rear: &str| {
        format!("weigh-in one; with pads; corners {front} kg, 225.0 kg front, {rear} kg, 200.0 kg rear\n")
    };
    assert_eq!(names(&read("450.0", "400.0")), Vec::<String>::new());
    assert_eq!(names(&read("450.5", "400.0")), ["beyond-scale"]);
    assert_eq!(names(&read("225.2", "200.0")), ["finer-than-scale"]);
    // The whole car over four pads of 450 kg.
    assert_eq!(
        names("weigh-in one; with pads; reads wren 1700.0 kg\n"),
        Vec::<String>::new()
    );
    assert_eq!(
        names("weigh-in one; with pads; reads wren 1900.0 kg\n"),
        ["beyond-scale"]
    );
    // A figure in another unit was converted, and has steps of its own.
    assert_eq!(
        names("part a\nweigh-in one; with hook; reads a 70.33 lb\n"),
        Vec::<String>::new()
    );
}

const SEATS: &str = "part seat; mass 14.0 +- 0.1 kg weighed; at 1200 mm behind front axle, 350 mm right, 400 mm up; afterwards for sale
part bucket; in place of seat; mass 6.4 +- 0.1 kg weighed
part spare; mass 12.0 +- 0.2 kg weighed; at 2600 mm behind front axle, 0 mm left, 500 mm up
joint seat-bolts: seat to shell; carries; bolts 4 x M8x1.25; torque 24 N m
joint bucket-bolts: bucket to shell; in place of seat-bolts; same as seat-bolts
joint spare-bolt: spare to shell; carries; bolts 1 x M8x1.25; torque 24 N m
step seat-out \"Seat out\"; by ada, tom; hold seat by tom; undo seat-bolts; take off seat
step spare-out \"Spare out\"; by ada, tom; hold spare by tom; undo spare-bolt; take off spare
step bucket-in \"Bucket in\"; by ada, tom; hold bucket by tom; fit bucket; start bucket-bolts; tighten bucket-bolts
step spare-in \"Spare in\"; by ada, tom; hold spare by tom; fit spare; start spare-bolt; tighten spare-bolt
weigh-in before; dated 2026-03-07; with pads; corners 225.0 kg, 225.0 kg front, 200.0 kg, 200.0 kg rear
swap seats; comes off seat; goes on bucket
";

#[test]
fn the_account_after_each_step() {
    let compilation = compile_text(&format!("{CAR}{SEATS}"));
    let plan = &compilation.plan;
    let weights = Weights::new(plan);
    let account = Account::of(&weights, &compilation.walk);
    let saved = account.saved_for_sure().expect("all known");
    assert!((saved.kg - 7.6).abs() < 1e-9 && (saved.u() - 0.1 * 2f64.sqrt()).abs() < 1e-9);
    assert!((account.end().expect("weighed first").kg - 842.4).abs() < 1e-9);
    let mut masses = Vec::new();
    for &step in &plan.order {
        let reckoned = Reckoner::new(&account, &weights, &compilation.walk).at(Some(step));
        let (moment, total) = reckoned.map(|at| (at.moment, at.total)).expect("weighed");
        masses.push((
            total.known.kg,
            moment.off_for_now.len(),
            moment.off_for_good.len(),
            moment.on_new.len(),
        ));
        assert_eq!(total.unknown, 0);
    }
    let should = [
        (836.0, 0, 1, 0),
        (824.0, 1, 1, 0),
        (830.4, 1, 1, 1),
        (842.4, 0, 1, 1),
    ];
    for (is, should) in masses.iter().zip(should) {
        assert!((is.0 - should.0).abs() < 1e-9, "{masses:?}");
        assert_eq!((is.1, is.2, is.3), (should.1, should.2, should.3), "{masses:?}");
    }
}

#[test]
fn the_centre_follows_by_moments() {
    let compilation = compile_text(&format!("{CAR}{SEATS}"));
    let plan = &compilation.plan;
    let weights = Weights::new(plan);
    let weighings = vehicle_weighings::all(plan);
    let first = balance::Balance::first(&weights, &weighings).expect("corners and measures");
    let (centre, _) = first.centre().expect("a mass");
    assert!((centre.behind - 2300.0 * 400.0 / 850.0).abs() < 1e-3 && centre.right.abs() < 1e-9);
    let last = *plan.order.get(1).expect("two steps");
    let account = Account::of(&weights, &compilation.walk);
    let reckoned = Reckoner::new(&account, &weights, &compilation.walk).at(Some(last));
    let then = first.at(&reckoned.expect("weighed").moment);
    let (centre, u) = then.centre().expect("a mass");
    // By moments about the front axle, reckoned by hand.
    let behind = (850.0 * 2300.0 * 400.0 / 850.0 - 14.0 * 1200.0 - 12.0 * 2600.0) / 824.0;
    let right = -14.0 * 350.0 / 824.0;
    assert!((centre.behind - behind).abs() < 1e-3 && (centre.right - right).abs() < 1e-3);
    assert!(u.behind > 0.5 && u.behind < 5.0, "{u:?}");
    assert!(then.unknown.is_empty() && then.unplaced.is_empty());
}

#[test]
fn ballast_sits_for_the_split_that_is_wanted() {
    let with = |about: &str| {
        let car = CAR.replace("for wren; crew", &format!("for wren; {about}; crew"));
        compile_text(&format!("{car}{SEATS}"))
    };
    // 850 kg, 450 of them in front; a seat of 14.0 kg at 1200 mm goes and one of 6.4 kg comes there. By moments about the front axle:
    let moment = 2300.0 * 400.0 - 7.6 * 1200.0;
    for (split, front) in [
        ("54 % front", 0.54),
        ("46.0 % rear", 0.54),
        ("50 per cent front", 0.5),
    ] {
        let compilation = with(&format!("class minimum 860 kg; axle split {split}"));
        let weights = Weights::new(&compilation.plan);
        let place = boltfolio_core::rules::totals_aims::ballast_place(
            &weights,
            compilation.account(),
            &compilation.walk,
            20.0,
        );
        // With the ballast there the front axle bears its share of 862.4 kg.
        let should = (862.4 * (1.0 - front) * 2300.0 - moment) / 20.0;
        let place = place.expect("all is known");
        assert!((place - should).abs() < 0.5, "{split}: {place} for {should}");
    }
    let missed = |split: &str| {
        let compilation = with(&format!("axle split {split}"));
        let mut found = compilation
            .findings
            .iter()
            .filter(|finding| finding.rule.name == "split-missed");
        found
            .next()
            .map(|finding| format!("{} / {}", finding.what, finding.mend.words))
    };
    // The front bears 1 - 910 880 / (842.4 x 2300) of it: 53.0 %.
    assert_eq!(missed("53 % front"), None);
    assert_eq!(missed("47 % rear"), None);
    let said = missed("60 % front").expect("missed");
    // 147.6 kg over the front axle: (842.4 x 0.530 + m) / (842.4 + m) = 0.6.
    assert!(
        said.starts_with("at the end the front axle bears 53.0 ± 0.")
            && said.contains("148 kg more over the front axle"),
        "{said}"
    );
    let said = missed("60 % rear").expect("missed");
    assert!(
        said.starts_with("at the end the rear axle bears 47.0") && said.contains("over the rear axle"),
        "{said}"
    );
    for split in ["0 % front", "100 % rear", "120 % front", "-3 % front"] {
        let compilation = with(&format!("axle split {split}"));
        assert!(
            told(&compilation)
                .iter()
                .any(|text| text.starts_with("impossible-figure")),
            "{split}"
        );
    }
}

#[test]
fn a_reading_of_several_is_shared_out() {
    let plan = "part wheel, each side; mass 15 kg estimated
part hub, each side
weigh-in off; with hook; reads both wheels 30.8 kg; reads both hubs 9.0 kg\n";
    let compilation = compile_text(&format!("{CAR}{plan}"));
    let weights = Weights::new(&compilation.plan);
    for (id, part) in compilation.plan.parts.iter().filter(|(_, part)| !part.is_body) {
        let kg = weights.part(id).expect("read").kg;
        let should = if part.head.name.starts_with("wheel") {
            15.4
        } else {
            4.5
        };
        assert!((kg - should).abs() < 1e-9, "{}: {kg}", part.head.name);
        assert_eq!(
            weights
                .of(Weighed::Thing(Thing::Part(id)))
                .map(|estimate| estimate.kg),
            Some(kg)
        );
    }
}

#[test]
fn ballast_is_told_with_its_place() {
    let plan = SEATS.replace("swap seats;", "swap seats \"Seats\";");
    let with = CAR.replace("crew ada, tom", "crew ada, tom; class minimum 850 kg");
    let compilation = compile_text(&format!("{with}{plan}"));
    let mend = compilation
        .findings
        .iter()
        .find(|finding| finding.rule.name == "under-class-minimum")
        .map(|finding| finding.mend.words.clone())
        .unwrap_or_default();
    assert!(
        mend.contains("of ballast to be sure") && mend.contains("behind the front axle"),
        "{mend}"
    );
}
