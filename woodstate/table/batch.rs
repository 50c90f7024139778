//! A batch: samples, and timbers and log where there are any, from a workbook, a file or a folder.

use std::path::Path;

use crate::error::{Error, Finding, Place, Result};
use crate::numeric::Watch;

use super::{
    Grid, Limits, Origin, ReadOptions, SourceFile, Table, TableKind, TableOptions, TextOptions, ingest, read_file,
    read_sheet, read_text, sheet_names,
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

/// Reads a workbook, a text file, or a folder with files named samples, timbers and log.
///
/// # Errors
/// A file that cannot be opened, is not text or a workbook, or has no table of samples.
pub fn read_batch(path: &Path, options: &ReadOptions, watch: &Watch<'_>) -> Result<Batch> {
    if !path.is_dir() {
        return batch_of(&read_file(path)?, options, watch);
    }
    let mut tables = Vec::new();
    for kind in TableKind::ALL {
        if let Some(file) = file_in(path, kind)? {
            let source = read_file(&file)?;
            tables.push(table(&source, kind, options, watch)?);
        }
    }
    assemble(tables.into_iter().flatten(), || {
        let place = Place { file: path.display().to_string(), ..Place::default() };
        Error::content(place, "the folder holds no samples.csv, samples.tsv or samples.xlsx")
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
        tables.extend(table(source, *kind, options, watch)?);
    }
    assemble(tables.into_iter(), || {
        let place = Place { file: source.name.clone(), ..Place::default() };
        Error::content(place, "holds no table of samples")
    })
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
    let files: Vec<_> = ["csv", "tsv", "xlsx"]
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

fn is_workbook(source: &SourceFile) -> bool {
    source.bytes.starts_with(b"PK") || source.bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0])
}

fn table(
    source: &SourceFile,
    kind: TableKind,
    options: &ReadOptions,
    watch: &Watch<'_>,
) -> Result<Option<(Table, Vec<Finding>)>> {
    let own = options.of(kind);
    let mut origin = Origin { file: source.name.clone(), sha256: source.sha256.clone(), ..Origin::default() };
    let grid = if is_workbook(source) {
        let Some(sheet) = sheet(source, kind, own, &mut origin)? else { return Ok(None) };
        read_sheet(&source.bytes, &source.name, Some(&sheet), &Limits::default())?
    } else {
        text(source, own, &mut origin)?
    };
    origin.sheet = grid.sheet().map(str::to_owned);
    ingest(&grid, kind, own, &options.missing, origin, watch).map(Some)
}

fn text(source: &SourceFile, own: &TableOptions, origin: &mut Origin) -> Result<Grid> {
    let options = TextOptions { encoding: own.encoding.clone(), delimiter: own.delimiter, ..TextOptions::default() };
    let found = read_text(&source.bytes, &source.name, &options)?;
    origin.reading.push(format!("encoding {}", found.encoding));
    let delimiter = match found.delimiter {
        Some('\t') => "tab".to_owned(),
        Some(delimiter) => format!("\"{delimiter}\""),
        None => "none: one column".to_owned(),
    };
    origin.reading.push(format!("delimiter {delimiter}{}", if found.is_sniffed { " found" } else { "" }));
    Ok(found.grid)
}

/// The sheet that holds a table: the one that was named, the one with the table's name, or the only one.
fn sheet(source: &SourceFile, kind: TableKind, own: &TableOptions, origin: &mut Origin) -> Result<Option<String>> {
    let names = sheet_names(&source.bytes, &source.name, &Limits::default())?;
    let place = Place { file: source.name.clone(), ..Place::default() };
    if let Some(wanted) = &own.sheet {
        if names.contains(wanted) {
            return Ok(Some(wanted.clone()));
        }
        let text = format!("has no sheet \"{wanted}\"; there are: {}", names.join(", "));
        return Err(Error::content(place, text));
    }
    if let Some(name) = names.iter().find(|name| name.trim().eq_ignore_ascii_case(kind.name())) {
        return Ok(Some(name.clone()));
    }
    match (kind, names.as_slice()) {
        (TableKind::Samples, [only]) => {
            origin.reading.push(format!("its only sheet, \"{only}\""));
            Ok(Some(only.clone()))
        }
        (TableKind::Samples, _) => {
            let text = format!("has {} sheets and none is called samples: {}", names.len(), names.join(", "));
            Err(Error::content(place, text).with_hint(format!("say which one holds the pieces: --sheet {}", names[0])))
        }
        (TableKind::Timbers | TableKind::Log, _) => Ok(None),
    }
}
