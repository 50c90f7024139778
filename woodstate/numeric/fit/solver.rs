//! One run from one start; its memory is kept from run to run.

use super::model::Model;
use super::task::Task;
use crate::error::Result;
use crate::numeric::pivot::Pivot;
use crate::numeric::triangle::Fold;
use crate::numeric::watch::Watch;

/// How far the first step may go, in lengths of the scaled start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach(pub(super) f64);

impl Reach {
    /// As usual.
    pub(super) const WIDE: Self = Self(100.0);
    /// For a second try after a first step that led where the curve is flat.
    pub(super) const SHORT: Self = Self(0.1);
}

/// The state of a run, and its buffers.
#[derive(Debug)]
pub(super) struct Solver {
    /// Where the run stands.
    pub(super) b: Vec<f64>,
    /// Triangle of `[J | r]` there.
    pub(super) fold: Fold,
    /// Parameters that may move.
    pub(super) free: Vec<bool>,
    /// Evaluations of all rows.
    pub(super) iterations: usize,
    pub(super) next: Vec<f64>,
    pub(super) trial: Fold,
    pub(super) pivot: Pivot,
    pub(super) scale: Vec<f64>,
    pub(super) step: Vec<f64>,
    pub(super) slope: Vec<f64>,
    pub(super) z: Vec<f64>,
    pub(super) work: Vec<f64>,
    pub(super) second: Vec<f64>,
    pub(super) bend: Vec<f64>,
}

impl Solver {
    pub(super) fn new(p: usize) -> Self {
        let zeros = || vec![0.0; p];
        Self {
            b: zeros(),
            fold: Fold::new(p),
            free: vec![true; p],
            iterations: 0,
            next: zeros(),
            trial: Fold::new(p),
            pivot: Pivot::new(p),
            scale: zeros(),
            step: zeros(),
            slope: zeros(),
            z: zeros(),
            work: zeros(),
            second: vec![0.0; p * p],
            bend: vec![0.0; p * p],
        }
    }

    /// Goes from `start` to the nearest minimum and polishes it; the sum of squares, `None` where the model has no
    /// finite value at the start.
    pub(super) fn run<M: Model + ?Sized>(
        &mut self,
        task: &Task<'_, M>,
        start: &[f64],
        reach: Reach,
        limit: usize,
        watch: &Watch<'_>,
    ) -> Result<Option<f64>> {
        self.b.copy_from_slice(start);
        task.clamp(&mut self.b);
        self.iterations += 1;
        let rss = task.fold(&self.b, &mut self.fold, &mut self.slope);
        if !rss.is_finite() {
            return Ok(None);
        }
        let rss = self.descend(task, rss, reach, true, limit, watch)?;
        let rss = self.polish(task, rss);
        if self.standing(task, start, rss).is_minimum() {
            return Ok(Some(rss));
        }
        let left = limit.saturating_sub(self.iterations);
        let rss = self.descend(task, rss, reach, false, left, watch)?;
        Ok(Some(self.polish(task, rss)))
    }

    /// Puts `b + step`, cut at the limits, into `next`; whether something was cut. Then `step` is what is left.
    pub(super) fn move_by_step<M: Model + ?Sized>(&mut self, task: &Task<'_, M>) -> bool {
        for ((next, b), step) in self.next.iter_mut().zip(&self.b).zip(&self.step) {
            *next = b + step;
        }
        let is_inside = |k: usize| self.next[k] >= task.low[k] && self.next[k] <= task.high[k];
        if (0..self.next.len()).all(is_inside) {
            return false;
        }
        task.clamp(&mut self.next);
        for ((step, next), b) in self.step.iter_mut().zip(&self.next).zip(&self.b) {
            *step = next - b;
        }
        true
    }

    /// Makes the point that was tried the point where the run stands.
    pub(super) fn accept(&mut self) {
        std::mem::swap(&mut self.b, &mut self.next);
        std::mem::swap(&mut self.fold, &mut self.trial);
    }
}
