//! Fits by least squares, and how sure they are.

mod both;
#[cfg(feature = "report")]
mod curve;
mod doubt;
mod draw;
mod fault;
mod law;
mod line;
mod robust;

use woodstate::error::Result;
use woodstate::numeric::{Fit, FitOptions, Noise, Points, Starts, Watch, fit};

/// b₀ (1 − exp(−b₁ x)), with its slopes.
fn rise(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let rest = (-b[1] * x[0]).exp();
    slope[0] = 1.0 - rest;
    slope[1] = b[0] * x[0] * rest;
    b[0] * slope[0]
}

/// Predictors and readings that rise to about 100.
const X: [f64; 12] = [0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0];
const Y: [f64; 12] = [21.4, 38.9, 51.2, 63.0, 78.3, 87.1, 91.0, 95.4, 97.2, 98.1, 100.3, 99.2];

/// The only caller of the fit with plain options.
fn risen(x: &[f64], y: &[f64], noise: Noise<'_>, start: &[f64]) -> Result<Fit> {
    fit(&rise, &Points::new(x, y, noise)?, &Starts::at(start), &FitOptions::plain(), &Watch::silent())
}

#[track_caller]
fn agrees(actual: f64, expected: f64, relative: f64) {
    let miss = ((actual - expected) / expected).abs();
    assert!(miss <= relative, "{actual:e} instead of {expected:e}: relative difference {miss:e}");
}

#[cfg(feature = "report")]
fn frozen() -> serde_json::Value {
    serde_json::from_str(include_str!("expected/outside/fit.json")).unwrap()
}

#[cfg(feature = "report")]
fn numbers(value: &serde_json::Value) -> Vec<f64> {
    let number = |value: &serde_json::Value| value.as_f64().or_else(|| value.as_str()?.parse().ok()).unwrap();
    value.as_array().unwrap().iter().map(number).collect()
}
