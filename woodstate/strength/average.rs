//! Several models at once, each with its weight.

use crate::error::Result;
use crate::numeric::{Interval, normal_quantile, student_quantile};

use super::Comparison;
use super::pair::range;

/// Strength at one state from several models.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Averaged {
    /// The state.
    pub x: f64,
    /// Mean of the curves by their weights.
    pub value: f64,
    /// Its standard uncertainty, the disagreement of the models in it; `None` where unknown.
    pub u: Option<f64>,
    /// Where the mean strength of such wood lies, whichever model holds; `None` where unknown.
    pub confidence: Option<Interval>,
}

impl Comparison {
    /// Strength at `x` as the mean of the models by their weights.
    ///
    /// ```text
    /// y = Σ w_i y_i,   u = Σ w_i √( u_i² + (y_i − y)² )
    /// ```
    /// The interval is y ± t u with the smallest number of degrees of freedom among the models.
    ///
    /// # Errors
    /// An `x` at which one of the curves does not exist.
    ///
    /// # Source
    /// K. P. Burnham, D. R. Anderson 2002, Model Selection and Multimodel Inference, doi:10.1007/b97636, eq. 4.9 \[memory].
    pub fn averaged(&self, x: f64) -> Result<Averaged> {
        let mut at = Vec::with_capacity(self.weighed.len());
        for (curve, weight) in &self.weighed {
            at.push((curve.predict(x)?, *weight));
        }
        let Some((first, _)) = self.weighed.first() else {
            return Err(range("number of models", 0.0, "at least 1"));
        };
        let value = at.iter().map(|(here, weight)| weight * here.value).sum::<f64>();
        let parts =
            at.iter().map(|(here, weight)| Some(weight * (here.u?.powi(2) + (here.value - value).powi(2)).sqrt()));
        let u = parts.sum::<Option<f64>>();
        let freedom = self.weighed.iter().map(|(curve, _)| curve.freedom).fold(f64::INFINITY, f64::min);
        let p = f64::midpoint(1.0, first.coverage);
        let t = match freedom {
            _ if freedom <= 0.0 => None,
            _ if freedom.is_infinite() => Some(normal_quantile(p)?),
            _ => Some(student_quantile(p, freedom)?),
        };
        let half = t.zip(u).map(|(t, u)| t * u);
        let confidence = half.map(|half| Interval { low: value - half, high: value + half });
        Ok(Averaged { x, value, u, confidence })
    }
}
