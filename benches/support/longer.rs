//! The demonstration done several times over, for a long job of real cards: in every round all that is taken apart and put in has names
//! of its own, while car, people, gear and cautions stay what they are.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Kinds of blocks that each round declares anew.
const OWN: &[&str] = &[
    "part", "joint", "step", "stage", "assembly", "swap", "weigh-in", "log", "fluid", "energy",
];

/// The demonstration's texts, and of its own blocks as many copies as asked for. The first round is the demonstration itself.
#[must_use]
pub fn longer(rounds: usize) -> Vec<(String, String)> {
    let mut files = Vec::new();
    gather(Path::new("specs/ouzel-front"), &mut files);
    gather(Path::new("specs/our-workshop"), &mut files);
    let own = |text: &str| -> BTreeSet<String> {
        text.lines()
            .filter_map(|line| {
                let mut words = line.split([' ', ':', ';', ',']);
                let kind = words.next().filter(|kind| OWN.contains(kind))?;
                let _ = kind;
                words.next().map(str::to_owned)
            })
            .collect()
    };
    let mut names: BTreeSet<String> = files.iter().flat_map(|(_, text)| own(text)).collect();
    // The body is the car's.
    names.remove("shell");
    let mut all = files.clone();
    for round in 1..rounds {
        for (path, text) in files.iter().filter(|(path, _)| path.contains("ouzel-front")) {
            let copied: String = blocks(text)
                .filter(|block| {
                    let mut words = block.split([' ', ':', ';', ',']);
                    words.next().is_some_and(|kind| OWN.contains(&kind)) && words.next() != Some("shell")
                })
                .map(|block| renamed(block, &names, round))
                .collect();
            all.push((path.replace(".boltplan", &format!("-{round}.boltplan")), copied));
        }
    }
    for (_, text) in &mut all {
        if let Some(line) = text
            .lines()
            .find(|line| line.starts_with("  stages "))
            .map(str::to_owned)
        {
            let more: String = (1..rounds)
                .map(|round| {
                    format!(
                        ", {}",
                        renamed(line.trim_start_matches("  stages "), &names, round)
                    )
                })
                .collect();
            *text = text.replace(&line, &format!("{line}{more}"));
        }
    }
    all
}

fn gather(folder: &Path, all: &mut Vec<(String, String)>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let mut paths: Vec<_> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            gather(&path, all);
        } else if path.extension().is_some_and(|end| end == "boltplan") {
            let text = fs::read_to_string(&path).unwrap_or_default();
            all.push((path.to_string_lossy().into_owned(), text));
        }
    }
}

/// Each block with its lines.
fn blocks(text: &str) -> impl Iterator<Item = &str> {
    let mut starts: Vec<usize> = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if line.starts_with(|sign: char| sign.is_ascii_lowercase()) {
            starts.push(at);
        }
        at += line.len();
    }
    starts.push(text.len());
    (1..starts.len()).filter_map(move |n| text.get(*starts.get(n - 1)?..*starts.get(n)?))
}

/// Names outside of quotes get the round's number; of a sided thing the last part of its name is its side.
fn renamed(block: &str, names: &BTreeSet<String>, round: usize) -> String {
    const SIDES: &[&str] = &["-left", "-right", "-front", "-rear", "-back"];
    let mut out = String::with_capacity(block.len() + 64);
    for (nth, piece) in block.split('"').enumerate() {
        if nth > 0 {
            out.push('"');
        }
        if nth % 2 == 1 {
            out.push_str(piece);
            continue;
        }
        for word in piece.split_inclusive(|sign: char| {
            !(sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-')
        }) {
            let end = word.trim_end_matches(|sign: char| {
                !(sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-')
            });
            let rest = word.get(end.len()..).unwrap_or_default();
            let side = SIDES.iter().find(|side| {
                !names.contains(end) && end.strip_suffix(**side).is_some_and(|stem| names.contains(stem))
            });
            let stem = side.map_or(end, |side| end.trim_end_matches(*side));
            let plural = stem
                .strip_suffix('s')
                .filter(|stem| !names.contains(&format!("{stem}s")) && names.contains(*stem));
            if names.contains(stem) {
                out.push_str(&format!("{stem}-{}", letter(round)));
            } else if let Some(single) = plural {
                out.push_str(&format!("{single}-{}s", letter(round)));
            } else {
                out.push_str(stem);
            }
            out.push_str(side.copied().unwrap_or_default());
            out.push_str(rest);
        }
    }
    out
}

fn letter(round: usize) -> String {
    format!("r{round}")
}

/// A plan of so many steps, each with a cover that comes off.
#[must_use]
pub fn covers(steps: usize) -> String {
    let mut text = String::from(
        "plan big \"A long job\"; for wren\nvehicle wren \"Wren 900\"; body shell\nperson ada \"Ada\"; lifts 20 kg\n",
    );
    for n in 0..steps {
        text.push_str(&format!(
            "part cover-{n} \"Cover {n}\"; mass 2 kg quoted\njoint cover-bolts-{n}: cover-{n} to shell; carries; bolts 4 x M8x1.25 class 8.8; head 13 mm; torque 22 N m\n\
             step round-{n} \"Cover {n} off\"; by ada; time 10 min (5 to 20); undo cover-bolts-{n}; take off cover-{n}\n"
        ));
    }
    text
}
