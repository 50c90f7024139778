//! Sheets of a workbook in.
//!
//! A workbook is a packed file that can claim any size, so it is unpacked into nothing and counted before it is
//! opened, and then read cell by cell: a cell beyond the limits is an error that names it, not a request for memory.

mod document;
mod ods;
mod pack;

use std::io::Cursor;
use std::panic::AssertUnwindSafe;

use calamine::{DataRef, Reader, SheetType, SheetVisible, Xlsx, XlsxError};

use crate::error::{Error, ErrorKind, Place, Result, near};
use crate::table::grid::{GridBuilder, Kind, Slot};
use crate::table::{Grid, cell_name};

use pack::Package;

pub use document::write_open_document;

/// How much of a workbook is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Most cells of a sheet; empty ones before the last of a row count.
    pub max_cells: usize,
    /// Last row.
    pub max_rows: usize,
    /// Last column.
    pub max_columns: usize,
    /// Most bytes when unpacked.
    pub max_unpacked: u64,
    /// Most unpacked bytes per packed byte, for what unpacks to more than 1 MiB.
    pub max_ratio: u64,
    /// Most parts in the package.
    pub max_entries: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            max_cells: 1_000_000,
            max_rows: 100_000,
            max_columns: 1_000,
            max_unpacked: 256 << 20,
            max_ratio: 200,
            max_entries: 1_000,
        }
    }
}

/// The names of the sheets of a workbook (.xlsx, .ods), in their order, hidden ones among them.
///
/// # Errors
/// Content that is no such workbook, or one beyond the limits.
pub fn sheet_names(bytes: &[u8], file: &str, limits: &Limits) -> Result<Vec<String>> {
    guarded(file, || Ok(opened(bytes, file, limits)?.sheets(file)?.into_iter().map(|(name, _)| name).collect()))
}

/// Reads one sheet of a workbook (.xlsx, .ods); without a name, the only one that is not hidden.
///
/// # Errors
/// Content that is no such workbook, a sheet that does not exist or is not named, or cells beyond the limits.
pub fn read_sheet(bytes: &[u8], file: &str, sheet: Option<&str>, limits: &Limits) -> Result<Grid> {
    guarded(file, || {
        let mut book = opened(bytes, file, limits)?;
        let name = choose(&book.sheets(file)?, sheet, file)?;
        let reading = Reading { place: Place { file: file.to_owned(), sheet: Some(name), ..Place::default() }, limits };
        match &mut book {
            Opened::Workbook(book) => reading.grid(book),
            Opened::OpenDocument(content) => ods::grid(content, &reading),
        }
    })
}

/// A workbook of either kind.
enum Opened<'a> {
    Workbook(Box<Book<'a>>),
    OpenDocument(String),
}

impl Opened<'_> {
    /// Names of the sheets with cells, and whether each is in view.
    fn sheets(&self, file: &str) -> Result<Vec<(String, bool)>> {
        match self {
            Self::Workbook(book) => Ok(sheets(book)),
            Self::OpenDocument(content) => ods::sheets(content, file),
        }
    }
}

type Book<'a> = Xlsx<Cursor<&'a [u8]>>;

/// The reader of the package counts with 32 bits and panics on an absurd cell name; that is a damaged file.
fn guarded<T>(file: &str, read: impl FnOnce() -> Result<T>) -> Result<T> {
    let fault = |_| Error::content(pack::of_file(file), "the workbook is damaged").with_hint(pack::RESAVE);
    std::panic::catch_unwind(AssertUnwindSafe(read)).map_err(fault)?
}

fn opened<'a>(bytes: &'a [u8], file: &str, limits: &Limits) -> Result<Opened<'a>> {
    Ok(match pack::inspect(bytes, file, limits)? {
        Package::Workbook => {
            let book = Xlsx::new(Cursor::new(bytes)).map_err(|error| damaged(pack::of_file(file), error))?;
            Opened::Workbook(Box::new(book))
        }
        Package::OpenDocument => Opened::OpenDocument(ods::content(bytes, file)?),
    })
}

fn damaged(place: Place, error: XlsxError) -> Error {
    let text = format!("the workbook cannot be read: {error}");
    Error::content(place, text).with_source(error).with_hint(pack::RESAVE)
}

/// Names of the sheets with cells, and whether each is in view.
fn sheets(book: &Book<'_>) -> Vec<(String, bool)> {
    let pages = book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet);
    pages.map(|sheet| (sheet.name.clone(), sheet.visible == SheetVisible::Visible)).collect()
}

fn choose(sheets: &[(String, bool)], wanted: Option<&str>, file: &str) -> Result<String> {
    let in_view: Vec<&String> = sheets.iter().filter(|(_, visible)| *visible).map(|(name, _)| name).collect();
    match (wanted, in_view.as_slice()) {
        (Some(wanted), _) if sheets.iter().any(|(name, _)| name == wanted) => Ok(wanted.to_owned()),
        (Some(wanted), _) => {
            let names = || sheets.iter().map(|(name, _)| name.as_str());
            let mut allowed = near(wanted, names());
            allowed.extend(names().filter(|name| !near(wanted, names()).contains(name)));
            let allowed = allowed.into_iter().map(str::to_owned).collect();
            Err(Error::new(ErrorKind::Name { what: "sheet", found: wanted.to_owned(), allowed }))
        }
        (None, [only]) => Ok((*only).clone()),
        (None, _) => {
            let names: Vec<String> = sheets.iter().map(|(name, _)| format!("\"{name}\"")).collect();
            let text = format!("the workbook has {} sheets: {}", sheets.len(), names.join(", "));
            Err(Error::content(pack::of_file(file), text).with_hint("name one with --sheet"))
        }
    }
}

/// A cell that was found: row and column from 0, as the file counts.
type Found = (u32, u32, Slot);

struct Reading<'a> {
    place: Place,
    limits: &'a Limits,
}

impl Reading<'_> {
    fn grid(&self, book: &mut Book<'_>) -> Result<Grid> {
        let name = self.place.sheet.as_deref().unwrap_or_default();
        let max_text = usize::try_from(self.limits.max_unpacked).unwrap_or(usize::MAX);
        let mut builder = GridBuilder::new(&self.place.file, Some(name), max_text);
        let mut found = self.cells(book, name, &mut builder)?;
        found.sort_by_key(|(row, column, _)| (*row, *column));
        if let Some([twice, _]) = found.array_windows().find(|[a, b]| (a.0, a.1) == (b.0, b.1)) {
            return Err(self.at(twice.0, twice.1, "the cell is in the file twice").with_hint(pack::RESAVE));
        }
        self.mark_percent(book, name, &mut found)?;
        self.mark_merged(book, name, &mut found)?;
        self.fill(builder, &found)
    }

    fn cells(&self, book: &mut Book<'_>, name: &str, builder: &mut GridBuilder) -> Result<Vec<Found>> {
        let failed = |error| damaged(self.place.clone(), error);
        let mut reader = book.worksheet_cells_reader(name).map_err(failed)?;
        let mut found = Vec::new();
        // This method alone: the one that expands shared formulas asks for memory by a number of the file.
        while let Some(record) = reader.next_cell_with_formula_metadata().map_err(failed)? {
            let (row, column) = record.pos;
            self.check(row, column, found.len())?;
            let slot = match record.value {
                DataRef::Empty if record.formula.is_some() => Slot::NOT_CALCULATED,
                DataRef::Empty => Slot::EMPTY,
                DataRef::String(text) => builder.text(Kind::Text, &text)?,
                DataRef::SharedString(text) => builder.text(Kind::Text, text)?,
                DataRef::Float(value) => Slot::number(value),
                #[allow(clippy::cast_precision_loss, reason = "OK because the format stores numbers as 64-bit floats")]
                DataRef::Int(value) => Slot::number(value as f64),
                DataRef::Bool(value) => Slot::boolean(value),
                DataRef::Error(error) => builder.text(Kind::Error, &error.to_string())?,
                DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => builder.text(Kind::Date, &text)?,
                DataRef::DateTime(date) => match iso(&date) {
                    Some(text) => builder.text(Kind::Date, &text)?,
                    None => Slot::number(date.as_f64()),
                },
            };
            found.push((row, column, slot));
        }
        Ok(found)
    }

    fn check(&self, row: u32, column: u32, n_found: usize) -> Result<()> {
        let Limits { max_cells, max_rows, max_columns, .. } = *self.limits;
        let (row_idx, column_idx) = (row as usize, column as usize);
        let (what, limit) = match () {
            () if row_idx >= max_rows => ("row", max_rows),
            () if column_idx >= max_columns => ("column", max_columns),
            () if n_found >= max_cells => return Err(self.too_many(row, column)),
            () => return Ok(()),
        };
        let text = format!("the sheet reaches to this cell, beyond {what} {limit}, which is the limit");
        Err(self
            .at(row, column, text)
            .with_hint("delete the rows and columns outside the table and save the file again"))
    }

    fn too_many(&self, row: u32, column: u32) -> Error {
        let text =
            format!("more than {} cells up to here, which is the limit; empty ones count", self.limits.max_cells);
        self.at(row, column, text).with_hint("raise the limit with --max-cells")
    }

    fn at(&self, row: u32, column: u32, text: impl Into<String>) -> Error {
        let number = row as usize + 1;
        let cell = Some(cell_name(number, column as usize));
        Error::content(Place { row: Some(number), cell, ..self.place.clone() }, text)
    }

    fn mark_percent(&self, book: &mut Book<'_>, name: &str, found: &mut [Found]) -> Result<()> {
        let failed = |error| damaged(self.place.clone(), error);
        let mut reader = book.worksheet_cells_reader(name).map_err(failed)?;
        let code = |style: &calamine::Style| style.number_format.as_ref().is_some_and(|f| is_percent(&f.format_code));
        let percent: Vec<bool> = reader.styles().iter().map(code).collect();
        if !percent.contains(&true) {
            return Ok(());
        }
        while let Some((row, column, style)) = reader.next_style_id().map_err(failed)? {
            let at = found.binary_search_by_key(&(row, column), |(row, column, _)| (*row, *column));
            if let (Some(true), Ok(at)) = (percent.get(style), at) {
                found[at].2 = found[at].2.in_percent();
            }
        }
        Ok(())
    }

    /// Marks the covered cells of merged areas, inside the rows and columns that have cells.
    fn mark_merged(&self, book: &mut Book<'_>, name: &str, found: &mut Vec<Found>) -> Result<()> {
        let areas = book.merge_cells_by_sheet_name(name).map_err(|error| damaged(self.place.clone(), error))?;
        let Some(last_column) = found.iter().map(|(_, column, _)| *column).max() else { return Ok(()) };
        let mut rows: Vec<u32> = found.iter().map(|(row, ..)| *row).collect();
        rows.dedup();
        let mut covered = Vec::new();
        for area in areas {
            let from = rows.partition_point(|row| *row < area.start.0);
            let to = rows.partition_point(|row| *row <= area.end.0);
            for row in rows.get(from..to).unwrap_or_default() {
                for column in area.start.1..=area.end.1.min(last_column) {
                    if covered.len() >= self.limits.max_cells {
                        return Err(self.too_many(*row, column));
                    }
                    if (*row, column) != area.start {
                        covered.push((*row, column, Slot::merged(area.start.0 + 1, area.start.1)));
                    }
                }
            }
        }
        // Stable: a covered cell stands before what the file hides under it, and stays.
        covered.append(found);
        covered.sort_by_key(|(row, column, _)| (*row, *column));
        covered.dedup_by_key(|(row, column, _)| (*row, *column));
        *found = covered;
        Ok(())
    }

    fn fill(&self, mut builder: GridBuilder, found: &[Found]) -> Result<Grid> {
        for row in found.chunk_by(|a, b| a.0 == b.0) {
            let mut next = 0;
            for (row, column, slot) in row {
                if builder.n_cells() + (column - next) as usize >= self.limits.max_cells {
                    return Err(self.too_many(*row, *column));
                }
                (next..*column).for_each(|_| builder.push(Slot::EMPTY));
                builder.push(*slot);
                next = column + 1;
            }
            builder.end_row(row.first().map_or(0, |cell| cell.0 as usize + 1));
        }
        Ok(builder.finish())
    }
}

/// Whether a number format shows per cent: a `%` that is neither quoted nor escaped.
fn is_percent(code: &str) -> bool {
    let mut is_quoted = false;
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        match c {
            '"' => is_quoted = !is_quoted,
            '\\' | '_' | '*' if !is_quoted => drop(chars.next()),
            '%' if !is_quoted => return true,
            _ => {}
        }
    }
    false
}

/// A date, a time of day or a span as ISO 8601; `None` for a number that is none of them.
fn iso(date: &calamine::ExcelDateTime) -> Option<String> {
    let value = date.as_f64();
    // Day 2 958 466 would be 10000-01-01.
    if !(0.0..2_958_466.0).contains(&value) {
        return None;
    }
    let (year, month, day, hour, minute, second, milli) = date.to_ymd_hms_milli();
    let fraction = if milli > 0 { format!(".{milli:03}") } else { String::new() };
    let time = format!("{hour:02}:{minute:02}:{second:02}{fraction}");
    Some(match () {
        () if date.is_duration() => format!("PT{:.0}H{minute}M{second}{fraction}S", (value * 24.0 + 1e-9).floor()),
        () if value < 1.0 => time,
        () if (hour, minute, second, milli) == (0, 0, 0, 0) => format!("{year:04}-{month:02}-{day:02}"),
        () => format!("{year:04}-{month:02}-{day:02}T{time}"),
    })
}
