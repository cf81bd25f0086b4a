//! A text in its one layout, as edits of what lies between its words: of a whole file, or of the blocks that a stretch of it touches.

use super::Desk;
use crate::base::finding::Edit;
use crate::base::source::{SourceId, Span};
use crate::syntax::tidy;

/// What changes. Nothing where the text is in its layout already, or is no text.
#[must_use]
pub fn edits(desk: Desk<'_>, source: SourceId, within: Option<Span>) -> Vec<Edit> {
    let Some((file, tree)) = desk.file(source) else {
        return Vec::new();
    };
    if file.broken().is_some() {
        return Vec::new();
    }
    match within {
        None => tidy::edits(source, file.text(), tree),
        Some(within) => {
            let lines = file.line_of(within.start)..=file.line_of(within.end);
            tidy::edits_in(source, file, tree, lines)
        }
    }
}
