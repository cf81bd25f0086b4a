//! The binder as one page for a telephone: all that must be found stands in it once, no text of a plan is ever markup or script, and nothing but
//! the page's own style and script may run. How it plays in browsers is judged by `.ci/run`.

use std::collections::BTreeMap;

use base64::Engine as _;
use sha2::{Digest, Sha256};

use crate::support::{compile_files, compile_text, plan_files, told};
use boltfolio::base::date::Date;
use boltfolio::binder::given_back::{GivenBack, given_back};
use boltfolio::binder::{Wanted, bind};
use boltfolio::compile::Compilation;
use boltfolio::press::{self, keys, shop};

fn made(done: &Compilation) -> (String, Vec<String>, GivenBack) {
    let wanted = Wanted::printed(Date::read("2026-03-07").expect("a day"));
    let mut document = bind(done, &wanted);
    press::pictures::prepare(&mut document).expect("its pictures");
    let given = given_back(done, &wanted);
    let page = String::from_utf8(shop::page(&document, &given)).expect("text");
    let keys = keys::keys(&document).into_iter().map(|named| named.key).collect();
    (page, keys, given)
}

/// Between two texts, each time.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Vec<&'a str> {
    let rest = text.split(from).skip(1);
    rest.map(|rest| rest.split(to).next().expect("a piece")).collect()
}

#[test]
fn all_that_must_be_found_stands_there_once() {
    for name in ["ouzel-front", "starter", "lathe-move", "siskin-choices"] {
        let (page, keys, _) = made(&compile_files(&plan_files(name)));
        let mut found: BTreeMap<&str, usize> = BTreeMap::new();
        for key in between(&page, "data-k=\"", "\"") {
            *found.entry(key).or_default() += 1;
        }
        for key in &keys {
            assert_eq!(found.get(key.as_str()), Some(&1), "{name}: {key}");
        }
        assert_eq!(found.len(), keys.len(), "{name}: keys of nothing");
        assert!(page.len() < 1_000_000, "{name}: {} bytes", page.len());
    }
}

/// Content Security Policy Level 3, "Does element match source list for type and source?": the hash is of the element's own text.
#[test]
fn only_its_own_style_and_script_may_run() {
    let (page, ..) = made(&compile_files(&plan_files("starter")));
    let hash = |text: &str| base64::engine::general_purpose::STANDARD.encode(Sha256::digest(text.as_bytes()));
    let policy = between(&page, "http-equiv=\"Content-Security-Policy\" content=\"", "\"");
    assert_eq!(policy.len(), 1);
    let [style] = between(&page, "<style>", "</style>")[..] else {
        panic!("one style")
    };
    let [script] = between(&page, "<script>", "</script>")[..] else {
        panic!("one script")
    };
    assert_eq!(
        policy[0],
        format!(
            "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; img-src data:; base-uri 'none'; form-action 'none'",
            hash(script),
            hash(style)
        ),
        "write these hashes into src/press/shop.rs"
    );
    for never in [
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "eval(",
        "fetch(",
        "XMLHttpRequest",
        "WebSocket",
        "localStorage",
    ] {
        assert!(!script.contains(never), "{never}");
    }
    assert!(!page.contains(" style=\"") && !page.contains(" onclick=") && !page.contains("href="));
}

const HOSTILE: &str = r#"plan p "</script><script>alert(1)</script> & <b>"; for v; target save 1 kg
vehicle v "V'<img src=x onerror=alert(1)>"; body shell
person ada "Ada <i>"; lifts 20 kg
part seat "Seat ]]> <!-- {{x}} \u2028"; mass 10 kg weighed; afterwards for sale
joint bolt "Bolt TURN reversed": seat to shell; bolts 2 x M8x1.25 class 8.8; head 13 mm; gone "plugs"
step out "Out --> </textarea>"; by ada; hold seat by ada; undo bolt; take off seat; weigh seat; look "`${alert(1)}`"
"#;

#[test]
fn a_plans_texts_are_shown_and_never_run() {
    let (page, ..) = made(&compile_text(&HOSTILE.replace("TURN", "\u{202e}")));
    assert_eq!(page.matches("<script").count(), 2);
    assert_eq!(page.matches("</script").count(), 2);
    assert!(!page.contains("<img src=x") && !page.contains("<i>") && !page.contains("<!--"));
    assert!(page.contains("&lt;/script&gt;&lt;script&gt;alert(1)"));
    assert!(!page.contains('\u{202e}'), "nothing turns the reading direction");
    let [island] = between(
        &page,
        "<script id=\"facts\" type=\"application/json\">",
        "</script>",
    )[..] else {
        panic!("one island")
    };
    let facts: serde_json::Value = serde_json::from_str(island).expect("JSON");
    assert_eq!(facts["steps"][0]["name"], "out");
    assert_eq!(facts["people"][0][1], "Ada <i>");
}

/// What stands before a figure in the log is the plan's own language, and the words of each letter are found again among the acts.
#[test]
fn what_is_given_back_is_the_plans_own_language() {
    let done = compile_files(&plan_files("ouzel-front"));
    let (.., given) = made(&done);
    assert_eq!(given.plan, "ouzel-front");
    let mut texts = vec![String::new(); 10];
    for of_step in &given.steps {
        let id = done
            .plan
            .order
            .iter()
            .copied()
            .find(|&id| *done.plan.steps[id].head.name == *of_step.name)
            .expect("the step");
        assert!(!of_step.rows.is_empty(), "{}", of_step.name);
        let mut blanks = Vec::new();
        for row in &of_step.rows {
            if let Some(words) = &row.words {
                let found = boltfolio::plan::halts::all_found(&done.plan, id, words);
                assert_eq!(found.len(), 1, "{words}");
            }
            blanks.extend(&row.blanks);
        }
        for (nth, text) in texts.iter_mut().enumerate() {
            let lines: Vec<String> = blanks
                .iter()
                .filter_map(|blank| Some(format!("  {} 1.5 {}\n", blank.writes, blank.units.get(nth)?)))
                .collect();
            if !lines.is_empty() {
                text.push_str(&format!("log {}\n{}", of_step.name, lines.concat()));
            }
        }
    }
    for text in texts.into_iter().filter(|text| !text.is_empty()) {
        let mut files = plan_files("ouzel-front");
        files.push(("given.boltplan".to_owned(), text.clone()));
        let read = compile_files(&files);
        let unread: Vec<String> = told(&read)
            .into_iter()
            .filter(|told| told.contains("given.boltplan") && told.contains("unreadable"))
            .collect();
        assert!(unread.is_empty(), "{unread:#?}\n{text}");
    }
}

#[test]
fn the_same_plan_gives_the_same_page() {
    let page = || made(&compile_files(&plan_files("starter"))).0;
    assert_eq!(page(), page());
}
