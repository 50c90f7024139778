//! A model fitted to increments, each taken as the mean over its interval.

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{Fit, FitDoubt, FitOptions, Interval, Noise, Points, Starts, Watch, fit, mean, sum};

use super::increment::{Readings, real};
use super::search::{Search, level, limits, parameters};
use super::{DepthModel, Increment, Shape};

/// A fitted model.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthFit {
    /// The model with its parameters.
    pub shape: Shape,
    /// Standard uncertainty of each parameter from the scatter about the curve, or from the uncertainty of the increments
    /// where that is larger; `None` where unknown.
    pub u: Vec<Option<f64>>,
    /// Sum of the squared residuals, each weighed by its thickness over the mean thickness.
    pub rss: f64,
    /// Number of increments.
    pub n: usize,
    /// Standard deviation about the curve of an increment of mean thickness: that of the residuals, or the own uncertainty of
    /// the increments where that is larger; `None` where neither is known.
    pub scatter: Option<f64>,
    /// Akaike's criterion for small samples; `None` where there are too few increments for it.
    pub aicc: Option<f64>,
    /// Parameters that stand on the limit of what was searched.
    pub on_limit: Vec<usize>,
    /// Whether the data do not determine all parameters.
    pub is_undetermined: bool,
}

/// Fits a model to increments.
///
/// ```text
/// b = argmin Σ (L/L̄) ( y − (1/L) ∫ f(x, b) dx )²,   L = to − from
/// ```
/// The integral makes a thick increment tell what it holds: the mean over its thickness. It weighs as its thickness, since it
/// stands for so much wood. With equal ends, `f` is taken at that depth.
///
/// ```text
/// AICc = −2 ln L + 2 k + 2 k (k + 1)/(n − k − 1),   −2 ln L = n ln(2π σ²) + RSS/σ²,   σ² = max(RSS/n, own variance)
/// ```
/// `k`: parameters and σ. A curve cannot be praised for running closer to the increments than they were measured.
///
/// # Errors
/// Fewer increments than parameters, fewer than two depths for a model that changes with depth, numbers that are not finite,
/// or a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::profile::{DepthModel, Increment, fit_depth};
/// let core = [(0.0, 10.0, 40.0), (10.0, 20.0, 65.0), (20.0, 30.0, 90.0), (30.0, 40.0, 90.0)];
/// let core = core.map(|(from, to, value)| Increment::new(from, to, value));
/// let step = fit_depth(&core, DepthModel::Step, &Watch::silent())?;
/// assert!((step.shape.parameters[2] - 15.0).abs() < 1e-6);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// C. M. Hurvich, C.-L. Tsai 1989, Regression and time series model selection in small samples, Biometrika 76, 297-307,
/// doi:10.1093/biomet/76.2.297 \[memory].
pub fn fit_depth(increments: &[Increment], model: DepthModel, watch: &Watch<'_>) -> Result<DepthFit> {
    fitted(&Readings::of(increments)?, model, watch)
}

pub(super) fn fitted(readings: &Readings, model: DepthModel, watch: &Watch<'_>) -> Result<DepthFit> {
    let (n, p) = (readings.n(), model.n_parameters());
    let needed = |name: &str, found: usize, least: usize| {
        Err(Error::new(ErrorKind::Range {
            name: name.to_owned(),
            value: real(found),
            allowed: format!("at least {least}"),
        }))
    };
    if n < p {
        return needed("number of increments", n, p);
    }
    let [shallowest, deepest] = readings.range();
    if model != DepthModel::Constant && deepest <= shallowest {
        return needed("number of different depths", 1, 2);
    }
    let theta = Search::new(model, readings).refined(readings, 1e-10);
    let start = level(model, theta, readings);
    let b = parameters(model, theta, start.factors);
    match model {
        DepthModel::Step => Ok(step(readings, b, start.rss)),
        _ => polished(readings, model, &b, watch),
    }
}

/// The step: at its break the squares have a corner, so only its levels have standard deviations.
fn step(readings: &Readings, mut b: Vec<f64>, mut rss: f64) -> DepthFit {
    let ends = readings.ends();
    let above = ends.partition_point(|end| *end <= b[2]).clamp(1, ends.len() - 1);
    let (low, high) = (ends[above - 1], ends[above]);
    let middle = f64::midpoint(low, high);
    // Where no increment lies between two ends, every break there is as good; none is chosen for its place in a search.
    let found = level(DepthModel::Step, [middle, 0.0], readings);
    let edges = [low, high].map(|at| level(DepthModel::Step, [at, 0.0], readings).rss);
    if edges.iter().all(|edge| (edge - found.rss).abs() <= 1e-12 * (rss + found.rss)) && found.rss <= rss {
        b = parameters(DepthModel::Step, [middle, 0.0], found.factors);
        rss = found.rss;
    }
    let weights = |is_inside: bool| {
        let share = |row: usize| {
            let [from, to] = readings.depth(row);
            let beyond = super::shape::beyond(from, to, b[2]);
            readings.weight[row] * if is_inside { beyond } else { 1.0 - beyond }
        };
        sum(&(0..readings.n()).map(share).collect::<Vec<_>>())
    };
    let [outside, inside] = [weights(false), weights(true)];
    let mut fit = DepthFit::of(readings, Shape { model: DepthModel::Step, parameters: b }, rss);
    let u = |weight: f64| fit.scatter.filter(|_| weight > 0.0).map(|s| s / weight.sqrt());
    fit.u = vec![u(outside), u(inside), None];
    fit.is_undetermined = outside <= 0.0 || inside <= 0.0;
    fit
}

/// Every other model, by nonlinear least squares from the best start.
fn polished(readings: &Readings, model: DepthModel, start: &[f64], watch: &Watch<'_>) -> Result<DepthFit> {
    let found = least(readings, model, start, watch)?;
    let shape = Shape { model, parameters: found.parameters.clone() };
    let mut fit = DepthFit::of(readings, shape, found.rss);
    let widened = fit.scatter.zip(found.s).map_or(1.0, |(wide, s)| if s > 0.0 { wide / s } else { f64::NAN });
    let sd = |k: usize| found.sd(k).map(|sd| sd * widened).filter(|sd| sd.is_finite());
    fit.u = (0..model.n_parameters()).map(sd).collect();
    for doubt in &found.doubts {
        match doubt {
            FitDoubt::AtLimit { parameter } => fit.on_limit.push(*parameter),
            FitDoubt::Undetermined { .. } | FitDoubt::Unsettled => fit.is_undetermined = true,
            _ => {}
        }
    }
    Ok(fit)
}

/// The least squares of a model from a start on.
pub(super) fn least(readings: &Readings, model: DepthModel, start: &[f64], watch: &Watch<'_>) -> Result<Fit> {
    let u: Vec<f64> = readings.weight.iter().map(|weight| 1.0 / weight.sqrt()).collect();
    let points = Points::new(&readings.depths, &readings.y, Noise::Relative(&u))?;
    fit(&model, &points, &Starts::at(start), &FitOptions::within(bounds(readings, model)), watch)
}

pub(super) fn bounds(readings: &Readings, model: DepthModel) -> Vec<Interval> {
    let free = Interval { low: f64::NEG_INFINITY, high: f64::INFINITY };
    let [at, width] = limits(model, readings).map(|[low, high]| Interval { low, high });
    match model {
        DepthModel::Constant => vec![free],
        DepthModel::Linear => vec![free; 2],
        DepthModel::BrokenStick => vec![free, free, free, at],
        DepthModel::Step | DepthModel::Exponential => vec![free, free, at],
        DepthModel::Logistic => vec![free, free, at, width],
    }
}

impl DepthFit {
    fn of(readings: &Readings, shape: Shape, rss: f64) -> Self {
        let (n, p) = (readings.n(), shape.parameters.len());
        let own = own_variance(readings, &shape);
        let spread = (n > p).then(|| rss / real(n - p));
        let scatter = match (spread, own) {
            (Some(spread), Some(own)) => Some(spread.max(own)),
            (spread, own) => spread.or(own),
        };
        let aicc = aicc(readings, rss, p, own);
        let scatter = scatter.map(f64::sqrt).filter(|scatter| *scatter > 0.0);
        Self { shape, u: vec![None; p], rss, n, scatter, aicc, on_limit: Vec::new(), is_undetermined: false }
    }

    /// Standard deviation about the curve of one increment.
    pub(super) fn scatter_of(&self, readings: &Readings, row: usize) -> Option<f64> {
        self.scatter.map(|scatter| scatter / readings.weight[row].sqrt())
    }

    /// What the curve leaves of each increment.
    pub(super) fn residuals(&self, readings: &Readings) -> Vec<f64> {
        (0..readings.n()).map(|row| readings.y[row] - self.shape.mean(readings.depth(row))).collect()
    }
}

/// Mean variance of an increment of mean thickness from its own uncertainty and that of its depths; `None` where the first
/// is unknown for one of them.
///
/// ```text
/// u² = u_y² + ( (ȳ − y(from)) u_from / L )² + ( (y(to) − ȳ) u_to / L )²
/// ```
fn own_variance(readings: &Readings, shape: &Shape) -> Option<f64> {
    let one = |row: usize| {
        let own = readings.own[row]?;
        let [from, to] = readings.depth(row);
        let held = shape.mean([from, to]);
        let slopes = match to - from {
            thickness if thickness > 0.0 => [(held - shape.at(from)) / thickness, (shape.at(to) - held) / thickness],
            _ => [0.0; 2],
        };
        let part = |end: usize| (slopes[end] * readings.u_depth[row][end].unwrap_or(0.0)).powi(2);
        Some(readings.weight[row] * (own * own + part(0) + part(1)))
    };
    let variances: Option<Vec<f64>> = (0..readings.n()).map(one).collect();
    mean(&variances?)
}

fn aicc(readings: &Readings, rss: f64, p: usize, own: Option<f64>) -> Option<f64> {
    let n = real(readings.n());
    let k = real(p) + 1.0;
    let left = n - k - 1.0;
    // Values that agree to rounding have no likelihood; they count as known to nine digits.
    let size = mean(&readings.y.iter().map(|y| y * y).collect::<Vec<_>>())?;
    let variance = (rss / n).max(own.unwrap_or(0.0)).max(1e-18 * size);
    let weights = sum(&readings.weight.iter().map(|weight| weight.ln()).collect::<Vec<_>>());
    let deviance = n * (std::f64::consts::TAU * variance).ln() + rss / variance - weights;
    (left > 0.0 && variance > 0.0).then(|| deviance + 2.0 * k + 2.0 * k * (k + 1.0) / left)
}
