//! The end of one run.

use super::model::Model;
use super::robust::{Robust, standardised};
use super::solver::{Reach, Solver};
use super::standing::Standing;
use super::task::Task;
use crate::error::Result;
use crate::numeric::watch::Watch;

/// Two minima are the same when their squares agree to this relative difference, and rounding.
const SAME: f64 = 1e-8;

/// Where a run from one start ended.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub(super) b: Vec<f64>,
    pub(super) start: Vec<f64>,
    /// Sum of squares, or cost of a robust loss.
    pub(super) objective: f64,
    pub(super) iterations: usize,
    pub(super) standing: Standing,
    /// Difference of objectives that does not count.
    slack: f64,
}

impl Run {
    /// Runs from a start; `None` where the model has no finite value there.
    pub(super) fn from<M: Model + ?Sized>(
        task: &Task<'_, M>,
        solver: &mut Solver,
        start: &[f64],
        steps: usize,
        watch: &Watch<'_>,
    ) -> Result<Option<Self>> {
        solver.iterations = 0;
        let rss = solver.run(task, start, Reach::WIDE, steps, watch)?;
        Ok(rss.map(|rss| Self::new(task, solver, start, rss)))
    }

    /// Runs once more from the same start, with a short first step, where the first run found no minimum.
    pub(super) fn or_shorter<M: Model + ?Sized>(
        self,
        task: &Task<'_, M>,
        solver: &mut Solver,
        steps: usize,
        watch: &Watch<'_>,
    ) -> Result<Self> {
        if self.is_minimum() {
            return Ok(self);
        }
        let Some(rss) = solver.run(task, &self.start, Reach::SHORT, steps, watch)? else { return Ok(self) };
        let second = Self::new(task, solver, &self.start, rss);
        let iterations = solver.iterations;
        let is_better = second.objective < self.objective || (second.is_minimum() && !second.is_above(&self));
        Ok(Self { iterations, ..if is_better { second } else { self } })
    }

    fn new<M: Model + ?Sized>(task: &Task<'_, M>, solver: &mut Solver, start: &[f64], rss: f64) -> Self {
        let standing = solver.standing(task, start, rss);
        let slack = SAME * rss + Task::<M>::rounding(rss, task.size());
        let (b, start) = (solver.b.clone(), start.to_vec());
        Self { b, start, objective: rss, iterations: solver.iterations, standing, slack }
    }

    /// Goes on with a robust loss.
    pub(super) fn settle<M: Model + ?Sized>(
        &mut self,
        task: &Task<'_, M>,
        solver: &mut Solver,
        robust: &Robust,
        steps: usize,
        watch: &Watch<'_>,
    ) -> Result<()> {
        solver.b.copy_from_slice(&self.b);
        solver.iterations = self.iterations;
        let is_settled = robust.settle(task, solver, steps, watch)?;
        self.objective = robust.objective(&standardised(task, &solver.b));
        self.b.copy_from_slice(&solver.b);
        self.iterations = solver.iterations;
        self.standing = solver.standing(task, &self.start, self.objective);
        self.standing.is_settled = is_settled;
        self.standing.offset = None;
        Ok(())
    }

    pub(super) fn is_minimum(&self) -> bool {
        self.standing.is_minimum()
    }

    /// Whether this objective is above the other by more than rounding.
    pub(super) fn is_above(&self, other: &Self) -> bool {
        self.objective > other.objective + other.slack
    }

    /// Whether the same objective was reached in the same way.
    pub(super) fn is_as_good_as(&self, other: &Self) -> bool {
        !self.is_above(other) && self.is_minimum() == other.is_minimum()
    }
}

/// The run to be reported: the lowest; of equal ones a true minimum, then the earliest.
pub(super) fn lowest(runs: &[Run]) -> Option<&Run> {
    let best = runs.iter().min_by(|a, b| a.objective.total_cmp(&b.objective))?;
    let minimum = runs.iter().find(|run| run.is_minimum() && !run.is_above(best));
    minimum.or_else(|| runs.iter().find(|run| !run.is_above(best)))
}
