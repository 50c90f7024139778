//! Columns of many values.

use std::fmt;

use crate::quantity::Unit;

use super::Texts;

/// A measured column: values with their uncertainty, in the unit of its [`ColumnSpec`](super::ColumnSpec).
///
/// Unknown values are kept as not-a-number inside and come out as `None`, never as a number.
#[derive(Clone, Default)]
pub struct Numbers {
    value: Vec<f64>,
    u: Vec<f64>,
}

/// Unknown equals unknown.
impl PartialEq for Numbers {
    fn eq(&self, other: &Self) -> bool {
        let is_same = |row| self.value(row) == other.value(row) && self.u(row) == other.u(row);
        self.len() == other.len() && (0..self.len()).all(is_same)
    }
}

impl fmt::Debug for Numbers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries((0..self.len()).map(|row| (self.value(row), self.u(row)))).finish()
    }
}

impl Numbers {
    /// A column of unknown values.
    #[must_use]
    pub fn unknown(rows: usize) -> Self {
        Self { value: vec![f64::NAN; rows], u: Vec::new() }
    }

    /// A column from values.
    #[must_use]
    pub fn from_values(values: impl IntoIterator<Item = Option<f64>>) -> Self {
        Self { value: values.into_iter().map(|value| value.unwrap_or(f64::NAN)).collect(), u: Vec::new() }
    }

    /// A column from values with their standard uncertainties.
    #[must_use]
    pub fn measured(values: impl IntoIterator<Item = (Option<f64>, Option<f64>)>) -> Self {
        let or_unknown = |number: Option<f64>| number.unwrap_or(f64::NAN);
        let (value, u) = values.into_iter().map(|(value, u)| (or_unknown(value), or_unknown(u))).unzip();
        Self { value, u }
    }

    /// The value of a row; `None` if unknown.
    #[must_use]
    pub fn value(&self, row: usize) -> Option<f64> {
        self.value.get(row).copied().filter(|value| value.is_finite())
    }

    /// The standard uncertainty that the file states for a row; `None` if it states none.
    #[must_use]
    pub fn u(&self, row: usize) -> Option<f64> {
        self.u.get(row).copied().filter(|u| u.is_finite())
    }

    /// The values, not a number where unknown.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.value
    }

    /// Whether the file states any uncertainty.
    #[must_use]
    pub fn has_u(&self) -> bool {
        !self.u.is_empty()
    }

    /// Sets a value.
    pub(super) fn set(&mut self, row: usize, value: f64) {
        self.value[row] = value;
    }

    /// Adds the rows of another column.
    pub(super) fn append(&mut self, other: &Self) {
        if !(self.u.is_empty() && other.u.is_empty()) {
            self.u.resize(self.value.len(), f64::NAN);
            self.u.extend_from_slice(&other.u);
            self.u.resize(self.value.len() + other.value.len(), f64::NAN);
        }
        self.value.extend_from_slice(&other.value);
    }

    /// Gives room that was not needed back.
    pub(super) fn shrink(&mut self) {
        self.value.shrink_to_fit();
        self.u.shrink_to_fit();
    }

    /// Sets an uncertainty.
    pub(super) fn set_u(&mut self, row: usize, u: f64) {
        self.u.resize(self.value.len(), f64::NAN);
        self.u[row] = u;
    }

    /// The same column with these rows alone.
    pub(super) fn keep(&self, rows: &[usize]) -> Self {
        let of = |numbers: &[f64]| rows.iter().map(|row| numbers.get(*row).copied().unwrap_or(f64::NAN)).collect();
        Self { value: of(&self.value), u: if self.u.is_empty() { Vec::new() } else { of(&self.u) } }
    }

    /// The number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.value.len()
    }

    /// Whether there are no rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.value.is_empty()
    }
}

/// What a column holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Measured numbers.
    Numbers(Numbers),
    /// Texts, words and days; `None` where the cell is empty.
    Texts(Texts),
}

impl Values {
    /// The same values of these rows alone.
    pub(super) fn keep(&self, rows: &[usize]) -> Self {
        match self {
            Self::Numbers(numbers) => Self::Numbers(numbers.keep(rows)),
            Self::Texts(texts) => Self::Texts(rows.iter().map(|row| texts.get(*row)).collect()),
        }
    }
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Name of the column: ours where it is used, otherwise the header, or nothing where the header is one of our names
    /// and the column is not used.
    pub name: String,
    /// Header as it stands in the file.
    pub header: String,
    /// Place among the columns of the file, from 0.
    pub place: usize,
    /// Its values.
    pub values: Values,
}

impl Column {
    /// The unit in square brackets at the end of the header, where there is one.
    #[must_use]
    pub fn unit_of_header(&self) -> Option<Unit> {
        let (_, rest) = self.header.rsplit_once('[')?;
        Unit::parse(rest.strip_suffix(']')?).ok()
    }
}
