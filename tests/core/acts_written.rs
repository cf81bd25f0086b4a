//! Acts that the program writes are read as the acts that they were: every act of the plans in `specs/`, written anew in its place,
//! gives the same plan.

use std::collections::BTreeMap;

use crate::support::{compile_files, plan_files, told};
use boltfolio_core::plan::write;

#[test]
fn every_act_of_the_plans_reads_as_it_was_written() {
    for folder in ["starter", "ouzel-front", "lathe-move"] {
        let files = plan_files(folder);
        let before = compile_files(&files);
        let mut texts: Vec<String> = files.iter().map(|(_, text)| text.clone()).collect();
        // A block for both sides is one text for two steps.
        let mut acts: BTreeMap<(usize, u32, u32), Vec<String>> = BTreeMap::new();
        for step in before.plan.steps.values().filter(|step| step.derived.is_none()) {
            for act in step.acts() {
                let place = (act.at.source.0 as usize, act.at.start, act.at.end);
                acts.entry(place)
                    .or_default()
                    .push(write::act(&before.plan, &act.does));
            }
        }
        assert!(acts.len() > 5, "{folder}");
        for ((source, start, end), written) in acts.iter().rev() {
            if let [one] = written.as_slice() {
                texts[*source].replace_range(*start as usize..*end as usize, one);
            }
        }
        let files: Vec<(String, String)> = files
            .into_iter()
            .zip(texts)
            .map(|((path, _), text)| (path, text))
            .collect();
        let after = compile_files(&files);
        assert_eq!(told(&after), told(&before), "{folder}");
        let all = |done: &boltfolio_core::compile::Compilation| -> Vec<String> {
            let steps = done.plan.order.iter().map(|&step| &done.plan.steps[step]);
            steps
                .flat_map(|step| {
                    step.acts()
                        .map(|act| write::act(&done.plan, &act.does))
                        .collect::<Vec<_>>()
                })
                .collect()
        };
        assert_eq!(all(&after), all(&before), "{folder}");
    }
}
