//! An outcome as one file, or as one sheet.

use crate::error::{Error, ErrorKind, Result};
use crate::study::Assessment;
use crate::table::{SheetOut, TextStyle, write_workbook};

use super::files::ReportFile;
use super::sheets::{results, sheets};

/// Endings of the files that [`result_file`] makes.
pub const SINGLE: [&str; 5] = ["csv", "tsv", "xlsx", "parquet", "json"];

/// The pieces of an assessment as a sheet, one a row: values, uncertainties, intervals, routes, class, cautions.
#[must_use]
pub fn result_sheet(assessment: &Assessment) -> SheetOut<'_> {
    results(assessment)
}

/// An assessment as one file: all sheets as `xlsx`, the whole outcome as `json`, the pieces as `csv`, `tsv` or
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
        "json" => ReportFile::of_json(name, assessment),
        "parquet" => ReportFile::of_bytes(name.clone(), parquet(assessment, &name)?),
        _ => {
            let allowed = SINGLE.map(str::to_owned).to_vec();
            return Err(Error::new(ErrorKind::Name { what: "ending", found: ending.to_owned(), allowed }));
        }
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
    let place = crate::error::Place { file: name.to_owned(), ..crate::error::Place::default() };
    let text = "cannot be written: this build of woodstate has no Parquet";
    Err(Error::content(place, text).with_hint("build it with the feature frame, or write a .csv"))
}
