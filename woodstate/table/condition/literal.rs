//! What a column is compared with, read as what the column holds.

use crate::error::{ErrorKind, Result, near};
use crate::quantity::Unit;
use crate::table::day::is_day;

use super::fault::Text;
use super::lex::{Placed, Sign, Token};
use super::name::{Name, NameKind};

/// What a column is compared with.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Wanted {
    /// A number in the unit of the column.
    Number(f64),
    /// A word, without case and spaces.
    Word(String),
    /// A day.
    Day(String),
    /// A wood, as it was written.
    Taxon(String),
}

impl Wanted {
    /// Reads a number or a word for a column.
    pub(super) fn of(placed: &Placed, name: &Name, sign: Sign, text: &Text) -> Result<Self> {
        let fault = |say: String| Err(text.fault(placed.at, say));
        let column = &name.name;
        match (&placed.token, &name.kind) {
            (Token::Number(number, None), NameKind::Number { .. }) => Ok(Self::Number(*number)),
            (Token::Number(number, Some((unit, at))), NameKind::Number { unit: own }) => {
                let own = Unit::parse(own)?;
                let found = Unit::parse_like(unit, own).and_then(|unit| unit.convert(*number, own));
                found.map(Self::Number).map_err(|error| match error.kind() {
                    ErrorKind::Unit { found, allowed } => {
                        text.fault(*at, format!("{found} is no unit for {column}; allowed: {allowed}"))
                    }
                    _ => error,
                })
            }
            (Token::Number(number, _), kind) => {
                let held = if *kind == NameKind::Day { "days" } else { "words" };
                let such = if *kind == NameKind::Day { "2024-05-01".to_owned() } else { number.to_string() };
                fault(format!("{column} holds {held}, not numbers; write it between quotes: {column} == '{such}'"))
            }
            (Token::Word(word), NameKind::Number { unit }) => fault(format!(
                "{column} holds numbers in {unit}, and '{word}' is a word; write a number without quotes"
            )),
            (Token::Word(_), kind) if sign.is_order() && *kind != NameKind::Day => {
                fault(format!("{column} holds words, which have no order; compare with == or !="))
            }
            (Token::Word(word), NameKind::Day) => match is_day(word.trim()) {
                true => Ok(Self::Day(word.trim().to_owned())),
                false => fault(format!("'{word}' is not a day; write year-month-day, such as '2024-05-01'")),
            },
            (Token::Word(word), NameKind::Taxon) => Ok(Self::Taxon(word.clone())),
            (Token::Word(word), NameKind::Text) => Ok(Self::Word(plain(word))),
            (Token::Word(word), NameKind::Words(allowed)) => {
                let found = plain(word);
                match () {
                    () if found == "unknown" => {
                        fault(format!("what is unknown equals nothing; write unknown({column})"))
                    }
                    () if allowed.iter().any(|other| plain(other) == found) => Ok(Self::Word(found)),
                    () => {
                        let near = near(word, allowed.iter().map(String::as_str));
                        let near = near.first().map(|near| format!("; did you mean '{near}'?")).unwrap_or_default();
                        let others = allowed.iter().filter(|other| *other != "unknown").cloned().collect::<Vec<_>>();
                        fault(format!("{column} has no word '{word}'; its words: {}{near}", others.join(", ")))
                    }
                }
            }
            _ => fault(format!("compare {column} with a number or with a word between quotes")),
        }
    }
}

/// A word without case; spaces, `_` and `-` between its parts are the same.
pub(super) fn plain(word: &str) -> String {
    let parts = word.split(|c: char| c.is_whitespace() || matches!(c, '_' | '-'));
    parts.filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ").to_lowercase()
}
