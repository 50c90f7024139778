//! A sheet as it stands in the file: cells in rows, nothing interpreted.
//!
//! Headers, units, numbers in text and missing words are the business of the schema; a grid only knows where each
//! cell stands, so that every message can name it.

use crate::error::{Error, Place, Result};

/// One cell, as the file has it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Cell<'a> {
    /// Nothing there.
    Empty,
    /// Text, never trimmed and never turned into a number: `007` stays `007`.
    Text(&'a str),
    /// A number of a workbook.
    Number(f64),
    /// A number of a workbook that is shown in per cent: 0.25 is shown as 25 %.
    Percent(f64),
    /// A date, a time or a span of a workbook, as ISO 8601: `2024-05-01`, `2024-05-01T12:30:00`, `12:30:00`, `PT26H`.
    Date(&'a str),
    /// TRUE or FALSE of a workbook.
    Bool(bool),
    /// An error value of a workbook, such as `#DIV/0!`.
    Error(&'a str),
    /// A formula that the file stores without its value.
    NotCalculated,
    /// A cell covered by a merged area, apart from the top-left one; [`Grid::shown`] looks through it.
    Merged,
}

/// A sheet of cells; made by [`read_text`](crate::table::read_text) and [`read_sheet`](crate::table::read_sheet).
///
/// Rows without any content are left out; [`Grid::row_number`] still counts as the file does.
#[derive(Debug, Clone)]
pub struct Grid {
    file: String,
    sheet: Option<String>,
    text: String,
    cells: Vec<Slot>,
    rows: Vec<Row>,
    n_columns: usize,
    /// Whether it came from a data frame, whose columns have names and no letters.
    is_frame: bool,
}

/// Where a row starts in `cells`, and what the file calls it.
#[derive(Debug, Clone, Copy)]
struct Row {
    start: usize,
    number: usize,
}

/// Twelve bytes a cell: two halves of a number, or start and length of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    kind: Kind,
    high: u32,
    low: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Empty,
    Text,
    Number,
    Percent,
    Date,
    Bool,
    Error,
    NotCalculated,
    Merged,
}

impl Slot {
    pub(super) const EMPTY: Self = Self::pair(Kind::Empty, 0, 0);
    pub(super) const NOT_CALCULATED: Self = Self::pair(Kind::NotCalculated, 0, 0);

    const fn pair(kind: Kind, high: u32, low: u32) -> Self {
        Self { kind, high, low }
    }

    #[allow(clippy::cast_possible_truncation, reason = "OK because the two halves hold all 64 bits")]
    pub(super) fn number(value: f64) -> Self {
        let bits = value.to_bits();
        Self::pair(Kind::Number, (bits >> 32) as u32, bits as u32)
    }

    pub(super) fn boolean(value: bool) -> Self {
        Self::pair(Kind::Bool, 0, u32::from(value))
    }

    /// A covered cell; remembers the top-left one by file row (from 1) and column (from 0).
    pub(super) fn merged(row_number: u32, column: u32) -> Self {
        Self::pair(Kind::Merged, row_number, column)
    }

    /// The same number, shown in per cent.
    pub(super) fn in_percent(self) -> Self {
        if self.kind == Kind::Number { Self { kind: Kind::Percent, ..self } } else { self }
    }

    pub(super) fn is_merged(self) -> bool {
        self.kind == Kind::Merged
    }

    fn value(self) -> f64 {
        f64::from_bits((u64::from(self.high) << 32) | u64::from(self.low))
    }
}

impl Grid {
    /// How many rows there are.
    #[must_use]
    pub fn n_rows(&self) -> usize {
        self.rows.len()
    }

    /// How many columns the widest row has.
    #[must_use]
    pub fn n_columns(&self) -> usize {
        self.n_columns
    }

    /// The file, as the person named it.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The sheet of the workbook; `None` for a text file.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        self.sheet.as_deref()
    }

    /// Whether it came from a data frame, whose cells have no names.
    pub(super) fn is_frame(&self) -> bool {
        self.is_frame
    }

    /// The number of a row as a person counts in the file, from 1: the row of a sheet, or the line of a text file on
    /// which the row starts; 0 beyond the last row.
    #[must_use]
    pub fn row_number(&self, row: usize) -> usize {
        self.rows.get(row).map_or(0, |row| row.number)
    }

    /// How many cells a row has, counting up to the last one written in the file.
    #[must_use]
    pub fn width(&self, row: usize) -> usize {
        self.slots(row).len()
    }

    /// A cell; [`Cell::Empty`] beyond the end of the row or of the grid.
    #[must_use]
    pub fn cell(&self, row: usize, column: usize) -> Cell<'_> {
        self.slots(row).get(column).map_or(Cell::Empty, |slot| self.open(*slot))
    }

    /// A cell as the eye sees it: everywhere in a merged area, its top-left cell. Meant for header rows.
    #[must_use]
    pub fn shown(&self, row: usize, column: usize) -> Cell<'_> {
        match self.slots(row).get(column) {
            Some(slot) if slot.kind == Kind::Merged => {
                let corner = self.rows.binary_search_by_key(&(slot.high as usize), |row| row.number);
                corner.map_or(Cell::Empty, |corner| self.cell(corner, slot.low as usize))
            }
            Some(slot) => self.open(*slot),
            None => Cell::Empty,
        }
    }

    /// Where a cell stands, for a message: file, sheet, row and a name such as `D17`; the column's header is for the
    /// caller to fill in.
    #[must_use]
    pub fn place(&self, row: usize, column: usize) -> Place {
        let place = self.row_place(row);
        Place { cell: place.row.filter(|_| !self.is_frame).map(|number| cell_name(number, column)), ..place }
    }

    /// Where a row stands, for a message about the whole row.
    #[must_use]
    pub fn row_place(&self, row: usize) -> Place {
        // The names of a frame are no row of it.
        let row = self.rows.get(row).map(|row| row.number).filter(|number| *number > 0);
        Place { file: self.file.clone(), sheet: self.sheet.clone(), row, ..Place::default() }
    }

    /// How many cells there are, those left out at the ends of rows not counted.
    pub(super) fn n_cells(&self) -> usize {
        self.cells.len()
    }

    fn slots(&self, row: usize) -> &[Slot] {
        let Some(start) = self.rows.get(row).map(|row| row.start) else { return &[] };
        let end = self.rows.get(row + 1).map_or(self.cells.len(), |next| next.start);
        &self.cells[start..end]
    }

    fn open(&self, slot: Slot) -> Cell<'_> {
        let text = || self.text.get(slot.high as usize..slot.high as usize + slot.low as usize).unwrap_or_default();
        match slot.kind {
            Kind::Empty => Cell::Empty,
            Kind::Text => Cell::Text(text()),
            Kind::Number => Cell::Number(slot.value()),
            Kind::Percent => Cell::Percent(slot.value()),
            Kind::Date => Cell::Date(text()),
            Kind::Bool => Cell::Bool(slot.low != 0),
            Kind::Error => Cell::Error(text()),
            Kind::NotCalculated => Cell::NotCalculated,
            Kind::Merged => Cell::Merged,
        }
    }
}

/// The name of a cell as spreadsheets write it; the row counts from 1, the column from 0.
///
/// # Example
/// ```
/// assert_eq!(woodstate::table::cell_name(17, 3), "D17");
/// assert_eq!(woodstate::table::cell_name(1_048_576, 16_383), "XFD1048576");
/// ```
#[must_use]
pub fn cell_name(row_number: usize, column: usize) -> String {
    let mut name = row_number.to_string();
    let mut rest = column + 1;
    while rest > 0 {
        let letter = u8::try_from((rest - 1) % 26).unwrap_or_default();
        name.insert(0, char::from(b'A' + letter));
        rest = (rest - 1) / 26;
    }
    name
}

/// Fills a [`Grid`] row by row.
#[derive(Debug)]
pub(super) struct GridBuilder {
    grid: Grid,
    row_start: usize,
    row_has_content: bool,
    max_text: usize,
    /// Bytes of text that the builder was made over.
    n_placed: usize,
}

impl GridBuilder {
    /// A builder that holds at most `max_text` bytes of text, and never more than 4 GiB.
    pub(super) fn new(file: &str, sheet: Option<&str>, max_text: usize) -> Self {
        let grid = Grid {
            file: file.to_owned(),
            sheet: sheet.map(str::to_owned),
            text: String::new(),
            cells: Vec::new(),
            rows: Vec::new(),
            n_columns: 0,
            is_frame: false,
        };
        Self { grid, row_start: 0, row_has_content: false, max_text: max_text.min(u32::MAX as usize), n_placed: 0 }
    }

    /// A builder of the cells of a data frame.
    #[cfg(feature = "frame")]
    pub(super) fn of_frame(file: &str, max_text: usize) -> Self {
        let mut builder = Self::new(file, None, max_text);
        builder.grid.is_frame = true;
        builder
    }

    pub(super) fn n_cells(&self) -> usize {
        self.grid.cells.len()
    }

    pub(super) fn n_rows(&self) -> usize {
        self.grid.rows.len()
    }

    /// A builder that holds this text already, whose parts may be cells.
    pub(super) fn over(file: &str, text: &str) -> Self {
        let mut builder = Self::new(file, None, usize::MAX);
        if text.len() <= builder.max_text {
            builder.grid.text.push_str(text);
            builder.n_placed = text.len();
        }
        builder
    }

    /// A cell that is part of the text the builder was made over; `None` if there is no such text.
    pub(super) fn placed(&self, start: usize, length: usize) -> Option<Slot> {
        if start + length > self.n_placed {
            return None;
        }
        #[allow(clippy::cast_possible_truncation, reason = "OK because max_text is at most u32::MAX")]
        Some(if length == 0 { Slot::EMPTY } else { Slot::pair(Kind::Text, start as u32, length as u32) })
    }

    /// Stores a text; an empty one becomes an empty cell.
    pub(super) fn text(&mut self, kind: Kind, text: &str) -> Result<Slot> {
        let start = self.grid.text.len();
        if text.is_empty() {
            return Ok(Slot::EMPTY);
        }
        if text.len() > self.max_text - start {
            let found = format!("the cells hold more than {} bytes of text, which is the limit", self.max_text);
            return Err(Error::content(self.grid.row_place(usize::MAX), found));
        }
        self.grid.text.push_str(text);
        #[allow(clippy::cast_possible_truncation, reason = "OK because max_text is at most u32::MAX")]
        Ok(Slot::pair(kind, start as u32, text.len() as u32))
    }

    /// Puts the next cell into the current row.
    pub(super) fn push(&mut self, slot: Slot) {
        self.row_has_content = self.row_has_content
            || match self.grid.open(slot) {
                Cell::Empty | Cell::Merged => false,
                Cell::Text(text) => !text.trim().is_empty(),
                _ => true,
            };
        self.grid.cells.push(slot);
    }

    /// Ends the current row; a row without content is left out.
    pub(super) fn end_row(&mut self, number: usize) {
        if self.row_has_content {
            self.grid.rows.push(Row { start: self.row_start, number });
            self.grid.n_columns = self.grid.n_columns.max(self.grid.cells.len() - self.row_start);
        } else {
            self.grid.cells.truncate(self.row_start);
        }
        self.row_start = self.grid.cells.len();
        self.row_has_content = false;
    }

    /// The finished grid; every row must have been ended.
    pub(super) fn finish(self) -> Grid {
        self.grid
    }
}
