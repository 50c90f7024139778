//! Delimited text out.

use crate::error::{Error, Result};
use crate::table::{CellOut, Decimal, SheetOut};
use std::borrow::Cow;

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
