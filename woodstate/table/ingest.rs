//! From a grid to a table with typed columns; every cell that cannot be used is named.

use crate::error::{Error, Finding, FindingCode, Place, Result, Severity};
use crate::numeric::Watch;
use crate::quantity::counted;

use super::cells::Reader;
use super::mapping::{Mapped, Target, header_row, map};
use super::naming::{doubt_summaries, name_rows};
use super::number::{DecimalEvidence, DecimalVerdict};
use super::{Cell, Decimal, Grid, Origin, RowState, Table, TableKind, TableOptions};

/// Reads a grid as one of the three tables.
///
/// # Errors
/// A table that cannot be read at all: no header row, a mapped column that is not there, no column that names the rows.
/// Everything else is a [`Finding`].
pub fn ingest(
    grid: &Grid,
    kind: TableKind,
    options: &TableOptions,
    missing: &[String],
    mut origin: Origin,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let header = header_row(grid, kind, options)?;
    let (mapped, mut findings) = map(grid, header, kind, options)?;
    let is_units = |row: usize| options.units_row == Some(grid.row_number(row));
    let rows = (header + 1..grid.n_rows()).filter(|row| filled(grid, *row) > 0 && !is_units(*row));
    let rows: Vec<usize> = rows.collect();
    if rows.is_empty() {
        let place = grid.row_place(header);
        let empty = Finding::new(FindingCode::TableEmpty, Severity::Error, place, "no rows below the header");
        // A text file has no sheets to be named.
        findings.push(match grid.sheet() {
            Some(_) => empty,
            None => empty.cured_by("save the file with its rows, or name the header row with --header-row"),
        });
    }
    origin.header_row = grid.row_number(header);
    if options.header_row.is_none() {
        origin.reading.push(format!("header found in row {}", origin.header_row));
    }
    if let Some(row) = options.units_row {
        refuse_numbers(grid, row)?;
        origin.reading.push(format!("row {row} holds units and no piece, as stated"));
    }
    let decimal = decimal_mark(grid, &rows, &mapped, options, &mut origin);
    let table = Table::new(kind, origin, rows.iter().map(|row| grid.row_number(*row)).collect());
    let mut reader = Reader { grid, rows: &rows, decimal, missing, options, table, findings };
    for (done, column) in mapped.iter().enumerate() {
        watch.advance("reading columns", done, mapped.len())?;
        reader.read(column);
    }
    for column in &mapped {
        reader.read_uncertainty(column);
    }
    let Reader { mut table, mut findings, .. } = reader;
    refuse_ragged_rows(grid, header, &rows, &mut table, &mut findings);
    name_rows(&mut table, options, missing, &mut findings)?;
    doubt_summaries(&table, &mut findings);
    Ok((table, findings))
}

/// A row of units holds no number; otherwise a piece would be lost.
fn refuse_numbers(grid: &Grid, number: usize) -> Result<()> {
    let Some(row) = (0..grid.n_rows()).find(|row| grid.row_number(*row) == number) else {
        let place = Place { row: Some(number), ..grid.row_place(0) };
        return Err(Error::content(place, "the row of units that was named does not exist or is empty"));
    };
    let is_number = |column: &usize| match grid.cell(row, *column) {
        Cell::Number(_) | Cell::Percent(_) => true,
        Cell::Text(text) => text.trim().replace(',', ".").parse::<f64>().is_ok(),
        _ => false,
    };
    match (0..grid.width(row)).find(is_number) {
        Some(column) => {
            let text = "units_row names this row, and a number stands in it; only a row of units may be named";
            Err(Error::content(grid.place(row, column), text))
        }
        None => Ok(()),
    }
}

/// How many cells a row has up to the last that is not empty.
fn filled(grid: &Grid, row: usize) -> usize {
    let is_blank = |column: &usize| match grid.cell(row, *column) {
        Cell::Empty => true,
        Cell::Text(text) => text.trim().is_empty(),
        _ => false,
    };
    (0..grid.width(row)).rev().find(|column| !is_blank(column)).map_or(0, |column| column + 1)
}

/// The decimal mark of texts: given, or shown by the cells. Otherwise why no cell with a mark can be read.
fn decimal_mark(
    grid: &Grid,
    rows: &[usize],
    mapped: &[Mapped],
    options: &TableOptions,
    origin: &mut Origin,
) -> std::result::Result<Decimal, &'static str> {
    if let Some(mark) = options.decimal {
        return Ok(mark);
    }
    let mut evidence = DecimalEvidence::default();
    for column in
        mapped.iter().filter(|column| matches!(&column.target, Target::Value(_, Some(_)) | Target::Uncertainty(..)))
    {
        for row in rows {
            if let Cell::Text(text) = grid.cell(*row, column.place) {
                evidence.look(text);
            }
        }
    }
    let DecimalEvidence { point, comma, .. } = evidence;
    let cells = |n| counted(n, "cell");
    match evidence.verdict() {
        DecimalVerdict::Shown(mark) => {
            origin.reading.push(format!("decimal mark \"{}\" found in {}", mark.mark(), cells(point + comma)));
            Ok(mark)
        }
        DecimalVerdict::Unneeded => Ok(Decimal::Point),
        DecimalVerdict::Ambiguous => Err("can be read in two ways"),
        DecimalVerdict::Conflict => {
            origin.reading.push(format!(
                "decimal marks are mixed: \".\" in {}, \",\" in {}",
                cells(point),
                cells(comma)
            ));
            Err("stands in a table that mixes decimal points and commas")
        }
    }
}

/// Rows of a text with more cells than headers; empty cells at the end do not count.
fn refuse_ragged_rows(grid: &Grid, header: usize, rows: &[usize], table: &mut Table, findings: &mut Vec<Finding>) {
    let expected = grid.width(header);
    if grid.sheet().is_some() {
        return;
    }
    for (row, &at) in rows.iter().enumerate() {
        let found = filled(grid, at);
        if found > expected {
            let text = format!(
                "the row has {} and the table {}; it is not assessed",
                counted(found, "cell"),
                counted(expected, "header")
            );
            findings.push(Finding::new(FindingCode::RowRagged, Severity::Error, grid.row_place(at), text));
            table.worsen(row, RowState::Unreadable);
        }
    }
}
