//! The error function and its kin, where a difference would lose the digits.

use std::f64::consts::PI;

/// Above it the exponential outgrows what `erfc` still holds, and the asymptotic series has all digits.
const FAR: f64 = 7.0;

/// erfc x = 1 − erf x.
pub(crate) fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// The integral of erfc from x to infinity.
///
/// ```text
/// ierfc x = exp(−x²)/√π − x erfc x
/// ```
pub(crate) fn ierfc(x: f64) -> f64 {
    (-x * x).exp() / PI.sqrt() - x * erfc(x)
}

/// 1 − exp(x²) erfc x, with its digits near 0 too; for x above −26.
pub(crate) fn one_minus_erfcx(x: f64) -> f64 {
    if x.abs() < 0.5 {
        let square = x * x;
        return libm::erf(x) * square.exp() - square.exp_m1();
    }
    if x < FAR {
        return 1.0 - (x * x).exp() * erfc(x);
    }
    // 1/(x √π) (1 − 1/(2x²) + 1·3/(2x²)² − …): the smallest term is near exp(−x²).
    let part = -0.5 / (x * x);
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 0..24 {
        term *= part * f64::from(2 * k + 1);
        sum += term;
    }
    1.0 - sum / (x * PI.sqrt())
}

/// The integrals of erfc taken 0, 1, … `N` − 1 times from x to infinity.
///
/// ```text
/// i⁰ = erfc x;  i¹ = ierfc x;  2n iⁿ = iⁿ⁻² − 2x iⁿ⁻¹
/// ```
///
/// # Source
/// Abramowitz M, Stegun IA 1964, Handbook of Mathematical Functions, 7.2.5 (from memory).
pub(crate) fn repeated_erfc<const N: usize>(x: f64) -> [f64; N] {
    let mut previous = 2.0 / PI.sqrt() * (-x * x).exp();
    let mut current = erfc(x);
    let mut order = 0.0;
    std::array::from_fn(|_| {
        let value = current;
        order += 1.0;
        current = (previous - 2.0 * x * value) / (2.0 * order);
        previous = value;
        value
    })
}
