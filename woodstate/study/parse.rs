//! The text of a study file, with the place of every value.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::Protocol;
use super::bath::BathText;
use super::follow::FollowText;
use super::laboratory::LaboratoryText;
use super::lift_text::LiftText;
use super::origin::{QuantityText, Spanned, Text};

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
