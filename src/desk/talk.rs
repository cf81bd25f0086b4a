//! Writing to standard output and standard error. A reader that goes away, as `| head -1` does, ends the
//! output quietly; nothing here panics.

use std::io::{self, ErrorKind, Write};

use super::surroundings::Surroundings;
use super::{Outcome, Trouble};
use crate::press::terminal::{visible, wrapped};

/// Writes a text to standard output. A closed pipe is no trouble; a full disk behind it is.
pub(super) fn show(text: &str) -> Result<Outcome, Trouble> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(Outcome::Clean),
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(Outcome::Clean),
        Err(error) => Err(Trouble::new(format!(
            "The result could not be written to standard output: {}.",
            reason(&error)
        ))),
    }
}

/// Writes a text to standard error. When that fails there is nobody left to tell.
pub(super) fn aside(text: &str) {
    let mut error = io::stderr().lock();
    let _ = error.write_all(text.as_bytes()).and_then(|()| error.flush());
}

/// Why the command could not be carried out, on standard error.
pub(super) fn sentence(text: &str, around: &Surroundings) {
    let mut whole = String::new();
    for paragraph in text.lines() {
        let shown = visible(paragraph);
        for line in wrapped(&shown, around.error_columns(), 0) {
            whole.push_str(&line);
            whole.push('\n');
        }
    }
    aside(&whole);
}

/// Says on a terminal what is being done, in one line that goes away; says nothing in a pipe.
pub(super) struct Progress {
    watched: bool,
    columns: usize,
}

impl Progress {
    pub(super) fn new(around: &Surroundings) -> Self {
        Self {
            watched: around.watched(),
            columns: around.error_columns(),
        }
    }

    pub(super) fn now(&self, doing: &str) {
        if self.watched {
            let shown = visible(doing);
            let line = wrapped(&shown, self.columns.saturating_sub(1), 0);
            let first = line.first().map_or("", String::as_str);
            aside(&format!("\r\u{1b}[K{first}"));
        }
    }

    /// Clears the line, before anything else is written.
    pub(super) fn done(&self) {
        if self.watched {
            aside("\r\u{1b}[K");
        }
    }
}

/// What the system says about a failure, without its error number.
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "permission denied".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk may only be read".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::NotADirectory => "a file stands where a folder should be".to_owned(),
        ErrorKind::QuotaExceeded => "the space that you may use is full".to_owned(),
        _ => {
            let text = error.to_string();
            text.split(" (os error").next().unwrap_or_default().to_lowercase()
        }
    }
}
