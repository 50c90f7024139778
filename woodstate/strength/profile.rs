//! Intervals of parameters by profile likelihood.

use crate::error::Result;
use crate::numeric::{Fit, FitOptions, Interval, Points, Starts, Watch, fit};

use super::curve::{points, rows};
use super::{CurveFit, Errors, Formula};

/// An interval whose ends may be open: `None` where the data set no limit on that side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// The lower end.
    pub low: Option<f64>,
    /// The upper end.
    pub high: Option<f64>,
}

/// Steps outward, each twice as long as the one before, until an end counts as open.
const STEPS: usize = 12;

/// Halvings of the last step.
const HALVINGS: usize = 60;

impl CurveFit {
    /// Interval of each parameter by profile likelihood; nothing where timbers are the units, since it takes pieces as
    /// independent, or where the covariance is unknown.
    ///
    /// ```text
    /// { v : ( RSS(b_k = v) − RSS ) / s² ≤ t² }
    /// ```
    /// `RSS(b_k = v)`: the least squares with that parameter held; `t` of the stated coverage. Unlike v ± t u it needs not be
    /// symmetric, and it is open where the data set no limit.
    ///
    /// # Errors
    /// A stop asked for through `watch`.
    ///
    /// # Source
    /// D. M. Bates, D. G. Watts 1988, Nonlinear Regression Analysis and Its Applications, doi:10.1002/9780470316757,
    /// section 6.1 \[memory].
    pub fn profile(&self, watch: &Watch<'_>) -> Result<Option<Vec<Option<Ends>>>> {
        let scale = if self.freedom.is_infinite() { Some(1.0) } else { self.fit.s };
        let (Errors::Independent, Some(t), Some(scale)) = (self.errors, self.t()?, scale) else { return Ok(None) };
        if self.fit.covariance.is_none() {
            return Ok(None);
        }
        let rows = rows(&self.formula, &self.pairs.x);
        let points = points(&rows, &self.pairs, self.weighting)?;
        let limit = self.fit.rss + (t * scale).powi(2);
        let held = Held { formula: &self.formula, points: &points, fit: &self.fit, limits: &self.limits, watch };
        let mut all = Vec::with_capacity(self.fit.p);
        for k in 0..self.fit.p {
            watch.advance("profiles", k, self.fit.p)?;
            let step = self.fit.sd(k).map(|sd| t * sd).filter(|step| *step > 0.0);
            all.push(match step {
                None => None,
                Some(step) => Some(Ends { low: held.end(k, -step, limit)?, high: held.end(k, step, limit)? }),
            });
        }
        Ok(Some(all))
    }
}

struct Held<'a> {
    formula: &'a Formula,
    points: &'a Points<'a>,
    fit: &'a Fit,
    limits: &'a [Interval],
    watch: &'a Watch<'a>,
}

impl Held<'_> {
    /// Where the least squares with parameter `k` held reach a limit, in the direction of `step`; `None` where they do not.
    fn end(&self, k: usize, step: f64, limit: f64) -> Result<Option<f64>> {
        let here = self.fit.parameters[k];
        let border = if step > 0.0 { self.limits[k].high } else { self.limits[k].low };
        let (mut inside, mut outside) = (here, None);
        let mut start = self.fit.parameters.clone();
        let mut length = step;
        for _ in 0..STEPS {
            let reach = inside + length;
            let is_beyond = (reach - border) * step.signum() >= 0.0;
            let next = if is_beyond { border } else { reach };
            match self.squares(k, next, &mut start)? {
                Some(squares) if squares <= limit => inside = next,
                // No answer this far out counts as beyond the limit; the halvings find where there is one.
                _ => {
                    outside = Some(next);
                    break;
                }
            }
            if is_beyond {
                return Ok(None);
            }
            length *= 2.0;
        }
        let Some(mut outside) = outside else { return Ok(None) };
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, outside);
            if (outside - inside).abs() <= 1e-9 * step.abs() {
                break;
            }
            match self.squares(k, middle, &mut start)? {
                Some(squares) if squares <= limit => inside = middle,
                _ => outside = middle,
            }
        }
        Ok(Some(f64::midpoint(inside, outside)))
    }

    /// The least squares with a parameter held, from the last answer on.
    fn squares(&self, k: usize, value: f64, start: &mut Vec<f64>) -> Result<Option<f64>> {
        let mut bounds = self.limits.to_vec();
        bounds[k] = Interval { low: value, high: value };
        start[k] = value;
        let mut best = self.fit.parameters.clone();
        best[k] = value;
        let starts = Starts::at(start).and(&best);
        match fit(self.formula, self.points, &starts, &FitOptions::within(bounds), self.watch) {
            Ok(found) => {
                start.clone_from(&found.parameters);
                Ok(Some(found.rss).filter(|rss| rss.is_finite()))
            }
            Err(error) if matches!(error.kind(), crate::error::ErrorKind::Stopped) => Err(error),
            Err(_) => Ok(None),
        }
    }
}
