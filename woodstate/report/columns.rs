//! The columns of results, explained for a person who opens a workbook.

use crate::study::Assessment;
use crate::table::{CellOut, ColumnOut, SheetOut};

use super::metadata::field;

/// One row a column of these sheets: unit, meaning, and what its numbers rest on.
pub(super) fn columns<'a>(assessment: &Assessment, sheets: &[SheetOut<'_>]) -> SheetOut<'a> {
    let heads = ["table", "header", "unit", "meaning", "rests on"].map(ColumnOut::new).to_vec();
    let mut rows = Vec::new();
    for sheet in sheets {
        for column in &sheet.columns {
            let field = field(&sheet.name, &column.header, assessment);
            let rests: Vec<String> =
                field.evidence.iter().map(|one| format!("{} ({})", one.used_for, one.evidence)).collect();
            rows.push(vec![
                CellOut::text(sheet.name.clone()),
                CellOut::text(field.name),
                field.unit.map_or(CellOut::Empty, CellOut::text),
                CellOut::text(field.description),
                CellOut::text(rests.join("; ")),
            ]);
        }
    }
    SheetOut::of_rows("columns", heads, rows)
}
