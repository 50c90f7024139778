//! The text of a study file, with the place of every value.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Deserializer};
use toml::Spanned;

use crate::error::{Error, ErrorKind, Finding, FindingCode, Place, Result, Severity, near};
use crate::quantity::{Measured, Unit};

use super::Protocol;

/// A study file as it stands in TOML; every key is optional and unknown ones are errors.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct StudyText {
    pub(super) title: Option<String>,
    pub(super) missing: Vec<String>,
    pub(super) samples: TableText,
    pub(super) timbers: TableText,
    pub(super) log: TableText,
    pub(super) instruments: InstrumentsText,
    pub(super) water: WaterText,
    pub(super) assess: AssessText,
    pub(super) references: BTreeMap<Spanned<String>, ReferenceText>,
    pub(super) schemes: BTreeMap<String, Spanned<SchemeText>>,
    pub(super) protocol: Protocol,
}

/// How a table is to be read.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct TableText {
    pub(super) sheet: Option<String>,
    pub(super) header_row: Option<Spanned<usize>>,
    pub(super) units_row: Option<Spanned<usize>>,
    pub(super) encoding: Option<String>,
    pub(super) delimiter: Option<Spanned<String>>,
    pub(super) decimal: Option<Spanned<String>>,
    pub(super) sample: Option<Spanned<Vec<String>>>,
    pub(super) columns: BTreeMap<String, Spanned<String>>,
    pub(super) words: BTreeMap<Spanned<String>, BTreeMap<String, Spanned<String>>>,
}

/// A quantity in text.
pub(super) type Text = Option<Spanned<QuantityText>>;

/// A quantity as it was written. A bare number is taken here too, so that its fault can be told with the unit it needs.
#[derive(Debug, Clone)]
pub(super) struct QuantityText(pub(super) String);

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

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct InstrumentsText {
    pub(super) balance: Text,
    pub(super) balance_calibration: Text,
    pub(super) calliper: Text,
    pub(super) volume_method: Option<String>,
    pub(super) volume_uncertainty: Text,
    pub(super) thermometer: Text,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WaterText {
    pub(super) weighing_temperature: Text,
    pub(super) weighing_salinity: Text,
    pub(super) pore_salinity: Text,
    pub(super) density: Text,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct AssessText {
    pub(super) cell_wall_density: Text,
    pub(super) ash_density: Text,
    pub(super) scheme: Option<Spanned<String>>,
    pub(super) boundary: Option<Spanned<String>>,
    pub(super) decided_at: Option<Spanned<f64>>,
    pub(super) outside_scope: Option<Spanned<String>>,
    pub(super) stated_first: Option<bool>,
    pub(super) borer_damage_limit: Text,
    pub(super) ash_limit: Text,
    pub(super) coverage: Option<Spanned<f64>>,
    pub(super) seed: Option<u64>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReferenceText {
    pub(super) basic_density: Spanned<QuantityText>,
    #[serde(default)]
    pub(super) source: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SchemeText {
    pub(super) title: String,
    pub(super) quantity: Spanned<String>,
    #[serde(default)]
    pub(super) scope: Vec<Spanned<String>>,
    pub(super) source: String,
    pub(super) worst: Option<Spanned<String>>,
    pub(super) classes: Vec<ClassText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ClassText {
    pub(super) label: String,
    pub(super) from: Option<f64>,
    pub(super) to: Option<f64>,
}

/// A study file's text and name, to say where a fault is.
pub(super) struct Origin<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
    /// What is worth knowing and no fault.
    pub(super) findings: RefCell<Vec<Finding>>,
}

impl Origin<'_> {
    pub(super) fn read(&self) -> Result<StudyText> {
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
