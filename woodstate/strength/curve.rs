//! A curve fitted to the state and strength of pieces.

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{Fit, FitOptions, Interval, Matrix, Noise, Points, Starts, Watch, fit, mean, sum};

use super::cluster::by_timber;
use super::model::Sight;
use super::options::coverage;
use super::pair::{Pairs, range, real};
use super::{CurveModel, CurveOptions, Direction, Errors, Formula, Pair, Weighting};

/// Scattered starts beside those of the data, for models that want them.
const SCATTERED: usize = 12;

/// A curve with its parameters and their uncertainties.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveFit {
    /// The formula.
    pub formula: Formula,
    /// The fit by least squares, pairs in the order of x.
    pub fit: Fit,
    /// Covariance of the free parameters, as the errors were taken; `None` where it is unknown.
    pub covariance: Option<Matrix>,
    /// What counted as independent.
    pub errors: Errors,
    /// What uncertainties were used for.
    pub weighting: Weighting,
    /// Degrees of freedom of intervals: pieces less parameters, or timbers less one.
    pub freedom: f64,
    /// Coverage of intervals.
    pub coverage: f64,
    pub(super) pairs: Pairs,
    pub(super) limits: Vec<Interval>,
}

/// Fits a curve.
///
/// ```text
/// b = argmin Σ (y − f(x, b))²
/// ```
/// Starts come from the data, and the result says which doubts there are. Pairs may stand in any order.
///
/// # Errors
/// Numbers that are not finite, fewer pairs than parameters, fewer than two different x, a power with x at or below 0,
/// uncertainties or timbers that are asked for and unknown, or a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::strength::{CurveModel, CurveOptions, Pair, fit_curve};
/// // Residual density in % and compression strength in MPa, invented.
/// let pairs = [(30.0, 5.1), (42.0, 7.9), (55.0, 11.2), (71.0, 15.6), (88.0, 20.1), (97.0, 23.4)];
/// let pairs = pairs.map(|(x, y)| Pair::new(x, y));
/// let curve = fit_curve(&pairs, CurveModel::Power, &CurveOptions::plain(100.0), &Watch::silent())?;
/// // A fifth less wood substance leaves 75 % of the strength: 0.8^1.2877.
/// assert!((curve.fit.parameters[1] - 1.2877).abs() < 5e-5);
/// let here = curve.predict(50.0)?;
/// assert!(here.prediction.unwrap().low < here.value && here.value < here.prediction.unwrap().high);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// G. A. F. Seber, C. J. Wild 1989, Nonlinear Regression, doi:10.1002/0471725315, chapters 2 and 5 \[memory].
pub fn fit_curve(pairs: &[Pair], model: CurveModel, options: &CurveOptions, watch: &Watch<'_>) -> Result<CurveFit> {
    options.check()?;
    of_pairs(Pairs::of(pairs)?, model, options, watch)
}

pub(super) fn of_pairs(
    mut pairs: Pairs,
    model: CurveModel,
    options: &CurveOptions,
    watch: &Watch<'_>,
) -> Result<CurveFit> {
    let formula = Formula { model, reference: options.reference, direction: direction(&pairs) };
    if let Some(x) = pairs.x.iter().find(|x| model == CurveModel::Power && **x <= 0.0) {
        return Err(range("state, for the model power,", *x, "a number above 0; choose another model"));
    }
    let sight = Sight::of(&pairs.x, &pairs.y);
    let (limits, starts) = (formula.limits(&sight), formula.starts(&sight));
    let first = starts.first().map_or(&[][..], Vec::as_slice);
    let given = starts.iter().skip(1).fold(Starts::at(first), |all, start| all.and(start));
    let starts = match formula.search(&sight) {
        Some(search) => given.scattered(SCATTERED).within(&search),
        None => given,
    };
    let rows = rows(&formula, &pairs.x);
    let within = FitOptions::within(limits.clone());
    let fit = match options.weighting {
        Weighting::Proportional => in_proportion(&formula, &rows, &mut pairs, &starts, &within, watch)?,
        weighting => fit(&formula, &points(&rows, &pairs, weighting)?, &starts, &within, watch)?,
    };
    let (covariance, freedom) = match options.errors {
        Errors::Independent => (fit.covariance.clone(), real(fit.freedom())),
        Errors::ByTimber => {
            let timbers = pairs.n_timbers.ok_or_else(|| missing("timbers of pairs", &pairs, pairs.timber.len()))?;
            if timbers <= model.n_parameters() {
                let allowed = format!("at least {}, one more than parameters", model.n_parameters() + 1);
                return Err(range("number of timbers", real(timbers), allowed));
            }
            (by_timber(&formula, &fit, &pairs, options.weighting), real(timbers - 1))
        }
    };
    let freedom = match options.weighting {
        Weighting::Known if options.errors == Errors::Independent => f64::INFINITY,
        _ => freedom,
    };
    Ok(CurveFit {
        formula,
        fit,
        covariance,
        errors: options.errors,
        weighting: options.weighting,
        freedom,
        coverage: options.coverage,
        pairs,
        limits,
    })
}

/// Rounds of weights until they count as not standing still.
const ROUNDS: usize = 100;

/// Relative change of the curve below which weights stand still.
const STILL: f64 = 1e-10;

/// Share of the strongest below which a piece would outweigh all others.
const SMALLEST: f64 = 1e-4;

/// The fit with weights 1/f²; leaves f as the uncertainties of the pairs, which hold up to a common factor.
fn in_proportion(
    formula: &Formula,
    rows: &[f64],
    pairs: &mut Pairs,
    starts: &Starts,
    within: &FitOptions,
    watch: &Watch<'_>,
) -> Result<Fit> {
    let mut found = fit(formula, &points(rows, pairs, Weighting::Alike)?, starts, within, watch)?;
    for _ in 0..ROUNDS {
        let before = std::mem::take(&mut pairs.u);
        pairs.u = pairs.y.iter().zip(&found.residuals).map(|(y, e)| y - e).collect();
        let top = pairs.u.iter().copied().fold(0.0, f64::max);
        if let Some(low) = pairs.u.iter().find(|value| **value <= SMALLEST * top) {
            return Err(range(
                "strength by the curve, to which its scatter is in proportion,",
                *low,
                "a number above 0",
            ));
        }
        let is_still = |(a, b): (&f64, &f64)| (a - b).abs() <= STILL * b;
        if before.len() == pairs.u.len() && before.iter().zip(&pairs.u).all(is_still) {
            pairs.u = before;
            return Ok(found);
        }
        let starts = Starts::at(&found.parameters);
        found = fit(formula, &points(rows, pairs, Weighting::Proportional)?, &starts, within, watch)?;
    }
    Err(range(
        "rounds of a fit with scatter in proportion to strength",
        real(ROUNDS),
        "fewer; take the scatter as alike",
    ))
}

/// Which way strength goes: the sign of the straight line through the pairs.
pub(super) fn direction(pairs: &Pairs) -> Direction {
    let middle = |list: &[f64]| mean(list).unwrap_or(0.0);
    let (x, y) = (middle(&pairs.x), middle(&pairs.y));
    let products: Vec<f64> = pairs.x.iter().zip(&pairs.y).map(|(a, b)| (a - x) * (b - y)).collect();
    if sum(&products) < 0.0 { Direction::Falling } else { Direction::Rising }
}

/// Rows of predictors, one after the other.
pub(super) fn rows(formula: &Formula, x: &[f64]) -> Vec<f64> {
    x.iter().flat_map(|x| formula.row(*x)).collect()
}

pub(super) fn points<'a>(rows: &'a [f64], pairs: &'a Pairs, weighting: Weighting) -> Result<Points<'a>> {
    let noise = match weighting {
        Weighting::Alike => Noise::FromScatter,
        _ if pairs.u.is_empty() => return Err(missing("uncertainties of strength", pairs, 0)),
        Weighting::Proportional | Weighting::Relative => Noise::Relative(&pairs.u),
        Weighting::Known => Noise::Known(&pairs.u),
    };
    Points::new(rows, &pairs.y, noise)
}

fn missing(what: &'static str, pairs: &Pairs, found: usize) -> Error {
    Error::new(ErrorKind::Shape { what, found, expected: pairs.n() })
}

impl CurveFit {
    /// Number of pieces.
    #[must_use]
    pub fn n(&self) -> usize {
        self.pairs.n()
    }

    /// Number of timbers; `None` where the timber of a piece is unknown.
    #[must_use]
    pub fn n_timbers(&self) -> Option<usize> {
        self.pairs.n_timbers
    }

    /// Smallest and largest state that was measured.
    #[must_use]
    pub fn range(&self) -> Interval {
        self.pairs.range()
    }

    /// The curve at `x`; `None` where it does not exist.
    #[must_use]
    pub fn value(&self, x: f64) -> Option<f64> {
        self.formula.value(x, &self.fit.parameters)
    }

    /// Standard uncertainty of parameter `k`; `None` where it is unknown.
    #[must_use]
    pub fn u(&self, k: usize) -> Option<f64> {
        let place = self.fit.free.iter().position(|&free| free == k)?;
        Some(self.covariance.as_ref()?[(place, place)].sqrt()).filter(|u| u.is_finite())
    }

    /// Correlation of parameters `i` and `j`; `None` where it is unknown.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> Option<f64> {
        let place = |k: usize| self.fit.free.iter().position(|&free| free == k);
        self.covariance.as_ref()?.correlation(place(i)?, place(j)?)
    }

    /// Variance of the curve where its slopes by the parameters are `slope`; `None` where it is unknown.
    pub(super) fn variance(&self, slope: &[f64]) -> Option<f64> {
        let covariance = self.covariance.as_ref()?;
        let free = &self.fit.free;
        let inner = |i: usize| -> f64 { free.iter().zip(covariance.row(i)).map(|(&k, c)| c * slope[k]).sum() };
        let variance: f64 = free.iter().enumerate().map(|(i, &k)| slope[k] * inner(i)).sum();
        Some(variance.max(0.0)).filter(|variance| variance.is_finite())
    }

    /// The same curve with intervals of another coverage.
    ///
    /// # Errors
    /// A coverage that is not between 0 and 1.
    pub fn with_coverage(self, share: f64) -> Result<Self> {
        coverage(share)?;
        Ok(Self { coverage: share, ..self })
    }
}
