//! Study and batch from what was typed.

use std::io::Read;
use std::path::Path;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::study::Study;
use woodstate::table::{Batch, Decimal, SourceFile, batch_of, file_error, read_batch};

use crate::args::InputArgs;

/// The study that was named, or the one beside the data, with what was typed on top.
pub fn study(input: &InputArgs) -> Result<Study> {
    let is_piped = input.file == Path::new("-");
    let mut study = match &input.study {
        Some(path) => Study::open(path)?,
        None if is_piped => Study::unstated()?,
        None => Study::beside(&input.file)?.map_or_else(Study::unstated, Ok)?,
    };
    let samples = &mut study.read.samples;
    let typed = |new: &Option<String>, old: &mut Option<String>| {
        if new.is_some() {
            old.clone_from(new);
        }
    };
    typed(&input.sheet, &mut samples.sheet);
    typed(&input.encoding, &mut samples.encoding);
    samples.delimiter = input.delimiter.or(samples.delimiter);
    let row = input.header_row.and_then(|row| usize::try_from(row).ok());
    samples.header_row = row.or(samples.header_row);
    samples.decimal = input.decimal.as_deref().map(mark).or(samples.decimal);
    study.read.max_cells = input.max_cells.and_then(|cells| usize::try_from(cells).ok());
    Ok(study)
}

/// The decimal mark that a text names.
pub fn mark(text: &str) -> Decimal {
    if text == "," { Decimal::Comma } else { Decimal::Point }
}

/// The batch that was named; standard input for `-`.
pub fn batch(input: &InputArgs, study: &Study, watch: &Watch<'_>) -> Result<Batch> {
    if input.file != Path::new("-") {
        return read_batch(&input.file, &study.read, watch);
    }
    let mut bytes = Vec::new();
    let read = std::io::stdin().lock().read_to_end(&mut bytes);
    read.map_err(|error| file_error("standard input", "read", error))?;
    batch_of(&SourceFile::from_bytes("standard input", bytes), &study.read, watch)
}
