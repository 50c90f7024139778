//! What warmth does to a diffusivity.

use super::{Ranged, check};
use crate::error::Result;

/// Molar gas constant, J/(mol K), exact since the units were defined anew in 2019: SI Brochure, 9th ed. (from memory).
const GAS: f64 = 8.314_462_618_153_24;
/// 0 °C in K, exact by definition.
pub(super) const ZERO_CELSIUS: f64 = 273.15;

/// How many times faster diffusion is at another temperature, a number above 0.
///
/// ```text
/// f = exp(E/R (1/T₀ − 1/T))
/// ```
///
/// * `activation_energy`: E, J/mol, 0 or above
/// * `reference_temperature`: T₀, that of the known diffusivity, °C
/// * `temperature`: T, °C
///
/// # Errors
/// An energy below 0, a temperature at or below absolute zero.
///
/// # Example
/// ```
/// let gain = woodstate::treatment::arrhenius_factor(36_500.0, 20.0, 40.0)?;
/// assert!((gain - 2.602_35).abs() < 5e-6);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Arrhenius' law (from memory). The example takes the energy that Masaro L, Zhu XX, Macdonald PM 1998, Macromolecules 31:3880,
/// give for PEG 600 in poly(vinyl alcohol) at 23–53 °C (read); none is known for waterlogged wood.
pub fn arrhenius_factor(activation_energy: f64, reference_temperature: f64, temperature: f64) -> Result<f64> {
    check::not_negative("activation energy", activation_energy)?;
    Ok((activation_energy * inverse_difference(reference_temperature, temperature)?).exp())
}

/// The diffusivity at another temperature, m²/s.
///
/// ```text
/// D = D₀ f;  (ln D − ln D_low)² = (ln D₀ − ln D₀_low)² + (ΔE/R (1/T₀ − 1/T))²,  the same above
/// ```
///
/// * `diffusivity`: D₀ at the reference temperature, m²/s
/// * `activation_energy`: E, J/mol; ΔE its distance to that end of its interval which makes the factor smaller (below) or larger
///   (above)
/// * `reference_temperature`, `temperature`: °C
///
/// Both intervals are taken as independent and of the same coverage.
///
/// # Errors
/// A temperature at or below absolute zero.
///
/// # Example
/// ```
/// use woodstate::treatment::{Ranged, diffusivity_at};
/// let cold = Ranged::new(1e-11, [1e-12, 1e-10])?;
/// let energy = Ranged::new(36_500.0, [30_000.0, 43_000.0])?;
/// let warm = diffusivity_at(cold, energy, 20.0, 60.0)?;
/// assert!((warm.value() / 6.037_54e-11 - 1.0).abs() < 1e-5);
/// assert!((warm.interval()[1] / 6.172_80e-10 - 1.0).abs() < 1e-6);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`arrhenius_factor`]; the intervals are derived.
pub fn diffusivity_at(
    diffusivity: Ranged,
    activation_energy: Ranged,
    reference_temperature: f64,
    temperature: f64,
) -> Result<Ranged> {
    let difference = inverse_difference(reference_temperature, temperature)?;
    let [weak, strong] = activation_energy.interval().map(|end| (end - activation_energy.value()) * difference);
    let [low, high] = diffusivity.interval().map(|end| (end / diffusivity.value()).ln());
    let value = diffusivity.value() * (activation_energy.value() * difference).exp();
    let ends = [-low.hypot(weak.min(strong)), high.hypot(weak.max(strong))].map(|distance| value * distance.exp());
    Ranged::new(value, ends)
}

/// (1/T₀ − 1/T)/R, mol/J.
fn inverse_difference(reference_temperature: f64, temperature: f64) -> Result<f64> {
    for (name, celsius) in [("reference temperature", reference_temperature), ("temperature", temperature)] {
        if !(celsius > -ZERO_CELSIUS && celsius.is_finite()) {
            return Err(check::range(name, celsius, format!("a finite number above -{ZERO_CELSIUS} °C")));
        }
    }
    let [cold, warm] = [reference_temperature, temperature].map(|celsius| celsius + ZERO_CELSIUS);
    Ok((warm - cold) / (cold * warm) / GAS)
}
