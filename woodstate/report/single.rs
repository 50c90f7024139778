//! An outcome as one file, or as one sheet.

use std::path::Path;

use crate::error::{Error, ErrorKind, Place, Result};
use crate::study::Assessment;
use crate::table::{
    Batch, INSTEAD, PACKAGE_FILE, SHEET_ROWS, SheetOut, TextStyle, write_open_document, write_workbook,
};

use super::files::ReportFile;
use super::json::json;
use super::metadata::metadata_of;
use super::sheets::{results, sheets};

/// Endings of the files that [`result_file`] makes.
pub const SINGLE: [&str; 6] = ["csv", "tsv", "xlsx", "ods", "parquet", "json"];

/// Endings that a person may hope for, and that no file of results has.
const NOT_MADE: [&str; 12] = ["xls", "xlsm", "xlsb", "doc", "docx", "odt", "pdf", "txt", "tab", "htm", "html", "xml"];

/// The ending of a path that names one file of results; `None` for a folder.
///
/// # Errors
/// [`ErrorKind::Name`] for the ending of a document that is not made, unless a folder has that name.
pub fn single_ending(path: &Path) -> Result<Option<&'static str>> {
    let ending = path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase).unwrap_or_default();
    let known = SINGLE.into_iter().find(|known| *known == ending);
    match known {
        _ if path.is_dir() => Ok(None),
        None if NOT_MADE.contains(&ending.as_str()) => Err(unknown_ending(&ending)),
        known => Ok(known),
    }
}

fn unknown_ending(found: &str) -> Error {
    let allowed = SINGLE.map(str::to_owned).to_vec();
    Error::new(ErrorKind::Name { what: "ending of a file of results", found: found.to_owned(), allowed })
}

/// The pieces of an assessment as a sheet, one a row: values, uncertainties, intervals, routes, class, cautions.
#[must_use]
pub fn result_sheet(assessment: &Assessment) -> SheetOut<'_> {
    results(assessment)
}

/// Refuses, before anything is computed, a file of results that the rows of a batch do not fit into.
///
/// # Errors
/// More rows in a table than a sheet of an `xlsx` or `ods` has; `file` is only for the message.
pub fn check_room(ending: &str, batch: &Batch, file: &str) -> Result<()> {
    let too_long = batch.tables().find(|table| table.n_rows() > SHEET_ROWS);
    match (ending, too_long) {
        ("xlsx" | "ods", Some(table)) => {
            let place = Place { file: file.to_owned(), ..Place::default() };
            let (rows, kind) = (table.n_rows(), table.kind().name());
            let text = format!("cannot hold {rows} rows of {kind}; a sheet holds {SHEET_ROWS} below its header");
            Err(Error::content(place, text).with_hint(INSTEAD))
        }
        _ => Ok(()),
    }
}

/// What the columns of one file of results hold, for programs: `FILE.datapackage.json`. An `xlsx` and a `json` need none:
/// the one has a sheet of columns, the other a JSON schema.
///
/// # Errors
/// None that is known.
pub fn result_description(
    assessment: &Assessment,
    ending: &str,
    file: &str,
    style: TextStyle,
) -> Result<Option<ReportFile<'static>>> {
    if matches!(ending, "xlsx" | "json") {
        return Ok(None);
    }
    let package = metadata_of(assessment, &results(assessment), style_of(ending, style), file);
    Ok(Some(ReportFile::of_bytes(format!("{file}.{PACKAGE_FILE}"), json(&package)?.into_bytes())))
}

/// An assessment as one file: all sheets as `xlsx` or `ods`, the whole outcome as `json`, the pieces as `csv`, `tsv` or
/// `parquet`.
///
/// The style is that of `csv`, which has `;` between its cells where the decimal mark is the comma.
///
/// # Errors
/// An ending that is none of these, a text longer than a workbook holds, or `parquet` in a build without the feature
/// `frame`.
pub fn result_file<'a>(assessment: &'a Assessment, ending: &str, style: TextStyle) -> Result<ReportFile<'a>> {
    let name = format!("assess.{ending}");
    Ok(match ending {
        "csv" | "tsv" => ReportFile::of_sheet(name, results(assessment), style_of(ending, style)),
        "xlsx" => ReportFile::of_bytes(name.clone(), write_workbook(&sheets(assessment), &name)?),
        "ods" => ReportFile::of_bytes(name.clone(), write_open_document(&sheets(assessment), &name)?),
        "json" => ReportFile::of_json(name, assessment),
        "parquet" => ReportFile::of_bytes(name.clone(), parquet(assessment, &name)?),
        _ => return Err(unknown_ending(ending)),
    })
}

fn style_of(ending: &str, style: TextStyle) -> TextStyle {
    let comma = crate::table::Decimal::Comma;
    let delimiter = match ending {
        "tsv" => '\t',
        _ if style.decimal == comma => ';',
        _ => style.delimiter,
    };
    TextStyle { delimiter, ..style }
}

#[cfg(feature = "frame")]
fn parquet(assessment: &Assessment, name: &str) -> Result<Vec<u8>> {
    let sheet = results(assessment);
    let rows = (0..sheet.n_rows).map(|row| sheet.cells(row));
    crate::table::write_parquet(&sheet.columns, rows, name)
}

#[cfg(not(feature = "frame"))]
fn parquet(_: &Assessment, name: &str) -> Result<Vec<u8>> {
    let place = Place { file: name.to_owned(), ..Place::default() };
    let text = "cannot be written: this build of woodstate has no Parquet";
    Err(Error::content(place, text)
        .with_hint("install it with `cargo install --path . --features frame`, or write a .csv"))
}
