//! Basic density: oven-dry mass over waterlogged volume, by every route.

use crate::quantity::Number;

use super::max_water_content::water_share;

/// Basic density, kg/m3.
///
/// ```text
/// ρ_b = 1000 m_0 / V
/// ```
///
/// * `mass_oven_dry`: `m_0`, without salt, g
/// * `volume`: V, of the waterlogged piece, cm3
///
/// # Example
/// ```
/// assert!((woodstate::state::basic_density(237.7, 2785.652) - 85.3301_f64).abs() < 5e-4);
/// ```
///
/// # Source
/// High KE, Penkman KEH 2020, Heritage Science 8:83, Table 2; Vieilledent G et al. 2018, doi:10.1002/ajb2.1175.
#[must_use]
pub fn basic_density<N: Number>(mass_oven_dry: N, volume: N) -> N {
    mass_oven_dry / volume * 1000.0
}

/// Basic density of a saturated piece that was not dried, kg/m3.
///
/// ```text
/// ρ_b = (1000 m_w / V - ρ_w) / (1 - ρ_w / ρ_c)
/// ```
///
/// * `mass_saturated`: `m_w`, g
/// * `volume`: V, cm3
/// * `pore_water_density`: `ρ_w`, kg/m3; with its salt
/// * `cell_wall_density`: `ρ_c`, kg/m3: it decides the uncertainty of the result
///
/// # Example
/// ```
/// let density = woodstate::state::basic_density_undried(106.3946, 100.0, 1000.0, 1470.0);
/// assert!((density - 200.0_f64).abs() < 2e-3);
/// ```
///
/// # Source
/// Balance of wood substance and pore water: KAKENHI grant report 23800003, FY2011.
#[must_use]
pub fn basic_density_undried<N: Number>(
    mass_saturated: N,
    volume: N,
    pore_water_density: N,
    cell_wall_density: N,
) -> N {
    (mass_saturated / volume * 1000.0 - pore_water_density) / (-(pore_water_density / cell_wall_density) + 1.0)
}

/// Basic density of a saturated piece from its water content alone, kg/m3.
///
/// ```text
/// ρ_b = 1 / (MWC / (100 (1 - S) ρ_w) + 1 / ρ_c)
/// ```
///
/// * `max_water_content`: MWC, % of oven-dry mass
/// * `pore_water_density`: `ρ_w`, kg/m3
/// * `cell_wall_density`: `ρ_c`, kg/m3
/// * `pore_salinity`: g/kg; S is its mass fraction
///
/// # Example
/// ```
/// let density = woodstate::state::basic_density_of_water_content(400.0, 1000.0, 1500.0, 0.0);
/// assert!((density - 214.29_f64).abs() < 0.005);
/// ```
///
/// # Source
/// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 4-3, inverted (read in a transcription).
#[must_use]
pub fn basic_density_of_water_content<N: Number>(
    max_water_content: N,
    pore_water_density: N,
    cell_wall_density: N,
    pore_salinity: N,
) -> N {
    let water = max_water_content / (water_share(pore_salinity) * pore_water_density * 100.0);
    (water + cell_wall_density.inverse()).inverse()
}

/// Basic density from the density at 12 % moisture content, in the unit of that density.
///
/// ```text
/// ρ_b = D12 (1 - R (S - 12) / 100) / 1.12
/// ```
///
/// * `density_12`: D12
/// * `shrinkage_coefficient`: R, volumetric shrinkage per unit of moisture content, on the saturated volume
/// * `fibre_saturation`: S, %
///
/// # Example
/// ```
/// let density = woodstate::state::basic_density_of_density_12(710.0, 0.51, 24.0);
/// assert!((density - 595.0_f64).abs() < 0.5);
/// ```
///
/// # Source
/// Vieilledent G et al. 2018, Am. J. Bot. 105:1653, doi:10.1002/ajb2.1175 (the exact form).
#[must_use]
pub fn basic_density_of_density_12<N: Number>(density_12: N, shrinkage_coefficient: N, fibre_saturation: N) -> N {
    density_12 * (-(shrinkage_coefficient * (fibre_saturation - 12.0) / 100.0) + 1.0) / 1.12
}
