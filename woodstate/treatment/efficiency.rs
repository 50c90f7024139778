//! How well a treatment kept wood from shrinking.

use crate::quantity::Number;

/// Anti-shrink efficiency, %: the part of the shrinkage of untreated wood that a treatment kept off.
///
/// ```text
/// ASE = 100 (S_u − S_t)/S_u
/// ```
///
/// * `untreated`: `S_u`, shrinkage of an untreated control of the same wood, conditioned to the same climate, above 0, any unit
/// * `treated`: `S_t`, shrinkage of the treated wood in the same direction, in the same unit
///
/// Below 0 the treated wood shrank more than the control; above 100 it swelled.
///
/// # Example
/// ```
/// use woodstate::treatment::anti_shrink_efficiency;
/// assert!((anti_shrink_efficiency(15.5, 2.1_f64) - 86.4516).abs() < 5e-5);
/// ```
///
/// # Source
/// Definition (from memory; used by Thanh et al. 2018, J. Wood Sci. 64:436, whose abstract was read).
#[must_use]
pub fn anti_shrink_efficiency<N: Number>(untreated: N, treated: N) -> N {
    (untreated - treated) / untreated * 100.0
}
