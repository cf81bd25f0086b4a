//! A text in its one layout, as the least edit that makes it so: of a whole file, or of the blocks that a stretch of it touches.

use super::Desk;
use super::spot::Around;
use crate::base::finding::Edit;
use crate::base::source::{Source, SourceId, Span};
use crate::syntax::tree::Tree;

/// What changes. Nothing where the text is in its layout already, or is no text.
#[must_use]
pub fn edits(desk: Desk<'_>, source: SourceId, within: Option<Span>) -> Vec<Edit> {
    let Some((file, tree)) = desk
        .done
        .sources
        .get(source)
        .zip(desk.trees.get(source.0 as usize))
    else {
        return Vec::new();
    };
    if file.broken().is_some() {
        return Vec::new();
    }
    let whole = Span::new(source, 0, u32::try_from(file.text().len()).unwrap_or(u32::MAX));
    let span = within.map_or(whole, |within| blocks(file, tree, within).unwrap_or(whole));
    let old = file.slice(span.start, span.end);
    let new = tidied(old);
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let same = |(a, b): &(&str, &str)| a == b;
    let lines = |text: &str| text.split_inclusive('\n').count();
    let head: usize = old
        .split_inclusive('\n')
        .zip(new.split_inclusive('\n'))
        .take_while(same)
        .map(|(line, _)| line.len())
        .sum();
    let most = lines(old.get(head..).unwrap_or_default()).min(lines(new.get(head..).unwrap_or_default()));
    let tail: usize = old
        .split_inclusive('\n')
        .rev()
        .zip(new.split_inclusive('\n').rev())
        .take(most)
        .take_while(same)
        .map(|(line, _)| line.len())
        .sum();
    if old == new {
        return Vec::new();
    }
    let text = new.get(head..new.len() - tail).unwrap_or_default().to_owned();
    vec![Edit {
        span: Span::new(source, span.start + count(head), span.end - count(tail)),
        text,
    }]
}

/// The whole lines of all blocks that a stretch touches.
fn blocks(file: &Source, tree: &Tree, within: Span) -> Option<Span> {
    let first = Around::at(file, tree, within.start)?;
    let last = Around::at(file, tree, within.end)?;
    let start = tree.span(within.source, first.block).start;
    let next = tree
        .blocks()
        .get(last.nth + 1)
        .map(|&block| tree.span(within.source, block).start);
    let end = next.unwrap_or(u32::try_from(file.text().len()).unwrap_or(u32::MAX));
    Some(Span::new(within.source, start, end))
}

/// Without spaces at the ends of lines, and with one blank line at most between others.
fn tidied(text: &str) -> String {
    let ends = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut out = String::with_capacity(text.len());
    let mut blank = 0;
    for line in text.lines() {
        let line = line.trim_end();
        blank = if line.is_empty() { blank + 1 } else { 0 };
        if blank < 2 {
            out.push_str(line);
            out.push_str(ends);
        }
    }
    if !text.ends_with('\n') && out.ends_with(ends) {
        out.truncate(out.len() - ends.len());
    }
    out
}
