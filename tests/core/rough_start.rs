//! Whatever a list holds, it is told with its line, or it makes a plan that asks and has no fault. The lists are made by chance.

use crate::support::{compile_text, told};
use boltfolio_core::base::finding::Severity;
use boltfolio_core::enter::rough::{Row, plan};
use boltfolio_core::syntax::tidy::tidied;
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop, prop_oneof, proptest};

fn row(line: u64, cells: &[String]) -> Row {
    Row {
        line,
        cells: cells.to_vec(),
    }
}

fn name() -> impl Strategy<Value = String> {
    let words: Vec<&str> = "Seat|Lamp|front|both|all|to|1/4 plug|Ölwanne|shell|car|hoist|owner|floor|note|undo|a-b|-|\"|;|#|x; y|Wheel 15\"|  |\u{a0}|'|joint|in place of|Door (L)|strip|list|together|not-weighed"
        .split('|')
        .collect();
    prop_oneof![
        3 => prop::collection::vec(prop::sample::select(words), 1..4).prop_map(|words| words.join(" ")),
        1 => any::<String>(),
    ]
}

fn cell() -> impl Strategy<Value = String> {
    let cells: Vec<&str> = "|5|12,5|1.234,5|-3|0|5 kg|27 lb|?|£30|30 GBP|1e9|,|999999999999999999|off|on|shelf \"2\"|٣|5..5|1'000".split('|').collect();
    prop_oneof![
        4 => prop::sample::select(cells).prop_map(str::to_owned),
        1 => any::<String>(),
        1 => Just(String::new()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_list(
        called in any::<String>(),
        rows in prop::collection::vec((name(), cell(), cell(), cell(), prop::sample::select(vec!["", "off", "on"])), 1..6),
    ) {
        let heads = row(1, &["name", "mass kg", "cost GBP", "place", "off or on"].map(str::to_owned));
        let rows: Vec<Row> = (2..)
            .zip(&rows)
            .map(|(line, (name, mass, cost, place, way))| {
                row(line, &[name.clone(), mass.clone(), cost.clone(), place.clone(), (*way).to_owned()])
            })
            .collect();
        match plan(&called, "list.csv", &heads, &rows) {
            Ok(rough) => {
                let done = compile_text(&rough.text);
                let faults = done.findings.iter().any(|found| found.severity == Severity::Fault);
                assert!(!faults, "{}\n{:#?}", rough.text, told(&done));
                assert_eq!(tidied(&rough.text), rough.text);
            }
            Err(why) => assert!(why.starts_with("list.csv:") && why.ends_with('.'), "{why}"),
        }
    }

    #[test]
    fn any_heads(heads in prop::collection::vec(prop_oneof![name(), cell()], 0..5)) {
        let rows = [row(2, &["Seat".to_owned(), "5".to_owned()])];
        if let Err(why) = plan("car", "list.csv", &row(1, &heads), &rows) {
            assert!(why.starts_with("list.csv:"), "{why}");
        }
    }
}
