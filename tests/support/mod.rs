//! What several tests share: reading fenced plans out of Markdown, and compiling small plans.

#![allow(dead_code, reason = "each test program uses some of these")]

use std::path::Path;

use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::Source;
use boltfolio_core::compile::{self, Compilation, compile};
use boltfolio_core::rules;

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

/// This rule is not told of the plan, whatever else is.
#[track_caller]
pub fn tells_not(rule: &str, text: &str) {
    let all = rules_told(text);
    assert!(!all.contains(&rule), "{rule} is among {all:?} of\n{text}");
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

/// The root of the repository: a package that lies below it runs its tests from its own folder.
pub fn root() -> &'static Path {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut above = own.ancestors();
    above
        .find(|folder| folder.join("specs").is_dir())
        .expect("specs/ lies above")
}

/// Path from the root, text, and whether it is the workshop's.
pub type Texts = Vec<(String, String, bool)>;

/// The files of a plan under `specs/` and of the workshop that it names, in order of their paths.
pub fn plan_texts(name: &str) -> Texts {
    fn gather(folder: &str, shared: bool, all: &mut Texts) {
        let entries = std::fs::read_dir(root().join(folder)).expect("a folder of specs");
        let mut names: Vec<String> = entries
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("a name")
            })
            .collect();
        names.sort();
        for name in names {
            let path = format!("{folder}/{name}");
            if root().join(&path).is_dir() {
                gather(&path, shared, all);
            } else if path.ends_with(".boltplan") {
                let text = std::fs::read_to_string(root().join(&path)).expect("a plan is text");
                all.push((path, text, shared));
            }
        }
    }
    let mut all = Texts::new();
    gather(&format!("specs/{name}"), false, &mut all);
    if let Some(named) = compile::workshop_named(&sources_of(&all)) {
        gather(
            &format!("specs/{}", named.trim_start_matches("../")),
            true,
            &mut all,
        );
    }
    all
}

pub fn sources_of(texts: &Texts) -> Vec<Source> {
    let one =
        |(path, text, shared): &(String, String, bool)| Source::new(path.clone(), text.clone(), *shared);
    texts.iter().map(one).collect()
}

/// The same as one plan of no workshop.
pub fn plan_files(name: &str) -> Vec<(String, String)> {
    let texts = plan_texts(name).into_iter();
    texts.map(|(path, text, _)| (path, text)).collect()
}
