//! Edits of the plan's texts, and how they are shown: a small unified diff. Every byte that no edit names stays.

use std::collections::BTreeMap;

use super::tokens::line_end_of;
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::syntax::tree::Statement;

/// What stands at a place gives way to a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The stretch that gives way.
    pub at: Span,
    /// What stands there then.
    pub text: String,
}

impl Edit {
    /// `text` where `at` is.
    #[must_use]
    pub fn new(at: Span, text: impl Into<String>) -> Self {
        Self {
            at,
            text: text.into(),
        }
    }
}

/// Whole lines that come between others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Inserted {
    edit: Edit,
    /// As it was given, to know it again.
    given: String,
    /// It belongs to the block that it stands behind, so that no other block comes between.
    is_line: bool,
}

impl Inserted {
    /// A block at the start of a line, or at the end of the text; `apart` by a blank line from what stands before.
    #[must_use]
    pub fn block(source: SourceId, file: &Source, at: u32, text: &str, apart: bool) -> Self {
        Self::new(source, file, at, text, apart, false)
    }

    /// A statement on a line of its own.
    #[must_use]
    pub fn line(source: SourceId, file: &Source, at: u32, text: &str) -> Self {
        Self::new(source, file, at, text, false, true)
    }

    fn new(source: SourceId, file: &Source, at: u32, text: &str, apart: bool, is_line: bool) -> Self {
        let whole = file.text();
        let ends = line_end_of(whole);
        let before = file.slice(0, at);
        let mut lines = text.lines().collect::<Vec<_>>().join(ends);
        // A text without a last line end keeps to that.
        let open = !before.is_empty() && !before.ends_with('\n');
        let blank = before.is_empty() || before.ends_with("\n\n") || before.ends_with("\n\r\n");
        let gap = if apart && !blank { ends } else { "" };
        lines = if open {
            format!("{ends}{gap}{lines}")
        } else {
            format!("{gap}{lines}{ends}")
        };
        Self {
            edit: Edit::new(Span::new(source, at, at), lines),
            given: text.to_owned(),
            is_line,
        }
    }
}

/// All that is changed at once.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Change {
    fills: Vec<(Edit, String)>,
    inserted: Vec<Inserted>,
    /// A file that is not there yet: its path as findings would name it, and its text.
    new_file: Option<(String, String)>,
    new_given: Vec<String>,
}

impl Change {
    /// Every thing that was given stands in the plan already.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.fills.is_empty() && self.inserted.is_empty() && self.new_file.is_none()
    }

    /// Fills blanks, by what `given` says.
    pub fn fill(&mut self, edits: &[Edit], given: &str) {
        self.fills
            .extend(edits.iter().map(|edit| (edit.clone(), given.to_owned())));
    }

    /// What was given for a blank that one of these would fill.
    #[must_use]
    pub fn taken(&self, edits: &[Edit]) -> Option<&str> {
        self.fills
            .iter()
            .find(|(fill, _)| edits.iter().any(|edit| edit.at == fill.at))
            .map(|(_, given)| given.as_str())
    }

    /// Puts in a whole block.
    pub fn insert(&mut self, inserted: Inserted) {
        self.inserted.push(inserted);
    }

    /// Whether a block is put in at this place already.
    #[must_use]
    pub fn inserts_at(&self, source: SourceId, at: u32) -> bool {
        let place = Span::new(source, at, at);
        self.inserted
            .iter()
            .any(|inserted| !inserted.is_line && inserted.edit.at == place)
    }

    /// The same text is to stand at the same place.
    #[must_use]
    pub fn has(&self, other: &Inserted) -> bool {
        let same = |known: &Inserted| known.given == other.given && known.edit.at == other.edit.at;
        self.inserted.iter().any(same)
    }

    /// Whether this text is added already.
    #[must_use]
    pub fn adds(&self, text: &str) -> bool {
        let in_file = self.inserted.iter().any(|known| known.given == text);
        in_file || self.new_given.iter().any(|known| known == text)
    }

    /// Adds a text to the new file at this path, with the line ends of the plan.
    pub fn beside(&mut self, path: &str, text: &str, ends: &str) {
        let lines = text.lines().collect::<Vec<_>>().join(ends);
        let (_, whole) = self
            .new_file
            .get_or_insert_with(|| (path.to_owned(), String::new()));
        whole.push_str(&lines);
        whole.push_str(ends);
        self.new_given.push(text.to_owned());
    }

    /// The file that is to be made, with its text.
    #[must_use]
    pub fn new_file(&self) -> Option<(&str, &str)> {
        self.new_file
            .as_ref()
            .map(|(path, text)| (path.as_str(), text.as_str()))
    }

    /// Edits by source, in the order of their places; of several at one place lines of a block first, then in the order in which they were given.
    fn by_source(&self) -> BTreeMap<SourceId, Vec<&Edit>> {
        let mut all: BTreeMap<SourceId, Vec<&Edit>> = BTreeMap::new();
        let fills = self.fills.iter().map(|(edit, _)| edit);
        let (lines, blocks): (Vec<&Inserted>, Vec<&Inserted>) =
            self.inserted.iter().partition(|inserted| inserted.is_line);
        let inserted = lines.into_iter().chain(blocks);
        for edit in fills.chain(inserted.map(|inserted| &inserted.edit)) {
            all.entry(edit.at.source).or_default().push(edit);
        }
        for edits in all.values_mut() {
            edits.sort_by_key(|edit| (edit.at.start, edit.at.end));
        }
        all
    }

    /// Texts that change, as they will be.
    #[must_use]
    pub fn texts(&self, sources: &Sources) -> BTreeMap<SourceId, String> {
        self.by_source()
            .into_iter()
            .filter_map(|(id, edits)| Some((id, applied(sources.get(id)?.text(), &edits))))
            .collect()
    }

    /// All sources with the change made, a new file among them in the order of its path.
    #[must_use]
    pub fn sources(&self, sources: &Sources) -> Vec<Source> {
        let texts = self.texts(sources);
        let mut all: Vec<Source> = sources
            .iter()
            .map(|(id, source)| match texts.get(&id) {
                Some(text) => Source::new(source.path(), text.clone(), source.is_shared()),
                None => source.clone(),
            })
            .collect();
        if let Some((path, text)) = self.new_file() {
            // The plan's own files stand before those of its workshop, each by their paths.
            let behind = all
                .iter()
                .position(|source| source.is_shared() || source.path() > path);
            all.insert(behind.unwrap_or(all.len()), Source::new(path, text, false));
        }
        all
    }

    /// What changes, as a unified diff with a line of context.
    #[must_use]
    pub fn diff(&self, sources: &Sources) -> String {
        let mut shown = String::new();
        for (id, edits) in self.by_source() {
            if let Some(source) = sources.get(id) {
                shown.push_str(&diff_of(source, &edits));
            }
        }
        if let Some((path, text)) = self.new_file() {
            let lines = text.lines().count();
            shown.push_str(&format!("--- /dev/null\n+++ {path}\n@@ -0,0 +1,{lines} @@\n"));
            for line in text.lines() {
                shown.push_str(&format!("+{}\n", line.trim_end_matches('\r')));
            }
        }
        shown
    }
}

/// What edits of one file change, as a unified diff with a line of context. They are in the order of their places.
#[must_use]
pub fn diff_of(source: &Source, edits: &[&Edit]) -> String {
    let mut shown = format!("--- {0}\n+++ {0}\n", source.path());
    hunks(source, edits, &mut shown);
    shown
}

fn applied(text: &str, edits: &[&Edit]) -> String {
    let mut whole =
        String::with_capacity(text.len() + edits.iter().map(|edit| edit.text.len()).sum::<usize>());
    let mut from = 0;
    // At the end of a text without a last line end each of several begins a line of its own.
    for edit in edits {
        let (start, end) = (edit.at.start as usize, edit.at.end as usize);
        whole.push_str(text.get(from..start).unwrap_or_default());
        whole.push_str(&edit.text);
        from = end.max(from);
    }
    whole.push_str(text.get(from..).unwrap_or_default());
    whole
}

/// Lines of context around what changed.
const AROUND: usize = 1;

/// Edits whose lines touch are one hunk.
fn hunks(source: &Source, edits: &[&Edit], shown: &mut String) {
    // Lines, from 0, that an edit changes; of one that only puts lines in, none: it stands before the first.
    let lines_of = |edit: &Edit| -> (usize, usize) {
        let first = source.line_of(edit.at.start);
        let (start, _) = source.line_range(first);
        let at_line = edit.at.start == start && edit.at.end == edit.at.start && edit.text.ends_with('\n');
        if at_line {
            (first, first)
        } else {
            (first, source.line_of(edit.at.end) + 1)
        }
    };
    let mut groups: Vec<(usize, usize, Vec<&Edit>)> = Vec::new();
    for edit in edits {
        let (from, to) = lines_of(edit);
        match groups.last_mut() {
            Some((_, last, group)) if from <= *last + 2 * AROUND => {
                *last = (*last).max(to);
                group.push(edit);
            }
            _ => groups.push((from, to, vec![edit])),
        }
    }
    let count = {
        // What stands behind the last line end is no line, where nothing stands there.
        let text = source.text();
        source.line_count() - usize::from(text.is_empty() || text.ends_with('\n'))
    };
    let mut moved = 0_isize;
    for (from, to, group) in groups {
        let first = from.saturating_sub(AROUND);
        let last = (to + AROUND).min(count);
        let start = source.line_range(first).0;
        let end = if last >= count {
            u32::try_from(source.text().len()).unwrap_or(u32::MAX)
        } else {
            source.line_range(last).0
        };
        let old = source.slice(start, end);
        let shifted: Vec<Edit> = group
            .iter()
            .map(|edit| {
                let at = Span::new(edit.at.source, edit.at.start - start, edit.at.end - start);
                Edit::new(at, edit.text.clone())
            })
            .collect();
        let new = applied(old, &shifted.iter().collect::<Vec<_>>());
        let (old, new): (Vec<&str>, Vec<&str>) = (
            old.split_inclusive('\n').collect(),
            new.split_inclusive('\n').collect(),
        );
        let begins = |lines: usize, at: usize| if lines == 0 { at } else { at + 1 };
        let behind = first.saturating_add_signed(moved);
        shown.push_str(&format!(
            "@@ -{},{} +{},{} @@\n",
            begins(old.len(), first),
            old.len(),
            begins(new.len(), behind),
            new.len()
        ));
        moved += isize::try_from(new.len()).unwrap_or(0) - isize::try_from(old.len()).unwrap_or(0);
        lines_apart(&old, &new, shown);
    }
}

/// Most comparisons for one hunk; a longer one has all that goes, then all that comes.
const COMPARED: usize = 4_000_000;

/// The lines that stay, go and come: what is alike at both ends stays, and what lies between is told apart by the longest row of lines that
/// both have.
fn lines_apart(old: &[&str], new: &[&str], shown: &mut String) {
    let mut line = |sign: char, line: &str| {
        let whole = line.trim_end_matches(['\n', '\r']);
        shown.push_str(&format!("{sign}{whole}\n"));
        if !line.ends_with('\n') {
            shown.push_str("\\ No newline at end of file\n");
        }
    };
    if old.len().saturating_mul(new.len()) > COMPARED {
        old.iter().for_each(|before| line('-', before));
        new.iter().for_each(|after| line('+', after));
        return;
    }
    let (rows, columns) = (old.len() + 1, new.len() + 1);
    let mut longest = vec![0usize; rows * columns];
    let at = |row: usize, column: usize| row * columns + column;
    let get = |table: &[usize], row: usize, column: usize| table.get(at(row, column)).copied().unwrap_or(0);
    for (row, before) in old.iter().enumerate().rev() {
        for (column, after) in new.iter().enumerate().rev() {
            let value = if before == after {
                get(&longest, row + 1, column + 1) + 1
            } else {
                get(&longest, row + 1, column).max(get(&longest, row, column + 1))
            };
            if let Some(cell) = longest.get_mut(at(row, column)) {
                *cell = value;
            }
        }
    }
    let (mut row, mut column) = (0, 0);
    loop {
        match (old.get(row), new.get(column)) {
            (Some(before), Some(after)) if before == after => {
                line(' ', before);
                row += 1;
                column += 1;
            }
            (Some(before), after)
                if after.is_none() || get(&longest, row + 1, column) >= get(&longest, row, column + 1) =>
            {
                line('-', before);
                row += 1;
            }
            (_, Some(after)) => {
                line('+', after);
                column += 1;
            }
            _ => break,
        }
    }
}

/// The start of the line behind a block, comments that are indented below it taken along; the end of the text where it ends there.
#[must_use]
pub fn behind(file: &Source, block: Span) -> u32 {
    let mut line = file.line_of(block.end.max(block.start + 1) - 1) + 1;
    let end = u32::try_from(file.text().len()).unwrap_or(u32::MAX);
    let mut next = line;
    while next < file.line_count() {
        let (start, stop) = file.line_range(next);
        let text = file.slice(start, stop);
        let indented = text.starts_with([' ', '\t']) && text.trim_start().starts_with('#');
        if indented {
            line = next + 1;
        } else if !text.trim().is_empty() || start == end {
            break;
        }
        next += 1;
    }
    if line < file.line_count() {
        file.line_range(line).0
    } else {
        end
    }
}

/// How the statements of a block are indented; two spaces where they all stand on its header's line.
#[must_use]
pub fn indent(file: &Source, statements: &[Statement]) -> String {
    statements
        .iter()
        .skip(1)
        .rev()
        .find_map(|statement| {
            let (start, _) = file.line_range(file.line_of(statement.start));
            let before = file.slice(start, statement.start);
            let own = !before.is_empty() && before.chars().all(|c| matches!(c, ' ' | '\t'));
            own.then(|| before.to_owned())
        })
        .unwrap_or_else(|| "  ".to_owned())
}

/// A statement as it stands in a block that is indented so: where it goes on in more lines, these keep their places to each other.
#[must_use]
pub fn indented(text: &str, indent: &str) -> String {
    let mut lines = text.lines();
    let mut whole = format!("{indent}{}", lines.next().unwrap_or_default());
    let rest: Vec<&str> = lines.collect();
    let own = |line: &&str| line.len() - line.trim_start().len();
    let shared = rest.iter().filter(|line| !line.trim().is_empty()).map(own).min();
    for line in rest {
        whole.push('\n');
        if !line.trim().is_empty() {
            whole.push_str(&format!(
                "{indent}  {}",
                line.get(shared.unwrap_or(0)..).unwrap_or(line)
            ));
        }
    }
    whole
}
