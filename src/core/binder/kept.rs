//! What outlives a print: the numbers of steps and bags as they were first printed, and what stood on which page, so that the next print
//! can say what changed. A small text that lies beside the binder. Knows no page, no disk.

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::model::{Id, Plan, Step};

/// The numbers, and the last two prints that differed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// Number by the step's name.
    pub steps: BTreeMap<String, String>,
    /// Number by the joint's name.
    pub bags: BTreeMap<String, usize>,
    /// By the step's name the letters of its card, each with the words of the last act that is done when it is ticked.
    pub letters: BTreeMap<String, Vec<(String, String)>>,
    /// The last print.
    pub now: Print,
    /// The last one that differed from it; none before there were two.
    pub before: Option<Print>,
}

/// One print: what it is known by, what each page is called, and a short hash of its content.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Print {
    /// "plan 74c9, dated 2026-03-07"
    pub words: String,
    /// Number, empty where it has none, and title by the page.
    pub called: BTreeMap<String, (String, String)>,
    /// Hash of what stands on it, by the page.
    pub pages: BTreeMap<String, String>,
}

const HEAD: &str = "# Numbers of steps and bags as first printed, and what stood on the pages then. Kept beside the binder, so that numbers\n\
                    # on bags and paper stay true. Without this file the next print counts anew.\n";

/// In which form the content of a page is hashed. It is raised whenever the blocks of the document take another form: what was hashed in
/// another form cannot be compared, and would tell an owner to change every page. A file that says none is of the first.
const FORM: &str = "3";

/// Stands where a page has no number.
const NO_NUMBER: &str = "-";

impl Kept {
    /// Reads what an earlier print left; lines that make no sense are passed over.
    #[must_use]
    pub fn read(text: &str) -> Kept {
        let mut kept = Kept::default();
        let mut form = "1";
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            let mut words = line.splitn(3, ' ');
            match (words.next(), words.next(), words.next()) {
                (Some("step"), Some(number), Some(name)) => {
                    kept.steps.insert(name.to_owned(), number.to_owned());
                }
                (Some("bag"), Some(number), Some(name)) => {
                    if let Ok(number) = number.parse() {
                        kept.bags.insert(name.to_owned(), number);
                    }
                }
                (Some("act"), Some(letter), Some(rest)) => {
                    if let Some((step, words)) = rest.split_once(' ') {
                        let letters = kept.letters.entry(step.to_owned()).or_default();
                        letters.push((letter.to_owned(), words.to_owned()));
                    }
                }
                (Some("now"), Some(hash), Some(page)) => {
                    kept.now.pages.insert(page.to_owned(), hash.to_owned());
                }
                (Some("before"), Some(hash), Some(page)) => {
                    let before = kept.before.get_or_insert_default();
                    before.pages.insert(page.to_owned(), hash.to_owned());
                }
                (Some("called"), Some(print), Some(rest)) => {
                    let print = if print == "now" {
                        &mut kept.now
                    } else {
                        kept.before.get_or_insert_default()
                    };
                    let mut words = rest.splitn(3, ' ');
                    if let (Some(page), Some(number), Some(title)) =
                        (words.next(), words.next(), words.next())
                    {
                        let number = if number == NO_NUMBER { "" } else { number };
                        print
                            .called
                            .insert(page.to_owned(), (number.to_owned(), title.to_owned()));
                    }
                }
                (Some("form"), Some(said), None) => form = said,
                (Some("print"), Some("now"), Some(words)) => words.clone_into(&mut kept.now.words),
                (Some("print"), Some("before"), Some(words)) => {
                    words.clone_into(&mut kept.before.get_or_insert_default().words);
                }
                _ => {}
            }
        }
        if form != FORM {
            kept.now = Print::default();
            kept.before = None;
        }
        kept
    }

    /// Steps and joints that were renamed keep number, letters and bag: what is known under the old name goes by the new one. A step that
    /// a stage derives is renamed with the one that it undoes.
    #[must_use]
    pub fn renamed(mut self, plan: &Plan) -> Kept {
        for step in plan.steps.values() {
            let from = step
                .derived
                .as_ref()
                .and_then(|derived| plan.steps.get(derived.from));
            let was = match (&step.head.was, from) {
                (Some(was), _) => Some(was.to_string()),
                (None, Some(from)) => {
                    let rest = step.head.name.strip_prefix(&*from.head.name);
                    from.head
                        .was
                        .as_ref()
                        .zip(rest)
                        .map(|(was, rest)| format!("{was}{rest}"))
                }
                (None, None) => None,
            };
            let Some(was) = was else { continue };
            let name = step.head.name.to_string();
            let taken = plan.steps.values().any(|other| *other.head.name == was);
            if taken || self.steps.contains_key(&name) {
                continue;
            }
            if let Some(number) = self.steps.remove(&was) {
                self.steps.insert(name.clone(), number);
            }
            if let Some(letters) = self.letters.remove(&was) {
                self.letters.insert(name, letters);
            }
        }
        for joint in plan.joints.values() {
            let Some(was) = joint.head.was.as_deref() else {
                continue;
            };
            let taken = plan.joints.values().any(|other| &*other.head.name == was);
            if taken || self.bags.contains_key(&*joint.head.name) {
                continue;
            }
            if let Some(bag) = self.bags.remove(was) {
                self.bags.insert(joint.head.name.to_string(), bag);
            }
        }
        self
    }

    /// One line a fact, sorted; `read` takes it back.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text = HEAD.to_owned();
        if FORM != "1" {
            text.push_str(&format!("form {FORM}\n"));
        }
        let mut line = |words: [&str; 3]| {
            text.push_str(&words.join(" "));
            text.push('\n');
        };
        for (name, number) in &self.steps {
            line(["step", number, name]);
        }
        for (name, number) in &self.bags {
            line(["bag", &number.to_string(), name]);
        }
        for (step, letters) in &self.letters {
            for (letter, words) in letters {
                line(["act", letter, &format!("{step} {words}")]);
            }
        }
        let prints = [("now", Some(&self.now)), ("before", self.before.as_ref())];
        for (word, print) in prints {
            let Some(print) = print else { continue };
            line(["print", word, &print.words]);
            for (page, hash) in &print.pages {
                line([word, hash, page]);
            }
            for (page, (number, title)) in &print.called {
                let number = if number.is_empty() { NO_NUMBER } else { number };
                // A title on two lines would be read as two.
                let title = title.split_whitespace().collect::<Vec<_>>().join(" ");
                line(["called", word, &format!("{page} {number} {title}")]);
            }
        }
        text
    }

    /// Whether nothing was printed before.
    #[must_use]
    pub fn is_first(&self) -> bool {
        self.now.pages.is_empty()
    }

    /// Takes in a print. One that differs from the last becomes the last, and what was last becomes the one before.
    pub fn turn(&mut self, print: Print) {
        if self.now.pages == print.pages {
            return;
        }
        let old = std::mem::replace(&mut self.now, print);
        self.before = (!old.pages.is_empty()).then_some(old);
    }

    /// Pages that changed or are new since the print before, and those that are gone.
    #[must_use]
    pub fn changed(&self) -> (BTreeSet<String>, BTreeSet<String>) {
        let Some(before) = &self.before else {
            return Default::default();
        };
        let now = &self.now.pages;
        let changed = now
            .iter()
            .filter(|(page, hash)| before.pages.get(*page) != Some(hash));
        let gone = before.pages.keys().filter(|page| !now.contains_key(*page));
        (
            changed.map(|(page, _)| page.clone()).collect(),
            gone.cloned().collect(),
        )
    }

    /// A number for each step of the work: its own from the first print, else its place; one that was put between others later is
    /// 3.4a behind 3.4.
    #[must_use]
    pub fn numbers(&self, plan: &Plan) -> BTreeMap<Id<Step>, String> {
        let mut numbers = BTreeMap::new();
        if self.steps.is_empty() {
            numbers.extend(plan.order.iter().map(|&step| (step, plan.step_number(step))));
            return numbers;
        }
        let mut taken: BTreeSet<String> = self.steps.values().cloned().collect();
        let mut last: Option<(Option<Id<_>>, String)> = None;
        for (at, &step) in plan.order.iter().enumerate() {
            let known = self.steps.get(&*plan.steps[step].head.name);
            let stage = plan.steps[step].stage;
            let number = known.cloned().unwrap_or_else(|| {
                let earlier = last
                    .as_ref()
                    .filter(|(other, _)| *other == stage)
                    .map(|(_, number)| number.as_str());
                let wanted = plan.step_number(step);
                let ends = !plan.order.iter().skip(at).any(|&later| {
                    plan.steps[later].stage == stage && self.steps.contains_key(&*plan.steps[later].head.name)
                });
                match earlier {
                    // Behind all others of its stage it takes the next number.
                    Some(earlier) if ends => next(earlier, &taken),
                    Some(earlier) => lettered(earlier, &taken),
                    None if taken.contains(&wanted) => lettered(&before_first(&wanted), &taken),
                    None => wanted,
                }
            });
            taken.insert(number.clone());
            last = Some((stage, number.clone()));
            numbers.insert(step, number);
        }
        numbers
    }
}

/// "3.4" and "3.4b" in the figures and the letters behind them.
fn stem(number: &str) -> &str {
    number.trim_end_matches(|c: char| c.is_ascii_lowercase())
}

/// "3.0" of "3.1": what stands before the first.
fn before_first(number: &str) -> String {
    match number.rsplit_once('.') {
        Some((stage, _)) => format!("{stage}.0"),
        None => "0".to_owned(),
    }
}

/// The number with the first letter behind it that is free.
fn lettered(number: &str, taken: &BTreeSet<String>) -> String {
    let stem = stem(number);
    let after = number.get(stem.len()..).unwrap_or_default();
    let mut letters = ('a'..='z')
        .map(|letter| letter.to_string())
        .chain(('a'..='z').flat_map(|first| ('a'..='z').map(move |second| format!("{first}{second}"))));
    // A letter behind the last one, so that the order on paper is that of the work.
    let found = letters.find(|letter| {
        let later = after.is_empty() || (letter.len(), letter.as_str()) > (after.len(), after);
        later && !taken.contains(&format!("{stem}{letter}"))
    });
    found.map_or_else(|| format!("{number}+"), |letter| format!("{stem}{letter}"))
}

/// The next whole number of the stage that is free.
fn next(number: &str, taken: &BTreeSet<String>) -> String {
    let stem = stem(number);
    let (stage, last) = stem
        .rsplit_once('.')
        .map_or(("", stem), |(stage, last)| (stage, last));
    let from: usize = last.parse().unwrap_or(0);
    let dot = if stage.is_empty() { "" } else { "." };
    (from + 1..from + 10_000)
        .map(|n| format!("{stage}{dot}{n}"))
        .find(|number| !taken.contains(number))
        .unwrap_or_else(|| lettered(number, taken))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(all: &[&str]) -> BTreeSet<String> {
        all.iter().map(|&one| one.to_owned()).collect()
    }

    /// What was hashed in another form is not compared; numbers stay.
    #[test]
    fn another_form_is_no_change() {
        let text = "step 1.1 out\nbag 1 seat-bolts\nprint now plan 1\nnow 12345678 step/out\n";
        assert_eq!(Kept::read(&format!("form {FORM}\n{text}")).now.pages.len(), 1);
        assert!(
            Kept::read(text).now.pages.is_empty(),
            "one that says none is of the first form"
        );
        let other = Kept::read(&format!("form 999\n{text}"));
        assert!(other.now.pages.is_empty() && other.before.is_none());
        assert_eq!((other.steps.len(), other.bags.len()), (1, 1));
    }

    #[test]
    fn what_comes_between_gets_a_letter() {
        assert_eq!(lettered("3.4", &taken(&["3.4", "3.5"])), "3.4a");
        assert_eq!(lettered("3.4a", &taken(&["3.4", "3.4a"])), "3.4b");
        assert_eq!(lettered("3.4z", &taken(&["3.4z"])), "3.4aa");
        assert_eq!(lettered("7", &taken(&["7"])), "7a");
        assert_eq!(next("3.4a", &taken(&["3.5"])), "3.6");
        assert_eq!(next("7", &taken(&[])), "8");
        assert_eq!(before_first("3.1"), "3.0");
    }

    #[test]
    fn what_is_written_is_read_again() {
        let mut kept = Kept::default();
        kept.steps.insert("axle-off".to_owned(), "2.8".to_owned());
        kept.bags.insert("u-bolts".to_owned(), 12);
        let print = |words: &str, hash: &str| Print {
            words: words.to_owned(),
            called: BTreeMap::from([
                (
                    "step/axle-off".to_owned(),
                    ("2.8".to_owned(), "Axle off, at last".to_owned()),
                ),
                ("torque".to_owned(), (String::new(), "Torque table".to_owned())),
            ]),
            pages: BTreeMap::from([("step/axle-off".to_owned(), hash.to_owned())]),
        };
        kept.turn(print("plan 1111, dated 2026-03-07", "aa"));
        assert_eq!(kept.before, None, "the first print has none before it");
        kept.turn(print("plan 2222, dated 2026-03-08", "bb"));
        assert_eq!(Kept::read(&kept.write()), kept);
        assert_eq!(kept.changed().0, BTreeSet::from(["step/axle-off".to_owned()]));
        // The same pages printed once more tell of the same change.
        kept.turn(print("plan 2222, dated 2026-03-09", "bb"));
        assert_eq!(kept.changed().0.len(), 1);
        assert_eq!(Kept::read("nonsense\nstep\nbag x y\n"), Kept::default());
    }
}
