//! A study file as text: its quantities as they were written, and the place of every fault.

use std::borrow::Cow;
use std::cell::RefCell;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer};
pub(super) use toml::Spanned;

use crate::error::{Error, ErrorKind, Finding, FindingCode, Place, Result, Severity, near};
use crate::quantity::{Measured, Unit};

/// A quantity in text.
pub(super) type Text = Option<Spanned<QuantityText>>;

/// A quantity as it was written. A bare number is taken here too, so that its fault can be told with the unit it needs.
#[derive(Debug, Clone)]
pub(super) struct QuantityText(pub(super) String);

impl JsonSchema for QuantityText {
    fn schema_name() -> Cow<'static, str> {
        "Quantity".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "A quantity: \"value unit\" or \"value ± u unit\", u one standard uncertainty.",
            "examples": ["0.01 g", "1500 ± 30 kg/m3"],
        })
    }
}

impl<'de> Deserialize<'de> for QuantityText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        struct Visitor;

        impl serde::de::Visitor<'_> for Visitor {
            type Value = QuantityText;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a quantity with its unit, such as \"0.01 g\"")
            }

            fn visit_str<E>(self, text: &str) -> std::result::Result<QuantityText, E> {
                Ok(QuantityText(text.to_owned()))
            }

            fn visit_f64<E>(self, number: f64) -> std::result::Result<QuantityText, E> {
                Ok(QuantityText(number.to_string()))
            }

            fn visit_i64<E>(self, number: i64) -> std::result::Result<QuantityText, E> {
                Ok(QuantityText(number.to_string()))
            }
        }

        deserializer.deserialize_any(Visitor)
    }
}

/// A study file's text and name, to say where a fault is.
pub(super) struct Origin<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
    /// What is worth knowing and no fault.
    pub(super) findings: RefCell<Vec<Finding>>,
}

impl Origin<'_> {
    /// The whole text as keys and values.
    pub(super) fn read<T: DeserializeOwned>(&self) -> Result<T> {
        toml::from_str(self.text).map_err(|error| {
            let mut message = error.message().lines().collect::<Vec<_>>().join("; ");
            // "unknown field `x`, expected one of `a`, `b`": the first name was found, the others are known.
            let mut names = error.message().split('`').skip(1).step_by(2);
            if let Some(found) = names.next().filter(|_| message.starts_with("unknown field")) {
                let near = near(found, names);
                if !near.is_empty() {
                    message = format!("{message}. Did you mean {}?", near.join(" or "));
                }
            }
            self.fault(error.span().map_or(0, |span| span.start), message)
        })
    }

    /// Line and column of a byte of the text, from 1.
    fn position(&self, at: usize) -> (usize, usize) {
        let before = self.text.get(..at).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        (line, before.rsplit('\n').next().unwrap_or_default().chars().count() + 1)
    }

    /// An error at a byte of the text.
    pub(super) fn fault(&self, at: usize, text: impl Into<String>) -> Error {
        let (line, column) = self.position(at);
        Error::new(ErrorKind::Study { file: self.file.to_owned(), line, column, text: text.into() })
    }

    /// A quantity, in `unit`.
    pub(super) fn measured(&self, text: &Text, unit: &str) -> Result<Option<Measured>> {
        let Some(text) = text else { return Ok(None) };
        let unit = Unit::parse(unit)?;
        let at = text.span().start;
        let (measured, spelling) =
            Measured::parse_spelled(&text.as_ref().0, unit).map_err(|error| self.fault(at, error.to_string()))?;
        if Unit::is_taken_for(&spelling) {
            let place = Place { file: self.file.to_owned(), row: Some(self.position(at).0), ..Place::default() };
            let say = format!("{spelling} is read as {}", Unit::parse(&spelling)?);
            let finding = Finding::new(FindingCode::UnitReadAs, Severity::Note, place, say).found(&text.as_ref().0);
            self.findings.borrow_mut().push(finding);
        }
        Ok(Some(measured))
    }

    /// A quantity between two ends, both included, in `unit`.
    pub(super) fn within(&self, text: &Text, unit: &str, (low, high): (f64, f64)) -> Result<Option<Measured>> {
        let measured = self.measured(text, unit)?;
        match (measured, text) {
            (Some(found), Some(text)) if !(low..=high).contains(&found.value) => {
                let say = format!("{} {unit} is outside {low} to {high} {unit}", found.value);
                Err(self.fault(text.span().start, say))
            }
            _ => Ok(measured),
        }
    }

    /// A positive number without an uncertainty of its own, in `unit`.
    pub(super) fn positive(&self, text: &Text, unit: &str) -> Result<Option<f64>> {
        let Some(measured) = self.measured(text, unit)? else { return Ok(None) };
        let at = text.as_ref().map_or(0, |text| text.span().start);
        if measured.u.is_some() {
            return Err(self.fault(at, "this is an uncertainty or a limit itself and has no ±"));
        }
        if measured.value > 0.0 {
            Ok(Some(measured.value))
        } else {
            Err(self.fault(at, format!("{} {unit} is not above 0", measured.value)))
        }
    }

    /// A row of a file, counted from 1.
    pub(super) fn row(&self, row: Option<&Spanned<usize>>) -> Result<Option<usize>> {
        match row {
            Some(row) if *row.as_ref() == 0 => Err(self.fault(row.span().start, "rows are counted from 1")),
            row => Ok(row.map(|row| *row.as_ref())),
        }
    }

    /// A share between two ends, both excluded.
    pub(super) fn share(&self, value: Option<&Spanned<f64>>, name: &str) -> Result<Option<f64>> {
        let Some(value) = value else { return Ok(None) };
        let share = *value.as_ref();
        if share > 0.0 && share < 1.0 {
            return Ok(Some(share));
        }
        Err(self
            .fault(value.span().start, format!("{name} is {share}; allowed is a number between 0 and 1, such as 0.95")))
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(&self, word: Option<&Spanned<String>>, choices: &[(&str, T)]) -> Result<Option<T>> {
        let Some(word) = word else { return Ok(None) };
        let found = word.as_ref();
        let choice = choices.iter().find(|(name, _)| name == found).map(|(_, choice)| *choice);
        let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
        choice
            .map(Some)
            .ok_or_else(|| self.fault(word.span().start, format!("\"{found}\" is not one of {}", names.join(", "))))
    }
}
