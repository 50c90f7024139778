//! A batch: samples, and timbers and log where there are any, from a workbook, a file or a folder.

use std::path::Path;

use crate::error::{Error, Finding, Place, Result, near};
use crate::numeric::{Watch, both};

#[cfg(feature = "frame")]
use super::frame::read_parquet as parquet;
use super::intake::Intake;
use super::text::Opened;
use super::{
    Limits, Origin, ReadOptions, SourceFile, Table, TableKind, TableOptions, TextOptions, ingest, read_file,
    read_sheet, sheet_names,
};

/// The tables of one batch and what was found in them.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// The pieces.
    pub samples: Table,
    /// The timbers, where there is such a table.
    pub timbers: Option<Table>,
    /// The log, where there is one.
    pub log: Option<Table>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
}

impl Batch {
    /// A batch of samples made in a program.
    #[must_use]
    pub fn of_samples(samples: Table) -> Self {
        Self { samples, timbers: None, log: None, findings: Vec::new() }
    }

    /// The tables that there are.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        std::iter::once(&self.samples).chain(&self.timbers).chain(&self.log)
    }
}

/// Reads a workbook, a text file with its neighbours (`form_timbers.csv` and `form_log.csv` of `form.csv`), or a folder
/// with files named samples, timbers and log.
///
/// # Errors
/// A file that cannot be opened, is not text or a workbook, or has no table of samples.
pub fn read_batch(path: &Path, options: &ReadOptions, watch: &Watch<'_>) -> Result<Batch> {
    let mut tables = Vec::new();
    if !path.is_dir() {
        let source = read_file(path)?;
        if is_workbook(&source) {
            return batch_of(&source, options, watch);
        }
        tables.push(table(&source, TableKind::Samples, false, options, watch)?);
        for kind in [TableKind::Timbers, TableKind::Log] {
            if let Some(file) = beside(path, kind).filter(|file| file.is_file()) {
                tables.push(table(&read_file(&file)?, kind, true, options, watch)?);
            }
        }
        return assemble(tables.into_iter().flatten(), || Error::file(path, "read", "holds no table of samples"));
    }
    for kind in TableKind::ALL {
        if let Some(file) = file_in(path, kind)? {
            let source = read_file(&file)?;
            tables.push(table(&source, kind, true, options, watch)?);
        }
    }
    assemble(tables.into_iter().flatten(), || {
        let place = Place { file: path.display().to_string(), ..Place::default() };
        Error::content(place, "the folder holds no samples.csv, .tsv, .xlsx, .ods or .parquet")
    })
}

/// Reads a file that is in memory already, such as standard input.
///
/// # Errors
/// As [`read_batch`].
pub fn batch_of(source: &SourceFile, options: &ReadOptions, watch: &Watch<'_>) -> Result<Batch> {
    let kinds: &[TableKind] = if is_workbook(source) { &TableKind::ALL } else { &[TableKind::Samples] };
    let mut tables = Vec::new();
    for kind in kinds {
        tables.extend(table(source, *kind, false, options, watch)?);
    }
    assemble(tables.into_iter(), || {
        let place = Place { file: source.name.clone(), ..Place::default() };
        Error::content(place, "holds no table of samples")
    })
}

/// Reads a log, with timbers and samples where there are some: a workbook with a sheet `log`, a text file with its neighbours
/// (`timbers.csv` and `samples.csv` beside `log.csv`; `form_timbers.csv` and `form.csv` beside `form_log.csv`), or a folder with
/// files named log, timbers and samples. Where there are no samples, the batch has none.
///
/// # Errors
/// A file that cannot be opened, is not text or a workbook, or has no log.
pub fn read_log(path: &Path, options: &ReadOptions, watch: &Watch<'_>) -> Result<Batch> {
    if path.is_dir() {
        let mut tables = Vec::new();
        for kind in TableKind::ALL {
            if let Some(file) = file_in(path, kind)? {
                tables.extend(table(&read_file(&file)?, kind, true, options, watch)?);
            }
        }
        return assemble_log(tables, || {
            let place = Place { file: path.display().to_string(), ..Place::default() };
            Error::content(place, "the folder holds no log.csv, .tsv, .xlsx, .ods or .parquet")
        });
    }
    let source = read_file(path)?;
    if is_workbook(&source) {
        return log_of(&source, options, watch);
    }
    let mut tables = Vec::new();
    for kind in [TableKind::Samples, TableKind::Timbers] {
        if let Some(file) = beside_log(path, kind).filter(|file| file.is_file()) {
            tables.extend(table(&read_file(&file)?, kind, true, options, watch)?);
        }
    }
    tables.extend(table(&source, TableKind::Log, true, options, watch)?);
    assemble_log(tables, || without_log(&source))
}

/// Reads a log that is in memory already, such as standard input: a text with the log alone, or a workbook.
///
/// # Errors
/// As [`read_log`].
pub fn log_of(source: &SourceFile, options: &ReadOptions, watch: &Watch<'_>) -> Result<Batch> {
    let mut tables = Vec::new();
    if is_workbook(source) {
        let names = sheet_names(&source.bytes, &source.name, &limits(options))?;
        let has = |kind: TableKind| names.iter().any(|name| name.trim().eq_ignore_ascii_case(kind.name()));
        for kind in TableKind::ALL {
            // The only sheet of a workbook is the log here, not the samples.
            let is_alone = kind == TableKind::Log && names.len() == 1;
            if has(kind) || options.of(kind).sheet.is_some() || is_alone {
                tables.extend(table(source, kind, is_alone, options, watch)?);
            }
        }
    } else {
        tables.extend(table(source, TableKind::Log, true, options, watch)?);
    }
    assemble_log(tables, || without_log(source))
}

fn without_log(source: &SourceFile) -> Error {
    let place = Place { file: source.name.clone(), ..Place::default() };
    Error::content(place, "holds no log").with_hint("name its sheet: sheet = \"...\" under [log] in woodstate.toml")
}

fn assemble_log(tables: Vec<(Table, Vec<Finding>)>, without: impl FnOnce() -> Error) -> Result<Batch> {
    let has = |kind: TableKind| tables.iter().any(|(table, _)| table.kind() == kind);
    if !has(TableKind::Log) {
        return Err(without());
    }
    let samples = match has(TableKind::Samples) {
        true => None,
        false => Some((Table::from_columns(TableKind::Samples, Vec::new())?, Vec::new())),
    };
    assemble(tables.into_iter().chain(samples), || Error::content(Place::default(), "holds no table of samples"))
}

/// The file of another table beside a log: `timbers.csv` beside `log.csv`, `form_timbers.csv` and `form.csv` beside
/// `form_log.csv`.
fn beside_log(path: &Path, kind: TableKind) -> Option<std::path::PathBuf> {
    let (stem, ending) = (path.file_stem()?.to_str()?, path.extension()?.to_str()?);
    let name = match (stem.strip_suffix("_log"), kind) {
        (None, _) if stem == TableKind::Log.name() => kind.name().to_owned(),
        (None, _) => return None,
        (Some(form), TableKind::Samples) => form.to_owned(),
        (Some(form), _) => format!("{form}_{}", kind.name()),
    };
    Some(path.with_file_name(format!("{name}.{ending}")))
}

/// The file of another table of a form that was written as text: `form_timbers.csv` beside `form.csv`.
fn beside(path: &Path, kind: TableKind) -> Option<std::path::PathBuf> {
    let (stem, ending) = (path.file_stem()?.to_str()?, path.extension()?.to_str()?);
    Some(path.with_file_name(format!("{stem}_{}.{ending}", kind.name())))
}

fn assemble(
    tables: impl Iterator<Item = (Table, Vec<Finding>)>,
    without_samples: impl FnOnce() -> Error,
) -> Result<Batch> {
    let (mut samples, mut timbers, mut log, mut findings) = (None, None, None, Vec::new());
    for (table, found) in tables {
        findings.extend(found);
        match table.kind() {
            TableKind::Samples => samples = Some(table),
            TableKind::Timbers => timbers = Some(table),
            TableKind::Log => log = Some(table),
        }
    }
    Ok(Batch { samples: samples.ok_or_else(without_samples)?, timbers, log, findings })
}

fn file_in(folder: &Path, kind: TableKind) -> Result<Option<std::path::PathBuf>> {
    let files: Vec<_> = ["csv", "tsv", "xlsx", "ods", "parquet"]
        .iter()
        .map(|ending| folder.join(format!("{}.{ending}", kind.name())))
        .filter(|path| path.is_file())
        .collect();
    match files.as_slice() {
        [] => Ok(None),
        [file] => Ok(Some(file.clone())),
        [one, other, ..] => {
            let place = Place { file: folder.display().to_string(), ..Place::default() };
            let name = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let text = format!("holds both {} and {}; keep one", name(one), name(other));
            Err(Error::content(place, text))
        }
    }
}

pub(crate) fn is_workbook(source: &SourceFile) -> bool {
    source.bytes.starts_with(b"PK") || source.bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0])
}

pub(crate) fn is_parquet(source: &SourceFile) -> bool {
    source.bytes.starts_with(b"PAR1")
}

/// A sheet that was named of a file that has none.
fn refuse_sheet(source: &SourceFile, own: &TableOptions, what: &str) -> Result<()> {
    let Some(sheet) = &own.sheet else { return Ok(()) };
    let place = Place { file: source.name.clone(), ..Place::default() };
    let text = format!("is {what} and has no sheets; the sheet \"{sheet}\" was named");
    Err(Error::content(place, text).with_hint("leave out --sheet, or sheet in woodstate.toml"))
}

/// One table of a file; `is_named` says that the file has the name of the table.
fn table(
    source: &SourceFile,
    kind: TableKind,
    is_named: bool,
    options: &ReadOptions,
    watch: &Watch<'_>,
) -> Result<Option<(Table, Vec<Finding>)>> {
    // The digest of a large file takes as long as a good part of its reading.
    let (read, sha256) =
        both(options.n_threads(), || table_of(source, kind, is_named, options, watch), || source.sha256());
    Ok(read?.map(|(mut table, findings)| {
        table.set_origin(Origin { sha256: sha256.to_owned(), ..table.origin().clone() });
        (table, findings)
    }))
}

fn table_of(
    source: &SourceFile,
    kind: TableKind,
    is_named: bool,
    options: &ReadOptions,
    watch: &Watch<'_>,
) -> Result<Option<(Table, Vec<Finding>)>> {
    let own = options.of(kind);
    let mut origin = Origin { file: source.name.clone(), ..Origin::default() };
    if is_parquet(source) {
        refuse_sheet(source, own, "a Parquet file")?;
        return parquet(source, kind, options, origin, watch).map(Some);
    }
    if !is_workbook(source) {
        return text(source, kind, options, origin, watch).map(Some);
    }
    let grid = {
        let limits = limits(options);
        let Some(sheet) = sheet(source, kind, is_named, own, &limits, &mut origin)? else { return Ok(None) };
        if own.encoding.is_some() || own.delimiter.is_some() {
            origin.reading.push("a workbook: encoding and delimiter were given and mean nothing for it".to_owned());
        }
        read_sheet(&source.bytes, &source.name, Some(&sheet), &limits)?
    };
    origin.sheet = grid.sheet().map(str::to_owned);
    ingest(&grid, kind, own, &options.missing, origin, watch).map(Some)
}

#[cfg(not(feature = "frame"))]
fn parquet(
    source: &SourceFile,
    _: TableKind,
    _: &ReadOptions,
    _: Origin,
    _: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let place = Place { file: source.name.clone(), ..Place::default() };
    let text = "is a Parquet file, and this build of woodstate has no Parquet";
    Err(Error::content(place, text)
        .with_hint("install it with `cargo install --path . --features frame`, or save the file as .csv"))
}

fn limits(options: &ReadOptions) -> Limits {
    let usual = Limits::default();
    Limits { max_cells: options.max_cells.unwrap_or(usual.max_cells), ..usual }
}

fn text(
    source: &SourceFile,
    kind: TableKind,
    options: &ReadOptions,
    mut origin: Origin,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let own = options.of(kind);
    refuse_sheet(source, own, "a text file")?;
    let usual = TextOptions::default();
    let max_cells = options.max_cells.unwrap_or(usual.max_cells);
    let text = TextOptions { encoding: own.encoding.clone(), delimiter: own.delimiter, max_cells, ..usual };
    let opened = Opened::new(&source.bytes, &source.name, &text)?;
    origin.reading.push(format!("encoding {}", opened.encoding));
    let delimiter = match opened.delimiter {
        Some('\t') => "tab".to_owned(),
        Some(delimiter) => format!("\"{delimiter}\""),
        None => "none: one column".to_owned(),
    };
    origin.reading.push(format!("delimiter {delimiter}{}", if opened.is_sniffed { " found" } else { "" }));
    let intake = Intake { opened: &opened, file: &source.name, text: &text, threads: options.n_threads() };
    intake.read(kind, own, &options.missing, origin, watch)
}

/// The sheet that holds a table: the one that was named, the one with the table's name, or the only one.
fn sheet(
    source: &SourceFile,
    kind: TableKind,
    is_named: bool,
    own: &TableOptions,
    limits: &Limits,
    origin: &mut Origin,
) -> Result<Option<String>> {
    let names = sheet_names(&source.bytes, &source.name, limits)?;
    let place = Place { file: source.name.clone(), ..Place::default() };
    if let Some(wanted) = &own.sheet {
        if names.contains(wanted) {
            return Ok(Some(wanted.clone()));
        }
        let text = format!("has no sheet \"{wanted}\"; there are: {}", names.join(", "));
        let error = Error::content(place, text);
        return Err(match nearest(wanted, &names) {
            Some(near) => error.with_hint(format!("did you mean \"{near}\"?")),
            None => error,
        });
    }
    if let Some(name) = names.iter().find(|name| name.trim().eq_ignore_ascii_case(kind.name())) {
        return Ok(Some(name.clone()));
    }
    match (kind, names.as_slice()) {
        (_, [only]) if is_named || kind == TableKind::Samples => {
            origin.reading.push(format!("its only sheet, \"{only}\""));
            Ok(Some(only.clone()))
        }
        (TableKind::Timbers | TableKind::Log, _) if !is_named => Ok(None),
        _ => {
            let text = format!("has {} sheets and none is called {}: {}", names.len(), kind.name(), names.join(", "));
            let first = nearest(kind.name(), &names).or(names.first().map(String::as_str)).unwrap_or_default();
            let quoted = |text: &str| if text.contains(' ') { format!("\"{text}\"") } else { text.to_owned() };
            let hint = match kind {
                TableKind::Samples => format!(
                    "say which one holds the pieces: --sheet {}; or let woodstate look at the file and propose how to read it: \
                     woodstate study {}",
                    quoted(first),
                    quoted(&place.file),
                ),
                TableKind::Timbers | TableKind::Log => {
                    format!("say which one it is: sheet = \"{first}\" under [{}] in woodstate.toml", kind.name())
                }
            };
            Err(Error::content(place, text).with_hint(hint))
        }
    }
}

/// The sheet that is meant most likely: one whose name holds the word, or is held by it, or is near.
fn nearest<'a>(wanted: &str, names: &'a [String]) -> Option<&'a str> {
    let plain = |text: &str| text.trim().to_lowercase();
    let wanted_plain = plain(wanted);
    let holds = |name: &&String| {
        let name = plain(name);
        name.contains(&wanted_plain) || (!name.is_empty() && wanted_plain.contains(&name))
    };
    let holding = names.iter().find(holds).map(String::as_str);
    holding.or_else(|| near(wanted, names.iter().map(String::as_str)).first().copied())
}
