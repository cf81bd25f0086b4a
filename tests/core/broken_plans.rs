//! Breaks the clean demonstration plans mechanically, and counts the breaks that the compiler notices. The others stand in
//! `as_good.txt`, each with the reason why the plan is just as good with it; that list may only shrink.
//! `cargo test --test core broken_plans -- --nocapture` prints the shares.

pub mod breaks;
mod judge;
pub mod load;
pub mod mentions;

use judge::{Judged, Listed};

/// Of the noticed breaks, how many in a hundred have a finding that stands at, or names, the place.
const PLACED: f64 = 95.0;

const AS_GOOD: &str = include_str!("broken_plans/as_good.txt");

fn judged() -> Vec<Judged> {
    let mut all = Vec::new();
    for plan in load::PLANS {
        let texts = load::texts(plan);
        let clean = load::compiled(&texts);
        assert!(
            clean.findings.is_empty(),
            "{plan} is clean: {:#?}",
            clean.findings
        );
        all.extend(judge::all(plan, &texts, breaks::all(&clean)));
    }
    all
}

#[test]
fn breaks_are_noticed_where_they_are() {
    let all = judged();
    println!("{}", judge::table(&all));
    let elsewhere = all.iter().filter(|one| one.is_noticed() && !one.placed);
    for one in elsewhere {
        println!(
            "noticed elsewhere: {}\n      {}",
            one.key(),
            one.said.join("\n      ")
        );
    }
    let wrong = Listed::read(AS_GOOD).against(&all);
    assert!(wrong.is_empty(), "{wrong}");
    let noticed = all.iter().filter(|one| one.is_noticed()).count();
    let placed = all.iter().filter(|one| one.placed).count();
    let share = placed as f64 * 100.0 / noticed as f64;
    assert!(
        share >= PLACED,
        "only {share:.1} of 100 noticed breaks have a finding at their place"
    );
}

#[test]
fn the_list_can_fail() {
    let break_of = |place: &str, said: &[&str]| Judged {
        plan: "starter",
        kind: "act deleted: look".to_owned(),
        place: place.to_owned(),
        placed: !said.is_empty(),
        said: said.iter().map(|what| (*what).to_owned()).collect(),
    };
    let all = [break_of("a: look", &[]), break_of("b: look", &["not-on: `b`"])];
    let list = |text: &str| Listed::read(text).against(&all);
    let a = "because it looks\n  starter | act deleted: look | a: look\n";
    assert_eq!(list(a), "");
    assert!(list("# nothing\n").contains("  starter | act deleted: look | a: look\n"));
    for (more, says) in [("b: look", "not-on: `b`"), ("c: look", "no such break")] {
        let text = format!("{a}  starter | act deleted: look | {more}\n");
        assert!(list(&text).contains(says), "{more}");
    }
}
