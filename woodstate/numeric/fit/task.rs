//! The squares to be made least, as the solver sees them.

use super::model::{Model, step};
use crate::numeric::triangle::Fold;

/// Sums are taken in runs of this many terms, so that rounding does not grow with n.
const RUN: usize = 64;

/// A model, readings with weights, and limits of the parameters.
#[derive(Debug)]
pub(super) struct Task<'a, M: ?Sized> {
    pub(super) model: &'a M,
    pub(super) x: &'a [f64],
    pub(super) width: usize,
    pub(super) y: &'a [f64],
    /// Roots of the weights; all 1 where there are none.
    pub(super) weights: Option<&'a [f64]>,
    pub(super) low: &'a [f64],
    pub(super) high: &'a [f64],
}

impl<M: Model + ?Sized> Task<'_, M> {
    pub(super) fn n(&self) -> usize {
        self.y.len()
    }

    fn row(&self, row: usize) -> (&[f64], f64, f64) {
        let weight = self.weights.map_or(1.0, |weights| weights[row]);
        (&self.x[row * self.width..(row + 1) * self.width], self.y[row], weight)
    }

    /// Folds in all rows of `[J | r]` at `b`; the sum of squares, infinite where a value or a slope is not finite.
    pub(super) fn fold(&self, b: &[f64], fold: &mut Fold, slope: &mut [f64]) -> f64 {
        fold.clear();
        let (mut total, mut run) = (0.0, 0.0);
        for row in 0..self.n() {
            let (x, y, weight) = self.row(row);
            let residual = y - self.model.at(x, b, slope);
            run += (residual * weight).powi(2);
            fold.push(slope, residual, weight);
            if row % RUN == RUN - 1 {
                total += run;
                run = 0.0;
                if !total.is_finite() {
                    return f64::INFINITY;
                }
            }
        }
        fold.finish();
        total += run;
        if total.is_finite() && fold.is_finite() { total } else { f64::INFINITY }
    }

    /// A row of J, weighted.
    pub(super) fn slopes(&self, row: usize, b: &[f64], slope: &mut [f64]) {
        let (x, _, weight) = self.row(row);
        self.model.at(x, b, slope);
        for slope in slope {
            *slope *= weight;
        }
    }

    /// Residuals y − f, not weighted.
    pub(super) fn residuals(&self, b: &[f64]) -> Vec<f64> {
        let mut slope = vec![0.0; b.len()];
        (0..self.n()).map(|row| self.y[row] - self.model.at(self.row(row).0, b, &mut slope)).collect()
    }

    /// Σ (w y)²: the size of what is fitted.
    pub(super) fn size(&self) -> f64 {
        (0..self.n()).map(|row| (self.y[row] * self.row(row).2).powi(2)).sum()
    }

    /// Rounding of a sum of squares `rss` of residuals of what has the size `size`.
    ///
    /// ```text
    /// (r + e)² = r² + 2 r e + e²,   e a few ε y
    /// ```
    pub(super) fn rounding(rss: f64, size: f64) -> f64 {
        let e = 4.0 * f64::EPSILON * size.sqrt();
        1e-12 * rss + 2.0 * rss.sqrt() * e + e * e
    }

    /// Σ (w Δf)² when parameter `k` moves by `by`; not finite where the model is not.
    pub(super) fn moved(&self, b: &[f64], k: usize, by: f64) -> f64 {
        let mut slope = vec![0.0; b.len()];
        let mut other = b.to_vec();
        other[k] += by;
        let mut change = |row: usize| {
            let (x, _, weight) = self.row(row);
            weight * (self.model.at(x, &other, &mut slope) - self.model.at(x, b, &mut slope))
        };
        (0..self.n()).map(|row| change(row).powi(2)).sum()
    }

    /// Σ w r ∂²f/∂b∂b, p x p, by central differences of the slopes.
    pub(super) fn curvature(&self, b: &[f64], moved: &mut [f64], slope: &mut [f64], sum: &mut [f64]) {
        let p = b.len();
        sum.fill(0.0);
        moved.copy_from_slice(b);
        for row in 0..self.n() {
            let (x, y, weight) = self.row(row);
            let residual = (y - self.model.at(x, b, slope)) * weight * weight;
            for k in 0..p {
                let h = step(b[k]);
                for side in [h, -h] {
                    moved[k] = b[k] + side;
                    self.model.at(x, moved, slope);
                    for (entry, slope) in sum[k * p..(k + 1) * p].iter_mut().zip(&*slope) {
                        *entry += residual * slope / (2.0 * side);
                    }
                }
                moved[k] = b[k];
            }
        }
    }

    /// Puts `b` inside the limits.
    pub(super) fn clamp(&self, b: &mut [f64]) {
        for ((b, &low), &high) in b.iter_mut().zip(self.low).zip(self.high) {
            *b = b.max(low).min(high);
        }
    }

    /// Marks the parameters that may move: those on a limit may not where the squares fall beyond it.
    pub(super) fn mark_free(&self, b: &[f64], fold: &Fold, is_free: &mut [bool]) {
        for (k, free) in is_free.iter_mut().enumerate() {
            let slope = fold.slope(k);
            *free = !(b[k] <= self.low[k] && slope <= 0.0 || b[k] >= self.high[k] && slope >= 0.0);
        }
    }
}
