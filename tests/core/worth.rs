//! Which swaps: what each costs and takes, the best sets against sums worked out by hand and against going through every set, the plan without
//! some swaps, and what cannot be. All vehicles, parts and prices are invented.

use std::collections::BTreeSet;

use boltfolio_core::analysis::worth::{Choices, Fixed, SURE};
use boltfolio_core::base::date::Date;
use boltfolio_core::base::finding::Severity;
use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::binder::choices::{Advice, Purse, Shown, advice};
use boltfolio_core::binder::document::{Block, Table, text_of};
use boltfolio_core::binder::{Wanted, bind, worth_page};
use boltfolio_core::compile::{Compilation, compile, without};
use boltfolio_core::plan::model::{Id, Swap};
use boltfolio_core::reckon::normal;

use crate::support::{compile_text, plan_texts, rules_told, sources_of, tells, tells_not, told};

fn siskin() -> Compilation {
    compile(sources_of(&plan_texts("siskin-choices")), &NoPictures)
}

fn name(done: &Compilation, swap: Id<Swap>) -> &str {
    let name = &*done.plan.swaps.get(swap).expect("a swap").head.name;
    name.strip_suffix("-swap").unwrap_or(name)
}

fn swap(done: &Compilation, wanted: &str) -> Id<Swap> {
    let found = done.plan.swaps.iter().find(|(id, _)| name(done, *id) == wanted);
    found.expect(wanted).0
}

fn of(done: &Compilation, shown: &Shown) -> String {
    let names: Vec<&str> = shown.swaps.iter().map(|&id| name(done, id)).collect();
    names.join(" ")
}

fn asked(done: &Compilation, cents: Option<i64>, minutes: Option<i64>) -> Advice {
    advice(done, Purse { cents, minutes })
        .expect("optional swaps")
        .expect("few")
}

fn best(done: &Compilation, cents: Option<i64>, minutes: Option<i64>) -> String {
    let found = asked(done, cents, minutes);
    found
        .most
        .shown
        .map_or_else(|| "none".to_owned(), |shown| of(done, &shown))
}

/// The plan in `specs/`, each swap by itself, worked out by hand from its texts.
#[test]
fn each_swap_by_itself() {
    let done = siskin();
    assert_eq!(told(&done), Vec::<String>::new());
    let found = asked(&done, None, None);
    let rows: Vec<(&str, i64, i64, i64)> = found
        .choices
        .rows
        .iter()
        .map(|row| {
            let saved = row.saved.as_ref().map_or(0.0, |saved| saved.kg * 1000.0).round();
            #[expect(clippy::cast_possible_truncation, reason = "some kilograms")]
            let grams = saved as i64;
            (name(&done, row.id), grams, row.cents, row.minutes)
        })
        .collect();
    assert_eq!(
        rows,
        [
            // 2 x 78 EUR at 0.86, 2 x 2.40 for screws, 18 for adhesive, 9 for the fork; 40 + 60 + 120 + 30 min.
            ("glass", 2 * (3900 - 1700), 2 * 6708 + 2 * 240 + 1800 + 900, 250),
            // 249 and 6 for bolts; 30 + 50 min.
            ("seat", 17_800 - 8100, 24_900 + 600, 80),
            // Bought already: 7 for the clamp's bolts and a day of the ramp at 35; 20 + 45 + 40 + 15 min.
            ("exhaust", 13_200 - 6300, 700 + 3500, 120),
            ("battery", 14_600 - 5400, 16_500, 15 + 15),
            ("spare", 12_900 - 1200, 2800, 10 + 10),
            ("deadening", 7500, 2400, 180),
        ]
    );
    // The supply dead and back, and the chocks.
    assert_eq!((found.choices.base_cents, found.choices.base_minutes), (0, 15));
    let exhaust = &found.choices.rows[2];
    assert_eq!((exhaust.spent, exhaust.to_come_in), (29_500, 0));
}

/// Two sets by hand. The target is 35 kg. Seat, deadening, spare and exhaust take off 9.7 + 7.5 + 11.7 + 6.9 = 35.8 for 255 + 24 + 28 + 42 = 349;
/// without any of the four it is under 35 or dearer: the battery in place of the exhaust comes to 38.1 for 472. That one is what nine times in ten
/// asks for: two standard deviations are 2.0 kg, so that 35.8 less 1.2816 x 1.0 misses it.
#[test]
fn the_best_sets_by_hand() {
    let done = siskin();
    let found = asked(&done, None, None);
    let [likely, sure] = found.target.as_ref().expect("a target");
    let likely = likely.shown.as_ref().expect("a set");
    assert_eq!(of(&done, likely), "deadening exhaust seat spare");
    assert_eq!(
        (likely.set.worth, likely.facts.cents, likely.facts.minutes),
        (35_800, 34_900, 415)
    );
    assert_eq!(likely.facts.to_come_in, 8000);
    let sure = sure.shown.as_ref().expect("a set");
    assert_eq!(of(&done, sure), "battery deadening seat spare");
    assert_eq!(
        (sure.set.worth, sure.facts.cents, sure.facts.minutes),
        (38_100, 47_200, 325)
    );
    let saved = likely.facts.saved.as_ref().expect("known");
    assert!(saved.kg - normal::quantile(SURE).expect("in range") * saved.u() < 35.0);
    // The budget leaves 950 - 295 = 655: everything but the glass.
    let most = found.most.shown.as_ref().expect("a set");
    assert_eq!(of(&done, most), "battery deadening exhaust seat spare");
    assert_eq!(most.facts.cents, 51_400);
    assert_eq!(found.points, 10);
}

/// Normal quantiles: 0 for 50 %, 1.2816 for 90 % (NIST/SEMATECH e-Handbook, 1.3.6.7.1, table of the cumulative normal: 0.9 lies between 1.28 and
/// 1.29; 1.2816 from memory).
#[test]
fn the_quantile_of_nine_in_ten() {
    let z = normal::quantile(SURE).expect("in range");
    assert!((z - 1.2816).abs() < 5e-5, "{z}");
    assert!(normal::quantile(0.5).expect("in range").abs() < 1e-9);
}

/// The advice goes the way that it should where money is dear, where hours are, and where more is wanted.
#[test]
fn the_advice_follows_what_is_dear() {
    let done = siskin();
    assert_eq!(best(&done, Some(0), None), "");
    assert_eq!(best(&done, Some(2_800), None), "spare");
    // 340 GBP buys seat, deadening and spare (28.9 kg for 307); the exhaust would make it 349.
    assert_eq!(best(&done, Some(34_000), None), "deadening seat spare");
    assert_eq!(best(&done, Some(50_000), None), "battery deadening seat spare");
    // An hour and a half in all: 15 min go on the supply, so the battery (30), and the spare wheel (20), and no seat (80).
    assert_eq!(best(&done, Some(50_000), Some(90)), "battery spare");
    // Ten minutes are not enough for the rest of the job.
    assert_eq!(best(&done, Some(50_000), Some(10)), "none");
    assert!(asked(&done, None, Some(10)).out_of_time);
    // A target that only all of them reach, and one that none does.
    let text = |kg: &str| {
        let mut texts = plan_texts("siskin-choices");
        for (_, text, _) in &mut texts {
            *text = text.replace("target save 35 kg", &format!("target save {kg} kg"));
        }
        compile(sources_of(&texts), &NoPictures)
    };
    let least = |done: &Compilation| {
        let found = asked(done, None, None);
        let [likely, _] = found.target.expect("a target");
        likely.shown.map(|shown| of(done, &shown))
    };
    let all = text("49");
    assert_eq!(
        least(&all).as_deref(),
        Some("battery deadening exhaust glass seat spare")
    );
    assert_eq!(least(&text("60")), None);
    assert_eq!(least(&text("20")).as_deref(), Some("battery spare"));
}

/// Every set of the plan walked, with money and hours by its own account: the same as the search has it, and the best of all.
#[test]
fn the_same_as_walking_every_set() {
    let done = siskin();
    let found = asked(&done, None, None);
    let choices = &found.choices;
    let mut most: Vec<(i64, i64, String)> = Vec::new();
    for chosen in 0..(1u128 << choices.free.len()) {
        let set = choices.problem.sum(chosen);
        let out = choices.left_out(&set);
        let needs = |id: &Id<Swap>| done.plan.swaps.get(*id).into_iter().flat_map(|swap| &swap.needs);
        let together = choices
            .swaps(&set)
            .iter()
            .all(|id| needs(id).all(|said| !out.contains(&said.value)));
        assert_eq!(choices.problem.goes_together(chosen), together);
        if !together {
            continue;
        }
        let rest = without(&done, &out);
        assert_eq!(rest.count(Severity::Fault), 0, "{:?}", told(&rest));
        assert_eq!(rest.money().sums().to_spend, set.money + choices.base_cents);
        let saved = rest
            .account()
            .ending
            .as_ref()
            .and_then(|ending| ending.saved.clone());
        let kg = saved.as_ref().map_or(0.0, |saved| saved.kg);
        #[expect(clippy::cast_precision_loss, reason = "some kilograms")]
        let grams = set.worth as f64;
        assert!((kg * 1000.0 - grams).abs() < 0.6, "{kg} {grams}");
        // What the search takes a set to be known to is what its own account has.
        if let (Some(own), Some(saved)) = (choices.saved(&set), saved) {
            assert!((own.u() - saved.u()).abs() < 1e-9, "{} {}", own.u(), saved.u());
        }
        let names = choices.swaps(&set);
        let names: Vec<&str> = names.iter().map(|&id| name(&done, id)).collect();
        most.push((set.worth, set.money, names.join(" ")));
    }
    assert_eq!(most.len(), 48);
    for cents in (0..70_000).step_by(2500) {
        let by_hand = most
            .iter()
            .filter(|(_, money, _)| *money <= cents)
            .max_by_key(|set| (set.0, -set.1));
        assert_eq!(
            best(&done, Some(cents), Some(10_000)),
            by_hand.expect("the empty set").2
        );
    }
}

/// A set that cannot be done is named with what stops it, and the next best is shown.
#[test]
fn a_set_that_cannot_be_done_is_named() {
    let text = "plan wren-job \"Wren 900: nose\"; for wren; target save 1 kg; budget 100 GBP
vehicle wren \"Wren 900\"; body shell; mass 900 kg quoted
part grille \"Grille\"; mass 2 kg weighed
part mesh \"Mesh grille\"; in place of grille; mass 0.5 kg weighed; cost 20 GBP
part lamp \"Lamp behind the grille\"; mass 2 kg weighed
part led \"LED lamp\"; in place of lamp; mass 0.6 kg weighed; cost 30 GBP
joint grille-screws: grille to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint mesh-screws: mesh to shell; in place of grille-screws; same as grille-screws
joint lamp-screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m; covered by grille
joint led-screws: led to shell; in place of lamp-screws; carries; screws 2 x M5x0.8; torque 4 N m
swap mesh-swap \"Grille for mesh\"; comes off grille; goes on mesh; optional
swap lamp-swap \"Lamp for LED\"; comes off lamp; goes on led; optional
step grille-off \"Grille off\"; undo grille-screws; take off grille; time 10 min
step lamp-off \"Lamp off\"; undo lamp-screws; take off lamp; time 10 min
step led-on \"LED on\"; fit led; start led-screws; tighten led-screws; time 10 min
step mesh-on \"Mesh on\"; fit mesh; start mesh-screws; tighten mesh-screws; time 10 min
";
    let done = compile_text(text);
    assert_eq!(done.count(Severity::Fault), 0, "{:?}", told(&done));
    // The mesh takes off 1.5 kg for 20. Where it takes off 0.5 alone, the lamp with 1.4 for 30 would be better; but the grille is in front of it.
    let found = asked(&done, Some(3000), None);
    let shown = found.most.shown.as_ref().expect("a set");
    assert_eq!(of(&done, shown), "mesh");
    let cheap = asked(
        &compile_text(&text.replace("mass 0.5 kg weighed; cost 20", "mass 1.5 kg weighed; cost 20")),
        Some(3000),
        None,
    );
    let stopped = &cheap.most.stopped;
    assert_eq!(stopped.len(), 1);
    assert_eq!(stopped[0].by.rule.name, "out-of-reach");
    assert_eq!(of(&done, cheap.most.shown.as_ref().expect("a set")), "mesh");
    // Said to be needed, it is no set at all.
    let bound = text.replace("goes on led; optional", "goes on led; optional; needs mesh-swap");
    let found = asked(&compile_text(&bound), Some(3000), None);
    assert!(found.most.stopped.is_empty());
    let page = worth_page::lines(
        &compile_text(&text.replace("mass 0.5 kg weighed; cost 20", "mass 1.5 kg weighed; cost 20")),
        &Wanted::printed(Date::read("2026-03-01").expect("a day")),
        Purse {
            cents: Some(3000),
            minutes: None,
        },
        100,
    )
    .expect("a page");
    let page: String = page.into_iter().map(|(_, line)| line + "\n").collect();
    assert!(
        page.contains(
            "Lamp for LED (2) would do better, and cannot be done as the plan stands: out-of-reach"
        ),
        "{page}"
    );
}

/// Without prices sets are compared by hours.
#[test]
fn without_prices_hours_count() {
    let mut texts = plan_texts("siskin-choices");
    for (_, text, _) in &mut texts {
        let lines: Vec<String> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("budget") && !line.trim_start().starts_with("rate"))
            .map(|line| {
                let pieces = line.split("; ").filter(|piece| {
                    let money = ["cost ", "bought ", "sold for "];
                    !money.iter().any(|word| piece.starts_with(word))
                });
                pieces
                    .collect::<Vec<_>>()
                    .join("; ")
                    .replace("hire 35 GBP a day, ", "hire ")
            })
            .collect();
        *text = lines.join("\n") + "\n";
    }
    let done = compile(sources_of(&texts), &NoPictures);
    assert_eq!(done.money().currency, None);
    let found = asked(&done, None, None);
    // 35 kg in the least time: battery 30, spare 20, seat 80, deadening 180 min come to 38.1; with the exhaust in place of the deadening 37.5 in 250.
    let [likely, _] = found.target.as_ref().expect("a target");
    let likely = likely.shown.as_ref().expect("a set");
    assert_eq!(of(&done, likely), "battery exhaust seat spare");
    assert_eq!(likely.facts.minutes, 15 + 250);
}

/// What is done stays done, what is bought is spent, and a swap that is begun is chosen.
#[test]
fn what_is_done_stays_done() {
    let mut texts = plan_texts("siskin-choices");
    let log = "log make-dead to seat-out; done 2026-05-02 by jo, bea\n".to_owned();
    texts.push(("log.boltplan".to_owned(), log, false));
    let done = compile(sources_of(&texts), &NoPictures);
    let found = asked(&done, None, None);
    let fixed = |wanted: &str| {
        let mut rows = found.choices.rows.iter();
        rows.find(|row| row.id == swap(&done, wanted))
            .and_then(|row| row.fixed.clone())
    };
    assert_eq!(
        (fixed("seat"), fixed("battery"), fixed("spare")),
        (Some(Fixed::Begun), Some(Fixed::Begun), None)
    );
    assert_eq!(found.choices.free.len(), 4);
    // 5 min for the supply, 15 for the battery and 50 for the seat are left of what is done in any case.
    assert_eq!(found.choices.base_minutes, 5 + 15 + 50);
    assert_eq!(found.choices.base_cents, 16_500 + 25_500);
    let rules: Vec<&str> = done.findings.iter().map(|finding| finding.rule.name).collect();
    assert!(rules.contains(&"optional-and-begun"), "{rules:?}");
}

/// A swap that the plan leaves out is not there, and can be taken in again.
#[test]
fn left_out_by_the_plan() {
    let mut texts = plan_texts("siskin-choices");
    for (_, text, _) in &mut texts {
        *text = text.replace(
            "goes on both clears\n  optional",
            "goes on both clears\n  optional\n  left out",
        );
    }
    let done = compile(sources_of(&texts), &NoPictures);
    assert_eq!(told(&done), Vec::<String>::new());
    assert_eq!(done.plan.order.len(), siskin().plan.order.len() - 4);
    let whole = siskin();
    let same = without(&whole, &BTreeSet::from([swap(&whole, "glass")]));
    assert_eq!(done.money().sums(), same.money().sums());
    assert_eq!(
        done.account().end().map(|end| end.kg),
        same.account().end().map(|end| end.kg)
    );
    // The choice is the same as before.
    let (one, other) = (asked(&done, None, None), asked(&whole, None, None));
    let sets =
        |found: &Advice| -> Vec<u128> { found.frontier.iter().map(|shown| shown.set.chosen).collect() };
    assert_eq!(sets(&one), sets(&other));
    let wanted = Wanted::printed(Date::read("2026-04-20").expect("a day"));
    let keys = |done: &Compilation| -> Vec<String> {
        bind(done, &wanted)
            .sections
            .into_iter()
            .map(|section| section.key)
            .collect()
    };
    assert!(keys(&done).contains(&"worth".to_owned()));
    assert!(keys(&whole).contains(&"money".to_owned()));
}

const TWO: &str = "plan wren-job \"Wren 900: lamps\"; for wren
vehicle wren \"Wren 900\"; body shell
part lamp \"Lamp\"; mass 1 kg quoted
part horn \"Horn\"; mass 0.8 kg quoted
part led \"LED\"; in place of lamp; mass 0.4 kg quoted
part beeper \"Beeper\"; in place of horn; mass 0.1 kg quoted
joint lamp-screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint led-screws: led to shell; in place of lamp-screws; same as lamp-screws
joint horn-screw: horn to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint beeper-screw: beeper to shell; in place of horn-screw; same as horn-screw
swap one \"Lamp\"; comes off lamp; goes on led; optional
swap two \"Horn\"; comes off horn; goes on beeper; optional
step lamp-off \"Lamp off\"; undo lamp-screws; take off lamp
step led-on \"LED on\"; fit led; start led-screws; tighten led-screws
step horn-off \"Horn off\"; undo horn-screw; take off horn
step beeper-on \"Beeper on\"; fit beeper; start beeper-screw; tighten beeper-screw
";

#[test]
fn swaps_at_odds() {
    let with = |one: &str, two: &str| {
        TWO.replace("goes on led; optional", &format!("goes on led; {one}"))
            .replace("goes on beeper; optional", &format!("goes on beeper; {two}"))
    };
    assert_eq!(rules_told(TWO), Vec::<&str>::new());
    for (one, two) in [
        ("optional; needs two", "optional; needs one"),
        ("optional; needs one", "optional"),
        ("optional; not with one", "optional"),
        ("optional; not with two", "optional"),
        ("optional; needs two; not with two", "optional; left out"),
        ("needs two", "optional"),
        ("needs two", "left out"),
    ] {
        tells("swaps-at-odds", &with(one, two));
    }
    for (one, two) in [
        ("optional; not with two", "left out"),
        ("optional; needs two", "optional"),
        ("left out; needs two", "left out"),
    ] {
        tells_not("swaps-at-odds", &with(one, two));
    }
    tells("unknown-name", &with("optional; needs three", "optional"));
    tells("wrong-kind", &with("optional; needs lamp", "optional"));
    tells("unreadable-line", &with("optional; needs", "optional"));
    tells("unreadable-line", &with("optional yes", "optional"));
    tells("said-twice", &with("optional; optional", "optional"));
    let step = TWO.replace(
        "step lamp-off \"Lamp off\";",
        "step lamp-off \"Lamp off\"; for lamp;",
    );
    tells("wrong-kind", &step);
}

/// Two for the same place: one is left out, and both are compared.
#[test]
fn two_for_one_place() {
    let text = format!(
        "{}part xenon \"Xenon lamp\"; in place of lamp; mass 0.9 kg quoted
joint xenon-screws: xenon to shell; in place of lamp-screws; same as lamp-screws
swap three \"Lamp for xenon\"; comes off lamp; goes on xenon; left out; not with one
step xenon-on \"Xenon on\"; for three; fit xenon; start xenon-screws; tighten xenon-screws
",
        TWO.replace(
            "step lamp-off \"Lamp off\";",
            "step lamp-off \"Lamp off\"; for one, three;"
        )
    );
    let done = compile_text(&text);
    assert_eq!(told(&done), Vec::<String>::new());
    let found = asked(&done, None, None);
    let names: Vec<&str> = found.choices.free.iter().map(|&id| name(&done, id)).collect();
    assert_eq!(names, ["one", "three", "two"]);
    // 0.6 kg against 0.1: never both.
    assert_eq!(best(&done, None, None), "one two");
    for shown in &found.frontier {
        assert!(!(shown.set.has(0) && shown.set.has(1)));
    }
    let xenon = without(&done, &BTreeSet::from([swap(&done, "one"), swap(&done, "two")]));
    assert_eq!(told(&xenon), Vec::<String>::new());
    let moved: Vec<&str> = xenon
        .plan
        .order
        .iter()
        .map(|&step| &*xenon.plan.steps[step].head.name)
        .collect();
    assert_eq!(moved, ["lamp-off", "xenon-on"]);
}

/// A stage that reverses another is worked out anew: without the swap the old part goes back, and a written step that stood for a derived one
/// gives it its place again.
#[test]
fn the_way_back_without_a_swap() {
    let text = "plan wren-job \"Wren 900: nose\"; for wren; stages out, back
vehicle wren \"Wren 900\"; body shell
part grille \"Grille\"; mass 2 kg weighed
part lamp \"Lamp\"; mass 2 kg weighed; afterwards for sale
part led \"LED lamp\"; in place of lamp; mass 0.6 kg weighed
joint grille-screws: grille to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint lamp-screws: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m; covered by grille
joint led-screws: led to shell; in place of lamp-screws; same as lamp-screws
swap lamp-swap \"Lamp for LED\"; comes off lamp; goes on led; optional
stage out \"Out\"
step grille-off \"Grille off\"; undo grille-screws; take off grille
step lamp-off \"Lamp and its bracket off\"; look \"bracket sound\"; undo lamp-screws; take off lamp
stage back \"Back\" reverses out
step led-on \"LED on\"; instead of lamp-off-back; fit led; start led-screws; tighten led-screws; look \"it lights\"
";
    let order = |done: &Compilation| -> Vec<String> {
        let steps = done.plan.order.iter();
        steps
            .map(|&step| done.plan.steps[step].head.name.to_string())
            .collect()
    };
    let done = compile_text(text);
    assert_eq!(told(&done), Vec::<String>::new());
    assert_eq!(
        order(&done),
        ["grille-off", "lamp-off", "led-on", "grille-off-back"]
    );
    let out = BTreeSet::from([swap(&done, "lamp")]);
    let rest = without(&done, &out);
    assert_eq!(told(&rest), Vec::<String>::new());
    assert_eq!(order(&rest), ["grille-off", "grille-off-back"]);
    // Where the way out is done in any case, the old lamp goes back as it came.
    let shared = text.replace(
        "step lamp-off \"Lamp and its bracket off\";",
        "step lamp-off \"Lamp and its bracket off\"; undo grille-screws;",
    );
    let shared = shared
        .replace(
            "step grille-off \"Grille off\"; undo grille-screws; take off grille\n",
            "",
        )
        .replace(
            "undo grille-screws; look",
            "undo grille-screws; take off grille; look",
        );
    let done = compile_text(&shared);
    let rest = without(&done, &out);
    assert_eq!(told(&rest), Vec::<String>::new(), "{:?}", order(&rest));
    assert_eq!(order(&rest), ["lamp-off", "lamp-off-back"]);
}

#[test]
fn nothing_to_choose_is_a_sentence() {
    let wanted = Wanted::printed(Date::read("2026-03-01").expect("a day"));
    let why = |text: &str| {
        let page = worth_page::lines(&compile_text(text), &wanted, Purse::default(), 80);
        page.expect_err("no page").0
    };
    assert!(why(&TWO.replace("; optional", "")).contains("No swap of the plan is optional"));
    let no_swaps: String = TWO
        .lines()
        .filter(|line| !line.starts_with("swap"))
        .map(|line| format!("{line}\n"))
        .collect();
    assert!(why(&no_swaps).contains("The plan has no swaps"));
    let begun = format!("{TWO}log lamp-off to beeper-on; done 2026-03-02\n");
    assert!(why(&begun).contains("nothing left to choose"));
    // A plan at fault shows its rows, and no sets.
    let broken = TWO.replace("; tighten led-screws", "");
    let page = worth_page::lines(&compile_text(&broken), &wanted, Purse::default(), 80).expect("a page");
    let page: String = page.into_iter().map(|(_, line)| line + "\n").collect();
    assert!(
        page.contains("No sets are shown: 1 fault stands in the plan itself."),
        "{page}"
    );
}

/// The choices are the same whatever order the swaps are declared in.
#[test]
fn the_order_of_the_text_says_nothing() {
    let turned = {
        let mut lines: Vec<&str> = TWO.lines().collect();
        let at = lines
            .iter()
            .position(|line| line.starts_with("swap one"))
            .expect("a swap");
        lines.swap(at, at + 1);
        lines.join("\n") + "\n"
    };
    let choices = |text: &str| -> Choices { asked(&compile_text(text), None, None).choices };
    let (one, other) = (choices(TWO), choices(&turned));
    let names = |text: &str, choices: &Choices| -> Vec<String> {
        let done = compile_text(text);
        choices
            .free
            .iter()
            .map(|&id| name(&done, id).to_owned())
            .collect()
    };
    assert_eq!(names(TWO, &one), names(&turned, &other));
    let sets = |text: &str| -> Vec<u128> {
        asked(&compile_text(text), None, None)
            .frontier
            .iter()
            .map(|shown| shown.set.chosen)
            .collect()
    };
    assert_eq!(sets(TWO), sets(&turned));
}

/// The page before the cards: swaps, answers, sets, what money and weekends buy, and the line, which reads without colour.
#[test]
fn the_page_in_the_binder() {
    let done = siskin();
    let wanted = Wanted::printed(Date::read("2026-04-20").expect("a day"));
    let document = bind(&done, &wanted);
    let keys: Vec<&str> = document
        .sections
        .iter()
        .map(|section| section.key.as_str())
        .collect();
    let place = |key: &str| keys.iter().position(|known| *known == key).expect("a section");
    let first_card = keys
        .iter()
        .position(|key| key.starts_with("stage/"))
        .expect("a stage");
    assert!(
        place("money") < place("worth") && place("worth") < first_card,
        "{keys:?}"
    );
    let section = &document.sections[place("worth")];
    assert_eq!(section.title, "Is it worth it?");
    let tables: Vec<Table> = section
        .blocks
        .iter()
        .flat_map(|block| match block {
            Block::Halves(left, right) => left.iter().chain(right).collect::<Vec<_>>(),
            other => vec![other],
        })
        .filter_map(|block| match block {
            Block::Table(table) => Some(table.clone()),
            _ => None,
        })
        .collect();
    let rows: Vec<usize> = tables
        .iter()
        .map(|table| table.groups.iter().map(|group| group.rows.len()).sum())
        .collect();
    // Six swaps; three questions; four sums; ten sets.
    assert_eq!(rows, [6, 3, 4, 10]);
    let drawing = document
        .pictures
        .iter()
        .find(|picture| picture.key == "~drawn/worth.svg")
        .expect("the line");
    let svg = std::str::from_utf8(&drawing.bytes).expect("text");
    for colour in svg.split('"').filter(|piece| piece.starts_with('#')) {
        assert_eq!(
            colour, "#3A4A1C",
            "the one accent, which is as dark as black on a copy"
        );
    }
    for part in [
        "target",
        "to spend, GBP",
        "kg off",
        "Set G reaches the target: 35.8 kg for 349 GBP",
    ] {
        assert!(svg.contains(part), "{part}");
    }
    // Bought is ticked, and every new part is on the list.
    let ready = &document.sections[place("get-ready")];
    let mut items = Vec::new();
    for block in &ready.blocks {
        if let Block::Halves(left, right) = block {
            for block in left.iter().chain(right) {
                if let Block::Dense(dense) = block
                    && dense.title.starts_with("Buy: new parts")
                {
                    assert_eq!(dense.title, "Buy: new parts, 576.16 GBP to pay");
                    items.extend(dense.items.iter().map(|item| (text_of(&item.text), item.done)));
                }
            }
        }
    }
    let bought: Vec<&str> = items
        .iter()
        .filter(|(_, done)| *done)
        .map(|(text, _)| text.as_str())
        .collect();
    assert_eq!((items.len(), bought), (6, vec!["Rear silencer, thin-walled"]));
}

/// The class minimum bounds: 814.8 kg as the class weighs it before any swap, so that 34.8 kg may go where 780 are asked for; more would want ballast.
#[test]
fn the_class_minimum_is_kept() {
    let text = |minimum: &str| {
        let mut texts = plan_texts("siskin-choices");
        for (_, text, _) in &mut texts {
            *text = text.replace("class minimum 690 kg", &format!("class minimum {minimum} kg"));
        }
        compile(sources_of(&texts), &NoPictures)
    };
    let done = text("780");
    let found = asked(&done, Some(100_000), Some(10_000));
    assert_eq!(found.choices.cap, Some(34_750));
    // The most that stays under it, by going through all sets.
    let problem = &found.choices.problem;
    let all = (0..64u128).filter(|chosen| problem.goes_together(*chosen));
    let most = all
        .map(|chosen| problem.sum(chosen).worth)
        .filter(|worth| *worth <= 34_750)
        .max();
    let shown = found.most.shown.as_ref().expect("a set");
    assert_eq!(Some(shown.set.worth), most);
    for shown in &found.frontier {
        assert!(
            shown.facts.over_minimum.is_some_and(|over| over >= 0.0),
            "{shown:?}"
        );
    }
    // 35 kg cannot be had without going under it.
    assert!(found.target.expect("a target")[0].shown.is_none());
    // Missed whatever is chosen, it bounds nothing, and that is said.
    let missed = asked(&text("900"), None, None);
    assert!(missed.under_minimum && missed.most.shown.is_some());
}

/// A mass to come to is a saving as good as any.
#[test]
fn a_mass_to_come_to() {
    let mut texts = plan_texts("siskin-choices");
    for (_, text, _) in &mut texts {
        *text = text.replace("target save 35 kg", "target mass 707 kg");
    }
    let done = compile(sources_of(&texts), &NoPictures);
    let found = asked(&done, None, None);
    // 742 kg by the pads: 35 have to go.
    assert_eq!(found.choices.wanted_of_free(), Some(35_000));
    let [likely, _] = found.target.as_ref().expect("a target");
    assert_eq!(
        of(&done, likely.shown.as_ref().expect("a set")),
        "deadening exhaust seat spare"
    );
}

#[test]
fn more_swaps_than_are_searched() {
    let mut text =
        "plan wren-job \"Wren 900: many\"; for wren\nvehicle wren \"Wren 900\"; body shell\n".to_owned();
    for nth in 0..129 {
        text.push_str(&format!("part p{nth} \"P\"; new; mass 1 kg quoted; cost 1 GBP\nswap s{nth} \"S\"; goes on p{nth}; optional\n"));
    }
    text.push_str("step look-on \"Look\"; look \"all there\"\n");
    let wanted = Wanted::printed(Date::read("2026-03-01").expect("a day"));
    let why = worth_page::lines(&compile_text(&text), &wanted, Purse::default(), 80).expect_err("too many");
    assert!(
        why.0.starts_with("The plan has more than 128 optional swaps"),
        "{}",
        why.0
    );
}

/// What is not known of a set is said beside its figures.
#[test]
fn a_price_that_is_not_known_is_said() {
    let text = TWO.replace(
        "in place of horn; mass 0.1 kg quoted",
        "in place of horn; mass 0.1 kg quoted; cost 5 GBP",
    );
    let wanted = Wanted::printed(Date::read("2026-03-01").expect("a day"));
    let page = worth_page::lines(&compile_text(&text), &wanted, Purse::default(), 80).expect("a page");
    let page: String = page.into_iter().map(|(_, line)| line + "\n").collect();
    for part in [
        "1 price is not known",
        "0 GBP to spend and 1 price not known",
        "0 min and 4 steps without a time",
    ] {
        assert!(page.contains(part), "{part}\n{page}");
    }
}

/// Whatever is left out of whatever plan: what is left is walked, and nothing new of it is fitted.
#[test]
fn any_swap_may_be_asked_to_go() {
    for plan in ["ouzel-front", "starter", "siskin-choices"] {
        let done = compile(sources_of(&plan_texts(plan)), &NoPictures);
        let all: Vec<Id<Swap>> = done.plan.swaps.ids().collect();
        let mut sets: Vec<BTreeSet<Id<Swap>>> = all.iter().map(|&swap| BTreeSet::from([swap])).collect();
        sets.push(all.iter().copied().collect());
        for out in sets {
            let rest = without(&done, &out);
            assert!(!rest.unwalked, "{plan}: {:?}", told(&rest));
            assert_eq!(rest.plan.left_out.swaps, out);
            let end = boltfolio_core::analysis::account::now(&rest.plan, &rest.walk, None);
            for &part in &rest.plan.left_out.parts {
                assert!(end.is_off(part), "{plan}: {}", rest.plan.parts[part].head.name);
            }
            assert!(
                rest.plan
                    .left_out
                    .steps
                    .iter()
                    .all(|step| !rest.plan.order.contains(step))
            );
        }
        // Nothing left out is the plan itself.
        let same = without(&done, &BTreeSet::new());
        assert_eq!(told(&same), told(&done));
    }
}

/// A fault in the steps of a swap stops every set with that swap, also where another one is left out by the plan itself.
#[test]
fn a_fault_of_the_plan_stops_its_sets() {
    let plan = |hold: &str| {
        compile_text(&format!(
            "plan wren-job \"W\"; for wren; crew ada, tom; target save 2 kg
vehicle wren \"Wren 900\"; body shell; mass 700 kg quoted
person ada; lifts 25 kg
person tom; lifts 25 kg
part seat; mass 15 kg quoted; afterwards scrapped
part lamp; mass 3 kg quoted; afterwards scrapped
part horn; mass 2 kg quoted; afterwards scrapped
joint seat-bolts: seat to shell; carries; bolts 4 x M10x1.25; torque 45 N m; gone
joint lamp-clip: lamp to shell; clip; carries; gone
joint horn-clip: horn to shell; clip; carries; gone
swap seat-swap; comes off seat; optional
swap lamp-swap; comes off lamp; optional
swap horn-swap; comes off horn; optional; left out
step seat-out; by ada, tom; {hold}undo seat-bolts; take off seat
step lamp-out; by ada; undo lamp-clip; take off lamp
step horn-out; by ada; undo horn-clip; take off horn
"
        ))
    };
    let sets = |done: &Compilation| -> Vec<String> {
        let asked = asked(done, None, None);
        asked.frontier.iter().map(|shown| of(done, shown)).collect()
    };
    let sound = sets(&plan("hold seat by tom; "));
    assert!(sound.iter().any(|set| set.contains("seat")), "{sound:?}");
    // Nothing holds it: it falls.
    let faulty = sets(&plan(""));
    assert!(!faulty.iter().any(|set| set.contains("seat")), "{faulty:?}");
    assert!(faulty.iter().any(|set| set.contains("lamp")), "{faulty:?}");
}
