//! Normal, Student, F and chi-squared distributions.
//!
//! `*_cdf` is the probability below a value, `*_sf` the one above it: in a far tail only the smaller of the two keeps
//! its digits, so take the one that is small. Quantiles are found by Halley's steps on the logarithm of the smaller
//! tail, kept inside a bracket. The tails of Student, F and chi-squared lean on the platform's exponential function and may
//! differ in the last digits between machines; those of the normal distribution and random draws do not.
//!
//! Relative error against `SciPy` 1.17.1: below 1e-12 up to 1000 degrees of freedom, below 2e-9 up to 10⁵.

use statrs::function::{beta, gamma};

use super::{check, elementary};
use crate::error::Result;

/// Probabilities that a standard normal value lies below and above `z`: the smaller one keeps all its digits.
///
/// # Example
/// ```
/// let [below, above] = woodstate::numeric::normal_tails(8.0);
/// assert!((above / 6.220_960_574_271_74e-16 - 1.0).abs() < 1e-13 && (below - 1.0).abs() < 1e-15);
/// ```
#[must_use]
pub fn normal_tails(z: f64) -> [f64; 2] {
    let tail = 0.5 * libm::erfc(z.abs() * std::f64::consts::FRAC_1_SQRT_2);
    if z < 0.0 { [tail, 1.0 - tail] } else { [1.0 - tail, tail] }
}

/// Probability that a standard normal value lies below `z`.
#[must_use]
pub fn normal_cdf(z: f64) -> f64 {
    normal_tails(z)[0]
}

/// Probability that a standard normal value lies above `z`.
#[must_use]
pub fn normal_sf(z: f64) -> f64 {
    normal_tails(z)[1]
}

/// The value below which a standard normal value lies with probability `p`.
///
/// # Errors
/// When `p` is not between 0 and 1.
///
/// # Example
/// ```
/// let z = woodstate::numeric::normal_quantile(0.975).unwrap();
/// assert!((z - 1.959_963_984_540_054).abs() < 1e-14);
/// ```
/// # Source
/// Algorithm AS 241, doi:10.2307/2347330.
pub fn normal_quantile(p: f64) -> Result<f64> {
    check::probability("probability", p)?;
    Ok(elementary::normal_quantile(p))
}

/// Probability that a normal value lies between `low` and `high`; either end may be infinite.
///
/// # Errors
/// When `sd` is not above 0, `mean` is not finite, or the ends are reversed.
///
/// # Example
/// ```
/// let p = woodstate::numeric::normal_interval_probability(185.0, f64::INFINITY, 185.0, 12.0).unwrap();
/// assert_eq!(p, 0.5);
/// ```
pub fn normal_interval_probability(low: f64, high: f64, mean: f64, sd: f64) -> Result<f64> {
    check::finite("mean", mean)?;
    check::positive("standard deviation", sd)?;
    check::not_nan("lower end", low)?;
    check::not_nan("upper end", high)?;
    if low > high {
        return Err(check::range("lower end", low, format!("at most the upper end, {high}")));
    }
    Ok(between(normal_tails((low - mean) / sd), normal_tails((high - mean) / sd)))
}

/// Probability between two values, from the tails of each: right of the middle those below would lose the digits of their
/// difference.
pub(crate) fn between(low: [f64; 2], high: [f64; 2]) -> f64 {
    if low[0] > 0.5 { low[1] - high[1] } else { high[0] - low[0] }
}

/// Probability that Student's t with `nu` degrees of freedom lies below `t`; `nu` may be infinite (normal).
///
/// # Errors
/// When `nu` is not above 0 or `t` is no number.
pub fn student_cdf(t: f64, nu: f64) -> Result<f64> {
    student_sf(-t, nu)
}

/// Probability that Student's t with `nu` degrees of freedom lies above `t`; `nu` may be infinite (normal).
///
/// # Errors
/// When `nu` is not above 0 or `t` is no number.
pub fn student_sf(t: f64, nu: f64) -> Result<f64> {
    check::not_nan("t", t)?;
    check::freedom("degrees of freedom", nu)?;
    if nu.is_infinite() {
        return Ok(normal_sf(t));
    }
    // t² of Student is F with 1 and ν degrees of freedom.
    let tail = 0.5 * f_tail(t * t, 1.0, nu);
    Ok(if t < 0.0 { 1.0 - tail } else { tail })
}

/// The value below which Student's t with `nu` degrees of freedom lies with probability `p`.
///
/// # Errors
/// When `p` is not between 0 and 1 or `nu` is not above 0.
///
/// # Example
/// ```
/// let t = woodstate::numeric::student_quantile(0.975, 9.0).unwrap();
/// assert!((t - 2.26).abs() < 0.005); // JCGM 100, table G.2
/// ```
pub fn student_quantile(p: f64, nu: f64) -> Result<f64> {
    check::probability("probability", p)?;
    check::freedom("degrees of freedom", nu)?;
    if nu.is_infinite() {
        return normal_quantile(p);
    }
    let centred = p - 0.5;
    let both_tails = 2.0 * p.min(1.0 - p);
    let size = f_root(2.0 * centred.abs(), both_tails, 1.0, nu, 2.0 * student_guess(both_tails, nu).ln()).sqrt();
    Ok(size.copysign(centred))
}

/// Where Student's t leaves `both_tails` outside, to a few digits: where the search for it begins.
///
/// G. W. Hill 1970, Algorithm 396: Student's t-quantiles, Communications of the ACM 13, 619-620 \[memory].
fn student_guess(both_tails: f64, nu: f64) -> f64 {
    if nu < 2.0 {
        return few_degrees(both_tails, nu);
    }
    let a = 1.0 / (nu - 0.5);
    let b = 48.0 / (a * a);
    let c = ((20700.0 * a / b - 98.0) * a - 16.0) * a + 96.36;
    let d = ((94.5 / (b + c) - 3.0) / b + 1.0) * (a * std::f64::consts::FRAC_PI_2).sqrt() * nu;
    let y = (d * both_tails).powf(2.0 / nu);
    let y = if y > 0.05 + a {
        let x = elementary::normal_quantile(both_tails / 2.0);
        let y = x * x;
        let c = if nu < 5.0 { c + 0.3 * (nu - 4.5) * (x + 0.6) } else { c };
        let c = (((0.05 * d * x - 5.0) * x - 7.0) * x - 2.0) * x + b + c;
        let y = (((((0.4 * y + 6.3) * y + 36.0) * y + 94.5) / c - y - 3.0) / b + 1.0) * x;
        (a * y * y).exp_m1()
    } else {
        let inner = 1.0 / (((nu + 6.0) / (nu * y) - 0.089 * d - 0.822) * (nu + 2.0) * 3.0) + 0.5 / (nu + 4.0);
        (inner * y - 1.0) * (nu + 1.0) / (nu + 2.0) + 1.0 / y
    };
    let guess = (nu * y).sqrt();
    if guess.is_finite() && guess > 0.0 { guess } else { 1.0 }
}

/// The same for 2 degrees of freedom and less: between those of 1, 2 and 4, which have a formula, along 1/ν.
///
/// W. T. Shaw 2006, Sampling Student's T distribution, Journal of Computational Finance 9(4), 37-73 \[memory].
fn few_degrees(both_tails: f64, nu: f64) -> f64 {
    let product = both_tails * (2.0 - both_tails);
    let cosine = (product.sqrt().acos() / 3.0).cos() / product.sqrt();
    let logarithms = [
        -(std::f64::consts::FRAC_PI_2 * both_tails).tan().ln(),
        0.5 * (2.0 / product - 2.0).ln(),
        (2.0 * (cosine - 1.0).sqrt()).ln(),
    ];
    let s = 1.0 / nu;
    let weights = [(s - 0.5) * (s - 0.25) / 0.375, (1.0 - s) * (s - 0.25) / 0.125, (1.0 - s) * (0.5 - s) / 0.1875];
    let guess = logarithms.iter().zip(weights).map(|(logarithm, weight)| logarithm * weight).sum::<f64>().exp();
    if guess.is_finite() && guess > 0.0 { guess } else { 1.0 }
}

/// Probability that F with `d1` and `d2` degrees of freedom lies below `x`.
///
/// # Errors
/// When the degrees of freedom are not finite and above 0, or `x` is no number.
pub fn f_cdf(x: f64, d1: f64, d2: f64) -> Result<f64> {
    check_f(x, d1, d2)?;
    Ok(f_head(x, d1, d2))
}

/// Probability that F with `d1` and `d2` degrees of freedom lies above `x`.
///
/// # Errors
/// When the degrees of freedom are not finite and above 0, or `x` is no number.
pub fn f_sf(x: f64, d1: f64, d2: f64) -> Result<f64> {
    check_f(x, d1, d2)?;
    Ok(f_tail(x, d1, d2))
}

/// The value below which F with `d1` and `d2` degrees of freedom lies with probability `p`.
///
/// # Errors
/// When `p` is not between 0 and 1 or the degrees of freedom are not finite and above 0.
pub fn f_quantile(p: f64, d1: f64, d2: f64) -> Result<f64> {
    check::probability("probability", p)?;
    check_f(0.0, d1, d2)?;
    Ok(f_root(p, 1.0 - p, d1, d2, 0.0))
}

/// Probability that chi-squared with `nu` degrees of freedom lies above `x`.
///
/// # Errors
/// When `nu` is not finite and above 0, or `x` is no number.
pub fn chi_squared_sf(x: f64, nu: f64) -> Result<f64> {
    check::not_nan("chi-squared", x)?;
    check::positive("degrees of freedom", nu)?;
    Ok(gamma_tail(nu / 2.0, x / 2.0))
}

/// The value below which chi-squared with `nu` degrees of freedom lies with probability `p`.
///
/// # Errors
/// When `p` is not between 0 and 1 or `nu` is not finite and above 0.
pub fn chi_squared_quantile(p: f64, nu: f64) -> Result<f64> {
    check::probability("probability", p)?;
    check::positive("degrees of freedom", nu)?;
    let a = nu / 2.0;
    let whole = gamma::ln_gamma(a);
    let at = |x: f64, value| Share { value, slope: (a * (x / 2.0).ln() - x / 2.0 - whole).exp(), bend: a - x / 2.0 };
    Ok(if p < 0.5 {
        root(p, true, 0.0, |x| at(x, gamma_head(a, x / 2.0)))
    } else {
        root(1.0 - p, false, 0.0, |x| at(x, gamma_tail(a, x / 2.0)))
    })
}

fn check_f(x: f64, d1: f64, d2: f64) -> Result<()> {
    check::not_nan("F", x)?;
    check::positive("degrees of freedom above the line", d1)?;
    check::positive("degrees of freedom below the line", d2)
}

fn f_head(x: f64, d1: f64, d2: f64) -> f64 {
    match x {
        x if x <= 0.0 => 0.0,
        x if x.is_infinite() => 1.0,
        x => beta_share(d1 / 2.0, d2 / 2.0, 1.0 / (1.0 + d2 / (d1 * x)), d2 / (d1 * x + d2)),
    }
}

fn f_tail(x: f64, d1: f64, d2: f64) -> f64 {
    match x {
        x if x <= 0.0 => 1.0,
        x if x.is_infinite() => 0.0,
        x => beta_share(d2 / 2.0, d1 / 2.0, d2 / (d1 * x + d2), 1.0 / (1.0 + d2 / (d1 * x))),
    }
}

/// Incomplete beta function at `z`, of which `rest` = 1 − z is known with all its digits.
fn beta_share(a: f64, b: f64, z: f64, rest: f64) -> f64 {
    // On this side the crate itself turns to 1 − z, and would take it from a rounded z.
    if z >= (a + 1.0) / (a + b + 2.0) {
        1.0 - beta::checked_beta_reg(b, a, rest).unwrap_or(f64::NAN)
    } else {
        beta::checked_beta_reg(a, b, z).unwrap_or(f64::NAN)
    }
}

/// Lower incomplete gamma function.
fn gamma_head(a: f64, x: f64) -> f64 {
    // The crate takes arguments below 1e-15 for 0; there one term of the series is all.
    match x {
        x if x <= 0.0 => 0.0,
        x if x < 1e-12 => (a * x.ln() - gamma::ln_gamma(a + 1.0)).exp(),
        x => gamma::checked_gamma_lr(a, x).unwrap_or(f64::NAN),
    }
}

/// Upper incomplete gamma function.
fn gamma_tail(a: f64, x: f64) -> f64 {
    match x {
        x if x < 1e-12 => 1.0 - gamma_head(a, x),
        x if x.is_infinite() => 0.0,
        x => gamma::checked_gamma_ur(a, x).unwrap_or(f64::NAN),
    }
}

/// The F value with probability `below` under it and `above` over it; the smaller one counts. `start`: the logarithm of a
/// value near it.
fn f_root(below: f64, above: f64, d1: f64, d2: f64, start: f64) -> f64 {
    let (a, b) = (d1 / 2.0, d2 / 2.0);
    let whole = beta::ln_beta(a, b);
    let at = |x: f64, value| {
        let sum = d1 * x + d2;
        let (head, tail) = (d1 * x / sum, d2 / sum);
        Share { value, slope: (a * head.ln() + b * tail.ln() - whole).exp(), bend: a * tail - b * head }
    };
    if below < above {
        root(below, true, start, |x| at(x, f_head(x, d1, d2)))
    } else {
        root(above, false, start, |x| at(x, f_tail(x, d1, d2)))
    }
}

/// A probability at x, the size of its derivative by ln x, and the derivative of the logarithm of that.
struct Share {
    value: f64,
    slope: f64,
    bend: f64,
}

/// The positive x at which a probability that rises (or falls) all the way with x takes the value `target`.
///
/// Halley's steps on its logarithm over ln x, where tails are nearly straight; a step that leaves the bracket is replaced by
/// halving it. Each step triples the digits, so that the step after a short one would not be felt.
fn root(target: f64, rises: bool, start: f64, share: impl Fn(f64) -> Share) -> f64 {
    if target <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high, mut at) = (-700.0_f64, 700.0_f64, start);
    for _ in 0..200 {
        let Share { value, slope, bend } = share(at.exp());
        let miss = (value / target).ln();
        if (miss > 0.0) == rises {
            high = at;
        } else {
            low = at;
        }
        let steep = if rises { slope / value } else { -slope / value };
        let newton = miss / steep;
        // Of Halley's step what Newton's lacks; far away it may point anywhere.
        let lack = 1.0 - 0.5 * newton * (bend - steep);
        let next = at - if lack > 0.5 { newton / lack } else { newton };
        let is_inside = next > low && next < high;
        let next = if is_inside { next } else { f64::midpoint(low, high) };
        let moved = (next - at).abs();
        at = next;
        if moved <= 2.0 * f64::EPSILON * at.abs().max(1.0) || (is_inside && moved <= 1e-6) {
            break;
        }
    }
    at.exp()
}
