//! The last digits: full steps judged by their length.

use super::model::Model;
use super::solver::Solver;
use super::task::Task;
use crate::numeric::summary::real;
use crate::numeric::triangle::dot;

/// Steps at most.
const MOST: usize = 100;
/// Relative step below which a step that no longer shrinks is rounding.
const SETTLED: f64 = 1e-9;
/// Relative step that need not be taken in refits; the result takes one more.
const ENOUGH: f64 = 1e-12;
/// Relative step that is taken for rounding when it does not shrink.
const ROUNDING: f64 = 1e-11;

/// The second derivatives, and whether they are of use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Second {
    Unknown,
    Known,
    Useless,
}

impl Solver {
    /// Full Gauss-Newton steps on J with columns of length 1, until the largest relative step is below 1e-9 and no
    /// longer shrinks; Newton steps where these shrink slowly. The sum of squares at the end.
    ///
    /// The squares cannot see a relative error of a parameter below √ε, so steps are judged by their length, and are
    /// refused only when the squares grow by more than rounding.
    pub(super) fn polish<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, mut rss: f64) -> f64 {
        let size = task.size();
        let (mut last, mut second) = (f64::INFINITY, Second::Unknown);
        for _ in 0..MOST {
            if !self.gauss_newton(task) {
                break;
            }
            let mut relative = self.relative_step(size);
            if relative <= ENOUGH {
                break;
            }
            second = self.second(task, second, relative, last);
            if second == Second::Known && self.newton() {
                relative = self.relative_step(size);
            }
            if relative < SETTLED && relative >= 0.5 * last {
                break;
            }
            let Some(next) = self.full_step(task, rss, size) else { break };
            rss = next;
            last = relative;
        }
        rss
    }

    /// Takes one more Gauss-Newton step, however short; the sum of squares after it.
    pub(super) fn last_step<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, rss: f64) -> f64 {
        if self.gauss_newton(task) { self.full_step(task, rss, task.size()).unwrap_or(rss) } else { rss }
    }

    /// Takes the step unless the squares grow by more than rounding; the sum of squares after it.
    fn full_step<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, rss: f64, size: f64) -> Option<f64> {
        self.move_by_step(task);
        self.iterations += 1;
        let next = task.fold(&self.next, &mut self.trial, &mut self.slope);
        let is_good = next.is_finite() && next <= rss + Task::<M>::rounding(rss, size);
        is_good.then(|| {
            self.accept();
            next
        })
    }

    /// Finds the second derivatives where more Gauss-Newton steps would be left than these cost evaluations, or where
    /// those at hand no longer help.
    fn second<M: Model + ?Sized>(&mut self, task: &Task<'_, M>, known: Second, relative: f64, last: f64) -> Second {
        let ratio = relative / last;
        // Near rounding no step shrinks, and second derivatives would tell nothing.
        if relative <= ROUNDING || known == Second::Useless || ratio <= 0.0 {
            return known;
        }
        let left = (relative / ENOUGH).ln() / -ratio.ln();
        let cost = 2.0 * real(self.b.len()) + 1.0;
        if ratio < 1.0 && left <= cost {
            return known;
        }
        task.curvature(&self.b, &mut self.next, &mut self.slope, &mut self.second);
        if self.second.iter().all(|value| value.is_finite()) { Second::Known } else { Second::Useless }
    }

    /// Puts the Gauss-Newton step into `self.step`; false where the rank is too low.
    pub(super) fn gauss_newton<M: Model + ?Sized>(&mut self, task: &Task<'_, M>) -> bool {
        task.mark_free(&self.b, &self.fold, &mut self.free);
        for (k, scale) in self.scale.iter_mut().enumerate() {
            let norm = self.fold.norm(k);
            *scale = if norm > 0.0 { norm } else { 1.0 };
        }
        self.pivot.factorise(&self.fold, &self.scale, &self.free);
        let size = self.pivot.size();
        if size == 0 || self.pivot.rank(task.n()) < size {
            return false;
        }
        self.pivot.solve(size, &mut self.z[..size]);
        self.pivot.unscale(&self.z[..size], &mut self.step);
        true
    }

    /// The largest step relative to its parameter, of those that the curve can feel above rounding; relative to the
    /// curve where the parameter is 0.
    pub(super) fn relative_step(&self, size: f64) -> f64 {
        let relative = |k: usize| {
            let (step, b) = (self.step[k].abs(), self.b[k].abs());
            let felt = step * self.scale[k] / size.sqrt();
            match () {
                () if felt <= f64::EPSILON => 0.0,
                () if b > 0.0 => step / b,
                () => felt,
            }
        };
        (0..self.b.len()).map(relative).fold(0.0, f64::max)
    }

    /// Replaces the Gauss-Newton step by Newton's; false where the second derivatives do not allow it.
    ///
    /// ```text
    /// (I − M) u = Qᵀr,   M = R⁻ᵀ (Σ r ∂²f/∂b∂b) R⁻¹,   R z = u
    /// ```
    /// The size of M is the ratio by which Gauss-Newton steps shrink. `JᵀJ` is never formed.
    fn newton(&mut self) -> bool {
        let (p, n) = (self.b.len(), self.pivot.size());
        let order = self.pivot.order();
        for (row, &i) in order.iter().enumerate() {
            for (column, &j) in order.iter().enumerate() {
                let mean = f64::midpoint(self.second[i * p + j], self.second[j * p + i]);
                self.bend[column * n + row] = mean / (self.scale[i] * self.scale[j]);
            }
        }
        for _ in 0..2 {
            for column in 0..n {
                self.pivot.solve_left(&mut self.bend[column * n..(column + 1) * n]);
            }
            transpose(&mut self.bend, n);
        }
        self.pivot.right(&mut self.work[..n]);
        let is_minimum = solve_beside_one(&mut self.bend, n, &mut self.work[..n]);
        if is_minimum {
            self.pivot.solve_right(n, &mut self.work[..n]);
            self.pivot.unscale(&self.work[..n], &mut self.step);
        }
        is_minimum
    }
}

fn transpose(matrix: &mut [f64], n: usize) {
    for i in 0..n {
        for j in 0..i {
            matrix.swap(i * n + j, j * n + i);
        }
    }
}

/// Solves (I − M) u = v by Cholesky; false where I − M is not positive definite, so that there is no minimum.
fn solve_beside_one(m: &mut [f64], n: usize, v: &mut [f64]) -> bool {
    for i in 0..n {
        for j in 0..=i {
            let entry = f64::from(u8::from(i == j)) - m[i * n + j];
            let rest = entry - dot(&m[i * n..i * n + j], &m[j * n..j * n + j]);
            if i != j {
                m[i * n + j] = rest / m[j * n + j];
            } else if rest > 1e-3 {
                m[i * n + i] = rest.sqrt();
            } else {
                return false;
            }
        }
        v[i] = (v[i] - dot(&m[i * n..i * n + i], &v[..i])) / m[i * n + i];
    }
    for i in (0..n).rev() {
        let above: f64 = (i + 1..n).map(|k| m[k * n + i] * v[k]).sum();
        v[i] = (v[i] - above) / m[i * n + i];
    }
    v.iter().all(|value| value.is_finite())
}
