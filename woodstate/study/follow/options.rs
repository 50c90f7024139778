//! What a study asks of the log of a treatment.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::study::origin::{Origin, Text};

use super::text::{FollowText, TankText};

/// What a study asks of the log of a treatment; `None` where it does not say.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct FollowOptions {
    /// Share of the concentration of the bath that a timber shall reach, 0 to 1.
    pub target: Option<f64>,
    /// What holds where a tank has nothing of its own.
    pub tank: TankOptions,
    /// Diffusivity across the grain, m²/s, two ends.
    pub diffusivity: Option<[f64; 2]>,
    /// Diffusivity along the grain over that across.
    pub grain_ratio: Option<f64>,
    /// Activation energy of the diffusivity, J/mol.
    pub activation_energy: Option<f64>,
    /// Temperature for which diffusivities are given, °C.
    pub reference_temperature: Option<f64>,
    /// What conductivity gains with each kelvin, % of that at 25 °C.
    pub conductivity_per_kelvin: Option<f64>,
    /// Rise of conductivity a week below which a washing curve is flat, uS/cm.
    pub flat_conductivity: Option<f64>,
    /// Rise of chloride a week below which a washing curve is flat, mg/L.
    pub flat_chloride: Option<f64>,
    /// How many rises, one after the other, must be that small.
    pub flat_readings: Option<usize>,
    /// Conductivity that the last reading must not exceed, uS/cm.
    pub conductivity_limit: Option<f64>,
    /// Chloride that the last reading must not exceed, mg/L.
    pub chloride_limit: Option<f64>,
    /// Iron that the last reading must not exceed, mg/L.
    pub iron_limit: Option<f64>,
    /// Loss of volume of a bath in a week that evaporation explains, %.
    pub volume_loss_limit: Option<f64>,
    /// Fall of pH in a week that counts as fast in a bath of sugar.
    pub ph_fall_limit: Option<f64>,
    /// Anti-shrink efficiency from which a treatment is accepted, %.
    pub accepted_efficiency: Option<f64>,
    /// Tanks that differ, by their name.
    pub tanks: BTreeMap<String, TankOptions>,
}

/// What is in a tank; `None` where the study does not say.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct TankOptions {
    /// What is in it.
    pub impregnant: Option<String>,
    /// Volume that 1 g of impregnant takes up in the solution, cm³/g.
    pub apparent_volume: Option<f64>,
    /// Largest step of concentration of the plan.
    pub step: Option<ConcentrationStep>,
}

/// A step of concentration with its basis.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ConcentrationStep {
    /// By mass of solution, %.
    MassFraction(f64),
    /// By volume of solution, g/L.
    MassPerVolume(f64),
}

impl FollowOptions {
    /// What is known of a tank.
    pub(super) fn of_tank(&self, name: Option<&str>) -> TankOptions {
        let own = name.and_then(|name| self.tanks.get(name)).cloned().unwrap_or_default();
        TankOptions {
            impregnant: own.impregnant.or_else(|| self.tank.impregnant.clone()),
            apparent_volume: own.apparent_volume.or(self.tank.apparent_volume),
            step: own.step.or(self.tank.step),
        }
    }
}

const PER_CENT: (f64, f64) = (0.0, 100.0);

/// Reads `[follow]`.
pub(in crate::study) fn options(origin: &Origin<'_>, text: &FollowText) -> Result<FollowOptions> {
    let target = origin.within(&text.target, "%", PER_CENT)?.map(|target| target.value / 100.0);
    if let (Some(target), Some(at)) = (target, &text.target)
        && !(target > 0.0 && target < 1.0)
    {
        return Err(
            origin.fault(at.span().start, "a target lies between 0 % and 100 %; the last per cent takes for ever")
        );
    }
    let energy = origin.within(&text.activation_energy, "J/mol", (0.0, 200_000.0))?.map(|energy| energy.value);
    let reference = origin.within(&text.reference_temperature, "Cel", (-5.0, 100.0))?.map(|found| found.value);
    if let (Some(at), true) = (&text.activation_energy, reference.is_none()) {
        return Err(origin.fault(at.span().start, "activation_energy needs reference_temperature, such as \"20 Cel\""));
    }
    let diffusivity = match &text.diffusivity {
        Some([low, high]) => {
            let of = |end: &_| origin.positive(&Some(Clone::clone(end)), "m2/s").map(Option::unwrap_or_default);
            let ends = [of(low)?, of(high)?];
            if ends[0] >= ends[1] {
                return Err(origin.fault(low.span().start, "the first end of the interval is not below the second"));
            }
            Some(ends)
        }
        None => None,
    };
    let grain_ratio = match &text.grain_ratio {
        Some(ratio) if !(*ratio.as_ref() >= 1.0 && *ratio.as_ref() <= 100.0) => {
            let say = format!("grain_ratio is {}; allowed is a number from 1 to 100", ratio.as_ref());
            return Err(origin.fault(ratio.span().start, say));
        }
        ratio => ratio.as_ref().map(|ratio| *ratio.as_ref()),
    };
    let flat_readings = match &text.flat_readings {
        Some(count) if *count.as_ref() == 0 => {
            return Err(origin.fault(count.span().start, "flat_readings is at least 1"));
        }
        count => count.as_ref().map(|count| *count.as_ref()),
    };
    let tanks = text.tanks.iter().map(|(name, text)| Ok((name.clone(), tank(origin, text)?)));
    let own = TankOptions {
        impregnant: text.impregnant.clone(),
        apparent_volume: apparent_volume(origin, &text.apparent_volume)?,
        step: step(origin, &text.step)?,
    };
    Ok(FollowOptions {
        target,
        tank: own,
        diffusivity,
        grain_ratio,
        activation_energy: energy,
        reference_temperature: reference,
        conductivity_per_kelvin: origin.positive(&text.conductivity_per_kelvin, "%")?,
        flat_conductivity: origin.positive(&text.flat_conductivity, "uS/cm")?,
        flat_chloride: origin.positive(&text.flat_chloride, "mg/L")?,
        flat_readings,
        conductivity_limit: origin.positive(&text.conductivity_limit, "uS/cm")?,
        chloride_limit: origin.positive(&text.chloride_limit, "mg/L")?,
        iron_limit: origin.positive(&text.iron_limit, "mg/L")?,
        volume_loss_limit: origin.positive(&text.volume_loss_limit, "%")?,
        ph_fall_limit: origin.positive(&text.ph_fall_limit, "[pH]")?,
        accepted_efficiency: origin.within(&text.accepted_efficiency, "%", PER_CENT)?.map(|limit| limit.value),
        tanks: tanks.collect::<Result<_>>()?,
    })
}

fn tank(origin: &Origin<'_>, text: &TankText) -> Result<TankOptions> {
    Ok(TankOptions {
        impregnant: text.impregnant.clone(),
        apparent_volume: apparent_volume(origin, &text.apparent_volume)?,
        step: step(origin, &text.step)?,
    })
}

fn apparent_volume(origin: &Origin<'_>, text: &Text) -> Result<Option<f64>> {
    Ok(origin.within(text, "cm3/g", (0.1, 2.0))?.map(|volume| volume.value))
}

/// A step has a basis: by mass in %, by volume in g/L.
fn step(origin: &Origin<'_>, text: &Text) -> Result<Option<ConcentrationStep>> {
    match text {
        Some(written) if written.as_ref().0.trim_end().ends_with('%') => {
            Ok(origin.positive(text, "%")?.map(ConcentrationStep::MassFraction))
        }
        _ => Ok(origin.positive(text, "g/L")?.map(ConcentrationStep::MassPerVolume)),
    }
}
