//! The echo of the input: a table as it was read, unknown columns among them.

use crate::table::{CellOut, Column, ColumnOut, ColumnSpec, ColumnType, SheetOut, Table, Values};

use super::cell::{count, word};

/// A table as it was read: numbers in the units of its columns, a cell that could not be used as it stands in the file.
pub(super) fn echo(table: &Table) -> SheetOut {
    let mut columns = vec![ColumnOut::new("row")];
    let echoed: Vec<Echoed<'_>> = table.columns().iter().map(|column| Echoed::of(table, column)).collect();
    for column in &echoed {
        columns.push(ColumnOut::new(&column.header));
        columns.extend(column.header_of_u.iter().map(ColumnOut::new));
    }
    let name = match table.kind().name() {
        "samples" => "input".to_owned(),
        other => format!("input {other}"),
    };
    let mut sheet = SheetOut::new(name, columns);
    for row in 0..table.n_rows() {
        let mut cells = vec![count(table.row_number(row))];
        for column in &echoed {
            cells.extend(column.cells(table, row));
        }
        sheet.rows.push(cells);
    }
    sheet
}

/// A column of the file in the echo, with one of uncertainties where there are any.
struct Echoed<'a> {
    column: &'a Column,
    header: String,
    header_of_u: Option<String>,
}

impl<'a> Echoed<'a> {
    fn of(table: &Table, column: &'a Column) -> Self {
        let spec = table.kind().column(&column.name);
        let u = format!("u({})", column.name);
        let (header, header_of_u) = match (spec.map(|spec| spec.holds), &column.values) {
            (Some(ColumnType::Number { .. }), Values::Numbers(numbers)) => {
                let has_u = (0..numbers.len()).any(|row| numbers.u(row).is_some() || table.unused(row, &u).is_some());
                (
                    spec.map_or_else(|| column.name.clone(), ColumnSpec::header),
                    spec.filter(|_| has_u).map(ColumnSpec::header_of_u),
                )
            }
            (Some(_), _) => (column.name.clone(), None),
            (None, _)
                if table.columns().iter().any(|other| other.name == column.header && other.name != column.name) =>
            {
                (format!("{} (as in the file)", column.header), None)
            }
            (None, _) => (column.header.clone(), None),
        };
        Self { column, header, header_of_u }
    }

    fn cells(&self, table: &Table, row: usize) -> Vec<CellOut> {
        let name = &self.column.name;
        match &self.column.values {
            Values::Numbers(numbers) => {
                let as_typed = |name: &str| word(table.unused(row, name));
                let mut cells = vec![numbers.value(row).map_or_else(|| as_typed(name), CellOut::number)];
                if self.header_of_u.is_some() {
                    cells.push(numbers.u(row).map_or_else(|| as_typed(&format!("u({name})")), CellOut::number));
                }
                cells
            }
            Values::Texts(texts) => vec![word(texts[row].as_deref().or_else(|| table.unused(row, name)))],
        }
    }
}
