//! `impregnants.toml`: impregnants, and the baths that somebody published.

use serde::Deserialize;

use super::Reference;
use super::source::parse;
use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::{Cited, Evidence};

/// How the strength of a bath is given. A bare "40 %" is two different baths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BathBasis {
    /// Impregnant over solution by mass, %.
    MassFraction,
    /// Impregnant in a volume of solution, g/L.
    MassPerVolume,
}

impl BathBasis {
    /// UCUM code of a strength on this basis.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::MassFraction => "%",
            Self::MassPerVolume => "g/L",
        }
    }

    /// The unit as it is shown, with the basis where the unit does not say it.
    #[must_use]
    pub fn shown(self) -> &'static str {
        match self {
            Self::MassFraction => "% by mass",
            Self::MassPerVolume => "g/L",
        }
    }
}

/// A published range of a number.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PublishedRange {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// A published limit.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PublishedLimit {
    /// The number.
    pub value: f64,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// Baths as somebody published them; a number nobody gave is `None`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PublishedBaths {
    /// The treatment they belong to.
    pub route: String,
    /// What `start`, `step`, `last` and `most` are.
    pub basis: BathBasis,
    /// Strength of the first bath.
    pub start: Option<f64>,
    /// By how much each bath is stronger than the one before.
    pub step: Option<f64>,
    /// Strength of the last bath.
    #[serde(rename = "final")]
    pub last: Option<f64>,
    /// The strongest bath that was tested.
    pub most: Option<f64>,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// An impregnant.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Impregnant {
    /// Its name.
    pub name: String,
    other_names: Vec<String>,
    /// Volume that 1 g of it takes up in water, cm³/g.
    pub volume: Option<PublishedRange>,
    /// Density of the pure impregnant, kg/m³.
    pub density: Option<PublishedRange>,
    /// Temperature that its bath may not pass, °C.
    pub holds: Option<PublishedLimit>,
    /// Baths as published.
    #[serde(default)]
    pub baths: Vec<PublishedBaths>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    impregnant: Vec<Impregnant>,
}

pub(super) fn read() -> std::result::Result<Vec<Impregnant>, (&'static str, String)> {
    let file: File = parse("impregnants.toml", include_str!("impregnants.toml"))?;
    Ok(file.impregnant)
}

impl Impregnant {
    /// Sources of its numbers.
    pub(super) fn sources(&self) -> impl Iterator<Item = &String> {
        let ranges = [&self.volume, &self.density].into_iter().flatten().map(|range| &range.source);
        let baths = self.baths.iter().map(|baths| &baths.source);
        ranges.chain(self.holds.iter().map(|limit| &limit.source)).chain(baths)
    }
}

impl Reference {
    /// All impregnants.
    #[must_use]
    pub fn impregnants(&self) -> &[Impregnant] {
        &self.impregnants
    }

    /// The impregnant of this name, in any case.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the names there are.
    ///
    /// # Example
    /// ```
    /// let reference = woodstate::reference::Reference::shipped().unwrap();
    /// assert_eq!(reference.impregnant("peg 2000").unwrap().name, "PEG 2000");
    /// // A bare "PEG" is many things.
    /// assert!(reference.impregnant("PEG").is_err());
    /// ```
    pub fn impregnant(&self, name: &str) -> Result<&Impregnant> {
        let wanted = name.trim().to_lowercase().replace('-', " ");
        let is_it = |found: &&Impregnant| found.name.to_lowercase() == wanted || found.other_names.contains(&wanted);
        self.impregnants.iter().find(is_it).ok_or_else(|| {
            let names = || self.impregnants.iter().map(|found| found.name.as_str());
            let nearest = near(name.trim(), names());
            let rest = names().filter(|known| !nearest.contains(known));
            let allowed = nearest.iter().copied().chain(rest).map(str::to_owned).collect();
            Error::new(ErrorKind::Name { what: "impregnant", found: name.trim().to_owned(), allowed })
        })
    }

    /// The origin of a range.
    #[must_use]
    pub fn range_source(&self, used_for: impl Into<String>, range: &PublishedRange) -> Cited {
        self.cited(used_for, &range.source, &range.place, range.evidence)
    }

    /// The origin of a limit.
    #[must_use]
    pub fn limit_source(&self, used_for: impl Into<String>, limit: &PublishedLimit) -> Cited {
        self.cited(used_for, &limit.source, &limit.place, limit.evidence)
    }

    /// The origin of baths.
    #[must_use]
    pub fn baths_source(&self, used_for: impl Into<String>, baths: &PublishedBaths) -> Cited {
        self.cited(used_for, &baths.source, &baths.place, baths.evidence)
    }
}
