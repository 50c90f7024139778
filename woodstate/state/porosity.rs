//! Pore space and how far it is filled.

use crate::quantity::Number;

/// Share of the waterlogged volume that is not cell wall, %; bound water counts as pore.
///
/// ```text
/// porosity = 100 (1 - ρ_b / ρ_c)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `cell_wall_density`: `ρ_c`, kg/m3
///
/// # Example
/// ```
/// assert!((woodstate::state::porosity(300.0, 1500.0) - 80.0_f64).abs() < 1e-12);
/// ```
///
/// # Source
/// High KE, Penkman KEH 2020, Heritage Science 8:83, Table 2: share of the volume not occupied by cell wall (the formula
/// from memory).
#[must_use]
pub fn porosity<N: Number>(basic_density: N, cell_wall_density: N) -> N {
    (-(basic_density / cell_wall_density) + 1.0) * 100.0
}

/// Share of the pore space that was filled with water, %.
///
/// ```text
/// saturation = MC ρ_b / ((1 - S) ρ_w (1 - ρ_b / ρ_c))
/// ```
///
/// * `water_content`: MC, % of oven-dry mass, of the piece as it was weighed
/// * `basic_density`: `ρ_b` from a measured volume, kg/m3
/// * `pore_water_density`: `ρ_w`, kg/m3
/// * `cell_wall_density`: `ρ_c`, kg/m3
/// * `pore_salinity`: g/kg; S is its mass fraction
///
/// # Example
/// ```
/// let saturation = woodstate::state::saturation(400.0, 214.285_714, 1000.0, 1500.0, 0.0);
/// assert!((saturation - 100.0_f64).abs() < 1e-6);
/// ```
///
/// # Source
/// Derived from the definitions of water content and porosity.
#[must_use]
pub fn saturation<N: Number>(
    water_content: N,
    basic_density: N,
    pore_water_density: N,
    cell_wall_density: N,
    pore_salinity: N,
) -> N {
    let water =
        water_content * basic_density / (pore_water_density * super::max_water_content::water_share(pore_salinity));
    water / (-(basic_density / cell_wall_density) + 1.0)
}
