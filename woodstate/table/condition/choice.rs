//! Which rows a condition keeps, and what became of the others.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

/// What a name holds in one row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Datum<'a> {
    /// Nobody measured or wrote it.
    Unknown,
    /// A number in the unit of the name.
    Number(f64),
    /// A word, a name, a day or a wood.
    Text(&'a str),
}

/// How many rows a column left undecided.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct UnknownIn {
    /// The column.
    pub column: String,
    /// Rows that were left out and in which it is unknown, or too vague to compare.
    pub rows: usize,
}

/// A word and how often it is there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WordCount {
    /// The word as it stands there.
    pub word: String,
    /// Rows.
    pub rows: usize,
}

/// What a column holds, said where a condition keeps nothing.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Seen {
    /// The column.
    pub column: String,
    /// Its unit; `None` for words.
    pub unit: Option<&'static str>,
    /// Smallest and largest number; `None` for words, and where nothing is known.
    pub range: Option<[f64; 2]>,
    /// The commonest words; empty for numbers.
    pub words: Vec<WordCount>,
    /// How many other words there are.
    pub more_words: usize,
    /// Rows in which it is unknown.
    pub unknown: usize,
}

/// What a condition kept. `rows` = `kept` + `left_out` + `unknown`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Choice {
    /// The condition as it was written.
    pub condition: String,
    /// What was chosen from: `row` or `piece`.
    pub of: &'static str,
    /// How many there were.
    pub rows: usize,
    /// How many fulfil the condition.
    pub kept: usize,
    /// How many do not.
    pub left_out: usize,
    /// How many were left out because it is unknown whether they do.
    pub unknown: usize,
    /// Which columns were unknown in those.
    pub unknown_in: Vec<UnknownIn>,
    /// What the columns hold; empty where something was kept.
    pub seen: Vec<Seen>,
}

/// The commonest words that are listed.
const LISTED: usize = 8;

impl Seen {
    pub(super) fn of<'a>(column: &str, unit: Option<&'static str>, data: impl Iterator<Item = Datum<'a>>) -> Self {
        let (mut range, mut counts, mut unknown) = (None, BTreeMap::<&str, usize>::new(), 0);
        for datum in data {
            match datum {
                Datum::Unknown => unknown += 1,
                Datum::Number(number) => {
                    let [low, high] = range.unwrap_or([number, number]);
                    range = Some([f64::min(low, number), f64::max(high, number)]);
                }
                Datum::Text(word) => *counts.entry(word.trim()).or_default() += 1,
            }
        }
        let mut words: Vec<(&str, usize)> = counts.into_iter().collect();
        words.sort_by_key(|(word, rows)| (std::cmp::Reverse(*rows), *word));
        let more_words = words.len().saturating_sub(LISTED);
        let words = words.into_iter().take(LISTED).map(|(word, rows)| WordCount { word: word.to_owned(), rows });
        Self { column: column.to_owned(), unit, range, words: words.collect(), more_words, unknown }
    }
}
