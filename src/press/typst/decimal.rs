//! Figures of a column stand point under point: shorter decimals are filled up with blanks as wide as a figure.
//! Must not know tables beyond their cells' texts.

use crate::binder::document::{Align, Cell, Line, Table, text_of};

const FIGURE_BLANK: char = '\u{2007}';
const POINT_BLANK: char = '\u{2008}';

/// Fills up the decimal columns of a table.
pub fn pad(table: &mut Table) {
    let decimal: Vec<usize> = table
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| column.align == Align::Decimal)
        .map(|(at, _)| at)
        .collect();
    for at in decimal {
        let cells = || {
            table
                .groups
                .iter()
                .flat_map(|group| &group.rows)
                .filter_map(|row| row.cells.get(at))
        };
        let most = cells()
            .filter_map(text)
            .filter_map(|shown| decimals(&shown))
            .max()
            .unwrap_or(0);
        for group in &mut table.groups {
            for cell in group.rows.iter_mut().filter_map(|row| row.cells.get_mut(at)) {
                if let Cell::Line(line) = cell {
                    fill(line, most);
                }
            }
        }
    }
}

fn text(cell: &Cell) -> Option<String> {
    match cell {
        Cell::Line(line) => Some(text_of(line)),
        _ => None,
    }
}

/// How many figures follow the point of the number that the text begins with.
fn decimals(shown: &str) -> Option<usize> {
    let number = number_end(shown)?;
    let figure = shown.get(..number)?;
    Some(figure.split_once('.').map_or(0, |(_, after)| after.len()))
}

fn number_end(shown: &str) -> Option<usize> {
    let end = shown
        .char_indices()
        .find(|(_, sign)| {
            !(sign.is_ascii_digit() || matches!(sign, '.' | '+' | '-' | '−' | '±' | ' ' | '\u{A0}'))
        })
        .map_or(shown.len(), |(at, _)| at);
    let number = shown.get(..end)?.trim_end();
    number
        .bytes()
        .any(|byte| byte.is_ascii_digit())
        .then_some(number.len())
}

fn fill(line: &mut Line, most: usize) {
    let Some(have) = decimals(&text_of(line)) else {
        return;
    };
    let mut blanks = String::new();
    if have == 0 && most > 0 {
        blanks.push(POINT_BLANK);
    }
    blanks.extend(std::iter::repeat_n(FIGURE_BLANK, most - have));
    // The blanks go behind the number, before a unit that follows it; numbers stand in the first run.
    if let Some(run) = line.first_mut() {
        let end = number_end(&run.text).unwrap_or(run.text.len());
        run.text.insert_str(end, &blanks);
    }
}

#[cfg(test)]
mod tests {
    use super::{decimals, fill};
    use crate::binder::document::{plain, text_of};

    #[test]
    fn figures_stand_point_under_point() {
        let filled = |text: &str| {
            let mut line = plain(text);
            fill(&mut line, 1);
            text_of(&line)
        };
        assert_eq!(filled("57.4"), "57.4");
        assert_eq!(filled("57"), "57\u{2008}\u{2007}");
        assert_eq!(filled("−148 kg"), "−148\u{2008}\u{2007} kg");
        assert_eq!(filled("none"), "none");
        assert_eq!(decimals("± 4.25 kg"), Some(2));
    }
}
