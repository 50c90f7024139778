//! The bath that a timber lay in, on a clock that runs faster where it was warm.

use crate::error::Result;
use crate::reference::Reference;
use crate::state::fresh_water_density;
use crate::table::written_day;
use crate::treatment::{BathHistory, arrhenius_factor, mass_per_volume, solution_density};

use super::FollowOptions;
use super::log::Entry;
use super::outcome::Strength;

/// One day, s.
pub(super) const DAY: f64 = 86_400.0;

/// A concentration with its basis.
pub(super) enum Read {
    /// Mass per volume, g/L.
    Known(f64),
    /// By mass, and the volume of the impregnant is not stated.
    WithoutBasis,
}

/// What a row says of the strength of its bath.
pub(super) fn strength(entry: &Entry, options: &FollowOptions, reference: &Reference) -> Option<Read> {
    if let Some(found) = entry.mass_per_volume {
        return Some(Read::Known(found));
    }
    let fraction = entry.mass_fraction? / 100.0;
    if fraction <= 0.0 {
        return Some(Read::Known(0.0));
    }
    let Some(volume) = options.of_tank(entry.tank.as_deref()).apparent_volume else { return Some(Read::WithoutBasis) };
    let usual = reference.constant("bath_temperature_unknown").map(|constant| constant.value);
    let temperature = entry.temperature.or(usual)?;
    let water = fresh_water_density(temperature, reference.water());
    Some(Read::Known(mass_per_volume(fraction, solution_density(fraction, volume, water))))
}

/// The same, to be shown.
pub(super) fn strength_shown(entry: &Entry, options: &FollowOptions, reference: &Reference) -> Option<Strength> {
    let (value, unit) = match (entry.mass_per_volume, entry.mass_fraction) {
        (Some(value), _) => (value, "g/L"),
        (None, Some(value)) => (value, "%"),
        (None, None) => return None,
    };
    let mass_per_volume = match strength(entry, options, reference)? {
        Read::Known(found) => Some(found),
        Read::WithoutBasis => None,
    };
    Some(Strength { date: written_day(entry.day), value, unit, mass_per_volume })
}

/// Time as diffusion counts it: seconds at the reference temperature since the first day.
#[derive(Debug, Clone)]
pub(super) struct Clock {
    /// Day, seconds up to it, seconds a day from it on.
    stretches: Vec<(f64, f64, f64)>,
}

impl Clock {
    /// The clock of readings of temperature, day by day; a reading holds until the next one. Without an energy all days are alike.
    pub(super) fn new(first: f64, readings: &[(f64, f64)], options: &FollowOptions) -> Result<Self> {
        let mut stretches = vec![(first, 0.0, DAY)];
        if let (Some(energy), Some(reference)) = (options.activation_energy, options.reference_temperature) {
            for (k, (day, temperature)) in readings.iter().enumerate() {
                let pace = DAY * arrhenius_factor(energy, reference, *temperature)?;
                // What was before the first reading is taken to have been as warm.
                let from = if k == 0 { first } else { day.max(first) };
                let (last, seconds, before) = stretches.last().copied().unwrap_or((first, 0.0, DAY));
                let reached = seconds + (from - last) * before;
                if from <= last {
                    stretches.pop();
                }
                stretches.push((from, reached, pace));
            }
        }
        Ok(Self { stretches })
    }

    /// Seconds up to a day.
    pub(super) fn seconds(&self, day: f64) -> f64 {
        let place = self.stretches.iter().rposition(|(from, ..)| *from <= day).unwrap_or(0);
        self.stretches.get(place).map_or(0.0, |(from, seconds, pace)| seconds + (day - from) * pace)
    }

    /// The day of so many seconds.
    pub(super) fn day(&self, seconds: f64) -> f64 {
        let place = self.stretches.iter().rposition(|(_, reached, _)| *reached <= seconds).unwrap_or(0);
        self.stretches.get(place).map_or(0.0, |(from, reached, pace)| from + (seconds - reached) / pace)
    }
}

/// The bath of a timber up to a day, by its clock.
pub(super) fn history(steps: &[(f64, f64)], clock: &Clock, until: f64) -> Result<BathHistory> {
    let known = || steps.iter().filter(|(day, _)| *day <= until);
    let begins: Vec<f64> = known().map(|(day, _)| clock.seconds(*day)).collect();
    let concentrations: Vec<f64> = known().map(|(_, concentration)| *concentration).collect();
    BathHistory::new(&begins, &concentrations)
}
