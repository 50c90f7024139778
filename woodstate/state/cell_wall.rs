//! Density of the cell wall with the minerals in it.

use crate::quantity::Number;

/// Density of a cell wall that holds ash, kg/m3.
///
/// ```text
/// 1/ρ_c = (1 - a) / ρ_org + a / ρ_ash
/// ```
///
/// * `organic_density`: `ρ_org`, of the wall without ash, kg/m3
/// * `ash_density`: `ρ_ash`, kg/m3
/// * `ash_content`: % of oven-dry mass; a is its fraction
///
/// # Example
/// ```
/// let wall = woodstate::state::cell_wall_density_with_ash(1500.0, 2600.0, 12.0);
/// assert!((wall - 1580.23_f64).abs() < 0.005);
/// ```
///
/// # Source
/// Derived: specific volumes add by mass.
#[must_use]
pub fn cell_wall_density_with_ash<N: Number>(organic_density: N, ash_density: N, ash_content: N) -> N {
    let ash = ash_content / 100.0;
    ((-ash + 1.0) / organic_density + ash / ash_density).inverse()
}
