//! Findings for other programs: our own JSON, and SARIF 2.1.0 (OASIS). Both are mirrors that live here alone,
//! so that a finding may change without breaking a reader. Knows no plan text beyond places in it.

mod sarif;

pub use sarif::sarif;

use std::io;

use serde::Serialize;
use serde_json::ser::{CharEscape, Formatter, Serializer};

use super::terminal::unseen;
use crate::base::finding::{Finding, Severity};
use crate::base::source::{Sources, Span};
use crate::compile::Compilation;

/// A compilation, and how its sources are reached from where the command was given, by their numbers.
#[derive(Debug, Clone, Copy)]
pub struct Checked<'a> {
    pub compilation: &'a Compilation,
    pub reached: &'a [String],
}

#[derive(Serialize)]
struct Report<'a> {
    program: &'static str,
    version: &'static str,
    counts: Counts,
    findings: Vec<Reported<'a>>,
}

#[derive(Serialize)]
struct Counts {
    fault: usize,
    doubt: usize,
    advice: usize,
    accepted: usize,
}

#[derive(Serialize)]
struct Reported<'a> {
    rule: &'a str,
    severity: &'a str,
    what: &'a str,
    places: Vec<Place<'a>>,
    harm: &'a str,
    mend: Mend<'a>,
    about: &'a [String],
    /// The owner's reason, where the plan accepts it.
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted: Option<&'a str>,
}

#[derive(Serialize)]
struct Place<'a> {
    #[serde(flatten)]
    at: At<'a>,
    words: &'a str,
}

#[derive(Serialize)]
struct Mend<'a> {
    words: &'a str,
    edits: Vec<Edit<'a>>,
}

#[derive(Serialize)]
struct Edit<'a> {
    #[serde(flatten)]
    at: At<'a>,
    text: &'a str,
}

/// Lines and columns from 1, columns in characters, the end behind the last one.
#[derive(Serialize, Clone, Copy)]
struct At<'a> {
    path: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

/// Finds places. Columns are counted on from the last place on the same line, since one line may be a whole
/// file with a finding in every tenth byte.
struct Places<'a> {
    sources: &'a Sources,
    reached: &'a [String],
    last: Option<(u32, u32, usize, usize)>,
}

impl<'a> Places<'a> {
    fn new(checked: Checked<'a>) -> Self {
        Self {
            sources: &checked.compilation.sources,
            reached: checked.reached,
            last: None,
        }
    }

    fn at(&mut self, span: Span) -> Option<At<'a>> {
        let source = self.sources.get(span.source)?;
        let path = self
            .reached
            .get(span.source.0 as usize)
            .map_or_else(|| source.path(), String::as_str);
        let (line, column) = self.line_column(span.source.0, span.start)?;
        let (end_line, end_column) = self.line_column(span.source.0, span.end)?;
        Some(At {
            path,
            line,
            column,
            end_line,
            end_column,
        })
    }

    fn line_column(&mut self, number: u32, at: u32) -> Option<(usize, usize)> {
        let source = self.sources.get(crate::base::source::SourceId(number))?;
        let line = source.line_of(at);
        let (line_start, line_end) = source.line_range(line);
        let at = at.clamp(line_start, line_end);
        let (from, before) = match self.last {
            Some((known, place, known_line, column))
                if known == number && known_line == line && place <= at =>
            {
                (place, column)
            }
            _ => (line_start, 1),
        };
        let column = before + source.slice(from, at).chars().count();
        self.last = Some((number, at, line, column));
        Some((line + 1, column))
    }
}

/// Standing findings first, then accepted ones; each list in order of places.
#[must_use]
pub fn json(all: &[Checked]) -> String {
    let count = |severity| all.iter().map(|done| done.compilation.count(severity)).sum();
    let mut findings = Vec::new();
    for done in all {
        let mut places = Places::new(*done);
        let standing = done.compilation.findings.iter().map(|finding| (finding, None));
        let accepted = done.compilation.accepted.iter();
        let accepted = accepted.map(|(finding, accept)| (finding, Some(&*accept.because)));
        findings.extend(
            standing
                .chain(accepted)
                .map(|(finding, reason)| reported(finding, reason, &mut places)),
        );
    }
    written(&Report {
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        counts: Counts {
            fault: count(Severity::Fault),
            doubt: count(Severity::Doubt),
            advice: count(Severity::Advice),
            accepted: all.iter().map(|done| done.compilation.accepted.len()).sum(),
        },
        findings,
    })
}

fn reported<'a>(finding: &'a Finding, accepted: Option<&'a str>, places: &mut Places<'a>) -> Reported<'a> {
    Reported {
        rule: finding.rule.name,
        severity: finding.severity.word(),
        what: &finding.what,
        places: finding
            .labels
            .iter()
            .filter_map(|label| {
                Some(Place {
                    at: places.at(label.span)?,
                    words: &label.words,
                })
            })
            .collect(),
        harm: &finding.harm,
        mend: Mend {
            words: &finding.mend.words,
            edits: finding
                .mend
                .edits
                .iter()
                .filter_map(|edit| {
                    Some(Edit {
                        at: places.at(edit.span)?,
                        text: &edit.text,
                    })
                })
                .collect(),
        },
        about: &finding.about,
        accepted,
    }
}

/// Indented JSON that ends in a line end.
fn written(value: &impl Serialize) -> String {
    let mut bytes = Vec::new();
    let mut serializer = Serializer::with_formatter(&mut bytes, Careful::default());
    value
        .serialize(&mut serializer)
        .expect("the mirrors hold only lists, numbers and texts, which JSON can say");
    let mut text = String::from_utf8(bytes).expect("JSON made of texts is a text");
    text.push('\n');
    text
}

/// Indents, and escapes what a terminal would obey: the output may be looked at with the eye.
#[derive(Default)]
struct Careful {
    depth: usize,
    filled: bool,
}

impl Careful {
    fn begin(&mut self, to: &mut (impl io::Write + ?Sized), sign: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.filled = false;
        to.write_all(sign)
    }

    fn end(&mut self, to: &mut (impl io::Write + ?Sized), sign: &[u8]) -> io::Result<()> {
        self.depth -= 1;
        if self.filled {
            self.line(to)?;
        }
        self.filled = true;
        to.write_all(sign)
    }

    fn next(&mut self, to: &mut (impl io::Write + ?Sized), first: bool) -> io::Result<()> {
        if !first {
            to.write_all(b",")?;
        }
        self.line(to)
    }

    fn line(&self, to: &mut (impl io::Write + ?Sized)) -> io::Result<()> {
        to.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| to.write_all(b"  "))
    }
}

impl Formatter for Careful {
    fn begin_array<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.begin(to, b"[")
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.end(to, b"]")
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.next(to, first)
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.begin(to, b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.end(to, b"}")
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.next(to, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        to.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }

    fn write_string_fragment<W: ?Sized + io::Write>(&mut self, to: &mut W, fragment: &str) -> io::Result<()> {
        let mut rest = fragment;
        while let Some((at, character)) = rest.char_indices().find(|&(_, character)| unseen(character)) {
            let (plain, after) = rest.split_at(at);
            to.write_all(plain.as_bytes())?;
            for unit in character.encode_utf16(&mut [0; 2]) {
                write!(to, "\\u{unit:04x}")?;
            }
            rest = after.get(character.len_utf8()..).unwrap_or_default();
        }
        to.write_all(rest.as_bytes())
    }

    fn write_char_escape<W: ?Sized + io::Write>(&mut self, to: &mut W, escape: CharEscape) -> io::Result<()> {
        match escape {
            CharEscape::Quote => to.write_all(b"\\\""),
            CharEscape::ReverseSolidus | CharEscape::Solidus => to.write_all(b"\\\\"),
            CharEscape::Backspace => to.write_all(b"\\b"),
            CharEscape::FormFeed => to.write_all(b"\\f"),
            CharEscape::LineFeed => to.write_all(b"\\n"),
            CharEscape::CarriageReturn => to.write_all(b"\\r"),
            CharEscape::Tab => to.write_all(b"\\t"),
            CharEscape::AsciiControl(byte) => write!(to, "\\u{byte:04x}"),
        }
    }
}

#[cfg(test)]
mod tests;
