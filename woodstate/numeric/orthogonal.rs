//! Least squares with errors in both variables.

use super::check;
use super::distribution::chi_squared_sf;
use super::fit::{Ending, FitOptions, Points, Starts, fit};
use super::linear;
use super::matrix::Matrix;
use super::noise::Noise;
use super::pivot::Pivot;
use super::summary::real;
use super::triangle::{Fold, dot};
use super::watch::Watch;
use crate::error::Result;

/// Steps at most.
const STEPS: usize = 500;
/// Halvings of one step at most.
const HALVINGS: usize = 40;
/// Relative step below which a step that no longer shrinks is rounding.
const SETTLED: f64 = 1e-9;

/// A curve of one predictor: its value, its slope by `x`, and its slopes by the parameters.
///
/// Any function of `(x, b, slope)` that returns the value and ∂f/∂x, and fills `slope` with ∂f/∂b, is one.
pub trait Curve: Sync {
    /// Value and slope by `x`; `slope` has one entry a parameter.
    fn at(&self, x: f64, b: &[f64], slope: &mut [f64]) -> (f64, f64);
}

impl<F: Fn(f64, &[f64], &mut [f64]) -> (f64, f64) + Sync> Curve for F {
    fn at(&self, x: f64, b: &[f64], slope: &mut [f64]) -> (f64, f64) {
        self(x, b, slope)
    }
}

/// Parameters of a curve through points that are uncertain in both directions.
#[derive(Debug, Clone, PartialEq)]
pub struct OrthogonalFit {
    /// Parameters.
    pub parameters: Vec<f64>,
    /// Covariance of the parameters, p x p; `None` where it is unknown.
    pub covariance: Option<Matrix>,
    /// Shifts of the predictors onto the curve, in their unit.
    pub shifts: Vec<f64>,
    /// Residuals y − f(x + shift), in the unit of the readings.
    pub residuals: Vec<f64>,
    /// Sum of squares S of residuals and shifts, each over its uncertainty.
    pub squares: f64,
    /// √(S/(n − p)); about 1 for uncertainties that are right. `None` for n = p.
    pub s: Option<f64>,
    /// Probability of a χ² of `squares` or larger, for known uncertainties.
    pub chi_squared_probability: Option<f64>,
    /// Number of points.
    pub n: usize,
    /// Number of parameters.
    pub p: usize,
    /// Condition number of the weighted Jacobian with columns of length 1.
    pub condition: f64,
    /// Steps taken.
    pub iterations: usize,
    /// How the fit ended.
    pub ending: Ending,
}

impl OrthogonalFit {
    /// Standard deviation of parameter `k`; `None` where it is unknown.
    #[must_use]
    pub fn sd(&self, k: usize) -> Option<f64> {
        let covariance = self.covariance.as_ref()?;
        (k < self.p).then(|| covariance[(k, k)].sqrt())
    }
}

/// The parameters b and shifts δ for which the squares of residuals and shifts are least.
///
/// ```text
/// S = Σ ( (y − f(x + δ, b))²/u_y² + δ²/u_x² ),   cov(b) = (Jᵀ Ω J)⁻¹,   ω = 1/(u_y² + f′² u_x²)
/// ```
/// With [`Noise::Relative`] the uncertainties of both variables hold up to one common factor, and the covariance is
/// multiplied by S/(n − p). The fit starts from weighted least squares without errors in x.
///
/// * `x`, `y`: n points
/// * `u_x`: standard uncertainties of `x`; 0 is allowed and makes a predictor exact
/// * `noise`: standard uncertainties of `y`
///
/// # Errors
/// When sizes differ, a number is not finite, `u_x` is negative, `u_y` is not given or not above 0, there are fewer
/// points than parameters, the curve has no finite value at the start, or the watch stops the fit.
///
/// # Example
/// ```
/// use woodstate::numeric::{Noise, Watch, orthogonal_fit};
/// let line = |x: f64, b: &[f64], slope: &mut [f64]| {
///     slope.copy_from_slice(&[1.0, x]);
///     (b[0] + b[1] * x, b[1])
/// };
/// let (x, y) = ([0.0, 1.0, 2.0, 3.0], [0.1, 0.9, 2.2, 2.8]);
/// // With equal uncertainties in both variables the line is the main axis of the points.
/// let fit = orthogonal_fit(&line, (&x, &y), &[0.1; 4], Noise::Known(&[0.1; 4]), &[0.0, 1.0], &Watch::silent())?;
/// assert!((fit.parameters[1] - 0.949).abs() < 0.001);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// D. York 1966, Least-squares fitting of a straight line, Canadian Journal of Physics 44, 1079-1086,
/// doi:10.1139/p66-090; P. T. Boggs, R. H. Byrd, R. B. Schnabel 1987, A stable and efficient algorithm for nonlinear
/// orthogonal distance regression, SIAM Journal on Scientific and Statistical Computing 8, 1052-1078,
/// doi:10.1137/0908085; both \[memory]. Checked with values in exact arithmetic.
pub fn orthogonal_fit<C: Curve + ?Sized>(
    curve: &C,
    (x, y): (&[f64], &[f64]),
    u_x: &[f64],
    noise: Noise<'_>,
    start: &[f64],
    watch: &Watch<'_>,
) -> Result<OrthogonalFit> {
    let points = Points::new(x, y, noise)?;
    check::length("predictors", x.len(), y.len())?;
    check::length("uncertainties of predictors", u_x.len(), x.len())?;
    u_x.iter()
        .enumerate()
        .try_for_each(|(row, &u)| check::uncertainty(&format!("uncertainty of predictor {}", row + 1), u))?;
    let u_y = noise.uncertainties().unwrap_or(&[]);
    check::length("uncertainties of readings", u_y.len(), y.len())?;

    let plain = |x: &[f64], b: &[f64], slope: &mut [f64]| curve.at(x[0], b, slope).0;
    let first = fit(&plain, &points, &Starts::at(start), &FitOptions::plain(), watch)?;
    let begin = if first.ending == Ending::RankDeficient { start } else { &first.parameters };
    let p = start.len();
    let mut state = State {
        curve,
        x,
        y,
        u_x,
        u_y,
        b: begin.to_vec(),
        shifts: vec![0.0; x.len()],
        jacobian: vec![0.0; x.len() * p],
        lean: vec![(0.0, 0.0, 0.0); x.len()],
        fold: Fold::new(p),
        pivot: Pivot::new(p),
        scale: vec![1.0; p],
    };
    let (iterations, is_settled) = state.settle(watch)?;
    state.finish(noise, iterations, is_settled)
}

/// Where the fit stands, and its memory.
struct State<'a, C: ?Sized> {
    curve: &'a C,
    x: &'a [f64],
    y: &'a [f64],
    u_x: &'a [f64],
    u_y: &'a [f64],
    b: Vec<f64>,
    shifts: Vec<f64>,
    /// Slopes by the parameters, row after row.
    jacobian: Vec<f64>,
    /// Residual y − f + f′δ, slope f′ and weight ω of each point.
    lean: Vec<(f64, f64, f64)>,
    fold: Fold,
    pivot: Pivot,
    scale: Vec<f64>,
}

impl<C: Curve + ?Sized> State<'_, C> {
    /// Steps until they no longer shrink; how many, and whether they were as good as nothing at the end.
    fn settle(&mut self, watch: &Watch<'_>) -> Result<(usize, bool)> {
        let p = self.b.len();
        let (mut step, mut z) = (vec![0.0; p], vec![0.0; p]);
        let mut squares = self.squares(&self.b, &self.shifts);
        let mut last = f64::INFINITY;
        for iteration in 0..STEPS {
            watch.advance("steps", iteration, STEPS)?;
            if !self.linearise() {
                return Ok((iteration, false));
            }
            self.pivot.solve(p, &mut z);
            self.pivot.unscale(&z, &mut step);
            let change = |(step, b): (&f64, &f64)| if b.abs() > 0.0 { (step / b).abs() } else { step.abs() };
            let relative = step.iter().zip(&self.b).map(change).fold(0.0, f64::max);
            let Some(lower) = self.move_along(&step, squares) else {
                return Ok((iteration, relative < SETTLED));
            };
            squares = lower;
            if relative <= f64::EPSILON || (relative < SETTLED && relative >= last) {
                return Ok((iteration + 1, true));
            }
            last = relative;
        }
        Ok((STEPS, last < SETTLED))
    }

    /// Folds in the weighted rows at the shifted points; false where the rank is too low.
    fn linearise(&mut self) -> bool {
        let p = self.b.len();
        self.fold.clear();
        for (row, slope) in self.jacobian.chunks_exact_mut(p).enumerate() {
            let shift = self.shifts[row];
            let (value, lean) = self.curve.at(self.x[row] + shift, &self.b, slope);
            let residual = self.y[row] - value + lean * shift;
            let weight = 1.0 / (self.u_y[row].powi(2) + (lean * self.u_x[row]).powi(2));
            self.lean[row] = (residual, lean, weight);
            self.fold.push(slope, residual, weight.sqrt());
        }
        self.fold.finish();
        for (k, scale) in self.scale.iter_mut().enumerate() {
            let norm = self.fold.norm(k);
            *scale = if norm > 0.0 { norm } else { 1.0 };
        }
        self.pivot.factorise(&self.fold, &self.scale, &vec![true; p]);
        self.fold.is_finite() && self.pivot.rank(self.x.len()) == p
    }

    /// Takes the step, or as much of it as does not raise the squares; the squares there, `None` where nothing helps.
    fn move_along(&mut self, step: &[f64], squares: f64) -> Option<f64> {
        let p = self.b.len();
        let wanted = |row: usize| {
            let (residual, lean, weight) = self.lean[row];
            let rest = residual - dot(&self.jacobian[row * p..(row + 1) * p], step);
            weight * lean * self.u_x[row].powi(2) * rest
        };
        let wanted: Vec<f64> = (0..self.x.len()).map(wanted).collect();
        let rounding = 1e-12 * squares + 1e-28 * self.y.iter().zip(self.u_y).map(|(y, u)| (y / u).powi(2)).sum::<f64>();
        let mut share = 1.0;
        for _ in 0..HALVINGS {
            let between = |from: f64, by: f64| from + share * by;
            let b: Vec<f64> = self.b.iter().zip(step).map(|(&b, &step)| between(b, step)).collect();
            let shifts: Vec<f64> = self
                .shifts
                .iter()
                .zip(&wanted)
                .map(|(&from, &to)| if share < 1.0 { between(from, to - from) } else { to })
                .collect();
            let reached = self.squares(&b, &shifts);
            if reached <= squares + rounding {
                (self.b, self.shifts) = (b, shifts);
                return Some(reached);
            }
            share *= 0.5;
        }
        None
    }

    fn residual(&self, row: usize, b: &[f64], shift: f64, slope: &mut [f64]) -> f64 {
        self.y[row] - self.curve.at(self.x[row] + shift, b, slope).0
    }

    fn squares(&self, b: &[f64], shifts: &[f64]) -> f64 {
        let mut slope = vec![0.0; b.len()];
        let mut part = |(row, &shift): (usize, &f64)| {
            let residual = self.residual(row, b, shift, &mut slope) / self.u_y[row];
            let moved = if self.u_x[row] > 0.0 { shift / self.u_x[row] } else { 0.0 };
            residual * residual + moved * moved
        };
        shifts.iter().enumerate().map(&mut part).sum()
    }

    fn finish(mut self, noise: Noise<'_>, iterations: usize, is_settled: bool) -> Result<OrthogonalFit> {
        let (n, p) = (self.x.len(), self.b.len());
        let is_regular = self.linearise();
        let squares = self.squares(&self.b, &self.shifts);
        let mut slope = vec![0.0; p];
        let residuals = (0..n).map(|row| self.residual(row, &self.b, self.shifts[row], &mut slope)).collect();
        let variance = (n > p).then(|| squares / real(n - p));
        let factor = if noise.is_scaled() { variance } else { Some(1.0) };
        let all: Vec<usize> = (0..p).collect();
        let covariance = factor
            .filter(|_| is_regular && is_settled)
            .map(|factor| linear::covariance(&self.pivot, &self.scale, &all, factor));
        let chi_squared_probability =
            if noise.is_scaled() || n == p { None } else { Some(chi_squared_sf(squares, real(n - p))?) };
        let ending = match (is_regular, is_settled) {
            (false, _) => Ending::RankDeficient,
            (true, true) => Ending::Converged,
            (true, false) => Ending::Unsettled,
        };
        Ok(OrthogonalFit {
            covariance,
            residuals,
            squares,
            s: variance.map(f64::sqrt),
            chi_squared_probability,
            n,
            p,
            condition: if is_regular { self.pivot.condition() } else { f64::INFINITY },
            iterations,
            ending,
            parameters: self.b,
            shifts: self.shifts,
        })
    }
}
