//! A fit made again on many samples drawn from its own.

use super::choice::FitOptions;
use super::model::Model;
use super::outcome::Fit;
use super::points::Points;
use super::robust::Robust;
use super::run::Run;
use super::solver::Solver;
use super::task::Task;
use crate::error::Result;
use crate::numeric::bootstrap::{self, Bootstrap, Plan, Units};
use crate::numeric::check;
use crate::numeric::summary::real;
use crate::numeric::watch::Watch;

/// What is drawn again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resampling<'a> {
    /// Readings with their predictors: predictors were not set by the experiment, or the scatter changes along the
    /// curve.
    Cases,
    /// Residuals, put on the fitted curve: predictors were set, and the scatter is the same everywhere (after division
    /// by uncertainties where there are some).
    Residuals,
    /// Whole groups of readings, such as those of one timber: the number of the group of each reading.
    Groups(&'a [usize]),
}

/// Memory of a run of refits.
#[derive(Debug)]
struct Sample {
    solver: Solver,
    cases: Vec<usize>,
    x: Vec<f64>,
    y: Vec<f64>,
    weights: Vec<f64>,
}

/// What does not change from refit to refit.
#[derive(Debug)]
struct Frame<'a, M: ?Sized> {
    task: Task<'a, M>,
    start: &'a [f64],
    robust: Option<Robust>,
    steps: usize,
}

/// Parameters of the curve, fitted again to samples drawn from the readings. Refits start at the fit and are as tight.
///
/// A refit that ends at no minimum of full rank is counted as failed and left out. The threshold of a robust loss
/// stays that of the fit.
///
/// ```text
/// residuals drawn: y* = f(x, b) + u e*,   e = (r/u) / √(1 − h), less their mean
/// ```
/// `h`: leverage of the reading. Cases and groups are also left out one by one, for
/// [`Bootstrap::bca`](crate::numeric::Bootstrap::bca).
///
/// # Errors
/// When the fit is not one of these points, its rank is too low, there are fewer than two units or samples, or the
/// watch stops.
///
/// # Source
/// Leverage-adjusted residuals: A. C. Davison, D. V. Hinkley 1997, Bootstrap Methods and their Application,
/// doi:10.1017/CBO9780511802843, sections 6.2 and 7.6 \[memory].
pub fn bootstrap_fit<M: Model + ?Sized>(
    model: &M,
    points: &Points<'_>,
    fit: &Fit,
    resampling: Resampling<'_>,
    options: &FitOptions,
    plan: Plan,
    watch: &Watch<'_>,
) -> Result<Bootstrap> {
    options.check(fit.p)?;
    check::length("readings of the fit", fit.n, points.n())?;
    check::at_least("rank of the fit to be drawn again", fit.rank, fit.free.len())?;
    let weights = points.noise().root_weights();
    let (low, high) = options.limits(fit.p);
    let task = points.task(model, weights.as_deref(), (&low, &high));
    let robust = fit.threshold.map(|c| Robust { loss: options.loss, c });
    let frame = Frame { task, start: &fit.parameters, robust, steps: options.steps };
    let units = match resampling {
        Resampling::Residuals => return frame.by_residuals(fit, plan, watch),
        Resampling::Cases => Units::Cases(points.n()),
        Resampling::Groups(groups) => {
            check::length("groups of readings", groups.len(), points.n())?;
            Units::Groups(groups)
        }
    };
    let members = units.members()?;
    let mut sample = frame.sample();
    let mut jackknife = Vec::with_capacity(members.len());
    for cases in bootstrap::left_out(&members) {
        sample.cases = cases;
        jackknife.extend(frame.refit_cases(&mut sample)?);
    }
    if jackknife.len() < members.len() {
        jackknife.clear();
    }
    let drawn = bootstrap::replicate(
        plan,
        watch,
        || frame.sample(),
        |sample, stream| {
            bootstrap::draw_units(&members, stream, &mut sample.cases);
            frame.refit_cases(sample)
        },
    )?;
    Bootstrap::new(fit.parameters.clone(), drawn, jackknife, plan.seed)
}

impl<M: Model + ?Sized> Frame<'_, M> {
    fn sample(&self) -> Sample {
        let n = self.task.n();
        Sample {
            solver: Solver::new(self.start.len()),
            cases: Vec::with_capacity(n),
            x: Vec::with_capacity(self.task.x.len()),
            y: Vec::with_capacity(n),
            weights: Vec::with_capacity(n),
        }
    }

    fn refit_cases(&self, sample: &mut Sample) -> Result<Option<Vec<f64>>> {
        let Sample { solver, cases, x, y, weights } = sample;
        if cases.len() < self.start.len() {
            return Ok(None);
        }
        let width = self.task.width;
        x.clear();
        y.clear();
        weights.clear();
        for &case in &*cases {
            x.extend_from_slice(&self.task.x[case * width..(case + 1) * width]);
            y.push(self.task.y[case]);
            weights.extend(self.task.weights.map(|weights| weights[case]));
        }
        let weights = self.task.weights.map(|_| weights.as_slice());
        self.refit(solver, &Task { x, y, weights, ..self.task })
    }

    fn by_residuals(&self, fit: &Fit, plan: Plan, watch: &Watch<'_>) -> Result<Bootstrap> {
        let n = self.task.n();
        check::at_least("readings beyond the number of parameters", fit.freedom(), 1)?;
        let mut sample = self.sample();
        let residuals = self.adjusted(fit, &mut sample.solver);
        let fitted: Vec<f64> = self.task.y.iter().zip(&fit.residuals).map(|(y, r)| y - r).collect();
        let drawn = bootstrap::replicate(
            plan,
            watch,
            || self.sample(),
            |sample, stream| {
                sample.y.clear();
                for (row, fitted) in fitted.iter().enumerate() {
                    let weight = self.task.weights.map_or(1.0, |weights| weights[row]);
                    sample.y.push(fitted + residuals[stream.below(n)] / weight);
                }
                self.refit(&mut sample.solver, &Task { y: &sample.y, ..self.task })
            },
        )?;
        Bootstrap::new(fit.parameters.clone(), drawn, Vec::new(), plan.seed)
    }

    /// Residuals over their uncertainties, as large as the scatter is, with mean 0.
    fn adjusted(&self, fit: &Fit, solver: &mut Solver) -> Vec<f64> {
        let leverages = solver.leverages(&self.task, &fit.parameters);
        let adjust = |(row, leverage): (usize, &f64)| {
            let weight = self.task.weights.map_or(1.0, |weights| weights[row]);
            // A reading that alone decides a parameter has no residual to tell its scatter.
            if *leverage < 1.0 - 1e-9 { fit.residuals[row] * weight / (1.0 - leverage).sqrt() } else { 0.0 }
        };
        let mut residuals: Vec<f64> = leverages.iter().enumerate().map(adjust).collect();
        let mean = residuals.iter().sum::<f64>() / real(residuals.len());
        for residual in &mut residuals {
            *residual -= mean;
        }
        residuals
    }

    fn refit(&self, solver: &mut Solver, task: &Task<'_, M>) -> Result<Option<Vec<f64>>> {
        let silent = Watch::silent();
        let Some(mut run) = Run::from(task, solver, self.start, self.steps, &silent)? else { return Ok(None) };
        if let Some(robust) = &self.robust {
            run.settle(task, solver, robust, self.steps, &silent)?;
        }
        Ok(run.is_minimum().then_some(run.b))
    }
}
