//! The few lines of a plan that a finding shows, cut out and made printable, with its marks placed in them.
//! Lines come from the source's index, so that a finding costs what it shows and not what the file holds.
//! Knows no terminal library.

use super::words::{clipped, push_visible, visible, width, width_of, wrapped};
use crate::base::finding::Label;
use crate::base::source::{Source, SourceId, Sources};

/// Lines that adjoin, from one source.
#[derive(Debug)]
pub(super) struct Excerpt {
    pub(super) path: String,
    /// From 0.
    pub(super) first_line: usize,
    /// Each line ends in `\n`.
    pub(super) text: String,
    /// Where the text begins in the numbering that all excerpts of a finding share.
    pub(super) start: usize,
}

/// A label in that numbering.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) start: usize,
    pub(super) end: usize,
    /// Wrapped; empty where there is nothing to say.
    pub(super) words: String,
    /// Place in the source: line from 0, column in characters from 0.
    pub(super) line: usize,
    pub(super) column: usize,
    /// Whether the finding stands here.
    pub(super) first: bool,
}

#[derive(Debug)]
pub(super) struct Excerpts {
    pub(super) pieces: Vec<Excerpt>,
    pub(super) marks: Vec<Mark>,
}

/// What is known of a label before its line is drawn.
struct Place<'a> {
    label: &'a Label,
    line: usize,
    start: u32,
    end: u32,
    first: bool,
}

/// Lines apart that are still shown as one stretch.
const NEAR: usize = 3;

/// Cuts out what a finding's labels show, the finding's own place first. `columns` is the terminal's width,
/// `more` stands where a line goes on.
pub(super) fn excerpts(sources: &Sources, labels: &[Label], columns: usize, more: &str) -> Excerpts {
    let mut out = Excerpts {
        pieces: Vec::new(),
        marks: Vec::new(),
    };
    let mut next = 0;
    for (id, group) in groups(sources, labels) {
        let Some(source) = sources.get(id) else { continue };
        let lines = group.iter().map(|place| place.line);
        let (low, high) = (lines.clone().min().unwrap_or(0), lines.max().unwrap_or(0));
        // One line more at either end, where it says something.
        let says = |line: &usize| {
            let (start, end) = source.line_range(*line);
            source
                .slice(start, end)
                .chars()
                .take(columns)
                .any(|c| !c.is_whitespace())
        };
        let first = low.checked_sub(1).filter(says).unwrap_or(low);
        let last = high.checked_add(1).filter(says).unwrap_or(high);
        let room = columns.saturating_sub((last + 1).to_string().len() + 4).max(12);
        let mut text = String::new();
        for line in first..=last {
            let here: Vec<&Place> = group.iter().filter(|place| place.line == line).collect();
            let drawn = Drawn::new(source, line, &here, room, more);
            for place in here {
                out.marks.push(drawn.mark(source, place, next + text.len(), room));
            }
            text.push_str(&drawn.text);
            text.push('\n');
        }
        let start = next;
        // One number between two excerpts belongs to neither, so that no mark touches both.
        next += text.len() + 1;
        out.pieces.push(Excerpt {
            path: visible(source.path()),
            first_line: first,
            text,
            start,
        });
    }
    let mut seen: Vec<Mark> = Vec::with_capacity(out.marks.len());
    for mark in out.marks.drain(..) {
        if !seen
            .iter()
            .any(|other| (other.start, other.end, &other.words) == (mark.start, mark.end, &mark.words))
        {
            seen.push(mark);
        }
    }
    out.marks = seen;
    out
}

/// Labels that lie close together, group by group; the group of the first label leads.
fn groups<'a>(sources: &Sources, labels: &'a [Label]) -> Vec<(SourceId, Vec<Place<'a>>)> {
    let mut order: Vec<SourceId> = Vec::new();
    for label in labels {
        if !order.contains(&label.span.source) {
            order.push(label.span.source);
        }
    }
    let mut groups: Vec<(SourceId, Vec<Place>)> = Vec::new();
    for id in order {
        let Some(source) = sources.get(id) else { continue };
        let mut places: Vec<Place> = labels
            .iter()
            .enumerate()
            .filter(|(_, label)| label.span.source == id)
            .map(|(number, label)| place(source, label, number == 0))
            .collect();
        places.sort_by_key(|place| (place.start, place.end));
        let mut before: Option<usize> = None;
        for place in places {
            let line = place.line;
            let near = before.is_some_and(|before| line - before <= NEAR);
            match groups.last_mut().filter(|_| near) {
                Some((_, group)) => group.push(place),
                None => groups.push((id, vec![place])),
            }
            before = Some(line);
        }
    }
    let lead = groups
        .iter()
        .position(|(_, group)| group.iter().any(|place| place.first));
    if let Some(lead) = lead {
        let group = groups.remove(lead);
        groups.insert(0, group);
    }
    groups
}

/// A label cut down to its first line.
fn place<'a>(source: &Source, label: &'a Label, first: bool) -> Place<'a> {
    let line = source.line_of(label.span.start);
    let (line_start, line_end) = source.line_range(line);
    let start = floor(source, label.span.start.clamp(line_start, line_end));
    let end = floor(source, label.span.end.clamp(start, line_end));
    Place {
        label,
        line,
        start,
        end,
        first,
    }
}

/// The nearest character boundary at or before a byte.
fn floor(source: &Source, at: u32) -> u32 {
    let boundary = source.text().floor_char_boundary(at as usize);
    u32::try_from(boundary).unwrap_or(at)
}

/// One line as it is shown.
struct Drawn {
    text: String,
    /// Bytes of the source that are shown, each with its place in `text`, in order.
    shown: Vec<(u32, usize)>,
    /// Bytes of `text` that stand for what was cut at either end.
    cut: (usize, usize),
}

impl Drawn {
    fn new(source: &Source, line: usize, places: &[&Place], room: usize, more: &str) -> Drawn {
        let (line_start, line_end) = source.line_range(line);
        let main = places.iter().find(|place| place.first).or(places.first());
        let anchor = main.map_or(line_start, |place| place.start);
        // A line may be the whole of a huge file: only what could be shown is looked at.
        let before: Vec<char> = source
            .slice(line_start, anchor)
            .chars()
            .rev()
            .take(room + 1)
            .collect();
        let after = source.slice(anchor, line_end).chars().take(room + 1);
        let mut at = anchor - before.iter().map(|c| c.len_utf8() as u32).sum::<u32>();
        let starts_cut = at > line_start;
        let mut cells: Vec<(u32, String, usize)> = Vec::new();
        let anchor_cell = before.len();
        for character in before.into_iter().rev().chain(after) {
            let mut cell = String::new();
            push_visible(&mut cell, character);
            let columns = cell.chars().map(width_of).sum();
            cells.push((at, cell, columns));
            at += character.len_utf8() as u32;
        }
        let ends_cut = at < line_end;

        let columns_of = |cells: &[(u32, String, usize)]| cells.iter().map(|cell| cell.2).sum::<usize>();
        let lead = columns_of(cells.get(..anchor_cell).unwrap_or_default());
        let all = columns_of(&cells);
        let words = main.map_or(0, |place| width(&place.label.words).min(18) + 4);
        let marked = main.map_or(0, |place| {
            let within = cells
                .iter()
                .filter(|cell| (place.start..place.end).contains(&cell.0));
            within.map(|cell| cell.2).sum::<usize>()
        });
        let fits = !starts_cut && !ends_cut && all <= room && lead + marked / 2 + words <= room;
        let keep_lead = fits || (!starts_cut && lead <= room / 3);
        let mut first = 0;
        if !keep_lead {
            let mut kept = 0;
            first = anchor_cell;
            for (number, cell) in cells.iter().enumerate().take(anchor_cell).rev() {
                kept += cell.2;
                if kept > room / 5 {
                    break;
                }
                first = number;
            }
        }

        let mut text = String::new();
        let start_cut = first > 0 || starts_cut;
        if start_cut {
            text.push_str(more);
        }
        let cut_before = text.len();
        let mut used = width(&text);
        let rest = cells.get(first..).unwrap_or_default();
        let rest_columns = columns_of(rest);
        let limit = if used + rest_columns <= room && !ends_cut {
            room
        } else {
            room.saturating_sub(width(more))
        };
        let mut shown = Vec::new();
        let mut cut_after = 0;
        for (at, cell, columns) in rest {
            if used + columns > limit {
                text.push_str(more);
                cut_after = more.len();
                break;
            }
            shown.push((*at, text.len()));
            text.push_str(cell);
            used += columns;
        }
        if cut_after == 0 && ends_cut {
            text.push_str(more);
            cut_after = more.len();
        }
        Drawn {
            text,
            shown,
            cut: (cut_before, cut_after),
        }
    }

    /// Where a byte of the source stands in the text.
    fn find(&self, at: u32) -> usize {
        let shown_end = self.text.len() - self.cut.1;
        match self.shown.first() {
            Some((first, _)) if at < *first => 0,
            _ => self
                .shown
                .iter()
                .find(|(shown, _)| *shown >= at)
                .map_or(shown_end, |(_, offset)| *offset),
        }
    }

    fn mark(&self, source: &Source, place: &Place, text_start: usize, room: usize) -> Mark {
        let start = self.find(place.start);
        let (first_shown, end_shown) = (self.cut.0, self.text.len() - self.cut.1);
        let mut end = self.find(place.end).max(start);
        // What lies wholly in a cut part is marked at the sign that stands for it.
        if start == end && place.end > place.start {
            end = if start < first_shown {
                first_shown
            } else if start == end_shown {
                self.text.len()
            } else {
                end
            };
        }
        let middle = width(self.text.get(..start).unwrap_or_default())
            + width(self.text.get(start..end).unwrap_or_default()) / 2;
        let mut words = visible(&place.label.words);
        let last_line = source.line_of(place.label.span.end.max(1) - 1);
        if place.label.span.end > place.end && last_line > place.line {
            let gap = if words.is_empty() { "" } else { " " };
            words.push_str(&format!("{gap}(to line {})", last_line + 1));
        }
        let words = clipped(&words, 400, "...");
        let wrap = room.saturating_sub(middle + 4).max(8);
        let (line, column) = source.line_column(place.start);
        Mark {
            start: text_start + start,
            end: text_start + end,
            words: wrapped(&words, wrap, 0).join("\n"),
            line: line - 1,
            column: column - 1,
            first: place.first,
        }
    }
}
