//! The closest sequence that never turns.

use super::check;
use crate::error::Result;

/// A level over some neighbours.
struct Level {
    value: f64,
    weight: f64,
    members: usize,
}

/// The values closest to `y`, by weighted squares, among all that only rise (or only fall).
///
/// ```text
/// ŷ = argmin Σ w (y − ŷ)²   with   ŷ₁ ≤ ŷ₂ ≤ …   (≥ where they fall)
/// ```
/// Neighbours that stand in the wrong order are pooled until none does.
///
/// * `y`: the values, in the order in which they must not turn
/// * `weights`: one a value, above 0
/// * `rising`: whether they rise
///
/// # Errors
/// When lengths differ, a value is not finite, or a weight is not above 0.
///
/// # Example
/// ```
/// use woodstate::numeric::isotonic;
/// let pooled = isotonic(&[1.0, 3.0, 2.0, 4.0], &[1.0; 4], true)?;
/// assert_eq!(pooled, [1.0, 2.5, 2.5, 4.0]);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// M. Ayer, H. D. Brunk, G. M. Ewing, W. T. Reid, E. Silverman 1955, An empirical distribution function for sampling with
/// incomplete information, The Annals of Mathematical Statistics 26, 641-647, doi:10.1214/aoms/1177728423 \[memory].
pub fn isotonic(y: &[f64], weights: &[f64], rising: bool) -> Result<Vec<f64>> {
    check::length("weights", weights.len(), y.len())?;
    y.iter().enumerate().try_for_each(|(place, &y)| check::finite_of("value", place, y))?;
    weights.iter().enumerate().try_for_each(|(place, &w)| check::positive_of("weight", place, w))?;
    let mut levels: Vec<Level> = Vec::with_capacity(y.len());
    for (&value, &weight) in y.iter().zip(weights) {
        levels.push(Level { value, weight, members: 1 });
        while let [.., before, last] = levels.as_slice() {
            let is_wrong = if rising { before.value > last.value } else { before.value < last.value };
            if !is_wrong {
                break;
            }
            let weight = before.weight + last.weight;
            let value = (before.value * before.weight + last.value * last.weight) / weight;
            let both = Level { value, weight, members: before.members + last.members };
            levels.truncate(levels.len() - 2);
            levels.push(both);
        }
    }
    Ok(levels.iter().flat_map(|level| std::iter::repeat_n(level.value, level.members)).collect())
}
