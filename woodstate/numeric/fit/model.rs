//! What is fitted: a value and its slopes, written once.

/// A curve with parameters `b`, known at any row of predictors `x`.
///
/// Any function of `(x, b, slope)` is a model: it returns the value at `x` and fills `slope` with its derivatives
/// ∂f/∂b, one a parameter. `x` is one row of predictors; it may hold what is wanted at every evaluation, such as
/// ln x beside x.
///
/// # Example
/// ```
/// use woodstate::numeric::Model;
/// let power = |x: &[f64], b: &[f64], slope: &mut [f64]| {
///     slope[0] = x[0].powf(b[1]);
///     slope[1] = b[0] * slope[0] * x[0].ln();
///     b[0] * slope[0]
/// };
/// let mut slope = [0.0; 2];
/// assert_eq!(power.at(&[2.0], &[3.0, 2.0], &mut slope), 12.0);
/// assert_eq!(slope[0], 4.0);
/// ```
pub trait Model: Sync {
    /// The value at `x`; `slope` has one entry a parameter and is filled with the derivatives.
    fn at(&self, x: &[f64], b: &[f64], slope: &mut [f64]) -> f64;
}

impl<F: Fn(&[f64], &[f64], &mut [f64]) -> f64 + Sync> Model for F {
    fn at(&self, x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
        self(x, b, slope)
    }
}

/// A model of which only the value is known; its slopes are central differences.
///
/// ```text
/// ∂f/∂b_k ≈ ( f(b + h e_k) − f(b − h e_k) ) / 2h,   h = ε^⅓ |b_k|,  ε^⅓ where b_k = 0
/// ```
/// About ten digits of the slopes remain: write the derivatives where speed or the last digits matter.
#[derive(Debug, Clone, Copy)]
pub struct Differences<F>(
    /// The value at a row of predictors, for given parameters.
    pub F,
);

impl<F: Fn(&[f64], &[f64]) -> f64 + Sync> Model for Differences<F> {
    fn at(&self, x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
        let mut moved = b.to_vec();
        for (k, entry) in slope.iter_mut().enumerate() {
            let h = step(b[k]);
            moved[k] = b[k] + h;
            let above = (self.0)(x, &moved);
            moved[k] = b[k] - h;
            let below = (self.0)(x, &moved);
            moved[k] = b[k];
            *entry = (above - below) / (2.0 * h);
        }
        (self.0)(x, b)
    }
}

/// A step for central differences.
pub(in crate::numeric) fn step(b: f64) -> f64 {
    let size = if b.abs() > 0.0 { b.abs() } else { 1.0 };
    // b + h − b is exact, so that the step taken is the step divided by.
    let moved = b + f64::EPSILON.cbrt() * size;
    moved - b
}
