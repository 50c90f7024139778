//! The echo of the input: a table as it was read, unknown columns among them.

use crate::table::{CellOut, Column, ColumnOut, ColumnSpec, ColumnType, SheetOut, Table, Values};

use super::cell::{count, word};

/// A table as it was read: numbers in the units of its columns, a cell that could not be used as it stands in the file.
pub(super) fn echo(table: &Table) -> SheetOut<'_> {
    let mut columns = vec![ColumnOut::new("row")];
    let echoed: Vec<Echoed<'_>> = table.columns().iter().map(|column| Echoed::of(table, column)).collect();
    for column in &echoed {
        for header in std::iter::once(&column.header).chain(&column.header_of_u) {
            let header = free_header(header, &columns);
            columns.push(ColumnOut::new(header));
        }
    }
    let name = match table.kind().name() {
        "samples" => "input".to_owned(),
        other => format!("input {other}"),
    };
    SheetOut::made(name, columns, table.n_rows(), move |row, cells| {
        cells.push(count(table.row_number(row)));
        for column in &echoed {
            column.put(table, row, cells);
        }
    })
}

/// A header that no other column has, since programs name a column by it: the second `x` becomes `x (2)`.
fn free_header(wanted: &str, columns: &[ColumnOut]) -> String {
    let is_free = |name: &String| columns.iter().all(|column| column.header != *name);
    let numbered = (2..).map(|n| format!("{wanted} ({n})")).take(columns.len() + 1);
    std::iter::once(wanted.to_owned()).chain(numbered).find(is_free).unwrap_or_default()
}

/// A column of the file in the echo, with one of uncertainties where there are any.
struct Echoed<'a> {
    column: &'a Column,
    header: String,
    header_of_u: Option<String>,
}

impl<'a> Echoed<'a> {
    fn of(table: &'a Table, column: &'a Column) -> Self {
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

    fn put(&self, table: &'a Table, row: usize, cells: &mut Vec<CellOut<'a>>) {
        let name = &self.column.name;
        match &self.column.values {
            Values::Numbers(numbers) => {
                let as_typed = |name: &str| word(table.unused(row, name));
                cells.push(numbers.value(row).map_or_else(|| as_typed(name), CellOut::number));
                if self.header_of_u.is_some() {
                    cells.push(numbers.u(row).map_or_else(|| as_typed(&format!("u({name})")), CellOut::number));
                }
            }
            Values::Texts(texts) => cells.push(word(texts.get(row).or_else(|| table.unused(row, name)))),
        }
    }
}
