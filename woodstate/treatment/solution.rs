//! Strength of a solution: by mass, by volume, and its density.

use super::check;
use crate::error::Result;
use crate::quantity::Number;

/// Impregnant in a volume of solution, g/L.
///
/// ```text
/// c = w ρ
/// ```
///
/// * `mass_fraction`: w, impregnant over solution, 0 to 1
/// * `solution_density`: ρ, kg/m³, at the temperature of the bath
///
/// A bare "40 %" is two different baths: 40 % by mass is more than 40 g in 100 mL.
///
/// # Example
/// ```
/// // 40 % by mass at 1067.69 kg/m³ is 42.7 g in 100 mL.
/// let concentration = woodstate::treatment::mass_per_volume(0.4, 1067.69_f64);
/// assert!((concentration - 427.076).abs() < 1e-9);
/// ```
///
/// # Source
/// The two definitions.
#[must_use]
pub fn mass_per_volume<N: Number>(mass_fraction: N, solution_density: N) -> N {
    mass_fraction * solution_density
}

/// Impregnant over solution by mass, 0 to 1: the inverse of [`mass_per_volume`].
///
/// * `mass_per_volume`: c, g/L
/// * `solution_density`: ρ, kg/m³
///
/// # Example
/// ```
/// let fraction = woodstate::treatment::mass_fraction(400.0, 1067.69_f64);
/// assert!((fraction - 0.374_64).abs() < 5e-6);
/// ```
#[must_use]
pub fn mass_fraction<N: Number>(mass_per_volume: N, solution_density: N) -> N {
    mass_per_volume / solution_density
}

/// Density of a solution, kg/m³.
///
/// ```text
/// 1000/ρ = w v + 1000 (1 − w)/ρ_w
/// ```
///
/// * `mass_fraction`: w, 0 to 1
/// * `apparent_volume`: v, volume that 1 g of impregnant takes up in the solution, cm³/g
/// * `water_density`: `ρ_w`, kg/m³
///
/// The density of the pure impregnant is no substitute for v: mixing with water loses volume.
///
/// # Example
/// ```
/// // v of PEG from memory.
/// let density = woodstate::treatment::solution_density(0.4, 0.837, 997.0_f64);
/// assert!((density - 1067.69).abs() < 5e-3);
/// ```
///
/// # Source
/// Definition of the apparent specific volume (from memory). That the inverse density of PEG solutions is close to linear in w:
/// derived from the loss of volume that J. Chem. Thermodyn. 42 (2010) 1367 describes (read).
#[must_use]
pub fn solution_density<N: Number>(mass_fraction: N, apparent_volume: N, water_density: N) -> N {
    (mass_fraction * apparent_volume + (-mass_fraction + 1.0) / water_density * 1000.0).inverse() * 1000.0
}

/// The mass fraction at which a volume of solution holds a mass of impregnant, where the density follows [`solution_density`].
///
/// ```text
/// w = (c/ρ_w) / (1 − c v/1000 + c/ρ_w)
/// ```
///
/// * `mass_per_volume`: c, g/L
/// * `apparent_volume`: v, cm³/g
/// * `water_density`: `ρ_w`, kg/m³
///
/// # Errors
/// A concentration below 0 or beyond that of the pure impregnant; a volume or density that is not above 0.
///
/// # Example
/// ```
/// let fraction = woodstate::treatment::mass_fraction_at(427.0744, 0.837, 997.0)?;
/// assert!((fraction - 0.4).abs() < 1e-6);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn mass_fraction_at(mass_per_volume: f64, apparent_volume: f64, water_density: f64) -> Result<f64> {
    check::not_negative("mass per volume", mass_per_volume)?;
    check::positive("apparent volume", apparent_volume)?;
    check::positive("water density", water_density)?;
    let of_water = mass_per_volume / water_density;
    let fraction = of_water / (1.0 - mass_per_volume * apparent_volume / 1000.0 + of_water);
    let most = 1000.0 / apparent_volume;
    let beyond = |_| check::range("mass per volume", mass_per_volume, format!("0 to {most} g/L, no water left"));
    check::share("mass fraction", fraction).map(|()| fraction).map_err(beyond)
}
