//! From cells to typed values; a cell that cannot be used is named and kept as it stands.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::error::{Finding, FindingCode, Place, Severity};
use crate::quantity::{Unit, counted};

use super::assembly::Part;
use super::day::is_day;
use super::fault::{Fault, fault};
use super::mapping::{Mapped, Target};
use super::plan::{Mark, Plan, filled};
use super::texts::TextsBuilder;
use super::{
    Cell, Column, ColumnSpec, ColumnType, Decimal, Grid, NumberText, Numbers, RowState, TableKind, Texts, Values,
    parse_number,
};

/// Reads the columns of a grid into a part of a table.
pub(super) struct Reader<'a> {
    pub(super) grid: &'a Grid,
    pub(super) rows: &'a [usize],
    pub(super) mark: Mark,
    pub(super) plan: &'a Plan<'a>,
    pub(super) part: Part,
    /// What was found in the step that goes on.
    pub(super) findings: Vec<Finding>,
}

/// What a cell of a measured column is.
enum Reading {
    Unknown,
    Value(f64),
    Below,
    Unreadable(Fault),
}

impl<'a> Reader<'a> {
    /// Sets what was found in one step apart from what is found in the next.
    pub(super) fn end_step(&mut self) {
        self.part.findings.push(std::mem::take(&mut self.findings));
    }

    /// Reads a column of values, or one that travels along.
    pub(super) fn read(&mut self, column: &Mapped) {
        let (name, values) = match &column.target {
            Target::Value(spec, Some(unit)) => {
                (spec.name.to_owned(), Values::Numbers(self.numbers(column, spec, *unit)))
            }
            Target::Value(spec, None) => (spec.name.to_owned(), Values::Texts(self.texts(column, Some(spec)))),
            Target::Other if column.header.is_empty() => return,
            // A column that is not used keeps its header and loses a name that a formula would find.
            Target::Other if self.part.table.kind().column(&column.header).is_some() => {
                (String::new(), Values::Texts(self.texts(column, None)))
            }
            Target::Other => (column.header.clone(), Values::Texts(self.texts(column, None))),
            Target::Uncertainty(..) => return,
        };
        self.part.table.push(Column { name, header: column.header.clone(), place: column.place, values });
    }

    fn numbers(&mut self, column: &Mapped, spec: &'static ColumnSpec, unit: Unit) -> Numbers {
        let ColumnType::Number { unit: own, low, high } = spec.holds else { return Numbers::default() };
        let mut numbers = Numbers::unknown(self.rows.len());
        let (mut as_text, mut percent) = (0, 0);
        let is_sheet = self.grid.sheet().is_some();
        let own_unit = Unit::parse(own).ok();
        for (row, &at) in self.rows.iter().enumerate() {
            let cell = self.grid.cell(at, column.place);
            match self.number(cell, unit) {
                Reading::Unknown => {}
                Reading::Value(read) => {
                    as_text += usize::from(is_sheet && matches!(cell, Cell::Text(_)));
                    percent += usize::from(matches!(cell, Cell::Percent(_)) && unit.code() != "%");
                    let value = match own_unit {
                        Some(own) if own == unit => read,
                        _ => own_unit.and_then(|own| unit.convert(read, own).ok()).unwrap_or(f64::NAN),
                    };
                    if value >= low && value <= high {
                        numbers.set(row, value);
                    } else {
                        let typed = match cell {
                            Cell::Percent(_) => Cow::Owned(read.to_string()),
                            cell => cell_text(cell).unwrap_or_default(),
                        };
                        let text = format!("{typed} {unit} is impossible for {}; the value is not used", spec.name);
                        self.report(FindingCode::ValueOutOfRange, Severity::Warning, at, column, text, spec.allowed());
                        self.keep_with_unit(row, spec.name, &typed, unit, own);
                        self.part.table.worsen(row, RowState::Partial);
                    }
                }
                Reading::Below => {
                    let text = format!("{} is given as less than a limit; its value is unknown", spec.name);
                    self.report(FindingCode::ValueBelowLimit, Severity::Warning, at, column, text, spec.allowed());
                    self.keep_with_unit(row, spec.name, &cell_text(cell).unwrap_or_default(), unit, own);
                    self.part.table.worsen(row, RowState::Partial);
                }
                Reading::Unreadable(Fault { code, why, cure }) => {
                    let text = format!("{} {why}; the row is not assessed", spec.name);
                    self.report(code, Severity::Error, at, column, text, spec.allowed());
                    if let Some((finding, cure)) = self.findings.last_mut().zip(cure) {
                        cure.clone_into(&mut finding.cure);
                    }
                    self.part.table.keep_unused(row, spec.name, cell_text(cell).unwrap_or_default().into_owned());
                    self.part.table.worsen(row, RowState::Unreadable);
                }
            }
        }
        self.count(column, FindingCode::NumberAsText, as_text, |cells| {
            format!("numbers are stored as text in {cells}; they were read")
        });
        self.count(column, FindingCode::PercentFormat, percent, |cells| {
            format!("{cells} shown as percent; taken as stored, in {unit}")
        });
        numbers
    }

    /// A cell out of use in the echo of the input, which has our unit in its header.
    fn keep_with_unit(&mut self, row: usize, name: &str, typed: &str, unit: Unit, own: &str) {
        let text = if unit.code() == own { typed.to_owned() } else { format!("{typed} {unit}") };
        self.part.table.keep_unused(row, name, text);
    }

    /// One finding for many cells of a column.
    fn count(&mut self, column: &Mapped, code: FindingCode, n: usize, text: impl Fn(String) -> String) {
        if n == 0 {
            return;
        }
        let first = self.rows.first().copied().unwrap_or_default();
        let place = Place { column: Some(column.header.clone()), row: None, ..self.grid.row_place(first) };
        let mut finding = Finding::new(code, Severity::Note, place, text(counted(n, "cell")));
        finding.count = n;
        self.findings.push(finding);
    }

    fn number(&mut self, cell: Cell<'_>, unit: Unit) -> Reading {
        if let Cell::Text(text) = cell {
            self.part.evidence.look(text);
        }
        match cell {
            Cell::Number(value) => Reading::Value(value),
            Cell::Percent(value) => {
                let is_percent = unit.code() == "%";
                let read =
                    if is_percent { Unit::parse("1").and_then(|one| one.convert(value, unit)).ok() } else { None };
                Reading::Value(read.unwrap_or(value))
            }
            Cell::Text(text) if self.is_missing(text) => Reading::Unknown,
            Cell::Text(text) => match self.mark.or_else(|why| unneeded_mark(text).ok_or(why)) {
                Err(why) => Reading::Unreadable(Fault { code: FindingCode::NumberAmbiguous, why, cure: None }),
                Ok(mark) => match parse_number(text, mark) {
                    NumberText::Value(value) => Reading::Value(value),
                    NumberText::BelowLimit(_) => Reading::Below,
                    NumberText::Unreadable => Reading::Unreadable(fault(text, mark)),
                },
            },
            Cell::Empty => Reading::Unknown,
            cell => Reading::Unreadable(broken(cell).unwrap_or(Fault::NOT_A_NUMBER)),
        }
    }

    fn texts(&mut self, column: &Mapped, spec: Option<&'static ColumnSpec>) -> Texts {
        let (grid, options) = (self.grid, self.plan.options);
        let words: Option<&BTreeMap<String, String>> = spec.and_then(|spec| options.words.get(spec.name));
        // Texts of word columns that were understood; a batch has few.
        let mut known: BTreeMap<&'a str, &'static str> = BTreeMap::new();
        let mut texts = TextsBuilder::default();
        for (row, &at) in self.rows.iter().enumerate() {
            let cell = grid.cell(at, column.place);
            let typed = cell_text(cell).filter(|text| spec.is_none() || !self.is_missing(text));
            let Some(spec) = spec else {
                texts.push(typed.as_deref());
                continue;
            };
            if let Some(Fault { code, why, .. }) = broken(cell) {
                let (severity, state, follows) = if self.is_name(spec) {
                    (Severity::Error, RowState::Unreadable, "the row is not assessed")
                } else {
                    (Severity::Warning, RowState::Partial, "its value is unknown")
                };
                let text = format!("{} {why}; {follows}", spec.name);
                self.report(code, severity, at, column, text, spec.allowed());
                self.part.table.worsen(row, state);
                self.part.table.keep_unused(row, spec.name, cell_text(cell).unwrap_or_default().into_owned());
                texts.push(None);
                continue;
            }
            let text =
                typed.as_deref().map(|text| words.and_then(|words| words.get(text)).map_or(text, String::as_str));
            let used = match (text, spec.holds) {
                (Some(text), ColumnType::Word(_)) => match cell {
                    Cell::Text(raw) => known.get(raw).copied().or_else(|| {
                        let word = self.word(text, (row, at), column, spec)?;
                        known.insert(raw, word);
                        Some(word)
                    }),
                    _ => self.word(text, (row, at), column, spec),
                },
                (Some(text), ColumnType::Date) => {
                    // A time may stand behind the day.
                    if !is_day(text.split(['T', ' ']).next().unwrap_or_default()) {
                        let say = "the day is not written as year-month-day; it is kept as text".to_owned();
                        let code = FindingCode::DateUnreadable;
                        self.report(code, Severity::Warning, at, column, say, spec.allowed());
                    }
                    Some(text)
                }
                (text, _) => text,
            };
            if let (None, Some(typed)) = (used, &typed) {
                self.part.table.keep_unused(row, spec.name, typed.clone().into_owned());
            }
            texts.push(used);
        }
        texts.finish()
    }

    /// Whether a column tells one piece from another, so that no row can do without it.
    fn is_name(&self, spec: &ColumnSpec) -> bool {
        let is_sample = matches!(spec.name, "sample" | "replicate") && self.part.table.kind() == TableKind::Samples;
        is_sample || self.plan.options.sample.iter().any(|part| part == spec.name)
    }

    fn word(
        &mut self,
        text: &str,
        (row, at): (usize, usize),
        column: &Mapped,
        spec: &'static ColumnSpec,
    ) -> Option<&'static str> {
        let near = match spec.word_of(text) {
            Ok(word) => return Some(word),
            Err(near) => near,
        };
        let did_you_mean =
            if near.is_empty() { String::new() } else { format!(". Did you mean {}?", near.join(" or ")) };
        let say = format!("not a word of {}; it counts as unknown{did_you_mean}", spec.name);
        self.report(FindingCode::WordUnknown, Severity::Warning, at, column, say, spec.allowed());
        // Somebody wrote something about the condition, and it was not understood.
        if spec.group == "condition" {
            self.part.table.worsen(row, RowState::Partial);
        }
        None
    }

    /// Reads a column of uncertainties; the values have been read.
    pub(super) fn read_uncertainty(&mut self, column: &Mapped) {
        let Target::Uncertainty(spec, unit) = &column.target else { return };
        let ColumnType::Number { unit: own, .. } = spec.holds else { return };
        let own_unit = Unit::parse(own).ok();
        let mut numbers = match self.part.table.column_mut(spec.name).map(|column| &mut column.values) {
            Some(Values::Numbers(numbers)) => Some(std::mem::take(numbers)),
            _ => None,
        };
        for (row, &at) in self.rows.iter().enumerate() {
            let cell = self.grid.cell(at, column.place);
            let u = match self.number(cell, *unit) {
                Reading::Unknown => continue,
                Reading::Value(u) if u >= 0.0 => own_unit.and_then(|own| unit.convert_difference(u, own).ok()),
                Reading::Value(_) | Reading::Below | Reading::Unreadable(_) => None,
            };
            if let Some((u, numbers)) = u.zip(numbers.as_mut()) {
                numbers.set_u(row, u);
                continue;
            }
            let text = format!("the uncertainty of {} is not a positive number; it counts as unknown", spec.name);
            let allowed = format!("a number of 0 or more, in {unit}");
            self.report(FindingCode::UncertaintyInvalid, Severity::Warning, at, column, text, allowed);
            let name = format!("u({})", spec.name);
            self.keep_with_unit(row, &name, &cell_text(cell).unwrap_or_default(), *unit, own);
        }
        let column = self.part.table.column_mut(spec.name);
        if let Some((Column { values: Values::Numbers(mine), .. }, numbers)) = column.zip(numbers) {
            *mine = numbers;
        }
    }

    /// Rows of a text with more cells than headers; empty cells at the end do not count.
    pub(super) fn refuse_ragged_rows(&mut self, expected: usize) {
        if self.grid.sheet().is_some() {
            return;
        }
        for (row, &at) in self.rows.iter().enumerate() {
            let found = if self.grid.width(at) > expected { filled(self.grid, at) } else { 0 };
            if found > expected {
                let text = format!(
                    "the row has {} and the table {}; it is not assessed",
                    counted(found, "cell"),
                    counted(expected, "header")
                );
                let place = self.grid.row_place(at);
                self.findings.push(Finding::new(FindingCode::RowRagged, Severity::Error, place, text));
                self.part.table.worsen(row, RowState::Unreadable);
            }
        }
    }

    fn is_missing(&self, text: &str) -> bool {
        let text = trimmed(text);
        text.is_empty() || self.plan.missing.iter().any(|word| word == text)
    }

    fn report(
        &mut self,
        code: FindingCode,
        severity: Severity,
        at: usize,
        column: &Mapped,
        text: String,
        allowed: String,
    ) {
        let place = Place { column: Some(column.header.clone()), ..self.grid.place(at, column.place) };
        let found = cell_text(self.grid.cell(at, column.place)).unwrap_or_default();
        self.findings.push(Finding::new(code, severity, place, text).found(found).allowing(allowed));
    }
}

/// A number without any mark reads the same either way, and a word is none.
fn unneeded_mark(text: &str) -> Option<Decimal> {
    let is_ambiguous = text.contains(['.', ',']) && text.contains(|c: char| c.is_ascii_digit());
    (!is_ambiguous).then_some(Decimal::Point)
}

/// A text without white space around it; most texts have none, which their ends show.
pub(super) fn trimmed(text: &str) -> &str {
    match text.as_bytes() {
        [only] if only.is_ascii_graphic() => text,
        [first, .., last] if first.is_ascii_graphic() && last.is_ascii_graphic() => text,
        _ => text.trim(),
    }
}

fn cell_text(cell: Cell<'_>) -> Option<Cow<'_, str>> {
    match cell {
        Cell::Text(text) => Some(trimmed(text)).filter(|text| !text.is_empty()).map(Cow::Borrowed),
        Cell::Number(value) | Cell::Percent(value) => Some(Cow::Owned(value.to_string())),
        Cell::Date(text) | Cell::Error(text) => Some(Cow::Borrowed(text)),
        Cell::Bool(value) => Some(Cow::Owned(value.to_string())),
        _ => None,
    }
}

fn broken(cell: Cell<'_>) -> Option<Fault> {
    let (code, why) = match cell {
        Cell::Error(_) => (FindingCode::CellError, "holds an error of the spreadsheet"),
        Cell::NotCalculated => (FindingCode::FormulaNotCalculated, "holds a formula that was never calculated"),
        Cell::Merged => (FindingCode::CellsMerged, "is merged with another cell"),
        _ => return None,
    };
    Some(Fault { code, why, cure: None })
}
