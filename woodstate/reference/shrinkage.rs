//! Normal shrinkage of sound wood, from green to oven-dry.

use serde::Deserialize;

use super::source::parse;
use super::{Rank, Reference, Taxon};
use crate::numeric::{mean, sd};
use crate::quantity::{Cited, Evidence, Measured};

/// Shrinkage of sound wood from green to oven-dry, % of the green size.
#[derive(Debug, Clone, PartialEq)]
pub struct NormalShrinkage {
    /// Radial, %.
    pub radial: f64,
    /// Tangential, %.
    pub tangential: f64,
    /// Volumetric, %. Not the product of the other two: printed values differ from it by up to 1.6 points. The standard
    /// uncertainty is that between the rows behind it, and unknown where there is one row only.
    pub volumetric: Measured,
    /// Of the cross-section, by the product of radial and tangential, %.
    pub cross_section: Measured,
    /// Source of each table row behind it.
    pub cited: Vec<Cited>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Entry {
    pub(super) taxon: String,
    radial: f64,
    tangential: f64,
    volumetric: f64,
    pub(super) source: String,
    place: String,
    evidence: Evidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    shrinkage: Vec<Entry>,
}

pub(super) fn read() -> Result<Vec<Entry>, (&'static str, String)> {
    let file: File = parse("shrinkage.toml", include_str!("shrinkage.toml"))?;
    Ok(file.shrinkage)
}

impl Reference {
    /// Normal shrinkage of a taxon, %; for a genus or a type the mean over its species. `None` if the list has none,
    /// and for a species nothing is borrowed from its genus.
    #[must_use]
    pub fn normal_shrinkage(&self, taxon: &Taxon) -> Option<NormalShrinkage> {
        let stand_ins = match taxon.rank {
            Rank::Species => vec![taxon.name.as_str()],
            Rank::Genus | Rank::Type => self.stand_ins(taxon),
        };
        let entries: Vec<&Entry> =
            self.shrinkages.iter().filter(|entry| stand_ins.contains(&entry.taxon.as_str())).collect();
        let all = |of: fn(&Entry) -> f64| entries.iter().map(|entry| of(entry)).collect::<Vec<_>>();
        let measured = |of: fn(&Entry) -> f64| {
            let values = all(of);
            Some(Measured { value: mean(&values)?, u: sd(&values) })
        };
        Some(NormalShrinkage {
            radial: mean(&all(|entry| entry.radial))?,
            tangential: mean(&all(|entry| entry.tangential))?,
            volumetric: measured(|entry| entry.volumetric)?,
            cross_section: measured(|entry| 100.0 - (100.0 - entry.radial) * (100.0 - entry.tangential) / 100.0)?,
            cited: entries.iter().map(|entry| self.shrinkage_cited(entry)).collect(),
        })
    }

    fn shrinkage_cited(&self, entry: &Entry) -> Cited {
        let Entry { taxon, radial, tangential, volumetric, .. } = entry;
        let used_for = format!(
            "normal shrinkage of {taxon}: radial {radial} %, tangential {tangential} %, volumetric {volumetric} %"
        );
        self.cited(used_for, &entry.source, &entry.place, entry.evidence)
    }
}
