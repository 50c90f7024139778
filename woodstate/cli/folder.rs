//! The files of a run, written into one folder.

use std::io::Write;
use std::path::Path;

use woodstate::error::Result;
use woodstate::report::{ReportFile, workbook_left_out};
use woodstate::study::Assessment;
use woodstate::table::{FileOut, Overwrite, write_all};

use crate::input;
use crate::output::Output;

/// The files that were read.
pub fn read(assessment: &Assessment) -> impl Iterator<Item = &str> {
    let tables = assessment.source.iter().map(|source| source.file.as_str());
    tables.chain(assessment.settings.study_file.as_deref())
}

/// Writes the files of an assessment and says which.
pub fn write(
    folder: &Path,
    files: &[ReportFile<'_>],
    assessment: &Assessment,
    (threads, overwrite): (usize, Overwrite),
    output: &Output,
) -> Result<()> {
    let bodies: Vec<_> = files.iter().map(|file| move |out: &mut dyn Write| file.write(threads, out)).collect();
    let files: Vec<FileOut<'_>> =
        files.iter().zip(&bodies).map(|(file, body)| FileOut::stream(&file.name, body)).collect();
    for file in &files {
        input::spare(read(assessment), &folder.join(file.name))?;
    }
    let removed = write_all(folder, &files, overwrite)?;
    let names: Vec<&str> = files.iter().map(|file| file.name).collect();
    output.line(&format!("Wrote {} in {}.", names.join(", "), folder.display()));
    if !removed.is_empty() {
        output.line(&format!("Removed {} of an earlier run.", removed.join(", ")));
    }
    if let Some(why) = workbook_left_out(assessment) {
        output.line(&why);
    }
    Ok(())
}
