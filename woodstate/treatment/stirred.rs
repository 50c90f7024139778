//! A bath so small that it grows poorer while the wood takes up: well stirred, with a limited volume.

use std::f64::consts::PI;

use super::cylinder::{TERMS, transfer};
use super::series::{REDUCED, SMALL, counted, of_roots, share};
use super::{Form, check};
use crate::error::Result;
use crate::numeric::{bessel_j0, bessel_j0_zeros, bessel_j1, one_minus_erfcx, root_between};

/// Below it the forms for short times are exact to rounding: what they leave out is of the order erfc(1/√T).
const SHORT: f64 = 0.02;
/// Up to this 2√T/α the expansion in √T of the cylinder has all digits.
const MOST_DRAWN: f64 = 0.3;
/// Bath over wood, by volume: a smaller bath does not wet the wood, a larger one does not feel it.
const RATIOS: [f64; 2] = [0.01, 1e9];

/// Share of the final uptake that a slab has taken up from a stirred bath of limited volume, 0 to 1.
///
/// ```text
/// E = 1 − Σ 2α(1+α)/(1+α+α²q²) exp(−q² T),  tan q = −α q                 for long times
/// E = (1+α) [1 − exp(T/α²) erfc(√T/α)]                                   for short times
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; a half the thickness, m
/// * `ratio`: α, solution in the bath over solution in the wood by volume, 0.01 to 1e9
///
/// The wood finally holds 1/(1+α) of the solute that was in the bath, and α/(1+α) of the concentration that the bath began with.
///
/// # Errors
/// A reduced time that is negative or no number, a ratio outside its limits.
///
/// # Example
/// ```
/// // A bath as large as the pores of the wood is half way much earlier than an endless one.
/// let uptake = woodstate::treatment::slab_uptake_stirred(0.1, 1.0)?;
/// assert!((uptake - 0.552_840_7).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, section 4.3.5 (from memory).
pub fn slab_uptake_stirred(reduced_time: f64, ratio: f64) -> Result<f64> {
    check(reduced_time, ratio)?;
    Ok(share(1.0 - slab_left(reduced_time, ratio)))
}

/// Share of the final uptake that a long cylinder has taken up from a stirred bath of limited volume, 0 to 1.
///
/// ```text
/// E = 1 − Σ 4α(1+α)/(4+4α+α²q²) exp(−q² T),  α q J₀(q) + 2 J₁(q) = 0
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; a radius, m
/// * `ratio`: α, as in [`slab_uptake_stirred`]
///
/// While 2√T/α is below 0.3, an expansion in √T is taken.
///
/// # Errors
/// As [`slab_uptake_stirred`].
///
/// # Example
/// ```
/// let uptake = woodstate::treatment::cylinder_uptake_stirred(0.1, 1.0)?;
/// assert!((uptake - 0.793_010_1).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank 1975, section 5.3.3 (from memory).
pub fn cylinder_uptake_stirred(reduced_time: f64, ratio: f64) -> Result<f64> {
    check(reduced_time, ratio)?;
    Ok(share(1.0 - cylinder_left(reduced_time, ratio)))
}

/// Share of the final uptake that a sphere has taken up from a stirred bath of limited volume, 0 to 1.
///
/// ```text
/// E = 1 − Σ 6α(1+α)/(9+9α+α²q²) exp(−q² T),  tan q = 3q/(3+αq²)          for long times
/// E = (1+α) [1 − γ₁/(γ₁+γ₂) e(3γ₁√T/α) − γ₂/(γ₁+γ₂) e(−3γ₂√T/α)]         for short times
/// γ₁ = ½ (√(1+4α/3) + 1),  γ₂ = γ₁ − 1,  e(x) = exp(x²) erfc(x)
/// ```
///
/// * `reduced_time`: T = D t/a², 0 or above; a radius, m
/// * `ratio`: α, as in [`slab_uptake_stirred`]
///
/// # Errors
/// As [`slab_uptake_stirred`].
///
/// # Example
/// ```
/// let uptake = woodstate::treatment::sphere_uptake_stirred(0.1, 1.0)?;
/// assert!((uptake - 0.903_916_5).abs() < 1e-7);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank 1975, section 6.3.3 (from memory).
pub fn sphere_uptake_stirred(reduced_time: f64, ratio: f64) -> Result<f64> {
    check(reduced_time, ratio)?;
    Ok(share(1.0 - sphere_left(reduced_time, ratio)))
}

/// Reduced time T = D t/a² until a piece in a stirred bath of limited volume has taken up a share of its final uptake.
///
/// * `form`: slab, long cylinder or sphere
/// * `share`: of the final uptake, 0 to 1
/// * `ratio`: α, as in [`slab_uptake_stirred`]
///
/// # Errors
/// A share that is not between 0 and 1, or nearer to one of them than 1e-9; a ratio outside its limits.
///
/// # Example
/// ```
/// use woodstate::treatment::{Form, reduced_time_stirred};
/// // 90 % of what a bath gives that is as large as the pores; an endless bath needs 0.848 for 90 % of its own.
/// let time = reduced_time_stirred(Form::Slab, 0.9, 1.0)?;
/// assert!((time - 0.456_288_664).abs() < 1e-9);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// The inverse of the three functions above.
pub fn reduced_time_stirred(form: Form, share: f64, ratio: f64) -> Result<f64> {
    check::reachable("share of the final uptake", share)?;
    check(0.0, ratio)?;
    let left = match form {
        Form::Slab => slab_left,
        Form::Cylinder => cylinder_left,
        Form::Sphere => sphere_left,
    };
    let distance = |log_time: f64| left(log_time.exp(), ratio) - (1.0 - share);
    Ok(root_between(distance, REDUCED[0].ln(), REDUCED[1].ln())?.exp())
}

fn check(reduced_time: f64, ratio: f64) -> Result<()> {
    check::not_negative("reduced time", reduced_time)?;
    if (RATIOS[0]..=RATIOS[1]).contains(&ratio) {
        return Ok(());
    }
    let allowed = format!("{} to {}; a larger bath is an endless one", RATIOS[0], RATIOS[1]);
    Err(check::range("bath over wood", ratio, allowed))
}

fn slab_left(t: f64, alpha: f64) -> f64 {
    if t < SHORT {
        return 1.0 - (1.0 + alpha) * one_minus_erfcx(t.sqrt() / alpha);
    }
    let roots = counted().map(|n| {
        let passes = |q: f64| q.sin() + alpha * q * q.cos();
        root_between(passes, (n - 0.5) * PI, n * PI).unwrap_or(n * PI)
    });
    series(roots, t, |q| 2.0 * alpha * (1.0 + alpha) / (1.0 + alpha + (alpha * q).powi(2)))
}

fn cylinder_left(t: f64, alpha: f64) -> f64 {
    if t < SHORT && 2.0 * t.sqrt() / alpha < MOST_DRAWN {
        return 1.0 - (1.0 + alpha) * of_roots(&drawn(alpha), t);
    }
    let roots = bessel_j0_zeros().zip(bessel_j0_zeros().skip(1)).map(|(low, high)| {
        let passes = |q: f64| alpha * q * bessel_j0(q) + 2.0 * bessel_j1(q);
        root_between(passes, low, high).unwrap_or(low)
    });
    series(roots, t, |q| 4.0 * alpha * (1.0 + alpha) / (4.0 + 4.0 * alpha + (alpha * q).powi(2)))
}

fn sphere_left(t: f64, alpha: f64) -> f64 {
    if t < SHORT {
        let first = 0.5 * ((1.0 + 4.0 * alpha / 3.0).sqrt() + 1.0);
        let second = 0.5 * (4.0 * alpha / 3.0) / ((1.0 + 4.0 * alpha / 3.0).sqrt() + 1.0);
        let width = 3.0 * t.sqrt() / alpha;
        let sum = first * one_minus_erfcx(first * width) + second * one_minus_erfcx(-second * width);
        return 1.0 - (1.0 + alpha) * sum / (first + second);
    }
    let roots = counted().map(|n| {
        let passes = |q: f64| (3.0 + alpha * q * q) * q.sin() - 3.0 * q * q.cos();
        root_between(passes, n * PI, (n + 0.5) * PI).unwrap_or(n * PI)
    });
    series(roots, t, |q| 6.0 * alpha * (1.0 + alpha) / (9.0 + 9.0 * alpha + (alpha * q).powi(2)))
}

fn series(roots: impl Iterator<Item = f64>, t: f64, size: impl Fn(f64) -> f64) -> f64 {
    if t <= 0.0 {
        return 1.0;
    }
    let mut sum = 0.0;
    for q in roots {
        let decay = (-q * q * t).exp();
        sum += size(q) * decay;
        if decay < SMALL {
            break;
        }
    }
    sum
}

/// Factors of G/(α + G) in powers of 1/q, where G are those of the cylinder.
fn drawn(alpha: f64) -> [f64; TERMS] {
    let transfer = transfer();
    let mut drawn = [0.0; TERMS];
    for k in 0..TERMS {
        let returned: f64 = (0..k).map(|j| transfer[j] * drawn[k - 1 - j]).sum();
        drawn[k] = (transfer[k] - returned) / alpha;
    }
    drawn
}
