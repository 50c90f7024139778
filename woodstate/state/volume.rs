//! Waterlogged volume of a piece.

use std::f64::consts::PI;

use crate::quantity::Number;

/// Volume from the mass in air and the mass read while the piece hangs under water, cm3.
///
/// ```text
/// V = 1000 (m_w - m_i) / ρ
/// ```
///
/// * `mass_saturated`: `m_w`, g
/// * `mass_immersed`: `m_i`, g; with a sinker, the reading less that of the sinker alone, which may be negative
/// * `water_density`: ρ, density of the water for weighing, kg/m3
///
/// # Example
/// ```
/// assert!((woodstate::state::volume_immersed(106.3946, 6.3946, 1000.0) - 100.0_f64).abs() < 1e-9);
/// ```
///
/// # Source
/// Archimedes' principle (from memory).
#[must_use]
pub fn volume_immersed<N: Number>(mass_saturated: N, mass_immersed: N, water_density: N) -> N {
    volume_displaced(mass_saturated - mass_immersed, water_density)
}

/// Volume from the rise of a tared vessel of water while the piece is held under, cm3.
///
/// ```text
/// V = 1000 m_disp / ρ
/// ```
///
/// * `mass_displaced`: `m_disp`, g
/// * `water_density`: ρ, density of the water in the vessel, kg/m3
///
/// The reading is the opposite of a mass under water: it is the mass of water that the piece pushes aside.
///
/// # Example
/// ```
/// assert!((woodstate::state::volume_displaced(99.8207, 998.207) - 100.0_f64).abs() < 1e-4);
/// ```
#[must_use]
pub fn volume_displaced<N: Number>(mass_displaced: N, water_density: N) -> N {
    mass_displaced / water_density * 1000.0
}

/// Volume of a cylinder, cm3.
///
/// ```text
/// V = π d² l / 4000
/// ```
///
/// * `diameter`: d, mm
/// * `length`: l, mm
///
/// # Example
/// ```
/// assert!((woodstate::state::volume_cylinder(10.0, 100.0) - 7.853_98_f64).abs() < 5e-6);
/// ```
#[must_use]
pub fn volume_cylinder<N: Number>(diameter: N, length: N) -> N {
    diameter * diameter * length * (PI / 4000.0)
}

/// Volume of a prism, cm3.
///
/// ```text
/// V = l w t / 1000
/// ```
///
/// * `length`, `width`, `thickness`: l, w, t, mm
///
/// # Example
/// ```
/// assert!((woodstate::state::volume_prism(20.0, 20.0, 30.0) - 12.0_f64).abs() < 1e-12);
/// ```
#[must_use]
pub fn volume_prism<N: Number>(length: N, width: N, thickness: N) -> N {
    length * width * thickness / 1000.0
}
