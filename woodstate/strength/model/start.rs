//! What a model sees of the data when it looks for a start.

use crate::numeric::{Interval, mean, sum};

/// The data, by x ascending, and their extent.
#[derive(Debug, Clone, Copy)]
pub(in crate::strength) struct Sight<'a> {
    pub(super) x: &'a [f64],
    pub(super) y: &'a [f64],
    /// Smallest and largest x, apart from each other.
    pub(super) span: Interval,
    /// Largest y, above 0.
    pub(super) top: f64,
}

impl<'a> Sight<'a> {
    /// `x` ascending, as long as `y`, with two different x at least.
    pub(in crate::strength) fn of(x: &'a [f64], y: &'a [f64]) -> Self {
        let low = x.iter().copied().fold(f64::INFINITY, f64::min);
        let high = x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let top = y.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        Self { x, y, span: Interval { low, high }, top }
    }

    /// Intercept and slope of the line through y as `level` sees it, over the pairs for which that is a number.
    pub(super) fn line(&self, place: impl Fn(f64) -> f64, level: impl Fn(f64) -> f64) -> Option<[f64; 2]> {
        let seen = self.x.iter().zip(self.y).map(|(x, y)| (place(*x), level(*y)));
        let pairs: Vec<(f64, f64)> = seen.filter(|(x, y)| x.is_finite() && y.is_finite()).collect();
        line(&pairs)
    }
}

/// Intercept and slope of the line of least squares; `None` without two different x.
pub(super) fn line(pairs: &[(f64, f64)]) -> Option<[f64; 2]> {
    let centre = mean(&pairs.iter().map(|(x, _)| *x).collect::<Vec<_>>())?;
    let level = mean(&pairs.iter().map(|(_, y)| *y).collect::<Vec<_>>())?;
    let squares = sum(&pairs.iter().map(|(x, _)| (x - centre) * (x - centre)).collect::<Vec<_>>());
    let products = sum(&pairs.iter().map(|(x, y)| (x - centre) * (y - level)).collect::<Vec<_>>());
    let slope = products / squares;
    slope.is_finite().then_some([level - slope * centre, slope])
}
