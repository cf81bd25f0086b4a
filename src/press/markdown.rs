//! stub
use crate::binder::document::Document;
/// Markdown.
#[derive(Debug, Clone, Default)]
pub struct MarkdownSet {
    /// t
    pub text: String,
    /// f
    pub files: Vec<(String, Vec<u8>)>,
}
/// w
#[must_use]
pub fn write(_document: &Document) -> MarkdownSet {
    MarkdownSet::default()
}
