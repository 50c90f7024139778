//! Data frames in and out, and Parquet: the one door where a foreign type stands in a public signature.
//!
//! A frame becomes the same grid of cells as a file, so units, words, ranges and findings are those of files. Numbers
//! go there as numbers, never as text. Nulls and NaN are unknown: NaN is how `NumPy` and pandas write an unknown number.

mod page;

use std::io::Cursor;
use std::panic::AssertUnwindSafe;

use polars::prelude::{
    BooleanChunked, Column as Series, DataFrame, DataType, Float64Chunked, IntoColumn, KeyValueMetadata, NamedFrom,
    ParquetReader, ParquetWriter, PolarsError, SerReader, Series as Values64, StringChunked,
};

use crate::error::{Error, Finding, Place, Result};
use crate::numeric::Watch;
use crate::quantity::counted;

use super::grid::{GridBuilder, Kind, Slot};
use super::header::Header;
use super::{
    CellOut, ColumnOut, ColumnType, Grid, Origin, ReadOptions, SourceFile, Table, TableKind, TableOptions, TextOptions,
    Values, ingest,
};

/// Most bytes of text and of unpacked columns that a frame or a Parquet file may hold.
const MAX_BYTES: usize = 2 << 30;

const DAMAGED: &str = "the Parquet file is damaged";

/// Reads a frame as one of the three tables; rows count from 1.
///
/// A column is named as in a file, `mass_saturated [g]` or `u(mass_saturated) [mg]`. A name without a unit means the
/// unit of [`ColumnSpec`](super::ColumnSpec), and the reading notes of [`Origin`] say so. Nulls and NaN are unknown. A row without
/// any value is left out, as in a file; the others keep their numbers.
///
/// # Errors
/// A column of a kind that no table holds, such as a list, or no column that names the rows. Everything else is a
/// [`Finding`].
///
/// # Example
/// ```
/// use polars::prelude::df;
/// use woodstate::numeric::Watch;
/// use woodstate::table::{ReadOptions, TableKind, table_of_frame};
///
/// let frame = df!("sample" => ["A1", "A2"], "mass_saturated [kg]" => [Some(0.05), None])?;
/// let (table, _) = table_of_frame(&frame, TableKind::Samples, &ReadOptions::default(), &Watch::silent())?;
/// assert_eq!(table.number("mass_saturated", 0), Some(50.0));
/// assert_eq!(table.number("mass_saturated", 1), None);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn table_of_frame(
    frame: &DataFrame,
    kind: TableKind,
    options: &ReadOptions,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let mut origin = Origin { file: "(frame)".to_owned(), ..Origin::default() };
    let own = with_own_units(frame, kind, options.of(kind), &mut origin);
    table(frame, kind, &own, options, origin, watch)
}

/// The numbers with their uncertainties and the texts of a table as a frame; headers have the unit, unknown is null.
///
/// A cell that could not be used is null.
///
/// # Errors
/// Two columns with the same header.
pub fn frame_of_table(table: &Table) -> Result<DataFrame> {
    let mut columns = Vec::new();
    for column in table.columns() {
        let name = if column.name.is_empty() { &column.header } else { &column.name };
        match &column.values {
            Values::Numbers(numbers) => {
                let unit = match table.kind().column(name).map(|spec| spec.holds) {
                    Some(ColumnType::Number { unit, .. }) => unit,
                    _ => "",
                };
                let rows = 0..numbers.len();
                let values: Vec<Option<f64>> = rows.clone().map(|row| numbers.value(row)).collect();
                columns.push(numbers_column(&with_unit(name, unit), &values));
                let u: Vec<Option<f64>> = rows.map(|row| numbers.u(row)).collect();
                if u.iter().any(Option::is_some) {
                    columns.push(numbers_column(&with_unit(&format!("u({name})"), unit), &u));
                }
            }
            Values::Texts(texts) => {
                let texts: Vec<Option<&str>> = texts.iter().collect();
                columns.push(Values64::new(name.as_str().into(), texts).into_column());
            }
        }
    }
    DataFrame::new(table.n_rows(), columns).map_err(|error| failed(&table.origin().file, "hold", &error))
}

/// A sheet of results as a frame: a column of numbers as 64-bit numbers, any other as text, unknown as null.
///
/// A column without any value holds numbers if its header has a unit, and else text.
///
/// # Errors
/// Two columns with the same header.
///
/// # Example
/// ```
/// use woodstate::table::{CellOut, ColumnOut, frame_of_rows};
///
/// let columns = [ColumnOut::new("sample"), ColumnOut::new("mass [g]")];
/// let rows = [vec![CellOut::text("A1"), CellOut::number(12.5)], vec![CellOut::text("A2"), CellOut::Empty]];
/// let frame = frame_of_rows(&columns, rows)?;
/// assert_eq!(frame.column("mass [g]")?.f64()?.get(0), Some(12.5));
/// assert_eq!(frame.column("mass [g]")?.null_count(), 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn frame_of_rows<'a>(columns: &[ColumnOut], rows: impl IntoIterator<Item = Vec<CellOut<'a>>>) -> Result<DataFrame> {
    let mut built: Vec<Built> = columns.iter().map(|_| Built::Numbers(Vec::new())).collect();
    let mut n_rows = 0;
    for row in rows {
        let mut cells = row.into_iter();
        for column in &mut built {
            column.push(cells.next().unwrap_or(CellOut::Empty));
        }
        n_rows += 1;
    }
    let finished = built.into_iter().zip(columns).map(|(built, column)| built.finish(&column.header)).collect();
    DataFrame::new(n_rows, finished).map_err(|error| failed("(frame)", "hold", &error))
}

/// Writes a sheet as a Parquet file; unit and meaning of each column of woodstate stand among the metadata of the
/// file, under `HEADER: unit` and `HEADER: meaning`.
///
/// # Errors
/// Two columns with the same header; `file` is only for the message.
pub fn write_parquet<'a>(
    columns: &[ColumnOut],
    rows: impl IntoIterator<Item = Vec<CellOut<'a>>>,
    file: &str,
) -> Result<Vec<u8>> {
    let mut frame = frame_of_rows(columns, rows)?;
    let mut bytes = Vec::new();
    let about = columns.iter().flat_map(|column| metadata(&column.header)).collect();
    ParquetWriter::new(&mut bytes)
        .with_key_value_metadata(Some(KeyValueMetadata::from_static(about)))
        .finish(&mut frame)
        .map_err(|error| failed(file, "write", &error))?;
    Ok(bytes)
}

/// Reads a Parquet file as one of the three tables, with the rules of text files: a measured column needs its unit.
pub(super) fn read_parquet(
    source: &SourceFile,
    kind: TableKind,
    options: &ReadOptions,
    mut origin: Origin,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let max_cells = options.max_cells.unwrap_or(TextOptions::default().max_cells);
    // The reader of the format panics on some damaged files.
    let read = std::panic::catch_unwind(AssertUnwindSafe(|| parquet(source, max_cells)));
    let damaged = |_| Error::content(of_file(&source.name), DAMAGED);
    let frame = read.map_err(damaged)??;
    origin.reading.push("a Parquet file".to_owned());
    let own = TableOptions { header_row: Some(0), ..options.of(kind).clone() };
    table(&frame, kind, &own, options, origin, watch)
}

fn parquet(source: &SourceFile, max_cells: usize) -> Result<DataFrame> {
    let fault = |error: PolarsError| failed(&source.name, "read", &error);
    let mut reader = ParquetReader::new(Cursor::new(source.bytes.as_slice()));
    let width = reader.schema().map_err(fault)?.len();
    let metadata = reader.get_metadata().map_err(fault)?;
    let place = || of_file(&source.name);
    if metadata.num_rows.saturating_mul(width.max(1)) > max_cells {
        let text = format!("has {} rows of {width} columns; allowed are {max_cells} cells", metadata.num_rows);
        return Err(Error::content(place(), text).with_hint("raise the limit with --max-cells"));
    }
    let mut unpacked = 0_usize;
    #[allow(
        clippy::redundant_closure_for_method_calls,
        reason = "OK because the type of a group is not offered by the crate"
    )]
    let columns = metadata.row_groups.iter().flat_map(|group| group.parquet_columns());
    for column in columns {
        let of_column = usize::try_from(column.num_values()).ok().filter(|n_values| *n_values <= max_cells);
        let range = column.byte_range();
        let range = usize::try_from(range.start).ok().zip(usize::try_from(range.end).ok());
        let pages = range.and_then(|(start, end)| source.bytes.get(start..end));
        let size = pages.zip(of_column).and_then(|(pages, n_values)| page::unpacked_size(pages, n_values));
        let Some(size) = size else { return Err(Error::content(place(), DAMAGED)) };
        unpacked = unpacked.saturating_add(size);
    }
    if unpacked > MAX_BYTES {
        let text = format!("the Parquet file unpacks to {unpacked} bytes; allowed are {MAX_BYTES}");
        return Err(Error::content(place(), text));
    }
    reader.finish().map_err(fault)
}

fn table(
    frame: &DataFrame,
    kind: TableKind,
    own: &TableOptions,
    options: &ReadOptions,
    mut origin: Origin,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let grid = grid(frame, &mut origin, watch)?;
    ingest(&grid, kind, own, &options.missing, origin, watch)
}

/// The frame as cells: its names are row 0, its rows follow.
fn grid(frame: &DataFrame, origin: &mut Origin, watch: &Watch<'_>) -> Result<Grid> {
    const STEP: usize = 1 << 14;
    let mut builder = GridBuilder::of_frame(&origin.file, MAX_BYTES);
    let mut sources = Vec::with_capacity(frame.width());
    for column in frame.columns() {
        let name = builder.text(Kind::Text, column.name())?;
        builder.push(name);
        let source = Source::of(column).map_err(|text| {
            let place = Place { column: Some(column.name().to_string()), ..of_file(&origin.file) };
            Error::content(place, text).with_hint("leave the column out, or turn it into text or numbers")
        })?;
        if let Some(n) = source.n_not_a_number() {
            origin.reading.push(format!("NaN in {} of {}: taken as unknown", counted(n, "cell"), column.name()));
        }
        sources.push(source);
    }
    builder.end_row(0);
    for row in 0..frame.height() {
        if row % STEP == 0 {
            watch.advance("reading rows", row, frame.height())?;
        }
        for source in &sources {
            let slot = source.slot(row, &mut builder)?;
            builder.push(slot);
        }
        builder.end_row(row + 1);
    }
    Ok(builder.finish())
}

/// A column of a frame, by the kind of cell that it gives.
enum Source {
    Unknown,
    Numbers(Float64Chunked),
    Texts(StringChunked),
    Days(StringChunked),
    Bools(BooleanChunked),
}

impl Source {
    fn of(column: &Series) -> std::result::Result<Self, String> {
        /// Whole numbers below are exact as a 64-bit number.
        const EXACT: f64 = 9_007_199_254_740_992.0;
        let kind = column.dtype();
        let no_table = |_| format!("the column holds {kind}, which no table of woodstate holds");
        let texts = || -> std::result::Result<StringChunked, String> {
            let cast = column.cast(&DataType::String).map_err(no_table)?;
            Ok(cast.str().map_err(no_table)?.rechunk().into_owned())
        };
        let numbers = || -> std::result::Result<Float64Chunked, String> {
            let cast = column.cast(&DataType::Float64).map_err(no_table)?;
            Ok(cast.f64().map_err(no_table)?.rechunk().into_owned())
        };
        Ok(match kind {
            DataType::Null => Self::Unknown,
            DataType::Boolean => Self::Bools(column.bool().map_err(no_table)?.rechunk().into_owned()),
            kind if kind.is_integer() => {
                let numbers = numbers()?;
                // A longer number is a name.
                let is_exact = numbers.iter().flatten().all(|number| number.abs() < EXACT);
                if is_exact { Self::Numbers(numbers) } else { Self::Texts(texts()?) }
            }
            kind if kind.is_float() => Self::Numbers(numbers()?),
            DataType::Date | DataType::Datetime(..) => Self::Days(texts()?),
            _ => Self::Texts(texts()?),
        })
    }

    fn n_not_a_number(&self) -> Option<usize> {
        let Self::Numbers(numbers) = self else { return None };
        Some(numbers.iter().flatten().filter(|number| number.is_nan()).count()).filter(|n| *n > 0)
    }

    fn slot(&self, row: usize, builder: &mut GridBuilder) -> Result<Slot> {
        match self {
            Self::Unknown => Ok(Slot::EMPTY),
            Self::Numbers(numbers) => {
                Ok(numbers.get(row).filter(|number| !number.is_nan()).map_or(Slot::EMPTY, Slot::number))
            }
            Self::Bools(bools) => Ok(bools.get(row).map_or(Slot::EMPTY, Slot::boolean)),
            Self::Texts(texts) => texts.get(row).map_or(Ok(Slot::EMPTY), |text| builder.text(Kind::Text, text)),
            Self::Days(texts) => texts.get(row).map_or(Ok(Slot::EMPTY), |text| builder.text(Kind::Date, &iso(text))),
        }
    }
}

/// `2024-05-01 12:30:00.000000` as ISO 8601; midnight is the day alone.
fn iso(text: &str) -> String {
    let Some((day, time)) = text.split_once(' ') else { return text.to_owned() };
    let time = if time.contains('.') { time.trim_end_matches('0').trim_end_matches('.') } else { time };
    if time == "00:00:00" { day.to_owned() } else { format!("{day}T{time}") }
}

/// The columns without a unit get the one in which they are kept.
fn with_own_units(frame: &DataFrame, kind: TableKind, options: &TableOptions, origin: &mut Origin) -> TableOptions {
    let mut own = TableOptions { header_row: Some(0), ..options.clone() };
    for name in frame.get_column_names() {
        let header = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let given = options.columns.get(&header).unwrap_or(&header).clone();
        let parsed = Header::parse(&given);
        if parsed.unit.is_some() || Header::parse(&header).unit.is_some() {
            continue;
        }
        let Some(spec) = parsed.column(kind) else { continue };
        let ColumnType::Number { unit, .. } = spec.holds else { continue };
        let name = if parsed.is_uncertainty { format!("u({})", spec.name) } else { spec.name.to_owned() };
        origin.reading.push(format!("no unit in the name of {header}: taken in {unit}"));
        own.columns.insert(header, with_unit(&name, unit));
    }
    own
}

/// `name [unit]`; the unit of acidity has brackets of its own.
fn with_unit(name: &str, unit: &str) -> String {
    match unit {
        "" => name.to_owned(),
        unit if unit.starts_with('[') => format!("{name} {unit}"),
        unit => format!("{name} [{unit}]"),
    }
}

/// Unit and meaning of a column of woodstate.
fn metadata(header: &str) -> Vec<(String, String)> {
    let parsed = Header::parse(header);
    let mut about = Vec::new();
    if let Some(unit) = parsed.unit {
        about.push((format!("{header}: unit"), unit.to_owned()));
    }
    if let Some(spec) = parsed.column(TableKind::Samples) {
        let of = if parsed.is_uncertainty { "Standard uncertainty of: " } else { "" };
        about.push((format!("{header}: meaning"), format!("{of}{}", spec.meaning)));
    }
    about
}

/// A column on its way into a frame: numbers until a text comes.
enum Built {
    Numbers(Vec<Option<f64>>),
    Texts(Vec<Option<String>>),
}

impl Built {
    fn push(&mut self, cell: CellOut<'_>) {
        match (&mut *self, cell) {
            (Self::Numbers(numbers), CellOut::Number { value, .. }) => numbers.push(Some(value)),
            (Self::Numbers(numbers), CellOut::Empty) => numbers.push(None),
            (Self::Numbers(numbers), CellOut::Text(text)) => {
                let mut texts: Vec<Option<String>> =
                    numbers.iter().map(|number| number.map(|number| number.to_string())).collect();
                texts.push(Some(text.into_owned()));
                *self = Self::Texts(texts);
            }
            (Self::Texts(texts), CellOut::Number { value, .. }) => texts.push(Some(value.to_string())),
            (Self::Texts(texts), CellOut::Text(text)) => texts.push(Some(text.into_owned())),
            (Self::Texts(texts), CellOut::Empty) => texts.push(None),
        }
    }

    fn finish(self, header: &str) -> Series {
        match self {
            Self::Numbers(numbers) if numbers.iter().all(Option::is_none) && Header::parse(header).unit.is_none() => {
                Values64::new(header.into(), vec![None::<&str>; numbers.len()]).into_column()
            }
            Self::Numbers(numbers) => numbers_column(header, &numbers),
            Self::Texts(texts) => Values64::new(header.into(), texts).into_column(),
        }
    }
}

fn numbers_column(header: &str, values: &[Option<f64>]) -> Series {
    Values64::new(header.into(), values).into_column()
}

fn of_file(file: &str) -> Place {
    Place { file: file.to_owned(), ..Place::default() }
}

/// The first line of what the package says.
fn failed(file: &str, doing: &str, error: &PolarsError) -> Error {
    let text = error.to_string();
    let why = text.lines().next().unwrap_or_default();
    Error::content(of_file(file), format!("cannot {doing} the columns: {why}"))
}
