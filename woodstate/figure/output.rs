//! A figure drawn: SVG, PNG, PDF, and the numbers behind it.

use crate::error::{Error, ErrorKind, Result};
use crate::table::{CellOut, ColumnOut, Decimal, SheetOut, TextStyle, write_text};

use super::layout::Layout;
use super::raster::with_pictures;
use super::scene::LabelBox;
use super::svg::{Told, svg};
use super::{Datum, Figure, Sheet, export};

/// Dots per inch of a picture at least and at most.
const DPI: [u32; 2] = [36, 2400];

impl Figure {
    /// The figure as SVG, to stand alone or in a page; every id begins with the prefix of the sheet. More than 20 000 points of
    /// one look become a picture.
    ///
    /// # Errors
    /// [`ErrorKind::Range`] for a width that no page has.
    pub fn svg(&self, sheet: &Sheet) -> Result<String> {
        Ok(svg(&with_pictures(Layout::of(self, checked(sheet)?).scene())?, &self.told(sheet)))
    }

    /// The figure in pixels, as PNG.
    ///
    /// # Errors
    /// [`ErrorKind::Range`] for a width that no page has and for fewer than 36 or more than 2400 dots per inch.
    pub fn png(&self, sheet: &Sheet, dpi: u32) -> Result<Vec<u8>> {
        if !(DPI[0]..=DPI[1]).contains(&dpi) {
            let allowed = format!("{} to {} dots per inch", DPI[0], DPI[1]);
            return Err(Error::new(ErrorKind::Range { name: "dpi".to_owned(), value: f64::from(dpi), allowed }));
        }
        export::png(&svg(&Layout::of(self, checked(sheet)?).scene(), &self.told(sheet)), dpi)
    }

    /// The figure as PDF of one page; its text can be selected.
    ///
    /// # Errors
    /// [`ErrorKind::Range`] for a width that no page has.
    pub fn pdf(&self, sheet: &Sheet) -> Result<Vec<u8>> {
        export::pdf(&self.svg(sheet)?, &self.title)
    }

    /// The numbers behind the figure as delimited text, one row a point; empty where unknown.
    #[must_use]
    pub fn csv(&self) -> String {
        let cell = |datum: &Datum| match datum {
            Datum::Number(number) => CellOut::number(*number),
            Datum::Text(text) => CellOut::text(text.clone()),
            Datum::Unknown => CellOut::Empty,
        };
        let columns = self.data.columns.iter().map(|head| ColumnOut::new(head.clone())).collect();
        let rows = self.data.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
        let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
        // The delimiter is one byte and every number is finite, so nothing is refused.
        let bytes = write_text(&SheetOut::of_rows("figure", columns, rows), style).unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }

    fn told<'a>(&'a self, sheet: &'a Sheet) -> Told<'a> {
        Told { prefix: &sheet.prefix, title: &self.title, description: &self.alternative }
    }

    /// Every text of the drawing with the box that it fills, in mm.
    ///
    /// # Errors
    /// As [`svg`](Self::svg).
    pub fn labels(&self, sheet: &Sheet) -> Result<Vec<LabelBox>> {
        Ok(Layout::of(self, checked(sheet)?).scene().labels())
    }

    /// Width and height of the drawing, mm.
    ///
    /// # Errors
    /// As [`svg`](Self::svg).
    pub fn size(&self, sheet: &Sheet) -> Result<[f64; 2]> {
        Ok(Layout::of(self, checked(sheet)?).scene().size.map(|length| length / 100.0))
    }
}

/// A sheet that can be drawn on.
fn checked(sheet: &Sheet) -> Result<&Sheet> {
    let range = |name: &str, value: f64, allowed: &str| {
        Err(Error::new(ErrorKind::Range { name: name.to_owned(), value, allowed: allowed.to_owned() }))
    };
    match (sheet.width, sheet.height) {
        (width, _) if !(30.0..=1200.0).contains(&width) => range("width of a figure", width, "30 to 1200 mm"),
        (_, Some(height)) if !(20.0..=1200.0).contains(&height) => range("height of a figure", height, "20 to 1200 mm"),
        _ if !(3.0..=72.0).contains(&sheet.title_size) || !(3.0..=72.0).contains(&sheet.text_size) => {
            range("size of a text", sheet.text_size.min(sheet.title_size), "3 to 72 pt")
        }
        _ => Ok(sheet),
    }
}
