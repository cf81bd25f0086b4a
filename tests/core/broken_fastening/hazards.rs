//! Cautions and isolations taken out of the demonstration, or moved behind the act.

use boltfolio_core::compile::Compilation;

use super::{Files, ouzel, rules};

/// Lines of steps and stages that name cautions, with the name of the block and whether it is a step.
fn caution_lines(files: &Files) -> Vec<(usize, usize, String, String, bool)> {
    let (mut block, mut name) = (String::new(), String::new());
    let mut found = Vec::new();
    for (file, line, text) in files.lines() {
        if !text.starts_with(' ') && !text.trim().is_empty() && !text.starts_with('#') {
            let mut words = text.split(' ').map(str::to_owned);
            (block, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
        }
        let is_step = block == "step";
        if (is_step || block == "stage") && text.trim_start().starts_with("caution ") {
            found.push((file, line, text, name.clone(), is_step));
        }
    }
    found
}

/// The line with one of its cautions taken out, for each of them.
fn one_less(text: &str) -> Vec<(String, String)> {
    let names: Vec<&str> = text
        .trim_start()
        .trim_start_matches("caution ")
        .split(", ")
        .collect();
    names
        .iter()
        .enumerate()
        .map(|(nth, name)| {
            let left: Vec<&str> = names
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != nth)
                .map(|(_, name)| *name)
                .collect();
            let line = if left.is_empty() {
                String::new()
            } else {
                format!("  caution {}", left.join(", "))
            };
            ((*name).to_owned(), line)
        })
        .collect()
}

/// Whether an act of these steps meets what the caution is against.
fn is_met(compilation: &Compilation, block: &str, name: &str) -> bool {
    let plan = &compilation.plan;
    let caution = plan
        .cautions
        .values()
        .find(|caution| &*caution.head.name == name)
        .expect("a caution");
    compilation.walk.met.iter().any(|met| {
        let step = &plan.steps[met.step];
        let stage = step.stage.map(|stage| &*plan.stages[stage].head.name);
        let here = &*step.head.name == block || stage == Some(block);
        here && caution.against.iter().any(|said| said.value == met.hazard)
    })
}

/// A caution that nothing else stands in for is noticed every time. What is not noticed is guarded by another caution of the same step or
/// stage, or is against what no act tells: rolling, dust, edges, paint, an engine that was run.
#[test]
fn each_caution_removed() {
    let files = ouzel();
    let clean = files.compile();
    let (mut count, mut guarded, mut untold) = (0, Vec::new(), Vec::new());
    for (file, line, text, block, _) in caution_lines(&files) {
        for (name, changed) in one_less(&text) {
            count += 1;
            let told = rules(&files.with_line(file, line, &changed).compile());
            if told
                .iter()
                .any(|rule| ["hazard-without-caution", "never-used"].contains(rule))
            {
                continue;
            }
            assert!(told.is_empty(), "{text}: {told:?}");
            if is_met(&clean, &block, &name) {
                guarded.push(format!("{name} in {block}"));
            } else {
                untold.push(format!("{name} in {block}"));
            }
        }
    }
    println!(
        "caution removed: {} of {count} noticed",
        count - guarded.len() - untold.len()
    );
    println!("  another caution against the same stands: {guarded:#?}");
    println!("  no act tells of it: {untold:#?}");
    assert_eq!((count, guarded.len(), untold.len()), (98, 31, 39));
}

#[test]
fn each_caution_behind_its_act() {
    let files = ouzel();
    let lines = files.lines();
    let (mut count, mut missed) = (0, Vec::new());
    for (file, line, text, _, is_step) in caution_lines(&files) {
        if !is_step {
            continue;
        }
        // The last line of the step's block.
        let last = lines
            .iter()
            .filter(|(other, at, _)| *other == file && *at > line)
            .take_while(|(_, _, text)| text.starts_with(' ') || text.trim().is_empty())
            .filter(|(_, _, text)| !text.trim().is_empty())
            .map(|(_, at, _)| *at)
            .last()
            .unwrap_or(line);
        count += 1;
        let told = rules(&files.with_line_moved(file, line, last).compile());
        if !told.contains(&"caution-after-act") {
            missed.push(format!("{text} in {}:{}: {told:?}", files.all[file].0, line + 1));
        }
    }
    println!(
        "caution moved behind: {} of {count} noticed; not: {missed:#?}",
        count - missed.len()
    );
    assert_eq!((count, missed.len()), (55, 0));
}

/// What makes the supply dead, proves the circuit and lets the springs down: each such act taken out.
#[test]
fn each_isolation_removed() {
    let files = ouzel();
    let acts = [
        "  undo battery-earth",
        "  undo battery-plus",
        "  verify \"Odo has proved the circuit empty with his gauges and his sniffer, and has signed the paper\"",
        "  undo suction-flange, discharge-flange",
        "  press apart lower-ball-right with ball-press",
        "  tilt lower-arm-right about arm-pivot-right by 160 mm",
    ];
    for act in acts {
        let (file, line, _) = files
            .lines()
            .into_iter()
            .find(|(_, _, text)| text == act)
            .unwrap_or_else(|| panic!("{act} stands in the demonstration"));
        let told = rules(&files.with_line(file, line, "").compile());
        println!("without `{}`: {told:?}", act.trim());
        assert!(!told.is_empty(), "{act}");
    }
}
