//! Where a function passes zero.

use crate::error::{Error, ErrorKind, Result};

/// Enough for halving alone to come to the last bit.
const MOST_STEPS: usize = 200;

/// A place between `low` and `high` where a function passes zero, to the last digits of the place.
///
/// Inverse interpolation, with halving wherever that gains too little: never slower than halving by more than a small factor, and
/// never outside the two ends.
///
/// * `f`: a function that is continuous between the ends
/// * `low`, `high`: places where its values have different signs, or one is 0
///
/// # Errors
/// [`ErrorKind::Range`] where both values have the same sign, or one is not a number.
///
/// # Example
/// ```
/// let root = woodstate::numeric::root_between(|x| x * x - 2.0, 0.0, 2.0)?;
/// assert!((root - std::f64::consts::SQRT_2).abs() < 1e-15);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Brent RP 1973, Algorithms for Minimization without Derivatives, Prentice-Hall, chapter 4 (from memory).
pub fn root_between(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Result<f64> {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (f(a), f(b));
    if !(fa <= 0.0 && fb >= 0.0 || fa >= 0.0 && fb <= 0.0) {
        let allowed = format!("a value of the other sign than at the lower end, {fa}");
        return Err(Error::new(ErrorKind::Range { name: "value at the upper end".to_owned(), value: fb, allowed }));
    }
    let (mut c, mut fc) = (a, fa);
    let (mut last, mut before) = (b - a, b - a);
    for _ in 0..MOST_STEPS {
        if fb.is_sign_positive() == fc.is_sign_positive() {
            (c, fc) = (a, fa);
            last = b - a;
            before = last;
        }
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let tolerance = 2.0 * f64::EPSILON * b.abs() + f64::MIN_POSITIVE;
        let half = 0.5 * (c - b);
        if half.abs() <= tolerance || fb.abs() < f64::MIN_POSITIVE {
            return Ok(b);
        }
        let step = interpolated([a, b, c], [fa, fb, fc]).filter(|step| {
            let is_inside = step * half.signum() > 0.0 && step.abs() < 1.5 * half.abs() - 0.5 * tolerance;
            before.abs() >= tolerance && fa.abs() > fb.abs() && is_inside && step.abs() < 0.5 * before.abs()
        });
        before = if step.is_some() { last } else { half };
        last = step.unwrap_or(half);
        (a, fa) = (b, fb);
        b += if last.abs() > tolerance { last } else { tolerance.copysign(half) };
        fb = f(b);
    }
    Ok(b)
}

/// The step from b to the zero of the line, or of the parabola on its side, through the points.
fn interpolated([a, b, c]: [f64; 3], [fa, fb, fc]: [f64; 3]) -> Option<f64> {
    let s = fb / fa;
    let (p, q) = if a.total_cmp(&c).is_eq() {
        ((c - b) * s, 1.0 - s)
    } else {
        let (q, r) = (fa / fc, fb / fc);
        (s * ((c - b) * q * (q - r) - (b - a) * (r - 1.0)), (q - 1.0) * (r - 1.0) * (s - 1.0))
    };
    Some(-p / q).filter(|step| step.is_finite())
}
