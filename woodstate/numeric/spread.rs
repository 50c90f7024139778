//! What an input can be: the distribution of a value that is not known exactly.

use super::check;
use super::matrix::Matrix;
use super::stream::Stream;
use crate::error::Result;

/// The distribution of one input; made by its constructors, which check it.
///
/// # Which to use when
/// * mean and standard uncertainty: [`normal`](Self::normal)
/// * a resolution or two hard limits: [`rectangular`](Self::rectangular)
/// * the sum or mean of two such: [`trapezoidal`](Self::trapezoidal), [`triangular`](Self::triangular)
/// * limits that are themselves not exact: [`curvilinear_trapezoid`](Self::curvilinear_trapezoid)
/// * something that swings between limits: [`arcsine`](Self::arcsine)
/// * the mean of a few readings: [`student`](Self::student)
///
/// # Source
/// JCGM 101:2008, 6.4 and table 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    centre: f64,
    shape: Shape,
}

/// What each variant needs beside the centre, all around 0.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shape {
    Normal { sd: f64 },
    Trapezoidal { base: f64, top: f64 },
    Curvilinear { half: f64, inexact: f64 },
    Arcsine { half: f64 },
    Student { scale: f64, nu: f64 },
}

impl Spread {
    /// A normal distribution. `sd` 0 is an exact number, not an unknown uncertainty.
    ///
    /// # Errors
    /// When `mean` is not finite, or `sd` is negative or not finite.
    pub fn normal(mean: f64, sd: f64) -> Result<Self> {
        check::finite("mean", mean)?;
        check::uncertainty("standard deviation", sd)?;
        Ok(Self { centre: mean, shape: Shape::Normal { sd } })
    }

    /// Every value between two limits is as likely.
    ///
    /// # Errors
    /// When a limit is not finite or the limits are reversed.
    ///
    /// # Example
    /// ```
    /// use woodstate::numeric::Spread;
    /// // A balance that shows 0.01 g.
    /// let reading = Spread::rectangular(12.345, 12.355).unwrap();
    /// assert!((reading.sd() - 0.01 / 12f64.sqrt()).abs() < 1e-12);
    /// ```
    pub fn rectangular(low: f64, high: f64) -> Result<Self> {
        Self::trapezoidal(low, high, 1.0)
    }

    /// A symmetric triangle: the sum of two rectangular parts of one width.
    ///
    /// # Errors
    /// When a limit is not finite or the limits are reversed.
    pub fn triangular(low: f64, high: f64) -> Result<Self> {
        Self::trapezoidal(low, high, 0.0)
    }

    /// A symmetric trapezoid whose top is `beta` times as wide as its base, 0 ≤ β ≤ 1.
    ///
    /// # Errors
    /// When a limit is not finite, the limits are reversed, or `beta` lies outside 0 … 1.
    pub fn trapezoidal(low: f64, high: f64, beta: f64) -> Result<Self> {
        let (centre, half) = limits(low, high)?;
        if !(0.0..=1.0).contains(&beta) {
            return Err(check::range("width of the top over width of the base", beta, "a number from 0 to 1"));
        }
        // The sum of two rectangular parts, of half widths (1 + β)/2 and (1 − β)/2 times that of the whole.
        let (base, top) = (half * (1.0 + beta) / 2.0, half * (1.0 - beta) / 2.0);
        Ok(Self { centre, shape: Shape::Trapezoidal { base, top } })
    }

    /// A rectangle whose limits are known to ± `inexact`, their midpoint exactly.
    ///
    /// # Errors
    /// When a limit is not finite, the limits are reversed, or `inexact` is negative or above half their distance.
    pub fn curvilinear_trapezoid(low: f64, high: f64, inexact: f64) -> Result<Self> {
        let (centre, half) = limits(low, high)?;
        if !(0.0..=half).contains(&inexact) {
            return Err(check::range("inexactness of a limit", inexact, format!("from 0 to {half}, half the width")));
        }
        Ok(Self { centre, shape: Shape::Curvilinear { half, inexact } })
    }

    /// A sine wave between two limits, met at a random moment.
    ///
    /// # Errors
    /// When a limit is not finite or the limits are reversed.
    pub fn arcsine(low: f64, high: f64) -> Result<Self> {
        let (centre, half) = limits(low, high)?;
        Ok(Self { centre, shape: Shape::Arcsine { half } })
    }

    /// Student's t with `nu` degrees of freedom, moved to `mean` and stretched by `scale`.
    ///
    /// For the mean of n readings: `scale` = s/√n, `nu` = n − 1. Its standard deviation is larger than `scale`.
    ///
    /// # Errors
    /// When `mean` or `nu` is not finite, `scale` is negative or not finite, or `nu` is below 1.
    pub fn student(mean: f64, scale: f64, nu: f64) -> Result<Self> {
        check::finite("mean", mean)?;
        check::uncertainty("scale", scale)?;
        if !(nu >= 1.0 && nu.is_finite()) {
            return Err(check::range("degrees of freedom", nu, "a finite number, 1 or above"));
        }
        Ok(Self { centre: mean, shape: Shape::Student { scale, nu } })
    }

    /// The mean. For Student with ν = 1, which has none, the centre.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.centre
    }

    /// The standard deviation; infinite for Student with ν ≤ 2.
    ///
    /// ```text
    /// trapezoid  √((b² + t²)/3)    curvilinear  √(h²/3 + d²/9)    arcsine  h/√2    Student  s √(ν/(ν − 2))
    /// ```
    #[must_use]
    pub fn sd(&self) -> f64 {
        match self.shape {
            Shape::Normal { sd } => sd,
            Shape::Trapezoidal { base, top } => ((base * base + top * top) / 3.0).sqrt(),
            Shape::Curvilinear { half, inexact } => (half * half / 3.0 + inexact * inexact / 9.0).sqrt(),
            Shape::Arcsine { half } => half * std::f64::consts::FRAC_1_SQRT_2,
            Shape::Student { scale, .. } if scale <= 0.0 => 0.0,
            Shape::Student { scale, nu } if nu > 2.0 => scale * (nu / (nu - 2.0)).sqrt(),
            Shape::Student { .. } => f64::INFINITY,
        }
    }

    /// One random value.
    pub fn draw(&self, stream: &mut Stream) -> f64 {
        let mut swing = || 2.0 * stream.uniform() - 1.0;
        self.centre
            + match self.shape {
                Shape::Normal { sd } => sd * stream.normal(),
                Shape::Trapezoidal { base, top } => base * swing() + top * swing(),
                Shape::Curvilinear { half, inexact } => (half + inexact * swing()) * swing(),
                Shape::Arcsine { half } => half * stream.cosine(),
                Shape::Student { scale, nu } => scale * stream.student(nu),
            }
    }
}

/// Centre and half width of two limits.
fn limits(low: f64, high: f64) -> Result<(f64, f64)> {
    check::finite("lower limit", low)?;
    check::finite("upper limit", high)?;
    if low > high {
        return Err(check::range("lower limit", low, format!("at most the upper limit, {high}")));
    }
    Ok((f64::midpoint(low, high), (high - low) / 2.0))
}

/// Normal inputs that vary together.
///
/// # Source
/// JCGM 101:2008, 6.4.8 and C.5.
#[derive(Debug, Clone, PartialEq)]
pub struct JointNormal {
    mean: Vec<f64>,
    lower: Matrix,
}

impl JointNormal {
    /// `mean`: n values. `covariance`: n x n.
    ///
    /// # Errors
    /// When the sizes differ, a mean is not finite, or the covariance is not symmetric and positive semidefinite.
    pub fn new(mean: &[f64], covariance: &Matrix) -> Result<Self> {
        check::length("rows of the covariance", covariance.rows(), mean.len())?;
        for &value in mean {
            check::finite("mean", value)?;
        }
        Ok(Self { mean: mean.to_vec(), lower: covariance.cholesky()? })
    }

    /// Fills `values` with one random draw; allocates nothing.
    ///
    /// # Errors
    /// When `values` does not have one place per input.
    pub fn draw(&self, stream: &mut Stream, values: &mut [f64]) -> Result<()> {
        check::length("places for a draw", values.len(), self.mean.len())?;
        for value in values.iter_mut() {
            *value = stream.normal();
        }
        // Row i needs only the numbers up to i, so from the last row on each may be overwritten.
        for i in (0..values.len()).rev() {
            let moved: f64 = self.lower.row(i).iter().zip(&values[..=i]).map(|(l, z)| l * z).sum();
            values[i] = self.mean[i] + moved;
        }
        Ok(())
    }
}
