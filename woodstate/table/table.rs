//! A table that was read: our own columns with units and uncertainty, and every row of the file.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::error::Place;
use crate::quantity::Unit;

use super::{Choice, Column, Numbers, TableKind, Texts, Values};

/// Place of a column that stands in another file.
pub(super) const NO_PLACE: usize = usize::MAX;

/// How a table was read, for the report.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Origin {
    /// File as it was named.
    pub file: String,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// SHA-256 of the file, as hexadecimal digits.
    pub sha256: String,
    /// Row of the header, counted from 1; 0 for a data frame, which has none.
    pub header_row: usize,
    /// What was found or given: encoding, delimiter, decimal mark, in words.
    pub reading: Vec<String>,
}

/// What reading a row came to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowState {
    /// Every cell could be read.
    #[default]
    Ready,
    /// A value was impossible and is not used.
    Partial,
    /// A cell could not be read, so the row is not assessed.
    Unreadable,
}

/// A table that was read. No row of the file is left out, except by a [`Choice`] that counts it.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    kind: TableKind,
    origin: Origin,
    /// Shared between copies, which differ in their rows or in nothing.
    columns: Arc<Vec<Column>>,
    row_numbers: Vec<usize>,
    states: Vec<RowState>,
    unused: BTreeMap<usize, BTreeMap<String, String>>,
    choices: Vec<Choice>,
}

impl Table {
    /// An empty table for rows with these numbers.
    pub(super) fn new(kind: TableKind, origin: Origin, row_numbers: Vec<usize>) -> Self {
        let states = vec![RowState::Ready; row_numbers.len()];
        Self {
            kind,
            origin,
            columns: Arc::default(),
            row_numbers,
            states,
            unused: BTreeMap::new(),
            choices: Vec::new(),
        }
    }

    /// A table from columns made in a program; rows are numbered from 1.
    ///
    /// # Errors
    /// [`ErrorKind::Shape`](crate::error::ErrorKind::Shape) if the columns differ in length.
    pub fn from_columns(kind: TableKind, columns: Vec<(String, Values)>) -> crate::error::Result<Self> {
        let length = |values: &Values| match values {
            Values::Numbers(numbers) => numbers.len(),
            Values::Texts(texts) => texts.len(),
        };
        let rows = columns.first().map_or(0, |(_, values)| length(values));
        let mut table = Self::new(kind, Origin { file: "(program)".into(), ..Origin::default() }, (1..=rows).collect());
        for (place, (name, values)) in columns.into_iter().enumerate() {
            let found = length(&values);
            if found != rows {
                let kind = crate::error::ErrorKind::Shape { what: "a column", found, expected: rows };
                return Err(crate::error::Error::new(kind));
            }
            table.push(Column { header: name.clone(), name, place, values });
        }
        Ok(table)
    }

    /// Which of the three tables this is.
    #[must_use]
    pub fn kind(&self) -> TableKind {
        self.kind
    }

    /// How it was read.
    #[must_use]
    pub fn origin(&self) -> &Origin {
        &self.origin
    }

    /// The number of rows.
    #[must_use]
    pub fn n_rows(&self) -> usize {
        self.row_numbers.len()
    }

    /// Number of a row as a person counts in the file.
    #[must_use]
    pub fn row_number(&self, row: usize) -> usize {
        self.row_numbers.get(row).copied().unwrap_or_default()
    }

    /// What reading a row came to.
    #[must_use]
    pub fn state(&self, row: usize) -> RowState {
        self.states.get(row).copied().unwrap_or_default()
    }

    /// The columns in the order of the file; unknown ones among them.
    #[must_use]
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// A measured column.
    #[must_use]
    pub fn numbers(&self, name: &str) -> Option<&Numbers> {
        self.columns.iter().find(|column| column.name == name).and_then(|column| match &column.values {
            Values::Numbers(numbers) => Some(numbers),
            Values::Texts(_) => None,
        })
    }

    /// A column of texts, words or days; look it up once where many rows are read.
    #[must_use]
    pub fn texts(&self, name: &str) -> Option<&Texts> {
        self.columns.iter().find(|column| column.name == name).and_then(|column| match &column.values {
            Values::Texts(texts) => Some(texts),
            Values::Numbers(_) => None,
        })
    }

    /// A measured value; `None` if the column is missing or the cell unknown.
    #[must_use]
    pub fn number(&self, name: &str, row: usize) -> Option<f64> {
        self.numbers(name)?.value(row)
    }

    /// A text; `None` if the column is missing or the cell empty.
    #[must_use]
    pub fn text(&self, name: &str, row: usize) -> Option<&str> {
        self.texts(name)?.get(row)
    }

    /// A cell that could not be used, as it stands in the file, with its unit where that is not the one of the column.
    /// `column` is `u(NAME)` for a cell of uncertainties.
    #[must_use]
    pub fn unused(&self, row: usize, column: &str) -> Option<&str> {
        self.unused.get(&row)?.get(column).map(String::as_str)
    }

    /// Where a value stands in the file.
    #[must_use]
    pub fn place(&self, row: usize, name: &str) -> Place {
        let column = self.columns.iter().find(|column| column.name == name);
        let number = self.row_number(row);
        Place {
            file: self.origin.file.clone(),
            sheet: self.origin.sheet.clone(),
            row: Some(number),
            // A data frame has no row of headers, and its cells have no names.
            cell: column
                .filter(|column| self.origin.header_row > 0 && column.place != NO_PLACE)
                .map(|column| super::cell_name(number, column.place)),
            column: column.map(|column| column.header.clone()),
        }
    }

    /// Adds the rows of another part and gives its columns back, which are the caller's to add.
    pub(super) fn append(&mut self, part: Self) -> Vec<Column> {
        let base = self.n_rows();
        self.row_numbers.extend(part.row_numbers);
        self.states.extend(part.states);
        self.unused.extend(part.unused.into_iter().map(|(row, cells)| (base + row, cells)));
        Arc::unwrap_or_clone(part.columns)
    }

    pub(super) fn set_origin(&mut self, origin: Origin) {
        self.origin = origin;
    }

    pub(super) fn columns_mut(&mut self) -> &mut [Column] {
        Arc::<Vec<Column>>::make_mut(&mut self.columns)
    }

    /// The table with these rows alone; they keep their numbers. `choice` says why the others were left out.
    #[must_use]
    pub fn keep(&self, rows: &[usize], choice: Choice) -> Self {
        let rows: Vec<usize> = rows.iter().copied().filter(|row| *row < self.n_rows()).collect();
        let columns =
            self.columns.iter().map(|column| Column { values: column.values.keep(&rows), ..column.clone() }).collect();
        let unused = rows.iter().enumerate().filter_map(|(place, row)| Some((place, self.unused.get(row)?.clone())));
        Self {
            kind: self.kind,
            origin: self.origin.clone(),
            columns: Arc::new(columns),
            row_numbers: rows.iter().map(|row| self.row_number(*row)).collect(),
            states: rows.iter().map(|row| self.state(*row)).collect(),
            unused: unused.collect(),
            choices: self.choices.iter().cloned().chain([choice]).collect(),
        }
    }

    /// The table with a column of numbers more, which the file does not have.
    ///
    /// # Errors
    /// [`ErrorKind::Shape`](crate::error::ErrorKind::Shape) for more or fewer rows,
    /// [`ErrorKind::Name`](crate::error::ErrorKind::Name) for a name that a column has already or that means something else.
    pub fn with_numbers(&self, name: &str, unit: Unit, numbers: Numbers) -> crate::error::Result<Self> {
        let found = numbers.len();
        if found != self.n_rows() {
            let kind = crate::error::ErrorKind::Shape { what: "a column", found, expected: self.n_rows() };
            return Err(crate::error::Error::new(kind));
        }
        let is_taken = self.kind.column(name).is_some() || self.columns.iter().any(|column| column.name == name);
        if is_taken {
            let allowed = vec!["one that no column has".to_owned()];
            let kind = crate::error::ErrorKind::Name { what: "name of a new column", found: name.to_owned(), allowed };
            return Err(crate::error::Error::new(kind));
        }
        let mut table = self.clone();
        let (header, place) = (format!("{name} [{unit}]"), table.columns.len());
        table.push(Column { name: name.to_owned(), header, place, values: Values::Numbers(numbers) });
        Ok(table)
    }

    /// The same rows in another order; they keep their numbers. A place that is missing or named twice leaves the table as
    /// it is.
    #[must_use]
    pub fn ordered(&self, rows: &[usize]) -> Self {
        let places: std::collections::BTreeSet<usize> = rows.iter().copied().collect();
        if rows.len() != self.n_rows() || !places.into_iter().eq(0..self.n_rows()) {
            return self.clone();
        }
        let choice = Choice::default();
        Self { choices: self.choices.clone(), ..self.keep(rows, choice) }
    }

    /// The choices of rows that were made, the first one first.
    #[must_use]
    pub fn choices(&self) -> &[Choice] {
        &self.choices
    }

    /// Rows of the file, those that a choice left out among them.
    #[must_use]
    pub fn n_rows_in_file(&self) -> usize {
        self.choices.first().map_or(self.n_rows(), |choice| choice.rows)
    }

    pub(super) fn push(&mut self, column: Column) {
        Arc::make_mut(&mut self.columns).push(column);
    }

    pub(super) fn keep_unused(&mut self, row: usize, column: impl Into<String>, text: String) {
        if !text.is_empty() {
            self.unused.entry(row).or_default().insert(column.into(), text);
        }
    }

    /// Takes the name of a column away: it travels along and no formula finds it.
    pub(super) fn unname(&mut self, name: &str) {
        for column in self.columns_mut().iter_mut().filter(|column| column.name == name) {
            column.name.clear();
        }
    }

    pub(super) fn column_mut(&mut self, name: &str) -> Option<&mut Column> {
        self.columns_mut().iter_mut().find(|column| column.name == name)
    }

    pub(super) fn worsen(&mut self, row: usize, state: RowState) {
        if let Some(mine) = self.states.get_mut(row) {
            *mine = state.max(*mine);
        }
    }
}
