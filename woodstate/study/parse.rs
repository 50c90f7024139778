//! The text of a study file, with the place of every value.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer};
pub(super) use toml::Spanned;

use crate::error::{Error, ErrorKind, Finding, FindingCode, Place, Result, Severity, near};
use crate::quantity::{Measured, Unit};

use super::Protocol;
use super::bath::BathText;
use super::follow::FollowText;
use super::laboratory::LaboratoryText;
use super::lift_text::LiftText;

/// What a laboratory states about a batch: how to read its files, its instruments, its waters, its protocol. Every key is
/// optional and unknown ones are errors.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
#[schemars(title = "woodstate.toml")]
pub struct StudyText {
    /// Title of the study.
    #[schemars(with = "String")]
    pub(super) title: Option<String>,
    /// How much of the safety notes is shown; they cannot be switched off.
    #[schemars(with = "String", extend("enum" = ["long", "short"]))]
    pub(super) safety: Option<Spanned<String>>,
    /// Words that mean unknown, besides the empty cell.
    pub(super) missing: Vec<String>,
    /// How the samples are to be read.
    pub(super) samples: TableText,
    /// How the timbers are to be read.
    pub(super) timbers: TableText,
    /// How the log is to be read.
    pub(super) log: TableText,
    /// What the laboratory measured with.
    pub(super) instruments: InstrumentsText,
    /// The waters.
    pub(super) water: WaterText,
    /// How the state is assessed.
    pub(super) assess: AssessText,
    /// Basic density of sound wood, taxon by taxon.
    #[schemars(with = "BTreeMap<String, ReferenceText>")]
    pub(super) references: BTreeMap<Spanned<String>, ReferenceText>,
    /// Class schemes of your own, by their name.
    #[schemars(with = "BTreeMap<String, SchemeText>")]
    pub(super) schemes: BTreeMap<String, Spanned<SchemeText>>,
    /// What is stated of a bath.
    pub(super) bath: BathText,
    /// What is asked of the log of a treatment.
    pub(super) follow: FollowText,
    /// What a report is to say.
    pub(super) report: ReportText,
    /// How timbers are lifted and what is required.
    pub(super) lift: LiftText,
    /// What the laboratory can treat, what it wants, and its own limits.
    pub(super) laboratory: LaboratoryText,
    /// How the laboratory worked.
    pub(super) protocol: Protocol,
}

/// How a table is to be read.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct TableText {
    /// Sheet of a workbook.
    #[schemars(with = "String")]
    pub(super) sheet: Option<String>,
    /// Row of the header, counted from 1 as in the file.
    #[schemars(with = "usize", range(min = 1))]
    pub(super) header_row: Option<Spanned<usize>>,
    /// Row below the header that holds units and no piece, counted from 1 as in the file.
    #[schemars(with = "usize", range(min = 1))]
    pub(super) units_row: Option<Spanned<usize>>,
    /// Encoding of a text file, such as windows-1252.
    #[schemars(with = "String")]
    pub(super) encoding: Option<String>,
    /// Character between the cells of a text file; "tab" for a tab.
    #[schemars(with = "String")]
    pub(super) delimiter: Option<Spanned<String>>,
    /// Decimal mark of numbers in text: "." or ",".
    #[schemars(with = "String", extend("enum" = [".", ","]))]
    pub(super) decimal: Option<Spanned<String>>,
    /// Columns whose cells together name a sample; only under [samples].
    #[schemars(with = "Vec<String>")]
    pub(super) sample: Option<Spanned<Vec<String>>>,
    /// Header in the file, and the column and unit that it means, such as `mass_saturated [g]`.
    #[schemars(with = "BTreeMap<String, String>")]
    pub(super) columns: BTreeMap<String, Spanned<String>>,
    /// For a column: word in the file, and the word that it means.
    #[schemars(with = "BTreeMap<String, BTreeMap<String, String>>")]
    pub(super) words: BTreeMap<Spanned<String>, BTreeMap<String, Spanned<String>>>,
}

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

/// What the laboratory measured with.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct InstrumentsText {
    /// Resolution of the balance.
    #[schemars(with = "QuantityText")]
    pub(super) balance: Text,
    /// Standard uncertainty common to all weighings, such as "0.02 %".
    #[schemars(with = "QuantityText")]
    pub(super) balance_calibration: Text,
    /// Resolution of the calliper.
    #[schemars(with = "QuantityText")]
    pub(super) calliper: Text,
    /// How volumes were measured.
    #[schemars(with = "String")]
    pub(super) volume_method: Option<String>,
    /// Standard uncertainty of one volume, such as "0.5 cm3" or "1 %".
    #[schemars(with = "QuantityText")]
    pub(super) volume_uncertainty: Text,
    /// Standard uncertainty of the thermometer.
    #[schemars(with = "QuantityText")]
    pub(super) thermometer: Text,
}

/// The waters.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct WaterText {
    /// Temperature of the water for weighing.
    #[schemars(with = "QuantityText")]
    pub(super) weighing_temperature: Text,
    /// Its salinity.
    #[schemars(with = "QuantityText")]
    pub(super) weighing_salinity: Text,
    /// Salinity of the water in the wood.
    #[schemars(with = "QuantityText")]
    pub(super) pore_salinity: Text,
    /// Density of all water, where it was measured.
    #[schemars(with = "QuantityText")]
    pub(super) density: Text,
}

/// How the state is assessed.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct AssessText {
    /// Density of the cell wall.
    #[schemars(with = "QuantityText")]
    pub(super) cell_wall_density: Text,
    /// Density of ash, where the cell wall is corrected for it.
    #[schemars(with = "QuantityText")]
    pub(super) ash_density: Text,
    /// Class scheme: a shipped one or one of [schemes].
    #[schemars(with = "String")]
    pub(super) scheme: Option<Spanned<String>>,
    /// Class that owns a value exactly on a boundary.
    #[schemars(with = "String", extend("enum" = ["worse", "better"]))]
    pub(super) boundary: Option<Spanned<String>>,
    /// Least probability of a decided class, between 0 and 1.
    #[schemars(with = "f64")]
    pub(super) decided_at: Option<Spanned<f64>>,
    /// What becomes of a wood outside the scope of the scheme.
    #[schemars(with = "String", extend("enum" = ["no_class", "classify"]))]
    pub(super) outside_scope: Option<Spanned<String>>,
    /// Whether stated values come before measured ones.
    #[schemars(with = "bool")]
    pub(super) stated_first: Option<bool>,
    /// Share lost to borers above which no decay reading is given.
    #[schemars(with = "QuantityText")]
    pub(super) borer_damage_limit: Text,
    /// Ash content above which no decay reading is given.
    #[schemars(with = "QuantityText")]
    pub(super) ash_limit: Text,
    /// Coverage of intervals, between 0 and 1.
    #[schemars(with = "f64")]
    pub(super) coverage: Option<Spanned<f64>>,
    /// Seed of random draws.
    #[schemars(with = "u64")]
    pub(super) seed: Option<u64>,
}

/// What a report is to say.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct ReportText {
    /// Day of the report, such as 2026-11-27.
    #[schemars(with = "String")]
    pub(super) date: Option<Spanned<String>>,
    /// Columns that divide the site into parts; without it contexts, or else sites.
    #[schemars(with = "Vec<String>")]
    pub(super) by: Option<Vec<String>>,
    /// What is fitted; without it the test of strength that most pieces have.
    #[schemars(with = "String")]
    pub(super) value: Option<String>,
    /// Against what; without it the residual basic density.
    #[schemars(with = "String")]
    pub(super) against: Option<String>,
    /// The rules that make a timber urgent; without it all of them.
    #[schemars(with = "Vec<String>", extend("items" = {"enum": ["worst-class", "reduced-sulfur", "iron", "class-not-decided"]}))]
    pub(super) urgent: Option<Vec<Spanned<String>>>,
    /// Reduced sulfur above which a timber is urgent.
    #[schemars(with = "QuantityText")]
    pub(super) reduced_sulfur_limit: Text,
    /// Iron in the wood above which a timber is urgent.
    #[schemars(with = "QuantityText")]
    pub(super) iron_limit: Text,
}

/// Sound wood of a taxon.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ReferenceText {
    /// Its basic density.
    #[schemars(with = "QuantityText")]
    pub(super) basic_density: Spanned<QuantityText>,
    /// Where the number comes from.
    #[serde(default)]
    pub(super) source: String,
}

/// A class scheme.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SchemeText {
    /// What it is called.
    pub(super) title: String,
    /// The quantity that it divides.
    #[schemars(with = "String")]
    pub(super) quantity: Spanned<String>,
    /// Taxa that it holds for; none means every wood.
    #[serde(default)]
    #[schemars(with = "Vec<String>")]
    pub(super) scope: Vec<Spanned<String>>,
    /// Where it comes from.
    pub(super) source: String,
    /// The end that is worst, where the classes do not say it.
    #[schemars(with = "String")]
    #[serde(default)]
    pub(super) worst: Option<Spanned<String>>,
    /// The classes, the worst first.
    pub(super) classes: Vec<ClassText>,
}

/// A class of a scheme; a value on a boundary belongs to the class that `boundary` names.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ClassText {
    /// Its label.
    pub(super) label: String,
    /// Lower end; none means open.
    #[schemars(with = "f64")]
    #[serde(default)]
    pub(super) from: Option<f64>,
    /// Upper end; none means open.
    #[schemars(with = "f64")]
    #[serde(default)]
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
