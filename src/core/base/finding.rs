//! Findings as plain data. They are made in `rules/`, and shown by `press/` and `desk/`; nothing here knows
//! what a terminal is.

use super::source::Span;

/// How grave a finding is. Ordered: advice is least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// It would be better otherwise.
    Advice,
    /// It may be wrong: somebody has to look.
    Doubt,
    /// It is wrong: no plan with one is proved.
    Fault,
}

impl Severity {
    /// Gravest first.
    pub const ALL: [Severity; 3] = [Severity::Fault, Severity::Doubt, Severity::Advice];

    /// As findings print it, and data writes it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Severity::Fault => "fault",
            Severity::Doubt => "doubt",
            Severity::Advice => "advice",
        }
    }

    /// Several of them: advice has no plural.
    #[must_use]
    pub fn words(self, count: usize) -> String {
        match (self, count) {
            (Severity::Advice, n) => format!("{n} advice"),
            (_, 1) => format!("1 {}", self.word()),
            (_, n) => format!("{n} {}s", self.word()),
        }
    }
}

/// A rule, declared once, beside the function that reports it. Severity and summary stand here and on its
/// page; a test holds them together.
#[derive(Debug, PartialEq, Eq)]
pub struct Rule {
    /// Kebab-case; it is what `why` and `accept` take.
    pub name: &'static str,
    /// Of its findings, where these do not say another.
    pub severity: Severity,
    /// One sentence: what is so when it speaks up.
    pub summary: &'static str,
    /// The whole of `specs/rules/<name>.md`.
    pub page: &'static str,
    /// Faults of reading and of names, and a few that hurt, are never accepted.
    pub acceptable: bool,
}

/// A marked place with a word on why it is marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The stretch that is underlined.
    pub span: Span,
    /// What stands beside it.
    pub words: String,
}

/// Text to write instead of what stands at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The stretch that gives way; an empty one is a place to put the text in.
    pub span: Span,
    /// What stands there then.
    pub text: String,
}

/// What to write to mend it: words for a person, edits for an editor. Either may be all there is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Mend {
    /// An order to the owner; may be empty.
    pub words: String,
    /// All of them together; none where no text would do by itself.
    pub edits: Vec<Edit>,
    /// Other ways that would do as well, each for itself: then somebody has to choose.
    pub others: Vec<Vec<Edit>>,
}

/// One thing that a check reports.
#[derive(Debug, Clone)]
pub struct Finding {
    /// Declared once, in its family's file.
    pub rule: &'static Rule,
    /// The severity that counts here: usually the rule's own.
    pub severity: Severity,
    /// One line: what is wrong.
    pub what: String,
    /// The first is the place of the finding; the others say where it began or what it belongs to.
    pub labels: Vec<Label>,
    /// What happens in the shop if it is left.
    pub harm: String,
    /// How to be rid of it.
    pub mend: Mend,
    /// Names of the plan that the finding is about: what `accept ... for NAME` is compared with.
    pub about: Vec<String>,
}

impl Finding {
    /// With the rule's own severity, and nothing else said yet.
    #[must_use]
    pub fn new(rule: &'static Rule, what: impl Into<String>) -> Self {
        Self {
            rule,
            severity: rule.severity,
            what: what.into(),
            labels: Vec::new(),
            harm: String::new(),
            mend: Mend::default(),
            about: Vec::new(),
        }
    }

    /// Adds a marked place; the first one is the place of the finding.
    #[must_use]
    pub fn at(mut self, span: Span, words: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            words: words.into(),
        });
        self
    }

    /// Says what happens in the shop if it is left.
    #[must_use]
    pub fn harm(mut self, harm: impl Into<String>) -> Self {
        self.harm = harm.into();
        self
    }

    /// Says the mend in words.
    #[must_use]
    pub fn mend(mut self, words: impl Into<String>) -> Self {
        self.mend.words = words.into();
        self
    }

    /// Adds an edit to the mend.
    #[must_use]
    pub fn edit(mut self, span: Span, text: impl Into<String>) -> Self {
        self.mend.edits.push(Edit {
            span,
            text: text.into(),
        });
        self
    }

    /// Another way than that of the edits so far.
    #[must_use]
    pub fn or_edit(mut self, span: Span, text: impl Into<String>) -> Self {
        self.mend.others.push(vec![Edit {
            span,
            text: text.into(),
        }]);
        self
    }

    /// Adds a name that an `accept` can say.
    #[must_use]
    pub fn about(mut self, name: impl Into<String>) -> Self {
        self.about.push(name.into());
        self
    }

    /// Where it is shown first; findings without a place sort before all others.
    #[must_use]
    pub fn place(&self) -> Option<Span> {
        self.labels.first().map(|label| label.span)
    }
}
