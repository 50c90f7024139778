//! A sphere whose surface is held at the concentration of the bath.

use std::f64::consts::PI;

use super::check;
use super::series::{self, SMALL, counted, summed};
use crate::error::Result;
use crate::numeric::{erfc, ierfc};

/// Below it the sum over images has all digits in two terms, above it the series of exponentials.
const SHORT: f64 = 0.1;
/// The same for the concentration at a place.
const SHORT_AT: f64 = 0.02;
/// Nearer to the centre than this the difference of two images would lose digits, and the centre is as good.
const CENTRAL: f64 = 1e-6;

/// Share of the final uptake that a sphere has taken up on average, 0 to 1.
///
/// ```text
/// E = 1 − (6/π²) Σ exp(−n² π² T)/n²,               n = 1, 2, …           for long times
/// E = 6 √T (1/√π + 2 Σ ierfc(n/√T)) − 3T,          n = 1, 2, …           for short times
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; D diffusivity, m²/s; t time, s; a radius, m
///
/// # Errors
/// A reduced time that is negative or no number.
///
/// # Example
/// ```
/// let uptake = woodstate::treatment::sphere_uptake(0.182_985_4)?;
/// assert!((uptake - 0.9).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, section 6.3 (from memory).
pub fn sphere_uptake(reduced_time: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    Ok(series::share(1.0 - left(reduced_time)))
}

/// Concentration in a sphere relative to its surface, 0 to 1.
///
/// ```text
/// c = 1 + (2/(πx)) Σ (−1)ⁿ/n sin(nπx) exp(−n² π² T),  n = 1, 2, …        for long times
/// c = (1/x) Σ [erfc((2n+1−x)/(2√T)) − erfc((2n+1+x)/(2√T))],  n = 0, 1, …    for short times
/// ```
///
/// * `reduced_time`: T = D t/a², as in [`sphere_uptake`]
/// * `place`: x = r/a, 0 in the centre, 1 on the surface
///
/// # Errors
/// A reduced time that is negative or no number, a place outside 0 to 1.
///
/// # Example
/// ```
/// // One term is left at long times: 1 − 2 exp(−π² T).
/// let centre = woodstate::treatment::sphere_value(0.5, 0.0)?;
/// assert!((centre - 0.985_616_233).abs() < 1e-8);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`sphere_uptake`].
pub fn sphere_value(reduced_time: f64, place: f64) -> Result<f64> {
    check::not_negative("reduced time", reduced_time)?;
    check::share("place", place)?;
    Ok(series::share(1.0 - left_at(reduced_time, place)))
}

/// 1 − E.
pub(super) fn left(t: f64) -> f64 {
    if t < SHORT {
        let root = t.sqrt();
        // At T = 0 no image is seen.
        let images = if t > 0.0 { ierfc(1.0 / root) + ierfc(2.0 / root) } else { 0.0 };
        return 1.0 - (6.0 * root * (1.0 / PI.sqrt() + 2.0 * images) - 3.0 * t);
    }
    6.0 / (PI * PI) * summed(counted().map(|n| (-(n * PI).powi(2) * t).exp() / (n * n)), SMALL)
}

/// 1 − c.
pub(super) fn left_at(t: f64, x: f64) -> f64 {
    if x >= 1.0 && t > 0.0 {
        return 0.0;
    }
    if t < SHORT_AT {
        return if t <= 0.0 { 1.0 } else { 1.0 - images(t, x) };
    }
    let (mut sign, mut sum) = (-1.0, 0.0);
    for n in counted() {
        sign = -sign;
        let size = (-(n * PI).powi(2) * t).exp();
        if size < SMALL {
            break;
        }
        let angle = n * PI * x;
        let shape = if x < CENTRAL { 1.0 } else { angle.sin() / angle };
        sum += sign * size * shape;
    }
    2.0 * sum
}

fn images(t: f64, x: f64) -> f64 {
    let width = 2.0 * t.sqrt();
    if x < CENTRAL {
        return 4.0 / (PI.sqrt() * width) * [1.0, 3.0].map(|m: f64| (-(m / width).powi(2)).exp()).iter().sum::<f64>();
    }
    [1.0, 3.0].map(|m: f64| erfc((m - x) / width) - erfc((m + x) / width)).iter().sum::<f64>() / x
}
