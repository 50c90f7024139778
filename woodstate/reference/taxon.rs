//! Woods as anatomists name them.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Reference;
use super::source::parse;
use crate::error::near;

/// How exactly a wood is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Rank {
    /// A species.
    Species,
    /// A genus.
    Genus,
    /// A wood type: several taxa that cannot be told apart by their anatomy.
    Type,
}

/// A wood as anatomists name it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Taxon {
    /// The name used in results.
    pub name: String,
    /// Species, genus or wood type.
    pub rank: Rank,
    /// The genus; `None` for a type that spans genera.
    pub genus: Option<String>,
    /// The taxa that a wood type stands for; of a genus, the species that stand for it, if not all of them do.
    #[serde(default)]
    pub members: Vec<String>,
    /// Other scientific names and ways of writing.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// Common names by language code (en, de, fr, da, nl, it).
    #[serde(default)]
    pub names: BTreeMap<String, Vec<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    taxon: Vec<Taxon>,
}

pub(super) fn read() -> Result<Vec<Taxon>, (&'static str, String)> {
    let file: File = parse("taxa.toml", include_str!("taxa.toml"))?;
    Ok(file.taxon)
}

/// Every way of writing a taxon, and its place in the list.
pub(super) fn index(taxa: &[Taxon]) -> Result<BTreeMap<String, usize>, (&'static str, String)> {
    let mut names = BTreeMap::new();
    for (place, taxon) in taxa.iter().enumerate() {
        let common = taxon.names.values().flatten();
        for name in std::iter::once(&taxon.name).chain(&taxon.synonyms).chain(common) {
            if names.insert(plain(name), place).is_some_and(|other| other != place) {
                return Err(("taxa.toml", format!("\"{name}\" stands for two taxa")));
            }
        }
    }
    Ok(names)
}

/// Case, spaces and a dot at the end do not matter.
fn plain(name: &str) -> String {
    let words: Vec<&str> = name.trim().trim_end_matches('.').split_whitespace().collect();
    words.join(" ").to_lowercase().replace('ß', "ss")
}

impl Reference {
    /// The taxon that a name means: scientific name, synonym or common name, ignoring case and spaces.
    #[must_use]
    pub fn taxon(&self, name: &str) -> Option<&Taxon> {
        self.names.get(&plain(name)).map(|&place| &self.taxa[place])
    }

    /// The names nearest to one that is not known, one a taxon, at most three.
    #[must_use]
    pub fn near_taxa(&self, name: &str) -> Vec<&str> {
        let mut found: Vec<&str> = Vec::new();
        let mut taxa = Vec::new();
        for near in near(&plain(name), self.names.keys().map(String::as_str)) {
            let Some(&place) = self.names.get(near).filter(|place| !taxa.contains(*place)) else { continue };
            taxa.push(place);
            let taxon = &self.taxa[place];
            let spellings = std::iter::once(&taxon.name).chain(&taxon.synonyms).chain(taxon.names.values().flatten());
            found.extend(spellings.into_iter().find(|spelling| plain(spelling) == near).map(String::as_str));
        }
        found
    }

    /// Whether a taxon is another one or belongs to it: a species to its genus, a member to its type.
    #[must_use]
    pub fn belongs_to(&self, taxon: &Taxon, other: &Taxon) -> bool {
        taxon.name == other.name
            || (other.rank == Rank::Genus && taxon.genus.as_ref() == Some(&other.name))
            || other.members.contains(&taxon.name)
    }

    /// The taxa whose published values may stand for this one: itself, then the species of a genus or the members of
    /// a type, and theirs.
    pub(super) fn stand_ins<'a>(&'a self, taxon: &'a Taxon) -> Vec<&'a str> {
        let is_below = |other: &Taxon| match taxon.rank {
            Rank::Species => false,
            Rank::Genus if taxon.members.is_empty() => {
                other.rank == Rank::Species && other.genus.as_ref() == Some(&taxon.name)
            }
            Rank::Genus => taxon.members.contains(&other.name),
            Rank::Type => other.rank != Rank::Type && taxon.members.contains(&other.name),
        };
        let mut names = vec![taxon.name.as_str()];
        for other in self.taxa.iter().filter(|other| is_below(other)) {
            names.extend(self.stand_ins(other).into_iter().filter(|name| *name != taxon.name));
        }
        names.sort_unstable();
        names.dedup();
        names
    }
}
