//! `[follow]` of the study file, as it is written.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::study::origin::{QuantityText, Spanned, Text};

/// What is asked of the log of a treatment. Nothing here has a default: what is missing is asked.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(in crate::study) struct FollowText {
    /// Share of the concentration of the bath that a timber shall reach, such as "90 %".
    #[schemars(with = "QuantityText")]
    pub(super) target: Text,
    /// What is in the tanks, such as "PEG 2000" or "sucrose".
    #[schemars(with = "String")]
    pub(super) impregnant: Option<String>,
    /// Volume that 1 g of impregnant takes up in the solution, such as "0.84 cm3/g"; it joins mass fraction and mass per volume.
    #[schemars(with = "QuantityText")]
    pub(super) apparent_volume: Text,
    /// Largest step of concentration of the plan, such as "10 %" by mass or "100 g/L".
    #[schemars(with = "QuantityText")]
    pub(super) step: Text,
    /// Diffusivity across the grain, two ends of an interval, for timbers whose masses do not give one.
    #[schemars(with = "[QuantityText; 2]")]
    pub(super) diffusivity: Option<[Spanned<QuantityText>; 2]>,
    /// Diffusivity along the grain over that across; without it ends of timbers are left out.
    #[schemars(with = "f64")]
    pub(super) grain_ratio: Option<Spanned<f64>>,
    /// Activation energy of the diffusivity, such as "36.5 kJ/mol"; it goes with `reference_temperature`.
    #[schemars(with = "QuantityText")]
    pub(super) activation_energy: Text,
    /// Temperature for which diffusivities are given.
    #[schemars(with = "QuantityText")]
    pub(super) reference_temperature: Text,
    /// What conductivity gains with each kelvin, % of that at 25 °C, such as "2 %"; without it readings are taken as they stand.
    #[schemars(with = "QuantityText")]
    pub(super) conductivity_per_kelvin: Text,
    /// Rise of conductivity a week below which a washing curve is flat.
    #[schemars(with = "QuantityText")]
    pub(super) flat_conductivity: Text,
    /// Rise of chloride a week below which a washing curve is flat.
    #[schemars(with = "QuantityText")]
    pub(super) flat_chloride: Text,
    /// How many rises, one after the other, must be that small.
    #[schemars(with = "usize", range(min = 1))]
    pub(super) flat_readings: Option<Spanned<usize>>,
    /// Conductivity that the last reading must not exceed.
    #[schemars(with = "QuantityText")]
    pub(super) conductivity_limit: Text,
    /// Chloride that the last reading must not exceed.
    #[schemars(with = "QuantityText")]
    pub(super) chloride_limit: Text,
    /// Iron that the last reading must not exceed.
    #[schemars(with = "QuantityText")]
    pub(super) iron_limit: Text,
    /// Loss of volume of a bath in a week that evaporation explains, such as "2 %".
    #[schemars(with = "QuantityText")]
    pub(super) volume_loss_limit: Text,
    /// Fall of pH in a week that counts as fast in a bath of sugar, such as "0.5 pH".
    #[schemars(with = "QuantityText")]
    pub(super) ph_fall_limit: Text,
    /// Anti-shrink efficiency from which a treatment is accepted.
    #[schemars(with = "QuantityText")]
    pub(super) accepted_efficiency: Text,
    /// Tanks that differ, by their name.
    #[schemars(with = "BTreeMap<String, TankText>")]
    pub(super) tanks: BTreeMap<String, TankText>,
}

/// What is in a tank.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct TankText {
    /// What is in it.
    #[schemars(with = "String")]
    pub(super) impregnant: Option<String>,
    /// Volume that 1 g of impregnant takes up in the solution.
    #[schemars(with = "QuantityText")]
    pub(super) apparent_volume: Text,
    /// Largest step of concentration of the plan.
    #[schemars(with = "QuantityText")]
    pub(super) step: Text,
}
