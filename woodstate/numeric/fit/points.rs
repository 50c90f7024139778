//! Readings to be fitted.

use super::task::Task;
use crate::error::Result;
use crate::numeric::check;
use crate::numeric::noise::Noise;

/// Readings `y` at rows of predictors `x`, with what is known of their uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Points<'a> {
    pub(super) x: &'a [f64],
    pub(super) y: &'a [f64],
    pub(super) width: usize,
    pub(super) noise: Noise<'a>,
}

impl<'a> Points<'a> {
    /// * `x`: n rows of predictors, row after row; one predictor a row for most curves
    /// * `y`: n readings
    /// * `noise`: what is known of the uncertainties of `y`
    ///
    /// # Errors
    /// When there are no readings, the number of predictors is no multiple of the number of readings, a number is
    /// not finite, or an uncertainty is not above 0.
    ///
    /// # Example
    /// ```
    /// use woodstate::numeric::{Noise, Points};
    /// assert!(Points::new(&[1.0, 2.0], &[2.1, 3.9], Noise::FromScatter).is_ok());
    /// let error = Points::new(&[1.0, 2.0], &[2.1, f64::NAN], Noise::FromScatter).unwrap_err();
    /// assert_eq!(error.to_string(), "reading 2 is NaN; allowed is a finite number");
    /// ```
    pub fn new(x: &'a [f64], y: &'a [f64], noise: Noise<'a>) -> Result<Self> {
        check::at_least("number of readings", y.len(), 1)?;
        let width = x.len() / y.len();
        check::length("predictors", x.len(), width.max(1) * y.len())?;
        x.iter().enumerate().try_for_each(|(place, &x)| check::finite_of("predictor", place, x))?;
        y.iter().enumerate().try_for_each(|(row, &y)| check::finite_of("reading", row, y))?;
        noise.check(y.len())?;
        Ok(Self { x, y, width, noise })
    }

    /// The squares of a model over these readings.
    pub(super) fn task<'b, M: ?Sized>(
        &self,
        model: &'b M,
        weights: Option<&'b [f64]>,
        (low, high): (&'b [f64], &'b [f64]),
    ) -> Task<'b, M>
    where
        'a: 'b,
    {
        Task { model, x: self.x, width: self.width, y: self.y, weights, low, high }
    }

    /// Number of readings.
    #[must_use]
    pub fn n(&self) -> usize {
        self.y.len()
    }

    /// The predictors of one reading, or an empty slice where there is none.
    #[must_use]
    pub fn row(&self, row: usize) -> &'a [f64] {
        self.x.get(row * self.width..(row + 1) * self.width).unwrap_or(&[])
    }

    /// The readings.
    #[must_use]
    pub fn y(&self) -> &'a [f64] {
        self.y
    }

    /// What is known of their uncertainty.
    #[must_use]
    pub fn noise(&self) -> Noise<'a> {
        self.noise
    }
}
