//! What wood holds of an impregnant.

use crate::quantity::Number;

/// Impregnant in the wood once it stands with its bath, kg per kg of oven-dry wood.
///
/// ```text
/// P = (U − B)/100 w ρ/ρ_w
/// ```
///
/// * `water_content`: U, water content of the wood before treatment, % of oven-dry mass
/// * `bound_water`: B, water in cell walls that the molecules do not reach, %; 0 where they reach all
/// * `mass_fraction`: w, impregnant over solution in the bath at the end, 0 to 1
/// * `solution_density`: ρ, kg/m³; `water_density`: `ρ_w`, kg/m³
///
/// Solution takes the place of the water by volume; wood neither draws the impregnant to it nor keeps it off beyond B.
///
/// # Example
/// ```
/// let held = woodstate::treatment::impregnant_held(400.0, 0.0, 0.4, 1067.69, 997.0_f64);
/// assert!((held - 1.713_44).abs() < 1e-5);
/// ```
///
/// # Source
/// Balance of masses (derived).
#[must_use]
pub fn impregnant_held<N: Number>(
    water_content: N,
    bound_water: N,
    mass_fraction: N,
    solution_density: N,
    water_density: N,
) -> N {
    (water_content - bound_water) / 100.0 * mass_fraction * solution_density / water_density
}

/// Impregnant that takes the place of all bound water of the cell walls, kg per kg of oven-dry wood.
///
/// ```text
/// P = B/100 ρ_P/ρ_w
/// ```
///
/// * `bound_water`: B, fibre saturation, % of oven-dry mass
/// * `impregnant_density`: `ρ_P`, pure, kg/m³; `water_density`: `ρ_w`, kg/m³
///
/// # Example
/// ```
/// let need = woodstate::treatment::bulking_need(30.0, 1125.0, 1000.0_f64);
/// assert!((need - 0.3375).abs() < 1e-12);
/// ```
///
/// # Source
/// Derived; it takes for granted that the molecules enter the walls, which large ones do not.
#[must_use]
pub fn bulking_need<N: Number>(bound_water: N, impregnant_density: N, water_density: N) -> N {
    bound_water / 100.0 * impregnant_density / water_density
}

/// Impregnant per volume of solution with which wood holds a given amount, g/L: the inverse of [`impregnant_held`].
///
/// ```text
/// c = 100 P ρ_w/(U − B)
/// ```
///
/// * `held`: P, kg per kg of oven-dry wood
/// * `water_content`, `bound_water`: U, B, %; `water_density`: `ρ_w`, kg/m³
///
/// [`mass_fraction_at`](crate::treatment::mass_fraction_at) turns it into a mass fraction.
///
/// # Example
/// ```
/// use woodstate::treatment::{concentration_to_hold, mass_fraction_at};
/// let concentration = concentration_to_hold(0.3375, 200.0, 0.0, 997.0);
/// assert!((mass_fraction_at(concentration, 0.837, 997.0)? - 0.164_165).abs() < 5e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Balance of masses (derived).
#[must_use]
pub fn concentration_to_hold<N: Number>(held: N, water_content: N, bound_water: N, water_density: N) -> N {
    held * 100.0 * water_density / (water_content - bound_water)
}

/// Share of the former pore volume that the impregnant fills once the water has gone, 0 to 1.
///
/// ```text
/// f = w ρ/ρ_P
/// ```
///
/// * `mass_fraction`: w; `solution_density`: ρ, kg/m³; `impregnant_density`: `ρ_P`, pure, kg/m³
///
/// # Example
/// ```
/// let filled = woodstate::treatment::pore_filling(0.4, 1067.69, 1125.0_f64);
/// assert!((filled - 0.379_62).abs() < 5e-6);
/// ```
///
/// # Source
/// Derived; shrinkage of the wood is left out.
#[must_use]
pub fn pore_filling<N: Number>(mass_fraction: N, solution_density: N, impregnant_density: N) -> N {
    mass_fraction * solution_density / impregnant_density
}
