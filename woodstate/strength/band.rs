//! Strength at a state, with the bands round a curve.

use crate::error::Result;
use crate::numeric::{Interval, f_quantile, student_quantile};

use super::pair::{range, real};
use super::{CurveFit, Weighting};

/// Strength at one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// The state.
    pub x: f64,
    /// The curve there.
    pub value: f64,
    /// Standard uncertainty of the curve there; `None` where unknown.
    pub u: Option<f64>,
    /// Where the mean strength of such wood lies; `None` where unknown.
    pub confidence: Option<Interval>,
    /// The same for the whole curve at once: with the stated coverage no part of it leaves the band.
    pub simultaneous: Option<Interval>,
    /// Where the strength of one new piece lies; `None` where unknown.
    pub prediction: Option<Interval>,
    /// Whether the state lies outside those that were measured.
    pub is_extrapolated: bool,
}

impl CurveFit {
    /// Strength at the state `x`: of the mean, and of a new piece.
    ///
    /// ```text
    /// u² = gᵀ C g,   confidence: y ± t u,   prediction: y ± t √(s² + u²),   simultaneous: y ± √(p F) u
    /// ```
    /// `g`: slopes of the curve by the parameters, `t` and `F` of the stated coverage, `s`: residual standard deviation, in
    /// proportion to y where the scatter is.
    /// A lower end below 0 is left as it is: it says that the data do not exclude 0. With known uncertainties there is no
    /// prediction: how exactly the new piece is measured would have to be known.
    ///
    /// # Errors
    /// An `x` that is not finite, or for a power below 0.
    ///
    /// # Source
    /// G. A. F. Seber, C. J. Wild 1989, Nonlinear Regression, doi:10.1002/0471725315, section 5.1 \[memory]; simultaneous
    /// band: H. Scheffé 1959, The Analysis of Variance, section 3.5 \[memory].
    pub fn predict(&self, x: f64) -> Result<Prediction> {
        let mut slope = vec![0.0; self.fit.p];
        let Some(value) = self.formula.with_slope(x, &self.fit.parameters, &mut slope) else {
            return Err(range("state", x, "a finite number at which the curve exists"));
        };
        let variance = self.variance(&slope);
        let t = self.t()?;
        let wide = self.wide()?;
        let of_piece = match self.weighting {
            Weighting::Known => None,
            // With relative uncertainties s is that of a reading of uncertainty 1; a new piece is taken to be typical.
            Weighting::Alike | Weighting::Relative => self.scatter(),
            Weighting::Proportional => self.fit.s.map(|s| s * value.abs()),
        };
        let around = |half: f64| Interval { low: value - half, high: value + half };
        let with = |factor: Option<f64>, variance: Option<f64>| Some(around(factor? * variance?.sqrt()));
        let measured = self.range();
        Ok(Prediction {
            x,
            value,
            u: variance.map(f64::sqrt),
            confidence: with(t, variance),
            simultaneous: with(wide, variance),
            prediction: with(t, variance.zip(of_piece).map(|(variance, s)| variance + s * s)),
            is_extrapolated: x < measured.low || x > measured.high,
        })
    }

    /// The curve with its bands at `count` states evenly spread over those that were measured; at least 2.
    ///
    /// # Errors
    /// As [`predict`](Self::predict).
    pub fn band(&self, count: usize) -> Result<Vec<Prediction>> {
        grid(self.range(), count).into_iter().map(|x| self.predict(x)).collect()
    }

    /// Student's t of the coverage; `None` without a degree of freedom.
    pub(super) fn t(&self) -> Result<Option<f64>> {
        let p = f64::midpoint(1.0, self.coverage);
        if self.freedom > 0.0 { student_quantile(p, self.freedom).map(Some) } else { Ok(None) }
    }

    /// √(p F), and √χ² = its limit for known uncertainties.
    fn wide(&self) -> Result<Option<f64>> {
        let p = real(self.fit.free.len());
        if self.freedom <= 0.0 || p <= 0.0 {
            return Ok(None);
        }
        if self.freedom.is_infinite() {
            return Ok(Some(crate::numeric::chi_squared_quantile(self.coverage, p)?.sqrt()));
        }
        Ok(Some((p * f_quantile(self.coverage, p, self.freedom)?).sqrt()))
    }

    /// Residual standard deviation in the unit of strength; of relative uncertainties, for a typical one; `None` where the
    /// scatter is in proportion to strength, see [`scatter_share`](Self::scatter_share).
    #[must_use]
    pub fn scatter(&self) -> Option<f64> {
        let s = self.fit.s?;
        match self.weighting {
            Weighting::Alike => Some(s),
            Weighting::Relative => crate::numeric::median(&self.pairs.u).map(|u| u * s),
            Weighting::Known | Weighting::Proportional => None,
        }
    }

    /// Residual standard deviation as a share of the strength by the curve, where the scatter is in proportion to it.
    #[must_use]
    pub fn scatter_share(&self) -> Option<f64> {
        self.fit.s.filter(|_| self.weighting == Weighting::Proportional)
    }
}

/// So many numbers evenly spread from end to end.
pub(super) fn grid(range: Interval, count: usize) -> Vec<f64> {
    let last = count.max(2) - 1;
    // The last one by itself, so that rounding does not move it out of what was measured.
    let at = |place: usize| match place == last {
        true => range.high,
        false => range.low + range.width() * real(place) / real(last),
    };
    (0..=last).map(at).collect()
}
