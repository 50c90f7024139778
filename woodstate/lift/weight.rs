//! Weight of a timber under water, while it breaks the surface, and in the air.

use crate::quantity::Number;
use crate::state::saturated_density;

/// Density of wood whose pores are filled in part, kg/m3.
///
/// ```text
/// ρ = ρ_b + s ρ_w (1 - ρ_b / ρ_c)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `pore_water_density`: `ρ_w`, kg/m3; with its salt
/// * `cell_wall_density`: `ρ_c`, kg/m3
/// * `saturation`: s, share of the pores that water fills, 0 to 1; 1 is the heaviest, and the careful choice where unknown
///
/// Of a timber that has drained, s is what is left in it.
///
/// # Example
/// ```
/// let full = woodstate::lift::piece_density(560.0, 1000.0, 1500.0, 1.0);
/// assert!((full - 1186.667_f64).abs() < 5e-4);
/// ```
///
/// # Source
/// Derived from the balance of wood substance and pore water, as [`saturated_density`].
#[must_use]
pub fn piece_density<N: Number>(basic_density: N, pore_water_density: N, cell_wall_density: N, saturation: N) -> N {
    let full = saturated_density(basic_density, pore_water_density, cell_wall_density);
    basic_density + saturation * (full - basic_density)
}

/// What holds a timber of which a part is out of the water, N.
///
/// ```text
/// W = g V (ρ - (1 - p) ρ_out)
/// ```
///
/// * `piece_density`: ρ, kg/m3
/// * `surrounding_water_density`: `ρ_out`, kg/m3
/// * `volume`: V, m3
/// * `share_out`: p, share of the volume that is out of the water: 0 under water, 1 in the air
/// * `gravity`: g, m/s2
///
/// Weight in the air less the weight of the water that the part under water displaces. Negative where the timber floats.
///
/// # Example
/// ```
/// use woodstate::lift::weight_partly_out;
/// let weight = |share_out: f64| weight_partly_out(1186.667, 1000.0, 0.375, share_out, 9.80665);
/// assert!((weight(1.0) - 4363.96).abs() < 0.01);
/// assert!((weight(1.0) / weight(0.0) - 6.357).abs() < 5e-4);
/// ```
///
/// # Source
/// The law of Archimedes.
#[must_use]
pub fn weight_partly_out<N: Number>(
    piece_density: N,
    surrounding_water_density: N,
    volume: N,
    share_out: N,
    gravity: f64,
) -> N {
    volume * (piece_density - (-share_out + 1.0) * surrounding_water_density) * gravity
}

/// What something attached to the timber adds, N.
///
/// ```text
/// W = g m (1 - (1 - p) ρ_out / ρ_a)
/// ```
///
/// * `mass`: m, kg, of concretion, metal or sediment
/// * `density`: `ρ_a`, kg/m3, of that
/// * `surrounding_water_density`: `ρ_out`, kg/m3
/// * `share_out`: p, share that is out of the water
/// * `gravity`: g, m/s2
///
/// Water held in a hollow has the density of the water around it: nothing under water, all of it in the air.
///
/// # Example
/// ```
/// let under = woodstate::lift::attached_weight(20.0, 2500.0, 1000.0, 0.0, 9.80665);
/// assert!((under - 117.6798_f64).abs() < 1e-9);
/// ```
///
/// # Source
/// The law of Archimedes.
#[must_use]
pub fn attached_weight<N: Number>(mass: N, density: N, surrounding_water_density: N, share_out: N, gravity: f64) -> N {
    mass * (-((-share_out + 1.0) * surrounding_water_density / density) + 1.0) * gravity
}

/// How many times heavier a timber is in the air than under water.
///
/// ```text
/// ρ / (ρ - ρ_out)
/// ```
///
/// The growth comes in the last part of the way, while the timber breaks the surface: the moment of danger.
///
/// # Example
/// ```
/// let growth = woodstate::lift::growth_at_surface(1066.667, 1000.0);
/// assert!((growth - 16.0_f64).abs() < 1e-3);
/// ```
///
/// # Source
/// The law of Archimedes.
#[must_use]
pub fn growth_at_surface<N: Number>(piece_density: N, surrounding_water_density: N) -> N {
    piece_density / (piece_density - surrounding_water_density)
}
