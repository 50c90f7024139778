//! How well a curve fits, and how well it would predict.

use std::f64::consts::TAU;

use crate::error::Result;
use crate::numeric::{FitOptions, Starts, Watch, fit, mean, sum};

use super::cluster::weight;
use super::curve::{points, rows};
use super::pair::{Pairs, real};
use super::{CurveFit, Errors, Weighting};

/// Pieces up to which leaving one out is done by fitting anew.
const ANEW: usize = 1000;

impl CurveFit {
    /// Share of the scatter that the curve explains; `None` where all strengths are equal.
    ///
    /// ```text
    /// R² = 1 − Σ w² (y − f)² / Σ w² (y − ȳ)²
    /// ```
    /// `w`: 1/u where uncertainties of the test count, otherwise 1.
    ///
    /// Not a measure of a model beside another one: use [`aicc`](Self::aicc).
    #[must_use]
    pub fn r_squared(&self) -> Option<f64> {
        let squares = |of: &dyn Fn(usize) -> f64| sum(&(0..self.n()).map(of).collect::<Vec<_>>());
        let w2 = |place: usize| match self.weighting {
            Weighting::Alike | Weighting::Proportional => 1.0,
            weighting => weight(&self.pairs, weighting, place).powi(2),
        };
        let centre = squares(&|place| w2(place) * self.pairs.y[place]) / squares(&w2);
        let total = squares(&|place| w2(place) * (self.pairs.y[place] - centre).powi(2));
        let rest = squares(&|place| w2(place) * self.fit.residuals[place].powi(2));
        (total > 0.0).then(|| 1.0 - rest / total)
    }

    /// −2 ln L of normal scatter and the number of parameters, the scatter counted where it was fitted.
    fn deviance(&self) -> Option<(f64, f64)> {
        let (n, p) = (real(self.n()), real(self.fit.p));
        let spread = sum(&self.pairs.u.iter().map(|u| 2.0 * u.ln()).collect::<Vec<_>>());
        let scaled = n * ((TAU * self.fit.rss / n).ln() + 1.0);
        let (deviance, k) = match self.weighting {
            Weighting::Alike => (scaled, p + 1.0),
            Weighting::Proportional | Weighting::Relative => (scaled + spread, p + 1.0),
            Weighting::Known => (n * TAU.ln() + spread + self.fit.rss, p),
        };
        deviance.is_finite().then_some((deviance, k))
    }

    /// Akaike's criterion for small samples: the smaller, the better; only differences between models of the same pieces
    /// mean something. `None` where there are too few pieces for it.
    ///
    /// ```text
    /// AICc = −2 ln L + 2 k + 2 k (k + 1)/(n − k − 1),   −2 ln L = n (ln(2π RSS/n) + 1)
    /// ```
    /// `k`: parameters and the residual standard deviation.
    ///
    /// # Source
    /// C. M. Hurvich, C.-L. Tsai 1989, Regression and time series model selection in small samples, Biometrika 76, 297-307,
    /// doi:10.1093/biomet/76.2.297 \[memory].
    #[must_use]
    pub fn aicc(&self) -> Option<f64> {
        let (deviance, k) = self.deviance()?;
        let left = real(self.n()) - k - 1.0;
        (left > 0.0).then(|| deviance + 2.0 * k + 2.0 * k * (k + 1.0) / left)
    }

    /// Schwarz's criterion, −2 ln L + k ln n.
    ///
    /// # Source
    /// G. Schwarz 1978, Estimating the dimension of a model, The Annals of Statistics 6, 461-464,
    /// doi:10.1214/aos/1176344136 \[memory].
    #[must_use]
    pub fn bic(&self) -> Option<f64> {
        let (deviance, k) = self.deviance()?;
        Some(deviance + k * real(self.n()).ln())
    }

    /// Root mean square error of the strength of pieces that the curve was not fitted to, in the unit of strength.
    ///
    /// Each piece (each timber, where timbers are the units) is left out in turn and the curve fitted anew. Above 1000
    /// pieces, piece by piece, it is taken from the leverage: e/(1 − h). `None` where a fit without one of them has no answer.
    ///
    /// # Errors
    /// A stop asked for through `watch`.
    ///
    /// # Source
    /// M. Stone 1974, Cross-validatory choice and assessment of statistical predictions, Journal of the Royal Statistical
    /// Society B 36, 111-147, doi:10.1111/j.2517-6161.1974.tb00994.x \[memory].
    pub fn left_out_error(&self, watch: &Watch<'_>) -> Result<Option<f64>> {
        let misses = match self.errors {
            Errors::Independent if self.n() > ANEW => self.leverages().map(|leverages| {
                let miss = |(e, h): (&f64, &f64)| e / (1.0 - h);
                self.fit.residuals.iter().zip(&leverages).map(miss).collect()
            }),
            Errors::Independent => self.misses(self.n(), &|place| place, watch)?,
            Errors::ByTimber => {
                self.misses(self.pairs.n_timbers.unwrap_or(0), &|place| self.pairs.timber[place], watch)?
            }
        };
        let squares = misses.map(|misses: Vec<f64>| misses.iter().map(|miss| miss * miss).collect::<Vec<_>>());
        Ok(squares.and_then(|squares| mean(&squares)).map(f64::sqrt).filter(|error| error.is_finite()))
    }

    /// What the curve of the others misses of each piece.
    fn misses(&self, units: usize, unit_of: &dyn Fn(usize) -> usize, watch: &Watch<'_>) -> Result<Option<Vec<f64>>> {
        let mut misses = vec![0.0; self.n()];
        for unit in 0..units {
            watch.advance("pieces left out", unit, units)?;
            let others = self.pairs.keep(|place| unit_of(place) != unit);
            let Some(b) = self.anew(&others, watch)? else { return Ok(None) };
            for place in (0..self.n()).filter(|place| unit_of(*place) == unit) {
                let Some(value) = self.formula.value(self.pairs.x[place], &b) else { return Ok(None) };
                misses[place] = self.pairs.y[place] - value;
            }
        }
        Ok(Some(misses))
    }

    /// Parameters for other pairs, from these on.
    fn anew(&self, pairs: &Pairs, watch: &Watch<'_>) -> Result<Option<Vec<f64>>> {
        if pairs.n() < self.fit.p {
            return Ok(None);
        }
        let rows = rows(&self.formula, &pairs.x);
        let points = points(&rows, pairs, self.weighting)?;
        let starts = Starts::at(&self.fit.parameters);
        let found = fit(&self.formula, &points, &starts, &FitOptions::within(self.limits.clone()), watch)?;
        Ok((found.rank == found.free.len()).then_some(found.parameters))
    }
}
