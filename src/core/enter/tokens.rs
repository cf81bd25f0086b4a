//! The words of one statement, compared by their spelling alone: gaps and comments between them count for nothing.

use crate::base::source::{SourceId, Span};
use crate::plan::model::Plan;
use crate::syntax::cursor::Cursor;
use crate::syntax::tree::{Statement, TokenKind, Tree};

/// A token: its kind, its text, where it stands.
pub type Word<'a> = (TokenKind, &'a str, Span);

#[derive(Debug, Clone)]
pub struct Words<'a> {
    pub all: Vec<Word<'a>>,
}

pub fn words<'a>(source: SourceId, text: &'a str, tree: &'a Tree, statement: &Statement) -> Words<'a> {
    let mut cursor = Cursor::new(source, text, tree, statement);
    let mut all = Vec::new();
    while let Some(word) = cursor.take() {
        all.push(word);
    }
    Words { all }
}

impl<'a> Words<'a> {
    #[must_use]
    pub fn text(&self, at: usize) -> &'a str {
        self.all.get(at).map_or("", |word| word.1)
    }

    #[must_use]
    pub fn kind(&self, at: usize) -> Option<TokenKind> {
        self.all.get(at).map(|word| word.0)
    }

    /// This word and those that touch it: `3.20a`, a name that begins oddly.
    #[must_use]
    pub fn glued(&self, at: usize) -> String {
        self.all
            .get(at..self.glued_end(at))
            .unwrap_or_default()
            .iter()
            .map(|word| word.1)
            .collect()
    }

    /// Behind the word and those that touch it; commas, colons and brackets part.
    #[must_use]
    pub fn glued_end(&self, at: usize) -> usize {
        let mut end = at + 1;
        while let (Some(before), Some(next)) = (self.all.get(end - 1), self.all.get(end)) {
            if before.2.end != next.2.start || is_mark(next.0) {
                break;
            }
            end += 1;
        }
        end.min(self.all.len())
    }

    #[must_use]
    pub fn same(&self, other: &Words<'_>) -> bool {
        let texts = |words: &Words<'_>| words.all.iter().map(|word| word.1.to_owned()).collect::<Vec<_>>();
        self.all.len() == other.all.len() && texts(self) == texts(other)
    }

    /// All of them with one gap between two, as a message shows them.
    #[must_use]
    pub fn shown(&self) -> String {
        let mut text = String::new();
        for (at, word) in self.all.iter().enumerate() {
            let touches = at > 0
                && self
                    .all
                    .get(at - 1)
                    .is_some_and(|last| last.2.end == word.2.start);
            if at > 0 && !touches {
                text.push(' ');
            }
            text.push_str(word.1.lines().next().unwrap_or_default().trim_end());
        }
        text
    }

    /// Whether they begin with this keyword.
    #[must_use]
    pub fn begins(&self, keyword: &str) -> bool {
        keyword
            .split(' ')
            .enumerate()
            .all(|(at, word)| self.text(at) == word && self.kind(at) != Some(TokenKind::Text))
    }

    /// Places of `to come`, each by its first word.
    #[must_use]
    pub fn blanks(&self) -> Vec<usize> {
        (0..self.all.len()).filter(|&at| self.is_blank(at)).collect()
    }

    #[must_use]
    pub fn is_blank(&self, at: usize) -> bool {
        let word = |at: usize, text: &str| self.text(at) == text && self.kind(at) != Some(TokenKind::Text);
        word(at, "to") && word(at + 1, "come")
    }

    /// Whether a name stands behind the keyword, so that it is told what the figure is of.
    #[must_use]
    pub fn names_something(&self) -> bool {
        let first_figure = self.all.iter().position(|word| word.0 == TokenKind::Number);
        first_figure.is_some_and(|at| at > 1)
    }

    /// Of a reading or measure: the first name that the plan does not have.
    #[must_use]
    pub fn unknown(&self, plan: &Plan) -> Option<&'a str> {
        if self.text(0) != "reads" {
            return None;
        }
        let known = known_names(plan);
        let names = self
            .all
            .iter()
            .skip(1)
            .take_while(|word| word.0 != TokenKind::Number);
        names
            .filter(|word| word.0 == TokenKind::Name && !matches!(word.1, "both" | "all" | "to" | "come"))
            .map(|word| word.1)
            .find(|name| {
                let stems = stems(name);
                let of_family = |other: &&str| {
                    let mut stems = stems.iter();
                    stems.any(|stem| {
                        other
                            .strip_prefix(stem.as_str())
                            .is_some_and(|rest| rest.starts_with('-'))
                    })
                };
                !known.contains(name) && !known.iter().any(of_family)
            })
    }
}

/// What a family may be called whose name or plural this is.
pub fn stems(name: &str) -> Vec<String> {
    let mut all = vec![name.to_owned()];
    all.extend(name.strip_suffix('s').map(str::to_owned));
    all.extend(name.strip_suffix("es").map(str::to_owned));
    all.extend(name.strip_suffix("ies").map(|stem| format!("{stem}y")));
    all
}

fn is_mark(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::Comma | TokenKind::Colon | TokenKind::Open | TokenKind::Close | TokenKind::Text
    )
}

/// What can lie on a scale.
pub fn known_names(plan: &Plan) -> Vec<&str> {
    let parts = plan.parts.values().map(|part| &part.head);
    let assemblies = plan.assemblies.values().map(|assembly| &assembly.head);
    let joints = plan.joints.values().map(|joint| &joint.head);
    let vehicles = plan.vehicles.values().map(|vehicle| &vehicle.head);
    let heads = parts.chain(assemblies).chain(joints).chain(vehicles);
    heads.map(|head| &*head.name).collect()
}

/// How the lines of a text end.
pub fn line_end_of(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text.get(..at).is_some_and(|line| line.ends_with('\r')) => "\r\n",
        _ => "\n",
    }
}
