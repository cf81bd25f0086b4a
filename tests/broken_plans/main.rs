//! Breaks the clean demonstration plans mechanically, and counts the breaks that the compiler notices. The others stand in
//! `as_good.txt`, each with the reason why the plan is just as good with it; that list may only shrink.
//! `cargo test --test broken_plans -- --nocapture` prints the shares.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod breaks;
mod judge;
mod load;
mod mentions;

use judge::{Judged, Listed};

/// Of the noticed breaks, how many in a hundred have a finding that stands at, or names, the place.
const PLACED: f64 = 95.0;

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
    for one in all.iter().filter(|one| one.findings > 0 && !one.placed) {
        println!(
            "elsewhere: {} | {} | {}: {:?}",
            one.plan, one.kind, one.place, one.said
        );
    }
    for one in all.iter().filter(|one| one.findings > 4) {
        println!(
            "many: {} | {} | {}: {:?}",
            one.plan, one.kind, one.place, one.said
        );
    }
    let listed = Listed::read(include_str!("as_good.txt"));
    let wrong = listed.against(&all);
    assert!(wrong.is_empty(), "{wrong}");
    let noticed = all.iter().filter(|one| one.findings > 0).count();
    let placed = all.iter().filter(|one| one.placed).count();
    let share = placed as f64 * 100.0 / noticed as f64;
    assert!(
        share >= PLACED,
        "only {share:.1} of 100 noticed breaks have a finding at their place"
    );
}
