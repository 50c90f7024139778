//! Maximum water content: water over oven-dry mass of the fully saturated piece.

use crate::quantity::Number;

/// Maximum water content on the dry basis, %.
///
/// ```text
/// MWC = 100 (1 - S) (m_w - m_0) / m_0
/// ```
///
/// * `mass_saturated`: `m_w`, mass of the saturated piece in air, g
/// * `mass_oven_dry`: `m_0`, oven-dry mass without salt, g ([`mass_without_salt`](crate::state::mass_without_salt))
/// * `pore_salinity`: salinity of the pore water, g/kg; S is its mass fraction; 0 for fresh water
///
/// # Example
/// ```
/// use woodstate::state::max_water_content;
/// assert!((max_water_content(1100.0, 1000.0, 0.0) - 10.0_f64).abs() < 1e-12);
/// assert!((max_water_content(5.6632, 1.0000, 35.0) - 450.0_f64).abs() < 0.05);
/// ```
///
/// # Source
/// High KE, Penkman KEH 2020, Heritage Science 8:83, Table 2, doi:10.1186/s40494-020-00422-y; EN 13183-1:2002, section
/// 6 (read in a transcription). The term in S is derived.
#[must_use]
pub fn max_water_content<N: Number>(mass_saturated: N, mass_oven_dry: N, pore_salinity: N) -> N {
    water_share(pore_salinity) * (mass_saturated - mass_oven_dry) / mass_oven_dry * 100.0
}

/// Maximum water content of a saturated piece of known basic density, %.
///
/// ```text
/// MWC = 100 (1 - S) ρ_w (1/ρ_b - 1/ρ_c)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `pore_water_density`: `ρ_w`, kg/m3
/// * `cell_wall_density`: `ρ_c`, kg/m3
/// * `pore_salinity`: g/kg; S is its mass fraction
///
/// # Example
/// ```
/// let sound = woodstate::state::max_water_content_of_density(300.0, 1000.0, 1540.0, 0.0);
/// assert!((sound - 268.40_f64).abs() < 0.005);
/// ```
///
/// # Source
/// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 4-3 (read in a transcription). The term in S is
/// derived.
#[must_use]
pub fn max_water_content_of_density<N: Number>(
    basic_density: N,
    pore_water_density: N,
    cell_wall_density: N,
    pore_salinity: N,
) -> N {
    water_share(pore_salinity) * pore_water_density * (basic_density.inverse() - cell_wall_density.inverse()) * 100.0
}

/// Water content on the dry basis from one on the wet basis, %.
///
/// ```text
/// MC = 100 w / (100 - w)
/// ```
///
/// * `wet_basis`: w, water over total mass, %
///
/// # Example
/// ```
/// assert!((woodstate::state::dry_basis(90.0) - 900.0_f64).abs() < 1e-9);
/// ```
///
/// # Source
/// The two definitions; a Swedish wood guide prints 10.0 % dry basis as 9.1 % wet basis (read in a transcription).
#[must_use]
pub fn dry_basis<N: Number>(wet_basis: N) -> N {
    wet_basis / (-wet_basis + 100.0) * 100.0
}

/// Water content on the wet basis from one on the dry basis, %: the inverse of [`dry_basis`].
///
/// # Example
/// ```
/// assert!((woodstate::state::wet_basis(10.0) - 9.1_f64).abs() < 0.05);
/// ```
#[must_use]
pub fn wet_basis<N: Number>(dry_basis: N) -> N {
    dry_basis / (dry_basis + 100.0) * 100.0
}

pub(super) fn water_share<N: Number>(pore_salinity: N) -> N {
    pore_salinity * -1e-3 + 1.0
}
