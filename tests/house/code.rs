//! Reads Rust source just far enough to see which paths, crates and macros it names. Knows the floors; knows nothing of
//! folders: every function here takes text.

use std::collections::BTreeSet;

/// Each room of `src/` and its floor. A file may name rooms of lower floors, and its own.
pub const FLOORS: &[(&str, u8)] = &[
    ("base", 0),
    ("syntax", 1),
    ("plan", 2),
    ("reckon", 2),
    ("weights", 3),
    ("walk", 4),
    ("analysis", 5),
    ("rules", 6),
    ("compile", 7),
    ("binder", 8),
    ("editor", 9),
    ("enter", 9),
    ("press", 10),
    ("desk", 11),
];

fn floor(room: &str) -> Option<u8> {
    FLOORS
        .iter()
        .find(|(known, _)| *known == room)
        .map(|(_, floor)| *floor)
}

/// The modules that a path under `src/` or `src/core/` lies in: `src/core/plan/read/acts.rs` is `plan`, `read`, `acts`.
fn modules(path: &str) -> Vec<&str> {
    let inner = path.strip_prefix("src/").unwrap_or(path);
    let inner = inner.strip_prefix("core/").unwrap_or(inner);
    let stem = inner.strip_suffix(".rs").unwrap_or(inner);
    match stem {
        "lib" | "main" => Vec::new(),
        _ => stem.split('/').collect(),
    }
}

/// The room of a file; the facade and `main` stand outside, as `""`. `None` where no such room was agreed.
pub fn room(path: &str) -> Option<&str> {
    match modules(path).first() {
        None => Some(""),
        Some(first) => floor(first).map(|_| *first),
    }
}

/// The modules that the facade declares.
pub fn rooms_of(lib: &str) -> Vec<String> {
    let words = Code::new(lib).words;
    words
        .windows(2)
        .filter(|pair| pair[0] == "mod")
        .map(|pair| pair[1].clone())
        .collect()
}

/// Files that hold only tests.
pub fn is_test_file(path: &str) -> bool {
    modules(path).contains(&"tests")
}

/// Words and signs of a source, without comments and without what stands in quotes.
pub struct Code {
    pub words: Vec<String>,
}

impl Code {
    pub fn new(text: &str) -> Self {
        Self { words: words(text) }
    }

    /// Without items under `#[cfg(test)]`.
    pub fn without_tests(text: &str) -> Self {
        let all = words(text);
        let mut kept = Vec::new();
        let mut at = 0;
        while at < all.len() {
            let rest = &all[at..];
            let marks = ["#", "[", "cfg", "(", "test", ")", "]"];
            if rest.len() >= marks.len() && rest.iter().zip(marks).all(|(word, mark)| word == mark) {
                at = item_end(&all, at + marks.len());
            } else {
                kept.push(all[at].clone());
                at += 1;
            }
        }
        Self { words: kept }
    }

    /// Rooms named by `crate::` paths, or else by `super::` paths that reach the crate's root.
    fn rooms(&self, path: &str, by_super: bool) -> BTreeSet<String> {
        let depth = modules(path).len();
        let mut found = BTreeSet::new();
        let mut at = 0;
        while at < self.words.len() {
            let start = at;
            let word = self.words[at].as_str();
            let mut rest = at + 1;
            let mut reaches = word == "crate" && !by_super;
            if word == "super" && by_super {
                let mut up = 1;
                while self.word(rest) == "::" && self.word(rest + 1) == "super" {
                    up += 1;
                    rest += 2;
                }
                reaches = up >= depth;
            }
            at = rest;
            // `pub(crate)` names nothing.
            let goes_on = self.word(rest) == "::";
            let in_path = start > 0 && self.word(start - 1) == "::";
            if reaches && goes_on && !in_path {
                found.extend(self.heads(rest + 1));
            }
        }
        found
    }

    /// Imports that point up, and rooms that nobody agreed on.
    pub fn climbs(path: &str, text: &str) -> Vec<String> {
        let own = modules(path);
        // The facade names every room; main names the desk.
        let Some(own_room) = own.first() else {
            return Vec::new();
        };
        let Some(own_floor) = floor(own_room) else {
            return vec![format!("{path} lies in a room that has no floor")];
        };
        let mut wrong = Vec::new();
        let mut rooms = Self::new(text).rooms(path, false);
        // An inline module of tests stands one deeper than its file, so that its `super` says less.
        rooms.extend(Self::without_tests(text).rooms(path, true));
        for named in rooms {
            match floor(&named) {
                None => wrong.push(format!("{path} names {named}, a room that has no floor")),
                Some(floor) if floor >= own_floor && named != *own_room => {
                    wrong.push(format!(
                        "{path} (floor {own_floor}) names {named} (floor {floor})"
                    ));
                }
                Some(_) => {}
            }
        }
        wrong
    }

    fn word(&self, at: usize) -> &str {
        self.words.get(at).map_or("", String::as_str)
    }

    /// First segments of a path or of a group of paths.
    fn heads(&self, at: usize) -> Vec<String> {
        if self.word(at) != "{" {
            return vec![self.word(at).to_owned()];
        }
        let mut all = Vec::new();
        let mut depth = 0;
        for n in at.. {
            match self.word(n) {
                "{" => depth += 1,
                "}" => depth -= 1,
                "" => break,
                word if depth == 1 && matches!(self.word(n - 1), "{" | ",") => all.push(word.to_owned()),
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
        all
    }

    /// First segments of all paths. A module that the file declares hides a crate of the same name.
    pub fn crates(&self) -> BTreeSet<String> {
        let mut all = BTreeSet::new();
        let own: BTreeSet<&str> = (1..self.words.len())
            .filter(|&at| self.word(at - 1) == "mod")
            .map(|at| self.word(at))
            .collect();
        for at in 0..self.words.len() {
            let heads_a_path = self.word(at + 1) == "::" && (at == 0 || self.word(at - 1) != "::");
            let imported = at > 0 && self.word(at - 1) == "use";
            if (heads_a_path || imported) && !own.contains(self.word(at)) {
                all.insert(self.word(at).to_owned());
            }
        }
        all
    }

    /// Calls that end the program, or speak where no floor below the desk may.
    pub fn giving_up(&self, path: &str) -> Vec<String> {
        let mut wrong = Vec::new();
        for at in 0..self.words.len() {
            let word = self.word(at);
            let call = self.word(at + 1) == "(" && at > 0 && self.word(at - 1) == ".";
            let mac = self.word(at + 1) == "!";
            let bad = match word {
                "unwrap" | "unwrap_err" => call,
                "println" | "print" | "eprintln" | "eprint" | "dbg" | "todo" | "unimplemented" => mac,
                _ => false,
            };
            if bad {
                wrong.push(format!("{path} says {word}"));
            }
        }
        wrong
    }
}

impl Code {
    /// Slices and texts indexed by a number or a range, where an entry may be missing. The compiler's own lint cannot tell them
    /// from the lists that are indexed by ids made with them, and is off where those are read.
    pub fn slices(&self, path: &str) -> Vec<String> {
        let mut wrong = Vec::new();
        for at in 1..self.words.len() {
            let before = self.word(at - 1);
            let indexes = before == ")"
                || before == "]"
                || (before.starts_with(|c: char| c.is_alphabetic()) && !KEYWORDS.contains(&before));
            if self.word(at) != "[" || !indexes {
                continue;
            }
            let inside: Vec<&str> = (at + 1..self.words.len())
                .map(|n| self.word(n))
                .take_while(|word| *word != "]")
                .collect();
            // The whole of a list is never missing.
            let range = inside.len() > 2 && inside.windows(2).any(|pair| pair == [".", "."]);
            let number = matches!(inside.as_slice(), [one] if one.starts_with(|c: char| c.is_ascii_digit()));
            if range || number {
                wrong.push(format!("{path} indexes {before}[{}]", inside.concat()));
            }
        }
        wrong
    }
}

/// What is declared in rows: a place that sorts by one of these is asked to name each, or to say why not.
const IN_ROWS: &[&str] = &[
    "ActKind",
    "Does",
    "DriveKind",
    "Hazard",
    "JointKind",
    "OnJoints",
    "OpeningAct",
];

/// Lines of arms `_ =>` in a `match` over what is declared in rows, with no comment on them or over them. Reads rustfmt's layout, in
/// which the arms of a `match` stand at one depth.
pub fn open_arms(text: &str) -> Vec<usize> {
    let lines: Vec<&str> = text.lines().collect();
    let depth = |line: &str| line.len() - line.trim_start().len();
    let in_rows = |line: &str| {
        let mut names = IN_ROWS.iter();
        names.any(|name| {
            line.match_indices(&format!("{name}::"))
                .any(|(at, _)| !line[..at].ends_with(|c: char| c.is_alphanumeric()))
        })
    };
    let mut found = Vec::new();
    for (nth, line) in lines.iter().enumerate() {
        let arm = line.trim_start();
        let open = arm.starts_with("_ =>") || arm.starts_with("_ if ");
        let above = nth.checked_sub(1).map_or("", |above| lines[above].trim_start());
        if !open || line.contains("//") || above.starts_with("//") {
            continue;
        }
        let own = depth(line);
        let before = lines[..nth].iter().rev().filter(|line| !line.trim().is_empty());
        let mut arms = before
            .take_while(|line| depth(line) >= own)
            .filter(|line| depth(line) == own);
        if arms.any(|line| in_rows(line)) {
            found.push(nth + 1);
        }
    }
    found
}

/// Words after which a bracket opens a list or a pattern.
const KEYWORDS: &[&str] = &[
    "as", "break", "dyn", "else", "for", "if", "impl", "in", "let", "match", "mut", "ref", "return",
    "static", "const", "vec",
];

/// Marks of unfinished work; comments count.
pub fn left_for_later(text: &str) -> impl Iterator<Item = &'static str> {
    ["TODO", "FIXME", "XXX", "#[ignore", "allow(dead_code"]
        .into_iter()
        .filter(|mark| text.contains(mark))
}

/// Entries of the top folder that were not agreed on.
pub fn strangers<'a>(entries: impl Iterator<Item = &'a str>, agreed: &[&str]) -> Vec<String> {
    entries
        .filter(|entry| !entry.starts_with('.') && !agreed.contains(entry))
        .map(|entry| format!("{entry} was not agreed on"))
        .collect()
}

/// Names of the program's own dependencies, as source writes them.
pub fn dependencies(manifest: &str) -> BTreeSet<String> {
    let manifest: toml::Table = manifest.parse().expect("the manifest is TOML");
    let table = manifest
        .get("dependencies")
        .and_then(toml::Value::as_table)
        .expect("dependencies");
    table.keys().map(|name| name.replace('-', "_")).collect()
}

/// Behind the item that begins here: its closing brace, or its semicolon.
fn item_end(words: &[String], from: usize) -> usize {
    let mut depth = 0usize;
    for (at, word) in words.iter().enumerate().skip(from) {
        match word.as_str() {
            "{" => depth += 1,
            "}" => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return at + 1;
                }
            }
            ";" if depth == 0 => return at + 1,
            _ => {}
        }
    }
    words.len()
}

fn words(text: &str) -> Vec<String> {
    let chars: Vec<char> = text.chars().collect();
    let is = |at: usize, c: char| chars.get(at) == Some(&c);
    let mut all = Vec::new();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        if c == '/' && is(at + 1, '/') {
            while at < chars.len() && !is(at, '\n') {
                at += 1;
            }
        } else if c == '/' && is(at + 1, '*') {
            while at < chars.len() && !(is(at, '*') && is(at + 1, '/')) {
                at += 1;
            }
            at += 2;
        } else if c == '"' {
            at = quoted_end(&chars, at + 1);
            all.push("\"\"".to_owned());
        } else if c == 'r'
            && (is(at + 1, '"') || (is(at + 1, '#') && matches!(chars.get(at + 2), Some('#' | '"'))))
        {
            let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
            at += 2 + hashes;
            while at < chars.len()
                && !(is(at, '"') && chars[at + 1..].iter().take_while(|c| **c == '#').count() >= hashes)
            {
                at += 1;
            }
            at += 1 + hashes;
            all.push("\"\"".to_owned());
        } else if c == '\'' {
            // A character, or else the name of a lifetime.
            if is(at + 1, '\\') {
                at += 3;
                while at < chars.len() && !is(at, '\'') {
                    at += 1;
                }
                at += 1;
            } else if is(at + 2, '\'') {
                at += 3;
            } else {
                at += 1;
            }
        } else if c.is_alphanumeric() || c == '_' {
            let from = at;
            while chars.get(at).is_some_and(|c| c.is_alphanumeric() || *c == '_') {
                at += 1;
            }
            all.push(chars[from..at].iter().collect());
        } else if c == ':' && is(at + 1, ':') {
            all.push("::".to_owned());
            at += 2;
        } else {
            if !c.is_whitespace() {
                all.push(c.to_string());
            }
            at += 1;
        }
    }
    all
}

fn quoted_end(chars: &[char], mut at: usize) -> usize {
    while let Some(&c) = chars.get(at) {
        match c {
            '\\' => at += 2,
            '"' => return at + 1,
            _ => at += 1,
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    fn climbs(path: &str, text: &str) -> usize {
        Code::climbs(path, text).len()
    }

    #[test]
    fn imports_that_climb_are_seen() {
        let up = "use crate::desk::write;";
        assert_eq!(climbs("src/plan/link.rs", up), 1);
        assert_eq!(climbs("src/core/plan/link.rs", up), 1);
        assert_eq!(climbs("src/desk.rs", up), 0);
        let group = "use crate::{base::source, press::terminal::{show, desk}, rules};";
        assert_eq!(climbs("src/plan/link.rs", group), 2);
        assert_eq!(climbs("src/desk/print.rs", group), 0);
        let inline = "fn f() -> crate::binder::document::Page { crate::base::x() }";
        assert_eq!(climbs("src/compile.rs", inline), 1);
        assert_eq!(climbs("src/binder/pages.rs", inline), 0);
        assert_eq!(
            climbs("src/reckon/mass.rs", "use crate::walk::State;"),
            1,
            "same floor"
        );
        assert_eq!(
            climbs("src/plan/link.rs", "use crate::cellar::x;"),
            1,
            "no such room"
        );
        assert_eq!(climbs("src/cellar/link.rs", ""), 1, "no such room");
    }

    #[test]
    fn climbing_by_super_is_seen_too() {
        let text = "use super::super::super::press::show;";
        assert_eq!(climbs("src/plan/read/acts.rs", text), 1);
        assert_eq!(climbs("src/plan/read/acts.rs", "use super::super::model::Id;"), 0);
        assert_eq!(climbs("src/plan.rs", "use super::desk;"), 1);
    }

    #[test]
    fn comments_texts_and_tests_count_for_nothing() {
        let text = "// use crate::desk;\nconst A: &str = \"crate::desk::x \\\" crate::press::y\"; /* crate::desk::z */\n\
                    const B: char = '\"'; pub(crate) fn f<'a>(x: &'a str) {}";
        assert_eq!(climbs("src/base/x.rs", text), 0);
        assert_eq!(
            climbs("src/base/x.rs", "const B: char = '\"'; use crate::desk::x;"),
            1
        );
        assert_eq!(
            climbs("src/base/x.rs", "const R: &str = r#\"a \" crate::desk::x\"#;"),
            0
        );
        let text = "fn a() {}\n#[cfg(test)]\nmod tests { fn t() { x.unwrap(); rayon::join(); } }\nfn b() { walkdir::x(); }";
        let code = Code::without_tests(text);
        assert!(code.giving_up("x").is_empty());
        assert_eq!(code.crates(), BTreeSet::from(["walkdir".to_owned()]));
        assert_eq!(
            Code::without_tests("#[cfg(test)]\nmod tests;\nfn b() { c.unwrap() }")
                .giving_up("x")
                .len(),
            1
        );
    }

    #[test]
    fn crates_are_seen_in_every_form() {
        let code = Code::new(
            "use miette::{Report, x}; #[derive(pest_derive::Parser)] fn f() { a::miette_b::c(); strsim::d(); } use typst;",
        );
        assert_eq!(
            code.crates(),
            ["a", "miette", "pest_derive", "strsim", "typst"]
                .map(str::to_owned)
                .into()
        );
        let code = Code::new("mod typst; fn f() { typst::print::f(); rayon::join() }");
        assert_eq!(code.crates(), BTreeSet::from(["rayon".to_owned()]));
    }

    #[test]
    fn giving_up_is_seen() {
        let text = "fn f() { a.unwrap(); println!(\"x\"); dbg!(y); b.unwrap_or(1); c.expect(\"a reason\"); }";
        assert_eq!(Code::new(text).giving_up("x").len(), 3);
        assert_eq!(left_for_later("// TODO: later\n#[ignore]\nfn f() {}").count(), 2);
    }

    #[test]
    fn open_arms_are_seen() {
        let open = "fn f(does: &Does) {\n    match does {\n        Does::Undo(_) => one(),\n        _ => {}\n    }\n}\n";
        assert_eq!(open_arms(open), [4]);
        let told = open.replace(
            "        _ =>",
            "        // Nothing else comes apart.\n        _ =>",
        );
        assert!(open_arms(&told).is_empty());
        assert!(open_arms(&open.replace("Does::Undo(_)", "Some(1)")).is_empty());
        assert!(open_arms(&open.replace("Does::Undo(_)", "Overdoes::Undo(_)")).is_empty());
    }

    #[test]
    fn slices_are_seen() {
        let text = "fn f(a: &[u8; 4]) { let [x, ..] = g(); a[0]; b.c()[1..n]; list[id]; for y in [1] {} vec![0]; #[x] d[..2]; e()[..]; }";
        assert_eq!(
            Code::new(text).slices("x").len(),
            3,
            "{:?}",
            Code::new(text).slices("x")
        );
    }

    #[test]
    fn strangers_and_dependencies() {
        assert_eq!(
            strangers(["src", ".ci", "notes.md"].into_iter(), &["src"]).len(),
            1
        );
        let manifest =
            "[dependencies]\npest-x = \"1\"\nb = { version = \"2\" }\n[dev-dependencies]\nc = \"1\"\n";
        assert_eq!(dependencies(manifest), ["pest_x", "b"].map(str::to_owned).into());
        assert_eq!(
            rooms_of("pub mod base;\n// mod x;\npub mod desk;"),
            ["base", "desk"]
        );
        assert!(is_test_file("src/press/terminal/tests.rs") && !is_test_file("src/press/terminal.rs"));
        assert_eq!(room("src/lib.rs"), Some(""));
        assert_eq!(room("src/attic/x.rs"), None);
    }
}
