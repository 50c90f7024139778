//! How a person's file is to be read.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Decimal;

/// How one table is to be read; everything that is not given is found in the file and reported.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct TableOptions {
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row of the header, counted from 1 as in the file.
    pub header_row: Option<usize>,
    /// Encoding of a text file, such as `windows-1252`.
    pub encoding: Option<String>,
    /// Character between the cells of a text file.
    pub delimiter: Option<char>,
    /// Decimal mark of numbers in text.
    #[serde(deserialize_with = "decimal")]
    pub decimal: Option<Decimal>,
    /// Columns whose cells together name a sample.
    pub sample: Vec<String>,
    /// Header in the file, and the column and unit that it means.
    pub columns: BTreeMap<String, String>,
    /// For a column: word in the file, and the word that it means.
    pub words: BTreeMap<String, BTreeMap<String, String>>,
}

fn decimal<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<Decimal>, D::Error> {
    match char::deserialize(deserializer)? {
        '.' => Ok(Some(Decimal::Point)),
        ',' => Ok(Some(Decimal::Comma)),
        other => Err(serde::de::Error::custom(format!("decimal is \"{other}\"; allowed are \".\" and \",\""))),
    }
}

/// How a batch of up to three tables is to be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// The samples.
    pub samples: TableOptions,
    /// The timbers.
    pub timbers: TableOptions,
    /// The log.
    pub log: TableOptions,
    /// Words that mean unknown, besides the empty cell.
    pub missing: Vec<String>,
}
