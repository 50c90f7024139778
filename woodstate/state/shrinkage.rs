//! Shrinkage on drying, and collapse.

use crate::quantity::Number;

/// Shrinkage of a size or a volume, % of the saturated one.
///
/// ```text
/// b = 100 (L_w - L_0) / L_w
/// ```
///
/// * `saturated`: `L_w`
/// * `dry`: `L_0`, in the same unit
///
/// Some texts give the dry size in % of the wet size instead; ask which is meant.
///
/// # Example
/// ```
/// assert!((woodstate::state::shrinkage(20.0, 18.0) - 10.0_f64).abs() < 1e-12);
/// ```
///
/// # Source
/// Common practice (the form from memory).
#[must_use]
pub fn shrinkage<N: Number>(saturated: N, dry: N) -> N {
    (saturated - dry) / saturated * 100.0
}

/// Shrinkage of the cross-section from radial and tangential shrinkage, %.
///
/// ```text
/// b = 100 - (100 - b_R)(100 - b_T) / 100
/// ```
///
/// * `radial`, `tangential`: `b_R`, `b_T`, %
///
/// # Example
/// ```
/// assert!((woodstate::state::shrinkage_cross_section(5.6, 10.5) - 15.51_f64).abs() < 0.005);
/// ```
///
/// # Source
/// The three-direction form with a longitudinal shrinkage of 0.
#[must_use]
pub fn shrinkage_cross_section<N: Number>(radial: N, tangential: N) -> N {
    -((-radial + 100.0) * (-tangential + 100.0) / 100.0) + 100.0
}

/// Volumetric shrinkage from three directions, %.
///
/// ```text
/// b_V = 100 - (100 - b_L)(100 - b_T)(100 - b_R) / 10000
/// ```
///
/// * `radial`, `tangential`, `longitudinal`: `b_R`, `b_T`, `b_L`, %
///
/// # Example
/// ```
/// assert!((woodstate::state::shrinkage_volumetric(10.0, 20.0, 1.0) - 28.72_f64).abs() < 1e-9);
/// ```
///
/// # Source
/// RGZM, KUR project on mass finds, page on measurement by calliper (www1.rgzm.de/kur).
#[must_use]
pub fn shrinkage_volumetric<N: Number>(radial: N, tangential: N, longitudinal: N) -> N {
    let product = (-radial + 100.0) * (-tangential + 100.0) * (-longitudinal + 100.0);
    -(product / 1e4) + 100.0
}

/// Shrinkage beyond that of sound wood of the taxon, percentage points.
///
/// ```text
/// collapse = measured - normal
/// ```
///
/// * `measured`, `normal`: shrinkage of the same kind, both to the oven-dry state, %
///
/// # Example
/// ```
/// assert!((woodstate::state::collapse(43.0, 16.3) - 26.7_f64).abs() < 1e-9);
/// ```
#[must_use]
pub fn collapse<N: Number>(measured: N, normal: N) -> N {
    measured - normal
}

/// Shrinkage on the saturated size from swelling on the oven-dry size, %.
///
/// ```text
/// R = 100 (1 - 1 / (1 + B / 100))
/// ```
///
/// * `swelling`: B, %
///
/// # Example
/// ```
/// assert!((woodstate::state::shrinkage_of_swelling(0.46 * 24.0) / 24.0 - 0.41427_f64).abs() < 5e-6);
/// ```
///
/// # Source
/// Vieilledent G et al. 2018, Am. J. Bot. 105:1653, doi:10.1002/ajb2.1175.
#[must_use]
pub fn shrinkage_of_swelling<N: Number>(swelling: N) -> N {
    (-(swelling / 100.0 + 1.0).inverse() + 1.0) * 100.0
}
