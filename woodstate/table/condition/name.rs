//! The names that a condition may use, and what each holds.

use crate::error::near;
use crate::quantity::Quantity;
use crate::table::{ColumnSpec, ColumnType, Table, Values};

/// What a name of a condition holds.
#[derive(Debug, Clone, PartialEq)]
pub enum NameKind {
    /// Numbers in a unit, as its UCUM code.
    Number {
        /// The unit.
        unit: &'static str,
    },
    /// Any text; case and spaces do not matter.
    Text,
    /// One of these words.
    Words(Vec<String>),
    /// Days.
    Day,
    /// Woods, matched through the list of taxa.
    Taxon,
}

/// A name and what it holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Name {
    pub(super) name: String,
    pub(super) kind: NameKind,
}

/// The names that a condition may use.
///
/// # Example
/// ```
/// use woodstate::table::{Condition, Names, Numbers, Table, TableKind, Values};
/// let depth = Values::Numbers(Numbers::from_values([Some(5.0)]));
/// let table = Table::from_columns(TableKind::Samples, vec![("depth_from".into(), depth)])?;
/// let error = Condition::parse("depth_form < 2 cm", &Names::of_table(&table)).unwrap_err();
/// assert!(error.to_string().contains("did you mean depth_from?"));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Names {
    known: Vec<Name>,
    refused: Vec<(String, String)>,
}

impl Names {
    /// Names of a table: our columns, whether the file has them or not, and the columns that travel along. A result that
    /// the file does not state is refused: it is not there before `assess`.
    #[must_use]
    pub fn of_table(table: &Table) -> Self {
        let mut names = Self::default();
        let specs = table.kind().columns().chain(table.kind().guests());
        for spec in specs {
            let is_there = || table.columns().iter().any(|column| column.name == spec.name);
            if Quantity::of_name(spec.name).is_some() && !is_there() {
                names = names.refusing(spec.name, "is a result, not a measurement; results exist after assess");
            } else {
                names = names.with(spec.name, NameKind::of(spec));
            }
        }
        for column in table.columns().iter().filter(|column| !column.name.is_empty()) {
            if table.kind().column(&column.name).is_none() {
                let unit = column.unit_of_header().filter(|_| matches!(column.values, Values::Numbers(_)));
                let kind = unit.map_or(NameKind::Text, |unit| NameKind::Number { unit: unit.code() });
                names = names.with(column.name.clone(), kind);
            }
        }
        names
    }

    /// One name more; an earlier one of the same name gives way.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, kind: NameKind) -> Self {
        let name = name.into();
        self.refused.retain(|(other, _)| *other != name);
        self.known.retain(|other| other.name != name);
        self.known.push(Name { name, kind });
        self
    }

    /// A name that is known and cannot be used here, with the reason: what follows the name in a sentence.
    #[must_use]
    pub fn refusing(mut self, name: impl Into<String>, why: impl Into<String>) -> Self {
        let name = name.into();
        self.known.retain(|other| other.name != name);
        self.refused.push((name, why.into()));
        self
    }

    /// All names that may be used.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        self.known.iter().map(|known| known.name.as_str())
    }

    /// What a name holds; ignoring case where no name is written just so.
    ///
    /// # Errors
    /// A sentence: why the name cannot be used, or which names are near.
    pub fn kind(&self, name: &str) -> Result<(&str, &NameKind), String> {
        self.find(name).map(|found| (found.name.as_str(), &found.kind))
    }

    pub(super) fn find(&self, name: &str) -> Result<&Name, String> {
        let exact = self.known.iter().find(|known| known.name == name);
        let found = exact.or_else(|| self.known.iter().find(|known| known.name.to_lowercase() == name.to_lowercase()));
        if let Some(found) = found {
            return Ok(found);
        }
        if let Some((name, why)) = self.refused.iter().find(|(refused, _)| refused.eq_ignore_ascii_case(name)) {
            return Err(format!("{name} {why}"));
        }
        let all = self.known.iter().map(|known| known.name.as_str()).chain(self.refused.iter().map(|r| r.0.as_str()));
        let near: Vec<String> = near(name, all).into_iter().map(written).collect();
        let near = if near.is_empty() { String::new() } else { format!("; did you mean {}?", near.join(" or ")) };
        Err(format!("there is no column \"{name}\"{near}"))
    }
}

/// A name as a condition writes it.
pub(super) fn written(name: &str) -> String {
    let is_plain = name.chars().all(|c| c.is_alphanumeric() || c == '_') && !name.starts_with(|c: char| c.is_numeric());
    if is_plain { name.to_owned() } else { format!("`{name}`") }
}

/// A comparison that a column could have.
pub(super) fn example(name: &Name) -> String {
    let column = written(&name.name);
    match &name.kind {
        NameKind::Number { unit } => format!("{column} < 20 {unit}"),
        NameKind::Text => format!("{column} == '...'"),
        NameKind::Words(words) => format!("{column} == '{}'", words.first().map_or("...", String::as_str)),
        NameKind::Day => format!("{column} >= '2024-05-01'"),
        NameKind::Taxon => format!("{column} == 'oak'"),
    }
}

impl NameKind {
    fn of(spec: &ColumnSpec) -> Self {
        match spec.holds {
            _ if spec.name == "taxon" => Self::Taxon,
            ColumnType::Text => Self::Text,
            ColumnType::Word(words) => Self::Words(words.iter().map(|word| (*word).to_owned()).collect()),
            ColumnType::Date => Self::Day,
            ColumnType::Number { unit, .. } => Self::Number { unit },
        }
    }
}
