//! Findings as a terminal shows them. The only file that touches miette, which draws the excerpts; heads,
//! harm and mends are set here, so that every line keeps to the width. Knows no terminal and no environment:
//! how wide, in which colours and signs is told by a [`Look`].

mod excerpt;
mod words;

pub use words::{unseen, visible, width, wrapped};

use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};

use crate::base::finding::{Edit, Finding, Severity};
use crate::base::source::Sources;
use crate::compile::Compilation;
use excerpt::{Excerpt, Excerpts, excerpts};
use words::{clipped, clipped_left};

/// How findings are shown.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Columns of the terminal; text keeps within them from 30 on.
    pub columns: usize,
    pub colour: bool,
    /// Lines drawn with box characters, or with what every terminal has.
    pub plain_signs: bool,
    /// Findings shown before the rest is only counted.
    pub most: usize,
}

/// Longest sentence of a finding that is shown whole: names come from plans, and may be of any length.
const LONGEST: usize = 2_000;

/// Shows findings and how many there are. With more than the look allows, the gravest are shown, in order of
/// their places.
#[must_use]
pub fn findings(compilations: &[&Compilation], look: Look) -> String {
    let all: Vec<(&Sources, &Finding)> = compilations
        .iter()
        .flat_map(|done| done.findings.iter().map(|finding| (&done.sources, finding)))
        .collect();
    let mut chosen: Vec<usize> = (0..all.len()).collect();
    if all.len() > look.most {
        chosen.sort_by_key(|&at| std::cmp::Reverse(all.get(at).map(|(_, finding)| finding.severity)));
        chosen.truncate(look.most);
        chosen.sort_unstable();
    }
    let mut text = String::new();
    for (sources, finding) in chosen.iter().filter_map(|&at| all.get(at)) {
        show(&mut text, sources, finding, look);
        text.push('\n');
    }
    let left = all.len() - chosen.len();
    if left > 0 {
        let sentence = format!("{left} more, none more serious; `--all` shows every one.");
        paragraph(&mut text, "", "", &sentence, look);
    }
    if let Some((_, finding)) = chosen.first().and_then(|&at| all.get(at)) {
        let sentence = format!("`boltfolio why {}` explains the rule.", finding.rule.name);
        paragraph(&mut text, "", "", &sentence, look);
    }
    if compilations.iter().any(|done| done.unwalked) {
        let sentence = "Fix these first; the steps are not checked yet.";
        paragraph(&mut text, "", "", sentence, look);
    }
    paragraph(&mut text, "", "", &counts(compilations), look);
    text
}

/// "3 faults, 1 doubt; 2 accepted".
#[must_use]
pub fn counts(compilations: &[&Compilation]) -> String {
    let standing: Vec<String> = Severity::ALL
        .iter()
        .map(|&severity| {
            let count = compilations.iter().map(|done| done.count(severity)).sum();
            (severity, count)
        })
        .filter(|&(_, count)| count > 0)
        .map(|(severity, count)| severity.words(count))
        .collect();
    let accepted: usize = compilations.iter().map(|done| done.accepted.len()).sum();
    let mut sentence = if standing.is_empty() {
        format!("{}: nothing to report", looked_at(compilations))
    } else {
        standing.join(", ")
    };
    if accepted > 0 {
        sentence.push_str(&format!("; {accepted} accepted"));
    }
    sentence
}

/// "102 steps walked, 151 joints, 21 messages": that nothing is found says something of so much.
fn looked_at(compilations: &[&Compilation]) -> String {
    let sum = |of: &dyn Fn(&Compilation) -> usize| compilations.iter().map(|done| of(done)).sum::<usize>();
    let some = |count: usize, word: &str, more: &str| match count {
        1 => format!("1 {word}{more}"),
        n => format!("{n} {word}s{more}"),
    };
    [
        some(sum(&|done| done.plan.order.len()), "step", " walked"),
        some(sum(&|done| done.plan.joints.len()), "joint", ""),
        some(sum(&|done| done.plan.cautions.len()), "message", ""),
    ]
    .join(", ")
}

fn show(text: &mut String, sources: &Sources, finding: &Finding, look: Look) {
    let head = format!("{} {}:", finding.severity.word(), finding.rule.name);
    paragraph(text, &head, "  ", &finding.what, look);
    snippet(text, sources, finding, look);
    if !finding.harm.is_empty() {
        indented(text, "If left:", &finding.harm, look);
    }
    if !finding.mend.words.is_empty() {
        indented(text, "Fix:", &finding.mend.words, look);
    }
    for edit in &finding.mend.edits {
        // The words may hold the text already.
        if edit.text.trim().is_empty() || !finding.mend.words.contains(edit.text.trim()) {
            show_edit(text, sources, finding, edit, look);
        }
    }
}

fn show_edit(text: &mut String, sources: &Sources, finding: &Finding, edit: &Edit, look: Look) {
    let same_source = finding
        .place()
        .is_some_and(|place| place.source == edit.span.source);
    let place = visible(&sources.place(edit.span));
    let line = match place.rsplit_once(':') {
        Some((_, line)) if same_source => format!("line {line}"),
        _ => place,
    };
    let there = clipped(&visible(sources.text(edit.span).trim()), 30, more(look));
    let lead = match (there.as_str(), edit.text.trim()) {
        ("", _) => format!("Write, at {line}:"),
        (there, "") => format!("Take out `{there}` in {line}."),
        (there, _) => format!("Write, for `{there}` in {line}:"),
    };
    indented(text, &lead, "", look);
    // What is to be pasted is never wrapped.
    for line in edit.text.trim_matches('\n').lines() {
        text.push_str(&format!("      {}\n", visible(line)));
    }
}

fn more(look: Look) -> &'static str {
    if look.plain_signs { "..." } else { "…" }
}

/// A head in the finding's colour where it names a severity, and a sentence after it.
fn paragraph(text: &mut String, head: &str, rest: &str, sentence: &str, look: Look) {
    let sentence = clipped(&visible(sentence), LONGEST, more(look));
    let lines = wrapped(&sentence, look.columns.saturating_sub(width(rest)), width(head));
    for (number, line) in lines.iter().enumerate() {
        if number == 0 {
            text.push_str(&painted(head, look));
            let gap = if head.is_empty() || line.is_empty() {
                ""
            } else {
                " "
            };
            text.push_str(gap);
        } else {
            text.push_str(rest);
        }
        text.push_str(line);
        text.push('\n');
    }
}

fn indented(text: &mut String, lead: &str, sentence: &str, look: Look) {
    let whole = format!("{lead} {}", clipped(&visible(sentence), LONGEST, more(look)));
    for (number, line) in wrapped(&whole, look.columns.saturating_sub(4), 0)
        .iter()
        .enumerate()
    {
        text.push_str(if number == 0 { "  " } else { "    " });
        text.push_str(line);
        text.push('\n');
    }
}

fn painted(head: &str, look: Look) -> String {
    let code = Severity::ALL
        .iter()
        .find(|severity| head.starts_with(severity.word()))
        .map(|severity| match severity {
            Severity::Fault => "1;31",
            Severity::Doubt => "1;33",
            Severity::Advice => "1;36",
        });
    match code {
        Some(code) if look.colour => format!("\u{1b}[{code}m{head}\u{1b}[0m"),
        _ => head.to_owned(),
    }
}

fn theme(severity: Severity, look: Look) -> GraphicalTheme {
    let mut styles = if look.colour {
        ThemeStyles::ansi()
    } else {
        ThemeStyles::none()
    };
    styles.link = styles.help;
    styles.highlights = vec![match severity {
        Severity::Fault => styles.error,
        Severity::Doubt => styles.warning,
        Severity::Advice => styles.advice,
    }];
    let characters = if look.plain_signs {
        ThemeCharacters::ascii()
    } else {
        ThemeCharacters::unicode()
    };
    GraphicalTheme { characters, styles }
}

fn snippet(text: &mut String, sources: &Sources, finding: &Finding, look: Look) {
    if finding.labels.is_empty() {
        return;
    }
    let mut cut = excerpts(sources, &finding.labels, look.columns, more(look));
    for piece in &mut cut.pieces {
        let last_line = piece.first_line + piece.text.lines().count();
        // Corner, brackets, and a place with its column take the rest of the line.
        let room = look
            .columns
            .saturating_sub(2 * last_line.to_string().len() + 13)
            .max(8);
        piece.path = clipped_left(&piece.path, room, more(look));
    }
    let shown = Shown { cut };
    let handler = GraphicalReportHandler::new_themed(theme(finding.severity, look))
        .with_width(look.columns)
        .with_links(false)
        .without_cause_chain()
        .without_syntax_highlighting();
    let mut drawn = String::new();
    // Writing to a string fails only where a span lies outside its excerpt; then the sentences must do.
    if handler.render_report(&mut drawn, &shown).is_err() {
        return;
    }
    // The first line is the sign and the sentence of the library's own head; ours stands already.
    let excerpt = drawn.split_once('\n').map_or("", |(_, rest)| rest);
    for line in excerpt.lines() {
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

/// What is handed to miette: excerpts and marks, no words of its own.
#[derive(Debug)]
struct Shown {
    cut: Excerpts,
}

impl fmt::Display for Shown {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.cut)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.cut.marks.iter().map(|mark| {
            let words = (!mark.words.is_empty()).then(|| mark.words.clone());
            let span = (mark.start, mark.end - mark.start);
            if mark.first {
                LabeledSpan::new_primary_with_span(words, span)
            } else {
                LabeledSpan::new_with_span(words, span)
            }
        })))
    }
}

impl Excerpts {
    fn holding(&self, span: &SourceSpan) -> Option<&Excerpt> {
        self.pieces.iter().find(|piece| {
            (piece.start..=piece.start + piece.text.len()).contains(&span.offset())
                && span.offset() + span.len() <= piece.start + piece.text.len()
        })
    }
}

impl SourceCode for Excerpts {
    /// Asked for a place alone, it tells where the mark lies in the plan; asked for lines around, it gives
    /// the excerpt. A span over two excerpts is refused, which keeps distant marks apart.
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let piece = self.holding(span).ok_or(MietteError::OutOfBounds)?;
        let lines = piece.text.lines().count();
        let mark = self
            .marks
            .iter()
            .find(|mark| (mark.start, mark.end) == (span.offset(), span.offset() + span.len()))
            .filter(|_| before == 0 && after == 0);
        let (span, line, column, data) = match mark {
            Some(mark) => (*span, mark.line, mark.column, ""),
            None => (
                (piece.start, piece.text.len()).into(),
                piece.first_line,
                0,
                piece.text.as_str(),
            ),
        };
        Ok(Box::new(MietteSpanContents::new_named(
            piece.path.clone(),
            data.as_bytes(),
            span,
            line,
            column,
            lines,
        )))
    }
}

#[cfg(test)]
mod tests;
