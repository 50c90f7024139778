//! `chemicals.toml`: what chelating agents and bases are made of.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Reference;
use super::origin::Origin;
use super::source::parse;
use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Cited, Evidence};

/// A chelating agent or a base.
#[derive(Debug, Clone, PartialEq)]
pub struct Chemical {
    /// Its name.
    pub name: String,
    /// As what it is weighed.
    pub form: String,
    /// Molar mass of that, g/mol.
    pub molar_mass: f64,
    /// Moles that one mole takes up: of metal for an agent, of sulfuric acid for a base.
    pub takes: f64,
    other_names: Vec<String>,
    source: String,
    place: String,
    evidence: Evidence,
}

/// What `chemicals.toml` holds.
#[derive(Debug)]
pub(super) struct Chemicals {
    agents: Vec<Chemical>,
    bases: Vec<Chemical>,
    iron: f64,
    sulfur: f64,
    sulfuric_acid: f64,
    origin: Origin,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    element: Vec<Element>,
    weights: Origin,
    sulfuric_acid: Atoms,
    agent: Vec<Line>,
    base: Vec<Line>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Element {
    symbol: String,
    weight: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Atoms {
    atoms: BTreeMap<String, u32>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    name: String,
    other_names: Vec<String>,
    form: String,
    atoms: BTreeMap<String, u32>,
    takes: f64,
    source: String,
    place: String,
    evidence: Evidence,
}

const FILE: &str = "chemicals.toml";

pub(super) fn read() -> std::result::Result<Chemicals, (&'static str, String)> {
    let file: File = parse(FILE, include_str!("chemicals.toml"))?;
    let weights: BTreeMap<String, f64> =
        file.element.into_iter().map(|element| (element.symbol, element.weight)).collect();
    let chemical = |line: Line| {
        Ok(Chemical {
            molar_mass: molar_mass(&line.atoms, &weights)?,
            name: line.name,
            form: line.form,
            takes: line.takes,
            other_names: line.other_names,
            source: line.source,
            place: line.place,
            evidence: line.evidence,
        })
    };
    let sulfuric_acid = molar_mass(&file.sulfuric_acid.atoms, &weights)?;
    let agents = file.agent.into_iter().map(chemical).collect::<std::result::Result<_, _>>()?;
    let bases = file.base.into_iter().map(chemical).collect::<std::result::Result<_, _>>()?;
    let one = |symbol: &str| molar_mass(&BTreeMap::from([(symbol.to_owned(), 1)]), &weights);
    Ok(Chemicals { agents, bases, iron: one("Fe")?, sulfur: one("S")?, sulfuric_acid, origin: file.weights })
}

fn molar_mass(
    atoms: &BTreeMap<String, u32>,
    weights: &BTreeMap<String, f64>,
) -> std::result::Result<f64, (&'static str, String)> {
    let of = |(symbol, count): (&String, &u32)| {
        let weight = weights.get(symbol).ok_or_else(|| (FILE, format!("no atomic weight of {symbol}")))?;
        Ok(weight * f64::from(*count))
    };
    atoms.iter().map(of).sum()
}

impl Chemicals {
    pub(super) fn sources(&self) -> impl Iterator<Item = &String> {
        let chemicals = self.agents.iter().chain(&self.bases).map(|chemical| &chemical.source);
        chemicals.chain([&self.origin.source])
    }
}

fn named<'a>(list: &'a [Chemical], what: &'static str, name: &str) -> Result<&'a Chemical> {
    let wanted = name.trim().to_lowercase();
    let is_it = |found: &&Chemical| found.name.to_lowercase() == wanted || found.other_names.contains(&wanted);
    list.iter().find(is_it).ok_or_else(|| {
        let allowed = list.iter().map(|chemical| chemical.name.clone()).collect();
        Error::new(ErrorKind::Name { what, found: name.trim().to_owned(), allowed })
    })
}

impl Reference {
    /// The chelating agent of this name.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the names there are.
    ///
    /// # Example
    /// ```
    /// let reference = woodstate::reference::Reference::shipped().unwrap();
    /// let agent = reference.chelating_agent("EDTA").unwrap();
    /// assert!((agent.molar_mass - 372.24).abs() < 0.005);
    /// ```
    pub fn chelating_agent(&self, name: &str) -> Result<&Chemical> {
        named(&self.chemicals.agents, "chelating agent", name)
    }

    /// The base of this name.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the names there are.
    pub fn base(&self, name: &str) -> Result<&Chemical> {
        named(&self.chemicals.bases, "base", name)
    }

    /// Molar mass of iron, g/mol.
    #[must_use]
    pub fn iron_molar_mass(&self) -> f64 {
        self.chemicals.iron
    }

    /// Molar mass of sulfur, g/mol.
    #[must_use]
    pub fn sulfur_molar_mass(&self) -> f64 {
        self.chemicals.sulfur
    }

    /// Molar mass of sulfuric acid, g/mol.
    #[must_use]
    pub fn sulfuric_acid_molar_mass(&self) -> f64 {
        self.chemicals.sulfuric_acid
    }

    /// The origin of what a chemical takes up, and of atomic weights.
    #[must_use]
    pub fn chemical_sources(&self, chemical: &Chemical) -> [Cited; 2] {
        let weights = &self.chemicals.origin;
        let used_for = format!("{}: what one mole takes up", chemical.name);
        [
            self.cited(used_for, &chemical.source, &chemical.place, chemical.evidence),
            self.cited("molar masses", &weights.source, &weights.place, weights.evidence),
        ]
    }
}
