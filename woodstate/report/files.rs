//! An outcome as files: one workbook, and each of its sheets as delimited text.

use std::io::Write;

use crate::error::Result;
use crate::study::{Assessment, Report};
use crate::table::{PACKAGE_FILE, SHEET_ROWS, SheetOut, TextStyle, file_error, stream_text, write_workbook};

use super::html::Templates;
use super::json::{json, json_into};
use super::marked::Marked;
use super::metadata::metadata;
use super::page::{PageFigure, tables};
use super::sheets::sheets;

/// A file of a report, made when it is written.
#[derive(Debug)]
pub struct ReportFile<'a> {
    /// Its name.
    pub name: String,
    body: Body<'a>,
}

#[derive(Debug)]
enum Body<'a> {
    Json(&'a Assessment),
    Report(&'a Report),
    Bytes(Vec<u8>),
    Text(SheetOut<'a>, TextStyle),
}

impl<'a> ReportFile<'a> {
    /// A sheet as delimited text.
    pub(super) fn of_sheet(name: String, sheet: SheetOut<'a>, style: TextStyle) -> Self {
        Self { name, body: Body::Text(sheet, style) }
    }

    /// A whole outcome as JSON.
    pub(super) fn of_json(name: String, assessment: &'a Assessment) -> Self {
        Self { name, body: Body::Json(assessment) }
    }

    /// A file whose content is there already.
    #[must_use]
    pub fn of_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self { name: name.into(), body: Body::Bytes(bytes) }
    }

    /// Writes its content, made on so many threads.
    ///
    /// # Errors
    /// What the system says of `out`.
    pub fn write(&self, threads: usize, out: &mut dyn Write) -> Result<()> {
        match &self.body {
            Body::Json(assessment) => json_into(assessment, out),
            Body::Report(report) => json_into(report, out),
            Body::Bytes(bytes) => out.write_all(bytes).map_err(|error| file_error(&self.name, "write", error)),
            Body::Text(sheet, style) => stream_text(sheet, *style, threads, out),
        }
    }

    /// Its content; [`write`](Self::write) does not hold it at once.
    ///
    /// # Errors
    /// None that is known.
    pub fn bytes(&self) -> Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.write(1, &mut bytes)?;
        Ok(bytes)
    }
}

/// Most cells of a workbook that is made unasked: about 0.5 GB of memory.
const MOST_CELLS: usize = 5_000_000;

/// Why `assess --out DIR` or `report --out DIR` has no workbook, in one sentence; `None` where it has one.
#[must_use]
pub fn workbook_left_out(assessment: &Assessment) -> Option<String> {
    left_out(&sheets(assessment), assessment.kind)
}

fn left_out(sheets: &[SheetOut<'_>], kind: &str) -> Option<String> {
    let cells: usize = sheets.iter().map(|sheet| sheet.n_rows.saturating_mul(sheet.columns.len())).sum();
    let why = match sheets.iter().find(|sheet| sheet.n_rows > SHEET_ROWS) {
        Some(sheet) => format!("{} has {} rows and a sheet holds {SHEET_ROWS}", sheet.name, sheet.n_rows),
        None if cells > MOST_CELLS => format!("its sheets would have {cells} cells, more than {MOST_CELLS}"),
        None => return None,
    };
    Some(format!("{kind}.xlsx is left out, since {why}; the .csv files hold the same tables."))
}

/// The files of `assess --out DIR`: `assess.json`, a `.csv` a sheet, `assess.xlsx` unless it would be too large, and
/// `datapackage.json`, which describes them.
///
/// # Errors
/// A text longer than a workbook holds.
pub fn assessment_files(assessment: &Assessment, style: TextStyle) -> Result<Vec<ReportFile<'_>>> {
    let mut files = vec![ReportFile { name: "assess.json".to_owned(), body: Body::Json(assessment) }];
    files.extend(table_files(assessment, style)?);
    Ok(files)
}

/// The files of `report --out DIR`: the pages, `report.json`, the tables as `assess --out DIR` has them, and those of the page
/// in marked text where they are asked for.
///
/// # Errors
/// [`ErrorKind::Template`](crate::error::ErrorKind::Template) with file and line of a fault in a template; a text longer
/// than a workbook holds.
pub fn report_files<'a>(
    report: &'a Report,
    figures: &[PageFigure],
    templates: &Templates,
    marked: &[Marked],
    style: TextStyle,
) -> Result<Vec<ReportFile<'a>>> {
    let mut files = vec![
        ReportFile::of_bytes("report.html", templates.page(report, figures)?.into_bytes()),
        ReportFile::of_bytes("sheets.html", templates.sheets(report)?.into_bytes()),
        ReportFile { name: "report.json".to_owned(), body: Body::Report(report) },
    ];
    files.extend(table_files(&report.assessment, style)?);
    if !marked.is_empty() {
        for (name, table) in tables(report) {
            let one = |marked: &Marked| {
                ReportFile::of_bytes(format!("{name}.{}", marked.ending()), marked.text(&table).into_bytes())
            };
            files.extend(marked.iter().map(one));
        }
    }
    Ok(files)
}

/// A workbook, its sheets as delimited text, and what describes them.
fn table_files(assessment: &Assessment, style: TextStyle) -> Result<Vec<ReportFile<'_>>> {
    let mut sheets = sheets(assessment);
    for sheet in sheets.iter_mut().filter(|sheet| sheet.name == "results") {
        sheet.keeps_first_column = true;
    }
    let mut files = Vec::new();
    let book = format!("{}.xlsx", assessment.kind);
    let left_out = left_out(&sheets, assessment.kind);
    if left_out.is_none() {
        files.push(ReportFile::of_bytes(&book, write_workbook(&sheets, &book)?));
    }
    let workbook = left_out.unwrap_or_else(|| format!("{book} holds the same tables as sheets."));
    let package = metadata(assessment, &sheets, style, &workbook);
    files.push(ReportFile::of_bytes(PACKAGE_FILE, json(&package)?.into_bytes()));
    for sheet in sheets {
        let name = format!("{}.csv", sheet.name.replace(' ', "_"));
        files.push(ReportFile { name, body: Body::Text(sheet, style) });
    }
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::ColumnOut;

    fn sheet(n_rows: usize, n_columns: usize) -> SheetOut<'static> {
        let columns = (0..n_columns).map(|n| ColumnOut::new(n.to_string())).collect();
        SheetOut::made("results", columns, n_rows, |_, _| {})
    }

    /// Source: a sheet has 1 048 576 rows (ECMA-376, part 1, 18.3.1.73: attribute r of row, as spreadsheet programs
    /// limit it) \[memory]; one is the header.
    #[test]
    fn a_workbook_is_left_out_just_beyond_its_limits() {
        assert_eq!(left_out(&[sheet(1_048_575, 1), sheet(1, 1)], "assess"), None);
        let why = left_out(&[sheet(1, 1), sheet(1_048_576, 1)], "assess").unwrap_or_default();
        assert!(why.contains("results has 1048576 rows and a sheet holds 1048575"), "{why}");
        assert_eq!(left_out(&[sheet(500_000, 9), sheet(1, 500_000)], "assess"), None);
        let why = left_out(&[sheet(500_000, 9), sheet(500_001, 1)], "assess").unwrap_or_default();
        assert!(why.contains("5000001 cells, more than 5000000"), "{why}");
    }
}
