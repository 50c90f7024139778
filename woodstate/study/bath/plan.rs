//! What is stated of a bath: by the study file, and by what was typed on top.

use super::strength::{PlannedBath, bare};
use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::{Measured, Unit};
use crate::reference::Reference;
use crate::study::SafetyForm;
use crate::treatment::Ranged;

/// What is stated of a bath. `None` is "not stated"; nothing here has a usual value.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BathPlan {
    /// Volume of the tank up to the level of the bath, wood included, L.
    pub tank: Option<f64>,
    /// Name of the impregnant.
    pub impregnant: Option<String>,
    /// Volume that 1 g of it takes up in water, cm³/g.
    pub apparent_volume: Option<Measured>,
    /// Density of the pure impregnant, kg/m³.
    pub impregnant_density: Option<f64>,
    /// Temperature of the bath, °C.
    pub temperature: Option<f64>,
    /// The baths, one after the other.
    pub steps: Vec<PlannedBath>,
    /// Water that cell walls hold when all else is gone, % of oven-dry mass.
    pub bound_water: Option<f64>,
    /// Water in the wood that the molecules do not reach, % of oven-dry mass.
    pub excluded_water: Option<f64>,
    /// Share of the salts that may be left after washing, %.
    pub salt_left: Option<f64>,
    /// Name of a chelating agent.
    pub agent: Option<String>,
    /// Calcium and magnesium of the water for washing, mmol/L.
    pub hardness: Option<f64>,
    /// Name of a base.
    pub base: Option<String>,
    /// Diffusivity across the grain, m²/s.
    pub diffusivity: Option<StatedDiffusivity>,
    /// Diffusivity along the grain, m²/s.
    pub diffusivity_along: Option<StatedDiffusivity>,
    /// Diffusivity of the soft rim across the grain, m²/s.
    pub diffusivity_rim: Option<StatedDiffusivity>,
    /// Temperature at which the diffusivities hold, °C.
    pub diffusivity_temperature: Option<f64>,
    /// Activation energy of diffusion, J/mol.
    pub activation_energy: Option<Measured>,
    /// Name of an impregnant that follows in baths of its own, while the first is washed out again.
    pub second_impregnant: Option<String>,
    /// Volume that 1 g of it takes up in water, cm³/g.
    pub second_apparent_volume: Option<Measured>,
    /// Its baths, after all of the first.
    pub second_steps: Vec<PlannedBath>,
    /// Its diffusivity across the grain, m²/s.
    pub second_diffusivity: Option<StatedDiffusivity>,
    /// How much of the safety notes is shown.
    pub safety: SafetyForm,
}

/// A diffusivity as somebody states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedDiffusivity {
    /// Value and interval, m²/s.
    pub ranged: Ranged,
    /// Whether an interval was stated.
    pub has_interval: bool,
}

impl BathPlan {
    /// The keys, as in the study file and, with hyphens, at the command line.
    pub const KEYS: [(&'static str, &'static str); 21] = [
        ("tank", "volume of the tank up to the level of the bath, wood included, such as \"2400 L\""),
        ("impregnant", "name of the impregnant, such as \"PEG 2000\""),
        ("apparent_volume", "volume that 1 g of the impregnant takes up in water, such as \"0.837 ± 0.003 cm3/g\""),
        ("impregnant_density", "density of the pure impregnant, such as \"1125 kg/m3\""),
        ("temperature", "temperature of the bath, such as \"20 Cel\""),
        ("steps", "the baths one after the other, such as \"10 % by mass for 60 d, 20 % by mass for 60 d\""),
        ("bound_water", "water that the cell walls hold when all else is gone, such as \"30 %\" of oven-dry mass"),
        ("excluded_water", "water in the wood that the molecules do not reach, such as \"20 %\" of oven-dry mass"),
        ("salt_left", "share of the salts that may be left after washing, such as \"1 %\""),
        ("agent", "a chelating agent, such as \"disodium EDTA\""),
        ("hardness", "calcium and magnesium of the water for washing, such as \"2.5 mmol/L\""),
        ("base", "a base, such as \"sodium hydrogen carbonate\""),
        ("diffusivity", "diffusivity across the grain, such as \"1e-12 to 1e-10 m2/s\""),
        ("diffusivity_along", "diffusivity along the grain, such as \"2e-12 to 8e-10 m2/s\""),
        ("diffusivity_rim", "diffusivity of the soft rim across the grain, such as \"1e-11 to 1e-10 m2/s\""),
        ("diffusivity_temperature", "temperature at which the diffusivities hold, such as \"20 Cel\""),
        ("activation_energy", "activation energy of diffusion, such as \"36.5 ± 3 kJ/mol\""),
        ("second_impregnant", "impregnant that follows in baths of its own, such as \"PEG 4000\""),
        ("second_apparent_volume", "volume that 1 g of it takes up in water, such as \"0.837 ± 0.003 cm3/g\""),
        ("second_steps", "its baths, after all of the first, such as \"30 % by mass for 200 d\""),
        ("second_diffusivity", "its diffusivity across the grain, such as \"1e-13 to 1e-11 m2/s\""),
    ];

    /// States one thing; what was stated before gives way.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] for a key or a chemical that does not exist, [`ErrorKind::Quantity`] and [`ErrorKind::Unit`] for a
    /// text that cannot be read, [`ErrorKind::Range`] for a number that cannot be.
    ///
    /// # Example
    /// ```
    /// use woodstate::study::BathPlan;
    /// let mut plan = BathPlan::default();
    /// plan.set("tank", "2.4 m3")?;
    /// assert_eq!(plan.tank, Some(2400.0));
    /// assert!(plan.set("tank", "2400").is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn set(&mut self, key: &str, text: &str) -> Result<()> {
        match key {
            "tank" => self.tank = Some(positive(key, text, "L")?),
            "impregnant" => self.impregnant = Some(text.trim().to_owned()),
            "apparent_volume" => self.apparent_volume = Some(measured(key, text, "cm3/g")?),
            "impregnant_density" => self.impregnant_density = Some(positive(key, text, "kg/m3")?),
            "temperature" => self.temperature = Some(within(key, text, "Cel", [0.0, 100.0])?),
            "steps" => self.steps = PlannedBath::parse_all(text)?,
            "bound_water" => self.bound_water = Some(within(key, text, "%", [0.0, 100.0])?),
            "excluded_water" => self.excluded_water = Some(within(key, text, "%", [0.0, 1000.0])?),
            "salt_left" => self.salt_left = Some(within(key, text, "%", [1e-6, 100.0])?),
            "agent" => self.agent = Some(Reference::shipped()?.chelating_agent(text)?.name.clone()),
            "hardness" => self.hardness = Some(within(key, text, "mmol/L", [0.0, 1000.0])?),
            "base" => self.base = Some(Reference::shipped()?.base(text)?.name.clone()),
            "diffusivity" => self.diffusivity = Some(diffusivity(text)?),
            "diffusivity_along" => self.diffusivity_along = Some(diffusivity(text)?),
            "diffusivity_rim" => self.diffusivity_rim = Some(diffusivity(text)?),
            "diffusivity_temperature" => self.diffusivity_temperature = Some(within(key, text, "Cel", [0.0, 100.0])?),
            "activation_energy" => self.activation_energy = Some(measured(key, text, "J/mol")?),
            "second_impregnant" => self.second_impregnant = Some(text.trim().to_owned()),
            "second_apparent_volume" => self.second_apparent_volume = Some(measured(key, text, "cm3/g")?),
            "second_steps" => self.second_steps = PlannedBath::parse_all(text)?,
            "second_diffusivity" => self.second_diffusivity = Some(diffusivity(text)?),
            _ => {
                let keys = || Self::KEYS.iter().map(|(known, _)| *known);
                let nearest = near(key, keys());
                let allowed = if nearest.is_empty() { keys().collect() } else { nearest };
                let allowed = allowed.into_iter().map(str::to_owned).collect();
                return Err(Error::new(ErrorKind::Name { what: "key of a bath", found: key.to_owned(), allowed }));
            }
        }
        Ok(())
    }
}

fn out(key: &str, value: f64, allowed: String) -> Error {
    Error::new(ErrorKind::Range { name: key.to_owned(), value, allowed })
}

fn positive(key: &str, text: &str, unit: &str) -> Result<f64> {
    let value = bare(text, unit)?;
    if value > 0.0 { Ok(value) } else { Err(out(key, value, format!("a number above 0 {unit}"))) }
}

fn within(key: &str, text: &str, unit: &str, [low, high]: [f64; 2]) -> Result<f64> {
    let value = bare(text, unit)?;
    if (low..=high).contains(&value) { Ok(value) } else { Err(out(key, value, format!("{low} to {high} {unit}"))) }
}

fn measured(key: &str, text: &str, unit: &str) -> Result<Measured> {
    let found = Measured::parse(text, Unit::parse(unit)?)?;
    if found.value > 0.0 { Ok(found) } else { Err(out(key, found.value, format!("a number above 0 {unit}"))) }
}

/// Half the width of an interval of a normal value in standard uncertainties, where ± is stated.
const COVERAGE_FACTOR: f64 = 2.0;

/// Reads `1e-11 m2/s`, `1e-11 ± 5e-12 m2/s` or `1e-12 to 1e-10 m2/s`; the value of two ends is their geometric mean, and ±
/// is taken of the logarithm, twice to each side.
///
/// # Errors
/// What is no diffusivity, or not above 0.
pub(super) fn diffusivity(text: &str) -> Result<StatedDiffusivity> {
    let unit = Unit::parse("m2/s")?;
    let not_positive = |value| out("diffusivity", value, "a number above 0 m2/s".to_owned());
    if let Some((low, high)) = text.split_once(" to ") {
        // The unit may stand once, behind the upper end.
        let high = Measured::parse(high, unit)?.value;
        let spelling = text.trim().rsplit(' ').next().unwrap_or("m2/s");
        let low = match low.trim().parse::<f64>() {
            Ok(_) => Measured::parse(&format!("{} {spelling}", low.trim()), unit)?.value,
            Err(_) => Measured::parse(low, unit)?.value,
        };
        let (low, high) = (low.min(high), low.max(high));
        if low <= 0.0 {
            return Err(not_positive(low));
        }
        return Ok(StatedDiffusivity { ranged: Ranged::new((low * high).sqrt(), [low, high])?, has_interval: true });
    }
    let found = Measured::parse(text, unit)?;
    if found.value <= 0.0 {
        return Err(not_positive(found.value));
    }
    let factor = found.u.map(|u| (COVERAGE_FACTOR * u / found.value).exp());
    let ends = factor.map_or([found.value; 2], |factor| [found.value / factor, found.value * factor]);
    Ok(StatedDiffusivity { ranged: Ranged::new(found.value, ends)?, has_interval: found.u.is_some() })
}
