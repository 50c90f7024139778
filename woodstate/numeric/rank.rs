//! Correlation of ranks.

use super::summary::{mean, real};

/// Spearman's correlation of ranks; equal values share the mean of their ranks. `None` for fewer than three pairs, and where
/// one of the two never changes.
///
/// ```text
/// r = Σ (R_x - mean)(R_y - mean) / √( Σ (R_x - mean)² Σ (R_y - mean)² )
/// ```
///
/// * `pairs`: x and y of each pair, in any unit
///
/// # Example
/// ```
/// let r = woodstate::numeric::rank_correlation(&[[1.0, 5.0], [2.0, 6.0], [3.0, 7.0], [4.0, 8.0], [5.0, 7.0]]);
/// assert!((r.unwrap() - 0.820_782_681_668_123_3).abs() < 1e-12);
/// ```
///
/// # Source
/// C. Spearman 1904, The proof and measurement of association between two things, The American Journal of Psychology 15,
/// 72-101, doi:10.2307/1412159. The example is that of the documentation of `SciPy`, `scipy.stats.spearmanr` \[memory].
#[must_use]
pub fn rank_correlation(pairs: &[[f64; 2]]) -> Option<f64> {
    if pairs.len() < 3 {
        return None;
    }
    let [x, y] = [0, 1].map(|which| ranks(&pairs.iter().map(|pair| pair[which]).collect::<Vec<_>>()));
    let (middle_x, middle_y) = (mean(&x)?, mean(&y)?);
    let (mut both, mut first, mut second) = (0.0, 0.0, 0.0);
    for (x, y) in x.iter().zip(&y) {
        let (dx, dy) = (x - middle_x, y - middle_y);
        both += dx * dy;
        first += dx * dx;
        second += dy * dy;
    }
    let scale = (first * second).sqrt();
    (scale > 0.0).then(|| (both / scale).clamp(-1.0, 1.0))
}

/// The rank of each value, from 1; equal values share the mean of theirs.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let is_equal = |place: &&usize| values[**place].total_cmp(&values[order[from]]).is_eq();
        let to = from + order[from..].iter().take_while(is_equal).count();
        let shared = (real(from + 1) + real(to)) / 2.0;
        order[from..to].iter().for_each(|place| ranks[*place] = shared);
        from = to;
    }
    ranks
}
