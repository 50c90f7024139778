//! An outcome as files: one workbook, and each of its sheets as delimited text.

use crate::error::Result;
use crate::study::Assessment;
use crate::table::{PACKAGE_FILE, TextStyle, write_text, write_workbook};

use super::json::json;
use super::metadata::metadata;
use super::sheets::sheets;

/// A file of a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportFile {
    /// Its name.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// The files of `assess --out DIR`: `assess.xlsx`, `assess.json`, a `.csv` a sheet, and `datapackage.json`, which
/// describes them.
///
/// # Errors
/// A text longer than a workbook holds.
pub fn assessment_files(assessment: &Assessment, style: TextStyle) -> Result<Vec<ReportFile>> {
    let mut sheets = sheets(assessment);
    for sheet in sheets.iter_mut().filter(|sheet| sheet.name == "results") {
        sheet.keeps_first_column = true;
    }
    let workbook = write_workbook(&sheets, "assess.xlsx")?;
    let mut files = vec![
        ReportFile { name: "assess.json".to_owned(), bytes: json(assessment)?.into_bytes() },
        ReportFile { name: "assess.xlsx".to_owned(), bytes: workbook },
    ];
    let package = metadata(assessment, &sheets, style);
    files.push(ReportFile { name: PACKAGE_FILE.to_owned(), bytes: json(&package)?.into_bytes() });
    for sheet in &sheets {
        files.push(ReportFile {
            name: format!("{}.csv", sheet.name.replace(' ', "_")),
            bytes: write_text(sheet, style)?,
        });
    }
    Ok(files)
}
