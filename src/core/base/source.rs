//! Source texts and places in them. Lines are found through an index made once, since the terminal and the
//! editor ask for thousands of them.

use std::fmt;

/// A text's number within its [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub u32);

/// A stretch of bytes in one source, end excluded.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// The text that it lies in.
    pub source: SourceId,
    /// First byte.
    pub start: u32,
    /// The byte behind the last.
    pub end: u32,
}

impl fmt::Debug for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}..{}", self.source.0, self.start, self.end)
    }
}

impl Span {
    /// Bytes from `start` up to, and without, `end`.
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

/// What an editor counts columns in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Unit {
    /// Bytes.
    Utf8,
    /// Pairs of surrogates count as two: what most editors ask for.
    #[default]
    Utf16,
}

/// A place as an editor says it: line and column from 0, the column in its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place {
    /// From 0.
    pub line: u32,
    /// From 0, in the unit asked for.
    pub column: u32,
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

    /// The first byte that is no UTF-8, where there was one.
    #[must_use]
    pub fn broken(&self) -> Option<u8> {
        self.broken
    }

    /// Whether a byte-order mark stood before the text.
    #[must_use]
    pub fn is_marked(&self) -> bool {
        self.marked
    }

    /// As messages print it.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// Without a byte-order mark; of a file that is no UTF-8 what stands before its first wrong byte.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// It is of a workshop folder, and not of the plan's own.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.shared
    }

    /// At least 1.
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

    /// A byte as an editor says it. `marked` where the file begins with a mark of the byte order, which this text does not have and the
    /// editor's text has.
    #[must_use]
    pub fn place(&self, at: u32, unit: Unit, marked: bool) -> Place {
        let line = self.line_of(at);
        let (start, _) = self.line_range(line);
        let before = self.slice(start, at.max(start));
        let columns = match unit {
            Unit::Utf8 => before.len(),
            Unit::Utf16 => before.encode_utf16().count(),
        };
        let shift = if marked && line == 0 { mark(unit) } else { 0 };
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Place {
            line: count(line),
            column: count(columns).saturating_add(shift),
        }
    }

    /// The byte of an editor's place. Beyond the end of a line its end is meant, beyond the last line the end of the text; between the
    /// halves of a character its start.
    #[must_use]
    pub fn byte(&self, place: Place, unit: Unit, marked: bool) -> u32 {
        let line = place.line as usize;
        let end_of_text = u32::try_from(self.text.len()).unwrap_or(u32::MAX);
        if line >= self.line_count() {
            return end_of_text;
        }
        let shift = if marked && line == 0 { mark(unit) } else { 0 };
        let column = place.column.saturating_sub(shift) as usize;
        let (start, end) = self.line_range(line);
        let mut passed = 0;
        for (offset, character) in self.slice(start, end).char_indices() {
            passed += match unit {
                Unit::Utf8 => character.len_utf8(),
                Unit::Utf16 => character.len_utf16(),
            };
            if passed > column {
                return start.saturating_add(u32::try_from(offset).unwrap_or(0));
            }
        }
        end
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

/// How much a mark of the byte order takes of its line.
fn mark(unit: Unit) -> u32 {
    match unit {
        Unit::Utf8 => 3,
        Unit::Utf16 => 1,
    }
}

/// All texts of one compilation.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    all: Vec<Source>,
}

impl Sources {
    /// Ids are the places in this list.
    #[must_use]
    pub fn new(all: Vec<Source>) -> Self {
        Self { all }
    }

    /// Each text with its id.
    pub fn iter(&self) -> impl Iterator<Item = (SourceId, &Source)> {
        (0u32..).map(SourceId).zip(self.all.iter())
    }

    /// How many texts.
    #[must_use]
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Not one text.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// None for an id of another list.
    #[must_use]
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.all.get(id.0 as usize)
    }

    /// What stands at a place; empty where there is no such place.
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

    // UTF-8 and UTF-16 lengths of these letters: The Unicode Standard, table 3-6 and 3-5 (é two bytes and one unit, 🔧 U+1F527 four and two).
    #[test]
    fn places_in_both_units_and_back() {
        let source = Source::new("a", "é🔧x\r\nlast", false);
        let place = |at, unit| source.place(at, unit, false);
        assert_eq!(place(6, Unit::Utf16), Place { line: 0, column: 3 });
        assert_eq!(place(6, Unit::Utf8), Place { line: 0, column: 6 });
        assert_eq!(source.place(6, Unit::Utf16, true), Place { line: 0, column: 4 });
        for at in [0, 2, 6, 7, 9, 13] {
            for unit in [Unit::Utf8, Unit::Utf16] {
                for marked in [false, true] {
                    assert_eq!(source.byte(source.place(at, unit, marked), unit, marked), at);
                }
            }
        }
        // Past the line, past the text, in the midst of a character.
        let byte = |line, column| source.byte(Place { line, column }, Unit::Utf16, false);
        assert_eq!((byte(0, 99), byte(9, 9), byte(1, 99)), (7, 13, 13));
        assert_eq!(byte(0, 2), 2);
    }
}
