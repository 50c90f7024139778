//! One value with its standard uncertainty.

use std::fmt;

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Unit, shown};

/// A value and its standard uncertainty, in a unit that stands in the doc of whoever holds it.
///
/// # Example
/// ```
/// use woodstate::quantity::{Measured, Unit};
/// let kg_m3 = Unit::parse("kg/m3").unwrap();
/// let wall = Measured::parse("1.50 ± 0.03 g/cm3", kg_m3).unwrap();
/// assert_eq!((wall.value, wall.u), (1500.0, Some(30.0)));
/// assert_eq!(wall.to_string(), "1500 ± 30");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
}

impl Measured {
    /// A value with a known standard uncertainty.
    #[must_use]
    pub fn new(value: f64, u: f64) -> Self {
        Self { value, u: Some(u) }
    }

    /// A value whose uncertainty nobody knows.
    #[must_use]
    pub fn of_unknown_uncertainty(value: f64) -> Self {
        Self { value, u: None }
    }

    /// Reads `value unit` or `value ± u unit` (or `+/-`, `+-`) and converts it to `unit`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] if the text is not of that form or the unit is left out, [`ErrorKind::Unit`] if the unit
    /// is unknown or measures something else.
    pub fn parse(text: &str, unit: Unit) -> Result<Self> {
        Self::parse_spelled(text, unit).map(|(measured, _)| measured)
    }

    /// The same, with the unit as it was written.
    ///
    /// # Errors
    /// As [`Measured::parse`].
    pub(crate) fn parse_spelled(text: &str, unit: Unit) -> Result<(Self, String)> {
        let wrong_as = |cure: &str| {
            let allowed = format!("a number with its unit, such as \"1.5 {unit}\" or \"1.5 ± 0.1 {unit}\"{cure}");
            Error::new(ErrorKind::Quantity { found: text.to_owned(), allowed })
        };
        let wrong = || wrong_as("");
        let plain = text.trim().replace("+/-", "±").replace("+-", "±");
        if let Some(with_point) = with_point(&plain) {
            return Err(wrong_as(&format!("; the decimal mark in the study file is the point: {with_point}")));
        }
        if plain.parse::<f64>().is_ok_and(f64::is_finite) {
            return Err(wrong_as(&format!("; write it with its unit, as in \"{plain} {unit}\"")));
        }
        let end = plain.rfind(|c: char| c.is_ascii_digit()).ok_or_else(wrong)?;
        // A unit such as kg/m3 ends in a digit: the unit begins after the last digit that a blank or letter follows.
        let split = plain
            .char_indices()
            .find(|&(at, c)| at > 0 && !is_numeric_part(&plain, at, c))
            .map_or(end + 1, |(at, _)| at);
        let (numbers, spelling) = plain.split_at(split);
        if spelling.trim().is_empty() {
            return Err(wrong());
        }
        let from = Unit::parse_like(spelling, unit)?;
        let mut parts = numbers.split('±').map(|part| part.trim().parse::<f64>());
        let value = parts.next().and_then(std::result::Result::ok).filter(|v| v.is_finite()).ok_or_else(wrong)?;
        let u = match parts.next() {
            None => None,
            Some(Ok(u)) if u >= 0.0 && u.is_finite() => Some(from.convert_difference(u, unit)?),
            Some(_) => return Err(wrong()),
        };
        if parts.next().is_some() {
            return Err(wrong());
        }
        let value = from.convert(value, unit)?;
        if !(value.is_finite() && u.is_none_or(f64::is_finite)) {
            return Err(wrong());
        }
        Ok((Self { value, u }, spelling.trim().to_owned()))
    }
}

/// The same text with points, where a comma stands between digits.
fn with_point(text: &str) -> Option<String> {
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let is_mark =
        |(at, _): (usize, &str)| is_digit(text[..at].chars().next_back()) && is_digit(text[at + 1..].chars().next());
    text.match_indices(',').any(is_mark).then(|| text.replace(',', "."))
}

/// Whether the character belongs to the numbers in front of the unit.
fn is_numeric_part(text: &str, at: usize, c: char) -> bool {
    let exponent = matches!(c, 'e' | 'E')
        && text[..at].ends_with(|c: char| c.is_ascii_digit())
        && text[at + 1..].starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+'));
    c.is_ascii_digit() || matches!(c, '.' | '±' | '+' | '-' | ' ') || exponent
}

impl fmt::Display for Measured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&shown(self.value, self.u))
    }
}
