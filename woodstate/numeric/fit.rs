//! Nonlinear least squares.
//!
//! A trust region leads to a minimum, full steps polish it, and no result says "converged" before its rank was
//! looked at. A single run may end in a wrong minimum without any sign of it: scattered starts tell.

mod choice;
mod model;
mod outcome;
mod points;
mod polish;
mod refit;
mod robust;
mod run;
mod solver;
mod standing;
mod start;
mod task;
mod trust;
mod verdict;

pub use choice::{FitOptions, Loss, Threshold};
pub use model::{Differences, Model};
pub use outcome::{Ending, Fit, FitDoubt};
pub use points::Points;
pub use refit::{Resampling, bootstrap_fit};
pub use start::Starts;

use self::robust::{Robust, standardised};
use self::run::{Run, lowest};
use self::solver::Solver;
use self::task::Task;
use super::check;
use super::watch::Watch;
use crate::error::{Error, Result};

/// The parameters for which the squares of the residuals (or a robust loss) are least.
///
/// ```text
/// b = argmin Σ ((y − f(x, b))/u)²,   cov(b) = s² (JᵀJ)⁻¹,   s² = RSS/(n − p)
/// ```
/// With known uncertainties s² is 1. Of all starts the lowest minimum is taken; the result says how many starts
/// reached it, and warns of another minimum that fits almost as well.
///
/// # Errors
/// When sizes differ, a number is not finite, limits are reversed, there are fewer readings than parameters, the model
/// has no finite value at any start, or the watch stops the fit.
///
/// # Example
/// ```
/// use woodstate::numeric::{Differences, FitOptions, Noise, Points, Starts, Watch, fit};
/// let x = [1.0, 2.0, 3.0, 4.0];
/// let y = [2.7, 7.5, 20.0, 54.7];
/// let points = Points::new(&x, &y, Noise::FromScatter)?;
/// let growth = Differences(|x: &[f64], b: &[f64]| b[0] * (b[1] * x[0]).exp());
/// let fit = fit(&growth, &points, &Starts::at(&[1.0, 0.5]), &FitOptions::plain(), &Watch::silent())?;
/// assert!((fit.parameters[1] - 1.0).abs() < 0.02);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// J. J. Moré 1978, The Levenberg-Marquardt algorithm: implementation and theory, Lecture Notes in Mathematics 630,
/// 105-116 \[memory]. Checked with the NIST Statistical Reference Datasets for nonlinear regression.
pub fn fit<M: Model + ?Sized>(
    model: &M,
    points: &Points<'_>,
    starts: &Starts,
    options: &FitOptions,
    watch: &Watch<'_>,
) -> Result<Fit> {
    starts.check()?;
    let p = starts.parameters();
    options.check(p)?;
    check::at_least("number of readings", points.n(), p)?;
    let weights = points.noise.root_weights();
    let (low, high) = options.limits(p);
    let task = points.task(model, weights.as_deref(), (&low, &high));
    let mut solver = Solver::new(p);
    let all = starts.all(&low, &high);
    let mut runs = Vec::with_capacity(all.len());
    for (done, start) in all.iter().enumerate() {
        if all.len() > 1 {
            watch.advance("starts", done, all.len())?;
        }
        let Some(mut run) = Run::from(&task, &mut solver, start, options.steps, watch)? else { continue };
        if done < starts.given() {
            run = run.or_shorter(&task, &mut solver, options.steps, watch)?;
        }
        runs.push(run);
    }
    let lost = all.len() - runs.len();
    let Some(best) = lowest(&runs) else { return Err(no_value(&task, starts.first())) };
    let robust = threshold(&task, &best.b, options)?;
    if let Some(robust) = robust {
        for run in &mut runs {
            run.settle(&task, &mut solver, &robust, options.steps, watch)?;
        }
    }
    let best = lowest(&runs).ok_or_else(|| no_value(&task, starts.first()))?;
    verdict::of(&task, &mut solver, &runs, best, lost, points.noise, robust)
}

fn threshold<M: Model + ?Sized>(task: &Task<'_, M>, b: &[f64], options: &FitOptions) -> Result<Option<Robust>> {
    if options.loss.threshold().is_none() {
        return Ok(None);
    }
    match Robust::new(options.loss, &standardised(task, b)) {
        Some(robust) => Ok(Some(robust)),
        None => Err(check::range("threshold of a robust loss, from the scatter", 0.0, "a number above 0; give one")),
    }
}

/// The model is not finite where it starts: the reading at which this is seen.
fn no_value<M: Model + ?Sized>(task: &Task<'_, M>, start: &[f64]) -> Error {
    let mut b = start.to_vec();
    task.clamp(&mut b);
    let mut slope = vec![0.0; b.len()];
    for row in 0..task.n() {
        let x = &task.x[row * task.width..(row + 1) * task.width];
        let value = task.model.at(x, &b, &mut slope);
        if let Some(&value) = [value].iter().chain(&slope).find(|value| !value.is_finite()) {
            let name = format!("the model or a slope of it at the start, reading {}", row + 1);
            return check::range(name, value, "a finite number; choose other starting parameters");
        }
    }
    check::range("sum of squares at the start", f64::INFINITY, "a finite number; choose other starting parameters")
}
