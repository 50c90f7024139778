//! Delimited text out, made in chunks of rows so that a long table is never held as text.

use std::borrow::Cow;
use std::io::Write;
use std::ops::Range;
use std::sync::mpsc::sync_channel;

use crate::error::{Error, Result};
use crate::numeric::map_ordered;
use crate::table::{CellOut, Decimal, SheetOut, file_error};

use super::{guarded, of_file};

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
/// let columns = vec![ColumnOut::new("note"), ColumnOut::new("x")];
/// let sheet = SheetOut::of_rows("out", columns, vec![vec![CellOut::text("=1+1"), CellOut::number(-3.2)]]);
/// let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
/// assert_eq!(write_text(&sheet, style)?, b"note,x\n'=1+1,-3.2\n");
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn write_text(sheet: &SheetOut<'_>, style: TextStyle) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    stream_text(sheet, style, 1, &mut bytes)?;
    Ok(bytes)
}

/// Writes a sheet as [`write_text`] does, a few thousand cells at a time, made on so many threads.
///
/// # Errors
/// As [`write_text`], and what the system says of `out`.
pub fn stream_text(sheet: &SheetOut<'_>, style: TextStyle, threads: usize, out: &mut dyn Write) -> Result<()> {
    let delimiter = u8::try_from(style.delimiter).ok().filter(u8::is_ascii);
    let delimiter = delimiter.ok_or_else(|| {
        Error::content(of_file(&sheet.name), format!("the delimiter {:?} is not ASCII", style.delimiter))
    })?;
    let writer = Writer { sheet, delimiter, style };
    let mut put = |bytes: &[u8]| out.write_all(bytes).map_err(|error| file_error(&sheet.name, "write", error));
    put(&writer.header())?;
    let n_rows = (CELLS / sheet.columns.len().max(1)).max(1);
    let chunks: Vec<Range<usize>> =
        (0..sheet.n_rows).step_by(n_rows).map(|row| row..sheet.n_rows.min(row + n_rows)).collect();
    if threads <= 1 || chunks.len() <= 1 {
        return chunks.into_iter().try_for_each(|rows| put(&writer.rows(rows)?));
    }
    // One thread of these puts away what the others have made.
    std::thread::scope(|scope| {
        let (made, to_put) = sync_channel(1);
        scope.spawn(move || {
            for wave in chunks.chunks(4 * threads) {
                let bytes = map_ordered(threads, wave.to_vec(), |rows| writer.rows(rows));
                // Nobody takes it once writing has failed.
                if made.send(bytes).is_err() {
                    break;
                }
            }
        });
        to_put.into_iter().try_for_each(|wave| wave?.into_iter().try_for_each(|bytes| put(&bytes?)))
    })
}

/// Cells of a chunk.
const CELLS: usize = 16 << 10;

#[derive(Clone, Copy)]
struct Writer<'s, 'a> {
    sheet: &'s SheetOut<'a>,
    delimiter: u8,
    style: TextStyle,
}

impl Writer<'_, '_> {
    fn header(self) -> Vec<u8> {
        let mut out = Vec::new();
        for (column, spec) in self.sheet.columns.iter().enumerate() {
            self.separate(column, &mut out);
            self.text(&guarded(&spec.header), &mut out);
        }
        end_row(0, &mut out);
        out
    }

    fn rows(self, rows: Range<usize>) -> Result<Vec<u8>> {
        let (mut out, mut cells) = (Vec::with_capacity(12 * CELLS), Vec::new());
        for row in rows {
            let start = out.len();
            cells.clear();
            self.sheet.row(row, &mut cells);
            for (column, cell) in cells.iter().enumerate() {
                self.separate(column, &mut out);
                match cell {
                    CellOut::Empty => {}
                    CellOut::Text(text) => self.text(&guarded(text), &mut out),
                    CellOut::Number { value, .. } if value.is_finite() => self.number(*value, &mut out),
                    CellOut::Number { value, .. } => {
                        let place = self.sheet.place(row, column);
                        return Err(Error::content(place, format!("{value} is not a finite number")));
                    }
                }
            }
            end_row(start, &mut out);
        }
        Ok(out)
    }

    fn separate(self, column: usize, out: &mut Vec<u8>) {
        if column > 0 {
            out.push(self.delimiter);
        }
    }

    /// A cell in quotes if it could not be told from its neighbours otherwise.
    fn text(self, text: &str, out: &mut Vec<u8>) {
        let is_special = |byte: &u8| matches!(byte, b'"' | b'\n' | b'\r') || *byte == self.delimiter;
        if !text.as_bytes().iter().any(is_special) {
            return out.extend_from_slice(text.as_bytes());
        }
        out.push(b'"');
        for byte in text.bytes() {
            out.extend_from_slice(if byte == b'"' { b"\"\"" } else { std::slice::from_ref(&byte) });
        }
        out.push(b'"');
    }

    /// The shortest digits that read back as the same number.
    fn number(self, value: f64, out: &mut Vec<u8>) {
        let mut buffer = zmij::Buffer::new();
        let fast = buffer.format_finite(value);
        let has_exponent = value.abs() < 1e-4 || value.abs() >= 1e16;
        let text = if has_exponent || (fast.len() > 16 && may_be_midway(value)) {
            Cow::Owned(format!("{value:?}"))
        } else {
            Cow::Borrowed(fast)
        };
        let text = text.strip_suffix(".0").unwrap_or(&text);
        // A mark or a delimiter that numbers are made of.
        if self.style.decimal == Decimal::Comma
            || self.delimiter.is_ascii_alphanumeric()
            || b".+-".contains(&self.delimiter)
        {
            return self.text(&text.replace('.', self.style.decimal.mark().encode_utf8(&mut [0; 4])), out);
        }
        out.extend_from_slice(text.as_bytes());
    }
}

/// Ends a row; one that would be a blank line becomes one empty cell.
fn end_row(start: usize, out: &mut Vec<u8>) {
    out.extend_from_slice(if out.len() == start { b"\"\"\n" } else { b"\n" });
}

/// Whether a number may lie midway between two shortest texts, of which the standard library takes the upper: its
/// digits end one place later, in a 5, so that it has few binary places.
fn may_be_midway(value: f64) -> bool {
    let bits = value.to_bits();
    let exponent = (bits >> 52) & 0x7ff;
    let digits = (bits & ((1 << 52) - 1)) | (1 << 52);
    // The number is an odd number times two to the power of this, less 1075.
    (1075 - 26..1075).contains(&(exponent + u64::from(digits.trailing_zeros())))
}
