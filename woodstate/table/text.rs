//! Delimited text in and out.
//!
//! Nothing is guessed: the encoding is a byte-order mark, strict UTF-8 or declared; the delimiter is declared or the
//! only one that fits; a torn quote is an error. What was found is part of the result, so that it can be said.
//!
//! Text that a spreadsheet program would run as a formula is written with a guard, a leading `'`, which the reader
//! takes off again. Numbers are never guarded: -3.2 stays a number.

mod chunk;
mod format;
mod sniff;
mod split;

use std::borrow::Cow;

use crate::error::{Error, ErrorKind, Place, Result};
use crate::table::Grid;
use crate::table::grid::{GridBuilder, Kind};

use sniff::sniff;
use split::{Splitter, Torn};

pub(super) use chunk::{Chunk, first_fault, grid_of, head};
pub use format::{TextStyle, stream_text, write_text};

/// How a text is to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextOptions {
    /// Name of the encoding, such as `windows-1252`; `None` takes a byte-order mark or UTF-8.
    pub encoding: Option<String>,
    /// The character between cells; `None` takes the one of `;` `,` tab `|` that fits.
    pub delimiter: Option<char>,
    /// Most cells that are taken.
    pub max_cells: usize,
    /// Most columns that are taken.
    pub max_columns: usize,
}

impl Default for TextOptions {
    fn default() -> Self {
        Self { encoding: None, delimiter: None, max_cells: 100_000_000, max_columns: 1_000 }
    }
}

/// A text that was read, and how.
#[derive(Debug, Clone)]
pub struct TextSheet {
    /// The cells.
    pub grid: Grid,
    /// Encoding in which the text was read.
    pub encoding: &'static str,
    /// Character between cells; `None` if there is one column and none was declared.
    pub delimiter: Option<char>,
    /// Whether the delimiter was found in the text and not declared.
    pub is_sniffed: bool,
}

/// Reads delimited text.
///
/// # Errors
/// Bytes that are not text in the encoding, a delimiter that cannot be told, a torn quote, nothing to read, or more
/// cells than allowed.
///
/// # Example
/// ```
/// use woodstate::table::{Cell, TextOptions, read_text};
///
/// let found = read_text(b"sample;mass\n007;1,5\n", "a.csv", &TextOptions::default())?;
/// assert_eq!(found.delimiter, Some(';'));
/// assert_eq!(found.grid.cell(1, 0), Cell::Text("007"));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn read_text(bytes: &[u8], file: &str, options: &TextOptions) -> Result<TextSheet> {
    let opened = Opened::new(bytes, file, options)?;
    let mut splitter = Splitter::new(&opened.text, opened.byte, 1);
    let mut builder = GridBuilder::new(file, None, usize::MAX);
    loop {
        match fill(&mut splitter, &mut builder, options) {
            Ok(Some(line)) => builder.end_row(line),
            Ok(None) => break,
            Err(stop) => return Err(stop.error(splitter.line(), file, options)),
        }
    }
    let Opened { encoding, delimiter, is_sniffed, .. } = opened;
    Ok(TextSheet { grid: builder.finish(), encoding, delimiter, is_sniffed })
}

/// A text that was decoded, and how its cells are set apart.
#[derive(Debug)]
pub(super) struct Opened<'a> {
    pub(super) text: Cow<'a, str>,
    pub(super) encoding: &'static str,
    pub(super) delimiter: Option<char>,
    pub(super) is_sniffed: bool,
    /// The delimiter, or any where there is one column.
    pub(super) byte: u8,
}

impl<'a> Opened<'a> {
    pub(super) fn new(bytes: &'a [u8], file: &str, options: &TextOptions) -> Result<Self> {
        let fault = |text: &str| Error::content(of_file(file), text);
        let (text, encoding) = decode(bytes, file, options.encoding.as_deref())?;
        if text.trim_start().is_empty() {
            return Err(fault("the file is empty"));
        }
        let delimiter = match options.delimiter {
            Some(declared) => Some(declared),
            None => sniff(&text, file)?,
        };
        let byte = match delimiter.map(u8::try_from) {
            None => b';',
            Some(Ok(byte)) if byte.is_ascii() && !matches!(byte, b'"' | b'\n' | b'\r') => byte,
            Some(_) => {
                return Err(fault("the delimiter must be one ASCII character, and neither a quote nor a line end"));
            }
        };
        let is_sniffed = options.delimiter.is_none() && delimiter.is_some();
        Ok(Self { text, encoding, delimiter, is_sniffed, byte })
    }
}

/// Puts the cells of the next record into a grid, whose row is still to be ended; gives the line of the record.
fn fill(
    splitter: &mut Splitter<'_>,
    builder: &mut GridBuilder,
    options: &TextOptions,
) -> std::result::Result<Option<usize>, Stop> {
    let mut width = 0;
    splitter.cells(|cell, start| {
        width += 1;
        if width > options.max_columns || builder.n_cells() >= options.max_cells {
            return Err(Stop::TooLarge);
        }
        let text = unguarded(cell);
        let slot = match start.and_then(|start| builder.placed(start + cell.len() - text.len(), text.len())) {
            Some(slot) => slot,
            None => builder.text(Kind::Text, text).map_err(Stop::Failed)?,
        };
        builder.push(slot);
        Ok(())
    })
}

/// Why a text cannot be read on.
#[derive(Debug)]
enum Stop {
    Torn(Torn),
    TooLarge,
    Failed(Error),
}

impl Stop {
    /// What to say; the walk stands on this line.
    fn error(self, line: usize, file: &str, options: &TextOptions) -> Error {
        match self {
            Self::Failed(error) => error,
            Self::Torn(torn) => torn_quote(torn, file),
            Self::TooLarge => {
                let TextOptions { max_cells, max_columns, .. } = options;
                let text = format!("more than {max_columns} columns or {max_cells} cells, which is the limit");
                let place = Place { row: Some(line), ..of_file(file) };
                Error::content(place, text).with_hint("raise the limit with --max-cells")
            }
        }
    }
}

impl From<Torn> for Stop {
    fn from(torn: Torn) -> Self {
        Self::Torn(torn)
    }
}

fn of_file(file: &str) -> Place {
    Place { file: file.to_owned(), ..Place::default() }
}

fn torn_quote(torn: Torn, file: &str) -> Error {
    let (line, text) = match torn {
        Torn::Unclosed(line) => (line, "a quote opens here and is never closed"),
        Torn::Trailing(line) => (line, "a quoted cell ends here and more text follows before the next delimiter"),
    };
    let place = Place { row: Some(line), ..of_file(file) };
    Error::content(place, text).with_hint("write a quote inside a quoted cell twice, as in \"5\"\" board\"")
}

/// The text and the name of its encoding.
fn decode<'a>(bytes: &'a [u8], file: &str, declared: Option<&str>) -> Result<(Cow<'a, str>, &'static str)> {
    let fault = |text: String| Error::content(of_file(file), text);
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xd0\xcf\x11\xe0") {
        let text = "this looks like a workbook, not like text".to_owned();
        return Err(fault(text).with_hint("give the file its own ending, .xlsx, or export the sheet as CSV"));
    }
    let wanted = match declared {
        Some(label) => Some(encoding_rs::Encoding::for_label_no_replacement(label.as_bytes()).ok_or_else(|| {
            let allowed = ["utf-8", "windows-1252", "iso-8859-15", "macintosh", "utf-16le"].map(str::to_owned);
            Error::new(ErrorKind::Name { what: "encoding", found: label.to_owned(), allowed: allowed.into() })
        })?),
        None => None,
    };
    let marked = encoding_rs::Encoding::for_bom(bytes);
    let (encoding, skip) = match (marked, wanted) {
        (Some((marked, _)), Some(wanted)) if marked != wanted => {
            let text =
                format!("the file begins with the mark of {}, and {} was declared", marked.name(), wanted.name());
            return Err(fault(text).with_hint("leave --encoding out"));
        }
        (Some(found), _) => found,
        (None, wanted) => (wanted.unwrap_or(encoding_rs::UTF_8), 0),
    };
    let body = &bytes[skip..];
    let text = if encoding == encoding_rs::UTF_8 {
        Cow::Borrowed(std::str::from_utf8(body).map_err(|error| not_utf8(body, error.valid_up_to(), file))?)
    } else {
        let decoded = encoding.decode_without_bom_handling_and_without_replacement(body);
        decoded.ok_or_else(|| fault(format!("the bytes are not text in {}", encoding.name())))?
    };
    if let Some(at) = text.find('\0') {
        let place = Place { row: Some(line_of(&text.as_bytes()[..at])), ..of_file(file) };
        let text = "a NUL byte: this is no text, or UTF-16 without its mark";
        return Err(Error::content(place, text).with_hint("if it is text, try --encoding utf-16le"));
    }
    Ok((text, encoding.name()))
}

fn not_utf8(body: &[u8], at: usize, file: &str) -> Error {
    let line = line_of(&body[..at]);
    let place = Place { row: Some(line), ..of_file(file) };
    let text = format!("line {line} holds a letter that is not UTF-8 (byte 0x{:02X})", body[at]);
    let hint = "if it comes from an old spreadsheet program, say --encoding windows-1252";
    Error::content(place, text).with_hint(hint)
}

/// The line on which the text after `before` goes on.
fn line_of(before: &[u8]) -> usize {
    let ends = |(at, b): (usize, &u8)| *b == b'\n' || (*b == b'\r' && before.get(at + 1) != Some(&b'\n'));
    1 + before.iter().enumerate().filter(|pair| ends(*pair)).count()
}

/// Whether a text, apart from guards in front of it, begins like a formula.
fn is_formula_like(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r', '\0'])
}

pub(super) fn guarded(text: &str) -> Cow<'_, str> {
    if is_formula_like(text) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

fn unguarded(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| is_formula_like(rest)).unwrap_or(cell)
}
