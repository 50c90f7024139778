//! What may be chosen for a fit.

use crate::error::Result;
use crate::numeric::check;
use crate::numeric::montecarlo::Interval;

/// What a large residual costs.
///
/// Residuals are divided by their uncertainties where there are some; `z = (r/c)²`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// Its square: least squares.
    Squares,
    /// ρ = z up to z = 1, then 2√z − 1.
    Huber(Threshold),
    /// ρ = 2(√(1 + z) − 1).
    SoftL1(Threshold),
}

/// The residual `c` from which a robust loss counts less than the square.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Threshold {
    /// This residual, in the unit of the readings, or in uncertainties where there are some.
    Given(f64),
    /// 1.4826 times the median of the sizes of the residuals of a first fit by least squares.
    FromScatter,
}

impl Loss {
    pub(super) fn threshold(self) -> Option<Threshold> {
        match self {
            Loss::Squares => None,
            Loss::Huber(threshold) | Loss::SoftL1(threshold) => Some(threshold),
        }
    }

    /// Weight of a residual with this z: ρ′(z).
    pub(super) fn weight(self, z: f64) -> f64 {
        match self {
            Loss::Squares => 1.0,
            Loss::Huber(_) => {
                if z > 1.0 {
                    1.0 / z.sqrt()
                } else {
                    1.0
                }
            }
            Loss::SoftL1(_) => 1.0 / (1.0 + z).sqrt(),
        }
    }

    /// ρ(z).
    pub(super) fn cost(self, z: f64) -> f64 {
        match self {
            Loss::Huber(_) if z > 1.0 => 2.0 * z.sqrt() - 1.0,
            Loss::Squares | Loss::Huber(_) => z,
            // 2(√(1 + z) − 1) without its cancellation at small z.
            Loss::SoftL1(_) => 2.0 * z / ((1.0 + z).sqrt() + 1.0),
        }
    }
}

/// Limits, loss and length of a fit.
#[derive(Debug, Clone, PartialEq)]
pub struct FitOptions {
    /// Limits of the parameters, one a parameter; none where this is empty. An end may be infinite, and equal ends
    /// hold a parameter.
    pub bounds: Vec<Interval>,
    /// What a large residual costs.
    pub loss: Loss,
    /// Steps of one run at most.
    pub steps: usize,
}

impl FitOptions {
    /// Least squares without limits, at most 2000 steps a run.
    #[must_use]
    pub fn plain() -> Self {
        Self { bounds: Vec::new(), loss: Loss::Squares, steps: 2000 }
    }

    /// The same within limits.
    #[must_use]
    pub fn within(bounds: Vec<Interval>) -> Self {
        Self { bounds, ..Self::plain() }
    }

    /// The same with another loss.
    #[must_use]
    pub fn with_loss(self, loss: Loss) -> Self {
        Self { loss, ..self }
    }

    pub(super) fn check(&self, p: usize) -> Result<()> {
        check::at_least("steps of a fit", self.steps, 1)?;
        if let Some(Threshold::Given(c)) = self.loss.threshold() {
            check::positive("threshold of a robust loss", c)?;
        }
        if self.bounds.is_empty() {
            return Ok(());
        }
        check::length("limits of parameters", self.bounds.len(), p)?;
        self.bounds.iter().enumerate().try_for_each(|(k, bound)| check_bound(k, *bound))
    }

    /// Lower and upper limits, infinite where there are none.
    pub(super) fn limits(&self, p: usize) -> (Vec<f64>, Vec<f64>) {
        if self.bounds.is_empty() {
            return (vec![f64::NEG_INFINITY; p], vec![f64::INFINITY; p]);
        }
        (self.bounds.iter().map(|bound| bound.low).collect(), self.bounds.iter().map(|bound| bound.high).collect())
    }
}

fn check_bound(k: usize, bound: Interval) -> Result<()> {
    let wrong = |end: &str, value: f64, allowed: String| -> Result<()> {
        Err(check::range(format!("{end} limit of parameter {}", k + 1), value, allowed))
    };
    if bound.low.is_nan() || bound.low >= f64::INFINITY {
        return wrong("lower", bound.low, "a number, or minus infinity".to_owned());
    }
    if bound.high.is_nan() || bound.high < bound.low || bound.high <= f64::NEG_INFINITY {
        return wrong("upper", bound.high, format!("a number from the lower limit {} on", bound.low));
    }
    Ok(())
}
