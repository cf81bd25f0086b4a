//! Reads instances in the form of PSPLIB (`.sm`): durations, what each piece takes, and what stands behind what.

use std::path::Path;

use boltfolio_core::reckon::laying::{Behind, Piece};
use boltfolio_core::reckon::laying_stock::Draws;

pub struct Instance {
    pub name: String,
    pub there: [u16; 4],
    pub draws: Vec<Draws>,
    pub pieces: Vec<Piece>,
    pub best: u32,
}

/// All of which the best end is given, from a folder with a table of ends beside its `j30`.
pub fn all(folder: &Path, from: u32) -> Vec<Instance> {
    let table = std::fs::read_to_string(folder.join("optima_j30_given.csv")).expect("the table of best ends");
    table
        .lines()
        .skip(1)
        .map(|row| {
            let mut cells = row.split(',');
            let name = cells.next().expect("a name").to_owned();
            let best = cells
                .next()
                .and_then(|end| end.trim().parse().ok())
                .expect("an end");
            let text = std::fs::read_to_string(folder.join("j30").join(&name)).expect("the instance");
            read(name, &text, best, from)
        })
        .collect()
}

fn figures(line: &str) -> Vec<u16> {
    line.split_whitespace()
        .map(|word| word.parse().expect("a figure"))
        .collect()
}

fn read(name: String, text: &str, best: u32, from: u32) -> Instance {
    let lines: Vec<&str> = text.lines().collect();
    let rows = |title: &str, skip: usize| {
        let at = lines
            .iter()
            .position(|line| line.starts_with(title))
            .expect("the table");
        let rows = lines[at + skip..].iter();
        rows.take_while(|line| !line.starts_with('*'))
            .map(|line| figures(line))
            .collect::<Vec<_>>()
    };
    let four = |figures: &[u16]| [figures[0], figures[1], figures[2], figures[3]];
    let ahead = rows("PRECEDENCE", 2);
    let mut pieces = vec![
        Piece {
            behind: Vec::new(),
            not_before: from
        };
        ahead.len()
    ];
    for (at, row) in ahead.iter().enumerate() {
        for &next in &row[3..] {
            pieces[usize::from(next) - 1]
                .behind
                .push(Behind { piece: at, wait: 0 });
        }
    }
    let draws = rows("REQUESTS", 3)
        .iter()
        .map(|row| Draws {
            takes: u32::from(row[2]),
            of_each: four(&row[3..]),
        })
        .collect();
    let there = four(&rows("RESOURCEAVAIL", 2)[0]);
    Instance {
        name,
        there,
        draws,
        pieces,
        best,
    }
}
