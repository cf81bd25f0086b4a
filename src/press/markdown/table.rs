//! Tables in GFM: padded so that they read in the raw as well, unless that makes them too wide. Must not know what
//! the cells say.

use crate::binder::document::Align;

/// Wider tables are not padded: their lines would wrap anyway.
const WIDEST: usize = 100;

/// A table from its heads and rows. Cells are Markdown already, without line breaks.
#[must_use]
pub fn table(heads: &[(String, Align)], rows: &[Vec<String>]) -> Vec<String> {
    let columns = heads.len();
    let length = |text: &String| text.chars().count();
    let widths: Vec<usize> = (0..columns)
        .map(|at| {
            let head = heads.get(at).map_or(0, |(head, _)| length(head));
            let cells = rows
                .iter()
                .filter_map(|row| row.get(at))
                .map(length)
                .max()
                .unwrap_or(0);
            head.max(cells).max(3)
        })
        .collect();
    let padded = widths.iter().map(|width| width + 3).sum::<usize>() < WIDEST;
    let right = |at: usize| heads.get(at).is_some_and(|(_, align)| *align != Align::Left);
    let line = |cells: &dyn Fn(usize) -> String| {
        let mut out = String::from("|");
        for (at, width) in widths.iter().enumerate() {
            let cell = cells(at);
            let blank = " ".repeat(if padded {
                width.saturating_sub(cell.chars().count())
            } else {
                0
            });
            if right(at) {
                out.push_str(&format!(" {blank}{cell} |"));
            } else {
                out.push_str(&format!(" {cell}{blank} |"));
            }
        }
        out
    };
    let mut out = vec![line(&|at| {
        heads.get(at).map_or_else(String::new, |(head, _)| head.clone())
    })];
    out.push(line(&|at| {
        let width = if padded {
            widths.get(at).copied().unwrap_or(3)
        } else {
            3
        };
        if right(at) {
            format!("{}:", "-".repeat(width - 1))
        } else {
            "-".repeat(width)
        }
    }));
    for row in rows {
        out.push(line(&|at| row.get(at).cloned().unwrap_or_default()));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::table;
    use crate::binder::document::Align;

    #[test]
    fn columns_line_up_in_the_raw() {
        let heads = [
            ("What".to_owned(), Align::Left),
            ("kg".to_owned(), Align::Decimal),
        ];
        let lines = table(
            &heads,
            &[
                vec!["axle".into(), "74.5".into()],
                vec!["drum, left".into(), "8".into()],
            ],
        );
        assert_eq!(
            lines,
            [
                "| What       |   kg |",
                "| ---------- | ---: |",
                "| axle       | 74.5 |",
                "| drum, left |    8 |",
            ]
        );
    }
}
