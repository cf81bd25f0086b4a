//! Short hands for tables and sections, so that a page's file shows what is on the page. Knows no plan.

use super::document::{Align, Block, Cell, Column, Line, Section, Table, TableGroup, TableRow};

#[must_use]
pub fn column(head: &str, width: u16) -> Column {
    Column {
        head: head.to_owned(),
        width,
        align: Align::Left,
    }
}

#[must_use]
pub fn figures(head: &str, width: u16) -> Column {
    Column {
        align: Align::Decimal,
        ..column(head, width)
    }
}

#[must_use]
pub fn right(head: &str, width: u16) -> Column {
    Column {
        align: Align::Right,
        ..column(head, width)
    }
}

#[must_use]
pub fn row(cells: Vec<Cell>) -> TableRow {
    TableRow {
        cells,
        total: false,
        proof: None,
    }
}

/// A row with something to tick.
#[must_use]
pub fn tick_row(cells: Vec<Cell>, proof: String) -> TableRow {
    TableRow {
        proof: Some(proof),
        ..row(cells)
    }
}

#[must_use]
pub fn total(cells: Vec<Cell>) -> TableRow {
    TableRow {
        total: true,
        ..row(cells)
    }
}

/// An empty line is an empty cell.
#[must_use]
pub fn cell(line: Line) -> Cell {
    if line.iter().all(|run| run.text.is_empty()) {
        Cell::Empty
    } else {
        Cell::Line(line)
    }
}

#[must_use]
pub fn text(text: impl Into<String>) -> Cell {
    cell(vec![super::words::run(text)])
}

/// Rows without a head of their own.
#[must_use]
pub fn table(title: &str, columns: Vec<Column>, rows: Vec<TableRow>, row_height: u8) -> Table {
    grouped(title, columns, vec![TableGroup { head: None, rows }], row_height)
}

#[must_use]
pub fn grouped(title: &str, columns: Vec<Column>, groups: Vec<TableGroup>, row_height: u8) -> Table {
    Table {
        title: title.to_owned(),
        columns,
        groups,
        row_height,
    }
}

/// Sections whose pages are taken out by themselves: onto the wall, or out of the binder.
const ALONE: &[&str] = &["one-page", "findings", "changes"];

/// One titled section without a stage mark; none at all where there is nothing to stand in it.
#[must_use]
pub fn section(key: &str, title: &str, blocks: Vec<Block>) -> Vec<Section> {
    if blocks.is_empty() {
        return Vec::new();
    }
    vec![Section {
        alone: ALONE.contains(&key),
        key: key.to_owned(),
        title: title.to_owned(),
        stage_mark: None,
        titled: true,
        blocks,
    }]
}
