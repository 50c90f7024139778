//! Study and batch from what was typed.

use std::io::Read;
use std::path::Path;

use woodstate::error::{Error, Result};
use woodstate::numeric::Watch;
use woodstate::study::Study;
use woodstate::table::{Batch, Decimal, SourceFile, TableOptions, batch_of, file_error, read_batch};

use crate::args::{DrawArgs, InputArgs, ReadingArgs};

/// The study that was named, or the one beside the data, with what was typed on top.
pub fn study(input: &InputArgs) -> Result<Study> {
    let is_piped = input.file == Path::new("-");
    let mut study = match &input.study {
        Some(path) => Study::open(path)?,
        None if is_piped => Study::unstated()?,
        None => Study::beside(&input.file)?.map_or_else(Study::unstated, Ok)?,
    };
    study.read.max_cells = input.max_cells.and_then(|cells| usize::try_from(cells).ok());
    Ok(read_as(study, &input.reading))
}

/// The study with what was typed of reading on top.
pub fn read_as(mut study: Study, typed: &ReadingArgs) -> Study {
    let (samples, typed) = (&mut study.read.samples, reading(typed));
    samples.sheet = typed.sheet.or(samples.sheet.take());
    samples.encoding = typed.encoding.or(samples.encoding.take());
    samples.delimiter = typed.delimiter.or(samples.delimiter);
    samples.header_row = typed.header_row.or(samples.header_row);
    samples.decimal = typed.decimal.or(samples.decimal);
    study
}

/// How to read the samples, as far as it was typed.
pub fn reading(typed: &ReadingArgs) -> TableOptions {
    TableOptions {
        sheet: typed.sheet.clone(),
        header_row: typed.header_row.and_then(|row| usize::try_from(row).ok()),
        encoding: typed.encoding.clone(),
        delimiter: typed.delimiter,
        decimal: typed.decimal.as_deref().map(mark),
        ..TableOptions::default()
    }
}

/// The study with the seed and the coverage that were typed.
pub fn drawn(mut study: Study, typed: &DrawArgs) -> Study {
    let propagation = &mut study.options.propagation;
    propagation.seed = typed.seed.unwrap_or(propagation.seed);
    propagation.coverage = typed.coverage.unwrap_or(propagation.coverage);
    study
}

/// Refuses to write over what was read, whatever was forced.
pub fn spare<'a>(read: impl IntoIterator<Item = &'a str>, written: &Path) -> Result<()> {
    let Ok(target) = written.canonicalize() else { return Ok(()) };
    let is_read = |name: &str| Path::new(name).canonicalize().is_ok_and(|path| path == target);
    match read.into_iter().any(is_read) {
        true => Err(Error::file(written, "write", "it is what was read; name another file with --out")),
        false => Ok(()),
    }
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
    batch_of(&piped()?, &study.read, watch)
}

/// What standard input holds.
pub fn piped() -> Result<SourceFile> {
    let mut bytes = Vec::new();
    let read = std::io::stdin().lock().read_to_end(&mut bytes);
    read.map_err(|error| file_error("standard input", "read", error))?;
    Ok(SourceFile::from_bytes("standard input", bytes))
}
