//! Density of the saturated piece, in air and under water.

use crate::quantity::Number;

/// Density of the fully saturated piece, kg/m3.
///
/// ```text
/// ρ_sat = ρ_w + ρ_b (1 - ρ_w / ρ_c)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `pore_water_density`: `ρ_w`, kg/m3
/// * `cell_wall_density`: `ρ_c`, kg/m3
///
/// # Example
/// ```
/// assert!((woodstate::state::saturated_density(200.0, 1000.0, 1470.0) - 1063.946_f64).abs() < 5e-4);
/// ```
///
/// # Source
/// Derived from the balance of wood substance and pore water.
#[must_use]
pub fn saturated_density<N: Number>(basic_density: N, pore_water_density: N, cell_wall_density: N) -> N {
    pore_water_density + basic_density * (-(pore_water_density / cell_wall_density) + 1.0)
}

/// What is left of the saturated density under water, kg/m3.
///
/// ```text
/// ρ_sub = ρ_sat - ρ_out
/// ```
///
/// * `saturated_density`: `ρ_sat`, kg/m3
/// * `surrounding_water_density`: `ρ_out`, kg/m3
///
/// # Example
/// ```
/// assert!((woodstate::state::submerged_density(1063.946, 1000.0) - 63.946_f64).abs() < 1e-9);
/// ```
#[must_use]
pub fn submerged_density<N: Number>(saturated_density: N, surrounding_water_density: N) -> N {
    saturated_density - surrounding_water_density
}

/// Water content above which a piece sinks, % of oven-dry mass.
///
/// ```text
/// MC_sink = 100 (ρ_out / ρ_b - 1)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `surrounding_water_density`: `ρ_out`, kg/m3
///
/// # Example
/// ```
/// assert!((woodstate::state::sink_water_content(300.0, 1000.0) - 233.33_f64).abs() < 0.005);
/// ```
///
/// # Source
/// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 4-4 (read in a transcription).
#[must_use]
pub fn sink_water_content<N: Number>(basic_density: N, surrounding_water_density: N) -> N {
    (surrounding_water_density / basic_density - 1.0) * 100.0
}
