//! A long text in chunks of whole records, so that several threads can read it and no grid of all cells is needed.

use crate::error::{Error, Result};
use crate::numeric::map_ordered;
use crate::table::Grid;
use crate::table::grid::GridBuilder;

use super::split::{Splitter, Torn};
use super::{Opened, Stop, TextOptions, fill};

/// Bytes of a chunk, or somewhat more: up to the end of a record. Never hangs on the number of threads.
const CHUNK: usize = 256 << 10;

/// Whole records of a text.
#[derive(Debug, Clone, Copy)]
pub(in crate::table) struct Chunk<'a> {
    text: &'a str,
    /// The line on which it starts.
    line: usize,
}

impl Opened<'_> {
    /// The text in chunks.
    ///
    /// # Errors
    /// A torn quote.
    pub(in crate::table) fn chunks(&self, threads: usize, file: &str, options: &TextOptions) -> Result<Vec<Chunk<'_>>> {
        if !self.text.contains('"') {
            return unquoted(&self.text, threads);
        }
        self.quoted().map_err(|torn| {
            first_fault(self, file, options).unwrap_or_else(|| Stop::Torn(torn).error(0, file, options))
        })
    }

    /// Chunks of a text with quotes: a line end may be part of a cell, so that records are walked.
    fn quoted(&self) -> std::result::Result<Vec<Chunk<'_>>, Torn> {
        let (mut chunks, mut start, mut line) = (Vec::new(), 0, 1);
        let mut splitter = Splitter::new(&self.text, self.byte, 1);
        loop {
            let has_more = splitter.skip()?;
            if splitter.at() - start >= CHUNK || (!has_more && splitter.at() > start) {
                chunks.push(Chunk { text: &self.text[start..splitter.at()], line });
                (start, line) = (splitter.at(), splitter.line());
            }
            if !has_more {
                return Ok(chunks);
            }
        }
    }
}

/// Chunks of a text without quotes: every line end ends a record.
fn unquoted(text: &str, threads: usize) -> Result<Vec<Chunk<'_>>> {
    let (mut texts, mut rest) = (Vec::new(), text);
    while !rest.is_empty() {
        let (chunk, after) = rest.split_at(line_end(rest.as_bytes()));
        texts.push(chunk);
        rest = after;
    }
    let counts = map_ordered(threads, texts.clone(), |text| super::line_of(text.as_bytes()) - 1)?;
    let mut line = 1;
    let number = |(text, n_lines)| {
        let chunk = Chunk { text, line };
        line += n_lines;
        chunk
    };
    Ok(texts.into_iter().zip(counts).map(number).collect())
}

/// Where the first line ends that reaches the size of a chunk.
fn line_end(bytes: &[u8]) -> usize {
    let Some(tail) = bytes.get(CHUNK..) else { return bytes.len() };
    match tail.iter().position(|b| matches!(b, b'\n' | b'\r')) {
        Some(at) if tail[at..].starts_with(b"\r\n") => CHUNK + at + 2,
        Some(at) => CHUNK + at + 1,
        None => bytes.len(),
    }
}

/// The cells of a chunk.
pub(in crate::table) fn grid_of(
    chunk: Chunk<'_>,
    byte: u8,
    file: &str,
    options: &TextOptions,
) -> std::result::Result<Grid, Error> {
    let mut splitter = Splitter::new(chunk.text, byte, chunk.line);
    let mut builder = GridBuilder::over(file, chunk.text);
    loop {
        match fill(&mut splitter, &mut builder, options) {
            Ok(Some(line)) => builder.end_row(line),
            Ok(None) => return Ok(builder.finish()),
            Err(stop) => return Err(stop.error(splitter.line(), file, options)),
        }
    }
}

/// The first rows with content, as many as the header is looked for in; or else the one row that was named.
pub(in crate::table) fn head(
    opened: &Opened<'_>,
    file: &str,
    named: Option<usize>,
    n_rows: usize,
    options: &TextOptions,
) -> Result<Grid> {
    let mut splitter = Splitter::new(&opened.text, opened.byte, 1);
    let mut builder = GridBuilder::new(file, None, usize::MAX);
    while named.map_or(builder.n_rows() < n_rows, |named| splitter.line() <= named) {
        let is_looked_at = named.is_none_or(|named| splitter.line() == named);
        let filled = match is_looked_at {
            true => fill(&mut splitter, &mut builder, options),
            false => splitter.record(|_| Ok(())),
        };
        match filled {
            Ok(Some(line)) => builder.end_row(line),
            Ok(None) => break,
            Err(stop) => {
                let error = stop.error(splitter.line(), file, options);
                return Err(first_fault(opened, file, options).unwrap_or(error));
            }
        }
    }
    Ok(builder.finish())
}

/// The first thing that is wrong with a text as such: a torn quote, or more cells than allowed.
pub(in crate::table) fn first_fault(opened: &Opened<'_>, file: &str, options: &TextOptions) -> Option<Error> {
    let mut splitter = Splitter::new(&opened.text, opened.byte, 1);
    let mut n_cells = 0;
    loop {
        let (mut width, mut has_content) = (0, false);
        let record = splitter.record(|cell| {
            has_content |= !cell.trim().is_empty();
            width += 1;
            if width > options.max_columns || n_cells + width > options.max_cells {
                return Err(Stop::TooLarge);
            }
            Ok(())
        });
        match record {
            Ok(Some(_)) => n_cells += if has_content { width } else { 0 },
            Ok(None) => return None,
            Err(stop) => return Some(stop.error(splitter.line(), file, options)),
        }
    }
}
