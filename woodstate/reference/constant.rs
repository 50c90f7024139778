//! Single constants: the cell wall, water, and the limits that are proposals of ours.

use serde::Deserialize;

use super::Reference;
use super::source::parse;
use crate::quantity::{Cited, Evidence};

/// A constant with its unit, uncertainty and origin.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Constant {
    /// Its name.
    pub name: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// One standard uncertainty, in `unit`, where it has one.
    pub u: Option<f64>,
    /// UCUM code.
    pub unit: String,
    /// What it is, in one sentence.
    pub meaning: String,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// Coefficients of the equations of state of water at one atmosphere.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaterCoefficients {
    /// a1 … a5 of the equation for pure water (°C, °C, °C2, °C, kg/m3).
    pub fresh: [f64; 5],
    /// Polynomial in t (IPTS-68) that multiplies S.
    pub saline_first: [f64; 5],
    /// Polynomial in t (IPTS-68) that multiplies S^1.5.
    pub saline_three_halves: [f64; 3],
    /// Factor of S².
    pub saline_second: f64,
    /// t on the scale IPTS-68 divided by t on the scale ITS-90.
    pub scale_68_over_90: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    constant: Vec<Constant>,
    water: WaterCoefficients,
}

pub(super) fn read() -> Result<(Vec<Constant>, WaterCoefficients), (&'static str, String)> {
    let file: File = parse("constants.toml", include_str!("constants.toml"))?;
    Ok((file.constant, file.water))
}

impl Reference {
    /// The constant with this name.
    #[must_use]
    pub fn constant(&self, name: &str) -> Option<&Constant> {
        self.constants.iter().find(|constant| constant.name == name)
    }

    /// All constants.
    #[must_use]
    pub fn constants(&self) -> &[Constant] {
        &self.constants
    }

    /// The origin of a constant.
    #[must_use]
    pub fn constant_source(&self, constant: &Constant) -> Cited {
        let u = constant.u.map(|u| format!(" ± {u}")).unwrap_or_default();
        let value = constant.value;
        let value = if value.abs() < 1e-6 { format!("{value:e}") } else { value.to_string() };
        let unit = if constant.unit == "1" { String::new() } else { format!(" {}", constant.unit) };
        let used_for = format!("{}: {value}{u}{unit}", constant.meaning);
        self.cited(used_for, &constant.source, &constant.place, constant.evidence)
    }
}
