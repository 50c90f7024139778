//! An empty form: its columns to read, and its files to fill in.

use crate::error::{Error, ErrorKind, Result};
use crate::study::{FormColumn, FormTable, Template};
use crate::table::{
    Aid, CellOut, ColumnOut, ColumnSpec, ColumnType, Decimal, ForeignKey, PACKAGE_FILE, Package, Resource, Schema,
    SheetOut, TableKind, Takes, TextStyle, write_text, write_workbook,
};

use super::json::json;
use super::{Align, Block, Grid, ReportFile, View};

/// The view of `template`: each table with its columns, then the notes.
#[must_use]
pub fn template_view(template: &Template) -> View {
    let mut view = View::default();
    for table in &template.tables {
        let mut grid = Grid::new(&[("column", Align::Left), ("allowed", Align::Left), ("meaning", Align::Left)]);
        let row = |column: &FormColumn| vec![column.header.clone(), column.allowed.clone(), column.meaning.to_owned()];
        grid.rows = table.columns.iter().map(row).collect();
        view.push(Block::Heading(table.table.to_owned()));
        view.push(Block::Table(grid));
    }
    let notes = template.notes.iter().map(|(about, text)| ((*about).to_owned(), (*text).to_owned()));
    view.push(Block::Listing("Before it is filled in".to_owned(), notes.collect()));
    view
}

/// The same for a pipe: one row a column.
#[must_use]
pub fn template_plain(template: &Template) -> View {
    let heads = ["table", "column", "group", "unit", "allowed", "meaning"];
    let mut grid = Grid::new(&heads.map(|head| (head, Align::Left)));
    grid.rows = template.tables.iter().flat_map(rows).collect();
    View { blocks: vec![Block::Table(grid)] }
}

fn rows(table: &FormTable) -> Vec<Vec<String>> {
    let row = |column: &FormColumn| {
        let unit = column.unit.unwrap_or_default();
        let texts = [table.table, column.name, column.group, unit, &column.allowed, column.meaning];
        texts.map(str::to_owned).to_vec()
    };
    table.columns.iter().map(row).collect()
}

/// What comes after a form was written: how it is read.
#[must_use]
pub fn template_next(template: &Template, path: &str) -> View {
    let columns = |table: &FormTable| (table.table.to_owned(), format!("{} columns", table.columns.len()));
    let mut view = View { blocks: vec![Block::Legend(template.tables.iter().map(columns).collect())] };
    if template.tables.iter().any(|table| table.kind == TableKind::Samples) {
        let path = if path.contains(' ') { format!("\"{path}\"") } else { path.to_owned() };
        view.push(Block::Paragraph(format!("Fill it in, then: woodstate check {path}")));
    }
    view
}

/// The files of a form that is called `name`: a workbook `NAME.xlsx`, or delimited text.
///
/// A text holds one table, so `samples.csv` comes with `timbers.csv` and `log.csv`, and `form.csv` with
/// `form_timbers.csv` and `form_log.csv`; `read_batch` finds them again.
///
/// # Errors
/// [`ErrorKind::Name`] for a name with another ending.
pub fn template_files(template: &Template, name: &str) -> Result<Vec<ReportFile<'static>>> {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let is_workbook = match ending {
        "xlsx" => true,
        "csv" => false,
        _ => {
            let allowed = ["FILE.xlsx", "FILE.csv", "-"].map(str::to_owned).to_vec();
            return Err(Error::new(ErrorKind::Name { what: "file of a form", found: name.to_owned(), allowed }));
        }
    };
    let mut files = Vec::new();
    let mut package = Package::new(
        "woodstate-form",
        "Form for measurements of waterlogged wood",
        "An empty form with units, lists of words and limits. A blank cell is unknown, never 0 and never none.",
    );
    if is_workbook {
        let mut sheets: Vec<SheetOut<'static>> = template.tables.iter().map(sheet).collect();
        sheets.extend([notes(template), columns(template)]);
        files.push(ReportFile::of_bytes(name.to_owned(), write_workbook(&sheets, name)?));
    }
    for table in &template.tables {
        let path = if is_workbook { name.to_owned() } else { file_name(stem, table) };
        let schema = schema(template, table);
        let sheet_name = is_workbook.then_some(table.table);
        package.resources.push(Resource::file(table.table, describe(table), &path).table(schema, sheet_name, ','));
        if !is_workbook {
            files.push(ReportFile::of_bytes(path, text_of(table)?));
        }
    }
    if !is_workbook {
        let path = if stem == "samples" { "notes.txt".to_owned() } else { format!("{stem}_notes.txt") };
        files.push(ReportFile::of_bytes(path, notes_text(template).into_bytes()));
    }
    files.push(ReportFile::of_bytes(PACKAGE_FILE.to_owned(), json(&package)?.into_bytes()));
    Ok(files)
}

/// The only table of a form as delimited text: its header.
///
/// # Errors
/// [`ErrorKind::Name`] where the form has several tables.
pub fn template_text(template: &Template) -> Result<String> {
    let [table] = template.tables.as_slice() else {
        let allowed = TableKind::ALL.map(|kind| kind.name().to_owned()).to_vec();
        let found = template.tables.iter().map(|table| table.table).collect::<Vec<_>>().join(",");
        let error = Error::new(ErrorKind::Name { what: "single table for standard output", found, allowed });
        return Err(error.with_hint("woodstate template --tables samples -o -"));
    };
    Ok(String::from_utf8_lossy(&text_of(table)?).into_owned())
}

fn text_of(table: &FormTable) -> Result<Vec<u8>> {
    write_text(&sheet(table), TextStyle { delimiter: ',', decimal: Decimal::Point })
}

fn file_name(stem: &str, table: &FormTable) -> String {
    match table.kind {
        _ if stem == "samples" => format!("{}.csv", table.table),
        TableKind::Samples => format!("{stem}.csv"),
        TableKind::Timbers | TableKind::Log => format!("{stem}_{}.csv", table.table),
    }
}

fn describe(table: &FormTable) -> &'static str {
    match table.kind {
        TableKind::Samples => "One row a piece that was measured.",
        TableKind::Timbers => "One row a timber.",
        TableKind::Log => "One row a date and tank or timber.",
    }
}

/// A timber of samples and log is one of the timbers, where the form has such a table.
fn schema(template: &Template, table: &FormTable) -> Schema {
    let mut schema = Schema::of_table(table.kind, &table.specs);
    let has_timbers = template.tables.iter().any(|other| other.kind == TableKind::Timbers);
    let names_timbers = table.specs.iter().any(|spec| spec.name == "timber");
    if has_timbers && names_timbers && table.kind != TableKind::Timbers {
        schema.foreign_keys.push(ForeignKey::to(TableKind::Timbers.name(), "timber"));
    }
    schema
}

fn sheet(table: &FormTable) -> SheetOut<'static> {
    let column = |spec: &&'static ColumnSpec| {
        let takes = match spec.holds {
            ColumnType::Text => Takes::Text,
            ColumnType::Date => Takes::Day,
            ColumnType::Word(words) => Takes::Words(words.iter().map(|word| (*word).to_owned()).collect()),
            ColumnType::Number { low, high, .. } => Takes::Range(low, high),
        };
        let allowed = spec.allowed();
        let note = format!("{}\nAllowed: {allowed}.\nBlank: unknown.", spec.meaning);
        ColumnOut { aid: Some(Aid { note, allowed, takes }), ..ColumnOut::new(spec.header()) }
    };
    let columns = table.specs.iter().map(column).collect();
    let mut sheet = SheetOut::of_rows(table.table, columns, Vec::new());
    sheet.keeps_first_column = true;
    sheet
}

fn notes(template: &Template) -> SheetOut<'static> {
    let row = |(about, text): &(&'static str, &'static str)| vec![CellOut::text(*about), CellOut::text(*text)];
    let rows = template.notes.iter().map(row).collect();
    SheetOut::of_rows("notes", ["about", "note"].map(ColumnOut::new).to_vec(), rows)
}

fn columns(template: &Template) -> SheetOut<'static> {
    let heads = ["table", "column", "group", "unit", "allowed; blank is unknown", "meaning"];
    let cells = |texts: Vec<String>| texts.into_iter().map(CellOut::text).collect();
    let rows = template.tables.iter().flat_map(rows).map(cells).collect();
    SheetOut::of_rows("columns", heads.map(ColumnOut::new).to_vec(), rows)
}

fn notes_text(template: &Template) -> String {
    let mut text = String::from("Form for measurements of waterlogged wood\n\n");
    for (about, note) in &template.notes {
        text.push_str(&format!("{about}: {note}\n\n"));
    }
    for table in &template.tables {
        text.push_str(&format!("Columns of {}: {}\n", table.table, describe(table)));
        for column in &table.columns {
            text.push_str(&format!("  {}: {} Allowed: {}.\n", column.header, column.meaning, column.allowed));
        }
        text.push('\n');
    }
    text
}
