//! The result of a fit.

use crate::numeric::matrix::Matrix;

/// How a fit ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Ending {
    /// At a minimum of full rank; the last step was below rounding or far below the uncertainty.
    Converged,
    /// Where some parameters can be changed without changing the curve. The parameters are one answer of many.
    RankDeficient,
    /// Where steps still moved the parameters when they were no longer accepted, or their number was used up.
    Unsettled,
}

/// A doubt about a fit. The numbers stand; a person should know this before using them.
///
/// Parameters are counted from 0.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum FitDoubt {
    /// The data do not tell these parameters apart, or do not see them at all; no standard deviations are given. Too
    /// few points, or points in too narrow a range, or a simpler curve would do.
    Undetermined {
        /// The parameters concerned.
        parameters: Vec<usize>,
    },
    /// Steps still moved the parameters at the end. Other starts may help.
    Unsettled,
    /// This parameter stands on its limit; its standard deviation is unknown and those of the others hold for it fixed.
    AtLimit {
        /// The parameter.
        parameter: usize,
    },
    /// Parameters are nearly combinations of others: their condition number is 10⁸ or more.
    IllConditioned {
        /// The condition number.
        condition: f64,
    },
    /// Another minimum fits almost as well, within the 95 % limit of F (of χ² for known uncertainties).
    SecondMinimum {
        /// The parameters there.
        parameters: Vec<f64>,
        /// The sum of squares there, or the cost of a robust loss.
        objective: f64,
    },
    /// As many points as parameters: the curve runs through all of them and nothing tells how sure it is.
    NoFreedom,
    /// The scatter is larger than known uncertainties explain (probability of χ² below 5 %): they are too small, or the
    /// curve is not the right one.
    Scatter {
        /// Probability of a χ² as large or larger.
        probability: f64,
    },
    /// A robust loss was used: no standard deviations come from the curvature; take a bootstrap.
    Robust,
    /// At some starts the model has no finite value; these were not tried.
    StartsLost {
        /// How many.
        count: usize,
    },
}

/// Parameters of a curve, with their uncertainties and all that is needed to judge them.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Parameters.
    pub parameters: Vec<f64>,
    /// Parameters that were free at the end, ascending: the rows of `covariance`.
    pub free: Vec<usize>,
    /// Covariance of the free parameters; `None` where it is unknown.
    pub covariance: Option<Matrix>,
    /// Residuals y − f, one a reading, in the unit of the readings.
    pub residuals: Vec<f64>,
    /// Sum of squared residuals, each divided by its uncertainty where there is one.
    pub rss: f64,
    /// What was made least: `rss`, or c² Σ ρ of a robust loss.
    pub objective: f64,
    /// The residual `c` of a robust loss.
    pub threshold: Option<f64>,
    /// Residual standard deviation √(RSS/(n − p)), p counting free parameters; `None` for n = p.
    pub s: Option<f64>,
    /// Probability of a χ² of `rss` or larger, for known uncertainties.
    pub chi_squared_probability: Option<f64>,
    /// Number of readings.
    pub n: usize,
    /// Number of parameters.
    pub p: usize,
    /// How many free parameters the data determine.
    pub rank: usize,
    /// Condition number of the Jacobian with columns of length 1; infinite where the rank is too low.
    pub condition: f64,
    /// Relative offset: how far the residuals lean towards the curve. Far below 1 at a minimum; without meaning where
    /// residuals are rounding.
    pub relative_offset: Option<f64>,
    /// Evaluations of all readings, over all starts.
    pub iterations: usize,
    /// How the fit ended.
    pub ending: Ending,
    /// Starts that were tried.
    pub starts_tried: usize,
    /// Starts from which this minimum was reached.
    pub starts_reached: usize,
    /// Doubts.
    pub doubts: Vec<FitDoubt>,
}

impl Fit {
    /// Standard deviation of parameter `k`; `None` where it is unknown.
    #[must_use]
    pub fn sd(&self, k: usize) -> Option<f64> {
        let place = self.free.iter().position(|&free| free == k)?;
        self.covariance.as_ref().map(|covariance| covariance[(place, place)].sqrt())
    }

    /// Correlation of parameters `i` and `j`; `None` where it is unknown.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> Option<f64> {
        let place = |k: usize| self.free.iter().position(|&free| free == k);
        self.covariance.as_ref()?.correlation(place(i)?, place(j)?)
    }

    /// Degrees of freedom: readings less free parameters.
    #[must_use]
    pub fn freedom(&self) -> usize {
        self.n.saturating_sub(self.free.len())
    }

    /// Variance of a quantity whose derivatives by all parameters are `slope`, by the law of propagation; `None` where
    /// it is unknown. A parameter on its limit is taken as fixed.
    ///
    /// ```text
    /// u² = gᵀ C g
    /// ```
    #[must_use]
    pub fn variance_of(&self, slope: &[f64]) -> Option<f64> {
        let covariance = self.covariance.as_ref()?;
        if slope.len() != self.p {
            return None;
        }
        let inner = |i: usize| -> f64 { self.free.iter().zip(covariance.row(i)).map(|(&k, c)| c * slope[k]).sum() };
        Some(self.free.iter().enumerate().map(|(i, &k)| slope[k] * inner(i)).sum())
    }
}
