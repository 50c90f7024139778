//! `bath`: mixing, washing, time, freezing, as functions and as the program.

mod caution;
mod course;
mod fault;
mod law;
mod mix;
mod program;
mod study;
mod wash;

use woodstate::study::{BathPlan, BathWood, bath_water_density};

/// A plan of keys and texts.
#[track_caller]
pub(crate) fn plan(texts: &[(&str, &str)]) -> BathPlan {
    let mut plan = BathPlan::default();
    for (key, text) in texts {
        plan.set(key, text).unwrap();
    }
    plan
}

/// An oak beam of 2.0 x 0.2 x 0.2 m with 400 % of water: 80 L, 68.571 kg of water, 17.143 kg of oven-dry wood.
/// Source: balance of masses with a cell wall of 1.5 g/cm3 and water of 1 g/cm3 (derived).
pub(crate) fn beam(temperature: f64) -> BathWood {
    let density = bath_water_density(temperature).unwrap();
    BathWood::stated(80.0, 68.571, Some(17.143), density).unwrap()
}

#[track_caller]
pub(crate) fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual}, expected {expected} within {tolerance}");
}
