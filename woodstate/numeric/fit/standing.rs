//! What can be said of the point where a run ended.

use super::model::Model;
use super::solver::Solver;
use super::task::Task;
use crate::numeric::summary::real;
use crate::numeric::triangle::dot;

/// Relative step below which a run counts as settled.
const SETTLED: f64 = 1e-8;
/// Relative offset below which a run counts as settled, whatever the steps: far below the uncertainty.
const OFFSET: f64 = 1e-6;

/// Rank and rest at the end of a run.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Standing {
    /// Parameters that the data do not determine.
    pub(super) undetermined: Vec<usize>,
    /// Free parameters that the data determine.
    pub(super) rank: usize,
    /// Whether the last step was as good as nothing.
    pub(super) is_settled: bool,
    /// Relative offset.
    pub(super) offset: Option<f64>,
}

impl Standing {
    pub(super) fn is_minimum(&self) -> bool {
        self.is_settled && self.undetermined.is_empty()
    }
}

impl Solver {
    /// Judges the point `self.b`, at which the triangle stands; leaves its factorisation in `self.pivot`.
    ///
    /// # Source
    /// Relative offset: D. M. Bates, D. G. Watts 1981, A relative offset orthogonality convergence criterion for
    /// nonlinear least squares, Technometrics 23, 179-183 \[memory].
    pub(super) fn standing<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, start: &[f64], rss: f64) -> Standing {
        let data = task.size();
        let is_regular = self.gauss_newton(task);
        let (n, size) = (task.n(), self.pivot.size());
        let mut undetermined: Vec<usize> = Vec::new();
        for k in (0..self.b.len()).filter(|&k| self.free[k]) {
            if self.is_flat(task, k, start[k], data) {
                undetermined.push(k);
            }
        }
        let rank = self.pivot.rank(n).min(size - undetermined.len());
        if rank < size && undetermined.is_empty() {
            undetermined = self.pivot.undetermined(rank);
        }
        let offset = self.offset(n, rss);
        // Where no residual is left there is nowhere to go.
        let is_still = is_regular && (rss <= 0.0 || self.relative_step(data) < SETTLED);
        let is_settled = size == 0 || is_still || (is_regular && offset.is_some_and(|offset| offset < OFFSET));
        Standing { undetermined, rank, is_settled, offset }
    }

    /// Leverage of each reading: how much of it the curve follows.
    ///
    /// ```text
    /// h = ‖ R⁻ᵀ P S⁻¹ j ‖²,   j: the row of J
    /// ```
    pub(super) fn leverages<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, b: &[f64]) -> Vec<f64> {
        self.b.copy_from_slice(b);
        task.fold(b, &mut self.fold, &mut self.slope);
        self.gauss_newton(task);
        let size = self.pivot.size();
        let mut leverage = |row: usize| {
            task.slopes(row, b, &mut self.slope);
            self.pivot.scale_row(&self.slope, &mut self.z[..size]);
            self.pivot.solve_left(&mut self.z[..size]);
            dot(&self.z[..size], &self.z[..size])
        };
        (0..task.n()).map(&mut leverage).collect()
    }

    /// ```text
    /// √(‖Qᵀr‖²/p) / √((‖r‖² − ‖Qᵀr‖²)/(n − p))
    /// ```
    fn offset(&self, n: usize, rss: f64) -> Option<f64> {
        let size = self.pivot.size();
        let reached = self.pivot.reached().powi(2);
        let beyond = rss - reached;
        (size > 0 && n > size && beyond > 0.0).then(|| (reached / real(size)).sqrt() / (beyond / real(n - size)).sqrt())
    }

    /// Whether the curve does not feel parameter `k`. A column of J may be tiny and still have length 1 when scaled;
    /// then the parameter is moved by as much as should change the curve by its own size, and the curve is looked at.
    fn is_flat<M: Model + ?Sized>(&self, task: &Task<'_, M>, k: usize, start: f64, data: f64) -> bool {
        let norm = self.fold.norm(k);
        let reach = self.b[k].abs().max(start.abs());
        if norm * reach > real(task.n()) * f64::EPSILON * data.sqrt() || data <= 0.0 {
            return false;
        }
        let by = data.sqrt() / norm;
        let change = task.moved(&self.b, k, by);
        !(change > 0.01 * data && change.is_finite())
    }
}
