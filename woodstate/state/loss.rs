//! What is left of the wood substance, and what is gone.

use crate::quantity::Number;

/// Basic density as a share of that of sound wood of the taxon, %.
///
/// ```text
/// RBD = 100 ρ_b / ρ_ref
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `sound_basic_density`: `ρ_ref`, kg/m3
///
/// It may exceed 100: minerals, or a reference that is too low. It is never clamped.
///
/// # Example
/// ```
/// assert!((woodstate::state::residual_basic_density(145.0, 580.0) - 25.0_f64).abs() < 1e-12);
/// ```
///
/// # Source
/// High KE, Penkman KEH 2020, Heritage Science 8:83, Table 2.
#[must_use]
pub fn residual_basic_density<N: Number>(basic_density: N, sound_basic_density: N) -> N {
    basic_density / sound_basic_density * 100.0
}

/// Loss of wood substance, %.
///
/// ```text
/// loss = 100 - RBD
/// ```
///
/// * `residual_basic_density`: RBD, %
///
/// Not the loss of wood-substance *density*, which is another measure with a similar name.
///
/// # Example
/// ```
/// assert!((woodstate::state::loss_of_wood_substance(25.0) - 75.0_f64).abs() < 1e-12);
/// ```
///
/// # Source
/// Name and use: Evaluation of the state of preservation of waterlogged archaeological wood based on its physical
/// properties: basic density vs. wood substance density, J. Archaeol. Sci. 2014, doi:10.1016/j.jas.2014.03.038; the form
/// from memory.
#[must_use]
pub fn loss_of_wood_substance<N: Number>(residual_basic_density: N) -> N {
    -residual_basic_density + 100.0
}

/// Basic density without ash, kg/m3.
///
/// ```text
/// ρ_org = ρ_b (1 - a / 100)
/// ```
///
/// * `basic_density`: `ρ_b`, kg/m3
/// * `ash_content`: a, % of oven-dry mass
///
/// # Example
/// ```
/// assert!((woodstate::state::organic_basic_density(300.0, 10.0) - 270.0_f64).abs() < 1e-12);
/// ```
///
/// # Source
/// Derived from the mass balance of wood and ash.
#[must_use]
pub fn organic_basic_density<N: Number>(basic_density: N, ash_content: N) -> N {
    basic_density * (-(ash_content / 100.0) + 1.0)
}
