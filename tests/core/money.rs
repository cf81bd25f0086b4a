//! The money account against sums worked out by hand, in whole cents; what of it is a finding; and what cannot be read or cannot be. All
//! vehicles, parts and prices are invented.

use boltfolio_core::analysis::money::{Kind, Rates, Standing, hundredths};
use boltfolio_core::base::date::Date;
use boltfolio_core::base::quantity::Number;
use boltfolio_core::binder::{Wanted, money_page};
use boltfolio_core::compile::Compilation;
use boltfolio_core::plan::model::Money;

use crate::support::{compile_text, is_clean, rules_told, told};

const JOB: &str =
    "plan wren-job \"Wren 900: lamps\"; for wren; dated 2026-03-01; budget 500 GBP; rate 1 EUR is 0.86 GBP
vehicle wren \"Wren 900\"; body shell; mass 900 kg quoted
rig hoist \"Hoist\"; lifts; rated 100 kg; hire 12.50 GBP a day, 2026-03-07 to 2026-03-09
tool puller \"Puller\"; buy; cost 30 GBP
tool spare-puller \"Puller that nobody uses\"; buy; cost 99 GBP
consumable glue \"Glue\"; cost 7.99 EUR
part lamp, each side \"Lamp\"; mass 1 kg weighed; afterwards for sale; sold for 10 GBP
part led, each side \"LED lamp\"; in place of lamp; mass 0.4 kg weighed; cost 49.99 EUR
part horn \"Horn\"; mass 1 kg weighed; sold for 20 GBP; sold 2026-03-02 15 GBP; afterwards for sale
part beeper \"Beeper\"; in place of horn; mass 0.2 kg weighed; cost 30 GBP; bought 2026-02-20 28.50 GBP
joint lamp-screws, each side: lamp to shell; carries; screws 2 x M5x0.8; torque 4 N m
joint led-screws, each side: led to shell; in place of lamp-screws; same as lamp-screws; renew; cost 1.10 GBP
joint horn-screw: horn to shell; carries; screws 1 x M5x0.8; torque 4 N m
joint beeper-screw: beeper to shell; in place of horn-screw; same as horn-screw
step lamps-off \"Lamps off\"; needs puller; undo both lamp-screws; take off both lamps
step horn-off \"Horn off\"; undo horn-screw; take off horn
step leds-on \"LEDs on\"; needs glue, hoist; fit both leds; start both led-screws; tighten both led-screws
step beeper-on \"Beeper on\"; fit beeper; start beeper-screw; tighten beeper-screw
";

fn names(done: &Compilation) -> Vec<String> {
    let items = done.money().items.iter();
    items
        .map(|item| format!("{} {:?}", item.what.head(&done.plan).name, item.cents))
        .collect()
}

#[test]
fn every_sum_by_hand() {
    let done = compile_text(JOB);
    let account = done.money();
    assert_eq!(
        names(&done),
        [
            "lamp-left Some(1000)",
            "lamp-right Some(1000)",
            // 49.99 EUR at 0.86 are 42.9914 GBP: to the nearest cent.
            "led-left Some(4299)",
            "led-right Some(4299)",
            "horn Some(1500)",
            "beeper Some(2850)",
            "led-screws-left Some(110)",
            "led-screws-right Some(110)",
            // 7.99 EUR are 6.8714 GBP.
            "glue Some(687)",
            "puller Some(3000)",
            // The 7th, 8th and 9th are three days.
            "hoist Some(3750)",
        ]
    );
    let sums = account.sums();
    assert_eq!(sums.spent, 2850);
    assert_eq!(sums.to_spend, 2 * 4299 + 2 * 110 + 687 + 3000 + 3750);
    assert_eq!((sums.came_in, sums.to_come_in, sums.unknown), (1500, 2000, 0));
    assert_eq!(account.budget, Some(50_000));
    assert_eq!(account.left(), Some(50_000 - 2850 - 16_255 + 1500));
    assert_eq!(account.purse(), Some(50_000 - 2850 + 1500));
    let beeper = account
        .items
        .iter()
        .find(|item| item.cents == Some(2850))
        .expect("bought");
    let day = Date::read("2026-02-20").expect("a day");
    assert_eq!(
        (beeper.standing, beeper.planned),
        (Standing::Done(day), Some(3000))
    );
    let page = money_page::lines(&done, &Wanted::printed(day), 80).expect("a page");
    let page: Vec<&str> = page
        .iter()
        .flat_map(|(_, line)| line.split_whitespace())
        .collect();
    let page = page.join(" ");
    for part in [
        "Spent 28.50 GBP",
        "To spend 162.55 GBP",
        "Left when all is paid 323.95 GBP",
        "Left with that 343.95 GBP",
        "1 EUR is taken as 0.86 GBP.",
        "[x] Beeper",
        "[ ] LED lamp, left",
        "[x] Horn",
        "Hoist, hire, 3 days",
    ] {
        assert!(page.contains(part), "{part}\n{page}");
    }
}

#[test]
fn a_price_that_nobody_says_is_not_nothing() {
    let text = JOB
        .replace("; cost 49.99 EUR", "")
        .replace("buy; cost 30 GBP", "buy");
    let done = compile_text(&text);
    let sums = done.money().sums();
    assert_eq!((sums.unknown, sums.to_spend), (3, 2 * 110 + 687 + 3750));
    // What is only bought if the old one is worn stands beside the sum.
    let text = JOB
        .replace("in place of horn;", "in place of horn, if renewed;")
        .replace("; bought 2026-02-20 28.50 GBP", "");
    let done = compile_text(&text);
    assert_eq!(done.money().sums().perhaps, 3000);
}

#[test]
fn a_hire_without_dates_lasts_as_long_as_the_timetable_needs_it() {
    let days = "works 1 h on saturday, sunday; begins 2026-03-07";
    let text = JOB
        .replace("dated 2026-03-01", &format!("dated 2026-03-01; {days}"))
        .replace(", 2026-03-07 to 2026-03-09", "")
        .replace(
            "step beeper-on",
            "step leds-set \"LEDs set\"; needs hoist; time 50 min; look \"set\"\nstep beeper-on",
        )
        .replace(
            "step leds-on \"LEDs on\";",
            "step leds-on \"LEDs on\"; time 50 min; safe to leave;",
        );
    let done = compile_text(&text);
    let hoist = done.money().items.last().expect("the hoist");
    // One step on Saturday, the other on Sunday.
    assert_eq!((hoist.kind, hoist.cents), (Kind::Hire(Some(2)), Some(2500)));
    // Without days it is taken as one, and said so.
    let done = compile_text(&JOB.replace(", 2026-03-07 to 2026-03-09", ""));
    let hoist = done.money().items.last().expect("the hoist");
    assert_eq!(
        (hoist.kind, hoist.cents, hoist.guessed_days),
        (Kind::Hire(None), Some(1250), true)
    );
}

/// Rates in a row, and back again; half a cent goes up.
#[test]
fn rates_in_a_row() {
    let done =
        compile_text("plan p \"P\"; rate 1 EUR is 0.86 GBP; rate 10 SEK is 0.90 EUR; rate 1 USD is 10.5 SEK");
    let rates = Rates::of(&done.plan);
    let letters = |name: &str| <[u8; 3]>::try_from(name.as_bytes()).expect("three letters");
    let turn = |cents: i64, from: &str, to: &str| rates.turn(cents, letters(from), letters(to));
    assert_eq!(turn(10_000, "EUR", "GBP"), Some(8600));
    assert_eq!(turn(8600, "GBP", "EUR"), Some(10_000));
    // 100 SEK are 9 EUR are 7.74 GBP.
    assert_eq!(turn(10_000, "SEK", "GBP"), Some(774));
    // 100 USD are 1050 SEK are 94.50 EUR are 81.27 GBP.
    assert_eq!(turn(10_000, "USD", "GBP"), Some(8127));
    assert_eq!(turn(25, "EUR", "GBP"), Some(22));
    assert_eq!(turn(100, "CHF", "GBP"), None);
    assert_eq!(turn(100, "CHF", "CHF"), Some(100));
}

#[test]
fn hundredths_are_whole() {
    let cents = |text: &str| {
        let number = Number::read(text).expect("a number");
        hundredths(Money {
            number,
            currency: *b"GBP",
        })
    };
    assert_eq!(cents("12.5"), Some(1250));
    assert_eq!(cents("1/4"), Some(25));
    assert_eq!(cents("0.100"), Some(10));
    assert_eq!(cents("1.999"), None);
    assert_eq!(cents("1/3"), None);
}

#[test]
fn over_the_budget_and_currencies() {
    is_clean(JOB);
    let poor = JOB.replace("budget 500 GBP", "budget 140 GBP");
    // 191.05 in all, 35 for what is sold: 156.05 net.
    let all = told(&compile_text(&poor));
    assert!(
        all.iter().any(|one| one.starts_with("over-budget")
            && one.contains(
                "the job costs 191.05 GBP, less 35 GBP for what is sold: 16.05 GBP over the budget"
            )),
        "{all:?}"
    );
    assert_eq!(
        rules_told(&JOB.replace("; rate 1 EUR is 0.86 GBP", "")),
        ["no-rate"]
    );
    // Without a budget the account is in what most sums are in.
    let done = compile_text(&JOB.replace("budget 500 GBP; ", ""));
    assert_eq!(done.money().currency, Some(*b"GBP"));
    assert_eq!(done.money().left(), None);
}

#[test]
fn sums_that_cannot_be() {
    for (from, to) in [
        ("budget 500 GBP", "budget 0 GBP"),
        ("budget 500 GBP", "budget -500 GBP"),
        ("cost 30 GBP; bought", "cost -30 GBP; bought"),
        ("sold for 20 GBP", "sold for -20 GBP"),
        ("hire 12.50 GBP a day", "hire -12.50 GBP a day"),
        ("cost 1.10 GBP", "cost 1.109 GBP"),
        ("bought 2026-02-20 28.50 GBP", "bought 2026-02-20 -28.50 GBP"),
        ("rate 1 EUR is 0.86 GBP", "rate 0 EUR is 0.86 GBP"),
        (
            "rate 1 EUR is 0.86 GBP",
            "rate 1 EUR is 0.86 EUR; rate 1 EUR is 0.86 GBP",
        ),
    ] {
        let text = JOB.replace(from, to);
        assert_ne!(text, JOB, "{from}");
        assert!(
            rules_told(&text).contains(&"impossible-figure"),
            "{to}: {:?}",
            rules_told(&text)
        );
    }
}

#[test]
fn what_cannot_be_read_is_a_sentence() {
    for (from, to) in [
        ("budget 500 GBP", "budget 500"),
        ("budget 500 GBP", "budget GBP"),
        ("rate 1 EUR is 0.86 GBP", "rate 1 EUR 0.86 GBP"),
        ("rate 1 EUR is 0.86 GBP", "rate 1 EUR is"),
        (
            "hire 12.50 GBP a day, 2026-03-07 to 2026-03-09",
            "hire 12.50 GBP, 2026-03-07 to 2026-03-09",
        ),
        (
            "hire 12.50 GBP a day, 2026-03-07 to 2026-03-09",
            "hire 12.50 GBP a day, 12.50 GBP a day",
        ),
        (
            "hire 12.50 GBP a day, 2026-03-07 to 2026-03-09",
            "hire 2026-03-07, 2026-03-09",
        ),
        ("bought 2026-02-20 28.50 GBP", "bought yesterday"),
        ("bought 2026-02-20 28.50 GBP", "bought 28.50 GBP"),
        ("sold 2026-03-02 15 GBP", "sold 15 GBP"),
    ] {
        let text = JOB.replace(from, to);
        assert_ne!(text, JOB, "{from}");
        assert!(
            rules_told(&text).contains(&"unreadable-line"),
            "{to}: {:?}",
            rules_told(&text)
        );
    }
}

#[test]
fn a_price_a_hundred_times_its_fellows() {
    const SMALL: &str = "part a \"A\"; new; mass 1 kg quoted; cost 40 GBP
part b \"B\"; new; mass 1 kg quoted; cost 50 GBP
part c \"C\"; new; mass 1 kg quoted; cost 60 GBP
";
    let asked = |more: &str| rules_told(&format!("{JOB}{SMALL}{more}")).contains(&"price-unlike-others");
    assert!(!asked(""));
    // The middle one of 30, 40, 42.99 (49.99 EUR), 50 and 60 is 42.99: a hundred times that is 4299, and more than ten times the next.
    assert!(asked("part d \"D\"; new; mass 1 kg quoted; cost 4299 GBP\n"));
    assert!(!asked("part d \"D\"; new; mass 1 kg quoted; cost 4298 GBP\n"));
    // Said for each side it is one price, and no fellow of itself.
    assert!(asked(
        "part d, each side \"D\"; new; mass 1 kg quoted; cost 4299 GBP\n"
    ));
    // Two of them are two slips; where a dear one is next to it, it is one of several dear things.
    assert!(asked(
        "part d \"D\"; new; mass 1 kg quoted; cost 4299 GBP\npart e \"E\"; new; mass 1 kg quoted; cost 5000 GBP\n"
    ));
    assert!(!asked(
        "part d \"D\"; new; mass 1 kg quoted; cost 4299 GBP\npart e \"E\"; new; mass 1 kg quoted; cost 500 GBP\n"
    ));
}

/// 0.86 one way is 1.163 the other; 1.15 is what a bank keeps for itself, and 2 is no rate of this plan.
#[test]
fn two_rates_between_two_currencies() {
    let with = |other: &str| {
        JOB.replace(
            "rate 1 EUR is 0.86 GBP",
            &format!("rate 1 EUR is 0.86 GBP; rate {other}"),
        )
    };
    let says = |other: &str| rules_told(&with(other)).contains(&"impossible-figure");
    assert!(says("1 GBP is 2 EUR"));
    assert!(says("1 EUR is 0.68 GBP"));
    assert!(!says("1 GBP is 1.15 EUR"));
    assert!(!says("1 USD is 0.79 GBP"));
}
