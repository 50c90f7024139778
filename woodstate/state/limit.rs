//! Limits and stand-ins that the assessment of a batch uses, looked up once.

use crate::reference::{Constant, Reference};

use super::Reading;

/// Published and proposed limits; not a number, which no comparison passes, where the build has none.
#[derive(Debug, Clone)]
pub(super) struct Limits {
    pub(super) saturation_low: f64,
    pub(super) saturation_high: f64,
    pub(super) below_sound_share: f64,
    pub(super) extractives_loss: f64,
    pub(super) water_content_beyond_finds: f64,
    pub(super) basic_density_beyond_finds: f64,
    pub(super) iron: f64,
    pub(super) sea_salinity: f64,
    /// As shares of 1.
    pub(super) impossible_draws: f64,
    pub(super) repeats_differ: f64,
    pub(super) routes_disagree: f64,
    /// Stand-ins for what was not recorded.
    pub(super) density_12_factor: Option<Reading>,
    pub(super) weighing_temperature: Option<Reading>,
}

impl Limits {
    pub(super) fn of(reference: &Reference) -> Self {
        let limit = |name| reference.constant(name).map_or(f64::NAN, |constant| constant.value);
        let reading = |constant: &Constant| Reading::normal(constant.value, constant.u);
        Self {
            saturation_low: limit("saturation_low"),
            saturation_high: limit("saturation_high"),
            below_sound_share: limit("below_sound_share") / 100.0,
            extractives_loss: limit("extractives_loss"),
            water_content_beyond_finds: limit("water_content_beyond_finds"),
            basic_density_beyond_finds: limit("basic_density_beyond_finds"),
            iron: limit("iron_limit"),
            sea_salinity: limit("sea_salinity"),
            impossible_draws: limit("impossible_draws_share") / 100.0,
            repeats_differ: limit("repeats_differ_share") / 100.0,
            routes_disagree: limit("routes_disagree_share") / 100.0,
            density_12_factor: reference.constant("basic_density_of_density_12").map(reading),
            weighing_temperature: reference.constant("weighing_temperature").map(reading),
        }
    }
}
