//! The laboratory's own limits of treatment, as the study file states them under `[laboratory]`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::treatment::{Grading, Laboratory};

use super::origin::{Origin, QuantityText, Spanned, Text};

/// Solvents that a route may need.
const SOLVENTS: [&str; 4] = ["acetone", "diethyl ether", "ethanol", "methanol"];

/// What the laboratory can treat, what it wants, and its own limits.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct LaboratoryText {
    /// Inner sizes of the largest tank for baths of water, up to three, such as ["6 m", "1 m", "0.8 m"].
    #[schemars(with = "Vec<QuantityText>", length(min = 1, max = 3))]
    largest_tank: Option<Vec<Spanned<QuantityText>>>,
    /// Inner sizes of the largest freeze-dryer.
    #[schemars(with = "Vec<QuantityText>", length(min = 1, max = 3))]
    largest_freeze_dryer: Option<Vec<Spanned<QuantityText>>>,
    /// Inner sizes of the largest bath of solvent.
    #[schemars(with = "Vec<QuantityText>", length(min = 1, max = 3))]
    largest_solvent_tank: Option<Vec<Spanned<QuantityText>>>,
    /// Inner sizes of the largest pressure vessel.
    #[schemars(with = "Vec<QuantityText>", length(min = 1, max = 3))]
    largest_pressure_vessel: Option<Vec<Spanned<QuantityText>>>,
    /// Solvents that the laboratory is equipped and licensed for; [] for none.
    #[schemars(with = "Vec<String>", extend("items" = {"enum": ["acetone", "diethyl ether", "ethanol", "methanol"]}))]
    solvents: Option<Vec<Spanned<String>>>,
    /// Whether it is equipped and licensed for work with formaldehyde.
    #[schemars(with = "bool")]
    formaldehyde_work: Option<bool>,
    /// Whether a treatment that can be undone is wanted.
    #[schemars(with = "bool")]
    retreatability: Option<bool>,
    /// Whether dating, species or similar work must stay possible after the treatment.
    #[schemars(with = "bool")]
    later_analysis: Option<bool>,
    /// Whether a place of reburial would be monitored for good.
    #[schemars(with = "bool")]
    burial_monitored: Option<bool>,
    /// The highest relative humidity at which the timbers will be kept.
    #[schemars(with = "QuantityText")]
    display_humidity: Text,
    /// Iron in the wood above which it is not treated as it is.
    #[schemars(with = "QuantityText")]
    iron_limit: Text,
    /// Chloride in the wood above which it is not dried as it is.
    #[schemars(with = "QuantityText")]
    chloride_limit: Text,
    /// Reduced sulfur in the wood above which it is not treated as it is.
    #[schemars(with = "QuantityText")]
    reduced_sulfur_limit: Text,
    /// Residual basic density below which wood outside the scope of the class scheme counts as heavily degraded.
    #[schemars(with = "QuantityText")]
    heavily_degraded: Text,
    /// Residual basic density from which such wood counts as slightly degraded.
    #[schemars(with = "QuantityText")]
    slightly_degraded: Text,
}

/// A key of `[laboratory]`, what it asks and what was stated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LaboratoryLine {
    /// The key.
    pub key: &'static str,
    /// What it asks.
    pub what: &'static str,
    /// What was stated; `None` where nothing was.
    pub stated: Option<String>,
}

/// The laboratory's own limits.
///
/// # Example
/// ```
/// use woodstate::study::Study;
/// let study = Study::parse("[laboratory]\nlargest_tank = [\"6 m\", \"80 cm\"]", "woodstate.toml")?;
/// assert_eq!(study.laboratory.limits.rooms[0].as_deref(), Some(&[6000.0, 800.0][..]));
/// let error = Study::parse("[laboratory]\nlargest_tank = [\"6\"]", "woodstate.toml").unwrap_err();
/// assert!(error.to_string().starts_with("woodstate.toml:2:17: "));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct LaboratoryLimits {
    /// What routes are judged by.
    pub limits: Laboratory,
    /// The laboratory's own grading of woods outside the scope of the class scheme.
    pub grading: Option<Grading>,
    /// What was stated, key by key.
    pub lines: Vec<LaboratoryLine>,
}

impl Default for LaboratoryLimits {
    /// Nothing is stated.
    fn default() -> Self {
        Self { limits: Laboratory::default(), grading: None, lines: lines(&LaboratoryText::default()) }
    }
}

/// Keys of `[laboratory]` and what each asks.
pub(super) const LABORATORY_KEYS: [(&str, &str); 15] = [
    ("largest_tank", "inner sizes of the largest tank for baths of water"),
    ("largest_freeze_dryer", "inner sizes of the largest freeze-dryer"),
    ("largest_solvent_tank", "inner sizes of the largest bath of solvent"),
    ("largest_pressure_vessel", "inner sizes of the largest pressure vessel"),
    ("solvents", "solvents that the laboratory is equipped and licensed for"),
    ("formaldehyde_work", "whether it is equipped and licensed for work with formaldehyde"),
    ("retreatability", "whether a treatment that can be undone is wanted"),
    ("later_analysis", "whether dating, species or similar work must stay possible after the treatment"),
    ("burial_monitored", "whether a place of reburial would be monitored for good"),
    ("display_humidity", "the highest relative humidity at which the timbers will be kept"),
    ("iron_limit", "iron in the wood above which it is not treated as it is"),
    ("chloride_limit", "chloride in the wood above which it is not dried as it is"),
    ("reduced_sulfur_limit", "reduced sulfur in the wood above which it is not treated as it is"),
    (
        "heavily_degraded",
        "residual basic density below which wood outside the scope of the class scheme counts as heavily degraded",
    ),
    ("slightly_degraded", "residual basic density from which such wood counts as slightly degraded"),
];

pub(super) fn laboratory(origin: &Origin<'_>, text: &LaboratoryText) -> Result<LaboratoryLimits> {
    const MOST: (f64, f64) = (0.0, 1e6);
    const PERCENT: (f64, f64) = (0.0, 100.0);
    let rooms =
        [&text.largest_tank, &text.largest_freeze_dryer, &text.largest_solvent_tank, &text.largest_pressure_vessel];
    let mut inner: [Option<Vec<f64>>; 4] = Default::default();
    for (place, room) in rooms.into_iter().enumerate() {
        inner[place] = room.as_ref().map(|sizes| sizes_of(origin, sizes)).transpose()?;
    }
    let solvents = text.solvents.as_ref().map(|words| {
        let known = SOLVENTS.map(|name| (name, name));
        let one = |word| Ok(origin.choice(Some(word), &known)?.map(str::to_owned));
        words.iter().filter_map(|word| one(word).transpose()).collect::<Result<Vec<_>>>()
    });
    let number = |text: &Text, unit, ends| Ok(origin.within(text, unit, ends)?.map(|found| found.value));
    let limits = [
        number(&text.iron_limit, "mg/kg", MOST)?,
        number(&text.chloride_limit, "mg/kg", MOST)?,
        number(&text.reduced_sulfur_limit, "mg/kg", MOST)?,
    ];
    let humidity = number(&text.display_humidity, "%", PERCENT)?;
    let demands = [text.retreatability, text.formaldehyde_work, text.later_analysis, text.burial_monitored];
    let limits =
        Laboratory { rooms: inner, solvents: solvents.transpose()?, demands, display_humidity: humidity, limits };
    Ok(LaboratoryLimits { grading: grading(origin, text)?, lines: lines(text), limits })
}

/// Inner sizes, mm, the largest first.
fn sizes_of(origin: &Origin<'_>, sizes: &[Spanned<QuantityText>]) -> Result<Vec<f64>> {
    if !(1..=3).contains(&sizes.len()) {
        let at = sizes.first().map_or(0, |size| size.span().start);
        return Err(origin.fault(at, format!("{} sizes are given; allowed are one to three", sizes.len())));
    }
    let size = |size: &Spanned<QuantityText>| -> Result<f64> {
        let found = origin.positive(&Some(size.clone()), "mm")?;
        found.ok_or_else(|| origin.fault(size.span().start, "a size is missing"))
    };
    let mut inner = sizes.iter().map(size).collect::<Result<Vec<_>>>()?;
    inner.sort_by(|a, b| b.total_cmp(a));
    Ok(inner)
}

/// Both limits, or none.
fn grading(origin: &Origin<'_>, text: &LaboratoryText) -> Result<Option<Grading>> {
    let heavy = origin.positive(&text.heavily_degraded, "%")?;
    let slight = origin.positive(&text.slightly_degraded, "%")?;
    let at = |text: &Text| text.as_ref().map_or(0, |text| text.span().start);
    match (heavy, slight) {
        (None, None) => Ok(None),
        (Some(heavy), Some(slight)) => Grading::of_residual_density(heavy, slight)
            .map(Some)
            .map_err(|error| origin.fault(at(&text.heavily_degraded), error.to_string())),
        (Some(_), None) => {
            Err(origin.fault(at(&text.heavily_degraded), "slightly_degraded is missing beside it; state both or none"))
        }
        (None, Some(_)) => {
            Err(origin.fault(at(&text.slightly_degraded), "heavily_degraded is missing beside it; state both or none"))
        }
    }
}

fn lines(text: &LaboratoryText) -> Vec<LaboratoryLine> {
    let sizes = |room: &Option<Vec<Spanned<QuantityText>>>| {
        let one = |size: &Spanned<QuantityText>| size.as_ref().0.clone();
        room.as_ref().map(|sizes| sizes.iter().map(one).collect::<Vec<_>>().join(" x "))
    };
    let is = |demand: Option<bool>| demand.map(|is| if is { "yes" } else { "no" }.to_owned());
    let quantity = |text: &Text| text.as_ref().map(|text| text.as_ref().0.clone());
    let solvents = text.solvents.as_ref().map(|words| match words.as_slice() {
        [] => "none".to_owned(),
        words => words.iter().map(|word| word.as_ref().as_str()).collect::<Vec<_>>().join(", "),
    });
    let stated = [
        sizes(&text.largest_tank),
        sizes(&text.largest_freeze_dryer),
        sizes(&text.largest_solvent_tank),
        sizes(&text.largest_pressure_vessel),
        solvents,
        is(text.formaldehyde_work),
        is(text.retreatability),
        is(text.later_analysis),
        is(text.burial_monitored),
        quantity(&text.display_humidity),
        quantity(&text.iron_limit),
        quantity(&text.chloride_limit),
        quantity(&text.reduced_sulfur_limit),
        quantity(&text.heavily_degraded),
        quantity(&text.slightly_degraded),
    ];
    let line =
        |((key, what), stated): (&(&'static str, &'static str), Option<String>)| LaboratoryLine { key, what, stated };
    LABORATORY_KEYS.iter().zip(stated).map(line).collect()
}
