//! Workbooks out: plain sheets with typed cells.
//!
//! A text is a text cell, never a formula or a link. No clock: the same sheets give the same bytes.

use std::borrow::Cow;

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DataValidationRule, DocProperties, ExcelDateTime, Format, FormatAlign,
    Note, Worksheet, XlsxError,
};

use crate::error::{Error, Place, Result};
use crate::quantity::decimals;
use crate::table::cell_name;

/// A sheet to be written, as a workbook sheet or as delimited text.
///
/// Its rows are made when they are written, so that a long sheet takes no room.
pub struct SheetOut<'a> {
    /// Name of the sheet.
    pub name: String,
    /// Columns from left to right.
    pub columns: Vec<ColumnOut>,
    /// How many rows stand below the header.
    pub n_rows: usize,
    /// Whether the first column of a workbook sheet stays in view, as the header does.
    pub keeps_first_column: bool,
    rows: Box<Row<'a>>,
}

/// Adds the cells of a row to a list.
type Row<'a> = dyn Fn(usize, &mut Vec<CellOut<'a>>) + Sync + 'a;

impl std::fmt::Debug for SheetOut<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "SheetOut({}, {} columns, {} rows)", self.name, self.columns.len(), self.n_rows)
    }
}

impl<'a> SheetOut<'a> {
    /// A sheet whose rows are made by a function: it gets the place of a row, from 0, and a list to put its cells in.
    #[must_use]
    pub fn made(
        name: impl Into<String>,
        columns: Vec<ColumnOut>,
        n_rows: usize,
        rows: impl Fn(usize, &mut Vec<CellOut<'a>>) + Sync + 'a,
    ) -> Self {
        Self { name: name.into(), columns, n_rows, keeps_first_column: false, rows: Box::new(rows) }
    }

    /// A sheet of rows that are there; one cell per column.
    #[must_use]
    pub fn of_rows(name: impl Into<String>, columns: Vec<ColumnOut>, rows: Vec<Vec<CellOut<'a>>>) -> Self {
        Self::made(name, columns, rows.len(), move |row, cells| {
            cells.extend(rows.get(row).into_iter().flatten().cloned());
        })
    }

    /// The cells of a row, counted from 0.
    #[must_use]
    pub fn cells(&self, row: usize) -> Vec<CellOut<'a>> {
        let mut cells = Vec::with_capacity(self.columns.len());
        self.row(row, &mut cells);
        cells
    }

    /// Adds the cells of a row, counted from 0, to a list.
    pub fn row(&self, row: usize, cells: &mut Vec<CellOut<'a>>) {
        (self.rows)(row, cells);
    }

    /// Where a cell below the header will stand.
    pub(super) fn place(&self, row: usize, column: usize) -> Place {
        let header = self.columns.get(column).map(|column| column.header.clone());
        let cell = Some(cell_name(row + 2, column));
        Place { sheet: Some(self.name.clone()), row: Some(row + 2), cell, column: header, ..Place::default() }
    }
}

/// A column to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnOut {
    /// Its header.
    pub header: String,
    /// Its width in characters; `None` makes it fit its cells, up to 60; longer text is wrapped.
    pub width: Option<f64>,
    /// Decimals shown for its numbers; `None` shows them as they are.
    pub decimals: Option<u8>,
    /// What helps a person who fills the column in; `None` for a column of results.
    pub aid: Option<Aid>,
}

/// Help for a person who fills in a column of a workbook. It warns and never forbids.
#[derive(Debug, Clone, PartialEq)]
pub struct Aid {
    /// Note at the header.
    pub note: String,
    /// What a cell may hold, in words; shown when something else is typed.
    pub allowed: String,
    /// What a cell takes.
    pub takes: Takes,
}

/// What a cell of a form takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Takes {
    /// Any text; a number of a find stays as it was typed.
    Text,
    /// A day.
    Day,
    /// One of a list, offered as such.
    Words(Vec<String>),
    /// A number between two ends, both included.
    Range(f64, f64),
}

impl ColumnOut {
    /// A column that fits its cells and shows numbers as they are.
    #[must_use]
    pub fn new(header: impl Into<String>) -> Self {
        Self { header: header.into(), width: None, decimals: None, aid: None }
    }
}

/// A cell to be written.
#[derive(Debug, Clone, PartialEq)]
pub enum CellOut<'a> {
    /// Nothing: unknown.
    Empty,
    /// Text.
    Text(Cow<'a, str>),
    /// A finite number; all its digits are kept.
    Number {
        /// The number.
        value: f64,
        /// One standard uncertainty, whose digits a workbook shows; `None` takes the decimals of the column.
        u: Option<f64>,
    },
}

impl<'a> CellOut<'a> {
    /// A text.
    #[must_use]
    pub fn text(text: impl Into<Cow<'a, str>>) -> Self {
        Self::Text(text.into())
    }

    /// A number, shown as its column says.
    #[must_use]
    pub fn number(value: f64) -> Self {
        Self::Number { value, u: None }
    }

    /// Decimals with which a number is shown in a sheet.
    pub(super) fn decimals(&self, of_column: Option<u8>) -> Option<u8> {
        match self {
            Self::Number { u: Some(u), .. } => u8::try_from(decimals(*u).max(0)).ok(),
            _ => of_column,
        }
    }

    /// A number, or nothing where it is unknown.
    #[must_use]
    pub fn known(value: Option<f64>) -> Self {
        value.map_or(Self::Empty, Self::number)
    }
}

/// Most characters a workbook keeps in one cell, counted in UTF-16.
const MAX_TEXT: usize = 32_767;

/// Most rows below the header of a sheet, in a workbook and in an open document.
pub const SHEET_ROWS: usize = 1_048_575;

/// Writes sheets as a workbook: bold header, which stays in view and filters its column.
///
/// Names of sheets are cut to 31 characters; characters that are not allowed there become `_`, and a name that is
/// used twice gets a number.
///
/// # Errors
/// A text longer than 32 767 characters, a number that is not finite, or more rows and columns than a sheet has. The
/// cell is named; `file` is only for that.
///
/// # Example
/// ```
/// use woodstate::table::{Cell, CellOut, ColumnOut, Limits, SheetOut, read_sheet, write_workbook};
///
/// let columns = vec![ColumnOut::new("sample"), ColumnOut::new("mass [g]")];
/// let sheet = SheetOut::of_rows("results", columns, vec![vec![CellOut::text("=1+1"), CellOut::number(12.5)]]);
/// let bytes = write_workbook(&[sheet], "out.xlsx")?;
/// let grid = read_sheet(&bytes, "out.xlsx", None, &Limits::default())?;
/// assert_eq!((grid.cell(1, 0), grid.cell(1, 1)), (Cell::Text("=1+1"), Cell::Number(12.5)));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn write_workbook(sheets: &[SheetOut<'_>], file: &str) -> Result<Vec<u8>> {
    let failed = |place: Place, error: XlsxError| {
        let place = Place { file: file.to_owned(), ..place };
        Error::content(place, format!("cannot be written: {error}")).with_source(error)
    };
    let whole = |error| failed(Place::default(), error);
    check_rows(sheets, file)?;
    let mut book = rust_xlsxwriter::Workbook::new();
    let date = ExcelDateTime::from_ymd(2000, 1, 1).map_err(whole)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&date));
    let styles = Styles::new();
    let mut names: Vec<String> = Vec::new();
    for sheet in sheets {
        let name = sheet_name(&sheet.name, &names);
        let page = book.add_worksheet();
        page.set_name(&name).map_err(whole)?;
        names.push(name);
        aids(page, sheet).map_err(whole)?;
        let widths = widths(sheet);
        header(page, sheet, &widths)
            .map_err(|error| failed(Place { row: None, cell: None, ..sheet.place(0, 0) }, error))?;
        let mut cells = Vec::new();
        for row in 0..sheet.n_rows {
            cells.clear();
            sheet.row(row, &mut cells);
            for (column, cell) in cells.iter().enumerate() {
                let place = || Place { file: file.to_owned(), ..sheet.place(row, column) };
                check_text(cell).map_err(|text| Error::content(place(), text))?;
                put(page, &styles, (row, column), sheet.columns.get(column), cell)
                    .map_err(|error| failed(place(), error))?;
            }
        }
    }
    book.save_to_buffer().map_err(whole)
}

/// Refuses a sheet with more rows than it can have, before any of them is made.
pub(super) fn check_rows(sheets: &[SheetOut<'_>], file: &str) -> Result<()> {
    match sheets.iter().find(|sheet| sheet.n_rows > SHEET_ROWS) {
        Some(sheet) => {
            let place = Place { file: file.to_owned(), sheet: Some(sheet.name.clone()), ..Place::default() };
            let text = format!("{} rows; a sheet holds {SHEET_ROWS} below its header", sheet.n_rows);
            Err(Error::content(place, text).with_hint(INSTEAD))
        }
        None => Ok(()),
    }
}

/// What to do where a sheet is too small.
pub(crate) const INSTEAD: &str = "write a .csv, .tsv or .parquet, or choose fewer rows with --where";

/// Refuses a cell that no sheet holds.
pub(super) fn check_text(cell: &CellOut<'_>) -> std::result::Result<(), String> {
    match cell {
        CellOut::Text(text) if text.len() > MAX_TEXT && text.encode_utf16().count() > MAX_TEXT => {
            Err(format!("the text has {} characters; a workbook keeps {MAX_TEXT}", text.encode_utf16().count()))
        }
        CellOut::Number { value, .. } if !value.is_finite() => Err(format!("{value} is not a finite number")),
        _ => Ok(()),
    }
}

/// Widest column, in characters; longer text is wrapped.
const WIDEST: usize = 60;

/// Widths of the columns, in characters: those that are given, or what header and cells need.
pub(super) fn widths(sheet: &SheetOut<'_>) -> Vec<f64> {
    let mut widest: Vec<usize> =
        sheet.columns.iter().map(|column| column.header.chars().count().clamp(8, 40)).collect();
    let mut cells = Vec::new();
    for row in 0..sheet.n_rows {
        cells.clear();
        sheet.row(row, &mut cells);
        for ((widest, cell), column) in widest.iter_mut().zip(&cells).zip(&sheet.columns) {
            *widest = letters(cell, column).max(*widest);
        }
    }
    let width = |(column, widest): (&ColumnOut, usize)| {
        let fitting = || f64::from(u32::try_from(widest.min(WIDEST) + 2).unwrap_or(u32::MAX));
        column.width.unwrap_or_else(fitting)
    };
    sheet.columns.iter().zip(widest).map(width).collect()
}

/// Characters of the longest line of a cell, as it is shown.
fn letters(cell: &CellOut<'_>, column: &ColumnOut) -> usize {
    match cell {
        CellOut::Empty => 0,
        CellOut::Text(text) => text.lines().map(|line| line.chars().count()).max().unwrap_or(0),
        CellOut::Number { value, .. } => match cell.decimals(column.decimals) {
            Some(decimals) => format!("{value:.*}", usize::from(decimals)).len(),
            // A sheet shows at most eleven characters of a number that is not fixed.
            None => value.to_string().len().min(11),
        },
    }
}

fn header(page: &mut Worksheet, sheet: &SheetOut<'_>, widths: &[f64]) -> std::result::Result<(), XlsxError> {
    let bold = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top);
    for (column, (spec, width)) in sheet.columns.iter().zip(widths).enumerate() {
        page.set_column_width(column_index(column)?, *width)?;
        page.write_string_with_format(0, column_index(column)?, &spec.header, &bold)?;
    }
    if let Some(last) = sheet.columns.len().checked_sub(1) {
        page.autofilter(0, 0, row_index(sheet.n_rows)?, column_index(last)?)?;
        page.set_freeze_panes(1, u16::from(sheet.keeps_first_column))?;
    }
    Ok(())
}

/// Notes at headers, lists and limits of a form, down to the last row of a sheet.
fn aids(page: &mut Worksheet, sheet: &SheetOut<'_>) -> std::result::Result<(), XlsxError> {
    const LAST_ROW: u32 = 1_048_575;
    // Most characters of a message.
    const LONGEST: usize = 255;
    for (place, column) in sheet.columns.iter().enumerate() {
        let (at, Some(aid)) = (column_index(place)?, &column.aid) else { continue };
        page.insert_note(0, at, &Note::new(&aid.note).add_author_prefix(false).set_width(280).set_height(130))?;
        let rule = match &aid.takes {
            Takes::Text => {
                page.set_column_format(at, &Format::new().set_num_format("@"))?;
                continue;
            }
            Takes::Day => {
                page.set_column_format(at, &Format::new().set_num_format("yyyy-mm-dd"))?;
                continue;
            }
            Takes::Words(words) => DataValidation::new().allow_list_strings(words)?,
            Takes::Range(low, high) => {
                DataValidation::new().allow_decimal_number(DataValidationRule::Between(*low, *high))
            }
        };
        let message = cut(&format!("Allowed: {}. Leave the cell blank where it is unknown.", aid.allowed), LONGEST);
        let rule = rule.set_error_style(DataValidationErrorStyle::Warning).set_error_message(message)?;
        page.add_data_validation(1, at, LAST_ROW, at, &rule)?;
    }
    Ok(())
}

/// The formats of cells below the header.
struct Styles {
    plain: Format,
    wrapped: Format,
}

impl Styles {
    fn new() -> Self {
        let plain = Format::new().set_align(FormatAlign::Top);
        Self { wrapped: plain.clone().set_text_wrap(), plain }
    }
}

fn put(
    page: &mut Worksheet,
    styles: &Styles,
    (row, column): (usize, usize),
    spec: Option<&ColumnOut>,
    cell: &CellOut<'_>,
) -> std::result::Result<(), XlsxError> {
    let at = (row_index(row + 1)?, column_index(column)?);
    match cell {
        CellOut::Empty => {}
        CellOut::Text(text) => {
            let is_long = text.contains('\n') || text.chars().count() > WIDEST;
            page.write_string_with_format(
                at.0,
                at.1,
                text.as_ref(),
                if is_long { &styles.wrapped } else { &styles.plain },
            )?;
        }
        CellOut::Number { value, .. } => match cell.decimals(spec.and_then(|column| column.decimals)) {
            Some(decimals) => {
                page.write_number_with_format(at.0, at.1, *value, &fixed(decimals))?;
            }
            None => {
                page.write_number_with_format(at.0, at.1, *value, &styles.plain)?;
            }
        },
    }
    Ok(())
}

/// The format that shows so many decimals; a workbook shows at most 30.
fn fixed(decimals: u8) -> Format {
    let zeros = "0".repeat(usize::from(decimals.min(30)));
    Format::new().set_align(FormatAlign::Top).set_num_format(if zeros.is_empty() {
        "0".to_owned()
    } else {
        format!("0.{zeros}")
    })
}

fn row_index(row: usize) -> std::result::Result<u32, XlsxError> {
    u32::try_from(row).map_err(|_| XlsxError::RowColumnLimitError)
}

fn column_index(column: usize) -> std::result::Result<u16, XlsxError> {
    u16::try_from(column).map_err(|_| XlsxError::RowColumnLimitError)
}

/// A name that a sheet may have and no other sheet has; programs compare names without case.
pub(super) fn sheet_name(wanted: &str, taken: &[String]) -> String {
    let allowed = |c: char| if "[]:*?/\\'".contains(c) || c.is_control() { '_' } else { c };
    let clean: String = wanted.trim().chars().map(allowed).collect();
    // "History" is reserved by the format.
    let clean = if clean.is_empty() || clean.eq_ignore_ascii_case("history") { format!("{clean}_") } else { clean };
    let is_free = |name: &String| taken.iter().all(|other| other.to_lowercase() != name.to_lowercase());
    let numbered = (2..).map(|n| {
        let tail = format!(" ({n})");
        cut(&clean, 31 - tail.len()) + &tail
    });
    std::iter::once(cut(&clean, 31)).chain(numbered.take(taken.len() + 1)).find(is_free).unwrap_or(clean)
}

/// The first characters of a text, as many as fit into so many units of UTF-16.
fn cut(text: &str, max: usize) -> String {
    let mut used = 0;
    text.chars()
        .take_while(|c| {
            used += c.len_utf16();
            used <= max
        })
        .collect()
}
