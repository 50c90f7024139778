//! From a grid to a table with typed columns; every cell that cannot be used is named.

use crate::error::{Error, Finding, FindingCode, Place, Result, Severity};
use crate::numeric::Watch;
use crate::quantity::counted;

use super::assembly::{Assembly, Part};
use super::cells::Reader;
use super::mapping::{Target, header_row, map};
use super::naming::{doubt_summaries, name_rows};
use super::number::{DecimalEvidence, DecimalVerdict};
use super::plan::{Mark, Plan, filled};
use super::{Cell, ColumnSpec, ColumnType, Decimal, Grid, Origin, Table, TableKind, TableOptions};

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
    let (mapped, findings) = map(grid, header, kind, options)?;
    let rows: Vec<usize> = (header + 1..grid.n_rows()).filter(|row| filled(grid, *row) > 0).collect();
    if let Some(row) = options.units_row {
        refuse_numbers(grid, row)?;
    }
    let plan = Plan { kind, mapped: &mapped, options, missing, grid, header };
    let assembly = settled(&plan, &mut origin, |mark| {
        let mark = mark.unwrap_or(Ok(Decimal::Point));
        let mut assembly = Assembly::new(kind);
        assembly.add(plan.part(grid, &rows, mark, watch)?);
        Ok((assembly, mark))
    })?;
    whole(&plan, assembly, findings, origin)
}

impl Plan<'_> {
    /// Reads these rows of a grid, which may be another than that with the header.
    pub(super) fn part(&self, grid: &Grid, rows: &[usize], mark: Mark, watch: &Watch<'_>) -> Result<Part> {
        let is_units = |row: &usize| self.options.units_row == Some(grid.row_number(*row));
        let rows: Vec<usize> = rows.iter().copied().filter(|row| !is_units(row)).collect();
        let rows = rows.as_slice();
        let table = Table::new(self.kind, Origin::default(), rows.iter().map(|row| grid.row_number(*row)).collect());
        let evidence = DecimalEvidence::default();
        let part = Part { table, findings: Vec::new(), evidence, n_cells: grid.n_cells() };
        let mut reader = Reader { grid, rows, mark, plan: self, part, findings: Vec::new() };
        for (done, column) in self.mapped.iter().enumerate() {
            watch.advance("reading columns", done, self.mapped.len())?;
            reader.read(column);
            reader.end_step();
        }
        for column in self.mapped {
            reader.read_uncertainty(column);
            reader.end_step();
        }
        reader.refuse_ragged_rows(self.grid.width(self.header));
        reader.end_step();
        Ok(reader.part)
    }
}

/// Reads a table with its decimal mark, which shows only when all cells have been seen: read as proposed first, and
/// once more where that was wrong. A pass says which mark it used.
pub(super) fn settled(
    plan: &Plan<'_>,
    origin: &mut Origin,
    pass: impl Fn(Option<Mark>) -> Result<(Assembly, Mark)>,
) -> Result<Assembly> {
    origin.header_row = plan.grid.row_number(plan.header);
    if plan.options.header_row.is_none() {
        origin.reading.push(format!("header found in row {}", origin.header_row));
    }
    if let Some(row) = plan.options.units_row {
        origin.reading.push(format!("row {row} holds units and no piece, as stated"));
    }
    if let Some(given) = plan.options.decimal {
        return Ok(pass(Some(Ok(given)))?.0);
    }
    let (assembly, used) = pass(None)?;
    let shown = decimal_mark(assembly.evidence, origin);
    if shown == used { Ok(assembly) } else { Ok(pass(Some(shown))?.0) }
}

/// What is to be said and named once all rows are there.
pub(super) fn whole(
    plan: &Plan<'_>,
    assembly: Assembly,
    mut findings: Vec<Finding>,
    mut origin: Origin,
) -> Result<(Table, Vec<Finding>)> {
    let (mut table, found) = assembly.finish();
    if table.n_rows() == 0 {
        let place = plan.grid.row_place(plan.header);
        // A form whose timbers or log nobody needed is whole without them.
        let severity = if plan.kind == TableKind::Samples { Severity::Error } else { Severity::Note };
        let empty = Finding::new(FindingCode::TableEmpty, severity, place, "no rows below the header yet");
        // A text file has no sheets to be named.
        findings.push(match plan.grid.sheet() {
            Some(_) => empty,
            None => empty.cured_by("fill in its rows; if it has some, name the header row with --header-row"),
        });
    }
    findings.extend(found);
    for column in plan.mapped {
        if let Target::Value(ColumnSpec { name, holds: ColumnType::Number { unit: own, .. }, .. }, Some(unit)) =
            &column.target
            && unit.code() != *own
        {
            origin.reading.push(format!("{name} converted from {unit} to {own}"));
        }
    }
    table.set_origin(origin);
    name_rows(&mut table, plan.options, plan.missing, &mut findings)?;
    doubt_summaries(&table, &mut findings);
    Ok((table, findings))
}

/// A row of units holds no number; otherwise a piece would be lost.
pub(super) fn refuse_numbers(grid: &Grid, number: usize) -> Result<()> {
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

/// The decimal mark that the cells show. Otherwise why no cell with a mark can be read.
fn decimal_mark(evidence: DecimalEvidence, origin: &mut Origin) -> Mark {
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
