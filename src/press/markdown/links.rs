//! Where everything is: a file for each stage where there are many cards, the contents, and what a number of a step leads to. Must not know
//! what stands on a card.

use std::collections::BTreeMap;

use super::{INDEX, text};
use crate::binder::document::{Block, Document, Section};

/// More cards than this are not scrolled through in one file.
const MOST_IN_ONE: usize = 40;

/// The sections with the files that they stand in.
pub struct Links {
    sections: Vec<Place>,
    long: bool,
}

struct Place {
    title: String,
    /// None stands in the text that has the contents.
    file: Option<String>,
    /// Number and title of each card.
    cards: Vec<(String, String)>,
}

impl Links {
    #[must_use]
    pub fn of(document: &Document) -> Links {
        let cards = |section: &Section| -> Vec<(String, String)> {
            let cards = section.blocks.iter().filter_map(|block| match block {
                Block::Card(card) => Some((card.number.clone(), card.title.clone())),
                _ => None,
            });
            cards.collect()
        };
        let all: usize = document.sections.iter().map(|section| cards(section).len()).sum();
        let long = all > MOST_IN_ONE;
        let sections = document.sections.iter().map(|section| {
            let cards = cards(section);
            let own = long && !cards.is_empty();
            Place {
                title: section.title.clone(),
                file: own.then(|| file(section)),
                cards,
            }
        });
        Links {
            sections: sections.collect(),
            long,
        }
    }

    /// It is looked up rather than read from its beginning.
    #[must_use]
    pub fn is_long(&self) -> bool {
        self.long
    }

    /// The file of a section that does not stand beside the contents.
    #[must_use]
    pub fn own_file(&self, section: usize) -> Option<&str> {
        self.sections.get(section)?.file.as_deref()
    }

    /// Where the card of each number is.
    #[must_use]
    pub fn to_cards(&self) -> BTreeMap<String, String> {
        let cards = self.sections.iter().filter(|_| self.long).flat_map(|place| {
            let card =
                |(number, title): &(String, String)| (number.clone(), place.to(&format!("{number} {title}")));
            place.cards.iter().map(card)
        });
        cards.collect()
    }

    /// Each section, and below it its cards.
    #[must_use]
    pub fn contents(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for place in &self.sections {
            let to = match &place.file {
                Some(file) => file.clone(),
                None => place.to(&place.title),
            };
            lines.push(format!("- [{}]({to})", text::inside(&place.title)));
            for (number, title) in &place.cards {
                let words = format!("{number} {title}");
                lines.push(format!("  - [{}]({})", text::inside(&words), place.to(&words)));
            }
        }
        lines
    }

    /// From a stage's file back to the contents, and to the stages before and after.
    #[must_use]
    pub fn beside(&self, section: usize) -> String {
        let link = |place: &Place, file: &String| format!("[{}]({file})", text::inside(&place.title));
        let own = |place: &Place| place.file.as_ref().map(|file| link(place, file));
        let (before, after) = self.sections.split_at(section.min(self.sections.len()));
        let all = [
            Some(format!("[Contents]({INDEX})")),
            before
                .iter()
                .rev()
                .find_map(own)
                .map(|link| format!("Previous: {link}")),
            after
                .iter()
                .skip(1)
                .find_map(own)
                .map(|link| format!("Next: {link}")),
        ];
        all.into_iter().flatten().collect::<Vec<_>>().join(" · ")
    }
}

impl Place {
    /// The heading with these words, as the usual readers of Markdown name its place.
    fn to(&self, words: &str) -> String {
        let slug: String = words
            .to_lowercase()
            .chars()
            .filter_map(|sign| match sign {
                ' ' => Some('-'),
                '-' | '_' => Some(sign),
                _ => sign.is_alphanumeric().then_some(sign),
            })
            .collect();
        format!("{}#{slug}", self.file.as_deref().unwrap_or(INDEX))
    }
}

/// "stage-3-strip-front.md".
fn file(section: &Section) -> String {
    let name: String = section
        .key
        .rsplit('/')
        .next()
        .unwrap_or("")
        .chars()
        .map(|sign| if sign.is_ascii_alphanumeric() { sign } else { '-' })
        .take(60)
        .collect();
    match section.stage_mark {
        Some(mark) => format!("stage-{mark}-{name}.md"),
        None => format!("{name}.md"),
    }
}

/// "**3.20** to **3.22**" with each number that has a card leading to it; Markdown of bold numbers in, Markdown out.
#[must_use]
pub fn to_steps(cell: &str, links: &BTreeMap<String, String>) -> String {
    let mut out = String::with_capacity(cell.len());
    let mut word = String::new();
    let put = |word: &mut String, out: &mut String| {
        match links.get(word.as_str()) {
            Some(to) => out.push_str(&format!("[{word}]({to})")),
            None => out.push_str(word),
        }
        word.clear();
    };
    for sign in cell.chars() {
        if sign.is_alphanumeric() || sign == '.' {
            word.push(sign);
        } else {
            put(&mut word, &mut out);
            out.push(sign);
        }
    }
    put(&mut word, &mut out);
    out
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::to_steps;

    #[test]
    fn numbers_lead_to_their_cards() {
        let links = BTreeMap::from([
            ("3.2".to_owned(), "binder.md#32-x".to_owned()),
            ("3.20".to_owned(), "a.md#320-y".to_owned()),
        ]);
        assert_eq!(
            to_steps("**3.2, 3.20 to 3.22**", &links),
            "**[3.2](binder.md#32-x), [3.20](a.md#320-y) to 3.22**"
        );
        assert_eq!(to_steps("the whole job", &links), "the whole job");
    }
}
