//! From cells to typed columns; every cell that cannot be used is named.

use std::collections::BTreeMap;

use crate::error::{Error, Finding, FindingCode, Place, Result, Severity, near};
use crate::numeric::Watch;
use crate::quantity::Unit;

use super::mapping::{Mapped, Target, header_row, map};
use super::number::{DecimalEvidence, DecimalVerdict};
use super::{
    Cell, Column, ColumnSpec, ColumnType, Decimal, Grid, NumberText, Numbers, Origin, RowState, Table, TableKind,
    TableOptions, Values, parse_number,
};

/// Reads a grid as one of the three tables.
///
/// # Errors
/// A table that cannot be read at all: no header row, a mapped column that is not there, no column that names the rows.
/// Everything else is a [`Finding`].
pub fn ingest(
    grid: &Grid,
    kind: TableKind,
    options: &TableOptions,
    missing: &[String],
    mut origin: Origin,
    watch: &Watch<'_>,
) -> Result<(Table, Vec<Finding>)> {
    let header = header_row(grid, kind, options)?;
    let (mapped, mut findings) = map(grid, header, kind, options)?;
    let rows: Vec<usize> = (header + 1..grid.n_rows()).filter(|row| !is_blank(grid, *row)).collect();
    if rows.is_empty() {
        let place = grid.row_place(header);
        findings.push(Finding::new(FindingCode::TableEmpty, Severity::Error, place, "no rows below the header"));
    }
    origin.header_row = grid.row_number(header);
    if options.header_row.is_none() {
        origin.reading.push(format!("header found in row {}", origin.header_row));
    }
    let decimal = decimal_mark(grid, &rows, &mapped, options, &mut origin);
    let table = Table::new(kind, origin, rows.iter().map(|row| grid.row_number(*row)).collect());
    let mut reader = Reader { grid, rows: &rows, decimal, missing, options, table, findings };
    for (done, column) in mapped.iter().enumerate() {
        watch.advance("reading columns", done, mapped.len())?;
        reader.read(column);
    }
    for column in &mapped {
        reader.read_uncertainty(column);
    }
    reader.refuse_ragged_rows(header);
    let Reader { mut table, mut findings, .. } = reader;
    name_rows(&mut table, options, &mut findings)?;
    Ok((table, findings))
}

fn is_blank(grid: &Grid, row: usize) -> bool {
    (0..grid.width(row)).all(|column| match grid.cell(row, column) {
        Cell::Empty => true,
        Cell::Text(text) => text.trim().is_empty(),
        _ => false,
    })
}

/// The decimal mark of texts: given, or shown by the cells. `None` where cells can be read in two ways.
fn decimal_mark(
    grid: &Grid,
    rows: &[usize],
    mapped: &[Mapped],
    options: &TableOptions,
    origin: &mut Origin,
) -> Option<Decimal> {
    if let Some(mark) = options.decimal {
        return Some(mark);
    }
    let mut evidence = DecimalEvidence::default();
    for column in
        mapped.iter().filter(|column| matches!(&column.target, Target::Value(_, Some(_)) | Target::Uncertainty(..)))
    {
        for row in rows {
            if let Cell::Text(text) = grid.cell(*row, column.place) {
                evidence.look(text);
            }
        }
    }
    let DecimalEvidence { point, comma, .. } = evidence;
    match evidence.verdict() {
        DecimalVerdict::Shown(mark) => {
            origin.reading.push(format!("decimal mark \"{}\" found in {} cells", mark.mark(), point + comma));
            Some(mark)
        }
        DecimalVerdict::Unneeded => Some(Decimal::Point),
        DecimalVerdict::Ambiguous => None,
        DecimalVerdict::Conflict => {
            origin.reading.push(format!("decimal marks are mixed: \".\" in {point} cells, \",\" in {comma}"));
            None
        }
    }
}

struct Reader<'a> {
    grid: &'a Grid,
    rows: &'a [usize],
    decimal: Option<Decimal>,
    missing: &'a [String],
    options: &'a TableOptions,
    table: Table,
    findings: Vec<Finding>,
}

/// What a cell of a measured column is.
enum Reading {
    Unknown,
    Value(f64),
    Below,
    Unreadable(FindingCode, &'static str),
}

impl Reader<'_> {
    fn read(&mut self, column: &Mapped) {
        let (name, values) = match &column.target {
            Target::Value(spec, Some(unit)) => {
                (spec.name.to_owned(), Values::Numbers(self.numbers(column, spec, *unit)))
            }
            Target::Value(spec, None) => (spec.name.to_owned(), Values::Texts(self.texts(column, Some(spec)))),
            Target::Other if column.header.is_empty() => return,
            Target::Other => (column.header.clone(), Values::Texts(self.texts(column, None))),
            Target::Uncertainty(..) => return,
        };
        self.table.push(Column { name, header: column.header.clone(), place: column.place, values });
    }

    fn numbers(&mut self, column: &Mapped, spec: &'static ColumnSpec, unit: Unit) -> Numbers {
        let ColumnType::Number { unit: own, low, high } = spec.holds else { return Numbers::default() };
        let mut numbers = Numbers::unknown(self.rows.len());
        let mut as_text = 0;
        let mut percent = 0;
        for (row, &at) in self.rows.iter().enumerate() {
            let cell = self.grid.cell(at, column.place);
            let is_sheet = self.grid.sheet().is_some();
            match self.number(cell, unit) {
                Reading::Unknown => {}
                Reading::Value(value) => {
                    as_text += usize::from(is_sheet && matches!(cell, Cell::Text(_)));
                    percent += usize::from(matches!(cell, Cell::Percent(_)) && unit.code() != "%");
                    let value = Unit::parse(own).and_then(|own| unit.convert(value, own)).unwrap_or(f64::NAN);
                    if value >= low && value <= high {
                        numbers.set(row, value);
                    } else {
                        let text =
                            format!("{} is impossible for {}; the value is not used", plain(value, own), spec.name);
                        self.report(FindingCode::ValueOutOfRange, Severity::Warning, at, column, text, spec);
                        self.table.worsen(row, RowState::Partial);
                    }
                }
                Reading::Below => {
                    let text = format!("{} is given as less than a limit; its value is unknown", spec.name);
                    self.report(FindingCode::ValueBelowLimit, Severity::Note, at, column, text, spec);
                }
                Reading::Unreadable(code, why) => {
                    let text = format!("{} {why}; the row is not assessed", spec.name);
                    self.report(code, Severity::Error, at, column, text, spec);
                    self.table.worsen(row, RowState::Unreadable);
                }
            }
        }
        let mut count = |code, n: usize, text: String| {
            if n > 0 {
                let place = Place { column: Some(column.header.clone()), ..self.grid.row_place(self.rows[0]) };
                let mut finding = Finding::new(code, Severity::Note, Place { row: None, ..place }, text);
                finding.count = n;
                self.findings.push(finding);
            }
        };
        count(FindingCode::NumberAsText, as_text, format!("{as_text} cells hold numbers as text; they were read"));
        count(
            FindingCode::PercentFormat,
            percent,
            format!("{percent} cells are shown as percent; taken as stored, in {unit}"),
        );
        numbers
    }

    fn number(&self, cell: Cell<'_>, unit: Unit) -> Reading {
        match cell {
            Cell::Number(value) => Reading::Value(value),
            Cell::Percent(value) => Reading::Value(if unit.code() == "%" { value * 100.0 } else { value }),
            Cell::Text(text) if self.is_missing(text) => Reading::Unknown,
            Cell::Text(text) => match self.decimal.or_else(|| unneeded_mark(text)) {
                None => Reading::Unreadable(FindingCode::NumberAmbiguous, "can be read in two ways"),
                Some(mark) => match parse_number(text, mark) {
                    NumberText::Value(value) => Reading::Value(value),
                    NumberText::BelowLimit(_) => Reading::Below,
                    NumberText::Unreadable => Reading::Unreadable(FindingCode::NumberUnreadable, "is not a number"),
                },
            },
            Cell::Empty => Reading::Unknown,
            Cell::Error(_) => Reading::Unreadable(FindingCode::CellError, "holds an error of the spreadsheet"),
            Cell::NotCalculated => {
                Reading::Unreadable(FindingCode::FormulaNotCalculated, "holds a formula that was never calculated")
            }
            Cell::Merged => Reading::Unreadable(FindingCode::CellsMerged, "is merged with another cell"),
            _ => Reading::Unreadable(FindingCode::NumberUnreadable, "is not a number"),
        }
    }

    fn texts(&mut self, column: &Mapped, spec: Option<&'static ColumnSpec>) -> Vec<Option<String>> {
        let words: Option<&BTreeMap<String, String>> = spec.and_then(|spec| self.options.words.get(spec.name));
        let mut texts = Vec::with_capacity(self.rows.len());
        for (row, &at) in self.rows.iter().enumerate() {
            let cell = self.grid.cell(at, column.place);
            let text = cell_text(cell).filter(|text| !self.is_missing(text));
            let Some(spec) = spec else {
                texts.push(text);
                continue;
            };
            if let Some((code, why)) = broken(cell) {
                let text = format!("{} {why}", spec.name);
                self.report(code, Severity::Error, at, column, text, spec);
                self.table.worsen(row, RowState::Unreadable);
            }
            let text = text.map(|text| words.and_then(|words| words.get(&text)).cloned().unwrap_or(text));
            texts.push(match (text, spec.holds) {
                (Some(text), ColumnType::Word(allowed)) => self.word(&text, allowed, at, column, spec),
                (Some(text), ColumnType::Date) => {
                    if !is_day(&text) {
                        let say = "the day is not written as year-month-day; it is kept as text".to_owned();
                        self.report(FindingCode::DateUnreadable, Severity::Warning, at, column, say, spec);
                    }
                    Some(text)
                }
                (text, _) => text,
            });
        }
        texts
    }

    fn word(
        &mut self,
        text: &str,
        allowed: &'static [&'static str],
        at: usize,
        column: &Mapped,
        spec: &'static ColumnSpec,
    ) -> Option<String> {
        let plain = text.trim().to_lowercase().replace([' ', '-'], "_");
        if let Some(word) = allowed.iter().find(|word| **word == plain) {
            return Some((*word).to_owned());
        }
        let near = near(text, allowed.iter().copied());
        let did_you_mean =
            if near.is_empty() { String::new() } else { format!(" Did you mean {}?", near.join(" or ")) };
        let say = format!("not a word of {}; it counts as unknown.{did_you_mean}", spec.name);
        self.report(FindingCode::WordUnknown, Severity::Warning, at, column, say, spec);
        None
    }

    fn read_uncertainty(&mut self, column: &Mapped) {
        let Target::Uncertainty(spec, unit) = &column.target else { return };
        let ColumnType::Number { unit: own, .. } = spec.holds else { return };
        for (row, &at) in self.rows.iter().enumerate() {
            let u = match self.number(self.grid.cell(at, column.place), *unit) {
                Reading::Unknown => continue,
                Reading::Value(u) if u >= 0.0 => Unit::parse(own).and_then(|own| unit.convert_difference(u, own)).ok(),
                Reading::Value(_) | Reading::Below | Reading::Unreadable(..) => None,
            };
            match u.zip(self.table.column_mut(spec.name)) {
                Some((u, Column { values: Values::Numbers(numbers), .. })) => numbers.set_u(row, u),
                Some(_) => {}
                None => {
                    let text =
                        format!("the uncertainty of {} is not a positive number; it counts as unknown", spec.name);
                    self.report(FindingCode::UncertaintyInvalid, Severity::Warning, at, column, text, spec);
                }
            }
        }
    }

    fn refuse_ragged_rows(&mut self, header: usize) {
        let expected = self.grid.width(header);
        if self.grid.sheet().is_some() {
            return;
        }
        for (row, &at) in self.rows.iter().enumerate() {
            let found = self.grid.width(at);
            if found > expected {
                let text = format!("{found} cells below {expected} headers; the row is not assessed");
                let place = self.grid.row_place(at);
                self.findings.push(Finding::new(FindingCode::RowRagged, Severity::Error, place, text));
                self.table.worsen(row, RowState::Unreadable);
            }
        }
    }

    fn is_missing(&self, text: &str) -> bool {
        let text = text.trim();
        text.is_empty() || self.missing.iter().any(|word| word == text)
    }

    fn report(
        &mut self,
        code: FindingCode,
        severity: Severity,
        at: usize,
        column: &Mapped,
        text: String,
        spec: &ColumnSpec,
    ) {
        let place = Place { column: Some(column.header.clone()), ..self.grid.place(at, column.place) };
        let found = cell_text(self.grid.cell(at, column.place)).unwrap_or_default();
        let finding = Finding::new(code, severity, place, text).found(found).allowing(spec.allowed());
        self.findings.push(finding);
    }
}

/// A number without any mark reads the same either way.
fn unneeded_mark(text: &str) -> Option<Decimal> {
    (!text.contains(['.', ','])).then_some(Decimal::Point)
}

fn plain(value: f64, unit: &str) -> String {
    format!("{value} {unit}")
}

fn cell_text(cell: Cell<'_>) -> Option<String> {
    match cell {
        Cell::Text(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        Cell::Number(value) | Cell::Percent(value) => Some(value.to_string()),
        Cell::Date(text) | Cell::Error(text) => Some(text.to_owned()),
        Cell::Bool(value) => Some(value.to_string()),
        _ => None,
    }
}

fn broken(cell: Cell<'_>) -> Option<(FindingCode, &'static str)> {
    match cell {
        Cell::Error(_) => Some((FindingCode::CellError, "holds an error of the spreadsheet; the row is not assessed")),
        Cell::NotCalculated => Some((
            FindingCode::FormulaNotCalculated,
            "holds a formula that was never calculated; the row is not assessed",
        )),
        Cell::Merged => Some((FindingCode::CellsMerged, "is merged with another cell; the row is not assessed")),
        _ => None,
    }
}

/// Year-month-day with possible numbers, with or without a time behind it.
fn is_day(text: &str) -> bool {
    let day = text.split(['T', ' ']).next().unwrap_or_default();
    let mut parts = day.split('-').map(|part| (part.len(), part.parse::<u32>()));
    let mut next = |length: usize, range: std::ops::RangeInclusive<u32>| matches!(parts.next(), Some((found, Ok(number))) if found == length && range.contains(&number));
    next(4, 0..=9999) && next(2, 1..=12) && next(2, 1..=31)
}

/// Composes the names of samples where the study file asks for it, and checks that rows can be named at all.
fn name_rows(table: &mut Table, options: &TableOptions, findings: &mut Vec<Finding>) -> Result<()> {
    if table.kind() != TableKind::Samples {
        return Ok(());
    }
    if options.sample.is_empty() {
        let has_name = table.columns().iter().any(|column| column.name == "sample");
        let place =
            Place { file: table.origin().file.clone(), sheet: table.origin().sheet.clone(), ..Place::default() };
        return if has_name { Ok(()) } else { Err(no_name(table, place)) };
    }
    let mut names = vec![Some(String::new()); table.n_rows()];
    for part in &options.sample {
        let Some(column) = table.columns().iter().find(|column| column.name == *part || column.header == *part) else {
            let place =
                Place { file: table.origin().file.clone(), sheet: table.origin().sheet.clone(), ..Place::default() };
            return Err(Error::content(
                place,
                format!("the sample name is composed of \"{part}\", which is not a column"),
            ));
        };
        for (row, name) in names.iter_mut().enumerate() {
            let text = match &column.values {
                Values::Numbers(numbers) => numbers.value(row).map(|value| value.to_string()),
                Values::Texts(texts) => texts[row].clone(),
            };
            *name =
                name.take().zip(text).map(|(name, text)| if name.is_empty() { text } else { format!("{name}/{text}") });
        }
    }
    for (row, _) in names.iter().enumerate().filter(|(_, name)| name.is_none()) {
        let text =
            format!("a part of the composed name ({}) is empty; the row is not assessed", options.sample.join(", "));
        let place = Place { column: None, cell: None, ..table.place(row, "sample") };
        findings.push(Finding::new(FindingCode::SampleMissing, Severity::Error, place, text));
    }
    let place = table.columns().iter().find(|column| column.name == options.sample[0]).map_or(0, |column| column.place);
    let header = options.sample.join(" + ");
    table.push(Column { name: "sample".into(), header, place, values: Values::Texts(names) });
    Ok(())
}

fn no_name(table: &Table, place: Place) -> Error {
    let headers: Vec<&str> = table.columns().iter().map(|column| column.header.as_str()).collect();
    Error::content(place, format!("no column names the samples; found: {}", headers.join(" | "))).with_hint(
        "call the column with the names sample, map it under [samples.columns], or compose it: \
         sample = [\"core_id\", \"depth_from\"] under [samples] in woodstate.toml",
    )
}
