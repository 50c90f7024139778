//! Columns of another table beside those of this one, row by row of the same name.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result, near};

use super::table::NO_PLACE;
use super::{Column, RowState, Table};

/// What a join came to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Joined {
    /// Columns that were taken over.
    pub columns: Vec<String>,
    /// Columns that both tables have, which were left as they are here.
    pub kept: Vec<String>,
    /// Rows that found their row in the other table.
    pub matched: usize,
    /// Names of rows that did not; their new cells are unknown.
    pub without: Vec<String>,
    /// Names of rows of the other table that no row here has.
    pub left_over: Vec<String>,
}

impl Table {
    /// The table with the columns of another one, by a column of texts that both have. Every row stays, in its order; a row
    /// that the other table lacks has unknown cells. Names must be equal to the letter.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] for a column that is missing or holds no texts; [`ErrorKind::Content`] at a row of the other table
    /// whose name stands there twice.
    ///
    /// # Example
    /// ```
    /// use woodstate::table::{Numbers, Table, TableKind, Values};
    /// let names = |names: &[&str]| Values::Texts(names.iter().map(|name| Some(*name)).collect());
    /// let ash = Values::Numbers(Numbers::from_values([Some(2.1), Some(3.5)]));
    /// let table = Table::from_columns(TableKind::Samples, vec![("sample".into(), names(&["K1", "K2"]))])?;
    /// let other = vec![("sample".into(), names(&["K2", "K3"])), ("ash".into(), ash)];
    /// let (both, joined) = table.joined(&Table::from_columns(TableKind::Samples, other)?, "sample")?;
    /// assert_eq!((both.number("ash", 0), both.number("ash", 1)), (None, Some(2.1)));
    /// assert_eq!((joined.matched, joined.without, joined.left_over), (1, vec!["K1".to_owned()], vec!["K3".to_owned()]));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn joined(&self, other: &Self, on: &str) -> Result<(Self, Joined)> {
        let (mine, theirs) = (names(self, on)?, names(other, on)?);
        let mut rows: BTreeMap<&str, usize> = BTreeMap::new();
        for (row, name) in theirs.iter().enumerate() {
            let Some(name) = name else { continue };
            if let Some(first) = rows.insert(name, row) {
                let text = format!(
                    "{name} stands in row {} too, so that nobody knows which one is meant",
                    other.row_number(first)
                );
                return Err(Error::content(other.place(row, on), text));
            }
        }
        let found: Vec<Option<usize>> = mine.iter().map(|name| rows.get(name.as_deref()?).copied()).collect();
        let places: Vec<usize> = found.iter().map(|row| row.unwrap_or(usize::MAX)).collect();
        let mut table = self.clone();
        let mut joined = Joined { matched: found.iter().flatten().count(), ..Joined::default() };
        for column in other.columns().iter().filter(|column| !column.name.is_empty() && column.name != on) {
            if self.columns().iter().any(|own| own.name == column.name) {
                joined.kept.push(column.name.clone());
                continue;
            }
            joined.columns.push(column.name.clone());
            table.push(Column { place: NO_PLACE, values: column.values.keep(&places), ..column.clone() });
        }
        for (row, from) in found.iter().enumerate() {
            let Some(from) = from else { continue };
            for column in &joined.columns {
                if let Some(text) = other.unused(*from, column) {
                    table.keep_unused(row, column.clone(), text.to_owned());
                    table.worsen(row, other.state(*from).max(RowState::Partial));
                }
            }
        }
        let is_used: std::collections::BTreeSet<usize> = found.iter().flatten().copied().collect();
        joined.without =
            mine.iter().zip(&found).filter(|(_, row)| row.is_none()).filter_map(|(name, _)| name.clone()).collect();
        joined.left_over = theirs
            .iter()
            .enumerate()
            .filter(|(row, _)| !is_used.contains(row))
            .filter_map(|(_, name)| name.clone())
            .collect();
        let mut origin = self.origin().clone();
        let file = &other.origin().file;
        origin.reading.push(format!("joined with {} of {file} by {on}", joined.columns.join(", ")));
        table.set_origin(origin);
        Ok((table, joined))
    }
}

/// The names of the rows.
fn names(table: &Table, on: &str) -> Result<Vec<Option<String>>> {
    match table.texts(on) {
        Some(texts) => Ok(texts.iter().map(|text| text.map(str::to_owned)).collect()),
        None => {
            let all =
                || table.columns().iter().map(|column| column.name.as_str()).filter(|name| table.texts(name).is_some());
            let nearest = near(on, all());
            let allowed = if nearest.is_empty() {
                all().map(str::to_owned).collect()
            } else {
                nearest.into_iter().map(str::to_owned).collect()
            };
            Err(Error::new(ErrorKind::Name {
                what: "column of texts that both tables have",
                found: on.to_owned(),
                allowed,
            }))
        }
    }
}
