//! A number and its random draws.

use crate::numeric::Interval;

use super::{Estimate, check};

/// The number of the stated values, and those of the draws.
#[derive(Debug, Clone)]
pub(super) struct Column {
    value: f64,
    draws: Vec<f64>,
}

impl Column {
    pub(super) fn new(value: f64) -> Self {
        Self { value, draws: Vec::new() }
    }

    pub(super) fn value(&self) -> f64 {
        self.value
    }

    pub(super) fn len(&self) -> usize {
        self.draws.len()
    }

    pub(super) fn push(&mut self, draw: f64) {
        self.draws.push(draw);
    }

    /// Everything over a number.
    pub(super) fn over(mut self, divisor: f64) -> Self {
        self.value /= divisor;
        self.draws.iter_mut().for_each(|draw| *draw /= divisor);
        self
    }

    /// Standard deviation and interval of the draws, where they are to be told.
    pub(super) fn estimate(mut self, coverage: f64, is_told: bool) -> Estimate {
        if !is_told || self.draws.len() < 2 || self.draws.iter().any(|draw| !draw.is_finite()) {
            return Estimate::plain(self.value);
        }
        let n = check::real(self.draws.len());
        let mean = self.draws.iter().sum::<f64>() / n;
        let squares: f64 = self.draws.iter().map(|draw| (draw - mean) * (draw - mean)).sum();
        let tail = (1.0 - coverage) / 2.0;
        let [low, high] = [tail, 1.0 - tail].map(|p| self.quantile(p));
        Estimate { value: self.value, u: Some((squares / (n - 1.0)).sqrt()), interval: Some(Interval { low, high }) }
    }

    /// Quantile, type 7, without sorting all.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "OK because p is between 0 and 1")]
    fn quantile(&mut self, p: f64) -> f64 {
        let position = p * check::real(self.draws.len() - 1);
        let row = (position.floor() as usize).min(self.draws.len() - 1);
        let (_, below, rest) = self.draws.select_nth_unstable_by(row, f64::total_cmp);
        let below = *below;
        let next = rest.iter().copied().fold(f64::INFINITY, f64::min);
        if next.is_finite() { below + (next - below) * (position - check::real(row)) } else { below }
    }
}
