//! The way down: a trust region.

use super::model::Model;
use super::solver::{Reach, Solver};
use super::task::Task;
use crate::error::Result;
use crate::numeric::triangle::dot;
use crate::numeric::watch::Watch;

/// Relative change of the squares, of the parameters, and cosine between residuals and slopes, at which the way down
/// ends. As tight as rounding allows: a loose end costs digits and sometimes the right answer.
const TIGHT: f64 = 1e-14;
/// Relative change of the squares by a full step from which the polish goes on.
const NEAR: f64 = 1e-5;
/// Share of the predicted decrease from which a step is taken.
const TAKEN: f64 = 1e-4;

/// A step that was tried.
struct Tried {
    /// Sum of squares there.
    rss: f64,
    /// Length in scaled parameters.
    length: f64,
    /// Decrease that the linear model promised, as a share of the squares.
    predicted: f64,
    /// Slope along the step, as a share of the squares.
    slope: f64,
    /// Whether it was neither damped nor cut.
    is_full: bool,
}

impl Solver {
    /// Goes down from `self.b` until steps or gains are below rounding, at most `limit` steps; the sum of squares. Ends
    /// before that, if `early`, where full steps gain little, so that polishing takes fewer evaluations.
    ///
    /// # Source
    /// J. J. Moré 1978, The Levenberg-Marquardt algorithm: implementation and theory, Lecture Notes in Mathematics
    /// 630, 105-116 \[memory].
    pub(super) fn descend<M: Model + ?Sized>(
        &mut self,
        task: &Task<'_, M>,
        mut rss: f64,
        reach: Reach,
        early: bool,
        limit: usize,
        watch: &Watch<'_>,
    ) -> Result<f64> {
        self.scale.fill(0.0);
        let (mut lambda, mut radius) = (0.0, 0.0);
        let end = self.iterations + limit;
        while self.iterations < end && rss > 0.0 {
            let mut is_first = radius <= 0.0;
            task.mark_free(&self.b, &self.fold, &mut self.free);
            self.widen_scale();
            if is_first {
                let length = self.scaled_length(&self.b);
                radius = if length > 0.0 { reach.0 * length } else { reach.0 };
            }
            if self.steepest(rss) <= TIGHT {
                break;
            }
            self.pivot.factorise(&self.fold, &self.scale, &self.free);
            loop {
                watch.advance("steps", self.iterations, end)?;
                self.iterations += 1;
                lambda = self.damping(task.n(), radius, lambda);
                let tried = self.try_step(task, rss, lambda);
                if std::mem::take(&mut is_first) {
                    radius = radius.min(tried.length);
                }
                let actual = if 0.01 * tried.rss < rss { 1.0 - tried.rss / rss } else { -1.0 };
                let ratio = if tried.predicted > 0.0 { actual / tried.predicted } else { 0.0 };
                (radius, lambda) = next_radius(&tried, actual, ratio, radius, lambda, rss);
                if ratio >= TAKEN {
                    self.accept();
                    rss = tried.rss;
                }
                let is_flat = actual.abs() <= TIGHT && tried.predicted <= TIGHT && ratio <= 2.0;
                let is_near = early && tried.is_full && ratio > 0.5 && tried.predicted <= NEAR;
                if is_flat || is_near || radius <= TIGHT * self.scaled_length(&self.b) {
                    return Ok(rss);
                }
                if ratio >= TAKEN || self.iterations >= end {
                    break;
                }
            }
        }
        Ok(rss)
    }

    /// Scales are column lengths and never fall, so that a parameter that loses its grip does not run away.
    fn widen_scale(&mut self) {
        for (k, scale) in self.scale.iter_mut().enumerate() {
            let norm = self.fold.norm(k);
            *scale = if norm > *scale { norm } else { *scale };
            if *scale <= 0.0 {
                *scale = 1.0;
            }
        }
    }

    fn scaled_length(&self, b: &[f64]) -> f64 {
        b.iter().zip(&self.scale).map(|(b, scale)| (b * scale).powi(2)).sum::<f64>().sqrt()
    }

    /// The largest cosine between the residuals and a column of J.
    fn steepest(&self, rss: f64) -> f64 {
        let cosine = |k: usize| {
            let norm = self.fold.norm(k);
            if norm > 0.0 { (self.fold.slope(k) / norm).abs() / rss.sqrt() } else { 0.0 }
        };
        (0..self.b.len()).filter(|&k| self.free[k]).map(cosine).fold(0.0, f64::max)
    }

    /// Puts into `self.z` the step whose length is within a tenth of `radius`, or the full one; its damping λ.
    fn damping(&mut self, n: usize, radius: f64, last: f64) -> f64 {
        let (size, rank) = (self.pivot.size(), self.pivot.rank(n));
        let Self { pivot, z, work, .. } = self;
        let (z, work) = (&mut z[..size], &mut work[..size]);
        pivot.solve(rank, z);
        let mut miss = length(z) - radius;
        if miss <= 0.1 * radius {
            return 0.0;
        }
        let mut low = 0.0;
        if rank == size {
            normalise(z, work);
            pivot.solve_left(work);
            low = miss / radius / dot(work, work);
        }
        let steep = pivot.steepness();
        let mut high = if steep > 0.0 { steep / radius } else { f64::MIN_POSITIVE / radius.min(0.1) };
        let mut lambda = last.max(low).min(high);
        if lambda <= 0.0 {
            lambda = steep / length(z);
        }
        for _ in 0..10 {
            lambda = if lambda > 0.0 { lambda } else { (0.001 * high).max(f64::MIN_POSITIVE) };
            pivot.solve_damped(lambda, z);
            let before = miss;
            miss = length(z) - radius;
            if miss.abs() <= 0.1 * radius || (low <= 0.0 && miss <= before && before < 0.0) {
                break;
            }
            normalise(z, work);
            pivot.solve_damped_left(work);
            let change = miss / radius / dot(work, work);
            if miss > 0.0 {
                low = low.max(lambda);
            } else {
                high = high.min(lambda);
            }
            lambda = low.max(lambda + change);
        }
        lambda
    }

    /// Evaluates at the end of the step in `self.z`, cut at the limits.
    fn try_step<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, rss: f64, lambda: f64) -> Tried {
        let size = self.pivot.size();
        self.pivot.unscale(&self.z[..size], &mut self.step);
        let is_cut = self.move_by_step(task);
        let (length, predicted, slope) = if is_cut {
            let slope: f64 = self.step.iter().enumerate().map(|(k, step)| step * self.fold.slope(k)).sum();
            (self.scaled_length(&self.step), self.fold.gain(&self.step) / rss, -slope / rss)
        } else {
            let length = length(&self.z[..size]);
            let image = self.pivot.length_of_image(&self.z[..size]).powi(2) / rss;
            let damping = lambda * length * length / rss;
            (length, image + 2.0 * damping, -(image + damping))
        };
        let rss = task.fold(&self.next, &mut self.trial, &mut self.slope);
        Tried { rss, length, predicted, slope, is_full: !is_cut && lambda <= 0.0 }
    }
}

fn next_radius(tried: &Tried, actual: f64, ratio: f64, radius: f64, lambda: f64, rss: f64) -> (f64, f64) {
    if ratio <= 0.25 {
        let bend = if actual >= 0.0 { 0.5 } else { 0.5 * tried.slope / (tried.slope + 0.5 * actual) };
        // Also taken where the bend is not a number.
        let factor = if 0.01 * tried.rss < rss && bend >= 0.1 { bend } else { 0.1 };
        return (factor * radius.min(tried.length / 0.1), lambda / factor);
    }
    if lambda <= 0.0 || ratio >= 0.75 {
        return (tried.length / 0.5, 0.5 * lambda);
    }
    (radius, lambda)
}

fn length(z: &[f64]) -> f64 {
    dot(z, z).sqrt()
}

fn normalise(z: &[f64], unit: &mut [f64]) {
    let length = length(z);
    for (unit, z) in unit.iter_mut().zip(z) {
        *unit = z / length;
    }
}
