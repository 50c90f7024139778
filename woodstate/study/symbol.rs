//! The words and symbols of a report.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::quantity::Quantity;
use crate::state::PieceView;
use crate::table::Glossary;

use super::Assessment;

/// A word in another language, where the glossary has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Translation {
    /// The language, by its English name.
    pub language: &'static str,
    /// Its words.
    pub words: Vec<&'static str>,
}

/// A quantity that is shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Word {
    /// Its name in files.
    pub name: &'static str,
    /// What it is called in tables.
    pub title: &'static str,
    /// UCUM code of its unit.
    pub unit: &'static str,
    /// Its formula.
    pub formula: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What the trade calls it elsewhere: common practice, no source.
    pub elsewhere: Vec<Translation>,
}

/// A symbol of the formulas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Symbol {
    /// The symbol.
    pub symbol: &'static str,
    /// What it stands for, with its unit.
    pub meaning: &'static str,
}

const SYMBOLS: [(&str, &str); 15] = [
    ("m_w", "mass in air of the saturated piece, g"),
    ("m_0", "oven-dry mass, g"),
    ("V", "waterlogged volume, cm3"),
    ("V_w", "waterlogged volume, cm3"),
    ("V_0", "oven-dry volume, cm3"),
    ("rho_b", "basic density, kg/m3"),
    ("rho_ref", "basic density of sound wood of the taxon, kg/m3"),
    ("rho_c", "density of the cell wall, kg/m3"),
    ("rho_w", "density of the water, kg/m3"),
    ("L_w", "saturated size, mm"),
    ("L_0", "oven-dry size, mm"),
    ("b_R", "radial shrinkage, %"),
    ("b_T", "tangential shrinkage, %"),
    ("b_L", "longitudinal shrinkage, %"),
    ("a", "ash, share of oven-dry mass"),
];

/// The quantities that some piece has.
pub(super) fn words(assessment: &Assessment) -> Result<Vec<Word>> {
    let glossary = Glossary::shipped()?;
    let is_shown = |quantity: &Quantity| {
        let is_known = |piece: PieceView<'_>| piece.value(*quantity).is_some();
        assessment.samples.views().any(is_known)
    };
    let word = |quantity: &Quantity| {
        let spec = quantity.spec();
        let elsewhere = glossary.words_of(spec.name).into_iter();
        let elsewhere = elsewhere.filter(|(language, _)| *language != "English");
        Word {
            name: spec.name,
            title: spec.title,
            unit: spec.unit,
            formula: spec.formula,
            meaning: spec.meaning,
            elsewhere: elsewhere.map(|(language, words)| Translation { language, words }).collect(),
        }
    };
    Ok(Quantity::ALL.iter().filter(|quantity| is_shown(quantity)).map(word).collect())
}

/// The symbols that the formulas of these quantities use.
pub(super) fn symbols(words: &[Word]) -> Vec<Symbol> {
    let used = |symbol: &str| {
        let parts =
            |word: &Word| word.formula.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|part| part == symbol);
        words.iter().any(parts)
    };
    let known = SYMBOLS.iter().filter(|(symbol, _)| used(symbol));
    known.map(|(symbol, meaning)| Symbol { symbol, meaning }).collect()
}
