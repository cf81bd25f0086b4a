//! A list as a spreadsheet saves it, to rows of cells. The only file that knows the csv crate; what the columns mean is not known here.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::Trouble;
use super::talk::reason;
use crate::enter::rough::Row;

/// Largest list that is read.
const LARGEST: u64 = 64 << 20;

/// The heads of a list, and its rows.
#[derive(Debug)]
pub(super) struct List {
    /// As the command named it.
    pub(super) called: String,
    pub(super) heads: Row,
    pub(super) rows: Vec<Row>,
}

pub(super) fn read(path: &Path) -> Result<List, Trouble> {
    let is_input = path == Path::new("-");
    let called = if is_input {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    };
    let unread =
        |error: std::io::Error| Trouble::new(format!("{called} cannot be read: {}.", reason(&error)));
    let mut bytes = Vec::new();
    if is_input {
        std::io::stdin()
            .lock()
            .take(LARGEST + 1)
            .read_to_end(&mut bytes)
            .map_err(unread)?;
    } else {
        let file = File::open(path).map_err(unread)?;
        file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(unread)?;
    }
    if bytes.len() as u64 > LARGEST {
        return Err(Trouble::new(format!(
            "{called} is too large: a list may hold 64 MiB. Is it a list of parts?"
        )));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes().iter().take(good).filter(|byte| **byte == b'\n').count() + 1;
        Trouble::new(format!(
            "{called}:{line} is not UTF-8, and its letters cannot be told. Save the list as \"CSV UTF-8\". Nothing was written."
        ))
    })?;
    rows(called, text.strip_prefix('\u{feff}').unwrap_or(&text))
}

fn rows(called: String, text: &str) -> Result<List, Trouble> {
    // Some programs say in a first line what parts the cells.
    let first = text.lines().next().unwrap_or_default();
    let said = first.strip_prefix("sep=").and_then(|rest| rest.bytes().next());
    let (text, skipped) = match said {
        Some(_) => (text.split_once('\n').map_or("", |(_, rest)| rest), 1),
        None => (text, 0),
    };
    let delimiter = said.unwrap_or_else(|| delimiter_of(text));
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut all = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            let line = error.position().map_or(0, |at| at.line() + skipped);
            Trouble::new(format!(
                "{called}:{line} cannot be read as a row of a list. Nothing was written."
            ))
        })?;
        let line = record.position().map_or(0, csv::Position::line) + skipped;
        let cells: Vec<String> = record.iter().map(str::to_owned).collect();
        if cells.iter().any(|cell| !cell.is_empty()) {
            all.push(Row { line, cells });
        }
    }
    let mut all = all.into_iter();
    let Some(heads) = all.next() else {
        return Err(Trouble::new(format!(
            "{called} is empty. A list has a line of heads, such as name;mass kg, and a line a part. Nothing was written."
        )));
    };
    Ok(List {
        called,
        heads,
        rows: all.collect(),
    })
}

/// What parts the cells of the first line that is not blank, outside of quotes; a tab or a semicolon rather than a comma.
fn delimiter_of(text: &str) -> u8 {
    let line = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_default();
    let mut quoted = false;
    let mut counts = [(b'\t', 0), (b';', 0), (b',', 0)];
    for byte in line.bytes() {
        quoted ^= byte == b'"';
        if let Some((_, count)) = counts.iter_mut().find(|(sign, _)| !quoted && *sign == byte) {
            *count += 1;
        }
    }
    let found = counts.iter().find(|(_, count)| *count > 0);
    found.map_or(b',', |(sign, _)| *sign)
}
