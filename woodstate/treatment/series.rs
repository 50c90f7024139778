//! What the series of exponentials share.

/// A term below it changes no digit of a sum that is a share of 1.
pub(super) const SMALL: f64 = 1e-18;

/// Reduced times between which every share is reached that may be asked for.
pub(super) const REDUCED: [f64; 2] = [1e-24, 1e2];

/// A share that rounding may have carried beyond 0 or 1.
pub(super) fn share(value: f64) -> f64 {
    value.clamp(0.0, 1.0)
}

/// Sum of falling positive terms, up to the first that is too small to matter beside the sum.
pub(super) fn summed(terms: impl Iterator<Item = f64>, small: f64) -> f64 {
    let mut sum = 0.0;
    for term in terms {
        sum += term;
        if term <= small * sum {
            break;
        }
    }
    sum
}

/// 1, 3, 5, …
pub(super) fn odd() -> impl Iterator<Item = f64> {
    std::iter::successors(Some(1.0), |m| Some(m + 2.0))
}

/// 1, 2, 3, …
pub(super) fn counted() -> impl Iterator<Item = f64> {
    std::iter::successors(Some(1.0), |n| Some(n + 1.0))
}

/// Σ g T^(k/2)/Γ(1 + k/2), k = 1, 2, …, g the coefficients: what Σ g q^(−k)/s is in time, with q² = s.
pub(super) fn of_roots(coefficients: &[f64], t: f64) -> f64 {
    let root = t.sqrt();
    // T^(k/2)/Γ(1 + k/2) for the odd and the even k, each from the one two places before.
    let mut even = 1.0;
    let mut odd = 2.0 / std::f64::consts::PI.sqrt() * root;
    let (mut k, mut sum) = (1.0, 0.0);
    for pair in coefficients.chunks(2) {
        sum += pair.first().map_or(0.0, |coefficient| coefficient * odd);
        even *= t / (0.5 * (k + 1.0));
        sum += pair.get(1).map_or(0.0, |coefficient| coefficient * even);
        odd *= t / (0.5 * (k + 2.0));
        k += 2.0;
    }
    sum
}
