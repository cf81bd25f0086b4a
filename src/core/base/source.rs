//! Source texts and places in them. Lines are found through an index made once, since the terminal and the
//! editor ask for thousands of them.

use std::fmt;

/// A text's number within its [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub u32);

/// A stretch of bytes in one source, end excluded.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    pub source: SourceId,
    pub start: u32,
    pub end: u32,
}

impl fmt::Debug for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}..{}", self.source.0, self.start, self.end)
    }
}

impl Span {
    #[must_use]
    pub fn new(source: SourceId, start: u32, end: u32) -> Self {
        Self { source, start, end }
    }

    /// The smallest stretch that covers both; both lie in one source.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        Span::new(self.source, self.start.min(other.start), self.end.max(other.end))
    }

    /// The empty place right behind this stretch.
    #[must_use]
    pub fn after(self) -> Span {
        Span::new(self.source, self.end, self.end)
    }
}

/// One file's text, as the compiler sees it: without a byte-order mark, line ends as they were.
#[derive(Debug, Clone)]
pub struct Source {
    path: String,
    text: String,
    line_starts: Vec<u32>,
    shared: bool,
    /// Whether a byte-order mark stood before the text.
    marked: bool,
    /// The first byte that is no text.
    broken: Option<u8>,
}

impl Source {
    /// Largest text that is taken: places are kept in 32 bits.
    pub const LARGEST: usize = u32::MAX as usize - 1;

    /// `path` is how the owner knows the file; `shared` marks files of a workshop that several plans use.
    #[must_use]
    pub fn new(path: impl Into<String>, text: impl Into<String>, shared: bool) -> Self {
        let mut text: String = text.into();
        let marked = text.starts_with('\u{feff}');
        if marked {
            text.drain(..'\u{feff}'.len_utf8());
        }
        let mut line_starts = Vec::with_capacity(text.len() / 32 + 1);
        line_starts.push(0);
        // A place beyond LARGEST never gets here: the desk refuses such a file.
        line_starts.extend(
            text.bytes()
                .enumerate()
                .filter(|&(_, byte)| byte == b'\n')
                .map(|(at, _)| u32::try_from(at).unwrap_or(u32::MAX).saturating_add(1)),
        );
        Self {
            path: path.into(),
            text,
            line_starts,
            shared,
            marked,
            broken: None,
        }
    }

    /// A file as it lies on a disk. Where it is not UTF-8, its text ends before the first wrong byte, and
    /// [`Self::broken`] says which that is: the compiler then leaves the file out and tells so.
    #[must_use]
    pub fn from_bytes(path: impl Into<String>, bytes: Vec<u8>, shared: bool) -> Self {
        match String::from_utf8(bytes) {
            Ok(text) => Self::new(path, text, shared),
            Err(error) => {
                let upto = error.utf8_error().valid_up_to();
                let bytes = error.into_bytes();
                let broken = bytes.get(upto).copied();
                let readable = bytes.get(..upto).unwrap_or_default();
                let text = String::from_utf8_lossy(readable).into_owned();
                Self {
                    broken,
                    ..Self::new(path, text, shared)
                }
            }
        }
    }

    /// The same file, as one of a workshop that several plans use.
    #[must_use]
    pub fn into_shared(self) -> Self {
        Self { shared: true, ..self }
    }

    #[must_use]
    pub fn broken(&self) -> Option<u8> {
        self.broken
    }

    /// Whether a byte-order mark stood before the text.
    #[must_use]
    pub fn is_marked(&self) -> bool {
        self.marked
    }

    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.shared
    }

    #[must_use]
    pub fn line_count(&self) -> usize {
        self.line_starts.len()
    }

    /// The line, from 0, that holds this byte.
    #[must_use]
    pub fn line_of(&self, at: u32) -> usize {
        self.line_starts
            .partition_point(|&start| start <= at)
            .saturating_sub(1)
    }

    /// Bytes of a line from 0, its line end excluded.
    #[must_use]
    pub fn line_range(&self, line: usize) -> (u32, u32) {
        let end_of_text = u32::try_from(self.text.len()).unwrap_or(u32::MAX);
        let start = self.line_starts.get(line).copied().unwrap_or(end_of_text);
        let next = self.line_starts.get(line + 1).copied();
        let mut end = next.map_or(end_of_text, |n| n.saturating_sub(1));
        if next.is_some() && end > start && self.slice(end - 1, end) == "\r" {
            end -= 1;
        }
        (start, end)
    }

    /// The text between two bytes; empty where these are no character boundaries.
    #[must_use]
    pub fn slice(&self, start: u32, end: u32) -> &str {
        self.text.get(start as usize..end as usize).unwrap_or_default()
    }

    /// Line and column, both from 1, the column counted in characters.
    #[must_use]
    pub fn line_column(&self, at: u32) -> (usize, usize) {
        let line = self.line_of(at);
        let (start, _) = self.line_range(line);
        let column = self.slice(start, at.max(start)).chars().count();
        (line + 1, column + 1)
    }
}

/// All texts of one compilation.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    all: Vec<Source>,
}

impl Sources {
    #[must_use]
    pub fn new(all: Vec<Source>) -> Self {
        Self { all }
    }

    pub fn iter(&self) -> impl Iterator<Item = (SourceId, &Source)> {
        (0u32..).map(SourceId).zip(self.all.iter())
    }

    #[must_use]
    pub fn len(&self) -> usize {
        self.all.len()
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    #[must_use]
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.all.get(id.0 as usize)
    }

    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.get(span.source)
            .map_or("", |source| source.slice(span.start, span.end))
    }

    /// `path:line`, as findings print it.
    #[must_use]
    pub fn place(&self, span: Span) -> String {
        self.get(span.source).map_or_else(String::new, |source| {
            format!("{}:{}", source.path(), source.line_of(span.start) + 1)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns() {
        let source = Source::new("a", "\u{feff}one\r\ntwo é x\nthree", false);
        assert_eq!(source.text().len(), 19 - 1 + 1);
        assert_eq!(source.line_range(0), (0, 3));
        assert_eq!(source.line_range(1), (5, 13));
        assert_eq!(source.line_range(2), (14, 19));
        assert_eq!(source.line_column(12), (2, 7));
        assert_eq!(source.line_of(4), 0);
        assert_eq!(source.line_of(14), 2);
    }
}
