//! The digits that rounding took from a linear fit, brought back.

use super::matrix::Matrix;
use super::pivot::Pivot;

/// Rounds at most.
const ROUNDS: usize = 10;

/// A sum with twice the digits.
#[derive(Debug, Clone, Copy, Default)]
struct Long {
    high: f64,
    low: f64,
}

impl Long {
    fn of(value: f64) -> Self {
        Self { high: value, low: 0.0 }
    }

    /// Adds a product without rounding it first.
    fn add_product(&mut self, a: f64, b: f64) {
        let product = a * b;
        let slip = a.mul_add(b, -product);
        let sum = self.high + product;
        let part = sum - self.high;
        let lost = (self.high - (sum - part)) + (product - part);
        // Kept apart from the rounding of the sum, so that the two together stay exact to twice the digits.
        let low = self.low + (lost + slip);
        self.high = sum + low;
        self.low = (sum - self.high) + low;
    }
}

/// Improves `b` until it is the solution of the stored numbers to the last digits, and gives the residuals.
///
/// ```text
/// db = (RᵀR)⁻¹ Aᵀ W (y − A b),   y − A b and Aᵀ W r with twice the digits
/// ```
/// With an R of one precision each round gains the digits that R has: about 16 less the logarithm of the condition
/// number. Where a round gains nothing it is not taken.
///
/// # Source
/// Å. Björck 1987, Stability analysis of the method of seminormal equations for linear least squares problems, Linear
/// Algebra and its Applications 88/89, 31-48, doi:10.1016/0024-3795(87)90101-7 \[memory].
pub(super) fn refine(
    design: &Matrix,
    y: &[f64],
    weight: &dyn Fn(usize) -> f64,
    pivot: &Pivot,
    b: &mut [f64],
) -> Vec<f64> {
    let p = b.len();
    let (mut z, mut step) = (vec![0.0; p], vec![0.0; p]);
    let mut last = f64::INFINITY;
    let mut residuals = residuals(design, y, b);
    for _ in 0..ROUNDS {
        let slopes = slopes(design, weight, &residuals);
        pivot.scale_row(&slopes, &mut z);
        pivot.solve_left(&mut z);
        pivot.solve_right(p, &mut z);
        pivot.unscale(&z, &mut step);
        let size =
            step.iter().zip(&*b).map(|(step, b)| step.abs() / b.abs().max(f64::MIN_POSITIVE)).fold(0.0, f64::max);
        if !(size < 0.5 * last && size.is_finite()) {
            break;
        }
        last = size;
        for (b, step) in b.iter_mut().zip(&step) {
            *b += step;
        }
        residuals = self::residuals(design, y, b);
    }
    residuals.iter().map(|r| r.high).collect()
}

fn residuals(design: &Matrix, y: &[f64], b: &[f64]) -> Vec<Long> {
    let residual = |(row, &y): (usize, &f64)| {
        let mut sum = Long::of(y);
        for (&a, &b) in design.row(row).iter().zip(b) {
            sum.add_product(-a, b);
        }
        sum
    };
    y.iter().enumerate().map(residual).collect()
}

/// Aᵀ W r.
fn slopes(design: &Matrix, weight: &dyn Fn(usize) -> f64, residuals: &[Long]) -> Vec<f64> {
    let mut sums = vec![Long::default(); design.columns()];
    for (row, r) in residuals.iter().enumerate() {
        let square = weight(row).powi(2);
        let mut weighted = Long::default();
        weighted.add_product(square, r.high);
        weighted.add_product(square, r.low);
        for (sum, &a) in sums.iter_mut().zip(design.row(row)) {
            sum.add_product(a, weighted.high);
            sum.add_product(a, weighted.low);
        }
    }
    sums.iter().map(|sum| sum.high).collect()
}
