//! The owner's prose: CommonMark to a tree of blocks, read by pulldown-cmark, which no other file touches. Raw HTML
//! and deep nesting are refused here, so that no later floor has to think of them. Knows nothing of plans.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde::Serialize;

use super::plan_error::NoteFault;

/// The owner's prose, parsed from CommonMark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Prose {
    /// Runs of text.
    Paragraph(Vec<Inline>),
    /// Items, each with paragraphs of its own.
    List {
        /// Its first number; none where it has bullets.
        ordered_from: Option<u64>,
        /// From top to bottom.
        items: Vec<Vec<Prose>>,
    },
    /// What somebody else says, indented.
    Quote(Vec<Prose>),
    /// Code, as it stands.
    Verbatim(String),
    /// A heading of the note, below those of the page.
    Heading(Vec<Inline>),
    /// A line across.
    Rule,
}

/// A stretch of a paragraph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Inline {
    /// As it stands.
    Text(String),
    /// Code, within a line.
    Verbatim(String),
    /// Slanted.
    Emphasis(Vec<Inline>),
    /// Bold.
    Strong(Vec<Inline>),
    /// Words that lead to another place.
    Link {
        /// Where it leads.
        to: String,
        /// What is read.
        text: Vec<Inline>,
    },
    /// A line ends here, whatever comes after it.
    Break,
}

/// Deepest nesting of lists and quotations that a note may have; the page engine itself gives up at about twice this. What
/// is deeper loses its frame here and keeps its text.
pub const DEEPEST: usize = 8;

/// Reads CommonMark without extensions.
#[must_use]
pub fn read(text: &str) -> Vec<Prose> {
    let mut shelf = Shelf::default();
    for event in Parser::new_ext(text, Options::empty()) {
        shelf.take(event);
    }
    shelf.finish()
}

/// Why a note cannot be printed, if so.
#[must_use]
pub fn judge(text: &str) -> Option<NoteFault> {
    let mut depth = 0usize;
    for event in Parser::new_ext(text, Options::empty()) {
        match event {
            Event::Html(_) | Event::InlineHtml(_) | Event::Start(Tag::HtmlBlock) => {
                return Some(NoteFault::Html);
            }
            Event::Start(Tag::List(_) | Tag::BlockQuote(_)) => {
                depth += 1;
                if depth > DEEPEST {
                    return Some(NoteFault::TooDeep);
                }
            }
            Event::End(TagEnd::List(_) | TagEnd::BlockQuote(_)) => {
                depth = depth.saturating_sub(1);
            }
            _ => {}
        }
    }
    None
}

/// The words alone, on one line: for a cell of a table or a row of facts.
#[must_use]
pub fn words_of(text: &str) -> String {
    let mut words = String::new();
    gather(&read(text), &mut words);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn gather(blocks: &[Prose], into: &mut String) {
    for block in blocks {
        match block {
            Prose::Paragraph(inlines) | Prose::Heading(inlines) => spans(inlines, into),
            Prose::List { items, .. } => items.iter().for_each(|item| gather(item, into)),
            Prose::Quote(inner) => gather(inner, into),
            Prose::Verbatim(text) => into.push_str(text),
            Prose::Rule => {}
        }
        into.push(' ');
    }
}

fn spans(inlines: &[Inline], into: &mut String) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Verbatim(text) => into.push_str(text),
            Inline::Emphasis(inner) | Inline::Strong(inner) => spans(inner, into),
            Inline::Link { text, .. } => spans(text, into),
            Inline::Break => into.push(' '),
        }
    }
}

/// Links of the web, of mail, and to files beside the plan. Anything else would run something.
fn may_be_followed(to: &str) -> bool {
    match to.split_once(':') {
        Some((scheme, _)) if !scheme.contains('/') => {
            ["http", "https", "mailto"].contains(&scheme.to_ascii_lowercase().as_str())
        }
        _ => true,
    }
}

/// What is open at a point of the text.
#[derive(Debug)]
enum Open {
    Paragraph(Vec<Inline>),
    Heading(Vec<Inline>),
    List(Option<u64>, Vec<Vec<Prose>>),
    /// Blocks, and text of a tight item that has no paragraph around it.
    Item(Vec<Prose>, Vec<Inline>),
    Quote(Vec<Prose>),
    Verbatim(String),
    Emphasis(Vec<Inline>),
    Strong(Vec<Inline>),
    Link(String, Vec<Inline>),
    /// Passed through: too deep, or a picture, whose words stay.
    Through,
    /// Raw HTML.
    Hidden,
}

#[derive(Debug, Default)]
struct Shelf {
    open: Vec<Open>,
    done: Vec<Prose>,
}

impl Shelf {
    fn take(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => {
                let opened = self.opened(tag);
                self.open.push(opened);
            }
            Event::End(end) => self.close(end),
            Event::Text(text) => self.text(&text),
            Event::Code(text) => self.inline(Inline::Verbatim(text.into_string())),
            Event::SoftBreak => self.text(" "),
            Event::HardBreak => self.inline(Inline::Break),
            Event::Rule => self.block(Prose::Rule),
            Event::Html(_)
            | Event::InlineHtml(_)
            | Event::FootnoteReference(_)
            | Event::TaskListMarker(_)
            | Event::InlineMath(_)
            | Event::DisplayMath(_) => {}
        }
    }

    fn opened(&self, tag: Tag<'_>) -> Open {
        let frames = self
            .open
            .iter()
            .filter(|open| !matches!(open, Open::Through | Open::Item(..)))
            .count();
        let too_deep = frames >= DEEPEST;
        match tag {
            Tag::HtmlBlock | Tag::MetadataBlock(_) => Open::Hidden,
            Tag::Paragraph => Open::Paragraph(Vec::new()),
            Tag::Heading { .. } => Open::Heading(Vec::new()),
            Tag::CodeBlock(_) => Open::Verbatim(String::new()),
            // A list and its items go together: an item outside a list closes into its surroundings.
            Tag::List(from) if !too_deep => Open::List(from, Vec::new()),
            Tag::Item => Open::Item(Vec::new(), Vec::new()),
            Tag::BlockQuote(_) if !too_deep => Open::Quote(Vec::new()),
            Tag::Emphasis if !too_deep => Open::Emphasis(Vec::new()),
            Tag::Strong if !too_deep => Open::Strong(Vec::new()),
            Tag::Link { dest_url, .. } if !too_deep && may_be_followed(&dest_url) => {
                Open::Link(dest_url.into_string(), Vec::new())
            }
            _ => Open::Through,
        }
    }

    fn close(&mut self, _end: TagEnd) {
        let Some(open) = self.open.pop() else {
            return;
        };
        match open {
            Open::Paragraph(inlines) if inlines.is_empty() => {}
            Open::Paragraph(inlines) => self.block(Prose::Paragraph(inlines)),
            Open::Heading(inlines) => self.block(Prose::Heading(inlines)),
            Open::List(ordered_from, items) => self.block(Prose::List { ordered_from, items }),
            Open::Item(mut blocks, inlines) => {
                if !inlines.is_empty() {
                    blocks.push(Prose::Paragraph(inlines));
                }
                match self.open.last_mut() {
                    Some(Open::List(_, items)) => items.push(blocks),
                    _ => blocks.into_iter().for_each(|block| self.block(block)),
                }
            }
            Open::Quote(blocks) => self.block(Prose::Quote(blocks)),
            Open::Verbatim(text) => self.block(Prose::Verbatim(text.trim_end().to_owned())),
            Open::Emphasis(inlines) => self.inline(Inline::Emphasis(inlines)),
            Open::Strong(inlines) => self.inline(Inline::Strong(inlines)),
            Open::Link(to, text) => self.inline(Inline::Link { to, text }),
            Open::Through | Open::Hidden => {}
        }
    }

    fn text(&mut self, text: &str) {
        match self.open.last_mut() {
            Some(Open::Verbatim(verbatim)) => verbatim.push_str(text),
            Some(Open::Hidden) => {}
            _ => {
                if let Some(inlines) = self.inlines() {
                    if let Some(Inline::Text(before)) = inlines.last_mut() {
                        before.push_str(text);
                    } else {
                        inlines.push(Inline::Text(text.to_owned()));
                    }
                }
            }
        }
    }

    fn inline(&mut self, inline: Inline) {
        if let Some(inlines) = self.inlines() {
            inlines.push(inline);
        }
    }

    /// Where spans go: the innermost thing that takes any.
    fn inlines(&mut self) -> Option<&mut Vec<Inline>> {
        self.open.iter_mut().rev().find_map(|open| match open {
            Open::Paragraph(inlines)
            | Open::Heading(inlines)
            | Open::Emphasis(inlines)
            | Open::Strong(inlines)
            | Open::Link(_, inlines)
            | Open::Item(_, inlines) => Some(inlines),
            _ => None,
        })
    }

    fn block(&mut self, block: Prose) {
        let holder = self.open.iter_mut().rev().find_map(|open| match open {
            Open::Item(blocks, inlines) => {
                // Text before a nested list comes before it on paper too.
                if !inlines.is_empty() {
                    blocks.push(Prose::Paragraph(std::mem::take(inlines)));
                }
                Some(blocks)
            }
            Open::Quote(blocks) => Some(blocks),
            _ => None,
        });
        holder.unwrap_or(&mut self.done).push(block);
    }

    fn finish(self) -> Vec<Prose> {
        self.done
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn html_and_depth() {
        assert_eq!(judge("*fine* 3 < 4 & 5 > 2"), None);
        assert_eq!(judge("a <b>c</b>"), Some(NoteFault::Html));
        assert_eq!(judge("<div>\nx\n</div>"), Some(NoteFault::Html));
        assert_eq!(judge(&format!("{}x", ">".repeat(40))), Some(NoteFault::TooDeep));
        assert_eq!(judge(&format!("{}x", ">".repeat(8))), None);
    }

    fn text(words: &str) -> Inline {
        Inline::Text(words.to_owned())
    }

    #[test]
    fn paragraphs_lists_and_weight() {
        let read = read("Look along it.\n**If it hangs, stop.**\n\n- one\n- two\n  1. deeper\n");
        assert_eq!(
            read,
            vec![
                Prose::Paragraph(vec![
                    text("Look along it. "),
                    Inline::Strong(vec![text("If it hangs, stop.")])
                ]),
                Prose::List {
                    ordered_from: None,
                    items: vec![
                        vec![Prose::Paragraph(vec![text("one")])],
                        vec![
                            Prose::Paragraph(vec![text("two")]),
                            Prose::List {
                                ordered_from: Some(1),
                                items: vec![vec![Prose::Paragraph(vec![text("deeper")])]],
                            }
                        ],
                    ],
                },
            ]
        );
    }

    #[test]
    fn raw_html_never_comes_through() {
        let read = read("a <b onclick=x>bold</b> word\n\n<script>\nalert(1)\n</script>\n\nlast");
        let shown = format!("{read:?}");
        assert!(
            !shown.contains("script") && !shown.contains("onclick") && !shown.contains("alert"),
            "{shown}"
        );
        assert!(shown.contains("bold") && shown.contains("last"));
    }

    #[test]
    fn nesting_ends_and_no_word_is_lost() {
        fn depth(blocks: &[Prose]) -> usize {
            blocks
                .iter()
                .map(|block| match block {
                    Prose::Quote(inner) => 1 + depth(inner),
                    Prose::List { items, .. } => 1 + items.iter().map(|item| depth(item)).max().unwrap_or(0),
                    _ => 0,
                })
                .max()
                .unwrap_or(0)
        }
        let deep = format!("{} core", ">".repeat(60));
        let read = super::read(&deep);
        assert!(depth(&read) <= DEEPEST, "{}", depth(&read));
        assert_eq!(words_of(&deep), "core");
        let lists: String = (0..40).map(|n| format!("{}- w{n}\n", "  ".repeat(n))).collect();
        assert!(depth(&super::read(&lists)) <= DEEPEST);
        assert!(words_of(&lists).contains("w39"));
    }

    #[test]
    fn links_and_pictures_keep_their_words() {
        assert_eq!(
            read("[sheet](a.pdf) ![axle](x.png)"),
            vec![Prose::Paragraph(vec![
                Inline::Link {
                    to: "a.pdf".to_owned(),
                    text: vec![text("sheet")],
                },
                text(" axle"),
            ])]
        );
        assert_eq!(
            read("[x](javascript:alert(1))"),
            vec![Prose::Paragraph(vec![text("x")])]
        );
        assert_eq!(words_of("# Head\n\n`M8`  bolts"), "Head M8 bolts");
    }
}
