//! Whether the scatter about a curve is what its uncertainties take it to be.

use crate::error::Result;
use crate::numeric::{Matrix, Noise, chi_squared_sf, linear_fit, mean, sum};

use super::cluster::weight;
use super::pair::real;
use super::{CurveFit, Weighting, shapiro_wilk};

/// One piece beside the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Place of the piece in the list that was given, from 0.
    pub place: usize,
    /// Its state.
    pub x: f64,
    /// Its strength less the curve.
    pub residual: f64,
    /// Residual over its standard deviation; `None` where the piece alone decides a parameter.
    pub studentised: Option<f64>,
    /// How much of the piece the curve follows, 0 to 1.
    pub leverage: f64,
    /// How far the curve would move without it; `None` where it alone decides a parameter.
    pub cook: Option<f64>,
}

/// A test of the scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScatterTest {
    /// The statistic.
    pub statistic: f64,
    /// Probability of one as extreme, if the scatter is what it is taken to be.
    pub probability: f64,
}

/// Diagnostics of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostics {
    /// Each piece, in the order in which the pairs were given.
    pub pieces: Vec<Beside>,
    /// Breusch-Pagan: does the scatter grow or shrink with the strength? `None` below 4 pieces or without scatter.
    pub equal_scatter: Option<ScatterTest>,
    /// Shapiro-Wilk on the studentised residuals: are they normal? `None` below 3 and above 5000 pieces.
    pub normality: Option<ScatterTest>,
}

impl CurveFit {
    /// Leverage of each piece, in the order of x; `None` where the covariance is unknown.
    ///
    /// ```text
    /// h = w² gᵀ (JᵀWJ)⁻¹ g
    /// ```
    pub(super) fn leverages(&self) -> Option<Vec<f64>> {
        let scale = if self.weighting == Weighting::Known { 1.0 } else { self.fit.s? };
        let mut slope = vec![0.0; self.fit.p];
        let leverage = |place: usize| {
            self.formula.with_slope(self.pairs.x[place], &self.fit.parameters, &mut slope)?;
            let w = weight(&self.pairs, self.weighting, place) / scale;
            Some(w * w * self.fit.variance_of(&slope)?)
        };
        (0..self.n()).map(leverage).collect::<Option<Vec<f64>>>().filter(|all| all.iter().all(|h| h.is_finite()))
    }

    /// Residuals, leverage, influence, and tests of the scatter; `None` where the covariance is unknown.
    ///
    /// ```text
    /// studentised  r = w e / (s √(1 − h))
    /// Cook         d = r² h / (p (1 − h))
    /// Breusch-Pagan, after Koenker: n R² of (w e)² on the fitted strength, χ² with 1 degree of freedom
    /// ```
    /// # Errors
    /// None that the data can cause.
    ///
    /// # Source
    /// R. D. Cook, S. Weisberg 1982, Residuals and Influence in Regression, chapters 2 and 3 \[memory]; T. S. Breusch,
    /// A. R. Pagan 1979, Econometrica 47, 1287-1294, doi:10.2307/1911963, and R. Koenker 1981, Journal of Econometrics 17,
    /// 107-112, doi:10.1016/0304-4076(81)90062-2 \[memory].
    pub fn diagnostics(&self) -> Result<Option<Diagnostics>> {
        let (Some(leverages), Some(s)) = (self.leverages(), self.fit.s) else { return Ok(None) };
        let p = real(self.fit.free.len());
        let beside = |place: usize| {
            let (h, e) = (leverages[place], self.fit.residuals[place]);
            let r = weight(&self.pairs, self.weighting, place) * e / (s * (1.0 - h).sqrt());
            let studentised = Some(r).filter(|r| r.is_finite() && h < 1.0 - 1e-9);
            Beside {
                place: self.pairs.order[place],
                x: self.pairs.x[place],
                residual: e,
                studentised,
                leverage: h,
                cook: studentised.map(|r| r * r * h / (p * (1.0 - h))),
            }
        };
        let mut pieces: Vec<Beside> = (0..self.n()).map(beside).collect();
        let equal_scatter = self.equal_scatter()?;
        let studentised: Vec<f64> = pieces.iter().filter_map(|piece| piece.studentised).collect();
        let normality = shapiro_wilk(&studentised)?;
        pieces.sort_by_key(|piece| piece.place);
        Ok(Some(Diagnostics { pieces, equal_scatter, normality }))
    }

    fn equal_scatter(&self) -> Result<Option<ScatterTest>> {
        let n = self.n();
        let fitted = |place: usize| self.pairs.y[place] - self.fit.residuals[place];
        let square = |place: usize| {
            let w = weight(&self.pairs, self.weighting, place);
            (w * self.fit.residuals[place]).powi(2)
        };
        let squares: Vec<f64> = (0..n).map(square).collect();
        let centre = mean(&squares).unwrap_or(0.0);
        let total = sum(&squares.iter().map(|e| (e - centre).powi(2)).collect::<Vec<_>>());
        let values: Vec<f64> = (0..n).map(fitted).collect();
        let is_flat = values.windows(2).all(|pair| (pair[1] - pair[0]).abs() <= 0.0);
        if n < 4 || total <= 0.0 || is_flat {
            return Ok(None);
        }
        // Both in units of their size: a design of very unlike columns loses digits.
        let size = values.iter().fold(0.0_f64, |size, value| size.max(value.abs()));
        let design = Matrix::new(n, 2, values.iter().flat_map(|value| [1.0, value / size]).collect())?;
        let line = linear_fit(&design, &squares, Noise::FromScatter)?;
        let statistic = real(n) * (1.0 - line.rss / total).max(0.0);
        Ok(Some(ScatterTest { statistic, probability: chi_squared_sf(statistic, 1.0)? }))
    }
}
