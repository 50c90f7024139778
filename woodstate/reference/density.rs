//! Basic density of sound wood.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::source::parse;
use super::{Rank, Reference, Taxon};
use crate::numeric::{mean, variance_of};
use crate::quantity::{Cited, Evidence, Measured};

/// What stands behind a reference density.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Values of the species itself.
    Species,
    /// Values of the genus and of its species.
    Genus,
    /// Values of the taxa of a wood type.
    Type,
    /// Stated by the user.
    Stated,
}

/// Basic density of sound wood of a taxon, kg/m3, with what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundDensity {
    /// Mean of the published values and its standard uncertainty, kg/m3.
    pub density: Measured,
    /// Species, genus, type or stated.
    pub basis: Basis,
    /// The published values, kg/m3, in the order of the file.
    pub values: Vec<f64>,
    /// Source of each value.
    pub cited: Vec<Cited>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Entry {
    pub(super) taxon: String,
    value: f64,
    pub(super) source: String,
    place: String,
    evidence: Evidence,
    #[serde(rename = "note")]
    _note: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BetweenTrees {
    coefficient_of_variation: f64,
    how: String,
    source: String,
    place: String,
    evidence: Evidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    between_trees: BetweenTrees,
    basic_density: Vec<Entry>,
}

pub(super) fn read() -> Result<(BetweenTrees, Vec<Entry>), (&'static str, String)> {
    let file: File = parse("basic_density.toml", include_str!("basic_density.toml"))?;
    Ok((file.between_trees, file.basic_density))
}

impl Reference {
    /// Basic density of sound wood of a taxon, kg/m3; `None` if the list has no value for it.
    ///
    /// ```text
    /// ρ_ref = mean over taxa of the mean of their published values
    /// u²    = s² + (c · ρ_ref)²
    /// ```
    ///
    /// * `s`: standard deviation between the species of a genus or type; of a single taxon, between its sources, kg/m3.
    ///   With one value nothing is known of it, and the relative spread between two databases stands in its place
    ///   (constant `density_spread_between_sources`).
    /// * `c`: relative standard deviation between trees of one species
    ///
    /// A species without a value of its own is given that of its genus, and `basis` says so.
    ///
    /// The uncertainty is that of *one tree*, the one the timber came from, not of the mean: it is not divided by the
    /// number of values.
    ///
    /// # Example
    /// ```
    /// let reference = woodstate::reference::Reference::shipped().unwrap();
    /// let oak = reference.sound_density(reference.taxon("Quercus robur").unwrap()).unwrap();
    /// assert!(oak.density.value > 500.0 && oak.density.value < 650.0);
    /// assert!(oak.density.u.unwrap() / oak.density.value > 0.05);
    /// ```
    #[must_use]
    pub fn sound_density(&self, taxon: &Taxon) -> Option<SoundDensity> {
        let stand_ins = self.stand_ins(taxon);
        let entries: Vec<&Entry> =
            self.densities.iter().filter(|entry| stand_ins.contains(&entry.taxon.as_str())).collect();
        if entries.is_empty() && taxon.rank == Rank::Species {
            return self.sound_density(self.taxon(taxon.genus.as_deref()?)?);
        }
        let values: Vec<f64> = entries.iter().map(|entry| entry.value).collect();
        let of_taxa: Vec<f64> = stand_ins
            .iter()
            .filter_map(|name| mean(&entries.iter().filter(|e| e.taxon == *name).map(|e| e.value).collect::<Vec<_>>()))
            .collect();
        let density = mean(&of_taxa)?;
        let between = if of_taxa.len() > 1 { &of_taxa } else { &values };
        let spread = match variance_of(between) {
            Some(variance) => variance.sqrt(),
            None => self.constant("density_spread_between_sources")?.value / 100.0 * density,
        };
        let u = spread.hypot(self.between_trees.coefficient_of_variation * density);
        let mut cited: Vec<Cited> = entries.iter().map(|entry| self.density_cited(entry)).collect();
        let trees = &self.between_trees;
        let used_for = format!("scatter of basic density between trees: {}", trees.coefficient_of_variation);
        let place = format!("{}: {}", trees.place, trees.how);
        cited.push(self.cited(used_for, &trees.source, &place, trees.evidence));
        let basis = match taxon.rank {
            Rank::Species => Basis::Species,
            Rank::Genus => Basis::Genus,
            Rank::Type => Basis::Type,
        };
        Some(SoundDensity { density: Measured::new(density, u), basis, values, cited })
    }

    fn density_cited(&self, entry: &Entry) -> Cited {
        let used_for = format!("basic density of sound {}: {} kg/m3", entry.taxon, entry.value);
        self.cited(used_for, &entry.source, &entry.place, entry.evidence)
    }
}
