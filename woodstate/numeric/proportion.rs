//! Shares of a count, with their interval.

use super::{check, normal_quantile, summary::real};
use crate::error::Result;

/// Interval of a share by the score method of Wilson; `None` of nothing at all.
///
/// ```text
/// ( p + z²/2n ± z √( p (1 − p)/n + z²/4n² ) ) / ( 1 + z²/n ),   p = hits / n
/// ```
/// `z`: the standard normal quantile of (1 + coverage)/2. The ends lie between 0 and 1; the interval holds for counts that are
/// independent of each other.
///
/// # Errors
/// When there are more hits than counts, or `coverage` is not between 0 and 1.
///
/// # Example
/// ```
/// let [low, high] = woodstate::numeric::wilson_interval(15, 148, 0.95).unwrap().unwrap();
/// assert!((low - 0.0624).abs() < 5e-5 && (high - 0.1605).abs() < 5e-5);
/// assert_eq!(woodstate::numeric::wilson_interval(0, 0, 0.95).unwrap(), None);
/// ```
/// # Source
/// E. B. Wilson 1927, Probable inference, the law of succession, and statistical inference, Journal of the American
/// Statistical Association 22, 209-212, doi:10.1080/01621459.1927.10502953. The example: R. G. Newcombe 1998, Two-sided
/// confidence intervals for the single proportion, Statistics in Medicine 17, 857-872, method 3 \[memory].
pub fn wilson_interval(hits: usize, n: usize, coverage: f64) -> Result<Option<[f64; 2]>> {
    check::probability("coverage", coverage)?;
    if hits > n {
        return Err(check::range("hits", real(hits), format!("at most the count, {n}")));
    }
    if n == 0 {
        return Ok(None);
    }
    let z = normal_quantile(0.5 + coverage / 2.0)?;
    let (n, square) = (real(n), z * z);
    let share = real(hits) / n;
    let centre = share + square / (2.0 * n);
    let half = z * (share * (1.0 - share) / n + square / (4.0 * n * n)).sqrt();
    let whole = 1.0 + square / n;
    // Both ends are exact where the share is 0 or 1, but for rounding.
    let low = if hits == 0 { 0.0 } else { (centre - half) / whole };
    let high = if share < 1.0 { (centre + half) / whole } else { 1.0 };
    Ok(Some([low, high]))
}
