//! What is known of a table once its header was read.

use super::mapping::Mapped;
use super::{Cell, Decimal, Grid, TableKind, TableOptions};

/// The decimal mark, or why no cell with a mark can be read.
pub(super) type Mark = Result<Decimal, &'static str>;

/// What is known of a table once its header was read.
#[derive(Debug)]
pub(super) struct Plan<'a> {
    pub(super) kind: TableKind,
    pub(super) mapped: &'a [Mapped],
    pub(super) options: &'a TableOptions,
    pub(super) missing: &'a [String],
    /// The grid with the header, and its row.
    pub(super) grid: &'a Grid,
    pub(super) header: usize,
}

/// How many cells a row has up to the last that is not empty.
pub(super) fn filled(grid: &Grid, row: usize) -> usize {
    let is_blank = |column: &usize| match grid.cell(row, *column) {
        Cell::Empty => true,
        Cell::Text(text) => text.trim().is_empty(),
        _ => false,
    };
    (0..grid.width(row)).rev().find(|column| !is_blank(column)).map_or(0, |column| column + 1)
}
