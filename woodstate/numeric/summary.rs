//! Sums, means, spreads and quantiles of a slice of numbers.

/// Sum with the rounding errors carried along.
///
/// # Example
/// ```
/// assert_eq!(woodstate::numeric::sum(&[1.0, 1e100, 1.0, -1e100]), 2.0);
/// ```
/// # Source
/// A. Neumaier 1974, Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen, ZAMM 54, 39-51,
/// doi:10.1002/zamm.19740540106.
#[must_use]
pub fn sum(values: &[f64]) -> f64 {
    let (total, lost) = values.iter().fold((0.0_f64, 0.0), |(total, lost), &value| {
        let next = total + value;
        let slip = if total.abs() >= value.abs() { (total - next) + value } else { (value - next) + total };
        (next, lost + slip)
    });
    total + lost
}

/// Arithmetic mean; `None` for an empty slice.
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| sum(values) / real(values.len()))
}

/// Variance of a sample, two passes; `None` for fewer than two values.
///
/// ```text
/// s² = [ Σ (x − x̄)² − (Σ (x − x̄))²/n ] / (n − 1)
/// ```
/// The second term is 0 but for rounding and takes that rounding away.
///
/// # Source
/// T. F. Chan, G. H. Golub, R. J. `LeVeque` 1983, Algorithms for computing the sample variance, The American
/// Statistician 37, 242-247, doi:10.1080/00031305.1983.10483115, eq. 1.7 \[memory].
#[must_use]
pub fn variance(values: &[f64]) -> Option<f64> {
    let centre = mean(values)?;
    if values.len() < 2 {
        return None;
    }
    let (mut squares, mut rest) = (0.0, 0.0);
    for value in values {
        let distance = value - centre;
        squares += distance * distance;
        rest += distance;
    }
    Some((squares - rest * rest / real(values.len())) / real(values.len() - 1))
}

/// Standard deviation of a sample; `None` for fewer than two values.
#[must_use]
pub fn sd(values: &[f64]) -> Option<f64> {
    variance(values).map(f64::sqrt)
}

/// Median; `None` for an empty slice.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    quantile(&sorted, 0.5)
}

/// Quantile of values that are already sorted, type 7: linear between order statistics.
///
/// ```text
/// Q(p) = x₍ⱼ₎ + (h − j)(x₍ⱼ₊₁₎ − x₍ⱼ₎),   h = 1 + (n − 1) p,  j = ⌊h⌋
/// ```
/// `None` for an empty slice or for `p` outside 0 … 1.
///
/// # Example
/// ```
/// assert_eq!(woodstate::numeric::quantile(&[1.0, 2.0, 3.0, 4.0], 0.25), Some(1.75));
/// ```
/// # Source
/// R. J. Hyndman, Y. Fan 1996, Sample quantiles in statistical packages, The American Statistician 50, 361-365,
/// doi:10.1080/00031305.1996.10473566, definition 7.
#[must_use]
pub fn quantile(sorted: &[f64], p: f64) -> Option<f64> {
    if sorted.is_empty() || !(0.0..=1.0).contains(&p) {
        return None;
    }
    let h = real(sorted.len() - 1) * p;
    let j = whole(h);
    let low = *sorted.get(j)?;
    let high = *sorted.get(j + 1).unwrap_or(&low);
    Some(low + (h - real(j)) * (high - low))
}

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no slice in memory has 2^53 entries")]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}

/// The whole part of a number that is 0 or above.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "OK because callers pass positions in a slice; `as` saturates"
)]
pub(super) fn whole(position: f64) -> usize {
    position as usize
}
