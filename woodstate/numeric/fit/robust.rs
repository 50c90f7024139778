//! Robust losses by weights that follow the residuals.

use super::choice::{Loss, Threshold};
use super::model::Model;
use super::solver::{Reach, Solver};
use super::task::Task;
use crate::error::Result;
use crate::numeric::summary;
use crate::numeric::watch::Watch;

/// Rounds of weights at most.
const ROUNDS: usize = 200;
/// Relative change of the parameters at which the weights stand still.
const SETTLED: f64 = 1e-12;

/// A loss with its threshold.
#[derive(Debug, Clone, Copy)]
pub(super) struct Robust {
    pub(super) loss: Loss,
    pub(super) c: f64,
}

impl Robust {
    /// The threshold, from residuals that are divided by their uncertainties; `None` where it cannot be told, since
    /// half the residuals or more are 0.
    pub(super) fn new(loss: Loss, residuals: &[f64]) -> Option<Self> {
        let c = match loss.threshold()? {
            Threshold::Given(c) => c,
            Threshold::FromScatter => {
                let sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
                1.4826 * summary::median(&sizes)?
            }
        };
        (c > 0.0).then_some(Self { loss, c })
    }

    fn z(&self, residual: f64) -> f64 {
        (residual / self.c).powi(2)
    }

    /// c² Σ ρ.
    pub(super) fn objective(&self, residuals: &[f64]) -> f64 {
        self.c * self.c * residuals.iter().map(|&r| self.loss.cost(self.z(r))).sum::<f64>()
    }

    /// Goes on from where the solver stands, until weights and parameters agree; whether they do.
    ///
    /// # Source
    /// P. W. Holland, R. E. Welsch 1977, Robust regression using iteratively reweighted least-squares, Communications
    /// in Statistics A6, 813-827, doi:10.1080/03610927708827533 \[memory].
    pub(super) fn settle<M: Model + ?Sized>(
        &self,
        task: &Task<'_, M>,
        solver: &mut Solver,
        steps: usize,
        watch: &Watch<'_>,
    ) -> Result<bool> {
        let mut settled = false;
        let mut weights = vec![0.0; task.n()];
        let size = task.size();
        for _ in 0..ROUNDS {
            let residuals = standardised(task, &solver.b);
            for (row, (weight, &residual)) in weights.iter_mut().zip(&residuals).enumerate() {
                let known = task.weights.map_or(1.0, |weights| weights[row]);
                *weight = known * self.loss.weight(self.z(residual)).sqrt();
            }
            let weighted = Task { weights: Some(&weights), ..*task };
            let before = solver.b.clone();
            if solver.run(&weighted, &before, Reach::WIDE, steps, watch)?.is_none() {
                break;
            }
            for ((step, now), before) in solver.step.iter_mut().zip(&solver.b).zip(&before) {
                *step = now - before;
            }
            settled = solver.relative_step(size) <= SETTLED;
            if settled {
                break;
            }
        }
        Ok(settled)
    }
}

/// Residuals divided by their uncertainties.
pub(super) fn standardised<M: Model + ?Sized>(task: &Task<'_, M>, b: &[f64]) -> Vec<f64> {
    let mut residuals = task.residuals(b);
    if let Some(weights) = task.weights {
        for (residual, weight) in residuals.iter_mut().zip(weights) {
            *residual *= weight;
        }
    }
    residuals
}
