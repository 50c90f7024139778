//! Pressure of a sling on the wood, and what slings that lean do.

use crate::error::Result;

use super::check;
use super::section::PASCAL;

/// Pressure across the grain under a sling or a bearer, `MPa`.
///
/// ```text
/// σ = R / (l b)
/// ```
///
/// * `force`: R, N
/// * `sling_width`: l, along the timber, m
/// * `contact_width`: b, across, m: the width of a flat underside. A sling with upright legs round a log presses on its diameter,
///   as a belt does
///
/// A mean: at the edges of a squared timber the pressure is higher, so edges need padding. Strength of the soft rim decides, at
/// the proportional limit: beyond it a dent stays, and a dent is damage.
///
/// # Errors
/// A force below 0, a width that is not above 0.
///
/// # Example
/// ```
/// let pressure = woodstate::lift::bearing_stress(2181.98, 0.1, 0.25)?;
/// assert!((pressure - 0.087279).abs() < 5e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Derived: force over area.
pub fn bearing_stress(force: f64, sling_width: f64, contact_width: f64) -> Result<f64> {
    check::not_negative("force of a sling (N)", force)?;
    check::positive("width of a sling (m)", sling_width)?;
    check::positive("width of contact (m)", contact_width)?;
    Ok(pressure(force, sling_width, contact_width))
}

pub(super) fn pressure(force: f64, sling_width: f64, contact_width: f64) -> f64 {
    force / (sling_width * contact_width) / PASCAL
}

/// What a sling that leans pulls, and how hard two of them press the timber together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leaning {
    /// Pull in the sling, N.
    pub tension: f64,
    /// Force along the timber between the slings, N.
    pub push: f64,
}

/// The pull in a sling that leans, and the push along the timber, of the upward force R that it gives.
///
/// ```text
/// T = R / sin α,   P = R / tan α
/// ```
///
/// * `force`: R, N
/// * `angle`: α, between the sling and the level, degrees: 90 hangs upright, as from a spreader
///
/// # Errors
/// A force below 0, an angle that is not above 0 and up to 90.
///
/// # Example
/// ```
/// let leaning = woodstate::lift::leaning(1000.0, 30.0)?;
/// assert!((leaning.tension - 2000.0).abs() < 1e-9 && (leaning.push - 1732.0508).abs() < 5e-5);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Derived from the balance of forces: T = W/(2 sin α) for two slings.
pub fn leaning(force: f64, angle: f64) -> Result<Leaning> {
    check::not_negative("force of a sling (N)", force)?;
    check_angle(angle)?;
    Ok(Leaning { tension: force / angle.to_radians().sin(), push: force * push_share(angle) })
}

pub(super) fn check_angle(angle: f64) -> Result<()> {
    if angle > 0.0 && angle <= UPRIGHT {
        return Ok(());
    }
    Err(check::range("angle between sling and level (degrees)", angle, "a number above 0 and up to 90"))
}

/// Push along the timber over upward force; exactly 0 for a sling that hangs upright.
pub(super) fn push_share(angle: f64) -> f64 {
    if angle < UPRIGHT { 1.0 / angle.to_radians().tan() } else { 0.0 }
}

/// Degrees.
pub(super) const UPRIGHT: f64 = 90.0;
