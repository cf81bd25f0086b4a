//! What several tests share: reading fenced plans out of Markdown, and compiling small plans.

#![allow(
    dead_code,
    reason = "each test file is a crate of its own and uses some of these"
)]

use boltfolio::base::picture::NoPictures;
use boltfolio::base::source::Source;
use boltfolio::compile::{Compilation, compile};
use boltfolio::rules;

/// The plans fenced as `boltplan` in a Markdown text, in order. `{U+202E}` stands for that character.
pub fn fences(markdown: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut open: Option<String> = None;
    for line in markdown.lines() {
        match &mut open {
            None if line.trim() == "```boltplan" => open = Some(String::new()),
            Some(_) if line.trim() == "```" => all.extend(open.take()),
            Some(text) => {
                text.push_str(line);
                text.push('\n');
            }
            None => {}
        }
    }
    all.into_iter().map(|text| characters(&text)).collect()
}

fn characters(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("{U+") {
        out.push_str(&rest[..at]);
        let end = at + rest[at..].find('}').expect("a closing brace");
        let code = u32::from_str_radix(&rest[at + 3..end], 16).expect("hexadecimal");
        out.push(char::from_u32(code).expect("a character"));
        rest = &rest[end + 1..];
    }
    out.push_str(rest);
    out
}

/// Files of a fence that holds several, each begun by `# file: NAME`.
pub fn files(fence: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for line in fence.lines() {
        match line.strip_prefix("# file: ") {
            Some(name) => all.push((name.trim().to_owned(), String::new())),
            None => {
                if all.is_empty() {
                    all.push(("plan.boltplan".to_owned(), String::new()));
                }
                let text = &mut all.last_mut().expect("pushed above").1;
                text.push_str(line);
                text.push('\n');
            }
        }
    }
    all
}

pub fn compile_files(files: &[(String, String)]) -> Compilation {
    compile(
        files
            .iter()
            .map(|(name, text)| Source::new(name.clone(), text.clone(), false))
            .collect(),
        &NoPictures,
    )
}

pub fn compile_text(text: &str) -> Compilation {
    compile_files(&[("plan.boltplan".to_owned(), text.to_owned())])
}

/// Findings as `rule at line: what`.
pub fn told(compilation: &Compilation) -> Vec<String> {
    compilation
        .findings
        .iter()
        .map(|finding| {
            let place = finding
                .place()
                .map(|at| compilation.sources.place(at))
                .unwrap_or_default();
            format!("{} {place}: {}", finding.rule.name, finding.what)
        })
        .collect()
}

/// Rules that are told of a plan, each once, without what is never used.
pub fn rules_told(text: &str) -> Vec<&'static str> {
    let done = compile_text(text);
    let mut rules: Vec<&'static str> = done.findings.iter().map(|finding| finding.rule.name).collect();
    rules.retain(|rule| *rule != "never-used");
    rules.sort_unstable();
    rules.dedup();
    rules
}

/// This rule is told of the plan, whatever else is.
#[track_caller]
pub fn tells(rule: &str, text: &str) {
    let all = rules_told(text);
    assert!(all.contains(&rule), "{rule} is not among {all:?} of\n{text}");
}

/// Nothing is told of the plan but what is never used.
#[track_caller]
pub fn is_clean(text: &str) {
    let all = told(&compile_text(text));
    let all: Vec<&String> = all
        .iter()
        .filter(|told| !told.starts_with("never-used "))
        .collect();
    assert!(all.is_empty(), "{all:#?}\n{text}");
}

/// Those findings alone that are about the text and its names, for plans that are no job which could be done.
pub fn told_of_text(compilation: &Compilation) -> Vec<String> {
    let of_text: Vec<String> = rules::catalogue()
        .iter()
        .filter(|family| ["reading", "names", "accepting"].contains(&family.name))
        .flat_map(|family| family.rules.iter().map(|rule| format!("{} ", rule.name)))
        .collect();
    told(compilation)
        .into_iter()
        .filter(|text| of_text.iter().any(|rule| text.starts_with(rule)))
        .collect()
}

/// All plan files of a folder, each with its path, and those of the shared workshop beside it.
pub fn plan_files(folder: &str) -> Vec<(String, String)> {
    fn gather(folder: &std::path::Path, all: &mut Vec<(String, String)>) {
        let entries = std::fs::read_dir(folder).expect("a folder");
        let mut paths: Vec<_> = entries.map(|entry| entry.expect("an entry").path()).collect();
        paths.sort();
        for path in paths {
            if path.is_dir() {
                gather(&path, all);
            } else if path.extension().is_some_and(|end| end == "boltplan") {
                let text = std::fs::read_to_string(&path).expect("a text");
                all.push((path.to_string_lossy().replace('\\', "/"), text));
            }
        }
    }
    let mut all = Vec::new();
    gather(std::path::Path::new(folder), &mut all);
    let shared = all
        .iter()
        .any(|(_, text)| text.contains("workshop \"../our-workshop\""));
    if shared {
        gather(std::path::Path::new("specs/our-workshop"), &mut all);
    }
    all
}
