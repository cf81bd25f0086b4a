//! What the program finds around it: terminal, width, colours, signs, today. Asked once, at the start.

use std::io::IsTerminal;

use crate::base::date::Date;
use crate::press::terminal::Look;

/// Widths that text is set to, whatever the terminal says.
const NARROWEST: usize = 30;
const WIDEST: usize = 120;
const IN_A_PIPE: usize = 80;

/// Findings shown before the rest is only counted.
const MOST: usize = 50;

#[derive(Debug, Clone, Copy)]
pub(super) struct Surroundings {
    out: Stream,
    error: Stream,
    plain_signs: bool,
}

#[derive(Debug, Clone, Copy)]
struct Stream {
    terminal: bool,
    columns: usize,
    colour: bool,
}

impl Surroundings {
    pub(super) fn seen() -> Self {
        let (out, error) = (std::io::stdout(), std::io::stderr());
        let asked = std::env::var("COLUMNS")
            .ok()
            .and_then(|columns| columns.trim().parse::<usize>().ok());
        let stream = |terminal: bool, size: Option<(terminal_size::Width, terminal_size::Height)>| Stream {
            terminal,
            columns: asked
                .or_else(|| size.filter(|_| terminal).map(|(width, _)| usize::from(width.0)))
                .filter(|&columns| columns > 0)
                .unwrap_or(IN_A_PIPE)
                .clamp(NARROWEST, WIDEST),
            colour: terminal && colour_wanted(),
        };
        Self {
            out: stream(out.is_terminal(), terminal_size::terminal_size_of(&out)),
            error: stream(error.is_terminal(), terminal_size::terminal_size_of(&error)),
            plain_signs: plain_signs(|name| std::env::var(name).ok()),
        }
    }

    /// Whether a person can be asked: both ends are a terminal.
    pub(super) fn can_ask(&self) -> bool {
        self.out.terminal && std::io::stdin().is_terminal()
    }

    /// Columns of standard output.
    pub(super) fn columns(&self) -> usize {
        self.out.columns
    }

    /// Columns of standard error.
    pub(super) fn error_columns(&self) -> usize {
        self.error.columns
    }

    /// Whether somebody watches standard error: then long work says what it does.
    pub(super) fn watched(&self) -> bool {
        self.error.terminal && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
    }

    /// For findings on standard output.
    pub(super) fn look(&self, all: bool) -> Look {
        self.look_of(self.out, all)
    }

    /// For findings on standard error.
    pub(super) fn error_look(&self, all: bool) -> Look {
        self.look_of(self.error, all)
    }

    fn look_of(&self, stream: Stream, all: bool) -> Look {
        Look {
            columns: stream.columns,
            colour: stream.colour,
            plain_signs: self.plain_signs,
            most: if all { usize::MAX } else { MOST },
        }
    }
}

/// Neither NO_COLOR nor a terminal that has none.
pub(super) fn colour_wanted() -> bool {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    !refused && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// Whether the locale names a character set without box signs. No locale at all is taken for a modern
/// terminal.
fn plain_signs(variable: impl Fn(&str) -> Option<String>) -> bool {
    ["LC_ALL", "LC_CTYPE", "LANG"]
        .iter()
        .find_map(|name| variable(name).filter(|value| !value.is_empty()))
        .is_some_and(|locale| {
            let locale = locale.to_ascii_lowercase();
            !locale.contains("utf-8") && !locale.contains("utf8")
        })
}

/// The day on the clock, where the computer is.
pub(super) fn today() -> Date {
    let day = jiff::Zoned::now().date();
    Date::read(&day.to_string()).unwrap_or(Date {
        year: 1900,
        month: 1,
        day: 1,
    })
}

#[cfg(test)]
mod tests {
    use super::plain_signs;

    #[test]
    fn the_first_locale_that_is_set_decides() {
        let with = |set: &'static [(&str, &str)]| {
            plain_signs(move |name| {
                set.iter()
                    .find(|(known, _)| *known == name)
                    .map(|(_, value)| (*value).to_owned())
            })
        };
        assert!(!with(&[]));
        assert!(!with(&[("LANG", "en_GB.UTF-8")]));
        assert!(with(&[("LANG", "en_GB.UTF-8"), ("LC_ALL", "C")]));
        assert!(!with(&[("LANG", "C"), ("LC_CTYPE", "C.utf8"), ("LC_ALL", "")]));
        assert!(with(&[("LANG", "de_DE.ISO-8859-1")]));
    }
}
