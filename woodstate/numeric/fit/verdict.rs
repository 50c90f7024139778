//! From runs to a result.

use super::model::Model;
use super::outcome::{Ending, Fit, FitDoubt};
use super::robust::Robust;
use super::run::Run;
use super::solver::Solver;
use super::standing::Standing;
use super::task::Task;
use crate::error::Result;
use crate::numeric::distribution::{chi_squared_quantile, chi_squared_sf, f_quantile};
use crate::numeric::linear;
use crate::numeric::noise::Noise;
use crate::numeric::summary::real;

/// Condition number from which a doubt is raised. The reference data sets for nonlinear regression stay below 10⁵.
const ILL: f64 = 1e8;
/// Probability below which the scatter is called larger than known uncertainties explain.
const UNLIKELY: f64 = 0.05;
/// Coverage of the limit within which another minimum counts.
const NEAR: f64 = 0.95;

/// The result, of the run that was chosen.
pub(super) fn of<M: Model + ?Sized>(
    task: &Task<'_, M>,
    solver: &mut Solver,
    runs: &[Run],
    run: &Run,
    lost: usize,
    noise: Noise<'_>,
    robust: Option<Robust>,
) -> Result<Fit> {
    solver.b.copy_from_slice(&run.b);
    let mut weighted = task.fold(&solver.b, &mut solver.fold, &mut solver.slope);
    if run.is_minimum() && robust.is_none() {
        weighted = solver.last_step(task, weighted);
    }
    let standing = Standing { is_settled: run.standing.is_settled, ..solver.standing(task, &run.start, weighted) };
    let (n, p) = (task.n(), run.b.len());
    // Where a robust loss pulls against a limit, the squares alone may not.
    let is_inside = |k: usize| robust.is_none() || (run.b[k] > task.low[k] && run.b[k] < task.high[k]);
    let free: Vec<usize> = (0..p).filter(|&k| solver.free[k] && is_inside(k)).collect();
    let residuals = task.residuals(&solver.b);
    let rss = weighted;
    let left = n - free.len();
    let variance = (left > 0).then(|| rss / real(left));
    let factor = if noise.is_scaled() { variance } else { Some(1.0) };
    let is_regular = standing.undetermined.is_empty() && robust.is_none() && standing.is_settled && !free.is_empty();
    let covariance = factor
        .filter(|_| is_regular)
        .map(|factor| linear::covariance(&solver.pivot, &solver.scale, &free, factor))
        .filter(|matrix| matrix.values().iter().all(|value| value.is_finite()));
    let chi_squared_probability =
        if noise.is_scaled() || left == 0 { None } else { Some(chi_squared_sf(rss, real(left))?) };
    let ending = match () {
        () if !standing.undetermined.is_empty() => Ending::RankDeficient,
        () if standing.is_settled => Ending::Converged,
        () => Ending::Unsettled,
    };
    let mut fit = Fit {
        parameters: solver.b.clone(),
        free,
        covariance,
        residuals,
        rss,
        objective: run.objective,
        threshold: robust.map(|robust| robust.c),
        s: variance.map(f64::sqrt),
        chi_squared_probability,
        n,
        p,
        rank: standing.rank,
        condition: if standing.undetermined.is_empty() { solver.pivot.condition() } else { f64::INFINITY },
        relative_offset: standing.offset,
        iterations: runs.iter().map(|run| run.iterations).sum(),
        ending,
        starts_tried: runs.len(),
        starts_reached: 0,
        doubts: Vec::new(),
    };
    let is_elsewhere = |other: &Run| !std::ptr::eq(other, run) && (0..p).any(|k| differs(&fit, k, other.b[k]));
    let reached = runs.iter().filter(|other| other.is_as_good_as(run) && !is_elsewhere(other)).count();
    let limit = limit(&fit, noise)?;
    let second = runs
        .iter()
        .filter(|other| other.is_minimum() && other.objective <= limit.max(run.objective) && is_elsewhere(other))
        .min_by(|a, b| a.objective.total_cmp(&b.objective))
        .map(|other| FitDoubt::SecondMinimum { parameters: other.b.clone(), objective: other.objective });
    fit.doubts = doubts(&fit, standing.undetermined, noise, lost);
    fit.doubts.extend(second);
    fit.starts_reached = reached;
    Ok(fit)
}

/// Whether a parameter is another one: by more than a tenth of its standard deviation, or of a thousandth of itself.
fn differs(fit: &Fit, k: usize, other: f64) -> bool {
    let here = fit.parameters[k];
    let allowed = fit.sd(k).map_or(1e-3 * here.abs().max(other.abs()), |sd| 0.1 * sd);
    (here - other).abs() > allowed.max(1e-6 * here.abs())
}

fn doubts(fit: &Fit, undetermined: Vec<usize>, noise: Noise<'_>, lost: usize) -> Vec<FitDoubt> {
    let mut doubts = Vec::new();
    if !undetermined.is_empty() {
        doubts.push(FitDoubt::Undetermined { parameters: undetermined });
    }
    if fit.ending == Ending::Unsettled {
        doubts.push(FitDoubt::Unsettled);
    }
    let held = (0..fit.p).filter(|k| !fit.free.contains(k));
    doubts.extend(held.map(|parameter| FitDoubt::AtLimit { parameter }));
    if fit.condition >= ILL && fit.condition.is_finite() {
        doubts.push(FitDoubt::IllConditioned { condition: fit.condition });
    }
    if fit.freedom() == 0 && noise.is_scaled() {
        doubts.push(FitDoubt::NoFreedom);
    }
    if let Some(probability) = fit.chi_squared_probability.filter(|&probability| probability < UNLIKELY) {
        doubts.push(FitDoubt::Scatter { probability });
    }
    if fit.threshold.is_some() {
        doubts.push(FitDoubt::Robust);
    }
    if lost > 0 {
        doubts.push(FitDoubt::StartsLost { count: lost });
    }
    doubts
}

/// The objective up to which another minimum fits almost as well.
///
/// ```text
/// RSS (1 + p/(n − p) F.95(p, n − p)),   RSS + χ².95(p) for known uncertainties
/// ```
fn limit(fit: &Fit, noise: Noise<'_>) -> Result<f64> {
    let (p, left) = (real(fit.free.len()), real(fit.freedom()));
    if p <= 0.0 || left <= 0.0 {
        return Ok(fit.objective);
    }
    Ok(if noise.is_scaled() {
        fit.objective * (1.0 + p / left * f_quantile(NEAR, p, left)?)
    } else {
        fit.objective + chi_squared_quantile(NEAR, p)?
    })
}
