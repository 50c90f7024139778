//! Bessel functions of the first kind, and the zeros of J₀.

use std::f64::consts::PI;

/// The Bessel function of the first kind and order 0, J₀(x).
///
/// # Example
/// ```
/// assert!((woodstate::numeric::bessel_j0(1.0) - 0.765_197_686_557_966_6).abs() < 1e-15);
/// ```
#[must_use]
pub fn bessel_j0(x: f64) -> f64 {
    libm::j0(x)
}

/// The Bessel function of the first kind and order 1, J₁(x).
///
/// # Example
/// ```
/// assert!((woodstate::numeric::bessel_j1(1.0) - 0.440_050_585_744_933_5).abs() < 1e-15);
/// ```
#[must_use]
pub fn bessel_j1(x: f64) -> f64 {
    libm::j1(x)
}

/// The positive zeros of J₀, in ascending order and without end.
///
/// ```text
/// J₀(α) = 0;  first guess α ≈ b + 1/(8b) − 124/(3 (8b)³), b = (n − ¼) π;  then α ← α + J₀(α)/J₁(α)
/// ```
///
/// # Example
/// ```
/// let first = woodstate::numeric::bessel_j0_zeros().next().unwrap();
/// assert!((first - 2.404_825_557_695_773).abs() < 1e-15);
/// ```
///
/// # Source
/// Abramowitz M, Stegun IA 1964, Handbook of Mathematical Functions, 9.5.12 (from memory); the values
/// agree with `scipy.special.jn_zeros`.
pub fn bessel_j0_zeros() -> impl Iterator<Item = f64> {
    std::iter::successors(Some(0.75), |count: &f64| Some(count + 1.0)).map(|quarter| {
        let b = quarter * PI;
        let eighth = 1.0 / (8.0 * b);
        let guess = b + eighth - 124.0 / 3.0 * eighth.powi(3);
        // The guess has three digits or more, and each step doubles them.
        (0..4).fold(guess, |zero, _| zero + bessel_j0(zero) / bessel_j1(zero))
    })
}
