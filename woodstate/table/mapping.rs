//! Which column of the file is which column of ours.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Finding, FindingCode, Place, Result, Severity, near};
use crate::quantity::Unit;

use super::glossary::said;
use super::header::Header;
use super::{Cell, ColumnSpec, ColumnType, Grid, TableKind, TableOptions, cell_name};

/// What a column of the file is.
#[derive(Debug)]
pub(super) enum Target {
    /// Values of one of our columns, in this unit.
    Value(&'static ColumnSpec, Option<Unit>),
    /// Uncertainties of one of our columns, in this unit.
    Uncertainty(&'static ColumnSpec, Unit),
    /// A column we do not know or cannot use: it travels along as text.
    Other,
}

/// A column of the file and what it is.
#[derive(Debug)]
pub(super) struct Mapped {
    pub(super) place: usize,
    pub(super) header: String,
    pub(super) target: Target,
}

/// Rows among which the header is looked for.
pub(super) const LOOKED_AT: usize = 30;

/// The header row: the one that was given, or the one among the first that names most known columns.
pub(super) fn header_row(grid: &Grid, kind: TableKind, options: &TableOptions) -> Result<usize> {
    const SHOWN: usize = 8;
    if let Some(number) = options.header_row {
        return (0..grid.n_rows()).find(|row| grid.row_number(*row) == number).ok_or_else(|| {
            let place = Place { row: Some(number), ..grid.row_place(0) };
            Error::content(place, "the header row that was named does not exist or is empty")
        });
    }
    let known = |row: usize| {
        (0..grid.width(row)).filter(|column| resolve(&header_text(grid, row, *column), kind, options).is_some()).count()
    };
    let best = (0..grid.n_rows().min(LOOKED_AT)).rev().max_by_key(|row| known(*row)).filter(|row| known(*row) > 0);
    best.ok_or_else(|| {
        let likely = (0..grid.n_rows().min(LOOKED_AT)).rev().max_by_key(|row| words(grid, *row).len()).unwrap_or(0);
        let number = grid.row_number(likely);
        let mut read = words(grid, likely);
        if read.len() > SHOWN {
            read.truncate(SHOWN);
            read.push("...".to_owned());
        }
        let (kind_name, read) = (kind.name(), read.join(" | "));
        let map_it = format!("map its columns under [{kind_name}.columns] in woodstate.toml");
        let text = format!("no row names a known column of the table {kind_name}; row {number} has most words: {read}");
        Error::content(grid.row_place(likely), text).with_hint(match kind {
            TableKind::Samples => format!(
                "if that is the header, say --header-row {number} and {map_it}; woodstate study proposes what they may mean"
            ),
            _ => format!("if that is the header, write header_row = {number} under [{kind_name}] and {map_it}"),
        })
    })
}

/// Cells of a row that hold words; what is merged counts once.
fn words(grid: &Grid, row: usize) -> Vec<String> {
    let is_word = |column: &usize| matches!(grid.cell(row, *column), Cell::Text(text) if !text.trim().is_empty());
    (0..grid.width(row)).filter(is_word).map(|column| header_text(grid, row, column)).collect()
}

/// Text of a header cell; merged headers are filled to the right.
fn header_text(grid: &Grid, row: usize, column: usize) -> String {
    match grid.shown(row, column) {
        Cell::Text(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Cell::Number(number) => number.to_string(),
        _ => String::new(),
    }
}

/// Our name for a header: as the study file maps it, or as it reads.
fn resolve(header: &str, kind: TableKind, options: &TableOptions) -> Option<&'static ColumnSpec> {
    let mapped = options.columns.get(header).map_or(header, String::as_str);
    Header::parse(mapped).column(kind)
}

/// Every column of the file, and what is wrong with the headers.
pub(super) fn map(
    grid: &Grid,
    header_row: usize,
    kind: TableKind,
    options: &TableOptions,
) -> Result<(Vec<Mapped>, Vec<Finding>)> {
    let mut findings = Vec::new();
    let headers: Vec<String> = (0..grid.n_columns()).map(|column| header_text(grid, header_row, column)).collect();
    if let Some(lost) = options.columns.keys().find(|name| !headers.contains(name)) {
        let place = grid.row_place(header_row);
        let text = format!("the study file maps a column \"{lost}\" that is not there; found: {}", headers.join(" | "));
        return Err(Error::content(place, text));
    }
    let mut mapped: Vec<Mapped> = headers
        .into_iter()
        .enumerate()
        .map(|(place, header)| {
            let at = Place { column: Some(header.clone()), ..grid.place(header_row, place) };
            let target = target(&header, &at, kind, options, &mut findings);
            Mapped { place, header, target }
        })
        .collect();
    refuse_twins(&mut mapped, grid, header_row, &mut findings);
    refuse_lone_uncertainties(&mut mapped, grid, header_row, &mut findings);
    if kind == TableKind::Samples {
        miss_masses(&mapped, &grid.row_place(header_row), &mut findings);
    }
    Ok((mapped, findings))
}

fn target(header: &str, at: &Place, kind: TableKind, options: &TableOptions, findings: &mut Vec<Finding>) -> Target {
    if header.is_empty() {
        return Target::Other;
    }
    let report = |code, severity, text: String| Finding::new(code, severity, at.clone(), text);
    let given = options.columns.get(header).map(String::as_str);
    let parsed = Header::parse(given.unwrap_or(header));
    let Some(spec) = parsed.column(kind) else {
        if parsed.lacks_basis() {
            let text = "a water content needs its basis: share of dry mass or share of total mass".to_owned();
            findings.push(report(FindingCode::BasisMissing, Severity::Error, text).found(header));
        } else {
            let near = parsed.near(kind);
            let (severity, did_you_mean) = match near.as_slice() {
                [] => (Severity::Note, String::new()),
                names => (Severity::Warning, format!(". Did you mean {}?", names.join(" or "))),
            };
            let text = format!("not a column of woodstate; it travels along untouched{did_you_mean}");
            let finding = report(FindingCode::ColumnUnknown, severity, text).found(header);
            findings.push(match said(header, kind).filter(|_| given.is_none()) {
                Some(known) => known.add_to(finding),
                None => finding,
            });
        }
        return Target::Other;
    };
    let ColumnType::Number { unit: own, .. } = spec.holds else {
        return Target::Value(spec, None);
    };
    let in_file = Header::parse(header).unit;
    if let (Some(written), Some(chosen)) =
        (in_file, parsed.unit.filter(|chosen| given.is_some() && in_file != Some(chosen)))
    {
        let text = format!("the header says {written}, the study file says {chosen}: {chosen} is used");
        findings.push(report(FindingCode::UnitOverridden, Severity::Note, text).found(header));
    }
    let Some(written) = parsed.unit.or(in_file) else {
        let text = format!("{} is measured and its header has no unit; the column is not used", spec.name);
        let cure = format!("write the unit behind the name, as in \"{} [{own}]\"", spec.name);
        findings.push(report(FindingCode::UnitMissing, Severity::Error, text).found(header).cured_by(cure));
        return Target::Other;
    };
    let unit = Unit::parse(own).and_then(|own| Unit::parse_like(written, own));
    if let Some(unit) = unit.as_ref().ok().filter(|_| Unit::is_taken_for(written)) {
        let text = format!("{written} is read as {unit}");
        findings.push(report(FindingCode::UnitReadAs, Severity::Note, text).found(header));
    }
    match unit {
        Ok(unit) if parsed.is_uncertainty => Target::Uncertainty(spec, unit),
        Ok(unit) => Target::Value(spec, Some(unit)),
        Err(error) => {
            let (text, allowed) = match error.kind() {
                ErrorKind::Unit { found, allowed } => {
                    let (allowed, near) = allowed.split_once("; did you mean ").unwrap_or((allowed, ""));
                    let near = if near.is_empty() { String::new() } else { format!(". Did you mean {near}") };
                    (
                        format!("the unit \"{found}\" is not known here; the column is not used{near}"),
                        allowed.to_owned(),
                    )
                }
                _ => (format!("the column is not used: {error}"), own.to_owned()),
            };
            findings.push(report(FindingCode::UnitUnknown, Severity::Error, text).found(header).allowing(allowed));
            Target::Other
        }
    }
}

/// Two columns for one thing: neither is used.
fn refuse_twins(mapped: &mut [Mapped], grid: &Grid, header_row: usize, findings: &mut Vec<Finding>) {
    let key = |target: &Target| match target {
        Target::Value(spec, _) => Some((spec.name, false)),
        Target::Uncertainty(spec, _) => Some((spec.name, true)),
        Target::Other => None,
    };
    let mut counts: BTreeMap<(&str, bool), Vec<usize>> = BTreeMap::new();
    for (place, column) in mapped.iter().enumerate() {
        if let Some(key) = key(&column.target) {
            counts.entry(key).or_default().push(place);
        }
    }
    for ((name, _), places) in counts.into_iter().filter(|(_, places)| places.len() > 1) {
        let named = |place: &usize| match grid.is_frame() {
            true => format!("\"{}\"", mapped[*place].header),
            false => column_letters(*place),
        };
        let letters: Vec<String> = places.iter().map(named).collect();
        let (both, neither) = if places.len() == 2 { ("both", "neither") } else { ("all", "none of them") };
        for place in places {
            let at = Place { column: Some(mapped[place].header.clone()), ..grid.place(header_row, place) };
            let text = format!("columns {} {both} mean {name}; {neither} is used", letters.join(" and "));
            findings.push(Finding::new(FindingCode::ColumnTwice, Severity::Error, at, text));
            mapped[place].target = Target::Other;
        }
    }
}

/// The name of a column as spreadsheets write it.
fn column_letters(place: usize) -> String {
    cell_name(0, place).trim_end_matches('0').to_owned()
}

/// Uncertainties of a column that is not there or not used.
fn refuse_lone_uncertainties(mapped: &mut [Mapped], grid: &Grid, header_row: usize, findings: &mut Vec<Finding>) {
    let has_values = |mapped: &[Mapped], name: &str| {
        mapped.iter().any(|column| matches!(&column.target, Target::Value(spec, _) if spec.name == name))
    };
    for place in 0..mapped.len() {
        let Target::Uncertainty(spec, unit) = &mapped[place].target else { continue };
        if has_values(mapped, spec.name) {
            continue;
        }
        let header = mapped[place].header.clone();
        let at = Place { column: Some(header.clone()), ..grid.place(header_row, place) };
        let text = format!("no column {} for this uncertainty; it is not used", spec.name);
        let cure = format!("add the column \"{} [{unit}]\", or leave this one", spec.name);
        let code = FindingCode::UncertaintyInvalid;
        findings.push(Finding::new(code, Severity::Warning, at, text).found(header).cured_by(cure));
        mapped[place].target = Target::Other;
    }
}

/// The two masses without which nothing usual can be computed, where one has no column and another column has a
/// similar name.
fn miss_masses(mapped: &[Mapped], place: &Place, findings: &mut Vec<Finding>) {
    for name in ["mass_saturated", "mass_oven_dry"] {
        let is_it = |column: &&Mapped| Header::parse(&column.header).name == name;
        let is_there = |column: &Mapped| matches!(&column.target, Target::Value(spec, _) if spec.name == name);
        if mapped.iter().any(|column| is_there(column) || is_it(&column)) {
            continue;
        }
        let is_unknown = |column: &&Mapped| {
            matches!(column.target, Target::Other) && near(&Header::parse(&column.header).name, [name]).len() == 1
        };
        let headers: Vec<&str> = mapped.iter().filter(is_unknown).map(|column| column.header.as_str()).collect();
        let Some(first) = headers.first() else { continue };
        let quoted: Vec<String> = headers.iter().map(|header| format!("\"{header}\"")).collect();
        let text = format!("there is no column {name}. Did you mean it by {}?", quoted.join(" or "));
        let cure = format!("correct the header, or write \"{first}\" = \"{name} [g]\" under [samples.columns]");
        let finding = Finding::new(FindingCode::ColumnMissing, Severity::Warning, place.clone(), text);
        findings.push(finding.cured_by(cure));
    }
}
