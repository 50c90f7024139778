//! An outcome as files: one workbook, and each of its sheets as delimited text.

use std::io::Write;

use crate::error::Result;
use crate::study::Assessment;
use crate::table::{PACKAGE_FILE, SheetOut, TextStyle, file_error, stream_text, write_workbook};

use super::json::{json, json_into};
use super::metadata::metadata;
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

/// The files of `assess --out DIR`: `assess.xlsx`, `assess.json`, a `.csv` a sheet, and `datapackage.json`, which
/// describes them.
///
/// # Errors
/// A text longer than a workbook holds.
pub fn assessment_files(assessment: &Assessment, style: TextStyle) -> Result<Vec<ReportFile<'_>>> {
    let mut sheets = sheets(assessment);
    for sheet in sheets.iter_mut().filter(|sheet| sheet.name == "results") {
        sheet.keeps_first_column = true;
    }
    let workbook = write_workbook(&sheets, "assess.xlsx")?;
    let mut files = vec![
        ReportFile { name: "assess.json".to_owned(), body: Body::Json(assessment) },
        ReportFile::of_bytes("assess.xlsx", workbook),
    ];
    let package = metadata(assessment, &sheets, style);
    files.push(ReportFile::of_bytes(PACKAGE_FILE, json(&package)?.into_bytes()));
    for sheet in sheets {
        let name = format!("{}.csv", sheet.name.replace(' ', "_"));
        files.push(ReportFile { name, body: Body::Text(sheet, style) });
    }
    Ok(files)
}
