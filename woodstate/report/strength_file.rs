//! A fit, profiles or baths as one file.

use std::path::Path;

use crate::error::{Error, ErrorKind, Result};
use crate::study::{BathMixing, BathTiming, BathWashing, Curves, Profiles};
use crate::table::{CellOut, ColumnOut, SheetOut, TextStyle, write_text};

use super::Grid;
use super::bath_mix::bath_mix_table;
use super::bath_time::bath_time_table;
use super::bath_wash::bath_wash_table;
use super::json::json;
use super::profile_plain::timber_table;
use super::strength_plain::curve_table;

/// Endings of the files that are made here.
const ENDINGS: [&str; 3] = ["json", "csv", "tsv"];

/// The ending of a path that names a file of curves.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn curves_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a file of curves")
}

/// The ending of a path that names a file of profiles.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn profiles_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a file of profiles")
}

pub(super) fn ending(path: &Path, what: &'static str) -> Result<&'static str> {
    one_of(path, what, &ENDINGS)
}

/// The ending of a path, if it is one of these.
pub(super) fn one_of(path: &Path, what: &'static str, endings: &[&'static str]) -> Result<&'static str> {
    let found = path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase).unwrap_or_default();
    let unknown = || {
        let allowed = endings.iter().map(|ending| (*ending).to_owned()).collect();
        Error::new(ErrorKind::Name { what, found: found.clone(), allowed })
    };
    endings.iter().copied().find(|ending| *ending == found).ok_or_else(unknown)
}

/// Curves as one file: the whole outcome as `json`, the curves with their bands as `csv` or `tsv`, one row a state and group.
///
/// The style is that of `csv`, which has `;` between its cells where the decimal mark is the comma.
///
/// # Errors
/// An ending that is none of these.
pub fn curves_file(curves: &Curves, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    match ending {
        "json" => Ok(json(curves)?.into_bytes()),
        _ => delimited("fit", curve_table(curves), ending, style),
    }
}

/// Profiles as one file: the whole outcome as `json`, one row a timber as `csv` or `tsv`.
///
/// The style is that of [`curves_file`].
///
/// # Errors
/// An ending that is none of these.
pub fn profiles_file(profiles: &Profiles, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    match ending {
        "json" => Ok(json(profiles)?.into_bytes()),
        _ => delimited("profile", timber_table(profiles), ending, style),
    }
}

/// An outcome of `bath` that can be written as one file.
#[derive(Debug, Clone, Copy)]
pub enum BathOutcome<'a> {
    /// Of `bath mix`: one row a bath.
    Mixing(&'a BathMixing),
    /// Of `bath wash`: one row a bath.
    Washing(&'a BathWashing),
    /// Of `bath time`: one row a timber and share.
    Timing(&'a BathTiming),
}

/// The ending of a path that names a file of baths.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn bath_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a file of baths")
}

/// Baths as one file: the whole outcome as `json`, its rows as `csv` or `tsv`.
///
/// The style is that of [`curves_file`].
///
/// # Errors
/// An ending that is none of these.
pub fn bath_file(outcome: BathOutcome<'_>, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    if ending == "json" {
        let text = match outcome {
            BathOutcome::Mixing(mixing) => json(mixing)?,
            BathOutcome::Washing(washing) => json(washing)?,
            BathOutcome::Timing(timing) => json(timing)?,
        };
        return Ok(text.into_bytes());
    }
    let (name, table) = match outcome {
        BathOutcome::Mixing(mixing) => ("bath_mix", bath_mix_table(mixing)),
        BathOutcome::Washing(washing) => ("bath_wash", bath_wash_table(washing)),
        BathOutcome::Timing(timing) => ("bath_time", bath_time_table(timing)),
    };
    delimited(name, table, ending, style)
}

/// A table as delimited text.
pub(super) fn delimited(name: &'static str, table: Grid, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    let delimiter = match (ending, style.decimal) {
        ("tsv", _) => '\t',
        (_, crate::table::Decimal::Comma) => ';',
        _ => style.delimiter,
    };
    write_text(&sheet(name, table), TextStyle { delimiter, ..style })
}

/// A table as a sheet: what reads as a number is one.
pub(super) fn sheet(name: &'static str, table: Grid) -> SheetOut<'static> {
    let cell = |cell: String| match cell.parse::<f64>() {
        // A name such as 007 is no number.
        Ok(number) if number.is_finite() && number.to_string() == cell => CellOut::number(number),
        _ if cell.is_empty() => CellOut::Empty,
        _ => CellOut::text(cell),
    };
    let rows = table.rows.into_iter().map(|row| row.into_iter().map(cell).collect()).collect();
    let columns = table.columns.into_iter().map(|column| ColumnOut::new(column.head)).collect();
    SheetOut::of_rows(name, columns, rows)
}
