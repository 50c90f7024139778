//! Salt in the pores of finds from brackish and sea water.

use crate::quantity::Number;

/// Mass of the wood without the salt that dried into it, g.
///
/// ```text
/// m_0 = (m_d - S m_w) / (1 - S)
/// ```
///
/// * `mass_oven_dry`: `m_d`, oven-dry mass with its salt, g
/// * `mass_saturated`: `m_w`, mass of the saturated piece in air, g
/// * `pore_salinity`: salinity of the pore water, g/kg; S is its mass fraction
///
/// Salt dries into the dry mass: without this correction a true 450 % at 35 g/kg reads 387 %, a class better than it
/// is.
///
/// # Example
/// ```
/// let mass = woodstate::state::mass_without_salt(1.1632, 5.6632, 35.0);
/// assert!((mass - 1.0000_f64).abs() < 5e-5);
/// ```
///
/// # Source
/// Derived from the mass balance of wood, water and salt.
#[must_use]
pub fn mass_without_salt<N: Number>(mass_oven_dry: N, mass_saturated: N, pore_salinity: N) -> N {
    let s = pore_salinity * 1e-3;
    (mass_oven_dry - s * mass_saturated) / (-s + 1.0)
}
