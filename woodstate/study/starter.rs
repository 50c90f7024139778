//! `study`: a file looked at as it is, and what a study file for it may say.
//!
//! Nothing is decided here. A line is proposed where a header or a word has one meaning; where a wrong guess would change
//! numbers there are several lines and a question; what the numbers in the file suggest is a hint beside it.

mod column;
mod hint;
mod item;
mod key;
mod sheet;
mod word;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, Place, Result};
use crate::numeric::Watch;
use crate::reference::Reference;
use crate::table::{
    Decimal, DecimalVerdict, Glossary, Grid, Limits, SourceFile, TableKind, TableOptions, TextOptions, is_parquet,
    is_workbook, read_sheet, read_text, sheet_names,
};

use super::Program;
use column::columns;
use hint::hint;
use sheet::{Sheet, shown};
use word::words;

pub use item::{Answer, Item, ItemState};
pub use word::{Oddity, StarterWords};

/// The outcome of `study`: what a starter study file proposes and asks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Starter {
    /// Version of this form.
    pub schema_version: u32,
    /// `study`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// File that was looked at.
    pub file: String,
    /// SHA-256 of that file.
    pub sha256: String,
    /// Signs for what nobody knows.
    pub missing: Option<Item>,
    /// Sheets that are taken for a table.
    pub tables: Vec<StarterTable>,
    /// Sheets that are not.
    pub others: Vec<OtherSheet>,
    /// Instruments.
    pub instruments: Vec<Item>,
    /// Waters.
    pub water: Vec<Item>,
    /// How the laboratory worked.
    pub protocol: Vec<Item>,
}

/// A sheet that is taken for one of the three tables.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StarterTable {
    /// samples, timbers or log.
    pub table: &'static str,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row of the header, counted as in the file.
    pub header_row: usize,
    /// Rows below it that hold something.
    pub rows: usize,
    /// Keys: sheet, rows, encoding, delimiter, decimal mark, name of the pieces.
    pub keys: Vec<Item>,
    /// Columns from left to right.
    pub columns: Vec<Item>,
    /// Words of cells.
    pub words: Vec<StarterWords>,
    /// Texts where numbers or words are expected.
    pub odd: Vec<Oddity>,
}

/// A sheet that is not taken for a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct OtherSheet {
    /// Its name.
    pub sheet: String,
    /// Why it is left.
    pub why: String,
    /// What it says, first lines.
    pub says: Vec<String>,
}

/// Looks at a workbook or a text file; `options` is what was said of its samples: sheet, header row, encoding, delimiter,
/// decimal mark.
///
/// # Errors
/// A file that cannot be read, a sheet that does not exist, or no table that could be one of woodstate.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::study::{ItemState, starter};
/// use woodstate::table::{SourceFile, TableOptions};
///
/// let file = SourceFile::from_bytes("a.csv", "Probe;Nassgewicht [g];Auftrieb [g]\nK1;5,2;4,9\n".into());
/// let found = starter(&file, &TableOptions::default(), &Watch::silent())?;
/// let columns = &found.tables[0].columns;
/// assert_eq!(columns[1].answers[0].line, "\"Nassgewicht [g]\" = \"mass_saturated [g]\"");
/// assert_eq!((columns[2].state, columns[2].answers.len()), (ItemState::Question, 2));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn starter(source: &SourceFile, options: &TableOptions, watch: &Watch<'_>) -> Result<Starter> {
    let (glossary, reference) = (Glossary::shipped()?, Reference::shipped()?);
    let (grids, read) = grids(source, options)?;
    let (mut sheets, mut others): (Vec<Sheet>, Vec<OtherSheet>) = (Vec::new(), Vec::new());
    let total = grids.len();
    for (done, grid) in grids.into_iter().enumerate() {
        watch.advance("looking at sheets", done, total)?;
        let is_named = grid.sheet().is_none() || grid.sheet() == options.sheet.as_deref();
        let kinds: &[TableKind] = match &options.sheet {
            Some(_) if is_named => &[TableKind::Samples],
            Some(_) => &[TableKind::Timbers, TableKind::Log],
            None if is_named => &[TableKind::Samples],
            None => &TableKind::ALL,
        };
        let is_only = is_named || total == 1;
        let row = options.header_row.filter(|_| is_only);
        match Sheet::of(grid, glossary, kinds, row, is_only) {
            Ok(sheet) => sheets.push(sheet),
            Err(grid) => others.push(other(&grid, "no row has two known headers".to_owned())),
        }
    }
    let mut tables = Vec::new();
    let (mut instruments, mut missing): (Vec<Item>, Vec<Oddity>) = (Vec::new(), Vec::new());
    for kind in TableKind::ALL {
        let mut of_kind: Vec<Sheet> = sheets.extract_if(.., |sheet| sheet.kind == kind).collect();
        let best = (0..of_kind.len()).rev().max_by_key(|at| (of_kind[*at].known, of_kind[*at].rows.len()));
        let Some(sheet) = best.map(|at| of_kind.remove(at)) else { continue };
        let taken = sheet.grid.sheet().unwrap_or_default().to_owned();
        let why = |sheet: &Sheet| {
            format!("looks like {} too, with {} known headers; {taken} has more", kind.name(), sheet.known)
        };
        others.extend(of_kind.iter().map(|sheet| other(&sheet.grid, why(sheet))));
        let (table, found, odd) = look(&sheet, options, read.as_ref(), glossary, reference);
        if kind == TableKind::Samples {
            instruments = key::instruments(&sheet, &found);
        }
        missing.extend(odd.into_iter().filter(|odd| odd.is_missing));
        tables.push(table);
    }
    if tables.is_empty() {
        return Err(nothing(source, &others));
    }
    let has_samples = tables[0].table == TableKind::Samples.name();
    let or_none = |items: Vec<Item>| if has_samples { items } else { Vec::new() };
    Ok(Starter {
        schema_version: 1,
        kind: "starter",
        program: Program::this(),
        file: source.name.clone(),
        sha256: source.sha256().to_owned(),
        missing: missing_item(&missing),
        tables,
        others,
        instruments,
        water: or_none(key::water()),
        protocol: or_none(key::protocol()),
    })
}

/// What texts were saved in before UTF-8.
const OLD: &str = "windows-1252";

/// Keys that say how a text file was read.
type Read = Vec<Item>;

/// The sheets of a file. A text that is not UTF-8 is read as windows-1252 to be looked at, which is asked.
fn grids(source: &SourceFile, options: &TableOptions) -> Result<(Vec<Grid>, Option<Read>)> {
    if is_workbook(source) {
        let limits = Limits::default();
        let names = sheet_names(&source.bytes, &source.name, &limits)?;
        if let Some(wanted) = options.sheet.as_ref().filter(|wanted| !names.contains(wanted)) {
            read_sheet(&source.bytes, &source.name, Some(wanted), &limits)?;
        }
        let read = |name: &String| read_sheet(&source.bytes, &source.name, Some(name), &limits);
        return Ok((names.iter().map(read).collect::<Result<_>>()?, None));
    }
    if is_parquet(source) {
        let place = Place { file: source.name.clone(), ..Place::default() };
        let text = "is a Parquet file, and study looks at workbooks and texts";
        let hint = format!("woodstate check {} says which of its columns are not known", source.name);
        return Err(Error::content(place, text).with_hint(hint));
    }
    if let Some(sheet) = &options.sheet {
        let place = Place { file: source.name.clone(), ..Place::default() };
        let text = format!("is a text file and has no sheets; the sheet \"{sheet}\" was named");
        return Err(Error::content(place, text).with_hint("leave out --sheet"));
    }
    let text = |encoding: Option<String>| {
        let options = TextOptions { encoding, delimiter: options.delimiter, ..TextOptions::default() };
        read_text(&source.bytes, &source.name, &options)
    };
    let (found, guess) = match text(options.encoding.clone()) {
        Ok(found) => (found, None),
        Err(error) if options.encoding.is_some() || std::str::from_utf8(&source.bytes).is_ok() => return Err(error),
        Err(error) => (text(Some(OLD.to_owned())).map_err(|_| error)?, Some(OLD)),
    };
    let mut read = Vec::new();
    if let Some(encoding) = guess {
        let why = "The text is not UTF-8. Do its words look right so?";
        let example = foreign_word(&found.grid).unwrap_or_default();
        read.push(Item::key("encoding", why, &[(&item::quoted(encoding), &example)]).asked());
    } else if let Some(encoding) = &options.encoding {
        read.push(Item::key("encoding", "as given", &[(&item::quoted(encoding), "")]));
    }
    if let Some(delimiter) = found.delimiter {
        let written = if delimiter == '\t' { "\"tab\"".to_owned() } else { item::quoted(&delimiter.to_string()) };
        let why = if found.is_sniffed { "found in the text" } else { "as given" };
        read.push(Item::key("delimiter", why, &[(&written, "")]));
    }
    Ok((vec![found.grid], Some(read)))
}

/// The first cell with a letter beyond ASCII.
fn foreign_word(grid: &Grid) -> Option<String> {
    let cells = (0..grid.n_rows()).flat_map(|row| (0..grid.width(row)).map(move |column| (row, column)));
    let texts = cells.filter_map(|(row, column)| shown(grid.cell(row, column)));
    let first = texts.into_iter().find(|text| !text.is_ascii())?;
    Some(format!("then a cell reads {}", first.chars().take(40).collect::<String>()))
}

fn look(
    sheet: &Sheet,
    options: &TableOptions,
    read: Option<&Read>,
    glossary: &'static Glossary,
    reference: &Reference,
) -> (StarterTable, Vec<column::Looked>, Vec<Oddity>) {
    let mut found = columns(sheet, glossary);
    let numbers: Vec<usize> = found.iter().filter(|looked| looked.is_number()).map(|looked| looked.place).collect();
    let evidence = sheet.evidence(&numbers);
    let given = options.decimal.filter(|_| sheet.kind == TableKind::Samples);
    let mark = given.unwrap_or(match evidence.verdict() {
        DecimalVerdict::Shown(mark) => mark,
        DecimalVerdict::Conflict if evidence.comma > evidence.point => Decimal::Comma,
        _ => Decimal::Point,
    });
    hint(sheet, &mut found, mark);
    let mut keys: Vec<Item> = Vec::new();
    let name = sheet.grid.sheet();
    if let Some(name) = name.filter(|name| !name.trim().eq_ignore_ascii_case(sheet.kind.name())) {
        let known = format!("{} of {} headers are known", sheet.known, found.len());
        keys.push(Item::key("sheet", known, &[(&item::quoted(name), "")]));
    }
    keys.extend(key::rows(sheet));
    keys.extend(read.into_iter().flatten().cloned());
    keys.extend(key::decimal(evidence, given));
    if sheet.kind == TableKind::Samples {
        keys.extend(key::sample(sheet, &mut found));
    }
    let (words, odd) = words(sheet, &found, mark, glossary, reference);
    let table = StarterTable {
        table: sheet.kind.name(),
        sheet: name.map(str::to_owned),
        header_row: sheet.grid.row_number(sheet.header),
        rows: sheet.rows.len(),
        keys,
        columns: found.iter().map(|looked| looked.item.clone()).collect(),
        words,
        odd: odd.clone(),
    };
    (table, found, odd)
}

/// One line for all signs that stand for what nobody knows.
fn missing_item(found: &[Oddity]) -> Option<Item> {
    if found.is_empty() {
        return None;
    }
    let mut signs: Vec<&str> = found.iter().map(|odd| odd.text.as_str()).collect();
    signs.sort_unstable();
    signs.dedup();
    let list: Vec<String> = signs.iter().map(|sign| item::quoted(sign)).collect();
    let said: Vec<String> = found.iter().map(word::said).collect();
    Some(Item::key(
        "missing",
        format!("usual signs for unknown: {}", said.join("; ")),
        &[(&format!("[{}]", list.join(", ")), "")],
    ))
}

fn other(grid: &Grid, why: String) -> OtherSheet {
    const LINES: usize = 8;
    const LONGEST: usize = 160;
    let line = |row: usize| {
        let cells: Vec<String> = (0..grid.width(row)).filter_map(|column| shown(grid.cell(row, column))).collect();
        cells.join(" | ").split_whitespace().collect::<Vec<_>>().join(" ").chars().take(LONGEST).collect::<String>()
    };
    let says = (0..grid.n_rows().min(LINES)).map(line).collect();
    OtherSheet { sheet: grid.sheet().unwrap_or_default().to_owned(), why, says }
}

fn nothing(source: &SourceFile, others: &[OtherSheet]) -> Error {
    let place = Place { file: source.name.clone(), ..Place::default() };
    let sheets: Vec<&str> = others.iter().map(|other| other.sheet.as_str()).filter(|name| !name.is_empty()).collect();
    let (text, hint) = match sheets.as_slice() {
        [] => ("holds no row with known headers".to_owned(), "name the row of the header with --header-row".to_owned()),
        [first, ..] => (
            format!("has no sheet with a row of known headers; looked at: {}", sheets.join(", ")),
            format!("name the sheet and the row of the header: --sheet {} --header-row 1", item::quoted(first)),
        ),
    };
    Error::content(place, text).with_hint(hint)
}
