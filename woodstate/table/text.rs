//! Delimited text in and out.
//!
//! Nothing is guessed: the encoding is a byte-order mark, strict UTF-8 or declared; the delimiter is declared or the
//! only one that fits; a torn quote is an error. What was found is part of the result, so that it can be said.
//!
//! Text that a spreadsheet program would run as a formula is written with a guard, a leading `'`, which the reader
//! takes off again. Numbers are never guarded: -3.2 stays a number.

mod sniff;
mod split;

use std::borrow::Cow;

use crate::error::{Error, ErrorKind, Place, Result};
use crate::table::grid::{GridBuilder, Kind};
use crate::table::{CellOut, Decimal, Grid, SheetOut};

use sniff::sniff;
use split::{Splitter, Torn};

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
    let at_line = |line, text: String| Error::content(Place { row: line, ..of_file(file) }, text);
    let (text, encoding) = decode(bytes, file, options.encoding.as_deref())?;
    if text.trim().is_empty() {
        return Err(at_line(None, "the file is empty".to_owned()));
    }
    let delimiter = match options.delimiter {
        Some(declared) => Some(declared),
        None => sniff(&text, file)?,
    };
    let byte = match delimiter.map(u8::try_from) {
        None => b';',
        Some(Ok(byte)) if byte.is_ascii() && !matches!(byte, b'"' | b'\n' | b'\r') => byte,
        Some(_) => {
            let text = "the delimiter must be one ASCII character, and neither a quote nor a line end".to_owned();
            return Err(at_line(None, text));
        }
    };
    let mut splitter = Splitter::new(&text, byte);
    let mut builder = GridBuilder::new(file, None, usize::MAX);
    loop {
        let mut width = 0;
        let record = splitter.record(|cell| {
            width += 1;
            if width > options.max_columns || builder.n_cells() >= options.max_cells {
                return Err(Stop::TooLarge);
            }
            let slot = builder.text(Kind::Text, unguarded(cell)).map_err(Stop::Failed)?;
            builder.push(slot);
            Ok(())
        });
        match record {
            Ok(Some(line)) => builder.end_row(line),
            Ok(None) => break,
            Err(Stop::Failed(error)) => return Err(error),
            Err(Stop::Torn(torn)) => return Err(torn_quote(torn, file)),
            Err(Stop::TooLarge) => {
                let TextOptions { max_cells, max_columns, .. } = options;
                let text = format!("more than {max_columns} columns or {max_cells} cells, which is the limit");
                return Err(at_line(Some(splitter.line()), text).with_hint("raise the limit with --max-cells"));
            }
        }
    }
    let is_sniffed = options.delimiter.is_none() && delimiter.is_some();
    Ok(TextSheet { grid: builder.finish(), encoding, delimiter, is_sniffed })
}

enum Stop {
    Torn(Torn),
    TooLarge,
    Failed(Error),
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
    if encoding == encoding_rs::UTF_8
        && let Err(error) = std::str::from_utf8(body)
    {
        return Err(not_utf8(body, error.valid_up_to(), file));
    }
    let Some(text) = encoding.decode_without_bom_handling_and_without_replacement(body) else {
        return Err(fault(format!("the bytes are not text in {}", encoding.name())));
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

/// How text is to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextStyle {
    /// The character between cells; ASCII.
    pub delimiter: char,
    /// The decimal mark of numbers.
    pub decimal: Decimal,
}

/// Writes a sheet as delimited text: UTF-8, LF line ends, every digit a number needs to be read back unchanged.
///
/// # Errors
/// A delimiter that is not one ASCII character, or a number that is not finite.
///
/// # Example
/// ```
/// use woodstate::table::{CellOut, ColumnOut, Decimal, SheetOut, TextStyle, write_text};
///
/// let mut sheet = SheetOut::new("out", vec![ColumnOut::new("note"), ColumnOut::new("x")]);
/// sheet.rows.push(vec![CellOut::text("=1+1"), CellOut::number(-3.2)]);
/// let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
/// assert_eq!(write_text(&sheet, style)?, b"note,x\n'=1+1,-3.2\n");
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn write_text(sheet: &SheetOut, style: TextStyle) -> Result<Vec<u8>> {
    let fault = |text: String| Error::content(of_file(&sheet.name), text);
    let delimiter = u8::try_from(style.delimiter).ok().filter(u8::is_ascii);
    let delimiter = delimiter.ok_or_else(|| fault(format!("the delimiter {:?} is not ASCII", style.delimiter)))?;
    let mut writer = csv::WriterBuilder::new().delimiter(delimiter).flexible(true).from_writer(Vec::new());
    let failed = |error: csv::Error| fault(format!("cannot be written as text: {error}")).with_source(error);
    writer.write_record(sheet.columns.iter().map(|column| guarded(&column.header).into_owned())).map_err(failed)?;
    for (row, cells) in sheet.rows.iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            let field = match cell {
                CellOut::Empty => Cow::Borrowed(""),
                CellOut::Text(text) => guarded(text),
                CellOut::Number { value, .. } if value.is_finite() => Cow::Owned(lossless(*value, style.decimal)),
                CellOut::Number { value, .. } => {
                    return Err(Error::content(sheet.place(row, column), format!("{value} is not a finite number")));
                }
            };
            writer.write_field(field.as_bytes()).map_err(failed)?;
        }
        writer.write_record(None::<&[u8]>).map_err(failed)?;
    }
    writer.into_inner().map_err(|error| fault(format!("cannot be written as text: {error}")))
}

/// The shortest digits that read back as the same number.
fn lossless(value: f64, decimal: Decimal) -> String {
    let text = format!("{value:?}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    text.replace('.', &decimal.mark().to_string())
}

/// Whether a text, apart from guards in front of it, begins like a formula.
fn is_formula_like(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r', '\0'])
}

fn guarded(text: &str) -> Cow<'_, str> {
    if is_formula_like(text) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

fn unguarded(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| is_formula_like(rest)).unwrap_or(cell)
}
