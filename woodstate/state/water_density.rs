//! Density of fresh, brackish and sea water.

use crate::quantity::Number;
use crate::reference::WaterCoefficients;

/// Density of air-free fresh water at one atmosphere, kg/m3.
///
/// ```text
/// ρ = a5 (1 - (t + a1)² (t + a2) / (a3 (t + a4)))
/// ```
///
/// * `temperature`: t, °C (ITS-90), 0 to 40
/// * `water`: the coefficients a1 … a5
///
/// # Example
/// ```
/// let water = woodstate::reference::Reference::shipped().unwrap().water();
/// let density = woodstate::state::fresh_water_density(20.0, water);
/// assert!((density - 998.2067).abs() < 5e-5);
/// ```
///
/// # Source
/// Tanaka M et al. 2001, Recommended table for the density of water, Metrologia 38:301 (coefficients from memory).
#[must_use]
pub fn fresh_water_density<N: Number>(temperature: N, water: &WaterCoefficients) -> N {
    let [a1, a2, a3, a4, a5] = water.fresh;
    let t = temperature;
    (-((t + a1) * (t + a1) * (t + a2) / ((t + a4) * a3)) + 1.0) * a5
}

/// Density of water of any salinity up to that of the sea at one atmosphere, kg/m3.
///
/// ```text
/// ρ = ρ_fresh(t) + A(t') S + B(t') S^1.5 + C S²,   t' = 1.00024 t
/// ```
///
/// * `temperature`: t, °C (ITS-90), 0 to 40
/// * `salinity`: S, g/kg (taken as practical salinity), 0 to 42
///
/// Differs from the source in its fresh-water part, for which Tanaka et al. 2001 stands: less than 0.002 kg/m3.
///
/// # Example
/// ```
/// let water = woodstate::reference::Reference::shipped().unwrap().water();
/// let sea = woodstate::state::water_density(25.0, 35.0, water);
/// assert!((sea - 1023.343).abs() < 0.01);
/// ```
///
/// # Source
/// Fofonoff NP, Millard RC 1983, Algorithms for computation of fundamental properties of seawater, UNESCO Technical
/// Papers in Marine Science 44 (EOS-80; coefficients from memory).
#[must_use]
pub fn water_density<N: Number>(temperature: N, salinity: N, water: &WaterCoefficients) -> N {
    let t = temperature * water.scale_68_over_90;
    let a = polynomial(t, &water.saline_first) * salinity;
    let c = salinity * salinity * water.saline_second;
    let density = fresh_water_density(temperature, water) + a + c;
    // S^1.5 has no slope at 0 that a derivative could use, and nothing to add there.
    if salinity.is_above(N::exact(0.0)) {
        density + polynomial(t, &water.saline_three_halves) * salinity * salinity.sqrt()
    } else {
        density
    }
}

fn polynomial<N: Number>(x: N, coefficients: &[f64]) -> N {
    coefficients.iter().rev().fold(N::exact(0.0), |sum, coefficient| sum * x + *coefficient)
}
